/* A copied tracker goes on as the first would have, and leaves it alone. */
#include "same_score.h"

static mc_checkup at(int number, int aligner, const mc_reading *rows, size_t count) {
    return (mc_checkup){.number = number,
                        .date = number * 30,
                        .aligner = {aligner, MC_NO_ALIGNER},
                        .day = {-1, -1},
                        .wear_hours = NAN,
                        .method = MC_CALIPER,
                        .rows = rows,
                        .count = count};
}

static void a_copy_goes_its_own_way(void **state) {
    (void)state;
    mc_settings settings;
    mc_tooth_state states[MC_TEETH] = {0};
    mc_plan *plan = mc_plan_new();
    mc_plan_row end = {.tooth = mc_tooth_from_iso(12), .stage = 24};
    mc_reading row = mc_reading_none(end.tooth);
    mc_error error;
    mc_score once, again, before, after;
    mc_settings_defaults(&settings);
    end.pose.c[MC_ROTATION] = 18;
    assert_int_equal(mc_plan_add(plan, &end, &error), MC_OK);
    mc_tracker *tracker = mc_tracker_new(&settings);
    mc_tracker_begin(tracker, plan, NULL);
    for (int i = 1; i <= 3; i++) { /* a stall needs what was found before */
        row.value[MC_ROTATION] = 1;
        mc_checkup checkup = at(i, 6 * i, &row, 1);
        assert_int_equal(mc_tracker_add(tracker, &checkup, &error), MC_OK);
    }
    mc_tracker_score(tracker, states, &before);
    mc_checkup last = at(4, 24, &row, 1);
    for (int i = 0; i < 2; i++) {
        mc_tracker *copy = mc_tracker_copy(tracker);
        assert_non_null(copy);
        assert_int_equal(mc_tracker_add(copy, &last, &error), MC_OK);
        mc_tracker_score(copy, states, i == 0 ? &once : &again);
        mc_tracker_free(copy);
    }
    mc_tracker_score(tracker, states, &after);
    assert_same_score(&before, &after, false, 0);
    assert_same_score(&once, &again, false, 0);
    assert_int_equal(mc_tracker_add(tracker, &last, &error), MC_OK);
    mc_tracker_score(tracker, states, &after);
    assert_same_score(&once, &after, false, 0);
    assert_int_equal(after.tooth[end.tooth].state, MC_STATE_STALLED);
    mc_tracker_free(tracker);
    mc_plan_free(plan);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_copy_goes_its_own_way)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
