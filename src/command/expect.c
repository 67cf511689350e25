/* What readings against a neighbour should say: a sheet for the chair. */
#include "context.h"

#include <math.h>
#include <stdio.h>

static mc_status frame_of(context *c, const mc_case *kase, mc_day *on, int aligner[MC_ARCHES],
                          int *day, mc_error *error) {
    const arguments *a = &c->arguments;
    const bool said =
        option_given(a, "aligner") || option_given(a, "upper") || option_given(a, "lower");
    *day = -1;
    *on = MC_NO_DAY;
    aligner[MC_UPPER] = aligner[MC_LOWER] = MC_NO_ALIGNER;
    mc_status status = option_day(a, "date", on, error);
    if (status == MC_OK)
        status = option_whole(a, "day", 0, MC_LONGEST_ALIGNER_DAY, day, error);
    return status == MC_OK && said ? aligners_of(c, kase, aligner, error) : status;
}

/* ---- as text ---- */

static void print_arch(const mc_expectation *e, mc_arch arch) {
    char day[24] = "";
    const char *name = arch == MC_UPPER ? "Upper" : "Lower";
    if (e->aligner[arch] == MC_NO_ALIGNER) {
        printf("  %s  no series\n", name);
        return;
    }
    if (e->day[arch] >= 0)
        snprintf(day, sizeof day, ", day %d", e->day[arch]);
    printf("  %s  aligner %d%s: stage %.2f\n", name, e->aligner[arch], day, e->stage[arch]);
}

/* "0.40 mm", "-12.5 deg", "-" for what does not exist. */
static void value_text(double value, mc_relative what, char out[24]) {
    const bool angle = what == MC_CROWN_ANGLE;
    if (isnan(value))
        snprintf(out, 24, "-");
    else
        snprintf(out, 24, "%.*f %s", angle ? 1 : 2,
                 fabs(value) < (angle ? 0.05 : 0.005) ? 0 : value, angle ? "deg" : "mm");
}

static void print_expected(const mc_expected *e) {
    char tooth[4], neighbour[4] = "-", baseline[24], should[24], last[24];
    mc_tooth_text(MC_NOTATION_ISO, e->tooth, tooth);
    if (e->neighbour != MC_NO_TOOTH)
        mc_tooth_text(MC_NOTATION_ISO, e->neighbour, neighbour);
    value_text(e->baseline, e->what, baseline);
    value_text(e->should_read, e->what, should);
    value_text(e->last_read, e->what, last);
    print_columns("%-5s  %-13s  %-7s  %11s  %11s  %11s", tooth, mc_relative_name(e->what),
                  neighbour, baseline, should, last);
}

static void print_expectation(const context *c, const mc_expectation *e) {
    char day[11];
    bool unknown = false;
    printf("Case %s, plan %d, on %s\n", c->arguments.word[0], e->plan, day_text(e->on, day));
    print_arch(e, MC_UPPER);
    print_arch(e, MC_LOWER);
    if (e->count == 0) {
        printf("\n");
        print_wrapped(
            "No space, step, height step or crown angle was read at stage 0 of this plan, "
            "so there is nothing that a later one should read.",
            0);
        return;
    }
    print_columns("\n%-5s  %-13s  %-7s  %11s  %11s  %11s", "Tooth", "Reading", "Against",
                  "Baseline", "Should read", "Last read");
    for (size_t i = 0; i < e->count; i++) {
        print_expected(&e->list[i]);
        unknown = unknown || isnan(e->list[i].should_read);
    }
    printf("\n");
    print_wrapped(
        "Should read: by plan, from the baseline read at stage 0. A positive step or height "
        "step: the tooth stands more buccal, more occlusal than the other.",
        0);
    if (unknown)
        print_wrapped(
            "-: another tooth is the neighbour now; what is read against it cannot be used.", 0);
}

/* ---- as JSON ---- */

static json_t *tooth_json(mc_tooth tooth) {
    char text[4];
    if (tooth == MC_NO_TOOTH)
        return json_null();
    mc_tooth_text(MC_NOTATION_ISO, tooth, text);
    return json_string(text);
}

static json_t *arch_json(const mc_expectation *e, mc_arch arch) {
    if (e->aligner[arch] == MC_NO_ALIGNER)
        return json_null();
    return json_pack("{s:i, s:o, s:o}", "aligner", e->aligner[arch], "day",
                     e->day[arch] < 0 ? json_null() : json_integer(e->day[arch]), "effective_stage",
                     number_json(e->stage[arch]));
}

static json_t *expectation_json(const context *c, const mc_expectation *e) {
    json_t *list = json_array();
    for (size_t i = 0; i < e->count; i++) {
        const mc_expected *one = &e->list[i];
        json_array_append_new(
            list,
            json_pack("{s:o, s:s, s:o, s:o, s:o, s:o}", "tooth", tooth_json(one->tooth), "what",
                      mc_relative_name(one->what), "neighbour", tooth_json(one->neighbour),
                      "baseline", number_json(one->baseline), "should_read",
                      number_json(one->should_read), "last_read", number_json(one->last_read)));
    }
    return json_pack("{s:i, s:s, s:i, s:o, s:o, s:o, s:o}", "format", 1, "case",
                     c->arguments.word[0], "plan", e->plan, "date", day_json(e->on), "upper",
                     arch_json(e, MC_UPPER), "lower", arch_json(e, MC_LOWER), "expected", list);
}

mc_status run_checkup_expect(context *c, mc_error *error) {
    mc_case kase;
    mc_day on;
    mc_expectation e = {0};
    int aligner[MC_ARCHES], day;
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = frame_of(c, &kase, &on, aligner, &day, error);
    if (status == MC_OK)
        status = mc_expect(c->practice, &kase, on, aligner, day, &e, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        status = print_json(expectation_json(c, &e), error);
    else
        print_expectation(c, &e);
    mc_expectation_free(&e);
    return status;
}
