/* Signed decisions. */
#include "record_tests.h"

static void test_every_choice_and_cause_reads_back(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_decision *list, *said;
    size_t count, said_count;
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    done(mc_record_begin(r->record, true, &why));
    for (int c = MC_CAUSE_NONE; c <= MC_CAUSE_UNKNOWN; c++) {
        mc_decision decision = a_decision(1);
        decision.cause = (mc_cause)c;
        decision.choices = c < MC_CHOICES ? 1u << c : 63;
        decision.days = decision.choices & 1u << MC_HOLD ? 14 : 0;
        decision.to = decision.choices & 1u << MC_GO_BACK ? 0 : -1;
        if (c == 0) {
            decision.reason[0] = '\0';
            decision.plan = f.plan.id;
        }
        done(mc_record_add_decision(r->record, &f.course.id, &decision, &why));
        assert_false(mc_id_is_none(&decision.id));
        assert_int_equal(strlen(decision.at), 20);
        assert_int_equal(strlen(decision.hash), 64);
    }
    done(mc_record_commit(r->record, &why));
    done(mc_record_decisions(r->record, &f.course.id, &list, &count, &why));
    assert_int_equal(count, MC_CAUSE_UNKNOWN + 1);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(list[i].checkup, 1);
        assert_int_equal(list[i].cause, i);
        assert_int_equal(list[i].choices, i < MC_CHOICES ? 1u << i : 63);
        assert_int_equal(list[i].days, list[i].choices & 1u << MC_HOLD ? 14 : 0);
        assert_int_equal(list[i].to, list[i].choices & 1u << MC_GO_BACK ? 0 : -1);
        assert_string_equal(list[i].reason, i == 0 ? "" : "wait for 12");
        assert_int_equal(mc_id_is_none(&list[i].plan), i != 0);
        assert_string_equal(list[i].by, "AB");
        /* Word for word, blanks and all. */
        assert_string_equal(list[i].evidence, "{\"score\": {\"worst\": \"12\"}}");
    }
    assert_memory_equal(&list[0].plan, &f.plan.id, sizeof f.plan.id);
    done(mc_record_decisions_said(r->record, &f.course.id, &said, &said_count, &why));
    assert_int_equal(said_count, count);
    for (size_t i = 0; i < count; i++) {
        assert_null(said[i].evidence);
        assert_string_equal(said[i].hash, "");
        said[i].evidence = list[i].evidence;
        memcpy(said[i].hash, list[i].hash, sizeof said[i].hash);
        assert_memory_equal(&said[i], &list[i], sizeof said[i]);
        said[i].evidence = NULL;
    }
    mc_decision_free(said, said_count);
    mc_decision_free(list, count);
    done(mc_record_verify(r->record, NULL, &why));
}

static void test_wrong_decisions_are_refused(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    const mc_id nobody = {{1}};
    mc_decision decision = a_decision(1), *list;
    size_t count;
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    refuses(MC_REFUSED, "no change was begun",
            mc_record_add_decision(r->record, &f.course.id, &decision, &why));
    done(mc_record_begin(r->record, true, &why));
#define wrong(change, words)                                                                       \
    do {                                                                                           \
        decision = a_decision(1);                                                                  \
        change;                                                                                    \
        refuses(MC_REFUSED, words,                                                                 \
                mc_record_add_decision(r->record, &f.course.id, &decision, &why));                 \
        assert_true(mc_id_is_none(&decision.id));                                                  \
    } while (0)
    wrong(strcpy(decision.by, "CD"), "CD is no doctor; only a doctor signs");
    wrong(strcpy(decision.by, "XY"), "no person XY");
    wrong(decision.choices = 0, "needs a choice");
    wrong(decision.choices = 64, "needs a choice");
    wrong(decision.choices = 1, "days belong to a hold");
    wrong(decision.days = 366, "days belong to a hold");
    wrong(decision.days = -1, "days belong to a hold");
    wrong(decision.to = 3, "an aligner belongs to a go-back");
    wrong(decision.to = -2, "an aligner belongs to a go-back");
    wrong(decision.cause = (mc_cause)10, "no such cause");
    wrong(decision.checkup = 2, "case 1001 has no check-up 2");
    wrong(decision.plan = nobody, "no such plan");
    wrong(decision.evidence = NULL, "no JSON object");
    wrong(decision.evidence = (char *)"", "no JSON object");
    wrong(decision.evidence = (char *)"[1]", "no JSON object");
    wrong(decision.evidence = (char *)"{\"a\":1", "no JSON object");
    wrong(strcpy(decision.reason, "\xff"), "the reason is not UTF-8");
    decision = a_decision(1);
    refuses(MC_REFUSED, "no such case",
            mc_record_add_decision(r->record, &nobody, &decision, &why));
    refuses(MC_REFUSED, "no such case",
            mc_record_decisions(r->record, &nobody, &list, &count, &why));
    done(mc_record_decisions(r->record, &f.course.id, &list, &count, &why));
    assert_int_equal(count, 0);
    mc_decision_free(list, count);
}

static void test_retired_doctor_and_closed_case_sign_nothing(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_decision decision = a_decision(1);
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    done(mc_record_begin(r->record, true, &why));
    done(mc_record_add_person(r->record, "EF", MC_DOCTOR, "invented words", &why));
    done(mc_record_retire_person(r->record, "AB", &why));
    refuses(MC_REFUSED, "AB has retired",
            mc_record_add_decision(r->record, &f.course.id, &decision, &why));
    strcpy(decision.by, "EF");
    done(mc_record_add_decision(r->record, &f.course.id, &decision, &why));
    done(mc_record_close_case(r->record, &f.course.id, day("2025-03-01"), &why));
    refuses(MC_REFUSED, "case 1001 is closed",
            mc_record_add_decision(r->record, &f.course.id, &decision, &why));
}

/* A decision about one case cannot open the plan of another. */
static void test_plan_of_another_case_is_refused(void **state) {
    room *r = *state;
    furnished f = furnish_record(r->record);
    mc_tooth_state states[MC_TEETH];
    mc_case other;
    mc_plan *plan = a_plan(4);
    mc_plan_info info = {.start = day("2025-01-10"), .interval = {7, 0}, .by = "AB"};
    mc_decision decision = a_decision(1);
    add_a_checkup(r->record, &f, "2025-02-20", 6);
    all_present(states);
    done(mc_record_begin(r->record, true, &why));
    done(mc_record_add_case(r->record, "1002", "Invented, Ulf", day("1980-01-01"),
                            day("2025-01-02"), states, &other, &why));
    done(mc_record_add_plan(r->record, &other.id, plan, NULL, &info, &why));
    decision.plan = info.id;
    refuses(MC_REFUSED, "case 1001 has no such plan",
            mc_record_add_decision(r->record, &f.course.id, &decision, &why));
    mc_plan_free(plan);
}

#define in_room(test) cmocka_unit_test_setup_teardown(test, room_setup, room_teardown)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_room(test_every_choice_and_cause_reads_back),
        in_room(test_wrong_decisions_are_refused),
        in_room(test_retired_doctor_and_closed_case_sign_nothing),
        in_room(test_plan_of_another_case_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
