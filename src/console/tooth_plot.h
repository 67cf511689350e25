/* One component of a tooth over the stages of its arch, in the cells of a plot: which thing shows
 * in which cell. Pure: no screen, no record; what a cell looks like is tooth_draw's. */
#ifndef CONSOLE_TOOTH_PLOT_H
#define CONSOLE_TOOTH_PLOT_H

#include "theme.h"

enum { PLOT_COLS = 160, PLOT_ROWS = 40, PLOT_POINTS = 60 }; /* the most of each */

/* What shows in a cell. Where several things fall into one, the later of this list shows, but for a
 * reading and an estimate in one cell, which have a mark together. */
typedef enum plot_thing {
    PLOT_NOTHING,
    PLOT_AHEAD,     /* the 90 % band of the forecast */
    PLOT_TOLERANCE, /* the tracking tolerance about the plan, up to now */
    PLOT_NOW,       /* the stage of the last check-up */
    PLOT_PLAN,
    PLOT_SPREAD, /* one SD of a reading, each way */
    PLOT_FINISH, /* the finishing tolerance about the target */
    PLOT_END,    /* the expected end */
    PLOT_ESTIMATE,
    PLOT_READING,
    PLOT_BOTH,
    PLOT_THINGS
} plot_thing;

typedef struct plot_cell {
    plot_thing thing;
    unsigned char dots; /* of the plan's line in the cell, as in the Braille patterns of Unicode */
} plot_cell;

/* A check-up. NaN: not known there. */
typedef struct plot_point {
    double stage, observed, sd, estimate, estimate_sd;
} plot_point;

/* What is known of the component; mm or deg. Samples are `cols` (or twice as many) evenly spread
 * from stage 0 to the last. */
typedef struct plot_course {
    int stages; /* N, at least 1 */
    double now; /* NaN: no check-up on this plan */
    double tolerance, finish;
    double plan[2 * PLOT_COLS];             /* two samples a column */
    double low[PLOT_COLS], high[PLOT_COLS]; /* the band, one a column; NaN where there is none */
    double target, end;                     /* end NaN: not known */
    plot_point point[PLOT_POINTS];
    size_t points;
} plot_course;

/* Stage of column i of cols, and of its half columns (2 i, 2 i + 1); the column of a stage. */
double plot_stage(const plot_course *course, int cols, int col);
double plot_half_stage(const plot_course *course, int cols, int half);
int plot_col(const plot_course *course, int cols, double stage);

/* Row r stands for the value step * (top - r): steps are round numbers, and 0 has a row of its
 * own. */
typedef struct plot_scale {
    double step;
    int top;
} plot_scale;
/* The smallest scale in whose rows everything of the course has its place. least: the unit of the
 * last decimal shown. */
plot_scale plot_scale_of(const plot_course *course, int rows, int cols, double least);
double plot_value(plot_scale scale, int row);
int plot_row(plot_scale scale, double value);

/* Fill rows x cols cells, row by row from the top. */
void plot_fill(const plot_course *course, plot_scale scale, int rows, int cols, plot_cell *cells);

/* Stages to be named below the plot: every so many, with `width` columns for each. */
int plot_stage_step(const plot_course *course, int cols, int width);

#endif
