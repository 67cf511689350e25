/* Invented arches for the drawing: crowns of usual size side by side along a curve. */
#ifndef MOUTH_H
#define MOUTH_H

#include "midcourse/restaging.h"

#include <math.h>
#include <string.h>

/* The curve, over its way from the midline in mm: a parabola, found in small steps. */
static inline void mouth_place(double depth, double half_width, double way, mc_crown *out) {
    const double step = 0.01, degree = 3.14159265358979323846 / 180;
    double x = 0, gone = 0, slope = 0;
    while (gone < fabs(way)) {
        slope = 2 * depth * x / (half_width * half_width);
        x += step / hypot(1, slope);
        gone += step;
    }
    out->right = way < 0 ? -x : x;
    out->anterior = -depth * (x / half_width) * (x / half_width);
    out->outward_deg = atan2(1, way < 0 ? -slope : slope) / degree;
}

/* Every tooth of a quadrant up to a position (deciduous: up to 5, 0 none) in contact. */
static inline void mouth_quadrant(int quadrant, int last, double depth, mc_arches *out) {
    double way = 0;
    for (int position = 1; position <= last; position++) {
        mc_tooth tooth = mc_tooth_from_iso(10 * quadrant + position);
        mc_tooth_size size = mc_tooth_usual_size(tooth);
        mc_crown *crown = &out->crown[tooth];
        double middle = way + size.crown_width / 2;
        mouth_place(depth, 30, mc_tooth_is_right(tooth) ? middle : -middle, crown);
        crown->stands = true;
        crown->turned_deg = 0;
        crown->width = size.crown_width;
        crown->thickness = size.crown_thickness;
        way += size.crown_width;
    }
}

/* 28 teeth. */
static inline void mouth_usual(mc_arches *out) {
    memset(out, 0, sizeof *out);
    for (int quadrant = 1; quadrant <= 4; quadrant++)
        mouth_quadrant(quadrant, 7, quadrant <= 2 ? 45 : 42, out);
}

#endif
