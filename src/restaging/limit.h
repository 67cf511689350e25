/* What one aligner may do, for the files of this room. */
#ifndef MIDCOURSE_RESTAGING_LIMIT_H
#define MIDCOURSE_RESTAGING_LIMIT_H

#include "midcourse/restaging.h"

/* The limit that a remaining movement of component c comes under. */
mc_limit limit_of(mc_component c, double remaining);

/* The corner of the crown cannot go farther than this (mm) between two poses that differ by
 * `difference`, component by component. Cheap, and seldom much more than the true way. */
double corner_bound(mc_tooth tooth, const mc_pose *difference);

#endif
