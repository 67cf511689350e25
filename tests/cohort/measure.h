/* What the forecast is worth on a cohort: for every component planned to move, forecast at the last
 * of some check-ups, whether it ends outside its finishing tolerance, and where it ends. */
#ifndef MIDCOURSE_TESTS_MEASURE_H
#define MIDCOURSE_TESTS_MEASURE_H

#include "course.h"
#include "oracle.h"
#include "statistics.h"

static const uint64_t COHORT_SEED = 20; /* of everything recorded */
enum { COHORT_PATIENTS = 400 };

/* The laws under their letters, A to C. */
cohort_law cohort_of(char letter);

/* When check-ups are held: at every `step` stages up to `last`. */
typedef struct visit_plan {
    int step, last;
} visit_plan;

typedef struct figures {
    double roc;              /* area under the ROC curve of p_out */
    double covers;           /* share of the ends within the 90 % interval, its ends included */
    calibration calibration; /* of p_out */
} figures;

typedef struct measured {
    size_t forecasts, outside; /* how many, and how many did end outside */
    figures kept;              /* every tooth taken to keep its grip, which is the cohort's truth */
    figures found;             /* with the grip as the program finds it */
    size_t ungripped;          /* forecasts on teeth that it finds without grip */
    double gap_roc; /* plain gap rule: |P - O| in tracking tolerances, at that check-up */
    double oracle_roc, oracle_error; /* of oracle_out, see oracle.h: its area and calibration */
    double reader_roc, reader_error; /* of reader_out; NaN where it was not asked */
} measured;

/* Ends the program, saying why, where memory is out. The reader takes most of the time: it is only
 * asked where wanted, of at most MOST_READ check-ups. */
measured cohort_measure(const cohort_law *law, uint64_t seed, int patients, visit_plan visits,
                        mc_method method, bool ask_reader);

#endif
