/* Where the chart's parts stand. What stands at 80x24 stands there at every size; a larger screen
 * adds rows below and columns to the right. */
#include "chart_view.h"

enum {
    WORDS_ROWS = 2,
    TABLE_ROWS = 6,
    PROPOSAL_ROWS = 2,
    LEAST_ROWS = 2 * ARCH_ROWS + 1 + 1 + WORDS_ROWS + TABLE_ROWS + PROPOSAL_ROWS + 1,
    FULL_TABLE_ROWS = 11,
    MORE_WORDS = 1,
    MORE_PROPOSAL = 3,
    LEAST_BLOCK = 4, /* rows that a block needs to be worth drawing */
    RIGHT_COL = LEFT_COLS + 2,
    RIGHT_FROM = 116, /* columns of the screen from which there is a second column of blocks */
    THIRD_COL = 122,
    THIRD_FROM = 160,
    LEAST_ARCHES = 28, /* rows from which the drawn arches tell something, */
    BELOW_ARCHES = 16  /* and those that the column keeps for its other blocks */
};

/* As many of `wanted` rows as are to be had. */
static int take(int *spare, int wanted) {
    int taken = *spare < wanted ? *spare : wanted;
    *spare -= taken;
    return taken;
}

static area below(int *row, int rows, int cols, area body) {
    area out = {*row, body.col, rows, cols};
    *row += rows;
    return out;
}

/* The left column, from the arches down. */
static int lay_out_left(area body, chart_layout *out) {
    int row = body.row;
    int spare = body.rows - LEAST_ROWS;
    int words = WORDS_ROWS + take(&spare, MORE_WORDS);
    out->full_table = spare >= FULL_TABLE_ROWS - TABLE_ROWS;
    int table = TABLE_ROWS + (out->full_table ? take(&spare, FULL_TABLE_ROWS - TABLE_ROWS) : 0);
    int gap = take(&spare, 1);
    int proposal = PROPOSAL_ROWS + take(&spare, MORE_PROPOSAL);
    out->upper = below(&row, ARCH_ROWS, ARCH_COLS, body);
    out->rule = below(&row, 1, ARCH_COLS, body);
    out->lower = below(&row, ARCH_ROWS, ARCH_COLS, body);
    out->heading = below(&row, 1, LEFT_COLS, body);
    out->words = below(&row, words, LEFT_COLS, body);
    out->table = below(&row, table, LEFT_COLS, body);
    row += gap;
    out->proposal = below(&row, proposal, LEFT_COLS, body);
    out->caution = (area){body.row + body.rows - 1, body.col, 1, body.cols};
    return row;
}

static bool worth(area box) {
    return box.rows >= LEAST_BLOCK;
}

/* Split a column into two blocks, the first of at most `most` rows. */
static void stack(area column, int most, area *first, area *second) {
    *first = column;
    if (column.rows < most + LEAST_BLOCK)
        return;
    first->rows = most;
    *second = (area){column.row + most + 1, column.col, column.rows - most - 1, column.cols};
}

/* What stands right of the left column, from the tooth's heading down to the caution; the arches as
 * drawn stand higher, beside the chart's own. */
static void lay_out_right(area body, area left, chart_layout *out) {
    enum { MOST_LIST = 16, MOST_DECISIONS = 7, MOST_TREND = 12 };
    int rows = out->caution.row - out->heading.row;
    area right = {out->heading.row, RIGHT_COL, rows, body.cols - RIGHT_COL};
    area third = {out->heading.row, THIRD_COL, rows, body.cols - THIRD_COL};
    area rest = {0};
    int arches = body.rows - 1 - BELOW_ARCHES;
    if (body.cols >= THIRD_FROM && arches >= LEAST_ARCHES) {
        out->arches = (area){body.row, THIRD_COL, arches, body.cols - THIRD_COL};
        third.row = body.row + arches + 1;
        third.rows = out->caution.row - third.row;
    }
    if (body.cols >= THIRD_FROM) {
        right.cols = THIRD_COL - RIGHT_COL - 2;
        out->teeth = right;
        out->trend = left;
        stack(third, MOST_DECISIONS, &out->decisions, &out->sentences);
    } else if (body.cols >= RIGHT_FROM) {
        out->trend = left;
        stack(right, MOST_LIST, &out->teeth, &out->decisions);
    } else {
        stack(left, MOST_TREND, &out->trend, &rest);
        stack(rest, MOST_LIST, &out->teeth, &out->decisions);
    }
}

chart_layout chart_lay_out(area body) {
    chart_layout out = {0};
    int row = lay_out_left(body, &out);
    area left = {row + 1, body.col, out.caution.row - row - 1, LEFT_COLS};
    lay_out_right(body, left, &out);
    int side = (out.arches.rows > 0 ? THIRD_COL : body.cols) - ARCH_COLS - 1;
    out.ends = (area){out.rule.row, ARCH_COLS + 1, 1, side};
    out.upper_series = (area){out.upper.row, ARCH_COLS + 1, ARCH_ROWS, side};
    out.lower_series = (area){out.lower.row, ARCH_COLS + 1, ARCH_ROWS, side};
    area *blocks[] = {&out.trend, &out.teeth, &out.decisions, &out.sentences};
    for (size_t i = 0; i < sizeof blocks / sizeof *blocks; i++)
        if (!worth(*blocks[i]))
            *blocks[i] = (area){0};
    return out;
}
