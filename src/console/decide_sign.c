/* The signature: first everything that would be refused, then initials, then the passphrase. */
#include "chart.h"
#include "decide_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static void ask_initials(console *con, decide_view *d);
static void ask_passphrase(console *con, decide_view *d);

/* ---- the reason ---- */

static void take_reason(console *con, void *self, const char *text) {
    decide_view *d = self;
    bool go_on = d->sign_next;
    if (strlen(text) >= sizeof d->reason) {
        frame_refuse_words(con, "A reason is at most %zu bytes long: shorten it.",
                           sizeof d->reason - 1);
        frame_prompt(con, "Reason:", text, false, take_reason);
        return;
    }
    snprintf(d->reason, sizeof d->reason, "%s", text + strspn(text, " "));
    d->sign_next = false;
    if (go_on && d->reason[0] != '\0')
        decide_sign(con, d);
    else
        frame_say(con, d->reason[0] != '\0' ? "The reason is kept with the decision."
                                            : "No reason is given.");
}

void decide_ask_reason(console *con, void *self) {
    decide_view *d = self;
    frame_prompt(con, "Reason:", d->reason, false, take_reason);
}

/* ---- what is still missing ---- */

/* On with the signature, which asked for it. */
static void take_cause(console *con, void *self, const char *text) {
    if (correct_take_cause(con, self, text))
        decide_sign(con, self);
}

/* Say what is refused and ask for what it needs. */
static void ask_for(console *con, decide_view *d, const mc_error *error) {
    switch (error->need) {
    case MC_NEED_REASON:
        frame_refuse(con, error);
        d->sign_next = true;
        decide_ask_reason(con, d);
        break;
    case MC_NEED_CAUSE:
        frame_refuse(con, error);
        correct_ask_cause(con, take_cause);
        break;
    case MC_NEED_ACCEPTANCE:
    case MC_NEED_PLAN:
        bench_open(con, d);
        frame_refuse(con, error);
        break;
    case MC_NEED_LOOK:
        if (decide_read_again(con, d))
            frame_refuse_words(con, "The case was changed on another console meanwhile. It was "
                                    "read again: look and choose once more.");
        break;
    default:
        frame_refuse(con, error);
    }
}

void decide_sign(console *con, void *self) {
    decide_view *d = self;
    mc_warnings warnings = {0};
    mc_error error = {0};
    d->sign_next = false;
    d->by[0] = '\0';
    if (d->choices == 0) {
        frame_say(con, "Nothing is chosen yet: type the letters of the choices.");
        return;
    }
    mc_decide made = decide_made(d);
    mc_status status = mc_decide_check(con->practice, &d->chart.a->kase, &made, &warnings, &error);
    mc_warnings_free(&warnings);
    if (status == MC_OK)
        ask_initials(con, d);
    else
        ask_for(con, d, &error);
}

/* ---- who signs ---- */

/* As they are on record, whatever the letter case they are typed in. What nobody has is not shown
 * again: it may be a passphrase typed too early. */
static mc_status as_on_record(console *con, const char *typed, char out[9], mc_error *error) {
    mc_person *people = NULL;
    size_t count = 0;
    mc_status status = mc_record_people(mc_practice_record(con->practice), &people, &count, error);
    out[0] = '\0';
    for (size_t i = 0; i < count; i++)
        if (strcasecmp(people[i].initials, typed) == 0)
            snprintf(out, 9, "%s", people[i].initials);
    free(people);
    if (status == MC_OK && out[0] == '\0')
        status = mc_fail(error, MC_REFUSED,
                         "nobody has these initials; the passphrase is asked for after them");
    return status;
}

static void take_initials(console *con, void *self, const char *text) {
    decide_view *d = self;
    mc_error error = {0};
    if (text[0] == '\0') {
        frame_say(con, "Not signed: no initials were given. Nothing is lost.");
        return;
    }
    mc_status status = as_on_record(con, text, d->by, &error);
    if (status == MC_OK)
        status = mc_may_sign(con->practice, d->by, &error);
    if (status == MC_OK) {
        ask_passphrase(con, d);
        return;
    }
    d->by[0] = '\0';
    frame_refuse(con, &error);
    ask_initials(con, d);
}

static void ask_initials(console *con, decide_view *d) {
    mc_person person;
    bool doctor = mc_practice_actor(con->practice, &person) && person.role == MC_DOCTOR;
    frame_prompt(con, "Signed by (initials):", NULL, false, take_initials);
    line_offer(&con->prompt.line, doctor ? person.initials : NULL, sizeof d->by - 1);
}

/* ---- the signature itself ---- */

/* Back on the chart: what was signed, and what comes next. */
static void tell_signed(console *con, chart_view *below, const char *what, const char *by) {
    mc_outlook outlook;
    char next[MC_OUTLOOK_TEXT_SIZE], day[11], worn[MC_INTERIM_WORDS_SIZE], due[11];
    if (!chart_show_last(con, below))
        return;
    const mc_assessment *a = below->a;
    mc_outlook_of(a, NULL, con->today, NULL, &outlook);
    mc_outlook_text(&outlook, next);
    mc_day_text(a->turn.next.worn_from, day);
    mc_day_text(outlook.next_checkup, due);
    mc_interim_words(a, NULL, worn);
    if (a->turn.waiting && a->turn.next.ordered == con->today)
        frame_say(con,
                  "Signed by %s: %s. Plan %d starts on %s; worn until then: %s. Next: check-up %s.",
                  by, what, a->turn.next.number, day, worn, due);
    else
        frame_say(con, "Signed by %s: %s. Next: %s.", by, what, next);
}

static void take_passphrase(console *con, void *self, const char *text) {
    decide_view *d = self;
    mc_decide made = decide_made(d);
    mc_decision decision = {0};
    mc_warnings warnings = {0};
    mc_error error = {0};
    chart_view *below = d->below;
    char what[200], by[sizeof d->by];
    frame_say_now(con, "Signing ...");
    mc_status status =
        mc_sign(con->practice, &d->chart.a->kase, &made, text, &decision, &warnings, &error);
    mc_warnings_free(&warnings);
    free(decision.evidence);
    if (status == MC_OK) {
        decide_say_choices(d, what, sizeof what);
        snprintf(by, sizeof by, "%s", d->by);
        frame_back(con, d);
        tell_signed(con, below, what, by);
    } else if (error.need == MC_NEED_PASSPHRASE) {
        frame_refuse(con, &error);
        ask_passphrase(con, d);
    } else {
        ask_for(con, d, &error);
    }
}

static void ask_passphrase(console *con, decide_view *d) {
    char label[60];
    snprintf(label, sizeof label, "Passphrase of %s:", d->by);
    frame_prompt(con, label, NULL, true, take_passphrase);
}

bool decide_is_signing(const console *con) {
    return con->prompt.open &&
           (con->prompt.on_text == take_initials || con->prompt.on_text == take_passphrase);
}
