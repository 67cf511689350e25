/* The second thread puts on the disk what was committed without waiting, holds nobody up, and says
 * when it cannot. */
#include "record_tests.h"

#include <stdatomic.h>
#include <time.h>

/* ---- a disk that counts how often the write-ahead log is synced ---- */

static sqlite3_vfs counting;
static sqlite3_io_methods log_methods;
static int (*real_sync)(sqlite3_file *, int);
static atomic_int syncs, broken, slow_ms;

static void sleep_ms(int ms) {
    struct timespec time = {.tv_sec = ms / 1000, .tv_nsec = ms % 1000 * 1000000L};
    nanosleep(&time, NULL);
}

static double now_ms(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec * 1e3 + (double)time.tv_nsec / 1e6;
}

static int count_sync(sqlite3_file *file, int flags) {
    sleep_ms(slow_ms);
    if (broken) {
        return SQLITE_IOERR_FSYNC;
    }
    syncs++;
    return real_sync(file, flags);
}

static int open_counted(sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags,
                        int *out_flags) {
    sqlite3_vfs *below = vfs->pAppData;
    int code = below->xOpen(below, name, file, flags, out_flags);
    if (code == SQLITE_OK && (flags & SQLITE_OPEN_WAL) != 0) {
        log_methods = *file->pMethods;
        real_sync = log_methods.xSync;
        log_methods.xSync = count_sync;
        file->pMethods = &log_methods;
    }
    return code;
}

static int put_under(void **state) {
    (void)state;
    sqlite3_vfs *below = sqlite3_vfs_find(NULL);
    counting = *below;
    counting.zName = "counting";
    counting.pAppData = below;
    counting.xOpen = open_counted;
    return sqlite3_vfs_register(&counting, 1);
}

/* Wait for as long as is promised, and a little longer. */
static bool synced_within(int more_than, int ms) {
    for (double end = now_ms() + ms; now_ms() < end; sleep_ms(10)) {
        if (syncs > more_than) {
            return true;
        }
    }
    return false;
}

static void commit_something(mc_record *record) {
    done(mc_record_begin(record, false, &why));
    done(mc_record_append(record, NULL, NULL, "something", "{}", &why));
    done(mc_record_commit(record, &why));
}

static int start(void **state) {
    int code = room_setup(state);
    syncs = broken = slow_ms = 0;
    return code;
}

/* ---- */

static void test_a_wake_is_on_the_disk_within_a_second(void **state) {
    room *r = *state;
    mc_syncer *syncer;
    char trouble[200] = "?";
    done(mc_syncer_start(r->path, &syncer, &why));
    commit_something(r->record); /* the first sync of a new log is SQLite's own */
    int before = syncs;
    commit_something(r->record);
    assert_int_equal(syncs, before);
    mc_syncer_wake(syncer);
    assert_true(synced_within(before, 1000));
    sleep_ms(600);
    assert_int_equal(syncs, before + 1); /* once is enough */
    mc_syncer_trouble(syncer, trouble, sizeof trouble);
    assert_string_equal(trouble, "");
    mc_syncer_stop(syncer);
}

static void test_many_wakes_are_gathered(void **state) {
    room *r = *state;
    mc_syncer *syncer;
    done(mc_syncer_start(r->path, &syncer, &why));
    commit_something(r->record);
    int before = syncs;
    for (int i = 0; i < 50; i++) {
        commit_something(r->record);
        mc_syncer_wake(syncer);
    }
    assert_true(synced_within(before, 1000));
    sleep_ms(600);
    assert_in_range(syncs - before, 1, 3);
    mc_syncer_stop(syncer);
}

static void test_flush_returns_when_it_is_there(void **state) {
    room *r = *state;
    mc_syncer *syncer;
    done(mc_syncer_start(r->path, &syncer, &why));
    commit_something(r->record);
    slow_ms = 100;
    for (int i = 0; i < 3; i++) {
        int before = syncs;
        commit_something(r->record);
        done(mc_syncer_flush(syncer, &why));
        assert_true(syncs > before);
    }
    mc_syncer_stop(syncer);
}

/* A reader of old holds a checkpoint up; this it does not. */
static void test_a_reader_is_not_in_the_way(void **state) {
    room *r = *state;
    mc_syncer *syncer;
    mc_record *reader;
    mc_person *people;
    size_t count;
    done(mc_record_open(r->path, &reader, &why));
    done(mc_record_begin_reading(reader, &why));
    done(mc_record_people(reader, &people, &count, &why));
    free(people);
    done(mc_syncer_start(r->path, &syncer, &why));
    commit_something(r->record);
    int before = syncs;
    commit_something(r->record);
    done(mc_syncer_flush(syncer, &why));
    assert_true(syncs > before);
    mc_record_end_reading(reader);
    mc_record_close(reader);
    mc_syncer_stop(syncer);
}

static void test_a_slow_disk_holds_nobody_up(void **state) {
    room *r = *state;
    mc_syncer *syncer;
    done(mc_syncer_start(r->path, &syncer, &why));
    commit_something(r->record);
    slow_ms = 1500;
    mc_syncer_wake(syncer);
    sleep_ms(500); /* it is at it now */
    double begun = now_ms();
    for (int i = 0; i < 5; i++) {
        commit_something(r->record);
        mc_syncer_wake(syncer);
    }
    assert_true(now_ms() - begun < 700);
    slow_ms = 0;
    mc_syncer_stop(syncer);
}

static void test_stopping_syncs_what_is_left(void **state) {
    room *r = *state;
    mc_syncer *syncer;
    done(mc_syncer_start(r->path, &syncer, &why));
    commit_something(r->record);
    int before = syncs;
    commit_something(r->record);
    mc_syncer_wake(syncer);
    mc_syncer_stop(syncer);
    assert_true(syncs > before);
    mc_syncer_stop(NULL);
}

static void test_trouble_is_told_and_tried_again(void **state) {
    room *r = *state;
    mc_syncer *syncer;
    char trouble[200];
    done(mc_syncer_start(r->path, &syncer, &why));
    commit_something(r->record);
    commit_something(r->record);
    int before = syncs;
    broken = 1;
    refuses(MC_REFUSED, "the disk failed", mc_syncer_flush(syncer, &why));
    mc_syncer_trouble(syncer, trouble, sizeof trouble);
    assert_non_null(strstr(trouble, "the disk failed"));
    assert_int_equal(syncs, before);
    broken = 0;
    assert_true(synced_within(before, 2000));
    done(mc_syncer_flush(syncer, &why));
    mc_syncer_trouble(syncer, trouble, sizeof trouble);
    assert_string_equal(trouble, "");
    broken = 1; /* a stop does not wait for a disk that is gone */
    mc_syncer_wake(syncer);
    mc_syncer_stop(syncer);
    broken = 0;
}

static void test_it_starts_on_a_record_only(void **state) {
    room *r = *state;
    mc_syncer *syncer = NULL;
    refuses(MC_REFUSED, "No such file", mc_syncer_start(beside(r, "none.db"), &syncer, &why));
    assert_null(syncer);
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, start, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_a_wake_is_on_the_disk_within_a_second),
        in_room(test_many_wakes_are_gathered),
        in_room(test_flush_returns_when_it_is_there),
        in_room(test_a_reader_is_not_in_the_way),
        in_room(test_a_slow_disk_holds_nobody_up),
        in_room(test_stopping_syncs_what_is_left),
        in_room(test_trouble_is_told_and_tried_again),
        in_room(test_it_starts_on_a_record_only),
    };
    return cmocka_run_group_tests(tests, put_under, NULL);
}
