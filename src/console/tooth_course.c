/* The course of one component as the check-ups and the forecast have it. */
#include "tooth_view.h"

#include <math.h>

/* Half width of a 90 % interval in standard deviations. */
static const double NINETY = 1.6448536269514722;

size_t tooth_first_on_plan(const chart_view *chart) {
    const mc_assessment *a = chart->a;
    return a->score ? a->checkups - 1 - a->checkups_before_on_plan : a->checkups;
}

static bool was_followed(const chart_view *chart, mc_tooth tooth, mc_component c) {
    return chart->a->score && chart->a->score->tooth[tooth].item[c].followed;
}

bool tooth_has_course(const chart_view *chart, mc_tooth tooth, mc_component c) {
    const mc_assessment *a = chart->a;
    if (!a->has_plan || mc_plan_stages(a->plan, mc_tooth_arch(tooth)) == 0)
        return false;
    return was_followed(chart, tooth, c) ||
           mc_reaches(fabs(mc_plan_extreme(a->plan, tooth, c)), mc_component_least(c));
}

int tooth_first_component(const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    if (score && score->worst >= 0)
        return score->worst;
    int end = chart_furthest_end(chart, tooth);
    if (end >= 0)
        return end;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (tooth_has_course(chart, tooth, (mc_component)c))
            return c;
    return 0;
}

static bool there(const tooth_view *tooth, int component) {
    return tooth_has_course(tooth->chart, tooth->chart->cursor, (mc_component)component);
}

int tooth_component(const tooth_view *tooth) {
    if (there(tooth, tooth->component))
        return tooth->component;
    int first = tooth_first_component(tooth->chart, tooth->chart->cursor);
    return there(tooth, first) ? first : tooth->component;
}

int tooth_next_component(const tooth_view *tooth, int step) {
    int from = tooth_component(tooth), c = from;
    do
        c = (c + step + MC_COMPONENTS) % MC_COMPONENTS;
    while (c != from && !there(tooth, c));
    return c;
}

static bool is_planned(const tooth_view *tooth, mc_component c) {
    return mc_reaches(fabs(mc_plan_extreme(tooth->chart->a->plan, tooth->chart->cursor, c)),
                      mc_component_least(c));
}

/* How much a plot of the component is worth: -1 with nothing to see; what may end outside most,
 * then what is planned, then what was read. */
static double worth(const tooth_view *tooth, int component) {
    static const double may_end_outside = 0.05;
    const mc_component c = (mc_component)component;
    const mc_component_forecast *f = chart_component_end(tooth->chart, tooth->chart->cursor, c);
    if (!there(tooth, component))
        return -1;
    if (f && mc_reaches(f->p_out, may_end_outside))
        return 2 + f->p_out;
    return is_planned(tooth, c) ? 1 : 0;
}

/* The worthiest that is not taken; of one kind alone where that is asked. -1: none is left. */
static int worthiest(const tooth_view *tooth, const bool taken[MC_COMPONENTS], bool one_kind,
                     bool linear) {
    int best = -1;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        bool fits = !one_kind || mc_component_is_linear((mc_component)c) == linear;
        if (fits && !taken[c] && (best < 0 || worth(tooth, c) > worth(tooth, best)))
            best = c;
    }
    return best;
}

void tooth_choose_plots(const tooth_view *tooth, int plots, mc_component out[MC_COMPONENTS]) {
    bool taken[MC_COMPONENTS] = {false};
    int under = tooth_component(tooth), count = 0;
    taken[under] = true;
    for (int i = 1; i < plots; i++) {
        bool linear = mc_component_is_linear((mc_component)under);
        int any = worthiest(tooth, taken, false, false);
        int other = i == 1 ? worthiest(tooth, taken, true, !linear) : any;
        /* an empty one keeps its side where there is nothing else to see */
        bool seen = there(tooth, other) || !there(tooth, any);
        taken[seen ? other : any] = true;
    }
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (taken[c])
            out[count++] = (mc_component)c;
}

const char *tooth_note(const tooth_view *tooth, int number) {
    for (size_t i = 0; i < tooth->kept_count; i++)
        if (tooth->kept[i].checkup.number == number && tooth->kept[i].checkup.note)
            return tooth->kept[i].checkup.note;
    return "";
}

/* The latest check-ups on this plan, as many as there is room for, at which it was known. */
static void take_points(const chart_view *chart, mc_tooth tooth, mc_component c, plot_course *out) {
    const mc_assessment *a = chart->a;
    size_t first = tooth_first_on_plan(chart);
    if (a->checkups - first > PLOT_POINTS)
        first = a->checkups - PLOT_POINTS;
    for (size_t i = first; i < a->checkups; i++) {
        const mc_item *item = &a->scores[i].tooth[tooth].item[c];
        double stage = a->scores[i].effective_stage[mc_tooth_arch(tooth)];
        if (!item->followed || isnan(stage))
            continue;
        out->point[out->points++] = (plot_point){.stage = stage,
                                                 .observed = item->read ? item->observed : NAN,
                                                 .sd = item->sd,
                                                 .estimate = item->mean,
                                                 .estimate_sd = item->sd_x};
    }
}

/* From the check-up on; the end itself as the forecast has it. */
static void take_band(const chart_view *chart, mc_tooth tooth, mc_component c, int cols,
                      plot_course *out) {
    const mc_assessment *a = chart->a;
    const mc_component_forecast *f = chart_component_end(chart, tooth, c);
    if (!f || isnan(out->now))
        return;
    out->end = f->end;
    for (int col = plot_col(out, cols, out->now); a->tracker && col < cols; col++) {
        double mean, sd;
        if (!mc_tracker_ahead(a->tracker, tooth, c, a->forecast.tooth[tooth].grip,
                              plot_stage(out, cols, col), &mean, &sd))
            continue;
        out->low[col] = mean - NINETY * sd;
        out->high[col] = mean + NINETY * sd;
    }
}

void tooth_course(const chart_view *chart, mc_tooth tooth, mc_component c, int cols,
                  plot_course *out) {
    const mc_assessment *a = chart->a;
    int stages = mc_plan_stages(a->plan, mc_tooth_arch(tooth));
    *out = (plot_course){
        .stages = stages,
        .now = a->score ? a->score->effective_stage[mc_tooth_arch(tooth)] : NAN,
        .tolerance = mc_tolerance(&a->settings, c),
        .finish = mc_finishing_tolerance(&a->settings, c),
        .target = mc_plan_at(a->plan, tooth, c, stages),
        .end = NAN,
    };
    for (int i = 0; i < 2 * cols; i++)
        out->plan[i] = mc_plan_at(a->plan, tooth, c, plot_half_stage(out, cols, i));
    for (int i = 0; i < cols; i++)
        out->low[i] = out->high[i] = NAN;
    take_points(chart, tooth, c, out);
    take_band(chart, tooth, c, cols, out);
}
