/* Legs of a planned movement, risk weights, and the line through the origin. */
#include "midcourse/tracking.h"

#include <math.h>

/* Follows a component from stage 0 on. Before a leg begins, low and high are the extremes so far.
 */
typedef struct {
    double low, high, least;
    int direction;  /* 0 before the first leg */
    double from;    /* B */
    double extreme; /* of the present leg */
} walk;

static void step_to(walk *w, double value) {
    if (w->direction == 0) {
        w->low = value < w->low ? value : w->low;
        w->high = value > w->high ? value : w->high;
        if (mc_reaches(value - w->low, w->least))
            w->direction = 1, w->from = w->low;
        else if (mc_reaches(w->high - value, w->least))
            w->direction = -1, w->from = w->high;
        w->extreme = value;
    } else if (w->direction * (value - w->extreme) > 0) {
        w->extreme = value;
    } else if (mc_reaches(w->direction * (w->extreme - value), w->least)) {
        w->direction = -w->direction;
        w->from = w->extreme;
        w->extreme = value;
    }
}

int mc_plan_leg(const mc_plan *plan, mc_tooth tooth, mc_component c, double s, double *from) {
    walk w = {.least = mc_component_least(c)};
    const mc_plan_row *row = NULL;
    size_t count = mc_plan_tooth_rows(plan, tooth, &row);
    for (size_t i = 0; i < count && row[i].stage < s; i++)
        step_to(&w, row[i].pose.c[c]);
    step_to(&w, mc_plan_at(plan, tooth, c, s));
    if (w.direction != 0)
        *from = w.from;
    return w.direction;
}

double mc_risk_weight_tooth(const mc_settings *settings, mc_tooth tooth) {
    double own = settings->risk_tooth[mc_tooth_iso(tooth)];
    if (own > 0)
        return own;
    if (mc_tooth_class_of(tooth) == MC_LATERAL && !mc_tooth_is_deciduous(tooth))
        return mc_tooth_arch(tooth) == MC_UPPER ? settings->risk_upper_lateral
                                                : settings->risk_lower_lateral;
    return 1;
}

double mc_risk_weight(const mc_settings *settings, const mc_plan *plan, mc_tooth tooth,
                      mc_component c) {
    double weight = mc_risk_weight_tooth(settings, tooth);
    if (c == MC_ROTATION && mc_tooth_is_round(tooth))
        weight = fmax(weight, settings->risk_round_rotation);
    if (c == MC_OCCLUSAL && mc_tooth_is_incisor(tooth)) {
        double end = mc_plan_at(plan, tooth, c, mc_plan_stages(plan, mc_tooth_arch(tooth)));
        if (mc_reaches(fabs(end), mc_component_least(c)))
            weight = fmax(weight, settings->risk_incisor_occlusal);
    }
    return weight;
}

bool mc_line_through_origin(const double *x, const double *y, size_t n, double *slope,
                            double *slope_sd, double *residual_sd) {
    double xx = 0, xy = 0, rest = 0;
    for (size_t i = 0; i < n; i++)
        xx += x[i] * x[i], xy += x[i] * y[i];
    if (n < 2 || xx <= 0)
        return false;
    *slope = xy / xx;
    for (size_t i = 0; i < n; i++)
        rest += (y[i] - *slope * x[i]) * (y[i] - *slope * x[i]);
    *residual_sd = sqrt(rest / (double)(n - 1));
    *slope_sd = *residual_sd / sqrt(xx);
    return true;
}
