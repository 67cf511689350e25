/* The frame: chrome, dispatch and the loop. */
#include "frame.h"

#include "help.h"
#include "midcourse/exchange.h"

#include <curses.h>
#include <langinfo.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* ---- the stack of screens ---- */

void frame_open(console *con, const screen_ops *ops, void *self) {
    if (con->depth == MOST_SCREENS) {
        if (ops->close)
            ops->close(self);
        frame_say(con, "Too many pages are open: go back first.");
        return;
    }
    con->stack[con->depth].ops = ops;
    con->stack[con->depth].self = self;
    con->depth++;
    con->repaint = true;
}

void frame_back(console *con, void *screen) {
    (void)screen;
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

void frame_refuse(console *con, const mc_error *error) {
    char text[STATUS_SIZE];
    snprintf(text, sizeof text, "Not done: %.380s", error->text);
    set_status(con, STYLE_CARE, text);
}

void frame_ask(console *con, char letter, void (*on_yes)(struct console *, void *),
               const char *question) {
    char text[STATUS_SIZE];
    snprintf(text, sizeof text, "%.300s Type %c for yes; any other key: no.", question, letter);
    set_status(con, STYLE_CARE, text);
    con->answer = (unsigned char)letter;
    con->on_yes = on_yes;
}

const char *frame_name(const console *con, const mc_case *kase) {
    return con->names_hidden ? "(name hidden)" : kase->name;
}

/* ---- keys ---- */

static void leave(console *con, void *screen) {
    (void)screen;
    con->leaving = true;
}

static void redraw(console *con, void *screen) {
    (void)con;
    (void)screen;
    clearok(stdscr, TRUE);
}

static void open_help(console *con, void *screen) {
    (void)screen;
    help_open(con);
}

enum { CTRL_C = 3, CTRL_L = 12, CTRL_Q = 17 };

static const key_row FRAME_KEYS[] = {
    {KEY_F(1), '?', "F1 ?", "help", "this help", open_help},
    {CTRL_Q, KEY_F(10), "Ctrl-Q F10", "leave", "leave midcourse", leave},
    {CTRL_C, 0, "Ctrl-C", NULL, "leave midcourse", leave},
    {CTRL_L, 0, "Ctrl-L", NULL, "draw the whole screen again", redraw},
    {0}};

const key_row *frame_keys(void) {
    return FRAME_KEYS;
}

/* The terminal is too small for any screen. */
static bool too_small(void) {
    return COLS < CONSOLE_COLS || LINES < CONSOLE_ROWS;
}

static bool dispatch(console *con, const key_row *keys, void *self, int key) {
    for (const key_row *row = keys; row && row->act; row++) {
        if (key == row->key || (row->alike != 0 && key == row->alike)) {
            row->act(con, self);
            return true;
        }
    }
    return false;
}

/* An open question takes the next key, whatever it is. */
static void answer(console *con, int key) {
    void (*on_yes)(struct console *, void *) = con->on_yes;
    bool yes = key == con->answer;
    con->answer = 0;
    con->status[0] = '\0';
    if (yes)
        on_yes(con, con->stack[con->depth - 1].self);
}

void frame_key(console *con, int key) {
    if (con->depth == 0 || key == KEY_RESIZE)
        return;
    if (too_small()) { /* nothing is done unseen, except leaving */
        if (key == CTRL_Q || key == CTRL_C || key == KEY_F(10))
            con->leaving = true;
        return;
    }
    if (con->answer != 0) {
        answer(con, key);
        return;
    }
    const screen_ops *ops = con->stack[con->depth - 1].ops;
    void *self = con->stack[con->depth - 1].self;
    con->status[0] = '\0';
    if (dispatch(con, ops->keys, self, key) || dispatch(con, FRAME_KEYS, self, key))
        return;
    if (ops->typed)
        ops->typed(con, self, key);
}

/* ---- drawing ---- */

static void draw_title(const console *con, const screen_ops *ops, const void *self) {
    char left[MC_NAME_SIZE + 200], right[64], day[11];
    mc_day_text(con->today, day);
    snprintf(right, sizeof right, " %s%s%s ", con->who, con->who[0] ? "  " : "", day);
    int taken = mc_text_width(right, con->theme.ascii);
    left[0] = ' ';
    ops->title(con, self, left + 1, sizeof left - 1);
    put_filled(&con->theme, 0, 0, COLS, STYLE_TITLE, "");
    put(&con->theme, 0, 0, COLS - taken - 1, STYLE_TITLE, left);
    put(&con->theme, 0, COLS - taken, taken, STYLE_TITLE, right);
}

/* As many whole entries of the tables as fit, those of the screen first. */
static void draw_keys(const console *con, const key_row *keys) {
    const theme *look = &con->theme;
    const key_row *tables[] = {keys, FRAME_KEYS};
    int col = 1;
    for (size_t i = 0; i < 2; i++) {
        for (const key_row *row = tables[i]; row && row->act; row++) {
            if (!row->brief)
                continue;
            int width = (int)(strlen(row->name) + 1 + strlen(row->brief));
            if (col + width >= COLS)
                return;
            put(look, LINES - 1, col, width, STYLE_STRONG, row->name);
            put(look, LINES - 1, col + (int)strlen(row->name) + 1, width, STYLE_PLAIN, row->brief);
            col += width + 2;
        }
    }
}

/* Below its least size the console waits, saying what it needs in what room there is. */
static void draw_too_small(const console *con) {
    char text[100];
    snprintf(text, sizeof text, "midcourse needs %dx%d; this terminal is %dx%d", CONSOLE_COLS,
             CONSOLE_ROWS, COLS, LINES);
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
        const screen_ops *ops = con->stack[con->depth - 1].ops;
        void *self = con->stack[con->depth - 1].self;
        draw_title(con, ops, self);
        ops->draw(con, self, (area){1, 0, LINES - 3, COLS});
        put(&con->theme, LINES - 2, 1, COLS - 2, con->status_style, con->status);
        draw_keys(con, ops->keys);
    }
    place_cursor(con);
    if (con->repaint)
        redrawwin(stdscr);
    con->repaint = false;
}

/* ---- the loop ---- */

mc_status frame_begin(console *con, terminal *t, mc_error *error) {
    mc_status status = terminal_begin(t, error);
    if (status != MC_OK)
        return status;
    const char *no_colour = getenv("NO_COLOR");
    theme_start(&con->theme, theme_wants_ascii(nl_langinfo(CODESET), getenv("MIDCOURSE_ASCII")),
                no_colour && no_colour[0] != '\0');
    return MC_OK;
}

static double seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* No key for a moment: hide the names where it is time to; true where something is to be drawn. */
static bool idle(console *con, double since_key) {
    const screen_ops *ops = con->stack[con->depth - 1].ops;
    bool changed = ops->idle && ops->idle(con, con->stack[con->depth - 1].self);
    if (con->hide_after > 0 && since_key >= con->hide_after && !con->names_hidden)
        changed = con->names_hidden = true;
    return changed;
}

void frame_run(console *con) {
    double last_key = seconds();
    bool changed = true;
    while (!con->leaving) {
        if (changed) {
            frame_draw(con);
            refresh();
        }
        bool gone = false;
        int key = terminal_key(&gone);
        if (gone)
            return;
        changed = key != KEY_NOTHING || idle(con, seconds() - last_key);
        if (key == KEY_NOTHING)
            continue;
        last_key = seconds();
        con->names_hidden = false;
        frame_key(con, key);
    }
}
