/* Plan files in and out. */
#include "context.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static mc_status intervals_of(const arguments *a, int usual, int interval[MC_ARCHES],
                              mc_error *error) {
    int both = usual;
    mc_status status = option_whole(a, "interval", 1, 365, &both, error);
    interval[MC_UPPER] = interval[MC_LOWER] = both;
    if (status == MC_OK)
        status = option_whole(a, "upper-interval", 1, 365, &interval[MC_UPPER], error);
    if (status == MC_OK)
        status = option_whole(a, "lower-interval", 1, 365, &interval[MC_LOWER], error);
    return status;
}

static void print_plan_made(const char *label, const mc_plan_info *info, const mc_plan *plan) {
    char day[11];
    printf("Case %s: plan %d imported, first aligner on %s.\n", label, info->number,
           day_text(info->start, day));
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        int stages = mc_plan_stages(plan, (mc_arch)arch);
        if (stages > 0)
            printf("  %s  %d aligners, %d days each\n", arch == MC_UPPER ? "Upper" : "Lower",
                   stages, info->interval[arch]);
        else
            printf("  %s  no series\n", arch == MC_UPPER ? "Upper" : "Lower");
    }
    printf("Next, at a check-up: midcourse --as INITIALS checkup import %s FILE\n"
           "      --date DATE --aligner K\n",
           label);
}

static mc_status tell_plan_made(context *c, const mc_plan_info *info, mc_error *error) {
    mc_plan *plan = NULL;
    mc_status status =
        mc_record_plan(mc_practice_record(c->practice), &info->id, &plan, NULL, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        status = print_json(json_pack("{s:i, s:s, s:i, s:o, s:i, s:i, s:s}", "format", 1, "case",
                                      c->arguments.word[0], "plan", info->number, "start",
                                      day_json(info->start), "upper_stages",
                                      mc_plan_stages(plan, MC_UPPER), "lower_stages",
                                      mc_plan_stages(plan, MC_LOWER), "hash", info->hash),
                            error);
    else
        print_plan_made(c->arguments.word[0], info, plan);
    mc_plan_free(plan);
    return status;
}

mc_status run_plan_import(context *c, mc_error *error) {
    const arguments *a = &c->arguments;
    mc_case kase;
    mc_plan_import what = {.accept_warnings = option_given(a, "accept-warnings")};
    mc_plan_info info;
    mc_warnings warnings = {0};
    char *data = NULL;
    if (!option_given(a, "start"))
        return mc_fail(error, MC_USAGE, "--start DATE: on which day is the first aligner begun?");
    mc_status status = option_day(a, "start", &what.start, error);
    if (status == MC_OK)
        status = intervals_of(a, MC_USUAL_INTERVAL, what.interval, error);
    if (status == MC_OK)
        status = notation_of(c, &what.notation, error);
    if (status == MC_OK)
        status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = read_file(c, a->word[1], &data, &what.size, error);
    what.data = data;
    if (status == MC_OK)
        status = mc_import_plan(c->practice, &kase, &what, &info, &warnings, error);
    free(data);
    print_warnings(c, &warnings);
    return status == MC_OK ? tell_plan_made(c, &info, error) : status;
}

/* ---- showing ---- */

/* One stage of a tooth: six components, aligned on the point. */
static void print_pose(const char *tooth, const mc_pose *p) {
    printf("%-5s %8.2f %8.2f %8.2f %9.1f %10.1f %11.1f\n", tooth, p->c[MC_MESIAL], p->c[MC_BUCCAL],
           p->c[MC_OCCLUSAL], p->c[MC_ROTATION], p->c[MC_ANGULATION], p->c[MC_INCLINATION]);
}

static void print_plan(const mc_assessment *a, int stage) {
    char day[11];
    printf("Plan %d, started %s: upper %d aligners, lower %d\n", a->info.number,
           day_text(a->info.start, day), mc_plan_stages(a->plan, MC_UPPER),
           mc_plan_stages(a->plan, MC_LOWER));
    if (stage >= 0)
        printf("Planned at stage %d, from stage 0\n\n", stage);
    else
        printf("Planned at the last stage of each arch, from stage 0\n\n");
    printf("%-5s %8s %8s %8s %9s %10s %11s\n", "", "mesial", "buccal", "occlusal", "rotation",
           "angulation", "inclination");
    printf("%-5s %8s %8s %8s %9s %10s %11s\n", "Tooth", "mm", "mm", "mm", "deg", "deg", "deg");
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_plan_row *rows;
        char iso[4];
        if (mc_plan_tooth_rows(a->plan, t, &rows) == 0)
            continue;
        mc_pose pose = mc_plan_pose(a->plan, t, stage >= 0 ? stage : MC_MOST_STAGES);
        mc_tooth_text(MC_NOTATION_ISO, t, iso);
        print_pose(iso, &pose);
    }
    printf("\nPositive: mesial, buccal, extrusion, mesial-in, crown mesially, crown buccally.\n");
}

/* The case's plan; refuses where there is none. */
static mc_status plan_of(context *c, mc_assessment **a, mc_error *error) {
    mc_case kase;
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_assess(c->practice, &kase, 0, false, a, error);
    if (status == MC_OK && !(*a)->has_plan) {
        status = mc_fail(error, MC_REFUSED, "case %s has no plan: import one first", kase.chart);
        mc_assessment_free(*a);
        *a = NULL;
    }
    return status;
}

static json_t *poses_json(const mc_assessment *a, int stage) {
    json_t *teeth = json_array();
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_plan_row *rows;
        char iso[4];
        if (mc_plan_tooth_rows(a->plan, t, &rows) == 0)
            continue;
        mc_pose pose = mc_plan_pose(a->plan, t, stage >= 0 ? stage : MC_MOST_STAGES);
        mc_tooth_text(MC_NOTATION_ISO, t, iso);
        json_t *tooth = json_pack("{s:s}", "tooth", iso);
        for (int i = 0; i < MC_COMPONENTS; i++)
            json_object_set_new(tooth, mc_component_name((mc_component)i), json_real(pose.c[i]));
        json_array_append_new(teeth, tooth);
    }
    return teeth;
}

mc_status run_plan_show(context *c, mc_error *error) {
    mc_assessment *a = NULL;
    int stage = -1;
    mc_status status = option_whole(&c->arguments, "stage", 0, MC_MOST_STAGES, &stage, error);
    if (status == MC_OK)
        status = plan_of(c, &a, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        status = print_json(json_pack("{s:i, s:s, s:i, s:o, s:o, s:o, s:o}", "format", 1, "case",
                                      c->arguments.word[0], "plan", a->info.number, "start",
                                      day_json(a->info.start), "stage",
                                      stage >= 0 ? json_integer(stage) : json_null(), "poses",
                                      poses_json(a, stage), "listed", mc_json_plan(a->plan)),
                            error);
    else
        print_plan(a, stage);
    mc_assessment_free(a);
    return status;
}

mc_status run_plan_export(context *c, mc_error *error) {
    mc_assessment *a = NULL;
    mc_notation notation;
    char *data = NULL;
    size_t size = 0;
    const char *out = option_value(&c->arguments, "out");
    bool to_file = out && strcmp(out, "-") != 0;
    if (c->json && !to_file)
        return two_documents(error);
    mc_status status = notation_of(c, &notation, error);
    if (status == MC_OK)
        status = plan_of(c, &a, error);
    if (status == MC_OK)
        status = mc_plan_write(a->plan, notation, NULL, NULL, &data, &size, error);
    if (status == MC_OK)
        status = mc_file_write(out ? out : "-", data, size, false, error);
    if (status == MC_OK && c->json)
        status = print_json(json_pack("{s:i, s:s, s:i, s:s, s:s}", "format", 1, "case",
                                      c->arguments.word[0], "plan", a->info.number, "hash",
                                      a->info.hash, "file", out),
                            error);
    else if (status == MC_OK && to_file)
        printf("Wrote plan %d of case %s to %s.\n", a->info.number, c->arguments.word[0], out);
    free(data);
    mc_assessment_free(a);
    return status;
}
