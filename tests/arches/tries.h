/* The fewest aligners for two or three neighbours by trying everything: breadth first over every
 * place that they can have together on a grid. It knows neither leaders nor going as far as
 * possible. */
#ifndef MIDCOURSE_TESTS_ARCHES_TRIES_H
#define MIDCOURSE_TESTS_ARCHES_TRIES_H

#include "midcourse/restaging.h"

enum { MOST_TRIED = 3 };

/* Neighbours from the patient's right to the left. Each goes its way in `aligners` equal steps at
 * best; 0: it stays. */
typedef struct tried {
    int teeth; /* 2 or 3 */
    mc_tooth tooth[MOST_TRIED];
    mc_crown crown[MOST_TRIED]; /* where they stand now */
    mc_pose remaining[MOST_TRIED];
    int aligners[MOST_TRIED];
    double allowed[MOST_TRIED - 1]; /* mm of overlap with the next */
    int cells;                      /* of the grid, an aligner */
} tried;

/* mm by which an overlap can change within one cell of the grid, at contact i: both teeth going
 * over the whole of it. */
double tried_cell(const tried *t, int i);

/* The fewest aligners such that no tooth goes over more than `cells` cells with one of them, all
 * end at their targets, and from stage to stage there is a way over the grid, one tooth a cell
 * forward at a time, on which no two overlap by more than is allowed and `cells_more` times
 * tried_cell besides. TRIED_NONE where there is none, or out of memory. *hits: how many places of
 * the first contact are forbidden (may be NULL). */
enum { TRIED_NONE = 1000000 };
int tried_fewest(const tried *t, double cells_more, long *hits);

#endif
