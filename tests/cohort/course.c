/* An invented patient taken through the program. */
#include "course.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void stop(const char *why) {
    fprintf(stderr, "cohort: %s\n", why);
    exit(1);
}

static void plan_tooth(mc_plan *plan, const true_tooth *tooth) {
    mc_error error;
    mc_plan_row row = {.tooth = tooth->tooth, .stage = PATIENT_STAGES};
    for (int c = 0; c < MC_COMPONENTS; c++)
        row.pose.c[c] = tooth->target[c];
    if (mc_plan_add(plan, &row, &error) != MC_OK)
        stop(error.text);
}

void course_begin(case_course *course, const true_patient *patient, bool scored) {
    *course = (case_course){.plan = mc_plan_new()};
    mc_settings_defaults(&course->settings);
    course->tracker = mc_tracker_new(&course->settings);
    if (scored) {
        course->score = calloc(PATIENT_STAGES, sizeof *course->score);
        course->earlier = calloc(PATIENT_STAGES, sizeof *course->earlier);
    }
    if (!course->plan || !course->tracker || (scored && (!course->score || !course->earlier)))
        stop("out of memory");
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        course->states[t] = MC_TOOTH_MISSING;
    for (int i = 0; i < PATIENT_TEETH; i++) {
        course->states[patient->tooth[i].tooth] = MC_TOOTH_PRESENT;
        plan_tooth(course->plan, &patient->tooth[i]);
    }
    for (int a = 0; a < MC_ARCHES; a++)
        course->series[a] = mc_series_start(PATIENT_STAGES, COURSE_INTERVAL, COURSE_START);
    mc_tracker_begin(course->tracker, course->plan, NULL);
}

void course_end(case_course *course) {
    mc_tracker_free(course->tracker);
    mc_plan_free(course->plan);
    free(course->score);
    free(course->earlier);
    *course = (case_course){0};
}

static mc_reading read_tooth(const true_tooth *tooth, const reading_habit *habit, int stage,
                             random_source *random) {
    mc_reading r = mc_reading_none(tooth->tooth);
    r.seat_gap = habit->seat_gap;
    for (int i = 0; i < MC_COMPONENTS; i++)
        if (habit->unplanned || tooth->target[i] != 0)
            r.value[i] = read_at(tooth, (mc_component)i, stage, habit->method, random);
    return r;
}

static void judge(case_course *course, const mc_checkup *checkup) {
    mc_score *score = &course->score[course->checkups];
    mc_tracker_score(course->tracker, course->states, score);
    course->earlier[course->checkups] = (mc_earlier){.score = score};
    for (int a = 0; a < MC_ARCHES; a++)
        course->series[a] =
            mc_series_seen(&course->series[a], checkup->date, checkup->aligner[a], checkup->day[a]);
}

void course_checkup(case_course *course, const true_patient *patient, const reading_habit *habit,
                    int stage, random_source *random) {
    mc_error error;
    mc_reading rows[PATIENT_TEETH];
    mc_checkup checkup = {.number = course->checkups + 1,
                          .date = COURSE_START + COURSE_INTERVAL * stage - 1,
                          .aligner = {stage, stage},
                          .day = {COURSE_INTERVAL, COURSE_INTERVAL},
                          .wear_hours = habit->wear_hours,
                          .method = habit->method,
                          .rows = rows,
                          .count = PATIENT_TEETH};
    for (int i = 0; i < PATIENT_TEETH; i++) {
        rows[i] = read_tooth(&patient->tooth[i], habit, stage, random);
        memcpy(course->read[course->checkups][i], rows[i].value, sizeof rows[i].value);
    }
    if (mc_tracker_add(course->tracker, &checkup, &error) != MC_OK)
        stop(error.text);
    if (course->score)
        judge(course, &checkup);
    course->checkups++;
}

void course_propose(const case_course *course, mc_proposal *out) {
    mc_forecast forecast;
    bool grip[MC_TEETH];
    size_t before = (size_t)course->checkups - 1;
    mc_tracker_grip(course->tracker, grip);
    mc_tracker_forecast(course->tracker, course->states, grip, &forecast);
    mc_situation situation = {.settings = &course->settings,
                              .plan = course->plan,
                              .score = &course->score[before],
                              .states = course->states,
                              .earlier = course->earlier,
                              .earlier_count = before,
                              .earlier_on_plan = before,
                              .interval = {COURSE_INTERVAL, COURSE_INTERVAL},
                              .overjet_above_plan = NAN,
                              .tracker = course->tracker,
                              .forecast = &forecast,
                              .series = {course->series[MC_UPPER], course->series[MC_LOWER]}};
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        situation.baseline_mobility[t] = -1;
        situation.baseline_recession[t] = NAN;
        situation.ipr_done[t][0] = situation.ipr_done[t][1] = NAN;
    }
    mc_propose(&situation, out);
}
