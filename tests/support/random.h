/* A small seeded generator for tests and cohorts: the same seed gives the same numbers on every
 * machine. The state is one 64-bit counter stepped by an odd constant and mixed (the SplitMix64
 * scheme of Steele, Lea and Flood, OOPSLA 2014). Not for secrets. */
#ifndef MIDCOURSE_TESTS_RANDOM_H
#define MIDCOURSE_TESTS_RANDOM_H

#include <math.h>
#include <stdint.h>

typedef struct random_source {
    uint64_t state;
} random_source;

static inline random_source random_seed(uint64_t seed) {
    return (random_source){seed};
}

static inline uint64_t random_bits(random_source *source) {
    uint64_t z = source->state += 0x9e3779b97f4a7c15U;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31);
}

/* Uniform in [0, 1). */
static inline double random_unit(random_source *source) {
    return (double)(random_bits(source) >> 11) * 0x1p-53;
}

/* Uniform in [low, high). */
static inline double random_between(random_source *source, double low, double high) {
    return low + (high - low) * random_unit(source);
}

/* Uniform whole number from 0 to count - 1; count from 1 on. */
static inline int random_below(random_source *source, int count) {
    return (int)(random_unit(source) * count);
}

/* Normal with mean 0 and standard deviation 1 (Box and Muller; the second of the pair is not kept).
 */
static inline double random_normal(random_source *source) {
    const double radius = sqrt(-2.0 * log(1.0 - random_unit(source)));
    return radius * cos(6.283185307179586 * random_unit(source));
}

#endif
