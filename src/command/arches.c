/* Where the crowns of an arch stand: files in and out, and the crowns and their overlaps shown. */
#include "context.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *arch_word(mc_arch arch) {
    return arch == MC_UPPER ? "upper" : "lower";
}

static int crowns_of(const mc_measured_arch *arch) {
    int count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        count += arch->crown[t].stands;
    return count;
}

mc_status run_arch_import(context *c, mc_error *error) {
    const arguments *a = &c->arguments;
    mc_case kase;
    mc_measured_arch kept;
    mc_notation notation;
    char *data = NULL;
    size_t size = 0;
    int number = 0;
    mc_status status = option_whole(a, "checkup", 1, 9999, &number, error);
    if (status == MC_OK)
        status = notation_of(c, &notation, error);
    if (status == MC_OK)
        status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = read_file(c, a->word[1], &data, &size, error);
    if (status == MC_OK)
        status = mc_import_arch(c->practice, &kase, data, size, notation, number, &kept, error);
    free(data);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(json_pack("{s:i, s:s, s:i, s:s, s:i, s:i, s:s}", "format", 1, "case",
                                    a->word[0], "checkup", kept.checkup, "arch",
                                    arch_word(kept.arch), "entry", kept.entry, "crowns",
                                    crowns_of(&kept), "hash", kept.hash),
                          error);
    printf("Case %s: %s arch measured at check-up %d, %d crowns.\n", a->word[0],
           arch_word(kept.arch), kept.checkup, crowns_of(&kept));
    printf("Next: midcourse arch show %s\n", a->word[0]);
    return MC_OK;
}

/* ---- what is to be shown ---- */

/* The crowns of both arches at planned poses of a stage, or where the teeth are. */
typedef struct {
    mc_assessment *a;
    mc_arches arches;
    int stage; /* -1: where they are */
    bool stands[MC_TEETH];
    mc_crown crown[MC_TEETH];
} shown;

static mc_status look(context *c, int stage, shown *out, mc_error *error) {
    mc_case kase;
    *out = (shown){.stage = stage};
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_assess(c->practice, &kase, 0, false, &out->a, error);
    if (status == MC_OK && !out->a->has_plan)
        status = mc_fail(error, MC_REFUSED, "case %s has no plan: import one first", kase.chart);
    if (status != MC_OK)
        return status;
    mc_assess_arches(out->a, &out->arches);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_pose pose =
            stage >= 0 ? mc_plan_pose(out->a->plan, t, stage) : mc_assess_pose(out->a, t);
        out->stands[t] = out->arches.crown[t].stands;
        out->crown[t] = mc_arches_crown(&out->arches, t, &pose);
    }
    return MC_OK;
}

/* The next tooth of the arch to the patient's left; MC_NO_TOOTH at its end. */
static mc_tooth next_of(const shown *s, mc_tooth t) {
    const bool right = mc_tooth_is_right(t);
    const mc_tooth next = right ? mc_tooth_mesial(t, s->stands) : mc_tooth_distal(t, s->stands);
    return next != MC_NO_TOOTH && (right || !mc_tooth_is_right(next)) ? next : MC_NO_TOOTH;
}

static double overlap_of(const shown *s, mc_tooth t, mc_tooth next) {
    return mc_crown_overlap(t, &s->crown[t], next, &s->crown[next]);
}

/* The tooth at the patient's right end of an arch. */
static mc_tooth first_of(const shown *s, mc_arch arch) {
    mc_tooth first = MC_NO_TOOTH;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (s->stands[t] && mc_tooth_arch(t) == arch) {
            first = t;
            break;
        }
    for (mc_tooth t = first; t != MC_NO_TOOTH;) { /* any tooth leads to the end */
        first = t;
        t = mc_tooth_is_right(t) ? mc_tooth_distal(t, s->stands) : mc_tooth_mesial(t, s->stands);
    }
    return first;
}

/* ---- showing ---- */

static void print_arch(const shown *s, mc_arch arch) {
    if (s->arches.estimated[arch])
        printf("\n%s arch, estimated\n", arch == MC_UPPER ? "Upper" : "Lower");
    else
        printf("\n%s arch, measured at check-up %d\n", arch == MC_UPPER ? "Upper" : "Lower",
               s->a->measured_at[arch]);
    printf("%-5s %8s %9s %8s %8s %7s %9s %9s\n", "", "right", "anterior", "outward", "turned",
           "width", "thickness", "overlap");
    printf("%-5s %8s %9s %8s %8s %7s %9s %9s\n", "Tooth", "mm", "mm", "deg", "deg", "mm", "mm",
           "mm");
    for (mc_tooth t = first_of(s, arch); t != MC_NO_TOOTH; t = next_of(s, t)) {
        const mc_crown *crown = &s->crown[t];
        const mc_tooth next = next_of(s, t);
        char iso[4], with[24] = "", other[4];
        mc_tooth_text(MC_NOTATION_ISO, t, iso);
        if (next != MC_NO_TOOTH) {
            mc_tooth_text(MC_NOTATION_ISO, next, other);
            snprintf(with, sizeof with, "%9.2f to %s",
                     round(overlap_of(s, t, next) * 100) / 100 + 0.0, other);
        }
        print_columns("%-5s %8.2f %9.2f %8.1f %8.1f %7.1f %9.1f %s", iso, crown->right,
                      crown->anterior, crown->outward_deg, crown->turned_deg, crown->width,
                      crown->thickness, with);
    }
}

static void print_shown(const shown *s) {
    if (s->stage >= 0)
        printf("Crowns as planned at stage %d of plan %d\n", s->stage, s->a->info.number);
    else if (s->a->score)
        printf("Crowns where the teeth were at check-up %d, on plan %d\n", s->a->score->number,
               s->a->info.number);
    else
        printf("Crowns at stage 0 of plan %d: nothing was read on it yet\n", s->a->info.number);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (first_of(s, (mc_arch)arch) != MC_NO_TOOTH)
            print_arch(s, (mc_arch)arch);
    printf("\nFrom the patient's right to the left. Overlap: how deep the crowns stand in\n"
           "each other; negative where they are apart.\n");
    if (s->arches.estimated[MC_UPPER] || s->arches.estimated[MC_LOWER])
        printf("Estimated: usual crowns side by side on a usual arch form at the plan's end,\n"
               "followed back. It says where to look, not that there is room.\n");
}

static json_t *crown_json(const shown *s, mc_tooth t) {
    const mc_crown *crown = &s->crown[t];
    const mc_tooth next = next_of(s, t);
    char iso[4], other[4];
    mc_tooth_text(MC_NOTATION_ISO, t, iso);
    json_t *out =
        json_pack("{s:s, s:f, s:f, s:f, s:f, s:f, s:f}", "tooth", iso, "right_mm", crown->right,
                  "anterior_mm", crown->anterior, "outward_deg", crown->outward_deg, "turned_deg",
                  crown->turned_deg, "width_mm", crown->width, "thickness_mm", crown->thickness);
    if (next != MC_NO_TOOTH)
        mc_tooth_text(MC_NOTATION_ISO, next, other);
    json_object_set_new(out, "next", next != MC_NO_TOOTH ? json_string(other) : json_null());
    json_object_set_new(out, "overlap_mm",
                        next != MC_NO_TOOTH ? json_real(overlap_of(s, t, next)) : json_null());
    return out;
}

static json_t *arches_json(const shown *s) {
    json_t *arches = json_array();
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        json_t *crowns = json_array();
        for (mc_tooth t = first_of(s, (mc_arch)arch); t != MC_NO_TOOTH; t = next_of(s, t))
            json_array_append_new(crowns, crown_json(s, t));
        const int at = s->a->measured_at[arch];
        json_array_append_new(arches,
                              json_pack("{s:s, s:b, s:o, s:o}", "arch", arch_word((mc_arch)arch),
                                        "estimated", (int)s->arches.estimated[arch], "measured_at",
                                        at > 0 ? json_integer(at) : json_null(), "crowns", crowns));
    }
    return arches;
}

/* The check-up that found the teeth; null at a stage, and where nothing was read on the plan. */
static json_t *checkup_json(const shown *s) {
    if (s->stage >= 0 || !s->a->score)
        return json_null();
    return json_pack("{s:i, s:o}", "number", s->a->score->number, "date",
                     day_json(s->a->score->date));
}

mc_status run_arch_show(context *c, mc_error *error) {
    shown s = {0};
    int stage = -1;
    mc_status status = option_whole(&c->arguments, "stage", 0, MC_MOST_STAGES, &stage, error);
    if (status == MC_OK)
        status = look(c, stage, &s, error);
    if (status == MC_OK && c->json)
        status = print_json(json_pack("{s:i, s:s, s:i, s:o, s:o, s:o}", "format", 1, "case",
                                      c->arguments.word[0], "plan", s.a->info.number, "stage",
                                      stage >= 0 ? json_integer(stage) : json_null(), "checkup",
                                      checkup_json(&s), "arches", arches_json(&s)),
                            error);
    else if (status == MC_OK)
        print_shown(&s);
    mc_assessment_free(s.a);
    return status;
}

/* ---- writing ---- */

static mc_status which_arch(context *c, mc_arch *out, mc_error *error) {
    const char *name = option_value(&c->arguments, "arch");
    *out = name && strcmp(name, "lower") == 0 ? MC_LOWER : MC_UPPER;
    if (!name || (strcmp(name, "upper") != 0 && strcmp(name, "lower") != 0))
        return mc_fail(error, MC_USAGE, "--arch upper or --arch lower: a file has one arch");
    return MC_OK;
}

static mc_status write_arch(const shown *s, const char *label, mc_arch arch, mc_notation notation,
                            const char *out, mc_error *error) {
    mc_arch_crowns crowns = {.arch = arch};
    char heading[200], *data = NULL;
    size_t size = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (mc_tooth_arch(t) == arch)
            crowns.crown[t] = s->crown[t];
    if (first_of(s, arch) == MC_NO_TOOTH)
        return mc_fail(error, MC_REFUSED, "no tooth stands in the %s arch", arch_word(arch));
    snprintf(heading, sizeof heading, "Case %s, %s arch, %s%d%s", label, arch_word(arch),
             s->a->score ? "where the teeth were at check-up " : "at stage ",
             s->a->score ? s->a->score->number : 0, s->arches.estimated[arch] ? "; estimated" : "");
    mc_status status = mc_arch_write(&crowns, notation, heading, &data, &size, error);
    if (status == MC_OK)
        status = mc_file_write(out ? out : "-", data, size, false, error);
    free(data);
    return status;
}

mc_status run_arch_export(context *c, mc_error *error) {
    shown s = {0};
    mc_notation notation;
    mc_arch arch;
    const char *out = option_value(&c->arguments, "out"), *label = c->arguments.word[0];
    const bool to_file = out && strcmp(out, "-") != 0;
    if (c->json && !to_file)
        return two_documents(error);
    mc_status status = which_arch(c, &arch, error);
    if (status == MC_OK)
        status = notation_of(c, &notation, error);
    if (status == MC_OK)
        status = look(c, -1, &s, error);
    if (status == MC_OK)
        status = write_arch(&s, label, arch, notation, out, error);
    if (status == MC_OK && c->json)
        status = print_json(json_pack("{s:i, s:s, s:s, s:b, s:s}", "format", 1, "case", label,
                                      "arch", arch_word(arch), "estimated",
                                      (int)s.arches.estimated[arch], "file", out),
                            error);
    else if (status == MC_OK && to_file)
        printf("Wrote the %s arch of case %s, %s, to %s.\n", arch_word(arch), label,
               s.arches.estimated[arch] ? "estimated" : "measured", out);
    mc_assessment_free(s.a);
    return status;
}
