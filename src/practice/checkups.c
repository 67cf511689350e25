/* Entering and amending check-ups. */
#include "assess.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* ---- warnings of the whole check-up ---- */

enum { MOST_AWAY = 2 }; /* aligners from what the dates say */

/* On one day the next aligner may be begun, but hardly another one. */
static mc_status warn_of_same_day(const mc_score *before, const mc_checkup *checkup,
                                  mc_warnings *warnings, mc_error *error) {
    mc_status status = MC_OK;
    for (int arch = 0; before && before->date == checkup->date && arch < MC_ARCHES; arch++) {
        int worn = checkup->aligner[arch], then = before->aligner[arch];
        if (status == MC_OK && worn != MC_NO_ALIGNER && then != MC_NO_ALIGNER && worn != then &&
            worn != then + 1)
            status = mc_warnings_add(
                warnings, error, 0, 0,
                "%s aligner %d is worn, but check-up %d of the same day found aligner %d",
                arch == MC_UPPER ? "upper" : "lower", worn, before->number, then);
    }
    return status;
}

mc_status mc_warn_of_dates(const mc_practice *practice, const mc_series series[MC_ARCHES],
                           const mc_score *before, const mc_checkup *checkup, mc_warnings *warnings,
                           mc_error *error) {
    mc_status status = MC_OK;
    for (int arch = 0; arch < MC_ARCHES && status == MC_OK; arch++) {
        int worn = checkup->aligner[arch];
        int said = mc_series_aligner_on(&series[arch], checkup->date, NULL);
        if (worn != MC_NO_ALIGNER && abs(worn - said) > MOST_AWAY)
            status = mc_warnings_add(warnings, error, 0, 0,
                                     "%s aligner %d is worn, but by the dates it should be %d",
                                     arch == MC_UPPER ? "upper" : "lower", worn, said);
    }
    if (status == MC_OK)
        status = warn_of_same_day(before, checkup, warnings, error);
    if (status == MC_OK && checkup->date > practice->today)
        status = mc_warnings_add(warnings, error, 0, 0, "the check-up's date is after today");
    return status;
}

/* ---- what the check-up is read against ---- */

void mc_last_readings(const mc_assessment *a, size_t scores, size_t on_plan,
                      double out[MC_TEETH][MC_COMPONENTS]) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            out[t][c] = NAN;
            for (size_t i = scores - on_plan; i < scores; i++)
                if (a->scores[i].tooth[t].item[c].read)
                    out[t][c] = a->scores[i].tooth[t].item[c].observed;
        }
}

static mc_status check_dates_and_frame(const mc_assessment *a, const mc_checkup *checkup,
                                       mc_error *error) {
    char day[11], other[11];
    mc_day_text(checkup->date, day);
    if (checkup->date < a->info.worn_from) {
        mc_day_text(a->info.worn_from, other);
        return mc_fail(error, MC_REFUSED, "%s is before the plan's start, %s", day, other);
    }
    for (size_t i = 0; i < a->checkups; i++)
        if (a->scores[i].date > checkup->date) {
            mc_day_text(a->scores[i].date, other);
            return mc_fail(error, MC_REFUSED, "%s is before check-up %d, %s", day,
                           a->scores[i].number, other);
        }
    return mc_check_frame(a->plan, checkup, error);
}

mc_status mc_check_frame(const mc_plan *plan, const mc_checkup *checkup, mc_error *error) {
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const char *name = arch == MC_UPPER ? "upper" : "lower";
        int last = mc_plan_stages(plan, (mc_arch)arch), worn = checkup->aligner[arch];
        if (worn != MC_NO_ALIGNER && last == 0)
            return mc_fail(error, MC_REFUSED, "the %s arch has no series in this plan", name);
        if (worn != MC_NO_ALIGNER && (worn < 0 || worn > last))
            return mc_fail(error, MC_REFUSED, "%s aligner %d is not in the series of %d", name,
                           worn, last);
        if (checkup->day[arch] > MC_LONGEST_ALIGNER_DAY)
            return mc_fail(error, MC_REFUSED, "day %d of an aligner cannot be", checkup->day[arch]);
    }
    if (!isnan(checkup->wear_hours) && !(checkup->wear_hours >= 0 && checkup->wear_hours <= 24))
        return mc_fail(error, MC_REFUSED, "hours of wear are 0 to 24 a day");
    return MC_OK;
}

mc_checkup_context mc_checkup_context_of(const mc_plan *plan, const mc_settings *settings,
                                         const mc_checkup *checkup) {
    mc_checkup_context context = {.plan = plan, .settings = settings};
    for (int arch = 0; arch < MC_ARCHES; arch++)
        context.effective_stage[arch] =
            checkup->aligner[arch] == MC_NO_ALIGNER
                ? NAN
                : mc_effective_stage(checkup->aligner[arch], checkup->day[arch],
                                     settings->settle_days);
    return context;
}

/* Read the file's rows for this check-up frame; *rows is the caller's to free. last: last readings
 * before it, and before: a tracker that has taken them in, NULL where there are none on its plan.
 */
static mc_status read_rows(const mc_assessment *a, const mc_settings *settings,
                           const mc_tooth_state *states, double (*last)[MC_COMPONENTS],
                           const mc_tracker *before, const mc_checkup_import *what,
                           mc_checkup *checkup, mc_reading **rows, mc_warnings *warnings,
                           mc_error *error) {
    mc_checkup_context context = mc_checkup_context_of(a->plan, settings, checkup);
    context.states = states;
    context.last_observed = (const double(*)[MC_COMPONENTS])last;
    context.tracker = before;
    context.notation = what->notation;
    mc_status status =
        mc_checkup_read(what->data, what->size, &context, rows, &checkup->count, warnings, error);
    checkup->rows = *rows;
    return status;
}

json_t *mc_describe_checkup(const mc_checkup *checkup, int number, int version) {
    char day[11];
    mc_day_text(checkup->date, day);
    json_t *detail =
        json_pack("{s:i, s:i, s:s, s:s, s:I}", "checkup", number, "version", version, "date", day,
                  "method", mc_method_name(checkup->method), "rows", (json_int_t)checkup->count);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        detail = mc_json_with(detail, arch == MC_UPPER ? "upper" : "lower",
                              checkup->aligner[arch] == MC_NO_ALIGNER
                                  ? json_null()
                                  : json_integer(checkup->aligner[arch]));
    return detail;
}

mc_status mc_import_checkup(mc_practice *practice, const mc_case *kase,
                            const mc_checkup_import *what, int *number, mc_warnings *warnings,
                            mc_error *error) {
    *warnings = (mc_warnings){0};
    mc_assessment *a = NULL;
    mc_reading *rows = NULL;
    mc_settings settings;
    int64_t set = 0;
    mc_tooth_state states[MC_TEETH];
    double last[MC_TEETH][MC_COMPONENTS];
    mc_checkup checkup = {.date = what->date,
                          .wear_hours = what->wear_hours,
                          .method = what->method,
                          .note = what->note};
    for (int arch = 0; arch < MC_ARCHES; arch++)
        checkup.aligner[arch] = what->aligner[arch], checkup.day[arch] = what->day[arch];

    mc_status status = mc_active_plan(practice, kase, &(mc_plan_info){0}, NULL, error);
    if (status == MC_OK)
        status = mc_assess_on(practice, kase, what->date, true, &a, error);
    if (status == MC_OK)
        status = check_dates_and_frame(a, &checkup, error);
    if (status == MC_OK)
        status = mc_record_settings(practice->record, &kase->id, &settings, &set, error);
    if (status == MC_OK)
        status = mc_record_teeth(practice->record, &kase->id, what->date, states, error);
    if (status == MC_OK) {
        mc_last_readings(a, a->checkups, a->score ? a->checkups_before_on_plan + 1 : 0, last);
        status = read_rows(a, &settings, states, last, a->tracker, what, &checkup, &rows, warnings,
                           error);
    }
    if (status == MC_OK)
        status = mc_warn_of_dates(practice, a->series, a->score, &checkup, warnings, error);
    if (status == MC_OK)
        status = mc_accept_warnings(warnings, what->accept_warnings, "enter it", error);
    if (status == MC_OK)
        status = mc_action_begin(practice, BY_TEAM, true, error);
    if (status == MC_OK) {
        mc_checkup_info info = {0};
        status = mc_record_add_checkup(practice->record, &kase->id, &a->info.id, &checkup, set,
                                       practice->actor.initials, &info, error);
        *number = info.checkup.number;
        status = mc_action_end(practice, status, &kase->id, "check-up completed",
                               mc_describe_checkup(&checkup, *number, 1), error);
    }
    free(rows);
    mc_assessment_free(a);
    return status;
}

mc_status mc_amend_checkup(mc_practice *practice, const mc_case *kase, int number,
                           const mc_checkup_import *what, const char *reason, int *version,
                           mc_warnings *warnings, mc_error *error) {
    *warnings = (mc_warnings){0};
    if (!reason || !*reason)
        return mc_fail(error, MC_REFUSED, "check-up %d: an amendment needs a reason", number);
    if (number < 1)
        return mc_fail(error, MC_REFUSED, "case %s has no check-up %d", kase->chart, number);
    mc_assessment *a = NULL;
    mc_reading *rows = NULL;
    replay r;
    double last[MC_TEETH][MC_COMPONENTS];
    mc_status status = mc_assess_keeping(practice, kase, number, false, &r, &a, error);
    if (status != MC_OK)
        return status;
    mc_checkup checkup = a->checkup.checkup;
    checkup.rows = NULL;
    if (what->note)
        checkup.note = what->note;
    mc_last_readings(a, a->checkups - 1, a->checkups_before_on_plan, last);
    status = read_rows(a, &a->settings, a->states, last, r.before, what, &checkup, &rows, warnings,
                       error);
    if (status == MC_OK)
        status = mc_accept_warnings(warnings, what->accept_warnings, "enter it", error);
    if (status == MC_OK)
        status = mc_action_begin(practice, BY_TEAM, true, error);
    if (status == MC_OK) {
        status = mc_record_amend_checkup(practice->record, &kase->id, number, &checkup,
                                         practice->actor.initials, reason, version, error);
        json_t *detail = mc_describe_checkup(&checkup, number, status == MC_OK ? *version : 0);
        detail = mc_json_with(detail, "reason", json_string(reason));
        status = mc_action_end(practice, status, &kase->id, "check-up amended", detail, error);
    }
    free(rows);
    mc_replay_free(&r);
    mc_assessment_free(a);
    return status;
}
