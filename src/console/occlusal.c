/* The occlusal screen: its keys and its parts in their places. It looks at the chart below it: what
 * is gone to here is gone to there. */
#include "occlusal.h"

#include "occlusal_view.h"
#include "tooth.h"
#include "tooth_view.h"

#include <curses.h>
#include <stdlib.h>

/* ---- drawing ---- */

static void title(const console *con, const void *self, char *left, size_t size) {
    chart_title(con, ((const occlusal_view *)self)->chart, left, size);
}

static void draw_arches(console *con, const occlusal_view *view, const occlusal_layout *at) {
    char text[200];
    chart_view *chart = view->chart;
    arch_drawn drawn;
    mc_arch arch = chart->cursor == MC_NO_TOOTH ? MC_UPPER : mc_tooth_arch(chart->cursor);
    const arch_sight sight = {.arch = {at->both || arch == MC_UPPER, at->both || arch == MC_LOWER},
                              .zoom = view->zoom,
                              .selected = chart->cursor,
                              .notation = con->notation,
                              .enlarge = view->true_size ? 1 : 0};
    chart_draw_crowns(con, chart, &sight, at->arches, &drawn);
    chart_crowns_text(chart, &drawn, text, sizeof text);
    put(&con->theme, at->words.row, at->words.col + 1, at->words.cols - 2, STYLE_FAINT, text);
    if (drawn.dots_per_mm <= 0)
        put_wrapped(&con->theme,
                    (area){at->arches.row + 1, at->arches.col + 1, 4, at->arches.cols - 2},
                    STYLE_PLAIN,
                    chart->a->has_plan ? "Where the crowns stand is not known."
                                       : "Nothing to draw: no plan has been imported.");
    if (drawn.row >= 0) {
        con->cursor_row = drawn.row;
        con->cursor_col = drawn.col;
    }
}

/* Where there is room for it: the chart, and the tooth over time. */
static void draw_beside(const console *con, chart_view *chart, const occlusal_layout *at) {
    mc_component plotted[MC_COMPONENTS];
    chart_draw_arch(con, chart, MC_UPPER, at->upper);
    chart_draw_arch(con, chart, MC_LOWER, at->lower);
    chart_draw_rule(con, chart, at->rule);
    chart_draw_series(con, chart, MC_UPPER, at->upper_series);
    chart_draw_series(con, chart, MC_LOWER, at->lower_series);
    chart_draw_table(con, chart, at->table, true);
    if (chart->cursor == MC_NO_TOOTH || !chart->a->has_plan || at->plots == 0)
        return;
    const tooth_view tooth = {.chart = chart,
                              .component = tooth_first_component(chart, chart->cursor)};
    tooth_choose_plots(&tooth, at->plots, plotted);
    for (int i = 0; i < at->plots; i++)
        tooth_draw_plot(con, &tooth, plotted[i], false, at->plot[i]);
    tooth_draw_legend(con, at->legend);
}

static void draw(console *con, void *self, area body) {
    const occlusal_view *view = self;
    chart_view *chart = view->chart;
    occlusal_layout at = occlusal_lay_out(body);
    chart_draw_heading(con, chart, at.heading);
    draw_arches(con, view, &at);
    if (at.wide_table)
        draw_beside(con, chart, &at);
    else
        occlusal_draw_table(con, chart, at.table);
    occlusal_draw_sentence(con, chart, at.sentence);
    if (at.teeth.rows > 0)
        chart_draw_teeth(con, chart, at.teeth);
    chart_draw_caution(con, at.caution);
}

/* ---- keys ---- */

static chart_view *chart_of(void *self) {
    return ((occlusal_view *)self)->chart;
}

static void left(console *con, void *self) {
    (void)con;
    chart_move_along(chart_of(self), -1);
}

static void right(console *con, void *self) {
    (void)con;
    chart_move_along(chart_of(self), 1);
}

static void home(console *con, void *self) {
    (void)con;
    chart_move_along(chart_of(self), -MC_TEETH);
}

static void end(console *con, void *self) {
    (void)con;
    chart_move_along(chart_of(self), MC_TEETH);
}

static void up(console *con, void *self) {
    (void)con;
    chart_cross_over(chart_of(self), MC_UPPER);
}

static void down(console *con, void *self) {
    (void)con;
    chart_cross_over(chart_of(self), MC_LOWER);
}

static void next_matters(console *con, void *self) {
    chart_step_matters(con, chart_of(self), 1);
}

static void last_matters(console *con, void *self) {
    chart_step_matters(con, chart_of(self), -1);
}

static void earlier(console *con, void *self) {
    chart_earlier(con, chart_of(self));
}

static void later(console *con, void *self) {
    chart_later(con, chart_of(self));
}

static void stage_later(console *con, void *self) {
    chart_stage_later(con, chart_of(self));
}

static void stage_earlier(console *con, void *self) {
    chart_stage_earlier(con, chart_of(self));
}

static void stage_own(console *con, void *self) {
    chart_stage_own(con, chart_of(self));
}

static void tooth_over_time(console *con, void *self) {
    tooth_open(con, chart_of(self));
}

static void in_words(console *con, void *self) {
    chart_in_words(con, chart_of(self));
}

static void zoom(console *con, void *self) {
    occlusal_view *view = self;
    (void)con;
    view->zoom = !view->zoom;
}

static void true_size(console *con, void *self) {
    occlusal_view *view = self;
    view->true_size = !view->true_size;
    frame_say(con, view->true_size ? "The lag is drawn as it is."
                                   : "The lag is drawn larger than it is, so that it shows.");
}

static const key_row KEYS[] = {
    {KEY_ESC, 'q', "Esc", "back", "back to the chart, on this tooth (q too)", frame_back},
    {'\t', 0, "Tab", "next", "to the next tooth that matters, the most urgent first", next_matters},
    {KEY_BTAB, 0, "Shift-Tab", NULL, "to the one before", last_matters},
    {'z', 0, "z", "zoom", "to the tooth's quadrant, and back to the arch", zoom},
    {'x', 0, "x", "true size", "the lag in its true size, or enlarged so that it shows", true_size},
    {'t', '\n', "t", "tooth", "the tooth over time, each movement to its end (Enter too)",
     tooth_over_time},
    {'[', ',', "[ ]", "check-up", "the check-up before (, too), or after", earlier},
    {']', '.', "]", NULL, "the check-up after (. too)", later},
    {'+', '=', "+ -", "stage", "the plan a stage on (= too), or back", stage_later},
    {'-', 0, "-", NULL, "the plan a stage back", stage_earlier},
    {'0', 0, "0", NULL, "back to the check-up's own stage", stage_own},
    {'w', 0, "w", "words", "the proposal in full and every tooth that matters in words", in_words},
    {KEY_LEFT, 'h', "Left", NULL, "a tooth to the left on the screen (h too)", left},
    {KEY_RIGHT, 'l', "Right", NULL, "a tooth to the right (l too)", right},
    {KEY_UP, 'k', "Up", NULL, "to the upper arch (k too)", up},
    {KEY_DOWN, 'j', "Down", NULL, "to the lower arch (j too)", down},
    {KEY_HOME, 0, "Home", NULL, "to the first tooth of the arch, the patient's right", home},
    {KEY_END, 0, "End", NULL, "to the last tooth of the arch", end},
    {'n', 0, "n", NULL, "the next tooth notation", chart_change_notation},
    {0}};

static const screen_ops OPS = {.name = "occlusal view",
                               .keys = KEYS,
                               .title = title,
                               .draw = draw,
                               .marks = occlusal_marks,
                               .close = free};

/* ---- opening ---- */

void occlusal_open(console *con, chart_view *chart) {
    occlusal_view *view = calloc(1, sizeof *view);
    if (!view) {
        frame_say(con, "Out of memory.");
        return;
    }
    view->chart = chart;
    frame_open(con, &OPS, view);
}
