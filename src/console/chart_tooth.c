/* The tooth under the cursor: its heading and its table, planned over observed over estimate, so
 * that what is compared stands one above the other. */
#include "chart_ahead.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Columns of the table: the seat gap, then the components in their order. */
enum { GAP = 0, FIRST_COMPONENT = 1, COLUMNS = FIRST_COMPONENT + MC_COMPONENTS };
enum { LABEL_COLS = 10 };

/* Where a column begins, how far its decimal point stands from there. */
static const struct {
    int col, point;
    const char *heading;
} COLUMN[COLUMNS] = {
    {10, 2, "gap mm"},   {17, 2, "mesial mm"}, {27, 2, "buccal mm"}, {37, 2, "occl. mm"},
    {47, 3, "rot. deg"}, {58, 3, "ang. deg"},  {69, 3, "incl. deg"},
};
enum { NOTE_COLS = 4, WORD_COLS = 9 };

/* One cell: a number whose point stands under those above, and a short note behind it. */
typedef struct table_cell {
    double value;
    int decimals;
    bool is_signed;
    style ink;
    char note[16];
    bool joined; /* the note follows the number without a blank */
} table_cell;

typedef struct table_context {
    const console *con;
    const chart_view *chart;
    const mc_tooth_score *score; /* NULL where no check-up is shown */
    mc_tooth tooth;
} table_context;

static const mc_item *item_of(const table_context *t, int column) {
    return t->score && column != GAP ? &t->score->item[column - FIRST_COMPONENT] : NULL;
}

static bool was_read(const table_context *t, int column) {
    if (column == GAP)
        return t->score && !isnan(t->score->seat_gap);
    const mc_item *item = item_of(t, column);
    return item && item->read;
}

static void planned(const table_context *t, int column, table_cell *cell) {
    if (column == GAP)
        cell->value = 0; /* an aligner is planned to seat */
    else
        cell->value =
            chart_planned(t->con, t->chart, t->tooth, (mc_component)(column - FIRST_COMPONENT));
    if (fabs(cell->value) < 1e-9)
        cell->ink = STYLE_FAINT;
}

static void observed(const table_context *t, int column, table_cell *cell) {
    const mc_item *item = item_of(t, column);
    if (column == GAP && t->score)
        cell->value = t->score->seat_gap;
    if (!item || !item->read)
        return;
    cell->value = item->observed;
    if (item->readings > 1)
        snprintf(cell->note, sizeof cell->note, "%s%d", theme_mark(&t->con->theme, MARK_TIMES),
                 item->readings);
}

static void estimate(const table_context *t, int column, table_cell *cell) {
    const mc_item *item = item_of(t, column);
    if (!item || !item->followed)
        return;
    cell->value = item->mean;
    words_spread(&t->con->theme, item->sd_x, cell->decimals, cell->note);
    cell->joined = true;
    if (!item->read)
        cell->ink = STYLE_FAINT;
}

static void to_plan(const table_context *t, int column, table_cell *cell) {
    const mc_item *item = item_of(t, column);
    if (column == GAP && was_read(t, column))
        cell->value = t->score->seat_gap;
    if (!item || !item->read)
        return;
    int component = column - FIRST_COMPONENT;
    char code[16];
    cell->value = fabs(item->planned - item->mean);
    cell->is_signed = false;
    words_code(&t->con->theme, component, t->tooth, words_way_to_plan(t->score, component), code);
    snprintf(cell->note, sizeof cell->note, "%s", code);
}

static void shortfall(const table_context *t, int column, table_cell *cell) {
    const mc_item *item = item_of(t, column);
    if (item && item->read)
        cell->value = item->shortfall;
}

static void kind(const table_context *t, int column, table_cell *cell) {
    const mc_item *item = item_of(t, column);
    mc_kind found = column == GAP && was_read(t, column) ? t->score->seat_kind
                    : item && item->read                 ? item->kind
                                                         : MC_KIND_NONE;
    cell->decimals = -1;
    if (found != MC_KIND_NONE)
        snprintf(cell->note, sizeof cell->note, "%.8s", mc_kind_name(found));
}

static void tolerance(const table_context *t, int column, table_cell *cell) {
    const mc_settings *settings = &t->chart->a->settings;
    bool linear = column != GAP && mc_component_is_linear((mc_component)(column - FIRST_COMPONENT));
    cell->is_signed = false;
    cell->ink = STYLE_FAINT;
    cell->value = column == GAP ? settings->tolerance_gap_mm
                  : linear      ? settings->tolerance_mm
                                : settings->tolerance_deg;
}

static void sure(double p, table_cell *cell) {
    snprintf(cell->note, sizeof cell->note, p > 0.995 ? ">99%%" : "%.0f%%", 100 * p);
}

static void index_and_sure(const table_context *t, int column, table_cell *cell) {
    const mc_item *item = item_of(t, column);
    cell->decimals = 2;
    cell->is_signed = false;
    if (column == GAP && was_read(t, column))
        cell->value = t->score->seat_index;
    if (!item || !item->read)
        return;
    cell->value = item->index;
    sure(item->p, cell);
}

static void weight(const table_context *t, int column, table_cell *cell) {
    const mc_item *item = item_of(t, column);
    cell->is_signed = false;
    cell->decimals = 2;
    if (column == GAP && was_read(t, column))
        cell->value = t->score->risk_weight;
    if (item && item->read)
        cell->value = item->weight;
}

/* Where it will be at the last stage, and how likely that is outside. */
static void at_the_end(const table_context *t, int column, table_cell *cell) {
    if (column == GAP)
        return;
    const mc_component_forecast *f =
        chart_component_end(t->chart, t->tooth, (mc_component)(column - FIRST_COMPONENT));
    if (!f)
        return;
    cell->value = f->end;
    sure(f->p_out, cell);
}

/* ---- at another stage ---- */

static void planned_ahead(const table_context *t, int column, table_cell *cell) {
    cell->value = column == GAP ? 0
                                : chart_ahead_planned(t->con, t->chart, t->tooth,
                                                      (mc_component)(column - FIRST_COMPONENT));
    if (fabs(cell->value) < 1e-9)
        cell->ink = STYLE_FAINT;
}

/* An amount and the way it goes. */
static void amount_and_way(const table_context *t, int column, double value, table_cell *cell) {
    int component = column - FIRST_COMPONENT;
    char code[16];
    bool nought = fabs(value) < (cell->decimals == 2 ? 0.005 : 0.05);
    cell->value = fabs(value);
    cell->is_signed = false;
    if (isnan(value) || nought)
        return;
    words_code(&t->con->theme, component, t->tooth, value > 0 ? 1 : -1, code);
    snprintf(cell->note, sizeof cell->note, "%s", code);
}

static void to_go_ahead(const table_context *t, int column, table_cell *cell) {
    if (column != GAP)
        amount_and_way(
            t, column,
            chart_ahead_to_go(t->con, t->chart, t->tooth, (mc_component)(column - FIRST_COMPONENT)),
            cell);
}

static void next_ahead(const table_context *t, int column, table_cell *cell) {
    if (column != GAP)
        amount_and_way(
            t, column,
            chart_ahead_next(t->con, t->chart, t->tooth, (mc_component)(column - FIRST_COMPONENT)),
            cell);
}

typedef struct table_row {
    const char *label;
    void (*fill)(const table_context *t, int column, table_cell *cell);
    bool always; /* in the short table too */
} table_row;

static const table_row ROWS[] = {
    {"planned", planned, true},      {"observed", observed, true},    {"estimate", estimate, true},
    {"to plan", to_plan, true},      {"shortfall", shortfall, false}, {"kind", kind, false},
    {"tolerance", tolerance, false}, {"index", index_and_sure, true}, {"weight", weight, false},
    {"at end", at_the_end, false},
};
enum { ROW_COUNT = sizeof ROWS / sizeof *ROWS };

static const table_row AHEAD_ROWS[] = {{"planned", planned_ahead, true},
                                       {"observed", observed, true},
                                       {"estimate", estimate, true},
                                       {"to go", to_go_ahead, true},
                                       {"next", next_ahead, true}};
enum { AHEAD_ROW_COUNT = sizeof AHEAD_ROWS / sizeof *AHEAD_ROWS };

static void draw_cell(const theme *look, int row, int left, int column, const table_cell *cell) {
    int col = left + COLUMN[column].col;
    char number[40];
    if (cell->decimals < 0) { /* a word only */
        put(look, row, col, WORD_COLS, cell->ink, cell->note);
        return;
    }
    int width = COLUMN[column].point + 1 + cell->decimals;
    words_number(look, cell->value, cell->decimals, cell->is_signed, width, number, sizeof number);
    put(look, row, col, width, isnan(cell->value) ? STYLE_FAINT : cell->ink, number);
    put(look, row, col + width + (cell->joined ? 0 : 1), NOTE_COLS, cell->ink, cell->note);
}

static void draw_table_row(const table_context *t, const table_row *row, int line, int col) {
    put(&t->con->theme, line, col + 1, LABEL_COLS - 1, STYLE_PLAIN, row->label);
    for (int column = 0; column < COLUMNS; column++) {
        bool angle = column != GAP && !mc_component_is_linear((mc_component)(column - 1));
        table_cell cell = {.value = NAN,
                           .decimals = angle ? 1 : 2,
                           .is_signed = column != GAP,
                           .ink = STYLE_PLAIN};
        row->fill(t, column, &cell);
        draw_cell(&t->con->theme, line, col, column, &cell);
    }
}

void chart_draw_table(const console *con, const chart_view *chart, area box, bool full) {
    if (chart->cursor == MC_NO_TOOTH)
        return;
    table_context t = {con, chart, chart_score(chart, chart->cursor), chart->cursor};
    for (int column = 0; column < COLUMNS; column++) {
        bool worst = chart->steps == 0 && t.score && t.score->worst == column - FIRST_COMPONENT;
        put(&con->theme, box.row, box.col + COLUMN[column].col, WORD_COLS,
            worst ? STYLE_WORST : STYLE_HEADING, COLUMN[column].heading);
    }
    const table_row *rows = chart->steps != 0 ? AHEAD_ROWS : ROWS;
    int count = chart->steps != 0 ? AHEAD_ROW_COUNT : ROW_COUNT, line = box.row + 1;
    for (int i = 0; i < count && line < box.row + box.rows; i++)
        if (full || rows[i].always)
            draw_table_row(&t, &rows[i], line++, box.col);
}

void chart_draw_heading(const console *con, const chart_view *chart, area box) {
    const theme *look = &con->theme;
    mc_tooth tooth = chart->cursor;
    if (tooth == MC_NO_TOOTH) {
        put_heading(look, box.row, box.col, box.cols, "No tooth stands");
        return;
    }
    const mc_tooth_score *score = chart_score(chart, tooth);
    char text[200], state[80] = "", lag[40] = "";
    int since = chart->a->behind_since[tooth];
    snprintf(text, sizeof text, "%s %s", words_tooth(con->notation, tooth).text,
             mc_tooth_name(tooth));
    put_heading(look, box.row, box.col, box.cols, text);
    if (chart->steps != 0) {
        char name[40];
        chart_ahead_name(con, chart, name, sizeof name);
        put_format(look, box.row, box.col + 2 + (int)strlen(text) + 3,
                   box.cols - (int)strlen(text) - 5, STYLE_CARE, " the plan at %s ", name);
        return;
    }
    mc_state is = chart_state(chart, tooth);
    snprintf(state, sizeof state, since > 0 ? " %s %s since check-up %d " : " %s %s ",
             theme_mark(look, mark_of_state(is)), mc_state_word(is), since);
    int col = box.col + 2 + (int)strlen(text) + 3;
    int end = box.col + box.cols;
    col += put(look, box.row, col, end - col, style_of_state(is), state) + 1;
    if (score && !isnan(score->lag_index))
        snprintf(lag, sizeof lag, " lag index %.2f ", score->lag_index);
    col += put(look, box.row, col, end - col, STYLE_PLAIN, lag);
    if (score && score->risk_weight > 1)
        snprintf(lag, sizeof lag, "%s(weight %.2f) ", lag[0] ? "" : " ", score->risk_weight);
    else
        lag[0] = '\0';
    if (col + (int)strlen(lag) <= end)
        put(look, box.row, col, end - col, STYLE_PLAIN, lag);
}
