/* Readings against a neighbour in the check-up form: a tooth of an invented case whose baseline was
 * read at aligner 0, read again by spaces, steps, height steps and the crown's angle. */
#include "chair.h"

#include "same_score.h"

/* By the dates 2026-03-02 is aligner 7 of 20, worn long enough for stage 7. */
static const char PLAN[] = "tooth,stage,mesial_mm,buccal_mm,occlusal_mm,rotation_deg\n"
                           "12,20,0.8,2,1,20\n"
                           "11,20,0,-1,0,0\n"
                           "43,20,0,1,0,0\n";
#define HEADING                                                                                    \
    "tooth,space_mesial_mm,space_distal_mm,step_mesial_mm,step_distal_mm,height_mesial_mm,"        \
    "height_distal_mm,crown_angle_deg\n"
static const char BASELINE[] = HEADING "12,0.3,0,-1.2,-0.8,-0.5,-0.9,-30\n";
static const char LATER[] = HEADING "12,0.1,0.3,-0.62,-0.5,-0.4,-0.8,-26\n";
/* The same typed, by finger and by caliper. */
static const char *const TYPED[MC_RELATIVES] = {"0.10\r", "0,3\r",  "-0.62\r", "-.5\r",
                                                "-0.4\r", "-0.8\r", "-26\r"};
static const double READ[MC_RELATIVES] = {0.1, 0.3, -0.62, -0.5, -0.4, -0.8, -26};

#define must(call)                                                                                 \
    do {                                                                                           \
        if ((call) != MC_OK)                                                                       \
            fail_msg("%s: %s", #call, error.text);                                                 \
    } while (0)

static void import(mc_practice *practice, const mc_case *kase, const char *day, int aligner,
                   const char *rows) {
    mc_error error = {0};
    mc_warnings warnings = {0};
    int number = 0;
    mc_checkup_import what = {.data = rows,
                              .size = strlen(rows),
                              .aligner = {aligner, aligner},
                              .day = {aligner > 0 ? 8 : -1, aligner > 0 ? 8 : -1},
                              .wear_hours = NAN,
                              .method = MC_CALIPER};
    assert_true(mc_day_parse(day, &what.date));
    must(mc_import_checkup(practice, kase, &what, &number, &warnings, &error));
    mc_warnings_free(&warnings);
}

static void make_case(mc_practice *practice, const char *chart, const char *start,
                      const char *baseline) {
    mc_error error = {0};
    mc_warnings warnings = {0};
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_plan_info info;
    mc_day born = 0;
    mc_plan_import plan = {.data = PLAN, .size = strlen(PLAN), .interval = {14, 14}};
    assert_true(mc_day_parse("1999-02-03", &born));
    assert_true(mc_day_parse(start, &plan.start));
    mc_usual_teeth(states);
    states[mc_tooth_from_iso(22)] = MC_TOOTH_MISSING;
    must(mc_case_open(practice, chart, "Larkspur, Odile", born, states, &kase, &error));
    must(mc_import_plan(practice, &kase, &plan, &info, &warnings, &error));
    if (baseline)
        import(practice, &kase, start, 0, baseline);
}

/* Three cases alike: 3001 and 3002 with a baseline, 3003 without; 3004 begins today. */
static int begin(void **state) {
    mc_practice *practice = NULL;
    mc_error error = {0};
    fresh(state);
    must(mc_practice_open(record, today(), &practice, &error));
    must(mc_practice_act_as(practice, "IBA", &error));
    make_case(practice, "3001", "2025-12-01", BASELINE);
    make_case(practice, "3002", "2025-12-01", BASELINE);
    make_case(practice, "3003", "2025-12-01", NULL);
    make_case(practice, "3004", "2026-03-02", NULL);
    mc_practice_close(practice);
    return 0;
}

static double reading_of(const look *l, int iso, int row, mc_relative what) {
    const mc_reading *r = mc_draft_row(l->draft, mc_tooth_from_iso(iso), row);
    return r ? r->relative[what] : NAN;
}

static void all_are_read(const char *label) {
    look l = look_at(label);
    for (int i = 0; i < MC_RELATIVES; i++)
        assert_true(fabs(reading_of(&l, 12, 0, (mc_relative)i) - READ[i]) < 1e-12);
    assert_int_equal(mc_draft_steps(l.draft), MC_RELATIVES);
    look_end(&l);
}

static pty at_tooth(pty_setting setting, const char *label) {
    pty p = at_form(setting, label);
    type_until(&p, "t12v", "12 space to 11: mm");
    return p;
}

static void type_all(pty *p) {
    for (int i = 0; i < MC_RELATIVES; i++) {
        pty_keys(p, TYPED[i]);
        pty_settle(p);
    }
}

/* ---- entering ---- */

static void each_reading_in_turn_beside_what_it_should_be(void **state) {
    (void)state;
    static const char *const hints[MC_RELATIVES] = {
        "12 space to 11: mm; 0 or more. By plan 0.02.",
        "12 space to 13: mm; 0 or more. By plan 0.28.",
        "12 step to 11: mm; + labial, - palatal. By plan -0.15.",
        "12 step to 13: mm; + labial, - palatal. By plan -0.10.",
        "12 height to 11: mm; + occlusal, - gingival. By plan -0.15.",
        "12 height to 13: mm; + occlusal, - gingival. By plan -0.55.",
        "12 crown angle: deg; + mesial-in, - mesial-out. By plan -23.0."};
    pty p = at_tooth(SMALL, "3001");
    for (int i = 0; i < MC_RELATIVES; i++) {
        assert_true(pty_find(&p, hints[i]) == 22);
        type_until(&p, i + 1 < MC_RELATIVES ? "\r" : "\t",
                   i + 1 < MC_RELATIVES ? "12 " : "By plan");
    }
    leave(&p);
    nothing_is_said("3001");
}

static void seven_readings_take_their_digits_and_seven_enters(void **state) {
    (void)state;
    static const char *const said[MC_RELATIVES] = {"12 space to 11 0.10 mm",
                                                   "12 space to 13 0.30 mm",
                                                   "12 step to 11 -0.62 mm palatal",
                                                   "12 step to 13 -0.50 mm palatal",
                                                   "12 height to 11 -0.40 mm gingival",
                                                   "12 height to 13 -0.80 mm gingival",
                                                   "12 crown angle -26.0 deg mesial-out"};
    pty p = at_tooth(SMALL, "3001");
    for (int i = 0; i < MC_RELATIVES; i++)
        type_until(&p, TYPED[i], said[i]);
    assert_true(pty_find(&p, "positions on 1") > 0);
    leave(&p);
    all_are_read("3001");
}

/* The sign may be typed by hand before the caliper types its number. */
static void a_caliper_types_behind_a_sign(void **state) {
    (void)state;
    pty p = at_tooth(SMALL, "3001");
    type_until(&p, "vv", "12 height to 11: mm");
    type_until(&p, "-", "entered");
    type_until(&p, "0.45\r0.20\r", "12 height to 13 +0.20 mm occlusal");
    leave(&p);
    look l = look_at("3001");
    assert_true(fabs(reading_of(&l, 12, 0, MC_HEIGHT_TO_MESIAL) + 0.45) < 1e-12);
    assert_true(fabs(reading_of(&l, 12, 0, MC_HEIGHT_TO_DISTAL) - 0.2) < 1e-12);
    look_end(&l);
}

/* Steps alone, tooth after tooth: the cursor stays at the kind that is being read. */
static void another_tooth_is_read_the_same_way(void **state) {
    (void)state;
    pty p = at_tooth(SMALL, "3001");
    type_until(&p, "v-0.6\r-0.5\r" RIGHT, "11 step to 21: mm");
    type_until(&p, "t21", "21 step to 11: mm");
    type_until(&p, "\r", "21 step to 23: mm"); /* 22 is missing */
    leave(&p);
    look l = look_at("3001");
    assert_int_equal(mc_draft_steps(l.draft), 2);
    look_end(&l);
}

/* Behind the last molar there is nothing to read against. */
static void where_there_is_no_neighbour_nothing_is_asked(void **state) {
    (void)state;
    pty p = at_form(SMALL, "3001");
    type_until(&p, "t18v", "18 space to 17: mm");
    assert_true(pty_find(&p, "dis. none") > 0);
    type_until(&p, "\r", "18 step to 17: mm");
    type_until(&p, "\033[Z", "18 space to 17: mm");
    leave(&p);
}

static void a_tooth_is_read_against_its_neighbours_twice(void **state) {
    (void)state;
    pty p = at_tooth(SMALL, "3001");
    type_until(&p, "0.10\r", "12 space to 11 0.10 mm");
    type_until(&p, "\033[Z=", "reading 2 of 2");
    type_until(&p, "0.14\r", "12 space to 11 0.14 mm (reading 2)");
    leave(&p);
    look l = look_at("3001");
    assert_true(fabs(reading_of(&l, 12, 0, MC_SPACE_TO_MESIAL) - 0.1) < 1e-12);
    assert_true(fabs(reading_of(&l, 12, 1, MC_SPACE_TO_MESIAL) - 0.14) < 1e-12);
    look_end(&l);
}

static void what_cannot_be_is_refused_in_its_field(void **state) {
    (void)state;
    pty p = at_tooth(SMALL, "3001");
    type_until(&p, "-0.2\r", "cannot be");
    type_until(&p, "", "entered  -0.2");
    type_until(&p, "0.2\r", "12 space to 11 0.20 mm");
    leave(&p);
    look l = look_at("3001");
    assert_true(fabs(reading_of(&l, 12, 0, MC_SPACE_TO_MESIAL) - 0.2) < 1e-12);
    assert_int_equal(mc_draft_steps(l.draft), 1);
    look_end(&l);
}

static void what_is_unlikely_is_asked_back_once(void **state) {
    (void)state;
    pty p = at_tooth(SMALL, "3001");
    type_until(&p, "v4\r", "Is 12 step to 11 +4.00 mm? By plan -0.15, last read -1.20.");
    pty_keys(&p, "0.4\r"); /* a caliper answers nothing */
    pty_settle(&p);
    assert_true(pty_find(&p, "y: yes, n: no") > 0);
    type_until(&p, "n", "12 step to 11: mm");
    nothing_is_said("3001");
    type_until(&p, "4\r", "Is 12 step to 11");
    type_until(&p, "y", "12 step to 11 +4.00 mm labial");
    leave(&p);
}

static void readings_are_taken_back_and_done_again(void **state) {
    (void)state;
    pty p = at_tooth(SMALL, "3001");
    type_until(&p, "0.1\r0.3\r-0.62\r", "12 step to 11 -0.62 mm palatal");
    type_until(&p, "fu", "Taken back: 12 step to 11 -0.62 mm palatal");
    assert_true(pty_find(&p, " against ") == 11); /* back where it was entered */
    type_until(&p, "U", "Done again: 12 step to 11 -0.62 mm palatal");
    type_until(&p, DELETE, "12 step to 11 not said");
    leave(&p);
    look l = look_at("3001");
    assert_true(isnan(reading_of(&l, 12, 0, MC_STEP_TO_MESIAL)));
    assert_true(fabs(reading_of(&l, 12, 0, MC_SPACE_TO_DISTAL) - 0.3) < 1e-12);
    look_end(&l);
}

static void a_killed_process_loses_none(void **state) {
    (void)state;
    pty p = at_tooth(SMALL, "3001");
    type_all(&p);
    kill(p.pid, SIGKILL);
    assert_true(WIFSIGNALED(pty_wait(&p)));
    pty_close(&p);
    all_are_read("3001");
    p = at_form(SMALL, "3001");
    assert_true(pty_find(&p, "goes on where it stood: 7 steps so far.") > 0);
    type_until(&p, "u", "Taken back: 12 crown angle -26.0 deg mesial-out");
    leave(&p);
}

/* ---- completed ---- */

static mc_assessment *assess(mc_practice *practice, const char *label) {
    mc_case kase;
    mc_error error = {0};
    mc_assessment *a = NULL;
    must(mc_case_find(practice, label, &kase, &error));
    must(mc_assess(practice, &kase, 0, false, &a, &error));
    return a;
}

/* What was entered on screen is what a file of the same values brings: reading by reading, and in
 * what is computed from it. */
static void completed_it_is_what_a_file_brings(void **state) {
    (void)state;
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_case kase;
    pty p = at_tooth(SMALL, "3001");
    type_all(&p);
    type_until(&p, "e", "12; against neighbours 12, method caliper");
    type_until(&p, "y", "Check-up 2 is completed");
    leave(&p);
    must(mc_practice_open(record, today(), &practice, &error));
    must(mc_practice_act_as(practice, "IBA", &error));
    must(mc_case_find(practice, "3002", &kase, &error));
    import(practice, &kase, "2026-03-02", 7, LATER);
    mc_assessment *screen = assess(practice, "3001"), *file = assess(practice, "3002");
    assert_int_equal(screen->checkup.checkup.count, 1);
    assert_int_equal(file->checkup.checkup.count, 1);
    for (int i = 0; i < MC_RELATIVES; i++) {
        assert_true(screen->checkup.checkup.rows[0].relative[i] ==
                    file->checkup.checkup.rows[0].relative[i]);
        assert_true(screen->checkup.checkup.rows[0].relative[i] == READ[i]);
    }
    const mc_item *buccal = &screen->score->tooth[mc_tooth_from_iso(12)].item[MC_BUCCAL];
    assert_true(buccal->read);
    assert_same_score(screen->score, file->score, false, 0);
    mc_assessment_free(screen);
    mc_assessment_free(file);
    mc_practice_close(practice);
}

/* ---- the baseline ---- */

static void without_a_baseline_it_says_so(void **state) {
    (void)state;
    pty p = at_tooth(SMALL, "3003");
    assert_true(pty_find(&p, "12 space to 11: mm; 0 or more. No baseline: it is kept, not used.") ==
                22);
    type_until(&p, "0.2\r", "12 space to 11 0.20 mm; no baseline: kept, not used.");
    assert_true(pty_find(&p, "positions on 0") > 0); /* nothing is known of where it is */
    leave(&p);
    look l = look_at("3003");
    assert_true(fabs(reading_of(&l, 12, 0, MC_SPACE_TO_MESIAL) - 0.2) < 1e-12);
    look_end(&l);
}

/* 13 was taken out since the baseline was read against it. */
static void a_baseline_against_another_neighbour_is_not_used(void **state) {
    (void)state;
    mc_practice *practice = NULL;
    mc_case kase;
    mc_error error = {0};
    must(mc_practice_open(record, today(), &practice, &error));
    must(mc_practice_act_as(practice, "IBA", &error));
    must(mc_case_find(practice, "3001", &kase, &error));
    must(mc_case_set_tooth(practice, &kase, mc_tooth_from_iso(13), MC_TOOTH_EXTRACTED, today(),
                           &error));
    mc_practice_close(practice);
    pty p = at_tooth(SMALL, "3001");
    type_until(&p, "\r", "12 space to 14: mm; 0 or more. Another neighbour then: not used.");
    assert_true(pty_find(&p, " baseline  0.30      another ") == 16);
    type_until(&p, "7\r", "12 space to 14 7.00 mm; another neighbour then: kept, not used.");
    type_until(&p, "u", "Taken back: 12 space to 14 7.00 mm");
    leave(&p);
}

/* At aligner 0 the readings are the baseline, and go tooth by tooth along the mouth. */
static void at_aligner_0_it_is_the_baseline(void **state) {
    (void)state;
    pty p = at_form(SMALL, "3004");
    type_until(&p, "k0\r", "Upper aligner 0");
    type_until(&p, "ft12v", "12 space to 11: mm; 0 or more. This is the baseline.");
    type_until(&p, "0.3\r", "12 space to 11 0.30 mm; kept as the baseline.");
    type_until(&p, "\r\r\r\r\r\r", "Skipped; next 11.");
    type_until(&p, "v", "11 step to 21: mm; + labial, - palatal. This is the baseline.");
    type_until(&p, "12\r", "Is 11 step to 21 +12.00 mm? That is much for a baseline.");
    type_until(&p, "n", "11 step to 21: mm");
    leave(&p);
}

/* ---- looks ---- */

/* Nothing but the table changes, and what is typed stands where positions are typed. */
static void it_keeps_still(void **state) {
    (void)state;
    static const pty_setting sizes[] = {{.rows = 24, .cols = 80},
                                        {.rows = 40, .cols = 120},
                                        {.rows = 60, .cols = 200},
                                        {.rows = 24, .cols = 80, .term = "vt100", .ascii = "1"}};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        char before[60][PTY_LINE], line[PTY_LINE];
        pty p = at_form(sizes[i], "3001");
        type_until(&p, "t12r", "12 mesial: mm");
        for (int row = 0; row < p.rows; row++)
            pty_row(&p, row, before[row]);
        type_until(&p, "v", "12 space to 11: mm");
        for (int row = 0; row < p.rows; row++)
            if ((row < 11 || row > 16) && row != p.rows - 2)
                assert_string_equal(pty_row(&p, row, line), before[row]);
        assert_true(pty_find(&p, "space mm            step mm             height mm") == 11);
        assert_true(pty_find(&p, "mes. 11   dis. 13   mes. 11   dis. 13") == 12);
        assert_true(pty_find(&p, " by plan   0.02      0.28     -0.15 pal -0.10 pal") == 13);
        assert_true(pty_find(&p, " entered ") == 14);
        assert_true(pty_find(&p, " last read") == 15);
        assert_true(pty_find(&p, " baseline  0.30      0.00     -1.20 pal -0.80 pal") == 16);
        type_until(&p, "b", "12 attachment:");
        assert_true(pty_find(&p, "space mm            step mm") == 11); /* it stays there */
        leave(&p);
    }
}

static void the_chart_tells_what_was_read(void **state) {
    (void)state;
    pty_setting tall = {.rows = 60, .cols = 200};
    pty p = at_chart(tall, "3001", "JT");
    type_until(&p, "e", "being entered");
    type_until(&p, "t12vv-0.62\r", "12 step to 11 -0.62 mm palatal");
    assert_true(pty_find(&p, "step to 11 -0.62") > 0); /* among what is said */
    type_until(&p, "e", "Complete");
    type_until(&p, "y", "is completed");
    assert_true(pty_find(&p, "neighbours: step to 11 -0.62 mm, by plan -0.15.") > 0);
    leave(&p);
}

static void the_history_tells_it_as_entered(void **state) {
    (void)state;
    pty p = at_tooth(SMALL, "3001");
    type_all(&p);
    type_until(&p, "e", "Complete");
    type_until(&p, "y", "is completed");
    type_until(&p, "r", "check-up 2");
    type_until(&p, "\r", "a check-up as entered");
    assert_true(pty_find(&p, " settings          set 1, which it is scored with") > 0);
    assert_true(pty_find(&p, " 12                space mesial 0.1 mm; space distal 0.3 mm;") > 0);
    assert_true(pty_find(&p, "step mesial -0.62") > 0);
    leave(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(each_reading_in_turn_beside_what_it_should_be, begin),
        cmocka_unit_test_setup(seven_readings_take_their_digits_and_seven_enters, begin),
        cmocka_unit_test_setup(a_caliper_types_behind_a_sign, begin),
        cmocka_unit_test_setup(another_tooth_is_read_the_same_way, begin),
        cmocka_unit_test_setup(where_there_is_no_neighbour_nothing_is_asked, begin),
        cmocka_unit_test_setup(a_tooth_is_read_against_its_neighbours_twice, begin),
        cmocka_unit_test_setup(what_cannot_be_is_refused_in_its_field, begin),
        cmocka_unit_test_setup(what_is_unlikely_is_asked_back_once, begin),
        cmocka_unit_test_setup(readings_are_taken_back_and_done_again, begin),
        cmocka_unit_test_setup(a_killed_process_loses_none, begin),
        cmocka_unit_test_setup(completed_it_is_what_a_file_brings, begin),
        cmocka_unit_test_setup(without_a_baseline_it_says_so, begin),
        cmocka_unit_test_setup(a_baseline_against_another_neighbour_is_not_used, begin),
        cmocka_unit_test_setup(at_aligner_0_it_is_the_baseline, begin),
        cmocka_unit_test_setup(it_keeps_still, begin),
        cmocka_unit_test_setup(the_chart_tells_what_was_read, begin),
        cmocka_unit_test_setup(the_history_tells_it_as_entered, begin),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
