/* The document of `score`. */
#include <math.h>

#include "json_parts.h"

static json_t *summary_of(const mc_score *score) {
    static const mc_state order[MC_STATES] = {
        MC_STATE_ON_PLAN, MC_STATE_SEATED,    MC_STATE_SLIPPING, MC_STATE_BEHIND,
        MC_STATE_STALLED, MC_STATE_PAST_PLAN, MC_STATE_DRIFTING, MC_STATE_UNMEASURED};
    json_t *out = json_object();
    bool ok = json_put(out, "present", json_integer(score->present_count)) &&
              json_put(out, "measured", json_integer(score->measured));
    for (int i = 0; ok && i < MC_STATES; i++) {
        ok = json_put(out, mc_state_name(order[i]), json_integer(score->count[order[i]]));
    }
    return json_done(out, ok && json_put(out, "worst", json_tooth(score->worst)) &&
                              json_put(out, "lag_index", json_measure(score->lag_index)));
}

static json_t *kind_of(mc_kind kind) {
    return json_word(mc_kind_name(kind), kind != MC_KIND_NONE);
}

static json_t *estimate_of(const mc_item *item) {
    return item->followed ? json_spread(item->mean, item->sd_x) : json_null();
}

static json_t *component_of(const mc_item *item) {
    if (!item->read) {
        return json_null();
    }
    json_t *out = json_object();
    return json_done(out, json_put(out, "planned", json_measure(item->planned)) &&
                              json_put(out, "observed", json_measure(item->observed)) &&
                              json_put(out, "sd", json_measure(item->sd)) &&
                              json_put(out, "readings", json_integer(item->readings)) &&
                              json_put(out, "estimate", estimate_of(item)) &&
                              json_put(out, "kind", kind_of(item->kind)) &&
                              json_put(out, "shortfall", json_measure(item->shortfall)) &&
                              json_put(out, "tolerance", json_measure(item->tolerance)) &&
                              json_put(out, "index", json_measure(item->index)) &&
                              json_put(out, "raw_index", json_measure(item->raw_index)) &&
                              json_put(out, "weight", json_measure(item->weight)) &&
                              json_put(out, "p", json_measure(item->p)));
}

static json_t *components_of(const mc_tooth_score *tooth) {
    json_t *out = json_object();
    bool ok = out != NULL;
    for (int c = 0; ok && c < MC_COMPONENTS; c++) {
        ok = json_put(out, mc_component_name((mc_component)c), component_of(&tooth->item[c]));
    }
    return json_done(out, ok);
}

/* A neighbour or a baseline that there is not is null. */
static json_t *relative_of(mc_relative what, const mc_relative_item *item) {
    json_t *out = json_object();
    return json_done(out, json_put(out, "what", json_string(mc_relative_name(what))) &&
                              json_put(out, "neighbour", json_tooth(item->neighbour)) &&
                              json_put(out, "baseline", json_measure(item->baseline)) &&
                              json_put(out, "should_read", json_measure(item->should_read)) &&
                              json_put(out, "read", json_measure(item->read)));
}

static json_t *relatives_of(const mc_tooth_score *tooth) {
    json_t *out = json_array();
    bool ok = out != NULL;
    for (int i = 0; ok && i < MC_RELATIVES; i++) {
        if (tooth->relative[i].readings > 0) {
            ok = json_add(out, relative_of((mc_relative)i, &tooth->relative[i]));
        }
    }
    return json_done(out, ok);
}

static json_t *seat_gap_of(const mc_tooth_score *tooth) {
    if (isnan(tooth->seat_gap)) {
        return json_null();
    }
    json_t *out = json_object();
    return json_done(out, json_put(out, "observed", json_measure(tooth->seat_gap)) &&
                              json_put(out, "index", json_measure(tooth->seat_index)) &&
                              json_put(out, "kind", kind_of(tooth->seat_kind)) &&
                              json_put(out, "p", json_measure(tooth->seat_p)));
}

static json_t *worst_of(const mc_tooth_score *tooth) {
    if (tooth->worst == MC_WORST_SEAT_GAP) {
        return json_string("seat_gap");
    }
    return tooth->worst == MC_WORST_NONE
               ? json_null()
               : json_string(mc_component_name((mc_component)tooth->worst));
}

static json_t *contact_of(mc_contact contact) {
    return json_word(mc_contact_name(contact), contact != MC_CONTACT_UNSAID);
}

/* What was found besides positions. */
static bool put_findings(json_t *out, const mc_tooth_score *tooth) {
    return json_put(out, "attachment",
                    json_word(mc_attachment_name(tooth->attachment),
                              tooth->attachment != MC_ATTACHMENT_UNSAID)) &&
           json_put(out, "mobility", json_count(tooth->mobility, tooth->mobility >= 0)) &&
           json_put(out, "contact_mesial", contact_of(tooth->contact_mesial)) &&
           json_put(out, "contact_distal", contact_of(tooth->contact_distal)) &&
           json_put(out, "pain", json_yes(tooth->pain)) &&
           json_put(out, "swelling", json_yes(tooth->swelling)) &&
           json_put(out, "recession", json_measure(tooth->recession));
}

static json_t *tooth_of(mc_tooth place, const mc_tooth_score *tooth) {
    json_t *out = json_object();
    return json_done(
        out, json_put(out, "tooth", json_tooth(place)) &&
                 json_put(out, "state", json_string(mc_state_name(tooth->state))) &&
                 json_put(out, "lag_index", json_measure(tooth->lag_index)) &&
                 json_put(out, "risk_weight", json_measure(tooth->risk_weight)) &&
                 json_put(out, "worst", worst_of(tooth)) &&
                 json_put(out, "p_behind", json_measure(tooth->p_behind)) &&
                 json_put(out, "lag_stages", json_measure(tooth->lag_stages)) &&
                 json_put(out, "lag_stages_low", json_measure(tooth->lag_stages_low)) &&
                 json_put(out, "lag_stages_high", json_measure(tooth->lag_stages_high)) &&
                 json_put(out, "stage_equivalent", json_measure(tooth->stage_equivalent)) &&
                 json_put(out, "off_path", json_measure(tooth->off_path)) &&
                 json_put(out, "tracked_share", json_measure(tooth->tracked_share)) &&
                 json_put(out, "tracked_share_se", json_measure(tooth->tracked_share_se)) &&
                 json_put(out, "seat_gap", seat_gap_of(tooth)) && put_findings(out, tooth) &&
                 json_put(out, "components", components_of(tooth)) &&
                 json_put(out, "relative", relatives_of(tooth)));
}

static json_t *teeth_of(const mc_score *score) {
    json_t *out = json_array();
    bool ok = out != NULL;
    for (mc_tooth tooth = 0; ok && tooth < MC_TEETH; tooth++) {
        if (score->present[tooth]) {
            ok = json_add(out, tooth_of(tooth, &score->tooth[tooth]));
        }
    }
    return json_done(out, ok);
}

struct json_t *mc_json_score(const char *case_label, const mc_score *score) {
    json_t *out = json_document(case_label);
    return json_done(out,
                     json_put(out, "checkup", json_checkup(score)) &&
                         json_put(out, "summary", summary_of(score)) &&
                         json_put(out, "pace", json_spread(score->pace_mean, score->pace_sd)) &&
                         json_put(out, "teeth", teeth_of(score)));
}
