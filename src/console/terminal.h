/* The terminal: opened, listened to, left clean. */
#ifndef CONSOLE_TERMINAL_H
#define CONSOLE_TERMINAL_H

#include "midcourse/base.h"

#include <signal.h>

typedef struct terminal {
    struct sigaction old_hangup, old_terminate, old_interrupt, old_stop; /* as they were before */
    void *screen;                                                        /* of ncurses */
} terminal;

/* Take the terminal over. Refuses, in a sentence and with the terminal untouched, where there is
 * none, where its type is not known and where it cannot place a cursor. */
mc_status terminal_begin(terminal *t, mc_error *error);
/* Give it back as it was. */
void terminal_end(terminal *t);

/* Keys are what ncurses calls KEY_..., ASCII characters (Enter '\n', Esc 27), or a character beyond
 * ASCII as KEY_CHARACTER + its code point. */
enum { KEY_CHARACTER = 0x200000, KEY_ESC = 27, KEY_NOTHING = -1 };
/* Before and after what is pasted, where the terminal tells. */
enum { KEY_PASTE_BEGIN = 0x7001, KEY_PASTE_END };
enum { KEY_TICK_MS = 250 }; /* after that long without a key, KEY_NOTHING */

/* The next key. wait false: KEY_NOTHING at once where none was typed. *gone: the terminal or the
 * system asks us to leave. */
int terminal_key(bool wait, bool *gone);
/* Forget what was typed and not yet looked at. */
void terminal_forget_keys(void);
/* Whether a key, or news of the terminal, waits to be looked at. */
bool terminal_has_key(void);

/* Seconds by a clock that only goes forward, and goes on while the machine sleeps. */
double terminal_seconds(void);

/* The printable code point of a key, 0 where it is none. */
int32_t terminal_character(int key);

#endif
