/* A series of aligners in days: changes, ends, what was seen at check-ups, and wear. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/schedule.h"
#include "random.h"

#include <math.h>

static mc_day day_of(const char *text) {
    mc_day day = MC_NO_DAY;
    assert_true(mc_day_parse(text, &day));
    return day;
}

static void assert_day(mc_day seen, const char *wanted) {
    char text[11];
    mc_day_text(seen, text);
    assert_string_equal(text, wanted);
}

static void assert_worn(const mc_series *series, const char *date, int aligner, int day) {
    int seen = -1;
    assert_int_equal(mc_series_aligner_on(series, day_of(date), &seen), aligner);
    assert_int_equal(seen, day);
    assert_int_equal(mc_series_aligner_on(series, day_of(date), NULL), aligner);
}

static void test_start(void **state) {
    (void)state;
    const mc_series series = mc_series_start(24, 14, day_of("2026-01-05"));
    assert_worn(&series, "2026-01-04", 0, 0);
    assert_worn(&series, "2020-01-01", 0, 0);
    assert_worn(&series, "2026-01-05", 1, 1);
    assert_worn(&series, "2026-01-18", 1, 14);
    assert_worn(&series, "2026-01-19", 2, 1);
    assert_day(mc_series_next_change(&series, day_of("2026-01-04")), "2026-01-05");
    assert_day(mc_series_next_change(&series, day_of("2026-01-05")), "2026-01-19");
    assert_day(mc_series_next_change(&series, day_of("2026-01-18")), "2026-01-19");
    assert_day(mc_series_next_change(&series, day_of("2026-01-19")), "2026-02-02");
}

/* 24 aligners of 14 days are 336 days, over the 29th of February of a leap year or not. */
static void test_end_and_leap_years(void **state) {
    (void)state;
    const mc_series common = mc_series_start(24, 14, day_of("2026-01-05"));
    const mc_series leap = mc_series_start(24, 14, day_of("2028-01-05"));
    const mc_series century = mc_series_start(2, 30, day_of("2100-02-10"));
    assert_day(mc_series_end(&common), "2026-12-07");
    assert_day(mc_series_end(&leap), "2028-12-06");
    assert_worn(&leap, "2028-02-29", 4, 14);
    assert_day(mc_series_next_change(&leap, day_of("2028-02-29")), "2028-03-01");
    assert_day(mc_series_end(&century), "2100-04-11"); /* 2100 has no 29th of February */
}

static void test_after_the_end(void **state) {
    (void)state;
    const mc_series series = mc_series_start(3, 10, day_of("2026-03-01"));
    assert_worn(&series, "2026-03-30", 3, 10);
    assert_day(mc_series_end(&series), "2026-03-31");
    assert_worn(&series, "2026-03-31", 3, 11);
    assert_worn(&series, "2027-03-21", 3, 366);
    assert_int_equal(mc_series_next_change(&series, day_of("2026-03-21")), MC_NO_DAY);
    assert_int_equal(mc_series_next_change(&series, day_of("2027-01-01")), MC_NO_DAY);
    assert_day(mc_series_next_change(&series, day_of("2026-03-20")), "2026-03-21");
}

static void assert_same(const mc_series *one, const mc_series *other) {
    assert_int_equal(one->stages, other->stages);
    assert_int_equal(one->interval, other->interval);
    assert_int_equal(one->aligner, other->aligner);
    assert_int_equal(one->begun, other->begun);
    assert_int_equal(one->held, other->held);
    assert_int_equal(one->waits, other->waits);
}

static void test_no_series(void **state) {
    (void)state;
    const mc_series none = mc_series_start(0, 14, day_of("2026-03-01"));
    const mc_series seen = mc_series_seen(&none, day_of("2026-04-01"), 3, 2);
    assert_worn(&none, "2026-04-01", 0, 0);
    assert_int_equal(mc_series_next_change(&none, day_of("2026-04-01")), MC_NO_DAY);
    assert_int_equal(mc_series_next_change(&none, day_of("2026-02-01")), MC_NO_DAY);
    assert_int_equal(mc_series_end(&none), MC_NO_DAY);
    assert_same(&seen, &none);
}

/* A hold lengthens the aligner it was decided on, and moves everything after it. */
static void test_hold(void **state) {
    (void)state;
    mc_series series = mc_series_start(10, 14, day_of("2026-01-05"));
    series = mc_series_seen(&series, day_of("2026-02-10"), 3, 9);
    series.held = 7;
    assert_day(series.begun, "2026-02-02");
    assert_worn(&series, "2026-02-22", 3, 21);
    assert_worn(&series, "2026-02-23", 4, 1);
    assert_day(mc_series_end(&series), "2026-06-01");
    /* seen again on the held aligner: the hold stays; on the next: it is over */
    const mc_series held = mc_series_seen(&series, day_of("2026-02-17"), 3, 16);
    assert_int_equal(held.held, 7);
    assert_day(mc_series_next_change(&held, day_of("2026-02-17")), "2026-02-23");
    const mc_series unknown = mc_series_seen(&series, day_of("2026-02-22"), 3, -1);
    assert_day(unknown.begun, "2026-02-02");
    assert_worn(&unknown, "2026-02-22", 3, 21);
    const mc_series next = mc_series_seen(&series, day_of("2026-02-24"), 4, 2);
    assert_int_equal(next.held, 0);
    assert_day(mc_series_next_change(&next, day_of("2026-02-24")), "2026-03-09");
}

static void test_hold_on_the_last(void **state) {
    (void)state;
    mc_series series = mc_series_start(2, 14, day_of("2026-01-05"));
    series = mc_series_seen(&series, day_of("2026-01-20"), 2, 2);
    assert_day(mc_series_end(&series), "2026-02-02");
    series.held = 14;
    assert_day(mc_series_end(&series), "2026-02-16");
    assert_worn(&series, "2026-03-01", 2, 42);
}

static void test_interval_changes(void **state) {
    (void)state;
    mc_series series = mc_series_start(20, 14, day_of("2026-01-05"));
    series = mc_series_seen(&series, day_of("2026-02-10"), 3, 9);
    series.interval = 10;
    assert_day(mc_series_next_change(&series, day_of("2026-02-10")), "2026-02-12");
    assert_worn(&series, "2026-02-22", 5, 1);
    assert_day(mc_series_end(&series), "2026-08-01");
    series.interval = 0; /* nonsense counts as one day */
    assert_worn(&series, "2026-02-04", 5, 1);
}

static void test_seen_with_its_day(void **state) {
    (void)state;
    const mc_series start = mc_series_start(24, 14, day_of("2026-01-05"));
    const mc_day date = day_of("2026-03-20");
    mc_series seen = mc_series_seen(&start, date, 6, 1);
    assert_day(seen.begun, "2026-03-20");
    seen = mc_series_seen(&start, date, 6, 0); /* put in today */
    assert_day(seen.begun, "2026-03-20");
    seen = mc_series_seen(&start, date, 6, 5);
    assert_day(seen.begun, "2026-03-16");
    assert_worn(&seen, "2026-03-20", 6, 5);
    assert_worn(&seen, "2026-03-15", 5, 14); /* counted back from what was seen */
    assert_worn(&seen, "2026-01-05", 1, 1);
    assert_worn(&seen, "2026-01-04", 0, 0);
    seen = mc_series_seen(&start, date, 40, 2); /* no more than there are */
    assert_int_equal(seen.aligner, 24);
}

/* Worn beyond its time: still what is worn today, to be changed tomorrow. */
static void test_seen_overdue(void **state) {
    (void)state;
    const mc_series start = mc_series_start(24, 14, day_of("2026-01-05"));
    const mc_series seen = mc_series_seen(&start, day_of("2026-03-20"), 4, 30);
    assert_worn(&seen, "2026-03-20", 4, 30);
    assert_day(mc_series_next_change(&seen, day_of("2026-03-20")), "2026-03-21");
}

static void test_seen_day_not_known(void **state) {
    (void)state;
    const mc_series start = mc_series_start(24, 14, day_of("2026-01-05"));
    /* the dates say aligner 6 was begun on 2026-03-16 */
    mc_series seen = mc_series_seen(&start, day_of("2026-03-20"), 6, -1);
    assert_day(seen.begun, "2026-03-16");
    /* aligner 4 was due from 2026-02-16 on: it cannot be on its first interval any more */
    seen = mc_series_seen(&start, day_of("2026-03-20"), 4, -1);
    assert_day(seen.begun, "2026-03-07");
    assert_worn(&seen, "2026-03-20", 4, 14);
    assert_day(mc_series_next_change(&seen, day_of("2026-03-20")), "2026-03-21");
    /* aligner 9 is due later: then it was begun today */
    seen = mc_series_seen(&start, day_of("2026-03-20"), 9, -1);
    assert_day(seen.begun, "2026-03-20");
    assert_worn(&seen, "2026-03-20", 9, 1);
}

static void test_none_begun(void **state) {
    (void)state;
    const mc_series start = mc_series_start(24, 14, day_of("2026-01-05"));
    mc_series seen = mc_series_seen(&start, day_of("2026-01-01"), 0, -1);
    assert_worn(&seen, "2026-01-04", 0, 0);
    assert_worn(&seen, "2026-01-05", 1, 1);
    seen = mc_series_seen(&start, day_of("2026-01-20"), 0, -1);
    assert_worn(&seen, "2026-01-20", 0, 0);
    assert_worn(&seen, "2026-01-21", 1, 1);
    assert_day(mc_series_next_change(&seen, day_of("2026-01-20")), "2026-01-21");
    seen.held = 10;
    assert_worn(&seen, "2026-01-30", 0, 0);
    assert_worn(&seen, "2026-01-31", 1, 1);
    assert_worn(&seen, "2026-02-14", 2, 1);
}

static void test_not_looked_at(void **state) {
    (void)state;
    const mc_series start = mc_series_start(24, 14, day_of("2026-01-05"));
    const mc_series seen = mc_series_seen(&start, day_of("2026-03-20"), -1, 4);
    assert_same(&seen, &start);
}

/* Whatever was seen: it is what the dates say on that day, every aligner comes in its turn, each
 * for its interval, and the change after any day is after that day. */
static void test_dates_agree_with_what_was_seen(void **state) {
    (void)state;
    random_source source = random_seed(11);
    for (int i = 0; i < 2000; i++) {
        const int stages = 1 + random_below(&source, 40);
        mc_series series = mc_series_start(stages, 1 + random_below(&source, 21), 20000);
        const mc_day date = 20000 + random_below(&source, 500);
        series.held = random_below(&source, 3) * 7;
        const int aligner = random_below(&source, stages + 1);
        const int day = random_below(&source, 40) - 5;
        series = mc_series_seen(&series, date, aligner, day);
        int worn = -1;
        assert_int_equal(mc_series_aligner_on(&series, date, &worn), aligner);
        if (aligner > 0 && day > 0) {
            assert_int_equal(worn, day);
        }
        int before = aligner;
        for (mc_day on = date + 1; before < stages; on++) {
            const mc_day change = mc_series_next_change(&series, on - 1);
            const int now = mc_series_aligner_on(&series, on, &worn);
            assert_true(change >= on);
            assert_int_equal(now, change == on ? before + 1 : before);
            assert_int_equal(change, mc_series_begins(&series, before + 1));
            assert_true(now == before || worn == 1);
            before = now;
        }
        assert_int_equal(mc_series_begins(&series, 0), MC_NO_DAY);
        assert_int_equal(mc_series_begins(&series, stages + 1), MC_NO_DAY);
        const mc_day end = mc_series_end(&series);
        assert_true(end > date || aligner == stages);
    }
}

static void test_interval_for_wear(void **state) {
    (void)state;
    assert_int_equal(mc_interval_for_wear(14, 20, 20), 14);
    assert_int_equal(mc_interval_for_wear(14, 22, 20), 14);
    assert_int_equal(mc_interval_for_wear(14, 20 - 1e-10, 20), 14);
    assert_int_equal(mc_interval_for_wear(14, 19.9, 20), 15);
    assert_int_equal(mc_interval_for_wear(14, 14, 20), 20); /* exactly, not rounded up to 21 */
    assert_int_equal(mc_interval_for_wear(14, 16, 20), 18);
    assert_int_equal(mc_interval_for_wear(23, 18.4, 20), 25); /* 25.000000000000004 in doubles */
    assert_int_equal(mc_interval_for_wear(7, 10, 20), 14);
    assert_int_equal(mc_interval_for_wear(7, 0, 20), 140);
    assert_int_equal(mc_interval_for_wear(7, 0.5, 20), 140);
    assert_int_equal(mc_interval_for_wear(7, NAN, 20), 7);
    assert_int_equal(mc_interval_for_wear(0, 10, 20), 0);
}

/* Days near the ends of what a day can be stay days. */
static void test_extremes(void **state) {
    (void)state;
    mc_series series = mc_series_start(999, INT32_MAX, INT32_MAX - 5);
    assert_int_equal(mc_series_end(&series), INT32_MAX);
    assert_int_equal(mc_series_aligner_on(&series, MC_NO_DAY, NULL), 0);
    series = mc_series_seen(&series, -2000000000, 999, -1);
    assert_int_equal(mc_series_aligner_on(&series, -2000000000, NULL), 999);
}

/* Worn until another series comes: no change, no end; what is seen or decided meanwhile counts. */
static void test_waiting(void **state) {
    (void)state;
    mc_series series = mc_series_start(24, 14, day_of("2026-01-05"));
    mc_series_wait(&series, day_of("2026-01-25")); /* aligner 2, its day 7 */
    assert_worn(&series, "2026-01-25", 2, 7);
    assert_worn(&series, "2026-12-31", 2, 347);
    assert_worn(&series, "2026-01-18", 1, 14);
    assert_day(mc_series_begins(&series, 2), "2026-01-19");
    assert_int_equal(mc_series_begins(&series, 3), MC_NO_DAY);
    assert_int_equal(mc_series_next_change(&series, day_of("2026-02-20")), MC_NO_DAY);
    assert_int_equal(mc_series_end(&series), MC_NO_DAY);
    mc_series seen = mc_series_seen(&series, day_of("2026-03-30"), 2, -1);
    assert_worn(&seen, "2026-04-02", 2, 74);
    seen = mc_series_seen(&series, day_of("2026-03-30"), 1, 3);
    assert_worn(&seen, "2026-04-30", 1, 34);
    mc_series_decide(&series, 1, 7, day_of("2026-02-02"));
    assert_worn(&series, "2026-06-02", 1, 121);
    assert_int_equal(mc_series_next_change(&series, day_of("2026-06-02")), MC_NO_DAY);
}

static void test_waiting_before_any_aligner(void **state) {
    (void)state;
    mc_series series = mc_series_start(24, 14, day_of("2026-01-05"));
    mc_series_wait(&series, day_of("2026-01-04"));
    assert_worn(&series, "2026-01-03", 0, 0);
    assert_worn(&series, "2026-02-05", 0, 0);
    assert_int_equal(mc_series_next_change(&series, day_of("2026-02-05")), MC_NO_DAY);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_start),
        cmocka_unit_test(test_end_and_leap_years),
        cmocka_unit_test(test_after_the_end),
        cmocka_unit_test(test_no_series),
        cmocka_unit_test(test_hold),
        cmocka_unit_test(test_hold_on_the_last),
        cmocka_unit_test(test_interval_changes),
        cmocka_unit_test(test_seen_with_its_day),
        cmocka_unit_test(test_seen_overdue),
        cmocka_unit_test(test_seen_day_not_known),
        cmocka_unit_test(test_none_begun),
        cmocka_unit_test(test_not_looked_at),
        cmocka_unit_test(test_waiting),
        cmocka_unit_test(test_waiting_before_any_aligner),
        cmocka_unit_test(test_dates_agree_with_what_was_seen),
        cmocka_unit_test(test_interval_for_wear),
        cmocka_unit_test(test_extremes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
