/* Measured arches: kept bit for bit, the last of a check-up and arch counting, and never changed.
 */
#include "record_tests.h"

#include "query.h"

static mc_measured_arch an_arch(int checkup, mc_arch of, double moved) {
    mc_measured_arch arch = {.checkup = checkup, .arch = of, .by = "AB"};
    for (int position = 1; position <= 7; position++) {
        for (int side = 0; side < 2; side++) {
            const int quadrant = of == MC_UPPER ? 1 + side : 4 - side;
            const mc_tooth t = mc_tooth_from_iso(quadrant * 10 + position);
            arch.crown[t] =
                (mc_crown){.stands = true,
                           .right = (side == 0 ? 4.1 : -4.1) * position + moved,
                           .anterior = 40.0 - position * position / 3.0,
                           .outward_deg = side == 0 ? 90 - 10.1 * position : 90 + 10.1 * position,
                           .turned_deg = 0.1 + 0.2,
                           .width = 8.25,
                           .thickness = 1.0 / 3 + 7};
        }
    }
    return arch;
}

static furnished with_checkups(mc_record *record) {
    furnished f = furnish_record(record);
    add_a_checkup(record, &f, "2025-02-20", 6);
    add_a_checkup(record, &f, "2025-03-20", 9);
    return f;
}

static void add(mc_record *record, const furnished *f, mc_measured_arch *arch) {
    done(mc_record_begin(record, false, &why));
    done(mc_record_add_arch(record, &f->course.id, arch, &why));
    done(mc_record_commit(record, &why));
}

static void same_crowns(const mc_measured_arch *a, const mc_measured_arch *b) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_crown *x = &a->crown[t], *y = &b->crown[t];
        assert_int_equal(x->stands, y->stands);
        assert_true(x->right == y->right && x->anterior == y->anterior &&
                    x->outward_deg == y->outward_deg && x->turned_deg == y->turned_deg &&
                    x->width == y->width && x->thickness == y->thickness);
    }
}

static void test_arch_reads_back_and_the_last_counts(void **state) {
    room *r = *state;
    furnished f = with_checkups(r->record);
    mc_measured_arch *list, later = an_arch(2, MC_UPPER, 0), lower = an_arch(1, MC_LOWER, 0.5),
                            first = an_arch(1, MC_UPPER, 0), better = an_arch(1, MC_UPPER, 0.25);
    size_t count;
    done(mc_record_measured_arches(r->record, &f.course.id, &list, &count, &why));
    assert_null(list);
    assert_int_equal(count, 0);
    add(r->record, &f, &later);
    add(r->record, &f, &first);
    add(r->record, &f, &lower);
    add(r->record, &f, &better);
    assert_int_equal(first.entry, 1);
    assert_int_equal(better.entry, 2);
    assert_int_equal(strlen(better.hash), 64);
    done(mc_record_measured_arches(r->record, &f.course.id, &list, &count, &why));
    assert_int_equal(count, 3);
    const mc_measured_arch *wanted[] = {&better, &lower, &later};
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(list[i].checkup, wanted[i]->checkup);
        assert_int_equal(list[i].arch, wanted[i]->arch);
        assert_int_equal(list[i].entry, wanted[i]->entry);
        assert_memory_equal(&list[i].plan, &f.plan.id, sizeof f.plan.id);
        assert_string_equal(list[i].by, "AB");
        assert_string_equal(list[i].at, wanted[i]->at);
        assert_string_equal(list[i].hash, wanted[i]->hash);
        same_crowns(&list[i], wanted[i]);
    }
    free(list);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_what_cannot_be_is_refused(void **state) {
    room *r = *state;
    furnished f = with_checkups(r->record);
    mc_measured_arch *list, arch = an_arch(3, MC_UPPER, 0);
    size_t count;
    done(mc_record_begin(r->record, false, &why));
    refuses(MC_REFUSED, "no check-up 3", mc_record_add_arch(r->record, &f.course.id, &arch, &why));
    arch = an_arch(1, MC_UPPER, 0);
    arch.crown[mc_tooth_from_iso(31)] = arch.crown[mc_tooth_from_iso(11)];
    refuses(MC_REFUSED, "tooth 31 is in the other arch",
            mc_record_add_arch(r->record, &f.course.id, &arch, &why));
    arch = an_arch(1, MC_UPPER, NAN);
    refuses(MC_REFUSED, "NOT NULL", mc_record_add_arch(r->record, &f.course.id, &arch, &why));
    arch = an_arch(1, MC_UPPER, 5000);
    refuses(MC_REFUSED, "CHECK", mc_record_add_arch(r->record, &f.course.id, &arch, &why));
    arch = (mc_measured_arch){.checkup = 1, .by = "AB"};
    refuses(MC_REFUSED, "a measured arch has a crown",
            mc_record_add_arch(r->record, &f.course.id, &arch, &why));
    arch = an_arch(1, MC_UPPER, 0);
    snprintf(arch.by, sizeof arch.by, "ZZ");
    refuses(MC_REFUSED, "ZZ", mc_record_add_arch(r->record, &f.course.id, &arch, &why));
    done(mc_record_commit(r->record, &why));
    done(mc_record_measured_arches(r->record, &f.course.id, &list, &count, &why));
    assert_int_equal(count, 0);
    arch = an_arch(1, MC_UPPER, 0);
    refuses(MC_REFUSED, "no change was begun",
            mc_record_add_arch(r->record, &f.course.id, &arch, &why));
}

static void expect_stopped(room *r, const char *sql) {
    char *message = NULL;
    if (sqlite3_exec(r->record->db, sql, NULL, NULL, &message) == SQLITE_OK) {
        fail_msg("%s was done", sql);
    }
    assert_non_null(strstr(message, "never"));
    sqlite3_free(message);
}

static void test_a_measured_arch_is_never_changed(void **state) {
    room *r = *state;
    furnished f = with_checkups(r->record);
    mc_measured_arch arch = an_arch(1, MC_UPPER, 0);
    add(r->record, &f, &arch);
    expect_stopped(r, "UPDATE measured_arches SET by = 'AB'");
    expect_stopped(r, "DELETE FROM measured_arches");
    expect_stopped(r, "UPDATE measured_crowns SET width = 9 WHERE tooth = 11");
    expect_stopped(r, "DELETE FROM measured_crowns WHERE tooth = 11");
    expect_stopped(r, "INSERT INTO measured_crowns SELECT arch_n, 18, to_right, anterior, outward,"
                      " turned, width, thickness FROM measured_crowns WHERE tooth = 17");
    done(mc_record_verify(r->record, NULL, &why));
}

/* What somebody did who took a trigger away and put it back. */
static void expect_found(const char *trigger, const char *sql) {
    void *state;
    sqlite3_stmt *row;
    assert_int_equal(room_setup(&state), 0);
    room *r = state;
    furnished f = with_checkups(r->record);
    mc_measured_arch arch = an_arch(1, MC_LOWER, 0);
    add(r->record, &f, &arch);
    char *find = sqlite3_mprintf("SELECT sql FROM sqlite_schema WHERE name = %Q", trigger);
    assert_int_equal(sqlite3_prepare_v2(r->record->db, find, -1, &row, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(row), SQLITE_ROW);
    char *all =
        sqlite3_mprintf("DROP TRIGGER %s; %s; %s;", trigger, sql, sqlite3_column_text(row, 0));
    sqlite3_finalize(row);
    done(mc_record_verify(r->record, NULL, &why));
    assert_int_equal(sqlite3_exec(r->record->db, all, NULL, NULL, NULL), SQLITE_OK);
    refuses(MC_DAMAGED, "measured arch", mc_record_verify(r->record, NULL, &why));
    sqlite3_free(all);
    sqlite3_free(find);
    assert_int_equal(room_teardown(&state), 0);
}

static void test_verify_finds_what_was_changed(void **state) {
    (void)state;
    static const char *const columns[] = {"to_right", "anterior", "outward",
                                          "turned",   "width",    "thickness"};
    for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++) {
        char sql[120];
        snprintf(sql, sizeof sql, "UPDATE measured_crowns SET %s = %s + 0.001 WHERE tooth = 41",
                 columns[i], columns[i]);
        expect_found("measured_crowns_unchanged", sql);
    }
    expect_found("measured_crowns_unchanged",
                 "UPDATE measured_crowns SET tooth = 48 WHERE tooth = 47");
    expect_found("measured_crowns_unchanged",
                 "UPDATE measured_crowns SET tooth = 11 WHERE tooth = 47");
    expect_found("measured_crowns_undeleted", "DELETE FROM measured_crowns WHERE tooth = 47");
    expect_found("measured_crowns_sealed",
                 "INSERT INTO measured_crowns SELECT arch_n, 48, to_right, anterior, outward,"
                 " turned, width, thickness FROM measured_crowns WHERE tooth = 47");
    expect_found("measured_arches_unchanged", "UPDATE measured_arches SET entry = 2");
    expect_found("measured_arches_unchanged", "UPDATE measured_arches SET arch = 0");
    expect_found("measured_arches_unchanged", "UPDATE measured_arches SET hash = NULL");
    expect_found("measured_arches_unchanged",
                 "UPDATE measured_arches SET at = replace(at, 'T', ' ')");
    expect_found("measured_arches_unchanged",
                 "UPDATE measured_arches SET checkup_n = checkup_n + 1");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_arch_reads_back_and_the_last_counts, room_setup,
                                        room_teardown),
        cmocka_unit_test_setup_teardown(test_what_cannot_be_is_refused, room_setup, room_teardown),
        cmocka_unit_test_setup_teardown(test_a_measured_arch_is_never_changed, room_setup,
                                        room_teardown),
        cmocka_unit_test(test_verify_finds_what_was_changed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
