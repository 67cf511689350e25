/* The signed decision: what a doctor chose on the last check-up, kept with everything that was
 * seen. */
#include "practice.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool chosen(const mc_decide *what, mc_choice choice) {
    return what->choices & 1u << choice;
}

mc_choice mc_choice_of(mc_proposal_choice proposal) {
    switch (proposal) {
    case MC_PROPOSE_CORRECT:
        return MC_CORRECT;
    case MC_PROPOSE_LOCAL:
        return MC_LOCAL_MEASURES;
    case MC_PROPOSE_HOLD:
        return MC_HOLD;
    case MC_PROPOSE_CARRY_ON:
        return MC_CARRY_ON;
    case MC_PROPOSE_FINISH:
        return MC_FINISH;
    default:
        return MC_CHOICES;
    }
}

bool mc_needs_reason(const mc_assessment *a, const mc_decide *what) {
    mc_choice proposed = mc_choice_of(a->proposal.choice);
    if (proposed != MC_CHOICES)
        return !chosen(what, proposed);
    bool stop = a->proposal.choice == MC_PROPOSE_EXAMINE || a->proposal.choice == MC_PROPOSE_RESEAT;
    return stop && what->choices == 1u << MC_CARRY_ON;
}

static mc_status check_go_back(const mc_assessment *a, int to, mc_error *error) {
    int worn = -1, back = (int)a->settings.reseat_back;
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (a->score->aligner[arch] > worn)
            worn = a->score->aligner[arch];
    if (to < 0)
        return mc_fail_need(error, MC_NEED_ALIGNER, "it is not said which aligner to go back to");
    const int furthest = worn - back > 1 ? worn - back : 1;
    if (worn <= 1)
        return mc_fail(error, MC_REFUSED, "there is no earlier aligner to go back to");
    if (to >= worn || to < furthest)
        return mc_fail(error, MC_REFUSED,
                       "aligner %d: from aligner %d it goes back to %d at the furthest, and to %d "
                       "at the least",
                       to, worn, furthest, worn - 1);
    return MC_OK;
}

bool mc_choices_exclude(mc_choice one, mc_choice other) {
    unsigned both = 1u << one | 1u << other;
    return both == (1u << MC_CARRY_ON | 1u << MC_HOLD) ||
           both == (1u << MC_CARRY_ON | 1u << MC_GO_BACK) ||
           both == (1u << MC_CARRY_ON | 1u << MC_CORRECT) ||
           both == (1u << MC_FINISH | 1u << MC_CORRECT);
}

static mc_status check_together(const mc_decide *what, mc_error *error) {
    for (int one = 0; one < MC_CHOICES; one++)
        for (int other = one + 1; other < MC_CHOICES; other++)
            if (chosen(what, (mc_choice)one) && chosen(what, (mc_choice)other) &&
                mc_choices_exclude((mc_choice)one, (mc_choice)other))
                return mc_fail(error, MC_REFUSED, "%s and %s exclude each other",
                               mc_choice_name((mc_choice)one), mc_choice_name((mc_choice)other));
    return MC_OK;
}

static mc_status check_choices(const mc_assessment *a, const mc_decide *what, mc_error *error) {
    if (what->choices == 0)
        return mc_fail(error, MC_REFUSED, "nothing is chosen");
    if (check_together(what, error) != MC_OK)
        return MC_REFUSED;
    if (chosen(what, MC_HOLD) && (what->days < 1 || what->days > MC_MOST_HOLD_DAYS))
        return mc_fail_need(error, MC_NEED_DAYS, "a hold is 1 to %d days long", MC_MOST_HOLD_DAYS);
    if (!chosen(what, MC_HOLD) && what->days != 0)
        return mc_fail(error, MC_REFUSED, "days belong to a hold");
    if (!chosen(what, MC_GO_BACK) && what->to >= 0)
        return mc_fail(error, MC_REFUSED, "an aligner to go to belongs to go-back");
    if (chosen(what, MC_GO_BACK) && check_go_back(a, what->to, error) != MC_OK)
        return MC_REFUSED;
    if (chosen(what, MC_CORRECT) && !what->plan)
        return mc_fail_need(error, MC_NEED_PLAN, "a correction needs its plan");
    if (chosen(what, MC_CORRECT) && what->cause == MC_CAUSE_NONE)
        return mc_fail_need(error, MC_NEED_CAUSE, "a correction needs its cause");
    if (a->turn.waiting && chosen(what, MC_FINISH))
        return mc_fail(error, MC_REFUSED,
                       "a corrected series is on its way: finish belongs to a series that is worn "
                       "to its end");
    if (!chosen(what, MC_CORRECT) && (what->plan || what->cause != MC_CAUSE_NONE))
        return mc_fail(error, MC_REFUSED, "a plan and a cause belong to a correction");
    if (mc_needs_reason(a, what) && (!what->reason || !*what->reason))
        return mc_fail_need(error, MC_NEED_REASON,
                            "the proposal is %s: choosing otherwise needs a reason",
                            mc_proposal_name(a->proposal.choice));
    if (what->reason && strlen(what->reason) > 500)
        return mc_fail(error, MC_REFUSED, "a reason is at most 500 bytes long");
    return MC_OK;
}

/* ---- the corrected plan ---- */

static mc_status check_origin(const mc_assessment *a, const mc_plan_origin *origin,
                              mc_error *error) {
    if (mc_id_is_none(&origin->case_id))
        return MC_OK;
    if (!mc_id_same(&origin->case_id, &a->kase.id))
        return mc_fail(error, MC_REFUSED, "the plan file was made for another case");
    if (origin->preview)
        return mc_fail(error, MC_REFUSED, "the plan file is a preview: no aligner is made from it");
    if (origin->checkup != a->score->number)
        return mc_fail(error, MC_REFUSED,
                       "the plan file was made from check-up %d; the last is %d: revise again",
                       origin->checkup, a->score->number);
    if (origin->version != a->checkup.version)
        return mc_fail(error, MC_REFUSED,
                       "the plan file was made before check-up %d was amended: revise again",
                       origin->checkup);
    return MC_OK;
}

/* A corrected plan on its way: by the settings of today, which may be others than those that its
 * check-up is scored with. */
typedef struct {
    mc_settings now;
    mc_plan *plan; /* NULL: none */
    mc_start start;
} correction;

/* The variances of the poses that the plan starts from, and whether an order may rest on them. */
static mc_status take_poses(const mc_practice *practice, const mc_assessment *a, correction *c,
                            mc_error *error) {
    exact_poses poses;
    bool moves[MC_TEETH];
    char why[300];
    mc_exact_poses(&a->checkup.checkup, &a->settings, &poses);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        moves[t] = mc_plan_moves(c->plan, t);
        for (int i = 0; i < MC_COMPONENTS; i++)
            c->start.variance[t][i] = isnan(poses.variance[t][i]) ? 0 : poses.variance[t][i];
    }
    mc_why_preview(a, &poses, moves, c->now.order_pose_days, practice->today, why, sizeof why);
    return *why ? mc_fail(error, MC_REFUSED, "%s", why) : MC_OK;
}

/* Read the corrected plan; refuses what no order may rest on. */
static mc_status read_correction(mc_practice *practice, const mc_assessment *a,
                                 const mc_decide *what, correction *c, mc_warnings *warnings,
                                 mc_error *error) {
    mc_plan_origin origin = {0};
    mc_status status = mc_record_settings(practice->record, &a->kase.id, &c->now, NULL, error);
    if (status == MC_OK)
        status = mc_plan_read(what->plan, what->plan_size, MC_NOTATION_ISO, a->states, &c->now,
                              &c->plan, &origin, warnings, error);
    if (status == MC_OK)
        status = check_origin(a, &origin, error);
    if (status == MC_OK)
        status = take_poses(practice, a, c, error);
    if (status == MC_OK)
        status = mc_warn_of_crossing(a, c->plan, warnings, error);
    if (status == MC_OK)
        status = mc_accept_warnings(warnings, what->accept_warnings, "sign it", error);
    if (status == MC_OK) /* told, but the doctor may know of none that seats */
        status = mc_warn_of_interim(a, what, warnings, error);
    return status;
}

static mc_status open_plan(mc_practice *practice, const mc_assessment *a, const mc_decide *what,
                           const correction *c, mc_plan_info *info, mc_error *error) {
    mc_day delivered = practice->today + (mc_day)lround(c->now.laboratory_days);
    *info = (mc_plan_info){.start = what->start != MC_NO_DAY ? what->start : delivered,
                           .made_from = a->score->number};
    snprintf(info->by, sizeof info->by, "%s", practice->actor.initials);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        int wanted = mc_corrected_interval(a, what, (mc_arch)arch);
        info->interval[arch] = mc_plan_stages(c->plan, (mc_arch)arch) > 0 ? wanted : 0;
    }
    if (info->start < practice->today)
        return mc_fail(error, MC_REFUSED, "a corrected plan cannot start before today");
    if (info->start > practice->today + MC_LATEST_START)
        return mc_fail(
            error, MC_REFUSED,
            "a corrected plan starts within %d days: until then the last aligner is worn",
            MC_LATEST_START);
    mc_status status =
        mc_record_add_plan(practice->record, &a->kase.id, c->plan, &c->start, info, error);
    mc_plan_event ordered = {.what = MC_PLAN_ORDERED, .day = practice->today};
    snprintf(ordered.by, sizeof ordered.by, "%s", practice->actor.initials);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        ordered.first[arch] = info->first[arch];
    return status == MC_OK ? mc_record_add_plan_event(practice->record, &info->id, &ordered, error)
                           : status;
}

/* ---- evidence ---- */

static json_t *choices_json(unsigned choices) {
    json_t *list = json_array();
    for (int c = 0; c < MC_CHOICES; c++)
        if (choices & 1u << c &&
            json_array_append_new(list, json_string(mc_choice_name((mc_choice)c))) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static bool is_ask(const mc_option_ask *one, const mc_option_ask *other) {
    return one->choices == other->choices && one->days == other->days && one->to == other->to;
}

/* The usual options, and what was chosen where it is none of them; the correction is the one that
 * is signed. None for want of memory. */
static size_t options_seen(const mc_assessment *a, const mc_decide *what, const mc_plan *corrected,
                           mc_option out[MC_MOST_OPTIONS]) {
    const mc_option_ask ask = {.choices = what->choices,
                               .days = chosen(what, MC_HOLD) ? what->days : 0,
                               .to = chosen(what, MC_GO_BACK) ? what->to : -1};
    size_t count = mc_assess_options_with(a, corrected, out);
    for (size_t i = 0; i < count; i++)
        if (is_ask(&out[i].ask, &ask))
            return count;
    if (count == 0 || count == MC_MOST_OPTIONS)
        return count;
    mc_assess_option_with(a, corrected, &ask, &out[count]);
    return out[count].failed ? 0 : count + 1;
}

/* Score, proposal, options, settings and plan as the doctor saw them. */
static char *evidence(const mc_assessment *a, const mc_decide *what, const mc_plan *corrected,
                      const mc_plan_info *opened) {
    char label[MC_LABEL_SIZE];
    mc_case_label(&a->kase, label);
    mc_option options[MC_MOST_OPTIONS];
    size_t count = options_seen(a, what, corrected, options);
    json_t *seen =
        count == 0
            ? NULL
            : json_pack("{s:i, s:o, s:o, s:o, s:{s:i, s:s}, s:{s:I, s:o}}", "format", 1, "choices",
                        choices_json(what->choices), "score", mc_json_score(label, a->score),
                        "options", mc_json_options(label, a->score, &a->proposal, options, count),
                        "plan", "number", a->info.number, "hash", a->info.hash, "settings", "set",
                        (json_int_t)a->settings_set, "values", mc_json_settings(&a->settings));
    if (seen && opened)
        seen =
            mc_json_with(seen, "opened",
                         json_pack("{s:i, s:s}", "number", opened->number, "hash", opened->hash));
    char *text = seen ? mc_json_text(seen, true) : NULL;
    json_decref(seen);
    return text;
}

static json_t *describe(const mc_decide *what, const mc_decision *decision,
                        const mc_plan_info *opened) {
    json_t *detail = json_pack("{s:i, s:o, s:s}", "checkup", decision->checkup, "choices",
                               choices_json(what->choices), "evidence", decision->hash);
    if (decision->days > 0)
        detail = mc_json_with(detail, "days", json_integer(decision->days));
    if (decision->to >= 0)
        detail = mc_json_with(detail, "to", json_integer(decision->to));
    if (decision->cause != MC_CAUSE_NONE)
        detail = mc_json_with(detail, "cause", json_string(mc_cause_name(decision->cause)));
    if (*decision->reason)
        detail = mc_json_with(detail, "reason", json_string(decision->reason));
    if (opened)
        detail = mc_json_with(detail, "plan", json_integer(opened->number));
    return detail;
}

/* ---- signing ---- */

static mc_status changed_meanwhile(const mc_assessment *a, mc_error *error) {
    return mc_fail_need(error, MC_NEED_LOOK,
                        "case %s was changed on another console meanwhile: look again, then sign",
                        a->kase.chart);
}

/* The first day of the plan in force, as it was looked at. */
static mc_day turn_day(const mc_assessment *a) {
    return a->turn.waiting ? a->turn.next.worn_from : a->info.worn_from;
}

/* Whether the case is still as the doctor looked at it. */
static mc_status check_seen(const mc_assessment *a, const mc_assessment *seen, mc_error *error) {
    if (!seen ||
        (seen->score && a->score && seen->info.number == a->info.number &&
         seen->turn.waiting == a->turn.waiting && turn_day(seen) == turn_day(a) &&
         seen->score->number == a->score->number && seen->checkup.version == a->checkup.version &&
         seen->decision_count == a->decision_count && seen->settings_set == a->settings_set &&
         memcmp(seen->states, a->states, sizeof a->states) == 0 &&
         strcmp(seen->proposal.sentence, a->proposal.sentence) == 0))
        return MC_OK;
    return changed_meanwhile(a, error);
}

/* Within the transaction: another console may have added or amended a check-up, or decided, since
 * the case was looked at; what is signed must be what was seen. */
static mc_status check_unchanged(mc_practice *practice, const mc_assessment *a, mc_error *error) {
    mc_plan_info active;
    mc_checkup_info *list = NULL;
    mc_decision *decisions = NULL;
    size_t count = 0, decided = 0;
    const int seen = a->turn.waiting ? a->turn.next.number : a->info.number;
    mc_status status = mc_active_plan(practice, &a->kase, &active, NULL, error);
    if (status == MC_OK)
        status = mc_record_checkups(practice->record, &a->kase.id, false, &list, &count, error);
    if (status == MC_OK)
        status =
            mc_record_decisions_said(practice->record, &a->kase.id, &decisions, &decided, error);
    if (status == MC_OK &&
        (active.number != seen || active.worn_from != turn_day(a) || count == 0 ||
         list[count - 1].checkup.number != a->score->number ||
         list[count - 1].version != a->checkup.version || decided != a->decision_count))
        status = changed_meanwhile(a, error);
    mc_checkup_info_free(list, count);
    mc_decision_free(decisions, decided);
    return status;
}

/* A decision on the last check-up would come too late or too early for the one being entered. */
static mc_status check_none_open(mc_practice *practice, const mc_case *kase, mc_error *error) {
    mc_checkup_info open = {0};
    mc_step *steps = NULL;
    size_t count = 0;
    bool found = false;
    mc_status status =
        mc_record_open_checkup(practice->record, &kase->id, &open, &steps, &count, &found, error);
    free(steps);
    free((void *)(uintptr_t)open.checkup.note);
    if (status != MC_OK || !found)
        return status;
    return mc_fail(error, MC_REFUSED,
                   "a check-up is being entered, number %d: complete it or throw it away, then "
                   "decide",
                   open.checkup.number);
}

/* Within the transaction: open the corrected plan where there is one, keep the decision, close a
 * finished plan. */
static mc_status keep(mc_practice *practice, const mc_assessment *a, const mc_decide *what,
                      const correction *c, mc_decision *out, mc_error *error) {
    mc_plan_info opened = {0};
    mc_status status = check_unchanged(practice, a, error);
    if (status == MC_OK)
        status = check_none_open(practice, &a->kase, error);
    if (status == MC_OK && c->plan)
        status = open_plan(practice, a, what, c, &opened, error);
    *out = (mc_decision){.checkup = a->score->number,
                         .choices = what->choices,
                         .days = what->days,
                         .to = what->to,
                         .cause = what->cause,
                         .plan = opened.id};
    snprintf(out->reason, sizeof out->reason, "%s", what->reason ? what->reason : "");
    snprintf(out->by, sizeof out->by, "%s", practice->actor.initials);
    out->evidence = evidence(a, what, c->plan, c->plan ? &opened : NULL);
    if (status == MC_OK && !out->evidence)
        status = mc_fail(error, MC_REFUSED, "out of memory");
    if (status == MC_OK)
        status = mc_record_add_decision(practice->record, &a->kase.id, out, error);
    if (status == MC_OK && mc_closes_plan(a, what))
        status = mc_record_close_plan(practice->record, &a->info.id, error);
    return mc_action_end(practice, status, &a->kase.id, "decision signed",
                         describe(what, out, c->plan ? &opened : NULL), error);
}

/* The record with the person at the keyboard who signs: the one acting, or the doctor named. */
static mc_status take_signer(const mc_practice *practice, const char *by, mc_practice *as,
                             mc_error *error) {
    *as = *practice;
    if (by && mc_record_person(practice->record, by, &as->actor, error) != MC_OK)
        return MC_REFUSED;
    as->has_actor = as->has_actor || by;
    if (!as->has_actor)
        return mc_fail_need(error, MC_NEED_PERSON, "nobody is named");
    return as->actor.role == MC_DOCTOR
               ? MC_OK
               : mc_fail_need(error, MC_NEED_PERSON,
                              "%s is not a doctor; only a doctor signs a decision",
                              as->actor.initials);
}

mc_status mc_may_sign(const mc_practice *practice, const char *by, mc_error *error) {
    mc_practice as;
    return take_signer(practice, by, &as, error);
}

static mc_status check_passphrase(mc_practice *as, const char *passphrase, mc_error *error) {
    mc_error why = {0};
    mc_status status = mc_record_check_passphrase(as->record, as->actor.initials, passphrase, &why);
    return status == MC_REFUSED ? mc_fail_need(error, MC_NEED_PASSPHRASE, "%s", why.text)
           : status == MC_OK    ? MC_OK
                                : mc_fail(error, status, "%s", why.text);
}

/* Everything that has to be right but who signs. *a is the case now, the caller's; c the corrected
 * plan where there is one. */
static mc_status look_at(mc_practice *practice, const mc_case *kase, const mc_decide *what,
                         mc_assessment **a, correction *c, mc_warnings *warnings, mc_error *error) {
    mc_status status = mc_assess(practice, kase, 0, false, a, error);
    if (status == MC_OK)
        status = check_seen(*a, what->seen, error);
    if (status == MC_OK && !(*a)->score)
        status = mc_fail(
            error, MC_REFUSED,
            "case %s: nothing was read on the present plan, so there is nothing to decide on",
            kase->chart);
    else if (status == MC_OK && (*a)->info.status != MC_PLAN_ACTIVE && !(*a)->turn.waiting)
        status = mc_fail(error, MC_REFUSED, "case %s has no active plan", kase->chart);
    if (status == MC_OK)
        status = check_none_open(practice, kase, error);
    if (status == MC_OK)
        status = check_choices(*a, what, error);
    if (status == MC_OK && chosen(what, MC_CORRECT))
        status = read_correction(practice, *a, what, c, warnings, error);
    return status;
}

mc_status mc_decide_check(mc_practice *practice, const mc_case *kase, const mc_decide *what,
                          mc_warnings *warnings, mc_error *error) {
    mc_assessment *a = NULL;
    correction c = {0};
    *warnings = (mc_warnings){0};
    mc_status status = look_at(practice, kase, what, &a, &c, warnings, error);
    mc_plan_free(c.plan);
    mc_assessment_free(a);
    return status;
}

static mc_status sign(mc_practice *practice, const mc_case *kase, const mc_decide *what, bool known,
                      const char *passphrase, mc_decision *out, mc_warnings *warnings,
                      mc_error *error) {
    mc_assessment *a = NULL;
    mc_practice as;
    correction c = {0};
    *warnings = (mc_warnings){0};
    *out = (mc_decision){0};
    mc_status status = take_signer(practice, what->by, &as, error);
    if (status == MC_OK && !known)
        status = check_passphrase(&as, passphrase, error);
    if (status == MC_OK)
        status = look_at(&as, kase, what, &a, &c, warnings, error);
    if (status == MC_OK)
        status = mc_action_begin(&as, BY_DOCTOR, true, error);
    if (status == MC_OK)
        status = keep(&as, a, what, &c, out, error);
    mc_plan_free(c.plan);
    mc_assessment_free(a);
    if (status != MC_OK) {
        free(out->evidence);
        out->evidence = NULL;
    }
    return status;
}

mc_status mc_sign(mc_practice *practice, const mc_case *kase, const mc_decide *what,
                  const char *passphrase, mc_decision *out, mc_warnings *warnings,
                  mc_error *error) {
    return sign(practice, kase, what, false, passphrase, out, warnings, error);
}

mc_status mc_sign_known(mc_practice *practice, const mc_case *kase, const mc_decide *what,
                        mc_decision *out, mc_warnings *warnings, mc_error *error) {
    return sign(practice, kase, what, true, NULL, out, warnings, error);
}
