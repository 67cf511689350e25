/* What happens next: the one place that turns check-ups and decisions into dates to come, so that
 * the roster, the chart and a decision about to be signed say the same. */
#include "practice.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void mc_series_decided(mc_series *series, unsigned choices, int to, int days, mc_day date) {
    mc_series_decide(series, choices & 1u << MC_GO_BACK ? to : -1,
                     choices & 1u << MC_HOLD ? days : 0, date);
    if (choices & 1u << MC_CORRECT)
        mc_series_wait(series, date);
}

static const mc_awaited NOTHING_AWAITED = {.first = {MC_NO_DAY, MC_NO_DAY},
                                           .wears = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                                           .delivered = MC_NO_DAY};

static bool chosen(const mc_decide *what, mc_choice choice) {
    return what && what->choices & 1u << choice;
}

/* The check-up after the next start or check-up: one interval on; after a signed hold, when it
 * ends, counted from the day of the check-up. */
static mc_day checkup_due(const mc_assessment *a, const mc_decide *what) {
    if (!a->score)
        return a->info.worn_from + (mc_day)lround(7 * a->settings.checkup_weeks);
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

void mc_await(const mc_turn *turn, mc_day on, mc_awaited *out) {
    *out = NOTHING_AWAITED;
    if (!turn->corrected)
        return;
    out->delivered = turn->next.delivered;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const mc_day first = turn->next.first[arch];
        out->series[arch] = first != MC_NO_DAY;
        if (first == MC_NO_DAY)
            continue;
        if (first <= on) {
            out->not_recorded[arch] = !turn->next.begun[arch] && !turn->seen_begun[arch];
            continue;
        }
        out->waits[arch] = true;
        out->first[arch] = first;
        out->recorded[arch] = turn->next.begun[arch];
        out->wears[arch] = turn->wears[arch];
        if (turn->since != MC_NO_DAY && first - turn->since > out->waits_days)
            out->waits_days = first - turn->since;
    }
}

/* A correction that is signed today, as it would be awaited then. */
static void await_order(const mc_assessment *a, const mc_decide *what,
                        const mc_series corrected[MC_ARCHES], mc_day on, mc_outlook *out) {
    mc_turn turn = {.corrected = true,
                    .next = {.delivered = MC_NO_DAY, .first = {MC_NO_DAY, MC_NO_DAY}},
                    .wears = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                    .since = MC_NO_DAY};
    if (!a->score || what->start == MC_NO_DAY)
        return;
    turn.since = a->turn.waiting ? a->turn.since : a->score->date;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        mc_series old = a->series[arch];
        mc_series_decided(&old, what->choices, what->to, what->days, a->score->date);
        turn.seen_begun[arch] = true; /* the first day is not to be missed yet */
        if (corrected[arch].stages > 0)
            turn.next.first[arch] = what->start;
        if (old.stages > 0)
            turn.wears[arch] = mc_series_aligner_on(&old, what->start, NULL);
    }
    mc_await(&turn, on, &out->awaited);
}

/* The series of the plan that is awaited. */
static void awaited_series(const mc_turn *turn, mc_series out[MC_ARCHES]) {
    for (int arch = 0; arch < MC_ARCHES; arch++)
        out[arch] = mc_series_start(turn->stages[arch], turn->next.interval[arch],
                                    turn->next.first[arch] != MC_NO_DAY ? turn->next.first[arch]
                                                                        : turn->next.start);
}

/* The check-up after a new plan's first day; sooner where a hold was signed meanwhile. */
static mc_day checkup_after(const mc_assessment *a, mc_day start) {
    for (size_t i = a->decision_count; a->turn.read_waiting && i-- > 0;)
        if (a->decisions[i].checkup == a->score->number && a->decisions[i].choices & 1u << MC_HOLD)
            return a->score->date + a->decisions[i].days;
    return start + a->turn.checkup_days;
}

/* The series that is followed, and the next check-up. */
static void look_ahead(const mc_assessment *a, const mc_decide *what, mc_day on,
                       const mc_settings *now, mc_series series[MC_ARCHES], mc_outlook *out) {
    const mc_turn *turn = &a->turn;
    if (chosen(what, MC_CORRECT)) {
        corrected_series(a, what, series);
        out->start = what->start;
        out->next_checkup = what->start + (mc_day)lround(7 * now->checkup_weeks);
        await_order(a, what, series, on, out);
        return;
    }
    if (turn->waiting) {
        awaited_series(turn, series);
        out->start = turn->next.worn_from;
        out->next_checkup = chosen(what, MC_HOLD) && turn->read_waiting
                                ? a->score->date + what->days
                                : checkup_after(a, out->start);
    } else {
        for (int arch = 0; what && a->score && arch < MC_ARCHES; arch++)
            mc_series_decided(&series[arch], what->choices, what->to, what->days, a->score->date);
        out->over = a->info.status != MC_PLAN_ACTIVE || mc_closes_plan(a, what);
        if (!out->over)
            out->next_checkup = checkup_due(a, what);
        if (!a->score && a->info.worn_from > on)
            out->start = a->info.worn_from;
    }
    if (!out->over)
        mc_await(turn, on, &out->awaited);
    for (int arch = 0; turn->waiting && arch < MC_ARCHES; arch++)
        if (chosen(what, MC_GO_BACK) && out->awaited.wears[arch] > what->to)
            out->awaited.wears[arch] = what->to;
}

void mc_outlook_of(const mc_assessment *a, const mc_decide *what, mc_day on, const mc_settings *now,
                   mc_outlook *out) {
    mc_series series[MC_ARCHES];
    *out = (mc_outlook){.start = MC_NO_DAY,
                        .aligner = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                        .change = {MC_NO_DAY, MC_NO_DAY},
                        .end = {MC_NO_DAY, MC_NO_DAY},
                        .next_change = MC_NO_DAY,
                        .next_checkup = MC_NO_DAY,
                        .awaited = NOTHING_AWAITED};
    if (!a->has_plan)
        return;
    memcpy(series, a->series, sizeof series);
    look_ahead(a, what, on, now ? now : &a->settings, series, out);
    mc_outlook_follow(series, on, out);
}

/* ---- in words ---- */

static void say_change(const mc_outlook *o, int arch, const char *name, char *out, size_t size) {
    char day[11];
    size_t used = strlen(out);
    if (o->stages[arch] == 0 || o->awaited.waits[arch]) /* what is awaited is told by itself */
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

static void add_words(char *out, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void add_words(char *out, size_t size, const char *format, ...) {
    size_t used = strlen(out);
    va_list values;
    va_start(values, format);
    vsnprintf(out + used, size - used, format, values);
    va_end(values);
}

static const char *const ARCH_NAMES[MC_ARCHES] = {"upper", "lower"};

/* "wears upper and lower 12", "wears upper 12 and lower 9": the old aligners. */
static void say_wears(const mc_awaited *w, char *out, size_t size) {
    const int upper = w->waits[MC_UPPER] ? w->wears[MC_UPPER] : 0;
    const int lower = w->waits[MC_LOWER] ? w->wears[MC_LOWER] : 0;
    const int wears[MC_ARCHES] = {[MC_UPPER] = upper, [MC_LOWER] = lower};
    const char *before = "wears ";
    if (upper > 0 && upper == lower) {
        add_words(out, size, "wears upper and lower %d", upper);
        return;
    }
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (wears[arch] > 0) {
            add_words(out, size, "%s%s %d", before, ARCH_NAMES[arch], wears[arch]);
            before = " and ";
        }
    if (upper <= 0 && lower <= 0)
        add_words(out, size, "wears no aligner");
}

/* "; new series expected 2026-12-16", "; new upper series from 2026-12-16, lower expected
 * 2027-01-06". */
static void say_awaited(const mc_awaited *w, char *out, size_t size) {
    const bool alike =
        w->first[MC_UPPER] == w->first[MC_LOWER] && w->recorded[MC_UPPER] == w->recorded[MC_LOWER];
    const bool named = !alike && w->series[MC_UPPER] && w->series[MC_LOWER];
    bool begun = false;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        char day[11];
        if (!w->waits[arch] || (alike && begun))
            continue;
        if (named)
            add_words(out, size, begun ? ", %s" : "; new %s series", ARCH_NAMES[arch]);
        else
            add_words(out, size, "; new series");
        mc_day_text(w->first[arch], day);
        add_words(out, size, " %s %s", w->recorded[arch] ? "from" : "expected", day);
        begun = true;
    }
}

bool mc_awaits(const mc_awaited *w) {
    return w->waits[MC_UPPER] || w->waits[MC_LOWER];
}

void mc_waiting_text(const mc_awaited *w, char out[MC_WAITING_TEXT_SIZE]) {
    const bool upper = w->not_recorded[MC_UPPER], lower = w->not_recorded[MC_LOWER];
    const bool named = upper != lower && w->series[MC_UPPER] && w->series[MC_LOWER];
    char day[11];
    out[0] = '\0';
    if (mc_awaits(w)) {
        add_words(out, MC_WAITING_TEXT_SIZE, "waiting: ");
        say_wears(w, out, MC_WAITING_TEXT_SIZE);
        say_awaited(w, out, MC_WAITING_TEXT_SIZE);
        if (w->delivered != MC_NO_DAY) {
            mc_day_text(w->delivered, day);
            add_words(out, MC_WAITING_TEXT_SIZE, ", delivered %s", day);
        }
    }
    if (upper || lower)
        add_words(out, MC_WAITING_TEXT_SIZE, "%s%s%sfirst day not recorded", *out ? "; " : "",
                  named ? ARCH_NAMES[upper ? MC_UPPER : MC_LOWER] : "", named ? " " : "");
}

void mc_waiting_caution(const mc_awaited *w, char out[MC_INTERIM_TEXT_SIZE]) {
    out[0] = '\0';
    if (w->waits_days > MC_MOST_INTERIM_DAYS)
        snprintf(out, MC_INTERIM_TEXT_SIZE,
                 "the last aligner serves for at most %d days meanwhile; this wait is %d",
                 MC_MOST_INTERIM_DAYS, w->waits_days);
}

/* What is told before the dates. */
static void say_turn(const mc_awaited *w, char out[MC_OUTLOOK_TEXT_SIZE]) {
    char text[MC_WAITING_TEXT_SIZE], caution[MC_INTERIM_TEXT_SIZE];
    mc_waiting_text(w, text);
    mc_waiting_caution(w, caution);
    snprintf(out, MC_OUTLOOK_TEXT_SIZE, "%s%s%s", text, *caution ? "; caution: " : "", caution);
}

void mc_outlook_text(const mc_outlook *o, char out[MC_OUTLOOK_TEXT_SIZE]) {
    char day[11];
    out[0] = '\0';
    if (o->over) {
        snprintf(out, MC_OUTLOOK_TEXT_SIZE, "the plan is finished");
        return;
    }
    say_turn(&o->awaited, out);
    bool alike = o->stages[MC_UPPER] > 0 && o->stages[MC_LOWER] > 0 && !mc_awaits(&o->awaited) &&
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
