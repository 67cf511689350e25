/* The filter against a general-purpose Kalman filter whose state holds the shared pace beside every
 * component: fixtures/kalman_reference.csv, made by kalman_reference.py. */
#include "play.h"

static void agrees_with_a_general_purpose_filter(void **state) {
    (void)state;
    assert_int_equal(play_file(FIXTURES "/kalman_reference.csv", 1e-9, NULL), 162);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_a_general_purpose_filter)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
