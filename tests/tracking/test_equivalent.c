/* The stage whose planned pose is nearest to where a tooth stands, and the lag in stages. Readings
 * are without error, so that the pose is the reading; tolerances are 0.5 mm and 2 deg. */
#include "mouth.h"
#include "near.h"
#include "random.h"

typedef struct {
    int stage;
    mc_pose pose;
} listed;

static mouth mouth_of(const listed *rows, int count) {
    mouth m = mouth_new();
    mouth_read_exactly(&m);
    for (int i = 0; i < count; i++)
        mouth_plan(&m, 11, rows[i].stage, rows[i].pose);
    if (mc_plan_stages(m.plan, MC_UPPER) < 24)
        mouth_plan(&m, 17, 24, (mc_pose){{0.1, 0, 0, 0, 0, 0}}); /* the series has 24 stages */
    mouth_begin(&m);
    return m;
}

static mc_tooth_score score_of(const listed *rows, int count, int aligner, mc_reading r) {
    mouth m = mouth_of(rows, count);
    r.tooth = mc_tooth_from_iso(11);
    mouth_checkup(&m, aligner, MC_SCAN, &r, 1);
    mc_tooth_score score = *mouth_tooth(&m, 11);
    mouth_free(&m);
    return score;
}

/* 11 at x mesially, wearing `aligner`: stage equivalent, lag and distance. */
static void mesial_is(const listed *rows, int count, int aligner, double x, double stage,
                      double lag, double off) {
    mc_tooth_score score = score_of(rows, count, aligner, mouth_reading(11, MC_MESIAL, x));
    if (!(fabs(score.stage_equivalent - stage) <= 1e-9 && fabs(score.lag_stages - lag) <= 1e-9 &&
          fabs(score.off_path - off) <= 1e-9))
        fail_msg("x %g at aligner %d: stage %.12g, lag %.12g, off %.12g; wanted %g, %g, %g", x,
                 aligner, score.stage_equivalent, score.lag_stages, score.off_path, stage, lag,
                 off);
    assert_near(score.lag_stages_low, score.lag_stages, 1e-9); /* SD 0 */
    assert_near(score.lag_stages_high, score.lag_stages, 1e-9);
}

#define MESIAL(value)                                                                              \
    {                                                                                              \
        { value, 0, 0, 0, 0, 0 }                                                                   \
    }

/* 0.1 mm a stage. Behind is positive. */
static void straight(void **state) {
    (void)state;
    const listed rows[] = {{24, MESIAL(2.4)}};
    mesial_is(rows, 1, 12, 0.8, 8, 4, 0);
    mesial_is(rows, 1, 12, 1.5, 15, -3, 0);
    mesial_is(rows, 1, 12, 1.2, 12, 0, 0);
    mesial_is(rows, 1, 12, -0.3, 0, 12, 0.6);  /* 0 may be the nearest, */
    mesial_is(rows, 1, 12, 2.6, 24, -12, 0.4); /* and N */
}

/* Mesial 0.2 and rotation 0.2 tolerances a stage. x stands at 1.6 and 3.0 tolerances: the nearest
 * point of the line has 2.3 in both, stage 11.5, and is (0.7, 0.7) away. Of three components
 * planned only those read count. */
static void components_are_measured_in_tolerances(void **state) {
    (void)state;
    const listed rows[] = {{24, {{2.4, 0, 0, 9.6, 0, 0}}}},
                 three[] = {{24, {{2.4, -3, 0, 9.6, 0, 0}}}};
    mc_reading r = mouth_reading(11, MC_MESIAL, 0.8);
    r.value[MC_ROTATION] = 6;
    mc_tooth_score score = score_of(rows, 1, 12, r);
    assert_near(score.stage_equivalent, 11.5, 1e-9);
    assert_near(score.lag_stages, 0.5, 1e-9);
    assert_near(score.off_path, 0.7 * sqrt(2), 1e-9);
    score = score_of(three, 1, 12, r);
    assert_near(score.stage_equivalent, 11.5, 1e-9);
    assert_near(score.off_path, 0.7 * sqrt(2), 1e-9);
    r.value[MC_ROTATION] = NAN; /* one component read of three */
    score = score_of(three, 1, 12, r);
    assert_near(score.stage_equivalent, 8, 1e-9);
    assert_near(score.off_path, 0, 1e-9);
    r.value[MC_OCCLUSAL] = 0.2; /* a component that is not planned only adds to the distance */
    score = score_of(three, 1, 12, r);
    assert_near(score.stage_equivalent, 8, 1e-9);
    assert_near(score.off_path, 0.4, 1e-9);
}

/* Out to 1.6 mm at stage 8, back at stage 16, then kept. 0.8 is passed at 4 and at 12: the one
 * nearest the aligner's stage counts, of equal ones the lower. */
static void out_and_back(void **state) {
    (void)state;
    const listed rows[] = {{8, MESIAL(1.6)}, {16, MESIAL(0)}};
    mesial_is(rows, 2, 14, 0.8, 12, 2, 0);
    mesial_is(rows, 2, 6, 0.8, 4, 2, 0);
    mesial_is(rows, 2, 9, 0.8, 12, -3, 0);
    mesial_is(rows, 2, 8, 0.8, 4, 4, 0);
    mesial_is(rows, 2, 8, 1.9, 8, 0, 0.6); /* beyond the turn: the turn is nearest */
    /* back at 0: stage 0, and the stretch from 16 on; at 20 the stage in it nearest 20 is 20 */
    mesial_is(rows, 2, 20, 0, 20, 0, 0);
    mesial_is(rows, 2, 14, 0, 16, -2, 0);
    mesial_is(rows, 2, 7, 0, 0, 7, 0);
    mesial_is(rows, 2, 8, 0, 0, 8, 0);
}

/* Up to 1.0 mm at stage 8, down to 0.4 at 12, up to 2.0 at 24. At 1.1 the turn at stage 8 is 0.2
 * tolerances away, the way up passes it exactly at 12 + 0.7 / 1.6 x 12 = 17.25. Within 0.25 of the
 * least distance the turn competes, and is nearest to stage 9; further off it does not. */
static void local_minima_within_a_quarter(void **state) {
    (void)state;
    const listed rows[] = {{8, MESIAL(1.0)}, {12, MESIAL(0.4)}, {24, MESIAL(2.0)}};
    mesial_is(rows, 3, 9, 1.1, 8, 1, 0.2);
    mesial_is(rows, 3, 9, 1.125, 8, 1, 0.25);
    mesial_is(rows, 3, 9, 1.125 + 1e-8, 12 + (0.725 + 1e-8) / 1.6 * 12,
              9 - 12 - (0.725 + 1e-8) / 1.6 * 12, 0);
    mesial_is(rows, 3, 20, 1.1, 17.25, 2.75, 0);
    /* 12.625 is as far from 8 as from 17.25, but no aligner stands there: 12 and 13 tell them
     * apart */
    mesial_is(rows, 3, 12, 1.1, 8, 4, 0.2);
    mesial_is(rows, 3, 13, 1.1, 17.25, -4.25, 0);
    /* at 0.3 stage 12 is 0.2 away, stage 2.4 passes it; the start (0.6 away) is no local minimum */
    mesial_is(rows, 3, 9, 0.3, 12, -3, 0.2);
    mesial_is(rows, 3, 4, 0.3, 2.4, 1.6, 0);
}

/* Nothing before stage 6 and after 18. */
static void still_at_the_ends(void **state) {
    (void)state;
    const listed rows[] = {{6, MESIAL(0)}, {18, MESIAL(2.4)}}; /* 0.2 a stage */
    mesial_is(rows, 2, 12, 0, 6, 6, 0);
    mesial_is(rows, 2, 12, -0.3, 6, 6, 0.6);
    mesial_is(rows, 2, 3, 0, 3, 0, 0);    /* the stage in the stretch nearest the aligner's */
    mesial_is(rows, 2, 3, 0.4, 8, -2, 0); /* 6 to 8 */
    mesial_is(rows, 2, 20, 2.4, 20, 0, 0);
    mesial_is(rows, 2, 20, 2.0, 16, 2, 0); /* 16 to 18 */
    mesial_is(rows, 2, 22, 0.0, 6, 12, 0);
    mesial_is(rows, 2, 22, 3.0, 22, 0, 1.2);
}

/* 0.1 a stage with a rest from 6 to 12. */
static void still_in_the_middle(void **state) {
    (void)state;
    const listed rows[] = {{6, MESIAL(0.6)}, {12, MESIAL(0.6)}, {18, MESIAL(1.2)}};
    mesial_is(rows, 3, 15, 0.3, 3, 6, 0); /* 3 to 6 and 12 to 15 */
    mesial_is(rows, 3, 15, 0.6, 12, 3, 0);
    mesial_is(rows, 3, 9, 0.6, 9, 0, 0);
    mesial_is(rows, 3, 9, 0.4, 4, 2, 0);
    mesial_is(rows, 3, 9, 0.8, 14, -2, 0);
    mesial_is(rows, 3, 4, 0.9, 15, -5, 0); /* 4 to 6 and 12 to 15 */
}

/* A stretch is still while no component read moves by 0.01 tolerance: 0.005 mm is enough to move.
 */
static void nearly_still(void **state) {
    (void)state;
    const listed less[] = {{6, MESIAL(0.6)}, {12, MESIAL(0.6049)}, {18, MESIAL(1.2)}},
                 more[] = {{6, MESIAL(0.6)}, {12, MESIAL(0.605)}, {18, MESIAL(1.2)}};
    mesial_is(less, 3, 12, 0.3, 3, 3, 0);
    mesial_is(more, 3, 12, 0.3, 3, 9, 0);
    /* still for the mesial alone, not where the rotation is read too */
    const listed two[] = {{6, {{0.6, 0, 0, 6, 0, 0}}}, {12, {{0.6, 0, 0, 12, 0, 0}}}};
    mc_reading r = mouth_reading(11, MC_MESIAL, 0.3);
    assert_near(score_of(two, 2, 12, r).lag_stages, 3, 1e-9);
    r.value[MC_ROTATION] = 3;
    assert_near(score_of(two, 2, 12, r).lag_stages, 9, 1e-9);
    /* little by little, out and back by 0.004 and 0.004: the stretch as a whole stays within 0.01
     */
    const listed waver[] = {{6, MESIAL(0.6)},
                            {8, MESIAL(0.604)},
                            {10, MESIAL(0.6)},
                            {12, MESIAL(0.604)},
                            {18, MESIAL(1.2)}};
    mesial_is(waver, 5, 12, 0.3, 3, 3, 0);
}

/* A slow straight movement is no rest, however finely it is listed: 0.6 mm over 150 stages is 0.008
 * tolerances a stage. */
static void slow_is_not_still(void **state) {
    (void)state;
    listed every[150], beside[150];
    for (int i = 0; i < 150; i++)
        every[i] = beside[i] = (listed){i + 1, MESIAL(0.6 * (i + 1) / 150)};
    mesial_is(&every[149], 1, 100, 0.2, 50, 50, 0);
    mesial_is(every, 150, 100, 0.2, 50, 50, 0);
    for (int i = 0; i < 150; i++) /* a rotation that goes to and fro, unread, is no corner */
        beside[i].pose.c[MC_ROTATION] = i % 2;
    mesial_is(beside, 150, 100, 0.2, 50, 50, 0);
}

/* Null where the planned pose over what is read never gets one tolerance from stage 0. */
static void needs_one_tolerance(void **state) {
    (void)state;
    const listed little[] = {{12, MESIAL(0.5 - 2e-9)}, {24, MESIAL(0)}},
                 enough[] = {{12, MESIAL(-0.5)}, {24, MESIAL(0)}},
                 both[] = {{24, {{0.4, 0, 0, 1.2, 0, 0}}}}; /* 0.8 and 0.6: 1 */
    mc_reading r = mouth_reading(11, MC_MESIAL, 0.2);
    mc_tooth_score score = score_of(little, 2, 12, r);
    assert_true(isnan(score.stage_equivalent) && isnan(score.lag_stages) && isnan(score.off_path));
    assert_true(isnan(score.lag_stages_low) && isnan(score.lag_stages_high));
    assert_false(isnan(score_of(enough, 2, 12, r).lag_stages));
    assert_true(isnan(score_of(both, 1, 12, r).lag_stages));
    r.value[MC_ROTATION] = 0.6;
    score = score_of(both, 1, 12, r); /* half of both: exactly on the way, at stage 12 */
    assert_near(score.stage_equivalent, 12, 1e-9);
    assert_near(score.lag_stages, 0, 1e-9);
    r = mc_reading_none(0);
    r.seat_gap = 0.2;
    assert_true(isnan(score_of(enough, 2, 12, r).lag_stages));
}

/* One SD either way along the leg: on a straight plan the lag changes by SD / 0.1 stages. */
static void low_and_high(void **state) {
    (void)state;
    for (int side = -1; side <= 1; side += 2) {
        const listed rows[] = {{24, MESIAL(side * 2.4)}};
        mouth m = mouth_of(rows, 1);
        mc_reading r = mouth_reading(11, MC_MESIAL, side * 0.7);
        mouth_checkup(&m, 12, MC_CALIPER, &r, 1);
        const mc_tooth_score *score = mouth_tooth(&m, 11);
        const mc_item *item = &score->item[MC_MESIAL];
        assert_true(item->sd_x > 0.1 && item->sd_x < 0.35);
        assert_near(score->lag_stages, 12 - fabs(item->mean) / 0.1, 1e-9);
        assert_near(score->lag_stages_low, score->lag_stages - item->sd_x / 0.1, 1e-9);
        assert_near(score->lag_stages_high, score->lag_stages + item->sd_x / 0.1, 1e-9);
        mouth_free(&m);
    }
}

/* ---- by brute force ---- */

enum { GRID = 64, LAST = 24, POINTS = LAST * GRID + 1, DRAWN = 600 };

/* The way of a plan, sampled. Still pieces have no way at all on these plans; others move by at
 * least 0.1 tolerance. */
typedef struct {
    double distance[POINTS]; /* to x, in tolerances */
    bool still[POINTS];      /* from this point to the next nothing read moves */
} sampled;

static sampled *sample(const mouth *m, const mc_reading *r) {
    sampled *s = calloc(1, sizeof *s);
    assert_non_null(s);
    mc_pose before = {{0}};
    for (int i = 0; i < POINTS; i++) {
        mc_pose at = mc_plan_pose(m->plan, r->tooth, (double)i / GRID);
        double sum = 0, moved = 0;
        for (int c = 0; c < MC_COMPONENTS; c++)
            if (!isnan(r->value[c])) {
                double tau = mc_component_is_linear((mc_component)c) ? 0.5 : 2;
                sum += pow((at.c[c] - r->value[c]) / tau, 2);
                moved += fabs(at.c[c] - before.c[c]) / tau;
            }
        s->distance[i] = sqrt(sum);
        if (i > 0)
            s->still[i - 1] = moved < 1e-9;
        before = at;
    }
    return s;
}

/* The local minimum that ends or lies at point i, as a stretch from..i of points: whether the
 * distance rises on both sides of the stretch. */
static bool lowest_from(const sampled *s, int i, int *from) {
    *from = i;
    if (i + 1 < POINTS && s->still[i])
        return false; /* counted at the end of its stretch */
    while (*from > 0 && s->still[*from - 1])
        --*from;
    return (*from == 0 || s->distance[*from - 1] >= s->distance[i]) &&
           (i + 1 == POINTS || s->distance[i + 1] >= s->distance[i]);
}

typedef struct {
    double stage, off, lag;
    bool clear; /* no other candidate so near in rank that sampling could mistake it */
} answer;

static double moving_between(const sampled *s, double a, double b) {
    double length = 0;
    for (int i = 0; i + 1 < POINTS; i++) {
        double low = fmax(a, (double)i / GRID), high = fmin(b, (double)(i + 1) / GRID);
        if (!s->still[i] && high > low)
            length += high - low;
    }
    return length;
}

static answer brute_force(const sampled *s, double stage) {
    answer best = {.clear = true};
    double least = INFINITY, away = INFINITY;
    int from;
    for (int i = 0; i < POINTS; i++)
        least = fmin(least, s->distance[i]);
    for (int i = 0; i < POINTS; i++) {
        if (!lowest_from(s, i, &from))
            continue;
        double beyond = s->distance[i] - least - 0.25;
        double at = fmin(fmax(stage, (double)from / GRID), (double)i / GRID);
        if (fabs(beyond) < 0.02)
            best.clear = false;
        if (beyond > 0)
            continue;
        if (fabs(fabs(at - stage) - away) < 3.0 / GRID && fabs(at - best.stage) > 3.0 / GRID)
            best.clear = false;
        if (fabs(at - stage) < away) {
            away = fabs(at - stage);
            best.stage = at;
            best.off = s->distance[i];
        }
    }
    best.lag = best.stage <= stage ? moving_between(s, best.stage, stage)
                                   : -moving_between(s, stage, best.stage);
    return best;
}

/* A plan of up to six pieces over up to three components, some of them still, and a pose near it.
 */
static void draw(random_source *random, mouth *m, mc_reading *r) {
    const mc_component used[3] = {MC_MESIAL, MC_OCCLUSAL, MC_ROTATION};
    int components = 1 + random_below(random, 3), stage = 0;
    mc_pose pose = {{0}};
    *m = mouth_new();
    mouth_read_exactly(m);
    while (stage < LAST) {
        stage += 2 + random_below(random, 6);
        stage = stage > LAST ? LAST : stage;
        if (random_unit(random) < 0.75)
            for (int i = 0; i < components; i++) {
                double tau = mc_component_is_linear(used[i]) ? 0.5 : 2;
                double way = random_between(random, 0.1, 2) * tau;
                pose.c[used[i]] += random_unit(random) < 0.65 ? way : -way;
            }
        mouth_plan(m, 11, stage, pose);
    }
    mouth_begin(m);
    double s = random_between(random, 0, LAST);
    *r = mc_reading_none(mc_tooth_from_iso(11));
    for (int i = 0; i < components; i++) {
        double tau = mc_component_is_linear(used[i]) ? 0.5 : 2;
        r->value[used[i]] =
            mc_plan_at(m->plan, r->tooth, used[i], s) + 0.5 * tau * random_normal(random);
    }
}

static void agrees_with_brute_force(void **state) {
    (void)state;
    random_source random = random_seed(6);
    int compared = 0, null = 0;
    for (int n = 0; n < DRAWN; n++) {
        mouth m;
        mc_reading r;
        draw(&random, &m, &r);
        int aligner = 1 + random_below(&random, LAST);
        mouth_checkup(&m, aligner, MC_SCAN, &r, 1);
        const mc_tooth_score *score = mouth_tooth(&m, 11);
        if (isnan(score->stage_equivalent)) {
            null++;
        } else {
            sampled *s = sample(&m, &r);
            answer want = brute_force(s, aligner);
            free(s);
            if (want.clear) {
                compared++;
                assert_near(score->stage_equivalent, want.stage, 1.0 / GRID);
                assert_near(score->lag_stages, want.lag, 1.0 / GRID);
                assert_near(score->off_path, want.off, 0.02);
                assert_true(score->off_path <= want.off + 1e-9);
            }
        }
        mouth_free(&m);
    }
    print_message("%d of %d poses compared, %d without a stage equivalent\n", compared, DRAWN,
                  null);
    assert_true(compared > DRAWN * 3 / 4);
    assert_true(null < DRAWN / 10);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(straight),
        cmocka_unit_test(components_are_measured_in_tolerances),
        cmocka_unit_test(out_and_back),
        cmocka_unit_test(local_minima_within_a_quarter),
        cmocka_unit_test(still_at_the_ends),
        cmocka_unit_test(still_in_the_middle),
        cmocka_unit_test(nearly_still),
        cmocka_unit_test(slow_is_not_still),
        cmocka_unit_test(needs_one_tolerance),
        cmocka_unit_test(low_and_high),
        cmocka_unit_test(agrees_with_brute_force),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
