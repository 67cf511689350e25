/* The workbench: the screen, its keys, moving about in it. */
#include "bench_view.h"
#include "chart.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <curses.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PAGE = 8, CTRL_R = 18 };

/* ---- to and from the decision ---- */

/* The changes stay with the decision until that is left. */
static void back(console *con, void *self) {
    decide_view *d = ((bench_view *)self)->d;
    bool unkept = d->correction.unkept, chosen = decide_chosen(d, MC_CORRECT);
    frame_back(con, self);
    if (unkept)
        frame_say(con, "The workbench stays as it is while you decide; its changes are not kept on "
                       "record yet (k, then k).");
    else if (chosen && d->correction.cause == MC_CAUSE_NONE)
        frame_say(con, "Correct is chosen; its cause is still to be said (s asks for it).");
}

static void take_away(console *con, void *self) {
    decide_view *d = ((bench_view *)self)->d;
    frame_back(con, self);
    decide_take_away(con, d, MC_CORRECT);
}

/* What is to be done about a preview stands on the screen: it is said again. */
static void sign(console *con, void *self) {
    decide_view *d = ((bench_view *)self)->d;
    const correction *c = &d->correction;
    if (c->why_not[0] != '\0') {
        frame_refuse_words(con, "It cannot be signed: %s.", c->why_not);
        return;
    }
    frame_back(con, self);
    d->choices &= ~(1u << MC_CORRECT);
    decide_choose(con, d, MC_CORRECT);
}

/* ---- moving ---- */

static int row_of(const bench_view *v) {
    for (int i = 0; i < v->count; i++)
        if (v->teeth[i] == v->cursor)
            return i;
    return -1;
}

static void move_by(bench_view *v, int rows) {
    int row = row_of(v) + rows;
    if (v->count == 0)
        return;
    row = row < 0 ? 0 : row >= v->count ? v->count - 1 : row;
    v->cursor = v->teeth[row];
}

static void down(console *con, void *self) {
    (void)con;
    move_by(self, 1);
}

static void up(console *con, void *self) {
    (void)con;
    move_by(self, -1);
}

static void page_down(console *con, void *self) {
    (void)con;
    move_by(self, PAGE);
}

static void page_up(console *con, void *self) {
    (void)con;
    move_by(self, -PAGE);
}

static void first(console *con, void *self) {
    (void)con;
    move_by(self, -MC_TEETH);
}

static void last(console *con, void *self) {
    (void)con;
    move_by(self, MC_TEETH);
}

static void column_by(bench_view *v, int step) {
    int column = (int)v->column + step;
    if (column >= 0 && column < MC_COMPONENTS)
        v->column = (mc_component)column;
}

static void right(console *con, void *self) {
    (void)con;
    column_by(self, 1);
}

static void left(console *con, void *self) {
    (void)con;
    column_by(self, -1);
}

/* ---- what is shown ---- */

static void every_tooth(console *con, void *self) {
    bench_view *v = self;
    v->every = !v->every;
    bench_look(v);
    frame_say(con, v->every ? "Every standing tooth." : "The teeth that move, or were changed.");
}

static void reckon(console *con, void *self) {
    bench_view *v = self;
    v->shows = v->shows == BENCH_TO_GO ? BENCH_ENDS : BENCH_TO_GO;
    bench_look_at_stage(v, v->stage);
    frame_say(con, v->shows == BENCH_TO_GO
                       ? "Shown, and typed: what is to go, from where each tooth is to its target."
                       : "Shown, and typed: where each tooth ends, from stage 0 of the present "
                         "plan.");
}

static void step_by(console *con, bench_view *v, int step) {
    if (!mc_bench_plan(bench_of(v))) {
        frame_refuse_words(con, "There is no series to step through.");
        return;
    }
    int stage = v->shows == BENCH_STAGE ? v->stage + step : v->stage; /* first the last one */
    v->shows = BENCH_STAGE;
    bench_look_at_stage(v, stage);
    frame_say(con,
              "Stage %d of %d of the new series, from where each tooth is now; r shows what "
              "is to go.",
              v->stage, bench_stages(v));
}

static void stage_on(console *con, void *self) {
    step_by(con, self, 1);
}

static void stage_back(console *con, void *self) {
    step_by(con, self, -1);
}

/* Round the parts that the screen has no room for beside the others. */
static void other_part(console *con, void *self) {
    bench_view *v = self;
    area body = {1, 0, LINES - 3, COLS};
    bool hidden[BENCH_PARTS] = {[BENCH_ARCHES] = !bench_has_arches_beside(body),
                                [BENCH_ACCOUNT] = !bench_has_account_below(body)};
    for (int i = 0; i < BENCH_PARTS; i++) {
        v->part = (bench_part)(((int)v->part + 1) % BENCH_PARTS);
        if (v->part == BENCH_TEETH || hidden[v->part])
            break;
    }
    if (!hidden[BENCH_ARCHES] && !hidden[BENCH_ACCOUNT])
        frame_say(con, "Everything is in sight.");
}

static void zoom(console *con, void *self) {
    bench_view *v = self;
    v->zoom = !v->zoom;
    frame_say(con, v->zoom ? "Drawn: the quadrant of the tooth under the cursor."
                           : "Drawn: both arches.");
}

/* ---- the screen ---- */

static const key_row KEYS[] = {
    {KEY_ESC, 'q', "Esc", "back", "back to the decision, the workbench staying as it is (q too)",
     back},
    {'s', 0, "s", "sign", "take this plan: back to the decision, correct being chosen, to sign it",
     sign},
    {'\t', 0, "Tab", "view",
     "teeth, arches drawn, account: what the screen has no room for at once", other_part},
    {'<', 0, "< >", "stage", "a stage of the new series back, or on", stage_back},
    {'>', 0, ">", NULL, "a stage on", stage_on},
    {'u', 0, "u", "undo", "take the last change back", bench_undo},
    {'U', CTRL_R, "U", NULL, "do it again (Ctrl-R too)", bench_redo},
    {'k', 0, "k", "keep", "keep the changes on record as this case's draft; a doctor does",
     bench_keep},
    {'l', 0, "l", "limit", "the most that one aligner may do of this movement of this tooth",
     bench_ask_limit},
    {'p', '%', "p", "over", "overcorrect this movement by so many percent (% too)",
     bench_ask_overcorrection},
    {'t', 0, "t", NULL, "overcorrect by what is suggested", bench_take_suggestion},
    {'m', 0, "m", "IPR", "IPR on the mesial side: how much, and before which aligner",
     bench_ask_ipr_mesial},
    {'b', 0, "b", NULL, "the same on the distal side", bench_ask_ipr_distal},
    {'h', 0, "h", "stay", "the tooth stays where it is, or moves again", bench_stay},
    {'\n', 0, "Enter", NULL, "type over the number under the cursor, which is offered",
     bench_edit_cell},
    {KEY_DC, 0, "Delete", NULL, "the target of this movement as the present plan has it",
     bench_own_target},
    {'r', 0, "r", NULL,
     "show and type what is to go, or where each tooth ends, from stage 0 of the present plan",
     reckon},
    {'e', 0, "e", NULL, "every standing tooth, or those that move", every_tooth},
    {'z', 0, "z", NULL, "draw the quadrant under the cursor, or both arches", zoom},
    {KEY_DOWN, 0, "Down", NULL, "a tooth on", down},
    {KEY_UP, 0, "Up", NULL, "a tooth back", up},
    {KEY_RIGHT, 0, "Right", NULL, "the next component", right},
    {KEY_LEFT, 0, "Left", NULL, "the component before", left},
    {KEY_NPAGE, ' ', "PgDn", NULL, "more teeth on", page_down},
    {KEY_PPAGE, 0, "PgUp", NULL, "more teeth back", page_up},
    {KEY_HOME, 0, "Home", NULL, "to the first tooth", first},
    {KEY_END, 0, "End", NULL, "to the last tooth", last},
    {'c', 0, "c", "cause", "why the correction is needed", bench_ask_cause},
    {'d', 0, "d", "start", "another first day of the new plan", bench_ask_start},
    {'i', 0, "i", "interval", "other days an aligner", bench_ask_interval},
    {'w', 0, "w", "write", "write the plan to a file, to be looked at or changed", bench_ask_write},
    {'o', 0, "o", "open", "read a plan file in place of this one, as it stands", bench_ask_read},
    {'O', 0, "O", NULL, "take the targets of a plan file, and stage anew", bench_ask_targets},
    {'g', 0, "g", NULL, "back to the plan's own: all changes are taken back, or the file put away",
     bench_undo_all},
    {'a', 0, "a", NULL, "accept the warnings, or not", bench_accept_warnings},
    {'v', 0, "v", NULL, "read all warnings", bench_read_warnings},
    {'x', 0, "x", NULL, "back to the decision, correct not being chosen", take_away},
    {'n', 0, "n", NULL, "the next tooth notation", chart_change_notation},
    {0}};

static void title(const console *con, const void *self, char *left, size_t size) {
    const mc_assessment *a = ((const bench_view *)self)->d->chart.a;
    char label[MC_LABEL_SIZE], name[400];
    mc_case_label(&a->kase, label);
    mc_text_fit(frame_name(con, &a->kase), 24, con->theme.ascii, name, sizeof name);
    snprintf(left, size, "%s %s  correction from check-up %d", label, name, a->score->number);
}

static const char *unkept(const void *self) {
    return correct_unkept(((const bench_view *)self)->d);
}

static const screen_ops OPS = {.name = "workbench",
                               .keys = KEYS,
                               .typing =
                                   "a number, its point or comma, its sign: over what is to go of "
                                   "the movement under the cursor, taken by Enter",
                               .typed = bench_typed,
                               .title = title,
                               .draw = bench_draw,
                               .marks = bench_marks,
                               .unkept = unkept,
                               .close = free};

/* ---- opening ---- */

/* The bench of the decision, taken up from what is kept on record where that still fits. */
static mc_status set_up(console *con, decide_view *d, mc_error *error) {
    correction *c = &d->correction;
    mc_status status = mc_bench_open(con->practice, &d->chart.a->kase, true, &c->bench, error);
    if (status == MC_OK)
        c->start = mc_bench_start(c->bench);
    return status;
}

/* On what limits the whole series, else on the first tooth. */
static void put_cursor(bench_view *v) {
    const mc_restaged *account = mc_bench_account(bench_of(v));
    v->cursor = v->count > 0 ? v->teeth[0] : MC_NO_TOOTH;
    v->column = MC_ROTATION;
    if (v->cursor == MC_NO_TOOTH)
        return;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        double value = account->tooth[v->cursor].remaining.c[c];
        double chosen = account->tooth[v->cursor].remaining.c[v->column];
        double least = mc_component_least((mc_component)c);
        double than = mc_component_least(v->column);
        if (value * value / (least * least) > chosen * chosen / (than * than))
            v->column = (mc_component)c;
    }
}

static void greet(console *con, const bench_view *v, bool opened) {
    size_t changes = mc_bench_changes(bench_of(v));
    if (opened && changes > 0)
        frame_say(con, "The draft that is kept on record is taken up (g: back to the plan's own).");
    else
        frame_say(con, "Arrows choose a number; type another over it, Enter takes it. s takes the "
                       "plan to be signed.");
}

void bench_open(console *con, decide_view *d) {
    mc_error error = {0};
    bool opens = d->correction.bench == NULL;
    if (opens && set_up(con, d, &error) != MC_OK) {
        correct_forget(d);
        frame_refuse(con, &error);
        return;
    }
    bench_view *v = calloc(1, sizeof *v);
    if (!v) {
        frame_say(con, "Out of memory.");
        return;
    }
    v->d = d;
    v->cursor = MC_NO_TOOTH;
    if (opens && !bench_take_plan(con, d)) {
        correct_forget(d);
        free(v);
        return;
    }
    arch_picture_frame(&v->picture, mc_bench_arches(d->correction.bench));
    bench_look(v);
    put_cursor(v);
    frame_open(con, &OPS, v);
    greet(con, v, opens);
}
