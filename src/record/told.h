/* told: what the journal tells of is on record, for verify. */
#ifndef MIDCOURSE_RECORD_TOLD_H
#define MIDCOURSE_RECORD_TOLD_H

#include "query.h"

/* Whether nothing that an entry of the journal names was taken out of the record. The journal's
 * chain was checked before. */
mc_status told_check(mc_record *record, mc_error *error);

#endif
