/* The new series of one arch whose crowns are looked at. */
#ifndef MIDCOURSE_RESTAGING_CROWDED_H
#define MIDCOURSE_RESTAGING_CROWDED_H

#include "lead.h"
#include "spread.h"
#include "turns.h"

typedef struct crowded {
    const mc_restage_ask *ask;
    mc_restage_known *known; /* or NULL */
    mc_arch arch;
    chain chain;
    leader leads[MOST_PLACES - 1];
    schedule its[MOST_PLACES];
    pace pace[MOST_PLACES];
    schedule scratch[MOST_PLACES];
} crowded;

/* The accounts of the teeth are in `out`. NULL when out of memory. */
crowded *crowded_new(const mc_settings *settings, const mc_restage_ask *ask,
                     mc_restage_known *known, const mc_restaged *out, mc_arch arch);
void crowded_free(crowded *c);

/* Find the shortest series, spread it, and put N and the contacts' accounts into `out`. Refuses
 * where a contact lacks room (out->blocked), and what takes more than MC_MOST_STAGES aligners. */
mc_status crowded_restage(crowded *c, mc_restaged *out, mc_error *error);

/* The tooth's place in the chain; -1 where it is not in it. */
int crowded_place(const crowded *c, mc_tooth tooth);

#endif
