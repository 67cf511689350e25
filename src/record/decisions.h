/* decisions: checking what was signed. */
#ifndef MIDCOURSE_RECORD_DECISIONS_H
#define MIDCOURSE_RECORD_DECISIONS_H

#include "query.h"

/* Check the hash of every signed decision, and that of the plan it saw. */
mc_status decisions_check(mc_record *record, mc_error *error);

#endif
