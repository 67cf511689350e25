/* One line of text being typed. */
#ifndef CONSOLE_LINE_H
#define CONSOLE_LINE_H

#include "paint.h"

enum { LINE_SIZE = 2048 };

typedef struct line {
    char text[LINE_SIZE]; /* UTF-8 */
    size_t used;
    size_t most; /* characters; 0: as many as there is room for */
} line;

void line_start(line *l, const char *text, size_t most);
void line_wipe(line *l); /* so that nothing of it is left in memory */
/* Take a key: a printable character goes to the end, Backspace takes one away (with its combining
 * marks), Ctrl-U takes all. False where the key is none of these. */
bool line_key(line *l, int key);
/* Draw its end, as much of it as there is room for. Returns the column of the cursor. */
int line_draw(const theme *look, const line *l, int row, int col, int columns, bool secret);

#endif
