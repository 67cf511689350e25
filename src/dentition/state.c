/* States of a tooth in a mouth. */
#include "midcourse/dentition.h"

#include <string.h>

static const char *const names[MC_TOOTH_STATES] = {"present",   "missing",  "extracted",
                                                   "unerupted", "shedding", "implant",
                                                   "ankylosed", "bridge",   "fixed"};

const char *mc_tooth_state_name(mc_tooth_state state) {
    return names[state];
}

bool mc_tooth_state_parse(const char *text, mc_tooth_state *state) {
    for (int i = 0; i < MC_TOOTH_STATES; i++) {
        if (strcmp(text, names[i]) == 0) {
            *state = (mc_tooth_state)i;
            return true;
        }
    }
    return false;
}

bool mc_tooth_stands(mc_tooth_state state) {
    return state != MC_TOOTH_MISSING && state != MC_TOOTH_EXTRACTED && state != MC_TOOTH_UNERUPTED;
}

bool mc_tooth_may_move(mc_tooth_state state) {
    return state == MC_TOOTH_PRESENT || state == MC_TOOTH_SHEDDING;
}
