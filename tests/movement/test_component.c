/* The six components in words. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/movement.h"

static const struct {
    mc_component c;
    const char *name, *column;
    bool linear;
} all[] = {
    {MC_MESIAL, "mesial", "mesial_mm", true},
    {MC_BUCCAL, "buccal", "buccal_mm", true},
    {MC_OCCLUSAL, "occlusal", "occlusal_mm", true},
    {MC_ROTATION, "rotation", "rotation_deg", false},
    {MC_ANGULATION, "angulation", "angulation_deg", false},
    {MC_INCLINATION, "inclination", "inclination_deg", false},
};

static void have_names_and_units(void **state) {
    (void)state;
    for (int i = 0; i < MC_COMPONENTS; i++) {
        assert_int_equal(all[i].c, i);
        assert_string_equal(mc_component_name(all[i].c), all[i].name);
        assert_string_equal(mc_component_column(all[i].c), all[i].column);
        assert_int_equal(mc_component_is_linear(all[i].c), all[i].linear);
        assert_true(mc_component_least(all[i].c) == (all[i].linear ? 0.05 : 0.2));
    }
}

static void say(mc_component c, int iso, const char *positive, const char *negative) {
    const mc_tooth tooth = mc_tooth_from_iso(iso);
    assert_string_equal(mc_component_word(c, tooth, true), positive);
    assert_string_equal(mc_component_word(c, tooth, false), negative);
}

static void say_the_direction(void **state) {
    (void)state;
    static const int teeth[] = {11, 23, 36, 45, 54, 82};
    for (size_t i = 0; i < sizeof teeth / sizeof teeth[0]; i++) {
        say(MC_MESIAL, teeth[i], "mesial", "distal");
        say(MC_OCCLUSAL, teeth[i], "extrusion", "intrusion");
        say(MC_ROTATION, teeth[i], "mesial-in", "mesial-out");
        say(MC_ANGULATION, teeth[i], "tip mesial", "tip distal");
    }
}

static void say_sideways_by_the_tooth(void **state) {
    (void)state;
    say(MC_BUCCAL, 11, "labial", "palatal");
    say(MC_BUCCAL, 23, "labial", "palatal");
    say(MC_BUCCAL, 24, "buccal", "palatal");
    say(MC_BUCCAL, 33, "labial", "lingual");
    say(MC_BUCCAL, 46, "buccal", "lingual");
    say(MC_BUCCAL, 53, "labial", "palatal");
    say(MC_BUCCAL, 74, "buccal", "lingual");
    say(MC_INCLINATION, 12, "crown labial", "crown palatal");
    say(MC_INCLINATION, 17, "crown buccal", "crown palatal");
    say(MC_INCLINATION, 42, "crown labial", "crown lingual");
    say(MC_INCLINATION, 37, "crown buccal", "crown lingual");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(have_names_and_units),
        cmocka_unit_test(say_the_direction),
        cmocka_unit_test(say_sideways_by_the_tooth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
