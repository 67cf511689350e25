/* Readings against a neighbour, worked by hand. */
#include "same_score.h"

#include "near.h"

enum { STAGES = 10 };

static mc_reading against(int iso, mc_relative what, double read) {
    mc_reading r = mc_reading_none(mc_tooth_from_iso(iso));
    r.relative[what] = read;
    return r;
}

static mc_pose pose(double mesial, double buccal, double occlusal, double rotation) {
    return (mc_pose){.c = {[MC_MESIAL] = mesial,
                           [MC_BUCCAL] = buccal,
                           [MC_OCCLUSAL] = occlusal,
                           [MC_ROTATION] = rotation}};
}

/* 12 between 11 and 13, on the given side of the mouth (10: the right, 20: the left), by stage 10;
 * a check-up's own teeth say who stands. */
typedef struct {
    mouth m;
    int side;
} bench;

static bench bench_new(int side, bool exactly) {
    bench b = {.m = mouth_new(), .side = side};
    mouth_plan(&b.m, side + 1, STAGES, pose(0.2, -0.3, 0.1, 0));
    mouth_plan(&b.m, side + 2, STAGES, pose(0.6, 0.8, 0.5, 10));
    mouth_plan(&b.m, side + 3, STAGES, pose(0.4, 0.5, -0.2, 0));
    if (exactly)
        mouth_read_exactly(&b.m);
    mouth_begin(&b.m);
    return b;
}

static mc_status take(bench *b, int aligner, mc_method method, const mc_reading *rows, size_t count,
                      mc_error *error) {
    mc_checkup checkup = {.number = ++b->m.number,
                          .date = 20000 + 14 * b->m.number,
                          .aligner = {aligner, MC_NO_ALIGNER},
                          .day = {-1, -1},
                          .wear_hours = NAN,
                          .method = method,
                          .states = b->m.states,
                          .rows = rows,
                          .count = count};
    mc_status status = mc_tracker_add(b->m.tracker, &checkup, error);
    if (status == MC_OK)
        mc_tracker_score(b->m.tracker, b->m.states, b->m.score);
    else
        b->m.number--;
    return status;
}

static void took(bench *b, int aligner, mc_method method, const mc_reading *rows, size_t count) {
    mc_error error;
    if (take(b, aligner, method, rows, count, &error) != MC_OK)
        fail_msg("row %ld: %s", error.line, error.text);
}

static void bench_free(bench *b) {
    mouth_free(&b->m);
}

/* ---- which way ---- */

static void names_and_columns(void **state) {
    (void)state;
    static const char *const columns[MC_RELATIVES] = {
        "space_mesial_mm",  "space_distal_mm",  "step_mesial_mm", "step_distal_mm",
        "height_mesial_mm", "height_distal_mm", "crown_angle_deg"};
    static const char *const names[MC_RELATIVES] = {
        "space mesial",  "space distal",  "step mesial", "step distal",
        "height mesial", "height distal", "crown angle"};
    for (int i = 0; i < MC_RELATIVES; i++) {
        assert_string_equal(mc_relative_column((mc_relative)i), columns[i]);
        assert_string_equal(mc_relative_name((mc_relative)i), names[i]);
    }
}

/* The tooth 0.1 mm or 1 deg further in its own direction, and its neighbour likewise. */
static void ways(void **state) {
    (void)state;
    static const struct {
        mc_relative what;
        mc_component component;
        int tooth, neighbour, own, other;
    } way[] = {{MC_SPACE_TO_MESIAL, MC_MESIAL, 12, 11, -1, 1},  /* both go to the front */
               {MC_SPACE_TO_MESIAL, MC_MESIAL, 11, 21, -1, -1}, /* each toward the other */
               {MC_SPACE_TO_MESIAL, MC_MESIAL, 21, 11, -1, -1},
               {MC_SPACE_TO_MESIAL, MC_MESIAL, 32, 31, -1, 1},
               {MC_SPACE_TO_DISTAL, MC_MESIAL, 12, 13, 1, -1},
               {MC_SPACE_TO_DISTAL, MC_MESIAL, 41, 42, 1, -1},
               {MC_STEP_TO_MESIAL, MC_BUCCAL, 12, 11, 1, -1},
               {MC_STEP_TO_MESIAL, MC_BUCCAL, 11, 21, 1, -1},
               {MC_STEP_TO_DISTAL, MC_BUCCAL, 36, 37, 1, -1},
               {MC_HEIGHT_TO_MESIAL, MC_OCCLUSAL, 31, 41, 1, -1},
               {MC_HEIGHT_TO_DISTAL, MC_OCCLUSAL, 25, 26, 1, -1},
               {MC_CROWN_ANGLE, MC_ROTATION, 23, 0, 1, 0}};
    for (size_t i = 0; i < sizeof way / sizeof *way; i++) {
        mc_tooth tooth = mc_tooth_from_iso(way[i].tooth);
        mc_tooth neighbour = mc_relative_neighbour(way[i].what, tooth, NULL);
        assert_int_equal(neighbour,
                         way[i].neighbour ? mc_tooth_from_iso(way[i].neighbour) : MC_NO_TOOTH);
        assert_int_equal(mc_relative_component(way[i].what), way[i].component);
        assert_int_equal(mc_relative_own(way[i].what), way[i].own);
        assert_int_equal(mc_relative_other(way[i].what, tooth, neighbour), way[i].other);
    }
    assert_int_equal(mc_relative_neighbour(MC_STEP_TO_DISTAL, mc_tooth_from_iso(18), NULL),
                     MC_NO_TOOTH);
}

/* ---- worked examples ---- */

/* What 12 reads at stage 0; what the plan has it read at stage 10; what is read; and where the
 * tooth then is, once with its neighbours taken to be on plan, once with 11 at 0.1 mesial, -0.5
 * buccal and 0.2 occlusal, and 13 at 0.3, 0.6 and -0.3, read. */
static const struct {
    mc_relative what;
    double base, should, read, alone, beside;
} worked[] = {{MC_SPACE_TO_MESIAL, 1.0, 1.0 - 0.6 + 0.2, 0.8, 0.6 - 0.2, 0.6 - 0.3},
              {MC_SPACE_TO_DISTAL, 0.5, 0.5 + 0.6 - 0.4, 0.6, 0.6 - 0.1, 0.6 - 0.2},
              {MC_STEP_TO_MESIAL, -1.0, -1.0 + 0.8 + 0.3, -0.1, 0.8 - 0.2, 0.8 - 0.4},
              {MC_STEP_TO_DISTAL, 0.4, 0.4 + 0.8 - 0.5, 0.5, 0.8 - 0.2, 0.8 - 0.1},
              {MC_HEIGHT_TO_MESIAL, 0.3, 0.3 + 0.5 - 0.1, 0.6, 0.5 - 0.1, 0.5 - 0.0},
              {MC_HEIGHT_TO_DISTAL, -0.6, -0.6 + 0.5 + 0.2, 0.2, 0.5 + 0.1, 0.5 - 0.0},
              {MC_CROWN_ANGLE, 20, 30, 27.5, 7.5, 7.5}};

static size_t neighbours_read(int side, mc_reading rows[2]) {
    rows[0] = mc_reading_none(mc_tooth_from_iso(side + 1));
    rows[0].value[MC_MESIAL] = 0.1;
    rows[0].value[MC_BUCCAL] = -0.5;
    rows[0].value[MC_OCCLUSAL] = 0.2;
    rows[1] = mc_reading_none(mc_tooth_from_iso(side + 3));
    rows[1].value[MC_MESIAL] = 0.3;
    rows[1].value[MC_BUCCAL] = 0.6;
    rows[1].value[MC_OCCLUSAL] = -0.3;
    return 2;
}

static void each_by_hand(void **state) {
    (void)state;
    for (size_t i = 0; i < 2 * sizeof worked / sizeof *worked; i++) {
        const size_t k = i / 2;
        const bool beside = i % 2;
        const mc_component c = mc_relative_component(worked[k].what);
        bench b = bench_new(10, true);
        mc_reading rows[3] = {against(12, worked[k].what, worked[k].base)};
        mc_tooth tooth = rows[0].tooth;
        took(&b, 0, MC_SCAN, rows, 1);
        const mc_relative_item *said = &mouth_tooth(&b.m, 12)->relative[worked[k].what];
        assert_near(said->read, worked[k].base, 0);
        assert_near(said->baseline, worked[k].base, 0);
        assert_false(mouth_tooth(&b.m, 12)->item[c].read);
        assert_near(mc_tracker_baseline(b.m.tracker, tooth, worked[k].what), worked[k].base, 0);
        assert_near(mc_tracker_should_read(b.m.tracker, tooth, worked[k].what, b.m.states, STAGES),
                    worked[k].should, 1e-12);
        rows[0] = against(12, worked[k].what, worked[k].read);
        took(&b, STAGES, MC_SCAN, rows, 1 + (beside ? neighbours_read(10, rows + 1) : 0));
        const mc_item *item = &mouth_tooth(&b.m, 12)->item[c];
        assert_int_equal(said->readings, 1);
        assert_near(said->should_read, worked[k].should, 1e-12);
        assert_true(item->read && item->followed);
        assert_int_equal(item->readings, 1);
        assert_near(item->observed, beside ? worked[k].beside : worked[k].alone, 1e-12);
        if (beside) /* nothing is in doubt then */
            assert_near(item->mean, worked[k].beside, 1e-9);
        bench_free(&b);
    }
}

/* How far a component like it may be from its plan, by the model: P (mu - 1) on average, with its
 * own and the shared pace, the noise of the stages, and the share wandering. */
static double moment(double planned, double share) {
    const double v = planned / STAGES, l = STAGES, off = planned * (share - 1);
    return off * off + planned * planned * (0.04 + 0.04) + 0.01 * v * v * l + 0.0001 * l +
           0.025 * 0.025 * v * v * l * l * l / 3;
}

static void what_is_not_known_of_the_neighbour_is_added(void **state) {
    (void)state;
    bench b = bench_new(10, false);
    mc_reading row = against(12, MC_SPACE_TO_MESIAL, 1.0);
    took(&b, 0, MC_CALIPER, &row, 1);
    took(&b, STAGES, MC_PHOTO, &row, 1);
    double share = mc_expected_share(mc_tooth_from_iso(11), MC_MOVE_MESIAL, NULL);
    double method = 0.35 * 0.35 + 0.15 * 0.15;
    assert_near(mouth_tooth(&b.m, 12)->item[MC_MESIAL].sd, sqrt(method + moment(0.2, share)),
                1e-12);
    bench_free(&b);

    /* one that was read is known as well as its own reading tells */
    b = bench_new(10, true);
    took(&b, 0, MC_CALIPER, &row, 1);
    mc_reading rows[2] = {row, mouth_reading(11, MC_MESIAL, 0.2)};
    rows[1].method = MC_SCAN;
    took(&b, STAGES, MC_PHOTO, rows, 2);
    assert_near(mouth_tooth(&b.m, 12)->item[MC_MESIAL].sd, sqrt(method), 1e-9);
    bench_free(&b);
}

/* Read at a check-up before, the neighbour is where it is estimated to be by now. */
static void a_neighbour_read_before(void **state) {
    (void)state;
    bench b = bench_new(10, false);
    mc_reading rows[2] = {against(12, MC_STEP_TO_MESIAL, 0)};
    took(&b, 0, MC_CALIPER, rows, 1);
    rows[1] = mouth_reading(11, MC_BUCCAL, -0.6);
    took(&b, 5, MC_CALIPER, rows + 1, 1);
    rows[0] = against(12, MC_STEP_TO_MESIAL, 1.0);
    took(&b, STAGES, MC_CALIPER, rows, 1);
    double x, sd;
    assert_true(mc_tracker_estimate(b.m.tracker, mc_tooth_from_iso(11), MC_BUCCAL, &x, &sd));
    /* read 1.0 = 12 - x(11); what 12 says of the pace moves the estimate of 11 a little after it
     * was used */
    assert_near(mouth_tooth(&b.m, 12)->item[MC_BUCCAL].observed, 1.0 + x, 0.02);
    assert_near(mouth_tooth(&b.m, 12)->item[MC_BUCCAL].sd, sqrt(2 * 0.35 * 0.35 + sd * sd), 0.01);
    assert_true(fabs(x + 0.3) > 0.05);
    bench_free(&b);
}

/* ---- mirror, order ---- */

static size_t read_all(int side, bool base, mc_reading rows[9]) {
    size_t count = sizeof worked / sizeof *worked;
    for (size_t i = 0; i < count; i++)
        rows[i] = against(side + 2, worked[i].what, base ? worked[i].base : worked[i].read);
    return count;
}

static void a_mirrored_mouth_says_the_same(void **state) {
    (void)state;
    bench b[2] = {bench_new(10, false), bench_new(20, false)};
    for (int i = 0; i < 2; i++) {
        mc_reading rows[12];
        took(&b[i], 0, MC_CALIPER, rows, read_all(b[i].side, true, rows));
        size_t count = read_all(b[i].side, false, rows);
        count += neighbours_read(b[i].side, rows + count);
        took(&b[i], STAGES, MC_CALIPER, rows, count);
    }
    assert_same_score(b[0].m.score, b[1].m.score, true, 1e-12);
    assert_true(mouth_tooth(&b[0].m, 12)->item[MC_MESIAL].read);
    bench_free(&b[0]);
    bench_free(&b[1]);
}

/* Both centrals toward each other, from 1.5 mm apart: 0.4 mm each by plan. */
static void across_the_midline(void **state) {
    (void)state;
    for (int i = 0; i < 2; i++) {
        int iso = i == 0 ? 11 : 21, other = i == 0 ? 21 : 11;
        bench b = {.m = mouth_new()};
        mouth_plan(&b.m, 11, STAGES, pose(0.4, 0, 0, 0));
        mouth_plan(&b.m, 21, STAGES, pose(0.4, 0, 0, 0));
        mouth_read_exactly(&b.m);
        mouth_begin(&b.m);
        mc_reading rows[2] = {against(iso, MC_SPACE_TO_MESIAL, 1.5),
                              mouth_reading(other, MC_MESIAL, 0.3)};
        took(&b, 0, MC_SCAN, rows, 1);
        rows[0] = against(iso, MC_SPACE_TO_MESIAL, 1.0);
        took(&b, STAGES, MC_SCAN, rows, 2); /* 0.5 closed, 0.3 of it by the other */
        const mc_tooth_score *t = mouth_tooth(&b.m, iso);
        assert_near(t->relative[MC_SPACE_TO_MESIAL].should_read, 0.7, 1e-12);
        assert_int_equal(t->relative[MC_SPACE_TO_MESIAL].neighbour, mc_tooth_from_iso(other));
        assert_near(t->item[MC_MESIAL].observed, 0.2, 1e-12);
        assert_near(t->item[MC_MESIAL].mean, 0.2, 1e-9);
        bench_free(&b);
    }
}

/* 11, 12 and 13 read against one another, some of them read alone too: rows in any order. */
static void no_order_of_rows_matters(void **state) {
    (void)state;
    mc_score first;
    for (int turn = 0; turn < 11; turn++) {
        bench b = bench_new(10, false);
        mc_reading base[11], later[11], rows[11];
        size_t count = read_all(10, true, base);
        read_all(10, false, later);
        base[count] = against(11, MC_SPACE_TO_DISTAL, 1.0);
        later[count++] = against(11, MC_SPACE_TO_DISTAL, 0.7);
        base[count] = against(13, MC_STEP_TO_MESIAL, -0.4);
        later[count++] = against(13, MC_STEP_TO_MESIAL, -0.6);
        base[count] = later[count] = mouth_reading(11, MC_OCCLUSAL, 0.05);
        count++;
        base[count] = against(12, MC_SPACE_TO_MESIAL, 1.1);
        later[count++] = against(12, MC_SPACE_TO_MESIAL, 0.9);
        for (int k = 0; k < 2; k++) {
            for (size_t i = 0; i < count; i++)
                rows[i] = (k == 0 ? base : later)[(7 * i + (size_t)turn) % count];
            took(&b, k * STAGES, MC_CALIPER, rows, count);
        }
        if (turn == 0)
            first = *b.m.score;
        assert_same_score(&first, b.m.score, false, 1e-12);
        bench_free(&b);
    }
    assert_int_equal(first.tooth[mc_tooth_from_iso(12)].item[MC_MESIAL].readings, 3);
}

/* ---- several readings ---- */

static void repeated_readings_average(void **state) {
    (void)state;
    bench b = bench_new(10, false);
    mc_reading rows[3] = {against(12, MC_CROWN_ANGLE, 178), against(12, MC_CROWN_ANGLE, -178)};
    rows[0].method = rows[1].method = MC_PHOTO;
    took(&b, 0, MC_CALIPER, rows, 2);
    assert_near(fabs(mouth_tooth(&b.m, 12)->relative[MC_CROWN_ANGLE].read), 180, 1e-12);
    assert_near(mc_tracker_should_read(b.m.tracker, rows[0].tooth, MC_CROWN_ANGLE, b.m.states, 5),
                -175, 1e-12); /* on by 5 of 180 deg */
    rows[0] = against(12, MC_CROWN_ANGLE, -172);
    rows[1] = mouth_reading(12, MC_ROTATION, 5);
    rows[1].method = MC_PHOTO;
    took(&b, STAGES, MC_CALIPER, rows, 2);
    /* by the angle 8 deg of variance 3 * 3 + 1.5 * 1.5 / 2, by the photograph 5 of 1.5 * 1.5 */
    const mc_item *item = &mouth_tooth(&b.m, 12)->item[MC_ROTATION];
    double angle = 9 + 1.125, photo = 2.25;
    assert_int_equal(item->readings, 2);
    assert_near(item->observed, (8 / angle + 5 / photo) / (1 / angle + 1 / photo), 1e-12);
    assert_near(item->sd, sqrt(1 / (1 / angle + 1 / photo)), 1e-12);
    bench_free(&b);
}

/* ---- what has no baseline ---- */

static void read_first_once_it_has_moved(void **state) {
    (void)state;
    bench b = bench_new(10, false);
    mc_reading row = against(12, MC_STEP_TO_DISTAL, 0.4);
    int worn[] = {3, 0, STAGES};
    for (size_t i = 0; i < sizeof worn / sizeof *worn; i++) {
        took(&b, worn[i], MC_CALIPER, &row, 1);
        const mc_tooth_score *t = mouth_tooth(&b.m, 12);
        assert_near(t->relative[MC_STEP_TO_DISTAL].read, 0.4, 0);
        assert_true(isnan(t->relative[MC_STEP_TO_DISTAL].baseline));
        assert_true(isnan(t->relative[MC_STEP_TO_DISTAL].should_read));
        assert_false(t->item[MC_BUCCAL].read || t->item[MC_BUCCAL].followed);
        assert_int_equal(t->state, MC_STATE_UNMEASURED);
        assert_near(mc_tracker_last_read(b.m.tracker, row.tooth, MC_STEP_TO_DISTAL), 0.4, 0);
    }
    assert_true(isnan(mc_tracker_baseline(b.m.tracker, row.tooth, MC_STEP_TO_DISTAL)));
    bench_free(&b);
}

/* 13 is missing: 12 is read against 14, and once 13 stands in its place, it is another. */
static void another_neighbour(void **state) {
    (void)state;
    bench b = bench_new(10, true);
    mc_tooth tooth = mc_tooth_from_iso(12), third = mc_tooth_from_iso(13);
    b.m.states[third] = MC_TOOTH_UNERUPTED;
    mc_reading row = against(12, MC_SPACE_TO_DISTAL, 7.5);
    took(&b, 0, MC_SCAN, &row, 1);
    assert_int_equal(mouth_tooth(&b.m, 12)->relative[MC_SPACE_TO_DISTAL].neighbour,
                     mc_tooth_from_iso(14));
    took(&b, STAGES, MC_SCAN, &row, 1); /* 14 stays: 8.1 by plan */
    assert_near(mouth_tooth(&b.m, 12)->relative[MC_SPACE_TO_DISTAL].should_read, 8.1, 1e-12);
    assert_near(mouth_tooth(&b.m, 12)->item[MC_MESIAL].observed, 0, 1e-12);
    b.m.states[third] = MC_TOOTH_PRESENT;
    assert_true(
        isnan(mc_tracker_should_read(b.m.tracker, tooth, MC_SPACE_TO_DISTAL, b.m.states, STAGES)));
    row.relative[MC_SPACE_TO_DISTAL] = 0.3;
    took(&b, STAGES, MC_SCAN, &row, 1);
    const mc_tooth_score *t = mouth_tooth(&b.m, 12);
    assert_near(t->relative[MC_SPACE_TO_DISTAL].read, 0.3, 0);
    assert_true(isnan(t->relative[MC_SPACE_TO_DISTAL].baseline));
    assert_int_equal(t->relative[MC_SPACE_TO_DISTAL].neighbour, third);
    assert_false(t->item[MC_MESIAL].read);
    b.m.states[third] = MC_TOOTH_MISSING;
    took(&b, STAGES, MC_SCAN, &row, 1);
    assert_true(mouth_tooth(&b.m, 12)->item[MC_MESIAL].read);
    bench_free(&b);
}

/* Nobody stands distal any more, whatever was read there: it is kept. */
static void no_neighbour_left(void **state) {
    (void)state;
    bench b = bench_new(10, false);
    mc_reading row = against(17, MC_SPACE_TO_DISTAL, 0.2);
    took(&b, 0, MC_CALIPER, &row, 1);
    took(&b, STAGES, MC_CALIPER, &row, 1);
    const mc_tooth_score *t = mouth_tooth(&b.m, 17);
    assert_near(t->relative[MC_SPACE_TO_DISTAL].read, 0.2, 0);
    assert_int_equal(t->relative[MC_SPACE_TO_DISTAL].neighbour, MC_NO_TOOTH);
    assert_true(isnan(t->relative[MC_SPACE_TO_DISTAL].baseline));
    assert_false(t->item[MC_MESIAL].read);
    bench_free(&b);
}

/* The plan wants 12 to go 0.6 mm through a space of 0.1 mm toward 11, which goes 0.2: they touch,
 * and then a space of 0 is all there can be, wherever the tooth is. */
static void a_space_is_never_below_0(void **state) {
    (void)state;
    bench b = bench_new(10, false);
    mc_reading row = against(12, MC_SPACE_TO_MESIAL, 0.1);
    took(&b, 0, MC_CALIPER, &row, 1);
    assert_near(
        mc_tracker_should_read(b.m.tracker, row.tooth, MC_SPACE_TO_MESIAL, b.m.states, STAGES), 0,
        0);
    row.relative[MC_SPACE_TO_MESIAL] = 0;
    took(&b, STAGES, MC_CALIPER, &row, 1);
    assert_near(mouth_tooth(&b.m, 12)->relative[MC_SPACE_TO_MESIAL].should_read, 0, 0);
    assert_false(mouth_tooth(&b.m, 12)->item[MC_MESIAL].read);
    bench_free(&b);
}

/* ---- plans and copies ---- */

static void a_plan_has_its_own_baselines(void **state) {
    (void)state;
    bench b = bench_new(10, false);
    mc_start start = {0};
    mc_reading row = against(12, MC_STEP_TO_DISTAL, 0.4);
    mc_tooth tooth = row.tooth;
    took(&b, 0, MC_CALIPER, &row, 1);
    mc_tracker *copy = mc_tracker_copy(b.m.tracker);
    assert_non_null(copy);
    start.variance[tooth][MC_BUCCAL] = 0.04;
    start.variance[mc_tooth_from_iso(13)][MC_BUCCAL] = 0.09;
    mc_tracker_begin(b.m.tracker, b.m.plan, &start);
    assert_true(isnan(mc_tracker_baseline(b.m.tracker, tooth, MC_STEP_TO_DISTAL)));
    assert_true(isnan(mc_tracker_last_read(b.m.tracker, tooth, MC_STEP_TO_DISTAL)));
    assert_near(mc_tracker_baseline(copy, tooth, MC_STEP_TO_DISTAL), 0.4, 0);
    assert_near(mc_tracker_should_read(copy, tooth, MC_STEP_TO_DISTAL, b.m.states, STAGES), 0.7,
                1e-12);
    mc_tracker_free(copy);
    /* where they stood then is known as well as the poses that the plan was made from */
    took(&b, 0, MC_CALIPER, &row, 1);
    mc_reading rows[2] = {against(12, MC_STEP_TO_DISTAL, 0.7), mouth_reading(13, MC_BUCCAL, 0.5)};
    took(&b, STAGES, MC_CALIPER, rows, 2);
    double x, sd;
    assert_true(mc_tracker_estimate(b.m.tracker, mc_tooth_from_iso(13), MC_BUCCAL, &x, &sd));
    assert_near(mouth_tooth(&b.m, 12)->item[MC_BUCCAL].sd,
                sqrt(2 * 0.35 * 0.35 + 0.04 + 0.09 + sd * sd), 1e-3);
    bench_free(&b);
}

/* ---- what cannot be ---- */

static void refuses(bench *b, int aligner, const mc_reading *rows, const char *words) {
    mc_error error = {0};
    mc_score before = *b->m.score;
    assert_int_equal(take(b, aligner, MC_CALIPER, rows, 2, &error), MC_REFUSED);
    assert_int_equal(error.line, 2);
    if (!strstr(error.text, words))
        fail_msg("%s", error.text);
    mc_tracker_score(b->m.tracker, b->m.states, b->m.score);
    assert_same_score(&before, b->m.score, false, 0);
}

static void what_cannot_be(void **state) {
    (void)state;
    static const struct {
        int iso;
        mc_relative what;
        double read;
        const char *words;
    } wrong[] = {{12, MC_SPACE_TO_MESIAL, -0.01, "12: a space is not below 0"},
                 {12, MC_SPACE_TO_DISTAL, 20.01, "cannot be"},
                 {12, MC_STEP_TO_MESIAL, -20.01, "cannot be"},
                 {12, MC_HEIGHT_TO_DISTAL, INFINITY, "cannot be"},
                 {12, MC_SPACE_TO_MESIAL, -INFINITY, "cannot be"},
                 {12, MC_CROWN_ANGLE, 180.1, "cannot be"},
                 {12, MC_CROWN_ANGLE, -180.1, "cannot be"},
                 {18, MC_STEP_TO_DISTAL, 0, "18: no neighbour stands on that side"}};
    bench b = bench_new(10, false);
    mc_reading rows[2] = {against(11, MC_STEP_TO_DISTAL, 0.4)};
    took(&b, 0, MC_CALIPER, rows, 1);
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        rows[1] = against(wrong[i].iso, wrong[i].what, wrong[i].read);
        refuses(&b, STAGES, rows, wrong[i].words);
    }
    rows[0] = against(31, MC_CROWN_ANGLE, 180); /* the lower arch has no series */
    rows[1] = against(12, MC_CROWN_ANGLE, -180);
    refuses(&b, MC_NO_ALIGNER, rows, "12: a position needs the aligner");
    took(&b, STAGES, MC_CALIPER, rows, 2);
    bench_free(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_and_columns),
        cmocka_unit_test(ways),
        cmocka_unit_test(each_by_hand),
        cmocka_unit_test(what_is_not_known_of_the_neighbour_is_added),
        cmocka_unit_test(a_neighbour_read_before),
        cmocka_unit_test(a_mirrored_mouth_says_the_same),
        cmocka_unit_test(across_the_midline),
        cmocka_unit_test(no_order_of_rows_matters),
        cmocka_unit_test(repeated_readings_average),
        cmocka_unit_test(read_first_once_it_has_moved),
        cmocka_unit_test(another_neighbour),
        cmocka_unit_test(no_neighbour_left),
        cmocka_unit_test(a_space_is_never_below_0),
        cmocka_unit_test(a_plan_has_its_own_baselines),
        cmocka_unit_test(what_cannot_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
