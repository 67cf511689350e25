/* arches: measured arches, for verify. */
#ifndef MIDCOURSE_RECORD_ARCHES_H
#define MIDCOURSE_RECORD_ARCHES_H

#include "query.h"

/* Whether every measured arch is as it was added. */
mc_status arches_check(mc_record *record, mc_error *error);

#endif
