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
    bool gone; /* not in the mouth: no attachment and no IPR is carried along for it */
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
/* For people: "none", "mesial or distal" ... "corner of the crown". */
const char *mc_limit_name(mc_limit limit);

/* What one aligner may do to component c (mm or deg, above 0) of a tooth whose whole remaining pose
 * is given: direction and root movement decide. Source: midcourse-method(7). */
double mc_step_limit(const mc_settings *settings, mc_tooth tooth, const mc_pose *remaining,
                     mc_component c);
/* The largest way (mm, in a straight line) that a corner of the crown goes between two poses. The
 * crown is a box of its usual width, thickness and height about its centre, taken to stand along
 * the arch's axes at stage 0. */
double mc_corner_way(mc_tooth tooth, const mc_pose *from, const mc_pose *to);

/* The account of one tooth. */
typedef struct mc_restaged_tooth {
    bool moves;        /* something above 1e-9 mm or deg remains; a tooth nearer than that stays */
    mc_pose remaining; /* all zero where the task is not to move */
    int stages_needed; /* n_t, the fewest aligners under the limits; 0 where it does not move */
    mc_limit limited_by; /* what makes n_t as large as it is; none where one aligner is enough */
    int first, last;     /* the aligners that move it; 0 when none */
} mc_restaged_tooth;

/* The new series of both arches: every tooth goes straight to its target, its components being
 * lambda times what remains, lambda from 0 to 1 and never falling. */
typedef struct mc_restaged {
    int stages[MC_ARCHES];      /* N of each arch; 0 where nothing moves */
    int lower_bound[MC_ARCHES]; /* the bound */
    bool overlap_checked;       /* false: crowns were not checked against each other */
    mc_restaged_tooth tooth[MC_TEETH];
} mc_restaged;

/* Re-stage. On success *plan is a new plan (the caller frees it) whose stage 0 is the present pose,
 * whose last stage is exactly the target. Each tooth is spread evenly over all N aligners of its
 * arch where every step passes the limits, and then listed at N only; else it goes as far as the
 * limits allow with every aligner (n_t of them), and is listed at each.
 *
 * carry (may be NULL) is the plan that the tasks come from, and carry_at[arch] the stage reached in
 * it. In an arch that gets a series, what it still asks for is carried along:
 * - an attachment that stands by then is placed at stage 0 (it is there already);
 * - one placed or removed later is so at the same share of the way that was left (placed: rounded
 *   down, removed: rounded up), at stage 1 at the earliest, each change at a stage of its own; a
 *   change for which the new series has no stage left is dropped;
 * - IPR not yet due by then is due at stage 1, all of it: the contact is opened before the teeth
 *   move past each other. Amounts count from the new stage 0.
 *
 * Refuses (naming the tooth) poses whose remainder has 90 deg of angulation or more, a tooth that
 * needs more than MC_MOST_STAGES aligners, numbers that are not finite, and an arch with something
 * to carry whose stage is not known (NaN). *plan is NULL then and *out all zero. */
mc_status mc_restage(const mc_settings *settings, const mc_remaining_task task[MC_TEETH],
                     const mc_plan *carry, const double carry_at[MC_ARCHES], mc_restaged *out,
                     mc_plan **plan, mc_error *error);

/* Every step of a plan that is above the limits, for the warning on import: calls `above` with
 * tooth, stage (the later of the two), component (or MC_COMPONENTS for a crown corner), the step
 * (its size, above 0) and the limit; by tooth, stage and component, the corner last. Steps are
 * between neighbouring stages, straight between listed ones. Extrusion or intrusion is the step's
 * own; angulation or inclination is root movement where it is so in the tooth's last listed pose,
 * or, where that has less than mc_component_least of it (out and back), in the listed pose that has
 * most. Returns how many. above may be NULL. */
size_t mc_plan_steps_above(const mc_settings *settings, const mc_plan *plan,
                           void (*above)(void *context, mc_tooth tooth, int stage, mc_component c,
                                         double step, double limit),
                           void *context);

#endif
