/* cases: a case as the rest of the room needs it. */
#ifndef MIDCOURSE_RECORD_CASES_H
#define MIDCOURSE_RECORD_CASES_H

#include "query.h"

typedef struct case_row {
    int64_t n;
    char text[MC_CHART_SIZE + 24]; /* "case 1001" or "case 1001/2", for messages */
    mc_day opened, closed;
} case_row;

/* Find a case by identity. */
mc_status case_find(mc_record *record, const mc_id *id, case_row *out, mc_error *error);
/* The same, refusing a closed case. */
mc_status case_find_open(mc_record *record, const mc_id *id, case_row *out, mc_error *error);

/* The columns of a case, from its tables. */
#define CASE_COLUMNS "c.id, p.id, p.chart, c.number, p.name, p.born, c.opened, c.closed"
#define CASE_TABLES " FROM cases c JOIN patients p ON p.n = c.patient_n"
/* Read them, the next columns of a row. */
void case_take(query *q, mc_case *out);
/* For qsort, of whatever begins with an mc_case: by chart number, whole numbers first and in their
 * order, then by course. */
int case_by_chart(const void *a, const void *b);

#endif
