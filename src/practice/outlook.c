/* What happens next: the one place that turns check-ups and decisions into dates to come, so that
 * the roster, the chart and a decision about to be signed say the same. */
#include "practice.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void mc_series_decided(mc_series *series, unsigned choices, int to, int days, mc_day date) {
    mc_series_decide(series, choices & 1u << MC_GO_BACK ? to : -1,
                     choices & 1u << MC_HOLD ? days : 0, date);
}

static bool chosen(const mc_decide *what, mc_choice choice) {
    return what && what->choices & 1u << choice;
}

/* The check-up after the next start or check-up: one interval on; after a signed hold, when it
 * ends, counted from the day of the check-up. */
static mc_day checkup_due(const mc_assessment *a, const mc_decide *what) {
    if (!a->score)
        return a->info.start + (mc_day)lround(7 * a->settings.checkup_weeks);
    mc_day due = a->score->date + (mc_day)lround(7 * a->settings.checkup_weeks);
    for (size_t i = 0; i < a->decision_count; i++)
        if (a->decisions[i].checkup == a->score->number && a->decisions[i].choices & 1u << MC_HOLD)
            due = a->score->date + a->decisions[i].days;
    return chosen(what, MC_HOLD) ? a->score->date + what->days : due;
}

void mc_outlook_follow(const mc_series series[MC_ARCHES], mc_day on, mc_outlook *out) {
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const mc_series *s = &series[arch];
        out->stages[arch] = s->stages;
        if (s->stages == 0)
            continue;
        out->aligner[arch] = mc_series_aligner_on(s, on, NULL);
        out->next[arch] = out->aligner[arch] + 1;
        out->change[arch] = mc_series_next_change(s, on);
        out->end[arch] = mc_series_end(s);
        mc_day change = out->change[arch];
        if (change != MC_NO_DAY && (out->next_change == MC_NO_DAY || change < out->next_change))
            out->next_change = change;
    }
}

/* The series of the corrected plan, as signing would open it; without any where its plan is not
 * given or cannot be read. */
static void corrected_series(const mc_assessment *a, const mc_decide *what,
                             mc_series out[MC_ARCHES]) {
    mc_plan *plan = NULL;
    mc_plan_origin origin = {0};
    mc_warnings ignored = {0};
    mc_error unread;
    memset(out, 0, MC_ARCHES * sizeof *out);
    if (what->plan && mc_plan_read(what->plan, what->plan_size, MC_NOTATION_ISO, a->states,
                                   &a->settings, &plan, &origin, &ignored, &unread) == MC_OK)
        for (int arch = 0; arch < MC_ARCHES; arch++)
            out[arch] = mc_series_start(mc_plan_stages(plan, (mc_arch)arch),
                                        mc_corrected_interval(a, what, (mc_arch)arch), what->start);
    mc_warnings_free(&ignored);
    mc_plan_free(plan);
}

int mc_corrected_interval(const mc_assessment *a, const mc_decide *what, mc_arch arch) {
    int other = a->info.interval[1 - arch];
    int as_before = a->info.interval[arch] > 0 ? a->info.interval[arch] : other;
    return what->interval[arch] > 0 ? what->interval[arch] : as_before;
}

static bool series_is_over(const mc_assessment *a) {
    bool over = a->score != NULL;
    for (int arch = 0; over && arch < MC_ARCHES; arch++)
        if (a->score->stages[arch] > 0)
            over = a->score->aligner[arch] == a->score->stages[arch];
    return over;
}

bool mc_closes_plan(const mc_assessment *a, const mc_decide *what) {
    return chosen(what, MC_FINISH) && series_is_over(a);
}

void mc_outlook_of(const mc_assessment *a, const mc_decide *what, mc_day on, const mc_settings *now,
                   mc_outlook *out) {
    mc_series series[MC_ARCHES];
    *out = (mc_outlook){.start = MC_NO_DAY,
                        .aligner = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                        .change = {MC_NO_DAY, MC_NO_DAY},
                        .end = {MC_NO_DAY, MC_NO_DAY},
                        .next_change = MC_NO_DAY,
                        .next_checkup = MC_NO_DAY};
    if (!a->has_plan)
        return;
    memcpy(series, a->series, sizeof series);
    if (chosen(what, MC_CORRECT)) {
        const mc_settings *then = now ? now : &a->settings;
        corrected_series(a, what, series);
        out->start = what->start;
        out->next_checkup = what->start + (mc_day)lround(7 * then->checkup_weeks);
    } else {
        for (int arch = 0; what && a->score && arch < MC_ARCHES; arch++)
            mc_series_decided(&series[arch], what->choices, what->to, what->days, a->score->date);
        out->over = a->info.status != MC_PLAN_ACTIVE || mc_closes_plan(a, what);
        if (!out->over)
            out->next_checkup = checkup_due(a, what);
        if (!a->score && a->info.start > on)
            out->start = a->info.start;
    }
    mc_outlook_follow(series, on, out);
}

/* ---- in words ---- */

static void say_change(const mc_outlook *o, int arch, const char *name, char *out, size_t size) {
    char day[11];
    size_t used = strlen(out);
    if (o->stages[arch] == 0)
        return;
    const char *comma = used > 0 ? "; " : "";
    if (o->change[arch] != MC_NO_DAY) {
        mc_day_text(o->change[arch], day);
        snprintf(out + used, size - used, "%s%s %d on %s", comma, name, o->next[arch], day);
    } else {
        mc_day_text(o->end[arch], day);
        snprintf(out + used, size - used, "%s%s the last aligner until %s", comma, name, day);
    }
}

void mc_outlook_text(const mc_outlook *o, char out[MC_OUTLOOK_TEXT_SIZE]) {
    char day[11];
    out[0] = '\0';
    if (o->over) {
        snprintf(out, MC_OUTLOOK_TEXT_SIZE, "the plan is finished");
        return;
    }
    bool alike = o->stages[MC_UPPER] > 0 && o->stages[MC_LOWER] > 0 &&
                 o->change[MC_UPPER] == o->change[MC_LOWER] &&
                 (o->change[MC_UPPER] == MC_NO_DAY ? o->end[MC_UPPER] == o->end[MC_LOWER]
                                                   : o->next[MC_UPPER] == o->next[MC_LOWER]);
    say_change(o, MC_UPPER, alike ? "upper and lower" : "upper", out, MC_OUTLOOK_TEXT_SIZE);
    if (!alike)
        say_change(o, MC_LOWER, "lower", out, MC_OUTLOOK_TEXT_SIZE);
    if (o->next_checkup == MC_NO_DAY)
        return;
    size_t used = strlen(out);
    mc_day_text(o->next_checkup, day);
    snprintf(out + used, MC_OUTLOOK_TEXT_SIZE - used, "%scheck-up %s", used > 0 ? "; " : "", day);
}
