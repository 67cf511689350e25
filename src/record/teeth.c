#include "cases.h"

/* teeth: from which day on each tooth of a case is in which state. */

static mc_status last_change(mc_record *record, int64_t case_n, mc_tooth tooth, int64_t *change,
                             mc_day *since, mc_error *error) {
    query q = query_new(record,
                        "SELECT change, since FROM teeth WHERE case_n = ? AND tooth = ?"
                        " ORDER BY change DESC LIMIT 1",
                        error);
    query_put_whole(&q, case_n);
    query_put_whole(&q, mc_tooth_iso(tooth));
    if (query_row(&q)) {
        *change = query_take_whole(&q, 0);
        *since = query_take_day(&q);
    } else {
        query_damaged(&q, "a case lacks a tooth");
    }
    return query_end(&q);
}

mc_status mc_record_set_tooth(mc_record *record, const mc_id *id, mc_tooth tooth,
                              mc_tooth_state state, mc_day from, mc_error *error) {
    case_row found;
    int64_t change = 0;
    mc_day since = MC_NO_DAY;
    char text[11];
    mc_status status = case_find_open(record, id, &found, error);
    if (status == MC_OK && (tooth < 0 || tooth >= MC_TEETH || (unsigned)state >= MC_TOOTH_STATES ||
                            from == MC_NO_DAY)) {
        return mc_fail(error, MC_REFUSED, "a change of a tooth needs a tooth, a state and a day");
    }
    if (status == MC_OK) {
        status = last_change(record, found.n, tooth, &change, &since, error);
    }
    if (status == MC_OK && from < since) {
        mc_day_text(since, text);
        return mc_fail(error, MC_REFUSED, "%s: tooth %d is on record from %s already", found.text,
                       mc_tooth_iso(tooth), text);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(
        record, "INSERT INTO teeth (case_n, tooth, change, since, state) VALUES (?, ?, ?, ?, ?)",
        error);
    query_put_whole(&q, found.n);
    query_put_whole(&q, mc_tooth_iso(tooth));
    query_put_whole(&q, change + 1);
    query_put_day(&q, from);
    query_put_text(&q, mc_tooth_state_name(state));
    return work_settle(record, query_run(&q), error);
}

mc_status mc_record_teeth(mc_record *record, const mc_id *id, mc_day on,
                          mc_tooth_state states[MC_TEETH], mc_error *error) {
    case_row found;
    size_t count = 0;
    char name[16];
    mc_status status = case_find(record, id, &found, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record,
                        "SELECT tooth, change, since, state FROM teeth WHERE case_n = ?"
                        " ORDER BY tooth, change",
                        error);
    query_put_whole(&q, found.n);
    while (query_row(&q)) {
        mc_tooth tooth = mc_tooth_from_iso((int)query_take_whole(&q, 0));
        bool first = query_take_whole(&q, 0) == 1;
        mc_day since = query_take_day(&q);
        if (!first && since > on) {
            continue;
        }
        query_take_text(&q, name, sizeof name);
        if (tooth == MC_NO_TOOTH || !mc_tooth_state_parse(name, &states[tooth])) {
            query_damaged(&q, "a tooth has no state");
            break;
        }
        count += first;
    }
    if (count != MC_TEETH) {
        query_damaged(&q, "a case lacks a tooth");
    }
    return query_end(&q);
}
