/* The correction as it would be signed: its plan, made on the bench or read from a file that
 * somebody has changed, its cause, its dates, its warnings. */
#include "bench_view.h"
#include "midcourse/exchange.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_INTERVAL = 365 };

/* ---- the plan ---- */

void correct_forget(decide_view *d) {
    mc_bench_close(d->correction.bench);
    free(d->correction.file);
    mc_plan_free(d->correction.plan);
    mc_warnings_free(&d->correction.warnings);
    d->correction = (correction){0};
}

/* What was all taken back again is nothing to keep, unless something else is kept on record. */
static bool is_unkept(const correction *c) {
    return c->unkept &&
           (!c->bench || mc_bench_changes(c->bench) > 0 || mc_bench_kept(c->bench, NULL));
}

const char *correct_unkept(const decide_view *d) {
    return is_unkept(&d->correction)
               ? "The changes on the workbench are not kept (k keeps them there): "
                 "leave without them?"
               : "";
}

/* Another plan in place of the one before; the cause and the dates said so far stay. */
static void put_plan(decide_view *d, char *file, size_t size, const char *name, bool drafted) {
    correction *c = &d->correction;
    free(c->file);
    mc_plan_free(c->plan);
    mc_warnings_free(&c->warnings);
    c->file = file;
    c->size = size;
    c->plan = NULL;
    d->weighed_count = 0; /* with the plan before */
    c->drafted = drafted;
    c->accepted = false;
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
    mc_status status = mc_plan_read(c->file, c->size, MC_NOTATION_ISO, d->chart.a->states, &d->now,
                                    &c->plan, NULL, &c->warnings, error);
    if (status != MC_OK)
        return status;
    for (int arch = 0; arch < MC_ARCHES; arch++)
        c->stages[arch] = mc_plan_stages(c->plan, (mc_arch)arch);
    mc_warnings_free(&c->warnings);
    mc_error why = {0};
    if (mc_decide_check(con->practice, &d->chart.a->kase, &alone, &c->warnings, &why) != MC_OK &&
        why.need != MC_NEED_ACCEPTANCE && c->why_not[0] == '\0')
        snprintf(c->why_not, sizeof c->why_not, "%s", why.text);
    return MC_OK;
}

/* A choice of what cannot be signed any more is taken away. */
static void keep_choice_possible(console *con, decide_view *d) {
    if (decide_chosen(d, MC_CORRECT) && d->correction.why_not[0] != '\0')
        d->choices &= ~(1u << MC_CORRECT);
    decide_look_ahead(con, d);
}

bool bench_take_plan(console *con, decide_view *d) {
    correction *c = &d->correction;
    char *file = NULL, name[60];
    size_t size = 0;
    mc_error error = {0};
    bool there = mc_bench_plan(c->bench) != NULL;
    snprintf(name, sizeof name, "draft from check-up %d", d->chart.a->score->number);
    if (there && mc_bench_file(c->bench, &file, &size, &error) != MC_OK) {
        frame_refuse(con, &error);
        return false;
    }
    put_plan(d, file, size, name, true);
    snprintf(c->why_not, sizeof c->why_not, "%s", mc_bench_why(c->bench));
    memset(c->stages, 0, sizeof c->stages);
    if (there && look_at_plan(con, d, &error) != MC_OK) {
        frame_refuse(con, &error);
        return false;
    }
    if (!there && c->why_not[0] == '\0')
        snprintf(c->why_not, sizeof c->why_not, "there is no series");
    keep_choice_possible(con, d);
    return true;
}

/* ---- its cause ---- */

void correct_ask_cause(console *con, void (*on_text)(console *, void *, const char *)) {
    char label[PROMPT_LABEL];
    size_t used = (size_t)snprintf(label, sizeof label, "Why it is needed,");
    for (int cause = MC_CAUSE_WEAR; cause <= MC_CAUSE_UNKNOWN && used < sizeof label; cause++)
        used +=
            (size_t)snprintf(label + used, sizeof label - used, " %d %s%s", cause,
                             mc_cause_name((mc_cause)cause), cause == MC_CAUSE_UNKNOWN ? ":" : ",");
    frame_prompt(con, label, NULL, false, on_text);
}

/* Its number, or its word. */
bool correct_take_cause(console *con, decide_view *d, const char *text) {
    for (int cause = MC_CAUSE_WEAR; cause <= MC_CAUSE_UNKNOWN; cause++) {
        char number[4];
        snprintf(number, sizeof number, "%d", cause);
        if (strcmp(text, number) != 0 && strcmp(text, mc_cause_name((mc_cause)cause)) != 0)
            continue;
        d->correction.cause = (mc_cause)cause;
        frame_say(con, "Cause: %s.", mc_cause_name((mc_cause)cause));
        return true;
    }
    frame_refuse_words(con, "The cause is a number from %d to %d. Nothing was changed.",
                       MC_CAUSE_WEAR, MC_CAUSE_UNKNOWN);
    return false;
}

static void take_cause(console *con, void *self, const char *text) {
    correct_take_cause(con, ((bench_view *)self)->d, text);
}

void bench_ask_cause(console *con, void *self) {
    (void)self;
    correct_ask_cause(con, take_cause);
}

/* ---- its dates ---- */

static void take_start(console *con, void *self, const char *text) {
    bench_view *v = self;
    mc_day day;
    if (!mc_day_parse(text, &day)) {
        frame_refuse_words(con, "A day is written 2026-01-31. Nothing was changed.");
        return;
    }
    if (day < con->today) {
        frame_refuse_words(con, "A corrected plan cannot start before today. Nothing was changed.");
        return;
    }
    if (day > con->today + MC_LATEST_START) {
        frame_refuse_words(con, "A corrected plan starts within %d days. Nothing was changed.",
                           MC_LATEST_START);
        return;
    }
    v->d->correction.start = day;
    decide_look_ahead(con, v->d);
    frame_say(con, "It starts on %s.", text);
}

void bench_ask_start(console *con, void *self) {
    char day[11];
    mc_day_text(((bench_view *)self)->d->correction.start, day);
    frame_prompt(con, "First day of the new plan:", NULL, false, take_start);
    line_offer(&con->prompt.line, day, 0);
}

static void take_interval(console *con, void *self, const char *text) {
    bench_view *v = self;
    double days = 0;
    if (!mc_decimal_parse(text, false, &days) || days < 1 || days > MOST_INTERVAL ||
        days != floor(days)) {
        frame_refuse_words(con, "An aligner is worn 1 to %d days. Nothing was changed.",
                           MOST_INTERVAL);
        return;
    }
    v->d->correction.interval[MC_UPPER] = v->d->correction.interval[MC_LOWER] = (int)days;
    decide_look_ahead(con, v->d);
    frame_say(con, "Each aligner is worn %d days.", (int)days);
}

void bench_ask_interval(console *con, void *self) {
    (void)self;
    frame_prompt(con, "Days an aligner, in both arches:", NULL, false, take_interval);
}

/* ---- its warnings ---- */

void bench_accept_warnings(console *con, void *self) {
    correction *c = &((bench_view *)self)->d->correction;
    if (c->warnings.count == 0) {
        frame_say(con, "There is no warning to accept.");
        return;
    }
    c->accepted = !c->accepted;
    frame_say(con, c->accepted ? "The warnings are accepted." : "The warnings are not accepted.");
}

void bench_read_warnings(console *con, void *self) {
    const mc_warnings *warnings = &((bench_view *)self)->d->correction.warnings;
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

static bool is_named(console *con, const char *text, const char *otherwise) {
    bool named = text[0] != '\0' && strcmp(text, "-") != 0;
    if (!named)
        frame_say(con, "%s", otherwise);
    return named;
}

static void take_write(console *con, void *self, const char *text) {
    const correction *c = &((bench_view *)self)->d->correction;
    mc_error error = {0};
    if (!is_named(con, text, "Not written: a file needs a name."))
        return;
    if (mc_file_write(text, c->file, c->size, false, &error) == MC_OK)
        frame_say(con, "Written to %s.", text);
    else
        frame_refuse(con, &error);
}

void bench_ask_write(console *con, void *self) {
    if (!((bench_view *)self)->d->correction.file)
        frame_refuse_words(con, "There is no series to write: a contact lacks room.");
    else
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
    bench_view *v = self;
    correction *c = &v->d->correction, before = *c;
    mc_error error = {0};
    char *data = NULL;
    size_t size = 0;
    if (!is_named(con, text, "Not read: no file was named."))
        return;
    if (mc_file_read(text, &data, &size, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    const char *slash = strrchr(text, '/');
    c->file = NULL;
    c->plan = NULL;
    c->warnings = (mc_warnings){0};
    put_plan(v->d, data, size, slash ? slash + 1 : text, false);
    if (look_at_plan(con, v->d, &error) != MC_OK) {
        free(data);
        *c = before;
        refuse_file(con, text, &error);
        return;
    }
    free(before.file);
    mc_plan_free(before.plan);
    mc_warnings_free(&before.warnings);
    keep_choice_possible(con, v->d);
    bench_look(v);
    frame_say(con, "Read as it stands, in place of the draft; g goes back to the draft.");
}

void bench_ask_read(console *con, void *self) {
    (void)self;
    frame_prompt(con, "Read the plan, as it is to be signed, from the file:", NULL, false,
                 take_read);
}

static void take_targets(console *con, void *self, const char *text) {
    bench_view *v = self;
    mc_error error = {0};
    mc_warnings warnings = {0};
    char *data = NULL;
    size_t size = 0;
    if (!is_named(con, text, "Not read: no file was named."))
        return;
    if (mc_file_read(text, &data, &size, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    bench_before before = bench_stands(v);
    mc_status status =
        mc_bench_targets(bench_of(v), data, size, MC_NOTATION_ISO, &warnings, &error);
    free(data);
    if (status != MC_OK) {
        refuse_file(con, text, &error);
    } else if (bench_take_plan(con, v->d)) {
        char effect[BENCH_TEXT_SIZE];
        v->d->correction.unkept = true;
        bench_look(v);
        bench_say_effect(v, &before, effect, sizeof effect);
        frame_say(con, "Targets read%s: %s.",
                  warnings.count > 0 ? ", unlikely ones among them" : "", effect);
    }
    mc_warnings_free(&warnings);
}

void bench_ask_targets(console *con, void *self) {
    if (bench_is_foreign(self))
        frame_refuse_words(con, "This plan was read from a file: g goes back to the draft first.");
    else
        frame_prompt(con, "Take the targets (last stages) of the plan file:", NULL, false,
                     take_targets);
}
