/* The stage whose planned pose is nearest to where a tooth is. */
#include "tracker.h"

#include <math.h>
#include <string.h>

/* Below this way (in tolerances) a stretch counts as one point; local minima this near the least
 * one compete. */
static const double STILL = 0.01, NEAR = 0.25, SAME = 1e-9;

/* The plan of one tooth over the components in use, each in tolerances: straight from corner to
 * corner. */
typedef struct {
    const bool *use;
    const double *tolerance, *x;
    const mc_plan *plan;
    mc_tooth tooth;
    int corner[MC_MOST_STAGES + 2]; /* stages: 0, the listed ones at which the way bends, N */
    double at[MC_MOST_STAGES + 2][MC_COMPONENTS]; /* the plan there */
    size_t last;                                  /* the last corner */
} path;

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

/* Whether the way from corner a over the next one to a later stage is straight. */
static bool is_straight(const path *p, size_t a, int stage, const double there[MC_COMPONENTS]) {
    int from = p->corner[a];
    double share = (double)(p->corner[a + 1] - from) / (stage - from);
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (p->use[c] &&
            fabs(p->at[a][c] + share * (there[c] - p->at[a][c]) - p->at[a + 1][c]) > SAME)
            return false;
    return true;
}

/* The next corner, or the last one put off to this stage: a straight way is one piece however
 * finely it is listed, and a slow one no row of still ones. */
static void add_corner(path *p, int stage) {
    double there[MC_COMPONENTS];
    if (stage == p->corner[p->last])
        return;
    for (int c = 0; c < MC_COMPONENTS; c++)
        there[c] = coordinate(p, stage, c);
    if (p->last == 0 || !is_straight(p, p->last - 1, stage, there))
        p->last++;
    p->corner[p->last] = stage;
    memcpy(p->at[p->last], there, sizeof there);
}

/* Where on the piece from corner i to the next the nearest point lies: 0 at the one, 1 at the
 * other, not clamped. */
static double projection(const path *p, size_t i) {
    double along = 0, length = 0;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (p->use[c]) {
            double from = p->at[i][c], way = p->at[i + 1][c] - from;
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

/* Stages are offered from the lowest on, so of equal ones the lower stays. */
static void offer(choice *ch, const path *p, double stage, bool choosing) {
    double d = distance(p, stage);
    if (!choosing) {
        ch->least = fmin(ch->least, d);
        return;
    }
    if (!mc_reaches(ch->least + NEAR, d))
        return;
    if (!ch->found || fabs(stage - ch->s) < fabs(ch->best - ch->s) - SAME) {
        ch->best = stage;
        ch->best_distance = d;
        ch->found = true;
    }
}

static double nearest_within(double s, double low, double high) {
    return fmin(fmax(s, low), high);
}

/* The last corner of the still stretch that begins at corner i, over which no component in use
 * moves by STILL (i itself where the next piece moves). */
static size_t still_until(const path *p, size_t i) {
    double low[MC_COMPONENTS], high[MC_COMPONENTS];
    for (int c = 0; c < MC_COMPONENTS; c++)
        low[c] = high[c] = p->at[i][c];
    for (size_t j = i; j < p->last; j++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            low[c] = fmin(low[c], p->at[j + 1][c]);
            high[c] = fmax(high[c], p->at[j + 1][c]);
            if (p->use[c] && mc_reaches(high[c] - low[c], STILL))
                return j;
        }
    return p->last;
}

static void walk_path(choice *ch, const path *p, bool choosing) {
    double before = 1; /* projection on the piece before the present point; 1 and more: it falls
                          towards the point */
    for (size_t i = 0; i <= p->last;) {
        size_t j = still_until(p, i);
        double a = p->corner[j], b = j < p->last ? p->corner[j + 1] : a;
        double after = j < p->last ? projection(p, j) : 0;
        if (before >= 1 && after <= 0)
            offer(ch, p, nearest_within(ch->s, p->corner[i], a), choosing);
        if (after > 0 && after < 1)
            offer(ch, p, a + after * (b - a), choosing);
        before = after;
        i = j + 1;
    }
}

/* Stages between low and high that lie outside still stretches. */
static double moving_length(const path *p, double low, double high) {
    double length = 0;
    for (size_t i = 0; i < p->last; i++) {
        i = still_until(p, i);
        if (i < p->last)
            length += fmax(fmin(p->corner[i + 1], high) - fmax(p->corner[i], low), 0);
    }
    return length;
}

/* The farthest that the plan goes from stage 0, in tolerances. */
static double farthest(const path *p) {
    double most = 0;
    for (size_t i = 1; i <= p->last; i++) {
        double sum = 0;
        for (int c = 0; c < MC_COMPONENTS; c++)
            if (p->use[c])
                sum += p->at[i][c] * p->at[i][c];
        most = fmax(most, sqrt(sum));
    }
    return most;
}

equivalent mc_stage_equivalent(const mc_plan *plan, mc_tooth tooth, const bool use[MC_COMPONENTS],
                               const double tolerance[MC_COMPONENTS], const double x[MC_COMPONENTS],
                               double s) {
    path p; /* large, and filled corner by corner */
    p.use = use;
    p.tolerance = tolerance;
    p.x = x;
    p.plan = plan;
    p.tooth = tooth;
    p.corner[0] = 0;
    memset(p.at[0], 0, sizeof p.at[0]);
    p.last = 0;
    const mc_plan_row *row = NULL;
    size_t count = mc_plan_tooth_rows(plan, tooth, &row);
    for (size_t i = 0; i < count; i++)
        add_corner(&p, row[i].stage);
    add_corner(&p, mc_plan_stages(plan, mc_tooth_arch(tooth)));
    if (!mc_reaches(farthest(&p), 1))
        return (equivalent){.exists = false, .stage = NAN, .off_path = NAN, .lag = NAN};
    choice ch = {.s = s, .least = INFINITY};
    walk_path(&ch, &p, false);
    walk_path(&ch, &p, true);
    double lag = ch.best <= s ? moving_length(&p, ch.best, s) : -moving_length(&p, s, ch.best);
    return (equivalent){.exists = true, .stage = ch.best, .off_path = ch.best_distance, .lag = lag};
}
