/* What the forecast is worth on a cohort. */
#include "measure.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { OF_PATIENT = PATIENT_TEETH * MC_COMPONENTS };

/* Every forecast, one place each; [0] with every grip kept, [1] as found. */
typedef struct {
    size_t count;
    double *p[2], *gap, *oracle, *reader;
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
                    .reader = calloc(room, sizeof(double)),
                    .outside = calloc(room, sizeof(bool))};
    if (!out.p[0] || !out.p[1] || !out.gap || !out.oracle || !out.reader || !out.outside) {
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
    free(o->reader);
    free(o->outside);
}

static double tolerance_of(mc_component c) {
    return mc_component_is_linear(c) ? 1 : 5;
}

/* What the program forecasts of one component, [0] with every grip kept and [1] as found, and what
 * comes of it. */
static void take(outcomes *o, const true_tooth *tooth, mc_component c,
                 const mc_component_forecast *forecast[2]) {
    double end = tooth->at[PATIENT_STAGES][c];
    o->outside[o->count] = fabs(tooth->target[c] - end) > tolerance_of(c);
    for (int k = 0; k < 2; k++) {
        o->p[k][o->count] = forecast[k]->p_out;
        o->covered[k] += forecast[k]->low <= end && end <= forecast[k]->high;
    }
    o->count++;
}

/* Every planned component of a patient, at the last check-up. reader NULL: not asked. */
static void take_all(const case_course *course, const true_patient *patient, const cohort_law *law,
                     int stage, const reader_knows *reader, outcomes *o) {
    static mc_forecast kept, found;
    static mc_score score;
    bool grip[MC_TEETH];
    mc_tracker_score(course->tracker, course->states, &score);
    mc_tracker_forecast(course->tracker, course->states, NULL, &kept);
    mc_tracker_grip(course->tracker, grip);
    mc_tracker_forecast(course->tracker, course->states, grip, &found);
    for (int i = 0; i < PATIENT_TEETH; i++) {
        const true_tooth *tooth = &patient->tooth[i];
        mc_tooth t = tooth->tooth;
        double read[MOST_READ][MC_COMPONENTS], by_reader[MC_COMPONENTS] = {0};
        for (int k = 0; reader && k < reader->readings; k++)
            memcpy(read[k], course->read[k][i], sizeof read[k]);
        if (reader)
            reader_out(reader, tooth, read, by_reader);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            if (tooth->target[c] == 0)
                continue;
            o->gap[o->count] = score.tooth[t].item[c].raw_index;
            o->oracle[o->count] =
                oracle_out(tooth, (mc_component)c, stage, law, tolerance_of((mc_component)c));
            o->reader[o->count] = by_reader[c];
            o->ungripped += !grip[t];
            take(o, tooth, (mc_component)c,
                 (const mc_component_forecast *[2]){&kept.tooth[t].component[c],
                                                    &found.tooth[t].component[c]});
        }
    }
}

static void follow(const true_patient *patient, const cohort_law *law, visit_plan visits,
                   mc_method method, const reader_knows *reader, random_source *random,
                   outcomes *o) {
    const reading_habit habit = {.method = method, .seat_gap = NAN, .wear_hours = NAN};
    case_course course;
    course_begin(&course, patient, false);
    for (int stage = visits.step; stage <= visits.last; stage += visits.step)
        course_checkup(&course, patient, &habit, stage, random);
    take_all(&course, patient, law, visits.last, reader, o);
    course_end(&course);
}

static figures figures_of(const outcomes *o, int k) {
    return (figures){.roc = roc_area(o->p[k], o->outside, o->count),
                     .covers = (double)o->covered[k] / (double)o->count,
                     .calibration = calibration_of(o->p[k], o->outside, o->count)};
}

measured cohort_measure(const cohort_law *law, uint64_t seed, int patients, visit_plan visits,
                        mc_method method, bool ask_reader) {
    const reader_knows reader = {law, visits.step, visits.last / visits.step, method};
    outcomes o = outcomes_new(patients);
    for (int n = 0; n < patients; n++) {
        true_patient patient;
        random_source random = random_seed(seed + 1000003 * (uint64_t)(n + 1)); /* the readings' */
        patient_draw(law, seed, n, &patient);
        follow(&patient, law, visits, method, ask_reader ? &reader : NULL, &random, &o);
    }
    measured out = {.forecasts = o.count,
                    .kept = figures_of(&o, 0),
                    .found = figures_of(&o, 1),
                    .ungripped = o.ungripped,
                    .gap_roc = roc_area(o.gap, o.outside, o.count),
                    .oracle_roc = roc_area(o.oracle, o.outside, o.count),
                    .oracle_error = calibration_of(o.oracle, o.outside, o.count).error,
                    .reader_roc = ask_reader ? roc_area(o.reader, o.outside, o.count) : NAN,
                    .reader_error =
                        ask_reader ? calibration_of(o.reader, o.outside, o.count).error : NAN};
    for (size_t i = 0; i < o.count; i++)
        out.outside += o.outside[i];
    outcomes_free(&o);
    return out;
}
