/* What a doctor saw when a decision was signed. */
#include "midcourse/practice.h"

#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void copy_text(char *out, size_t size, json_t *value) {
    const char *text = json_string_value(value);
    snprintf(out, size, "%s", text ? text : "");
}

static mc_state state_called(const char *name) {
    for (int state = 0; name && state < MC_STATES; state++)
        if (strcmp(mc_state_name((mc_state)state), name) == 0)
            return (mc_state)state;
    return MC_STATE_UNMEASURED;
}

static bool is_off(mc_state state) {
    return state >= MC_STATE_STALLED && state <= MC_STATE_SLIPPING;
}

static void take_tooth(json_t *entry, mc_seen *out) {
    const char *iso = json_string_value(json_object_get(entry, "tooth"));
    mc_seen_tooth seen = {.tooth = iso ? mc_tooth_parse(MC_NOTATION_ISO, iso) : MC_NO_TOOTH,
                          .state = state_called(json_string_value(json_object_get(entry, "state"))),
                          .lag_index = NAN};
    json_t *lag = json_object_get(entry, "lag_index");
    if (json_is_number(lag))
        seen.lag_index = json_number_value(lag);
    copy_text(seen.worst, sizeof seen.worst, json_object_get(entry, "worst"));
    for (char *dash = strchr(seen.worst, '_'); dash; dash = strchr(dash, '_'))
        *dash = ' ';
    if (seen.tooth == MC_NO_TOOTH || !is_off(seen.state) || out->count == MC_TEETH)
        return;
    size_t place = out->count++;
    for (; place > 0 && out->off[place - 1].lag_index < seen.lag_index; place--)
        out->off[place] = out->off[place - 1];
    out->off[place] = seen;
}

/* ---- the options ---- */

/* "hold+local". */
static unsigned choices_called(const char *names) {
    unsigned choices = 0;
    while (names && *names) {
        char name[40];
        mc_choice choice;
        size_t length = strcspn(names, "+");
        snprintf(name, sizeof name, "%.*s", (int)length, names);
        if (mc_choice_parse(name, &choice))
            choices |= 1u << choice;
        names += length + (names[length] == '+');
    }
    return choices;
}

static double number_or(json_t *entry, const char *key, double otherwise) {
    json_t *value = json_object_get(entry, key);
    return json_is_number(value) ? json_number_value(value) : otherwise;
}

static int count_or(json_t *entry, const char *key, int otherwise) {
    json_t *value = json_object_get(entry, key);
    return json_is_integer(value) ? (int)json_integer_value(value) : otherwise;
}

static void take_option(json_t *entry, mc_seen *out) {
    const char *ends = json_string_value(json_object_get(entry, "ends"));
    mc_option seen = {
        .ask = {.choices = choices_called(json_string_value(json_object_get(entry, "choice"))),
                .days = count_or(entry, "days", 0),
                .to = count_or(entry, "to", -1)},
        .expected_out = number_or(entry, "expected_out", NAN),
        .p_all_in = number_or(entry, "p_all_in", NAN),
        .unknown = count_or(entry, "unknown", 0),
        .ends = MC_NO_DAY,
        .aligners = count_or(entry, "aligners", 0),
        .discarded = count_or(entry, "discarded", 0),
        .checkups = count_or(entry, "checkups", 0)};
    seen.possible = ends && mc_day_parse(ends, &seen.ends);
    copy_text(seen.why_not, sizeof seen.why_not, json_object_get(entry, "why_not"));
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        seen.p_out[t] = NAN;
    if (seen.ask.choices != 0 && out->option_count < MC_MOST_OPTIONS)
        out->options[out->option_count++] = seen;
}

static void take_evidence(json_t *evidence, mc_seen *out) {
    json_t *document = json_object_get(evidence, "options");
    json_t *proposal = json_object_get(document, "proposal");
    json_t *options = json_object_get(document, "options");
    json_t *teeth = json_object_get(json_object_get(evidence, "score"), "teeth");
    copy_text(out->proposal, sizeof out->proposal, json_object_get(proposal, "choice"));
    copy_text(out->sentence, sizeof out->sentence, json_object_get(proposal, "sentence"));
    out->rule = (int)json_integer_value(json_object_get(proposal, "rule"));
    out->plan =
        (int)json_integer_value(json_object_get(json_object_get(evidence, "plan"), "number"));
    out->opened =
        (int)json_integer_value(json_object_get(json_object_get(evidence, "opened"), "number"));
    for (size_t i = 0; i < json_array_size(teeth); i++)
        take_tooth(json_array_get(teeth, i), out);
    for (size_t i = 0; i < json_array_size(options); i++)
        take_option(json_array_get(options, i), out);
}

mc_status mc_history_seen(mc_practice *practice, const mc_case *kase, const char *hash,
                          mc_seen *out, mc_error *error) {
    mc_decision *list = NULL;
    size_t count = 0, at = 0;
    *out = (mc_seen){0};
    mc_status status =
        mc_record_decisions(mc_practice_record(practice), &kase->id, &list, &count, error);
    if (status != MC_OK)
        return status;
    while (at < count && strcmp(list[at].hash, hash) != 0)
        at++;
    if (at < count) {
        out->decision = list[at];
        list[at].evidence = NULL; /* taken over */
    } else {
        status = mc_fail(error, MC_REFUSED, "this decision is not on record");
    }
    mc_decision_free(list, count);
    json_t *evidence = out->decision.evidence ? json_loads(out->decision.evidence, 0, NULL) : NULL;
    take_evidence(evidence, out);
    json_decref(evidence);
    return status;
}

void mc_seen_free(mc_seen *seen) {
    free(seen->decision.evidence);
    *seen = (mc_seen){0};
}
