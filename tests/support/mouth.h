/* A mouth for tests: a plan, its tracker, and check-ups one after the other. Invented values only.
 */
#ifndef MOUTH_H
#define MOUTH_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "midcourse/tracking.h"

typedef struct {
    mc_settings settings;
    mc_plan *plan;
    mc_tracker *tracker;
    mc_tooth_state states[MC_TEETH]; /* permanent teeth but third molars present */
    mc_score *score;
    int number;
} mouth;

static inline mouth mouth_new(void) {
    mouth m = {.plan = mc_plan_new(), .score = calloc(1, sizeof(mc_score))};
    mc_settings_defaults(&m.settings);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        m.states[t] = mc_tooth_is_deciduous(t) || mc_tooth_position(t) == 8 ? MC_TOOTH_MISSING
                                                                            : MC_TOOTH_PRESENT;
    assert_non_null(m.plan);
    assert_non_null(m.score);
    return m;
}

static inline void mouth_plan(mouth *m, int iso, int stage, mc_pose pose) {
    mc_error error;
    mc_plan_row row = {.tooth = mc_tooth_from_iso(iso), .stage = stage, .pose = pose};
    if (mc_plan_add(m->plan, &row, &error) != MC_OK)
        fail_msg("%s", error.text);
}

static inline void mouth_begin(mouth *m) {
    m->tracker = mc_tracker_new(&m->settings);
    assert_non_null(m->tracker);
    mc_tracker_begin(m->tracker, m->plan, NULL);
}

/* From here on a scan is read without error: its standard deviation is so small that x is the
 * reading and SD is 0. To be called before mouth_begin. */
static inline void mouth_read_exactly(mouth *m) {
    m->settings.scan_mm = m->settings.scan_deg = 1e-150;
}

/* A reading of one component, as displacement from stage 0. */
static inline mc_reading mouth_reading(int iso, mc_component c, double value) {
    mc_reading r = mc_reading_none(mc_tooth_from_iso(iso));
    r.value[c] = value;
    return r;
}

static inline const mc_tooth_score *mouth_tooth(const mouth *m, int iso) {
    return &m->score->tooth[mc_tooth_from_iso(iso)];
}

/* A check-up on the given day (negative: not known) of the given aligner of every arch that has a
 * series. */
static inline mc_score *mouth_checkup_on(mouth *m, int aligner, int day, mc_method method,
                                         const mc_reading *rows, size_t count) {
    mc_error error;
    mc_checkup checkup = {.number = ++m->number,
                          .date = 20000 + 14 * m->number,
                          .day = {day, day},
                          .wear_hours = NAN,
                          .method = method,
                          .rows = rows,
                          .count = count};
    for (int a = 0; a < MC_ARCHES; a++)
        checkup.aligner[a] = mc_plan_stages(m->plan, (mc_arch)a) > 0 ? aligner : MC_NO_ALIGNER;
    if (mc_tracker_add(m->tracker, &checkup, &error) != MC_OK)
        fail_msg("row %ld: %s", error.line, error.text);
    mc_tracker_score(m->tracker, m->states, m->score);
    return m->score;
}

/* The same, the day not known. */
static inline mc_score *mouth_checkup(mouth *m, int aligner, mc_method method,
                                      const mc_reading *rows, size_t count) {
    return mouth_checkup_on(m, aligner, -1, method, rows, count);
}

static inline void mouth_free(mouth *m) {
    mc_tracker_free(m->tracker);
    mc_plan_free(m->plan);
    free(m->score);
}

#endif
