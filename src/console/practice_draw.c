/* Drawing the practice screen. */
#include "practice_view.h"

#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- the list of shares ---- */

enum {
    TOOTH_COL = 1,
    MOVEMENT_COL = 17,
    PATIENTS_COL = 28, /* from here on each number ends where the next begins */
    OWN_COL = 37,
    SE_COL = 42,
    TAU_COL = 47,
    PUBLISHED_COL = 53,
    USED_COL = 63,
    STANDING_COL = 73,
    SCALE_COL = 84, /* where there is room for it */
    SCALE_COLS = 30,
    SCALE_MOST = 120 /* percent at its right end */
};

static void range_text(double low, double high, char *out, size_t size) {
    int from = (int)lround(100 * low), to = (int)lround(100 * high);
    if (from == to)
        snprintf(out, size, "%d", from);
    else
        snprintf(out, size, "%d-%d", from, to);
}

static bool has_scale(area box) {
    return box.cols >= SCALE_COL + SCALE_COLS + 1;
}

static void draw_headings(const console *con, area box) {
    const theme *look = &con->theme;
    char spread[16];
    snprintf(spread, sizeof spread, "%sSE", theme_mark(look, MARK_PLUS_MINUS));
    put(look, box.row, box.col + TOOTH_COL, 15, STYLE_HEADING, "tooth");
    put(look, box.row, box.col + MOVEMENT_COL, 10, STYLE_HEADING, "movement");
    put_right(look, box.row, box.col + PATIENTS_COL, 8, STYLE_HEADING, "patients");
    put_right(look, box.row, box.col + OWN_COL, 4, STYLE_HEADING, "own");
    put_right(look, box.row, box.col + SE_COL, 4, STYLE_HEADING, spread);
    put_right(look, box.row, box.col + TAU_COL, 4, STYLE_HEADING, "SD");
    put_right(look, box.row, box.col + PUBLISHED_COL, 9, STYLE_HEADING, "published");
    put_right(look, box.row, box.col + USED_COL, 8, STYLE_HEADING, "used now");
    if (has_scale(box)) {
        put(look, box.row, box.col + SCALE_COL, 2, STYLE_HEADING, "0");
        put(look, box.row, box.col + SCALE_COL + SCALE_COLS * 50 / SCALE_MOST, 3, STYLE_HEADING,
            "50");
        put(look, box.row, box.col + SCALE_COL + SCALE_COLS * 100 / SCALE_MOST, 3, STYLE_HEADING,
            "100");
    }
}

static int scale_place(double share) {
    double place = SCALE_COLS * 100 * share / SCALE_MOST;
    return place < 0 ? 0 : place >= SCALE_COLS ? SCALE_COLS - 1 : (int)place;
}

/* The published figures as a line, and the own one upon it. */
static void draw_scale(const console *con, const mc_own_share *s, area box) {
    const theme *look = &con->theme;
    int from = scale_place(s->published_low), to = scale_place(s->published_high);
    put_line(look, box.row, box.col + SCALE_COL + from, to - from + 1, STYLE_PLAIN);
    put(look, box.row, box.col + SCALE_COL + scale_place(s->mean), 1, STYLE_STRONG,
        theme_mark(look, MARK_TIMES));
}

static void draw_share(const console *con, const practice_view *v, int i, area box) {
    const theme *look = &con->theme;
    const mc_own_share *s = practice_share(v, i);
    char text[40];
    style ink = s->can_be_used ? STYLE_PLAIN : STYLE_FAINT;
    put(look, box.row, box.col + TOOTH_COL, 15, STYLE_PLAIN,
        mc_tooth_class_word((mc_tooth_class)v->line[i].of));
    put(look, box.row, box.col + MOVEMENT_COL, 10, STYLE_PLAIN,
        mc_movement_name((mc_movement)v->line[i].movement));
    words_count(s->patients, text);
    put_right(look, box.row, box.col + PATIENTS_COL, 8, ink, text);
    snprintf(text, sizeof text, "%.0f", 100 * s->mean);
    put_right(look, box.row, box.col + OWN_COL, 4, s->can_be_used ? STYLE_STRONG : ink, text);
    snprintf(text, sizeof text, "%.0f", 100 * s->se);
    put_right(look, box.row, box.col + SE_COL, 4, ink, text);
    snprintf(text, sizeof text, "%.0f", 100 * s->tau);
    put_right(look, box.row, box.col + TAU_COL, 4, ink, text);
    range_text(s->published_low, s->published_high, text, sizeof text);
    put_right(look, box.row, box.col + PUBLISHED_COL, 9, STYLE_PLAIN, text);
    range_text(s->used_low, s->used_high, text, sizeof text);
    put_right(look, box.row, box.col + USED_COL, 8, STYLE_PLAIN, text);
    put(look, box.row, box.col + STANDING_COL, 7, ink, practice_standing(s));
    if (has_scale(box))
        draw_scale(con, s, box);
    if (i == v->cursor)
        paint_over(look, (area){box.row, box.col, 1, STANDING_COL + 7}, STYLE_SELECTED);
}

static void keep_in_sight(practice_view *v) {
    if (v->cursor < v->top)
        v->top = v->cursor;
    if (v->cursor >= v->top + v->rows)
        v->top = v->cursor - v->rows + 1;
    int most = v->count > v->rows ? v->count - v->rows : 0;
    v->top = v->top > most ? most : v->top;
}

static void say_nothing(const console *con, const practice_view *v, area box) {
    box = (area){box.row, box.col + TOOTH_COL, box.rows, 76};
    if (!practice_is_reading(v))
        put_wrapped(&con->theme, box, STYLE_PLAIN,
                    "Nothing to tell yet: a plan counts once it is closed, or superseded by a "
                    "corrected one, and a tooth of it was read after a tracking tolerance of "
                    "planned movement.");
}

static void draw_list(console *con, practice_view *v, area box) {
    v->rows = box.rows;
    keep_in_sight(v);
    if (v->count == 0)
        say_nothing(con, v, box);
    for (int i = v->top; i < v->count && i < v->top + v->rows; i++)
        draw_share(con, v, i, (area){box.row + i - v->top, box.col, 1, box.cols});
    int below = v->count - v->top - v->rows;
    if (below > 0 && con->status[0] == '\0')
        frame_say(con, "%d more below", below);
}

/* The share under the cursor as a sentence. */
static void draw_words(const console *con, const practice_view *v, area box) {
    char published[40], used[40], text[500];
    if (v->count == 0)
        return;
    const mc_own_share *s = practice_share(v, v->cursor);
    const practice_line *line = &v->line[v->cursor];
    range_text(s->published_low, s->published_high, published, sizeof published);
    range_text(s->used_low, s->used_high, used, sizeof used);
    snprintf(text, sizeof text,
             "%s %s: %.0f %% of what was planned, in %zu reading%s of %zu patient%s; published "
             "%s %%, used now %s %%. %s",
             mc_tooth_class_word((mc_tooth_class)line->of),
             mc_movement_name((mc_movement)line->movement), 100 * s->mean, s->readings,
             s->readings == 1 ? "" : "s", s->patients, s->patients == 1 ? "" : "s", published, used,
             s->taken > 0                      ? "A doctor took it over."
             : s->can_be_used                  ? "A doctor may take it over."
             : s->patients < MC_LEAST_PATIENTS ? "Five patients are needed."
                                               : "It cannot be used.");
    text[0] = (char)(text[0] - 'a' + 'A');
    put_wrapped(&con->theme, (area){box.row, box.col + TOOTH_COL, box.rows, box.cols - 2},
                STYLE_PLAIN, text);
}

/* ---- method errors ---- */

enum { MM_COL = 24, MM_FROM_COL = 32, DEG_COL = 49, DEG_FROM_COL = 57, METHOD_ROWS = 6 };

static void draw_error(const console *con, const mc_own_method *m, int decimals, int row, int col,
                       int from_col) {
    char number[40], from[40] = "assumed";
    words_number(&con->theme, m->used, decimals, false, 7, number, sizeof number);
    put(&con->theme, row, col, 7, STYLE_PLAIN, number);
    if (m->used_pairs > 0)
        snprintf(from, sizeof from, "%d pairs", m->used_pairs);
    put(&con->theme, row, from_col, 14, m->used_pairs > 0 ? STYLE_PLAIN : STYLE_FAINT, from);
}

static void draw_methods(const console *con, const practice_view *v, area box) {
    static const char *const NAME[MC_METHODS] = {"eye", "caliper, protractor", "photograph",
                                                 "landmarks", "scan"};
    const theme *look = &con->theme;
    put(look, box.row, box.col + TOOTH_COL, 22, STYLE_HEADING, "error of one reading");
    put_right(look, box.row, box.col + MM_COL, 7, STYLE_HEADING, "mm");
    put(look, box.row, box.col + MM_FROM_COL, 14, STYLE_HEADING, "rests on");
    put_right(look, box.row, box.col + DEG_COL, 7, STYLE_HEADING, "deg");
    put(look, box.row, box.col + DEG_FROM_COL, 14, STYLE_HEADING, "rests on");
    for (int m = 0; m < MC_METHODS; m++) {
        int row = box.row + 1 + m;
        put(look, row, box.col + TOOTH_COL, 22, STYLE_PLAIN, NAME[m]);
        draw_error(con, &v->methods.of[m][0], 3, row, box.col + MM_COL, box.col + MM_FROM_COL);
        draw_error(con, &v->methods.of[m][1], 2, row, box.col + DEG_COL, box.col + DEG_FROM_COL);
    }
}

/* ---- the whole ---- */

static void draw_count(const console *con, const practice_view *v, area box) {
    char one[WORDS_COUNT_SIZE], other[WORDS_COUNT_SIZE], text[120];
    if (practice_is_reading(v)) {
        words_count(v->done, one);
        words_count(v->total, other);
        snprintf(text, sizeof text, "reading: %s of %s cases", one, other);
    } else {
        words_count(v->found.plans, one);
        words_count(v->found.patients, other);
        snprintf(text, sizeof text, "%s ended plan%s, %s patient%s", one,
                 v->found.plans == 1 ? "" : "s", other, v->found.patients == 1 ? "" : "s");
    }
    put(&con->theme, box.row, box.col + TOOTH_COL, 50, STYLE_PLAIN,
        "Achieved by own plans, % of what was planned");
    put_right(&con->theme, box.row, box.col, box.cols - 1, STYLE_PLAIN, text);
}

void practice_draw(console *con, void *self, area body) {
    enum { TOP_ROWS = 2, WORDS_ROWS = 2 };
    practice_view *v = self;
    int list = body.rows - TOP_ROWS - 1 - WORDS_ROWS - 1 - METHOD_ROWS;
    int row = body.row;
    draw_count(con, v, (area){row++, body.col, 1, body.cols});
    draw_headings(con, (area){row++, body.col, 1, body.cols});
    draw_list(con, v, (area){row, body.col, list, body.cols});
    row += list + 1;
    draw_words(con, v, (area){row, body.col, WORDS_ROWS, body.cols});
    row += WORDS_ROWS + 1;
    draw_methods(con, v, (area){row, body.col, METHOD_ROWS, body.cols});
}
