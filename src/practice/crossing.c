/* Crowns of a plan that is to be signed, where they were measured: a file that was changed by hand
 * may let neighbours run into each other. */
#include "practice.h"

static const double ROUNDING = 1e-6; /* what reading a file again may add */

/* Two neighbours, `left` further to the patient's left. */
typedef struct {
    mc_tooth right, left;
    mc_crown one, other; /* where they are */
} pair;

static mc_tooth next_to_left(mc_tooth tooth, const bool stands[MC_TEETH]) {
    return mc_tooth_is_right(tooth) ? mc_tooth_mesial(tooth, stands)
                                    : mc_tooth_distal(tooth, stands);
}

static double overlap_at(const pair *p, const mc_plan *plan, int stage) {
    const mc_pose one = mc_plan_pose(plan, p->right, stage);
    const mc_pose other = mc_plan_pose(plan, p->left, stage);
    const mc_crown right = mc_crown_moved(p->right, &p->one, &one);
    const mc_crown left = mc_crown_moved(p->left, &p->other, &other);
    return mc_crown_overlap(p->right, &right, p->left, &left);
}

static double granted_by(const pair *p, const mc_plan *plan, int stage) {
    return mc_plan_ipr(plan, p->right, mc_tooth_is_right(p->right), stage) +
           mc_plan_ipr(plan, p->left, !mc_tooth_is_right(p->left), stage);
}

/* The stage at which they overlap by most more than is allowed; 0 where they never do. */
static int worst_stage(const pair *p, const mc_plan *plan, double *overlap, double *too_much) {
    const double start = overlap_at(p, plan, 0);
    int worst = 0;
    *too_much = ROUNDING;
    for (int k = 1; k <= mc_plan_stages(plan, mc_tooth_arch(p->right)); k++) {
        const double now = overlap_at(p, plan, k);
        const double more = now - mc_overlap_allowed(granted_by(p, plan, k), start);
        if (more > *too_much) {
            worst = k;
            *overlap = now;
            *too_much = more;
        }
    }
    return worst;
}

mc_status mc_warn_of_crossing(const mc_assessment *a, const mc_plan *plan, mc_warnings *warnings,
                              mc_error *error) {
    mc_arches arches;
    bool stands[MC_TEETH];
    mc_status status = MC_OK;
    mc_assess_arches(a, &arches);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        stands[t] = arches.crown[t].stands && !arches.estimated[mc_tooth_arch(t)];
    for (mc_tooth t = 0; t < MC_TEETH && status == MC_OK; t++) {
        const mc_tooth next = stands[t] ? next_to_left(t, stands) : MC_NO_TOOTH;
        double overlap, too_much;
        if (next == MC_NO_TOOTH)
            continue;
        const mc_pose here = mc_assess_pose(a, t), there = mc_assess_pose(a, next);
        const pair p = {.right = t,
                        .left = next,
                        .one = mc_arches_crown(&arches, t, &here),
                        .other = mc_arches_crown(&arches, next, &there)};
        const int stage = worst_stage(&p, plan, &overlap, &too_much);
        if (stage > 0)
            status = mc_warnings_add(
                warnings, error, 0, 0,
                "%02d and %02d would overlap by %.2f mm at stage %d, %.2f more than is allowed",
                mc_tooth_iso(t), mc_tooth_iso(next), overlap, stage, mc_up_to_hundredths(too_much));
    }
    return status;
}
