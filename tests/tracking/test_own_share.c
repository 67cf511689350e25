/* The expected share once a doctor has taken the practice's own accuracy over. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/tracking.h"
#include "near.h"

#include <stdio.h>
#include <string.h>

static const double BETWEEN_STUDIES = 0.15;

/* The settings, which know no tooth, name them in the order of the tooth classes and movements;
 * they are 0 until a doctor takes them over. */
static void own_shares_are_named_by_class_and_movement(void **state) {
    (void)state;
    static const int OF_CLASS[] = {11, 12, 13, 14, 15, 16};
    static const char *const CLASS[] = {"central",        "lateral",         "canine",
                                        "first_premolar", "second_premolar", "molar"};
    mc_settings settings;
    mc_settings_defaults(&settings);
    size_t i = 0;
    while (strcmp(mc_settings_describe(i).key, "own_share_central_mesial") != 0)
        assert_true(++i < mc_settings_count());
    for (int error = 0; error < 2; error++) {
        for (int of = 0; of < MC_OWN_CLASSES; of++) {
            assert_int_equal(mc_tooth_class_of(mc_tooth_from_iso(OF_CLASS[of])), of);
            for (int m = 0; m < MC_OWN_MOVEMENTS; m++) {
                char key[60];
                snprintf(key, sizeof key, "own_share_%s%s_%s", error ? "se_" : "", CLASS[of],
                         mc_movement_name((mc_movement)m));
                const mc_setting one = mc_settings_describe(i++);
                assert_string_equal(one.key, key);
                assert_true(one.initial == 0 && one.low == 0 && one.high == (error ? 1 : 1.5));
                assert_true(one.taken && one.of_many && !one.whole);
                const double *field =
                    error ? &settings.own_share_se[of][m] : &settings.own_share[of][m];
                assert_true(*field == 0);
                assert_int_equal(mc_settings_set(&settings, key, 0.25, NULL), MC_OK);
                assert_true(*field == 0.25);
            }
        }
    }
    assert_int_equal(i, mc_settings_count());
}

static void published_until_taken_over(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int m = 0; m < MC_MOVEMENTS; m++)
            assert_near(mc_share_for(&settings, t, (mc_movement)m),
                        mc_expected_share(t, (mc_movement)m, NULL), 0);
}

static void both_by_their_precision(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    settings.own_share[MC_CANINE][MC_MOVE_ROTATION] = 0.9;
    settings.own_share_se[MC_CANINE][MC_MOVE_ROTATION] = BETWEEN_STUDIES;
    const mc_tooth upper = mc_tooth_from_iso(13), lower = mc_tooth_from_iso(43);
    const double published = mc_expected_share(upper, MC_MOVE_ROTATION, NULL);
    const double below = mc_expected_share(lower, MC_MOVE_ROTATION, NULL);
    assert_near(mc_share_for(&settings, upper, MC_MOVE_ROTATION), (published + 0.9) / 2, 1e-15);
    assert_near(mc_share_for(&settings, lower, MC_MOVE_ROTATION), (below + 0.9) / 2, 1e-15);
    settings.own_share_se[MC_CANINE][MC_MOVE_ROTATION] = BETWEEN_STUDIES / 3;
    assert_near(mc_share_for(&settings, upper, MC_MOVE_ROTATION), (published + 9 * 0.9) / 10,
                1e-15);
}

/* Nothing else is touched: other movements, other classes, deciduous canines, a share without its
 * error and an error without its share. */
static void no_more_than_was_taken_over(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    settings.own_share[MC_CANINE][MC_MOVE_ROTATION] = 0.9;
    settings.own_share_se[MC_CANINE][MC_MOVE_ROTATION] = 0.05;
    settings.own_share[MC_MOLAR][MC_MOVE_DISTAL] = 0.9;
    settings.own_share_se[MC_MOLAR][MC_MOVE_MESIAL] = 0.05;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int m = 0; m < MC_MOVEMENTS; m++) {
            const bool own = mc_tooth_class_of(t) == MC_CANINE && m == MC_MOVE_ROTATION;
            if (!own || mc_tooth_is_deciduous(t))
                assert_near(mc_share_for(&settings, t, (mc_movement)m),
                            mc_expected_share(t, (mc_movement)m, NULL), 0);
        }
}

/* Where a tooth is thought to be follows: a canine by its own share, before anything of its pace is
 * known. A reading by the worst of methods hardly moves it. */
static void tracker_starts_from_it(void **state) {
    (void)state;
    double mean[2], sd;
    for (int own = 0; own < 2; own++) {
        mc_settings settings;
        mc_settings_defaults(&settings);
        settings.eye_deg = 1e6;
        settings.own_share[MC_CANINE][MC_MOVE_ROTATION] = own ? 0.2 : 0;
        settings.own_share_se[MC_CANINE][MC_MOVE_ROTATION] = 1e-6;
        mc_plan *plan = mc_plan_new();
        assert_non_null(plan);
        mc_plan_row row = {.tooth = mc_tooth_from_iso(13), .stage = 10};
        row.pose.c[MC_ROTATION] = 20;
        assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
        mc_tracker *tracker = mc_tracker_new(&settings);
        assert_non_null(tracker);
        mc_tracker_begin(tracker, plan, NULL);
        mc_reading reading = mc_reading_none(row.tooth);
        reading.value[MC_ROTATION] = 10;
        const mc_checkup checkup = {.number = 1,
                                    .aligner = {10, MC_NO_ALIGNER},
                                    .day = {-1, -1},
                                    .wear_hours = NAN,
                                    .method = MC_EYE,
                                    .rows = &reading,
                                    .count = 1};
        assert_int_equal(mc_tracker_add(tracker, &checkup, NULL), MC_OK);
        assert_true(mc_tracker_estimate(tracker, row.tooth, MC_ROTATION, &mean[own], &sd));
        mc_tracker_free(tracker);
        mc_plan_free(plan);
    }
    assert_near(mean[0], 20 * mc_expected_share(mc_tooth_from_iso(13), MC_MOVE_ROTATION, NULL),
                1e-6);
    assert_near(mean[1], 20 * 0.2, 1e-6);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(own_shares_are_named_by_class_and_movement),
        cmocka_unit_test(published_until_taken_over),
        cmocka_unit_test(both_by_their_precision),
        cmocka_unit_test(no_more_than_was_taken_over),
        cmocka_unit_test(tracker_starts_from_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
