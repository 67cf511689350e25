/* What may be entered at the chair: the same rules as for a file, told to the person there. */
#include "draft.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static mc_checkup_context about(const mc_draft *draft, const draft_contents *contents) {
    mc_checkup_context context =
        mc_checkup_context_of(draft->a->plan, &draft->a->settings, &contents->checkup);
    context.states = draft->a->states;
    context.tracker = draft->replay.before;
    context.last_observed = (const double(*)[MC_COMPONENTS])draft->last;
    return context;
}

static const char *unit(mc_component c) {
    return mc_component_is_linear(c) ? "mm" : "deg";
}

/* ---- the frame ---- */

static mc_status no_aligner(mc_arch arch, mc_error *error) {
    return mc_fail(error, MC_REFUSED, "say which %s aligner is worn first", draft_arch_name(arch));
}

static mc_status check_frame_step(const mc_draft *draft, const mc_step *step, mc_error *error) {
    mc_checkup frame = draft->contents.checkup;
    if (step->what != MC_STEP_WEAR && (unsigned)step->arch >= MC_ARCHES)
        return mc_fail(error, MC_REFUSED, "there is no such arch");
    if (step->what == MC_STEP_WEAR) {
        frame.wear_hours = step->number;
    } else if (step->what == MC_STEP_ALIGNER) {
        frame.aligner[step->arch] = step->whole;
    } else if (frame.aligner[step->arch] == MC_NO_ALIGNER) {
        return no_aligner(step->arch, error);
    } else if (step->whole < -1) {
        return mc_fail(error, MC_REFUSED, "day %d of an aligner cannot be", step->whole);
    } else {
        frame.day[step->arch] = step->whole;
    }
    return mc_check_frame(draft->a->plan, &frame, error);
}

/* ---- one tooth ---- */

static mc_status refuse_component(const mc_checkup_context *context, const mc_reading *row,
                                  mc_component c, mc_error *error) {
    int tooth = mc_tooth_iso(row->tooth);
    const char *name = mc_component_name(c);
    switch (mc_component_impossible(context, row, c)) {
    case MC_POSSIBLE:
        return MC_OK;
    case MC_ALIGNER_NOT_SAID:
        return no_aligner(mc_tooth_arch(row->tooth), error);
    case MC_NOTHING_PLANNED_YET:
        return mc_fail(error, MC_REFUSED,
                       "%d %s is not planned to move by now, so it is not short of plan: enter "
                       "where it is",
                       tooth, name);
    case MC_TOO_FAR:
        return mc_fail(error, MC_REFUSED,
                       "%d %s would be %.4g %s from where it began; at most %.4g can be", tooth,
                       name, fabs(mc_reading_at(context, row, c)), unit(c), mc_largest_value(c));
    default:
        return mc_fail(error, MC_REFUSED, "%d %s of %.6g %s cannot be: at most %.4g", tooth, name,
                       row->value[c], unit(c), mc_largest_value(c));
    }
}

static mc_status refuse_gap(const mc_checkup_context *context, const mc_reading *row,
                            mc_error *error) {
    mc_arch arch = mc_tooth_arch(row->tooth);
    switch (mc_gap_impossible(context, row)) {
    case MC_POSSIBLE:
        return MC_OK;
    case MC_NO_SERIES:
        return mc_fail(error, MC_REFUSED,
                       "the %s arch has no aligners in this plan, so nothing seats there",
                       draft_arch_name(arch));
    case MC_ALIGNER_NOT_SAID:
        return no_aligner(arch, error);
    default:
        return mc_fail(error, MC_REFUSED, "a seat gap of %.6g mm cannot be: 0 to %d", row->seat_gap,
                       MC_LARGEST_GAP);
    }
}

static const char *relative_unit(mc_relative what) {
    return what == MC_CROWN_ANGLE ? "deg" : "mm";
}

static mc_status no_neighbour(const mc_reading *row, mc_relative what, mc_error *error) {
    return mc_fail(error, MC_REFUSED, "%d %s cannot be read: no tooth stands on that side",
                   mc_tooth_iso(row->tooth), mc_relative_name(what));
}

static mc_status refuse_relative(const mc_checkup_context *context, const mc_reading *row,
                                 mc_relative what, mc_error *error) {
    switch (mc_relative_impossible(context, row, what)) {
    case MC_POSSIBLE:
        return MC_OK;
    case MC_NO_NEIGHBOUR:
        return no_neighbour(row, what, error);
    case MC_ALIGNER_NOT_SAID:
        return no_aligner(mc_tooth_arch(row->tooth), error);
    default:
        return mc_fail(error, MC_REFUSED, "%d %s of %.6g %s cannot be: %s%.4g",
                       mc_tooth_iso(row->tooth), mc_relative_name(what), row->relative[what],
                       relative_unit(what), mc_relative_is_space(what) ? "0 to " : "at most ",
                       mc_relative_most(what));
    }
}

/* The row as it would be with this step. */
static mc_reading row_with(const mc_draft *draft, const mc_step *step) {
    mc_reading row = draft_row(&draft->contents, step->tooth, step->row);
    if (step->what == MC_STEP_SEAT_GAP) {
        row.seat_gap = step->number;
    } else if (step->what == MC_STEP_RELATIVE) {
        row.relative[step->whole] = step->number;
    } else {
        row.value[step->component] = step->number;
        row.short_of_plan[step->component] = step->short_of_plan;
    }
    return row;
}

static mc_status check_reading(const mc_draft *draft, const mc_step *step, mc_error *error) {
    mc_checkup_context context = about(draft, &draft->contents);
    if (step->row < 0 || step->row > draft->contents.of[step->tooth].count)
        return mc_fail(error, MC_REFUSED, "the reading of %d before this one is empty",
                       mc_tooth_iso(step->tooth));
    if (step->row >= MC_MOST_ROWS_OF_TOOTH)
        return mc_fail(error, MC_REFUSED, "%d was read %d times, which is enough",
                       mc_tooth_iso(step->tooth), MC_MOST_ROWS_OF_TOOTH);
    if (step->what == MC_STEP_COMPONENT && (unsigned)step->component >= MC_COMPONENTS)
        return mc_fail(error, MC_REFUSED, "a tooth does not move that way");
    if (step->what == MC_STEP_RELATIVE && (step->whole < 0 || step->whole >= MC_RELATIVES))
        return mc_fail(error, MC_REFUSED, "nothing of that kind is read against a neighbour");
    mc_reading row = row_with(draft, step);
    if (step->what == MC_STEP_RELATIVE)
        return refuse_relative(&context, &row, (mc_relative)step->whole, error);
    return step->what == MC_STEP_SEAT_GAP
               ? refuse_gap(&context, &row, error)
               : refuse_component(&context, &row, step->component, error);
}

static mc_status check_finding(const mc_step *step, mc_error *error) {
    static const struct {
        int least, most;
        const char *words;
    } range[MC_STEPS] = {
        [MC_STEP_ATTACHMENT] = {0, MC_ATTACHMENT_LOST, "intact, worn, loose or lost"},
        [MC_STEP_CONTACT_MESIAL] = {0, MC_CONTACT_TIGHT, "open, normal or tight"},
        [MC_STEP_CONTACT_DISTAL] = {0, MC_CONTACT_TIGHT, "open, normal or tight"},
        [MC_STEP_MOBILITY] = {-1, MC_HIGHEST_MOBILITY, "a mobility of grade 0 to 3"},
        [MC_STEP_PAIN] = {0, MC_YES, "yes or no"},
        [MC_STEP_SWELLING] = {0, MC_YES, "yes or no"}};
    if (step->what == MC_STEP_RECESSION) {
        if (!isnan(step->number) && !(step->number >= 0 && step->number <= MC_LARGEST_RECESSION))
            return mc_fail(error, MC_REFUSED, "a recession of %.6g mm cannot be: 0 to %d",
                           step->number, MC_LARGEST_RECESSION);
        return MC_OK;
    }
    if (step->whole < range[step->what].least || step->whole > range[step->what].most)
        return mc_fail(error, MC_REFUSED, "it can only be %s", range[step->what].words);
    return MC_OK;
}

static bool takes_away(const mc_step *step) {
    switch (step->what) {
    case MC_STEP_SEAT_GAP:
    case MC_STEP_COMPONENT:
    case MC_STEP_RELATIVE:
    case MC_STEP_RECESSION:
        return isnan(step->number);
    case MC_STEP_MOBILITY:
        return step->whole < 0;
    default:
        return step->whole == 0;
    }
}

/* What was said of a tooth that has gone since can still be taken away. */
static mc_status check_stands(const mc_step *step, const mc_tooth_state states[MC_TEETH],
                              mc_error *error) {
    mc_tooth tooth = step->tooth;
    if (tooth < 0 || tooth >= MC_TEETH)
        return mc_fail(error, MC_REFUSED, "there is no such tooth");
    if (!mc_tooth_stands(states[tooth]) && !takes_away(step))
        return mc_fail(error, MC_REFUSED, "the case does not have tooth %d (%s)",
                       mc_tooth_iso(tooth), mc_tooth_state_name(states[tooth]));
    return MC_OK;
}

mc_status draft_check_step(const mc_draft *draft, const mc_step *step, mc_error *error) {
    mc_status status = MC_OK;
    switch (step->what) {
    case MC_STEP_ALIGNER:
    case MC_STEP_DAY:
    case MC_STEP_WEAR:
        return check_frame_step(draft, step, error);
    case MC_STEP_METHOD:
        if (step->whole < 0 || step->whole >= MC_METHODS)
            return mc_fail(error, MC_REFUSED, "there is no such method");
        return MC_OK;
    case MC_STEP_NOTE: /* what a text may be is the record's to say */
        if (!memchr(step->text, '\0', sizeof step->text))
            return mc_fail(error, MC_REFUSED, "the note is too long: at most %d characters",
                           MC_NOTE_CHARACTERS);
        return MC_OK;
    case MC_STEP_REST_SEAT:
        if (!draft_changes(&draft->contents, step, draft->a->plan, draft->a->states))
            return mc_fail(error, MC_REFUSED,
                           "no tooth is left to seat: each has its gap, or no aligner is given");
        return MC_OK;
    default:
        if ((unsigned)step->what >= MC_STEPS)
            return mc_fail(error, MC_REFUSED, "there is no such step");
        status = check_stands(step, draft->a->states, error);
        if (status != MC_OK)
            return status;
        return draft_is_reading(step) ? check_reading(draft, step, error)
                                      : check_finding(step, error);
    }
}

/* What stands behind the value in doubt. */
static bool doubts_relative(const mc_draft *draft, const mc_step *step, mc_error *error) {
    mc_checkup_context context = about(draft, &draft->contents);
    mc_reading row = row_with(draft, step);
    mc_relative what = (mc_relative)step->whole;
    int tooth = mc_tooth_iso(step->tooth);
    mc_unlikely odd;
    mc_relative_doubt doubt = mc_relative_doubts(&context, &row, what, &odd);
    if (doubt == MC_RELATIVE_UNLIKELY)
        mc_fail_need(error, MC_NEED_ACCEPTANCE,
                     "%d %s at %.4g %s is unlikely: by plan it should read %.4g, the last reading "
                     "was %.4g",
                     tooth, mc_relative_name(what), odd.at, relative_unit(what), odd.planned,
                     odd.last);
    else if (doubt == MC_RELATIVE_UNUSED)
        mc_fail_need(
            error, MC_NEED_ACCEPTANCE, "%d %s was not read at stage 0%s: it is kept, but not used",
            tooth, mc_relative_name(what), what == MC_CROWN_ANGLE ? "" : " against this neighbour");
    else if (doubt == MC_RELATIVE_LARGE)
        mc_fail_need(error, MC_NEED_ACCEPTANCE, "%d %s of %.4g %s is unlikely as a baseline", tooth,
                     mc_relative_name(what), odd.at, relative_unit(what));
    return doubt != MC_RELATIVE_SURE;
}

bool draft_doubts(const mc_draft *draft, const mc_step *step, mc_error *error) {
    if (step->what == MC_STEP_RELATIVE && !isnan(step->number))
        return doubts_relative(draft, step, error);
    if (step->what != MC_STEP_COMPONENT || isnan(step->number))
        return false;
    mc_checkup_context context = about(draft, &draft->contents);
    mc_reading row = row_with(draft, step);
    mc_unlikely odd;
    if (!mc_component_unlikely(&context, &row, step->component, &odd))
        return false;
    char last[40] = "it was not read before";
    if (!isnan(odd.last))
        snprintf(last, sizeof last, "the last reading was %.4g", odd.last);
    mc_fail_need(error, MC_NEED_ACCEPTANCE, "%d %s at %.4g %s is unlikely: the plan has %.4g, %s",
                 mc_tooth_iso(step->tooth), mc_component_name(step->component), odd.at,
                 unit(step->component), odd.planned, last);
    return true;
}

/* ---- the whole ---- */

/* A kept value that a change of the frame would make impossible. */
static mc_status refuse_kept(const mc_reading *row, const char *what, mc_impossible why,
                             mc_error *error) {
    static const char *const because[] = {
        [MC_NO_SUCH_VALUE] = "which cannot be",
        [MC_NO_SERIES] = "whose arch has no aligners in this plan",
        [MC_ALIGNER_NOT_SAID] = "which needs the aligner that is worn",
        [MC_NOTHING_PLANNED_YET] = "and by that aligner it is not planned to move yet",
        [MC_TOO_FAR] = "and by that aligner it would be further away than can be",
        [MC_NO_NEIGHBOUR] = "and no tooth stands on that side any more"};
    return mc_fail(error, MC_REFUSED, "%d %s was entered%s, %s: take it away first",
                   mc_tooth_iso(row->tooth), what,
                   why == MC_NOTHING_PLANNED_YET || why == MC_TOO_FAR ? " short of plan" : "",
                   because[why]);
}

mc_status draft_check_kept(const mc_draft *draft, const draft_contents *contents, mc_error *error) {
    mc_checkup_context context = about(draft, contents);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int i = 0; i < contents->of[t].count; i++) {
            const mc_reading *row = &contents->of[t].row[i];
            mc_impossible why = mc_gap_impossible(&context, row);
            if (why != MC_POSSIBLE)
                return refuse_kept(row, "seat gap", why, error);
            for (int c = 0; c < MC_COMPONENTS; c++) {
                why = mc_component_impossible(&context, row, (mc_component)c);
                if (why != MC_POSSIBLE)
                    return refuse_kept(row, mc_component_name((mc_component)c), why, error);
            }
            for (int w = 0; w < MC_RELATIVES; w++) {
                why = mc_relative_impossible(&context, row, (mc_relative)w);
                if (why != MC_POSSIBLE)
                    return refuse_kept(row, mc_relative_name((mc_relative)w), why, error);
            }
        }
    return MC_OK;
}

/* The side of a reading on which no tooth stands any more. */
static mc_status check_neighbours(const mc_reading *row, const mc_tooth_state states[MC_TEETH],
                                  mc_error *error) {
    for (int w = 0; w < MC_CROWN_ANGLE; w++)
        if (!isnan(row->relative[w]) &&
            mc_relative_neighbour((mc_relative)w, row->tooth, states) == MC_NO_TOOTH)
            return refuse_kept(row, mc_relative_name((mc_relative)w), MC_NO_NEIGHBOUR, error);
    return MC_OK;
}

mc_status draft_check_teeth(const draft_contents *contents, const mc_tooth_state states[MC_TEETH],
                            mc_error *error) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (contents->of[t].count > 0 && !mc_tooth_stands(states[t]))
            return mc_fail(error, MC_REFUSED,
                           "the case no longer has tooth %d (%s): take its values away first",
                           mc_tooth_iso(t), mc_tooth_state_name(states[t]));
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int i = 0; i < contents->of[t].count; i++)
            if (check_neighbours(&contents->of[t].row[i], states, error) != MC_OK)
                return MC_REFUSED;
    return MC_OK;
}
