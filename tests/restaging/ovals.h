/* Crowns' outlines and their depth said again from the words of the method; shares no code with the
 * room it checks. */
#ifndef OVALS_H
#define OVALS_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "crown.h"
#include "near.h"
#include "random.h"

static const double PI = 3.14159265358979323846;

/* How far an outline reaches from its centre in a direction. */
static inline double reach_in_words(const oval *o, double direction) {
    const double c = fabs(cos(direction - o->along)), s = fabs(sin(direction - o->along));
    return pow(pow(o->a * c, 5.0 / 3) + pow(o->b * s, 5.0 / 3), 3.0 / 5);
}

/* What parts two along a direction. */
static inline double parts_in_words(const oval *a, const oval *b, double direction) {
    return reach_in_words(a, direction) + reach_in_words(b, direction) -
           cos(direction) * (b->x - a->x) - sin(direction) * (b->y - a->y);
}

static inline double least_in_words(const oval *a, const oval *b, double low, double high,
                                    double *where) {
    for (int i = 0; i < 100; i++) {
        const double one = low + (high - low) / 3, two = high - (high - low) / 3;
        if (parts_in_words(a, b, one) < parts_in_words(a, b, two)) {
            high = two;
        } else {
            low = one;
        }
    }
    *where = (low + high) / 2;
    return parts_in_words(a, b, *where);
}

/* The depth by trying every one of `count` directions, and between the neighbours of each that has
 * less than they; the direction that gives it. */
static inline double depth_in_words(const oval *a, const oval *b, int count, double *direction) {
    *direction = NAN;
    const double step = 2 * PI / count;
    double least = INFINITY, before = parts_in_words(a, b, -step), here = parts_in_words(a, b, 0);
    for (int i = 0; i < count; i++) {
        const double after = parts_in_words(a, b, (i + 1) * step);
        if (here <= before && here <= after) {
            double where;
            const double depth = least_in_words(a, b, (i - 1) * step, (i + 1) * step, &where);
            if (depth < least) {
                least = depth;
                *direction = where;
            }
        }
        before = here;
        here = after;
    }
    return least;
}

static inline double size_of(const oval *a, const oval *b) {
    return a->a + a->b + b->a + b->b + hypot(b->x - a->x, b->y - a->y);
}

typedef enum kind { NEIGHBOURS, ANYHOW, NEEDLES, FAR_APART, CONCENTRIC, KINDS } kind;

static inline oval oval_between(random_source *source, double least, double most) {
    return (oval){.along = random_between(source, -PI, PI),
                  .a = random_between(source, least, most),
                  .b = random_between(source, least, most)};
}

static inline void put_beside(random_source *source, oval *o, double distance) {
    const double direction = random_between(source, -PI, PI);
    o->x += distance * cos(direction);
    o->y += distance * sin(direction);
}

/* Two crowns: neighbours in an arch about as close as they come, or less likely ones. */
static inline void draw_ovals(random_source *source, kind what, oval *a, oval *b) {
    *a = oval_between(source, 2.4, 5.5);
    *b = oval_between(source, 2.4, 5.5);
    a->x = random_between(source, -30, 30);
    a->y = random_between(source, -30, 30);
    b->x = a->x;
    b->y = a->y;
    switch (what) {
    case NEIGHBOURS: {
        const double between = a->along + random_between(source, -0.3, 0.3);
        const double apart = a->a + b->a + random_between(source, -0.6, 0.4);
        b->along = between + random_between(source, -0.6, 0.6);
        b->x += apart * cos(between);
        b->y += apart * sin(between);
        break;
    }
    case NEEDLES:
        a->b = a->a * pow(10, random_between(source, -6, -1));
        b->a = b->b * pow(10, random_between(source, -6, 0));
        put_beside(source, b, random_between(source, 0, 8));
        break;
    case FAR_APART:
        put_beside(source, b, random_between(source, 12, 1000));
        break;
    case CONCENTRIC:
        break;
    default:
        put_beside(source, b, random_between(source, 0, 12));
    }
}

#endif
