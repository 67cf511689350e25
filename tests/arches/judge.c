/* A new series looked at from outside. */
#include "judge.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

#include "in_words.h"

static const double ROUNDING = 1e-9;

arch_run arch_restage(const random_arch *a) {
    arch_run run;
    memset(&run, 0, sizeof run);
    mc_settings_defaults(&run.settings);
    const clock_t before = clock();
    run.status = mc_restage(&run.settings, &a->ask, &run.out, &run.plan, &run.error);
    run.seconds = (double)(clock() - before) / CLOCKS_PER_SEC;
    return run;
}

void arch_run_free(arch_run *run) {
    mc_plan_free(run->plan);
    run->plan = NULL;
}

int arch_stages(const random_arch *a, const arch_run *run) {
    return run->out.stages[a->arch];
}

int arch_bound(const random_arch *a, const arch_run *run) {
    return run->out.lower_bound[a->arch];
}

#define FAULT(...)                                                                                 \
    do {                                                                                           \
        fault found_;                                                                              \
        (void)snprintf(found_.text, sizeof found_.text, __VA_ARGS__);                              \
        return found_;                                                                             \
    } while (0)
static const fault NONE = {""};

static double most_of(const mc_pose *pose) {
    double most = 0;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        most = fmax(most, fabs(pose->c[c]));
    }
    return most;
}

static bool moves(const random_arch *a, mc_tooth tooth) {
    return a->ask.task[tooth].move && most_of(&a->remaining[tooth]) > 1e-9;
}

/* ---- teeth ---- */

static double limit_of_task(const random_arch *a, mc_tooth tooth, int c) {
    const double own = a->ask.task[tooth].limit[c];
    return own > 0 ? own : limit_in_words(tooth, &a->remaining[tooth], c);
}

/* Which share of the way a pose is: that of the component that has most left to go. */
static double share_of(const mc_pose *remaining, const mc_pose *pose) {
    int widest = 0;
    for (int c = 1; c < MC_COMPONENTS; c++) {
        widest = fabs(remaining->c[c]) > fabs(remaining->c[widest]) ? c : widest;
    }
    return pose->c[widest] / remaining->c[widest];
}

static fault judge_step(const random_arch *a, mc_tooth tooth, int k, const mc_pose *before,
                        const mc_pose *now) {
    const mc_pose *remaining = &a->remaining[tooth];
    const int iso = mc_tooth_iso(tooth);
    const double from = share_of(remaining, before), to = share_of(remaining, now);
    if (to < from || to < 0 || to > 1) {
        FAULT("tooth %d goes from share %.17g to %.17g at stage %d", iso, from, to, k);
    }
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const double step = fabs(now->c[c] - before->c[c]), limit = limit_of_task(a, tooth, c);
        if (!(step <= limit + ROUNDING)) {
            FAULT("tooth %d: %s %.12g at stage %d, limit %g", iso,
                  mc_component_name((mc_component)c), step, k, limit);
        }
        if (!(fabs(now->c[c] - to * remaining->c[c]) <= ROUNDING)) {
            FAULT("tooth %d is off its straight way at stage %d", iso, k);
        }
    }
    const double corner = corners_in_words(tooth, before, now);
    if (!(corner <= 0.30 + ROUNDING)) {
        FAULT("tooth %d: a corner goes %.12g mm at stage %d", iso, corner, k);
    }
    return NONE;
}

static bool same_pose(const mc_pose *one, const mc_pose *other) {
    bool same = true;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        same = same && one->c[c] == other->c[c];
    }
    return same;
}

static fault judge_tooth(const random_arch *a, const arch_run *run, mc_tooth tooth, int *longest) {
    const mc_restaged_tooth *of = &run->out.tooth[tooth];
    const int n = arch_stages(a, run), iso = mc_tooth_iso(tooth);
    int first = 0, last = 0;
    mc_pose before = {{0}};
    if (of->moves != moves(a, tooth)) {
        FAULT("tooth %d is said to %s", iso, of->moves ? "move" : "stay");
    }
    if (!of->moves) {
        if (of->stages_needed != 0 || (run->plan && mc_plan_moves(run->plan, tooth))) {
            FAULT("tooth %d should stay", iso);
        }
        return NONE;
    }
    if (!same_pose(&of->remaining, &a->remaining[tooth])) {
        FAULT("tooth %d: what remains is said wrongly", iso);
    }
    *longest = of->stages_needed > *longest ? of->stages_needed : *longest;
    for (int k = 1; k <= n && run->plan; k++) {
        const mc_pose now = mc_plan_pose(run->plan, tooth, k);
        const fault found = judge_step(a, tooth, k, &before, &now);
        if (found.text[0]) {
            return found;
        }
        if (!same_pose(&now, &before)) {
            first = first > 0 ? first : k;
            last = k;
        }
        before = now;
    }
    if (run->plan && !same_pose(&before, &of->remaining)) {
        FAULT("tooth %d does not end at its target", iso);
    }
    if (run->plan && (of->first != first || of->last != last)) {
        FAULT("tooth %d moves with aligners %d to %d, said are %d to %d", iso, first, last,
              of->first, of->last);
    }
    return NONE;
}

/* ---- contacts ---- */

static mc_crown crown_at(const random_arch *a, const arch_run *run, int i, int k) {
    const mc_pose pose = mc_plan_pose(run->plan, a->tooth[i], k);
    return mc_crown_moved(a->tooth[i], &a->ask.crown[a->tooth[i]], &pose);
}

static double overlap_at(const random_arch *a, const arch_run *run, int i, int other, int k) {
    const mc_crown one = crown_at(a, run, i, k), two = crown_at(a, run, other, k);
    return mc_crown_overlap(a->tooth[i], &one, a->tooth[other], &two);
}

static double overlap_now(const random_arch *a, int i) {
    return mc_crown_overlap(a->tooth[i], &a->ask.crown[a->tooth[i]], a->tooth[i + 1],
                            &a->ask.crown[a->tooth[i + 1]]);
}

static bool near(double seen, double wanted) {
    return fabs(seen - wanted) <= 1e-8;
}

/* The farthest that any point of the crown goes on the way, mm in the occlusal plane. */
static double reach_of(const random_arch *a, int i) {
    const mc_pose *r = &a->remaining[a->tooth[i]];
    const mc_crown *crown = &a->ask.crown[a->tooth[i]];
    return hypot(r->c[MC_MESIAL], r->c[MC_BUCCAL]) + fabs(r->c[MC_ROTATION]) *
                                                         3.14159265358979323846 / 180 *
                                                         hypot(crown->width, crown->thickness) / 2;
}

static double overlap_of_shares(const random_arch *a, int i, double one, double other) {
    const mc_pose ways[2] = {part_of(&a->remaining[a->tooth[i]], one),
                             part_of(&a->remaining[a->tooth[i + 1]], other)};
    const mc_crown x = mc_crown_moved(a->tooth[i], &a->ask.crown[a->tooth[i]], &ways[0]);
    const mc_crown y = mc_crown_moved(a->tooth[i + 1], &a->ask.crown[a->tooth[i + 1]], &ways[1]);
    return mc_crown_overlap(a->tooth[i], &x, a->tooth[i + 1], &y);
}

/* Within a square of shares, by halving: the depth changes no faster than the crowns go. */
static bool clear_within(const random_arch *a, int i, double one, double other, double side,
                         double allowed) {
    const double slack = (reach_of(a, i) + reach_of(a, i + 1)) * side / 2;
    const double depth = overlap_of_shares(a, i, one + side / 2, other + side / 2);
    if (depth + slack <= allowed || depth > allowed || slack < 1e-3) {
        return depth + slack <= allowed;
    }
    const double half = side / 2;
    return clear_within(a, i, one, other, half, allowed) &&
           clear_within(a, i, one + half, other, half, allowed) &&
           clear_within(a, i, one, other + half, half, allowed) &&
           clear_within(a, i, one + half, other + half, half, allowed);
}

static double allowed_first(const random_arch *a, int i) {
    return fmax(0.05 + arch_ipr_by(a, i, 1, 1000), overlap_now(a, i));
}

static double share_at(const random_arch *a, const arch_run *run, int i, int k) {
    const mc_pose pose = mc_plan_pose(run->plan, a->tooth[i], k);
    return moves(a, a->tooth[i]) ? share_of(&a->remaining[a->tooth[i]], &pose) : 0;
}

/* What the account says of one contact, the teeth i and i + 1. */
static fault judge_account(const random_arch *a, const arch_run *run, int i,
                           const mc_restaged_contact *of) {
    const mc_tooth one = a->tooth[i], other = a->tooth[i + 1];
    const mc_pose ends[2] = {a->remaining[one], a->remaining[other]};
    const mc_crown end[2] = {mc_crown_moved(one, &a->ask.crown[one], &ends[0]),
                             mc_crown_moved(other, &a->ask.crown[other], &ends[1])};
    const double start = overlap_now(a, i), ipr = arch_ipr_by(a, i, 1000, 1000);
    const double finish = mc_crown_overlap(one, &end[0], other, &end[1]);
    const double allowed = fmax(0.05 + ipr, start);
    const int x = mc_tooth_iso(one), y = mc_tooth_iso(other);
    if (of->right != one || of->left != other) {
        FAULT("contact %d-%d is missing from the account", x, y);
    }
    if (!near(of->start, start) || !near(of->end, finish) || !near(of->ipr, ipr) ||
        !near(of->allowed, allowed)) {
        FAULT("contact %d-%d: start %g end %g IPR %g allowed %g, said are %g, %g, %g, %g", x, y,
              start, finish, ipr, allowed, of->start, of->end, of->ipr, of->allowed);
    }
    if (of->target_overlaps != (finish > allowed + ROUNDING)) {
        FAULT("contact %d-%d: ends %.12g of %.12g, said to %s", x, y, finish, allowed,
              of->target_overlaps ? "overlap" : "be clear");
    }
    if (of->missing < 0 || (of->missing > 0 && !run->out.blocked) ||
        (of->target_overlaps && of->missing < finish - (0.05 + ipr) - 1e-8)) {
        FAULT("contact %d-%d: %g mm missing, %s", x, y, of->missing,
              run->out.blocked ? "blocked" : "not blocked");
    }
    if (of->leads != MC_NO_TOOTH &&
        ((of->leads != one && of->leads != other) || !moves(a, of->leads))) {
        FAULT("contact %d-%d: tooth %d cannot lead", x, y, mc_tooth_iso(of->leads));
    }
    return NONE;
}

/* Where crowns meet, one waits: at no stage is the follower past a place that the leader has not
 * passed, and that they could not pass together. IPR due later opens the contact later. */
static fault judge_leader(const random_arch *a, const arch_run *run, int i,
                          const mc_restaged_contact *of) {
    enum { PLACES = 24 };
    const int n = arch_stages(a, run);
    const int x = mc_tooth_iso(a->tooth[i]), y = mc_tooth_iso(a->tooth[i + 1]);
    const double allowed = allowed_first(a, i);
    const bool clear = clear_within(a, i, 0, 0, 1, allowed);
    if (of->in_turns && (clear || of->leads != MC_NO_TOOTH)) {
        FAULT("contact %d-%d is passed in turns, and %s", x, y,
              clear ? "never meets" : "one is said to lead");
    }
    if (of->in_turns || arch_ipr_by(a, i, 1, 1000) < arch_ipr_by(a, i, 1000, 1000)) {
        return NONE;
    }
    if (of->leads != MC_NO_TOOTH && clear) {
        FAULT("contact %d-%d never meets, and tooth %d is said to lead", x, y,
              mc_tooth_iso(of->leads));
    }
    for (int p = 0; p <= PLACES && !clear; p++) {
        for (int q = 0; q <= PLACES; q++) {
            const double one = (double)p / PLACES, other = (double)q / PLACES;
            if (overlap_of_shares(a, i, one, other) <= allowed + 0.02) {
                continue;
            }
            if (of->leads == MC_NO_TOOTH) {
                FAULT("contact %d-%d meets, and neither is said to lead", x, y);
            }
            for (int k = 0; k <= n; k++) {
                const double right = share_at(a, run, i, k), left = share_at(a, run, i + 1, k);
                if (of->leads == a->tooth[i] ? right < one && left > other
                                             : left < other && right > one) {
                    FAULT("contact %d-%d: tooth %d does not lead at stage %d of %d", x, y,
                          mc_tooth_iso(of->leads), k, n);
                }
            }
        }
    }
    return NONE;
}

/* No deeper than allowed at any stage. */
static fault judge_overlap(const random_arch *a, const arch_run *run, int i,
                           const mc_restaged_contact *of) {
    const int n = arch_stages(a, run);
    const int x = mc_tooth_iso(a->tooth[i]), y = mc_tooth_iso(a->tooth[i + 1]);
    const double start = overlap_now(a, i);
    double most = start;
    for (int k = 1; k <= n; k++) {
        const double depth = overlap_at(a, run, i, i + 1, k);
        const double allowed = fmax(0.05 + arch_ipr_by(a, i, k, n), start);
        most = fmax(most, depth);
        if (!(depth <= allowed + ROUNDING)) {
            FAULT("contact %d-%d overlaps %.12g at stage %d of %d, allowed %.12g", x, y, depth, k,
                  n, allowed);
        }
    }
    if (!near(of->most, most)) {
        FAULT("contact %d-%d: most %.12g, said is %.12g", x, y, most, of->most);
    }
    return NONE;
}

static fault judge_contacts(const random_arch *a, const arch_run *run) {
    size_t at = 0;
    double missing = 0;
    for (int i = 0; i + 1 < a->teeth; i++) {
        if (!moves(a, a->tooth[i]) && !moves(a, a->tooth[i + 1])) {
            continue;
        }
        if (at >= run->out.contacts) {
            FAULT("only %zu contacts in the account", run->out.contacts);
        }
        const mc_restaged_contact *of = &run->out.contact[at++];
        fault found = judge_account(a, run, i, of);
        if (!found.text[0] && run->plan) {
            found = judge_overlap(a, run, i, of);
            found = found.text[0] ? found : judge_leader(a, run, i, of);
        }
        if (found.text[0]) {
            return found;
        }
        missing = fmax(missing, of->missing);
    }
    if (at != run->out.contacts) {
        FAULT("%zu contacts in the account, there are %zu", run->out.contacts, at);
    }
    if (run->out.blocked && missing <= 0) {
        FAULT("blocked, and no room is missing");
    }
    return NONE;
}

/* ---- the whole ---- */

static fault judge_length(const random_arch *a, const arch_run *run, int longest) {
    const int n = arch_stages(a, run), bound = arch_bound(a, run);
    if (bound != longest) {
        FAULT("the bound is said to be %d, a tooth needs %d", bound, longest);
    }
    if (run->out.blocked) {
        if (run->plan || run->status != MC_REFUSED || n != 0 || !run->error.text[0]) {
            FAULT("blocked, with a plan, a length or without a word");
        }
        return NONE;
    }
    if (run->status != MC_OK || !run->plan) {
        FAULT("refused: %.200s", run->error.text);
    }
    if (n < bound || mc_plan_stages(run->plan, a->arch) != n) {
        FAULT("%d aligners, bound %d, the plan has %d", n, bound,
              mc_plan_stages(run->plan, a->arch));
    }
    if (n > bound && (arch_never_meets(a, 0) || arch_even_never_meets(a, bound, 0.02))) {
        FAULT("%d aligners, bound %d, and nothing is in the way", n, bound);
    }
    return NONE;
}

fault arch_judge(const random_arch *a, const arch_run *run) {
    int longest = 0;
    if (run->status != MC_OK && !run->out.blocked) {
        FAULT("refused: %.250s", run->error.text);
    }
    if (!run->out.overlap_checked) {
        FAULT("not said to be checked for overlap");
    }
    for (int i = 0; i < a->teeth; i++) {
        const fault found = judge_tooth(a, run, a->tooth[i], &longest);
        if (found.text[0]) {
            return found;
        }
    }
    const fault found = judge_length(a, run, longest);
    return found.text[0] ? found : judge_contacts(a, run);
}

double arch_beyond_neighbours(const random_arch *a, const arch_run *run) {
    double most = -INFINITY;
    for (int k = 0; run->plan && k <= arch_stages(a, run); k++) {
        for (int i = 0; i + 2 < a->teeth; i++) {
            most = fmax(most, overlap_at(a, run, i, i + 2, k));
        }
    }
    return most;
}

/* ---- ways that never meet ---- */

bool arch_never_meets(const random_arch *a, double margin) {
    for (int i = 0; i + 1 < a->teeth; i++) {
        if (!clear_within(a, i, 0, 0, 1, allowed_first(a, i) - margin)) {
            return false;
        }
    }
    return true;
}

bool arch_can_pass(const random_arch *a, int i, double margin) {
    enum { PLACES = 120 };
    static const double LEAST = 1e-9;
    const double allowed =
        fmax(0.05 + arch_ipr_by(a, i, 1000, 1000), overlap_now(a, i)) - margin + LEAST;
    bool reached[PLACES + 1] = {false}; /* by the places of i + 1, for the place of i looked at */
    for (int p = 0; p <= PLACES; p++) {
        for (int q = 0; q <= PLACES; q++) {
            const bool from = reached[q] || (q > 0 && reached[q - 1]) || (p == 0 && q == 0);
            reached[q] =
                from && overlap_of_shares(a, i, (double)p / PLACES, (double)q / PLACES) <= allowed;
        }
    }
    return reached[PLACES];
}

static bool corners_allow(const random_arch *a, int n) {
    for (int i = 0; i < a->teeth; i++) {
        for (int k = 0; k < n; k++) {
            const mc_pose before = part_of(&a->remaining[a->tooth[i]], (double)k / n);
            const mc_pose now = part_of(&a->remaining[a->tooth[i]], (double)(k + 1) / n);
            if (corners_in_words(a->tooth[i], &before, &now) > 0.30) {
                return false;
            }
        }
    }
    return true;
}

bool arch_even_never_meets(const random_arch *a, int n, double margin) {
    enum { PLACES = 200 };
    for (int i = 0; i + 1 < a->teeth; i++) {
        for (int k = 0; k <= PLACES; k++) {
            const double share = (double)k / PLACES;
            if (overlap_of_shares(a, i, share, share) > allowed_first(a, i) - margin) {
                return false;
            }
        }
    }
    return corners_allow(a, n);
}
