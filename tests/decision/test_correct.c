/* Rule 8: correct now. */
#include "stand.h"

/* Weighted shortfall: 36 weighs 1, 22 weighs 1.5, rotation of 13 weighs 1.25. */
static void test_weighted_shortfall(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_short(st, 36, MC_MESIAL, 0.99, 0.9, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 9);
    stand_short(st, 36, MC_MESIAL, 1.0, 0.9, MC_STATE_BEHIND);
    stand_only(st, 8, MC_PROPOSE_CORRECT);
    stand_names(st, "36");
    stand_says(st, "Correct now: 36: mesial 1 mm short (weighted 1 mm, limit 1 mm). 12 of 24 lower "
                   "aligners are left.");
    stand_says(st, "until the new aligners come (about 21 days) the last one that seats is worn");
    stand_free(st);
}

/* Poses are asked for where a tooth that the plan moves lacks one, not where all are there. */
static void test_poses(void **state) {
    (void)state;
    stand *st = stand_new();
    mc_pose exact[MC_TEETH] = {0};
    stand_short(st, 36, MC_MESIAL, 1.0, 0.9, MC_STATE_BEHIND);
    stand_decides(st);
    stand_says(st, "Take poses by scan or digitised landmarks; until");
    st->situation.exact = exact;
    stand_decides(st);
    stand_says(st, "This check-up has the poses for it; until");
    exact[mc_tooth_from_iso(12)].c[MC_INCLINATION] = NAN;
    stand_decides(st);
    stand_says(st, "Take poses by scan or digitised landmarks; until");
    stand_free(st);
}

static void test_weights(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_short(st, 22, MC_MESIAL, 0.66, 0.9, MC_STATE_BEHIND); /* 0.99 */
    assert_int_equal(stand_decides(st), 9);
    stand_short(st, 22, MC_MESIAL, 0.67, 0.9, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 8);
    stand_says(st, "(weighted 1 mm, limit 1 mm)");
    stand_short(st, 22, MC_MESIAL, 0.6, 0.9, MC_STATE_BEHIND);
    stand_short(st, 13, MC_ROTATION, 6.39, 0.9, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 9);
    stand_short(st, 13, MC_ROTATION, 6.4, 0.9, MC_STATE_BEHIND); /* 8 deg weighted */
    stand_only(st, 8, MC_PROPOSE_CORRECT);
    stand_names(st, "13");
    stand_says(st, "13: rotation 6.4 deg short (weighted 8 deg, limit 8 deg)");
    st->settings.correct_deg = 8.1;
    assert_int_equal(stand_decides(st), 9);
    stand_free(st);
}

/* Sure, or behind at this check-up and at the one before it on the same plan. */
static void test_certainty(void **state) {
    (void)state;
    stand *st = stand_new();
    const mc_tooth tooth = mc_tooth_from_iso(36);
    stand_short(st, 36, MC_MESIAL, 1.2, 0.8, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 8);
    stand_short(st, 36, MC_MESIAL, 1.2, 0.79, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 9);
    st->past[2].tooth[tooth].state = MC_STATE_BEHIND;
    stand_only(st, 8, MC_PROPOSE_CORRECT);
    st->past[2].tooth[tooth].state = MC_STATE_STALLED;
    assert_int_equal(stand_decides(st), 8);
    st->past[2].tooth[tooth].state = MC_STATE_SLIPPING;
    st->past[1].tooth[tooth].state = MC_STATE_BEHIND; /* not running */
    assert_int_equal(stand_decides(st), 9);
    st->past[2].tooth[tooth].state = MC_STATE_BEHIND;
    stand_tooth(st, 36)->state = MC_STATE_SLIPPING;
    assert_int_equal(stand_decides(st), 11);
    stand_tooth(st, 36)->state = MC_STATE_BEHIND;
    st->situation.earlier_on_plan = 0; /* the one before was on another plan */
    assert_int_equal(stand_decides(st), 9);
    stand_free(st);
}

/* Only what was read now and is short: neither ahead nor an estimate of earlier readings. */
static void test_only_short_and_read(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_short(st, 36, MC_MESIAL, -1.4, 0.9, MC_STATE_PAST_PLAN);
    assert_false(stand_holds(st, 8));
    stand_short(st, 36, MC_MESIAL, 1.4, 0.9, MC_STATE_BEHIND);
    stand_tooth(st, 36)->item[MC_MESIAL].read = false;
    stand_tooth(st, 36)->item[MC_MESIAL].kind = MC_KIND_NONE;
    assert_false(stand_holds(st, 8));
    stand_free(st);
}

/* Three teeth by two tolerances each, unweighted: 4 deg, so that no one of them is enough. */
static void test_three_together(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_short(st, 12, MC_ROTATION, 4.0, 0.9, MC_STATE_BEHIND);
    stand_short(st, 13, MC_ROTATION, 4.0, 0.9, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 9);
    st->settings.correct_mm = 1.6; /* so that 1 mm by itself is not enough */
    stand_short(st, 46, MC_MESIAL, 0.99, 0.9, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 10);
    stand_short(st, 46, MC_MESIAL, 1.0, 0.9, MC_STATE_BEHIND); /* in the other arch */
    stand_only(st, 8, MC_PROPOSE_CORRECT);
    stand_names(st, "12 13 46");
    stand_says(st, "12: short by 2 tolerances or more; 13: short");
    stand_says(st, "12 of 24 upper aligners are left. 12 of 24 lower aligners are left.");
    st->settings.correct_teeth = 4;
    assert_int_equal(stand_decides(st), 10);
    st->settings.correct_teeth = 3;
    stand_tooth(st, 13)->item[MC_ROTATION].p = 0.7;
    assert_int_equal(stand_decides(st), 10);
    stand_tooth(st, 13)->item[MC_ROTATION].p = 0.9;
    st->now.aligner[MC_LOWER] = 21; /* too few left there, so that tooth does not count */
    assert_int_equal(stand_decides(st), 10);
    stand_free(st);
}

/* ---- stalled ---- */

static stand *with_stalled(void) {
    stand *st = stand_new();
    stand_short(st, 12, MC_ROTATION, 2.5, 0.9, MC_STATE_STALLED);
    return st;
}

/* Named for its shortfall, a tooth that has stalled is still looked at for ankylosis first. */
static void test_short_and_stalled(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_short(st, 36, MC_MESIAL, 1.4, 0.9, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 8);
    assert_null(strstr(st->proposal.sentence, "ankylosis"));
    stand_short(st, 36, MC_MESIAL, 1.4, 0.9, MC_STATE_STALLED);
    assert_int_equal(stand_decides(st), 8);
    stand_says(st, "36 has stalled: exclude ankylosis.");
    stand_short(st, 35, MC_MESIAL, 1.4, 0.9, MC_STATE_STALLED);
    assert_int_equal(stand_decides(st), 8);
    stand_says(st, "2 have stalled: exclude ankylosis.");
    stand_free(st);
}

static void test_stalled(void **state) {
    (void)state;
    stand *st = with_stalled(); /* gap 0, no attachment planned, 22 hours */
    stand_only(st, 8, MC_PROPOSE_CORRECT);
    stand_says(st, "12: stalled although attachment, seat and wear are good, exclude ankylosis "
                   "first");
    stand_tooth(st, 12)->attachment = MC_ATTACHMENT_INTACT;
    assert_int_equal(stand_decides(st), 8);
    stand_tooth(st, 12)->attachment = MC_ATTACHMENT_WORN;
    assert_int_equal(stand_decides(st), 9);
    stand_tooth(st, 12)->attachment = MC_ATTACHMENT_UNSAID;
    stand_add(st, 12, 2, (mc_pose){{2.0 / 12, 0, 0, 20.0 / 12, 0, 0}}, MC_MARK_PLACED, 0);
    assert_int_equal(stand_decides(st), 9); /* one is planned, and it was not said to be intact */
    stand_tooth(st, 12)->attachment = MC_ATTACHMENT_INTACT;
    assert_int_equal(stand_decides(st), 8);
    stand_free(st);
}

static void test_stalled_seat_and_wear(void **state) {
    (void)state;
    const mc_tooth tooth = mc_tooth_from_iso(12);
    stand *st = with_stalled();
    stand_gap(&st->now, tooth, 0.5);
    assert_int_equal(stand_decides(st), 8);
    stand_gap(&st->now, tooth, 0.51);
    assert_int_equal(stand_decides(st), 9);
    stand_gap(&st->now, tooth, NAN); /* not read is not known to be good */
    assert_int_equal(stand_decides(st), 9);
    stand_gap(&st->now, tooth, 0);
    st->now.wear_hours = NAN;
    assert_int_equal(stand_decides(st), 9);
    st->now.wear_hours = 15;
    st->situation.wear_talked = true;
    assert_int_equal(stand_decides(st), 9);
    st->now.wear_hours = 20;
    assert_int_equal(stand_decides(st), 8);
    stand_free(st);
}

/* ---- none of the last three seats ---- */

static void test_none_seats(void **state) {
    (void)state;
    stand *st = stand_new();
    const mc_tooth tooth = mc_tooth_from_iso(26);
    stand_gap(&st->now, tooth, 0.6);
    stand_gap(&st->past[2], tooth, 0.6);
    stand_gap(&st->past[1], tooth, 0.5);
    assert_int_equal(stand_decides(st), 11);
    stand_gap(&st->past[1], tooth, 0.6);
    stand_only(st, 8, MC_PROPOSE_CORRECT);
    stand_names(st, "");
    stand_says(st, "Correct now: none of the last 3 upper aligners seats. 12 of 24 upper");
    st->situation.earlier_on_plan = 1;
    assert_int_equal(stand_decides(st), 11);
    st->situation.earlier_on_plan = 3;
    /* the same aligner twice is one aligner, as last seen */
    st->past[2].aligner[MC_UPPER] = 12;
    assert_int_equal(stand_decides(st), 11);
    stand_gap(&st->past[0], tooth, 0.6);
    assert_int_equal(stand_decides(st), 8);
    stand_gap(&st->past[2], tooth, 0); /* it seated once, but no longer */
    assert_int_equal(stand_decides(st), 8);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        st->past[1].tooth[t].seat_gap = NAN; /* not known whether it seated */
    }
    assert_int_equal(stand_decides(st), 11);
    stand_free(st);
}

/* ---- the conditions ---- */

static int with_left(int stages_share_percent, int aligner) {
    stand *st = stand_new();
    stand_short(st, 36, MC_MESIAL, 1.2, 0.9, MC_STATE_BEHIND);
    st->now.aligner[MC_LOWER] = aligner;
    st->settings.correct_series_left = stages_share_percent / 100.0;
    const int decides = stand_decides(st);
    stand_free(st);
    return decides;
}

static void test_aligners_left(void **state) {
    (void)state;
    assert_int_equal(with_left(20, 19), 8); /* 5 of 24 are 21 % */
    assert_int_equal(with_left(20, 20), 9); /* 4 of 24 are 17 % */
    assert_int_equal(with_left(10, 20), 8); /* 4 are enough */
    assert_int_equal(with_left(10, 21), 9); /* 3 are not */
    assert_int_equal(with_left(25, 18), 8); /* 25 % exactly */
    assert_int_equal(with_left(25, 19), 9);
}

static void test_wear_stands_in_the_way(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_short(st, 36, MC_MESIAL, 1.2, 0.9, MC_STATE_BEHIND);
    st->now.wear_hours = 15;
    assert_false(stand_holds(st, 8));
    assert_int_equal(stand_decides(st), 6);
    st->earlier[0].wear_talked = true;
    assert_int_equal(stand_decides(st), 8);
    stand_says(st, "Wear, already talked about, is still 15 hours a day.");
    st->earlier[0].wear_talked = false;
    st->now.wear_hours = NAN;
    assert_int_equal(stand_decides(st), 8);
    stand_free(st);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_weighted_shortfall),
        cmocka_unit_test(test_poses),
        cmocka_unit_test(test_weights),
        cmocka_unit_test(test_certainty),
        cmocka_unit_test(test_only_short_and_read),
        cmocka_unit_test(test_three_together),
        cmocka_unit_test(test_short_and_stalled),
        cmocka_unit_test(test_stalled),
        cmocka_unit_test(test_stalled_seat_and_wear),
        cmocka_unit_test(test_none_seats),
        cmocka_unit_test(test_aligners_left),
        cmocka_unit_test(test_wear_stands_in_the_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
