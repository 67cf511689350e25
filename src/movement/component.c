/* The six components of a pose, in words. */
#include "midcourse/movement.h"

extern bool mc_component_is_linear(mc_component c); /* inline where it is called */

const char *mc_component_name(mc_component c) {
    static const char *const names[MC_COMPONENTS] = {"mesial",   "buccal",     "occlusal",
                                                     "rotation", "angulation", "inclination"};
    return names[c];
}

const char *mc_component_column(mc_component c) {
    static const char *const columns[MC_COMPONENTS] = {"mesial_mm",      "buccal_mm",
                                                       "occlusal_mm",    "rotation_deg",
                                                       "angulation_deg", "inclination_deg"};
    return columns[c];
}

double mc_component_least(mc_component c) {
    return mc_component_is_linear(c) ? 0.05 : 0.2;
}

/* Outward or inward of the arch, as it is said of this tooth. */
static const char *sideways(mc_tooth tooth, bool outward, const char *const words[4]) {
    if (outward) {
        return mc_tooth_position(tooth) <= 3 ? words[0] : words[1];
    }
    return mc_tooth_arch(tooth) == MC_UPPER ? words[2] : words[3];
}

const char *mc_component_word(mc_component c, mc_tooth tooth, bool positive) {
    static const char *const along[4] = {"labial", "buccal", "palatal", "lingual"};
    static const char *const crown[4] = {"crown labial", "crown buccal", "crown palatal",
                                         "crown lingual"};
    switch (c) {
    case MC_MESIAL:
        return positive ? "mesial" : "distal";
    case MC_BUCCAL:
        return sideways(tooth, positive, along);
    case MC_OCCLUSAL:
        return positive ? "extrusion" : "intrusion";
    case MC_ROTATION:
        return positive ? "mesial-in" : "mesial-out";
    case MC_ANGULATION:
        return positive ? "tip mesial" : "tip distal";
    default:
        return sideways(tooth, positive, crown);
    }
}
