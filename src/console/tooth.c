/* The tooth screen: its keys and its parts in their places. It looks at the chart below it: what is
 * gone to here is gone to there. */
#include "tooth.h"

#include "tooth_view.h"
#include "words.h"

#include <curses.h>
#include <stdio.h>
#include <stdlib.h>

/* ---- drawing ---- */

static void title(const console *con, const void *self, char *left, size_t size) {
    chart_title(con, ((const tooth_view *)self)->chart, left, size);
}

static void draw(console *con, void *self, area body) {
    const tooth_view *tooth = self;
    const chart_view *chart = tooth->chart;
    tooth_layout at = tooth_lay_out(body);
    mc_component plotted[MC_COMPONENTS];
    chart_draw_heading(con, chart, at.heading);
    chart_draw_caution(con, at.caution);
    if (chart->cursor == MC_NO_TOOTH)
        return;
    tooth_draw_names(con, tooth, at.names);
    tooth_draw_words(con, tooth, at.words);
    tooth_choose_plots(tooth, at.plots, plotted);
    for (int i = 0; i < at.plots; i++)
        tooth_draw_plot(con, tooth, plotted[i],
                        at.plots > 1 && (int)plotted[i] == tooth_component(tooth), at.plot[i]);
    tooth_draw_legend(con, at.legend);
    if (chart->a->has_plan)
        tooth_draw_table(con, tooth, at.table);
}

static void close_tooth(void *self) {
    tooth_view *tooth = self;
    mc_checkup_info_free(tooth->kept, tooth->kept_count);
    free(tooth);
}

/* ---- keys ---- */

static void move_along(tooth_view *tooth, int steps) {
    chart_move_along(tooth->chart, steps);
}

static void left(console *con, void *self) {
    (void)con;
    move_along(self, -1);
}

static void right(console *con, void *self) {
    (void)con;
    move_along(self, 1);
}

static void home(console *con, void *self) {
    (void)con;
    move_along(self, -MC_TEETH);
}

static void end(console *con, void *self) {
    (void)con;
    move_along(self, MC_TEETH);
}

static void up(console *con, void *self) {
    (void)con;
    chart_cross_over(((tooth_view *)self)->chart, MC_UPPER);
}

static void down(console *con, void *self) {
    (void)con;
    chart_cross_over(((tooth_view *)self)->chart, MC_LOWER);
}

/* The next tooth that matters, at what makes it matter. */
static void step_matters(console *con, tooth_view *tooth, int step) {
    chart_step_matters(con, tooth->chart, step);
    if (tooth->chart->cursor != MC_NO_TOOTH)
        tooth->component = tooth_first_component(tooth->chart, tooth->chart->cursor);
}

static void next_matters(console *con, void *self) {
    step_matters(con, self, 1);
}

static void last_matters(console *con, void *self) {
    step_matters(con, self, -1);
}

static void step_component(void *self, int step) {
    tooth_view *tooth = self;
    tooth->component = tooth_next_component(tooth, step);
}

static void next_component(console *con, void *self) {
    (void)con;
    step_component(self, 1);
}

static void last_component(console *con, void *self) {
    (void)con;
    step_component(self, -1);
}

static void earlier(console *con, void *self) {
    chart_earlier(con, ((tooth_view *)self)->chart);
}

static void later(console *con, void *self) {
    chart_later(con, ((tooth_view *)self)->chart);
}

static void in_words(console *con, void *self) {
    if (((tooth_view *)self)->chart->cursor != MC_NO_TOOTH)
        tooth_in_words(con, self);
}

static const key_row KEYS[] = {
    {KEY_ESC, 'q', "Esc", "back", "back to the chart, on this tooth (q too)", frame_back},
    {KEY_RIGHT, 'l', "Left Right", "tooth", "a tooth to the right on the screen (l too)", right},
    {KEY_LEFT, 'h', "Left", NULL, "a tooth to the left (h too)", left},
    {'c', KEY_NPAGE, "c", "component", "the next component that is planned or was read (PgDn too)",
     next_component},
    {'C', KEY_PPAGE, "C", NULL, "the component before (PgUp too)", last_component},
    {'\t', 0, "Tab", "next",
     "to the next tooth that matters, the most urgent first, at its worst component", next_matters},
    {KEY_BTAB, 0, "Shift-Tab", NULL, "to the one before", last_matters},
    {'[', ',', "[ ]", "check-up", "the check-up before (, too): what was expected then", earlier},
    {']', '.', "]", NULL, "the check-up after (. too)", later},
    {'w', '\n', "w", "words",
     "all six components, what was found, and the notes, in words (Enter too)", in_words},
    {KEY_UP, 'k', "Up", NULL, "to the upper arch (k too)", up},
    {KEY_DOWN, 'j', "Down", NULL, "to the lower arch (j too)", down},
    {KEY_HOME, 0, "Home", NULL, "to the first tooth of the arch, the patient's right", home},
    {KEY_END, 0, "End", NULL, "to the last tooth of the arch", end},
    {'n', 0, "n", NULL, "the next tooth notation", chart_change_notation},
    {0}};

static const screen_ops OPS = {.name = "tooth",
                               .keys = KEYS,
                               .title = title,
                               .draw = draw,
                               .marks = tooth_marks,
                               .close = close_tooth};

/* ---- opening ---- */

/* The notes, where they can be read: without them the rest is told all the same. */
static void look_for_notes(const console *con, tooth_view *tooth) {
    if (con->practice &&
        mc_record_checkups(mc_practice_record(con->practice), &tooth->chart->a->kase.id, false,
                           &tooth->kept, &tooth->kept_count, NULL) != MC_OK)
        tooth->kept_count = 0;
}

void tooth_open(console *con, chart_view *chart) {
    if (chart->cursor == MC_NO_TOOTH) {
        frame_say(con, "No tooth stands here.");
        return;
    }
    tooth_view *tooth = calloc(1, sizeof *tooth);
    if (!tooth) {
        frame_say(con, "Out of memory.");
        return;
    }
    chart->steps = 0; /* a tooth over time is looked at from its check-up */
    tooth->chart = chart;
    tooth->component = tooth_first_component(chart, chart->cursor);
    look_for_notes(con, tooth);
    frame_open(con, &OPS, tooth);
}
