/* A whole mouth drawn by chance: plans with turns and rests, and check-ups of everything that can
 * be read. Invented; only for comparing one computation with another. */
#ifndef RANDOM_MOUTH_H
#define RANDOM_MOUTH_H

#include "mouth.h"
#include "random.h"

enum { DRAWN_STAGES = 24, DRAWN_ROWS = 80 };

/* Three to six listed stages for every tooth that stands, in most of the components. */
static inline void draw_plan(random_source *random, mouth *m) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        mc_pose pose = {{0}};
        double rate[MC_COMPONENTS];
        int stage = 0;
        for (int c = 0; c < MC_COMPONENTS; c++)
            rate[c] = random_unit(random) < 0.45 ? 0 : random_normal(random);
        while (m->states[t] == MC_TOOTH_PRESENT && stage < DRAWN_STAGES) {
            int to = stage + 3 + random_below(random, 6);
            to = to > DRAWN_STAGES ? DRAWN_STAGES : to;
            double speed = random_unit(random) < 0.2    ? 0
                           : random_unit(random) < 0.15 ? -0.05
                                                        : 0.05;
            for (int c = 0; c < MC_COMPONENTS; c++)
                pose.c[c] += speed * rate[c] * (to - stage) *
                             (mc_component_is_linear((mc_component)c) ? 1 : 8);
            stage = to;
            mouth_plan(m, mc_tooth_iso(t), stage, pose);
        }
    }
}

/* Readings of most components of a tooth, about two thirds of what is planned, and a finding here
 * and there. */
static inline mc_reading draw_reading(random_source *random, const mouth *m, mc_tooth t,
                                      double stage) {
    mc_reading r = mc_reading_none(t);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        double size = mc_component_is_linear((mc_component)c) ? 0.3 : 2;
        double noise = size * random_normal(random);
        if (random_unit(random) < 0.7)
            r.value[c] = 0.65 * mc_plan_at(m->plan, t, (mc_component)c, stage) + noise;
    }
    if (random_unit(random) < 0.5)
        r.seat_gap = 0.7 * random_unit(random) * random_unit(random);
    if (random_unit(random) < 0.3)
        r.method = random_below(random, MC_METHODS);
    if (random_unit(random) < 0.1)
        r.attachment = MC_ATTACHMENT_LOOSE;
    if (random_unit(random) < 0.1)
        r.mobility = 1 + random_below(random, 3);
    return r;
}

/* One row for most teeth, a second one for some. Returns how many. */
static inline size_t draw_rows(random_source *random, const mouth *m, double stage,
                               mc_reading rows[DRAWN_ROWS]) {
    size_t count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (m->states[t] != MC_TOOTH_PRESENT || random_unit(random) < 0.15)
            continue;
        rows[count++] = draw_reading(random, m, t, stage);
        if (random_unit(random) < 0.25)
            rows[count++] = draw_reading(random, m, t, stage);
    }
    return count;
}

#endif
