/* Arches by command, on the demo: estimated, written, taken as measured, shown. */
#include "document.h"

#include <math.h>

static const char *line_with(const char *begins) {
    static char line[200];
    char wanted[60];
    snprintf(wanted, sizeof wanted, "\n%s ", begins);
    const char *at = strstr(run_output, wanted);
    if (!at)
        fail_msg("no line begins with '%s' in:\n%s", begins, run_output);
    snprintf(line, sizeof line, "%.*s", (int)strcspn(at + 1, "\n"), at + 1);
    return line;
}

static json_t *crown_of(json_t *root, size_t arch, const char *tooth) {
    json_t *one = json_array_get(json_object_get(root, "arches"), arch);
    return entry(json_object_get(one, "crowns"), "tooth", tooth);
}

static double number(json_t *of, const char *key) {
    json_t *value = json_object_get(of, key);
    assert_true(json_is_number(value));
    return json_number_value(value);
}

static void estimated_arches_are_shown(void **state) {
    (void)state;
    assert_run(0, "Crowns where the teeth were at check-up 3, on plan 1",
               "midcourse arch show 1001");
    assert_non_null(strstr(run_output, "\nUpper arch, estimated\n"));
    assert_non_null(strstr(run_output, "\nLower arch, estimated\n"));
    assert_non_null(strstr(run_output, "where to look, not that there is room."));
    assert_non_null(strstr(line_with("11"), " to 21"));
    assert_null(strstr(line_with("27"), " to "));
    assert_null(strstr(run_output, "-0.00"));
    /* at the plan's end neighbours touch, or overlap by what is taken away */
    assert_int_equal(run("midcourse --json arch show 1001 --stage 999"), 0);
    json_t *root = document();
    assert_true(json_is_null(json_object_get(root, "checkup")));
    assert_int_equal(number(root, "stage"), 999);
    for (size_t arch = 0; arch < 2; arch++) {
        json_t *crowns =
            json_object_get(json_array_get(json_object_get(root, "arches"), arch), "crowns");
        assert_int_equal(json_array_size(crowns), 14);
        for (size_t i = 0; i + 1 < 14; i++)
            assert_true(number(json_array_get(crowns, i), "overlap_mm") > -1e-6);
        assert_true(json_is_null(json_object_get(json_array_get(crowns, 13), "next")));
    }
    assert_string_equal(json_string_value(json_object_get(crown_of(root, 0, "11"), "next")), "21");
    json_decref(root);
    assert_run(2, "--stage", "midcourse arch show 1001 --stage x");
}

static void where_the_teeth_are_is_a_checkup(void **state) {
    (void)state;
    assert_int_equal(run("midcourse --json arch show 1001"), 0);
    json_t *root = document();
    assert_true(json_is_null(json_object_get(root, "stage")));
    assert_int_equal(number(member(root, "checkup"), "number"), 3);
    assert_true(json_is_string(member(root, "checkup.date")));
    json_decref(root);
    assert_run(0, "Crowns at stage 0 of plan 1: nothing was read on it yet",
               "midcourse arch show 1012");
    assert_run(0, "at stage 0; estimated", "midcourse arch export 1012 --arch upper");
    assert_run(1, "case 2000 has no plan",
               "midcourse --as NF case new --chart 2000 --name 'Invented, Ina' --born 1990-01-01 "
               ">made; midcourse arch show 2000");
}

static void an_arch_is_taken_as_measured(void **state) {
    (void)state;
    assert_run(0, "Wrote the upper arch of case 1001, estimated, to u.csv.",
               "midcourse arch export 1001 --arch upper --out u.csv");
    assert_run(1, "u.csv", "midcourse arch export 1001 --arch upper --out u.csv");
    assert_run(2, "--arch upper or --arch lower", "midcourse arch export 1001");
    assert_run(0, "# Case 1001, lower arch, where the teeth were at check-up 3; estimated\ntooth,",
               "midcourse arch export 1001 --arch lower");
    assert_run(0, "Case 1001: upper arch measured at check-up 3, 14 crowns.",
               "midcourse --as JT arch import 1001 u.csv");
    assert_run(0, "Upper arch, measured at check-up 3", "midcourse arch show 1001");
    assert_non_null(strstr(run_output, "\nLower arch, estimated\n"));
    /* written again it is the same, but for its remark */
    assert_run(0, "measured, to v.csv",
               "midcourse arch export 1001 --arch upper --out v.csv && tail -n +2 u.csv >a && "
               "tail -n +2 v.csv >b && cmp a b && midcourse arch export 1001 --arch upper --out "
               "w.csv");
    assert_run(0, "\"entry\": 2", "midcourse --json --as IBA arch import 1001 v.csv --checkup 3");
    assert_run(0, "upper arch measured anew at check-up 3: 14 crowns", "midcourse journal 1001");
    assert_run(0, "", "midcourse verify");
}

static void refusals_say_where(void **state) {
    (void)state;
    assert_run(1, "midcourse: bad.csv:9:1: tooth 11 is repeated",
               "sed 's/^16,/11,/' u.csv >bad.csv; midcourse --as JT arch import 1001 bad.csv");
    assert_run(1, "the file ends without tooth 27",
               "grep -v '^27,' u.csv >bad.csv; midcourse --as JT arch import 1001 bad.csv");
    assert_run(1, "no check-up 9", "midcourse --as JT arch import 1001 u.csv --checkup 9");
    assert_run(1, "", "midcourse --as NF arch import 1001 u.csv");
    assert_run(1, "has no check-up on its plan", "midcourse --as JT arch import 1012 u.csv");
}

/* What was measured moves on with the teeth: a plan's stage 0 lies behind where they are. */
static void crowns_follow_the_teeth(void **state) {
    (void)state;
    assert_int_equal(run("midcourse --json arch show 1001 --stage 0"), 0);
    json_t *then = document();
    assert_int_equal(run("midcourse --json arch show 1001 --stage 999"), 0);
    json_t *end = document();
    json_t *a = crown_of(then, 0, "12"), *b = crown_of(end, 0, "12");
    assert_true(hypot(number(a, "right_mm") - number(b, "right_mm"),
                      number(a, "anterior_mm") - number(b, "anterior_mm")) > 0.3);
    assert_true(number(a, "outward_deg") == number(b, "outward_deg"));
    json_decref(then);
    json_decref(end);
}

static int begin(void **state) {
    (void)state;
    run_begin();
    setenv("MIDCOURSE_TODAY", "2026-11-25", 1);
    assert_run(0, "invented", "midcourse --db demo.db demo --no-open");
    setenv("MIDCOURSE_DB", "demo.db", 1);
    return 0;
}

static int end(void **state) {
    (void)state;
    run_end();
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(estimated_arches_are_shown),
        cmocka_unit_test(where_the_teeth_are_is_a_checkup),
        cmocka_unit_test(an_arch_is_taken_as_measured),
        cmocka_unit_test(refusals_say_where),
        cmocka_unit_test(crowns_follow_the_teeth),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
