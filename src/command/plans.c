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
    printf("%-5s %8.2f %8.2f %8.2f %9.1f %10.1f %11.1f\n", tooth, pose_shown(p, MC_MESIAL),
           pose_shown(p, MC_BUCCAL), pose_shown(p, MC_OCCLUSAL), pose_shown(p, MC_ROTATION),
           pose_shown(p, MC_ANGULATION), pose_shown(p, MC_INCLINATION));
}

/* The plan that is shown: the one in force, also while its first day is awaited. */
typedef struct {
    mc_plan_info info;
    mc_plan *plan;
    mc_awaited awaited;
} shown_plan;

/* ", attachment on 13": what is done with the tooth before the aligner of a listed stage. */
static void say_done_at(const mc_plan *plan, const mc_plan_row *row, char *out, size_t size) {
    const int iso = mc_tooth_iso(row->tooth), before = row->stage - 1;
    const double more[] = {row->ipr_mesial - mc_plan_ipr(plan, row->tooth, true, before),
                           row->ipr_distal - mc_plan_ipr(plan, row->tooth, false, before)};
    static const char *const sides[] = {"mesial", "distal"};
    size_t used = strlen(out);
    if (row->attachment != MC_MARK_NONE && used < size)
        used += (size_t)snprintf(out + used, size - used, ", attachment %s %02d",
                                 row->attachment == MC_MARK_PLACED ? "on" : "off", iso);
    for (int side = 0; side < 2 && used < size; side++)
        if (more[side] > 1e-9)
            used += (size_t)snprintf(out + used, size - used, ", IPR %02d %s %.2f mm", iso,
                                     sides[side], more[side]);
}

/* Attachments and IPR, stage by stage: each is done before that aligner is begun. */
static void print_to_do(const mc_plan *plan) {
    const int upper = mc_plan_stages(plan, MC_UPPER), lower = mc_plan_stages(plan, MC_LOWER);
    for (int stage = 0; stage <= (upper > lower ? upper : lower); stage++) {
        char done[1600] = "", line[1700];
        for (size_t i = 0; i < mc_plan_count(plan); i++)
            if (mc_plan_row_at(plan, i)->stage == stage)
                say_done_at(plan, mc_plan_row_at(plan, i), done, sizeof done);
        if (stage == 0)
            snprintf(line, sizeof line, "At the start: %s.", done + (*done ? 2 : 0));
        else
            snprintf(line, sizeof line, "Before aligner %d: %s.", stage, done + (*done ? 2 : 0));
        if (*done)
            print_wrapped(line, 0);
    }
}

static void print_plan(const shown_plan *shown, mc_day today, int stage) {
    char day[11], text[MC_WAITING_TEXT_SIZE], line[MC_WAITING_TEXT_SIZE + 4];
    const mc_plan *plan = shown->plan;
    printf("Plan %d, %s %s: upper %d aligners, lower %d\n", shown->info.number,
           shown->info.worn_from > today ? "starts" : "started",
           day_text(shown->info.worn_from, day), mc_plan_stages(plan, MC_UPPER),
           mc_plan_stages(plan, MC_LOWER));
    mc_waiting_text(&shown->awaited, text);
    snprintf(line, sizeof line, "%s.", text);
    if (*text)
        print_wrapped(line, 0);
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
        if (mc_plan_tooth_rows(plan, t, &rows) == 0)
            continue;
        mc_pose pose = mc_plan_pose(plan, t, stage >= 0 ? stage : MC_MOST_STAGES);
        mc_tooth_text(MC_NOTATION_ISO, t, iso);
        print_pose(iso, &pose);
    }
    printf("\nPositive: mesial, buccal, extrusion, mesial-in, crown mesially, crown buccally.\n");
    print_to_do(plan);
}

/* Take the plan out of the assessment, or the one that is awaited from the record. */
static mc_status take_plan(context *c, mc_assessment *a, shown_plan *out, mc_error *error) {
    mc_await(&a->turn, c->today, &out->awaited);
    if (a->turn.waiting) {
        out->info = a->turn.next;
        return mc_record_plan(mc_practice_record(c->practice), &out->info.id, &out->plan, NULL,
                              error);
    }
    out->info = a->info;
    out->plan = a->plan;
    a->plan = NULL;
    return MC_OK;
}

/* The case's plan; refuses where there is none. Its plan is the caller's to free. */
static mc_status plan_of(context *c, shown_plan *out, mc_error *error) {
    mc_case kase;
    mc_assessment *a = NULL;
    *out = (shown_plan){.plan = NULL};
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_assess(c->practice, &kase, 0, false, &a, error);
    if (status == MC_OK && !a->has_plan)
        status = mc_fail(error, MC_REFUSED, "case %s has no plan: import one first", kase.chart);
    if (status == MC_OK)
        status = take_plan(c, a, out, error);
    mc_assessment_free(a);
    return status;
}

static json_t *poses_json(const mc_plan *plan, int stage) {
    json_t *teeth = json_array();
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_plan_row *rows;
        char iso[4];
        if (mc_plan_tooth_rows(plan, t, &rows) == 0)
            continue;
        mc_pose pose = mc_plan_pose(plan, t, stage >= 0 ? stage : MC_MOST_STAGES);
        mc_tooth_text(MC_NOTATION_ISO, t, iso);
        json_t *tooth = json_pack("{s:s}", "tooth", iso);
        for (int i = 0; i < MC_COMPONENTS; i++)
            json_object_set_new(tooth, mc_component_name((mc_component)i), json_real(pose.c[i]));
        json_array_append_new(teeth, tooth);
    }
    return teeth;
}

static json_t *plan_json(context *c, const shown_plan *shown, int stage) {
    const mc_plan_info *info = &shown->info;
    return json_pack("{s:i, s:s, s:i, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "format",
                     1, "case", c->arguments.word[0], "plan", info->number, "start",
                     day_json(info->start), "stage", stage >= 0 ? json_integer(stage) : json_null(),
                     "poses", poses_json(shown->plan, stage), "listed", mc_json_plan(shown->plan),
                     "ordered", day_json(info->ordered), "delivered", day_json(info->delivered),
                     "worn_from", day_json(info->worn_from), "upper_first",
                     first_day_json(info, MC_UPPER), "lower_first", first_day_json(info, MC_LOWER),
                     "waiting", awaited_json(&shown->awaited));
}

mc_status run_plan_show(context *c, mc_error *error) {
    shown_plan shown;
    int stage = -1;
    mc_status status = option_whole(&c->arguments, "stage", 0, MC_MOST_STAGES, &stage, error);
    if (status == MC_OK)
        status = plan_of(c, &shown, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        status = print_json(plan_json(c, &shown, stage), error);
    else
        print_plan(&shown, c->today, stage);
    mc_plan_free(shown.plan);
    return status;
}

mc_status run_plan_export(context *c, mc_error *error) {
    shown_plan shown = {.plan = NULL};
    mc_notation notation;
    char *data = NULL;
    size_t size = 0;
    const char *out = option_value(&c->arguments, "out");
    bool to_file = out && strcmp(out, "-") != 0;
    if (c->json && !to_file)
        return two_documents(error);
    mc_status status = notation_of(c, &notation, error);
    if (status == MC_OK)
        status = plan_of(c, &shown, error);
    if (status == MC_OK)
        status = mc_plan_write(shown.plan, notation, NULL, NULL, &data, &size, error);
    if (status == MC_OK)
        status = mc_file_write(out ? out : "-", data, size, false, error);
    if (status == MC_OK && c->json)
        status = print_json(json_pack("{s:i, s:s, s:i, s:s, s:s}", "format", 1, "case",
                                      c->arguments.word[0], "plan", shown.info.number, "hash",
                                      shown.info.hash, "file", out),
                            error);
    else if (status == MC_OK && to_file)
        printf("Wrote plan %d of case %s to %s.\n", shown.info.number, c->arguments.word[0], out);
    free(data);
    mc_plan_free(shown.plan);
    return status;
}

/* ---- a corrected series on its way ---- */

/* --date is every arch that has a series, --upper and --lower one of them. */
static mc_status first_days(context *c, const mc_case *kase, mc_day first[MC_ARCHES],
                            mc_error *error) {
    const arguments *a = &c->arguments;
    mc_assessment *now = NULL;
    mc_day both = MC_NO_DAY;
    first[MC_UPPER] = first[MC_LOWER] = MC_NO_DAY;
    if (!option_given(a, "date") && !option_given(a, "upper") && !option_given(a, "lower"))
        return mc_fail(error, MC_USAGE, "--date DATE: on which day?");
    mc_status status = option_day(a, "date", &both, error);
    if (status == MC_OK && both != MC_NO_DAY) {
        status = mc_assess(c->practice, kase, 0, false, &now, error);
        const mc_plan_info *next = status != MC_OK       ? NULL
                                   : now->turn.corrected ? &now->turn.next
                                                         : &now->info;
        for (int arch = 0; next && arch < MC_ARCHES; arch++)
            first[arch] = !now->has_plan || next->first[arch] != MC_NO_DAY ? both : MC_NO_DAY;
        mc_assessment_free(now);
    }
    if (status == MC_OK)
        status = option_day(a, "upper", &first[MC_UPPER], error);
    return status == MC_OK ? option_day(a, "lower", &first[MC_LOWER], error) : status;
}

/* What is awaited now. */
static mc_status tell_awaited(context *c, const mc_case *kase, mc_error *error) {
    mc_assessment *a = NULL;
    mc_outlook outlook;
    char text[MC_OUTLOOK_TEXT_SIZE], line[MC_OUTLOOK_TEXT_SIZE + 40];
    mc_status status = mc_assess(c->practice, kase, 0, false, &a, error);
    if (status != MC_OK)
        return status;
    const mc_plan_info *next = a->turn.corrected ? &a->turn.next : &a->info;
    mc_outlook_of(a, NULL, c->today, NULL, &outlook);
    mc_outlook_text(&outlook, text);
    if (c->json) {
        status = print_json(
            json_pack("{s:i, s:s, s:i, s:o, s:o, s:o, s:o, s:o}", "format", 1, "case",
                      c->arguments.word[0], "plan", next->number, "delivered",
                      day_json(next->delivered), "worn_from", day_json(next->worn_from),
                      "upper_first", first_day_json(next, MC_UPPER), "lower_first",
                      first_day_json(next, MC_LOWER), "waiting", awaited_json(&outlook.awaited)),
            error);
    } else {
        snprintf(line, sizeof line, "Recorded for plan %d. Next: %s.", next->number, text);
        print_wrapped(line, 0);
    }
    mc_assessment_free(a);
    return status;
}

mc_status run_plan_delivered(context *c, mc_error *error) {
    mc_case kase;
    mc_day day = MC_NO_DAY;
    if (!option_given(&c->arguments, "date"))
        return mc_fail(error, MC_USAGE, "--date DATE: on which day was it delivered?");
    mc_status status = option_day(&c->arguments, "date", &day, error);
    if (status == MC_OK)
        status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_plan_delivered(c->practice, &kase, day, error);
    return status == MC_OK ? tell_awaited(c, &kase, error) : status;
}

typedef mc_status record_days(mc_practice *practice, const mc_case *kase,
                              const mc_day first[MC_ARCHES], mc_error *error);

static mc_status run_days(context *c, record_days *record, mc_error *error) {
    mc_case kase;
    mc_day first[MC_ARCHES];
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = first_days(c, &kase, first, error);
    if (status == MC_OK)
        status = record(c->practice, &kase, first, error);
    return status == MC_OK ? tell_awaited(c, &kase, error) : status;
}

mc_status run_plan_begin(context *c, mc_error *error) {
    return run_days(c, mc_plan_begin, error);
}

mc_status run_plan_expect(context *c, mc_error *error) {
    return run_days(c, mc_plan_expect, error);
}
