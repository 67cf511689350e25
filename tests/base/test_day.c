/* Civil days: the calendar counted day by day, its bounds, and texts that are no day. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/base.h"

#include <stdio.h>

static mc_day day_of(const char *text) {
    mc_day day = MC_NO_DAY;
    if (!mc_day_parse(text, &day)) {
        fail_msg("\"%s\" was not read", text);
    }
    return day;
}

static void knows_some_days(void **state) {
    (void)state;
    assert_int_equal(day_of("1970-01-01"), 0);
    assert_int_equal(day_of("1970-01-02"), 1);
    assert_int_equal(day_of("1969-12-31"), -1);
    assert_int_equal(day_of("2000-01-01"), 10957);
    assert_int_equal(day_of("2001-09-09"), 11574); /* the day of second 1000000000 */
    assert_int_equal(day_of("2038-01-19"), 24855); /* the day of second 2147483647 */
    assert_int_equal(day_of("2000-03-01") - day_of("2000-02-28"), 2);
    assert_int_equal(day_of("1900-03-01") - day_of("1900-02-28"), 1);
}

/* A calendar kept by adding one day at a time, over all years that are accepted. */
static void agrees_with_counting(void **state) {
    (void)state;
    static const int lengths[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    mc_day expected = day_of("1800-01-01");
    assert_int_equal(expected, -62091);
    for (int year = 1800; year <= 2999; year++) {
        const bool leap = year % 400 == 0 || (year % 4 == 0 && year % 100 != 0);
        for (int month = 1; month <= 12; month++) {
            const int length = lengths[month - 1] + (month == 2 && leap ? 1 : 0);
            for (int d = 1; d <= length; d++, expected++) {
                char wanted[40], written[11];
                snprintf(wanted, sizeof wanted, "%04d-%02d-%02d", year, month, d);
                assert_int_equal(day_of(wanted), expected);
                mc_day_text(expected, written);
                assert_string_equal(written, wanted);
            }
        }
    }
}

static void refuses_what_is_no_day(void **state) {
    (void)state;
    static const char *const texts[] = {"",
                                        "2024",
                                        "2024-1-01",
                                        "2024-01-1",
                                        "2024-01-011",
                                        "2024-01-01 ",
                                        " 2024-01-01",
                                        "2024/01/01",
                                        "2024-13-01",
                                        "2024-00-01",
                                        "2024-01-00",
                                        "2024-01-32",
                                        "2024-04-31",
                                        "2023-02-29",
                                        "1900-02-29",
                                        "2100-02-29",
                                        "1799-12-31",
                                        "3000-01-01",
                                        "-024-01-01",
                                        "+024-01-01",
                                        "2024-01-0x",
                                        "2024-0x-01",
                                        "20240101",
                                        "2024-01-01T00:00",
                                        "2024-01",
                                        "2024-01-",
                                        "2024-",
                                        "24-01-01",
                                        "02024-01-01",
                                        "0000-00-00",
                                        "2024-02-30",
                                        "2024-+1-01",
                                        "2024-01-+1",
                                        "01-01-2024"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        mc_day day = 4711;
        if (mc_day_parse(texts[i], &day)) {
            fail_msg("\"%s\" was taken for a day", texts[i]);
        }
        assert_int_equal(day, 4711);
    }
}

static void takes_leap_days_and_bounds(void **state) {
    (void)state;
    day_of("2024-02-29");
    day_of("2000-02-29");
    day_of("2400-02-29");
    assert_int_equal(day_of("2999-12-31") - day_of("1800-01-01"),
                     1200 * 365 + 1200 / 4 - 12 + 3 - 1);
}

static void writes_what_is_no_day_as_a_dash(void **state) {
    (void)state;
    char text[11];
    mc_day_text(MC_NO_DAY, text);
    assert_string_equal(text, "-");
    mc_day_text(INT32_MAX, text);
    assert_string_equal(text, "-");
    mc_day_text(-719528, text);
    assert_string_equal(text, "0000-01-01");
    mc_day_text(-719529, text);
    assert_string_equal(text, "-");
    mc_day_text(2932896, text);
    assert_string_equal(text, "9999-12-31");
    mc_day_text(2932897, text);
    assert_string_equal(text, "-");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(knows_some_days),
        cmocka_unit_test(agrees_with_counting),
        cmocka_unit_test(refuses_what_is_no_day),
        cmocka_unit_test(takes_leap_days_and_bounds),
        cmocka_unit_test(writes_what_is_no_day_as_a_dash),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
