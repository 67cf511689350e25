/* What the rules ask of a situation. */
#ifndef MIDCOURSE_DECISION_LOOK_H
#define MIDCOURSE_DECISION_LOOK_H

#include "sentence.h"

/* Behind or stalled. */
bool is_behind(const mc_tooth_score *tooth);
/* Behind or stalled at this check-up and at the one before it on this plan. */
bool behind_twice(const mc_situation *s, mc_tooth tooth);
/* The teeth present that are behind or stalled, the largest lag index first. */
named teeth_behind(const mc_situation *s);

/* The stage the tooth's arch is held to; NaN where that is not known. */
double stage_of(const mc_situation *s, mc_tooth tooth);
/* Where the tooth is: each component as estimated, or where the plan has it when it was never read
 * on this plan. False where the stage is not known. */
bool present_pose(const mc_situation *s, mc_tooth tooth, mc_pose *out);
/* Where the plan ends. */
mc_pose target_pose(const mc_situation *s, mc_tooth tooth);
/* Whether some tooth is behind and every one of them is, in every component, within its finishing
 * tolerance of the target. */
bool behind_near_target(const mc_situation *s);

/* How an arch's aligner seats at a check-up. */
typedef struct fit {
    int read;   /* teeth whose seat gap was read */
    int small;  /* of those, teeth with the smaller gap of rule 2 or more */
    int above;  /* of those, teeth above that smaller gap: it does not seat there */
    double gap; /* the largest */
} fit;
fit fit_of(const mc_settings *settings, const mc_score *score, mc_arch arch);

/* Aligners of the arch still to begin; -1 where it has no series or was not looked at. */
int aligners_left(const mc_situation *s, mc_arch arch);
/* Whether low wear was talked about at this or an earlier check-up. */
bool wear_talked(const mc_situation *s);
/* Whether the hours of wear are known and too few. */
bool wear_is_low(const mc_situation *s);

/* Append what puts the tooth behind: "12: rotation 4.1 deg short", "12: seat gap 0.8 mm". */
void say_behind(const mc_situation *s, mc_tooth tooth, mc_proposal *out);
/* The same for the first of several teeth, and how many more there are. */
void say_all_behind(const mc_situation *s, const named *teeth, mc_proposal *out);
/* The component that puts the tooth behind; MC_COMPONENTS where none does. */
mc_component worst_short(const mc_situation *s, mc_tooth tooth);
/* Where a tooth is expected to be at the end of its series, by the component furthest outside (or
 * least inside) its finishing tolerance of those that are known. */
typedef struct outcome {
    mc_component c; /* MC_COMPONENTS where nothing of the tooth is forecast */
    double off;     /* mm or deg from the target, from 0 */
    double ways;    /* the same in finishing tolerances */
    int toward;     /* +1 short of the target, -1 past it, 0 where the plan does not move it */
} outcome;
outcome outcome_of(const mc_situation *s, mc_tooth tooth);
/* Append it: "12 rotation 6.1 deg short". */
void say_ending(const mc_situation *s, mc_tooth tooth, mc_proposal *out);
/* Why nothing counts as measured at this check-up, where nothing does: a baseline, too, tells no
 * position. */
const char *nothing_measured(const mc_situation *s);
/* Append that wear is low where it is and was already talked about. */
void say_wear(const mc_situation *s, mc_proposal *out);
/* The teeth most worth reading, as many as rule 7 names. */
named to_read(const mc_situation *s);

#endif
