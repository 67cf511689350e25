/* The workbench in words. */
#include "bench_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const ARCH_WORD[] = {[MC_UPPER] = "upper", [MC_LOWER] = "lower"};

const char *bench_limit_short(mc_limit limit) {
    switch (limit) {
    case MC_LIMIT_NONE:
        return "";
    case MC_LIMIT_MESIODISTAL:
        return "mes/distal";
    case MC_LIMIT_BUCCOLINGUAL:
        return "buc/lingual";
    case MC_LIMIT_CORNER:
        return "crown corner";
    default:
        return mc_limit_name(limit);
    }
}

size_t bench_steps(const bench_view *v) {
    size_t steps = 0;
    for (size_t i = 0; i < mc_bench_changes(bench_of(v)); i++)
        steps += !mc_bench_edit_at(bench_of(v), i)->joined;
    return steps;
}

void bench_say_heading(const bench_view *v, char *out, size_t size) {
    const correction *c = &v->d->correction;
    size_t changes = bench_steps(v);
    snprintf(out, size, "Correction: %s", c->name);
    if (bench_is_foreign(v))
        return;
    if (changes == 0)
        words_add(out, size, ", nothing changed");
    else
        words_add(out, size, ", %zu change%s", changes, changes == 1 ? "" : "s");
    if (c->unkept)
        words_add(out, size, ", not kept");
    else if (changes > 0)
        words_add(out, size, ", kept");
    if (c->why_not[0] != '\0')
        words_add(out, size, "; preview");
}

/* ---- the series ---- */

/* "; the limits need 12: 35 rotation": the tooth that needs most. */
static void say_bound(const bench_view *v, const console *con, mc_arch arch, char *out,
                      size_t size) {
    const mc_restaged *account = mc_bench_account(bench_of(v));
    int bound = account->lower_bound[arch];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_restaged_tooth *k = &account->tooth[t];
        if (mc_tooth_arch(t) != arch || !k->moves || k->stages_needed != bound)
            continue;
        words_add(out, size, "; the limits need %d: %s", bound, words_tooth(con->notation, t).text);
        if (k->limited_by != MC_LIMIT_NONE)
            words_add(out, size, " %s", bench_limit_short(k->limited_by));
        return;
    }
}

static mc_series series_of(const decide_view *d, mc_arch arch) {
    const correction *c = &d->correction;
    mc_decide what = {.plan = c->file};
    memcpy(what.interval, c->interval, sizeof what.interval);
    return mc_series_start(c->stages[arch], mc_corrected_interval(d->chart.a, &what, arch),
                           c->start);
}

void bench_say_series(const bench_view *v, const console *con, mc_arch arch, char *out,
                      size_t size) {
    const correction *c = &v->d->correction;
    int stages = c->stages[arch];
    char day[11];
    out[0] = '\0';
    words_add(out, size, "%s", arch == MC_UPPER ? "Upper" : "Lower");
    if (c->drafted && mc_bench_account(c->bench)->blocked) {
        words_add(out, size, "  no series: a contact lacks room");
        return;
    }
    if (stages == 0) {
        words_add(out, size, "  nothing moves");
        return;
    }
    mc_series series = series_of(v->d, arch);
    mc_day_text(mc_series_end(&series), day);
    words_add(out, size, " %2d aligner%s to %s", stages, stages == 1 ? "" : "s", day);
    if (!c->drafted)
        return;
    if (v->changed_by_edit && v->was[arch] != stages)
        words_add(out, size, ", was %d", v->was[arch]);
    say_bound(v, con, arch, out, size);
}

void bench_say_start(const bench_view *v, char *out, size_t size) {
    const correction *c = &v->d->correction;
    int upper = series_of(v->d, MC_UPPER).interval, lower = series_of(v->d, MC_LOWER).interval;
    char day[11];
    mc_day_text(c->start, day);
    if (upper == lower || c->stages[MC_UPPER] == 0 || c->stages[MC_LOWER] == 0)
        snprintf(out, size, "Starts %s, %d days an aligner.", day,
                 c->stages[MC_UPPER] == 0 ? lower : upper);
    else
        snprintf(out, size, "Starts %s, %d days an upper aligner, %d a lower.", day, upper, lower);
    words_add(out, size, " Cause: %s.",
              c->cause == MC_CAUSE_NONE ? "not said (c)" : mc_cause_name(c->cause));
}

/* ---- contacts ---- */

static void say_pair(const console *con, const mc_restaged_contact *k, char *out, size_t size) {
    words_add(out, size, "%s-%s", words_tooth(con->notation, k->right).text,
              words_tooth(con->notation, k->left).text);
}

double bench_missing(const mc_restaged_contact *k) {
    return mc_up_to_hundredths(k->missing);
}

void bench_say_who(const console *con, const mc_restaged_contact *k, char *out, size_t size) {
    if (k->leads != MC_NO_TOOTH)
        snprintf(out, size, "%s first", words_tooth(con->notation, k->leads).text);
    else
        snprintf(out, size, "%s", k->in_turns ? "in turns" : "");
}

void bench_say_contact(const console *con, const mc_restaged_contact *k, char *out, size_t size) {
    out[0] = '\0';
    if (!(k->missing > 0) && k->costs <= 0 && k->passed_over <= 0)
        return;
    say_pair(con, k, out, size);
    if (k->missing > 0) {
        words_add(out, size, " lacks %.2f mm %s", bench_missing(k),
                  k->target_overlaps ? "at the targets" : "to pass");
        return;
    }
    if (k->leads != MC_NO_TOOTH)
        words_add(out, size, ": %s goes first", words_tooth(con->notation, k->leads).text);
    else if (k->in_turns)
        words_add(out, size, " pass in turns");
    if (k->costs > 0)
        words_add(out, size, ", costs %d", k->costs);
    if (k->passed_over > 0)
        words_add(out, size, ", %.2f mm too tight by the estimate: look there",
                  mc_up_to_hundredths(k->passed_over - 1e-6));
}

static void say_source(const bench_view *v, char *out, size_t size) {
    const mc_arches *arches = mc_bench_arches(bench_of(v));
    static const char *const words[] = {"measured", "estimated"};
    if (!mc_bench_account(bench_of(v))->overlap_checked)
        words_add(out, size, "Crowns are not checked against each other.");
    else if (arches->estimated[MC_UPPER] == arches->estimated[MC_LOWER])
        words_add(out, size, "Crowns %s.", words[arches->estimated[MC_UPPER]]);
    else
        words_add(out, size, "Crowns: upper %s, lower %s.", words[arches->estimated[MC_UPPER]],
                  words[arches->estimated[MC_LOWER]]);
}

void bench_say_crowns(const bench_view *v, const console *con, char *out, size_t size) {
    bool first = true;
    out[0] = '\0';
    say_source(v, out, size);
    for (size_t i = 0; i < v->contacts; i++) {
        char one[120];
        bench_say_contact(con, v->contact[i].of, one, sizeof one);
        if (one[0] == '\0')
            continue;
        words_add(out, size, "%s%s", first ? " " : "; ", one);
        first = false;
    }
    if (first && mc_bench_account(bench_of(v))->overlap_checked)
        words_add(out, size, " No contact makes the series longer.");
    else if (!first)
        words_add(out, size, ".");
}

/* ---- a cell ---- */

void bench_say_place(const bench_view *v, const console *con, char *out, size_t size) {
    snprintf(out, size, "%s %s", words_tooth(con->notation, v->cursor).text,
             mc_component_name(v->column));
}

/* "; IPR 0.20 mesial before 3, 0.10 distal before 1": before which aligner. */
static void say_ipr(const mc_tooth_ipr *ipr, char *out, size_t size) {
    const mc_ipr *const sides[] = {&ipr->mesial, &ipr->distal};
    static const char *const words[] = {"mesial", "distal"};
    bool first = true;
    for (int i = 0; i < 2; i++) {
        if (sides[i]->mm <= 0)
            continue;
        words_add(out, size, "%s %.2f %s before %d", first ? "; IPR" : ",", sides[i]->mm, words[i],
                  sides[i]->stage);
        first = false;
    }
}

static void say_overcorrection(const mc_bench_tooth *t, mc_component c, bool stalled, char *out,
                               size_t size) {
    if (t->overcorrect[c] > 0)
        words_add(out, size, "overcorrected %.0f %%", t->overcorrect[c]);
    else
        words_add(out, size, "not overcorrected");
    if (!isnan(t->suggested[c]) && t->suggested[c] > 0 &&
        fabs(t->suggested[c] - t->overcorrect[c]) >= 0.5)
        words_add(out, size, " (%.0f %% suggested%s)", t->suggested[c],
                  stalled ? "; it stalled" : "");
}

static void say_number(double value, mc_component c, char *out, size_t size) {
    char text[40];
    double least = mc_component_is_linear(c) ? 0.005 : 0.05;
    words_signed(fabs(value) < least ? 0 : value, words_decimals(c), text);
    words_add(out, size, "%s", text);
}

/* "; overlap 13-12 0.10, 14-13 -0.02 mm": with its neighbours, at the stage looked at. */
static void say_overlaps(const bench_view *v, const console *con, char *out, size_t size) {
    bool first = true;
    for (size_t i = 0; i < v->contacts; i++) {
        const mc_restaged_contact *k = v->contact[i].of;
        if ((k->right != v->cursor && k->left != v->cursor) || isnan(v->contact[i].now))
            continue;
        words_add(out, size, first ? "; overlap " : ", ");
        say_pair(con, k, out, size);
        words_add(out, size, " %.2f", v->contact[i].now);
        first = false;
    }
    words_add(out, size, first ? "" : " mm");
}

/* The tooth at a stage of the new series. */
static void say_at_stage(const bench_view *v, const console *con, char *out, size_t size) {
    const mc_restaged *account = mc_bench_account(bench_of(v));
    int stages = account->stages[mc_tooth_arch(v->cursor)];
    bench_say_place(v, con, out, size);
    words_add(out, size, " at stage %d of %d: ", v->stage < stages ? v->stage : stages, stages);
    say_number(v->at[v->cursor].c[v->column], v->column, out, size);
    words_add(out, size, " of ");
    say_number(account->tooth[v->cursor].remaining.c[v->column], v->column, out, size);
    words_add(out, size, " %s", words_unit(v->column));
    say_overlaps(v, con, out, size);
}

static void say_in_force(const bench_view *v, const console *con, char *out, size_t size) {
    const mc_component c = v->column;
    const mc_restaged_tooth *k = &mc_bench_account(bench_of(v))->tooth[v->cursor];
    const mc_bench_tooth *t = &v->tooth[v->cursor];
    bench_say_place(v, con, out, size);
    words_add(out, size, ": ");
    say_number(k->remaining.c[c], c, out, size);
    words_add(out, size, " %s to go, from ", words_unit(c));
    say_number(t->present.c[c], c, out, size);
    words_add(out, size, " to ");
    say_number(t->target.c[c], c, out, size);
    if (fabs(t->target.c[c] - t->planned.c[c]) > 1e-9) {
        words_add(out, size, " (plan ");
        say_number(t->planned.c[c], c, out, size);
        words_add(out, size, ")");
    }
    if (t->overcorrect[c] > 0)
        words_add(out, size, " and %.*f beyond", words_decimals(c),
                  fabs(k->remaining.c[c]) * t->overcorrect[c] / (100 + t->overcorrect[c]));
    words_add(out, size, "; limit %.*f%s; ", words_decimals(c), t->limit[c],
              t->own_limit[c] ? " (own)" : "");
    const mc_assessment *a = mc_bench_assessment(bench_of(v));
    say_overcorrection(t, c, a->score->tooth[v->cursor].state == MC_STATE_STALLED, out, size);
    say_ipr(&t->ipr, out, size);
    if (t->stays)
        words_add(out, size, "; it stays where it is (h lets it go)");
    else if (!t->exact)
        words_add(out, size, "; not all read by scan");
}

void bench_say_cell(const bench_view *v, const console *con, char *out, size_t size) {
    if (!v->tooth[v->cursor].may_move)
        snprintf(out, size, "%s is not to be moved.", words_tooth(con->notation, v->cursor).text);
    else if (v->shows == BENCH_STAGE)
        say_at_stage(v, con, out, size);
    else
        say_in_force(v, con, out, size);
}

/* ---- what a change did ---- */

static mc_day end_of(const decide_view *d) {
    mc_day last = MC_NO_DAY;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        if (d->correction.stages[arch] == 0)
            continue;
        mc_series series = series_of(d, (mc_arch)arch);
        mc_day end = mc_series_end(&series);
        last = last == MC_NO_DAY || end > last ? end : last;
    }
    return last;
}

bench_before bench_stands(const bench_view *v) {
    const mc_restaged *account = mc_bench_account(bench_of(v));
    return (bench_before){{account->stages[MC_UPPER], account->stages[MC_LOWER]}, end_of(v->d)};
}

static void say_length(mc_arch arch, int now, int was, char *out, size_t size) {
    words_add(out, size, "%s %d aligner%s", ARCH_WORD[arch], now, now == 1 ? "" : "s");
    if (now != was)
        words_add(out, size, ", was %d", was);
}

void bench_say_effect(const bench_view *v, const bench_before *before, char *out, size_t size) {
    bench_before now = bench_stands(v);
    char day[11];
    out[0] = '\0';
    if (!mc_bench_plan(bench_of(v))) {
        words_add(out, size, "no series: %s", mc_bench_why(bench_of(v)));
        return;
    }
    say_length(MC_UPPER, now.stages[MC_UPPER], before->stages[MC_UPPER], out, size);
    words_add(out, size, "; ");
    say_length(MC_LOWER, now.stages[MC_LOWER], before->stages[MC_LOWER], out, size);
    if (now.end == MC_NO_DAY)
        return;
    mc_day_text(now.end, day);
    words_add(out, size, "; ends %s", day);
    if (before->end != MC_NO_DAY && before->end != now.end) {
        mc_day_text(before->end, day);
        words_add(out, size, ", was %s", day);
    }
}
