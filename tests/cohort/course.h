/* An invented patient taken through the program: the plan, check-up after check-up as rows of
 * readings, and what the program makes of them. */
#ifndef MIDCOURSE_TESTS_COURSE_H
#define MIDCOURSE_TESTS_COURSE_H

#include "midcourse/decision.h"
#include "patients.h"

enum { COURSE_INTERVAL = 14, COURSE_START = 20000 }; /* days an aligner; the day of the first */

/* What is read at every check-up. */
typedef struct reading_habit {
    mc_method method;
    bool unplanned;    /* the components too that are not planned to move */
    double seat_gap;   /* read on every tooth, mm; NaN: not read */
    double wear_hours; /* said; NaN: not */
} reading_habit;

typedef struct case_course {
    mc_settings settings;
    mc_plan *plan;
    mc_tracker *tracker;
    mc_tooth_state states[MC_TEETH];
    int checkups;
    double read[PATIENT_STAGES][PATIENT_TEETH][MC_COMPONENTS]; /* at every check-up; NaN: not */
    mc_score *score;     /* of every check-up, oldest first: where the course is scored */
    mc_earlier *earlier; /* the same for the rules */
    mc_series series[MC_ARCHES];
} case_course;

/* The patient's plan, straight over the series in both arches, with nothing read yet. Ends the
 * program, saying why, where memory is out or the program refuses. scored: whether the check-ups
 * will be judged. */
void course_begin(case_course *course, const true_patient *patient, bool scored);
void course_end(case_course *course);

/* A check-up on the last day of an aligner. Draws the readings' noise from random. */
void course_checkup(case_course *course, const true_patient *patient, const reading_habit *habit,
                    int stage, random_source *random);

/* What the rules say of the last check-up, as they are asked in the practice. */
void course_propose(const case_course *course, mc_proposal *out);

#endif
