/* Prints what the rules say of simulated mouths: cohort_proposal [MOUTHS [SEED]].
 * DEVELOPERS.md tells what is simulated and what was seen. */
#include <stdio.h>
#include <stdlib.h>

#include "measure.h"
#include "wishes.h"

static const mc_method METHODS[] = {MC_CALIPER, MC_SCAN};

static reading_habit habit_of(mc_method method, bool unplanned) {
    return (reading_habit){
        .method = method, .unplanned = unplanned, .seat_gap = 0, .wear_hours = 22};
}

/* stage 0: of all check-ups */
static void print_rules(int stage, const tally *t) {
    printf(stage > 0 ? "    stage %-3d" : "    all      ", stage);
    for (int rule = 1; rule <= RULES; rule++)
        printf(" %5ld", t->rule[rule]);
    printf("   %5.1f %% %5.1f %%  %5.1f %% %6.1f %%   %5.1f %% %5.1f %%\n",
           100 * (double)(t->rule[5] + t->rule[8]) / (double)t->checkups,
           100 * (double)t->rule[8] / (double)t->checkups,
           100 * (double)t->truly / (double)t->checkups,
           100 * (double)t->stalled / (double)t->checkups,
           100 * (double)t->gap_either / (double)t->checkups,
           100 * (double)t->gap_correct / (double)t->checkups);
}

/* The mouths of a law at every 4th stage, by rule. */
static void print_mouths(const char *title, const cohort_law *law, int last, bool unplanned,
                         int mouths, uint64_t seed) {
    printf("\n%s\n", title);
    for (int k = 0; k < 2; k++) {
        tally at[MOST_VISITS], all = {0};
        const reading_habit habit = habit_of(METHODS[k], unplanned);
        wish_rules(law, seed, mouths, &habit, last, at);
        printf("  %-10s rule", mc_method_name(METHODS[k]));
        for (int rule = 1; rule <= RULES; rule++)
            printf(rule == 1 ? "%3d" : "%6d", rule);
        printf("    5 or 8       8   truly  stalled   gap 5,8   gap 8\n");
        for (int v = 0; v < last / WISH_STEP; v++) {
            print_rules(WISH_STEP * (v + 1), &at[v]);
            all.checkups += at[v].checkups;
            all.truly += at[v].truly;
            all.stalled += at[v].stalled;
            all.gap_either += at[v].gap_either;
            all.gap_correct += at[v].gap_correct;
            for (int rule = 1; rule <= RULES; rule++)
                all.rule[rule] += at[v].rule[rule];
        }
        print_rules(0, &all);
    }
}

static void print_share(long part, long whole) {
    if (whole == 0)
        printf("      -          ");
    else
        printf(" %5ld (%5.1f %%)", part, 100 * (double)part / (double)whole);
}

static void print_stalled(const char *title, const cohort_law *law, double left, int mouths,
                          uint64_t seed) {
    static const char *const CLASS[] = {"less than 1", "1 to 2", "2 to 3", "3 and more"};
    printf("\n%s\n", title);
    for (int k = 0; k < 2; k++) {
        const reading_habit habit = habit_of(METHODS[k], false);
        stall_tally t = wish_stalled(law, seed, mouths, &habit, left);
        stall_tally all = {.teeth = {0}};
        printf("  %-13s teeth    named           and proposed    without a stall  gap rule         "
               "without a stall\n",
               mc_method_name(METHODS[k]));
        for (int c = 0; c < SHORT_CLASSES; c++) {
            printf("    %-11s %5ld", CLASS[c], t.teeth[c]);
            print_share(t.named[c], t.teeth[c]);
            print_share(t.proposed[c], t.teeth[c]);
            print_share(t.anyway[c], t.teeth[c]);
            print_share(t.gap[c], t.teeth[c]);
            print_share(t.gap_anyway[c], t.teeth[c]);
            printf("\n");
            all.teeth[0] += t.teeth[c];
            all.named[0] += t.named[c];
            all.proposed[0] += t.proposed[c];
            all.anyway[0] += t.anyway[c];
            all.gap[0] += t.gap[c];
            all.gap_anyway[0] += t.gap_anyway[c];
        }
        printf("    %-11s %5ld", "all", all.teeth[0]);
        print_share(all.named[0], all.teeth[0]);
        print_share(all.proposed[0], all.teeth[0]);
        print_share(all.anyway[0], all.teeth[0]);
        print_share(all.gap[0], all.teeth[0]);
        print_share(all.gap_anyway[0], all.teeth[0]);
        printf("\n");
    }
}

int main(int argc, char **argv) {
    int mouths = argc > 1 ? atoi(argv[1]) : COHORT_PATIENTS;
    uint64_t seed = argc > 2 ? strtoull(argv[2], NULL, 10) : COHORT_SEED;
    const cohort_law perfect = law_perfect(), published = law_published();
    cohort_law gripped = law_published(), mean = law_published();
    gripped.stalls = mean.stalls = mean.tooth_sd = mean.patient_sd = 0;
    if (mouths < 1) {
        fprintf(stderr, "cohort_proposal [MOUTHS [SEED]]\n");
        return 2;
    }
    printf(
        "%d mouths, seed %llu; every tooth seats, 22 hours of wear\n"
        "(truly: share of check-ups at which the true positions call for a correction; stalled: at "
        "which a tooth is called so; gap: at which the bare readings do, by the limits of rules 5 "
        "and "
        "8)\n",
        mouths, (unsigned long long)seed);
    print_mouths("1 perfect, what is planned is read", &perfect, 20, false, mouths, seed);
    print_mouths("1 perfect, all six components are read", &perfect, 20, true, mouths, seed);
    print_mouths("2 published rates, grip kept (cohort A without stalls)", &gripped, 12, false,
                 mouths, seed);
    print_mouths("2 the same with exactly the mean rates", &mean, 12, false, mouths, seed);
    print_mouths("2 cohort A, stalls and all", &published, 12, false, mouths, seed);
    print_stalled("3 a tooth stalls for good at stage 5, to 0.3 of its rate; by tolerances truly "
                  "short at 12",
                  &gripped, gripped.stalled_rate, mouths, seed);
    print_stalled("3 the same, to nothing", &gripped, 0, mouths, seed);
    return 0;
}
