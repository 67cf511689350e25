/* The practice's own numbers: what its plans achieved beside what is published, and how exact its
 * methods are. */
#ifndef CONSOLE_PRACTICE_SCREEN_H
#define CONSOLE_PRACTICE_SCREEN_H

#include "frame.h"

/* Begin to read the ended plans and show them as they come; says why where that cannot be. */
void practice_screen_open(console *con, void *screen);

#endif
