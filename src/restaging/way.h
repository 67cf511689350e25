/* One tooth's straight way to its target, as far as it goes with every aligner. */
#ifndef MIDCOURSE_RESTAGING_WAY_H
#define MIDCOURSE_RESTAGING_WAY_H

#include "limit.h"

typedef struct way {
    mc_tooth tooth;
    mc_pose remaining;
    double most;         /* of lambda that the components' limits leave to one aligner, at most 1 */
    double corner_limit; /* mm an aligner */
    double corner_speed; /* mm that a corner goes at most for lambda 0 to 1 */
    mc_limit strictest;  /* of the components */
} way;

/* own_limit: the tooth's own, of one aligner; 0: the settings'. */
way way_of(const mc_settings *settings, mc_tooth tooth, const mc_pose *remaining,
           const double own_limit[MC_COMPONENTS]);

/* lambda times what remains; exactly the whole of it at 1. */
mc_pose way_pose(const way *w, double lambda);

/* The largest lambda, at most 1, that one aligner may go to from here. */
double way_furthest(const way *w, double lambda);

/* n_t, the fewest aligners, or MC_MOST_STAGES + 1 where it is more than MC_MOST_STAGES. Going as
 * far as allowed with each is the fewest: what one step may do, a part of it may do too, so that
 * being ahead never leads to falling behind. *by is what makes it as many. */
int way_fewest(const way *w, mc_limit *by);

/* Whether the tooth may go the same share with each of n aligners, n at least n_t: the components
 * then keep their limits, the corner is looked at. */
bool way_may_be_even(const way *w, int n);

#endif
