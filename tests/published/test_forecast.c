/* The forecast against one dense Gaussian over the ends of all components and the shared pace, and
 * the joint chances against an adaptive quadrature over the pace: fixtures/forecast_reference.csv,
 * made by forecast_reference.py. */
#include "play.h"

/* Tooth and mouth are integrated over the pace by nine nodes; what they reach here is printed. */
static void agrees_with_the_dense_posterior(void **state) {
    (void)state;
    double joint;
    assert_int_equal(play_file(FIXTURES "/forecast_reference.csv", 1e-9, &joint), 2970);
    print_message("joint chances within %.1e\n", joint);
    assert_true(joint < 5e-5);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_the_dense_posterior)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
