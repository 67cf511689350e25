/* Spellings of a tooth: each is read as it is written, and nothing else is. The tables themselves
 * are held by tests/published/test_notation.c. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/dentition.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

static const mc_notation notations[] = {MC_NOTATION_ISO, MC_NOTATION_UNIVERSAL,
                                        MC_NOTATION_QUADRANT};

static void reads_what_it_writes(void **state) {
    (void)state;
    for (int n = 0; n < 3; n++) {
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            char text[4];
            mc_tooth_text(notations[n], tooth, text);
            assert_int_equal(mc_tooth_parse(notations[n], text), tooth);
            for (char *c = text; *c; c++) {
                *c = (char)tolower(*c);
            }
            assert_int_equal(mc_tooth_parse(notations[n], text), tooth);
        }
    }
}

/* Of all texts of up to three printable characters, exactly the spellings are read: 52 in ISO and
 * quadrant notation; letters count twice, as a small one is read too. */
static void reads_nothing_else(void **state) {
    (void)state;
    int read[3] = {0};
    for (int a = 0; a < 127; a = a ? a + 1 : ' ') {
        for (int b = 0; b < 127; b = b ? b + 1 : ' ') {
            for (int c = 0; c < 127; c = c ? c + 1 : ' ') {
                const char text[4] = {(char)a, (char)b, (char)c, 0};
                if ((a == 0 && (b || c)) || (b == 0 && c)) {
                    continue;
                }
                for (int n = 0; n < 3; n++) {
                    read[n] += mc_tooth_parse(notations[n], text) != MC_NO_TOOTH;
                }
            }
        }
    }
    assert_int_equal(read[0], 52);
    assert_int_equal(read[1], 32 + 2 * 20);
    assert_int_equal(read[2], 4 * 32 + 8 * 20);
}

static void refuses_wrong_spellings(void **state) {
    (void)state;
    static const char *const wrong[3][20] = {
        {"",    "1", "19", "10", "011", "1.1", "1-1", "11 ", " 11",  "111",
         "UR1", "A", "56", "86", "90",  "99",  "+11", "-11", "1111", "11\n"},
        {"",   "0",  "33", "01", "007", "U",   "Z",    "AA", "1A", "A1",
         "-1", "+1", " 1", "1 ", "32.", "UR1", "1111", "51", "a ", "\xc3\x84"},
        {"",   "UR", "UR0", "UR9", "URF", "RU1", "UR11", "UR 1", "U1",   "R1",
         "11", "A",  "LL",  "LL0", "XR1", "UX1", "UR1 ", " UR1", "URAA", "LRf"}};
    for (int n = 0; n < 3; n++) {
        for (int i = 0; i < 20; i++) {
            if (mc_tooth_parse(notations[n], wrong[n][i]) != MC_NO_TOOTH) {
                fail_msg("notation %d takes \"%s\" for a tooth", n, wrong[n][i]);
            }
        }
    }
}

static void writes_no_tooth_as_a_dash(void **state) {
    (void)state;
    char text[4];
    for (int n = 0; n < 3; n++) {
        mc_tooth_text(notations[n], MC_NO_TOOTH, text);
        assert_string_equal(text, "-");
        assert_int_equal(mc_tooth_parse(notations[n], "-"), MC_NO_TOOTH);
    }
}

static void knows_the_notations_names(void **state) {
    (void)state;
    mc_notation notation = MC_NOTATION_QUADRANT;
    assert_true(mc_notation_parse("iso", &notation));
    assert_int_equal(notation, MC_NOTATION_ISO);
    assert_true(mc_notation_parse("universal", &notation));
    assert_int_equal(notation, MC_NOTATION_UNIVERSAL);
    assert_true(mc_notation_parse("quadrant", &notation));
    assert_int_equal(notation, MC_NOTATION_QUADRANT);
    static const char *const wrong[] = {"",       "ISO",      "iso ",     "fdi",
                                        "palmer", "universa", "quadrants"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        assert_false(mc_notation_parse(wrong[i], &notation));
        assert_int_equal(notation, MC_NOTATION_QUADRANT);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_what_it_writes),      cmocka_unit_test(reads_nothing_else),
        cmocka_unit_test(refuses_wrong_spellings),   cmocka_unit_test(writes_no_tooth_as_a_dash),
        cmocka_unit_test(knows_the_notations_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
