/* Rules 6, 7 and 9 to 11: talk wear, measure, local measures, hold, carry on, finish. */
#include "stand.h"

/* ---- 6 ---- */

static void test_wear(void **state) {
    (void)state;
    stand *st = stand_new();
    st->now.wear_hours = 20;
    assert_int_equal(stand_decides(st), 11);
    st->now.wear_hours = NAN;
    assert_int_equal(stand_decides(st), 11);
    st->now.wear_hours = 15;
    st->situation.interval[MC_LOWER] = 7;
    stand_only(st, 6, MC_PROPOSE_TALK_WEAR);
    stand_says(st, "15 hours a day were said, below 20.");
    stand_says(st, "Wear each upper aligner 19 days instead of 14. Wear each lower aligner 10 days "
                   "instead of 7.");
    assert_int_equal(st->proposal.days, 19);
    assert_null(strstr(st->proposal.sentence, "Hold"));
    st->now.wear_hours = 19.9;
    stand_only(st, 6, MC_PROPOSE_TALK_WEAR);
    stand_says(st, "19.9 hours");
    st->situation.interval[MC_UPPER] = st->situation.interval[MC_LOWER] = 0;
    stand_only(st, 6, MC_PROPOSE_TALK_WEAR);
    assert_int_equal(st->proposal.days, 0);
    stand_free(st);
}

static void test_wear_with_a_tooth_behind(void **state) {
    (void)state;
    stand *st = stand_new();
    st->now.wear_hours = 15;
    stand_behind(st, 12);
    assert_int_equal(stand_decides(st), 6);
    stand_says(st, "Hold the present aligner: 12 is behind.");
    stand_names(st, "12");
    stand_free(st);
}

/* Once talked about, the rules after it are heard, and say that wear is still low. */
static void test_wear_talked_about(void **state) {
    (void)state;
    stand *st = stand_new();
    st->now.wear_hours = 15;
    st->situation.wear_talked = true;
    assert_int_equal(stand_decides(st), 11);
    stand_says(st, "Wear, already talked about, is still 15 hours a day.");
    st->situation.wear_talked = false;
    st->earlier[1].wear_talked = true;
    assert_int_equal(stand_decides(st), 11);
    stand_behind(st, 12);
    assert_int_equal(stand_decides(st), 9);
    stand_says(st, "is still 15 hours a day.");
    stand_free(st);
}

/* ---- 7 ---- */

/* 22 teeth have gone 1 mm or 5 deg by aligner 12 (11, 14, 15, 21, 24 and 25 not: 2 deg, 0.2 mm,
 * 1.5 deg, 0.4 mm, 0.25 mm, 0.25 mm). */
static void test_measure(void **state) {
    (void)state;
    static const int unread[] = {17, 16, 26, 27, 37, 36, 35, 34, 33};
    stand *st = stand_new();
    for (int i = 0; i < 8; i++) {
        stand_unread(st, unread[i]);
    }
    assert_int_equal(stand_decides(st), 11); /* 14 of 22 are 64 % */
    stand_unread(st, unread[8]);
    stand_only(st, 7, MC_PROPOSE_MEASURE); /* 13 of 22 are 59 % */
    stand_says(st, "Of the 22 teeth that the plan has moved by 1 mm or 5 deg so far, 13 have a "
                   "position read, fewer than 60 %");
    assert_int_equal(st->proposal.count, 6);
    assert_null(strstr(st->proposal.sentence, "Nothing"));
    /* a seat gap is no position */
    stand_gap(&st->now, mc_tooth_from_iso(33), 0);
    stand_tooth(st, 33)->state = MC_STATE_SEATED;
    assert_int_equal(stand_decides(st), 7);
    st->settings.measure_share = 0.59;
    assert_int_equal(stand_decides(st), 11);
    st->settings.measure_share = 0.6;
    st->settings.measure_teeth = 2;
    assert_int_equal(stand_decides(st), 7);
    assert_int_equal(st->proposal.count, 2);
    stand_free(st);
}

static void test_measure_exactly(void **state) {
    (void)state;
    stand *st = stand_new();
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (mc_tooth_arch(tooth) == MC_LOWER) {
            st->now.present[tooth] = false;
        }
    }
    /* upper: 17 16 13 12 22 23 26 27; measured 5 of 8 are 62 %, 4 are 50 % */
    stand_unread(st, 17);
    stand_unread(st, 16);
    stand_unread(st, 13);
    assert_false(stand_holds(st, 7));
    stand_unread(st, 12);
    assert_true(stand_holds(st, 7));
    st->settings.measure_share = 0.5; /* reached exactly */
    assert_false(stand_holds(st, 7));
    stand_unread(st, 22);
    stand_unread(st, 23);
    stand_unread(st, 26);
    assert_int_equal(stand_decides(st), 7);
    stand_says(st, " so far, 1 has a position read, ");
    stand_free(st);
}

static void test_nothing_read(void **state) {
    (void)state;
    stand *st = stand_new();
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (st->now.present[tooth]) {
            stand_unread(st, mc_tooth_iso(tooth));
        }
    }
    assert_int_equal(st->now.measured, 0);
    stand_only(st, 7, MC_PROPOSE_MEASURE);
    stand_says(st, "Nothing was measured at this check-up.");
    /* before the plan has gone far no reading is demanded, but nothing is called well either */
    st->now.effective_stage[MC_UPPER] = st->now.effective_stage[MC_LOWER] = 2;
    st->now.aligner[MC_UPPER] = st->now.aligner[MC_LOWER] = 2;
    stand_only(st, 11, MC_PROPOSE_CARRY_ON);
    stand_says(st, "Nothing was measured at this check-up, so how the teeth are is not known.");
    stand_says(st, "Read, most worth it first: ");
    assert_int_equal(st->proposal.count, 6);
    /* a baseline is something, but tells no position */
    stand_tooth(st, 12)->relative[MC_SPACE_TO_MESIAL].readings = 1;
    stand_only(st, 11, MC_PROPOSE_CARRY_ON);
    stand_says(st, "Only readings against neighbours were taken at this check-up, which tell no "
                   "position yet, so how the teeth are is not known.");
    stand_free(st);
}

/* ---- 9 ---- */

static void test_local(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_short(st, 12, MC_ROTATION, 2.5, 0.9, MC_STATE_BEHIND);
    stand_only(st, 9, MC_PROPOSE_LOCAL);
    stand_names(st, "12");
    stand_says(st, "12: rotation 2.5 deg short, button and elastic");
    stand_says(st, "Look again in one interval.");
    stand_says(st, "The rest seats: the other 27 gaps read are below 0.5 mm.");
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (mc_tooth_iso(t) != 11)
            st->now.tooth[t].seat_gap = NAN;
    stand_only(st, 9, MC_PROPOSE_LOCAL);
    stand_says(st, "The rest seats: the other gap read is below 0.5 mm.");
    stand_short(st, 13, MC_MESIAL, 0.7, 0.9, MC_STATE_BEHIND);
    stand_tooth(st, 13)->attachment = MC_ATTACHMENT_WORN;
    stand_only(st, 9, MC_PROPOSE_LOCAL);
    stand_names(st, "12 13");
    stand_says(st, "13: mesial 0.7 mm short, renew the attachment");
    stand_behind(st, 23);
    assert_int_equal(stand_decides(st), 10); /* a third one */
    st->settings.local_teeth = 3;
    assert_int_equal(stand_decides(st), 9);
    stand_free(st);
}

static void test_what_fits(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_short(st, 12, MC_MESIAL, 0.6, 0.9, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 9);
    stand_says(st, "12: mesial 0.6 mm short, an attachment");
    stand_tooth(st, 12)->attachment = MC_ATTACHMENT_INTACT;
    assert_int_equal(stand_decides(st), 9);
    stand_says(st, "mesial 0.6 mm short, seating exercises");
    stand_tooth(st, 12)->item[MC_MESIAL].p = 0.2;
    stand_gap(&st->now, mc_tooth_from_iso(12), 0.8);
    assert_int_equal(stand_decides(st), 9);
    stand_says(st, "12: seat gap 0.8 mm, seating exercises");
    stand_free(st);
}

static void test_local_needs_the_rest_to_seat(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_behind(st, 12);
    stand_gap(&st->now, mc_tooth_from_iso(12), 0.6); /* its own */
    stand_gap(&st->now, mc_tooth_from_iso(46), 0.49);
    assert_int_equal(stand_decides(st), 9);
    stand_gap(&st->now, mc_tooth_from_iso(46), 0.5);
    assert_int_equal(stand_decides(st), 10);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        st->now.tooth[tooth].seat_gap = NAN;
    }
    assert_int_equal(stand_decides(st), 9);
    stand_says(st, "No other tooth's gap was read.");
    stand_free(st);
}

static void test_stalled_is_said(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_short(st, 12, MC_ROTATION, 2.5, 0.9, MC_STATE_STALLED);
    st->now.wear_hours = NAN; /* so that not everything is known to be good */
    stand_only(st, 9, MC_PROPOSE_LOCAL);
    stand_says(st, "12: rotation 2.5 deg short, stalled, button and elastic");
    stand_says(st, "Stalled: 12; where attachment, seat and wear are good, exclude ankylosis.");
    stand_free(st);
}

/* ---- 10 ---- */

static void test_hold(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_behind(st, 13);
    stand_behind(st, 23);
    stand_behind(st, 36);
    stand_only(st, 10, MC_PROPOSE_HOLD);
    assert_int_equal(st->proposal.days, 7);
    stand_names(st, "13 23 36");
    stand_says(st, "Wear the present aligner 7 days longer, then read again: 3 teeth are behind "
                   "(13: rotation 2.5 deg short; 23: mesial 0.6 mm short; 36: mesial 0.6 mm "
                   "short).");
    st->settings.hold_days = 14;
    assert_int_equal(stand_decides(st), 10);
    assert_int_equal(st->proposal.days, 14);
    stand_free(st);
}

/* ---- 11 ---- */

static void test_carry_on(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_only(st, 11, MC_PROPOSE_CARRY_ON);
    stand_says(st, "28 of 28 teeth present were measured.");
    stand_names(st, "");
    stand_unread(st, 36);
    stand_tooth(st, 12)->state = MC_STATE_SLIPPING;
    stand_tooth(st, 12)->lag_index = 0.7;
    stand_only(st, 11, MC_PROPOSE_CARRY_ON);
    stand_says(st, "27 of 28 teeth present were measured.");
    stand_says(st, "Keep in sight: 12 slipping.");
    stand_names(st, "12");
    st->now.aligner[MC_LOWER] = MC_NO_ALIGNER;
    st->now.effective_stage[MC_LOWER] = NAN;
    assert_int_equal(stand_decides(st), 11);
    stand_says(st, "The lower arch was not looked at.");
    stand_free(st);
}

/* The last tenth of 24: from aligner 22 on (2 left), in every arch looked at. */
static void test_finish_at_the_end(void **state) {
    (void)state;
    stand *st = stand_new();
    st->now.aligner[MC_UPPER] = st->now.aligner[MC_LOWER] = 21;
    assert_int_equal(stand_decides(st), 11);
    assert_int_equal(st->proposal.choice, MC_PROPOSE_CARRY_ON);
    st->now.aligner[MC_UPPER] = 22;
    assert_int_equal(stand_decides(st), 11);
    assert_int_equal(st->proposal.choice, MC_PROPOSE_CARRY_ON);
    st->now.aligner[MC_LOWER] = 22;
    stand_only(st, 11, MC_PROPOSE_FINISH);
    stand_says(st, "Finish the series and measure at the end: 10 % of it or less is left.");
    st->now.aligner[MC_LOWER] = MC_NO_ALIGNER;
    stand_only(st, 11, MC_PROPOSE_FINISH);
    stand_says(st, "The lower arch was not looked at.");
    st->now.aligner[MC_LOWER] = 22;
    st->settings.finish_series_left = 0.08;
    assert_int_equal(stand_decides(st), 11);
    assert_int_equal(st->proposal.choice, MC_PROPOSE_CARRY_ON);
    st->settings.finish_series_left = 2.0 / 24; /* reached exactly */
    assert_int_equal(stand_decides(st), 11);
    assert_int_equal(st->proposal.choice, MC_PROPOSE_FINISH);
    stand_free(st);
}

/* Every tooth behind is near its target: neither local measures nor a hold. 36 is to go 2 mm; it is
 * at aligner 20 of 24 and 0.6 mm short of 1.67: 0.93 mm are left. */
static void test_finish_near_the_target(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_score(st, &st->now, 4, 20);
    stand_short(st, 36, MC_MESIAL, 0.6, 0.9, MC_STATE_BEHIND);
    stand_only(st, 11, MC_PROPOSE_FINISH);
    stand_names(st, "36");
    stand_says(st, "36: mesial 0.6 mm short, all within 1 mm and 5 deg of the target.");
    stand_short(st, 36, MC_MESIAL, 2.0 / 3, 0.9, MC_STATE_BEHIND); /* 1.0 left, reached exactly */
    assert_int_equal(stand_decides(st), 11);
    stand_short(st, 36, MC_MESIAL, 0.67, 0.9, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 9);
    stand_short(st, 36, MC_MESIAL, 0.6, 0.9, MC_STATE_BEHIND);
    stand_short(st, 13, MC_ROTATION, 2.5, 0.9, MC_STATE_BEHIND); /* 24 to go, 17.5 reached */
    assert_int_equal(stand_decides(st), 9);
    stand_free(st);
}

static void test_no_series(void **state) {
    (void)state;
    stand *st = stand_new();
    mc_plan_free(st->plan);
    st->plan = mc_plan_new();
    st->situation.plan = st->plan;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        st->now.aligner[arch] = MC_NO_ALIGNER;
        st->now.effective_stage[arch] = NAN;
        st->now.stages[arch] = 0;
    }
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        stand_blank(&st->now.tooth[tooth]);
    }
    st->now.measured = 0;
    stand_only(st, 11, MC_PROPOSE_CARRY_ON);
    stand_says(st, "The plan has no series of aligners");
    stand_says(st, "Nothing was measured");
    stand_names(st, "");
    stand_tooth(st, 26)->pain = MC_YES; /* care does not need a series */
    assert_int_equal(stand_decides(st), 1);
    stand_free(st);
}

static void test_first_checkup(void **state) {
    (void)state;
    stand *st = stand_new();
    st->situation.earlier = NULL;
    st->situation.earlier_count = st->situation.earlier_on_plan = 0;
    stand_only(st, 11, MC_PROPOSE_CARRY_ON);
    stand_gap(&st->now, mc_tooth_from_iso(12), 1.5);
    stand_only(st, 2, MC_PROPOSE_RESEAT);
    assert_int_equal(st->proposal.to, -1);
    stand_free(st);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_wear),
        cmocka_unit_test(test_wear_with_a_tooth_behind),
        cmocka_unit_test(test_wear_talked_about),
        cmocka_unit_test(test_measure),
        cmocka_unit_test(test_measure_exactly),
        cmocka_unit_test(test_nothing_read),
        cmocka_unit_test(test_local),
        cmocka_unit_test(test_what_fits),
        cmocka_unit_test(test_local_needs_the_rest_to_seat),
        cmocka_unit_test(test_stalled_is_said),
        cmocka_unit_test(test_hold),
        cmocka_unit_test(test_carry_on),
        cmocka_unit_test(test_finish_at_the_end),
        cmocka_unit_test(test_finish_near_the_target),
        cmocka_unit_test(test_no_series),
        cmocka_unit_test(test_first_checkup),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
