/* Rules 9 and 10: teeth that are behind, few or many. */
#include "rules.h"

#include <math.h>

/* ---- 9 local measures ---- */

/* Whether no tooth but those shows a gap; *read is how many others had theirs read. */
static bool rest_seats(const mc_situation *s, int *read) {
    bool seats = true;
    *read = 0;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_tooth_score *score = &s->score->tooth[tooth];
        if (s->score->present[tooth] && !is_behind(score) && !isnan(score->seat_gap)) {
            (*read)++;
            seats = seats && !mc_reaches(score->seat_gap, s->settings->reseat_small_gap_mm);
        }
    }
    return seats;
}

/* What fits a tooth that is behind. */
static const char *measure_for(const mc_situation *s, mc_tooth tooth) {
    const mc_tooth_score *score = &s->score->tooth[tooth];
    const mc_component c = worst_short(s, tooth);
    if (score->attachment >= MC_ATTACHMENT_WORN) {
        return "renew the attachment";
    }
    if (!isnan(score->seat_gap) && mc_reaches(score->seat_gap, s->settings->reseat_small_gap_mm)) {
        return "seating exercises";
    }
    if ((c == MC_OCCLUSAL && score->item[c].direction > 0) || c == MC_ROTATION) {
        return "button and elastic";
    }
    if (score->attachment == MC_ATTACHMENT_UNSAID &&
        !mc_plan_attachment(s->plan, tooth, stage_of(s, tooth))) {
        return "an attachment";
    }
    return "seating exercises";
}

/* A tooth stalled is named as what it may be, until the causes that can be mended are excluded. */
static void say_stalled(const mc_situation *s, const named *teeth, mc_proposal *out) {
    named stalled = {.count = 0};
    for (size_t i = 0; i < teeth->count; i++) {
        if (s->score->tooth[teeth->tooth[i]].state == MC_STATE_STALLED) {
            name_tooth(&stalled, teeth->tooth[i], 0);
        }
    }
    if (stalled.count > 0) {
        say(out, " Stalled: ");
        say_teeth(out, stalled.tooth, stalled.count);
        say(out, "; where attachment, seat and wear are good, exclude ankylosis.");
    }
}

/* How the teeth named will end where nothing is done for them. */
static void say_endings(const mc_situation *s, const named *teeth, mc_proposal *out) {
    size_t told = 0;
    for (size_t i = 0; i < teeth->count && told < TOLD_ONE_BY_ONE; i++) {
        if (outcome_of(s, teeth->tooth[i]).c < MC_COMPONENTS) {
            say(out, "%s", told == 0 ? " Left alone, expected at the end: " : "; ");
            say_ending(s, teeth->tooth[i], out);
            told++;
        }
    }
    say(out, "%s", told > 0 ? "." : "");
}

bool rule_local(const mc_situation *s, mc_proposal *out) {
    const named behind = teeth_behind(s);
    int read;
    if (behind.count == 0 || behind.count > (size_t)s->settings->local_teeth ||
        behind_near_target(s) || !rest_seats(s, &read)) {
        return false;
    }
    propose(out, MC_PROPOSE_LOCAL, &behind);
    say(out, "Local measures on ");
    for (size_t i = 0; i < behind.count && i < TOLD_ONE_BY_ONE; i++) {
        say(out, "%s", i > 0 ? "; " : "");
        say_behind(s, behind.tooth[i], out);
        say(out, ", %s", measure_for(s, behind.tooth[i]));
    }
    say_more(out, behind.count);
    say(out, ". ");
    if (read > 0) {
        const printed below = millimetres(s->settings->reseat_small_gap_mm);
        if (read == 1) {
            say(out, "The rest seats: the other gap read is below %s.", below.text);
        } else {
            say(out, "The rest seats: the other %d gaps read are below %s.", read, below.text);
        }
    } else {
        say(out, "No other tooth's gap was read.");
    }
    say_endings(s, &behind, out);
    say_stalled(s, &behind, out);
    say(out, " Look again in one interval.");
    say_wear(s, out);
    return true;
}

/* ---- 10 hold ---- */

/* What the days bring, by the forecast: nothing is said where there is none. */
static void say_gain(const mc_situation *s, int days, mc_proposal *out) {
    const mc_option_ask ask = {.choices = 1u << MC_HOLD, .days = days, .to = -1};
    mc_option held;
    if (!s->forecast || isnan(s->forecast->expected_out)) {
        return;
    }
    mc_option_of(s, &ask, &held);
    out->failed = held.failed;
    if (held.possible) {
        say(out, " Expected to leave ");
        say_outside_instead(out, held.expected_out, s->forecast->expected_out);
        say(out, " at the end.");
    }
}

bool rule_hold(const mc_situation *s, mc_proposal *out) {
    const named behind = teeth_behind(s);
    if (behind.count == 0 || behind_near_target(s)) {
        return false;
    }
    propose(out, MC_PROPOSE_HOLD, &behind);
    out->days = (int)s->settings->hold_days;
    say(out, "Wear the present aligner %d days longer, then read again: %zu %s behind (", out->days,
        behind.count, behind.count == 1 ? "tooth is" : "teeth are");
    say_all_behind(s, &behind, out);
    say(out, ").");
    say_gain(s, out->days, out);
    say_stalled(s, &behind, out);
    say_wear(s, out);
    return true;
}
