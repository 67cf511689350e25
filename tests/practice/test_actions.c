/* The actions of people, cases, plans and check-ups: done and journalled, or refused and nothing
 * changed. */
#include "acting.h"

/* ---- people ---- */

static void a_doctor_adds_people(void **state) {
    house *h = *state;
    mc_person person;
    journalled(h, "person added",
               mc_staff_add(h->practice, "GH", MC_DOCTOR, OTHER_WORDS, DOCTOR_WORDS, &why));
    done(mc_record_person(mc_practice_record(h->practice), "GH", &person, &why));
    assert_int_equal(person.role, MC_DOCTOR);
    refused(h, "already", mc_staff_add(h->practice, "gh", MC_DESK, OTHER_WORDS, NULL, &why));
    refused(h, "bytes", mc_staff_add(h->practice, "IJ", MC_DESK, "short", NULL, &why));
    refused(h, "bytes", mc_staff_add(h->practice, "IJ", MC_DESK, NULL, NULL, &why));
    refused(h, "letters", mc_staff_add(h->practice, "I J", MC_DESK, OTHER_WORDS, NULL, &why));
}

static void a_doctor_is_added_only_with_a_doctors_passphrase(void **state) {
    house *h = *state;
    refused(h, "passphrase", mc_staff_add(h->practice, "GH", MC_DOCTOR, OTHER_WORDS, NULL, &why));
    refused(h, "not the passphrase",
            mc_staff_add(h->practice, "GH", MC_DOCTOR, OTHER_WORDS, OTHER_WORDS, &why));
    act_as(h, "CD");
    refused(h, "assistant",
            mc_staff_add(h->practice, "GH", MC_DOCTOR, OTHER_WORDS, OTHER_WORDS, &why));
}

static void only_a_doctor_adds_and_retires_people(void **state) {
    static const char *const others[] = {"CD", "EF"};
    house *h = *state;
    for (int i = 0; i < 2; i++) {
        act_as(h, others[i]);
        refused(h, "this is for a doctor",
                mc_staff_add(h->practice, "GH", MC_DESK, OTHER_WORDS, NULL, &why));
        refused(h, "this is for a doctor", mc_staff_retire(h->practice, "EF", NULL, &why));
    }
    nobody(h, FIRST_DAY);
    refused(h, "nobody is named",
            mc_staff_add(h->practice, "GH", MC_DESK, OTHER_WORDS, NULL, &why));
    refused(h, "nobody is named", mc_staff_retire(h->practice, "EF", NULL, &why));
}

static void people_retire(void **state) {
    house *h = *state;
    journalled(h, "person retired", mc_staff_retire(h->practice, "EF", NULL, &why));
    refuses(MC_REFUSED, "retired", mc_practice_act_as(h->practice, "EF", &why));
    refused(h, "retired", mc_staff_retire(h->practice, "EF", NULL, &why));
    refused(h, "no person", mc_staff_retire(h->practice, "ZZ", NULL, &why));
    refused(h, "passphrase", mc_staff_retire(h->practice, "AB", NULL, &why));
    refused(h, "not the passphrase", mc_staff_retire(h->practice, "AB", OTHER_WORDS, &why));
    refused(h, "last doctor", mc_staff_retire(h->practice, "AB", DOCTOR_WORDS, &why));
    refuses(MC_REFUSED, "no person", mc_practice_act_as(h->practice, "ZZ", &why));
}

static void who_retired_on_another_console_acts_no_more(void **state) {
    house *h = *state;
    mc_practice *other = NULL;
    mc_checkup_import what = readings(FIRST_READ, FIRST_DAY, 4, 10);
    done(mc_practice_open(h->path, day(FIRST_DAY), &other, &why));
    done(mc_practice_act_as(other, "AB", &why));
    act_as(h, "CD");
    h->practice->today = day(FIRST_DAY);
    done(mc_staff_retire(other, "CD", NULL, &why));
    mc_practice_close(other);
    refused(h, "CD has retired", import_checkup(h, "1001", &what));
}

static void a_record_without_a_doctor_is_not_left_behind(void **state) {
    (void)state;
    house *h = house_new();
    refuses(MC_REFUSED, "bytes",
            mc_practice_make(h->path, day(FIRST_DAY), "AB", "short", &h->practice, &why));
    assert_null(h->practice);
    assert_int_equal(access(h->path, F_OK), -1);
    house_free(h);
}

/* ---- settings ---- */

static void a_doctor_changes_settings(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_record *record = mc_practice_record(h->practice);
    mc_settings settings;
    int64_t first = 0, set = 0;
    done(mc_record_settings(record, NULL, &settings, &first, &why));
    journalled(h, "setting changed",
               mc_settings_change(h->practice, &kase, "wear_hours", 18, "agreed", &set, &why));
    assert_true(set > first);
    done(mc_record_settings(record, &kase.id, &settings, NULL, &why));
    assert_true(settings.wear_hours == 18);
    done(mc_record_settings(record, NULL, &settings, NULL, &why));
    assert_true(settings.wear_hours == 20);
    journalled(h, "setting changed",
               mc_settings_change(h->practice, NULL, "wear_hours", 21, "agreed", &set, &why));
    done(mc_record_settings(record, NULL, &settings, NULL, &why));
    assert_true(settings.wear_hours == 21);
}

static void settings_are_not_changed_otherwise(void **state) {
    house *h = *state;
    int64_t set = 0;
    refused(h, "reason", mc_settings_change(h->practice, NULL, "wear_hours", 18, "", &set, &why));
    refused(h, "reason", mc_settings_change(h->practice, NULL, "wear_hours", 18, NULL, &set, &why));
    refused(h, "no_such", mc_settings_change(h->practice, NULL, "no_such", 1, "x", &set, &why));
    refused(h, "wear_hours",
            mc_settings_change(h->practice, NULL, "wear_hours", 25, "x", &set, &why));
    refused(h, "wear_hours",
            mc_settings_change(h->practice, NULL, "wear_hours", NAN, "x", &set, &why));
    act_as(h, "CD");
    refused(h, "assistant",
            mc_settings_change(h->practice, NULL, "wear_hours", 18, "x", &set, &why));
    nobody(h, FIRST_DAY);
    refused(h, "nobody is named",
            mc_settings_change(h->practice, NULL, "wear_hours", 18, "x", &set, &why));
}

/* ---- cases ---- */

static mc_status open_case(house *h, const char *chart, const char *name, const char *born) {
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_usual_teeth(states);
    return mc_case_open(h->practice, chart, name, day(born), states, &kase, &why);
}

static void the_desk_opens_cases(void **state) {
    house *h = *state;
    act_as(h, "EF");
    journalled(h, "case opened", open_case(h, "1002", "Invented, Bo", "2010-01-01"));
    mc_case kase = find(h->practice, "1002");
    assert_string_equal(kase.name, "Invented, Bo");
    assert_int_equal(kase.number, 1);
    assert_int_equal(kase.opened, day("2025-03-10"));
    refused(h, "born after today", open_case(h, "1003", "Invented, Cy", "2025-03-11"));
    refused(h, "/", open_case(h, "10/3", "Invented, Cy", "2010-01-01"));
    refused(h, "empty", open_case(h, "", "Invented, Cy", "2010-01-01"));
    refused(h, "empty", open_case(h, "1003", "", "2010-01-01"));
    nobody(h, FIRST_DAY);
    refused(h, "nobody is named", open_case(h, "1003", "Invented, Cy", "2010-01-01"));
}

static void unusual_teeth_are_told_in_the_journal(void **state) {
    house *h = *state;
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_entry *entries = NULL;
    size_t count = 0;
    mc_usual_teeth(states);
    states[mc_tooth_from_iso(53)] = MC_TOOTH_PRESENT;
    states[mc_tooth_from_iso(54)] = MC_TOOTH_EXTRACTED;
    states[mc_tooth_from_iso(13)] = MC_TOOTH_UNERUPTED;
    done(mc_case_open(h->practice, "1002", "Invented, Bo", day("2014-01-01"), states, &kase, &why));
    done(mc_record_journal(mc_practice_record(h->practice), &kase.id, &entries, &count, &why));
    assert_int_equal(count, 1);
    assert_non_null(strstr(entries[0].detail, "\"13\":\"unerupted\",\"53\":\"present\","
                                              "\"54\":\"extracted\""));
    assert_null(strstr(entries[0].detail, "\"55\""));
    mc_entries_free(entries, count);
}

static void a_person_has_one_course_after_the_other(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001"), none;
    char label[MC_LABEL_SIZE];
    refused(h, "still open", open_case(h, "1001", "Invented, Ina", "1990-05-06"));
    refused(h, "is that of", open_case(h, "1001", "Invented, Another", "1990-05-06"));
    journalled(h, "case closed", mc_case_close(h->practice, &kase, &why));
    refused(h, "is that of", open_case(h, "1001", "Invented, Ina", "1990-05-07"));
    journalled(h, "case opened", open_case(h, "1001", "Invented, Ina", "1990-05-06"));
    kase = find(h->practice, "1001");
    assert_int_equal(kase.number, 2);
    mc_case_label(&kase, label);
    assert_string_equal(label, "1001/2");
    kase = find(h->practice, "1001/1");
    assert_int_equal(kase.number, 1);
    mc_case_label(&kase, label);
    assert_string_equal(label, "1001");
    refuses(MC_REFUSED, "no case", mc_case_find(h->practice, "1001/3", &none, &why));
    refuses(MC_REFUSED, "no case", mc_case_find(h->practice, "1009", &none, &why));
    refuses(MC_REFUSED, "slash", mc_case_find(h->practice, "1001/", &none, &why));
    refuses(MC_REFUSED, "slash", mc_case_find(h->practice, "1001/0", &none, &why));
    refuses(MC_REFUSED, "slash", mc_case_find(h->practice, "1001/2x", &none, &why));
    refuses(MC_REFUSED, "no such case", mc_case_find(h->practice, "/2", &none, &why));
}

static void equally_urgent_cases_stand_by_chart_number(void **state) {
    static const char *const order[] = {"9", "12", "100", "1001", "A1"};
    house *h = *state;
    mc_roster_row *rows = NULL;
    mc_plan_import plan = plan_file(PLAN);
    size_t count = 0;
    for (int i = 4; i >= 0; i--)
        if (i != 3) {
            done(open_case(h, order[i], "Invented, Bo", "2010-01-01"));
            done(import_plan(h, order[i], &plan));
        }
    done(mc_roster(h->practice, day(PLAN_START), &rows, &count, &why));
    assert_int_equal(count, 5);
    for (int i = 0; i < 5; i++)
        assert_string_equal(rows[i].kase.chart, order[i]);
    free(rows);
}

static void only_a_doctor_closes_a_case_and_once(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    act_as(h, "CD");
    refused(h, "this is for a doctor", mc_case_close(h->practice, &kase, &why));
    act_as(h, "AB");
    done(mc_case_close(h->practice, &kase, &why));
    assert_int_equal(find(h->practice, "1001").closed, day("2025-03-10"));
    refused(h, "is closed", mc_case_close(h->practice, &kase, &why));
}

static void a_closed_case_stays_as_it_is(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_plan_import plan = plan_file(PLAN);
    mc_checkup_import what = readings(FIRST_READ, FIRST_DAY, 4, 10);
    mc_roster_row *rows = NULL;
    size_t count = 0;
    done(open_case(h, "1002", "Invented, Bo", "2010-01-01"));
    done(mc_case_close(h->practice, &kase, &why));
    kase = find(h->practice, "1002");
    done(mc_case_close(h->practice, &kase, &why));
    h->practice->today = day(FIRST_DAY);
    refused(h, "is closed", import_plan(h, "1002", &plan));
    refused(h, "is closed", import_checkup(h, "1001", &what));
    refused(h, "is closed",
            mc_case_set_tooth(h->practice, &kase, mc_tooth_from_iso(11), MC_TOOTH_MISSING,
                              day(FIRST_DAY), &why));
    done(mc_roster(h->practice, day(FIRST_DAY), &rows, &count, &why));
    assert_int_equal(count, 0);
    free(rows);
}

static void teeth_change_from_a_day_on(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_tooth tooth = mc_tooth_from_iso(14);
    mc_tooth_state states[MC_TEETH];
    act_as(h, "CD");
    journalled(
        h, "tooth recorded",
        mc_case_set_tooth(h->practice, &kase, tooth, MC_TOOTH_EXTRACTED, day("2025-03-10"), &why));
    done(mc_record_teeth(mc_practice_record(h->practice), &kase.id, day("2025-03-09"), states,
                         &why));
    assert_int_equal(states[tooth], MC_TOOTH_PRESENT);
    done(mc_record_teeth(mc_practice_record(h->practice), &kase.id, day("2025-03-10"), states,
                         &why));
    assert_int_equal(states[tooth], MC_TOOTH_EXTRACTED);
    refused(
        h, "already",
        mc_case_set_tooth(h->practice, &kase, tooth, MC_TOOTH_PRESENT, day("2025-03-09"), &why));
    refused(
        h, "after today",
        mc_case_set_tooth(h->practice, &kase, tooth, MC_TOOTH_PRESENT, day("2025-03-11"), &why));
    act_as(h, "EF");
    refused(
        h, "a doctor or an assistant",
        mc_case_set_tooth(h->practice, &kase, tooth, MC_TOOTH_PRESENT, day("2025-03-10"), &why));
}

/* ---- plans ---- */

static void a_plan_is_imported(void **state) {
    house *h = *state;
    mc_plan_import what = plan_file(PLAN);
    done(open_case(h, "1002", "Invented, Bo", "2010-01-01"));
    act_as(h, "EF");
    refused(h, "a doctor or an assistant", import_plan(h, "1002", &what));
    act_as(h, "CD");
    journalled(h, "plan imported", import_plan(h, "1002", &what));
    mc_assessment *a = assessed(h->practice, "1002", 0);
    assert_true(a->has_plan);
    assert_null(a->score);
    assert_string_equal(a->info.by, "CD");
    assert_int_equal(a->info.interval[MC_UPPER], 10);
    assert_int_equal(a->info.interval[MC_LOWER], 0); /* no series there */
    mc_assessment_free(a);
    refused(h, "has plan 1 already", import_plan(h, "1002", &what));
    nobody(h, FIRST_DAY);
    done(mc_practice_act_as(h->practice, "AB", &why));
    done(open_case(h, "1003", "Invented, Cy", "2010-01-01"));
    nobody(h, FIRST_DAY);
    refused(h, "nobody is named", import_plan(h, "1003", &what));
}

static void a_plan_that_cannot_be_is_refused_at_its_place(void **state) {
    house *h = *state;
    mc_plan_import what = plan_file("tooth,stage,buccal_mm\n12,8,0.4\n12,8,0.5\n");
    done(open_case(h, "1002", "Invented, Bo", "2010-01-01"));
    refused(h, "repeated", import_plan(h, "1002", &what));
    assert_int_equal(why.line, 3);
    assert_int_equal(why.column, 1);
    what = plan_file(PLAN);
    what.interval[MC_UPPER] = 0;
    refused(h, "1 to 365 days", import_plan(h, "1002", &what));
    what.interval[MC_UPPER] = 366;
    refused(h, "1 to 365 days", import_plan(h, "1002", &what));
}

static void a_plan_moves_only_what_may_be_moved(void **state) {
    house *h = *state;
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_plan_import fixed = plan_file("tooth,stage,buccal_mm\n16,8,0.4\n");
    mc_plan_import missing = plan_file("tooth,stage,buccal_mm\n18,8,0.4\n");
    mc_usual_teeth(states);
    states[mc_tooth_from_iso(18)] = MC_TOOTH_MISSING;
    states[mc_tooth_from_iso(16)] = MC_TOOTH_IMPLANT;
    done(mc_case_open(h->practice, "1002", "Invented, Bo", day("1980-01-01"), states, &kase, &why));
    refused(h, "may not be moved", import_plan(h, "1002", &fixed));
    refused(h, "does not have tooth 18", import_plan(h, "1002", &missing));
}

static void a_plan_with_warnings_is_imported_on_purpose(void **state) {
    house *h = *state;
    mc_plan_import what = plan_file("tooth,stage,buccal_mm\n12,2,1\n"); /* 0.5 mm an aligner */
    mc_plan_info info;
    mc_warnings warnings;
    done(open_case(h, "1002", "Invented, Bo", "2010-01-01"));
    mc_case kase = find(h->practice, "1002");
    refused(h, "all the same, accept",
            mc_import_plan(h->practice, &kase, &what, &info, &warnings, &why));
    assert_true(warnings.count > 0);
    assert_int_equal(warnings.list[0].line, 2);
    mc_warnings_free(&warnings);
    what.accept_warnings = true;
    journalled(h, "plan imported",
               mc_import_plan(h->practice, &kase, &what, &info, &warnings, &why));
    assert_true(warnings.count > 0);
    assert_int_equal(info.number, 1);
    mc_warnings_free(&warnings);
}

/* ---- check-ups ---- */

static void a_checkup_is_completed(void **state) {
    house *h = *state;
    mc_checkup_import what = readings(FIRST_READ, FIRST_DAY, 4, 10);
    h->practice->today = day(FIRST_DAY);
    act_as(h, "CD");
    journalled(h, "check-up completed", import_checkup(h, "1001", &what));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    assert_int_equal(a->score->number, 1);
    assert_string_equal(a->checkup.by, "CD");
    assert_int_equal(a->checkup.checkup.count, 2);
    assert_true(a->score->effective_stage[MC_UPPER] == 4);
    assert_int_equal(a->score->measured, 2);
    assert_true(a->decision_due);
    mc_assessment_free(a);
}

static void who_may_not_enter_a_checkup(void **state) {
    house *h = *state;
    mc_checkup_import what = readings(FIRST_READ, FIRST_DAY, 4, 10);
    h->practice->today = day(FIRST_DAY);
    act_as(h, "EF");
    refused(h, "a doctor or an assistant", import_checkup(h, "1001", &what));
    nobody(h, FIRST_DAY);
    refused(h, "nobody is named", import_checkup(h, "1001", &what));
}

static void a_checkup_that_cannot_be_is_refused(void **state) {
    house *h = *state;
    mc_checkup_import what = readings(FIRST_READ, "2025-03-09", 4, 10);
    done(open_case(h, "1002", "Invented, Bo", "2010-01-01"));
    h->practice->today = day(SECOND_DAY);
    refused(h, "before the plan's start", import_checkup(h, "1001", &what));
    what.date = day(FIRST_DAY);
    refused(h, "no plan", import_checkup(h, "1002", &what));
    what.aligner[MC_UPPER] = 25;
    refused(h, "not in the series of 24", import_checkup(h, "1001", &what));
    what.aligner[MC_UPPER] = 4;
    what.aligner[MC_LOWER] = 1;
    refused(h, "lower arch has no series", import_checkup(h, "1001", &what));
    what.aligner[MC_LOWER] = MC_NO_ALIGNER;
    what.wear_hours = 24.5;
    refused(h, "0 to 24 a day", import_checkup(h, "1001", &what));
    what.wear_hours = 22;
    what.day[MC_UPPER] = 1000;
    refused(h, "day 1000", import_checkup(h, "1001", &what));
    what.day[MC_UPPER] = 10;
    done(import_checkup(h, "1001", &what));
    what.date = day(FIRST_DAY) - 1;
    refused(h, "before check-up 1", import_checkup(h, "1001", &what));
}

static void a_fault_in_a_checkup_file_has_its_place(void **state) {
    house *h = *state;
    mc_checkup_import what = readings("tooth,seat_gap_mm\n12,0.1\n11,5.5\n", FIRST_DAY, 4, 10);
    h->practice->today = day(FIRST_DAY);
    refused(h, "seat_gap_mm", import_checkup(h, "1001", &what));
    assert_int_equal(why.line, 3);
    assert_int_equal(why.column, 4);
    what = readings("tooth,seat_gap_mm\n18,0.1\n", FIRST_DAY, 4, 10);
    refused(h, "does not have tooth 18", import_checkup(h, "1001", &what));
}

/* Refused with these words among its warnings, then accepted. */
static void warned_then_accepted(house *h, const char *words, mc_checkup_import what) {
    mc_case kase = find(h->practice, "1001");
    mc_warnings warnings;
    int number = 0;
    refused(h, "all the same, accept",
            mc_import_checkup(h->practice, &kase, &what, &number, &warnings, &why));
    assert_int_equal(warnings.count, 1);
    assert_non_null(strstr(warnings.list[0].text, words));
    mc_warnings_free(&warnings);
    what.accept_warnings = true;
    journalled(h, "check-up completed",
               mc_import_checkup(h->practice, &kase, &what, &number, &warnings, &why));
    assert_int_equal(warnings.count, 1);
    mc_warnings_free(&warnings);
}

/* The next aligner may be begun at the check-up; another one of the same day is asked about. */
static void another_aligner_of_the_same_day_is_warned_of(void **state) {
    house *h = *state;
    h->practice->today = day(FIRST_DAY);
    mc_checkup_import first = readings(FIRST_READ, FIRST_DAY, 4, 10);
    done(import_checkup(h, "1001", &first));
    warned_then_accepted(h, "upper aligner 6 is worn, but check-up 1 of the same day found",
                         readings(FIRST_READ, FIRST_DAY, 6, 1));
    warned_then_accepted(h, "check-up 2 of the same day found aligner 6",
                         readings(FIRST_READ, FIRST_DAY, 5, 1));
    mc_checkup_import next = readings(FIRST_READ, FIRST_DAY, 6, 1);
    done(import_checkup(h, "1001", &next));
    done(import_checkup(h, "1001", &next));
}

static void an_unlikely_reading_is_accepted_on_purpose(void **state) {
    house *h = *state;
    h->practice->today = day(FIRST_DAY);
    warned_then_accepted(h, "unlikely",
                         readings("tooth,rotation_deg\n12,-4\n", FIRST_DAY, 4, 10)); /* planned 3 */
}

static void an_unlikely_aligner_is_accepted_on_purpose(void **state) {
    house *h = *state;
    h->practice->today = day(FIRST_DAY);
    warned_then_accepted(h, "it should be 4",
                         readings("tooth,seat_gap_mm\n12,0\n", FIRST_DAY, 7, 1));
}

static void a_day_to_come_is_accepted_on_purpose(void **state) {
    house *h = *state;
    h->practice->today = day(FIRST_DAY) - 1;
    warned_then_accepted(h, "after today", readings(FIRST_READ, FIRST_DAY, 4, 10));
}

/* ---- amendments ---- */

static mc_status amend(house *h, int number, const char *text, const char *reason, bool accept) {
    mc_case kase = find(h->practice, "1001");
    mc_checkup_import what = readings(text, FIRST_DAY, 4, 10);
    mc_warnings warnings;
    int version = 0;
    what.accept_warnings = accept;
    mc_status status =
        mc_amend_checkup(h->practice, &kase, number, &what, reason, &version, &warnings, &why);
    mc_warnings_free(&warnings);
    return status;
}

static void an_amendment_stands_beside_the_old_version(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_checkup_info *list = NULL;
    size_t count = 0;
    first_checkup(h);
    second_checkup(h);
    act_as(h, "CD");
    journalled(h, "check-up amended",
               amend(h, 1, "tooth,seat_gap_mm\n12,0.5\n", "read again", false));
    done(mc_record_checkups(mc_practice_record(h->practice), &kase.id, true, &list, &count, &why));
    assert_int_equal(count, 3);
    assert_int_equal(list[0].checkup.count, 2);
    assert_string_equal(list[0].reason, "");
    assert_int_equal(list[1].version, 2);
    assert_int_equal(list[1].checkup.count, 1);
    assert_int_equal(list[1].checkup.date, day(FIRST_DAY));
    assert_string_equal(list[1].reason, "read again");
    assert_string_equal(list[1].by, "CD");
    mc_checkup_info_free(list, count);
    mc_assessment *a = assessed(h->practice, "1001", 1);
    assert_int_equal(state_of(a, 12), MC_STATE_BEHIND); /* by its seat gap */
    mc_assessment_free(a);
}

static void an_amendment_is_refused(void **state) {
    house *h = *state;
    first_checkup(h);
    refused(h, "reason", amend(h, 1, FIRST_READ, "", false));
    refused(h, "reason", amend(h, 1, FIRST_READ, NULL, false));
    refused(h, "no check-up 2", amend(h, 2, FIRST_READ, "read again", false));
    refused(h, "no check-up 0", amend(h, 0, FIRST_READ, "read again", false));
    refused(h, "seat_gap_mm", amend(h, 1, "tooth,seat_gap_mm\n12,9\n", "read again", false));
    refused(h, "all the same, accept",
            amend(h, 1, "tooth,rotation_deg\n12,-4\n", "read again", false));
    done(amend(h, 1, "tooth,rotation_deg\n12,-4\n", "read again", true));
    act_as(h, "EF");
    refused(h, "a doctor or an assistant", amend(h, 1, FIRST_READ, "read again", false));
    nobody(h, FIRST_DAY);
    refused(h, "nobody is named", amend(h, 1, FIRST_READ, "read again", false));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        acting_test(a_doctor_adds_people),
        acting_test(a_doctor_is_added_only_with_a_doctors_passphrase),
        acting_test(only_a_doctor_adds_and_retires_people),
        acting_test(people_retire),
        acting_test(who_retired_on_another_console_acts_no_more),
        cmocka_unit_test(a_record_without_a_doctor_is_not_left_behind),
        acting_test(a_doctor_changes_settings),
        acting_test(settings_are_not_changed_otherwise),
        acting_test(the_desk_opens_cases),
        acting_test(unusual_teeth_are_told_in_the_journal),
        acting_test(a_person_has_one_course_after_the_other),
        acting_test(equally_urgent_cases_stand_by_chart_number),
        acting_test(only_a_doctor_closes_a_case_and_once),
        acting_test(a_closed_case_stays_as_it_is),
        acting_test(teeth_change_from_a_day_on),
        acting_test(a_plan_is_imported),
        acting_test(a_plan_that_cannot_be_is_refused_at_its_place),
        acting_test(a_plan_moves_only_what_may_be_moved),
        acting_test(a_plan_with_warnings_is_imported_on_purpose),
        acting_test(a_checkup_is_completed),
        acting_test(who_may_not_enter_a_checkup),
        acting_test(a_checkup_that_cannot_be_is_refused),
        acting_test(another_aligner_of_the_same_day_is_warned_of),
        acting_test(a_fault_in_a_checkup_file_has_its_place),
        acting_test(an_unlikely_reading_is_accepted_on_purpose),
        acting_test(an_unlikely_aligner_is_accepted_on_purpose),
        acting_test(a_day_to_come_is_accepted_on_purpose),
        acting_test(an_amendment_stands_beside_the_old_version),
        acting_test(an_amendment_is_refused),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
