/* making: a new record is made under another name beside its place and takes its own when it is
 * whole, so that whoever is killed half-way leaves no record that is none. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file.h"
#include "schema.h"
#include "settings_sets.h"

/* ---- the place ---- */

/* SQLite looks, since a file of this process opened and closed by hand would lose its locks. */
static bool is_record(const char *path) {
    mc_record *record;
    if (file_connect(path, &record, NULL) != MC_OK) {
        return false;
    }
    bool is = file_is_record(record, NULL) == MC_OK;
    mc_record_close(record);
    return is;
}

mc_status mc_record_vacant(const char *path, mc_error *error) {
    struct stat about;
    if (lstat(path, &about) != 0) {
        return errno == ENOENT ? MC_OK
                               : mc_fail(error, MC_REFUSED, "%.400s: %s", path, strerror(errno));
    }
    if (S_ISLNK(about.st_mode) && stat(path, &about) != 0) {
        return mc_fail(error, MC_REFUSED,
                       "%.400s: exists already, a link to a file that is not there; nothing was "
                       "touched",
                       path);
    }
    if (S_ISDIR(about.st_mode)) {
        return mc_fail(error, MC_REFUSED, "%.400s: exists already and is a folder", path);
    }
    return is_record(path)
               ? mc_fail(error, MC_REFUSED, "%.400s: there is a record already; it was not touched",
                         path)
               : mc_fail(error, MC_REFUSED,
                         "%.400s: exists already and is no record; it was not touched", path);
}

/* ---- the name it is made under ---- */

mc_status file_reserve_scratch(const char *path, mc_error *error) {
    mc_status status = file_reserve(path, NULL);
    if (status == MC_OK || errno != EEXIST) {
        return status == MC_OK ? MC_OK
                               : mc_fail(error, MC_REFUSED, "%.400s: %s", path, strerror(errno));
    }
    status = file_unused(path, error);
    if (status == MC_OK) {
        file_remove(path); /* what one that was killed left behind */
        status = file_reserve(path, error);
    }
    return status;
}

/* Which file of that name it is. */
static mc_status identify(const char *making, uint64_t *dev, uint64_t *ino) {
    struct stat about;
    if (lstat(making, &about) != 0) {
        return MC_REFUSED;
    }
    *dev = (uint64_t)about.st_dev;
    *ino = (uint64_t)about.st_ino;
    return MC_OK;
}

static mc_status fail_taken(const char *path, mc_error *error) {
    return mc_fail(error, MC_REFUSED, "%.400s: is being made by another console", path);
}

/* ---- what stands in it from the beginning ---- */

/* The first settings and the first entry, in one transaction. */
static mc_status furnish(mc_record *record, mc_error *error) {
    char detail[40];
    sqlite3_snprintf(sizeof detail, detail, "{\"schema\":%d}", record_schema_version);
    mc_status status = mc_record_begin(record, true, error);
    if (status == MC_OK) {
        status = settings_first(record, error);
    }
    if (status == MC_OK) {
        status = mc_record_append(record, NULL, NULL, "record made", detail, error);
    }
    if (status != MC_OK) {
        mc_record_rollback(record);
        return status;
    }
    return mc_record_commit(record, error);
}

static mc_status found_record(mc_record *record, mc_error *error) {
    /* Before WAL, so that the mark stands in the file itself from the beginning. */
    mc_status status = record_run(record, "PRAGMA application_id = 0x6d637273", error);
    if (status == MC_OK) {
        status = file_use_wal(record, error);
    }
    if (status == MC_OK) {
        status = schema_migrate(record, record_migrations, record_schema_version, error);
    }
    return status == MC_OK ? furnish(record, error) : status;
}

/* ---- making ---- */

static mc_status make_as(const char *path, const char *making, mc_record **out, mc_error *error) {
    uint64_t dev = 0, ino = 0;
    mc_status status = file_reserve_scratch(making, error);
    if (status != MC_OK) {
        return status;
    }
    status = identify(making, &dev, &ino) == MC_OK ? MC_OK : fail_taken(path, error);
    if (status == MC_OK) {
        status = file_connect_making(path, making, out, error);
    }
    if (status != MC_OK) {
        file_remove(making);
        return status;
    }
    (*out)->made_dev = dev;
    (*out)->made_ino = ino;
    status = found_record(*out, error);
    if (status != MC_OK) {
        mc_record_abandon(*out);
        *out = NULL;
    }
    return status;
}

mc_status mc_record_make(const char *path, mc_record **out, mc_error *error) {
    *out = NULL;
    mc_status status = mc_record_vacant(path, error);
    if (status != MC_OK) {
        return status;
    }
    char *making = file_beside(path, ".making");
    status = making != NULL ? make_as(path, making, out, error)
                            : mc_fail(error, MC_REFUSED, "%.400s: out of memory", path);
    free(making);
    return status;
}

void mc_record_abandon(mc_record *record) {
    if (record != NULL) {
        char *making = record->making;
        record->making = NULL;
        mc_record_close(record);
        if (making != NULL) {
            file_remove(making);
        }
        free(making);
    }
}

/* One file with nothing beside it, on the disk, and still the one that was reserved. */
static mc_status put_in_place(const char *making, const char *path, uint64_t dev, uint64_t ino,
                              mc_error *error) {
    uint64_t now_dev = 0, now_ino = 0;
    if (identify(making, &now_dev, &now_ino) != MC_OK || now_dev != dev || now_ino != ino) {
        return fail_taken(path, error);
    }
    mc_status status = file_to_disk(making, error);
    if (status == MC_OK) {
        status = mc_record_vacant(path, error);
    }
    if (status == MC_OK) {
        status = file_place(making, path, error);
    }
    if (status != MC_OK) {
        file_remove(making);
        return status;
    }
    status = file_to_disk(path, error);
    if (status != MC_OK) {
        file_remove(path);
    }
    return status;
}

/* path and making are the caller's to free. */
static mc_status settle_as(mc_record **record, char *path, const char *making, mc_error *error) {
    const uint64_t dev = (*record)->made_dev, ino = (*record)->made_ino;
    mc_record_close(*record);
    *record = NULL;
    mc_status status = put_in_place(making, path, dev, ino, error);
    if (status != MC_OK) {
        return status;
    }
    status = mc_record_open(path, record, error);
    if (status != MC_OK) {
        file_remove(path);
    }
    return status;
}

mc_status mc_record_settle(mc_record **record, mc_error *error) {
    mc_status status = record_run(*record, "PRAGMA journal_mode = DELETE", error);
    char *path = strdup((*record)->path), *making = strdup((*record)->making);
    if (status == MC_OK && (path == NULL || making == NULL)) {
        status = record_no_memory(*record, error);
    }
    if (status == MC_OK) {
        status = settle_as(record, path, making, error);
    } else {
        mc_record_abandon(*record);
        *record = NULL;
    }
    free(path);
    free(making);
    return status;
}

mc_status mc_record_create(const char *path, mc_record **out, mc_error *error) {
    mc_status status = mc_record_make(path, out, error);
    return status == MC_OK ? mc_record_settle(out, error) : status;
}
