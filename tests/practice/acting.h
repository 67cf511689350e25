/* People who act on a case, for the tests of the actions. A practice with three people and one case
 * on a plan is made once and copied for every test, as a passphrase is slow to make on purpose. */
#ifndef ACTING_H
#define ACTING_H

#include "practised.h"

#include "practice.h"

#define DOCTOR_WORDS "invented words"
#define OTHER_WORDS "quite other words"
#define PLAN_START "2025-03-10"
/* Check-up 1: aligner 4, its day 10; check-up 2: aligner 9, its day 2. */
#define FIRST_DAY "2025-04-18"
#define SECOND_DAY "2025-05-30"

/* On plan by either: stage 4 and stage 8.5 of PLAN. */
#define PLAN                                                                                       \
    "tooth,stage,buccal_mm,rotation_deg,attachment\n12,0,0,0,placed\n12,24,1.2,18,\n"              \
    "11,24,0.6,-9,\n"
#define FIRST_READ "tooth,seat_gap_mm,buccal_mm,rotation_deg\n12,0.1,0.2,3\n11,0.1,0.1,-1.5\n"
#define SECOND_READ                                                                                \
    "tooth,seat_gap_mm,mesial_mm,buccal_mm,occlusal_mm,rotation_deg,angulation_deg,"               \
    "inclination_deg\n12,0.1,0,0.42,0,6.4,0,0\n11,0.1,0,0.21,0,-3.2,0,0\n"

static house template_house;

static inline void act_as(house *h, const char *initials) {
    done(mc_practice_act_as(h->practice, initials, &why));
}

/* Somebody who has not been named yet sits down at the same record. */
static inline void nobody(house *h, const char *today) {
    mc_practice_close(h->practice);
    done(mc_practice_open(h->path, day(today), &h->practice, &why));
}

static inline mc_plan_import plan_file(const char *text) {
    return (mc_plan_import){
        .data = text, .size = strlen(text), .start = day(PLAN_START), .interval = {10, 10}};
}

static inline mc_status import_plan(house *h, const char *label, const mc_plan_import *what) {
    mc_case kase = find(h->practice, label);
    mc_plan_info info;
    mc_warnings warnings;
    mc_status status = mc_import_plan(h->practice, &kase, what, &info, &warnings, &why);
    mc_warnings_free(&warnings);
    return status;
}

static inline mc_checkup_import readings(const char *text, const char *date, int aligner,
                                         int day_of) {
    return (mc_checkup_import){.data = text,
                               .size = strlen(text),
                               .date = day(date),
                               .aligner = {aligner, MC_NO_ALIGNER},
                               .day = {day_of, -1},
                               .wear_hours = 22,
                               .method = MC_CALIPER};
}

static inline mc_status import_checkup(house *h, const char *label, const mc_checkup_import *what) {
    mc_case kase = find(h->practice, label);
    mc_warnings warnings;
    int number = 0;
    mc_status status = mc_import_checkup(h->practice, &kase, what, &number, &warnings, &why);
    mc_warnings_free(&warnings);
    return status;
}

/* The two check-ups, each on its day; the second by scan. */
static inline void first_checkup(house *h) {
    mc_checkup_import what = readings(FIRST_READ, FIRST_DAY, 4, 10);
    h->practice->today = day(FIRST_DAY);
    done(import_checkup(h, "1001", &what));
}

static inline void second_checkup(house *h) {
    mc_checkup_import what = readings(SECOND_READ, SECOND_DAY, 9, 2);
    what.method = MC_SCAN;
    h->practice->today = day(SECOND_DAY);
    done(import_checkup(h, "1001", &what));
}

/* A doctor AB, an assistant CD, a desk EF; case 1001 on its plan. The doctor acts. */
static inline int make_template(void **state) {
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_plan_import plan = plan_file(PLAN);
    house *h = house_new();
    (void)state;
    done(mc_practice_make(h->path, day("2025-03-01"), "AB", DOCTOR_WORDS, &h->practice, &why));
    done(mc_staff_add(h->practice, "CD", MC_ASSISTANT, OTHER_WORDS, NULL, &why));
    done(mc_staff_add(h->practice, "EF", MC_DESK, OTHER_WORDS, NULL, &why));
    mc_usual_teeth(states);
    states[mc_tooth_from_iso(18)] = MC_TOOTH_MISSING;
    states[mc_tooth_from_iso(16)] = MC_TOOTH_IMPLANT;
    done(
        mc_case_open(h->practice, "1001", "Invented, Ina", day("1990-05-06"), states, &kase, &why));
    done(import_plan(h, "1001", &plan));
    mc_practice_close(h->practice);
    h->practice = NULL;
    template_house = *h;
    free(h);
    return 0;
}

static inline int remove_template(void **state) {
    char command[96];
    (void)state;
    snprintf(command, sizeof command, "rm -rf '%s'", template_house.folder);
    return system(command);
}

static inline int enter(void **state) {
    char command[256];
    house *h = house_new();
    snprintf(command, sizeof command, "cp '%s' '%s'", template_house.path, h->path);
    assert_int_equal(system(command), 0);
    done(mc_practice_open(h->path, day("2025-03-10"), &h->practice, &why));
    act_as(h, "AB");
    *state = h;
    return 0;
}

/* Whatever was done or refused, the record is whole. */
static inline int leave(void **state) {
    house *h = *state;
    done(mc_record_verify(mc_practice_record(h->practice), NULL, &why));
    house_free(h);
    return 0;
}

#define acting_test(name) cmocka_unit_test_setup_teardown(name, enter, leave)

/* The call is refused with these words, and nothing was committed. */
#define refused(h, words, call)                                                                    \
    do {                                                                                           \
        int64_t refused_change = mc_record_change(mc_practice_record((h)->practice));              \
        refuses(MC_REFUSED, words, call);                                                          \
        assert_int_equal(mc_record_change(mc_practice_record((h)->practice)), refused_change);     \
    } while (0)

/* The call is done and journalled as one entry with this action's name. */
#define journalled(h, action, call)                                                                \
    do {                                                                                           \
        char journalled_last[33];                                                                  \
        size_t journalled_before = journal_length((h)->practice, NULL);                            \
        done(call);                                                                                \
        assert_int_equal(journal_length((h)->practice, journalled_last), journalled_before + 1);   \
        assert_string_equal(journalled_last, action);                                              \
    } while (0)

#endif
