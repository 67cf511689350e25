/* The old plan's attachments on the stages of the new series. */
#ifndef MIDCOURSE_RESTAGING_CARRY_H
#define MIDCOURSE_RESTAGING_CARRY_H

#include "midcourse/restaging.h"

/* Whether the plan has attachments in the arch. */
bool carry_has_attachments(const mc_plan *carry, mc_arch arch);

/* The changes of one tooth's attachment at stages 0 to `stages` (from 1 on) of the new series,
 * where the old plan has reached stage `at`. marks is all none before. */
void carry_attachments(const mc_plan *carry, mc_tooth tooth, double at, int stages,
                       mc_mark marks[MC_MOST_STAGES + 1]);

#endif
