/* Where crowns stood at check-ups. */
#include "arches.h"

#include <stdlib.h>
#include <string.h>

#include "checkups.h"
#include "digest.h"
#include "people.h"
#include "words.h"

/* The digest (digest.h) of a measured arch: label, identity of the check-up, arch, entry, by, at;
 * then each crown in chart order: tooth (ISO 3950), right, anterior, outward, turned, width,
 * thickness. */
static void hash_of(const mc_measured_arch *arch, const mc_id *checkup, char out[65]) {
    digest d;
    digest_begin(&d, "midcourse measured arch 1");
    digest_bytes(&d, checkup->byte, sizeof checkup->byte);
    digest_whole(&d, arch->arch);
    digest_whole(&d, arch->entry);
    digest_text(&d, arch->by);
    digest_text(&d, arch->at);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_crown *crown = &arch->crown[t];
        if (crown->stands) {
            digest_whole(&d, mc_tooth_iso(t));
            digest_real(&d, crown->right);
            digest_real(&d, crown->anterior);
            digest_real(&d, crown->outward_deg);
            digest_real(&d, crown->turned_deg);
            digest_real(&d, crown->width);
            digest_real(&d, crown->thickness);
        }
    }
    digest_end_hex(&d, out);
}

/* ---- adding ---- */

static mc_status check_arch(const mc_measured_arch *arch, mc_error *error) {
    bool any = false;
    if (arch->arch != MC_UPPER && arch->arch != MC_LOWER) {
        return mc_fail(error, MC_REFUSED, "a measured arch is the upper or the lower");
    }
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (arch->crown[t].stands && mc_tooth_arch(t) != arch->arch) {
            return mc_fail(error, MC_REFUSED, "tooth %d is in the other arch", mc_tooth_iso(t));
        }
        any = any || arch->crown[t].stands;
    }
    return any ? MC_OK : mc_fail(error, MC_REFUSED, "a measured arch has a crown");
}

static mc_status next_entry(mc_record *record, int64_t checkup_n, mc_measured_arch *arch,
                            mc_error *error) {
    int64_t entry = 0;
    query q = query_new(record,
                        "SELECT ifnull(max(entry), 0) + 1 FROM measured_arches"
                        " WHERE checkup_n = ? AND arch = ?",
                        error);
    query_put_whole(&q, checkup_n);
    query_put_whole(&q, arch->arch);
    const mc_status status = query_whole(&q, 1, &entry);
    arch->entry = (int)entry;
    return status;
}

static mc_status insert_frame(mc_record *record, int64_t checkup_n, const mc_measured_arch *arch,
                              int64_t *n, mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO measured_arches (checkup_n, arch, entry, by, at)"
                        " VALUES (?, ?, ?, ?, ?)",
                        error);
    query_put_whole(&q, checkup_n);
    query_put_whole(&q, arch->arch);
    query_put_whole(&q, arch->entry);
    query_put_text(&q, arch->by);
    query_put_text(&q, arch->at);
    const mc_status status = query_run(&q);
    *n = sqlite3_last_insert_rowid(record->db);
    return status;
}

static mc_status insert_crowns(mc_record *record, int64_t n, const mc_measured_arch *arch,
                               mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO measured_crowns (arch_n, tooth, to_right, anterior, outward,"
                        " turned, width, thickness) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                        error);
    for (mc_tooth t = 0; q.status == MC_OK && t < MC_TEETH; t++) {
        const mc_crown *crown = &arch->crown[t];
        if (crown->stands) {
            query_again(&q);
            query_put_whole(&q, n);
            query_put_whole(&q, mc_tooth_iso(t));
            query_put_real(&q, crown->right);
            query_put_real(&q, crown->anterior);
            query_put_real(&q, crown->outward_deg);
            query_put_real(&q, crown->turned_deg);
            query_put_real(&q, crown->width);
            query_put_real(&q, crown->thickness);
            query_row(&q);
        }
    }
    return query_end(&q);
}

static mc_status seal(mc_record *record, int64_t n, const char hash[65], mc_error *error) {
    query q = query_new(record, "UPDATE measured_arches SET hash = ? WHERE n = ?", error);
    query_put_hash(&q, hash);
    query_put_whole(&q, n);
    return query_run(&q);
}

static mc_status put_arch(mc_record *record, const checkup_row *checkup,
                          const mc_measured_arch *arch, mc_error *error) {
    int64_t n = 0;
    mc_status status = insert_frame(record, checkup->n, arch, &n, error);
    if (status == MC_OK) {
        status = insert_crowns(record, n, arch, error);
    }
    return status == MC_OK ? seal(record, n, arch->hash, error) : status;
}

mc_status mc_record_add_arch(mc_record *record, const mc_id *case_id, mc_measured_arch *arch,
                             mc_error *error) {
    case_row of;
    checkup_row checkup;
    mc_measured_arch wanted = *arch;
    mc_status status = case_find_open(record, case_id, &of, error);
    if (status == MC_OK) {
        status = checkup_find(record, of.n, of.text, arch->checkup, &checkup, error);
    }
    if (status == MC_OK) {
        status = people_check(record, arch->by, error);
    }
    if (status == MC_OK) {
        status = check_arch(arch, error);
    }
    if (status == MC_OK) {
        status = next_entry(record, checkup.n, &wanted, error);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    wanted.plan = checkup.plan;
    moment_now(wanted.at);
    hash_of(&wanted, &checkup.id, wanted.hash);
    status = work_settle(record, put_arch(record, &checkup, &wanted, error), error);
    if (status == MC_OK) {
        *arch = wanted;
    }
    return status;
}

/* ---- reading ---- */

#define ARCH_COLUMNS                                                                               \
    "SELECT a.n, c.id, p.id, c.number, a.arch, a.entry, a.by, a.at, a.hash"                        \
    " FROM checkups c JOIN measured_arches a ON a.checkup_n = c.n"                                 \
    " JOIN plans p ON p.n = c.plan_n"

static int64_t take_frame(query *q, mc_id *checkup, mc_measured_arch *out) {
    memset(out, 0, sizeof *out);
    const int64_t n = query_take_whole(q, 0);
    query_take_id(q, checkup);
    query_take_id(q, &out->plan);
    out->checkup = (int)query_take_whole(q, 0);
    out->arch = query_take_whole(q, 0) == MC_UPPER ? MC_UPPER : MC_LOWER;
    out->entry = (int)query_take_whole(q, 0);
    query_take_text(q, out->by, sizeof out->by);
    query_take_text(q, out->at, sizeof out->at);
    query_take_hash(q, out->hash);
    return n;
}

static query crowns_query(mc_record *record, mc_error *error) {
    return query_new(record,
                     "SELECT tooth, to_right, anterior, outward, turned, width, thickness"
                     " FROM measured_crowns WHERE arch_n = ?",
                     error);
}

static void load_crowns(query *q, int64_t n, mc_measured_arch *out) {
    query_again(q);
    query_put_whole(q, n);
    while (query_row(q)) {
        const mc_tooth tooth = mc_tooth_from_iso((int)query_take_whole(q, 0));
        if (tooth == MC_NO_TOOTH || mc_tooth_arch(tooth) != out->arch) {
            query_damaged(q, "a measured arch has a tooth that it cannot have");
            break;
        }
        mc_crown *crown = &out->crown[tooth];
        crown->stands = true;
        crown->right = query_take_real(q);
        crown->anterior = query_take_real(q);
        crown->outward_deg = query_take_real(q);
        crown->turned_deg = query_take_real(q);
        crown->width = query_take_real(q);
        crown->thickness = query_take_real(q);
    }
}

/* The next one of a query of ARCH_COLUMNS, whole; false at the end and after any failure. */
static bool next_arch(query *q, query *crowns, mc_id *checkup, mc_measured_arch *out) {
    if (crowns->status != MC_OK || !query_row(q)) {
        return false;
    }
    const int64_t n = take_frame(q, checkup, out);
    load_crowns(crowns, n, out);
    return q->status == MC_OK && crowns->status == MC_OK;
}

static mc_status load_of(mc_record *record, int64_t case_n, mc_measured_arch **out, size_t *count,
                         mc_error *error) {
    mc_id checkup;
    mc_measured_arch arch;
    query crowns = crowns_query(record, error);
    query q = query_new(record,
                        ARCH_COLUMNS " WHERE c.case_n = ? AND a.entry ="
                                     "  (SELECT max(entry) FROM measured_arches"
                                     "   WHERE checkup_n = c.n AND arch = a.arch)"
                                     " ORDER BY c.number, a.arch",
                        error);
    query_put_whole(&q, case_n);
    while (next_arch(&q, &crowns, &checkup, &arch)) {
        mc_measured_arch *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        list[(*count)++] = arch;
    }
    const mc_status of_crowns = query_end(&crowns), status = query_end(&q);
    return status != MC_OK ? status : of_crowns;
}

mc_status mc_record_measured_arches(mc_record *record, const mc_id *case_id, mc_measured_arch **out,
                                    size_t *count, mc_error *error) {
    case_row of;
    *out = NULL;
    *count = 0;
    mc_status status = mc_record_begin_reading(record, error);
    if (status != MC_OK) {
        return status;
    }
    status = case_find(record, case_id, &of, error);
    if (status == MC_OK) {
        status = load_of(record, of.n, out, count, error);
    }
    mc_record_end_reading(record);
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    return status;
}

/* ---- checking ---- */

mc_status arches_check(mc_record *record, mc_error *error) {
    mc_id checkup;
    mc_measured_arch arch;
    query crowns = crowns_query(record, error);
    query q = query_new(record, ARCH_COLUMNS " ORDER BY a.n", error);
    while (next_arch(&q, &crowns, &checkup, &arch)) {
        char hash[65];
        hash_of(&arch, &checkup, hash);
        if (strcmp(hash, arch.hash) != 0) {
            query_damaged(&q, "a measured arch was changed");
        }
    }
    const mc_status of_crowns = query_end(&crowns), status = query_end(&q);
    return status != MC_OK ? status : of_crowns;
}
