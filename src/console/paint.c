/* Putting text on the screen. */
#include "paint.h"

#include "midcourse/exchange.h"

#include <curses.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { LINE_BYTES = 4096 };

/* The columns that are really there of those asked for. */
static int visible(int row, int col, int columns) {
    if (row < 0 || row >= LINES || col < 0 || col >= COLS)
        return 0;
    return columns < COLS - col ? columns : COLS - col;
}

int put(const theme *look, int row, int col, int columns, style ink, const char *text) {
    char line[LINE_BYTES];
    columns = visible(row, col, columns);
    if (columns <= 0)
        return 0;
    int width = mc_text_fit(text, columns, look->ascii, line, sizeof line);
    attrset((attr_t)look->attributes[ink]);
    mvaddstr(row, col, line);
    attrset(A_NORMAL);
    return width;
}

void put_filled(const theme *look, int row, int col, int columns, style ink, const char *text) {
    columns = visible(row, col, columns);
    int width = put(look, row, col, columns, ink, text);
    attrset((attr_t)look->attributes[ink]);
    for (int i = width; i < columns; i++)
        mvaddch(row, col + i, ' ');
    attrset(A_NORMAL);
}

void put_right(const theme *look, int row, int col, int columns, style ink, const char *text) {
    int width = mc_text_width(text, look->ascii);
    int indent = width < columns ? columns - width : 0;
    put(look, row, col + indent, columns - indent, ink, text);
}

int put_format(const theme *look, int row, int col, int columns, style ink, const char *format,
               ...) {
    char text[1200];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    return put(look, row, col, columns, ink, text);
}

int put_wrapped(const theme *look, area box, style ink, const char *text) {
    char line[LINE_BYTES];
    int row = 0;
    while (row < box.rows) {
        const char *start = text;
        if (!mc_text_line(&text, box.cols, look->ascii, line, sizeof line))
            break;
        const char *rest = text;
        char next[16];
        bool last = row + 1 == box.rows && mc_text_line(&rest, 4, look->ascii, next, sizeof next);
        while (last && *start == ' ')
            start++;
        put(look, box.row + row, box.col, box.cols, ink, last ? start : line);
        row++;
    }
    return row;
}

void put_line(const theme *look, int row, int col, int columns, style ink) {
    columns = visible(row, col, columns);
    for (int i = 0; i < columns; i++)
        put(look, row, col + i, 1, ink, theme_mark(look, MARK_LINE));
}

void put_heading(const theme *look, int row, int col, int columns, const char *text) {
    put_line(look, row, col, columns, STYLE_FAINT);
    char padded[400];
    snprintf(padded, sizeof padded, " %.390s ", text);
    put(look, row, col + 2, columns - 2, STYLE_STRONG, padded);
}

void paint_over(const theme *look, area box, style ink) {
    for (int row = box.row; row < box.row + box.rows; row++) {
        int columns = visible(row, box.col, box.cols);
        if (columns > 0)
            mvchgat(row, box.col, columns, (attr_t)look->attributes[ink],
                    (short)PAIR_NUMBER(look->attributes[ink]), NULL);
    }
}
