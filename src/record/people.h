/* people: whom the rest of the room asks about. */
#ifndef MIDCOURSE_RECORD_PEOPLE_H
#define MIDCOURSE_RECORD_PEOPLE_H

#include "query.h"

/* Refuse initials that nobody has; a retired person's pass, for work of earlier days. */
mc_status people_check(mc_record *record, const char *initials, mc_error *error);

#endif
