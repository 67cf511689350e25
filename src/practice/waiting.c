/* A corrected series on its way: its delivery, and the first day of each arch. */
#include "practice.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const ARCHES[MC_ARCHES] = {"upper", "lower"};

/* A corrected plan and what was read around it. */
typedef struct {
    mc_plan_info plan;
    mc_day signed_on; /* where that was not recorded, the day of the check-up it was made from */
    mc_checkup_info *checkups;
    size_t count;
} order;

static mc_status find_order(mc_practice *practice, const mc_case *kase, order *out,
                            mc_error *error) {
    *out = (order){0};
    mc_status status = mc_active_plan(practice, kase, &out->plan, NULL, error);
    if (status == MC_OK && mc_id_is_none(&out->plan.corrects))
        status = mc_fail(error, MC_REFUSED,
                         "case %s has no corrected series: only one that a signed correction "
                         "ordered is delivered and begun",
                         kase->chart);
    if (status == MC_OK)
        status = mc_record_checkups(practice->record, &kase->id, false, &out->checkups, &out->count,
                                    error);
    out->signed_on = out->plan.ordered;
    for (size_t i = 0; i < out->count && out->signed_on == MC_NO_DAY; i++)
        if (out->checkups[i].checkup.number == out->plan.made_from)
            out->signed_on = out->checkups[i].checkup.date;
    return status;
}

static bool is_on(const order *o, const mc_checkup_info *c) {
    return mc_id_same(&c->plan, &o->plan.id);
}

/* ---- what cannot be ---- */

static mc_status check_after_signing(const order *o, mc_day day, mc_error *error) {
    char given[11], signed_on[11];
    if (day >= o->signed_on)
        return MC_OK;
    mc_day_text(day, given);
    mc_day_text(o->signed_on, signed_on);
    return mc_fail(error, MC_REFUSED, "%s is before plan %d was ordered, on %s", given,
                   o->plan.number, signed_on);
}

static mc_status check_not_beyond(mc_day day, mc_day last, int days, mc_error *error) {
    char given[11];
    if (day <= last)
        return MC_OK;
    mc_day_text(day, given);
    return days == 0
               ? mc_fail(error, MC_REFUSED, "%s is after today", given)
               : mc_fail(error, MC_REFUSED, "%s is more than %d days from today", given, days);
}

static mc_status check_some(const order *o, const mc_day first[MC_ARCHES], mc_error *error) {
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (first[arch] != MC_NO_DAY && o->plan.first[arch] == MC_NO_DAY)
            return mc_fail(error, MC_REFUSED, "the %s arch has no series in plan %d", ARCHES[arch],
                           o->plan.number);
    if (first[MC_UPPER] == MC_NO_DAY && first[MC_LOWER] == MC_NO_DAY)
        return mc_fail(error, MC_REFUSED, "no day is said");
    return MC_OK;
}

/* What check-ups on the new plan say against another first day of an arch. */
static mc_status check_seen(const order *o, int arch, mc_day first, mc_error *error) {
    char day[11];
    for (size_t i = 0; i < o->count; i++) {
        const mc_checkup *c = &o->checkups[i].checkup;
        if (!is_on(o, &o->checkups[i]))
            continue;
        mc_day_text(c->date, day);
        if (c->aligner[arch] > 0)
            return mc_fail(error, MC_REFUSED,
                           "check-up %d of %s found %s aligner %d of plan %d worn: it has begun",
                           c->number, day, ARCHES[arch], c->aligner[arch], o->plan.number);
        if (c->aligner[arch] == 0 && first < c->date)
            return mc_fail(error, MC_REFUSED,
                           "check-up %d found no %s aligner of plan %d begun on %s", c->number,
                           ARCHES[arch], o->plan.number, day);
    }
    return MC_OK;
}

/* Check-ups before the plan's first day are on the old plan, those after it on the new one. */
static mc_status check_sides(const order *o, const mc_day first[MC_ARCHES], mc_error *error) {
    mc_day from = MC_NO_DAY;
    char day[11];
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const mc_day its = first[arch] != MC_NO_DAY ? first[arch] : o->plan.first[arch];
        if (its != MC_NO_DAY && (from == MC_NO_DAY || its < from))
            from = its;
    }
    for (size_t i = 0; i < o->count; i++) {
        const mc_checkup *c = &o->checkups[i].checkup;
        mc_day_text(c->date, day);
        if (!is_on(o, &o->checkups[i]) && c->date > from)
            return mc_fail(
                error, MC_REFUSED,
                "check-up %d of %s was read on the old series, so plan %d begins on that "
                "day at the earliest",
                c->number, day, o->plan.number);
        if (is_on(o, &o->checkups[i]) && c->date < from)
            return mc_fail(error, MC_REFUSED,
                           "check-up %d of %s was read on plan %d, so it begins on that day at the "
                           "latest",
                           c->number, day, o->plan.number);
    }
    return MC_OK;
}

static mc_status check_first(const order *o, const mc_day first[MC_ARCHES], mc_day today, int days,
                             mc_error *error) {
    mc_status status = check_some(o, first, error);
    for (int arch = 0; arch < MC_ARCHES && status == MC_OK; arch++) {
        if (first[arch] == MC_NO_DAY)
            continue;
        status = check_after_signing(o, first[arch], error);
        if (status == MC_OK)
            status = check_not_beyond(first[arch], today + days, days, error);
        if (status == MC_OK)
            status = check_seen(o, arch, first[arch], error);
    }
    return status == MC_OK ? check_sides(o, first, error) : status;
}

static mc_status check_delivered(const order *o, const mc_day first[MC_ARCHES], mc_error *error) {
    char day[11], given[11];
    if (o->plan.delivered == MC_NO_DAY)
        return mc_fail(error, MC_REFUSED, "plan %d is not recorded as delivered: record that first",
                       o->plan.number);
    mc_day_text(o->plan.delivered, day);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (first[arch] != MC_NO_DAY && first[arch] < o->plan.delivered) {
            mc_day_text(first[arch], given);
            return mc_fail(error, MC_REFUSED, "%s is before plan %d was delivered, on %s", given,
                           o->plan.number, day);
        }
    return MC_OK;
}

/* Days on which nothing is expected any more, or which have gone by. */
static mc_status check_expected(const order *o, const mc_day first[MC_ARCHES], mc_day today,
                                mc_error *error) {
    char day[11];
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        if (first[arch] == MC_NO_DAY)
            continue;
        if (o->plan.begun[arch]) {
            mc_day_text(o->plan.first[arch], day);
            return mc_fail(error, MC_REFUSED, "the %s first day is recorded already: %s",
                           ARCHES[arch], day);
        }
        mc_day_text(first[arch], day);
        if (first[arch] < today)
            return mc_fail(error, MC_REFUSED, "%s has gone by: expected is a day to come", day);
    }
    return MC_OK;
}

static mc_status check_delivery(const order *o, mc_day day, mc_day today, mc_error *error) {
    char first[11];
    mc_status status = check_after_signing(o, day, error);
    if (status == MC_OK)
        status = check_not_beyond(day, today, 0, error);
    for (int arch = 0; arch < MC_ARCHES && status == MC_OK; arch++)
        if (o->plan.begun[arch] && o->plan.first[arch] < day) {
            mc_day_text(o->plan.first[arch], first);
            status = mc_fail(error, MC_REFUSED,
                             "the %s aligners of plan %d were begun on %s, before that day",
                             ARCHES[arch], o->plan.number, first);
        }
    return status;
}

/* ---- recording ---- */

static json_t *describe(const order *o, const mc_plan_event *event) {
    char day[11];
    json_t *detail = json_pack("{s:i, s:s}", "plan", o->plan.number, "hash", event->hash);
    if (event->what == MC_PLAN_DELIVERED) {
        mc_day_text(event->day, day);
        detail = mc_json_with(detail, "day", json_string(day));
    }
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (event->first[arch] != MC_NO_DAY) {
            mc_day_text(event->first[arch], day);
            detail = mc_json_with(detail, ARCHES[arch], json_string(day));
        }
    return detail;
}

static mc_status check(const order *o, const mc_plan_event *event, mc_day today, mc_error *error) {
    mc_status status = MC_OK;
    if (event->what == MC_PLAN_DELIVERED)
        return check_delivery(o, event->day, today, error);
    status = check_some(o, event->first, error);
    if (status == MC_OK)
        status = event->what == MC_PLAN_BEGUN ? check_delivered(o, event->first, error)
                                              : check_expected(o, event->first, today, error);
    return status == MC_OK
               ? check_first(o, event->first, today,
                             event->what == MC_PLAN_BEGUN ? MC_MOST_AHEAD : MC_LATEST_START, error)
               : status;
}

static mc_status record(mc_practice *practice, const mc_case *kase, mc_plan_event *event,
                        const char *action, mc_error *error) {
    order o;
    mc_status status = mc_action_begin(practice, BY_TEAM, true, error);
    if (status != MC_OK)
        return status;
    status = find_order(practice, kase, &o, error);
    if (status == MC_OK)
        status = check(&o, event, practice->today, error);
    snprintf(event->by, sizeof event->by, "%s", practice->actor.initials);
    if (status == MC_OK)
        status = mc_record_add_plan_event(practice->record, &o.plan.id, event, error);
    json_t *detail = status == MC_OK ? describe(&o, event) : NULL;
    mc_checkup_info_free(o.checkups, o.count);
    return mc_action_end(practice, status, &kase->id, action, detail, error);
}

mc_status mc_plan_delivered(mc_practice *practice, const mc_case *kase, mc_day day,
                            mc_error *error) {
    mc_plan_event event = {.what = MC_PLAN_DELIVERED, .day = day, .first = {MC_NO_DAY, MC_NO_DAY}};
    return record(practice, kase, &event, "plan delivered", error);
}

mc_status mc_plan_begin(mc_practice *practice, const mc_case *kase, const mc_day first[MC_ARCHES],
                        mc_error *error) {
    mc_plan_event event = {.what = MC_PLAN_BEGUN, .day = practice->today};
    memcpy(event.first, first, sizeof event.first);
    return record(practice, kase, &event, "plan begun", error);
}

mc_status mc_plan_expect(mc_practice *practice, const mc_case *kase, const mc_day first[MC_ARCHES],
                         mc_error *error) {
    mc_plan_event event = {.what = MC_PLAN_EXPECTED, .day = practice->today};
    memcpy(event.first, first, sizeof event.first);
    return record(practice, kase, &event, "plan expected", error);
}

/* ---- both at once ---- */

static bool says_day(const mc_plan_said *said) {
    return said->first[MC_UPPER] != MC_NO_DAY || said->first[MC_LOWER] != MC_NO_DAY;
}

static mc_status check_said(const order *o, const mc_plan_said *said, mc_day today,
                            mc_error *error) {
    order then = *o;
    mc_plan_event delivery = {.what = MC_PLAN_DELIVERED, .day = said->delivered};
    mc_plan_event days = {.what = MC_PLAN_EXPECTED};
    memcpy(days.first, said->first, sizeof days.first);
    if (said->delivered == MC_NO_DAY)
        return check(o, &days, today, error);
    mc_status status = check(o, &delivery, today, error);
    then.plan.delivered = said->delivered;
    days.what = MC_PLAN_BEGUN;
    return status == MC_OK && says_day(said) ? check(&then, &days, today, error) : status;
}

mc_status mc_plan_said_check(mc_practice *practice, const mc_case *kase, const mc_plan_said *said,
                             mc_error *error) {
    order o;
    mc_status status = mc_record_begin_reading(practice->record, error);
    if (status != MC_OK)
        return status;
    status = find_order(practice, kase, &o, error);
    mc_record_end_reading(practice->record);
    if (status == MC_OK)
        status = check_said(&o, said, practice->today, error);
    mc_checkup_info_free(o.checkups, o.count);
    return status;
}

mc_status mc_plan_said_record(mc_practice *practice, const mc_case *kase, const mc_plan_said *said,
                              mc_error *error) {
    mc_plan_info now;
    mc_status status = mc_plan_said_check(practice, kase, said, error);
    if (status == MC_OK)
        status = mc_active_plan(practice, kase, &now, NULL, error);
    if (status == MC_OK && said->delivered == MC_NO_DAY)
        return mc_plan_expect(practice, kase, said->first, error);
    if (status == MC_OK && said->delivered != now.delivered)
        status = mc_plan_delivered(practice, kase, said->delivered, error);
    return status == MC_OK && says_day(said) ? mc_plan_begin(practice, kase, said->first, error)
                                             : status;
}
