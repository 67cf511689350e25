/* The frame's own part of a prompt: its keys, its drawing, its end. */
#ifndef CONSOLE_PROMPT_H
#define CONSOLE_PROMPT_H

#include "frame.h"

/* Handle a key while a prompt is open. */
void prompt_key(console *con, int key);
/* What Enter and Esc do. */
void prompt_take(console *con, void *screen);
void prompt_give_up(console *con, void *screen);
/* Take the prompt away without a word; nothing of what was typed is left in memory. */
void prompt_close(console *con);
/* Draw it in a row; returns the first row taken, and places the cursor. */
int prompt_draw(console *con, int row);

#endif
