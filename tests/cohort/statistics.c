/* ROC area and calibration. */
#include "statistics.h"

#include <math.h>
#include <stdlib.h>

typedef struct {
    double score;
    bool happened;
} scored;

static int by_score(const void *a, const void *b) {
    double x = ((const scored *)a)->score, y = ((const scored *)b)->score;
    return (x > y) - (x < y);
}

double roc_area(const double *score, const bool *happened, size_t n) {
    scored *all = malloc((n + 1) * sizeof *all);
    double ranks = 0; /* of those that happened */
    size_t yes = 0;
    if (!all)
        return NAN;
    for (size_t i = 0; i < n; i++)
        all[i] = (scored){score[i], happened[i]};
    qsort(all, n, sizeof *all, by_score);
    for (size_t first = 0, next; first < n; first = next) {
        size_t tied = 0;
        for (next = first; next < n && all[next].score == all[first].score; next++)
            tied += all[next].happened;
        ranks += (double)tied * (double)(first + 1 + next) / 2; /* ranks first + 1 ... next */
        yes += tied;
    }
    free(all);
    double in = (double)yes, out = (double)(n - yes);
    return yes == 0 || yes == n ? NAN : (ranks - in * (in + 1) / 2) / (in * out);
}

calibration calibration_of(const double *p, const bool *happened, size_t n) {
    calibration out = {{0}, {0}, {0}, 0};
    for (size_t i = 0; i < n; i++) {
        int bin = (int)(p[i] * CALIBRATION_BINS);
        bin = bin < CALIBRATION_BINS ? bin : CALIBRATION_BINS - 1;
        out.count[bin]++;
        out.said[bin] += p[i];
        out.happened[bin] += happened[i];
    }
    for (int bin = 0; bin < CALIBRATION_BINS; bin++) {
        if (out.count[bin] == 0)
            continue;
        out.error += fabs(out.said[bin] - out.happened[bin]) / (double)n;
        out.said[bin] /= (double)out.count[bin];
        out.happened[bin] /= (double)out.count[bin];
    }
    return out;
}
