/* The roster's columns. */
#include "roster_columns.h"

#include "words.h"

#include <math.h>
#include <stdio.h>

enum { CELL_SIZE = 400 };
typedef struct roster_cell {
    char text[CELL_SIZE];
    style style;
    bool right; /* numbers stand at the right end */
} roster_cell;

typedef struct column {
    const char *heading;
    int width; /* with the blank after it; 0: what is left, up to `most` */
    int most;
    int from; /* only on a terminal at least this wide */
    void (*fill)(const console *con, const mc_roster_row *row, roster_cell *cell);
} column;

static void fill_chart(const console *con, const mc_roster_row *row, roster_cell *cell) {
    (void)con;
    mc_case_label(&row->kase, cell->text);
}

static void fill_name(const console *con, const mc_roster_row *row, roster_cell *cell) {
    snprintf(cell->text, sizeof cell->text, "%s", frame_name(con, &row->kase));
}

/* "12/24"; without the series' end where that would not fit, "-" without a series. */
static void fill_aligner(const mc_roster_row *row, mc_arch arch, roster_cell *cell) {
    int k = row->aligner[arch], n = row->stages[arch];
    if (k == MC_NO_ALIGNER || n == 0)
        snprintf(cell->text, sizeof cell->text, "%3s", "-");
    else if (n < 100)
        snprintf(cell->text, sizeof cell->text, "%2d/%d", k, n);
    else
        snprintf(cell->text, sizeof cell->text, "%3d", k);
}

static void fill_upper(const console *con, const mc_roster_row *row, roster_cell *cell) {
    (void)con;
    fill_aligner(row, MC_UPPER, cell);
}

static void fill_lower(const console *con, const mc_roster_row *row, roster_cell *cell) {
    (void)con;
    fill_aligner(row, MC_LOWER, cell);
}

static void fill_worst(const console *con, const mc_roster_row *row, roster_cell *cell) {
    char code[16];
    if (row->worst == MC_NO_TOOTH)
        return;
    words_code(&con->theme, row->worst_item, row->worst, row->worst_way, code);
    bool known = row->worst_way != 0 || row->worst_item == MC_WORST_SEAT_GAP;
    snprintf(cell->text, sizeof cell->text, "%s %s", words_tooth(con->notation, row->worst).text,
             known ? code : "");
}

static void fill_lag(const console *con, const mc_roster_row *row, roster_cell *cell) {
    words_number(&con->theme, row->lag_index, 2, false, 4, cell->text, sizeof cell->text);
    cell->style = isnan(row->lag_index) ? STYLE_FAINT : STYLE_PLAIN;
}

/* What is to be examined, before any state: it must not read as "on plan". */
static void fill_finding(const console *con, const mc_roster_row *row, roster_cell *cell) {
    static const char *const words[] = {"examine", "pain", "swelling", "mobility", "recession"};
    cell->style = STYLE_CARE;
    snprintf(cell->text, sizeof cell->text, "%s %s", theme_mark(&con->theme, MARK_CARE),
             words[row->found]);
}

static void fill_state(const console *con, const mc_roster_row *row, roster_cell *cell) {
    if (row->unread) {
        cell->style = STYLE_FAINT;
        snprintf(cell->text, sizeof cell->text, "  ...");
        return;
    }
    if (row->decision_due && row->proposal == MC_PROPOSE_EXAMINE) {
        fill_finding(con, row, cell);
        return;
    }
    if (!row->has_plan) {
        snprintf(cell->text, sizeof cell->text, "  no plan");
        return;
    }
    cell->style = style_of_state(row->state);
    snprintf(cell->text, sizeof cell->text, "%s %s",
             theme_mark(&con->theme, mark_of_state(row->state)), mc_state_word(row->state));
}

static void fill_due(const console *con, const mc_roster_row *row, roster_cell *cell) {
    words_due(row->next_checkup, con->today, cell->text, sizeof cell->text);
    bool late = row->next_checkup != MC_NO_DAY && row->next_checkup < con->today;
    cell->style = late ? STYLE_STRONG : STYLE_PLAIN;
}

static void fill_proposal(const console *con, const mc_roster_row *row, roster_cell *cell) {
    if (!row->has_proposal)
        return;
    cell->style = row->decision_due ? STYLE_STRONG : STYLE_PLAIN;
    snprintf(cell->text, sizeof cell->text, "%s%s",
             row->decision_due ? theme_mark(&con->theme, MARK_WAITS) : " ",
             words_proposal_short(row->proposal));
}

static void fill_last(const console *con, const mc_roster_row *row, roster_cell *cell) {
    (void)con;
    mc_day_text(row->last_checkup, cell->text);
}

static void fill_change(const console *con, const mc_roster_row *row, roster_cell *cell) {
    (void)con;
    mc_day_text(row->next_change, cell->text);
}

/* How many teeth are in a state; the mark for "not read" where nothing was. */
static void fill_count(const console *con, const mc_roster_row *row, mc_state state,
                       roster_cell *cell) {
    double count = row->worst == MC_NO_TOOTH ? NAN : row->count[state];
    words_number(&con->theme, count, 0, false, 3, cell->text, sizeof cell->text);
    cell->style = count > 0 ? style_of_state(state) : STYLE_FAINT;
}

static void fill_behind(const console *con, const mc_roster_row *row, roster_cell *cell) {
    double count = row->worst == MC_NO_TOOTH
                       ? NAN
                       : row->count[MC_STATE_BEHIND] + row->count[MC_STATE_STALLED];
    words_number(&con->theme, count, 0, false, 3, cell->text, sizeof cell->text);
    cell->style = count > 0 ? STYLE_BEHIND : STYLE_FAINT;
}

static void fill_slipping(const console *con, const mc_roster_row *row, roster_cell *cell) {
    fill_count(con, row, MC_STATE_SLIPPING, cell);
}

static void fill_reasons(const console *con, const mc_roster_row *row, roster_cell *cell) {
    (void)con;
    snprintf(cell->text, sizeof cell->text, "%s", row->reasons);
}

static const column COLUMNS[] = {
    {"chart", 7, 0, 0, fill_chart},           {"name", 0, 30, 0, fill_name},
    {"upper", 6, 0, 0, fill_upper},           {"lower", 6, 0, 0, fill_lower},
    {"worst", 8, 0, 0, fill_worst},           {"lag", 5, 0, 0, fill_lag},
    {"state", 13, 0, 0, fill_state},          {"check-up", 10, 0, 0, fill_due},
    {"proposal", 10, 0, 0, fill_proposal},    {"last seen", 11, 0, 110, fill_last},
    {"next change", 12, 0, 110, fill_change}, {"behind", 7, 0, 140, fill_behind},
    {"slipping", 9, 0, 140, fill_slipping},   {"why", 0, 80, 150, fill_reasons},
};
enum { COLUMN_COUNT = sizeof COLUMNS / sizeof *COLUMNS };

/* The width of each column at this width of the screen, 0 for one that is not shown. The name
 * comes first for what is left over. */
static void column_widths(int cols, int widths[COLUMN_COUNT]) {
    int left = cols - ROSTER_MARGIN;
    for (int i = 0; i < COLUMN_COUNT; i++) {
        widths[i] = cols >= COLUMNS[i].from ? COLUMNS[i].width : 0;
        left -= widths[i];
    }
    for (int i = 0; i < COLUMN_COUNT; i++) {
        if (COLUMNS[i].width > 0 || cols < COLUMNS[i].from)
            continue;
        widths[i] = left < COLUMNS[i].most ? left : COLUMNS[i].most;
        left -= widths[i];
    }
}

void roster_draw_row(const console *con, const mc_roster_row *row, int line, area body,
                     bool selected) {
    int widths[COLUMN_COUNT], col = body.col + ROSTER_MARGIN;
    column_widths(body.cols, widths);
    for (int i = 0; i < COLUMN_COUNT; i++) {
        roster_cell cell = {.style = STYLE_PLAIN};
        if (widths[i] == 0)
            continue;
        COLUMNS[i].fill(con, row, &cell);
        put(&con->theme, line, col, widths[i] - 1, cell.style, cell.text);
        col += widths[i];
    }
    if (selected)
        paint_over(&con->theme, (area){line, body.col, 1, body.cols}, STYLE_SELECTED);
}

void roster_draw_headings(const console *con, int line, area body) {
    int widths[COLUMN_COUNT], col = body.col + ROSTER_MARGIN;
    column_widths(body.cols, widths);
    for (int i = 0; i < COLUMN_COUNT; i++) {
        if (widths[i] > 0)
            put(&con->theme, line, col, widths[i] - 1, STYLE_HEADING, COLUMNS[i].heading);
        col += widths[i];
    }
}
