#include "checkups.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cases.h"
#include "people.h"
#include "plans.h"
#include "readings.h"
#include "settings_sets.h"
#include "steps.h"
#include "words.h"

enum { REASON_MOST = 500, LONGEST_DAY = 9999 };

void checkup_info_empty(mc_checkup_info *info) {
    free((void *)info->checkup.rows);
    free((void *)info->checkup.note);
    info->checkup.rows = NULL;
    info->checkup.note = NULL;
    info->checkup.count = 0;
}

void mc_checkup_info_free(mc_checkup_info *list, size_t count) {
    for (size_t i = 0; i < count; i++) {
        checkup_info_empty(&list[i]);
    }
    free(list);
}

/* ---- loading ---- */

/* A note, on the heap; NULL where there is none. */
static const char *take_note(query *q) {
    char note[MC_NOTE_SIZE];
    query_take_text(q, note, sizeof note);
    char *copy = note[0] != '\0' ? strdup(note) : NULL;
    if (note[0] != '\0' && copy == NULL && q->status == MC_OK) {
        q->status = record_no_memory(q->record, q->error);
    }
    return copy;
}

int64_t checkup_take_version(query *q, mc_checkup_info *out) {
    char method[16];
    memset(out, 0, sizeof *out);
    query_take_id(q, &out->id);
    query_take_id(q, &out->plan);
    out->checkup.number = (int)query_take_whole(q, 0);
    out->checkup.date = query_take_day(q);
    out->version = (int)query_take_whole(q, 0);
    out->open = query_take_whole(q, 0) != 0;
    out->checkup.aligner[MC_UPPER] = (int)query_take_whole(q, MC_NO_ALIGNER);
    out->checkup.aligner[MC_LOWER] = (int)query_take_whole(q, MC_NO_ALIGNER);
    out->checkup.day[MC_UPPER] = (int)query_take_whole(q, -1);
    out->checkup.day[MC_LOWER] = (int)query_take_whole(q, -1);
    out->checkup.wear_hours = query_take_real(q);
    query_take_text(q, method, sizeof method);
    out->settings = query_take_whole(q, 0);
    query_take_text(q, out->by, sizeof out->by);
    query_take_text(q, out->reason, sizeof out->reason);
    query_take_hash(q, out->hash);
    out->checkup.note = take_note(q);
    if (q->status == MC_OK && !mc_method_parse(method, &out->checkup.method)) {
        query_damaged(q, "a check-up has an unknown method");
    }
    return query_take_whole(q, 0);
}

static mc_status load_versions(query *q, mc_checkup_info **out, size_t *count) {
    query rows = readings_query(q->record, q->error);
    *out = NULL;
    *count = 0;
    while (rows.status == MC_OK && query_row(q)) {
        mc_checkup_info *list = query_room(q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        int64_t version_n = checkup_take_version(q, &list[*count]);
        readings_load(&rows, version_n, &list[*count]);
        ++*count;
    }
    mc_status of_rows = query_end(&rows);
    mc_status status = query_end(q);
    status = status != MC_OK ? status : of_rows;
    if (status != MC_OK) {
        mc_checkup_info_free(*out, *count);
        *out = NULL;
        *count = 0;
    }
    return status;
}

static mc_status load_case(mc_record *record, const mc_id *case_id, bool every,
                           mc_checkup_info **out, size_t *count, mc_error *error) {
    case_row found;
    mc_status status = case_find(record, case_id, &found, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record,
                        CHECKUP_VERSIONS
                        " WHERE c.case_n = ?1 AND c.state = 'completed' AND (?2 OR v.version ="
                        "  (SELECT max(version) FROM checkup_versions WHERE checkup_n = c.n))"
                        " ORDER BY c.number, v.version",
                        error);
    query_put_whole(&q, found.n);
    query_put_whole(&q, every);
    return load_versions(&q, out, count);
}

mc_status mc_record_checkups(mc_record *record, const mc_id *case_id, bool every,
                             mc_checkup_info **out, size_t *count, mc_error *error) {
    *out = NULL;
    *count = 0;
    mc_status status = mc_record_begin_reading(record, error);
    if (status != MC_OK) {
        return status;
    }
    status = load_case(record, case_id, every, out, count, error);
    mc_record_end_reading(record);
    return status;
}

mc_status mc_record_repeated(mc_record *record, mc_checkup_info **out, size_t *count,
                             mc_error *error) {
    *out = NULL;
    *count = 0;
    mc_status status = mc_record_begin_reading(record, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record,
                        CHECKUP_VERSIONS
                        " WHERE c.state = 'completed' AND v.version ="
                        "  (SELECT max(version) FROM checkup_versions WHERE checkup_n = c.n)"
                        " AND v.n IN (SELECT version_n FROM readings"
                        "  GROUP BY version_n, tooth HAVING count(*) > 1)"
                        " ORDER BY c.n",
                        error);
    status = load_versions(&q, out, count);
    mc_record_end_reading(record);
    return status;
}

mc_status checkup_find(mc_record *record, int64_t case_n, const char *case_text, int number,
                       checkup_row *out, mc_error *error) {
    query q = query_new(record,
                        "SELECT c.n, c.plan_n, c.id, p.id, c.number, c.date FROM checkups c"
                        " JOIN plans p ON p.n = c.plan_n"
                        " WHERE c.case_n = ? AND c.number = ? AND c.state = 'completed'",
                        error);
    query_put_whole(&q, case_n);
    query_put_whole(&q, number);
    bool found = query_row(&q);
    if (found) {
        out->n = query_take_whole(&q, 0);
        out->plan_n = query_take_whole(&q, 0);
        query_take_id(&q, &out->id);
        query_take_id(&q, &out->plan);
        out->number = (int)query_take_whole(&q, 0);
        out->date = query_take_day(&q);
    }
    mc_status status = query_end(&q);
    if (status == MC_OK && !found) {
        return mc_fail(error, MC_REFUSED, "%s has no check-up %d", case_text, number);
    }
    return status;
}

/* ---- what cannot be ---- */

static mc_status check_aligners(mc_record *record, int64_t plan_n, const mc_checkup *checkup,
                                mc_error *error) {
    static const char *const arches[] = {"upper", "lower"};
    int stages[MC_ARCHES];
    mc_status status = plan_stages(record, plan_n, stages, error);
    for (int arch = 0; status == MC_OK && arch < MC_ARCHES; arch++) {
        int aligner = checkup->aligner[arch];
        if (aligner > stages[arch] || (aligner >= 0 && stages[arch] == 0)) {
            return mc_fail(error, MC_REFUSED, "the %s series has %d aligners, not %d", arches[arch],
                           stages[arch], aligner);
        }
        if (checkup->day[arch] > LONGEST_DAY) {
            return mc_fail(error, MC_REFUSED, "an aligner is not worn for %d days",
                           checkup->day[arch]);
        }
    }
    return status;
}

mc_status checkup_check_content(mc_record *record, int64_t plan_n, const mc_checkup *checkup,
                                const char *by, mc_error *error) {
    mc_status status = people_check(record, by, error);
    if (status == MC_OK && (unsigned)checkup->method >= MC_METHODS) {
        return mc_fail(error, MC_REFUSED, "a check-up has a method");
    }
    if (status == MC_OK && !isnan(checkup->wear_hours) &&
        !(checkup->wear_hours >= 0 && checkup->wear_hours <= 24)) {
        return mc_fail(error, MC_REFUSED, "a day has 0 to 24 hours of wear");
    }
    if (status == MC_OK) {
        status = note_check(checkup->note, error);
    }
    if (status == MC_OK) {
        status = check_aligners(record, plan_n, checkup, error);
    }
    return status == MC_OK ? readings_check(checkup, error) : status;
}

/* The number and day of the last check-up of a case, open or completed. */
static mc_status last_checkup(mc_record *record, int64_t case_n, int *number, mc_day *date,
                              mc_error *error) {
    query q = query_new(record,
                        "SELECT number, date FROM checkups WHERE case_n = ?"
                        " ORDER BY number DESC LIMIT 1",
                        error);
    *number = 0;
    *date = MC_NO_DAY;
    query_put_whole(&q, case_n);
    if (query_row(&q)) {
        *number = (int)query_take_whole(&q, 0);
        *date = query_take_day(&q);
    }
    return query_end(&q);
}

/* By whom the last value was entered; where there is none, who began it. */
static mc_status last_hand(mc_record *record, int64_t case_n, int *number, char by[9],
                           mc_error *error) {
    query q = query_new(record,
                        "SELECT c.number, ifnull((SELECT s.by FROM steps s WHERE s.checkup_n = c.n"
                        "  ORDER BY s.number DESC LIMIT 1), v.by) FROM checkups c"
                        " LEFT JOIN checkup_versions v ON v.checkup_n = c.n"
                        " WHERE c.case_n = ? AND c.state = 'open'",
                        error);
    *number = 0;
    query_put_whole(&q, case_n);
    if (query_row(&q)) {
        *number = (int)query_take_whole(&q, 0);
        query_take_text(&q, by, 9);
    }
    return query_end(&q);
}

mc_status checkup_none_open(mc_record *record, const case_row *of, mc_error *error) {
    int number;
    char by[9];
    mc_status status = last_hand(record, of->n, &number, by, error);
    if (status != MC_OK || number == 0) {
        return status;
    }
    return mc_fail(error, MC_REFUSED,
                   "%s: check-up %d is being entered by %s on the console: complete it or throw it "
                   "away first",
                   of->text, number, by);
}

/* Whether the plan is the one that is worn on a day: the active one from its first day on, and
 * until then the one it was corrected from. */
static mc_status check_turn(mc_record *record, const case_row *of, const plan_row *plan,
                            mc_day date, mc_error *error) {
    plan_turn turn;
    char text[11];
    mc_status status = plan_turn_of(record, of->n, &turn, error);
    if (status != MC_OK) {
        return status;
    }
    const bool meanwhile = turn.worn_n != 0 && plan->n == turn.worn_n;
    const mc_day from = meanwhile ? plan->start : turn.from;
    if (plan->case_n != of->n || (plan->status != MC_PLAN_ACTIVE && !meanwhile)) {
        return mc_fail(error, MC_REFUSED, "%s: plan %d is not its active plan", of->text,
                       plan->number);
    }
    if (date == MC_NO_DAY || date < from) {
        mc_day_text(from, text);
        return mc_fail(error, MC_REFUSED, "%s: its plan starts on %s", of->text, text);
    }
    if (meanwhile && date >= turn.from) {
        mc_day_text(turn.from, text);
        return mc_fail(error, MC_REFUSED, "%s: its corrected plan is worn from %s on", of->text,
                       text);
    }
    return MC_OK;
}

static mc_status check_place(mc_record *record, const case_row *of, const plan_row *plan,
                             mc_day date, int *number, mc_error *error) {
    int last;
    mc_day before;
    char text[11];
    mc_status status = check_turn(record, of, plan, date, error);
    if (status == MC_OK) {
        status = checkup_none_open(record, of, error);
    }
    if (status == MC_OK) {
        status = last_checkup(record, of->n, &last, &before, error);
    }
    if (status != MC_OK) {
        return status;
    }
    if (date < before) {
        mc_day_text(before, text);
        return mc_fail(error, MC_REFUSED, "%s: its last check-up was on %s", of->text, text);
    }
    *number = last + 1;
    return MC_OK;
}

/* ---- adding ---- */

mc_status checkup_insert(mc_record *record, int64_t case_n, int64_t plan_n,
                         const mc_checkup_info *info, int64_t *n, mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO checkups (id, case_n, plan_n, number, date, state)"
                        " VALUES (?, ?, ?, ?, ?, 'open')",
                        error);
    query_put_id(&q, &info->id);
    query_put_whole(&q, case_n);
    query_put_whole(&q, plan_n);
    query_put_whole(&q, info->checkup.number);
    query_put_day(&q, info->checkup.date);
    mc_status status = query_run(&q);
    *n = sqlite3_last_insert_rowid(record->db);
    return status;
}

void checkup_put_frame(query *q, const mc_checkup *checkup) {
    query_put_whole_unless(q, checkup->aligner[MC_UPPER], MC_NO_ALIGNER);
    query_put_whole_unless(q, checkup->aligner[MC_LOWER], MC_NO_ALIGNER);
    query_put_whole_unless(q, checkup->day[MC_UPPER], -1);
    query_put_whole_unless(q, checkup->day[MC_LOWER], -1);
    query_put_real(q, checkup->wear_hours);
    query_put_text(q, mc_method_name(checkup->method));
}

mc_status checkup_insert_version(mc_record *record, int64_t checkup_n, const mc_checkup_info *info,
                                 int64_t *n, mc_error *error) {
    const mc_checkup *checkup = &info->checkup;
    query q = query_new(record,
                        "INSERT INTO checkup_versions (checkup_n, version, upper_aligner,"
                        " lower_aligner, upper_day, lower_day, wear_hours, method, settings_set,"
                        " by, reason, note) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                        error);
    query_put_whole(&q, checkup_n);
    query_put_whole(&q, info->version);
    checkup_put_frame(&q, checkup);
    query_put_whole(&q, info->settings);
    query_put_text(&q, info->by);
    query_put_text_or_null(&q, info->reason);
    query_put_text_or_null(&q, checkup->note);
    mc_status status = query_run(&q);
    *n = sqlite3_last_insert_rowid(record->db);
    return status;
}

static mc_status seal(mc_record *record, int64_t version_n, mc_checkup_info *info,
                      mc_error *error) {
    readings_hash(info);
    query q = query_new(record, "UPDATE checkup_versions SET hash = ? WHERE n = ?", error);
    query_put_hash(&q, info->hash);
    query_put_whole(&q, version_n);
    return query_run(&q);
}

mc_status checkup_fill_version(mc_record *record, int64_t version_n, mc_checkup_info *info,
                               mc_error *error) {
    mc_status status = readings_add(record, version_n, &info->checkup, error);
    return status == MC_OK ? seal(record, version_n, info, error) : status;
}

static mc_status add_version(mc_record *record, int64_t checkup_n, mc_checkup_info *info,
                             mc_error *error) {
    int64_t version_n = 0;
    mc_status status = checkup_insert_version(record, checkup_n, info, &version_n, error);
    return status == MC_OK ? checkup_fill_version(record, version_n, info, error) : status;
}

mc_status checkup_set_completed(mc_record *record, int64_t checkup_n, mc_error *error) {
    query q = query_new(record, "UPDATE checkups SET state = 'completed' WHERE n = ?", error);
    query_put_whole(&q, checkup_n);
    return query_run(&q);
}

static mc_status add_completed(mc_record *record, int64_t case_n, int64_t plan_n,
                               mc_checkup_info *info, mc_error *error) {
    int64_t checkup_n = 0;
    mc_status status = checkup_insert(record, case_n, plan_n, info, &checkup_n, error);
    if (status == MC_OK) {
        status = add_version(record, checkup_n, info, error);
    }
    return status == MC_OK ? checkup_set_completed(record, checkup_n, error) : status;
}

/* Days and aligners that are not known have one form on record. */
mc_checkup checkup_tidied(const mc_checkup *given) {
    mc_checkup checkup = *given;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        checkup.aligner[arch] = checkup.aligner[arch] < 0 ? MC_NO_ALIGNER : checkup.aligner[arch];
        checkup.day[arch] = checkup.day[arch] < 0 ? -1 : checkup.day[arch];
    }
    return checkup;
}

mc_status checkup_prepare(mc_record *record, const mc_id *case_id, const mc_id *plan,
                          const mc_checkup *checkup, int64_t settings, const char *by, bool rows,
                          case_row *of, plan_row *on, mc_checkup_info *out, mc_error *error) {
    mc_checkup_info info = {.id = id_new(),
                            .plan = *plan,
                            .version = 1,
                            .settings = settings,
                            .checkup = checkup_tidied(checkup)};
    if (!rows) {
        info.checkup.rows = NULL;
        info.checkup.count = 0;
    }
    mc_status status = case_find_open(record, case_id, of, error);
    if (status == MC_OK) {
        status = plan_find(record, plan, on, error);
    }
    if (status == MC_OK) {
        status = check_place(record, of, on, checkup->date, &info.checkup.number, error);
    }
    if (status == MC_OK) {
        status = checkup_check_content(record, on->n, &info.checkup, by, error);
    }
    if (status == MC_OK) {
        status = settings_check(record, settings, of->n, error);
    }
    if (status == MC_OK) {
        strcpy(info.by, by);
        *out = info;
    }
    return status;
}

mc_status mc_record_add_checkup(mc_record *record, const mc_id *case_id, const mc_id *plan,
                                const mc_checkup *checkup, int64_t settings, const char *by,
                                mc_checkup_info *out, mc_error *error) {
    case_row of;
    plan_row on;
    mc_checkup_info info;
    mc_status status =
        checkup_prepare(record, case_id, plan, checkup, settings, by, true, &of, &on, &info, error);
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    status = work_settle(record, add_completed(record, of.n, on.n, &info, error), error);
    if (status == MC_OK) {
        *out = info;
    }
    return status;
}

/* ---- amending ---- */

static mc_status last_version(mc_record *record, int64_t checkup_n, int *version, int64_t *settings,
                              mc_error *error) {
    query q = query_new(record,
                        "SELECT version, settings_set FROM checkup_versions WHERE checkup_n = ?"
                        " ORDER BY version DESC LIMIT 1",
                        error);
    query_put_whole(&q, checkup_n);
    if (query_row(&q)) {
        *version = (int)query_take_whole(&q, 0);
        *settings = query_take_whole(&q, 0);
    } else {
        query_damaged(&q, "a completed check-up has no version");
    }
    return query_end(&q);
}

/* Everything about an amendment that can be refused before anything is written. */
static mc_status prepare(mc_record *record, const case_row *of, int number, const char *by,
                         const char *reason, checkup_row *row, mc_checkup_info *info,
                         mc_error *error) {
    mc_status status = text_check("reason", reason, REASON_MOST, true, error);
    if (status == MC_OK) {
        status = checkup_find(record, of->n, of->text, number, row, error);
    }
    if (status == MC_OK) {
        status = checkup_check_content(record, row->plan_n, &info->checkup, by, error);
    }
    if (status == MC_OK) {
        status = last_version(record, row->n, &info->version, &info->settings, error);
    }
    if (status != MC_OK) {
        return status;
    }
    info->id = row->id;
    info->plan = row->plan;
    info->checkup.number = row->number;
    info->checkup.date = row->date;
    info->version++;
    strcpy(info->by, by);
    strcpy(info->reason, reason);
    return MC_OK;
}

mc_status mc_record_amend_checkup(mc_record *record, const mc_id *case_id, int number,
                                  const mc_checkup *checkup, const char *by, const char *reason,
                                  int *version, mc_error *error) {
    case_row found;
    checkup_row row;
    mc_checkup_info info = {.checkup = checkup_tidied(checkup)};
    mc_status status = case_find(record, case_id, &found, error);
    if (status == MC_OK) {
        status = prepare(record, &found, number, by, reason, &row, &info, error);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    status = work_settle(record, add_version(record, row.n, &info, error), error);
    if (status == MC_OK) {
        *version = info.version;
    }
    return status;
}

/* ---- checking ---- */

static mc_status check_version(mc_record *record, mc_checkup_info *info, mc_error *error) {
    char kept[65];
    strcpy(kept, info->hash);
    readings_hash(info);
    if (strcmp(kept, info->hash) != 0) {
        char id[33];
        mc_id_text(&info->id, id);
        return mc_fail(error, MC_DAMAGED,
                       "%.400s: is damaged: version %d of check-up %d (%s) was changed",
                       record->path, info->version, info->checkup.number, id);
    }
    return MC_OK;
}

mc_status checkups_check(mc_record *record, mc_error *error) {
    query rows = readings_query(record, error);
    query q =
        query_new(record, CHECKUP_VERSIONS " WHERE c.state = 'completed' ORDER BY v.n", error);
    while (rows.status == MC_OK && query_row(&q)) {
        mc_checkup_info info;
        int64_t version_n = checkup_take_version(&q, &info);
        readings_load(&rows, version_n, &info);
        if (q.status == MC_OK && rows.status == MC_OK) {
            q.status = check_version(record, &info, error);
        }
        checkup_info_empty(&info);
    }
    mc_status of_rows = query_end(&rows);
    mc_status status = query_end(&q);
    status = status != MC_OK ? status : of_rows;
    return status == MC_OK ? steps_verify(record, error) : status;
}
