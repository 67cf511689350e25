/* The check-up form: what is seen and read at the chair, entered over the chart. */
#ifndef CONSOLE_ENTRY_H
#define CONSOLE_ENTRY_H

#include "frame.h"

/* Take up the open check-up of a case, or begin one of today; whoever acts may do it (see
 * frame_with_role). after is called, with the screen below, when the check-up was completed. Says
 * why where nothing can be entered. */
void entry_open(console *con, const mc_case *kase, void (*after)(console *con, void *below));
/* Say so where a check-up of the case is being entered. */
void entry_say_open(console *con, const mc_case *kase);

#endif
