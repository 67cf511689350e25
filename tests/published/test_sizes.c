/* Usual sizes against what was read elsewhere (fixtures/tooth_sizes.csv), and the crown widths
 * against Bolton's means: Bolton. Angle Orthod 1958;28:113-130, overall 91.3 %, anterior 77.2 %. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/dentition.h"
#include "near.h"

#include <stdlib.h>
#include <string.h>

static mc_tooth_size size_of(int iso) {
    return mc_tooth_usual_size(mc_tooth_from_iso(iso));
}

/* The next field of a line, ended in place; *rest moves behind it. */
static const char *next_field(char **rest) {
    char *field = *rest;
    char *comma = strchr(field, ',');
    assert_non_null(comma);
    *comma = '\0';
    *rest = comma + 1;
    return field;
}

static void expect_field(const char *field, double size, int iso, int *read) {
    if (*field) {
        if (strtod(field, NULL) != size) {
            fail_msg("tooth %d has %g, %s was seen", iso, size, field);
        }
        ++*read;
    }
}

static void agree_with_what_was_seen(void **state) {
    (void)state;
    bool complete[MC_TEETH] = {false};
    char line[500];
    int lines = 0;
    FILE *file = fopen(FIXTURES "/tooth_sizes.csv", "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file)) {
        if (line[0] < '0' || line[0] > '9') {
            continue; /* remarks and the heading */
        }
        char *rest = line;
        const int iso = atoi(next_field(&rest));
        const mc_tooth_size size = size_of(iso);
        int read = 0;
        expect_field(next_field(&rest), size.crown_width, iso, &read);
        expect_field(next_field(&rest), size.crown_thickness, iso, &read);
        expect_field(next_field(&rest), size.crown_height, iso, &read);
        expect_field(next_field(&rest), size.root_length, iso, &read);
        const bool whole = strcmp(next_field(&rest), "yes") == 0;
        assert_true(!whole || read == 4);
        complete[mc_tooth_from_iso(iso)] = whole;
        complete[mc_tooth_mirror(mc_tooth_from_iso(iso))] = whole;
        lines++;
    }
    fclose(file);
    assert_int_equal(lines, 22);
    /* exactly what was not read in full is marked as from memory */
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (mc_tooth_usual_size(tooth).from_memory == complete[tooth]) {
            fail_msg("tooth %d is marked wrongly", mc_tooth_iso(tooth));
        }
    }
}

static void left_and_right_are_alike(void **state) {
    (void)state;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_tooth_size here = mc_tooth_usual_size(tooth);
        const mc_tooth_size there = mc_tooth_usual_size(mc_tooth_mirror(tooth));
        assert_true(here.crown_width == there.crown_width);
        assert_true(here.crown_thickness == there.crown_thickness);
        assert_true(here.crown_height == there.crown_height);
        assert_true(here.root_length == there.root_length);
        assert_true(here.crown_width >= 4 && here.crown_width <= 11);
        assert_true(here.crown_thickness >= 4 && here.crown_thickness <= 11);
        assert_true(here.root_length > here.crown_height);
    }
}

/* Crown widths of one side from the central incisor to a position. */
static double widths(int quadrant, int last) {
    double sum = 0;
    for (int position = 1; position <= last; position++) {
        sum += size_of(quadrant * 10 + position).crown_width;
    }
    return sum;
}

/* The means are of other people than the table, so within one point. */
static void fit_bolton_s_means(void **state) {
    (void)state;
    assert_near(100 * widths(4, 6) / widths(1, 6), 91.3, 1);
    assert_near(100 * widths(4, 3) / widths(1, 3), 77.2, 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agree_with_what_was_seen),
        cmocka_unit_test(left_and_right_are_alike),
        cmocka_unit_test(fit_bolton_s_means),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
