#include "query.h"

#include <math.h>
#include <sodium.h>
#include <stdlib.h>
#include <string.h>

mc_status record_no_memory(const mc_record *record, mc_error *error) {
    return mc_fail(error, MC_REFUSED, "%.400s: out of memory", record->path);
}

mc_status record_damaged(const mc_record *record, mc_error *error, const char *what) {
    return mc_fail(error, MC_DAMAGED, "%.400s: is damaged: %s", record->path, what);
}

mc_status record_fail(const mc_record *record, mc_error *error) {
    const char *path = record->path;
    const char *why = sqlite3_errmsg(record->db);
    int code = sqlite3_extended_errcode(record->db);

    if (code == SQLITE_IOERR_NOMEM) {
        return record_no_memory(record, error);
    }
    switch (code & 0xff) {
    case SQLITE_NOMEM:
        return record_no_memory(record, error);
    case SQLITE_NOTADB:
        return mc_fail(error, MC_DAMAGED, "%.400s: is not a midcourse record", path);
    case SQLITE_CORRUPT:
        return record_damaged(record, error, why);
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return mc_fail(error, MC_REFUSED, "%.400s: is in use by another console; try again", path);
    case SQLITE_FULL:
        return mc_fail(error, MC_REFUSED, "%.400s: there is no room left on the disk", path);
    case SQLITE_IOERR:
        return mc_fail(error, MC_REFUSED, "%.400s: the disk failed (%s)", path, why);
    case SQLITE_CANTOPEN:
        return mc_fail(
            error, MC_REFUSED,
            "%.400s: it, or the files that SQLite keeps beside it, cannot be opened (%s)", path,
            strerror(sqlite3_system_errno(record->db)));
    case SQLITE_READONLY:
        if (code == SQLITE_READONLY_CANTINIT || code == SQLITE_READONLY_DIRECTORY ||
            code == SQLITE_READONLY_CANTLOCK || code == SQLITE_READONLY_RECOVERY) {
            return mc_fail(error, MC_REFUSED,
                           "%.400s: its folder may not be written, which sharing a record needs "
                           "even to read it; a backup of it can be read",
                           path);
        }
        return mc_fail(error, MC_REFUSED, "%.400s: may only be read", path);
    case SQLITE_CONSTRAINT:
        return mc_fail(error, MC_REFUSED, "%.400s: the record refuses it (%s)", path, why);
    default:
        return mc_fail(error, MC_REFUSED, "%.400s: %s", path, why);
    }
}

static void query_check(query *q, int code) {
    if (q->status == MC_OK && code != SQLITE_OK) {
        q->status = record_fail(q->record, q->error);
    }
}

/* ---- statements ---- */

/* Preparing a statement takes longer than running most of them: those of which the text stands in
 * the program are kept. Not so pragmas, some of which do their work while they are prepared. */
static kept_statement *find_kept(mc_record *record, const char *sql) {
    kept_statement *free_one = NULL;
    if (sql[0] == 'P') {
        return NULL;
    }
    for (int i = 0; i < KEPT_STATEMENTS; i++) {
        kept_statement *k = &record->kept[i];
        if (k->statement == NULL) {
            free_one = free_one != NULL ? free_one : k;
        } else if (k->sql == sql && !k->running && strcmp(sqlite3_sql(k->statement), sql) == 0) {
            return k;
        }
    }
    return free_one;
}

query query_new(mc_record *record, const char *sql, mc_error *error) {
    query q = {.record = record, .error = error, .status = MC_OK};
    q.kept = find_kept(record, sql);
    if (q.kept != NULL && q.kept->statement != NULL) {
        q.statement = q.kept->statement;
    } else {
        query_check(&q, sqlite3_prepare_v3(record->db, sql, -1,
                                           q.kept != NULL ? SQLITE_PREPARE_PERSISTENT : 0,
                                           &q.statement, NULL));
    }
    if (q.statement == NULL) {
        q.kept = NULL; /* its place stays free for a query made before this one ends */
    }
    if (q.kept != NULL) {
        *q.kept = (kept_statement){sql, q.statement, true};
    }
    return q;
}

void record_forget_statements(mc_record *record) {
    for (int i = 0; i < KEPT_STATEMENTS; i++) {
        sqlite3_finalize(record->kept[i].statement);
        record->kept[i] = (kept_statement){NULL};
    }
}

/* ---- values in ---- */

void query_put_text(query *q, const char *text) {
    q->put++;
    if (q->status == MC_OK && text != NULL) {
        query_check(q, sqlite3_bind_text(q->statement, q->put, text, -1, SQLITE_TRANSIENT));
    }
}

void query_put_text_or_null(query *q, const char *text) {
    query_put_text(q, text != NULL && text[0] != '\0' ? text : NULL);
}

void query_put_whole(query *q, int64_t value) {
    q->put++;
    if (q->status == MC_OK) {
        query_check(q, sqlite3_bind_int64(q->statement, q->put, value));
    }
}

void query_put_whole_unless(query *q, int64_t value, int64_t none) {
    if (value == none) {
        query_put_text(q, NULL);
    } else {
        query_put_whole(q, value);
    }
}

void query_put_real(query *q, double value) {
    q->put++;
    if (q->status == MC_OK && !isnan(value)) {
        query_check(q, sqlite3_bind_double(q->statement, q->put, value));
    }
}

void query_put_day(query *q, mc_day day) {
    char text[11];
    mc_day_text(day, text);
    query_put_text(q, day == MC_NO_DAY ? NULL : text);
}

void query_put_bytes(query *q, const void *bytes, size_t size) {
    q->put++;
    if (q->status == MC_OK) {
        query_check(q, sqlite3_bind_blob64(q->statement, q->put, bytes, size, SQLITE_TRANSIENT));
    }
}

void query_put_id(query *q, const mc_id *id) {
    if (id == NULL || mc_id_is_none(id)) {
        query_put_text(q, NULL);
    } else {
        query_put_bytes(q, id->byte, sizeof id->byte);
    }
}

void query_put_hash(query *q, const char hex[65]) {
    unsigned char bytes[32];
    sodium_hex2bin(bytes, sizeof bytes, hex, 64, NULL, NULL, NULL);
    query_put_bytes(q, bytes, sizeof bytes);
}

/* ---- rows out ---- */

bool query_row(query *q) {
    if (q->status != MC_OK) {
        return false;
    }
    q->take = 0;
    int code = sqlite3_step(q->statement);
    if (code != SQLITE_ROW && code != SQLITE_DONE) {
        query_check(q, code);
    }
    return code == SQLITE_ROW;
}

void query_damaged(query *q, const char *what) {
    if (q->status == MC_OK) {
        q->status = record_damaged(q->record, q->error, what);
    }
}

/* The next column's text; NULL where it is null or there was a failure. */
static const char *take_word(query *q) {
    int column = q->take++;
    if (q->status != MC_OK || sqlite3_column_type(q->statement, column) == SQLITE_NULL) {
        return NULL;
    }
    const char *text = (const char *)sqlite3_column_text(q->statement, column);
    if (text == NULL) {
        q->status = record_no_memory(q->record, q->error);
    } else if (strlen(text) != (size_t)sqlite3_column_bytes(q->statement, column)) {
        query_damaged(q, "a text holds a NUL");
        return NULL;
    }
    return text;
}

void query_take_text(query *q, char *out, size_t size) {
    const char *text = take_word(q);
    out[0] = '\0';
    if (text == NULL) {
        return;
    }
    if (strlen(text) >= size) {
        query_damaged(q, "a text is too long");
        return;
    }
    memcpy(out, text, strlen(text) + 1);
}

char *query_take_long_text(query *q) {
    const char *text = take_word(q);
    if (text == NULL) {
        query_damaged(q, "a text is missing");
        return NULL;
    }
    char *copy = strdup(text);
    if (copy == NULL) {
        q->status = record_no_memory(q->record, q->error);
    }
    return copy;
}

int64_t query_take_whole(query *q, int64_t none) {
    int column = q->take++;
    if (q->status != MC_OK || sqlite3_column_type(q->statement, column) == SQLITE_NULL) {
        return none;
    }
    return sqlite3_column_int64(q->statement, column);
}

double query_take_real(query *q) {
    int column = q->take++;
    if (q->status != MC_OK || sqlite3_column_type(q->statement, column) == SQLITE_NULL) {
        return NAN;
    }
    return sqlite3_column_double(q->statement, column);
}

mc_day query_take_day(query *q) {
    char text[11];
    mc_day day = MC_NO_DAY;
    query_take_text(q, text, sizeof text);
    if (text[0] != '\0' && !mc_day_parse(text, &day)) {
        query_damaged(q, "a date is none");
    }
    return day;
}

/* The next column's bytes, exactly size of them or null (false). */
static bool take_bytes(query *q, void *out, size_t size) {
    int column = q->take++;
    if (q->status != MC_OK || sqlite3_column_type(q->statement, column) == SQLITE_NULL) {
        return false;
    }
    const void *bytes = sqlite3_column_blob(q->statement, column);
    if (bytes == NULL || (size_t)sqlite3_column_bytes(q->statement, column) != size) {
        query_damaged(q, "an identity or a hash has a wrong length");
        return false;
    }
    memcpy(out, bytes, size);
    return true;
}

void query_take_id(query *q, mc_id *id) {
    if (!take_bytes(q, id->byte, sizeof id->byte)) {
        memset(id, 0, sizeof *id);
    }
}

void query_take_hash(query *q, char out[65]) {
    unsigned char bytes[32];
    out[0] = '\0';
    if (take_bytes(q, bytes, sizeof bytes)) {
        sodium_bin2hex(out, 65, bytes, sizeof bytes);
    }
}

void *query_room(query *q, void *list, size_t count, size_t size) {
    /* Lists double: there is no room left exactly where the count is 0 or a power of two from 8. */
    bool full = count == 0 || (count >= 8 && (count & (count - 1)) == 0);
    if (q->status != MC_OK) {
        return NULL;
    }
    if (!full) {
        return list;
    }
    void *grown = realloc(list, (count == 0 ? 8 : 2 * count) * size);
    if (grown == NULL) {
        q->status = record_no_memory(q->record, q->error);
    }
    return grown;
}

void query_again(query *q) {
    /* What reset returns is the last step's failure, which is known already. */
    if (q->statement != NULL) {
        sqlite3_reset(q->statement);
        sqlite3_clear_bindings(q->statement);
    }
    q->put = 0;
}

mc_status query_end(query *q) {
    if (q->kept != NULL && q->status == MC_OK) {
        query_again(q);
        q->kept->running = false;
    } else {
        sqlite3_finalize(q->statement);
        if (q->kept != NULL) {
            *q->kept = (kept_statement){NULL};
        }
    }
    q->statement = NULL;
    q->kept = NULL;
    return q->status;
}

mc_status query_run(query *q) {
    while (query_row(q)) {
    }
    return query_end(q);
}

mc_status record_run(mc_record *record, const char *sql, mc_error *error) {
    query q = query_new(record, sql, error);
    return query_run(&q);
}

mc_status query_whole(query *q, int64_t none, int64_t *out) {
    *out = query_row(q) ? query_take_whole(q, none) : none;
    return query_end(q);
}

/* ---- pieces of work ---- */

void record_undo(mc_record *record) {
    if (!sqlite3_get_autocommit(record->db)) {
        sqlite3_step(record->undo);
        sqlite3_reset(record->undo);
    }
}

mc_status work_mark(mc_record *record, mc_error *error) {
    if (!record->writing) {
        return mc_fail(error, MC_REFUSED, "%.400s: no change was begun", record->path);
    }
    if (sqlite3_get_autocommit(record->db)) {
        /* A full disk or a lack of memory makes the database undo everything by itself. */
        return mc_fail(error, MC_REFUSED, "%.400s: the change was undone by an earlier failure",
                       record->path);
    }
    return record_run(record, "SAVEPOINT work", error);
}

mc_status work_settle(mc_record *record, mc_status status, mc_error *error) {
    if (status == MC_OK) {
        status = record_run(record, "RELEASE work", error);
    }
    if (status != MC_OK && !sqlite3_get_autocommit(record->db)) {
        mc_status undone = record_run(record, "ROLLBACK TO work", NULL);
        if (undone == MC_OK) {
            undone = record_run(record, "RELEASE work", NULL);
        }
        if (undone != MC_OK) {
            /* What cannot be undone alone is undone with everything else. */
            record_undo(record);
        }
    }
    return status;
}
