/* The workbench's parts in their places: what it is and whether it can be signed, the series, the
 * teeth, the cell under the cursor; beside or below them, where there is room, the arches and the
 * account; and in their place where there is none. */
#include "bench_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <stdio.h>
#include <string.h>

enum {
    TEXT_COLS = LEFT_COLS - 2,
    VERDICT_ROWS = 2,
    VERDICT_ROWS_BELOW = 4, /* where there is room */
    CELL_ROWS = 2,
    BESIDE_COL = LEFT_COLS + 2,
    BESIDE_FROM = 116,
    THIRD_COL = 139,
    THIRD_FROM = 198,
    BELOW_FROM = 30,
    ACCOUNT_ROWS = 14, /* wanted for the account where it stands below the teeth */
    LEAST_TEETH = 8,
    EXPECTED_ROWS = 1 + MC_BENCH_OPTIONS,
    ENDS_ROWS = 5, /* of how each tooth ends, where the account is cut short */
    LEAST_CONTACTS = 5
};

static const char CAUTION[] =
    "Decision support: the doctor decides. Estimated crowns are no measurement.";

bool bench_has_arches_beside(area body) {
    return body.cols >= BESIDE_FROM;
}

bool bench_has_account_below(area body) {
    return body.rows >= BELOW_FROM;
}

/* ---- what it is ---- */

/* Returns the rows taken. */
static int draw_verdict(const console *con, const correction *c, area box) {
    char text[1400];
    bool good = c->why_not[0] == '\0';
    size_t count = c->warnings.count;
    snprintf(text, sizeof text, "%s%s%s",
             good ? "It can be signed as an order." : "PREVIEW, not to be signed or ordered: ",
             c->why_not, good ? "" : ".");
    if (count > 0)
        words_add(text, sizeof text, " %zu warning%s, %s: %.300s%s", count, count == 1 ? "" : "s",
                  c->accepted ? "accepted" : "not accepted (a accepts, v reads all)",
                  c->warnings.list[0].text, count > 1 ? " ..." : "");
    return put_wrapped(&con->theme, box, good && count == 0 ? STYLE_PLAIN : STYLE_CARE, text);
}

static void draw_series(const console *con, const bench_view *v, area box) {
    const correction *c = &v->d->correction;
    char text[BENCH_TEXT_SIZE];
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        bench_say_series(v, con, (mc_arch)arch, text, sizeof text);
        put(&con->theme, box.row + arch, box.col, box.cols,
            c->stages[arch] > 0 ? STYLE_STRONG : STYLE_PLAIN, text);
    }
    bench_say_start(v, text, sizeof text);
    put(&con->theme, box.row + 2, box.col, box.cols, STYLE_PLAIN, text);
}

/* Returns the rows taken: where there is no room to spare always as many, so that what comes below
 * keeps its place. */
static int draw_head(const console *con, const bench_view *v, area body) {
    char text[BENCH_TEXT_SIZE + 200];
    bool tall = bench_has_account_below(body);
    int row = body.row, crowns = tall ? 2 : 1, verdict = tall ? VERDICT_ROWS_BELOW : VERDICT_ROWS;
    bench_say_heading(v, text, sizeof text);
    put_heading(&con->theme, row++, 0, LEFT_COLS, text);
    int taken = draw_verdict(con, &v->d->correction, (area){row, 1, verdict, TEXT_COLS});
    row += taken < VERDICT_ROWS ? VERDICT_ROWS : taken;
    draw_series(con, v, (area){row, 1, 3, TEXT_COLS});
    row += 3;
    bench_say_crowns(v, con, text, sizeof text);
    put_wrapped(&con->theme, (area){row, 1, crowns, TEXT_COLS},
                mc_bench_account(bench_of(v))->blocked ? STYLE_CARE : STYLE_PLAIN, text);
    return row + crowns - body.row;
}

/* ---- the account ---- */

static void draw_weighed(const console *con, const bench_view *v, const mc_option *option,
                         bool this_series, area box) {
    char name[MC_OPTION_WORDS_SIZE] = "this series";
    if (!this_series)
        mc_option_words(&option->ask, name);
    put(&con->theme, box.row, box.col + 1, EXPECTED_COL - 2,
        this_series ? STYLE_STRONG : STYLE_PLAIN, name);
    decide_draw_expected(con, option, v->option, box);
}

/* Carry on, finish first, this series. */
static int draw_expected(const console *con, const bench_view *v, area box) {
    decide_draw_expected_heading(con, box, " expected");
    for (size_t i = 0; i < v->options; i++)
        draw_weighed(con, v, &v->option[i], i + 1 == MC_BENCH_OPTIONS,
                     (area){box.row + 1 + (int)i, box.col, 1, box.cols});
    return EXPECTED_ROWS;
}

static int draw_ends(const console *con, const bench_view *v, area box) {
    static const char *const headings[MC_BENCH_OPTIONS] = {"carry", "then", "this"};
    ends_column columns[MC_BENCH_OPTIONS];
    for (size_t i = 0; i < v->options; i++)
        columns[i] = (ends_column){headings[i], &v->option[i]};
    return decide_draw_ends(con, v->d, columns, v->options, box);
}

/* Contacts first: what the doctor can do something about. */
static void draw_account(const console *con, const bench_view *v, area box, bool ends) {
    int row = box.row, end = box.row + box.rows;
    row += draw_expected(con, v, (area){row, box.col, EXPECTED_ROWS, LEFT_COLS});
    int room = end - row, contacts = v->contacts > 0 ? (int)v->contacts + 1 : 2;
    ends = ends && room >= LEAST_CONTACTS + ENDS_ROWS;
    if (contacts > room - (ends ? ENDS_ROWS : 0))
        contacts = room - (ends ? ENDS_ROWS : 0);
    bench_draw_contacts(con, v, (area){row, box.col, contacts, LEFT_COLS});
    row += contacts;
    if (ends)
        draw_ends(con, v, (area){row, box.col, end - row, LEFT_COLS});
}

/* ---- all of it ---- */

static void draw_foreign(const console *con, area box) {
    put_wrapped(
        &con->theme, (area){box.row, box.col + 1, 3, TEXT_COLS}, STYLE_PLAIN,
        "Read from a file, to be signed as it stands: what remains for each tooth, contacts "
        "and stages are told of the draft made here (g goes back to it).");
}

/* The arches in the place of everything else, as large as there is room: beside the heading only
 * the series and the contacts of the tooth under the cursor. */
static void draw_only_arches(const console *con, bench_view *v, area body) {
    char text[BENCH_TEXT_SIZE + 200];
    int row = body.row, cols = body.cols - 2;
    bench_say_heading(v, text, sizeof text);
    put_heading(&con->theme, row++, 0, LEFT_COLS, text);
    bench_say_series(v, con, v->cursor == MC_NO_TOOTH ? MC_UPPER : mc_tooth_arch(v->cursor), text,
                     sizeof text);
    put(&con->theme, row++, 1, cols, STYLE_STRONG, text);
    bench_draw_arches(con, v,
                      (area){row, 0, body.row + body.rows - 1 - CELL_ROWS - row, body.cols});
}

/* What stands between the head and the cell. */
static void draw_middle(const console *con, bench_view *v, area body, area box) {
    bool below = bench_has_account_below(body);
    if (bench_is_foreign(v)) {
        draw_foreign(con, box);
        return;
    }
    if (v->part == BENCH_ACCOUNT && !below) {
        draw_account(con, v, box, true);
        return;
    }
    int teeth = box.rows;
    if (below) {
        teeth = v->count + 1 > LEAST_TEETH ? v->count + 1 : LEAST_TEETH;
        teeth = teeth > box.rows - ACCOUNT_ROWS ? box.rows - ACCOUNT_ROWS : teeth;
        draw_account(con, v, (area){box.row + teeth, box.col, box.rows - teeth, LEFT_COLS},
                     body.cols < THIRD_FROM);
    }
    area place = {box.row, box.col, teeth, LEFT_COLS};
    bench_draw_table(con, v, place);
}

static void draw_beside(const console *con, bench_view *v, area box) {
    char assumed[900];
    area arches = box;
    if (box.col + box.cols < THIRD_FROM) {
        bench_draw_arches(con, v, arches);
        return;
    }
    arches.cols = THIRD_COL - box.col - 1;
    bench_draw_arches(con, v, arches);
    area third = {box.row, THIRD_COL, box.rows, box.col + box.cols - THIRD_COL};
    int row =
        third.row + draw_ends(con, v, (area){third.row, third.col, third.rows / 2, third.cols});
    decide_say_assumed(v->d, assumed, sizeof assumed);
    put_wrapped(&con->theme,
                (area){row + 1, third.col + 1, third.row + third.rows - row - 1, third.cols - 2},
                STYLE_FAINT, assumed);
}

void bench_draw(console *con, void *self, area body) {
    bench_view *v = self;
    char text[BENCH_TEXT_SIZE];
    int end = body.row + body.rows - 1;
    bool beside = bench_has_arches_beside(body);
    if (v->part == BENCH_ARCHES && !beside && !bench_is_foreign(v)) {
        draw_only_arches(con, v, body);
    } else {
        int head = draw_head(con, v, body);
        draw_middle(con, v, body,
                    (area){body.row + head, 0, body.rows - head - CELL_ROWS - 1, LEFT_COLS});
    }
    if (v->cursor != MC_NO_TOOTH && !bench_is_foreign(v)) {
        bench_say_cell(v, con, text, sizeof text);
        put_wrapped(&con->theme, (area){end - CELL_ROWS, 1, CELL_ROWS, TEXT_COLS}, STYLE_STRONG,
                    text);
    }
    if (beside && !bench_is_foreign(v))
        draw_beside(con, v, (area){body.row, BESIDE_COL, body.rows - 1, body.cols - BESIDE_COL});
    put(&con->theme, end, 1, body.cols - 2, STYLE_FAINT, CAUTION);
}

/* What the screen tells, beside the states. */
void bench_marks(console *con, void *self, pager *page) {
    (void)self;
    pager_heading(page, "What is told");
    pager_add(
        page, STYLE_STRONG, "PREVIEW",
        "it can be looked at, changed, written and kept, but not signed: the screen says what "
        "is missing and what to do");
    pager_add(page, STYLE_STRONG, "Starts",
              "the first day of the new plan; until then the last aligner that seats is worn");
    pager_add(page, STYLE_STRONG, "the limits need",
              "the fewest aligners that the limits of one aligner leave, and the tooth and the "
              "movement that need most; a contact can make the series longer");
    pager_add(page, STYLE_STRONG, "to go",
              "what remains for each tooth, from where it is to its target, overcorrection "
              "included; a number typed over it is without overcorrection");
    pager_add(page, STYLE_STRONG, "from, to",
              "below the table: where the tooth is and where it ends, counted from stage 0 of the "
              "present plan; beyond: how much further it is sent, being overcorrected");
    pager_add(page, STYLE_STRONG, "ends",
              "the target, counted from stage 0 of the present plan, without overcorrection");
    pager_add(page, STYLE_STRONG, "at 3",
              "the pose at stage 3 of the new series, counted from where the tooth is now");
    pager_add(page, STYLE_STRONG, "*", "changed here: target, limit or overcorrection");
    pager_add(page, STYLE_STRONG, theme_mark(&con->theme, MARK_IPR), "IPR in the new series");
    pager_add(page, STYLE_STRONG, "need, worn",
              "aligners that the tooth needs by itself; those that move it");
    pager_add(page, STYLE_STRONG, "limited by",
              "the movement, or the corner of the crown, that an aligner can take no faster");
    pager_add(page, STYLE_STRONG, "suggested",
              "overcorrection that would bring the expected end to the target, by what the tooth "
              "has delivered so far, at most as much as the settings allow");
    pager_add(page, STYLE_STRONG, "overlap",
              "of neighbouring crowns in mm, negative where they are apart: now, at the stage "
              "looked at, the most at any stage, at the end; IPR granted; what is allowed at the "
              "end. \"13 first, costs 3\": 13 has to go first, and the series is 3 aligners longer "
              "for it");
    pager_add(page, STYLE_STRONG, "expected",
              "as on the decision screen: carrying on, finishing first and correcting then, and "
              "this very series. It counts from the day of the check-up, with the present days an "
              "aligner; the series above it counts from its own first day (d) and with its own "
              "days an aligner (i)");
    pager_add(page, STYLE_FAINT, "",
              "Crowns are told as estimated where nobody measured where they stand: usual sizes on "
              "a usual arch form. That is no measurement: look for collisions before ordering.");
    pager_add(page, STYLE_FAINT, "", CAUTION);
}
