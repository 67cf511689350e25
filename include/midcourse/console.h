/* console: the full screen. */
#ifndef MIDCOURSE_CONSOLE_H
#define MIDCOURSE_CONSOLE_H

#include "midcourse/practice.h"

/* Run the console on this terminal until the person leaves. case_label (may be NULL) opens that
 * case's chart first. heading (may be NULL) is shown once in the status line. Refuses where there
 * is no terminal. */
mc_status mc_console_run(mc_practice *practice, const char *case_label, const char *heading,
                         mc_error *error);

#endif
