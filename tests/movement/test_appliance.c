/* Attachments and IPR by stage, and the effective stage of an aligner's day. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/movement.h"
#include "near.h"

static void add(mc_plan *plan, int iso, int stage, mc_mark mark, double mesial, double distal) {
    const mc_plan_row row = {.tooth = mc_tooth_from_iso(iso),
                             .stage = stage,
                             .attachment = mark,
                             .ipr_mesial = mesial,
                             .ipr_distal = distal};
    assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
}

static void attachments_come_and_go(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    const mc_tooth tooth = mc_tooth_from_iso(13);
    add(plan, 13, 3, MC_MARK_PLACED, 0, 0);
    add(plan, 13, 5, MC_MARK_NONE, 0, 0);
    add(plan, 13, 8, MC_MARK_REMOVED, 0, 0);
    add(plan, 13, 12, MC_MARK_PLACED, 0, 0);
    add(plan, 14, 0, MC_MARK_PLACED, 0, 0);
    static const struct {
        double s;
        bool stands;
    } wanted[] = {{-1, false},       {0, false},    {2.99, false}, {3, true},
                  {3 - 1e-10, true}, {4, true},     {5, true},     {7.9, true},
                  {8, false},        {11.9, false}, {12, true},    {99, true}};
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        assert_int_equal(mc_plan_attachment(plan, tooth, wanted[i].s), wanted[i].stands);
    }
    assert_true(mc_plan_attachment(plan, mc_tooth_from_iso(14), 0));
    assert_false(mc_plan_attachment(plan, mc_tooth_from_iso(15), 9));
    mc_plan_free(plan);
}

static void ipr_adds_up_to_what_is_listed(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    const mc_tooth tooth = mc_tooth_from_iso(42);
    add(plan, 42, 2, MC_MARK_NONE, 0.2, 0);
    add(plan, 42, 6, MC_MARK_NONE, 0.3, 0.1);
    add(plan, 42, 9, MC_MARK_NONE, 0, 0); /* a stage without an entry takes nothing back */
    static const double s[] = {0, 1.9, 2, 2 - 1e-10, 5.9, 6, 9, 50};
    static const double mesial[] = {0, 0, 0.2, 0.2, 0.2, 0.3, 0.3, 0.3};
    static const double distal[] = {0, 0, 0, 0, 0, 0.1, 0.1, 0.1};
    for (int i = 0; i < 8; i++) {
        assert_near(mc_plan_ipr(plan, tooth, true, s[i]), mesial[i], 0);
        assert_near(mc_plan_ipr(plan, tooth, false, s[i]), distal[i], 0);
    }
    assert_near(mc_plan_ipr(plan, mc_tooth_from_iso(41), true, 9), 0, 0);
    mc_plan_free(plan);
}

static void effective_stage_by_day(void **state) {
    (void)state;
    assert_near(mc_effective_stage(12, 0, 4), 11, 0);
    assert_near(mc_effective_stage(12, 1, 4), 11.25, 0);
    assert_near(mc_effective_stage(12, 3, 4), 11.75, 0);
    assert_near(mc_effective_stage(12, 4, 4), 12, 0);
    assert_near(mc_effective_stage(12, 5, 4), 12, 0);
    assert_near(mc_effective_stage(12, 400, 4), 12, 0);
    assert_near(mc_effective_stage(12, -1, 4), 12, 0); /* not known */
    assert_near(mc_effective_stage(1, 2, 4), 0.5, 0);
    assert_near(mc_effective_stage(1, 0, 4), 0, 0);
    assert_near(mc_effective_stage(3, 1, 2.5), 2.4, 1e-15);
    assert_near(mc_effective_stage(0, 3, 4), 0, 0); /* none yet */
    assert_near(mc_effective_stage(0, -1, 4), 0, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(attachments_come_and_go),
        cmocka_unit_test(ipr_adds_up_to_what_is_listed),
        cmocka_unit_test(effective_stage_by_day),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
