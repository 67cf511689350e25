/* What if: a copy of a tracker led another way, so that what a choice brings can be forecast. */
#include "tracker.h"

#include <math.h>

/* A position known to be drawn: the state's first row and column shrink with it. */
static void draw(filter *f, double h, double at) {
    double left = 1 - h;
    f->mean[0] = left * f->mean[0] + h * at;
    f->sensitivity[0] *= left;
    f->cov[0][0] *= left * left;
    for (int i = 1; i < STATES; i++) {
        f->cov[0][i] *= left;
        f->cov[i][0] *= left;
    }
}

void mc_tracker_pull(mc_tracker *tracker, mc_tooth tooth, mc_component c, double h, double at) {
    filter *f = &tracker->filter[tooth][c];
    if (!f->followed)
        return;
    *f = mc_filter_now(tracker, tooth, c);
    draw(f, h, at);
}

/* One component goes back with its aligner. */
static void go_back(mc_tracker *tracker, mc_tooth tooth, mc_component c, double stage) {
    filter *f = &tracker->filter[tooth][c];
    double from, x, variance, there = mc_plan_at(tracker->plan, tooth, c, stage);
    if (!f->followed)
        return;
    *f = mc_filter_now(tracker, tooth, c);
    int direction = mc_plan_leg(tracker->plan, tooth, c, f->s, &from);
    mc_filter_position(tracker, f, &x, &variance);
    if (direction * (x - there) > 0)
        draw(f, 1, there);
    mc_filter_carry(f, tracker->plan, tooth, c, stage);
}

void mc_tracker_go_back(mc_tracker *tracker, mc_arch arch, double stage) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (mc_tooth_arch(t) != arch)
            continue;
        for (int c = 0; c < MC_COMPONENTS; c++)
            go_back(tracker, t, (mc_component)c, stage);
        tracker->findings[t].seat_gap = NAN; /* of another aligner */
    }
    tracker->effective_stage[arch] = stage;
}

void mc_tracker_advance(mc_tracker *tracker, mc_arch arch, double stage,
                        const bool grip[MC_TEETH]) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (mc_tooth_arch(t) != arch)
            continue;
        double part = grip[t] ? 1 : tracker->settings.grip_share;
        for (int c = 0; c < MC_COMPONENTS; c++) {
            filter *f = &tracker->filter[t][c];
            if (!f->followed)
                continue;
            *f = mc_filter_now(tracker, t, (mc_component)c);
            if (stage > f->s)
                mc_filter_carry_part(f, tracker->plan, t, (mc_component)c, stage, part);
        }
    }
    tracker->effective_stage[arch] = stage;
}

void mc_tracker_correct(mc_tracker *tracker, const mc_plan *plan, const mc_start *start,
                        const mc_pose off[MC_TEETH]) {
    bool known[MC_TEETH][MC_COMPONENTS];
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++)
            known[t][c] = tracker->filter[t][c].followed;
    mc_tracker_begin(tracker, plan, start);
    for (int a = 0; a < MC_ARCHES; a++)
        tracker->effective_stage[a] = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            filter *f = &tracker->filter[t][c];
            f->followed = known[t][c];
            f->mean[0] = off[t].c[c];
            f->cov[0][0] = start->variance[t][c]; /* also where the arch has no series any more */
        }
}

double mc_tracker_stage(const mc_tracker *tracker, mc_arch arch) {
    return tracker->effective_stage[arch];
}
