/* plan_events: what happened to a corrected plan between its signature and its first aligner, and
 * the days that follow from it. */
#include <stdlib.h>
#include <string.h>

#include "cases.h"
#include "checkups.h"
#include "digest.h"
#include "people.h"
#include "plans.h"
#include "words.h"

static const char *const names[MC_PLAN_EVENTS] = {"ordered", "expected", "delivered", "begun"};

/* ---- what follows from it ---- */

static void settle_from(mc_plan_info *info) {
    info->worn_from = MC_NO_DAY;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const mc_day first = info->first[arch];
        if (first != MC_NO_DAY && (info->worn_from == MC_NO_DAY || first < info->worn_from)) {
            info->worn_from = first;
        }
    }
    if (info->worn_from == MC_NO_DAY) {
        info->worn_from = info->start;
    }
}

void plan_events_none(mc_plan_info *info) {
    info->ordered = info->delivered = MC_NO_DAY;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        info->first[arch] = info->interval[arch] > 0 ? info->start : MC_NO_DAY;
        info->begun[arch] = false;
    }
    settle_from(info);
}

/* Take one in, the next after those before it. */
static void take_in(mc_plan_info *info, const mc_plan_event *event) {
    if (event->what == MC_PLAN_ORDERED) {
        info->ordered = event->day;
    }
    if (event->what == MC_PLAN_DELIVERED) {
        info->delivered = event->day;
    }
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        if (event->first[arch] != MC_NO_DAY && info->interval[arch] > 0) {
            info->first[arch] = event->first[arch];
            info->begun[arch] = event->what == MC_PLAN_BEGUN;
        }
    }
    settle_from(info);
}

/* ---- reading ---- */

#define EVENT_COLUMNS "e.number, e.what, e.day, e.upper, e.lower, e.by, e.at, e.hash"

static void take_event(query *q, mc_plan_event *out) {
    char name[16];
    memset(out, 0, sizeof *out);
    out->number = (int)query_take_whole(q, 0);
    query_take_text(q, name, sizeof name);
    out->day = query_take_day(q);
    out->first[MC_UPPER] = query_take_day(q);
    out->first[MC_LOWER] = query_take_day(q);
    query_take_text(q, out->by, sizeof out->by);
    query_take_text(q, out->at, sizeof out->at);
    query_take_hash(q, out->hash);
    out->what = MC_PLAN_EVENTS;
    for (int i = 0; i < MC_PLAN_EVENTS; i++) {
        if (strcmp(name, names[i]) == 0) {
            out->what = (mc_plan_event_what)i;
        }
    }
    if (q->status == MC_OK && out->what == MC_PLAN_EVENTS) {
        query_damaged(q, "something unknown happened to a plan");
    }
}

mc_status plan_events_fill(mc_record *record, int64_t case_n, mc_plan_info *list, size_t count,
                           mc_error *error) {
    bool corrected = false; /* nothing happens to others, so most cases are not asked about */
    for (size_t i = 0; i < count; i++) {
        plan_events_none(&list[i]);
        corrected = corrected || list[i].made_from != 0;
    }
    if (!corrected) {
        return MC_OK;
    }
    query q = query_new(record,
                        "SELECT " EVENT_COLUMNS ", p.number FROM plan_events e"
                        " JOIN plans p ON p.n = e.plan_n WHERE p.case_n = ?"
                        " ORDER BY e.plan_n, e.number",
                        error);
    query_put_whole(&q, case_n);
    while (query_row(&q)) {
        mc_plan_event event;
        take_event(&q, &event);
        const int number = (int)query_take_whole(&q, 0);
        for (size_t i = 0; q.status == MC_OK && i < count; i++) {
            if (list[i].number == number) {
                take_in(&list[i], &event);
            }
        }
    }
    return query_end(&q);
}

mc_status plan_turn_of(mc_record *record, int64_t case_n, plan_turn *out, mc_error *error) {
    mc_plan_info info = {.start = MC_NO_DAY};
    *out = (plan_turn){.from = MC_NO_DAY};
    query q = query_new(record,
                        "SELECT a.n, c.plan_n, a.number, a.start, a.upper_interval,"
                        " a.lower_interval, a.made_from FROM plans a LEFT JOIN checkups c"
                        " ON c.case_n = a.case_n AND c.number = a.made_from"
                        " WHERE a.case_n = ? AND a.status = 'active'",
                        error);
    query_put_whole(&q, case_n);
    if (query_row(&q)) {
        out->active_n = query_take_whole(&q, 0);
        out->worn_n = query_take_whole(&q, 0);
        info.number = (int)query_take_whole(&q, 0);
        info.start = query_take_day(&q);
        info.interval[MC_UPPER] = (int)query_take_whole(&q, 0);
        info.interval[MC_LOWER] = (int)query_take_whole(&q, 0);
        info.made_from = (int)query_take_whole(&q, 0);
    }
    mc_status status = query_end(&q);
    if (status == MC_OK && out->active_n != 0) {
        status = plan_events_fill(record, case_n, &info, 1, error);
        out->from = info.worn_from;
    }
    return status;
}

static mc_status load(mc_record *record, int64_t plan_n, mc_plan_event **out, size_t *count,
                      mc_error *error) {
    query q = query_new(record,
                        "SELECT " EVENT_COLUMNS " FROM plan_events e WHERE e.plan_n = ?"
                        " ORDER BY e.number",
                        error);
    query_put_whole(&q, plan_n);
    while (query_row(&q)) {
        mc_plan_event *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        take_event(&q, &list[*count]);
        ++*count;
    }
    return query_end(&q);
}

mc_status mc_record_plan_events(mc_record *record, const mc_id *plan_id, mc_plan_event **out,
                                size_t *count, mc_error *error) {
    plan_row found;
    *out = NULL;
    *count = 0;
    mc_status status = plan_find(record, plan_id, &found, error);
    if (status == MC_OK) {
        status = load(record, found.n, out, count, error);
    }
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    return status;
}

/* ---- keeping ---- */

static const char *day_of(mc_day day, char text[11]) {
    if (day == MC_NO_DAY) {
        return NULL;
    }
    mc_day_text(day, text);
    return text;
}

/* The digest (digest.h) of an event: label, identity of the plan, number, what, day, first day of
 * the upper and of the lower arch (absent: not said), by, at. */
static void hash_of(const mc_id *plan, const mc_plan_event *event, char out[65]) {
    char text[11];
    digest d;
    digest_begin(&d, "midcourse plan event 1");
    digest_bytes(&d, plan->byte, sizeof plan->byte);
    digest_whole(&d, event->number);
    digest_text(&d, names[event->what]);
    digest_text(&d, day_of(event->day, text));
    digest_text(&d, day_of(event->first[MC_UPPER], text));
    digest_text(&d, day_of(event->first[MC_LOWER], text));
    digest_text(&d, event->by);
    digest_text(&d, event->at);
    digest_end_hex(&d, out);
}

static mc_status insert(mc_record *record, int64_t plan_n, const mc_plan_event *event,
                        mc_error *error) {
    query q = query_new(record,
                        "INSERT INTO plan_events (plan_n, number, what, day, upper, lower, by, at,"
                        " hash) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                        error);
    query_put_whole(&q, plan_n);
    query_put_whole(&q, event->number);
    query_put_text(&q, names[event->what]);
    query_put_day(&q, event->day);
    query_put_day(&q, event->first[MC_UPPER]);
    query_put_day(&q, event->first[MC_LOWER]);
    query_put_text(&q, event->by);
    query_put_text(&q, event->at);
    query_put_hash(&q, event->hash);
    return query_run(&q);
}

/* Its case, which must be open and have no check-up being entered. */
static mc_status check_case(mc_record *record, int64_t case_n, mc_error *error) {
    mc_id id;
    case_row found;
    memset(&id, 0, sizeof id);
    query q = query_new(record, "SELECT id FROM cases WHERE n = ?", error);
    query_put_whole(&q, case_n);
    if (query_row(&q)) {
        query_take_id(&q, &id);
    }
    mc_status status = query_end(&q);
    if (status == MC_OK) {
        status = case_find_open(record, &id, &found, error);
    }
    return status == MC_OK ? checkup_none_open(record, &found, error) : status;
}

static mc_status check_event(mc_record *record, const plan_row *plan, const mc_plan_event *event,
                             mc_error *error) {
    plan_turn turn;
    if ((unsigned)event->what >= MC_PLAN_EVENTS || event->day == MC_NO_DAY) {
        return mc_fail(error, MC_REFUSED, "what happens to a plan has a day");
    }
    mc_status status = check_case(record, plan->case_n, error);
    if (status == MC_OK) {
        status = plan_turn_of(record, plan->case_n, &turn, error);
    }
    if (status == MC_OK && (plan->n != turn.active_n || turn.worn_n == 0)) {
        return mc_fail(error, MC_REFUSED, "plan %d is not a corrected plan that is in force",
                       plan->number);
    }
    return status == MC_OK ? people_check(record, event->by, error) : status;
}

static mc_status next_number(mc_record *record, int64_t plan_n, int *out, mc_error *error) {
    int64_t last = 0;
    query q = query_new(record, "SELECT max(number) FROM plan_events WHERE plan_n = ?", error);
    query_put_whole(&q, plan_n);
    mc_status status = query_whole(&q, 0, &last);
    *out = (int)last + 1;
    return status;
}

mc_status mc_record_add_plan_event(mc_record *record, const mc_id *plan_id, mc_plan_event *event,
                                   mc_error *error) {
    plan_row found;
    mc_plan_event wanted = *event;
    mc_status status = plan_find(record, plan_id, &found, error);
    if (status == MC_OK) {
        status = check_event(record, &found, &wanted, error);
    }
    if (status == MC_OK) {
        status = next_number(record, found.n, &wanted.number, error);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    moment_now(wanted.at);
    hash_of(plan_id, &wanted, wanted.hash);
    status = work_settle(record, insert(record, found.n, &wanted, error), error);
    if (status == MC_OK) {
        *event = wanted;
    }
    return status;
}

/* ---- checking ---- */

static mc_status check_one(query *q, int *last, mc_id *of) {
    mc_plan_event event;
    mc_id plan;
    char hash[65], id[33];
    take_event(q, &event);
    query_take_id(q, &plan);
    if (q->status != MC_OK) {
        return q->status;
    }
    const int expected = mc_id_same(&plan, of) ? *last + 1 : 1;
    hash_of(&plan, &event, hash);
    mc_id_text(&plan, id);
    *last = event.number;
    *of = plan;
    if (strcmp(hash, event.hash) != 0 || event.number != expected) {
        return mc_fail(q->error, MC_DAMAGED,
                       "%.400s: is damaged: when plan %s was delivered or begun was changed",
                       q->record->path, id);
    }
    return MC_OK;
}

mc_status plan_events_check(mc_record *record, mc_error *error) {
    query q = query_new(record,
                        "SELECT " EVENT_COLUMNS ", p.id FROM plan_events e"
                        " JOIN plans p ON p.n = e.plan_n ORDER BY e.plan_n, e.number",
                        error);
    int last = 0;
    mc_id of;
    memset(&of, 0, sizeof of);
    while (query_row(&q)) {
        q.status = check_one(&q, &last, &of);
    }
    return query_end(&q);
}
