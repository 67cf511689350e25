#include "journal.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "cases.h"
#include "people.h"
#include "words.h"

enum { ACTION_MOST = 32 };

void journal_hash(const mc_entry *entry, const unsigned char before[DIGEST_SIZE],
                  unsigned char out[DIGEST_SIZE]) {
    bool of_case = !mc_id_is_none(&entry->case_id);
    digest d;
    digest_begin(&d, "midcourse journal entry 1");
    digest_bytes(&d, before, DIGEST_SIZE);
    digest_whole(&d, entry->number);
    digest_text(&d, entry->at);
    digest_text(&d, entry->by);
    digest_bytes(&d, entry->case_id.byte, of_case ? sizeof entry->case_id.byte : 0);
    digest_text(&d, entry->action);
    digest_text(&d, entry->detail);
    digest_end(&d, out);
}

/* ---- reading ---- */

#define ENTRY_COLUMNS "SELECT number, at, by, case_id, action, detail, hash FROM journal"

static void take_entry(query *q, mc_entry *out) {
    memset(out, 0, sizeof *out);
    out->number = query_take_whole(q, 0);
    query_take_text(q, out->at, sizeof out->at);
    query_take_text(q, out->by, sizeof out->by);
    query_take_id(q, &out->case_id);
    query_take_text(q, out->action, sizeof out->action);
    out->detail = query_take_long_text(q);
    query_take_hash(q, out->hash);
}

void mc_entries_free(mc_entry *list, size_t count) {
    for (size_t i = 0; i < count; i++) {
        free(list[i].detail);
    }
    free(list);
}

static mc_status take_entries(query *q, mc_entry **out, size_t *count) {
    while (query_row(q)) {
        mc_entry *list = query_room(q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        take_entry(q, &list[*count]);
        ++*count;
    }
    mc_status status = query_end(q);
    if (status != MC_OK) {
        mc_entries_free(*out, *count);
        *out = NULL;
        *count = 0;
    }
    return status;
}

mc_status mc_record_journal(mc_record *record, const mc_id *case_id, mc_entry **out, size_t *count,
                            mc_error *error) {
    *out = NULL;
    *count = 0;
    if (case_id == NULL) {
        query all = query_new(record, ENTRY_COLUMNS " ORDER BY number", error);
        return take_entries(&all, out, count);
    }
    case_row found;
    mc_status status = case_find(record, case_id, &found, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record, ENTRY_COLUMNS " WHERE case_id = ? ORDER BY number", error);
    query_put_id(&q, case_id);
    return take_entries(&q, out, count);
}

/* ---- appending ---- */

/* The canonical form of a JSON object (the caller frees it). */
static mc_status read_canonical(mc_record *record, const char *detail, char **out,
                                mc_error *error) {
    json_error_t why;
    json_t *object = json_loads(detail, JSON_REJECT_DUPLICATES, &why);
    if (!json_is_object(object)) {
        bool memory = object == NULL && json_error_code(&why) == json_error_out_of_memory;
        json_decref(object);
        return memory ? record_no_memory(record, error)
                      : mc_fail(error, MC_REFUSED, "the journal's detail is no JSON object");
    }
    *out = mc_json_whole(object, JSON_COMPACT | JSON_SORT_KEYS);
    json_decref(object);
    return *out != NULL ? MC_OK : record_no_memory(record, error);
}

/* jansson's reader passes over a letter or digit that it found no memory for and does not say so
 * (2.14). So a text that does not come back as it was is read twice. */
static mc_status canonical(mc_record *record, const char *detail, char **out, mc_error *error) {
    char *again = NULL;
    mc_status status = read_canonical(record, detail, out, error);
    if (status != MC_OK || strcmp(*out, detail) == 0) {
        return status;
    }
    status = read_canonical(record, detail, &again, error);
    if (status == MC_OK && strcmp(*out, again) != 0) {
        status = record_no_memory(record, error);
    }
    free(again);
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
    }
    return status;
}

/* The journal's length and the hash of its last entry; 0 and zero bytes of an empty one. */
static mc_status head_of(mc_record *record, int64_t *entries, char hash[65], mc_error *error) {
    *entries = 0;
    memset(hash, '0', 64);
    hash[64] = '\0';
    query q = query_new(record, "SELECT entries, hash FROM journal_head", error);
    if (query_row(&q)) {
        *entries = query_take_whole(&q, 0);
        query_take_hash(&q, hash);
    }
    return query_end(&q);
}

static mc_status set_head(mc_record *record, int64_t entries, const unsigned char hash[DIGEST_SIZE],
                          mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO journal_head (one, entries, hash) VALUES (1, ?1, ?2)"
                        " ON CONFLICT (one) DO UPDATE SET entries = ?1, hash = ?2",
                        error);
    query_put_whole(&q, entries);
    query_put_bytes(&q, hash, DIGEST_SIZE);
    return query_run(&q);
}

static void from_hex(const char *hex, unsigned char out[DIGEST_SIZE]) {
    memset(out, 0, DIGEST_SIZE);
    sodium_hex2bin(out, DIGEST_SIZE, hex, strlen(hex), NULL, NULL, NULL);
}

/* Number the entry, chain it and add it. */
static mc_status chain(mc_record *record, mc_entry *entry, mc_error *error) {
    unsigned char before[DIGEST_SIZE], hash[DIGEST_SIZE];
    char last[65];
    mc_status status = head_of(record, &entry->number, last, error);
    if (status != MC_OK) {
        return status;
    }
    from_hex(last, before);
    entry->number++;
    moment_now(entry->at);
    journal_hash(entry, before, hash);

    query q = query_new(record,
                        "INSERT INTO journal (number, at, by, case_id, action, detail, hash)"
                        " VALUES (?, ?, ?, ?, ?, ?, ?)",
                        error);
    query_put_whole(&q, entry->number);
    query_put_text(&q, entry->at);
    query_put_text_or_null(&q, entry->by);
    query_put_id(&q, &entry->case_id);
    query_put_text(&q, entry->action);
    query_put_text(&q, entry->detail);
    query_put_bytes(&q, hash, sizeof hash);
    status = query_run(&q);
    return status == MC_OK ? set_head(record, entry->number, hash, error) : status;
}

mc_status mc_record_append(mc_record *record, const char *by, const mc_id *case_id,
                           const char *action, const char *detail, mc_error *error) {
    mc_entry entry = {.number = 0};
    case_row found;
    mc_status status = name_check("action", action, ACTION_MOST, error);
    if (status == MC_OK && by != NULL) {
        status = people_check(record, by, error);
    }
    if (status == MC_OK && case_id != NULL) {
        status = case_find(record, case_id, &found, error);
    }
    if (status == MC_OK) {
        status = canonical(record, detail, &entry.detail, error);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        free(entry.detail);
        return status;
    }
    strcpy(entry.action, action);
    strcpy(entry.by, by != NULL ? by : "");
    if (case_id != NULL) {
        entry.case_id = *case_id;
    }
    status = work_settle(record, chain(record, &entry, error), error);
    free(entry.detail);
    return status;
}

/* ---- checking ---- */

static mc_status journal_fault(mc_record *record, int64_t number, const char *what,
                               mc_error *error) {
    return mc_fail(error, MC_DAMAGED, "%.400s: is damaged: journal entry %lld %s", record->path,
                   (long long)number, what);
}

/* Check the chain's next link; last is the hash before it and becomes that of this one. */
static mc_status check_link(mc_record *record, int64_t number, const mc_entry *entry, char last[65],
                            mc_error *error) {
    unsigned char before[DIGEST_SIZE], hash[DIGEST_SIZE];
    if (entry->number != number) {
        return journal_fault(record, number, "is missing", error);
    }
    from_hex(last, before);
    journal_hash(entry, before, hash);
    sodium_bin2hex(last, 65, hash, sizeof hash);
    return strcmp(last, entry->hash) == 0 ? MC_OK
                                          : journal_fault(record, number, "was changed", error);
}

mc_status journal_check(mc_record *record, int64_t *entries, mc_error *error) {
    int64_t length = 0, count = 0;
    char head[65], last[65];
    mc_status status = head_of(record, &length, head, error);
    if (status != MC_OK) {
        return status;
    }
    memset(last, '0', 64);
    last[64] = '\0';
    query q = query_new(record, ENTRY_COLUMNS " ORDER BY number", error);
    while (query_row(&q)) {
        mc_entry entry;
        take_entry(&q, &entry);
        if (q.status == MC_OK) {
            q.status = check_link(record, ++count, &entry, last, error);
        }
        free(entry.detail);
    }
    status = query_end(&q);
    if (status == MC_OK && count == 0) {
        return journal_fault(record, 1, "is missing", error);
    }
    if (status == MC_OK && count != length) {
        return journal_fault(record, count + 1, "is missing at the end", error);
    }
    if (status == MC_OK && strcmp(head, last) != 0) {
        return journal_fault(record, count, "is not the one that was last", error);
    }
    *entries = count;
    return status;
}
