#include "chair.h"

static const char *notation_words(mc_notation notation) {
    switch (notation) {
    case MC_NOTATION_UNIVERSAL:
        return "in the 1-32/A-T notation";
    case MC_NOTATION_QUADRANT:
        return "in the quadrant notation";
    case MC_NOTATION_ISO:
        break;
    }
    return "in ISO 3950 notation";
}

mc_status chair_tooth(const table_field *field, mc_notation notation, mc_tooth *tooth,
                      mc_error *error) {
    if (field->text[0] == '\0') {
        return sheet_refuse(field, error, "the tooth is missing");
    }
    *tooth = mc_tooth_parse(notation, field->text);
    if (*tooth == MC_NO_TOOTH) {
        char shown[200];
        table_quote(field->text, shown);
        return sheet_refuse(field, error, "unknown tooth \"%s\" %s", shown,
                            notation_words(notation));
    }
    return MC_OK;
}

mc_status chair_stands(const table_field *field, mc_notation notation, mc_tooth tooth,
                       const mc_tooth_state *states, mc_error *error) {
    if (!states || mc_tooth_stands(states[tooth])) {
        return MC_OK;
    }
    char name[4];
    mc_tooth_text(notation, tooth, name);
    return sheet_refuse(field, error, "the case does not have tooth %s (%s)", name,
                        mc_tooth_state_name(states[tooth]));
}

const char *chair_unit(bool linear) {
    return linear ? "mm" : "deg";
}
