/* Older files are brought up to date in one transaction, or not at all. */
#include "record_tests.h"

#include <sodium.h>

#include "schema.h"

/* Steps of a later day, on top of those there are. */
enum { NOW = 4 };
static const char *const second[] = {"CREATE TABLE extra (x INTEGER) STRICT;",
                                     "INSERT INTO extra VALUES (2);", NULL};
static const char *const third[] = {"UPDATE extra SET x = x + 1;", NULL};
static const char *const broken[] = {"UPDATE extra SET x = 99;", "UPDATE nowhere SET x = 1;", NULL};

static int64_t ask(mc_record *record, const char *sql) {
    int64_t answer = -1;
    query q = query_new(record, sql, &why);
    done(query_whole(&q, -1, &answer));
    return answer;
}

static void test_every_missing_migration_is_done_in_order(void **state) {
    room *r = *state;
    const migration all[] = {version_1, version_2, version_3, version_4, second, third};
    done(schema_migrate(r->record, all, NOW + 1, &why));
    assert_int_equal(ask(r->record, "SELECT x FROM extra"), 2);
    assert_int_equal(ask(r->record, "PRAGMA user_version"), NOW + 1);
    done(schema_migrate(r->record, all, NOW + 2, &why));
    assert_int_equal(ask(r->record, "SELECT x FROM extra"), 3);
    done(schema_migrate(r->record, all, NOW + 2, &why));
    assert_int_equal(ask(r->record, "SELECT x FROM extra"), 3);
    assert_int_equal(ask(r->record, "SELECT count(*) FROM journal"), 1);
    refuses(MC_DAMAGED, "version 6; this one reads up to 5",
            schema_migrate(r->record, all, NOW + 1, &why));
}

static void test_failing_migration_changes_nothing(void **state) {
    room *r = *state;
    const migration all[] = {version_1, version_2, version_3, version_4, second, broken};
    refuses(MC_REFUSED, "no such table", schema_migrate(r->record, all, NOW + 2, &why));
    assert_int_equal(ask(r->record, "PRAGMA user_version"), NOW);
    assert_int_equal(ask(r->record, "SELECT count(*) FROM sqlite_schema WHERE name = 'extra'"), 0);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_what_may_only_be_read_is_not_migrated(void **state) {
    room *r = *state;
    const migration all[] = {version_1, version_2, version_3, version_4, second};
    r->record->read_only = true;
    refuses(MC_REFUSED, "cannot be brought up to date",
            schema_migrate(r->record, all, NOW + 1, &why));
    assert_int_equal(ask(r->record, "PRAGMA user_version"), NOW);
}

/* Released schemas are in files out there. Where this fails its text was changed: put it back, and
 * make the change a migration of its own. */
static void is_what_it_was(migration part, const char *was) {
    crypto_generichash_state hash;
    unsigned char bytes[32];
    char text[65];
    crypto_generichash_init(&hash, NULL, 0, sizeof bytes);
    for (; *part != NULL; part++) {
        crypto_generichash_update(&hash, (const unsigned char *)*part, strlen(*part));
    }
    crypto_generichash_final(&hash, bytes, sizeof bytes);
    sodium_bin2hex(text, sizeof text, bytes, sizeof bytes);
    assert_string_equal(text, was);
}

static void test_released_versions_are_what_they_were(void **state) {
    room *r = *state;
    is_what_it_was(record_migrations[0],
                   "c27c4a73a63f0acc89be93dbe2e00c5851637fef075b48656a0f999e4592aa3a");
    is_what_it_was(record_migrations[1],
                   "622034796d0a887d72ef742bfc98b68dfe25b0cfa8d51f2911d5c86154822d3d");
    is_what_it_was(record_migrations[2],
                   "11a6d81a645768fc9342b24251a99f6958636ef5085d1429906659ccb6038958");
    is_what_it_was(record_migrations[3],
                   "0fd24cf27a03ab7b6d18fe9f9691bbd77bc6a1667e6921fb390b19e3c5d5e6d0");
    done(schema_check(r->record, &why));
    assert_int_equal(record_schema_version, NOW);
    assert_int_equal(ask(r->record, "SELECT count(*) FROM sqlite_schema WHERE type = 'table'"), 21);
}

static char *read_all(const char *path) {
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    char *text = calloc(1, 1 << 17);
    assert_non_null(text);
    size_t size = fread(text, 1, (1 << 17) - 1, file);
    assert_in_range(size, 1, (1 << 17) - 2);
    fclose(file);
    return text;
}

/* What the first schema's midcourse made is read by this one, every hash as it was. */
static void test_record_of_the_first_version_is_brought_up_to_date(void **state) {
    room *r = *state;
    const char *path = beside(r, "old.db");
    char *sql = read_all(FIXTURES "/record/version_1.sql");
    mc_record *record;
    mc_case course;
    mc_checkup_info *list, added;
    mc_decision *decisions;
    size_t count;
    as_stranger(path, sql);
    free(sql);
    done(mc_record_open(path, &record, &why));
    assert_int_equal(ask(record, "PRAGMA user_version"), record_schema_version);
    done(mc_record_verify(record, NULL, &why));
    done(mc_record_find_case(record, "1001", 0, &course, &why));
    done(mc_record_checkups(record, &course.id, true, &list, &count, &why));
    assert_int_equal(count, 3);
    for (size_t i = 0; i < count; i++) {
        assert_null(list[i].checkup.note);
        for (size_t k = 0; k < list[i].checkup.count; k++) {
            assert_false(list[i].checkup.rows[k].seat_in_bulk);
        }
    }
    assert_string_equal(list[0].hash,
                        "252a9315adf289eea803a6a4c0f4aa14611e56edbee2bce59dbeac56d11f8cb2");
    done(mc_record_decisions(record, &course.id, &decisions, &count, &why));
    assert_int_equal(count, 1);
    mc_decision_free(decisions, count);
    mc_reading rows[4];
    mc_checkup checkup = a_checkup("2025-04-20", 12, rows, some_readings(rows));
    checkup.note = "the first with a note";
    done(mc_record_begin(record, true, &why));
    done(mc_record_add_checkup(record, &course.id, &list[0].plan, &checkup, 1, "CD", &added, &why));
    done(mc_record_commit(record, &why));
    mc_checkup_info_free(list, 3);
    done(mc_record_verify(record, NULL, &why));
    mc_record_close(record);
}

/* What the second schema's midcourse made: check-ups, their amendment and what is being entered are
 * there, every hash as it was, and what it did not have can be read from then on. */
static void test_record_of_the_second_version_is_brought_up_to_date(void **state) {
    room *r = *state;
    const char *path = beside(r, "second.db");
    char *sql = read_all(FIXTURES "/record/version_2.sql");
    mc_record *record;
    mc_case course;
    mc_checkup_info *list, open, completed;
    mc_step *steps;
    size_t count;
    bool found;
    as_stranger(path, sql);
    free(sql);
    done(mc_record_open(path, &record, &why));
    assert_int_equal(ask(record, "PRAGMA user_version"), record_schema_version);
    done(mc_record_verify(record, NULL, &why));
    done(mc_record_find_case(record, "1001", 0, &course, &why));
    done(mc_record_checkups(record, &course.id, true, &list, &count, &why));
    assert_int_equal(count, 2);
    assert_string_equal(list[0].hash,
                        "b78c8e8e6adc411627259c0e031b9a1295eac61a365ad45c96012ddbfb19fe10");
    assert_string_equal(list[1].hash,
                        "1e8702246b99800154b6f60b1d508e11785d0468495037853f0923da5938acef");
    assert_string_equal(list[1].checkup.note, "gap read again");
    for (size_t k = 0; k < list[1].checkup.count; k++) {
        for (int i = 0; i < MC_RELATIVES; i++) {
            assert_true(isnan(list[1].checkup.rows[k].relative[i]));
        }
    }
    mc_checkup_info_free(list, count);
    done(mc_record_open_checkup(record, &course.id, &open, &steps, &count, &found, &why));
    assert_true(found);
    assert_int_equal(count, 3);
    assert_true(steps[2].undone && steps[2].short_of_plan);
    mc_step space = {.what = MC_STEP_RELATIVE,
                     .tooth = mc_tooth_from_iso(12),
                     .whole = MC_SPACE_TO_DISTAL,
                     .number = 0.4,
                     .by = "CD"};
    mc_reading row = mc_reading_none(space.tooth);
    row.relative[MC_SPACE_TO_DISTAL] = 0.4;
    open.checkup.rows = &row;
    open.checkup.count = 1;
    done(mc_record_begin(record, true, &why));
    done(mc_record_add_step(record, &open.id, 3, 1, &space, &why));
    done(mc_record_complete_checkup(record, &open.id, 3, 0, &open.checkup, open.settings, "CD",
                                    &completed, &why));
    done(mc_record_commit(record, &why));
    done(mc_record_verify(record, NULL, &why));
    free(steps);
    mc_record_close(record);
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_every_missing_migration_is_done_in_order),
        in_room(test_failing_migration_changes_nothing),
        in_room(test_what_may_only_be_read_is_not_migrated),
        in_room(test_released_versions_are_what_they_were),
        in_room(test_record_of_the_first_version_is_brought_up_to_date),
        in_room(test_record_of_the_second_version_is_brought_up_to_date),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
