/* The tooth screen cell by cell, on a mouth that was really followed: invented readings, taken in
 * by the tracker. */
#include "pty.h"
#include "values.h"

#include "chart.h"
#include "tooth_view.h"

#define ESC "\033"
#define RIGHT "\033OC"
#define LEFT "\033OD"
#define UP "\033OA"

/* ---- a mouth ---- */

/* One check-up: everything read of 12, 11 and 34 at an aligner. */
typedef struct visit {
    int aligner;
    double rotation_12, mesial_12, rotation_11;
    mc_attachment attachment_12;
} visit;

static const visit VISITS[] = {{4, 2.0, 0.2, 3.1, MC_ATTACHMENT_INTACT},
                               {8, 3.0, 0.35, 5.8, MC_ATTACHMENT_INTACT},
                               {12, 3.5, 0.5, 9.2, MC_ATTACHMENT_LOST}};
enum { VISIT_COUNT = sizeof VISITS / sizeof *VISITS };

static void take_in(mc_assessment *a, int i) {
    const visit *v = &VISITS[i];
    mc_reading rows[2] = {mc_reading_none(mc_tooth_from_iso(12)),
                          mc_reading_none(mc_tooth_from_iso(11))};
    rows[0].value[MC_ROTATION] = v->rotation_12;
    rows[0].value[MC_MESIAL] = v->mesial_12;
    rows[0].attachment = v->attachment_12;
    rows[0].mobility = i == 2 ? 1 : -1;
    rows[1].value[MC_ROTATION] = v->rotation_11;
    const mc_checkup checkup = {.number = i + 1,
                                .date = VALUES_TODAY - 42 * (VISIT_COUNT - 1 - i),
                                .aligner = {v->aligner, v->aligner},
                                .day = {-1, -1},
                                .wear_hours = NAN,
                                .method = MC_CALIPER,
                                .rows = rows,
                                .count = 2};
    assert_int_equal(mc_tracker_add(a->tracker, &checkup, NULL), MC_OK);
    mc_tracker_score(a->tracker, a->states, &a->scores[i]);
}

/* 12 stays behind on its rotation and has lost its attachment, 11 follows. */
static mc_assessment *a_mouth(void) {
    mc_assessment *a = values_case(VISIT_COUNT);
    bool grip[MC_TEETH];
    a->tracker = mc_tracker_new(&a->settings);
    assert_non_null(a->tracker);
    mc_tracker_begin(a->tracker, a->plan, NULL);
    for (int i = 0; i < VISIT_COUNT; i++)
        take_in(a, i);
    a->checkups_before_on_plan = VISIT_COUNT - 1;
    mc_tracker_grip(a->tracker, grip);
    mc_tracker_forecast(a->tracker, a->states, grip, &a->forecast);
    return a;
}

/* ---- the program under the terminal ---- */

static void play(void *context) {
    terminal t;
    mc_error error = {0};
    console con = {.today = VALUES_TODAY, .who = "ABC"};
    if (frame_begin(&con, &t, &error) != MC_OK)
        _exit(1);
    chart_show(&con, context);
    frame_run(&con);
    terminal_end(&t);
    frame_close(&con);
    _exit(0);
}

static const pty_setting SMALL = {.rows = 24, .cols = 80};
static const pty_setting SIZES[] = {
    {.rows = 24, .cols = 80}, {.rows = 40, .cols = 120}, {.rows = 60, .cols = 200}};

/* At 12, which is the worst. */
static pty show_tooth(pty_setting setting, mc_assessment *a) {
    pty p = pty_start(setting, play, a);
    mc_assessment_free(a); /* the child has its own */
    pty_await(&p, "t tooth");
    pty_keys(&p, "t");
    pty_await(&p, "c component");
    return p;
}

static void leave(pty *p) {
    pty_keys(p, "\021"); /* Ctrl-Q */
    pty_ended_well(p);
}

static uint32_t character(const pty *p, int row, int col) {
    uint32_t c = pty_cell(p, row, col).chars[0];
    return c ? c : ' ';
}

/* ---- the whole screen ---- */

static void one_component_at_80x24(void **state) {
    (void)state;
    static const char *const expected[] = {
        " 4711 Example, Invented  check-up 3 of 3, 2026-03-02, caliper   ABC  2026-03-02",
        "── 12 upper right lateral incisor ─ ▼ behind ─ lag index 2.90 (weight 1.50) ────",
        " mesial  buccal  occlusal  rotation  angulation  inclination",
        " Delivers 57 % of its plan (SD 20), expected 66 %. Grip lost (attachment lost):",
        " 33 % of its rate from here on. Attachment intact at check-up 1, lost at 3. Mo…",
        " rotation, deg, + is mesial-in",
        " ends 11.2 deg short (7.4 to 14.9), outside >99 %",
        " +24.0 │                                   ┊                                ═══",
        "       │                                   ┊",
        " +16.0 │                                   ┊                   ⣀⣀⣀⣀⠤⠤⠤⠤⠒⠒⠒⠒⠉⠉⠉⠉",
        "       │                                ╌╌╌┊   ⢀⣀⣀⣀⡠⠤⠤⠤⠔⠒⠒⠒⠉⠉⠉⠉        ░░░░░═══",
        "  +8.0 │                ╌╌╌╌╌╌╌│⣀⣀⣀⡠⠤⠤⠤⠔⠒⠒⠒│⠉⠉⠉⠁░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░◎",
        "       │╌╌╌╌╌╌╌╌⣀⣀⣀⣀◈⠤⠤⠤⠒⠒⠒⠒⠉⠉⠉◈╌╌╌╌╌╌╌╌   ◈░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░",
        "   0.0 │⠔⠒⠒⠒⠉⠉⠉⠉╌╌╌╌│╌╌╌       │           │",
        "       │                                   ┊",
        " stage  0     2     4     6    8    10    now   14    16    18   20    22    24",
        " ⠤ plan  ◇ read  │ SD  ● estimate  ◈ both  ░ 90 %  ◎ end  ╌ track  ═ finish",
        " check-up       stage planned observed    estimate    shortfall off state",
        "   3 2026-03-02  12.0   +9.0    +3.5±3.0    +5.1±1.7    +3.9    86% ▼ behind",
        "   2 2026-01-19   8.0   +6.0    +3.0±3.0    +3.8±1.4    +2.2    55% ▽ slipping",
        "   1 2025-12-08   4.0   +3.0    +2.0±3.0    +2.0±0.8    +1.0    11% ▽ slipping",
        " Proposal only: the doctor decides; local rules and clinical judgement go first",
        "",
        " Esc back  Left Right tooth  c component  Tab next  [ ] check-up  F1 ? help",
    };
    pty p = show_tooth(SMALL, a_mouth());
    pty_shows(&p, expected, 24);
    leave(&p);
}

static void ascii_shows_the_same_in_ascii(void **state) {
    (void)state;
    static const char *const expected[] = {
        " 4711 Example, Invented  check-up 3 of 3, 2026-03-02, caliper   ABC  2026-03-02",
        "-- 12 upper right lateral incisor - V behind - lag index 2.90 (weight 1.50) ----",
        " mesial  buccal  occlusal  rotation  angulation  inclination",
        " Delivers 57 % of its plan (SD 20), expected 66 %. Grip lost (attachment lost):",
        " 33 % of its rate from here on. Attachment intact at check-up 1, lost at 3. M..",
        " rotation, deg, + is mesial-in",
        " ends 11.2 deg short (7.4 to 14.9), outside >99 %",
        " +24.0 |                                   |                                ===",
        "       |                                   |",
        " +16.0 |                                   |                   ****************",
        "       |                                ---|   ****************        :::::===",
        "  +8.0 |                -------I***********I****::::::::::::::::::::::::::::::E",
        "       |--------****b**********b--------   b:::::::::::::::::::::::::::::::::::",
        "   0.0 |********----I---       I           I",
        "       |                                   |",
        " stage  0     2     4     6    8    10    now   14    16    18   20    22    24",
        " * plan  r read  I SD  e estimate  b both  : 90 %  E end  - track  = finish",
        " check-up       stage planned observed    estimate    shortfall off state",
        "   3 2026-03-02  12.0   +9.0    +3.5~3.0    +5.1~1.7    +3.9    86% V behind",
        "   2 2026-01-19   8.0   +6.0    +3.0~3.0    +3.8~1.4    +2.2    55% v slipping",
        "   1 2025-12-08   4.0   +3.0    +2.0~3.0    +2.0~0.8    +1.0    11% v slipping",
        " Proposal only: the doctor decides; local rules and clinical judgement go first",
        "",
        " Esc back  Left Right tooth  c component  Tab next  [ ] check-up  F1 ? help",
    };
    pty_setting asked = {.rows = 24, .cols = 80, .ascii = "1"};
    pty p = show_tooth(asked, a_mouth());
    pty_shows(&p, expected, 24);
    leave(&p);
    pty_setting poor = {.rows = 24, .cols = 80, .locale = "C", .term = "vt100"};
    p = show_tooth(poor, a_mouth());
    pty_shows(&p, expected, 24);
    leave(&p);
}

/* Without colour every character is the same, and nothing is coloured. */
static void no_colour_loses_only_colour(void **state) {
    (void)state;
    for (int size = 0; size < 3; size++) {
        const pty_setting plain = {
            .rows = SIZES[size].rows, .cols = SIZES[size].cols, .term = "xterm-mono"};
        pty p = show_tooth(plain, a_mouth()), q = show_tooth(SIZES[size], a_mouth());
        for (int row = 0; row < plain.rows; row++)
            for (int col = 0; col < plain.cols; col++) {
                VTermScreenCell cell = pty_cell(&p, row, col);
                assert_int_equal(character(&p, row, col), character(&q, row, col));
                assert_true(VTERM_COLOR_IS_DEFAULT_FG(&cell.fg));
            }
        leave(&p);
        leave(&q);
    }
}

/* Every thing of the plot has a mark of its own, and the legend names each. */
static void every_mark_is_named_and_unlike_the_others(void **state) {
    (void)state;
    const theme unicode = {0}, ascii = {.ascii = true};
    for (int m = MARK_PLOT_AHEAD; m <= MARK_PLOT_BOTH; m++)
        for (int other = MARK_PLOT_AHEAD; other < m; other++) {
            assert_string_not_equal(theme_mark(&unicode, (mark)m), theme_mark(&unicode, other));
            assert_string_not_equal(theme_mark(&ascii, (mark)m), theme_mark(&ascii, other));
        }
    pty p = show_tooth(SMALL, a_mouth());
    assert_true(pty_find(&p, "⠤ plan  ◇ read  │ SD  ● estimate  ◈ both  ░ 90 %  ◎ end  ╌ track  ═ "
                             "finish") > 0);
    leave(&p);
}

/* ---- sizes ---- */

static void larger_screens_show_more_side_by_side(void **state) {
    (void)state;
    static const char *const headings[] = {
        " mesial, mm, + is mesial",          " buccal, mm, + is labial",
        " occlusal, mm, + is extrusion",     " rotation, deg, + is mesial-in",
        " angulation, deg, + is tip mesial", " inclination, deg, + is crown labial"};
    const int shown[] = {1, 2, 6};
    for (int size = 0; size < 3; size++) {
        pty p = show_tooth(SIZES[size], a_mouth());
        int count = 0;
        for (int c = 0; c < MC_COMPONENTS; c++)
            count += pty_find(&p, headings[c]) > 0;
        assert_int_equal(count, shown[size]);
        assert_true(pty_find(&p, headings[MC_ROTATION]) > 0);
        assert_int_equal(pty_find(&p, "12 upper right lateral incisor"), 1);
        assert_int_equal(pty_find(&p, "mesial  buccal  occlusal  rotation"), 2);
        assert_int_equal(pty_find(&p, "Proposal only:"), SIZES[size].rows - 3);
        leave(&p);
    }
}

/* mm on the left, deg on the right; nothing empty where there is something to see. */
static void plots_are_worth_their_places(void **state) {
    (void)state;
    mc_assessment *a = a_mouth();
    chart_view chart = {.a = a, .cursor = mc_tooth_from_iso(12)};
    tooth_view tooth = {.chart = &chart, .component = MC_ROTATION};
    mc_component out[MC_COMPONENTS];
    tooth_choose_plots(&tooth, 1, out);
    assert_int_equal(out[0], MC_ROTATION);
    tooth.component = MC_MESIAL;
    for (int i = 0; i < 2; i++, tooth.component = MC_ROTATION) {
        tooth_choose_plots(&tooth, 2, out);
        assert_int_equal(out[0], MC_MESIAL);
        assert_int_equal(out[1], MC_ROTATION);
    }
    tooth.component = MC_BUCCAL; /* there is nothing to see of it: the worst instead */
    assert_int_equal(tooth_component(&tooth), MC_ROTATION);
    chart.cursor = mc_tooth_from_iso(37); /* nothing at all: it stays */
    assert_int_equal(tooth_component(&tooth), MC_BUCCAL);
    assert_int_equal(tooth_next_component(&tooth, 1), MC_BUCCAL);
    tooth_choose_plots(&tooth, MC_COMPONENTS, out);
    for (int c = 0; c < MC_COMPONENTS; c++)
        assert_int_equal(out[c], c);
    mc_assessment_free(a);
}

/* No plot says what there is no room to say. */
static void a_long_end_is_told_without_its_interval(void **state) {
    (void)state;
    mc_assessment *a = a_mouth();
    mc_component_forecast *f = &a->forecast.tooth[mc_tooth_from_iso(12)].component[MC_ROTATION];
    f->planned = 0, f->end = -12.5, f->low = -14, f->high = -11, f->p_out = 0.98;
    pty p = show_tooth(SIZES[1], a);
    assert_true(pty_find(&p, "ends 12.5 deg mesial-out (11.0 to 14.0), outside 98 %") > 0);
    leave(&p);
    a = a_mouth();
    f = &a->forecast.tooth[mc_tooth_from_iso(12)].component[MC_ROTATION];
    f->planned = 0, f->end = -112.5, f->low = -114, f->high = -111, f->p_out = 0.999;
    p = show_tooth((pty_setting){.rows = 40, .cols = 116}, a);
    assert_true(pty_find(&p, "ends 112.5 deg mesial-out, outside >99 %") > 0);
    leave(&p);
}

static bool meet(area a, area b) {
    return a.rows > 0 && b.rows > 0 && a.row < b.row + b.rows && b.row < a.row + a.rows &&
           a.col < b.col + b.cols && b.col < a.col + a.cols;
}

static void check_layout(int rows, int cols) {
    enum { OTHERS = 6 };
    const area body = {1, 0, rows - 3, cols};
    tooth_layout at = tooth_lay_out(body);
    const area others[OTHERS] = {at.heading, at.names, at.words, at.legend, at.table, at.caution};
    area all[OTHERS + MOST_PLOTS];
    memcpy(all, others, sizeof others);
    memcpy(all + OTHERS, at.plot, sizeof at.plot);
    assert_in_range(at.plots, 1, MC_COMPONENTS);
    assert_true(at.table.rows >= 4);
    for (int i = 0; i < OTHERS + at.plots; i++) {
        assert_true(all[i].rows > 0 && all[i].row >= body.row && all[i].col >= 0);
        assert_true(all[i].row + all[i].rows <= body.row + body.rows);
        assert_true(all[i].col + all[i].cols <= cols);
        for (int k = 0; k < i; k++)
            if (meet(all[i], all[k]))
                fail_msg("parts %d and %d meet at %dx%d", i, k, cols, rows);
    }
}

static void parts_never_meet(void **state) {
    (void)state;
    for (int rows = CONSOLE_ROWS; rows <= 120; rows++)
        for (int cols = CONSOLE_COLS; cols <= 600; cols += 7)
            check_layout(rows, cols);
}

/* ---- walking ---- */

static void shows(pty *p, const char *keys, const char *text) {
    pty_keys(p, keys);
    pty_await(p, text);
}

static void keys_walk_through_components_and_teeth(void **state) {
    (void)state;
    pty p = show_tooth(SMALL, a_mouth());
    assert_int_equal(pty_find(&p, "rotation, deg, + is mesial-in"), 5);
    shows(&p, "c", "mesial, mm"); /* past two of which there is nothing to see */
    shows(&p, "c", "rotation, deg");
    shows(&p, "C", "mesial, mm");
    shows(&p, "c", "rotation, deg");
    shows(&p, RIGHT, "11 upper right central incisor");
    assert_int_equal(pty_find(&p, "rotation, deg, + is mesial-in"), 5); /* it stays at that */
    shows(&p, RIGHT, "21 upper left central incisor");
    assert_int_equal(pty_find(&p, "not read on this plan: its end is not known"), 6);
    assert_int_equal(pty_find(&p, "mesial?  buccal  occlusal  rotation?"), 2);
    shows(&p, LEFT LEFT, "12 upper right lateral incisor");
    shows(&p, "\033[Z", "that matter"); /* Shift-Tab */
    shows(&p, "n", "7 upper right lateral incisor");
    leave(&p);
}

static void the_chart_is_left_at_the_tooth_gone_to(void **state) {
    (void)state;
    pty p = show_tooth(SMALL, a_mouth());
    shows(&p, RIGHT, "11 upper right central incisor");
    shows(&p, ESC, "t tooth");
    assert_int_equal(pty_find(&p, "11 upper right central incisor"), 10);
    shows(&p, "\r", "c component"); /* Enter too */
    assert_int_equal(pty_find(&p, "11 upper right central incisor"), 1);
    leave(&p);
}

/* From another stage of the plan it is the check-up that is looked at. */
static void another_stage_is_left(void **state) {
    (void)state;
    mc_assessment *a = a_mouth();
    pty p = pty_start(SMALL, play, a);
    mc_assessment_free(a);
    pty_await(&p, "t tooth");
    shows(&p, "++", "looking ahead");
    shows(&p, "t", "c component");
    assert_int_equal(pty_find(&p, "looking ahead"), -1);
    shows(&p, ESC, "t tooth");
    assert_int_equal(pty_find(&p, "looking ahead"), -1);
    leave(&p);
}

/* ---- words ---- */

static void grip_and_what_was_found_are_told(void **state) {
    (void)state;
    pty p = show_tooth(SIZES[1], a_mouth());
    assert_int_equal(pty_find(&p, "Grip lost (attachment lost): 33 % of its rate from here on."),
                     3);
    assert_true(pty_find(&p, "Attachment intact at check-up 1, lost at 3.") > 0);
    shows(&p, "w", "Each movement to its end");
    assert_true(pty_find(&p, "Mobility grade 1 at check-up 3.") > 0);
    assert_true(pty_find(&p, "buccal            Neither planned nor read.") > 0);
    assert_true(pty_find(&p, "rotation          Planned to end at +18.0 deg; ends ") > 0);
    assert_true(pty_find(&p, "None.") > 0); /* no notes */
    assert_int_equal(pty_find(&p, "Invented"), -1);
    leave(&p);
}

static void what_is_past_and_what_goes_where_nothing_is_planned(void **state) {
    (void)state;
    mc_assessment *a = a_mouth();
    mc_component_forecast *f = &a->forecast.tooth[mc_tooth_from_iso(12)].component[MC_ROTATION];
    f->end = 20.5, f->low = 17, f->high = 24, f->p_out = 0.04;
    pty p = show_tooth(SMALL, a);
    assert_true(pty_find(&p, "ends 2.5 deg past (-1.0 to 6.0), outside 4 %") > 0);
    leave(&p);
    a = a_mouth();
    f = &a->forecast.tooth[mc_tooth_from_iso(12)].component[MC_ROTATION];
    f->planned = 0, f->end = -2.5, f->low = -4, f->high = -1, f->p_out = 0.02;
    p = show_tooth(SMALL, a);
    assert_true(pty_find(&p, "ends 2.5 deg mesial-out (1.0 to 4.0), outside 2 %") > 0);
    leave(&p);
}

static void check_ups_on_an_earlier_plan_are_left_out(void **state) {
    (void)state;
    mc_assessment *a = a_mouth();
    a->checkups_before_on_plan = 1;
    pty p = show_tooth(SMALL, a);
    assert_true(pty_find(&p, "Check-ups on an earlier plan are left out.") == 3);
    assert_true(pty_find(&p, "   3 2026-03-02") > 0);
    assert_true(pty_find(&p, "   2 2026-01-19") > 0);
    assert_int_equal(pty_find(&p, "   1 2025-12-08"), -1);
    leave(&p);
}

/* ---- where there is little to show ---- */

static void without_a_check_up_there_is_the_plan(void **state) {
    (void)state;
    pty p = show_tooth(SMALL, values_case(0));
    shows(&p, "\033OH" RIGHT RIGHT RIGHT RIGHT RIGHT RIGHT, "12 upper right lateral incisor");
    assert_true(pty_find(&p, "mesial, mm") > 0);
    assert_true(pty_find(&p, "No check-up yet") == 3);
    assert_true(pty_find(&p, "not read on this plan: its end is not known") == 6);
    assert_true(pty_find(&p, "none on this plan") > 0);
    assert_int_equal(pty_find(&p, " now "), -1);
    leave(&p);
}

static void without_a_plan_nothing_is_drawn(void **state) {
    (void)state;
    mc_assessment *a = values_case(0);
    mc_plan_free(a->plan);
    a->plan = NULL;
    a->has_plan = false;
    pty p = show_tooth(SMALL, a);
    assert_true(pty_find(&p, "No plan has been imported for this case yet") == 3);
    assert_true(pty_find(&p, "neither planned nor read") == 6);
    shows(&p, "w", "Each movement to its end");
    leave(&p);
}

static void a_mouth_without_teeth_is_no_trouble(void **state) {
    (void)state;
    mc_assessment *a = values_case(1);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        a->states[tooth] = MC_TOOTH_EXTRACTED;
    pty p = pty_start(SMALL, play, a);
    mc_assessment_free(a);
    pty_await(&p, "t tooth");
    shows(&p, "t", "No tooth stands here.");
    leave(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_component_at_80x24),
        cmocka_unit_test(ascii_shows_the_same_in_ascii),
        cmocka_unit_test(no_colour_loses_only_colour),
        cmocka_unit_test(every_mark_is_named_and_unlike_the_others),
        cmocka_unit_test(larger_screens_show_more_side_by_side),
        cmocka_unit_test(plots_are_worth_their_places),
        cmocka_unit_test(a_long_end_is_told_without_its_interval),
        cmocka_unit_test(parts_never_meet),
        cmocka_unit_test(keys_walk_through_components_and_teeth),
        cmocka_unit_test(the_chart_is_left_at_the_tooth_gone_to),
        cmocka_unit_test(another_stage_is_left),
        cmocka_unit_test(grip_and_what_was_found_are_told),
        cmocka_unit_test(what_is_past_and_what_goes_where_nothing_is_planned),
        cmocka_unit_test(check_ups_on_an_earlier_plan_are_left_out),
        cmocka_unit_test(without_a_check_up_there_is_the_plan),
        cmocka_unit_test(without_a_plan_nothing_is_drawn),
        cmocka_unit_test(a_mouth_without_teeth_is_no_trouble),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
