/* Crowns in the occlusal plane: how they stand and move. */
#include "crown.h"

#include <math.h>

/* Not a setting: what two crowns may overlap before it counts, mm. */
static const double TOUCH = 0.05;
static const double PI = 3.14159265358979323846;
static const double DEGREE = PI / 180;
static const double EXPONENT = 2.5; /* of the outline, a superellipse */

/* The arch's axes at the crown's place, mesial and buccal, as unit vectors (right, anterior). */
static void axes_of(mc_tooth tooth, const mc_crown *crown, double mesial[2], double buccal[2]) {
    double axes[3][3];
    mc_tooth_frame(tooth, crown->outward_deg, axes);
    for (int i = 0; i < 2; i++) {
        mesial[i] = axes[0][i];
        buccal[i] = axes[1][i];
    }
}

mc_crown mc_crown_moved(mc_tooth tooth, const mc_crown *crown, const mc_pose *by) {
    mc_crown out = *crown;
    double m[2], b[2];
    axes_of(tooth, crown, m, b);
    out.right += by->c[MC_MESIAL] * m[0] + by->c[MC_BUCCAL] * b[0];
    out.anterior += by->c[MC_MESIAL] * m[1] + by->c[MC_BUCCAL] * b[1];
    out.turned_deg += by->c[MC_ROTATION];
    return out;
}

oval oval_of(mc_tooth tooth, const mc_crown *crown) {
    double m[2], b[2];
    axes_of(tooth, crown, m, b);
    /* turned mesial-in, the mesial end goes to the inside: P(rho) of (1, 0) is (cos, -sin) */
    const double c = cos(crown->turned_deg * DEGREE), s = sin(crown->turned_deg * DEGREE);
    return (oval){.x = crown->right,
                  .y = crown->anterior,
                  .along = atan2(c * m[1] - s * b[1], c * m[0] - s * b[0]),
                  .a = crown->width / 2,
                  .b = crown->thickness / 2};
}

void mc_crown_outline(mc_tooth tooth, const mc_crown *crown, double share, double *right,
                      double *anterior) {
    double m[2], b[2];
    axes_of(tooth, crown, m, b);
    const double turn = crown->turned_deg * DEGREE, angle = 2 * PI * share;
    const double c = -cos(angle), s = sin(angle);
    const double x = copysign(pow(fabs(c), 2 / EXPONENT), c) * crown->width / 2;
    const double y = copysign(pow(fabs(s), 2 / EXPONENT), s) * crown->thickness / 2;
    const double along = cos(turn) * x + sin(turn) * y, out = -sin(turn) * x + cos(turn) * y;
    *right = crown->right + along * m[0] + out * b[0];
    *anterior = crown->anterior + along * m[1] + out * b[1];
}

double mc_crown_overlap(mc_tooth tooth, const mc_crown *crown, mc_tooth other_tooth,
                        const mc_crown *other) {
    const oval a = oval_of(tooth, crown), b = oval_of(other_tooth, other);
    return oval_overlap(&a, &b);
}

mc_crown mc_arches_crown(const mc_arches *arches, mc_tooth tooth, const mc_pose *pose) {
    mc_pose by;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        by.c[c] = pose->c[c] - arches->at[tooth].c[c];
    }
    return mc_crown_moved(tooth, &arches->crown[tooth], &by);
}

double mc_overlap_allowed(double granted, double start) {
    return fmax(TOUCH + granted, start);
}
