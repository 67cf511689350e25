/* The lock: while it is on nothing of the record is drawn, and no screen gets a key. */
#ifndef CONSOLE_LOCK_H
#define CONSOLE_LOCK_H

#include "frame.h"

/* The page that stands for all screens while the console is locked. */
const screen_ops *lock_page(void);

/* Lock it now (the key F4). What was asked is kept behind the lock, except a passphrase and the
 * sign-in. */
void lock_now(console *con, void *screen);
/* Unlock it: everything is as it was. */
void lock_open(console *con);
/* Handle a key on the page. */
void lock_key(console *con, int key);
/* Let the screen on top notice the time behind the lock: what it says is kept for later. */
void lock_idle(console *con);

#endif
