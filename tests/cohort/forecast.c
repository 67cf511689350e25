/* Prints what the forecast is worth on simulated cohorts: cohort_forecast [PATIENTS [SEED]].
 * DEVELOPERS.md tells what is simulated and what was seen. */
#include <stdio.h>
#include <stdlib.h>

#include "measure.h"

static const mc_method METHODS[] = {MC_CALIPER, MC_SCAN};

static void print_figures(const figures *f) {
    printf("  %6.3f %6.1f %% %7.4f", f->roc, 100 * f->covers, f->calibration.error);
}

static void print_area(double roc) {
    if (isnan(roc))
        printf("       -");
    else
        printf("  %6.3f", roc);
}

static void print_line(char cohort, const char *method, const measured *m) {
    printf("%c %-8s %5.1f %%", cohort, method, 100 * (double)m->outside / (double)m->forecasts);
    print_figures(&m->kept);
    print_figures(&m->found);
    printf("  %5.1f %%", 100 * (double)m->ungripped / (double)m->forecasts);
    print_area(m->gap_roc);
    print_area(m->reader_roc);
    print_area(m->oracle_roc);
    printf("\n");
}

static void print_bins(const char *what, const calibration *c) {
    printf("    %-14s", what);
    for (int bin = 0; bin < CALIBRATION_BINS; bin++)
        printf(" %.2f:%.2f", c->said[bin], c->happened[bin]);
    printf("\n    %-14s", "forecasts");
    for (int bin = 0; bin < CALIBRATION_BINS; bin++)
        printf(" %9zu", c->count[bin]);
    printf("\n");
}

static void print_more(const measured *m) {
    printf("    %zu forecasts; calibration error of the oracle %.4f", m->forecasts,
           m->oracle_error);
    if (!isnan(m->reader_error))
        printf(", of the reader %.4f", m->reader_error);
    printf("\n    p_out as said and the share that happened, in ten bins:\n");
    print_bins("grip kept", &m->kept.calibration);
    print_bins("grip as found", &m->found.calibration);
}

static void print_block(const char *title, visit_plan visits, int patients, uint64_t seed) {
    bool few = visits.last / visits.step <= MOST_READ;
    printf("\n%s\n"
           "             end    grip kept                 grip as found             without  gap\n"
           "           outside  area   covers  calibr.    area   covers  calibr.    grip     rule"
           "  reader  oracle\n",
           title);
    for (int k = 0; k < 2; k++)
        for (char cohort = 'A'; cohort <= 'C'; cohort++) {
            cohort_law law = cohort_of(cohort);
            measured m =
                cohort_measure(&law, seed, patients, visits, METHODS[k], few && cohort == 'A');
            print_line(cohort, mc_method_name(METHODS[k]), &m);
            if (cohort == 'A')
                print_more(&m);
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
    print_block("check-ups at 4, 8 and 12 of 24", (visit_plan){4, 12}, patients, seed);
    print_block("a check-up at each of stages 1 to 12", (visit_plan){1, 12}, patients, seed);
    return 0;
}
