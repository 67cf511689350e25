/* What the roster needs of a case, without the day it is asked for; kept as a cache. */
#ifndef SUMMARY_H
#define SUMMARY_H

#include "midcourse/practice.h"

enum { SUMMARY_NAMED = 3 }; /* teeth that a proposal is told with */

typedef struct {
    bool has_plan, has_score, has_proposal, decision_due;
    int plan; /* its number */
    mc_plan_status plan_status;
    mc_day plan_start;
    mc_series series[MC_ARCHES];
    mc_turn turn; /* of which only what mc_await looks at, and the number of the plan, is kept */
    mc_day holds_from, holds_until; /* before the one and from the other day on the case has to be
                                       looked at anew, as another plan is worn; MC_NO_DAY: never */
    mc_day last_checkup, next_checkup; /* MC_NO_DAY where none */
    mc_tooth worst;
    int worst_item, worst_way; /* as in mc_roster_row */
    double lag_index;
    int count[MC_STATES];
    double pace_mean, pace_sd; /* of this mouth at that check-up; NaN where it has none */
    mc_proposal_choice proposal;
    int rule;
    int teeth_count; /* of the proposal */
    mc_tooth teeth[SUMMARY_NAMED];
    mc_tooth_finding found; /* on the first of them, when it is to be examined */
    int grade;              /* of its mobility */
} summary;

/* From an assessment of the case's last check-up. */
void summary_of(const mc_assessment *a, summary *out);

/* Whether it is the case's on a day. */
bool summary_holds(const summary *of, mc_day on);

/* Its bytes, and back: false where they are none that this version wrote. */
void summary_write(const summary *from, mc_summary *to);
bool summary_read(const mc_summary *from, summary *to);

/* The way of computing: a hash of the sources that a summary depends on, made while building, so
 * that what another version computed is computed anew. */
extern const char summary_computation[];

#endif
