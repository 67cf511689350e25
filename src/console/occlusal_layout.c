/* Where the occlusal screen's parts stand: one arch with its tooth's numbers on a small screen,
 * both above each other on a higher one, and beside them the chart and the tooth over time on a
 * wide one. The arches begin at the same place on all of them. */
#include "occlusal_view.h"

#include "tooth_plot.h"

enum {
    NARROW_COLS = 43, /* of the arches on the smallest screen */
    MIDDLE_FROM = 110,
    MIDDLE_COLS = 52,
    WIDE_FROM = 160,
    WIDE_COLS = 76,
    BOTH_FROM = 36, /* rows of the body from which both arches have room */
    TABLE_ROWS = 8,
    FULL_TABLE_ROWS = 11,
    SENTENCE_ROWS = 3,
    MIDDLE_SENTENCE = 7,
    PLOT_WIDTH = 58,
    LEAST_PLOT = 11
};

static area below(int *row, int rows, area within) {
    area out = {*row, within.col, rows, within.cols};
    *row += rows;
    return out;
}

/* The tooth's numbers and words, and the others by urgency where they have room. */
static void lay_out_tooth(area side, bool roomy, occlusal_layout *out) {
    enum { LEAST_LIST = 6 };
    int row = side.row;
    out->table = below(&row, TABLE_ROWS, side);
    row++;
    int left = side.row + side.rows - row;
    bool list = roomy && left >= MIDDLE_SENTENCE + 1 + LEAST_LIST;
    out->sentence = below(&row, list ? MIDDLE_SENTENCE : left, side);
    if (list)
        out->teeth = (area){row + 1, side.col, side.row + side.rows - row - 1, side.cols};
}

/* The chart as it stands on its own screen, then the tooth: its words, its table, its plots. */
static void lay_out_beside(area side, occlusal_layout *out) {
    int row = side.row, series = side.col + ARCH_COLS + 1;
    int beside = side.col + side.cols - series;
    area chart = {side.row, side.col, 0, ARCH_COLS};
    out->upper = below(&row, ARCH_ROWS, chart);
    out->rule = below(&row, 1, chart);
    out->lower = below(&row, ARCH_ROWS, chart);
    out->upper_series = (area){out->upper.row, series, ARCH_ROWS, beside};
    out->lower_series = (area){out->lower.row, series, ARCH_ROWS, beside};
    row++;
    out->sentence = below(&row, SENTENCE_ROWS, side);
    out->table = below(&row, FULL_TABLE_ROWS, side);
    out->wide_table = true;
    row++;
    int rows = side.row + side.rows - row - 1, across = side.cols / PLOT_WIDTH;
    if (rows < LEAST_PLOT)
        return;
    rows = rows < PLOT_ROWS + 3 ? rows : PLOT_ROWS + 3;
    across = across < 2 ? across : 2;
    for (int i = 0; i < across; i++)
        out->plot[out->plots++] = (area){row, side.col + i * (side.cols + 1) / across, rows,
                                         (side.cols + 1) / across - 1};
    out->legend = (area){row + rows, side.col, 1, side.cols};
}

occlusal_layout occlusal_lay_out(area body) {
    occlusal_layout out = {.both = body.rows >= BOTH_FROM};
    int last = body.row + body.rows - 1;
    bool wide = body.cols >= WIDE_FROM && out.both, middle = body.cols >= MIDDLE_FROM;
    int cols = wide ? WIDE_COLS : middle ? MIDDLE_COLS : NARROW_COLS;
    out.heading = (area){body.row, body.col, 1, body.cols};
    out.caution = (area){last, body.col, 1, body.cols};
    out.words = (area){last - 1, body.col, 1, body.cols};
    out.arches = (area){body.row + 1, body.col, body.rows - 3, cols};
    area side = {body.row + 1, body.col + cols + 1, body.rows - 3, body.cols - cols - 1};
    if (wide)
        lay_out_beside(side, &out);
    else
        lay_out_tooth(side, out.both && middle, &out);
    return out;
}
