#include "warnings.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Room is made in powers of two, so the count alone says when it is used up. */
static bool make_room(mc_warnings *warnings) {
    const size_t count = warnings->count;
    if ((count & (count - 1)) != 0) {
        return true;
    }
    const size_t room = count == 0 ? 1 : count * 2;
    mc_warning *list = realloc(warnings->list, room * sizeof *list);
    if (!list) {
        return false;
    }
    warnings->list = list;
    return true;
}

mc_status mc_warnings_add(mc_warnings *warnings, mc_error *error, long line, long column,
                          const char *format, ...) {
    if (!make_room(warnings)) {
        return mc_fail(error, MC_REFUSED, "out of memory");
    }
    mc_warning *one = &warnings->list[warnings->count++];
    one->line = line;
    one->column = column;
    va_list values;
    va_start(values, format);
    vsnprintf(one->text, sizeof one->text, format, values);
    va_end(values);
    return MC_OK;
}

static int in_file_order(const void *a, const void *b) {
    const mc_warning *x = a, *y = b;
    if (x->line != y->line) {
        return x->line < y->line ? -1 : 1;
    }
    if (x->column != y->column) {
        return x->column < y->column ? -1 : 1;
    }
    return strcmp(x->text, y->text);
}

void warnings_sort(mc_warnings *warnings) {
    if (warnings->count > 1) {
        qsort(warnings->list, warnings->count, sizeof *warnings->list, in_file_order);
    }
}

void mc_warnings_free(mc_warnings *warnings) {
    free(warnings->list);
    *warnings = (mc_warnings){NULL, 0};
}
