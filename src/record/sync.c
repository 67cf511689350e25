/* sync: a second thread that puts on the disk what was committed without waiting for it. With
 * synchronous NORMAL a commit lies in the write-ahead log, safe from everything but a power cut;
 * what is wanted is that log on the disk. A passive checkpoint would do it only where no reader
 * and no other checkpoint is in its way, so the log itself is synced, which takes no lock that a
 * writer could want. It goes through SQLite, on a connection of its own. */
#include <errno.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "file.h"

/* What comes within GATHER_MS of a wake is synced with it; after a failure it is tried again. A log
 * longer than this is brought into the file here, so that no writer has to. */
enum { GATHER_MS = 200, AGAIN_MS = 1000, LONG_LOG = 2 << 20 };

struct mc_syncer {
    mc_record *record; /* the thread's own */
    pthread_t thread;
    pthread_mutex_t lock; /* of all that follows */
    pthread_cond_t wanted, tried_some;
    uint64_t asked, tried, synced; /* wakes so far, and up to which of them */
    bool now, stop;
    char trouble[200];
};

/* ---- the disk ---- */

static mc_status sync_log(mc_record *record, mc_error *error) {
    sqlite3_file *log = NULL;
    sqlite3_int64 size = 0;
    int code = sqlite3_file_control(record->db, "main", SQLITE_FCNTL_JOURNAL_POINTER, &log);
    if (code != SQLITE_OK || log == NULL || log->pMethods == NULL) {
        return mc_fail(error, MC_REFUSED, "%.400s: its write-ahead log cannot be found",
                       record->path);
    }
    code = log->pMethods->xSync(log, SQLITE_SYNC_NORMAL);
    if (code != SQLITE_OK) {
        return mc_fail(error, MC_REFUSED, "%.400s: the disk failed (%s)", record->path,
                       sqlite3_errstr(code));
    }
    if (log->pMethods->xFileSize(log, &size) == SQLITE_OK && size > LONG_LOG) {
        sqlite3_wal_checkpoint_v2(record->db, NULL, SQLITE_CHECKPOINT_PASSIVE, NULL, NULL);
    }
    return MC_OK;
}

/* ---- the thread ---- */

static void wait_ms(mc_syncer *s, long ms) {
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_sec += ms / 1000;
    until.tv_nsec += ms % 1000 * 1000000;
    if (until.tv_nsec >= 1000000000) {
        until.tv_sec++;
        until.tv_nsec -= 1000000000;
    }
    while (!s->now && !s->stop &&
           pthread_cond_timedwait(&s->wanted, &s->lock, &until) != ETIMEDOUT) {
    }
}

/* One attempt, with the lock let go while the disk works. */
static void try_once(mc_syncer *s) {
    mc_error error = {.text = ""};
    uint64_t upto = s->asked;
    s->now = false;
    pthread_mutex_unlock(&s->lock);
    mc_status status = sync_log(s->record, &error);
    pthread_mutex_lock(&s->lock);
    s->tried = upto;
    s->synced = status == MC_OK ? upto : s->synced;
    snprintf(s->trouble, sizeof s->trouble, "%.*s", (int)sizeof s->trouble - 1,
             status == MC_OK ? "" : error.text);
    pthread_cond_broadcast(&s->tried_some);
}

static void *work(void *context) {
    mc_syncer *s = context;
    pthread_mutex_lock(&s->lock);
    for (;;) {
        while (!s->stop && s->asked == s->synced) {
            pthread_cond_wait(&s->wanted, &s->lock);
        }
        if (s->stop && (s->asked == s->synced || s->asked == s->tried)) {
            break;
        }
        /* A failure is tried again by itself, but not without a pause. */
        wait_ms(s, s->trouble[0] != '\0' ? AGAIN_MS : GATHER_MS);
        try_once(s);
    }
    pthread_mutex_unlock(&s->lock);
    return NULL;
}

/* ---- for the others ---- */

static mc_status open_log(const char *path, mc_record **record, mc_error *error) {
    mc_status status = mc_record_open(path, record, error);
    if (status == MC_OK && (*record)->read_only) {
        status = mc_fail(error, MC_REFUSED, "%.400s: may only be read", path);
    }
    if (status == MC_OK) { /* the log is open from the first look into the file on */
        status = record_run(*record, "SELECT count(*) FROM sqlite_schema", error);
    }
    return status;
}

static bool make_locks(mc_syncer *s) {
    pthread_condattr_t monotonic;
    if (pthread_condattr_init(&monotonic) != 0) {
        return false;
    }
    pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC);
    bool made = pthread_mutex_init(&s->lock, NULL) == 0 &&
                pthread_cond_init(&s->wanted, &monotonic) == 0 &&
                pthread_cond_init(&s->tried_some, NULL) == 0;
    pthread_condattr_destroy(&monotonic);
    return made;
}

mc_status mc_syncer_start(const char *path, mc_syncer **out, mc_error *error) {
    mc_syncer *s = *out = calloc(1, sizeof *s);
    if (s == NULL) {
        return mc_fail(error, MC_REFUSED, "%.400s: out of memory", path);
    }
    mc_status status = open_log(path, &s->record, error);
    if (status == MC_OK && (!make_locks(s) || pthread_create(&s->thread, NULL, work, s) != 0)) {
        status = mc_fail(error, MC_REFUSED, "%.400s: no second thread can be had", path);
    }
    if (status != MC_OK) {
        mc_record_close(s->record);
        free(s);
        *out = NULL;
    }
    return status;
}

void mc_syncer_wake(mc_syncer *s) {
    pthread_mutex_lock(&s->lock);
    s->asked++;
    pthread_cond_signal(&s->wanted);
    pthread_mutex_unlock(&s->lock);
}

mc_status mc_syncer_flush(mc_syncer *s, mc_error *error) {
    mc_status status = MC_OK;
    pthread_mutex_lock(&s->lock);
    uint64_t mine = ++s->asked;
    while (s->tried < mine) {
        s->now = true;
        pthread_cond_signal(&s->wanted);
        pthread_cond_wait(&s->tried_some, &s->lock);
    }
    if (s->synced < mine) {
        status = mc_fail(error, MC_REFUSED, "%s", s->trouble);
    }
    pthread_mutex_unlock(&s->lock);
    return status;
}

void mc_syncer_trouble(mc_syncer *s, char *out, size_t size) {
    pthread_mutex_lock(&s->lock);
    snprintf(out, size, "%s", s->trouble);
    pthread_mutex_unlock(&s->lock);
}

void mc_syncer_stop(mc_syncer *s) {
    if (s == NULL) {
        return;
    }
    pthread_mutex_lock(&s->lock);
    s->stop = true;
    pthread_cond_signal(&s->wanted);
    pthread_mutex_unlock(&s->lock);
    pthread_join(s->thread, NULL);
    mc_record_close(s->record);
    pthread_cond_destroy(&s->wanted);
    pthread_cond_destroy(&s->tried_some);
    pthread_mutex_destroy(&s->lock);
    free(s);
}
