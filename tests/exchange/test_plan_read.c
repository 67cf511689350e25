/* Plan files that are well. */
#include "given.h"

#include <stdio.h>

static void expect_pose(const plan_read *read, int iso, double s,
                        const double expected[MC_COMPONENTS]) {
    assert_int_equal(read->status, MC_OK);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        assert_near(mc_plan_at(read->plan, tooth_of(iso), (mc_component)c, s), expected[c], 1e-12);
    }
}

static void expect_golden(plan_read read) {
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 0);
    assert_int_equal(mc_plan_count(read.plan), 2);
    assert_int_equal(mc_plan_stages(read.plan, MC_UPPER), 24);
    assert_int_equal(mc_plan_stages(read.plan, MC_LOWER), 0);
    expect_pose(&read, 12, 8, (double[]){0.40, -0.30, 0.25, 6, 2, 0});
    expect_pose(&read, 12, 24, (double[]){1.20, -0.90, 0.75, 18, 6, 0});
    assert_true(mc_id_is_none(&read.origin.case_id));
    assert_int_equal(read.origin.checkup, 0);
    assert_false(read.origin.preview);
    plan_read_free(&read);
}

static void the_golden_plan(void **state) {
    (void)state;
    char *data;
    size_t size;
    mc_error error;
    assert_int_equal(mc_file_read(FIXTURES "/golden-plan.csv", &data, &size, &error), MC_OK);
    expect_golden(read_plan_bytes(data, size, MC_NOTATION_ISO, NULL));
    free(data);
}

static void columns_in_any_order(void **state) {
    (void)state;
    expect_golden(read_plan("stage,rotation_deg,tooth,occlusal_mm,angulation_deg,buccal_mm,"
                            "mesial_mm,inclination_deg\n"
                            "24,18,12,0.75,6,-0.90,1.20,0\n8,6,12,0.25,2,-0.30,0.40,0\n"));
}

static void marks_ends_quotes_remarks_and_blank_lines(void **state) {
    (void)state;
    expect_golden(read_plan("\xef\xbb\xbf# invented\r\n\r\n" PLAN_HEADER
                            "# tooth 12\r\n\"12\",8,\"0.40\",-0.30,0.25,6,2,0\r\n\r\n"
                            "12, 024 ,+1.2,-.90,.75,18.,6,"));
}

static void absent_columns_and_empty_fields_are_zero(void **state) {
    (void)state;
    plan_read read = read_plan("tooth,stage,buccal_mm,rotation_deg\n21,10,0.5,\n21,5,,4\n");
    expect_pose(&read, 21, 10, (double[]){0, 0.5, 0, 0, 0, 0});
    expect_pose(&read, 21, 5, (double[]){0, 0, 0, 4, 0, 0});
    plan_read_free(&read);
    read = read_plan("tooth,stage\n21,10\n");
    expect_pose(&read, 21, 10, (double[]){0, 0, 0, 0, 0, 0});
    plan_read_free(&read);
}

static void a_stage_0_of_zeros(void **state) {
    (void)state;
    plan_read read = read_plan("tooth,stage,buccal_mm,attachment\n21,0,0,placed\n21,5,-0.0,\n");
    assert_int_equal(read.status, MC_OK);
    assert_true(mc_plan_attachment(read.plan, tooth_of(21), 0));
    assert_int_equal(signbit(mc_plan_row_at(read.plan, 1)->pose.c[MC_BUCCAL]), 0);
    plan_read_free(&read);
}

static void attachments_and_ipr(void **state) {
    (void)state;
    plan_read read = read_plan("tooth,stage,attachment,ipr_mesial_mm,ipr_distal_mm\n"
                               "33,3,placed,0.2,\n33,9,removed,,0.25\n33,12,,2,0\n");
    assert_int_equal(read.status, MC_OK);
    const mc_plan_row *row = NULL;
    assert_int_equal(mc_plan_tooth_rows(read.plan, tooth_of(33), &row), 3);
    assert_int_equal(row[0].attachment, MC_MARK_PLACED);
    assert_near(row[0].ipr_mesial, 0.2, 0);
    assert_near(row[0].ipr_distal, 0, 0);
    assert_int_equal(row[1].attachment, MC_MARK_REMOVED);
    assert_near(row[1].ipr_distal, 0.25, 0);
    assert_int_equal(row[2].attachment, MC_MARK_NONE);
    assert_near(row[2].ipr_mesial, 2, 0);
    plan_read_free(&read);
}

static void other_notations(void **state) {
    (void)state;
    const char *text = "tooth,stage,mesial_mm\n7,24,1\nM,24,0.5\n";
    plan_read read = read_plan_bytes(text, strlen(text), MC_NOTATION_UNIVERSAL, NULL);
    expect_pose(&read, 12, 24, (double[]){1, 0, 0, 0, 0, 0});
    expect_pose(&read, 73, 24, (double[]){0.5, 0, 0, 0, 0, 0});
    plan_read_free(&read);
    text = "tooth,stage,mesial_mm\nUR2,24,1\nLLC,24,0.5\n";
    read = read_plan_bytes(text, strlen(text), MC_NOTATION_QUADRANT, NULL);
    expect_pose(&read, 12, 24, (double[]){1, 0, 0, 0, 0, 0});
    expect_pose(&read, 73, 24, (double[]){0.5, 0, 0, 0, 0, 0});
    plan_read_free(&read);
}

static void the_last_stage_there_can_be(void **state) {
    (void)state;
    plan_read read = read_plan("tooth,stage,mesial_mm\n12,999,1\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(mc_plan_stages(read.plan, MC_UPPER), 999);
    plan_read_free(&read);
}

static void a_fixed_tooth_may_be_listed_without_movement(void **state) {
    (void)state;
    mc_tooth_state states[MC_TEETH] = {MC_TOOTH_PRESENT};
    states[tooth_of(36)] = MC_TOOTH_IMPLANT;
    const char *text = "tooth,stage,mesial_mm\n36,24,0\n35,24,1\n";
    plan_read read = read_plan_bytes(text, strlen(text), MC_NOTATION_ISO, states);
    assert_int_equal(read.status, MC_OK);
    plan_read_free(&read);
}

static void where_a_draft_came_from(void **state) {
    (void)state;
    plan_read read = read_plan("# Draft\n# made-from: 000102030405060708090a0b0c0d0eff checkup 3 "
                               "preview\ntooth,stage\n12,1\n");
    assert_int_equal(read.status, MC_OK);
    char id[33];
    mc_id_text(&read.origin.case_id, id);
    assert_string_equal(id, "000102030405060708090a0b0c0d0eff");
    assert_int_equal(read.origin.checkup, 3);
    assert_int_equal(read.origin.version, 1);
    assert_int_equal(read.origin.line, 2);
    assert_true(read.origin.preview);
    plan_read_free(&read);
    read = read_plan("# made-from: 000102030405060708090a0b0c0d0eff checkup 3 version 12 order\n"
                     "tooth,stage\n12,1\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.origin.checkup, 3);
    assert_int_equal(read.origin.version, 12);
    assert_false(read.origin.preview);
    plan_read_free(&read);
    read = read_plan("tooth,stage\n12,1\n# made-from: ffffffffffffffffffffffffffffffff checkup 12 "
                     "order\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.origin.checkup, 12);
    assert_false(read.origin.preview);
    assert_false(mc_id_is_none(&read.origin.case_id));
    plan_read_free(&read);
}

static void the_origin_need_not_be_asked_for(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    mc_plan *plan;
    mc_warnings warnings;
    const char *text = "tooth,stage\n12,1\n";
    assert_int_equal(mc_plan_read(text, strlen(text), MC_NOTATION_ISO, NULL, &settings, &plan, NULL,
                                  &warnings, NULL),
                     MC_OK);
    mc_plan_free(plan);
    mc_warnings_free(&warnings);
}

/* The largest plan that can be: every tooth at every stage, listed backwards. */
static void every_tooth_at_every_stage(void **state) {
    (void)state;
    char *text = malloc(1024 * 1024);
    assert_non_null(text);
    size_t size = (size_t)sprintf(text, "tooth,stage,mesial_mm\n");
    for (mc_tooth tooth = MC_TEETH - 1; tooth >= 0; tooth--) {
        for (int stage = MC_MOST_STAGES; stage >= 0; stage--) {
            size +=
                (size_t)sprintf(text + size, "%d,%d,%d\n", mc_tooth_iso(tooth), stage, stage > 500);
        }
    }
    plan_read read = read_plan_bytes(text, size, MC_NOTATION_ISO, NULL);
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(mc_plan_count(read.plan), 52000);
    assert_int_equal(read.warnings.count,
                     2 * MC_TEETH); /* one millimetre at once, and its corner */
    plan_read_free(&read);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_golden_plan),
        cmocka_unit_test(columns_in_any_order),
        cmocka_unit_test(marks_ends_quotes_remarks_and_blank_lines),
        cmocka_unit_test(absent_columns_and_empty_fields_are_zero),
        cmocka_unit_test(a_stage_0_of_zeros),
        cmocka_unit_test(attachments_and_ipr),
        cmocka_unit_test(other_notations),
        cmocka_unit_test(the_last_stage_there_can_be),
        cmocka_unit_test(a_fixed_tooth_may_be_listed_without_movement),
        cmocka_unit_test(where_a_draft_came_from),
        cmocka_unit_test(the_origin_need_not_be_asked_for),
        cmocka_unit_test(every_tooth_at_every_stage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
