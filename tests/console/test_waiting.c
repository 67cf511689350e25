/* A corrected series awaited, delivered and begun on the screens. */
#include "chair.h"

#include "midcourse/exchange.h"

/* Case 1005, whose correction is signed today by the doctor. */
static int enter_waiting(void **state) {
    mc_practice *practice = NULL;
    mc_case kase;
    mc_revision revision;
    mc_decision decision;
    mc_warnings warnings;
    size_t people;
    fresh(state);
    assert_int_equal(mc_practice_open(record, today(), &practice, NULL), MC_OK);
    assert_int_equal(mc_practice_act_as(practice, "IBA", NULL), MC_OK);
    assert_int_equal(mc_case_find(practice, "1005", &kase, NULL), MC_OK);
    assert_int_equal(mc_revise(practice, &kase, NULL, 0, 0, &revision, NULL), MC_OK);
    const mc_decide what = {.choices = 1u << MC_CORRECT,
                            .to = -1,
                            .cause = MC_CAUSE_STAGING,
                            .plan = revision.file,
                            .plan_size = revision.file_size,
                            .start = MC_NO_DAY};
    assert_int_equal(mc_sign(practice, &kase, &what, mc_demo_people(&people)[0].passphrase,
                             &decision, &warnings, NULL),
                     MC_OK);
    free(decision.evidence);
    mc_warnings_free(&warnings);
    mc_revision_free(&revision);
    mc_practice_close(practice);
    return 0;
}

#define waiting_test(name) cmocka_unit_test_setup(name, enter_waiting)

static void text_of(int days, char out[11]) {
    mc_day_text(today() + days, out);
}

static void says(pty *p, const char *keys, const char *then) {
    pty_keys(p, keys);
    pty_comes(p, then);
}

static void the_chart_tells_what_is_worn(void **state) {
    (void)state;
    char expected[11], text[80];
    pty p = at_chart(SMALL, "1005", "JT");
    text_of(21, expected);
    snprintf(text, sizeof text, "exp. %s", expected);
    assert_true(pty_find(&p, "upper 13 of 24") > 0);
    assert_true(pty_find(&p, "worn until new") > 0);
    assert_true(pty_find(&p, text) > 0);
    snprintf(text, sizeof text, "wears upper and lower 13; new series expected %s", expected);
    assert_true(pty_find(&p, text) > 0);
    says(&p, "w", "The corrected series (s)");
    pty_keys(&p, CTRL_Q);
    pty_ended_well(&p);
}

/* What does not fit beside "Why:" goes on below: the day is what is asked for on the telephone. */
static void the_roster_tells_the_day(void **state) {
    (void)state;
    char expected[11], text[80];
    pty p = at_chart(SMALL, "1005", "JT");
    says(&p, ESC, "Find:");
    says(&p, "1005", "Find: 1005");
    text_of(21, expected);
    snprintf(text, sizeof text, " expected %s", expected);
    pty_comes(&p, text);
    pty_keys(&p, CTRL_Q);
    pty_ended_well(&p);
}

/* A page, a letter, and both are on record; a caliper's Enter confirms nothing. */
static void delivery_and_first_day_are_recorded(void **state) {
    (void)state;
    char now[11], text[80];
    text_of(0, now);
    pty p = at_chart(SMALL, "1005", "JT");
    says(&p, "s", "Delivered on");
    snprintf(text, sizeof text, "\r%s\r%s\r", now, now);
    says(&p, text, "y records it");
    says(&p, "7\r", "y records it");
    says(&p, "y", "Recorded. Next: ");
    pty_comes(&p, "upper 1 of 4");
    pty_keys(&p, CTRL_Q);
    pty_ended_well(&p);
    mc_practice *practice = NULL;
    mc_case kase;
    mc_assessment *a = NULL;
    assert_int_equal(mc_practice_open(record, today(), &practice, NULL), MC_OK);
    assert_int_equal(mc_case_find(practice, "1005", &kase, NULL), MC_OK);
    assert_int_equal(mc_assess(practice, &kase, 0, false, &a, NULL), MC_OK);
    assert_int_equal(a->info.number, 2);
    assert_int_equal(a->info.delivered, today());
    assert_true(a->info.begun[MC_UPPER] && a->info.begun[MC_LOWER]);
    mc_assessment_free(a);
    mc_practice_close(practice);
}

static void what_cannot_be_stands_at_the_field(void **state) {
    (void)state;
    char tomorrow[11], text[80];
    text_of(1, tomorrow);
    pty p = at_chart(SMALL, "1005", "IBA");
    says(&p, "s", "Delivered on");
    snprintf(text, sizeof text, "%s\r\r\r", tomorrow);
    says(&p, text, "is after today");
    says(&p, ESC, "Nothing was recorded.");
    pty_keys(&p, CTRL_Q);
    pty_ended_well(&p);
}

static void others_are_told_why_not(void **state) {
    (void)state;
    pty p = at_chart(SMALL, "1005", "NF");
    says(&p, "s", "records the days of a series");
    pty_keys(&p, CTRL_Q);
    pty_ended_well(&p);
    p = at_chart(SMALL, "1001", "IBA");
    says(&p, "s", "No corrected series is on its way");
    pty_keys(&p, CTRL_Q);
    pty_ended_well(&p);
}

/* The form opens on the old plan, and a decision on such a check-up has what there is to choose. */
static void a_check_up_meanwhile(void **state) {
    (void)state;
    pty p = at_chart(SMALL, "1005", "JT");
    says(&p, "e", "check-up 4");
    pty_keys(&p, "00");
    pty_await(&p, "check-up 4");
    pty_keys(&p, ESC CTRL_Q);
    pty_ended_well(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        waiting_test(the_chart_tells_what_is_worn),
        waiting_test(the_roster_tells_the_day),
        waiting_test(delivery_and_first_day_are_recorded),
        waiting_test(what_cannot_be_stands_at_the_field),
        waiting_test(others_are_told_why_not),
        waiting_test(a_check_up_meanwhile),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
