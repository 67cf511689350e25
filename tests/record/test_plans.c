/* Plans, their hashes, and one superseding another. */
#include "record_tests.h"

static mc_plan_info given(const char *start) {
    mc_plan_info info = {.start = day(start), .interval = {7, 0}, .by = "AB"};
    return info;
}

static void same_plan(const mc_plan *a, const mc_plan *b) {
    assert_int_equal(mc_plan_count(a), mc_plan_count(b));
    for (size_t i = 0; i < mc_plan_count(a); i++) {
        const mc_plan_row *x = mc_plan_row_at(a, i), *y = mc_plan_row_at(b, i);
        assert_int_equal(x->tooth, y->tooth);
        assert_int_equal(x->stage, y->stage);
        assert_memory_equal(&x->pose, &y->pose, sizeof x->pose);
        assert_int_equal(x->attachment, y->attachment);
        assert_true(x->ipr_mesial == y->ipr_mesial && x->ipr_distal == y->ipr_distal);
    }
}

static void test_plan_reads_back_bit_for_bit(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_plan *plan = a_plan(24), *back;
    mc_plan_row odd = {.tooth = mc_tooth_from_iso(47), .stage = 999, .ipr_distal = 0.1 + 0.2};
    mc_start start, found;
    memset(&start, 0, sizeof start);
    start.variance[3][MC_ROTATION] = 0.49;
    start.variance[51][MC_MESIAL] = 1e-9;
    odd.pose.c[MC_BUCCAL] = 1.0 / 3;
    odd.pose.c[MC_ANGULATION] = -89.990000000000123;
    odd.attachment = MC_MARK_REMOVED;
    done(mc_plan_add(plan, &odd, &why));
    mc_plan_info info = given("2025-06-01");
    info.interval[MC_LOWER] = 10;
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_add_plan(r->record, &f.course.id, plan, &start, &info, &why));
    done(mc_record_commit(r->record, &why));
    memset(&found, 7, sizeof found);
    done(mc_record_plan(r->record, &info.id, &back, &found, &why));
    same_plan(plan, back);
    assert_memory_equal(&start, &found, sizeof start);
    mc_plan_free(back);
    done(mc_record_plan(r->record, &f.plan.id, &back, &found, &why));
    memset(&start, 0, sizeof start);
    assert_memory_equal(&start, &found, sizeof start);
    mc_plan_free(back);
    done(mc_record_plan(r->record, &f.plan.id, &back, NULL, &why));
    mc_plan_free(back);
    mc_plan_free(plan);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_plan_supersedes_the_one_before(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_plan *plan = a_plan(10);
    mc_plan_info second = given("2025-06-01"), third = given("2025-08-01"), *list;
    size_t count;
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    second.made_from = 1;
    done(mc_record_begin(r->record, false, &why));
    done(mc_record_add_plan(r->record, &f.course.id, plan, NULL, &second, &why));
    done(mc_record_close_plan(r->record, &second.id, &why));
    refuses(MC_REFUSED, "plan 2 is closed already",
            mc_record_close_plan(r->record, &second.id, &why));
    refuses(MC_REFUSED, "plan 1 is superseded already",
            mc_record_close_plan(r->record, &f.plan.id, &why));
    done(mc_record_add_plan(r->record, &f.course.id, plan, NULL, &third, &why));
    done(mc_record_commit(r->record, &why));
    done(mc_record_plans(r->record, &f.course.id, &list, &count, &why));
    assert_int_equal(count, 3);
    assert_int_equal(list[0].status, MC_PLAN_SUPERSEDED);
    assert_int_equal(list[1].status, MC_PLAN_CLOSED);
    assert_int_equal(list[2].status, MC_PLAN_ACTIVE);
    assert_true(mc_id_is_none(&list[0].supersedes));
    assert_memory_equal(&list[1].supersedes, &f.plan.id, sizeof f.plan.id);
    assert_memory_equal(&list[2].supersedes, &second.id, sizeof second.id);
    assert_int_equal(list[1].made_from, 1);
    assert_int_equal(list[2].made_from, 0);
    assert_int_equal(list[2].number, 3);
    assert_int_equal(list[2].start, day("2025-08-01"));
    assert_int_equal(list[2].interval[MC_UPPER], 7);
    assert_int_equal(list[2].interval[MC_LOWER], 0);
    assert_string_equal(list[2].by, "AB");
    assert_string_equal(list[2].hash, third.hash);
    assert_int_equal(third.status, MC_PLAN_ACTIVE);
    free(list);
    mc_plan_free(plan);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_hash_follows_the_rows_and_not_their_order(void **state) {
    (void)state;
    char one[65], two[65];
    mc_plan *a = mc_plan_new(), *b = mc_plan_new();
    mc_plan_row x = {.tooth = 3, .stage = 4}, y = {.tooth = 9, .stage = 2};
    x.pose.c[MC_MESIAL] = 0.5;
    y.pose.c[MC_BUCCAL] = -0.0;
    y.pose.c[MC_MESIAL] = 0.1;
    done(mc_plan_add(a, &x, &why));
    done(mc_plan_add(a, &y, &why));
    y.pose.c[MC_BUCCAL] = 0.0;
    done(mc_plan_add(b, &y, &why));
    done(mc_plan_add(b, &x, &why));
    mc_plan_hash(a, one);
    mc_plan_hash(b, two);
    assert_string_equal(one, two);
    assert_int_equal(strlen(one), 64);
    assert_int_equal(strspn(one, "0123456789abcdef"), 64);
    mc_plan_row z = {.tooth = 9, .stage = 3, .attachment = MC_MARK_PLACED};
    done(mc_plan_add(b, &z, &why));
    mc_plan_hash(b, two);
    assert_string_not_equal(one, two);
    z.attachment = MC_MARK_REMOVED;
    done(mc_plan_add(a, &z, &why));
    mc_plan_hash(a, one);
    assert_string_not_equal(one, two);
    mc_plan_free(a);
    mc_plan_free(b);
}

/* Nothing about the plans of the case has changed. */
static void one_plan_stands(room *r, const furnished *f) {
    mc_plan_info *list;
    size_t count;
    done(mc_record_plans(r->record, &f->course.id, &list, &count, &why));
    assert_int_equal(count, 1);
    assert_int_equal(list[0].status, MC_PLAN_ACTIVE);
    free(list);
}

static void test_wrong_plans_are_refused(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_plan *plan = a_plan(10), *empty = mc_plan_new();
    const mc_id *of = &f.course.id, nobody = {{1}};
    static const struct {
        const char *start;
        int upper, lower, made_from;
        const char *by, *words;
    } wrong[] = {
        {"2025-06-01", 0, 0, 0, "AB", "worn for 1 to 365 days"},
        {"2025-06-01", 366, 0, 0, "AB", "worn for 1 to 365 days"},
        {"2025-06-01", 7, -1, 0, "AB", "worn for 1 to 365 days"},
        {"2025-06-01", 7, 0, 1, "AB", "case 1001 has no check-up 1"},
        {"2025-06-01", 7, 0, -1, "AB", "case 1001 has no check-up -1"},
        {"2025-06-01", 7, 0, 0, "XY", "no person XY"},
        {"2025-01-09", 7, 0, 0, "AB", "plan 1 started on 2025-01-10 already"},
    };
    done(mc_record_begin(r->record, false, &why));
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        mc_plan_info info = given(wrong[i].start), before;
        info.interval[MC_UPPER] = wrong[i].upper;
        info.interval[MC_LOWER] = wrong[i].lower;
        info.made_from = wrong[i].made_from;
        strcpy(info.by, wrong[i].by);
        before = info;
        refuses(MC_REFUSED, wrong[i].words,
                mc_record_add_plan(r->record, of, plan, NULL, &info, &why));
        assert_memory_equal(&info, &before, sizeof info);
    }
    mc_plan_info info = given("2025-06-01");
    refuses(MC_REFUSED, "no aligners", mc_record_add_plan(r->record, of, empty, NULL, &info, &why));
    refuses(MC_REFUSED, "no such case",
            mc_record_add_plan(r->record, &nobody, plan, NULL, &info, &why));
    info.start = MC_NO_DAY;
    refuses(MC_REFUSED, "no day", mc_record_add_plan(r->record, of, plan, NULL, &info, &why));
    one_plan_stands(r, &f);
    mc_plan_free(empty);
    mc_plan_free(plan);
}

/* What is found out only while the rows are written undoes the whole piece of work. */
static void test_number_that_cannot_be_undoes_the_plan(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_plan *plan = a_plan(10);
    mc_plan_row far = {.tooth = mc_tooth_from_iso(27), .stage = 5};
    mc_plan_info info = given("2025-06-01");
    mc_start start;
    memset(&start, 0, sizeof start);
    done(mc_record_begin(r->record, false, &why));
    start.variance[0][0] = -1;
    refuses(MC_REFUSED, "CHECK",
            mc_record_add_plan(r->record, &f.course.id, plan, &start, &info, &why));
    start.variance[0][0] = NAN;
    refuses(MC_REFUSED, "NULL",
            mc_record_add_plan(r->record, &f.course.id, plan, &start, &info, &why));
    far.pose.c[MC_ROTATION] = 1001;
    done(mc_plan_add(plan, &far, &why));
    refuses(MC_REFUSED, "tooth 27 stage 5: a number that cannot be",
            mc_record_add_plan(r->record, &f.course.id, plan, NULL, &info, &why));
    done(mc_record_commit(r->record, &why));
    one_plan_stands(r, &f);
    mc_plan_free(plan);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_unknown_and_closed_are_refused(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_plan *plan = a_plan(10), *none;
    mc_plan_info info = given("2025-06-01"), *list;
    mc_id nobody = {{1}};
    mc_start start;
    size_t count;
    refuses(MC_REFUSED, "no such plan", mc_record_plan(r->record, &nobody, &none, &start, &why));
    assert_null(none);
    refuses(MC_REFUSED, "no such case", mc_record_plans(r->record, &nobody, &list, &count, &why));
    assert_null(list);
    refuses(MC_REFUSED, "no change was begun", mc_record_close_plan(r->record, &f.plan.id, &why));
    refuses(MC_REFUSED, "no change was begun",
            mc_record_add_plan(r->record, &f.course.id, plan, NULL, &info, &why));
    done(mc_record_begin(r->record, false, &why));
    refuses(MC_REFUSED, "no such plan", mc_record_close_plan(r->record, &nobody, &why));
    done(mc_record_close_case(r->record, &f.course.id, day("2025-06-01"), &why));
    refuses(MC_REFUSED, "case 1001 is closed",
            mc_record_add_plan(r->record, &f.course.id, plan, NULL, &info, &why));
    mc_plan_free(plan);
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_plan_reads_back_bit_for_bit),
        in_room(test_plan_supersedes_the_one_before),
        cmocka_unit_test(test_hash_follows_the_rows_and_not_their_order),
        in_room(test_wrong_plans_are_refused),
        in_room(test_number_that_cannot_be_undoes_the_plan),
        in_room(test_unknown_and_closed_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
