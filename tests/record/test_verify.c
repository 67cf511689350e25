/* What verify finds when the file was changed behind the record's back, and what the file itself
 * does not let anybody change. */
#include "record_tests.h"

/* A record with something of everything, closed. */
static int full_setup(void **state) {
    int code = room_setup(state);
    if (code == 0) {
        room *r = *state;
        furnished f = furnish_record(r->record);
        int64_t set;
        int version;
        mc_checkup better = a_checkup("2025-02-20", 5, NULL, 0);
        better.note = "read again";
        mc_plan *plan = a_plan(10);
        mc_plan_info info = {
            .start = day("2025-03-01"), .interval = {7, 0}, .by = "AB", .made_from = 1};
        mc_start start;
        memset(&start, 0, sizeof start);
        start.variance[5][MC_MESIAL] = 0.01;
        add_a_checkup(r->record, &f, "2025-02-20", 6);
        sign_a_decision(r->record, &f, 1);
        done(mc_record_begin(r->record, true, &why));
        done(mc_record_amend_checkup(r->record, &f.course.id, 1, &better, "AB", "read again",
                                     &version, &why));
        done(mc_record_add_settings(r->record, NULL, "hold_days", 14, "longer", "AB", &set, &why));
        done(mc_record_add_plan(r->record, &f.course.id, plan, &start, &info, &why));
        done(mc_record_append(r->record, "AB", &f.course.id, "plan imported", "{}", &why));
        done(mc_record_commit(r->record, &why));
        done(mc_record_verify(r->record, NULL, &why));
        mc_plan_free(plan);
        mc_record_close(r->record);
        r->record = NULL;
    }
    return code;
}

typedef struct deed {
    const char *sql;
    const char *found; /* words of the message */
} deed;

/* Take a trigger away, do the deed, put the trigger back as it was. */
static void tamper(const char *path, const char *trigger, const char *sql) {
    sqlite3 *db;
    sqlite3_stmt *row;
    char *text = NULL, *message = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    char *ask = sqlite3_mprintf("SELECT sql FROM sqlite_schema WHERE name = %Q", trigger);
    assert_int_equal(sqlite3_prepare_v2(db, ask, -1, &row, NULL), SQLITE_OK);
    if (sqlite3_step(row) == SQLITE_ROW) {
        text = sqlite3_mprintf("%s", sqlite3_column_text(row, 0));
    }
    sqlite3_finalize(row);
    char *all = text != NULL ? sqlite3_mprintf("PRAGMA synchronous = OFF; DROP TRIGGER %s; %s; %s",
                                               trigger, sql, text)
                             : sqlite3_mprintf("%s", sql);
    if (sqlite3_exec(db, all, NULL, NULL, &message) != SQLITE_OK) {
        fail_msg("%s: %s", all, message);
    }
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    sqlite3_free(all);
    sqlite3_free(ask);
    sqlite3_free(text);
}

static void copy_file(const char *from, const char *to) {
    char command[300];
    snprintf(command, sizeof command, "cp '%s' '%s'", from, to);
    assert_int_equal(system(command), 0);
}

/* Do each deed to a copy of its own and see what is found. */
static void finds(room *r, const char *trigger, const deed *deeds, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const char *copy = beside(r, "tampered.db");
        mc_record *record;
        copy_file(r->path, copy);
        tamper(copy, trigger, deeds[i].sql);
        done(mc_record_open(copy, &record, &why));
        refuses(MC_DAMAGED, deeds[i].found, mc_record_verify(record, NULL, &why));
        assert_ptr_equal(strstr(why.text, copy), why.text);
        mc_record_close(record);
        assert_int_equal(unlink(copy), 0);
    }
}

static void test_changed_journal_entry_is_found(void **state) {
    static const deed deeds[] = {
        {"UPDATE journal SET detail = '{\"number\":2}' WHERE number = 3", "entry 3 was changed"},
        {"UPDATE journal SET at = '2020-01-01T00:00:00Z' WHERE number = 1", "entry 1 was changed"},
        {"UPDATE journal SET by = 'CD' WHERE number = 4", "entry 4 was changed"},
        {"UPDATE journal SET by = NULL WHERE number = 4", "entry 4 was changed"},
        {"UPDATE journal SET action = 'decision signeD' WHERE number = 4", "entry 4 was changed"},
        {"UPDATE journal SET case_id = NULL WHERE number = 2", "entry 2 was changed"},
        {"UPDATE journal SET hash = randomblob(32) WHERE number = 2", "entry 2 was changed"},
        {"UPDATE journal SET number = 9 WHERE number = 5", "entry 5 is missing"},
        {"UPDATE journal SET detail = (SELECT detail FROM journal WHERE number = 3),"
         " action = (SELECT action FROM journal WHERE number = 3) WHERE number = 5",
         "entry 5 was changed"},
    };
    finds(*state, "journal_unchanged", deeds, sizeof deeds / sizeof deeds[0]);
}

static void test_missing_journal_entry_is_found(void **state) {
    static const deed deeds[] = {
        {"DELETE FROM journal WHERE number = 5", "entry 5 is missing at the end"},
        {"DELETE FROM journal WHERE number = 3", "entry 3 is missing"},
        {"DELETE FROM journal", "entry 1 is missing"},
        {"DELETE FROM journal WHERE number = 5; UPDATE journal_head SET entries = 4",
         "entry 4 is not the one that was last"},
        {"DELETE FROM journal_head", "entry 6 is missing at the end"},
        {"UPDATE journal_head SET entries = 6", "entry 6 is missing at the end"},
        {"UPDATE journal_head SET hash = zeroblob(32)", "is not the one that was last"},
    };
    finds(*state, "journal_undeleted", deeds, sizeof deeds / sizeof deeds[0]);
}

static void test_changed_decision_is_found(void **state) {
    static const deed deeds[] = {
        {"UPDATE decisions SET evidence = replace(evidence, '12', '11')", "was changed"},
        {"UPDATE decisions SET evidence = evidence || ' '", "was changed"},
        {"UPDATE decisions SET choices = 3", "was changed"},
        {"UPDATE decisions SET days = 8", "was changed"},
        {"UPDATE decisions SET choices = 6, to_aligner = 2", "was changed"},
        {"UPDATE decisions SET cause = 'wear'", "was changed"},
        {"UPDATE decisions SET reason = 'wait for 11'", "was changed"},
        {"UPDATE decisions SET plan_n = 1", "was changed"},
        {"UPDATE decisions SET by = 'CD'", "was changed"},
        {"UPDATE decisions SET at = '2020-01-01T00:00:00Z'", "was changed"},
        {"UPDATE decisions SET id = randomblob(16)", "was changed"},
        {"UPDATE decisions SET seen_plan_hash = randomblob(32)", "was changed"},
        {"UPDATE decisions SET checkup_n = 9", "belongs to nothing"},
    };
    finds(*state, "decisions_unchanged", deeds, sizeof deeds / sizeof deeds[0]);
}

static void test_changed_plan_row_is_found(void **state) {
    static const deed deeds[] = {
        {"UPDATE plan_rows SET mesial = mesial + 1e-12 WHERE plan_n = 1 AND tooth = 11",
         "plan 1 ("},
        {"UPDATE plan_rows SET rotation = 0 WHERE plan_n = 2 AND tooth = 13", "plan 2 ("},
        {"UPDATE plan_rows SET stage = 23 WHERE plan_n = 1 AND stage = 24", "plan 1 ("},
        {"UPDATE plan_rows SET attachment = 'removed' WHERE attachment = 'placed'", "plan 1 ("},
        {"UPDATE plan_rows SET ipr_distal = 0.1 WHERE plan_n = 2", "plan 2 ("},
        {"UPDATE plan_rows SET tooth = 26 WHERE tooth = 16", "plan 1 ("},
    };
    static const deed added[] = {
        {"INSERT INTO plan_rows VALUES (1, 41, 3, 0, 0, 0, 1, 0, 0, NULL, 0, 0)", "plan 1 ("}};
    static const deed deleted[] = {
        {"DELETE FROM plan_rows WHERE stage = 5 AND tooth = 11", "plan 2 ("}};
    static const deed starts[] = {{"UPDATE plan_starts SET mesial = 0.02", "plan 2 ("}};
    finds(*state, "plan_rows_unchanged", deeds, sizeof deeds / sizeof deeds[0]);
    finds(*state, "plan_rows_sealed", added, 1);
    finds(*state, "plan_rows_undeleted", deleted, 1);
    finds(*state, "plan_starts_unchanged", starts, 1);
}

static void test_changed_plan_is_found(void **state) {
    static const deed deeds[] = {
        {"UPDATE plans SET start = '2025-01-11' WHERE n = 1", "plan 1 ("},
        {"UPDATE plans SET upper_interval = 8 WHERE n = 2", "plan 2 ("},
        {"UPDATE plans SET lower_interval = 8 WHERE n = 2", "plan 2 ("},
        {"UPDATE plans SET made_from = NULL WHERE n = 2", "plan 2 ("},
        {"UPDATE plans SET by = 'CD' WHERE n = 2", "plan 2 ("},
        {"UPDATE plans SET id = randomblob(16) WHERE n = 2", "plan 2 ("},
        {"UPDATE plans SET hash = randomblob(32) WHERE n = 2", "plan 2 ("},
        {"UPDATE plans SET seal = NULL WHERE n = 2", "plan 2 ("},
    };
    finds(*state, "plans_unchanged", deeds, sizeof deeds / sizeof deeds[0]);
}

static void test_changed_check_up_is_found(void **state) {
    static const deed rows[] = {
        {"UPDATE readings SET mesial = 0.3500001 WHERE row = 1", "version 1 of check-up 1 ("},
        {"UPDATE readings SET mesial = NULL WHERE row = 1", "version 1 of check-up 1 ("},
        {"UPDATE readings SET seat_gap = 0 WHERE row = 3", "version 1 of check-up 1 ("},
        {"UPDATE readings SET short_of_plan = 0", "version 1 of check-up 1 ("},
        {"UPDATE readings SET tooth = 13 WHERE row = 3", "version 1 of check-up 1 ("},
        {"UPDATE readings SET method = NULL", "version 1 of check-up 1 ("},
        {"UPDATE readings SET attachment = NULL", "version 1 of check-up 1 ("},
        {"UPDATE readings SET contact_mesial = 'open' WHERE row = 2", "version 1 of check-up 1 ("},
        {"UPDATE readings SET contact_distal = NULL", "version 1 of check-up 1 ("},
        {"UPDATE readings SET mobility = 3", "version 1 of check-up 1 ("},
        {"UPDATE readings SET pain = 'no'", "version 1 of check-up 1 ("},
        {"UPDATE readings SET swelling = 'yes'", "version 1 of check-up 1 ("},
        {"UPDATE readings SET recession = 1 WHERE row = 3", "version 1 of check-up 1 ("},
        {"UPDATE readings SET seat_in_bulk = 0 WHERE seat_in_bulk = 1",
         "version 1 of check-up 1 ("},
        {"UPDATE readings SET space_mesial = NULL WHERE row = 2", "version 1 of check-up 1 ("},
        {"UPDATE readings SET space_mesial = NULL, space_distal = 0 WHERE row = 2",
         "version 1 of check-up 1 ("},
        {"UPDATE readings SET crown_angle = 1 WHERE row = 2", "version 1 of check-up 1 ("},
        {"UPDATE readings SET step_distal = 0 WHERE row = 3", "version 1 of check-up 1 ("},
        {"UPDATE readings SET row = 9 - row", "version 1 of check-up 1 ("},
        {"UPDATE readings SET row = row + 4 WHERE row = 1", "version 1 of check-up 1 ("},
    };
    static const deed heads[] = {
        {"UPDATE checkup_versions SET upper_aligner = 7 WHERE n = 1", "version 1 of check-up 1 ("},
        {"UPDATE checkup_versions SET upper_day = NULL WHERE n = 1", "version 1 of check-up 1 ("},
        {"UPDATE checkup_versions SET wear_hours = 22 WHERE n = 2", "version 2 of check-up 1 ("},
        {"UPDATE checkup_versions SET method = 'scan' WHERE n = 2", "version 2 of check-up 1 ("},
        {"UPDATE checkup_versions SET settings_set = 2 WHERE n = 2", "version 2 of check-up 1 ("},
        {"UPDATE checkup_versions SET by = 'AB' WHERE n = 1", "version 1 of check-up 1 ("},
        {"UPDATE checkup_versions SET reason = 'x' WHERE n = 2", "version 2 of check-up 1 ("},
        {"UPDATE checkup_versions SET hash = NULL WHERE n = 2", "version 2 of check-up 1 ("},
        {"UPDATE checkup_versions SET note = 'x' WHERE n = 1", "version 1 of check-up 1 ("},
        {"UPDATE checkup_versions SET note = 'x' WHERE n = 2", "version 2 of check-up 1 ("},
        {"UPDATE checkup_versions SET note = NULL WHERE n = 2", "version 2 of check-up 1 ("},
    };
    static const deed dates[] = {
        {"UPDATE checkups SET date = '2025-02-19'", "version 1 of check-up 1 ("},
        {"UPDATE checkups SET plan_n = 2", "version 1 of check-up 1 ("},
    };
    finds(*state, "readings_unchanged", rows, sizeof rows / sizeof rows[0]);
    finds(*state, "checkup_versions_unchanged", heads, sizeof heads / sizeof heads[0]);
    finds(*state, "checkups_unchanged", dates, sizeof dates / sizeof dates[0]);
}

static void test_changed_settings_are_found(void **state) {
    static const deed values[] = {
        {"UPDATE settings_values SET value = 0.4 WHERE key = 'tolerance_mm' AND set_number = 1",
         "settings set 1 was changed"},
        {"UPDATE settings_values SET key = 'x' WHERE key = 'tolerance_mm' AND set_number = 2",
         "settings set 2 was changed"},
    };
    static const deed sets[] = {
        {"UPDATE settings_sets SET value = 13 WHERE number = 2", "settings set 2 was changed"},
        {"UPDATE settings_sets SET by = 'CD' WHERE number = 2", "settings set 2 was changed"},
        {"UPDATE settings_sets SET reason = 'x' WHERE number = 2", "settings set 2 was changed"},
        {"UPDATE settings_sets SET case_n = 1 WHERE number = 2", "settings set 2 was changed"},
        {"UPDATE settings_sets SET hash = NULL WHERE number = 1", "settings set 1 was changed"},
    };
    finds(*state, "settings_values_unchanged", values, sizeof values / sizeof values[0]);
    finds(*state, "settings_sets_unchanged", sets, sizeof sets / sizeof sets[0]);
}

static void test_changed_tables_are_found(void **state) {
    static const deed deeds[] = {
        {"DROP TRIGGER journal_unchanged", "at trigger journal_unchanged"},
        {"DROP INDEX one_active_plan", "at index one_active_plan"},
        {"CREATE TABLE more (x)", "at table more"},
        {"CREATE TRIGGER zz AFTER INSERT ON journal BEGIN DELETE FROM journal; END",
         "at trigger zz"},
        {"DROP TRIGGER teeth_undeleted; CREATE TRIGGER teeth_undeleted BEFORE DELETE ON teeth"
         " BEGIN SELECT 1; END",
         "at trigger teeth_undeleted"},
        {"PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON;"
         "INSERT INTO teeth VALUES (1, 99, 1, 'someday', 'odd')",
         "CHECK constraint failed in teeth"},
    };
    finds(*state, "no such trigger", deeds, sizeof deeds / sizeof deeds[0]);
}

/* A byte changed in the file itself, anywhere, is found or does not matter; it never passes as a
 * different content. */
static void test_flipped_bytes_are_never_taken_for_content(void **state) {
    room *r = *state;
    struct stat about;
    unsigned found = 0, harmless = 0;
    assert_int_equal(stat(r->path, &about), 0);
    for (long at = 101; at < about.st_size; at += 1499) {
        const char *copy = beside(r, "flipped.db");
        mc_record *record;
        copy_file(r->path, copy);
        FILE *file = fopen(copy, "r+b");
        assert_non_null(file);
        assert_int_equal(fseek(file, at, SEEK_SET), 0);
        int byte = fgetc(file);
        assert_int_equal(fseek(file, at, SEEK_SET), 0);
        fputc(byte ^ 0x41, file);
        assert_int_equal(fclose(file), 0);
        mc_status status = mc_record_open(copy, &record, &why);
        if (status == MC_OK) {
            status = mc_record_verify(record, NULL, &why);
            mc_record_close(record);
        }
        assert_true(status == MC_OK || status == MC_DAMAGED);
        found += status == MC_DAMAGED;
        harmless += status == MC_OK;
        assert_int_equal(unlink(copy), 0);
    }
    print_message("of %u flipped bytes %u were found, %u lay in unused space or free text\n",
                  found + harmless, found, harmless);
    assert_true(found * 10 >= found + harmless);
}

/* ---- what SQLite itself refuses, to anybody ---- */

static void forbidden(const char *path, const char *sql, const char *words) {
    sqlite3 *db;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "PRAGMA foreign_keys = ON", NULL, NULL, NULL), SQLITE_OK);
    int code = sqlite3_exec(db, sql, NULL, NULL, NULL);
    if (code != SQLITE_CONSTRAINT || strstr(sqlite3_errmsg(db), words) == NULL) {
        fail_msg("%s: %d %s", sql, code, sqlite3_errmsg(db));
    }
    sqlite3_close(db);
}

static void test_history_cannot_be_rewritten(void **state) {
    room *r = *state;
    static const char *const tables[] = {
        "journal",   "settings_sets", "settings_values", "plan_rows",        "plan_starts",
        "decisions", "teeth",         "checkups",        "checkup_versions", "plans"};
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        char sql[200];
        snprintf(sql, sizeof sql, "DELETE FROM %s", tables[i]);
        forbidden(r->path, sql, "never");
    }
    static const char *const changes[] = {
        "UPDATE journal SET action = 'x'",
        "UPDATE settings_values SET value = 1",
        "UPDATE settings_sets SET value = 1",
        "INSERT INTO settings_values VALUES (1, 'more', 1)",
        "UPDATE plan_rows SET mesial = 0",
        "INSERT INTO plan_rows VALUES (1, 41, 3, 0, 0, 0, 1, 0, 0, NULL, 0, 0)",
        "UPDATE plan_starts SET mesial = 0",
        "INSERT INTO plan_starts VALUES (1, 41, 0, 0, 0, 0, 0, 0)",
        "UPDATE plans SET start = '2025-01-01'",
        "UPDATE plans SET seal = NULL",
        "UPDATE checkups SET date = '2025-01-01'",
        "UPDATE checkups SET state = 'open'",
        "UPDATE checkup_versions SET hash = NULL",
        "UPDATE readings SET mesial = 0",
        "DELETE FROM readings",
        "INSERT INTO readings (version_n, row, tooth, short_of_plan) VALUES (1, 4, 11, 0)",
        "UPDATE decisions SET evidence = '{}'",
        "UPDATE teeth SET state = 'fixed'",
        "UPDATE people SET initials = 'ZZ' WHERE initials = 'AB'",
        "DELETE FROM people",
        "DELETE FROM patients",
        "DELETE FROM cases",
        "UPDATE cases SET opened = '2020-01-01'",
    };
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        forbidden(r->path, changes[i], "never");
    }
    forbidden(r->path, "UPDATE plans SET status = 'active' WHERE n = 1", "stays closed");
    forbidden(r->path,
              "INSERT INTO journal VALUES (9, '2025-01-01T00:00:00Z', NULL, NULL, 'x', '{}',"
              " zeroblob(32))",
              "no gaps");
}

static void test_nonsense_cannot_be_written(void **state) {
    room *r = *state;
    static const char *const nonsense[] = {
        "INSERT INTO people VALUES ('XY', 'owner', '$argon2id$', 0)",
        "INSERT INTO people VALUES ('XY', 'desk', 'in the clear', 0)",
        "INSERT INTO people VALUES ('ab', 'desk', '$argon2id$', 0)",
        "INSERT INTO teeth VALUES (1, 19, 1, '2025-01-01', 'present')",
        "INSERT INTO teeth VALUES (1, 56, 1, '2025-01-01', 'present')",
        "INSERT INTO teeth VALUES (1, 11, 9, '2025-02-30', 'present')",
        "INSERT INTO teeth VALUES (1, 11, 9, '2025-1-1', 'present')",
        "INSERT INTO teeth VALUES (1, 11, 9, '2025-01-01', 'gone')",
        "INSERT INTO teeth VALUES (7, 11, 9, '2025-01-01', 'present')",
        "INSERT INTO patients VALUES (9, x'00', '5', 'Invented', '2000-01-01')",
        "INSERT INTO patients VALUES (9, randomblob(16), '5/1', 'Invented', '2000-01-01')",
        "INSERT INTO patients VALUES (9, randomblob(16), '1001', 'Invented', '2000-01-01')",
        "INSERT INTO cases VALUES (9, randomblob(16), 1, 2, '2025-01-01', NULL)",
        "INSERT INTO cases VALUES (9, randomblob(16), 1, 2, '2025-01-01', '2024-12-31')",
        "INSERT INTO plans VALUES (9, randomblob(16), 1, 3, 'active', '2025-01-01', 7, 7, NULL, 2,"
        " 'AB', randomblob(32), NULL)",
        "INSERT INTO plans VALUES (9, randomblob(16), 1, 3, 'closed', '2025-01-01', 7, 7, 5, 2,"
        " 'AB', randomblob(32), NULL)",
        "INSERT INTO journal VALUES (6, '2025-01-01 00:00:00', NULL, NULL, 'x', '{}',"
        " zeroblob(32))",
        "INSERT INTO journal VALUES (6, '2025-01-01T00:00:00Z', NULL, NULL, 'x', '[]',"
        " zeroblob(32))",
        "INSERT INTO journal VALUES (6, '2025-01-01T00:00:00Z', NULL, randomblob(16), 'x', '{}',"
        " zeroblob(32))",
        "INSERT INTO journal VALUES (6, 'now', 5, NULL, 'x', '{}', 'hash')",
        "INSERT INTO checkups VALUES (9, randomblob(16), 1, 1, 1, '2025-05-01', 'open')",
        "INSERT INTO checkup_versions (checkup_n, version, method, settings_set, by)"
        " VALUES (1, 3, 'guess', 1, 'AB')",
        "INSERT INTO checkup_versions (checkup_n, version, method, settings_set, by, wear_hours)"
        " VALUES (1, 3, 'scan', 1, 'AB', 25)",
        "INSERT INTO checkup_versions (checkup_n, version, method, settings_set, by)"
        " VALUES (1, 3, 'scan', 1, 'AB')",
    };
    for (size_t i = 0; i < sizeof nonsense / sizeof nonsense[0]; i++) {
        forbidden(r->path, nonsense[i], "");
    }
    as_stranger(r->path,
                "INSERT INTO checkups VALUES (9, randomblob(16), 1, 1, 2, '2025-05-01', 'open')");
    forbidden(r->path,
              "INSERT INTO checkups VALUES (10, randomblob(16), 1, 1, 3, '2025-05-01', 'open')",
              "UNIQUE");
}

/* Say in the journal what the words of a query come to, of the only case. */
static void tell(room *r, const char *action, const char *ask) {
    sqlite3_stmt *row;
    sqlite3 *db;
    mc_id of;
    char detail[200];
    assert_int_equal(sqlite3_open(r->path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, ask, -1, &row, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    snprintf(detail, sizeof detail, "%s", (const char *)sqlite3_column_text(row, 0));
    memcpy(of.byte, sqlite3_column_blob(row, 1), sizeof of.byte);
    sqlite3_finalize(row);
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    done(mc_record_open(r->path, &r->record, &why));
    done(mc_record_begin(r->record, true, &why));
    done(mc_record_append(r->record, "AB", &of, action, detail, &why));
    done(mc_record_commit(r->record, &why));
    mc_record_close(r->record);
    r->record = NULL;
}

static void verify_finds(room *r, const char *part) {
    done(mc_record_open(r->path, &r->record, &why));
    assert_int_equal(mc_record_verify(r->record, NULL, &why), MC_DAMAGED);
    assert_non_null(strstr(why.text, part));
    mc_record_close(r->record);
    r->record = NULL;
}

/* Rows taken out whole leave no wrong hash behind, but the journal tells of them. */
static void test_what_was_taken_out_whole_is_missed(void **state) {
    room *r = *state;
    static const deed gone = {"DELETE FROM decisions WHERE n = (SELECT max(n) FROM decisions)",
                              "was taken out"};
    tell(r, "decision signed",
         "SELECT '{\"evidence\":\"' || lower(hex(hash)) || '\"}', (SELECT id FROM cases) FROM"
         " decisions ORDER BY n DESC");
    finds(r, "decisions_undeleted", &gone, 1);
    tell(r, "correction drafted", "SELECT '{}', id FROM cases");
    verify_finds(r, "the draft of a correction was taken out");
}

static void test_a_missing_checkup_is_missed(void **state) {
    room *r = *state;
    for (int i = 0; i < 4; i++) /* of three versions */
        tell(r, "check-up amended", "SELECT '{\"version\":2}', id FROM cases");
    verify_finds(r, "a check-up was taken out");
}

#define in_full(test) cmocka_unit_test_setup_teardown(test, full_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_full(test_changed_journal_entry_is_found),
        in_full(test_missing_journal_entry_is_found),
        in_full(test_changed_decision_is_found),
        in_full(test_what_was_taken_out_whole_is_missed),
        in_full(test_a_missing_checkup_is_missed),
        in_full(test_changed_plan_row_is_found),
        in_full(test_changed_plan_is_found),
        in_full(test_changed_check_up_is_found),
        in_full(test_changed_settings_are_found),
        in_full(test_changed_tables_are_found),
        in_full(test_flipped_bytes_are_never_taken_for_content),
        in_full(test_history_cannot_be_rewritten),
        in_full(test_nonsense_cannot_be_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
