/* An assessment: everything of a case replayed up to one check-up, scored, and the proposal.
 * Nothing here is stored. */
#include "practice.h"

#include <stdlib.h>
#include <string.h>

/* What the record holds of a case. */
typedef struct {
    mc_plan_info *plans;
    size_t plan_count;
    mc_plan **plan; /* rows of each */
    mc_start *start;
    mc_checkup_info *checkups;
    size_t checkup_count;
} history;

static void free_history(history *h) {
    for (size_t i = 0; h->plan && i < h->plan_count; i++)
        mc_plan_free(h->plan[i]);
    free(h->plan);
    free(h->start);
    free(h->plans);
    mc_checkup_info_free(h->checkups, h->checkup_count);
}

static mc_status load_history(mc_record *record, const mc_case *kase, history *h, mc_error *error) {
    *h = (history){0};
    mc_status status = mc_record_plans(record, &kase->id, &h->plans, &h->plan_count, error);
    if (status == MC_OK && h->plan_count > 0) {
        h->plan = calloc(h->plan_count, sizeof *h->plan);
        h->start = calloc(h->plan_count, sizeof *h->start);
        if (!h->plan || !h->start)
            status = mc_fail(error, MC_REFUSED, "out of memory");
    }
    for (size_t i = 0; status == MC_OK && i < h->plan_count; i++)
        status = mc_record_plan(record, &h->plans[i].id, &h->plan[i], &h->start[i], error);
    if (status == MC_OK)
        status =
            mc_record_checkups(record, &kase->id, false, &h->checkups, &h->checkup_count, error);
    return status;
}

static bool same_id(const mc_id *a, const mc_id *b) {
    return memcmp(a->byte, b->byte, sizeof a->byte) == 0;
}

static bool is_active(const history *h, size_t i) {
    return h->plans[i].status == MC_PLAN_ACTIVE;
}

/* Which check-up is meant (its index, or -1 for none) and which plan (or -1). number 0: the last on
 * the active plan, where there is one; else the last of all. */
static mc_status choose(const history *h, const mc_case *kase, int number, int *checkup, int *plan,
                        mc_error *error) {
    *checkup = *plan = -1;
    for (size_t i = 0; i < h->plan_count; i++)
        if (is_active(h, i) || *plan < 0 || !is_active(h, (size_t)*plan))
            *plan = (int)i;
    for (size_t i = 0; i < h->checkup_count; i++) {
        bool wanted = number > 0 ? h->checkups[i].checkup.number == number
                                 : *plan >= 0 && same_id(&h->checkups[i].plan, &h->plans[*plan].id);
        if (wanted)
            *checkup = (int)i;
    }
    if (number > 0 && *checkup < 0)
        return mc_fail(error, MC_REFUSED, "case %s has no check-up %d", kase->chart, number);
    for (size_t i = 0; *checkup >= 0 && i < h->plan_count; i++)
        if (same_id(&h->checkups[*checkup].plan, &h->plans[i].id))
            *plan = (int)i;
    return MC_OK;
}

/* Replay plans and check-ups up to the chosen one, each scored with the same settings. */
static mc_status replay(mc_practice *practice, const history *h, int last, mc_assessment *a,
                        mc_error *error) {
    mc_tracker *tracker = mc_tracker_new(&a->settings);
    a->scores = calloc((size_t)last + 1, sizeof *a->scores);
    mc_status status = tracker && a->scores ? MC_OK : mc_fail(error, MC_REFUSED, "out of memory");
    size_t begun = 0; /* plans begun so far */
    for (int i = 0; status == MC_OK && i <= last; i++) {
        const mc_checkup_info *c = &h->checkups[i];
        while (begun < h->plan_count &&
               (begun == 0 || !same_id(&h->plans[begun - 1].id, &c->plan))) {
            mc_tracker_begin(tracker, h->plan[begun], begun > 0 ? &h->start[begun] : NULL);
            begun++;
        }
        mc_tooth_state states[MC_TEETH];
        status = mc_record_teeth(practice->record, &a->kase.id, c->checkup.date, states, error);
        if (status == MC_OK)
            status = mc_tracker_add(tracker, &c->checkup, error);
        if (status == MC_OK)
            mc_tracker_score(tracker, states, &a->scores[i]);
    }
    mc_tracker_free(tracker);
    a->checkups = (size_t)last + 1;
    return status;
}

/* Where the arches stand by the dates: the plan's start, what check-ups on it saw, and the signed
 * decisions on those. */
static void follow_dates(const history *h, int plan, int last, mc_assessment *a) {
    for (int arch = 0; arch < MC_ARCHES; arch++)
        a->series[arch] = mc_series_start(mc_plan_stages(a->plan, (mc_arch)arch),
                                          a->info.interval[arch], a->info.start);
    for (int i = 0; i <= last; i++) {
        const mc_checkup *c = &h->checkups[i].checkup;
        if (!same_id(&h->checkups[i].plan, &h->plans[plan].id))
            continue;
        for (int arch = 0; arch < MC_ARCHES; arch++)
            a->series[arch] =
                mc_series_seen(&a->series[arch], c->date, c->aligner[arch], c->day[arch]);
        for (size_t d = 0; d < a->decision_count; d++) {
            const mc_decision *decision = &a->decisions[d];
            if (decision->checkup != c->number)
                continue;
            for (int arch = 0; arch < MC_ARCHES; arch++)
                mc_series_decided(&a->series[arch], decision->choices, decision->to, decision->days,
                                  c->date);
        }
    }
}

static bool is_behind(const mc_score *score, mc_tooth tooth) {
    mc_state state = score->tooth[tooth].state;
    return score->present[tooth] && (state == MC_STATE_BEHIND || state == MC_STATE_STALLED);
}

static void since_when(mc_assessment *a) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (size_t i = a->checkups; i-- > 0 && is_behind(&a->scores[i], t);)
            a->behind_since[t] = a->scores[i].number;
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
    return MC_OK;
}

/* Hand the chosen check-up's readings and the plan over from the history, and score. */
static mc_status assess(mc_practice *practice, history *h, int checkup, int plan, bool current,
                        mc_assessment *a, mc_error *error) {
    mc_record *record = practice->record;
    mc_day day = checkup >= 0 ? h->checkups[checkup].checkup.date : practice->today;
    mc_status status = mc_record_teeth(record, &a->kase.id, day, a->states, error);
    if (status == MC_OK && checkup >= 0 && !current) {
        a->settings_set = h->checkups[checkup].settings;
        status = mc_record_settings_set(record, a->settings_set, &a->settings, error);
    } else if (status == MC_OK) {
        status = mc_record_settings(record, &a->kase.id, &a->settings, &a->settings_set, error);
    }
    if (status == MC_OK)
        status = mc_record_decisions(record, &a->kase.id, &a->decisions, &a->decision_count, error);
    if (h->checkup_count > 0)
        a->last_number = h->checkups[h->checkup_count - 1].checkup.number;
    if (status != MC_OK || plan < 0)
        return status;
    /* with nothing read on the present plan, what came before it is still shown */
    int last = checkup >= 0 ? checkup : (int)h->checkup_count - 1;
    if (last >= 0)
        status = replay(practice, h, last, a, error);
    if (status != MC_OK)
        return status;
    a->has_plan = true;
    a->info = h->plans[plan];
    a->plan = h->plan[plan];
    h->plan[plan] = NULL;
    follow_dates(h, plan, last, a);
    if (checkup < 0)
        return MC_OK;
    a->score = &a->scores[checkup];
    a->checkup = h->checkups[checkup];
    h->checkups[checkup].checkup.rows = NULL;
    h->checkups[checkup].checkup.count = 0;
    h->checkups[checkup].checkup.note = NULL;
    since_when(a);
    for (int i = 0; i < checkup; i++)
        a->checkups_before_on_plan += same_id(&h->checkups[i].plan, &a->info.id);
    a->decision_due = a->score->number == a->last_number && a->info.status == MC_PLAN_ACTIVE;
    for (size_t d = 0; d < a->decision_count; d++)
        if (a->decisions[d].checkup == a->last_number)
            a->decision_due = false;
    return propose(a, error);
}

mc_status mc_assess(mc_practice *practice, const mc_case *kase, int number, bool current_settings,
                    mc_assessment **out, mc_error *error) {
    history h = {0};
    int checkup = -1, plan = -1;
    *out = calloc(1, sizeof **out);
    if (!*out)
        return mc_fail(error, MC_REFUSED, "out of memory");
    (*out)->kase = *kase;
    mc_status status = mc_record_begin_reading(practice->record, error);
    if (status == MC_OK) {
        status = load_history(practice->record, kase, &h, error);
        if (status == MC_OK)
            status = choose(&h, kase, number, &checkup, &plan, error);
        if (status == MC_OK)
            status = assess(practice, &h, checkup, plan, current_settings, *out, error);
        mc_record_end_reading(practice->record);
    }
    free_history(&h);
    if (status != MC_OK) {
        mc_assessment_free(*out);
        *out = NULL;
    }
    return status;
}

void mc_assessment_free(mc_assessment *a) {
    if (!a)
        return;
    mc_plan_free(a->plan);
    free(a->scores);
    free((void *)(uintptr_t)a->checkup.checkup.rows);
    free((void *)(uintptr_t)a->checkup.checkup.note);
    mc_decision_free(a->decisions, a->decision_count);
    free(a);
}
