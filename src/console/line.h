/* One line of text being typed. */
#ifndef CONSOLE_LINE_H
#define CONSOLE_LINE_H

#include "paint.h"

enum { LINE_SIZE = 2048 };

typedef struct text_line {
    char text[LINE_SIZE]; /* UTF-8 */
    size_t used;
    size_t most;  /* characters, marks not counted; 0: as many as there is room for */
    bool offered; /* nobody typed it: the first character typed takes its place */
} text_line;

void line_start(text_line *l, const char *text, size_t most);
/* The same with what is most likely, to be taken as it is or typed over. */
void line_offer(text_line *l, const char *text, size_t most);
void line_wipe(text_line *l); /* so that nothing of it is left in memory */
/* Take a key: a character that can be seen goes to the end where there is room, Backspace takes one
 * away (with its combining marks), Ctrl-U takes all. False where the key is none of these. */
bool line_key(text_line *l, int key);
/* How much of it stays when a character is typed. */
size_t line_stays(const text_line *l);
/* Draw its end, as much of it as there is room for before the cursor. secret: a mark for each
 * character. Returns the column of the cursor. */
int line_draw(const theme *look, const text_line *l, int row, int col, int columns, bool secret);

#endif
