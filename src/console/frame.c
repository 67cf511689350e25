/* The frame: chrome, dispatch and the loop. */
#include "frame.h"

#include "bottom.h"
#include "help.h"
#include "lock.h"
#include "midcourse/exchange.h"
#include "paste.h"
#include "prompt.h"
#include "sign_in.h"

#include <ctype.h>
#include <curses.h>
#include <langinfo.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- the stack of screens ---- */

/* What is asked is asked of the screen on top. */
static void stop_asking(console *con) {
    con->answer = 0;
    prompt_close(con);
}

void frame_open(console *con, const screen_ops *ops, void *self) {
    if (con->depth == MOST_SCREENS) {
        if (ops->close)
            ops->close(self);
        frame_say(con, "Too many pages are open: go back first.");
        return;
    }
    stop_asking(con);
    con->stack[con->depth].ops = ops;
    con->stack[con->depth].self = self;
    con->depth++;
    con->repaint = true;
}

void frame_back(console *con, void *screen) {
    (void)screen;
    stop_asking(con);
    con->depth--;
    con->repaint = true;
    const screen_ops *ops = con->stack[con->depth].ops;
    if (ops->close)
        ops->close(con->stack[con->depth].self);
    if (con->depth == 0)
        con->leaving = true;
}

void frame_close(console *con) {
    while (con->depth > 0)
        frame_back(con, NULL);
}

/* ---- the status line ---- */

static void set_status(console *con, style ink, const char *text) {
    snprintf(con->status, sizeof con->status, "%s", text);
    con->status_style = ink;
}

void frame_say(console *con, const char *format, ...) {
    char text[STATUS_SIZE];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    set_status(con, STYLE_PLAIN, text);
}

void frame_say_now(console *con, const char *text) {
    set_status(con, STYLE_PLAIN, text);
    if (!stdscr || con->behind)
        return;
    frame_draw(con);
    refresh();
}

/* Messages begin as they stand after "midcourse: " in a terminal's log; here they are sentences. A
 * file's name, or initials with a point, keep their first letter. */
static void as_sentence(const char *text, char *out, size_t size) {
    size_t word = strspn(text, "abcdefghijklmnopqrstuvwxyz'");
    snprintf(out, size - 1, "%s", text);
    if (word > 0 && strchr(" ,", text[word]))
        out[0] = (char)toupper((unsigned char)out[0]);
    size_t length = strlen(out);
    if (length > 0 && !strchr(".?!", out[length - 1]))
        strcpy(out + length, ".");
}

void frame_refuse_words(console *con, const char *format, ...) {
    char text[STATUS_SIZE];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    set_status(con, STYLE_CARE, text);
}

void frame_refuse(console *con, const mc_error *error) {
    char text[STATUS_SIZE];
    as_sentence(error->text, text, sizeof text);
    if (error->need == MC_NEED_PERSON)
        strncat(text, " F2 signs somebody in.", sizeof text - strlen(text) - 1);
    set_status(con, STYLE_CARE, text);
}

void frame_ask(console *con, char letter, void (*on_yes)(struct console *, void *),
               const char *question) {
    char text[STATUS_SIZE];
    snprintf(text, sizeof text, "%.300s Type %c for yes; any other key: no.", question, letter);
    set_status(con, STYLE_CARE, text);
    prompt_close(con);
    con->answer = (unsigned char)letter;
    con->on_yes = on_yes;
    con->at_chair = false;
}

void frame_ask_at_chair(console *con, char letter, void (*on_yes)(struct console *, void *),
                        const char *question) {
    char text[STATUS_SIZE];
    frame_ask(con, letter, on_yes, "");
    snprintf(text, sizeof text, "%.300s %c: yes, n: no.", question, letter);
    set_status(con, STYLE_CARE, text);
    con->at_chair = true;
}

const char *frame_name(const console *con, const mc_case *kase) {
    return con->names_hidden ? "(name hidden)" : kase->name;
}

/* ---- keys ---- */

static void leave_now(console *con, void *screen) {
    (void)screen;
    con->leaving = true;
}

/* What would be lost with the screens that are open is asked about once; while locked nobody who
 * could answer is there. */
void frame_leave(console *con, void *screen) {
    const char *question = "";
    for (size_t i = con->depth; i > 0 && question[0] == '\0' && !con->locked; i--)
        if (con->stack[i - 1].ops->unkept)
            question = con->stack[i - 1].ops->unkept(con->stack[i - 1].self);
    if (question[0] != '\0')
        frame_ask(con, 'y', leave_now, question);
    else
        leave_now(con, screen);
}

void frame_redraw(console *con, void *screen) {
    (void)con;
    (void)screen;
    clearok(stdscr, TRUE);
}

static void open_help(console *con, void *screen) {
    (void)screen;
    help_open(con);
}

enum { LOCK_KEY = KEY_F(4) };

static const key_row FRAME_KEYS[] = {
    {KEY_F(1), '?', "F1 ?", "help", "this help", open_help},
    {CTRL_Q, KEY_F(10), "Ctrl-Q F10", "leave", "leave midcourse", frame_leave},
    {KEY_F(2), 0, "F2", "sign in", "somebody signs in, or takes over from the one who is",
     sign_in_ask},
    {LOCK_KEY, 0, "F4", "lock", "hide everything until a passphrase is given", lock_now},
    {CTRL_C, 0, "Ctrl-C", NULL, "leave midcourse", frame_leave},
    {CTRL_L, 0, "Ctrl-L", NULL, "draw the whole screen again", frame_redraw},
    {0}};

/* Those that work while a line of text is asked for, too. */
static const key_row EVEN_ASKING[] = {{LOCK_KEY, 0, "F4", "lock", NULL, lock_now},
                                      {CTRL_Q, KEY_F(10), "Ctrl-Q F10", "leave", NULL, frame_leave},
                                      {CTRL_L, 0, "Ctrl-L", NULL, NULL, frame_redraw},
                                      {0}};

const key_row *frame_keys(void) {
    return FRAME_KEYS;
}

/* The terminal is too small for any screen. */
static bool too_small(void) {
    return COLS < CONSOLE_COLS || LINES < CONSOLE_ROWS;
}

static void *top(const console *con) {
    return con->depth > 0 ? con->stack[con->depth - 1].self : NULL;
}

bool frame_dispatch(console *con, const key_row *keys, int key) {
    for (const key_row *row = keys; row && row->act; row++) {
        if (key == row->key || (row->alike != 0 && key == row->alike)) {
            row->act(con, top(con));
            return true;
        }
    }
    return false;
}

/* A caliper's or a scanner's key. */
static bool of_instrument(int key) {
    return key == '\n' || (key > 0 && key < 128 && strchr("0123456789.,+-", key));
}

/* An open question takes the next key, whatever it is. */
static void answer(console *con, int key) {
    if (con->at_chair && of_instrument(key))
        return;
    void (*on_yes)(struct console *, void *) = con->on_yes;
    bool yes = key == con->answer;
    con->answer = 0;
    con->status[0] = '\0';
    if (yes)
        on_yes(con, top(con));
}

/* A key for the screen, or for what it asks. */
static void screen_key(console *con, int key) {
    const screen_ops *ops = con->stack[con->depth - 1].ops;
    if (con->locked) {
        lock_key(con, key);
    } else if (con->prompt.open) {
        if (!frame_dispatch(con, EVEN_ASKING, key))
            prompt_key(con, key);
    } else if (con->answer != 0) {
        answer(con, key);
    } else {
        con->status[0] = '\0';
        if (!frame_dispatch(con, ops->keys, key) && !frame_dispatch(con, FRAME_KEYS, key) &&
            ops->typed)
            ops->typed(con, top(con), key);
    }
}

static bool for_so_long(const console *con, double seconds) {
    return seconds > 0 && con->now - con->last_key >= seconds;
}

/* A machine that slept wakes with a key: what was to be locked meanwhile is not shown to it. */
static bool locks_now(console *con) {
    if (con->locked || !for_so_long(con, con->lock_after))
        return false;
    lock_now(con, top(con));
    return con->locked;
}

void frame_key(console *con, int key) {
    if (con->depth == 0 || key == KEY_RESIZE || key == KEY_NOTHING)
        return;
    bool locks = locks_now(con);
    con->last_key = con->now;
    con->names_hidden = false;
    if (locks || (!too_small() && paste_key(con, key)))
        return;
    if (key == LOCK_KEY) /* whatever is asked or in sight; what stands in the status line stays */
        lock_now(con, top(con));
    else if (!too_small())
        screen_key(con, key);
    else if (key == CTRL_Q || key == CTRL_C || key == KEY_F(10))
        con->leaving = true; /* nothing is done unseen, except leaving and locking */
}

/* ---- drawing ---- */

/* Who is signed in, and the day; the role where there is room for it beside what stands left. */
static void draw_title(const console *con, const screen_ops *ops, const void *self) {
    char left[MC_NAME_SIZE + 200], right[80], day[11];
    bool ascii = con->theme.ascii, named = con->who[0] != '\0';
    mc_day_text(con->today, day);
    left[0] = ' ';
    ops->title(con, self, left + 1, sizeof left - 1);
    snprintf(right, sizeof right, " %s%s%s  %s ", named ? con->who : "not signed in",
             con->role[0] ? " " : "", con->role, day);
    if (mc_text_width(left, ascii) + 1 + mc_text_width(right, ascii) > COLS)
        snprintf(right, sizeof right, " %s%s%s ", con->who, named ? "  " : "", day);
    int taken = mc_text_width(right, ascii);
    put_filled(&con->theme, 0, 0, COLS, STYLE_TITLE, "");
    put(&con->theme, 0, 0, COLS - taken - 1, STYLE_TITLE, left);
    put(&con->theme, 0, COLS - taken, taken, STYLE_TITLE, right);
}

static int key_width(const key_row *row) {
    return (int)(strlen(row->name) + 1 + strlen(row->brief));
}

/* As many whole entries of a table as fit before column `end`; returns the next free column. */
static int draw_key_table(const theme *look, const key_row *row, int col, int end) {
    for (; row && row->act; row++) {
        if (!row->brief)
            continue;
        int width = key_width(row);
        if (col + width >= end)
            return col;
        put(look, LINES - 1, col, width, STYLE_STRONG, row->name);
        put(look, LINES - 1, col + (int)strlen(row->name) + 1, width, STYLE_PLAIN, row->brief);
        col += width + 2;
    }
    return col;
}

/* An open question takes the next key: only its answers are shown, and what goes on beside it. */
static void draw_answers(const console *con) {
    char letter[] = {(char)con->answer, '\0'};
    const key_row answers[] = {{.name = letter, .brief = "yes", .act = frame_redraw},
                               {.name = "n", .brief = "no", .act = frame_redraw},
                               {.name = "F4", .brief = "lock", .act = frame_redraw},
                               {0}};
    draw_key_table(&con->theme, answers, 1, COLS);
}

/* The keys that work now: those of the screen first; but the first of every screen's own, the help
 * that tells all keys, always has its room. */
static void draw_keys(const console *con, const key_row *keys) {
    const key_row *everywhere = con->prompt.open ? EVEN_ASKING : FRAME_KEYS;
    int help = everywhere->act && everywhere->brief ? key_width(everywhere) + 2 : 0;
    if (con->locked) {
        draw_key_table(&con->theme, keys, 1, COLS);
        return;
    }
    if (con->answer != 0) {
        draw_answers(con);
        return;
    }
    int col = draw_key_table(&con->theme, con->prompt.open ? prompt_keys() : keys, 1, COLS - help);
    draw_key_table(&con->theme, everywhere, col, COLS);
}

/* Below its least size the console waits, saying what it needs in what room there is. */
static void draw_too_small(const console *con) {
    char text[200];
    snprintf(
        text, sizeof text,
        "midcourse needs %dx%d; this terminal is %dx%d. Make it larger: everything is as it was. "
        "Ctrl-Q leaves.",
        CONSOLE_COLS, CONSOLE_ROWS, COLS, LINES);
    put_wrapped(&con->theme, (area){0, 0, LINES, COLS}, STYLE_PLAIN, text);
}

static void place_cursor(const console *con) {
    bool shown = con->cursor_row >= 0 && con->cursor_row < LINES && con->cursor_col < COLS;
    curs_set(shown ? 1 : 0);
    move(shown ? con->cursor_row : LINES - 1, shown ? con->cursor_col : 0);
}

void frame_draw(console *con) {
    erase();
    con->cursor_row = -1;
    if (too_small()) {
        draw_too_small(con);
    } else if (con->depth > 0) {
        const screen_ops *ops = con->locked ? lock_page() : con->stack[con->depth - 1].ops;
        void *self = con->locked ? NULL : top(con);
        draw_title(con, ops, self);
        ops->draw(con, self, (area){1, 0, LINES - 3, COLS});
        bottom_draw(con);
        draw_keys(con, ops->keys);
    }
    place_cursor(con);
    if (con->repaint)
        redrawwin(stdscr);
    con->repaint = false;
}

/* ---- the loop ---- */

void frame_settings(console *con) {
    mc_settings settings;
    int64_t set = 0;
    mc_error ignored; /* without settings it hides and locks as it did */
    mc_record *of = mc_practice_record(con->practice);
    if (mc_record_settings(of, NULL, &settings, &set, &ignored) != MC_OK)
        return;
    con->hide_after = settings.hide_seconds;
    con->lock_after = 60 * settings.lock_minutes;
}

mc_status frame_begin(console *con, terminal *t, mc_error *error) {
    mc_status status = terminal_begin(t, error);
    if (status != MC_OK)
        return status;
    const char *no_colour = getenv("NO_COLOR");
    theme_start(&con->theme, theme_wants_ascii(nl_langinfo(CODESET), getenv("MIDCOURSE_ASCII")),
                no_colour && no_colour[0] != '\0');
    return MC_OK;
}

/* A passphrase half typed goes with the names. */
static void hide_names(console *con) {
    con->names_hidden = true;
    if (con->prompt.open && con->prompt.secret)
        prompt_give_up(con, NULL);
}

bool frame_tick(console *con) {
    const screen_ops *ops = con->stack[con->depth - 1].ops;
    bool changed = false;
    con->pasting = false; /* a paste has no pauses: its end was lost */
    if (con->locked)
        lock_idle(con);
    else
        changed = ops->idle && ops->idle(con, top(con));
    if (con->depth == 0)
        return true;
    if (!con->names_hidden && for_so_long(con, con->hide_after)) {
        hide_names(con);
        changed = true;
    }
    return locks_now(con) || changed;
}

void frame_run(console *con) {
    con->now = con->last_key = terminal_seconds();
    bool changed = true;
    while (!con->leaving) {
        bool more_pasted = con->pasting && terminal_has_key();
        if (changed && !more_pasted) {
            frame_draw(con);
            refresh();
            changed = false;
        }
        bool gone = false;
        int key = terminal_key(!con->busy, &gone);
        con->busy = false;
        if (gone)
            return;
        con->now = terminal_seconds();
        changed |= key != KEY_NOTHING || frame_tick(con);
        frame_key(con, key);
    }
}
