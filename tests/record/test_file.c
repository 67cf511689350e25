/* Making, opening and changing the file. */
#include "record_tests.h"

#include "file.h"

#include <fcntl.h>
#include <sys/wait.h>

static void write_file(const char *path, const void *bytes, size_t size) {
    FILE *out = fopen(path, "wb");
    assert_non_null(out);
    assert_int_equal(fwrite(bytes, 1, size, out), size);
    assert_int_equal(fclose(out), 0);
}

static bool exists(const char *path) {
    return access(path, F_OK) == 0;
}

/* Opening is refused so, and nothing is left behind. */
static void will_not_open(const char *path, mc_status status, const char *words) {
    mc_record *record;
    refuses(status, words, mc_record_open(path, &record, &why));
    assert_null(record);
    assert_ptr_equal(strstr(why.text, path), why.text);
}

/* ---- making ---- */

static void test_new_record_is_private_and_whole(void **state) {
    room *r = *state;
    struct stat about;
    int64_t entries = 0;
    mc_entry *list;
    size_t count;
    assert_int_equal(stat(r->path, &about), 0);
    assert_int_equal(about.st_mode & 0777, 0600);
    done(mc_record_verify(r->record, &entries, &why));
    assert_int_equal(entries, 1);
    done(mc_record_journal(r->record, NULL, &list, &count, &why));
    assert_int_equal(count, 1);
    assert_string_equal(list[0].action, "record made");
    assert_string_equal(list[0].by, "");
    assert_true(mc_id_is_none(&list[0].case_id));
    mc_entries_free(list, count);
}

static void test_making_refuses_what_exists(void **state) {
    room *r = *state;
    mc_record *record;
    const char *other = beside(r, "other");
    refuses(MC_REFUSED, "there is a record already; it was not touched",
            mc_record_create(r->path, &record, &why));
    assert_null(record);
    write_file(other, "mine", 4);
    refuses(MC_REFUSED, "exists", mc_record_create(other, &record, &why));
    assert_true(exists(other));
    refuses(MC_REFUSED, "exists", mc_record_create(r->folder, &record, &why));
    refuses(MC_REFUSED, "No such file", mc_record_create(beside(r, "no/such.db"), &record, &why));
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_a_link_to_nothing_is_something(void **state) {
    room *r = *state;
    mc_record *record;
    const char *name = beside(r, "link.db"), *copy = beside(r, "copy.db");
    assert_int_equal(symlink("nowhere.db", name), 0);
    done(mc_record_backup(r->record, copy, &why));
    refuses(MC_REFUSED, "a link to a file that is not there",
            mc_record_create(name, &record, &why));
    for (int replace = 0; replace < 2; replace++)
        refuses(MC_REFUSED, "a link to a file that is not there",
                mc_record_restore(copy, name, replace, &why));
    assert_false(exists(beside(r, "nowhere.db")));
    assert_false(exists(beside(r, "link.db.restoring")));
    assert_int_equal(unlink(name), 0); /* it is still there */
}

/* ---- making it beside its place ---- */

static void assert_nothing_beside(const room *r, const char *name) {
    static const char *const ends[] = {".making", ".making-wal", ".making-shm", ".making-journal"};
    char full[60], path[128];
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        snprintf(full, sizeof full, "%.30s%s", name, ends[i]);
        snprintf(path, sizeof path, "%.60s/%s", r->folder, full);
        if (exists(path))
            fail_msg("%s was left behind", path);
    }
}

/* Make one and die with it half made, as a killed process does. */
static void die_making(const char *path) {
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        mc_record *record;
        _exit(mc_record_make(path, &record, NULL) == MC_OK ? 0 : 1);
    }
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_int_equal(status, 0);
}

static void test_killed_while_making_leaves_the_place_free(void **state) {
    room *r = *state;
    mc_record *record;
    const char *new = beside(r, "new.db");
    die_making(new);
    assert_false(exists(new));
    assert_true(exists(beside(r, "new.db.making")));
    done(mc_record_create(new, &record, &why));
    done(mc_record_verify(record, NULL, &why));
    mc_record_close(record);
    assert_nothing_beside(r, "new.db");
}

static void test_what_is_not_settled_leaves_nothing(void **state) {
    room *r = *state;
    mc_record *record, *second;
    const char *new = beside(r, "new.db");
    done(mc_record_make(new, &record, &why));
    refuses(MC_REFUSED, "is open in a console", mc_record_make(new, &second, &why));
    assert_false(exists(new));
    mc_record_abandon(record);
    assert_nothing_beside(r, "new.db");
    mc_record_abandon(NULL);
    /* somebody puts something there meanwhile */
    done(mc_record_make(new, &record, &why));
    write_file(new, "mine", 4);
    refuses(MC_REFUSED, "exists already", mc_record_settle(&record, &why));
    assert_null(record);
    assert_nothing_beside(r, "new.db");
    char now[5] = "";
    FILE *file = fopen(new, "r");
    assert_non_null(file);
    assert_int_equal(fread(now, 1, 4, file), 4);
    fclose(file);
    assert_string_equal(now, "mine");
}

/* However quickly something gets there first. */
static void test_nothing_is_ever_replaced(void **state) {
    room *r = *state;
    const char *from = beside(r, "from"), *to = beside(r, "to");
    write_file(from, "new", 4);
    write_file(to, "old", 4);
    refuses(MC_REFUSED, "exists already", file_place(from, to, &why));
    assert_int_equal(unlink(to), 0);
    assert_int_equal(symlink("nowhere", to), 0);
    refuses(MC_REFUSED, "exists already", file_place(from, to, &why));
    assert_true(exists(from));
    assert_int_equal(unlink(to), 0);
    done(file_place(from, to, &why));
    assert_false(exists(from));
    assert_true(exists(to));
}

static void test_name_is_a_file_name_whatever_it_looks_like(void **state) {
    room *r = *state;
    static const char *const names[] = {":memory:", "file:x?mode=memory", "-x y%41#.db"};
    char home[512];
    assert_non_null(getcwd(home, sizeof home));
    assert_int_equal(chdir(r->folder), 0);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        mc_record *record;
        done(mc_record_create(names[i], &record, &why));
        mc_record_close(record);
        assert_true(exists(names[i]));
        done(mc_record_open(names[i], &record, &why));
        done(mc_record_verify(record, NULL, &why));
        mc_record_close(record);
    }
    assert_int_equal(chdir(home), 0);
}

/* ---- opening ---- */

static void test_opening_refuses_what_is_no_record(void **state) {
    room *r = *state;
    const char *name = beside(r, "thing");
    char garbage[5000];
    will_not_open(name, MC_REFUSED, "No such file");
    will_not_open(r->folder, MC_REFUSED, "is a folder");
    will_not_open("/dev/null", MC_REFUSED, "is not a file");
    write_file(name, "", 0);
    will_not_open(name, MC_DAMAGED, "is not a midcourse record");
    memset(garbage, 'g', sizeof garbage);
    write_file(name, garbage, sizeof garbage);
    will_not_open(name, MC_DAMAGED, "is not a midcourse record");
    write_file(name, "SQLite format 3", 16);
    will_not_open(name, MC_DAMAGED, "is not a midcourse record");
    assert_int_equal(unlink(name), 0);
    as_stranger(name, "CREATE TABLE journal (x); PRAGMA application_id = 77");
    will_not_open(name, MC_DAMAGED, "is not a midcourse record");
}

static void test_opening_refuses_a_truncated_record(void **state) {
    room *r = *state;
    furnish_record(r->record);
    mc_record_close(r->record);
    r->record = NULL;
    struct stat about;
    assert_int_equal(stat(r->path, &about), 0);
    assert_true(about.st_size > 8192);
    assert_int_equal(truncate(r->path, about.st_size / 2), 0);
    will_not_open(r->path, MC_DAMAGED, "is damaged");
    assert_int_equal(truncate(r->path, 50), 0);
    will_not_open(r->path, MC_DAMAGED, "is damaged");
}

static void test_opening_refuses_a_newer_version(void **state) {
    room *r = *state;
    mc_record_close(r->record);
    r->record = NULL;
    as_stranger(r->path, "PRAGMA user_version = 7");
    will_not_open(r->path, MC_DAMAGED,
                  "made by a newer midcourse (version 7; this one reads up to");
}

/* Run a check as a user without rights, so that root is refused too. Exit codes tell what was seen.
 */
static int as_nobody(int (*check)(const char *path), const char *path) {
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0)) {
            _exit(99);
        }
        _exit(check(path));
    }
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static int opens_for_reading_only(const char *path) {
    mc_record *record;
    mc_error error = {.text = ""};
    int64_t entries = 0;
    if (mc_record_open(path, &record, &error) != MC_OK) {
        print_message("as another user: %s\n", error.text);
        return error.status == MC_REFUSED && strstr(error.text, "folder may not be written") ? 2
                                                                                             : 1;
    }
    if (mc_record_verify(record, &entries, &error) != MC_OK || entries != 1) {
        return 3;
    }
    if (mc_record_begin(record, false, &error) != MC_REFUSED ||
        strstr(error.text, "may only be read") == NULL) {
        return 4;
    }
    mc_record_close(record);
    return 0;
}

static int is_denied(const char *path) {
    mc_record *record;
    mc_error error;
    return mc_record_open(path, &record, &error) == MC_REFUSED &&
                   strstr(error.text, "Permission denied") != NULL
               ? 0
               : 1;
}

static int cannot_be_made(const char *path) {
    mc_record *record;
    mc_error error;
    return mc_record_create(path, &record, &error) == MC_REFUSED &&
                   strstr(error.text, "Permission denied") != NULL
               ? 0
               : 1;
}

static void test_rights_of_the_file_are_kept_to(void **state) {
    room *r = *state;
    const char *copy = beside(r, "copy.db");
    assert_int_equal(chmod(r->folder, 0777), 0);
    assert_int_equal(as_nobody(is_denied, r->path), geteuid() == 0 ? 0 : 1);

    /* A record in use may be read by who may not write it. */
    done(mc_record_verify(r->record, NULL, &why));
    assert_int_equal(chmod(r->path, 0444), 0);
    assert_int_equal(chmod(beside(r, "practice.db-wal"), 0444), 0);
    assert_int_equal(chmod(beside(r, "practice.db-shm"), 0444), 0);
    assert_int_equal(as_nobody(opens_for_reading_only, r->path), 0);

    /* A backup needs no files beside it, so it may be read from a folder that nobody may change. */
    done(mc_record_backup(r->record, copy, &why));
    assert_int_equal(chmod(copy, 0444), 0);
    assert_int_equal(chmod(r->folder, 0555), 0);
    assert_int_equal(as_nobody(opens_for_reading_only, copy), 0);
    assert_int_equal(as_nobody(cannot_be_made, beside(r, "new.db")), 0);

    /* A record at rest is in WAL, which needs files beside it: refused in words. */
    mc_record_close(r->record);
    r->record = NULL;
    assert_false(exists(beside(r, "practice.db-wal")));
    assert_int_equal(as_nobody(opens_for_reading_only, r->path), 2);
    assert_int_equal(chmod(r->folder, 0700), 0);
}

/* ---- changing ---- */

static size_t how_many_people(mc_record *record) {
    mc_person *people;
    size_t count;
    done(mc_record_people(record, &people, &count, &why));
    free(people);
    return count;
}

static void test_change_is_kept_whole_or_undone_whole(void **state) {
    room *r = *state;
    for (int durable = 0; durable < 2; durable++) {
        done(mc_record_begin(r->record, durable, &why));
        done(mc_record_add_person(r->record, "AB", MC_DOCTOR, "invented words", &why));
        mc_record_rollback(r->record);
        assert_int_equal(how_many_people(r->record), durable);
        done(mc_record_begin(r->record, durable, &why));
        done(mc_record_add_person(r->record, durable ? "B" : "A", MC_DESK, "invented words", &why));
        done(mc_record_commit(r->record, &why));
        assert_int_equal(how_many_people(r->record), durable + 1);
    }
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_add_person(r->record, "C", MC_DESK, "invented words", &why));
    mc_record_close(r->record);
    done(mc_record_open(r->path, &r->record, &why));
    assert_int_equal(how_many_people(r->record), 2);
}

static void test_change_begins_and_ends_once(void **state) {
    room *r = *state;
    refuses(MC_REFUSED, "no change was begun", mc_record_commit(r->record, &why));
    refuses(MC_REFUSED, "no change was begun",
            mc_record_append(r->record, NULL, NULL, "nothing", "{}", &why));
    done(mc_record_begin(r->record, true, &why));
    refuses(MC_REFUSED, "is open already", mc_record_begin(r->record, true, &why));
    done(mc_record_commit(r->record, &why));
    refuses(MC_REFUSED, "no change was begun", mc_record_commit(r->record, &why));
    mc_record_rollback(r->record);
    done(mc_record_begin_reading(r->record, &why));
    refuses(MC_REFUSED, "is open already", mc_record_begin(r->record, true, &why));
    refuses(MC_REFUSED, "no change was begun",
            mc_record_append(r->record, NULL, NULL, "nothing", "{}", &why));
    mc_record_end_reading(r->record);
    done(mc_record_begin(r->record, true, &why));
    done(mc_record_begin_reading(r->record, &why));
    mc_record_end_reading(r->record);
    done(mc_record_append(r->record, NULL, NULL, "something", "{}", &why));
    done(mc_record_commit(r->record, &why));
}

/* Nothing is written where nobody would find it. */
static void test_a_change_needs_the_file_in_its_place(void **state) {
    room *r = *state;
    char aside[200];
    snprintf(aside, sizeof aside, "%s.aside", r->path);
    assert_int_equal(rename(r->path, aside), 0);
    refuses(MC_REFUSED, "moved, replaced or deleted", mc_record_begin(r->record, false, &why));
    write_file(r->path, "another", 7);
    refuses(MC_REFUSED, "moved, replaced or deleted", mc_record_begin(r->record, true, &why));
    refuses(MC_REFUSED, "no change was begun", mc_record_commit(r->record, &why));
}

/* Nor in a way that the file no longer has. */
static void test_a_change_needs_the_version_that_was_opened(void **state) {
    room *r = *state;
    as_stranger(r->path, "PRAGMA user_version = 7");
    refuses(MC_REFUSED, "by a newer midcourse", mc_record_begin(r->record, false, &why));
    refuses(MC_REFUSED, "no change was begun", mc_record_commit(r->record, &why));
}

/* A refusal within a change leaves what was done before it. */
static void test_refusal_leaves_the_rest_of_a_change(void **state) {
    room *r = *state;
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_add_person(r->record, "AB", MC_DOCTOR, "invented words", &why));
    refuses(MC_REFUSED, "already",
            mc_record_add_person(r->record, "AB", MC_DESK, "other words", &why));
    refuses(MC_REFUSED, "no person", mc_record_append(r->record, "ZZ", NULL, "x", "{}", &why));
    done(mc_record_commit(r->record, &why));
    assert_int_equal(how_many_people(r->record), 1);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_change_number_follows_every_commit(void **state) {
    room *r = *state;
    mc_record *other;
    done(mc_record_open(r->path, &other, &why));
    int64_t mine = mc_record_change(r->record), theirs = mc_record_change(other);
    assert_int_equal(mc_record_change(r->record), mine);
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_append(r->record, NULL, NULL, "something", "{}", &why));
    assert_int_equal(mc_record_change(other), theirs);
    done(mc_record_commit(r->record, &why));
    assert_int_not_equal(mc_record_change(r->record), mine);
    assert_int_not_equal(mc_record_change(other), theirs);
    mine = mc_record_change(r->record);
    done(mc_record_begin(other, false, &why));
    done(mc_record_append(other, NULL, NULL, "something", "{}", &why));
    mc_record_rollback(other);
    assert_int_equal(mc_record_change(r->record), mine);
    mc_record_close(other);
}

static void test_identity_as_text(void **state) {
    (void)state;
    mc_id id = {{0}};
    char text[33];
    assert_true(mc_id_is_none(&id));
    id.byte[0] = 0xab;
    id.byte[15] = 0x01;
    assert_false(mc_id_is_none(&id));
    mc_id_text(&id, text);
    assert_string_equal(text, "ab000000000000000000000000000001");
    mc_record_close(NULL);
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_new_record_is_private_and_whole),
        in_room(test_making_refuses_what_exists),
        in_room(test_a_link_to_nothing_is_something),
        in_room(test_killed_while_making_leaves_the_place_free),
        in_room(test_what_is_not_settled_leaves_nothing),
        in_room(test_nothing_is_ever_replaced),
        in_room(test_name_is_a_file_name_whatever_it_looks_like),
        in_room(test_opening_refuses_what_is_no_record),
        in_room(test_opening_refuses_a_truncated_record),
        in_room(test_opening_refuses_a_newer_version),
        in_room(test_rights_of_the_file_are_kept_to),
        in_room(test_change_is_kept_whole_or_undone_whole),
        in_room(test_change_begins_and_ends_once),
        in_room(test_a_change_needs_the_file_in_its_place),
        in_room(test_a_change_needs_the_version_that_was_opened),
        in_room(test_refusal_leaves_the_rest_of_a_change),
        in_room(test_change_number_follows_every_commit),
        cmocka_unit_test(test_identity_as_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
