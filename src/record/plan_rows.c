#include "plan_rows.h"

#include <math.h>
#include <string.h>

#include "digest.h"

static const char *const mark_names[] = {NULL, "placed", "removed"};
enum { MARKS = sizeof mark_names / sizeof mark_names[0] };

/* The digest (digest.h) of a plan: the label, then each listed stage in chart order and by stage:
 * tooth (ISO 3950) and stage, the six components in table order, attachment, IPR mesial, distal. */
void mc_plan_hash(const mc_plan *plan, char out[65]) {
    digest d;
    digest_begin(&d, "midcourse plan 1");
    for (size_t i = 0; i < mc_plan_count(plan); i++) {
        const mc_plan_row *row = mc_plan_row_at(plan, i);
        digest_whole(&d, mc_tooth_iso(row->tooth));
        digest_whole(&d, row->stage);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            digest_real(&d, row->pose.c[c]);
        }
        digest_text(&d, mark_names[row->attachment]);
        digest_real(&d, row->ipr_mesial);
        digest_real(&d, row->ipr_distal);
    }
    digest_end_hex(&d, out);
}

/* ---- listed stages ---- */

static mc_status check_row(const mc_plan_row *row, mc_error *error) {
    bool fine = (unsigned)row->attachment < MARKS && row->ipr_mesial >= 0 &&
                row->ipr_mesial <= 10 && row->ipr_distal >= 0 && row->ipr_distal <= 10;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        fine = fine && fabs(row->pose.c[c]) <= 1000;
    }
    return fine ? MC_OK
                : mc_fail(error, MC_REFUSED, "tooth %d stage %d: a number that cannot be",
                          mc_tooth_iso(row->tooth), row->stage);
}

static void put_row(query *q, int64_t plan_n, const mc_plan_row *row) {
    query_again(q);
    query_put_whole(q, plan_n);
    query_put_whole(q, mc_tooth_iso(row->tooth));
    query_put_whole(q, row->stage);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        query_put_real(q, row->pose.c[c]);
    }
    query_put_text(q, mark_names[row->attachment]);
    query_put_real(q, row->ipr_mesial);
    query_put_real(q, row->ipr_distal);
}

mc_status plan_rows_add(mc_record *record, int64_t plan_n, const mc_plan *plan, mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO plan_rows (plan_n, tooth, stage, mesial, buccal, occlusal,"
                        " rotation, angulation, inclination, attachment, ipr_mesial, ipr_distal)"
                        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                        error);
    for (size_t i = 0; q.status == MC_OK && i < mc_plan_count(plan); i++) {
        const mc_plan_row *row = mc_plan_row_at(plan, i);
        q.status = check_row(row, error);
        if (q.status == MC_OK) {
            put_row(&q, plan_n, row);
            query_row(&q);
        }
    }
    return query_end(&q);
}

static mc_mark take_mark(query *q) {
    char name[16];
    query_take_text(q, name, sizeof name);
    for (int i = 1; i < (int)MARKS; i++) {
        if (strcmp(name, mark_names[i]) == 0) {
            return (mc_mark)i;
        }
    }
    if (name[0] != '\0') {
        query_damaged(q, "an attachment is neither placed nor removed");
    }
    return MC_MARK_NONE;
}

static void take_row(query *q, mc_plan *plan) {
    mc_plan_row row;
    mc_error why;
    row.tooth = mc_tooth_from_iso((int)query_take_whole(q, 0));
    row.stage = (int)query_take_whole(q, 0);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        row.pose.c[c] = query_take_real(q);
    }
    row.attachment = take_mark(q);
    row.ipr_mesial = query_take_real(q);
    row.ipr_distal = query_take_real(q);
    if (row.tooth == MC_NO_TOOTH) {
        query_damaged(q, "a plan moves no tooth");
    }
    if (q->status == MC_OK && mc_plan_add(plan, &row, &why) != MC_OK) {
        if (why.need == MC_NEED_MEMORY) {
            q->status = record_no_memory(q->record, q->error);
        } else {
            query_damaged(q, why.text);
        }
    }
}

mc_status plan_rows_load(mc_record *record, int64_t plan_n, mc_plan **out, mc_error *error) {
    *out = mc_plan_new();
    if (*out == NULL) {
        return record_no_memory(record, error);
    }
    query q = query_new(record,
                        "SELECT tooth, stage, mesial, buccal, occlusal, rotation, angulation,"
                        " inclination, attachment, ipr_mesial, ipr_distal FROM plan_rows"
                        " WHERE plan_n = ? ORDER BY tooth, stage",
                        error);
    query_put_whole(&q, plan_n);
    while (query_row(&q)) {
        take_row(&q, *out);
    }
    mc_status status = query_end(&q);
    if (status != MC_OK) {
        mc_plan_free(*out);
        *out = NULL;
    }
    return status;
}

/* ---- the start ---- */

/* Whether a tooth has any variance; a NaN counts, so that the table refuses it. */
static bool has_any(const double variance[MC_COMPONENTS]) {
    for (int c = 0; c < MC_COMPONENTS; c++) {
        if (!(variance[c] == 0)) {
            return true;
        }
    }
    return false;
}

mc_status plan_start_add(mc_record *record, int64_t plan_n, const mc_start *start,
                         mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO plan_starts (plan_n, tooth, mesial, buccal, occlusal,"
                        " rotation, angulation, inclination) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                        error);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (!has_any(start->variance[tooth])) {
            continue;
        }
        query_again(&q);
        query_put_whole(&q, plan_n);
        query_put_whole(&q, mc_tooth_iso(tooth));
        for (int c = 0; c < MC_COMPONENTS; c++) {
            query_put_real(&q, start->variance[tooth][c]);
        }
        query_row(&q);
    }
    return query_end(&q);
}

mc_status plan_start_load(mc_record *record, int64_t plan_n, mc_start *out, mc_error *error) {
    memset(out, 0, sizeof *out);
    query q = query_new(record,
                        "SELECT tooth, mesial, buccal, occlusal, rotation, angulation, inclination"
                        " FROM plan_starts WHERE plan_n = ?",
                        error);
    query_put_whole(&q, plan_n);
    while (query_row(&q)) {
        mc_tooth tooth = mc_tooth_from_iso((int)query_take_whole(&q, 0));
        if (tooth == MC_NO_TOOTH) {
            query_damaged(&q, "a plan starts from no tooth");
            break;
        }
        for (int c = 0; c < MC_COMPONENTS; c++) {
            out->variance[tooth][c] = query_take_real(&q);
        }
    }
    return query_end(&q);
}
