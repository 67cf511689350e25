/* Prints what the search for the shortest series makes of random arches, and what trying everything
 * makes of random neighbours: restage_arches [ARCHES [SEED]]. Ends with 1 where anything promised
 * does not hold. DEVELOPERS.md tells what is drawn and what was seen. */
#include <stdio.h>
#include <stdlib.h>

#include "judge.h"
#include "pairs.h"

enum { MOST_ARCHES = 100000, LONGER = 12 };

/* What was seen of one kind of arch. */
typedef struct seen {
    int arches, at_bound, blocked, by_target, faults, meeting;
    int in_turns; /* blocked contacts that could be passed, each tooth leading in turn */
    size_t series, rooms;
    double *longer;            /* N - bound of every series */
    double *times;             /* N / bound */
    double *seconds;           /* of every arch */
    double *missing;           /* mm, of every contact that blocks */
    int histogram[LONGER + 1]; /* N - bound; the last: so many or more */
    double beyond;             /* the deepest that crowns overlap which are not neighbours */
    int beyond_often;          /* series in which some do by more than 0.05 mm and at the start */
} seen;

static int by_size(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The value that a share of them does not pass. */
static double quantile(double *values, size_t n, double share) {
    qsort(values, n, sizeof *values, by_size);
    return n > 0 ? values[(size_t)((double)(n - 1) * share)] : NAN;
}

static bool seen_start(seen *s, size_t arches) {
    s->longer = malloc(arches * sizeof *s->longer);
    s->times = malloc(arches * sizeof *s->times);
    s->seconds = malloc(arches * sizeof *s->seconds);
    s->missing = malloc(arches * MC_MOST_CONTACTS * sizeof *s->missing);
    s->beyond = -INFINITY;
    return s->longer && s->times && s->seconds && s->missing;
}

static void seen_end(seen *s) {
    free(s->longer);
    free(s->times);
    free(s->seconds);
    free(s->missing);
}

static void count_blocked(seen *s, const random_arch *a, const arch_run *run) {
    bool target = false;
    size_t k = 0;
    for (int i = 0; i + 1 < a->teeth && k < run->out.contacts; i++) {
        const mc_restaged_contact *of = &run->out.contact[k];
        if (of->right != a->tooth[i]) {
            continue;
        }
        k++;
        if (of->missing > 0) {
            s->in_turns += arch_can_pass(a, i, 0.002);
            s->missing[s->rooms++] = of->missing;
            target = target || of->target_overlaps;
        }
    }
    s->blocked++;
    s->by_target += target;
}

static void count_series(seen *s, const random_arch *a, const arch_run *run) {
    const int n = arch_stages(a, run), bound = arch_bound(a, run), more = n - bound;
    bool meets = false;
    for (size_t i = 0; i < run->out.contacts; i++) {
        meets = meets || run->out.contact[i].leads != MC_NO_TOOTH;
    }
    s->meeting += meets;
    s->at_bound += more == 0;
    s->histogram[more < LONGER ? more : LONGER]++;
    s->longer[s->series] = more;
    s->times[s->series++] = bound > 0 ? (double)n / bound : 1;
    const double beyond = arch_beyond_neighbours(a, run);
    s->beyond = fmax(s->beyond, beyond);
    s->beyond_often += beyond > 0.35;
}

static void look_at(seen *s, arch_kind kind, uint64_t seed, int number) {
    random_arch a;
    arch_draw(kind, seed, number, &a);
    arch_run run = arch_restage(&a);
    const fault found = arch_judge(&a, &run);
    s->seconds[s->arches++] = run.seconds;
    if (found.text[0]) {
        s->faults++;
        printf("FAULT %s arch %d: %s\n", arch_kind_name(kind), number, found.text);
    } else if (run.out.blocked) {
        count_blocked(s, &a, &run);
    } else {
        count_series(s, &a, &run);
    }
    arch_run_free(&run);
}

static void print_seen(const char *kind, seen *s) {
    printf("%-9s %5d arches: %d series, of them %d at the bound, %d with crowns that would meet; "
           "%d blocked, of them %d by a target; %d faults\n",
           kind, s->arches, (int)s->series, s->at_bound, s->meeting, s->blocked, s->by_target,
           s->faults);
    static const double shares[] = {0.5, 0.75, 0.9, 0.95, 0.99, 1};
    printf("          N - bound and N / bound, quantiles:");
    for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
        printf("  %.0f %%: %.0f, %.2f", 100 * shares[i], quantile(s->longer, s->series, shares[i]),
               quantile(s->times, s->series, shares[i]));
    }
    printf("\n          N - bound, how many:");
    for (int i = 0; i <= LONGER; i++) {
        printf("  %d%s: %d", i, i == LONGER ? "+" : "", s->histogram[i]);
    }
    printf("\n          %d of %zu blocked contacts could be passed in turns; mm missing: ",
           s->in_turns, s->rooms);
    for (int i = 0; i < 6 && s->rooms > 0; i++) {
        printf("  %.0f %%: %.2f", 100 * shares[i], quantile(s->missing, s->rooms, shares[i]));
    }
    printf("\n          ms an arch: median %.2f, worst %.2f; next but one overlap by %.2f mm at "
           "most, in %d series by more than 0.35\n",
           1e3 * quantile(s->seconds, (size_t)s->arches, 0.5),
           1e3 * quantile(s->seconds, (size_t)s->arches, 1), s->beyond, s->beyond_often);
}

static int look_at_kind(arch_kind kind, uint64_t seed, int arches) {
    seen s = {0};
    int faults = 1;
    if (seen_start(&s, (size_t)arches)) {
        for (int i = 0; i < arches; i++) {
            look_at(&s, kind, seed, i);
        }
        print_seen(arch_kind_name(kind), &s);
        faults = s.faults;
    }
    seen_end(&s);
    return faults;
}

static int look_at_neighbours(int teeth, uint64_t seed, int count) {
    int known = 0, none = 0, meeting = 0, longer = 0, faults = 0;
    for (int i = 0; i < count; i++) {
        neighbours n;
        neighbours_draw(teeth, seed, i, &n);
        const comparison c = neighbours_compare(&n);
        known += c.least == c.most;
        none += c.found == TRIED_NONE;
        meeting += c.meets;
        longer += c.found != TRIED_NONE && c.found > c.bound;
        if (!comparison_agrees(&c)) {
            faults++;
            printf("FAULT %d neighbours, number %d: %d aligners, by trying %d to %d (%d: none)\n",
                   teeth, i, c.found, c.least, c.most, TRIED_NONE);
        }
    }
    printf("%d times %d neighbours, %d that would meet: N within what trying everything leaves in "
           "%d, known exactly in %d; above the bound in %d; none in %d\n",
           count, teeth, meeting, count - faults, known, longer, none);
    return faults;
}

int main(int argc, char **argv) {
    const int arches = argc > 1 ? atoi(argv[1]) : 1000;
    const uint64_t seed = argc > 2 ? strtoull(argv[2], NULL, 10) : 20;
    if (arches < 1 || arches > MOST_ARCHES) {
        (void)fprintf(stderr, "restage_arches [ARCHES [SEED]]\n");
        return 2;
    }
    printf("%d arches of each kind, seed %llu\n", arches, (unsigned long long)seed);
    int faults = 0;
    for (int kind = 0; kind < ARCH_KINDS; kind++) {
        faults += look_at_kind((arch_kind)kind, seed, arches);
    }
    faults += look_at_neighbours(2, seed, 2 * arches);
    faults += look_at_neighbours(3, seed, (arches + 1) / 2);
    printf("faults: %d\n", faults);
    return faults > 0;
}
