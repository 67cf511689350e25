/* The method error against pairs of readings that others have published. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/tracking.h"
#include "near.h"

enum { SUBJECTS = 17 };

/* Bland, Altman. Lancet 1986;i:307-310: peak expiratory flow of 17 people, l/min, each read twice
 * with a large and with a small meter. The table was seen at
 * www-users.york.ac.uk/~mb55/meas/repeated.htm. */
static const double LARGE[2][SUBJECTS] = {
    {494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427},
    {490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421}};
static const double SMALL[2][SUBJECTS] = {
    {512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451},
    {525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443}};

/* The paper prints the coefficient of repeatability, twice the SD of a difference about zero, which
 * is 2 sqrt 2 times Dahlberg's figure: 43.2 l/min for the large meter and 56.4 for the small one
 * (from memory; 2 x 21.6 and 2 x 28.2, rounded before they were doubled). */
static void printed_repeatability(void **state) {
    (void)state;
    mc_method_error got;
    assert_true(mc_dahlberg(LARGE[0], LARGE[1], SUBJECTS, &got));
    assert_int_equal(got.pairs, SUBJECTS);
    assert_near(sqrt(2) * got.error, 21.6, 0.05);
    assert_near(2 * sqrt(2) * got.error, 43.2, 0.1);
    assert_true(mc_dahlberg(SMALL[0], SMALL[1], SUBJECTS, &got));
    assert_near(sqrt(2) * got.error, 28.2, 0.05);
    assert_near(2 * sqrt(2) * got.error, 56.4, 0.1);
}

/* The same to every digit, and the shift of the second series, as Python's statistics module
 * computes them: sqrt(7966 / 34), mean and stdev / sqrt(17) of the differences. */
static void every_digit(void **state) {
    (void)state;
    mc_method_error got;
    assert_true(mc_dahlberg(LARGE[0], LARGE[1], SUBJECTS, &got));
    assert_near(got.error, 15.306669057866863, 1e-12);
    assert_near(got.shift, -4.9411764705882355, 1e-12);
    assert_near(got.shift_se, 5.2688531151275155, 1e-12);
}

/* A second series that always reads half a millimetre more is no scatter, but it is error. */
static void shift_is_told_apart(void **state) {
    (void)state;
    const double first[] = {1, 2, 3, 4}, second[] = {1.5, 2.5, 3.5, 4.5};
    mc_method_error got;
    assert_true(mc_dahlberg(first, second, 4, &got));
    assert_near(got.error, 0.5 / sqrt(2), 1e-15);
    assert_near(got.shift, 0.5, 0);
    assert_near(got.shift_se, 0, 0);
    assert_true(mc_dahlberg(first, second, 1, &got));
    assert_near(got.error, 0.5 / sqrt(2), 1e-15);
    assert_true(isnan(got.shift_se));
}

static void no_figure_without_numbers(void **state) {
    (void)state;
    mc_method_error got = {.pairs = 7};
    const double nothing[] = {1, NAN}, endless[] = {1, INFINITY}, fine[] = {1, 2};
    assert_false(mc_dahlberg(fine, fine, 0, &got));
    assert_false(mc_dahlberg(nothing, fine, 2, &got));
    assert_false(mc_dahlberg(fine, endless, 2, &got));
    assert_int_equal(got.pairs, 7); /* nothing was written */
    assert_true(mc_dahlberg(fine, fine, 2, &got));
    assert_near(got.error, 0, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(printed_repeatability),
        cmocka_unit_test(every_digit),
        cmocka_unit_test(shift_is_told_apart),
        cmocka_unit_test(no_figure_without_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
