/* The new series of random arches is what was promised, at every stage; restage_arches looks at
 * more of them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "judge.h"

enum { SEED = 20 };
#ifdef __SANITIZE_ADDRESS__
enum { DRAWN = 8, MANY = false };
#else
enum { DRAWN = 30, MANY = true };
#endif

typedef struct counted {
    int series, at_bound, blocked;
} counted;

static counted judge_all(arch_kind kind) {
    counted c = {0};
    for (int i = 0; i < DRAWN; i++) {
        random_arch a;
        arch_draw(kind, SEED, i, &a);
        arch_run run = arch_restage(&a);
        const fault found = arch_judge(&a, &run);
        if (found.text[0]) {
            fail_msg("%s arch %d: %s", arch_kind_name(kind), i, found.text);
        }
        c.series += run.plan != NULL;
        c.at_bound += run.plan != NULL && arch_stages(&a, &run) == arch_bound(&a, &run);
        c.blocked += run.out.blocked;
        arch_run_free(&run);
    }
    return c;
}

static void spaced(void **state) {
    (void)state;
    const counted c = judge_all(SPACED);
    assert_true(c.at_bound > DRAWN * 3 / 4);
}

static void touching(void **state) {
    (void)state;
    const counted c = judge_all(TOUCHING);
    assert_true(c.series > DRAWN / 2);
}

static void crowded(void **state) {
    (void)state;
    const counted c = judge_all(CROWDED);
    assert_true(c.series > 0);
    assert_true(c.at_bound < c.series || !MANY);
    assert_true(c.blocked > 0);
}

/* Arches in which a follower that waits for the end of a cell of the usual grid costs an aligner:
 * with cells an eighth as long they need so many. */
static void nobody_waits_for_the_grid(void **state) {
    (void)state;
    static const int arches[] = {43, 98, 135}, fewest[] = {23, 20, 14};
    for (int i = 0; i < 3; i++) {
        random_arch a;
        arch_draw(CROWDED, SEED, arches[i], &a);
        arch_run run = arch_restage(&a);
        assert_int_equal(arch_stages(&a, &run), fewest[i]);
        arch_run_free(&run);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spaced),
        cmocka_unit_test(touching),
        cmocka_unit_test(crowded),
        cmocka_unit_test(nobody_waits_for_the_grid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
