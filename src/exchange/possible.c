/* What a reading may be, whoever enters it: the rules, without the words in which a file or a
 * screen tells them. */
#include <math.h>

#include "midcourse/exchange.h"

static const double UNLIKELY_MM = 1, UNLIKELY_DEG = 6;
/* Of a baseline; common practice, no source. */
static const double LARGE_SPACE_MM = 10, LARGE_STEP_MM = 5, LARGE_ANGLE_DEG = 90;

double mc_largest_value(mc_component c) {
    return mc_component_is_linear(c) ? MC_LARGEST_MM : MC_LARGEST_DEG;
}

static bool has_series(const mc_checkup_context *about, mc_tooth tooth) {
    return mc_plan_stages(about->plan, mc_tooth_arch(tooth)) > 0;
}

/* The stage that the tooth is held to; one in an arch without a series stays where it was. */
static double stage_of(const mc_checkup_context *about, mc_tooth tooth) {
    return has_series(about, tooth) ? about->effective_stage[mc_tooth_arch(tooth)] : 0;
}

double mc_reading_at(const mc_checkup_context *about, const mc_reading *row, mc_component c) {
    const double s = stage_of(about, row->tooth);
    double from;
    return row->short_of_plan[c]
               ? mc_plan_at(about->plan, row->tooth, c, s) -
                     mc_plan_leg(about->plan, row->tooth, c, s, &from) * row->value[c]
               : row->value[c];
}

mc_impossible mc_gap_impossible(const mc_checkup_context *about, const mc_reading *row) {
    if (isnan(row->seat_gap)) {
        return MC_POSSIBLE;
    }
    if (!(row->seat_gap >= 0 && row->seat_gap <= MC_LARGEST_GAP)) {
        return MC_NO_SUCH_VALUE;
    }
    if (!has_series(about, row->tooth)) {
        return MC_NO_SERIES;
    }
    return isnan(stage_of(about, row->tooth)) ? MC_ALIGNER_NOT_SAID : MC_POSSIBLE;
}

mc_impossible mc_component_impossible(const mc_checkup_context *about, const mc_reading *row,
                                      mc_component c) {
    const double s = stage_of(about, row->tooth);
    double from;
    if (isnan(row->value[c])) {
        return MC_POSSIBLE;
    }
    if (!(fabs(row->value[c]) <= mc_largest_value(c))) {
        return MC_NO_SUCH_VALUE;
    }
    if (isnan(s)) {
        return MC_ALIGNER_NOT_SAID;
    }
    if (row->short_of_plan[c] && mc_plan_leg(about->plan, row->tooth, c, s, &from) == 0) {
        return MC_NOTHING_PLANNED_YET;
    }
    return fabs(mc_reading_at(about, row, c)) > mc_largest_value(c) ? MC_TOO_FAR : MC_POSSIBLE;
}

bool mc_component_unlikely(const mc_checkup_context *about, const mc_reading *row, mc_component c,
                           mc_unlikely *out) {
    const double far = mc_component_is_linear(c) ? UNLIKELY_MM : UNLIKELY_DEG;
    out->at = mc_reading_at(about, row, c);
    out->planned = mc_plan_at(about->plan, row->tooth, c, stage_of(about, row->tooth));
    out->last = about->last_observed ? about->last_observed[row->tooth][c] : NAN;
    return mc_reaches(fabs(out->at - out->planned), far) &&
           (isnan(out->last) || mc_reaches(fabs(out->at - out->last), far));
}

/* ---- against a neighbour ---- */

mc_impossible mc_relative_impossible(const mc_checkup_context *about, const mc_reading *row,
                                     mc_relative what) {
    const double read = row->relative[what], most = mc_relative_most(what);
    if (isnan(read)) {
        return MC_POSSIBLE;
    }
    if (!(read >= (mc_relative_is_space(what) ? 0 : -most) && read <= most)) {
        return MC_NO_SUCH_VALUE;
    }
    if (what != MC_CROWN_ANGLE &&
        mc_relative_neighbour(what, row->tooth, about->states) == MC_NO_TOOTH) {
        return MC_NO_NEIGHBOUR;
    }
    return isnan(stage_of(about, row->tooth)) ? MC_ALIGNER_NOT_SAID : MC_POSSIBLE;
}

static bool is_large(mc_relative what, double baseline) {
    const double step = mc_relative_is_space(what) ? LARGE_SPACE_MM : LARGE_STEP_MM;
    return mc_reaches(fabs(baseline), what == MC_CROWN_ANGLE ? LARGE_ANGLE_DEG : step);
}

mc_relative_doubt mc_relative_doubts(const mc_checkup_context *about, const mc_reading *row,
                                     mc_relative what, mc_unlikely *out) {
    const double far = what == MC_CROWN_ANGLE ? UNLIKELY_DEG : UNLIKELY_MM;
    const double s = stage_of(about, row->tooth);
    *out = (mc_unlikely){.at = row->relative[what], .planned = NAN, .last = NAN};
    if (about->tracker) {
        out->planned = mc_tracker_should_read(about->tracker, row->tooth, what, about->states, s);
        out->last = mc_tracker_last_read(about->tracker, row->tooth, what);
    }
    if (isnan(out->planned)) {
        if (!isnan(out->last) || s != 0) {
            return MC_RELATIVE_UNUSED;
        }
        return is_large(what, out->at) ? MC_RELATIVE_LARGE : MC_RELATIVE_SURE;
    }
    return mc_reaches(fabs(mc_relative_between(what, out->planned, out->at)), far) &&
                   mc_reaches(fabs(mc_relative_between(what, out->last, out->at)), far)
               ? MC_RELATIVE_UNLIKELY
               : MC_RELATIVE_SURE;
}
