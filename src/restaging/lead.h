/* Who leads at each contact, so that the series is shortest. */
#ifndef MIDCOURSE_RESTAGING_LEAD_H
#define MIDCOURSE_RESTAGING_LEAD_H

#include "chain.h"

typedef struct lead lead;       /* what is known of a chain's schedules; a few MB */
lead *lead_new(const chain *c); /* NULL when out of memory */
void lead_free(lead *l);
bool lead_out_of_memory(const lead *l);

/* The fewest aligners by every choice of leaders; beyond MC_MOST_STAGES where that many are not
 * enough. without: a contact taken as if its two never met; -1: none. Every contact that meets has
 * to have somebody who can lead. */
int lead_fewest(lead *l, int without);

/* The leaders of a choice that takes no more than so many aligners, of those one in which the teeth
 * arrive early, and every tooth's schedule by it: as far as it may with every aligner. */
void lead_choose(lead *l, int stages, leader leads[MOST_PLACES - 1], schedule out[MOST_PLACES]);

#endif
