/* The correction and the signed decision. */
#include "context.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- revise ---- */

/* Never "-0.0": what rounds to nothing is shown as nothing. */
static double shown(const mc_pose *pose, mc_component c) {
    double least = mc_component_is_linear(c) ? 0.005 : 0.05;
    return fabs(pose->c[c]) < least ? 0 : pose->c[c];
}

static void print_account(const mc_revision *r, const char *out) {
    const mc_restaged *account = &r->account;
    printf("Wrote %s: %s.\n", out,
           r->preview ? "a preview, not to be ordered" : "a draft that can be signed as an order");
    if (r->preview) {
        printf("\n");
        print_wrapped(r->why_preview, 2);
    }
    printf("\n");
    for (int arch = 0; arch < MC_ARCHES; arch++)
        printf("  %s  %d aligners (at least %d under the limits)\n",
               arch == MC_UPPER ? "Upper" : "Lower", account->stages[arch],
               account->lower_bound[arch]);
    print_columns("\n%-5s %7s %7s %7s %7s %7s %7s  %5s", "", "mesial", "buccal", "occl.", "rot.",
                  "ang.", "incl.", "");
    print_columns("%-5s %7s %7s %7s %7s %7s %7s  %5s %s", "Tooth", "mm", "mm", "mm", "deg", "deg",
                  "deg", "Needs", "Limited by");
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_restaged_tooth *k = &account->tooth[t];
        if (!k->moves)
            continue;
        print_columns("%02d    %7.2f %7.2f %7.2f %7.1f %7.1f %7.1f  %5d %s", mc_tooth_iso(t),
                      shown(&k->remaining, MC_MESIAL), shown(&k->remaining, MC_BUCCAL),
                      shown(&k->remaining, MC_OCCLUSAL), shown(&k->remaining, MC_ROTATION),
                      shown(&k->remaining, MC_ANGULATION), shown(&k->remaining, MC_INCLINATION),
                      k->stages_needed, mc_limit_name(k->limited_by));
    }
    printf("\n");
    print_wrapped("What remains for each tooth, from where it is to its target. Crowns were not "
                  "checked against each "
                  "other: look for collisions before ordering.",
                  0);
    print_caution();
}

/* A target file that is unlikely is taken on purpose only. */
static mc_status target_warnings(context *c, mc_revision *revision, mc_error *error) {
    size_t count = revision->warnings.count;
    print_warnings(c, &revision->warnings);
    if (count == 0 || option_given(&c->arguments, "accept-warnings"))
        return MC_OK;
    return mc_fail_need(error, MC_NEED_ACCEPTANCE,
                        "%zu warning%s: to go to these targets all the same, accept %s", count,
                        count == 1 ? "" : "s", count == 1 ? "it" : "them");
}

mc_status run_revise(context *c, mc_error *error) {
    const arguments *a = &c->arguments;
    const char *out = option_value(a, "out"), *target = option_value(a, "target");
    mc_case kase;
    mc_revision revision = {0};
    char *data = NULL;
    size_t size = 0;
    double percent = 0;
    if (!out)
        return mc_fail(error, MC_USAGE, "--out FILE: where should the draft be written?");
    if (c->json && strcmp(out, "-") == 0)
        return two_documents(error);
    mc_status status = option_number(a, "overcorrect", &percent, error);
    if (status == MC_OK)
        status = case_of(c, &kase, error);
    if (status == MC_OK && target)
        status = read_file(c, target, &data, &size, error);
    if (status == MC_OK)
        status = mc_revise(c->practice, &kase, data, size, percent, &revision, error);
    free(data);
    if (status == MC_OK)
        status = target_warnings(c, &revision, error);
    if (status == MC_OK) {
        c->file = NULL;
        status = mc_file_write(out, revision.file, revision.file_size, false, error);
    }
    if (status == MC_OK && c->json)
        status = print_json(mc_json_revise(a->word[0], &revision.account, revision.preview), error);
    else if (status == MC_OK && strcmp(out, "-") != 0)
        print_account(&revision, out);
    mc_revision_free(&revision);
    return status;
}

/* ---- decide ---- */

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
    if (c->json) {
        status = print_json(json_pack("{s:i, s:s, s:i, s:o, s:s, s:s, s:s, s:o}", "format", 1,
                                      "case", c->arguments.word[0], "checkup", d->checkup,
                                      "choices", choices, "by", d->by, "at", d->at, "hash", d->hash,
                                      "plan", opened ? json_integer(a->info.number) : json_null()),
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
            printf("Plan %d is open beside plan %d, which stays on record; it starts on %s.\n"
                   "Until then the last aligner that seats is worn.\n",
                   a->info.number, a->info.number - 1, day_text(a->info.start, day));
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
