/* open: a check-up while it is entered. Its row is there from the first value on, with the frame as
 * it was begun in a version that has no hash yet; every value since is a step. */
#include <stdlib.h>
#include <string.h>

#include "cases.h"
#include "checkups.h"
#include "people.h"
#include "plans.h"
#include "settings_sets.h"
#include "steps.h"

/* ---- finding it ---- */

/* An open check-up with its only version. */
typedef struct open_row {
    int64_t n, version_n, case_n, plan_n;
    mc_checkup_info info; /* the note is on the heap: checkup_info_empty */
} open_row;

static mc_status find_open(mc_record *record, const mc_id *id, open_row *out, mc_error *error) {
    memset(out, 0, sizeof *out);
    query q = query_new(record, CHECKUP_VERSIONS " WHERE c.id = ? AND c.state = 'open'", error);
    query_put_id(&q, id);
    bool found = query_row(&q);
    if (found) {
        out->version_n = checkup_take_version(&q, &out->info);
    }
    mc_status status = query_end(&q);
    if (status == MC_OK && !found) {
        return mc_fail(error, MC_REFUSED,
                       "the check-up is no longer being entered: somebody else has completed it or "
                       "thrown it away");
    }
    if (status == MC_OK) {
        q = query_new(record, "SELECT n, case_n, plan_n FROM checkups WHERE id = ?", error);
        query_put_id(&q, id);
        if (query_row(&q)) {
            out->n = query_take_whole(&q, 0);
            out->case_n = query_take_whole(&q, 0);
            out->plan_n = query_take_whole(&q, 0);
        }
        status = query_end(&q);
    }
    if (status != MC_OK) {
        checkup_info_empty(&out->info);
    }
    return status;
}

/* The same, refusing where its steps are not those that the caller knows of. */
static mc_status find_unchanged(mc_record *record, const mc_id *id, size_t expected, size_t undone,
                                open_row *out, mc_error *error) {
    step_count there = {0, 0};
    mc_status status = find_open(record, id, out, error);
    if (status != MC_OK) {
        return status;
    }
    status = steps_count(record, out->n, &there, error);
    if (status == MC_OK && (there.all != expected || there.undone != undone)) {
        status =
            mc_fail(error, MC_REFUSED, "check-up %d: somebody else has entered something meanwhile",
                    out->info.checkup.number);
    }
    if (status != MC_OK) {
        checkup_info_empty(&out->info);
    }
    return status;
}

static mc_status load_open(mc_record *record, const mc_id *case_id, mc_checkup_info *out,
                           mc_step **steps, size_t *count, bool *found, mc_error *error) {
    case_row of;
    mc_id id = {{0}};
    mc_status status = case_find(record, case_id, &of, error);
    if (status != MC_OK) {
        return status;
    }
    query q =
        query_new(record, "SELECT id FROM checkups WHERE case_n = ? AND state = 'open'", error);
    query_put_whole(&q, of.n);
    if (query_row(&q)) {
        query_take_id(&q, &id);
    }
    status = query_end(&q);
    if (status != MC_OK || mc_id_is_none(&id)) {
        return status;
    }
    open_row row;
    status = find_open(record, &id, &row, error);
    if (status != MC_OK) {
        return status;
    }
    status = steps_load(record, row.n, steps, count, error);
    if (status != MC_OK) {
        checkup_info_empty(&row.info);
        return status;
    }
    *out = row.info;
    *found = true;
    return MC_OK;
}

mc_status mc_record_open_checkup(mc_record *record, const mc_id *case_id, mc_checkup_info *out,
                                 mc_step **steps, size_t *count, bool *found, mc_error *error) {
    memset(out, 0, sizeof *out);
    *steps = NULL;
    *count = 0;
    *found = false;
    mc_status status = mc_record_begin_reading(record, error);
    if (status != MC_OK) {
        return status;
    }
    status = load_open(record, case_id, out, steps, count, found, error);
    mc_record_end_reading(record);
    return status;
}

/* ---- beginning ---- */

mc_status mc_record_begin_checkup(mc_record *record, const mc_id *case_id, const mc_id *plan,
                                  const mc_checkup *checkup, int64_t settings, const char *by,
                                  mc_checkup_info *out, mc_error *error) {
    case_row of;
    plan_row on;
    int64_t n = 0, version_n = 0;
    mc_checkup_info info;
    mc_status status = checkup_prepare(record, case_id, plan, checkup, settings, by, false, &of,
                                       &on, &info, error);
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    info.open = true;
    status = checkup_insert(record, of.n, on.n, &info, &n, error);
    if (status == MC_OK) {
        status = checkup_insert_version(record, n, &info, &version_n, error);
    }
    status = work_settle(record, status, error);
    if (status == MC_OK) {
        *out = info;
    }
    return status;
}

/* ---- values ---- */

static mc_status append_step(mc_record *record, const open_row *row, size_t standing,
                             const mc_step *step, mc_error *error) {
    mc_status status = steps_delete(record, row->n, false, error);
    return status == MC_OK ? step_insert(record, row->n, standing + 1, step, error) : status;
}

mc_status mc_record_add_step(mc_record *record, const mc_id *checkup_id, size_t expected,
                             size_t undone, const mc_step *step, mc_error *error) {
    open_row row;
    mc_status status = step_check(record, step, error);
    if (status == MC_OK) {
        status = find_unchanged(record, checkup_id, expected, undone, &row, error);
    }
    if (status != MC_OK) {
        return status;
    }
    status = work_mark(record, error);
    if (status == MC_OK) {
        status =
            work_settle(record, append_step(record, &row, expected - undone, step, error), error);
    }
    checkup_info_empty(&row.info);
    return status;
}

/* Mark step `number` as undone or not; 0 where there is none. */
static mc_status turn_step(mc_record *record, const mc_id *checkup_id, size_t expected,
                           size_t undone, size_t number, bool back, mc_error *error) {
    open_row row;
    mc_status status = find_unchanged(record, checkup_id, expected, undone, &row, error);
    if (status != MC_OK) {
        return status;
    }
    if (number == 0) {
        status = mc_fail(error, MC_REFUSED, "there is nothing to %s", back ? "undo" : "redo");
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
        if (status == MC_OK) {
            status =
                work_settle(record, step_set_undone(record, row.n, number, back, error), error);
        }
    }
    checkup_info_empty(&row.info);
    return status;
}

mc_status mc_record_undo_step(mc_record *record, const mc_id *checkup_id, size_t expected,
                              size_t undone, mc_error *error) {
    return turn_step(record, checkup_id, expected, undone, expected - undone, true, error);
}

mc_status mc_record_redo_step(mc_record *record, const mc_id *checkup_id, size_t expected,
                              size_t undone, mc_error *error) {
    size_t next = undone > 0 ? expected - undone + 1 : 0;
    return turn_step(record, checkup_id, expected, undone, next, false, error);
}

/* ---- the end of it ---- */

/* The frame as it came to be, over the one it was begun with. */
static mc_status rewrite_frame(mc_record *record, int64_t version_n, const mc_checkup_info *info,
                               mc_error *error) {
    const mc_checkup *checkup = &info->checkup;
    query q = query_new(record,
                        "UPDATE checkup_versions SET upper_aligner = ?, lower_aligner = ?,"
                        " upper_day = ?, lower_day = ?, wear_hours = ?, method = ?,"
                        " settings_set = ?, by = ?, note = ? WHERE n = ?",
                        error);
    checkup_put_frame(&q, checkup);
    query_put_whole(&q, info->settings);
    query_put_text(&q, info->by);
    query_put_text_or_null(&q, checkup->note);
    query_put_whole(&q, version_n);
    return query_run(&q);
}

static mc_status complete(mc_record *record, const open_row *row, mc_checkup_info *info,
                          mc_error *error) {
    mc_status status = rewrite_frame(record, row->version_n, info, error);
    if (status == MC_OK) {
        status = checkup_fill_version(record, row->version_n, info, error);
    }
    if (status == MC_OK) {
        status = steps_delete(record, row->n, true, error);
    }
    return status == MC_OK ? checkup_set_completed(record, row->n, error) : status;
}

/* What may have changed since it was begun: the case closed, the plan superseded (and not worn
 * until the next one comes). */
static mc_status still_stands(mc_record *record, const open_row *row, mc_error *error) {
    plan_row plan;
    plan_turn turn;
    mc_status status = plan_find(record, &row->info.plan, &plan, error);
    if (status == MC_OK) {
        status = plan_turn_of(record, row->case_n, &turn, error);
    }
    if (status == MC_OK && plan.n != turn.active_n && plan.n != turn.worn_n) {
        return mc_fail(error, MC_REFUSED, "check-up %d was begun on plan %d, which has ended since",
                       row->info.checkup.number, plan.number);
    }
    return status;
}

static mc_status prepare_completion(mc_record *record, const open_row *row,
                                    const mc_checkup *checkup, int64_t settings, const char *by,
                                    mc_checkup_info *info, mc_error *error) {
    mc_status status = still_stands(record, row, error);
    if (status == MC_OK) {
        status = checkup_check_content(record, row->plan_n, checkup, by, error);
    }
    if (status == MC_OK) {
        status = settings_check(record, settings, row->case_n, error);
    }
    if (status != MC_OK) {
        return status;
    }
    *info = (mc_checkup_info){.id = row->info.id,
                              .plan = row->info.plan,
                              .version = 1,
                              .settings = settings,
                              .checkup = checkup_tidied(checkup)};
    info->checkup.number = row->info.checkup.number;
    info->checkup.date = row->info.checkup.date;
    strcpy(info->by, by);
    return MC_OK;
}

mc_status mc_record_complete_checkup(mc_record *record, const mc_id *checkup_id, size_t expected,
                                     size_t undone, const mc_checkup *checkup, int64_t settings,
                                     const char *by, mc_checkup_info *out, mc_error *error) {
    open_row row;
    mc_checkup_info info;
    mc_status status = find_unchanged(record, checkup_id, expected, undone, &row, error);
    if (status != MC_OK) {
        return status;
    }
    status = prepare_completion(record, &row, checkup, settings, by, &info, error);
    if (status == MC_OK) {
        status = work_mark(record, error);
        if (status == MC_OK) {
            status = work_settle(record, complete(record, &row, &info, error), error);
        }
    }
    checkup_info_empty(&row.info);
    if (status == MC_OK) {
        *out = info;
    }
    return status;
}

static mc_status delete_all(mc_record *record, const open_row *row, mc_error *error) {
    static const char *const last[] = {"DELETE FROM checkup_versions WHERE checkup_n = ?",
                                       "DELETE FROM checkups WHERE n = ?"};
    mc_status status = steps_delete(record, row->n, true, error);
    for (size_t i = 0; status == MC_OK && i < sizeof last / sizeof last[0]; i++) {
        query q = query_new(record, last[i], error);
        query_put_whole(&q, row->n);
        status = query_run(&q);
    }
    return status;
}

mc_status mc_record_discard_checkup(mc_record *record, const mc_id *checkup_id, size_t expected,
                                    size_t undone, mc_error *error) {
    open_row row;
    mc_status status = find_unchanged(record, checkup_id, expected, undone, &row, error);
    if (status != MC_OK) {
        return status;
    }
    status = work_mark(record, error);
    if (status == MC_OK) {
        status = work_settle(record, delete_all(record, &row, error), error);
    }
    checkup_info_empty(&row.info);
    return status;
}
