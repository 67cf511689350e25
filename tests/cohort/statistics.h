/* What a forecast is worth: figures over many forecasts and what came of them. */
#ifndef MIDCOURSE_TESTS_STATISTICS_H
#define MIDCOURSE_TESTS_STATISTICS_H

#include <stdbool.h>
#include <stddef.h>

/* Area under the ROC curve: the probability that one that happened has a larger score than one that
 * did not, ties counting half; by the ranks, equal scores sharing their mean rank (Mann and
 * Whitney). NaN where all or none happened, or out of memory. */
double roc_area(const double *score, const bool *happened, size_t n);

/* Forecasts by their probability in ten equal bins, [0, 0.1) ... [0.9, 1]: how many, the mean
 * probability, and the share that happened (both 0 in an empty bin). */
enum { CALIBRATION_BINS = 10 };
typedef struct calibration {
    size_t count[CALIBRATION_BINS];
    double said[CALIBRATION_BINS], happened[CALIBRATION_BINS];
    double error; /* mean over bins of |said - happened|, each bin weighing its count */
} calibration;
calibration calibration_of(const double *p, const bool *happened, size_t n);

#endif
