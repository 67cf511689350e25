/* Errors as values, and the one comparison with a limit. */
#include "midcourse/base.h"

#include <stdarg.h>
#include <stdio.h>

static void fill(mc_error *error, mc_status status, const char *format, va_list values) {
    error->status = status;
    error->need = MC_NEED_NOTHING;
    error->line = 0;
    error->column = 0;
    vsnprintf(error->text, sizeof error->text, format, values);
}

mc_status mc_fail(mc_error *error, mc_status status, const char *format, ...) {
    if (error) {
        va_list values;
        va_start(values, format);
        fill(error, status, format, values);
        va_end(values);
    }
    return status;
}

mc_status mc_fail_need(mc_error *error, mc_need need, const char *format, ...) {
    if (error) {
        va_list values;
        va_start(values, format);
        fill(error, MC_REFUSED, format, values);
        va_end(values);
        error->need = need;
    }
    return MC_REFUSED;
}

mc_status mc_fail_at(mc_error *error, long line, long column, const char *format, ...) {
    if (error) {
        va_list values;
        va_start(values, format);
        fill(error, MC_REFUSED, format, values);
        va_end(values);
        error->line = line;
        error->column = column;
    }
    return MC_REFUSED;
}

bool mc_reaches(double quantity, double threshold) {
    return quantity + 1e-9 >= threshold;
}
