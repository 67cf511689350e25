/* steps: what was entered into an open check-up, a value a step. */
#ifndef MIDCOURSE_RECORD_STEPS_H
#define MIDCOURSE_RECORD_STEPS_H

#include "query.h"

/* How many a check-up has, and how many of those are undone. */
typedef struct step_count {
    size_t all, undone;
} step_count;

mc_status steps_count(mc_record *record, int64_t checkup_n, step_count *out, mc_error *error);
/* All of them in their order; freed by the caller. */
mc_status steps_load(mc_record *record, int64_t checkup_n, mc_step **out, size_t *count,
                     mc_error *error);
/* Refuse a step that the record cannot keep. */
mc_status step_check(mc_record *record, const mc_step *step, mc_error *error);
/* Append one as number `number`. */
mc_status step_insert(mc_record *record, int64_t checkup_n, size_t number, const mc_step *step,
                      mc_error *error);
mc_status step_set_undone(mc_record *record, int64_t checkup_n, size_t number, bool undone,
                          mc_error *error);
/* Take away the undone ones, or all. */
mc_status steps_delete(mc_record *record, int64_t checkup_n, bool all, mc_error *error);
/* Whether the steps on record are such as this room writes. */
mc_status steps_verify(mc_record *record, mc_error *error);

#endif
