/* Random arches are what they are said to be. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "judge.h"
#include "near.h"

enum { SEED = 20, DRAWN = 24 };

static double overlap(const random_arch *a, const mc_crown *crowns, int i, int other) {
    const mc_tooth one = a->tooth[i], two = a->tooth[other];
    return mc_crown_overlap(one, &crowns[one], two, &crowns[two]);
}

static void the_same_arch_again(void **state) {
    (void)state;
    random_arch a, b, other;
    arch_draw(CROWDED, SEED, 3, &a);
    arch_draw(CROWDED, SEED, 3, &b);
    arch_draw(CROWDED, SEED, 4, &other);
    assert_memory_equal(&a, &b, sizeof a);
    assert_memory_not_equal(&a.ask, &other.ask, sizeof a.ask);
}

/* Neighbours in order, each the other's in the dentition too. */
static void check_order(const random_arch *a) {
    bool standing[MC_TEETH];
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        standing[tooth] = a->ask.crown[tooth].stands;
        assert_int_equal(a->ask.task[tooth].gone, !standing[tooth]);
    }
    for (int i = 0; i + 1 < a->teeth; i++) {
        const mc_tooth tooth = a->tooth[i];
        assert_int_equal(mc_tooth_is_right(tooth) ? mc_tooth_mesial(tooth, standing)
                                                  : mc_tooth_distal(tooth, standing),
                         a->tooth[i + 1]);
        assert_true(a->ask.crown[tooth].right > a->ask.crown[a->tooth[i + 1]].right - 8);
    }
}

static void targets_and_starts(void **state) {
    (void)state;
    for (int kind = 0; kind < ARCH_KINDS; kind++) {
        int touching = 0, contacts = 0, moving = 0, lower = 0;
        for (int n = 0; n < DRAWN; n++) {
            random_arch a;
            arch_draw((arch_kind)kind, SEED, n, &a);
            check_order(&a);
            lower += a.arch == MC_LOWER;
            for (int i = 0; i + 1 < a.teeth; i++) {
                const double target = overlap(&a, a.target, i, i + 1);
                const double ipr = arch_ipr_by(&a, i, 99, 99);
                contacts++;
                touching += fabs(target - ipr) < 1e-6;
                assert_true(target < ipr + (kind == CROWDED ? 0.301 : 1e-6));
                assert_true(overlap(&a, a.ask.crown, i, i + 1) < fmax(0.301, target + 0.021));
                moving += a.ask.task[a.tooth[i]].move;
            }
            for (int i = 0; i < a.teeth; i++) {
                const mc_tooth tooth = a.tooth[i];
                const mc_crown end =
                    mc_crown_moved(tooth, &a.ask.crown[tooth], &a.remaining[tooth]);
                assert_near(end.right, a.target[tooth].right, 1e-9);
                assert_near(end.turned_deg, a.target[tooth].turned_deg, 1e-9);
            }
        }
        assert_true(kind == SPACED ? touching == 0 : touching > contacts * 8 / 10);
        assert_in_range(moving, contacts * 8 / 10, contacts - 1);
        assert_in_range(lower, 1, DRAWN - 1);
    }
}

/* Crowded arches have crowns out of their row, which crossed ways come from. */
static void crowded_is_crowded(void **state) {
    (void)state;
    int lapped[ARCH_KINDS] = {0};
    for (int kind = 0; kind < ARCH_KINDS; kind++) {
        for (int n = 0; n < DRAWN; n++) {
            random_arch a;
            arch_draw((arch_kind)kind, SEED, n, &a);
            lapped[kind] += !arch_even_never_meets(&a, 999, 0);
        }
    }
    assert_true(lapped[SPACED] < DRAWN / 5);
    assert_true(lapped[CROWDED] > DRAWN * 9 / 10);
}

static void ipr_is_granted_between(void **state) {
    (void)state;
    random_arch a;
    arch_draw(SPACED, SEED, 0, &a);
    memset(a.ask.ipr, 0, sizeof a.ask.ipr);
    int i = 0;
    while (mc_tooth_is_right(a.tooth[i])) {
        i++;
    }
    i--; /* the last of the right side: its mesial contact is across the midline */
    a.ask.ipr[a.tooth[i]].mesial = (mc_ipr){0.2, 4};
    a.ask.ipr[a.tooth[i + 1]].mesial = (mc_ipr){0.1, 0};
    assert_near(arch_ipr_by(&a, i, 1, 10), 0.1, 1e-12);
    assert_near(arch_ipr_by(&a, i, 4, 10), 0.3, 1e-12);
    assert_near(arch_ipr_by(&a, i, 3, 3), 0.3, 1e-12);
    assert_near(arch_ipr_by(&a, i + 1, 9, 10), 0, 0);
    arch_grant(&a, i, 0.5);
    assert_near(arch_ipr_by(&a, i, 1, 10), 0.6, 1e-12);
    const random_arch m = arch_mirrored(&a);
    assert_near(arch_ipr_by(&m, a.teeth - 2 - i, 1, 10), 0.6, 1e-12);
    assert_near(overlap(&m, m.ask.crown, m.teeth - 2, m.teeth - 1), overlap(&a, a.ask.crown, 1, 0),
                1e-9);
    const random_arch p = arch_placed(&a, 77, 10, -20);
    assert_near(overlap(&p, p.ask.crown, 1, 2), overlap(&a, a.ask.crown, 1, 2), 1e-9);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_arch_again),
        cmocka_unit_test(targets_and_starts),
        cmocka_unit_test(crowded_is_crowded),
        cmocka_unit_test(ipr_is_granted_between),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
