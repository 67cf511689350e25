/* The decision: the proposal, the doctor's choice, its reason, the signature, and what happens
 * next. */
#ifndef CONSOLE_DECIDE_H
#define CONSOLE_DECIDE_H

#include "frame.h"

/* A key of the chart: decide on the check-up that it shows, which has to be the last. */
void decide_open(console *con, void *chart);

#endif
