/* What one aligner may do, and the way of a crown's corners. */
#include "restaged.h"

#include "limit.h"

static mc_tooth iso(int number) {
    return mc_tooth_from_iso(number);
}

static void test_step_limits(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    mc_pose pose = {{0.1, -0.1, 0.1, 5, 0, 0}};
    assert_near(mc_step_limit(&settings, iso(11), &pose, MC_MESIAL), 0.25, 0);
    assert_near(mc_step_limit(&settings, iso(11), &pose, MC_BUCCAL), 0.25, 0);
    assert_near(mc_step_limit(&settings, iso(11), &pose, MC_OCCLUSAL), 0.15, 0);
    assert_near(mc_step_limit(&settings, iso(11), &pose, MC_ROTATION), 2, 0);
    assert_near(mc_step_limit(&settings, iso(13), &pose, MC_ROTATION), 1.5, 0);
    assert_near(mc_step_limit(&settings, iso(44), &pose, MC_ROTATION), 1.5, 0);
    assert_near(mc_step_limit(&settings, iso(46), &pose, MC_ROTATION), 2, 0);
    pose.c[MC_OCCLUSAL] = -0.1;
    assert_near(mc_step_limit(&settings, iso(11), &pose, MC_OCCLUSAL), 0.20, 0);
    settings.step_intrusion_mm = 0.11;
    settings.step_round_rotation_deg = 0.7;
    assert_near(mc_step_limit(&settings, iso(11), &pose, MC_OCCLUSAL), 0.11, 0);
    assert_near(mc_step_limit(&settings, iso(13), &pose, MC_ROTATION), 0.7, 0);
}

/* Pure inclination is root movement; with enough translation the same way it is crown tipping. */
static void test_root_and_tipping(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    for (int sign = -1; sign <= 1; sign += 2) {
        mc_pose pose = {{0, 0, 0, 0, sign * 8.0, sign * 8.0}};
        assert_near(mc_step_limit(&settings, iso(11), &pose, MC_ANGULATION), 1, 0);
        assert_near(mc_step_limit(&settings, iso(11), &pose, MC_INCLINATION), 1, 0);
        pose.c[MC_MESIAL] = sign * 2.0;
        assert_near(mc_step_limit(&settings, iso(11), &pose, MC_ANGULATION), 2, 0);
        assert_near(mc_step_limit(&settings, iso(11), &pose, MC_INCLINATION), 1, 0);
        pose.c[MC_BUCCAL] = sign * 2.0;
        assert_near(mc_step_limit(&settings, iso(11), &pose, MC_INCLINATION), 2, 0);
        pose.c[MC_BUCCAL] = -sign * 2.0; /* the crown the one way, tipped the other */
        assert_near(mc_step_limit(&settings, iso(11), &pose, MC_INCLINATION), 1, 0);
    }
}

static void test_limits_in_words(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    random_source source = random_seed(3);
    for (int i = 0; i < 5000; i++) {
        const mc_tooth tooth = random_below(&source, MC_TEETH);
        const mc_remaining_task task = restaged_random(&source);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            assert_near(mc_step_limit(&settings, tooth, &task.target, (mc_component)c),
                        limit_in_words(tooth, &task.target, c), 0);
        }
    }
}

static void test_corner_way(void **state) {
    (void)state;
    const mc_pose start = {{0}}, moved = {{0.3, -0.4, 1.2, 0, 0, 0}};
    const mc_pose turned = {{0, 0, 0, 2, 0, 0}};
    assert_near(mc_corner_way(iso(11), &start, &start), 0, 0);
    assert_near(mc_corner_way(iso(11), &start, &moved), 1.3, 1e-12);
    /* 16: 10.0 x 11.0 mm; a corner stands 7.43303 mm from the axis, 2 x 7.43303 sin 1 deg */
    assert_near(mc_corner_way(iso(16), &start, &turned), 0.2594487, 1e-6);
    assert_near(mc_corner_way(iso(16), &turned, &start), 0.2594487, 1e-6);
}

/* Against each corner moved by itself; and the cheap bound is never too small. */
static void test_corner_way_and_bound(void **state) {
    (void)state;
    random_source source = random_seed(4);
    double loosest = 0;
    for (int i = 0; i < 5000; i++) {
        const mc_tooth tooth = random_below(&source, MC_TEETH);
        const mc_remaining_task task = restaged_random(&source);
        const double way = mc_corner_way(tooth, &task.present, &task.target);
        mc_pose difference;
        for (int c = 0; c < MC_COMPONENTS; c++) {
            difference.c[c] = task.target.c[c] - task.present.c[c];
        }
        assert_near(way, corners_in_words(tooth, &task.present, &task.target), 1e-12);
        assert_true(corner_bound(tooth, &difference) >= way - 1e-12);
        if (way > 0) {
            loosest = fmax(loosest, corner_bound(tooth, &difference) / way);
        }
    }
    assert_true(loosest < 4);
}

static void test_names(void **state) {
    (void)state;
    assert_string_equal(mc_limit_name(MC_LIMIT_NONE), "none");
    assert_string_equal(mc_limit_name(MC_LIMIT_INTRUSION), "intrusion");
    assert_string_equal(mc_limit_name(MC_LIMIT_CORNER), "corner of the crown");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_step_limits),          cmocka_unit_test(test_root_and_tipping),
        cmocka_unit_test(test_limits_in_words),      cmocka_unit_test(test_corner_way),
        cmocka_unit_test(test_corner_way_and_bound), cmocka_unit_test(test_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
