/* Random pairs and triples of neighbours that a grid can take exactly, and what both searches make
 * of them.
 *
 * Each goes its way in a whole number of equal largest steps, whatever place it starts a step from:
 * a straight way of mesial and buccal movement whose length is so many steps, or a rotation of so
 * many with little translation, or an extrusion of so many; no corner passes its limit between any
 * two places of the grid a step apart. In most the corner's limit is lifted and teeth are
 * quick, so that they get far past each other in few aligners. Some stay; some contacts have IPR.
 *
 * What is compared. `least` is what trying everything finds where overlaps may be deeper by what
 * half a cell of the grid can change them: every series there is, each place rounded to the nearest
 * of the grid, is among what is tried, so that no series is shorter than that. `most` is the same
 * with overlaps shallower by as much: each of these series exists off the grid too. So least <= N
 * <= most must hold for the fewest N, none counting as more than any; and where the two are the
 * same N is known. */
#ifndef MIDCOURSE_TESTS_ARCHES_PAIRS_H
#define MIDCOURSE_TESTS_ARCHES_PAIRS_H

#include "random.h"
#include "tries.h"

typedef struct neighbours {
    mc_settings settings;
    mc_restage_ask ask;
    tried tried;
} neighbours;

/* Pair or triple `number` (from 0): the same for the same seed. */
void neighbours_draw(int teeth, uint64_t seed, int number, neighbours *out);

typedef struct comparison {
    bool meets;      /* the first two would, somewhere on their ways */
    int bound;       /* the most aligners that one of them needs */
    int least, most; /* by trying everything; TRIED_NONE: no series */
    int found;       /* by mc_restage; TRIED_NONE: refused as blocked */
    bool failed;     /* refused otherwise */
} comparison;
comparison neighbours_compare(const neighbours *n);
inline bool comparison_agrees(const comparison *c) {
    return !c->failed && c->least <= c->found && c->found <= c->most;
}

#endif
