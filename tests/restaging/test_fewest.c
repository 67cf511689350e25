/* On random tasks: limits hold at every stage, the target is exact, nothing is moved that should
 * stay, a mirrored mouth gives the mirrored plan, and no shorter series exists. */
#include "restaged.h"

/* Limits and target of one tooth in its new plan. */
static void check_tooth(const restaged *r, mc_tooth tooth) {
    const mc_restaged_tooth *of = &r->out.tooth[tooth];
    const int stages = r->out.stages[mc_tooth_arch(tooth)];
    const mc_pose end = mc_plan_pose(r->plan, tooth, stages);
    mc_pose before = {{0}};
    double lambda_before = 0;
    assert_memory_equal(&end, &of->remaining, sizeof end);
    for (int k = 1; k <= stages; k++) {
        const mc_pose now = mc_plan_pose(r->plan, tooth, k);
        double lambda = NAN;
        for (int c = 0; c < MC_COMPONENTS; c++) {
            const double step = fabs(now.c[c] - before.c[c]);
            assert_true(step <= limit_in_words(tooth, &of->remaining, c) + 1e-9);
            if (fabs(of->remaining.c[c]) > 0.01) {
                lambda = now.c[c] / of->remaining.c[c];
            }
        }
        for (int c = 0; c < MC_COMPONENTS && !isnan(lambda); c++) {
            assert_near(now.c[c], lambda * of->remaining.c[c], 1e-9); /* straight */
        }
        assert_false(lambda < lambda_before - 1e-12); /* never back */
        assert_true(corners_in_words(tooth, &before, &now) <= 0.30 + 1e-9);
        before = now;
        lambda_before = lambda;
    }
}

static void test_limits_and_targets(void **state) {
    (void)state;
    random_source source = random_seed(21);
    for (int i = 0; i < 60; i++) {
        restaged r = restaged_new();
        int longest[MC_ARCHES] = {0};
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            r.ask.task[tooth] = restaged_random(&source);
            r.ask.task[tooth].move = random_below(&source, 4) > 0;
        }
        restaged_run(&r);
        assert_int_equal(mc_plan_steps_above(&r.settings, r.plan, NULL, NULL), 0);
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            const mc_restaged_tooth *of = &r.out.tooth[tooth];
            const mc_arch arch = mc_tooth_arch(tooth);
            if (!r.ask.task[tooth].move) {
                assert_false(mc_plan_moves(r.plan, tooth));
                assert_int_equal(of->stages_needed, 0);
            } else if (of->moves) {
                check_tooth(&r, tooth);
            }
            longest[arch] = of->stages_needed > longest[arch] ? of->stages_needed : longest[arch];
        }
        for (int arch = 0; arch < MC_ARCHES; arch++) {
            assert_int_equal(r.out.stages[arch], longest[arch]);
            assert_int_equal(r.out.lower_bound[arch], longest[arch]);
            assert_int_equal(mc_plan_stages(r.plan, (mc_arch)arch), longest[arch]);
        }
        mc_plan_free(r.plan);
    }
}

/* No part of the movement may be done by fewer aligners than the components' limits alone ask for;
 * where that is the count already, no shorter series exists. */
static bool components_ask_for(mc_tooth tooth, const mc_restaged_tooth *of) {
    int most = 1;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const double limit = limit_in_words(tooth, &of->remaining, c);
        const int aligners = (int)ceil(fabs(of->remaining.c[c]) / limit - 1e-9);
        most = aligners > most ? aligners : most;
    }
    assert_true(of->stages_needed >= most);
    return of->stages_needed == most;
}

/* The fewest aligners from cell 0 to the last of a grid on lambda, by trying every pair of cells. A
 * step may pass the corner's limit by `slack` mm, and the components' by a grid cell where there is
 * slack. */
enum { CELLS = 1200 };
static int fewest_on_grid(mc_tooth tooth, const mc_pose *remaining, double slack) {
    static int fewest[CELLS + 1]; /* the test's own; one at a time */
    double most = 1;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        if (remaining->c[c] != 0) {
            most = fmin(most, limit_in_words(tooth, remaining, c) / fabs(remaining->c[c]));
        }
    }
    const double window = most * CELLS + (slack > 0 ? 1 : 1e-9);
    fewest[0] = 0;
    for (int to = 1; to <= CELLS; to++) {
        const mc_pose after = part_of(remaining, (double)to / CELLS);
        fewest[to] = CELLS + 1;
        for (int from = to - 1; from >= 0 && to - from <= window; from--) {
            const mc_pose before = part_of(remaining, (double)from / CELLS);
            if (fewest[from] + 1 < fewest[to] &&
                corners_in_words(tooth, &before, &after) <= 0.30 + 1e-9 + slack) {
                fewest[to] = fewest[from] + 1;
            }
        }
    }
    return fewest[CELLS];
}

/* Where the corner decides: no series on the grid is shorter; and with so much slack that every
 * series there is has its like on the grid, none is shorter but in cases near the next count. */
static void test_no_shorter_series(void **state) {
    (void)state;
    random_source source = random_seed(22);
    int by_components = 0, by_corner = 0, proven = 0;
    while (by_corner < 25) {
        restaged r = restaged_new();
        const mc_tooth tooth = random_below(&source, MC_TEETH);
        r.ask.task[tooth] = restaged_random(&source);
        restaged_run(&r);
        const mc_restaged_tooth *of = &r.out.tooth[tooth];
        if (of->moves && components_ask_for(tooth, of)) {
            assert_int_not_equal(of->limited_by, MC_LIMIT_CORNER);
            by_components++;
        } else if (of->moves) {
            const mc_pose start = {{0}}, cell = part_of(&of->remaining, 1.0 / CELLS);
            const double slack = 1.5 * corners_in_words(tooth, &start, &cell);
            assert_int_equal(of->limited_by, MC_LIMIT_CORNER);
            assert_true(fewest_on_grid(tooth, &of->remaining, 0) >= of->stages_needed);
            const int least = fewest_on_grid(tooth, &of->remaining, slack);
            assert_true(least >= of->stages_needed - 1);
            proven += least == of->stages_needed;
            by_corner++;
        }
        mc_plan_free(r.plan);
    }
    assert_true(by_components >= 5);
    assert_true(proven >= 18);
}

static void test_mirror(void **state) {
    (void)state;
    random_source source = random_seed(23);
    for (int i = 0; i < 20; i++) {
        restaged r = restaged_new(), mirrored = restaged_new();
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            r.ask.task[tooth] = restaged_random(&source);
            r.ask.task[tooth].move = random_below(&source, 3) > 0;
            mirrored.ask.task[mc_tooth_mirror(tooth)] = r.ask.task[tooth];
        }
        restaged_run(&r);
        restaged_run(&mirrored);
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            const mc_plan_row *rows, *other;
            const size_t count = mc_plan_tooth_rows(r.plan, tooth, &rows);
            assert_int_equal(mc_plan_tooth_rows(mirrored.plan, mc_tooth_mirror(tooth), &other),
                             count);
            for (size_t k = 0; k < count; k++) {
                assert_int_equal(rows[k].stage, other[k].stage);
                assert_memory_equal(&rows[k].pose, &other[k].pose, sizeof rows[k].pose);
            }
        }
        assert_memory_equal(r.out.stages, mirrored.out.stages, sizeof r.out.stages);
        mc_plan_free(r.plan);
        mc_plan_free(mirrored.plan);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_limits_and_targets),
        cmocka_unit_test(test_no_shorter_series),
        cmocka_unit_test(test_mirror),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
