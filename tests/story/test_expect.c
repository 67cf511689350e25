/* What is read against a neighbour, as a person at the command line meets it: a baseline before the
 * first aligner, what should be read later, and what comes of what was read. */
#include "document.h"

#include <math.h>

static void open_a_case(void) {
    setenv("MIDCOURSE_TODAY", "2026-07-01", 1);
    write_text("doctor", "slow river stones\n");
    assert_run(0, "", "midcourse init --doctor AB --new-passphrase-fd 3 3<doctor");
    assert_run(0, "",
               "midcourse --as AB case new --chart 1001 --name 'Larkspur, Odile' --born 1999-02-03 "
               "--missing 18,28,38,48");
    write_text("plan.csv", "tooth,stage,mesial_mm,buccal_mm,rotation_deg\n"
                           "12,24,1.2,-0.9,18\n13,24,,0.6,\n11,24,-0.6,,\n");
    assert_run(0, "", "midcourse --as AB plan import 1001 plan.csv --start 2026-07-01");
    setenv("MIDCOURSE_TODAY", "2026-11-25", 1);
}

static void check_up(int status, const char *said, const char *date, int aligner,
                     const char *rows) {
    write_text("checkup.csv", rows);
    assert_run(status, said,
               "midcourse --as AB checkup import 1001 checkup.csv --date %s --aligner %d", date,
               aligner);
}

static void is_told(const char *line) {
    if (!strstr(run_output, line))
        fail_msg("\"%s\" is not in:\n%s", line, run_output);
}

static void what_it_should_read(void **state) {
    (void)state;
    run_begin();
    open_a_case();
    assert_run(0, "there is nothing that a later one should read", "midcourse checkup expect 1001");
    check_up(0, "tells no position yet", "2026-07-01", 0,
             "tooth,space_mesial_mm,step_distal_mm,crown_angle_deg\n12,1,-0.5,3\n");
    /* aligner 11 by the dates, its seventh day: stage 11 of 24, so 0.55 mm, -0.4125 against 0.275
     * mm and 8.25 deg; 11 went 0.275 mm distally */
    assert_run(0, "Case 1001, plan 1, on 2026-11-25\n", "midcourse checkup expect 1001");
    is_told("\n  Upper  aligner 11, day 7: stage 11.00\n  Lower  no series\n");
    is_told("\nTooth  Reading        Against     Baseline  Should read    Last read\n");
    is_told("\n12     space mesial   11           1.00 mm      0.18 mm      1.00 mm\n");
    is_told("\n12     step distal    13          -0.50 mm     -1.19 mm     -0.50 mm\n");
    is_told("\n12     crown angle    -            3.0 deg     11.2 deg      3.0 deg\n");
    for (const char *at = run_output; *at; at += strcspn(at, "\n") + 1)
        assert_true(strcspn(at, "\n") <= 80);
    assert_run(0, "  Upper  aligner 4, day 2: stage 3.50",
               "midcourse checkup expect 1001 --upper 4 --day 2");
    assert_run(0, "  Upper  aligner 4: stage 4.00", "midcourse checkup expect 1001 --aligner 4");
    assert_run(0, "on 2026-08-01\n  Upper  aligner 3, day 3: stage 2.75",
               "midcourse checkup expect 1001 --date 2026-08-01");
    assert_run(1, "upper aligner 25 is not in the series of 24",
               "midcourse checkup expect 1001 --aligner 25");
    assert_run(1, "the lower arch has no series", "midcourse checkup expect 1001 --lower 4");
    assert_run(2, "--aligner", "midcourse checkup expect 1001 --aligner x");
    run_end();
}

static void as_a_document(void **state) {
    (void)state;
    run_begin();
    open_a_case();
    check_up(0, "", "2026-07-01", 0, "tooth,space_mesial_mm,step_distal_mm\n12,1,-0.5\n");
    assert_run(0, "", "midcourse --as AB case tooth 1001 13 extracted --date 2026-09-01");
    assert_int_equal(run("midcourse --json checkup expect 1001 --aligner 12"), 0);
    json_t *root = document();
    json_t *list = json_object_get(root, "expected");
    assert_int_equal(json_array_size(list), 2);
    json_t *space = json_array_get(list, 0), *step = json_array_get(list, 1);
    assert_true(json_is_null(json_object_get(root, "lower")));
    assert_true(json_is_null(json_object_get(json_object_get(root, "upper"), "day")));
    assert_string_equal(json_string_value(json_object_get(space, "what")), "space mesial");
    assert_string_equal(json_string_value(json_object_get(space, "neighbour")), "11");
    assert_true(fabs(json_real_value(json_object_get(space, "should_read")) - 0.1) < 1e-9);
    assert_string_equal(json_string_value(json_object_get(step, "neighbour")), "14");
    assert_true(json_is_null(json_object_get(step, "should_read")));
    assert_true(json_is_real(json_object_get(step, "baseline")));
    json_decref(root);
    assert_run(0, "-: another tooth is the neighbour now", "midcourse checkup expect 1001");
    assert_run(0, "", "midcourse --as AB case tooth 1001 12 extracted --date 2026-11-20");
    assert_run(0, "there is nothing that a later one should read", "midcourse checkup expect 1001");
    run_end();
}

static void what_comes_of_it(void **state) {
    (void)state;
    run_begin();
    open_a_case();
    check_up(0, "", "2026-07-01", 0, "tooth,space_mesial_mm,crown_angle_deg\n12,1,3\n");
    check_up(
        1, "2:4: warning: 12 space mesial: 2.4 mm is unlikely: it\n  should read 0.1, last read 1",
        "2026-11-24", 12, "tooth,space_mesial_mm\n12,2.4\n");
    check_up(1, "12 height distal: no reading", "2026-11-24", 12,
             "tooth,height_distal_mm\n12,0.4\n");
    check_up(1, "2:4: space_mesial_mm", "2026-11-24", 12, "tooth,space_mesial_mm\n12,-1\n");
    check_up(0, "check-up 2 completed; 1 of 28 teeth measured", "2026-11-24", 12,
             "tooth,space_mesial_mm,crown_angle_deg\n12,0.4,9.5\n");
    assert_int_equal(run("midcourse --json score 1001"), 0);
    json_t *root = document();
    json_t *teeth = json_object_get(root, "teeth"), *tooth = NULL;
    for (size_t i = 0; i < json_array_size(teeth); i++)
        if (strcmp(json_string_value(json_object_get(json_array_get(teeth, i), "tooth")), "12") ==
            0)
            tooth = json_array_get(teeth, i);
    json_t *first = json_array_get(json_object_get(tooth, "relative"), 0);
    assert_true(json_real_value(json_object_get(first, "read")) == 0.4);
    assert_true(fabs(json_real_value(json_object_get(first, "should_read")) - 0.1) < 1e-9);
    json_t *mesial = json_object_get(json_object_get(tooth, "components"), "mesial");
    assert_true(fabs(json_real_value(json_object_get(mesial, "observed")) - 0.3) < 1e-9);
    json_decref(root);
    assert_run(0, "0.40 mm", "midcourse checkup expect 1001"); /* last read */
    assert_run(0, "", "midcourse verify");
    run_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_it_should_read),
        cmocka_unit_test(as_a_document),
        cmocka_unit_test(what_comes_of_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
