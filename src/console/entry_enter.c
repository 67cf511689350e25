/* From what is typed to a value on record. */
#include "entry_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- the step of a field ---- */

static mc_step frame_step(int field) {
    static const struct {
        mc_step_what what;
        mc_arch arch;
    } steps[FRAME_FIELDS] = {
        [FRAME_UPPER] = {MC_STEP_ALIGNER, MC_UPPER}, [FRAME_UPPER_DAY] = {MC_STEP_DAY, MC_UPPER},
        [FRAME_LOWER] = {MC_STEP_ALIGNER, MC_LOWER}, [FRAME_LOWER_DAY] = {MC_STEP_DAY, MC_LOWER},
        [FRAME_WEAR] = {MC_STEP_WEAR, MC_UPPER},     [FRAME_METHOD] = {MC_STEP_METHOD, MC_UPPER},
        [FRAME_NOTE] = {MC_STEP_NOTE, MC_UPPER},
    };
    return (mc_step){.what = steps[field].what, .arch = steps[field].arch, .number = NAN};
}

static mc_step_what tooth_step(int field) {
    static const mc_step_what findings[] = {
        MC_STEP_ATTACHMENT, MC_STEP_CONTACT_MESIAL, MC_STEP_CONTACT_DISTAL, MC_STEP_MOBILITY,
        MC_STEP_PAIN,       MC_STEP_SWELLING,       MC_STEP_RECESSION};
    if (field == FIELD_GAP)
        return MC_STEP_SEAT_GAP;
    if (field >= FIELD_RELATIVE)
        return MC_STEP_RELATIVE;
    return field <= FIELD_LAST_COMPONENT ? MC_STEP_COMPONENT : findings[field - FIELD_ATTACHMENT];
}

mc_step entry_step(const entry *e) {
    if (e->pass == ENTRY_FRAME)
        return frame_step(e->field);
    bool relative = e->field >= FIELD_RELATIVE;
    bool component = e->field >= FIELD_COMPONENT && e->field <= FIELD_LAST_COMPONENT;
    bool reading = e->field == FIELD_GAP || component || relative;
    return (mc_step){.what = tooth_step(e->field),
                     .arch = mc_tooth_arch(e->chart.cursor),
                     .tooth = e->chart.cursor,
                     .row = reading ? e->row : 0,
                     .component = component ? (mc_component)(e->field - FIELD_COMPONENT) : 0,
                     .whole = relative ? e->field - FIELD_RELATIVE : 0,
                     .number = NAN};
}

mc_step entry_step_away(const entry *e) {
    mc_step step = entry_step(e);
    if (step.what == MC_STEP_ALIGNER)
        step.whole = MC_NO_ALIGNER;
    else if (step.what == MC_STEP_DAY || step.what == MC_STEP_MOBILITY)
        step.whole = -1;
    return step;
}

/* ---- entering ---- */

static void entered(console *con, entry *e, const mc_step *step);

static void sure(console *con, void *screen) {
    entry *e = screen;
    if (entry_enter(con, e, &e->doubtful, true))
        entered(con, e, &e->doubtful);
}

/* "Is 12 step to 11 +3.40 mm? By plan +0.45, last read +0.60.", "... That is much for a baseline."
 */
static void ask_doubtful_relative(console *con, entry *e) {
    const mc_step *step = &e->doubtful;
    mc_relative what = (mc_relative)step->whole;
    double should = mc_draft_should_read(e->draft, step->tooth, what);
    char question[300], name[60], number[40], planned[40], last[40];
    entry_relative_name(con, e, step->tooth, what, name, sizeof name);
    words_relative_number(what, step->number, number);
    words_relative_number(what, should, planned);
    words_relative_number(what, mc_draft_last_read(e->draft, step->tooth, what), last);
    const char *unit = words_unit(mc_relative_component(what));
    if (isnan(should))
        snprintf(question, sizeof question, "Is %s %s %s? That is much for a baseline.", name,
                 number, unit);
    else
        snprintf(question, sizeof question, "Is %s %s %s? By plan %s, last read %s.", name, number,
                 unit, planned, last);
    frame_ask_at_chair(con, 'y', sure, question);
}

/* "Is 12 rotation 20.0 deg short? Plan +10.8, last read +9.0.": in one line at 80 columns. */
static void ask_doubtful(console *con, entry *e, const char *reason) {
    const mc_step *step = &e->doubtful;
    char question[300], planned[40], last[40];
    if (step->what == MC_STEP_RELATIVE) {
        ask_doubtful_relative(con, e);
        return;
    }
    if (step->what != MC_STEP_COMPONENT) {
        snprintf(question, sizeof question, "%.250s Sure?", reason);
        frame_ask_at_chair(con, 'y', sure, question);
        return;
    }
    int decimals = words_decimals(step->component);
    double before = mc_draft_last(e->draft, step->tooth, step->component);
    double now = chart_planned(con, &e->chart, step->tooth, step->component);
    words_signed(now, decimals, planned);
    words_signed(before, decimals, last);
    snprintf(question, sizeof question, "Is %s %s %s%.*f %s%s? Plan %s, %s%s.",
             words_tooth(con->notation, step->tooth).text, mc_component_name(step->component),
             step->short_of_plan ? "" : "at ", decimals, step->number, words_unit(step->component),
             step->short_of_plan ? " short" : "", planned, isnan(before) ? "" : "last read ",
             isnan(before) ? "not read before" : last);
    frame_ask_at_chair(con, 'y', sure, question);
}

void entry_refuse(console *con, const mc_error *error) {
    frame_refuse(con, error);
    terminal_forget_keys();
}

bool entry_enter(console *con, entry *e, const mc_step *step, bool is_sure) {
    mc_error error = {0};
    bool doubt = false;
    size_t before = mc_draft_steps(e->draft);
    bool done = mc_draft_enter(e->draft, step, is_sure, &doubt, &error) == MC_OK;
    entry_take_in(e);
    e->stepped = done && mc_draft_steps(e->draft) > before;
    if (done)
        return true;
    if (doubt) {
        e->doubtful = *step;
        ask_doubtful(con, e, error.text);
    } else {
        entry_refuse(con, &error);
    }
    return false;
}

void entry_say_entered(console *con, const entry *e, const mc_step *step, const char *more) {
    char words[STEP_WORDS], state[80] = "";
    entry_step_words(con, e, step, words);
    bool of_tooth = step->what >= MC_STEP_SEAT_GAP && step->what <= MC_STEP_RELATIVE;
    const mc_tooth_score *score = of_tooth ? chart_score(&e->chart, step->tooth) : NULL;
    if (score && !isnan(score->lag_index))
        snprintf(state, sizeof state, ": %s, lag %.2f", mc_state_word(score->state),
                 score->lag_index);
    frame_say(con, "%s%s%s%s.", words, state, more[0] ? "; " : "", more);
}

/* ---- what comes after an entered value ---- */

void entry_next_position(const console *con, entry *e, char *more, size_t size) {
    if (e->field < FIELD_LAST_COMPONENT) {
        e->field++;
        return;
    }
    e->passed[e->chart.cursor] = true;
    if (entry_offer(e))
        snprintf(more, size, "next %s", words_tooth(con->notation, e->chart.cursor).text);
    else
        snprintf(more, size, "no other tooth asks to be read");
}

/* To the tooth that is read next: while the baseline is taken, along the mouth; later the one most
 * worth reading. */
static void next_relative_tooth(const console *con, entry *e, char *more, size_t size) {
    bool baseline = e->shown.score->effective_stage[mc_tooth_arch(e->chart.cursor)] == 0;
    e->kind = MC_SPACE_TO_MESIAL;
    e->passed[e->chart.cursor] = true;
    if (!baseline && !entry_offer_in(e, ENTRY_RELATIVE)) {
        snprintf(more, size, "no other tooth asks to be read");
    } else if (baseline) {
        entry_next_tooth(con, e, more, size);
    } else {
        snprintf(more, size, "next %s", words_tooth(con->notation, e->chart.cursor).text);
    }
    entry_first_relative(e);
}

void entry_next_relative(const console *con, entry *e, char *more, size_t size) {
    int next = entry_relative_from(e, e->field + 1, 1);
    if (next != FIELD_NONE)
        e->field = next;
    else
        next_relative_tooth(con, e, more, size);
}

static void move_on(const console *con, entry *e, char *more, size_t size) {
    more[0] = '\0';
    if (e->pass == ENTRY_FIT)
        entry_next_tooth(con, e, more, size);
    else if (e->pass == ENTRY_READ)
        entry_next_position(con, e, more, size);
    else if (e->pass == ENTRY_RELATIVE)
        entry_next_relative(con, e, more, size);
    else if (e->pass == ENTRY_FINDINGS)
        entry_step_back(e);
    else if (e->field < FRAME_NOTE)
        e->field++;
}

/* What becomes of a reading against a neighbour that there is nothing to compare with. */
static const char *what_for(const entry *e, const mc_step *step) {
    static const char *const words[] = {[BASELINE_KNOWN] = "",
                                        [BASELINE_NOW] = "kept as the baseline",
                                        [BASELINE_NONE] = "no baseline: kept, not used",
                                        [BASELINE_OF_ANOTHER] =
                                            "another neighbour then: kept, not used"};
    if (step->what != MC_STEP_RELATIVE)
        return "";
    return words[entry_baseline_of(e, step->tooth, (mc_relative)step->whole)];
}

static void entered(console *con, entry *e, const mc_step *step) {
    char more[120];
    const mc_step said = *step; /* may be the form's own */
    entry_drop_typed(e);
    bool no_leg = said.what == MC_STEP_COMPONENT && !said.short_of_plan && !e->as_observed;
    if (said.what == MC_STEP_RELATIVE)
        e->kind = entry_kind_of((mc_relative)said.whole);
    move_on(con, e, more, sizeof more);
    if (no_leg && more[0] == '\0')
        snprintf(more, sizeof more, "no plan to be short of");
    if (more[0] == '\0')
        snprintf(more, sizeof more, "%s", what_for(e, &said));
    entry_say_entered(con, e, &said, more);
}

/* ---- what is typed ---- */

static bool whole_number(double value, int *out) {
    enum { MOST = 9999 };
    if (!(fabs(value) <= MOST) || value != floor(value))
        return false;
    *out = (int)value;
    return true;
}

/* Put the number where this kind of step has it. */
static bool put_number(const console *con, const entry *e, mc_step *step, double value) {
    if (step->what == MC_STEP_ALIGNER || step->what == MC_STEP_DAY)
        return whole_number(value, &step->whole) && step->whole >= 0;
    step->number = value;
    step->short_of_plan = step->what == MC_STEP_COMPONENT && !e->as_observed &&
                          entry_has_leg(con, e, step->tooth, step->component);
    return true;
}

/* The field has said already that the reading has no baseline: seven times the same question would
 * only be answered without looking. */
static bool told_unused(const entry *e, const mc_step *step) {
    if (step->what != MC_STEP_RELATIVE)
        return false;
    entry_baseline baseline = entry_baseline_of(e, step->tooth, (mc_relative)step->whole);
    return baseline == BASELINE_NONE || baseline == BASELINE_OF_ANOTHER;
}

void entry_commit(console *con, entry *e) {
    double value = 0;
    mc_error error = {0};
    mc_step step = entry_step(e);
    e->refused = true;
    if (!mc_decimal_parse(e->typed, true, &value))
        mc_fail(&error, MC_REFUSED, "'%s' is not a number", e->typed);
    else if (!put_number(con, e, &step, value))
        mc_fail(&error, MC_REFUSED, "'%s' is not a whole number", e->typed);
    if (error.text[0])
        entry_refuse(con, &error);
    else if (entry_enter(con, e, &step, told_unused(e, &step)))
        entered(con, e, &step);
}

/* ---- where a step was entered ---- */

/* Wear, method and note are of no arch: only aligners and days are told apart by theirs. */
static int field_of(const mc_step *step) {
    bool of_arch = step->what == MC_STEP_ALIGNER || step->what == MC_STEP_DAY;
    int field = 0;
    while (field < FRAME_NOTE) {
        mc_step of = frame_step(field);
        if (of.what == step->what && (!of_arch || of.arch == step->arch))
            break;
        field++;
    }
    return field;
}

void entry_go_to_step(entry *e, const mc_step *step) {
    if (e->pass == ENTRY_FINDINGS || e->pass == ENTRY_FRAME)
        entry_step_back(e);
    if (step->what == MC_STEP_REST_SEAT)
        return;
    if (step->what < MC_STEP_SEAT_GAP) {
        entry_set_pass(e, ENTRY_FRAME, field_of(step));
        return;
    }
    entry_go(e, step->tooth);
    e->row = step->row;
    if (step->what == MC_STEP_COMPONENT)
        entry_set_pass(e, ENTRY_READ, FIELD_COMPONENT + (int)step->component);
    else if (step->what == MC_STEP_RELATIVE)
        entry_set_pass(e, ENTRY_RELATIVE, FIELD_RELATIVE + step->whole);
    else if (step->what == MC_STEP_SEAT_GAP)
        entry_set_pass(e, e->pass == ENTRY_RELATIVE ? ENTRY_READ : e->pass, FIELD_GAP);
}
