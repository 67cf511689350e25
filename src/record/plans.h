/* plans: a plan as the rest of the room needs it. */
#ifndef MIDCOURSE_RECORD_PLANS_H
#define MIDCOURSE_RECORD_PLANS_H

#include "query.h"

typedef struct plan_row {
    int64_t n, case_n;
    int number;
    mc_plan_status status;
    mc_day start;
    char hash[65];
} plan_row;

/* Find a plan by identity. */
mc_status plan_find(mc_record *record, const mc_id *id, plan_row *out, mc_error *error);
/* N of both arches of a plan on record; 0 where an arch has no series. */
mc_status plan_stages(mc_record *record, int64_t plan_n, int stages[MC_ARCHES], mc_error *error);

/* The case's active plan, and which one is worn until its first day. */
typedef struct plan_turn {
    int64_t active_n; /* 0: none is active */
    int64_t worn_n;   /* the plan of the check-up it was made from; 0: none */
    mc_day from;      /* the first day of the active plan, as recorded or expected */
} plan_turn;
mc_status plan_turn_of(mc_record *record, int64_t case_n, plan_turn *out, mc_error *error);
/* Fill in what happened to the plans of a case. */
mc_status plan_events_fill(mc_record *record, int64_t case_n, mc_plan_info *list, size_t count,
                           mc_error *error);
/* Before anything happened. */
void plan_events_none(mc_plan_info *info);
/* Check the hash of everything that happened, and that nothing is missing between. */
mc_status plan_events_check(mc_record *record, mc_error *error);
/* Check the hash of every plan. */
mc_status plans_check(mc_record *record, mc_error *error);

#endif
