/* Invented patients, their truth and their readings. */
#include "patients.h"

/* Half of what is planned for a mouth: how many components, and how much of each (shape 2). */
static const double PLANNED = 0.55, MEAN_MM = 1, MEAN_DEG = 8;

cohort_law law_published(void) {
    return (cohort_law){.tooth_sd = 0.20,
                        .patient_sd = 0.10,
                        .stalls = 0.01,
                        .recovers = 0.25,
                        .stalled_rate = 0.3,
                        .step_noise = 0.1,
                        .exact_rate = NAN};
}

cohort_law law_lower(void) {
    cohort_law out = law_published();
    out.lower = 0.15;
    return out;
}

cohort_law law_two_kinds(void) {
    cohort_law out = law_published();
    out.half_lower = 0.25;
    return out;
}

cohort_law law_perfect(void) {
    return (cohort_law){.stalled_rate = 1, .exact_rate = 1};
}

/* ---- what is planned ---- */

static double gamma_of_two(random_source *random, double mean) {
    return -mean / 2 * (log(1 - random_unit(random)) + log(1 - random_unit(random)));
}

static void plan_tooth(random_source *random, true_tooth *t) {
    for (int c = 0; c < MC_COMPONENTS; c++) {
        double amount =
            gamma_of_two(random, mc_component_is_linear((mc_component)c) ? MEAN_MM : MEAN_DEG);
        bool planned = random_unit(random) < PLANNED, forward = random_unit(random) < 0.5;
        t->target[c] = planned ? (forward ? amount : -amount) : 0;
    }
}

/* Under which movement the published share of a component is listed. */
static mc_movement movement_of(const true_tooth *t, mc_component c) {
    bool forward = t->target[c] >= 0;
    double side = forward ? 1 : -1, radian = 3.141592653589793 / 180;
    double root = mc_tooth_usual_size(t->tooth).root_length;
    double apex_leads = root / 2 * sin(fabs(t->target[c]) * radian);
    switch (c) {
    case MC_MESIAL:
        return forward ? MC_MOVE_MESIAL : MC_MOVE_DISTAL;
    case MC_BUCCAL:
        return forward ? MC_MOVE_BUCCAL : MC_MOVE_LINGUAL;
    case MC_OCCLUSAL:
        return forward ? MC_MOVE_EXTRUSION : MC_MOVE_INTRUSION;
    case MC_ROTATION:
        return MC_MOVE_ROTATION;
    case MC_ANGULATION:
        return MC_MOVE_ANGULATION;
    default:
        return side * t->target[MC_BUCCAL] < apex_leads ? MC_MOVE_TORQUE : MC_MOVE_TIPPING;
    }
}

double planned_at(const true_tooth *tooth, mc_component c, double stage) {
    return tooth->target[c] * stage / PATIENT_STAGES;
}

/* ---- what happens ---- */

static void draw_rates(random_source *random, const cohort_law *law, double pace, true_tooth *t) {
    for (int c = 0; c < MC_COMPONENTS; c++) {
        double mean = mc_expected_share(t->tooth, movement_of(t, (mc_component)c), NULL);
        t->mean[c] = mean + pace;
        double rate = t->mean[c] + law->tooth_sd * random_normal(random);
        t->rate[c] =
            isnan(law->exact_rate) ? fmin(fmax(rate, LEAST_RATE), MOST_RATE) : law->exact_rate;
    }
}

/* One aligner: each component its share of the step, every step with noise of its own. */
static void step(random_source *random, const cohort_law *law, true_tooth *t, int stage,
                 double left) {
    for (int c = 0; c < MC_COMPONENTS; c++)
        t->at[stage][c] = t->at[stage - 1][c] + t->target[c] / PATIENT_STAGES * t->rate[c] * left *
                                                    (1 + law->step_noise * random_normal(random));
}

static void move_tooth(random_source *random, const cohort_law *law, true_tooth *t) {
    for (int stage = 1; stage <= PATIENT_STAGES; stage++) {
        double chance = random_unit(random);
        t->stalled[stage] = t->stalled[stage - 1] ? chance >= law->recovers : chance < law->stalls;
        step(random, law, t, stage, t->stalled[stage] ? law->stalled_rate : 1);
    }
}

void tooth_stalls_for_good(true_tooth *tooth, const cohort_law *law, int from, double left,
                           random_source *random) {
    for (int stage = from; stage <= PATIENT_STAGES; stage++) {
        tooth->stalled[stage] = true;
        step(random, law, tooth, stage, left);
    }
}

void patient_draw(const cohort_law *law, uint64_t seed, int number, true_patient *out) {
    random_source of_seed = random_seed(seed);
    random_source random = random_seed(random_bits(&of_seed) + (uint64_t)number);
    random = random_seed(random_bits(&random)); /* neighbours' numbers far apart */
    *out = (true_patient){0};
    double pace = law->patient_sd * random_normal(&random) - law->lower -
                  (number % 2 == 1 ? law->half_lower : 0);
    for (int i = 0; i < PATIENT_TEETH; i++) {
        true_tooth *t = &out->tooth[i];
        t->tooth = mc_tooth_from_iso(10 * (i / 7 + 1) + i % 7 + 1);
        plan_tooth(&random, t);
        draw_rates(&random, law, pace, t);
        move_tooth(&random, law, t);
    }
}

/* ---- what is read ---- */

double noise_sd(mc_method method, mc_component c) {
    static const double MM[MC_METHODS] = {0.5, 0.35, 0.15, 0.15, 0.10};
    static const double DEG[MC_METHODS] = {5, 3, 1.5, 1.5, 0.7};
    return mc_component_is_linear(c) ? MM[method] : DEG[method];
}

double read_at(const true_tooth *tooth, mc_component c, int stage, mc_method method,
               random_source *random) {
    return tooth->at[stage][c] + noise_sd(method, c) * random_normal(random);
}
