/* restaging: what remains for every tooth, how much one aligner may do, and the new series.
 * Crowns running into each other are not looked at here yet; the result says so (overlap_checked).
 */
#ifndef MIDCOURSE_RESTAGING_H
#define MIDCOURSE_RESTAGING_H

#include "midcourse/movement.h"
#include "midcourse/settings.h"

/* Where one tooth is and where it should end, both from stage 0 of the present plan. */
typedef struct mc_remaining_task {
    bool move; /* false: the tooth stays (missing, not to be moved, or without a task) */
    mc_pose present;
    mc_pose target;
} mc_remaining_task;

typedef enum mc_limit {
    MC_LIMIT_NONE,
    MC_LIMIT_MESIODISTAL,
    MC_LIMIT_BUCCOLINGUAL,
    MC_LIMIT_INTRUSION,
    MC_LIMIT_EXTRUSION,
    MC_LIMIT_ROTATION,
    MC_LIMIT_ANGULATION,
    MC_LIMIT_INCLINATION,
    MC_LIMIT_CORNER
} mc_limit;
const char *mc_limit_name(mc_limit limit);

/* What one aligner may do to component c (mm or deg, above 0) of a tooth whose whole remaining pose
 * is given: direction and root movement decide. Source: midcourse-method(7). */
double mc_step_limit(const mc_settings *settings, mc_tooth tooth, const mc_pose *remaining,
                     mc_component c);
/* The largest way (mm) that a corner of the crown (width x thickness x height about its centre)
 * goes between two poses. */
double mc_corner_way(mc_tooth tooth, const mc_pose *from, const mc_pose *to);

/* The account of one tooth. */
typedef struct mc_restaged_tooth {
    bool moves;
    mc_pose remaining;
    int stages_needed;   /* n_t */
    mc_limit limited_by; /* what makes n_t as large as it is */
    int first, last;     /* the aligners that move it; 0 when none */
} mc_restaged_tooth;

/* The new series of both arches. lambda runs are straight: every tooth goes straight to its target.
 */
typedef struct mc_restaged {
    int stages[MC_ARCHES];      /* N of each arch; 0 where nothing moves */
    int lower_bound[MC_ARCHES]; /* the bound */
    bool overlap_checked;       /* false: crowns were not checked against each other */
    mc_restaged_tooth tooth[MC_TEETH];
} mc_restaged;

/* Re-stage. carry (may be NULL) is the plan that the tasks come from: its attachments that stand at
 * stage carry_at[arch] and those placed or removed later, and its IPR not yet done by then, are
 * carried along, each at the stage before which it must be done. On success *plan is a new plan
 * (the caller frees it) whose stage 0 is the present pose, whose last stage is exactly the target.
 * Refuses (naming the tooth) poses whose remainder has 90 deg of angulation or more, a series
 * longer than MC_MOST_STAGES, numbers that are not finite. *plan is NULL then. */
mc_status mc_restage(const mc_settings *settings, const mc_remaining_task task[MC_TEETH],
                     const mc_plan *carry, const double carry_at[MC_ARCHES], mc_restaged *out,
                     mc_plan **plan, mc_error *error);

/* Every step of a plan that is above the limits, for the warning on import: calls `above` with
 * tooth, stage (the later of the two), component (or MC_COMPONENTS for a crown corner), the step
 * and the limit. Steps are between neighbouring stages, straight between listed ones. Returns how
 * many. above may be NULL. */
size_t mc_plan_steps_above(const mc_settings *settings, const mc_plan *plan,
                           void (*above)(void *context, mc_tooth tooth, int stage, mc_component c,
                                         double step, double limit),
                           void *context);

#endif
