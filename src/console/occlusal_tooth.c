/* The selected tooth beside the arches: its numbers one below the other, and its words. */
#include "occlusal_view.h"

#include "chart_ahead.h"
#include "words.h"

#include <math.h>
#include <stdio.h>

enum { PLANNED_COL = 13, ESTIMATE_COL = 20, TO_GO_COL = 27, CODE_COL = 33, NUMBER_COLS = 6 };

static void draw_number(const theme *look, int row, int col, double value, int decimals,
                        bool is_signed) {
    char text[40];
    words_number(look, value, decimals, is_signed, NUMBER_COLS, text, sizeof text);
    put(look, row, col, NUMBER_COLS, isnan(value) ? STYLE_FAINT : STYLE_PLAIN, text);
}

static void draw_to_go(const theme *look, mc_tooth tooth, mc_component c, double by, int row,
                       int col) {
    char code[16];
    int decimals = words_decimals(c);
    draw_number(look, row, col + TO_GO_COL - 1, fabs(by), decimals, false);
    if (isnan(by) || fabs(by) < pow(10, -decimals) / 2)
        return;
    words_code(look, (int)c, tooth, by > 0 ? 1 : -1, code);
    put(look, row, col + CODE_COL, 3, STYLE_PLAIN, code);
}

static void draw_component(const console *con, const chart_view *chart, mc_component c, int row,
                           int col) {
    const theme *look = &con->theme;
    mc_tooth tooth = chart->cursor;
    const mc_tooth_score *score = chart_score(chart, tooth);
    const mc_item *item = score ? &score->item[c] : NULL;
    bool ahead = chart->steps != 0, worst = !ahead && score && score->worst == (int)c;
    int decimals = words_decimals(c);
    double planned =
        ahead ? chart_ahead_planned(con, chart, tooth, c) : chart_planned(con, chart, tooth, c);
    double estimate = item && item->followed ? item->mean : NAN;
    put_format(look, row, col + 1, PLANNED_COL - 1, worst ? STYLE_WORST : STYLE_PLAIN, "%s",
               words_item((int)c));
    draw_number(look, row, col + PLANNED_COL, planned, decimals, true);
    draw_number(look, row, col + ESTIMATE_COL, estimate, decimals, true);
    draw_to_go(look, tooth, c, planned - estimate, row, col);
}

/* The seat gap has no plan: it is what it is, and goes to nought. */
static void draw_gap(const console *con, const chart_view *chart, int row, int col) {
    const mc_tooth_score *score = chart_score(chart, chart->cursor);
    bool worst = chart->steps == 0 && score && score->worst == MC_WORST_SEAT_GAP;
    put(&con->theme, row, col + 1, PLANNED_COL - 1, worst ? STYLE_WORST : STYLE_PLAIN,
        words_item(MC_WORST_SEAT_GAP));
    draw_number(&con->theme, row, col + ESTIMATE_COL, score ? score->seat_gap : NAN, 2, false);
}

void occlusal_draw_table(const console *con, const chart_view *chart, area box) {
    if (chart->cursor == MC_NO_TOOTH)
        return;
    put_format(&con->theme, box.row, box.col + 1, box.cols - 1, STYLE_HEADING, "%-12s%6s%7s%7s",
               "mm, deg", "plan", "is", chart->steps != 0 ? "to go" : "off");
    draw_gap(con, chart, box.row + 1, box.col);
    for (int c = 0; c < MC_COMPONENTS; c++)
        draw_component(con, chart, (mc_component)c, box.row + 2 + c, box.col);
}

static bool in_plane(int item) {
    return item == MC_MESIAL || item == MC_BUCCAL || item == MC_ROTATION;
}

/* What is not seen in the drawing, or is seen otherwise than it is. */
static void say_unseen(const chart_view *chart, char *out, size_t size) {
    mc_tooth tooth = chart->cursor;
    const mc_tooth_score *score = chart_score(chart, tooth);
    const arch_tooth *drawn = &chart->crowns.picture.tooth[tooth];
    bool off = score && score->worst != MC_WORST_NONE && !in_plane(score->worst) &&
               score->state != MC_STATE_ON_PLAN && score->state != MC_STATE_SEATED;
    out[0] = '\0';
    if (!drawn->wanted.stands)
        words_add(out, size, "Not drawn: where its crown stands is not known. ");
    else if (!drawn->now.stands)
        words_add(out, size, "Where it is was not read: drawn dotted, where the plan wants it. ");
    if (off && chart->steps == 0)
        words_add(out, size, "%s does not show from this side. ",
                  score->worst == MC_WORST_SEAT_GAP ? "The seat gap"
                  : score->worst == MC_OCCLUSAL     ? "Extrusion and intrusion"
                  : score->worst == MC_ANGULATION   ? "Its angulation"
                                                    : "Its inclination");
}

void occlusal_draw_sentence(const console *con, const chart_view *chart, area box) {
    char text[1800] = "", rest[1500] = "";
    area inside = {box.row, box.col + 1, box.rows, box.cols - 2};
    if (chart->cursor == MC_NO_TOOTH) {
        chart_statement(chart, text, sizeof text);
        put_wrapped(&con->theme, inside, STYLE_PLAIN, text);
        return;
    }
    if (!chart->a->has_plan)
        return;
    say_unseen(chart, text, sizeof text);
    int taken = text[0] ? put_wrapped(&con->theme, inside, STYLE_STRONG, text) : 0;
    area left = {inside.row + taken, inside.col, inside.rows - taken, inside.cols};
    if (chart->steps != 0)
        chart_ahead_sentence(con, chart, chart->cursor, rest, sizeof rest);
    else
        chart_brief(con, chart, chart->cursor, left.rows, left.cols, rest, sizeof rest);
    put_wrapped(&con->theme, left, STYLE_PLAIN, rest);
}
