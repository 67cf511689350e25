/* A decision in words, before it is signed. */
#include "decide_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <stdio.h>
#include <string.h>

void decide_say_choice(const decide_view *d, mc_choice choice, char *out, size_t size) {
    out[0] = '\0';
    if (choice == MC_HOLD)
        words_add(out, size, "hold %d day%s", d->days, d->days == 1 ? "" : "s");
    else if (choice == MC_GO_BACK && d->to >= 1)
        words_add(out, size, "go back to %d", d->to);
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
        words_add(out, size, "%s%s", said == 0 ? "" : said + 1 == count ? " and " : ", ", one);
        said++;
    }
}

/* ", IPR on 2 teeth": enamel is not taken away by a signature that did not say so. */
static void say_ipr(const correction *c, char *out, size_t size) {
    int teeth = 0;
    for (mc_tooth t = 0; t < MC_TEETH && c->plan; t++) {
        const int last = c->stages[mc_tooth_arch(t)];
        teeth +=
            mc_plan_ipr(c->plan, t, true, last) > 0 || mc_plan_ipr(c->plan, t, false, last) > 0;
    }
    if (teeth > 0)
        words_add(out, size, ", IPR on %d %s", teeth, teeth == 1 ? "tooth" : "teeth");
}

/* "; new plan: 18 upper and 12 lower aligners from 2026-12-16, IPR on 2 teeth, cause: staging" */
static void say_correction(const decide_view *d, char *out, size_t size) {
    const correction *c = &d->correction;
    char day[11];
    mc_day_text(c->start, day);
    words_add(out, size, "; new plan: %d upper and %d lower aligners from %s", c->stages[MC_UPPER],
              c->stages[MC_LOWER], day);
    if (c->interval[MC_UPPER] > 0)
        words_add(out, size, ", %d days each", c->interval[MC_UPPER]);
    say_ipr(c, out, size);
    if (c->cause == MC_CAUSE_NONE)
        words_add(out, size, ", its cause is still asked for");
    else
        words_add(out, size, ", cause: %s", mc_cause_name(c->cause));
    if (c->warnings.count > 0)
        words_add(out, size, ", %zu warning%s %saccepted", c->warnings.count,
                  c->warnings.count == 1 ? "" : "s", c->accepted ? "" : "not ");
}

void decide_say_all(const decide_view *d, char *out, size_t size) {
    const mc_assessment *a = d->chart.a;
    mc_decide what = decide_made(d);
    char label[MC_LABEL_SIZE];
    mc_case_label(&a->kase, label);
    decide_say_choices(d, out, size);
    words_add(out, size, " on check-up %d of case %s", a->score->number, label);
    if (decide_chosen(d, MC_CORRECT))
        say_correction(d, out, size);
    if (d->reason[0] != '\0')
        words_add(out, size, "; reason: %s", d->reason);
    else if (mc_needs_reason(a, &what))
        words_add(out, size, "; not what is proposed: it needs a reason (r)");
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
        words_add(out, size, "%s %s on %s", first ? "; the series ends:" : ",", arches[arch], day);
        first = false;
    }
}

/* ---- the comparison ---- */

void decide_say_row(const decide_view *d, const decide_row *row, char out[ROW_NAME_SIZE]) {
    char words[MC_OPTION_WORDS_SIZE];
    if (row->choice == MC_GO_BACK && row->ask.to >= 1)
        snprintf(out, ROW_NAME_SIZE, "go back to %d", row->ask.to);
    else if (row->choice == MC_GO_BACK)
        snprintf(out, ROW_NAME_SIZE, "go back");
    else if (row->choice == MC_CORRECT && d->correction.why_not[0] != '\0')
        snprintf(out, ROW_NAME_SIZE, "correct now, preview");
    else if (row->choice == MC_FINISH && d->alone[MC_FINISH].over)
        snprintf(out, ROW_NAME_SIZE, "finish: closes plan");
    else {
        mc_option_words(&row->ask, words);
        snprintf(out, ROW_NAME_SIZE, "%.*s", ROW_NAME_SIZE - 1, words);
    }
}

/* ---- the proposal ---- */

/* What each rule is about. */
static const char *rule_words(int rule) {
    static const char *const words[] = {"",
                                        "safety",
                                        "fit",
                                        "attachments",
                                        "contacts",
                                        "past plan",
                                        "wear",
                                        "too little is read",
                                        "far behind",
                                        "one or two behind",
                                        "teeth behind",
                                        "nothing stops it"};
    return rule > 0 && rule < (int)(sizeof words / sizeof *words) ? words[rule] : "";
}

void decide_say_heading(const console *con, const decide_view *d, char *out, size_t size) {
    const mc_proposal *proposal = &d->chart.a->proposal;
    char decision[200];
    chart_decision_text(&d->chart, decision, sizeof decision);
    snprintf(out, size, "%sProposal, rule %d (%s), %s%s%s", chart_proposal_mark(d->chart.a),
             proposal->rule, rule_words(proposal->rule), mc_proposal_words(proposal->choice),
             con->notation == MC_NOTATION_ISO ? "" : " (ISO numbers)", decision);
}

void decide_say_basis(const decide_view *d, int columns, char *out, size_t size) {
    const mc_assessment *a = d->chart.a;
    const mc_forecast *forecast = &a->forecast;
    const char *kind = mc_choice_of(a->proposal.choice) == MC_CHOICES
                           ? "Done at the chair, no row is proposed."
                           : "Only a proposal.";
    snprintf(out, size, "%s Rests on %d teeth read (%d in part), %d not known.", kind,
             forecast->known, forecast->partly, forecast->unknown);
    if (forecast->known == 0)
        snprintf(out, size, "%s No position was read: no tooth's end is known.", kind);
    else if (forecast->partly == 0 || (int)strlen(out) > columns)
        snprintf(out, size, "%s Rests on %d teeth read, %d not known.", kind, forecast->known,
                 forecast->unknown);
}

void decide_say_assumed(const decide_view *d, char *out, size_t size) {
    const mc_settings *s = &d->chart.a->settings;
    snprintf(out, size,
             "Outside: teeth expected to end beyond %.1f mm or %.0f deg; all in: the chance that "
             "all read end inside; teeth not read are in neither. Assumed: each tooth keeps its "
             "pace, without grip %.0f %% of it; local measures give back grip, no more; a week's "
             "hold makes up %.0f %% of what is short where the aligner seats; a new series comes "
             "%.0f days after a scan, attachments in place, overlaps aside.",
             s->finish_mm, s->finish_deg, 100 * s->grip_share, 100 * (1 - s->hold_seated_share),
             s->laboratory_days);
}
