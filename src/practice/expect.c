/* What readings against a neighbour should say on a day, by their baselines and the plan. */
#include "assess.h"

#include <math.h>
#include <stdlib.h>

/* What is worn: as said, else by the dates. */
static mc_status set_frame(const mc_assessment *a, const int aligner[MC_ARCHES], int day,
                           mc_expectation *out, mc_error *error) {
    mc_checkup frame = {.wear_hours = NAN};
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        frame.aligner[arch] = aligner[arch];
        frame.day[arch] = day;
        if (aligner[arch] != MC_NO_ALIGNER || a->series[arch].stages == 0)
            continue;
        int by_dates;
        frame.aligner[arch] = mc_series_aligner_on(&a->series[arch], out->on, &by_dates);
        if (day < 0 && frame.aligner[arch] > 0 && by_dates <= MC_LONGEST_ALIGNER_DAY)
            frame.day[arch] = by_dates;
    }
    mc_status status = mc_check_frame(a->plan, &frame, error);
    mc_checkup_context context = mc_checkup_context_of(a->plan, &a->settings, &frame);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        out->aligner[arch] = frame.aligner[arch];
        out->day[arch] = frame.aligner[arch] == MC_NO_ALIGNER ? -1 : frame.day[arch];
        out->stage[arch] = context.effective_stage[arch];
    }
    return status;
}

static void expect_one(const mc_assessment *a, const mc_tooth_state states[MC_TEETH],
                       mc_tooth tooth, mc_relative what, mc_expectation *out) {
    const mc_arch arch = mc_tooth_arch(tooth);
    const double s = mc_plan_stages(a->plan, arch) > 0 ? out->stage[arch] : 0;
    const double baseline = mc_tracker_baseline(a->tracker, tooth, what);
    if (isnan(baseline) || !mc_tooth_stands(states[tooth]))
        return;
    out->list[out->count++] = (mc_expected){
        .tooth = tooth,
        .what = what,
        .neighbour = mc_relative_neighbour(what, tooth, states),
        .baseline = baseline,
        .should_read = isnan(s) ? NAN : mc_tracker_should_read(a->tracker, tooth, what, states, s),
        .last_read = mc_tracker_last_read(a->tracker, tooth, what)};
}

static mc_status expect_all(mc_practice *practice, const mc_assessment *a, mc_expectation *out,
                            mc_error *error) {
    mc_tooth_state states[MC_TEETH];
    mc_status status = mc_record_teeth(practice->record, &a->kase.id, out->on, states, error);
    if (status != MC_OK)
        return status;
    out->list = calloc((size_t)MC_TEETH * MC_RELATIVES, sizeof *out->list);
    if (!out->list)
        return mc_fail(error, MC_REFUSED, "out of memory");
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int i = 0; a->tracker && i < MC_RELATIVES; i++)
            expect_one(a, states, t, (mc_relative)i, out);
    return MC_OK;
}

mc_status mc_expect(mc_practice *practice, const mc_case *kase, mc_day on,
                    const int aligner[MC_ARCHES], int day, mc_expectation *out, mc_error *error) {
    mc_assessment *a = NULL;
    *out = (mc_expectation){.on = on == MC_NO_DAY ? practice->today : on};
    mc_status status = mc_active_plan(practice, kase, &(mc_plan_info){0}, NULL, error);
    if (status == MC_OK)
        status = mc_assess_on(practice, kase, out->on, true, &a, error);
    if (status == MC_OK) {
        out->plan = a->info.number;
        status = set_frame(a, aligner, day, out, error);
    }
    if (status == MC_OK)
        status = expect_all(practice, a, out, error);
    mc_assessment_free(a);
    if (status != MC_OK)
        mc_expectation_free(out);
    return status;
}

void mc_expectation_free(mc_expectation *expectation) {
    free(expectation->list);
    expectation->list = NULL;
    expectation->count = 0;
}
