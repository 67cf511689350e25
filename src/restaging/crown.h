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

/* The same, from a direction (radians) that may part them (NaN: none), which becomes the one that
 * does; it never changes the answer by more than that. */
double oval_overlap_from(const oval *a, const oval *b, double *direction);

/* Whether oval_overlap is more than `allowed`, found sooner: something more than that where it is,
 * else something from the overlap to `allowed`. *direction is as above, and becomes the last one
 * looked at: for the next question about much the same places. It never changes whether. */
double oval_overlap_or_less(const oval *a, const oval *b, double allowed, double *direction);

#endif
