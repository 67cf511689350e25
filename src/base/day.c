/* Civil days by whole-number arithmetic. A year is taken to begin on 1 March, so that the leap day
 * is its last day and the months before it have lengths that follow one line. */
#include "midcourse/base.h"

#include <stdio.h>

enum {
    YEAR_DAYS = 365,
    CENTURY_DAYS = 36524,       /* 100 years, the last without a leap day */
    ERA_DAYS = 146097,          /* 400 years, after which the calendar repeats */
    DAYS_TO_1970_MARCH = 719468 /* from 0000-03-01 to 1970-01-01 */
};

static bool is_leap(int year) {
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int month_length(int year, int month) {
    static const int length[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return length[month - 1] + (month == 2 && is_leap(year));
}

/* Days from 1 March to the first of a month, counted from March as 0. */
static int days_before(int month_from_march) {
    return (153 * month_from_march + 2) / 5;
}

/* For years from 0 on. */
static mc_day from_civil(int year, int month, int day) {
    const int y = month > 2 ? year : year - 1;
    const int m = month > 2 ? month - 3 : month + 9;
    return y * YEAR_DAYS + y / 4 - y / 100 + y / 400 + days_before(m) + day - 1 -
           DAYS_TO_1970_MARCH;
}

/* Read `count` digits; -1 where one is none. */
static int digits(const char *text, int count) {
    int value = 0;
    for (int i = 0; i < count; i++) {
        if (text[i] < '0' || text[i] > '9') {
            return -1;
        }
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

bool mc_day_parse(const char *text, mc_day *day) {
    /* each part is looked at only once the ones before it proved to be there */
    const int year = digits(text, 4);
    if (year < 1800 || year > 2999 || text[4] != '-') {
        return false;
    }
    const int month = digits(text + 5, 2);
    if (month < 1 || month > 12 || text[7] != '-') {
        return false;
    }
    const int d = digits(text + 8, 2);
    if (d < 1 || d > month_length(year, month) || text[10] != '\0') {
        return false;
    }
    *day = from_civil(year, month, d);
    return true;
}

void mc_day_text(mc_day day, char out[11]) {
    static const mc_day first = -719528, last = 2932896; /* 0000-01-01 and 9999-12-31 */
    if (day < first || day > last) {                     /* MC_NO_DAY among them */
        snprintf(out, 11, "-");
        return;
    }
    const int n =
        day + DAYS_TO_1970_MARCH + ERA_DAYS; /* an era more, so that nothing is negative */
    const int in_era = n % ERA_DAYS;
    /* the last day of a four-year, hundred-year and four-hundred-year span is its leap day */
    const int y =
        (in_era - in_era / (4 * YEAR_DAYS) + in_era / CENTURY_DAYS - in_era / (ERA_DAYS - 1)) /
        YEAR_DAYS;
    const int in_year = in_era - (y * YEAR_DAYS + y / 4 - y / 100);
    const int m = (5 * in_year + 2) / 153;
    const int month = m < 10 ? m + 3 : m - 9;
    const int year = (n / ERA_DAYS - 1) * 400 + y + (month <= 2);
    snprintf(out, 11, "%04u-%02u-%02u", (unsigned)year % 10000U, (unsigned)month % 100U,
             (unsigned)(in_year - days_before(m) + 1) % 100U);
}
