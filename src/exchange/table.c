/* The CSV parser is fed one byte at a time, so that at each field and row it hands back we know
 * where in the file we stand. */
#include "table.h"

#include <csv.h>
#include <stdlib.h>
#include <string.h>

#include "encoding.h"
#include "midcourse/exchange.h"

typedef struct scanner {
    struct csv_parser csv;
    const table_taker *taker;
    mc_error *error;
    mc_status status;
    long line, column; /* of the byte being fed */
    bool row_begun, field_begun;
    long field_line, field_column;
    size_t field_bytes; /* fed of the present field, quotes and all */
    table_row row;
} scanner;

static void take_field(void *text, size_t size, void *context) {
    scanner *s = context;
    if (s->status != MC_OK) {
        return;
    }
    if (s->row.count == TABLE_MOST_COLUMNS) {
        s->status = mc_fail_at(s->error, s->field_line, s->field_column,
                               "a row of more than %d fields", TABLE_MOST_COLUMNS);
        return;
    }
    table_field *field = &s->row.field[s->row.count++];
    if (size > 0) {
        memcpy(field->text, text, size); /* not more than was fed, which feed() bounds */
    }
    field->text[size] = '\0';
    field->line = s->field_line;
    field->column = s->field_column;
    s->field_begun = false;
    s->field_bytes = 0;
}

static void take_row(int ended_by, void *context) {
    (void)ended_by;
    scanner *s = context;
    if (s->status == MC_OK) {
        s->row.end_line = s->line;
        s->row.end_column = s->column;
        s->status = s->taker->row(s->taker->context, &s->row, s->error);
    }
    s->row.count = 0;
    s->row_begun = false;
}

static mc_status parser_fault(scanner *s) {
    if (csv_error(&s->csv) == CSV_EPARSE) {
        return mc_fail_at(s->error, s->line, s->column,
                          "a quote that does not belong here: a field with quotes stands wholly in "
                          "quotes, with each quote inside it doubled");
    }
    return mc_fail(s->error, MC_REFUSED, "out of memory");
}

static void feed(scanner *s, char byte) {
    const bool blank = byte == ' ' || byte == '\t';
    const bool ends_line = byte == '\r' || byte == '\n';
    if (!s->field_begun) {
        s->field_line = s->line;
        s->field_column = s->column;
        s->field_begun = !blank && !ends_line && byte != ',';
    }
    if (!blank && !ends_line) {
        s->row_begun = true;
    }
    if (s->field_begun && ++s->field_bytes > TABLE_FIELD_BYTES) {
        s->status = mc_fail_at(s->error, s->field_line, s->field_column,
                               "a field of more than %d bytes", TABLE_FIELD_BYTES);
        return;
    }
    if (csv_parse(&s->csv, &byte, 1, take_field, take_row, s) != 1 && s->status == MC_OK) {
        s->status = parser_fault(s);
    }
}

/* Step the place over one byte; a line ends with LF, CRLF or CR. */
static void step(scanner *s, char byte, char next) {
    if (byte == '\n' || (byte == '\r' && next != '\n')) {
        s->line++;
        s->column = 1;
    } else if (((unsigned char)byte & 0xc0) != 0x80) {
        s->column++;
    }
}

/* Hand over the remark that begins at data; returns its length. */
static size_t take_remark(scanner *s, const char *data, size_t size) {
    size_t length = 0;
    while (length < size && data[length] != '\n' && data[length] != '\r') {
        length++;
    }
    s->status = s->taker->remark(s->taker->context, data, length, s->line, s->error);
    return length;
}

static void scan(scanner *s, const char *data, size_t size) {
    const char *why;
    const size_t fault = encoding_fault(data, size, &why);
    for (size_t i = encoding_mark(data, size); i < fault && s->status == MC_OK; i++) {
        if (data[i] == '#' && s->column == 1 && !s->row_begun) {
            const size_t length = take_remark(s, data + i, fault - i);
            for (const size_t end = i + length; i < end; i++) {
                step(s, data[i], '\0');
            }
            i--;
            continue;
        }
        feed(s, data[i]);
        step(s, data[i], i + 1 < size ? data[i + 1] : '\0');
    }
    if (s->status == MC_OK && why) {
        s->status = mc_fail_at(s->error, s->line, s->column, "%s", why);
    }
}

static void finish(scanner *s) {
    if (s->status != MC_OK) {
        return;
    }
    if (!s->field_begun) {
        s->field_line = s->line;
        s->field_column = s->column;
    }
    if (csv_fini(&s->csv, take_field, take_row, s) != 0 && s->status == MC_OK) {
        s->status = csv_error(&s->csv) == CSV_EPARSE
                        ? mc_fail_at(s->error, s->field_line, s->field_column,
                                     "the quote that opens here is never closed")
                        : mc_fail(s->error, MC_REFUSED, "out of memory");
    }
}

mc_status table_read(const char *data, size_t size, const table_taker *taker, mc_error *error) {
    if (size == encoding_mark(data, size)) {
        return mc_fail_at(error, 1, 1, "the file is empty");
    }
    scanner *s = malloc(sizeof *s);
    if (!s || csv_init(&s->csv, CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL) != 0) {
        free(s);
        return mc_fail(error, MC_REFUSED, "out of memory");
    }
    s->taker = taker;
    s->error = error;
    s->status = MC_OK;
    s->line = s->column = 1;
    s->field_line = s->field_column = 1;
    s->row_begun = s->field_begun = false;
    s->field_bytes = 0;
    s->row.count = 0;
    scan(s, data, size);
    finish(s);
    const mc_status status = s->status;
    csv_free(&s->csv);
    free(s);
    return status;
}

void table_quote(const char *text, char out[200]) {
    enum { COLUMNS = 40 };
    mc_text_fit(text, COLUMNS, false, out, 200);
}
