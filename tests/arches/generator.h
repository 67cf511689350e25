/* Random arches to be re-staged: where the crowns are to end, where they stand now, and what is
 * asked for each tooth.
 *
 * Drawn backwards, as the design finds a start: the targets stand side by side on a simple arch (a
 * piece of a circle with straight legs), and each tooth's start is its target less what remains for
 * it. Four times round, each tooth is drawn another start that overlaps none of those beside it by
 * more than a little (0.02 mm, now and then up to 0.3), so that what stands at the start could
 * stand in a mouth. Three kinds:
 *   spaced    targets 0.2 to 1.2 mm apart, small movements;
 *   touching  targets in contact, small movements: neighbours may brush past each other;
 *   crowded   targets in contact, starts lapped over each other, turned, mesial of their places or
 *             out of the row, so that ways cross; in every second arch a lateral stands behind its
 *             canine, which stands in its place.
 * Widths vary by 7 % about the usual ones. Some teeth are missing (their space kept or closed),
 * some must not be moved, some have limits of their own, some arches are mixed dentitions, and some
 * contacts have IPR, now and then for a later stage; their crowns overlap by it at the target. Now
 * and then a target overlaps by mistake. */
#ifndef MIDCOURSE_TESTS_ARCHES_GENERATOR_H
#define MIDCOURSE_TESTS_ARCHES_GENERATOR_H

#include "midcourse/restaging.h"
#include "random.h"

typedef enum arch_kind { SPACED, TOUCHING, CROWDED, ARCH_KINDS } arch_kind;
const char *arch_kind_name(arch_kind kind);

enum { ARCH_TEETH = 16 };

typedef struct random_arch {
    arch_kind kind;
    mc_arch arch;
    int teeth;                   /* that stand, */
    mc_tooth tooth[ARCH_TEETH];  /* from the patient's right to the left */
    mc_crown target[MC_TEETH];   /* where their crowns are to end */
    mc_pose remaining[MC_TEETH]; /* what carries each from where it is to there */
    mc_restage_ask ask;          /* overlap checked, nothing to carry */
} random_arch;

/* Arch `number` (from 0) of a kind: the same for the same seed, whichever are drawn before. */
void arch_draw(arch_kind kind, uint64_t seed, int number, random_arch *out);

/* The same arch in a mouth seen in a mirror. */
random_arch arch_mirrored(const random_arch *a);
/* The same arch with its plane's axes turned (deg) and shifted (mm) in space. */
random_arch arch_placed(const random_arch *a, double turn_deg, double right, double anterior);

/* IPR granted between the standing teeth i and i + 1 by a stage of a series of n aligners: what is
 * listed for a stage beyond the series is due with the last. */
double arch_ipr_by(const random_arch *a, int i, int stage, int n);
/* Grant more of it before the first aligner, beside whatever else is asked: on the side that has
 * none, or else with that side's own, earlier by as much as it was later. */
void arch_grant(random_arch *a, int i, double mm);

#endif
