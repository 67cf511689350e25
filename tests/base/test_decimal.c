/* Plain decimals: what is read, what is refused, and that what is written reads back the same, also
 * where the process has a locale with a decimal comma. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/base.h"
#include "random.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static double read_plain(const char *text) {
    double value = NAN;
    if (!mc_decimal_parse(text, false, &value)) {
        fail_msg("\"%s\" was not read", text);
    }
    return value;
}

static void reads_plain_decimals(void **state) {
    (void)state;
    assert_true(read_plain("0") == 0);
    assert_true(read_plain("12") == 12);
    assert_true(read_plain("+12.5") == 12.5);
    assert_true(read_plain("-0.30") == -0.3);
    assert_true(read_plain("007") == 7);
    assert_true(read_plain(".5") == 0.5);
    assert_true(read_plain("-.5") == -0.5);
    assert_true(read_plain("1.") == 1);
    assert_true(read_plain("0.1") == 0.1);
    assert_true(read_plain("2.5000000000000000000000000000000000000001") == 2.5);
    assert_true(read_plain("9007199254740993") == 9007199254740992.0); /* a tie goes to even */
    assert_true(read_plain("9007199254740993.0001") == 9007199254740994.0);
}

static void reads_a_comma_where_allowed(void **state) {
    (void)state;
    double value = 0;
    assert_true(mc_decimal_parse("-0.0", true, &value));
    assert_false(signbit(value));
    assert_true(mc_decimal_parse("1,5", true, &value));
    assert_true(value == 1.5);
    assert_true(mc_decimal_parse("1.25", true, &value));
    assert_true(value == 1.25);
    assert_true(mc_decimal_parse("-,5", true, &value));
    assert_true(value == -0.5);
    value = 42;
    assert_false(mc_decimal_parse("1,5", false, &value));
    assert_false(mc_decimal_parse("1,234.5", true, &value));
    assert_false(mc_decimal_parse("1.234,5", true, &value));
    assert_false(mc_decimal_parse("1,,5", true, &value));
    assert_false(mc_decimal_parse(",", true, &value));
    assert_true(value == 42);
}

static void refuses_anything_else(void **state) {
    (void)state;
    static const char *const texts[] = {"",
                                        " ",
                                        ".",
                                        "+",
                                        "-",
                                        "+.",
                                        "--1",
                                        "+-1",
                                        "- 1",
                                        " 1",
                                        "1 ",
                                        "1 2",
                                        "1e5",
                                        "1E5",
                                        "1e-5",
                                        "0x10",
                                        "0x1p3",
                                        "nan",
                                        "NaN",
                                        "inf",
                                        "-inf",
                                        "INFINITY",
                                        "1.2.3",
                                        "1..2",
                                        "1_000",
                                        "1'000",
                                        "1f",
                                        "\t1",
                                        "1\n",
                                        "one",
                                        "\xc2\xbd",
                                        "\xd9\xa1",
                                        "1-",
                                        "(1)",
                                        "$1",
                                        "1%",
                                        "\xe2\x88\x92"
                                        "1",
                                        "1.5mm"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        double value = 42;
        if (mc_decimal_parse(texts[i], true, &value)) {
            fail_msg("\"%s\" was taken for a number", texts[i]);
        }
        assert_true(value == 42);
    }
}

static void refuses_what_no_double_holds(void **state) {
    (void)state;
    char text[600];
    double value = 42;
    memset(text, '9', 400);
    text[400] = '\0';
    assert_false(mc_decimal_parse(text, false, &value)); /* too large */
    memset(text, '0', 501);
    text[501] = '\0';
    assert_false(mc_decimal_parse(text, false, &value)); /* too long */
    assert_true(value == 42);
    text[500] = '\0';
    assert_true(mc_decimal_parse(text, false, &value));
    assert_true(value == 0);
}

static void expect_text(double value, const char *wanted) {
    char text[40];
    mc_decimal_text(value, text, sizeof text);
    assert_string_equal(text, wanted);
}

static void writes_the_shortest(void **state) {
    (void)state;
    expect_text(0, "0");
    expect_text(-0.0, "0");
    expect_text(1, "1");
    expect_text(-1.5, "-1.5");
    expect_text(0.1, "0.1");
    expect_text(0.1 + 0.2, "0.30000000000000004");
    expect_text(1.0 / 3, "0.3333333333333333");
    expect_text(100, "100");
    expect_text(1e14, "100000000000000");
    expect_text(123456.789, "123456.789");
    expect_text(1e-7, "0.0000001");
    expect_text(999999999999999.0, "999999999999999");
    expect_text(-1.2345678901234566e-18, "-0.0000000000000000012345678901234566");
}

static void leaves_out_what_does_not_fit(void **state) {
    (void)state;
    char text[40];
    expect_text(NAN, "");
    expect_text(INFINITY, "");
    expect_text(1e300, "");
    mc_decimal_text(1e-200, text, sizeof text);
    assert_true(read_plain(text) == 0);
    mc_decimal_text(4.0 / 3e25, text, sizeof text);
    assert_true(strlen(text) == sizeof text - 1);
    assert_true(fabs(read_plain(text) - 4.0 / 3e25) < 1e-37 + 1e-36);
}

static void expect_round_trip(double value) {
    char text[40];
    mc_decimal_text(value, text, sizeof text);
    double back = NAN;
    if (!mc_decimal_parse(text, false, &back) || back != value) {
        fail_msg("%.17g was written as %s", value, text);
    }
    if (strchr(text, 'e') || strlen(text) >= sizeof text) {
        fail_msg("%.17g was written as %s", value, text);
    }
}

static void reads_back_what_it_wrote(void **state) {
    (void)state;
    random_source source = random_seed(20240501);
    for (int i = 0; i < 200000; i++) {
        const double size = exp(random_between(&source, log(1e-18), log(1e15)));
        expect_round_trip(random_unit(&source) < 0.5 ? size : -size);
        expect_round_trip(floor(random_between(&source, -1e6, 1e6)) / 1000);
    }
}

/* No shorter decimal reads back: the last digit is needed. */
static void writes_no_digit_too_many(void **state) {
    (void)state;
    random_source source = random_seed(7);
    for (int i = 0; i < 20000; i++) {
        const double value = random_between(&source, 1, 10);
        char text[40], shorter[40];
        mc_decimal_text(value, text, sizeof text);
        const int decimals = (int)strlen(text) - 2;
        snprintf(shorter, sizeof shorter, "%.*f", decimals - 1, value);
        assert_false(strtod(shorter, NULL) == value);
    }
}

/* Use a locale with a decimal comma, made in a folder of our own. */
static bool use_comma_locale(void) {
    char folder[] = "/tmp/midcourse-locale-XXXXXX", command[200];
    if (!mkdtemp(folder)) {
        return false;
    }
    snprintf(command, sizeof command, "localedef -i de_DE -f UTF-8 %s/de_DE.UTF-8 2>%s/said",
             folder, folder);
    const int made = system(command);
    setenv("LOCPATH", folder, 1);
    const bool used = made == 0 && setlocale(LC_NUMERIC, "de_DE.UTF-8") != NULL;
    snprintf(command, sizeof command, "rm -r %s", folder);
    return system(command) == 0 && used;
}

/* A locale with a decimal comma changes nothing. Where none can be made, nothing was shown: said
 * so. */
static void does_not_depend_on_the_locale(void **state) {
    (void)state;
    if (!use_comma_locale()) {
        print_message("localedef could not make a locale with a decimal comma here\n");
        skip();
    }
    char half[8];
    snprintf(half, sizeof half, "%.1f", 0.5);
    assert_string_equal(half, "0,5");
    expect_text(1.5, "1.5");
    expect_text(-0.1, "-0.1");
    expect_text(1.0 / 3, "0.3333333333333333");
    assert_true(read_plain("1.5") == 1.5);
    double value = 42;
    assert_false(mc_decimal_parse("1,5", false, &value));
    assert_true(mc_decimal_parse("1,5", true, &value));
    assert_true(value == 1.5);
    setlocale(LC_NUMERIC, "C");
}

static void test_up_to_hundredths(void **state) {
    (void)state;
    assert_true(fabs(mc_up_to_hundredths(0.251) - 0.26) < 1e-12);
    assert_true(fabs(mc_up_to_hundredths(0.25) - 0.25) < 1e-12);
    assert_true(fabs(mc_up_to_hundredths(0.0001) - 0.01) < 1e-12);
    assert_true(mc_up_to_hundredths(0) == 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_plain_decimals),
        cmocka_unit_test(reads_a_comma_where_allowed),
        cmocka_unit_test(refuses_anything_else),
        cmocka_unit_test(refuses_what_no_double_holds),
        cmocka_unit_test(writes_the_shortest),
        cmocka_unit_test(leaves_out_what_does_not_fit),
        cmocka_unit_test(reads_back_what_it_wrote),
        cmocka_unit_test(writes_no_digit_too_many),
        cmocka_unit_test(does_not_depend_on_the_locale),
        cmocka_unit_test(test_up_to_hundredths),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
