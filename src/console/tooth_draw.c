/* The tooth screen's plots: their cells as the terminal can show them, axes and legend. */
#include "tooth_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct {
    mark mark;
    style ink;
    const char *name; /* in the legend; NULL where it is named elsewhere */
} THINGS[PLOT_THINGS] = {
    [PLOT_PLAN] = {MARK_PLOT_PLAN, STYLE_PLAIN, "plan"},
    [PLOT_READING] = {MARK_PLOT_READING, STYLE_STRONG, "read"},
    [PLOT_SPREAD] = {MARK_PLOT_SPREAD, STYLE_PLAIN, "SD"},
    [PLOT_ESTIMATE] = {MARK_PLOT_ESTIMATE, STYLE_ESTIMATE, "estimate"},
    [PLOT_BOTH] = {MARK_PLOT_BOTH, STYLE_ESTIMATE, "both"},
    [PLOT_AHEAD] = {MARK_PLOT_AHEAD, STYLE_FAINT, "90 %"},
    [PLOT_END] = {MARK_PLOT_END, STYLE_ESTIMATE, "end"},
    [PLOT_TOLERANCE] = {MARK_PLOT_TOLERANCE, STYLE_FAINT, "track"},
    [PLOT_FINISH] = {MARK_PLOT_FINISH, STYLE_STRONG, "finish"},
    [PLOT_NOW] = {MARK_PLOT_NOW, STYLE_FAINT, NULL},
};

void tooth_draw_legend(const console *con, area box) {
    static const plot_thing order[] = {PLOT_PLAN,     PLOT_READING,   PLOT_SPREAD,
                                       PLOT_ESTIMATE, PLOT_BOTH,      PLOT_AHEAD,
                                       PLOT_END,      PLOT_TOLERANCE, PLOT_FINISH};
    int col = box.col + 1, end = box.col + box.cols;
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        plot_thing thing = order[i];
        col += put(&con->theme, box.row, col, end - col, THINGS[thing].ink,
                   theme_mark(&con->theme, THINGS[thing].mark)) +
               1;
        col += put(&con->theme, box.row, col, end - col, STYLE_PLAIN, THINGS[thing].name) + 2;
    }
}

/* ---- cells ---- */

enum { CELL_BYTES = 4, BRAILLE = 0x2800 };

/* The plan's dots as one character of the Braille patterns, U+2800 and up. */
static void braille(unsigned char dots, char out[CELL_BYTES]) {
    unsigned code = BRAILLE + dots;
    out[0] = (char)(0xe0 | code >> 12);
    out[1] = (char)(0x80 | (code >> 6 & 0x3f));
    out[2] = (char)(0x80 | (code & 0x3f));
    out[3] = '\0';
}

static const char *cell_text(const theme *look, plot_cell cell, char dots[CELL_BYTES]) {
    if (cell.thing == PLOT_NOTHING)
        return " ";
    if (cell.thing != PLOT_PLAN || look->ascii)
        return theme_mark(look, THINGS[cell.thing].mark);
    braille(cell.dots, dots);
    return dots;
}

/* Neighbours of one look are put at once. */
static void draw_row(const theme *look, const plot_cell *cells, int row, int col, int cols) {
    char run[PLOT_COLS * CELL_BYTES + 1], dots[CELL_BYTES];
    for (int i = 0; i < cols;) {
        style ink = THINGS[cells[i].thing].ink;
        size_t used = 0;
        int from = i;
        for (; i < cols && THINGS[cells[i].thing].ink == ink; i++) {
            const char *text = cell_text(look, cells[i], dots);
            size_t length = strlen(text);
            memcpy(run + used, text, length);
            used += length;
        }
        run[used] = '\0';
        put(look, row, col + from, i - from, ink, run);
    }
}

/* ---- axes ---- */

enum { LABEL_COLS = 6, PLOT_COL = LABEL_COLS + 2 };

static void draw_values(const theme *look, plot_scale scale, mc_component c, int rows, area box) {
    char number[40];
    for (int row = 0; row < rows; row++) {
        put(look, box.row + row, box.col + PLOT_COL - 1, 1, STYLE_FAINT,
            theme_mark(look, MARK_MIDLINE));
        if ((scale.top - row) % 2 != 0)
            continue;
        words_number(look, plot_value(scale, row), words_decimals(c), true, LABEL_COLS, number,
                     sizeof number);
        put(look, box.row + row, box.col, LABEL_COLS, STYLE_PLAIN, number);
    }
}

/* Write a word into a line about a column, where nothing stands in its way. */
static void write_about(char *line, int cols, int about, const char *word) {
    int length = (int)strlen(word), from = about - length / 2;
    from = from < 0 ? 0 : from + length > cols ? cols - length : from;
    for (int i = from - 1; i <= from + length; i++)
        if (i >= 0 && i < cols && line[i] != ' ')
            return;
    memcpy(line + from, word, (size_t)length);
}

/* The end and now first: a round stage near one of them goes without. */
static void draw_stages(const theme *look, const plot_course *course, int row, int col, int cols) {
    char line[PLOT_COLS + 1], number[20];
    const int width = 5;
    memset(line, ' ', (size_t)cols);
    line[cols] = '\0';
    snprintf(number, sizeof number, "%d", course->stages);
    write_about(line, cols, cols - 1, number);
    if (!isnan(course->now))
        write_about(line, cols, plot_col(course, cols, course->now), "now");
    int step = plot_stage_step(course, cols, width);
    for (int stage = 0; stage < course->stages; stage += step) {
        snprintf(number, sizeof number, "%d", stage);
        write_about(line, cols, plot_col(course, cols, stage), number);
    }
    put(look, row, col, cols, STYLE_PLAIN, line);
}

/* ---- one plot ---- */

/* "rotation, deg, + mesial-in", reversed where it is the one chosen. */
static void draw_plot_heading(const theme *look, mc_tooth tooth, mc_component c, bool chosen,
                              area box) {
    char text[80];
    snprintf(text, sizeof text, " %s, %s, + is %s ", words_item((int)c), words_unit(c),
             words_way((int)c, tooth, 1));
    put(look, box.row, box.col, box.cols, chosen ? STYLE_SELECTED : STYLE_STRONG, text);
}

/* Where the interval has no room it goes: the band shows it. */
static void make_fit(char *text, int cols) {
    char *from = strstr(text, " ("), *to = strchr(text, ')');
    if (from && to && (int)strlen(text) > cols)
        memmove(from, to + 1, strlen(to + 1) + 1);
}

static void draw_end_line(const theme *look, const chart_view *chart, mc_component c, area box) {
    char text[160];
    const mc_component_forecast *f = chart_component_end(chart, chart->cursor, c);
    chart_end_text(chart, chart->cursor, c, text, sizeof text);
    make_fit(text, box.cols - 1 - (f ? (int)strlen("ends ") : 0));
    bool out = f && mc_reaches(f->p_out, chart->a->settings.name_probability);
    put_format(look, box.row + 1, box.col + 1, box.cols - 1, out ? STYLE_BEHIND : STYLE_PLAIN,
               "%s%s", f ? "ends " : "", text);
}

void tooth_draw_plot(const console *con, const tooth_view *tooth, mc_component c, bool chosen,
                     area box) {
    static plot_cell cells[PLOT_ROWS * PLOT_COLS];
    const theme *look = &con->theme;
    const chart_view *chart = tooth->chart;
    plot_course course;
    draw_plot_heading(look, chart->cursor, c, chosen, box);
    if (!tooth_has_course(chart, chart->cursor, c)) {
        put(look, box.row + 1, box.col + 1, box.cols - 1, STYLE_FAINT, "neither planned nor read");
        return;
    }
    draw_end_line(look, chart, c, box);
    int rows = box.rows - 3, cols = box.cols - PLOT_COL - 1;
    cols = cols < PLOT_COLS ? cols : PLOT_COLS;
    area plot = {box.row + 2, box.col, rows, box.cols};
    tooth_course(chart, chart->cursor, c, cols, &course);
    double least = mc_component_is_linear(c) ? 0.01 : 0.1;
    plot_scale scale = plot_scale_of(&course, rows, cols, least);
    plot_fill(&course, scale, rows, cols, cells);
    draw_values(look, scale, c, rows, plot);
    for (int row = 0; row < rows; row++)
        draw_row(look, cells + row * cols, plot.row + row, plot.col + PLOT_COL, cols);
    put_right(look, plot.row + rows, plot.col, LABEL_COLS, STYLE_PLAIN, "stage");
    draw_stages(look, &course, plot.row + rows, plot.col + PLOT_COL, cols);
}

/* ---- which component ---- */

/* The six names, the chosen one reversed; one of which there is nothing is faint. */
void tooth_draw_names(const console *con, const tooth_view *tooth, area box) {
    int col = box.col + 1, end = box.col + box.cols;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const chart_view *chart = tooth->chart;
        bool followed = chart_component_end(chart, chart->cursor, (mc_component)c) != NULL;
        bool there = tooth_has_course(chart, chart->cursor, (mc_component)c);
        char text[40];
        snprintf(text, sizeof text, "%s%s", words_item(c),
                 followed || !there ? "" : theme_mark(&con->theme, MARK_UNMEASURED));
        col += put(&con->theme, box.row, col, end - col,
                   c == tooth_component(tooth) ? STYLE_SELECTED
                   : there                     ? STYLE_PLAIN
                                               : STYLE_FAINT,
                   text) +
               2;
    }
}
