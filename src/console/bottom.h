/* Text in the lines at the bottom, drawn over the screen where it needs more than one. */
#ifndef CONSOLE_BOTTOM_H
#define CONSOLE_BOTTOM_H

#include "frame.h"

void bottom_clear(const console *con, int row);
/* The whole text, wrapped, its last line in this row. Returns its first row. */
int bottom_text(const console *con, int row, style ink, const char *text);
/* What was said and what is asked for, above the key line. */
void bottom_draw(console *con);

#endif
