/* Tasks, and how they are run. */
#ifndef RESTAGED_H
#define RESTAGED_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "in_words.h"
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

#endif
