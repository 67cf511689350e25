/* told: rows that were taken out whole leave no wrong hash behind. The journal does: most entries
 * name the hash of what was made, and of the rest it is known how many there are. */
#include "told.h"

typedef struct claim {
    const char *sql;   /* a row for every case that lacks something */
    const char *fault; /* what to say then */
} claim;

static const claim claims[] = {
    {"SELECT told FROM (SELECT coalesce(json_extract(detail, '$.evidence'),"
     " json_extract(detail, '$.hash')) AS told FROM journal) WHERE told IS NOT NULL AND told NOT IN"
     " (SELECT lower(hex(hash)) FROM decisions UNION ALL SELECT lower(hex(hash)) FROM plans"
     "  UNION ALL SELECT lower(hex(hash)) FROM measured_arches WHERE hash IS NOT NULL"
     "  UNION ALL SELECT lower(hex(hash)) FROM plan_events) LIMIT 1",
     "something that the journal tells of was taken out"},
    {"SELECT j.case_id FROM journal j WHERE j.action = 'correction drafted' AND j.case_id NOT IN"
     " (SELECT c.id FROM correction_drafts d JOIN cases c ON c.n = d.case_n) LIMIT 1",
     "the draft of a correction was taken out"},
    {"SELECT t.case_id FROM (SELECT case_id, count(*) AS told FROM journal"
     "  WHERE action IN ('check-up completed', 'check-up amended')"
     "  AND json_extract(detail, '$.version') IS NOT NULL GROUP BY case_id) t"
     " WHERE t.told > (SELECT count(*) FROM checkup_versions v JOIN checkups k ON k.n = v.checkup_n"
     "  JOIN cases c ON c.n = k.case_n WHERE c.id = t.case_id) LIMIT 1",
     "a check-up was taken out"},
};

mc_status told_check(mc_record *record, mc_error *error) {
    mc_status status = MC_OK;
    for (size_t i = 0; status == MC_OK && i < sizeof claims / sizeof claims[0]; i++) {
        query q = query_new(record, claims[i].sql, error);
        if (query_row(&q)) {
            query_damaged(&q, claims[i].fault);
        }
        status = query_end(&q);
    }
    return status;
}
