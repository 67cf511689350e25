/* copies: the record copied into a backup, and a backup made the record again. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "file.h"
#include "schema.h"

/* Copy everything from one connection to the other, as of one moment. */
static mc_status copy_pages(mc_record *from, mc_record *to, mc_error *error) {
    sqlite3_backup *copy = sqlite3_backup_init(to->db, "main", from->db, "main");
    if (copy == NULL) {
        return record_fail(to, error);
    }
    int code = sqlite3_backup_step(copy, -1);
    sqlite3_backup_finish(copy);
    if (code == SQLITE_DONE) {
        return MC_OK;
    }
    if (code == SQLITE_BUSY || code == SQLITE_LOCKED) {
        return mc_fail(error, MC_REFUSED, "%.400s: is in use by another console; try again",
                       from->path);
    }
    return record_fail(to, error);
}

static mc_status copy_into(mc_record *from, const char *path, mc_error *error) {
    mc_record *to;
    mc_status status = file_connect(path, &to, error);
    if (status != MC_OK) {
        return status;
    }
    status = record_run(to, "PRAGMA synchronous = FULL", error);
    if (status == MC_OK) {
        status = copy_pages(from, to, error);
    }
    if (status == MC_OK) {
        /* One file with nothing beside it, to be read from anywhere; opening it to write makes it
         * WAL again. */
        status = record_run(to, "PRAGMA journal_mode = DELETE", error);
    }
    mc_record_close(to);
    return status == MC_OK ? file_to_disk(path, error) : status;
}

/* Bring the copy up to date and check all of it. */
static mc_status verify_copy(const char *path, mc_error *error) {
    mc_record *copy;
    mc_status status = file_connect(path, &copy, error);
    if (status != MC_OK) {
        return status;
    }
    status = file_is_record(copy, error);
    if (status == MC_OK) {
        status = schema_migrate(copy, record_migrations, record_schema_version, error);
    }
    if (status == MC_OK) {
        status = mc_record_verify(copy, NULL, error);
    }
    mc_record_close(copy);
    return status;
}

/* A verified copy in the empty file of that name, or no file at all. */
static mc_status make_copy(mc_record *from, const char *path, mc_error *error) {
    mc_status status = copy_into(from, path, error);
    if (status == MC_OK) {
        status = verify_copy(path, error);
    }
    if (status != MC_OK) {
        file_remove(path);
    }
    return status;
}

mc_status mc_record_backup(mc_record *record, const char *path, mc_error *error) {
    if (!sqlite3_get_autocommit(record->db)) {
        return mc_fail(error, MC_REFUSED, "%.400s: a change or a view is open", record->path);
    }
    mc_status status = file_reserve(path, error);
    return status == MC_OK ? make_copy(record, path, error) : status;
}

/* ---- restoring ---- */

/* Move the old record, with what a damaged one may have beside it, out of the way. */
static mc_status put_aside(const char *path, mc_error *error) {
    static const char *const ends[] = {"-wal", "-shm", "-journal"};
    char *kept = file_beside(path, ".before-restore");
    mc_status status = kept != NULL ? file_unused(path, error)
                                    : mc_fail(error, MC_REFUSED, "%.400s: out of memory", path);
    if (status == MC_OK) {
        status = file_place(path, kept, error);
    }
    for (size_t i = 0; status == MC_OK && i < sizeof ends / sizeof ends[0]; i++) {
        char *from = file_beside(path, ends[i]);
        char *to = file_beside(kept, ends[i]);
        if (from == NULL || to == NULL) {
            status = mc_fail(error, MC_REFUSED, "%.400s: out of memory", path);
        } else if (access(from, F_OK) == 0) {
            status = file_place(from, to, error);
        }
        free(from);
        free(to);
    }
    free(kept);
    return status;
}

static mc_status put_in_place(const char *fresh, const char *path, bool replace, mc_error *error) {
    mc_status status =
        access(path, F_OK) == 0 && replace ? put_aside(path, error) : mc_record_vacant(path, error);
    if (status == MC_OK) {
        status = file_place(fresh, path, error);
    }
    return status == MC_OK ? file_to_disk(path, error) : status;
}

mc_status mc_record_restore(const char *backup, const char *path, bool replace, mc_error *error) {
    mc_record *from;
    if (!replace || access(path, F_OK) != 0) {
        mc_status vacant = mc_record_vacant(path, error);
        if (vacant != MC_OK) {
            return vacant;
        }
    }
    char *fresh = file_beside(path, ".restoring");
    if (fresh == NULL) {
        return mc_fail(error, MC_REFUSED, "%.400s: out of memory", path);
    }
    mc_status status = file_connect(backup, &from, error);
    if (status == MC_OK) {
        status = file_is_record(from, error);
        if (status == MC_OK) {
            status = file_reserve_scratch(fresh, error);
        }
        if (status == MC_OK) {
            status = make_copy(from, fresh, error);
        }
        mc_record_close(from);
    }
    if (status == MC_OK) {
        status = put_in_place(fresh, path, replace, error);
        if (status != MC_OK) {
            file_remove(fresh);
        }
    }
    free(fresh);
    return status;
}
