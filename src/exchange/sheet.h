/* A CSV file with a header line of known column names: rows by column, and what its fields can be.
 */
#ifndef MIDCOURSE_EXCHANGE_SHEET_H
#define MIDCOURSE_EXCHANGE_SHEET_H

#include "table.h"

enum { SHEET_MOST_COLUMNS = 32, SHEET_NEEDED = -2 };

/* One row below the header. */
typedef struct sheet_row {
    const table_field *field[SHEET_MOST_COLUMNS]; /* by column; NULL where the file has none */
    int order[SHEET_MOST_COLUMNS];                /* the columns as they stand in the file */
    size_t count;                                 /* how many those are */
    long line, column;                            /* where its first field begins */
} sheet_row;

/* What is wanted of the file. */
typedef struct sheet_form {
    const char *column[SHEET_MOST_COLUMNS]; /* names, those that may not be absent first */
    size_t columns, needed;
    size_t most_rows;
    void *context;
    mc_status (*row)(void *context, const sheet_row *row, mc_error *error);
    mc_status (*remark)(void *context, const char *text, size_t size, long line, mc_error *error);
} sheet_form;

/* Read a whole file. Refuses an unknown or repeated column, a needed one that is absent, a row with
 * too few or too many fields, too many rows, and a file without rows. */
mc_status sheet_read(const char *data, size_t size, const sheet_form *form, mc_error *error);

/* A plain decimal within low..high; an empty field is `empty`. name: how a message calls it. */
mc_status sheet_number(const table_field *field, const char *name, double low, double high,
                       double empty, double *value, mc_error *error);
/* A whole number in digits only, 0..high; an empty field is `empty`, or refused with SHEET_NEEDED.
 */
mc_status sheet_whole(const table_field *field, const char *name, int high, int empty, int *value,
                      mc_error *error);
/* A sentence about the field, at its place. */
mc_status sheet_refuse(const table_field *field, mc_error *error, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A number as people read it, to four places behind the point. */
typedef struct sheet_digits {
    char text[48];
} sheet_digits;
sheet_digits sheet_show(double value);
/* As a person at the chair reads it: two decimals of a mm at most, one of a degree. */
sheet_digits sheet_tell(double value, bool linear);

#endif
