/* The roster screen. */
#include "roster.h"

#include "chart.h"
#include "find.h"
#include "help.h"
#include "roster_columns.h"
#include "words.h"

#include <curses.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct roster {
    mc_roster_row *rows;
    find find;
    size_t cursor; /* among those shown */
    size_t top;    /* the first row drawn */
    int page;      /* rows that there was room for */
    int64_t seen;  /* the record's change number when the rows were read */
    size_t drawn;  /* how many were shown when it was last drawn */
} roster;

static const mc_roster_row *row_at(const roster *r, size_t i) {
    return &r->rows[r->find.shown[i]];
}

/* ---- drawing ---- */

static void draw_find(console *con, const roster *r, area body) {
    const theme *look = &con->theme;
    const char *text = r->find.text;
    int col = body.col + ROSTER_MARGIN;
    put(look, body.row, col, 5, STYLE_PLAIN, "Find:");
    int typed = put(look, body.row, col + 6, 40, STYLE_STRONG, text);
    if (text[0] == '\0')
        put(look, body.row, col + 8, 40, STYLE_FAINT, "a name or a chart number");
    char count[80];
    snprintf(count, sizeof count, text[0] ? "%zu of %zu open cases" : "%zu open cases",
             text[0] ? r->find.shown_count : r->find.count, r->find.count);
    put_right(look, body.row, body.col, body.cols - ROSTER_MARGIN, STYLE_PLAIN, count);
    con->cursor_row = body.row;
    con->cursor_col = col + 6 + typed;
}

static void draw_nobody(const console *con, const roster *r, area body) {
    area place = {body.row + 3, body.col + ROSTER_MARGIN, 3, 76};
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
    size_t top = r->top, shown = r->drawn;
    keep_in_sight(r, body.rows - 3);
    r->drawn = r->find.shown_count;
    con->repaint |= r->top != top || r->drawn != shown;
    draw_find(con, r, body);
    roster_draw_headings(con, body.row + 1, body);
    if (r->find.shown_count == 0) {
        draw_nobody(con, r, body);
        return;
    }
    for (int i = 0; i < r->page && r->top + (size_t)i < r->find.shown_count; i++)
        roster_draw_row(con, row_at(r, r->top + (size_t)i), body.row + 2 + i, body,
                        r->top + (size_t)i == r->cursor);
    put_format(&con->theme, body.row + body.rows - 1, body.col + ROSTER_MARGIN,
               body.cols - 2 * ROSTER_MARGIN, STYLE_PLAIN, "Why: %s",
               row_at(r, r->cursor)->reasons);
}

static void title(const console *con, const void *self, char *left, size_t size) {
    (void)con;
    (void)self;
    snprintf(left, size, "Roster");
}

/* The proposals in the order of their rules, by the words of the column. */
static void proposals(pager *page) {
    static const char *const means[] = {
        [MC_PROPOSE_EXAMINE] = "the doctor sees a tooth today, before any aligner is changed",
        [MC_PROPOSE_RESEAT] = "an aligner does not seat: chew in, read again, do not go on yet",
        [MC_PROPOSE_REPAIR] = "an attachment is lost or loose: rebond at this visit",
        [MC_PROPOSE_OPEN_CONTACT] = "a tight contact stands in the way of a tooth",
        [MC_PROPOSE_REVIEW] = "a tooth drifts or is past plan: the doctor looks first",
        [MC_PROPOSE_TALK_WEAR] = "too few hours of wear: talk about it, wear each aligner longer",
        [MC_PROPOSE_MEASURE] = "too little was read: read the teeth named",
        [MC_PROPOSE_CORRECT] = "stage the plan anew from where the teeth are",
        [MC_PROPOSE_LOCAL] = "help the few teeth behind: attachment, button and elastic, exercises",
        [MC_PROPOSE_HOLD] = "wear the present aligner longer",
        [MC_PROPOSE_CARRY_ON] = "go on with the next aligner",
        [MC_PROPOSE_FINISH] = "finish the series and measure at its end"};
    pager_heading(page, "Proposals, in the order of their rules");
    for (size_t i = 0; i < sizeof means / sizeof *means; i++)
        pager_add(page, STYLE_STRONG, words_proposal_short((mc_proposal_choice)i), means[i]);
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
    proposals(page);
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

/* 0 without a record. */
static int64_t change_of(const console *con) {
    return con->practice ? mc_record_change(mc_practice_record(con->practice)) : 0;
}

/* Another console, or a command, has written: say so once, and leave it to the person when the list
 * may move under the cursor. */
static bool idle(console *con, void *self) {
    roster *r = self;
    int64_t now = change_of(con);
    if (now == r->seen || frame_is_asking(con))
        return false;
    r->seen = now;
    frame_say(con, "The record has changed since this list was read: F5 reads it again.");
    return true;
}

static const screen_ops OPS = {.name = "roster",
                               .keys = KEYS,
                               .typing = "narrow the list to the names and chart numbers that "
                                         "contain what is typed",
                               .typed = typed,
                               .title = title,
                               .draw = draw,
                               .marks = marks,
                               .idle = idle,
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

static void show(console *con, mc_roster_row *rows, size_t count, int64_t seen) {
    roster *r = calloc(1, sizeof *r);
    if (!r || !take_rows(r, rows, count)) {
        free(r);
        free(rows);
        frame_say(con, "Out of memory.");
        return;
    }
    r->seen = seen;
    frame_open(con, &OPS, r);
}

void roster_show(console *con, mc_roster_row *rows, size_t count) {
    show(con, rows, count, change_of(con));
}

mc_status roster_open(console *con, mc_error *error) {
    mc_roster_row *rows = NULL;
    size_t count = 0;
    int64_t seen = change_of(con); /* before reading: what comes after it is news */
    mc_status status = mc_roster(con->practice, con->today, &rows, &count, error);
    if (status == MC_OK)
        show(con, rows, count, seen);
    return status;
}

static void read_again(console *con, void *self) {
    roster *r = self;
    mc_roster_row *rows = NULL;
    size_t count = 0;
    mc_error error = {0};
    int64_t seen = change_of(con);
    if (mc_roster(con->practice, con->today, &rows, &count, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    if (!take_rows(r, rows, count)) {
        free(rows);
        frame_say(con, "Out of memory.");
        return;
    }
    r->seen = seen;
    r->cursor = 0;
    frame_say(con, "Read again: %zu open cases.", count);
}
