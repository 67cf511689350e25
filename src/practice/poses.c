/* Poses that an order may rest on. */
#include "practice.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void mc_exact_poses(const mc_checkup *checkup, const mc_settings *settings, exact_poses *out) {
    double weight[MC_TEETH][MC_COMPONENTS] = {{0}}, sum[MC_TEETH][MC_COMPONENTS] = {{0}};
    for (size_t i = 0; i < checkup->count; i++) {
        const mc_reading *r = &checkup->rows[i];
        mc_method method = mc_reading_method(r, checkup->method);
        if (method != MC_SCAN && method != MC_LANDMARKS)
            continue;
        for (int c = 0; c < MC_COMPONENTS; c++) {
            if (isnan(r->value[c]) || r->short_of_plan[c])
                continue;
            double sd = mc_method_sd(settings, method, (mc_component)c);
            weight[r->tooth][c] += 1 / (sd * sd);
            sum[r->tooth][c] += r->value[c] / (sd * sd);
        }
    }
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            bool read = weight[t][c] > 0;
            out->mean[t][c] = read ? sum[t][c] / weight[t][c] : NAN;
            out->variance[t][c] = read ? 1 / weight[t][c] : NAN;
        }
}

void mc_why_preview(const mc_assessment *a, const exact_poses *poses, const bool moves[MC_TEETH],
                    double most_days, mc_day today, char *out, size_t size) {
    int age = today - a->score->date, missing = 0;
    char named[80] = "";
    out[0] = '\0';
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        bool whole = true;
        for (int c = 0; c < MC_COMPONENTS; c++)
            whole = whole && !isnan(poses->mean[t][c]);
        if (!moves[t] || whole)
            continue;
        if (missing++ < 6)
            snprintf(named + strlen(named), sizeof named - strlen(named), "%s%02d",
                     *named ? ", " : "", mc_tooth_iso(t));
    }
    if (missing > 0)
        snprintf(out, size,
                 "an order needs all six components of every moving tooth by scan or digitised "
                 "landmarks; check-up %d "
                 "lacks them for %s%s (%d in all): scan again first",
                 a->score->number, named, missing > 6 ? " ..." : "", missing);
    else if (!mc_reaches(most_days, age))
        snprintf(
            out, size,
            "the poses of check-up %d are %d days old; an order needs poses at most %g days old: "
            "scan again first",
            a->score->number, age, most_days);
}
