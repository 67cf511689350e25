/* Readings against a neighbour: what was read before anything moved, what should be read by plan,
 * and what the difference says of the tooth. */
#include "tracker.h"

#include <math.h>

static const double MOST_MM = 20, MOST_DEG = 180, TURN = 360;

double mc_relative_most(mc_relative what) {
    return what == MC_CROWN_ANGLE ? MOST_DEG : MOST_MM;
}

bool mc_relative_is_space(mc_relative what) {
    return what == MC_SPACE_TO_MESIAL || what == MC_SPACE_TO_DISTAL;
}

double mc_relative_between(mc_relative what, double from, double to) {
    return what == MC_CROWN_ANGLE ? remainder(to - from, TURN) : to - from;
}

void mc_relative_clear(mc_tracker *tracker) {
    if (!tracker->relative_read)
        return;
    tracker->relative_read = false;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int i = 0; i < MC_RELATIVES; i++)
            tracker->relative[t][i] = (relative_reading){
                .neighbour = MC_NO_TOOTH, .read = NAN, .baseline = NAN, .should_read = NAN};
}

void mc_relative_begin(mc_tracker *tracker, const mc_start *start) {
    tracker->relative_read = true; /* or never cleared yet */
    mc_relative_clear(tracker);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        for (int i = 0; i < MC_RELATIVES; i++)
            tracker->past[t][i] = (relative_past){
                .baseline = NAN, .variance = NAN, .neighbour = MC_NO_TOOTH, .last = NAN};
        for (int c = 0; c < MC_COMPONENTS; c++)
            tracker->start_variance[t][c] = start ? start->variance[t][c] : 0;
    }
}

/* ---- what is read ---- */

/* A side on which no tooth ever stands. One whose tooth is only missing by now is not refused: what
 * was read there stays on record. */
static bool is_last(mc_relative what, mc_tooth tooth, const mc_tooth_state *states) {
    return what != MC_CROWN_ANGLE && mc_relative_neighbour(what, tooth, NULL) == MC_NO_TOOTH &&
           mc_relative_neighbour(what, tooth, states) == MC_NO_TOOTH;
}

const char *mc_relative_fault(const mc_reading *r, const mc_tooth_state *states) {
    for (int i = 0; i < MC_RELATIVES; i++) {
        mc_relative what = (mc_relative)i;
        if (isnan(r->relative[i]))
            continue;
        if (!(fabs(r->relative[i]) <= mc_relative_most(what)))
            return "more than 20 mm or 180 deg cannot be read against a neighbour";
        if (mc_relative_is_space(what) && r->relative[i] < 0)
            return "a space is not below 0 mm";
        if (is_last(what, r->tooth, states))
            return "no neighbour stands on that side";
    }
    return NULL;
}

/* Several readings average by 1/variance, angles about the first. While rows come in, variance
 * holds the sum of weights. */
void mc_relative_gather(mc_tracker *tracker, const mc_reading *r) {
    mc_method method = mc_reading_method(r, tracker->checkup.method);
    for (int i = 0; i < MC_RELATIVES; i++) {
        mc_relative what = (mc_relative)i;
        relative_reading *now = &tracker->relative[r->tooth][i];
        if (isnan(r->relative[i]))
            continue;
        tracker->relative_read = true;
        double sd = mc_method_sd(&tracker->settings, method, mc_relative_component(what));
        double weight = 1 / (sd * sd);
        now->variance += weight;
        if (now->count++ == 0)
            now->read = r->relative[i];
        else
            now->read +=
                mc_relative_between(what, now->read, r->relative[i]) * weight / now->variance;
    }
}

/* ---- baselines ---- */

static bool is_at_start(const mc_tracker *tracker, mc_tooth tooth) {
    mc_arch arch = mc_tooth_arch(tooth);
    return mc_plan_stages(tracker->plan, arch) == 0 || tracker->effective_stage[arch] == 0;
}

static double planned(const mc_tracker *tracker, mc_tooth tooth, mc_relative what, double s) {
    return mc_plan_at(tracker->plan, tooth, mc_relative_component(what), isnan(s) ? 0 : s);
}

/* By plan at stage s, and not yet held to what a space can be. */
static double by_plan(const mc_tracker *tracker, mc_tooth tooth, mc_relative what,
                      mc_tooth neighbour, double s) {
    const relative_past *past = &tracker->past[tooth][what];
    if (isnan(past->baseline) || past->neighbour != neighbour)
        return NAN;
    double change = mc_relative_own(what) * planned(tracker, tooth, what, s);
    if (neighbour != MC_NO_TOOTH)
        change += mc_relative_other(what, tooth, neighbour) * planned(tracker, neighbour, what, s);
    return past->baseline + change;
}

/* As it would be read. */
static double readable(mc_relative what, double value) {
    if (mc_relative_is_space(what) && value < 0)
        return 0;
    return mc_relative_between(what, 0, value);
}

double mc_tracker_should_read(const mc_tracker *tracker, mc_tooth tooth, mc_relative what,
                              const mc_tooth_state states[MC_TEETH], double s) {
    mc_tooth neighbour = mc_relative_neighbour(what, tooth, states);
    return readable(what, by_plan(tracker, tooth, what, neighbour, s));
}

double mc_tracker_baseline(const mc_tracker *tracker, mc_tooth tooth, mc_relative what) {
    return tracker->past[tooth][what].baseline;
}

double mc_tracker_last_read(const mc_tracker *tracker, mc_tooth tooth, mc_relative what) {
    return tracker->past[tooth][what].last;
}

/* Which of the two baselines that a component can have. */
static int base_of(mc_relative what) {
    return what == MC_SPACE_TO_DISTAL || what == MC_STEP_TO_DISTAL || what == MC_HEIGHT_TO_DISTAL
               ? STATE_OTHER_BASE
               : STATE_BASE;
}

/* The first reading on this plan is the baseline, where nothing has moved yet. Where the teeth
 * stood then is known as well as the poses that the plan starts from. */
static void remember(mc_tracker *tracker, mc_tooth tooth, mc_relative what,
                     const relative_reading *now) {
    relative_past *past = &tracker->past[tooth][what];
    mc_component c = mc_relative_component(what);
    if (isnan(past->last) && is_at_start(tracker, tooth)) {
        past->baseline = now->read;
        past->neighbour = now->neighbour;
        past->variance = now->variance + tracker->start_variance[tooth][c];
        if (now->neighbour != MC_NO_TOOTH)
            past->variance += tracker->start_variance[now->neighbour][c];
        tracker->filter[tooth][c].states = STATES;
        tracker->filter[tooth][c].cov[base_of(what)][base_of(what)] = past->variance;
    }
    past->last = now->read;
}

/* ---- what it says of the tooth ---- */

/* An observation of the tooth's component, as worked out from what is known of its neighbour. */
typedef struct {
    double observed, variance; /* the pace integrated */
    /* the same at a pace of 0, without the baseline's own error, which the filter follows; and how
     * it changes with the pace */
    double given_pace, variance_given_pace, shared;
} seen;

/* Where the neighbour stands beside its plan. One that was never read is taken to be on plan, give
 * or take how far one like it may be from that. */
static seen neighbour_beside_plan(const mc_tracker *tracker, mc_tooth neighbour, mc_component c,
                                  double plan) {
    filter now = mc_filter_now(tracker, neighbour, c);
    double mean, variance;
    mc_filter_position(tracker, &now, &mean, &variance);
    if (!now.followed) {
        double moment = (mean - plan) * (mean - plan) + variance;
        return (seen){.variance = moment, .variance_given_pace = moment};
    }
    return (seen){.observed = mean - plan,
                  .variance = variance,
                  .given_pace = now.mean[0] - plan,
                  .variance_given_pace = now.cov[0][0],
                  .shared = now.sensitivity[0]};
}

static seen look_at(const mc_tracker *tracker, mc_tooth tooth, mc_relative what,
                    const relative_reading *now, double should) {
    double s = tracker->effective_stage[mc_tooth_arch(tooth)], own = mc_relative_own(what);
    double plan = planned(tracker, tooth, what, s);
    double at = plan + own * mc_relative_between(what, should, now->read);
    seen out = {.observed = at,
                .variance = now->variance + tracker->past[tooth][what].variance,
                .given_pace = at,
                .variance_given_pace = now->variance};
    if (now->neighbour == MC_NO_TOOTH)
        return out;
    double way = own * mc_relative_other(what, tooth, now->neighbour);
    seen other = neighbour_beside_plan(tracker, now->neighbour, mc_relative_component(what),
                                       planned(tracker, now->neighbour, what, s));
    out.observed -= way * other.observed;
    out.variance += other.variance;
    out.given_pace -= way * other.given_pace;
    out.variance_given_pace += other.variance_given_pace;
    out.shared = -way * other.shared;
    return out;
}

/* Into what the check-up says of the component: its weighted mean, and its filter. */
static void merge(mc_tracker *tracker, mc_tooth tooth, mc_relative what, const seen *o) {
    mc_component c = mc_relative_component(what);
    observation *all = &tracker->observed[tooth][c];
    filter *f = &tracker->filter[tooth][c];
    double s = tracker->effective_stage[mc_tooth_arch(tooth)];
    mc_observe(all, o->observed, o->variance);
    all->count += tracker->relative[tooth][what].count - 1; /* it may be the mean of several */
    mc_filter_carry(f, tracker->plan, tooth, c, isnan(s) ? 0 : s);
    mc_filter_update(tracker, f, o->given_pace, o->variance_given_pace, o->shared, base_of(what));
}

/* What is to be merged, worked out before anything is, so that no order of teeth matters. */
typedef struct {
    bool is;
    seen at;
} pending;

static void work_out(mc_tracker *tracker, mc_tooth tooth, mc_relative what,
                     const mc_tooth_state *states, pending *out) {
    relative_reading *now = &tracker->relative[tooth][what];
    out->is = false;
    if (now->count == 0)
        return;
    bool first = isnan(tracker->past[tooth][what].last);
    double s = tracker->effective_stage[mc_tooth_arch(tooth)];
    now->variance = 1 / now->variance;
    now->neighbour = mc_relative_neighbour(what, tooth, states);
    now->read = readable(what, now->read);
    bool alone = now->neighbour == MC_NO_TOOTH && what != MC_CROWN_ANGLE;
    if (!alone)
        remember(tracker, tooth, what, now);
    double should = alone ? NAN : by_plan(tracker, tooth, what, now->neighbour, s);
    if (isnan(should))
        return;
    now->baseline = tracker->past[tooth][what].baseline;
    now->should_read = readable(what, should);
    out->is = !first && !(mc_relative_is_space(what) && !mc_reaches(should, 0));
    if (out->is)
        out->at = look_at(tracker, tooth, what, now, should);
}

void mc_relative_settle(mc_tracker *tracker, const mc_tooth_state *states) {
    pending list[MC_TEETH][MC_RELATIVES];
    if (!tracker->relative_read)
        return;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int i = 0; i < MC_RELATIVES; i++)
            work_out(tracker, t, (mc_relative)i, states, &list[t][i]);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int i = 0; i < MC_RELATIVES; i++)
            if (list[t][i].is)
                merge(tracker, t, (mc_relative)i, &list[t][i].at);
}

mc_relative_item mc_relative_said(const mc_tracker *tracker, mc_tooth tooth, mc_relative what) {
    const relative_reading *now = &tracker->relative[tooth][what];
    return (mc_relative_item){.readings = now->count,
                              .read = now->read,
                              .neighbour = now->neighbour,
                              .baseline = now->baseline,
                              .should_read = now->should_read};
}
