/* The signed decision. */
#include "context.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static mc_status choices_of(const arguments *a, unsigned *choices, mc_error *error) {
    for (int i = 0; i < a->given; i++) {
        mc_choice choice;
        if (strcmp(a->name[i], "choice") != 0)
            continue;
        if (!mc_choice_parse(a->value[i], &choice))
            return mc_fail(
                error, MC_USAGE,
                "--choice %.30s: it is carry-on, hold, go-back, local, correct or finish",
                a->value[i]);
        *choices |= 1u << choice;
    }
    return *choices ? MC_OK : mc_fail(error, MC_USAGE, "--choice CHOICE: what was decided?");
}

static mc_status read_decision(const arguments *a, mc_decide *what, mc_error *error) {
    const char *cause = option_value(a, "cause");
    int both = 0;
    *what = (mc_decide){
        .to = -1, .start = MC_NO_DAY, .accept_warnings = option_given(a, "accept-warnings")};
    what->reason = option_value(a, "reason");
    if (cause && !mc_cause_parse(cause, &what->cause))
        return mc_fail(error, MC_USAGE,
                       "--cause %.30s: it is wear, contact, attachment, aligner, staging, "
                       "interference, elastics, root or "
                       "unknown",
                       cause);
    mc_status status = choices_of(a, &what->choices, error);
    if (status == MC_OK)
        status = option_whole(a, "days", 1, 365, &what->days, error);
    if (status == MC_OK)
        status = option_whole(a, "to", 0, MC_MOST_STAGES, &what->to, error);
    if (status == MC_OK)
        status = option_day(a, "start", &what->start, error);
    if (status == MC_OK)
        status = option_whole(a, "interval", 1, 365, &both, error);
    what->interval[MC_UPPER] = what->interval[MC_LOWER] = both;
    return status;
}

/* "hold 7 days and local": by the names that --choice takes. */
static void add_choice(const mc_decision *d, mc_choice choice, char *out, size_t size) {
    char more[40] = "";
    size_t used = strlen(out);
    if (choice == MC_HOLD)
        snprintf(more, sizeof more, " %d day%s", d->days, d->days == 1 ? "" : "s");
    if (choice == MC_GO_BACK)
        snprintf(more, sizeof more, " to aligner %d", d->to);
    snprintf(out + used, size - used, "%s%s%s", used > 0 ? " and " : "", mc_choice_name(choice),
             more);
}

/* What is worn until an ordered series begins. */
static void print_interim(const mc_assessment *a, bool opened) {
    char text[MC_INTERIM_WORDS_SIZE], line[MC_INTERIM_WORDS_SIZE + 40];
    mc_interim_words(a, NULL, text);
    snprintf(line, sizeof line, "Until then the person wears %s.", text);
    if (opened && a->turn.waiting)
        print_wrapped(line, 0);
}

static mc_status tell_signed(context *c, const mc_case *kase, const mc_decision *d,
                             mc_error *error) {
    json_t *choices = json_array();
    char text[120] = "";
    for (int i = 0; i < MC_CHOICES; i++)
        if (d->choices & 1u << i) {
            json_array_append_new(choices, json_string(mc_choice_name((mc_choice)i)));
            add_choice(d, (mc_choice)i, text, sizeof text);
        }
    mc_assessment *a = NULL;
    mc_status status = mc_assess(c->practice, kase, 0, false, &a, error);
    if (status != MC_OK) {
        json_decref(choices);
        return status;
    }
    bool opened = !mc_id_is_none(&d->plan);
    const int in_force = a->turn.waiting ? a->turn.next.number : a->info.number;
    if (c->json) {
        status = print_json(json_pack("{s:i, s:s, s:i, s:o, s:s, s:s, s:s, s:o}", "format", 1,
                                      "case", c->arguments.word[0], "checkup", d->checkup,
                                      "choices", choices, "by", d->by, "at", d->at, "hash", d->hash,
                                      "plan", opened ? json_integer(in_force) : json_null()),
                            error);
    } else {
        char day[11];
        json_decref(choices);
        mc_outlook outlook;
        char next[MC_OUTLOOK_TEXT_SIZE], line[MC_OUTLOOK_TEXT_SIZE + 10];
        mc_outlook_of(a, NULL, mc_practice_today(c->practice), NULL, &outlook);
        mc_outlook_text(&outlook, next);
        printf("Signed by %s: %s, on check-up %d.\n", d->by, text, d->checkup);
        if (opened)
            printf("Plan %d is open beside plan %d, which stays on record; it starts on %s.\n",
                   in_force, in_force - 1,
                   day_text(a->turn.corrected ? a->turn.next.worn_from : a->info.start, day));
        print_interim(a, opened);
        snprintf(line, sizeof line, "Next: %s.", next);
        print_wrapped(line, 0);
    }
    mc_assessment_free(a);
    return status;
}

mc_status run_decide(context *c, mc_error *error) {
    const arguments *a = &c->arguments;
    const char *plan = option_value(a, "plan");
    mc_case kase;
    mc_decide what;
    mc_decision decision = {0};
    mc_warnings warnings = {0};
    mc_person actor = {.initials = ""};
    char *data = NULL, passphrase[PASSPHRASE_SIZE] = "";
    mc_status status = read_decision(a, &what, error);
    if (status == MC_OK)
        status = case_of(c, &kase, error);
    if (status == MC_OK && !mc_practice_actor(c->practice, &actor))
        status = mc_fail(error, MC_USAGE, "--as INITIALS: which doctor signs?");
    if (status == MC_OK && plan)
        status = read_file(c, plan, &data, &what.plan_size, error);
    what.plan = data;
    if (status == MC_OK)
        status = read_passphrase(c, false, actor.initials, passphrase, error);
    if (status == MC_OK)
        status = mc_sign(c->practice, &kase, &what, passphrase, &decision, &warnings, error);
    wipe(passphrase, sizeof passphrase);
    free(data);
    print_warnings(c, &warnings);
    if (status == MC_OK)
        status = tell_signed(c, &kase, &decision, error);
    free(decision.evidence);
    return status;
}
