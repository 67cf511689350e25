/* Whether a new series is what was promised: looked at stage by stage, in the words of the design,
 * sharing no code with the search. */
#ifndef MIDCOURSE_TESTS_ARCHES_JUDGE_H
#define MIDCOURSE_TESTS_ARCHES_JUDGE_H

#include "generator.h"

/* What was run, and what came of it. */
typedef struct arch_run {
    mc_settings settings;
    mc_restaged out;
    mc_plan *plan; /* NULL where there is none; arch_run_free */
    mc_status status;
    mc_error error;
    double seconds; /* of the processor */
} arch_run;
arch_run arch_restage(const random_arch *a);
void arch_run_free(arch_run *run);

int arch_stages(const random_arch *a, const arch_run *run); /* N */
int arch_bound(const random_arch *a, const arch_run *run);

/* What is wrong with it; an empty text where nothing is. Holds, at every stage: limits, corner,
 * straight ways that never turn back, overlap of neighbours; the target exactly; what stays; the
 * accounts of teeth and contacts, as far as they can be had from the plan alone. */
typedef struct fault {
    char text[300];
} fault;
fault arch_judge(const random_arch *a, const arch_run *run);

/* What a fault-free series of a crowded arch may still do: the deepest that crowns overlap which
 * are not neighbours, over all stages. */
double arch_beyond_neighbours(const random_arch *a, const arch_run *run);

/* Whether teeth i and i + 1 could pass each other all the same, one moving a little and then the
 * other, on a grid of their ways; with `margin` mm less overlap than is allowed in the end. */
bool arch_can_pass(const random_arch *a, int i, double margin);

/* Whether no two neighbours, wherever they are on their ways, overlap by more than is allowed
 * before the first aligner, less `margin` mm. */
bool arch_never_meets(const random_arch *a, double margin);
/* Whether all teeth may go the same share of their ways with each of n aligners, their corners
 * allowing it, and none meets its neighbour so. */
bool arch_even_never_meets(const random_arch *a, int n, double margin);

#endif
