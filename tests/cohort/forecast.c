/* Prints what the forecast is worth on simulated cohorts: cohort_forecast [PATIENTS [SEED]].
 * DEVELOPERS.md tells what is simulated and what was seen. */
#include <stdio.h>
#include <stdlib.h>

#include "measure.h"

static void print_line(char cohort, const char *method, const measured *m) {
    printf("  %c %-8s %6.3f %7.1f %% %7.4f   %6.3f %7.1f %% %7.4f %6.1f %%   %6.3f   %6.3f\n",
           cohort, method, m->kept.roc, 100 * m->kept.covers, m->kept.calibration.error,
           m->found.roc, 100 * m->found.covers, m->found.calibration.error,
           100 * (double)m->ungripped / (double)m->forecasts, m->gap_roc, m->oracle_roc);
}

static void print_bins(const char *what, const calibration *c) {
    printf("  %s: p_out said, what happened (forecasts)\n   ", what);
    for (int bin = 0; bin < CALIBRATION_BINS; bin++)
        printf(" %.2f %.2f (%zu)%s", c->said[bin], c->happened[bin], c->count[bin],
               bin == CALIBRATION_BINS / 2 - 1 ? "\n   " : "");
    printf("\n");
}

static void print_block(const char *title, visit_plan visits, int patients, uint64_t seed) {
    static const mc_method METHODS[] = {MC_CALIPER, MC_SCAN};
    printf("%s\n"
           "             grip kept                    grip as found                       "
           "gap rule  oracle\n"
           "             area   covers   calibr.      area   covers   calibr. without    "
           "area     area\n",
           title);
    for (int k = 0; k < 2; k++)
        for (char cohort = 'A'; cohort <= 'C'; cohort++) {
            cohort_law law = cohort_of(cohort);
            measured m = cohort_measure(&law, seed, patients, visits, METHODS[k]);
            print_line(cohort, mc_method_name(METHODS[k]), &m);
            if (cohort == 'A') {
                printf("    %zu forecasts, %.1f %% end outside; calibration of the oracle %.4f\n",
                       m.forecasts, 100 * (double)m.outside / (double)m.forecasts, m.oracle_error);
                print_bins("grip kept", &m.kept.calibration);
                print_bins("grip as found", &m.found.calibration);
            }
        }
}

int main(int argc, char **argv) {
    int patients = argc > 1 ? atoi(argv[1]) : COHORT_PATIENTS;
    uint64_t seed = argc > 2 ? strtoull(argv[2], NULL, 10) : COHORT_SEED;
    if (patients < 1) {
        fprintf(stderr, "cohort_forecast [PATIENTS [SEED]]\n");
        return 2;
    }
    printf("%d patients a cohort, seed %llu\n", patients, (unsigned long long)seed);
    print_block("\ncheck-ups at 4, 8 and 12 of 24", (visit_plan){4, 12}, patients, seed);
    print_block("\na check-up at each of stages 1 to 12", (visit_plan){1, 12}, patients, seed);
    return 0;
}
