/* How deep two crowns overlap.
 *
 * The translations of the second that leave it touching the first are an oval round shape, whose
 * support function in a direction u is what parts them along u: h_A(u) + h_B(u) - u . (c_B - c_A).
 * Its least is the depth. A ball of the sum of both crowns' least radii of curvature rolls inside
 * that shape, so that one direction alone bounds what any other can give; and a least found below
 * that radius is the least of all. Deeper ones are searched everywhere. */
#include "crown.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
enum { MOST_STEPS = 200 }; /* of a search that takes a dozen; halving alone takes sixty */

typedef struct side {
    double along_x, along_y; /* unit vector to the mesial end */
    double a, b;
} side;

typedef struct pair {
    side a, b;
    double x, y;  /* from the first's centre to the second's */
    double ball;  /* radius of a ball that rolls inside the shape, mm */
    double known; /* how well a least is found, mm */
} pair;

/* What parts them along one direction. */
typedef struct parting {
    double ux, uy; /* the direction, a unit vector */
    double x, y;   /* the point of the shape that lies farthest along it */
    double depth;  /* its way along the direction: what parts them */
    double slope;  /* its way across, to the left: how the depth changes with the direction, mm */
    double bend;   /* the shape's radius of curvature there, mm */
} parting;

static side side_of(const oval *o) {
    return (side){.along_x = cos(o->along), .along_y = sin(o->along), .a = o->a, .b = o->b};
}

/* No more than the least radius of curvature of a superellipse of exponent 2.5: that of a round one
 * of the size of min^2 / max, which is exact where both are equal. */
static double least_bend(const oval *o) {
    static const double ROUND = 0.71448; /* 2^0.1 / 1.5, rounded down */
    const double least = fmin(o->a, o->b), most = fmax(o->a, o->b);
    return ROUND * least * least / most;
}

static pair pair_of(const oval *a, const oval *b) {
    pair p = {.a = side_of(a), .b = side_of(b), .x = b->x - a->x, .y = b->y - a->y};
    p.ball = least_bend(a) + least_bend(b);
    p.known = 1e-13 * (fabs(p.x) + fabs(p.y) + a->a + a->b + b->a + b->b);
    return p;
}

/* Add the point of a crown's outline that lies farthest along a direction, and how it bends. */
static void add_side(const side *o, parting *at) {
    const double c = at->ux * o->along_x + at->uy * o->along_y;
    const double s = at->uy * o->along_x - at->ux * o->along_y;
    const double long_way = o->a * fabs(c), short_way = o->b * fabs(s);
    const double x = cbrt(long_way), y = cbrt(short_way);
    /* the point is a (x^2 w), b (y^2 w), w = (x^5 + y^5)^(-2/5) */
    const double w = pow(long_way * x * x + short_way * y * y, -0.4);
    const double along = copysign(o->a * x * x * w, c), across = copysign(o->b * y * y * w, s);
    at->x += along * o->along_x - across * o->along_y;
    at->y += along * o->along_y + across * o->along_x;
    at->bend += o->a * o->a * o->b * o->b * w * w * w * sqrt(w) / (1.5 * x * y);
}

static parting parting_along(const pair *p, double ux, double uy) {
    parting at = {.ux = ux, .uy = uy, .x = -p->x, .y = -p->y};
    add_side(&p->a, &at);
    add_side(&p->b, &at);
    at.depth = at.x * ux + at.y * uy;
    at.slope = at.y * ux - at.x * uy;
    return at;
}

/* Along the direction that a way across it turns another into. */
static parting parting_beside(const pair *p, const parting *from, double across) {
    const double scale = 1 / sqrt(1 + across * across);
    return parting_along(p, scale * (from->ux - across * from->uy),
                         scale * (from->uy + across * from->ux));
}

static parting parting_at(const pair *p, double direction) {
    return parting_along(p, cos(direction), sin(direction));
}

/* The line of centres; any, where they are one. */
static parting parting_of_centres(const pair *p) {
    const double apart = hypot(p->x, p->y);
    return apart > 0 ? parting_along(p, p->x / apart, p->y / apart)
                     : parting_along(p, -p->a.along_y, p->a.along_x);
}

/* Whether a question about the depth is answered: is it more than this? */
static bool surely_not_more(const parting *at, const pair *p, double than) {
    return at->depth <= than - 2 * p->known;
}

/* The ball that touches the shape from within where the direction does: any other direction gives
 * at least what parts from the ball, its radius less the way to its centre. */
static bool surely_more(const parting *at, const pair *p, double than) {
    const double room = p->ball - (than + 2 * p->known), to_centre = at->depth - p->ball;
    return room > 0 && room * room > to_centre * to_centre + at->slope * at->slope;
}

/* Whether no direction gives less than this one by more than is known. */
static bool is_least(const parting *at, const pair *p) {
    return at->slope * at->slope <= 2 * p->known * (p->ball - at->depth);
}

/* Directions on either side of the least, as ways across the one that the search began with. */
typedef struct between {
    double low, high;
} between;

/* The way across the first direction of one that is a way across another. */
static double across_both(double first, double then) {
    return (first + then) / (1 - first * then);
}

/* The least lies downhill, and no farther than the ball's would. */
static void narrow(between *b, const pair *p, const parting *at, double here) {
    const double ball = -at->slope / (p->ball - at->depth);
    const double end = 1 - here * ball > 0 ? across_both(here, ball) : NAN;
    if (at->slope > 0) {
        b->high = here;
        b->low = fmax(b->low, end);
    } else {
        b->low = here;
        b->high = fmin(b->high, end);
    }
}

/* From a direction in which less than the ball's radius parts them to the least of all, or until it
 * is answered whether that is more than `than` (NaN: to the least). Wherever less than that radius
 * parts them the slope rises with the direction: Newton's steps, or halves where those are slow. */
static parting least_from(const pair *p, const parting *start, double than) {
    parting at = *start, least = *start;
    between b = {-INFINITY, INFINITY};
    double here = 0, best = 0, slope = INFINITY;
    for (int i = 0; i < MOST_STEPS; i++) {
        double next = NAN;
        if (at.depth < p->ball) {
            if (surely_not_more(&at, p, than) || surely_more(&at, p, than) || is_least(&at, p)) {
                return at;
            }
            narrow(&b, p, &at, here);
            next = across_both(here, -at.slope / (at.bend - at.depth));
        } else if (here > best) {
            b.high = here;
        } else {
            b.low = here;
        }
        if (!(next > b.low && next < b.high && 2 * fabs(at.slope) < slope)) {
            next = (b.low + b.high) / 2;
        }
        if (!(next > b.low && next < b.high)) {
            break; /* nothing lies between */
        }
        slope = fabs(at.slope);
        here = next;
        at = parting_beside(p, start, here);
        if (at.depth < least.depth) {
            least = at;
            best = here;
        }
    }
    return least;
}

/* Directions from one to another, less than a quarter turn to the left of it. */
typedef struct sector {
    parting from, to;
} sector;

/* The least that a direction of a sector can give, where the ends give more than the ball's radius:
 * the shape reaches the chord between its ends' points, each drawn in by the ball. */
static double sector_at_least(const pair *p, const sector *s) {
    const double x = s->from.x - p->ball * s->from.ux, y = s->from.y - p->ball * s->from.uy;
    const double dx = s->to.x - p->ball * s->to.ux - x, dy = s->to.y - p->ball * s->to.uy - y;
    const double chord = hypot(dx, dy), ends = fmin(s->from.depth, s->to.depth);
    /* its normal lies between the ends' directions; points that are one have none */
    return chord > p->known ? fmin(ends, p->ball + (x * dy - y * dx) / chord) : ends - p->known;
}

/* Search everywhere, leaving out what cannot be less nor change the answer to `than`, until there
 * is nothing else; at once where a direction gives less than the ball's radius. */
static parting least_of_all(const pair *p, double than) {
    enum { FIRST = 12, MOST_SECTORS = 128 };
    sector open[MOST_SECTORS];
    int count = 0;
    parting best = parting_along(p, p->a.along_x, p->a.along_y), last = best;
    for (int i = 1; i <= FIRST && best.depth >= p->ball; i++) {
        const double turn = 2 * PI * i / FIRST, c = cos(turn), s = sin(turn);
        const parting next = parting_along(p, c * p->a.along_x - s * p->a.along_y,
                                           s * p->a.along_x + c * p->a.along_y);
        open[count++] = (sector){last, next};
        best = next.depth < best.depth ? next : best;
        last = next;
    }
    while (count > 0 && best.depth >= p->ball) {
        const sector s = open[--count];
        const double x = s.from.ux + s.to.ux, y = s.from.uy + s.to.uy, length = hypot(x, y);
        const double enough = fmin(best.depth - p->known, than + 2 * p->known); /* or than is NaN */
        if (sector_at_least(p, &s) >= enough || count + 2 > MOST_SECTORS) {
            continue;
        }
        const parting middle = parting_along(p, x / length, y / length);
        best = middle.depth < best.depth ? middle : best;
        open[count++] = (sector){s.from, middle};
        open[count++] = (sector){middle, s.to};
    }
    return best.depth < p->ball ? least_from(p, &best, than) : best;
}

static double overlap_of(const pair *p) {
    const parting start = parting_of_centres(p);
    return start.depth < p->ball ? least_from(p, &start, NAN).depth : least_of_all(p, NAN).depth;
}

double oval_overlap(const oval *a, const oval *b) {
    const pair p = pair_of(a, b);
    return overlap_of(&p);
}

/* From a direction (NaN: from the line of centres) as far as the answer needs; *direction is where
 * that was. */
static parting asked(const pair *p, double than, double *direction) {
    parting start = isnan(*direction) ? parting_of_centres(p) : parting_at(p, *direction);
    if (surely_not_more(&start, p, than) && !isnan(*direction)) {
        return start;
    }
    if (start.depth >= p->ball && !isnan(*direction)) {
        start = parting_of_centres(p);
    }
    const parting at = start.depth < p->ball ? least_from(p, &start, than) : least_of_all(p, than);
    *direction = atan2(at.uy, at.ux);
    return at;
}

/* Whether what was asked says more: deeper than the ball, everything was searched. */
static bool is_more(const pair *p, const parting *at, double allowed) {
    return at->depth < p->ball ? surely_more(at, p, allowed) : at->depth > allowed + 2 * p->known;
}

double oval_overlap_from(const oval *a, const oval *b, double *direction) {
    const pair p = pair_of(a, b);
    return asked(&p, NAN, direction).depth;
}

double oval_overlap_or_less(const oval *a, const oval *b, double allowed, double *direction) {
    const pair p = pair_of(a, b);
    const parting at = asked(&p, allowed, direction);
    if (surely_not_more(&at, &p, allowed) || is_more(&p, &at, allowed)) {
        return at.depth;
    }
    return overlap_of(&p); /* where neither is sure, rounding decides: as the depth itself says */
}
