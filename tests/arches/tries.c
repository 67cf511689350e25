/* Trying everything on a grid. */
#include "tries.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "in_words.h"

/* ---- where two neighbours overlap ---- */

typedef struct meeting {
    const tried *t;
    int i; /* the contact of teeth i and i + 1 */
    double allowed;
    int columns; /* places of tooth i + 1 */
    unsigned char *hit;
} meeting;

static int places(const tried *t, int i) {
    return i < t->teeth ? t->aligners[i] * t->cells + 1 : 1;
}

/* The farthest that a point of the crown goes over the whole way, mm. */
static double reach(const tried *t, int i) {
    const mc_pose *r = &t->remaining[i];
    return hypot(r->c[MC_MESIAL], r->c[MC_BUCCAL]) +
           fabs(r->c[MC_ROTATION]) * 3.14159265358979323846 / 180 *
               hypot(t->crown[i].width, t->crown[i].thickness) / 2;
}

static double reach_of_cell(const tried *t, int i) {
    return t->aligners[i] > 0 ? reach(t, i) / (t->aligners[i] * t->cells) : 0;
}

double tried_cell(const tried *t, int i) {
    return reach_of_cell(t, i) + reach_of_cell(t, i + 1);
}

static mc_crown crown_at(const tried *t, int i, double place) {
    const int whole = t->aligners[i] * t->cells;
    const mc_pose part = part_of(&t->remaining[i], whole > 0 ? place / whole : 0);
    return mc_crown_moved(t->tooth[i], &t->crown[i], &part);
}

/* Fill in the places from..to of both, by halving: the depth changes no faster than crowns go. */
static void fill(const meeting *m, int from, int to, int from_other, int to_other) {
    const double span = to - from, other_span = to_other - from_other;
    const mc_crown one = crown_at(m->t, m->i, from + span / 2);
    const mc_crown other = crown_at(m->t, m->i + 1, from_other + other_span / 2);
    const double depth = mc_crown_overlap(m->t->tooth[m->i], &one, m->t->tooth[m->i + 1], &other);
    const double slack =
        (reach_of_cell(m->t, m->i) * span + reach_of_cell(m->t, m->i + 1) * other_span) / 2;
    const bool single = from == to && from_other == to_other;
    if (depth - slack > m->allowed || (single && depth > m->allowed)) {
        for (int p = from; p <= to; p++) {
            memset(m->hit + (size_t)p * m->columns + from_other, 1,
                   (size_t)(to_other - from_other) + 1);
        }
    } else if (depth + slack <= m->allowed || single) {
        return;
    } else if (to - from >= to_other - from_other) {
        const int middle = from + (to - from) / 2;
        fill(m, from, middle, from_other, to_other);
        fill(m, middle + 1, to, from_other, to_other);
    } else {
        const int middle = from_other + (to_other - from_other) / 2;
        fill(m, from, to, from_other, middle);
        fill(m, from, to, middle + 1, to_other);
    }
}

/* All places of teeth i and i + 1 together; where there is no such contact, none is forbidden. */
static unsigned char *places_hit(const tried *t, int i, double cells_more) {
    meeting m = {.t = t, .i = i, .columns = places(t, i + 1)};
    m.hit = calloc((size_t)places(t, i) * (size_t)m.columns, 1);
    if (m.hit && i + 1 < t->teeth) {
        m.allowed = t->allowed[i] + cells_more * tried_cell(t, i);
        fill(&m, 0, places(t, i) - 1, 0, m.columns - 1);
    }
    return m.hit;
}

/* ---- breadth first ---- */

typedef struct search {
    const tried *t;
    int places[MOST_TRIED];
    unsigned char *hit[MOST_TRIED - 1];
    int *aligners; /* needed to each place; 0: not reached */
    int *queue;
    size_t queued;
    unsigned char *within; /* of one step: can it be reached */
} search;

static int place_of(const search *s, const int at[MOST_TRIED]) {
    return (at[0] * s->places[1] + at[1]) * s->places[2] + at[2];
}

static bool is_free(const search *s, const int at[MOST_TRIED]) {
    return !s->hit[0][at[0] * s->places[1] + at[1]] && !s->hit[1][at[1] * s->places[2] + at[2]];
}

/* Whether a place of the step is reached: from one of the up to three places a cell before it. */
static bool step_reaches(const search *s, const int by[MOST_TRIED], const int at[MOST_TRIED]) {
    const int side = s->t->cells + 1;
    const int here = (by[0] * side + by[1]) * side + by[2];
    const int back[MOST_TRIED] = {side * side, side, 1};
    bool reached = here == 0;
    for (int d = 0; d < MOST_TRIED; d++) {
        reached = reached || (by[d] > 0 && s->within[here - back[d]]);
    }
    s->within[here] = reached && is_free(s, at);
    return s->within[here];
}

/* All places that one aligner can take the teeth to. */
static void step_from(search *s, const int from[MOST_TRIED]) {
    int span[MOST_TRIED], by[MOST_TRIED];
    const int worn = s->aligners[place_of(s, from)];
    for (int d = 0; d < MOST_TRIED; d++) {
        const int left = s->places[d] - 1 - from[d];
        span[d] = left < s->t->cells ? left : s->t->cells;
    }
    for (by[0] = 0; by[0] <= span[0]; by[0]++) {
        for (by[1] = 0; by[1] <= span[1]; by[1]++) {
            for (by[2] = 0; by[2] <= span[2]; by[2]++) {
                const int at[MOST_TRIED] = {from[0] + by[0], from[1] + by[1], from[2] + by[2]};
                const int place = place_of(s, at);
                if (step_reaches(s, by, at) && s->aligners[place] == 0) {
                    s->aligners[place] = worn + 1;
                    s->queue[s->queued++] = place;
                }
            }
        }
    }
}

/* The start counts as reached with the first aligner put on: one more than were worn. */
static int search_through(search *s) {
    const int goal[MOST_TRIED] = {s->places[0] - 1, s->places[1] - 1, s->places[2] - 1};
    const int start[MOST_TRIED] = {0};
    if (!is_free(s, start) || !is_free(s, goal)) {
        return TRIED_NONE;
    }
    s->aligners[0] = 1;
    s->queue[s->queued++] = 0;
    for (size_t next = 0; next < s->queued && s->aligners[place_of(s, goal)] == 0; next++) {
        const int place = s->queue[next];
        const int from[MOST_TRIED] = {place / (s->places[1] * s->places[2]),
                                      place / s->places[2] % s->places[1], place % s->places[2]};
        step_from(s, from);
    }
    const int reached = s->aligners[place_of(s, goal)];
    return reached > 0 ? reached - 1 : TRIED_NONE;
}

int tried_fewest(const tried *t, double cells_more, long *hits) {
    search s = {.t = t};
    size_t all = 1;
    const size_t side = (size_t)t->cells + 1;
    for (int d = 0; d < MOST_TRIED; d++) {
        s.places[d] = places(t, d);
        all *= (size_t)s.places[d];
    }
    s.hit[0] = places_hit(t, 0, cells_more);
    s.hit[1] = places_hit(t, 1, cells_more);
    s.aligners = calloc(all, sizeof *s.aligners);
    s.queue = malloc(all * sizeof *s.queue);
    s.within = malloc(side * side * side);
    const bool memory = s.hit[0] && s.hit[1] && s.aligners && s.queue && s.within;
    const int fewest = memory ? search_through(&s) : TRIED_NONE;
    if (hits) {
        *hits = 0;
        for (long p = 0; memory && p < (long)s.places[0] * s.places[1]; p++) {
            *hits += s.hit[0][p];
        }
    }
    free(s.hit[0]);
    free(s.hit[1]);
    free(s.aligners);
    free(s.queue);
    free(s.within);
    return fewest;
}
