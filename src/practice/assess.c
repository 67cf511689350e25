/* An assessment: everything of a case replayed up to one check-up, scored, and the proposal.
 * Nothing here is stored. */
#include "assess.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool is_active(const held *h, size_t i) {
    return h->plans[i].status == MC_PLAN_ACTIVE;
}

/* The plan that was worn before plan p was, -1 where that was not made from one. */
static int worn_before(const held *h, int p) {
    for (size_t i = 0; p >= 0 && i < h->plan_count; i++)
        if (mc_id_same(&h->plans[i].id, &h->plans[p].corrects))
            return (int)i;
    return -1;
}

/* The active plan, else the last; -1 where there is none. */
static int plan_in_force(const held *h) {
    int plan = -1;
    for (size_t i = 0; i < h->plan_count; i++)
        if (is_active(h, i) || plan < 0 || !is_active(h, (size_t)plan))
            plan = (int)i;
    return plan;
}

/* The plan that is worn on a day: the one in force from its first day on, until then the one that
 * it was corrected from. */
static int worn_plan(const held *h, mc_day on) {
    const int plan = plan_in_force(h), before = worn_before(h, plan);
    return before >= 0 && is_active(h, (size_t)plan) && on < h->plans[plan].worn_from ? before
                                                                                      : plan;
}

/* Which check-up is meant (its index, or -1 for none) and which plan (or -1). number 0: the last on
 * the plan that is worn on that day; where none is active, the last of all. */
static mc_status choose(const held *h, const mc_case *kase, int number, mc_day on, int *checkup,
                        int *plan, mc_error *error) {
    *checkup = -1;
    *plan = worn_plan(h, on);
    for (size_t i = 0; i < h->checkup_count; i++) {
        bool wanted = number > 0
                          ? h->checkups[i].checkup.number == number
                          : *plan >= 0 && mc_id_same(&h->checkups[i].plan, &h->plans[*plan].id);
        if (wanted)
            *checkup = (int)i;
    }
    if (number > 0 && *checkup < 0)
        return mc_fail(error, MC_REFUSED, "case %s has no check-up %d", kase->chart, number);
    for (size_t i = 0; *checkup >= 0 && i < h->plan_count; i++)
        if (mc_id_same(&h->checkups[*checkup].plan, &h->plans[i].id))
            *plan = (int)i;
    return MC_OK;
}

/* Take in a check-up whose day's teeth are `states`: they say who is whose neighbour. */
static mc_status take_in(mc_tracker *tracker, const mc_checkup *checkup,
                         const mc_tooth_state states[MC_TEETH], mc_error *error) {
    mc_checkup of_day = *checkup;
    of_day.states = states;
    return mc_tracker_add(tracker, &of_day, error);
}

/* A plan that was ordered and never worn, as another was ordered in its place, leaves no trace. */
static bool ever_worn(const held *h, size_t plan, const mc_id *now) {
    bool worn = mc_id_same(&h->plans[plan].id, now);
    for (size_t i = 0; i < h->checkup_count; i++)
        worn = worn || mc_id_same(&h->checkups[i].plan, &h->plans[plan].id);
    return worn;
}

/* Replay plans and check-ups before the chosen one, each scored with the same settings, and begin
 * its plan. What was read while a corrected plan was awaited is on the plan that was worn then; the
 * new one begins at the poses it was made from, and keeps of it only what it tells of the pace. */
static mc_status replay_before(replay *r, mc_assessment *a, mc_error *error) {
    const held *h = &r->h;
    r->before = mc_tracker_new(&a->settings);
    a->checkups = (size_t)r->last + 1;
    a->scores = calloc(a->checkups, sizeof *a->scores);
    mc_status status = r->before && a->scores ? MC_OK : mc_fail(error, MC_REFUSED, "out of memory");
    size_t begun = 0; /* plans begun so far */
    for (int i = 0; status == MC_OK && i <= r->last; i++) {
        const mc_checkup_info *c = &h->checkups[i];
        while (begun < h->plan_count &&
               (begun == 0 || !mc_id_same(&h->plans[begun - 1].id, &c->plan))) {
            if (ever_worn(h, begun, &c->plan))
                mc_tracker_begin(r->before, h->plan[begun], begun > 0 ? &h->start[begun] : NULL);
            begun++;
        }
        if (i == r->last)
            break;
        mc_tooth_state states[MC_TEETH];
        mc_teeth_on(h->teeth, h->tooth_count, c->checkup.date, states);
        status = take_in(r->before, &c->checkup, states, error);
        if (status == MC_OK)
            mc_tracker_score(r->before, states, &a->scores[i]);
    }
    return status;
}

/* Take in the chosen check-up, whose day's teeth are `states`, and score it. */
static mc_status score_last(const replay *r, const mc_checkup *checkup,
                            const mc_tooth_state states[MC_TEETH], mc_assessment *a,
                            mc_error *error) {
    mc_tracker *tracker = mc_tracker_copy(r->before);
    mc_status status = tracker ? take_in(tracker, checkup, states, error)
                               : mc_fail(error, MC_REFUSED, "out of memory");
    if (status != MC_OK) {
        mc_tracker_free(tracker);
        return status;
    }
    mc_tracker_score(tracker, states, &a->scores[r->last]);
    mc_tracker_free(a->tracker);
    a->tracker = tracker;
    return MC_OK;
}

/* Where the arches of a plan stand by the dates: the first days of its series, what the first
 * `count` check-ups saw where they are on it, and the signed decisions on the first `decided` of
 * those. From a correction on they wait for its series. */
static void follow_plan(const held *h, int plan, const int stages[MC_ARCHES], int count,
                        int decided, const mc_assessment *a, mc_series out[MC_ARCHES]) {
    const mc_plan_info *info = &h->plans[plan];
    for (int arch = 0; arch < MC_ARCHES; arch++)
        out[arch] =
            mc_series_start(stages[arch], info->interval[arch],
                            info->first[arch] != MC_NO_DAY ? info->first[arch] : info->start);
    for (int i = 0; i < count; i++) {
        const mc_checkup *c = &h->checkups[i].checkup;
        if (!mc_id_same(&h->checkups[i].plan, &info->id))
            continue;
        for (int arch = 0; arch < MC_ARCHES; arch++)
            out[arch] = mc_series_seen(&out[arch], c->date, c->aligner[arch], c->day[arch]);
        for (size_t d = 0; i < decided && d < a->decision_count; d++) {
            const mc_decision *decision = &a->decisions[d];
            if (decision->checkup != c->number)
                continue;
            for (int arch = 0; arch < MC_ARCHES; arch++)
                mc_series_decided(&out[arch], decision->choices, decision->to, decision->days,
                                  c->date);
        }
    }
}

/* The same of the plan that is assessed. */
static void follow_dates(const replay *r, int count, int decided, const mc_assessment *a,
                         mc_series out[MC_ARCHES]) {
    const int stages[MC_ARCHES] = {mc_plan_stages(a->plan, MC_UPPER),
                                   mc_plan_stages(a->plan, MC_LOWER)};
    follow_plan(&r->h, r->plan, stages, count, decided, a, out);
}

/* ---- the change from one plan to the next ---- */

/* The day from which on the aligners of plan `worn` are kept for a corrected series: of the first
 * check-up that one was made from. */
static mc_day waits_since(const held *h, int worn) {
    mc_day since = MC_NO_DAY;
    for (size_t p = 0; p < h->plan_count; p++) {
        if (worn_before(h, (int)p) != worn)
            continue;
        for (size_t i = 0; i < h->checkup_count; i++) {
            const mc_checkup *c = &h->checkups[i].checkup;
            if (c->number == h->plans[p].made_from && (since == MC_NO_DAY || c->date < since))
                since = c->date;
        }
    }
    return since;
}

/* Whether an aligner of the arch was ever seen to be worn on the plan. */
static bool seen_begun(const held *h, int plan, int arch) {
    bool seen = false;
    for (size_t i = 0; i < h->checkup_count; i++)
        seen = seen || (mc_id_same(&h->checkups[i].plan, &h->plans[plan].id) &&
                        h->checkups[i].checkup.aligner[arch] > 0);
    return seen;
}

/* What there is to tell of the plan that is worn next, or has just begun to be. stages: of every
 * plan, as far as they were counted before the assessment took its plan over. */
static void find_turn(const replay *r, mc_day on, const int (*stages)[MC_ARCHES],
                      mc_assessment *a) {
    const held *h = &r->h;
    const int next = plan_in_force(h), worn = worn_before(h, next);
    const int number = r->last >= 0 ? h->checkups[r->last].checkup.number : 0;
    mc_series before[MC_ARCHES];
    mc_turn *turn = &a->turn;
    *turn = (mc_turn){.since = MC_NO_DAY, .wears = {MC_NO_ALIGNER, MC_NO_ALIGNER}};
    for (size_t p = 0; p < h->plan_count; p++)
        turn->read_waiting = turn->read_waiting ||
                             (worn_before(h, (int)p) == r->plan && h->plans[p].made_from < number);
    if (worn < 0 || !is_active(h, (size_t)next) || (r->plan != next && r->plan != worn) ||
        (r->plan == worn && number < h->plans[next].made_from))
        return;
    turn->corrected = true;
    turn->waiting = r->plan == worn && on < h->plans[next].worn_from;
    turn->next = h->plans[next];
    turn->since = waits_since(h, worn);
    follow_plan(h, worn, stages[worn], (int)h->checkup_count, (int)h->checkup_count, a, before);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        turn->stages[arch] = stages[next][arch];
        turn->seen_begun[arch] = seen_begun(h, next, arch);
        if (before[arch].stages > 0)
            turn->wears[arch] = mc_series_aligner_on(&before[arch], h->plans[next].worn_from, NULL);
    }
}

static bool is_behind(const mc_score *score, mc_tooth tooth) {
    mc_state state = score->tooth[tooth].state;
    return score->present[tooth] && (state == MC_STATE_BEHIND || state == MC_STATE_STALLED);
}

static void since_when(mc_assessment *a) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        a->behind_since[t] = 0;
        for (size_t i = a->checkups; i-- > 0 && is_behind(&a->scores[i], t);)
            a->behind_since[t] = a->scores[i].number;
    }
}

static mc_status propose(mc_assessment *a, mc_error *error) {
    mc_earlier *earlier = calloc(a->checkups, sizeof *earlier);
    if (!earlier)
        return mc_fail(error, MC_REFUSED, "out of memory");
    mc_situation situation;
    mc_situation_of(a, earlier, &situation);
    mc_propose(&situation, &a->proposal);
    a->has_proposal = true;
    free(earlier);
    return a->proposal.failed ? mc_fail(error, MC_REFUSED, "out of memory") : MC_OK;
}

static void find_exact(mc_assessment *a) {
    exact_poses poses;
    mc_exact_poses(&a->checkup.checkup, &a->settings, &poses);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        memcpy(a->exact[t].c, poses.mean[t], sizeof a->exact[t].c);
}

/* What follows from the score of the last check-up. */
static mc_status judge(const replay *r, mc_assessment *a, mc_error *error) {
    bool grip[MC_TEETH];
    mc_tracker_grip(a->tracker, grip);
    mc_tracker_forecast(a->tracker, a->states, grip, &a->forecast);
    find_exact(a);
    follow_dates(r, r->last + 1, r->last + 1, a, a->series);
    follow_dates(r, r->last + 1, r->last, a, a->undecided);
    since_when(a);
    return propose(a, error);
}

/* The numbers to compute with, the teeth of the day and the decisions. */
static mc_status gather(mc_practice *practice, const held *h, int checkup, bool current,
                        mc_assessment *a, mc_error *error) {
    mc_record *record = practice->record;
    mc_day day = checkup >= 0 ? h->checkups[checkup].checkup.date : practice->today;
    mc_status status = MC_OK;
    mc_teeth_on(h->teeth, h->tooth_count, day, a->states);
    if (checkup >= 0 && !current) {
        a->settings_set = h->checkups[checkup].settings;
        status = mc_record_settings_set(record, a->settings_set, &a->settings, error);
    } else {
        status = mc_record_settings(record, &a->kase.id, &a->settings, &a->settings_set, error);
    }
    if (status == MC_OK)
        status =
            mc_record_decisions_said(record, &a->kase.id, &a->decisions, &a->decision_count, error);
    if (h->checkup_count > 0)
        a->last_number = h->checkups[h->checkup_count - 1].checkup.number;
    return status;
}

/* Replay up to the last check-up there is to see, and score it. */
static mc_status replay_all(replay *r, mc_assessment *a, mc_error *error) {
    mc_tooth_state states[MC_TEETH];
    const mc_checkup *last = &r->h.checkups[r->last].checkup;
    mc_status status = replay_before(r, a, error);
    mc_teeth_on(r->h.teeth, r->h.tooth_count, last->date, states);
    return status == MC_OK ? score_last(r, last, states, a, error) : status;
}

/* Aligners of every plan that is held. */
static mc_status count_stages(const held *h, int (**out)[MC_ARCHES], mc_error *error) {
    *out = calloc(h->plan_count, sizeof **out);
    if (!*out)
        return mc_fail(error, MC_REFUSED, "out of memory");
    for (size_t p = 0; p < h->plan_count; p++)
        for (int arch = 0; arch < MC_ARCHES; arch++)
            (*out)[p][arch] = mc_plan_stages(h->plan[p], (mc_arch)arch);
    return MC_OK;
}

/* Tell of the change of plans, before the plan is handed over. */
static mc_status tell_turn(mc_practice *practice, const replay *r, mc_day on, mc_assessment *a,
                           mc_error *error) {
    int(*stages)[MC_ARCHES] = NULL;
    mc_settings now;
    mc_status status = count_stages(&r->h, &stages, error);
    if (status == MC_OK)
        find_turn(r, on, (const int(*)[MC_ARCHES])stages, a);
    free(stages);
    if (status != MC_OK || !a->turn.corrected)
        return status;
    status = mc_record_settings(practice->record, &a->kase.id, &now, NULL, error);
    if (status == MC_OK)
        a->turn.checkup_days = (int)lround(7 * now.checkup_weeks);
    return status;
}

/* Hand the chosen check-up's readings and the plan over from what is held, and score. */
static mc_status assess(mc_practice *practice, replay *r, int checkup, mc_day on, bool current,
                        mc_assessment *a, mc_error *error) {
    held *h = &r->h;
    mc_status status = gather(practice, h, checkup, current, a, error);
    if (status != MC_OK || r->plan < 0)
        return status;
    /* with nothing read on the present plan, what came before it is still shown */
    r->last = checkup >= 0 ? checkup : (int)h->checkup_count - 1;
    status = tell_turn(practice, r, on, a, error);
    if (status == MC_OK && r->last >= 0)
        status = replay_all(r, a, error);
    if (status != MC_OK)
        return status;
    a->has_plan = true;
    a->info = h->plans[r->plan];
    a->plan = h->plan[r->plan];
    h->plan[r->plan] = NULL;
    if (checkup < 0) { /* the tracker has followed another plan, if any */
        mc_tracker_free(a->tracker);
        a->tracker = NULL;
        mc_find_measured(r, checkup, a);
        follow_dates(r, r->last + 1, r->last + 1, a, a->series);
        return MC_OK;
    }
    a->score = &a->scores[checkup];
    mc_find_measured(r, checkup, a);
    a->checkup = h->checkups[checkup];
    h->checkups[checkup].checkup.rows = NULL;
    h->checkups[checkup].checkup.count = 0;
    h->checkups[checkup].checkup.note = NULL;
    for (int i = 0; i < checkup; i++)
        a->checkups_before_on_plan += mc_id_same(&h->checkups[i].plan, &a->info.id);
    a->decision_due =
        a->score->number == a->last_number && (a->info.status == MC_PLAN_ACTIVE || a->turn.waiting);
    for (size_t d = 0; d < a->decision_count; d++)
        if (a->decisions[d].checkup == a->last_number)
            a->decision_due = false;
    return judge(r, a, error);
}

void mc_replay_free(replay *r) {
    mc_held_free(&r->h);
    mc_tracker_free(r->before);
    *r = (replay){0};
}

/* In one view of the record: load, take the open check-up in where there is one, assess. */
static mc_status look(mc_practice *practice, const mc_case *kase, int number, mc_day on,
                      bool current, const mc_checkup_info *open, replay *r, mc_assessment **out,
                      mc_error *error) {
    int checkup = -1;
    *r = (replay){.plan = -1, .last = -1};
    *out = calloc(1, sizeof **out);
    if (!*out)
        return mc_fail(error, MC_REFUSED, "out of memory");
    (*out)->kase = *kase;
    mc_status status = mc_record_begin_reading(practice->record, error);
    if (status == MC_OK) {
        status = mc_held_load(practice->record, kase, &r->h, error);
        if (status == MC_OK && open)
            status = mc_held_append(&r->h, open, error);
        if (status == MC_OK && open)
            number = r->h.checkups[r->h.checkup_count - 1].checkup.number;
        if (status == MC_OK)
            status = choose(&r->h, kase, number, on, &checkup, &r->plan, error);
        if (status == MC_OK)
            status = assess(practice, r, checkup, on, current, *out, error);
        mc_record_end_reading(practice->record);
    }
    if (status != MC_OK) {
        mc_replay_free(r);
        mc_assessment_free(*out);
        *out = NULL;
    }
    return status;
}

mc_status mc_assess_keeping(mc_practice *practice, const mc_case *kase, int number,
                            bool current_settings, replay *r, mc_assessment **out,
                            mc_error *error) {
    return look(practice, kase, number, practice->today, current_settings, NULL, r, out, error);
}

mc_status mc_assess(mc_practice *practice, const mc_case *kase, int number, bool current_settings,
                    mc_assessment **out, mc_error *error) {
    replay r;
    mc_status status =
        look(practice, kase, number, practice->today, current_settings, NULL, &r, out, error);
    mc_replay_free(&r);
    return status;
}

mc_status mc_assess_on(mc_practice *practice, const mc_case *kase, mc_day on, bool current_settings,
                       mc_assessment **out, mc_error *error) {
    replay r;
    mc_status status = look(practice, kase, 0, on, current_settings, NULL, &r, out, error);
    mc_replay_free(&r);
    return status;
}

/* ---- a check-up being entered ---- */

mc_status mc_assess_open(mc_practice *practice, const mc_case *kase, const mc_checkup_info *open,
                         replay *r, mc_assessment **out, mc_error *error) {
    mc_status status = look(practice, kase, 0, open->checkup.date, false, open, r, out, error);
    if (status == MC_OK)
        (*out)->decision_due = false;
    return status;
}

mc_status mc_assess_again(replay *r, const mc_checkup *now, mc_assessment *a, mc_error *error) {
    mc_status status = score_last(r, now, a->states, a, error);
    if (status != MC_OK)
        return status;
    mc_checkup *kept = &r->h.checkups[r->last].checkup;
    *kept = a->checkup.checkup = *now;
    kept->rows = NULL; /* the caller's */
    kept->count = 0;
    kept->note = NULL;
    return judge(r, a, error);
}

void mc_assess_let_go(mc_assessment *a) {
    a->checkup.checkup.rows = NULL;
    a->checkup.checkup.count = 0;
    a->checkup.checkup.note = NULL;
}

void mc_series_before(const replay *r, const mc_assessment *a, mc_series out[MC_ARCHES]) {
    follow_dates(r, r->last, r->last, a, out);
}

void mc_assessment_free(mc_assessment *a) {
    if (!a)
        return;
    mc_tracker_free(a->tracker);
    mc_plan_free(a->plan);
    free(a->scores);
    free((void *)(uintptr_t)a->checkup.checkup.rows);
    free((void *)(uintptr_t)a->checkup.checkup.note);
    mc_decision_free(a->decisions, a->decision_count);
    free(a);
}
