/* movement: pose, plan, series and effective stage: geometry and time. */
#ifndef MIDCOURSE_MOVEMENT_H
#define MIDCOURSE_MOVEMENT_H

#include "midcourse/dentition.h"

/* The six components of a pose, in table order. */
typedef enum mc_component {
    MC_MESIAL,      /* mm, positive toward the midline along the arch */
    MC_BUCCAL,      /* mm, positive toward cheek or lip */
    MC_OCCLUSAL,    /* mm, positive extrusion */
    MC_ROTATION,    /* deg, positive mesial-in */
    MC_ANGULATION,  /* deg, positive: crown goes mesially */
    MC_INCLINATION, /* deg, positive: crown goes buccally */
    MC_COMPONENTS
} mc_component;

/* Displacement from stage 0 of the plan in the arch's axes at the tooth's place; mm and deg. */
typedef struct mc_pose {
    double c[MC_COMPONENTS];
} mc_pose;

/* mm, else deg */
inline bool mc_component_is_linear(mc_component c) {
    return c <= MC_OCCLUSAL;
}

const char *mc_component_name(mc_component c);   /* "mesial" ... "inclination" */
const char *mc_component_column(mc_component c); /* "mesial_mm" ... "inclination_deg" */
/* The direction's word: mesial/distal, buccal (labial on front teeth)/lingual (palatal in the upper
 * arch), extrusion/intrusion, mesial-in/mesial-out, "tip mesial"/"tip distal", "crown
 * buccal"/"crown lingual" (crown labial and crown palatal where those are the words). */
const char *mc_component_word(mc_component c, mc_tooth tooth, bool positive);
/* Below this a movement does not count: 0.05 mm, 0.2 deg. */
double mc_component_least(mc_component c);

/* Rotation about the fixed axes (m, b, o): R = T F P, rotation first (see midcourse-method(7)). */
void mc_pose_rotation(const mc_pose *pose, double r[3][3]);
/* The three angles of R; refuses |angulation| >= 90 (where they are not unique). t goes into the
 * first three. r is only read: in C17 a plain array cannot pass for a constant one of two
 * dimensions. */
mc_status mc_pose_from(double r[3][3], const double t[3], mc_pose *pose, mc_error *error);
/* The pose that carries pose `from` to pose `to` in the same axes: R = R2 R1^T, t = t2 - t1. */
mc_status mc_pose_between(const mc_pose *from, const mc_pose *to, mc_pose *out, mc_error *error);
/* The inverse of that: `first`, then `then`: R = R_then R_first, translations added. */
mc_status mc_pose_compose(const mc_pose *first, const mc_pose *then, mc_pose *out, mc_error *error);
/* Where a point fixed to the crown, given from the crown's centre, stands after the pose: R x + t.
 */
void mc_pose_apply(const mc_pose *pose, const double x[3], double y[3]);

/* Whether the change of angulation or inclination (c) in this pose is root movement rather than
 * crown tipping: t sign(angle) < r |sin angle| / 2, t the mesial or buccal translation, r the root
 * length in mm. */
bool mc_pose_is_root_movement(const mc_pose *pose, mc_component c, double root_length);

/* ---- plan ---- */

typedef enum mc_mark { MC_MARK_NONE, MC_MARK_PLACED, MC_MARK_REMOVED } mc_mark;

/* One listed stage of one tooth. */
typedef struct mc_plan_row {
    mc_tooth tooth;
    int stage;                     /* 0..999 */
    mc_pose pose;                  /* cumulative from stage 0 */
    mc_mark attachment;            /* placed or removed at this stage */
    double ipr_mesial, ipr_distal; /* mm, done in all by this stage; 0 where nothing is due */
} mc_plan_row;

enum { MC_MOST_STAGES = 999 };

/* A plan: the listed stages of every tooth. Owns its memory. */
typedef struct mc_plan mc_plan;
mc_plan *mc_plan_new(void); /* NULL when out of memory */
void mc_plan_free(mc_plan *plan);
mc_plan *mc_plan_copy(const mc_plan *plan);

/* Add a listed stage, in any order. Refuses a repeated tooth and stage, a stage outside 0..999, a
 * stage 0 that is not all zero, a number that is not finite, angulation of 90 deg or more,
 * IPR below 0. */
mc_status mc_plan_add(mc_plan *plan, const mc_plan_row *row, mc_error *error);

/* Listed stages in chart order, within a tooth by stage. */
size_t mc_plan_count(const mc_plan *plan);
const mc_plan_row *mc_plan_row_at(const mc_plan *plan, size_t i);
/* The listed stages of one tooth: count and the first of them (contiguous, by stage; NULL when
 * none). */
size_t mc_plan_tooth_rows(const mc_plan *plan, mc_tooth tooth, const mc_plan_row **first);

/* N, the arch's largest listed stage; 0 where the arch has no series. */
int mc_plan_stages(const mc_plan *plan, mc_arch arch);
/* Planned pose at a real stage s (below 0 as 0; straight between listed stages, unchanged after the
 * last). */
mc_pose mc_plan_pose(const mc_plan *plan, mc_tooth tooth, double s);
double mc_plan_at(const mc_plan *plan, mc_tooth tooth, mc_component c, double s);
/* Whether any component of the tooth ever leaves zero. */
bool mc_plan_moves(const mc_plan *plan, mc_tooth tooth);
/* Largest |P_c| over the tooth's listed stages, signed (the first of equals). */
double mc_plan_extreme(const mc_plan *plan, mc_tooth tooth, mc_component c);
/* Whether an attachment stands on the tooth at stage s by the plan (placed at or before, not
 * removed since). */
bool mc_plan_attachment(const mc_plan *plan, mc_tooth tooth, double s);
/* IPR in mm planned to be done in all by stage s on the mesial or distal side of the tooth: the
 * largest amount listed so far, since what has been taken away stays away. */
double mc_plan_ipr(const mc_plan *plan, mc_tooth tooth, bool mesial, double s);

/* A person wearing aligner k (0: none yet) on its day d is held to s = k - 1 + min(1, d /
 * settle_days), and to s = k where day is negative (not known). */
double mc_effective_stage(int aligner, int day, double settle_days);

#endif
