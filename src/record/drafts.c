/* What was changed on a case's workbench. */
#include "drafts.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "cases.h"
#include "checkups.h"
#include "digest.h"
#include "words.h"

enum { EDITS_MOST = 8 * 1024 * 1024 };

/* The digest (digest.h) of a draft: label, identity of the check-up, its version, number, edits,
 * by, at. */
static void hash_of(const mc_correction_draft *draft, const mc_id *checkup, char out[65]) {
    digest d;
    digest_begin(&d, "midcourse correction draft 1");
    digest_bytes(&d, checkup->byte, sizeof checkup->byte);
    digest_whole(&d, draft->version);
    digest_whole(&d, draft->number);
    digest_text(&d, draft->edits);
    digest_text(&d, draft->by);
    digest_text(&d, draft->at);
    digest_end_hex(&d, out);
}

/* ---- reading ---- */

#define DRAFT_COLUMNS                                                                              \
    "SELECT d.number, c.number, v.version, d.edits, d.by, d.at, d.hash, c.id, d.case_n = c.case_n" \
    " FROM correction_drafts d JOIN checkup_versions v ON v.n = d.version_n"                       \
    " JOIN checkups c ON c.n = v.checkup_n"

static void take_draft(query *q, mc_correction_draft *out) {
    memset(out, 0, sizeof *out);
    out->number = query_take_whole(q, 0);
    out->checkup = (int)query_take_whole(q, 0);
    out->version = (int)query_take_whole(q, 0);
    out->edits = query_take_long_text(q);
    query_take_text(q, out->by, sizeof out->by);
    query_take_text(q, out->at, sizeof out->at);
    query_take_hash(q, out->hash);
}

mc_status mc_record_kept_draft(mc_record *record, const mc_id *case_id, mc_correction_draft *out,
                               bool *found, mc_error *error) {
    case_row of;
    *out = (mc_correction_draft){0};
    *found = false;
    mc_status status = case_find(record, case_id, &of, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record, DRAFT_COLUMNS " WHERE d.case_n = ?", error);
    query_put_whole(&q, of.n);
    if (query_row(&q)) {
        take_draft(&q, out);
        *found = true;
    }
    status = query_end(&q);
    if (status != MC_OK) {
        free(out->edits);
        *out = (mc_correction_draft){0};
        *found = false;
    }
    return status;
}

/* ---- keeping ---- */

static mc_status check_edits(mc_record *record, const char *edits, mc_error *error) {
    json_error_t why;
    json_t *found = json_loads(edits, JSON_REJECT_DUPLICATES, &why);
    bool array = json_is_array(found);
    bool memory = found == NULL && json_error_code(&why) == json_error_out_of_memory;
    json_decref(found);
    if (memory) {
        return record_no_memory(record, error);
    }
    if (!array || strlen(edits) > EDITS_MOST) {
        return mc_fail(error, MC_REFUSED, "the changes of a draft are no list of at most 8 MiB");
    }
    return MC_OK;
}

/* The version that it starts from, which has to be the newest. */
static mc_status find_version(mc_record *record, const case_row *of,
                              const mc_correction_draft *draft, mc_id *checkup, int64_t *version_n,
                              mc_error *error) {
    checkup_row row;
    int64_t newest = 0;
    mc_status status = checkup_find(record, of->n, of->text, draft->checkup, &row, error);
    if (status != MC_OK) {
        return status;
    }
    *checkup = row.id;
    query q = query_new(record,
                        "SELECT n, version FROM checkup_versions WHERE checkup_n = ?"
                        " ORDER BY version DESC LIMIT 1",
                        error);
    query_put_whole(&q, row.n);
    if (query_row(&q)) {
        *version_n = query_take_whole(&q, 0);
        newest = query_take_whole(&q, 0);
    }
    status = query_end(&q);
    if (status == MC_OK && newest != draft->version) {
        return mc_fail(error, MC_REFUSED, "%s: check-up %d was amended meanwhile", of->text,
                       draft->checkup);
    }
    return status;
}

static mc_status next_number(mc_record *record, int64_t case_n, int64_t *number, mc_error *error) {
    query q = query_new(
        record, "SELECT ifnull(max(number), 0) + 1 FROM correction_drafts WHERE case_n = ?", error);
    query_put_whole(&q, case_n);
    return query_whole(&q, 0, number);
}

static mc_status put_draft(mc_record *record, int64_t case_n, int64_t version_n,
                           const mc_correction_draft *draft, mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO correction_drafts"
                        " (case_n, number, version_n, edits, by, at, hash)"
                        " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)"
                        " ON CONFLICT (case_n) DO UPDATE SET number = ?2, version_n = ?3,"
                        " edits = ?4, by = ?5, at = ?6, hash = ?7",
                        error);
    query_put_whole(&q, case_n);
    query_put_whole(&q, draft->number);
    query_put_whole(&q, version_n);
    query_put_text(&q, draft->edits);
    query_put_text(&q, draft->by);
    query_put_text(&q, draft->at);
    query_put_hash(&q, draft->hash);
    return query_run(&q);
}

mc_status mc_record_keep_draft(mc_record *record, const mc_id *case_id, mc_correction_draft *draft,
                               mc_error *error) {
    case_row of;
    mc_person person;
    mc_id checkup;
    int64_t version_n = 0;
    mc_correction_draft wanted = *draft;
    mc_status status = case_find_open(record, case_id, &of, error);
    if (status == MC_OK) {
        status = mc_record_person(record, draft->by, &person, error);
    }
    if (status == MC_OK) {
        status = check_edits(record, draft->edits, error);
    }
    if (status == MC_OK) {
        status = find_version(record, &of, draft, &checkup, &version_n, error);
    }
    if (status == MC_OK) {
        status = next_number(record, of.n, &wanted.number, error);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    moment_now(wanted.at);
    hash_of(&wanted, &checkup, wanted.hash);
    status = work_settle(record, put_draft(record, of.n, version_n, &wanted, error), error);
    if (status == MC_OK) {
        *draft = wanted;
    }
    return status;
}

/* ---- checking ---- */

mc_status drafts_check(mc_record *record, mc_error *error) {
    query q = query_new(record, DRAFT_COLUMNS " ORDER BY d.case_n", error);
    while (query_row(&q)) {
        mc_correction_draft draft;
        mc_id checkup;
        char hash[65];
        take_draft(&q, &draft);
        query_take_id(&q, &checkup);
        if (q.status == MC_OK) {
            hash_of(&draft, &checkup, hash);
            if (strcmp(hash, draft.hash) != 0 || query_take_whole(&q, 0) != 1) {
                query_damaged(&q, "the draft of a correction was changed");
            }
        }
        free(draft.edits);
    }
    return query_end(&q);
}
