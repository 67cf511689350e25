/* A re-staged plan from where the teeth are now, as a draft file: the workbench without hands. */
#include "practice.h"

#include <stdio.h>
#include <stdlib.h>

static mc_status take_wishes(mc_bench *bench, const char *target, size_t target_size,
                             double percent, mc_warnings *warnings, mc_error *error) {
    mc_status status = MC_OK;
    if (percent != 0)
        status = mc_bench_overcorrect_all(bench, percent, error);
    if (status == MC_OK && target)
        status = mc_bench_targets(bench, target, target_size, MC_NOTATION_ISO, warnings, error);
    return status;
}

mc_status mc_revise(mc_practice *practice, const mc_case *kase, const char *target,
                    size_t target_size, double overcorrect_percent, mc_revision *out,
                    mc_error *error) {
    mc_bench *bench = NULL;
    *out = (mc_revision){0};
    mc_status status = mc_bench_open(practice, kase, false, &bench, error);
    if (status == MC_OK)
        status =
            take_wishes(bench, target, target_size, overcorrect_percent, &out->warnings, error);
    if (status == MC_OK) {
        out->account = *mc_bench_account(bench);
        out->start = mc_bench_start(bench);
        snprintf(out->why_preview, sizeof out->why_preview, "%s", mc_bench_why(bench));
        out->preview = out->why_preview[0] != '\0';
        status = mc_bench_file(bench, &out->file, &out->file_size, error);
    }
    mc_bench_close(bench);
    if (status != MC_OK)
        mc_revision_free(out);
    return status;
}

void mc_revision_free(mc_revision *revision) {
    mc_warnings_free(&revision->warnings);
    free(revision->file);
    revision->file = NULL;
}
