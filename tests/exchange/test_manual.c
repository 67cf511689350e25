/* The examples of the manual pages are read as they stand there, so that what is printed is true.
 */
#include "given.h"

#include <stdio.h>

enum { MOST_EXAMPLE = 2000 };

/* The next example (between .EX and .EE) of a page as it is shown: its hyphens may be written \-.
 */
static bool next_example(const char **at, char out[MOST_EXAMPLE]) {
    const char *begin = strstr(*at, "\n.EX\n");
    if (!begin) {
        return false;
    }
    begin += strlen("\n.EX\n");
    const char *end = strstr(begin, ".EE\n");
    assert_non_null(end);
    assert_true(end - begin < MOST_EXAMPLE);
    size_t n = 0;
    for (const char *c = begin; c < end; c++) {
        if (*c != '\\') {
            out[n++] = *c;
        }
    }
    out[n] = '\0';
    *at = end;
    return true;
}

static char *page(const char *path) {
    char *data;
    size_t size;
    mc_error error;
    if (mc_file_read(path, &data, &size, &error) != MC_OK) {
        fail_msg("%s", error.text);
    }
    return data;
}

static bool is_file(const char *example) {
    return strncmp(example, "tooth,", 6) == 0 || strstr(example, "\ntooth,");
}

/* A message as it is printed, its lines joined. */
static void expect_message(char *example, const char *place, const mc_error *error) {
    char expected[MOST_EXAMPLE];
    for (char *c = example; *c; c++) {
        *c = *c == '\n' ? ' ' : *c;
    }
    example[strlen(example) - 1] = '\0';
    snprintf(expected, sizeof expected, "midcourse: %s:%ld:%ld: %s", place, error->line,
             error->column, error->text);
    assert_string_equal(example, expected);
}

static void examples_of_plans(void **state) {
    (void)state;
    char *text = page(TESTS "/../man/midcourse-plan.5"), example[MOST_EXAMPLE];
    const char *at = text;
    int files = 0, remarks = 0, messages = 0;
    while (next_example(&at, example)) {
        plan_read read;
        if (is_file(example)) {
            read = read_plan(example);
            assert_int_equal(read.status, MC_OK);
            assert_int_equal(read.warnings.count, 0);
            files++;
        } else if (example[0] == '#') {
            char with_rows[MOST_EXAMPLE + 32];
            snprintf(with_rows, sizeof with_rows, "%stooth,stage\n12,1\n", example);
            read = read_plan(with_rows);
            assert_int_equal(read.status, MC_OK);
            assert_int_equal(read.origin.checkup, 3);
            assert_true(read.origin.preview);
            remarks++;
        } else {
            read = read_plan("tooth,stage,rotation_deg\n12,8,1\n\n12,24,\"2,5\"\n");
            expect_message(example, "plan.csv", &read.error);
            messages++;
        }
        plan_read_free(&read);
    }
    assert_true(files == 2 && remarks == 1 && messages == 1);
    free(text);
}

static void examples_of_checkups(void **state) {
    (void)state;
    chair given;
    chair_set_up(&given);
    chair turned = given; /* a mouth in which the canine turns from the first aligner on */
    turned.plan = mc_plan_new();
    turned.context.plan = turned.plan;
    turned.context.last_observed = NULL;
    add_row(turned.plan, 12, 24, (double[]){1.2, 0, 0, 18, 0, 0});
    add_row(turned.plan, 13, 24, (double[]){0.8, 0, 0, -28, 0, 0});
    char *text = page(TESTS "/../man/midcourse-checkup.5"), example[MOST_EXAMPLE];
    const char *at = text;
    int files = 0, messages = 0;
    while (next_example(&at, example)) {
        checkup_read read;
        if (is_file(example)) {
            read = read_checkup(&turned, example);
            assert_int_equal(read.status, MC_OK);
            assert_int_equal(read.warnings.count, 0);
            files++;
        } else {
            read = read_checkup(&given, "tooth,mesial_mm\n12,0.1s\n13,0.1s\n");
            expect_message(example, "today.csv", &read.error);
            messages++;
        }
        checkup_read_free(&read);
    }
    assert_true(files == 3 && messages == 1);
    free(text);
    chair_free(&turned);
    chair_free(&given);
}

static void examples_of_arches(void **state) {
    (void)state;
    char *text = page(TESTS "/../man/midcourse-arch.5"), example[MOST_EXAMPLE];
    const char *at = text;
    int files = 0, messages = 0;
    mc_tooth_state states[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        states[t] = MC_TOOTH_MISSING;
    }
    for (int position = 1; position <= 2; position++) {
        states[tooth_of(30 + position)] = states[tooth_of(40 + position)] = MC_TOOTH_PRESENT;
    }
    while (next_example(&at, example)) {
        mc_arch_crowns crowns;
        mc_error error = {.status = MC_OK};
        if (is_file(example)) {
            assert_int_equal(
                mc_arch_read(example, strlen(example), MC_NOTATION_ISO, states, &crowns, &error),
                MC_OK);
            assert_near(crowns.crown[tooth_of(42)].turned_deg, -12, 0);
            files++;
        } else {
            const char *short_one = "tooth,right_mm,anterior_mm,outward_deg\n41,3,40,80\n"
                                    "31,-3,40,100\n";
            assert_int_equal(mc_arch_read(short_one, strlen(short_one), MC_NOTATION_ISO, states,
                                          &crowns, &error),
                             MC_REFUSED);
            expect_message(example, "arch.csv", &error);
            messages++;
        }
    }
    assert_true(files == 1 && messages == 1);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(examples_of_plans),
        cmocka_unit_test(examples_of_checkups),
        cmocka_unit_test(examples_of_arches),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
