/* What must not matter to a score, and what must not be taken in. */
#include "mouth.h"
#include "near.h"
#include "random_mouth.h"
#include "same_score.h"

static const int WORN[] = {3, 7, 7, 12, 10, 17, 24}; /* the same again, and gone back once */
enum { CHECKUPS = 7 };

/* ---- the order of rows ---- */

static void shuffle(random_source *random, mc_reading *rows, size_t count) {
    for (size_t i = count; i > 1; i--) {
        size_t j = (size_t)random_below(random, (int)i);
        mc_reading kept = rows[i - 1];
        rows[i - 1] = rows[j];
        rows[j] = kept;
    }
}

static void the_order_of_rows_does_not_matter(void **state) {
    (void)state;
    random_source random = random_seed(11);
    for (int n = 0; n < 5; n++) {
        random_source same = random_seed(100 + (uint64_t)n), again = same;
        mouth a = mouth_new(), b = mouth_new();
        draw_plan(&same, &a);
        draw_plan(&again, &b);
        mouth_begin(&a);
        mouth_begin(&b);
        for (int k = 0; k < CHECKUPS; k++) {
            mc_reading rows[DRAWN_ROWS];
            size_t count = draw_rows(&same, &a, WORN[k], rows);
            mouth_checkup(&a, WORN[k], MC_CALIPER, rows, count);
            shuffle(&random, rows, count);
            mouth_checkup(&b, WORN[k], MC_CALIPER, rows, count);
            assert_same_score(a.score, b.score, false, 1e-11);
        }
        mouth_free(&a);
        mouth_free(&b);
    }
}

/* ---- the mirror ---- */

static void mirror_plan(const mouth *from, mouth *to) {
    for (size_t i = 0; i < mc_plan_count(from->plan); i++) {
        mc_plan_row row = *mc_plan_row_at(from->plan, i);
        mouth_plan(to, mc_tooth_iso(mc_tooth_mirror(row.tooth)), row.stage, row.pose);
    }
}

static void a_mirrored_mouth_has_a_mirrored_score(void **state) {
    (void)state;
    random_source random = random_seed(12);
    mouth a = mouth_new(), b = mouth_new();
    draw_plan(&random, &a);
    mirror_plan(&a, &b);
    mouth_begin(&a);
    mouth_begin(&b);
    for (int k = 0; k < CHECKUPS; k++) {
        mc_reading rows[DRAWN_ROWS];
        size_t count = draw_rows(&random, &a, WORN[k], rows);
        mouth_checkup(&a, WORN[k], MC_CALIPER, rows, count);
        for (size_t i = 0; i < count; i++)
            rows[i].tooth = mc_tooth_mirror(rows[i].tooth);
        mouth_checkup(&b, WORN[k], MC_CALIPER, rows, count);
        assert_same_score(a.score, b.score, true, 1e-11);
    }
    mouth_free(&a);
    mouth_free(&b);
}

/* ---- how finely a plan is listed ---- */

/* The same plan, every stage of every tooth listed. */
static void list_every_stage(const mouth *from, mouth *to) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_plan_row *row;
        size_t count = mc_plan_tooth_rows(from->plan, t, &row);
        for (int stage = 0; count > 0 && stage <= row[count - 1].stage; stage++)
            mouth_plan(to, mc_tooth_iso(t), stage, mc_plan_pose(from->plan, t, stage));
    }
}

static void listing_every_stage_changes_nothing(void **state) {
    (void)state;
    for (int n = 0; n < 5; n++) {
        random_source random = random_seed(200 + (uint64_t)n);
        mouth a = mouth_new(), b = mouth_new();
        draw_plan(&random, &a);
        list_every_stage(&a, &b);
        mouth_begin(&a);
        mouth_begin(&b);
        for (int k = 0; k < CHECKUPS; k++) {
            mc_reading rows[DRAWN_ROWS];
            size_t count = draw_rows(&random, &a, WORN[k], rows);
            mouth_checkup_on(&a, WORN[k], 1 + k % 4, MC_CALIPER, rows, count);
            mouth_checkup_on(&b, WORN[k], 1 + k % 4, MC_CALIPER, rows, count);
            assert_same_score(a.score, b.score, false, 1e-8);
        }
        mouth_free(&a);
        mouth_free(&b);
    }
}

/* ---- no stage passed, nothing read ---- */

/* Two check-ups at one stage know what one check-up with both readings knows. */
static void no_stage_passed_adds_no_noise(void **state) {
    (void)state;
    mouth a = mouth_new(), b = mouth_new();
    mouth_plan(&a, 11, 24, (mc_pose){{2.4, 0, 0, 12, 0, 0}});
    mouth_plan(&b, 11, 24, (mc_pose){{2.4, 0, 0, 12, 0, 0}});
    mouth_begin(&a);
    mouth_begin(&b);
    mc_reading r[2] = {mouth_reading(11, MC_MESIAL, 0.4), mouth_reading(11, MC_MESIAL, 0.9)};
    r[0].value[MC_ROTATION] = 3;
    r[1].value[MC_BUCCAL] = r[0].value[MC_BUCCAL] = 0.2;
    mouth_checkup(&a, 9, MC_CALIPER, &r[0], 1);
    mouth_checkup(&a, 9, MC_CALIPER, &r[1], 1);
    mouth_checkup(&b, 9, MC_CALIPER, r, 2);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *x = &mouth_tooth(&a, 11)->item[c], *y = &mouth_tooth(&b, 11)->item[c];
        assert_true(same_number(x->mean, y->mean, 1e-12) && same_number(x->sd_x, y->sd_x, 1e-12));
    }
    assert_near(a.score->pace_mean, b.score->pace_mean, 1e-12);
    assert_near(a.score->pace_sd, b.score->pace_sd, 1e-12);
    /* at stage 0 nothing has moved: x is 0, whatever is read */
    mouth c = mouth_new();
    mouth_plan(&c, 11, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
    mouth_begin(&c);
    mouth_checkup(&c, 0, MC_SCAN, &r[1], 1);
    assert_near(mouth_tooth(&c, 11)->item[MC_MESIAL].mean, 0, 0);
    assert_near(mouth_tooth(&c, 11)->item[MC_MESIAL].sd_x, 0, 0);
    assert_near(mouth_tooth(&c, 11)->item[MC_MESIAL].p, 0, 0); /* SD 0 and not off */
    assert_near(c.score->pace_sd, 0.2, 1e-15);
    mouth_free(&a);
    mouth_free(&b);
    mouth_free(&c);
}

/* A check-up without a row leaves everything unmeasured and what is known as it was. */
static void an_empty_checkup(void **state) {
    (void)state;
    random_source random = random_seed(13), again = random;
    mouth a = mouth_new(), b = mouth_new();
    draw_plan(&random, &a);
    draw_plan(&again, &b);
    mouth_begin(&a);
    mouth_begin(&b);
    mc_reading rows[DRAWN_ROWS];
    size_t count = draw_rows(&random, &a, 6, rows);
    mouth_checkup(&a, 6, MC_CALIPER, rows, count);
    mouth_checkup(&b, 6, MC_CALIPER, rows, count);
    double mean = a.score->pace_mean;
    mc_score *score = mouth_checkup(&a, 9, MC_CALIPER, NULL, 0);
    assert_int_equal(score->count[MC_STATE_UNMEASURED], 28);
    assert_int_equal(score->measured, 0);
    assert_int_equal(score->worst, MC_NO_TOOTH);
    assert_true(isnan(score->lag_index));
    assert_near(score->pace_mean, mean, 0);
    b.number++;
    count = draw_rows(&random, &a, 12, rows);
    mouth_checkup(&a, 12, MC_CALIPER, rows, count);
    mouth_checkup(&b, 12, MC_CALIPER, rows, count);
    assert_same_score(a.score, b.score, false, 0);
    mouth_free(&a);
    mouth_free(&b);
}

/* Before the first check-up of a plan, and of a corrected one, nothing is read. */
static void a_plan_begins_unread(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 11, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
    mouth_begin(&m);
    for (int round = 0; round < 2; round++) {
        mc_tracker_score(m.tracker, m.states, m.score);
        assert_int_equal(m.score->count[MC_STATE_UNMEASURED], 28);
        assert_int_equal(m.score->aligner[MC_UPPER], MC_NO_ALIGNER);
        assert_true(isnan(m.score->effective_stage[MC_UPPER]) && isnan(m.score->wear_hours));
        assert_true(isnan(mouth_tooth(&m, 11)->seat_gap));
        assert_int_equal(mouth_tooth(&m, 11)->mobility, -1);
        assert_false(mouth_tooth(&m, 11)->item[MC_MESIAL].followed);
        mc_reading r = mouth_reading(11, MC_MESIAL, 0.1);
        r.seat_gap = 0.7;
        r.mobility = 2;
        mouth_checkup(&m, 12, MC_CALIPER, &r, 1);
        assert_int_equal(mouth_tooth(&m, 11)->state, MC_STATE_BEHIND);
        mc_tracker_begin(m.tracker, m.plan, NULL);
    }
    mouth_free(&m);
}

/* An arch without a series takes no part; nor does one at which nobody looked today. */
static void missing_arches(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 41, 10, (mc_pose){{1, 0, 0, 0, 0, 0}});
    mouth_begin(&m);
    mc_reading r = mouth_reading(41, MC_MESIAL, 0.3);
    mc_score *score = mouth_checkup(&m, 5, MC_SCAN, &r, 1);
    assert_true(isnan(score->effective_stage[MC_UPPER]));
    assert_near(score->effective_stage[MC_LOWER], 5, 0);
    assert_int_equal(score->stages[MC_UPPER], 0);
    assert_int_equal(score->measured, 1);
    double mean = mouth_tooth(&m, 41)->item[MC_MESIAL].mean;
    mc_error error;
    mc_checkup none = {.number = ++m.number,
                       .aligner = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                       .wear_hours = NAN,
                       .method = MC_EYE};
    assert_int_equal(mc_tracker_add(m.tracker, &none, &error), MC_OK);
    mc_tracker_score(m.tracker, m.states, m.score);
    assert_true(isnan(m.score->effective_stage[MC_LOWER]));
    assert_int_equal(m.score->count[MC_STATE_UNMEASURED], 28);
    assert_near(mouth_tooth(&m, 41)->item[MC_MESIAL].mean, mean, 0); /* where it was last seen */
    mouth_free(&m);
}

/* In an arch without a series a tooth can still have moved by itself. By hand: x starts with
 * variance 0.25 (one tolerance of 0.5 mm), the caliper's is 0.1225, so K = 0.25 / 0.3725 =
 * 0.671141; 1.5 mm read gives x = 1.006711 with variance 0.25 (1 - K) = 0.082215, 1.767 SD beyond
 * the tolerance: drifting. 0.3 mm gives x = 0.201342: on plan. */
static void no_series_but_a_reading(void **state) {
    (void)state;
    const double read[] = {1.5, 0.3};
    for (int i = 0; i < 2; i++) {
        mouth m = mouth_new();
        mouth_plan(&m, 41, 10, (mc_pose){{1, 0, 0, 0, 0, 0}});
        mouth_begin(&m);
        mc_reading r = mouth_reading(11, MC_MESIAL, read[i]);
        mouth_checkup(&m, 5, MC_CALIPER, &r, 1);
        const mc_tooth_score *t = mouth_tooth(&m, 11);
        assert_near(t->item[MC_MESIAL].mean, read[i] * 0.25 / 0.3725, 1e-12);
        assert_near(t->item[MC_MESIAL].sd_x, sqrt(0.25 * 0.1225 / 0.3725), 1e-12);
        assert_int_equal(t->state, i == 0 ? MC_STATE_DRIFTING : MC_STATE_ON_PLAN);
        mouth_free(&m);
    }
}

/* Not read today but followed: it is carried to where the arch stands, so that what was planned
 * since does not count as its shortfall. At its last reading, stage 6, x was read without error:
 * 0.6 of 0.6; at stage 12 its rate r has mean and x = 0.6 + 0.6 r. */
static void what_is_not_read_today_goes_on(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_read_exactly(&m);
    mouth_plan(&m, 11, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
    mouth_begin(&m);
    mc_reading r = mouth_reading(11, MC_MESIAL, 0.6), other = mouth_reading(11, MC_BUCCAL, 0);
    mouth_checkup(&m, 6, MC_SCAN, &r, 1);
    mouth_checkup(&m, 12, MC_SCAN, &other, 1);
    const mc_item *item = &mouth_tooth(&m, 11)->item[MC_MESIAL];
    assert_true(item->followed && !item->read);
    assert_int_equal(item->kind, MC_KIND_NONE);
    assert_true(isnan(item->index) && isnan(item->p) && isnan(item->observed));
    assert_true(item->mean > 0.6 + 0.6 * 0.9 && item->mean < 0.6 + 0.6);
    assert_near(item->shortfall, 1.2 - item->mean, 1e-12);
    assert_true(item->sd_x > 0.02);
    mouth_free(&m);
}

/* ---- refusals ---- */

/* The check-up is refused, saying row (0: none) and tooth (0: none), and nothing has changed: the
 * score is the same, and so is the next one of a twin that was never asked. */
static void refused(mc_checkup bad, long row, int iso) {
    mc_reading good[2] = {mouth_reading(11, MC_MESIAL, 0.4), mouth_reading(16, MC_ROTATION, 3)};
    good[1].seat_gap = 0.6;
    mouth m = mouth_new(), twin = mouth_new();
    mouth *both[2] = {&m, &twin};
    for (int i = 0; i < 2; i++) {
        mouth_plan(both[i], 11, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
        mouth_plan(both[i], 16, 8, (mc_pose){{0}});
        mouth_plan(both[i], 16, 20, (mc_pose){{0, 0, 0, 12, 0, 0}});
        mouth_plan(both[i], 31, 10, (mc_pose){{0, 1, 0, 0, 0, 0}});
        mouth_begin(both[i]);
        mouth_checkup(both[i], 6, MC_CALIPER, good, 2);
    }
    mc_error error = {.text = ""};
    assert_int_equal(mc_tracker_add(m.tracker, &bad, &error), MC_REFUSED);
    assert_int_equal(mc_tracker_add(m.tracker, &bad, NULL), MC_REFUSED);
    assert_int_equal(error.line, row);
    char number[12];
    snprintf(number, sizeof number, "%d", iso);
    if (iso && !strstr(error.text, number))
        fail_msg("\"%s\" does not name %d", error.text, iso);
    assert_true(strlen(error.text) > 10);
    mc_tracker_score(m.tracker, m.states, m.score);
    assert_same_score(m.score, twin.score, false, 0);
    for (int i = 0; i < 2; i++)
        mouth_checkup(both[i], 10, MC_CALIPER, good, 2);
    assert_same_score(m.score, twin.score, false, 0);
    mouth_free(&m);
    mouth_free(&twin);
}

static mc_checkup checkup_of(const mc_reading *rows, size_t count) {
    return (mc_checkup){.number = 2,
                        .date = 20100,
                        .aligner = {8, MC_NO_ALIGNER},
                        .day = {-1, -1},
                        .wear_hours = NAN,
                        .method = MC_CALIPER,
                        .rows = rows,
                        .count = count};
}

/* The second of two rows is wrong. */
static void refused_row(mc_reading r) {
    mc_reading rows[2] = {mouth_reading(11, MC_MESIAL, 0.5), r};
    refused(checkup_of(rows, 2), 2, mc_tooth_iso(r.tooth));
}

static void aligners_that_cannot_be(void **state) {
    (void)state;
    mc_checkup c = checkup_of(NULL, 0);
    c.aligner[MC_UPPER] = 25;
    refused(c, 0, 25);
    c.aligner[MC_UPPER] = -2;
    refused(c, 0, 0);
    c.aligner[MC_UPPER] = 8;
    c.aligner[MC_LOWER] = 11;
    refused(c, 0, 11);
}

static void checkups_that_cannot_be(void **state) {
    (void)state;
    mc_checkup c = checkup_of(NULL, 0);
    c.wear_hours = 24.5;
    refused(c, 0, 0);
    c.wear_hours = -1;
    refused(c, 0, 0);
    c = checkup_of(NULL, 0);
    c.method = MC_METHODS;
    refused(c, 0, 0);
}

static void readings_without_an_aligner(void **state) {
    (void)state;
    refused_row(mouth_reading(31, MC_BUCCAL, 0.2));
    mc_reading r = mc_reading_none(mc_tooth_from_iso(45));
    r.seat_gap = 0.3;
    refused_row(r);
}

/* 16 has no leg before stage 8, and none mesially ever. */
static void short_of_a_plan_that_has_not_begun(void **state) {
    (void)state;
    mc_reading r = mouth_reading(16, MC_ROTATION, 1);
    r.short_of_plan[MC_ROTATION] = true;
    refused_row(r);
    r = mouth_reading(16, MC_MESIAL, 0.2);
    r.short_of_plan[MC_MESIAL] = true;
    refused_row(r);
}

static void values_that_cannot_be(void **state) {
    (void)state;
    const double mm[] = {20.01, -20.01, INFINITY, -INFINITY}, deg[] = {90.01, -90.01, INFINITY},
                 gap[] = {-0.01, 5.01, INFINITY};
    for (int i = 0; i < 4; i++)
        refused_row(mouth_reading(11, MC_OCCLUSAL, mm[i]));
    for (int i = 0; i < 3; i++)
        refused_row(mouth_reading(12, MC_INCLINATION, deg[i]));
    for (int i = 0; i < 3; i++) {
        mc_reading r = mc_reading_none(mc_tooth_from_iso(13));
        r.seat_gap = gap[i];
        refused_row(r);
    }
    mc_reading r = mc_reading_none(mc_tooth_from_iso(13));
    r.mobility = 4;
    refused_row(r);
    r.mobility = -2;
    refused_row(r);
    r = mc_reading_none(mc_tooth_from_iso(13));
    r.method = MC_METHODS;
    refused_row(r);
    r.method = -2;
    refused_row(r);
    r = mc_reading_none(mc_tooth_from_iso(13));
    r.recession = -0.5;
    refused_row(r);
    r.recession = INFINITY;
    refused_row(r);
    r = mc_reading_none(MC_TEETH);
    refused_row(r);
    r = mc_reading_none(MC_NO_TOOTH);
    refused_row(r);
}

/* What lies just inside is taken in. */
static void the_edges_are_taken(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 11, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
    mouth_begin(&m);
    mc_reading rows[4] = {mouth_reading(11, MC_MESIAL, 20), mouth_reading(12, MC_ROTATION, -90),
                          mc_reading_none(mc_tooth_from_iso(13)),
                          mc_reading_none(mc_tooth_from_iso(36))};
    rows[2].seat_gap = 5;
    rows[3].mobility = 3; /* a finding needs no aligner */
    mouth_checkup(&m, 24, MC_EYE, rows, 4);
    assert_int_equal(m.score->measured, 3);
    assert_int_equal(mouth_tooth(&m, 36)->mobility, 3);
    assert_int_equal(mouth_tooth(&m, 11)->mobility, -1);
    assert_true(isnan(mouth_tooth(&m, 11)->recession));
    mouth_checkup(&m, 0, MC_EYE, rows, 1);
    mouth_free(&m);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_order_of_rows_does_not_matter),
        cmocka_unit_test(a_mirrored_mouth_has_a_mirrored_score),
        cmocka_unit_test(listing_every_stage_changes_nothing),
        cmocka_unit_test(no_stage_passed_adds_no_noise),
        cmocka_unit_test(an_empty_checkup),
        cmocka_unit_test(a_plan_begins_unread),
        cmocka_unit_test(missing_arches),
        cmocka_unit_test(no_series_but_a_reading),
        cmocka_unit_test(what_is_not_read_today_goes_on),
        cmocka_unit_test(aligners_that_cannot_be),
        cmocka_unit_test(checkups_that_cannot_be),
        cmocka_unit_test(readings_without_an_aligner),
        cmocka_unit_test(short_of_a_plan_that_has_not_begun),
        cmocka_unit_test(values_that_cannot_be),
        cmocka_unit_test(the_edges_are_taken),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
