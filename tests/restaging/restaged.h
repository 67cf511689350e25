/* Tasks, and an account of limits that shares no code with the room it checks. */
#ifndef RESTAGED_H
#define RESTAGED_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "midcourse/restaging.h"
#include "near.h"
#include "random.h"

typedef struct restaged {
    mc_settings settings;
    mc_restage_ask ask;
    mc_restaged out;
    mc_plan *plan;
} restaged;

static inline restaged restaged_new(void) {
    restaged r;
    memset(&r, 0, sizeof r);
    mc_settings_defaults(&r.settings);
    return r;
}

/* From stage 0 to a target. */
static inline void restaged_to(restaged *r, int iso, mc_pose target) {
    r->ask.task[mc_tooth_from_iso(iso)] = (mc_remaining_task){.move = true, .target = target};
}

static inline void restaged_run(restaged *r) {
    mc_error error;
    mc_plan_free(r->plan);
    if (mc_restage(&r->settings, &r->ask, &r->out, &r->plan, &error) != MC_OK) {
        fail_msg("%s", error.text);
    }
    assert_non_null(r->plan);
}

static inline const mc_restaged_tooth *restaged_tooth(const restaged *r, int iso) {
    return &r->out.tooth[mc_tooth_from_iso(iso)];
}

/* A random task: up to 2.5 mm and 25 deg in each component, about half of them zero. */
static inline mc_remaining_task restaged_random(random_source *source) {
    mc_remaining_task task = {.move = true};
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const double most = c <= MC_OCCLUSAL ? 2.5 : 25;
        task.present.c[c] = random_below(source, 2) ? random_between(source, -most, most) / 4 : 0;
        task.target.c[c] = random_below(source, 2) ? random_between(source, -most, most) : 0;
    }
    return task;
}

/* What one aligner may do, said again from the words of the method. */
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
