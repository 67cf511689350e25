/* From neighbours that may meet to a series in which they do not. */
#include "crowded.h"

#include <math.h>
#include <stdlib.h>

/* A quantity that is more than what is allowed by less than this is not more. */
static const double ROUNDING = 1e-9;
enum { MOST_LOOKS = 4, CLOSER = 4 };

crowded *crowded_new(const mc_settings *settings, const mc_restage_ask *ask,
                     mc_restage_known *known, const mc_restaged *out, mc_arch arch) {
    crowded *c = malloc(sizeof *c);
    if (c) {
        c->ask = ask;
        c->known = known;
        c->arch = arch;
        chain_of(settings, ask, out, arch, &c->chain);
        chain_look(ask, known, &c->chain);
    }
    return c;
}

void crowded_free(crowded *c) {
    free(c);
}

int crowded_place(const crowded *c, mc_tooth tooth) {
    for (int i = 0; i < c->chain.count; i++) {
        if (c->chain.place[i].tooth == tooth) {
            return i;
        }
    }
    return -1;
}

/* ---- the account of the contacts ---- */

static bool is_blocked(const contact *k) {
    return k->meet && !k->by[RIGHT_LEADS].possible && !k->by[LEFT_LEADS].possible;
}

static double granted(const mc_restage_ask *ask, const contact *k) {
    const mc_tooth_ipr *right = &ask->ipr[k->right], *left = &ask->ipr[k->left];
    const bool of_right = mc_tooth_is_right(k->right), of_left = mc_tooth_is_right(k->left);
    const double one = of_right ? right->mesial.mm : right->distal.mm;
    const double other = of_left ? left->distal.mm : left->mesial.mm;
    return fmax(one, 0) + fmax(other, 0);
}

static mc_restaged_contact *account_of(mc_restaged *out, const contact *k) {
    for (size_t i = 0; i < out->contacts; i++) {
        if (out->contact[i].right == k->right) {
            return &out->contact[i];
        }
    }
    return NULL;
}

static bool is_looked_at(const chain *c, int i) {
    return c->place[i].moves || c->place[i + 1].moves;
}

/* The IPR that has to be granted: what they overlap at the start it does not have to add to, but
 * first has to reach. */
static double room_missing(const contact *k) {
    const double allowed = k->phase[k->phases - 1].allowed;
    return fmin(k->by[RIGHT_LEADS].missing, k->by[LEFT_LEADS].missing) + allowed - k->opened;
}

static void account(const crowded *c, mc_restaged *out) {
    for (int i = 0; i + 1 < c->chain.count; i++) {
        const contact *k = &c->chain.contact[i];
        if (!is_looked_at(&c->chain, i)) {
            continue;
        }
        const bool blocked = is_blocked(k);
        const double allowed = k->phase[k->phases - 1].allowed;
        out->contact[out->contacts++] =
            (mc_restaged_contact){.right = k->right,
                                  .left = k->left,
                                  .start = k->start,
                                  .end = k->end,
                                  .most = NAN,
                                  .ipr = granted(c->ask, k),
                                  .passed_over = fmax(c->ask->passed_over[k->right], 0),
                                  .allowed = allowed,
                                  .leads = MC_NO_TOOTH,
                                  .missing = blocked ? room_missing(k) : 0,
                                  .target_overlaps = k->end > allowed + ROUNDING};
    }
}

/* Whether it lacks room after all. */
static void say_room(const crowded *c, bool passed, mc_restaged *out) {
    for (int i = 0; i + 1 < c->chain.count; i++) {
        if (is_blocked(&c->chain.contact[i])) {
            mc_restaged_contact *of = account_of(out, &c->chain.contact[i]);
            of->missing = passed ? 0 : of->missing;
            of->target_overlaps = !passed && of->target_overlaps;
            out->blocked = out->blocked || !passed;
        }
    }
}

/* The one that lacks most. */
static mc_status refuse_blocked(const crowded *c, mc_restaged *out, mc_error *error) {
    const mc_restaged_contact *worst = NULL;
    for (size_t i = 0; i < out->contacts; i++) {
        const mc_restaged_contact *k = &out->contact[i];
        if (mc_tooth_arch(k->right) == c->arch && k->missing > 0 &&
            (!worst || k->missing > worst->missing)) {
            worst = k;
        }
    }
    out->stages[c->arch] = 0;
    if (!worst) {
        return mc_fail(error, MC_REFUSED, "two crowns lack room to pass each other");
    }
    const char *const what =
        worst->target_overlaps ? "overlap at their targets" : "cannot pass each other";
    return mc_fail(error, MC_REFUSED,
                   "teeth %d and %d %s: %.2f mm of room are missing; grant IPR there, or change "
                   "their targets",
                   mc_tooth_iso(worst->right), mc_tooth_iso(worst->left), what, worst->missing);
}

/* ---- the check ---- */

/* The largest overlap of contact i at any stage, and the most by which it is more than allowed. */
static double largest(const crowded *c, int i, int stages, double *more) {
    const contact *k = &c->chain.contact[i];
    double most = -INFINITY;
    *more = -INFINITY;
    for (int stage = 0; stage <= stages; stage++) {
        const double overlap =
            contact_overlap(k, schedule_at(&c->its[i], stage), schedule_at(&c->its[i + 1], stage));
        most = fmax(most, overlap);
        *more = fmax(*more, overlap - contact_allowed(k, stage));
    }
    return most;
}

/* A tooth that stays leads nobody: the other waits for IPR. */
static mc_tooth leader_of(const crowded *c, int i) {
    const place *l = &c->chain.place[c->leads[i] == LEFT_LEADS ? i + 1 : i];
    const bool one = c->leads[i] == LEFT_LEADS || c->leads[i] == RIGHT_LEADS;
    return one && l->moves ? l->tooth : MC_NO_TOOTH;
}

/* Look at every contact at every stage. What lay between two cells of the grid and was not seen is
 * looked for more carefully the next time. Whether all is well. */
static bool check(crowded *c, mc_restaged *out) {
    const int stages = out->stages[c->arch];
    bool well = true;
    for (int i = 0; i + 1 < c->chain.count; i++) {
        contact *k = &c->chain.contact[i];
        mc_restaged_contact *of = account_of(out, k);
        if (!of || !is_looked_at(&c->chain, i)) {
            continue;
        }
        double more;
        of->most = largest(c, i, stages, &more);
        of->leads = leader_of(c, i);
        of->in_turns = c->leads[i] == IN_TURNS;
        if (more > ROUNDING) {
            k->care += 2 * more;
            known_look(c->known, k);
            well = false;
        }
    }
    return well;
}

/* ---- the series ---- */

/* What each contact that has to be led costs. */
static void say_costs(const crowded *c, lead *l, mc_restaged *out) {
    const int stages = out->stages[c->arch], bound = out->lower_bound[c->arch];
    for (int i = 0; i + 1 < c->chain.count; i++) {
        const contact *k = &c->chain.contact[i];
        if (k->meet) {
            const int without = stages > bound ? lead_fewest(l, i) : stages;
            account_of(out, k)->costs = stages - (without > bound ? without : bound);
        }
    }
}

/* The contacts at which it might help to pass in turns: where neither can lead, and where a leader
 * costs aligners; where no single one does, all. */
static bool worth_turns(const crowded *c, bool blocked, mc_restaged *out,
                        bool look_at[MOST_PLACES - 1]) {
    bool any = false;
    for (int i = 0; i + 1 < c->chain.count; i++) {
        const contact *k = &c->chain.contact[i];
        look_at[i] = k->meet && (blocked ? is_blocked(k) : account_of(out, k)->costs > 0);
        any = any || look_at[i];
    }
    for (int i = 0; i + 1 < c->chain.count && !any; i++) {
        look_at[i] = c->chain.contact[i].meet;
    }
    return blocked || out->stages[c->arch] > out->lower_bound[c->arch];
}

/* Leaders and schedules of the contacts at which one can lead; the others as if they never met. */
static mc_status find_leaders(crowded *c, mc_restaged *out, mc_error *error) {
    bool meet[MOST_PLACES - 1] = {false};
    for (int i = 0; i + 1 < c->chain.count; i++) {
        contact *k = &c->chain.contact[i];
        meet[i] = k->meet;
        k->meet = k->meet && !is_blocked(k);
    }
    lead *l = lead_new(&c->chain);
    int fewest = MC_MOST_STAGES + 1;
    const int bound = out->lower_bound[c->arch];
    if (l) {
        fewest = lead_fewest(l, -1);
        out->stages[c->arch] = fewest > bound ? fewest : bound;
        if (!lead_out_of_memory(l) && fewest <= MC_MOST_STAGES) {
            lead_choose(l, out->stages[c->arch], c->leads, c->its);
            say_costs(c, l, out);
        }
    }
    for (int i = 0; i + 1 < c->chain.count; i++) {
        c->chain.contact[i].meet = meet[i];
    }
    const bool failed = !l || lead_out_of_memory(l);
    lead_free(l);
    if (failed) {
        return mc_fail_need(error, MC_NEED_MEMORY, "out of memory while a plan was re-staged");
    }
    return fewest <= MC_MOST_STAGES
               ? MC_OK
               : mc_fail(error, MC_REFUSED,
                         "the %s arch needs more than %d aligners, since teeth wait for each other",
                         c->arch == MC_UPPER ? "upper" : "lower", MC_MOST_STAGES);
}

static bool has_blocked(const crowded *c) {
    bool blocked = false;
    for (int i = 0; i + 1 < c->chain.count; i++) {
        blocked = blocked || is_blocked(&c->chain.contact[i]);
    }
    return blocked;
}

/* Pass in turns where that has to be, or helps. */
static mc_status find_turns(crowded *c, mc_restaged *out, mc_error *error) {
    bool look_at[MOST_PLACES - 1], out_of_memory = false;
    const bool blocked = has_blocked(c);
    const int bound = out->lower_bound[c->arch];
    if (!worth_turns(c, blocked, out, look_at)) {
        return MC_OK;
    }
    const int fewest =
        turns_find(&c->chain, look_at, blocked ? MC_MOST_STAGES + 1 : out->stages[c->arch],
                   c->leads, c->its, &out_of_memory);
    if (out_of_memory) {
        return mc_fail_need(error, MC_NEED_MEMORY, "out of memory while a plan was re-staged");
    }
    if (blocked) {
        say_room(c, fewest > 0, out);
    }
    if (fewest == 0) {
        return blocked ? refuse_blocked(c, out, error) : MC_OK;
    }
    out->stages[c->arch] = fewest > bound ? fewest : bound;
    for (int i = 0; i + 1 < c->chain.count; i++) {
        if (c->chain.contact[i].meet) {
            const int without = turns_without(&c->chain, i, c->leads, c->scratch);
            const int least = without > bound ? without : bound;
            account_of(out, &c->chain.contact[i])->costs =
                out->stages[c->arch] > least ? out->stages[c->arch] - least : 0;
        }
    }
    return MC_OK;
}

/* One look: the shortest series by what is known of the contacts. */
static mc_status find_series(crowded *c, mc_restaged *out, mc_error *error) {
    const mc_status status = find_leaders(c, out, error);
    return status == MC_OK ? find_turns(c, out, error) : status;
}

/* The cells of the leaders' ways a quarter as long, where that is possible: a follower may wait a
 * cell too long, which now and then is an aligner. */
static void look_closer(crowded *c) {
    for (int i = 0; i + 1 < c->chain.count; i++) {
        contact *k = &c->chain.contact[i];
        for (int side = 0; side < 2; side++) {
            mover *m = &k->mover[side];
            m->cells *= m->cells <= MOST_CELLS / CLOSER ? CLOSER : 1;
        }
        if (k->meet) {
            known_look(c->known, k);
        }
    }
}

mc_status crowded_restage(crowded *c, mc_restaged *out, mc_error *error) {
    account(c, out);
    for (int look = 0; look < MOST_LOOKS; look++) {
        mc_status status = find_series(c, out, error);
        if (look == 0 && !out->blocked &&
            (status != MC_OK || out->stages[c->arch] > out->lower_bound[c->arch])) {
            look_closer(c);
            status = find_series(c, out, error);
        }
        if (status != MC_OK) {
            return status;
        }
        spread(&c->chain, c->leads, out->stages[c->arch], c->its, c->pace);
        if (check(c, out)) {
            return MC_OK;
        }
    }
    return mc_fail(error, MC_REFUSED,
                   "no series of the %s arch could be found whose crowns keep their room at every "
                   "stage",
                   c->arch == MC_UPPER ? "upper" : "lower");
}
