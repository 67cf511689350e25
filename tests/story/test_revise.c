/* The correction by command: every change that the workbench makes, the draft kept and taken up,
 * what is refused and what is said, until a doctor signs it. */
#include "document.h"

#include <math.h>
#include <stdbool.h>
#include <unistd.h>

/* Every line fits, and ends without blanks. */
static void is_readable(const char *text) {
    for (const char *at = text; *at;) {
        const size_t length = strcspn(at, "\n");
        if (length > 80 || (length > 0 && at[length - 1] == ' '))
            fail_msg("too wide, or blanks at its end: '%.*s'", (int)length, at);
        at += length + (at[length] == '\n');
    }
    assert_null(strstr(text, "nan"));
    assert_null(strstr(text, "-0.00"));
}

static json_t *revised(const char *changes) {
    unlink("out.csv");
    if (run("midcourse --json revise 1005 --out out.csv %s", changes) != 0)
        fail_msg("%s: %s", changes, run_output);
    return document();
}

static json_t *tooth_in(json_t *root, const char *tooth) {
    json_t *found = entry(member(root, "teeth"), "tooth", tooth);
    if (!found)
        fail_msg("%s does not move", tooth);
    return found;
}

static double left_of(json_t *root, const char *tooth, const char *component) {
    return json_number_value(member(member(tooth_in(root, tooth), "remaining"), component));
}

static long whole_of(json_t *root, const char *name) {
    assert_true(json_is_integer(member(root, name)));
    return (long)json_integer_value(member(root, name));
}

/* ---- the account ---- */

static void the_account_says_what_makes_the_series_so_long(void **state) {
    (void)state;
    assert_int_equal(run("midcourse revise 1005 --out account.csv"), 0);
    is_readable(run_output);
    static const char *const said[] = {"a draft that can be signed as an order",
                                       "(at least ",
                                       "crowns estimated",
                                       "goes first",
                                       "Limited by",
                                       "Teeth expected to end outside: carry on ",
                                       "this series ",
                                       "an estimate"};
    for (size_t i = 0; i < sizeof said / sizeof *said; i++)
        if (!strstr(run_output, said[i]))
            fail_msg("\"%s\" is not in:\n%s", said[i], run_output);
    json_t *root = revised("");
    assert_true(json_is_true(member(root, "estimated_geometry")));
    assert_true(json_is_false(member(root, "preview")));
    assert_true(json_is_null(member(root, "why_preview")));
    assert_true(json_is_false(member(root, "blocked")));
    assert_int_equal(whole_of(root, "changes"), 0);
    json_t *contact, *list = member(root, "overlaps");
    size_t i;
    assert_true(json_array_size(list) > 10);
    json_array_foreach(list, i, contact) {
        const double most = json_number_value(member(contact, "most"));
        const double allowed = json_number_value(member(contact, "allowed"));
        const double start = json_number_value(member(contact, "start"));
        assert_true(most <= fmax(allowed, start) + 1e-9);
        assert_true(json_number_value(member(contact, "missing")) == 0);
        member(contact, "right"), member(contact, "left"), member(contact, "leads");
    }
    json_decref(root);
}

/* ---- changes ---- */

static void every_change_has_its_option(void **state) {
    (void)state;
    json_t *plain = revised("");
    const double left = left_of(plain, "13", "rotation");
    json_t *root = revised("--more 13:rotation=20");
    assert_true(fabs(left_of(root, "13", "rotation") - 1.2 * left) < 1e-9);
    assert_int_equal(whole_of(root, "changes"), 1);
    json_decref(root);
    root = revised("--limit 13:rotation=0.5");
    assert_int_equal(json_integer_value(member(tooth_in(root, "13"), "stages_needed")),
                     (int)ceil(fabs(left) / 0.5 - 1e-9));
    json_decref(root);
    root = revised("--stay 13 --set 12:mesial=0.2");
    assert_null(entry(member(root, "teeth"), "tooth", "13"));
    json_decref(root);
    root = revised("--stay 13 --move 13 --more 13:rotation=20 --more 13:rotation=none");
    assert_true(left_of(root, "13", "rotation") == left);
    json_decref(root);
    root = revised("--set 13:rotation=3,5 --set 13:rotation=plan --limit 13:rotation=1 "
                   "--limit 13:rotation=usual --ipr 13:mesial=0.2 --ipr 13:mesial=plan");
    assert_true(left_of(root, "13", "rotation") == left);
    json_decref(root);
    root = revised("--ipr 13:mesial=0.25@2 --ipr 12:distal=0.1");
    json_t *contact = entry(member(root, "overlaps"), "right", "13");
    assert_true(fabs(json_number_value(member(contact, "ipr")) - 0.35) < 1e-9);
    json_decref(root);
    assert_run(0, "ipr_mesial_mm", "cat out.csv");
    assert_run(0,
               "  IPR: 13 mesial 0.25 mm before aligner 2; 12 distal 0.10 mm before aligner 1.\n",
               "rm out.csv; midcourse revise 1005 --out out.csv --ipr 13:mesial=0.25@2 "
               "--ipr 12:distal=0.1");
    json_decref(plain);
}

static void what_is_written_otherwise_is_told(void **state) {
    (void)state;
    static const char *const wrong[] = {"--set 13:rotation",
                                        "--set 13=4",
                                        "--set 13:sideways=4",
                                        "--set 13:rotation=nan",
                                        "--set 13:rotation=inf",
                                        "--set 13:rotation=1e5",
                                        "--set 13:rotation=4@2",
                                        "--set 13:rotation=4@",
                                        "--ipr 13:mesial=plan@4",
                                        "--ipr 13:mesial=0.2@",
                                        "--set 19:rotation=4",
                                        "--set :rotation=4",
                                        "--set ''",
                                        "--more 13:rotation=plan",
                                        "--limit 13:rotation=",
                                        "--ipr 13:buccal=0.2",
                                        "--ipr 13:mesial=0.2@0",
                                        "--ipr 13:mesial=0.2@1000",
                                        "--ipr 13:mesial=0.2@x",
                                        "--stay 13:rotation",
                                        "--stay 13=1",
                                        "--stay thirteen",
                                        "--move 1333333333333333333333333333333333"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        if (run("midcourse revise 1005 --out none.csv %s", wrong[i]) != 2)
            fail_msg("%s was taken", wrong[i]);
        assert_non_null(strstr(run_output, "it is written"));
        assert_int_not_equal(access("none.csv", F_OK), 0);
    }
    assert_run(1, "above 0", "midcourse revise 1005 --out none.csv --limit 13:rotation=0");
    assert_run(1, "at most 90 deg",
               "midcourse revise 1005 --out none.csv --limit 13:rotation=1000");
    assert_run(1, "90 deg", "midcourse revise 1005 --out none.csv --set 13:angulation=90");
    assert_run(1, "0 to 30 percent", "midcourse revise 1005 --out none.csv --more 13:rotation=31");
    assert_run(1, "0 to 2 mm a side", "midcourse revise 1005 --out none.csv --ipr 13:mesial=3");
    assert_int_not_equal(access("none.csv", F_OK), 0);
}

/* ---- room ---- */

static void a_series_without_room_is_refused_and_accounted_for(void **state) {
    (void)state;
    static const char crowded[] = "--set 13:mesial=0.5 --more 13:mesial=30";
    assert_int_equal(run("midcourse revise 1005 --out none.csv %s", crowded), 1);
    is_readable(run_output);
    assert_non_null(strstr(run_output, "midcourse: there is no series to write: 13 and 12 lack "));
    assert_non_null(strstr(run_output, "under the limits alone"));
    assert_non_null(strstr(run_output, "grant IPR"));
    assert_non_null(strstr(run_output, "their targets themselves overlap"));
    assert_int_not_equal(access("none.csv", F_OK), 0);
    assert_run(0, "Wrote room.csv", "midcourse revise 1005 --out room.csv %s --ipr 13:mesial=0.8",
               crowded);
    assert_int_equal(run("midcourse --json revise 1005 --out none.csv %s 2>/dev/null", crowded), 1);
    json_t *root = document();
    assert_true(json_is_true(member(root, "blocked")));
    assert_true(json_is_null(member(root, "stages")));
    json_t *contact = entry(member(root, "overlaps"), "right", "13");
    assert_true(json_number_value(member(contact, "missing")) > 0.1);
    assert_true(json_is_true(member(contact, "target_overlaps")));
    json_decref(root);
}

/* A file without aligners would be taken for a series. */
static void a_series_of_nothing_is_not_written(void **state) {
    (void)state;
    static const int quadrants[] = {1, 2, 3, 4};
    char stay[28 * 12] = "";
    for (size_t q = 0; q < 4; q++)
        for (int place = 1; place <= 7; place++)
            snprintf(stay + strlen(stay), sizeof stay - strlen(stay), " --stay %d%d", quadrants[q],
                     place);
    assert_int_equal(run("midcourse revise 1005 --out none.csv %s", stay), 1);
    is_readable(run_output);
    assert_non_null(strstr(run_output, "nothing was written: all teeth stay"));
    assert_null(strstr(run_output, "Needs"));
    assert_int_not_equal(access("none.csv", F_OK), 0);
    assert_run(1, "nothing was written", "midcourse --json revise 1005 --out none.csv %s", stay);
}

/* ---- kept ---- */

static void a_draft_is_kept_and_gone_on_with(void **state) {
    (void)state;
    assert_run(1, "no draft made from its last check-up is on record",
               "midcourse revise 1005 --kept --out kept.csv");
    assert_run(2, "--out FILE", "midcourse revise 1005");
    assert_run(1, "this is for a doctor",
               "midcourse --as JT revise 1005 --keep --stay 13 --out kept.csv");
    assert_int_not_equal(access("kept.csv", F_OK), 0); /* taken back */
    assert_run(0, "Kept as the draft of the case: 2 changes.",
               "midcourse --as IBA revise 1005 --keep --stay 13 --limit 12:rotation=1");
    assert_run(0, "a correction drafted from check-up 3: 2 changes", "midcourse journal 1005");
    assert_run(0, "Wrote kept.csv",
               "midcourse revise 1005 --kept --more 12:rotation=10 --out "
               "kept.csv");
    json_t *root;
    unlink("out.csv");
    assert_int_equal(run("midcourse --json revise 1005 --kept --out out.csv"), 0);
    root = document();
    assert_int_equal(whole_of(root, "changes"), 2);
    assert_null(entry(member(root, "teeth"), "tooth", "13"));
    json_decref(root);
    assert_run(0, "sound", "midcourse verify");
}

/* ---- signed ---- */

static void target_files(void **state) {
    (void)state;
    write_text("others.csv", "tooth,stage,rotation_deg\n13,8,2\n99,8,2\n");
    assert_run(1, "others.csv:3:1", "midcourse revise 1005 --out none.csv --target others.csv");
    assert_run(0, "Wrote of_1005.csv", "midcourse revise 1005 --out of_1005.csv");
    assert_run(1, "this plan file counts from where the teeth were",
               "midcourse revise 1005 --out none.csv --target of_1005.csv");
    assert_run(1, "made for another case",
               "midcourse revise 1001 --out none.csv --target of_1005.csv");
    write_text("universal.csv", "tooth,stage,rotation_deg\n6,20,5\n");
    assert_run(0, "Wrote by_universal.csv",
               "midcourse revise 1005 --out by_universal.csv --target universal.csv --notation "
               "universal");
    assert_int_not_equal(access("none.csv", F_OK), 0);
}

/* A file changed by hand lets neighbours run into each other: told before it is signed. */
static void crowns_of_a_changed_file_are_looked_at(void **state) {
    (void)state;
    write_text("words", "copper-fern-lantern\n");
    assert_run(0, "Wrote", "midcourse arch export 1005 --arch upper --out upper.csv");
    assert_run(0, "measured", "midcourse --as JT arch import 1005 upper.csv");
    assert_run(0, "crowns measured", "midcourse revise 1005 --out made.csv");
    assert_run(0, "", "sed -E 's/^(13,4),[^,]*/\\1,0.7/' made.csv > changed.csv");
    assert_run(1, "13 and 12 would overlap by",
               "MIDCOURSE_PASSPHRASE_FILE=words midcourse --as IBA decide 1005 --choice correct "
               "--plan changed.csv --cause staging --reason 'as made' 2>&1");
    assert_run(1, "starts within", /* as made there is nothing to be told, but the day */
               "MIDCOURSE_PASSPHRASE_FILE=words midcourse --as IBA decide 1005 --choice correct "
               "--plan made.csv --cause staging --reason 'as made' --start 2999-01-01");
}

static void what_was_made_is_signed(void **state) {
    (void)state;
    write_text("words", "copper-fern-lantern\n");
    assert_run(0, "Wrote far.csv", "midcourse revise 1005 --out far.csv");
    assert_run(1, "starts within 365 days",
               "MIDCOURSE_PASSPHRASE_FILE=words midcourse --as IBA decide 1005 --choice correct "
               "--plan far.csv --cause staging --reason 'as made' --start 2999-01-01");
    assert_run(0, "Wrote order.csv", "midcourse revise 1005 --out order.csv --more 13:rotation=10");
    assert_run(0, "Signed by IBA: correct",
               "MIDCOURSE_PASSPHRASE_FILE=words midcourse --as IBA decide 1005 --choice correct "
               "--plan order.csv --cause staging --reason 'as made'");
    assert_run(0, "Plan 2, ", "midcourse plan show 1005");
    assert_null(strstr(run_output, "-0.0 "));
    /* while it is awaited it may be ordered anew; once it is worn it needs a check-up of its own */
    assert_run(0, "Wrote anew.csv", "midcourse revise 1005 --out anew.csv");
    assert_run(1, "nothing was read on plan 2 yet",
               "MIDCOURSE_TODAY=2100-01-01 midcourse revise 1005 --kept --out none.csv");
    assert_run(0, "sound", "midcourse verify");
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
        cmocka_unit_test(the_account_says_what_makes_the_series_so_long),
        cmocka_unit_test(every_change_has_its_option),
        cmocka_unit_test(what_is_written_otherwise_is_told),
        cmocka_unit_test(a_series_without_room_is_refused_and_accounted_for),
        cmocka_unit_test(a_series_of_nothing_is_not_written),
        cmocka_unit_test(a_draft_is_kept_and_gone_on_with),
        cmocka_unit_test(target_files),
        cmocka_unit_test(crowns_of_a_changed_file_are_looked_at),
        cmocka_unit_test(what_was_made_is_signed),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
