/* The demo practice: every invented case is at the point that it is there to show, today and on any
 * other day. */
#include "practised.h"

#include "demo.h"

#include "midcourse/exchange.h"

#define TODAY "2026-03-17"
#define LEAP_DAY "2024-02-29"

static house *made_on(const char *today) {
    house *h = house_new();
    done(mc_demo_make(h->path, day(today), &h->practice, &why));
    return h;
}

static int make_today(void **state) {
    *state = made_on(TODAY);
    return 0;
}

static int unmake(void **state) {
    house_free(*state);
    return 0;
}

/* ---- what it is made of ---- */

static void every_file_says_that_it_is_invented(void **state) {
    (void)state;
    for (size_t i = 0; i < demo_file_count; i++) {
        static const char remark[] = "# Invented for the demo practice;";
        assert_true(demo_files[i].size > sizeof remark);
        assert_memory_equal(demo_files[i].data, remark, sizeof remark - 1);
    }
}

static void the_program_holds_the_files_byte_for_byte(void **state) {
    (void)state;
    assert_true(demo_file_count > 50);
    for (size_t i = 0; i < demo_file_count; i++) {
        char path[400], *data = NULL;
        size_t size = 0;
        snprintf(path, sizeof path, "%s/demo/%s", FIXTURES, demo_files[i].name);
        done(mc_file_read(path, &data, &size, &why));
        assert_int_equal(size, demo_files[i].size);
        assert_memory_equal(data, demo_files[i].data, size);
        free(data);
    }
}

static void people_have_passphrases_that_can_be_printed(void **state) {
    house *h = *state;
    size_t count = 0;
    bool role[3] = {false};
    const mc_demo_person *people = mc_demo_people(&count);
    assert_int_equal(count, 3);
    for (size_t i = 0; i < count; i++) {
        assert_true(strlen(people[i].passphrase) >= 12);
        for (const char *c = people[i].passphrase; *c; c++)
            assert_true(*c > ' ' && *c < 127);
        done(mc_record_check_passphrase(mc_practice_record(h->practice), people[i].initials,
                                        people[i].passphrase, &why));
        role[people[i].role] = true;
    }
    assert_true(role[MC_DOCTOR] && role[MC_ASSISTANT] && role[MC_DESK]);
}

static void the_record_is_whole_and_known_as_a_demo(void **state) {
    house *h = *state;
    int64_t entries = 0;
    char last[33];
    mc_person actor;
    done(mc_record_verify(mc_practice_record(h->practice), &entries, &why));
    assert_int_equal(entries, journal_length(h->practice, last));
    assert_string_equal(last, "demo made");
    assert_true(mc_demo_is(h->practice));
    assert_int_equal(mc_practice_today(h->practice), day(TODAY));
    assert_true(mc_practice_actor(h->practice, &actor));
    assert_int_equal(actor.role, MC_DOCTOR);
}

static void another_practice_is_no_demo(void **state) {
    (void)state;
    house *h = house_new();
    size_t count;
    /* even where its doctor has the demo doctor's initials */
    done(mc_practice_make(h->path, day(TODAY), mc_demo_people(&count)[0].initials, "invented words",
                          &h->practice, &why));
    assert_false(mc_demo_is(h->practice));
    house_free(h);
}

static void a_file_that_exists_is_left_alone(void **state) {
    house *h = *state;
    mc_practice *second = NULL;
    refuses(MC_REFUSED, "there is a record already",
            mc_demo_make(h->path, day(TODAY), &second, &why));
    assert_null(second);
    assert_int_equal(access(h->path, R_OK), 0);
}

static size_t open_cases(void) {
    size_t count = 0;
    for (size_t i = 0; i < demo_case_count; i++)
        count += !demo_cases[i].closed;
    return count;
}

/* Those that are over have their plans closed: enough of them for an own accuracy. */
static void finished_cases_tell_the_own_accuracy(void **state) {
    house *h = *state;
    mc_accuracy a;
    done(mc_accuracy_all(h->practice, &a, &why));
    assert_true(demo_case_count - open_cases() >= MC_LEAST_PATIENTS);
    assert_true(a.patients > demo_case_count - open_cases()); /* others closed or corrected too */
    assert_true(a.of[MC_CANINE][MC_MOVE_ROTATION].can_be_used);
    assert_true(a.of[MC_MOLAR][MC_MOVE_DISTAL].patients > 0);
    assert_true(!a.of[MC_MOLAR][MC_MOVE_DISTAL].can_be_used);
}

/* ---- what each case shows ---- */

/* The last check-up of a case: a tooth's state (0: none in particular) and the proposal. */
static const struct {
    const char *chart;
    int iso;
    mc_state state;
    mc_proposal_choice proposal;
    bool due;
} SHOWN[] = {
    {"1001", 13, MC_STATE_ON_PLAN, MC_PROPOSE_CARRY_ON, false},
    {"1002", 12, MC_STATE_SLIPPING, MC_PROPOSE_CARRY_ON, false},
    {"1002", 22, MC_STATE_SLIPPING, MC_PROPOSE_CARRY_ON, false},
    {"1003", 13, MC_STATE_BEHIND, MC_PROPOSE_LOCAL, true},
    {"1004", 22, MC_STATE_SLIPPING, MC_PROPOSE_REPAIR, true},
    {"1005", 35, MC_STATE_STALLED, MC_PROPOSE_CORRECT, true},
    {"1006", 12, MC_STATE_BEHIND, MC_PROPOSE_RESEAT, true},
    {"1007", 12, MC_STATE_BEHIND, MC_PROPOSE_TALK_WEAR, true},
    {"1008", 41, MC_STATE_ON_PLAN, MC_PROPOSE_EXAMINE, true},
    {"1009", 13, MC_STATE_ON_PLAN, MC_PROPOSE_FINISH, true},
    {"1011", 33, MC_STATE_BEHIND, MC_PROPOSE_HOLD, true},
    {"1013", 11, MC_STATE_ON_PLAN, MC_PROPOSE_FINISH, false},
    {"1014", 12, MC_STATE_SLIPPING, MC_PROPOSE_OPEN_CONTACT, true},
    {"1015", 13, MC_STATE_SEATED, MC_PROPOSE_MEASURE, true},
    {"1016", 26, MC_STATE_DRIFTING, MC_PROPOSE_REVIEW, true},
};
enum { SHOWN_COUNT = sizeof SHOWN / sizeof SHOWN[0] };

static void check_shown(mc_practice *practice) {
    for (int i = 0; i < SHOWN_COUNT; i++) {
        mc_assessment *a = assessed(practice, SHOWN[i].chart, 0);
        if (!a->score || !a->has_proposal || state_of(a, SHOWN[i].iso) != SHOWN[i].state ||
            a->proposal.choice != SHOWN[i].proposal || a->decision_due != SHOWN[i].due)
            fail_msg("%s: %d is %s, proposed %s: %s", SHOWN[i].chart, SHOWN[i].iso,
                     mc_state_name(state_of(a, SHOWN[i].iso)), mc_proposal_name(a->proposal.choice),
                     a->proposal.sentence);
        mc_assessment_free(a);
    }
}

static void every_case_is_where_it_should_be(void **state) {
    check_shown(((house *)*state)->practice);
}

static void one_is_wholly_on_plan(void **state) {
    house *h = *state;
    for (int number = 1; number <= 3; number++) {
        mc_assessment *a = assessed(h->practice, "1001", number);
        assert_int_equal(a->score->count[MC_STATE_ON_PLAN], a->score->present_count);
        assert_int_equal(a->score->present_count, 28);
        mc_assessment_free(a);
    }
}

static void only_the_upper_laterals_slip(void **state) {
    mc_assessment *a = assessed(((house *)*state)->practice, "1002", 0);
    assert_int_equal(a->score->count[MC_STATE_SLIPPING], 2);
    assert_int_equal(a->score->count[MC_STATE_ON_PLAN], a->score->present_count - 2);
    mc_assessment_free(a);
}

static void the_canine_is_behind_by_its_rotation(void **state) {
    mc_assessment *a = assessed(((house *)*state)->practice, "1003", 0);
    assert_int_equal(a->score->tooth[mc_tooth_from_iso(13)].worst, MC_ROTATION);
    assert_int_equal(a->score->count[MC_STATE_BEHIND], 1);
    assert_true(names(&a->proposal, 13));
    mc_assessment_free(a);
}

static void the_lost_attachment_is_named(void **state) {
    mc_assessment *a = assessed(((house *)*state)->practice, "1004", 0);
    assert_int_equal(a->score->tooth[mc_tooth_from_iso(22)].attachment, MC_ATTACHMENT_LOST);
    assert_int_equal(a->proposal.count, 1);
    assert_true(names(&a->proposal, 22));
    mc_assessment_free(a);
}

static void the_arch_that_does_not_seat_did_before(void **state) {
    mc_assessment *a = assessed(((house *)*state)->practice, "1006", 0);
    assert_int_equal(a->proposal.arch, MC_UPPER);
    assert_int_equal(a->proposal.to, 6);
    mc_assessment_free(a);
}

static void low_wear_asks_for_a_longer_interval(void **state) {
    mc_assessment *a = assessed(((house *)*state)->practice, "1007", 0);
    assert_true(a->score->wear_hours == 15);
    assert_int_equal(a->info.interval[MC_UPPER], 7);
    assert_int_equal(a->proposal.days, 10); /* 7 x 20 / 15, whole days */
    mc_assessment_free(a);
}

static void the_mobile_tooth_was_firmer_at_the_baseline(void **state) {
    house *h = *state;
    mc_assessment *before = assessed(h->practice, "1008", 1),
                  *now = assessed(h->practice, "1008", 0);
    mc_tooth tooth = mc_tooth_from_iso(41);
    assert_int_equal(before->score->aligner[MC_LOWER], 0);
    assert_int_equal(before->score->tooth[tooth].mobility, 1);
    assert_int_equal(now->score->tooth[tooth].mobility, 2);
    assert_int_equal(now->proposal.count, 1);
    assert_true(names(&now->proposal, 41));
    mc_assessment_free(before);
    mc_assessment_free(now);
}

static void missing_and_fixed_teeth_stay_out_of_the_plan(void **state) {
    static const int gone[] = {15, 25}, fixed[] = {24, 26, 36, 47};
    mc_assessment *a = assessed(((house *)*state)->practice, "1009", 0);
    for (size_t i = 0; i < sizeof gone / sizeof gone[0]; i++)
        assert_false(mc_tooth_stands(a->states[mc_tooth_from_iso(gone[i])]));
    for (size_t i = 0; i < sizeof fixed / sizeof fixed[0]; i++) {
        mc_tooth tooth = mc_tooth_from_iso(fixed[i]);
        assert_true(mc_tooth_stands(a->states[tooth]));
        assert_false(mc_tooth_may_move(a->states[tooth]));
        assert_false(mc_plan_moves(a->plan, tooth));
    }
    mc_assessment_free(a);
}

static void the_arches_are_at_different_aligners(void **state) {
    mc_assessment *a = assessed(((house *)*state)->practice, "1011", 0);
    assert_int_equal(a->score->aligner[MC_UPPER], 9);
    assert_int_equal(a->score->aligner[MC_LOWER], 13);
    assert_true(a->info.interval[MC_UPPER] != a->info.interval[MC_LOWER]);
    mc_assessment_free(a);
}

static void one_has_nothing_read_yet(void **state) {
    mc_assessment *a = assessed(((house *)*state)->practice, "1012", 0);
    assert_true(a->has_plan);
    assert_null(a->score);
    assert_int_equal(a->last_number, 0);
    assert_true(mc_series_aligner_on(&a->series[MC_UPPER], day(TODAY), NULL) > 0);
    mc_assessment_free(a);
}

static void one_is_finished(void **state) {
    mc_assessment *a = assessed(((house *)*state)->practice, "1013", 0);
    assert_int_equal(a->info.status, MC_PLAN_CLOSED);
    assert_int_equal(a->decisions[a->decision_count - 1].choices, 1u << MC_FINISH);
    assert_int_equal(a->kase.closed, MC_NO_DAY); /* retention comes */
    mc_assessment_free(a);
}

static void one_has_deciduous_teeth(void **state) {
    mc_assessment *a = assessed(((house *)*state)->practice, "1014", 0);
    assert_int_equal(a->states[mc_tooth_from_iso(53)], MC_TOOTH_SHEDDING);
    assert_int_equal(a->states[mc_tooth_from_iso(13)], MC_TOOTH_UNERUPTED);
    assert_int_equal(a->score->present_count, 24);
    assert_int_equal(a->score->aligner[MC_LOWER], MC_NO_ALIGNER);
    mc_assessment_free(a);
    a = assessed(((house *)*state)->practice, "1014", 1);
    assert_int_equal(a->states[mc_tooth_from_iso(53)], MC_TOOTH_PRESENT);
    mc_assessment_free(a);
}

static void one_checkup_was_amended(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1003");
    mc_checkup_info *list = NULL;
    size_t count = 0, versions = 0;
    done(mc_record_checkups(mc_practice_record(h->practice), &kase.id, true, &list, &count, &why));
    for (size_t i = 0; i < count; i++)
        if (list[i].checkup.number == 2) {
            versions++;
            assert_true((list[i].version == 2) == (list[i].reason[0] != '\0'));
        }
    assert_int_equal(versions, 2);
    mc_checkup_info_free(list, count);
}

/* ---- corrections ---- */

static void the_corrected_case_has_both_plans(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1010");
    mc_plan_info *plans = NULL;
    size_t count = 0;
    done(mc_record_plans(mc_practice_record(h->practice), &kase.id, &plans, &count, &why));
    assert_int_equal(count, 2);
    assert_int_equal(plans[0].status, MC_PLAN_SUPERSEDED);
    assert_int_equal(plans[1].status, MC_PLAN_ACTIVE);
    assert_int_equal(plans[1].made_from, 3);
    mc_assessment *a = assessed(h->practice, "1010", 0);
    assert_int_equal(a->info.number, 2);
    assert_null(a->score);
    const mc_decision *last = &a->decisions[a->decision_count - 1];
    assert_int_equal(last->choices, 1u << MC_CORRECT | 1u << MC_GO_BACK);
    assert_int_equal(last->to, 12);
    assert_true(plans[1].begun[MC_UPPER] && plans[1].begun[MC_LOWER]);
    assert_true(plans[1].delivered < plans[1].worn_from);
    assert_int_equal(a->turn.wears[MC_UPPER], 12);
    assert_memory_equal(last->plan.byte, plans[1].id.byte, sizeof plans[1].id.byte);
    mc_assessment_free(a);
    free(plans);
}

/* Correcting now, as it was compared with the other choices, is what the draft then is. */
static void expect_compared(house *h, const mc_case *kase, const mc_revision *revision) {
    mc_assessment *a = assessed(h->practice, kase->chart, 0);
    const mc_option_ask ask = {.choices = 1u << MC_CORRECT, .to = -1};
    mc_option option;
    mc_assess_option(a, &ask, &option);
    assert_true(option.possible);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        assert_int_equal(option.stages[arch], revision->account.stages[arch]);
    mc_assessment_free(a);
}

static void the_stalled_premolar_can_be_corrected_at_once(void **state) {
    (void)state;
    house *h = made_on(TODAY);
    mc_case kase = find(h->practice, "1005");
    mc_revision revision;
    mc_decision decision;
    mc_warnings warnings;
    size_t people;
    done(mc_revise(h->practice, &kase, NULL, 0, 0, &revision, &why));
    assert_string_equal(revision.why_preview, "");
    assert_false(revision.preview);
    assert_true(revision.account.stages[MC_LOWER] >= 4);
    expect_compared(h, &kase, &revision);
    mc_decide what = {.choices = 1u << MC_CORRECT,
                      .to = -1,
                      .cause = MC_CAUSE_UNKNOWN,
                      .plan = revision.file,
                      .plan_size = revision.file_size,
                      .start = MC_NO_DAY};
    done(mc_sign(h->practice, &kase, &what, mc_demo_people(&people)[0].passphrase, &decision,
                 &warnings, &why));
    free(decision.evidence);
    mc_warnings_free(&warnings);
    mc_revision_free(&revision);
    mc_assessment *a = assessed(h->practice, "1005", 0);
    assert_true(a->turn.waiting);
    assert_int_equal(a->turn.next.number, 2);
    assert_int_equal(a->turn.next.start, day(TODAY) + 21);
    assert_int_equal(a->turn.wears[MC_LOWER], 13);
    mc_assessment_free(a);
    house_free(h);
}

/* ---- the worklist and the days ---- */

static void the_worklist_is_a_mix_and_begins_with_the_mobile_tooth(void **state) {
    house *h = *state;
    mc_roster_row *rows = NULL;
    size_t count = 0;
    int due = 0, overdue = 0, resting = 0;
    done(mc_roster(h->practice, day(TODAY), &rows, &count, &why));
    assert_int_equal(count, open_cases());
    assert_true(count >= 12);
    assert_string_equal(rows[0].kase.chart, "1008");
    assert_int_equal(rows[0].proposal, MC_PROPOSE_EXAMINE);
    assert_string_equal(rows[1].kase.chart, "1006");
    for (size_t i = 0; i < count; i++) {
        assert_true(i == 0 || rows[i - 1].urgency >= rows[i].urgency);
        due += rows[i].decision_due;
        overdue += strstr(rows[i].reasons, "overdue") != NULL;
        resting += rows[i].urgency == 0;
        if (strcmp(rows[i].kase.chart, "1003") == 0) { /* 13 has to turn mesial-in */
            assert_int_equal(mc_tooth_iso(rows[i].worst), 13);
            assert_int_equal(rows[i].worst_item, MC_ROTATION);
            assert_int_equal(rows[i].worst_way, 1);
        }
        if (strcmp(rows[i].kase.chart, "1006") == 0)
            assert_int_equal(rows[i].worst_item, MC_WORST_SEAT_GAP);
        if (strcmp(rows[i].kase.chart, "1012") == 0)
            assert_int_equal(rows[i].worst_item, MC_WORST_NONE);
    }
    assert_int_equal(due, 11);
    assert_int_equal(overdue, 1);
    assert_int_equal(resting, 4);
    free(rows);
}

static void nothing_lies_after_today(void **state) {
    house *h = *state;
    mc_record *record = mc_practice_record(h->practice);
    const mc_day today = day(TODAY);
    mc_case *cases = NULL;
    size_t count = 0;
    done(mc_record_cases(record, &cases, &count, &why));
    for (size_t i = 0; i < count; i++) {
        mc_plan_info *plans = NULL;
        mc_checkup_info *checkups = NULL;
        size_t planned = 0, looked = 0;
        assert_true(cases[i].born < cases[i].opened - 365 * 8 && cases[i].opened <= today);
        done(mc_record_plans(record, &cases[i].id, &plans, &planned, &why));
        for (size_t p = 0; p < planned; p++)
            assert_true(plans[p].start > cases[i].opened && plans[p].start <= today);
        done(mc_record_checkups(record, &cases[i].id, true, &checkups, &looked, &why));
        for (size_t c = 0; c < looked; c++)
            assert_true(checkups[c].checkup.date >= plans[0].start &&
                        checkups[c].checkup.date <= today);
        mc_checkup_info_free(checkups, looked);
        free(plans);
    }
    free(cases);
}

/* Days from today, so that two demos can be compared. */
static int since(mc_day day_of, mc_day today) {
    return day_of == MC_NO_DAY ? INT32_MIN : day_of - today;
}

static void the_same_demo_is_made_on_any_day(void **state) {
    house *here = *state, *there = made_on(LEAP_DAY);
    const mc_day one = day(TODAY), other = day(LEAP_DAY);
    mc_roster_row *a = NULL, *b = NULL;
    size_t a_count = 0, b_count = 0;
    done(mc_record_verify(mc_practice_record(there->practice), NULL, &why));
    check_shown(there->practice);
    done(mc_roster(here->practice, one, &a, &a_count, &why));
    done(mc_roster(there->practice, other, &b, &b_count, &why));
    assert_int_equal(a_count, b_count);
    for (size_t i = 0; i < a_count; i++) {
        assert_string_equal(a[i].kase.chart, b[i].kase.chart);
        assert_string_equal(a[i].reasons, b[i].reasons);
        assert_int_equal(since(a[i].kase.born, one), since(b[i].kase.born, other));
        assert_int_equal(since(a[i].kase.opened, one), since(b[i].kase.opened, other));
        assert_int_equal(since(a[i].last_checkup, one), since(b[i].last_checkup, other));
        assert_int_equal(since(a[i].next_change, one), since(b[i].next_change, other));
        assert_int_equal(since(a[i].next_checkup, one), since(b[i].next_checkup, other));
    }
    free(a);
    free(b);
    house_free(there);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_file_says_that_it_is_invented),
        cmocka_unit_test(the_program_holds_the_files_byte_for_byte),
        cmocka_unit_test(people_have_passphrases_that_can_be_printed),
        cmocka_unit_test(the_record_is_whole_and_known_as_a_demo),
        cmocka_unit_test(finished_cases_tell_the_own_accuracy),
        cmocka_unit_test(another_practice_is_no_demo),
        cmocka_unit_test(a_file_that_exists_is_left_alone),
        cmocka_unit_test(every_case_is_where_it_should_be),
        cmocka_unit_test(one_is_wholly_on_plan),
        cmocka_unit_test(only_the_upper_laterals_slip),
        cmocka_unit_test(the_canine_is_behind_by_its_rotation),
        cmocka_unit_test(the_lost_attachment_is_named),
        cmocka_unit_test(the_arch_that_does_not_seat_did_before),
        cmocka_unit_test(low_wear_asks_for_a_longer_interval),
        cmocka_unit_test(the_mobile_tooth_was_firmer_at_the_baseline),
        cmocka_unit_test(missing_and_fixed_teeth_stay_out_of_the_plan),
        cmocka_unit_test(the_arches_are_at_different_aligners),
        cmocka_unit_test(one_has_nothing_read_yet),
        cmocka_unit_test(one_is_finished),
        cmocka_unit_test(one_has_deciduous_teeth),
        cmocka_unit_test(one_checkup_was_amended),
        cmocka_unit_test(the_corrected_case_has_both_plans),
        cmocka_unit_test(the_stalled_premolar_can_be_corrected_at_once),
        cmocka_unit_test(the_worklist_is_a_mix_and_begins_with_the_mobile_tooth),
        cmocka_unit_test(nothing_lies_after_today),
        cmocka_unit_test(the_same_demo_is_made_on_any_day),
    };
    return cmocka_run_group_tests(tests, make_today, unmake);
}
