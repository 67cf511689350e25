/* Which teeth are most worth reading next. An ordering of our own, not evidence: it only says where
 * a reading is likely to change what is thought of the mouth. */
#include "look.h"

#include <math.h>

/* Nothing is known better than to this part of a tolerance. */
static const double FLOOR = 0.1;

/* What is thought of a component's shortfall. */
typedef struct guess {
    double mean, sd;
} guess;

/* Followed: as estimated. Else from the planned leg so far, of which the published share (and this
 * mouth's pace) was delivered. */
static guess shortfall_of(const mc_situation *s, mc_tooth tooth, mc_component c, int direction,
                          double from) {
    const double planned = mc_plan_at(s->plan, tooth, c, stage_of(s, tooth));
    const mc_item *item = &s->score->tooth[tooth].item[c];
    if (item->followed) {
        return (guess){direction * (planned - item->mean), item->sd_x};
    }
    const bool paced = !isnan(s->score->pace_mean) && s->score->pace_sd > 0;
    const double pace = paced ? s->score->pace_mean : 0;
    const double pace_sd = paced ? s->score->pace_sd : MC_PACE_SPREAD;
    const double share =
        mc_share_for(s->settings, tooth, mc_plan_movement(s->plan, tooth, c)) + pace;
    const double leg = direction * (planned - from);
    return (guess){(1 - share) * leg, hypot(MC_OWN_SPREAD, pace_sd) * leg};
}

/* Weight x P(short by a tolerance or more) x uncertainty in tolerances. */
static double worth_of_component(const mc_situation *s, mc_tooth tooth, mc_component c) {
    double from = 0;
    const int direction = mc_plan_leg(s->plan, tooth, c, stage_of(s, tooth), &from);
    if (direction == 0) {
        return 0;
    }
    const double tolerance = mc_tolerance(s->settings, c);
    const guess g = shortfall_of(s, tooth, c, direction, from);
    const double sd = hypot(g.sd, FLOOR * tolerance);
    double behind = 0.5 * erfc((tolerance - g.mean) / (sd * sqrt(2)));
    if (s->score->tooth[tooth].seat_kind == MC_KIND_SHORT) {
        behind = fmax(behind, s->score->tooth[tooth].seat_p);
    }
    return mc_risk_weight(s->settings, s->plan, tooth, c) * behind * sd / tolerance;
}

static double worth_of(const mc_situation *s, mc_tooth tooth) {
    double worth = 0;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        worth = fmax(worth, worth_of_component(s, tooth, (mc_component)c));
    }
    return worth;
}

/* Moves by the plan, stands, its arch was looked at, and no position of it was read. */
static bool could_be_read(const mc_situation *s, mc_tooth tooth) {
    bool could =
        s->score->present[tooth] && mc_plan_moves(s->plan, tooth) && !isnan(stage_of(s, tooth));
    for (int c = 0; c < MC_COMPONENTS; c++) {
        could = could && !s->score->tooth[tooth].item[c].read;
    }
    return could;
}

size_t mc_worth_reading(const mc_situation *situation, size_t most, mc_tooth out[MC_TEETH]) {
    named teeth = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (could_be_read(situation, tooth)) {
            name_tooth(&teeth, tooth, worth_of(situation, tooth));
        }
    }
    const size_t count = teeth.count < most ? teeth.count : most;
    for (size_t i = 0; i < count; i++) {
        out[i] = teeth.tooth[i];
    }
    return count;
}
