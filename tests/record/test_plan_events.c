/* What happens to a corrected plan between its signature and its first aligner. */
#include "record_tests.h"

#include "query.h"

#define EVER_SINCE_VERSION_4                                                                       \
    "DROP TABLE plan_events; DROP TABLE correction_drafts; DROP TABLE measured_crowns;"            \
    "DROP TABLE measured_arches; PRAGMA user_version = 3;"

/* A plan made from check-up 1 and expected to begin on 2025-06-01. */
static mc_plan_info corrected(room *r, const furnished *f) {
    mc_plan *plan = a_plan(10);
    mc_plan_info info = {
        .start = day("2025-06-01"), .interval = {7, 0}, .by = "AB", .made_from = 1};
    add_a_checkup(r->record, f, "2025-02-20", 6);
    done(mc_record_begin(r->record, true, &why));
    done(mc_record_add_plan(r->record, &f->course.id, plan, NULL, &info, &why));
    done(mc_record_commit(r->record, &why));
    mc_plan_free(plan);
    return info;
}

static mc_plan_info active(mc_record *record, const furnished *f) {
    mc_plan_info *list, found;
    size_t count;
    done(mc_record_plans(record, &f->course.id, &list, &count, &why));
    found = list[count - 1];
    free(list);
    return found;
}

static mc_plan_event event(mc_plan_event_what what, const char *on, const char *upper) {
    return (mc_plan_event){.what = what,
                           .day = day(on),
                           .first = {upper ? day(upper) : MC_NO_DAY, MC_NO_DAY},
                           .by = "CD"};
}

static mc_status add(room *r, const mc_id *plan, mc_plan_event one) {
    done(mc_record_begin(r->record, true, &why));
    mc_status status = mc_record_add_plan_event(r->record, plan, &one, &why);
    if (status == MC_OK)
        done(mc_record_commit(r->record, NULL));
    else
        mc_record_rollback(r->record);
    return status;
}

static void test_the_last_word_holds(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_plan_info plan = corrected(r, &f), now = active(r->record, &f);
    mc_plan_event *list;
    size_t count;
    assert_true(mc_id_same(&now.corrects, &f.plan.id));
    assert_int_equal(now.first[MC_UPPER], day("2025-06-01"));
    assert_int_equal(now.first[MC_LOWER], MC_NO_DAY);
    assert_int_equal(now.worn_from, day("2025-06-01"));
    assert_int_equal(now.delivered, MC_NO_DAY);
    done(add(r, &plan.id, event(MC_PLAN_ORDERED, "2025-05-10", "2025-06-01")));
    done(add(r, &plan.id, event(MC_PLAN_EXPECTED, "2025-06-01", "2025-06-09")));
    now = active(r->record, &f);
    assert_int_equal(now.ordered, day("2025-05-10"));
    assert_int_equal(now.worn_from, day("2025-06-09"));
    assert_false(now.begun[MC_UPPER]);
    done(add(r, &plan.id, event(MC_PLAN_DELIVERED, "2025-06-08", NULL)));
    done(add(r, &plan.id, event(MC_PLAN_BEGUN, "2025-06-08", "2025-06-08")));
    now = active(r->record, &f);
    assert_int_equal(now.delivered, day("2025-06-08"));
    assert_int_equal(now.worn_from, day("2025-06-08"));
    assert_true(now.begun[MC_UPPER]);
    assert_int_equal(now.start, day("2025-06-01")); /* as it was made */
    done(mc_record_plan_events(r->record, &plan.id, &list, &count, &why));
    assert_int_equal(count, 4);
    assert_int_equal(list[3].what, MC_PLAN_BEGUN);
    assert_int_equal(list[3].number, 4);
    assert_string_equal(list[3].by, "CD");
    free(list);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_check_ups_are_on_the_plan_of_their_day(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_plan_info plan = corrected(r, &f);
    mc_reading rows[4];
    mc_checkup_info added;
    mc_checkup checkup = a_checkup("2025-05-31", 6, rows, some_readings(rows));
    done(mc_record_begin(r->record, true, &why));
    refuses(
        MC_REFUSED, "its plan starts on 2025-06-01",
        mc_record_add_checkup(r->record, &f.course.id, &plan.id, &checkup, 1, "CD", &added, &why));
    done(mc_record_add_checkup(r->record, &f.course.id, &f.plan.id, &checkup, 1, "CD", &added,
                               &why));
    assert_int_equal(added.checkup.number, 2);
    checkup.date = day("2025-06-01");
    refuses(MC_REFUSED, "its corrected plan is worn from 2025-06-01 on",
            mc_record_add_checkup(r->record, &f.course.id, &f.plan.id, &checkup, 1, "CD", &added,
                                  &why));
    done(mc_record_add_checkup(r->record, &f.course.id, &plan.id, &checkup, 1, "CD", &added, &why));
    assert_int_equal(added.checkup.number, 3);
    done(mc_record_commit(r->record, &why));
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_only_a_corrected_plan_in_force(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    refuses(MC_REFUSED, "is not a corrected plan that is in force",
            add(r, &f.plan.id, event(MC_PLAN_DELIVERED, "2025-06-08", NULL)));
    mc_plan_info plan = corrected(r, &f);
    refuses(MC_REFUSED, "is not a corrected plan that is in force",
            add(r, &f.plan.id, event(MC_PLAN_DELIVERED, "2025-06-08", NULL)));
    mc_plan_event nobody = event(MC_PLAN_DELIVERED, "2025-06-08", NULL);
    strcpy(nobody.by, "XY");
    assert_int_equal(add(r, &plan.id, nobody), MC_REFUSED);
    done(mc_record_begin(r->record, true, &why));
    done(mc_record_close_case(r->record, &f.course.id, day("2025-06-08"), &why));
    done(mc_record_commit(r->record, &why));
    refuses(MC_REFUSED, "closed", add(r, &plan.id, event(MC_PLAN_DELIVERED, "2025-06-08", NULL)));
}

/* Never rewritten, never taken away; who does it all the same is found out. */
static void test_it_stays_as_it_was(void **state) {
    static const char *const changes[] = {
        "DROP TRIGGER plan_events_unchanged; UPDATE plan_events SET day = '2025-06-07' WHERE number"
        " = 2;",
        "DROP TRIGGER plan_events_unchanged; UPDATE plan_events SET upper = '2025-06-07' WHERE"
        " number = 1;",
        "DROP TRIGGER plan_events_undeleted; DELETE FROM plan_events WHERE number = 1;"};
    static const char *const again[] = {
        "CREATE TRIGGER plan_events_unchanged BEFORE UPDATE ON plan_events"
        " BEGIN SELECT RAISE(ABORT, 'what happened to a plan is never changed'); END;",
        "CREATE TRIGGER plan_events_unchanged BEFORE UPDATE ON plan_events"
        " BEGIN SELECT RAISE(ABORT, 'what happened to a plan is never changed'); END;",
        "CREATE TRIGGER plan_events_undeleted BEFORE DELETE ON plan_events"
        " BEGIN SELECT RAISE(ABORT, 'what happened to a plan is never deleted'); END;"};
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_plan_info plan = corrected(r, &f);
    done(add(r, &plan.id, event(MC_PLAN_ORDERED, "2025-05-10", "2025-06-01")));
    done(add(r, &plan.id, event(MC_PLAN_DELIVERED, "2025-06-08", NULL)));
    assert_int_not_equal(
        sqlite3_exec(r->record->db, "UPDATE plan_events SET day = '2025-06-07'", NULL, NULL, NULL),
        SQLITE_OK);
    assert_int_not_equal(sqlite3_exec(r->record->db, "DELETE FROM plan_events", NULL, NULL, NULL),
                         SQLITE_OK);
    for (size_t i = 0; i < sizeof changes / sizeof *changes; i++) {
        const char *path = beside(r, i == 0 ? "a.db" : i == 1 ? "b.db" : "c.db");
        mc_record *copy;
        done(mc_record_backup(r->record, path, &why));
        as_stranger(path, changes[i]);
        as_stranger(path, again[i]);
        done(mc_record_open(path, &copy, &why));
        refuses(MC_DAMAGED, "when plan", mc_record_verify(copy, NULL, &why));
        mc_record_close(copy);
    }
}

/* A record of the version before, its first plan superseded by a corrected one. */
static void test_an_older_record_begins_by_its_dates(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_plan_info plan = corrected(r, &f);
    const char *path = beside(r, "third.db");
    mc_record *record;
    done(mc_record_backup(r->record, path, &why));
    as_stranger(path, EVER_SINCE_VERSION_4);
    done(mc_record_open(path, &record, &why));
    done(mc_record_verify(record, NULL, &why));
    mc_plan_info now = active(record, &f);
    assert_true(mc_id_same(&now.id, &plan.id));
    assert_true(mc_id_same(&now.corrects, &f.plan.id));
    assert_int_equal(now.worn_from, day("2025-06-01"));
    assert_int_equal(now.ordered, MC_NO_DAY);
    assert_false(now.begun[MC_UPPER]);
    mc_plan_event begun = event(MC_PLAN_BEGUN, "2025-06-03", "2025-06-02");
    done(mc_record_begin(record, true, &why));
    done(mc_record_add_plan_event(record, &plan.id, &begun, &why));
    done(mc_record_commit(record, &why));
    assert_int_equal(active(record, &f).worn_from, day("2025-06-02"));
    done(mc_record_verify(record, NULL, &why));
    mc_record_close(record);
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_the_last_word_holds),
        in_room(test_check_ups_are_on_the_plan_of_their_day),
        in_room(test_only_a_corrected_plan_in_force),
        in_room(test_it_stays_as_it_was),
        in_room(test_an_older_record_begins_by_its_dates),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
