/* How well could be forecast at best: two who know the laws of a cohort, against which the program,
 * which does not, is held. Neither knows what chance will bring after the day of forecasting. */
#ifndef MIDCOURSE_TESTS_ORACLE_H
#define MIDCOURSE_TESTS_ORACLE_H

#include "patients.h"

/* The oracle knows the truth so far: where the component stands after the aligner `stage`, its true
 * rate, and whether the tooth is stalled. Its probability that the component ends further than
 * `tolerance` from its target; exact: given over how many of the stages to come the tooth will be
 * stalled, the end is normal. */
double oracle_out(const true_tooth *tooth, mc_component c, int stage, const cohort_law *law,
                  double tolerance);

/* The reader knows of the truth only what was read after every `step` stages, up to MOST_READ
 * times, and what rates such teeth of this very patient have on average; with the laws, that is all
 * that any method could draw from the readings and more. read[k][c] is the (k+1)th reading, out[c]
 * the probability that component c ends more than 1 mm or 5 deg from its target; both only where it
 * is planned to move. By Bayes over how many stages were stalled between readings (those less
 * likely than one in 10,000 left out) and over a grid of rates. */
enum { MOST_READ = 3 };
typedef struct reader_knows {
    const cohort_law *law;
    int step, readings;
    mc_method method;
} reader_knows;
void reader_out(const reader_knows *reader, const true_tooth *tooth,
                double read[MOST_READ][MC_COMPONENTS], double out[MC_COMPONENTS]);

#endif
