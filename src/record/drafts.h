/* drafts: the drafts of corrections, for verify. */
#ifndef MIDCOURSE_RECORD_DRAFTS_H
#define MIDCOURSE_RECORD_DRAFTS_H

#include "query.h"

/* Whether every draft is as it was kept. */
mc_status drafts_check(mc_record *record, mc_error *error);

#endif
