/* How well could be forecast at best. */
#include "oracle.h"

static const double NEVER = 1e-4; /* chances below this are passed over */

/* chance[k][n]: that of some stages to come n are stalled, and that the last of them is (k 1) or is
 * not (k 0). */
typedef struct {
    double chance[2][PATIENT_STAGES + 1];
} stalled_count;

static stalled_count count_stalled(const cohort_law *law, bool stalled, int ahead) {
    stalled_count now = {{{0}}};
    now.chance[stalled][0] = 1;
    for (int stage = 0; stage < ahead; stage++) {
        stalled_count next = {{{0}}};
        for (int n = 0; n <= stage; n++) {
            double free = now.chance[0][n], still = now.chance[1][n];
            next.chance[0][n] += free * (1 - law->stalls) + still * law->recovers;
            next.chance[1][n + 1] += free * law->stalls + still * (1 - law->recovers);
        }
        now = next;
    }
    return now;
}

/* P(|off| > tolerance) for a normal off. */
static double beyond(double mean, double variance, double tolerance) {
    if (!(variance > 0))
        return fabs(mean) > tolerance ? 1 : 0;
    double scale = sqrt(2 * variance), nearer = (tolerance - fabs(mean)) / scale;
    if (fabs(nearer) > 5) /* certain to 1e-12 */
        return nearer < 0 ? 1 : 0;
    return erfc(nearer) / 2 + erfc((tolerance + fabs(mean)) / scale) / 2;
}

/* Where a component stands: normal. */
typedef struct {
    double mean, variance;
} place;

/* `stages` aligners on, n of them stalled, at `full` a stage. */
static place carried(place at, const cohort_law *law, double full, int stages, int n) {
    double slow = full * law->stalled_rate, free = stages - n;
    double noise = law->step_noise * law->step_noise;
    return (place){at.mean + free * full + n * slow,
                   at.variance + noise * (free * full * full + n * slow * slow)};
}

/* Ends outside, from where it stands now. */
static double ends_outside(place at, const cohort_law *law, double full, const stalled_count *ahead,
                           int stages, double target, double tolerance) {
    double out = 0;
    for (int n = 0; n <= stages; n++) {
        double chance = ahead->chance[0][n] + ahead->chance[1][n];
        place end = carried(at, law, full, stages, n);
        if (chance > NEVER / 100)
            out += chance * beyond(target - end.mean, end.variance, tolerance);
    }
    return out;
}

double oracle_out(const true_tooth *tooth, mc_component c, int stage, const cohort_law *law,
                  double tolerance) {
    int left = PATIENT_STAGES - stage;
    stalled_count ahead = count_stalled(law, tooth->stalled[stage], left);
    double full = tooth->target[c] / PATIENT_STAGES * tooth->rate[c];
    return ends_outside((place){tooth->at[stage][c], 0}, law, full, &ahead, left, tooth->target[c],
                        tolerance);
}

/* ---- the reader ---- */

enum { RATES = 27, MOST_WAYS = 2 * 512 };

/* How a tooth may have gone: so many stages stalled before each reading, and whether it is now. */
typedef struct {
    int n[MOST_READ];
    bool stalled;
    double chance;
} way;

/* All ways that are not too unlikely. */
static int list_ways(const reader_knows *r, way ways[MOST_WAYS]) {
    static const double TOO_UNLIKELY = 1e-4;
    const stalled_count from[2] = {count_stalled(r->law, false, r->step),
                                   count_stalled(r->law, true, r->step)};
    way before[MOST_WAYS] = {{{0}, false, 1}};
    int count = 1;
    for (int k = 0; k < r->readings; k++) {
        int next = 0;
        for (int i = 0; i < count; i++)
            for (int stalled = 0; stalled < 2; stalled++)
                for (int n = 0; n <= r->step; n++) {
                    way w = before[i];
                    w.n[k] = n;
                    w.stalled = stalled;
                    w.chance *= from[before[i].stalled].chance[stalled][n];
                    if (w.chance > TOO_UNLIKELY && next < MOST_WAYS)
                        ways[next++] = w;
                }
        count = next;
        for (int i = 0; i < count; i++)
            before[i] = ways[i];
    }
    return count;
}

/* Chances of the rates of the grid, each standing for those nearest to it; the ends hold those that
 * are kept there. */
static double rate_at(int i) {
    return LEAST_RATE + (MOST_RATE - LEAST_RATE) * i / (RATES - 1);
}

static void rate_chances(const cohort_law *law, double mean, double chance[RATES]) {
    double below = 0;
    for (int i = 0; i < RATES; i++) {
        double edge = (rate_at(i) + rate_at(i + 1)) / 2;
        double up_to = i == RATES - 1 ? 1 : erfc((mean - edge) / (law->tooth_sd * sqrt(2))) / 2;
        chance[i] = up_to - below;
        below = up_to;
    }
}

/* Of one way and rate: how likely the readings are, and the place after the last of them. */
static double follow(const reader_knows *r, const way *w, double full, mc_component c,
                     double read[MOST_READ][MC_COMPONENTS], place *at) {
    double sd = noise_sd(r->method, c), likely = 1;
    *at = (place){0, 0};
    for (int k = 0; k < r->readings; k++) {
        *at = carried(*at, r->law, full, r->step, w->n[k]);
        double spread = at->variance + sd * sd, off = read[k][c] - at->mean;
        likely *= exp(-off * off / (2 * spread)) / sqrt(spread);
        at->mean += at->variance / spread * off;
        at->variance *= sd * sd / spread;
    }
    return likely;
}

/* One component under one way: what each rate of the grid weighs given its readings, and where the
 * component stands then; how likely the readings are in all. */
typedef struct {
    double weight[RATES], sum;
    place at[RATES];
} weighed;

static weighed weigh(const reader_knows *r, const true_tooth *tooth, mc_component c,
                     double read[MOST_READ][MC_COMPONENTS], const way *w,
                     const double chance[RATES]) {
    weighed out = {.sum = 0};
    for (int k = 0; k < RATES; k++) {
        double full = tooth->target[c] / PATIENT_STAGES * rate_at(k);
        out.weight[k] = chance[k] * follow(r, w, full, c, read, &out.at[k]);
        out.sum += out.weight[k];
    }
    return out;
}

/* Ends outside, given the way; rates that weigh next to nothing are passed over. */
static double outside_by(const reader_knows *r, const true_tooth *tooth, mc_component c,
                         const weighed *by, const stalled_count *ahead) {
    double tolerance = mc_component_is_linear(c) ? 1 : 5, out = 0;
    int left = PATIENT_STAGES - r->step * r->readings;
    for (int k = 0; k < RATES; k++) {
        double full = tooth->target[c] / PATIENT_STAGES * rate_at(k);
        if (by->weight[k] > NEVER * by->sum)
            out += by->weight[k] / by->sum *
                   ends_outside(by->at[k], r->law, full, ahead, left, tooth->target[c], tolerance);
    }
    return out;
}

void reader_out(const reader_knows *reader, const true_tooth *tooth,
                double read[MOST_READ][MC_COMPONENTS], double out[MC_COMPONENTS]) {
    static way ways[MOST_WAYS];
    static weighed by[MOST_WAYS][MC_COMPONENTS];
    double chance[MC_COMPONENTS][RATES], all = 0;
    int count = list_ways(reader, ways), left = PATIENT_STAGES - reader->step * reader->readings;
    const stalled_count ahead[2] = {count_stalled(reader->law, false, left),
                                    count_stalled(reader->law, true, left)};
    for (int c = 0; c < MC_COMPONENTS; c++)
        rate_chances(reader->law, tooth->mean[c], chance[c]);
    for (int i = 0; i < count; i++) {
        for (int c = 0; c < MC_COMPONENTS; c++)
            if (tooth->target[c] != 0) {
                by[i][c] = weigh(reader, tooth, (mc_component)c, read, &ways[i], chance[c]);
                ways[i].chance *= by[i][c].sum;
            }
        all += ways[i].chance;
    }
    for (int c = 0; c < MC_COMPONENTS; c++) {
        out[c] = 0;
        for (int i = 0; i < count && tooth->target[c] != 0; i++)
            if (ways[i].chance > NEVER * all)
                out[c] +=
                    ways[i].chance / all *
                    outside_by(reader, tooth, (mc_component)c, &by[i][c], &ahead[ways[i].stalled]);
    }
}
