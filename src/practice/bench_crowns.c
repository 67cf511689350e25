/* Where crowns stand on the bench: measured, and moved to where the teeth are; or estimated where
 * the bench wants them, and taken back from there. */
#include "bench.h"

#include <math.h>

/* The crown at the present pose, which what remains carries to `target` exactly. */
static mc_crown taken_back(mc_tooth tooth, const mc_crown *at_target, const mc_pose *present,
                           const mc_pose *target) {
    mc_pose left;
    if (mc_pose_between(present, target, &left, NULL) != MC_OK)
        return *at_target; /* re-staging refuses it, by name */
    for (int c = 0; c < MC_COMPONENTS; c++)
        left.c[c] = -left.c[c];
    return mc_crown_moved(tooth, at_target, &left);
}

/* The estimate by the bench's own targets, without overcorrection: that is no place where anything
 * is to stand. */
static void estimate(const mc_bench *bench, const bench_made *made, mc_pose target[MC_TEETH],
                     mc_arches *out) {
    bool stands[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        stands[t] = mc_tooth_stands(bench->a->states[t]);
        target[t] = stands[t] ? bench_target(bench, &made->wish[t], t) : (mc_pose){{0}};
    }
    mc_arches_estimate(stands, target, made->ask.ipr, out);
}

void bench_crowns(const mc_bench *bench, bench_made *made) {
    mc_pose target[MC_TEETH];
    mc_arches measured, estimated;
    mc_assess_arches(bench->a, &measured);
    estimate(bench, made, target, &estimated);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        made->arches.estimated[arch] = measured.estimated[arch];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const bool guessed = measured.estimated[mc_tooth_arch(t)];
        const mc_pose *present = &made->ask.task[t].present;
        const mc_arches *from = guessed ? &estimated : &measured;
        mc_crown *crown = &made->ask.crown[t];
        *crown = from->crown[t];
        if (crown->stands)
            *crown = guessed ? taken_back(t, &from->crown[t], present, &target[t])
                             : mc_arches_crown(from, t, present);
        made->arches.crown[t] = *crown;
    }
    made->ask.check_overlap = true;
}
