/* A corrected series by commands: ordered, awaited, delivered, begun. */
#include "document.h"

#define STORY FIXTURES "/story/"

/* Up to the signature of a correction, on 2026-11-10. */
static void ordered(void) {
    write_text("doctor", "slow river stones\n");
    write_text("helper", "grey morning kettle\n");
    assert_run(0, "first doctor, AB", "midcourse init --doctor AB --new-passphrase-fd 3 3<doctor");
    assert_run(0, "Added CD, assistant",
               "midcourse --as AB staff add CD --role assistant --new-passphrase-fd 3 3<helper");
    assert_run(0, "Opened case 2001",
               "midcourse --as CD case new --chart 2001 --name 'Larkspur, Odile' --born 1999-02-03 "
               "--missing 18,28,38,48");
    assert_run(0, "24 aligners",
               "midcourse --as CD plan import 2001 " STORY "plan.csv --start 2026-06-01");
    assert_run(1, "no corrected series", "midcourse --as CD plan delivered 2001 --date 2026-11-10");
    assert_run(0, "check-up 1 completed",
               "midcourse --as CD checkup import 2001 " STORY
               "checkup-2.csv --date 2026-11-09 --aligner 12 --day 8 --wear 21 --method scan "
               "--accept-warnings");
    assert_run(0, "draft", "midcourse revise 2001 --out draft.csv");
    assert_run(0, "Until then the person wears upper 12",
               "midcourse --as AB decide 2001 --choice correct --plan draft.csv --cause staging "
               "--reason 'it lags' --passphrase-fd 3 3<doctor");
}

static void awaited(void) {
    assert_run(0, "waiting: wears upper and lower 12", "midcourse roster");
    assert_run(0, "kept until the new series begins", "midcourse case show 2001");
    assert_run(0, "Plan 2, starts 2026-12-01", "midcourse plan show 2001");
    assert_int_equal(run("midcourse --json roster"), 0);
    json_t *root = document();
    json_t *row = json_array_get(json_object_get(root, "cases"), 0);
    assert_int_equal(json_integer_value(member(row, "waiting.upper.wears")), 12);
    assert_string_equal(json_string_value(member(row, "waiting.upper.first")), "2026-12-01");
    assert_true(json_is_false(member(row, "waiting.upper.recorded")));
    assert_true(json_is_null(member(row, "waiting.delivered")));
    assert_int_equal(json_integer_value(member(row, "upper.aligner")), 12);
    json_decref(root);
    setenv("MIDCOURSE_TODAY", "2026-11-20", 1);
    assert_run(
        0, "check-up 2 completed",
        "midcourse --as CD checkup import 2001 " STORY
        "checkup-2.csv --date 2026-11-20 --aligner 12 --wear 21 --method scan --accept-warnings");
    assert_run(0, "Wait for the corrected series", "midcourse options 2001");
    assert_run(0, "not weighed: the corrected series is awaited", "midcourse options 2001");
    assert_run(1, "finish belongs to a series",
               "midcourse --as AB decide 2001 --choice finish --reason so --passphrase-fd 3 "
               "3<doctor");
    assert_run(0, "Signed by AB: carry-on, on check-up 2",
               "midcourse --as AB decide 2001 --choice carry-on --passphrase-fd 3 3<doctor");
}

static void refused(void) {
    assert_run(2, "on which day", "midcourse --as CD plan delivered 2001");
    assert_run(2, "on which day", "midcourse --as CD plan begin 2001");
    assert_run(2, "midcourse:", "midcourse --as CD plan begin 2001 --date tomorrow");
    assert_run(1, "not recorded as delivered",
               "midcourse --as CD plan begin 2001 --date 2026-11-20");
    assert_run(1, "before plan 2 was ordered",
               "midcourse --as CD plan delivered 2001 --date 2026-11-01");
    assert_run(1, "after today", "midcourse --as CD plan delivered 2001 --date 2026-11-21");
    assert_run(1, "nobody is named", "midcourse plan delivered 2001 --date 2026-11-20");
}

static void begun(void) {
    assert_run(0, "expected 2026-12-05", "midcourse --as CD plan expect 2001 --date 2026-12-05");
    setenv("MIDCOURSE_TODAY", "2026-12-03", 1);
    assert_run(0, "delivered 2026-12-02",
               "midcourse --as CD plan delivered 2001 --date 2026-12-02");
    assert_run(1, "was read on the old series",
               "midcourse --as CD checkup import 2001 " STORY
               "checkup-2.csv --date 2026-12-03 --aligner 12 --wear 21 --accept-warnings && "
               "midcourse --as CD plan begin 2001 --date 2026-12-02");
    assert_run(0, "Recorded for plan 2", "midcourse --as CD plan begin 2001 --date 2026-12-03");
    assert_int_equal(run("midcourse --json plan show 2001"), 0);
    json_t *root = document();
    assert_string_equal(json_string_value(member(root, "worn_from")), "2026-12-03");
    assert_string_equal(json_string_value(member(root, "delivered")), "2026-12-02");
    assert_string_equal(json_string_value(member(root, "ordered")), "2026-11-10");
    assert_true(json_is_true(member(root, "upper_first.recorded")));
    assert_true(json_is_null(member(root, "waiting")));
    json_decref(root);
    assert_run(0, "plan 2: first day", "midcourse journal 2001");
    assert_run(0, "plan 2 delivered on 2026-12-02", "midcourse journal 2001");
    assert_run(0, "nothing read on plan 2 yet", "midcourse roster");
    assert_run(0, "is sound", "midcourse verify");
}

static void a_corrected_series_comes(void **state) {
    (void)state;
    run_begin();
    setenv("MIDCOURSE_TODAY", "2026-11-10", 1);
    ordered();
    awaited();
    refused();
    begun();
    run_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_corrected_series_comes)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
