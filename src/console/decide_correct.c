/* The correction: the re-staged plan and its account, its cause, its dates; made here, or read from
 * a file that somebody has changed. */
#include "decide_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <curses.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The page is a screen of its own over the decision, which owns what it shows. */
typedef struct correct_page {
    decide_view *d;
    int top; /* the first tooth shown */
} correct_page;

enum {
    MOST_INTERVAL = 365,
    TEXT_COLS = LEFT_COLS - 2,
    BESIDE_COL = LEFT_COLS + 2,
    BESIDE_FROM = BESIDE_COL + LEFT_COLS,
    LEAST_ENDS = 4,
    LEAST_WORDS = 4
};

/* ---- the plan ---- */

void correct_forget(decide_view *d) {
    free(d->correction.file);
    mc_warnings_free(&d->correction.warnings);
    d->correction = (correction){0};
}

/* Another plan in place of the one before; the cause and the dates said so far stay. */
static void put_plan(decide_view *d, char *file, size_t size, const char *name) {
    correction *c = &d->correction;
    free(c->file);
    mc_warnings_free(&c->warnings);
    c->file = file;
    c->size = size;
    c->accepted = c->drafted = false;
    c->why_not[0] = '\0';
    snprintf(c->name, sizeof c->name, "%s", name);
}

/* Aligners of each arch, and whether it could be signed: everything that signing looks at but the
 * cause and the reason. */
static mc_status look_at_plan(console *con, decide_view *d, mc_error *error) {
    correction *c = &d->correction;
    mc_decide alone = {.choices = 1u << MC_CORRECT,
                       .to = -1,
                       .cause = MC_CAUSE_UNKNOWN,
                       .reason = "-",
                       .plan = c->file,
                       .plan_size = c->size,
                       .start = c->start,
                       .seen = d->chart.a};
    mc_plan *plan = NULL;
    mc_status status = mc_plan_read(c->file, c->size, MC_NOTATION_ISO, d->chart.a->states, &d->now,
                                    &plan, NULL, &c->warnings, error);
    if (status != MC_OK)
        return status;
    for (int arch = 0; arch < MC_ARCHES; arch++)
        c->stages[arch] = mc_plan_stages(plan, (mc_arch)arch);
    mc_plan_free(plan);
    mc_warnings_free(&c->warnings);
    mc_error why = {0};
    if (mc_decide_check(con->practice, &d->chart.a->kase, &alone, &c->warnings, &why) != MC_OK &&
        why.need != MC_NEED_ACCEPTANCE && c->why_not[0] == '\0')
        snprintf(c->why_not, sizeof c->why_not, "%s", why.text);
    return MC_OK;
}

/* Make the draft from the check-up's poses. */
static mc_status draft(console *con, decide_view *d, mc_error *error) {
    correction *c = &d->correction;
    mc_revision made = {0};
    char name[60];
    mc_status status = mc_revise(con->practice, &d->chart.a->kase, NULL, 0, 0, &made, error);
    if (status != MC_OK)
        return status;
    snprintf(name, sizeof name, "draft from check-up %d", d->chart.a->score->number);
    bool first = c->file == NULL;
    put_plan(d, made.file, made.file_size, name);
    c->drafted = true;
    c->account = made.account;
    snprintf(c->why_not, sizeof c->why_not, "%s", made.why_preview);
    if (first)
        c->start = made.start;
    return look_at_plan(con, d, error);
}

/* Chosen where it can be signed, else said why not. */
static void settle(console *con, decide_view *d) {
    const correction *c = &d->correction;
    if (c->why_not[0] == '\0') {
        d->choices &= ~(1u << MC_CORRECT);
        decide_choose(con, d, MC_CORRECT);
        return;
    }
    d->choices &= ~(1u << MC_CORRECT);
    decide_look_ahead(con, d);
    frame_refuse_words(con, "It cannot be signed, so a correction is not chosen.");
}

/* ---- keys ---- */

static void back(console *con, void *self) {
    decide_view *d = ((correct_page *)self)->d;
    bool chosen = decide_chosen(d, MC_CORRECT), cause = d->correction.cause != MC_CAUSE_NONE;
    frame_back(con, self);
    if (chosen && !cause)
        frame_say(con, "Correct is chosen; its cause is still to be said (k).");
}

static void draft_again(console *con, void *self) {
    decide_view *d = ((correct_page *)self)->d;
    mc_error error = {0};
    if (draft(con, d, &error) == MC_OK)
        settle(con, d);
    else
        frame_refuse(con, &error);
}

static void take_away(console *con, void *self) {
    decide_view *d = ((correct_page *)self)->d;
    frame_back(con, self);
    decide_take_away(con, d, MC_CORRECT);
}

static void say_cause(console *con, void *self, int key) {
    decide_view *d = ((correct_page *)self)->d;
    int cause = key - '0';
    if (cause < MC_CAUSE_WEAR || cause > MC_CAUSE_UNKNOWN)
        return;
    d->correction.cause = (mc_cause)cause;
    frame_say(con, "Cause: %s. Esc goes back to sign.", mc_cause_name((mc_cause)cause));
}

static void take_start(console *con, void *self, const char *text) {
    decide_view *d = ((correct_page *)self)->d;
    mc_day day;
    if (!mc_day_parse(text, &day)) {
        frame_refuse_words(con, "A day is written 2026-01-31. Nothing was changed.");
        return;
    }
    if (day < con->today) {
        frame_refuse_words(con, "A corrected plan cannot start before today. Nothing was changed.");
        return;
    }
    d->correction.start = day;
    decide_look_ahead(con, d);
    frame_say(con, "It starts on %s.", text);
}

static void ask_start(console *con, void *self) {
    char day[11];
    mc_day_text(((correct_page *)self)->d->correction.start, day);
    frame_prompt(con, "First day of the new plan:", NULL, false, take_start);
    line_offer(&con->prompt.line, day, 0);
}

static void take_interval(console *con, void *self, const char *text) {
    decide_view *d = ((correct_page *)self)->d;
    double days = 0;
    if (!mc_decimal_parse(text, false, &days) || days < 1 || days > MOST_INTERVAL ||
        days != floor(days)) {
        frame_refuse_words(con, "An aligner is worn 1 to %d days. Nothing was changed.",
                           MOST_INTERVAL);
        return;
    }
    d->correction.interval[MC_UPPER] = d->correction.interval[MC_LOWER] = (int)days;
    decide_look_ahead(con, d);
    frame_say(con, "Each aligner is worn %d days.", (int)days);
}

static void ask_interval(console *con, void *self) {
    (void)self;
    frame_prompt(con, "Days an aligner, in both arches:", NULL, false, take_interval);
}

static void accept_warnings(console *con, void *self) {
    decide_view *d = ((correct_page *)self)->d;
    if (d->correction.warnings.count == 0) {
        frame_say(con, "There is no warning to accept.");
        return;
    }
    d->correction.accepted = !d->correction.accepted;
    frame_say(con, d->correction.accepted ? "The warnings are accepted."
                                          : "The warnings are not accepted.");
}

static void read_warnings(console *con, void *self) {
    const decide_view *d = ((correct_page *)self)->d;
    const mc_warnings *warnings = &d->correction.warnings;
    pager *page = warnings->count > 0 ? pager_new("Warnings of the plan") : NULL;
    if (!page) {
        frame_say(con, "There is no warning.");
        return;
    }
    for (size_t i = 0; i < warnings->count; i++) {
        char place[40];
        snprintf(place, sizeof place, "line %ld", warnings->list[i].line);
        pager_add(page, STYLE_CARE, place, warnings->list[i].text);
    }
    pager_open(con, page);
}

/* ---- files ---- */

static void take_write(console *con, void *self, const char *text) {
    const correction *c = &((correct_page *)self)->d->correction;
    mc_error error = {0};
    if (text[0] == '\0' || strcmp(text, "-") == 0)
        frame_say(con, "Not written: a file needs a name.");
    else if (mc_file_write(text, c->file, c->size, false, &error) == MC_OK)
        frame_say(con, "Written to %s.", text);
    else
        frame_refuse(con, &error);
}

static void ask_write(console *con, void *self) {
    (void)self;
    frame_prompt(con, "Write the plan to the new file:", NULL, false, take_write);
}

/* A fault at a line of the file, for people. */
static void refuse_file(console *con, const char *name, const mc_error *error) {
    if (error->line > 0)
        frame_refuse_words(con, "%.200s, line %ld, column %ld: %s. The plan is as before.", name,
                           error->line, error->column, error->text);
    else
        frame_refuse(con, error);
}

static void take_read(console *con, void *self, const char *text) {
    decide_view *d = ((correct_page *)self)->d;
    correction *c = &d->correction, before = *c;
    mc_error error = {0};
    char *data = NULL;
    size_t size = 0;
    if (text[0] == '\0' || strcmp(text, "-") == 0) {
        frame_say(con, "Not read: no file was named.");
        return;
    }
    if (mc_file_read(text, &data, &size, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    const char *slash = strrchr(text, '/');
    c->file = NULL;
    c->warnings = (mc_warnings){0};
    put_plan(d, data, size, slash ? slash + 1 : text);
    if (look_at_plan(con, d, &error) != MC_OK) {
        free(data);
        *c = before;
        refuse_file(con, text, &error);
        return;
    }
    free(before.file);
    mc_warnings_free(&before.warnings);
    settle(con, d);
}

static void ask_read(console *con, void *self) {
    (void)self;
    frame_prompt(con, "Read the plan from the file:", NULL, false, take_read);
}

/* ---- drawing ---- */

/* The parts from the top down, each as long as it is. */
static int draw_verdict(const console *con, const correction *c, area box) {
    char text[760];
    bool good = c->why_not[0] == '\0';
    snprintf(text, sizeof text, "%s%s%s",
             good ? "It can be signed as an order." : "PREVIEW, not to be signed or ordered: ",
             c->why_not, good ? "" : ".");
    return put_wrapped(&con->theme, box, good ? STYLE_PLAIN : STYLE_CARE, text);
}

static int draw_series(const console *con, const decide_view *d, area box) {
    static const char *const arches[] = {[MC_UPPER] = "Upper", [MC_LOWER] = "Lower"};
    const correction *c = &d->correction;
    mc_decide what = {.plan = c->file};
    memcpy(what.interval, c->interval, sizeof what.interval);
    int row = box.row;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        char bound[60] = "", day[11];
        mc_series series = mc_series_start(
            c->stages[arch], mc_corrected_interval(d->chart.a, &what, (mc_arch)arch), c->start);
        if (c->drafted)
            snprintf(bound, sizeof bound, " (the limits need %d)", c->account.lower_bound[arch]);
        mc_day_text(mc_series_end(&series), day);
        if (c->stages[arch] == 0)
            put_format(&con->theme, row++, box.col, box.cols, STYLE_PLAIN, "%s  nothing moves",
                       arches[arch]);
        else
            put_format(&con->theme, row++, box.col, box.cols, STYLE_STRONG,
                       "%s  %d aligners%s, %d days each, ends %s", arches[arch], c->stages[arch],
                       bound, series.interval, day);
    }
    char day[11];
    mc_day_text(c->start, day);
    put_format(&con->theme, row++, box.col, box.cols, STYLE_PLAIN,
               "Starts %s; until then the last aligner that seats is worn.", day);
    return row - box.row;
}

static int draw_cause(const console *con, const correction *c, area box) {
    const theme *look = &con->theme;
    int col = box.col, row = box.row;
    col += put(look, row, col, 20, STYLE_STRONG, "Why it is needed: ");
    for (int cause = MC_CAUSE_WEAR; cause <= MC_CAUSE_UNKNOWN; cause++) {
        char text[40];
        bool said = c->cause == (mc_cause)cause;
        snprintf(text, sizeof text, said ? "[%d %s]" : " %d %s ", cause,
                 mc_cause_name((mc_cause)cause));
        int width = (int)strlen(text);
        if (col + width > box.col + box.cols) {
            row++;
            col = box.col + 18;
        }
        put(look, row, col, width, said ? STYLE_STRONG : STYLE_PLAIN, text);
        col += width;
    }
    return row - box.row + 1;
}

static int draw_warnings(const console *con, const correction *c, area box) {
    size_t count = c->warnings.count;
    char text[500];
    if (count == 0)
        return 0;
    snprintf(text, sizeof text, "%zu warning%s, %s: %.300s%s", count, count == 1 ? "" : "s",
             c->accepted ? "accepted" : "not accepted (a accepts, v reads all)",
             c->warnings.list[0].text, count > 1 ? " ..." : "");
    return put_wrapped(&con->theme, box, STYLE_CARE, text);
}

static double shown(const mc_pose *pose, mc_component c) {
    double least = mc_component_is_linear(c) ? 0.005 : 0.05;
    return fabs(pose->c[c]) < least ? 0 : pose->c[c];
}

static void draw_tooth(const console *con, mc_tooth tooth, const mc_restaged_tooth *k, int row) {
    const theme *look = &con->theme;
    put_format(look, row, 1, 5, STYLE_PLAIN, "%3s", words_tooth(con->notation, tooth).text);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        char number[40];
        words_number(look, shown(&k->remaining, (mc_component)c), words_decimals((mc_component)c),
                     true, 7, number, sizeof number);
        put(look, row, 6 + 8 * c, 8, STYLE_PLAIN, number);
    }
    put_format(look, row, 55, 25, STYLE_PLAIN, "%4d  %s", k->stages_needed,
               k->limited_by == MC_LIMIT_NONE ? "" : mc_limit_name(k->limited_by));
}

static bool is_named(const mc_proposal *proposal, mc_tooth tooth) {
    for (size_t i = 0; i < proposal->count; i++)
        if (proposal->teeth[i] == tooth)
            return true;
    return false;
}

/* The teeth that move: first those that the proposal names, which are the reason. */
static int moving_teeth(const decide_view *d, mc_tooth out[MC_TEETH]) {
    const mc_restaged_tooth *tooth = d->correction.account.tooth;
    const mc_proposal *proposal = &d->chart.a->proposal;
    int count = 0;
    for (size_t i = 0; i < proposal->count; i++)
        if (tooth[proposal->teeth[i]].moves)
            out[count++] = proposal->teeth[i];
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (tooth[t].moves && !is_named(proposal, t))
            out[count++] = t;
    return count;
}

/* What remains of each tooth, from where it is to its target. Returns the rows taken. */
static int draw_teeth(console *con, correct_page *page, area box) {
    const theme *look = &con->theme;
    const correction *c = &page->d->correction;
    mc_tooth teeth[MC_TEETH];
    int count = moving_teeth(page->d, teeth), room = box.rows - 1;
    int most = count > room ? count - room : 0;
    page->top = page->top > most ? most : page->top < 0 ? 0 : page->top;
    put_filled(look, box.row, 0, LEFT_COLS, STYLE_HEADING,
               "      mes. mm buc. mm occ. mm rot.deg ang.deg inc.deg  needs  limited by");
    int below = count - page->top - room;
    if (below > 0)
        room--; /* the last line tells of the others */
    for (int i = 0; i < room && page->top + i < count; i++)
        draw_tooth(con, teeth[page->top + i], &c->account.tooth[teeth[page->top + i]],
                   box.row + 1 + i);
    if (below > 0)
        put_format(look, box.row + box.rows - 1, 5, LEFT_COLS - 5, STYLE_FAINT,
                   "and %d more (Down, PgDn)", below + 1);
    return 1 + (count < box.rows - 1 ? count : box.rows - 1);
}

/* ---- what it is expected to bring ---- */

static const mc_option *weighed(const decide_view *d, mc_choice choice) {
    mc_option_ask ask = {.choices = 1u << choice, .to = -1};
    return decide_weighed(d, &ask);
}

static void draw_weighed(const console *con, const decide_view *d, mc_choice choice, area box) {
    const mc_option *option = weighed(d, choice);
    char name[MC_OPTION_WORDS_SIZE] = "";
    if (option)
        mc_option_words(&option->ask, name);
    put(&con->theme, box.row, box.col + 1, EXPECTED_COL - 2,
        choice == MC_CORRECT ? STYLE_STRONG : STYLE_PLAIN, name);
    decide_draw_expected(con, option, weighed(d, MC_CARRY_ON), box);
}

/* Correcting now beside finishing first. */
static int draw_expected(const console *con, const decide_view *d, area box) {
    decide_draw_expected_heading(con, box, " expected");
    draw_weighed(con, d, MC_CORRECT, (area){box.row + 1, box.col, 1, box.cols});
    draw_weighed(con, d, MC_FINISH, (area){box.row + 2, box.col, 1, box.cols});
    return 3;
}

static int draw_ends(const console *con, const decide_view *d, area box) {
    const ends_column columns[] = {{"carry", weighed(d, MC_CARRY_ON)},
                                   {"now", weighed(d, MC_CORRECT)},
                                   {"then", weighed(d, MC_FINISH)}};
    return decide_draw_ends(con, d, columns, sizeof columns / sizeof *columns, box);
}

/* The right half: the same beside carrying on, how each tooth ends by each, and what was assumed.
 */
static void draw_beside(const console *con, const decide_view *d, area box) {
    char assumed[900];
    int row = box.row, end = box.row + box.rows;
    put_heading(&con->theme, row++, box.col, box.cols, "Correcting now or later");
    row += draw_expected(con, d, (area){row, box.col, 3, box.cols});
    draw_weighed(con, d, MC_CARRY_ON, (area){row++, box.col, 1, box.cols});
    row += 1 + draw_ends(con, d, (area){row + 1, box.col, end - row - 1, box.cols});
    decide_say_assumed(d, assumed, sizeof assumed);
    row += 1 + put_wrapped(&con->theme, (area){row + 1, box.col + 1, end - row - 1, box.cols - 2},
                           STYLE_FAINT, assumed);
    if (end - row > LEAST_WORDS)
        chart_draw_sentences(con, &d->chart, (area){row + 1, box.col, end - row - 1, box.cols});
}

static void draw(console *con, void *self, area body) {
    static const char unchecked[] =
        "Crowns are not checked against each other: look for collisions before ordering";
    correct_page *page = self;
    const correction *c = &page->d->correction;
    char heading[200];
    int row = body.row, end = body.row + body.rows - 1;
    snprintf(heading, sizeof heading, "Correction: %s", c->name);
    put_heading(&con->theme, row++, 0, LEFT_COLS, heading);
    row += draw_verdict(con, c, (area){row, 1, 5, TEXT_COLS});
    row += draw_series(con, page->d, (area){row, 1, 3, TEXT_COLS});
    row += draw_expected(con, page->d, (area){row, 0, 3, LEFT_COLS});
    row += draw_cause(con, c, (area){row, 1, 3, TEXT_COLS});
    row += draw_warnings(con, c, (area){row, 1, 3, TEXT_COLS});
    row += body.rows > CONSOLE_ROWS;
    if (c->drafted)
        row += draw_teeth(con, page, (area){row, 0, end - row, LEFT_COLS});
    else
        row += put_wrapped(&con->theme, (area){row, 1, 2, TEXT_COLS}, STYLE_PLAIN,
                           "Read from a file: what remains for each tooth is told of a draft made "
                           "here (g makes it anew).");
    if (body.cols >= BESIDE_FROM)
        draw_beside(con, page->d,
                    (area){body.row, BESIDE_COL, end - body.row, body.cols - BESIDE_COL});
    else if (end - row > LEAST_ENDS)
        draw_ends(con, page->d, (area){row + 1, 0, end - row - 1, LEFT_COLS});
    put(&con->theme, end, 1, body.cols - 2, STYLE_FAINT, unchecked);
}

static void title(const console *con, const void *self, char *left, size_t size) {
    const mc_assessment *a = ((const correct_page *)self)->d->chart.a;
    char label[MC_LABEL_SIZE], name[400];
    mc_case_label(&a->kase, label);
    mc_text_fit(frame_name(con, &a->kase), 24, con->theme.ascii, name, sizeof name);
    snprintf(left, size, "%s %s  correction from check-up %d", label, name, a->score->number);
}

static void scroll_by(void *self, int lines) {
    ((correct_page *)self)->top += lines;
}

static void line_down(console *con, void *self) {
    (void)con;
    scroll_by(self, 1);
}

static void line_up(console *con, void *self) {
    (void)con;
    scroll_by(self, -1);
}

static void page_down(console *con, void *self) {
    (void)con;
    scroll_by(self, 8);
}

static void page_up(console *con, void *self) {
    (void)con;
    scroll_by(self, -8);
}

/* What the page tells, beside the states: its table and the two rows above it. */
static void marks(console *con, void *self, pager *page) {
    (void)con;
    (void)self;
    pager_heading(page, "What is told");
    pager_add(
        page, STYLE_STRONG, "PREVIEW",
        "it can be looked at, written and changed, but not signed: the page says what is missing");
    pager_add(
        page, STYLE_STRONG, "expected",
        "as on the decision screen: what correcting now, or finishing first, brings. It counts "
        "from the day of the check-up, with the present days an aligner; the draft above it "
        "counts from its own first day (d) and with its own days an aligner (i)");
    pager_add(page, STYLE_STRONG, "mes. mm ...",
              "what remains for each tooth, from where it is to where it should end");
    pager_add(page, STYLE_STRONG, "needs", "aligners that the tooth needs");
    pager_add(page, STYLE_STRONG, "limited by",
              "the movement, or the corner of the crown, that an aligner can take no faster");
}

static const key_row KEYS[] = {
    {KEY_ESC, 'q', "Esc", "back", "back to the decision, correct staying chosen (q too)", back},
    {'x', 0, "x", "not this", "back to the decision, correct not being chosen", take_away},
    {'d', 0, "d", "start", "another first day of the new plan", ask_start},
    {'i', 0, "i", "interval", "other days an aligner", ask_interval},
    {'w', 0, "w", "write", "write the plan to a file, to be looked at or changed", ask_write},
    {'o', 0, "o", "open", "read a plan file in place of this one", ask_read},
    {'g', 0, "g", NULL, "make the draft anew, from the poses of the check-up", draft_again},
    {'a', 0, "a", "accept", "accept the warnings, or not", accept_warnings},
    {'v', 0, "v", NULL, "read all warnings", read_warnings},
    {'n', 0, "n", NULL, "the next tooth notation", chart_change_notation},
    {KEY_DOWN, 0, "Down", NULL, "a tooth on", line_down},
    {KEY_UP, 0, "Up", NULL, "a tooth back", line_up},
    {KEY_NPAGE, ' ', "PgDn", NULL, "more teeth on", page_down},
    {KEY_PPAGE, 0, "PgUp", NULL, "more teeth back", page_up},
    {0}};

static const screen_ops OPS = {.name = "correction",
                               .keys = KEYS,
                               .typing = "1 to 9: the cause",
                               .typed = say_cause,
                               .title = title,
                               .draw = draw,
                               .marks = marks,
                               .close = free};

void correct_open(console *con, decide_view *d) {
    mc_error error = {0};
    bool made = d->correction.file == NULL;
    unsigned before = d->choices;
    if (made && draft(con, d, &error) != MC_OK) {
        correct_forget(d);
        frame_refuse(con, &error);
        return;
    }
    correct_page *page = calloc(1, sizeof *page);
    if (!page) {
        frame_say(con, "Out of memory.");
        return;
    }
    page->d = d;
    frame_open(con, &OPS, page);
    if (!decide_chosen(d, MC_CORRECT))
        settle(con, d);
    bool all_kept = (d->choices & before) == before; /* else what went is told */
    if (all_kept && decide_chosen(d, MC_CORRECT) && d->correction.cause == MC_CAUSE_NONE)
        frame_say(con, "Correct is chosen. 1 to 9 say why it is needed; Esc goes back to sign.");
}
