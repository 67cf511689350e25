/* Poses: signs, round trips also near 90 deg, the mirror, between and compose, root movement. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/movement.h"
#include "near.h"
#include "random.h"

#include <string.h>

static mc_pose random_pose(random_source *source, double most_angulation) {
    mc_pose pose;
    for (int c = 0; c < 3; c++) {
        pose.c[c] = random_between(source, -15, 15);
    }
    pose.c[MC_ROTATION] = random_between(source, -180, 180);
    pose.c[MC_ANGULATION] = random_between(source, -most_angulation, most_angulation);
    pose.c[MC_INCLINATION] = random_between(source, -180, 180);
    return pose;
}

static mc_pose turn(mc_component c, double degrees) {
    mc_pose pose = {{0}};
    pose.c[c] = degrees;
    return pose;
}

static void expect_point(const mc_pose *pose, double m, double b, double o, double to_m,
                         double to_b, double to_o) {
    const double x[3] = {m, b, o};
    double y[3];
    mc_pose_apply(pose, x, y);
    assert_near(y[0], to_m, 1e-14);
    assert_near(y[1], to_b, 1e-14);
    assert_near(y[2], to_o, 1e-14);
}

/* What each sign means at the chair, on points of the crown. */
static void signs_mean_what_they_say(void **state) {
    (void)state;
    const double half = 0.5, most = sqrt(3) / 2; /* sine and cosine of 30 deg */
    mc_pose pose = turn(MC_ROTATION, 30);        /* the buccal face turns toward the mesial */
    expect_point(&pose, 0, 1, 0, half, most, 0);
    expect_point(&pose, 1, 0, 0, most, -half, 0); /* and so the mesial edge goes in */
    pose = turn(MC_ANGULATION, 30);               /* the crown's edge goes mesially */
    expect_point(&pose, 0, 0, 1, half, 0, most);
    pose = turn(MC_INCLINATION, 30); /* the crown's edge goes buccally */
    expect_point(&pose, 0, 0, 1, 0, half, most);
    pose = (mc_pose){{1, 2, 3, 0, 0, 0}};
    expect_point(&pose, 0.1, 0.2, 0.3, 1.1, 2.2, 3.3);
    pose = (mc_pose){{1, 0, 0, 90, 0, 0}}; /* turned first, then carried */
    expect_point(&pose, 0, 1, 0, 2, 0, 0);
}

/* Rotation first: R = T F P, each written out as midcourse-method(7) has it. */
static void is_rotation_then_angulation_then_inclination(void **state) {
    (void)state;
    random_source source = random_seed(1);
    for (int n = 0; n < 1000; n++) {
        const mc_pose whole = random_pose(&source, 90);
        const double point[3] = {random_normal(&source), random_normal(&source),
                                 random_normal(&source)};
        double stepwise[3], at_once[3];
        memcpy(stepwise, point, sizeof stepwise);
        for (int c = MC_ROTATION; c <= MC_INCLINATION; c++) {
            const mc_pose one = turn((mc_component)c, whole.c[c]);
            mc_pose_apply(&one, stepwise, stepwise);
        }
        mc_pose_apply(&whole, point, at_once);
        for (int i = 0; i < 3; i++) {
            assert_near(at_once[i], stepwise[i] + whole.c[i], 2e-14);
        }
    }
}

static void rotations_are_rotations(void **state) {
    (void)state;
    random_source source = random_seed(2);
    for (int n = 0; n < 1000; n++) {
        const mc_pose pose = random_pose(&source, 90);
        double r[3][3];
        mc_pose_rotation(&pose, r);
        for (int i = 0; i < 3; i++) {
            for (int j = 0; j < 3; j++) {
                const double product = r[i][0] * r[j][0] + r[i][1] * r[j][1] + r[i][2] * r[j][2];
                assert_near(product, i == j ? 1 : 0, 1e-15 * 4);
            }
        }
        const double cross = r[0][0] * (r[1][1] * r[2][2] - r[1][2] * r[2][1]) -
                             r[0][1] * (r[1][0] * r[2][2] - r[1][2] * r[2][0]) +
                             r[0][2] * (r[1][0] * r[2][1] - r[1][1] * r[2][0]);
        assert_near(cross, 1, 1e-14);
    }
}

static mc_pose there_and_back(const mc_pose *pose) {
    double r[3][3];
    mc_pose back;
    mc_error error;
    mc_pose_rotation(pose, r);
    if (mc_pose_from(r, pose->c, &back, &error) != MC_OK) {
        fail_msg("%s", error.text);
    }
    return back;
}

static void comes_back_from_its_rotation(void **state) {
    (void)state;
    random_source source = random_seed(3);
    for (int n = 0; n < 20000; n++) {
        const mc_pose pose = random_pose(&source, 85);
        const mc_pose back = there_and_back(&pose);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            assert_near(back.c[c], pose.c[c], c < 3 ? 0 : 1e-11);
        }
    }
}

/* Near 90 deg the three angles are badly determined one by one; the rotation they make is not. */
static void comes_back_near_ninety(void **state) {
    (void)state;
    random_source source = random_seed(4);
    for (int n = 0; n < 20000; n++) {
        mc_pose pose = random_pose(&source, 90);
        const double short_of = pow(10, random_between(&source, -8.9, 0));
        pose.c[MC_ANGULATION] = random_unit(&source) < 0.5 ? 90 - short_of : short_of - 90;
        const mc_pose back = there_and_back(&pose);
        double wanted[3][3], seen[3][3];
        mc_pose_rotation(&pose, wanted);
        mc_pose_rotation(&back, seen);
        assert_near(back.c[MC_ANGULATION], pose.c[MC_ANGULATION], 1e-11);
        for (int i = 0; i < 3; i++) {
            for (int j = 0; j < 3; j++) {
                assert_near(seen[i][j], wanted[i][j], 3e-15);
            }
        }
    }
}

static void refuses_ninety(void **state) {
    (void)state;
    static const double angles[] = {90, -90, 90 - 1e-10, 1e-10 - 90};
    for (size_t i = 0; i < sizeof angles / sizeof angles[0]; i++) {
        const mc_pose pose = {{1, 2, 3, 10, angles[i], 20}};
        mc_pose back = {{7, 7, 7, 7, 7, 7}};
        mc_error error = {.status = MC_OK};
        double r[3][3];
        mc_pose_rotation(&pose, r);
        assert_int_equal(mc_pose_from(r, pose.c, &back, &error), MC_REFUSED);
        assert_non_null(strstr(error.text, "90 deg"));
        assert_true(back.c[0] == 7 && back.c[MC_INCLINATION] == 7);
    }
    const mc_pose almost = {{1, 2, 3, 10, 90 - 1e-8, 20}};
    assert_near(there_and_back(&almost).c[MC_ANGULATION], 90 - 1e-8, 1e-12);
}

static void refuses_what_is_not_finite(void **state) {
    (void)state;
    for (int i = 0; i < 12; i++) {
        double r[3][3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, t[3] = {0};
        mc_pose back = {{7, 7, 7, 7, 7, 7}};
        mc_error error;
        if (i < 9) {
            r[i / 3][i % 3] = i % 2 ? NAN : INFINITY;
        } else {
            t[i - 9] = NAN;
        }
        assert_int_equal(mc_pose_from(r, t, &back, &error), MC_REFUSED);
        assert_non_null(strstr(error.text, "finite"));
        assert_true(back.c[0] == 7);
    }
}

/* A pose in space: A' (R (A x) + t), with the rows of A the tooth's axes. */
static void move_in_space(mc_tooth tooth, double outward, const mc_pose *pose, const double x[3],
                          double y[3]) {
    double axes[3][3], own[3], moved[3];
    mc_tooth_frame(tooth, outward, axes);
    for (int i = 0; i < 3; i++) {
        own[i] = axes[i][0] * x[0] + axes[i][1] * x[1] + axes[i][2] * x[2];
    }
    mc_pose_apply(pose, own, moved);
    for (int i = 0; i < 3; i++) {
        y[i] = axes[0][i] * moved[0] + axes[1][i] * moved[1] + axes[2][i] * moved[2];
    }
}

/* The six numbers of a movement in space, found from where the three unit points and the centre go.
 */
static mc_pose measure_in_space(mc_tooth tooth, double outward, double space[3][3],
                                const double centre[3]) {
    double axes[3][3], r[3][3], t[3];
    mc_tooth_frame(tooth, outward, axes);
    for (int i = 0; i < 3; i++) {
        t[i] = axes[i][0] * centre[0] + axes[i][1] * centre[1] + axes[i][2] * centre[2];
        for (int j = 0; j < 3; j++) {
            r[i][j] = 0;
            for (int k = 0; k < 3; k++) {
                for (int l = 0; l < 3; l++) {
                    r[i][j] += axes[i][k] * space[k][l] * axes[j][l];
                }
            }
        }
    }
    mc_pose pose;
    assert_int_equal(mc_pose_from(r, t, &pose, NULL), MC_OK);
    return pose;
}

/* Move a tooth in space, look at it in a mirror, and measure the other side's tooth: the same six
 * numbers. */
static void a_mirrored_mouth_gives_the_same_numbers(void **state) {
    (void)state;
    random_source source = random_seed(5);
    static const double unit[4][3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0, 0, 0}};
    for (int n = 0; n < 52 * 40; n++) {
        const mc_tooth tooth = n % MC_TEETH;
        const double outward = random_between(&source, 0, 180);
        const mc_pose pose = random_pose(&source, 80);
        double centre[3], seen[3][3];
        move_in_space(tooth, outward, &pose, unit[3], centre);
        for (int j = 0; j < 3; j++) {
            double point[3];
            move_in_space(tooth, outward, &pose, unit[j], point);
            for (int i = 0; i < 3; i++) {
                /* column j of the movement's matrix, mirrored left to right: M S M */
                const double flip = (i == 0 ? -1.0 : 1.0) * (j == 0 ? -1.0 : 1.0);
                seen[i][j] = flip * (point[i] - centre[i]);
            }
        }
        centre[0] = -centre[0];
        const mc_pose other = measure_in_space(mc_tooth_mirror(tooth), 180 - outward, seen, centre);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            assert_near(other.c[c], pose.c[c], 1e-11);
        }
    }
}

static void between_carries_one_to_the_other(void **state) {
    (void)state;
    random_source source = random_seed(6);
    int tried = 0;
    for (int n = 0; n < 5000; n++) {
        const mc_pose first = random_pose(&source, 80), second = random_pose(&source, 80);
        mc_pose step, back;
        double r1[3][3], r2[3][3], r[3][3];
        if (mc_pose_between(&first, &second, &step, NULL) != MC_OK) {
            continue; /* the rotation between the two may reach 90 deg of angulation */
        }
        tried++;
        mc_pose_rotation(&first, r1);
        mc_pose_rotation(&second, r2);
        mc_pose_rotation(&step, r);
        for (int i = 0; i < 3; i++) {
            assert_near(step.c[i], second.c[i] - first.c[i], 0);
            for (int j = 0; j < 3; j++) {
                const double carried = r[i][0] * r1[0][j] + r[i][1] * r1[1][j] + r[i][2] * r1[2][j];
                assert_near(carried, r2[i][j], 1e-14);
            }
        }
        assert_int_equal(mc_pose_compose(&first, &step, &back, NULL), MC_OK);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            assert_near(back.c[c], second.c[c], 1e-11);
        }
    }
    assert_true(tried > 4990);
}

static void nothing_lies_between_equals(void **state) {
    (void)state;
    random_source source = random_seed(8);
    const mc_pose zero = {{0}};
    for (int n = 0; n < 500; n++) {
        const mc_pose pose = random_pose(&source, 80);
        mc_pose out;
        assert_int_equal(mc_pose_between(&pose, &pose, &out, NULL), MC_OK);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            assert_near(out.c[c], 0, 1e-13);
        }
        assert_int_equal(mc_pose_between(&zero, &pose, &out, NULL), MC_OK);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            assert_near(out.c[c], pose.c[c], 1e-12);
        }
    }
}

static void compose_refuses_ninety(void **state) {
    (void)state;
    const mc_pose half = turn(MC_ANGULATION, 45), back = turn(MC_ANGULATION, -45);
    mc_pose out = {{7, 7, 7, 7, 7, 7}};
    mc_error error;
    assert_int_equal(mc_pose_compose(&half, &half, &out, &error), MC_REFUSED);
    assert_int_equal(mc_pose_between(&back, &half, &out, &error), MC_REFUSED);
    assert_true(out.c[MC_ANGULATION] == 7);
    assert_int_equal(mc_pose_compose(&half, &back, &out, &error), MC_OK);
    assert_near(out.c[MC_ANGULATION], 0, 1e-14);
}

static bool is_root(mc_component c, double translation, double angle) {
    mc_pose pose = turn(c, angle);
    pose.c[c == MC_ANGULATION ? MC_MESIAL : MC_BUCCAL] = translation;
    return mc_pose_is_root_movement(&pose, c, 13);
}

/* With a root of 13 mm and 30 deg the two ends move alike where the crown's centre goes 3.25 mm
 * along. */
static void knows_root_movement(void **state) {
    (void)state;
    const mc_component both[2] = {MC_ANGULATION, MC_INCLINATION};
    for (int i = 0; i < 2; i++) {
        const mc_component c = both[i];
        assert_true(is_root(c, 0, 5)); /* pure inclination */
        assert_true(is_root(c, 0, -5));
        assert_false(is_root(c, 2, 5)); /* tipping about the root comes with translation */
        assert_false(is_root(c, -2, -5));
        assert_true(is_root(c, -2, 5)); /* the crown going back */
        assert_true(is_root(c, 2, -5));
        assert_true(is_root(c, 3.24, 30));
        assert_false(is_root(c, 3.26, 30));
        assert_true(is_root(c, -3.24, -30));
        assert_false(is_root(c, -3.26, -30));
        assert_false(is_root(c, 3.25, 30));         /* alike is not more */
        assert_false(is_root(c, 3.25 - 1e-10, 30)); /* within a billionth */
        assert_true(is_root(c, 3.25 - 1e-8, 30));
        assert_false(is_root(c, 0, 0)); /* no change is neither */
        assert_false(is_root(c, -1, 0));
    }
    const mc_pose pose = {{0, 0, 0, 10, 10, 10}};
    for (int c = MC_MESIAL; c <= MC_ROTATION; c++) {
        assert_false(mc_pose_is_root_movement(&pose, (mc_component)c, 13));
    }
}

/* The translation that matters is the one in the angle's own plane. */
static void root_movement_looks_in_its_plane(void **state) {
    (void)state;
    const mc_pose pose = {{9, 0, 9, 0, 5, 5}};
    assert_false(mc_pose_is_root_movement(&pose, MC_ANGULATION, 13));
    assert_true(mc_pose_is_root_movement(&pose, MC_INCLINATION, 13));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(signs_mean_what_they_say),
        cmocka_unit_test(is_rotation_then_angulation_then_inclination),
        cmocka_unit_test(rotations_are_rotations),
        cmocka_unit_test(comes_back_from_its_rotation),
        cmocka_unit_test(comes_back_near_ninety),
        cmocka_unit_test(refuses_ninety),
        cmocka_unit_test(refuses_what_is_not_finite),
        cmocka_unit_test(a_mirrored_mouth_gives_the_same_numbers),
        cmocka_unit_test(between_carries_one_to_the_other),
        cmocka_unit_test(nothing_lies_between_equals),
        cmocka_unit_test(compose_refuses_ninety),
        cmocka_unit_test(knows_root_movement),
        cmocka_unit_test(root_movement_looks_in_its_plane),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
