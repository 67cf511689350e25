/* The remark that says which poses a draft plan was made from. */
#ifndef MIDCOURSE_EXCHANGE_ORIGIN_H
#define MIDCOURSE_EXCHANGE_ORIGIN_H

#include "midcourse/exchange.h"

/* Take the remark line (with its #) into *origin where it is that remark; any other is left alone.
 * Refuses one that is not spelled exactly so, and a second one. */
mc_status origin_read(const char *text, size_t size, long line, mc_plan_origin *origin,
                      mc_error *error);
enum { ORIGIN_SIZE = 120 };
/* The remark line, with its end. */
void origin_write(const mc_plan_origin *origin, char out[ORIGIN_SIZE]);
/* Whether a line of a heading could be taken for the remark. */
bool origin_resembles(const char *text, size_t size);

#endif
