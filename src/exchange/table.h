/* Rows of fields out of the bytes of a CSV file (RFC 4180), each field with the place where it
 * starts. Nothing is known here of what the columns mean. */
#ifndef MIDCOURSE_EXCHANGE_TABLE_H
#define MIDCOURSE_EXCHANGE_TABLE_H

#include "midcourse/base.h"

/* The longest plain decimal of a double (the smallest ones need some 340 characters) is a field. */
enum { TABLE_FIELD_BYTES = 400, TABLE_MOST_COLUMNS = 64 };

typedef struct table_field {
    char text[TABLE_FIELD_BYTES + 1];
    long line, column; /* where its text (or its quote) begins; columns count characters */
} table_field;

typedef struct table_row {
    table_field field[TABLE_MOST_COLUMNS];
    size_t count;
    long end_line, end_column; /* just behind its last character */
} table_row;

/* What takes the rows. Either function ends the reading by refusing. */
typedef struct table_taker {
    void *context;
    mc_status (*row)(void *context, const table_row *row, mc_error *error);
    /* A line that starts with #, without its end. */
    mc_status (*remark)(void *context, const char *text, size_t size, long line, mc_error *error);
} table_taker;

/* Read a whole file. Refuses, at its line and column, what is no UTF-8 text and what is no CSV;
 * rows before the fault have been handed over by then. */
mc_status table_read(const char *data, size_t size, const table_taker *taker, mc_error *error);

/* Text of a file as it may stand in a message: at most 40 columns of it, safe for a terminal. */
void table_quote(const char *text, char out[200]);

#endif
