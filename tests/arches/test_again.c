/* Asked again after a change, with what is known of neighbours from before: the very same series as
 * without. */
#include <string.h>

#include "generator.h"
#include "same_series.h"

enum { SEED = 31, CHANGES = 8 };
#ifdef __SANITIZE_ADDRESS__
enum { DRAWN = 2 };
#else
enum { DRAWN = 4 };
#endif

/* Both ways. Whether a series was found. */
static bool is_the_same(mc_restage_known *known, const random_arch *a) {
    mc_settings settings;
    mc_restaged out, afresh;
    mc_plan *plan, *afresh_plan;
    mc_error error, afresh_error;
    mc_settings_defaults(&settings);
    const mc_status status = mc_restage_again(&settings, &a->ask, known, &out, &plan, &error);
    assert_int_equal(mc_restage(&settings, &a->ask, &afresh, &afresh_plan, &afresh_error), status);
    if (status != MC_OK) {
        assert_string_equal(error.text, afresh_error.text);
    }
    same_account(&out, &afresh);
    same_plan(plan, afresh_plan);
    mc_plan_free(plan);
    mc_plan_free(afresh_plan);
    return status == MC_OK;
}

/* One number of one tooth, of all that a contact goes by. */
static void change(random_source *random, random_arch *a) {
    const mc_tooth tooth = a->tooth[random_below(random, a->teeth)];
    mc_remaining_task *task = &a->ask.task[tooth];
    mc_crown *crown = &a->ask.crown[tooth];
    switch (random_below(random, 8)) {
    case 0:
        task->target.c[MC_MESIAL] += random_between(random, -0.3, 0.3);
        break;
    case 1:
        task->target.c[MC_ROTATION] += random_between(random, -4, 4);
        break;
    case 2:
        task->limit[MC_ROTATION] = random_between(random, 0.7, 2);
        break;
    case 3:
        task->move = !task->move;
        break;
    case 4:
        a->ask.ipr[tooth].mesial =
            (mc_ipr){random_between(random, 0, 0.4), 1 + random_below(random, 5)};
        break;
    case 5:
        a->ask.ipr[tooth].distal.stage = 1 + random_below(random, 5);
        break;
    case 6:
        crown->anterior += random_between(random, -0.2, 0.2);
        break;
    default:
        crown->width *= random_between(random, 0.98, 1.01);
    }
}

static void a_change_is_answered_as_if_it_were_the_first(void **state) {
    (void)state;
    int series = 0, none = 0;
    for (int kind = 0; kind < ARCH_KINDS; kind++) {
        for (int i = 0; i < DRAWN; i++) {
            random_source random = random_seed((uint64_t)(SEED + i));
            mc_restage_known *known = mc_restage_known_new();
            random_arch a, before;
            assert_non_null(known);
            arch_draw((arch_kind)kind, SEED, i, &a);
            is_the_same(known, &a);
            for (int k = 0; k < CHANGES; k++) {
                before = a;
                change(&random, &a);
                const bool is = is_the_same(known, &a);
                series += is;
                none += !is;
                if (k % 3 == 2) { /* taken back */
                    a = before;
                    is_the_same(known, &a);
                }
            }
            mc_restage_known_free(known);
        }
    }
    assert_true(series > 0 && none > 0);
}

/* What is known of one mouth is not taken for another. */
static void another_mouth_is_looked_at_anew(void **state) {
    (void)state;
    mc_restage_known *known = mc_restage_known_new();
    assert_non_null(known);
    for (int i = 0; i < 3 * DRAWN; i++) {
        random_arch a;
        arch_draw(TOUCHING, SEED, i, &a);
        is_the_same(known, &a);
    }
    mc_restage_known_free(known);
}

/* The same ways, but more is allowed. */
static void more_room_is_another_question(void **state) {
    (void)state;
    for (int number = 0; number < DRAWN; number++) {
        mc_restage_known *known = mc_restage_known_new();
        random_arch a;
        assert_non_null(known);
        arch_draw(CROWDED, SEED, number, &a);
        for (int times = 0; times < 4; times++) {
            for (int i = 0; i + 1 < a.teeth; i++) {
                arch_grant(&a, i, 0.1);
            }
            is_the_same(known, &a);
        }
        mc_restage_known_free(known);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_change_is_answered_as_if_it_were_the_first),
        cmocka_unit_test(another_mouth_is_looked_at_anew),
        cmocka_unit_test(more_room_is_another_question),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
