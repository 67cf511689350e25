/* The lock and its page. */
#include "lock.h"

#include "prompt.h"
#include "sign_in.h"

#include <curses.h>
#include <stdio.h>
#include <string.h>

/* ---- locking ---- */

/* What is said and asked in front of the lock and behind it change places. */
static void change_places(console *con) {
    talk front = {.status_style = con->status_style,
                  .answer = con->answer,
                  .on_yes = con->on_yes,
                  .prompt = con->prompt};
    memcpy(front.status, con->status, sizeof front.status);
    memcpy(con->status, con->kept.status, sizeof con->status);
    con->status_style = con->kept.status_style;
    con->answer = con->kept.answer;
    con->on_yes = con->kept.on_yes;
    con->prompt = con->kept.prompt;
    con->kept = front;
    line_wipe(&front.prompt.line);
}

void lock_now(console *con, void *screen) {
    (void)screen;
    if (con->locked || !con->practice)
        return;
    sign_in_stop(con);
    if (con->prompt.open && con->prompt.secret)
        prompt_give_up(con, NULL);
    change_places(con);
    con->locked = con->repaint = true;
    sign_in_unlock(con);
}

void lock_open(console *con) {
    prompt_close(con);
    con->status[0] = '\0';
    change_places(con);
    con->locked = false;
    con->repaint = true;
}

void lock_idle(console *con) {
    const screen_ops *ops = con->stack[con->depth - 1].ops;
    change_places(con);
    con->behind = true;
    if (ops->idle)
        ops->idle(con, con->stack[con->depth - 1].self);
    con->behind = false;
    change_places(con);
}

/* ---- the page ---- */

static const key_row KEYS[] = {{'\n', 0, "Enter", "unlock", NULL, prompt_take},
                               {KEY_F(2), 0, "F2", "somebody else", NULL, sign_in_ask},
                               {CTRL_Q, KEY_F(10), "Ctrl-Q F10", "leave", NULL, frame_leave},
                               {CTRL_C, 0, "Ctrl-C", NULL, NULL, frame_leave},
                               {CTRL_L, 0, "Ctrl-L", NULL, NULL, frame_redraw},
                               {0}};

void lock_key(console *con, int key) {
    if (!frame_dispatch(con, KEYS, key))
        prompt_key(con, key);
}

static void title(const console *con, const void *self, char *left, size_t size) {
    (void)con;
    (void)self;
    snprintf(left, size, "Locked");
}

static void draw(console *con, void *self, area body) {
    char whose[100], unlock[100];
    (void)self;
    if (con->who[0] != '\0') {
        snprintf(whose, sizeof whose, "%s, %s, is signed in.", con->who, con->role);
        snprintf(unlock, sizeof unlock, "the passphrase of %s, then Enter", con->who);
    } else {
        snprintf(whose, sizeof whose, "Nobody is signed in.");
        snprintf(unlock, sizeof unlock, "initials, Enter, then the passphrase of that person");
    }
    const struct {
        style ink;
        const char *what, *how;
    } lines[] = {{STYLE_STRONG, "This console is locked.", ""},
                 {STYLE_PLAIN, whose, ""},
                 {STYLE_PLAIN, "Every screen is as it was left.", ""},
                 {STYLE_PLAIN, "", ""},
                 {STYLE_PLAIN, "to unlock", unlock},
                 {STYLE_PLAIN, "to leave", "Ctrl-Q"},
                 {STYLE_PLAIN, con->who[0] ? "to take over" : "",
                  con->who[0] ? "F2, then one's own initials and passphrase" : ""}};
    enum { COL = 1, HOW_COL = 16 };
    for (int i = 0; i < (int)(sizeof lines / sizeof *lines); i++) {
        put(&con->theme, body.row + 1 + i, COL, body.cols - COL, lines[i].ink, lines[i].what);
        put(&con->theme, body.row + 1 + i, HOW_COL, body.cols - HOW_COL, STYLE_STRONG,
            lines[i].how);
    }
}

static const screen_ops OPS = {.name = "lock", .keys = KEYS, .title = title, .draw = draw};

const screen_ops *lock_page(void) {
    return &OPS;
}
