/* Where the crowns of a case's arches stand. */
#include "practice.h"

#include <string.h>

/* On an arch form, every tooth at its last pose and all of the plan's IPR done. */
static void estimate(const mc_assessment *a, const bool stands[MC_TEETH], mc_arches *out) {
    mc_pose target[MC_TEETH];
    mc_tooth_ipr due[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const double end = mc_plan_stages(a->plan, mc_tooth_arch(t));
        target[t] = mc_plan_pose(a->plan, t, end);
        due[t] = (mc_tooth_ipr){.mesial.mm = mc_plan_ipr(a->plan, t, true, end),
                                .distal.mm = mc_plan_ipr(a->plan, t, false, end)};
    }
    mc_arches_estimate(stands, target, due, out);
}

void mc_assess_arches(const mc_assessment *a, mc_arches *out) {
    bool stands[MC_TEETH];
    memset(out, 0, sizeof *out);
    if (!a->has_plan)
        return;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        stands[t] = mc_tooth_stands(a->states[t]);
    estimate(a, stands, out);
}
