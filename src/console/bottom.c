/* What was said and asked, never cut: what a refusal says last is often what to do. */
#include "bottom.h"

#include "midcourse/exchange.h"
#include "prompt.h"

#include <curses.h>

enum { LINE_BYTES = 1000, MOST_LINES = 10 };

void bottom_clear(const console *con, int row) {
    put_filled(&con->theme, row, 0, COLS, STYLE_PLAIN, "");
}

static int lines_of(const console *con, const char *text) {
    char line[LINE_BYTES];
    int count = 0;
    while (count < MOST_LINES && mc_text_line(&text, COLS - 2, con->theme.ascii, line, sizeof line))
        count++;
    return count;
}

int bottom_text(const console *con, int row, style ink, const char *text) {
    int lines = lines_of(con, text), first = row - lines + 1;
    for (int i = first; i <= row; i++)
        bottom_clear(con, i);
    put_wrapped(&con->theme, (area){first, 1, lines, COLS - 2}, ink, text);
    return first;
}

void bottom_draw(console *con) {
    int row = LINES - 2;
    if (con->prompt.open)
        row = prompt_draw(con, row) - 1;
    if (con->status[0] != '\0')
        bottom_text(con, row, con->status_style, con->status);
}
