#include "steps.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "people.h"
#include "words.h"

/* What a step says by name, so that a file outlives a reordered list. */
static const char *const what_names[MC_STEPS] = {[MC_STEP_ALIGNER] = "aligner",
                                                 [MC_STEP_DAY] = "day",
                                                 [MC_STEP_WEAR] = "wear",
                                                 [MC_STEP_METHOD] = "method",
                                                 [MC_STEP_NOTE] = "note",
                                                 [MC_STEP_SEAT_GAP] = "seat gap",
                                                 [MC_STEP_COMPONENT] = "component",
                                                 [MC_STEP_ATTACHMENT] = "attachment",
                                                 [MC_STEP_CONTACT_MESIAL] = "contact mesial",
                                                 [MC_STEP_CONTACT_DISTAL] = "contact distal",
                                                 [MC_STEP_MOBILITY] = "mobility",
                                                 [MC_STEP_PAIN] = "pain",
                                                 [MC_STEP_SWELLING] = "swelling",
                                                 [MC_STEP_RECESSION] = "recession",
                                                 [MC_STEP_RELATIVE] = "relative",
                                                 [MC_STEP_REST_SEAT] = "rest seat"};
enum { WHAT_SIZE = 24 };

/* ---- in ---- */

/* Which of a step's places its kind uses; the others are null on record. */
static bool has_arch(const mc_step *step) {
    return step->what == MC_STEP_ALIGNER || step->what == MC_STEP_DAY;
}

static bool has_tooth(const mc_step *step) {
    return step->what >= MC_STEP_SEAT_GAP && step->what <= MC_STEP_RELATIVE;
}

static bool has_row(const mc_step *step) {
    return step->what == MC_STEP_SEAT_GAP || step->what == MC_STEP_COMPONENT ||
           step->what == MC_STEP_RELATIVE;
}

static bool has_number(const mc_step *step) {
    return step->what == MC_STEP_WEAR || step->what == MC_STEP_RECESSION || has_row(step);
}

static bool has_whole(const mc_step *step) {
    return step->what == MC_STEP_RELATIVE ||
           (!has_number(step) && step->what != MC_STEP_NOTE && step->what != MC_STEP_REST_SEAT);
}

/* Whether its whole number is an mc_relative. */
static bool is_relative(const mc_step *step) {
    return step->whole >= 0 && step->whole < MC_RELATIVES;
}

mc_status step_check(mc_record *record, const mc_step *step, mc_error *error) {
    if ((unsigned)step->what >= MC_STEPS) {
        return mc_fail(error, MC_REFUSED, "there is no such step");
    }
    if ((has_arch(step) && (unsigned)step->arch >= MC_ARCHES) ||
        (has_tooth(step) && (step->tooth < 0 || step->tooth >= MC_TEETH)) ||
        (has_row(step) && step->row < 0) ||
        (step->what == MC_STEP_COMPONENT && (unsigned)step->component >= MC_COMPONENTS) ||
        (step->what == MC_STEP_RELATIVE && !is_relative(step)) ||
        (has_number(step) && isinf(step->number))) {
        return mc_fail(error, MC_REFUSED, "a step says what no check-up holds");
    }
    mc_status status = people_check(record, step->by, error);
    if (status == MC_OK && step->what == MC_STEP_NOTE) {
        status = note_check(step->text, error);
    }
    return status;
}

mc_status step_insert(mc_record *record, int64_t checkup_n, size_t number, const mc_step *step,
                      mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO steps (checkup_n, number, what, arch, tooth, row, component,"
                        " value, whole, short_of_plan, text, by, undone)"
                        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 0)",
                        error);
    query_put_whole(&q, checkup_n);
    query_put_whole(&q, (int64_t)number);
    query_put_text(&q, what_names[step->what]);
    query_put_whole_unless(&q, has_arch(step) ? (int)step->arch : -1, -1);
    query_put_whole_unless(&q, has_tooth(step) ? mc_tooth_iso(step->tooth) : -1, -1);
    query_put_whole_unless(&q, has_row(step) ? step->row : -1, -1);
    query_put_whole_unless(&q, step->what == MC_STEP_COMPONENT ? (int)step->component : -1, -1);
    query_put_real(&q, has_number(step) ? step->number : NAN);
    query_put_whole_unless(&q, has_whole(step) ? step->whole : INT64_MIN, INT64_MIN);
    query_put_whole(&q, step->what == MC_STEP_COMPONENT && step->short_of_plan);
    query_put_text_or_null(&q, step->what == MC_STEP_NOTE ? step->text : NULL);
    query_put_text(&q, step->by);
    return query_run(&q);
}

mc_status step_set_undone(mc_record *record, int64_t checkup_n, size_t number, bool undone,
                          mc_error *error) {
    query q =
        query_new(record, "UPDATE steps SET undone = ? WHERE checkup_n = ? AND number = ?", error);
    query_put_whole(&q, undone);
    query_put_whole(&q, checkup_n);
    query_put_whole(&q, (int64_t)number);
    return query_run(&q);
}

mc_status steps_delete(mc_record *record, int64_t checkup_n, bool all, mc_error *error) {
    query q =
        query_new(record, "DELETE FROM steps WHERE checkup_n = ? AND (undone = 1 OR ?)", error);
    query_put_whole(&q, checkup_n);
    query_put_whole(&q, all);
    return query_run(&q);
}

/* ---- out ---- */

mc_status steps_count(mc_record *record, int64_t checkup_n, step_count *out, mc_error *error) {
    query q = query_new(
        record, "SELECT count(*), ifnull(sum(undone), 0) FROM steps WHERE checkup_n = ?", error);
    query_put_whole(&q, checkup_n);
    if (query_row(&q)) {
        out->all = (size_t)query_take_whole(&q, 0);
        out->undone = (size_t)query_take_whole(&q, 0);
    }
    return query_end(&q);
}

static bool parse_what(const char *name, mc_step_what *what) {
    for (int i = 0; i < MC_STEPS; i++) {
        if (strcmp(name, what_names[i]) == 0) {
            *what = (mc_step_what)i;
            return true;
        }
    }
    return false;
}

/* The columns from what to undone. */
static void take_step(query *q, mc_step *step) {
    char what[WHAT_SIZE];
    memset(step, 0, sizeof *step);
    query_take_text(q, what, sizeof what);
    step->arch = (mc_arch)query_take_whole(q, MC_UPPER);
    int iso = (int)query_take_whole(q, 0);
    step->tooth = mc_tooth_from_iso(iso);
    step->row = (int)query_take_whole(q, 0);
    step->component = (mc_component)query_take_whole(q, 0);
    step->number = query_take_real(q);
    step->whole = (int)query_take_whole(q, 0);
    step->short_of_plan = query_take_whole(q, 0) != 0;
    query_take_text(q, step->text, sizeof step->text);
    query_take_text(q, step->by, sizeof step->by);
    step->undone = query_take_whole(q, 0) != 0;
    if (q->status == MC_OK && !parse_what(what, &step->what)) {
        query_damaged(q, "a step of an open check-up says nothing that is known");
    }
    if (q->status == MC_OK && has_tooth(step) && step->tooth == MC_NO_TOOTH) {
        query_damaged(q, "a step of an open check-up is of no tooth");
    }
    if (q->status == MC_OK && step->what == MC_STEP_RELATIVE && !is_relative(step)) {
        query_damaged(q, "a step of an open check-up is read against nothing");
    }
}

mc_status steps_load(mc_record *record, int64_t checkup_n, mc_step **out, size_t *count,
                     mc_error *error) {
    *out = NULL;
    *count = 0;
    query q = query_new(record,
                        "SELECT what, arch, tooth, row, component, value, whole, short_of_plan,"
                        " text, by, undone FROM steps WHERE checkup_n = ? ORDER BY number",
                        error);
    query_put_whole(&q, checkup_n);
    while (query_row(&q)) {
        mc_step *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        take_step(&q, &list[(*count)++]);
    }
    mc_status status = query_end(&q);
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    return status;
}

/* ---- checking ---- */

mc_status steps_verify(mc_record *record, mc_error *error) {
    int64_t wrong = 0;
    query q = query_new(record,
                        "SELECT count(*) FROM steps s LEFT JOIN checkups c ON c.n = s.checkup_n"
                        " WHERE ifnull(c.state, '') <> 'open'"
                        " OR (s.number > 1 AND NOT EXISTS (SELECT 1 FROM steps b"
                        "  WHERE b.checkup_n = s.checkup_n AND b.number = s.number - 1"
                        "  AND b.undone <= s.undone))",
                        error);
    mc_status status = query_whole(&q, 0, &wrong);
    if (status == MC_OK && wrong > 0) {
        return record_damaged(record, error, "the steps of an open check-up are not in order");
    }
    return status;
}
