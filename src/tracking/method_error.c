/* How exact a method is in somebody's hands: the same things read twice. */
#include "midcourse/tracking.h"

#include <math.h>

bool mc_dahlberg(const double *first, const double *second, size_t pairs, mc_method_error *out) {
    double sum = 0, squares = 0, about = 0;
    for (size_t i = 0; i < pairs; i++) {
        const double d = second[i] - first[i];
        sum += d;
        squares += d * d;
    }
    if (pairs == 0 || !isfinite(sum) || !isfinite(squares))
        return false;
    const double n = (double)pairs, shift = sum / n;
    for (size_t i = 0; i < pairs; i++) {
        const double d = second[i] - first[i] - shift;
        about += d * d;
    }
    *out = (mc_method_error){.pairs = pairs,
                             .error = sqrt(squares / (2 * n)),
                             .shift = shift,
                             .shift_se = pairs > 1 ? sqrt(about / (n - 1) / n) : NAN};
    return true;
}
