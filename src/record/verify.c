/* verify: everything that can be checked about a record, in one view of it. */
#include <stdlib.h>
#include <string.h>

#include "arches.h"
#include "checkups.h"
#include "decisions.h"
#include "drafts.h"
#include "file.h"
#include "journal.h"
#include "plans.h"
#include "schema.h"
#include "settings_sets.h"
#include "told.h"

/* What SQLite found, unless that is only its own want of memory or of the disk, which it tells as a
 * fault of the page that it could not get. A page that is cut short is the file's fault. */
static void integrity_fault(query *q, const char *text) {
    char fault[300];
    const char *number = strstr(text, "error code=");
    int code = number != NULL ? atoi(number + strlen("error code=")) : 0;
    if ((code & 0xff) == SQLITE_NOMEM) {
        q->status = record_no_memory(q->record, q->error);
    } else if ((code & 0xff) == SQLITE_IOERR && code != SQLITE_IOERR_SHORT_READ) {
        q->status = mc_fail(q->error, MC_REFUSED, "%.400s: the disk failed (%s)", q->record->path,
                            sqlite3_errstr(code));
    } else {
        sqlite3_snprintf(sizeof fault, fault, "%s", text);
        query_damaged(q, fault);
    }
}

static mc_status check_integrity(mc_record *record, mc_error *error) {
    query q = query_new(record, "PRAGMA integrity_check(1)", error);
    if (query_row(&q)) {
        char *text = query_take_long_text(&q);
        if (text != NULL && strcmp(text, "ok") != 0) {
            integrity_fault(&q, text);
        }
        free(text);
    }
    return query_end(&q);
}

static mc_status check_references(mc_record *record, mc_error *error) {
    char table[64], fault[128];
    query q = query_new(record, "PRAGMA foreign_key_check", error);
    if (query_row(&q)) {
        query_take_text(&q, table, sizeof table);
        sqlite3_snprintf(sizeof fault, fault, "a row of %s belongs to nothing", table);
        query_damaged(&q, fault);
    }
    return query_end(&q);
}

static mc_status verify_all(mc_record *record, int64_t *entries, mc_error *error) {
    static mc_status (*const checks[])(mc_record *, mc_error *) = {
        check_integrity,   schema_check,   check_references, settings_sets_check, plans_check,
        plan_events_check, checkups_check, decisions_check,  drafts_check,        arches_check};
    mc_status status = file_is_record(record, error);
    for (size_t i = 0; status == MC_OK && i < sizeof checks / sizeof checks[0]; i++) {
        status = checks[i](record, error);
    }
    if (status == MC_OK) {
        status = journal_check(record, entries, error);
    }
    return status == MC_OK ? told_check(record, error) : status;
}

mc_status mc_record_verify(mc_record *record, int64_t *entries, mc_error *error) {
    int64_t length = 0;
    mc_status status = mc_record_begin_reading(record, error);
    if (status != MC_OK) {
        return status;
    }
    status = verify_all(record, &length, error);
    mc_record_end_reading(record);
    if (status == MC_OK && entries != NULL) {
        *entries = length;
    }
    return status;
}
