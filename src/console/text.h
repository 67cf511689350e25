/* Text from the record made safe for the screen, in this one place: whatever bytes a name or a note
 * holds, what comes out is printable, of known width, and cannot steer the terminal. */
#ifndef CONSOLE_TEXT_H
#define CONSOLE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* What one column or two on the screen shows: a character with at most four combining marks. */
typedef struct text_cell {
    char bytes[24]; /* UTF-8, no NUL inside, ends with one */
    size_t size;
    int width; /* 1 or 2 */
} text_cell;

/* Take the next cell of *at, which moves on; false at the end of the text. Invalid UTF-8, control
 * characters, format characters (bidirectional controls, zero-width ones), unassigned and
 * private ones come out as one visible replacement each. ascii: only ASCII comes out, letters
 * without their accents where they have any. */
bool text_next(const char **at, bool ascii, text_cell *out);

/* Columns that the whole text takes. */
int text_width(const char *text, bool ascii);

/* Write the text into out, cut with an ellipsis where it is wider than `columns`. Returns the
 * columns taken. size of at least 16; text that would not fit out is cut too. */
int text_fit(const char *text, int columns, bool ascii, char *out, size_t size);

/* Take the next line of at most `columns` from *at, broken at a blank where there is one, else
 * within the word. Leading blanks of a continued line are left out. False at the end. */
bool text_line(const char **at, int columns, bool ascii, char *out, size_t size);

#endif
