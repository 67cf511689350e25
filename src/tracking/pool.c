/* The mean of several studies that differ among themselves, by the method of moments. */
#include "midcourse/tracking.h"

#include <math.h>

static bool can_be_pooled(const double *value, const double *variance, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (!isfinite(value[i]) || !isfinite(variance[i]) || variance[i] <= 0)
            return false;
    return n > 0;
}

/* Mean weighted by 1 / (variance + between), and the sum of those weights. */
static double weighted(const double *value, const double *variance, size_t n, double between,
                       double *weights) {
    double sum = 0;
    *weights = 0;
    for (size_t i = 0; i < n; i++) {
        const double w = 1 / (variance[i] + between);
        *weights += w;
        sum += w * value[i];
    }
    return sum / *weights;
}

bool mc_pool(const double *value, const double *variance, size_t n, mc_pooled *out) {
    if (!can_be_pooled(value, variance, n))
        return false;
    double weights, squares = 0, q = 0;
    const double fixed = weighted(value, variance, n, 0, &weights);
    for (size_t i = 0; i < n; i++) {
        const double w = 1 / variance[i];
        squares += w * w;
        q += w * (value[i] - fixed) * (value[i] - fixed);
    }
    /* q is expected to be n - 1 and tau2 times this more */
    const double spread = weights - squares / weights;
    const double tau2 = n > 1 ? fmax(0, (q - (double)(n - 1)) / spread) : 0;
    const double mean = weighted(value, variance, n, tau2, &weights);
    *out = (mc_pooled){.count = n, .mean = mean, .se = sqrt(1 / weights), .tau2 = tau2, .q = q};
    return true;
}
