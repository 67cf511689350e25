/* The estimate against one dense Gaussian posterior over all components and the shared pace, on
 * first and corrected plans: fixtures/posterior_reference.csv, made by posterior_reference.py. */
#include "play.h"

static void agrees_with_the_dense_posterior(void **state) {
    (void)state;
    assert_int_equal(play_file(FIXTURES "/posterior_reference.csv", 1e-9, NULL), 404);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_the_dense_posterior)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
