/* The stage whose planned pose is nearest to where a tooth is. */
#include "tracker.h"

#include <math.h>

/* Below this way (in tolerances) a stretch counts as one point; local minima this near the least
 * one compete. */
static const double STILL = 0.01, NEAR = 0.25, SAME = 1e-9;

/* The plan of one tooth over the components in use, each in tolerances. */
typedef struct {
    const mc_plan_row *row;
    size_t count;
    int last; /* N of the arch */
    const bool *use;
    const double *tolerance, *x;
    const mc_plan *plan;
    mc_tooth tooth;
} path;

/* Breakpoints 0 .. count + 1: stage 0, the listed stages above it, N. Equal neighbours are
 * harmless. */
static double breakpoint(const path *p, size_t i) {
    if (i == 0)
        return 0;
    return i <= p->count ? p->row[i - 1].stage : p->last;
}

static double coordinate(const path *p, double s, int c) {
    return mc_plan_at(p->plan, p->tooth, (mc_component)c, s) / p->tolerance[c];
}

static double distance(const path *p, double s) {
    double sum = 0;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (p->use[c]) {
            double d = coordinate(p, s, c) - p->x[c] / p->tolerance[c];
            sum += d * d;
        }
    return sqrt(sum);
}

/* Where on the piece from stage a to b the nearest point lies: 0 at a, 1 at b, not clamped. */
static double projection(const path *p, double a, double b) {
    double along = 0, length = 0;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (p->use[c]) {
            double from = coordinate(p, a, c), way = coordinate(p, b, c) - from;
            along += (p->x[c] / p->tolerance[c] - from) * way;
            length += way * way;
        }
    return along / length;
}

/* A walk along the path in points (one stage, or a still stretch) joined by moving pieces. Called
 * twice: first to find the least distance, then to choose among the local minima near it. */
typedef struct {
    double s;     /* effective stage */
    double least; /* least distance; INFINITY while it is sought */
    double best, best_distance;
    bool found;
} choice;

static void offer(choice *ch, const path *p, double stage, bool choosing) {
    double d = distance(p, stage);
    if (!choosing) {
        ch->least = fmin(ch->least, d);
        return;
    }
    if (!mc_reaches(ch->least + NEAR, d))
        return;
    double away = fabs(stage - ch->s), best_away = fabs(ch->best - ch->s);
    if (!ch->found || away < best_away - SAME || (away <= best_away + SAME && stage < ch->best)) {
        ch->best = stage;
        ch->best_distance = d;
        ch->found = true;
    }
}

static double nearest_within(double s, double low, double high) {
    return fmin(fmax(s, low), high);
}

/* The last breakpoint of the still stretch that begins at i, over which no component in use moves
 * by STILL (i itself where the next piece moves). */
static size_t still_until(const path *p, size_t i) {
    double low[MC_COMPONENTS], high[MC_COMPONENTS];
    for (int c = 0; c < MC_COMPONENTS; c++)
        low[c] = high[c] = coordinate(p, breakpoint(p, i), c);
    for (size_t j = i; j <= p->count; j++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            double at = coordinate(p, breakpoint(p, j + 1), c);
            low[c] = fmin(low[c], at);
            high[c] = fmax(high[c], at);
            if (p->use[c] && mc_reaches(high[c] - low[c], STILL))
                return j;
        }
    return p->count + 1;
}

static void walk_path(choice *ch, const path *p, bool choosing) {
    double before = 1; /* projection on the piece before the present point; 1 and more: it falls
                          towards the point */
    for (size_t i = 0; i <= p->count + 1;) {
        size_t j = still_until(p, i);
        bool last = j == p->count + 1;
        double a = breakpoint(p, j), b = last ? a : breakpoint(p, j + 1);
        double after = last ? 0 : projection(p, a, b);
        if (before >= 1 && after <= 0)
            offer(ch, p, nearest_within(ch->s, breakpoint(p, i), a), choosing);
        if (!last && after > 0 && after < 1)
            offer(ch, p, a + after * (b - a), choosing);
        before = after;
        i = j + 1;
    }
}

/* Stages between low and high that lie outside still stretches. */
static double moving_length(const path *p, double low, double high) {
    double length = 0;
    for (size_t i = 0; i <= p->count; i++) {
        size_t j = still_until(p, i);
        if (j == p->count + 1)
            break;
        double a = fmax(breakpoint(p, j), low), b = fmin(breakpoint(p, j + 1), high);
        length += fmax(b - a, 0);
        i = j;
    }
    return length;
}

equivalent mc_stage_equivalent(const mc_plan *plan, mc_tooth tooth, const bool use[MC_COMPONENTS],
                               const double tolerance[MC_COMPONENTS], const double x[MC_COMPONENTS],
                               double s) {
    path p = {.last = mc_plan_stages(plan, mc_tooth_arch(tooth)),
              .use = use,
              .tolerance = tolerance,
              .x = x,
              .plan = plan,
              .tooth = tooth};
    p.count = mc_plan_tooth_rows(plan, tooth, &p.row);
    double farthest = 0;
    for (size_t i = 0; i < p.count; i++) {
        double sum = 0;
        for (int c = 0; c < MC_COMPONENTS; c++)
            if (use[c])
                sum += pow(p.row[i].pose.c[c] / tolerance[c], 2);
        farthest = fmax(farthest, sqrt(sum));
    }
    if (!mc_reaches(farthest, 1))
        return (equivalent){.exists = false, .stage = NAN, .off_path = NAN, .lag = NAN};
    choice ch = {.s = s, .least = INFINITY};
    walk_path(&ch, &p, false);
    walk_path(&ch, &p, true);
    double lag = ch.best <= s ? moving_length(&p, ch.best, s) : -moving_length(&p, s, ch.best);
    return (equivalent){.exists = true, .stage = ch.best, .off_path = ch.best_distance, .lag = lag};
}
