/* Cases and their teeth, and the plan a case begins with. */
#include "practice.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

mc_status mc_case_find(mc_practice *practice, const char *label, mc_case *out, mc_error *error) {
    char chart[MC_CHART_SIZE];
    const char *slash = strrchr(label, '/');
    size_t length = slash ? (size_t)(slash - label) : strlen(label);
    int number = 0;
    if (slash) {
        char *end;
        long given = strtol(slash + 1, &end, 10);
        if (*end != '\0' || end == slash + 1 || given < 1 || given > 99)
            return mc_fail(error, MC_REFUSED,
                           "%.60s: after the slash stands the number of the course, as in 1001/2",
                           label);
        number = (int)given;
    }
    if (length == 0 || length >= sizeof chart)
        return mc_fail(error, MC_REFUSED, "%.60s: no such case", label);
    memcpy(chart, label, length);
    chart[length] = '\0';
    return mc_record_find_case(practice->record, chart, number, out, error);
}

void mc_case_label(const mc_case *kase, char out[MC_LABEL_SIZE]) {
    if (kase->number > 1)
        snprintf(out, MC_LABEL_SIZE, "%s/%d", kase->chart, kase->number);
    else
        snprintf(out, MC_LABEL_SIZE, "%s", kase->chart);
}

void mc_usual_teeth(mc_tooth_state states[MC_TEETH]) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        states[t] = mc_tooth_is_deciduous(t) ? MC_TOOTH_MISSING : MC_TOOTH_PRESENT;
}

mc_status mc_case_open(mc_practice *practice, const char *chart, const char *name, mc_day born,
                       const mc_tooth_state states[MC_TEETH], mc_case *out, mc_error *error) {
    if (born > practice->today)
        return mc_fail(error, MC_REFUSED, "%.60s: born after today", chart);
    mc_status status = mc_action_begin(practice, BY_ANYONE, true, error);
    if (status != MC_OK)
        return status;
    status = mc_record_add_case(practice->record, chart, name, born, practice->today, states, out,
                                error);
    mc_tooth_state usual[MC_TEETH];
    mc_usual_teeth(usual);
    json_t *unusual = json_object();
    for (mc_tooth t = 0; t < MC_TEETH && status == MC_OK; t++) {
        char iso[4];
        mc_tooth_text(MC_NOTATION_ISO, t, iso);
        if (states[t] != usual[t])
            unusual = mc_json_with(unusual, iso, json_string(mc_tooth_state_name(states[t])));
    }
    return mc_action_end(practice, status, status == MC_OK ? &out->id : NULL, "case opened",
                         json_pack("{s:s, s:i, s:o}", "chart", chart, "course",
                                   status == MC_OK ? out->number : 0, "teeth", unusual),
                         error);
}

mc_status mc_case_close(mc_practice *practice, const mc_case *kase, mc_error *error) {
    mc_status status = mc_action_begin(practice, BY_DOCTOR, true, error);
    if (status != MC_OK)
        return status;
    status = mc_record_close_case(practice->record, &kase->id, practice->today, error);
    return mc_action_end(practice, status, &kase->id, "case closed", json_object(), error);
}

mc_status mc_case_set_tooth(mc_practice *practice, const mc_case *kase, mc_tooth tooth,
                            mc_tooth_state state, mc_day from, mc_error *error) {
    char iso[4], day[11];
    mc_tooth_text(MC_NOTATION_ISO, tooth, iso);
    mc_day_text(from, day);
    if (from > practice->today)
        return mc_fail(error, MC_REFUSED, "tooth %s: %s is after today", iso, day);
    mc_status status = mc_action_begin(practice, BY_TEAM, true, error);
    if (status != MC_OK)
        return status;
    status = mc_record_set_tooth(practice->record, &kase->id, tooth, state, from, error);
    return mc_action_end(practice, status, &kase->id, "tooth recorded",
                         json_pack("{s:s, s:s, s:s}", "tooth", iso, "state",
                                   mc_tooth_state_name(state), "from", day),
                         error);
}

mc_status mc_active_plan(mc_practice *practice, const mc_case *kase, mc_plan_info *info,
                         mc_plan **plan, mc_error *error) {
    mc_plan_info *list = NULL;
    size_t count = 0;
    bool found = false;
    mc_status status = mc_record_plans(practice->record, &kase->id, &list, &count, error);
    for (size_t i = 0; status == MC_OK && i < count; i++)
        if (list[i].status == MC_PLAN_ACTIVE) {
            *info = list[i];
            found = true;
        }
    free(list);
    if (status != MC_OK)
        return status;
    if (!found)
        return mc_fail(error, MC_REFUSED, "case %s has no %splan: import one first", kase->chart,
                       count > 0 ? "active " : "");
    return plan ? mc_record_plan(practice->record, &info->id, plan, NULL, error) : MC_OK;
}

mc_status mc_worn_plan(mc_practice *practice, const mc_case *kase, mc_day on, mc_plan_info *info,
                       mc_error *error) {
    mc_plan_info *list = NULL;
    size_t count = 0;
    char from[11];
    mc_status status = mc_active_plan(practice, kase, info, NULL, error);
    if (status != MC_OK || info->worn_from <= on)
        return status;
    mc_day_text(info->worn_from, from);
    status = mc_record_plans(practice->record, &kase->id, &list, &count, error);
    bool found = false;
    const mc_id before = info->corrects;
    for (size_t i = 0; status == MC_OK && i < count; i++)
        if (!mc_id_is_none(&before) && mc_id_same(&list[i].id, &before)) {
            *info = list[i];
            found = true;
        }
    free(list);
    if (status == MC_OK && !found)
        status =
            mc_fail(error, MC_REFUSED, "the plan of case %s starts on %s: nothing to check yet",
                    kase->chart, from);
    return status;
}

static mc_status check_first_plan(mc_practice *practice, const mc_case *kase,
                                  const mc_plan_import *what, mc_error *error) {
    mc_plan_info *list = NULL;
    size_t count = 0;
    mc_status status = mc_record_plans(practice->record, &kase->id, &list, &count, error);
    for (size_t i = 0; status == MC_OK && i < count; i++)
        if (list[i].status == MC_PLAN_ACTIVE)
            status = mc_fail(
                error, MC_REFUSED,
                "case %s has plan %d already: a new one is opened by a signed correction (decide)",
                kase->chart, list[i].number);
    free(list);
    if (status == MC_OK && kase->closed != MC_NO_DAY)
        status = mc_fail(error, MC_REFUSED, "case %s is closed", kase->chart);
    for (int a = 0; a < MC_ARCHES && status == MC_OK; a++)
        if (what->interval[a] < 1 || what->interval[a] > 365)
            status = mc_fail(error, MC_REFUSED, "an interval is 1 to 365 days an aligner, not %d",
                             what->interval[a]);
    return status;
}

mc_status mc_look_at_plan(mc_practice *practice, const mc_case *kase, const mc_plan_import *what,
                          mc_plan **plan, mc_warnings *warnings, mc_error *error) {
    mc_tooth_state states[MC_TEETH];
    mc_settings settings;
    *plan = NULL;
    *warnings = (mc_warnings){0};
    mc_status status = check_first_plan(practice, kase, what, error);
    if (status == MC_OK)
        status = mc_record_teeth(practice->record, &kase->id, practice->today, states, error);
    if (status == MC_OK)
        status = mc_record_settings(practice->record, &kase->id, &settings, NULL, error);
    if (status == MC_OK)
        status = mc_plan_read(what->data, what->size, what->notation, states, &settings, plan, NULL,
                              warnings, error);
    return status;
}

mc_status mc_import_plan(mc_practice *practice, const mc_case *kase, const mc_plan_import *what,
                         mc_plan_info *out, mc_warnings *warnings, mc_error *error) {
    mc_plan *plan = NULL;
    mc_status status = mc_look_at_plan(practice, kase, what, &plan, warnings, error);
    if (status == MC_OK)
        status = mc_accept_warnings(warnings, what->accept_warnings, "import it", error);
    if (status == MC_OK)
        status = mc_action_begin(practice, BY_TEAM, true, error);
    if (status != MC_OK) {
        mc_plan_free(plan);
        return status;
    }
    status = check_first_plan(practice, kase, what, error); /* again: others may have been at it */
    *out = (mc_plan_info){.start = what->start};
    for (int a = 0; a < MC_ARCHES; a++)
        out->interval[a] = mc_plan_stages(plan, (mc_arch)a) > 0 ? what->interval[a] : 0;
    snprintf(out->by, sizeof out->by, "%s", practice->actor.initials);
    if (status == MC_OK)
        status = mc_record_add_plan(practice->record, &kase->id, plan, NULL, out, error);
    char day[11];
    mc_day_text(what->start, day);
    json_t *detail =
        json_pack("{s:i, s:s, s:s, s:i, s:i, s:i}", "plan", out->number, "start", day, "hash",
                  out->hash, "upper_stages", mc_plan_stages(plan, MC_UPPER), "lower_stages",
                  mc_plan_stages(plan, MC_LOWER), "warnings_accepted", (int)warnings->count);
    mc_plan_free(plan);
    return mc_action_end(practice, status, &kase->id, "plan imported", detail, error);
}
