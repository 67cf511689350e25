/* The exact search over who leads at each contact. The contacts of teeth that may meet form paths.
 * Along a path, whatever the choice, some teeth lead both neighbours (sources), others follow both
 * (sinks), and from a source to the next sink each tooth follows the one before. A tooth's schedule
 * depends on the source its leaders begin with, and a sink's on two; so the best of all choices is
 * found by going along the path from source to source. */
#include "lead.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { NEVER = MC_MOST_STAGES + 1, UNKNOWN = -1 };

struct lead {
    const chain *chain;
    /* [s][t]: of t where its leaders begin with source s; [s][s] of the source itself */
    schedule *reached[MOST_PLACES][MOST_PLACES];
    /* when t has arrived that follows those from s on its right and u on its left */
    int both[MOST_PLACES][MOST_PLACES][MOST_PLACES];
    int without; /* a contact taken as if its two never met; -1: none */
    int enough;  /* arriving by then is soon enough: of such choices the sum decides */
    bool out_of_memory;
    schedule scratch;
};

lead *lead_new(const chain *c) {
    lead *l = calloc(1, sizeof *l);
    if (l) {
        l->chain = c;
        l->without = -1;
        memset(l->both, UNKNOWN, sizeof l->both);
    }
    return l;
}

static void forget(lead *l) {
    for (int s = 0; s < MOST_PLACES; s++) {
        for (int t = 0; t < MOST_PLACES; t++) {
            free(l->reached[s][t]);
            l->reached[s][t] = NULL;
        }
    }
    memset(l->both, UNKNOWN, sizeof l->both);
}

void lead_free(lead *l) {
    if (l) {
        forget(l);
    }
    free(l);
}

/* A contact that is opened later keeps even its leader waiting: schedules with it are none without
 * it. */
static void take_without(lead *l, int without) {
    const int was = l->without;
    l->without = without;
    if (was != without && ((was >= 0 && l->chain->contact[was].phases > 1) ||
                           (without >= 0 && l->chain->contact[without].phases > 1))) {
        forget(l);
    }
}

bool lead_out_of_memory(const lead *l) {
    return l->out_of_memory;
}

/* ---- schedules ---- */

/* Whom a tooth follows, and whom it leads. */
typedef struct stand {
    const schedule *right, *left; /* of the neighbour that leads it; NULL */
    bool leads_right, leads_left;
} stand;

static double most_at(const chain *c, int t, const stand *with, int stage) {
    double most = 1;
    if (with->right) {
        most = fmin(most, chain_cap(c, t - 1, RIGHT_LEADS, with->right, stage));
    }
    if (with->left) {
        most = fmin(most, chain_cap(c, t, LEFT_LEADS, with->left, stage));
    }
    if (with->leads_right) {
        most = fmin(most, chain_edge(c, t - 1, LEFT_LEADS, stage));
    }
    if (with->leads_left) {
        most = fmin(most, chain_edge(c, t, RIGHT_LEADS, stage));
    }
    return most;
}

/* The last stage at which something about where the tooth may be changes. */
static int settled_after(const chain *c, int t, const stand *with) {
    int after = 0;
    for (int i = t - 1; i <= t; i++) {
        if (i >= 0 && i + 1 < c->count) {
            const contact *k = &c->contact[i];
            const int opens = k->phase[k->phases - 1].from;
            after = opens > after ? opens : after;
        }
    }
    after = with->right && with->right->last > after ? with->right->last : after;
    return with->left && with->left->last > after ? with->left->last : after;
}

/* As far as it may with every aligner: the largest schedule that there is. */
static void go(const chain *c, int t, const stand *with, schedule *out) {
    const place *l = &c->place[t];
    const int settled = settled_after(c, t, with);
    double at = l->moves ? 0 : 1;
    int stage = 0;
    out->lambda[0] = at;
    while (at < 1 && stage < MC_MOST_STAGES) {
        const double next = fmin(way_furthest(&l->way, at), most_at(c, t, with, ++stage));
        if (next <= at && stage > settled) {
            break;
        }
        at = fmax(at, next);
        out->lambda[stage] = at;
    }
    out->last = at < 1 ? NEVER : stage;
}

static bool meets(const chain *c, int i) {
    return i >= 0 && i + 1 < c->count && c->contact[i].meet;
}

static schedule *reached(lead *l, int s, int t) {
    const chain *c = l->chain;
    if (l->reached[s][t]) {
        return l->reached[s][t];
    }
    stand with = {.leads_right = t <= s && t - 1 != l->without && meets(c, t - 1),
                  .leads_left = t >= s && t != l->without && meets(c, t)};
    if (t > s) {
        with.right = reached(l, s, t - 1);
    } else if (t < s) {
        with.left = reached(l, s, t + 1);
    }
    schedule *made = malloc(sizeof *made);
    if (!made || (t > s && !with.right) || (t < s && !with.left)) {
        free(made);
        l->out_of_memory = true;
        return NULL;
    }
    go(c, t, &with, made);
    l->reached[s][t] = made;
    return made;
}

/* When t has arrived whose leaders begin with s; NEVER where one on the way cannot lead. */
static int arrives(lead *l, int s, int t) {
    const leader leads = t > s ? RIGHT_LEADS : LEFT_LEADS;
    for (int i = t > s ? s : t; i < (t > s ? t : s); i++) {
        if (!l->chain->contact[i].by[leads].possible) {
            return NEVER;
        }
    }
    const schedule *its = reached(l, s, t);
    return its ? its->last : NEVER;
}

static void follow_both(lead *l, int s, int t, int u, schedule *out) {
    const stand with = {.right = reached(l, s, t - 1), .left = reached(l, u, t + 1)};
    if (with.right && with.left) {
        go(l->chain, t, &with, out);
    } else {
        out->last = NEVER;
    }
}

/* When the sink t has arrived between the sources s and u. */
static int arrives_between(lead *l, int s, int t, int u) {
    int *known = &l->both[s][t][u];
    if (*known == UNKNOWN) {
        *known = NEVER;
        if (l->chain->contact[t - 1].by[RIGHT_LEADS].possible &&
            l->chain->contact[t].by[LEFT_LEADS].possible && arrives(l, s, t - 1) < NEVER &&
            arrives(l, u, t + 1) < NEVER) {
            follow_both(l, s, t, u, &l->scratch);
            *known = l->scratch.last;
        }
    }
    return *known;
}

/* ---- the choice ---- */

/* What a piece of the path comes to: when its last tooth has arrived (0: soon enough), and of
 * equals the earlier arrivals; of those the leaders further from the midline, so that a mirrored
 * mouth is led the same way. */
typedef struct cost {
    int last;
    double sum;
} cost;

static bool better(const cost *one, const cost *other) {
    return one->last != other->last ? one->last < other->last : one->sum < other->sum - 1e-9;
}

static void add_arrival(lead *l, cost *so_far, int stage, int leader_of) {
    so_far->last = stage > l->enough && stage > so_far->last ? stage : so_far->last;
    so_far->sum += stage - 1e-3 * mc_tooth_position(l->chain->place[leader_of].tooth);
}

/* From source s along to t, t following the last but one. */
static void add_run(lead *l, cost *so_far, int s, int t) {
    for (int i = s; i != t;) {
        const int before = i;
        i += t > s ? 1 : -1;
        add_arrival(l, so_far, arrives(l, s, i), before);
    }
}

/* From source s by the sink t to source u, u itself with them. */
static cost between(lead *l, cost so_far, int s, int t, int u) {
    add_run(l, &so_far, s, t - 1);
    add_run(l, &so_far, u, t + 1);
    add_arrival(l, &so_far, arrives_between(l, s, t, u), t - 1);
    so_far.sum -= 1e-3 * mc_tooth_position(l->chain->place[t + 1].tooth);
    add_arrival(l, &so_far, arrives(l, u, u), u);
    return so_far;
}

typedef struct path {
    cost best[MOST_PLACES];                     /* up to a source, itself with them */
    int source[MOST_PLACES], sink[MOST_PLACES]; /* before it; -1: it is the first */
} path;

/* The best of a path from place a to place b, all of whose contacts meet; *last is its last source.
 */
static cost along(lead *l, int a, int b, path *p, int *last) {
    cost best = {NEVER + 1, 0};
    for (int u = a; u <= b; u++) {
        p->best[u] = (cost){0, 0};
        p->source[u] = p->sink[u] = -1;
        add_run(l, &p->best[u], u, a);
        add_arrival(l, &p->best[u], arrives(l, u, u), u);
        for (int s = a; s < u - 1; s++) {
            for (int t = s + 1; t < u; t++) {
                const cost by = between(l, p->best[s], s, t, u);
                if (better(&by, &p->best[u])) {
                    p->best[u] = by;
                    p->source[u] = s;
                    p->sink[u] = t;
                }
            }
        }
        cost whole = p->best[u];
        add_run(l, &whole, u, b);
        if (better(&whole, &best)) {
            best = whole;
            *last = u;
        }
    }
    return best;
}

/* The end of the path that begins at place a. */
static int path_end(const chain *c, int a, int without) {
    int b = a;
    while (meets(c, b) && b != without) {
        b++;
    }
    return b;
}

int lead_fewest(lead *l, int without) {
    const chain *c = l->chain;
    path p;
    int fewest = 0, last;
    take_without(l, without);
    l->enough = 0;
    for (int a = 0; a < c->count;) {
        const int b = path_end(c, a, without);
        const cost its = along(l, a, b, &p, &last);
        fewest = its.last > fewest ? its.last : fewest;
        a = b + 1;
    }
    return fewest;
}

/* The teeth from source s to t, t following the last but one. */
static void lead_run(lead *l, int s, int t, leader leads[MOST_PLACES - 1],
                     schedule out[MOST_PLACES]) {
    for (int i = s; i != t;) {
        leads[t > s ? i : i - 1] = t > s ? RIGHT_LEADS : LEFT_LEADS;
        i += t > s ? 1 : -1;
        out[i] = *reached(l, s, i);
    }
}

static void lead_path(lead *l, int a, int b, leader leads[MOST_PLACES - 1],
                      schedule out[MOST_PLACES]) {
    path p;
    int u = a;
    along(l, a, b, &p, &u);
    lead_run(l, u, b, leads, out);
    for (;;) {
        const int s = p.source[u], t = p.sink[u];
        out[u] = *reached(l, u, u);
        if (s < 0) {
            break;
        }
        lead_run(l, u, t + 1, leads, out);
        lead_run(l, s, t - 1, leads, out);
        leads[t - 1] = RIGHT_LEADS;
        leads[t] = LEFT_LEADS;
        follow_both(l, s, t, u, &out[t]);
        u = s;
    }
    lead_run(l, u, a, leads, out);
}

void lead_choose(lead *l, int stages, leader leads[MOST_PLACES - 1], schedule out[MOST_PLACES]) {
    const chain *c = l->chain;
    take_without(l, -1);
    l->enough = stages;
    for (int i = 0; i + 1 < c->count; i++) {
        leads[i] = NOBODY_LEADS;
    }
    for (int a = 0; a < c->count;) {
        const int b = path_end(c, a, -1);
        lead_path(l, a, b, leads, out);
        a = b + 1;
    }
}
