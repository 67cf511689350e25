/* One case from the first day to the last, read back as it was written. */
#include "record_tests.h"

static void test_check_up_reads_back_as_it_was_read(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_reading rows[4];
    mc_checkup_info *list;
    size_t count;
    some_readings(rows);
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    done(mc_record_checkups(r->record, &f.course.id, false, &list, &count, &why));
    assert_int_equal(count, 1);
    const mc_checkup *seen = &list[0].checkup;
    assert_int_equal(seen->number, 1);
    assert_int_equal(seen->date, day("2025-02-20"));
    assert_int_equal(seen->aligner[MC_UPPER], 6);
    assert_int_equal(seen->aligner[MC_LOWER], MC_NO_ALIGNER);
    assert_int_equal(seen->day[MC_UPPER], 3);
    assert_int_equal(seen->day[MC_LOWER], -1);
    assert_true(seen->wear_hours == 21.5);
    assert_int_equal(seen->method, MC_CALIPER);
    assert_int_equal(seen->count, 4);
    for (int i = 0; i < 3; i++) {
        const mc_reading *a = &rows[i], *b = &seen->rows[i];
        assert_int_equal(a->tooth, b->tooth);
        assert_true(a->seat_gap == b->seat_gap || (isnan(a->seat_gap) && isnan(b->seat_gap)));
        for (int c = 0; c < MC_COMPONENTS; c++) {
            assert_true(a->value[c] == b->value[c] || (isnan(a->value[c]) && isnan(b->value[c])));
            assert_int_equal(a->short_of_plan[c], b->short_of_plan[c]);
        }
        assert_int_equal(a->method, b->method);
        assert_int_equal(a->attachment, b->attachment);
        assert_int_equal(a->contact_mesial, b->contact_mesial);
        assert_int_equal(a->contact_distal, b->contact_distal);
        assert_int_equal(a->mobility, b->mobility);
        assert_int_equal(a->pain, b->pain);
        assert_int_equal(a->swelling, b->swelling);
        assert_true(a->recession == b->recession || (isnan(a->recession) && isnan(b->recession)));
    }
    assert_false(list[0].open);
    assert_int_equal(list[0].version, 1);
    assert_int_equal(list[0].settings, 1);
    assert_string_equal(list[0].by, "CD");
    assert_string_equal(list[0].reason, "");
    assert_memory_equal(&list[0].plan, &f.plan.id, sizeof f.plan.id);
    mc_checkup_info_free(list, count);
}

static void test_whole_course_verifies_after_reopening(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    int64_t entries = 0;
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    sign_a_decision(r->record, &f, 1);
    mc_record_close(r->record);
    done(mc_record_open(r->path, &r->record, &why));
    done(mc_record_verify(r->record, &entries, &why));
    assert_int_equal(entries, 4);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_check_up_reads_back_as_it_was_read, room_setup,
                                        room_teardown),
        cmocka_unit_test_setup_teardown(test_whole_course_verifies_after_reopening, room_setup,
                                        room_teardown),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
