/* The decision screen's parts in their places: the proposal and what it rests on, the choices side
 * by side with what each is expected to bring, what would be signed, what happens next; on larger
 * screens every option, how each tooth ends, and the teeth that matter. */
#include "decide_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <stdio.h>
#include <string.h>

enum {
    TEXT_COLS = LEFT_COLS - 2,
    SIGN_ROWS = 2,
    NEXT_ROWS = 2,
    SENTENCE_ROWS = 5,
    TABLE_ROWS = 1 + 1, /* its heading, and what is chosen taken together */
    FIXED_ROWS = 1 + 1 + TABLE_ROWS + 1 + SIGN_ROWS + NEXT_ROWS + 1,
    ARCHES_ROWS = 2 * ARCH_ROWS + 1,
    LEAST_BLOCK = 4,
    RIGHT_COL = LEFT_COLS + 2,
    RIGHT_FROM = 116,
    THIRD_COL = 122,
    THIRD_FROM = 160
};

static int lines_of(const console *con, const char *text, int columns) {
    char line[4096];
    int count = 0;
    while (mc_text_line(&text, columns, con->theme.ascii, line, sizeof line))
        count++;
    return count;
}

/* ---- the proposal ---- */

void decide_scroll(decide_view *d, int lines) {
    d->top += lines;
    if (d->top < 0)
        d->top = 0;
}

/* Whether the sentence names every tooth itself, as the screen numbers them: "35: rotation ...". */
static bool names_its_teeth(const console *con, const mc_proposal *proposal) {
    bool all = con->notation == MC_NOTATION_ISO;
    for (size_t i = 0; i < proposal->count && all; i++) {
        char named[8];
        snprintf(named, sizeof named, "%s:", words_tooth(con->notation, proposal->teeth[i]).text);
        all = strstr(proposal->sentence, named) != NULL;
    }
    return all;
}

/* The rule's sentence with its numbers, and the teeth it is about. */
static void proposal_text(const console *con, const decide_view *d, char *out, size_t size) {
    const mc_proposal *proposal = &d->chart.a->proposal;
    size_t used = (size_t)snprintf(out, size, "%s", proposal->sentence);
    if (names_its_teeth(con, proposal))
        return;
    for (size_t i = 0; i < proposal->count && used < size; i++)
        used += (size_t)snprintf(out + used, size - used, "%s%s", i == 0 ? " Teeth: " : " ",
                                 words_tooth(con->notation, proposal->teeth[i]).text);
}

/* What is known of the teeth that it names, as many as there is room for whole. */
static void draw_named(const console *con, const decide_view *d, int row, int end) {
    const mc_proposal *proposal = &d->chart.a->proposal;
    for (size_t i = 0; i < proposal->count && row < end; i++) {
        char text[1600], sentence[1500];
        chart_sentence(con, &d->chart, proposal->teeth[i], sentence, sizeof sentence);
        snprintf(text, sizeof text, "%s: %s", words_tooth(con->notation, proposal->teeth[i]).text,
                 sentence);
        int lines = lines_of(con, text, TEXT_COLS);
        if (row + lines > end)
            return;
        put_wrapped(&con->theme, (area){row, 1, lines, TEXT_COLS}, STYLE_FAINT, text);
        row += lines;
    }
}

/* From its line d->top on; said at the end of the heading where there is more. Below it what it
 * rests on. */
static void draw_proposal(console *con, decide_view *d, area box, const char *text, int lines) {
    static const char rest[] = " PgDn: the rest ";
    const theme *look = &con->theme;
    char heading[400], basis[160], line[4096];
    bool care = d->chart.a->proposal.choice == MC_PROPOSE_EXAMINE;
    int room = box.rows - 2, most = lines > room ? lines - room : 0;
    d->top = d->top > most ? most : d->top;
    decide_say_heading(con, d, heading, sizeof heading);
    int cut = most > 0 ? (int)strlen(rest) : 0;
    put_heading(look, box.row, box.col, box.cols - cut, heading);
    put(look, box.row, box.col + box.cols - cut, cut, STYLE_STRONG, rest);
    for (int i = 0; i < d->top + room; i++) {
        if (!mc_text_line(&text, TEXT_COLS, look->ascii, line, sizeof line))
            break;
        if (i >= d->top)
            put(look, box.row + 1 + i - d->top, box.col + 1, TEXT_COLS,
                care ? STYLE_CARE : STYLE_PLAIN, line);
    }
    draw_named(con, d, box.row + 1 + lines, box.row + 1 + room);
    decide_say_basis(d, TEXT_COLS, basis, sizeof basis);
    put(look, box.row + 1 + room, box.col + 1, TEXT_COLS, STYLE_STRONG, basis);
}

/* ---- the choices side by side ---- */

enum {
    KEY_COL = 1,
    BOX_COL = 3,
    NAME_COL = 7,
    PROPOSED_COL = 71,
    UPPER_COL = 112,
    LOWER_COL = 130,
    CHECKUP_COL = 148,
    NEXT_FROM = CHECKUP_COL + 11
};

/* "14 on 2026-11-30": the next aligner and its first day. */
static void draw_arch_cell(const theme *look, const mc_outlook *o, int arch, int row, int col) {
    enum { ARCH_CELL = 17 };
    char day[11];
    mc_day_text(o->change[arch] != MC_NO_DAY ? o->change[arch] : o->end[arch], day);
    if (o->stages[arch] == 0)
        put(look, row, col + 1, ARCH_CELL, STYLE_FAINT, "no series");
    else if (o->change[arch] != MC_NO_DAY)
        put_format(look, row, col, ARCH_CELL, STYLE_PLAIN, "%3d on %s", o->next[arch], day);
    else
        put_format(look, row, col + 1, ARCH_CELL, STYLE_PLAIN, "ends  %s", day);
}

/* What happens next by the dates, if a choice were signed alone. */
static void draw_dates(const console *con, const decide_view *d, const decide_row *row, area box) {
    const theme *look = &con->theme;
    const mc_outlook *o = &d->alone[row->choice];
    mc_option_ask standing = decide_ask_alone(d, row->choice);
    const mc_option *option = decide_weighed(d, &row->ask);
    char day[11];
    bool drafted = row->choice != MC_CORRECT || d->correction.file;
    if (standing.days != row->ask.days || standing.to != row->ask.to || !drafted || o->over ||
        !option || !option->possible)
        return;
    draw_arch_cell(look, o, MC_UPPER, box.row, box.col + UPPER_COL);
    draw_arch_cell(look, o, MC_LOWER, box.row, box.col + LOWER_COL);
    mc_day_text(o->next_checkup, day);
    put(look, box.row, box.col + CHECKUP_COL, 10, STYLE_PLAIN, day);
}

static const mc_option *carrying_on(const decide_view *d) {
    mc_option_ask ask = {.choices = 1u << MC_CARRY_ON, .to = -1};
    return decide_weighed(d, &ask);
}

static void draw_choice(const console *con, const decide_view *d, const decide_row *row, area box) {
    static const char keys[] = "chblkf";
    const theme *look = &con->theme;
    style ink = row->taken || row->proposed ? STYLE_STRONG : STYLE_PLAIN;
    char name[ROW_NAME_SIZE];
    decide_say_row(d, row, name);
    if (row->first)
        put_format(look, box.row, box.col + KEY_COL, 1, STYLE_STRONG, "%c", keys[row->choice]);
    put(look, box.row, box.col + BOX_COL, 3, ink, row->taken ? "[x]" : "[ ]");
    put(look, box.row, box.col + NAME_COL, EXPECTED_COL - NAME_COL - 1, ink, name);
    if (row->choice == MC_GO_BACK && row->ask.to < 1)
        put(look, box.row, box.col + EXPECTED_COL, LEFT_COLS - EXPECTED_COL, STYLE_FAINT,
            "there is no earlier aligner");
    else
        decide_draw_expected(con, decide_weighed(d, &row->ask), carrying_on(d), box);
    if (row->proposed)
        put(look, box.row, box.col + PROPOSED_COL, 8, STYLE_STRONG, "proposed");
    if (box.cols >= NEXT_FROM)
        draw_dates(con, d, row, box);
}

/* All that is chosen, taken together. */
static void draw_together(const console *con, const decide_view *d, area box) {
    mc_option_ask ask = decide_ask_chosen(d);
    put(&con->theme, box.row, box.col + NAME_COL, EXPECTED_COL - NAME_COL - 1, STYLE_STRONG,
        "your choice");
    if (d->choices)
        decide_draw_expected(con, decide_weighed(d, &ask), carrying_on(d), box);
    else
        put(&con->theme, box.row, box.col + EXPECTED_COL, LEFT_COLS - EXPECTED_COL, STYLE_FAINT,
            "type the letters of the choices");
}

static void draw_choices(const console *con, const decide_view *d, const decide_row *rows,
                         size_t count, area box) {
    decide_draw_expected_heading(con, box, "   choice by itself");
    if (box.cols >= NEXT_FROM)
        put(&con->theme, box.row, box.col + UPPER_COL, NEXT_FROM - UPPER_COL, STYLE_HEADING,
            "next upper        next lower        check-up");
    for (size_t i = 0; i < count; i++)
        draw_choice(con, d, &rows[i], (area){box.row + 1 + (int)i, box.col, 1, box.cols});
    draw_together(con, d, (area){box.row + 1 + (int)count, box.col, 1, box.cols});
}

/* ---- what would be signed, and what happens next ---- */

static void say_signing(const console *con, const decide_view *d, char *out, size_t size) {
    char all[DECIDE_TEXT_SIZE];
    decide_say_all(d, all, sizeof all);
    if (d->choices == 0)
        snprintf(out, size, "Nothing is chosen yet. Type the letters of the choices.");
    else
        snprintf(out, size, "%s: %s", decide_is_signing(con) ? "Sign" : "To sign", all);
}

static void draw_signing(const console *con, const decide_view *d, area box) {
    mc_person person;
    char text[DECIDE_TEXT_SIZE + 20], heading[80] = "What is signed";
    bool known = con->practice && mc_practice_actor(con->practice, &person);
    if (known && person.role != MC_DOCTOR)
        snprintf(heading, sizeof heading, "What a doctor signs (%s is no doctor)", person.initials);
    say_signing(con, d, text, sizeof text);
    for (int row = box.row; row < box.row + box.rows; row++) /* it may lie over something */
        put_filled(&con->theme, row, box.col, box.cols, STYLE_PLAIN, "");
    put_heading(&con->theme, box.row, box.col, box.cols, heading);
    put_wrapped(&con->theme, (area){box.row + 1, box.col + 1, box.rows - 1, TEXT_COLS},
                d->choices == 0 ? STYLE_FAINT : STYLE_STRONG, text);
}

static void draw_next(const console *con, const decide_view *d, area box) {
    char next[300], text[400];
    decide_say_next(&d->next, next, sizeof next);
    snprintf(text, sizeof text, "%s: %s", d->choices ? "Next" : "As it stands", next);
    put_wrapped(&con->theme, (area){box.row, box.col + 1, box.rows, TEXT_COLS}, STYLE_PLAIN, text);
}

/* ---- on larger screens ---- */

static void draw_arches(const console *con, const decide_view *d, area box) {
    int side = box.col + ARCH_COLS + 1, cols = box.cols - ARCH_COLS - 1;
    area upper = {box.row, box.col, ARCH_ROWS, ARCH_COLS};
    area rule = {box.row + ARCH_ROWS, box.col, 1, ARCH_COLS};
    area lower = {box.row + ARCH_ROWS + 1, box.col, ARCH_ROWS, ARCH_COLS};
    chart_draw_arch(con, &d->chart, MC_UPPER, upper);
    chart_draw_rule(con, &d->chart, rule);
    chart_draw_arch(con, &d->chart, MC_LOWER, lower);
    chart_draw_series(con, &d->chart, MC_UPPER, (area){upper.row, side, ARCH_ROWS, cols});
    chart_draw_series(con, &d->chart, MC_LOWER, (area){lower.row, side, ARCH_ROWS, cols});
}

/* What each choice as it stands does to each tooth; last what is chosen. */
static int draw_ends(const console *con, const decide_view *d, area box) {
    static const char *const headings[MC_CHOICES] = {
        [MC_CARRY_ON] = "carry",       [MC_HOLD] = "hold",   [MC_GO_BACK] = "back",
        [MC_LOCAL_MEASURES] = "local", [MC_CORRECT] = "now", [MC_FINISH] = "then"};
    ends_column columns[MC_CHOICES + 1];
    mc_option_ask together = decide_ask_chosen(d);
    for (int i = 0; i < MC_CHOICES; i++) {
        mc_option_ask ask = decide_ask_alone(d, (mc_choice)i);
        columns[i] = (ends_column){headings[i], decide_weighed(d, &ask)};
    }
    columns[MC_CHOICES] = (ends_column){"yours", d->choices ? decide_weighed(d, &together) : NULL};
    return decide_draw_ends(con, d, columns, MC_CHOICES + 1, box);
}

/* Below what stands at 80x24, as much as there is room for; words: not to be left to another place.
 */
static void draw_below(const console *con, const decide_view *d, area box, bool words) {
    char assumed[900];
    int row = box.row, end = box.row + box.rows;
    if (box.rows < LEAST_BLOCK)
        return;
    row += draw_ends(con, d, box);
    decide_say_assumed(d, assumed, sizeof assumed);
    int lines = lines_of(con, assumed, TEXT_COLS);
    if (end - row >= lines) {
        row += end - row > lines; /* a blank line where there is room for it */
        row += put_wrapped(&con->theme, (area){row, box.col + 1, lines, TEXT_COLS}, STYLE_FAINT,
                           assumed);
    }
    if (end - row <= ARCHES_ROWS)
        return;
    draw_arches(con, d, (area){row + 1, box.col, ARCHES_ROWS, box.cols});
    row += 1 + ARCHES_ROWS;
    if (words && end - row > LEAST_BLOCK)
        chart_draw_sentences(con, &d->chart, (area){row + 1, box.col, end - row - 1, box.cols});
}

/* Above the table, which is as wide as the screen, and below it. */
static void draw_beside(const console *con, const decide_view *d, area above, area below) {
    chart_draw_decisions(con, &d->chart, above);
    if (below.cols < THIRD_FROM - RIGHT_COL) {
        chart_draw_teeth(con, &d->chart, below);
        return;
    }
    area teeth = {below.row, below.col, below.rows, THIRD_COL - RIGHT_COL - 2};
    chart_draw_teeth(con, &d->chart, teeth);
    chart_draw_sentences(
        con, &d->chart,
        (area){below.row, THIRD_COL, below.rows, below.col + below.cols - THIRD_COL});
}

/* ---- all of it ---- */

/* The rows of a screen of this height, from the top down. */
typedef struct places {
    int sentence; /* how many of its lines */
    bool all;     /* every option has a row */
    decide_row rows[MOST_ROWS];
    size_t count;
    int table, signing, next, below;
} places;

/* What stands at 80x24 stands there at every size, in the same order; higher screens have a row for
 * every option, and then may a long proposal take more of the rows that there are. */
static void lay_out(const decide_view *d, area body, int lines, places *out) {
    int room = body.rows - FIXED_ROWS;
    out->sentence = SENTENCE_ROWS;
    out->count = decide_rows(d, true, out->rows);
    out->all = room >= SENTENCE_ROWS + (int)out->count;
    if (!out->all)
        out->count = decide_rows(d, false, out->rows);
    room -= (int)out->count;
    if (lines > out->sentence && room > out->sentence)
        out->sentence = lines < room ? lines : room;
    out->table = body.row + 1 + out->sentence + 1;
    out->signing = out->table + TABLE_ROWS + (int)out->count;
    out->next = out->signing + 1 + SIGN_ROWS;
    out->below = out->next + NEXT_ROWS + 1;
}

/* The signature's words, whole, if need be over the choices; or the choices above them. */
static void draw_middle(const console *con, const decide_view *d, const places *at, int cols) {
    char text[DECIDE_TEXT_SIZE + 20];
    say_signing(con, d, text, sizeof text);
    int more = lines_of(con, text, TEXT_COLS) - SIGN_ROWS;
    if (!decide_is_signing(con) || more <= 0) {
        draw_choices(con, d, at->rows, at->count, (area){at->table, 0, 1 + (int)at->count, cols});
        more = 0;
    }
    draw_signing(con, d, (area){at->signing - more, 0, 1 + SIGN_ROWS + more, LEFT_COLS});
}

void decide_draw(console *con, void *self, area body) {
    decide_view *d = self;
    char text[1200];
    places at;
    proposal_text(con, d, text, sizeof text);
    int lines = lines_of(con, text, TEXT_COLS), caution = body.row + body.rows - 1;
    lay_out(d, body, lines, &at);
    draw_proposal(con, d, (area){body.row, 0, at.table - body.row, LEFT_COLS}, text, lines);
    draw_middle(con, d, &at, body.cols);
    draw_next(con, d, (area){at.next, 0, NEXT_ROWS, LEFT_COLS});
    draw_below(con, d, (area){at.below, 0, caution - at.below, LEFT_COLS}, body.cols < THIRD_FROM);
    if (body.cols >= RIGHT_FROM) {
        int right = body.cols - RIGHT_COL;
        draw_beside(con, d, (area){body.row, RIGHT_COL, at.table - 1 - body.row, right},
                    (area){at.signing, RIGHT_COL, caution - at.signing, right});
    }
    chart_draw_caution(con, (area){caution, 0, 1, body.cols});
}
