/* The settings: defaults as the method states them, ranges, refusals, and that each is said in
 * full. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/settings.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct wanted {
    const char *key;
    double value;
    const char *unit;
} wanted;

/* Every default, as midcourse-method(7) gives it. */
static const wanted defaults[] = {
    {"settle_days", 4, "days"},
    {"eye_mm", 0.5, "mm"},
    {"eye_deg", 5, "deg"},
    {"caliper_mm", 0.35, "mm"},
    {"caliper_deg", 3, "deg"},
    {"photo_mm", 0.15, "mm"},
    {"photo_deg", 1.5, "deg"},
    {"landmarks_mm", 0.15, "mm"},
    {"landmarks_deg", 1.5, "deg"},
    {"scan_mm", 0.10, "mm"},
    {"scan_deg", 0.7, "deg"},
    {"eye_mm_pairs", 0, "pairs"},
    {"eye_deg_pairs", 0, "pairs"},
    {"caliper_mm_pairs", 0, "pairs"},
    {"caliper_deg_pairs", 0, "pairs"},
    {"photo_mm_pairs", 0, "pairs"},
    {"photo_deg_pairs", 0, "pairs"},
    {"landmarks_mm_pairs", 0, "pairs"},
    {"landmarks_deg_pairs", 0, "pairs"},
    {"scan_mm_pairs", 0, "pairs"},
    {"scan_deg_pairs", 0, "pairs"},
    {"tolerance_mm", 0.5, "mm"},
    {"tolerance_deg", 2, "deg"},
    {"tolerance_gap_mm", 0.5, "mm"},
    {"state_probability", 0.8, "1"},
    {"slipping_index", 0.6, "1"},
    {"stalled_share", 0.25, "1"},
    {"risk_upper_lateral", 1.5, "1"},
    {"risk_lower_lateral", 1.25, "1"},
    {"risk_round_rotation", 1.25, "1"},
    {"risk_incisor_occlusal", 1.25, "1"},
    {"finish_mm", 1.0, "mm"},
    {"finish_deg", 5, "deg"},
    {"examine_mobility", 3, "grade"},
    {"examine_mobility_own", 2, "grade"},
    {"examine_recession_mm", 1, "mm"},
    {"reseat_gap_mm", 1.0, "mm"},
    {"reseat_small_gap_mm", 0.5, "mm"},
    {"reseat_share", 1.0 / 3, "1"},
    {"reseat_minutes", 3, "min"},
    {"reseat_back", 3, "aligners"},
    {"grip_gap_mm", 1.0, "mm"},
    {"grip_short_mm", 1.0, "mm"},
    {"grip_short_deg", 8, "deg"},
    {"grip_share", 1.0 / 3, "1"},
    {"review_index", 1.5, "1"},
    {"review_overjet_mm", 1, "mm"},
    {"wear_hours", 20, "h/day"},
    {"wear_hours_full", 22, "h/day"},
    {"measure_share", 0.6, "1"},
    {"measure_mm", 1, "mm"},
    {"measure_deg", 5, "deg"},
    {"measure_teeth", 6, "teeth"},
    {"correct_mm", 1.0, "mm"},
    {"correct_deg", 8, "deg"},
    {"correct_teeth", 3, "teeth"},
    {"correct_tolerances", 2, "1"},
    {"correct_aligners_left", 4, "aligners"},
    {"correct_series_left", 0.20, "1"},
    {"correct_fewer_out", 1, "teeth"},
    {"correct_sooner_days", 28, "days"},
    {"local_teeth", 2, "teeth"},
    {"hold_days", 7, "days"},
    {"finish_series_left", 0.1, "1"},
    {"name_probability", 0.8, "1"},
    {"name_series_left", 1.0 / 3, "1"},
    {"hold_seated_share", 0.5, "1"},
    {"hold_loose_share", 0.75, "1"},
    {"hold_loose_gap_mm", 1.0, "mm"},
    {"checkup_weeks", 6, "weeks"},
    {"laboratory_days", 21, "days"},
    {"shortest_interval_days", 7, "days"},
    {"step_mesiodistal_mm", 0.25, "mm"},
    {"step_buccolingual_mm", 0.25, "mm"},
    {"step_intrusion_mm", 0.20, "mm"},
    {"step_extrusion_mm", 0.15, "mm"},
    {"step_rotation_deg", 2, "deg"},
    {"step_round_rotation_deg", 1.5, "deg"},
    {"step_tipping_deg", 2, "deg"},
    {"step_root_deg", 1, "deg"},
    {"step_corner_mm", 0.30, "mm"},
    {"order_pose_days", 14, "days"},
    {"estimate_trust_mm", 0.25, "mm"},
    {"overcorrect_percent", 30, "%"},
    {"hide_seconds", 60, "s"},
    {"lock_minutes", 5, "min"},
};

enum {
    NAMED = sizeof defaults / sizeof defaults[0],
    TEETH = 52,
    OWN = MC_OWN_CLASSES * MC_OWN_MOVEMENTS
};

static void defaults_are_the_method_s(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    for (size_t i = 0; i < NAMED; i++) {
        double value = NAN;
        assert_true(mc_settings_get(&settings, defaults[i].key, &value));
        if (value != defaults[i].value) {
            fail_msg("%s is %g", defaults[i].key, value);
        }
        const mc_setting described = mc_settings_describe(i);
        assert_string_equal(described.key, defaults[i].key);
        assert_string_equal(described.unit, defaults[i].unit);
    }
    assert_int_equal(mc_settings_count(), NAMED + TEETH + 2 * OWN);
}

/* The names reach the fields of the same name: a few of each kind, by the field itself. */
static void keys_are_the_fields(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    assert_true(settings.settle_days == 4);
    assert_true(settings.scan_deg == 0.7);
    assert_true(settings.reseat_share == 1.0 / 3);
    assert_true(settings.step_corner_mm == 0.30);
    assert_true(settings.lock_minutes == 5);
    assert_int_equal(mc_settings_set(&settings, "risk_tooth_12", 2, NULL), MC_OK);
    assert_true(settings.risk_tooth[12] == 2);
    assert_int_equal(mc_settings_set(&settings, "risk_tooth_85", 3, NULL), MC_OK);
    assert_true(settings.risk_tooth[85] == 3);
    assert_int_equal(mc_settings_set(&settings, "tolerance_deg", 2.5, NULL), MC_OK);
    assert_true(settings.tolerance_deg == 2.5);
}

/* Each double of the struct that is a setting belongs to exactly one key, and all named ones do. */
static void every_field_is_described_once(void **state) {
    (void)state;
    enum { DOUBLES = sizeof(mc_settings) / sizeof(double) };
    int seen[DOUBLES] = {0};
    for (size_t i = 0; i < mc_settings_count(); i++) {
        const mc_setting one = mc_settings_describe(i);
        assert_true(one.offset % sizeof(double) == 0 && one.offset < sizeof(mc_settings));
        assert_int_equal(++seen[one.offset / sizeof(double)], 1);
    }
    const size_t risks = offsetof(mc_settings, risk_tooth) / sizeof(double);
    for (size_t i = 0; i < DOUBLES; i++) {
        const bool of_tooth = i >= risks && i < risks + 89;
        if (!of_tooth) {
            assert_int_equal(seen[i], 1);
        }
    }
}

static void teeth_are_numbered_by_iso_3950(void **state) {
    (void)state;
    size_t i = NAMED;
    for (int quadrant = 1; quadrant <= 8; quadrant++) {
        for (int position = 1; position <= (quadrant <= 4 ? 8 : 5); position++) {
            char key[40];
            snprintf(key, sizeof key, "risk_tooth_%d%d", quadrant, position);
            const mc_setting one = mc_settings_describe(i++);
            assert_string_equal(one.key, key);
            assert_true(one.initial == 0 && one.low == 0 && one.high == 4 && !one.whole);
        }
    }
    assert_int_equal(i, NAMED + TEETH);
}

static void source_of_what_was_measured(void **state) {
    (void)state;
    mc_settings settings;
    char source[MC_SOURCE_SIZE];
    mc_settings_defaults(&settings);
    settings.caliper_deg_pairs = 12;
    for (size_t i = 0; i < mc_settings_count(); i++) {
        const mc_setting one = mc_settings_describe(i);
        const bool measured = strcmp(one.key, "caliper_deg") == 0;
        mc_settings_source(&settings, &one, source);
        assert_string_equal(source, measured ? "measured, 12 pairs" : one.source);
    }
}

/* A method error set by hand is no longer what was measured; another one stays so. */
static void set_by_hand_rests_on_no_pairs(void **state) {
    (void)state;
    static const char *const METHOD[] = {"eye", "caliper", "photo", "landmarks", "scan"};
    mc_settings settings;
    for (int m = 0; m < 10; m++) {
        char key[40], pairs_key[60];
        double pairs = -1;
        snprintf(key, sizeof key, "%s_%s", METHOD[m / 2], m % 2 ? "deg" : "mm");
        snprintf(pairs_key, sizeof pairs_key, "%s_pairs", key);
        mc_settings_defaults(&settings);
        settings.scan_deg_pairs = 30;
        assert_int_equal(mc_settings_set(&settings, key, 0.3, NULL), MC_OK);
        assert_int_equal(mc_settings_set(&settings, pairs_key, 12, NULL), MC_OK);
        assert_true(mc_settings_get(&settings, pairs_key, &pairs) && pairs == 12);
        assert_int_equal(mc_settings_set(&settings, key, 99, NULL), MC_REFUSED);
        assert_true(mc_settings_get(&settings, pairs_key, &pairs) && pairs == 12);
        assert_int_equal(mc_settings_set(&settings, key, 0.4, NULL), MC_OK);
        assert_true(mc_settings_get(&settings, pairs_key, &pairs) && pairs == 0);
        assert_true(settings.scan_deg_pairs == (m == 9 ? 0 : 30));
    }
}

static void each_is_said_in_full(void **state) {
    (void)state;
    for (size_t i = 0; i < mc_settings_count(); i++) {
        const mc_setting one = mc_settings_describe(i);
        assert_true(strlen(one.key) > 0 && strlen(one.unit) > 0);
        assert_true(strlen(one.meaning) > 10 && strlen(one.source) > 6);
        assert_true(one.low < one.high);
        assert_true(one.low <= one.initial && one.initial <= one.high);
        if (one.whole) {
            assert_true(one.initial == floor(one.initial) && one.low == floor(one.low));
        }
    }
    assert_string_equal(mc_settings_describe(21).key, "tolerance_mm");
    assert_non_null(strstr(mc_settings_describe(21).source, "Angle Orthod 2017;87:809-815"));
    assert_non_null(strstr(mc_settings_describe(21).source, "Angle Orthod 2021;91:157-163"));
    assert_string_equal(mc_settings_describe(mc_settings_count()).key, "");
}

static void takes_what_is_in_range(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    for (size_t i = 0; i < mc_settings_count(); i++) {
        const mc_setting one = mc_settings_describe(i);
        const double ends[2] = {one.low, one.high};
        for (int end = 0; end < 2; end++) {
            double value = NAN;
            assert_int_equal(mc_settings_set(&settings, one.key, ends[end], NULL), MC_OK);
            assert_true(mc_settings_get(&settings, one.key, &value));
            assert_true(value == ends[end]);
        }
    }
}

static void refuse(const char *key, double value, const char *why) {
    mc_settings settings, before;
    mc_settings_defaults(&settings);
    memcpy(&before, &settings, sizeof before);
    mc_error error = {.status = MC_OK};
    assert_int_equal(mc_settings_set(&settings, key, value, &error), MC_REFUSED);
    assert_int_equal(error.status, MC_REFUSED);
    assert_memory_equal(&settings, &before, sizeof before);
    if (!strstr(error.text, why)) {
        fail_msg("\"%s\" does not say \"%s\"", error.text, why);
    }
}

static void refuses_the_rest(void **state) {
    (void)state;
    for (size_t i = 0; i < mc_settings_count(); i++) {
        const mc_setting one = mc_settings_describe(i);
        refuse(one.key, nextafter(one.low, -INFINITY), one.key);
        refuse(one.key, nextafter(one.high, INFINITY), one.key);
        refuse(one.key, NAN, "no number");
        refuse(one.key, INFINITY, "no number");
        if (one.whole) {
            refuse(one.key, one.low + 0.5, "whole");
        }
    }
    refuse("tolerance", 1, "\"tolerance\"");
    refuse("risk_tooth_19", 1, "risk_tooth_19");
    refuse("risk_tooth_56", 1, "risk_tooth_56");
    refuse("risk_tooth", 1, "risk_tooth");
    refuse("risk_tooth_", 1, "risk_tooth_");
    refuse("risk_tooth_012", 1, "risk_tooth_012");
    refuse("risk_tooth_+12", 1, "risk_tooth_+12");
    refuse("risk_tooth_12 ", 1, "risk_tooth_12 ");
    refuse("own_share_", 0.5, "own_share_");
    refuse("own_share_molar", 0.5, "own_share_molar");
    refuse("own_share_molar_", 0.5, "own_share_molar_");
    refuse("own_share_molar_rotation2", 0.5, "own_share_molar_rotation2");
    refuse("own_share_premolar_rotation", 0.5, "own_share_premolar_rotation");
    refuse("own_share_se_rotation", 0.5, "own_share_se_rotation");
    refuse("Tolerance_mm", 1, "Tolerance_mm");
    refuse("", 1, "no setting");
    refuse("tolerance_mm", 9, "from 0.05 to 5 mm");
    refuse("state_probability", 0.4, "from 0.5 to 1");
}

static void says_that_a_key_is_unknown(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    double value = 42;
    assert_false(mc_settings_get(&settings, "tolerance", &value));
    assert_false(mc_settings_get(&settings, "risk_tooth_86", &value));
    assert_true(value == 42);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(defaults_are_the_method_s),
        cmocka_unit_test(keys_are_the_fields),
        cmocka_unit_test(every_field_is_described_once),
        cmocka_unit_test(teeth_are_numbered_by_iso_3950),
        cmocka_unit_test(source_of_what_was_measured),
        cmocka_unit_test(set_by_hand_rests_on_no_pairs),
        cmocka_unit_test(each_is_said_in_full),
        cmocka_unit_test(takes_what_is_in_range),
        cmocka_unit_test(refuses_the_rest),
        cmocka_unit_test(says_that_a_key_is_unknown),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
