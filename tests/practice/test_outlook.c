/* What happens next: what is promised before a decision is signed is what the roster and the chart
 * say afterwards. */
#include "acting.h"

enum {
    CARRY_ON = 1 << MC_CARRY_ON,
    HOLD = 1 << MC_HOLD,
    GO_BACK = 1 << MC_GO_BACK,
    LOCAL = 1 << MC_LOCAL_MEASURES,
    CORRECT = 1 << MC_CORRECT,
    FINISH = 1 << MC_FINISH
};

/* Aligner 9 of 24, its day 2, on SECOND_DAY; an aligner is worn ten days. */
static int enter_read(void **state) {
    enter(state);
    first_checkup(*state);
    second_checkup(*state);
    return 0;
}

#define outlook_test(name) cmocka_unit_test_setup_teardown(name, enter_read, leave)

static mc_outlook outlook(house *h, const mc_decide *what, mc_day on) {
    mc_outlook out;
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_outlook_of(a, what, on, NULL, &out);
    mc_assessment_free(a);
    return out;
}

static void same(const mc_outlook *one, const mc_outlook *other) {
    assert_int_equal(one->over, other->over);
    assert_int_equal(one->start, other->start);
    assert_int_equal(one->next_change, other->next_change);
    assert_int_equal(one->next_checkup, other->next_checkup);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        assert_int_equal(one->stages[arch], other->stages[arch]);
        assert_int_equal(one->aligner[arch], other->aligner[arch]);
        assert_int_equal(one->next[arch], other->next[arch]);
        assert_int_equal(one->change[arch], other->change[arch]);
        assert_int_equal(one->end[arch], other->end[arch]);
    }
}

/* The roster's row and the series that the chart draws say the same as the outlook. */
static void on_the_screens(house *h, const mc_outlook *o, mc_day on) {
    mc_roster_row *rows = NULL;
    size_t count = 0;
    done(mc_roster(h->practice, on, &rows, &count, &why));
    assert_int_equal(count, 1);
    assert_int_equal(rows[0].next_change, o->next_change);
    assert_int_equal(rows[0].next_checkup, o->next_checkup);
    mc_assessment *a = assessed(h->practice, "1001", 0);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        if (o->awaited.waits[arch]) {
            assert_int_equal(rows[0].aligner[arch], o->awaited.wears[arch]);
            assert_int_equal(rows[0].awaited.first[arch], o->change[arch]);
            continue;
        }
        assert_int_equal(rows[0].aligner[arch], o->aligner[arch]);
        assert_int_equal(rows[0].stages[arch], o->stages[arch]);
        assert_int_equal(mc_series_next_change(&a->series[arch], on), o->change[arch]);
        assert_int_equal(mc_series_end(&a->series[arch]), o->end[arch]);
    }
    mc_assessment_free(a);
    free(rows);
}

/* Sign on a day; what was promised is so. */
static mc_outlook kept(house *h, mc_decide what, mc_day on) {
    mc_case kase = find(h->practice, "1001");
    mc_decision decision;
    mc_warnings warnings;
    h->practice->today = on;
    mc_outlook promised = outlook(h, &what, on);
    what.reason = "to be sure";
    done(mc_sign_known(h->practice, &kase, &what, &decision, &warnings, &why));
    free(decision.evidence);
    mc_warnings_free(&warnings);
    mc_outlook signed_so = outlook(h, NULL, on);
    same(&promised, &signed_so);
    on_the_screens(h, &promised, on);
    return promised;
}

static mc_decide choice(unsigned choices) {
    return (mc_decide){.choices = choices, .to = -1, .start = MC_NO_DAY};
}

static void carrying_on_follows_the_dates(void **state) {
    house *h = *state;
    mc_outlook o = kept(h, choice(CARRY_ON), day(SECOND_DAY));
    assert_int_equal(o.aligner[MC_UPPER], 9);
    assert_int_equal(o.next[MC_UPPER], 10);
    assert_int_equal(o.change[MC_UPPER], day("2025-06-08"));
    assert_int_equal(o.end[MC_UPPER], day("2025-06-08") + 15 * 10);
    assert_int_equal(o.next_checkup, day(SECOND_DAY) + 42);
    assert_int_equal(o.stages[MC_LOWER], 0);
    assert_int_equal(o.aligner[MC_LOWER], MC_NO_ALIGNER);
}

static void a_hold_counts_from_the_checkup(void **state) {
    house *h = *state;
    mc_decide what = choice(HOLD);
    what.days = 7;
    mc_outlook o = kept(h, what, day(SECOND_DAY) + 3);
    assert_int_equal(o.change[MC_UPPER], day("2025-06-15"));
    assert_int_equal(o.next_checkup, day(SECOND_DAY) + 7);
    /* a second one on the same check-up adds to the dates, and says when to look */
    what.days = 14;
    o = kept(h, what, day(SECOND_DAY) + 4);
    assert_int_equal(o.change[MC_UPPER], day("2025-06-29"));
    assert_int_equal(o.next_checkup, day(SECOND_DAY) + 14);
}

static void going_back_begins_on_the_day_of_the_checkup(void **state) {
    house *h = *state;
    mc_decide what = choice(GO_BACK);
    what.to = 7;
    mc_outlook o = kept(h, what, day(SECOND_DAY));
    assert_int_equal(o.aligner[MC_UPPER], 7);
    assert_int_equal(o.next[MC_UPPER], 8);
    assert_int_equal(o.change[MC_UPPER], day(SECOND_DAY) + 10);
}

static void choices_combine(void **state) {
    house *h = *state;
    mc_decide what = choice(GO_BACK | HOLD | LOCAL);
    what.to = 8;
    what.days = 14;
    mc_outlook o = kept(h, what, day(SECOND_DAY) + 1);
    assert_int_equal(o.aligner[MC_UPPER], 8);
    assert_int_equal(o.change[MC_UPPER], day(SECOND_DAY) + 24);
    assert_int_equal(o.next_checkup, day(SECOND_DAY) + 14);
}

static void local_measures_change_no_date(void **state) {
    house *h = *state;
    mc_decide what = choice(LOCAL);
    mc_outlook before = outlook(h, NULL, day(SECOND_DAY));
    mc_outlook o = kept(h, what, day(SECOND_DAY));
    same(&before, &o);
}

static void finishing_before_the_end_goes_on_to_it(void **state) {
    house *h = *state;
    mc_outlook o = kept(h, choice(FINISH), day(SECOND_DAY));
    assert_false(o.over);
    assert_int_equal(o.change[MC_UPPER], day("2025-06-08"));
}

static void finishing_at_the_end_closes_the_plan(void **state) {
    house *h = *state;
    mc_day end = day(SECOND_DAY) + 150;
    mc_checkup_import last = readings("tooth,rotation_deg\n12,18\n", SECOND_DAY, 24, 5);
    last.date = h->practice->today = end;
    last.accept_warnings = true;
    done(import_checkup(h, "1001", &last));
    mc_outlook o = kept(h, choice(FINISH), end);
    assert_true(o.over);
    assert_int_equal(o.next_change, MC_NO_DAY);
    assert_int_equal(o.next_checkup, MC_NO_DAY);
    char text[MC_OUTLOOK_TEXT_SIZE];
    mc_outlook_text(&o, text);
    assert_string_equal(text, "the plan is finished");
}

static void a_correction_starts_its_own_series(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_revision revision;
    done(mc_revise(h->practice, &kase, NULL, 0, 0, &revision, &why));
    assert_int_equal(revision.start, day(SECOND_DAY) + 21);
    mc_decide what = choice(CORRECT);
    what.plan = revision.file;
    what.plan_size = revision.file_size;
    what.cause = MC_CAUSE_STAGING;
    what.start = revision.start;
    what.interval[MC_UPPER] = 7;
    mc_outlook o = kept(h, what, day(SECOND_DAY) + 2);
    assert_int_equal(o.start, day(SECOND_DAY) + 21);
    assert_int_equal(o.stages[MC_UPPER], revision.account.stages[MC_UPPER]);
    assert_int_equal(o.aligner[MC_UPPER], 0);
    assert_int_equal(o.next[MC_UPPER], 1);
    assert_int_equal(o.change[MC_UPPER], day(SECOND_DAY) + 21);
    assert_int_equal(o.awaited.wears[MC_UPPER], 9);
    assert_int_equal(o.next_checkup, day(SECOND_DAY) + 21 + 42);
    mc_revision_free(&revision);
}

/* A setting changed since the check-up holds for the check-ups on the corrected plan. */
static void the_settings_of_today_hold_for_the_corrected_plan(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_settings now;
    mc_decision decision;
    mc_warnings warnings;
    mc_revision revision;
    mc_outlook promised;
    int64_t set;
    done(mc_settings_change(h->practice, NULL, "checkup_weeks", 8, "to be sure", &set, &why));
    done(mc_record_settings(mc_practice_record(h->practice), &kase.id, &now, NULL, &why));
    done(mc_revise(h->practice, &kase, NULL, 0, 0, &revision, &why));
    mc_decide what = choice(CORRECT);
    what.plan = revision.file;
    what.plan_size = revision.file_size;
    what.cause = MC_CAUSE_STAGING;
    what.start = revision.start;
    what.reason = "to be sure";
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_outlook_of(a, &what, day(SECOND_DAY), &now, &promised);
    mc_assessment_free(a);
    assert_int_equal(promised.next_checkup, revision.start + 56);
    done(mc_sign_known(h->practice, &kase, &what, &decision, &warnings, &why));
    free(decision.evidence);
    mc_outlook signed_so = outlook(h, NULL, day(SECOND_DAY));
    same(&promised, &signed_so);
    mc_revision_free(&revision);
}

static void it_is_told_in_words(void **state) {
    (void)state;
    char text[MC_OUTLOOK_TEXT_SIZE];
    mc_outlook o = {.stages = {24, 20},
                    .aligner = {13, 13},
                    .next = {14, 14},
                    .change = {day("2026-12-07"), day("2026-12-07")},
                    .end = {day("2027-03-01"), day("2027-02-01")},
                    .next_checkup = day("2026-12-02")};
    mc_outlook_text(&o, text);
    assert_string_equal(text, "upper and lower 14 on 2026-12-07; check-up 2026-12-02");
    o.next[MC_LOWER] = 12;
    mc_outlook_text(&o, text);
    assert_string_equal(text,
                        "upper 14 on 2026-12-07; lower 12 on 2026-12-07; check-up 2026-12-02");
    o.change[MC_LOWER] = MC_NO_DAY;
    mc_outlook_text(&o, text);
    assert_string_equal(text, "upper 14 on 2026-12-07; lower the last aligner until 2027-02-01; "
                              "check-up 2026-12-02");
    o.stages[MC_UPPER] = 0;
    o.next_checkup = MC_NO_DAY;
    mc_outlook_text(&o, text);
    assert_string_equal(text, "lower the last aligner until 2027-02-01");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        outlook_test(carrying_on_follows_the_dates),
        outlook_test(a_hold_counts_from_the_checkup),
        outlook_test(going_back_begins_on_the_day_of_the_checkup),
        outlook_test(choices_combine),
        outlook_test(local_measures_change_no_date),
        outlook_test(finishing_before_the_end_goes_on_to_it),
        outlook_test(finishing_at_the_end_closes_the_plan),
        outlook_test(a_correction_starts_its_own_series),
        outlook_test(the_settings_of_today_hold_for_the_corrected_plan),
        cmocka_unit_test(it_is_told_in_words),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
