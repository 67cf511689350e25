/* The history of a case: what was done, by whom and when. */
#ifndef CONSOLE_HISTORY_H
#define CONSOLE_HISTORY_H

#include "frame.h"

/* Read the journal of a case and show it; says why where it cannot be read. */
void history_open(console *con, const mc_case *kase);

/* A page of what the doctor saw, and one of a version of a check-up as it was entered. */
void history_show_decision(console *con, const mc_case *kase, const mc_deed *deed);
void history_show_checkup(console *con, const mc_case *kase, const mc_deed *deed);

#endif
