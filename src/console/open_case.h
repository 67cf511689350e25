/* Opening a case: who it is and which teeth there are. */
#ifndef CONSOLE_OPEN_CASE_H
#define CONSOLE_OPEN_CASE_H

#include "frame.h"

/* Ask for it on a page, and for leave on another. done gets the screen below, once a case is
 * opened; giving up calls nothing and changes nothing. */
void open_case_ask(console *con, void (*done)(console *con, void *screen, const mc_case *kase));

#endif
