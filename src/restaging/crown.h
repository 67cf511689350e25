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

/* The support function: how far it reaches from its centre in a direction. */
double oval_support(const oval *o, double direction);

/* See mc_crown_overlap. */
double oval_overlap(const oval *a, const oval *b);

#endif
