/* summaries: what was computed from a case, kept under the key of what it was computed from. It is
 * a cache: it may be dropped at any moment, and no hash of the record covers it.
 *
 * The key covers, besides the way of computing, the case, the number of its last journal entry and
 * the settings set in force for it. What a case's last check-up comes to depends on
 *
 *   plans, check-ups and their amendments, decisions, the closing of a plan
 *   the teeth on the days of check-ups        (a change of tomorrow's is an entry of today)
 *   the settings sets of the check-ups        (each named in its check-up, none ever changes)
 *   the settings in force                     (where nothing was read yet; these may also change
 *                                              by an entry of the practice's, hence the set)
 *
 * and none of these changes without an entry of the case in the same transaction. The number
 * stands for the entry and, the journal having no gaps and no second entry of a number, for all
 * before it: summaries live in the same file, so that one is never found beside another journal
 * than it was made from; what a power cut takes away it takes from the end. */
#include "cases.h"

#include <stdlib.h>
#include <string.h>

#include "digest.h"
#include "file.h"

enum { CHECK_SIZE = 16 }; /* bytes behind the content */

/* ---- the key and the check ---- */

static void key_of(const char *computation, const mc_id *case_id, int64_t entry, int64_t settings,
                   unsigned char out[MC_SUMMARY_KEY_SIZE]) {
    digest d;
    digest_begin(&d, "midcourse summary 1");
    digest_text(&d, computation);
    digest_bytes(&d, case_id->byte, sizeof case_id->byte);
    digest_whole(&d, entry);
    digest_whole(&d, settings);
    digest_end(&d, out);
}

/* Of the key and the content, so that neither a changed byte nor a content put under another key
 * is taken for what was kept. */
static void check_of(const unsigned char *key, const void *content, size_t size,
                     unsigned char out[CHECK_SIZE]) {
    unsigned char whole[DIGEST_SIZE];
    digest d;
    digest_begin(&d, "midcourse summary content 1");
    digest_bytes(&d, key, MC_SUMMARY_KEY_SIZE);
    digest_bytes(&d, content, size);
    digest_end(&d, whole);
    memcpy(out, whole, CHECK_SIZE);
}

/* ---- reading ---- */

/* Something of the few cases that have it, in order of their n. A list read once, and walked beside
 * the cases, as asking for every case would take as long as all the rest. */
typedef struct few {
    struct of_case {
        int64_t case_n, value;
    } * list;
    size_t count, at;
} few;

static mc_status read_few(mc_record *record, const char *sql, few *out, mc_error *error) {
    query q = query_new(record, sql, error);
    *out = (few){NULL, 0, 0};
    while (query_row(&q)) {
        struct of_case *list = query_room(&q, out->list, out->count, sizeof *list);
        if (list == NULL) {
            break;
        }
        out->list = list;
        list[out->count].case_n = query_take_whole(&q, 0);
        list[out->count++].value = query_take_whole(&q, 0);
    }
    return query_end(&q);
}

/* That of a case; cases are asked for in order of their n. */
static int64_t value_of(few *f, int64_t case_n, int64_t none) {
    while (f->at < f->count && f->list[f->at].case_n < case_n) {
        f->at++;
    }
    return f->at < f->count && f->list[f->at].case_n == case_n ? f->list[f->at].value : none;
}

/* What the keys need besides the cases themselves. */
typedef struct beside {
    int64_t practice; /* the practice's settings set in force */
    few own;          /* those of cases with numbers of their own */
    few entering;
} beside;

static void free_beside(beside *b) {
    free(b->own.list);
    free(b->entering.list);
}

static mc_status read_beside(mc_record *record, beside *out, mc_error *error) {
    *out = (beside){0};
    query q =
        query_new(record, "SELECT max(number) FROM settings_sets WHERE case_n IS NULL", error);
    mc_status status = query_whole(&q, 0, &out->practice);
    if (status == MC_OK) {
        status = read_few(record,
                          "SELECT case_n, max(number) FROM settings_sets WHERE case_n IS NOT NULL"
                          " GROUP BY case_n ORDER BY case_n",
                          &out->own, error);
    }
    if (status == MC_OK) {
        status = read_few(
            record, "SELECT case_n, number FROM checkups WHERE state = 'open' ORDER BY case_n",
            &out->entering, error);
    }
    return status;
}

#define SUMMARY_COLUMNS                                                                            \
    "SELECT c.n, " CASE_COLUMNS ", (SELECT max(number) FROM journal WHERE case_id = c.id),"        \
    " s.key, s.content" CASE_TABLES " LEFT JOIN summaries s ON s.case_n = c.n"

/* The next two columns: what is kept, if it is whole and under the key. Anything else is as
 * nothing, never a failure. */
static void take_content(query *q, mc_summary *out) {
    unsigned char check[CHECK_SIZE];
    const void *key = sqlite3_column_blob(q->statement, q->take);
    int key_size = sqlite3_column_bytes(q->statement, q->take);
    const unsigned char *content = sqlite3_column_blob(q->statement, q->take + 1);
    int size = sqlite3_column_bytes(q->statement, q->take + 1) - CHECK_SIZE;
    q->take += 2;
    out->size = 0;
    if (!key || key_size != MC_SUMMARY_KEY_SIZE || memcmp(key, out->key, sizeof out->key) != 0 ||
        !content || size <= 0 || size > MC_SUMMARY_MOST) {
        return;
    }
    check_of(out->key, content, (size_t)size, check);
    if (memcmp(check, content + size, CHECK_SIZE) == 0) {
        memcpy(out->content, content, (size_t)size);
        out->size = (size_t)size;
    }
}

static void take_summary(query *q, const char *computation, beside *b, mc_summary *out) {
    int64_t n = query_take_whole(q, 0);
    case_take(q, &out->kase);
    int64_t entry = query_take_whole(q, 0);
    out->entering = (int)value_of(&b->entering, n, 0);
    key_of(computation, &out->kase.id, entry, value_of(&b->own, n, b->practice), out->key);
    take_content(q, out);
}

static mc_status load_all(mc_record *record, const char *computation, beside *b, mc_summary **out,
                          size_t *count, mc_error *error) {
    query q = query_new(record, SUMMARY_COLUMNS " WHERE c.closed IS NULL ORDER BY c.n", error);
    while (query_row(&q)) {
        mc_summary *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        take_summary(&q, computation, b, &list[*count]);
        ++*count;
    }
    return query_end(&q);
}

mc_status mc_record_summaries(mc_record *record, const char *computation, mc_summary **out,
                              size_t *count, mc_error *error) {
    beside b;
    *out = NULL;
    *count = 0;
    mc_status status = mc_record_begin_reading(record, error);
    if (status != MC_OK) {
        return status;
    }
    status = read_beside(record, &b, error);
    if (status == MC_OK) {
        status = load_all(record, computation, &b, out, count, error);
    }
    mc_record_end_reading(record);
    free_beside(&b);
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    if (*count > 0) {
        qsort(*out, *count, sizeof **out, case_by_chart);
    }
    return status;
}

mc_status mc_record_summary(mc_record *record, const char *computation, const mc_id *case_id,
                            mc_summary *out, mc_error *error) {
    beside b;
    bool found = false;
    mc_status status = mc_record_begin_reading(record, error);
    if (status != MC_OK) {
        return status;
    }
    status = read_beside(record, &b, error);
    if (status == MC_OK) {
        query q = query_new(record, SUMMARY_COLUMNS " WHERE c.id = ?", error);
        query_put_id(&q, case_id);
        found = query_row(&q);
        if (found) {
            take_summary(&q, computation, &b, out);
        }
        status = query_end(&q);
    }
    mc_record_end_reading(record);
    free_beside(&b);
    if (status == MC_OK && !found) {
        return mc_fail(error, MC_REFUSED, "no such case");
    }
    return status;
}

mc_status mc_record_cases_after(mc_record *record, int64_t *entry, mc_id **out, size_t *count,
                                bool *others, mc_error *error) {
    int64_t last = 0;
    *out = NULL;
    *count = 0;
    *others = false;
    query head = query_new(record, "SELECT entries FROM journal_head", error);
    mc_status status = query_whole(&head, 0, &last);
    if (status != MC_OK || *entry < 0 || *entry == last) {
        *entry = status == MC_OK ? last : *entry;
        return status;
    }
    query q = query_new(
        record, "SELECT DISTINCT case_id FROM journal WHERE number > ? AND number <= ?", error);
    query_put_whole(&q, *entry);
    query_put_whole(&q, last);
    while (query_row(&q)) {
        mc_id id;
        query_take_id(&q, &id);
        if (mc_id_is_none(&id)) {
            *others = true;
            continue;
        }
        mc_id *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        list[(*count)++] = id;
    }
    status = query_end(&q);
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
        return status;
    }
    *entry = last;
    return MC_OK;
}

mc_status mc_record_entering(mc_record *record, mc_entering **out, size_t *count, mc_error *error) {
    *out = NULL;
    *count = 0;
    query q = query_new(record,
                        "SELECT c.id, k.number FROM checkups k JOIN cases c ON c.n = k.case_n"
                        " WHERE k.state = 'open' ORDER BY k.case_n",
                        error);
    while (query_row(&q)) {
        mc_entering *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        query_take_id(&q, &list[*count].case_id);
        list[(*count)++].number = (int)query_take_whole(&q, 0);
    }
    mc_status status = query_end(&q);
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    return status;
}

/* ---- keeping ---- */

static mc_status keep_all(mc_record *record, const mc_summary *list, size_t count,
                          mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO summaries (case_n, key, content)"
                        " SELECT n, ?2, ?3 FROM cases WHERE id = ?1"
                        " ON CONFLICT (case_n) DO UPDATE SET key = ?2, content = ?3",
                        error);
    for (size_t i = 0; i < count; i++) {
        unsigned char bytes[MC_SUMMARY_MOST + CHECK_SIZE];
        if (list[i].size == 0 || list[i].size > MC_SUMMARY_MOST) {
            continue;
        }
        memcpy(bytes, list[i].content, list[i].size);
        check_of(list[i].key, list[i].content, list[i].size, bytes + list[i].size);
        query_again(&q);
        query_put_id(&q, &list[i].kase.id);
        query_put_bytes(&q, list[i].key, sizeof list[i].key);
        query_put_bytes(&q, bytes, list[i].size + CHECK_SIZE);
        query_row(&q);
    }
    return query_end(&q);
}

mc_status mc_record_keep_summaries(mc_record *record, const mc_summary *list, size_t count,
                                   mc_error *error) {
    file_wait(record, false);
    mc_status status = mc_record_begin(record, false, error);
    if (status == MC_OK) {
        status = keep_all(record, list, count, error);
        if (status == MC_OK) {
            status = mc_record_commit(record, error);
            record->commits -= status == MC_OK; /* no news to anybody */
        } else {
            mc_record_rollback(record);
        }
    }
    file_wait(record, true);
    return status;
}
