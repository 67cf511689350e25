/* Text from the record made safe: whatever the bytes, only printable characters of known width come
 * out. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <locale.h>
#include <string.h>

#include "midcourse/exchange.h"
#include "random.h"

#define SHOWN "\xef\xbf\xbd" /* the visible replacement, U+FFFD */

static void becomes(const char *text, const char *expected) {
    char out[400];
    mc_text_fit(text, 100, false, out, sizeof out);
    assert_string_equal(out, expected);
}

static void plain_text_stays(void **state) {
    (void)state;
    becomes("", "");
    becomes("Larkspur, Odette", "Larkspur, Odette");
    becomes("M\xc3\xbcller, Zo\xc3\xab", "M\xc3\xbcller, Zo\xc3\xab");
    becomes("\xe7\x8e\x8b, \xe6\x98\x8e", "\xe7\x8e\x8b, \xe6\x98\x8e");
}

static void control_characters_are_shown(void **state) {
    (void)state;
    becomes("a\x1b[31mb", "a" SHOWN "[31mb");
    becomes("a\nb\tc\rd\x7f", "a" SHOWN "b" SHOWN "c" SHOWN "d" SHOWN);
    becomes("a\xc2\x9b"
            "31mb",
            "a" SHOWN "31mb"); /* C1: control sequence introducer */
    becomes("a\xc2\x85"
            "b\xc2\xad"
            "c",
            "a" SHOWN "b" SHOWN "c"); /* next line, soft hyphen */
}

static void characters_that_steer_text_are_shown(void **state) {
    (void)state;
    static const char *const steering[] = {
        "\xe2\x80\xae",     "\xe2\x80\xaa",     "\xe2\x81\xa6", "\xe2\x81\xa9", /* bidirectional */
        "\xe2\x80\x8e",     "\xd8\x9c",         "\xe2\x80\x8b", "\xe2\x80\x8c",
        "\xe2\x80\x8d",     "\xef\xbb\xbf", /* zero width */
        "\xe2\x81\xa0",     "\xef\xb8\x8f",     "\xcd\x8f",     "\xe2\x80\xa8",
        "\xe2\x80\xa9",                         /* line and paragraph separators */
        "\xe3\x85\xa4",     "\xe1\x85\x9f",     /* blank letters */
        "\xf3\xa0\x81\x81",                     /* a tag */
        "\xee\x80\x80",     "\xf3\xb0\x80\x80", /* private use */
        "\xef\xbf\xbf",     "\xcd\xb8",         /* no character, none yet */
    };
    for (size_t i = 0; i < sizeof steering / sizeof *steering; i++) {
        char text[20];
        strcpy(text, "a");
        strcat(text, steering[i]);
        strcat(text, "b");
        becomes(text, "a" SHOWN "b");
    }
}

static void bytes_that_are_not_utf8_are_shown(void **state) {
    (void)state;
    becomes("a\xff"
            "b",
            "a" SHOWN "b");
    becomes("a\xc3", "a" SHOWN);
    becomes("\x80\x80", SHOWN SHOWN);
    becomes("\xc0\xaf", SHOWN SHOWN);                     /* an overlong slash */
    becomes("\xed\xa0\x80", SHOWN SHOWN SHOWN);           /* half of a pair */
    becomes("\xf4\x90\x80\x80", SHOWN SHOWN SHOWN SHOWN); /* beyond the last */
    becomes("a\xe2\x82", "a" SHOWN SHOWN);
}

static void combining_marks_stay_on_their_letter(void **state) {
    (void)state;
    mc_text_cell cell;
    const char *text = "e\xcc\x81x";
    assert_true(mc_text_next(&text, false, &cell));
    assert_string_equal(cell.bytes, "e\xcc\x81");
    assert_int_equal(cell.width, 1);
    assert_true(mc_text_next(&text, false, &cell));
    assert_string_equal(cell.bytes, "x");
    assert_false(mc_text_next(&text, false, &cell));
    becomes("\xcc\x81"
            "a",
            SHOWN "a"); /* upon nothing */
    assert_int_equal(mc_text_width("e\xcc\x81x", false), 2);
}

static void a_tower_of_marks_is_cut(void **state) {
    (void)state;
    char tower[200] = "a", out[400];
    for (int i = 0; i < 60; i++)
        strcat(tower, "\xcc\x81");
    strcat(tower, "b");
    assert_int_equal(mc_text_fit(tower, 10, false, out, sizeof out), 2);
    assert_string_equal(out, "a\xcc\x81\xcc\x81\xcc\x81\xcc\x81"
                             "b");
}

static void width_counts_columns(void **state) {
    (void)state;
    assert_int_equal(mc_text_width("abc", false), 3);
    assert_int_equal(mc_text_width("\xe7\x8e\x8b", false), 2);
    assert_int_equal(mc_text_width("\x1b\x1b", false), 2);
    assert_int_equal(mc_text_width("", false), 0);
}

static void fits(const char *text, int columns, bool ascii, const char *expected, int width) {
    char out[100];
    assert_int_equal(mc_text_fit(text, columns, ascii, out, sizeof out), width);
    assert_string_equal(out, expected);
}

static void too_long_ends_with_an_ellipsis(void **state) {
    (void)state;
    fits("abcdef", 6, false, "abcdef", 6);
    fits("abcdef", 5, false, "abcd\xe2\x80\xa6", 5);
    fits("abcdef", 1, false, "\xe2\x80\xa6", 1);
    fits("abcdef", 0, false, "", 0);
    fits("abcdef", 5, true, "abc..", 5);
    fits("abcdef", 1, true, "", 0);
    fits("ab\xe7\x8e\x8b", 3, false, "ab\xe2\x80\xa6", 3); /* a wide one is not halved */
    fits("a\xe7\x8e\x8b\xe7\x8e\x8b", 4, false, "a\xe7\x8e\x8b\xe2\x80\xa6", 4);
    fits("a\xe7\x8e\x8b\xe7\x8e\x8b", 3, false, "a\xe2\x80\xa6", 2);
}

static void too_little_memory_cuts_too(void **state) {
    (void)state;
    char out[16];
    mc_text_fit("abcdefghijklmnopqrstuvwxyz", 26, false, out, sizeof out);
    assert_true(strlen(out) < sizeof out);
    assert_non_null(strstr(out, "\xe2\x80\xa6"));
}

static void ascii_keeps_letters_without_accents(void **state) {
    (void)state;
    fits("M\xc3\xbcller", 20, true, "Muller", 6);
    fits("e\xcc\x81"
         "a",
         20, true, "ea", 2);
    fits("\xc5\x81\xc3\xb3\xc5\xba\xc3\x9f", 20, true, "Lozs", 4);
    fits("O\xe2\x80\x99"
         "Hara",
         20, true, "O'Hara", 6);
    fits("\xe7\x8e\x8b\x1b", 20, true, "??", 2);
}

static void lines_break_at_blanks(void **state) {
    (void)state;
    const char *at = "one two  three";
    char line[100];
    assert_true(mc_text_line(&at, 7, false, line, sizeof line));
    assert_string_equal(line, "one two");
    assert_true(mc_text_line(&at, 7, false, line, sizeof line));
    assert_string_equal(line, "three");
    assert_false(mc_text_line(&at, 7, false, line, sizeof line));
}

static void long_words_break_anywhere(void **state) {
    (void)state;
    const char *at = "abcdefgh ij";
    char line[100];
    assert_true(mc_text_line(&at, 3, false, line, sizeof line));
    assert_string_equal(line, "abc");
    assert_true(mc_text_line(&at, 3, false, line, sizeof line));
    assert_string_equal(line, "def");
    assert_true(mc_text_line(&at, 3, false, line, sizeof line));
    assert_string_equal(line, "gh");
    assert_true(mc_text_line(&at, 3, false, line, sizeof line));
    assert_string_equal(line, "ij");
}

static void a_column_too_narrow_still_ends(void **state) {
    (void)state;
    const char *at = "\xe7\x8e\x8b\xe7\x8e\x8b ab";
    char line[100];
    int lines = 0;
    while (mc_text_line(&at, 1, false, line, sizeof line) && lines < 100)
        lines++;
    assert_in_range(lines, 1, 20);
}

/* Whether bytes could do anything to a terminal but show a character. */
static void harmless(const char *out) {
    for (const unsigned char *c = (const unsigned char *)out; *c; c++) {
        assert_true(*c >= 0x20 && *c != 0x7f);
        if (c[0] == 0xc2) /* C1 */
            assert_true(c[1] >= 0xa0);
    }
}

static void any_bytes_are_harmless(void **state) {
    (void)state;
    random_source source = random_seed(20260301);
    for (int i = 0; i < 20000; i++) {
        char text[40], out[400];
        size_t length = random_bits(&source) % sizeof text;
        for (size_t k = 0; k < length; k++)
            text[k] = (char)(random_bits(&source) % 255 + 1);
        text[length ? length - 1 : 0] = '\0';
        int columns = (int)(random_bits(&source) % 40);
        bool ascii = random_bits(&source) % 2;
        int width = mc_text_fit(text, columns, ascii, out, sizeof out);
        assert_in_range(width, 0, columns);
        assert_int_equal(mc_text_width(out, ascii), width); /* made safe once is safe for good */
        harmless(out);
        for (const char *c = out; ascii && *c; c++)
            assert_true((unsigned char)*c < 0x80);
    }
}

int main(void) {
    setlocale(LC_CTYPE, "C.UTF-8");
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plain_text_stays),
        cmocka_unit_test(control_characters_are_shown),
        cmocka_unit_test(characters_that_steer_text_are_shown),
        cmocka_unit_test(bytes_that_are_not_utf8_are_shown),
        cmocka_unit_test(combining_marks_stay_on_their_letter),
        cmocka_unit_test(a_tower_of_marks_is_cut),
        cmocka_unit_test(width_counts_columns),
        cmocka_unit_test(too_long_ends_with_an_ellipsis),
        cmocka_unit_test(too_little_memory_cuts_too),
        cmocka_unit_test(ascii_keeps_letters_without_accents),
        cmocka_unit_test(lines_break_at_blanks),
        cmocka_unit_test(long_words_break_anywhere),
        cmocka_unit_test(a_column_too_narrow_still_ends),
        cmocka_unit_test(any_bytes_are_harmless),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
