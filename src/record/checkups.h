/* checkups: a check-up as the rest of the room needs it. */
#ifndef MIDCOURSE_RECORD_CHECKUPS_H
#define MIDCOURSE_RECORD_CHECKUPS_H

#include "query.h"

/* A check-up, whichever version. */
typedef struct checkup_row {
    int64_t n, plan_n;
    mc_id id, plan;
    int number;
    mc_day date;
} checkup_row;

/* Find a completed check-up of a case by its number. */
mc_status checkup_find(mc_record *record, int64_t case_n, const char *case_text, int number,
                       checkup_row *out, mc_error *error);
/* Check the hash of every completed version. */
mc_status checkups_check(mc_record *record, mc_error *error);

#endif
