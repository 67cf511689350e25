/* The arches: a column for each place, four rows for each tooth. Number and state stand at the
 * line where the arches meet; away from it follow lag index, worst item, and the marks. */
#include "chart_ahead.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ROW_NUMBER, ROW_LAG, ROW_ITEM, ROW_MARKS };

/* The screen's row of one of the four, counted from the meeting line outwards. */
static int row_of(mc_arch arch, area box, int which) {
    return arch == MC_UPPER ? box.row + ARCH_ROWS - 1 - which : box.row + which;
}

/* A number in a column of two: without its quadrant in the quadrant notation, which the line
 * between the arches names. */
static void number_text(mc_notation notation, mc_tooth tooth, char out[4]) {
    tooth_text full = words_tooth(notation, tooth);
    const char *short_text = full.text;
    if (notation == MC_NOTATION_QUADRANT)
        short_text += strlen(full.text) - 1;
    snprintf(out, 4, "%.3s", short_text);
}

static void draw_gap(const console *con, mc_arch arch, area box, int col) {
    put(&con->theme, row_of(arch, box, ROW_NUMBER), col, 3, STYLE_FAINT, "( )");
}

/* "2.1", " 12", ">99": three columns. */
static void lag_text(const theme *look, double lag, char *out, size_t size) {
    enum { MOST_SHOWN = 99 };
    if (isnan(lag))
        snprintf(out, size, " %s", theme_mark(look, MARK_NOT_READ));
    else if (lag > MOST_SHOWN + 0.5)
        snprintf(out, size, ">%d", MOST_SHOWN);
    else
        snprintf(out, size, lag < 9.95 ? "%3.1f" : "%3.0f", lag);
}

/* Attachment or "not to be moved", care, mobility: a column each. */
static void draw_marks(const console *con, const chart_view *chart, mc_tooth tooth, int row,
                       int col) {
    const theme *look = &con->theme;
    const mc_tooth_score *score = chart_score(chart, tooth);
    double stage = chart_stage(con, chart, mc_tooth_arch(tooth));
    bool fixed = !mc_tooth_may_move(chart->a->states[tooth]);
    bool planned =
        chart->a->has_plan && !isnan(stage) && mc_plan_attachment(chart->a->plan, tooth, stage);
    mc_attachment attachment = score ? score->attachment : MC_ATTACHMENT_UNSAID;
    bool loose = attachment == MC_ATTACHMENT_LOOSE || attachment == MC_ATTACHMENT_LOST;
    if (fixed)
        put(look, row, col, 1, STYLE_PLAIN, theme_mark(look, MARK_FIXED));
    else if (planned || attachment != MC_ATTACHMENT_UNSAID)
        put(look, row, col, 1,
            loose                                ? STYLE_STRONG
            : attachment == MC_ATTACHMENT_UNSAID ? STYLE_FAINT
                                                 : STYLE_PLAIN,
            theme_mark(look, mark_of_attachment(attachment)));
    if (score && chart_care(score))
        put(look, row, col + 1, 1, STYLE_CARE, theme_mark(look, MARK_CARE));
    else if (chart_ends_outside(chart, tooth))
        put(look, row, col + 1, 1, STYLE_STRONG, theme_mark(look, MARK_ENDS_OUT));
    if (score && score->mobility >= 0)
        put_format(look, row, col + 2, 1, score->mobility > 0 ? STYLE_STRONG : STYLE_PLAIN, "%d",
                   score->mobility);
    else
        put(look, row, col + 2, 1, STYLE_FAINT, theme_mark(look, MARK_NOT_READ));
}

/* What the plan asks at the stage looked at: a column each as above, but no state and no index. */
static void draw_ahead_marks(const console *con, const chart_view *chart, mc_tooth tooth, int row,
                             int col) {
    const theme *look = &con->theme;
    double stage = chart_ahead_stage(con, chart, mc_tooth_arch(tooth));
    mc_mark due = chart_ahead_mark(con, chart, tooth);
    if (!mc_tooth_may_move(chart->a->states[tooth]))
        put(look, row, col, 1, STYLE_PLAIN, theme_mark(look, MARK_FIXED));
    else if (due != MC_MARK_NONE)
        put(look, row, col, 1, STYLE_STRONG,
            theme_mark(look, due == MC_MARK_PLACED ? MARK_PLACED : MARK_REMOVED));
    else if (!isnan(stage) && mc_plan_attachment(chart->a->plan, tooth, stage))
        put(look, row, col, 1, STYLE_FAINT, theme_mark(look, MARK_PLANNED));
    if (chart_ahead_ipr(con, chart, tooth, true) > 0 ||
        chart_ahead_ipr(con, chart, tooth, false) > 0)
        put(look, row, col + 1, 1, STYLE_STRONG, theme_mark(look, MARK_IPR));
}

static void draw_ahead(const console *con, const chart_view *chart, mc_tooth tooth, area box,
                       int col) {
    const theme *look = &con->theme;
    mc_arch arch = mc_tooth_arch(tooth);
    bool moves = chart_ahead_moves(con, chart, tooth);
    style ink = moves ? STYLE_PLAIN : STYLE_FAINT;
    int furthest = chart_ahead_furthest(con, chart, tooth);
    double to_go = furthest == MC_WORST_NONE
                       ? NAN
                       : chart_ahead_to_go(con, chart, tooth, (mc_component)furthest);
    char text[16];
    number_text(con->notation, tooth, text);
    int row = row_of(arch, box, ROW_NUMBER);
    put_format(look, row, col, 2, ink, "%2s", text);
    if (moves)
        put(look, row, col + 2, 1, ink, theme_mark(look, MARK_MOVES));
    lag_text(look, fabs(to_go), text, sizeof text);
    put(look, row_of(arch, box, ROW_LAG), col, 3, ink, text);
    words_code(look, furthest, tooth, to_go > 0 ? 1 : to_go < 0 ? -1 : 0, text);
    put(look, row_of(arch, box, ROW_ITEM), col, 3, ink, text);
    draw_ahead_marks(con, chart, tooth, row_of(arch, box, ROW_MARKS), col);
}

/* A tooth that does not matter now: its number alone, so that its place is not taken for a gap. */
static void draw_hidden(const console *con, mc_tooth tooth, area box, int col) {
    char text[4];
    number_text(con->notation, tooth, text);
    put_format(&con->theme, row_of(mc_tooth_arch(tooth), box, ROW_NUMBER), col, 2, STYLE_FAINT,
               "%2s", text);
}

static void draw_tooth(const console *con, const chart_view *chart, mc_tooth tooth, area box,
                       int col) {
    const theme *look = &con->theme;
    mc_arch arch = mc_tooth_arch(tooth);
    const mc_tooth_score *score = chart_score(chart, tooth);
    mc_state state = chart_state(chart, tooth);
    style ink = style_of_state(state);
    char text[16];
    number_text(con->notation, tooth, text);
    int row = row_of(arch, box, ROW_NUMBER);
    put_format(look, row, col, 2, ink, "%2s", text);
    put(look, row, col + 2, 1, ink, theme_mark(look, mark_of_state(state)));
    lag_text(look, score ? score->lag_index : NAN, text, sizeof text);
    put(look, row_of(arch, box, ROW_LAG), col, 3, ink, text);
    int item = score ? score->worst : MC_WORST_NONE;
    words_code(look, item, tooth, score ? words_way_to_plan(score, item) : 0, text);
    bool matters = state != MC_STATE_ON_PLAN && state != MC_STATE_SEATED;
    put(look, row_of(arch, box, ROW_ITEM), col, 3, matters ? ink : STYLE_FAINT, text);
    draw_marks(con, chart, tooth, row_of(arch, box, ROW_MARKS), col);
}

static void draw_place(const console *con, const chart_view *chart, mc_arch arch, int place,
                       area box) {
    mc_tooth permanent, deciduous;
    int col = box.col + CELL_COLS * place;
    chart_place(chart, arch, place, &permanent, &deciduous);
    bool both = permanent != MC_NO_TOOTH && deciduous != MC_NO_TOOTH;
    bool on_deciduous = deciduous != MC_NO_TOOTH && chart->cursor == deciduous;
    mc_tooth tooth = permanent == MC_NO_TOOTH || on_deciduous ? deciduous : permanent;
    if (tooth == MC_NO_TOOTH) {
        draw_gap(con, arch, box, col);
        return;
    }
    if (chart_hides(con, chart, tooth))
        draw_hidden(con, tooth, box, col);
    else if (chart->steps != 0)
        draw_ahead(con, chart, tooth, box, col);
    else
        draw_tooth(con, chart, tooth, box, col);
    if (both) {
        mc_state other = chart->steps != 0
                             ? MC_STATE_UNMEASURED
                             : chart_state(chart, on_deciduous ? permanent : deciduous);
        put(&con->theme, row_of(arch, box, ROW_NUMBER), col + 3, 1, style_of_state(other),
            theme_mark(&con->theme, MARK_SECOND));
    }
    /* the row of its number alone: the others keep their colours, and a move of the cursor is a
     * quarter shorter */
    if (tooth == chart->cursor)
        paint_over(&con->theme, (area){row_of(arch, box, ROW_NUMBER), col, 1, CELL_COLS - 1},
                   STYLE_SELECTED);
}

/* What the row of indices is, in a place at the end where no tooth stands: right below "gap" an
 * index of 0.9 would be taken for 0.9 mm. */
static void draw_lag_name(const console *con, const chart_view *chart, mc_arch arch, area box) {
    static const int ends[] = {0, ARCH_PLACES - 1};
    if (chart->steps != 0 || !chart->a->score)
        return;
    for (int i = 0; i < 2; i++) {
        mc_tooth permanent, deciduous;
        chart_place(chart, arch, ends[i], &permanent, &deciduous);
        if (permanent != MC_NO_TOOTH || deciduous != MC_NO_TOOTH)
            continue;
        put(&con->theme, row_of(arch, box, ROW_LAG), box.col + CELL_COLS * ends[i], 3, STYLE_FAINT,
            "lag");
        return;
    }
}

void chart_draw_arch(const console *con, const chart_view *chart, mc_arch arch, area box) {
    const theme *look = &con->theme;
    int midline = box.col + CELL_COLS * (ARCH_PLACES / 2) - 1;
    for (int row = 0; row < ARCH_ROWS; row++)
        put(look, box.row + row, midline, 1, STYLE_FAINT, theme_mark(look, MARK_MIDLINE));
    for (int place = 0; place < ARCH_PLACES; place++)
        draw_place(con, chart, arch, place, box);
    draw_lag_name(con, chart, arch, box);
}

/* "▼ 1 behind  ▽ 3 slipping  ...", or without the words where they would not fit. */
static void counts_text(const theme *look, const mc_score *score, bool words, char *out,
                        size_t size) {
    static const mc_state order[] = {MC_STATE_STALLED,   MC_STATE_BEHIND,    MC_STATE_DRIFTING,
                                     MC_STATE_PAST_PLAN, MC_STATE_SLIPPING,  MC_STATE_SEATED,
                                     MC_STATE_ON_PLAN,   MC_STATE_UNMEASURED};
    out[0] = '\0';
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        size_t used = strlen(out);
        if (score->count[order[i]] > 0)
            snprintf(out + used, size - used, "%s%s %d%s%s", used ? "  " : "",
                     theme_mark(look, mark_of_state(order[i])), score->count[order[i]],
                     words ? " " : "", words ? mc_state_word(order[i]) : "");
    }
}

/* At the right end of the line between the arches: what must not be forgotten meanwhile. */
static void draw_reminder(const theme *look, const chart_view *chart, area box) {
    char text[60] = "";
    if (chart->only_off)
        snprintf(text, sizeof text, " some hidden: m ");
    else if (chart->entering > 0)
        snprintf(text, sizeof text, " check-up %d is open: e ", chart->entering);
    if ((int)strlen(text) <= box.cols)
        put_right(look, box.row, box.col, box.cols, STYLE_CARE, text);
}

void chart_draw_rule(const console *con, const chart_view *chart, area box) {
    const theme *look = &con->theme;
    bool quadrants = con->notation == MC_NOTATION_QUADRANT;
    char counts[200] = "";
    int midline = box.col + CELL_COLS * (ARCH_PLACES / 2) - 1;
    put_line(look, box.row, box.col, ARCH_COLS, STYLE_FAINT);
    put(look, box.row, midline, 1, STYLE_FAINT, theme_mark(look, MARK_CROSSING));
    const char *right = quadrants ? "UR LR " : "R ", *left = quadrants ? " UL LL" : " L";
    int room = ARCH_COLS - (int)strlen(right) - (int)strlen(left);
    put(look, box.row, box.col, 6, STYLE_PLAIN, right);
    put_right(look, box.row, box.col, ARCH_COLS, STYLE_PLAIN, left);
    if (chart->steps != 0) {
        char name[40];
        chart_ahead_name(con, chart, name, sizeof name);
        snprintf(counts, sizeof counts, "the plan at %s, %s: 0 goes back ", name,
                 chart_ahead_way(chart));
        put(look, box.row, box.col + (int)strlen(right), room, STYLE_CARE, counts);
        return;
    }
    if (!chart->a->score) {
        draw_reminder(look, chart, (area){box.row, box.col + (int)strlen(right), 1, room});
        return;
    }
    counts_text(look, chart->a->score, true, counts, sizeof counts - 1);
    if (mc_text_width(counts, look->ascii) + 1 > room)
        counts_text(look, chart->a->score, false, counts, sizeof counts - 1);
    strcat(counts, " ");
    int used = put(look, box.row, box.col + (int)strlen(right), room, STYLE_PLAIN, counts);
    draw_reminder(look, chart,
                  (area){box.row, box.col + (int)strlen(right) + used, 1, room - used});
}
