/* The worked example of the score that other programs rely on, to its six printed digits. */
#include "mouth.h"

static void assert_six(double got, double want) {
    if (fabs(got - want) > 5e-7)
        fail_msg("got %.9f, want %.6f", got, want);
}

/* 12 at aligner 12 of 24: read by caliper 0.35 mm mesially and 6.5 deg rotated, gap 0.5 mm,
 * attachment lost. */
static void golden_score(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 12, 8, (mc_pose){{0.40, -0.30, 0.25, 6, 2, 0}});
    mouth_plan(&m, 12, 24, (mc_pose){{1.20, -0.90, 0.75, 18, 6, 0}});
    mouth_begin(&m);
    mc_reading r = mc_reading_none(mc_tooth_from_iso(12));
    r.seat_gap = 0.5;
    r.value[MC_MESIAL] = 0.35;
    r.value[MC_ROTATION] = 6.5;
    r.attachment = MC_ATTACHMENT_LOST;
    r.mobility = 1;
    mc_score *score = mouth_checkup(&m, 12, MC_CALIPER, &r, 1);

    assert_int_equal(score->present_count, 28);
    assert_int_equal(score->measured, 1);
    assert_int_equal(score->count[MC_STATE_BEHIND], 1);
    assert_int_equal(score->count[MC_STATE_UNMEASURED], 27);
    assert_int_equal(mc_tooth_iso(score->worst), 12);
    assert_six(score->lag_index, 2.118091);
    assert_six(score->pace_mean, 0.009377);
    assert_six(score->pace_sd, 0.171389);

    const mc_tooth_score *t = &score->tooth[mc_tooth_from_iso(12)];
    assert_int_equal(t->state, MC_STATE_BEHIND);
    assert_int_equal(t->worst, MC_ROTATION);
    assert_six(t->risk_weight, 1.5);
    assert_six(t->p_behind, 1);
    assert_six(t->lag_stages, 3.823136);
    assert_six(t->stage_equivalent, 8.176864);
    assert_six(t->off_path, 0.083890);
    assert_six(t->tracked_share, 0.681405);
    assert_six(t->tracked_share_se, 0.207623);
    assert_six(t->seat_index, 1);
    assert_int_equal(t->seat_kind, MC_KIND_SHORT);

    const mc_item *rotation = &t->item[MC_ROTATION], *mesial = &t->item[MC_MESIAL];
    assert_six(rotation->planned, 9);
    assert_six(rotation->observed, 6.5);
    assert_six(rotation->sd, 3);
    assert_int_equal(rotation->readings, 1);
    assert_six(rotation->mean, 6.175878);
    assert_six(rotation->sd_x, 1.940681);
    assert_int_equal(rotation->kind, MC_KIND_SHORT);
    assert_six(rotation->shortfall, 2.824122);
    assert_six(rotation->index, 1.412061);
    assert_six(rotation->raw_index, 1.25);
    assert_six(rotation->p, 0.664456);
    assert_six(mesial->mean, 0.368314);
    assert_six(mesial->sd_x, 0.151498);
    assert_six(mesial->index, 0.463371);
    assert_six(mesial->p, 0.038274);
    assert_six(mc_expected_share(mc_tooth_from_iso(12), MC_MOVE_MESIAL, NULL), 0.608667);
    assert_six(mc_expected_share(mc_tooth_from_iso(12), MC_MOVE_ROTATION, NULL), 0.662667);
    mouth_free(&m);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(golden_score)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
