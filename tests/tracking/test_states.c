/* Every state of a tooth at its boundary, from both sides, and the worked examples of the score.
 * Readings without error (mouth_read_exactly) put x where the test wants it, with SD 0; then p is 1
 * where the component is off by its tolerance and 0 where it is not. A limit counts as reached from
 * 1e-9 below, so LEAST is enough to miss it and HARDLY is not. */
#include "mouth.h"
#include "near.h"

static const double LEAST = 2e-9, HARDLY = 0.5e-9;

/* The score of one tooth that goes straight to `end` over 24 stages and wears aligner 12, so that
 * half of `end` is planned. */
static mc_tooth_score score_at_12(int iso, mc_pose end, mc_reading r) {
    mouth m = mouth_new();
    mouth_read_exactly(&m);
    mouth_plan(&m, iso, 24, end);
    mouth_begin(&m);
    r.tooth = mc_tooth_from_iso(iso);
    mouth_checkup(&m, 12, MC_SCAN, &r, 1);
    mc_tooth_score score = *mouth_tooth(&m, iso);
    mouth_free(&m);
    return score;
}

static mc_state state_at_12(int iso, mc_pose end, mc_reading r) {
    return score_at_12(iso, end, r).state;
}

static mc_reading read_mesial(double value) {
    return mouth_reading(11, MC_MESIAL, value);
}

/* At aligner 12 1.2 mm mesial are planned on 11 (weight 1, tolerance 0.5 mm). */
static const mc_pose MESIAL = {{2.4, 0, 0, 0, 0, 0}};

static void unmeasured(void **state) {
    (void)state;
    mc_reading r = mc_reading_none(0);
    r.mobility = 1;
    r.attachment = MC_ATTACHMENT_LOST;
    mc_tooth_score score = score_at_12(11, MESIAL, r);
    assert_int_equal(score.state, MC_STATE_UNMEASURED);
    assert_int_equal(score.worst, MC_WORST_NONE);
    assert_true(isnan(score.lag_index) && isnan(score.p_behind) && isnan(score.seat_index));
    assert_true(isnan(score.tracked_share) && isnan(score.lag_stages) && isnan(score.off_path));
    /* nor does a tooth that the plan leaves alone count as fine unread */
    assert_int_equal(state_at_12(11, (mc_pose){{0}}, r), MC_STATE_UNMEASURED);
}

/* Short by exactly 0.5 mm, index 1: behind. Just under: slipping, since the index still reaches
 * 0.6. */
static void behind_from_one_tolerance(void **state) {
    (void)state;
    assert_int_equal(state_at_12(11, MESIAL, read_mesial(0.7)), MC_STATE_BEHIND);
    assert_int_equal(state_at_12(11, MESIAL, read_mesial(0.7 + HARDLY)), MC_STATE_BEHIND);
    assert_int_equal(state_at_12(11, MESIAL, read_mesial(0.7 + LEAST)), MC_STATE_SLIPPING);
    /* the other way round the mouth, distally: short is short */
    mc_pose distal = {{-2.4, 0, 0, 0, 0, 0}};
    assert_int_equal(state_at_12(11, distal, read_mesial(-0.7)), MC_STATE_BEHIND);
    assert_int_equal(state_at_12(11, distal, read_mesial(-0.7 - LEAST)), MC_STATE_SLIPPING);
    /* an angle's tolerance is 2 deg: 6 planned */
    mc_pose turn = {{0, 0, 0, 12, 0, 0}};
    assert_int_equal(state_at_12(11, turn, mouth_reading(11, MC_ROTATION, 4)), MC_STATE_BEHIND);
    assert_int_equal(state_at_12(11, turn, mouth_reading(11, MC_ROTATION, 4 + LEAST)),
                     MC_STATE_SLIPPING);
}

/* A component without a leg drifts either way from 0.5 mm. */
static void drifting_either_way(void **state) {
    (void)state;
    const mc_pose still = {{0}};
    for (int side = -1; side <= 1; side += 2) {
        assert_int_equal(state_at_12(11, still, read_mesial(side * 0.5)), MC_STATE_DRIFTING);
        assert_int_equal(state_at_12(11, still, read_mesial(side * (0.5 - HARDLY))),
                         MC_STATE_DRIFTING);
        assert_int_equal(state_at_12(11, still, read_mesial(side * (0.5 - LEAST))),
                         MC_STATE_SLIPPING);
    }
    /* 0.04 mm planned is no leg, and no reason to call a tooth short */
    mc_tooth_score score =
        score_at_12(11, (mc_pose){{0.08, 0, 0, 0, 0, 0}}, read_mesial(0.04 - 0.5));
    assert_int_equal(score.state, MC_STATE_DRIFTING);
    assert_int_equal(score.item[MC_MESIAL].kind, MC_KIND_DRIFT);
    assert_true(isnan(score.item[MC_MESIAL].shortfall) && isnan(score.p_behind));
}

/* On the far side of the leg's start: 1.2 mm were planned from 0, D = 1.2. Down to x = -1.2 the
 * tooth is short, below it drifts ("less than": a hair below is not yet less). */
static void drifting_against_the_plan(void **state) {
    (void)state;
    assert_int_equal(state_at_12(11, MESIAL, read_mesial(-1.2)), MC_STATE_BEHIND);
    assert_int_equal(state_at_12(11, MESIAL, read_mesial(-1.2 - HARDLY)), MC_STATE_BEHIND);
    assert_int_equal(state_at_12(11, MESIAL, read_mesial(-1.2 - LEAST)), MC_STATE_DRIFTING);
    /* drift keeps g and B, so its shortfall is still known */
    mc_tooth_score score = score_at_12(11, MESIAL, read_mesial(-1.3));
    assert_near(score.item[MC_MESIAL].shortfall, 2.5, 1e-9);
    assert_near(score.item[MC_MESIAL].leg_from, 0, 0);
    assert_true(isnan(score.p_behind));
}

/* Beyond the plan by 0.5 mm: past plan. Just under: on plan, for slipping is of short and drift
 * only. */
static void past_plan_from_one_tolerance(void **state) {
    (void)state;
    assert_int_equal(state_at_12(11, MESIAL, read_mesial(1.7)), MC_STATE_PAST_PLAN);
    assert_int_equal(state_at_12(11, MESIAL, read_mesial(1.7 - HARDLY)), MC_STATE_PAST_PLAN);
    assert_int_equal(state_at_12(11, MESIAL, read_mesial(1.7 - LEAST)), MC_STATE_ON_PLAN);
}

/* Mesial short, buccal (not planned) drifted, occlusal past its plan, each by 0.5 mm: the first row
 * of the table counts, and with it taken away the next. */
static void the_first_row_that_holds(void **state) {
    (void)state;
    const mc_pose end = {{2.4, 0, 0.8, 0, 0, 0}};
    mc_reading r = mc_reading_none(0);
    r.value[MC_MESIAL] = 0.7;
    r.value[MC_BUCCAL] = 0.5;
    r.value[MC_OCCLUSAL] = 0.9;
    assert_int_equal(state_at_12(11, end, r), MC_STATE_BEHIND);
    r.value[MC_MESIAL] = 0.9;
    assert_int_equal(state_at_12(11, end, r), MC_STATE_DRIFTING);
    r.value[MC_BUCCAL] = 0;
    assert_int_equal(state_at_12(11, end, r), MC_STATE_PAST_PLAN);
    r.value[MC_OCCLUSAL] = 0.4;
    assert_int_equal(state_at_12(11, end, r), MC_STATE_SLIPPING);
    r.value[MC_MESIAL] = 1.2;
    assert_int_equal(state_at_12(11, end, r), MC_STATE_ON_PLAN);
}

/* Slipping from weight x index 0.6, checked at exactly 0.6 and just under, on the item that has
 * that weight. */
static void assert_slips_at(int iso, mc_pose end, mc_component c, double weight) {
    double tau = mc_component_is_linear(c) ? 0.5 : 2, planned = end.c[c] / 2;
    double g = planned < 0 ? -1 : 1, edge = planned - g * 0.6 / weight * tau;
    mc_tooth_score at = score_at_12(iso, end, mouth_reading(iso, c, edge));
    mc_tooth_score above = score_at_12(iso, end, mouth_reading(iso, c, edge + g * 4 * LEAST));
    if (at.state != MC_STATE_SLIPPING || above.state != MC_STATE_ON_PLAN)
        fail_msg("%d %s: %s, %s", iso, mc_component_name(c), mc_state_name(at.state),
                 mc_state_name(above.state));
    assert_near(at.item[c].weight, weight, 1e-12);
    assert_near(at.lag_index, 0.6, 1e-9);
}

static void slipping_by_its_weight(void **state) {
    (void)state;
    const mc_pose turn = {{0, 0, 0, 12, 0, 0}}, rise = {{0, 0, 2.4, 0, 0, 0}};
    assert_slips_at(11, MESIAL, MC_MESIAL, 1);
    assert_slips_at(46, MESIAL, MC_MESIAL, 1);
    assert_slips_at(12, MESIAL, MC_MESIAL, 1.5); /* upper laterals */
    assert_slips_at(22, turn, MC_ROTATION, 1.5);
    assert_slips_at(32, MESIAL, MC_MESIAL, 1.25); /* lower laterals */
    assert_slips_at(42, MESIAL, MC_MESIAL, 1.25);
    for (int position = 3; position <= 5; position++) { /* round crowns, on rotation only */
        assert_slips_at(10 + position, turn, MC_ROTATION, 1.25);
        assert_slips_at(30 + position, turn, MC_ROTATION, 1.25);
        assert_slips_at(20 + position, MESIAL, MC_MESIAL, 1);
    }
    assert_slips_at(16, turn, MC_ROTATION, 1);
    assert_slips_at(21, turn, MC_ROTATION, 1);
    assert_slips_at(11, rise, MC_OCCLUSAL, 1.25); /* incisors up or down, where that is planned */
    assert_slips_at(41, rise, MC_OCCLUSAL, 1.25);
    assert_slips_at(13, rise, MC_OCCLUSAL, 1);
    assert_slips_at(12, rise, MC_OCCLUSAL, 1.5);  /* the larger of 1.5 and 1.25 */
    assert_slips_at(32, rise, MC_OCCLUSAL, 1.25); /* of equals */
}

/* An incisor's weight on occlusal needs P(N) of 0.05 mm: a plan that comes back has none. */
static void incisor_weight_needs_a_planned_end(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 11, 12, (mc_pose){{0, 0, 1, 0, 0, 0}});
    mouth_plan(&m, 11, 24, (mc_pose){{0, 0, 0.0499, 0, 0, 0}});
    mouth_plan(&m, 21, 24, (mc_pose){{0, 0, -0.05, 0, 0, 0}});
    const mc_settings *s = &m.settings;
    mc_tooth t11 = mc_tooth_from_iso(11), t21 = mc_tooth_from_iso(21);
    assert_near(mc_risk_weight(s, m.plan, t11, MC_OCCLUSAL), 1, 0);
    assert_near(mc_risk_weight(s, m.plan, t21, MC_OCCLUSAL), 1.25, 0);
    assert_near(mc_risk_weight(s, m.plan, t21, MC_MESIAL), 1, 0);
    /* a weight of the tooth's own takes the place of its class's, and the larger still counts */
    m.settings.risk_tooth[21] = 2;
    m.settings.risk_tooth[12] = 1.1;
    m.settings.risk_tooth[13] = 1.6;
    m.settings.risk_tooth[23] = 0.5;
    assert_near(mc_risk_weight(s, m.plan, t21, MC_MESIAL), 2, 0);
    assert_near(mc_risk_weight_tooth(s, t21), 2, 0);
    assert_near(mc_risk_weight(s, m.plan, t21, MC_OCCLUSAL), 2, 0);
    assert_near(mc_risk_weight(s, m.plan, mc_tooth_from_iso(13), MC_ROTATION), 1.6, 0);
    assert_near(mc_risk_weight(s, m.plan, mc_tooth_from_iso(23), MC_ROTATION), 1.25, 0);
    assert_near(mc_risk_weight(s, m.plan, mc_tooth_from_iso(23), MC_MESIAL), 0.5, 0);
    assert_near(mc_risk_weight_tooth(s, mc_tooth_from_iso(12)), 1.1, 0);
    assert_near(mc_risk_weight_tooth(s, mc_tooth_from_iso(22)), 1.5, 0);
    assert_near(mc_risk_weight_tooth(s, mc_tooth_from_iso(52)), 1, 0); /* deciduous */
    m.tracker = NULL;
    mouth_free(&m);
}

/* 12 short by 0.49 mm: w x index = 1.47, but p = 0: weights never make a tooth behind. */
static void weights_never_make_a_tooth_behind(void **state) {
    (void)state;
    mc_tooth_score score = score_at_12(12, MESIAL, read_mesial(0.71));
    assert_near(score.lag_index, 1.47, 1e-9);
    assert_near(score.p_behind, 0, 0);
    assert_int_equal(score.state, MC_STATE_SLIPPING);
}

static mc_tooth_score with_gap(int iso, mc_pose end, double gap) {
    mc_reading r = mc_reading_none(0);
    r.seat_gap = gap;
    return score_at_12(iso, end, r);
}

/* A seat gap of 0.5 mm: behind on a tooth with a leg in any component, else drifting. Smaller:
 * slipping from w x gap / 0.5 = 0.6. Below that nothing is wrong, but a tooth that moves is only
 * seated. */
static void seat_gaps(void **state) {
    (void)state;
    const mc_pose still = {{0}}, hardly = {{0.08, 0, 0, 0.38, 0, 0}}, last = {{0, 0, 0, 0, 0, -1}};
    assert_int_equal(with_gap(11, MESIAL, 0.5).state, MC_STATE_BEHIND);
    assert_int_equal(with_gap(11, last, 0.5).state, MC_STATE_BEHIND);
    assert_int_equal(with_gap(11, MESIAL, 0.5 - LEAST).state, MC_STATE_SLIPPING);
    assert_int_equal(with_gap(11, still, 0.5).state, MC_STATE_DRIFTING);
    assert_int_equal(with_gap(11, hardly, 0.5).state, MC_STATE_DRIFTING);
    assert_int_equal(with_gap(11, still, 0.5 - LEAST).state, MC_STATE_SLIPPING);
    assert_int_equal(with_gap(11, MESIAL, 0.3).state, MC_STATE_SLIPPING);
    assert_int_equal(with_gap(11, MESIAL, 0.3 - LEAST).state, MC_STATE_SEATED);
    assert_int_equal(with_gap(12, MESIAL, 0.2).state, MC_STATE_SLIPPING); /* 1.5 x 0.4 */
    assert_int_equal(with_gap(12, MESIAL, 0.2 - LEAST).state, MC_STATE_SEATED);
    assert_int_equal(with_gap(13, MESIAL, 0.3 - LEAST).state, MC_STATE_SEATED); /* weight 1 */

    mc_tooth_score score = with_gap(11, MESIAL, 0.5);
    assert_int_equal(score.seat_kind, MC_KIND_SHORT);
    assert_near(score.seat_p, 1, 0);
    assert_near(score.p_behind, 1, 0);
    assert_near(score.seat_index, 1, 1e-12);
    score = with_gap(11, still, 0.4);
    assert_int_equal(score.seat_kind, MC_KIND_DRIFT);
    assert_near(score.seat_p, 0, 0);
    assert_near(score.lag_index, 0.8, 1e-12);
    assert_int_equal(score.worst, MC_WORST_SEAT_GAP);
}

/* Mesial and buccal both 1.2 mm planned, 2.4 tolerances each: of 2 x 5.76 one is exactly half.
 * Where the unread one is planned a hair further, less than half was read. */
static void half_of_what_is_planned_must_be_read(void **state) {
    (void)state;
    mc_pose end = {{2.4, 2.4, 0, 0, 0, 0}};
    mc_reading r = read_mesial(1.2);
    assert_int_equal(state_at_12(11, end, r), MC_STATE_ON_PLAN);
    end.c[MC_BUCCAL] = 2.4 + 1e-8; /* 11.52 + 4.8e-8, half of that misses 5.76 by 2.4e-8 */
    assert_int_equal(state_at_12(11, end, r), MC_STATE_UNMEASURED);
    r.seat_gap = 0;
    assert_int_equal(state_at_12(11, end, r), MC_STATE_SEATED);
    r.value[MC_BUCCAL] = 1.2; /* all read */
    assert_int_equal(state_at_12(11, end, r), MC_STATE_ON_PLAN);
    r.value[MC_MESIAL] = NAN; /* a hair more than half */
    assert_int_equal(state_at_12(11, end, r), MC_STATE_ON_PLAN);
    r.value[MC_MESIAL] = 0.9; /* what is wrong comes before what is unread */
    r.value[MC_BUCCAL] = NAN;
    assert_int_equal(state_at_12(11, end, r), MC_STATE_SLIPPING);
}

/* Only where the sum is at least 1: 0.5 mm planned is one tolerance, a hair less is not. */
static void little_planned_needs_no_position(void **state) {
    (void)state;
    const mc_pose enough = {{1, 0, 0, 0, 0, 0}}, little = {{1 - 4e-9, 0, 0, 0, 0, 0}};
    assert_int_equal(with_gap(11, enough, 0).state, MC_STATE_SEATED);
    assert_int_equal(with_gap(11, little, 0).state, MC_STATE_ON_PLAN);
    assert_int_equal(state_at_12(11, enough, mouth_reading(11, MC_OCCLUSAL, 0)),
                     MC_STATE_UNMEASURED);
    assert_int_equal(state_at_12(11, little, mouth_reading(11, MC_OCCLUSAL, 0)), MC_STATE_ON_PLAN);
    /* 0.3 mm and 1.6 deg: 0.36 + 0.64 = 1 */
    assert_int_equal(with_gap(11, (mc_pose){{0.6, 0, 0, 3.2, 0, 0}}, 0).state, MC_STATE_SEATED);
}

/* p exactly at 0.8: with a caliper x is mu P + K (O - mu P) with a K that does not depend on O, so
 * two readings give the O at which P - x = 0.5 + 0.8416212335729143 SD (the normal quantile of
 * 0.8). Around it the tooth turns from slipping to behind. */
static void behind_from_p_of_four_fifths(void **state) {
    (void)state;
    mc_tooth_score score[2];
    mouth m;
    const double quantile = 0.8416212335729143;
    double edge = 0;
    for (int round = 0; round < 2; round++) {
        double reading[2] = {0, 1};
        if (round == 1) {
            double x0 = score[0].item[0].mean, x1 = score[1].item[0].mean;
            edge = (1.2 - 0.5 - quantile * score[0].item[0].sd_x - x0) / (x1 - x0);
            reading[0] = edge + 1e-7;
            reading[1] = edge - 1e-7;
        }
        for (int i = 0; i < 2; i++) {
            m = mouth_new();
            mouth_plan(&m, 11, 24, MESIAL);
            mouth_begin(&m);
            mc_reading r = read_mesial(reading[i]);
            mouth_checkup(&m, 12, MC_CALIPER, &r, 1);
            score[i] = *mouth_tooth(&m, 11);
            mouth_free(&m);
        }
    }
    assert_near(score[0].p_behind, 0.8, 1e-6);
    assert_true(score[0].p_behind < 0.8 - 1e-9 && score[1].p_behind > 0.8);
    assert_int_equal(score[0].state, MC_STATE_SLIPPING);
    assert_int_equal(score[1].state, MC_STATE_BEHIND);
}

/* One reading by caliper, worked by hand. 2.4 mm mesial over 24 stages, aligner 12: v = 0.1, P =
 * 1.2. mu = (73.6 + 59 + 50) / 300 = 0.6086667. Before the reading x has mean 1.2 mu = 0.7304; with
 * a given its variance is 1.44 x 0.04 + 0.01^2 x 12 + 0.01^2 x 12 + 0.025^2 x 0.01 x 1728 / 3 =
 * 0.0576 + 0.0012 + 0.0012 + 0.0036 = 0.0636; with a 1.44 x 0.04 more: 0.1212. O = 0.5, variance
 * 0.1225: K = 0.1212 / 0.2437 = 0.497333, x = 0.7304 - K 0.2304 = 0.615814, variance 0.1212 (1 - K)
 * = 0.0609233, SD 0.246826. Short by 0.584186, index 1.168371; p = Phi(0.084186 / 0.246826) =
 * 0.633475. The pace: h = 1.2, S = 0.0636 + 0.1225 = 0.1861: precision 25 + 1.44 / 0.1861 =
 * 32.737775, mean 1.2 x -0.2304 / 0.1861 / 32.737775 = -0.045380, SD 0.174773. */
static void one_caliper_reading_by_hand(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 11, 24, MESIAL);
    mouth_begin(&m);
    mc_reading r = read_mesial(0.5);
    mc_score *score = mouth_checkup(&m, 12, MC_CALIPER, &r, 1);
    const mc_item *item = &mouth_tooth(&m, 11)->item[MC_MESIAL];
    assert_near(item->mean, 0.615814, 1e-6);
    assert_near(item->sd_x, 0.246826, 1e-6);
    assert_near(item->index, 1.168371, 2e-6);
    assert_near(item->p, 0.633475, 2e-6);
    assert_near(item->raw_index, 1.4, 1e-12);
    assert_near(item->observed, 0.5, 1e-12);
    assert_near(item->sd, 0.35, 1e-12);
    assert_near(score->pace_mean, -0.045380, 1e-6);
    assert_near(score->pace_sd, 0.174773, 1e-6);
    /* D = 1.2, u = x: the tracked share is x / 1.2, its error SD / 1.2 */
    assert_near(mouth_tooth(&m, 11)->tracked_share, 0.615814 / 1.2, 1e-6);
    assert_near(mouth_tooth(&m, 11)->tracked_share_se, 0.246826 / 1.2, 1e-6);
    mouth_free(&m);
}

/* A tooth read short of plan by caliper and, again, on a photograph. */
static void short_of_plan_and_repeated(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 11, 24, (mc_pose){{-2.4, 0, 0, 0, 0, 0}});
    mouth_begin(&m);
    mc_reading r[2] = {read_mesial(0.3), read_mesial(-0.7)};
    r[0].short_of_plan[MC_MESIAL] = true; /* O = P - g k = -1.2 + 0.3 = -0.9 */
    r[1].method = MC_PHOTO;
    r[0].seat_gap = 0.2;
    r[1].seat_gap = 0.4;
    mouth_checkup(&m, 12, MC_CALIPER, r, 2);
    const mc_tooth_score *score = mouth_tooth(&m, 11);
    const mc_item *item = &score->item[MC_MESIAL];
    /* weights 1 / 0.1225 = 8.163265 and 1 / 0.0225 = 44.444444 */
    assert_near(item->observed, (-0.9 * 8.163265306 - 0.7 * 44.444444444) / 52.607709751, 1e-9);
    assert_near(item->sd, 1 / sqrt(52.607709751), 1e-9);
    assert_int_equal(item->readings, 2);
    assert_near(score->seat_gap, 0.3, 1e-12); /* the mean of repeated gaps */
    mouth_free(&m);
}

/* The worst item: the largest w x index; of equals the seat gap, then table order. */
static void the_worst_of_equals(void **state) {
    (void)state;
    const mc_pose end = {{2.4, 2.4, 0, 12, 0, 0}};
    mc_reading r = mc_reading_none(0);
    r.value[MC_MESIAL] = r.value[MC_BUCCAL] = 0.95; /* index 0.5 each */
    r.value[MC_ROTATION] = 5;
    r.seat_gap = 0.25;
    assert_int_equal(score_at_12(11, end, r).worst, MC_WORST_SEAT_GAP);
    r.seat_gap = 0.2499;
    assert_int_equal(score_at_12(11, end, r).worst, MC_MESIAL);
    assert_near(score_at_12(11, end, r).lag_index, 0.5, 1e-9);
    r.value[MC_MESIAL] = 0.9501;
    assert_int_equal(score_at_12(11, end, r).worst, MC_BUCCAL);
    assert_int_equal(score_at_12(13, end, r).worst, MC_ROTATION); /* 1.25 on a canine */
    assert_near(score_at_12(13, end, r).lag_index, 0.625, 1e-9);
    /* past plan counts in the lag index too */
    r.value[MC_MESIAL] = 1.6;
    assert_int_equal(score_at_12(11, end, r).worst, MC_MESIAL);
    assert_near(score_at_12(11, end, r).lag_index, 0.8, 1e-9);
}

/* Tracked share over two components: mesial D 1.2, u 0.6; buccal (to the palate) D 0.6, u 0.45;
 * rotation without a leg does not count. (0.6 x 1.2 + 0.45 x 0.6) / 0.25 over (1.44 + 0.36) / 0.25
 * = 0.99 / 1.8 = 0.55. */
static void tracked_share_by_hand(void **state) {
    (void)state;
    mc_reading r = mc_reading_none(0);
    r.value[MC_MESIAL] = 0.6;
    r.value[MC_BUCCAL] = -0.45;
    r.value[MC_ROTATION] = 1;
    mc_tooth_score score = score_at_12(11, (mc_pose){{2.4, -1.2, 0, 0, 0, 0}}, r);
    assert_near(score.tracked_share, 0.55, 1e-9);
    assert_near(score.tracked_share_se, 0, 1e-9);
    /* none below a denominator of 1: 0.5 mm planned is just enough */
    assert_near(score_at_12(11, (mc_pose){{1, 0, 0, 0, 0, 0}}, read_mesial(0.2)).tracked_share, 0.4,
                1e-9);
    assert_true(isnan(
        score_at_12(11, (mc_pose){{1 - 4e-9, 0, 0, 0, 0, 0}}, read_mesial(0.2)).tracked_share));
}

/* ---- the whole mouth ---- */

static void the_mouth_is_counted(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_read_exactly(&m);
    const int moving[] = {11, 12, 13, 14, 15, 16};
    for (int i = 0; i < 6; i++)
        mouth_plan(&m, moving[i], 24, MESIAL);
    mouth_begin(&m);
    mc_reading r[] = {mouth_reading(11, MC_MESIAL, 1.2),      mouth_reading(12, MC_MESIAL, 0.7),
                      mouth_reading(13, MC_MESIAL, 1.7),      mouth_reading(14, MC_MESIAL, 0.8),
                      mc_reading_none(mc_tooth_from_iso(15)), mouth_reading(17, MC_BUCCAL, 0.6),
                      mouth_reading(18, MC_MESIAL, -2)};
    r[4].seat_gap = 0;
    m.states[mc_tooth_from_iso(18)] = MC_TOOTH_EXTRACTED; /* read, but not standing */
    m.states[mc_tooth_from_iso(27)] = MC_TOOTH_IMPLANT;   /* standing, though it does not move */
    m.states[mc_tooth_from_iso(26)] = MC_TOOTH_MISSING;
    mc_score *score = mouth_checkup(&m, 12, MC_SCAN, r, 7);
    assert_int_equal(score->present_count, 27);
    assert_int_equal(score->count[MC_STATE_ON_PLAN], 1);
    assert_int_equal(score->count[MC_STATE_BEHIND], 1);
    assert_int_equal(score->count[MC_STATE_PAST_PLAN], 1);
    assert_int_equal(score->count[MC_STATE_SLIPPING], 1);
    assert_int_equal(score->count[MC_STATE_SEATED], 1);
    assert_int_equal(score->count[MC_STATE_DRIFTING], 1);
    assert_int_equal(score->count[MC_STATE_UNMEASURED], 21); /* 16 among them: it moves, unread */
    assert_int_equal(score->measured, 6);
    assert_int_equal(mc_tooth_iso(score->worst), 12); /* 1.5 x 1; 17 has 1.2, 18 does not stand */
    assert_near(score->lag_index, 1.5, 1e-9);
    assert_near(score->effective_stage[MC_UPPER], 12, 0);
    assert_true(isnan(score->effective_stage[MC_LOWER]));
    mouth_free(&m);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(unmeasured),
        cmocka_unit_test(behind_from_one_tolerance),
        cmocka_unit_test(drifting_either_way),
        cmocka_unit_test(drifting_against_the_plan),
        cmocka_unit_test(past_plan_from_one_tolerance),
        cmocka_unit_test(the_first_row_that_holds),
        cmocka_unit_test(slipping_by_its_weight),
        cmocka_unit_test(incisor_weight_needs_a_planned_end),
        cmocka_unit_test(weights_never_make_a_tooth_behind),
        cmocka_unit_test(seat_gaps),
        cmocka_unit_test(half_of_what_is_planned_must_be_read),
        cmocka_unit_test(little_planned_needs_no_position),
        cmocka_unit_test(behind_from_p_of_four_fifths),
        cmocka_unit_test(one_caliper_reading_by_hand),
        cmocka_unit_test(short_of_plan_and_repeated),
        cmocka_unit_test(the_worst_of_equals),
        cmocka_unit_test(tracked_share_by_hand),
        cmocka_unit_test(the_mouth_is_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
