/* Several consoles on one record, and consoles that die. */
#include "record_tests.h"

#include <signal.h>
#include <sys/wait.h>
#include <time.h>

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static size_t entries_in(mc_record *record) {
    mc_entry *list;
    size_t count;
    done(mc_record_journal(record, NULL, &list, &count, &why));
    mc_entries_free(list, count);
    return count;
}

static void test_reader_sees_the_old_state_until_the_commit(void **state) {
    room *r = *state;
    mc_record *other;
    done(mc_record_open(r->path, &other, &why));
    done(mc_record_begin(r->record, true, &why));
    done(mc_record_append(r->record, NULL, NULL, "half done", "{}", &why));
    assert_int_equal(entries_in(r->record), 2);
    assert_int_equal(entries_in(other), 1);
    done(mc_record_begin_reading(other, &why));
    assert_int_equal(entries_in(other), 1);
    done(mc_record_commit(r->record, &why));
    /* A view stays what it was. */
    assert_int_equal(entries_in(other), 1);
    done(mc_record_verify(other, NULL, &why));
    mc_record_end_reading(other);
    assert_int_equal(entries_in(other), 2);
    mc_record_close(other);
}

static void test_second_writer_waits_and_then_refuses(void **state) {
    room *r = *state;
    mc_record *other;
    done(mc_record_open(r->path, &other, &why));
    done(mc_record_begin(r->record, true, &why));
    double from = now();
    refuses(MC_REFUSED, "is in use by another console; try again",
            mc_record_begin(other, true, &why));
    double waited = now() - from;
    assert_true(waited > 4.5 && waited < 15);
    refuses(MC_REFUSED, "no change was begun", mc_record_commit(other, &why));
    mc_record_rollback(r->record);
    done(mc_record_begin(other, true, &why));
    done(mc_record_append(other, NULL, NULL, "after waiting", "{}", &why));
    done(mc_record_commit(other, &why));
    mc_record_close(other);
}

/* ---- processes ---- */

static int append_many(const char *path, int count) {
    mc_record *record;
    mc_error error;
    if (mc_record_open(path, &record, &error) != MC_OK) {
        return 1;
    }
    for (int i = 0; i < count; i++) {
        if (mc_record_begin(record, i % 4 == 0, &error) != MC_OK ||
            mc_record_append(record, NULL, NULL, "counted", "{}", &error) != MC_OK ||
            mc_record_commit(record, &error) != MC_OK) {
            return 2;
        }
    }
    mc_record_close(record);
    return 0;
}

static pid_t start_child(const char *path, int count) {
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        _exit(append_many(path, count));
    }
    return child;
}

static void test_two_writers_lose_nothing(void **state) {
    room *r = *state;
    const int each = 50;
    int64_t entries = 0;
    /* No connection may be open across a fork. */
    mc_record_close(r->record);
    r->record = NULL;
    pid_t children[2] = {start_child(r->path, each), start_child(r->path, each)};
    for (int i = 0; i < 2; i++) {
        int status;
        assert_int_equal(waitpid(children[i], &status, 0), children[i]);
        assert_true(WIFEXITED(status));
        assert_int_equal(WEXITSTATUS(status), 0);
    }
    done(mc_record_open(r->path, &r->record, &why));
    done(mc_record_verify(r->record, &entries, &why));
    assert_int_equal(entries, 1 + 2 * each);
}

static void pause_ms(long ms) {
    struct timespec t = {.tv_sec = ms / 1000, .tv_nsec = ms % 1000 * 1000000};
    nanosleep(&t, NULL);
}

/* Kill a writer again and again at moments of its own: whatever it was doing, the record opens and
 * verifies, and nothing that was there before is lost. */
static void test_killed_writer_leaves_a_whole_record(void **state) {
    room *r = *state;
    int64_t before = 1, after = 0;
    mc_record_close(r->record);
    r->record = NULL;
    /* on a busy machine a child may be killed before its first entry: go on until some were written
     */
    for (int round = 0; round < 25 || (after <= 25 && round < 500); round++) {
        int status;
        pid_t child = start_child(r->path, 1000000);
        pause_ms(5 + 7 * round % 60);
        assert_int_equal(kill(child, SIGKILL), 0);
        assert_int_equal(waitpid(child, &status, 0), child);
        assert_true(WIFSIGNALED(status));
        mc_record *record;
        done(mc_record_open(r->path, &record, &why));
        done(mc_record_verify(record, &after, &why));
        mc_record_close(record);
        assert_true(after >= before);
        before = after;
    }
    assert_true(after > 25);
}

/* A writer that dies between a change's first write and its commit has changed nothing. It spills
 * its pages to the disk first, so that half a change really is in the file's log. */
static int die_in_the_middle(const char *path, bool committed) {
    mc_record *record;
    mc_error error;
    mc_tooth_state states[MC_TEETH];
    mc_case made;
    all_present(states);
    if (mc_record_open(path, &record, &error) != MC_OK ||
        mc_record_begin(record, true, &error) != MC_OK) {
        return 1;
    }
    for (int i = 0; i < 3000; i++) {
        char chart[16];
        snprintf(chart, sizeof chart, "%d", 2000 + i);
        if (mc_record_add_case(record, chart, "Invented, Ina", 0, 9000, states, &made, &error) !=
            MC_OK) {
            return 2;
        }
    }
    if (committed && mc_record_commit(record, &error) != MC_OK) {
        return 3;
    }
    kill(getpid(), SIGKILL);
    return 4;
}

static void test_death_before_the_commit_changes_nothing_and_after_it_everything(void **state) {
    room *r = *state;
    mc_record_close(r->record);
    r->record = NULL;
    for (int committed = 0; committed < 2; committed++) {
        struct stat log;
        mc_case *list;
        size_t count;
        int status;
        pid_t child = fork();
        assert_true(child >= 0);
        if (child == 0) {
            _exit(die_in_the_middle(r->path, committed));
        }
        assert_int_equal(waitpid(child, &status, 0), child);
        assert_true(WIFSIGNALED(status));
        assert_int_equal(stat(beside(r, "practice.db-wal"), &log), 0);
        assert_true(log.st_size > 1000000);
        mc_record *record;
        done(mc_record_open(r->path, &record, &why));
        done(mc_record_verify(record, NULL, &why));
        done(mc_record_cases(record, &list, &count, &why));
        assert_int_equal(count, committed ? 3000 : 0);
        free(list);
        mc_record_close(record);
    }
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_reader_sees_the_old_state_until_the_commit),
        in_room(test_second_writer_waits_and_then_refuses),
        in_room(test_two_writers_lose_nothing),
        in_room(test_killed_writer_leaves_a_whole_record),
        in_room(test_death_before_the_commit_changes_nothing_and_after_it_everything),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
