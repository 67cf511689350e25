/* What one aligner may do, said again from the words of the method: it shares no code with the room
 * that it checks. */
#ifndef MIDCOURSE_TESTS_IN_WORDS_H
#define MIDCOURSE_TESTS_IN_WORDS_H

#include <math.h>

#include "midcourse/restaging.h"

/* mm or deg, of a tooth whose whole remaining pose is given. */
static inline double limit_in_words(mc_tooth tooth, const mc_pose *remaining, int c) {
    static const double tipping = 2, root = 1, degree = 3.14159265358979323846 / 180;
    const double angle = remaining->c[c];
    switch (c) {
    case MC_MESIAL:
    case MC_BUCCAL:
        return 0.25;
    case MC_OCCLUSAL:
        return angle < 0 ? 0.20 : 0.15;
    case MC_ROTATION:
        return mc_tooth_is_round(tooth) ? 1.5 : 2;
    default: {
        /* does the apex go farther than the crown's edge? both seen from the crown's centre */
        const double t = remaining->c[c == MC_ANGULATION ? MC_MESIAL : MC_BUCCAL];
        const double r = mc_tooth_usual_size(tooth).root_length;
        const double along = angle > 0 ? t : -t;
        return angle != 0 && along + 1e-9 < r * fabs(sin(angle * degree)) / 2 ? root : tipping;
    }
    }
}

/* The way of the crown's corners, by moving each of them. */
static inline double corners_in_words(mc_tooth tooth, const mc_pose *from, const mc_pose *to) {
    const mc_tooth_size size = mc_tooth_usual_size(tooth);
    double most = 0;
    for (int corner = 0; corner < 8; corner++) {
        const double x[3] = {(corner & 4 ? 0.5 : -0.5) * size.crown_width,
                             (corner & 2 ? 0.5 : -0.5) * size.crown_thickness,
                             (corner & 1 ? 0.5 : -0.5) * size.crown_height};
        double a[3], b[3];
        mc_pose_apply(from, x, a);
        mc_pose_apply(to, x, b);
        most = fmax(most, hypot(hypot(b[0] - a[0], b[1] - a[1]), b[2] - a[2]));
    }
    return most;
}

static inline mc_pose part_of(const mc_pose *whole, double lambda) {
    mc_pose part;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        part.c[c] = lambda * whole->c[c];
    }
    return part;
}

#endif
