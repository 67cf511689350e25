/* Contacts that are passed in turns: where two neighbours would meet at several parts of their
 * ways, one may have to be ahead at the one and the other at the next. */
#ifndef MIDCOURSE_RESTAGING_TURNS_H
#define MIDCOURSE_RESTAGING_TURNS_H

#include "chain.h"

/* Look for a series of fewer aligners than `fewer_than` in which some of the contacts named by
 * `look_at` are passed in turns, beginning with the leaders that there are; contacts of two that
 * cannot pass otherwise have to be. Returns its aligners, with leads, the contacts' in_turns and
 * `its` filled in, or 0 where there is none: leads and its are as before then. Nothing is looked
 * for where IPR is done later than before the first aligner. *out_of_memory: nothing could be
 * looked for. */
int turns_find(chain *c, const bool look_at[MOST_PLACES - 1], int fewer_than,
               leader leads[MOST_PLACES - 1], schedule its[MOST_PLACES], bool *out_of_memory);

/* The aligners by these leaders and turns with one contact left out. */
int turns_without(const chain *c, int without, const leader leads[MOST_PLACES - 1],
                  schedule scratch[MOST_PLACES]);

#endif
