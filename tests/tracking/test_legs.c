/* Legs of a planned movement, and the kinds that follow from them. A leg begins once the plan is
 * 0.05 mm (0.2 deg) from its highest or lowest value so far, and turns once it has retreated by
 * that much from the leg's extreme. */
#include "mouth.h"
#include "near.h"

typedef struct {
    int stage;
    double value;
} listed;

static mc_plan *plan_of(mc_component c, const listed *rows, int count) {
    mc_plan *plan = mc_plan_new();
    mc_error error;
    assert_non_null(plan);
    for (int i = 0; i < count; i++) {
        mc_plan_row row = {.tooth = mc_tooth_from_iso(11), .stage = rows[i].stage};
        row.pose.c[c] = rows[i].value;
        assert_int_equal(mc_plan_add(plan, &row, &error), MC_OK);
    }
    return plan;
}

#define PLAN(component, ...)                                                                       \
    plan_of(component, (const listed[]){__VA_ARGS__},                                              \
            (int)(sizeof((const listed[]){__VA_ARGS__}) / sizeof(listed)))

/* direction 0: no leg, and from is left alone. */
static void leg_is(const mc_plan *plan, mc_component c, double s, int direction, double from) {
    double got = 77;
    int g = mc_plan_leg(plan, mc_tooth_from_iso(11), c, s, &got);
    if (g != direction || fabs(got - (g ? from : 77)) > 1e-12)
        fail_msg("at stage %.9g: %d from %g, wanted %d from %g", s, g, got, direction, from);
}

static void a_straight_plan(void **state) {
    (void)state;
    mc_plan *plan = PLAN(MC_MESIAL, {10, 1.0});
    leg_is(plan, MC_MESIAL, 0, 0, 0);
    leg_is(plan, MC_MESIAL, 0.49, 0, 0);
    leg_is(plan, MC_MESIAL, 0.5 - 4e-8, 0, 0); /* 0.05 - 4e-9 */
    leg_is(plan, MC_MESIAL, 0.5 - 5e-9, 1, 0); /* 0.05 - 0.5e-9 reaches */
    leg_is(plan, MC_MESIAL, 0.5, 1, 0);
    leg_is(plan, MC_MESIAL, 10, 1, 0);
    leg_is(plan, MC_BUCCAL, 10, 0, 0);
    mc_plan_free(plan);
    plan = PLAN(MC_ROTATION, {0, 0}, {10, -2});
    leg_is(plan, MC_ROTATION, 0.99, 0, 0);
    leg_is(plan, MC_ROTATION, 1, -1, 0);
    mc_plan_free(plan);
}

/* Out to 1 at stage 4, back to 0.2 at stage 8, then kept. 0.05 back from the top at stage 4.25. */
static void out_and_back(void **state) {
    (void)state;
    mc_plan *plan = PLAN(MC_MESIAL, {4, 1.0}, {8, 0.2}, {12, 0.2});
    leg_is(plan, MC_MESIAL, 3, 1, 0);
    leg_is(plan, MC_MESIAL, 4.24, 1, 0);
    leg_is(plan, MC_MESIAL, 4.25, -1, 1.0);
    leg_is(plan, MC_MESIAL, 8, -1, 1.0);
    leg_is(plan, MC_MESIAL, 12, -1, 1.0);
    mc_plan_free(plan);
}

/* A dip of 0.04 is no turn, wherever in it one looks; the way goes on from 0. */
static void small_dips(void **state) {
    (void)state;
    mc_plan *plan = PLAN(MC_MESIAL, {2, 0.5}, {3, 0.46}, {8, 1.2}, {9, 1.16}, {10, 1.2});
    for (double s = 0.25; s <= 10; s += 0.25)
        leg_is(plan, MC_MESIAL, s, 1, 0);
    mc_plan_free(plan);
    /* small retreats add up: 0.02 a stage from 0.5 is 0.05 at stage 4.5 */
    plan = PLAN(MC_MESIAL, {2, 0.5}, {3, 0.48}, {4, 0.46}, {5, 0.44}, {6, 0.42});
    leg_is(plan, MC_MESIAL, 4.4, 1, 0);
    leg_is(plan, MC_MESIAL, 4.5, -1, 0.5);
    leg_is(plan, MC_MESIAL, 6, -1, 0.5);
    mc_plan_free(plan);
}

/* Before a leg begins, highest and lowest so far are both watched: from 0.03 down to -0.03 is 0.06
 * away from the highest; the leg starts there, not at 0. */
static void a_start_that_wavers(void **state) {
    (void)state;
    mc_plan *plan = PLAN(MC_MESIAL, {2, 0.03}, {4, -0.03}, {6, 0.5});
    leg_is(plan, MC_MESIAL, 2, 0, 0);
    leg_is(plan, MC_MESIAL, 3.6, 0, 0); /* -0.018: 0.048 below */
    leg_is(plan, MC_MESIAL, 3.7, -1, 0.03);
    leg_is(plan, MC_MESIAL, 4, -1, 0.03);
    leg_is(plan, MC_MESIAL, 4.1, -1, 0.03); /* 0.0265 up again */
    leg_is(plan, MC_MESIAL, 6, 1, -0.03);
    mc_plan_free(plan);
}

static void several_turns(void **state) {
    (void)state;
    mc_plan *plan = PLAN(MC_MESIAL, {2, 0.5}, {4, 0}, {6, 0.6}, {8, -0.5}, {10, -0.46});
    leg_is(plan, MC_MESIAL, 2, 1, 0);
    leg_is(plan, MC_MESIAL, 4, -1, 0.5);
    leg_is(plan, MC_MESIAL, 4.1, -1, 0.5); /* 0.03 up is not yet a turn */
    leg_is(plan, MC_MESIAL, 6, 1, 0);
    leg_is(plan, MC_MESIAL, 8, -1, 0.6);
    leg_is(plan, MC_MESIAL, 10, -1, 0.6);
    mc_plan_free(plan);
}

/* The extreme that a retreat is measured from is the leg's, not that of the whole plan. */
static void the_extreme_is_the_legs(void **state) {
    (void)state;
    mc_plan *plan = PLAN(MC_MESIAL, {2, 1.0}, {4, 0.2}, {6, 0.5}, {7, 0.46}, {8, 0.4});
    leg_is(plan, MC_MESIAL, 6, 1, 0.2);
    leg_is(plan, MC_MESIAL, 7, 1, 0.2);
    leg_is(plan, MC_MESIAL, 8, -1, 0.5);
    mc_plan_free(plan);
}

/* Listing more stages of the same straight way changes no leg. */
static void listing_more_changes_nothing(void **state) {
    (void)state;
    mc_plan *few = PLAN(MC_MESIAL, {8, 0.8}, {16, 0});
    mc_plan *many = PLAN(MC_MESIAL, {1, 0.1}, {2, 0.2}, {4, 0.4}, {8, 0.8}, {9, 0.7}, {12, 0.4},
                         {15, 0.1}, {16, 0});
    for (double s = 0.0625; s <= 16; s += 0.0625) {
        double from = 0, got = 0;
        int g = mc_plan_leg(few, mc_tooth_from_iso(11), MC_MESIAL, s, &from);
        assert_int_equal(mc_plan_leg(many, mc_tooth_from_iso(11), MC_MESIAL, s, &got), g);
        assert_near(got, from, 1e-12);
    }
    mc_plan_free(few);
    mc_plan_free(many);
}

/* ---- kinds ---- */

/* The item of 11 mesial at `aligner`, standing at x; 21 makes the
 * series 24 stages long. */
static mc_item item_at(const listed *rows, int count, int aligner, double x) {
    mouth m = mouth_new();
    mouth_read_exactly(&m);
    for (int i = 0; i < count; i++)
        mouth_plan(&m, 11, rows[i].stage, (mc_pose){{rows[i].value, 0, 0, 0, 0, 0}});
    mouth_plan(&m, 21, 24, (mc_pose){{0.1, 0, 0, 0, 0, 0}});
    mouth_begin(&m);
    mc_reading r = mouth_reading(11, MC_MESIAL, x);
    mouth_checkup(&m, aligner, MC_SCAN, &r, 1);
    mc_item item = mouth_tooth(&m, 11)->item[MC_MESIAL];
    mouth_free(&m);
    return item;
}

static void kind_is(mc_item item, mc_kind kind, double shortfall, double p) {
    assert_int_equal(item.kind, kind);
    if (isnan(shortfall))
        assert_true(isnan(item.shortfall));
    else
        assert_near(item.shortfall, shortfall, 1e-8);
    assert_near(item.p, p, 0);
}

/* On the way back from 1 (stage 4) to 0.2 (stage 8), at stage 6: P = 0.6, B = 1, g = -1, D = 0.4.
 */
static void kinds_on_the_way_back(void **state) {
    (void)state;
    const listed rows[] = {{4, 1.0}, {8, 0.2}};
    kind_is(item_at(rows, 2, 6, 0.8), MC_KIND_SHORT, 0.2, 0); /* 0.2 still to come back */
    kind_is(item_at(rows, 2, 6, 1.1), MC_KIND_SHORT, 0.5, 1);
    kind_is(item_at(rows, 2, 6, 1.4), MC_KIND_SHORT, 0.8, 1);
    kind_is(item_at(rows, 2, 6, 1.4 + 2e-9), MC_KIND_DRIFT, 0.8, 1); /* went on outward */
    kind_is(item_at(rows, 2, 6, 0.5), MC_KIND_PAST, -0.1, 0);
    kind_is(item_at(rows, 2, 6, 0.1), MC_KIND_PAST, -0.5, 1);
    kind_is(item_at(rows, 2, 6, -3), MC_KIND_PAST, -3.6, 1);
    /* at stage 4 the first leg is the present one: P = 1, B = 0 */
    kind_is(item_at(rows, 2, 4, 0.8), MC_KIND_SHORT, 0.2, 0);
    kind_is(item_at(rows, 2, 4, 1.5), MC_KIND_PAST, -0.5, 1);
    kind_is(item_at(rows, 2, 4, -1.1), MC_KIND_DRIFT, 2.1, 1);
}

/* Finished at stage 6 of 24: what it has not done by then it is still short of at stage 20. */
static void finished_early(void **state) {
    (void)state;
    const listed rows[] = {{6, 0.6}};
    kind_is(item_at(rows, 1, 20, 0.5), MC_KIND_SHORT, 0.1, 0);
    kind_is(item_at(rows, 1, 20, 0.1), MC_KIND_SHORT, 0.5, 1);
    kind_is(item_at(rows, 1, 20, 0.6), MC_KIND_SHORT, 0,
            0); /* 0 reaches 0, whatever rounding did */
    kind_is(item_at(rows, 1, 20, 0.6 + 0.5e-9), MC_KIND_SHORT, 0, 0);
    kind_is(item_at(rows, 1, 20, 0.6 + 2e-9), MC_KIND_PAST, 0, 0);
    kind_is(item_at(rows, 1, 20, 1.1), MC_KIND_PAST, -0.5, 1);
    kind_is(item_at(rows, 1, 20, -0.7), MC_KIND_DRIFT, 1.3, 1);
    assert_near(item_at(rows, 1, 20, 0.5).leg_from, 0, 0);
    assert_near(item_at(rows, 1, 20, 0.5).planned, 0.6, 0);
}

/* Starts at stage 12 of 24: before that wherever it stands is drift; 0.5 off by either way counts.
 */
static void not_started(void **state) {
    (void)state;
    const listed rows[] = {{12, 0}, {24, 2.4}};
    kind_is(item_at(rows, 2, 8, 0.4), MC_KIND_DRIFT, NAN, 0);
    kind_is(item_at(rows, 2, 8, -0.5), MC_KIND_DRIFT, NAN, 1);
    kind_is(item_at(rows, 2, 12, 0.5), MC_KIND_DRIFT, NAN, 1);
    kind_is(item_at(rows, 2, 13, -0.15), MC_KIND_SHORT, 0.35, 0); /* P = D = 0.2 */
    kind_is(item_at(rows, 2, 13, -0.25), MC_KIND_DRIFT, 0.45, 0);
    assert_true(isnan(item_at(rows, 2, 8, 0.4).leg_from));
    assert_int_equal(item_at(rows, 2, 8, 0.4).direction, 0);
}

/* In no leg p counts both ways: the normal probabilities of 0.5 and more and of -0.5 and less. */
static void drift_counts_either_way(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 21, 24, (mc_pose){{0.1, 0, 0, 0, 0, 0}});
    mouth_begin(&m);
    mc_reading r = mouth_reading(11, MC_MESIAL, 0.9);
    mouth_checkup(&m, 20, MC_EYE, &r, 1);
    /* still: variance 0.05^2 x 20 = 0.05, O's 0.25: x = 0.9 x 0.05 / 0.3 = 0.15, variance 0.05 x
     * 0.25 / 0.3 = 0.0416667, SD 0.2041241: Phi(-0.35 / SD) + Phi(-0.65 / SD) = 0.0432 + 0.0007 */
    const mc_item *item = &mouth_tooth(&m, 11)->item[MC_MESIAL];
    assert_near(item->mean, 0.15, 1e-12);
    assert_near(item->sd_x, 0.2041241452, 1e-10);
    assert_near(item->p,
                erfc(0.35 / 0.2041241452 / sqrt(2)) / 2 + erfc(0.65 / 0.2041241452 / sqrt(2)) / 2,
                1e-9);
    assert_near(item->p, 0.0439, 2e-4);
    mouth_free(&m);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_straight_plan),
        cmocka_unit_test(out_and_back),
        cmocka_unit_test(small_dips),
        cmocka_unit_test(a_start_that_wavers),
        cmocka_unit_test(several_turns),
        cmocka_unit_test(the_extreme_is_the_legs),
        cmocka_unit_test(listing_more_changes_nothing),
        cmocka_unit_test(kinds_on_the_way_back),
        cmocka_unit_test(finished_early),
        cmocka_unit_test(not_started),
        cmocka_unit_test(drift_counts_either_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
