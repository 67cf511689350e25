/* Oracle and reader against ways drawn by chance. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "oracle.h"

static const uint64_t SEED = 7;

/* Draw on from stage 12 many times over: the oracle's probability is the share that ends outside.
 */
static void assert_oracle(double target, double at, double rate, bool stalled, double tolerance) {
    enum { WAYS = 40000 };
    const cohort_law law = law_published();
    random_source random = random_seed(SEED);
    true_tooth t = {.tooth = 0};
    t.target[MC_MESIAL] = target;
    t.rate[MC_MESIAL] = rate;
    t.stalled[12] = stalled;
    t.at[12][MC_MESIAL] = at;
    int out = 0;
    for (int n = 0; n < WAYS; n++) {
        double x = at;
        bool now = stalled;
        for (int stage = 13; stage <= PATIENT_STAGES; stage++) {
            now = random_unit(&random) < (now ? 0.75 : 0.01);
            x += target / 24 * rate * (now ? 0.3 : 1) * (1 + 0.1 * random_normal(&random));
        }
        out += fabs(target - x) > tolerance;
    }
    double p = oracle_out(&t, MC_MESIAL, 12, &law, tolerance), share = (double)out / WAYS;
    assert_true(p > 0.02 && p < 0.98); /* else nothing is compared */
    assert_near(p, share, 5 * sqrt(p * (1 - p) / WAYS));
}

static void the_oracle_knows_what_can_be_known(void **state) {
    (void)state;
    assert_oracle(4, 1.5, 0.75, false, 1);
    assert_oracle(4, 1.5, 0.75, true, 1);
    assert_oracle(-4, -1.62, 0.7, false, 1);
    assert_oracle(3, 0.9, 0.7, true, 1.2);
}

static void the_oracle_is_certain_of_what_does_not_move(void **state) {
    (void)state;
    const cohort_law law = law_published();
    true_tooth t = {.tooth = 0};
    t.target[MC_MESIAL] = 2;
    t.at[12][MC_MESIAL] = 0.9;
    assert_near(oracle_out(&t, MC_MESIAL, 12, &law, 1), 1, 1e-12);
    assert_near(oracle_out(&t, MC_MESIAL, 12, &law, 1.2), 0, 1e-12);
}

/* Draw rates and ways by the law, weigh each by how well it would have been read so, and see which
 * end outside: the reader's probability is the weighted share. Two components are planned, of which
 * the second tells, by the stalls they share, of the first. */
typedef struct {
    double x[MC_COMPONENTS][PATIENT_STAGES + 1];
} drawn;

static drawn draw_way(const cohort_law *law, const true_tooth *t, random_source *random) {
    drawn d = {{{0}}};
    double rate[MC_COMPONENTS];
    bool stalled = false;
    for (int c = 0; c < MC_COMPONENTS; c++)
        rate[c] = fmin(fmax(t->mean[c] + law->tooth_sd * random_normal(random), 0), 1.3);
    for (int stage = 1; stage <= PATIENT_STAGES; stage++) {
        stalled = random_unit(random) < (stalled ? 1 - law->recovers : law->stalls);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            if (t->target[c] == 0)
                continue;
            d.x[c][stage] = d.x[c][stage - 1] + t->target[c] / PATIENT_STAGES * rate[c] *
                                                    (stalled ? law->stalled_rate : 1) *
                                                    (1 + law->step_noise * random_normal(random));
        }
    }
    return d;
}

static double assert_reader(double stalls, mc_method method, double first, double second) {
    enum { WAYS = 120000 };
    cohort_law law = law_published();
    law.stalls = stalls;
    const reader_knows reader = {&law, 4, 3, method};
    random_source random = random_seed(SEED);
    true_tooth t = {.tooth = 0};
    double read[MOST_READ][MC_COMPONENTS] = {{0}}, out[MC_COMPONENTS], all = 0, outside = 0;
    t.target[MC_MESIAL] = 4;
    t.target[MC_ROTATION] = -20;
    t.mean[MC_MESIAL] = t.mean[MC_ROTATION] = 0.7;
    for (int k = 0; k < 3; k++) {
        read[k][MC_MESIAL] = first * (k + 1);
        read[k][MC_ROTATION] = second * (k + 1);
    }
    for (int n = 0; n < WAYS; n++) {
        drawn d = draw_way(&law, &t, &random);
        double exponent = 0;
        for (int k = 0; k < 3; k++)
            for (int c = 0; c < MC_COMPONENTS; c++) {
                double off = (read[k][c] - d.x[c][4 * (k + 1)]) / noise_sd(method, (mc_component)c);
                exponent -= t.target[c] != 0 ? off * off / 2 : 0;
            }
        all += exp(exponent);
        outside += exp(exponent) * (fabs(t.target[MC_MESIAL] - d.x[MC_MESIAL][24]) > 1);
    }
    reader_out(&reader, &t, read, out);
    print_message("reader %.4f, drawn %.4f\n", out[MC_MESIAL], outside / all);
    assert_true(out[MC_MESIAL] > 0.02 && out[MC_MESIAL] < 0.98);
    assert_near(out[MC_MESIAL], outside / all, 0.015);
    assert_near(out[MC_BUCCAL], 0, 0);
    return out[MC_MESIAL];
}

static void the_reader_knows_what_the_readings_say(void **state) {
    (void)state;
    assert_reader(0, MC_CALIPER, 0.5, -2.4);
    assert_reader(0, MC_SCAN, 0.5, -2.4);
    assert_reader(0.01, MC_CALIPER, 0.5, -2.4);
    double kept = assert_reader(0.1, MC_SCAN, 0.5, -2.4);
    double lagging = assert_reader(0.1, MC_SCAN, 0.5, -1.4); /* stalled, it seems */
    assert_true(lagging < kept - 0.02);                      /* and stalls pass */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_oracle_knows_what_can_be_known),
        cmocka_unit_test(the_oracle_is_certain_of_what_does_not_move),
        cmocka_unit_test(the_reader_knows_what_the_readings_say),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
