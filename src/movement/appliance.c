/* What the plan asks for beside movement, attachments and IPR, and how far the person wearing it
 * is. */
#include "midcourse/movement.h"

/* How many of the tooth's listed stages s reaches. */
static size_t reached(const mc_plan_row *rows, size_t count, double s) {
    size_t n = 0;
    while (n < count && mc_reaches(s, rows[n].stage)) {
        n++;
    }
    return n;
}

bool mc_plan_attachment(const mc_plan *plan, mc_tooth tooth, double s) {
    const mc_plan_row *rows;
    const size_t count = mc_plan_tooth_rows(plan, tooth, &rows);
    for (size_t i = reached(rows, count, s); i > 0; i--) {
        if (rows[i - 1].attachment != MC_MARK_NONE) {
            return rows[i - 1].attachment == MC_MARK_PLACED;
        }
    }
    return false;
}

double mc_plan_ipr(const mc_plan *plan, mc_tooth tooth, bool mesial, double s) {
    const mc_plan_row *rows;
    const size_t listed = mc_plan_tooth_rows(plan, tooth, &rows);
    const size_t count = reached(rows, listed, s);
    double most = 0;
    for (size_t i = 0; i < count; i++) {
        const double amount = mesial ? rows[i].ipr_mesial : rows[i].ipr_distal;
        most = amount > most ? amount : most;
    }
    return most;
}

double mc_effective_stage(int aligner, int day, double settle_days) {
    if (aligner <= 0) {
        return 0;
    }
    const double settled = day < 0 || day >= settle_days ? 1 : day / settle_days;
    return aligner - 1 + settled;
}
