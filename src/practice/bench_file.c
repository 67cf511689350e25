/* Plan files for the bench: targets read from one, and the series written as one. */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>

/* ---- targets ---- */

/* A file that says what it was made from counts its poses from there. Its targets can be taken only
 * where that is where the present plan begins. */
static mc_status check_origin(const mc_assessment *a, const mc_plan_origin *origin,
                              mc_error *error) {
    if (mc_id_is_none(&origin->case_id))
        return MC_OK;
    if (!mc_id_same(&origin->case_id, &a->kase.id))
        return mc_fail_at(error, origin->line, 1,
                          "this plan file was made for another case: take one of case %s",
                          a->kase.chart);
    if (origin->checkup != a->info.made_from)
        return mc_fail_at(error, origin->line, 1,
                          "this plan file counts from where the teeth were at check-up %d, targets "
                          "count from stage 0 of plan %d: take a file made by plan export",
                          origin->checkup, a->info.number);
    return MC_OK;
}

/* Targets and IPR of one tooth; returns how many changes. */
static size_t targets_of(const mc_plan *goal, mc_tooth tooth, mc_bench_edit *out) {
    const mc_plan_row *row = NULL;
    size_t count = 0;
    if (mc_plan_tooth_rows(goal, tooth, &row) == 0)
        return 0;
    const mc_pose last = mc_plan_pose(goal, tooth, MC_MOST_STAGES);
    for (int c = 0; c < MC_COMPONENTS; c++)
        out[count++] = (mc_bench_edit){.what = MC_BENCH_TARGET,
                                       .tooth = tooth,
                                       .component = (mc_component)c,
                                       .number = last.c[c]};
    for (int distal = 0; distal < 2; distal++) {
        const double mm = mc_plan_ipr(goal, tooth, !distal, MC_MOST_STAGES);
        if (mm > 0)
            out[count++] = (mc_bench_edit){
                .what = MC_BENCH_IPR, .tooth = tooth, .mesial = !distal, .number = mm, .whole = 1};
    }
    return count;
}

mc_status mc_bench_targets(mc_bench *bench, const char *data, size_t size, mc_notation notation,
                           mc_warnings *warnings, mc_error *error) {
    enum { OF_TOOTH = MC_COMPONENTS + 2 };
    const mc_assessment *a = bench->a;
    mc_bench_edit list[MC_TEETH * OF_TOOTH];
    mc_plan_origin origin = {0};
    mc_plan *goal = NULL;
    size_t count = 0;
    mc_status status = mc_plan_read(data, size, notation, a->states, &a->settings, &goal, &origin,
                                    warnings, error);
    if (status == MC_OK)
        status = check_origin(a, &origin, error);
    for (mc_tooth t = 0; status == MC_OK && t < MC_TEETH; t++)
        count += targets_of(goal, t, list + count);
    if (status == MC_OK)
        status = mc_bench_change_together(bench, list, count, error);
    if (status != MC_OK)
        mc_warnings_free(warnings);
    mc_plan_free(goal);
    return status;
}

/* ---- the series ---- */

/* "upper estimated, lower measured", of the arches that get a series. */
static void say_geometry(const mc_bench *bench, char *out, size_t size) {
    static const char *const names[MC_ARCHES] = {"upper", "lower"};
    size_t used = 0;
    out[0] = '\0';
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (bench->made->account.stages[arch] > 0)
            used += (size_t)snprintf(out + used, size - used, "%s%s %s", used > 0 ? ", " : "",
                                     names[arch],
                                     bench->arches.estimated[arch] ? "estimated" : "measured");
}

mc_status mc_bench_file(const mc_bench *bench, char **data, size_t *size, mc_error *error) {
    const mc_assessment *a = bench->a;
    const bench_made *made = bench->made;
    const bool preview = made->why[0] != '\0';
    char heading[900], day[11], geometry[60];
    *data = NULL;
    *size = 0;
    if (!made->plan)
        return mc_fail(error, MC_REFUSED, "there is no series: %s", made->why);
    const mc_plan_origin origin = {.case_id = a->kase.id,
                                   .checkup = a->score->number,
                                   .version = a->checkup.version,
                                   .preview = preview};
    mc_day_text(a->score->date, day);
    say_geometry(bench, geometry, sizeof geometry);
    snprintf(heading, sizeof heading,
             "re-staged from the poses of check-up %d, %s; upper %d aligners, lower %d\n"
             "where crowns stand: %s\n%s%s",
             a->score->number, day, made->account.stages[MC_UPPER], made->account.stages[MC_LOWER],
             geometry[0] ? geometry : "no series",
             preview ? "PREVIEW, not to be ordered: "
                     : "draft: becomes the plan when a doctor signs it",
             made->why);
    return mc_plan_write(made->plan, MC_NOTATION_ISO, &origin, heading, data, size, error);
}
