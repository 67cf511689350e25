/* The teeth of an arch as neighbours. */
#include "chain.h"

#include <math.h>

extern double schedule_at(const schedule *s, int stage);

static void add(const mc_settings *settings, const mc_restage_ask *ask, const mc_restaged *out,
                mc_tooth tooth, chain *c) {
    const mc_restaged_tooth *of = &out->tooth[tooth];
    place *l = &c->place[c->count++];
    *l = (place){.tooth = tooth, .moves = of->moves, .needs = of->stages_needed};
    if (of->moves) {
        l->way = way_of(settings, tooth, &of->remaining, ask->task[tooth].limit);
    }
}

void chain_of(const mc_settings *settings, const mc_restage_ask *ask, const mc_restaged *out,
              mc_arch arch, chain *c) {
    bool stands[MC_TEETH];
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        stands[tooth] = ask->crown[tooth].stands;
    }
    c->count = 0;
    for (int side = 0; side < 2; side++) {
        for (int i = 0; i < MOST_PLACES / 2; i++) {
            const int position = side == 0 ? MOST_PLACES / 2 - i : i + 1;
            const mc_tooth tooth = mc_tooth_standing_at(arch, side == 0, position, stands);
            if (tooth != MC_NO_TOOTH) {
                add(settings, ask, out, tooth, c);
            }
        }
    }
}

/* ---- what is allowed ---- */

static double granted_by(const mc_ipr *one, const mc_ipr *other, int stage) {
    return (one->mm > 0 && one->stage <= stage ? one->mm : 0) +
           (other->mm > 0 && other->stage <= stage ? other->mm : 0);
}

/* Teeth stand at stage 0 before anything is done, and what is due before the first aligner opens
 * the contact from then on. */
static void set_phases(const mc_ipr *one, const mc_ipr *other, double passed_over, contact *c) {
    const int stages[] = {1, one->mm > 0 ? one->stage : 1, other->mm > 0 ? other->stage : 1};
    c->phases = 0;
    c->opened = mc_overlap_allowed(passed_over + granted_by(one, other, MC_MOST_STAGES), -INFINITY);
    for (int from = 1; from <= MC_MOST_STAGES; from++) {
        if (from != stages[0] && from != stages[1] && from != stages[2]) {
            continue;
        }
        c->phase[c->phases++] = (phase){
            .from = from == 1 ? 0 : from,
            .allowed = mc_overlap_allowed(passed_over + granted_by(one, other, from), c->start)};
    }
}

/* On which side of a tooth its neighbour toward the patient's left stands. */
static const mc_ipr *ipr_toward_left(const mc_restage_ask *ask, mc_tooth tooth) {
    const mc_tooth_ipr *ipr = &ask->ipr[tooth];
    return mc_tooth_is_right(tooth) ? &ipr->mesial : &ipr->distal;
}

static const mc_ipr *ipr_toward_right(const mc_restage_ask *ask, mc_tooth tooth) {
    const mc_tooth_ipr *ipr = &ask->ipr[tooth];
    return mc_tooth_is_right(tooth) ? &ipr->distal : &ipr->mesial;
}

static mover mover_of_place(const mc_restage_ask *ask, const place *l) {
    const mc_pose stays = {{0}};
    return mover_of(l->tooth, &ask->crown[l->tooth], l->moves ? &l->way.remaining : &stays,
                    l->moves ? l->needs : 0);
}

void chain_look(const mc_restage_ask *ask, mc_restage_known *known, chain *c) {
    for (int i = 0; i + 1 < c->count; i++) {
        const place *right = &c->place[i], *left = &c->place[i + 1];
        contact *k = &c->contact[i];
        k->right = right->tooth;
        k->left = left->tooth;
        k->meet = false;
        k->care = 0;
        k->mover[0] = mover_of_place(ask, right);
        k->mover[1] = mover_of_place(ask, left);
        k->start = contact_overlap(k, 0, 0);
        set_phases(ipr_toward_left(ask, right->tooth), ipr_toward_right(ask, left->tooth),
                   fmax(ask->passed_over[right->tooth], 0), k);
        if (right->moves || left->moves) {
            known_look(known, k);
        }
    }
}

/* ---- following ---- */

double chain_edge(const chain *c, int i, leader leads, int stage) {
    const contact *k = &c->contact[i];
    return k->by[leads].edge[contact_phase(k, stage)];
}

/* The least that the follower is free in the cells from one of the leader's to the next. */
static double least_in(const double *free_until, int from, int to, int cells) {
    double least = 1;
    for (int i = from; i <= to + 1 && i <= cells; i++) {
        least = fmin(least, free_until[i]);
    }
    return fmax(0, least);
}

double chain_cap(const chain *c, int i, leader leads, const schedule *leading, int stage) {
    const contact *k = &c->contact[i];
    const leading_by *by = &k->by[leads];
    const int last = k->phases - 1, opens = k->phase[last].from;
    const int at = contact_cell(k, leads, schedule_at(leading, stage));
    if (stage >= opens) {
        return by->free_until[last][at];
    }
    /* It is opened later: until then what is allowed less, on the leader's way so far. */
    int cell = contact_cell(k, leads, schedule_at(leading, opens - 1));
    double cap = by->free_until[last][cell];
    for (int s = opens - 1; s >= stage; s--) {
        const int before = s > stage ? contact_cell(k, leads, schedule_at(leading, s - 1)) : cell;
        const int p = contact_phase(k, s);
        cap = fmin(cap, least_in(by->free_until[p], before, cell, k->mover[leads].cells));
        cell = before;
    }
    return cap;
}
