/* Poses against a general-purpose rotation library: fixtures/pose_reference.csv, written by
 * tests/published/pose_reference.py. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/movement.h"
#include "near.h"

#include <stdlib.h>
#include <string.h>

enum { NUMBERS = 33, LEAST_LINES = 360, NEAR_90 = 40 };

typedef struct reference {
    mc_pose first, second;
    double first_matrix[3][3], between_matrix[3][3], composed_matrix[3][3];
} reference;

static mc_pose pose_of(const double angles[3]) {
    return (mc_pose){{0, 0, 0, angles[0], angles[1], angles[2]}};
}

/* The next line of numbers; false at the end. */
static bool next_line(FILE *file, reference *out) {
    char line[2000];
    while (fgets(line, sizeof line, file)) {
        if (line[0] == '#' || strncmp(line, "rotation", 8) == 0) {
            continue;
        }
        double numbers[NUMBERS];
        char *rest = line;
        for (int i = 0; i < NUMBERS; i++) {
            char *end;
            numbers[i] = strtod(rest, &end);
            assert_true(end != rest && *end == (i + 1 < NUMBERS ? ',' : '\n'));
            rest = end + 1;
        }
        out->first = pose_of(numbers);
        out->second = pose_of(numbers + 3);
        memcpy(out->first_matrix, numbers + 6, sizeof out->first_matrix);
        memcpy(out->between_matrix, numbers + 15, sizeof out->between_matrix);
        memcpy(out->composed_matrix, numbers + 24, sizeof out->composed_matrix);
        return true;
    }
    return false;
}

static void expect_matrix(const mc_pose *pose, double wanted[3][3]) {
    double seen[3][3];
    mc_pose_rotation(pose, seen);
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++) {
            assert_near(seen[i][j], wanted[i][j], 1e-12);
        }
    }
}

static double turn_apart(double a, double b) {
    return fabs(remainder(a - b, 360));
}

static void agrees_with_the_library(void **state) {
    (void)state;
    FILE *file = fopen(FIXTURES "/pose_reference.csv", "r");
    assert_non_null(file);
    const double none[3] = {0};
    reference line;
    int lines = 0, near_90 = 0;
    for (; next_line(file, &line); lines++) {
        expect_matrix(&line.first, line.first_matrix);
        mc_pose angles, step;
        assert_int_equal(mc_pose_from(line.first_matrix, none, &angles, NULL), MC_OK);
        expect_matrix(&angles, line.first_matrix);
        /* near 90 deg each angle by itself is worth as many digits as the cosine leaves */
        const double lost = 1e-12 / cos(line.first.c[MC_ANGULATION] * 3.14159265358979 / 180);
        for (int c = MC_ROTATION; c <= MC_INCLINATION; c++) {
            assert_near(turn_apart(angles.c[c], line.first.c[c]), 0, lost);
        }
        assert_int_equal(mc_pose_between(&line.first, &line.second, &step, NULL), MC_OK);
        expect_matrix(&step, line.between_matrix);
        assert_int_equal(mc_pose_compose(&line.first, &line.second, &step, NULL), MC_OK);
        expect_matrix(&step, line.composed_matrix);
        near_90 += fabs(step.c[MC_ANGULATION]) > 89;
    }
    fclose(file);
    assert_true(lines >= LEAST_LINES && near_90 >= NEAR_90);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_the_library),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
