/* One whole case to measure on, an invented mouth: 28 teeth, six components, twelve check-ups; and
 * the median of many runs in microseconds. */
#ifndef WHOLE_CASE_H
#define WHOLE_CASE_H

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "midcourse/tracking.h"
#include "random.h"

enum { RUNS = 401, CHECKUPS = 12, STAGES = 24, TEETH = 28 };

typedef struct {
    mc_plan *plan;
    mc_tooth_state states[MC_TEETH];
    mc_reading rows[CHECKUPS][TEETH];
    mc_checkup checkup[CHECKUPS];
} whole_case;

static inline void stop(const char *why) {
    fprintf(stderr, "%s\n", why);
    exit(1);
}

static inline double unit_of(int c) {
    return mc_component_is_linear((mc_component)c) ? 1 : 8;
}

/* Four listed stages in every component, with a turn here and there. */
static inline void plan_tooth(random_source *random, whole_case *all, mc_tooth tooth) {
    mc_error error;
    mc_plan_row row = {.tooth = tooth};
    for (row.stage = STAGES / 4; row.stage <= STAGES; row.stage += STAGES / 4) {
        for (int c = 0; c < MC_COMPONENTS; c++)
            row.pose.c[c] += unit_of(c) * random_between(random, -0.1, 0.5);
        if (mc_plan_add(all->plan, &row, &error) != MC_OK)
            stop(error.text);
    }
}

/* Every component of every tooth, by caliper at every second stage. */
static inline void read_tooth(random_source *random, whole_case *all, mc_tooth tooth) {
    for (int k = 0; k < CHECKUPS; k++) {
        mc_checkup *checkup = &all->checkup[k];
        mc_reading *r = &all->rows[k][checkup->count++];
        *r = mc_reading_none(tooth);
        r->seat_gap = 0.6 * random_unit(random) * random_unit(random);
        for (int c = 0; c < MC_COMPONENTS; c++)
            r->value[c] = 0.65 * mc_plan_at(all->plan, tooth, (mc_component)c, 2.0 * (k + 1)) +
                          0.35 * unit_of(c) * random_normal(random);
    }
}

static inline void draw_case(whole_case *all) {
    random_source random = random_seed(28);
    all->plan = mc_plan_new();
    if (!all->plan)
        stop("out of memory");
    for (int k = 0; k < CHECKUPS; k++)
        all->checkup[k] = (mc_checkup){.number = k + 1,
                                       .date = 20000 + 28 * k,
                                       .aligner = {2 * (k + 1), 2 * (k + 1)},
                                       .day = {-1, -1},
                                       .wear_hours = NAN,
                                       .method = MC_CALIPER,
                                       .rows = all->rows[k]};
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        bool stands = !mc_tooth_is_deciduous(t) && mc_tooth_position(t) < 8;
        all->states[t] = stands ? MC_TOOTH_PRESENT : MC_TOOTH_MISSING;
        if (stands) {
            plan_tooth(&random, all, t);
            read_tooth(&random, all, t);
        }
    }
}

/* A tracker that has taken in all of its check-ups. */
static inline mc_tracker *replay(const whole_case *all) {
    mc_settings settings;
    mc_error error;
    mc_settings_defaults(&settings);
    mc_tracker *tracker = mc_tracker_new(&settings);
    if (!tracker)
        stop("out of memory");
    mc_tracker_begin(tracker, all->plan, NULL);
    for (int k = 0; k < CHECKUPS; k++)
        if (mc_tracker_add(tracker, &all->checkup[k], &error) != MC_OK)
            stop(error.text);
    return tracker;
}

static inline double microseconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec * 1e6 + (double)now.tv_nsec / 1e3;
}

static inline int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static inline double median(double values[RUNS]) {
    qsort(values, RUNS, sizeof *values, by_size);
    return values[RUNS / 2];
}

#endif
