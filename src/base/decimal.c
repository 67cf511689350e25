/* Plain decimals in and out. The C library converts exactly, but with the point of the process's
 * locale; so that no locale can change what a file means, that point is asked for and put in place
 * of ours. */
#include "midcourse/base.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LONGEST = 500 }; /* characters of a number; more is no measurement */

/* The locale's decimal point, as it stands between the digits of one half. */
static size_t point_of_locale(char point[16]) {
    char half[16];
    const int length = snprintf(half, sizeof half, "%.1f", 0.5);
    const size_t size = (size_t)length - 2;
    memcpy(point, half + 1, size);
    return size;
}

static size_t count_digits(const char *text) {
    return strspn(text, "0123456789");
}

/* The locale's own reading of digits before and after the point. */
static double convert(const char *whole, size_t wholes, const char *parts, size_t count) {
    char copy[LONGEST + 32];
    size_t n = 0;
    memcpy(copy, whole, wholes);
    n += wholes;
    if (count > 0) {
        n += point_of_locale(copy + n);
        memcpy(copy + n, parts, count);
        n += count;
    }
    copy[n] = '\0';
    return strtod(copy, NULL);
}

bool mc_decimal_parse(const char *text, bool comma_too, double *value) {
    const bool negative = *text == '-';
    const char *whole = text + (*text == '-' || *text == '+');
    const size_t wholes = count_digits(whole);
    const char *parts = whole + wholes;
    size_t count = 0;
    if (*parts == '.' || (comma_too && *parts == ',')) {
        parts++;
        count = count_digits(parts);
    }
    if (wholes + count == 0 || wholes + count > LONGEST || parts[count] != '\0') {
        return false;
    }
    const double size = convert(whole, wholes, parts, count);
    if (!isfinite(size)) {
        return false;
    }
    *value = negative && size > 0 ? -size : size; /* nought has no sign */
    return true;
}

/* The digits of a value above 0 without a point, and the power of ten of the first. 15 digits
 * always survive a double and back, so where they read back they are, but for zeros at the end, the
 * shortest. */
static int shortest_digits(double value, char out[20]) {
    char text[64];
    for (int count = 15; count <= 17; count++) {
        snprintf(text, sizeof text, "%.*e", count - 1, value);
        if (strtod(text, NULL) == value) {
            break;
        }
    }
    const char *mark = strchr(text, 'e');
    size_t n = 0;
    for (const char *c = text; c < mark; c++) {
        if (*c >= '0' && *c <= '9') {
            out[n++] = *c;
        }
    }
    while (n > 1 && out[n - 1] == '0') {
        n--;
    }
    out[n] = '\0';
    return atoi(mark + 1);
}

/* Every digit in its place, from the highest place of ten to the lowest, noughts where there is
 * none. */
static size_t lay_out(const char *digits, int power, char out[LONGEST]) {
    const int count = (int)strlen(digits);
    const int lowest = power - count + 1;
    size_t n = 0;
    for (int place = power > 0 ? power : 0; place >= (lowest < 0 ? lowest : 0); place--) {
        const int i = power - place;
        if (place == -1) {
            out[n++] = '.';
        }
        out[n++] = (char)(i >= 0 && i < count ? digits[i] : '0');
    }
    return n;
}

void mc_decimal_text(double value, char *out, size_t size) {
    char digits[20], all[LONGEST];
    size_t n = 0;
    if (isfinite(value) && value != 0) {
        const int power = shortest_digits(fabs(value), digits);
        if (value < 0) {
            all[n++] = '-';
        }
        if (power + 3 < (int)size) {
            n += lay_out(digits, power, all + n);
        } else {
            n = 0; /* too large for the place given */
        }
    } else if (value == 0) {
        all[n++] = '0';
    }
    n = n < size ? n : size - 1; /* decimals too far down are left out */
    memcpy(out, all, n);
    out[n] = '\0';
}

double mc_up_to_hundredths(double value) {
    return ceil(value * 100 - 1e-6) / 100;
}
