/* The canvas of dots: where dots fall, what cells look like, and that nothing leaves it. */
#include "canvas.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <string.h>

static canvas on;

static const char *shown(int row, int col) {
    static char text[CANVAS_BYTES];
    canvas_character(&on, false, row, col, text);
    return text;
}

static char shown_plain(int row, int col) {
    char text[CANVAS_BYTES];
    canvas_character(&on, true, row, col, text);
    assert_int_equal(text[1], '\0');
    return text[0];
}

static const canvas_cell *cell(int row, int col) {
    return &on.cell[row * CANVAS_COLS + col];
}

static bool bit(unsigned char dots, int x, int y) {
    return dots >> (DOTS_ACROSS * (y % DOTS_DOWN) + x % DOTS_ACROSS) & 1;
}

static bool has_line(int x, int y) {
    return bit(cell(y / DOTS_DOWN, x / DOTS_ACROSS)->line, x, y);
}

static bool has_inside(int x, int y) {
    return bit(cell(y / DOTS_DOWN, x / DOTS_ACROSS)->inside, x, y);
}

static int dots_drawn(void) {
    int count = 0;
    for (int y = 0; y < on.rows * DOTS_DOWN; y++)
        for (int x = 0; x < on.cols * DOTS_ACROSS; x++)
            count += has_line(x, y) || has_inside(x, y);
    return count;
}

/* A rectangle in dots. */
static void box(canvas_point out[4], double left, double top, double right, double bottom) {
    const canvas_point corners[] = {{left, top}, {right, top}, {right, bottom}, {left, bottom}};
    memcpy(out, corners, sizeof corners);
}

static void each_dot_has_its_place(void **state) {
    (void)state;
    static const char *const braille[DOTS_DOWN][DOTS_ACROSS] = {
        {"⠁", "⠈"}, {"⠂", "⠐"}, {"⠄", "⠠"}, {"⡀", "⢀"}};
    for (int y = 0; y < DOTS_DOWN; y++)
        for (int x = 0; x < DOTS_ACROSS; x++) {
            canvas_clear(&on, 2, 2);
            canvas_dot(&on, DOTS_ACROSS + x, DOTS_DOWN + y, STYLE_PLAIN);
            assert_string_equal(shown(1, 1), braille[y][x]);
            assert_string_equal(shown(0, 0), " ");
            assert_string_equal(shown(0, 1), " ");
            assert_string_equal(shown(1, 0), " ");
        }
}

static void outside_is_left_out(void **state) {
    (void)state;
    canvas_point corner[4];
    canvas_clear(&on, 3, 5);
    canvas_dot(&on, -1, 0, STYLE_PLAIN);
    canvas_dot(&on, 0, -1, STYLE_PLAIN);
    canvas_dot(&on, 10, 0, STYLE_PLAIN);
    canvas_dot(&on, 0, 12, STYLE_PLAIN);
    canvas_text(&on, -1, 0, STYLE_PLAIN, "a");
    canvas_text(&on, 3, 0, STYLE_PLAIN, "a");
    canvas_text(&on, 0, 5, STYLE_PLAIN, "a");
    box(corner, 20, 0, 30, 8);
    canvas_outline(&on, corner, 4, STYLE_PLAIN);
    canvas_dotted(&on, corner, 4, 2, STYLE_PLAIN);
    assert_int_equal(dots_drawn(), 0);
    for (int row = 0; row < 3; row++)
        for (int col = 0; col < 5; col++)
            assert_string_equal(shown(row, col), " ");
    box(corner, -1e9, -1e9, 1e9, 1e9); /* all of it within: only filled */
    canvas_outline(&on, corner, 4, STYLE_PLAIN);
    canvas_line(&on, (canvas_point){-1e9, -1e9}, (canvas_point){1e9, 1e9}, STYLE_PLAIN);
    assert_int_equal(dots_drawn(), 0);
    canvas_inside(&on, corner, 4, FILL_WHOLE, STYLE_PLAIN);
    assert_int_equal(dots_drawn(), 10 * 12);
}

static void no_more_cells_than_there_are(void **state) {
    (void)state;
    canvas_clear(&on, CANVAS_ROWS + 7, CANVAS_COLS + 9);
    assert_int_equal(on.rows, CANVAS_ROWS);
    assert_int_equal(on.cols, CANVAS_COLS);
    canvas_clear(&on, -3, -4);
    assert_int_equal(on.rows, 0);
    assert_int_equal(on.cols, 0);
    canvas_dot(&on, 0, 0, STYLE_PLAIN);
    canvas_text(&on, 0, 0, STYLE_PLAIN, "a");
}

static void an_outline_is_one_dot_thin(void **state) {
    (void)state;
    canvas_point corner[4];
    canvas_clear(&on, 4, 8);
    box(corner, 2, 3, 9, 10); /* 7 by 7 dots */
    canvas_outline(&on, corner, 4, STYLE_PLAIN);
    canvas_inside(&on, corner, 4, FILL_WHOLE, STYLE_PLAIN);
    for (int y = 0; y < 16; y++)
        for (int x = 0; x < 16; x++) {
            bool within = x >= 2 && x < 9 && y >= 3 && y < 10;
            bool edge = within && (x == 2 || x == 8 || y == 3 || y == 9);
            assert_int_equal(has_line(x, y), edge);
            assert_int_equal(has_inside(x, y), within && !edge);
        }
}

static void touching_shapes_keep_their_own_outlines(void **state) {
    (void)state;
    canvas_point left[4], right[4];
    canvas_clear(&on, 3, 8);
    box(left, 1, 2, 7, 8);
    box(right, 7, 2, 13, 8);
    canvas_outline(&on, left, 4, STYLE_PLAIN);
    canvas_outline(&on, right, 4, STYLE_PLAIN);
    for (int y = 3; y < 7; y++) {
        assert_true(has_line(6, y));
        assert_true(has_line(7, y));
        assert_false(has_line(5, y));
        assert_false(has_line(8, y));
    }
}

static void the_smallest_shape_is_a_dot(void **state) {
    (void)state;
    canvas_point corner[4];
    canvas_clear(&on, 3, 8);
    box(corner, 5.6, 6.6, 5.8, 6.9);
    canvas_outline(&on, corner, 4, STYLE_PLAIN);
    assert_true(has_line(5, 6));
    assert_int_equal(dots_drawn(), 1);
}

static void fills_look_otherwise(void **state) {
    (void)state;
    static const int expected[FILLS] = {0, 36, 48, 72, 144}; /* of 12 by 12 dots */
    canvas_point corner[4];
    for (int fill = FILL_NONE; fill < FILLS; fill++) {
        canvas_clear(&on, 4, 8);
        box(corner, 0, 0, 14, 14);
        canvas_inside(&on, corner, 4, (canvas_fill)fill, STYLE_PLAIN);
        assert_int_equal(dots_drawn(), expected[fill]);
    }
    char seen[FILLS + 1] = "";
    for (int fill = FILL_NONE; fill < FILLS; fill++) {
        canvas_clear(&on, 4, 8);
        canvas_inside(&on, corner, 4, (canvas_fill)fill, STYLE_PLAIN);
        char plain = shown_plain(1, 2);
        assert_null(strchr(seen, plain));
        seen[fill] = plain;
    }
}

static void what_comes_on_top_wipes(void **state) {
    (void)state;
    canvas_point under[4], over[4];
    canvas_clear(&on, 4, 8);
    box(under, 0, 0, 16, 16);
    box(over, 4, 4, 9, 9);
    canvas_inside(&on, under, 4, FILL_WHOLE, STYLE_BEHIND);
    canvas_outline(&on, under, 4, STYLE_BEHIND);
    canvas_wipe(&on, over, 4);
    for (int y = 0; y < 16; y++)
        for (int x = 0; x < 16; x++)
            assert_int_equal(has_line(x, y) || has_inside(x, y),
                             !(x >= 4 && x < 9 && y >= 4 && y < 9));
    canvas_dot(&on, 4, 4, STYLE_PLAIN); /* a cell wiped clean has forgotten its look */
    assert_int_equal(canvas_ink(&on, 1, 2), STYLE_PLAIN);
}

static void the_look_of_most_dots(void **state) {
    (void)state;
    canvas_clear(&on, 1, 2);
    canvas_dot(&on, 0, 0, STYLE_PLAIN);
    assert_int_equal(canvas_ink(&on, 0, 0), STYLE_PLAIN);
    canvas_dot(&on, 0, 1, STYLE_BEHIND); /* as many: the more urgent */
    assert_int_equal(canvas_ink(&on, 0, 0), STYLE_BEHIND);
    canvas_dot(&on, 0, 2, STYLE_FAINT);
    canvas_dot(&on, 0, 3, STYLE_FAINT);
    assert_int_equal(canvas_ink(&on, 0, 0), STYLE_FAINT);
    canvas_text(&on, 0, 0, STYLE_SELECTED, "x");
    assert_int_equal(canvas_ink(&on, 0, 0), STYLE_SELECTED);
}

static void text_stands_before_dots(void **state) {
    (void)state;
    canvas_clear(&on, 2, 6);
    canvas_dot(&on, 2, 0, STYLE_PLAIN);
    canvas_text(&on, 0, 1, STYLE_PLAIN, "▼12");
    assert_string_equal(shown(0, 1), "▼");
    assert_string_equal(shown(0, 2), "1");
    assert_string_equal(shown(0, 3), "2");
    assert_string_equal(shown(0, 0), " ");
    canvas_text(&on, 1, 4, STYLE_PLAIN, "abcdef"); /* cut at the edge */
    assert_string_equal(shown(1, 5), "b");
    canvas_text(&on, 1, -1, STYLE_PLAIN, "xy");
    assert_string_equal(shown(1, 0), "y");
}

static void line_in(int x0, int y0, int x1, int y1) {
    canvas_clear(&on, 3, 6);
    canvas_line(&on, (canvas_point){x0 + 0.5, y0 + 0.5}, (canvas_point){x1 + 0.5, y1 + 0.5},
                STYLE_PLAIN);
}

static void plain_characters_follow_the_edge(void **state) {
    (void)state;
    line_in(0, 5, 11, 5);
    assert_int_equal(shown_plain(1, 2), '-');
    line_in(0, 7, 11, 7);
    assert_int_equal(shown_plain(1, 2), '_');
    line_in(0, 4, 11, 4);
    assert_int_equal(shown_plain(1, 2), '"');
    line_in(5, 0, 5, 11);
    assert_int_equal(shown_plain(1, 2), '|');
    line_in(4, 4, 5, 7);
    assert_int_equal(shown_plain(1, 2), '\\');
    line_in(5, 4, 4, 7);
    assert_int_equal(shown_plain(1, 2), '/');
    canvas_point corner[4];
    canvas_clear(&on, 3, 6);
    box(corner, 1, 1, 9, 9);
    canvas_dotted(&on, corner, 4, 2, STYLE_FAINT);
    assert_int_equal(shown_plain(0, 2), '.');
}

static void a_line_reaches_both_ends(void **state) {
    (void)state;
    line_in(1, 2, 10, 9);
    assert_true(has_line(1, 2));
    assert_true(has_line(10, 9));
    assert_int_equal(dots_drawn(), 10);
}

/* A dotted outline has as many dots as its way holds, evenly. */
static void dotted_outlines_are_even(void **state) {
    (void)state;
    canvas_point corner[4];
    int count = 0;
    canvas_clear(&on, 8, 20);
    box(corner, 2.5, 2.5, 26.5, 26.5); /* 96 dots around */
    canvas_dotted(&on, corner, 4, 3, STYLE_PLAIN);
    for (int row = 0; row < 8; row++)
        for (int col = 0; col < 20; col++)
            for (unsigned dots = cell(row, col)->points; dots; dots &= dots - 1)
                count++;
    assert_int_equal(count, 32);
    assert_int_equal(dots_drawn(), 0); /* none of them a solid one */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_dot_has_its_place),
        cmocka_unit_test(outside_is_left_out),
        cmocka_unit_test(no_more_cells_than_there_are),
        cmocka_unit_test(an_outline_is_one_dot_thin),
        cmocka_unit_test(touching_shapes_keep_their_own_outlines),
        cmocka_unit_test(the_smallest_shape_is_a_dot),
        cmocka_unit_test(fills_look_otherwise),
        cmocka_unit_test(what_comes_on_top_wipes),
        cmocka_unit_test(the_look_of_most_dots),
        cmocka_unit_test(text_stands_before_dots),
        cmocka_unit_test(plain_characters_follow_the_edge),
        cmocka_unit_test(a_line_reaches_both_ends),
        cmocka_unit_test(dotted_outlines_are_even),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
