/* The drawing of the arches, as dots in memory and put on a screen. */
#include "pty.h"

#include "arch_draw.h"
#include "mouth.h"

#include <curses.h>

static const theme LOOK = {.ascii = false};
static arch_picture picture;

/* ---- what is drawn ---- */

/* Everything where it should be, drawn plain. */
static void show(const mc_arches *arches) {
    memset(&picture, 0, sizeof picture);
    arch_picture_frame(&picture, arches);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        picture.tooth[t] =
            (arch_tooth){arches->crown[t], arches->crown[t], STYLE_PLAIN, MARKS, FILL_NONE};
    arch_picture_changed(&picture);
}

static void show_usual(void) {
    mc_arches arches;
    mouth_usual(&arches);
    show(&arches);
}

static mc_tooth tooth_of(int iso) {
    return mc_tooth_from_iso(iso);
}

/* A tooth short of its plan. */
static void move_back(int iso, double buccal, double rotation) {
    arch_tooth *tooth = &picture.tooth[tooth_of(iso)];
    const mc_pose by = {.c = {[MC_BUCCAL] = buccal, [MC_ROTATION] = rotation}};
    tooth->now = mc_crown_moved(tooth_of(iso), &tooth->wanted, &by);
    tooth->ink = STYLE_BEHIND;
    tooth->flag = MARK_BEHIND;
    tooth->fill = FILL_HALF;
    arch_picture_changed(&picture);
}

static arch_sight both(void) {
    return (arch_sight){.arch = {true, true}, .selected = MC_NO_TOOTH};
}

static arch_drawn drawn;
static int number[MC_TEETH][2];

static const canvas *draw(const arch_sight *sight, int rows, int cols) {
    return arch_draw_on_canvas(&LOOK, &picture, sight, rows, cols, &drawn, number);
}

static const canvas_cell *cell(const canvas *on, int row, int col) {
    return &on->cell[row * CANVAS_COLS + col];
}

static bool dot(const canvas *on, int x, int y) {
    const canvas_cell *c = cell(on, y / DOTS_DOWN, x / DOTS_ACROSS);
    unsigned dots = c->line | c->points | c->inside;
    return dots >> (DOTS_ACROSS * (y % DOTS_DOWN) + x % DOTS_ACROSS) & 1;
}

static int in_sight(void) {
    int count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        count += number[t][0] >= 0;
    return count;
}

/* ---- where numbers stand ---- */

/* The tooth in whose crown a dot lies, by the crown's own formula; the scale and the midline are
 * taken from two drawn numbers' crowns, so that the drawing is held against mm. */
static bool within(const mc_crown *crown, mc_tooth tooth, double right, double anterior) {
    double axes[3][3];
    mc_tooth_frame(tooth, crown->outward_deg, axes);
    const double degree = 3.14159265358979323846 / 180;
    const double x = right - crown->right, y = anterior - crown->anterior;
    const double along = x * axes[0][0] + y * axes[0][1], out = x * axes[1][0] + y * axes[1][1];
    const double c = cos(crown->turned_deg * degree), s = sin(crown->turned_deg * degree);
    const double m = (along * c - out * s) / (crown->width / 2);
    const double b = (along * s + out * c) / (crown->thickness / 2);
    return pow(fabs(m), 2.5) + pow(fabs(b), 2.5) <= 1;
}

/* Every number's cells have their middle in their own crown, and in no other. */
static void numbers_in_their_crowns(const canvas *on, const arch_sight *sight) {
    (void)sight;
    double scale = drawn.dots_per_mm;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (number[t][0] < 0)
            continue;
        /* the midline is the middle of the canvas; the height is known by the crown itself */
        double x = (number[t][1] + 1) * DOTS_ACROSS;
        double right = (on->cols * DOTS_ACROSS / 2.0 - x) / scale;
        const mc_crown *crown = &picture.shown[t];
        if (!within(crown, t, right, crown->anterior))
            fail_msg("%d: its number stands beside it", mc_tooth_iso(t));
    }
}

static void every_number_in_its_own_crown(void **state) {
    (void)state;
    static const int sizes[][2] = {{34, 43}, {36, 52}, {55, 76}, {100, 240}};
    show_usual();
    move_back(12, -0.8, -10);
    const arch_sight sight = both();
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        const canvas *on = draw(&sight, sizes[i][0], sizes[i][1]);
        assert_int_equal(in_sight(), 28);
        numbers_in_their_crowns(on, &sight);
    }
}

/* Each number is enclosed: going up, down, left and right from it one meets an outline before one
 * meets another number. */
static void every_number_is_enclosed(void **state) {
    (void)state;
    static const int way[][2] = {{0, 1}, {0, -1}, {1, 0}, {-1, 0}};
    show_usual();
    const arch_sight sight = both();
    const canvas *on = draw(&sight, 55, 76);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (number[t][0] < 0)
            continue;
        for (int w = 0; w < 4; w++) {
            int row = number[t][0], col = number[t][1] + (way[w][1] > 0 ? 1 : 0), steps = 0;
            do {
                row += way[w][0];
                col += way[w][1];
                steps++;
                assert_in_range(row, 0, on->rows - 1);
                assert_in_range(col, 0, on->cols - 1);
                assert_int_equal(cell(on, row, col)->text[0], '\0');
            } while (!cell(on, row, col)->line);
            assert_in_range(steps, 1, 8);
        }
    }
}

static void orientation_is_the_charts(void **state) {
    (void)state;
    show_usual();
    const arch_sight sight = both();
    draw(&sight, 55, 76);
    const int *upper_right = number[tooth_of(16)], *upper_left = number[tooth_of(26)];
    const int *upper_front = number[tooth_of(11)], *lower_front = number[tooth_of(41)];
    const int *lower_right = number[tooth_of(46)], *lower_left = number[tooth_of(36)];
    assert_true(upper_right[1] < upper_front[1] && upper_front[1] < upper_left[1]);
    assert_true(lower_right[1] < lower_front[1] && lower_front[1] < lower_left[1]);
    assert_true(upper_front[0] < upper_right[0]);
    assert_true(upper_right[0] < lower_right[0]);
    assert_true(lower_right[0] < lower_front[0]);
    assert_int_equal(upper_right[0], upper_left[0]);
    assert_int_equal(lower_right[0], lower_left[0]);
}

/* ---- the mirror ---- */

static void mirror(arch_tooth out[MC_TEETH], const arch_tooth from[MC_TEETH]) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        arch_tooth *m = &out[mc_tooth_mirror(t)];
        *m = from[t];
        m->wanted.right = -m->wanted.right;
        m->wanted.outward_deg = 180 - m->wanted.outward_deg;
        m->now.right = -m->now.right;
        m->now.outward_deg = 180 - m->now.outward_deg;
    }
}

static void a_mirrored_mouth_gives_the_mirrored_drawing(void **state) {
    (void)state;
    static bool kept[CANVAS_ROWS * DOTS_DOWN][CANVAS_COLS * DOTS_ACROSS];
    static arch_tooth mirrored[MC_TEETH];
    static const int sizes[][2] = {{34, 43}, {36, 52}, {55, 76}};
    const arch_sight sight = both();
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        show_usual();
        move_back(12, -0.83, -10.3);
        move_back(35, 0.62, 17.1);
        for (mc_tooth t = 0; t < MC_TEETH; t++) {
            picture.tooth[t].flag = MARKS;
            if (picture.tooth[t].fill == FILL_HALF) /* a pattern is not its own mirror image */
                picture.tooth[t].fill = FILL_WHOLE;
        }
        const canvas *on = draw(&sight, sizes[i][0], sizes[i][1]);
        int across = on->cols * DOTS_ACROSS, down = on->rows * DOTS_DOWN, count = 0;
        for (int y = 0; y < down; y++)
            for (int x = 0; x < across; x++)
                kept[y][x] = dot(on, x, y);
        mirror(mirrored, picture.tooth);
        memcpy(picture.tooth, mirrored, sizeof mirrored);
        arch_picture_changed(&picture);
        on = draw(&sight, sizes[i][0], sizes[i][1]);
        for (int y = 0; y < down; y++)
            for (int x = 0; x < across; x++) {
                count += kept[y][x];
                /* dotted lines begin at one end, and so need not meet dot by dot */
                const canvas_cell *c = cell(on, y / DOTS_DOWN, (across - 1 - x) / DOTS_ACROSS);
                if (!c->points && dot(on, across - 1 - x, y) != kept[y][x])
                    fail_msg("dot %d, %d at %d columns", x, y, sizes[i][1]);
            }
        assert_true(count > 500);
    }
}

/* ---- what is told ---- */

static void a_lag_is_enlarged_by_what_is_said(void **state) {
    (void)state;
    show_usual();
    move_back(12, -1, -10);
    arch_sight sight = both();
    sight.selected = tooth_of(12);
    draw(&sight, 34, 43);
    assert_true(drawn.dots_per_mm < 1.5);
    assert_true(drawn.enlarge == 3);
    const mc_crown *wanted = &picture.tooth[tooth_of(12)].wanted;
    const mc_crown *shown = &picture.shown[tooth_of(12)];
    assert_true(fabs(hypot(shown->right - wanted->right, shown->anterior - wanted->anterior) - 3) <
                1e-9);
    assert_true(fabs(shown->turned_deg + 30) < 1e-9);
    sight.enlarge = 1;
    draw(&sight, 34, 43);
    assert_true(drawn.enlarge == 1);
    assert_true(fabs(picture.shown[tooth_of(12)].turned_deg + 10) < 1e-9);
    sight.enlarge = 0;
    draw(&sight, 100, 240); /* a millimetre shows by itself */
    assert_true(drawn.dots_per_mm > 3);
    assert_true(drawn.enlarge == 1);
}

/* One that is not known has no solid dot of its own, and never looks as one that is on plan. */
static void the_unknown_is_dotted(void **state) {
    (void)state;
    mc_arches arches = {.estimated = {true, true}};
    mouth_quadrant(2, 1, 45, &arches);
    show(&arches);
    picture.tooth[tooth_of(21)].now.stands = false;
    picture.tooth[tooth_of(21)].flag = MARK_UNMEASURED;
    const arch_sight sight = both();
    const canvas *on = draw(&sight, 30, 60);
    int dotted = 0;
    bool flagged = false;
    for (int row = 0; row < on->rows; row++)
        for (int col = 0; col < on->cols; col++) {
            assert_int_equal(cell(on, row, col)->line, 0);
            dotted += cell(on, row, col)->points != 0;
            flagged = flagged || strcmp(cell(on, row, col)->text, "?") == 0;
        }
    assert_true(dotted > 10);
    assert_true(flagged);
}

static void a_lagging_tooth_is_filled_and_flagged(void **state) {
    (void)state;
    show_usual();
    const arch_sight sight = both();
    move_back(12, -0.6, 0);
    const canvas *on = draw(&sight, 36, 52);
    int flags = 0, filled = 0;
    const int *at = number[tooth_of(12)];
    for (int row = 0; row < on->rows; row++)
        for (int col = 0; col < on->cols; col++) {
            bool near = abs(row - at[0]) <= 3 && abs(col - at[1]) <= 6;
            bool flag = strcmp(cell(on, row, col)->text, theme_mark(&LOOK, MARK_BEHIND)) == 0;
            flags += flag;
            filled += cell(on, row, col)->inside != 0;
            if (flag || cell(on, row, col)->inside)
                assert_true(near);
        }
    assert_int_equal(flags, 1);
    assert_true(filled >= 4);
}

/* Stepping through stages moves the tooth that moves, and nothing else. */
static void nothing_shifts_but_what_moves(void **state) {
    (void)state;
    int before[MC_TEETH][2];
    show_usual();
    const arch_sight sight = both();
    draw(&sight, 36, 52);
    memcpy(before, number, sizeof before);
    const mc_pose out = {.c = {[MC_BUCCAL] = 4}};
    arch_tooth *tooth = &picture.tooth[tooth_of(11)];
    tooth->wanted = mc_crown_moved(tooth_of(11), &tooth->wanted, &out);
    tooth->now = tooth->wanted;
    arch_picture_changed(&picture);
    draw(&sight, 36, 52);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (t != tooth_of(11))
            assert_memory_equal(before[t], number[t], sizeof before[t]);
    assert_true(number[tooth_of(11)][0] < before[tooth_of(11)][0]);
}

/* ---- zoom ---- */

static void zoom_holds_the_tooth_and_its_neighbours(void **state) {
    (void)state;
    static const int sizes[][2] = {{18, 43}, {34, 52}, {54, 76}};
    bool standing[MC_TEETH];
    show_usual();
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        standing[t] = picture.tooth[t].wanted.stands;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        for (mc_tooth t = 0; t < MC_TEETH; t++) {
            if (!standing[t])
                continue;
            arch_sight sight = both();
            sight.selected = t;
            const bool upper = mc_tooth_arch(t) == MC_UPPER;
            sight.arch[MC_UPPER] = upper;
            sight.arch[MC_LOWER] = !upper;
            draw(&sight, sizes[i][0], sizes[i][1]);
            double whole = drawn.dots_per_mm;
            sight.zoom = true;
            draw(&sight, sizes[i][0], sizes[i][1]);
            assert_true(drawn.dots_per_mm > 1.4 * whole);
            assert_true(drawn.row == -1); /* told by arch_draw alone */
            assert_true(number[t][0] >= 0);
            mc_tooth distal = mc_tooth_distal(t, standing);
            int position = mc_tooth_position(t);
            if (distal != MC_NO_TOOTH && position != 4)
                assert_true(number[distal][0] >= 0);
        }
}

/* ---- all kinds of mouths and areas ---- */

static void any_area_will_do(void **state) {
    (void)state;
    static const int rows[] = {0, 1, 2, 5, 24, 100, 400}, cols[] = {0, 1, 3, 10, 80, 240, 999};
    show_usual();
    move_back(12, -0.8, -12);
    for (int zoom = 0; zoom < 2; zoom++)
        for (size_t r = 0; r < sizeof rows / sizeof *rows; r++)
            for (size_t c = 0; c < sizeof cols / sizeof *cols; c++) {
                arch_sight sight = both();
                sight.zoom = zoom;
                sight.selected = tooth_of(12);
                sight.caption[MC_UPPER] = "upper";
                const canvas *on = draw(&sight, rows[r], cols[c]);
                assert_true(on->rows <= rows[r] && on->cols <= cols[c]);
                if (rows[r] == 0 || cols[c] == 0)
                    assert_true(drawn.dots_per_mm == 0);
            }
}

static void without_crowns_nothing_is_drawn(void **state) {
    (void)state;
    mc_arches none = {.estimated = {true, true}};
    show(&none);
    arch_sight sight = both();
    sight.selected = tooth_of(12);
    for (int zoom = 0; zoom < 2; zoom++) {
        sight.zoom = zoom;
        const canvas *on = draw(&sight, 24, 80);
        assert_true(drawn.dots_per_mm == 0);
        assert_int_equal(in_sight(), 0);
        for (int y = 0; y < 24 * DOTS_DOWN; y++)
            for (int x = 0; x < 80 * DOTS_ACROSS; x++)
                assert_false(dot(on, x, y));
    }
}

static void one_arch_takes_the_room_of_both(void **state) {
    (void)state;
    mc_arches arches = {.estimated = {true, true}};
    mouth_quadrant(1, 7, 45, &arches);
    mouth_quadrant(2, 7, 45, &arches);
    show(&arches);
    const arch_sight sight = both();
    draw(&sight, 36, 80);
    assert_int_equal(in_sight(), 14);
    double alone = drawn.dots_per_mm;
    show_usual();
    draw(&sight, 36, 80);
    assert_true(alone > 1.5 * drawn.dots_per_mm);
}

static void deciduous_teeth_and_all_52(void **state) {
    (void)state;
    mc_arches arches = {.estimated = {true, true}};
    for (int quadrant = 5; quadrant <= 8; quadrant++)
        mouth_quadrant(quadrant, 5, 30, &arches);
    show(&arches);
    arch_sight sight = both();
    sight.notation = MC_NOTATION_UNIVERSAL;
    const canvas *on = draw(&sight, 36, 52);
    assert_int_equal(in_sight(), 20);
    const int *at = number[tooth_of(55)];
    assert_string_equal(cell(on, at[0], at[1])->text, "A");
    for (int quadrant = 1; quadrant <= 4; quadrant++)
        mouth_quadrant(quadrant, 8, 45, &arches);
    show(&arches);
    draw(&sight, 60, 100);
    assert_int_equal(in_sight(), MC_TEETH);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        sight.zoom = true;
        sight.selected = t;
        draw(&sight, 36, 52);
        assert_true(number[t][0] >= 0);
    }
}

static void each_notation_in_its_own_words(void **state) {
    (void)state;
    show_usual();
    arch_sight sight = both();
    const int *at = number[tooth_of(12)];
    const canvas *on = draw(&sight, 55, 76);
    assert_string_equal(cell(on, at[0], at[1])->text, "1");
    assert_string_equal(cell(on, at[0], at[1] + 1)->text, "2");
    sight.notation = MC_NOTATION_QUADRANT; /* the quadrant is seen */
    on = draw(&sight, 55, 76);
    assert_string_equal(cell(on, at[0], at[1])->text, "2");
    sight.zoom = true;
    sight.selected = tooth_of(12);
    on = draw(&sight, 55, 76);
    assert_string_equal(cell(on, at[0], at[1])->text, "U");
    assert_string_equal(cell(on, at[0], at[1] + 2)->text, "2");
    assert_int_equal(cell(on, at[0], at[1])->text_ink, STYLE_SELECTED);
}

/* ---- on the screen ---- */

static const area BOX = {5, 11, 14, 40};

/* Draw into the box on a terminal, and wait to be looked at. */
static void play(void *context) {
    theme look;
    arch_drawn out;
    (void)context;
    initscr();
    theme_start(&look, theme_wants_ascii("UTF-8", getenv("MIDCOURSE_ASCII")), false);
    show_usual();
    move_back(12, -2, -20);
    const arch_sight sight = {.arch = {true, false},
                              .selected = tooth_of(12),
                              .caption = {"a caption far too long for what stands within the arch "
                                          "and for the box as well",
                                          NULL}};
    arch_draw(&look, &picture, &sight, BOX, &out);
    mvprintw(0, 0, "drawn %d %d", out.row, out.col);
    refresh();
    getch();
    endwin();
    _exit(0);
}

static void nothing_leaves_its_area(void **state) {
    (void)state;
    static const char *const ascii[] = {NULL, "1"};
    for (int i = 0; i < 2; i++) {
        pty p = pty_start((pty_setting){.rows = 24, .cols = 80, .ascii = ascii[i]}, play, NULL);
        pty_await(&p, "drawn ");
        int inside = 0, row = 0, col = 0;
        char line[PTY_LINE];
        assert_int_equal(sscanf(pty_row(&p, 0, line), "drawn %d %d", &row, &col), 2);
        assert_true(pty_cell(&p, row, col).attrs.reverse);
        assert_int_equal(pty_cell(&p, row, col).chars[0], '1');
        assert_int_equal(pty_cell(&p, row, col + 1).chars[0], '2');
        for (int r = 1; r < p.rows; r++)
            for (int c = 0; c < p.cols; c++) {
                uint32_t shown = pty_cell(&p, r, c).chars[0];
                bool blank = shown == 0 || shown == ' ';
                bool within_box = r >= BOX.row && r < BOX.row + BOX.rows && c >= BOX.col &&
                                  c < BOX.col + BOX.cols;
                inside += within_box && !blank;
                if (!within_box && !blank)
                    fail_msg("row %d, column %d", r, c);
                if (ascii[i])
                    assert_true(shown < 0x80);
            }
        assert_true(inside > 40);
        pty_keys(&p, "q");
        pty_ended_well(&p);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_number_in_its_own_crown),
        cmocka_unit_test(every_number_is_enclosed),
        cmocka_unit_test(orientation_is_the_charts),
        cmocka_unit_test(a_mirrored_mouth_gives_the_mirrored_drawing),
        cmocka_unit_test(a_lag_is_enlarged_by_what_is_said),
        cmocka_unit_test(the_unknown_is_dotted),
        cmocka_unit_test(a_lagging_tooth_is_filled_and_flagged),
        cmocka_unit_test(nothing_shifts_but_what_moves),
        cmocka_unit_test(zoom_holds_the_tooth_and_its_neighbours),
        cmocka_unit_test(any_area_will_do),
        cmocka_unit_test(without_crowns_nothing_is_drawn),
        cmocka_unit_test(one_arch_takes_the_room_of_both),
        cmocka_unit_test(deciduous_teeth_and_all_52),
        cmocka_unit_test(each_notation_in_its_own_words),
        cmocka_unit_test(nothing_leaves_its_area),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
