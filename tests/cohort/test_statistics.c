/* ROC area and calibration against values worked by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "near.h"
#include "statistics.h"

static void area_of_pairs_in_order(void **state) {
    (void)state;
    /* of the four pairs (happened, not) 0.35 stands below 0.4: three in four are in order */
    const double score[] = {0.1, 0.4, 0.35, 0.8};
    const bool happened[] = {false, false, true, true};
    assert_near(roc_area(score, happened, 4), 0.75, 1e-15);
}

static void area_is_one_when_all_in_order_and_nought_when_none(void **state) {
    (void)state;
    const double score[] = {-3, -2, 5, 6, 7};
    const bool high[] = {false, false, true, true, true}, low[] = {true, true, false, false, false};
    assert_near(roc_area(score, high, 5), 1, 1e-15);
    assert_near(roc_area(score, low, 5), 0, 1e-15);
}

static void ties_count_half(void **state) {
    (void)state;
    const double same[] = {2, 2, 2};
    const bool happened[] = {true, false, false};
    assert_near(roc_area(same, happened, 3), 0.5, 1e-15);
    /* 48 pairs; 14 in order and 7 tied */
    const double score[] = {2, 1, 2.5, 1, 3, 2.5, 3, 2.5, 2.5, 2, 0, 3, 1.5, 3};
    const bool some[] = {0, 0, 0, 1, 0, 1, 0, 0, 1, 1, 1, 0, 0, 1};
    double in_order = 0;
    for (int i = 0; i < 14; i++)
        for (int j = 0; j < 14; j++)
            if (some[i] && !some[j])
                in_order += score[i] > score[j] ? 1 : score[i] == score[j] ? 0.5 : 0;
    assert_near(in_order, 17.5, 0);
    assert_near(roc_area(score, some, 14), 17.5 / 48, 1e-15);
}

static void no_area_where_all_or_none_happened(void **state) {
    (void)state;
    const double score[] = {1, 2};
    const bool all[] = {true, true}, none[] = {false, false};
    assert_true(isnan(roc_area(score, all, 2)));
    assert_true(isnan(roc_area(score, none, 2)));
    assert_true(isnan(roc_area(score, none, 0)));
}

static void calibration_weighs_bins_by_what_is_in_them(void **state) {
    (void)state;
    /* bin 0: 0.02, 0.06 (mean 0.04), none happened; bin 5: 0.5, 0.5, 0.56 (mean 0.52), two of
     * three; bin 9: 0.9 and 1 (mean 0.95), both. Error (2 x 0.04 + 3 x (2/3 - 0.52) + 2 x 0.05)/7
     */
    const double p[] = {0.5, 0.02, 1, 0.56, 0.9, 0.5, 0.06};
    const bool happened[] = {true, false, true, true, true, false, false};
    const calibration seen = calibration_of(p, happened, 7);
    assert_int_equal(seen.count[0], 2);
    assert_int_equal(seen.count[5], 3);
    assert_int_equal(seen.count[9], 2);
    assert_int_equal(seen.count[1] + seen.count[2] + seen.count[3] + seen.count[4] + seen.count[6] +
                         seen.count[7] + seen.count[8],
                     0);
    assert_near(seen.said[0], 0.04, 1e-15);
    assert_near(seen.said[5], 0.52, 1e-15);
    assert_near(seen.happened[5], 2.0 / 3, 1e-15);
    assert_near(seen.happened[9], 1, 1e-15);
    assert_near(seen.error, (0.08 + 0.44 + 0.1) / 7, 1e-15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(area_of_pairs_in_order),
        cmocka_unit_test(area_is_one_when_all_in_order_and_nought_when_none),
        cmocka_unit_test(ties_count_half),
        cmocka_unit_test(no_area_where_all_or_none_happened),
        cmocka_unit_test(calibration_weighs_bins_by_what_is_in_them),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
