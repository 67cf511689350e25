/* Check-ups: entering them from a file, listing and amending them. */
#include "context.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

mc_status aligners_of(context *c, const mc_case *kase, int aligner[MC_ARCHES], mc_error *error) {
    const arguments *a = &c->arguments;
    mc_assessment *now = NULL;
    int both = MC_NO_ALIGNER;
    aligner[MC_UPPER] = aligner[MC_LOWER] = MC_NO_ALIGNER;
    mc_status status = option_whole(a, "aligner", 0, MC_MOST_STAGES, &both, error);
    if (status == MC_OK)
        status = option_whole(a, "upper", 0, MC_MOST_STAGES, &aligner[MC_UPPER], error);
    if (status == MC_OK)
        status = option_whole(a, "lower", 0, MC_MOST_STAGES, &aligner[MC_LOWER], error);
    if (status == MC_OK && !option_given(a, "aligner") && !option_given(a, "upper") &&
        !option_given(a, "lower"))
        return mc_fail(error, MC_USAGE,
                       "which aligner is worn? --aligner K, or --upper K and --lower K");
    if (status == MC_OK && both != MC_NO_ALIGNER)
        status = mc_assess(c->practice, kase, 0, true, &now, error);
    for (int arch = 0; now && now->has_plan && arch < MC_ARCHES; arch++)
        if (mc_plan_stages(now->plan, (mc_arch)arch) > 0 && aligner[arch] == MC_NO_ALIGNER)
            aligner[arch] = both;
    mc_assessment_free(now);
    return status;
}

static mc_status frame_of(context *c, mc_checkup_import *what, mc_error *error) {
    const arguments *a = &c->arguments;
    const char *method = option_value(a, "method");
    int day = -1;
    *what = (mc_checkup_import){.wear_hours = NAN, .method = MC_CALIPER, .date = MC_NO_DAY};
    what->accept_warnings = option_given(a, "accept-warnings");
    what->note = option_value(a, "note");
    mc_status status = option_day(a, "date", &what->date, error);
    if (status == MC_OK)
        status = option_whole(a, "day", 0, 999, &day, error);
    if (status == MC_OK)
        status = option_number(a, "wear", &what->wear_hours, error);
    if (status == MC_OK)
        status = notation_of(c, &what->notation, error);
    if (status == MC_OK && method && !mc_method_parse(method, &what->method))
        status = mc_fail(error, MC_USAGE,
                         "--method %.20s: it is eye, caliper, photo, landmarks or scan", method);
    what->day[MC_UPPER] = what->day[MC_LOWER] = day;
    return status;
}

/* Whether something was read against a neighbour. */
static bool reads_neighbours(const mc_score *score) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        for (int i = 0; score->present[tooth] && i < MC_RELATIVES; i++)
            if (score->tooth[tooth].relative[i].readings > 0)
                return true;
    return false;
}

/* What was entered, and what follows from it, in two lines. */
static mc_status tell_entered(context *c, const mc_case *kase, int number, mc_error *error) {
    mc_assessment *a = NULL;
    mc_status status = mc_assess(c->practice, kase, number, false, &a, error);
    if (status != MC_OK)
        return status;
    if (c->json) {
        status =
            print_json(json_pack("{s:i, s:s, s:i, s:i, s:i, s:i}", "format", 1, "case",
                                 c->arguments.word[0], "checkup", number, "measured",
                                 a->score->measured, "behind", a->score->count[MC_STATE_BEHIND],
                                 "stalled", a->score->count[MC_STATE_STALLED]),
                       error);
    } else {
        int behind = a->score->count[MC_STATE_BEHIND] + a->score->count[MC_STATE_STALLED];
        printf("Case %s: check-up %d completed; %d of %d teeth measured, %d behind.\n",
               c->arguments.word[0], number, a->score->measured, a->score->present_count, behind);
        if (a->score->measured == 0 && reads_neighbours(a->score))
            print_wrapped("What was read against neighbours tells no position yet: checkup expect "
                          "lists what it should read from now on.",
                          0);
        printf("Next: midcourse score %s, then midcourse options %s\n", c->arguments.word[0],
               c->arguments.word[0]);
    }
    mc_assessment_free(a);
    return status;
}

mc_status run_checkup_import(context *c, mc_error *error) {
    mc_case kase;
    mc_checkup_import what;
    mc_warnings warnings = {0};
    char *data = NULL;
    int number = 0;
    if (!option_given(&c->arguments, "date"))
        return mc_fail(error, MC_USAGE, "--date DATE: on which day was the check-up?");
    mc_status status = frame_of(c, &what, error);
    if (status == MC_OK)
        status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = aligners_of(c, &kase, what.aligner, error);
    if (status == MC_OK)
        status = read_file(c, c->arguments.word[1], &data, &what.size, error);
    what.data = data;
    if (status == MC_OK)
        status = mc_import_checkup(c->practice, &kase, &what, &number, &warnings, error);
    free(data);
    print_warnings(c, &warnings);
    return status == MC_OK ? tell_entered(c, &kase, number, error) : status;
}

static void aligner_text(int aligner, char *out, size_t size) {
    if (aligner == MC_NO_ALIGNER)
        snprintf(out, size, "-");
    else
        snprintf(out, size, "%d", aligner);
}

static void print_checkup(const mc_checkup_info *i) {
    char day[11], upper[12], lower[12], wear[12] = "-", reason[400] = "";
    aligner_text(i->checkup.aligner[MC_UPPER], upper, sizeof upper);
    aligner_text(i->checkup.aligner[MC_LOWER], lower, sizeof lower);
    if (!isnan(i->checkup.wear_hours))
        snprintf(wear, sizeof wear, "%.1f", i->checkup.wear_hours);
    print_columns("%3d  %-10s  %5s  %5s  %5s  %-9s  %4zu  %-8s  %d  %s", i->checkup.number,
                  day_text(i->checkup.date, day), upper, lower, wear,
                  mc_method_name(i->checkup.method), i->checkup.count, i->by, i->version,
                  mc_text_fit(i->reason, 10, false, reason, sizeof reason) > 0 ? reason : "");
}

static json_t *checkup_json(const mc_checkup_info *i) {
    const mc_checkup *k = &i->checkup;
    return json_pack(
        "{s:i, s:i, s:o, s:o, s:o, s:o, s:s, s:I, s:s, s:o, s:I, s:o}", "number", k->number,
        "version", i->version, "date", day_json(k->date), "upper",
        k->aligner[MC_UPPER] == MC_NO_ALIGNER ? json_null() : json_integer(k->aligner[MC_UPPER]),
        "lower",
        k->aligner[MC_LOWER] == MC_NO_ALIGNER ? json_null() : json_integer(k->aligner[MC_LOWER]),
        "wear", number_json(k->wear_hours), "method", mc_method_name(k->method), "rows",
        (json_int_t)k->count, "by", i->by, "reason",
        *i->reason ? json_string(i->reason) : json_null(), "settings", (json_int_t)i->settings,
        "note", k->note ? json_string(k->note) : json_null());
}

mc_status run_checkup_list(context *c, mc_error *error) {
    mc_case kase;
    mc_checkup_info *list = NULL;
    size_t count = 0;
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_record_checkups(mc_practice_record(c->practice), &kase.id, true, &list, &count,
                                    error);
    if (status != MC_OK)
        return status;
    json_t *all = json_array();
    if (!c->json)
        print_columns("%3s  %-10s  %5s  %5s  %5s  %-9s  %4s  %-8s  %s", "No", "Date", "Upper",
                      "Lower", "Wear", "Method", "Rows", "By", "Version");
    for (size_t i = 0; i < count; i++) {
        if (c->json)
            json_array_append_new(all, checkup_json(&list[i]));
        else
            print_checkup(&list[i]);
    }
    mc_checkup_info_free(list, count);
    if (c->json)
        return print_json(json_pack("{s:i, s:s, s:o}", "format", 1, "case", c->arguments.word[0],
                                    "checkups", all),
                          error);
    json_decref(all);
    return MC_OK;
}

mc_status run_checkup_amend(context *c, mc_error *error) {
    mc_case kase;
    mc_checkup_import what = {.note = option_value(&c->arguments, "note"),
                              .accept_warnings = option_given(&c->arguments, "accept-warnings")};
    mc_warnings warnings = {0};
    const char *reason = option_value(&c->arguments, "reason");
    char *data = NULL;
    int number = 0, version = 0;
    if (!whole_parse(c->arguments.word[1], 1, 9999, &number))
        return mc_fail(error, MC_USAGE, "%.20s: the number of a check-up", c->arguments.word[1]);
    if (!reason)
        return mc_fail(error, MC_USAGE, "--reason TEXT: an amendment needs a reason");
    mc_status status = notation_of(c, &what.notation, error);
    if (status == MC_OK)
        status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = read_file(c, c->arguments.word[2], &data, &what.size, error);
    what.data = data;
    if (status == MC_OK)
        status =
            mc_amend_checkup(c->practice, &kase, number, &what, reason, &version, &warnings, error);
    free(data);
    print_warnings(c, &warnings);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(json_pack("{s:i, s:s, s:i, s:i}", "format", 1, "case",
                                    c->arguments.word[0], "checkup", number, "version", version),
                          error);
    printf("Case %s: check-up %d now has version %d; the one before stays beside it.\n"
           "What changed: midcourse journal %s\n",
           c->arguments.word[0], number, version, c->arguments.word[0]);
    return MC_OK;
}

mc_status run_checkup_discard(context *c, mc_error *error) {
    mc_case kase;
    mc_draft *draft = NULL;
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_draft_open(c->practice, &kase, &draft, error);
    if (status != MC_OK)
        return status;
    int number = mc_draft_number(draft);
    status = mc_draft_on_record(draft)
                 ? mc_draft_discard(draft, error)
                 : mc_fail(error, MC_REFUSED, "case %s: no check-up is being entered",
                           c->arguments.word[0]);
    mc_draft_close(draft);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(json_pack("{s:i, s:s, s:i}", "format", 1, "case", c->arguments.word[0],
                                    "discarded", number),
                          error);
    printf("Case %s: check-up %d, which was being entered, is thrown away.\n", c->arguments.word[0],
           number);
    return MC_OK;
}
