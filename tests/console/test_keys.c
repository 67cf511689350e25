/* Every key that a help page tells of does something: on each screen, from where it has something
 * to do, the picture, the cursor or the stack of screens is another afterwards; and the help page
 * of that screen tells of every key of its table. On the demo practice, drawn where nobody looks.
 */
#include "demo.h"
#include "frame.h"
#include "help.h"
#include "roster.h"
#include "sign_in.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <curses.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <wchar.h>

static char record[100];

/* ---- a console on a terminal that nobody sees ---- */

enum { ROWS = 24, COLUMNS = 80, TALL = 200 };

typedef struct stage {
    console con;
    SCREEN *screen;
    FILE *out, *in;
} stage;

static void begin(stage *s, int rows) {
    mc_error error = {0};
    *s = (stage){0};
    snprintf(record, sizeof record, "%s/demo.db", folder);
    copy_demo(record);
    s->out = fopen("/dev/null", "w");
    s->in = fopen("/dev/null", "r");
    s->screen = newterm("xterm-256color", s->out, s->in);
    assert_non_null(s->screen);
    resizeterm(rows, COLUMNS);
    s->con.today = today();
    theme_start(&s->con.theme, false, false);
    if (mc_practice_open(record, today(), &s->con.practice, &error) != MC_OK ||
        mc_practice_act_as(s->con.practice, "IBA", &error) != MC_OK ||
        roster_open(&s->con, &error) != MC_OK)
        fail_msg("%s", error.text);
    sign_in_look_up(&s->con);
    frame_draw(&s->con);
}

static void end(stage *s) {
    frame_close(&s->con);
    mc_practice_close(s->con.practice);
    endwin();
    delscreen(s->screen);
    fclose(s->out);
    fclose(s->in);
}

/* Drawn after each key, as in real use. */
static void press(stage *s, int key) {
    frame_key(&s->con, key);
    frame_draw(&s->con);
}

/* ---- screens, and how one gets there ---- */

enum { MOST_KEYS = 16 };

typedef struct place {
    const char *name;
    int keys[MOST_KEYS];
} place;

static const place PLACES[] = {
    {"roster", {KEY_DOWN, KEY_DOWN}},
    {"chart", {'1', '0', '0', '5', '\n', KEY_LEFT}},
    {"tooth", {'1', '0', '0', '5', '\n', 't', KEY_LEFT}},
    {"occlusal view", {'1', '0', '0', '5', '\n', 'o', KEY_LEFT}},
    {"check-up form", {'1', '0', '0', '1', '\n', 'e', 't', '1', '2', '4', KEY_LEFT}},
    {"decision", {'1', '0', '0', '8', '\n', 'd'}},
    {"workbench", {'1', '0', '0', '5', '\n', 'd', 'k', KEY_DOWN, KEY_DOWN}},
    {"history", {'1', '0', '0', '5', '\n', 'r', KEY_DOWN}},
    {"page", {'1', '0', '0', '5', '\n', '?', KEY_DOWN}},
    {"a page to fill in", {KEY_F(7), KEY_DOWN}},
};

/* Keys that have something to do only after others. */
typedef struct before {
    const char *place;
    int key;
    int keys[6];
} before;

static const before BEFORE[] = {
    {"roster", KEY_BACKSPACE, {'1'}}, {"chart", '0', {'+'}},
    {"chart", KEY_DOWN, {KEY_UP}},    {"chart", 'j', {KEY_UP}},
    {"tooth", KEY_DOWN, {KEY_UP}},    {"tooth", 'j', {KEY_UP}},
    {"occlusal view", '0', {'+'}},    {"occlusal view", KEY_DOWN, {KEY_UP}},
    {"occlusal view", 'j', {KEY_UP}}, {"check-up form", KEY_BACKSPACE, {'r', '1'}},
    {"check-up form", 'f', {'r'}},    {"check-up form", KEY_UP, {KEY_DOWN}},
};

/* Keys that have nothing to do on the demo's cases: all of its proposals fit their place. A longer
 * one is read on in test_decide. */
static bool has_nothing_to_do(const char *where, int key) {
    return strcmp(where, "decision") == 0 && (key == KEY_NPAGE || key == KEY_PPAGE);
}

static void go_to(stage *s, const place *where, int key) {
    for (int i = 0; i < MOST_KEYS && where->keys[i]; i++)
        press(s, where->keys[i]);
    for (size_t b = 0; b < sizeof BEFORE / sizeof *BEFORE; b++)
        if (strcmp(BEFORE[b].place, where->name) == 0 && BEFORE[b].key == key)
            for (int i = 0; i < 6 && BEFORE[b].keys[i]; i++)
                press(s, BEFORE[b].keys[i]);
}

static const screen_ops *top(const stage *s) {
    return s->con.stack[s->con.depth - 1].ops;
}

/* ---- every key does something ---- */

typedef struct snapshot {
    cchar_t cell[ROWS][COLUMNS];
    int cursor_row, cursor_col;
    size_t depth;
    bool leaving, locked, prompting;
} snapshot;

static void take(stage *s, snapshot *out) {
    memset(out, 0, sizeof *out);
    for (int row = 0; row < ROWS; row++)
        for (int col = 0; col < COLUMNS; col++)
            mvin_wch(row, col, &out->cell[row][col]);
    out->cursor_row = s->con.cursor_row;
    out->cursor_col = s->con.cursor_col;
    out->depth = s->con.depth;
    out->leaving = s->con.leaving;
    out->locked = s->con.locked;
    out->prompting = s->con.prompt.open;
}

static bool same(const snapshot *a, const snapshot *b) {
    for (int row = 0; row < ROWS; row++)
        for (int col = 0; col < COLUMNS; col++) {
            wchar_t one[CCHARW_MAX + 1] = {0}, other[CCHARW_MAX + 1] = {0};
            attr_t ink, other_ink;
            short pair, other_pair;
            getcchar(&a->cell[row][col], one, &ink, &pair, NULL);
            getcchar(&b->cell[row][col], other, &other_ink, &other_pair, NULL);
            if (wcscmp(one, other) != 0 || ink != other_ink || pair != other_pair)
                return false;
        }
    return a->cursor_row == b->cursor_row && a->cursor_col == b->cursor_col &&
           a->depth == b->depth && a->leaving == b->leaving && a->locked == b->locked &&
           a->prompting == b->prompting;
}

static int dead_keys;

/* A status sentence counts: a key that cannot do what it is for says why. */
static void try_key(const place *where, int key, const char *name) {
    static snapshot earlier, later;
    stage s;
    begin(&s, ROWS);
    go_to(&s, where, key);
    assert_string_equal(top(&s)->name, where->name);
    s.con.status[0] = '\0';
    frame_draw(&s.con);
    take(&s, &earlier);
    press(&s, key);
    take(&s, &later);
    if (same(&earlier, &later) != has_nothing_to_do(where->name, key)) {
        print_error("%s: %s (%d) does nothing, or now does something\n", where->name, name, key);
        dead_keys++;
    }
    end(&s);
}

static void every_key_does_something(void **state) {
    (void)state;
    for (size_t p = 0; p < sizeof PLACES / sizeof *PLACES; p++) {
        stage s;
        begin(&s, ROWS);
        go_to(&s, &PLACES[p], 0);
        assert_string_equal(top(&s)->name, PLACES[p].name);
        const key_row *keys = top(&s)->keys;
        end(&s);
        for (const key_row *row = keys; row->act; row++) {
            try_key(&PLACES[p], row->key, row->name);
            if (row->alike)
                try_key(&PLACES[p], row->alike, row->name);
        }
    }
    assert_int_equal(dead_keys, 0);
}

/* ---- the help page tells of every key ---- */

static bool stands(const char *label, const char *text) {
    char line[4 * COLUMNS + 1];
    for (int row = 0; row < LINES; row++) {
        wchar_t cells[COLUMNS + 1];
        mbstate_t shift = {0};
        const wchar_t *from = cells;
        mvinnwstr(row, 0, cells, COLUMNS);
        line[wcsrtombs(line, &from, 4 * COLUMNS, &shift)] = '\0';
        if (strncmp(line + 1, label, strlen(label)) == 0 && strstr(line, text))
            return true;
    }
    return false;
}

/* The first words of what a key does: a line of the page begins with them. */
static void first_words(const char *does, char out[32]) {
    snprintf(out, 32, "%.20s", does);
    char *cut = strlen(does) > 20 ? strrchr(out, ' ') : NULL;
    if (cut)
        *cut = '\0';
}

static void help_tells_of_every_key(void **state) {
    (void)state;
    for (size_t p = 0; p < sizeof PLACES / sizeof *PLACES; p++) {
        stage s;
        begin(&s, TALL);
        go_to(&s, &PLACES[p], 0);
        const key_row *tables[] = {top(&s)->keys, frame_keys()};
        help_open(&s.con);
        frame_draw(&s.con);
        for (int t = 0; t < 2; t++)
            for (const key_row *row = tables[t]; row->act; row++) {
                char words[32];
                if (!row->does)
                    continue;
                first_words(row->does, words);
                if (!stands(row->name, words))
                    fail_msg("help of %s does not tell of %s: %s", PLACES[p].name, row->name,
                             row->does);
            }
        end(&s);
    }
}

int main(void) {
    setlocale(LC_CTYPE, "C.UTF-8");
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_key_does_something),
        cmocka_unit_test(help_tells_of_every_key),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
