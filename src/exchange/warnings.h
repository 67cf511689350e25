/* Gathering warnings. */
#ifndef MIDCOURSE_EXCHANGE_WARNINGS_H
#define MIDCOURSE_EXCHANGE_WARNINGS_H

#include "midcourse/exchange.h"

/* Add one; refuses only when out of memory. */
mc_status warnings_add(mc_warnings *warnings, mc_error *error, long line, long column,
                       const char *format, ...) __attribute__((format(printf, 5, 6)));
/* Put them in the order of the file: by line, then column. */
void warnings_sort(mc_warnings *warnings);

#endif
