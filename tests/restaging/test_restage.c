/* The new series on cases worked by hand: counts, what makes them, refusals. */
#include "restaged.h"

static void assert_needs(int iso, mc_pose target, int stages, mc_limit by) {
    restaged r = restaged_new();
    restaged_to(&r, iso, target);
    restaged_run(&r);
    const mc_restaged_tooth *tooth = restaged_tooth(&r, iso);
    if (tooth->stages_needed != stages || tooth->limited_by != by) {
        fail_msg("%d: %d aligners by %s, wanted %d by %s", iso, tooth->stages_needed,
                 mc_limit_name(tooth->limited_by), stages, mc_limit_name(by));
    }
    assert_int_equal(r.out.stages[mc_tooth_arch(mc_tooth_from_iso(iso))], stages);
    assert_int_equal(mc_plan_stages(r.plan, mc_tooth_arch(mc_tooth_from_iso(iso))), stages);
    assert_int_equal(mc_plan_steps_above(&r.settings, r.plan, NULL, NULL), 0);
    mc_plan_free(r.plan);
}

/* One component at a time: reaching a limit exactly takes no aligner more. */
static void test_counts(void **state) {
    (void)state;
    assert_needs(11, (mc_pose){{0.25}}, 1, MC_LIMIT_NONE);
    assert_needs(11, (mc_pose){{0.26}}, 2, MC_LIMIT_MESIODISTAL);
    assert_needs(11, (mc_pose){{-2.0}}, 8, MC_LIMIT_MESIODISTAL);
    assert_needs(11, (mc_pose){{0, 1.01}}, 5, MC_LIMIT_BUCCOLINGUAL);
    assert_needs(11, (mc_pose){{0, 0, 0.75}}, 5, MC_LIMIT_EXTRUSION); /* 0.75 / 0.15 above 5 by */
    assert_needs(11, (mc_pose){{0, 0, 0.9}}, 6, MC_LIMIT_EXTRUSION);  /* rounding, or below 6 */
    assert_needs(11, (mc_pose){{0, 0, -0.9}}, 5, MC_LIMIT_INTRUSION);
    assert_needs(11, (mc_pose){{0, 0, 0, 9}}, 5, MC_LIMIT_ROTATION);
    assert_needs(13, (mc_pose){{0, 0, 0, 9}}, 6, MC_LIMIT_ROTATION);
    assert_needs(45, (mc_pose){{0, 0, 0, -9}}, 6, MC_LIMIT_ROTATION);
    assert_needs(31, (mc_pose){{0, 0, 0, 0, 5.5}}, 6, MC_LIMIT_ANGULATION);
    assert_needs(31, (mc_pose){{0.59, 0, 0, 0, 5.5}}, 6, MC_LIMIT_ANGULATION); /* 1 a stage */
    assert_needs(31, (mc_pose){{1, 0, 0, 0, 1.5}}, 4, MC_LIMIT_MESIODISTAL);
    assert_needs(31, (mc_pose){{0, 0, 0, 0, 0, -7}}, 7, MC_LIMIT_INCLINATION);
}

/* 0.24 mm and 2 deg are each within their limit, but the corner of a molar goes farther. */
static void test_corner_decides(void **state) {
    (void)state;
    assert_needs(16, (mc_pose){{0.24, 0.24, 0, 2}}, 2, MC_LIMIT_CORNER);
    assert_needs(16, (mc_pose){{2, 2, 1}}, 10, MC_LIMIT_CORNER); /* 3 mm, met exactly */
    assert_needs(16, (mc_pose){{2, 2.001, 1}}, 11, MC_LIMIT_CORNER);
    /* 31 tips about a place 0.599 mm off or more; then 2 deg a stage would be enough but for its
     * corner */
    assert_needs(31, (mc_pose){{0.6, 0, 0, 0, 5.5}}, 4, MC_LIMIT_CORNER);
}

/* The largest of n_t over the arch is N; the others take their time. */
static void test_spread(void **state) {
    (void)state;
    restaged r = restaged_new();
    restaged_to(&r, 11, (mc_pose){{2.0}});
    restaged_to(&r, 12, (mc_pose){{0, 0.4}});
    restaged_to(&r, 33, (mc_pose){{0, 0, 0, 3}});
    restaged_run(&r);
    assert_int_equal(r.out.stages[MC_UPPER], 8);
    assert_int_equal(r.out.lower_bound[MC_UPPER], 8);
    assert_int_equal(r.out.stages[MC_LOWER], 2);
    assert_false(r.out.overlap_checked);
    const mc_restaged_tooth *lateral = restaged_tooth(&r, 12);
    assert_int_equal(lateral->stages_needed, 2);
    assert_int_equal(lateral->first, 1);
    assert_int_equal(lateral->last, 8);
    const mc_plan_row *rows;
    assert_int_equal(mc_plan_tooth_rows(r.plan, mc_tooth_from_iso(12), &rows), 1);
    assert_int_equal(rows->stage, 8);
    assert_near(mc_plan_at(r.plan, mc_tooth_from_iso(12), MC_BUCCAL, 2), 0.1, 1e-12);
    assert_int_equal(mc_plan_count(r.plan), 3);
    mc_plan_free(r.plan);
}

/* From a present pose that is not stage 0: what remains carries it to the target exactly. */
static void test_remaining(void **state) {
    (void)state;
    restaged r = restaged_new();
    const mc_tooth tooth = mc_tooth_from_iso(23);
    r.ask.task[tooth] = (mc_remaining_task){.move = true,
                                            .present = {{0.5, -0.2, 0.1, 10, -4, 3}},
                                            .target = {{1.5, -0.9, 0.3, 25, 2, -5}}};
    restaged_run(&r);
    const mc_pose end = mc_plan_pose(r.plan, tooth, r.out.stages[MC_UPPER]);
    mc_pose reached, wanted;
    assert_int_equal(
        mc_pose_between(&r.ask.task[tooth].present, &r.ask.task[tooth].target, &wanted, NULL),
        MC_OK);
    assert_memory_equal(&end, &wanted, sizeof end);
    assert_int_equal(mc_pose_compose(&r.ask.task[tooth].present, &end, &reached, NULL), MC_OK);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        assert_near(reached.c[c], r.ask.task[tooth].target.c[c], 1e-9);
    }
    mc_plan_free(r.plan);
}

/* Nothing to do, or only rounding: no series. Just above rounding: one aligner. */
static void test_nothing_left(void **state) {
    (void)state;
    restaged r = restaged_new();
    restaged_run(&r);
    assert_int_equal(mc_plan_count(r.plan), 0);
    restaged_to(&r, 11, (mc_pose){{1e-12, 0, -1e-12, 1e-12}});
    r.ask.task[mc_tooth_from_iso(36)] = (mc_remaining_task){
        .move = true, .present = {{1, 2, 3, 40, 50, 60}}, .target = {{1, 2, 3, 40, 50, 60}}};
    restaged_run(&r);
    assert_int_equal(r.out.stages[MC_UPPER], 0);
    assert_int_equal(r.out.stages[MC_LOWER], 0);
    assert_false(restaged_tooth(&r, 11)->moves);
    assert_int_equal(restaged_tooth(&r, 11)->stages_needed, 0);
    assert_int_equal(restaged_tooth(&r, 11)->last, 0);
    assert_int_equal(mc_plan_count(r.plan), 0);
    restaged_to(&r, 11, (mc_pose){{2e-9, 1e-12}});
    restaged_run(&r);
    assert_int_equal(r.out.stages[MC_UPPER], 1);
    assert_near(mc_plan_at(r.plan, mc_tooth_from_iso(11), MC_BUCCAL, 1), 1e-12, 0);
    mc_plan_free(r.plan);
}

static void refuse(restaged *r, const char *why) {
    mc_error error = {.status = MC_OK};
    mc_plan *plan = (mc_plan *)r;
    assert_int_equal(mc_restage(&r->settings, &r->ask, &r->out, &plan, &error), MC_REFUSED);
    assert_null(plan);
    if (!strstr(error.text, why)) {
        fail_msg("\"%s\" does not say \"%s\"", error.text, why);
    }
    const mc_restaged nothing = {0};
    assert_int_equal(r->out.stages[MC_UPPER], nothing.stages[MC_UPPER]);
    assert_false(restaged_tooth(r, 11)->moves);
}

static void test_steep_angulation(void **state) {
    (void)state;
    restaged r = restaged_new();
    restaged_to(&r, 11, (mc_pose){{0, 0, 0, 0, 89}});
    restaged_run(&r);
    assert_int_equal(r.out.stages[MC_UPPER], 89); /* by root movement, one degree an aligner */
    mc_plan_free(r.plan);
    r.plan = NULL;
    r.ask.task[mc_tooth_from_iso(11)].present.c[MC_ANGULATION] = -30;
    r.ask.task[mc_tooth_from_iso(11)].target.c[MC_ANGULATION] = 60;
    refuse(&r, "tooth 11");
    r.ask.task[mc_tooth_from_iso(11)].target.c[MC_ANGULATION] = 70;
    refuse(&r, "tooth 11");
}

static void test_too_long(void **state) {
    (void)state;
    restaged r = restaged_new();
    restaged_to(&r, 46, (mc_pose){{0, 0, 149.85}});
    restaged_run(&r);
    assert_int_equal(r.out.stages[MC_LOWER], 999);
    assert_int_equal(mc_plan_steps_above(&r.settings, r.plan, NULL, NULL), 0);
    mc_plan_free(r.plan);
    r.plan = NULL;
    restaged_to(&r, 46, (mc_pose){{0, 0, 149.86}});
    refuse(&r, "tooth 46 needs more than 999 aligners");
    restaged_to(&r, 46, (mc_pose){{1e300, -1e300, 0}});
    refuse(&r, "tooth 46");
}

static void test_not_finite(void **state) {
    (void)state;
    restaged r = restaged_new();
    restaged_to(&r, 46, (mc_pose){{0, 0, NAN}});
    refuse(&r, "tooth 46: occlusal");
    restaged_to(&r, 46, (mc_pose){{1}});
    r.ask.task[mc_tooth_from_iso(46)].present.c[MC_ROTATION] = INFINITY;
    refuse(&r, "tooth 46: rotation");
    r.ask.task[mc_tooth_from_iso(46)].move = false; /* what does not move is not looked at */
    restaged_run(&r);
    assert_int_equal(r.out.stages[MC_LOWER], 0);
    mc_plan_free(r.plan);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_counts),       cmocka_unit_test(test_corner_decides),
        cmocka_unit_test(test_spread),       cmocka_unit_test(test_remaining),
        cmocka_unit_test(test_nothing_left), cmocka_unit_test(test_steep_angulation),
        cmocka_unit_test(test_too_long),     cmocka_unit_test(test_not_finite),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
