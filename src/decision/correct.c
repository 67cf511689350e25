/* Rule 8: lag that the series will not make up. */
#include "rules.h"

#include <math.h>
#include <stdlib.h>

/* Why a tooth calls for a correction. */
typedef enum reason { REASON_NONE, REASON_SHORT, REASON_TOGETHER, REASON_STALLED } reason;

/* Enough aligners of the arch are left for a correction to be worth its weeks. */
static bool enough_left(const mc_situation *s, mc_arch arch) {
    const int left = aligners_left(s, arch);
    return left >= 0 && mc_reaches(left, s->settings->correct_aligners_left) &&
           mc_reaches(left, s->settings->correct_series_left * mc_plan_stages(s->plan, arch));
}

/* A component short of plan at this check-up, and sure to be. */
static bool surely_short(const mc_situation *s, mc_tooth tooth, mc_component c) {
    const mc_item *item = &s->score->tooth[tooth].item[c];
    return item->read && item->kind == MC_KIND_SHORT &&
           (mc_reaches(item->p, s->settings->state_probability) || behind_twice(s, tooth));
}

/* The component whose weighted shortfall has crossed the correction tolerance by most;
 * MC_COMPONENTS where none has. */
static mc_component crossed(const mc_situation *s, mc_tooth tooth) {
    mc_component worst = MC_COMPONENTS;
    double most = 0;
    for (int i = 0; i < MC_COMPONENTS; i++) {
        const mc_component c = (mc_component)i;
        const mc_item *item = &s->score->tooth[tooth].item[c];
        const double limit =
            mc_component_is_linear(c) ? s->settings->correct_mm : s->settings->correct_deg;
        const double weighted = item->weight * item->shortfall;
        if (surely_short(s, tooth, c) && mc_reaches(weighted, limit) && weighted / limit > most) {
            most = weighted / limit;
            worst = c;
        }
    }
    return worst;
}

/* Short by as many tracking tolerances as count when several teeth are. */
static bool well_short(const mc_situation *s, mc_tooth tooth) {
    bool found = false;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &s->score->tooth[tooth].item[c];
        found =
            found || (surely_short(s, tooth, (mc_component)c) &&
                      mc_reaches(item->shortfall, s->settings->correct_tolerances *
                                                      mc_tolerance(s->settings, (mc_component)c)));
    }
    return found;
}

/* Stalled although everything that could be mended is known to be good: only what was said counts
 * as good, except for an attachment where the plan has none. */
static bool stalled_for_no_reason(const mc_situation *s, mc_tooth tooth) {
    const mc_tooth_score *score = &s->score->tooth[tooth];
    const bool attachment = score->attachment == MC_ATTACHMENT_INTACT ||
                            (score->attachment == MC_ATTACHMENT_UNSAID &&
                             !mc_plan_attachment(s->plan, tooth, stage_of(s, tooth)));
    const bool seat =
        !isnan(score->seat_gap) && mc_reaches(s->settings->reseat_small_gap_mm, score->seat_gap);
    const bool wear = !isnan(s->score->wear_hours) && !wear_is_low(s);
    return score->state == MC_STATE_STALLED && attachment && seat && wear;
}

/* How many teeth, in arches worth correcting, are well short. */
static int count_well_short(const mc_situation *s) {
    int count = 0;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        count += s->score->present[tooth] && enough_left(s, mc_tooth_arch(tooth)) &&
                 well_short(s, tooth);
    }
    return count;
}

static reason reason_of(const mc_situation *s, mc_tooth tooth, int together) {
    if (!s->score->present[tooth] || !enough_left(s, mc_tooth_arch(tooth))) {
        return REASON_NONE;
    }
    if (crossed(s, tooth) < MC_COMPONENTS) {
        return REASON_SHORT;
    }
    if (stalled_for_no_reason(s, tooth)) {
        return REASON_STALLED;
    }
    return together >= s->settings->correct_teeth && well_short(s, tooth) ? REASON_TOGETHER
                                                                          : REASON_NONE;
}

/* Whether none of the last aligners (as many as count for rule 2) that were worn at check-ups on
 * this plan, each as last seen, seats: on each a gap above the smaller one of rule 2 was read. */
static bool none_seats(const mc_situation *s, mc_arch arch) {
    const int back = (int)s->settings->reseat_back;
    int lower_than = s->score->aligner[arch] + 1, off = 0;
    for (size_t i = 0; i <= s->earlier_on_plan && i <= s->earlier_count && off < back; i++) {
        const mc_score *score = i == 0 ? s->score : s->earlier[s->earlier_count - i].score;
        if (score->aligner[arch] < 0 || score->aligner[arch] >= lower_than) {
            continue;
        }
        if (fit_of(s->settings, score, arch).above == 0) {
            return false;
        }
        lower_than = score->aligner[arch];
        off++;
    }
    return off >= back;
}

static void say_tooth(const mc_situation *s, mc_tooth tooth, reason why, mc_proposal *out) {
    const mc_component c = crossed(s, tooth);
    if (why == REASON_SHORT) {
        const mc_item *item = &s->score->tooth[tooth].item[c];
        const double limit =
            mc_component_is_linear(c) ? s->settings->correct_mm : s->settings->correct_deg;
        say(out, "%d: %s %s short (weighted %s, limit %s)", mc_tooth_iso(tooth),
            movement_word(tooth, c, item->direction > 0), size_of(item->shortfall, c).text,
            size_of(item->weight * item->shortfall, c).text, size_of(limit, c).text);
    } else if (why == REASON_STALLED) {
        say(out, "%d: stalled although attachment, seat and wear are good, exclude ankylosis first",
            mc_tooth_iso(tooth));
    } else {
        say(out, "%d: short by %s tolerances or more", mc_tooth_iso(tooth),
            plain(s->settings->correct_tolerances).text);
    }
}

/* The teeth that call for it, most urgent first. */
static named teeth_to_correct(const mc_situation *s, int together) {
    named teeth = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (reason_of(s, tooth, together) != REASON_NONE) {
            name_tooth(&teeth, tooth, s->score->tooth[tooth].lag_index);
        }
    }
    return teeth;
}

static void say_reasons(const mc_situation *s, const named *teeth, int together,
                        const bool loose[MC_ARCHES], mc_proposal *out) {
    const char *between = "";
    for (size_t i = 0; i < teeth->count && i < TOLD_ONE_BY_ONE; i++) {
        say(out, "%s", between);
        say_tooth(s, teeth->tooth[i], reason_of(s, teeth->tooth[i], together), out);
        between = "; ";
    }
    say_more(out, teeth->count);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        if (loose[arch]) {
            say(out, "%snone of the last %g %s aligners seats", between, s->settings->reseat_back,
                arch_word((mc_arch)arch));
            between = "; ";
        }
    }
}

/* Teeth that have stalled, whatever else names them, are looked at for ankylosis before they are
 * planned anew. */
static void say_stalled(const mc_situation *s, const named *teeth, int together, mc_proposal *out) {
    int stalled = 0, last = 0;
    for (size_t i = 0; i < teeth->count; i++) {
        if (s->score->tooth[teeth->tooth[i]].state == MC_STATE_STALLED &&
            reason_of(s, teeth->tooth[i], together) != REASON_STALLED) {
            last = mc_tooth_iso(teeth->tooth[i]);
            stalled++;
        }
    }
    if (stalled == 1) {
        say(out, "%d has stalled: exclude ankylosis. ", last);
    } else if (stalled > 1) {
        say(out, "%d have stalled: exclude ankylosis. ", stalled);
    }
}

/* The aligners left in the arches concerned. */
static void say_left(const mc_situation *s, const named *teeth, const bool loose[MC_ARCHES],
                     mc_proposal *out) {
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        bool concerned = loose[arch];
        for (size_t i = 0; i < teeth->count; i++) {
            concerned = concerned || (int)mc_tooth_arch(teeth->tooth[i]) == arch;
        }
        if (concerned) {
            say(out, "%d of %d %s aligners are left. ", aligners_left(s, (mc_arch)arch),
                mc_plan_stages(s->plan, (mc_arch)arch), arch_word((mc_arch)arch));
        }
    }
}

/* Whether every tooth that the plan moves was read whole at this check-up, by scan or landmarks. */
static bool has_poses(const mc_situation *s) {
    bool all = s->exact != NULL;
    for (mc_tooth tooth = 0; all && tooth < MC_TEETH; tooth++) {
        const bool moves = mc_tooth_may_move(s->states[tooth]) && mc_plan_moves(s->plan, tooth);
        for (int c = 0; moves && c < MC_COMPONENTS; c++) {
            all = all && !isnan(s->exact[tooth].c[c]);
        }
    }
    return all;
}

static void say_poses(const mc_situation *s, mc_proposal *out) {
    say(out, "%s; until the new aligners come (about %g days) the last one that seats is worn.",
        has_poses(s) ? "This check-up has the poses for it"
                     : "Take poses by scan or digitised landmarks",
        s->settings->laboratory_days);
    say_wear(s, out);
}

/* ---- whether it pays ---- */

/* What correcting now is expected to bring, beside wearing the series to its end and correcting
 * then. */
typedef struct comparison {
    bool made;                /* both can be done, and something can be forecast */
    bool failed;              /* there was too little memory to see */
    double now_out, then_out; /* teeth expected outside their finishing tolerance */
    int sooner;               /* days */
} comparison;

static comparison compare(const mc_situation *s) {
    const mc_option_ask correct = {.choices = 1u << MC_CORRECT, .to = -1};
    const mc_option_ask finish = {.choices = 1u << MC_FINISH, .to = -1};
    mc_option now, then;
    mc_option_of(s, &correct, &now);
    mc_option_of(s, &finish, &then);
    return (comparison){.made = now.possible && then.possible && !isnan(now.expected_out) &&
                                !isnan(then.expected_out),
                        .failed = now.failed || then.failed,
                        .now_out = now.expected_out,
                        .then_out = then.expected_out,
                        .sooner = then.days - now.days};
}

/* What cannot be compared stands in nobody's way. */
static bool pays(const mc_situation *s, const comparison *c) {
    return !c->made || mc_reaches(c->then_out - c->now_out, s->settings->correct_fewer_out) ||
           mc_reaches(c->sooner, s->settings->correct_sooner_days);
}

/* As far as it shows in what is said. */
static bool one_gain_one_loss(const comparison *c) {
    const double fewer = round(10 * c->then_out) - round(10 * c->now_out);
    return fewer * c->sooner < 0;
}

static void say_comparison(const comparison *c, mc_proposal *out) {
    if (!c->made) {
        say(out, "It cannot be forecast what correcting now gains over finishing first. ");
        return;
    }
    say(out, "Correcting now is expected to leave ");
    say_outside_instead(out, c->now_out, c->then_out);
    say(out, ", %s to end ", one_gain_one_loss(c) ? "but" : "and");
    if (c->sooner == 0) {
        say(out, "on the same day as finishing first. ");
    } else {
        const int days = abs(c->sooner);
        say(out, "%d %s %s than finishing first. ", days, days == 1 ? "day" : "days",
            c->sooner > 0 ? "sooner" : "later");
    }
}

bool rule_correct(const mc_situation *s, mc_proposal *out) {
    const int together = count_well_short(s);
    const named teeth = teeth_to_correct(s, together);
    bool loose[MC_ARCHES];
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        loose[arch] = enough_left(s, (mc_arch)arch) && none_seats(s, (mc_arch)arch);
    }
    if ((wear_is_low(s) && !wear_talked(s)) ||
        (teeth.count == 0 && !loose[MC_UPPER] && !loose[MC_LOWER])) {
        return false;
    }
    const comparison weighed = compare(s); /* the dear part, so only where the rest holds */
    if (!weighed.failed && !pays(s, &weighed)) {
        return false;
    }
    propose(out, MC_PROPOSE_CORRECT, &teeth);
    out->failed = weighed.failed;
    say(out, "Correct now: ");
    say_reasons(s, &teeth, together, loose, out);
    say(out, ". ");
    say_stalled(s, &teeth, together, out);
    say_left(s, &teeth, loose, out);
    say_comparison(&weighed, out);
    say_poses(s, out);
    return true;
}
