/* The standing teeth of one arch from the patient's right to left, each on its way, and the
 * contacts between them. */
#ifndef MIDCOURSE_RESTAGING_CHAIN_H
#define MIDCOURSE_RESTAGING_CHAIN_H

#include "known.h"
#include "way.h"

enum { MOST_PLACES = 16 };

/* Where a tooth is at every stage: lambda, and 1 from stage `last` on, which is beyond
 * MC_MOST_STAGES where it never gets there. */
typedef struct schedule {
    int last;
    double lambda[MC_MOST_STAGES + 1];
} schedule;

inline double schedule_at(const schedule *s, int stage) {
    return stage >= s->last ? 1 : s->lambda[stage];
}

typedef struct place {
    mc_tooth tooth;
    bool moves;
    way way;
    int needs; /* aligners, by its limits alone */
} place;

typedef struct chain {
    int count;
    place place[MOST_PLACES];
    contact contact[MOST_PLACES - 1]; /* i: between place i and place i + 1 */
} chain;

/* The standing teeth of the arch with the account of each that moves. A deciduous tooth beside the
 * permanent one of its place is left out, as it is nobody's neighbour. */
void chain_of(const mc_settings *settings, const mc_restage_ask *ask, const mc_restaged *out,
              mc_arch arch, chain *c);

/* Look at every contact one side of which moves; known: from before, NULL where nothing is. */
void chain_look(const mc_restage_ask *ask, mc_restage_known *known, chain *c);

/* Who leads at a contact. */
typedef enum leader { RIGHT_LEADS = 0, LEFT_LEADS = 1, NOBODY_LEADS = 2, IN_TURNS = 3 } leader;

/* As far as the follower at contact i may be at a stage, now and later, by the whole schedule of
 * the one that leads. */
double chain_cap(const chain *c, int i, leader leads, const schedule *leading, int stage);
/* As far as the one that leads may be at a stage while the other waits. */
double chain_edge(const chain *c, int i, leader leads, int stage);

#endif
