/* restaging: what remains for every tooth, how much one aligner may do, where crowns stand and how
 * deep they overlap, and the new series: the fewest aligners in which every tooth goes straight to
 * its target within the limits and no crown runs into its neighbour. */
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
    double limit[MC_COMPONENTS]; /* of one aligner for this tooth alone, mm or deg, above 0; 0: the
                                    settings' (mc_step_limit) */
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

/* ---- crowns in the occlusal plane ---- */

/* How a crown stands in the plane of its arch, in space: mm to the patient's right and to the
 * front, from an origin that all crowns of the arch share. */
typedef struct mc_crown {
    bool stands;
    double right, anterior;  /* its centre */
    double outward_deg;      /* the arch's axes at its place, as in mc_tooth_frame: 0 a right molar,
                                90 the midline, 180 a left molar; they stay when the crown moves */
    double turned_deg;       /* the crown against those axes, as rotation is: positive mesial-in */
    double width, thickness; /* mesiodistal and buccolingual, mm, above 0 */
} mc_crown;

/* The crown after a movement along its arch's axes: mesial, buccal and rotation of the pose; the
 * rest does not show in the occlusal plane. */
mc_crown mc_crown_moved(mc_tooth tooth, const mc_crown *crown, const mc_pose *by);

/* The depth by which two crowns of one arch overlap: the length of the least translation that parts
 * them, mm; negative where they are apart. Each is a superellipse of exponent 2.5,
 * |x/a|^2.5 + |y/b|^2.5 <= 1, a and b half its width and thickness. Source: midcourse-method(7). */
double mc_crown_overlap(mc_tooth tooth, const mc_crown *crown, mc_tooth other_tooth,
                        const mc_crown *other);

/* The overlap that is allowed between two neighbours, mm: the larger of 0.05 mm and the IPR granted
 * between them together, and what they overlapped at the start. Source: midcourse-method(7). */
double mc_overlap_allowed(double granted, double start);

/* A point of the crown's outline, from its distal end at 0 over the buccal side (0.25) to its
 * mesial end (0.5), over the lingual side and back, share 0 to 1. */
void mc_crown_outline(mc_tooth tooth, const mc_crown *crown, double share, double *right,
                      double *anterior);

/* Where the crowns of both arches stand: each so when its tooth is at the pose `at`, counted from
 * stage 0 of the plan that the arches belong to. */
typedef struct mc_arches {
    bool estimated[MC_ARCHES]; /* on an arch form by usual sizes, not measured */
    mc_crown crown[MC_TEETH];
    mc_pose at[MC_TEETH];
} mc_arches;

/* The crown of a tooth at another pose from stage 0: moved by the difference of the components. */
mc_crown mc_arches_crown(const mc_arches *arches, mc_tooth tooth, const mc_pose *pose);

/* IPR on one side of a tooth. */
typedef struct mc_ipr {
    double mm; /* 0: none */
    int stage; /* of the new series, from 1: it is done before this aligner is begun; the contact is
                  opened by it from this stage on */
} mc_ipr;
typedef struct mc_tooth_ipr {
    mc_ipr mesial, distal;
} mc_tooth_ipr;

/* Estimate both arches: on the beta function's arch form fitted to the crown widths, usual sizes,
 * neighbours in contact where the IPR still due is done (they overlap by it), every standing tooth
 * at its target pose and not turned against the form. */
void mc_arches_estimate(const bool stands[MC_TEETH], const mc_pose target[MC_TEETH],
                        const mc_tooth_ipr due[MC_TEETH], mc_arches *out);

/* ---- the new series ---- */

/* The account of one tooth. */
typedef struct mc_restaged_tooth {
    bool moves;        /* something above 1e-9 mm or deg remains; a tooth nearer than that stays */
    mc_pose remaining; /* all zero where the task is not to move */
    int stages_needed; /* n_t, the fewest aligners under the limits; 0 where it does not move */
    mc_limit limited_by; /* what makes n_t as large as it is; none where one aligner is enough */
    int first, last;     /* the aligners that move it; 0 when none */
} mc_restaged_tooth;

/* The account of two neighbours. */
typedef struct mc_restaged_contact {
    mc_tooth right, left; /* the one further to the patient's right along the arch, and the other */
    double start, end;    /* overlap at present and at the targets, mm, negative where apart */
    double most;          /* the largest at any stage of the new series; NaN where there is none */
    double ipr;           /* granted in all in the new series, mm */
    double passed_over;   /* of what is allowed, mm: as asked */
    double allowed;       /* the overlap allowed at the end, mm */
    mc_tooth leads;       /* the one that has to go first; MC_NO_TOOTH where they never meet, and
                             where the only one that moves waits for IPR */
    bool in_turns;        /* they pass in turns, now one ahead and now the other */
    int costs;            /* aligners that the series would be shorter by without this contact */
    double missing;       /* mm of room that is missing for either to go first, as IPR to be granted
                             besides; 0 where none is. With less they may yet pass in turns */
    bool target_overlaps; /* more than allowed at the targets themselves: part of what is missing */
} mc_restaged_contact;
enum { MC_MOST_CONTACTS = MC_TEETH };

/* The new series of both arches: every tooth goes straight to its target, its components being
 * lambda times what remains, lambda from 0 to 1 and never falling. */
typedef struct mc_restaged {
    int stages[MC_ARCHES];      /* N of each arch; 0 where nothing moves, and where it is blocked */
    int lower_bound[MC_ARCHES]; /* the bound: the most aligners that the limits need for a tooth */
    bool overlap_checked;       /* false: crowns were not checked against each other */
    bool blocked;               /* a contact lacks room, so that there is no series */
    mc_restaged_tooth tooth[MC_TEETH];
    mc_restaged_contact
        contact[MC_MOST_CONTACTS]; /* of neighbours one of which moves, from the patient's */
    size_t contacts;               /* right to left, upper arch first; none unless checked */
} mc_restaged;

typedef struct mc_restage_ask {
    mc_remaining_task task[MC_TEETH];
    /* The plan that the tasks come from, whose attachments are carried along, and the stage reached
     * in it; NULL: nothing to carry. */
    const mc_plan *carry;
    double carry_at[MC_ARCHES];
    mc_tooth_ipr ipr[MC_TEETH]; /* of standing teeth: to be done in the new series */
    /* Of a standing tooth and its neighbour toward the patient's left: mm of overlap allowed
     * besides, which nothing makes room for: less than is known of where they stand. */
    double passed_over[MC_TEETH];
    bool check_overlap;
    mc_crown crown[MC_TEETH]; /* where check_overlap: all standing crowns, at their present poses */
} mc_restage_ask;

/* The IPR of a plan that is not yet due at the stages reached, all of it before the first aligner
 * of the new series: contacts are opened before the teeth move past each other. */
void mc_ipr_left(const mc_plan *plan, const double at[MC_ARCHES], mc_tooth_ipr out[MC_TEETH]);

/* Re-stage. On success *plan is a new plan (the caller frees it) whose stage 0 is the present pose,
 * whose last stage is exactly the target, in the fewest aligners such that at every stage
 * - no step passes a limit;
 * - neighbours overlap by no more than is allowed with the IPR granted there by then (1e-9 more is
 * still not more). Fewest where all IPR of the arch is due before the first aligner; with later IPR
 * the limits hold all the same. Fewest to the grid on the ways, and where neighbours have to pass
 * in turns, of the choices looked at. Each tooth is spread evenly over all N aligners of its arch,
 * or over as much of the time it has as limits and neighbours leave, and listed at the stages where
 * its pace changes; else it goes as far as it may with every aligner.
 *
 * In an arch that gets a series, attachments of `carry` are carried along: one that stands by then
 * is placed at stage 0 (it is there already); one placed or removed later is so at the same share
 * of the way that was left (placed: rounded down, removed: rounded up), at stage 1 at the earliest,
 * each change at a stage of its own; a change for which the new series has no stage left is
 * dropped. IPR is listed as asked; a stage beyond the series is the last.
 *
 * Refuses (naming the tooth) poses whose remainder has 90 deg of angulation or more, a tooth that
 * needs more than MC_MOST_STAGES aligners, limits below 0, numbers that are not finite, crowns
 * without size, and an arch with something to carry whose stage is not known (NaN): *plan is NULL
 * then and *out all zero. Refuses, naming the neighbours and the room that is missing, where
 * neither of two can go first: *plan is NULL, *out says blocked and has the accounts of teeth and
 * contacts. */
mc_status mc_restage(const mc_settings *settings, const mc_restage_ask *ask, mc_restaged *out,
                     mc_plan **plan, mc_error *error);

/* What was found out about neighbours the last times, for asking again after a change. */
typedef struct mc_restage_known mc_restage_known;
mc_restage_known *mc_restage_known_new(void);        /* NULL when out of memory */
void mc_restage_known_free(mc_restage_known *known); /* NULL is fine */
/* The same, with the very same result, sooner: only neighbours that are not on the ways they were
 * on before are looked at. known: NULL where nothing is; it may be used for any ask. */
mc_status mc_restage_again(const mc_settings *settings, const mc_restage_ask *ask,
                           mc_restage_known *known, mc_restaged *out, mc_plan **plan,
                           mc_error *error);

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
