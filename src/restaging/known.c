/* Contacts already looked at, kept for the next time. */
#include "known.h"

#include <stdlib.h>
#include <string.h>

/* Of one contact: as it was before a change and after it, each looked at once and closer. */
enum { KEPT = 4 };

typedef struct kept {
    contact *look[KEPT]; /* NULL: none yet */
    int next;            /* the oldest, to be put aside */
} kept;

struct mc_restage_known {
    kept of[MC_TEETH]; /* by the tooth further to the patient's right */
};

mc_restage_known *mc_restage_known_new(void) {
    return calloc(1, sizeof(mc_restage_known));
}

void mc_restage_known_free(mc_restage_known *known) {
    for (mc_tooth tooth = 0; known && tooth < MC_TEETH; tooth++) {
        for (int i = 0; i < KEPT; i++) {
            free(known->of[tooth].look[i]);
        }
    }
    free(known);
}

static bool same_way(const mover *one, const mover *other) {
    const oval *a = &one->start, *b = &other->start;
    return a->x == b->x && a->y == b->y && a->along == b->along && a->a == b->a && a->b == b->b &&
           one->x == other->x && one->y == other->y && one->turn == other->turn &&
           one->speed == other->speed && one->cells == other->cells;
}

/* Whether contact_look comes to the same of both. */
static bool same_question(const contact *one, const contact *other) {
    bool same = one->left == other->left && one->care == other->care &&
                one->phases == other->phases && same_way(&one->mover[0], &other->mover[0]) &&
                same_way(&one->mover[1], &other->mover[1]);
    for (int p = 0; same && p < one->phases; p++) {
        same = one->phase[p].allowed == other->phase[p].allowed;
    }
    return same;
}

/* The answer alone, and of the grid only what is filled in: most of it is not. */
static void take_answer(const contact *from, contact *to) {
    to->start = from->start;
    to->end = from->end;
    to->meet = from->meet;
    for (int leader = 0; leader < 2 && from->meet; leader++) {
        const leading_by *its = &from->by[leader];
        leading_by *by = &to->by[leader];
        const size_t cells = (size_t)from->mover[leader].cells + 1;
        by->possible = its->possible;
        by->missing = its->missing;
        for (int p = 0; p < from->phases; p++) {
            by->edge[p] = its->edge[p];
            memcpy(by->free_until[p], its->free_until[p], cells * sizeof its->free_until[p][0]);
        }
    }
}

static void take_question(const contact *from, contact *to) {
    to->right = from->right;
    to->left = from->left;
    to->care = from->care;
    to->phases = from->phases;
    memcpy(to->phase, from->phase, sizeof to->phase);
    memcpy(to->mover, from->mover, sizeof to->mover);
}

/* Where there is no memory to keep it in, it is looked at again the next time. */
static void keep(kept *of, const contact *c) {
    contact **look = &of->look[of->next];
    if (!*look) {
        *look = malloc(sizeof **look);
    }
    if (*look) {
        take_question(c, *look);
        take_answer(c, *look);
        of->next = (of->next + 1) % KEPT;
    }
}

void known_look(mc_restage_known *known, contact *c) {
    kept *of = known ? &known->of[c->right] : NULL;
    for (int i = 0; of && i < KEPT; i++) {
        if (of->look[i] && same_question(of->look[i], c)) {
            take_answer(of->look[i], c);
            return;
        }
    }
    contact_look(c);
    if (of) {
        keep(of, c);
    }
}
