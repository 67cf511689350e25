/* What can be read of a tooth against something else: its names, what of the tooth it measures, and
 * against whom. */
#include "midcourse/tracking.h"

static const struct {
    const char *name, *column;
    mc_component component;
    int own, other; /* what +1 of the tooth, of its neighbour changes; one side of the midline */
    int side;       /* +1 mesial, -1 distal, 0: no neighbour */
} KIND[MC_RELATIVES] = {
    [MC_SPACE_TO_MESIAL] = {"space mesial", "space_mesial_mm", MC_MESIAL, -1, 1, 1},
    [MC_SPACE_TO_DISTAL] = {"space distal", "space_distal_mm", MC_MESIAL, 1, -1, -1},
    [MC_STEP_TO_MESIAL] = {"step mesial", "step_mesial_mm", MC_BUCCAL, 1, -1, 1},
    [MC_STEP_TO_DISTAL] = {"step distal", "step_distal_mm", MC_BUCCAL, 1, -1, -1},
    [MC_HEIGHT_TO_MESIAL] = {"height mesial", "height_mesial_mm", MC_OCCLUSAL, 1, -1, 1},
    [MC_HEIGHT_TO_DISTAL] = {"height distal", "height_distal_mm", MC_OCCLUSAL, 1, -1, -1},
    [MC_CROWN_ANGLE] = {"crown angle", "crown_angle_deg", MC_ROTATION, 1, 0, 0}};

const char *mc_relative_name(mc_relative what) {
    return KIND[what].name;
}

const char *mc_relative_column(mc_relative what) {
    return KIND[what].column;
}

mc_component mc_relative_component(mc_relative what) {
    return KIND[what].component;
}

int mc_relative_own(mc_relative what) {
    return KIND[what].own;
}

/* Across the midline both go mesially toward each other. */
int mc_relative_other(mc_relative what, mc_tooth tooth, mc_tooth neighbour) {
    if (KIND[what].side == 0 || neighbour == MC_NO_TOOTH)
        return 0;
    bool across = mc_tooth_is_right(tooth) != mc_tooth_is_right(neighbour);
    return KIND[what].component == MC_MESIAL && across ? -KIND[what].other : KIND[what].other;
}

mc_tooth mc_relative_neighbour(mc_relative what, mc_tooth tooth,
                               const mc_tooth_state states[MC_TEETH]) {
    bool standing[MC_TEETH];
    if (KIND[what].side == 0)
        return MC_NO_TOOTH;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        standing[t] = states ? mc_tooth_stands(states[t]) : !mc_tooth_is_deciduous(t);
    return KIND[what].side > 0 ? mc_tooth_mesial(tooth, standing)
                               : mc_tooth_distal(tooth, standing);
}
