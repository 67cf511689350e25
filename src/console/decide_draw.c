/* The decision screen's parts in their places: the proposal, the choices with what each means, what
 * would be signed, what happens next; on larger screens the arches and the teeth that matter. */
#include "decide_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <stdio.h>
#include <string.h>

enum {
    TEXT_COLS = LEFT_COLS - 2,
    SIGN_ROWS = 2,
    NEXT_ROWS = 2,
    SENTENCE_ROWS = 7,
    FIXED_ROWS = 1 + 1 + MC_CHOICES + 1 + SIGN_ROWS + NEXT_ROWS + 1,
    ARCHES_ROWS = 2 * ARCH_ROWS + 1,
    LEAST_BLOCK = 4,
    RIGHT_COL = LEFT_COLS + 2,
    RIGHT_FROM = 116,
    THIRD_COL = 122,
    THIRD_FROM = 160,
    MOST_LIST = 20
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

/* The rule's sentence with its numbers, and the teeth it is about. */
static void proposal_text(const console *con, const decide_view *d, char *out, size_t size) {
    const mc_proposal *proposal = &d->chart.a->proposal;
    size_t used = (size_t)snprintf(out, size, "%s", proposal->sentence);
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

/* From its line d->top on; said in the heading where there is more. */
static void draw_proposal(console *con, decide_view *d, area box, const char *text, int lines) {
    const theme *look = &con->theme;
    char heading[340], label[300], line[4096];
    bool care = d->chart.a->proposal.choice == MC_PROPOSE_EXAMINE;
    int room = box.rows - 1, most = lines > room ? lines - room : 0;
    d->top = d->top > most ? most : d->top;
    chart_proposal_label(con, &d->chart, label, sizeof label);
    label[strlen(label) - 2] = '\0';
    snprintf(heading, sizeof heading, "%s%s", label, most > 0 ? "  (PgDn, PgUp: the rest)" : "");
    put_heading(look, box.row, box.col, box.cols, heading);
    for (int i = 0; i < d->top + room; i++) {
        if (!mc_text_line(&text, TEXT_COLS, look->ascii, line, sizeof line))
            break;
        if (i >= d->top)
            put(look, box.row + 1 + i - d->top, box.col + 1, TEXT_COLS,
                care ? STYLE_CARE : STYLE_PLAIN, line);
    }
    draw_named(con, d, box.row + 1 + lines, box.row + box.rows);
}

/* ---- the choices ---- */

enum {
    KEY_COL = 1,
    BOX_COL = 3,
    NAME_COL = 7,
    UPPER_COL = 22,
    LOWER_COL = 40,
    CHECKUP_COL = 59,
    PROPOSED_COL = 71
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

/* What a choice would mean if it alone were signed. */
static void draw_meaning(const console *con, const decide_view *d, mc_choice choice, int row) {
    const theme *look = &con->theme;
    const mc_outlook *o = &d->alone[choice];
    char day[11];
    int nearest, furthest;
    decide_back_range(d->chart.a, &nearest, &furthest);
    if (choice == MC_CORRECT && !d->correction.file) {
        put(look, row, UPPER_COL + 1, 45, STYLE_FAINT,
            "k drafts a new plan from where the teeth are");
    } else if (choice == MC_CORRECT && d->correction.why_not[0] != '\0') {
        put(look, row, UPPER_COL + 1, 45, STYLE_FAINT, "not to be signed: k shows why");
    } else if (choice == MC_GO_BACK && nearest < 1) {
        put(look, row, UPPER_COL + 1, 45, STYLE_FAINT, "there is no earlier aligner");
    } else if (o->over) {
        put(look, row, UPPER_COL + 1, 45, STYLE_PLAIN, "closes the plan: the series is at its end");
    } else {
        draw_arch_cell(look, o, MC_UPPER, row, UPPER_COL);
        draw_arch_cell(look, o, MC_LOWER, row, LOWER_COL);
        mc_day_text(o->next_checkup, day);
        put(look, row, CHECKUP_COL, 10, STYLE_PLAIN, day);
    }
}

static void draw_choices(const console *con, const decide_view *d, int row) {
    static const char keys[] = "chblkf";
    const theme *look = &con->theme;
    mc_choice proposed = mc_choice_of(d->chart.a->proposal.choice);
    put_filled(look, row, 0, LEFT_COLS, STYLE_HEADING,
               "   choice by itself    next upper        next lower        check-up");
    for (int i = 0; i < MC_CHOICES; i++) {
        mc_choice choice = (mc_choice)i;
        bool chosen = decide_chosen(d, choice);
        char name[60];
        row++;
        decide_say_choice(d, choice, name, sizeof name);
        put_format(look, row, KEY_COL, 1, STYLE_STRONG, "%c", keys[i]);
        put(look, row, BOX_COL, 3, chosen ? STYLE_STRONG : STYLE_PLAIN, chosen ? "[x]" : "[ ]");
        put(look, row, NAME_COL, UPPER_COL - NAME_COL - 1, chosen ? STYLE_STRONG : STYLE_PLAIN,
            name);
        draw_meaning(con, d, choice, row);
        if (choice == proposed)
            put(look, row, PROPOSED_COL, 8, STYLE_STRONG, "proposed");
    }
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

/* Below what stands at 80x24. */
static void draw_below(const console *con, const decide_view *d, area box) {
    if (box.rows < ARCHES_ROWS)
        return;
    draw_arches(con, d, box);
    area rest = {box.row + ARCHES_ROWS + 1, box.col, box.rows - ARCHES_ROWS - 1, box.cols};
    if (rest.rows >= LEAST_BLOCK)
        chart_draw_sentences(con, &d->chart, rest);
}

static void draw_beside(const console *con, const decide_view *d, area box) {
    bool third = box.cols >= THIRD_FROM;
    int width = third ? THIRD_COL - RIGHT_COL - 2 : box.cols - RIGHT_COL;
    area teeth = {box.row, RIGHT_COL, box.rows, width};
    area decisions = {box.row, THIRD_COL, box.rows, box.cols - THIRD_COL};
    if (!third && box.rows >= MOST_LIST + 1 + LEAST_BLOCK) {
        teeth.rows = MOST_LIST;
        decisions = (area){box.row + MOST_LIST + 1, RIGHT_COL, box.rows - MOST_LIST - 1, width};
    }
    chart_draw_teeth(con, &d->chart, teeth);
    if (third || teeth.rows < box.rows)
        chart_draw_decisions(con, &d->chart, decisions);
}

/* ---- all of it ---- */

/* The signature's words, whole, if need be over the choices; or the choices above them. */
static void draw_middle(const console *con, const decide_view *d, int choices, int signing) {
    char text[DECIDE_TEXT_SIZE + 20];
    say_signing(con, d, text, sizeof text);
    int more = lines_of(con, text, TEXT_COLS) - SIGN_ROWS;
    if (!decide_is_signing(con) || more <= 0) {
        draw_choices(con, d, choices);
        more = 0;
    }
    draw_signing(con, d, (area){signing - more, 0, 1 + SIGN_ROWS + more, LEFT_COLS});
}

/* What stands at 80x24 stands there at every size, but for a long proposal, which may take more of
 * the rows that there are. */
void decide_draw(console *con, void *self, area body) {
    decide_view *d = self;
    char text[1200];
    proposal_text(con, d, text, sizeof text);
    int lines = lines_of(con, text, TEXT_COLS);
    int room = body.rows - FIXED_ROWS, sentence = SENTENCE_ROWS;
    if (lines > sentence && room > sentence)
        sentence = lines < room ? lines : room;
    int row = body.row + 1 + sentence;
    draw_proposal(con, d, (area){body.row, 0, 1 + sentence, LEFT_COLS}, text, lines);
    draw_middle(con, d, row, row + 1 + MC_CHOICES);
    row += 1 + MC_CHOICES + 1 + SIGN_ROWS;
    draw_next(con, d, (area){row, 0, NEXT_ROWS, LEFT_COLS});
    row += NEXT_ROWS + 1;
    int caution = body.row + body.rows - 1;
    draw_below(con, d, (area){row, 0, caution - row, LEFT_COLS});
    if (body.cols >= RIGHT_FROM)
        draw_beside(con, d, (area){body.row, 0, caution - body.row, body.cols});
    chart_draw_caution(con, (area){caution, 0, 1, body.cols});
}
