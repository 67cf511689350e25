#include "schema.h"

#include <string.h>

const migration record_migrations[] = {version_1, version_2, version_3, version_4};
const int record_schema_version = sizeof record_migrations / sizeof record_migrations[0];

/* ---- bringing a file up to date ---- */

static mc_status run_all(mc_record *record, migration texts, mc_error *error) {
    for (; *texts != NULL; texts++) {
        if (sqlite3_exec(record->db, *texts, NULL, NULL, NULL) != SQLITE_OK) {
            return record_fail(record, error);
        }
    }
    return MC_OK;
}

/* The version is the one number that SQLite takes only as part of the statement's own text. */
static mc_status set_version(mc_record *record, int version, mc_error *error) {
    char sql[64];
    sqlite3_snprintf(sizeof sql, sql, "PRAGMA user_version = %d", version);
    return record_run(record, sql, error);
}

static mc_status version_of(mc_record *record, int count, int64_t *version, mc_error *error) {
    query q = query_new(record, "PRAGMA user_version", error);
    mc_status status = query_whole(&q, 0, version);
    if (status == MC_OK && (*version < 0 || *version > count)) {
        return mc_fail(error, MC_DAMAGED,
                       "%.400s: made by a newer midcourse (version %lld; this one reads up to %d)",
                       record->path, (long long)*version, count);
    }
    return status;
}

static mc_status migrate_from(mc_record *record, const migration *migrations, int count,
                              mc_error *error) {
    int64_t version = 0;
    /* Asked again now that nobody else can be doing the same. */
    mc_status status = version_of(record, count, &version, error);
    for (int64_t i = version; status == MC_OK && i < count; i++) {
        status = run_all(record, migrations[i], error);
    }
    if (status == MC_OK) {
        status = set_version(record, count, error);
    }
    return status == MC_OK ? record_run(record, "COMMIT", error) : status;
}

mc_status schema_migrate(mc_record *record, const migration *migrations, int count,
                         mc_error *error) {
    int64_t version = 0;
    mc_status status = version_of(record, count, &version, error);
    if (status != MC_OK || version == count) {
        return status;
    }
    if (record->read_only) {
        return mc_fail(error, MC_REFUSED,
                       "%.400s: made by an older midcourse and may only be read, so it cannot be "
                       "brought up to date",
                       record->path);
    }
    status = record_run(record, "BEGIN IMMEDIATE", error);
    if (status == MC_OK) {
        status = migrate_from(record, migrations, count, error);
        if (status != MC_OK) {
            record_undo(record);
        }
    }
    return status;
}

/* ---- whether it still is so ---- */

static const char everything[] =
    "SELECT type || ' ' || name, ifnull(sql, '') FROM sqlite_schema ORDER BY type, name";

static const char *column(query *q, int i) {
    const char *text = (const char *)sqlite3_column_text(q->statement, i);
    return text != NULL ? text : ""; /* out of memory: taken for a difference */
}

/* Compare two files' tables, indexes and triggers, both in order of their names. */
static mc_status compare(query *made, query *found) {
    for (;;) {
        bool more = query_row(made);
        bool also = query_row(found);
        if (made->status != MC_OK || found->status != MC_OK || (!more && !also)) {
            return MC_OK;
        }
        const char *wanted = more ? column(made, 0) : NULL;
        const char *there = also ? column(found, 0) : NULL;
        if (wanted != NULL && there != NULL && strcmp(wanted, there) == 0) {
            if (strcmp(column(made, 1), column(found, 1)) == 0) {
                continue;
            }
        } else if (wanted == NULL || (there != NULL && strcmp(there, wanted) < 0)) {
            wanted = there; /* one that should not be there */
        }
        return mc_fail(
            found->error, MC_DAMAGED,
            "%.400s: is damaged: at %.100s its tables are not those that midcourse makes",
            found->record->path, wanted);
    }
}

mc_status schema_check(mc_record *record, mc_error *error) {
    mc_record fresh = {.path = record->path};
    mc_status status = MC_OK;
    if (sqlite3_open(":memory:", &fresh.db) != SQLITE_OK) {
        status = record_no_memory(record, error);
    }
    for (int i = 0; status == MC_OK && i < record_schema_version; i++) {
        status = run_all(&fresh, record_migrations[i], error);
    }
    if (status == MC_OK) {
        query made = query_new(&fresh, everything, error);
        query found = query_new(record, everything, error);
        status = compare(&made, &found);
        mc_status of_made = query_end(&made);
        mc_status of_found = query_end(&found);
        status = status != MC_OK ? status : of_made != MC_OK ? of_made : of_found;
    }
    record_forget_statements(&fresh);
    sqlite3_close(fresh.db);
    return status;
}
