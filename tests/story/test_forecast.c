/* `forecast` as a person runs it: what the page says of one tooth read and one lost attachment, and
 * where there is nothing to forecast. */
#include "document.h"

/* 12 of the golden plan, and 13 and 22 planned beside it. */
static void open_a_case(void) {
    setenv("MIDCOURSE_TODAY", "2026-11-25", 1);
    write_text("doctor", "slow river stones\n");
    assert_run(0, "", "midcourse init --doctor AB --new-passphrase-fd 3 3<doctor");
    assert_run(0, "",
               "midcourse --as AB case new --chart 1001 --name 'Larkspur, Odile' --born 1999-02-03 "
               "--missing 18,28,38,48");
    write_text("plan.csv", "tooth,stage,mesial_mm,buccal_mm,rotation_deg\n"
                           "12,24,1.2,-0.9,18\n13,24,,0.6,\n22,24,-1.2,,\n");
    assert_run(0, "", "midcourse --as AB plan import 1001 plan.csv --start 2026-07-01");
}

static void check_up(const char *date, int aligner, const char *rows) {
    write_text("checkup.csv", rows);
    assert_run(0, "",
               "midcourse --as AB checkup import 1001 checkup.csv --date %s --aligner %d "
               "--accept-warnings",
               date, aligner);
}

static void nothing_to_forecast(void **state) {
    (void)state;
    run_begin();
    open_a_case();
    assert_run(1, "case 1001 has no check-up yet", "midcourse forecast 1001");
    assert_run(2, "no such option", "midcourse forecast 1001 --settings current");
    check_up("2026-11-01", 8, "tooth,seat_gap_mm\n12,0\n");
    assert_run(0, "No position was read on this plan: where it ends is not known of any tooth.",
               "midcourse forecast 1001");
    assert_null(strstr(run_output, "nan"));
    assert_null(strstr(run_output, "that all"));
    assert_non_null(strstr(run_output, "Not known, as no position was read: 17 16 15 14 13 12"));
    assert_int_equal(run("midcourse --json forecast 1001"), 0);
    json_t *root = document();
    assert_true(json_is_null(json_object_get(json_object_get(root, "summary"), "p_all_in")));
    assert_int_equal(json_array_size(json_object_get(root, "teeth")), 28);
    json_decref(root);
    run_end();
}

/* The worst first, what is not planned in the direction it goes, what is known in part
 * behind the rest, a lost grip. */
static void the_page(void **state) {
    (void)state;
    run_begin();
    open_a_case();
    check_up("2026-11-01", 8,
             "tooth,mesial_mm,buccal_mm,rotation_deg,attachment\n"
             "12,0.3,-0.2,1.5,lost\n13,,0.2,,\n22,,0.1,,\n21,,-0.1,,\n");
    assert_run(0, "Case 1001, check-up 1 on 2026-11-01, plan 1\n", "midcourse forecast 1001");
    static const char *const said[] = {
        "Tooth State       Grip  Outside  Movement        Planned  Expected (90 %)\n12 ",
        "\n13    ",
        "\n21    ",
        " lost     ",
        ">99%  mesial-in",
        "<1%  ",
        " kept     ",
        "\nKnown in part, as most of what is still planned was never read:\n22 ",
        "mesial-in      18.0 deg  ",
        "\n4 known, ",
        "\nPace: ",
        "\nThe practice: ",
        ", by 1 open case\n",
        "taken to deliver 33% of its rate.",
        "Proposal only",
    };
    const char *at = run_output;
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        if (!strstr(run_output, said[i]))
            fail_msg("\"%s\" is not in:\n%s", said[i], run_output);
    for (size_t length = 0; *at; at += length + 1) {
        length = strcspn(at, "\n");
        assert_true(length <= 80);
    }
    /* an earlier check-up is forecast from what was known then */
    check_up("2026-11-20", 9, "tooth,rotation_deg\n12,6\n");
    assert_run(0, "Case 1001, check-up 2 on", "midcourse forecast 1001");
    assert_run(0, "Case 1001, check-up 1 on", "midcourse forecast 1001 --checkup 1");
    assert_run(1, "no check-up 3", "midcourse forecast 1001 --checkup 3");
    run_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_to_forecast),
        cmocka_unit_test(the_page),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
