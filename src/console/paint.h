/* Putting text on the screen: always made safe, always within its place. */
#ifndef CONSOLE_PAINT_H
#define CONSOLE_PAINT_H

#include "theme.h"

/* A rectangle of the screen. */
typedef struct area {
    int row, col, rows, cols;
} area;

/* Text at a place, in at most `columns` columns. Returns the columns taken. */
int put(const theme *look, int row, int col, int columns, style ink, const char *text);
/* The same, filled up with blanks to `columns`. */
void put_filled(const theme *look, int row, int col, int columns, style ink, const char *text);
/* At the right end of the columns. */
void put_right(const theme *look, int row, int col, int columns, style ink, const char *text);
int put_format(const theme *look, int row, int col, int columns, style ink, const char *format, ...)
    __attribute__((format(printf, 6, 7)));

/* Text wrapped into an area; what does not fit is cut with an ellipsis. Returns the rows taken. */
int put_wrapped(const theme *look, area box, style ink, const char *text);

/* A line across. */
void put_line(const theme *look, int row, int col, int columns, style ink);
/* A line across with a heading upon it. */
void put_heading(const theme *look, int row, int col, int columns, const char *text);

/* Give what stands in an area the attributes of a style. */
void paint_over(const theme *look, area box, style ink);

#endif
