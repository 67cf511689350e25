/* The file of repeated readings, read: the same things measured twice by one method. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "midcourse/exchange.h"
#include "sheet.h"

enum { METHOD, KIND, FIRST, SECOND, COLUMNS };

typedef struct pairs_reader {
    mc_pair *list;
    size_t count, room;
} pairs_reader;

static mc_status read_method(const table_field *field, mc_method *method, mc_error *error) {
    char shown[200];
    if (mc_method_parse(field->text, method)) {
        return MC_OK;
    }
    table_quote(field->text, shown);
    return sheet_refuse(field, error,
                        "method: \"%s\" is none of eye, caliper, photo, landmarks, scan", shown);
}

static mc_status read_kind(const table_field *field, bool *linear, mc_error *error) {
    char shown[200];
    *linear = strcmp(field->text, "mm") == 0;
    if (*linear || strcmp(field->text, "deg") == 0) {
        return MC_OK;
    }
    table_quote(field->text, shown);
    return sheet_refuse(field, error, "kind: \"%s\" is neither mm nor deg", shown);
}

static mc_status read_value(const table_field *field, const char *name, bool linear, double *value,
                            mc_error *error) {
    const double most = linear ? MC_LARGEST_PAIR_MM : MC_LARGEST_PAIR_DEG;
    const mc_status status = sheet_number(field, name, -most, most, NAN, value, error);
    if (status == MC_OK && isnan(*value)) {
        return sheet_refuse(field, error, "%s: a pair needs both readings", name);
    }
    return status;
}

static mc_status keep(pairs_reader *r, const mc_pair *pair, mc_error *error) {
    if (r->count == r->room) {
        const size_t room = r->room == 0 ? 64 : 2 * r->room;
        mc_pair *list = realloc(r->list, room * sizeof *list);
        if (!list) {
            return mc_fail(error, MC_REFUSED, "out of memory");
        }
        r->list = list;
        r->room = room;
    }
    r->list[r->count++] = *pair;
    return MC_OK;
}

/* Method, kind, first and second, in whatever order the columns stand: a number cannot be judged
 * before its kind. */
static mc_status take_row(void *context, const sheet_row *row, mc_error *error) {
    mc_pair pair = {.linear = true};
    mc_status status = read_method(row->field[METHOD], &pair.method, error);
    if (status == MC_OK) {
        status = read_kind(row->field[KIND], &pair.linear, error);
    }
    if (status == MC_OK) {
        status = read_value(row->field[FIRST], "first", pair.linear, &pair.first, error);
    }
    if (status == MC_OK) {
        status = read_value(row->field[SECOND], "second", pair.linear, &pair.second, error);
    }
    return status == MC_OK ? keep(context, &pair, error) : status;
}

mc_status mc_pairs_read(const char *data, size_t size, mc_pair **list, size_t *count,
                        mc_error *error) {
    pairs_reader r = {0};
    const sheet_form form = {
        .column = {[METHOD] = "method", [KIND] = "kind", [FIRST] = "first", [SECOND] = "second"},
        .columns = COLUMNS,
        .needed = COLUMNS,
        .most_rows = MC_MOST_PAIRS,
        .context = &r,
        .row = take_row};
    *list = NULL;
    *count = 0;
    const mc_status status = sheet_read(data, size, &form, error);
    if (status != MC_OK) {
        free(r.list);
        return status;
    }
    *list = r.list;
    *count = r.count;
    return MC_OK;
}
