/* Axes in space: perpendicular, handed as the quadrant says, pointing where their names say, and
 * mirrored across the midline. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/dentition.h"
#include "near.h"

enum { RIGHT, ANTERIOR, SUPERIOR };

static double dot(const double a[3], const double b[3]) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

static double determinant(double a[3][3]) {
    return a[0][0] * (a[1][1] * a[2][2] - a[1][2] * a[2][1]) -
           a[0][1] * (a[1][0] * a[2][2] - a[1][2] * a[2][0]) +
           a[0][2] * (a[1][0] * a[2][1] - a[1][1] * a[2][0]);
}

static void are_perpendicular_and_handed(void **state) {
    (void)state;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const int quadrant = mc_tooth_iso(tooth) / 10;
        for (double outward = -20; outward <= 200; outward += 7.5) {
            double axes[3][3];
            mc_tooth_frame(tooth, outward, axes);
            for (int i = 0; i < 3; i++) {
                for (int j = 0; j < 3; j++) {
                    assert_near(dot(axes[i], axes[j]), i == j ? 1 : 0, 1e-15);
                }
            }
            assert_near(determinant(axes), quadrant % 2 == 1 ? 1 : -1, 1e-15);
        }
    }
}

static void expect_axis(const double axis[3], double right, double anterior, double superior) {
    assert_near(axis[RIGHT], right, 1e-15);
    assert_near(axis[ANTERIOR], anterior, 1e-15);
    assert_near(axis[SUPERIOR], superior, 1e-15);
}

static void point_where_they_say(void **state) {
    (void)state;
    double axes[3][3];
    mc_tooth_frame(mc_tooth_from_iso(16), 0, axes); /* a right upper molar */
    expect_axis(axes[0], 0, 1, 0);                  /* mesial is forward */
    expect_axis(axes[1], 1, 0, 0);                  /* the cheek is on the right */
    expect_axis(axes[2], 0, 0, -1);                 /* the other jaw is below */
    mc_tooth_frame(mc_tooth_from_iso(36), 180, axes);
    expect_axis(axes[0], 0, 1, 0);
    expect_axis(axes[1], -1, 0, 0);
    expect_axis(axes[2], 0, 0, 1);
    mc_tooth_frame(mc_tooth_from_iso(11), 90, axes); /* mesial of 11 is to the left */
    expect_axis(axes[0], -1, 0, 0);
    expect_axis(axes[1], 0, 1, 0);
    mc_tooth_frame(mc_tooth_from_iso(21), 90, axes);
    expect_axis(axes[0], 1, 0, 0);
    expect_axis(axes[1], 0, 1, 0);
    mc_tooth_frame(mc_tooth_from_iso(81), 90, axes);
    expect_axis(axes[0], -1, 0, 0);
    expect_axis(axes[2], 0, 0, 1);
}

static void mirror_across_the_midline(void **state) {
    (void)state;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        for (double outward = 0; outward <= 90; outward += 11.25) {
            double here[3][3], there[3][3];
            mc_tooth_frame(tooth, outward, here);
            mc_tooth_frame(mc_tooth_mirror(tooth), 180 - outward, there);
            for (int i = 0; i < 3; i++) {
                assert_near(there[i][RIGHT], -here[i][RIGHT], 1e-15);
                assert_near(there[i][ANTERIOR], here[i][ANTERIOR], 1e-15);
                assert_near(there[i][SUPERIOR], here[i][SUPERIOR], 1e-15);
            }
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(are_perpendicular_and_handed),
        cmocka_unit_test(point_where_they_say),
        cmocka_unit_test(mirror_across_the_midline),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
