/* The journal: what is appended, and its chain recomputed from the bare rows. */
#include "record_tests.h"

#include <sodium.h>

static void append(mc_record *record, const char *by, const mc_id *of, const char *action,
                   const char *detail) {
    done(mc_record_begin(record, false, &why));
    done(mc_record_append(record, by, of, action, detail, &why));
    done(mc_record_commit(record, &why));
}

static void test_entries_come_in_order_and_by_case(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_entry *list;
    size_t count;
    append(r->record, "CD", &f.course.id, "tooth changed", "{\"tooth\": \"24\"}");
    append(r->record, "AB", NULL, "person added", "{\"initials\": \"CD\"}");
    append(r->record, NULL, NULL, "backup made", "{}");
    done(mc_record_journal(r->record, NULL, &list, &count, &why));
    assert_int_equal(count, 5);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(list[i].number, i + 1);
        assert_int_equal(strlen(list[i].at), 20);
        assert_int_equal(strlen(list[i].hash), 64);
    }
    assert_string_equal(list[2].by, "CD");
    assert_string_equal(list[2].action, "tooth changed");
    assert_memory_equal(&list[2].case_id, &f.course.id, sizeof f.course.id);
    assert_true(mc_id_is_none(&list[3].case_id));
    assert_string_equal(list[4].by, "");
    mc_entries_free(list, count);
    done(mc_record_journal(r->record, &f.course.id, &list, &count, &why));
    assert_int_equal(count, 2);
    assert_int_equal(list[0].number, 2);
    assert_int_equal(list[1].number, 3);
    mc_entries_free(list, count);
}

static void test_detail_is_kept_in_canonical_form(void **state) {
    room *r = *state;
    mc_entry *list;
    size_t count;
    append(r->record, NULL, NULL, "tried",
           " { \"b\" : [ 1, 2.5 , null ],\n \"a\":\"\\u00e4/\\u0041\", \"B\":{} } ");
    done(mc_record_journal(r->record, NULL, &list, &count, &why));
    assert_string_equal(list[1].detail, "{\"B\":{},\"a\":\"\xc3\xa4/A\",\"b\":[1,2.5,null]}");
    mc_entries_free(list, count);
}

static void test_wrong_entries_are_refused(void **state) {
    room *r = *state;
    mc_id nobody = {{1}};
    mc_entry *list;
    size_t count;
    static const struct {
        const char *by, *action, *detail, *words;
    } wrong[] = {
        {NULL, "", "{}", "the action is empty"},
        {NULL, "123456789012345678901234567890123", "{}", "longer than 32"},
        {NULL, "a\nb", "{}", "control character"},
        {NULL, "tried", "", "no JSON object"},
        {NULL, "tried", "[]", "no JSON object"},
        {NULL, "tried", "{\"a\":1,\"a\":2}", "no JSON object"},
        {NULL, "tried", "{\"a\":\"\xff\"}", "no JSON object"},
        {NULL, "tried", "{\"a\":NaN}", "no JSON object"},
        {"XY", "tried", "{}", "no person XY"},
        {"", "tried", "{}", "no person"},
    };
    done(mc_record_begin(r->record, false, &why));
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        refuses(
            MC_REFUSED, wrong[i].words,
            mc_record_append(r->record, wrong[i].by, NULL, wrong[i].action, wrong[i].detail, &why));
    }
    refuses(MC_REFUSED, "no such case",
            mc_record_append(r->record, NULL, &nobody, "tried", "{}", &why));
    done(mc_record_commit(r->record, &why));
    refuses(MC_REFUSED, "no such case", mc_record_journal(r->record, &nobody, &list, &count, &why));
    done(mc_record_journal(r->record, NULL, &list, &count, &why));
    assert_int_equal(count, 1);
    mc_entries_free(list, count);
}

/* ---- the chain, by its published form and nothing of ours ---- */

static void hash_field(crypto_generichash_state *hash, const void *bytes, size_t size) {
    unsigned char length[8] = {0};
    for (int i = 0; i < 8; i++) {
        length[7 - i] = (unsigned char)((uint64_t)size >> (8 * i));
    }
    crypto_generichash_update(hash, length, 8);
    crypto_generichash_update(hash, bytes, size);
}

static void hash_column(crypto_generichash_state *hash, sqlite3_stmt *row, int column) {
    const void *bytes = sqlite3_column_blob(row, column);
    hash_field(hash, bytes != NULL ? bytes : "", (size_t)sqlite3_column_bytes(row, column));
}

static void hash_row(sqlite3_stmt *row, const unsigned char before[32], unsigned char out[32]) {
    static const char label[] = "midcourse journal entry 1";
    crypto_generichash_state hash;
    unsigned char number[8] = {0};
    number[7] = (unsigned char)sqlite3_column_int(row, 0);
    crypto_generichash_init(&hash, NULL, 0, 32);
    hash_field(&hash, label, strlen(label));
    hash_field(&hash, before, 32);
    hash_field(&hash, number, 8);
    for (int column = 1; column <= 5; column++) {
        hash_column(&hash, row, column);
    }
    crypto_generichash_final(&hash, out, 32);
}

static void test_chain_is_what_its_description_says(void **state) {
    room *r = *state;
    unsigned char before[32] = {0}, hash[32];
    sqlite3 *db;
    sqlite3_stmt *row;
    int64_t entries = 0;
    furnished f = furnish_record(r->record);
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    append(r->record, "AB", NULL, "person added", "{\"name\":\"\xc3\xa4\"}");
    assert_int_equal(sqlite3_open(r->path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db,
                                        "SELECT number, at, by, case_id, action, detail, hash"
                                        " FROM journal ORDER BY number",
                                        -1, &row, NULL),
                     SQLITE_OK);
    while (sqlite3_step(row) == SQLITE_ROW) {
        hash_row(row, before, hash);
        assert_int_equal(sqlite3_column_bytes(row, 6), 32);
        assert_memory_equal(sqlite3_column_blob(row, 6), hash, 32);
        memcpy(before, hash, 32);
        entries++;
    }
    assert_int_equal(entries, 4);
    sqlite3_finalize(row);
    assert_int_equal(
        sqlite3_prepare_v2(db, "SELECT entries, hash FROM journal_head", -1, &row, NULL),
        SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    assert_int_equal(sqlite3_column_int64(row, 0), entries);
    assert_memory_equal(sqlite3_column_blob(row, 1), hash, 32);
    sqlite3_finalize(row);
    sqlite3_close(db);
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_entries_come_in_order_and_by_case),
        in_room(test_detail_is_kept_in_canonical_form),
        in_room(test_wrong_entries_are_refused),
        in_room(test_chain_is_what_its_description_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
