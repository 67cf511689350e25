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
/* Check the hash of every plan. */
mc_status plans_check(mc_record *record, mc_error *error);

#endif
