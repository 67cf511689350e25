/* The document of `forecast`. */
#include "json_parts.h"

static json_t *summary_of(const mc_forecast *forecast) {
    json_t *out = json_object();
    return json_done(out, json_put(out, "known", json_integer(forecast->known)) &&
                              json_put(out, "unknown", json_integer(forecast->unknown)) &&
                              json_put(out, "partly", json_integer(forecast->partly)) &&
                              json_put(out, "expected_out", json_measure(forecast->expected_out)) &&
                              json_put(out, "p_all_in", json_measure(forecast->p_all_in)));
}

static json_t *rate_of(const mc_component_forecast *c) {
    json_t *out = json_spread(c->rate, c->rate_sd);
    return json_done(out, json_put(out, "expected", json_measure(c->expected)));
}

static json_t *end_of(const mc_component_forecast *c) {
    json_t *out = json_object();
    return json_done(out, json_put(out, "planned", json_measure(c->planned)) &&
                              json_put(out, "mean", json_measure(c->end)) &&
                              json_put(out, "sd", json_measure(c->end_sd)) &&
                              json_put(out, "low", json_measure(c->low)) &&
                              json_put(out, "high", json_measure(c->high)));
}

static json_t *component_of(const mc_component_forecast *c) {
    if (!c->known) {
        return json_null();
    }
    json_t *out = json_object();
    return json_done(out, json_put(out, "present", json_spread(c->mean, c->sd)) &&
                              json_put(out, "rate", rate_of(c)) &&
                              json_put(out, "end", end_of(c)) &&
                              json_put(out, "p_behind", json_measure(c->p_behind)) &&
                              json_put(out, "p_out", json_measure(c->p_out)));
}

static json_t *components_of(const mc_tooth_forecast *tooth) {
    json_t *out = json_object();
    bool ok = out != NULL;
    for (int c = 0; ok && c < MC_COMPONENTS; c++) {
        ok = json_put(out, mc_component_name((mc_component)c), component_of(&tooth->component[c]));
    }
    return json_done(out, ok);
}

static json_t *tooth_of(mc_tooth place, const mc_tooth_forecast *tooth) {
    json_t *out = json_object();
    return json_done(out, json_put(out, "tooth", json_tooth(place)) &&
                              json_put(out, "p_behind", json_measure(tooth->p_behind)) &&
                              json_put(out, "p_out", json_measure(tooth->p_out)) &&
                              json_put(out, "grip", json_boolean(tooth->grip)) &&
                              json_put(out, "partly",
                                       tooth->known ? json_boolean(tooth->partly) : json_null()) &&
                              json_put(out, "components", components_of(tooth)));
}

static json_t *teeth_of(const mc_score *score, const mc_forecast *forecast) {
    json_t *out = json_array();
    bool ok = out != NULL;
    for (mc_tooth tooth = 0; ok && tooth < MC_TEETH; tooth++) {
        if (score->present[tooth]) {
            ok = json_add(out, tooth_of(tooth, &forecast->tooth[tooth]));
        }
    }
    return json_done(out, ok);
}

struct json_t *mc_json_forecast(const char *case_label, const mc_score *score,
                                const mc_forecast *forecast) {
    json_t *out = json_document(case_label);
    return json_done(
        out, json_put(out, "checkup", json_checkup(score)) &&
                 json_put(out, "summary", summary_of(forecast)) &&
                 json_put(out, "pace", json_spread(forecast->pace_mean, forecast->pace_sd)) &&
                 json_put(out, "teeth", teeth_of(score, forecast)));
}
