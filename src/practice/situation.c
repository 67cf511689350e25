/* What the rules look at besides the score: what earlier check-ups and decisions of the case say.
 */
#include "practice.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool decided_on(const mc_assessment *a, int number) {
    for (size_t i = 0; i < a->decision_count; i++)
        if (a->decisions[i].checkup == number)
            return true;
    return false;
}

/* Low wear counts as talked about where a doctor signed a decision on a check-up that showed it. */
static bool wear_was_talked(const mc_assessment *a, const mc_score *score) {
    return !isnan(score->wear_hours) && !mc_reaches(score->wear_hours, a->settings.wear_hours) &&
           decided_on(a, score->number);
}

static bool before_any_movement(const mc_score *score, mc_tooth tooth) {
    mc_arch arch = mc_tooth_arch(tooth);
    return score->aligner[arch] == 0 || score->stages[arch] == 0;
}

/* A tooth's own mobility is what was found before any aligner moved it; its own recession the first
 * one measured. */
static void find_baselines(const mc_assessment *a, mc_situation *out) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        out->baseline_mobility[t] = -1;
        out->baseline_recession[t] = NAN;
        for (size_t i = 0; i + 1 < a->checkups; i++) {
            const mc_tooth_score *tooth = &a->scores[i].tooth[t];
            if (out->baseline_mobility[t] < 0 && before_any_movement(&a->scores[i], t))
                out->baseline_mobility[t] = tooth->mobility;
            if (isnan(out->baseline_recession[t]))
                out->baseline_recession[t] = tooth->recession;
        }
    }
}

void mc_situation_of(const mc_assessment *a, mc_earlier *earlier, mc_situation *out) {
    *out = (mc_situation){.settings = &a->settings,
                          .plan = a->plan,
                          .score = a->score,
                          .states = a->states,
                          .earlier = earlier,
                          .earlier_count = a->checkups - 1,
                          .overjet_above_plan = NAN,
                          .tracker = a->tracker,
                          .forecast = &a->forecast,
                          .exact = a->exact};
    out->waiting = a->turn.read_waiting;
    memcpy(out->ordered, a->turn.stages, sizeof out->ordered);
    memcpy(out->series, a->undecided, sizeof out->series);
    for (size_t i = 0; i + 1 < a->checkups; i++) {
        earlier[i] =
            (mc_earlier){.score = &a->scores[i], .wear_talked = wear_was_talked(a, &a->scores[i])};
        out->wear_talked = out->wear_talked || earlier[i].wear_talked;
    }
    out->earlier_on_plan = a->checkups_before_on_plan;
    for (int arch = 0; arch < MC_ARCHES; arch++)
        out->interval[arch] = a->info.interval[arch];
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        out->ipr_done[t][0] = out->ipr_done[t][1] =
            NAN; /* the record does not keep IPR yet: not known */
    find_baselines(a, out);
}

/* ---- options ---- */

size_t mc_assess_options_with(const mc_assessment *a, const mc_plan *draft,
                              mc_option out[MC_MOST_OPTIONS]) {
    mc_situation situation;
    mc_earlier *earlier = a->score ? calloc(a->checkups, sizeof *earlier) : NULL;
    if (!earlier)
        return 0;
    mc_situation_of(a, earlier, &situation);
    situation.draft = draft;
    size_t count = mc_compare(&situation, out);
    free(earlier);
    return count;
}

void mc_assess_option_with(const mc_assessment *a, const mc_plan *draft, const mc_option_ask *ask,
                           mc_option *out) {
    mc_situation situation = {0};
    mc_earlier *earlier = a->score ? calloc(a->checkups, sizeof *earlier) : NULL;
    if (earlier)
        mc_situation_of(a, earlier, &situation);
    situation.draft = draft;
    mc_option_of(&situation, ask, out);
    if (a->score && !earlier) {
        out->failed = true;
        snprintf(out->why_not, sizeof out->why_not, "out of memory");
    }
    free(earlier);
}

size_t mc_assess_options(const mc_assessment *a, mc_option out[MC_MOST_OPTIONS]) {
    return mc_assess_options_with(a, NULL, out);
}

void mc_assess_option(const mc_assessment *a, const mc_option_ask *ask, mc_option *out) {
    mc_assess_option_with(a, NULL, ask, out);
}
