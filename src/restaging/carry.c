/* What outlives the plan it was planned in. */
#include "carry.h"

#include <math.h>

bool carry_has_attachments(const mc_plan *carry, mc_arch arch) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_plan_row *rows;
        const size_t count = mc_plan_tooth_rows(carry, tooth, &rows);
        for (size_t i = 0; i < count && mc_tooth_arch(tooth) == arch; i++) {
            if (rows[i].attachment != MC_MARK_NONE) {
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

void carry_attachments(const mc_plan *carry, mc_tooth tooth, double at, int stages,
                       mc_mark marks[MC_MOST_STAGES + 1]) {
    const double left = mc_plan_stages(carry, mc_tooth_arch(tooth)) - at;
    const mc_plan_row *rows;
    const size_t count = mc_plan_tooth_rows(carry, tooth, &rows);
    int last = 0;
    if (mc_plan_attachment(carry, tooth, at)) {
        marks[0] = MC_MARK_PLACED;
    }
    for (size_t i = 0; i < count; i++) {
        if (rows[i].attachment == MC_MARK_NONE || mc_reaches(at, rows[i].stage)) {
            continue;
        }
        const int stage = changed_at(rows[i].attachment, (rows[i].stage - at) / left, stages);
        last = stage > last ? stage : last + 1;
        if (last <= stages) {
            marks[last] = rows[i].attachment;
        }
    }
}

/* IPR planned after `at` on one side, mm. */
static mc_ipr ipr_left(const mc_plan *plan, mc_tooth tooth, bool mesial, double at) {
    const double left =
        mc_plan_ipr(plan, tooth, mesial, MC_MOST_STAGES) - mc_plan_ipr(plan, tooth, mesial, at);
    return left > 1e-9 ? (mc_ipr){left, 1} : (mc_ipr){0, 0};
}

void mc_ipr_left(const mc_plan *plan, const double at[MC_ARCHES], mc_tooth_ipr out[MC_TEETH]) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const double reached = at[mc_tooth_arch(tooth)];
        const double from = isnan(reached) ? 0 : fmax(reached, 0);
        out[tooth] =
            (mc_tooth_ipr){ipr_left(plan, tooth, true, from), ipr_left(plan, tooth, false, from)};
    }
}
