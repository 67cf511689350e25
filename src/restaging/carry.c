/* Attachments and IPR that outlive the plan they were planned in. */
#include "carry.h"

#include <math.h>

bool carry_has_notes(const mc_plan *carry, mc_arch arch) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_plan_row *rows;
        const size_t count = mc_plan_tooth_rows(carry, tooth, &rows);
        for (size_t i = 0; i < count && mc_tooth_arch(tooth) == arch; i++) {
            if (rows[i].attachment != MC_MARK_NONE || rows[i].ipr_mesial > 0 ||
                rows[i].ipr_distal > 0) {
                return true;
            }
        }
    }
    return false;
}

/* The new stage of a change that was planned when `share` of the way left was done: not later than
 * it was to stand, not earlier than it was to go. */
static int changed_at(mc_mark mark, double share, int stages) {
    const double stage =
        mark == MC_MARK_PLACED ? floor(share * stages + 1e-9) : ceil(share * stages - 1e-9);
    return stage < 1 ? 1 : (int)stage;
}

static void carry_attachments(const mc_plan *carry, mc_tooth tooth, double at, int stages,
                              note notes[MC_MOST_STAGES + 1]) {
    const double left = mc_plan_stages(carry, mc_tooth_arch(tooth)) - at;
    const mc_plan_row *rows;
    const size_t count = mc_plan_tooth_rows(carry, tooth, &rows);
    int last = 0;
    if (mc_plan_attachment(carry, tooth, at)) {
        notes[0].attachment = MC_MARK_PLACED;
    }
    for (size_t i = 0; i < count; i++) {
        if (rows[i].attachment == MC_MARK_NONE || mc_reaches(at, rows[i].stage)) {
            continue;
        }
        const int stage = changed_at(rows[i].attachment, (rows[i].stage - at) / left, stages);
        last = stage > last ? stage : last + 1;
        if (last <= stages) {
            notes[last].attachment = rows[i].attachment;
        }
    }
}

/* IPR planned after `at` on one side, mm. */
static double ipr_left(const mc_plan *carry, mc_tooth tooth, bool mesial, double at) {
    const double left =
        mc_plan_ipr(carry, tooth, mesial, MC_MOST_STAGES) - mc_plan_ipr(carry, tooth, mesial, at);
    return left > 1e-9 ? left : 0;
}

void carry_notes(const mc_plan *carry, mc_tooth tooth, double at, int stages,
                 note notes[MC_MOST_STAGES + 1]) {
    carry_attachments(carry, tooth, at, stages, notes);
    notes[1].ipr_mesial = ipr_left(carry, tooth, true, at);
    notes[1].ipr_distal = ipr_left(carry, tooth, false, at);
}
