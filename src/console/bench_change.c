/* Changing the correction on the bench: each key asks for what it needs, makes one change, and says
 * what it did. */
#include "bench_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- one change ---- */

/* After something changed: all is worked out anew, and what that did is said. */
static void tell(console *con, bench_view *v, const char *what, const bench_before *before) {
    char effect[BENCH_TEXT_SIZE];
    bool chosen = decide_chosen(v->d, MC_CORRECT);
    if (!bench_take_plan(con, v->d))
        return;
    v->d->correction.unkept = true;
    v->changed_by_edit = true;
    memcpy(v->was, before->stages, sizeof v->was);
    bench_look(v);
    bench_say_effect(v, before, effect, sizeof effect);
    if (chosen && !decide_chosen(v->d, MC_CORRECT))
        words_add(effect, sizeof effect, "; correct is no longer chosen");
    if (mc_bench_plan(bench_of(v)))
        frame_say(con, "%s: %s.", what, effect);
    else
        frame_refuse_words(con, "%s: %s.", what, effect);
}

/* A plan that was read from a file is not changed here. */
static bool may_change(console *con, const bench_view *v) {
    if (bench_is_foreign(v)) {
        frame_refuse_words(con, "This plan was read from a file: g goes back to the draft, which "
                                "can be changed.");
        return false;
    }
    if (v->cursor == MC_NO_TOOTH)
        frame_say(con, "No tooth stands here.");
    return v->cursor != MC_NO_TOOTH;
}

static void change(console *con, bench_view *v, mc_bench_edit edit, const char *what) {
    mc_error error = {0};
    bench_before before = bench_stands(v);
    size_t changes = mc_bench_changes(bench_of(v));
    edit.tooth = v->cursor;
    edit.component = v->column;
    if (mc_bench_change(bench_of(v), &edit, &error) != MC_OK)
        frame_refuse(con, &error);
    else if (mc_bench_changes(bench_of(v)) == changes)
        frame_say(con, "%s: it is so already.", what);
    else
        tell(con, v, what, &before);
}

/* ---- numbers ---- */

static bool number(console *con, const char *text, double *out) {
    if (mc_decimal_parse(text, true, out))
        return true;
    frame_refuse_words(con, "A number is asked for, as 1.25 or 1,25. Nothing was changed.");
    return false;
}

static void take_target(console *con, void *self, const char *text) {
    bench_view *v = self;
    mc_bench_edit edit = {.what = MC_BENCH_TARGET};
    mc_error error = {0};
    double typed = 0;
    char place[60], what[140];
    if (!number(con, text, &typed))
        return;
    if (bench_target_of(v, v->cursor, v->column, typed, &edit.number, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    bench_say_place(v, con, place, sizeof place);
    snprintf(what, sizeof what, v->shows == BENCH_ENDS ? "%s ends at %+.*f" : "%s %+.*f to go",
             place, words_decimals(v->column), typed);
    change(con, v, edit, what);
}

/* The number typed is of what the table shows: what is to go, or where it ends. */
static void ask_target(console *con, bench_view *v, const char *start, bool offered) {
    char label[PROMPT_LABEL], place[60];
    if (!may_change(con, v))
        return;
    if (v->shows == BENCH_STAGE) {
        frame_refuse_words(con, "The stages are worked out from the targets: r shows numbers that "
                                "can be typed over.");
        return;
    }
    bench_say_place(v, con, place, sizeof place);
    snprintf(label, sizeof label,
             v->shows == BENCH_ENDS ? "%s, %s from stage 0:" : "%s, %s to go:", place,
             words_unit(v->column));
    frame_prompt(con, label, offered ? NULL : start, false, take_target);
    if (offered)
        line_offer(&con->prompt.line, start, 0);
}

void bench_typed(console *con, void *self, int key) {
    char start[2] = {(char)key, '\0'};
    if (key > 0 && key < 128 && strchr("0123456789.,+-", key))
        ask_target(con, self, start, false);
}

/* What the table shows: overcorrection counts for itself, so what is typed is without it. */
void bench_edit_cell(console *con, void *self) {
    const bench_view *v = self;
    char start[40] = "";
    if (v->cursor != MC_NO_TOOTH && v->shows != BENCH_STAGE)
        snprintf(start, sizeof start, "%.*f", words_decimals(v->column),
                 bench_number(v, v->cursor, v->column));
    ask_target(con, self, start, true);
}

void bench_own_target(console *con, void *self) {
    bench_view *v = self;
    char place[60], what[120];
    if (!may_change(con, v))
        return;
    bench_say_place(v, con, place, sizeof place);
    snprintf(what, sizeof what, "%s ends where the plan had it", place);
    change(con, v, (mc_bench_edit){.what = MC_BENCH_TARGET, .number = NAN}, what);
}

/* ---- the limit ---- */

static void take_limit(console *con, void *self, const char *text) {
    bench_view *v = self;
    mc_bench_edit edit = {.what = MC_BENCH_LIMIT, .number = NAN};
    char place[60], what[140];
    if (text[0] != '\0' && !number(con, text, &edit.number))
        return;
    bench_say_place(v, con, place, sizeof place);
    if (text[0] == '\0')
        snprintf(what, sizeof what, "%s has the settings' limit", place);
    else
        snprintf(what, sizeof what, "%s at most %.*f %s an aligner", place,
                 words_decimals(v->column), edit.number, words_unit(v->column));
    change(con, v, edit, what);
}

void bench_ask_limit(console *con, void *self) {
    bench_view *v = self;
    char label[PROMPT_LABEL], place[60];
    if (!may_change(con, v))
        return;
    bench_say_place(v, con, place, sizeof place);
    snprintf(label, sizeof label,
             "%s, at most so many %s an aligner (empty: as in the settings):", place,
             words_unit(v->column));
    frame_prompt(con, label, NULL, false, take_limit);
}

/* ---- overcorrection ---- */

static void overcorrect(console *con, bench_view *v, double percent) {
    char place[60], what[140];
    bench_say_place(v, con, place, sizeof place);
    if (isnan(percent) || percent <= 0)
        snprintf(what, sizeof what, "%s not overcorrected", place);
    else
        snprintf(what, sizeof what, "%s overcorrected by %.0f %%", place, percent);
    change(con, v, (mc_bench_edit){.what = MC_BENCH_OVERCORRECT, .number = percent}, what);
}

static void take_overcorrection(console *con, void *self, const char *text) {
    double percent = NAN;
    if (text[0] == '\0' || number(con, text, &percent))
        overcorrect(con, self, percent);
}

void bench_ask_overcorrection(console *con, void *self) {
    bench_view *v = self;
    char label[PROMPT_LABEL], place[60];
    if (!may_change(con, v))
        return;
    bench_say_place(v, con, place, sizeof place);
    snprintf(label, sizeof label, "%s, %% more of what is to go, 0 to %.0f (empty: none):", place,
             v->d->now.overcorrect_percent);
    frame_prompt(con, label, NULL, false, take_overcorrection);
}

void bench_take_suggestion(console *con, void *self) {
    bench_view *v = self;
    if (!may_change(con, v))
        return;
    double suggested = v->tooth[v->cursor].suggested[v->column];
    if (isnan(suggested))
        frame_say(con, "Nothing is suggested here: this movement was not followed, or nothing is "
                       "to go.");
    else
        overcorrect(con, v, suggested);
}

/* ---- IPR ---- */

/* "0.2 3": the amount, and the aligner before which it is done; the first where that is not said.
 */
static bool parse_ipr(console *con, const char *text, mc_bench_edit *edit) {
    char amount[40] = "", stage[40] = "1";
    double before = 1;
    edit->number = NAN;
    if (text[0] == '\0')
        return true;
    if (sscanf(text, "%39s %39s", amount, stage) >= 1 &&
        mc_decimal_parse(amount, true, &edit->number) && mc_decimal_parse(stage, false, &before) &&
        before >= 1 && before <= MC_MOST_STAGES && before == floor(before)) {
        edit->whole = (int)before;
        return true;
    }
    frame_refuse_words(con, "IPR is said as 0.2 (before aligner 1) or 0.2 3 (before aligner 3). "
                            "Nothing was changed.");
    return false;
}

static void take_ipr(console *con, bench_view *v, bool mesial, const char *text) {
    mc_bench_edit edit = {.what = MC_BENCH_IPR, .mesial = mesial};
    const char *side = mesial ? "mesial" : "distal";
    const tooth_text tooth = words_tooth(con->notation, v->cursor);
    char what[140];
    if (!parse_ipr(con, text, &edit))
        return;
    if (isnan(edit.number))
        snprintf(what, sizeof what, "%s %s IPR as the plan has it", tooth.text, side);
    else if (edit.number == 0)
        snprintf(what, sizeof what, "%s no %s IPR", tooth.text, side);
    else
        snprintf(what, sizeof what, "%s %s IPR %.2f mm before aligner %d", tooth.text, side,
                 edit.number, edit.whole);
    change(con, v, edit, what);
}

static void take_mesial(console *con, void *self, const char *text) {
    take_ipr(con, self, true, text);
}

static void take_distal(console *con, void *self, const char *text) {
    take_ipr(con, self, false, text);
}

static void ask_ipr(console *con, bench_view *v, bool mesial) {
    char label[PROMPT_LABEL];
    if (!may_change(con, v))
        return;
    snprintf(label, sizeof label,
             "%s %s IPR, mm, and the aligner before it (\"0.2 3\"; empty: as planned):",
             words_tooth(con->notation, v->cursor).text, mesial ? "mesial" : "distal");
    frame_prompt(con, label, NULL, false, mesial ? take_mesial : take_distal);
}

void bench_ask_ipr_mesial(console *con, void *self) {
    ask_ipr(con, self, true);
}

void bench_ask_ipr_distal(console *con, void *self) {
    ask_ipr(con, self, false);
}

/* ---- the whole tooth ---- */

void bench_stay(console *con, void *self) {
    bench_view *v = self;
    char what[60];
    if (!may_change(con, v))
        return;
    bool stays = v->tooth[v->cursor].stays;
    snprintf(what, sizeof what, stays ? "%s moves again" : "%s stays where it is",
             words_tooth(con->notation, v->cursor).text);
    change(con, v, (mc_bench_edit){.what = MC_BENCH_STAY, .whole = stays ? 0 : 1}, what);
}

/* ---- back and forth ---- */

void bench_undo(console *con, void *self) {
    bench_view *v = self;
    mc_error error = {0};
    bench_before before = bench_stands(v);
    if (!may_change(con, v))
        return;
    if (mc_bench_undo(bench_of(v), &error) == MC_OK)
        tell(con, v, "Taken back", &before);
    else
        frame_refuse(con, &error);
}

void bench_redo(console *con, void *self) {
    bench_view *v = self;
    mc_error error = {0};
    bench_before before = bench_stands(v);
    if (!may_change(con, v))
        return;
    if (mc_bench_redo(bench_of(v), &error) == MC_OK)
        tell(con, v, "Done again", &before);
    else
        frame_refuse(con, &error);
}

/* All changes are taken back one by one, so that they can be done again. */
void bench_undo_all(console *con, void *self) {
    bench_view *v = self;
    bench_before before = bench_stands(v);
    bool foreign = bench_is_foreign(v);
    mc_error error = {0};
    if (!foreign && mc_bench_changes(bench_of(v)) == 0) {
        frame_say(con, "Nothing is changed: it is the plan's own.");
        return;
    }
    while (!foreign && mc_bench_changes(bench_of(v)) > 0)
        if (mc_bench_undo(bench_of(v), &error) != MC_OK)
            break;
    bool unkept = v->d->correction.unkept;
    tell(con, v, foreign ? "The draft again" : "Back to the plan's own (U does it again)", &before);
    v->d->correction.unkept = foreign ? unkept : true;
}

/* ---- keeping ---- */

static void keep_now(console *con, void *self) {
    bench_view *v = self;
    mc_error error = {0};
    size_t changes = bench_steps(v);
    if (mc_bench_keep(bench_of(v), &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    v->d->correction.unkept = false;
    frame_say(con, "Kept as this case's draft: %zu change%s.", changes, changes == 1 ? "" : "s");
}

void bench_keep(console *con, void *self) {
    if (!may_change(con, self))
        return;
    frame_with_role(con, BY_DOCTOR, "keeps a correction", keep_now);
}
