/* Which thing goes into which cell of a plot, drawn here in letters and seen as text. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "tooth_plot.h"

/* A straight plan over `stages` to `target`, nothing else known. */
static plot_course straight(int stages, double target, int cols) {
    plot_course c = {
        .stages = stages, .now = NAN, .tolerance = 2, .finish = 5, .target = target, .end = NAN};
    for (int i = 0; i < 2 * cols; i++)
        c.plan[i] = target * plot_half_stage(&c, cols, i) / stages;
    for (int i = 0; i < cols; i++)
        c.low[i] = c.high[i] = NAN;
    return c;
}

/* The cells as letters, a row a line. */
static const char *letters(const plot_course *c, plot_scale scale, int rows, int cols) {
    static const char of[PLOT_THINGS + 1] = " :-|*I=EerB";
    static char out[PLOT_ROWS * (PLOT_COLS + 1) + 1];
    static plot_cell cells[PLOT_ROWS * PLOT_COLS];
    size_t used = 0;
    plot_fill(c, scale, rows, cols, cells);
    for (int row = 0; row < rows; row++) {
        for (int col = 0; col < cols; col++)
            out[used++] = of[cells[row * cols + col].thing];
        out[used++] = '\n';
    }
    out[used] = '\0';
    return out;
}

/* ---- the scale ---- */

static void rows_stand_for_round_numbers(void **state) {
    (void)state;
    plot_course c = straight(20, 18, 41);
    plot_scale s = plot_scale_of(&c, 10, 41, 0.1); /* 0 to 23 */
    assert_float_equal(s.step, 2.5, 1e-12);
    assert_float_equal(plot_value(s, s.top), 0, 1e-12);
    assert_int_equal(plot_row(s, 18), s.top - 7);
    c = straight(20, 0.6, 41);
    c.finish = 0.2;
    s = plot_scale_of(&c, 10, 41, 0.01);
    assert_float_equal(s.step, 0.1, 1e-12);
}

/* Whatever is known has its place, on every number of rows, and the scale is no coarser than it has
 * to be. */
static void everything_has_its_place(void **state) {
    (void)state;
    const double targets[] = {18, -0.4, 0, 120, -33};
    for (int t = 0; t < 5; t++)
        for (int rows = 8; rows <= PLOT_ROWS; rows++) {
            plot_course c = straight(24, targets[t], 60);
            c.now = 12;
            c.points = 1;
            c.point[0] = (plot_point){12, targets[t] / 2 - 7, 3, targets[t] / 3, 1};
            c.low[59] = targets[t] / 2 - 4;
            c.high[59] = targets[t] / 2 + 9;
            plot_scale s = plot_scale_of(&c, rows, 60, 0.1);
            const double values[] = {
                0,          targets[t] + 5,          targets[t] - 5,          c.low[59],
                c.high[59], c.point[0].observed - 3, c.point[0].observed + 3, c.point[0].estimate};
            int top = rows, bottom = -1;
            for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
                int row = plot_row(s, values[i]);
                top = row < top ? row : top;
                bottom = row > bottom ? row : bottom;
            }
            assert_true(top >= 0 && bottom < rows);
            assert_true(bottom - top + 1 > rows / 2); /* most of the rows are used */
        }
}

/* ---- the cells ---- */

static void the_plan_is_an_unbroken_line(void **state) {
    (void)state;
    plot_course c = straight(10, 20, 11);
    c.finish = 100;          /* out of sight */
    plot_scale s = {2.5, 8}; /* 20 on row 0, 0 on row 8 */
    const char *seen = letters(&c, s, 9, 11);
    int before = -1;
    for (int col = 0; col < 11; col++) {
        int first = -1, last = -1;
        for (int row = 0; row < 9; row++)
            if (seen[row * 12 + col] == '*') {
                first = first < 0 ? row : first;
                last = row;
            }
        assert_true(first >= 0); /* in every column */
        if (before >= 0)
            assert_true(last >= before - 1 && first <= before);
        before = first;
    }
    assert_int_equal(seen[8 * 12], '*');
    assert_int_equal(seen[10], '*');
}

static void dots_of_the_plan_are_four_a_row(void **state) {
    (void)state;
    enum { COLS = 4, ROWS = 2 };
    plot_cell cells[ROWS * COLS];
    plot_course c = straight(4, 0, COLS);
    c.finish = 100;
    plot_scale s = {1, 1};
    const double values[2 * COLS] = {1.4, 1.1, 0.9, 0.6, 0.4, 0.1, -0.1, -0.4};
    memcpy(c.plan, values, sizeof values);
    plot_fill(&c, s, ROWS, COLS, cells);
    assert_int_equal(cells[0].dots, 0x01 | 0x10);        /* first and second row of dots */
    assert_int_equal(cells[1].dots, 0x04 | 0x80);        /* third and fourth */
    assert_int_equal(cells[COLS + 2].dots, 0x01 | 0x10); /* and so on, a row below */
    assert_int_equal(cells[COLS + 3].dots, 0x04 | 0x80);
    assert_int_equal(cells[0].thing, PLOT_PLAN);
    assert_int_equal(cells[2].thing, PLOT_NOTHING);
}

/* The whole of a course, cell by cell. */
static void every_thing_in_its_cell(void **state) {
    (void)state;
    enum { COLS = 21, ROWS = 9 };
    plot_course c = straight(20, 20, COLS);
    plot_scale s = {5, 6};
    c.now = 10;
    c.tolerance = 5;
    c.points = 2;
    c.point[0] = (plot_point){4, -5, 5, 0, 1};
    c.point[1] = (plot_point){10, 5, 5, 5, 1};
    for (int col = 10; col < COLS; col++) {
        c.low[col] = 5;
        c.high[col] = 5 + (col - 10);
    }
    c.end = 10;
    const char *seen = letters(&c, s, ROWS, COLS);
    const int wide = COLS + 1;
    assert_int_equal(seen[6 * wide + 4], 'e');  /* 0 */
    assert_int_equal(seen[7 * wide + 4], 'r');  /* -5 */
    assert_int_equal(seen[8 * wide + 4], 'I');  /* -10: its SD */
    assert_int_equal(seen[5 * wide + 10], 'B'); /* both at 5 */
    assert_int_equal(seen[4 * wide + 10], 'I'); /* its SD goes before the plan's line there */
    assert_int_equal(seen[0 * wide + 10], '|'); /* now, from top to bottom */
    assert_int_equal(seen[8 * wide + 10], '|');
    assert_int_equal(seen[5 * wide + 15], ':'); /* the band, from 5 */
    assert_int_equal(seen[4 * wide + 15], ':'); /* to 10 */
    assert_int_equal(seen[5 * wide + 8], '-');  /* tolerance about the plan, */
    assert_int_equal(seen[5 * wide + 9], '-');
    assert_int_equal(seen[4 * wide + 20], 'E');
    assert_int_equal(seen[1 * wide + 18], '='); /* 25 */
    assert_int_equal(seen[3 * wide + 20], '='); /* 15 */
    assert_int_equal(seen[2 * wide + 20], '*'); /* the target itself */
    for (int row = 0; row < ROWS; row++)        /* no tolerance ahead, no band behind */
        for (int col = 0; col < COLS; col++)
            assert_false(seen[row * wide + col] == (col > 10 ? '-' : ':'));
}

static void without_a_check_up_there_is_only_the_plan(void **state) {
    (void)state;
    plot_course c = straight(20, -9, 30);
    plot_scale s = plot_scale_of(&c, 12, 30, 0.1);
    const char *seen = letters(&c, s, 12, 30);
    assert_null(strpbrk(seen, ":-|IEerB"));
    assert_non_null(strchr(seen, '*'));
    assert_non_null(strchr(seen, '='));
}

/* A reading far off the plan makes the plot larger; it is never left out or cut. */
static void nothing_is_out_of_sight(void **state) {
    (void)state;
    for (int i = -60; i <= 60; i++) {
        plot_course c = straight(20, 10, 40);
        c.now = 20;
        c.points = 1;
        c.point[0] = (plot_point){20, i, 3, i / 2.0, 1};
        plot_scale s = plot_scale_of(&c, 11, 40, 0.1);
        const char *seen = letters(&c, s, 11, 40);
        assert_true(strchr(seen, 'B') || (strchr(seen, 'r') && strchr(seen, 'e')));
    }
}

/* ---- stages ---- */

static void stages_have_their_columns(void **state) {
    (void)state;
    plot_course c = straight(24, 1, 49);
    assert_int_equal(plot_col(&c, 49, 0), 0);
    assert_int_equal(plot_col(&c, 49, 24), 48);
    assert_int_equal(plot_col(&c, 49, 12), 24);
    assert_int_equal(plot_col(&c, 49, 99), 48);
    assert_float_equal(plot_stage(&c, 49, 24), 12, 1e-12);
    assert_float_equal(plot_half_stage(&c, 49, 97), 24, 1e-12);
    assert_int_equal(plot_stage_step(&c, 49, 5), 4); /* two columns a stage */
    assert_int_equal(plot_stage_step(&c, 49, 2), 1);
    c = straight(999, 1, 49);
    assert_int_equal(plot_stage_step(&c, 49, 5), 200);
    c = straight(1, 1, 49);
    assert_int_equal(plot_stage_step(&c, 49, 5), 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_stand_for_round_numbers),
        cmocka_unit_test(everything_has_its_place),
        cmocka_unit_test(the_plan_is_an_unbroken_line),
        cmocka_unit_test(dots_of_the_plan_are_four_a_row),
        cmocka_unit_test(every_thing_in_its_cell),
        cmocka_unit_test(without_a_check_up_there_is_only_the_plan),
        cmocka_unit_test(nothing_is_out_of_sight),
        cmocka_unit_test(stages_have_their_columns),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
