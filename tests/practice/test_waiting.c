/* Between a signed correction and the first day of its series: what is worn, read and recorded
 * meanwhile. */
#include "acting.h"

#include <math.h>

enum {
    CARRY_ON = 1 << MC_CARRY_ON,
    HOLD = 1 << MC_HOLD,
    GO_BACK = 1 << MC_GO_BACK,
    CORRECT = 1 << MC_CORRECT,
    FINISH = 1 << MC_FINISH
};

/* Signed on the day of check-up 2, 2025-05-30; 21 days in the laboratory. */
#define EXPECTED "2025-06-20"
/* Both arches of a plan have a series here. */
#define BOTH_PLAN                                                                                  \
    "tooth,stage,buccal_mm,rotation_deg\n12,24,1.2,18\n11,24,0.6,-9\n32,20,0.5,8\n31,20,0.4,-6\n"
#define BOTH_READ                                                                                  \
    "tooth,seat_gap_mm,mesial_mm,buccal_mm,occlusal_mm,rotation_deg,angulation_deg,"               \
    "inclination_deg\n12,0.1,0,0.42,0,6.4,0,0\n11,0.1,0,0.21,0,-3.2,0,0\n32,0.2,0,0.2,0,3.2,0,0\n" \
    "31,0.2,0,0.17,0,-2.5,0,0\n"
#define GAPS_READ "tooth,seat_gap_mm,rotation_deg\n12,0.1,6.6\n11,0.1,-3.4\n"
#define LOOSE_READ "tooth,seat_gap_mm,rotation_deg,attachment\n12,0.1,6.6,lost\n11,0.1,-3.4,\n"

static void on_day(house *h, const char *date) {
    h->practice->today = day(date);
}

static mc_status sign(house *h, mc_decide what) {
    mc_case kase = find(h->practice, "1001");
    mc_decision decision;
    mc_warnings warnings;
    mc_status status = mc_sign_known(h->practice, &kase, &what, &decision, &warnings, &why);
    free(decision.evidence);
    mc_warnings_free(&warnings);
    return status;
}

static mc_decide choice(unsigned choices) {
    return (mc_decide){.choices = choices, .to = -1, .start = MC_NO_DAY, .reason = "so it is"};
}

static mc_status correct_with(house *h, mc_decide what) {
    mc_case kase = find(h->practice, "1001");
    mc_revision revision;
    mc_status status = mc_revise(h->practice, &kase, NULL, 0, 0, &revision, &why);
    if (status != MC_OK)
        return status;
    what.choices |= CORRECT;
    what.cause = MC_CAUSE_STAGING;
    what.plan = revision.file;
    what.plan_size = revision.file_size;
    status = sign(h, what);
    mc_revision_free(&revision);
    return status;
}

static mc_status checkup_on(house *h, const char *text, const char *date, int upper, int lower,
                            mc_method method) {
    mc_checkup_import what = readings(text, date, upper, -1);
    what.aligner[MC_LOWER] = lower;
    what.method = method;
    what.accept_warnings = true;
    return import_checkup(h, "1001", &what);
}

/* Read twice; a correction signed on the second check-up, by scan. */
static int enter_waiting(void **state) {
    enter(state);
    house *h = *state;
    first_checkup(h);
    second_checkup(h);
    done(correct_with(h, choice(0)));
    return 0;
}

#define waiting_test(name) cmocka_unit_test_setup_teardown(name, enter_waiting, leave)

static mc_roster_row row_on(house *h, const char *date) {
    mc_roster_row *rows = NULL, found = {0};
    size_t count = 0;
    done(mc_roster(h->practice, day(date), &rows, &count, &why));
    for (size_t i = 0; i < count; i++)
        if (strcmp(rows[i].kase.chart, "1001") == 0)
            found = rows[i];
    free(rows);
    return found;
}

static mc_status delivered(house *h, const char *date) {
    mc_case kase = find(h->practice, "1001");
    return mc_plan_delivered(h->practice, &kase, day(date), &why);
}

static mc_status begun(house *h, const char *upper, const char *lower) {
    mc_case kase = find(h->practice, "1001");
    const mc_day first[MC_ARCHES] = {upper ? day(upper) : MC_NO_DAY,
                                     lower ? day(lower) : MC_NO_DAY};
    return mc_plan_begin(h->practice, &kase, first, &why);
}

static mc_status expected(house *h, const char *upper, const char *lower) {
    mc_case kase = find(h->practice, "1001");
    const mc_day first[MC_ARCHES] = {upper ? day(upper) : MC_NO_DAY,
                                     lower ? day(lower) : MC_NO_DAY};
    return mc_plan_expect(h->practice, &kase, first, &why);
}

/* ---- what is worn ---- */

static void the_last_aligner_is_kept(void **state) {
    house *h = *state;
    mc_outlook o;
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_true(a->turn.waiting && a->turn.corrected && !a->turn.read_waiting);
    assert_int_equal(a->info.number, 1);
    assert_int_equal(a->turn.next.number, 2);
    assert_int_equal(a->turn.next.ordered, day(SECOND_DAY));
    assert_int_equal(a->turn.next.worn_from, day(EXPECTED));
    assert_int_equal(a->turn.wears[MC_UPPER], 9);
    assert_false(a->decision_due);
    mc_outlook_of(a, NULL, day("2025-06-10"), NULL, &o);
    assert_int_equal(o.awaited.wears[MC_UPPER], 9);
    assert_int_equal(o.awaited.first[MC_UPPER], day(EXPECTED));
    assert_int_equal(o.next_change, day(EXPECTED));
    assert_int_equal(o.next_checkup, day(EXPECTED) + 42);
    assert_int_equal(mc_series_aligner_on(&a->series[MC_UPPER], day("2025-06-19"), NULL), 9);
    mc_assessment_free(a);
    mc_roster_row row = row_on(h, "2025-06-19");
    assert_int_equal(row.aligner[MC_UPPER], 9);
    assert_int_equal(row.stages[MC_UPPER], 24);
    assert_int_equal(row.next_change, day(EXPECTED));
    assert_non_null(strstr(row.reasons, "waiting: wears upper 9; new series expected " EXPECTED));
}

/* Kept summaries do not outlive the day on which another plan is worn. */
static void on_the_first_day_the_new_plan_is_worn(void **state) {
    house *h = *state;
    row_on(h, "2025-06-19");
    mc_roster_row row = row_on(h, EXPECTED);
    assert_int_equal(row.aligner[MC_UPPER], 1);
    assert_non_null(strstr(row.reasons, "nothing read on plan 2 yet; first day not recorded"));
    assert_int_equal(row.worst, MC_NO_TOOTH);
    row = row_on(h, "2025-06-19");
    assert_int_equal(row.aligner[MC_UPPER], 9);
    on_day(h, EXPECTED);
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_false(a->turn.waiting);
    assert_int_equal(a->info.number, 2);
    assert_null(a->score);
    mc_assessment_free(a);
}

static void gone_back_to_is_what_is_worn(void **state) {
    house *h = *state;
    char text[MC_INTERIM_WORDS_SIZE];
    mc_decide what = choice(GO_BACK);
    what.to = 8;
    done(sign(h, what));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->turn.wears[MC_UPPER], 8);
    mc_interim_words(a, NULL, text);
    assert_string_equal(text, "upper 8 (its fit was not read)");
    mc_assessment_free(a);
    assert_int_equal(row_on(h, "2025-06-19").aligner[MC_UPPER], 8);
}

static void an_aligner_that_does_not_seat_is_told(void **state) {
    house *h = *state;
    char text[MC_INTERIM_WORDS_SIZE];
    mc_case kase = find(h->practice, "1001");
    mc_decision decision;
    mc_warnings warnings;
    mc_revision revision;
    static const char scan[] =
        "tooth,seat_gap_mm,mesial_mm,buccal_mm,occlusal_mm,rotation_deg,angulation_deg,"
        "inclination_deg\n12,0.6,0,0.42,0,6.4,0,0\n11,0.5,0,0.21,0,-3.2,0,0\n";
    on_day(h, "2025-06-02");
    done(checkup_on(h, scan, "2025-06-02", 9, MC_NO_ALIGNER, MC_SCAN));
    done(mc_revise(h->practice, &kase, NULL, 0, 0, &revision, &why));
    mc_decide what = choice(CORRECT);
    what.cause = MC_CAUSE_ALIGNER;
    what.plan = revision.file;
    what.plan_size = revision.file_size;
    done(mc_sign_known(h->practice, &kase, &what, &decision, &warnings, &why));
    assert_int_equal(warnings.count, 1);
    assert_non_null(strstr(warnings.list[0].text, "upper aligner 9 does not seat (0.6 mm at 12)"));
    mc_warnings_free(&warnings);
    free(decision.evidence);
    mc_revision_free(&revision);
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_interim_words(a, NULL, text);
    assert_string_equal(text, "upper 9 (it does not seat: 0.6 mm at 12)");
    mc_assessment_free(a);
}

static void a_long_wait_is_cautioned(void **state) {
    house *h = *state;
    char text[MC_INTERIM_TEXT_SIZE];
    done(expected(h, "2025-06-27", NULL)); /* 28 days after the check-up */
    assert_null(strstr(row_on(h, "2025-06-10").reasons, "at most"));
    done(expected(h, "2025-06-28", NULL));
    assert_non_null(strstr(row_on(h, "2025-06-10").reasons,
                           "the last aligner serves for at most 28 days meanwhile; this wait is "
                           "29"));
    mc_awaited none = {.waits_days = 28};
    mc_waiting_caution(&none, text);
    assert_string_equal(text, "");
}

/* ---- check-ups while waiting ---- */

static void a_checkup_meanwhile_is_on_the_old_plan(void **state) {
    house *h = *state;
    mc_assessment *a = assessed(h->practice, "1001", 2);
    const double before = a->score->tooth[mc_tooth_from_iso(12)].lag_index;
    mc_assessment_free(a);
    on_day(h, "2025-06-10");
    done(checkup_on(h, GAPS_READ, "2025-06-10", 9, MC_NO_ALIGNER, MC_CALIPER));
    a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->score->number, 3);
    assert_int_equal(a->info.number, 1);
    assert_true(a->turn.read_waiting && a->turn.waiting && a->decision_due);
    assert_int_equal(a->proposal.choice, MC_PROPOSE_CARRY_ON);
    assert_non_null(strstr(a->proposal.sentence,
                           "Wait for the corrected series and wear upper 9 on until it begins"));
    assert_int_equal(a->turn.wears[MC_UPPER], 9);
    mc_assessment_free(a);
    a = assessed(h->practice, "1001", 2);
    assert_true(a->score->tooth[mc_tooth_from_iso(12)].lag_index == before);
    assert_false(a->turn.read_waiting);
    mc_assessment_free(a);
    assert_non_null(strstr(row_on(h, "2025-06-10").reasons, "decision due: carry on"));
}

static void the_rules_of_safety_and_fit_go_on(void **state) {
    house *h = *state;
    on_day(h, "2025-06-10");
    done(checkup_on(h, LOOSE_READ, "2025-06-10", 9, MC_NO_ALIGNER, MC_CALIPER));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->proposal.choice, MC_PROPOSE_REPAIR);
    assert_non_null(strstr(a->proposal.sentence, "worn until the corrected series begins"));
    assert_int_equal(a->proposal.days, 0);
    mc_assessment_free(a);
    done(checkup_on(h, "tooth,seat_gap_mm\n12,1.2\n11,0.1\n", "2025-06-10", 9, MC_NO_ALIGNER,
                    MC_CALIPER));
    a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->proposal.choice, MC_PROPOSE_RESEAT);
    mc_assessment_free(a);
    done(checkup_on(h, "tooth,seat_gap_mm,mobility\n12,0.1,3\n", "2025-06-10", 9, MC_NO_ALIGNER,
                    MC_CALIPER));
    a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->proposal.choice, MC_PROPOSE_EXAMINE);
    mc_assessment_free(a);
}

/* Far behind, but what there is to be done about it is on its way. */
static void nothing_is_corrected_twice_by_proposal(void **state) {
    house *h = *state;
    mc_option options[MC_MOST_OPTIONS];
    on_day(h, "2025-06-10");
    done(checkup_on(h, "tooth,seat_gap_mm,buccal_mm,rotation_deg\n12,0.1,-1,-8\n11,0.1,-1,6\n",
                    "2025-06-10", 9, MC_NO_ALIGNER, MC_SCAN));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->proposal.choice, MC_PROPOSE_CARRY_ON);
    size_t count = mc_assess_options(a, options);
    assert_true(count >= 2);
    for (size_t i = 0; i < count; i++)
        if (!(options[i].ask.choices & CORRECT)) {
            assert_false(options[i].possible);
            assert_non_null(strstr(options[i].why_not, "is awaited"));
        }
    mc_assessment_free(a);
}

static void decisions_are_signed_meanwhile(void **state) {
    house *h = *state;
    on_day(h, "2025-06-10");
    done(checkup_on(h, GAPS_READ, "2025-06-10", 9, MC_NO_ALIGNER, MC_CALIPER));
    refused(h, "finish belongs to a series", sign(h, choice(FINISH)));
    journalled(h, "decision signed", sign(h, choice(CARRY_ON)));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_false(a->decision_due);
    assert_int_equal(mc_series_aligner_on(&a->series[MC_UPPER], day("2025-06-19"), NULL), 9);
    mc_assessment_free(a);
    done(checkup_on(h, GAPS_READ, "2025-06-12", 9, MC_NO_ALIGNER, MC_CALIPER));
    mc_decide hold = choice(HOLD);
    hold.days = 5;
    done(sign(h, hold));
    assert_int_equal(row_on(h, "2025-06-12").next_checkup, day("2025-06-17"));
    assert_int_equal(row_on(h, "2025-06-19").aligner[MC_UPPER], 9);
    mc_decide back = choice(GO_BACK);
    back.to = 7;
    done(sign(h, back));
    assert_int_equal(row_on(h, "2025-06-19").aligner[MC_UPPER], 7);
}

/* The other plan stays on record, and is as if it had never been where it was never worn. */
static void a_correction_meanwhile_orders_anew(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_plan_info *plans = NULL;
    size_t count = 0;
    on_day(h, "2025-06-10");
    done(checkup_on(h, SECOND_READ, "2025-06-10", 9, MC_NO_ALIGNER, MC_SCAN));
    mc_decide early = choice(0);
    early.start = day("2025-06-15"); /* sooner than the first was expected */
    done(correct_with(h, early));
    done(mc_record_plans(mc_practice_record(h->practice), &kase.id, &plans, &count, &why));
    assert_int_equal(count, 3);
    assert_int_equal(plans[1].status, MC_PLAN_SUPERSEDED);
    assert_int_equal(plans[2].status, MC_PLAN_ACTIVE);
    assert_int_equal(plans[2].made_from, 3);
    assert_true(mc_id_same(&plans[2].corrects, &plans[0].id));
    free(plans);
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->info.number, 1);
    assert_int_equal(a->turn.next.number, 3);
    assert_int_equal(a->turn.since, day(SECOND_DAY));
    mc_assessment_free(a);
    on_day(h, "2025-06-20");
    done(checkup_on(h, "tooth,rotation_deg\n12,1\n", "2025-06-20", 1, MC_NO_ALIGNER, MC_CALIPER));
    a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->info.number, 3);
    assert_int_equal(a->score->number, 4);
    mc_assessment_free(a);
}

/* The new plan starts at the poses it was made from, whatever was read since. */
static void the_new_plan_starts_where_it_was_made_from(void **state) {
    house *h = *state;
    double mean[2], sd[2];
    const mc_tooth t = mc_tooth_from_iso(12);
    for (int i = 0; i < 2; i++) {
        if (i == 0) {
            on_day(h, "2025-06-10");
            done(checkup_on(h, "tooth,seat_gap_mm\n12,0.1\n11,0.1\n", "2025-06-10", 9,
                            MC_NO_ALIGNER, MC_CALIPER));
        } else {
            mc_warnings warnings;
            int version;
            mc_case kase = find(h->practice, "1001");
            mc_checkup_import what = readings(LOOSE_READ, "2025-06-10", 9, -1);
            done(mc_amend_checkup(h->practice, &kase, 3, &what, "read again", &version, &warnings,
                                  &why));
            mc_warnings_free(&warnings);
            assert_int_equal(version, 2);
        }
        if (i == 0) {
            on_day(h, "2025-06-21");
            done(checkup_on(h, "tooth,buccal_mm\n12,0.01\n", "2025-06-21", 1, MC_NO_ALIGNER,
                            MC_CALIPER));
        }
        mc_assessment *a = assessed(h->practice, "1001", 4);
        assert_int_equal(a->info.number, 2);
        assert_true(mc_tracker_estimate(a->tracker, t, MC_BUCCAL, &mean[i], &sd[i]));
        assert_int_equal(a->checkups_before_on_plan, 0);
        mc_assessment_free(a);
    }
    /* what the amendment read of the rotation tells the buccal movement nothing but of the pace */
    assert_true(fabs(mean[0] - mean[1]) < 0.01);
}

static void a_checkup_is_on_the_plan_of_its_day(void **state) {
    house *h = *state;
    on_day(h, "2025-06-25"); /* entered late, and of a day before the first */
    done(checkup_on(h, GAPS_READ, "2025-06-19", 9, MC_NO_ALIGNER, MC_CALIPER));
    refused(h, "is not in the series of",
            checkup_on(h, GAPS_READ, EXPECTED, 9 + 14, MC_NO_ALIGNER, MC_CALIPER));
    done(checkup_on(h, "tooth,seat_gap_mm\n12,0\n", EXPECTED, 1, MC_NO_ALIGNER, MC_CALIPER));
    mc_assessment *a = assessed(h->practice, "1001", 3);
    assert_int_equal(a->info.number, 1);
    mc_assessment_free(a);
    a = assessed(h->practice, "1001", 4);
    assert_int_equal(a->info.number, 2);
    mc_assessment_free(a);
    refused(h, "its last check-up was on " EXPECTED,
            checkup_on(h, GAPS_READ, "2025-06-19", 9, MC_NO_ALIGNER, MC_CALIPER));
}

/* ---- at the chair ---- */

static mc_step gap(int iso, double mm) {
    return (mc_step){.what = MC_STEP_SEAT_GAP, .tooth = mc_tooth_from_iso(iso), .number = mm};
}

static void it_is_entered_at_the_chair(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_draft *draft = NULL;
    mc_warnings warnings;
    bool doubt;
    int number = 0;
    on_day(h, "2025-06-19");
    done(mc_draft_open(h->practice, &kase, &draft, &why));
    assert_int_equal(mc_draft_checkup(draft)->aligner[MC_UPPER], 9);
    assert_int_equal(mc_draft_assessment(draft)->info.number, 1);
    mc_step step = gap(12, 0.2);
    done(mc_draft_enter(draft, &step, false, &doubt, &why));
    assert_true(mc_draft_assessment(draft)->turn.read_waiting);
    /* what is being entered is completed or thrown away before the new series is touched */
    refused(h, "is being entered by AB", delivered(h, "2025-06-19"));
    done(mc_draft_complete(draft, false, &number, &warnings, &why));
    assert_int_equal(number, 3);
    mc_warnings_free(&warnings);
    mc_draft_close(draft);
    on_day(h, EXPECTED);
    done(mc_draft_open(h->practice, &kase, &draft, &why));
    assert_int_equal(mc_draft_checkup(draft)->aligner[MC_UPPER], 1);
    assert_int_equal(mc_draft_assessment(draft)->info.number, 2);
    mc_draft_close(draft);
}

/* Begun before midnight, completed after it. */
static void it_stays_on_the_plan_it_was_begun_on(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_draft *draft = NULL;
    mc_warnings warnings;
    bool doubt;
    int number = 0;
    on_day(h, "2025-06-19");
    done(mc_draft_open(h->practice, &kase, &draft, &why));
    mc_step step = gap(12, 0.2);
    done(mc_draft_enter(draft, &step, false, &doubt, &why));
    on_day(h, EXPECTED);
    step = gap(11, 0.2);
    done(mc_draft_enter(draft, &step, false, &doubt, &why));
    done(mc_draft_complete(draft, false, &number, &warnings, &why));
    mc_warnings_free(&warnings);
    mc_draft_close(draft);
    mc_assessment *a = assessed(h->practice, "1001", 3);
    assert_int_equal(a->info.number, 1);
    mc_assessment_free(a);
}

/* Another console records the first day while one is prepared and nothing is entered yet. */
static void two_consoles(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_draft *draft = NULL;
    bool changed = false, doubt;
    mc_practice *other = NULL;
    const mc_day first[MC_ARCHES] = {day("2025-06-19"), MC_NO_DAY};
    on_day(h, "2025-06-19");
    done(mc_draft_open(h->practice, &kase, &draft, &why));
    done(mc_practice_open(h->path, day("2025-06-19"), &other, &why));
    done(mc_practice_act_as(other, "CD", &why));
    done(mc_plan_delivered(other, &kase, day("2025-06-19"), &why));
    done(mc_plan_begin(other, &kase, first, &why));
    mc_practice_close(other);
    mc_step step = gap(12, 0.2);
    refuses(MC_REFUSED, "changed on another console",
            mc_draft_enter(draft, &step, false, &doubt, &why));
    done(mc_draft_look(draft, &changed, &why));
    assert_int_equal(mc_draft_assessment(draft)->info.number, 2);
    assert_int_equal(mc_draft_checkup(draft)->aligner[MC_UPPER], 1);
    mc_draft_close(draft);
}

static void a_first_day_meanwhile_is_seen_before_signing(void **state) {
    house *h = *state;
    on_day(h, "2025-06-10");
    done(checkup_on(h, GAPS_READ, "2025-06-10", 9, MC_NO_ALIGNER, MC_CALIPER));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_decide what = choice(CARRY_ON);
    what.seen = a;
    done(expected(h, "2025-06-24", NULL));
    refuses(MC_REFUSED, "look again, then sign", sign(h, what));
    mc_assessment_free(a);
    a = assessed(h->practice, "1001", 0);
    what.seen = a;
    done(sign(h, what));
    mc_assessment_free(a);
}

/* ---- delivered and begun ---- */

static void delivery_and_first_day_are_recorded(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_deed *deeds = NULL;
    size_t count = 0;
    on_day(h, "2025-06-18");
    act_as(h, "CD");
    journalled(h, "plan delivered", delivered(h, "2025-06-17"));
    assert_non_null(
        strstr(row_on(h, "2025-06-18").reasons, "expected " EXPECTED ", delivered 2025-06-17"));
    journalled(h, "plan begun", begun(h, "2025-06-18", NULL));
    mc_roster_row row = row_on(h, "2025-06-18");
    assert_int_equal(row.aligner[MC_UPPER], 1);
    assert_string_equal(row.reasons, "nothing read on plan 2 yet");
    done(mc_history(h->practice, &kase, &deeds, &count, &why));
    assert_string_equal(deeds[count - 2].sentence, "plan 2 delivered on 2025-06-17");
    assert_string_equal(deeds[count - 2].by, "CD");
    assert_string_equal(deeds[count - 1].sentence, "plan 2: first day upper on 2025-06-18");
    mc_deeds_free(deeds, count);
}

/* Handed over, and begun, at the check-up of that very day. */
static void all_on_one_day(void **state) {
    house *h = *state;
    on_day(h, "2025-06-18");
    done(checkup_on(h, GAPS_READ, "2025-06-18", 9, MC_NO_ALIGNER, MC_CALIPER));
    done(delivered(h, "2025-06-18"));
    done(begun(h, "2025-06-18", NULL));
    done(checkup_on(h, "tooth,seat_gap_mm\n12,0.1\n", "2025-06-18", 1, MC_NO_ALIGNER, MC_CALIPER));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->score->number, 4);
    assert_int_equal(a->info.number, 2);
    mc_assessment_free(a);
}

static void a_first_day_to_come_is_told_as_it_is(void **state) {
    house *h = *state;
    on_day(h, "2025-06-18");
    done(delivered(h, "2025-06-18"));
    refused(h, "more than 60 days from today", begun(h, "2025-08-18", NULL));
    done(begun(h, "2025-06-23", NULL));
    assert_non_null(strstr(row_on(h, EXPECTED).reasons,
                           "waiting: wears upper 9; new series from 2025-06-23, delivered"));
    assert_string_equal(row_on(h, "2025-06-23").reasons, "nothing read on plan 2 yet");
}

static void what_cannot_be_is_refused(void **state) {
    house *h = *state;
    on_day(h, "2025-06-10");
    refused(h, "2025-05-29 is before plan 2 was ordered, on 2025-05-30",
            delivered(h, "2025-05-29"));
    refused(h, "2025-06-11 is after today", delivered(h, "2025-06-11"));
    refused(h, "not recorded as delivered", begun(h, "2025-06-10", NULL));
    done(delivered(h, "2025-06-09"));
    refused(h, "before plan 2 was delivered, on 2025-06-09", begun(h, "2025-06-08", NULL));
    refused(h, "the lower arch has no series in plan 2", begun(h, NULL, "2025-06-10"));
    refused(h, "no day is said", begun(h, NULL, NULL));
    done(begun(h, "2025-06-10", NULL));
    refused(h, "the upper first day is recorded already", expected(h, "2025-06-20", NULL));
    on_day(h, "2025-06-11");
    refused(h, "begun on 2025-06-10, before that day", delivered(h, "2025-06-11"));
    on_day(h, "2025-06-10");
    act_as(h, "EF");
    refused(h, "EF", begun(h, "2025-06-10", NULL));
    act_as(h, "AB");
    done(begun(h, "2025-06-09", NULL)); /* put right */
    done(checkup_on(h, "tooth,seat_gap_mm\n12,0.1\n", "2025-06-10", 1, MC_NO_ALIGNER, MC_CALIPER));
    refused(h, "found upper aligner 1 of plan 2 worn: it has begun", begun(h, "2025-06-10", NULL));
}

static void checkups_keep_their_side(void **state) {
    house *h = *state;
    on_day(h, "2025-06-12");
    done(checkup_on(h, GAPS_READ, "2025-06-12", 9, MC_NO_ALIGNER, MC_CALIPER));
    done(delivered(h, "2025-06-10"));
    refused(h, "check-up 3 of 2025-06-12 was read on the old series", begun(h, "2025-06-11", NULL));
    done(begun(h, "2025-06-12", NULL));
}

static void without_a_corrected_plan_nothing_is_delivered(void **state) {
    house *h = *state;
    refused(h, "no corrected series", delivered(h, PLAN_START));
    refused(h, "no corrected series", begun(h, PLAN_START, NULL));
}

static void a_late_laboratory(void **state) {
    house *h = *state;
    on_day(h, EXPECTED);
    assert_int_equal(row_on(h, EXPECTED).aligner[MC_UPPER], 1); /* by the dates */
    refused(h, "has gone by", expected(h, "2025-06-19", NULL));
    journalled(h, "plan expected", expected(h, "2025-06-25", NULL));
    mc_roster_row row = row_on(h, EXPECTED);
    assert_int_equal(row.aligner[MC_UPPER], 9);
    assert_non_null(strstr(row.reasons, "new series expected 2025-06-25"));
    done(checkup_on(h, GAPS_READ, EXPECTED, 9, MC_NO_ALIGNER, MC_CALIPER));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->info.number, 1);
    mc_assessment_free(a);
}

static void both_are_recorded_from_one_page(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_plan_said said = {day("2025-06-18"), {day("2025-06-17"), MC_NO_DAY}};
    on_day(h, "2025-06-18");
    refused(h, "before plan 2 was delivered", mc_plan_said_check(h->practice, &kase, &said, &why));
    refused(h, "before plan 2 was delivered", mc_plan_said_record(h->practice, &kase, &said, &why));
    said.first[MC_UPPER] = day("2025-06-18");
    done(mc_plan_said_record(h->practice, &kase, &said, &why));
    assert_int_equal(row_on(h, "2025-06-18").aligner[MC_UPPER], 1);
    said.delivered = MC_NO_DAY;
    refused(h, "recorded already", mc_plan_said_record(h->practice, &kase, &said, &why));
}

/* ---- one arch begins before the other ---- */

static int enter_both(void **state) {
    enter(state);
    house *h = *state;
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_plan_import plan = plan_file(BOTH_PLAN);
    mc_warnings warnings;
    int number;
    mc_usual_teeth(states);
    done(mc_case_open(h->practice, "2001", "Other, Invented", day("1991-01-02"), states, &kase,
                      &why));
    done(import_plan(h, "2001", &plan));
    on_day(h, SECOND_DAY);
    mc_checkup_import what = readings(BOTH_READ, SECOND_DAY, 9, 2);
    what.aligner[MC_LOWER] = 8;
    what.day[MC_LOWER] = 5;
    what.method = MC_SCAN;
    what.accept_warnings = true;
    done(mc_import_checkup(h->practice, &kase, &what, &number, &warnings, &why));
    mc_warnings_free(&warnings);
    mc_revision revision;
    mc_decision decision;
    done(mc_revise(h->practice, &kase, NULL, 0, 0, &revision, &why));
    mc_decide order = choice(CORRECT);
    order.cause = MC_CAUSE_STAGING;
    order.plan = revision.file;
    order.plan_size = revision.file_size;
    done(mc_sign_known(h->practice, &kase, &order, &decision, &warnings, &why));
    free(decision.evidence);
    mc_warnings_free(&warnings);
    mc_revision_free(&revision);
    return 0;
}

#define both_test(name) cmocka_unit_test_setup_teardown(name, enter_both, leave)

static void one_arch_begins_before_the_other(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "2001");
    mc_day first[MC_ARCHES] = {day("2025-06-16"), day("2025-06-30")};
    mc_outlook o;
    char text[MC_WAITING_TEXT_SIZE];
    on_day(h, "2025-06-16");
    mc_assessment *a = assessed(h->practice, "2001", 0);
    mc_outlook_of(a, NULL, day("2025-06-16"), NULL, &o);
    mc_waiting_text(&o.awaited, text);
    assert_string_equal(text, "waiting: wears upper 9 and lower 8; new series expected " EXPECTED);
    mc_assessment_free(a);
    done(mc_plan_delivered(h->practice, &kase, day("2025-06-16"), &why));
    done(mc_plan_begin(h->practice, &kase, first, &why));
    a = assessed(h->practice, "2001", 0);
    assert_false(a->turn.waiting);
    assert_int_equal(a->info.number, 2);
    assert_int_equal(mc_series_aligner_on(&a->series[MC_UPPER], day("2025-06-29"), NULL), 2);
    assert_int_equal(mc_series_aligner_on(&a->series[MC_LOWER], day("2025-06-29"), NULL), 0);
    assert_int_equal(mc_series_aligner_on(&a->series[MC_LOWER], day("2025-06-30"), NULL), 1);
    mc_outlook_of(a, NULL, day("2025-06-20"), NULL, &o);
    mc_waiting_text(&o.awaited, text);
    assert_string_equal(text, "waiting: wears lower 8; new lower series from 2025-06-30, delivered "
                              "2025-06-16");
    assert_int_equal(o.awaited.waits_days, 31);
    mc_assessment_free(a);
    /* a check-up between: the lower arch has none of the new aligners yet */
    mc_warnings warnings;
    int number = 0;
    on_day(h, "2025-06-20");
    mc_checkup_import what = readings("tooth,seat_gap_mm\n12,0.1\n", "2025-06-20", 1, 5);
    what.aligner[MC_LOWER] = 0;
    done(mc_import_checkup(h->practice, &kase, &what, &number, &warnings, &why));
    mc_warnings_free(&warnings);
    a = assessed(h->practice, "2001", 0);
    assert_int_equal(mc_series_aligner_on(&a->series[MC_LOWER], day("2025-06-29"), NULL), 0);
    assert_int_equal(mc_series_aligner_on(&a->series[MC_LOWER], day("2025-06-30"), NULL), 1);
    mc_assessment_free(a);
    first[MC_UPPER] = MC_NO_DAY;
    first[MC_LOWER] = day("2025-06-19");
    refused(h, "check-up 2 found no lower aligner of plan 2 begun on 2025-06-20",
            mc_plan_begin(h->practice, &kase, first, &why));
    first[MC_LOWER] = day("2025-06-20");
    done(mc_plan_begin(h->practice, &kase, first, &why));
}

static void an_arch_not_recorded_is_named(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "2001");
    const mc_day first[MC_ARCHES] = {day("2025-06-16"), MC_NO_DAY};
    mc_outlook o;
    char text[MC_WAITING_TEXT_SIZE];
    on_day(h, "2025-06-16");
    done(mc_plan_delivered(h->practice, &kase, day("2025-06-16"), &why));
    done(mc_plan_begin(h->practice, &kase, first, &why));
    mc_assessment *a = assessed(h->practice, "2001", 0);
    mc_outlook_of(a, NULL, day(EXPECTED), NULL, &o);
    mc_waiting_text(&o.awaited, text);
    assert_string_equal(text, "lower first day not recorded");
    mc_assessment_free(a);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        waiting_test(the_last_aligner_is_kept),
        waiting_test(on_the_first_day_the_new_plan_is_worn),
        waiting_test(gone_back_to_is_what_is_worn),
        waiting_test(an_aligner_that_does_not_seat_is_told),
        waiting_test(a_long_wait_is_cautioned),
        waiting_test(a_checkup_meanwhile_is_on_the_old_plan),
        waiting_test(the_rules_of_safety_and_fit_go_on),
        waiting_test(nothing_is_corrected_twice_by_proposal),
        waiting_test(decisions_are_signed_meanwhile),
        waiting_test(a_correction_meanwhile_orders_anew),
        waiting_test(the_new_plan_starts_where_it_was_made_from),
        waiting_test(a_checkup_is_on_the_plan_of_its_day),
        waiting_test(it_is_entered_at_the_chair),
        waiting_test(it_stays_on_the_plan_it_was_begun_on),
        waiting_test(two_consoles),
        waiting_test(a_first_day_meanwhile_is_seen_before_signing),
        waiting_test(delivery_and_first_day_are_recorded),
        waiting_test(all_on_one_day),
        waiting_test(a_first_day_to_come_is_told_as_it_is),
        waiting_test(what_cannot_be_is_refused),
        waiting_test(checkups_keep_their_side),
        acting_test(without_a_corrected_plan_nothing_is_delivered),
        waiting_test(a_late_laboratory),
        waiting_test(both_are_recorded_from_one_page),
        both_test(one_arch_begins_before_the_other),
        both_test(an_arch_not_recorded_is_named),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
