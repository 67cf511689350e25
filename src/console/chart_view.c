/* What the chart's parts ask of an assessment. */
#include "chart_ahead.h"

#include <math.h>

const char CHART_CAUTION[] =
    "Proposal only: the doctor decides; local rules and clinical judgement go first";

bool chart_stands(const chart_view *chart, mc_tooth tooth) {
    return mc_tooth_stands(chart->a->states[tooth]);
}

const mc_tooth_score *chart_score(const chart_view *chart, mc_tooth tooth) {
    return chart->a->score ? &chart->a->score->tooth[tooth] : NULL;
}

mc_state chart_state(const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    return score ? score->state : MC_STATE_UNMEASURED;
}

double chart_stage(const console *con, const chart_view *chart, mc_arch arch) {
    const mc_assessment *a = chart->a;
    if (a->score)
        return a->score->effective_stage[arch];
    if (!a->has_plan || a->series[arch].stages == 0)
        return NAN;
    int day = -1, k = mc_series_aligner_on(&a->series[arch], con->today, &day);
    return mc_effective_stage(k, day, a->settings.settle_days);
}

double chart_planned(const console *con, const chart_view *chart, mc_tooth tooth, mc_component c) {
    const mc_assessment *a = chart->a;
    if (a->score && a->score->tooth[tooth].item[c].read)
        return a->score->tooth[tooth].item[c].planned;
    double stage = chart_stage(con, chart, mc_tooth_arch(tooth));
    return a->has_plan && !isnan(stage) ? mc_plan_at(a->plan, tooth, c, stage) : NAN;
}

bool chart_care(const mc_tooth_score *score) {
    return score->pain == MC_YES || score->swelling == MC_YES || score->mobility >= LOOSE_GRADE;
}

bool chart_hides(const console *con, const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    mc_state state = chart_state(chart, tooth);
    if (!chart->only_off)
        return false;
    if (chart->steps != 0)
        return !chart_ahead_moves(con, chart, tooth);
    return (state == MC_STATE_ON_PLAN || state == MC_STATE_SEATED) && !chart_care(score);
}

/* Rank of a state, 0 the most urgent. */
static int rank_of(mc_state state) {
    static const int rank[MC_STATES] = {
        [MC_STATE_STALLED] = 0,   [MC_STATE_BEHIND] = 1,    [MC_STATE_DRIFTING] = 2,
        [MC_STATE_PAST_PLAN] = 3, [MC_STATE_SLIPPING] = 4,  [MC_STATE_SEATED] = 5,
        [MC_STATE_ON_PLAN] = 6,   [MC_STATE_UNMEASURED] = 7};
    return rank[state];
}

/* A tooth that needs care matters as one that slips does, however well it is on plan. */
static int urgency_of(const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    int rank = rank_of(chart_state(chart, tooth)), slips = rank_of(MC_STATE_SLIPPING);
    return score && chart_care(score) && rank > slips ? slips : rank;
}

/* Whether tooth a is to come before b; equals keep their order. */
static bool sooner(const chart_view *chart, mc_tooth a, mc_tooth b) {
    int first = urgency_of(chart, a), second = urgency_of(chart, b);
    if (first != second || !chart->a->score)
        return first < second;
    return chart_score(chart, a)->lag_index > chart_score(chart, b)->lag_index;
}

size_t chart_by_urgency(const chart_view *chart, mc_tooth out[MC_TEETH], size_t *matters) {
    size_t count = 0;
    *matters = 0;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (!chart_stands(chart, tooth))
            continue;
        size_t place = count++;
        for (; place > 0 && sooner(chart, tooth, out[place - 1]); place--)
            out[place] = out[place - 1];
        out[place] = tooth;
        *matters += urgency_of(chart, tooth) <= rank_of(MC_STATE_SLIPPING);
    }
    return count;
}

void chart_place(const chart_view *chart, mc_arch arch, int place, mc_tooth *permanent,
                 mc_tooth *deciduous) {
    enum { HALF = ARCH_PLACES / 2, DECIDUOUS_TEETH = 5 };
    bool right = place < HALF;
    int position = right ? HALF - place : place - HALF + 1;
    int quadrant = arch == MC_UPPER ? (right ? 1 : 2) : (right ? 4 : 3);
    mc_tooth tooth = mc_tooth_from_iso(10 * quadrant + position);
    *permanent = chart_stands(chart, tooth) ? tooth : MC_NO_TOOTH;
    *deciduous = MC_NO_TOOTH;
    if (position <= DECIDUOUS_TEETH) {
        tooth = mc_tooth_from_iso(10 * (quadrant + 4) + position);
        *deciduous = chart_stands(chart, tooth) ? tooth : MC_NO_TOOTH;
    }
}

int chart_place_of(mc_tooth tooth) {
    enum { HALF = ARCH_PLACES / 2 };
    int position = mc_tooth_position(tooth);
    return mc_tooth_is_right(tooth) ? HALF - position : HALF + position - 1;
}
