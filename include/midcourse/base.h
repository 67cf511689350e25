/* base: what every room needs: errors as values, and civil days. */
#ifndef MIDCOURSE_BASE_H
#define MIDCOURSE_BASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The outcome of anything that can fail; the numbers are also the command line's exit status. */
typedef enum mc_status {
    MC_OK = 0,      /* done */
    MC_REFUSED = 1, /* refused or failed; nothing was changed */
    MC_USAGE = 2,   /* asked for wrongly */
    MC_DAMAGED = 3  /* the record is damaged or from a newer version */
} mc_status;

/* What has to be given or done for a refused action to be done: whoever asked for it says how that
 * goes there, a command by its options, a screen by its keys. */
typedef enum mc_need {
    MC_NEED_NOTHING, /* in particular */
    MC_NEED_PERSON,  /* who acts */
    MC_NEED_PASSPHRASE,
    MC_NEED_DAYS,    /* of a hold */
    MC_NEED_ALIGNER, /* to go back to */
    MC_NEED_PLAN,    /* of a correction */
    MC_NEED_CAUSE,
    MC_NEED_REASON,
    MC_NEED_ACCEPTANCE, /* of the warnings */
    MC_NEED_MEMORY,     /* there was too little */
    MC_NEED_LOOK        /* again: it was changed meanwhile */
} mc_need;

/* What went wrong, where and why. A plain value: nobody frees it. line and column count from 1 and
 * are 0 where the fault is not in a file. The text never says how to give what is needed. */
typedef struct mc_error {
    mc_status status;
    mc_need need;
    long line;
    long column;
    char text[600];
} mc_error;

/* Fill error (may be NULL) with a status and a printf-formatted sentence; line and column become 0.
 * Needs nothing. Returns the status, so that a function can end with `return mc_fail(...)`. */
mc_status mc_fail(mc_error *error, mc_status status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The same, MC_REFUSED, telling what is needed. */
mc_status mc_fail_need(mc_error *error, mc_need need, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The same, MC_REFUSED, for a fault in a file at line and column (from 1, start of the field). */
mc_status mc_fail_at(mc_error *error, long line, long column, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/* A civil day of the proleptic Gregorian calendar, counted from 1970-01-01 = 0. */
typedef int32_t mc_day;
#define MC_NO_DAY INT32_MIN

/* Parse exactly YYYY-MM-DD (years 1800 to 2999, the day existing in the calendar). False leaves
 * *day alone. */
bool mc_day_parse(const char *text, mc_day *day);

/* Write the ISO form, ten characters and a NUL. MC_NO_DAY, and a day outside the years 0 to 9999,
 * writes "-". */
void mc_day_text(mc_day day, char out[11]);

/* A plain decimal: optional sign, digits, optional point (or comma where comma_too) with digits; no
 * blank, exponent, hex, inf or nan, and at most 500 digits. Digits may be missing on one side of
 * the point (".5", "1.", as gauges type them), not on both. False leaves *value alone. Exact as
 * strtod, whatever the locale. */
bool mc_decimal_parse(const char *text, bool comma_too, double *value);

/* The shortest plain decimal that reads back as the same double (at most 17 digits, never an
 * exponent, 0 never signed), for |value| below 1e15. size at least 40; decimals that do not fit are
 * left out, with 40 only below 1e-19. Empty where the value is not finite or its whole part does
 * not fit. */
void mc_decimal_text(double value, char *out, size_t size);

/* Reaches: quantity + 1e-9 >= threshold, the one comparison that every limit of the method uses. */
bool mc_reaches(double quantity, double threshold);

/* Rounded up to hundredths, so that what is missing never reads as less: 0.251 is 0.26. */
double mc_up_to_hundredths(double value);

#endif
