/* A crown's outline in the occlusal plane, for the files of this room. */
#ifndef MIDCOURSE_RESTAGING_CROWN_H
#define MIDCOURSE_RESTAGING_CROWN_H

#include "midcourse/restaging.h"

/* A superellipse of exponent 2.5 in space (right, anterior), mm and radians. */
typedef struct oval {
    double x, y;  /* centre */
    double along; /* direction of the crown's mesial end */
    double a, b;  /* half the width, half the thickness */
} oval;

oval oval_of(mc_tooth tooth, const mc_crown *crown);

/* See mc_crown_overlap; exact to 1e-13 of their sizes and distance, never less than it is. */
double oval_overlap(const oval *a, const oval *b);

/* Whether oval_overlap is more than `allowed`, found sooner. *direction (radians) is one that may
 * part them, to begin with (NaN: none), and becomes the last one looked at: for the next question
 * about much the same places. It never changes the answer. */
bool oval_overlaps_more(const oval *a, const oval *b, double allowed, double *direction);

/* The same with a number for the answer: something more than `allowed` where the overlap is, else
 * something from the overlap to `allowed`. */
double oval_overlap_or_less(const oval *a, const oval *b, double allowed, double *direction);

#endif
