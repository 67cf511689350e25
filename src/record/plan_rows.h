/* plan_rows: what a plan consists of: its listed stages, and the variances it starts from. */
#ifndef MIDCOURSE_RECORD_PLAN_ROWS_H
#define MIDCOURSE_RECORD_PLAN_ROWS_H

#include "query.h"

mc_status plan_rows_add(mc_record *record, int64_t plan_n, const mc_plan *plan, mc_error *error);
mc_status plan_start_add(mc_record *record, int64_t plan_n, const mc_start *start, mc_error *error);
/* The caller frees the plan. */
mc_status plan_rows_load(mc_record *record, int64_t plan_n, mc_plan **out, mc_error *error);
mc_status plan_start_load(mc_record *record, int64_t plan_n, mc_start *out, mc_error *error);

#endif
