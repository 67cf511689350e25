/* The search finds what trying everything finds, for pairs and triples of neighbours; what is
 * compared stands in pairs.h. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "pairs.h"

enum { SEED = 21 };
#ifdef __SANITIZE_ADDRESS__
enum { PAIRS = 16, TRIPLES = 3, MANY = false };
#else
enum { PAIRS = 120, TRIPLES = 24, MANY = true };
#endif

static void compare(int teeth, int count) {
    int known = 0, none = 0, longer = 0;
    for (int i = 0; i < count; i++) {
        neighbours n;
        neighbours_draw(teeth, SEED, i, &n);
        const comparison c = neighbours_compare(&n);
        if (!comparison_agrees(&c)) {
            fail_msg("%d neighbours, number %d: %d aligners, by trying everything %d to %d "
                     "(%d: none)",
                     teeth, i, c.found, c.least, c.most, TRIED_NONE);
        }
        known += c.least == c.most;
        none += c.least == TRIED_NONE;
        longer += c.least > c.bound && c.least < TRIED_NONE;
    }
    print_message("%d times %d neighbours: N known exactly in %d, none in %d, above the bound in "
                  "%d\n",
                  count, teeth, known, none, longer);
    assert_true(known > count / 4);
    assert_true(none > 0 || !MANY);
    assert_true(longer > 0 || !MANY);
}

static void pairs(void **state) {
    (void)state;
    compare(2, PAIRS);
}

static void triples(void **state) {
    (void)state;
    compare(3, TRIPLES);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pairs),
        cmocka_unit_test(triples),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
