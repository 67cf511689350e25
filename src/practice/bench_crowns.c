/* Where crowns stand on the bench: measured, and moved to where the teeth are; or estimated where
 * the present plan ends, and taken back from there. */
#include "bench.h"

#include <string.h>

/* The crown at the present pose, which what remains carries to `end` exactly. */
static mc_crown taken_back(mc_tooth tooth, const mc_crown *at_end, const mc_pose *present,
                           const mc_pose *end) {
    mc_pose left;
    if (mc_pose_between(present, end, &left, NULL) != MC_OK)
        return *at_end; /* re-staging refuses it, by name */
    for (int c = 0; c < MC_COMPONENTS; c++)
        left.c[c] = -left.c[c];
    return mc_crown_moved(tooth, at_end, &left);
}

/* Where the present plan ends its teeth touch, the IPR that it still has being done. A target that
 * is changed on the bench, and IPR granted or taken away there, are held against that: an estimate
 * made from them would put the crowns side by side wherever they are sent. */
static void estimate(const mc_bench *bench, mc_pose end[MC_TEETH], mc_arches *out) {
    bool stands[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        stands[t] = mc_tooth_stands(bench->a->states[t]);
        end[t] = mc_plan_pose(bench->a->plan, t, MC_MOST_STAGES);
    }
    mc_arches_estimate(stands, end, bench->left, out);
}

void bench_crowns(mc_bench *bench) {
    mc_arches measured, estimated;
    mc_pose end[MC_TEETH];
    mc_assess_arches(bench->a, &measured);
    estimate(bench, end, &estimated);
    bench->arches =
        (mc_arches){.estimated = {measured.estimated[MC_UPPER], measured.estimated[MC_LOWER]}};
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const bool guessed = measured.estimated[mc_tooth_arch(t)];
        const mc_pose present = mc_assess_pose(bench->a, t);
        mc_crown *crown = &bench->arches.crown[t];
        *crown = guessed ? estimated.crown[t] : measured.crown[t];
        if (crown->stands)
            *crown = guessed ? taken_back(t, crown, &present, &end[t])
                             : mc_arches_crown(&measured, t, &present);
    }
}
