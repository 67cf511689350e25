/* Backups, and records made from them again. */
#include "record_tests.h"

static bool exists(const char *path) {
    return access(path, F_OK) == 0;
}

static int64_t entries_of(const char *path) {
    mc_record *record;
    int64_t entries = 0;
    done(mc_record_open(path, &record, &why));
    done(mc_record_verify(record, &entries, &why));
    mc_record_close(record);
    return entries;
}

static void append(mc_record *record, const char *action) {
    done(mc_record_begin(record, false, &why));
    done(mc_record_append(record, NULL, NULL, action, "{}", &why));
    done(mc_record_commit(record, &why));
}

static void test_backup_is_the_record_of_that_moment(void **state) {
    room *r = *state;
    const char *copy = beside(r, "copy.db");
    struct stat about;
    furnished f = furnish_record(r->record);
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    done(mc_record_backup(r->record, copy, &why));
    append(r->record, "after it");
    assert_int_equal(stat(copy, &about), 0);
    assert_int_equal(about.st_mode & 0777, 0600);
    assert_false(exists(beside(r, "copy.db-wal")));
    assert_false(exists(beside(r, "copy.db-journal")));
    assert_int_equal(entries_of(copy), 3);
    mc_record *record;
    mc_checkup_info *list;
    size_t count;
    done(mc_record_open(copy, &record, &why));
    done(mc_record_checkups(record, &f.course.id, false, &list, &count, &why));
    assert_int_equal(count, 1);
    assert_int_equal(list[0].checkup.count, 4);
    mc_checkup_info_free(list, count);
    done(mc_record_check_passphrase(record, "AB", "invented words", &why));
    append(record, "written in the copy");
    mc_record_close(record);
    assert_int_equal(entries_of(copy), 4);
}

/* Another console is in the middle of a change: the backup neither waits nor sees it. */
static void test_backup_while_another_writes(void **state) {
    room *r = *state;
    mc_record *other;
    done(mc_record_open(r->path, &other, &why));
    done(mc_record_begin(other, true, &why));
    done(mc_record_append(other, NULL, NULL, "half done", "{}", &why));
    done(mc_record_backup(r->record, beside(r, "copy.db"), &why));
    done(mc_record_commit(other, &why));
    mc_record_close(other);
    assert_int_equal(entries_of(beside(r, "copy.db")), 1);
    assert_int_equal(entries_of(r->path), 2);
}

static void test_backup_refuses(void **state) {
    room *r = *state;
    refuses(MC_REFUSED, "exists", mc_record_backup(r->record, r->path, &why));
    refuses(MC_REFUSED, "exists", mc_record_backup(r->record, r->folder, &why));
    refuses(MC_REFUSED, "No such file", mc_record_backup(r->record, beside(r, "no/such.db"), &why));
    done(mc_record_begin(r->record, true, &why));
    refuses(MC_REFUSED, "is open", mc_record_backup(r->record, beside(r, "copy.db"), &why));
    mc_record_rollback(r->record);
    assert_false(exists(beside(r, "copy.db")));
}

static void test_backup_of_a_damaged_record_leaves_no_file(void **state) {
    room *r = *state;
    as_stranger(r->path, "DROP TRIGGER journal_unchanged; UPDATE journal SET action = 'x'");
    refuses(MC_DAMAGED, "is damaged", mc_record_backup(r->record, beside(r, "copy.db"), &why));
    assert_false(exists(beside(r, "copy.db")));
    assert_false(exists(beside(r, "copy.db-journal")));
}

/* ---- restoring ---- */

static void test_restore_where_there_is_none(void **state) {
    room *r = *state;
    const char *copy = beside(r, "copy.db"), *new = beside(r, "new.db");
    done(mc_record_backup(r->record, copy, &why));
    done(mc_record_restore(copy, new, false, &why));
    assert_int_equal(entries_of(new), 1);
    assert_int_equal(entries_of(copy), 1);
    assert_false(exists(beside(r, "new.db.restoring")));
    refuses(MC_REFUSED, "there is a record already", mc_record_restore(copy, new, false, &why));
    refuses(MC_REFUSED, "there is a record already", mc_record_restore(copy, r->path, false, &why));
    assert_false(exists(beside(r, "practice.db.restoring")));
}

static void test_restore_clears_away_what_a_killed_one_left(void **state) {
    room *r = *state;
    const char *copy = beside(r, "copy.db"), *new = beside(r, "new.db");
    done(mc_record_backup(r->record, copy, &why));
    FILE *left = fopen(beside(r, "new.db.restoring"), "w");
    assert_non_null(left);
    fputs("half a copy", left);
    fclose(left);
    done(mc_record_restore(copy, new, false, &why));
    assert_int_equal(entries_of(new), 1);
    assert_false(exists(beside(r, "new.db.restoring")));
}

static void test_restore_in_place_of_another_keeps_that_beside(void **state) {
    room *r = *state;
    const char *copy = beside(r, "copy.db"), *kept = beside(r, "practice.db.before-restore");
    done(mc_record_backup(r->record, copy, &why));
    append(r->record, "lost by restoring");
    mc_record_close(r->record);
    r->record = NULL;
    done(mc_record_restore(copy, r->path, true, &why));
    assert_int_equal(entries_of(r->path), 1);
    assert_int_equal(entries_of(kept), 2);
    refuses(MC_REFUSED, "before-restore: exists already",
            mc_record_restore(copy, r->path, true, &why));
    assert_int_equal(entries_of(r->path), 1);
    assert_false(exists(beside(r, "practice.db.restoring")));
    /* replace where there is nothing to replace */
    done(mc_record_restore(copy, beside(r, "new.db"), true, &why));
    assert_int_equal(entries_of(beside(r, "new.db")), 1);
}

static void test_restore_refuses_a_record_in_use(void **state) {
    room *r = *state;
    const char *copy = beside(r, "copy.db");
    done(mc_record_backup(r->record, copy, &why));
    append(r->record, "still wanted");
    refuses(MC_REFUSED, "is open in a console", mc_record_restore(copy, r->path, true, &why));
    append(r->record, "goes on");
    done(mc_record_verify(r->record, NULL, &why));
    assert_false(exists(beside(r, "practice.db.restoring")));
    assert_false(exists(beside(r, "practice.db.before-restore")));
}

static void test_restore_puts_a_damaged_record_aside(void **state) {
    room *r = *state;
    const char *copy = beside(r, "copy.db");
    struct stat about;
    done(mc_record_backup(r->record, copy, &why));
    mc_record_close(r->record);
    r->record = NULL;
    assert_int_equal(stat(r->path, &about), 0);
    assert_int_equal(truncate(r->path, about.st_size / 2), 0);
    FILE *left = fopen(beside(r, "practice.db-wal"), "w");
    assert_non_null(left);
    fputs("left over", left);
    fclose(left);
    done(mc_record_restore(copy, r->path, true, &why));
    assert_int_equal(entries_of(r->path), 1);
    assert_int_equal(stat(beside(r, "practice.db.before-restore"), &about), 0);
}

static void test_restore_verifies_the_backup_first(void **state) {
    room *r = *state;
    const char *copy = beside(r, "copy.db"), *new = beside(r, "new.db");
    furnish_record(r->record);
    done(mc_record_backup(r->record, copy, &why));
    mc_record_close(r->record);
    r->record = NULL;
    as_stranger(copy, "DROP TRIGGER journal_undeleted; DELETE FROM journal WHERE number = 2");
    refuses(MC_DAMAGED, "is damaged", mc_record_restore(copy, r->path, true, &why));
    refuses(MC_DAMAGED, "is damaged", mc_record_restore(copy, new, false, &why));
    assert_int_equal(unlink(copy), 0);
    refuses(MC_REFUSED, "No such file", mc_record_restore(copy, new, false, &why));
    as_stranger(copy, "CREATE TABLE t (x)");
    refuses(MC_DAMAGED, "is not a midcourse record", mc_record_restore(copy, new, false, &why));
    as_stranger(copy, "PRAGMA application_id = 0x6d637273; PRAGMA user_version = 99");
    refuses(MC_DAMAGED, "made by a newer", mc_record_restore(copy, new, false, &why));
    assert_false(exists(new));
    assert_false(exists(beside(r, "new.db.restoring")));
    assert_false(exists(beside(r, "practice.db.before-restore")));
    assert_int_equal(entries_of(r->path), 2);
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_backup_is_the_record_of_that_moment),
        in_room(test_backup_while_another_writes),
        in_room(test_backup_refuses),
        in_room(test_backup_of_a_damaged_record_leaves_no_file),
        in_room(test_restore_where_there_is_none),
        in_room(test_restore_clears_away_what_a_killed_one_left),
        in_room(test_restore_in_place_of_another_keeps_that_beside),
        in_room(test_restore_refuses_a_record_in_use),
        in_room(test_restore_puts_a_damaged_record_aside),
        in_room(test_restore_verifies_the_backup_first),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
