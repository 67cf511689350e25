/* The forecast: every component that was read carried to the end of its series, and what is to be
 * expected of teeth and mouth there, the shared pace integrated. */
#include "tracker.h"

#include <math.h>

/* Gauss-Hermite quadrature with nine nodes: those of numpy's hermgauss, its weights divided by
 * sqrt(pi). The nodes of a normal value are mean + sqrt(2) SD node. */
enum { NODES = 9 };
static const double NODE[NODES] = {
    -3.190993201781528, -2.266580584531843, -1.468553289216668, -0.7235510187528376, 0.0,
    0.7235510187528376, 1.468553289216668,  2.266580584531843,  3.190993201781528};
static const double WEIGHT[NODES] = {
    2.23458440077466e-05, 0.002789141321231769, 0.04991640676521785,
    0.244097502894939,    0.40634920634920635,  0.244097502894939,
    0.04991640676521785,  0.002789141321231769, 2.23458440077466e-05};
/* Half width of a 90 % interval in standard deviations: the 95 % point of the standard normal. */
static const double NINETY = 1.6448536269514722;

static double grip_limit(const mc_settings *settings, mc_component c) {
    return mc_component_is_linear(c) ? settings->grip_short_mm : settings->grip_short_deg;
}

static double shortfall_now(const mc_tracker *tracker, mc_tooth tooth, mc_component c, double x,
                            double at) {
    double from;
    int direction = mc_plan_leg(tracker->plan, tooth, c, at, &from);
    return direction == 0 ? NAN : direction * (mc_plan_at(tracker->plan, tooth, c, at) - x);
}

/* ---- grip ---- */

static bool keeps_grip(const mc_tracker *tracker, mc_tooth tooth) {
    const tooth_findings *found = &tracker->findings[tooth];
    if (found->attachment == MC_ATTACHMENT_LOOSE || found->attachment == MC_ATTACHMENT_LOST)
        return false;
    if (!isnan(found->seat_gap) && !mc_reaches(tracker->settings.grip_gap_mm, found->seat_gap))
        return false;
    for (int i = 0; i < MC_COMPONENTS; i++) {
        mc_component c = (mc_component)i;
        double x, sd, stage = tracker->effective_stage[mc_tooth_arch(tooth)];
        if (!mc_tracker_estimate(tracker, tooth, c, &x, &sd))
            continue;
        double shortfall =
            shortfall_now(tracker, tooth, c, x, isnan(stage) ? tracker->filter[tooth][c].s : stage);
        if (!isnan(shortfall) && !mc_reaches(grip_limit(&tracker->settings, c), shortfall))
            return false;
    }
    return true;
}

void mc_tracker_grip(const mc_tracker *tracker, bool grip[MC_TEETH]) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        grip[t] = keeps_grip(tracker, t);
}

/* ---- one component ---- */

/* At the end of its series: off its target and the spread of that, given the shared pace. */
typedef struct {
    double off, sensitivity, sd, tolerance;
} ending;

static double part_of(const mc_tracker *tracker, bool grip) {
    return grip ? 1 : tracker->settings.grip_share;
}

static double chance_outside(double off, double sd, double tolerance) {
    return mc_chance(off, sd, tolerance) + mc_chance(-off, sd, tolerance);
}

/* The same where it is one factor of many: what a double beside 1 cannot show is left out. */
static double chance_outside_roughly(double off, double sd, double tolerance) {
    const double FAR = 8.5; /* standard deviations: 1e-17 lies beyond */
    double near = fabs(off), inside = FAR * sd;
    if (sd > 0 && near - tolerance > inside)
        return 1;
    double chance = sd > 0 && tolerance - near > inside ? 0 : mc_chance(near, sd, tolerance);
    return tolerance + near > inside ? chance : chance + mc_chance(-near, sd, tolerance);
}

static void forecast_component(const mc_tracker *tracker, mc_tooth tooth, mc_component c, bool grip,
                               mc_component_forecast *out, ending *end) {
    double last = mc_plan_stages(tracker->plan, mc_tooth_arch(tooth)), variance;
    double pace = mc_pace_mean(tracker), pace_variance = mc_pace_variance(tracker);
    filter f = mc_filter_now(tracker, tooth, c);
    mc_filter_position(tracker, &f, &out->mean, &variance);
    out->known = true;
    out->sd = sqrt(fmax(variance, 0));
    out->rate = f.mean[1] + f.sensitivity[1] * pace;
    out->rate_sd = sqrt(fmax(f.cov[1][1] + f.sensitivity[1] * f.sensitivity[1] * pace_variance, 0));
    out->expected = f.expected;
    double shortfall = shortfall_now(tracker, tooth, c, out->mean, f.s);
    if (!isnan(shortfall))
        out->p_behind = mc_chance(shortfall, out->sd, mc_tolerance(&tracker->settings, c));
    if (last > f.s)
        mc_filter_carry_part(&f, tracker->plan, tooth, c, last, part_of(tracker, grip));
    mc_filter_position(tracker, &f, &out->end, &variance);
    out->end_sd = sqrt(fmax(variance, 0));
    out->low = out->end - NINETY * out->end_sd;
    out->high = out->end + NINETY * out->end_sd;
    *end = (ending){.off = f.mean[0] - out->planned,
                    .sensitivity = f.sensitivity[0],
                    .sd = sqrt(fmax(f.cov[0][0], 0)),
                    .tolerance = mc_finishing_tolerance(&tracker->settings, c)};
    out->p_out = chance_outside(out->end - out->planned, out->end_sd, end->tolerance);
}

bool mc_tracker_ahead(const mc_tracker *tracker, mc_tooth tooth, mc_component c, bool grip,
                      double stage, double *mean, double *sd) {
    double variance;
    if (!tracker->filter[tooth][c].followed)
        return false;
    filter f = mc_filter_now(tracker, tooth, c);
    if (stage > f.s)
        mc_filter_carry_part(&f, tracker->plan, tooth, c, stage, part_of(tracker, grip));
    mc_filter_position(tracker, &f, mean, &variance);
    *sd = sqrt(fmax(variance, 0));
    return true;
}

/* ---- one tooth ---- */

/* A chance given at each node of the pace, whatever the pace is. */
static double over_pace(const double chance[NODES]) {
    double sum = 0, weights = 0; /* which make 1 but for rounding: what is certain stays so */
    for (int n = 0; n < NODES; n++) {
        sum += WEIGHT[n] * chance[n];
        weights += WEIGHT[n];
    }
    return sum / weights;
}

/* Whether most of what the plan still asks of the tooth is of components never read. */
static bool known_in_part(const mc_tracker *tracker, mc_tooth tooth,
                          const mc_tooth_forecast *forecast) {
    mc_arch arch = mc_tooth_arch(tooth);
    double stage = tracker->effective_stage[arch], all = 0, known = 0;
    for (int i = 0; i < MC_COMPONENTS; i++) {
        mc_component c = (mc_component)i;
        double left = forecast->component[c].planned -
                      mc_plan_at(tracker->plan, tooth, c, isnan(stage) ? 0 : stage);
        double ways = left / mc_tolerance(&tracker->settings, c);
        all += ways * ways;
        if (forecast->component[c].known)
            known += ways * ways;
    }
    return mc_reaches(all, 1) && !mc_reaches(known, all / 2);
}

/* Multiplies into inside[] the chance, at each node of the pace, that this tooth ends inside. */
static void forecast_tooth(const mc_tracker *tracker, mc_tooth tooth, bool grip,
                           mc_tooth_forecast *out, double inside[NODES]) {
    const mc_component_forecast unknown = {false, NAN, NAN, NAN, NAN, NAN, NAN,
                                           NAN,   NAN, NAN, NAN, NAN, NAN};
    double pace = mc_pace_mean(tracker), pace_sd = sqrt(mc_pace_variance(tracker)), own[NODES];
    int last = mc_plan_stages(tracker->plan, mc_tooth_arch(tooth));
    *out = (mc_tooth_forecast){.grip = grip, .p_behind = NAN, .p_out = NAN};
    for (int i = 0; i < NODES; i++)
        own[i] = 1;
    for (int i = 0; i < MC_COMPONENTS; i++) {
        mc_component_forecast *c = &out->component[i];
        *c = unknown;
        c->planned = mc_plan_at(tracker->plan, tooth, (mc_component)i, last);
        if (!tracker->filter[tooth][i].followed)
            continue;
        ending end;
        forecast_component(tracker, tooth, (mc_component)i, grip, c, &end);
        out->known = true;
        out->p_behind = fmax(out->p_behind, c->p_behind); /* of NaN and a number, the number */
        for (int n = 0; n < NODES; n++) {
            double off = end.off + end.sensitivity * (pace + sqrt(2) * pace_sd * NODE[n]);
            double outside = chance_outside_roughly(off, end.sd, end.tolerance);
            own[n] *= outside < 1 ? 1 - outside : 0;
        }
    }
    if (!out->known)
        return;
    out->partly = known_in_part(tracker, tooth, out);
    for (int n = 0; n < NODES; n++) {
        inside[n] *= own[n];
        own[n] = 1 - own[n];
    }
    out->p_out = over_pace(own);
}

/* ---- the mouth ---- */

void mc_tracker_forecast(const mc_tracker *tracker, const mc_tooth_state states[MC_TEETH],
                         const bool *grip, mc_forecast *out) {
    double inside[NODES], not_counted[NODES];
    *out = (mc_forecast){.pace_mean = mc_pace_mean(tracker),
                         .pace_sd = sqrt(mc_pace_variance(tracker)),
                         .expected_out = NAN,
                         .p_all_in = NAN};
    for (int n = 0; n < NODES; n++)
        inside[n] = not_counted[n] = 1;
    double sum = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        bool stands = mc_tooth_stands(states[t]);
        mc_tooth_forecast *tooth = &out->tooth[t];
        forecast_tooth(tracker, t, grip ? grip[t] : true, tooth, stands ? inside : not_counted);
        if (!stands)
            continue;
        out->known += tooth->known;
        out->unknown += !tooth->known;
        out->partly += tooth->partly;
        sum += tooth->known ? tooth->p_out : 0;
    }
    if (out->known == 0)
        return;
    out->expected_out = sum;
    out->p_all_in = over_pace(inside);
}
