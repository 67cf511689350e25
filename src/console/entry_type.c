/* Digits, points and Enter, as fingers and instruments type them. A caliper types a whole number
 * and Enter; the first of its digits has been taken as a gap by then, and is taken back when a
 * point shows that a number comes. A number that is for no field goes by as a whole, so that no
 * part of it lands anywhere. */
#include "entry_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char ENTRY_TYPING[] =
    "a digit is a seat gap of 0.0 to 0.9 mm and goes on to the next tooth; with a point or comma "
    "in it, a number that Enter enters. In the reading pass, in v and in k digits are always a "
    "number; among choices one of them chooses";

static bool is_digit(int key) {
    return key >= '0' && key <= '9';
}

static bool is_point(int key) {
    return key == '.' || key == ',';
}

static bool of_number(int key) {
    return is_digit(key) || is_point(key) || key == '-' || key == '+';
}

/* ---- a number that is for no field ---- */

static void begin_swallowing(console *con, entry *e) {
    e->swallowing = true;
    e->jumping = false;
    frame_say(con, "A number went by that is for no field: nothing of it was taken.");
}

static void let_by(console *con, entry *e, int key) {
    begin_swallowing(con, e);
    e->swallowing = key != '\n';
}

/* ---- to a tooth by its number ---- */

static void jump_to(console *con, entry *e, mc_tooth tooth) {
    bool reading = e->pass == ENTRY_READ && e->field != FIELD_GAP;
    if (!chart_stands(&e->chart, tooth)) {
        frame_say(con, "%s does not stand: %s.", words_tooth(con->notation, tooth).text,
                  mc_tooth_state_name(e->shown.states[tooth]));
        return;
    }
    entry_go(e, tooth);
    if (e->pass == ENTRY_RELATIVE)
        entry_first_relative(e);
    else
        entry_set_pass(e, reading ? ENTRY_READ : ENTRY_FIT, reading ? FIELD_COMPONENT : FIELD_GAP);
}

static void jump_key(console *con, entry *e, int key) {
    enum { TEN = 10 };
    if (!is_digit(key)) {
        begin_swallowing(con, e);
        e->swallowing = key != '\n';
        return;
    }
    e->last = LAST_LOST;
    if (e->jump_digit == 0 && key >= '1' && key <= '8') {
        e->jump_digit = (char)key;
        return;
    }
    char first = e->jump_digit;
    int iso = (first ? first - '0' : 0) * TEN + key - '0';
    mc_tooth tooth = mc_tooth_from_iso(iso);
    e->jumping = false;
    if (first == 0)
        frame_say(con, "No tooth begins with %c: t asks again.", key);
    else if (tooth == MC_NO_TOOTH)
        frame_say(con, "There is no tooth %d: t asks again.", iso);
    else
        jump_to(con, e, tooth);
}

void entry_jump_text(console *con, void *screen, const char *text) {
    entry *e = screen;
    mc_tooth tooth = mc_tooth_parse(con->notation, text);
    if (tooth == MC_NO_TOOTH)
        frame_say(con, "'%.20s' is no tooth in this notation: t asks again.", text);
    else
        jump_to(con, e, tooth);
}

/* ---- one key says it all ---- */

void entry_say_gap(console *con, entry *e, double gap, char digit) {
    char more[120];
    e->last = digit ? LAST_LOST : LAST_OTHER;
    if (e->at_end) {
        frame_say(con, "%s was the last tooth: an arrow, Tab or t goes to another.",
                  words_tooth(con->notation, e->chart.cursor).text);
        return;
    }
    mc_step step = entry_step(e);
    step.number = gap;
    e->last_tooth = e->chart.cursor;
    e->last_row = e->row;
    e->last_digit = digit;
    if (!entry_enter(con, e, &step, false))
        return;
    e->last = digit ? LAST_GAP : LAST_OTHER;
    more[0] = '\0';
    if (e->pass == ENTRY_FIT)
        entry_next_tooth(con, e, more, sizeof more);
    entry_say_entered(con, e, &step, more);
}

static void say_choices(console *con, entry *e) {
    char text[200];
    entry_hint(con, e, text, sizeof text);
    frame_say(con, "%s", text);
}

/* Said of an attachment that the plan does not have: another tooth may be meant. */
static const char *not_planned(const console *con, const entry *e, const mc_step *step) {
    double stage = chart_stage(con, &e->chart, step->arch);
    bool said = step->what == MC_STEP_ATTACHMENT && step->whole != MC_ATTACHMENT_UNSAID;
    return said && !isnan(stage) && !mc_plan_attachment(e->shown.plan, step->tooth, stage)
               ? "the plan has none there"
               : "";
}

static void choose(console *con, entry *e, int key) {
    mc_step step = entry_step(e);
    bool method = e->pass == ENTRY_FRAME;
    int most = method ? MC_METHODS : entry_most_choice(e->field);
    int digit = is_digit(key) ? key - '0' : -1;
    bool away = step.what == MC_STEP_MOBILITY && key == '-';
    e->last = is_digit(key) ? LAST_LOST : LAST_OTHER;
    if ((digit < 0 && !away) || digit > most || (method && digit == 0)) {
        say_choices(con, e);
        return;
    }
    step.whole = method ? digit - 1 : digit;
    if (!entry_enter(con, e, &step, false))
        return;
    e->last = LAST_CHOICE;
    if (method)
        e->field++;
    else
        entry_step_back(e);
    entry_say_entered(con, e, &step, not_planned(con, e, &step));
}

/* ---- a number, character by character ---- */

static void type(console *con, entry *e, int key) {
    size_t used = e->refused ? 0 : strlen(e->typed);
    if (e->at_end && e->pass == ENTRY_FIT) {
        begin_swallowing(con, e);
        return;
    }
    e->refused = false;
    if (used + 1 >= sizeof e->typed) {
        frame_say(con, "No number is as long as that: Backspace takes from its end.");
        return;
    }
    e->typed[used] = (char)key;
    e->typed[used + 1] = '\0';
}

/* A point right behind a digit that was taken for something else. */
static void instrument_point(console *con, entry *e, entry_last last, int key) {
    mc_error error = {0};
    if (last != LAST_LOST && e->stepped && mc_draft_undo(e->draft, NULL, &error) != MC_OK) {
        entry_take_in(e);
        begin_swallowing(con, e);
        entry_refuse(con, &error);
        return;
    }
    entry_take_in(e);
    if (last != LAST_GAP) {
        begin_swallowing(con, e);
        return;
    }
    entry_go(e, e->last_tooth);
    e->row = e->last_row;
    snprintf(e->typed, sizeof e->typed, "%c%c", e->last_digit, key);
    e->refused = false;
}

static void number_key(console *con, entry *e, int key) {
    bool choices = (e->pass == ENTRY_FINDINGS && e->field != FIELD_RECESSION) ||
                   (e->pass == ENTRY_FRAME && e->field == FRAME_METHOD);
    bool typing = entry_typing(e) && !e->refused;
    if (choices)
        choose(con, e, key);
    else if (e->pass == ENTRY_FRAME && e->field == FRAME_NOTE)
        say_choices(con, e);
    else if (e->pass == ENTRY_FIT && is_digit(key) && !typing) {
        enum { TENTHS = 10 };
        entry_drop_typed(e);
        entry_say_gap(con, e, (double)(key - '0') / TENTHS, (char)key);
    } else
        type(con, e, key);
}

/* ---- Enter ---- */

/* A note that is refused is asked for again, as it was typed. */
static void note_typed(console *con, void *screen, const char *text) {
    entry *e = screen;
    mc_step step = entry_step(e);
    if (step.what != MC_STEP_NOTE)
        return;
    char typed[PROMPT_SIZE];
    snprintf(typed, sizeof typed, "%s", text);
    bool fits = strlen(typed) < sizeof step.text;
    if (fits)
        memcpy(step.text, typed, strlen(typed) + 1);
    else
        frame_refuse_words(con, "A note has at most %d characters.", MC_NOTE_CHARACTERS);
    if (fits && entry_enter(con, e, &step, false))
        entry_say_entered(con, e, &step, "");
    else if (!e->gone)
        frame_prompt(con, "Note: ", typed, false, note_typed);
}

static void enter_on_nothing(console *con, entry *e, entry_last last) {
    char more[120] = "";
    const char *note = mc_draft_checkup(e->draft)->note;
    if (e->pass == ENTRY_READ || e->pass == ENTRY_RELATIVE) {
        (e->pass == ENTRY_READ ? entry_next_position : entry_next_relative)(con, e, more,
                                                                            sizeof more);
        if (more[0])
            frame_say(con, "Skipped; %s.", more);
    } else if (e->pass == ENTRY_FRAME && e->field == FRAME_NOTE) {
        frame_prompt(con, "Note: ", note ? note : "", false, note_typed);
    } else if (e->pass == ENTRY_FRAME) {
        e->field++;
    } else if (e->pass == ENTRY_FINDINGS && e->field == FIELD_RECESSION) {
        entry_step_back(e);
    } else if (e->pass == ENTRY_FIT && last == LAST_GAP && e->last_digit != '0') {
        frame_say(con, "%s has a gap of 0.%c mm; one of %c mm is typed %c.0",
                  words_tooth(con->notation, e->last_tooth).text, e->last_digit, e->last_digit,
                  e->last_digit);
    }
}

void entry_typed(console *con, void *self, int key) {
    entry *e = self;
    entry_last last = e->last;
    if (entry_left_gone(con, e))
        return;
    e->last = LAST_OTHER;
    if (!of_number(key) && key != '\n')
        return;
    if (e->swallowing)
        let_by(con, e, key);
    else if (e->jumping)
        jump_key(con, e, key);
    else if (is_point(key) && last != LAST_OTHER)
        instrument_point(con, e, last, key);
    else if (key != '\n')
        number_key(con, e, key);
    else if (entry_typing(e))
        entry_commit(con, e);
    else
        enter_on_nothing(con, e, last);
}
