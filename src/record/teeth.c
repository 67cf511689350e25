#include "cases.h"

#include <stdlib.h>

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

/* Room for one more; false where there is no memory. */
static bool make_room(mc_tooth_change **list, size_t count, size_t *room) {
    if (count < *room) {
        return true;
    }
    *room = *room > 0 ? 2 * *room : MC_TEETH;
    mc_tooth_change *more = realloc(*list, *room * sizeof *more);
    if (more == NULL) {
        return false;
    }
    *list = more;
    return true;
}

mc_status mc_record_tooth_changes(mc_record *record, const mc_id *id, mc_tooth_change **out,
                                  size_t *count, mc_error *error) {
    case_row found;
    size_t room = 0, teeth = 0;
    char name[16];
    *out = NULL;
    *count = 0;
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
        mc_tooth_change change = {.tooth = mc_tooth_from_iso((int)query_take_whole(&q, 0))};
        change.first = query_take_whole(&q, 0) == 1;
        change.since = query_take_day(&q);
        query_take_text(&q, name, sizeof name);
        if (change.tooth == MC_NO_TOOTH || !mc_tooth_state_parse(name, &change.state)) {
            query_damaged(&q, "a tooth has no state");
            break;
        }
        if (!make_room(out, *count, &room)) {
            q.status = record_no_memory(record, error);
            break;
        }
        (*out)[(*count)++] = change;
        teeth += change.first;
    }
    if (teeth != MC_TEETH) {
        query_damaged(&q, "a case lacks a tooth");
    }
    status = query_end(&q);
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    return status;
}

void mc_teeth_on(const mc_tooth_change *changes, size_t count, mc_day on,
                 mc_tooth_state states[MC_TEETH]) {
    for (size_t i = 0; i < count; i++) {
        if (changes[i].first || changes[i].since <= on) {
            states[changes[i].tooth] = changes[i].state;
        }
    }
}

mc_status mc_record_teeth(mc_record *record, const mc_id *id, mc_day on,
                          mc_tooth_state states[MC_TEETH], mc_error *error) {
    mc_tooth_change *changes;
    size_t count;
    mc_status status = mc_record_tooth_changes(record, id, &changes, &count, error);
    if (status == MC_OK) {
        mc_teeth_on(changes, count, on, states);
    }
    free(changes);
    return status;
}
