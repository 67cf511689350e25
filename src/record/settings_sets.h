/* settings_sets: the settings as the rest of the room needs them. */
#ifndef MIDCOURSE_RECORD_SETTINGS_SETS_H
#define MIDCOURSE_RECORD_SETTINGS_SETS_H

#include "query.h"

/* The first set, made with the record. */
mc_status settings_first(mc_record *record, mc_error *error);
/* Refuse a set that does not exist or is another case's. */
mc_status settings_check(mc_record *record, int64_t set, int64_t case_n, mc_error *error);
/* Check the hash of every set. */
mc_status settings_sets_check(mc_record *record, mc_error *error);

#endif
