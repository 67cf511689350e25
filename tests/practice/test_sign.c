/* Revising and signing: what a doctor may sign, what it changes, and what is refused. */
#include "acting.h"

#include <jansson.h>

static mc_decide choice(unsigned choices) {
    return (mc_decide){.choices = choices, .to = -1, .start = MC_NO_DAY};
}

enum {
    CARRY_ON = 1 << MC_CARRY_ON,
    HOLD = 1 << MC_HOLD,
    GO_BACK = 1 << MC_GO_BACK,
    LOCAL = 1 << MC_LOCAL_MEASURES,
    CORRECT = 1 << MC_CORRECT,
    FINISH = 1 << MC_FINISH
};

static mc_status sign_with(house *h, const char *label, mc_decide what, const char *passphrase) {
    mc_case kase = find(h->practice, label);
    mc_decision decision;
    mc_warnings warnings;
    mc_status status = mc_sign(h->practice, &kase, &what, passphrase, &decision, &warnings, &why);
    assert_true((status == MC_OK) == (decision.evidence != NULL));
    free(decision.evidence);
    mc_warnings_free(&warnings);
    return status;
}

static mc_status sign(house *h, mc_decide what) {
    return sign_with(h, "1001", what, DOCTOR_WORDS);
}

static int enter_read(void **state) {
    enter(state);
    first_checkup(*state);
    second_checkup(*state);
    return 0;
}

#define signing_test(name) cmocka_unit_test_setup_teardown(name, enter_read, leave)

/* ---- who signs, and on what ---- */

static void only_a_doctor_signs_with_the_own_passphrase(void **state) {
    house *h = *state;
    refused(h, "not the passphrase of AB", sign_with(h, "1001", choice(CARRY_ON), OTHER_WORDS));
    refused(h, "not the passphrase of AB", sign_with(h, "1001", choice(CARRY_ON), ""));
    refused(h, "not the passphrase of AB", sign_with(h, "1001", choice(CARRY_ON), NULL));
    act_as(h, "CD");
    refused(h, "CD is not a doctor", sign_with(h, "1001", choice(CARRY_ON), OTHER_WORDS));
    act_as(h, "EF");
    refused(h, "EF is not a doctor", sign_with(h, "1001", choice(CARRY_ON), OTHER_WORDS));
    nobody(h, SECOND_DAY);
    refused(h, "nobody is named", sign(h, choice(CARRY_ON)));
    act_as(h, "AB");
    journalled(h, "decision signed", sign(h, choice(CARRY_ON)));
}

/* At the assistant's keyboard a doctor signs; whoever acts stays who they were. */
static void a_doctor_signs_at_somebody_elses_keyboard(void **state) {
    house *h = *state;
    mc_decide what = choice(CARRY_ON);
    mc_person actor;
    act_as(h, "CD");
    what.by = "CD";
    refused(h, "CD is not a doctor", sign(h, what));
    what.by = "XX";
    refused(h, "XX", sign(h, what));
    what.by = "AB";
    refused(h, "not the passphrase of AB", sign_with(h, "1001", what, OTHER_WORDS));
    assert_int_equal(why.need, MC_NEED_PASSPHRASE);
    journalled(h, "decision signed", sign(h, what));
    assert_true(mc_practice_actor(h->practice, &actor));
    assert_string_equal(actor.initials, "CD");
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_string_equal(a->decisions[0].by, "AB");
    mc_assessment_free(a);
    mc_entry *entries = NULL;
    size_t count = 0;
    done(mc_record_journal(mc_practice_record(h->practice), NULL, &entries, &count, &why));
    assert_string_equal(entries[count - 1].by, "AB");
    mc_entries_free(entries, count);
    nobody(h, SECOND_DAY);
    done(sign(h, what));
    assert_false(mc_practice_actor(h->practice, &actor));
}

/* What would be refused is known before the passphrase is asked for, and nothing is changed. */
static void a_decision_is_checked_before_it_is_signed(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_warnings warnings;
    mc_decide what = choice(HOLD);
    act_as(h, "CD");
    refused(h, "CD is not a doctor", mc_may_sign(h->practice, NULL, &why));
    done(mc_may_sign(h->practice, "AB", &why));
    refused(h, "1 to 60", mc_decide_check(h->practice, &kase, &what, &warnings, &why));
    what.days = 7;
    refused(h, "needs a reason", mc_decide_check(h->practice, &kase, &what, &warnings, &why));
    assert_int_equal(why.need, MC_NEED_REASON);
    what.reason = "to be sure";
    size_t entries = journal_length(h->practice, NULL);
    done(mc_decide_check(h->practice, &kase, &what, &warnings, &why));
    assert_int_equal(journal_length(h->practice, NULL), entries);
}

/* What is signed is what was looked at. */
static void a_case_changed_since_it_was_seen_is_not_signed(void **state) {
    house *h = *state;
    mc_decide what = choice(CARRY_ON);
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_case kase = find(h->practice, "1001");
    mc_checkup_import again = readings(SECOND_READ, SECOND_DAY, 9, 2);
    mc_warnings warnings;
    int version = 0;
    what.seen = a;
    done(mc_amend_checkup(h->practice, &kase, 2, &again, "read again", &version, &warnings, &why));
    mc_warnings_free(&warnings);
    refused(h, "changed on another console", sign(h, what));
    assert_int_equal(why.need, MC_NEED_LOOK);
    mc_assessment_free(a);
    what.seen = a = assessed(h->practice, "1001", 0);
    done(sign(h, what));
    refused(h, "changed on another console", sign(h, what));
    mc_assessment_free(a);
}

static void nothing_is_signed_where_nothing_was_read(void **state) {
    house *h = *state;
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    refused(h, "nothing was read", sign(h, choice(CARRY_ON)));
    mc_usual_teeth(states);
    done(mc_case_open(h->practice, "1002", "Invented, Bo", day("1980-01-01"), states, &kase, &why));
    refused(h, "nothing was read", sign_with(h, "1002", choice(CARRY_ON), DOCTOR_WORDS));
}

/* What was weighed when it was signed, as it is weighed now. */
static void the_options_are_kept(json_t *list, const mc_assessment *a) {
    mc_option options[MC_MOST_OPTIONS];
    const size_t count = mc_assess_options(a, options);
    assert_true(count > 0);
    assert_int_equal(json_array_size(list), count);
    for (size_t i = 0; i < count; i++) {
        json_t *one = json_array_get(list, i);
        char ends[11];
        mc_day_text(options[i].ends, ends);
        assert_string_equal(json_string_value(json_object_get(one, "ends")), ends);
        assert_true(json_real_value(json_object_get(one, "expected_out")) ==
                    options[i].expected_out);
    }
    assert_string_equal(json_string_value(json_object_get(json_array_get(list, 0), "choice")),
                        "carry-on");
}

static void the_decision_is_kept_with_what_was_seen(void **state) {
    house *h = *state;
    done(sign(h, choice(CARRY_ON)));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->decision_count, 1);
    assert_false(a->decision_due);
    assert_int_equal(a->decisions[0].checkup, 2);
    assert_int_equal(a->decisions[0].choices, CARRY_ON);
    assert_string_equal(a->decisions[0].by, "AB");
    mc_decision *kept = NULL;
    size_t count = 0;
    done(mc_record_decisions(mc_practice_record(h->practice), &a->kase.id, &kept, &count, &why));
    json_t *seen = json_loads(kept[0].evidence, 0, NULL);
    assert_non_null(seen);
    const char *hash = json_string_value(json_object_get(json_object_get(seen, "plan"), "hash"));
    json_t *teeth = json_object_get(json_object_get(seen, "score"), "teeth");
    json_t *proposal = json_object_get(json_object_get(seen, "options"), "proposal");
    assert_string_equal(hash, a->info.hash);
    assert_int_equal(json_array_size(teeth), a->score->present_count);
    assert_string_equal(json_string_value(json_object_get(proposal, "sentence")),
                        a->proposal.sentence);
    assert_non_null(json_object_get(json_object_get(seen, "settings"), "values"));
    the_options_are_kept(json_object_get(json_object_get(seen, "options"), "options"), a);
    json_decref(seen);
    mc_decision_free(kept, count);
    mc_assessment_free(a);
}

/* ---- the choice ---- */

static void choices_that_exclude_each_other_are_refused(void **state) {
    house *h = *state;
    mc_decide what = choice(CARRY_ON | HOLD);
    what.days = 7;
    refused(h, "nothing is chosen", sign(h, choice(0)));
    refused(h, "carry-on and hold exclude", sign(h, what));
    what = choice(CARRY_ON | GO_BACK);
    what.to = 8;
    refused(h, "carry-on and go-back exclude", sign(h, what));
    refused(h, "carry-on and correct exclude", sign(h, choice(CARRY_ON | CORRECT)));
    refused(h, "correct and finish exclude", sign(h, choice(FINISH | CORRECT)));
}

static void a_hold_has_its_days(void **state) {
    house *h = *state;
    mc_decide what = choice(HOLD);
    what.reason = "to be sure";
    refused(h, "1 to 60 days", sign(h, what));
    assert_int_equal(why.need, MC_NEED_DAYS);
    what.days = -1;
    refused(h, "1 to 60 days", sign(h, what));
    what.days = 61;
    refused(h, "1 to 60 days", sign(h, what));
    what.choices = CARRY_ON;
    refused(h, "days belong to a hold", sign(h, what));
    what.choices = HOLD;
    what.days = 60;
    done(sign(h, what));
}

/* Aligner 0 is none: nothing would be worn, and nothing can be weighed. */
static void going_back_is_to_an_aligner(void **state) {
    house *h = *state;
    int64_t set;
    done(mc_settings_change(h->practice, NULL, "reseat_back", 20, "so", &set, &why));
    first_checkup(h);
    mc_decide what = choice(GO_BACK);
    what.reason = "to be sure";
    what.to = 0;
    refused(h, "from aligner 4 it goes back to 1 at the furthest, and to 3", sign(h, what));
    what.to = 1;
    done(sign(h, what));
}

static void going_back_has_its_aligner(void **state) {
    house *h = *state;
    mc_decide what = choice(GO_BACK);
    what.reason = "to be sure";
    refused(h, "which aligner to go back to", sign(h, what));
    assert_int_equal(why.need, MC_NEED_ALIGNER);
    what.to = 9;
    refused(h, "from aligner 9 it goes back to 6 at the furthest, and to 8", sign(h, what));
    what.to = 5;
    refused(h, "from aligner 9", sign(h, what));
    what.choices = CARRY_ON;
    what.to = 8;
    refused(h, "belongs to go-back", sign(h, what));
    what.choices = GO_BACK;
    what.to = 6;
    done(sign(h, what));
}

static void doing_otherwise_needs_a_reason(void **state) {
    house *h = *state;
    char long_reason[502];
    mc_decide what = choice(LOCAL);
    refused(h, "the proposal is carry-on", sign(h, what));
    what.reason = "";
    refused(h, "the proposal is carry-on", sign(h, what));
    memset(long_reason, 'x', 501);
    long_reason[501] = '\0';
    what.reason = long_reason;
    refused(h, "at most 500 bytes", sign(h, what));
    long_reason[500] = '\0';
    done(sign(h, what));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_string_equal(a->decisions[0].reason, long_reason);
    mc_assessment_free(a);
}

static void a_correction_has_its_plan_and_cause(void **state) {
    house *h = *state;
    mc_decide what = choice(CORRECT);
    what.reason = "to be sure";
    refused(h, "needs its plan", sign(h, what));
    what.plan = PLAN;
    what.plan_size = strlen(PLAN);
    refused(h, "needs its cause", sign(h, what));
    what.choices = CARRY_ON;
    refused(h, "belong to a correction", sign(h, what));
}

/* ---- what it changes ---- */

static mc_roster_row row_on(house *h, const char *date) {
    mc_roster_row *rows = NULL;
    size_t count = 0;
    done(mc_roster(h->practice, day(date), &rows, &count, &why));
    assert_int_equal(count, 1);
    mc_roster_row row = rows[0];
    free(rows);
    return row;
}

static void carrying_on_changes_no_date(void **state) {
    house *h = *state;
    mc_roster_row before = row_on(h, SECOND_DAY);
    assert_true(before.decision_due);
    assert_int_equal(before.aligner[MC_UPPER], 9);
    assert_int_equal(before.next_change, day("2025-06-08")); /* begun on 05-29 */
    assert_int_equal(before.next_checkup, day(SECOND_DAY) + 42);
    done(sign(h, choice(CARRY_ON)));
    mc_roster_row after = row_on(h, SECOND_DAY);
    assert_false(after.decision_due);
    assert_int_equal(after.next_change, before.next_change);
    assert_int_equal(after.next_checkup, before.next_checkup);
    assert_true(after.urgency < before.urgency);
}

static void a_hold_puts_off_the_next_change(void **state) {
    house *h = *state;
    mc_decide what = choice(HOLD);
    what.days = 7;
    what.reason = "to be sure";
    done(sign(h, what));
    mc_roster_row row = row_on(h, SECOND_DAY);
    assert_int_equal(row.next_change, day("2025-06-08") + 7);
    assert_int_equal(row.next_checkup, day(SECOND_DAY) + 7);
    assert_int_equal(row_on(h, "2025-06-14").aligner[MC_UPPER], 9);
    assert_int_equal(row_on(h, "2025-06-15").aligner[MC_UPPER], 10);
}

static void going_back_begins_the_earlier_aligner_again(void **state) {
    house *h = *state;
    mc_decide what = choice(GO_BACK);
    what.to = 7;
    what.reason = "to be sure";
    done(sign(h, what));
    mc_roster_row row = row_on(h, SECOND_DAY);
    assert_int_equal(row.aligner[MC_UPPER], 7);
    assert_int_equal(row.next_change, day(SECOND_DAY) + 10);
}

static void finishing_closes_the_plan_only_at_its_end(void **state) {
    house *h = *state;
    mc_checkup_import last = readings("tooth,seat_gap_mm,buccal_mm,rotation_deg\n12,0.1,1.2,18\n"
                                      "11,0.1,0.6,-9\n",
                                      "2025-10-31", 24, 6);
    mc_plan_import again = plan_file(PLAN);
    mc_decide early = choice(FINISH);
    early.reason = "to be sure";
    done(sign(h, early));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->info.status, MC_PLAN_ACTIVE);
    mc_assessment_free(a);
    h->practice->today = last.date;
    done(import_checkup(h, "1001", &last));
    a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->proposal.choice, MC_PROPOSE_FINISH);
    mc_assessment_free(a);
    done(sign(h, choice(FINISH)));
    a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->info.status, MC_PLAN_CLOSED);
    mc_assessment_free(a);
    assert_string_equal(row_on(h, "2025-12-31").reasons, "plan 1 finished");
    assert_int_equal(row_on(h, "2025-12-31").urgency, 0);
    refused(h, "no active plan", sign(h, choice(FINISH)));
    last.date++;
    refused(h, "no active plan", import_checkup(h, "1001", &last));
    again.start = last.date;
    done(import_plan(h, "1001", &again)); /* a new plan may follow a finished one */
}

/* ---- revising ---- */

static mc_status revise(house *h, const char *label, const char *target, double percent,
                        mc_revision *out) {
    mc_case kase = find(h->practice, label);
    return mc_revise(h->practice, &kase, target, target ? strlen(target) : 0, percent, out, &why);
}

static void a_scan_makes_an_order_and_nothing_else_does(void **state) {
    house *h = *state;
    mc_revision revision;
    first_checkup(h);
    done(revise(h, "1001", NULL, 0, &revision));
    assert_true(revision.preview);
    assert_non_null(strstr(revision.why_preview, "12, 11"));
    assert_non_null(strstr(revision.file, "preview"));
    mc_revision_free(&revision);
    second_checkup(h);
    done(revise(h, "1001", NULL, 0, &revision));
    assert_false(revision.preview);
    assert_string_equal(revision.why_preview, "");
    /* 18 - 6.4 deg at most 2 an aligner */
    assert_int_equal(revision.account.stages[MC_UPPER], 6);
    assert_int_equal(revision.account.stages[MC_LOWER], 0);
    mc_revision_free(&revision);
    h->practice->today = day(SECOND_DAY) + 14;
    done(revise(h, "1001", NULL, 0, &revision));
    assert_false(revision.preview);
    mc_revision_free(&revision);
    h->practice->today = day(SECOND_DAY) + 15;
    done(revise(h, "1001", NULL, 0, &revision));
    assert_true(revision.preview);
    assert_non_null(strstr(revision.why_preview, "15 days old"));
    mc_revision_free(&revision);
}

static void a_target_and_overcorrection_are_the_doctors(void **state) {
    house *h = *state;
    mc_revision plain, further, other;
    mc_tooth tooth = mc_tooth_from_iso(12);
    done(revise(h, "1001", NULL, 0, &plain));
    done(revise(h, "1001", NULL, 25, &further));
    done(revise(h, "1001", "tooth,stage,rotation_deg\n12,9,10.4\n", 0, &other));
    const double left = plain.account.tooth[tooth].remaining.c[MC_ROTATION];
    assert_true(fabs(left - 11.6) < 1e-9);
    assert_true(fabs(further.account.tooth[tooth].remaining.c[MC_ROTATION] - 1.25 * left) < 1e-9);
    assert_true(fabs(other.account.tooth[tooth].remaining.c[MC_ROTATION] - 4) < 1e-9);
    mc_revision_free(&plain);
    mc_revision_free(&further);
    mc_revision_free(&other);
    assert_int_equal(other.warnings.count, 0);
    done(revise(h, "1001", "tooth,stage,rotation_deg\n12,2,10.4\n", 0, &other));
    assert_true(other.warnings.count > 0);
    assert_int_equal(other.warnings.list[0].line, 2);
    mc_revision_free(&other);
}

static void a_revision_is_refused(void **state) {
    house *h = *state;
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_revision revision;
    refused(h, "nothing was read", revise(h, "1001", NULL, 0, &revision));
    assert_null(revision.file);
    mc_usual_teeth(states);
    done(mc_case_open(h->practice, "1002", "Invented, Bo", day("1980-01-01"), states, &kase, &why));
    refused(h, "no plan", revise(h, "1002", NULL, 0, &revision));
    first_checkup(h);
    refused(h, "0 to 30 percent", revise(h, "1001", NULL, 31, &revision));
    refused(h, "0 to 30 percent", revise(h, "1001", NULL, -1, &revision));
    refused(h, "0 to 30 percent", revise(h, "1001", NULL, NAN, &revision));
    refused(h, "180 deg of rotation or more",
            revise(h, "1001", "tooth,stage,rotation_deg\n12,9,150\n", 30, &revision));
    refused(h, "90 deg of angulation or more",
            revise(h, "1001", "tooth,stage,angulation_deg\n12,9,-85\n", 30, &revision));
    refused(h, "may not be moved",
            revise(h, "1001", "tooth,stage,buccal_mm\n16,9,1\n", 0, &revision));
    assert_int_equal(why.line, 2);
    assert_null(revision.file);
}

/* ---- correcting ---- */

static mc_decide correction(const char *file, size_t size) {
    mc_decide what = choice(CORRECT);
    what.cause = MC_CAUSE_STAGING;
    what.reason = "to be sure";
    what.plan = file;
    what.plan_size = size;
    return what;
}

static void a_correction_opens_its_plan(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_revision revision;
    mc_plan_info *plans = NULL;
    mc_plan *plan = NULL;
    mc_start start;
    size_t count = 0;
    done(revise(h, "1001", NULL, 0, &revision));
    journalled(h, "decision signed", sign(h, correction(revision.file, revision.file_size)));
    done(mc_record_plans(mc_practice_record(h->practice), &kase.id, &plans, &count, &why));
    assert_int_equal(count, 2);
    assert_int_equal(plans[0].status, MC_PLAN_SUPERSEDED);
    assert_int_equal(plans[1].status, MC_PLAN_ACTIVE);
    assert_int_equal(plans[1].start, day(SECOND_DAY) + 21);
    assert_int_equal(plans[1].made_from, 2);
    assert_int_equal(plans[1].interval[MC_UPPER], 10);
    done(mc_record_plan(mc_practice_record(h->practice), &plans[1].id, &plan, &start, &why));
    assert_true(fabs(mc_plan_at(plan, mc_tooth_from_iso(12), MC_ROTATION, 6) - 11.6) < 1e-9);
    /* the scan's own error: 0.7 deg */
    assert_true(fabs(start.variance[mc_tooth_from_iso(12)][MC_ROTATION] - 0.49) < 1e-12);
    assert_true(start.variance[mc_tooth_from_iso(14)][MC_ROTATION] == 0);
    mc_plan_free(plan);
    free(plans);
    mc_revision_free(&revision);
    mc_roster_row row = row_on(h, SECOND_DAY);
    assert_int_equal(row.aligner[MC_UPPER], 9); /* none of the new ones yet */
    assert_true(row.awaited.waits[MC_UPPER] && !row.awaited.waits[MC_LOWER]);
    assert_int_equal(row.next_change, day(SECOND_DAY) + 21);
    assert_string_equal(row.reasons, "waiting: wears upper 9; new series expected 2025-06-20");
}

static void a_correction_may_have_its_own_dates(void **state) {
    house *h = *state;
    mc_revision revision;
    done(revise(h, "1001", NULL, 0, &revision));
    mc_decide what = correction(revision.file, revision.file_size);
    what.start = day(SECOND_DAY) - 1;
    refused(h, "cannot start before today", sign(h, what));
    what.start = day(SECOND_DAY) + 3;
    what.interval[MC_UPPER] = 7;
    done(sign(h, what));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_true(a->turn.waiting);
    assert_int_equal(a->turn.next.start, day(SECOND_DAY) + 3);
    assert_int_equal(a->turn.next.interval[MC_UPPER], 7);
    mc_assessment_free(a);
    mc_revision_free(&revision);
}

static void a_preview_is_no_order(void **state) {
    house *h = *state;
    mc_revision revision;
    first_checkup(h);
    done(revise(h, "1001", NULL, 0, &revision));
    refused(h, "preview", sign(h, correction(revision.file, revision.file_size)));
    mc_revision_free(&revision);
    /* nor is a file that does not say so itself */
    refused(h, "an order needs all six components", sign(h, correction(PLAN, strlen(PLAN))));
}

static void a_draft_of_another_case_is_refused(void **state) {
    house *h = *state;
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_plan_import plan = plan_file(PLAN);
    mc_checkup_import what = readings(SECOND_READ, SECOND_DAY, 9, 2);
    mc_revision revision;
    what.method = MC_SCAN;
    mc_usual_teeth(states);
    done(mc_case_open(h->practice, "1002", "Invented, Bo", day("1980-01-01"), states, &kase, &why));
    done(import_plan(h, "1002", &plan));
    done(import_checkup(h, "1002", &what));
    done(revise(h, "1002", NULL, 0, &revision));
    refused(h, "another case", sign(h, correction(revision.file, revision.file_size)));
    mc_revision_free(&revision);
}

static void a_draft_from_before_the_last_checkup_is_refused(void **state) {
    house *h = *state;
    mc_checkup_import later = readings(SECOND_READ, "2025-06-02", 9, 5);
    mc_revision revision;
    done(revise(h, "1001", NULL, 0, &revision));
    h->practice->today = later.date;
    later.method = MC_SCAN;
    done(import_checkup(h, "1001", &later));
    refused(h, "made from check-up 2; the last is 3",
            sign(h, correction(revision.file, revision.file_size)));
    mc_revision_free(&revision);
}

static void poses_that_are_too_old_are_refused(void **state) {
    house *h = *state;
    int64_t set = 0;
    mc_revision revision;
    done(revise(h, "1001", NULL, 0, &revision));
    mc_decide what = correction(revision.file, revision.file_size);
    h->practice->today = day(SECOND_DAY) + 15;
    refused(h, "15 days old; an order needs poses at most 14", sign(h, what));
    h->practice->today = day(SECOND_DAY) + 6;
    done(mc_settings_change(h->practice, NULL, "order_pose_days", 5, "stricter", &set, &why));
    refused(h, "6 days old; an order needs poses at most 5", sign(h, what));
    h->practice->today = day(SECOND_DAY) + 5;
    done(sign(h, what));
    mc_revision_free(&revision);
}

static void a_correction_with_warnings_is_signed_on_purpose(void **state) {
    house *h = *state;
    static const char steep[] = "tooth,stage,rotation_deg\n12,2,9\n";
    mc_case kase = find(h->practice, "1001");
    mc_decide what = correction(steep, strlen(steep));
    mc_decision decision;
    mc_warnings warnings;
    refused(h, "to sign it all the same, accept",
            mc_sign(h->practice, &kase, &what, DOCTOR_WORDS, &decision, &warnings, &why));
    assert_true(warnings.count > 0);
    mc_warnings_free(&warnings);
    what.accept_warnings = true;
    done(sign(h, what));
}

static void a_faulty_plan_file_is_refused_at_its_place(void **state) {
    house *h = *state;
    static const char faulty[] = "tooth,stage,rotation_deg\n12,2,x\n";
    refused(h, "no plain decimal", sign(h, correction(faulty, strlen(faulty))));
    assert_int_equal(why.line, 2);
    assert_int_equal(why.column, 6);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        signing_test(only_a_doctor_signs_with_the_own_passphrase),
        signing_test(a_doctor_signs_at_somebody_elses_keyboard),
        signing_test(a_decision_is_checked_before_it_is_signed),
        signing_test(a_case_changed_since_it_was_seen_is_not_signed),
        acting_test(nothing_is_signed_where_nothing_was_read),
        signing_test(the_decision_is_kept_with_what_was_seen),
        signing_test(choices_that_exclude_each_other_are_refused),
        signing_test(a_hold_has_its_days),
        signing_test(going_back_has_its_aligner),
        acting_test(going_back_is_to_an_aligner),
        signing_test(doing_otherwise_needs_a_reason),
        signing_test(a_correction_has_its_plan_and_cause),
        signing_test(carrying_on_changes_no_date),
        signing_test(a_hold_puts_off_the_next_change),
        signing_test(going_back_begins_the_earlier_aligner_again),
        signing_test(finishing_closes_the_plan_only_at_its_end),
        acting_test(a_scan_makes_an_order_and_nothing_else_does),
        signing_test(a_target_and_overcorrection_are_the_doctors),
        acting_test(a_revision_is_refused),
        signing_test(a_correction_opens_its_plan),
        signing_test(a_correction_may_have_its_own_dates),
        acting_test(a_preview_is_no_order),
        signing_test(a_draft_of_another_case_is_refused),
        signing_test(a_draft_from_before_the_last_checkup_is_refused),
        signing_test(poses_that_are_too_old_are_refused),
        signing_test(a_correction_with_warnings_is_signed_on_purpose),
        signing_test(a_faulty_plan_file_is_refused_at_its_place),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
