/* A page to fill in. */
#include "form.h"

#include "line.h"
#include "midcourse/exchange.h"

#include <curses.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LABEL_COLS = 20, FIELD_ROWS = 3, MOST_COLS = 100, FAULT_SIZE = 640 };

struct form {
    const form_plan *plan;
    void *owner;
    size_t at; /* the field being typed */
    text_line line[MOST_FIELDS];
    char fault[MOST_FIELDS][FAULT_SIZE];
};

/* ---- what stands in it ---- */

void *form_owner(const form *f) {
    return f->owner;
}

/* Blanks at the edges are a slip of the finger. */
static void trim(form *f, size_t field) {
    char text[LINE_SIZE];
    const char *start = f->line[field].text + strspn(f->line[field].text, " ");
    size_t length = strlen(start);
    while (length > 0 && start[length - 1] == ' ')
        length--;
    if (length == f->line[field].used)
        return;
    snprintf(text, sizeof text, "%.*s", (int)length, start);
    line_start(&f->line[field], text, f->plan->fields[field].most);
}

const char *form_text(const form *f, size_t field) {
    return f->line[field].text;
}

void form_set(form *f, size_t field, const char *text) {
    line_offer(&f->line[field], text, f->plan->fields[field].most);
    f->fault[field][0] = '\0';
}

void form_fault(form *f, size_t field, const char *why) {
    snprintf(f->fault[field], sizeof f->fault[field], "%s", why);
    f->at = field;
}

mc_status form_day(const char *text, mc_day *day, mc_error *error) {
    return mc_day_parse(text, day)
               ? MC_OK
               : mc_fail(error, MC_REFUSED, "a date is written YYYY-MM-DD, as in 2026-03-02");
}

/* Look at one field; what is wrong stands there from then on. */
static bool look_at(console *con, form *f, size_t field) {
    mc_error error = {0};
    const form_field *about = &f->plan->fields[field];
    trim(f, field);
    f->fault[field][0] = '\0';
    if (!about->check || about->check(con, f, form_text(f, field), &error) == MC_OK)
        return true;
    snprintf(f->fault[field], sizeof f->fault[field], "%s", error.text);
    return false;
}

/* ---- drawing ---- */

static void draw_value(console *con, const form *f, size_t field, int row, area box) {
    const theme *look = &con->theme;
    int col = box.col + LABEL_COLS, room = box.cols - LABEL_COLS;
    const char *text = form_text(f, field);
    if (con->names_hidden && f->plan->fields[field].personal && text[0] != '\0') {
        put(look, row, col, room, STYLE_FAINT, "(hidden)");
    } else if (field == f->at) {
        con->cursor_row = row;
        con->cursor_col = line_draw(look, &f->line[field], row, col, room, false);
    } else {
        put(look, row, col, room, STYLE_PLAIN, text);
    }
}

/* What is to be typed, or why it cannot be so, with the mark of what needs care. */
static void draw_below(const console *con, const form *f, size_t field, int row, area box) {
    const theme *look = &con->theme;
    char text[FAULT_SIZE + 8];
    bool wrong = f->fault[field][0] != '\0';
    area below = {row, box.col + LABEL_COLS, FIELD_ROWS - 1, box.cols - LABEL_COLS};
    if (wrong)
        snprintf(text, sizeof text, "%s %s", theme_mark(look, MARK_CARE), f->fault[field]);
    else
        snprintf(text, sizeof text, "%s", f->plan->fields[field].hint);
    put_wrapped(look, below, wrong ? STYLE_CARE : STYLE_FAINT, text);
}

static void draw(console *con, void *self, area body) {
    const form *f = self;
    area box = {body.row, body.col + 1, body.rows, body.cols - 2};
    if (box.cols > MOST_COLS)
        box.cols = MOST_COLS;
    put_wrapped(&con->theme, (area){box.row, box.col, 2, box.cols}, STYLE_PLAIN, f->plan->heading);
    for (size_t i = 0; i < f->plan->count; i++) {
        int row = box.row + 2 + FIELD_ROWS * (int)i;
        bool here = i == f->at;
        put(&con->theme, row, box.col, 2, STYLE_STRONG, here ? ">" : " ");
        put(&con->theme, row, box.col + 2, LABEL_COLS - 3, here ? STYLE_STRONG : STYLE_PLAIN,
            f->plan->fields[i].label);
        draw_value(con, f, i, row, box);
        draw_below(con, f, i, row + 1, box);
    }
}

static void title(const console *con, const void *self, char *left, size_t size) {
    (void)con;
    snprintf(left, size, "%s", ((const form *)self)->plan->title);
}

/* ---- keys ---- */

static void typed(console *con, void *self, int key) {
    form *f = self;
    text_line *l = &f->line[f->at];
    size_t stays = line_stays(l);
    if (!line_key(l, key))
        return;
    f->fault[f->at][0] = '\0';
    if (terminal_character(key) != 0 && l->used == stays)
        frame_say(con, "There is no room for more.");
}

static void question_mark(console *con, void *self) {
    typed(con, self, '?');
}

/* A field that cannot be so says why, but holds nobody back. */
static void go_to(console *con, form *f, size_t field) {
    look_at(con, f, f->at);
    f->at = field;
}

static void up(console *con, void *self) {
    form *f = self;
    go_to(con, f, f->at > 0 ? f->at - 1 : 0);
}

static void down(console *con, void *self) {
    form *f = self;
    go_to(con, f, f->at + 1 < f->plan->count ? f->at + 1 : f->at);
}

/* Every field once more, since one may have been left as it cannot be. */
static void finish(console *con, form *f) {
    size_t first = f->plan->count;
    for (size_t i = f->plan->count; i > 0; i--)
        if (!look_at(con, f, i - 1))
            first = i - 1;
    if (first < f->plan->count)
        f->at = first;
    else
        f->plan->filled(con, f);
}

static void enter(console *con, void *self) {
    form *f = self;
    if (!look_at(con, f, f->at))
        return;
    if (f->at + 1 < f->plan->count)
        f->at++;
    else
        finish(con, f);
}

static void give_up(console *con, void *self) {
    const char *said = ((form *)self)->plan->given_up;
    frame_back(con, self);
    frame_say(con, "%s", said);
}

static const key_row KEYS[] = {
    {'\n', '\t', "Enter", "next field",
     "take the field and go to the next (Tab too); after the last, look at it all before anything "
     "is done",
     enter},
    {KEY_UP, KEY_BTAB, "Up", "field before", "to the field before (Shift-Tab too)", up},
    {KEY_DOWN, 0, "Down", NULL, "to the field below", down},
    {KEY_ESC, 0, "Esc", "give up", "back to where you were; nothing is changed", give_up},
    {'?', 0, "?", NULL, "a question mark; F1 is the help here", question_mark},
    {0}};

static void close_form(void *self) {
    form *f = self;
    for (size_t i = 0; i < f->plan->count; i++)
        line_wipe(&f->line[i]);
    if (f->plan->close)
        f->plan->close(f->owner); /* the plan may go with it */
    free(f);
}

static const screen_ops OPS = {.name = "a page to fill in",
                               .keys = KEYS,
                               .typing = "go into the field; Backspace takes the last back, Ctrl-U "
                                         "all of it",
                               .typed = typed,
                               .title = title,
                               .draw = draw,
                               .close = close_form,
                               .takes_paste = true};

/* ---- opening ---- */

form *form_new(const form_plan *plan, void *owner) {
    form *f = calloc(1, sizeof *f);
    if (!f) {
        if (plan->close)
            plan->close(owner);
        return NULL;
    }
    f->plan = plan;
    f->owner = owner;
    for (size_t i = 0; i < plan->count; i++)
        line_start(&f->line[i], NULL, plan->fields[i].most);
    return f;
}

void form_open(console *con, form *f) {
    frame_open(con, &OPS, f);
}
