/* Cases, their courses and their teeth. */
#include "record_tests.h"

static mc_status open_case(room *r, const char *chart, const char *name, const char *born,
                           const char *opened, mc_case *out) {
    mc_tooth_state states[MC_TEETH];
    all_present(states);
    return mc_record_add_case(r->record, chart, name, day(born), day(opened), states, out, &why);
}

static int begun_setup(void **state) {
    int code = room_setup(state);
    room *r = *state;
    return code == 0 && mc_record_begin(r->record, false, &why) == MC_OK ? 0 : -1;
}

#define BORN "1990-05-06"

static void test_case_reads_back(void **state) {
    room *r = *state;
    mc_case made, found, *list;
    size_t count;
    done(open_case(r, "1001", "Erfunden, \xc3\x84nne", BORN, "2025-01-02", &made));
    done(mc_record_commit(r->record, &why));
    done(mc_record_find_case(r->record, "1001", 0, &found, &why));
    assert_memory_equal(&made, &found, sizeof made);
    done(mc_record_find_case(r->record, "1001", 1, &found, &why));
    assert_memory_equal(&made.id, &found.id, sizeof made.id);
    done(mc_record_cases(r->record, &list, &count, &why));
    assert_int_equal(count, 1);
    assert_memory_equal(&made, &list[0], sizeof made);
    free(list);
    assert_string_equal(found.name, "Erfunden, \xc3\x84nne");
    assert_int_equal(found.born, day(BORN));
    assert_int_equal(found.closed, MC_NO_DAY);
    assert_int_equal(found.number, 1);
    refuses(MC_REFUSED, "no case 1002", mc_record_find_case(r->record, "1002", 0, &found, &why));
    refuses(MC_REFUSED, "no case 1001/2", mc_record_find_case(r->record, "1001", 2, &found, &why));
}

static void test_second_course_needs_the_first_closed(void **state) {
    room *r = *state;
    mc_case first, second, found;
    done(open_case(r, "1001", "Invented, Ina", BORN, "2024-01-02", &first));
    refuses(MC_REFUSED, "case 1001 is still open",
            open_case(r, "1001", "Invented, Ina", BORN, "2025-01-02", &second));
    done(mc_record_close_case(r->record, &first.id, day("2024-12-31"), &why));
    refuses(MC_REFUSED, "case 1001 is closed",
            mc_record_close_case(r->record, &first.id, day("2025-01-01"), &why));
    refuses(MC_REFUSED, "is that of Invented, Ina, born 1990-05-06",
            open_case(r, "1001", "Invented, Ida", BORN, "2025-01-02", &second));
    refuses(MC_REFUSED, "is that of Invented, Ina",
            open_case(r, "1001", "Invented, Ina", "1990-05-07", "2025-01-02", &second));
    refuses(MC_REFUSED, "closed after that day",
            open_case(r, "1001", "Invented, Ina", BORN, "2024-12-30", &second));
    done(open_case(r, "1001", "Invented, Ina", BORN, "2025-01-02", &second));
    assert_int_equal(second.number, 2);
    assert_memory_equal(&first.patient, &second.patient, sizeof first.patient);
    assert_memory_not_equal(&first.id, &second.id, sizeof first.id);
    done(mc_record_find_case(r->record, "1001", 0, &found, &why));
    assert_memory_equal(&found.id, &second.id, sizeof found.id);
    done(mc_record_find_case(r->record, "1001", 1, &found, &why));
    assert_int_equal(found.closed, day("2024-12-31"));
    refuses(MC_REFUSED, "case 1001/2 is still open",
            open_case(r, "1001", "Invented, Ina", BORN, "2025-01-02", &first));
}

static void test_cases_come_by_chart_number(void **state) {
    room *r = *state;
    static const char *const in[] = {"B7", "1001", "999", "A 12", "0999", "9"};
    static const char *const out[] = {"9", "0999", "999", "1001", "A 12", "B7"};
    mc_case made, *list;
    size_t count;
    for (size_t i = 0; i < 6; i++) {
        done(open_case(r, in[i], "Invented, Ina", BORN, "2025-01-02", &made));
    }
    done(mc_record_cases(r->record, &list, &count, &why));
    assert_int_equal(count, 6);
    for (size_t i = 0; i < 6; i++) {
        assert_string_equal(list[i].chart, out[i]);
    }
    free(list);
}

static void test_words_of_a_case_are_looked_at(void **state) {
    room *r = *state;
    mc_case made;
    char longest[300];
    static const struct {
        const char *chart, *name, *words;
    } wrong[] = {
        {"", "Invented, Ina", "the chart number is empty"},
        {"10/2", "Invented, Ina", "has no '/'"},
        {" 10", "Invented, Ina", "begins or ends with a blank"},
        {"10\033[2J", "Invented, Ina", "holds a control character"},
        {"1\xc2\x9b", "Invented, Ina", "holds a control character"},
        {"123456789012345678901234567890123", "Invented, Ina", "longer than 32 bytes"},
        {"10\xe2\x80\xae", "Invented, Ina", "a character that is not seen"},
        {"10\xe2\x81\xa0", "Invented, Ina", "a character that is not seen"},
        {"10", "", "the name is empty"},
        {"10", " ", "the name is empty"},
        {"10", "\xe2\x80\x8b", "a character that is not seen"},
        {"10", "\xef\xbb\xbfInvented, Ina", "a character that is not seen"},
        {"10", "\xc2\xa0", "the name is empty"},
        {"10", "\xe3\x80\x80 \xe2\x80\x83", "the name is empty"},
        {"10", "Invented\xc2\xa0", "begins or ends with a blank"},
        {"10", "\xe3\x80\x80Invented", "begins or ends with a blank"},
        {"10", "Invented\xe2\x80\xaf", "begins or ends with a blank"},
        {"\xe2\x80\x82"
         "10",
         "Invented", "begins or ends with a blank"},
        {"10", "Invented ", "begins or ends with a blank"},
        {"10", "In\nvented", "holds a control character"},
        {"10", "In\xffvented", "is not UTF-8"},
        {"10", "In\xc0\xafvented", "is not UTF-8"},
        {"10", "In\xed\xa0\x80vented", "is not UTF-8"},
        {"10", "In\xf4\x90\x80\x80", "is not UTF-8"},
        {"10", "In\xe2\x82", "is not UTF-8"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        refuses(MC_REFUSED, wrong[i].words,
                open_case(r, wrong[i].chart, wrong[i].name, BORN, "2025-01-02", &made));
    }
    done(open_case(r, "9",
                   "Invented, In\xe2\x80\x8c"
                   "a",
                   BORN, BORN, &made)); /* a joiner */
    memset(longest, 'n', sizeof longest);
    longest[256] = '\0';
    refuses(MC_REFUSED, "longer than 255 bytes",
            open_case(r, "10", longest, BORN, "2025-01-02", &made));
    longest[255] = '\0';
    done(open_case(r, "12345678901234567890123456789012", longest, BORN, BORN, &made));
    refuses(MC_REFUSED, "on or after the day of birth",
            open_case(r, "11", "Invented, Ina", BORN, "1990-05-05", &made));
    mc_tooth_state states[MC_TEETH];
    all_present(states);
    states[5] = MC_TOOTH_STATES;
    refuses(MC_REFUSED, "tooth 13 has no state",
            mc_record_add_case(r->record, "12", "Invented, Ina", day(BORN), day("2025-01-02"),
                               states, &made, &why));
    states[5] = MC_TOOTH_PRESENT;
    refuses(MC_REFUSED, "day of birth",
            mc_record_add_case(r->record, "12", "Invented, Ina", MC_NO_DAY, day("2025-01-02"),
                               states, &made, &why));
}

static mc_tooth_state state_on(room *r, const mc_case *of, int iso, const char *on) {
    mc_tooth_state states[MC_TEETH];
    done(mc_record_teeth(r->record, &of->id, day(on), states, &why));
    return states[mc_tooth_from_iso(iso)];
}

static void test_every_state_of_a_tooth_is_kept_from_its_day(void **state) {
    room *r = *state;
    mc_case made;
    mc_tooth_state states[MC_TEETH], back[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        states[t] = (mc_tooth_state)(t % MC_TOOTH_STATES);
    }
    done(mc_record_add_case(r->record, "1001", "Invented, Ina", day(BORN), day("2025-01-02"),
                            states, &made, &why));
    done(mc_record_teeth(r->record, &made.id, day("2025-01-02"), back, &why));
    assert_memory_equal(states, back, sizeof states);
    done(mc_record_teeth(r->record, &made.id, day("2020-01-02"), back, &why));
    assert_memory_equal(states, back, sizeof states);
    done(mc_record_teeth(r->record, &made.id, MC_NO_DAY, back, &why));
    assert_memory_equal(states, back, sizeof states);
}

static void test_tooth_changes_from_a_day_on(void **state) {
    room *r = *state;
    mc_case made;
    const mc_tooth tooth = mc_tooth_from_iso(24);
    done(open_case(r, "1001", "Invented, Ina", BORN, "2025-01-02", &made));
    done(mc_record_set_tooth(r->record, &made.id, tooth, MC_TOOTH_EXTRACTED, day("2025-03-01"),
                             &why));
    assert_int_equal(state_on(r, &made, 24, "2025-02-28"), MC_TOOTH_PRESENT);
    assert_int_equal(state_on(r, &made, 24, "2025-03-01"), MC_TOOTH_EXTRACTED);
    assert_int_equal(state_on(r, &made, 25, "2025-03-01"), MC_TOOTH_PRESENT);
    /* On the same day the later entry holds. */
    done(mc_record_set_tooth(r->record, &made.id, tooth, MC_TOOTH_ANKYLOSED, day("2025-03-01"),
                             &why));
    assert_int_equal(state_on(r, &made, 24, "2025-03-01"), MC_TOOTH_ANKYLOSED);
    refuses(
        MC_REFUSED, "tooth 24 is on record from 2025-03-01 already",
        mc_record_set_tooth(r->record, &made.id, tooth, MC_TOOTH_PRESENT, day("2025-02-28"), &why));
    refuses(MC_REFUSED, "needs a tooth, a state and a day",
            mc_record_set_tooth(r->record, &made.id, MC_NO_TOOTH, MC_TOOTH_PRESENT,
                                day("2025-04-01"), &why));
    refuses(
        MC_REFUSED, "needs a tooth, a state and a day",
        mc_record_set_tooth(r->record, &made.id, tooth, MC_TOOTH_STATES, day("2025-04-01"), &why));
    refuses(MC_REFUSED, "needs a tooth, a state and a day",
            mc_record_set_tooth(r->record, &made.id, tooth, MC_TOOTH_PRESENT, MC_NO_DAY, &why));
}

static void test_closed_case_and_unknown_case_are_refused(void **state) {
    room *r = *state;
    mc_case made;
    mc_tooth_state states[MC_TEETH];
    mc_id nobody = {{1}};
    done(open_case(r, "1001", "Invented, Ina", BORN, "2025-01-02", &made));
    refuses(MC_REFUSED, "opened or seen after that day",
            mc_record_close_case(r->record, &made.id, day("2025-01-01"), &why));
    refuses(MC_REFUSED, "opened or seen after that day",
            mc_record_close_case(r->record, &made.id, MC_NO_DAY, &why));
    done(mc_record_close_case(r->record, &made.id, day("2025-01-02"), &why));
    refuses(MC_REFUSED, "case 1001 is closed",
            mc_record_set_tooth(r->record, &made.id, 3, MC_TOOTH_FIXED, day("2025-02-01"), &why));
    done(mc_record_teeth(r->record, &made.id, day("2025-02-01"), states, &why));
    refuses(MC_REFUSED, "no such case",
            mc_record_set_tooth(r->record, &nobody, 3, MC_TOOTH_FIXED, day("2025-02-01"), &why));
    refuses(MC_REFUSED, "no such case",
            mc_record_teeth(r->record, &nobody, day("2025-02-01"), states, &why));
    refuses(MC_REFUSED, "no such case",
            mc_record_close_case(r->record, &nobody, day("2025-02-01"), &why));
}

static void test_case_is_not_closed_before_its_last_check_up(void **state) {
    room *r = *state;
    mc_record_rollback(r->record);
    furnished f = furnish_record(r->record);
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    done(mc_record_begin(r->record, false, &why));
    refuses(MC_REFUSED, "opened or seen after that day",
            mc_record_close_case(r->record, &f.course.id, day("2025-02-19"), &why));
    done(mc_record_close_case(r->record, &f.course.id, day("2025-02-20"), &why));
}

#define in_change(test) cmocka_unit_test_setup_teardown(test, begun_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_change(test_case_reads_back),
        in_change(test_second_course_needs_the_first_closed),
        in_change(test_cases_come_by_chart_number),
        in_change(test_words_of_a_case_are_looked_at),
        in_change(test_every_state_of_a_tooth_is_kept_from_its_day),
        in_change(test_tooth_changes_from_a_day_on),
        in_change(test_closed_case_and_unknown_case_are_refused),
        in_change(test_case_is_not_closed_before_its_last_check_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
