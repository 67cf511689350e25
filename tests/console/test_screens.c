/* The screens cell by cell, on values filled in by hand. */
#include "pty.h"
#include "values.h"

#include "chart.h"
#include "roster.h"

#define ESC "\033"
#define RIGHT "\033OC"
#define DOWN "\033OB"
#define UP "\033OA"

/* ---- the programs under the terminal ---- */

typedef struct stage {
    mc_assessment *a;    /* shows this chart, */
    mc_roster_row *rows; /* else this roster */
    size_t count;
    mc_notation notation;
    double hide_after;
} stage;

static void play(void *context) {
    const stage *s = context;
    terminal t;
    mc_error error = {0};
    console con = {.today = VALUES_TODAY, .who = "ABC", .notation = s->notation};
    con.hide_after = s->hide_after;
    if (frame_begin(&con, &t, &error) != MC_OK)
        _exit(1);
    if (s->a)
        chart_show(&con, s->a);
    else
        roster_show(&con, s->rows, s->count);
    frame_run(&con);
    terminal_end(&t);
    frame_close(&con);
    _exit(0);
}

static pty show_chart(pty_setting setting, mc_assessment *a) {
    stage s = {.a = a};
    pty p = pty_start(setting, play, &s);
    mc_assessment_free(a); /* the child has its own */
    pty_await(&p, "F1 ? help");
    return p;
}

static void leave(pty *p) {
    pty_keys(p, "\021"); /* Ctrl-Q */
    pty_ended_well(p);
}

static const pty_setting SMALL = {.rows = 24, .cols = 80};

/* ---- the chart ---- */

static void every_state_at_80x24(void **state) {
    (void)state;
    static const char *const expected[] = {
        " 4711 Example, Invented  check-up 3 of 3, 2026-03-02, caliper   ABC  2026-03-02",
        "      ·   ·   ·   ·   · × 1  ≠·│? · W ·   ·   ·   ·   ·   ·     upper 12 of 24",
        "     ·   ·   ·   ·   ·  ↻in ↻in│ ·  ext  ·   ·   ·  dis  ·      day 5, st. 12.0",
        "lag  ·   ·   ·   ·   ·  2.1 0.1│ ·  0.7  ·   ·   ·  1.7  ·      13 on 2026-03-07",
        "( ) 17? 16? 15? 14? 13? 12▼ 11✓│21? 22▽ 23?+24? 25? 26◆ 27? ( ) ends  2026-07-05",
        "R ■ 1  ▼ 1  ◆ 1  ▲ 1  ▽ 1  ○ 1  ✓ 2  ? 21 ─────────────────── L 3.0 outside +22?",
        "( ) 47? 46? 85✓ 44? 43? 42? 41▲│31? 32? 33○ 34■ 35? 36? 37? ( ) lower 12 of 20",
        "lag  ·   ·  0.1  ·   ·   ·  1.5│ ·   ·  0.0 4.2  ·   ·   ·      day 5, st. 12.0",
        "     ·   ·  ↻in  ·   ·   ·  /li│ ·   ·  gap ↻in  ·   ·   ·      13 on 2026-03-07",
        "      ·   ·   ·   ·   ·   ·  !2│  ·   · L · A≠·   · # ·   ·     ends  2026-05-26",
        "── 34 lower left first premolar ─ ■ stalled since check-up 1 ─ lag index 4.20 ──",
        " Rotation 8.4 deg short of the plan, mesial-in to go (beyond 2.0 deg: over 99 %",
        " likely). Ends 11.3 deg short (9.0 to 13.6), outside >99 %. Attachment intact.",
        "          gap mm mesial mm buccal mm occl. mm  rot. deg   ang. deg   incl. deg",
        " planned   0.00  +0.72      0.00      0.00     +10.8        0.0        0.0",
        " observed  ·      ·         ·         ·         +2.0        ·          ·",
        " estimate  ·      ·         ·         ·         +2.4±0.7    ·          ·",
        " to plan   ·      ·         ·         ·          8.4 ↻in    ·          ·",
        " index     ·      ·         ·         ·          4.20 >99%  ·          ·",
        " Proposal, rule 3, repair, decision waits: Rebond at this visit: 12 (attachment",
        " lost).",
        " Proposal only: the doctor decides; local rules and clinical judgement go first",
        " A decision waits on this check-up.",
        " Esc back  Tab next  e enter  t tooth  d decide  [ ] check-up  F1 ? help",
    };
    pty p = show_chart(SMALL, values_every_state());
    pty_shows(&p, expected, 24);
    leave(&p);
}

/* What the row of indices is, stands where a third molar does not. */
static void the_indices_are_named_where_there_is_room(void **state) {
    (void)state;
    char line[PTY_LINE];
    mc_assessment *a = values_every_state();
    a->states[mc_tooth_from_iso(18)] = MC_TOOTH_PRESENT;
    a->states[mc_tooth_from_iso(48)] = MC_TOOTH_PRESENT;
    a->states[mc_tooth_from_iso(38)] = MC_TOOTH_PRESENT;
    pty p = show_chart(SMALL, a);
    assert_non_null(
        strstr(pty_row(&p, 3, line), " \u00b7   \u00b7   \u00b7   \u00b7   \u00b7  2.1 0.1"));
    assert_non_null(strstr(line, "  lag 13 on"));
    assert_null(strstr(pty_row(&p, 7, line), "lag"));
    leave(&p);
}

static void ascii_shows_the_same_in_ascii(void **state) {
    (void)state;
    static const char *const expected[] = {
        " 4711 Example, Invented  check-up 3 of 3, 2026-03-02, caliper   ABC  2026-03-02",
        "      .   .   .   .   . x 1  <.|? . W .   .   .   .   .   .     upper 12 of 24",
        "     .   .   .   .   .  @in @in| .  ext  .   .   .  dis  .      day 5, st. 12.0",
        "lag  .   .   .   .   .  2.1 0.1| .  0.7  .   .   .  1.7  .      13 on 2026-03-07",
        "( ) 17? 16? 15? 14? 13? 12V 11=|21? 22v 23?+24? 25? 26% 27? ( ) ends  2026-07-05",
        "R X 1  V 1  % 1  ^ 1  v 1  o 1  = 2  ? 21 ------------------- L 3.0 outside +22?",
        "( ) 47? 46? 85= 44? 43? 42? 41^|31? 32? 33o 34X 35? 36? 37? ( ) lower 12 of 20",
        "lag  .   .  0.1  .   .   .  1.5| .   .  0.0 4.2  .   .   .      day 5, st. 12.0",
        "     .   .  @in  .   .   .  /li| .   .  gap @in  .   .   .      13 on 2026-03-07",
        "      .   .   .   .   .   .  !2|  .   . L . A<.   . # .   .     ends  2026-05-26",
        "-- 34 lower left first premolar - X stalled since check-up 1 - lag index 4.20 --",
    };
    pty_setting asked = {.rows = 24, .cols = 80, .ascii = "1"};
    pty p = show_chart(asked, values_every_state());
    pty_shows(&p, expected, 11);
    leave(&p);
    pty_setting poor = {.rows = 24, .cols = 80, .locale = "C", .term = "vt100"};
    p = show_chart(poor, values_every_state());
    pty_shows(&p, expected, 11);
    leave(&p);
}

/* The character of a cell; one never written to is a blank. */
static uint32_t character(const pty *p, int row, int col) {
    uint32_t c = pty_cell(p, row, col).chars[0];
    return c ? c : ' ';
}

static int colour_of(const pty *p, int row, int col) {
    VTermScreenCell cell = pty_cell(p, row, col);
    if (VTERM_COLOR_IS_DEFAULT_FG(&cell.fg))
        return -1;
    return VTERM_COLOR_IS_INDEXED(&cell.fg) ? cell.fg.indexed.idx : -2;
}

enum { COL_12 = 24, COL_22 = 36, COL_26 = 52, COL_11 = 28, NUMBERS = 4 };

static void colours_are_few_and_never_alone(void **state) {
    (void)state;
    pty p = show_chart(SMALL, values_every_state());
    assert_int_equal(colour_of(&p, NUMBERS, COL_12), 208);
    assert_int_equal(pty_cell(&p, NUMBERS, COL_12).attrs.bold, 1);
    assert_int_equal(colour_of(&p, NUMBERS, COL_22), 186);
    assert_int_equal(colour_of(&p, NUMBERS, COL_26), 75);
    assert_int_equal(colour_of(&p, NUMBERS, COL_11), -1);
    leave(&p);
    pty_setting eight = {.rows = 24, .cols = 80, .term = "xterm"};
    p = show_chart(eight, values_every_state());
    assert_int_equal(colour_of(&p, NUMBERS, COL_12), 3);
    assert_int_equal(colour_of(&p, NUMBERS, COL_26), 6);
    leave(&p);
}

/* Without colour every character is the same, and nothing is coloured. */
static void no_colour_loses_only_colour(void **state) {
    (void)state;
    const pty_setting plain[] = {{.rows = 24, .cols = 80, .no_colour = "1"},
                                 {.rows = 24, .cols = 80, .term = "vt100"},
                                 {.rows = 24, .cols = 80, .term = "xterm-mono"}};
    pty colour = show_chart(SMALL, values_every_state());
    for (int i = 0; i < 3; i++) {
        pty p = show_chart(plain[i], values_every_state());
        for (int row = 0; row < 24; row++) {
            for (int col = 0; col < 80; col++) {
                assert_int_equal(character(&p, row, col), character(&colour, row, col));
                assert_int_equal(colour_of(&p, row, col), -1);
            }
        }
        leave(&p);
    }
    leave(&colour);
}

static void the_selected_tooths_number_is_reversed(void **state) {
    (void)state;
    pty p = show_chart(SMALL, values_every_state());
    enum { COL_34 = 44, NUMBER = 6, LAST = 9 };
    for (int row = NUMBER; row <= LAST; row++)
        for (int col = COL_34 - 1; col <= COL_34 + 3; col++) {
            bool of_34 = col >= COL_34 && col < COL_34 + 3;
            assert_int_equal(pty_cell(&p, row, col).attrs.reverse, row == NUMBER && of_34);
        }
    leave(&p);
}

static void heading_is(pty *p, const char *keys, const char *tooth) {
    pty_keys(p, keys);
    pty_await(p, tooth);
    assert_int_equal(pty_find(p, tooth), 10);
}

static void the_cursor_goes_through_the_mouth(void **state) {
    (void)state;
    pty p = show_chart(SMALL, values_every_state());
    heading_is(&p, RIGHT, "35 lower left second premolar");
    heading_is(&p, UP, "25 upper left second premolar");
    heading_is(&p, "h", "24 upper left first premolar");
    heading_is(&p, "h", "63 upper left deciduous canine"); /* beside its successor */
    assert_int_equal(character(&p, NUMBERS, 40), '6');
    heading_is(&p, "h", "23 upper left canine");
    heading_is(&p, "\033OH", "17 upper right second molar");
    heading_is(&p, "h", "17 upper right second molar");
    heading_is(&p, "\033OF", "27 upper left second molar");
    heading_is(&p, DOWN, "37 lower left second molar");
    leave(&p);
}

static void tab_goes_by_urgency(void **state) {
    (void)state;
    static const char *const order[] = {"12 upper", "26 upper", "41 lower", "22 upper", "34 lower"};
    pty p = show_chart(SMALL, values_every_state());
    for (int i = 0; i < 5; i++)
        heading_is(&p, "\t", order[i]);
    heading_is(&p, ESC "[Z", "22 upper");
    leave(&p);
}

/* The example that the interfaces give: behind by its gap, its rotation the worst. */
static void a_tooth_is_told_in_words_and_numbers(void **state) {
    (void)state;
    static const char *const expected[] = {
        "── 12 upper right lateral incisor ─ ▼ behind since check-up 2 ─ lag index 2.12 ─",
        " Rotation 2.8 deg short of the plan, mesial-in to go (beyond 2.0 deg: 66 %",
        " likely). Ends 6.4 deg short (0.0 to 12.8), outside 64 %. Seat gap 0.50 mm",
        " (tolerance 0.50 mm). Attachment lost. Mobility grade 1. More: w.",
    };
    char line[PTY_LINE];
    pty_setting tall = {.rows = 40, .cols = 80};
    pty p = show_chart(tall, values_every_state());
    heading_is(&p, "\t", "12 upper right lateral incisor");
    for (int i = 0; i < 4; i++)
        assert_string_equal(pty_row(&p, 10 + i, line), expected[i]);
    assert_true(pty_find(&p, "planned   0.00  +0.60      0.00      0.00      +9.0") > 0);
    assert_true(pty_find(&p, "observed  0.50  +0.35      ·         ·         +6.5 ×2") > 0);
    assert_true(pty_find(&p, "estimate  ·     +0.37±.15  ·         ·         +6.2±1.9") > 0);
    assert_true(pty_find(&p, "to plan   0.50   0.23 mes  ·         ·          2.8 ↻in") > 0);
    assert_true(pty_find(&p, "shortfall ·     +0.23      ·         ·         +2.8") > 0);
    assert_true(pty_find(&p, "tolerance 0.50   0.50      0.50      0.50       2.0") > 0);
    assert_true(pty_find(&p, "index     1.00   0.46 4%   ·         ·          1.41 66%") > 0);
    assert_true(pty_find(&p, "at end    ·     +0.73 4%   ·         ·        +11.6 64%") > 0);
    leave(&p);
}

/* Read at three check-ups, with so much to say that not all of it fits. */
static mc_assessment *with_a_course(void) {
    mc_assessment *a = values_every_state();
    const double lag[] = {0.44, NAN};
    for (int i = 0; i < 2; i++)
        a->scores[i].tooth[mc_tooth_from_iso(12)].lag_index = lag[i];
    a->scores[0].tooth[mc_tooth_from_iso(26)].lag_index = 0.52;
    a->scores[1].tooth[mc_tooth_from_iso(26)].lag_index = 0.98;
    return a;
}

/* On two rows whole sentences stand, where it will end among them; the rest is told by w. */
static void a_small_screen_says_the_most_important(void **state) {
    (void)state;
    char line[PTY_LINE];
    pty p = show_chart(SMALL, with_a_course());
    heading_is(&p, "\t", "12 upper right lateral incisor");
    assert_string_equal(
        pty_row(&p, 11, line),
        " Rotation 2.8 deg short of the plan, mesial-in to go (beyond 2.0 deg: 66 %");
    assert_string_equal(pty_row(&p, 12, line),
                        " likely). Ends 6.4 deg short (0.0 to 12.8), outside 64 %. More: w.");
    heading_is(&p, "\t", "26 upper left first molar");
    assert_int_equal(pty_find(&p, "likely). Ends 0.86 mm mesial (0.53 to 1.19), outside 24 %."),
                     12);
    pty_keys(&p, "w");
    pty_await(&p, "in words");
    assert_int_equal(pty_find(&p, "Invented"), -1); /* a page hides no names, so it has none */
    assert_true(pty_find(&p, "Expected to end outside: 3.0 of 7 teeth. That all of these end") > 0);
    assert_true(pty_find(&p, "Of 22 more nothing was read on this plan.") > 0);
    assert_true(pty_find(&p, "in points of a hundred: 4 points below (SD 17).") > 0);
    assert_true(pty_find(&p, "(SE 21)") > 0);
    assert_true(pty_find(&p, "Since check-up 2 (2026-0") > 0);
    assert_true(pty_find(&p, "plan at stage 12.0, mesial-in to go") > 0);
    assert_true(pty_find(&p, "Lag index 0.4, ·, 2.1 at check-ups 1 to 3.") > 0);
    assert_int_equal(pty_find(&p, "More: w"), -1);
    leave(&p);
}

/* Pain and looseness stand before every number, where no short screen clips them. */
static void care_is_told_first(void **state) {
    (void)state;
    pty p = show_chart(SMALL, values_every_state());
    heading_is(&p, "\t\t\t", "41 lower right central incisor");
    assert_int_equal(pty_find(&p, " Mobility grade 2. Inclination"), 11);
    leave(&p);
}

static void what_was_not_measured_looks_so(void **state) {
    (void)state;
    char line[PTY_LINE];
    pty p = show_chart(SMALL, values_case(1));
    assert_string_equal(pty_row(&p, 4, line),
                        "18? 17? 16? 15? 14? 13? 12? 11?│21? 22? 23? 24? 25? 26? 27? 28? ends  "
                        "2026-07-05");
    assert_true(pty_find(&p, "Not measured: where it stands is not known.") == 11);
    assert_true(pty_find(&p, "No proposal at this check-up.") > 0);
    pty_keys(&p, "\t");
    pty_await(&p, "No tooth measured is slipping or worse.");
    leave(&p);
}

static void a_case_without_check_up_says_so(void **state) {
    (void)state;
    pty p = show_chart(SMALL, values_case(0));
    assert_int_equal(pty_find(&p, "No check-up yet: nothing has been measured on the plan begun on "
                                  "2025-11-06."),
                     11);
    assert_true(pty_find(&p, "upper 12 of 24") == 1);
    leave(&p);
}

static void a_case_without_plan_says_so(void **state) {
    (void)state;
    mc_assessment *a = values_case(0);
    mc_plan_free(a->plan);
    a->plan = NULL;
    a->has_plan = false;
    pty p = show_chart(SMALL, a);
    assert_int_equal(pty_find(&p, "No plan has been imported for this case yet: p imports it."),
                     11);
    assert_int_equal(pty_find(&p, "upper 12"), -1);
    leave(&p);
}

static void a_series_that_is_over_says_so(void **state) {
    (void)state;
    mc_assessment *a = values_case(1);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        a->series[arch].aligner = a->series[arch].stages;
        a->series[arch].begun = VALUES_TODAY - 30;
    }
    pty p = show_chart(SMALL, a);
    assert_int_equal(pty_find(&p, "ended 2026-02-10"), 4);
    leave(&p);
    a = values_case(1);
    a->info.status = MC_PLAN_CLOSED;
    a->series[MC_UPPER].aligner = a->series[MC_UPPER].stages;
    p = show_chart(SMALL, a);
    assert_int_equal(pty_find(&p, "plan finished"), 3);
    assert_int_equal(pty_find(&p, "ends  2026-03-07"), 4);
    leave(&p);
}

static void a_closed_case_says_so(void **state) {
    (void)state;
    mc_assessment *a = values_case(1);
    a->kase.closed = VALUES_TODAY - 1;
    pty p = show_chart(SMALL, a);
    assert_int_equal(pty_find(&p, "This case was closed on 2026-03-01."), 22);
    leave(&p);
}

static void a_mouth_without_teeth_is_no_trouble(void **state) {
    (void)state;
    mc_assessment *a = values_case(1);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        a->states[tooth] = MC_TOOTH_EXTRACTED;
    values_count(a);
    pty p = show_chart(SMALL, a);
    assert_true(pty_find(&p, "No tooth stands") == 10);
    pty_keys(&p, RIGHT UP DOWN "\t[]nw" ESC);
    pty_settle(&p);
    leave(&p);
}

static void notations_change_by_a_key(void **state) {
    (void)state;
    char line[PTY_LINE];
    pty p = show_chart(SMALL, values_every_state());
    heading_is(&p, "n", "21 lower left first premolar"); /* 34 */
    assert_string_equal(pty_row(&p, 4, line),
                        "( )  2?  3?  4?  5?  6?  7▼  8✓│ 9? 10▽ 11?+12? 13? 14◆ 15? ( ) ends  "
                        "2026-07-05");
    assert_true(pty_find(&p, "Proposal, rule 3, repair, decision waits (ISO numbers)") > 0);
    heading_is(&p, "n", "LL4 lower left first premolar");
    assert_string_equal(pty_row(&p, 4, line),
                        "( )  7?  6?  5?  4?  3?  2▼  1✓│ 1?  2▽  3?+ 4?  5?  6◆  7? ( ) ends  "
                        "2026-07-05");
    assert_true(pty_find(&p, "UR LR") == 5);
    heading_is(&p, "n", "34 lower left first premolar");
    leave(&p);
}

/* ---- the plan at other stages ---- */

/* The plan of every_state with what is due on the way: at stage 14 an attachment on 11, IPR mesial
 * of 11, and the attachment of 21 gone. */
static mc_assessment *with_things_due(void) {
    mc_assessment *a = values_every_state();
    const mc_plan_row due[] = {{.tooth = mc_tooth_from_iso(11),
                                .stage = 14,
                                .pose = {.c = {[MC_MESIAL] = 0.7, [MC_ROTATION] = 10.5}},
                                .attachment = MC_MARK_PLACED,
                                .ipr_mesial = 0.2},
                               {.tooth = mc_tooth_from_iso(21),
                                .stage = 14,
                                .pose = {.c = {[MC_MESIAL] = 0.7, [MC_ROTATION] = 10.5}},
                                .attachment = MC_MARK_REMOVED}};
    for (size_t i = 0; i < 2; i++)
        assert_int_equal(mc_plan_add(a->plan, &due[i], NULL), MC_OK);
    return a;
}

static void a_stage_ahead_is_no_score_of_today(void **state) {
    (void)state;
    static const char *const expected[] = {
        " 4711 Example, Invented  stage 14 (looking ahead)               ABC  2026-03-02",
        "                            +i │-                               stage 14 of 24",
        "     ·   ·   ·   ·   ·  ↻in ↻in│ ·  int  ·   ·   ·  dis  ·      looking ahead",
        "     ·   ·   ·   ·   ·  4.3 7.6│ ·  0.5  ·   ·   ·  0.9  ·      from  2026-03-17",
        "( ) 17  16  15  14  13  12› 11›│21› 22  23 +24  25  26  27  ( ) ends  2026-07-05",
        "R the plan at stage 14, looking ahead: 0 goes back ────────── L",
        "( ) 47  46  85  44  43  42  41 │31  32  33  34› 35  36  37  ( ) stage 14 of 20",
        "     ·   ·  2.9  ·   ·   ·  6.0│ ·   ·   ·   10  ·   ·   ·      looking ahead",
        "     ·   ·  ↻ou  ·   ·   ·  /li│ ·   ·   ·  ↻in  ·   ·   ·      from  2026-03-17",
        "                               │                    #           ends  2026-05-26",
        "── 34 lower left first premolar ─ the plan at stage 14 ─────────────────────────",
        " To go from where it was at check-up 3: rotation 10.2 deg mesial-in. The next",
        " stage moves it by 0.06 mm mesial, rotation 0.9 deg mesial-in.",
        "          gap mm mesial mm buccal mm occl. mm  rot. deg   ang. deg   incl. deg",
        " planned   0.00  +0.84      0.00      0.00     +12.6        0.0        0.0",
        " observed  ·      ·         ·         ·         +2.0        ·          ·",
        " estimate  ·      ·         ·         ·         +2.4±0.7    ·          ·",
        " to go     ·      ·         ·         ·         10.2 ↻in    ·          ·",
        " next      ·      0.06 mes  0.00      0.00       0.9 ↻in    0.0        0.0",
        " Attachments to be placed: 11. Attachments to be removed: 21. IPR due: 11",
        " mesial 0.20 mm. 4 teeth move on to the next stage.",
    };
    pty p = show_chart(SMALL, with_things_due());
    pty_keys(&p, "+=");
    pty_await(&p, "stage 14 (looking ahead)");
    pty_shows(&p, expected, 21);
    assert_int_equal(pty_find(&p, "stalled"), -1);
    assert_int_equal(pty_find(&p, "lag index"), -1);
    assert_int_equal(pty_find(&p, "Rebond"), -1);
    pty_keys(&p, "w");
    pty_await(&p, "4711, the plan at stage 14 (looking ahead)");
    assert_true(pty_find(&p, " 34                To go from where it was") > 0);
    assert_int_equal(pty_find(&p, " 22  "), -1);
    pty_keys(&p, ESC);
    pty_await(&p, "R the plan at stage 14");
    pty_keys(&p, "0");
    pty_await(&p, "stalled since check-up 1");
    assert_true(pty_find(&p, "check-up 3 of 3") == 0);
    leave(&p);
}

static void stages_end_with_the_plan(void **state) {
    (void)state;
    char line[PTY_LINE];
    pty p = show_chart(SMALL, values_every_state());
    pty_keys(&p, "-");
    pty_await(&p, "stage 11 (looking back)");
    pty_keys(&p, "+");
    pty_await(&p, "check-up 3 of 3");
    pty_keys(&p, "-----------");
    pty_await(&p, "stage 1 (looking back)");
    pty_keys(&p, "-");
    pty_await(&p, "stage 0 (looking back)");
    pty_keys(&p, "-");
    pty_await(&p, "The plan begins here.");
    pty_keys(&p, "0++++++++++");
    pty_await(&p, "stages 22, 20 (looking ahead)");
    assert_non_null(strstr(pty_row(&p, 6, line), "stage 20 of 20"));
    assert_int_equal(pty_find(&p, " ends here."), 12);
    pty_keys(&p, "+++");
    pty_await(&p, " The plan ends here."); /* 24: no further */
    assert_non_null(strstr(pty_row(&p, 1, line), "stage 24 of 24"));
    pty_keys(&p, "++-"); /* what led nowhere needs no way back */
    pty_await(&p, "stages 23, 20 (looking ahead)");
    leave(&p);
}

static void larger_screens_say_whose_states_they_show(void **state) {
    (void)state;
    pty_setting wide = {.rows = 60, .cols = 200};
    pty p = show_chart(wide, values_every_state());
    pty_keys(&p, "+");
    pty_await(&p, "Teeth, as at check-up 3");
    assert_true(pty_find(&p, "In words, as at check-up 3") > 0);
    assert_true(pty_find(&p, "stage 13 of 24") > 0);
    leave(&p);
}

static void a_stage_needs_a_plan(void **state) {
    (void)state;
    mc_assessment *a = values_case(0);
    mc_plan_free(a->plan);
    a->plan = NULL;
    a->has_plan = false;
    pty p = show_chart(SMALL, a);
    pty_keys(&p, "+");
    pty_await(&p, "No plan has been imported for this case yet.");
    pty_keys(&p, "-0mw" ESC);
    pty_settle(&p);
    leave(&p);
}

static void what_needs_care_is_never_hidden(void **state) {
    (void)state;
    char line[PTY_LINE];
    mc_assessment *a = values_every_state();
    values_tooth(a, 11)->pain = MC_YES;
    pty p = show_chart(SMALL, a);
    pty_keys(&p, "m");
    pty_await(&p, "Teeth on plan or seated are hidden; m shows all.");
    assert_non_null(strstr(pty_row(&p, 4, line), " 12▼ 11✓│21? "));
    assert_non_null(strstr(pty_row(&p, 6, line), " 33 "));
    pty_keys(&p, "\t\t\t\t\t"); /* after the four worse and the one that slips more */
    pty_await(&p, "6 of 6 that matter");
    assert_true(pty_find(&p, "11 upper right central incisor") == 10);
    leave(&p);
}

static void only_what_matters(void **state) {
    (void)state;
    char line[PTY_LINE];
    pty p = show_chart(SMALL, values_every_state());
    pty_keys(&p, "m");
    pty_await(&p, "Teeth on plan or seated are hidden; m shows all.");
    assert_string_equal(pty_row(&p, 4, line),
                        "( ) 17? 16? 15? 14? 13? 12▼ 11 │21? 22▽ 23?+24? 25? 26◆ 27? ( ) ends  "
                        "2026-07-05");
    assert_string_equal(
        pty_row(&p, 7, line),
        "lag  ·   ·       ·   ·   ·  1.5│ ·   ·      4.2  ·   ·   ·      day 5, st. "
        "12.0");
    assert_true(pty_find(&p, "some hidden: m") == 5);
    pty_keys(&p, "+"); /* there, what moves on matters */
    pty_await(&p, "looking ahead");
    assert_string_equal(pty_row(&p, 3, line),
                        "                        3.6 6.8│ ·                              from  "
                        "2026-03-07");
    pty_keys(&p, "0m");
    pty_await(&p, "All teeth are shown.");
    assert_int_equal(pty_find(&p, "some hidden"), -1);
    leave(&p);
}

/* ---- the mirror ---- */

static void swap_teeth(mc_assessment *a) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        mc_tooth other = mc_tooth_mirror(tooth);
        if (other <= tooth)
            continue;
        mc_tooth_state standing = a->states[tooth];
        a->states[tooth] = a->states[other];
        a->states[other] = standing;
        mc_tooth_score score = a->scores[a->checkups - 1].tooth[tooth];
        a->scores[a->checkups - 1].tooth[tooth] = a->scores[a->checkups - 1].tooth[other];
        a->scores[a->checkups - 1].tooth[other] = score;
        mc_tooth_forecast forecast = a->forecast.tooth[tooth];
        a->forecast.tooth[tooth] = a->forecast.tooth[other];
        a->forecast.tooth[other] = forecast;
    }
    mc_plan *mirrored = mc_plan_new();
    for (size_t i = 0; i < mc_plan_count(a->plan); i++) {
        mc_plan_row row = *mc_plan_row_at(a->plan, i);
        row.tooth = mc_tooth_mirror(row.tooth);
        mc_plan_add(mirrored, &row, NULL);
    }
    mc_plan_free(a->plan);
    a->plan = mirrored;
}

static void a_mirrored_mouth_mirrors_the_chart(void **state) {
    (void)state;
    mc_assessment *turned = values_every_state();
    swap_teeth(turned);
    pty p = show_chart(SMALL, values_every_state()), q = show_chart(SMALL, turned);
    for (int place = 0; place < 16; place++) {
        for (int row = 1; row < 10; row++) {
            bool named = (row == 3 || row == 7) && place % 15 == 0; /* "lag" */
            for (int i = 0; row != 5 && !named && i < 3; i++) {
                bool number = (row == 4 || row == 6) && i < 2;
                uint32_t one = character(&p, row, 4 * place + i);
                uint32_t other = character(&q, row, 4 * (15 - place) + i);
                if (number && one != '(' && one != ' ') { /* 12 is 22, 41 is 31 */
                    other = character(&q, row, 4 * (15 - place) + 1);
                    one = character(&p, row, 4 * place + 1);
                }
                assert_int_equal(one, other);
            }
        }
    }
    leave(&p);
    leave(&q);
}

/* ---- larger terminals ---- */

static void larger_terminals_show_more_not_bigger(void **state) {
    (void)state;
    char small_line[PTY_LINE], line[PTY_LINE];
    const pty_setting sizes[] = {{.rows = 40, .cols = 120}, {.rows = 60, .cols = 200}};
    pty small = show_chart(SMALL, values_every_state());
    for (int i = 0; i < 2; i++) {
        pty p = show_chart(sizes[i], values_every_state());
        for (int row = 1; row < 10; row++) { /* both arches, the same to the cell */
            pty_row(&small, row, small_line);
            pty_row(&p, row, line);
            for (int col = 0; col < 63; col++)
                assert_int_equal(character(&p, row, col), character(&small, row, col));
        }
        assert_true(pty_find(&p, "upper aligner 12 of 24, day 5 (stage 12.0)") == 1);
        assert_true(pty_find(&p, "aligner 13 on 2026-03-07, in 5 d") == 2);
        assert_true(pty_find(&p, "3.0 outside +22?, all in <1 %, pace -4") == 5);
        assert_true(pty_find(&p, "Teeth, the most urgent first") == 10);
        assert_true(pty_find(&p, " 34 ■ stalled    4.20  ↻in     1") == 12);
        assert_true(pty_find(&p, " 12 ▼ behind     2.12  ↻in     2") == 13);
        assert_true(pty_find(&p, "34 over the check-ups, the latest first") > 0);
        assert_true(pty_find(&p, "  3 2026-03-02    12.0  ■ stalled     4.20  ↻in") > 0);
        assert_true(pty_find(&p, "Signed decisions") > 0);
        assert_int_equal(pty_find(&p, "In words") > 0, i == 1);
        assert_int_equal(pty_find(&p, "Proposal only:"), p.rows - 3);
        leave(&p);
    }
    leave(&small);
}

/* ---- text from the record ---- */

static void a_hostile_name_cannot_steer_the_terminal(void **state) {
    (void)state;
    char line[PTY_LINE];
    mc_assessment *a = values_every_state();
    snprintf(a->kase.name, sizeof a->kase.name, "Ev\033[2J\033]0;x\007il\xe2\x80\xae\xff");
    snprintf(a->proposal.sentence, sizeof a->proposal.sentence,
             "now\033[31m\xc2\x9b"
             "7mred");
    pty p = show_chart(SMALL, a);
    assert_int_equal(strncmp(pty_row(&p, 0, line), " 4711 Ev\xef\xbf\xbd[2J\xef\xbf\xbd]0;x",
                             strlen(" 4711 Ev\xef\xbf\xbd[2J\xef\xbf\xbd]0;x")),
                     0);
    assert_non_null(strstr(line, "2026-03-02"));
    assert_true(pty_find(&p, "now\xef\xbf\xbd[31m\xef\xbf\xbd"
                             "7mred") > 0);
    assert_true(pty_find(&p, "17? 16?") > 0); /* nothing was cleared */
    leave(&p);
}

/* ---- help ---- */

static void help_tells_every_key_and_mark(void **state) {
    (void)state;
    pty_setting tall = {.rows = 150, .cols = 100};
    pty p = show_chart(tall, values_every_state());
    pty_keys(&p, "?");
    pty_await(&p, "Help: chart");
    const char *const told[] = {
        "Tab ",         "Shift-Tab ", "w ",       "[ ",
        "] ",           "n ",         "Home ",    "F5 ",
        "Ctrl-Q F10 ",  "■ stalled",  "▼ behind", "◆ drifting",
        "▲ past plan",  "▽ slipping", "○ seated", "✓ on plan",
        "? unmeasured", "↻in ",       "/me ",     "gap ",
        "× ",           "# ",         "! ",       "Proposal only: the doctor decides"};
    for (size_t i = 0; i < sizeof told / sizeof *told; i++)
        if (pty_find(&p, told[i]) < 0)
            fail_msg("help does not tell of '%s'", told[i]);
    pty_keys(&p, ESC);
    pty_await(&p, "4711 Example");
    leave(&p);
}

static void help_scrolls_to_its_end_and_back(void **state) {
    (void)state;
    pty p = show_chart(SMALL, values_every_state());
    pty_keys(&p, "?");
    pty_await(&p, "Keys here");
    pty_keys(&p, "\033OF");
    pty_await(&p, "Decision support");
    assert_int_equal(pty_find(&p, "Keys here"), -1);
    assert_int_equal(pty_find(&p, "more line"), -1);
    pty_keys(&p, "\033OH");
    pty_await(&p, "Keys here");
    leave(&p);
}

/* ---- the roster ---- */

static mc_roster_row roster_row(int chart, const char *name) {
    mc_roster_row row = {.aligner = {12, MC_NO_ALIGNER},
                         .stages = {24, 0},
                         .next_change = VALUES_TODAY + 5,
                         .next_checkup = VALUES_TODAY + 42,
                         .last_checkup = VALUES_TODAY,
                         .worst = mc_tooth_from_iso(12),
                         .worst_item = MC_ROTATION,
                         .worst_way = 1,
                         .lag_index = 2.118,
                         .state = MC_STATE_BEHIND,
                         .has_plan = true,
                         .has_proposal = true,
                         .decision_due = true,
                         .proposal = MC_PROPOSE_REPAIR};
    snprintf(row.kase.chart, sizeof row.kase.chart, "%d", chart);
    snprintf(row.kase.name, sizeof row.kase.name, "%s", name);
    snprintf(row.reasons, sizeof row.reasons, "decision due: repair; 1 tooth behind");
    row.kase.number = 1;
    row.kase.closed = MC_NO_DAY;
    row.kase.id.byte[0] = (unsigned char)chart;
    row.kase.id.byte[1] = (unsigned char)(chart >> 8);
    return row;
}

static pty show_roster(pty_setting setting, mc_roster_row *rows, size_t count, double hide) {
    stage s = {.rows = rows, .count = count, .hide_after = hide};
    pty p = pty_start(setting, play, &s);
    free(rows);
    pty_await(&p, "F1 ? help");
    return p;
}

static mc_roster_row *three_rows(void) {
    mc_roster_row *rows = calloc(3, sizeof *rows);
    rows[0] = roster_row(1001, "Fern, Ada");
    rows[1] = roster_row(1002, "Moss, Bo");
    rows[1].next_checkup = VALUES_TODAY - 3;
    rows[1].state = MC_STATE_ON_PLAN;
    rows[1].decision_due = false;
    rows[1].worst_item = MC_WORST_SEAT_GAP;
    rows[1].worst_way = 0;
    rows[1].lag_index = 0.2;
    rows[1].proposal = MC_PROPOSE_CARRY_ON;
    rows[2] = roster_row(1003, "Reed, Cy");
    rows[2].has_plan = rows[2].has_proposal = rows[2].decision_due = false;
    rows[2].aligner[MC_UPPER] = MC_NO_ALIGNER;
    rows[2].stages[MC_UPPER] = 0;
    rows[2].worst = MC_NO_TOOTH;
    rows[2].lag_index = NAN;
    rows[2].next_checkup = rows[2].last_checkup = MC_NO_DAY;
    return rows;
}

static void the_roster_at_80x24(void **state) {
    (void)state;
    static const char *const expected[] = {
        " Roster                                                         ABC  2026-03-02",
        " Find:   a name or a chart number        3 open cases: 1 decision waits, 1 late",
        " chart  name          upper lower worst   lag  state        check-up  proposal",
        " 1001   Fern, Ada     12/24   -   12 ↻in  2.12 ▼ behind     in 42 d   ▸repair",
        " 1002   Moss, Bo      12/24   -   12 gap  0.20 ✓ on plan    3 d late   carry on",
        " 1003   Reed, Cy        -     -           ·      no plan    -",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        " Why: decision due: repair; 1 tooth behind",
        "",
        " Enter open  Esc all  F7 new case  F8 practice  F1 ? help  Ctrl-Q F10 leave",
    };
    pty p = show_roster(SMALL, three_rows(), 3, 0);
    pty_shows(&p, expected, 24);
    for (int col = 0; col < 80; col++)
        assert_int_equal(pty_cell(&p, 3, col).attrs.reverse, 1);
    assert_int_equal(pty_cell(&p, 4, 1).attrs.reverse, 0);
    leave(&p);
}

static void typing_narrows_and_escape_shows_all(void **state) {
    (void)state;
    pty p = show_roster(SMALL, three_rows(), 3, 0);
    pty_keys(&p, "moss");
    pty_await(&p, "1 of 3 open cases");
    assert_int_equal(pty_find(&p, "Moss, Bo"), 3);
    assert_int_equal(pty_find(&p, "Fern, Ada"), -1);
    pty_keys(&p, "q?"); /* ? is help even while typing, q a letter */
    pty_await(&p, "Help: roster");
    pty_keys(&p, ESC);
    pty_await(&p, "0 of 3 open cases");
    assert_true(pty_find(&p, "No open case matches.") > 0);
    pty_keys(&p, "\177");
    pty_await(&p, "1 of 3 open cases");
    pty_keys(&p, ESC);
    pty_await(&p, " 3 open cases");
    leave(&p);
}

static void letters_beyond_ascii_are_typed(void **state) {
    (void)state;
    mc_roster_row *rows = three_rows();
    snprintf(rows[1].kase.name, sizeof rows[1].kase.name, "Mo\xc3\xb6s, Zo\xc3\xab");
    pty p = show_roster(SMALL, rows, 3, 0);
    pty_keys(&p, "o\xc3\x96s, z");
    pty_await(&p, "1 of 3 open cases");
    assert_true(pty_find(&p, "Find: o\xc3\x96s, z") == 1);
    assert_true(pty_find(&p, "Mo\xc3\xb6s, Zo\xc3\xab") == 3);
    leave(&p);
}

/* A byte that begins nothing swallows no key after it. */
static void bytes_that_are_no_character_are_passed_over(void **state) {
    (void)state;
    pty p = show_roster(SMALL, three_rows(), 3, 0);
    pty_keys(&p, "m\xff\xc3o\xe2\x82s\x80s");
    pty_await(&p, "1 of 3 open cases");
    assert_true(pty_find(&p, "Find: moss") == 1);
    leave(&p);
}

/* What a scanner or caliper types never says yes. */
static void only_the_letter_leaves(void **state) {
    (void)state;
    pty p = show_roster(SMALL, three_rows(), 3, 0);
    const char *const no[] = {"1", "\r", "0", " ", "\t", "Y", "n"};
    for (int i = 0; i < 7; i++) {
        pty_keys(&p, ESC);
        pty_await(&p, "Leave midcourse? Type y for yes");
        pty_keys(&p, no[i]);
        pty_settle(&p);
        assert_false(p.ended);
        assert_int_equal(pty_find(&p, "Leave midcourse?"), -1);
        assert_true(pty_find(&p, " 3 open cases") == 1); /* and it is not typed into the list */
    }
    pty_keys(&p, ESC);
    pty_await(&p, "Leave midcourse?");
    pty_keys(&p, "y");
    pty_ended_well(&p);
}

static void names_are_hidden_when_nobody_types(void **state) {
    (void)state;
    pty p = show_roster(SMALL, three_rows(), 3, 1);
    assert_true(pty_find(&p, "Fern, Ada") == 3);
    pty_await(&p, "(name hidden)");
    assert_int_equal(pty_find(&p, "Fern, Ada"), -1);
    assert_true(pty_find(&p, "1001") == 3);
    pty_keys(&p, DOWN);
    pty_await(&p, "Fern, Ada");
    leave(&p);
}

/* Ten thousand cases: every key answered at once, only what is seen is drawn. */
static void ten_thousand_cases_scroll(void **state) {
    (void)state;
    enum { MANY = 10000 };
    mc_roster_row *rows = calloc(MANY, sizeof *rows);
    for (int i = 0; i < MANY; i++) {
        char name[40];
        snprintf(name, sizeof name, "Invented, Case %d", i);
        rows[i] = roster_row(20000 + i, name);
    }
    pty p = show_roster(SMALL, rows, MANY, 0);
    assert_true(pty_find(&p, "10,000 open cases: 10,000 decisions wait, 0 late") == 1);
    pty_keys(&p, "\033OF");
    pty_await(&p, "29999");
    assert_int_equal(pty_find(&p, "29999"), 19);
    pty_keys(&p, "\033[5~");
    pty_await(&p, "29982");
    assert_int_equal(pty_cell(&p, 3, 5).attrs.reverse, 1); /* a page up */
    pty_keys(&p, "\033OH");
    pty_await(&p, "20000");
    pty_keys(&p, "29123");
    pty_await(&p, "1 of 10,000 open cases");
    assert_int_equal(pty_find(&p, "29123  Invented,"), 3);
    leave(&p);
}

static void wide_rosters_show_more_columns(void **state) {
    (void)state;
    char line[PTY_LINE];
    pty_setting wide = {.rows = 60, .cols = 200};
    pty p = show_roster(wide, three_rows(), 3, 0);
    pty_row(&p, 2, line);
    assert_non_null(strstr(line, "last seen"));
    assert_non_null(strstr(line, "next change"));
    assert_non_null(strstr(line, "why"));
    assert_non_null(strstr(pty_row(&p, 3, line), "decision due: repair; 1 tooth behind"));
    leave(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_state_at_80x24),
        cmocka_unit_test(the_indices_are_named_where_there_is_room),
        cmocka_unit_test(ascii_shows_the_same_in_ascii),
        cmocka_unit_test(colours_are_few_and_never_alone),
        cmocka_unit_test(no_colour_loses_only_colour),
        cmocka_unit_test(the_selected_tooths_number_is_reversed),
        cmocka_unit_test(the_cursor_goes_through_the_mouth),
        cmocka_unit_test(tab_goes_by_urgency),
        cmocka_unit_test(a_tooth_is_told_in_words_and_numbers),
        cmocka_unit_test(a_small_screen_says_the_most_important),
        cmocka_unit_test(care_is_told_first),
        cmocka_unit_test(what_was_not_measured_looks_so),
        cmocka_unit_test(a_case_without_check_up_says_so),
        cmocka_unit_test(a_case_without_plan_says_so),
        cmocka_unit_test(a_series_that_is_over_says_so),
        cmocka_unit_test(a_closed_case_says_so),
        cmocka_unit_test(a_mouth_without_teeth_is_no_trouble),
        cmocka_unit_test(notations_change_by_a_key),
        cmocka_unit_test(a_stage_ahead_is_no_score_of_today),
        cmocka_unit_test(stages_end_with_the_plan),
        cmocka_unit_test(larger_screens_say_whose_states_they_show),
        cmocka_unit_test(a_stage_needs_a_plan),
        cmocka_unit_test(only_what_matters),
        cmocka_unit_test(what_needs_care_is_never_hidden),
        cmocka_unit_test(a_mirrored_mouth_mirrors_the_chart),
        cmocka_unit_test(larger_terminals_show_more_not_bigger),
        cmocka_unit_test(a_hostile_name_cannot_steer_the_terminal),
        cmocka_unit_test(help_tells_every_key_and_mark),
        cmocka_unit_test(help_scrolls_to_its_end_and_back),
        cmocka_unit_test(the_roster_at_80x24),
        cmocka_unit_test(typing_narrows_and_escape_shows_all),
        cmocka_unit_test(letters_beyond_ascii_are_typed),
        cmocka_unit_test(bytes_that_are_no_character_are_passed_over),
        cmocka_unit_test(only_the_letter_leaves),
        cmocka_unit_test(names_are_hidden_when_nobody_types),
        cmocka_unit_test(ten_thousand_cases_scroll),
        cmocka_unit_test(wide_rosters_show_more_columns),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
