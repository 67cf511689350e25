/* Narrowing the roster by what is typed. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "find.h"

static mc_roster_row row_of(const char *chart, int number, const char *name) {
    mc_roster_row row = {.kase = {.number = number}};
    snprintf(row.kase.chart, sizeof row.kase.chart, "%s", chart);
    snprintf(row.kase.name, sizeof row.kase.name, "%s", name);
    return row;
}

enum { ROWS = 5 };

static void rows_of(mc_roster_row rows[ROWS]) {
    rows[0] = row_of("1003", 1, "Fern, Ada");
    rows[1] = row_of("10031", 1, "M\xc3\xbcller, Zo\xc3\xab");
    rows[2] = row_of("1003", 2, "Fern, Ada");
    rows[3] = row_of("2001", 1, "FERNANDEZ, Bo");
    rows[4] = row_of("2002", 1, "bad \xff name");
}

static void type(find *f, const char *ascii) {
    for (; *ascii; ascii++)
        find_add(f, *ascii);
}

static void shows(const find *f, size_t count, const size_t *places) {
    assert_int_equal(f->shown_count, count);
    for (size_t i = 0; i < count; i++)
        assert_int_equal(f->shown[i], places[i]);
}

static void narrows_by_name_and_number(void **state) {
    (void)state;
    mc_roster_row rows[ROWS];
    find f;
    rows_of(rows);
    assert_true(find_start(&f, rows, ROWS));
    shows(&f, 5, (size_t[]){0, 1, 2, 3, 4});
    type(&f, "fern");
    shows(&f, 3, (size_t[]){0, 2, 3});
    type(&f, "a");
    shows(&f, 1, (size_t[]){3});
    find_remove(&f);
    shows(&f, 3, (size_t[]){0, 2, 3});
    find_clear(&f);
    type(&f, "2001");
    shows(&f, 1, (size_t[]){3});
    type(&f, "x");
    assert_int_equal(f.shown_count, 0);
    find_end(&f);
}

static void case_and_composition_make_no_difference(void **state) {
    (void)state;
    mc_roster_row rows[ROWS];
    find f;
    rows_of(rows);
    assert_true(find_start(&f, rows, ROWS));
    find_add(&f, 0xdc); /* capital U with diaeresis, in one */
    shows(&f, 1, (size_t[]){1});
    find_remove(&f);
    assert_string_equal(f.text, "");
    find_add(&f, 'u');
    find_add(&f, 0x308); /* the same, in two */
    shows(&f, 1, (size_t[]){1});
    find_end(&f);
}

static void a_whole_chart_number_is_found_among_longer_ones(void **state) {
    (void)state;
    mc_roster_row rows[ROWS];
    find f;
    rows_of(rows);
    assert_true(find_start(&f, rows, ROWS));
    type(&f, "100");
    assert_null(find_exact(&f));
    type(&f, "3");
    assert_ptr_equal(find_exact(&f), &rows[0]);
    type(&f, "/2");
    assert_ptr_equal(find_exact(&f), &rows[2]);
    find_end(&f);
}

static void typing_stops_where_it_is_full(void **state) {
    (void)state;
    mc_roster_row rows[ROWS];
    find f;
    rows_of(rows);
    assert_true(find_start(&f, rows, ROWS));
    for (int i = 0; i < 1000; i++)
        find_add(&f, 0x20ac);
    assert_true(strlen(f.text) < sizeof f.text);
    for (int i = 0; i < 1000; i++)
        find_remove(&f);
    assert_int_equal(f.shown_count, ROWS);
    find_end(&f);
}

static void nobody_is_no_trouble(void **state) {
    (void)state;
    find f;
    assert_true(find_start(&f, NULL, 0));
    type(&f, "a");
    assert_int_equal(f.shown_count, 0);
    assert_null(find_exact(&f));
    find_end(&f);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(narrows_by_name_and_number),
        cmocka_unit_test(case_and_composition_make_no_difference),
        cmocka_unit_test(a_whole_chart_number_is_found_among_longer_ones),
        cmocka_unit_test(typing_stops_where_it_is_full),
        cmocka_unit_test(nobody_is_no_trouble),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
