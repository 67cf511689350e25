/* Which of the published movements a component of a plan is: by the last pose where that reaches
 * 0.05 mm or 0.2 deg, else by the largest, the first of equals. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

#include "midcourse/tracking.h"

/* The movement of component c of a tooth whose plan lists these poses at stages 4, 8, ... */
static mc_movement movement_of(int iso, mc_component c, const mc_pose *poses, int count) {
    mc_plan *plan = mc_plan_new();
    mc_error error;
    assert_non_null(plan);
    for (int i = 0; i < count; i++) {
        mc_plan_row row = {.tooth = mc_tooth_from_iso(iso), .stage = 4 * (i + 1), .pose = poses[i]};
        assert_int_equal(mc_plan_add(plan, &row, &error), MC_OK);
    }
    mc_movement movement = mc_plan_movement(plan, mc_tooth_from_iso(iso), c);
    mc_plan_free(plan);
    return movement;
}

/* The same where only this component is planned. */
#define ALONE(iso, component, ...)                                                                 \
    alone(iso, component, (const double[]){__VA_ARGS__},                                           \
          (int)(sizeof((const double[]){__VA_ARGS__}) / sizeof(double)))

static mc_movement alone(int iso, mc_component c, const double *values, int count) {
    mc_pose poses[4] = {{{0}}};
    assert_true(count <= 4);
    for (int i = 0; i < count; i++)
        poses[i].c[c] = values[i];
    return movement_of(iso, c, poses, count);
}

static void each_direction_has_its_movement(void **state) {
    (void)state;
    assert_int_equal(ALONE(16, MC_MESIAL, 1.0), MC_MOVE_MESIAL);
    assert_int_equal(ALONE(16, MC_MESIAL, -1.0), MC_MOVE_DISTAL);
    assert_int_equal(ALONE(26, MC_MESIAL, -1.0), MC_MOVE_DISTAL);
    assert_int_equal(ALONE(11, MC_BUCCAL, 1.0), MC_MOVE_BUCCAL);
    assert_int_equal(ALONE(11, MC_BUCCAL, -1.0), MC_MOVE_LINGUAL);
    assert_int_equal(ALONE(11, MC_OCCLUSAL, 1.0), MC_MOVE_EXTRUSION);
    assert_int_equal(ALONE(41, MC_OCCLUSAL, 1.0), MC_MOVE_EXTRUSION);
    assert_int_equal(ALONE(41, MC_OCCLUSAL, -1.0), MC_MOVE_INTRUSION);
    assert_int_equal(ALONE(13, MC_ROTATION, -9), MC_MOVE_ROTATION);
    assert_int_equal(ALONE(13, MC_ANGULATION, -9), MC_MOVE_ANGULATION);
}

static void the_last_pose_gives_the_direction(void **state) {
    (void)state;
    assert_int_equal(ALONE(11, MC_MESIAL, 2.0, -0.05), MC_MOVE_DISTAL);
    assert_int_equal(ALONE(11, MC_MESIAL, 2.0, -0.05 + 0.5e-9), MC_MOVE_DISTAL);
    assert_int_equal(ALONE(11, MC_MESIAL, 2.0, -0.05 + 2e-9), MC_MOVE_MESIAL);
    assert_int_equal(ALONE(11, MC_MESIAL, -2.0, 1.0, 0.05), MC_MOVE_MESIAL);
}

static void else_the_largest_and_of_equals_the_first(void **state) {
    (void)state;
    assert_int_equal(ALONE(11, MC_MESIAL, 1.0, -2.0, 0.0), MC_MOVE_DISTAL);
    assert_int_equal(ALONE(11, MC_MESIAL, 1.0, -1.0, 0.0), MC_MOVE_MESIAL);
    assert_int_equal(ALONE(11, MC_MESIAL, -1.0, 1.0, 0.0), MC_MOVE_DISTAL);
    assert_int_equal(ALONE(11, MC_MESIAL, -0.01, 0.04), MC_MOVE_MESIAL);
}

/* Upper central, root 13 mm, 10 deg: root movement while the crown's centre goes less than 13 sin
 * 10 / 2 = 1.1287 mm the same way. */
static void torque_or_tipping(void **state) {
    (void)state;
    const mc_pose less = {{0, 1.12, 0, 0, 0, 10}}, more = {{0, 1.14, 0, 0, 0, 10}},
                  inward = {{0, -1.12, 0, 0, 0, -10}}, inward_more = {{0, -1.14, 0, 0, 0, -10}},
                  against = {{0, -2, 0, 0, 0, 10}};
    assert_int_equal(movement_of(11, MC_INCLINATION, &less, 1), MC_MOVE_TORQUE);
    assert_int_equal(movement_of(11, MC_INCLINATION, &more, 1), MC_MOVE_TIPPING);
    assert_int_equal(movement_of(11, MC_INCLINATION, &inward, 1), MC_MOVE_TORQUE);
    assert_int_equal(movement_of(11, MC_INCLINATION, &inward_more, 1), MC_MOVE_TIPPING);
    assert_int_equal(movement_of(11, MC_INCLINATION, &against, 1), MC_MOVE_TORQUE);
    assert_int_equal(ALONE(11, MC_INCLINATION, 5), MC_MOVE_TORQUE);
    /* the pose that gives the direction decides, here the largest, since the end is 0.1 deg */
    const mc_pose back[] = {{{0, 2, 0, 0, 0, 10}}, {{0, 0, 0, 0, 0, 0.1}}};
    assert_int_equal(movement_of(11, MC_INCLINATION, back, 2), MC_MOVE_TIPPING);
    /* and here the end */
    const mc_pose end[] = {{{0, 2, 0, 0, 0, 10}}, {{0, 0, 0, 0, 0, 0.2}}};
    assert_int_equal(movement_of(11, MC_INCLINATION, end, 2), MC_MOVE_TORQUE);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_direction_has_its_movement),
        cmocka_unit_test(the_last_pose_gives_the_direction),
        cmocka_unit_test(else_the_largest_and_of_equals_the_first),
        cmocka_unit_test(torque_or_tipping),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
