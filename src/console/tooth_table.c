/* The check-ups of one component in a table, the latest first. */
#include "tooth_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WIDTH = 6, SPREAD_COLS = 4, STATE_COLS = 12 };

/* Where the columns begin; those from `gap` on where there is room for them. */
enum {
    CHECKUP = 1,
    STAGE = 16,
    PLANNED = 22,
    OBSERVED = 30,
    ESTIMATE = 42,
    SHORTFALL = 54,
    BEYOND = 62,
    STATE = 68,
    GAP = 81,
    ATTACHMENT = 89,
    MOBILITY = 101,
    NOTE = 111
};

/* Those that every screen shows, and more where they fit. */
static bool has_room(int col, area box) {
    enum { LEAST = 11 };
    return col <= STATE || col + LEAST <= box.cols;
}

static void draw_headings(const theme *look, area box) {
    static const struct {
        int col;
        const char *name;
    } headings[] = {{CHECKUP, "check-up"},      {STAGE, "stage"},       {PLANNED, "planned"},
                    {OBSERVED, "observed"},     {ESTIMATE, "estimate"}, {SHORTFALL, "shortfall"},
                    {BEYOND + 2, "off"},        {STATE, "state"},       {GAP, "gap mm"},
                    {ATTACHMENT, "attachment"}, {MOBILITY, "mobility"}, {NOTE, "note"}};
    for (size_t i = 0; i < sizeof headings / sizeof *headings; i++)
        if (has_room(headings[i].col, box))
            put(look, box.row, box.col + headings[i].col, box.cols - headings[i].col, STYLE_HEADING,
                headings[i].name);
}

/* A number, and its spread where there is one. */
static void draw_number(const theme *look, double value, double sd, mc_component c, int row,
                        int col) {
    char number[40], spread[16];
    words_number(look, value, words_decimals(c), true, WIDTH, number, sizeof number);
    put(look, row, col, WIDTH, STYLE_PLAIN, number);
    if (isnan(value) || isnan(sd))
        return;
    words_spread(look, sd, words_decimals(c), spread);
    put(look, row, col + WIDTH, SPREAD_COLS, STYLE_PLAIN, spread);
}

static void draw_wide(const console *con, const tooth_view *tooth, const mc_score *score, int row,
                      area box) {
    const theme *look = &con->theme;
    const mc_tooth_score *t = &score->tooth[tooth->chart->cursor];
    const char *none = theme_mark(look, MARK_NOT_READ), *note = tooth_note(tooth, score->number);
    char number[40];
    if (!has_room(GAP, box))
        return;
    words_number(look, t->seat_gap, 2, false, WIDTH - 1, number, sizeof number);
    put(look, row, box.col + GAP, WIDTH, STYLE_PLAIN, number);
    if (!has_room(ATTACHMENT, box))
        return;
    put(look, row, box.col + ATTACHMENT, MOBILITY - ATTACHMENT - 1, STYLE_PLAIN,
        t->attachment == MC_ATTACHMENT_UNSAID ? none : mc_attachment_name(t->attachment));
    if (!has_room(MOBILITY, box))
        return;
    snprintf(number, sizeof number, "%d", t->mobility);
    put(look, row, box.col + MOBILITY, NOTE - MOBILITY - 1, STYLE_PLAIN,
        t->mobility < 0 ? none : number);
    if (has_room(NOTE, box))
        put(look, row, box.col + NOTE, box.cols - NOTE, STYLE_PLAIN, note[0] ? note : none);
}

static void draw_checkup(const console *con, const tooth_view *tooth, const mc_score *score,
                         int row, area box) {
    const theme *look = &con->theme;
    const chart_view *chart = tooth->chart;
    mc_component c = (mc_component)tooth_component(tooth);
    const mc_tooth_score *t = &score->tooth[chart->cursor];
    const mc_item *item = &t->item[c];
    double stage = score->effective_stage[mc_tooth_arch(chart->cursor)];
    char day[11], number[40];
    mc_day_text(score->date, day);
    put_format(look, row, box.col + CHECKUP, STAGE - CHECKUP, STYLE_PLAIN, "%3d %s", score->number,
               day);
    words_number(look, stage, 1, false, WIDTH - 1, number, sizeof number);
    put(look, row, box.col + STAGE, WIDTH, STYLE_PLAIN, number);
    double planned = isnan(stage) ? NAN : mc_plan_at(chart->a->plan, chart->cursor, c, stage);
    draw_number(look, planned, NAN, c, row, box.col + PLANNED);
    draw_number(look, item->read ? item->observed : NAN, item->sd, c, row, box.col + OBSERVED);
    draw_number(look, item->followed ? item->mean : NAN, item->sd_x, c, row, box.col + ESTIMATE);
    draw_number(look, item->read ? item->shortfall : NAN, NAN, c, row, box.col + SHORTFALL);
    if (item->read)
        put_format(look, row, box.col + BEYOND, 5, STYLE_PLAIN,
                   item->p > 0.995 ? " >99%%" : "%4.0f%%", 100 * item->p);
    put_format(look, row, box.col + STATE, STATE_COLS, style_of_state(t->state), "%s %s",
               theme_mark(look, mark_of_state(t->state)), mc_state_word(t->state));
    draw_wide(con, tooth, score, row, box);
}

void tooth_draw_table(const console *con, const tooth_view *tooth, area box) {
    const theme *look = &con->theme;
    const mc_assessment *a = tooth->chart->a;
    size_t first = tooth_first_on_plan(tooth->chart);
    int count = (int)(a->checkups - first), room = box.rows - 1;
    draw_headings(look, box);
    if (count == 0)
        put(look, box.row + 1, box.col + CHECKUP, box.cols - CHECKUP, STYLE_PLAIN,
            "none on this plan");
    bool cut = count > room;
    for (int i = 0; i < count && i < room - cut; i++)
        draw_checkup(con, tooth, &a->scores[a->checkups - 1 - (size_t)i], box.row + 1 + i, box);
    if (cut)
        put_format(look, box.row + box.rows - 1, box.col + CHECKUP, box.cols - CHECKUP, STYLE_FAINT,
                   "and %d earlier", count - room + 1);
}
