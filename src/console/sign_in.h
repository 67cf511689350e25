/* Who is at the keyboard. */
#ifndef CONSOLE_SIGN_IN_H
#define CONSOLE_SIGN_IN_H

#include "frame.h"

/* The key: somebody else takes over. */
void sign_in_ask(console *con, void *screen);
/* Ask for what unlocks the console: the passphrase of the person signed in, else initials first. */
void sign_in_unlock(console *con);
/* Stop asking, without a word. */
void sign_in_stop(console *con);
/* Take over from the practice who acts. */
void sign_in_look_up(console *con);

#endif
