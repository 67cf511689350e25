/* What a choice brings, worked out by hand on a copy of a tracker: drawn toward the plan, gone
 * back, gone on, corrected. */
#include "ahead.h"
#include "random_mouth.h"

/* The rate of the mouth of test_forecast.c, 11 planned 0.1 mm mesially a stage and read without
 * error at stage 6, where 0.6 was read; q, its unplanned movement, is 0.01 mm a stage. */
static const double RATE = 0.9874696223316911, Q = 0.01;

static mouth read_at_six(double planned, double read) {
    mouth m = mouth_new();
    mouth_read_exactly(&m);
    mouth_plan(&m, 11, 24, (mc_pose){{planned, 0, 0, 0, 0, 0}});
    mouth_plan(&m, 41, 20, (mc_pose){{0, 2, 0, 0, 0, 0}});
    mouth_begin(&m);
    mc_reading r = mouth_reading(11, MC_MESIAL, read);
    mouth_checkup(&m, 6, MC_SCAN, &r, 1);
    return m;
}

static const mc_tooth_state ALL_STAND[MC_TEETH];

static mc_forecast forecast_of(const mc_tracker *tracker, const bool *grip) {
    static mc_forecast out;
    mc_tracker_forecast(tracker, ALL_STAND, grip, &out);
    assert_forecast(&out, ALL_STAND);
    return out;
}

static mc_component_forecast of(const mc_tracker *tracker, int iso, mc_component c) {
    mc_forecast f = forecast_of(tracker, NULL);
    return *end_of(&f, iso, c);
}

/* ---- pull ---- */

/* x' = (1 - h) x + h at, its SD as much less, its rate as it was: what is to come comes on top. */
static void pulled_toward_the_plan(void **state) {
    (void)state;
    const double share[] = {0, 0.25, 0.5, 1};
    for (int i = 0; i < 4; i++) {
        mouth m = read_at_six(2.4, 0.4);
        mc_reading r = mouth_reading(11, MC_MESIAL, 0.3);
        mouth_checkup(&m, 6, MC_CALIPER, &r, 1); /* no stage on: still 0.4, without error */
        mouth_checkup(&m, 8, MC_CALIPER, &r, 1);
        mc_component_forecast before = of(m.tracker, 11, MC_MESIAL);
        mc_tracker_pull(m.tracker, mc_tooth_from_iso(11), MC_MESIAL, share[i], 0.8);
        mc_component_forecast after = of(m.tracker, 11, MC_MESIAL);
        assert_true(before.sd > 0.01);
        assert_near(after.mean, (1 - share[i]) * before.mean + share[i] * 0.8, 1e-12);
        assert_near(after.sd, (1 - share[i]) * before.sd, 1e-12);
        assert_near(after.rate, before.rate, 1e-12);
        assert_near(after.rate_sd, before.rate_sd, 1e-12);
        assert_near(after.end, after.mean + 1.6 * before.rate, 1e-12);
        if (share[i] == 1) /* what was off is gone, and so is all that followed from it */
            assert_true(after.end_sd < before.end_sd);
        mouth_free(&m);
    }
}

/* What ties position and rate is drawn as the position is: of V + 2 W C + (the rest), W the way to
 * go, half a pull leaves V / 4 + W C + (the rest). */
static void pulled_halfway(void **state) {
    (void)state;
    double variance[3], now;
    for (int i = 0; i < 3; i++) {
        mouth m = read_at_six(2.4, 0.6);
        mc_reading r = mouth_reading(11, MC_MESIAL, 0.7);
        mouth_checkup(&m, 10, MC_CALIPER, &r, 1);
        now = pow(of(m.tracker, 11, MC_MESIAL).sd, 2);
        mc_tracker_pull(m.tracker, mc_tooth_from_iso(11), MC_MESIAL, 0.5 * i, 1);
        variance[i] = pow(of(m.tracker, 11, MC_MESIAL).end_sd, 2);
        mouth_free(&m);
    }
    double tied = variance[0] - variance[2] - now; /* 2 W C */
    assert_true(tied > 0.003);
    assert_near(variance[1], now / 4 + tied / 2 + variance[2], 1e-12);
}

/* Where it was not read today it is drawn at today's stage; a share of 0 changes nothing. */
static void pulled_where_the_arch_stands(void **state) {
    (void)state;
    mouth m = read_at_six(2.4, 0.6);
    mouth_checkup(&m, 12, MC_SCAN, NULL, 0);
    mc_component_forecast before = of(m.tracker, 11, MC_MESIAL);
    mc_tracker_pull(m.tracker, mc_tooth_from_iso(11), MC_MESIAL, 0, 5);
    mc_component_forecast after = of(m.tracker, 11, MC_MESIAL);
    assert_near(after.end, before.end, 1e-12);
    assert_near(after.end_sd, before.end_sd, 1e-12);
    mc_tracker_pull(m.tracker, mc_tooth_from_iso(11), MC_MESIAL, 0.5, 1.2);
    after = of(m.tracker, 11, MC_MESIAL);
    assert_near(after.mean, (0.6 + 0.6 * RATE + 1.2) / 2, 1e-12);
    assert_near(after.end, after.mean + 1.2 * RATE, 1e-12);
    mouth_free(&m);
}

static void what_is_not_known_is_not_pulled(void **state) {
    (void)state;
    mouth m = read_at_six(2.4, 0.6);
    mc_forecast before = forecast_of(m.tracker, NULL);
    mc_tracker_pull(m.tracker, mc_tooth_from_iso(11), MC_BUCCAL, 1, 1);
    mc_tracker_pull(m.tracker, mc_tooth_from_iso(41), MC_BUCCAL, 1, 1);
    mc_forecast after = forecast_of(m.tracker, NULL);
    assert_same_forecast(&before, &after, false, 0);
    mouth_free(&m);
}

/* ---- go back ---- */

/* From 6 to stage 4, where 0.4 is planned: beyond it one returns, short of it one stays; then 20
 * stages of the series are ahead. Two stages back add q^2 each. */
static void gone_back(void **state) {
    (void)state;
    const double read[] = {0.6, 0.45, 0.4, 0.35, -0.2}, stands[] = {0.4, 0.4, 0.4, 0.35, -0.2};
    for (int way = -1; way <= 1; way += 2)
        for (int i = 0; i < 5; i++) {
            mouth m = read_at_six(way * 2.4, way * read[i]);
            mc_component_forecast before = of(m.tracker, 11, MC_MESIAL);
            mc_tracker_go_back(m.tracker, MC_UPPER, 4);
            mc_component_forecast after = of(m.tracker, 11, MC_MESIAL);
            assert_near(mc_tracker_stage(m.tracker, MC_UPPER), 4, 0);
            assert_near(mc_tracker_stage(m.tracker, MC_LOWER), 6, 0);
            assert_near(after.mean, way * stands[i], 1e-12);
            assert_near(after.sd, Q * sqrt(2), 1e-12);
            assert_near(after.rate, before.rate, 1e-12);
            assert_near(after.end, after.mean + way * 2.0 * after.rate, 1e-12);
            mouth_free(&m);
        }
}

/* The present leg may lead back itself: 1.2 mm out by stage 12 and in again by 24. At 18 (0.6
 * planned) back to 12: who has come in further than 1.2 goes out again, who is still out stays. */
static void gone_back_on_the_way_in(void **state) {
    (void)state;
    const double read[] = {0.7, 1.1, 1.3}, stands[] = {1.2, 1.2, 1.3};
    for (int i = 0; i < 3; i++) {
        mouth m = mouth_new();
        mouth_read_exactly(&m);
        mouth_plan(&m, 11, 12, (mc_pose){{0, 1.2, 0, 0, 0, 0}});
        mouth_plan(&m, 11, 24, (mc_pose){{0}});
        mouth_begin(&m);
        mc_reading r = mouth_reading(11, MC_BUCCAL, read[i]);
        mouth_checkup(&m, 18, MC_SCAN, &r, 1);
        mc_tracker_go_back(m.tracker, MC_UPPER, 12);
        mc_component_forecast after = of(m.tracker, 11, MC_BUCCAL);
        assert_near(after.mean, stands[i], 1e-12);
        assert_near(after.end, after.mean - 1.2 * after.rate, 1e-12);
        mouth_free(&m);
    }
}

/* The gap was that of another aligner; what is short stays short; an attachment that is lost stays
 * lost, and so is the grip. The other arch is left alone. */
static void grip_after_going_back(void **state) {
    (void)state;
    for (int lost = 0; lost < 2; lost++) {
        mouth m = mouth_new();
        bool grip[MC_TEETH];
        mouth_plan(&m, 11, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
        mouth_plan(&m, 41, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
        mouth_begin(&m);
        mc_reading r[2] = {mc_reading_none(mc_tooth_from_iso(11)),
                           mc_reading_none(mc_tooth_from_iso(41))};
        r[0].seat_gap = r[1].seat_gap = 1.5;
        r[0].attachment = lost ? MC_ATTACHMENT_LOST : MC_ATTACHMENT_INTACT;
        mouth_checkup(&m, 12, MC_CALIPER, r, 2);
        mc_tracker_grip(m.tracker, grip);
        assert_false(grip[r[0].tooth] || grip[r[1].tooth]);
        mc_tracker_go_back(m.tracker, MC_UPPER, 11);
        mc_tracker_grip(m.tracker, grip);
        assert_int_equal(grip[r[0].tooth], !lost);
        assert_false(grip[r[1].tooth]);
        mouth_free(&m);
    }
}

/* ---- advance ---- */

/* Gone on to a stage between and carried from there is carried at once, with grip and without. */
static void gone_on(void **state) {
    (void)state;
    for (uint64_t n = 0; n < 10; n++) {
        random_source random = random_seed(600 + n);
        mouth m = mouth_new();
        bool grip[MC_TEETH];
        draw_plan(&random, &m);
        mouth_begin(&m);
        for (int k = 1; k <= 2; k++) {
            mc_reading rows[DRAWN_ROWS];
            mouth_checkup(&m, 4 * k, MC_CALIPER, rows, draw_rows(&random, &m, 4 * k, rows));
        }
        for (mc_tooth t = 0; t < MC_TEETH; t++)
            grip[t] = random_unit(&random) < 0.7;
        mc_forecast once = forecast_of(m.tracker, grip);
        mc_tracker_advance(m.tracker, MC_UPPER, 8 + 16 * random_unit(&random), grip);
        mc_tracker_advance(m.tracker, MC_LOWER, 8 + 16 * random_unit(&random), grip);
        mc_tracker_advance(m.tracker, MC_LOWER, 24, grip);
        mc_forecast after = forecast_of(m.tracker, grip);
        for (mc_tooth t = 0; t < MC_TEETH; t++)
            for (int c = 0; c < MC_COMPONENTS; c++) {
                const mc_component_forecast *x = &once.tooth[t].component[c],
                                            *y = &after.tooth[t].component[c];
                assert_same_number(x->end, y->end, 1e-11);
                assert_same_number(x->end_sd, y->end_sd, 1e-11);
                assert_same_number(x->p_out, y->p_out, 1e-9);
            }
        assert_same_number(once.expected_out, after.expected_out, 1e-9);
        assert_same_number(once.p_all_in, after.p_all_in, 1e-9);
        assert_near(mc_tracker_stage(m.tracker, MC_LOWER), 24, 0);
        mouth_free(&m);
    }
}

static void gone_on_by_hand(void **state) {
    (void)state;
    mouth m = read_at_six(2.4, 0.6);
    bool grip[MC_TEETH] = {false};
    mc_tracker_advance(m.tracker, MC_UPPER, 12, grip); /* a third of 0.6 mm */
    mc_component_forecast after = of(m.tracker, 11, MC_MESIAL);
    assert_near(after.mean, 0.6 + 0.2 * RATE, 1e-12);
    assert_near(after.end, 0.6 + 1.4 * RATE, 1e-12); /* from there on with grip */
    assert_near(mc_tracker_stage(m.tracker, MC_UPPER), 12, 0);
    assert_near(mc_tracker_stage(m.tracker, MC_LOWER), 6, 0);
    mouth_free(&m);
}

/* ---- correct ---- */

/* The new plan goes 1.0 mm distally and 6 deg of rotation, from where 11 stands off by 0.05 mm. Of
 * the old plan is kept what was its own in the rate: 0.987470 - 0.608667 = 0.378803. The new
 * direction has no figure of its own either; rotation of an upper central has 0.96. */
static void corrected(void **state) {
    (void)state;
    mouth m = read_at_six(2.4, 0.6);
    static mc_start start;
    static mc_pose off[MC_TEETH];
    const mc_tooth t = mc_tooth_from_iso(11);
    mc_plan *plan = mc_plan_new();
    mc_plan_row row = {.tooth = t, .stage = 10, .pose = {{-1, 0, 0, 6, 0, 0}}};
    assert_non_null(plan);
    assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
    start.variance[t][MC_MESIAL] = 0.04;
    off[t].c[MC_MESIAL] = 0.05;
    mc_reading r = mc_reading_none(t);
    r.seat_gap = 2;
    r.attachment = MC_ATTACHMENT_LOST;
    mouth_checkup(&m, 6, MC_SCAN, &r, 1);
    mc_tracker_correct(m.tracker, plan, &start, off);
    mc_forecast f = forecast_of(m.tracker, NULL);
    const mc_component_forecast *c = end_of(&f, 11, MC_MESIAL);
    assert_near(c->mean, 0.05, 1e-12);
    assert_near(c->sd, 0.2, 1e-12);
    assert_near(c->rate, RATE, 1e-12);
    assert_near(c->planned, -1, 0);
    assert_near(c->end, 0.05 - RATE, 1e-12);
    /* variance of the rate 0.067057^2, 10 stages of 0.1 mm: 0.04 + 0.0044966 + 0.1^2 x 0.1^2 x 10
       + 0.01^2 x 10 + 0.025^2 x 0.01 x 1000 / 3 */
    double variance = 0.04 + pow(0.06705679160601566, 2) + 0.001 + 0.001 + 0.00625 / 3;
    assert_near(c->end_sd, sqrt(variance), 1e-12);
    assert_false(end_of(&f, 11, MC_ROTATION)->known); /* it was never read */
    assert_near(end_of(&f, 11, MC_ROTATION)->planned, 6, 0);
    assert_int_equal(f.known, 1);
    assert_near(mc_tracker_stage(m.tracker, MC_UPPER), 0, 0);
    bool grip[MC_TEETH];
    mc_tracker_grip(m.tracker, grip);
    assert_true(grip[t]);
    mouth_free(&m);
    mc_plan_free(plan);
}

/* An arch that has no series any more keeps what is known of where its teeth are. */
static void corrected_without_a_series(void **state) {
    (void)state;
    mouth m = read_at_six(2.4, 0.6);
    static mc_start start;
    static mc_pose off[MC_TEETH];
    mc_plan *plan = mc_plan_new();
    const mc_tooth t = mc_tooth_from_iso(11);
    start.variance[t][MC_MESIAL] = 0.01;
    off[t].c[MC_MESIAL] = -0.4;
    mc_tracker_correct(m.tracker, plan, &start, off);
    mc_component_forecast c = of(m.tracker, 11, MC_MESIAL);
    assert_near(c.end, -0.4, 1e-12);
    assert_near(c.end_sd, 0.1, 1e-12);
    assert_near(c.planned, 0, 0);
    mouth_free(&m);
    mc_plan_free(plan);
}

/* ---- a copy ---- */

/* Whatever is tried on a copy, the first one says what it said. */
static void the_first_is_left_alone(void **state) {
    (void)state;
    random_source random = random_seed(700);
    mouth m = mouth_new();
    static mc_start start;
    static mc_pose off[MC_TEETH];
    bool grip[MC_TEETH] = {false};
    draw_plan(&random, &m);
    mouth_begin(&m);
    mc_reading rows[DRAWN_ROWS];
    mouth_checkup(&m, 9, MC_CALIPER, rows, draw_rows(&random, &m, 9, rows));
    mc_forecast before = forecast_of(m.tracker, NULL);
    mc_tracker *copy = mc_tracker_copy(m.tracker);
    assert_non_null(copy);
    mc_forecast same = forecast_of(copy, NULL);
    assert_same_forecast(&before, &same, false, 0);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++)
            mc_tracker_pull(copy, t, (mc_component)c, 0.5, 3);
    mc_tracker_go_back(copy, MC_UPPER, 7);
    mc_tracker_advance(copy, MC_LOWER, 12, grip);
    mc_forecast other = forecast_of(copy, NULL);
    assert_true(fabs(other.expected_out - before.expected_out) > 0.01);
    mc_tracker_correct(copy, m.plan, &start, off);
    forecast_of(copy, NULL);
    mc_tracker_free(copy);
    mc_forecast after = forecast_of(m.tracker, NULL);
    assert_same_forecast(&before, &after, false, 0);
    mouth_free(&m);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pulled_toward_the_plan),
        cmocka_unit_test(pulled_halfway),
        cmocka_unit_test(pulled_where_the_arch_stands),
        cmocka_unit_test(what_is_not_known_is_not_pulled),
        cmocka_unit_test(gone_back),
        cmocka_unit_test(gone_back_on_the_way_in),
        cmocka_unit_test(grip_after_going_back),
        cmocka_unit_test(gone_on),
        cmocka_unit_test(gone_on_by_hand),
        cmocka_unit_test(corrected),
        cmocka_unit_test(corrected_without_a_series),
        cmocka_unit_test(the_first_is_left_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
