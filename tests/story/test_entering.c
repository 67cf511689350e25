/* What a console enters and a command then finds: a check-up thrown away by command; and the note
 * of a check-up that a command brings. */
#include "document.h"

#include "midcourse/practice.h"

#define STORY FIXTURES "/story/"

static int begin(void **state) {
    (void)state;
    run_begin();
    setenv("MIDCOURSE_DB", "practice.db", 1);
    setenv("MIDCOURSE_TODAY", "2026-09-14", 1);
    write_text("doctor", "slow river stones\n");
    assert_run(0, "first doctor, AB", "midcourse init --doctor AB --new-passphrase-fd 3 3<doctor");
    assert_run(0, "Opened case 2001",
               "midcourse --as AB case new --chart 2001 --name 'Larkspur, Odile' --born 1999-02-03 "
               "--missing 18,28,38,48");
    assert_run(0, "plan 1 imported",
               "midcourse --as AB plan import 2001 " STORY "plan.csv --start 2026-06-01");
    return 0;
}

static int end(void **state) {
    (void)state;
    run_end();
    return 0;
}

#define must(call)                                                                                 \
    do {                                                                                           \
        if ((call) != MC_OK)                                                                       \
            fail_msg("%s: %s", #call, why.text);                                                   \
    } while (0)

/* As the console does, which is left then. */
static void enter_a_gap(void) {
    mc_error why = {.text = ""};
    mc_practice *practice = NULL;
    mc_draft *draft = NULL;
    mc_case kase;
    mc_day today;
    bool doubt;
    const mc_step gap = {.what = MC_STEP_SEAT_GAP, .tooth = mc_tooth_from_iso(12), .number = 0.3};
    assert_true(mc_day_parse("2026-09-14", &today));
    must(mc_practice_open("practice.db", today, &practice, &why));
    must(mc_practice_act_as(practice, "AB", &why));
    must(mc_case_find(practice, "2001", &kase, &why));
    must(mc_draft_open(practice, &kase, &draft, &why));
    must(mc_draft_enter(draft, &gap, false, &doubt, &why));
    mc_draft_close(draft);
    mc_practice_close(practice);
}

static void thrown_away_by_command(void **state) {
    (void)state;
    assert_run(1, "case 2001: no check-up is being entered",
               "midcourse --as AB checkup discard 2001");
    enter_a_gap();
    assert_run(1, "being entered",
               "midcourse --as AB checkup import 2001 " STORY
               "checkup-1.csv --date 2026-09-14 --aligner 8");
    assert_run(1, "nobody is named", "midcourse checkup discard 2001");
    assert_run(0, "Case 2001: check-up 1, which was being entered, is thrown away.",
               "midcourse --as AB checkup discard 2001");
    assert_run(0, "check-up 1 of 2026-09-14 discarded", "midcourse journal 2001 | tail -n 1");
    assert_run(0, "check-up discarded", "midcourse --json journal 2001");
    assert_run(1, "no check-up is being entered", "midcourse --as AB checkup discard 2001");
    enter_a_gap();
    assert_int_equal(run("midcourse --json --as AB checkup discard 2001"), 0);
    json_t *root = document();
    assert_int_equal(json_integer_value(member(root, "discarded")), 1);
    json_decref(root);
    assert_run(0, "", "midcourse --json checkup list 2001");
    root = document();
    assert_int_equal(json_array_size(member(root, "checkups")), 0);
    json_decref(root);
    assert_run(0, "is sound", "midcourse verify");
}

static void note_is(const char *text) {
    assert_int_equal(run("midcourse --json checkup list 2001"), 0);
    json_t *root = document(), *all = member(root, "checkups"), *last = NULL;
    assert_true(json_array_size(all) > 0);
    last = json_array_get(all, json_array_size(all) - 1);
    json_t *note = member(last, "note");
    if (text)
        assert_string_equal(json_string_value(note), text);
    else
        assert_true(json_is_null(note));
    json_decref(root);
}

static void the_note_of_a_check_up(void **state) {
    (void)state;
    char longest[502];
    memset(longest, 'n', sizeof longest - 1);
    longest[sizeof longest - 1] = '\0';
    assert_run(1, "note",
               "midcourse --as AB checkup import 2001 " STORY
               "checkup-1.csv --date 2026-09-14 --aligner 8 --note %s",
               longest);
    assert_run(1, "the note holds a control character",
               "midcourse --as AB checkup import 2001 " STORY
               "checkup-1.csv --date 2026-09-14 --aligner 8 --note \"$(printf 'a\\tb')\"");
    assert_run(0, "check-up 1 completed",
               "midcourse --as AB checkup import 2001 " STORY
               "checkup-1.csv --date 2026-09-14 --aligner 8 --note '12 rebonded, é'");
    note_is("12 rebonded, é");
    assert_run(0, "version 2",
               "midcourse --as AB checkup amend 2001 1 " STORY "checkup-1.csv --reason misread");
    note_is("12 rebonded, é");
    assert_run(
        0, "version 3; the one before stays beside it.\nWhat changed: midcourse journal 2001",
        "midcourse --as AB checkup amend 2001 1 " STORY "checkup-1.csv --reason misread --note ''");
    note_is(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(thrown_away_by_command),
                                       cmocka_unit_test(the_note_of_a_check_up)};
    return cmocka_run_group_tests(tests, begin, end);
}
