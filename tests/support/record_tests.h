/* What the tests of the record share: a folder of its own for each test, and invented people,
 * cases, plans and check-ups. */
#ifndef RECORD_TESTS_H
#define RECORD_TESTS_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>
#include <math.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "midcourse/record.h"

/* ---- outcomes ---- */

/* Every function of the record takes an error; this is the one the tests look at. */
static mc_error why;

#define done(call)                                                                                 \
    do {                                                                                           \
        why.text[0] = '\0';                                                                        \
        mc_status done_status = (call);                                                            \
        if (done_status != MC_OK) {                                                                \
            fail_msg("%s: status %d: %s", #call, done_status, why.text);                           \
        }                                                                                          \
    } while (0)

/* The call ends with this status and a message that holds these words. */
#define refuses(wanted, words, call)                                                               \
    do {                                                                                           \
        why.text[0] = '\0';                                                                        \
        mc_status refuses_status = (call);                                                         \
        if (refuses_status != (wanted) || why.status != (wanted) ||                                \
            strstr(why.text, words) == NULL) {                                                     \
            fail_msg("%s: status %d: %s", #call, refuses_status, why.text);                        \
        }                                                                                          \
    } while (0)

/* ---- a folder with a record in it ---- */

/* Where the folders of the tests are made. */
static const char *scratch = "/tmp";

typedef struct room {
    char folder[64];
    char path[96];
    mc_record *record;
} room;

static inline void room_place(room *r) {
    snprintf(r->folder, sizeof r->folder, "%s/record-test-XXXXXX", scratch);
    assert_non_null(mkdtemp(r->folder));
    snprintf(r->path, sizeof r->path, "%s/practice.db", r->folder);
}

static inline int room_setup(void **state) {
    room *r = *state = calloc(1, sizeof *r);
    assert_non_null(r);
    room_place(r);
    return mc_record_create(r->path, &r->record, &why) == MC_OK ? 0 : -1;
}

static inline int room_teardown(void **state) {
    room *r = *state;
    char command[96];
    mc_record_close(r->record);
    snprintf(command, sizeof command, "rm -rf '%s'", r->folder);
    int code = system(command);
    free(r);
    return code;
}

/* A name in the test's folder; good until the next call but three. */
static inline const char *beside(const room *r, const char *name) {
    static char names[4][128];
    static int next;
    next = (next + 1) % 4;
    snprintf(names[next], sizeof names[next], "%s/%s", r->folder, name);
    return names[next];
}

/* ---- invented content ---- */

static inline mc_day day(const char *text) {
    mc_day d = MC_NO_DAY;
    assert_true(mc_day_parse(text, &d));
    return d;
}

static inline void all_present(mc_tooth_state states[MC_TEETH]) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        states[t] = mc_tooth_is_deciduous(t) ? MC_TOOTH_MISSING : MC_TOOTH_PRESENT;
    }
}

static inline mc_plan *a_plan(int stages) {
    mc_plan *plan = mc_plan_new();
    assert_non_null(plan);
    for (int iso = 11; iso <= 16; iso++) {
        mc_plan_row half = {.tooth = mc_tooth_from_iso(iso), .stage = stages / 2};
        half.pose.c[MC_MESIAL] = 0.1 * iso;
        half.pose.c[MC_ROTATION] = -0.3;
        mc_plan_row end = half;
        half.attachment = iso == 12 ? MC_MARK_PLACED : MC_MARK_NONE;
        half.ipr_mesial = iso == 11 ? 0.2 : 0;
        end.ipr_mesial = half.ipr_mesial;
        end.stage = stages;
        end.pose.c[MC_MESIAL] = 0.2 * iso;
        done(mc_plan_add(plan, &half, &why));
        done(mc_plan_add(plan, &end, &why));
    }
    return plan;
}

/* One of every word that a reading may say. */
static inline size_t some_readings(mc_reading rows[4]) {
    rows[0] = mc_reading_none(mc_tooth_from_iso(12));
    rows[0].seat_gap = 0.5;
    rows[0].value[MC_MESIAL] = 0.35;
    rows[0].value[MC_ROTATION] = 2.5;
    rows[0].short_of_plan[MC_ROTATION] = true;
    rows[0].attachment = MC_ATTACHMENT_LOST;
    rows[0].mobility = 1;
    rows[0].pain = MC_YES;
    rows[1] = mc_reading_none(mc_tooth_from_iso(12));
    rows[1].value[MC_MESIAL] = 0.36;
    rows[1].method = MC_SCAN;
    rows[1].contact_mesial = MC_CONTACT_TIGHT;
    rows[1].contact_distal = MC_CONTACT_OPEN;
    for (int i = 0; i < MC_RELATIVES; i++) {
        rows[1].relative[i] = mc_relative_is_space((mc_relative)i) ? 0.1 * i : -0.1 * i;
    }
    rows[2] = mc_reading_none(mc_tooth_from_iso(11));
    rows[2].swelling = MC_NO;
    rows[2].recession = 1.5;
    rows[2].attachment = MC_ATTACHMENT_INTACT;
    rows[2].mobility = 0;
    rows[3] = mc_reading_none(mc_tooth_from_iso(13));
    rows[3].seat_gap = 0;
    rows[3].seat_in_bulk = true;
    return 4;
}

static inline mc_checkup a_checkup(const char *date, int aligner, const mc_reading *rows,
                                   size_t count) {
    mc_checkup checkup = {.date = day(date),
                          .aligner = {aligner, MC_NO_ALIGNER},
                          .day = {3, -1},
                          .wear_hours = 21.5,
                          .method = MC_CALIPER,
                          .rows = rows,
                          .count = count};
    return checkup;
}

/* Two doctors and an assistant, one case with a plan. */
typedef struct furnished {
    mc_case course;
    mc_plan_info plan;
} furnished;

static inline furnished furnish_record(mc_record *record) {
    furnished f = {.plan = {.start = day("2025-01-10"), .interval = {7, 0}, .by = "AB"}};
    mc_tooth_state states[MC_TEETH];
    mc_plan *plan = a_plan(24);
    all_present(states);
    done(mc_record_begin(record, false, &why));
    done(mc_record_add_person(record, "AB", MC_DOCTOR, "invented words", &why));
    done(mc_record_add_person(record, "CD", MC_ASSISTANT, "other invented words", &why));
    done(mc_record_add_case(record, "1001", "Invented, Ina", day("1990-05-06"), day("2025-01-02"),
                            states, &f.course, &why));
    done(mc_record_add_plan(record, &f.course.id, plan, NULL, &f.plan, &why));
    done(mc_record_append(record, "AB", &f.course.id, "case opened", "{}", &why));
    done(mc_record_commit(record, &why));
    mc_plan_free(plan);
    return f;
}

/* Complete a check-up in a transaction of its own. */
static inline void add_a_checkup(mc_record *record, const furnished *f, const char *date,
                                 int aligner) {
    mc_reading rows[4];
    mc_checkup_info info;
    mc_checkup checkup = a_checkup(date, aligner, rows, some_readings(rows));
    done(mc_record_begin(record, true, &why));
    done(mc_record_add_checkup(record, &f->course.id, &f->plan.id, &checkup, 1, "CD", &info, &why));
    done(mc_record_append(record, "CD", &f->course.id, "check-up completed", "{\"number\":1}",
                          &why));
    done(mc_record_commit(record, &why));
}

static inline mc_decision a_decision(int checkup) {
    mc_decision decision = {.checkup = checkup,
                            .choices = 1u << MC_HOLD,
                            .days = 7,
                            .to = -1,
                            .reason = "wait for 12",
                            .by = "AB",
                            .evidence = (char *)"{\"score\": {\"worst\": \"12\"}}"};
    return decision;
}

static inline void sign_a_decision(mc_record *record, const furnished *f, int checkup) {
    mc_decision decision = a_decision(checkup);
    done(mc_record_begin(record, true, &why));
    done(mc_record_add_decision(record, &f->course.id, &decision, &why));
    done(mc_record_append(record, "AB", &f->course.id, "decision signed", "{}", &why));
    done(mc_record_commit(record, &why));
}

/* ---- the file behind the record's back ---- */

/* Run SQL as a stranger would, on a connection without any of our settings. */
static inline void as_stranger(const char *path, const char *sql) {
    sqlite3 *db;
    char *message = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, &message) != SQLITE_OK) {
        fail_msg("%s: %s", sql, message);
    }
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

#endif
