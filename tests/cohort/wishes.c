/* What the rules say of simulated mouths. */
#include "wishes.h"

/* The readings' noise, another for each mouth. */
static random_source noise_of(uint64_t seed, int mouth) {
    return random_seed(seed + 1000003 * (uint64_t)(mouth + 1));
}

/* ---- how it truly stands ---- */

/* Positions of a whole mouth; NaN: not known. */
typedef double positions[PATIENT_TEETH][MC_COMPONENTS];

static void stand_truly(const true_patient *patient, int stage, positions out) {
    for (int i = 0; i < PATIENT_TEETH; i++)
        for (int c = 0; c < MC_COMPONENTS; c++)
            out[i][c] = patient->tooth[i].at[stage][c];
}

static double tolerance_of(mc_component c) {
    return mc_component_is_linear(c) ? 0.5 : 2;
}

/* Nothing is known to be short of a position that is not known, nor of a plan that asks nothing. */
static double short_by(const true_tooth *tooth, mc_component c, int stage, double at) {
    double off = planned_at(tooth, c, stage) - at;
    if (isnan(at) || tooth->target[c] == 0)
        return 0;
    return tooth->target[c] > 0 ? off : -off;
}

/* How far the worst component is short after an aligner, in tracking tolerances. */
static double most_short(const true_tooth *tooth, int stage, const double at[MC_COMPONENTS]) {
    double most = 0;
    for (int k = 0; k < MC_COMPONENTS; k++) {
        mc_component c = (mc_component)k;
        most = fmax(most, short_by(tooth, c, stage, at[c]) / tolerance_of(c));
    }
    return most;
}

/* The design's risk weights. */
static double weight_of(mc_tooth tooth, mc_component c) {
    int iso = mc_tooth_iso(tooth), position = iso % 10;
    double weight = position != 2 ? 1 : iso < 30 ? 1.5 : 1.25;
    bool round = position >= 3 && position <= 5;
    if ((c == MC_ROTATION && round) || (c == MC_OCCLUSAL && position <= 2))
        weight = fmax(weight, 1.25);
    return weight;
}

/* The limits of the design's rule 8 for teeth that are short. */
static bool calls_for_correction(const true_patient *patient, int stage, positions at) {
    int short_by_two = 0;
    bool crossed = false;
    for (int i = 0; i < PATIENT_TEETH; i++) {
        const true_tooth *t = &patient->tooth[i];
        short_by_two += most_short(t, stage, at[i]) >= 2;
        for (int k = 0; k < MC_COMPONENTS; k++) {
            mc_component c = (mc_component)k;
            crossed = crossed || weight_of(t->tooth, c) * short_by(t, c, stage, at[i][c]) >=
                                     (mc_component_is_linear(c) ? 1 : 8);
        }
    }
    return crossed || short_by_two >= 3;
}

/* That of its rule 5: past plan, or off a plan that asks nothing, by 1.5 tracking tolerances. */
static bool calls_for_review(const true_patient *patient, int stage, positions at) {
    bool off = false;
    for (int i = 0; i < PATIENT_TEETH; i++)
        for (int k = 0; k < MC_COMPONENTS; k++) {
            const true_tooth *t = &patient->tooth[i];
            mc_component c = (mc_component)k;
            if (isnan(at[i][c]))
                continue;
            double past = t->target[c] == 0 ? fabs(at[i][c]) : -short_by(t, c, stage, at[i][c]);
            off = off || past >= 1.5 * tolerance_of(c);
        }
    return off;
}

/* ---- by which rule ---- */

void wish_rules(const cohort_law *law, uint64_t seed, int mouths, const reading_habit *habit,
                int last, tally out[MOST_VISITS]) {
    for (int k = 0; k < MOST_VISITS; k++)
        out[k] = (tally){0};
    for (int n = 0; n < mouths; n++) {
        true_patient patient;
        case_course course;
        random_source random = noise_of(seed, n);
        patient_draw(law, seed, n, &patient);
        course_begin(&course, &patient, true);
        for (int stage = WISH_STEP; stage <= last; stage += WISH_STEP) {
            mc_proposal proposal;
            course_checkup(&course, &patient, habit, stage, &random);
            course_propose(&course, &proposal);
            tally *t = &out[stage / WISH_STEP - 1];
            t->checkups++;
            t->stalled += course.score[course.checkups - 1].count[MC_STATE_STALLED] > 0;
            positions truly;
            stand_truly(&patient, stage, truly);
            t->truly += calls_for_correction(&patient, stage, truly);
            double(*read)[MC_COMPONENTS] = course.read[course.checkups - 1];
            bool correct = calls_for_correction(&patient, stage, read);
            t->gap_correct += correct;
            t->gap_either += correct || calls_for_review(&patient, stage, read);
            t->rule[proposal.rule]++;
        }
        course_end(&course);
    }
}

/* ---- a tooth that stalls for good ---- */

static bool moves(const true_tooth *tooth) {
    bool any = false;
    for (int c = 0; c < MC_COMPONENTS; c++)
        any = any || tooth->target[c] != 0;
    return any;
}

static int short_class(const true_tooth *tooth, int stage) {
    double most = most_short(tooth, stage, tooth->at[stage]);
    return most < SHORT_CLASSES - 1 ? (int)most : SHORT_CLASSES - 1;
}

static bool in_proposal(const mc_proposal *proposal, mc_tooth tooth) {
    bool found = false;
    for (size_t i = 0; i < proposal->count; i++)
        found = found || proposal->teeth[i] == tooth;
    return found;
}

/* Check-ups at 4, 8 and 12: at one of the last two, is the tooth named by the score, by the
 * proposal, and by its bare reading? */
typedef struct followed {
    bool named, proposed, gap;
} followed;

static followed follow(const true_patient *patient, int which, const reading_habit *habit,
                       random_source random) {
    case_course course;
    followed out = {false, false, false};
    const true_tooth *own = &patient->tooth[which];
    const mc_tooth tooth = own->tooth;
    course_begin(&course, patient, true);
    for (int stage = WISH_STEP; stage <= 3 * WISH_STEP; stage += WISH_STEP) {
        course_checkup(&course, patient, habit, stage, &random);
        if (stage == WISH_STEP)
            continue;
        mc_proposal proposal;
        course_propose(&course, &proposal);
        mc_state state = course.score[course.checkups - 1].tooth[tooth].state;
        bool now = state == MC_STATE_BEHIND || state == MC_STATE_STALLED;
        out.named = out.named || now;
        out.proposed = out.proposed || (now && in_proposal(&proposal, tooth));
        out.gap = out.gap || most_short(own, stage, course.read[course.checkups - 1][which]) >= 1;
    }
    course_end(&course);
    return out;
}

stall_tally wish_stalled(const cohort_law *law, uint64_t seed, int mouths,
                         const reading_habit *habit, double left) {
    stall_tally out = {.teeth = {0}};
    random_source random = random_seed(seed);
    for (int n = 0; n < mouths; n++) {
        true_patient patient, other;
        patient_draw(law, seed, n, &patient);
        other = patient;
        int which = random_below(&random, PATIENT_TEETH);
        while (!moves(&patient.tooth[which]))
            which = (which + 1) % PATIENT_TEETH;
        true_tooth *tooth = &patient.tooth[which];
        tooth_stalls_for_good(tooth, law, WISH_STEP + 1, left, &random);
        followed stalled = follow(&patient, which, habit, noise_of(seed, n));
        followed free = follow(&other, which, habit, noise_of(seed, n));
        int k = short_class(tooth, 3 * WISH_STEP);
        out.teeth[k]++;
        out.named[k] += stalled.named;
        out.proposed[k] += stalled.proposed;
        out.anyway[k] += free.named;
        out.gap[k] += stalled.gap;
        out.gap_anyway[k] += free.gap;
    }
    return out;
}
