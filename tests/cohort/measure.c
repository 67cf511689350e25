/* What the forecast is worth on a cohort. */
#include "measure.h"

#include <stdio.h>
#include <stdlib.h>

enum { OF_PATIENT = PATIENT_TEETH * MC_COMPONENTS };

/* Every forecast, one place each; [0] with every grip kept, [1] as found. */
typedef struct {
    size_t count;
    double *p[2], *gap, *oracle;
    bool *outside;
    size_t covered[2], ungripped;
} outcomes;

cohort_law cohort_of(char letter) {
    return letter == 'A' ? law_published() : letter == 'B' ? law_lower() : law_two_kinds();
}

static outcomes outcomes_new(int patients) {
    size_t room = (size_t)patients * OF_PATIENT;
    outcomes out = {.p = {calloc(room, sizeof(double)), calloc(room, sizeof(double))},
                    .gap = calloc(room, sizeof(double)),
                    .oracle = calloc(room, sizeof(double)),
                    .outside = calloc(room, sizeof(bool))};
    if (!out.p[0] || !out.p[1] || !out.gap || !out.oracle || !out.outside) {
        fprintf(stderr, "cohort: out of memory\n");
        exit(1);
    }
    return out;
}

static void outcomes_free(outcomes *o) {
    free(o->p[0]);
    free(o->p[1]);
    free(o->gap);
    free(o->oracle);
    free(o->outside);
}

/* What came of the forecasts of one component. */
static void take(outcomes *o, const true_tooth *tooth, mc_component c,
                 const mc_component_forecast *forecast[2]) {
    double tolerance = mc_component_is_linear(c) ? 1 : 5, end = tooth->at[PATIENT_STAGES][c];
    o->outside[o->count] = fabs(tooth->target[c] - end) > tolerance;
    for (int k = 0; k < 2; k++) {
        o->p[k][o->count] = forecast[k]->p_out;
        o->covered[k] += forecast[k]->low <= end && end <= forecast[k]->high;
    }
    o->count++;
}

static void follow(const true_patient *patient, const cohort_law *law, visit_plan visits,
                   mc_method method, random_source *random, outcomes *o) {
    const reading_habit habit = {.method = method, .seat_gap = NAN, .wear_hours = NAN};
    static mc_forecast kept, found;
    static mc_score score;
    bool grip[MC_TEETH];
    case_course course;
    course_begin(&course, patient, false);
    for (int stage = visits.step; stage <= visits.last; stage += visits.step)
        course_checkup(&course, patient, &habit, stage, random);
    mc_tracker_score(course.tracker, course.states, &score);
    mc_tracker_forecast(course.tracker, course.states, NULL, &kept);
    mc_tracker_grip(course.tracker, grip);
    mc_tracker_forecast(course.tracker, course.states, grip, &found);
    for (int i = 0; i < PATIENT_TEETH; i++) {
        const true_tooth *tooth = &patient->tooth[i];
        mc_tooth t = tooth->tooth;
        for (int c = 0; c < MC_COMPONENTS; c++) {
            if (tooth->target[c] == 0)
                continue;
            o->gap[o->count] = score.tooth[t].item[c].raw_index;
            o->oracle[o->count] = oracle_out(tooth, (mc_component)c, visits.last, law,
                                             mc_component_is_linear((mc_component)c) ? 1 : 5);
            o->ungripped += !grip[t];
            take(o, tooth, (mc_component)c,
                 (const mc_component_forecast *[2]){&kept.tooth[t].component[c],
                                                    &found.tooth[t].component[c]});
        }
    }
    course_end(&course);
}

static figures figures_of(const outcomes *o, int k) {
    return (figures){.roc = roc_area(o->p[k], o->outside, o->count),
                     .covers = (double)o->covered[k] / (double)o->count,
                     .calibration = calibration_of(o->p[k], o->outside, o->count)};
}

measured cohort_measure(const cohort_law *law, uint64_t seed, int patients, visit_plan visits,
                        mc_method method) {
    outcomes o = outcomes_new(patients);
    for (int n = 0; n < patients; n++) {
        true_patient patient;
        random_source random = random_seed(seed + 1000003 * (uint64_t)(n + 1)); /* the readings' */
        patient_draw(law, seed, n, &patient);
        follow(&patient, law, visits, method, &random, &o);
    }
    measured out = {.forecasts = o.count,
                    .kept = figures_of(&o, 0),
                    .found = figures_of(&o, 1),
                    .ungripped = o.ungripped,
                    .gap_roc = roc_area(o.gap, o.outside, o.count),
                    .oracle_roc = roc_area(o.oracle, o.outside, o.count),
                    .oracle_error = calibration_of(o.oracle, o.outside, o.count).error};
    for (size_t i = 0; i < o.count; i++)
        out.outside += o.outside[i];
    outcomes_free(&o);
    return out;
}
