/* Passing in turns. The pairs of places at which two neighbours overlap by more than is allowed lie
 * in parts that do not hang together; of each part one of the two is ahead. With one leader for all
 * parts a tooth follows a schedule that is known before; in turns both are gone along stage by
 * stage, each as far as limits and the other leave it. */
#include "turns.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { NEVER = MC_MOST_STAGES + 1, MOST_PARTS = 4, MOST_WAYS = 2 + (1 << MOST_PARTS) };

/* ---- the parts in which two meet ---- */

/* Of the pairs of cells, right's and left's: 0 free, else the part it belongs to. */
typedef struct parts {
    int right, left; /* cells, one more in each */
    int count;
    unsigned char *of;
    int *stack;
} parts;

static unsigned char *part_at(const parts *p, int i, int j) {
    return &p->of[(size_t)i * (size_t)(p->left + 1) + (size_t)j];
}

static double place_of(int cell, int cells) {
    return cells > 0 ? (double)cell / cells : 0;
}

static bool meet_at(const contact *k, double right, double left, double *direction) {
    const oval a = mover_at(&k->mover[0], right), b = mover_at(&k->mover[1], left);
    const double too_much = contact_too_much(k);
    return oval_overlap_or_less(&a, &b, too_much, direction) > too_much;
}

/* Name everything that hangs together with a pair. */
static void name_part(parts *p, int i, int j, unsigned char name) {
    enum { UNNAMED = 255 };
    size_t depth = 0;
    *part_at(p, i, j) = name;
    p->stack[depth++] = i * (p->left + 1) + j;
    while (depth > 0) {
        const int at = p->stack[--depth], ai = at / (p->left + 1), aj = at % (p->left + 1);
        for (int n = 0; n < 9; n++) {
            const int ni = ai + n / 3 - 1, nj = aj + n % 3 - 1;
            if (ni >= 0 && ni <= p->right && nj >= 0 && nj <= p->left &&
                *part_at(p, ni, nj) == UNNAMED) {
                *part_at(p, ni, nj) = name;
                p->stack[depth++] = ni * (p->left + 1) + nj;
            }
        }
    }
}

/* False when out of memory. */
static bool parts_of(const contact *k, parts *p) {
    enum { UNNAMED = 255 };
    *p = (parts){.right = k->mover[0].cells, .left = k->mover[1].cells};
    const size_t pairs = (size_t)(p->right + 1) * (size_t)(p->left + 1);
    p->of = malloc(pairs);
    p->stack = malloc(pairs * sizeof *p->stack);
    if (!p->of || !p->stack) {
        return false;
    }
    double direction = NAN;
    for (int i = 0; i <= p->right; i++) {
        for (int j = 0; j <= p->left; j++) {
            const bool meet = meet_at(k, place_of(i, p->right), place_of(j, p->left), &direction);
            *part_at(p, i, j) = meet ? UNNAMED : 0;
        }
    }
    for (int i = 0; i <= p->right && p->count <= MOST_PARTS; i++) {
        for (int j = 0; j <= p->left && p->count <= MOST_PARTS; j++) {
            if (*part_at(p, i, j) == UNNAMED) {
                name_part(p, i, j, (unsigned char)++p->count);
            }
        }
    }
    return true;
}

static void parts_free(parts *p) {
    free(p->of);
    free(p->stack);
}

/* ---- the ways to pass a contact ---- */

/* As far as the left one may be by cells of the right one's way, and the other way round; NULL: as
 * far as it likes. */
typedef struct pass {
    leader leads;
    const double *until[2];
} pass;

typedef struct passes {
    pass of[MOST_WAYS];
    int count;
    double (*made)[2][MOST_CELLS + 1]; /* of those in turns */
} passes;

/* The last free place of the other before the pair of cells, which is not, with one of them
 * standing. */
static double free_before(const contact *k, int who, int cell, int other) {
    const int cells = k->mover[who].cells, others = k->mover[1 - who].cells;
    const double stands = place_of(cell, cells);
    double free = place_of(other - 1, others), met = place_of(other, others), direction = NAN;
    for (int i = 0; i < 12; i++) {
        const double middle = (free + met) / 2;
        if (who == 0 ? meet_at(k, stands, middle, &direction)
                     : meet_at(k, middle, stands, &direction)) {
            met = middle;
        } else {
            free = middle;
        }
    }
    return free;
}

/* In the parts of `ahead` one (0 right, 1 left) is ahead: the other goes no further than
 * where these begin now and later. */
static void fill_until(const contact *k, const parts *p, int who, unsigned ahead,
                       double out[MOST_CELLS + 1]) {
    const int cells = k->mover[who].cells, others = k->mover[1 - who].cells;
    double least = 1;
    for (int cell = cells; cell >= 0; cell--) {
        for (int other = 0; other <= others; other++) {
            const int part = who == 0 ? *part_at(p, cell, other) : *part_at(p, other, cell);
            if (part > 0 && ahead >> (part - 1) & 1) {
                least = fmin(least, other > 0 ? free_before(k, who, cell, other) : 0);
                break;
            }
        }
        out[cell] = least;
    }
}

/* Every way to have one ahead in some parts and the other in the rest. False when out of memory. */
static bool add_turns(const contact *k, passes *ways) {
    parts p;
    bool well = parts_of(k, &p);
    if (well && p.count > 1 && p.count <= MOST_PARTS) {
        const unsigned all = (1u << p.count) - 1;
        ways->made = malloc((all - 1) * sizeof *ways->made);
        well = ways->made != NULL;
        for (unsigned ahead = 1; well && ahead < all; ahead++) {
            double(*until)[MOST_CELLS + 1] = ways->made[ahead - 1];
            fill_until(k, &p, 0, ahead, until[0]);
            fill_until(k, &p, 1, all & ~ahead, until[1]);
            ways->of[ways->count++] = (pass){IN_TURNS, {until[0], until[1]}};
        }
    }
    parts_free(&p);
    return well;
}

static void add_leaders(const contact *k, passes *ways) {
    const int last = k->phases - 1;
    if (k->by[RIGHT_LEADS].possible) {
        ways->of[ways->count++] = (pass){RIGHT_LEADS, {k->by[RIGHT_LEADS].free_until[last], NULL}};
    }
    if (k->by[LEFT_LEADS].possible) {
        ways->of[ways->count++] = (pass){LEFT_LEADS, {NULL, k->by[LEFT_LEADS].free_until[last]}};
    }
}

/* ---- going along together ---- */

/* Nobody further than the other leaves it, beginning as far as the limits allow: what is left then
 * is the furthest that all may go together. */
static void hold_back(const chain *c, const pass *const chosen[MOST_PLACES - 1],
                      double next[MOST_PLACES]) {
    for (bool changed = true; changed;) {
        changed = false;
        for (int i = 0; i + 1 < c->count; i++) {
            for (int who = 0; who < 2 && chosen[i]; who++) {
                const double *until = chosen[i]->until[who];
                const int led = who == 0 ? i + 1 : i, leading = who == 0 ? i : i + 1;
                if (!until || !c->place[led].moves) {
                    continue;
                }
                const double most = until[contact_cell(&c->contact[i], who, next[leading])];
                if (most < next[led]) {
                    next[led] = most;
                    changed = true;
                }
            }
        }
    }
}

static void begin(const chain *c, schedule its[MOST_PLACES], double at[MOST_PLACES]) {
    for (int t = 0; t < c->count; t++) {
        at[t] = c->place[t].moves ? 0 : 1;
        its[t].last = c->place[t].moves ? NEVER : 0;
        its[t].lambda[0] = at[t];
    }
}

/* Stage by stage; the aligners, NEVER where they get stuck or it takes more than `most`. */
static int go_together(const chain *c, const pass *const chosen[MOST_PLACES - 1], int most,
                       schedule its[MOST_PLACES]) {
    double at[MOST_PLACES], next[MOST_PLACES];
    begin(c, its, at);
    for (int stage = 1; stage <= most; stage++) {
        bool moved = false, arrived = true;
        for (int t = 0; t < c->count; t++) {
            next[t] = at[t] < 1 ? way_furthest(&c->place[t].way, at[t]) : 1;
        }
        hold_back(c, chosen, next);
        for (int t = 0; t < c->count; t++) {
            moved = moved || next[t] > at[t];
            if (at[t] < 1 && next[t] >= 1) {
                its[t].last = stage;
            }
            at[t] = fmax(at[t], next[t]);
            its[t].lambda[stage] = at[t];
            arrived = arrived && at[t] >= 1;
        }
        if (arrived || !moved) {
            return arrived ? stage : NEVER;
        }
    }
    return NEVER;
}

/* ---- the search ---- */

typedef struct search {
    const chain *c;
    passes ways[MOST_PLACES - 1];
    const pass *chosen[MOST_PLACES - 1];
    schedule *its; /* of the choice tried */
    int most;      /* no more aligners than these are of use */
} search;

/* When all have arrived, and of equals the earlier arrivals. */
typedef struct merit {
    int last;
    long sum;
} merit;

static merit merit_of(search *s) {
    merit m = {go_together(s->c, s->chosen, s->most, s->its), 0};
    for (int t = 0; t < s->c->count && m.last < NEVER; t++) {
        m.sum += s->its[t].last;
    }
    return m;
}

static bool better(merit one, merit other) {
    return one.last != other.last ? one.last < other.last : one.sum < other.sum;
}

/* All ways together of the contacts that can be passed in turns, the others as they are. */
static merit try_turns(search *s, int i, merit best, const pass *best_chosen[MOST_PLACES - 1]) {
    while (i + 1 < s->c->count && !s->ways[i].made) {
        i++;
    }
    if (i + 1 >= s->c->count) {
        const merit m = merit_of(s);
        if (better(m, best)) {
            memcpy(best_chosen, s->chosen, sizeof s->chosen);
            best = m;
        }
        return best;
    }
    for (int w = 0; w < s->ways[i].count; w++) {
        s->chosen[i] = &s->ways[i].of[w];
        best = try_turns(s, i + 1, best, best_chosen);
    }
    return best;
}

/* One contact after the other passed otherwise, while that makes it better. */
static merit improve(search *s, merit best) {
    for (bool improved = true; improved;) {
        improved = false;
        for (int i = 0; i + 1 < s->c->count; i++) {
            const pass *kept = s->chosen[i];
            for (int w = 0; w < s->ways[i].count; w++) {
                s->chosen[i] = &s->ways[i].of[w];
                const merit m = merit_of(s);
                if (better(m, best)) {
                    best = m;
                    kept = s->chosen[i];
                    improved = true;
                }
            }
            s->chosen[i] = kept;
        }
    }
    return best;
}

static bool is_possible(const contact *k) {
    return k->by[RIGHT_LEADS].possible || k->by[LEFT_LEADS].possible;
}

/* The ways of every contact; false where one that has to be passed in turns cannot be, or nothing
 * can. */
static bool find_ways(search *s, const bool look_at[MOST_PLACES - 1],
                      const leader leads[MOST_PLACES - 1], bool *out_of_memory) {
    bool any = false;
    for (int i = 0; i + 1 < s->c->count; i++) {
        const contact *k = &s->c->contact[i];
        passes *ways = &s->ways[i];
        if (!k->meet) {
            continue;
        }
        if (k->phases > 1) {
            return false;
        }
        add_leaders(k, ways);
        if (look_at[i] && !add_turns(k, ways)) {
            *out_of_memory = true;
            return false;
        }
        if (ways->count == 0) {
            return false;
        }
        any = any || ways->made;
        s->chosen[i] = &ways->of[0];
        for (int w = 0; w < ways->count && is_possible(k); w++) {
            if (ways->of[w].leads == leads[i]) {
                s->chosen[i] = &ways->of[w];
            }
        }
    }
    return any;
}

static int search_turns(search *s, chain *c, leader leads[MOST_PLACES - 1],
                        schedule its[MOST_PLACES]) {
    const pass *best_chosen[MOST_PLACES - 1] = {NULL};
    merit best = try_turns(s, 0, (merit){NEVER, 0}, best_chosen);
    if (best.last == NEVER) {
        return 0;
    }
    memcpy(s->chosen, best_chosen, sizeof best_chosen);
    best = improve(s, best);
    go_together(c, s->chosen, best.last, its);
    for (int i = 0; i + 1 < c->count; i++) {
        leads[i] = s->chosen[i] ? s->chosen[i]->leads : NOBODY_LEADS;
        for (int who = 0; who < 2 && leads[i] == IN_TURNS; who++) {
            memcpy(c->contact[i].in_turns[who], s->chosen[i]->until[who],
                   sizeof c->contact[i].in_turns[who]);
        }
    }
    return best.last;
}

int turns_find(chain *c, const bool look_at[MOST_PLACES - 1], int fewer_than,
               leader leads[MOST_PLACES - 1], schedule its[MOST_PLACES], bool *out_of_memory) {
    search *s = calloc(1, sizeof *s);
    schedule *scratch = malloc(MOST_PLACES * sizeof *scratch);
    int found = 0;
    *out_of_memory = !s || !scratch;
    if (!*out_of_memory) {
        s->c = c;
        s->its = scratch;
        s->most = fewer_than - 1;
        if (find_ways(s, look_at, leads, out_of_memory)) {
            found = search_turns(s, c, leads, its);
        }
        for (int i = 0; i + 1 < c->count; i++) {
            free(s->ways[i].made);
        }
    }
    free(s);
    free(scratch);
    return found;
}

int turns_without(const chain *c, int without, const leader leads[MOST_PLACES - 1],
                  schedule scratch[MOST_PLACES]) {
    pass passed[MOST_PLACES - 1];
    const pass *chosen[MOST_PLACES - 1] = {NULL};
    for (int i = 0; i + 1 < c->count; i++) {
        const contact *k = &c->contact[i];
        if (i == without || leads[i] == NOBODY_LEADS) {
            continue;
        }
        passed[i] = (pass){leads[i],
                           {leads[i] == RIGHT_LEADS ? k->by[RIGHT_LEADS].free_until[k->phases - 1]
                            : leads[i] == IN_TURNS  ? k->in_turns[0]
                                                    : NULL,
                            leads[i] == LEFT_LEADS ? k->by[LEFT_LEADS].free_until[k->phases - 1]
                            : leads[i] == IN_TURNS ? k->in_turns[1]
                                                   : NULL}};
        chosen[i] = &passed[i];
    }
    return go_together(c, chosen, MC_MOST_STAGES, scratch);
}
