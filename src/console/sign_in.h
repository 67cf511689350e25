/* Who is at the keyboard. */
#ifndef CONSOLE_SIGN_IN_H
#define CONSOLE_SIGN_IN_H

#include "frame.h"

/* The key: somebody else takes over. */
void sign_in_ask(console *con, void *screen);
/* Take over from the practice who acts. */
void sign_in_look_up(console *con);

#endif
