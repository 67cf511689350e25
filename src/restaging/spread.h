/* Each tooth's movement spread evenly over the time it has. */
#ifndef MIDCOURSE_RESTAGING_SPREAD_H
#define MIDCOURSE_RESTAGING_SPREAD_H

#include "chain.h"

/* From stage `from` to stage `to` the tooth goes: evenly, else as its schedule says. Both 0 where
 * it does not move. */
typedef struct pace {
    int from, to;
    bool even;
} pace;

/* The same for a tooth that has no neighbours to look at. */
pace spread_alone(const way *w, int needs, int stages, schedule *out);

/* Slow each moving tooth's schedule down as far as limits and neighbours leave it, and say how it
 * goes. */
void spread(const chain *c, const leader leads[MOST_PLACES - 1], int stages,
            schedule its[MOST_PLACES], pace out[MOST_PLACES]);

#endif
