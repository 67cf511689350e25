/* Rules 6 and 7: wear, and whether enough was measured to judge. */
#include "rules.h"

#include <math.h>

/* ---- 6 talk wear ---- */

/* The new intervals; the longest goes into the proposal. */
static void say_intervals(const mc_situation *s, mc_proposal *out) {
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const int now = s->interval[arch];
        if (mc_plan_stages(s->plan, (mc_arch)arch) == 0 || now <= 0) {
            continue;
        }
        const int days = mc_interval_for_wear(now, s->score->wear_hours, s->settings->wear_hours);
        say(out, " Wear each %s aligner %d days instead of %d.", arch_word((mc_arch)arch), days,
            now);
        out->days = days > out->days ? days : out->days;
    }
}

bool rule_talk_wear(const mc_situation *s, mc_proposal *out) {
    const named behind = teeth_behind(s);
    if (!wear_is_low(s) || wear_talked(s)) {
        return false;
    }
    propose(out, MC_PROPOSE_TALK_WEAR, &behind);
    say(out, "Talk about wear: %s hours a day were said, below %s.",
        plain(s->score->wear_hours).text, plain(s->settings->wear_hours).text);
    if (s->waiting) {
        say(out, " The present aligners are worn until the corrected series begins.");
        return true;
    }
    say_intervals(s, out);
    if (behind.count > 0) {
        say(out, " Hold the present aligner: ");
        say_teeth(out, behind.tooth, behind.count);
        say(out, behind.count == 1 ? " is behind." : " are behind.");
    }
    return true;
}

/* ---- 7 measure ---- */

static bool moved_so_far(const mc_situation *s, mc_tooth tooth) {
    const double stage = stage_of(s, tooth);
    bool moved = false;
    for (int c = 0; c < MC_COMPONENTS && !isnan(stage); c++) {
        const double enough = mc_component_is_linear((mc_component)c) ? s->settings->measure_mm
                                                                      : s->settings->measure_deg;
        moved =
            moved || mc_reaches(fabs(mc_plan_at(s->plan, tooth, (mc_component)c, stage)), enough);
    }
    return moved;
}

static bool position_read(const mc_tooth_score *tooth) {
    bool read = false;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        read = read || tooth->item[c].read;
    }
    return read;
}

bool rule_measure(const mc_situation *s, mc_proposal *out) {
    int moved = 0, read = 0;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (s->score->present[tooth] && moved_so_far(s, tooth)) {
            moved++;
            read += position_read(&s->score->tooth[tooth]);
        }
    }
    if (moved == 0 || mc_reaches((double)read / moved, s->settings->measure_share)) {
        return false;
    }
    const named teeth = to_read(s);
    propose(out, MC_PROPOSE_MEASURE, &teeth);
    if (s->score->measured == 0) {
        say(out, "%s. ", nothing_measured(s));
    }
    say(out,
        "Of the %d %s that the plan has moved by %s or %s so far, %d %s a position read, "
        "fewer than %s: how the others are is not known. Read, most worth it first: ",
        moved, moved == 1 ? "tooth" : "teeth", millimetres(s->settings->measure_mm).text,
        size_of(s->settings->measure_deg, MC_ROTATION).text, read, read == 1 ? "has" : "have",
        percent(s->settings->measure_share).text);
    say_teeth(out, teeth.tooth, teeth.count);
    say(out, ".");
    return true;
}
