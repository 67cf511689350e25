/* The roster screen. */
#include "roster.h"

#include "chart.h"
#include "help.h"
#include "open_case.h"
#include "practice_screen.h"
#include "roster_columns.h"
#include "roster_list.h"
#include "words.h"

#include <curses.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct roster {
    roster_list list;
    size_t drawn; /* how many were shown when it was last drawn */
    bool away;    /* another screen was opened: what was done there is to be seen at once */
} roster;

/* So many cases that wait to be filled are told of; fewer are filled before the eye gets there. */
enum { LOOKED_THROUGH = 50 };

/* ---- drawing ---- */

/* What stands at the right of the line: how many there are, or how far the looking through is. */
static void say_count(const roster_list *l, char *out, size_t size) {
    char all[WORDS_COUNT_SIZE], some[WORDS_COUNT_SIZE], late[WORDS_COUNT_SIZE];
    words_count(l->count, all);
    if (l->find.text[0] != '\0') {
        words_count(l->find.shown_count, some);
        snprintf(out, size, "%s of %s open cases", some, all);
    } else if (l->due_count >= LOOKED_THROUGH) {
        words_count(l->count - l->due_count, some);
        snprintf(out, size, "looking through: %s of %s cases", some, all);
    } else {
        words_count(l->waiting, some);
        words_count(l->late, late);
        snprintf(out, size, "%s open case%s: %s decision%s wait%s, %s late", all,
                 l->count == 1 ? "" : "s", some, l->waiting == 1 ? "" : "s",
                 l->waiting == 1 ? "s" : "", late);
    }
}

static void draw_find(console *con, const roster *r, area body) {
    const theme *look = &con->theme;
    const char *text = r->list.find.text;
    char count[120];
    say_count(&r->list, count, sizeof count);
    int col = body.col + ROSTER_MARGIN, room = body.cols - 2 * ROSTER_MARGIN - 8;
    room -= (int)strlen(count);
    put(look, body.row, col, 5, STYLE_PLAIN, "Find:");
    int typed = put(look, body.row, col + 6, room, STYLE_STRONG, text);
    if (text[0] == '\0')
        put(look, body.row, col + 8, room, STYLE_FAINT, "a name or a chart number");
    put_right(look, body.row, body.col, body.cols - ROSTER_MARGIN, STYLE_PLAIN, count);
    con->cursor_row = body.row;
    con->cursor_col = col + 6 + typed;
}

static void draw_nobody(const console *con, const roster *r, area body) {
    area place = {body.row + 3, body.col + ROSTER_MARGIN, 3, 76};
    if (r->list.count == 0)
        put_wrapped(&con->theme, place, STYLE_PLAIN, "There is no open case. F7 opens one.");
    else
        put_wrapped(&con->theme, place, STYLE_PLAIN,
                    "No open case matches. Enter looks for this chart number among the closed "
                    "cases too; Esc shows all again.");
}

static void keep_in_sight(roster_list *l, int page) {
    size_t rows = (size_t)page, shown = l->find.shown_count;
    l->page = page;
    if (l->cursor >= shown)
        l->cursor = shown > 0 ? shown - 1 : 0;
    if (l->cursor < l->top)
        l->top = l->cursor;
    if (l->cursor >= l->top + rows)
        l->top = l->cursor - rows + 1;
    if (l->top > 0 && l->top + rows > shown)
        l->top = shown > rows ? shown - rows : 0;
}

/* What was done to a case on another screen is seen as soon as that is left. */
static void come_back(console *con, roster *r) {
    mc_error error = {0};
    bool changed = false;
    r->away = false;
    if (con->practice &&
        roster_list_look(&r->list, con->practice, con->today, &changed, &error) == MC_OK &&
        changed && r->list.due_count < LOOKED_THROUGH &&
        roster_list_fill(&r->list, con->practice, con->today, &error) == MC_OK)
        roster_list_settle(&r->list, con->today);
}

/* Why the case under the cursor stands where it does: on the last row, and where that is too short
 * on the one above it too, which the list leaves free. */
static void draw_why(const console *con, const roster_list *l, area body) {
    char why[sizeof roster_list_at(l, l->cursor)->reasons + 8];
    const int columns = body.cols - 2 * ROSTER_MARGIN;
    snprintf(why, sizeof why, "Why: %s", roster_list_at(l, l->cursor)->reasons);
    const int rows = (int)strlen(why) > columns ? 2 : 1;
    put_wrapped(&con->theme,
                (area){body.row + body.rows - rows, body.col + ROSTER_MARGIN, rows, columns},
                STYLE_PLAIN, why);
}

static void draw(console *con, void *self, area body) {
    roster *r = self;
    roster_list *l = &r->list;
    if (r->away)
        come_back(con, r);
    con->pace = l->pace;
    size_t top = l->top, shown = r->drawn, page = (size_t)body.rows - 4;
    keep_in_sight(l, (int)page);
    r->drawn = l->find.shown_count;
    /* a list that moves by a few lines is scrolled by the terminal itself */
    con->repaint |= r->drawn != shown || l->top > top + page / 2 || top > l->top + page / 2;
    draw_find(con, r, body);
    roster_draw_headings(con, body.row + 1, body);
    if (l->find.shown_count == 0) {
        draw_nobody(con, r, body);
        return;
    }
    for (int i = 0; i < l->page && l->top + (size_t)i < l->find.shown_count; i++)
        roster_draw_row(con, roster_list_at(l, l->top + (size_t)i), body.row + 2 + i, body,
                        l->top + (size_t)i == l->cursor);
    draw_why(con, l, body);
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
    pager_format(page, STYLE_STRONG, "state",
                 "the most urgent state of any tooth; %s and what was found where a tooth is to be "
                 "examined first; ... where the case is not looked through yet",
                 theme_mark(look, MARK_CARE));
    pager_add(page, STYLE_STRONG, "check-up", "when the next one is due");
    pager_format(page, STYLE_STRONG, "proposal", "what the rules propose; %s: a decision waits",
                 theme_mark(look, MARK_WAITS));
    proposals(page);
    help_states(con, page);
}

static void close_roster(void *self) {
    roster_list_end(&((roster *)self)->list);
    free(self);
}

/* ---- keys ---- */

static void move_by(void *self, long rows) {
    roster_list *l = &((roster *)self)->list;
    long last = (long)l->find.shown_count - 1, to = (long)l->cursor + rows;
    to = to > last ? last : to;
    l->cursor = to < 0 ? 0 : (size_t)to;
    l->touched = true;
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
    move_by(self, -((roster *)self)->list.page);
}

static void page_down(console *con, void *self) {
    (void)con;
    move_by(self, ((roster *)self)->list.page);
}

static void home(console *con, void *self) {
    (void)con;
    move_by(self, -(long)((roster *)self)->list.count);
}

static void end(console *con, void *self) {
    (void)con;
    move_by(self, (long)((roster *)self)->list.count);
}

/* What was typed is forgotten once it has opened a case: the next scan begins anew. */
static void forget_typed(roster *r, const mc_case *kase) {
    find_clear(&r->list.find);
    roster_list_go(&r->list, &kase->id);
    r->list.touched = true;
}

static void open_case(console *con, void *self) {
    roster *r = self;
    roster_list *l = &r->list;
    const mc_roster_row *row = find_exact(&l->find);
    mc_error error = {0};
    mc_case kase;
    mc_status status = MC_OK;
    if (!row && l->find.shown_count > 0)
        row = roster_list_at(l, l->cursor);
    if (row)
        kase = row->kase;
    else if (l->find.text[0] == '\0')
        return;
    else
        status = mc_case_find(con->practice, l->find.text, &kase, &error);
    if (status == MC_OK)
        status = chart_open(con, &kase, 0, &error);
    if (status != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    r->away = true;
    forget_typed(r, &kase);
}

static void leave(console *con, void *self) {
    (void)self;
    con->leaving = true;
}

static void escape(console *con, void *self) {
    roster_list *l = &((roster *)self)->list;
    if (l->find.text[0] == '\0') {
        frame_ask(con, 'y', leave, "Leave midcourse?");
        return;
    }
    find_clear(&l->find);
    l->cursor = 0;
}

static void erase_one(console *con, void *self) {
    (void)con;
    roster_list *l = &((roster *)self)->list;
    find_remove(&l->find);
    l->cursor = 0;
}

static void read_again(console *con, void *self);

static bool may_import(console *con) {
    mc_person person;
    return mc_practice_actor(con->practice, &person) && (BY_CHAIR & 1u << person.role);
}

/* It stands in the list, and its chart is shown, which tells what comes next. */
static void case_opened(console *con, void *self, const mc_case *kase) {
    mc_error error = {0};
    char label[MC_LABEL_SIZE];
    mc_case_label(kase, label);
    read_again(con, self);
    forget_typed(self, kase);
    ((roster *)self)->away = true;
    if (chart_open(con, kase, 0, &error) == MC_OK)
        frame_say(con, "Case %s is opened. %s.", label,
                  may_import(con) ? "p imports its plan"
                                  : "A doctor or an assistant imports its plan");
    else
        frame_refuse(con, &error);
}

static void ask_case(console *con, void *self) {
    (void)self;
    open_case_ask(con, case_opened);
}

enum { CTRL_N = 14, CTRL_P = 16 };

static void new_case(console *con, void *self) {
    (void)self;
    frame_with_person(con, ask_case);
}

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
    {KEY_F(7), CTRL_N, "F7", "new case", "open a case (Ctrl-N too)", new_case},
    {KEY_F(5), 0, "F5", NULL, "read the record again", read_again},
    {KEY_F(8), CTRL_P, "F8", "practice",
     "what the practice's own plans achieved, and how exact its methods are (Ctrl-P too)",
     practice_screen_open},
    {0}};

static void typed(console *con, void *self, int key) {
    (void)con;
    roster_list *l = &((roster *)self)->list;
    int32_t character = terminal_character(key);
    if (character == 0 || (character == ' ' && l->find.text[0] == '\0'))
        return;
    find_add(&l->find, character);
    l->cursor = 0;
    l->touched = true;
}

/* Another console, or a command, has written, or rows wait to be filled: look after them, with a
 * look for keys every few milliseconds and the screen drawn now and then. */
static bool idle(console *con, void *self) {
    enum { DRAWN_A_SECOND = 5 };
    roster *r = self;
    roster_list *l = &r->list;
    mc_error error = {0};
    bool changed = false;
    if (!con->practice || frame_is_asking(con))
        return false;
    const double until = terminal_seconds() + 1.0 / DRAWN_A_SECOND;
    mc_status status = roster_list_look(l, con->practice, con->today, &changed, &error);
    changed = changed || l->due_count > 0;
    while (status == MC_OK && l->due_count > 0 && !terminal_has_key() && terminal_seconds() < until)
        status = roster_list_fill(l, con->practice, con->today, &error);
    if (status != MC_OK)
        frame_refuse(con, &error);
    con->busy = l->due_count > 0;
    if (changed && !roster_list_settle(l, con->today))
        frame_say(con, "Out of memory.");
    return changed || status != MC_OK;
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
                               .close = close_roster,
                               .takes_paste = true};

/* ---- opening ---- */

void roster_show(console *con, mc_roster_row *rows, size_t count) {
    roster *r = calloc(1, sizeof *r);
    if (!r || !roster_list_take(&r->list, rows, count, con->today)) {
        free(r);
        free(rows);
        frame_say(con, "Out of memory.");
        return;
    }
    frame_open(con, &OPS, r);
}

mc_status roster_open(console *con, mc_error *error) {
    roster *r = calloc(1, sizeof *r);
    if (!r)
        return mc_fail(error, MC_REFUSED, "out of memory");
    mc_status status = roster_list_read(&r->list, con->practice, con->today, error);
    if (status != MC_OK) {
        close_roster(r);
        return status;
    }
    con->busy = r->list.due_count > 0;
    frame_open(con, &OPS, r);
    return MC_OK;
}

static void read_again(console *con, void *self) {
    roster_list *l = &((roster *)self)->list;
    mc_error error = {0};
    if (roster_list_read(l, con->practice, con->today, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    l->cursor = l->top = 0;
    char count[WORDS_COUNT_SIZE];
    words_count(l->count, count);
    frame_say(con, "Read again: %s open cases.", count);
}
