/* Where the chart's parts stand: within the screen, not upon each other, and the same at every
 * size. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "chart_view.h"

enum { PARTS = 13 };

static void parts_of(chart_layout at, area out[PARTS]) {
    const area parts[PARTS] = {at.upper,   at.lower, at.rule,     at.upper_series, at.lower_series,
                               at.heading, at.words, at.table,    at.proposal,     at.caution,
                               at.trend,   at.teeth, at.decisions};
    for (int i = 0; i < PARTS; i++)
        out[i] = parts[i];
}

static bool meet(area a, area b) {
    return a.row < b.row + b.rows && b.row < a.row + a.rows && a.col < b.col + b.cols &&
           b.col < a.col + a.cols;
}

static area body_of(int rows, int cols) {
    return (area){1, 0, rows - 3, cols};
}

static void check(int rows, int cols) {
    area body = body_of(rows, cols), parts[PARTS + 1];
    chart_layout at = chart_lay_out(body);
    parts_of(at, parts);
    parts[PARTS] = at.sentences;
    for (int i = 0; i <= PARTS; i++) {
        if (parts[i].rows == 0)
            continue;
        if (parts[i].row < body.row || parts[i].row + parts[i].rows > body.row + body.rows ||
            parts[i].col < 0 || parts[i].col + parts[i].cols > cols || parts[i].cols < 10)
            fail_msg("part %d is outside at %dx%d", i, cols, rows);
        for (int k = 0; k < i; k++)
            if (parts[k].rows > 0 && meet(parts[i], parts[k]))
                fail_msg("parts %d and %d meet at %dx%d", i, k, cols, rows);
    }
}

static void parts_never_meet(void **state) {
    (void)state;
    for (int rows = CONSOLE_ROWS; rows <= 120; rows++)
        for (int cols = CONSOLE_COLS; cols <= 320; cols++)
            check(rows, cols);
}

static void assert_same_place(area a, area b) {
    assert_int_equal(a.row, b.row);
    assert_int_equal(a.col, b.col);
}

static void what_stands_at_80x24_stands_there_always(void **state) {
    (void)state;
    chart_layout small = chart_lay_out(body_of(CONSOLE_ROWS, CONSOLE_COLS));
    assert_int_equal(small.trend.rows, 0);
    assert_int_equal(small.caution.row, CONSOLE_ROWS - 3);
    for (int rows = CONSOLE_ROWS; rows <= 80; rows += 4) {
        for (int cols = CONSOLE_COLS; cols <= 240; cols += 20) {
            chart_layout at = chart_lay_out(body_of(rows, cols));
            assert_same_place(at.upper, small.upper);
            assert_same_place(at.lower, small.lower);
            assert_same_place(at.rule, small.rule);
            assert_same_place(at.upper_series, small.upper_series);
            assert_same_place(at.lower_series, small.lower_series);
            assert_same_place(at.heading, small.heading);
            assert_same_place(at.words, small.words);
            assert_true(at.words.rows >= small.words.rows);
            assert_true(at.table.rows >= small.table.rows);
            assert_true(at.proposal.rows >= small.proposal.rows);
            assert_int_equal(at.caution.row, rows - 3);
        }
    }
}

static void larger_terminals_show_more(void **state) {
    (void)state;
    chart_layout tall = chart_lay_out(body_of(40, 120));
    assert_true(tall.full_table);
    assert_true(tall.trend.rows > 0 && tall.teeth.rows > 0 && tall.decisions.rows > 0);
    chart_layout wide = chart_lay_out(body_of(60, 200));
    assert_true(wide.sentences.rows > 0 && wide.teeth.rows > 32);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_never_meet),
        cmocka_unit_test(what_stands_at_80x24_stands_there_always),
        cmocka_unit_test(larger_terminals_show_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
