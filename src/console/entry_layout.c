/* Where the check-up form's parts stand: the arches where the chart has them, below them the tooth.
 * What stands at 80x24 stands there at every size. */
#include "entry_view.h"

enum {
    TABLE_ROWS = 6,
    FINDINGS_ROWS = 2,
    WORDS_ROWS = 3,
    MORE_PROPOSAL = 3,
    LEAST_ROWS = 2 * ARCH_ROWS + 1 + 1 + TABLE_ROWS + FINDINGS_ROWS + 3,
    LEAST_BLOCK = 4,
    MOST_SAID = 12,
    RIGHT_COL = LEFT_COLS + 2,
    RIGHT_FROM = 116,
    THIRD_COL = 132,
    THIRD_FROM = 170
};

static area below(int *row, int rows, area body) {
    area out = {*row, body.col, rows, LEFT_COLS};
    *row += rows;
    return out;
}

/* The left column; returns its first free row. */
static int lay_out_left(area body, entry_layout *out) {
    int row = out->heading.row, spare = body.rows - LEAST_ROWS;
    int more = spare < 0 ? 0 : spare < MORE_PROPOSAL ? spare : MORE_PROPOSAL;
    spare -= more;
    out->block = (area){row, body.col, 1 + TABLE_ROWS + FINDINGS_ROWS, LEFT_COLS};
    out->heading = below(&row, 1, body);
    out->table = below(&row, TABLE_ROWS, body);
    out->findings = below(&row, FINDINGS_ROWS, body);
    out->whole = below(&row, 1, body);
    out->proposal = below(&row, 1 + more, body);
    if (spare > WORDS_ROWS) {
        row++;
        out->words = below(&row, WORDS_ROWS, body);
    }
    return row + 1;
}

static area worth(area box) {
    return box.rows >= LEAST_BLOCK ? box : (area){0};
}

entry_layout entry_lay_out(area body) {
    chart_layout chart = chart_lay_out(body);
    entry_layout out = {.upper = chart.upper,
                        .lower = chart.lower,
                        .rule = chart.rule,
                        .side = {chart.upper_series, chart.lower_series},
                        .heading = chart.heading,
                        .caution = chart.caution};
    out.side[MC_UPPER].rows++; /* with the line between the arches */
    int row = lay_out_left(body, &out);
    int rows = out.caution.row - out.heading.row;
    area left = {row, body.col, out.caution.row - row, LEFT_COLS};
    area right = {out.heading.row, RIGHT_COL, rows, body.cols - RIGHT_COL};
    if (body.cols >= RIGHT_FROM) {
        if (body.cols >= THIRD_FROM) {
            right.cols = THIRD_COL - RIGHT_COL - 2;
            out.sentences = worth((area){out.heading.row, THIRD_COL, rows, body.cols - THIRD_COL});
        }
        out.said = worth(right);
        out.trend = worth(left);
    } else if (left.rows >= MOST_SAID + 1 + LEAST_BLOCK) {
        out.said = (area){left.row, left.col, MOST_SAID, left.cols};
        left.row += MOST_SAID + 1;
        left.rows -= MOST_SAID + 1;
        out.trend = worth(left);
    } else {
        out.said = worth(left);
    }
    return out;
}
