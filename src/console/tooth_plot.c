/* What goes into which cell of a plot. */
#include "tooth_plot.h"

#include <math.h>

/* ---- places ---- */

double plot_half_stage(const plot_course *course, int cols, int half) {
    return course->stages * (double)half / (2 * cols - 1);
}

double plot_stage(const plot_course *course, int cols, int col) {
    return course->stages * (double)col / (cols - 1);
}

int plot_col(const plot_course *course, int cols, double stage) {
    double col = stage / course->stages * (cols - 1);
    return (int)lround(fmin(fmax(col, 0), cols - 1));
}

double plot_value(plot_scale scale, int row) {
    return scale.step * (scale.top - row);
}

int plot_row(plot_scale scale, double value) {
    return scale.top - (int)lround(value / scale.step);
}

/* ---- the scale ---- */

typedef struct span {
    double low, high;
} span;

static void take(span *s, double value, double spread) {
    if (isnan(value))
        return;
    spread = isnan(spread) ? 0 : spread;
    s->low = fmin(s->low, value - spread);
    s->high = fmax(s->high, value + spread);
}

/* Everything that has a place, and 0. */
static span span_of(const plot_course *course, int cols) {
    span s = {0, 0};
    for (int i = 0; i < 2 * cols; i++) {
        bool past = plot_half_stage(course, cols, i) <= course->now;
        take(&s, course->plan[i], past ? course->tolerance : 0);
    }
    for (int i = 0; i < cols; i++) {
        take(&s, course->low[i], 0);
        take(&s, course->high[i], 0);
    }
    for (size_t i = 0; i < course->points; i++) {
        take(&s, course->point[i].observed, course->point[i].sd);
        take(&s, course->point[i].estimate, 0);
    }
    take(&s, course->target, course->finish);
    take(&s, course->end, 0);
    return s;
}

plot_scale plot_scale_of(const plot_course *course, int rows, int cols, double least) {
    static const double round_steps[] = {1, 1.5, 2, 2.5, 3, 4, 5, 6, 8};
    enum { STEPS = sizeof round_steps / sizeof *round_steps, DECADES = 8 };
    span s = span_of(course, cols);
    plot_scale scale = {least, 0};
    for (int i = 0; i < STEPS * DECADES; i++) {
        const int decade = i / STEPS;
        scale.step = least * round_steps[i % STEPS] * pow(10, decade);
        double up = round(s.high / scale.step), down = round(s.low / scale.step);
        double spare = rows - 1 - (up - down);
        if (spare < 0)
            continue;
        scale.top = (int)up + (int)spare / 2; /* in the middle */
        break;
    }
    return scale;
}

int plot_stage_step(const plot_course *course, int cols, int width) {
    static const int round_steps[] = {1, 2, 4, 5, 10, 20, 25, 50, 100, 200, 250, 500};
    enum { STEPS = sizeof round_steps / sizeof *round_steps };
    for (int i = 0; i < STEPS; i++)
        if ((double)round_steps[i] / course->stages * (cols - 1) >= width)
            return round_steps[i];
    return course->stages;
}

/* ---- the cells ---- */

typedef struct sheet {
    plot_cell *cells;
    int rows, cols;
    plot_scale scale;
} sheet;

/* Put a thing where nothing stands that comes before it. */
static void mark_cell(const sheet *on, int row, int col, plot_thing thing) {
    if (row < 0 || row >= on->rows || col < 0 || col >= on->cols)
        return;
    plot_cell *cell = &on->cells[row * on->cols + col];
    bool meet = (cell->thing == PLOT_ESTIMATE && thing == PLOT_READING) ||
                (cell->thing == PLOT_READING && thing == PLOT_ESTIMATE);
    if (meet)
        cell->thing = PLOT_BOTH;
    else if (thing > cell->thing)
        cell->thing = thing;
}

/* A column from one value to another. */
static void mark_span(const sheet *on, int col, double low, double high, plot_thing thing) {
    for (int row = plot_row(on->scale, high); row <= plot_row(on->scale, low); row++)
        mark_cell(on, row, col, thing);
}

static void fill_band(const sheet *on, const plot_course *course) {
    for (int col = 0; col < on->cols; col++)
        if (!isnan(course->low[col]))
            mark_span(on, col, course->low[col], course->high[col], PLOT_AHEAD);
}

/* About the middle of each column of the plan, up to now. */
static void fill_tolerance(const sheet *on, const plot_course *course) {
    if (isnan(course->now))
        return;
    for (int col = 0; col <= plot_col(course, on->cols, course->now); col++) {
        double planned = (course->plan[2 * col] + course->plan[2 * col + 1]) / 2;
        mark_cell(on, plot_row(on->scale, planned + course->tolerance), col, PLOT_TOLERANCE);
        mark_cell(on, plot_row(on->scale, planned - course->tolerance), col, PLOT_TOLERANCE);
    }
}

static void fill_now(const sheet *on, const plot_course *course) {
    if (isnan(course->now))
        return;
    for (int row = 0; row < on->rows; row++)
        mark_cell(on, row, plot_col(course, on->cols, course->now), PLOT_NOW);
}

enum { DOTS_A_ROW = 4 };

/* Set the plan's dot in a half column, counted in dots from the top. */
static void set_dot(const sheet *on, int half, int dot) {
    static const unsigned char bits[2][DOTS_A_ROW] = {{0x01, 0x02, 0x04, 0x40},
                                                      {0x08, 0x10, 0x20, 0x80}};
    int row = dot / DOTS_A_ROW;
    if (dot < 0 || row >= on->rows)
        return;
    mark_cell(on, row, half / 2, PLOT_PLAN);
    on->cells[row * on->cols + half / 2].dots |= bits[half % 2][dot % DOTS_A_ROW];
}

static int dot_of(const sheet *on, double value) {
    double rows_down = on->scale.top + 0.5 - value / on->scale.step;
    return (int)floor(rows_down * DOTS_A_ROW);
}

/* The line is unbroken: a steep piece goes on where the half column before ended. */
static void fill_plan(const sheet *on, const plot_course *course) {
    int before = dot_of(on, course->plan[0]);
    for (int half = 0; half < 2 * on->cols; half++) {
        int dot = dot_of(on, course->plan[half]);
        int from = before < dot ? before + 1 : before > dot ? before - 1 : dot;
        int step = from <= dot ? 1 : -1;
        for (int at = from; at != dot + step; at += step)
            set_dot(on, half, at);
        before = dot;
    }
}

static void fill_points(const sheet *on, const plot_course *course) {
    for (size_t i = 0; i < course->points; i++) {
        const plot_point *p = &course->point[i];
        int col = plot_col(course, on->cols, p->stage);
        if (!isnan(p->observed) && !isnan(p->sd))
            mark_span(on, col, p->observed - p->sd, p->observed + p->sd, PLOT_SPREAD);
        if (!isnan(p->estimate))
            mark_cell(on, plot_row(on->scale, p->estimate), col, PLOT_ESTIMATE);
        if (!isnan(p->observed))
            mark_cell(on, plot_row(on->scale, p->observed), col, PLOT_READING);
    }
}

/* The tolerance about the target in the last columns, and the expected end in the last. */
static void fill_end(const sheet *on, const plot_course *course) {
    enum { WIDE = 3 };
    for (int col = on->cols - WIDE; col < on->cols; col++) {
        mark_cell(on, plot_row(on->scale, course->target + course->finish), col, PLOT_FINISH);
        mark_cell(on, plot_row(on->scale, course->target - course->finish), col, PLOT_FINISH);
    }
    if (!isnan(course->end))
        mark_cell(on, plot_row(on->scale, course->end), on->cols - 1, PLOT_END);
}

void plot_fill(const plot_course *course, plot_scale scale, int rows, int cols, plot_cell *cells) {
    const sheet on = {cells, rows, cols, scale};
    for (int i = 0; i < rows * cols; i++)
        cells[i] = (plot_cell){PLOT_NOTHING, 0};
    fill_band(&on, course);
    fill_tolerance(&on, course);
    fill_now(&on, course);
    fill_plan(&on, course);
    fill_points(&on, course);
    fill_end(&on, course);
}
