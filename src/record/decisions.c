#include "decisions.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "cases.h"
#include "checkups.h"
#include "digest.h"
#include "plans.h"
#include "words.h"

enum { REASON_MOST = 500, ALL_CHOICES = (1 << MC_CHOICES) - 1, LONGEST_HOLD = 365 };

void mc_decision_free(mc_decision *list, size_t count) {
    for (size_t i = 0; i < count; i++) {
        free(list[i].evidence);
    }
    free(list);
}

static const char *cause_of(mc_cause cause) {
    return cause == MC_CAUSE_NONE ? NULL : mc_cause_name(cause);
}

/* The digest (digest.h) of a decision: label, identities of decision and check-up, choices (bits),
 * days, aligner to go back to (-1: none), cause (absent: none), reason, the identity of the plan it
 * opened (16 zero bytes: none), by, at, evidence, the hash of the plan seen. */
static void hash_of(const mc_decision *decision, const mc_id *checkup, const char seen[65],
                    char out[65]) {
    digest d;
    digest_begin(&d, "midcourse decision 1");
    digest_bytes(&d, decision->id.byte, sizeof decision->id.byte);
    digest_bytes(&d, checkup->byte, sizeof checkup->byte);
    digest_whole(&d, decision->choices);
    digest_whole(&d, decision->days);
    digest_whole(&d, decision->to);
    digest_text(&d, cause_of(decision->cause));
    digest_text(&d, decision->reason);
    digest_bytes(&d, decision->plan.byte, sizeof decision->plan.byte);
    digest_text(&d, decision->by);
    digest_text(&d, decision->at);
    digest_text(&d, decision->evidence);
    digest_text(&d, seen);
    digest_end_hex(&d, out);
}

/* ---- loading ---- */

#define SAID_COLUMNS                                                                               \
    "SELECT d.id, c.number, d.choices, d.days, d.to_aligner, d.cause, d.reason, p.id, d.by, d.at"
#define DECISION_TABLES                                                                            \
    " FROM decisions d JOIN checkups c ON c.n = d.checkup_n LEFT JOIN plans p ON p.n = d.plan_n"
#define DECISION_COLUMNS                                                                           \
    SAID_COLUMNS ", d.evidence, d.hash, c.id, d.seen_plan_hash, s.hash" DECISION_TABLES            \
                 " JOIN plans s ON s.n = c.plan_n"
#define OF_CASE " WHERE c.case_n = ? ORDER BY d.n"

static mc_cause take_cause(query *q) {
    char name[16];
    mc_cause cause = MC_CAUSE_NONE;
    query_take_text(q, name, sizeof name);
    if (name[0] != '\0' && !mc_cause_parse(name, &cause)) {
        query_damaged(q, "a decision has an unknown cause");
    }
    return cause;
}

static void take_said(query *q, mc_decision *out) {
    memset(out, 0, sizeof *out);
    query_take_id(q, &out->id);
    out->checkup = (int)query_take_whole(q, 0);
    out->choices = (unsigned)query_take_whole(q, 0);
    out->days = (int)query_take_whole(q, 0);
    out->to = (int)query_take_whole(q, -1);
    out->cause = take_cause(q);
    query_take_text(q, out->reason, sizeof out->reason);
    query_take_id(q, &out->plan);
    query_take_text(q, out->by, sizeof out->by);
    query_take_text(q, out->at, sizeof out->at);
}

static void take_decision(query *q, mc_decision *out) {
    take_said(q, out);
    out->evidence = query_take_long_text(q);
    query_take_hash(q, out->hash);
}

static mc_status load_decisions(mc_record *record, const char *sql,
                                void (*take)(query *, mc_decision *), const mc_id *case_id,
                                mc_decision **out, size_t *count, mc_error *error) {
    case_row found;
    *out = NULL;
    *count = 0;
    mc_status status = case_find(record, case_id, &found, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record, sql, error);
    query_put_whole(&q, found.n);
    while (query_row(&q)) {
        mc_decision *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        take(&q, &list[*count]);
        ++*count;
    }
    status = query_end(&q);
    if (status != MC_OK) {
        mc_decision_free(*out, *count);
        *out = NULL;
        *count = 0;
    }
    return status;
}

mc_status mc_record_decisions(mc_record *record, const mc_id *case_id, mc_decision **out,
                              size_t *count, mc_error *error) {
    return load_decisions(record, DECISION_COLUMNS OF_CASE, take_decision, case_id, out, count,
                          error);
}

mc_status mc_record_decisions_said(mc_record *record, const mc_id *case_id, mc_decision **out,
                                   size_t *count, mc_error *error) {
    return load_decisions(record, SAID_COLUMNS DECISION_TABLES OF_CASE, take_said, case_id, out,
                          count, error);
}

/* ---- signing ---- */

static mc_status check_evidence(mc_record *record, const char *evidence, mc_error *error) {
    json_error_t why;
    json_t *found = evidence != NULL ? json_loads(evidence, JSON_REJECT_DUPLICATES, &why) : NULL;
    bool object = json_is_object(found);
    bool memory =
        evidence != NULL && found == NULL && json_error_code(&why) == json_error_out_of_memory;
    json_decref(found);
    if (memory) {
        return record_no_memory(record, error);
    }
    return object ? MC_OK : mc_fail(error, MC_REFUSED, "the evidence is no JSON object");
}

static mc_status check_choices(const mc_decision *decision, mc_error *error) {
    bool hold = (decision->choices & 1u << MC_HOLD) != 0;
    bool back = (decision->choices & 1u << MC_GO_BACK) != 0;
    if (decision->choices == 0 || decision->choices > ALL_CHOICES) {
        return mc_fail(error, MC_REFUSED, "a decision needs a choice");
    }
    if (decision->days < 0 || decision->days > LONGEST_HOLD || (decision->days > 0 && !hold)) {
        return mc_fail(error, MC_REFUSED, "days belong to a hold, 1 to %d", LONGEST_HOLD);
    }
    if (decision->to < -1 || decision->to > MC_MOST_STAGES || (decision->to >= 0 && !back)) {
        return mc_fail(error, MC_REFUSED, "an aligner belongs to a go-back, 0 to %d",
                       MC_MOST_STAGES);
    }
    if ((unsigned)decision->cause > MC_CAUSE_UNKNOWN) {
        return mc_fail(error, MC_REFUSED, "a decision has no such cause");
    }
    return MC_OK;
}

static mc_status check_signer(mc_record *record, const char *by, mc_error *error) {
    mc_person person;
    mc_status status = mc_record_person(record, by, &person, error);
    if (status == MC_OK && person.role != MC_DOCTOR) {
        return mc_fail(error, MC_REFUSED, "%s is no doctor; only a doctor signs", person.initials);
    }
    return status;
}

static mc_status check_decision(mc_record *record, const mc_decision *decision, mc_error *error) {
    mc_status status = check_choices(decision, error);
    if (status == MC_OK && decision->reason[0] != '\0') {
        status = text_check("reason", decision->reason, REASON_MOST, true, error);
    }
    if (status == MC_OK) {
        status = check_evidence(record, decision->evidence, error);
    }
    return status == MC_OK ? check_signer(record, decision->by, error) : status;
}

/* What a decision hangs on. */
typedef struct ground {
    checkup_row checkup;
    int64_t opened_n; /* the plan it opened; 0: none */
    char seen[65];    /* hash of the plan that the check-up was on */
} ground;

static mc_status find_ground(mc_record *record, const case_row *of, const mc_decision *decision,
                             ground *out, mc_error *error) {
    plan_row opened, on;
    mc_status status =
        checkup_find(record, of->n, of->text, decision->checkup, &out->checkup, error);
    if (status == MC_OK) {
        status = plan_find(record, &out->checkup.plan, &on, error);
    }
    if (status != MC_OK) {
        return status;
    }
    strcpy(out->seen, on.hash);
    out->opened_n = 0;
    if (!mc_id_is_none(&decision->plan)) {
        status = plan_find(record, &decision->plan, &opened, error);
        if (status == MC_OK && opened.case_n != of->n) {
            return mc_fail(error, MC_REFUSED, "%s has no such plan", of->text);
        }
        out->opened_n = opened.n;
    }
    return status;
}

static mc_status insert_decision(mc_record *record, const ground *on, const mc_decision *decision,
                                 mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO decisions (id, checkup_n, choices, days, to_aligner, cause,"
                        " reason, plan_n, by, at, evidence, seen_plan_hash, hash)"
                        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                        error);
    query_put_id(&q, &decision->id);
    query_put_whole(&q, on->checkup.n);
    query_put_whole(&q, decision->choices);
    query_put_whole_unless(&q, decision->days, 0);
    query_put_whole_unless(&q, decision->to, -1);
    query_put_text(&q, cause_of(decision->cause));
    query_put_text_or_null(&q, decision->reason);
    query_put_whole_unless(&q, on->opened_n, 0);
    query_put_text(&q, decision->by);
    query_put_text(&q, decision->at);
    query_put_text(&q, decision->evidence);
    query_put_hash(&q, on->seen);
    query_put_hash(&q, decision->hash);
    return query_run(&q);
}

mc_status mc_record_add_decision(mc_record *record, const mc_id *case_id, mc_decision *decision,
                                 mc_error *error) {
    case_row found;
    ground on;
    mc_decision wanted = *decision;
    mc_status status = case_find_open(record, case_id, &found, error);
    if (status == MC_OK) {
        status = check_decision(record, decision, error);
    }
    if (status == MC_OK) {
        status = checkup_none_open(record, &found, error);
    }
    if (status == MC_OK) {
        status = find_ground(record, &found, decision, &on, error);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    wanted.id = id_new();
    moment_now(wanted.at);
    hash_of(&wanted, &on.checkup.id, on.seen, wanted.hash);
    status = work_settle(record, insert_decision(record, &on, &wanted, error), error);
    if (status == MC_OK) {
        *decision = wanted;
    }
    return status;
}

/* ---- checking ---- */

static mc_status check_one(query *q, const mc_decision *decision) {
    mc_id checkup;
    char seen[65], now[65], hash[65], id[33];
    query_take_id(q, &checkup);
    query_take_hash(q, seen);
    query_take_hash(q, now);
    if (q->status != MC_OK) {
        return q->status;
    }
    hash_of(decision, &checkup, seen, hash);
    mc_id_text(&decision->id, id);
    if (strcmp(hash, decision->hash) != 0) {
        return mc_fail(q->error, MC_DAMAGED, "%.400s: is damaged: decision %s was changed",
                       q->record->path, id);
    }
    if (strcmp(seen, now) != 0) {
        return mc_fail(q->error, MC_DAMAGED,
                       "%.400s: is damaged: the plan that decision %s saw was changed",
                       q->record->path, id);
    }
    return MC_OK;
}

mc_status decisions_check(mc_record *record, mc_error *error) {
    query q = query_new(record, DECISION_COLUMNS " ORDER BY d.n", error);
    while (query_row(&q)) {
        mc_decision decision;
        take_decision(&q, &decision);
        if (q.status == MC_OK) {
            q.status = check_one(&q, &decision);
        }
        free(decision.evidence);
    }
    return query_end(&q);
}
