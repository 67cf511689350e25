/* The documents of `options` and `revise`, of settings and of plans. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "json_parts.h"
#include "plan_rows.h"

/* ---- options ---- */

static json_t *teeth_named(const mc_proposal *proposal) {
    json_t *out = json_array();
    bool ok = out != NULL;
    for (size_t i = 0; ok && i < proposal->count; i++) {
        ok = json_add(out, json_tooth(proposal->teeth[i]));
    }
    return json_done(out, ok);
}

static json_t *proposal_of(const mc_proposal *proposal) {
    json_t *out = json_object();
    return json_done(out,
                     json_put(out, "choice", json_string(mc_proposal_name(proposal->choice))) &&
                         json_put(out, "rule", json_integer(proposal->rule)) &&
                         json_put(out, "sentence", json_string(proposal->sentence)) &&
                         json_put(out, "teeth", teeth_named(proposal)) &&
                         json_put(out, "arch", json_arch(proposal->arch)) &&
                         json_put(out, "days", json_count(proposal->days, proposal->days > 0)) &&
                         json_put(out, "to", json_count(proposal->to, proposal->to >= 0)));
}

/* Choices that are taken together stand in the order of mc_choice, with a plus between. */
static json_t *choice_of(unsigned choices) {
    char text[80] = "";
    for (int c = 0; c < MC_CHOICES; c++) {
        if (choices & 1u << c) {
            const size_t used = strlen(text);
            snprintf(text + used, sizeof text - used, "%s%s", used > 0 ? "+" : "",
                     mc_choice_name((mc_choice)c));
        }
    }
    return json_string(text);
}

static json_t *corrected_of(const mc_option *option, mc_arch arch) {
    return json_count(option->stages[arch], option->possible && option->stages[arch] > 0);
}

/* By tooth, that it ends outside; of the teeth of which that is known. */
static json_t *outside_of(const mc_option *option) {
    json_t *out = json_object();
    bool ok = out != NULL, any = false;
    for (mc_tooth tooth = 0; ok && tooth < MC_TEETH; tooth++) {
        if (option->possible && !isnan(option->p_out[tooth])) {
            char name[4];
            mc_tooth_text(MC_NOTATION_ISO, tooth, name);
            ok = json_put(out, name, json_measure(option->p_out[tooth]));
            any = true;
        }
    }
    if (ok && !any) {
        json_decref(out);
        return json_null();
    }
    return json_done(out, ok);
}

static json_t *option_of(const mc_option *option) {
    const bool known = option->possible;
    json_t *out = json_object();
    return json_done(
        out, json_put(out, "choice", choice_of(option->ask.choices)) &&
                 json_put(out, "days", json_count(option->ask.days, option->ask.days > 0)) &&
                 json_put(out, "to", json_count(option->ask.to, option->ask.to >= 0)) &&
                 json_put(out, "expected_out", json_measure(option->expected_out)) &&
                 json_put(out, "unknown", json_count(option->unknown, known)) &&
                 json_put(out, "p_all_in", json_measure(option->p_all_in)) &&
                 json_put(out, "p_out", outside_of(option)) &&
                 json_put(out, "ends", known ? json_day(option->ends) : json_null()) &&
                 json_put(out, "aligners", json_count(option->aligners, known)) &&
                 json_put(out, "discarded", json_count(option->discarded, known)) &&
                 json_put(out, "checkups", json_count(option->checkups, known)) &&
                 json_put(out, "corrected_upper", corrected_of(option, MC_UPPER)) &&
                 json_put(out, "corrected_lower", corrected_of(option, MC_LOWER)) &&
                 json_put(out, "why_not", json_word(option->why_not, !known)));
}

static json_t *options_of(const mc_option *options, size_t count) {
    json_t *out = json_array();
    bool ok = out != NULL;
    for (size_t i = 0; ok && i < count; i++) {
        ok = json_add(out, option_of(&options[i]));
    }
    return json_done(out, ok);
}

struct json_t *mc_json_options(const char *case_label, const mc_score *score,
                               const mc_proposal *proposal, const mc_option *options,
                               size_t count) {
    json_t *out = json_document(case_label);
    json_t *checkup = json_object();
    /* put first, so that it is let go of with the document whatever fails */
    return json_done(out, json_put(out, "checkup", checkup) &&
                              json_put(checkup, "number", json_integer(score->number)) &&
                              json_put(checkup, "date", json_day(score->date)) &&
                              json_put(out, "proposal", proposal_of(proposal)) &&
                              json_put(out, "options", options_of(options, count)));
}

/* ---- revise ---- */

/* The teeth that make the series of the wanted arches as long as they must be at least. */
static json_t *limiting_of(const mc_restaged *restaged, const bool wanted[MC_ARCHES]) {
    json_t *out = json_array();
    bool ok = out != NULL;
    for (mc_tooth tooth = 0; ok && tooth < MC_TEETH; tooth++) {
        const mc_restaged_tooth *one = &restaged->tooth[tooth];
        const mc_arch arch = mc_tooth_arch(tooth);
        if (wanted[arch] && one->moves && one->stages_needed == restaged->lower_bound[arch]) {
            json_t *entry = json_object();
            ok = json_add(out, entry) && json_put(entry, "tooth", json_tooth(tooth)) &&
                 json_put(entry, "limit", json_string(mc_limit_name(one->limited_by)));
        }
    }
    return json_done(out, ok);
}

/* A blocked arch has its bound, and no series. */
static json_t *series_of(const mc_restaged *restaged, mc_arch arch, bool estimated) {
    const int stages = restaged->stages[arch];
    if (stages == 0 && restaged->lower_bound[arch] == 0) {
        return json_null();
    }
    const bool wanted[MC_ARCHES] = {[MC_UPPER] = arch == MC_UPPER, [MC_LOWER] = arch == MC_LOWER};
    json_t *out = json_object();
    return json_done(out,
                     json_put(out, "stages", json_count(stages, stages > 0)) &&
                         json_put(out, "lower_bound", json_integer(restaged->lower_bound[arch])) &&
                         json_put(out, "limited_by", limiting_of(restaged, wanted)) &&
                         json_put(out, "estimated_geometry", json_boolean(estimated)));
}

static json_t *arches_of(const mc_restaged *restaged, const bool estimated[MC_ARCHES]) {
    json_t *out = json_object();
    return json_done(
        out, json_put(out, "upper", series_of(restaged, MC_UPPER, estimated[MC_UPPER])) &&
                 json_put(out, "lower", series_of(restaged, MC_LOWER, estimated[MC_LOWER])));
}

static json_t *contact_of(const mc_restaged_contact *c) {
    json_t *out = json_object();
    return json_done(
        out,
        json_put(out, "right", json_tooth(c->right)) &&
            json_put(out, "left", json_tooth(c->left)) &&
            json_put(out, "start", json_measure(c->start)) &&
            json_put(out, "end", json_measure(c->end)) &&
            json_put(out, "most", json_measure(c->most)) &&
            json_put(out, "ipr", json_measure(c->ipr)) &&
            json_put(out, "passed_over", json_measure(c->passed_over)) &&
            json_put(out, "allowed", json_measure(c->allowed)) &&
            json_put(out, "leads", c->leads == MC_NO_TOOTH ? json_null() : json_tooth(c->leads)) &&
            json_put(out, "in_turns", json_boolean(c->in_turns)) &&
            json_put(out, "costs", json_integer(c->costs)) &&
            json_put(out, "missing", json_measure(c->missing)) &&
            json_put(out, "target_overlaps", json_boolean(c->target_overlaps)));
}

static json_t *contacts_of(const mc_restaged *restaged) {
    if (!restaged->overlap_checked) {
        return json_null();
    }
    json_t *out = json_array();
    bool ok = out != NULL;
    for (size_t i = 0; ok && i < restaged->contacts; i++) {
        ok = json_add(out, contact_of(&restaged->contact[i]));
    }
    return json_done(out, ok);
}

static json_t *remaining_of(const mc_pose *pose) {
    json_t *out = json_object();
    bool ok = out != NULL;
    for (int c = 0; ok && c < MC_COMPONENTS; c++) {
        ok = json_put(out, mc_component_name((mc_component)c), json_measure(pose->c[c]));
    }
    return json_done(out, ok);
}

static json_t *restaged_tooth(mc_tooth tooth, const mc_restaged_tooth *one) {
    json_t *out = json_object();
    return json_done(out, json_put(out, "tooth", json_tooth(tooth)) &&
                              json_put(out, "remaining", remaining_of(&one->remaining)) &&
                              json_put(out, "stages_needed", json_integer(one->stages_needed)) &&
                              json_put(out, "limit",
                                       json_word(mc_limit_name(one->limited_by),
                                                 one->limited_by != MC_LIMIT_NONE)) &&
                              json_put(out, "first", json_count(one->first, one->first > 0)) &&
                              json_put(out, "last", json_count(one->last, one->last > 0)));
}

static json_t *restaged_teeth(const mc_restaged *restaged) {
    json_t *out = json_array();
    bool ok = out != NULL;
    for (mc_tooth tooth = 0; ok && tooth < MC_TEETH; tooth++) {
        if (restaged->tooth[tooth].moves) {
            ok = json_add(out, restaged_tooth(tooth, &restaged->tooth[tooth]));
        }
    }
    return json_done(out, ok);
}

static int larger(const int value[MC_ARCHES]) {
    return value[MC_UPPER] > value[MC_LOWER] ? value[MC_UPPER] : value[MC_LOWER];
}

struct json_t *mc_json_revise(const char *case_label, const mc_restaged *restaged,
                              const bool estimated[MC_ARCHES], const char *why) {
    const int bound = larger(restaged->lower_bound), stages = larger(restaged->stages);
    /* the longer series, or both where their bounds are equal */
    const bool longest[MC_ARCHES] = {restaged->lower_bound[MC_UPPER] == bound,
                                     restaged->lower_bound[MC_LOWER] == bound};
    const bool guessed = (estimated[MC_UPPER] && restaged->lower_bound[MC_UPPER] > 0) ||
                         (estimated[MC_LOWER] && restaged->lower_bound[MC_LOWER] > 0);
    json_t *out = json_document(case_label);
    return json_done(out, json_put(out, "stages", json_count(stages, !restaged->blocked)) &&
                              json_put(out, "lower_bound", json_integer(bound)) &&
                              json_put(out, "limited_by", limiting_of(restaged, longest)) &&
                              json_put(out, "preview", json_boolean(why[0] != '\0')) &&
                              json_put(out, "why_preview", json_word(why, why[0] != '\0')) &&
                              json_put(out, "blocked", json_boolean(restaged->blocked)) &&
                              json_put(out, "estimated_geometry", json_boolean(guessed)) &&
                              json_put(out, "overlaps", contacts_of(restaged)) &&
                              json_put(out, "arches", arches_of(restaged, estimated)) &&
                              json_put(out, "teeth", restaged_teeth(restaged)));
}

/* ---- settings ---- */

static json_t *setting_of(const mc_settings *settings, const mc_setting *about, double value) {
    char source[MC_SOURCE_SIZE];
    mc_settings_source(settings, about, source);
    json_t *out = json_object();
    return json_done(out, json_put(out, "key", json_string(about->key)) &&
                              json_put(out, "value", json_measure(value)) &&
                              json_put(out, "unit", json_string(about->unit)) &&
                              json_put(out, "default", json_measure(about->initial)) &&
                              json_put(out, "low", json_measure(about->low)) &&
                              json_put(out, "high", json_measure(about->high)) &&
                              json_put(out, "meaning", json_string(about->meaning)) &&
                              json_put(out, "source", json_string(source)));
}

struct json_t *mc_json_settings(const mc_settings *settings) {
    json_t *out = json_document(NULL);
    json_t *list = json_array();
    bool ok = json_put(out, "settings", list);
    for (size_t i = 0; ok && i < mc_settings_count(); i++) {
        const mc_setting about = mc_settings_describe(i);
        double value = about.initial;
        mc_settings_get(settings, about.key, &value);
        if (!about.taken || value != 0) {
            ok = json_add(list, setting_of(settings, &about, value));
        }
    }
    return json_done(out, ok);
}

/* ---- plan ---- */

static json_t *mark_of(mc_mark mark) {
    return json_word(plan_mark_name(mark), mark != MC_MARK_NONE);
}

/* Members are named as the columns of the plan file are. */
static json_t *plan_row_of(const mc_plan_row *row) {
    json_t *out = json_object();
    bool ok = json_put(out, "tooth", json_tooth(row->tooth)) &&
              json_put(out, "stage", json_integer(row->stage));
    for (int c = 0; ok && c < MC_COMPONENTS; c++) {
        ok = json_put(out, mc_component_column((mc_component)c), json_measure(row->pose.c[c]));
    }
    return json_done(
        out, ok && json_put(out, "attachment", mark_of(row->attachment)) &&
                 json_put(out, "ipr_mesial_mm",
                          row->ipr_mesial != 0 ? json_measure(row->ipr_mesial) : json_null()) &&
                 json_put(out, "ipr_distal_mm",
                          row->ipr_distal != 0 ? json_measure(row->ipr_distal) : json_null()));
}

static json_t *stages_of(const mc_plan *plan) {
    const int upper = mc_plan_stages(plan, MC_UPPER), lower = mc_plan_stages(plan, MC_LOWER);
    json_t *out = json_object();
    return json_done(out, json_put(out, "upper", json_count(upper, upper > 0)) &&
                              json_put(out, "lower", json_count(lower, lower > 0)));
}

static json_t *rows_of(const mc_plan *plan) {
    json_t *out = json_array();
    bool ok = out != NULL;
    for (size_t i = 0; ok && i < mc_plan_count(plan); i++) {
        ok = json_add(out, plan_row_of(mc_plan_row_at(plan, i)));
    }
    return json_done(out, ok);
}

struct json_t *mc_json_plan(const mc_plan *plan) {
    json_t *out = json_document(NULL);
    return json_done(out, json_put(out, "stages", stages_of(plan)) &&
                              json_put(out, "rows", rows_of(plan)));
}
