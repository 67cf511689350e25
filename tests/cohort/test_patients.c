/* The invented patients are what they are said to be: shares and spreads of what is drawn, each
 * within about five standard errors. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "near.h"
#include "patients.h"

enum { PATIENTS = 300 };
static const uint64_t SEED = 7;

static void the_same_for_the_same_seed_and_number(void **state) {
    (void)state;
    static true_patient one, again, other;
    const cohort_law law = law_published();
    patient_draw(&law, SEED, 3, &one);
    patient_draw(&law, SEED, 4, &other);
    patient_draw(&law, SEED, 3, &again);
    for (int i = 0; i < PATIENT_TEETH; i++)
        assert_memory_equal(one.tooth[i].at, again.tooth[i].at, sizeof one.tooth[i].at);
    assert_true(one.tooth[0].rate[0] != other.tooth[0].rate[0]);
    patient_draw(&law, SEED + 1, 3, &other);
    assert_true(one.tooth[0].rate[0] != other.tooth[0].rate[0]);
}

static void twenty_eight_teeth_planned_as_said(void **state) {
    (void)state;
    static true_patient p;
    const cohort_law law = law_published();
    double planned = 0, all = 0, forward = 0, mm = 0, mm_squared = 0, deg = 0;
    long linear = 0, angular = 0;
    for (int n = 0; n < PATIENTS; n++) {
        patient_draw(&law, SEED, n, &p);
        for (int i = 0; i < PATIENT_TEETH; i++)
            for (int c = 0; c < MC_COMPONENTS; c++) {
                double amount = p.tooth[i].target[c];
                all++;
                planned += amount != 0;
                forward += amount > 0;
                if (amount != 0 && mc_component_is_linear((mc_component)c))
                    mm += fabs(amount), mm_squared += amount * amount, linear++;
                else if (amount != 0)
                    deg += fabs(amount), angular++;
            }
    }
    assert_near(planned / all, 0.55, 0.011);
    assert_near(forward / planned, 0.5, 0.015);
    assert_near(mm / (double)linear, 1, 0.025);
    assert_near(mm_squared / (double)linear, 1.5, 0.1); /* shape 2: mean^2 (1 + 1/2) */
    assert_near(deg / (double)angular, 8, 0.2);
    assert_int_equal(mc_tooth_iso(p.tooth[0].tooth), 11);
    assert_int_equal(mc_tooth_iso(p.tooth[27].tooth), 47);
}

/* Mean and SD of the true rates of upper central angulation, whose published mean is 0.825: far
 * enough from 0 and 1.3 that keeping rates there takes little away. */
static void rates(cohort_law law, double *mean, double *sd, double *within) {
    static true_patient p;
    double sum = 0, squares = 0, of_pair = 0;
    const int count = 5 * PATIENTS;
    for (int n = 0; n < count; n++) {
        patient_draw(&law, SEED, n, &p);
        double rate = p.tooth[0].rate[MC_ANGULATION], other = p.tooth[7].rate[MC_ANGULATION];
        sum += rate;
        squares += rate * rate;
        of_pair += (rate - other) * (rate - other) / 2;
        for (int i = 0; i < PATIENT_TEETH; i++)
            for (int c = 0; c < MC_COMPONENTS; c++)
                assert_true(p.tooth[i].rate[c] >= 0 && p.tooth[i].rate[c] <= 1.3);
    }
    *mean = sum / count;
    *sd = sqrt(squares / count - *mean * *mean);
    *within = sqrt(of_pair / count);
}

static void rates_spread_between_teeth_and_patients(void **state) {
    (void)state;
    double mean, sd, within;
    assert_near(mc_expected_share(mc_tooth_from_iso(11), MC_MOVE_ANGULATION, NULL), 0.825, 1e-12);
    rates(law_published(), &mean, &sd, &within);
    assert_near(mean, 0.825, 0.025);
    assert_near(sd, sqrt(0.05), 0.015);
    assert_near(within, 0.2, 0.013);
    rates(law_lower(), &mean, &sd, &within);
    assert_near(mean, 0.675, 0.025);
    rates(law_two_kinds(), &mean, &sd, &within);
    assert_near(mean, 0.7, 0.025);
    assert_near(sd, sqrt(0.05 + 0.125 * 0.125), 0.02);
    rates(law_perfect(), &mean, &sd, &within);
    assert_near(mean, 1, 0);
    assert_near(sd, 0, 1e-9);
}

static void teeth_stall_and_recover_as_said(void **state) {
    (void)state;
    static true_patient p;
    const cohort_law law = law_published();
    double free_before = 0, stalls = 0, stalled_before = 0, recovers = 0;
    for (int n = 0; n < PATIENTS; n++) {
        patient_draw(&law, SEED, n, &p);
        for (int i = 0; i < PATIENT_TEETH; i++)
            for (int stage = 1; stage <= PATIENT_STAGES; stage++) {
                const bool *stalled = p.tooth[i].stalled;
                free_before += !stalled[stage - 1];
                stalls += !stalled[stage - 1] && stalled[stage];
                stalled_before += stalled[stage - 1];
                recovers += stalled[stage - 1] && !stalled[stage];
            }
    }
    assert_near(stalls / free_before, 0.01, 0.0012);
    assert_near(recovers / stalled_before, 0.25, 0.03);
}

static void steps_have_noise_of_their_own_and_stalled_ones_are_short(void **state) {
    (void)state;
    static true_patient p;
    const cohort_law law = law_published();
    double sum[2] = {0}, squares[2] = {0};
    long count[2] = {0};
    for (int n = 0; n < PATIENTS; n++) {
        patient_draw(&law, SEED, n, &p);
        for (int i = 0; i < PATIENT_TEETH; i++)
            for (int stage = 1; stage <= PATIENT_STAGES; stage++) {
                const true_tooth *t = &p.tooth[i];
                double full = t->target[MC_ROTATION] / PATIENT_STAGES * t->rate[MC_ROTATION];
                if (full == 0)
                    continue;
                double done = (t->at[stage][MC_ROTATION] - t->at[stage - 1][MC_ROTATION]) / full;
                sum[t->stalled[stage]] += done;
                squares[t->stalled[stage]] += done * done;
                count[t->stalled[stage]]++;
            }
    }
    const double wanted[2] = {1, 0.3};
    for (int stalled = 0; stalled < 2; stalled++) {
        double mean = sum[stalled] / (double)count[stalled];
        assert_near(mean, wanted[stalled], 0.003);
        assert_near(sqrt(squares[stalled] / (double)count[stalled] - mean * mean),
                    0.1 * wanted[stalled], 0.002);
    }
}

static void a_perfect_mouth_stands_where_it_is_planned(void **state) {
    (void)state;
    static true_patient p;
    const cohort_law law = law_perfect();
    patient_draw(&law, SEED, 0, &p);
    for (int i = 0; i < PATIENT_TEETH; i++)
        for (int c = 0; c < MC_COMPONENTS; c++)
            for (int stage = 0; stage <= PATIENT_STAGES; stage++)
                assert_near(p.tooth[i].at[stage][c],
                            planned_at(&p.tooth[i], (mc_component)c, stage), 1e-12);
}

static void readings_have_the_noise_of_their_method(void **state) {
    (void)state;
    static true_patient p;
    const cohort_law law = law_perfect();
    random_source random = random_seed(SEED);
    patient_draw(&law, SEED, 0, &p);
    const struct {
        mc_component c;
        mc_method method;
        double sd;
    } wanted[] = {{MC_MESIAL, MC_CALIPER, 0.35},
                  {MC_ROTATION, MC_CALIPER, 3},
                  {MC_MESIAL, MC_SCAN, 0.10},
                  {MC_ROTATION, MC_SCAN, 0.7}};
    for (size_t k = 0; k < sizeof wanted / sizeof *wanted; k++) {
        double squares = 0;
        for (int n = 0; n < 20000; n++) {
            double off = read_at(&p.tooth[0], wanted[k].c, 12, wanted[k].method, &random) -
                         p.tooth[0].at[12][wanted[k].c];
            squares += off * off;
        }
        assert_near(sqrt(squares / 20000), wanted[k].sd, 0.03 * wanted[k].sd);
    }
}

static void a_tooth_that_stalls_for_good_keeps_what_it_did(void **state) {
    (void)state;
    static true_patient before, after;
    const cohort_law law = law_published();
    random_source random = random_seed(SEED);
    patient_draw(&law, SEED, 0, &before);
    after = before;
    tooth_stalls_for_good(&after.tooth[0], &law, 5, 0, &random);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        assert_near(after.tooth[0].at[4][c], before.tooth[0].at[4][c], 0);
        assert_near(after.tooth[0].at[24][c], before.tooth[0].at[4][c], 1e-12);
    }
    assert_memory_equal(after.tooth[1].at, before.tooth[1].at, sizeof after.tooth[1].at);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_for_the_same_seed_and_number),
        cmocka_unit_test(twenty_eight_teeth_planned_as_said),
        cmocka_unit_test(rates_spread_between_teeth_and_patients),
        cmocka_unit_test(teeth_stall_and_recover_as_said),
        cmocka_unit_test(steps_have_noise_of_their_own_and_stalled_ones_are_short),
        cmocka_unit_test(a_perfect_mouth_stands_where_it_is_planned),
        cmocka_unit_test(readings_have_the_noise_of_their_method),
        cmocka_unit_test(a_tooth_that_stalls_for_good_keeps_what_it_did),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
