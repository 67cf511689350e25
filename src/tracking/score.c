/* The score of a check-up: tooth by tooth its items, state, lag index and lag in stages. */
#include "tracker.h"

#include <math.h>

static const double SAME = 1e-12; /* lag indices this near are equal */

const char *mc_kind_name(mc_kind kind) {
    static const char *const NAME[] = {"none", "short", "past", "drift"};
    return NAME[kind];
}

const char *mc_state_name(mc_state state) {
    static const char *const NAME[MC_STATES] = {"unmeasured", "stalled",  "behind", "drifting",
                                                "past_plan",  "slipping", "seated", "on_plan"};
    return NAME[state];
}

const char *mc_state_word(mc_state state) {
    switch (state) {
    case MC_STATE_PAST_PLAN:
        return "past plan";
    case MC_STATE_ON_PLAN:
        return "on plan";
    default:
        return mc_state_name(state);
    }
}

/* ---- one component ---- */

double mc_chance(double value, double sd, double threshold) {
    if (!(sd > 0))
        return mc_reaches(value, threshold) ? 1 : 0;
    return erfc((threshold - value) / (sd * sqrt(2))) / 2;
}

static mc_kind kind_of(const mc_item *item) {
    int g = item->direction;
    if (g == 0 ||
        !mc_reaches(g * (item->mean - item->leg_from), -g * (item->planned - item->leg_from)))
        return MC_KIND_DRIFT;
    return mc_reaches(item->shortfall, 0) ? MC_KIND_SHORT : MC_KIND_PAST;
}

static double chance_off(const mc_item *item) {
    double off = item->mean - item->planned;
    switch (item->kind) {
    case MC_KIND_SHORT:
        return mc_chance(item->shortfall, item->sd_x, item->tolerance);
    case MC_KIND_PAST:
        return mc_chance(-item->shortfall, item->sd_x, item->tolerance);
    default: /* either way; with no spread one of the two is 1 or none */
        return mc_chance(off, item->sd_x, item->tolerance) +
               mc_chance(-off, item->sd_x, item->tolerance);
    }
}

/* Plan and leg at a stage (NaN: 0). */
static mc_item item_at(const mc_tracker *tracker, mc_tooth tooth, mc_component c, double stage) {
    double at = isnan(stage) ? 0 : stage;
    mc_item item = {.planned = mc_plan_at(tracker->plan, tooth, c, at),
                    .observed = NAN,
                    .sd = NAN,
                    .mean = NAN,
                    .sd_x = NAN,
                    .leg_from = NAN,
                    .shortfall = NAN,
                    .tolerance = mc_tolerance(&tracker->settings, c),
                    .index = NAN,
                    .raw_index = NAN,
                    .weight = NAN,
                    .p = NAN};
    item.direction = mc_plan_leg(tracker->plan, tooth, c, at, &item.leg_from);
    return item;
}

static void note_shortfall(mc_item *item) {
    if (item->direction != 0)
        item->shortfall = item->direction * (item->planned - item->mean);
}

mc_item mc_score_item(const mc_tracker *tracker, mc_tooth tooth, mc_component c) {
    const observation *o = &tracker->observed[tooth][c];
    mc_item item = item_at(tracker, tooth, c, tracker->effective_stage[mc_tooth_arch(tooth)]);
    item.weight = mc_risk_weight(&tracker->settings, tracker->plan, tooth, c);
    item.readings = o->count;
    item.read = o->count > 0;
    item.followed = mc_tracker_estimate(tracker, tooth, c, &item.mean, &item.sd_x);
    if (item.followed)
        note_shortfall(&item);
    if (!item.read)
        return item;
    item.observed = o->observed;
    item.sd = sqrt(o->variance);
    item.index = fabs(item.planned - item.mean) / item.tolerance;
    item.raw_index = fabs(item.planned - item.observed) / item.tolerance;
    item.kind = kind_of(&item);
    item.p = chance_off(&item);
    return item;
}

/* ---- one tooth ---- */

static bool sure(const mc_tracker *tracker, double p) {
    return mc_reaches(p, tracker->settings.state_probability);
}

/* What an earlier check-up that read it made of a component. */
static mc_item item_then(const mc_tracker *tracker, mc_tooth tooth, mc_component c,
                         const checkup_trace *then) {
    mc_item item = item_at(tracker, tooth, c, then->stage[mc_tooth_arch(tooth)]);
    item.mean = then->item[tooth][c].x;
    item.sd_x = sqrt(fmax(then->item[tooth][c].variance, 0));
    note_shortfall(&item);
    item.kind = kind_of(&item);
    item.p = chance_off(&item);
    return item;
}

static bool is_behind(const mc_tracker *tracker, const mc_item *item) {
    return item->kind == MC_KIND_SHORT && sure(tracker, item->p);
}

/* Behind by this component now and at the latest earlier check-up since which the plan went at
 * least one tolerance further, having moved less than a quarter of that since. */
static bool has_stalled(const mc_tracker *tracker, mc_tooth tooth, mc_component c,
                        const mc_item *item) {
    if (!is_behind(tracker, item))
        return false;
    for (size_t i = tracker->earlier_count; i-- > 0;) {
        if (isnan(tracker->earlier[i].item[tooth][c].x))
            continue;
        mc_item then = item_then(tracker, tooth, c, &tracker->earlier[i]);
        double planned = item->direction * (item->planned - then.planned);
        if (!mc_reaches(planned, item->tolerance))
            continue;
        double moved = item->direction * (item->mean - then.mean);
        return is_behind(tracker, &then) &&
               !mc_reaches(moved, tracker->settings.stalled_share * planned);
    }
    return false;
}

/* The part of the leg's squared planned way (in tolerances) over components with a leg: all, and
 * those read. */
typedef struct {
    double all, read;
} leg_ways;

static leg_ways sum_of_ways(const mc_tooth_score *t) {
    leg_ways sum = {0, 0};
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &t->item[c];
        if (item->direction == 0)
            continue;
        double way = (item->planned - item->leg_from) / item->tolerance;
        sum.all += way * way;
        if (item->read)
            sum.read += way * way;
    }
    return sum;
}

/* Whether something of a kind that counts has p sure, or (slipping) a weighted index of the
 * slipping threshold. */
static bool any_sure(const mc_tracker *tracker, const mc_tooth_score *t, mc_kind kind) {
    if (t->seat_kind == kind && sure(tracker, t->seat_p))
        return true;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (t->item[c].kind == kind && sure(tracker, t->item[c].p))
            return true;
    return false;
}

static bool slips(const mc_tracker *tracker, const mc_tooth_score *t) {
    double from = tracker->settings.slipping_index;
    if (t->seat_kind != MC_KIND_NONE && mc_reaches(t->risk_weight * t->seat_index, from))
        return true;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &t->item[c];
        if ((item->kind == MC_KIND_SHORT || item->kind == MC_KIND_DRIFT) &&
            mc_reaches(item->weight * item->index, from))
            return true;
    }
    return false;
}

static mc_state state_of(const mc_tracker *tracker, mc_tooth tooth, const mc_tooth_score *t) {
    bool gap = !isnan(t->seat_gap), position = false;
    for (int c = 0; c < MC_COMPONENTS; c++)
        position = position || t->item[c].read;
    if (!gap && !position)
        return MC_STATE_UNMEASURED;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (has_stalled(tracker, tooth, (mc_component)c, &t->item[c]))
            return MC_STATE_STALLED;
    if (any_sure(tracker, t, MC_KIND_SHORT))
        return MC_STATE_BEHIND;
    if (any_sure(tracker, t, MC_KIND_DRIFT))
        return MC_STATE_DRIFTING;
    if (any_sure(tracker, t, MC_KIND_PAST))
        return MC_STATE_PAST_PLAN;
    if (slips(tracker, t))
        return MC_STATE_SLIPPING;
    leg_ways ways = sum_of_ways(t);
    if (mc_reaches(ways.all, 1) && !mc_reaches(ways.read, ways.all / 2))
        return gap ? MC_STATE_SEATED : MC_STATE_UNMEASURED;
    return MC_STATE_ON_PLAN;
}

/* Lag index, the worst item and p_behind, over what was read. */
static void score_worst(mc_tooth_score *t) {
    t->worst = MC_WORST_NONE;
    t->lag_index = t->p_behind = NAN;
    if (!isnan(t->seat_gap)) {
        t->worst = MC_WORST_SEAT_GAP;
        t->lag_index = t->risk_weight * t->seat_index;
        if (t->seat_kind == MC_KIND_SHORT)
            t->p_behind = t->seat_p;
    }
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &t->item[c];
        if (!item->read)
            continue;
        if (t->worst == MC_WORST_NONE || item->weight * item->index > t->lag_index + SAME) {
            t->worst = c;
            t->lag_index = item->weight * item->index;
        }
        if (item->kind == MC_KIND_SHORT)
            t->p_behind = fmax(t->p_behind, item->p);
    }
}

/* Tracked share and its standard error, the covariance through the shared pace included. */
static void score_share(const mc_tracker *tracker, mc_tooth tooth, mc_tooth_score *t) {
    double way = 0, gone = 0, own = 0, shared = 0;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &t->item[c];
        if (!item->read || item->direction == 0)
            continue;
        const filter *f = &tracker->filter[tooth][c];
        double d = item->direction * (item->planned - item->leg_from);
        double share = d / (item->tolerance * item->tolerance);
        way += d * share;
        gone += item->direction * (item->mean - item->leg_from) * share;
        own += share * share * f->cov[0][0];
        shared += item->direction * share * f->sensitivity[0];
    }
    t->tracked_share = t->tracked_share_se = NAN;
    if (!mc_reaches(way, 1))
        return;
    t->tracked_share = gone / way;
    t->tracked_share_se = sqrt(fmax(own + shared * shared * mc_pace_variance(tracker), 0)) / way;
}

static void score_lag(const mc_tracker *tracker, mc_tooth tooth, mc_tooth_score *t) {
    bool use[MC_COMPONENTS];
    double tolerance[MC_COMPONENTS], x[MC_COMPONENTS], behind[MC_COMPONENTS], ahead[MC_COMPONENTS];
    double stage = tracker->effective_stage[mc_tooth_arch(tooth)], s = isnan(stage) ? 0 : stage;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &t->item[c];
        use[c] = item->read;
        tolerance[c] = item->tolerance;
        x[c] = item->read ? item->mean : 0;
        double sd = item->read ? item->direction * item->sd_x : 0;
        behind[c] = x[c] - sd;
        ahead[c] = x[c] + sd;
    }
    equivalent at = mc_stage_equivalent(tracker->plan, tooth, use, tolerance, x, s);
    t->stage_equivalent = at.stage;
    t->off_path = at.off_path;
    t->lag_stages = at.lag;
    double one = mc_stage_equivalent(tracker->plan, tooth, use, tolerance, ahead, s).lag;
    double other = mc_stage_equivalent(tracker->plan, tooth, use, tolerance, behind, s).lag;
    t->lag_stages_low = fmin(at.lag, fmin(one, other));
    t->lag_stages_high = fmax(at.lag, fmax(one, other));
}

static void score_seat(const mc_tracker *tracker, mc_tooth_score *t) {
    t->seat_index = t->seat_p = NAN;
    t->seat_kind = MC_KIND_NONE;
    if (isnan(t->seat_gap))
        return;
    double tolerance = tracker->settings.tolerance_gap_mm;
    t->seat_index = t->seat_gap / tolerance;
    t->seat_p = mc_reaches(t->seat_gap, tolerance) ? 1 : 0;
    t->seat_kind = MC_KIND_DRIFT;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (t->item[c].direction != 0)
            t->seat_kind = MC_KIND_SHORT;
}

static mc_tooth_score score_tooth(const mc_tracker *tracker, mc_tooth tooth) {
    const tooth_findings *found = &tracker->findings[tooth];
    mc_tooth_score t = {.seat_gap = found->seat_gap,
                        .attachment = found->attachment,
                        .contact_mesial = found->contact_mesial,
                        .contact_distal = found->contact_distal,
                        .mobility = found->mobility,
                        .pain = found->pain,
                        .swelling = found->swelling,
                        .recession = found->recession};
    for (int c = 0; c < MC_COMPONENTS; c++)
        t.item[c] = mc_score_item(tracker, tooth, (mc_component)c);
    for (int i = 0; i < MC_RELATIVES; i++)
        t.relative[i] = mc_relative_said(tracker, tooth, (mc_relative)i);
    t.risk_weight = mc_risk_weight_tooth(&tracker->settings, tooth);
    score_seat(tracker, &t);
    score_worst(&t);
    score_share(tracker, tooth, &t);
    score_lag(tracker, tooth, &t);
    t.state = state_of(tracker, tooth, &t);
    return t;
}

/* ---- the mouth ---- */

static void count_mouth(mc_score *score) {
    score->worst = MC_NO_TOOTH;
    score->lag_index = NAN;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (!score->present[t])
            continue;
        const mc_tooth_score *tooth = &score->tooth[t];
        score->present_count++;
        score->count[tooth->state]++;
        if (!isnan(tooth->lag_index) &&
            (score->worst == MC_NO_TOOTH || tooth->lag_index > score->lag_index + SAME)) {
            score->worst = t;
            score->lag_index = tooth->lag_index;
        }
    }
    score->measured = score->present_count - score->count[MC_STATE_UNMEASURED];
}

void mc_tracker_score(const mc_tracker *tracker, const mc_tooth_state states[MC_TEETH],
                      mc_score *out) {
    *out = (mc_score){.number = tracker->checkup.number,
                      .date = tracker->checkup.date,
                      .wear_hours = tracker->checkup.wear_hours,
                      .pace_mean = mc_pace_mean(tracker),
                      .pace_sd = sqrt(mc_pace_variance(tracker))};
    for (int a = 0; a < MC_ARCHES; a++) {
        out->aligner[a] = tracker->checkup.aligner[a];
        out->day[a] = tracker->checkup.day[a];
        out->stages[a] = mc_plan_stages(tracker->plan, (mc_arch)a);
        out->effective_stage[a] = tracker->effective_stage[a];
    }
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        out->present[t] = mc_tooth_stands(states[t]);
        out->tooth[t] = score_tooth(tracker, t);
    }
    count_mouth(out);
}
