/* What the check-up form knows of what was said so far. */
#include "entry_view.h"

#include <math.h>

void entry_take_in(entry *e) {
    int number = mc_draft_number(e->draft);
    bool begun = mc_draft_on_record(e->draft);
    e->shown = *mc_draft_assessment(e->draft);
    e->chart.a = &e->shown;
    e->gone = e->gone || mc_draft_ended(e->draft) || (e->begun && (number != e->number || !begun));
    if (e->gone)
        return;
    e->number = number;
    e->begun = begun;
}

bool entry_typing(const entry *e) {
    return e->typed[0] != '\0';
}

void entry_drop_typed(entry *e) {
    e->typed[0] = '\0';
    e->refused = false;
}

bool entry_takes_gaps(const entry *e, mc_arch arch) {
    return e->shown.series[arch].stages > 0 &&
           mc_draft_checkup(e->draft)->aligner[arch] != MC_NO_ALIGNER;
}

const mc_reading *entry_row(const entry *e) {
    return e->chart.cursor == MC_NO_TOOTH ? NULL : mc_draft_row(e->draft, e->chart.cursor, e->row);
}

double entry_gap(const entry *e, mc_tooth tooth, bool *bulk) {
    int rows = mc_draft_rows(e->draft, tooth);
    *bulk = false;
    for (int row = 0; row < rows; row++) {
        const mc_reading *reading = mc_draft_row(e->draft, tooth, row);
        if (reading && !isnan(reading->seat_gap)) {
            *bulk = reading->seat_in_bulk;
            return reading->seat_gap;
        }
    }
    return NAN;
}

bool entry_has_position(const entry *e, mc_tooth tooth) {
    int rows = mc_draft_rows(e->draft, tooth);
    for (int row = 0; row < rows; row++) {
        const mc_reading *reading = mc_draft_row(e->draft, tooth, row);
        for (int c = 0; reading && c < MC_COMPONENTS; c++)
            if (!isnan(reading->value[c]))
                return true;
        for (int i = 0; reading && i < MC_RELATIVES; i++)
            if (!isnan(reading->relative[i]) &&
                entry_baseline_of(e, tooth, (mc_relative)i) == BASELINE_KNOWN)
                return true;
    }
    return false;
}

bool entry_has_findings(const entry *e, mc_tooth tooth) {
    char word[40];
    const mc_reading *reading = mc_draft_row(e->draft, tooth, 0);
    for (int field = FIELD_ATTACHMENT; reading && field <= FIELD_RECESSION; field++) {
        entry_finding(reading, field, word, sizeof word);
        if (word[0])
            return true;
    }
    return false;
}

bool entry_has_leg(const console *con, const entry *e, mc_tooth tooth, mc_component c) {
    double stage = chart_stage(con, &e->chart, mc_tooth_arch(tooth)), from = 0;
    return !isnan(stage) && mc_plan_leg(e->shown.plan, tooth, c, stage, &from) != 0;
}

bool entry_was_entered(const entry *e, mc_step_what what, mc_arch arch) {
    size_t steps = mc_draft_steps(e->draft);
    bool of_arch = what == MC_STEP_ALIGNER || what == MC_STEP_DAY;
    for (size_t i = 0; i < steps; i++) {
        const mc_step *step = mc_draft_step(e->draft, i);
        if (step->what == what && (!of_arch || step->arch == arch))
            return true;
    }
    return false;
}

entry_counts entry_count(const entry *e) {
    entry_counts out = {0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        bool bulk = false;
        if (!chart_stands(&e->chart, tooth))
            continue;
        bool said = !isnan(entry_gap(e, tooth, &bulk));
        out.teeth += entry_takes_gaps(e, mc_tooth_arch(tooth));
        out.gaps += said;
        out.bulk += said && bulk;
        out.positions += entry_has_position(e, tooth);
        out.findings += entry_has_findings(e, tooth);
    }
    return out;
}
