/* As even as can be: the same share of its way with each aligner, over the longest time for which
 * the tooth keeps its limits and its neighbours their room. */
#include "spread.h"

#include <math.h>
#include <stdlib.h>

static const double ROUNDING = 1e-9;

typedef struct spreading {
    const chain *chain;
    const leader *leads;
    int stages;
    schedule *its;
} spreading;

static bool one_leads(const spreading *s, int i) {
    const leader leads = s->leads[i];
    const schedule *leading = &s->its[leads == RIGHT_LEADS ? i : i + 1];
    const schedule *following = &s->its[leads == RIGHT_LEADS ? i + 1 : i];
    for (int stage = 0; stage <= s->stages; stage++) {
        if (schedule_at(following, stage) >
                chain_cap(s->chain, i, leads, leading, stage) + ROUNDING ||
            schedule_at(leading, stage) > chain_edge(s->chain, i, leads, stage) + ROUNDING) {
            return false;
        }
    }
    return true;
}

static bool in_turns(const spreading *s, int i) {
    const contact *k = &s->chain->contact[i];
    for (int stage = 0; stage <= s->stages; stage++) {
        const double right = schedule_at(&s->its[i], stage);
        const double left = schedule_at(&s->its[i + 1], stage);
        if ((s->chain->place[i + 1].moves &&
             left > k->in_turns[0][contact_cell(k, 0, right)] + ROUNDING) ||
            (s->chain->place[i].moves &&
             right > k->in_turns[1][contact_cell(k, 1, left)] + ROUNDING)) {
            return false;
        }
    }
    return true;
}

/* Whether contact i stands it at every stage: the follower stays behind the leader, who does not go
 * ahead of a contact not yet opened, and they overlap by no more than is allowed. */
static bool contact_stands(const spreading *s, int i) {
    const contact *k = &s->chain->contact[i];
    if (s->leads[i] == NOBODY_LEADS) {
        return true;
    }
    if (s->leads[i] == IN_TURNS ? !in_turns(s, i) : !one_leads(s, i)) {
        return false;
    }
    for (int stage = 0; stage <= s->stages; stage++) {
        if (contact_overlap(k, schedule_at(&s->its[i], stage), schedule_at(&s->its[i + 1], stage)) >
            contact_allowed(k, stage) + ROUNDING / 2) {
            return false;
        }
    }
    return true;
}

static void fill_evenly(int from, int to, schedule *out) {
    for (int stage = 0; stage <= to; stage++) {
        out->lambda[stage] = stage <= from ? 0 : (double)(stage - from) / (to - from);
    }
    out->last = to;
}

pace spread_alone(const way *w, int needs, int stages, schedule *out) {
    if (way_may_be_even(w, stages)) {
        fill_evenly(0, stages, out);
        return (pace){0, stages, true};
    }
    out->lambda[0] = 0;
    for (int stage = 1; stage <= needs; stage++) {
        out->lambda[stage] = way_furthest(w, out->lambda[stage - 1]);
    }
    out->last = needs;
    return (pace){0, needs, false};
}

/* Whether tooth t may go evenly from one stage to another; its schedule is that then. */
static bool goes_evenly(spreading *s, int t, int from, int to) {
    if (!way_may_be_even(&s->chain->place[t].way, to - from)) {
        return false;
    }
    fill_evenly(from, to, &s->its[t]);
    return (t == 0 || contact_stands(s, t - 1)) &&
           (t + 1 == s->chain->count || contact_stands(s, t));
}

static pace as_far_as_it_may(const schedule *its) {
    pace p = {.from = 0, .to = its->last};
    while (p.from + 1 < p.to && its->lambda[p.from + 1] <= 0) {
        p.from++;
    }
    return p;
}

/* The longest time from the start, or up to the end. */
static pace spread_tooth(spreading *s, int t) {
    const place *l = &s->chain->place[t];
    const schedule as_before = s->its[t];
    for (int time = s->stages; time >= l->needs; time--) {
        if (goes_evenly(s, t, 0, time)) {
            return (pace){0, time, true};
        }
        if (time < s->stages && goes_evenly(s, t, s->stages - time, s->stages)) {
            return (pace){s->stages - time, s->stages, true};
        }
    }
    const pace its = as_far_as_it_may(&as_before);
    if (its.to - its.from >= l->needs && goes_evenly(s, t, its.from, its.to)) {
        return (pace){its.from, its.to, true};
    }
    s->its[t] = as_before;
    return its;
}

/* How many lead before a tooth moves: 0 where it follows nobody. */
static int rank_of(const spreading *s, int t) {
    int rank = 0;
    for (int i = t - 1, r = 1; i >= 0 && s->leads[i] == RIGHT_LEADS; i--, r++) {
        rank = r > rank ? r : rank;
    }
    for (int i = t, r = 1; i + 1 < s->chain->count && s->leads[i] == LEFT_LEADS; i++, r++) {
        rank = r > rank ? r : rank;
    }
    return rank;
}

/* The last followers first, since those who lead can be slowed only as far as these leave time;
 * then from the back to the front, so that a mirrored mouth is spread the same way. */
static bool comes_before(const spreading *s, int one, int other) {
    const int rank = rank_of(s, one), its = rank_of(s, other);
    return rank != its ? rank > its
                       : mc_tooth_position(s->chain->place[one].tooth) >
                             mc_tooth_position(s->chain->place[other].tooth);
}

static void order_of(const spreading *s, int out[MOST_PLACES]) {
    for (int t = 0; t < s->chain->count; t++) {
        int i = t;
        for (; i > 0 && comes_before(s, t, out[i - 1]); i--) {
            out[i] = out[i - 1];
        }
        out[i] = t;
    }
}

void spread(const chain *c, const leader leads[MOST_PLACES - 1], int stages,
            schedule its[MOST_PLACES], pace out[MOST_PLACES]) {
    spreading s = {c, leads, stages, its};
    int order[MOST_PLACES];
    order_of(&s, order);
    for (int i = 0; i < c->count; i++) {
        const int t = order[i];
        out[t] = c->place[t].moves ? spread_tooth(&s, t) : (pace){0, 0, false};
    }
}
