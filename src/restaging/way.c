/* One tooth's straight way: how far with one aligner, and how many it needs. */
#include "way.h"

#include <math.h>

/* Shares of the way left by rounding when equal steps are added up. */
static const double ROUNDING = 1e-12;

way way_of(const mc_settings *settings, mc_tooth tooth, const mc_pose *remaining,
           const double own_limit[MC_COMPONENTS]) {
    way w = {.tooth = tooth,
             .remaining = *remaining,
             .most = 1,
             .corner_limit = settings->step_corner_mm,
             .corner_speed = corner_bound(tooth, remaining)};
    double largest = 0;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const double size = fabs(remaining->c[c]);
        const double limit = own_limit[c] > 0
                                 ? own_limit[c]
                                 : mc_step_limit(settings, tooth, remaining, (mc_component)c);
        const double aligners = size / limit;
        if (aligners > largest) {
            largest = aligners;
            w.strictest = limit_of((mc_component)c, remaining->c[c]);
        }
        /* The count is ceil(aligners - 1e-9), and no step passes its limit by 1e-9; both, with
         * room for rounding. */
        if (aligners - 1e-9 > 1) {
            w.most = fmin(w.most, fmin(1 / (aligners - 1e-9), (limit + 5e-10) / size));
        }
    }
    return w;
}

mc_pose way_pose(const way *w, double lambda) {
    mc_pose pose = w->remaining;
    for (int c = 0; c < MC_COMPONENTS && lambda != 1; c++) {
        pose.c[c] = lambda * pose.c[c] + 0.0; /* no part of a way back is -0 */
    }
    return pose;
}

static double corner_way(const way *w, double from, double to) {
    const mc_pose before = way_pose(w, from), after = way_pose(w, to);
    return mc_corner_way(w->tooth, &before, &after);
}

static bool corner_passes(const way *w, double from, double to) {
    return mc_reaches(w->corner_limit, (to - from) * w->corner_speed) ||
           mc_reaches(w->corner_limit, corner_way(w, from, to));
}

double way_furthest(const way *w, double lambda) {
    double out = lambda + w->most;
    if (out > 1 - ROUNDING) {
        out = 1;
    }
    if (corner_passes(w, lambda, out)) {
        return out;
    }
    double in = lambda;
    for (int i = 0; i < 60; i++) {
        const double middle = in + (out - in) / 2;
        if (corner_way(w, lambda, middle) <= w->corner_limit) {
            in = middle;
        } else {
            out = middle;
        }
    }
    return in > 1 - ROUNDING ? 1 : in;
}

/* The aligners that the components alone need. */
static int by_components(const way *w) {
    const double aligners = ceil(1 / w->most - ROUNDING);
    return aligners > MC_MOST_STAGES ? MC_MOST_STAGES + 1 : (int)aligners;
}

int way_fewest(const way *w, mc_limit *by) {
    const int components = by_components(w);
    int n = 0;
    for (double lambda = 0; lambda < 1 && n <= MC_MOST_STAGES; n++) {
        lambda = way_furthest(w, lambda);
    }
    *by = n > components ? MC_LIMIT_CORNER : n > 1 ? w->strictest : MC_LIMIT_NONE;
    return n;
}

bool way_may_be_even(const way *w, int n) {
    int k = 0;
    while (k < n && corner_passes(w, (double)k / n, (double)(k + 1) / n)) {
        k++;
    }
    return k == n;
}
