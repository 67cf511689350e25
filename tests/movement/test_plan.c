/* The plan: what is refused, order, the pose at any stage, extremes, size. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/movement.h"
#include "near.h"
#include "random.h"

#include <string.h>

static mc_plan_row row_of(int iso, int stage, double mesial, double rotation) {
    mc_plan_row row = {.tooth = mc_tooth_from_iso(iso), .stage = stage};
    row.pose.c[MC_MESIAL] = mesial;
    row.pose.c[MC_ROTATION] = rotation;
    return row;
}

static void add(mc_plan *plan, int iso, int stage, double mesial, double rotation) {
    const mc_plan_row row = row_of(iso, stage, mesial, rotation);
    mc_error error;
    if (mc_plan_add(plan, &row, &error) != MC_OK) {
        fail_msg("%s", error.text);
    }
}

static void refuse(mc_plan *plan, const mc_plan_row *row, const char *why) {
    const size_t before = mc_plan_count(plan);
    mc_error error = {.status = MC_OK};
    assert_int_equal(mc_plan_add(plan, row, &error), MC_REFUSED);
    assert_int_equal(error.status, MC_REFUSED);
    if (!strstr(error.text, why)) {
        fail_msg("\"%s\" does not say \"%s\"", error.text, why);
    }
    assert_int_equal(mc_plan_count(plan), before);
}

static void refuses_bad_teeth_and_stages(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    mc_plan_row row = row_of(12, 8, 0.4, 6);
    row.tooth = MC_NO_TOOTH;
    refuse(plan, &row, "no tooth");
    row.tooth = MC_TEETH;
    refuse(plan, &row, "no tooth");
    row = row_of(12, -1, 0.4, 6);
    refuse(plan, &row, "tooth 12: stage -1");
    row = row_of(12, 1000, 0.4, 6);
    refuse(plan, &row, "stage 1000");
    add(plan, 12, 999, 0.4, 6);
    add(plan, 12, 8, 0.4, 6);
    row = row_of(12, 8, 0.5, 7);
    refuse(plan, &row, "tooth 12, stage 8 is listed twice");
    row = row_of(12, 8, 0.4, 6);
    refuse(plan, &row, "twice");
    assert_true(mc_plan_at(plan, row.tooth, MC_MESIAL, 8) == 0.4);
    mc_plan_free(plan);
}

static void refuses_a_start_that_is_not_zero(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    for (int c = 0; c < MC_COMPONENTS; c++) {
        mc_plan_row row = row_of(21, 0, 0, 0);
        row.pose.c[c] = 1e-12;
        refuse(plan, &row, mc_component_name((mc_component)c));
    }
    add(plan, 21, 0, 0, 0);
    add(plan, 22, 0, -0.0, 0);
    mc_plan_free(plan);
}

static void refuses_bad_numbers(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    static const double bad[] = {NAN, INFINITY, -INFINITY};
    for (int i = 0; i < 3; i++) {
        for (int c = 0; c < MC_COMPONENTS; c++) {
            mc_plan_row row = row_of(21, 3, 0, 0);
            row.pose.c[c] = bad[i];
            refuse(plan, &row, "tooth 21, stage 3");
        }
        mc_plan_row row = row_of(21, 3, 0, 0);
        row.ipr_mesial = bad[i];
        refuse(plan, &row, "IPR");
        row.ipr_mesial = 0;
        row.ipr_distal = bad[i];
        refuse(plan, &row, "IPR");
    }
    mc_plan_row row = row_of(21, 3, 0, 0);
    row.ipr_distal = -0.1;
    refuse(plan, &row, "IPR");
    static const double steep[] = {90, -90, 120, -1000, 90 - 1e-10};
    for (int i = 0; i < 5; i++) {
        row = row_of(21, 3, 0, 0);
        row.pose.c[MC_ANGULATION] = steep[i];
        refuse(plan, &row, "angulation");
    }
    row.pose.c[MC_ANGULATION] = 89.9;
    row.pose.c[MC_ROTATION] = 300; /* unlikely, not impossible */
    assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
    mc_plan_free(plan);
}

static void stands_in_chart_order(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    add(plan, 31, 5, 1, 0);
    add(plan, 11, 9, 3, 0);
    add(plan, 31, 2, 1, 0);
    add(plan, 18, 4, 1, 0);
    add(plan, 11, 1, 1, 0);
    add(plan, 11, 4, 2, 0);
    add(plan, 61, 7, 1, 0);
    static const int wanted[][2] = {{18, 4}, {11, 1}, {11, 4}, {11, 9}, {61, 7}, {31, 2}, {31, 5}};
    assert_int_equal(mc_plan_count(plan), 7);
    for (size_t i = 0; i < 7; i++) {
        assert_int_equal(mc_tooth_iso(mc_plan_row_at(plan, i)->tooth), wanted[i][0]);
        assert_int_equal(mc_plan_row_at(plan, i)->stage, wanted[i][1]);
    }
    assert_null(mc_plan_row_at(plan, 7));
    const mc_plan_row *rows = NULL;
    assert_int_equal(mc_plan_tooth_rows(plan, mc_tooth_from_iso(11), &rows), 3);
    assert_int_equal(rows[0].stage, 1);
    assert_int_equal(rows[2].stage, 9);
    assert_int_equal(mc_plan_tooth_rows(plan, mc_tooth_from_iso(12), &rows), 0);
    assert_null(rows);
    mc_plan_free(plan);
}

static void each_arch_has_its_own_n(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    assert_int_equal(mc_plan_stages(plan, MC_UPPER), 0);
    add(plan, 11, 0, 0, 0);
    assert_int_equal(mc_plan_stages(plan, MC_UPPER), 0);
    add(plan, 11, 24, 1, 0);
    add(plan, 12, 20, 1, 0);
    assert_int_equal(mc_plan_stages(plan, MC_UPPER), 24);
    assert_int_equal(mc_plan_stages(plan, MC_LOWER), 0);
    add(plan, 85, 7, 1, 0);
    add(plan, 44, 30, 0, 0);
    assert_int_equal(mc_plan_stages(plan, MC_LOWER), 30);
    assert_int_equal(mc_plan_stages(plan, MC_UPPER), 24);
    mc_plan_free(plan);
}

static void is_straight_between_listed_stages(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    const mc_tooth tooth = mc_tooth_from_iso(12);
    add(plan, 12, 8, 0.4, 6);
    add(plan, 12, 24, 1.2, -2);
    static const double s[] = {-3, 0, 2, 7.5, 8, 9, 16, 23.75, 24, 25, 1000};
    static const double mesial[] = {0, 0, 0.1, 0.375, 0.4, 0.45, 0.8, 1.1875, 1.2, 1.2, 1.2};
    static const double rotation[] = {0, 0, 1.5, 5.625, 6, 5.5, 2, -1.875, -2, -2, -2};
    for (int i = 0; i < 11; i++) {
        assert_near(mc_plan_at(plan, tooth, MC_MESIAL, s[i]), mesial[i], 1e-15);
        assert_near(mc_plan_at(plan, tooth, MC_ROTATION, s[i]), rotation[i], 1e-14);
        const mc_pose pose = mc_plan_pose(plan, tooth, s[i]);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            assert_true(pose.c[c] == mc_plan_at(plan, tooth, (mc_component)c, s[i]));
        }
        assert_true(pose.c[MC_BUCCAL] == 0);
        assert_true(mc_plan_at(plan, mc_tooth_from_iso(11), MC_MESIAL, s[i]) == 0);
    }
    mc_plan_free(plan);
}

/* At a listed stage exactly what is listed, and a listed stage 0 changes nothing. */
static void is_exact_where_listed(void **state) {
    (void)state;
    random_source source = random_seed(11);
    mc_plan *plan = mc_plan_new();
    add(plan, 43, 0, 0, 0);
    double listed[100];
    for (int stage = 1; stage < 100; stage += 1 + random_below(&source, 3)) {
        listed[stage] = random_normal(&source);
        add(plan, 43, stage, listed[stage], 0);
    }
    const mc_plan_row *rows;
    const size_t count = mc_plan_tooth_rows(plan, mc_tooth_from_iso(43), &rows);
    for (size_t i = 1; i < count; i++) {
        const double at = mc_plan_at(plan, rows[i].tooth, MC_MESIAL, rows[i].stage);
        assert_true(at == listed[rows[i].stage]);
        const double middle = (rows[i - 1].stage + rows[i].stage) / 2.0;
        assert_near(mc_plan_at(plan, rows[i].tooth, MC_MESIAL, middle),
                    (rows[i - 1].pose.c[MC_MESIAL] + rows[i].pose.c[MC_MESIAL]) / 2, 1e-15);
    }
    mc_plan_free(plan);
}

static void knows_extremes_and_what_moves(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    const mc_tooth tooth = mc_tooth_from_iso(33);
    assert_true(mc_plan_extreme(plan, tooth, MC_MESIAL) == 0);
    assert_false(mc_plan_moves(plan, tooth));
    add(plan, 33, 0, 0, 0);
    add(plan, 33, 30, 0, 0);
    assert_false(mc_plan_moves(plan, tooth));
    add(plan, 33, 10, -2, 0);
    assert_true(mc_plan_moves(plan, tooth));
    add(plan, 33, 20, 2, 1e-9);
    assert_true(mc_plan_extreme(plan, tooth, MC_MESIAL) == -2); /* the first of equals */
    assert_true(mc_plan_extreme(plan, tooth, MC_ROTATION) == 1e-9);
    assert_true(mc_plan_extreme(plan, tooth, MC_BUCCAL) == 0);
    add(plan, 33, 25, 2.5, -3);
    assert_true(mc_plan_extreme(plan, tooth, MC_MESIAL) == 2.5);
    assert_true(mc_plan_extreme(plan, tooth, MC_ROTATION) == -3);
    assert_false(mc_plan_moves(plan, mc_tooth_from_iso(34)));
    mc_plan_free(plan);
}

static void a_copy_stands_alone(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    add(plan, 12, 8, 0.4, 6);
    add(plan, 46, 3, 0.1, 0);
    mc_plan *copy = mc_plan_copy(plan);
    add(plan, 12, 9, 0.5, 7);
    add(copy, 12, 4, 0.3, 1);
    assert_int_equal(mc_plan_count(plan), 3);
    assert_int_equal(mc_plan_count(copy), 3);
    assert_near(mc_plan_at(plan, mc_tooth_from_iso(12), MC_MESIAL, 4), 0.2, 1e-15);
    assert_near(mc_plan_at(copy, mc_tooth_from_iso(12), MC_MESIAL, 4), 0.3, 1e-15);
    mc_plan_free(plan);
    assert_near(mc_plan_at(copy, mc_tooth_from_iso(46), MC_MESIAL, 3), 0.1, 0);
    mc_plan_free(copy);
    mc_plan_free(NULL);
}

/* The largest plan there can be, in the worst order, then asked everywhere. */
static void holds_the_largest_plan(void **state) {
    (void)state;
    mc_plan *plan = mc_plan_new();
    for (int stage = MC_MOST_STAGES; stage >= 1; stage--) {
        for (mc_tooth tooth = MC_TEETH - 1; tooth >= 0; tooth--) {
            mc_plan_row row = {.tooth = tooth, .stage = stage};
            row.pose.c[MC_OCCLUSAL] = stage * 0.001 + tooth;
            assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
        }
    }
    assert_int_equal(mc_plan_count(plan), 52 * 999);
    for (int stage = 1; stage < MC_MOST_STAGES; stage++) {
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            const double at = mc_plan_at(plan, tooth, MC_OCCLUSAL, stage + 0.5);
            assert_near(at, (stage + 0.5) * 0.001 + tooth, 1e-13);
        }
    }
    const mc_plan_row *last = mc_plan_row_at(plan, 52 * 999 - 1);
    assert_int_equal(mc_tooth_iso(last->tooth), 75);
    assert_int_equal(last->stage, 999);
    mc_plan_free(plan);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(refuses_bad_teeth_and_stages),
        cmocka_unit_test(refuses_a_start_that_is_not_zero),
        cmocka_unit_test(refuses_bad_numbers),
        cmocka_unit_test(stands_in_chart_order),
        cmocka_unit_test(each_arch_has_its_own_n),
        cmocka_unit_test(is_straight_between_listed_stages),
        cmocka_unit_test(is_exact_where_listed),
        cmocka_unit_test(knows_extremes_and_what_moves),
        cmocka_unit_test(a_copy_stands_alone),
        cmocka_unit_test(holds_the_largest_plan),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
