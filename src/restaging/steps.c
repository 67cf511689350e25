/* The steps of a plan against what one aligner may do. */
#include "limit.h"

#include <math.h>

typedef struct look {
    const mc_settings *settings;
    mc_tooth tooth;
    mc_pose decides[MC_COMPONENTS]; /* whether angulation and inclination are root movement */
    void (*above)(void *context, mc_tooth tooth, int stage, mc_component c, double step,
                  double limit);
    void *context;
    size_t count;
} look;

static void report(look *l, int stage, mc_component c, double step, double limit) {
    l->count++;
    if (l->above) {
        l->above(l->context, l->tooth, stage, c, step, limit);
    }
}

/* The listed pose that says how component c of the tooth goes on the whole. */
static mc_pose deciding_pose(const mc_plan_row *rows, size_t count, mc_component c) {
    size_t most = count - 1;
    if (!mc_reaches(fabs(rows[most].pose.c[c]), mc_component_least(c))) {
        for (size_t i = 0; i < count; i++) {
            if (fabs(rows[i].pose.c[c]) > fabs(rows[most].pose.c[c])) {
                most = i;
            }
        }
    }
    return rows[most].pose;
}

/* The corner from stage to stage: its way differs where the tooth turns. */
static void look_at_corner(look *l, int stage, const mc_pose *last, const mc_pose *next) {
    const double limit = l->settings->step_corner_mm;
    const double way = mc_corner_way(l->tooth, last, next);
    if (!mc_reaches(limit, way)) {
        report(l, stage, MC_COMPONENTS, way, limit);
    }
}

/* The pose `share` steps on. */
static mc_pose further(const mc_pose *from, const mc_pose *step, int share) {
    mc_pose pose;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        pose.c[c] = from->c[c] + share * step->c[c];
    }
    return pose;
}

/* The stages from one listed stage to the next: the components' steps are all alike. */
static void look_at_piece(look *l, int from, int to, const mc_pose *before, const mc_pose *after) {
    mc_pose step, last = *before;
    double limit[MC_COMPONENTS];
    for (int c = 0; c < MC_COMPONENTS; c++) {
        step.c[c] = (after->c[c] - before->c[c]) / (to - from);
    }
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const bool turns = c == MC_ANGULATION || c == MC_INCLINATION;
        limit[c] =
            mc_step_limit(l->settings, l->tooth, turns ? &l->decides[c] : &step, (mc_component)c);
    }
    const bool corner = !mc_reaches(l->settings->step_corner_mm, corner_bound(l->tooth, &step));
    for (int stage = from + 1; stage <= to; stage++) {
        for (int c = 0; c < MC_COMPONENTS; c++) {
            if (!mc_reaches(limit[c], fabs(step.c[c]))) {
                report(l, stage, (mc_component)c, fabs(step.c[c]), limit[c]);
            }
        }
        if (corner) {
            const mc_pose next = further(before, &step, stage - from);
            look_at_corner(l, stage, &last, &next);
            last = next;
        }
    }
}

size_t mc_plan_steps_above(const mc_settings *settings, const mc_plan *plan,
                           void (*above)(void *context, mc_tooth tooth, int stage, mc_component c,
                                         double step, double limit),
                           void *context) {
    look l = {.settings = settings, .above = above, .context = context};
    for (l.tooth = 0; l.tooth < MC_TEETH; l.tooth++) {
        const mc_plan_row *rows;
        const size_t count = mc_plan_tooth_rows(plan, l.tooth, &rows);
        const mc_pose start = {{0}};
        for (int c = 0; c < MC_COMPONENTS && count > 0; c++) {
            l.decides[c] = deciding_pose(rows, count, (mc_component)c);
        }
        for (size_t i = 0; i < count; i++) {
            if (rows[i].stage > 0) {
                look_at_piece(&l, i > 0 ? rows[i - 1].stage : 0, rows[i].stage,
                              i > 0 ? &rows[i - 1].pose : &start, &rows[i].pose);
            }
        }
    }
    return l.count;
}
