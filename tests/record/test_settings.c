/* Settings sets: the practice's, and a case's own. */
#include "record_tests.h"

static int64_t change(mc_record *record, const mc_id *case_id, const char *key, double value) {
    int64_t set = 0;
    done(mc_record_begin(record, false, &why));
    done(mc_record_add_settings(record, case_id, key, value, "tried out", "AB", &set, &why));
    done(mc_record_commit(record, &why));
    return set;
}

static void test_record_begins_with_the_defaults(void **state) {
    room *r = *state;
    mc_settings defaults, found;
    int64_t set = 0;
    mc_settings_defaults(&defaults);
    done(mc_record_settings(r->record, NULL, &found, &set, &why));
    assert_int_equal(set, 1);
    assert_memory_equal(&defaults, &found, sizeof defaults);
    done(mc_record_settings_set(r->record, 1, &found, &why));
    assert_memory_equal(&defaults, &found, sizeof defaults);
    refuses(MC_REFUSED, "no settings set 2", mc_record_settings_set(r->record, 2, &found, &why));
    refuses(MC_REFUSED, "no settings set 0", mc_record_settings_set(r->record, 0, &found, &why));
}

static void test_change_is_a_new_set_and_the_old_one_stays(void **state) {
    room *r = *state;
    mc_settings found;
    int64_t set = 0;
    furnish_record(r->record);
    assert_int_equal(change(r->record, NULL, "tolerance_mm", 0.4), 2);
    assert_int_equal(change(r->record, NULL, "hold_days", 14), 3);
    done(mc_record_settings(r->record, NULL, &found, &set, &why));
    assert_int_equal(set, 3);
    assert_true(found.tolerance_mm == 0.4 && found.hold_days == 14);
    done(mc_record_settings_set(r->record, 2, &found, &why));
    assert_true(found.tolerance_mm == 0.4 && found.hold_days == 7);
    done(mc_record_settings_set(r->record, 1, &found, &why));
    assert_true(found.tolerance_mm == 0.5);
}

static void test_own_number_of_a_case_outlasts_the_practice_s_change(void **state) {
    room *r = *state;
    mc_settings found;
    int64_t set = 0;
    furnished f = furnish_record(r->record);
    const mc_id *own = &f.course.id;
    done(mc_record_settings(r->record, own, &found, &set, &why));
    assert_int_equal(set, 1);
    assert_int_equal(change(r->record, own, "tolerance_mm", 0.3), 2);
    done(mc_record_settings(r->record, NULL, &found, &set, &why));
    assert_int_equal(set, 1);
    assert_true(found.tolerance_mm == 0.5);
    done(mc_record_settings(r->record, own, &found, &set, &why));
    assert_int_equal(set, 2);
    assert_true(found.tolerance_mm == 0.3);

    /* The practice's set is 3; the case's, made at once, 4. */
    assert_int_equal(change(r->record, NULL, "hold_days", 14), 3);
    done(mc_record_settings(r->record, own, &found, &set, &why));
    assert_int_equal(set, 4);
    assert_true(found.tolerance_mm == 0.3 && found.hold_days == 14);
    change(r->record, NULL, "tolerance_mm", 0.6);
    done(mc_record_settings(r->record, own, &found, &set, &why));
    assert_int_equal(set, 6);
    assert_true(found.tolerance_mm == 0.3 && found.hold_days == 14);
    done(mc_record_settings(r->record, NULL, &found, &set, &why));
    assert_int_equal(set, 5);
    assert_true(found.tolerance_mm == 0.6);
    change(r->record, own, "tolerance_mm", 0.7);
    done(mc_record_settings(r->record, own, &found, &set, &why));
    assert_true(found.tolerance_mm == 0.7 && found.hold_days == 14);
    done(mc_record_verify(r->record, NULL, &why));
}

/* Several numbers of the practice together: one set, which reaches a case with numbers of its own;
 * refused as one. What was not measured is no value of a set, and is nothing when it is read. */
static void test_several_numbers_make_one_set(void **state) {
    room *r = *state;
    mc_settings found;
    int64_t set = 0;
    furnished f = furnish_record(r->record);
    const mc_setting_change good[] = {{"caliper_mm", 0.28},
                                      {"caliper_mm_pairs", 24},
                                      {"own_share_canine_rotation", 0.55},
                                      {"own_share_se_canine_rotation", 0.04}};
    const mc_setting_change bad[] = {{"caliper_mm", 0.29}, {"caliper_mm_pairs", -1}};
    change(r->record, &f.course.id, "tolerance_mm", 0.3);
    done(mc_record_begin(r->record, false, &why));
    refuses(MC_REFUSED, "caliper_mm_pairs",
            mc_record_add_settings_together(r->record, bad, 2, "read twice", "AB", &set, &why));
    refuses(MC_REFUSED, "no number",
            mc_record_add_settings_together(r->record, bad, 0, "read twice", "AB", &set, &why));
    done(mc_record_add_settings_together(r->record, good, 4, "read twice", "AB", &set, &why));
    done(mc_record_commit(r->record, &why));
    assert_int_equal(set, 3);
    for (int own = 0; own < 2; own++) {
        done(mc_record_settings(r->record, own ? &f.course.id : NULL, &found, &set, &why));
        assert_int_equal(set, own ? 4 : 3);
        assert_true(found.tolerance_mm == (own ? 0.3 : 0.5));
        assert_true(found.caliper_mm == 0.28 && found.caliper_mm_pairs == 24);
        assert_true(found.own_share[MC_CANINE][6] == 0.55);
        assert_true(found.own_share_se[MC_CANINE][6] == 0.04);
        assert_true(found.own_share[MC_CANINE][7] == 0 && found.eye_mm_pairs == 0);
    }
    /* set by hand afterwards it is no longer measured, for the case with numbers of its own too */
    change(r->record, NULL, "caliper_mm", 0.4);
    done(mc_record_settings(r->record, &f.course.id, &found, &set, &why));
    assert_true(found.caliper_mm == 0.4 && found.caliper_mm_pairs == 0);
    done(mc_record_verify(r->record, NULL, &why));
}

/* A set that was read while it was written, and then taken back, is not remembered under its
 * number: the next one has that number. */
static void test_a_set_taken_back_is_forgotten(void **state) {
    room *r = *state;
    mc_settings found;
    int64_t set = 0;
    furnish_record(r->record);
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_add_settings(r->record, NULL, "tolerance_mm", 0.4, "tried", "AB", &set, &why));
    assert_int_equal(set, 2);
    done(mc_record_settings_set(r->record, 2, &found, &why));
    assert_true(found.tolerance_mm == 0.4);
    mc_record_rollback(r->record);
    mc_record *other;
    done(mc_record_open(r->path, &other, &why));
    assert_int_equal(change(other, NULL, "hold_days", 14), 2);
    mc_record_close(other);
    for (int again = 0; again < 2; again++) {
        done(mc_record_settings_set(r->record, 2, &found, &why));
        assert_true(found.tolerance_mm == 0.5 && found.hold_days == 14);
    }
}

static void test_wrong_changes_are_refused(void **state) {
    room *r = *state;
    mc_settings found;
    mc_id nobody = {{1}};
    int64_t set = 77;
    char longest[502];
    furnish_record(r->record);
    memset(longest, 'r', 501);
    longest[501] = '\0';
    done(mc_record_begin(r->record, false, &why));
    mc_record *to = r->record;
    refuses(MC_REFUSED, "no_such",
            mc_record_add_settings(to, NULL, "no_such", 1, "tried", "AB", &set, &why));
    refuses(MC_REFUSED, "tolerance_mm",
            mc_record_add_settings(to, NULL, "tolerance_mm", -1, "tried", "AB", &set, &why));
    refuses(MC_REFUSED, "tolerance_mm",
            mc_record_add_settings(to, NULL, "tolerance_mm", NAN, "tried", "AB", &set, &why));
    refuses(MC_REFUSED, "no person XY",
            mc_record_add_settings(to, NULL, "tolerance_mm", 0.4, "tried", "XY", &set, &why));
    refuses(MC_REFUSED, "reason is empty",
            mc_record_add_settings(to, NULL, "tolerance_mm", 0.4, "", "AB", &set, &why));
    refuses(MC_REFUSED, "reason is empty",
            mc_record_add_settings(to, NULL, "tolerance_mm", 0.4, " \n", "AB", &set, &why));
    refuses(MC_REFUSED, "longer than 500",
            mc_record_add_settings(to, NULL, "tolerance_mm", 0.4, longest, "AB", &set, &why));
    refuses(MC_REFUSED, "no such case",
            mc_record_add_settings(to, &nobody, "tolerance_mm", 0.4, "tried", "AB", &set, &why));
    assert_int_equal(set, 77);
    done(mc_record_commit(to, &why));
    done(mc_record_settings(to, NULL, &found, &set, &why));
    assert_int_equal(set, 1);
    refuses(MC_REFUSED, "no change was begun",
            mc_record_add_settings(to, NULL, "tolerance_mm", 0.4, "tried", "AB", &set, &why));
    refuses(MC_REFUSED, "no such case", mc_record_settings(to, &nobody, &found, &set, &why));
}

/* Sets made by another version: a number that it did not have, and one that this one has not. */
static void test_set_of_another_version_is_read(void **state) {
    room *r = *state;
    mc_settings found;
    mc_record_close(r->record);
    as_stranger(r->path, "DROP TRIGGER settings_values_undeleted;"
                         "DELETE FROM settings_values WHERE key = 'hold_days';"
                         "DROP TRIGGER settings_values_sealed;"
                         "INSERT INTO settings_values VALUES (1, 'no_longer_known', 5)");
    done(mc_record_open(r->path, &r->record, &why));
    done(mc_record_settings(r->record, NULL, &found, NULL, &why));
    assert_true(found.hold_days == 7);
}

static void test_set_out_of_its_range_is_damage(void **state) {
    room *r = *state;
    mc_settings found;
    as_stranger(r->path, "DROP TRIGGER settings_values_unchanged;"
                         "UPDATE settings_values SET value = -3 WHERE key = 'hold_days'");
    refuses(MC_DAMAGED, "out of its range",
            mc_record_settings(r->record, NULL, &found, NULL, &why));
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_record_begins_with_the_defaults),
        in_room(test_change_is_a_new_set_and_the_old_one_stays),
        in_room(test_own_number_of_a_case_outlasts_the_practice_s_change),
        in_room(test_several_numbers_make_one_set),
        in_room(test_a_set_taken_back_is_forgotten),
        in_room(test_wrong_changes_are_refused),
        in_room(test_set_of_another_version_is_read),
        in_room(test_set_out_of_its_range_is_damage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
