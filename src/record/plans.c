#include "plans.h"

#include <stdlib.h>
#include <string.h>

#include "cases.h"
#include "checkups.h"
#include "digest.h"
#include "people.h"
#include "plan_rows.h"
#include "words.h"

static const char *const status_names[] = {"active", "superseded", "closed"};
enum { STATUSES = sizeof status_names / sizeof status_names[0], LONGEST_INTERVAL = 365 };

static mc_plan_status take_status(query *q) {
    char name[16];
    query_take_text(q, name, sizeof name);
    for (int i = 0; i < (int)STATUSES; i++) {
        if (strcmp(name, status_names[i]) == 0) {
            return (mc_plan_status)i;
        }
    }
    query_damaged(q, "a plan has no status");
    return MC_PLAN_CLOSED;
}

/* ---- finding ---- */

#define ROW_COLUMNS "SELECT n, case_n, number, status, start, hash FROM plans"

static bool take_plan_row(query *q, plan_row *out) {
    memset(out, 0, sizeof *out);
    if (!query_row(q)) {
        return false;
    }
    out->n = query_take_whole(q, 0);
    out->case_n = query_take_whole(q, 0);
    out->number = (int)query_take_whole(q, 0);
    out->status = take_status(q);
    out->start = query_take_day(q);
    query_take_hash(q, out->hash);
    return true;
}

mc_status plan_find(mc_record *record, const mc_id *id, plan_row *out, mc_error *error) {
    query q = query_new(record, ROW_COLUMNS " WHERE id = ?", error);
    query_put_id(&q, id);
    bool found = take_plan_row(&q, out);
    mc_status status = query_end(&q);
    if (status == MC_OK && !found) {
        return mc_fail(error, MC_REFUSED, "no such plan");
    }
    return status;
}

mc_status plan_stages(mc_record *record, int64_t plan_n, int stages[MC_ARCHES], mc_error *error) {
    query q = query_new(record,
                        "SELECT max(stage) FILTER (WHERE tooth / 10 IN (1, 2, 5, 6)),"
                        " max(stage) FILTER (WHERE tooth / 10 IN (3, 4, 7, 8))"
                        " FROM plan_rows WHERE plan_n = ?",
                        error);
    query_put_whole(&q, plan_n);
    stages[MC_UPPER] = stages[MC_LOWER] = 0;
    if (query_row(&q)) {
        stages[MC_UPPER] = (int)query_take_whole(&q, 0);
        stages[MC_LOWER] = (int)query_take_whole(&q, 0);
    }
    return query_end(&q);
}

#define INFO_COLUMNS                                                                               \
    "SELECT p.id, p.number, p.status, p.start, p.upper_interval, p.lower_interval, p.made_from,"   \
    " s.id, w.id, p.hash, p.by, p.n, p.seal, c.id FROM plans p JOIN cases c ON c.n = p.case_n"     \
    " LEFT JOIN plans s ON s.n = p.supersedes"                                                     \
    " LEFT JOIN checkups m ON m.case_n = p.case_n AND m.number = p.made_from"                      \
    " LEFT JOIN plans w ON w.n = m.plan_n"

static void take_info(query *q, mc_plan_info *out) {
    memset(out, 0, sizeof *out);
    query_take_id(q, &out->id);
    out->number = (int)query_take_whole(q, 0);
    out->status = take_status(q);
    out->start = query_take_day(q);
    out->interval[MC_UPPER] = (int)query_take_whole(q, 0);
    out->interval[MC_LOWER] = (int)query_take_whole(q, 0);
    out->made_from = (int)query_take_whole(q, 0);
    query_take_id(q, &out->supersedes);
    query_take_id(q, &out->corrects);
    query_take_hash(q, out->hash);
    query_take_text(q, out->by, sizeof out->by);
    plan_events_none(out);
}

mc_status mc_record_plans(mc_record *record, const mc_id *case_id, mc_plan_info **out,
                          size_t *count, mc_error *error) {
    case_row found;
    *out = NULL;
    *count = 0;
    mc_status status = case_find(record, case_id, &found, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record, INFO_COLUMNS " WHERE p.case_n = ? ORDER BY p.number", error);
    query_put_whole(&q, found.n);
    while (query_row(&q)) {
        mc_plan_info *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        take_info(&q, &list[*count]);
        ++*count;
    }
    status = query_end(&q);
    if (status == MC_OK) {
        status = plan_events_fill(record, found.n, *out, *count, error);
    }
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    return status;
}

mc_status mc_record_plan(mc_record *record, const mc_id *plan_id, mc_plan **out, mc_start *start,
                         mc_error *error) {
    plan_row found;
    *out = NULL;
    mc_status status = plan_find(record, plan_id, &found, error);
    if (status == MC_OK && start != NULL) {
        status = plan_start_load(record, found.n, start, error);
    }
    return status == MC_OK ? plan_rows_load(record, found.n, out, error) : status;
}

/* ---- adding ---- */

/* The identity of a plan; none where n is 0. */
static mc_status id_of(mc_record *record, int64_t n, mc_id *id, mc_error *error) {
    memset(id, 0, sizeof *id);
    if (n == 0) {
        return MC_OK;
    }
    query q = query_new(record, "SELECT id FROM plans WHERE n = ?", error);
    query_put_whole(&q, n);
    if (query_row(&q)) {
        query_take_id(&q, id);
    }
    return query_end(&q);
}

/* The last plan of a case; n 0 where there is none yet. */
static mc_status last_plan(mc_record *record, int64_t case_n, plan_row *out, mc_id *id,
                           mc_error *error) {
    query q =
        query_new(record, ROW_COLUMNS " WHERE case_n = ? ORDER BY number DESC LIMIT 1", error);
    query_put_whole(&q, case_n);
    take_plan_row(&q, out);
    mc_status status = query_end(&q);
    return status == MC_OK ? id_of(record, out->n, id, error) : status;
}

static mc_status check_plan(const mc_plan *plan, const mc_plan_info *info, mc_error *error) {
    if (mc_plan_stages(plan, MC_UPPER) == 0 && mc_plan_stages(plan, MC_LOWER) == 0) {
        return mc_fail(error, MC_REFUSED, "the plan has no aligners");
    }
    if (info->start == MC_NO_DAY) {
        return mc_fail(error, MC_REFUSED, "the plan has no day to start on");
    }
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        int least = mc_plan_stages(plan, (mc_arch)arch) > 0 ? 1 : 0;
        if (info->interval[arch] < least || info->interval[arch] > LONGEST_INTERVAL) {
            return mc_fail(error, MC_REFUSED, "an aligner is worn for 1 to %d days",
                           LONGEST_INTERVAL);
        }
    }
    return MC_OK;
}

/* The plan that is worn until the new one is: of the check-up it is made from, else the last. */
static mc_status worn_before(mc_record *record, int64_t case_n, int made_from, plan_row *last,
                             plan_row *out, mc_error *error) {
    *out = *last;
    if (made_from == 0) {
        return MC_OK;
    }
    query q = query_new(record,
                        ROW_COLUMNS " WHERE n = (SELECT plan_n FROM checkups"
                                    "  WHERE case_n = ? AND number = ?)",
                        error);
    query_put_whole(&q, case_n);
    query_put_whole(&q, made_from);
    take_plan_row(&q, out);
    return query_end(&q);
}

static mc_status check_made_from(mc_record *record, const case_row *of, int number,
                                 mc_error *error) {
    int64_t found = 0;
    if (number == 0) {
        return MC_OK;
    }
    query q = query_new(record, "SELECT 1 FROM checkups WHERE case_n = ? AND number = ?", error);
    query_put_whole(&q, of->n);
    query_put_whole(&q, number);
    mc_status status = query_whole(&q, 0, &found);
    if (status == MC_OK && found == 0) {
        return mc_fail(error, MC_REFUSED, "%s has no check-up %d", of->text, number);
    }
    return status;
}

static mc_status set_status(mc_record *record, int64_t plan_n, mc_plan_status to, mc_error *error) {
    query q = query_new(record, "UPDATE plans SET status = ? WHERE n = ?", error);
    query_put_text(&q, status_names[to]);
    query_put_whole(&q, plan_n);
    return query_run(&q);
}

static mc_status insert_plan(mc_record *record, int64_t case_n, int64_t before,
                             const mc_plan_info *info, int64_t *plan_n, mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO plans (id, case_n, number, status, start, upper_interval,"
                        " lower_interval, made_from, supersedes, by, hash)"
                        " VALUES (?, ?, ?, 'active', ?, ?, ?, ?, ?, ?, ?)",
                        error);
    query_put_id(&q, &info->id);
    query_put_whole(&q, case_n);
    query_put_whole(&q, info->number);
    query_put_day(&q, info->start);
    query_put_whole(&q, info->interval[MC_UPPER]);
    query_put_whole(&q, info->interval[MC_LOWER]);
    query_put_whole_unless(&q, info->made_from, 0);
    query_put_whole_unless(&q, before, 0);
    query_put_text(&q, info->by);
    query_put_hash(&q, info->hash);
    mc_status status = query_run(&q);
    *plan_n = sqlite3_last_insert_rowid(record->db);
    return status;
}

/* The digest (digest.h) of a whole plan: label, identities of case and plan, number, start,
 * interval upper and lower, number of the check-up it was made from (0: none), identity of the plan
 * it supersedes (16 zero bytes: none), by, hash, and the variances of every tooth in chart order.
 */
static void seal_of(const mc_id *case_id, const mc_plan_info *info, const mc_start *start,
                    char out[65]) {
    char day[11];
    digest d;
    mc_day_text(info->start, day);
    digest_begin(&d, "midcourse plan seal 1");
    digest_bytes(&d, case_id->byte, sizeof case_id->byte);
    digest_bytes(&d, info->id.byte, sizeof info->id.byte);
    digest_whole(&d, info->number);
    digest_text(&d, day);
    digest_whole(&d, info->interval[MC_UPPER]);
    digest_whole(&d, info->interval[MC_LOWER]);
    digest_whole(&d, info->made_from);
    digest_bytes(&d, info->supersedes.byte, sizeof info->supersedes.byte);
    digest_text(&d, info->by);
    digest_text(&d, info->hash);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        for (int c = 0; c < MC_COMPONENTS; c++) {
            digest_real(&d, start != NULL ? start->variance[tooth][c] : 0);
        }
    }
    digest_end_hex(&d, out);
}

static mc_status seal(mc_record *record, int64_t plan_n, const mc_id *case_id,
                      const mc_plan_info *info, const mc_start *start, mc_error *error) {
    char hash[65];
    seal_of(case_id, info, start, hash);
    query q = query_new(record, "UPDATE plans SET seal = ? WHERE n = ?", error);
    query_put_hash(&q, hash);
    query_put_whole(&q, plan_n);
    return query_run(&q);
}

/* case_id and case_n are the same case. */
static mc_status add_rows(mc_record *record, const mc_id *case_id, int64_t case_n,
                          const plan_row *before, const mc_plan *plan, const mc_start *start,
                          const mc_plan_info *info, mc_error *error) {
    int64_t plan_n = 0;
    mc_status status = MC_OK;
    if (before->n != 0 && before->status == MC_PLAN_ACTIVE) {
        status = set_status(record, before->n, MC_PLAN_SUPERSEDED, error);
    }
    if (status == MC_OK) {
        status = insert_plan(record, case_n, before->n, info, &plan_n, error);
    }
    if (status == MC_OK) {
        status = plan_rows_add(record, plan_n, plan, error);
    }
    if (status == MC_OK && start != NULL) {
        status = plan_start_add(record, plan_n, start, error);
    }
    return status == MC_OK ? seal(record, plan_n, case_id, info, start, error) : status;
}

/* Everything about a new plan that can be refused before anything is written. */
static mc_status prepare(mc_record *record, const case_row *of, const mc_plan *plan,
                         mc_plan_info *info, plan_row *before, mc_error *error) {
    plan_row worn = {0};
    char text[11];
    mc_status status = check_plan(plan, info, error);
    if (status == MC_OK) {
        status = people_check(record, info->by, error);
    }
    if (status == MC_OK) {
        status = check_made_from(record, of, info->made_from, error);
    }
    if (status == MC_OK) {
        status = last_plan(record, of->n, before, &info->supersedes, error);
    }
    if (status == MC_OK) {
        status = worn_before(record, of->n, info->made_from, before, &worn, error);
    }
    if (status == MC_OK) {
        status = id_of(record, info->made_from > 0 ? worn.n : 0, &info->corrects, error);
    }
    if (status == MC_OK && worn.n != 0 && info->start < worn.start) {
        mc_day_text(worn.start, text);
        return mc_fail(error, MC_REFUSED, "%s: plan %d started on %s already", of->text,
                       worn.number, text);
    }
    return status;
}

mc_status mc_record_add_plan(mc_record *record, const mc_id *case_id, const mc_plan *plan,
                             const mc_start *start, mc_plan_info *info, mc_error *error) {
    case_row found;
    plan_row before;
    mc_plan_info wanted = *info;
    mc_status status = case_find_open(record, case_id, &found, error);
    if (status == MC_OK) {
        status = checkup_none_open(record, &found, error);
    }
    if (status == MC_OK) {
        status = prepare(record, &found, plan, &wanted, &before, error);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    wanted.id = id_new();
    wanted.number = before.number + 1;
    wanted.status = MC_PLAN_ACTIVE;
    plan_events_none(&wanted);
    mc_plan_hash(plan, wanted.hash);
    status = work_settle(
        record, add_rows(record, case_id, found.n, &before, plan, start, &wanted, error), error);
    if (status == MC_OK) {
        *info = wanted;
    }
    return status;
}

mc_status mc_record_close_plan(mc_record *record, const mc_id *plan_id, mc_error *error) {
    plan_row found;
    mc_status status = plan_find(record, plan_id, &found, error);
    if (status == MC_OK && found.status != MC_PLAN_ACTIVE) {
        return mc_fail(error, MC_REFUSED, "plan %d is %s already", found.number,
                       status_names[found.status]);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    return work_settle(record, set_status(record, found.n, MC_PLAN_CLOSED, error), error);
}

mc_status mc_record_ended(mc_record *record, mc_ended **out, size_t *count, mc_error *error) {
    query q = query_new(record,
                        "SELECT c.id, p.id FROM cases c JOIN patients p ON p.n = c.patient_n"
                        " WHERE EXISTS (SELECT 1 FROM plans WHERE case_n = c.n"
                        "  AND status IN ('closed', 'superseded')) ORDER BY p.n, c.number",
                        error);
    *out = NULL;
    *count = 0;
    while (query_row(&q)) {
        mc_ended *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        query_take_id(&q, &list[*count].case_id);
        query_take_id(&q, &list[*count].patient);
        ++*count;
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

static mc_status check_one(mc_record *record, int64_t plan_n, const mc_id *case_id,
                           const mc_plan_info *info, const char kept[65], mc_error *error) {
    mc_plan *plan;
    mc_start start;
    char hash[65], sealed[65], id[33];
    mc_status status = plan_start_load(record, plan_n, &start, error);
    if (status == MC_OK) {
        status = plan_rows_load(record, plan_n, &plan, error);
    }
    if (status != MC_OK) {
        return status;
    }
    mc_plan_hash(plan, hash);
    mc_plan_free(plan);
    seal_of(case_id, info, &start, sealed);
    if (strcmp(hash, info->hash) != 0 || strcmp(sealed, kept) != 0) {
        mc_id_text(&info->id, id);
        return mc_fail(error, MC_DAMAGED, "%.400s: is damaged: plan %d (%s) was changed",
                       record->path, info->number, id);
    }
    return MC_OK;
}

mc_status plans_check(mc_record *record, mc_error *error) {
    query q = query_new(record, INFO_COLUMNS " ORDER BY p.n", error);
    while (query_row(&q)) {
        mc_plan_info info;
        mc_id case_id;
        char kept[65];
        take_info(&q, &info);
        int64_t plan_n = query_take_whole(&q, 0);
        query_take_hash(&q, kept);
        query_take_id(&q, &case_id);
        if (q.status == MC_OK) {
            q.status = check_one(record, plan_n, &case_id, &info, kept, error);
        }
    }
    return query_end(&q);
}
