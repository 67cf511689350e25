/* What the old plan still asks for beside movement, on the stages of the new series. */
#ifndef MIDCOURSE_RESTAGING_CARRY_H
#define MIDCOURSE_RESTAGING_CARRY_H

#include "midcourse/movement.h"

typedef struct note {
    mc_mark attachment;
    double ipr_mesial, ipr_distal;
} note;

/* Whether the plan says anything beside movement of the arch. */
bool carry_has_notes(const mc_plan *carry, mc_arch arch);

/* The notes of one tooth at stages 0 to `stages` (from 1 on) of the new series, where the old plan
 * has reached stage `at`. notes is all empty before. */
void carry_notes(const mc_plan *carry, mc_tooth tooth, double at, int stages,
                 note notes[MC_MOST_STAGES + 1]);

#endif
