/* The comparison of the choices as people read it: every case of the demo, and one of which nothing
 * is known. */
#include "document.h"

#include <stdbool.h>

static const char *const CHARTS[] = {"1001", "1002", "1003", "1004", "1005", "1006", "1007",
                                     "1008", "1009", "1011", "1013", "1014", "1015", "1016"};

/* Every line fits, says no number that is none, and ends without blanks. */
static void is_readable(const char *text) {
    for (const char *at = text; *at;) {
        const size_t length = strcspn(at, "\n");
        if (length > 80 || (length > 0 && at[length - 1] == ' '))
            fail_msg("too wide, or blanks at its end: '%.*s'", (int)length, at);
        at += length + (at[length] == '\n');
    }
    assert_null(strstr(text, "nan"));
    assert_null(strstr(text, "inf "));
    assert_null(strstr(text, "-0.00"));
}

/* The line that begins with these words. */
static const char *line_of(const char *begins) {
    static char line[200];
    char wanted[100];
    snprintf(wanted, sizeof wanted, "\n%s", begins);
    const char *at = strstr(run_output, wanted);
    if (!at)
        fail_msg("no line begins with '%s' in:\n%s", begins, run_output);
    snprintf(line, sizeof line, "%.*s", (int)strcspn(at + 1, "\n"), at + 1);
    return line;
}

static bool has_option(json_t *list, const char *choice) {
    return entry(list, "choice", choice) != NULL;
}

static void every_case_is_compared(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof CHARTS / sizeof CHARTS[0]; i++) {
        assert_int_equal(run("midcourse options %s", CHARTS[i]), 0);
        is_readable(run_output);
        line_of("  hold 14 days");
        assert_non_null(strstr(run_output, "\nCorrected now: "));
        assert_int_equal(run("midcourse --json options %s", CHARTS[i]), 0);
        json_t *root = document(), *list = member(root, "options"), *one;
        size_t k;
        assert_true(json_array_size(list) >= 6);
        assert_string_equal(json_string_value(member(json_array_get(list, 0), "choice")),
                            "carry-on");
        assert_true(has_option(list, "hold") && has_option(list, "correct") &&
                    has_option(list, "finish"));
        json_array_foreach(list, k, one) {
            const double p = json_number_value(member(one, "p_all_in"));
            assert_true(p >= 0 && p <= 1);
            assert_true(json_number_value(member(one, "expected_out")) >= 0);
            assert_true(strcmp(json_string_value(member(one, "ends")), "2026-10-26") >= 0);
        }
        json_decref(root);
    }
}

/* The table holds what the document does, and the proposed choice is marked. */
static void a_table_line(void **state) {
    (void)state;
    assert_int_equal(run("midcourse --json options 1011"), 0);
    json_t *root = document(), *held = entry(member(root, "options"), "choice", "hold");
    char wanted[100];
    assert_string_equal(json_string_value(member(root, "proposal.choice")), "hold");
    snprintf(wanted, sizeof wanted, "> %-21s %8.2f", "hold 7 days",
             json_number_value(member(held, "expected_out")));
    assert_int_equal(run("midcourse options 1011"), 0);
    const char *line = line_of(wanted);
    assert_non_null(strstr(line, json_string_value(member(held, "ends"))));
    assert_non_null(strstr(line, "  +7 "));
    assert_null(strstr(run_output, "> hold 14"));
    assert_non_null(strstr(run_output, "> proposed. "));
    json_decref(root);
    assert_int_equal(run("midcourse options 1004"), 0); /* a repair is none of the choices */
    assert_null(strstr(run_output, "\n> "));
}

static void an_earlier_checkup(void **state) {
    (void)state;
    assert_run(0, "check-up 1 on", "midcourse options 1003 --checkup 1");
    line_of("  go back to aligner 2");
    assert_int_equal(run("midcourse --json options 1010 --checkup 3"), 0);
    json_t *root = document();
    assert_true(json_array_size(member(root, "options")) > 0);
    json_decref(root);
    assert_run(1, "nothing was read on plan 2", "midcourse options 1010");
    assert_run(1, "no check-up", "midcourse options 1012");
}

/* Only seat gaps were read: dates are known, ends of teeth are not. */
static void nothing_is_known(void **state) {
    (void)state;
    write_text("gaps.csv", "tooth,seat_gap_mm\n12,0.2\n22,0\n");
    assert_run(0, "check-up 1 completed",
               "midcourse --as IBA checkup import 1012 gaps.csv --date 2026-11-25 --aligner 1");
    assert_int_equal(run("midcourse options 1012"), 0);
    is_readable(run_output);
    assert_non_null(strstr(line_of("> carry on"), "      not known  20"));
    assert_non_null(strstr(run_output, "No position was read on this plan"));
    assert_non_null(strstr(run_output, "Corrected after finishing: not known"));
    assert_int_equal(run("midcourse --json options 1012"), 0);
    json_t *root = document(), *one = json_array_get(member(root, "options"), 0);
    assert_true(json_is_null(member(one, "expected_out")) && json_is_null(member(one, "p_all_in")));
    assert_int_equal(json_integer_value(member(one, "unknown")), 28);
    assert_true(json_is_string(member(one, "ends")));
    json_decref(root);
}

/* What is signed together is told together, with its days. */
static void what_is_signed_is_told(void **state) {
    (void)state;
    write_text("doctor", "copper-fern-lantern\n");
    assert_run(0, "Signed by IBA: hold 7 days and local, on check-up 4.",
               "midcourse --as IBA decide 1003 --choice local --choice hold --days 7 "
               "--passphrase-fd 3 3<doctor");
    assert_run(0, "Signed by IBA: go-back to aligner 12, on check-up 3.",
               "midcourse --as IBA decide 1011 --choice go-back --to 12 --reason 'lower only' "
               "--passphrase-fd 3 3<doctor");
    assert_run(1, "there is no earlier aligner to go back to",
               "midcourse --as IBA decide 1012 --choice go-back --to 0 --reason 'does not fit' "
               "--passphrase-fd 3 3<doctor");
    assert_run(0, "check-up 4: hold for 7 days,", "midcourse journal 1003");
}

/* Aligners of three digits fit too. */
static void a_long_series(void **state) {
    (void)state;
    write_text("long.csv", "tooth,stage,buccal_mm\n12,999,1.2\n");
    write_text("long-read.csv", "tooth,seat_gap_mm,buccal_mm\n12,0.2,1.1\n");
    assert_run(0, "Opened case 2001",
               "midcourse --as IBA case new --chart 2001 --name 'Invented, Ida' --born 1990-01-01");
    assert_run(0, "999",
               "midcourse --as IBA plan import 2001 long.csv --start 2020-01-06 "
               "--interval 2");
    assert_run(0, "check-up 1 completed",
               "midcourse --as IBA checkup import 2001 long-read.csv --date 2025-06-30 "
               "--aligner 998 --accept-warnings");
    assert_int_equal(run("midcourse options 2001"), 0);
    is_readable(run_output);
    line_of("  go back to aligner 997 ");
}

/* A proposal may name every tooth. */
static void every_tooth_is_named(void **state) {
    (void)state;
    assert_run(0, "Opened case 2002",
               "midcourse --as IBA case new --chart 2002 --name 'Invented, Udo' --born 1990-01-01");
    assert_run(0, "",
               "echo tooth,stage,rotation_deg > all.csv; echo tooth,rotation_deg > none.csv; "
               "for q in 1 2 3 4; do for t in 1 2 3 4 5 6 7 8; do "
               "echo $q$t,20,20 >> all.csv; echo $q$t,0 >> none.csv; done; done");
    assert_run(0, "20", "midcourse --as IBA plan import 2002 all.csv --start 2026-06-01");
    assert_run(0, "check-up 1 completed",
               "midcourse --as IBA checkup import 2002 none.csv --date 2026-11-02 --aligner 10 "
               "--method scan --accept-warnings");
    assert_int_equal(run("midcourse options 2002"), 0);
    is_readable(run_output);
    assert_true(strlen(line_of("  Teeth: ")) > 70); /* and more behind it */
}

/* What changes a setting and what re-stages a plan fit too, with the longest words they have. */
static void settings_and_revision(void **state) {
    (void)state;
    assert_run(0, "from now on",
               "midcourse --as IBA settings set own_share_se_second_premolar_angulation 0.125 "
               "--reason why");
    is_readable(run_output);
    assert_run(0, "corner of the crown", "midcourse --as IBA revise 1001 --out revised.csv");
    is_readable(run_output);
}

static int begin(void **state) {
    (void)state;
    run_begin();
    setenv("MIDCOURSE_TODAY", "2026-11-25", 1);
    assert_run(0, "invented", "midcourse --db demo.db demo --no-open");
    setenv("MIDCOURSE_DB", "demo.db", 1);
    return 0;
}

static int end(void **state) {
    (void)state;
    run_end();
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_case_is_compared), cmocka_unit_test(a_table_line),
        cmocka_unit_test(an_earlier_checkup),     cmocka_unit_test(nothing_is_known),
        cmocka_unit_test(what_is_signed_is_told), cmocka_unit_test(a_long_series),
        cmocka_unit_test(every_tooth_is_named),   cmocka_unit_test(settings_and_revision),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
