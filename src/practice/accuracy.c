/* What the practice's own plans achieved: every closed or superseded plan read once, case by case,
 * pooled over patients. midcourse-method(7) tells the method. */
#include "practice.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The patients' means of one class and movement, and their variances. */
typedef struct {
    double *mean, *variance;
    size_t count, room;
    size_t readings;
} studies;

/* A patient being read: sum of value/variance, and of 1/variance. */
typedef struct {
    double weighted, precision;
    size_t readings;
} patient_sum;

struct mc_accuracy_work {
    mc_practice *practice;
    mc_settings settings;
    mc_ended *cases; /* those of one patient side by side */
    size_t count, done;
    size_t plans, patients;
    patient_sum patient[MC_OWN_CLASSES][MC_OWN_MOVEMENTS];
    studies of[MC_OWN_CLASSES][MC_OWN_MOVEMENTS];
};

void mc_accuracy_free(mc_accuracy_work *work) {
    if (!work)
        return;
    for (int c = 0; c < MC_OWN_CLASSES; c++)
        for (int m = 0; m < MC_OWN_MOVEMENTS; m++) {
            free(work->of[c][m].mean);
            free(work->of[c][m].variance);
        }
    free(work->cases);
    free(work);
}

mc_status mc_accuracy_begin(mc_practice *practice, mc_accuracy_work **out, mc_error *error) {
    mc_accuracy_work *work = *out = calloc(1, sizeof *work);
    if (!work)
        return mc_fail(error, MC_REFUSED, "out of memory");
    work->practice = practice;
    mc_status status = mc_record_settings(practice->record, NULL, &work->settings, NULL, error);
    if (status == MC_OK)
        status = mc_record_ended(practice->record, &work->cases, &work->count, error);
    if (status != MC_OK) {
        mc_accuracy_free(work);
        *out = NULL;
    }
    return status;
}

size_t mc_accuracy_cases(const mc_accuracy_work *work) {
    return work->count;
}

/* ---- one plan ---- */

/* What was read of a component at one check-up: the sum of value/variance, and of 1/variance. */
typedef struct {
    double weighted, precision;
} gathered;

/* The last reading of a component at which it can be judged. */
typedef struct {
    bool is;
    double planned, observed, variance;
} judged;

typedef struct {
    const mc_plan *plan;
    const mc_start *start;
    judged last[MC_TEETH][MC_COMPONENTS];
} plan_read;

/* Where the plan has a component at stage s; 0 unless it has gone a tolerance, and one way only:
 * after a turn what is left cannot tell what was delivered. */
static double judged_by(const mc_settings *settings, const mc_plan *plan, mc_tooth tooth,
                        mc_component c, double s) {
    double planned = mc_plan_at(plan, tooth, c, s), from = 0;
    int direction = mc_plan_leg(plan, tooth, c, s, &from);
    bool one_way = direction * planned > 0 && fabs(from) < mc_component_least(c);
    return one_way && mc_reaches(fabs(planned), mc_tolerance(settings, c)) ? planned : 0;
}

static void gather(const mc_checkup_context *context, const mc_checkup *checkup,
                   gathered sums[MC_TEETH][MC_COMPONENTS]) {
    for (size_t i = 0; i < checkup->count; i++) {
        const mc_reading *row = &checkup->rows[i];
        if (isnan(context->effective_stage[mc_tooth_arch(row->tooth)]) ||
            mc_tooth_is_deciduous(row->tooth))
            continue;
        for (int c = 0; c < MC_COMPONENTS; c++) {
            if (isnan(row->value[c]))
                continue;
            mc_method method = mc_reading_method(row, checkup->method);
            double sd = mc_method_sd(context->settings, method, (mc_component)c);
            double at = mc_reading_at(context, row, (mc_component)c);
            sums[row->tooth][c].weighted += at / (sd * sd);
            sums[row->tooth][c].precision += 1 / (sd * sd);
        }
    }
}

static void take_checkup(const mc_settings *settings, plan_read *p, const mc_checkup *checkup) {
    gathered sums[MC_TEETH][MC_COMPONENTS] = {{{0}}};
    mc_checkup_context context = mc_checkup_context_of(p->plan, settings, checkup);
    gather(&context, checkup, sums);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            const gathered *g = &sums[t][c];
            double s = context.effective_stage[mc_tooth_arch(t)];
            double planned =
                g->precision > 0 ? judged_by(settings, p->plan, t, (mc_component)c, s) : 0;
            if (planned != 0)
                p->last[t][c] = (judged){.is = true,
                                         .planned = planned,
                                         .observed = g->weighted / g->precision,
                                         .variance = 1 / g->precision + p->start->variance[t][c]};
        }
}

/* The movement of a component that went to `planned`, one way. */
static mc_movement movement_of(const mc_plan *plan, mc_tooth tooth, mc_component c,
                               double planned) {
    static const mc_movement POSITIVE[] = {MC_MOVE_MESIAL, MC_MOVE_BUCCAL, MC_MOVE_EXTRUSION};
    static const mc_movement NEGATIVE[] = {MC_MOVE_DISTAL, MC_MOVE_LINGUAL, MC_MOVE_INTRUSION};
    if (mc_component_is_linear(c))
        return planned > 0 ? POSITIVE[c] : NEGATIVE[c];
    return mc_plan_movement(plan, tooth, c);
}

/* Achieved over planned, with the method's variance and the spread of a component's own share. */
static bool take_plan(mc_accuracy_work *work, const plan_read *p) {
    bool any = false;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            const judged *j = &p->last[t][c];
            if (!j->is)
                continue;
            double variance =
                j->variance / (j->planned * j->planned) + MC_OWN_SPREAD * MC_OWN_SPREAD;
            mc_movement m = movement_of(p->plan, t, (mc_component)c, j->planned);
            patient_sum *sum = &work->patient[mc_tooth_class_of(t)][m];
            sum->weighted += j->observed / j->planned / variance;
            sum->precision += 1 / variance;
            sum->readings++;
            any = true;
        }
    return any;
}

/* ---- one case, one patient ---- */

static mc_status read_plan(mc_accuracy_work *work, const mc_plan_info *info,
                           const mc_checkup_info *checkups, size_t count, mc_error *error) {
    mc_plan *plan = NULL;
    mc_start start;
    mc_status status = mc_record_plan(work->practice->record, &info->id, &plan, &start, error);
    if (status != MC_OK)
        return status;
    plan_read p = {.plan = plan, .start = &start};
    for (size_t i = 0; i < count; i++)
        if (mc_id_same(&checkups[i].plan, &info->id))
            take_checkup(&work->settings, &p, &checkups[i].checkup);
    work->plans += take_plan(work, &p);
    mc_plan_free(plan);
    return MC_OK;
}

static mc_status read_case(mc_accuracy_work *work, const mc_id *id, mc_error *error) {
    mc_record *record = work->practice->record;
    mc_plan_info *plans = NULL;
    mc_checkup_info *checkups = NULL;
    size_t plan_count = 0, count = 0;
    mc_status status = mc_record_begin_reading(record, error);
    if (status != MC_OK)
        return status;
    status = mc_record_plans(record, id, &plans, &plan_count, error);
    if (status == MC_OK)
        status = mc_record_checkups(record, id, false, &checkups, &count, error);
    for (size_t i = 0; status == MC_OK && i < plan_count; i++)
        if (plans[i].status != MC_PLAN_ACTIVE)
            status = read_plan(work, &plans[i], checkups, count, error);
    mc_record_end_reading(record);
    mc_checkup_info_free(checkups, count);
    free(plans);
    return status;
}

static bool grow(double **list, size_t room) {
    double *more = realloc(*list, room * sizeof *more);
    if (more)
        *list = more;
    return more != NULL;
}

static bool add_study(studies *to, const patient_sum *sum) {
    if (to->count == to->room) {
        size_t room = to->room ? 2 * to->room : 16;
        if (!grow(&to->mean, room) || !grow(&to->variance, room))
            return false;
        to->room = room;
    }
    to->mean[to->count] = sum->weighted / sum->precision;
    to->variance[to->count++] = 1 / sum->precision;
    to->readings += sum->readings;
    return true;
}

/* The patient is read: one mean for each class and movement. */
static mc_status end_patient(mc_accuracy_work *work, mc_error *error) {
    bool any = false, room = true;
    for (int c = 0; c < MC_OWN_CLASSES; c++)
        for (int m = 0; m < MC_OWN_MOVEMENTS; m++) {
            patient_sum *sum = &work->patient[c][m];
            if (sum->readings == 0)
                continue;
            any = true;
            room = room && add_study(&work->of[c][m], sum);
            *sum = (patient_sum){0};
        }
    work->patients += any;
    return room ? MC_OK : mc_fail(error, MC_REFUSED, "out of memory");
}

mc_status mc_accuracy_step(mc_accuracy_work *work, size_t *done, size_t *total, mc_error *error) {
    mc_status status = MC_OK;
    if (work->done < work->count) {
        const mc_ended *now = &work->cases[work->done++];
        status = read_case(work, &now->case_id, error);
        bool same = work->done < work->count && mc_id_same(&now->patient, &now[1].patient);
        if (status == MC_OK && !same)
            status = end_patient(work, error);
    }
    *done = work->done;
    *total = work->count;
    return status;
}

/* ---- what was found ---- */

/* The least and the most that a class' permanent teeth are expected to achieve. */
static void range_of(const mc_settings *settings, int of, mc_movement movement, double *low,
                     double *high) {
    *low = INFINITY;
    *high = -INFINITY;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (mc_tooth_is_deciduous(t) || (int)mc_tooth_class_of(t) != of)
            continue;
        double share =
            settings ? mc_share_for(settings, t, movement) : mc_expected_share(t, movement, NULL);
        *low = fmin(*low, share);
        *high = fmax(*high, share);
    }
}

static void fill(const mc_settings *settings, const studies *from, int of, int movement,
                 mc_own_share *out) {
    mc_pooled pooled;
    *out = (mc_own_share){.readings = from->readings,
                          .patients = from->count,
                          .mean = NAN,
                          .se = NAN,
                          .tau = NAN,
                          .taken = settings->own_share[of][movement],
                          .taken_se = settings->own_share_se[of][movement]};
    range_of(NULL, of, (mc_movement)movement, &out->published_low, &out->published_high);
    range_of(settings, of, (mc_movement)movement, &out->used_low, &out->used_high);
    if (!mc_pool(from->mean, from->variance, from->count, &pooled))
        return;
    out->mean = pooled.mean;
    out->se = pooled.se;
    out->tau = sqrt(pooled.tau2);
    out->can_be_used =
        out->patients >= MC_LEAST_PATIENTS && out->mean > 0 && out->mean <= 1.5 && out->se <= 1;
}

mc_status mc_accuracy_so_far(const mc_accuracy_work *work, mc_accuracy *out, mc_error *error) {
    mc_settings
        now; /* what is used may have changed since it was begun: it may just be taken over */
    mc_status status = mc_record_settings(work->practice->record, NULL, &now, NULL, error);
    if (status != MC_OK)
        return status;
    *out = (mc_accuracy){.plans = work->plans, .patients = work->patients};
    for (int c = 0; c < MC_OWN_CLASSES; c++)
        for (int m = 0; m < MC_OWN_MOVEMENTS; m++)
            fill(&now, &work->of[c][m], c, m, &out->of[c][m]);
    return MC_OK;
}

mc_status mc_accuracy_all(mc_practice *practice, mc_accuracy *out, mc_error *error) {
    mc_accuracy_work *work = NULL;
    size_t done = 0, total = 1;
    mc_status status = mc_accuracy_begin(practice, &work, error);
    while (status == MC_OK && done < total)
        status = mc_accuracy_step(work, &done, &total, error);
    if (status == MC_OK)
        status = mc_accuracy_so_far(work, out, error);
    mc_accuracy_free(work);
    return status;
}

/* ---- taking it over ---- */

enum { CELLS = MC_OWN_CLASSES * MC_OWN_MOVEMENTS };

/* A hundredth of a percent: no share is known any better. */
static double to_places(double share) {
    return round(share * 10000) / 10000;
}

static bool in_use_already(const mc_own_share *share) {
    return share->taken == to_places(share->mean) && share->taken_se == to_places(share->se);
}

/* The settings to change, and what the journal is to say of them: all of it, or nothing is done. */
static mc_status changes_of(const mc_accuracy *accuracy, mc_setting_change *list, size_t *count,
                            json_t *shares, mc_error *error) {
    bool any = false;
    for (int c = 0; c < MC_OWN_CLASSES; c++)
        for (int m = 0; m < MC_OWN_MOVEMENTS; m++) {
            const mc_own_share *share = &accuracy->of[c][m];
            any = any || share->can_be_used;
            if (!share->can_be_used || in_use_already(share))
                continue;
            const char *of = mc_tooth_class_name((mc_tooth_class)c);
            const char *movement = mc_movement_name((mc_movement)m);
            char name[40];
            snprintf(list[*count].key, sizeof list->key, "own_share_%s_%s", of, movement);
            list[(*count)++].value = to_places(share->mean);
            snprintf(list[*count].key, sizeof list->key, "own_share_se_%s_%s", of, movement);
            list[(*count)++].value = to_places(share->se);
            snprintf(name, sizeof name, "%s_%s", of, movement);
            if (json_object_set_new(shares, name,
                                    json_pack("{s:f, s:f, s:I}", "mean", share->mean, "se",
                                              share->se, "patients",
                                              (json_int_t)share->patients)) != 0)
                return mc_fail(error, MC_REFUSED, "out of memory");
        }
    if (any && *count == 0)
        return mc_fail(error, MC_REFUSED,
                       "nothing is new: every share that can be taken over is in use already");
    return *count > 0 ? MC_OK
                      : mc_fail(error, MC_REFUSED,
                                "nothing can be taken over: a share needs %d patients whose plans "
                                "are closed or superseded",
                                MC_LEAST_PATIENTS);
}

mc_status mc_accuracy_use(mc_practice *practice, const mc_accuracy *accuracy, const char *reason,
                          size_t *taken, int64_t *set, mc_error *error) {
    mc_setting_change list[2 * CELLS];
    if (!reason || !*reason)
        return mc_fail_need(error, MC_NEED_REASON, "own accuracy is taken over with a reason");
    json_t *shares = json_object();
    size_t count = 0;
    mc_status status = changes_of(accuracy, list, &count, shares, error);
    if (status == MC_OK)
        status = mc_action_begin(practice, BY_DOCTOR, true, error);
    if (status != MC_OK) {
        json_decref(shares);
        return status;
    }
    *taken = count / 2;
    status = mc_record_add_settings_together(practice->record, list, count, reason,
                                             practice->actor.initials, set, error);
    return mc_action_end(practice, status, NULL, "own accuracy taken over",
                         json_pack("{s:o, s:s, s:I}", "shares", shares, "reason", reason, "set",
                                   (json_int_t)(status == MC_OK ? *set : 0)),
                         error);
}
