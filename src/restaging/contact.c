/* The pairs of places on two neighbours' ways at which they overlap by more than is allowed. */
#include "contact.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
/* Not more than allowed, with room for rounding. */
static const double ROUNDING = 5e-10;
/* A least found between cells is known no better than this, as a share of the way. */
static const double LEAST_IS_KNOWN_TO = 1e-6;
static const double GOLDEN = 0.61803398874989484820;

/* A whole number of them, so that the stages of an even way lie on cells. */
static int cells_an_aligner(int aligners) {
    const int most = aligners > 0 ? MOST_CELLS / aligners : CELLS_AN_ALIGNER;
    return most < CELLS_AN_ALIGNER ? most : CELLS_AN_ALIGNER;
}

mover mover_of(mc_tooth tooth, const mc_crown *crown, const mc_pose *remaining, int aligners) {
    const mc_crown end_crown = mc_crown_moved(tooth, crown, remaining);
    const oval start = oval_of(tooth, crown), end = oval_of(tooth, &end_crown);
    /* which way round a mesial-in turn goes in space */
    const mc_pose little = {{0, 0, 0, 1, 0, 0}};
    const mc_crown turned = mc_crown_moved(tooth, crown, &little);
    const double way = remainder(oval_of(tooth, &turned).along - start.along, 2 * PI);
    mover m = {.start = start,
               .x = end.x - start.x,
               .y = end.y - start.y,
               .turn = remaining->c[MC_ROTATION] * way,
               .cells = aligners * cells_an_aligner(aligners)};
    m.speed = hypot(m.x, m.y) + fabs(m.turn) * hypot(start.a, start.b);
    return m;
}

oval mover_at(const mover *m, double lambda) {
    oval o = m->start;
    o.x += lambda * m->x;
    o.y += lambda * m->y;
    o.along += lambda * m->turn;
    return o;
}

double contact_overlap(const contact *c, double right, double left) {
    const oval a = mover_at(&c->mover[0], right), b = mover_at(&c->mover[1], left);
    return oval_overlap(&a, &b);
}

int contact_phase(const contact *c, int stage) {
    int p = c->phases - 1;
    while (p > 0 && stage < c->phase[p].from) {
        p--;
    }
    return p;
}

double contact_allowed(const contact *c, int stage) {
    return c->phase[contact_phase(c, stage)].allowed;
}

int contact_cell(const contact *c, int leader, double lambda) {
    const int cells = c->mover[leader].cells, cell = (int)(lambda * cells + 1e-9);
    return cell > cells ? cells : cell;
}

/* How much more than allowed a crown overlaps another that stands. */
static double beyond(const mover *m, double lambda, const oval *other, double allowed,
                     double *direction) {
    const oval o = mover_at(m, lambda);
    return oval_overlap_from(&o, other, direction) - allowed;
}

/* Where it is allowed and where it is no more, a step further; the last place in between where it
 * still is, to 1e-10 mm of overlap: by the chord, half of the end that stays being given up each
 * time (Illinois), and now and then the middle, so that a bent way is not slow. What is aimed at is
 * a hair less than allowed, as what is found has to be allowed. */
static double last_free(const mover *m, const oval *other, double allowed, double free, double next,
                        double *direction) {
    static const double HAIR = 5e-11; /* mm */
    enum { MOST_CHORDS = 60, MIDDLE_EVERY = 4 };
    const double enough = (next - free) * 1e-6;
    double at_free = beyond(m, free, other, allowed - HAIR, direction);
    double at_next = beyond(m, next, other, allowed - HAIR, direction);
    int stayed = 0;
    for (int i = 1; i <= MOST_CHORDS && next - free > enough && at_free < -HAIR; i++) {
        const double share = i % MIDDLE_EVERY == 0 ? 0.5 : at_free / (at_free - at_next);
        const double between = free + share * (next - free);
        if (!(between > free && between < next)) {
            break;
        }
        const double at = beyond(m, between, other, allowed - HAIR, direction);
        if (fabs(at) <= HAIR) {
            return between;
        }
        if (at > 0) {
            next = between;
            at_next = at;
            at_free = stayed > 0 ? fmin(at_free / 2, -2 * HAIR) : at_free;
            stayed = 1;
        } else {
            free = between;
            at_free = at;
            at_next = stayed < 0 ? at_next / 2 : at_next;
            stayed = -1;
        }
    }
    return free;
}

/* How far a crown may go from its start before it meets another that stands: its lambda, 1 where it
 * never does, -1 where it does so at the start. It is looked at every `step` at least, and wherever
 * it might meet the other by its speed. */
static double way_is_free(const mover *m, const oval *other, double allowed, double step,
                          double *direction) {
    double free = -1, next = 0;
    while (free < 1) {
        const oval o = mover_at(m, next);
        const double overlap = oval_overlap_or_less(&o, other, allowed, direction);
        if (overlap > allowed) {
            break;
        }
        free = next;
        const double safe = m->speed > 0 ? (allowed - overlap) / m->speed : 1;
        next = fmin(1, free + fmax(safe, step));
    }
    return free < 0 || free >= 1 ? free : last_free(m, other, allowed, free, next, direction);
}

static double step_of(const mover *m) {
    return m->cells > 0 ? 1.0 / m->cells : 1;
}

/* What counts as allowed on the ways: no less than the overlap at the start. */
static double allowed_in(const contact *c, int p) {
    const double allowed = c->phase[p].allowed;
    return fmax(allowed - c->care, fmin(c->start, allowed)) + ROUNDING;
}

double contact_too_much(const contact *c) {
    return allowed_in(c, c->phases - 1);
}

/* As far as the follower is free with the leader at a place. */
static double free_at(const contact *c, int leader, double lambda, double allowed,
                      double *direction) {
    const mover *follower = &c->mover[1 - leader];
    const oval there = mover_at(&c->mover[leader], lambda);
    return way_is_free(follower, &there, allowed, step_of(follower), direction);
}

/* Between two cells it may be less than in either: the least of it around a cell that has less than
 * its neighbours. */
static double least_around(const contact *c, int leader, int cell, double allowed,
                           double *direction) {
    const double step = step_of(&c->mover[leader]);
    double low = fmax(0, (cell - 1) * step), high = fmin(1, (cell + 1) * step);
    double least = 1;
    for (int i = 0; i < 16; i++) {
        const double one = high - GOLDEN * (high - low), other = low + GOLDEN * (high - low);
        const double at_one = free_at(c, leader, one, allowed, direction);
        const double at_other = free_at(c, leader, other, allowed, direction);
        least = fmin(least, fmin(at_one, at_other));
        if (at_one < at_other) {
            high = other;
        } else {
            low = one;
        }
    }
    return fmax(0, least - LEAST_IS_KNOWN_TO);
}

/* Fill in how far the follower is free in every cell of the leader's way; whether it is stopped
 * somewhere. */
static bool look_along(const contact *c, int leader, double allowed, double out[MOST_CELLS + 1]) {
    const int cells = c->mover[leader].cells;
    double direction = NAN;
    bool stopped = false;
    for (int i = 0; i <= cells; i++) {
        out[i] = free_at(c, leader, cells > 0 ? (double)i / cells : 0, allowed, &direction);
        stopped = stopped || out[i] < 1;
    }
    return stopped;
}

static void look_between(const contact *c, int leader, double allowed, double out[MOST_CELLS + 1]) {
    const int cells = c->mover[leader].cells;
    double direction = NAN;
    for (int i = 0; i <= cells; i++) {
        const double before = i > 0 ? out[i - 1] : 1, after = i < cells ? out[i + 1] : 1;
        if (out[i] > 0 && out[i] < 1 && out[i] <= before && out[i] <= after) {
            out[i] = fmin(out[i], least_around(c, leader, i, allowed, &direction));
        }
    }
}

/* The most overlap around a place that has more than those beside it. */
static double most_around(const mover *m, const oval *other, double place, double beside) {
    enum { PARTS = 40 };
    double low = fmax(0, place - beside), high = fmin(1, place + beside), most = -INFINITY;
    for (int i = 0; i < PARTS; i++) {
        const double one = high - GOLDEN * (high - low), two = low + GOLDEN * (high - low);
        const oval first = mover_at(m, one), second = mover_at(m, two);
        const double at_one = oval_overlap(&first, other), at_two = oval_overlap(&second, other);
        most = fmax(most, fmax(at_one, at_two));
        if (at_one < at_two) {
            low = one;
        } else {
            high = two;
        }
    }
    return most;
}

/* The most overlap while one of them goes its whole way and the other stands. */
static double most_along(const mover *m, const oval *other) {
    enum { PLACES = 256 };
    double most = -INFINITY, at[PLACES + 1];
    for (int i = 0; i <= PLACES; i++) {
        const oval o = mover_at(m, (double)i / PLACES);
        at[i] = oval_overlap(&o, other);
        most = fmax(most, at[i]);
    }
    for (int i = 0; i <= PLACES && m->speed > 0; i++) {
        const double before = i > 0 ? at[i - 1] : -INFINITY;
        const double after = i < PLACES ? at[i + 1] : -INFINITY;
        if (at[i] >= before && at[i] >= after && at[i] + m->speed / PLACES >= most) {
            most = fmax(most, most_around(m, other, (double)i / PLACES, 1.0 / PLACES));
        }
    }
    return most;
}

/* One leads: all the way while the other waits, which then follows past it. Where that can be, so
 * can anything slower; where it cannot, neither can anything else. */
static void look_whether_possible(const contact *c, int leader, leading_by *by) {
    const double allowed = c->phase[c->phases - 1].allowed;
    const mover *first = &c->mover[leader], *then = &c->mover[1 - leader];
    const oval waits = mover_at(then, 0), arrived = mover_at(first, 1);
    double direction = NAN;
    by->possible =
        way_is_free(first, &waits, allowed + ROUNDING, step_of(first) / 8, &direction) >= 1 &&
        way_is_free(then, &arrived, allowed + ROUNDING, step_of(then) / 8, &direction) >= 1;
}

/* What lacks for one to lead that cannot. */
static double room_for(const contact *c, int leader) {
    const mover *first = &c->mover[leader], *then = &c->mover[1 - leader];
    const oval waits = mover_at(then, 0), arrived = mover_at(first, 1);
    return fmax(most_along(first, &waits), most_along(then, &arrived)) -
           c->phase[c->phases - 1].allowed;
}

/* How far the leader may go in a phase: the follower at its start is not in its way. */
static double edge_of(const contact *c, int leader, const double free_until[MOST_CELLS + 1]) {
    const int cells = c->mover[leader].cells;
    int i = 0;
    while (i < cells && free_until[i + 1] >= 0) {
        i++;
    }
    return cells > 0 ? (double)i / cells : 1;
}

static void look_when(contact *c, int leader) {
    leading_by *by = &c->by[leader];
    const int cells = c->mover[leader].cells, last = c->phases - 1;
    look_whether_possible(c, leader, by);
    for (int p = 0; p <= last; p++) {
        if (p < last) {
            look_along(c, leader, allowed_in(c, p), by->free_until[p]);
        }
        look_between(c, leader, allowed_in(c, p), by->free_until[p]);
        by->edge[p] = p < last ? edge_of(c, leader, by->free_until[p]) : 1;
    }
    double *free_until = by->free_until[last];
    if (by->possible) {
        free_until[cells] = 1;
    }
    for (int i = cells - 1; i >= 0; i--) {
        free_until[i] = fmax(0, fmin(free_until[i], free_until[i + 1]));
    }
}

void contact_look(contact *c) {
    const int last = c->phases - 1;
    c->start = contact_overlap(c, 0, 0);
    c->end = contact_overlap(c, 1, 1);
    c->meet = false;
    /* what is allowed least, at first, decides whether they meet at all */
    for (int leader = 0; leader < 2; leader++) {
        c->meet =
            look_along(c, leader, allowed_in(c, 0), c->by[leader].free_until[last]) || c->meet;
    }
    for (int leader = 0; leader < 2 && c->meet; leader++) {
        if (last > 0) {
            look_along(c, leader, allowed_in(c, last), c->by[leader].free_until[last]);
        }
        look_when(c, leader);
    }
    const bool blocked = c->meet && !c->by[0].possible && !c->by[1].possible;
    for (int leader = 0; leader < 2; leader++) {
        c->by[leader].missing = blocked ? room_for(c, leader) : 0;
    }
}
