/* A decision in words, before it is signed. */
#include "decide_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void add(char *out, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void add(char *out, size_t size, const char *format, ...) {
    size_t used = strlen(out);
    va_list values;
    va_start(values, format);
    vsnprintf(out + used, size - used, format, values);
    va_end(values);
}

void decide_say_choice(const decide_view *d, mc_choice choice, char *out, size_t size) {
    out[0] = '\0';
    if (choice == MC_HOLD)
        add(out, size, "hold %d day%s", d->days, d->days == 1 ? "" : "s");
    else if (choice == MC_GO_BACK && d->to >= 1)
        add(out, size, "go back to %d", d->to);
    else
        words_choices(1u << choice, out, size);
}

void decide_say_choices(const decide_view *d, char *out, size_t size) {
    int count = 0, said = 0;
    out[0] = '\0';
    for (int i = 0; i < MC_CHOICES; i++)
        count += decide_chosen(d, (mc_choice)i);
    for (int i = 0; i < MC_CHOICES; i++) {
        char one[60];
        if (!decide_chosen(d, (mc_choice)i))
            continue;
        decide_say_choice(d, (mc_choice)i, one, sizeof one);
        add(out, size, "%s%s", said == 0 ? "" : said + 1 == count ? " and " : ", ", one);
        said++;
    }
}

/* "; new plan: 18 upper and 12 lower aligners from 2026-12-16, cause: staging" */
static void say_correction(const decide_view *d, char *out, size_t size) {
    const correction *c = &d->correction;
    char day[11];
    mc_day_text(c->start, day);
    add(out, size, "; new plan: %d upper and %d lower aligners from %s", c->stages[MC_UPPER],
        c->stages[MC_LOWER], day);
    if (c->interval[MC_UPPER] > 0)
        add(out, size, ", %d days each", c->interval[MC_UPPER]);
    if (c->cause == MC_CAUSE_NONE)
        add(out, size, ", its cause is to be said (k)");
    else
        add(out, size, ", cause: %s", mc_cause_name(c->cause));
    if (c->warnings.count > 0)
        add(out, size, ", %zu warning%s %saccepted", c->warnings.count,
            c->warnings.count == 1 ? "" : "s", c->accepted ? "" : "not ");
}

void decide_say_all(const decide_view *d, char *out, size_t size) {
    const mc_assessment *a = d->chart.a;
    mc_decide what = decide_made(d);
    char label[MC_LABEL_SIZE];
    mc_case_label(&a->kase, label);
    decide_say_choices(d, out, size);
    add(out, size, " on check-up %d of case %s", a->score->number, label);
    if (decide_chosen(d, MC_CORRECT))
        say_correction(d, out, size);
    if (d->reason[0] != '\0')
        add(out, size, "; reason: %s", d->reason);
    else if (mc_needs_reason(a, &what))
        add(out, size, "; not what is proposed: it needs a reason (r)");
}

void decide_say_next(const mc_outlook *o, char *out, size_t size) {
    static const char *const arches[] = {[MC_UPPER] = "upper", [MC_LOWER] = "lower"};
    char text[MC_OUTLOOK_TEXT_SIZE], day[11];
    mc_outlook_text(o, text);
    snprintf(out, size, "%s", text);
    bool first = true;
    for (int arch = 0; arch < MC_ARCHES && !o->over; arch++) {
        if (o->stages[arch] == 0 || o->change[arch] == MC_NO_DAY)
            continue;
        mc_day_text(o->end[arch], day);
        add(out, size, "%s %s on %s", first ? "; the series ends:" : ",", arches[arch], day);
        first = false;
    }
}
