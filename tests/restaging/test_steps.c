/* Steps of a plan above the limits, as warned of on import. */
#include "restaged.h"

typedef struct seen {
    size_t count;
    mc_tooth tooth;
    int stage;
    mc_component c;
    double step, limit, sum; /* of the last; sum of all steps */
    bool ordered;
} seen;

static void note(void *context, mc_tooth tooth, int stage, mc_component c, double step,
                 double limit) {
    seen *s = context;
    const bool later = s->count == 0 || tooth > s->tooth ||
                       (tooth == s->tooth && (stage > s->stage || (stage == s->stage && c > s->c)));
    *s = (seen){s->count + 1, tooth, stage, c, step, limit, s->sum + step, s->ordered && later};
}

static void add(mc_plan *plan, int iso, int stage, mc_pose pose) {
    const mc_plan_row row = {.tooth = mc_tooth_from_iso(iso), .stage = stage, .pose = pose};
    mc_error error;
    if (mc_plan_add(plan, &row, &error) != MC_OK) {
        fail_msg("%s", error.text);
    }
}

static seen look(const mc_plan *plan) {
    mc_settings settings;
    mc_settings_defaults(&settings);
    seen s = {.ordered = true};
    const size_t count = mc_plan_steps_above(&settings, plan, note, &s);
    assert_int_equal(count, s.count);
    assert_int_equal(mc_plan_steps_above(&settings, plan, NULL, NULL), s.count);
    assert_true(s.ordered);
    return s;
}

static void test_within(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    assert_int_equal(look(plan).count, 0);
    add(plan, 12, 8, (mc_pose){{0.40, -0.30, 0.25, 6, 2, 0}});
    add(plan, 12, 24, (mc_pose){{1.20, -0.90, 0.75, 18, 6, 0}});
    add(plan, 46, 3, (mc_pose){{0, 0, 0.45}});  /* 0.15 an aligner, but for rounding */
    add(plan, 46, 6, (mc_pose){{0, 0, -0.15}}); /* 0.2 of intrusion */
    add(plan, 33, 2, (mc_pose){{0, 0, 0, 3.0}});
    assert_int_equal(look(plan).count, 0);
    mc_plan_free(plan);
}

static void test_component(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    add(plan, 11, 4, (mc_pose){{0.8}});
    add(plan, 11, 7, (mc_pose){{-0.04}}); /* 0.28 a stage back, three stages */
    seen s = look(plan);
    assert_int_equal(s.count, 3);
    assert_int_equal(mc_tooth_iso(s.tooth), 11);
    assert_int_equal(s.stage, 7);
    assert_int_equal(s.c, MC_MESIAL);
    assert_near(s.step, 0.28, 1e-12);
    assert_near(s.limit, 0.25, 0);
    add(plan, 46, 1, (mc_pose){{0, 0, 0.16}});
    s = look(plan);
    assert_int_equal(s.count, 4);
    assert_int_equal(s.c, MC_OCCLUSAL);
    assert_near(s.limit, 0.15, 0);
    add(plan, 43, 2, (mc_pose){{0, 0, 0, 3.2}});
    s = look(plan);
    assert_int_equal(s.count, 6);
    mc_plan_free(plan);
}

/* Intrusion on the way back from extrusion is held to the limit of intrusion. */
static void test_direction_is_the_steps_own(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    add(plan, 21, 10, (mc_pose){{0, 0, 1.5}});
    add(plan, 21, 15, (mc_pose){{0, 0, 0.5}});
    assert_int_equal(look(plan).count, 0);
    add(plan, 21, 16, (mc_pose){{0, 0, 0.66}});
    const seen s = look(plan);
    assert_int_equal(s.count, 1);
    assert_near(s.limit, 0.15, 0);
    mc_plan_free(plan);
}

/* Inclination by root movement where the plan ends so, or where most of it is so out and back. */
static void test_root_movement(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    add(plan, 31, 5, (mc_pose){{0, 0.66, 0, 0, 0, 6}}); /* crown tipping: its limit is 2 */
    assert_int_equal(look(plan).count, 0);
    add(plan, 41, 5, (mc_pose){{0, 0.2, 0, 0, 0, 6}}); /* root movement: 1 */
    assert_int_equal(look(plan).count, 5);
    mc_plan_free(plan);
    plan = mc_plan_new();
    add(plan, 31, 5, (mc_pose){{0, 0, 0, 0, 0, 7}});
    add(plan, 31, 12, (mc_pose){{0}});
    seen s = look(plan);
    assert_int_equal(s.count, 5);
    assert_near(s.step, 1.4, 1e-12);
    assert_near(s.limit, 1, 0);
    mc_plan_free(plan);
}

static void test_corner(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    add(plan, 16, 4, (mc_pose){{0.8, 0.8, 0, 6}});
    const seen s = look(plan);
    const mc_pose from = {{0.6, 0.6, 0, 4.5}}, to = {{0.8, 0.8, 0, 6}};
    assert_int_equal(s.count, 4);
    assert_int_equal(s.c, MC_COMPONENTS);
    assert_near(s.step, corners_in_words(mc_tooth_from_iso(16), &from, &to), 1e-12);
    assert_near(s.limit, 0.30, 0);
    mc_plan_free(plan);
}

/* A plan with steps of about the limits, on every tooth. */
static mc_plan *random_plan(random_source *source, int stages) {
    mc_plan *plan = mc_plan_new();
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        mc_pose pose = {{0}};
        for (int stage = 0; stage < stages;) {
            const int further = 1 + random_below(source, 4);
            stage += further;
            for (int c = 0; c < MC_COMPONENTS; c++) {
                const double most = c <= MC_OCCLUSAL ? 0.2 : 1.5;
                pose.c[c] += further * random_between(source, -most, most);
            }
            const mc_plan_row row = {.tooth = tooth, .stage = stage, .pose = pose};
            assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
        }
    }
    return plan;
}

/* Whether component c of the tooth is root movement, said again: by its last listed pose, or the
 * one with most where that has next to none. */
static mc_pose decides(const mc_plan *plan, mc_tooth tooth, int c, int last) {
    mc_pose pose = mc_plan_pose(plan, tooth, last);
    for (int k = 1; k <= last && fabs(mc_plan_at(plan, tooth, (mc_component)c, last)) < 0.2; k++) {
        const mc_pose other = mc_plan_pose(plan, tooth, k);
        pose = fabs(other.c[c]) > fabs(pose.c[c]) ? other : pose;
    }
    return pose;
}

static void test_every_stage(void **state) {
    (void)state;
    random_source source = random_seed(31);
    for (int i = 0; i < 10; i++) {
        mc_plan *plan = random_plan(&source, 20);
        size_t count = 0;
        double sum = 0;
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            const mc_plan_row *rows;
            const size_t listed = mc_plan_tooth_rows(plan, tooth, &rows);
            const int last = rows[listed - 1].stage;
            for (int k = 1; k <= last; k++) {
                const mc_pose a = mc_plan_pose(plan, tooth, k - 1),
                              b = mc_plan_pose(plan, tooth, k);
                mc_pose step;
                for (int c = 0; c < MC_COMPONENTS; c++) {
                    step.c[c] = b.c[c] - a.c[c];
                }
                for (int c = 0; c < MC_COMPONENTS; c++) {
                    const mc_pose by = c > MC_ROTATION ? decides(plan, tooth, c, last) : step;
                    if (fabs(step.c[c]) > limit_in_words(tooth, &by, c) + 1e-9) {
                        count++;
                        sum += fabs(step.c[c]);
                    }
                }
                const double way = corners_in_words(tooth, &a, &b);
                count += way > 0.30 + 1e-9;
                sum += way > 0.30 + 1e-9 ? way : 0;
            }
        }
        const seen s = look(plan);
        assert_true(count > 500);
        assert_int_equal(s.count, count);
        assert_near(s.sum, sum, 1e-7);
        mc_plan_free(plan);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_within),
        cmocka_unit_test(test_component),
        cmocka_unit_test(test_direction_is_the_steps_own),
        cmocka_unit_test(test_root_movement),
        cmocka_unit_test(test_corner),
        cmocka_unit_test(test_every_stage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
