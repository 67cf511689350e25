/* What was found out about neighbours before: two on the same ways under the same allowance need
 * not be looked at again. */
#ifndef MIDCOURSE_RESTAGING_KNOWN_H
#define MIDCOURSE_RESTAGING_KNOWN_H

#include "contact.h"

/* As contact_look, from what is known where it is (NULL: nothing is), with the very same result.
 * Care and cells are part of the question. */
void known_look(mc_restage_known *known, contact *c);

#endif
