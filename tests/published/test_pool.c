/* The random-effects mean against results that others have printed. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/tracking.h"
#include "near.h"

/* Colditz et al. JAMA 1994;271:698-702: thirteen trials of a vaccine. Ill and well among those who
 * had it, then among those who had not, as the package metafor for R prints them (dat.bcg). */
enum { TRIALS = 13 };
static const double TRIAL[TRIALS][4] = {
    {4, 119, 11, 128},       {6, 300, 29, 274},        {3, 228, 11, 209},
    {62, 13536, 248, 12619}, {33, 5036, 47, 5761},     {180, 1361, 372, 1079},
    {8, 2537, 10, 619},      {505, 87886, 499, 87892}, {29, 7470, 45, 7232},
    {17, 1699, 65, 1600},    {186, 50448, 141, 27197}, {5, 2493, 3, 2338},
    {27, 16886, 29, 17825}};

/* What metafor's own tests hold its method "DL" to, beside another package's results, to four
 * digits (tests/testthat/test_misc_metan_vs_rma.uni_with_dat.bcg.r of wviechtb/metafor, seen). */
typedef struct {
    double mean, low, high, tau2, q;
} printed;

static void expect(const double value[TRIALS], const double variance[TRIALS], printed want) {
    mc_pooled got;
    assert_true(mc_pool(value, variance, TRIALS, &got));
    assert_int_equal(got.count, TRIALS);
    assert_near(got.mean, want.mean, 0.00005);
    assert_near(got.mean - 1.959964 * got.se, want.low, 0.00005);
    assert_near(got.mean + 1.959964 * got.se, want.high, 0.00005);
    assert_near(got.tau2, want.tau2, 0.00005);
    assert_near(got.q, want.q, 0.00005);
}

static void log_risk_ratios_of_the_vaccine_trials(void **state) {
    (void)state;
    double value[TRIALS], variance[TRIALS];
    for (int i = 0; i < TRIALS; i++) {
        const double *t = TRIAL[i];
        value[i] = log(t[0] / (t[0] + t[1])) - log(t[2] / (t[2] + t[3]));
        variance[i] = 1 / t[0] - 1 / (t[0] + t[1]) + 1 / t[2] - 1 / (t[2] + t[3]);
    }
    expect(value, variance, (printed){-0.7141, -1.0644, -0.3638, 0.3088, 152.2330});
}

static void log_odds_ratios_of_the_vaccine_trials(void **state) {
    (void)state;
    double value[TRIALS], variance[TRIALS];
    for (int i = 0; i < TRIALS; i++) {
        const double *t = TRIAL[i];
        value[i] = log(t[0] * t[3] / (t[1] * t[2]));
        variance[i] = 1 / t[0] + 1 / t[1] + 1 / t[2] + 1 / t[3];
    }
    expect(value, variance, (printed){-0.7474, -1.1242, -0.3706, 0.3663, 163.1649});
}

/* Values that agree better than their errors let expect: nothing between them, plain weights. */
static void nothing_between_those_that_agree(void **state) {
    (void)state;
    const double value[] = {0.5, 0.6, 0.55}, variance[] = {0.04, 0.01, 0.02};
    mc_pooled got;
    assert_true(mc_pool(value, variance, 3, &got));
    assert_near(got.tau2, 0, 0);
    assert_near(got.mean, (0.5 * 25 + 0.6 * 100 + 0.55 * 50) / 175, 1e-15);
    assert_near(got.se, sqrt(1.0 / 175), 1e-15);
    assert_true(mc_pool(value, variance, 1, &got));
    assert_near(got.mean, 0.5, 1e-15);
    assert_near(got.se, 0.2, 1e-15);
    assert_near(got.tau2, 0, 0);
}

static void no_mean_of_what_is_no_value(void **state) {
    (void)state;
    mc_pooled got = {.count = 7};
    const double fine[] = {1, 2}, wild[] = {1, NAN}, none[] = {1, 0};
    assert_false(mc_pool(fine, fine, 0, &got));
    assert_false(mc_pool(wild, fine, 2, &got));
    assert_false(mc_pool(fine, wild, 2, &got));
    assert_false(mc_pool(fine, none, 2, &got));
    assert_int_equal(got.count, 7); /* nothing was written */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(log_risk_ratios_of_the_vaccine_trials),
        cmocka_unit_test(log_odds_ratios_of_the_vaccine_trials),
        cmocka_unit_test(nothing_between_those_that_agree),
        cmocka_unit_test(no_mean_of_what_is_no_value),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
