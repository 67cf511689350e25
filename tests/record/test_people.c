/* People, their roles and their passphrases. */
#include "record_tests.h"

static void add(mc_record *record, const char *initials, mc_role role) {
    done(mc_record_begin(record, false, &why));
    done(mc_record_add_person(record, initials, role, "invented words", &why));
    done(mc_record_commit(record, &why));
}

static void test_roles_have_names(void **state) {
    (void)state;
    for (int i = MC_DOCTOR; i <= MC_DESK; i++) {
        mc_role role = MC_DESK;
        assert_true(mc_role_parse(mc_role_name((mc_role)i), &role));
        assert_int_equal(role, i);
    }
    mc_role role = MC_ASSISTANT;
    assert_false(mc_role_parse("Doctor", &role));
    assert_false(mc_role_parse("", &role));
    assert_int_equal(role, MC_ASSISTANT);
}

static void test_people_are_listed_with_the_retired_last(void **state) {
    room *r = *state;
    mc_person *people, person;
    size_t count;
    add(r->record, "ZZ", MC_DOCTOR);
    add(r->record, "aa", MC_ASSISTANT);
    add(r->record, "M2", MC_DESK);
    add(r->record, "12345678", MC_DOCTOR);
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_retire_person(r->record, "12345678", &why));
    refuses(MC_REFUSED, "12345678 has retired",
            mc_record_retire_person(r->record, "12345678", &why));
    done(mc_record_commit(r->record, &why));
    done(mc_record_people(r->record, &people, &count, &why));
    assert_int_equal(count, 4);
    assert_string_equal(people[0].initials, "M2");
    assert_int_equal(people[0].role, MC_DESK);
    assert_string_equal(people[1].initials, "ZZ");
    assert_string_equal(people[2].initials, "aa");
    assert_string_equal(people[3].initials, "12345678");
    assert_true(people[3].retired);
    free(people);
    done(mc_record_person(r->record, "ZZ", &person, &why));
    assert_int_equal(person.role, MC_DOCTOR);
    assert_false(person.retired);
    refuses(MC_REFUSED, "no person zz", mc_record_person(r->record, "zz", &person, &why));
    refuses(MC_REFUSED, "has retired", mc_record_person(r->record, "12345678", &person, &why));
}

static void test_initials_are_unique_for_ever(void **state) {
    room *r = *state;
    static const char *const wrong[] = {"", "123456789", "A B", "A-B", "\xc3\x84", "A\n", NULL};
    add(r->record, "AB", MC_DOCTOR);
    add(r->record, "CD", MC_DOCTOR);
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_retire_person(r->record, "CD", &why));
    refuses(MC_REFUSED, "there is a person AB already",
            mc_record_add_person(r->record, "AB", MC_DESK, "invented words", &why));
    refuses(MC_REFUSED, "there is a person AB already",
            mc_record_add_person(r->record, "ab", MC_DESK, "invented words", &why));
    refuses(MC_REFUSED, "there is a person CD already",
            mc_record_add_person(r->record, "CD", MC_DESK, "invented words", &why));
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        refuses(MC_REFUSED, "initials are 1 to 8 letters or digits",
                mc_record_add_person(r->record, wrong[i], MC_DESK, "invented words", &why));
    }
    refuses(MC_REFUSED, "a person is a doctor",
            mc_record_add_person(r->record, "XY", (mc_role)3, "invented words", &why));
    mc_record_rollback(r->record);
}

static void test_last_doctor_stays(void **state) {
    room *r = *state;
    add(r->record, "AB", MC_DOCTOR);
    add(r->record, "CD", MC_DOCTOR);
    add(r->record, "EF", MC_ASSISTANT);
    refuses(MC_REFUSED, "no change was begun", mc_record_retire_person(r->record, "EF", &why));
    refuses(MC_REFUSED, "no change was begun",
            mc_record_add_person(r->record, "GH", MC_DESK, "invented words", &why));
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_retire_person(r->record, "EF", &why));
    done(mc_record_retire_person(r->record, "AB", &why));
    refuses(MC_REFUSED, "CD is the last doctor", mc_record_retire_person(r->record, "CD", &why));
    refuses(MC_REFUSED, "no person GH", mc_record_retire_person(r->record, "GH", &why));
    done(mc_record_commit(r->record, &why));
}

/* The hash of a passphrase as it stands in the file. */
static void kept_hash(const char *path, char *out, size_t size) {
    sqlite3 *db;
    sqlite3_stmt *row;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, "SELECT passphrase FROM people", -1, &row, NULL),
                     SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    snprintf(out, size, "%s", (const char *)sqlite3_column_text(row, 0));
    sqlite3_finalize(row);
    sqlite3_close(db);
}

static void test_passphrase_is_kept_as_a_hash_only(void **state) {
    room *r = *state;
    char hash[200];
    add(r->record, "AB", MC_DOCTOR);
    kept_hash(r->path, hash, sizeof hash);
    assert_ptr_equal(strstr(hash, "$argon2id$v=19$m=65536,t=2,p=1$"), hash);
    assert_null(strstr(hash, "invented"));
    done(mc_record_check_passphrase(r->record, "AB", "invented words", &why));
    refuses(MC_REFUSED, "not the passphrase of AB",
            mc_record_check_passphrase(r->record, "AB", "invented word", &why));
    refuses(MC_REFUSED, "not the passphrase of AB",
            mc_record_check_passphrase(r->record, "AB", "", &why));
    refuses(MC_REFUSED, "not the passphrase of AB",
            mc_record_check_passphrase(r->record, "AB", NULL, &why));
    refuses(MC_REFUSED, "no person XY",
            mc_record_check_passphrase(r->record, "XY", "invented words", &why));
}

static void test_passphrase_has_8_to_1024_bytes(void **state) {
    room *r = *state;
    char words[1026];
    memset(words, 'w', sizeof words);
    words[1025] = '\0';
    done(mc_record_begin(r->record, false, &why));
    refuses(MC_REFUSED, "8 to 1024 bytes",
            mc_record_add_person(r->record, "A", MC_DOCTOR, "7 bytes", &why));
    refuses(MC_REFUSED, "8 to 1024 bytes",
            mc_record_add_person(r->record, "A", MC_DOCTOR, NULL, &why));
    refuses(MC_REFUSED, "8 to 1024 bytes",
            mc_record_add_person(r->record, "A", MC_DOCTOR, words, &why));
    done(mc_record_add_person(r->record, "A", MC_DOCTOR, words + 1, &why));
    done(mc_record_add_person(r->record, "B", MC_DOCTOR, "8 bytes.", &why));
    done(mc_record_commit(r->record, &why));
    done(mc_record_check_passphrase(r->record, "A", words + 1, &why));
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_roles_have_names),
        in_room(test_people_are_listed_with_the_retired_last),
        in_room(test_initials_are_unique_for_ever),
        in_room(test_last_doctor_stays),
        in_room(test_passphrase_is_kept_as_a_hash_only),
        in_room(test_passphrase_has_8_to_1024_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
