/* What one aligner may do. */
#include "limit.h"

#include <math.h>

static const double DEGREE = 3.14159265358979323846 / 180;

const char *mc_limit_name(mc_limit limit) {
    static const char *const names[] = {"none",       "mesial or distal", "buccal or lingual",
                                        "intrusion",  "extrusion",        "rotation",
                                        "angulation", "inclination",      "corner of the crown"};
    return names[limit];
}

mc_limit limit_of(mc_component c, double remaining) {
    static const mc_limit limits[MC_COMPONENTS] = {MC_LIMIT_MESIODISTAL, MC_LIMIT_BUCCOLINGUAL,
                                                   MC_LIMIT_EXTRUSION,   MC_LIMIT_ROTATION,
                                                   MC_LIMIT_ANGULATION,  MC_LIMIT_INCLINATION};
    return c == MC_OCCLUSAL && remaining < 0 ? MC_LIMIT_INTRUSION : limits[c];
}

double mc_step_limit(const mc_settings *settings, mc_tooth tooth, const mc_pose *remaining,
                     mc_component c) {
    switch (limit_of(c, remaining->c[c])) {
    case MC_LIMIT_MESIODISTAL:
        return settings->step_mesiodistal_mm;
    case MC_LIMIT_BUCCOLINGUAL:
        return settings->step_buccolingual_mm;
    case MC_LIMIT_INTRUSION:
        return settings->step_intrusion_mm;
    case MC_LIMIT_EXTRUSION:
        return settings->step_extrusion_mm;
    case MC_LIMIT_ROTATION:
        return mc_tooth_is_round(tooth) ? settings->step_round_rotation_deg
                                        : settings->step_rotation_deg;
    default:
        return mc_pose_is_root_movement(remaining, c, mc_tooth_usual_size(tooth).root_length)
                   ? settings->step_root_deg
                   : settings->step_tipping_deg;
    }
}

double mc_corner_way(mc_tooth tooth, const mc_pose *from, const mc_pose *to) {
    const mc_tooth_size size = mc_tooth_usual_size(tooth);
    const double half[3] = {size.crown_width / 2, size.crown_thickness / 2, size.crown_height / 2};
    double first[3][3], second[3][3], most = 0;
    mc_pose_rotation(from, first);
    mc_pose_rotation(to, second);
    for (int corner = 0; corner < 8; corner++) {
        double square = 0;
        for (int i = 0; i < 3; i++) {
            double way = to->c[i] - from->c[i];
            for (int j = 0; j < 3; j++) {
                way += (second[i][j] - first[i][j]) * (corner >> j & 1 ? half[j] : -half[j]);
            }
            square += way * way;
        }
        most = fmax(most, square);
    }
    return sqrt(most);
}

double corner_bound(mc_tooth tooth, const mc_pose *difference) {
    const mc_tooth_size size = mc_tooth_usual_size(tooth);
    const double *d = difference->c;
    const double half =
        sqrt(size.crown_width * size.crown_width + size.crown_thickness * size.crown_thickness +
             size.crown_height * size.crown_height) /
        2;
    const double turned =
        (fabs(d[MC_ROTATION]) + fabs(d[MC_ANGULATION]) + fabs(d[MC_INCLINATION])) * DEGREE;
    return sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]) + turned * half;
}
