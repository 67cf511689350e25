/* Plays a file of tests/published/reference_case.py: plans and check-ups line by line, and what
 * must come out of the tracker.
 *
 *   case,NAME                                    a new mouth
 *   plan,TOOTH,STAGE,six components              a listed stage of the next plan
 *   start,TOOTH,COMPONENT,VARIANCE               what the next plan starts from
 *   begin                                        the next plan begins
 *   checkup,UPPER,DAY,LOWER,DAY                  -1: no aligner, day not known
 *   reading,TOOTH,COMPONENT,METHOD,VALUE
 *   relative,TOOTH,WHAT,METHOD,VALUE             read against a neighbour
 *   take                                         the check-up is taken in
 *   item,TOOTH,COMPONENT,MEAN,SD    pace,MEAN,SD    share,TOOTH,SHARE,STANDARD ERROR
 *   lost,TOOTH                                   has no grip in the next forecast
 *   forecast                                     everything is carried to its end
 *   end,TOOTH,COMPONENT,MEAN,SD,P OUT    interval,TOOTH,COMPONENT,LOW,HIGH
 *   rate,TOOTH,COMPONENT,MEAN,SD    behind,TOOTH,COMPONENT,P
 *   out,TOOTH,P    mouth,EXPECTED OUT,P ALL IN   joint chances, taken by nodes
 */
#ifndef PLAY_H
#define PLAY_H

#include <stdio.h>

#include "mouth.h"
#include "near.h"

enum { PLAY_PLANS = 4, PLAY_READINGS = 40, PLAY_FIELDS = 9 };

typedef struct {
    mouth m;                   /* m.plan is the next plan, that lines add to */
    mc_plan *past[PLAY_PLANS]; /* plans begun in this case */
    int begun;
    mc_start start;
    mc_checkup checkup;
    mc_reading row[PLAY_READINGS];
    char *field[PLAY_FIELDS];
    int fields, line, compared;
    double within;
    mc_forecast *forecast;
    bool lost[MC_TEETH];
    double worst_joint; /* the furthest that a joint chance was off */
} player;

static inline double play_number(const player *p, int i) {
    char *end = NULL;
    double value = i < p->fields ? strtod(p->field[i], &end) : 0;
    if (!end || end == p->field[i] || *end)
        fail_msg("line %d: no number in field %d", p->line, i + 1);
    return value;
}

static inline mc_tooth play_tooth(const player *p, int i) {
    return mc_tooth_from_iso((int)play_number(p, i));
}

static inline mc_component play_component(const player *p, int i) {
    int c = 0;
    while (c < MC_COMPONENTS && strcmp(p->field[i], mc_component_name((mc_component)c)) != 0)
        c++;
    assert_true(c < MC_COMPONENTS);
    return (mc_component)c;
}

static inline void play_end_of_case(player *p) {
    if (!p->m.tracker)
        return;
    mouth_free(&p->m);
    for (int i = 0; i < p->begun; i++)
        mc_plan_free(p->past[i]);
}

static inline void play_case(player *p) {
    play_end_of_case(p);
    p->m = mouth_new();
    p->m.tracker = mc_tracker_new(&p->m.settings);
    assert_non_null(p->m.tracker);
    p->begun = 0;
    p->start = (mc_start){0};
}

static inline void play_plan(player *p) {
    mc_pose pose;
    for (int c = 0; c < MC_COMPONENTS; c++)
        pose.c[c] = play_number(p, 3 + c);
    mouth_plan(&p->m, (int)play_number(p, 1), (int)play_number(p, 2), pose);
}

static inline void play_begin(player *p) {
    assert_true(p->begun < PLAY_PLANS);
    mc_tracker_begin(p->m.tracker, p->m.plan, p->begun > 0 ? &p->start : NULL);
    p->past[p->begun++] = p->m.plan;
    p->m.plan = mc_plan_new();
    p->start = (mc_start){0};
    assert_non_null(p->m.plan);
}

static inline void play_checkup(player *p) {
    p->checkup = (mc_checkup){.number = ++p->m.number,
                              .date = 20000 + p->m.number,
                              .wear_hours = NAN,
                              .method = MC_EYE,
                              .rows = p->row};
    for (int a = 0; a < MC_ARCHES; a++) {
        p->checkup.aligner[a] = (int)play_number(p, 1 + 2 * a);
        p->checkup.day[a] = (int)play_number(p, 2 + 2 * a);
    }
}

static inline mc_reading *play_row(player *p) {
    mc_method method;
    assert_true(p->checkup.count < PLAY_READINGS);
    mc_reading *r = &p->row[p->checkup.count++];
    *r = mc_reading_none(play_tooth(p, 1));
    assert_true(mc_method_parse(p->field[3], &method));
    r->method = (int)method;
    return r;
}

static inline void play_reading(player *p) {
    play_row(p)->value[play_component(p, 2)] = play_number(p, 4);
}

static inline void play_relative(player *p) {
    int what = 0;
    while (what < MC_RELATIVES && strcmp(p->field[2], mc_relative_name((mc_relative)what)) != 0)
        what++;
    assert_true(what < MC_RELATIVES);
    play_row(p)->relative[what] = play_number(p, 4);
}

static inline void play_take(player *p) {
    mc_error error;
    if (mc_tracker_add(p->m.tracker, &p->checkup, &error) != MC_OK)
        fail_msg("line %d: %s", p->line, error.text);
    mc_tracker_score(p->m.tracker, p->m.states, p->m.score);
}

static inline void play_compare(player *p, const char *what, double got, double want) {
    if (!(fabs(got - want) <= p->within))
        fail_msg("line %d: %s is %.15g, wanted %.15g", p->line, what, got, want);
    p->compared++;
}

static inline void play_item(player *p) {
    mc_tooth tooth = play_tooth(p, 1);
    mc_component c = play_component(p, 2);
    const mc_item *item = &p->m.score->tooth[tooth].item[c];
    double mean, sd;
    play_compare(p, "mean", item->mean, play_number(p, 3));
    play_compare(p, "SD", item->sd_x, play_number(p, 4));
    assert_true(mc_tracker_estimate(p->m.tracker, tooth, c, &mean, &sd));
    assert_near(mean, item->mean, 0);
    assert_near(sd, item->sd_x, 0);
}

static inline void play_forecast(player *p) {
    bool grip[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        grip[t] = !p->lost[t];
    mc_tracker_forecast(p->m.tracker, p->m.states, grip, p->forecast);
    memset(p->lost, 0, sizeof p->lost);
}

static inline void play_joint(player *p, double got, int field) {
    p->worst_joint = fmax(p->worst_joint, fabs(got - play_number(p, field)));
    p->compared++;
}

/* What is told of a forecast component; false where the word is another. */
static inline bool play_ahead(player *p) {
    const char *word = p->field[0];
    if (strcmp(word, "end") != 0 && strcmp(word, "interval") != 0 && strcmp(word, "rate") != 0 &&
        strcmp(word, "behind") != 0)
        return false;
    const mc_component_forecast *c =
        &p->forecast->tooth[play_tooth(p, 1)].component[play_component(p, 2)];
    assert_true(c->known);
    if (strcmp(word, "end") == 0) {
        play_compare(p, "end", c->end, play_number(p, 3));
        play_compare(p, "its SD", c->end_sd, play_number(p, 4));
        play_compare(p, "chance outside", c->p_out, play_number(p, 5));
    } else if (strcmp(word, "interval") == 0) {
        play_compare(p, "low", c->low, play_number(p, 3));
        play_compare(p, "high", c->high, play_number(p, 4));
    } else if (strcmp(word, "rate") == 0) {
        play_compare(p, "rate", c->rate, play_number(p, 3));
        play_compare(p, "its SD", c->rate_sd, play_number(p, 4));
    } else
        play_compare(p, "chance behind", c->p_behind, play_number(p, 3));
    return true;
}

static inline void play_line(player *p) {
    const char *word = p->field[0];
    if (strcmp(word, "case") == 0)
        play_case(p);
    else if (strcmp(word, "plan") == 0)
        play_plan(p);
    else if (strcmp(word, "start") == 0)
        p->start.variance[play_tooth(p, 1)][play_component(p, 2)] = play_number(p, 3);
    else if (strcmp(word, "begin") == 0)
        play_begin(p);
    else if (strcmp(word, "checkup") == 0)
        play_checkup(p);
    else if (strcmp(word, "reading") == 0)
        play_reading(p);
    else if (strcmp(word, "relative") == 0)
        play_relative(p);
    else if (strcmp(word, "take") == 0)
        play_take(p);
    else if (strcmp(word, "item") == 0)
        play_item(p);
    else if (strcmp(word, "pace") == 0) {
        play_compare(p, "pace", p->m.score->pace_mean, play_number(p, 1));
        play_compare(p, "its SD", p->m.score->pace_sd, play_number(p, 2));
    } else if (strcmp(word, "share") == 0) {
        const mc_tooth_score *tooth = &p->m.score->tooth[play_tooth(p, 1)];
        play_compare(p, "share", tooth->tracked_share, play_number(p, 2));
        play_compare(p, "its SE", tooth->tracked_share_se, play_number(p, 3));
    } else if (strcmp(word, "lost") == 0)
        p->lost[play_tooth(p, 1)] = true;
    else if (strcmp(word, "forecast") == 0)
        play_forecast(p);
    else if (strcmp(word, "out") == 0)
        play_joint(p, p->forecast->tooth[play_tooth(p, 1)].p_out, 2);
    else if (strcmp(word, "mouth") == 0) {
        play_joint(p, p->forecast->expected_out, 1);
        play_joint(p, p->forecast->p_all_in, 2);
    } else if (!play_ahead(p))
        fail_msg("line %d: unknown word %s", p->line, word);
}

/* Plays the file; everything that must come out comes out within so much, but the joint chances:
 * *joint (may be NULL) is how far off they were at most. Returns how many numbers were compared. */
static inline int play_file(const char *path, double within, double *joint) {
    player *p = calloc(1, sizeof *p);
    FILE *file = fopen(path, "r");
    char line[300];
    assert_non_null(p);
    assert_non_null(file);
    p->within = within;
    p->forecast = calloc(1, sizeof *p->forecast);
    assert_non_null(p->forecast);
    while (fgets(line, sizeof line, file)) {
        p->line++;
        p->fields = 0;
        if (*line == '#')
            continue;
        line[strcspn(line, "\n")] = 0;
        for (char *at = line; at && p->fields < PLAY_FIELDS;) {
            p->field[p->fields++] = at;
            at = strchr(at, ',');
            if (at)
                *at++ = 0;
        }
        play_line(p);
    }
    int compared = p->compared;
    if (joint)
        *joint = p->worst_joint;
    play_end_of_case(p);
    fclose(file);
    free(p->forecast);
    free(p);
    return compared;
}

#endif
