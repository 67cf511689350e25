/* Plans written: what the file looks like, and that reading it gives the same plan, digit by digit.
 */
#include "given.h"
#include "random.h"

#include <float.h>
#include <locale.h>

static void expect_text(const mc_plan *plan, mc_notation notation, const mc_plan_origin *origin,
                        const char *heading, const char *expected) {
    char *data;
    size_t size;
    mc_error error;
    assert_int_equal(mc_plan_write(plan, notation, origin, heading, &data, &size, &error), MC_OK);
    assert_string_equal(data, expected);
    assert_int_equal(size, strlen(expected));
    free(data);
}

static void header_and_rows_in_chart_order(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    add_row(plan, 31, 4, (double[]){0.1, 0, 0, 0, 0, 0});
    add_row(plan, 12, 24, (double[]){1.2, -0.9, 0.75, 18, 6, 0});
    add_row(plan, 12, 8, (double[]){0.4, -0.3, 0.25, 6, 2, -0.0});
    expect_text(plan, MC_NOTATION_ISO, NULL, NULL,
                PLAN_HEADER "12,8,0.4,-0.3,0.25,6,2,0\n"
                            "12,24,1.2,-0.9,0.75,18,6,0\n"
                            "31,4,0.1,0,0,0,0,0\n");
    expect_text(plan, MC_NOTATION_QUADRANT, NULL, NULL,
                PLAN_HEADER "UR2,8,0.4,-0.3,0.25,6,2,0\n"
                            "UR2,24,1.2,-0.9,0.75,18,6,0\n"
                            "LL1,4,0.1,0,0,0,0,0\n");
    mc_plan_free(plan);
}

static void optional_columns_only_where_used(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    mc_plan_row row = {.tooth = tooth_of(33), .stage = 2, .attachment = MC_MARK_PLACED};
    assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
    row = (mc_plan_row){.tooth = tooth_of(33), .stage = 9, .attachment = MC_MARK_REMOVED};
    row.ipr_distal = 0.25;
    assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
    row = (mc_plan_row){.tooth = tooth_of(33), .stage = 12};
    assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
    expect_text(plan, MC_NOTATION_ISO, NULL, NULL,
                "tooth,stage,mesial_mm,buccal_mm,occlusal_mm,rotation_deg,angulation_deg,"
                "inclination_deg,attachment,ipr_distal_mm\n"
                "33,2,0,0,0,0,0,0,placed,0\n"
                "33,9,0,0,0,0,0,0,removed,0.25\n"
                "33,12,0,0,0,0,0,0,,0\n");
    mc_plan_free(plan);
}

static void headings_and_origin_are_remarks(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    add_row(plan, 12, 1, (double[]){0.1, 0, 0, 0, 0, 0});
    mc_plan_origin origin = {.checkup = 3, .preview = true};
    for (int i = 0; i < 16; i++) {
        origin.case_id.byte[i] = (unsigned char)(i * 17);
    }
    expect_text(plan, MC_NOTATION_ISO, &origin, "Draft\nnot an order\n",
                "# Draft\n# not an order\n"
                "# made-from: 00112233445566778899aabbccddeeff checkup 3 preview\n" PLAN_HEADER
                "12,1,0.1,0,0,0,0,0\n");
    origin.preview = false;
    expect_text(plan, MC_NOTATION_ISO, &origin, NULL,
                "# made-from: 00112233445566778899aabbccddeeff checkup 3 order\n" PLAN_HEADER
                "12,1,0.1,0,0,0,0,0\n");
    origin.version = 2; /* amended since it was first entered */
    expect_text(
        plan, MC_NOTATION_ISO, &origin, NULL,
        "# made-from: 00112233445566778899aabbccddeeff checkup 3 version 2 order\n" PLAN_HEADER
        "12,1,0.1,0,0,0,0,0\n");
    origin = (mc_plan_origin){.checkup = 0};
    expect_text(plan, MC_NOTATION_ISO, &origin, "", PLAN_HEADER "12,1,0.1,0,0,0,0,0\n");
    mc_plan_free(plan);
}

static void refuse_write(const mc_plan *plan, const mc_plan_origin *origin, const char *heading,
                         const char *part) {
    char *data;
    size_t size;
    mc_error error;
    assert_int_equal(mc_plan_write(plan, MC_NOTATION_ISO, origin, heading, &data, &size, &error),
                     MC_USAGE);
    assert_non_null(strstr(error.text, part));
    assert_null(data);
    assert_int_equal(size, 0);
}

static void what_would_be_misread_is_not_written(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    const mc_plan_origin of_no_case = {.checkup = 3}, preview = {.preview = true};
    refuse_write(plan, &of_no_case, NULL, "needs its case");
    refuse_write(plan, &preview, NULL, "needs its case");
    refuse_write(plan, NULL, "Draft\r made-from: me", "may not look like");
    mc_plan_free(plan);
}

/* ---- export then import gives the same plan ---- */

static void expect_round_trip(const mc_plan *plan, const mc_plan_origin *origin,
                              mc_notation notation) {
    char *data;
    size_t size;
    assert_int_equal(
        mc_plan_write(plan, notation, origin, "A heading, \"quoted\"", &data, &size, NULL), MC_OK);
    plan_read read = read_plan_bytes(data, size, notation, NULL);
    if (read.status != MC_OK) {
        fail_msg("%ld:%ld: %s", read.error.line, read.error.column, read.error.text);
    }
    expect_same_plan(plan, read.plan);
    const mc_plan_origin expected = origin ? *origin : (mc_plan_origin){.checkup = 0};
    assert_memory_equal(&read.origin.case_id, &expected.case_id, sizeof expected.case_id);
    assert_int_equal(read.origin.checkup, expected.checkup);
    assert_int_equal(read.origin.preview, expected.preview);
    /* and once more, now that the rows come from a file */
    char *again;
    size_t again_size;
    assert_int_equal(mc_plan_write(read.plan, notation, origin, "A heading, \"quoted\"", &again,
                                   &again_size, NULL),
                     MC_OK);
    assert_string_equal(again, data);
    free(again);
    free(data);
    plan_read_free(&read);
}

/* Numbers of every kind: round ones, 17 digits, far too small to matter, at the ends of the range.
 */
static double any_number(random_source *source) {
    switch (random_below(source, 6)) {
    case 0:
        return 0;
    case 1:
        return random_below(source, 401) / 100.0 - 2;
    case 2:
        return random_between(source, -89, 89);
    case 3:
        return ldexp(random_between(source, -1, 1), -random_below(source, 1070));
    case 4: {
        const double ends[] = {DBL_MIN, -DBL_MIN, 0x1p-1074, -0x1p-1074, 0.1, 1.0 / 3};
        return ends[random_below(source, 6)];
    }
    default:
        return nextafter(random_below(source, 90), 1000);
    }
}

static mc_plan *any_plan(random_source *source) {
    mc_plan *plan = mc_plan_new();
    assert_non_null(plan);
    const int rows = 1 + random_below(source, 40);
    for (int i = 0; i < rows; i++) {
        mc_plan_row row = {.tooth = random_below(source, MC_TEETH),
                           .stage = random_below(source, 30)};
        for (int c = 0; c < MC_COMPONENTS && row.stage > 0; c++) {
            row.pose.c[c] = any_number(source) + 0.0;
        }
        row.attachment = (mc_mark)random_below(source, 3);
        if (random_below(source, 3) == 0) {
            row.ipr_mesial = random_unit(source);
            row.ipr_distal = random_below(source, 2) ? random_unit(source) : 0;
        }
        (void)mc_plan_add(plan, &row, NULL); /* a repeated one is left out */
    }
    add_row(plan, 11, 998, (double[]){0, 0, 0, 0, 0, 0});
    return plan;
}

static void any_plan_reads_back_the_same(void **state) {
    (void)state;
    random_source source = random_seed(20);
    for (int i = 0; i < 400; i++) {
        mc_plan *plan = any_plan(&source);
        mc_plan_origin origin = {.checkup = random_below(&source, 50),
                                 .preview = random_below(&source, 2) == 0};
        for (int b = 0; b < 16; b++) {
            origin.case_id.byte[b] = (unsigned char)(1 + random_below(&source, 255));
        }
        expect_round_trip(plan, i % 2 == 0 ? &origin : NULL, (mc_notation)(i % 3));
        mc_plan_free(plan);
    }
}

static void numbers_go_through_whatever_the_locale(void **state) {
    (void)state;
    random_source source = random_seed(21);
    mc_plan *plan = any_plan(&source);
    char *old = strdup(setlocale(LC_ALL, NULL));
    (void)setlocale(LC_ALL, "de_DE.UTF-8"); /* where the machine has it */
    expect_round_trip(plan, NULL, MC_NOTATION_ISO);
    (void)setlocale(LC_ALL, old);
    free(old);
    mc_plan_free(plan);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(header_and_rows_in_chart_order),
        cmocka_unit_test(optional_columns_only_where_used),
        cmocka_unit_test(headings_and_origin_are_remarks),
        cmocka_unit_test(what_would_be_misread_is_not_written),
        cmocka_unit_test(any_plan_reads_back_the_same),
        cmocka_unit_test(numbers_go_through_whatever_the_locale),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
