#include "sheet.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct reader {
    const sheet_form *form;
    bool header_seen;
    long header_line;
    int order[SHEET_MOST_COLUMNS]; /* the columns as they stand in the file */
    size_t count;
    size_t rows;
} reader;

/* ---- the header ---- */

static int column_named(const sheet_form *form, const char *name) {
    for (size_t i = 0; i < form->columns; i++) {
        if (strcmp(form->column[i], name) == 0) {
            return (int)i;
        }
    }
    return -1;
}

static mc_status refuse_column(const table_row *row, size_t i, mc_error *error) {
    const table_field *field = &row->field[i];
    double number;
    char shown[200];
    table_quote(field->text, shown);
    if (i == 0 && (field->text[0] == '\0' || mc_decimal_parse(field->text, false, &number))) {
        return sheet_refuse(field, error,
                            "the header line with the names of the columns is "
                            "missing");
    }
    if (row->count == 1 && strchr(field->text, ';')) {
        return sheet_refuse(field, error, "fields are parted by commas, not by semicolons");
    }
    if (row->count == 1 && strchr(field->text, '\t')) {
        return sheet_refuse(field, error, "fields are parted by commas, not by tabs");
    }
    if (field->text[0] == '\0') {
        return sheet_refuse(field, error, "a column without a name");
    }
    return sheet_refuse(field, error, "unknown column \"%s\"", shown);
}

static mc_status take_header(reader *r, const table_row *row, mc_error *error) {
    bool seen[SHEET_MOST_COLUMNS] = {false};
    for (size_t i = 0; i < row->count; i++) {
        const int column = column_named(r->form, row->field[i].text);
        if (column < 0) {
            return refuse_column(row, i, error);
        }
        if (seen[column]) {
            return sheet_refuse(&row->field[i], error, "repeated column \"%s\"",
                                r->form->column[column]);
        }
        seen[column] = true;
        r->order[i] = column; /* no more than there are names, as none is repeated */
    }
    for (size_t i = 0; i < r->form->needed; i++) {
        if (!seen[i]) {
            return sheet_refuse(&row->field[0], error, "the column \"%s\" is missing",
                                r->form->column[i]);
        }
    }
    r->count = row->count;
    r->header_seen = true;
    r->header_line = row->field[0].line;
    return MC_OK;
}

/* ---- the rows ---- */

static mc_status take_row(void *context, const table_row *row, mc_error *error) {
    reader *r = context;
    if (!r->header_seen) {
        return take_header(r, row, error);
    }
    if (row->count < r->count) {
        return mc_fail_at(error, row->end_line, row->end_column,
                          "missing field: the row ends before \"%s\"",
                          r->form->column[r->order[row->count]]);
    }
    if (row->count > r->count) {
        return sheet_refuse(&row->field[r->count], error, "a field more than there are columns");
    }
    if (r->rows++ == r->form->most_rows) {
        return sheet_refuse(&row->field[0], error, "more than %zu rows", r->form->most_rows);
    }
    sheet_row out = {.count = r->count, .line = row->field[0].line, .column = row->field[0].column};
    for (size_t i = 0; i < r->count; i++) {
        out.order[i] = r->order[i];
        out.field[r->order[i]] = &row->field[i];
    }
    return r->form->row(r->form->context, &out, error);
}

static mc_status take_remark(void *context, const char *text, size_t size, long line,
                             mc_error *error) {
    reader *r = context;
    return r->form->remark ? r->form->remark(r->form->context, text, size, line, error) : MC_OK;
}

mc_status sheet_read(const char *data, size_t size, const sheet_form *form, mc_error *error) {
    reader r = {.form = form};
    const table_taker taker = {&r, take_row, take_remark};
    const mc_status status = table_read(data, size, &taker, error);
    if (status != MC_OK) {
        return status;
    }
    if (!r.header_seen) {
        return mc_fail_at(error, 1, 1, "the header line with the names of the columns is missing");
    }
    if (r.rows == 0) {
        return mc_fail_at(error, r.header_line, 1, "there are no rows below the header");
    }
    return MC_OK;
}

/* ---- the fields ---- */

mc_status sheet_refuse(const table_field *field, mc_error *error, const char *format, ...) {
    char text[sizeof error->text];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    return mc_fail_at(error, field->line, field->column, "%s", text);
}

mc_status sheet_number(const table_field *field, const char *name, double low, double high,
                       double empty, double *value, mc_error *error) {
    if (field->text[0] == '\0') {
        *value = empty;
        return MC_OK;
    }
    char shown[200];
    table_quote(field->text, shown);
    double number;
    if (!mc_decimal_parse(field->text, false, &number)) {
        return sheet_refuse(field, error, "%s: \"%s\" is no plain decimal number%s", name, shown,
                            strchr(field->text, ',') ? " (the point is the decimal mark)" : "");
    }
    if (number < low || number > high) {
        return sheet_refuse(field, error, "%s: %s is outside %s to %s", name, shown,
                            sheet_show(low).text, sheet_show(high).text);
    }
    *value = number + 0.0; /* so that a negative zero is plain zero */
    return MC_OK;
}

mc_status sheet_whole(const table_field *field, const char *name, int high, int empty, int *value,
                      mc_error *error) {
    const size_t length = strlen(field->text);
    char shown[200];
    table_quote(field->text, shown);
    if (length == 0 && empty == SHEET_NEEDED) {
        return sheet_refuse(field, error, "the %s is missing", name);
    }
    if (length == 0) {
        *value = empty;
        return MC_OK;
    }
    if (strspn(field->text, "0123456789") != length) {
        return sheet_refuse(field, error, "%s: \"%s\" is no whole number from 0 to %d", name, shown,
                            high);
    }
    const long number =
        strtol(field->text, NULL, 10); /* LONG_MAX where there are too many digits */
    if (number > high) {
        return sheet_refuse(field, error, "%s: %s is outside 0 to %d", name, shown, high);
    }
    *value = (int)number;
    return MC_OK;
}

static sheet_digits to_places(double value, double unit) {
    sheet_digits out = {""};
    mc_decimal_text(round(value * unit) / unit + 0.0, out.text, sizeof out.text);
    return out;
}

sheet_digits sheet_show(double value) {
    return to_places(value, 1e4);
}

sheet_digits sheet_tell(double value, bool linear) {
    return to_places(value, linear ? 100 : 10);
}
