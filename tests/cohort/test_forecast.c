/* What the forecast must be worth on the simulated cohorts, with the recorded seed: a filter that
 * has become worse fails here. The bounds are the design's; cohort_forecast prints the figures. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "measure.h"
#include "near.h"

#ifdef __SANITIZE_ADDRESS__
enum { PATIENTS = COHORT_PATIENTS / 2 }; /* it takes five times as long */
#else
enum { PATIENTS = COHORT_PATIENTS };
#endif

static const visit_plan THREE = {4, 12}, EVERY_STAGE = {1, 12};

typedef struct {
    mc_method method;
    double roc, gap_roc, most_covered;
} wanted;
static const wanted CALIPER = {MC_CALIPER, 0.957, 0.75, 0.96};
static const wanted SCAN = {MC_SCAN, 0.985, 0.975, 0.97};

static measured measure(char cohort, visit_plan visits, const wanted *w) {
    const cohort_law law = cohort_of(cohort);
    measured m = cohort_measure(&law, COHORT_SEED, PATIENTS, visits, w->method, false);
    print_message("cohort %c, %s, check-ups every %d stages to %d: area %.4f (gap rule %.3f, "
                  "oracle %.4f), covers %.1f %%, calibration %.4f\n",
                  cohort, mc_method_name(w->method), visits.step, visits.last, m.kept.roc,
                  m.gap_roc, m.oracle_roc, 100 * m.kept.covers, m.kept.calibration.error);
    return m;
}

static void assert_honest(const measured *m, const wanted *w) {
    assert_true(m->kept.covers >= 0.88 && m->kept.covers <= w->most_covered);
    assert_true(m->kept.calibration.error <= 0.02);
    assert_true(m->kept.roc >= w->roc);
}

static void hold(char cohort, const wanted *w) {
    measured m = measure(cohort, THREE, w);
    assert_honest(&m, w);
    assert_near(m.gap_roc, w->gap_roc, 0.03); /* the cohort is as hard as it was */
    assert_true(m.oracle_roc > m.kept.roc);
    assert_true(m.oracle_error <= 0.005); /* exact but for chance */
    m = measure(cohort, EVERY_STAGE, w);
    assert_honest(&m, w);
}

static void caliper_a(void **state) {
    (void)state;
    hold('A', &CALIPER);
}

static void caliper_b(void **state) {
    (void)state;
    hold('B', &CALIPER);
}

static void caliper_c(void **state) {
    (void)state;
    hold('C', &CALIPER);
}

static void scan_a(void **state) {
    (void)state;
    hold('A', &SCAN);
}

static void scan_b(void **state) {
    (void)state;
    hold('B', &SCAN);
}

static void scan_c(void **state) {
    (void)state;
    hold('C', &SCAN);
}

/* The readings of more check-ups say more. */
static void more_checkups_are_worth_more(void **state) {
    (void)state;
    const cohort_law law = cohort_of('A');
    measured few = cohort_measure(&law, COHORT_SEED, 100, (visit_plan){12, 12}, MC_CALIPER, false);
    measured some = cohort_measure(&law, COHORT_SEED, 100, THREE, MC_CALIPER, false);
    measured many = cohort_measure(&law, COHORT_SEED, 100, EVERY_STAGE, MC_CALIPER, false);
    print_message("one check-up %.3f, three %.3f, twelve %.3f\n", few.kept.roc, some.kept.roc,
                  many.kept.roc);
    assert_true(few.kept.roc < some.kept.roc && some.kept.roc < many.kept.roc);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(caliper_a),
        cmocka_unit_test(caliper_b),
        cmocka_unit_test(caliper_c),
        cmocka_unit_test(scan_a),
        cmocka_unit_test(scan_b),
        cmocka_unit_test(scan_c),
        cmocka_unit_test(more_checkups_are_worth_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
