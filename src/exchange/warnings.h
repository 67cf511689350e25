/* Gathering warnings. */
#ifndef MIDCOURSE_EXCHANGE_WARNINGS_H
#define MIDCOURSE_EXCHANGE_WARNINGS_H

#include "midcourse/exchange.h"

/* Put them in the order of the file: by line, then column. */
void warnings_sort(mc_warnings *warnings);

#endif
