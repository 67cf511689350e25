/* Poses as rotations and back. The method, with its matrices, stands in midcourse-method(7). */
#include "midcourse/movement.h"

#include <math.h>

static const double DEGREE = 3.14159265358979323846 / 180;

void mc_pose_rotation(const mc_pose *pose, double r[3][3]) {
    const double cr = cos(pose->c[MC_ROTATION] * DEGREE), sr = sin(pose->c[MC_ROTATION] * DEGREE);
    const double ca = cos(pose->c[MC_ANGULATION] * DEGREE),
                 sa = sin(pose->c[MC_ANGULATION] * DEGREE);
    const double ci = cos(pose->c[MC_INCLINATION] * DEGREE),
                 si = sin(pose->c[MC_INCLINATION] * DEGREE);
    r[0][0] = ca * cr;
    r[0][1] = ca * sr;
    r[0][2] = sa;
    r[1][0] = -ci * sr - si * sa * cr;
    r[1][1] = ci * cr - si * sa * sr;
    r[1][2] = si * ca;
    r[2][0] = si * sr - ci * sa * cr;
    r[2][1] = -si * cr - ci * sa * sr;
    r[2][2] = ci * ca;
}

static bool all_finite(double r[3][3], const double t[3]) {
    for (int i = 0; i < 3; i++) {
        if (!isfinite(t[i]) || !isfinite(r[i][0]) || !isfinite(r[i][1]) || !isfinite(r[i][2])) {
            return false;
        }
    }
    return true;
}

mc_status mc_pose_from(double r[3][3], const double t[3], mc_pose *pose, mc_error *error) {
    if (!all_finite(r, t)) {
        return mc_fail(error, MC_REFUSED, "the pose has a number that is not finite");
    }
    const double angulation = atan2(r[0][2], hypot(r[0][0], r[0][1])) / DEGREE;
    if (mc_reaches(fabs(angulation), 90)) {
        return mc_fail(error, MC_REFUSED,
                       "an angulation of 90 deg or more leaves rotation and inclination open");
    }
    const double rotation = atan2(r[0][1], r[0][0]);
    /* Near 90 deg of angulation, rotation and inclination nearly turn about one axis and neither is
     * well determined, only their sum is. Undoing the rotation found before the inclination is read
     * (R P' = T F, whose middle column is 0, cos, -sin of it) keeps that sum right, so that the
     * pose still gives R. */
    const double cr = cos(rotation), sr = sin(rotation);
    const double ci = r[1][1] * cr - r[1][0] * sr;
    const double si = r[2][0] * sr - r[2][1] * cr;
    pose->c[MC_MESIAL] = t[0];
    pose->c[MC_BUCCAL] = t[1];
    pose->c[MC_OCCLUSAL] = t[2];
    pose->c[MC_ROTATION] = rotation / DEGREE;
    pose->c[MC_ANGULATION] = angulation;
    pose->c[MC_INCLINATION] = atan2(si, ci) / DEGREE;
    return MC_OK;
}

mc_status mc_pose_between(const mc_pose *from, const mc_pose *to, mc_pose *out, mc_error *error) {
    double first[3][3], second[3][3], r[3][3], t[3];
    mc_pose_rotation(from, first);
    mc_pose_rotation(to, second);
    for (int i = 0; i < 3; i++) {
        t[i] = to->c[i] - from->c[i];
        for (int j = 0; j < 3; j++) {
            r[i][j] = second[i][0] * first[j][0] + second[i][1] * first[j][1] +
                      second[i][2] * first[j][2];
        }
    }
    return mc_pose_from(r, t, out, error);
}

mc_status mc_pose_compose(const mc_pose *first, const mc_pose *then, mc_pose *out,
                          mc_error *error) {
    double before[3][3], after[3][3], r[3][3], t[3];
    mc_pose_rotation(first, before);
    mc_pose_rotation(then, after);
    for (int i = 0; i < 3; i++) {
        t[i] = first->c[i] + then->c[i];
        for (int j = 0; j < 3; j++) {
            r[i][j] = after[i][0] * before[0][j] + after[i][1] * before[1][j] +
                      after[i][2] * before[2][j];
        }
    }
    return mc_pose_from(r, t, out, error);
}

void mc_pose_apply(const mc_pose *pose, const double x[3], double y[3]) {
    double r[3][3], moved[3];
    mc_pose_rotation(pose, r);
    for (int i = 0; i < 3; i++) {
        moved[i] = r[i][0] * x[0] + r[i][1] * x[1] + r[i][2] * x[2] + pose->c[i];
    }
    for (int i = 0; i < 3; i++) {
        y[i] = moved[i];
    }
}

bool mc_pose_is_root_movement(const mc_pose *pose, mc_component c, double root_length) {
    if (c != MC_ANGULATION && c != MC_INCLINATION) {
        return false;
    }
    const double angle = pose->c[c];
    const double translation = pose->c[c == MC_ANGULATION ? MC_MESIAL : MC_BUCCAL];
    const double along = angle < 0 ? -translation : translation;
    const double half = root_length * fabs(sin(angle * DEGREE)) / 2;
    return angle != 0 && !mc_reaches(along, half);
}
