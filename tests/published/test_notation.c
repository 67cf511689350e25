/* Every tooth in ISO 3950, in the 1-32/A-T and in the quadrant notation, as charts print them: the
 * table is written out here, from the patient's upper right to upper left, then lower right to
 * lower left. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/dentition.h"

#include <stdlib.h>

static const char *const chart[MC_TEETH][3] = {
    {"18", "1", "UR8"},  {"17", "2", "UR7"},  {"16", "3", "UR6"},  {"15", "4", "UR5"},
    {"14", "5", "UR4"},  {"13", "6", "UR3"},  {"12", "7", "UR2"},  {"11", "8", "UR1"},
    {"21", "9", "UL1"},  {"22", "10", "UL2"}, {"23", "11", "UL3"}, {"24", "12", "UL4"},
    {"25", "13", "UL5"}, {"26", "14", "UL6"}, {"27", "15", "UL7"}, {"28", "16", "UL8"},
    {"48", "32", "LR8"}, {"47", "31", "LR7"}, {"46", "30", "LR6"}, {"45", "29", "LR5"},
    {"44", "28", "LR4"}, {"43", "27", "LR3"}, {"42", "26", "LR2"}, {"41", "25", "LR1"},
    {"31", "24", "LL1"}, {"32", "23", "LL2"}, {"33", "22", "LL3"}, {"34", "21", "LL4"},
    {"35", "20", "LL5"}, {"36", "19", "LL6"}, {"37", "18", "LL7"}, {"38", "17", "LL8"},
    {"55", "A", "URE"},  {"54", "B", "URD"},  {"53", "C", "URC"},  {"52", "D", "URB"},
    {"51", "E", "URA"},  {"61", "F", "ULA"},  {"62", "G", "ULB"},  {"63", "H", "ULC"},
    {"64", "I", "ULD"},  {"65", "J", "ULE"},  {"85", "T", "LRE"},  {"84", "S", "LRD"},
    {"83", "R", "LRC"},  {"82", "Q", "LRB"},  {"81", "P", "LRA"},  {"71", "O", "LLA"},
    {"72", "N", "LLB"},  {"73", "M", "LLC"},  {"74", "L", "LLD"},  {"75", "K", "LLE"},
};

static void both_ways_in_all_three(void **state) {
    (void)state;
    bool seen[MC_TEETH] = {false};
    for (int i = 0; i < MC_TEETH; i++) {
        const mc_tooth tooth = mc_tooth_from_iso(atoi(chart[i][0]));
        assert_int_not_equal(tooth, MC_NO_TOOTH);
        assert_false(seen[tooth]);
        seen[tooth] = true;
        for (int n = MC_NOTATION_ISO; n <= MC_NOTATION_QUADRANT; n++) {
            char text[4];
            mc_tooth_text((mc_notation)n, tooth, text);
            assert_string_equal(text, chart[i][n]);
            assert_int_equal(mc_tooth_parse((mc_notation)n, chart[i][n]), tooth);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_ways_in_all_three),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
