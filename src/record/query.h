/* query: one prepared statement from its SQL to its end, and the failures of the database in words.
 * A query keeps the first thing that goes wrong, so that callers put values in, read rows and ask
 * once, at query_end, how it went. */
#ifndef MIDCOURSE_RECORD_QUERY_H
#define MIDCOURSE_RECORD_QUERY_H

#include <sqlite3.h>

#include "midcourse/record.h"

/* A statement that was prepared before and is ready to run again. */
typedef struct kept_statement {
    const char *sql; /* where its text stands in the program */
    sqlite3_stmt *statement;
    bool running;
} kept_statement;

enum { KEPT_STATEMENTS = 64 };

struct mc_record {
    sqlite3 *db;
    sqlite3_stmt *undo; /* ROLLBACK, prepared while there is memory, for when there is none */
    char *path;         /* as the caller gave it, for messages */
    char *making;       /* the name it is made under until it is whole; NULL: its own */
    uint64_t made_dev, made_ino; /* of the file that was reserved under that name */
    bool read_only;
    bool writing;    /* between mc_record_begin and its end */
    int views;       /* mc_record_begin_reading not yet ended */
    int64_t commits; /* of this connection */
    kept_statement kept[KEPT_STATEMENTS];
    int64_t
        settings_set; /* the last set read, 0 none: sets never change, and each case asks for one */
    mc_settings settings; /* its numbers */
};

/* Before the database is closed. */
void record_forget_statements(mc_record *record);

typedef struct query {
    mc_record *record;
    mc_error *error;
    sqlite3_stmt *statement;
    kept_statement *kept; /* where it came from and goes back to; NULL: nowhere */
    int put;              /* parameters bound so far */
    int take;             /* columns of the present row read so far */
    mc_status status;
} query;

/* What the database's last failure means to a person, starting with the file's name. */
mc_status record_fail(const mc_record *record, mc_error *error);
mc_status record_no_memory(const mc_record *record, mc_error *error);
/* The file says something that cannot be. */
mc_status record_damaged(const mc_record *record, mc_error *error, const char *what);

query query_new(mc_record *record, const char *sql, mc_error *error);
/* Fill the next parameter. */
void query_put_text(query *q, const char *text);         /* NULL: null */
void query_put_text_or_null(query *q, const char *text); /* NULL or "": null */
void query_put_whole(query *q, int64_t value);
void query_put_whole_unless(query *q, int64_t value, int64_t none); /* none: null */
void query_put_real(query *q, double value);                        /* NaN: null */
void query_put_day(query *q, mc_day day);                           /* MC_NO_DAY: null */
void query_put_bytes(query *q, const void *bytes, size_t size);
void query_put_id(query *q, const mc_id *id); /* NULL or none: null */
void query_put_hash(query *q, const char hex[65]);
/* The next row: false at the end, and after any failure. */
bool query_row(query *q);
/* Read the next column; a value that does not fit is damage. */
void query_take_text(query *q, char *out, size_t size); /* null: "" */
char *query_take_long_text(query *q);                   /* the caller frees it; NULL on failure */
int64_t query_take_whole(query *q, int64_t none);       /* null: none */
double query_take_real(query *q);                       /* null: NaN */
mc_day query_take_day(query *q);                        /* null: MC_NO_DAY */
void query_take_id(query *q, mc_id *id);                /* null: none */
void query_take_hash(query *q, char out[65]);           /* 32 bytes as hex; null: "" */
/* Room for one more in a list that grows; NULL on failure, list is still the caller's then. */
void *query_room(query *q, void *list, size_t count, size_t size);
void query_damaged(query *q, const char *what);
/* Make ready to run again with new values. */
void query_again(query *q);
/* Finish with it. */
mc_status query_end(query *q);
/* Run one that gives no rows, and finish. */
mc_status query_run(query *q);
/* The same for SQL without parameters. */
mc_status record_run(mc_record *record, const char *sql, mc_error *error);
/* One whole number: the first column of the only row; none where there is no row or it is null. */
mc_status query_whole(query *q, int64_t none, int64_t *out);

/* Undo whatever transaction is open; this needs nothing that could be wanting. */
void record_undo(mc_record *record);

/* A piece of work that is done wholly or not at all: mark before it, settle after it with how it
 * went. Pieces may lie within pieces. work_mark refuses outside mc_record_begin. */
mc_status work_mark(mc_record *record, mc_error *error);
mc_status work_settle(mc_record *record, mc_status status, mc_error *error);

#endif
