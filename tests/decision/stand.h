/* A situation to judge, made by hand: 28 teeth half way through a plan of 24 aligners in both
 * arches, all measured, all on plan, every gap 0, 22 hours of wear. Tests then change what they are
 * about. Invented values only. */
#ifndef STAND_H
#define STAND_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "rules.h"

enum { STAND_STAGES = 24, STAND_ALIGNER = 12, STAND_PAST = 3 };

typedef struct stand {
    mc_settings settings;
    mc_plan *plan;
    mc_score now, past[STAND_PAST]; /* past: oldest first, at aligners 3, 6 and 9 */
    mc_earlier earlier[STAND_PAST];
    mc_tooth_state states[MC_TEETH];
    mc_situation situation;
    mc_tracker *tracker; /* NULL until stand_follow: nothing can be forecast */
    mc_forecast forecast;
    mc_proposal proposal; /* the last one made */
} stand;

/* Where the plan takes the teeth of special use; all others go 2 mm mesially. */
static const struct {
    int iso;
    mc_pose end;
} stand_ends[] = {
    {11, {{0, 0, 0, 0, 0, 4}}},     /* root movement, 2 deg left */
    {12, {{2, 0, 0, 20, 0, 0}}},    /* 1 mm and 10 deg left */
    {13, {{2, 0, 0, 24, 0, 0}}},    /* a round crown, 12 deg left */
    {14, {{0.4, 0, 0, 0, 0, 0}}},   /* 0.2 mm left */
    {15, {{0, 0, 0, 3, 0, 0}}},     /* a round crown, 1.5 deg left */
    {21, {{0, 0.8, 0, 0, 0, 2.4}}}, /* crown tipping, 0.4 mm and 1.2 deg left */
    {24, {{0, 0, -0.5, 0, 0, 0}}},  /* intrusion, 0.25 mm left */
    {25, {{0, 0, 0.5, 0, 0, 0}}},   /* extrusion, 0.25 mm left */
};

static inline mc_tooth_score *stand_tooth(stand *st, int iso) {
    return &st->now.tooth[mc_tooth_from_iso(iso)];
}

static inline void stand_add(stand *st, int iso, int stage, mc_pose pose, mc_mark mark,
                             double ipr_mesial) {
    const mc_plan_row row = {.tooth = mc_tooth_from_iso(iso),
                             .stage = stage,
                             .pose = pose,
                             .attachment = mark,
                             .ipr_mesial = ipr_mesial};
    mc_error error;
    if (mc_plan_add(st->plan, &row, &error) != MC_OK) {
        fail_msg("%s", error.text);
    }
}

static inline mc_pose stand_end(int iso) {
    for (size_t i = 0; i < sizeof stand_ends / sizeof stand_ends[0]; i++) {
        if (stand_ends[i].iso == iso) {
            return stand_ends[i].end;
        }
    }
    return (mc_pose){{2, 0, 0, 0, 0, 0}};
}

/* Component c of the tooth is read `shortfall` short of plan (drift where it has no leg), with
 * probability p of being off by a tolerance. The tooth's state is not changed. */
static inline void stand_read(const stand *st, mc_score *score, mc_tooth tooth, mc_component c,
                              double shortfall, double p) {
    mc_item *item = &score->tooth[tooth].item[c];
    const double s = score->effective_stage[mc_tooth_arch(tooth)];
    item->read = item->followed = true;
    item->readings = 1;
    item->direction = mc_plan_leg(st->plan, tooth, c, s, &item->leg_from);
    item->planned = mc_plan_at(st->plan, tooth, c, s);
    item->mean = item->observed =
        item->planned - (item->direction ? item->direction : 1) * shortfall;
    item->sd = item->sd_x = 0.1;
    item->shortfall = item->direction ? shortfall : NAN;
    item->kind = !item->direction ? MC_KIND_DRIFT : shortfall > 0 ? MC_KIND_SHORT : MC_KIND_PAST;
    item->tolerance = mc_component_is_linear(c) ? 0.5 : 2;
    item->index = item->raw_index = fabs(shortfall) / item->tolerance;
    item->weight = mc_risk_weight(&st->settings, st->plan, tooth, c);
    item->p = p;
}

static inline void stand_blank(mc_tooth_score *tooth) {
    *tooth = (mc_tooth_score){.state = MC_STATE_UNMEASURED,
                              .lag_index = NAN,
                              .worst = MC_WORST_NONE,
                              .p_behind = NAN,
                              .seat_gap = NAN,
                              .seat_index = NAN,
                              .seat_p = NAN,
                              .mobility = -1,
                              .recession = NAN};
    for (int c = 0; c < MC_COMPONENTS; c++) {
        tooth->item[c] = (mc_item){.observed = NAN,
                                   .sd = NAN,
                                   .mean = NAN,
                                   .sd_x = NAN,
                                   .leg_from = NAN,
                                   .shortfall = NAN,
                                   .index = NAN,
                                   .raw_index = NAN,
                                   .p = NAN};
    }
}

static inline void stand_gap(mc_score *score, mc_tooth tooth, double gap) {
    mc_tooth_score *of = &score->tooth[tooth];
    of->seat_gap = gap;
    of->seat_index = gap / 0.5;
    of->seat_kind = MC_KIND_SHORT;
    of->seat_p = mc_reaches(gap, 0.5) ? 1 : 0;
}

static inline void stand_score(stand *st, mc_score *score, int number, int aligner) {
    memset(score, 0, sizeof *score);
    score->number = number;
    score->date = 20000 + 42 * number;
    score->wear_hours = 22;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        score->aligner[arch] = aligner;
        score->day[arch] = -1;
        score->stages[arch] = STAND_STAGES;
        score->effective_stage[arch] = aligner;
    }
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        stand_blank(&score->tooth[tooth]);
        score->present[tooth] = mc_tooth_stands(st->states[tooth]);
        if (score->present[tooth]) {
            for (int c = 0; c < MC_COMPONENTS; c++) {
                if (mc_plan_extreme(st->plan, tooth, (mc_component)c) != 0) {
                    stand_read(st, score, tooth, (mc_component)c, 0, 0);
                }
            }
            stand_gap(score, tooth, 0);
            score->tooth[tooth].state = MC_STATE_ON_PLAN;
            score->tooth[tooth].lag_index = 0;
            score->tooth[tooth].p_behind = 0;
            score->present_count++;
            score->measured++;
        }
    }
}

static inline stand *stand_new(void) {
    stand *st = calloc(1, sizeof *st);
    assert_non_null(st);
    mc_settings_defaults(&st->settings);
    st->plan = mc_plan_new();
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const bool there = !mc_tooth_is_deciduous(tooth) && mc_tooth_position(tooth) < 8;
        st->states[tooth] = there ? MC_TOOTH_PRESENT : MC_TOOTH_MISSING;
        if (there) {
            const int iso = mc_tooth_iso(tooth);
            stand_add(st, iso, STAND_STAGES, stand_end(iso), MC_MARK_NONE, 0);
        }
    }
    mc_situation *s = &st->situation;
    *s = (mc_situation){.settings = &st->settings,
                        .plan = st->plan,
                        .score = &st->now,
                        .states = st->states,
                        .earlier = st->earlier,
                        .earlier_count = STAND_PAST,
                        .earlier_on_plan = STAND_PAST,
                        .interval = {14, 14},
                        .overjet_above_plan = NAN};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        s->baseline_mobility[tooth] = -1;
        s->baseline_recession[tooth] = NAN;
    }
    stand_score(st, &st->now, STAND_PAST + 1, STAND_ALIGNER);
    for (int i = 0; i < STAND_PAST; i++) {
        stand_score(st, &st->past[i], i + 1, 3 * (i + 1));
        st->earlier[i].score = &st->past[i];
    }
    return st;
}

/* A scan of a mouth as it was scored. */
static inline void stand_scan(stand *st, const mc_score *score) {
    mc_reading rows[MC_TEETH];
    size_t count = 0;
    mc_error error;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_tooth_score *of = &score->tooth[tooth];
        mc_reading row = mc_reading_none(tooth);
        row.seat_gap = of->seat_gap;
        row.attachment = of->attachment;
        for (int c = 0; c < MC_COMPONENTS; c++) {
            row.value[c] = of->item[c].read ? of->item[c].observed : NAN;
        }
        if (score->present[tooth]) {
            rows[count++] = row;
        }
    }
    const mc_checkup checkup = {.number = score->number,
                                .date = score->date,
                                .aligner = {score->aligner[MC_UPPER], score->aligner[MC_LOWER]},
                                .day = {-1, -1},
                                .wear_hours = score->wear_hours,
                                .method = MC_SCAN,
                                .rows = rows,
                                .count = count};
    if (mc_tracker_add(st->tracker, &checkup, &error) != MC_OK) {
        fail_msg("%s", error.text);
    }
}

/* From here on the mouth has a forecast and dates: every check-up as it stands in the scores, by
 * scan, each aligner worn for 14 days and the present ones begun that day. */
static inline void stand_follow(stand *st) {
    bool grip[MC_TEETH];
    mc_tracker_free(st->tracker);
    st->tracker = mc_tracker_new(&st->settings);
    assert_non_null(st->tracker);
    mc_tracker_begin(st->tracker, st->plan, NULL);
    for (int i = 0; i < STAND_PAST; i++) {
        stand_scan(st, &st->past[i]);
    }
    stand_scan(st, &st->now);
    mc_tracker_grip(st->tracker, grip);
    mc_tracker_forecast(st->tracker, st->states, grip, &st->forecast);
    st->situation.tracker = st->tracker;
    st->situation.forecast = &st->forecast;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const mc_series start = mc_series_start(STAND_STAGES, 14, 20000);
        st->situation.series[arch] = mc_series_seen(&start, st->now.date, st->now.aligner[arch], 1);
    }
}

static inline void stand_free(stand *st) {
    mc_tracker_free(st->tracker);
    mc_plan_free(st->plan);
    free(st);
}

/* The tooth is short by component c, and in a state. */
static inline void stand_short(stand *st, int iso, mc_component c, double shortfall, double p,
                               mc_state state) {
    const mc_tooth tooth = mc_tooth_from_iso(iso);
    mc_tooth_score *of = &st->now.tooth[tooth];
    stand_read(st, &st->now, tooth, c, shortfall, p);
    of->state = state;
    of->worst = c;
    of->lag_index = of->item[c].weight * of->item[c].index;
    of->p_behind = p;
}

/* Behind by 2.5 deg or 0.6 mm: more than a tolerance, less than two. */
static inline void stand_behind(stand *st, int iso) {
    const mc_pose end = stand_end(iso);
    if (end.c[MC_ROTATION] >= 20) {
        stand_short(st, iso, MC_ROTATION, 2.5, 0.9, MC_STATE_BEHIND);
    } else {
        stand_short(st, iso, MC_MESIAL, 0.6, 0.9, MC_STATE_BEHIND);
    }
}

/* Nothing was read on the tooth at this check-up. */
static inline void stand_unread(stand *st, int iso) {
    mc_tooth_score *of = stand_tooth(st, iso);
    st->now.measured -= of->state != MC_STATE_UNMEASURED;
    stand_blank(of);
}

static inline rule *stand_rule(int number) {
    static rule *const rules[] = {rule_examine, rule_reseat,    rule_repair,  rule_open_contact,
                                  rule_review,  rule_talk_wear, rule_measure, rule_correct,
                                  rule_local,   rule_hold,      rule_carry_on};
    return rules[number - 1];
}

/* Whether the rule by itself holds. */
static inline bool stand_holds(const stand *st, int number) {
    mc_proposal *scratch = calloc(1, sizeof *scratch);
    const bool holds = stand_rule(number)(&st->situation, scratch);
    free(scratch);
    return holds;
}

/* A sentence that can be read aloud: plain characters, whole, single spaces, not too long. */
static inline void stand_check_sentence(const mc_proposal *p) {
    const size_t length = strlen(p->sentence);
    assert_true(length > 20 && length < 640);
    assert_true(p->sentence[length - 1] == '.');
    assert_null(strstr(p->sentence, "  "));
    assert_null(strstr(p->sentence, ".."));
    assert_null(strstr(p->sentence, "nan"));
    assert_null(strstr(p->sentence, "inf "));
    for (size_t i = 0; i < length; i++) {
        assert_true(p->sentence[i] >= ' ' && p->sentence[i] < 127);
    }
}

/* The rule that decides, its sentence checked. */
static inline int stand_decides(stand *st) {
    mc_propose(&st->situation, &st->proposal);
    stand_check_sentence(&st->proposal);
    for (size_t i = 0; i < st->proposal.count; i++) {
        assert_true(st->now.present[st->proposal.teeth[i]]);
    }
    return st->proposal.rule;
}

/* The rule decides, and it alone of rules 1 to 10 holds; only that rules 9 and 10 (teeth behind,
 * few or many) may hold too where rule 8 or 9 does, being the milder answers to the same. */
static inline void stand_only(stand *st, int number, mc_proposal_choice choice) {
    assert_int_equal(stand_decides(st), number);
    assert_int_equal(st->proposal.choice, choice);
    for (int other = 1; other <= 10; other++) {
        const bool milder = number >= 8 && other > number;
        if (!milder && stand_holds(st, other) != (other == number)) {
            fail_msg("rule %d %s although rule %d decides", other,
                     other == number ? "does not hold" : "holds too", number);
        }
    }
}

static inline void stand_says(const stand *st, const char *words) {
    if (!strstr(st->proposal.sentence, words)) {
        fail_msg("\"%s\" does not say \"%s\"", st->proposal.sentence, words);
    }
}

/* The teeth named, in order: "12 22". */
static inline void stand_names(const stand *st, const char *wanted) {
    char seen[300] = "";
    for (size_t i = 0; i < st->proposal.count; i++) {
        const size_t length = strlen(seen);
        snprintf(seen + length, sizeof seen - length, "%s%d", length ? " " : "",
                 mc_tooth_iso(st->proposal.teeth[i]));
    }
    assert_string_equal(seen, wanted);
}

#endif
