/* The whole job by commands, with invented people and teeth: from an empty record to the first
 * stage of a corrected plan. */
#include "document.h"

#define STORY FIXTURES "/story/"

static void make_practice(void) {
    write_text("doctor", "slow river stones\n");
    write_text("helper", "grey morning kettle\n");
    assert_run(0, "first doctor, AB", "midcourse init --doctor AB --new-passphrase-fd 3 3<doctor");
    assert_run(0, "Added CD, assistant",
               "midcourse --as AB staff add CD --role assistant --new-passphrase-fd 3 3<helper");
    assert_run(0, "Opened case 2001",
               "midcourse --as CD case new --chart 2001 --name 'Larkspur, Odile' --born 1999-02-03 "
               "--missing 18,28,38,48");
    assert_run(0, "Upper  24 aligners, 14 days each",
               "midcourse --as CD plan import 2001 " STORY "plan.csv --start 2026-06-01");
}

static const char *state_of(json_t *root, const char *tooth) {
    return json_string_value(
        json_object_get(entry(json_object_get(root, "teeth"), "tooth", tooth), "state"));
}

/* The first check-up: 12 and 22 lag, and the score says so. */
static void first_checkup(void) {
    assert_run(0, "check-up 1 completed",
               "midcourse --as CD checkup import 2001 " STORY
               "checkup-1.csv --date 2026-09-14 --aligner 8 --day 8 --wear 21 --method photo");
    assert_run(4, "12     behind", "midcourse score 2001 --check");
    assert_int_equal(run("midcourse --json score 2001"), 0);
    json_t *root = document();
    assert_string_equal(state_of(root, "12"), "behind");
    assert_string_equal(state_of(root, "22"), "behind");
    assert_int_equal(json_integer_value(member(root, "summary.behind")), 2);
    assert_string_equal(json_string_value(member(root, "summary.worst")), "12");
    json_decref(root);
    assert_run(0, "Proposal: local (rule 9)", "midcourse options 2001");
    assert_run(0, "decision due: local", "midcourse roster");
    assert_run(1, "only a doctor signs",
               "midcourse --as CD decide 2001 --choice local --passphrase-fd 3 3<helper");
    assert_run(1, "passphrase",
               "midcourse --as AB decide 2001 --choice local --passphrase-fd 3 3<helper");
    assert_run(0, "Signed by AB: local",
               "midcourse --as AB decide 2001 --choice local --passphrase-fd 3 3<doctor");
}

/* The second, from a scan: the lag crosses the tolerance of the correction, and its rule says so.
 */
static void second_checkup(void) {
    assert_run(0, "check-up 2 completed",
               "midcourse --as CD checkup import 2001 " STORY
               "checkup-2.csv --date 2026-11-09 --aligner 12 --day 8 --wear 21 --method scan");
    assert_int_equal(run("midcourse --json score 2001"), 0);
    json_t *root = document();
    assert_string_equal(state_of(root, "12"), "stalled");
    assert_string_equal(state_of(root, "22"), "stalled");
    assert_string_equal(state_of(root, "11"), "on_plan");
    json_decref(root);
    assert_int_equal(run("midcourse --json options 2001"), 0);
    root = document();
    assert_string_equal(json_string_value(member(root, "proposal.choice")), "correct");
    assert_int_equal(json_integer_value(member(root, "proposal.rule")), 8);
    assert_string_equal(json_string_value(json_array_get(member(root, "proposal.teeth"), 0)), "12");
    json_decref(root);
}

/* Re-staged from the scanned poses: an order, exactly to the old plan's target. */
static void revise(void) {
    assert_int_equal(run("midcourse --json revise 2001 --out draft.csv"), 0);
    json_t *root = document();
    assert_true(json_is_false(member(root, "preview")));
    json_t *lateral = entry(member(root, "teeth"), "tooth", "12");
    /* the scan has 12 rotated by 2.0 of the 20 deg planned: at 2 deg an aligner at least 9 aligners
     * remain */
    assert_true(json_integer_value(json_object_get(lateral, "stages_needed")) >= 8);
    assert_true(json_integer_value(member(root, "stages")) >=
                json_integer_value(json_object_get(lateral, "stages_needed")));
    json_decref(root);
    assert_run(1, "draft.csv", "midcourse revise 2001 --out draft.csv");
}

/* Signed: the corrected plan stands beside the old one, and its first stage is there. */
static void sign(void) {
    assert_run(1, "cause",
               "midcourse --as AB decide 2001 --choice correct --plan draft.csv --passphrase-fd 3 "
               "3<doctor");
    assert_run(0, "Plan 2 is open beside plan 1",
               "midcourse --as AB decide 2001 --choice correct --plan draft.csv --cause staging "
               "--passphrase-fd 3 3<doctor");
    assert_int_equal(run("midcourse --json plan show 2001 --stage 1"), 0);
    json_t *root = document();
    assert_int_equal(json_integer_value(member(root, "plan")), 2);
    double rotation =
        json_real_value(json_object_get(entry(member(root, "poses"), "tooth", "12"), "rotation"));
    assert_true(rotation > 0.5 && rotation <= 2 + 1e-9);
    json_decref(root);
    assert_run(0, "since superseded", "midcourse score 2001 --checkup 2");
    assert_run(0, "waiting: wears upper", "midcourse roster");
    assert_run(0, "decision signed", "midcourse journal 2001");
}

static void keep(void) {
    assert_run(0, "is sound", "midcourse verify");
    assert_run(0, "checked the copy", "midcourse backup copy.db");
    assert_run(1, "copy.db", "midcourse backup copy.db");
    assert_run(0, "is sound", "midcourse --db copy.db verify");
    assert_run(0, "copy.db holds", "midcourse --db other.db restore copy.db");
    assert_run(0, "Plan 2", "midcourse --db other.db plan show 2001");
}

static void whole_job(void **state) {
    (void)state;
    run_begin();
    setenv("MIDCOURSE_TODAY", "2026-11-10", 1);
    make_practice();
    first_checkup();
    second_checkup();
    revise();
    sign();
    keep();
    run_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(whole_job)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
