/* Trying everything, on neighbours whose fewest aligners can be told by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "pairs.h"

/* Crowns 4 mm wide and 8 thick at 90 deg: 13 on the right, 12 mesial of it on the left. Right is
 * distal for both. */
static tried two(double apart, int aligners, int other_aligners) {
    tried t = {.teeth = 2, .cells = 8, .allowed = {0.05, 0.05}};
    t.tooth[0] = mc_tooth_from_iso(13);
    t.tooth[1] = mc_tooth_from_iso(12);
    for (int i = 0; i < 2; i++) {
        t.crown[i] = (mc_crown){.stands = true,
                                .right = i == 0 ? apart : 0,
                                .outward_deg = 90,
                                .width = 4,
                                .thickness = 8};
    }
    t.aligners[0] = aligners;
    t.aligners[1] = other_aligners;
    return t;
}

static void apart_they_need_what_the_slower_needs(void **state) {
    (void)state;
    tried t = two(30, 3, 7);
    t.remaining[0].c[MC_MESIAL] = 1;
    t.remaining[1].c[MC_BUCCAL] = 2;
    long hits = -1;
    assert_int_equal(tried_fewest(&t, 0, &hits), 7);
    assert_int_equal(hits, 0);
}

/* The one that goes first is slow, and the other behind it is as fast as it likes. */
static void one_behind_the_other(void **state) {
    (void)state;
    tried t = two(4, 2, 8);
    t.remaining[0].c[MC_MESIAL] = 2;
    t.remaining[1].c[MC_MESIAL] = 2;
    long hits;
    assert_int_equal(tried_fewest(&t, 0, &hits), 8);
    assert_true(hits > 0);
}

/* 12 has to leave the row (to the outside, past the thickness of 13) before 13 can come: 8 mm in 8
 * aligners, and 13 has only the last of them and those after it for its 4. */
static void one_waits(void **state) {
    (void)state;
    tried t = two(4, 8, 8);
    t.remaining[0].c[MC_MESIAL] = 4;
    t.remaining[1].c[MC_BUCCAL] = 8;
    const int n = tried_fewest(&t, 0, NULL);
    assert_true(n > 8 + 4);
    assert_true(n <= 8 + 8);
    t.allowed[0] = 20; /* crowns that may overlap as they like */
    assert_int_equal(tried_fewest(&t, 0, NULL), 8);
}

static void none_changes_places_in_a_row(void **state) {
    (void)state;
    tried t = two(4, 8, 8);
    t.remaining[0].c[MC_MESIAL] = 6;
    t.remaining[1].c[MC_MESIAL] = -6;
    assert_int_equal(tried_fewest(&t, 0, NULL), TRIED_NONE);
    t.remaining[0].c[MC_MESIAL] = 1; /* the target overlaps */
    t.remaining[1].c[MC_MESIAL] = 0;
    t.aligners[1] = 0;
    assert_int_equal(tried_fewest(&t, 0, NULL), TRIED_NONE);
    t.allowed[0] = 1.001;
    assert_int_equal(tried_fewest(&t, 0, NULL), 8);
}

/* Three in a row, each into the place of the next: the first a cell before the others, all with the
 * same aligner. Then the first stays where it is. */
static void three_go_one_after_another(void **state) {
    (void)state;
    tried t = two(4, 4, 4);
    t.teeth = 3;
    t.tooth[2] = mc_tooth_from_iso(11);
    t.crown[2] = t.crown[1];
    t.crown[2].right = -4;
    t.aligners[2] = 4;
    for (int i = 0; i < 3; i++) {
        t.remaining[i].c[MC_MESIAL] = 3;
    }
    assert_int_equal(tried_fewest(&t, 0, NULL), 4);
    t.aligners[2] = 7; /* and all wait for it */
    assert_int_equal(tried_fewest(&t, 0, NULL), 7);
    t.aligners[2] = 0;
    memset(&t.remaining[2], 0, sizeof t.remaining[2]);
    assert_int_equal(tried_fewest(&t, 0, NULL), TRIED_NONE);
    t.crown[2].right = -7;
    assert_int_equal(tried_fewest(&t, 0, NULL), 4);
}

static void the_same_neighbours_again(void **state) {
    (void)state;
    neighbours a, b, other;
    neighbours_draw(3, 5, 7, &a);
    neighbours_draw(3, 5, 7, &b);
    neighbours_draw(3, 5, 8, &other);
    assert_memory_equal(&a.tried, &b.tried, sizeof a.tried);
    assert_memory_not_equal(&a.tried, &other.tried, sizeof a.tried);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(apart_they_need_what_the_slower_needs),
        cmocka_unit_test(one_behind_the_other),
        cmocka_unit_test(one_waits),
        cmocka_unit_test(none_changes_places_in_a_row),
        cmocka_unit_test(three_go_one_after_another),
        cmocka_unit_test(the_same_neighbours_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
