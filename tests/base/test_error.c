/* Errors as values, and the comparison with a limit. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/base.h"

#include <math.h>
#include <string.h>

static void fills_and_returns_the_status(void **state) {
    (void)state;
    mc_error error = {.line = 7, .column = 9};
    assert_int_equal(mc_fail(&error, MC_DAMAGED, "stage %d of %s", 12, "tooth 11"), MC_DAMAGED);
    assert_int_equal(error.status, MC_DAMAGED);
    assert_string_equal(error.text, "stage 12 of tooth 11");
    assert_int_equal(error.line, 0);
    assert_int_equal(error.column, 0);
}

static void says_where_in_a_file(void **state) {
    (void)state;
    mc_error error;
    assert_int_equal(mc_fail_at(&error, 3, 14, "\"%s\" is no number", "1,5"), MC_REFUSED);
    assert_int_equal(error.status, MC_REFUSED);
    assert_int_equal(error.line, 3);
    assert_int_equal(error.column, 14);
    assert_string_equal(error.text, "\"1,5\" is no number");
}

static void does_without_an_error(void **state) {
    (void)state;
    assert_int_equal(mc_fail(NULL, MC_USAGE, "%d", 1), MC_USAGE);
    assert_int_equal(mc_fail_at(NULL, 1, 1, "%d", 1), MC_REFUSED);
}

static void cuts_what_is_too_long(void **state) {
    (void)state;
    char longer[1000];
    memset(longer, 'x', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    mc_error error;
    mc_fail(&error, MC_REFUSED, "%s", longer);
    assert_int_equal(strlen(error.text), sizeof error.text - 1);
}

static void status_is_the_exit_status(void **state) {
    (void)state;
    assert_int_equal(MC_OK, 0);
    assert_int_equal(MC_REFUSED, 1);
    assert_int_equal(MC_USAGE, 2);
    assert_int_equal(MC_DAMAGED, 3);
}

static void reaches_within_a_billionth(void **state) {
    (void)state;
    assert_true(mc_reaches(0.5, 0.5));
    assert_true(mc_reaches(0.1 + 0.2 + 0.2, 0.5));
    assert_true(mc_reaches(0.7 - 0.2, 0.5)); /* a hair below 0.5 as a double */
    assert_true(mc_reaches(0.5 - 0.9e-9, 0.5));
    assert_false(mc_reaches(0.5 - 1.1e-9, 0.5));
    assert_false(mc_reaches(-1, 0));
    assert_false(mc_reaches(NAN, 0));
    assert_false(mc_reaches(0, NAN));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fills_and_returns_the_status),
        cmocka_unit_test(says_where_in_a_file),
        cmocka_unit_test(does_without_an_error),
        cmocka_unit_test(cuts_what_is_too_long),
        cmocka_unit_test(status_is_the_exit_status),
        cmocka_unit_test(reaches_within_a_billionth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
