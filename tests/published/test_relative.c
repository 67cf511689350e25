/* What readings against a neighbour say against one dense Gaussian posterior:
 * fixtures/relative_reference.csv, made by relative_reference.py. */
#include "play.h"

static void agrees_with_the_dense_posterior(void **state) {
    (void)state;
    assert_int_equal(play_file(FIXTURES "/relative_reference.csv", 1e-9, NULL), 18);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_the_dense_posterior)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
