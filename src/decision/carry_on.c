/* Rule 11: carry on, finish, or wait for the corrected series. */
#include "rules.h"

/* ---- 11 carry on, finish ---- */

/* Every arch with a series that was looked at is in its last part, and there is one. */
static bool near_end(const mc_situation *s) {
    int ending = 0, others = 0;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const int left = aligners_left(s, (mc_arch)arch);
        const int stages = mc_plan_stages(s->plan, (mc_arch)arch);
        if (left >= 0) {
            const bool last = mc_reaches(s->settings->finish_series_left * stages, left);
            ending += last;
            others += !last;
        }
    }
    return ending > 0 && others == 0;
}

/* Teeth that stay in sight although nothing is to be done: slipping, past plan or drifting. */
static named to_watch(const mc_situation *s) {
    named teeth = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_tooth_score *score = &s->score->tooth[tooth];
        if (s->score->present[tooth] &&
            (score->state == MC_STATE_SLIPPING || score->state == MC_STATE_PAST_PLAN ||
             score->state == MC_STATE_DRIFTING || is_behind(score))) {
            name_tooth(&teeth, tooth, score->lag_index);
        }
    }
    return teeth;
}

/* Enough of the tooth's series is left for something to be done about how it will end. */
static bool time_to_act(const mc_situation *s, mc_tooth tooth) {
    const mc_arch arch = mc_tooth_arch(tooth);
    const int left = aligners_left(s, arch);
    return left > 0 &&
           mc_reaches(left, s->settings->name_series_left * mc_plan_stages(s->plan, arch));
}

/* Teeth that are likely to end outside their finishing tolerance, by where they are expected and by
 * the probability of it, the furthest outside first. */
static named to_end_outside(const mc_situation *s) {
    named teeth = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH && s->forecast; tooth++) {
        const double p_out = s->forecast->tooth[tooth].p_out; /* NaN reaches nothing */
        const outcome end = outcome_of(s, tooth);
        if (s->score->present[tooth] && time_to_act(s, tooth) && end.c < MC_COMPONENTS &&
            !mc_reaches(1, end.ways) && mc_reaches(p_out, s->settings->name_probability)) {
            name_tooth(&teeth, tooth, end.ways);
        }
    }
    return teeth;
}

static bool is_named(const named *teeth, mc_tooth tooth) {
    bool found = false;
    for (size_t i = 0; i < teeth->count; i++) {
        found = found || teeth->tooth[i] == tooth;
    }
    return found;
}

/* The first, then those of the second that are not among them. */
static named one_after_other(const named *first, const named *second) {
    named teeth = *first;
    for (size_t i = 0; i < second->count; i++) {
        if (!is_named(first, second->tooth[i])) {
            teeth.tooth[teeth.count++] = second->tooth[i];
        }
    }
    return teeth;
}

/* What the answer rests on: how much was looked at. */
static void say_basis(const mc_situation *s, mc_proposal *out) {
    if (s->score->measured == 0) {
        say(out, " %s, so how the teeth are is not known.", nothing_measured(s));
        return;
    }
    say(out, " %d of %d teeth present were measured.", s->score->measured, s->score->present_count);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        if (mc_plan_stages(s->plan, (mc_arch)arch) > 0 && s->score->aligner[arch] < 0) {
            say(out, " The %s arch was not looked at.", arch_word((mc_arch)arch));
        }
    }
    say_wear(s, out);
}

static void say_watch(const mc_situation *s, const named *teeth, mc_proposal *out) {
    if (teeth->count == 0) {
        return;
    }
    say(out, " Keep in sight: ");
    for (size_t i = 0; i < teeth->count && i < 2 * TOLD_ONE_BY_ONE; i++) {
        say(out, "%s%d %s", i > 0 ? ", " : "", mc_tooth_iso(teeth->tooth[i]),
            mc_state_word(s->score->tooth[teeth->tooth[i]].state));
    }
    if (teeth->count > 2 * TOLD_ONE_BY_ONE) {
        say(out, " and %zu more", teeth->count - 2 * TOLD_ONE_BY_ONE);
    }
    say(out, ".");
}

static void say_outside(const mc_situation *s, const named *teeth, mc_proposal *out) {
    for (size_t i = 0; i < teeth->count && i < TOLD_ONE_BY_ONE; i++) {
        say(out, "%s", i == 0 ? " Expected to end outside: " : "; ");
        say_ending(s, teeth->tooth[i], out);
        say(out, " (%s likely)", chance_of(s->forecast->tooth[teeth->tooth[i]].p_out).text);
    }
    if (teeth->count > 0) {
        say_more(out, teeth->count);
        say(out, "; for overcorrection, local measures or the correction at the end.");
    }
}

static void propose_finish(const mc_situation *s, bool end, mc_proposal *out) {
    const named behind = teeth_behind(s), watch = to_watch(s), outside = to_end_outside(s);
    const named first = one_after_other(behind.count > 0 ? &behind : &watch, &outside);
    propose(out, MC_PROPOSE_FINISH, &first);
    say(out, "Finish the series and measure at the end: ");
    if (end) {
        say(out, "%s of it or less is left.", percent(s->settings->finish_series_left).text);
    } else {
        say_all_behind(s, &behind, out);
        say(out, ", all within %s and %s of the target.", millimetres(s->settings->finish_mm).text,
            size_of(s->settings->finish_deg, MC_ROTATION).text);
    }
    say_basis(s, out);
    say_watch(s, &watch, out);
    say_outside(s, &outside, out);
}

bool rule_carry_on(const mc_situation *s, mc_proposal *out) {
    const bool end = near_end(s);
    if (end || behind_near_target(s)) {
        propose_finish(s, end, out);
        return true;
    }
    const named watch = s->score->measured == 0 ? to_read(s) : to_watch(s);
    const named outside = to_end_outside(s), all = one_after_other(&outside, &watch);
    propose(out, MC_PROPOSE_CARRY_ON, &all);
    if (mc_plan_stages(s->plan, MC_UPPER) == 0 && mc_plan_stages(s->plan, MC_LOWER) == 0) {
        say(out, "The plan has no series of aligners; no rule finds a reason to act.");
    } else {
        say(out, "Carry on: no rule finds a reason to stop.");
    }
    say_basis(s, out);
    if (s->score->measured > 0) {
        say_watch(s, &watch, out);
    } else if (watch.count > 0) {
        say(out, " Read, most worth it first: ");
        say_teeth(out, watch.tooth, watch.count);
        say(out, ".");
    }
    say_outside(s, &outside, out);
    return true;
}

/* ---- 11 wait ---- */

/* "upper 12 and lower 9"; nothing where no aligner is worn. */
static void say_worn(const mc_situation *s, mc_proposal *out) {
    const char *between = " ";
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        if (mc_plan_stages(s->plan, (mc_arch)arch) > 0 && s->score->aligner[arch] > 0) {
            say(out, "%s%s %d", between, arch_word((mc_arch)arch), s->score->aligner[arch]);
            between = " and ";
        }
    }
}

bool rule_wait(const mc_situation *s, mc_proposal *out) {
    const named watch = s->score->measured == 0 ? to_read(s) : to_watch(s);
    propose(out, MC_PROPOSE_CARRY_ON, &watch);
    say(out, "Wait for the corrected series and wear");
    say_worn(s, out);
    say(out, " on until it begins: no rule finds a reason to act meanwhile.");
    say_basis(s, out);
    if (s->score->measured > 0) {
        say_watch(s, &watch, out);
    }
    return true;
}
