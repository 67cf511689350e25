/* The occlusal screen under a pseudo-terminal: on the demo practice, and on cases filled in by
 * hand. */
#include "chart.h"
#include "occlusal_view.h"

/* after the console's own: it names keys by macros */
#include "chair.h"
#include "values.h"

#define UP "\033OA"

static const pty_setting SIZES[] = {
    {.rows = 24, .cols = 80}, {.rows = 40, .cols = 120}, {.rows = 60, .cols = 200}};
enum { SMALLEST, MIDDLE, WIDEST };

/* ---- looking ---- */

static pty at_view(pty_setting setting, const char *label) {
    pty p = at_chart(setting, label, "IBA");
    pty_keys(&p, "o");
    pty_await(&p, "z zoom");
    return p;
}

static uint32_t character(const pty *p, int row, int col) {
    uint32_t c = pty_cell(p, row, col).chars[0];
    return c ? c : ' ';
}

static bool is_drawn(uint32_t c) {
    return c > 0x2800 && c <= 0x28ff;
}

/* Cells of the drawing's columns that hold dots. */
static int cells_drawn(const pty *p, int from, int to) {
    int count = 0;
    for (int row = 2; row < p->rows - 4; row++)
        for (int col = from; col < to; col++)
            count += is_drawn(character(p, row, col));
    return count;
}

/* Where a number stands in the drawing (not in heading, words or table); false where it does not.
 */
static bool number_at(const pty *p, const char *number, int to, int *row, int *col) {
    for (*row = 2; *row < p->rows - 4; (*row)++)
        for (*col = 0; *col + 1 < to; (*col)++)
            if (character(p, *row, *col) == (uint32_t)number[0] &&
                character(p, *row, *col + 1) == (uint32_t)number[1])
                return true;
    return false;
}

/* Whether a character stands within so many cells of a place. */
static bool near(const pty *p, uint32_t what, int row, int col) {
    for (int r = row - 3; r <= row + 3; r++)
        for (int c = col - 6; c <= col + 6; c++)
            if (r > 1 && r < p->rows && c >= 0 && c < p->cols && character(p, r, c) == what)
                return true;
    return false;
}

static bool is_coloured(const pty *p, int row, int col) {
    VTermScreenCell cell = pty_cell(p, row, col);
    return !VTERM_COLOR_IS_DEFAULT_FG(&cell.fg);
}

/* ---- what stands where ---- */

static void one_arch_at_80x24(void **state) {
    (void)state;
    pty p = at_view(SMALL, "1005"); /* its 35 is stalled */
    int row = 0, col = 0;
    assert_int_equal(pty_find(&p, "35 lower left second premolar"), 1);
    assert_true(pty_find(&p, "lower, stage 13.0") > 0);
    assert_int_equal(pty_find(&p, "upper, stage"), -1);
    assert_int_equal(pty_find(&p, "Proposal only:"), 21);
    assert_int_equal(
        pty_find(&p,
                 "Dotted: plan; solid: tooth, lag drawn x3. Crowns estimated from usual sizes."),
        20);
    assert_true(pty_find(&p, "rotation     +14.4   +3.6  10.8") > 0);
    assert_true(pty_find(&p, "Rotation 10.8 deg short of the") > 0);
    static const char *const numbers[] = {"47", "46", "45", "44", "43", "42", "41",
                                          "31", "32", "33", "34", "35", "36", "37"};
    for (int i = 0; i < 14; i++)
        assert_true(number_at(&p, numbers[i], 43, &row, &col));
    assert_false(number_at(&p, "11", 43, &row, &col));
    leave(&p);
}

/* Without colour as with it: the filled crown, its mark, the number under the cursor. */
static void the_lagging_tooth_stands_out(void **state) {
    (void)state;
    static const pty_setting looks[] = {{.rows = 24, .cols = 80},
                                        {.rows = 24, .cols = 80, .term = "vt100"},
                                        {.rows = 24, .cols = 80, .no_colour = "1"},
                                        {.rows = 40, .cols = 120},
                                        {.rows = 24, .cols = 80, .ascii = "1"}};
    for (size_t i = 0; i < sizeof looks / sizeof *looks; i++) {
        pty p = at_view(looks[i], "1005");
        int row = 0, col = 0, other_row = 0, other_col = 0;
        bool ascii = looks[i].ascii != NULL;
        int to = looks[i].cols == 80 ? 43 : 52;
        assert_true(number_at(&p, "35", to, &row, &col));
        assert_true(number_at(&p, "45", to, &other_row, &other_col));
        assert_true(pty_cell(&p, row, col).attrs.reverse);
        assert_false(pty_cell(&p, other_row, other_col).attrs.reverse);
        assert_true(near(&p, ascii ? 'X' : 0x25a0, row, col)); /* stalled */
        assert_false(near(&p, ascii ? 'X' : 0x25a0, other_row, other_col));
        bool bold = false, other_bold = false, coloured = false, filled = false;
        for (int c = -2; c <= 3; c++) {
            bold = bold || pty_cell(&p, row, col + c).attrs.bold;
            other_bold = other_bold || pty_cell(&p, other_row, other_col + c).attrs.bold;
            coloured = coloured || is_coloured(&p, row, col + c);
            filled = filled || character(&p, row, col + c) == (ascii ? ':' : 0x2895) ||
                     character(&p, row, col + c) == 0x286a;
        }
        assert_true(bold);
        assert_false(other_bold);
        assert_true(filled);
        assert_int_equal(coloured, !looks[i].term && !looks[i].no_colour);
        leave(&p);
    }
}

static void ascii_is_ascii(void **state) {
    (void)state;
    for (int size = SMALLEST; size <= WIDEST; size++) {
        pty_setting setting = SIZES[size];
        setting.ascii = "1";
        pty p = at_view(setting, "1007");
        int edges = 0;
        for (int row = 0; row < p.rows; row++)
            for (int col = 0; col < p.cols; col++) {
                uint32_t c = character(&p, row, col);
                assert_true(c < 0x80);
                edges += col < 43 && (c == '/' || c == '\\' || c == '|' || c == '_');
            }
        assert_true(edges > 40);
        leave(&p);
    }
}

static void larger_screens_show_both_and_more(void **state) {
    (void)state;
    pty p = at_view(SIZES[MIDDLE], "1005");
    int row = 0, col = 0;
    assert_true(number_at(&p, "11", 52, &row, &col));
    assert_true(number_at(&p, "41", 52, &row, &col));
    assert_true(pty_find(&p, "Teeth, the most urgent first") > 0);
    leave(&p);
    p = at_view(SIZES[WIDEST], "1005");
    assert_true(number_at(&p, "11", 76, &row, &col));
    assert_true(number_at(&p, "41", 76, &row, &col));
    assert_true(pty_find(&p, "( ) 47✓ 46✓ 45✓") > 0);       /* the chart, */
    assert_true(pty_find(&p, "planned   0.00  +0.36") > 0); /* its table, */
    assert_true(pty_find(&p, "rotation, deg, + is") > 0);   /* and the tooth over time */
    assert_true(pty_find(&p, "mesial, mm, + is mesial") > 0);
    leave(&p);
}

static void the_widest_chart_has_them_too(void **state) {
    (void)state;
    pty p = at_chart(SIZES[MIDDLE], "1005", "IBA");
    assert_int_equal(pty_find(&p, "upper, stage 13.0"), -1);
    leave(&p);
    p = at_chart(SIZES[WIDEST], "1005", "IBA");
    assert_true(pty_find(&p, "upper, stage 13.0") > 0);
    assert_true(pty_find(&p, "Crowns estimated from usual sizes.") > 0);
    assert_true(cells_drawn(&p, 122, 200) > 200);
    assert_true(pty_find(&p, "Signed decisions") > 0);
    assert_true(pty_find(&p, "series ends on") > 0);
    leave(&p);
}

static bool meet(area a, area b) {
    return a.rows > 0 && b.rows > 0 && a.row < b.row + b.rows && b.row < a.row + a.rows &&
           a.col < b.col + b.cols && b.col < a.col + a.cols;
}

static void parts_never_meet(void **state) {
    (void)state;
    for (int rows = CONSOLE_ROWS; rows <= 120; rows++)
        for (int cols = CONSOLE_COLS; cols <= 600; cols += 7) {
            const area body = {1, 0, rows - 3, cols};
            occlusal_layout at = occlusal_lay_out(body);
            const area parts[] = {at.heading,  at.arches,       at.words,       at.table,
                                  at.sentence, at.upper,        at.rule,        at.lower,
                                  at.legend,   at.teeth,        at.caution,     at.plot[0],
                                  at.plot[1],  at.upper_series, at.lower_series};
            const int count = sizeof parts / sizeof *parts;
            assert_true(at.arches.rows >= 15 && at.table.rows >= 8 && at.sentence.rows >= 3);
            for (int i = 0; i < count; i++) {
                assert_true(parts[i].rows == 0 ||
                            (parts[i].row >= body.row && parts[i].col >= 0 &&
                             parts[i].row + parts[i].rows <= body.row + body.rows &&
                             parts[i].col + parts[i].cols <= cols));
                for (int k = 0; k < i; k++)
                    if (meet(parts[i], parts[k]))
                        fail_msg("parts %d and %d meet at %dx%d", i, k, cols, rows);
            }
        }
}

/* ---- keys ---- */

static void the_selection_is_the_charts(void **state) {
    (void)state;
    pty p = at_view(SMALL, "1005");
    type_until(&p, LEFT, "34 lower left first premolar");
    type_until(&p, UP, "24 upper left first premolar");
    assert_true(pty_find(&p, "upper, stage 13.0") > 0);
    assert_int_equal(pty_find(&p, "lower, stage"), -1);
    type_until(&p, RIGHT, "25 upper left second premolar");
    type_until(&p, "t", "c component");
    assert_int_equal(pty_find(&p, "25 upper left second premolar"), 1);
    type_until(&p, ESC, "z zoom");
    type_until(&p, ESC, "t tooth  d decide");
    assert_int_equal(pty_find(&p, "25 upper left second premolar"), 10);
    type_until(&p, "\t", "35 lower left second premolar");
    type_until(&p, "o", "z zoom");
    assert_int_equal(pty_find(&p, "35 lower left second premolar"), 1);
    type_until(&p, "\r", "c component"); /* Enter too */
    leave(&p);
}

static void zoom_and_back(void **state) {
    (void)state;
    for (int size = SMALLEST; size <= WIDEST; size++) {
        static const int cols[] = {43, 52, 76};
        pty p = at_view(SIZES[size], "1005");
        int row = 0, col = 0;
        char before[PTY_LINE], after[PTY_LINE];
        pty_row(&p, 12, before);
        type_until(&p, "z", size == WIDEST ? "lag drawn x1" : "lag drawn x2");
        assert_true(number_at(&p, "35", cols[size], &row, &col));
        assert_true(number_at(&p, "36", cols[size], &row, &col));
        assert_false(number_at(&p, "46", cols[size], &row, &col));
        assert_int_equal(pty_find(&p, "lower, stage"), -1);
        type_until(&p, "z", "lower, stage 13.0");
        assert_string_equal(pty_row(&p, 12, after), before);
        leave(&p);
    }
}

static void true_size_and_enlarged(void **state) {
    (void)state;
    pty p = at_view(SMALL, "1005");
    type_until(&p, "x", "lag drawn x1");
    assert_true(pty_find(&p, "The lag is drawn as it is.") > 0);
    type_until(&p, "x", "lag drawn x3");
    leave(&p);
}

static void stages_and_check_ups_as_on_the_chart(void **state) {
    (void)state;
    pty p = at_view(SMALL, "1005");
    type_until(&p, "++", "lower, stage 15.0");
    assert_true(pty_find(&p, "Dotted: this stage; solid: at the check-up.") > 0);
    assert_true(pty_find(&p, "the plan at stage 15") > 0);
    assert_true(pty_find(&p, "to go") > 0);
    int row = 0, col = 0;
    assert_true(number_at(&p, "35", 43, &row, &col));
    assert_false(near(&p, 0x25a0, row, col)); /* no state of today */
    type_until(&p, "-", "lower, stage 14.0");
    type_until(&p, "0", "lower, stage 13.0");
    assert_true(near(&p, 0x25a0, row, col));
    type_until(&p, "[", "check-up 2 of 3");
    assert_true(pty_find(&p, "lower, stage 8.8") > 0);
    assert_true(number_at(&p, "35", 43, &row, &col));
    assert_false(near(&p, 0x25a0, row, col)); /* not stalled yet, */
    assert_true(near(&p, 0x25bc, row, col));  /* but behind */
    type_until(&p, "]", "check-up 3 of 3");
    type_until(&p, "+", "lower, stage 14.0");
    type_until(&p, ESC, "t tooth"); /* going back keeps the stage */
    assert_true(pty_find(&p, "0 goes back") > 0);
    leave(&p);
}

/* What is to go at another stage is no lag: it is drawn as it is, whatever x says. */
static void another_stage_is_in_true_size(void **state) {
    (void)state;
    static char before[40][PTY_LINE];
    char line[PTY_LINE];
    pty p = at_view(SIZES[MIDDLE], "1007");
    type_until(&p, "+++", "upper, stage 15.0");
    for (int row = 2; row < 36; row++)
        pty_row(&p, row, before[row]);
    type_until(&p, "x", "The lag is drawn as it is.");
    for (int row = 2; row < 36; row++)
        assert_string_equal(pty_row(&p, row, line), before[row]);
    type_until(&p, "0", "lag drawn x1");
    bool changed = false;
    for (int row = 2; row < 36; row++)
        pty_row(&p, row, before[row]);
    type_until(&p, "x", "lag drawn x3");
    for (int row = 2; row < 36; row++)
        changed = changed || strcmp(pty_row(&p, row, line), before[row]) != 0;
    assert_true(changed);
    leave(&p);
}

static void a_notation_of_choice(void **state) {
    (void)state;
    pty p = at_view(SMALL, "1005");
    int row = 0, col = 0;
    type_until(&p, "n", "20 lower left second premolar");
    assert_true(number_at(&p, "20", 43, &row, &col));
    type_until(&p, "n", "LL5 lower left second premolar");
    type_until(&p, "z", "lag drawn x2");
    assert_true(number_at(&p, "LL", 43, &row, &col));
    leave(&p);
}

static void resized_at_any_moment(void **state) {
    (void)state;
    pty p = at_view(SMALL, "1005");
    pty_resize(&p, 60, 200);
    pty_await(&p, "rotation, deg, + is");
    assert_true(pty_find(&p, "upper, stage 13.0") > 0);
    pty_resize(&p, 20, 60);
    pty_await(&p, "midcourse needs 80x24");
    pty_resize(&p, 24, 80);
    pty_await(&p, "lag drawn x3");
    assert_int_equal(pty_find(&p, "upper, stage"), -1);
    assert_int_equal(pty_find(&p, "35 lower left second premolar"), 1);
    leave(&p);
}

static void help_tells_what_the_drawing_means(void **state) {
    (void)state;
    pty p = at_view(SIZES[WIDEST], "1005");
    type_until(&p, "?", "Help: occlusal view");
    assert_true(pty_find(&p, "solid outline") > 0);
    assert_true(pty_find(&p, "dotted outline") > 0);
    assert_true(pty_find(&p, "true size") > 0);
    leave(&p);
}

/* ---- cases filled in by hand ---- */

static void play_values(void *context) {
    terminal t;
    mc_error error = {0};
    console con = {.today = VALUES_TODAY, .who = "ABC"};
    if (frame_begin(&con, &t, &error) != MC_OK)
        _exit(1);
    con.hide_after = 1;
    chart_show(&con, context);
    frame_run(&con);
    terminal_end(&t);
    frame_close(&con);
    _exit(0);
}

static pty values_at(pty_setting setting, mc_assessment *a) {
    pty p = pty_start(setting, play_values, a);
    mc_assessment_free(a); /* the child has its own */
    pty_await(&p, "t tooth");
    pty_keys(&p, "o");
    pty_await(&p, "z zoom");
    return p;
}

static void names_hide(void **state) {
    (void)state;
    pty p = values_at(SIZES[MIDDLE], values_case(1));
    pty_await(&p, "(name hidden)");
    assert_int_equal(pty_find(&p, "Invented"), -1);
    assert_true(cells_drawn(&p, 0, 52) > 100); /* the teeth stay in sight */
    type_until(&p, "z", "Example, Invented");
    leave(&p);
}

/* What was never read is dotted and has its mark; nothing looks as if it were fine. */
static void the_unread_is_drawn_as_unknown(void **state) {
    (void)state;
    static const size_t checkups[] = {0, 1};
    for (int i = 0; i < 2; i++) {
        pty p = values_at(SIZES[MIDDLE], values_case(checkups[i]));
        int marks = 0;
        for (int row = 2; row < p.rows - 4; row++)
            for (int col = 0; col < 52; col++)
                marks += character(&p, row, col) == '?';
        assert_in_range(marks, 26, 32);
        assert_true(pty_find(&p, "Where it is was not read: drawn dotted") > 0);
        leave(&p);
    }
}

static void what_lags_unseen_is_said(void **state) {
    (void)state;
    mc_assessment *a = values_case(1);
    mc_tooth_score *t = values_tooth(a, 12);
    t->state = MC_STATE_BEHIND;
    t->risk_weight = 1;
    values_item(t, MC_INCLINATION, 8, 2, 2.5, 0.7, 0.99, MC_KIND_SHORT);
    pty p = values_at(SMALL, a);
    assert_true(pty_find(&p, "Its inclination does not show") > 0);
    int row = 0, col = 0;
    assert_true(number_at(&p, "12", 43, &row, &col));
    assert_true(near(&p, 0x25bc, row, col)); /* behind, all the same */
    leave(&p);
}

static void without_a_plan_it_says_so(void **state) {
    (void)state;
    mc_assessment *a = values_case(0);
    mc_plan_free(a->plan);
    a->plan = NULL;
    a->has_plan = false;
    for (int size = SMALLEST; size <= WIDEST; size++) {
        pty_setting setting = SIZES[size];
        pty p = pty_start(setting, play_values, a);
        pty_await(&p, "t tooth");
        pty_keys(&p, "o");
        pty_await(&p, "z zoom");
        assert_true(pty_find(&p, "Nothing to draw: no plan") > 0);
        assert_int_equal(cells_drawn(&p, 0, 43), 0);
        assert_int_equal(pty_find(&p, "p imports"), -1); /* a key of the chart alone */
        pty_keys(&p, "zx+0nt");
        pty_settle(&p);
        leave(&p);
    }
    mc_assessment_free(a);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(one_arch_at_80x24, fresh),
        cmocka_unit_test_setup(the_lagging_tooth_stands_out, fresh),
        cmocka_unit_test_setup(ascii_is_ascii, fresh),
        cmocka_unit_test_setup(larger_screens_show_both_and_more, fresh),
        cmocka_unit_test_setup(the_widest_chart_has_them_too, fresh),
        cmocka_unit_test(parts_never_meet),
        cmocka_unit_test_setup(the_selection_is_the_charts, fresh),
        cmocka_unit_test_setup(zoom_and_back, fresh),
        cmocka_unit_test_setup(true_size_and_enlarged, fresh),
        cmocka_unit_test_setup(stages_and_check_ups_as_on_the_chart, fresh),
        cmocka_unit_test_setup(another_stage_is_in_true_size, fresh),
        cmocka_unit_test_setup(a_notation_of_choice, fresh),
        cmocka_unit_test_setup(resized_at_any_moment, fresh),
        cmocka_unit_test_setup(help_tells_what_the_drawing_means, fresh),
        cmocka_unit_test(names_hide),
        cmocka_unit_test(the_unread_is_drawn_as_unknown),
        cmocka_unit_test(what_lags_unseen_is_said),
        cmocka_unit_test(without_a_plan_it_says_so),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
