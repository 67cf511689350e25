/* Where crowns stand on the bench: measured, and moved to where the teeth are; or estimated where
 * the bench wants them, and taken back from there. */
#include "bench.h"

#include <math.h>
#include <string.h>

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

/* The estimate takes longer than all the rest, and most changes leave it as it was: where crowns
 * end on an arch form goes by who stands and what is ground, not by how far each is from there. */
static bool rests_on_the_same(const bench_made *before, const bench_made *made) {
    bool same = before != NULL;
    for (mc_tooth t = 0; same && t < MC_TEETH; t++) {
        const mc_tooth_ipr *one = &before->rests_on[t], *other = &made->rests_on[t];
        same = one->mesial.mm == other->mesial.mm && one->distal.mm == other->distal.mm;
    }
    return same;
}

/* The IPR without which the targets would overlap: what the plan that they come from has left. What
 * the doctor grants besides makes room, and what is taken away from it is missed. */
static mc_tooth_ipr rests_on(const mc_bench *bench, const bench_wish *wish, mc_tooth tooth) {
    mc_tooth_ipr out = bench->left[tooth];
    if (!isnan(wish->rests_on[0]))
        out.mesial.mm = wish->rests_on[0];
    if (!isnan(wish->rests_on[1]))
        out.distal.mm = wish->rests_on[1];
    return out;
}

/* The estimate by the bench's own targets, without overcorrection: that is no place where anything
 * is to stand. */
static void estimate(const mc_bench *bench, bench_made *made) {
    bool stands[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        stands[t] = mc_tooth_stands(bench->a->states[t]);
        made->target[t] = stands[t] ? bench_target(bench, &made->wish[t], t) : (mc_pose){.c = {0}};
        made->rests_on[t] = rests_on(bench, &made->wish[t], t);
    }
    if (rests_on_the_same(bench->made, made)) {
        made->estimated = bench->made->estimated;
        memcpy(made->estimated.at, made->target, sizeof made->target);
    } else {
        mc_arches_estimate(stands, made->target, made->rests_on, &made->estimated);
    }
}

void bench_crowns(const mc_bench *bench, bench_made *made) {
    const mc_arches *measured = &bench->measured;
    memcpy(made->arches.estimated, measured->estimated, sizeof measured->estimated);
    if (measured->estimated[MC_UPPER] || measured->estimated[MC_LOWER])
        estimate(bench, made);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const bool guessed = measured->estimated[mc_tooth_arch(t)];
        const mc_pose *present = &made->ask.task[t].present;
        const mc_arches *from = guessed ? &made->estimated : measured;
        mc_crown *crown = &made->ask.crown[t];
        *crown = from->crown[t];
        if (crown->stands)
            *crown = guessed ? taken_back(t, &from->crown[t], present, &made->target[t])
                             : mc_arches_crown(from, t, present);
        made->arches.crown[t] = *crown;
    }
    made->ask.check_overlap = true;
}
