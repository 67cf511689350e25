/* Numbers that others have published or certified, read from fixtures/published.csv: the tolerances
 * that a check-up is judged by, and regressions through the origin. */
#include "published.h"

#include "midcourse/tracking.h"
#include "near.h"

static double number_of(const published *all, const char *id, const char *unit) {
    const published_row *row = published_find(all, id);
    assert_string_equal(row->unit, unit);
    return strtod(row->value, NULL);
}

/* G17 and N21: what orthodontists call a difference that matters is what a tooth may be off. */
static void tolerances_are_the_published_differences(void **state) {
    (void)state;
    published *all = published_read(FIXTURES "/published.csv");
    mc_settings settings;
    mc_settings_defaults(&settings);
    assert_near(settings.tolerance_mm, number_of(all, "G17a", "mm"), 0);
    assert_near(settings.tolerance_mm, number_of(all, "N21a", "mm"), 0);
    assert_near(settings.tolerance_deg, number_of(all, "G17b", "deg"), 0);
    assert_near(settings.tolerance_deg, number_of(all, "N21b", "deg"), 0);
    free(all);
}

/* Slope, its SD and the residual SD of a certified row agree to 1e-13 of their size. */
static void certify(const char *id, const double *x, const double *y, size_t n) {
    published *all = published_read(FIXTURES "/published.csv");
    const char *text = published_find(all, id)->value;
    double got[3];
    assert_true(mc_line_through_origin(x, y, n, &got[0], &got[1], &got[2]));
    for (int i = 0; i < 3; i++) {
        char *end;
        double want = strtod(text, &end);
        assert_ptr_not_equal(end, text);
        assert_near(got[i], want, 1e-13 * fabs(want));
        text = strncmp(end, " / ", 3) == 0 ? end + 3 : end;
    }
    assert_string_equal(text, "");
    free(all);
}

/* NIST Statistical Reference Datasets, NoInt1: x = 60..70, y = 130..140. */
static void no_intercept_1(void **state) {
    (void)state;
    double x[11], y[11];
    for (int i = 0; i < 11; i++) {
        x[i] = 60 + i;
        y[i] = 130 + i;
    }
    certify("NI1", x, y, 11);
}

/* The same, NoInt2. */
static void no_intercept_2(void **state) {
    (void)state;
    certify("NI2", (const double[]){4, 5, 6}, (const double[]){3, 4, 4}, 3);
}

static void no_line_without_two_points_away_from_zero(void **state) {
    (void)state;
    double slope = 7, slope_sd = 7, rest = 7;
    const double zero[2] = {0, 0}, y[2] = {1, 2};
    assert_false(mc_line_through_origin(y, y, 1, &slope, &slope_sd, &rest));
    assert_false(mc_line_through_origin(y, y, 0, &slope, &slope_sd, &rest));
    assert_false(mc_line_through_origin(zero, y, 2, &slope, &slope_sd, &rest));
    assert_near(slope + slope_sd + rest, 21, 0); /* nothing was written */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tolerances_are_the_published_differences),
        cmocka_unit_test(no_intercept_1),
        cmocka_unit_test(no_intercept_2),
        cmocka_unit_test(no_line_without_two_points_away_from_zero),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
