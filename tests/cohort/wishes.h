/* What the rules say of simulated mouths, check-up after check-up. */
#ifndef MIDCOURSE_TESTS_WISHES_H
#define MIDCOURSE_TESTS_WISHES_H

#include "course.h"

enum { RULES = 11 };

/* By which rule it was proposed, over so many check-ups; and at how many of them the teeth, as they
 * truly stand, call for a correction: one short by 1 mm or 8 deg, weighted, or three by two
 * tracking tolerances; at which some tooth was called stalled; and at which the bare readings, by
 * the same limits, call for a correction, or for that or a review (past plan or drifting by 1.5
 * tolerances): the plain gap rule. */
typedef struct tally {
    long checkups, rule[RULES + 1], truly, stalled, gap_correct, gap_either;
} tally;

/* Mouths that follow the law, with check-ups at every 4th stage, each judged. out[k] is of the
 * check-up at stage 4 (k + 1), for k up to last / 4 - 1. */
enum { WISH_STEP = 4, MOST_VISITS = PATIENT_STAGES / WISH_STEP };
void wish_rules(const cohort_law *law, uint64_t seed, int mouths, const reading_habit *habit,
                int last, tally out[MOST_VISITS]);

/* One tooth of each mouth, any that is planned to move, stalls for good after the check-up at stage
 * 4; was it named behind or stalled at one of the next two, at 8 and 12? By how many tracking
 * tolerances it was truly short of plan at the second of them (its worst component): [0] less than
 * one, [1] less than two, [2] less than three, [3] three and more. */
enum { SHORT_CLASSES = 4 };
typedef struct stall_tally {
    long teeth[SHORT_CLASSES];
    long named[SHORT_CLASSES];    /* behind or stalled by the score */
    long proposed[SHORT_CLASSES]; /* and among the teeth of the proposal, whichever it is */
    long anyway[SHORT_CLASSES];   /* named as well where it had not stalled */
    long gap[SHORT_CLASSES];      /* by the plain gap rule: read short by a tolerance or more */
    long gap_anyway[SHORT_CLASSES];
} stall_tally;
stall_tally wish_stalled(const cohort_law *law, uint64_t seed, int mouths,
                         const reading_habit *habit, double left);

#endif
