/* The roster screen. */
#include "roster.h"

#include "chart.h"
#include "find.h"
#include "help.h"
#include "words.h"

#include <curses.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct roster {
    mc_roster_row *rows;
    find find;
    size_t cursor; /* among those shown */
    size_t top;    /* the first row drawn */
    int page;      /* rows that there was room for */
} roster;

static const mc_roster_row *row_at(const roster *r, size_t i) {
    return &r->rows[r->find.shown[i]];
}

/* ---- columns ---- */

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

static void fill_state(const console *con, const mc_roster_row *row, roster_cell *cell) {
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
    {"chart", 7, 0, 0, fill_chart},         {"name", 0, 30, 0, fill_name},
    {"upper", 6, 0, 0, fill_upper},         {"lower", 6, 0, 0, fill_lower},
    {"worst", 8, 0, 0, fill_worst},         {"lag", 5, 0, 0, fill_lag},
    {"state", 13, 0, 0, fill_state},        {"check-up", 10, 0, 0, fill_due},
    {"proposal", 10, 0, 0, fill_proposal},  {"last", 11, 0, 110, fill_last},
    {"change", 11, 0, 110, fill_change},    {"behind", 7, 0, 140, fill_behind},
    {"slipping", 9, 0, 140, fill_slipping}, {"why", 0, 80, 150, fill_reasons},
};
enum { COLUMN_COUNT = sizeof COLUMNS / sizeof *COLUMNS, MARGIN = 1 };

/* The width of each column at this width of the screen, 0 for one that is not shown. The name
 * comes first for what is left over. */
static void column_widths(int cols, int widths[COLUMN_COUNT]) {
    int left = cols - MARGIN;
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

/* ---- drawing ---- */

static void draw_row(const console *con, const mc_roster_row *row, int line, area body,
                     bool selected) {
    int widths[COLUMN_COUNT], col = body.col + MARGIN;
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

static void draw_headings(const console *con, area body) {
    int widths[COLUMN_COUNT], col = body.col + MARGIN;
    column_widths(body.cols, widths);
    for (int i = 0; i < COLUMN_COUNT; i++) {
        if (widths[i] > 0)
            put(&con->theme, body.row + 1, col, widths[i] - 1, STYLE_HEADING, COLUMNS[i].heading);
        col += widths[i];
    }
}

static void draw_find(console *con, const roster *r, area body) {
    const theme *look = &con->theme;
    const char *text = r->find.text;
    int col = body.col + MARGIN;
    put(look, body.row, col, 5, STYLE_PLAIN, "Find:");
    int typed = put(look, body.row, col + 6, 40, STYLE_STRONG, text);
    if (text[0] == '\0')
        put(look, body.row, col + 8, 40, STYLE_FAINT, "a name or a chart number");
    char count[80];
    snprintf(count, sizeof count, text[0] ? "%zu of %zu open cases" : "%zu open cases",
             text[0] ? r->find.shown_count : r->find.count, r->find.count);
    put_right(look, body.row, body.col, body.cols - MARGIN, STYLE_PLAIN, count);
    con->cursor_row = body.row;
    con->cursor_col = col + 6 + typed;
}

static void draw_nobody(const console *con, const roster *r, area body) {
    area place = {body.row + 3, body.col + MARGIN, 3, 76};
    if (r->find.count == 0)
        put_wrapped(&con->theme, place, STYLE_PLAIN,
                    "There is no open case. 'midcourse case new' opens one.");
    else
        put_wrapped(&con->theme, place, STYLE_PLAIN,
                    "No open case matches. Enter looks for this chart number among the closed "
                    "cases too; Esc shows all again.");
}

static void keep_in_sight(roster *r, int page) {
    size_t rows = (size_t)page;
    r->page = page;
    if (r->cursor >= r->find.shown_count)
        r->cursor = r->find.shown_count > 0 ? r->find.shown_count - 1 : 0;
    if (r->cursor < r->top)
        r->top = r->cursor;
    if (r->cursor >= r->top + rows)
        r->top = r->cursor - rows + 1;
    if (r->top > 0 && r->top + rows > r->find.shown_count)
        r->top = r->find.shown_count > rows ? r->find.shown_count - rows : 0;
}

static void draw(console *con, void *self, area body) {
    roster *r = self;
    keep_in_sight(r, body.rows - 3);
    draw_find(con, r, body);
    draw_headings(con, body);
    if (r->find.shown_count == 0) {
        draw_nobody(con, r, body);
        return;
    }
    for (int i = 0; i < r->page && r->top + (size_t)i < r->find.shown_count; i++)
        draw_row(con, row_at(r, r->top + (size_t)i), body.row + 2 + i, body,
                 r->top + (size_t)i == r->cursor);
    put_format(&con->theme, body.row + body.rows - 1, body.col + MARGIN, body.cols - 2 * MARGIN,
               STYLE_PLAIN, "Why: %s", row_at(r, r->cursor)->reasons);
}

static void title(const console *con, const void *self, char *left, size_t size) {
    (void)con;
    (void)self;
    snprintf(left, size, "Roster");
}

static void marks(console *con, void *self, pager *page) {
    (void)self;
    const theme *look = &con->theme;
    pager_heading(page, "Columns");
    pager_add(page, STYLE_STRONG, "upper, lower", "aligner worn now, by the dates, of how many");
    pager_add(page, STYLE_STRONG, "worst",
              "the worst tooth of the last check-up, and which way it has to go to reach its plan "
              "(see the chart's help for the letters)");
    pager_add(page, STYLE_STRONG, "lag",
              "its lag index: the deviation in tolerances, times the tooth's risk weight");
    pager_add(page, STYLE_STRONG, "state", "the most urgent state of any tooth");
    pager_add(page, STYLE_STRONG, "check-up", "when the next one is due");
    pager_format(page, STYLE_STRONG, "proposal", "what the rules propose; %s: a decision waits",
                 theme_mark(look, MARK_WAITS));
    help_states(con, page);
}

static void close_roster(void *self) {
    roster *r = self;
    find_end(&r->find);
    free(r->rows);
    free(r);
}

/* ---- keys ---- */

static void move_by(roster *r, long rows) {
    long last = (long)r->find.shown_count - 1, to = (long)r->cursor + rows;
    to = to > last ? last : to;
    r->cursor = to < 0 ? 0 : (size_t)to;
}

static void up(console *con, void *self) {
    (void)con;
    move_by(self, -1);
}

static void down(console *con, void *self) {
    (void)con;
    move_by(self, 1);
}

static void page_up(console *con, void *self) {
    (void)con;
    move_by(self, -((roster *)self)->page);
}

static void page_down(console *con, void *self) {
    (void)con;
    move_by(self, ((roster *)self)->page);
}

static void home(console *con, void *self) {
    (void)con;
    ((roster *)self)->cursor = 0;
}

static void end(console *con, void *self) {
    (void)con;
    move_by(self, (long)((roster *)self)->find.shown_count);
}

/* What was typed is forgotten once it has opened a case: the next scan begins anew. */
static void forget_typed(roster *r, const mc_case *kase) {
    find_clear(&r->find);
    for (size_t i = 0; i < r->find.shown_count; i++)
        if (memcmp(&row_at(r, i)->kase.id, &kase->id, sizeof kase->id) == 0)
            r->cursor = i;
}

static void open_case(console *con, void *self) {
    roster *r = self;
    const mc_roster_row *row = find_exact(&r->find);
    mc_error error = {0};
    mc_case kase;
    mc_status status = MC_OK;
    if (!row && r->find.shown_count > 0)
        row = row_at(r, r->cursor);
    if (row)
        kase = row->kase;
    else if (r->find.text[0] == '\0')
        return;
    else
        status = mc_case_find(con->practice, r->find.text, &kase, &error);
    if (status == MC_OK)
        status = chart_open(con, &kase, 0, &error);
    if (status != MC_OK)
        frame_refuse(con, &error);
    else
        forget_typed(r, &kase);
}

static void leave(console *con, void *self) {
    (void)self;
    con->leaving = true;
}

static void escape(console *con, void *self) {
    roster *r = self;
    if (r->find.text[0] == '\0') {
        frame_ask(con, 'y', leave, "Leave midcourse?");
        return;
    }
    find_clear(&r->find);
    r->cursor = 0;
}

static void erase_one(console *con, void *self) {
    (void)con;
    roster *r = self;
    find_remove(&r->find);
    r->cursor = 0;
}

static void read_again(console *con, void *self);

static const key_row KEYS[] = {
    {'\n', 0, "Enter", "open",
     "open the case whose chart number was typed or scanned, else the one under the cursor",
     open_case},
    {KEY_DOWN, 0, "Down", NULL, "a case on", down},
    {KEY_UP, 0, "Up", NULL, "a case back", up},
    {KEY_NPAGE, 0, "PgDn", NULL, "a page on", page_down},
    {KEY_PPAGE, 0, "PgUp", NULL, "a page back", page_up},
    {KEY_HOME, 0, "Home", NULL, "to the most urgent", home},
    {KEY_END, 0, "End", NULL, "to the least urgent", end},
    {KEY_ESC, 0, "Esc", "all", "show all cases again; with nothing typed, leave (asks first)",
     escape},
    {KEY_BACKSPACE, 0, "Backspace", NULL, "take the last character back", erase_one},
    {KEY_F(5), 0, "F5", "read again", "read the record again", read_again},
    {0}};

static void typed(console *con, void *self, int key) {
    (void)con;
    roster *r = self;
    int32_t character = terminal_character(key);
    if (character == 0 || (character == ' ' && r->find.text[0] == '\0'))
        return;
    find_add(&r->find, character);
    r->cursor = 0;
}

static const screen_ops OPS = {.name = "roster",
                               .keys = KEYS,
                               .typing = "narrow the list to the names and chart numbers that "
                                         "contain what is typed",
                               .typed = typed,
                               .title = title,
                               .draw = draw,
                               .marks = marks,
                               .close = close_roster};

/* ---- opening ---- */

static bool take_rows(roster *r, mc_roster_row *rows, size_t count) {
    find narrowed;
    if (!find_start(&narrowed, rows, count))
        return false;
    find_end(&r->find);
    free(r->rows);
    r->rows = rows;
    r->find = narrowed;
    return true;
}

void roster_show(console *con, mc_roster_row *rows, size_t count) {
    roster *r = calloc(1, sizeof *r);
    if (!r || !take_rows(r, rows, count)) {
        free(r);
        free(rows);
        frame_say(con, "Out of memory.");
        return;
    }
    frame_open(con, &OPS, r);
}

mc_status roster_open(console *con, mc_error *error) {
    mc_roster_row *rows = NULL;
    size_t count = 0;
    mc_status status = mc_roster(con->practice, con->today, &rows, &count, error);
    if (status == MC_OK)
        roster_show(con, rows, count);
    return status;
}

static void read_again(console *con, void *self) {
    roster *r = self;
    mc_roster_row *rows = NULL;
    size_t count = 0;
    mc_error error = {0};
    if (mc_roster(con->practice, con->today, &rows, &count, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    if (!take_rows(r, rows, count)) {
        free(rows);
        frame_say(con, "Out of memory.");
        return;
    }
    r->cursor = 0;
    frame_say(con, "Read again: %zu open cases.", count);
}
