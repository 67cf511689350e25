/* Comparison of doubles with a tolerance, for cmocka programs; include after cmocka.h. */
#ifndef MIDCOURSE_TESTS_NEAR_H
#define MIDCOURSE_TESTS_NEAR_H

#include <math.h>
#include <stdio.h>

/* Fails, saying both values, unless |seen - wanted| <= tolerance; a NaN is never near. */
#define assert_near(seen, wanted, tolerance)                                                       \
    near_check((seen), (wanted), (tolerance), #seen, __FILE__, __LINE__)

static inline void near_check(double seen, double wanted, double tolerance, const char *what,
                              const char *file, int line) {
    if (!(fabs(seen - wanted) <= tolerance)) {
        print_error("%s is %.17g, wanted %.17g within %g\n", what, seen, wanted, tolerance);
        _fail(file, line);
    }
}

#endif
