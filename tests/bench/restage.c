/* How long re-staging takes: random crowded arches of 14 to 16 teeth whose crowns are in each
 * other's way, each to the fewest aligners; and the depth of an overlap alone. Prints
 * milliseconds and microseconds of processor time. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "../arches/generator.h"

enum { ARCHES = 200, LEAST_TEETH = 14, SEED = 20 };

static double milliseconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

static int by_size(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Crowded arches, one after the other, those with fewer teeth left out. */
static void draw_next(int *number, random_arch *a) {
    do {
        arch_draw(CROWDED, SEED, (*number)++, a);
    } while (a->teeth < LEAST_TEETH);
}

static void measure_arches(const mc_settings *settings) {
    static double taken[ARCHES];
    static random_arch a;
    static mc_restaged out;
    int number = 0, worst = 0, blocked = 0, longer = 0;
    for (int i = 0; i < ARCHES; i++) {
        mc_plan *plan;
        mc_error error;
        draw_next(&number, &a);
        const double before = milliseconds();
        mc_restage(settings, &a.ask, &out, &plan, &error);
        taken[i] = milliseconds() - before;
        worst = taken[i] > taken[worst] ? i : worst;
        blocked += out.blocked;
        longer += out.stages[a.arch] > out.lower_bound[a.arch];
        mc_plan_free(plan);
    }
    const double most = taken[worst];
    qsort(taken, ARCHES, sizeof *taken, by_size);
    printf(
        "%d crowded arches (%d blocked, %d longer than the limits need): median %.1f ms, nine in "
        "ten %.1f, worst %.1f\n",
        ARCHES, blocked, longer, taken[ARCHES / 2], taken[ARCHES * 9 / 10], most);
}

/* Neighbours of an arch at places on their ways. */
enum { PAIRS = 4000, TIMES = 20 };

typedef struct pair {
    mc_tooth tooth[2];
    mc_crown crown[2];
} pair;

static void draw_pair(random_source *random, pair *p) {
    static random_arch a;
    arch_draw(CROWDED, SEED, random_below(random, 50), &a);
    const int i = random_below(random, a.teeth - 1);
    for (int k = 0; k < 2; k++) {
        p->tooth[k] = a.tooth[i + k];
        mc_pose part;
        const double lambda = random_unit(random);
        for (int c = 0; c < MC_COMPONENTS; c++)
            part.c[c] = lambda * a.remaining[p->tooth[k]].c[c];
        p->crown[k] = mc_crown_moved(p->tooth[k], &a.ask.crown[p->tooth[k]], &part);
    }
}

static void measure_depth(void) {
    static pair pairs[PAIRS];
    random_source random = random_seed(SEED);
    double sum = 0;
    for (int i = 0; i < PAIRS; i++)
        draw_pair(&random, &pairs[i]);
    const double before = milliseconds();
    for (int n = 0; n < TIMES; n++) {
        for (int i = 0; i < PAIRS; i++) {
            const pair *p = &pairs[i];
            sum += mc_crown_overlap(p->tooth[0], &p->crown[0], p->tooth[1], &p->crown[1]);
        }
    }
    printf("the depth of an overlap: %.2f us (mean of %d neighbours, %.3f mm)\n",
           1e3 * (milliseconds() - before) / TIMES / PAIRS, PAIRS, sum / TIMES / PAIRS);
}

int main(void) {
    mc_settings settings;
    mc_settings_defaults(&settings);
    measure_arches(&settings);
    measure_depth();
    return 0;
}
