#include "file.h"

#include <errno.h>
#include <fcntl.h>
#include <sodium.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "schema.h"

enum { BUSY_MS = 5000, LONGEST_VALUE = 64 << 20 };

static mc_status fail_system(const char *path, mc_error *error) {
    return mc_fail(error, MC_REFUSED, "%.400s: %s", path, strerror(errno));
}

char *file_beside(const char *path, const char *end) {
    char *name = malloc(strlen(path) + strlen(end) + 1);
    if (name != NULL) {
        strcpy(name, path);
        strcat(name, end);
    }
    return name;
}

/* ---- the file itself ---- */

mc_status file_reserve(const char *path, mc_error *error) {
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
    if (fd < 0) {
        return fail_system(path, error);
    }
    return close(fd) == 0 ? MC_OK : fail_system(path, error);
}

static mc_status sync_one(const char *name, int flags, mc_error *error) {
    int fd = open(name, flags | O_RDONLY | O_CLOEXEC);
    if (fd < 0) {
        return fail_system(name, error);
    }
    /* Some file systems cannot sync a folder and say EINVAL; they keep names in order themselves.
     */
    bool done = fsync(fd) == 0 || errno == EINVAL;
    mc_status status = done ? MC_OK : fail_system(name, error);
    close(fd);
    return status;
}

mc_status file_to_disk(const char *path, mc_error *error) {
    mc_status status = sync_one(path, 0, error);
    char *folder = strdup(path);
    if (folder == NULL) {
        return mc_fail(error, MC_REFUSED, "%.400s: out of memory", path);
    }
    char *slash = strrchr(folder, '/');
    if (slash != NULL) {
        slash[slash == folder ? 1 : 0] = '\0';
    }
    if (status == MC_OK) {
        status = sync_one(slash != NULL ? folder : ".", O_DIRECTORY, error);
    }
    free(folder);
    return status;
}

mc_status file_place(const char *from, const char *to, mc_error *error) {
    struct stat about;
    /* A second name for it, refused where anything has that name already. */
    if (link(from, to) == 0) {
        return unlink(from) == 0 ? MC_OK : fail_system(from, error);
    }
    if (errno == EEXIST || lstat(to, &about) == 0) {
        return mc_fail(error, MC_REFUSED, "%.400s: exists already", to);
    }
    /* Some file systems know one name a file only. */
    return rename(from, to) == 0 ? MC_OK : fail_system(to, error);
}

void file_remove(const char *path) {
    static const char *const ends[] = {"", "-wal", "-shm", "-journal"};
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        char *name = file_beside(path, ends[i]);
        if (name != NULL) {
            unlink(name);
            free(name);
        }
    }
}

/* ---- the connection ---- */

/* SQLite must never take a name for anything but a file: "./" keeps it from reading a URI or
 * ":memory:" into it. */
static mc_status connect_file(mc_record *record, mc_error *error) {
    const char *path = record->making != NULL ? record->making : record->path;
    char *name = file_beside(path[0] == '/' ? "" : "./", path);
    if (name == NULL) {
        return record_no_memory(record, error);
    }
    int code =
        sqlite3_open_v2(name, &record->db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
    free(name);
    if (code == SQLITE_OK) {
        return MC_OK;
    }
    if (record->db == NULL) {
        return record_no_memory(record, error);
    }
    int number = sqlite3_system_errno(record->db);
    return number != 0 ? mc_fail(error, MC_REFUSED, "%.400s: %s", record->path, strerror(number))
                       : record_fail(record, error);
}

/* Take nothing in the file for granted: no code of its own beyond ours, no writing to SQLite's own
 * tables, every cell's size checked. */
static mc_status harden(mc_record *record, mc_error *error) {
    static const struct {
        int what, value;
    } options[] = {{SQLITE_DBCONFIG_DEFENSIVE, 1},   {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
                   {SQLITE_DBCONFIG_ENABLE_FKEY, 1}, {SQLITE_DBCONFIG_ENABLE_TRIGGER, 1},
                   {SQLITE_DBCONFIG_ENABLE_VIEW, 0}, {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
                   {SQLITE_DBCONFIG_DQS_DML, 0},     {SQLITE_DBCONFIG_DQS_DDL, 0}};
    static const char *const pragmas[] = {
        "PRAGMA cell_size_check = ON", "PRAGMA mmap_size = 0", "PRAGMA recursive_triggers = ON",
        "PRAGMA temp_store = MEMORY", "PRAGMA synchronous = NORMAL"};
    for (size_t i = 0; i < sizeof options / sizeof options[0]; i++) {
        if (sqlite3_db_config(record->db, options[i].what, options[i].value, NULL) != SQLITE_OK) {
            return mc_fail(error, MC_REFUSED, "%.400s: this SQLite cannot be made safe",
                           record->path);
        }
    }
    sqlite3_limit(record->db, SQLITE_LIMIT_LENGTH, LONGEST_VALUE);
    sqlite3_limit(record->db, SQLITE_LIMIT_ATTACHED, 0);
    sqlite3_busy_timeout(record->db, BUSY_MS);
    mc_status status = MC_OK;
    for (size_t i = 0; status == MC_OK && i < sizeof pragmas / sizeof pragmas[0]; i++) {
        status = record_run(record, pragmas[i], error);
    }
    if (status == MC_OK &&
        sqlite3_prepare_v2(record->db, "ROLLBACK", -1, &record->undo, NULL) != SQLITE_OK) {
        status = record_fail(record, error);
    }
    return status;
}

static mc_status file_stands(const char *path, mc_error *error) {
    struct stat about;
    if (stat(path, &about) != 0) {
        return fail_system(path, error);
    }
    if (S_ISDIR(about.st_mode)) {
        return mc_fail(error, MC_REFUSED, "%.400s: is a folder", path);
    }
    if (!S_ISREG(about.st_mode)) {
        return mc_fail(error, MC_REFUSED, "%.400s: is not a file", path);
    }
    return access(path, R_OK) == 0 ? MC_OK : fail_system(path, error);
}

/* making: the name it is made under, NULL for one that stands in its place. */
static mc_record *new_record(const char *path, const char *making) {
    mc_record *record = calloc(1, sizeof *record);
    if (record == NULL) {
        return NULL;
    }
    record->path = strdup(path);
    record->making = making != NULL ? strdup(making) : NULL;
    if (record->path == NULL || (making != NULL && record->making == NULL)) {
        mc_record_close(record);
        return NULL;
    }
    return record;
}

mc_status file_connect_making(const char *path, const char *making, mc_record **out,
                              mc_error *error) {
    *out = NULL;
    mc_status status = file_stands(making != NULL ? making : path, error);
    if (status != MC_OK) {
        return status;
    }
    if (sodium_init() < 0) {
        return mc_fail(error, MC_REFUSED, "%.400s: no random numbers can be had", path);
    }
    mc_record *record = new_record(path, making);
    if (record == NULL) {
        return mc_fail(error, MC_REFUSED, "%.400s: out of memory", path);
    }
    status = connect_file(record, error);
    if (status == MC_OK) {
        status = harden(record, error);
    }
    if (status != MC_OK) {
        mc_record_close(record);
        return status;
    }
    record->read_only = sqlite3_db_readonly(record->db, "main") == 1;
    *out = record;
    return MC_OK;
}

mc_status file_connect(const char *path, mc_record **out, mc_error *error) {
    return file_connect_making(path, NULL, out, error);
}

mc_status file_unused(const char *path, mc_error *error) {
    mc_record *other;
    if (file_connect(path, &other, NULL) != MC_OK) {
        return MC_OK;
    }
    sqlite3_busy_timeout(other->db, 0);
    mc_status status = record_run(other, "PRAGMA locking_mode = EXCLUSIVE", NULL);
    if (status == MC_OK) {
        status = record_run(other, "BEGIN EXCLUSIVE", NULL);
    }
    bool busy = status != MC_OK && (sqlite3_errcode(other->db) & 0xff) == SQLITE_BUSY;
    mc_record_close(other);
    return busy ? mc_fail(error, MC_REFUSED,
                          "%.400s: is open in a console; close that before replacing it", path)
                : MC_OK;
}

void file_wait(mc_record *record, bool wait) {
    sqlite3_busy_timeout(record->db, wait ? BUSY_MS : 0);
}

mc_status file_is_record(mc_record *record, mc_error *error) {
    int64_t found = 0;
    query q = query_new(record, "PRAGMA application_id", error);
    mc_status status = query_whole(&q, 0, &found);
    if (status == MC_OK && found != RECORD_APPLICATION_ID) {
        status = mc_fail(error, MC_DAMAGED, "%.400s: is not a midcourse record", record->path);
    }
    return status;
}

mc_status file_use_wal(mc_record *record, mc_error *error) {
    char mode[16] = "";
    query q = query_new(record, "PRAGMA journal_mode = WAL", error);
    if (query_row(&q)) {
        query_take_text(&q, mode, sizeof mode);
    }
    mc_status status = query_end(&q);
    if (status == MC_OK && strcmp(mode, "wal") != 0) {
        return mc_fail(error, MC_REFUSED,
                       "%.400s: this disk cannot share a record (SQLite's WAL does not work on it)",
                       record->path);
    }
    return status;
}

const char *mc_record_path(const mc_record *record) {
    return record->path;
}

void mc_record_close(mc_record *record) {
    if (record != NULL) {
        record_forget_statements(record);
        sqlite3_finalize(record->undo);
        sqlite3_close(record->db);
        free(record->making);
        free(record->path);
        free(record);
    }
}

mc_status mc_record_open(const char *path, mc_record **out, mc_error *error) {
    mc_status status = file_connect(path, out, error);
    if (status != MC_OK) {
        return status;
    }
    status = file_is_record(*out, error);
    if (status == MC_OK) {
        status = schema_migrate(*out, record_migrations, record_schema_version, error);
    }
    if (status == MC_OK && !(*out)->read_only) {
        status = file_use_wal(*out, error);
    }
    if (status != MC_OK) {
        mc_record_close(*out);
        *out = NULL;
    }
    return status;
}

/* ---- changes ---- */

/* A console is open for days: meanwhile the file may have been moved away or replaced, and what is
 * written would be found by nobody. */
static mc_status in_its_place(mc_record *record, mc_error *error) {
    int moved = 0;
    sqlite3_file_control(record->db, "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    return moved ? mc_fail(error, MC_REFUSED,
                           "%.400s: was moved, replaced or deleted while it was open here: nothing "
                           "is kept any more; leave, and open it again",
                           record->path)
                 : MC_OK;
}

/* Or a newer midcourse may have brought it up to date. */
static mc_status of_this_version(mc_record *record, mc_error *error) {
    int64_t version = 0;
    query q = query_new(record, "PRAGMA user_version", error);
    mc_status status = query_whole(&q, 0, &version);
    if (status == MC_OK && version != record_schema_version) {
        return mc_fail(error, MC_REFUSED,
                       "%.400s: was brought up to date by a newer midcourse: leave, and open it "
                       "with that",
                       record->path);
    }
    return status;
}

mc_status mc_record_begin(mc_record *record, bool durable, mc_error *error) {
    if (record->read_only) {
        return mc_fail(error, MC_REFUSED, "%.400s: may only be read", record->path);
    }
    if (record->writing || !sqlite3_get_autocommit(record->db)) {
        return mc_fail(error, MC_REFUSED, "%.400s: a change or a view is open already",
                       record->path);
    }
    mc_status status = in_its_place(record, error);
    if (status == MC_OK) {
        status = record_run(
            record, durable ? "PRAGMA synchronous = FULL" : "PRAGMA synchronous = NORMAL", error);
    }
    if (status == MC_OK) {
        status = record_run(record, "BEGIN IMMEDIATE", error);
        record->writing = status == MC_OK;
    }
    if (status == MC_OK) {
        status = of_this_version(record, error);
    }
    if (status != MC_OK) {
        mc_record_rollback(record);
    }
    return status;
}

mc_status mc_record_commit(mc_record *record, mc_error *error) {
    if (!record->writing) {
        return mc_fail(error, MC_REFUSED, "%.400s: no change was begun", record->path);
    }
    mc_status status = MC_OK;
    if (sqlite3_get_autocommit(record->db)) {
        status = mc_fail(error, MC_REFUSED, "%.400s: the change was undone by an earlier failure",
                         record->path);
    } else {
        status = record_run(record, "COMMIT", error);
    }
    if (status != MC_OK) {
        mc_record_rollback(record);
        return status;
    }
    record->writing = false;
    record->commits++;
    return MC_OK;
}

void mc_record_rollback(mc_record *record) {
    if (record->writing) {
        record_undo(record);
    }
    record->writing = false;
}

mc_status mc_record_begin_reading(mc_record *record, mc_error *error) {
    mc_status status = record_run(record, "SAVEPOINT reading", error);
    record->views += status == MC_OK;
    return status;
}

void mc_record_end_reading(mc_record *record) {
    record->views--;
    if (record->views == 0 && !record->writing) {
        record_undo(record); /* nothing was written */
    } else {
        record_run(record, "RELEASE reading", NULL);
    }
}

int64_t mc_record_change(mc_record *record) {
    int64_t version = 0;
    query q = query_new(record, "PRAGMA data_version", NULL);
    if (query_whole(&q, 0, &version) != MC_OK) {
        return -1;
    }
    /* SQLite's number counts the commits of others only. */
    return (int64_t)(((uint64_t)version << 32 | ((uint64_t)record->commits & 0xffffffffu)) &
                     INT64_MAX);
}
