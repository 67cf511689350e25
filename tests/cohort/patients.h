/* Invented patients whose truth is known: what is planned for each tooth, at what rate it really
 * moves, where it really stands after every aligner, and what a reading of it would say.
 *
 * It shares nothing with the tracker and the forecast that it is there to examine: its own laws,
 * its own random numbers. Taken from the program are only published figures (the mean share of a
 * movement, root lengths) and the names of teeth and components. */
#ifndef MIDCOURSE_TESTS_PATIENTS_H
#define MIDCOURSE_TESTS_PATIENTS_H

#include "midcourse/tracking.h"
#include "random.h"

enum { PATIENT_TEETH = 28, PATIENT_STAGES = 24 };
#define LEAST_RATE 0.0 /* true rates are kept from here */
#define MOST_RATE 1.3  /* to here */

/* How teeth move in a cohort. */
typedef struct cohort_law {
    double tooth_sd;     /* of the true rate between the components of one mouth */
    double patient_sd;   /* between patients */
    double lower;        /* by which all true means are below the published ones */
    double half_lower;   /* and by which they are so in every second patient */
    double stalls;       /* share of the moving teeth that stall at each stage */
    double recovers;     /* share of the stalled teeth that recover at each later stage */
    double stalled_rate; /* what is left of its rate while a tooth is stalled */
    double step_noise;   /* SD of each step, as a share of that step */
    double exact_rate;   /* every rate is this, whatever the above says of rates; NaN: not so */
} cohort_law;

cohort_law law_published(void); /* cohort A: rates as published, stalls */
cohort_law law_lower(void);     /* cohort B: all true means 15 points lower */
cohort_law law_two_kinds(void); /* cohort C: half the patients 25 points lower */
cohort_law law_perfect(void);   /* every tooth does exactly what is planned */

typedef struct true_tooth {
    mc_tooth tooth;
    double target[MC_COMPONENTS];     /* planned at the last stage; 0: not planned to move */
    double mean[MC_COMPONENTS];       /* about which the rates of such teeth of this patient lie */
    double rate[MC_COMPONENTS];       /* true share of the planned movement, while not stalled */
    bool stalled[PATIENT_STAGES + 1]; /* during the aligner of that number */
    double at[PATIENT_STAGES + 1][MC_COMPONENTS]; /* where it stands after that aligner */
} true_tooth;

typedef struct true_patient {
    true_tooth tooth[PATIENT_TEETH];
} true_patient;

/* Patient `number` (from 0) of the cohort: the same for the same seed, whoever is drawn before. */
void patient_draw(const cohort_law *law, uint64_t seed, int number, true_patient *out);

/* Let a tooth go its way anew from the aligner `from` on, by the law, from where it stood before:
 * stalled for good at `left` of its rate. */
void tooth_stalls_for_good(true_tooth *tooth, const cohort_law *law, int from, double left,
                           random_source *random);

/* Standard deviation of a reading, by the design's table. */
double noise_sd(mc_method method, mc_component c);
double planned_at(const true_tooth *tooth, mc_component c, double stage);
/* What a reading by a method says of a component after an aligner: truth and the method's noise. */
double read_at(const true_tooth *tooth, mc_component c, int stage, mc_method method,
               random_source *random);

#endif
