/* Asking for a line of text in the status line. */
#include "prompt.h"

#include "bottom.h"
#include "midcourse/exchange.h"

#include <curses.h>
#include <stdio.h>
#include <string.h>

void frame_prompt(console *con, const char *label, const char *start, bool secret,
                  void (*on_text)(console *con, void *screen, const char *text)) {
    text_prompt *p = &con->prompt;
    snprintf(p->label, sizeof p->label, "%s", label);
    line_start(&p->line, start, 0);
    p->secret = secret;
    p->on_text = on_text;
    p->on_esc = NULL;
    p->open = true;
    con->answer = 0;
}

bool frame_is_asking(const console *con) {
    return con->answer != 0 || con->prompt.open;
}

void prompt_close(console *con) {
    line_wipe(&con->prompt.line);
    con->prompt.open = false;
}

/* ---- keys ---- */

/* The text is handed over as a copy, since on_text may ask the next question in its place. */
void prompt_take(console *con, void *screen) {
    text_line typed = con->prompt.line;
    prompt_close(con);
    con->status[0] = '\0';
    con->prompt.on_text(con, screen, typed.text);
    line_wipe(&typed);
}

void prompt_give_up(console *con, void *screen) {
    (void)screen;
    prompt_close(con);
    frame_say(con, "Not changed.");
    if (con->prompt.on_esc)
        con->prompt.on_esc(con);
}

static const key_row KEYS[] = {{'\n', 0, "Enter", "done", "take what was typed", prompt_take},
                               {KEY_ESC, CTRL_C, "Esc", "not now",
                                "take the question away, changing nothing (Ctrl-C too)",
                                prompt_give_up},
                               {0}};

const key_row *prompt_keys(void) {
    return KEYS;
}

void prompt_key(console *con, int key) {
    text_line *l = &con->prompt.line;
    size_t stays = line_stays(l);
    if (frame_dispatch(con, KEYS, key) || !line_key(l, key))
        return;
    if (terminal_character(key) != 0 && l->used == stays)
        frame_say(con, "There is no room for more.");
}

/* ---- drawing ---- */

/* A label that leaves too little room beside it stands above. */
int prompt_draw(console *con, int row) {
    const text_prompt *p = &con->prompt;
    int width = mc_text_width(p->label, con->theme.ascii), first = row, col = 1;
    bottom_clear(con, row);
    if (width > COLS / 2)
        first = bottom_text(con, row - 1, STYLE_STRONG, p->label);
    else
        col += 1 + put(&con->theme, row, col, width, STYLE_STRONG, p->label);
    con->cursor_row = row;
    con->cursor_col = line_draw(&con->theme, &p->line, row, col, COLS - 1 - col, p->secret);
    return first;
}
