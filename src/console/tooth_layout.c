/* Where the tooth's parts stand: one plot on a small screen, more side by side on larger ones. */
#include "tooth_view.h"

enum {
    PLOT_WIDTH = 58,    /* columns that a plot needs to be worth drawing */
    MOST_ACROSS = 3,    /* plots side by side */
    TWO_ROWS_FROM = 44, /* rows of the screen's body from which there are two rows of them */
    WORDS_FROM = 30,    /* from which there is a row more for words */
    LEAST_PLOT = 11,
    MOST_PLOT = PLOT_ROWS + 3,
    TABLE_ROWS = 9, /* wanted for the table, before plots grow */
    GAP_COLS = 1
};

static int within(int value, int least, int most) {
    return value < least ? least : value > most ? most : value;
}

static area below(int *row, int rows, area body) {
    area out = {*row, body.col, rows, body.cols};
    *row += rows;
    return out;
}

tooth_layout tooth_lay_out(area body) {
    tooth_layout out = {.plots = 0};
    int across = within(body.cols / PLOT_WIDTH, 1, MOST_ACROSS);
    int down = body.rows >= TWO_ROWS_FROM ? 2 : 1, row = body.row;
    int words = body.rows >= WORDS_FROM ? 3 : 2;
    out.heading = below(&row, 1, body);
    out.names = below(&row, 1, body);
    out.words = below(&row, words, body);
    int left = body.row + body.rows - row - 2; /* without legend and caution */
    int rows = within((left - TABLE_ROWS) / down, LEAST_PLOT, MOST_PLOT);
    int cols = (body.cols - GAP_COLS * (across - 1)) / across;
    for (int i = 0; i < across * down; i++)
        out.plot[out.plots++] =
            (area){row + i / across * rows, body.col + i % across * (cols + GAP_COLS), rows, cols};
    row += down * rows;
    out.legend = below(&row, 1, body);
    out.caution = (area){body.row + body.rows - 1, body.col, 1, body.cols};
    out.table = (area){row, body.col, out.caution.row - row, body.cols};
    return out;
}
