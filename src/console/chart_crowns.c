/* The crowns of a chart's case as the arches draw them. */
#include "chart_crowns.h"

#include "chart_ahead.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- where the crowns are ---- */

/* The components that show in the occlusal plane. */
static const mc_component IN_PLANE[] = {MC_MESIAL, MC_BUCCAL, MC_ROTATION};
enum { IN_PLANE_COUNT = sizeof IN_PLANE / sizeof *IN_PLANE };

static mc_pose planned_pose(const console *con, const chart_view *chart, mc_tooth tooth) {
    mc_pose pose = {{0}};
    for (int i = 0; i < IN_PLANE_COUNT; i++) {
        double at = chart->steps != 0 ? chart_ahead_planned(con, chart, tooth, IN_PLANE[i])
                                      : chart_planned(con, chart, tooth, IN_PLANE[i]);
        pose.c[IN_PLANE[i]] = isnan(at) ? 0 : at;
    }
    return pose;
}

/* Where it most likely is; a component that was never read is taken as planned at the check-up.
 * False where none was read. */
static bool present_pose(const console *con, const chart_view *chart, mc_tooth tooth,
                         mc_pose *pose) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    bool known = false;
    *pose = (mc_pose){{0}};
    for (int i = 0; i < IN_PLANE_COUNT; i++) {
        mc_component c = IN_PLANE[i];
        double at = chart_planned(con, chart, tooth, c);
        bool followed = score && score->item[c].followed;
        pose->c[c] = followed ? score->item[c].mean : isnan(at) ? 0 : at;
        known = known || followed;
    }
    return known;
}

/* ---- how they look ---- */

static canvas_fill fill_of(mc_state state) {
    switch (state) {
    case MC_STATE_STALLED:
    case MC_STATE_BEHIND:
        return FILL_HALF;
    case MC_STATE_DRIFTING:
    case MC_STATE_PAST_PLAN:
        return FILL_STRIPES;
    case MC_STATE_SLIPPING:
        return FILL_SPARSE;
    default:
        return FILL_NONE;
    }
}

/* The mark beside a crown: its state's, where that is not "on plan"; else what makes it matter. */
static mark flag_of(const chart_view *chart, mc_tooth tooth, mc_state state) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    if (fill_of(state) != FILL_NONE)
        return mark_of_state(state);
    if (score && chart_care(score))
        return MARK_CARE;
    if (!mc_tooth_may_move(chart->a->states[tooth]))
        return MARK_FIXED;
    return state == MC_STATE_ON_PLAN ? MARKS : mark_of_state(state);
}

static void fill_now(const console *con, const chart_view *chart, mc_tooth tooth, arch_tooth *out) {
    mc_state state = chart_state(chart, tooth);
    out->fill = fill_of(state);
    out->flag = flag_of(chart, tooth, state);
    out->ink = out->flag == MARK_CARE           ? STYLE_CARE
               : chart_hides(con, chart, tooth) ? STYLE_FAINT
                                                : style_of_state(state);
}

/* At another stage no state is shown, and what is due there is. */
static void fill_ahead(const console *con, const chart_view *chart, mc_tooth tooth,
                       arch_tooth *out) {
    mc_mark due = chart_ahead_mark(con, chart, tooth);
    bool ipr = chart_ahead_ipr(con, chart, tooth, true) > 0 ||
               chart_ahead_ipr(con, chart, tooth, false) > 0;
    out->ink = chart_ahead_moves(con, chart, tooth) ? STYLE_PLAIN : STYLE_FAINT;
    out->flag = due == MC_MARK_PLACED    ? MARK_PLACED
                : due == MC_MARK_REMOVED ? MARK_REMOVED
                : ipr                    ? MARK_IPR
                                         : MARKS;
}

static void fill_tooth(const console *con, const chart_view *chart, mc_tooth tooth,
                       arch_tooth *out) {
    const mc_arches *arches = &chart->crowns.arches;
    *out = (arch_tooth){.flag = MARKS};
    if (!arches->crown[tooth].stands || !chart_stands(chart, tooth))
        return;
    mc_pose wanted = planned_pose(con, chart, tooth), now;
    bool known = present_pose(con, chart, tooth, &now);
    out->wanted = mc_arches_crown(arches, tooth, &wanted);
    out->now = mc_arches_crown(arches, tooth, &now);
    out->now.stands = known || chart_state(chart, tooth) == MC_STATE_ON_PLAN;
    if (chart->steps != 0)
        fill_ahead(con, chart, tooth, out);
    else
        fill_now(con, chart, tooth, out);
}

/* ---- kept until something changes ---- */

/* Whether what the arches rest on is as it was when they were found. */
static bool rest_on_the_same(const chart_crowns *crowns, const mc_assessment *a) {
    return crowns->found && a->has_plan && mc_id_same(&crowns->plan, &a->info.id) &&
           memcmp(crowns->states, a->states, sizeof crowns->states) == 0 &&
           memcmp(crowns->measured_at, a->measured_at, sizeof crowns->measured_at) == 0 &&
           memcmp(&crowns->measured, &a->measured, sizeof crowns->measured) == 0;
}

static void remember(chart_crowns *crowns, const mc_assessment *a) {
    crowns->found = a->has_plan;
    crowns->plan = a->info.id;
    memcpy(crowns->states, a->states, sizeof crowns->states);
    memcpy(crowns->measured_at, a->measured_at, sizeof crowns->measured_at);
    memcpy(&crowns->measured, &a->measured, sizeof crowns->measured);
}

void chart_find_crowns(chart_view *chart) {
    chart_crowns *crowns = &chart->crowns;
    if (crowns->known)
        return;
    crowns->known = true;
    crowns->filled = false;
    if (rest_on_the_same(crowns, chart->a))
        return;
    mc_assess_arches(chart->a, &crowns->arches);
    arch_picture_frame(&crowns->picture, &crowns->arches);
    remember(crowns, chart->a);
}

static void bring_teeth(const console *con, chart_view *chart) {
    chart_crowns *crowns = &chart->crowns;
    if (crowns->filled && crowns->steps == chart->steps && crowns->only_off == chart->only_off)
        return;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        fill_tooth(con, chart, tooth, &crowns->picture.tooth[tooth]);
    arch_picture_changed(&crowns->picture);
    crowns->filled = true;
    crowns->steps = chart->steps;
    crowns->only_off = chart->only_off;
}

/* ---- drawing and words ---- */

static void caption(const console *con, const chart_view *chart, mc_arch arch, char out[40]) {
    double stage = chart_ahead_stage(con, chart, arch);
    const char *name = arch == MC_UPPER ? "upper" : "lower";
    if (isnan(stage))
        snprintf(out, 40, "%s", name);
    else
        snprintf(out, 40, "%s, stage %.1f", name, stage);
}

void chart_draw_crowns(const console *con, chart_view *chart, const arch_sight *sight, area box,
                       arch_drawn *drawn) {
    char text[MC_ARCHES][40];
    arch_sight seen = *sight;
    chart_find_crowns(chart);
    bring_teeth(con, chart);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        caption(con, chart, (mc_arch)arch, text[arch]);
        seen.caption[arch] = text[arch];
    }
    if (chart->steps != 0)
        seen.enlarge = 1;
    arch_draw(&con->theme, &chart->crowns.picture, &seen, box, drawn);
}

void chart_crowns_text(const chart_view *chart, const arch_drawn *drawn, char *out, size_t size) {
    const bool *estimated = chart->crowns.arches.estimated;
    out[0] = '\0';
    if (drawn->dots_per_mm <= 0)
        return;
    if (chart->steps != 0)
        words_add(out, size, "Dotted: this stage; solid: at the check-up. ");
    else
        words_add(out, size, "Dotted: plan; solid: tooth, lag drawn x%g. ", drawn->enlarge);
    if (estimated[MC_UPPER] && estimated[MC_LOWER])
        words_add(out, size, "Crowns estimated from usual sizes.");
    else if (estimated[MC_UPPER] || estimated[MC_LOWER])
        words_add(out, size, "%s crowns estimated from usual sizes.",
                  estimated[MC_UPPER] ? "Upper" : "Lower");
    else
        words_add(out, size, "Crowns as measured.");
}
