/* What is read against a neighbour, from the first check-up before anything moved to the score: by
 * file and at the chair. */
#include "acting.h"

enum { BASE_ALIGNER = 0, ALIGNER = 8 };

/* By plan at stage 8: 12 buccal 0.4 and rotation 6, 11 buccal 0.2; 13 stays. */
static void read_baseline(house *h) {
    mc_checkup_import what = readings("tooth,step_mesial_mm,space_distal_mm,crown_angle_deg\n"
                                      "12,-0.5,0.3,4\n",
                                      PLAN_START, BASE_ALIGNER, -1);
    h->practice->today = day(PLAN_START);
    done(import_checkup(h, "1001", &what));
}

static mc_draft *take_up(house *h, const char *on) {
    mc_case kase = find(h->practice, "1001");
    mc_draft *d = NULL;
    h->practice->today = day(on);
    done(mc_draft_open(h->practice, &kase, &d, &why));
    return d;
}

static mc_step relative(int iso, mc_relative what, double value) {
    return (mc_step){.what = MC_STEP_RELATIVE,
                     .tooth = mc_tooth_from_iso(iso),
                     .whole = (int)what,
                     .number = value};
}

static mc_step aligner(int worn) {
    return (mc_step){.what = MC_STEP_ALIGNER, .arch = MC_UPPER, .whole = worn, .number = NAN};
}

static mc_status put(mc_draft *d, mc_step step) {
    bool doubt = true;
    mc_status status = mc_draft_enter(d, &step, false, &doubt, &why);
    assert_false(doubt);
    return status;
}

#define doubted(words, d, step)                                                                    \
    do {                                                                                           \
        mc_step doubted_step = (step);                                                             \
        bool doubted_so = false;                                                                   \
        refuses(MC_REFUSED, words, mc_draft_enter(d, &doubted_step, false, &doubted_so, &why));    \
        assert_true(doubted_so);                                                                   \
    } while (0)

static void near(double got, double want) {
    if (!(fabs(got - want) <= 1e-9))
        fail_msg("%.12g, wanted %.12g", got, want);
}

static void the_chair_tells_what_it_should_read(void **state) {
    house *h = *state;
    mc_tooth tooth = mc_tooth_from_iso(12);
    read_baseline(h);
    mc_draft *d = take_up(h, SECOND_DAY);
    done(put(d, aligner(ALIGNER)));
    near(mc_draft_should_read(d, tooth, MC_STEP_TO_MESIAL), -0.3);
    near(mc_draft_last_read(d, tooth, MC_STEP_TO_MESIAL), -0.5);
    near(mc_draft_should_read(d, tooth, MC_SPACE_TO_DISTAL), 0.3);
    near(mc_draft_should_read(d, tooth, MC_CROWN_ANGLE), 10);
    assert_true(isnan(mc_draft_should_read(d, tooth, MC_SPACE_TO_MESIAL)));
    assert_true(isnan(mc_draft_last_read(d, tooth, MC_SPACE_TO_MESIAL)));
    done(put(d, relative(12, MC_STEP_TO_MESIAL, -0.4)));
    const mc_tooth_score *score = &mc_draft_assessment(d)->score->tooth[tooth];
    near(score->item[MC_BUCCAL].observed, 0.3);
    assert_int_equal(score->item[MC_BUCCAL].readings, 1);
    near(score->relative[MC_STEP_TO_MESIAL].baseline, -0.5);
    near(score->relative[MC_STEP_TO_MESIAL].should_read, -0.3);
    near(score->relative[MC_STEP_TO_MESIAL].read, -0.4);
    assert_int_equal(score->relative[MC_STEP_TO_MESIAL].neighbour, mc_tooth_from_iso(11));
    assert_int_equal(score->relative[MC_SPACE_TO_MESIAL].readings, 0);
    near(mc_draft_last_read(d, tooth, MC_STEP_TO_MESIAL), -0.5); /* of the check-ups before */
    mc_draft_close(d);
}

static void what_cannot_be_is_refused(void **state) {
    house *h = *state;
    read_baseline(h);
    mc_draft *d = take_up(h, SECOND_DAY);
    done(put(d, aligner(ALIGNER)));
    refused(h, "12 space distal of -0.1 mm cannot be: 0 to 20",
            put(d, relative(12, MC_SPACE_TO_DISTAL, -0.1)));
    refused(h, "12 step mesial of -20.5 mm cannot be: at most 20",
            put(d, relative(12, MC_STEP_TO_MESIAL, -20.5)));
    refused(h, "12 crown angle of 181 deg cannot be: at most 180",
            put(d, relative(12, MC_CROWN_ANGLE, 181)));
    refused(h, "cannot be", put(d, relative(12, MC_HEIGHT_TO_DISTAL, INFINITY)));
    refused(h, "17 step distal cannot be read: no tooth stands on that side",
            put(d, relative(17, MC_STEP_TO_DISTAL, 0)));
    refused(h, "nothing of that kind", put(d, relative(12, MC_RELATIVES, 0)));
    refused(h, "the case does not have tooth 18", put(d, relative(18, MC_CROWN_ANGLE, 0)));
    done(put(d, relative(18, MC_CROWN_ANGLE, NAN))); /* what was said can always be taken away */
    mc_draft_close(d);
}

static void what_is_odd_is_asked(void **state) {
    house *h = *state;
    read_baseline(h);
    mc_draft *d = take_up(h, SECOND_DAY);
    done(put(d, aligner(ALIGNER)));
    doubted("12 step mesial at -1.6 mm is unlikely: by plan it should read -0.3, the last reading "
            "was -0.5",
            d, relative(12, MC_STEP_TO_MESIAL, -1.6));
    done(put(d, relative(12, MC_STEP_TO_MESIAL, -1.4))); /* 0.9 from the last reading */
    doubted("12 crown angle at -2 deg is unlikely: by plan it should read 10, the last reading "
            "was 4",
            d, relative(12, MC_CROWN_ANGLE, -2));
    done(put(d, relative(12, MC_CROWN_ANGLE, -1.9)));
    doubted("13 space mesial was not read at stage 0 against this neighbour: it is kept, but not "
            "used",
            d, relative(13, MC_SPACE_TO_MESIAL, 0.3));
    doubted("13 crown angle was not read at stage 0: it is kept", d,
            relative(13, MC_CROWN_ANGLE, 0.3));
    bool doubt;
    mc_step sure = relative(13, MC_SPACE_TO_MESIAL, 0.3);
    done(mc_draft_enter(d, &sure, true, &doubt, &why));
    assert_false(mc_draft_assessment(d)->score->tooth[sure.tooth].item[MC_MESIAL].read);
    refused(h, "13 space mesial was entered, which needs the aligner that is worn",
            put(d, aligner(MC_NO_ALIGNER)));
    mc_draft_close(d);
}

/* A draft of everything, written on its rows, undone and done again in words, and completed; then
 * what an amendment of it changed. */
static void it_is_kept_and_amended(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    char words[MC_STEP_TEXT_SIZE];
    int number = 0, version = 0;
    mc_warnings warnings;
    mc_deed *deeds;
    size_t count;
    read_baseline(h);
    mc_draft *d = take_up(h, SECOND_DAY);
    done(put(d, aligner(ALIGNER)));
    done(put(d, relative(12, MC_SPACE_TO_DISTAL, 0.4)));
    mc_step again = relative(12, MC_SPACE_TO_DISTAL, 0.5);
    again.row = 1;
    done(put(d, again));
    done(put(d, relative(12, MC_CROWN_ANGLE, 9)));
    done(put(d, relative(12, MC_CROWN_ANGLE, NAN)));
    assert_int_equal(mc_draft_rows(d, again.tooth), 2);
    done(mc_draft_undo(d, words, &why));
    assert_string_equal(words, "12 crown angle taken away");
    done(mc_draft_undo(d, words, &why));
    assert_string_equal(words, "12 crown angle 9 deg");
    done(mc_draft_undo(d, words, &why));
    assert_string_equal(words, "12 space distal 0.5 mm");
    done(mc_draft_redo(d, NULL, &why));
    mc_draft_close(d);
    d = take_up(h, SECOND_DAY); /* as it is on record */
    near(mc_draft_row(d, again.tooth, 0)->relative[MC_SPACE_TO_DISTAL], 0.4);
    near(mc_draft_row(d, again.tooth, 1)->relative[MC_SPACE_TO_DISTAL], 0.5);
    near(mc_draft_assessment(d)->score->tooth[again.tooth].relative[MC_SPACE_TO_DISTAL].read, 0.45);
    done(mc_draft_complete(d, true, &number, &warnings, &why));
    mc_warnings_free(&warnings);
    mc_draft_close(d);
    mc_checkup_import what =
        readings("tooth,space_distal_mm\n12,0.6\n12,0.5\n", SECOND_DAY, ALIGNER, -1);
    done(mc_amend_checkup(h->practice, &kase, number, &what, "misread", &version, &warnings, &why));
    mc_warnings_free(&warnings);
    done(mc_history(h->practice, &kase, &deeds, &count, &why));
    assert_non_null(strstr(deeds[count - 1].sentence, "; 12 space distal 0.4 mm -> 0.6 mm"));
    mc_deeds_free(deeds, count);
}

/* The baseline's own amendment is not doubted against itself, and what follows is read against the
 * amended one. */
static void the_baseline_can_be_amended(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    int version = 0;
    mc_warnings warnings;
    read_baseline(h);
    mc_checkup_import what =
        readings("tooth,step_mesial_mm\n12,2.5\n", PLAN_START, BASE_ALIGNER, -1);
    done(mc_amend_checkup(h->practice, &kase, 1, &what, "misread", &version, &warnings, &why));
    assert_int_equal(warnings.count, 0);
    mc_draft *d = take_up(h, SECOND_DAY);
    done(put(d, aligner(ALIGNER)));
    near(mc_draft_should_read(d, mc_tooth_from_iso(12), MC_STEP_TO_MESIAL), 2.7);
    mc_draft_close(d);
}

/* A neighbour drawn since: the next one stands there now, and has no baseline. */
static void another_neighbour_has_no_baseline(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_warnings warnings;
    int number;
    read_baseline(h);
    h->practice->today = day(SECOND_DAY);
    done(mc_case_set_tooth(h->practice, &kase, mc_tooth_from_iso(13), MC_TOOTH_EXTRACTED,
                           day(SECOND_DAY), &why));
    mc_checkup_import what =
        readings("tooth,space_distal_mm,crown_angle_deg\n12,6.5,9\n", SECOND_DAY, ALIGNER, -1);
    what.accept_warnings = true;
    done(mc_import_checkup(h->practice, &kase, &what, &number, &warnings, &why));
    assert_int_equal(warnings.count, 1);
    assert_string_equal(warnings.list[0].text,
                        "12 space distal: no reading of it at stage 0 of this plan, against this "
                        "neighbour: it is kept, but not used");
    mc_warnings_free(&warnings);
    mc_assessment *a = assessed(h->practice, "1001", 0);
    const mc_tooth_score *score = &a->score->tooth[mc_tooth_from_iso(12)];
    assert_int_equal(score->relative[MC_SPACE_TO_DISTAL].neighbour, mc_tooth_from_iso(14));
    near(score->relative[MC_SPACE_TO_DISTAL].read, 6.5);
    assert_true(isnan(score->relative[MC_SPACE_TO_DISTAL].should_read));
    assert_false(score->item[MC_MESIAL].read);
    assert_true(score->item[MC_ROTATION].read);
    mc_assessment_free(a);
}

/* What was read against a tooth that turns out to be long gone does not keep the case from being
 * seen. */
static void a_case_with_a_neighbour_gone_is_still_seen(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_checkup_import what = readings("tooth,space_distal_mm\n15,0.5\n", FIRST_DAY, 4, -1);
    what.accept_warnings = true;
    h->practice->today = day(FIRST_DAY);
    done(import_checkup(h, "1001", &what));
    mc_draft *d = take_up(h, SECOND_DAY);
    bool doubt;
    mc_step step = relative(15, MC_SPACE_TO_DISTAL, 0.5);
    done(mc_draft_enter(d, &step, true, &doubt, &why));
    for (int iso = 16; iso <= 17; iso++)
        done(mc_case_set_tooth(h->practice, &kase, mc_tooth_from_iso(iso), MC_TOOTH_MISSING,
                               day("2025-04-01"), &why));
    mc_assessment *a = assessed(h->practice, "1001", 0);
    near(a->score->tooth[step.tooth].relative[MC_SPACE_TO_DISTAL].read, 0.5);
    assert_int_equal(a->score->tooth[step.tooth].relative[MC_SPACE_TO_DISTAL].neighbour,
                     MC_NO_TOOTH);
    mc_assessment_free(a);
    mc_warnings warnings;
    refuses(MC_REFUSED, "15 space distal was entered, and no tooth stands on that side any more",
            mc_draft_review(d, &warnings, &why));
    mc_draft_close(d);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        acting_test(the_chair_tells_what_it_should_read),
        acting_test(what_cannot_be_is_refused),
        acting_test(what_is_odd_is_asked),
        acting_test(it_is_kept_and_amended),
        acting_test(the_baseline_can_be_amended),
        acting_test(another_neighbour_has_no_baseline),
        acting_test(a_case_with_a_neighbour_gone_is_still_seen),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
