/* The workbench's tables: a tooth a row, and a contact a row. */
#include "bench_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum {
    TOOTH_COL = 1,
    IPR_COL = 4,
    CELL_COL = 6,
    CELL_STEP = 8,
    CELL_WIDTH = 7,
    NEEDS_COL = 54,
    SPAN_COL = 59,
    LIMIT_COL = 67
};

/* ---- teeth ---- */

static void draw_headings(const console *con, const bench_view *v, area box) {
    const theme *look = &con->theme;
    char shows[16];
    put_filled(look, box.row, box.col, LEFT_COLS, STYLE_HEADING, "");
    if (v->shows == BENCH_STAGE)
        snprintf(shows, sizeof shows, "at %d", v->stage);
    else
        snprintf(shows, sizeof shows, v->shows == BENCH_ENDS ? "ends" : "to go");
    put(look, box.row, box.col, CELL_COL, STYLE_WORST, shows);
    put(look, box.row, box.col + CELL_COL, NEEDS_COL - CELL_COL, STYLE_HEADING,
        "mes. mm buc. mm occ. mm rot.deg ang.deg inc.deg");
    put(look, box.row, box.col + NEEDS_COL, LEFT_COLS - NEEDS_COL, STYLE_HEADING,
        "need worn    limited by");
}

static void draw_cell(const console *con, const bench_view *v, mc_tooth tooth, mc_component c,
                      int row, int col) {
    const theme *look = &con->theme;
    char number[40], cell[48];
    double least = mc_component_is_linear(c) ? 0.005 : 0.05;
    double value = bench_number(v, tooth, c);
    bool here = tooth == v->cursor && c == v->column;
    words_number(look, fabs(value) < least ? 0 : value, words_decimals(c), true, CELL_WIDTH, number,
                 sizeof number);
    snprintf(cell, sizeof cell, "%s%s", number, bench_is_changed(v, tooth, c) ? "*" : " ");
    style ink = here                                             ? STYLE_SELECTED
                : fabs(value) < least && v->shows == BENCH_TO_GO ? STYLE_FAINT
                                                                 : STYLE_PLAIN;
    put(look, row, col, CELL_STEP, ink, cell);
}

/* The aligners that move it: "3-12"; how many it needs by itself, and what makes it so many. */
static void draw_span(const console *con, const bench_view *v, mc_tooth tooth, area box) {
    const theme *look = &con->theme;
    const mc_restaged_tooth *k = &mc_bench_account(bench_of(v))->tooth[tooth];
    const mc_bench_tooth *t = &v->tooth[tooth];
    char span[24] = "";
    if (k->first > 0)
        snprintf(span, sizeof span, "%d-%d", k->first, k->last);
    if (!t->may_move || t->stays || !k->moves) {
        put(look, box.row, box.col + LIMIT_COL, LEFT_COLS - LIMIT_COL, STYLE_FAINT,
            !t->may_move ? "not moved"
            : t->stays   ? "stays"
                         : "there already");
        return;
    }
    put_format(look, box.row, box.col + NEEDS_COL, 5, STYLE_PLAIN, "%4d", k->stages_needed);
    put(look, box.row, box.col + SPAN_COL, LIMIT_COL - SPAN_COL - 1, STYLE_PLAIN, span);
    put(look, box.row, box.col + LIMIT_COL, LEFT_COLS - LIMIT_COL, STYLE_PLAIN,
        bench_limit_short(k->limited_by));
}

static void draw_tooth(const console *con, const bench_view *v, mc_tooth tooth, area box) {
    const theme *look = &con->theme;
    const mc_tooth_ipr *ipr = &v->tooth[tooth].ipr;
    bool here = tooth == v->cursor;
    put(look, box.row, box.col, 1, STYLE_STRONG, here ? ">" : " ");
    put_format(look, box.row, box.col + TOOTH_COL, 3, here ? STYLE_STRONG : STYLE_PLAIN, "%3s",
               words_tooth(con->notation, tooth).text);
    if (ipr->mesial.mm > 0 || ipr->distal.mm > 0)
        put(look, box.row, box.col + IPR_COL, 1, STYLE_PLAIN, theme_mark(look, MARK_IPR));
    for (int c = 0; c < MC_COMPONENTS; c++)
        draw_cell(con, v, tooth, (mc_component)c, box.row, box.col + CELL_COL + CELL_STEP * c);
    draw_span(con, v, tooth, box);
}

/* The cursor's row is always in sight. */
static void scroll_to_cursor(bench_view *v, int room) {
    for (int i = 0; i < v->count; i++)
        if (v->teeth[i] == v->cursor) {
            v->top = i < v->top ? i : v->top;
            v->top = i >= v->top + room ? i - room + 1 : v->top;
        }
    int most = v->count > room ? v->count - room : 0;
    v->top = v->top > most ? most : v->top < 0 ? 0 : v->top;
}

void bench_draw_table(const console *con, bench_view *v, area box) {
    const theme *look = &con->theme;
    int room = box.rows - 1;
    bool cut = v->count > room;
    draw_headings(con, v, box);
    if (v->count == 0)
        put(look, box.row + 1, box.col + TOOTH_COL, LEFT_COLS - TOOTH_COL, STYLE_PLAIN,
            "No tooth has anything to go; e shows every tooth.");
    scroll_to_cursor(v, room - cut);
    for (int i = 0; i < room - cut && v->top + i < v->count; i++)
        draw_tooth(con, v, v->teeth[v->top + i], (area){box.row + 1 + i, box.col, 1, box.cols});
    if (cut)
        put_format(look, box.row + box.rows - 1, box.col + CELL_COL, LEFT_COLS - CELL_COL,
                   STYLE_FAINT, "%d to %d of %d teeth (Down, PgDn)", v->top + 1,
                   v->top + room - cut, v->count);
}

/* ---- contacts ---- */

enum { PAIR_COL = 1, MM_COL = 9, MM_STEP = 8, MM_WIDTH = 7, SAYS_COL = 59, AT_STAGE = 1 };

static void draw_contact(const console *con, const bench_view *v, const bench_contact *contact,
                         area box) {
    const theme *look = &con->theme;
    const mc_restaged_contact *k = contact->of;
    bool stage = v->shows == BENCH_STAGE;
    const double mm[] = {k->start, contact->now, k->most, k->end, k->ipr, k->allowed};
    char says[120], pair[20];
    style ink = k->missing > 0 ? STYLE_CARE : k->costs > 0 ? STYLE_STRONG : STYLE_PLAIN;
    snprintf(pair, sizeof pair, "%3s-%s", words_tooth(con->notation, k->right).text,
             words_tooth(con->notation, k->left).text);
    put(look, box.row, box.col + PAIR_COL, MM_COL - PAIR_COL, ink, pair);
    for (int i = 0; i < (int)(sizeof mm / sizeof *mm); i++) {
        char number[40];
        if (i == AT_STAGE && !stage)
            continue;
        words_number(look, mm[i], 2, false, MM_WIDTH, number, sizeof number);
        put(look, box.row, box.col + MM_COL + MM_STEP * i, MM_STEP, STYLE_PLAIN, number);
    }
    if (k->missing > 0)
        snprintf(says, sizeof says, "lacks %.2f%s", bench_missing(k),
                 k->target_overlaps ? " at targets" : " to pass");
    else
        bench_say_who(con, k, says, sizeof says);
    if (k->missing <= 0 && k->costs > 0)
        words_add(says, sizeof says, "%scosts %d", *says ? ", " : "", k->costs);
    if (k->missing <= 0 && k->passed_over > 0)
        words_add(says, sizeof says, "%slook there", *says ? ", " : "");
    put(look, box.row, box.col + SAYS_COL, LEFT_COLS - SAYS_COL, ink, says);
}

void bench_draw_contacts(const console *con, const bench_view *v, area box) {
    const theme *look = &con->theme;
    int room = box.rows - 1, count = (int)v->contacts;
    if (room < 1)
        return;
    put_filled(look, box.row, box.col, LEFT_COLS, STYLE_HEADING,
               " overlap      now                most     end     IPR  allowed");
    if (v->shows == BENCH_STAGE)
        put_format(look, box.row, box.col + MM_COL + MM_STEP, MM_STEP, STYLE_WORST, "  at %3d",
                   v->stage);
    if (count == 0)
        put(look, box.row + 1, box.col + PAIR_COL, LEFT_COLS - PAIR_COL, STYLE_PLAIN,
            mc_bench_account(bench_of(v))->overlap_checked
                ? "no tooth that moves has a neighbour"
                : "crowns are not checked against each other");
    bool cut = count > room;
    for (int i = 0; i < count && i < room - cut; i++)
        draw_contact(con, v, &v->contact[i], (area){box.row + 1 + i, box.col, 1, box.cols});
    if (cut)
        put_format(look, box.row + box.rows - 1, box.col + MM_COL, LEFT_COLS - MM_COL, STYLE_FAINT,
                   "and %d more, which do less", count - room + 1);
}
