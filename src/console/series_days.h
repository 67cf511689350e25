/* Recording that a corrected series was delivered, and its first days. */
#ifndef CONSOLE_SERIES_DAYS_H
#define CONSOLE_SERIES_DAYS_H

#include "frame.h"

/* Ask for the days on a page, show what would be recorded on another, and ask for leave there. done
 * gets the screen below, once they are on record. a: the case, whose corrected plan is in force. */
void series_days_ask(console *con, const mc_assessment *a,
                     void (*done)(console *con, void *screen));

#endif
