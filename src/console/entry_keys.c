/* The check-up form's letters: each means the same in every pass. */
#include "entry_view.h"
#include "words.h"

#include <curses.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

bool entry_left_gone(console *con, entry *e) {
    int number = e->number;
    bool begun = e->begun;
    void (*after)(console *, void *) = e->after;
    if (!e->gone)
        return false;
    frame_back(con, e);
    after(con, con->stack[con->depth - 1].self);
    if (begun)
        frame_say(con, "Check-up %d was completed or thrown away by somebody else.", number);
    else
        frame_say(con, "Somebody else has changed this case: no check-up can be entered now.");
    return true;
}

bool entry_ready(console *con, entry *e) {
    if (entry_left_gone(con, e))
        return false;
    e->last = LAST_OTHER;
    e->swallowing = false;
    e->jumping = false;
    if (entry_typing(e) && !e->refused) {
        frame_say(con, "%s is typed but not entered: Enter enters it, Esc drops it.", e->typed);
        return false;
    }
    entry_drop_typed(e);
    return true;
}

/* Where a key is about teeth, the findings and the frame are left for it. */
static bool ready_at_teeth(console *con, entry *e) {
    if (!entry_ready(con, e))
        return false;
    if (e->pass == ENTRY_FINDINGS || e->pass == ENTRY_FRAME)
        entry_step_back(e);
    return true;
}

/* Nothing is said of a tooth that the frame hides. */
static bool ready_to_say(console *con, entry *e) {
    if (!entry_ready(con, e))
        return false;
    if (e->pass == ENTRY_FRAME) {
        frame_say(con, "First back to the teeth: f or Esc.");
        return false;
    }
    return ready_at_teeth(con, e);
}

/* ---- leaving ---- */

static void leave(console *con, void *self) {
    entry *e = self;
    if (entry_left_gone(con, e))
        return;
    int number = mc_draft_number(e->draft);
    bool on_record = mc_draft_on_record(e->draft), jumping = e->jumping;
    bool dropped = entry_typing(e);
    entry_drop_typed(e);
    entry_ready(con, e);
    if (jumping || dropped)
        return;
    if (e->pass == ENTRY_FINDINGS || e->pass == ENTRY_FRAME) {
        entry_step_back(e);
        return;
    }
    frame_back(con, self);
    if (on_record)
        frame_say(con, "Check-up %d is kept as it is: e goes on with it.", number);
    else
        frame_say(con, "Nothing was entered.");
}

/* ---- teeth ---- */

/* So many teeth along the arch. */
static void along(console *con, entry *e, int steps) {
    chart_view moved = e->chart;
    if (!ready_to_say(con, e))
        return;
    chart_move_along(&moved, steps);
    entry_go(e, moved.cursor);
}

static void left(console *con, void *self) {
    along(con, self, -1);
}

static void right(console *con, void *self) {
    along(con, self, 1);
}

static void home(console *con, void *self) {
    along(con, self, -MC_TEETH);
}

static void end(console *con, void *self) {
    along(con, self, MC_TEETH);
}

/* To the other arch; in the frame from field to field. */
static void across(console *con, entry *e, mc_arch arch, int step) {
    chart_view moved = e->chart;
    if (e->pass == ENTRY_FRAME) {
        int to = e->field + step;
        if (entry_ready(con, e))
            e->field = to < 0 ? 0 : to < FRAME_FIELDS ? to : FRAME_FIELDS - 1;
        return;
    }
    if (!ready_at_teeth(con, e))
        return;
    chart_cross_over(&moved, arch);
    entry_go(e, moved.cursor);
}

static void up(console *con, void *self) {
    across(con, self, MC_UPPER, -1);
}

static void down(console *con, void *self) {
    across(con, self, MC_LOWER, 1);
}

static void jump(console *con, void *self) {
    entry *e = self;
    if (!ready_at_teeth(con, e))
        return;
    if (con->notation != MC_NOTATION_ISO) {
        frame_prompt(con, "Tooth: ", "", false, entry_jump_text);
        return;
    }
    e->jumping = true;
    e->jump_digit = 0;
}

/* ---- passes and fields ---- */

static void fit(console *con, void *self) {
    entry *e = self;
    if (ready_at_teeth(con, e))
        entry_set_pass(e, ENTRY_FIT, FIELD_GAP);
}

static void reading(console *con, void *self) {
    entry *e = self;
    if (ready_at_teeth(con, e))
        entry_set_pass(e, ENTRY_READ, FIELD_COMPONENT);
}

/* At the first, and again: at the next kind, so that steps alone are soon reached. */
static void against(console *con, void *self) {
    entry *e = self;
    if (!ready_at_teeth(con, e))
        return;
    if (e->pass == ENTRY_RELATIVE) {
        entry_next_kind(e);
        return;
    }
    e->kind = MC_SPACE_TO_MESIAL;
    entry_set_pass(e, ENTRY_RELATIVE, FIELD_RELATIVE);
    entry_first_relative(e);
}

static void frame(console *con, void *self) {
    entry *e = self;
    if (ready_at_teeth(con, e))
        entry_set_pass(e, ENTRY_FRAME, FRAME_UPPER);
}

/* In the fit pass to the first tooth whose gap is not said, else from field to field. */
static void step_field(console *con, entry *e, int step) {
    if (!entry_ready(con, e))
        return;
    if (e->pass == ENTRY_FIT) {
        mc_tooth unsaid = entry_first_unsaid(e);
        if (unsaid == MC_NO_TOOTH)
            frame_say(con, "Every gap is said.");
        else
            entry_go(e, unsaid);
        return;
    }
    if (e->pass == ENTRY_RELATIVE) {
        int next = entry_relative_from(e, e->field + step, step);
        e->field = next == FIELD_NONE ? e->field : next;
        return;
    }
    int first = e->pass == ENTRY_FINDINGS ? FIELD_ATTACHMENT : 0;
    int last = e->pass == ENTRY_FINDINGS ? FIELD_RECESSION
               : e->pass == ENTRY_READ   ? FIELD_LAST_COMPONENT
                                         : FRAME_NOTE;
    int to = e->field + step;
    e->field = to < first ? first : to > last ? last : to;
}

static void next_field(console *con, void *self) {
    step_field(con, self, 1);
}

static void last_field(console *con, void *self) {
    step_field(con, self, -1);
}

static void observed(console *con, void *self) {
    entry *e = self;
    e->last = LAST_OTHER;
    e->as_observed = !e->as_observed;
    frame_say(con, "Positions are typed %s from now on.",
              e->as_observed ? "as observed, from stage 0" : "as short of today's plan");
}

static void finding(console *con, entry *e, int field) {
    if (ready_to_say(con, e))
        entry_set_pass(e, ENTRY_FINDINGS, field);
}

static void attachment(console *con, void *self) {
    finding(con, self, FIELD_ATTACHMENT);
}

static void contacts(console *con, void *self) {
    entry *e = self;
    bool again = e->pass == ENTRY_FINDINGS && e->field == FIELD_CONTACT_MESIAL;
    finding(con, e, again ? FIELD_CONTACT_DISTAL : FIELD_CONTACT_MESIAL);
}

static void mobility(console *con, void *self) {
    finding(con, self, FIELD_MOBILITY);
}

static void pain(console *con, void *self) {
    finding(con, self, FIELD_PAIN);
}

static void swelling(console *con, void *self) {
    finding(con, self, FIELD_SWELLING);
}

static void recession(console *con, void *self) {
    finding(con, self, FIELD_RECESSION);
}

/* ---- saying ---- */

static void seats(console *con, void *self) {
    entry *e = self;
    if (!ready_to_say(con, e))
        return;
    int field = e->field;
    e->field = FIELD_GAP;
    entry_say_gap(con, e, 0, 0);
    if (e->pass != ENTRY_FIT)
        e->field = field;
}

static void rest_seats(console *con, void *self) {
    entry *e = self;
    if (!ready_to_say(con, e))
        return;
    mc_step step = {.what = MC_STEP_REST_SEAT, .number = NAN};
    int before = entry_count(e).gaps;
    if (!entry_enter(con, e, &step, false))
        return;
    int said = entry_count(e).gaps - before;
    if (entry_offer(e))
        frame_say(con, "All the rest seat: %d teeth. Most worth reading: %s.", said,
                  words_tooth(con->notation, e->chart.cursor).text);
    else
        frame_say(con, "All the rest seat: %d teeth. No position asks to be read.", said);
}

static void take_away(console *con, void *self) {
    entry *e = self;
    if (entry_left_gone(con, e))
        return;
    e->last = LAST_OTHER;
    if (entry_typing(e)) {
        entry_drop_typed(e);
        return;
    }
    mc_step step = entry_step_away(e);
    if (step.what == MC_STEP_METHOD)
        frame_say(con, "A check-up has a method: a digit chooses another.");
    else if (entry_enter(con, e, &step, false))
        entry_say_entered(con, e, &step, "");
}

static void backspace(console *con, void *self) {
    entry *e = self;
    (void)con;
    size_t used = strlen(e->typed);
    e->last = LAST_OTHER;
    e->refused = false;
    if (used > 0)
        e->typed[used - 1] = '\0';
}

/* ---- undo and redo ---- */

static void undo(console *con, void *self) {
    entry *e = self;
    mc_error error = {0};
    if (!entry_ready(con, e))
        return;
    size_t steps = mc_draft_steps(e->draft);
    mc_step step = {0};
    if (steps > 0)
        step = *mc_draft_step(e->draft, steps - 1);
    if (mc_draft_undo(e->draft, NULL, &error) != MC_OK) {
        entry_take_in(e);
        entry_refuse(con, &error);
        return;
    }
    char words[STEP_WORDS];
    entry_take_in(e);
    entry_go_to_step(e, &step);
    entry_step_words(con, e, &step, words);
    frame_say(con, "Taken back: %s. U does it again.", words);
}

static void redo(console *con, void *self) {
    entry *e = self;
    mc_error error = {0};
    if (!entry_ready(con, e))
        return;
    if (mc_draft_redo(e->draft, NULL, &error) != MC_OK) {
        entry_take_in(e);
        entry_refuse(con, &error);
        return;
    }
    char words[STEP_WORDS];
    entry_take_in(e);
    mc_step step = *mc_draft_step(e->draft, mc_draft_steps(e->draft) - 1);
    entry_go_to_step(e, &step);
    entry_step_words(con, e, &step, words);
    frame_say(con, "Done again: %s.", words);
}

/* ---- repeated readings ---- */

static void another_reading(console *con, void *self) {
    entry *e = self;
    if (!ready_to_say(con, e))
        return;
    int rows = mc_draft_rows(e->draft, e->chart.cursor);
    tooth_text tooth = words_tooth(con->notation, e->chart.cursor);
    e->row = rows;
    e->at_end = false;
    if (rows == 0)
        frame_say(con, "Nothing is read on %s yet: this is its first reading.", tooth.text);
    else
        frame_say(con, "Reading %d of %s: what is typed stands beside the one before.", rows + 1,
                  tooth.text);
}

static void step_row(console *con, entry *e, int step) {
    if (!ready_to_say(con, e))
        return;
    int rows = mc_draft_rows(e->draft, e->chart.cursor), to = e->row + step;
    if (to < 0 || to >= rows)
        frame_say(con, rows > 1 ? "There is no reading %s this one." : "There is one reading.",
                  step < 0 ? "before" : "after");
    else
        e->row = to;
}

static void row_before(console *con, void *self) {
    step_row(con, self, -1);
}

static void row_after(console *con, void *self) {
    step_row(con, self, 1);
}

/* ---- the table ---- */

enum { CTRL_R = 18 };

const key_row ENTRY_KEYS[] = {
    {KEY_ESC, 'q', "Esc", "back",
     "drops what is typed; from a finding or from k back to the teeth; else leaves the form: all "
     "that was entered is kept (q too)",
     leave},
    {'s', 0, "s", "seats", "this tooth seats: a gap of 0.0 mm", seats},
    {'a', 0, "a", "rest seat",
     "all the rest seat: every tooth whose gap was not said, kept as said in bulk; then the tooth "
     "most worth reading is offered",
     rest_seats},
    {'t', 0, "t", "tooth", "and two digits: to that tooth", jump},
    {'r', 0, "r", "read", "reading pass: positions, one field after another", reading},
    {'u', 0, "u", "undo", "take the last step back", undo},
    {'U', CTRL_R, "U", NULL, "do it again (Ctrl-R too)", redo},
    {'e', 0, "e", "done", "complete the check-up: lists what is in it and asks",
     entry_ask_complete},
    {'f', 0, "f", "fit", "fit pass: seat gaps, one tooth after another", fit},
    {'k', 0, "k", "aligners, wear", "the check-up itself: aligners worn, days, wear, method, note",
     frame},
    {'v', 0, "v", "neighbours",
     "against the neighbours: space, step and height step to each, and the crown's angle, one "
     "field "
     "after another; v again: the next kind",
     against},
    {'\t', 0, "Tab", NULL,
     "in the fit pass to the first tooth whose gap is not said, else to the next field",
     next_field},
    {KEY_BTAB, 0, "Shift-Tab", NULL, "to the field before; before the first position is the gap",
     last_field},
    {'o', 0, "o", NULL, "type positions as observed, or again as short of today's plan", observed},
    {'b', 0, "b", NULL, "attachment of this tooth", attachment},
    {'c', 0, "c", NULL, "mesial contact; c again: distal contact", contacts},
    {'m', 0, "m", NULL, "mobility", mobility},
    {'p', 0, "p", NULL, "pain on biting", pain},
    {'w', 0, "w", NULL, "swelling or pus", swelling},
    {'x', 0, "x", NULL, "recession", recession},
    {'=', 0, "=", NULL, "read this tooth once more: a further reading beside the first",
     another_reading},
    {KEY_PPAGE, 0, "PgUp", NULL, "the reading before of this tooth", row_before},
    {KEY_NPAGE, 0, "PgDn", NULL, "the reading after", row_after},
    {KEY_DC, 0, "Delete", NULL, "take away the value of this field", take_away},
    {KEY_BACKSPACE, 0, "Backspace", NULL, "take away the last character typed", backspace},
    {KEY_LEFT, 0, "Left", NULL, "a tooth to the left on the screen", left},
    {KEY_RIGHT, 0, "Right", NULL, "a tooth to the right", right},
    {KEY_UP, 0, "Up", NULL, "to the upper arch; in k a field up", up},
    {KEY_DOWN, 0, "Down", NULL, "to the lower arch; in k a field down", down},
    {KEY_HOME, 0, "Home", NULL, "to the first tooth of the arch, the patient's right", home},
    {KEY_END, 0, "End", NULL, "to the last tooth of the arch", end},
    {'n', 0, "n", NULL, "the next tooth notation", chart_change_notation},
    {'D', 0, "D", NULL, "throw the whole check-up away; asks first", entry_ask_discard},
    {0}};
