/* States of a tooth in a mouth. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/dentition.h"

static const struct {
    mc_tooth_state state;
    const char *name;
    bool stands, may_move;
} all[] = {
    {MC_TOOTH_PRESENT, "present", true, true},
    {MC_TOOTH_MISSING, "missing", false, false},
    {MC_TOOTH_EXTRACTED, "extracted", false, false},
    {MC_TOOTH_UNERUPTED, "unerupted", false, false},
    {MC_TOOTH_SHEDDING, "shedding", true, true},
    {MC_TOOTH_IMPLANT, "implant", true, false},
    {MC_TOOTH_ANKYLOSED, "ankylosed", true, false},
    {MC_TOOTH_BRIDGE, "bridge", true, false},
    {MC_TOOTH_FIXED, "fixed", true, false},
};

static void say_what_a_tooth_may_do(void **state) {
    (void)state;
    assert_int_equal(sizeof all / sizeof all[0], MC_TOOTH_STATES);
    for (int i = 0; i < MC_TOOTH_STATES; i++) {
        assert_int_equal(mc_tooth_stands(all[i].state), all[i].stands);
        assert_int_equal(mc_tooth_may_move(all[i].state), all[i].may_move);
    }
}

static void have_a_name_both_ways(void **state) {
    (void)state;
    for (int i = 0; i < MC_TOOTH_STATES; i++) {
        mc_tooth_state read = MC_TOOTH_STATES;
        assert_string_equal(mc_tooth_state_name(all[i].state), all[i].name);
        assert_true(mc_tooth_state_parse(all[i].name, &read));
        assert_int_equal(read, all[i].state);
    }
}

static void refuse_other_names(void **state) {
    (void)state;
    static const char *const wrong[] = {"", "Present", "present ", "gone", "miss", "bridges", "0"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        mc_tooth_state read = MC_TOOTH_BRIDGE;
        assert_false(mc_tooth_state_parse(wrong[i], &read));
        assert_int_equal(read, MC_TOOTH_BRIDGE);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(say_what_a_tooth_may_do),
        cmocka_unit_test(have_a_name_both_ways),
        cmocka_unit_test(refuse_other_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
