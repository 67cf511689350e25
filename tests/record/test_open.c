/* A check-up while it is entered: its steps, undone and done again, who else is at it, and how it
 * ends. */
#include "record_tests.h"

static mc_status begin_on(mc_record *record, const furnished *f, const char *date,
                          mc_checkup_info *out) {
    mc_checkup frame = a_checkup(date, 6, NULL, 0);
    done(mc_record_begin(record, false, &why));
    mc_status status =
        mc_record_begin_checkup(record, &f->course.id, &f->plan.id, &frame, 1, "CD", out, &why);
    if (status == MC_OK) {
        done(mc_record_commit(record, &why));
    } else {
        mc_record_rollback(record);
    }
    return status;
}

/* Do one thing in a transaction of its own. */
#define by_itself(record, status, call)                                                            \
    do {                                                                                           \
        done(mc_record_begin(record, false, &why));                                                \
        (status) = (call);                                                                         \
        if ((status) == MC_OK) {                                                                   \
            done(mc_record_commit(record, &why));                                                  \
        } else {                                                                                   \
            mc_record_rollback(record);                                                            \
        }                                                                                          \
    } while (0)

static mc_step a_step(mc_step_what what) {
    mc_step step = {.what = what, .number = NAN, .by = "CD"};
    return step;
}

static mc_step a_gap(int iso, double gap) {
    mc_step step = a_step(MC_STEP_SEAT_GAP);
    step.tooth = mc_tooth_from_iso(iso);
    step.number = gap;
    return step;
}

static mc_status add(mc_record *record, const mc_id *id, size_t expected, size_t undone,
                     const mc_step *step) {
    mc_status status;
    by_itself(record, status, mc_record_add_step(record, id, expected, undone, step, &why));
    return status;
}

static mc_status undo(mc_record *record, const mc_id *id, size_t expected, size_t undone) {
    mc_status status;
    by_itself(record, status, mc_record_undo_step(record, id, expected, undone, &why));
    return status;
}

static mc_status redo(mc_record *record, const mc_id *id, size_t expected, size_t undone) {
    mc_status status;
    by_itself(record, status, mc_record_redo_step(record, id, expected, undone, &why));
    return status;
}

typedef struct opened {
    mc_checkup_info info;
    mc_step *steps;
    size_t count;
    bool found;
} opened;

static opened look(mc_record *record, const furnished *f) {
    opened o;
    done(
        mc_record_open_checkup(record, &f->course.id, &o.info, &o.steps, &o.count, &o.found, &why));
    return o;
}

static void forget(opened *o) {
    free(o->steps);
    free((void *)o->info.checkup.note);
}

static void test_nothing_is_open_at_first(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    opened o = look(r->record, &f);
    assert_false(o.found);
    assert_int_equal(o.count, 0);
    assert_null(o.steps);
    mc_case unknown = f.course;
    unknown.id.byte[0] ^= 1;
    refuses(MC_REFUSED, "no such case",
            mc_record_open_checkup(r->record, &unknown.id, &o.info, &o.steps, &o.count, &o.found,
                                   &why));
}

static void test_begun_one_is_there_with_its_frame(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun;
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    assert_true(begun.open);
    assert_int_equal(begun.checkup.number, 1);
    opened o = look(r->record, &f);
    assert_true(o.found && o.info.open);
    assert_memory_equal(o.info.id.byte, begun.id.byte, sizeof begun.id.byte);
    assert_memory_equal(o.info.plan.byte, f.plan.id.byte, sizeof f.plan.id.byte);
    assert_int_equal(o.info.checkup.date, day("2025-02-20"));
    assert_int_equal(o.info.checkup.aligner[MC_UPPER], 6);
    assert_int_equal(o.info.checkup.aligner[MC_LOWER], MC_NO_ALIGNER);
    assert_int_equal(o.info.checkup.day[MC_UPPER], 3);
    assert_true(o.info.checkup.wear_hours == 21.5);
    assert_string_equal(o.info.by, "CD");
    assert_int_equal(o.count, 0);
    forget(&o);
    mc_checkup_info *list;
    size_t count;
    done(mc_record_checkups(r->record, &f.course.id, true, &list, &count, &why));
    assert_int_equal(count, 0);
    mc_checkup_info_free(list, count);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_one_open_a_case_and_nothing_past_it(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun, second;
    mc_reading rows[4];
    mc_status status;
    mc_plan *plan = a_plan(10);
    mc_plan_info info = {.start = day("2025-03-01"), .interval = {7, 0}, .by = "AB"};
    add_a_checkup(r->record, &f, "2025-02-01", 3);
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    assert_int_equal(begun.checkup.number, 2);
    refuses(MC_REFUSED, "check-up 2 is being entered by CD on the console",
            begin_on(r->record, &f, "2025-02-21", &second));
    mc_checkup checkup = a_checkup("2025-02-21", 6, rows, some_readings(rows));
    by_itself(r->record, status,
              mc_record_add_checkup(r->record, &f.course.id, &f.plan.id, &checkup, 1, "CD", &second,
                                    &why));
    assert_int_equal(status, MC_REFUSED);
    assert_non_null(strstr(why.text, "complete it or throw it away first"));
    mc_decision decision = a_decision(1);
    by_itself(r->record, status, mc_record_add_decision(r->record, &f.course.id, &decision, &why));
    assert_int_equal(status, MC_REFUSED);
    assert_non_null(strstr(why.text, "is being entered"));
    by_itself(r->record, status,
              mc_record_close_case(r->record, &f.course.id, day("2025-03-01"), &why));
    assert_int_equal(status, MC_REFUSED);
    by_itself(r->record, status,
              mc_record_add_plan(r->record, &f.course.id, plan, NULL, &info, &why));
    assert_int_equal(status, MC_REFUSED);
    mc_plan_free(plan);
}

static void same_step(const mc_step *a, const mc_step *b) {
    assert_int_equal(a->what, b->what);
    assert_string_equal(a->by, b->by);
    assert_string_equal(a->text, b->text);
    assert_int_equal(a->whole, b->whole);
    assert_int_equal(a->row, b->row);
    assert_true(a->number == b->number || (isnan(a->number) && isnan(b->number)));
    assert_int_equal(a->short_of_plan, b->short_of_plan);
    assert_int_equal(a->component, b->component);
    assert_int_equal(a->arch, b->arch);
}

static void test_every_kind_of_step_comes_back_as_it_was(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun;
    mc_step given[MC_STEPS];
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    for (int i = 0; i < MC_STEPS; i++) {
        mc_step *s = &given[i];
        *s = a_step((mc_step_what)i);
        bool toothed = i >= MC_STEP_SEAT_GAP && i <= MC_STEP_RELATIVE;
        s->tooth = toothed ? mc_tooth_from_iso(31 + i % 8) : 0;
        if (i == MC_STEP_ALIGNER || i == MC_STEP_DAY) {
            s->arch = MC_LOWER;
            s->whole = i == MC_STEP_ALIGNER ? MC_NO_ALIGNER : 9;
        } else if (i == MC_STEP_SEAT_GAP || i == MC_STEP_COMPONENT) {
            s->row = 2;
            s->number = i == MC_STEP_SEAT_GAP ? NAN : 0.1 + 0.2;
            s->component = i == MC_STEP_COMPONENT ? MC_INCLINATION : 0;
            s->short_of_plan = i == MC_STEP_COMPONENT;
        } else if (i == MC_STEP_RELATIVE) {
            s->row = 1;
            s->whole = MC_CROWN_ANGLE;
            s->number = -12.5;
        } else if (i == MC_STEP_WEAR || i == MC_STEP_RECESSION) {
            s->number = 1.25;
        } else if (i == MC_STEP_NOTE) {
            strcpy(s->text, "Zahn \xc3\xa4u\xc3\x9f"
                            "erst locker; \xe2\x9c\x93");
        } else if (i != MC_STEP_REST_SEAT) {
            s->whole = i == MC_STEP_MOBILITY ? -1 : 1;
        }
        done(add(r->record, &begun.id, (size_t)i, 0, s));
    }
    opened o = look(r->record, &f);
    assert_int_equal(o.count, MC_STEPS);
    for (int i = 0; i < MC_STEPS; i++) {
        same_step(&o.steps[i], &given[i]);
        bool toothed = i >= MC_STEP_SEAT_GAP && i <= MC_STEP_RELATIVE;
        assert_int_equal(o.steps[i].tooth, toothed ? given[i].tooth : MC_NO_TOOTH);
        assert_false(o.steps[i].undone);
    }
    forget(&o);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_steps_that_no_check_up_holds_are_refused(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun;
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    mc_step step = a_step(MC_STEPS);
    refuses(MC_REFUSED, "no such step", add(r->record, &begun.id, 0, 0, &step));
    step = a_gap(12, INFINITY);
    refuses(MC_REFUSED, "no check-up holds", add(r->record, &begun.id, 0, 0, &step));
    step = a_gap(12, 0.5);
    step.tooth = MC_TEETH;
    refuses(MC_REFUSED, "no check-up holds", add(r->record, &begun.id, 0, 0, &step));
    step = a_gap(12, 0.5);
    step.row = -1;
    refuses(MC_REFUSED, "no check-up holds", add(r->record, &begun.id, 0, 0, &step));
    step = a_step(MC_STEP_RELATIVE);
    step.tooth = mc_tooth_from_iso(12);
    for (step.whole = -1; step.whole <= MC_RELATIVES; step.whole += MC_RELATIVES + 1) {
        refuses(MC_REFUSED, "no check-up holds", add(r->record, &begun.id, 0, 0, &step));
    }
    step = a_gap(12, 0.5);
    strcpy(step.by, "ZZ");
    refuses(MC_REFUSED, "no person", add(r->record, &begun.id, 0, 0, &step));
    step = a_step(MC_STEP_NOTE);
    strcpy(step.text, "a\x1b[31m");
    refuses(MC_REFUSED, "control", add(r->record, &begun.id, 0, 0, &step));
    memset(step.text, 'a', 501);
    step.text[501] = '\0';
    refuses(MC_REFUSED, "at most 500", add(r->record, &begun.id, 0, 0, &step));
    step.text[500] = '\0';
    done(add(r->record, &begun.id, 0, 0, &step));
    for (int i = 0; i < 500; i++) {
        memcpy(step.text + 4 * i, "\xf0\x9f\xa6\xb7", 5);
    }
    done(add(r->record, &begun.id, 1, 0, &step));
    opened o = look(r->record, &f);
    assert_int_equal(strlen(o.steps[1].text), 2000);
    forget(&o);
}

static void test_undo_and_redo(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun;
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    mc_step steps[3] = {a_gap(11, 0.1), a_gap(12, 0.2), a_gap(13, 0.3)};
    for (size_t i = 0; i < 3; i++) {
        done(add(r->record, &begun.id, i, 0, &steps[i]));
    }
    refuses(MC_REFUSED, "nothing to redo", redo(r->record, &begun.id, 3, 0));
    done(undo(r->record, &begun.id, 3, 0));
    done(undo(r->record, &begun.id, 3, 1));
    opened o = look(r->record, &f);
    assert_int_equal(o.count, 3);
    assert_true(!o.steps[0].undone && o.steps[1].undone && o.steps[2].undone);
    forget(&o);
    done(mc_record_verify(r->record, NULL, &why));
    done(redo(r->record, &begun.id, 3, 2));
    o = look(r->record, &f);
    assert_true(!o.steps[0].undone && !o.steps[1].undone && o.steps[2].undone);
    forget(&o);
    mc_step other = a_gap(14, 0.4); /* the undone one goes for good */
    done(add(r->record, &begun.id, 3, 1, &other));
    o = look(r->record, &f);
    assert_int_equal(o.count, 3);
    assert_true(o.steps[2].number == 0.4 && !o.steps[2].undone);
    forget(&o);
    for (size_t i = 0; i < 3; i++) {
        done(undo(r->record, &begun.id, 3, i));
    }
    refuses(MC_REFUSED, "nothing to undo", undo(r->record, &begun.id, 3, 3));
}

/* Whoever counts otherwise has missed what somebody else entered. */
static void test_two_consoles_enter_in_turn(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun;
    mc_record *other;
    mc_step step = a_gap(11, 0.1);
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    done(mc_record_open(r->path, &other, &why));
    done(add(other, &begun.id, 0, 0, &step));
    refuses(MC_REFUSED, "somebody else", add(r->record, &begun.id, 0, 0, &step));
    refuses(MC_REFUSED, "somebody else", undo(r->record, &begun.id, 0, 0));
    done(add(r->record, &begun.id, 1, 0, &step));
    done(undo(other, &begun.id, 2, 0));
    refuses(MC_REFUSED, "somebody else", add(r->record, &begun.id, 2, 0, &step));
    refuses(MC_REFUSED, "somebody else", redo(r->record, &begun.id, 2, 0));
    done(redo(r->record, &begun.id, 2, 1));
    mc_status status;
    by_itself(other, status, mc_record_discard_checkup(other, &begun.id, 1, 0, &why));
    assert_int_equal(status, MC_REFUSED);
    by_itself(other, status, mc_record_discard_checkup(other, &begun.id, 2, 0, &why));
    assert_int_equal(status, MC_OK);
    refuses(MC_REFUSED, "no longer being entered", add(r->record, &begun.id, 2, 0, &step));
    mc_record_close(other);
}

static void test_completed_one_is_as_if_added_at_once(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun, sealed, *list;
    mc_reading rows[4];
    size_t count;
    mc_status status;
    mc_step step = a_gap(11, 0.1);
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    done(add(r->record, &begun.id, 0, 0, &step));
    mc_checkup came = a_checkup("2025-02-20", 7, rows, some_readings(rows));
    came.day[MC_UPPER] = -1;
    came.wear_hours = 19;
    came.method = MC_EYE;
    came.note = "seen again in a week";
    by_itself(
        r->record, status,
        mc_record_complete_checkup(r->record, &begun.id, 0, 0, &came, 1, "AB", &sealed, &why));
    assert_int_equal(status, MC_REFUSED);
    by_itself(
        r->record, status,
        mc_record_complete_checkup(r->record, &begun.id, 1, 0, &came, 1, "AB", &sealed, &why));
    assert_int_equal(status, MC_OK);
    opened o = look(r->record, &f);
    assert_false(o.found);
    done(mc_record_checkups(r->record, &f.course.id, true, &list, &count, &why));
    assert_int_equal(count, 1);
    const mc_checkup_info *info = &list[0];
    assert_false(info->open);
    assert_string_equal(info->by, "AB");
    assert_string_equal(info->hash, sealed.hash);
    assert_int_equal(strlen(info->hash), 64);
    assert_int_equal(info->checkup.aligner[MC_UPPER], 7);
    assert_int_equal(info->checkup.day[MC_UPPER], -1);
    assert_true(info->checkup.wear_hours == 19);
    assert_int_equal(info->checkup.method, MC_EYE);
    assert_string_equal(info->checkup.note, "seen again in a week");
    assert_int_equal(info->checkup.count, 4);
    assert_true(info->checkup.rows[3].seat_in_bulk && !info->checkup.rows[0].seat_in_bulk);
    mc_checkup_info_free(list, count);
    done(mc_record_verify(r->record, NULL, &why));
    refuses(MC_REFUSED, "no longer being entered", add(r->record, &begun.id, 1, 0, &step));
}

static void test_content_that_cannot_be_is_not_completed(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun, sealed;
    mc_reading rows[4];
    mc_status status;
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    mc_checkup came = a_checkup("2025-02-20", 25, rows, some_readings(rows));
    by_itself(
        r->record, status,
        mc_record_complete_checkup(r->record, &begun.id, 0, 0, &came, 1, "AB", &sealed, &why));
    assert_int_equal(status, MC_REFUSED);
    came.aligner[MC_UPPER] = 6;
    rows[0].seat_in_bulk = true; /* with a gap of 0.5 */
    by_itself(
        r->record, status,
        mc_record_complete_checkup(r->record, &begun.id, 0, 0, &came, 1, "AB", &sealed, &why));
    assert_int_equal(status, MC_REFUSED);
    assert_non_null(strstr(why.text, "seat_in_bulk"));
    opened o = look(r->record, &f);
    assert_true(o.found);
    forget(&o);
}

static void test_number_of_a_discarded_one_is_used_again(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun, again;
    mc_status status;
    mc_step step = a_gap(11, 0.1);
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    done(add(r->record, &begun.id, 0, 0, &step));
    by_itself(r->record, status, mc_record_discard_checkup(r->record, &begun.id, 1, 0, &why));
    assert_int_equal(status, MC_OK);
    opened o = look(r->record, &f);
    assert_false(o.found);
    done(mc_record_verify(r->record, NULL, &why));
    done(begin_on(r->record, &f, "2025-02-18", &again));
    assert_int_equal(again.checkup.number, 1);
    o = look(r->record, &f);
    assert_int_equal(o.count, 0);
    forget(&o);
}

static void test_what_was_not_committed_is_not_there(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun;
    mc_step step = a_gap(11, 0.1);
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    refuses(MC_REFUSED, "no change was begun",
            mc_record_add_step(r->record, &begun.id, 0, 0, &step, &why));
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_add_step(r->record, &begun.id, 0, 0, &step, &why));
    mc_record_rollback(r->record);
    opened o = look(r->record, &f);
    assert_int_equal(o.count, 0);
    forget(&o);
}

static void test_steps_out_of_order_are_found(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_checkup_info begun;
    mc_step step = a_gap(11, 0.1);
    done(begin_on(r->record, &f, "2025-02-20", &begun));
    for (size_t i = 0; i < 3; i++) {
        done(add(r->record, &begun.id, i, 0, &step));
    }
    as_stranger(r->path, "UPDATE steps SET undone = 1 WHERE number = 2");
    refuses(MC_DAMAGED, "not in order", mc_record_verify(r->record, NULL, &why));
    as_stranger(r->path, "UPDATE steps SET undone = 0");
    done(mc_record_verify(r->record, NULL, &why));
    as_stranger(r->path, "DELETE FROM steps WHERE number = 2");
    refuses(MC_DAMAGED, "not in order", mc_record_verify(r->record, NULL, &why));
    as_stranger(r->path, "UPDATE steps SET what = 'sneeze', number = 2 WHERE number = 3");
    opened o;
    refuses(MC_DAMAGED, "nothing that is known",
            mc_record_open_checkup(r->record, &f.course.id, &o.info, &o.steps, &o.count, &o.found,
                                   &why));
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_nothing_is_open_at_first),
        in_room(test_begun_one_is_there_with_its_frame),
        in_room(test_one_open_a_case_and_nothing_past_it),
        in_room(test_every_kind_of_step_comes_back_as_it_was),
        in_room(test_steps_that_no_check_up_holds_are_refused),
        in_room(test_undo_and_redo),
        in_room(test_two_consoles_enter_in_turn),
        in_room(test_completed_one_is_as_if_added_at_once),
        in_room(test_content_that_cannot_be_is_not_completed),
        in_room(test_number_of_a_discarded_one_is_used_again),
        in_room(test_what_was_not_committed_is_not_there),
        in_room(test_steps_out_of_order_are_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
