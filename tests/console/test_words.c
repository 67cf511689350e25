/* Numbers, days and directions as the console says them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "midcourse/exchange.h"
#include "words.h"

static const theme UNICODE = {0}, ASCII = {.ascii = true};

static void number(double value, int decimals, bool is_signed, int width, const char *expected) {
    char out[40];
    words_number(&ASCII, value, decimals, is_signed, width, out, sizeof out);
    assert_string_equal(out, expected);
}

static void numbers_align_on_their_point(void **state) {
    (void)state;
    number(9, 1, true, 5, " +9.0");
    number(-6.52, 1, true, 5, " -6.5");
    number(18, 1, true, 5, "+18.0");
    number(0.35, 2, true, 5, "+0.35");
    number(2.118091, 2, false, 5, " 2.12");
    number(12, 0, false, 3, " 12");
}

static void nought_has_no_sign(void **state) {
    (void)state;
    number(0, 2, true, 5, " 0.00");
    number(-0.0, 2, true, 5, " 0.00");
    number(-0.004, 2, true, 5, " 0.00");
    number(-0.006, 2, true, 5, "-0.01");
}

static void what_was_not_read_has_its_own_mark(void **state) {
    (void)state;
    number(NAN, 2, true, 5, " .   ");
    number(NAN, 1, true, 5, "  .  ");
    number(NAN, 0, false, 3, "  .");
}

static void too_long_gives_up_decimals(void **state) {
    (void)state;
    number(12.345, 2, true, 5, "+12.3");
    number(-123.4, 2, true, 5, " -123");
}

static void against(mc_relative what, int iso, int other, double value, const char *name,
                    const char *read, const char *way) {
    char out[40];
    words_relative(MC_NOTATION_ISO, what, other ? mc_tooth_from_iso(other) : MC_NO_TOOTH, out,
                   sizeof out);
    assert_string_equal(out, name);
    words_relative_number(what, value, out);
    assert_string_equal(out, read);
    assert_string_equal(words_relative_way(what, mc_tooth_from_iso(iso), value), way);
    words_relative_code(&ASCII, what, mc_tooth_from_iso(iso), value, out);
    assert_int_equal(mc_text_width(out, true), way[0] ? 3 : 0);
}

static void readings_against_a_neighbour_say_which_way(void **state) {
    (void)state;
    against(MC_SPACE_TO_MESIAL, 12, 11, 0.3, "space to 11", "0.30", "");
    against(MC_STEP_TO_DISTAL, 12, 13, -0.4, "step to 13", "-0.40", "palatal");
    against(MC_STEP_TO_DISTAL, 12, 13, 0.004, "step to 13", "0.00", "");
    against(MC_STEP_TO_MESIAL, 36, 35, 0.4, "step to 35", "+0.40", "buccal");
    against(MC_HEIGHT_TO_MESIAL, 41, 31, 0.5, "height to 31", "+0.50", "occlusal");
    against(MC_HEIGHT_TO_DISTAL, 12, 13, -0.5, "height to 13", "-0.50", "gingival");
    against(MC_HEIGHT_TO_DISTAL, 17, 0, 0, "height distal", "0.00", "");
    against(MC_CROWN_ANGLE, 12, 0, -26, "crown angle", "-26.0", "mesial-out");
}

static void code(const theme *look, int item, int iso, int way, const char *expected) {
    char out[16];
    words_code(look, item, mc_tooth_from_iso(iso), way, out);
    assert_string_equal(out, expected);
    assert_int_equal(mc_text_width(out, look->ascii), 3);
}

static void every_way_has_its_letters(void **state) {
    (void)state;
    code(&ASCII, MC_MESIAL, 12, 1, "mes");
    code(&ASCII, MC_MESIAL, 12, -1, "dis");
    code(&ASCII, MC_BUCCAL, 12, 1, "lab");
    code(&ASCII, MC_BUCCAL, 16, 1, "buc");
    code(&ASCII, MC_BUCCAL, 12, -1, "pal");
    code(&ASCII, MC_BUCCAL, 42, -1, "lin");
    code(&ASCII, MC_OCCLUSAL, 12, 1, "ext");
    code(&ASCII, MC_OCCLUSAL, 12, -1, "int");
    code(&ASCII, MC_ROTATION, 12, 1, "@in");
    code(&ASCII, MC_ROTATION, 12, -1, "@ou");
    code(&UNICODE, MC_ROTATION, 12, 1, "\xe2\x86\xbbin");
    code(&ASCII, MC_ANGULATION, 12, 1, "/me");
    code(&ASCII, MC_ANGULATION, 12, -1, "/di");
    code(&ASCII, MC_INCLINATION, 12, 1, "/la");
    code(&ASCII, MC_INCLINATION, 46, 1, "/bu");
    code(&ASCII, MC_INCLINATION, 12, -1, "/pa");
    code(&ASCII, MC_INCLINATION, 46, -1, "/li");
    code(&ASCII, MC_WORST_SEAT_GAP, 12, 0, "gap");
    code(&ASCII, MC_WORST_NONE, 12, 0, " . ");
}

/* No two ways on one tooth look the same. */
static void letters_tell_every_way_apart(void **state) {
    (void)state;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        char codes[2 * MC_COMPONENTS + 1][16];
        int count = 0;
        words_code(&ASCII, MC_WORST_SEAT_GAP, tooth, 0, codes[count++]);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            words_code(&ASCII, c, tooth, 1, codes[count++]);
            words_code(&ASCII, c, tooth, -1, codes[count++]);
        }
        for (int i = 0; i < count; i++)
            for (int k = 0; k < i; k++)
                assert_string_not_equal(codes[i], codes[k]);
    }
}

static void the_way_leads_to_the_plan(void **state) {
    (void)state;
    mc_tooth_score score = {0};
    score.item[MC_ROTATION].planned = 9;
    score.item[MC_ROTATION].mean = 6.2;
    assert_int_equal(words_way_to_plan(&score, MC_ROTATION), 1);
    score.item[MC_ROTATION].mean = 11; /* past it: back */
    assert_int_equal(words_way_to_plan(&score, MC_ROTATION), -1);
    score.item[MC_ROTATION].mean = NAN;
    assert_int_equal(words_way_to_plan(&score, MC_ROTATION), 0);
    assert_int_equal(words_way_to_plan(&score, MC_WORST_SEAT_GAP), 0);
    assert_int_equal(words_way_to_plan(&score, MC_WORST_NONE), 0);
}

static void due(int days, const char *expected) {
    char out[40];
    words_due(20000 + days, 20000, out, sizeof out);
    assert_string_equal(out, expected);
}

static void days_are_told_from_today(void **state) {
    (void)state;
    char out[40];
    due(0, "today");
    due(1, "in 1 d");
    due(42, "in 42 d");
    due(-3, "3 d late");
    words_due(MC_NO_DAY, 20000, out, sizeof out);
    assert_string_equal(out, "-");
}

static void choices_are_listed(void **state) {
    (void)state;
    char out[160];
    words_choices(1u << MC_HOLD | 1u << MC_LOCAL_MEASURES, out, sizeof out);
    assert_string_equal(out, "hold, local measures");
    words_choices(1u << MC_CARRY_ON, out, sizeof out);
    assert_string_equal(out, "carry on");
    words_choices(0, out, sizeof out);
    assert_string_equal(out, "");
}

static void every_proposal_has_a_short_word(void **state) {
    (void)state;
    for (int i = 0; i <= MC_PROPOSE_FINISH; i++) {
        assert_in_range(strlen(words_proposal_short((mc_proposal_choice)i)), 3, 8);
        assert_null(strchr(mc_proposal_words((mc_proposal_choice)i), '-'));
    }
}

static void ascii_is_wanted_where_utf8_is_not_to_be_had(void **state) {
    (void)state;
    assert_false(theme_wants_ascii("UTF-8", NULL));
    assert_false(theme_wants_ascii("UTF-8", ""));
    assert_false(theme_wants_ascii("UTF-8", "0"));
    assert_true(theme_wants_ascii("UTF-8", "1"));
    assert_true(theme_wants_ascii("ANSI_X3.4-1968", NULL));
    assert_true(theme_wants_ascii("ISO-8859-1", "0"));
}

/* Every mark is one column, in ASCII all ASCII, and no two states share one. */
static void marks_are_one_column_and_apart(void **state) {
    (void)state;
    for (int m = 0; m < MARKS; m++) {
        assert_int_equal(mc_text_width(theme_mark(&UNICODE, (mark)m), false), 1);
        assert_int_equal(strlen(theme_mark(&ASCII, (mark)m)), 1);
        assert_true(theme_mark(&ASCII, (mark)m)[0] > 0x20 &&
                    (unsigned char)theme_mark(&ASCII, (mark)m)[0] < 0x7f);
    }
    const theme *looks[] = {&UNICODE, &ASCII};
    for (int l = 0; l < 2; l++) {
        for (int a = 0; a < MC_STATES; a++)
            for (int b = 0; b < a; b++)
                assert_string_not_equal(theme_mark(looks[l], mark_of_state((mc_state)a)),
                                        theme_mark(looks[l], mark_of_state((mc_state)b)));
        for (int a = MC_ATTACHMENT_UNSAID; a <= MC_ATTACHMENT_LOST; a++)
            for (int b = MC_ATTACHMENT_UNSAID; b < a; b++)
                assert_string_not_equal(theme_mark(looks[l], mark_of_attachment((mc_attachment)a)),
                                        theme_mark(looks[l], mark_of_attachment((mc_attachment)b)));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings_against_a_neighbour_say_which_way),
        cmocka_unit_test(numbers_align_on_their_point),
        cmocka_unit_test(nought_has_no_sign),
        cmocka_unit_test(what_was_not_read_has_its_own_mark),
        cmocka_unit_test(too_long_gives_up_decimals),
        cmocka_unit_test(every_way_has_its_letters),
        cmocka_unit_test(letters_tell_every_way_apart),
        cmocka_unit_test(the_way_leads_to_the_plan),
        cmocka_unit_test(days_are_told_from_today),
        cmocka_unit_test(choices_are_listed),
        cmocka_unit_test(every_proposal_has_a_short_word),
        cmocka_unit_test(ascii_is_wanted_where_utf8_is_not_to_be_had),
        cmocka_unit_test(marks_are_one_column_and_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
