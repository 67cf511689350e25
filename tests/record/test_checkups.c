/* Check-ups: completed, amended, refused. */
#include "record_tests.h"

static mc_status add(room *r, const furnished *f, const mc_checkup *checkup, const char *by) {
    mc_checkup_info info;
    return mc_record_add_checkup(r->record, &f->course.id, &f->plan.id, checkup, 1, by, &info,
                                 &why);
}

static void test_every_word_of_a_reading_is_kept(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_reading rows[MC_METHODS + 5];
    mc_checkup_info *list;
    size_t count, n = 0;
    for (int m = 0; m < MC_METHODS; m++) {
        rows[n] = mc_reading_none(m);
        rows[n++].method = m;
    }
    for (int w = 0; w <= MC_ATTACHMENT_LOST; w++) {
        rows[n] = mc_reading_none(20 + w);
        rows[n].attachment = (mc_attachment)w;
        rows[n].contact_mesial = (mc_contact)(w % (MC_CONTACT_TIGHT + 1));
        rows[n].contact_distal = (mc_contact)((w + 1) % (MC_CONTACT_TIGHT + 1));
        rows[n].mobility = w - 1;
        rows[n].pain = (mc_yes)(w % 3);
        for (int i = 0; i < MC_RELATIVES; i++) {
            rows[n].relative[i] = i == w ? NAN : 0.25 * i + w;
        }
        rows[n++].swelling = (mc_yes)((w + 1) % 3);
    }
    mc_checkup checkup = a_checkup("2025-02-20", 6, rows, n);
    checkup.wear_hours = NAN;
    done(mc_record_begin(r->record, true, &why));
    for (int m = 0; m < MC_METHODS; m++) {
        checkup.method = (mc_method)m;
        done(add(r, &f, &checkup, "CD"));
    }
    done(mc_record_commit(r->record, &why));
    done(mc_record_checkups(r->record, &f.course.id, false, &list, &count, &why));
    assert_int_equal(count, MC_METHODS);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(list[i].checkup.method, i);
        assert_true(isnan(list[i].checkup.wear_hours));
        assert_int_equal(list[i].checkup.count, n);
        for (size_t k = 0; k < n; k++) {
            const mc_reading *a = &rows[k], *b = &list[i].checkup.rows[k];
            assert_int_equal(a->method, b->method);
            assert_int_equal(a->attachment, b->attachment);
            assert_int_equal(a->contact_mesial, b->contact_mesial);
            assert_int_equal(a->contact_distal, b->contact_distal);
            assert_int_equal(a->mobility, b->mobility);
            assert_int_equal(a->pain, b->pain);
            assert_int_equal(a->swelling, b->swelling);
            for (int w = 0; w < MC_RELATIVES; w++) {
                assert_true(a->relative[w] == b->relative[w] ||
                            (isnan(a->relative[w]) && isnan(b->relative[w])));
            }
        }
    }
    mc_checkup_info_free(list, count);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_check_up_without_rows_is_kept(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup checkup = a_checkup("2025-01-10", 0, NULL, 0);
    mc_checkup_info *list;
    size_t count;
    done(mc_record_begin(r->record, true, &why));
    done(add(r, &f, &checkup, "AB"));
    done(mc_record_commit(r->record, &why));
    done(mc_record_checkups(r->record, &f.course.id, true, &list, &count, &why));
    assert_int_equal(count, 1);
    assert_int_equal(list[0].checkup.count, 0);
    mc_checkup_info_free(list, count);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_amendment_stands_beside_the_old_version(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_reading row = mc_reading_none(mc_tooth_from_iso(13));
    mc_checkup_info *list;
    size_t count;
    int version = 0;
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    add_a_checkup(r->record, &f, "2025-04-01", 12);
    row.seat_gap = 0.2;
    mc_checkup better = a_checkup("2030-01-01", 5, &row, 1);
    better.number = 99;
    done(mc_record_begin(r->record, true, &why));
    done(mc_record_amend_checkup(r->record, &f.course.id, 1, &better, "AB", "wrong tooth\nread",
                                 &version, &why));
    assert_int_equal(version, 2);
    done(mc_record_amend_checkup(r->record, &f.course.id, 1, &better, "CD", "again", &version,
                                 &why));
    assert_int_equal(version, 3);
    done(mc_record_commit(r->record, &why));
    done(mc_record_checkups(r->record, &f.course.id, false, &list, &count, &why));
    assert_int_equal(count, 2);
    assert_int_equal(list[0].version, 3);
    assert_int_equal(list[0].checkup.number, 1);
    assert_int_equal(list[0].checkup.date, day("2025-02-20"));
    assert_int_equal(list[0].checkup.aligner[MC_UPPER], 5);
    assert_int_equal(list[0].checkup.count, 1);
    assert_true(list[0].checkup.rows[0].seat_gap == 0.2);
    assert_string_equal(list[0].by, "CD");
    assert_string_equal(list[0].reason, "again");
    assert_int_equal(list[0].settings, 1);
    assert_int_equal(list[1].version, 1);
    mc_checkup_info_free(list, count);
    done(mc_record_checkups(r->record, &f.course.id, true, &list, &count, &why));
    assert_int_equal(count, 4);
    assert_int_equal(list[0].version, 1);
    assert_int_equal(list[0].checkup.count, 4);
    assert_int_equal(list[1].version, 2);
    assert_string_equal(list[1].reason, "wrong tooth\nread");
    assert_int_equal(list[3].checkup.number, 2);
    assert_memory_equal(&list[0].id, &list[2].id, sizeof list[0].id);
    assert_string_not_equal(list[0].hash, list[1].hash);
    assert_string_not_equal(list[1].hash, list[2].hash);
    mc_checkup_info_free(list, count);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_wrong_amendments_are_refused(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup fine = a_checkup("2025-02-20", 5, NULL, 0),
               far = a_checkup("2025-02-20", 25, NULL, 0);
    const mc_id *of = &f.course.id, nobody = {{1}};
    int version = 7;
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    mc_record *to = r->record;
    refuses(MC_REFUSED, "no change was begun",
            mc_record_amend_checkup(to, of, 1, &fine, "AB", "so", &version, &why));
    done(mc_record_begin(to, true, &why));
    refuses(MC_REFUSED, "reason is empty",
            mc_record_amend_checkup(to, of, 1, &fine, "AB", "", &version, &why));
    refuses(MC_REFUSED, "no person XY",
            mc_record_amend_checkup(to, of, 1, &fine, "XY", "so", &version, &why));
    refuses(MC_REFUSED, "case 1001 has no check-up 2",
            mc_record_amend_checkup(to, of, 2, &fine, "AB", "so", &version, &why));
    refuses(MC_REFUSED, "the upper series has 24 aligners, not 25",
            mc_record_amend_checkup(to, of, 1, &far, "AB", "so", &version, &why));
    refuses(MC_REFUSED, "no such case",
            mc_record_amend_checkup(to, &nobody, 1, &fine, "AB", "so", &version, &why));
    assert_int_equal(version, 7);
}

static void test_place_of_a_check_up_is_looked_at(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup early = a_checkup("2025-01-09", 1, NULL, 0),
               fine = a_checkup("2025-02-20", 6, NULL, 0);
    mc_checkup before = a_checkup("2025-02-19", 6, NULL, 0);
    mc_checkup_info info, *list;
    mc_id nobody = {{1}};
    size_t count;
    mc_record *to = r->record;
    refuses(MC_REFUSED, "no change was begun", add(r, &f, &fine, "CD"));
    done(mc_record_begin(to, true, &why));
    refuses(MC_REFUSED, "its plan starts on 2025-01-10", add(r, &f, &early, "CD"));
    done(add(r, &f, &fine, "CD"));
    refuses(MC_REFUSED, "its last check-up was on 2025-02-20", add(r, &f, &before, "CD"));
    done(add(r, &f, &fine, "CD"));
    refuses(MC_REFUSED, "no person XY", add(r, &f, &fine, "XY"));
    refuses(MC_REFUSED, "no settings set 5",
            mc_record_add_checkup(to, &f.course.id, &f.plan.id, &fine, 5, "CD", &info, &why));
    refuses(MC_REFUSED, "no such plan",
            mc_record_add_checkup(to, &f.course.id, &nobody, &fine, 1, "CD", &info, &why));
    refuses(MC_REFUSED, "no such case",
            mc_record_add_checkup(to, &nobody, &f.plan.id, &fine, 1, "CD", &info, &why));
    done(mc_record_close_plan(to, &f.plan.id, &why));
    refuses(MC_REFUSED, "plan 1 is not its active plan", add(r, &f, &fine, "CD"));
    done(mc_record_close_case(to, &f.course.id, day("2025-03-01"), &why));
    refuses(MC_REFUSED, "case 1001 is closed", add(r, &f, &fine, "CD"));
    done(mc_record_commit(to, &why));
    done(mc_record_checkups(to, &f.course.id, false, &list, &count, &why));
    assert_int_equal(count, 2);
    assert_int_equal(list[1].checkup.number, 2);
    mc_checkup_info_free(list, count);
    refuses(MC_REFUSED, "no such case",
            mc_record_checkups(to, &nobody, false, &list, &count, &why));
    assert_null(list);
}

static void test_settings_of_another_case_are_refused(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_tooth_state states[MC_TEETH];
    mc_checkup fine = a_checkup("2025-02-20", 6, NULL, 0);
    mc_checkup_info info;
    mc_case other;
    int64_t own = 0, others = 0;
    all_present(states);
    done(mc_record_begin(r->record, true, &why));
    done(mc_record_add_case(r->record, "1002", "Invented, Ulf", day("1980-01-01"),
                            day("2025-01-02"), states, &other, &why));
    done(mc_record_add_settings(r->record, &other.id, "hold_days", 14, "so", "AB", &others, &why));
    done(mc_record_add_settings(r->record, &f.course.id, "hold_days", 14, "so", "AB", &own, &why));
    refuses(MC_REFUSED, "for this case",
            mc_record_add_checkup(r->record, &f.course.id, &f.plan.id, &fine, others, "CD", &info,
                                  &why));
    refuses(MC_REFUSED, "plan 1 is not its active plan",
            mc_record_add_checkup(r->record, &other.id, &f.plan.id, &fine, 1, "CD", &info, &why));
    done(mc_record_add_checkup(r->record, &f.course.id, &f.plan.id, &fine, own, "CD", &info, &why));
    assert_int_equal(info.settings, own);
    assert_int_equal(info.checkup.number, 1);
    assert_int_equal(strlen(info.hash), 64);
}

static void test_numbers_that_cannot_be_are_refused(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_reading rows[2];
    mc_checkup checkup = a_checkup("2025-02-20", 6, rows, 2);
    rows[0] = mc_reading_none(mc_tooth_from_iso(11));
    done(mc_record_begin(r->record, true, &why));
#define wrong_row(field, value, words)                                                             \
    do {                                                                                           \
        rows[1] = mc_reading_none(mc_tooth_from_iso(12));                                          \
        rows[1].field = (value);                                                                   \
        refuses(MC_REFUSED, words, add(r, &f, &checkup, "CD"));                                    \
        assert_int_equal(why.line, 2);                                                             \
    } while (0)
    wrong_row(seat_gap, 5.01, "tooth 12: seat_gap_mm");
    wrong_row(seat_gap, -0.01, "tooth 12: seat_gap_mm");
    wrong_row(seat_gap, INFINITY, "tooth 12: seat_gap_mm");
    wrong_row(value[MC_MESIAL], 20.1, "tooth 12: mesial_mm");
    wrong_row(value[MC_ROTATION], -90.1, "tooth 12: rotation_deg");
    wrong_row(value[MC_INCLINATION], INFINITY, "tooth 12: inclination_deg");
    wrong_row(recession, 20.1, "tooth 12: recession_mm");
    wrong_row(relative[MC_SPACE_TO_MESIAL], -0.01, "tooth 12: space_mesial_mm");
    wrong_row(relative[MC_SPACE_TO_DISTAL], 20.1, "tooth 12: space_distal_mm");
    wrong_row(relative[MC_STEP_TO_MESIAL], -20.1, "tooth 12: step_mesial_mm");
    wrong_row(relative[MC_HEIGHT_TO_DISTAL], INFINITY, "tooth 12: height_distal_mm");
    wrong_row(relative[MC_CROWN_ANGLE], 180.1, "tooth 12: crown_angle_deg");
    wrong_row(relative[MC_CROWN_ANGLE], -180.1, "tooth 12: crown_angle_deg");
    wrong_row(mobility, 4, "tooth 12: mobility");
    wrong_row(mobility, -2, "tooth 12: mobility");
    wrong_row(method, MC_METHODS, "tooth 12: a word");
    wrong_row(method, -2, "tooth 12: a word");
    wrong_row(attachment, (mc_attachment)5, "tooth 12: a word");
    wrong_row(contact_mesial, (mc_contact)4, "tooth 12: a word");
    wrong_row(contact_distal, (mc_contact)4, "tooth 12: a word");
    wrong_row(pain, (mc_yes)3, "tooth 12: a word");
    wrong_row(swelling, (mc_yes)3, "tooth 12: a word");
    wrong_row(tooth, MC_TEETH, "row 2 is of no tooth");
    wrong_row(tooth, MC_NO_TOOTH, "row 2 is of no tooth");
    rows[1] = rows[0];
    rows[1].value[MC_ROTATION] = 90;
    rows[1].value[MC_MESIAL] = -20;
    rows[1].seat_gap = 5;
    rows[1].relative[MC_SPACE_TO_MESIAL] = 0;
    rows[1].relative[MC_STEP_TO_MESIAL] = -20;
    rows[1].relative[MC_CROWN_ANGLE] = -180;
    done(add(r, &f, &checkup, "CD"));
}

static void test_head_of_a_check_up_is_looked_at(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup checkup = a_checkup("2025-02-20", 6, NULL, 0), wrong;
    done(mc_record_begin(r->record, true, &why));
    wrong = checkup;
    wrong.wear_hours = 24.1;
    refuses(MC_REFUSED, "0 to 24 hours", add(r, &f, &wrong, "CD"));
    wrong.wear_hours = -1;
    refuses(MC_REFUSED, "0 to 24 hours", add(r, &f, &wrong, "CD"));
    wrong = checkup;
    wrong.aligner[MC_UPPER] = 25;
    refuses(MC_REFUSED, "upper series has 24 aligners, not 25", add(r, &f, &wrong, "CD"));
    wrong = checkup;
    wrong.aligner[MC_LOWER] = 1;
    refuses(MC_REFUSED, "lower series has 0 aligners, not 1", add(r, &f, &wrong, "CD"));
    wrong = checkup;
    wrong.day[MC_UPPER] = 10000;
    refuses(MC_REFUSED, "not worn for 10000 days", add(r, &f, &wrong, "CD"));
    wrong = checkup;
    wrong.method = MC_METHODS;
    refuses(MC_REFUSED, "has a method", add(r, &f, &wrong, "CD"));
    wrong = checkup;
    wrong.date = MC_NO_DAY;
    refuses(MC_REFUSED, "its plan starts on", add(r, &f, &wrong, "CD"));
}

/* A check-up being entered, as another program might have left it: no other may come before it. */
static void test_one_open_check_up_a_case(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup checkup = a_checkup("2025-02-20", 6, NULL, 0);
    mc_checkup_info *list;
    size_t count;
    as_stranger(r->path, "INSERT INTO checkups (id, case_n, plan_n, number, date, state)"
                         " VALUES (randomblob(16), 1, 1, 1, '2025-02-01', 'open')");
    done(mc_record_begin(r->record, true, &why));
    refuses(MC_REFUSED, "check-up 1 is being entered", add(r, &f, &checkup, "CD"));
    done(mc_record_commit(r->record, &why));
    done(mc_record_checkups(r->record, &f.course.id, true, &list, &count, &why));
    assert_int_equal(count, 0);
    done(mc_record_verify(r->record, NULL, &why));
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_every_word_of_a_reading_is_kept),
        in_room(test_check_up_without_rows_is_kept),
        in_room(test_amendment_stands_beside_the_old_version),
        in_room(test_wrong_amendments_are_refused),
        in_room(test_place_of_a_check_up_is_looked_at),
        in_room(test_settings_of_another_case_are_refused),
        in_room(test_numbers_that_cannot_be_are_refused),
        in_room(test_head_of_a_check_up_is_looked_at),
        in_room(test_one_open_check_up_a_case),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
