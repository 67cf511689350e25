/* Cases filled in by hand, so that a screen can be looked at without a record. All invented. */
#ifndef VALUES_H
#define VALUES_H

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "midcourse/practice.h"

enum { VALUES_TODAY = 20514 }; /* 2026-03-02 */

static inline mc_tooth_score *values_tooth(mc_assessment *a, int iso) {
    return &a->scores[a->checkups - 1].tooth[mc_tooth_from_iso(iso)];
}

static inline void values_nothing_read(mc_tooth_score *t) {
    *t = (mc_tooth_score){.state = MC_STATE_UNMEASURED,
                          .lag_index = NAN,
                          .risk_weight = 1,
                          .worst = MC_WORST_NONE,
                          .p_behind = NAN,
                          .lag_stages = NAN,
                          .lag_stages_low = NAN,
                          .lag_stages_high = NAN,
                          .stage_equivalent = NAN,
                          .off_path = NAN,
                          .tracked_share = NAN,
                          .tracked_share_se = NAN,
                          .seat_gap = NAN,
                          .seat_index = NAN,
                          .seat_p = NAN,
                          .mobility = -1,
                          .recession = NAN};
    for (int i = 0; i < MC_RELATIVES; i++)
        t->relative[i].read = NAN;
    for (int c = 0; c < MC_COMPONENTS; c++)
        t->item[c] = (mc_item){.planned = 0,
                               .observed = NAN,
                               .sd = NAN,
                               .mean = NAN,
                               .sd_x = NAN,
                               .leg_from = NAN,
                               .shortfall = NAN,
                               .tolerance = mc_component_is_linear((mc_component)c) ? 0.5 : 2,
                               .index = NAN,
                               .raw_index = NAN,
                               .weight = 1,
                               .p = NAN};
}

/* A component read on a tooth: planned, observed and estimated. */
static inline void values_item(mc_tooth_score *t, mc_component c, double planned, double observed,
                               double mean, double sd, double p, mc_kind kind) {
    mc_item *item = &t->item[c];
    double off = planned - mean;
    item->read = item->followed = true;
    item->readings = 1;
    item->planned = planned;
    item->observed = observed;
    item->mean = mean;
    item->sd_x = sd;
    item->direction = kind == MC_KIND_DRIFT ? 0 : planned > 0 ? 1 : -1;
    item->kind = kind;
    item->shortfall = item->direction ? item->direction * off : NAN;
    item->index = fabs(off) / item->tolerance;
    item->p = p;
    if (isnan(t->lag_index) || item->index * item->weight > t->lag_index) {
        t->lag_index = item->index * item->weight;
        t->worst = (int)c;
    }
}

static inline void values_gap(mc_tooth_score *t, double gap) {
    t->seat_gap = gap;
    t->seat_index = gap / 0.5;
    t->seat_p = gap >= 0.5;
    t->seat_kind = MC_KIND_SHORT;
    if (isnan(t->lag_index) || t->seat_index * t->risk_weight > t->lag_index) {
        t->lag_index = t->seat_index * t->risk_weight;
        t->worst = MC_WORST_SEAT_GAP;
    }
}

/* A case with `checkups` check-ups at which nothing was read yet, on a plan of 24 and 20 stages
 * that moves 12, 11, 21 and 34. */
static inline mc_assessment *values_case(size_t checkups) {
    mc_assessment *a = calloc(1, sizeof *a);
    snprintf(a->kase.chart, sizeof a->kase.chart, "4711");
    snprintf(a->kase.name, sizeof a->kase.name, "Example, Invented");
    a->kase.number = 1;
    a->kase.closed = MC_NO_DAY;
    mc_usual_teeth(a->states);
    a->has_plan = true;
    a->info = (mc_plan_info){.number = 1, .start = VALUES_TODAY - 116, .interval = {10, 10}};
    a->plan = mc_plan_new();
    const int iso[] = {12, 11, 21, 34};
    for (int i = 0; i < 4; i++) {
        mc_plan_row row = {.tooth = mc_tooth_from_iso(iso[i]),
                           .stage = iso[i] == 34 ? 20 : 24,
                           .pose = {.c = {[MC_MESIAL] = 1.2, [MC_ROTATION] = 18}},
                           .attachment = MC_MARK_NONE};
        mc_plan_add(a->plan, &row, NULL);
    }
    mc_plan_row placed = {.tooth = mc_tooth_from_iso(21), .attachment = MC_MARK_PLACED};
    mc_plan_add(a->plan, &placed, NULL);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        a->series[arch] = mc_series_start(arch == MC_UPPER ? 24 : 20, 10, a->info.start);
        a->series[arch].aligner = 12;
        a->series[arch].begun = VALUES_TODAY - 5;
    }
    mc_settings_defaults(&a->settings);
    a->checkups = checkups;
    a->last_number = (int)checkups;
    if (checkups == 0)
        return a;
    a->scores = calloc(checkups, sizeof *a->scores);
    for (size_t i = 0; i < checkups; i++) {
        mc_score *s = &a->scores[i];
        *s = (mc_score){.number = (int)i + 1,
                        .date = VALUES_TODAY - 42 * (int)(checkups - 1 - i),
                        .aligner = {12, 12},
                        .day = {5, 5},
                        .stages = {24, 20},
                        .effective_stage = {12, 12},
                        .wear_hours = NAN,
                        .worst = MC_NO_TOOTH,
                        .lag_index = NAN};
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            values_nothing_read(&s->tooth[tooth]);
            s->present[tooth] = mc_tooth_stands(a->states[tooth]);
        }
    }
    a->score = &a->scores[checkups - 1];
    a->checkup.version = 1;
    a->checkup.checkup.method = MC_CALIPER;
    return a;
}

/* Count the states again, after teeth were changed. */
static inline void values_count(mc_assessment *a) {
    mc_score *s = &a->scores[a->checkups - 1];
    memset(s->count, 0, sizeof s->count);
    s->present_count = 0;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        s->present[tooth] = mc_tooth_stands(a->states[tooth]);
        if (!s->present[tooth])
            continue;
        s->present_count++;
        s->count[s->tooth[tooth].state]++;
    }
}

/* Every component followed so far goes on at six tenths of its plan, with twice its spread:
 * invented as the rest is. */
static inline void values_forecast(mc_assessment *a) {
    const mc_score *s = &a->scores[a->checkups - 1];
    a->forecast = (mc_forecast){.expected_out = NAN, .p_all_in = NAN};
    double inside = 1, outside = 0;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        mc_tooth_forecast *t = &a->forecast.tooth[tooth];
        double own = 1;
        *t = (mc_tooth_forecast){.grip = s->tooth[tooth].attachment < MC_ATTACHMENT_LOOSE};
        for (int c = 0; c < MC_COMPONENTS; c++) {
            const mc_item *item = &s->tooth[tooth].item[c];
            mc_component_forecast *f = &t->component[c];
            if (!item->followed)
                continue;
            double finish = mc_component_is_linear((mc_component)c) ? 1 : 5;
            f->known = t->known = true;
            f->mean = item->mean;
            f->sd = item->sd_x;
            f->rate = 0.5;
            f->rate_sd = 0.1;
            f->expected = 0.6;
            f->planned = mc_plan_at(a->plan, tooth, (mc_component)c,
                                    mc_plan_stages(a->plan, mc_tooth_arch(tooth)));
            f->end = item->mean + 0.6 * (f->planned - item->planned);
            f->end_sd = 2 * item->sd_x;
            f->low = f->end - 1.645 * f->end_sd;
            f->high = f->end + 1.645 * f->end_sd;
            double off = fabs(f->planned - f->end) - finish;
            f->p_out = 0.5 * erfc(-off / (sqrt(2) * f->end_sd));
            own *= 1 - f->p_out;
        }
        t->p_out = t->known ? 1 - own : NAN;
        if (!mc_tooth_stands(a->states[tooth]))
            continue;
        a->forecast.known += t->known;
        a->forecast.unknown += !t->known;
        outside += t->known ? t->p_out : 0;
        inside *= own;
    }
    if (a->forecast.known > 0) {
        a->forecast.expected_out = outside;
        a->forecast.p_all_in = inside;
    }
}

/* A tooth on plan. */
static inline void values_on_plan(mc_assessment *a, int iso) {
    mc_tooth_score *t = values_tooth(a, iso);
    values_item(t, MC_ROTATION, 3, 3.2, 2.9, 0.5, 0, MC_KIND_SHORT);
    t->state = MC_STATE_ON_PLAN;
}

/* One tooth of every state, and every mark. */
static inline mc_assessment *values_every_state(void) {
    mc_assessment *a = values_case(3);
    const int gone[] = {18, 28, 38, 48};
    for (int i = 0; i < 4; i++)
        a->states[mc_tooth_from_iso(gone[i])] = MC_TOOTH_MISSING;
    a->states[mc_tooth_from_iso(45)] = MC_TOOTH_UNERUPTED;
    a->states[mc_tooth_from_iso(85)] = MC_TOOTH_PRESENT;
    a->states[mc_tooth_from_iso(63)] = MC_TOOTH_SHEDDING;
    a->states[mc_tooth_from_iso(36)] = MC_TOOTH_IMPLANT;

    mc_tooth_score *t = values_tooth(a, 12);
    t->risk_weight = 1.5;
    t->item[MC_ROTATION].weight = 1.5;
    t->item[MC_ROTATION].readings = 1;
    values_item(t, MC_ROTATION, 9, 6.5, 6.175878, 1.940681, 0.664456, MC_KIND_SHORT);
    values_item(t, MC_MESIAL, 0.6, 0.35, 0.368314, 0.151498, 0.038274, MC_KIND_SHORT);
    t->item[MC_ROTATION].readings = 2;
    values_gap(t, 0.5);
    t->state = MC_STATE_BEHIND;
    t->lag_stages = 3.823136, t->lag_stages_low = 2.1, t->lag_stages_high = 5.5;
    t->tracked_share = 0.681405, t->tracked_share_se = 0.207623;
    t->attachment = MC_ATTACHMENT_LOST;
    t->mobility = 1;
    a->behind_since[mc_tooth_from_iso(12)] = 2;

    t = values_tooth(a, 34);
    values_item(t, MC_ROTATION, 10.8, 2.0, 2.4, 0.7, 1, MC_KIND_SHORT);
    t->state = MC_STATE_STALLED;
    t->attachment = MC_ATTACHMENT_INTACT;
    a->behind_since[mc_tooth_from_iso(34)] = 1;

    t = values_tooth(a, 26);
    values_item(t, MC_MESIAL, 0, 1.3, 0.86, 0.1, 0.999, MC_KIND_DRIFT);
    t->state = MC_STATE_DRIFTING;

    t = values_tooth(a, 41);
    values_item(t, MC_INCLINATION, 3, 6.2, 6.0, 0.7, 0.92, MC_KIND_PAST);
    t->state = MC_STATE_PAST_PLAN;
    t->mobility = 2;
    t->pain = MC_YES;

    t = values_tooth(a, 22);
    values_item(t, MC_OCCLUSAL, 0.8, 0.4, 0.45, 0.12, 0.1, MC_KIND_SHORT);
    t->state = MC_STATE_SLIPPING;
    t->attachment = MC_ATTACHMENT_WORN;

    t = values_tooth(a, 33);
    values_gap(t, 0);
    t->state = MC_STATE_SEATED;
    t->attachment = MC_ATTACHMENT_LOOSE;

    values_on_plan(a, 11);
    values_on_plan(a, 85);
    a->scores[2].worst = mc_tooth_from_iso(34);
    a->scores[2].lag_index = 4.2;
    values_count(a);
    a->scores[2].pace_mean = -0.04;
    a->scores[2].pace_sd = 0.17;
    values_forecast(a);
    a->has_proposal = true;
    a->proposal = (mc_proposal){.choice = MC_PROPOSE_REPAIR, .rule = 3};
    snprintf(a->proposal.sentence, sizeof a->proposal.sentence,
             "Rebond at this visit: 12 (attachment lost).");
    a->decision_due = true;
    return a;
}

#endif
