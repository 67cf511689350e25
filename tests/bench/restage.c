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

static void say(const char *what, double taken[ARCHES], int count) {
    qsort(taken, (size_t)count, sizeof *taken, by_size);
    if (count > 0)
        printf("%d crowded arches %s: median %.1f ms, nine in ten %.1f, worst %.1f\n", count, what,
               taken[count / 2], taken[count * 9 / 10], taken[count - 1]);
}

/* As many as it takes for so many series; of those without one as many at most. */
static void measure_arches(const mc_settings *settings) {
    static double series[ARCHES], none[ARCHES];
    static random_arch a;
    static mc_restaged out;
    int number = 0, with = 0, without = 0, longer = 0;
    while (with < ARCHES) {
        mc_plan *plan;
        mc_error error;
        draw_next(&number, &a);
        const double before = milliseconds();
        mc_restage(settings, &a.ask, &out, &plan, &error);
        const double taken = milliseconds() - before;
        if (plan) {
            series[with++] = taken;
            longer += out.stages[a.arch] > out.lower_bound[a.arch];
        } else if (without < ARCHES) {
            none[without++] = taken;
        }
        mc_plan_free(plan);
    }
    say("with a series", series, with);
    printf("of these %d have more aligners than the limits need\n", longer);
    say("without room for one", none, without);
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
