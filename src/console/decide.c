/* The decision screen: its choices and their keys. */
#include "decide.h"

#include "chart.h"
#include "decide_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <curses.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WEEK = 7, FORTNIGHT = 14 };

/* ---- what is chosen ---- */

mc_decide decide_made(const decide_view *d) {
    const correction *c = &d->correction;
    mc_decide made = {.choices = d->choices,
                      .to = -1,
                      .reason = d->reason[0] != '\0' ? d->reason : NULL,
                      .start = MC_NO_DAY,
                      .by = d->by[0] != '\0' ? d->by : NULL,
                      .seen = d->chart.a};
    if (decide_chosen(d, MC_HOLD))
        made.days = d->days;
    if (decide_chosen(d, MC_GO_BACK))
        made.to = d->to;
    if (decide_chosen(d, MC_CORRECT)) {
        made.plan = c->file;
        made.plan_size = c->size;
        made.cause = c->cause;
        made.start = c->start;
        made.accept_warnings = c->accepted;
        memcpy(made.interval, c->interval, sizeof made.interval);
    }
    return made;
}

void decide_look_ahead(const console *con, decide_view *d) {
    unsigned chosen = d->choices;
    for (int i = 0; i < MC_CHOICES; i++) {
        d->choices = 1u << i;
        mc_decide alone = decide_made(d);
        mc_outlook_of(d->chart.a, &alone, con->today, &d->now, &d->alone[i]);
    }
    d->choices = chosen;
    mc_decide made = decide_made(d);
    mc_outlook_of(d->chart.a, chosen ? &made : NULL, con->today, &d->now, &d->next);
    decide_weigh_chosen(d);
}

void decide_choose(console *con, decide_view *d, mc_choice choice) {
    unsigned away = 0;
    char now[60], gone[160];
    for (int i = 0; i < MC_CHOICES; i++)
        if (decide_chosen(d, (mc_choice)i) && mc_choices_exclude(choice, (mc_choice)i))
            away |= 1u << i;
    d->choices = (d->choices & ~away) | 1u << choice;
    decide_look_ahead(con, d);
    decide_say_choice(d, choice, now, sizeof now);
    words_choices(away, gone, sizeof gone);
    if (away)
        frame_say(con, "Chosen: %s, instead of %s: they exclude each other.", now, gone);
    else
        frame_say(con, "Chosen: %s.", now);
}

void decide_take_away(console *con, decide_view *d, mc_choice choice) {
    char name[60];
    d->choices &= ~(1u << choice);
    decide_look_ahead(con, d);
    words_choices(1u << choice, name, sizeof name);
    frame_say(con, "No longer chosen: %s.", name);
}

static void toggle(console *con, decide_view *d, mc_choice choice) {
    if (decide_chosen(d, choice))
        decide_take_away(con, d, choice);
    else
        decide_choose(con, d, choice);
}

static void carry_on(console *con, void *self) {
    toggle(con, self, MC_CARRY_ON);
}

static void local_measures(console *con, void *self) {
    toggle(con, self, MC_LOCAL_MEASURES);
}

static void finish(console *con, void *self) {
    toggle(con, self, MC_FINISH);
}

/* ---- hold ---- */

/* A week, a fortnight, no hold; days that were proposed or typed stand first. */
static void hold(console *con, void *self) {
    decide_view *d = self;
    if (decide_chosen(d, MC_HOLD) && d->days >= FORTNIGHT) {
        d->days = WEEK;
        decide_take_away(con, d, MC_HOLD);
        return;
    }
    if (decide_chosen(d, MC_HOLD))
        d->days = d->days < WEEK ? WEEK : FORTNIGHT;
    decide_choose(con, d, MC_HOLD);
}

/* A whole number within two others; says why not. */
static bool whole(console *con, const char *text, int least, int most, int *out) {
    double value = 0;
    if (mc_decimal_parse(text, false, &value) && value >= least && value <= most &&
        value == (int)value) {
        *out = (int)value;
        return true;
    }
    frame_refuse_words(con, "A whole number from %d to %d is asked for. Nothing was changed.",
                       least, most);
    return false;
}

static void take_days(console *con, void *self, const char *text) {
    decide_view *d = self;
    if (whole(con, text, 1, MC_MOST_HOLD_DAYS, &d->days))
        decide_choose(con, d, MC_HOLD);
}

static void ask_days(console *con, void *self) {
    char label[80];
    (void)self;
    snprintf(label, sizeof label, "Hold how many days, 1 to %d:", MC_MOST_HOLD_DAYS);
    frame_prompt(con, label, NULL, false, take_days);
}

/* ---- go back ---- */

void decide_back_range(const mc_assessment *a, int *nearest, int *furthest) {
    int worn = 0, back = (int)a->settings.reseat_back;
    for (int arch = 0; arch < MC_ARCHES; arch++)
        worn = a->score->aligner[arch] > worn ? a->score->aligner[arch] : worn;
    *nearest = worn - 1;
    *furthest = worn - back > 1 ? worn - back : 1;
}

/* The one that the proposal names, else the one before. */
static int first_back(const mc_assessment *a) {
    int nearest, furthest;
    decide_back_range(a, &nearest, &furthest);
    int named = a->proposal.choice == MC_PROPOSE_RESEAT ? a->proposal.to : -1;
    return named >= furthest && named <= nearest ? named : nearest;
}

/* Round the aligners it may go back to, from the first one on; then none. */
static void go_back(console *con, void *self) {
    decide_view *d = self;
    int nearest, furthest, first = first_back(d->chart.a);
    decide_back_range(d->chart.a, &nearest, &furthest);
    if (nearest < 1) {
        frame_say(con, "There is no earlier aligner to go back to.");
        return;
    }
    int next = d->to > furthest ? d->to - 1 : nearest;
    if (!decide_chosen(d, MC_GO_BACK)) {
        decide_choose(con, d, MC_GO_BACK);
    } else if (next == first) {
        d->to = first;
        decide_take_away(con, d, MC_GO_BACK);
    } else {
        d->to = next;
        decide_choose(con, d, MC_GO_BACK);
    }
}

static void take_back(console *con, void *self, const char *text) {
    decide_view *d = self;
    int nearest, furthest;
    decide_back_range(d->chart.a, &nearest, &furthest);
    if (whole(con, text, furthest, nearest, &d->to))
        decide_choose(con, d, MC_GO_BACK);
}

static void ask_back(console *con, void *self) {
    decide_view *d = self;
    int nearest, furthest;
    char label[80];
    decide_back_range(d->chart.a, &nearest, &furthest);
    if (nearest < 1) {
        frame_say(con, "There is no earlier aligner to go back to.");
        return;
    }
    snprintf(label, sizeof label, "Go back to which aligner, %d to %d:", furthest, nearest);
    frame_prompt(con, label, NULL, false, take_back);
}

/* ---- correct, and what is proposed ---- */

static void correct(console *con, void *self) {
    bench_open(con, self);
}

static void take_over(console *con, void *self) {
    decide_view *d = self;
    const mc_proposal *proposal = &d->chart.a->proposal;
    mc_choice choice = mc_choice_of(proposal->choice);
    const char *name = mc_proposal_words(proposal->choice);
    if (proposal->choice == MC_PROPOSE_RESEAT && first_back(d->chart.a) == proposal->to) {
        frame_say(con,
                  "\"%s\" is done at the chair; where it does not seat then, b goes back to %d.",
                  name, proposal->to);
        return;
    }
    if (choice == MC_CHOICES) {
        frame_say(con, "\"%s\" is done at the chair; choose what the aligners do beside it.", name);
        return;
    }
    if (choice == MC_HOLD && proposal->days > 0)
        d->days = proposal->days;
    if (choice == MC_CORRECT)
        bench_open(con, d);
    else
        decide_choose(con, d, choice);
}

/* ---- other keys ---- */

static void scroll_on(console *con, void *self) {
    (void)con;
    decide_scroll(self, 1);
}

static void scroll_back(console *con, void *self) {
    (void)con;
    decide_scroll(self, -1);
}

/* Why there is nothing to decide on here; NULL where there is. */
static const char *why_not(const mc_assessment *a) {
    if (a->kase.closed != MC_NO_DAY)
        return "This case is closed: there is nothing to decide.";
    if (!a->has_plan)
        return "No plan has been imported yet: there is nothing to decide.";
    if (!a->score)
        return "Nothing has been read on this plan yet: a decision needs a check-up.";
    if (a->score->number != a->last_number)
        return "A decision is made on the last check-up: F5 shows it.";
    return a->info.status == MC_PLAN_ACTIVE || a->turn.waiting
               ? NULL
               : "This plan is finished: there is nothing to decide.";
}

/* Nothing chosen yet; the assessment is taken over. */
static void begin(console *con, decide_view *d, mc_assessment *a) {
    correct_forget(d);
    mc_assessment_free(d->chart.a);
    *d = (decide_view){.chart = {.a = a, .cursor = MC_NO_TOOTH},
                       .below = d->below,
                       .now = d->now,
                       .days = a->proposal.choice == MC_PROPOSE_HOLD && a->proposal.days > 0
                                   ? a->proposal.days
                                   : WEEK,
                       .to = first_back(a)};
    decide_weigh_usual(d);
    decide_look_ahead(con, d);
}

static mc_status read_case(console *con, const mc_case *kase, mc_settings *now, mc_assessment **out,
                           mc_error *error) {
    mc_status status = mc_assess(con->practice, kase, 0, false, out, error);
    if (status == MC_OK)
        status = mc_record_settings(mc_practice_record(con->practice), &kase->id, now, NULL, error);
    if (status != MC_OK) {
        mc_assessment_free(*out);
        *out = NULL;
    }
    return status;
}

/* What is chosen so far belongs to what was looked at: it goes. */
bool decide_read_again(console *con, decide_view *d) {
    mc_assessment *a = NULL;
    mc_error error = {0};
    if (read_case(con, &d->chart.a->kase, &d->now, &a, &error) != MC_OK) {
        frame_refuse(con, &error);
        return false;
    }
    const char *why = why_not(a);
    if (why) {
        chart_view *below = d->below;
        mc_assessment_free(a);
        frame_back(con, d);
        if (chart_show_last(con, below))
            frame_refuse_words(con, "%s", why);
        return false;
    }
    begin(con, d, a);
    return true;
}

static void read_now(console *con, void *self) {
    if (decide_read_again(con, self))
        frame_say(con, "Read again; nothing is chosen.");
}

/* Do what takes the workbench's changes away, asking once where they are not kept. */
static void unless_unkept(console *con, void *self, void (*act)(console *, void *)) {
    const char *question = correct_unkept(self);
    if (question[0] != '\0')
        frame_ask(con, 'y', act, question);
    else
        act(con, self);
}

static void read_again(console *con, void *self) {
    unless_unkept(con, self, read_now);
}

static void back(console *con, void *self) {
    unless_unkept(con, self, frame_back);
}

static const key_row KEYS[] = {
    {KEY_ESC, 'q', "Esc", "back", "back to the chart, signing nothing (q too)", back},
    {'p', 0, "p", "as proposed", "choose what is proposed, where it is a choice", take_over},
    {'c', 0, "c", NULL, "carry on: aligners change by the dates", carry_on},
    {'h', 0, "h", NULL, "hold: the present aligners are worn 7 days longer, 14, or not", hold},
    {'d', 0, "d", "days", "hold for other days, counted from the check-up", ask_days},
    {'b', 0, "b", NULL,
     "go back to an earlier aligner, begun on the day of the check-up: the one that the proposal "
     "names, else the one before; then the ones before that, or not; an arch that is not past it "
     "goes on as it is",
     go_back},
    {'t', 0, "t", NULL, "go back to another of these", ask_back},
    {'l', 0, "l", NULL,
     "local measures: attachment, contact, button and elastic, seating exercises; the reason says "
     "which, and on which teeth",
     local_measures},
    {'k', 0, "k", NULL,
     "correct: the workbench, a new plan from where the teeth are, to be looked at, changed and "
     "taken",
     correct},
    {'f', 0, "f", NULL,
     "finish: wear the series to its end and measure then; at the end it closes the plan", finish},
    {'r', 0, "r", "reason", "the reason, kept with the decision", decide_ask_reason},
    {'s', 0, "s", "sign", "sign what is chosen: a doctor's initials and passphrase", decide_sign},
    {KEY_NPAGE, 0, "PgDn", NULL, "a line on in a proposal that is too long for its place",
     scroll_on},
    {KEY_PPAGE, 0, "PgUp", NULL, "a line back", scroll_back},
    {'n', 0, "n", NULL, "the next tooth notation", chart_change_notation},
    {KEY_F(5), 0, "F5", NULL, "read the record again; what was chosen goes", read_again},
    {0}};

/* ---- the screen ---- */

static void title(const console *con, const void *self, char *left, size_t size) {
    const decide_view *d = self;
    const mc_assessment *a = d->chart.a;
    enum { NAME_COLS = 24 };
    char label[MC_LABEL_SIZE], day[11], name[400];
    mc_case_label(&a->kase, label);
    mc_text_fit(frame_name(con, &a->kase), NAME_COLS, con->theme.ascii, name, sizeof name);
    mc_day_text(a->score->date, day);
    snprintf(left, size, "%s %s  decision on check-up %d, %s", label, name, a->score->number, day);
}

static void marks(console *con, void *self, pager *page) {
    const decide_view *d = self;
    char assumed[900];
    (void)con;
    pager_heading(page, "The choices");
    pager_add(page, STYLE_STRONG, "[x]",
              "chosen; several may be, where they do not exclude each "
              "other, and are signed as one decision");
    pager_add(page, STYLE_STRONG, "proposed",
              "what the rules propose; signing without it needs a reason");
    pager_add(page, STYLE_STRONG, "preview",
              "a correction that cannot be signed as an order: k shows why");
    pager_heading(page, "What each choice is expected to bring");
    pager_add(page, STYLE_STRONG, "outside", "teeth expected to end outside their tolerance");
    pager_add(page, STYLE_STRONG, "all in %", "the chance that every tooth read ends inside");
    pager_add(
        page, STYLE_STRONG, "ends, days",
        "the day the last aligner has done its time, and how many days later (+) or sooner (-) "
        "than by carrying on");
    pager_add(page, STYLE_STRONG, "aligners", "still to be begun, both arches together");
    pager_add(page, STYLE_STRONG, "your choice", "all that is chosen, taken together");
    pager_add(
        page, STYLE_STRONG, "on larger screens",
        "every hold and every aligner to go back to; aligners of this series that will not be "
        "worn, check-ups to come, teeth not known; the next aligners and check-up; and for each "
        "tooth the chance to end outside by carrying on, hold, going back, local measures, "
        "correcting now, finishing and then correcting, and by your choice");
    decide_say_assumed(d, assumed, sizeof assumed);
    pager_add(page, STYLE_PLAIN, "assumed", assumed);
    pager_heading(page, "The signature");
    pager_add(
        page, STYLE_PLAIN, "",
        "Only a doctor signs; at somebody else's console too, with the doctor's own initials "
        "and passphrase, and whoever is signed in stays so. The decision is kept with the "
        "score, the proposal, the settings and the plan that were seen, and is never changed.");
    pager_add(page, STYLE_FAINT, "", CHART_CAUTION);
}

static const char *unkept(const void *self) {
    return correct_unkept(self);
}

static void close_decision(void *self) {
    decide_view *d = self;
    correct_forget(d);
    mc_assessment_free(d->chart.a);
    free(d);
}

static const screen_ops OPS = {.name = "decision",
                               .keys = KEYS,
                               .title = title,
                               .draw = decide_draw,
                               .marks = marks,
                               .unkept = unkept,
                               .close = close_decision};

/* What whoever opens it has to know first. */
static void greet(console *con, const mc_assessment *a, int entered) {
    mc_person person;
    bool known = mc_practice_actor(con->practice, &person);
    const char *already = a->decision_due ? "" : " A decision on this check-up is signed already.";
    if (entered > 0)
        frame_refuse_words(con,
                           "Check-up %d is being entered: nothing is signed until it is "
                           "completed or thrown away.",
                           entered);
    else if (known && person.role != MC_DOCTOR)
        frame_say(con,
                  "%s is no doctor: look and choose; a doctor signs here with initials and "
                  "passphrase.%s",
                  person.initials, already);
    else if (a->proposal.choice == MC_PROPOSE_EXAMINE)
        frame_refuse_words(con,
                           "Examine first: no aligner is changed until the doctor has seen "
                           "this.%s",
                           already);
    else if (!a->decision_due)
        frame_say(con, "A decision on this check-up is signed already; another would stand beside "
                       "it.");
}

void decide_open(console *con, void *chart) {
    chart_view *below = chart;
    mc_assessment *a = NULL;
    mc_error error = {0};
    const char *why = why_not(below->a);
    if (why) {
        frame_say(con, "%s", why);
        return;
    }
    decide_view *d = calloc(1, sizeof *d);
    if (!d) {
        frame_say(con, "Out of memory.");
        return;
    }
    if (read_case(con, &below->a->kase, &d->now, &a, &error) != MC_OK) {
        free(d);
        frame_refuse(con, &error);
        return;
    }
    why = why_not(a);
    if (why) {
        free(d);
        mc_assessment_free(a);
        frame_say(con, "%s", why);
        return;
    }
    d->below = below;
    begin(con, d, a);
    frame_open(con, &OPS, d);
    greet(con, a, below->entering);
}
