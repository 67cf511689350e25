#include "settings_sets.h"

#include <stdlib.h>
#include <string.h>

#include "cases.h"
#include "digest.h"
#include "people.h"
#include "words.h"

/* The practice's numbers stand as n 0 where a case is asked for. */
enum { PRACTICE = 0 };

/* ---- reading ---- */

/* Change *out by each row (key, value) of the query, in order; a method error before its pairs. */
static mc_status apply_rows(query *q, mc_settings *out) {
    char key[40];
    double ignored;
    while (query_row(q)) {
        query_take_text(q, key, sizeof key);
        double value = query_take_real(q);
        /* A number that this version no longer has changes nothing. */
        if (q->status == MC_OK && mc_settings_set(out, key, value, NULL) != MC_OK &&
            mc_settings_get(out, key, &ignored)) {
            query_damaged(q, "a setting is out of its range");
        }
    }
    return query_end(q);
}

/* The newest set that was made for the practice or for a case; 0 where there is none. */
static mc_status newest(mc_record *record, int64_t case_n, int64_t *set, mc_error *error) {
    query q = query_new(record, "SELECT max(number) FROM settings_sets WHERE case_n IS ?", error);
    query_put_whole_unless(&q, case_n, PRACTICE);
    return query_whole(&q, 0, set);
}

static mc_status read_set(mc_record *record, int64_t set, mc_settings *out, mc_error *error) {
    int64_t found = 0;
    query exists = query_new(record, "SELECT 1 FROM settings_sets WHERE number = ?", error);
    query_put_whole(&exists, set);
    mc_status status = query_whole(&exists, 0, &found);
    if (status == MC_OK && found == 0) {
        status = mc_fail(error, MC_REFUSED, "no settings set %lld", (long long)set);
    }
    if (status != MC_OK) {
        return status;
    }
    mc_settings_defaults(out);
    query q = query_new(
        record, "SELECT key, value FROM settings_values WHERE set_number = ? ORDER BY key", error);
    query_put_whole(&q, set);
    return apply_rows(&q, out);
}

/* What is being written may be taken back, and its number given to another set. */
mc_status mc_record_settings_set(mc_record *record, int64_t set, mc_settings *out,
                                 mc_error *error) {
    const bool lasting = !record->writing && set > 0;
    if (lasting && record->settings_set == set) {
        *out = record->settings;
        return MC_OK;
    }
    const mc_status status = read_set(record, set, out, error);
    if (status == MC_OK && lasting) {
        record->settings_set = set;
        record->settings = *out;
    }
    return status;
}

static mc_status in_force(mc_record *record, int64_t case_n, int64_t *set, mc_error *error) {
    mc_status status = newest(record, case_n, set, error);
    if (status == MC_OK && *set == 0 && case_n != PRACTICE) {
        status = newest(record, PRACTICE, set, error);
    }
    if (status == MC_OK && *set == 0) {
        status = record_damaged(record, error, "it has no settings");
    }
    return status;
}

mc_status mc_record_settings(mc_record *record, const mc_id *case_id, mc_settings *out,
                             int64_t *set, mc_error *error) {
    case_row found = {.n = PRACTICE};
    int64_t number = 0;
    mc_status status = MC_OK;
    if (case_id != NULL) {
        status = case_find(record, case_id, &found, error);
    }
    if (status == MC_OK) {
        status = in_force(record, found.n, &number, error);
    }
    if (status == MC_OK) {
        status = mc_record_settings_set(record, number, out, error);
    }
    if (status == MC_OK && set != NULL) {
        *set = number;
    }
    return status;
}

mc_status settings_check(mc_record *record, int64_t set, int64_t case_n, mc_error *error) {
    int64_t found = 0;
    query q = query_new(
        record, "SELECT 1 FROM settings_sets WHERE number = ? AND (case_n IS NULL OR case_n = ?)",
        error);
    query_put_whole(&q, set);
    query_put_whole(&q, case_n);
    mc_status status = query_whole(&q, 0, &found);
    if (status == MC_OK && found == 0) {
        return mc_fail(error, MC_REFUSED, "no settings set %lld for this case", (long long)set);
    }
    return status;
}

/* ---- making sets ---- */

/* The digest (digest.h) of a set: label, number, the case's identity (none: the practice's), the
 * set it was passed on from (0: none), key and value of the change, reason, by, at, and each key
 * and value in order of the keys. */
static mc_status hash_of(mc_record *record, int64_t set, char out[65], mc_error *error) {
    char text[512];
    mc_id id;
    digest d;
    out[0] = '\0';
    query q = query_new(record,
                        "SELECT c.id, s.from_practice, s.key, s.value, s.reason, s.by, s.at"
                        " FROM settings_sets s LEFT JOIN cases c ON c.n = s.case_n"
                        " WHERE s.number = ?",
                        error);
    query_put_whole(&q, set);
    digest_begin(&d, "midcourse settings 1");
    digest_whole(&d, set);
    if (query_row(&q)) {
        query_take_id(&q, &id);
        digest_bytes(&d, id.byte, mc_id_is_none(&id) ? 0 : sizeof id.byte);
        digest_whole(&d, query_take_whole(&q, 0));
        query_take_text(&q, text, sizeof text);
        digest_text(&d, text);
        digest_real(&d, query_take_real(&q));
        for (int i = 0; i < 3; i++) {
            query_take_text(&q, text, sizeof text);
            digest_text(&d, text);
        }
    }
    mc_status status = query_end(&q);
    if (status != MC_OK) {
        return status;
    }
    query values = query_new(
        record, "SELECT key, value FROM settings_values WHERE set_number = ? ORDER BY key", error);
    query_put_whole(&values, set);
    while (query_row(&values)) {
        query_take_text(&values, text, sizeof text);
        digest_text(&d, text);
        digest_real(&d, query_take_real(&values));
    }
    digest_end_hex(&d, out);
    return query_end(&values);
}

static mc_status seal(mc_record *record, int64_t set, mc_error *error) {
    char hash[65];
    mc_status status = hash_of(record, set, hash, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record, "UPDATE settings_sets SET hash = ? WHERE number = ?", error);
    query_put_hash(&q, hash);
    query_put_whole(&q, set);
    return query_run(&q);
}

typedef struct change {
    int64_t case_n;        /* PRACTICE or the case whose set is made */
    int64_t from_practice; /* the practice's set that made a case's necessary; 0: its own change */
    const mc_setting_change *list;
    size_t count; /* 0 for the first set */
    const char *reason, *by;
} change;

static mc_status add_values(mc_record *record, int64_t set, const mc_settings *settings,
                            mc_error *error) {
    query q = query_new(
        record, "INSERT INTO settings_values (set_number, key, value) VALUES (?, ?, ?)", error);
    for (size_t i = 0; i < mc_settings_count(); i++) {
        mc_setting setting = mc_settings_describe(i);
        double value = setting.initial;
        mc_settings_get(settings, setting.key, &value);
        if (setting.taken && value == 0) {
            continue;
        }
        query_again(&q);
        query_put_whole(&q, set);
        query_put_text(&q, setting.key);
        query_put_real(&q, value);
        query_row(&q);
    }
    return query_end(&q);
}

static mc_status add_set(mc_record *record, const change *made, const mc_settings *settings,
                         int64_t *set, mc_error *error) {
    char now[21];
    moment_now(now);
    query q = query_new(record,
                        "INSERT INTO settings_sets (case_n, from_practice, key, value, reason, by,"
                        " at) VALUES (?, ?, ?, ?, ?, ?, ?)",
                        error);
    query_put_whole_unless(&q, made->case_n, PRACTICE);
    query_put_whole_unless(&q, made->from_practice, 0);
    /* of several numbers changed together the first one is named; the values are all of them */
    query_put_text(&q, made->count > 0 ? made->list[0].key : NULL);
    if (made->count > 0) {
        query_put_real(&q, made->list[0].value);
    } else {
        query_put_text(&q, NULL);
    }
    query_put_text(&q, made->reason);
    query_put_text(&q, made->by);
    query_put_text(&q, now);
    mc_status status = query_run(&q);
    *set = sqlite3_last_insert_rowid(record->db);
    if (status == MC_OK) {
        status = add_values(record, *set, settings, error);
    }
    return status == MC_OK ? seal(record, *set, error) : status;
}

mc_status settings_first(mc_record *record, mc_error *error) {
    int64_t set;
    mc_settings settings;
    change none = {.case_n = PRACTICE};
    mc_settings_defaults(&settings);
    return add_set(record, &none, &settings, &set, error);
}

/* The practice's numbers with the case's own over them. */
static mc_status effective(mc_record *record, int64_t case_n, mc_settings *out, mc_error *error) {
    int64_t practice = 0;
    mc_status status = in_force(record, PRACTICE, &practice, error);
    if (status == MC_OK) {
        status = mc_record_settings_set(record, practice, out, error);
    }
    if (status != MC_OK || case_n == PRACTICE) {
        return status;
    }
    query q = query_new(record,
                        "SELECT key, value FROM settings_sets"
                        " WHERE case_n = ? AND from_practice IS NULL ORDER BY number",
                        error);
    query_put_whole(&q, case_n);
    return apply_rows(&q, out);
}

/* The cases with numbers of their own (freed by the caller). */
static mc_status own_minded(mc_record *record, int64_t **out, size_t *count, mc_error *error) {
    *out = NULL;
    *count = 0;
    query q = query_new(record,
                        "SELECT DISTINCT case_n FROM settings_sets WHERE case_n IS NOT NULL"
                        " ORDER BY case_n",
                        error);
    while (query_row(&q)) {
        int64_t *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        list[(*count)++] = query_take_whole(&q, 0);
    }
    return query_end(&q);
}

/* A change of the practice's reaches the cases that have other numbers of their own. */
static mc_status pass_on(mc_record *record, const change *made, int64_t set, mc_error *error) {
    int64_t *list;
    size_t count;
    mc_status status = own_minded(record, &list, &count, error);
    for (size_t i = 0; status == MC_OK && i < count; i++) {
        mc_settings settings;
        int64_t number;
        change passed = *made;
        passed.case_n = list[i];
        passed.from_practice = set;
        status = effective(record, list[i], &settings, error);
        if (status == MC_OK) {
            status = add_set(record, &passed, &settings, &number, error);
        }
    }
    free(list);
    return status;
}

static mc_status make_change(mc_record *record, const change *wanted, int64_t *set,
                             mc_error *error) {
    mc_settings settings;
    mc_status status = effective(record, wanted->case_n, &settings, error);
    for (size_t i = 0; status == MC_OK && i < wanted->count; i++) {
        status = mc_settings_set(&settings, wanted->list[i].key, wanted->list[i].value, error);
    }
    if (status == MC_OK) {
        status = add_set(record, wanted, &settings, set, error);
    }
    if (status == MC_OK && wanted->case_n == PRACTICE) {
        status = pass_on(record, wanted, *set, error);
    }
    return status;
}

static mc_status add_changes(mc_record *record, const mc_id *case_id, change *wanted, int64_t *set,
                             mc_error *error) {
    case_row found = {.n = PRACTICE};
    mc_status status = text_check("reason", wanted->reason, 500, true, error);
    if (status == MC_OK) {
        status = people_check(record, wanted->by, error);
    }
    if (status == MC_OK && case_id != NULL) {
        status = case_find(record, case_id, &found, error);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    wanted->case_n = found.n;
    return work_settle(record, make_change(record, wanted, set, error), error);
}

mc_status mc_record_add_settings(mc_record *record, const mc_id *case_id, const char *key,
                                 double value, const char *reason, const char *by, int64_t *set,
                                 mc_error *error) {
    mc_setting_change one = {.value = value};
    if (strlen(key) >= sizeof one.key) {
        return mc_fail(error, MC_REFUSED, "there is no setting \"%.60s\"", key);
    }
    strcpy(one.key, key);
    change wanted = {.list = &one, .count = 1, .reason = reason, .by = by};
    return add_changes(record, case_id, &wanted, set, error);
}

mc_status mc_record_add_settings_together(mc_record *record, const mc_setting_change *list,
                                          size_t count, const char *reason, const char *by,
                                          int64_t *set, mc_error *error) {
    change wanted = {.list = list, .count = count, .reason = reason, .by = by};
    if (count == 0) {
        return mc_fail(error, MC_REFUSED, "no number is changed");
    }
    return add_changes(record, NULL, &wanted, set, error);
}

/* ---- checking ---- */

mc_status settings_sets_check(mc_record *record, mc_error *error) {
    char kept[65], hash[65];
    query q = query_new(record, "SELECT number, hash FROM settings_sets ORDER BY number", error);
    while (query_row(&q)) {
        int64_t set = query_take_whole(&q, 0);
        query_take_hash(&q, kept);
        if (q.status == MC_OK) {
            q.status = hash_of(record, set, hash, error);
        }
        if (q.status == MC_OK && strcmp(kept, hash) != 0) {
            q.status =
                mc_fail(error, MC_DAMAGED, "%.400s: is damaged: settings set %lld was changed",
                        record->path, (long long)set);
        }
    }
    return query_end(&q);
}
