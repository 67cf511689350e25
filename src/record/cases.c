#include "cases.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "checkups.h"
#include "words.h"

/* ---- finding ---- */

static void name_case(char *out, size_t size, const char *chart, int number) {
    if (number > 1) {
        snprintf(out, size, "case %s/%d", chart, number);
    } else {
        snprintf(out, size, "case %s", chart);
    }
}

mc_status case_find(mc_record *record, const mc_id *id, case_row *out, mc_error *error) {
    char chart[MC_CHART_SIZE];
    query q = query_new(record,
                        "SELECT c.n, p.chart, c.number, c.opened, c.closed FROM cases c"
                        " JOIN patients p ON p.n = c.patient_n WHERE c.id = ?",
                        error);
    query_put_id(&q, id);
    bool found = query_row(&q);
    if (found) {
        out->n = query_take_whole(&q, 0);
        query_take_text(&q, chart, sizeof chart);
        name_case(out->text, sizeof out->text, chart, (int)query_take_whole(&q, 0));
        out->opened = query_take_day(&q);
        out->closed = query_take_day(&q);
    }
    mc_status status = query_end(&q);
    if (status == MC_OK && !found) {
        return mc_fail(error, MC_REFUSED, "no such case");
    }
    return status;
}

mc_status case_find_open(mc_record *record, const mc_id *id, case_row *out, mc_error *error) {
    mc_status status = case_find(record, id, out, error);
    if (status == MC_OK && out->closed != MC_NO_DAY) {
        return mc_fail(error, MC_REFUSED, "%s is closed", out->text);
    }
    return status;
}

void case_take(query *q, mc_case *out) {
    memset(out, 0, sizeof *out);
    query_take_id(q, &out->id);
    query_take_id(q, &out->patient);
    query_take_text(q, out->chart, sizeof out->chart);
    out->number = (int)query_take_whole(q, 0);
    query_take_text(q, out->name, sizeof out->name);
    out->born = query_take_day(q);
    out->opened = query_take_day(q);
    out->closed = query_take_day(q);
}

mc_status mc_record_find_case(mc_record *record, const char *chart, int number, mc_case *out,
                              mc_error *error) {
    query q = query_new(record,
                        "SELECT " CASE_COLUMNS CASE_TABLES
                        " WHERE p.chart = ?1 AND (?2 = 0 OR c.number = ?2)"
                        " ORDER BY c.number DESC LIMIT 1",
                        error);
    query_put_text(&q, chart);
    query_put_whole(&q, number);
    bool found = query_row(&q);
    if (found) {
        case_take(&q, out);
    }
    mc_status status = query_end(&q);
    if (status == MC_OK && !found) {
        char text[MC_NAME_SIZE];
        name_case(text, sizeof text, chart, number);
        return mc_fail(error, MC_REFUSED, "no %s", text);
    }
    return status;
}

/* Its place in the order: without the zeros before it. */
static const char *stripped(const char *chart) {
    return chart + strspn(chart, "0");
}

static bool is_number(const char *chart) {
    return chart[strspn(chart, "0123456789")] == '\0';
}

int case_by_chart(const void *a, const void *b) {
    const mc_case *one = a, *other = b;
    bool number = is_number(one->chart);
    int order = is_number(other->chart) - number;
    const char *x = stripped(one->chart), *y = stripped(other->chart);
    if (order == 0 && number && strlen(x) != strlen(y)) {
        order = strlen(x) < strlen(y) ? -1 : 1;
    }
    order = order != 0 ? order : strcmp(x, y);
    order = order != 0 ? order : strcmp(one->chart, other->chart);
    return order != 0 ? order : one->number - other->number;
}

mc_status mc_record_cases(mc_record *record, mc_case **out, size_t *count, mc_error *error) {
    *out = NULL;
    *count = 0;
    query q = query_new(record, "SELECT " CASE_COLUMNS CASE_TABLES " ORDER BY c.n", error);
    while (query_row(&q)) {
        mc_case *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        case_take(&q, &list[*count]);
        ++*count;
    }
    mc_status status = query_end(&q);
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    if (*count > 0) {
        qsort(*out, *count, sizeof **out, case_by_chart);
    }
    return status;
}

/* ---- opening ---- */

/* What is on record of a chart number. */
typedef struct patient_row {
    int64_t n; /* 0: the chart number is new */
    mc_id id;
    char name[MC_NAME_SIZE];
    mc_day born;
    int last;     /* number of the last course */
    bool closed;  /* the last course is */
    mc_day since; /* the day it was closed */
} patient_row;

static mc_status find_patient(mc_record *record, const char *chart, patient_row *out,
                              mc_error *error) {
    query q = query_new(record,
                        "SELECT p.n, p.id, p.name, p.born, c.number, c.closed FROM patients p"
                        " JOIN cases c ON c.patient_n = p.n WHERE p.chart = ?"
                        " ORDER BY c.number DESC LIMIT 1",
                        error);
    memset(out, 0, sizeof *out);
    query_put_text(&q, chart);
    if (query_row(&q)) {
        out->n = query_take_whole(&q, 0);
        query_take_id(&q, &out->id);
        query_take_text(&q, out->name, sizeof out->name);
        out->born = query_take_day(&q);
        out->last = (int)query_take_whole(&q, 0);
        out->since = query_take_day(&q);
        out->closed = out->since != MC_NO_DAY;
    }
    return query_end(&q);
}

static mc_status may_open(const patient_row *patient, const mc_case *wanted, mc_error *error) {
    char text[MC_CHART_SIZE + 24], born[11];
    if (patient->n == 0) {
        return MC_OK;
    }
    if (strcmp(patient->name, wanted->name) != 0 || patient->born != wanted->born) {
        mc_day_text(patient->born, born);
        return mc_fail(error, MC_REFUSED, "chart %s is that of %s, born %s", wanted->chart,
                       patient->name, born);
    }
    name_case(text, sizeof text, wanted->chart, patient->last);
    if (!patient->closed) {
        return mc_fail(error, MC_REFUSED, "%s is still open", text);
    }
    if (wanted->opened < patient->since) {
        return mc_fail(error, MC_REFUSED, "%s was closed after that day", text);
    }
    return MC_OK;
}

static mc_status add_patient(mc_record *record, const mc_case *wanted, int64_t *n,
                             mc_error *error) {
    query q = query_new(record, "INSERT INTO patients (id, chart, name, born) VALUES (?, ?, ?, ?)",
                        error);
    query_put_id(&q, &wanted->patient);
    query_put_text(&q, wanted->chart);
    query_put_text(&q, wanted->name);
    query_put_day(&q, wanted->born);
    mc_status status = query_run(&q);
    *n = sqlite3_last_insert_rowid(record->db);
    return status;
}

static mc_status add_teeth(mc_record *record, int64_t case_n, mc_day opened,
                           const mc_tooth_state states[MC_TEETH], mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO teeth (case_n, tooth, change, since, state)"
                        " VALUES (?, ?, 1, ?, ?)",
                        error);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        query_again(&q);
        query_put_whole(&q, case_n);
        query_put_whole(&q, mc_tooth_iso(tooth));
        query_put_day(&q, opened);
        query_put_text(&q, mc_tooth_state_name(states[tooth]));
        query_row(&q);
    }
    return query_end(&q);
}

static mc_status add_rows(mc_record *record, mc_case *wanted, const patient_row *patient,
                          const mc_tooth_state states[MC_TEETH], mc_error *error) {
    int64_t patient_n = patient->n;
    mc_status status = MC_OK;
    if (patient_n == 0) {
        status = add_patient(record, wanted, &patient_n, error);
    }
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(
        record, "INSERT INTO cases (id, patient_n, number, opened) VALUES (?, ?, ?, ?)", error);
    query_put_id(&q, &wanted->id);
    query_put_whole(&q, patient_n);
    query_put_whole(&q, wanted->number);
    query_put_day(&q, wanted->opened);
    status = query_run(&q);
    int64_t case_n = sqlite3_last_insert_rowid(record->db);
    return status == MC_OK ? add_teeth(record, case_n, wanted->opened, states, error) : status;
}

mc_status mc_chart_check(const char *chart, mc_error *error) {
    mc_status status = name_check("chart number", chart, MC_CHART_SIZE - 1, error);
    if (status == MC_OK && strchr(chart, '/') != NULL) {
        return mc_fail(error, MC_REFUSED, "a chart number has no '/'");
    }
    return status;
}

mc_status mc_name_check(const char *name, mc_error *error) {
    return name_check("name", name, MC_NAME_SIZE - 1, error);
}

static mc_status check_words(const char *chart, const char *name, mc_day born, mc_day opened,
                             mc_error *error) {
    mc_status status = mc_chart_check(chart, error);
    if (status == MC_OK) {
        status = mc_name_check(name, error);
    }
    if (status == MC_OK && (born == MC_NO_DAY || opened == MC_NO_DAY || opened < born)) {
        return mc_fail(error, MC_REFUSED, "a case is opened on or after the day of birth");
    }
    return status;
}

mc_status mc_record_add_case(mc_record *record, const char *chart, const char *name, mc_day born,
                             mc_day opened, const mc_tooth_state states[MC_TEETH], mc_case *out,
                             mc_error *error) {
    patient_row patient;
    mc_case wanted = {.born = born, .opened = opened, .closed = MC_NO_DAY};
    mc_status status = check_words(chart, name, born, opened, error);
    for (mc_tooth tooth = 0; status == MC_OK && tooth < MC_TEETH; tooth++) {
        if ((unsigned)states[tooth] >= MC_TOOTH_STATES) {
            return mc_fail(error, MC_REFUSED, "tooth %d has no state", mc_tooth_iso(tooth));
        }
    }
    if (status == MC_OK) {
        status = find_patient(record, chart, &patient, error);
    }
    if (status != MC_OK) {
        return status;
    }
    strcpy(wanted.chart, chart);
    strcpy(wanted.name, name);
    wanted.id = id_new();
    wanted.patient = patient.n != 0 ? patient.id : id_new();
    wanted.number = patient.last + 1;
    status = may_open(&patient, &wanted, error);
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    status = work_settle(record, add_rows(record, &wanted, &patient, states, error), error);
    if (status == MC_OK) {
        *out = wanted;
    }
    return status;
}

/* ---- closing ---- */

/* The day of the last check-up of a case; MC_NO_DAY where there is none. */
static mc_status last_seen(mc_record *record, int64_t case_n, mc_day *day, mc_error *error) {
    *day = MC_NO_DAY;
    query q = query_new(record, "SELECT max(date) FROM checkups WHERE case_n = ?", error);
    query_put_whole(&q, case_n);
    if (query_row(&q)) {
        *day = query_take_day(&q);
    }
    return query_end(&q);
}

mc_status mc_record_close_case(mc_record *record, const mc_id *id, mc_day day, mc_error *error) {
    case_row found;
    mc_day seen;
    mc_status status = case_find_open(record, id, &found, error);
    if (status == MC_OK) {
        status = checkup_none_open(record, &found, error);
    }
    if (status == MC_OK) {
        status = last_seen(record, found.n, &seen, error);
    }
    if (status != MC_OK) {
        return status;
    }
    if (day == MC_NO_DAY || day < found.opened || day < seen) {
        return mc_fail(error, MC_REFUSED, "%s was opened or seen after that day", found.text);
    }
    status = work_mark(record, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record, "UPDATE cases SET closed = ? WHERE n = ?", error);
    query_put_day(&q, day);
    query_put_whole(&q, found.n);
    return work_settle(record, query_run(&q), error);
}
