/* What is unlikely in a plan: told at the row that says it, and the plan is read all the same. */
#include "given.h"

/* The plan is read, with exactly this one warning. */
static void warn_once(const char *text, long line, long column, const char *warning) {
    plan_read read = read_plan(text);
    assert_int_equal(read.status, MC_OK);
    assert_non_null(read.plan);
    expect_warning(&read.warnings, 0, line, column, warning);
    assert_int_equal(read.warnings.count, 1);
    plan_read_free(&read);
}

static void warn_never(const char *text) {
    plan_read read = read_plan(text);
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 0);
    plan_read_free(&read);
}

static void more_than_15_mm(void **state) {
    (void)state;
    warn_never("tooth,stage,mesial_mm\n12,100,14.9\n");
    warn_once("tooth,stage,mesial_mm\n12,100,15.5\n", 2, 8,
              "12: 15.5 mm mesial is further than is likely (less than 15 mm)");
    warn_once("tooth,stage,buccal_mm\n12,100,-15\n", 2, 8,
              "12: 15 mm palatal is further than is likely (less than 15 mm)");
    warn_once("stage,occlusal_mm,tooth\n200,16,12\n", 2, 5,
              "12: 16 mm extrusion is further than is likely (less than 15 mm)");
}

static void more_than_60_deg(void **state) {
    (void)state;
    warn_never("tooth,stage,rotation_deg\n12,100,59.9\n");
    warn_once("tooth,stage,rotation_deg\n12,100,61\n", 2, 8,
              "12: 61 deg mesial-in is further than is likely (less than 60 deg)");
    warn_once("tooth,stage,angulation_deg\n12,200,-89\n", 2, 8,
              "12: 89 deg tip distal is further than is likely (less than 60 deg)");
    warn_once("tooth,stage,inclination_deg\n12,200,75\n", 2, 8,
              "12: 75 deg crown labial is further than is likely (less than 60 deg)");
}

static void a_step_above_each_limit(void **state) {
    (void)state;
    /* between stages 8 and 9 only: 0.25 mm and 2 deg a stage are what an aligner may do */
    warn_never("tooth,stage,mesial_mm\n12,8,1\n12,9,1.25\n");
    warn_once("tooth,stage,mesial_mm\n12,8,1\n12,9,1.28\n", 3, 6,
              "12: 0.28 mm a stage mesial between stages 8 and 9, above 0.25 mm");
    warn_once("tooth,stage,mesial_mm\n12,8,1\n12,9,1.2854\n", 3, 6,
              "12: 0.29 mm a stage mesial between stages 8 and 9, above 0.25 mm");
    warn_once("tooth,stage,mesial_mm\n12,8,1\n12,9,1.2504\n", 3, 6,
              "12: 0.25 mm a stage mesial between stages 8 and 9, just above 0.25 mm");
    warn_once("tooth,stage,rotation_deg\n12,8,1\n12,9,3.9651\n", 3, 6,
              "12: 3 deg a stage mesial-in between stages 8 and 9, above 2 deg");
    warn_once("tooth,stage,mesial_mm\n12,8,1\n12,9,0.72\n", 3, 6,
              "12: 0.28 mm a stage distal between stages 8 and 9, above 0.25 mm");
    warn_once("tooth,stage,buccal_mm\n46,8,1\n46,9,1.28\n", 3, 6,
              "46: 0.28 mm a stage buccal between stages 8 and 9, above 0.25 mm");
    warn_once("tooth,stage,occlusal_mm\n12,8,1\n12,9,0.78\n", 3, 6,
              "12: 0.22 mm a stage intrusion between stages 8 and 9, above 0.2 mm");
    warn_once("tooth,stage,occlusal_mm\n12,8,1\n12,9,1.18\n", 3, 6,
              "12: 0.18 mm a stage extrusion between stages 8 and 9, above 0.15 mm");
    warn_once("tooth,stage,rotation_deg\n12,8,8\n12,9,10.2\n", 3, 6,
              "12: 2.2 deg a stage mesial-in between stages 8 and 9, above 2 deg");
    warn_once("tooth,stage,rotation_deg\n13,8,8\n13,9,6.3\n", 3, 6,
              "13: 1.7 deg a stage mesial-out between stages 8 and 9, above 1.5 deg");
    warn_once("tooth,stage,angulation_deg\n12,8,8\n12,9,9.2\n", 3, 6,
              "12: 1.2 deg a stage tip mesial between stages 8 and 9, above 1 deg");
    warn_once("tooth,stage,inclination_deg\n12,8,8\n12,9,9.2\n", 3, 6,
              "12: 1.2 deg a stage crown labial between stages 8 and 9, above 1 deg");
}

static void a_corner_that_goes_too_far(void **state) {
    (void)state;
    plan_read read = read_plan("stage,tooth,mesial_mm,buccal_mm\n80,12,2,2\n81,12,2.24,2.24\n");
    assert_int_equal(read.status, MC_OK);
    expect_warning(&read.warnings, 0, 3, 1,
                   "12: a corner of the crown goes 0.34 mm a stage between stages 80 and 81, above "
                   "0.3 mm");
    assert_int_equal(read.warnings.count, 1);
    plan_read_free(&read);
}

static void one_warning_an_interval(void **state) {
    (void)state;
    /* ten stages of 0.28 mm, the first from stage 0, and then ten more */
    plan_read read = read_plan("tooth,stage,mesial_mm\n12,20,5.6\n12,10,2.8\n12,30,5.6\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 2);
    expect_warning(&read.warnings, 0, 2, 7,
                   "12: 0.28 mm a stage mesial between stages 10 and 20, above 0.25 mm");
    expect_warning(&read.warnings, 1, 3, 7,
                   "12: 0.28 mm a stage mesial between stages 0 and 10, above 0.25 mm");
    plan_read_free(&read);
}

static void warnings_come_in_the_files_order(void **state) {
    (void)state;
    plan_read read = read_plan("tooth,stage,rotation_deg,mesial_mm\n"
                               "21,300,61,15.5\n"
                               "11,1,0,0.27\n"
                               "11,90,0,15\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 4);
    expect_warning(&read.warnings, 0, 2, 8,
                   "21: 61 deg mesial-in is further than is likely (less than 60 deg)");
    expect_warning(&read.warnings, 1, 2, 11,
                   "21: 15.5 mm mesial is further than is likely (less than 15 mm)");
    expect_warning(&read.warnings, 2, 3, 8,
                   "11: 0.27 mm a stage mesial between stages 0 and 1, above 0.25 mm");
    expect_warning(&read.warnings, 3, 4, 9,
                   "11: 15 mm mesial is further than is likely (less than 15 mm)");
    plan_read_free(&read);
}

static void the_practice_sets_the_limits(void **state) {
    (void)state;
    const char *text = "tooth,stage,mesial_mm\n12,1,0.2\n";
    mc_settings settings;
    mc_settings_defaults(&settings);
    settings.step_mesiodistal_mm = 0.1;
    mc_plan *plan;
    mc_warnings warnings;
    assert_int_equal(mc_plan_read(text, strlen(text), MC_NOTATION_ISO, NULL, &settings, &plan, NULL,
                                  &warnings, NULL),
                     MC_OK);
    expect_warning(&warnings, 0, 2, 6,
                   "12: 0.2 mm a stage mesial between stages 0 and 1, above 0.1 mm");
    mc_plan_free(plan);
    mc_warnings_free(&warnings);
}

static void teeth_are_named_as_in_the_file(void **state) {
    (void)state;
    const char *text = "tooth,stage,mesial_mm\nUR2,1,0.27\n";
    plan_read read = read_plan_bytes(text, strlen(text), MC_NOTATION_QUADRANT, NULL);
    expect_warning(&read.warnings, 0, 2, 7,
                   "UR2: 0.27 mm a stage mesial between stages 0 and 1, above 0.25 mm");
    plan_read_free(&read);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(more_than_15_mm),
        cmocka_unit_test(more_than_60_deg),
        cmocka_unit_test(a_step_above_each_limit),
        cmocka_unit_test(a_corner_that_goes_too_far),
        cmocka_unit_test(one_warning_an_interval),
        cmocka_unit_test(warnings_come_in_the_files_order),
        cmocka_unit_test(the_practice_sets_the_limits),
        cmocka_unit_test(teeth_are_named_as_in_the_file),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
