#include "json_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FORMAT = 1, EVERY_DIGIT = 17 };

json_t *json_measure(double value) {
    return isfinite(value) ? json_real(value) : json_null();
}

json_t *json_count(int value, bool exists) {
    return exists ? json_integer(value) : json_null();
}

json_t *json_word(const char *text, bool exists) {
    return exists ? json_string(text) : json_null();
}

json_t *json_tooth(mc_tooth tooth) {
    if (tooth == MC_NO_TOOTH) {
        return json_null();
    }
    char name[4];
    mc_tooth_text(MC_NOTATION_ISO, tooth, name);
    return json_string(name);
}

json_t *json_day(mc_day day) {
    char text[11];
    mc_day_text(day, text);
    return json_word(text, day != MC_NO_DAY);
}

json_t *json_yes(mc_yes yes) {
    return yes == MC_UNSAID ? json_null() : json_boolean(yes == MC_YES);
}

json_t *json_arch(mc_arch arch) {
    return json_word(arch == MC_UPPER ? "upper" : "lower", arch == MC_UPPER || arch == MC_LOWER);
}

bool json_put(json_t *object, const char *key, json_t *value) {
    return json_object_set_new(object, key, value) == 0;
}

bool json_add(json_t *array, json_t *value) {
    return json_array_append_new(array, value) == 0;
}

json_t *json_done(json_t *thing, bool ok) {
    if (!ok) {
        json_decref(thing);
        return NULL;
    }
    return thing;
}

json_t *json_document(const char *case_label) {
    json_t *document = json_object();
    bool ok = json_put(document, "format", json_integer(FORMAT));
    if (case_label) {
        ok = ok && json_put(document, "case", json_string(case_label));
    }
    return json_done(document, ok);
}

json_t *json_spread(double mean, double sd) {
    json_t *out = json_object();
    return json_done(out, json_put(out, "mean", json_measure(mean)) &&
                              json_put(out, "sd", json_measure(sd)));
}

static json_t *arch_of(const mc_score *score, mc_arch arch) {
    if (score->stages[arch] == 0 || score->aligner[arch] == MC_NO_ALIGNER) {
        return json_null();
    }
    json_t *out = json_object();
    return json_done(
        out, json_put(out, "aligner", json_integer(score->aligner[arch])) &&
                 json_put(out, "day", json_count(score->day[arch], score->day[arch] >= 0)) &&
                 json_put(out, "effective_stage", json_measure(score->effective_stage[arch])) &&
                 json_put(out, "stages", json_integer(score->stages[arch])));
}

json_t *json_checkup(const mc_score *score) {
    json_t *out = json_object();
    return json_done(out, json_put(out, "number", json_integer(score->number)) &&
                              json_put(out, "date", json_day(score->date)) &&
                              json_put(out, "upper", arch_of(score, MC_UPPER)) &&
                              json_put(out, "lower", arch_of(score, MC_LOWER)) &&
                              json_put(out, "wear_hours", json_measure(score->wear_hours)));
}

char *mc_json_text(struct json_t *document, bool compact) {
    const size_t digits = JSON_REAL_PRECISION(EVERY_DIGIT);
    if (compact) {
        return mc_json_whole(document, digits | JSON_COMPACT | JSON_SORT_KEYS);
    }
    char *text = mc_json_whole(document, digits | JSON_INDENT(2));
    if (!text) {
        return NULL;
    }
    const size_t length = strlen(text);
    char *with_end = realloc(text, length + 2);
    if (!with_end) {
        free(text);
        return NULL;
    }
    with_end[length] = '\n';
    with_end[length + 1] = '\0';
    return with_end;
}
