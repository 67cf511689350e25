/* The forecast worked out by hand on small mouths: ends, grip, plans without a way to go, mouths of
 * which nothing is known, and settings at their limits. */
#include "ahead.h"
#include "random_mouth.h"

/* 11 planned 2.4 mm mesially in 24 stages, read by the scan without error. */
static mouth straight(double mm, int stages) {
    mouth m = mouth_new();
    mouth_read_exactly(&m);
    mouth_plan(&m, 11, stages, (mc_pose){{mm, 0, 0, 0, 0, 0}});
    mouth_begin(&m);
    return m;
}

/* One check-up in which one tooth is read. */
static void read_once(mouth *m, int aligner, mc_reading r) {
    mouth_checkup(m, aligner, MC_SCAN, &r, 1);
}

static bool has_grip(const mouth *m, int iso) {
    bool grip[MC_TEETH];
    mc_tracker_grip(m->tracker, grip);
    return grip[mc_tooth_from_iso(iso)];
}

/* ---- one component ---- */

/* Stage 6, way 0.6 mm, mu = (73.6 + 59 + 50) / 300. Before the reading
 *   C11 = 0.36 x 0.04 + 0.01^2 x 6 + 0.01^2 x 6 + 0.025^2 x 0.01 x 216 / 3 = 0.01605
 *   C21 = 0.6 x 0.04 + 0.025^2 x 0.1 x 36 / 2 = 0.025125     C22 = 0.04 + 0.025^2 x 6 = 0.04375
 * 0.6 mm read is 0.2348 more than 0.3652; h = 0.6, so the pace is
 *   (0.6 x 0.2348 / 0.01605) / (25 + 0.36 / 0.01605) = 8.777570 / 47.429907 = 0.185064
 * and with K2 = C21 / C11 = 1.565421 the rate
 *   0.608667 + 1.565421 x 0.2348 + (1 - 1.565421 x 0.6) x 0.185064 = 0.987470
 * so that 1.8 mm more planned bring 1.777445, and a third of that 0.592482. */
static void one_component_by_hand(void **state) {
    (void)state;
    mouth m = straight(2.4, 24);
    read_once(&m, 6, mouth_reading(11, MC_MESIAL, 0.6));
    mc_forecast f = mouth_forecast(&m);
    assert_forecast(&f, m.states);
    const mc_component_forecast *c = end_of(&f, 11, MC_MESIAL);
    assert_near(f.pace_mean, 0.18506403940886687, 1e-12);
    assert_near(f.pace_sd, 0.14520242367937433, 1e-12);
    assert_near(c->mean, 0.6, 1e-12);
    assert_near(c->sd, 0, 1e-12);
    assert_near(c->expected, 182.6 / 300, 1e-15);
    assert_near(c->rate, 0.9874696223316911, 1e-12);
    assert_near(c->rate_sd, 0.06705679160601566, 1e-12);
    assert_near(c->planned, 2.4, 0);
    assert_near(c->end, 0.6 + 1.8 * 0.9874696223316911, 1e-12);
    assert_near(c->end_sd, 0.1741235971762474, 1e-12);
    assert_near(c->high - c->end, 1.6448536269514722 * c->end_sd, 1e-12);
    assert_near(c->end - c->low, 1.6448536269514722 * c->end_sd, 1e-12);
    assert_near(c->p_out, 1.2058232931819487e-08, 1e-15);
    assert_near(c->p_behind, 0, 0); /* where it should be, without error */
    mouth_free(&m);
}

/* The same without grip: a third of the way, v = 1/30 mm a stage, in position and noise alike. */
static void a_third_without_grip(void **state) {
    (void)state;
    mouth m = straight(2.4, 24);
    mc_reading r = mouth_reading(11, MC_MESIAL, 0.6);
    r.attachment = MC_ATTACHMENT_LOST;
    read_once(&m, 6, r);
    mc_forecast f = mouth_forecast(&m);
    const mc_component_forecast *c = end_of(&f, 11, MC_MESIAL);
    assert_false(f.tooth[mc_tooth_from_iso(11)].grip);
    assert_near(c->end, 0.6 + 0.6 * 0.9874696223316911, 1e-12);
    assert_near(c->end_sd, 0.07048957928784468, 1e-12);
    assert_near(c->p_out, 0.9983797701734695, 1e-12);
    assert_near(c->rate, 0.9874696223316911, 1e-12);    /* it is what it delivers that is lost */
    mc_tracker_forecast(m.tracker, m.states, NULL, &f); /* taken to keep it */
    assert_near(end_of(&f, 11, MC_MESIAL)->end, 0.6 + 1.8 * 0.9874696223316911, 1e-12);
    assert_true(f.tooth[mc_tooth_from_iso(11)].grip);
    mouth_free(&m);
}

static void the_share_without_grip_is_a_setting(void **state) {
    (void)state;
    const double share[] = {0, 0.5, 1};
    for (int i = 0; i < 3; i++) {
        mouth m = mouth_new();
        mouth_read_exactly(&m);
        m.settings.grip_share = share[i];
        mouth_plan(&m, 11, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
        mouth_begin(&m);
        mc_reading r = mouth_reading(11, MC_MESIAL, 0.6);
        r.attachment = MC_ATTACHMENT_LOOSE;
        read_once(&m, 6, r);
        mc_forecast f = mouth_forecast(&m);
        assert_near(end_of(&f, 11, MC_MESIAL)->end, 0.6 + 1.8 * share[i] * 0.9874696223316911,
                    1e-12);
        mouth_free(&m);
    }
}

/* Read at stage 6 and not at 12: it stands at 1.2 planned less what it lacks, and its way to 24 is
 * the same 1.8 mm. The band between is told stage by stage. */
static void not_read_today(void **state) {
    (void)state;
    mouth m = straight(2.4, 24);
    double mean, sd;
    const mc_tooth t = mc_tooth_from_iso(11);
    read_once(&m, 6, mouth_reading(11, MC_MESIAL, 0.6));
    mouth_checkup(&m, 12, MC_SCAN, NULL, 0);
    mc_forecast f = mouth_forecast(&m);
    const mc_component_forecast *c = end_of(&f, 11, MC_MESIAL);
    assert_near(c->mean, 0.6 + 0.6 * 0.9874696223316911, 1e-12);
    assert_near(c->end, 0.6 + 1.8 * 0.9874696223316911, 1e-12);
    assert_near(c->end_sd, 0.1741235971762474, 1e-12);
    assert_true(mc_tracker_ahead(m.tracker, t, MC_MESIAL, true, 24, &mean, &sd));
    assert_near(mean, c->end, 1e-15);
    assert_near(sd, c->end_sd, 1e-15);
    assert_true(mc_tracker_ahead(m.tracker, t, MC_MESIAL, false, 18, &mean, &sd));
    assert_near(mean, 0.6 + 0.8 * 0.9874696223316911, 1e-12); /* 0.6 mm, then a third of 0.6 */
    for (int stage = 0; stage <= 12; stage += 6) {            /* never before the present */
        assert_true(mc_tracker_ahead(m.tracker, t, MC_MESIAL, true, stage, &mean, &sd));
        assert_near(mean, c->mean, 0);
        assert_near(sd, c->sd, 0);
    }
    mean = -7;
    assert_false(mc_tracker_ahead(m.tracker, t, MC_BUCCAL, true, 18, &mean, &sd));
    assert_near(mean, -7, 0);
    mouth_free(&m);
}

/* ---- grip ---- */

static void grip_by_gap_and_attachment(void **state) {
    (void)state;
    static const struct {
        double gap;
        mc_attachment attachment;
        bool keeps;
    } seen[] = {{0, MC_ATTACHMENT_UNSAID, true},          {1.0, MC_ATTACHMENT_UNSAID, true},
                {1.01, MC_ATTACHMENT_UNSAID, false},      {NAN, MC_ATTACHMENT_INTACT, true},
                {1.0, MC_ATTACHMENT_WORN, true},          {NAN, MC_ATTACHMENT_LOOSE, false},
                {0, MC_ATTACHMENT_LOST, false},           {5, MC_ATTACHMENT_INTACT, false},
                {1.0 + 5e-10, MC_ATTACHMENT_UNSAID, true}};
    for (size_t i = 0; i < sizeof seen / sizeof *seen; i++) {
        mouth m = straight(2.4, 24);
        mc_reading r = mc_reading_none(mc_tooth_from_iso(11));
        r.seat_gap = seen[i].gap;
        r.attachment = seen[i].attachment;
        read_once(&m, 6, r);
        assert_int_equal(has_grip(&m, 11), seen[i].keeps);
        assert_true(has_grip(&m, 21)); /* of which nothing was said */
        mouth_checkup(&m, 7, MC_SCAN, NULL, 0);
        assert_true(has_grip(&m, 11)); /* nothing was said this time */
        mouth_free(&m);
    }
}

/* At the last stage the plan stands at 2.4 mm or 18 deg. */
static void grip_by_shortfall(void **state) {
    (void)state;
    static const struct {
        mc_component c;
        double planned, read;
        bool keeps;
    } seen[] = {{MC_MESIAL, 2.4, 1.4, true},      {MC_MESIAL, 2.4, 1.39, false},
                {MC_MESIAL, -2.4, -1.4, true},    {MC_MESIAL, -2.4, -1.39, false},
                {MC_OCCLUSAL, 2.4, 5, true},      {MC_ROTATION, 18, 10, true},
                {MC_ROTATION, 18, 9.99, false},   {MC_ROTATION, -18, -10, true},
                {MC_ROTATION, -18, -9.99, false}, {MC_INCLINATION, 18, 40, true},
                {MC_BUCCAL, 0, -3, true},         {MC_ANGULATION, 18, -18, false}};
    for (size_t i = 0; i < sizeof seen / sizeof *seen; i++) {
        mouth m = mouth_new();
        mc_pose end = {{0}};
        end.c[seen[i].c] = seen[i].planned;
        mouth_read_exactly(&m);
        mouth_plan(&m, 23, 24, end);
        mouth_begin(&m);
        read_once(&m, 24, mouth_reading(23, seen[i].c, seen[i].read));
        if (has_grip(&m, 23) != seen[i].keeps)
            fail_msg("row %zu: %s", i, seen[i].keeps ? "lost" : "kept");
        mouth_free(&m);
    }
}

static void grip_limits_are_settings(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_read_exactly(&m);
    m.settings.grip_gap_mm = 0.4;
    m.settings.grip_short_mm = 0.3;
    m.settings.grip_short_deg = 2;
    mouth_plan(&m, 11, 10, (mc_pose){{1, 0, 0, 0, 0, 0}});
    mouth_plan(&m, 12, 10, (mc_pose){{0, 0, 0, 10, 0, 0}});
    mouth_begin(&m);
    mc_reading r[4] = {mouth_reading(11, MC_MESIAL, 0.69), mouth_reading(12, MC_ROTATION, 8),
                       mc_reading_none(mc_tooth_from_iso(13)),
                       mc_reading_none(mc_tooth_from_iso(14))};
    r[2].seat_gap = 0.41;
    r[3].seat_gap = 0.4;
    mouth_checkup(&m, 10, MC_SCAN, r, 4);
    assert_false(has_grip(&m, 11));
    assert_true(has_grip(&m, 12));
    assert_false(has_grip(&m, 13));
    assert_true(has_grip(&m, 14));
    mouth_free(&m);
}

/* ---- no way to go ---- */

/* Everything ends where it is. No stage is listed beyond 0, one arch has no series at all. */
static void a_plan_of_no_length(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 11, 0, (mc_pose){{0}});
    mouth_begin(&m);
    mc_reading r[2] = {mouth_reading(11, MC_MESIAL, 1.5), mouth_reading(41, MC_ROTATION, 9)};
    mouth_checkup(&m, 0, MC_CALIPER, r, 2);
    mc_forecast f = mouth_forecast(&m);
    assert_forecast(&f, m.states);
    assert_int_equal(f.known, 2);
    /* one tolerance of 0.5 mm against the caliper's 0.35; 2 deg against 3 */
    const mc_component_forecast *c = end_of(&f, 11, MC_MESIAL);
    assert_near(c->end, 1.5 * 0.25 / 0.3725, 1e-12);
    assert_near(c->end_sd, sqrt(0.25 * 0.1225 / 0.3725), 1e-12);
    assert_near(c->p_out, erfc((1 - c->end) / (c->end_sd * sqrt(2))) / 2, 1e-9);
    assert_near(c->planned, 0, 0);
    assert_true(isnan(c->p_behind)); /* nothing is planned, so nothing can be short of it */
    c = end_of(&f, 41, MC_ROTATION);
    assert_near(c->end, 9 * 4.0 / 13, 1e-12);
    assert_near(c->end_sd, sqrt(4 * 9.0 / 13), 1e-12);
    mouth_free(&m);
}

/* At aligner 1 on day 2 of 4 half of the stage is to come. */
static void a_plan_of_one_stage(void **state) {
    (void)state;
    for (int day = 2; day <= 4; day += 2) {
        mouth m = straight(0.2, 1);
        mc_reading r = mouth_reading(11, MC_MESIAL, 0.05);
        mouth_checkup_on(&m, 1, day, MC_SCAN, &r, 1);
        mc_forecast f = mouth_forecast(&m);
        assert_forecast(&f, m.states);
        const mc_component_forecast *c = end_of(&f, 11, MC_MESIAL);
        assert_near(c->mean, 0.05, 1e-12);
        assert_near(c->end, 0.05 + (day == 2 ? 0.1 : 0) * c->rate, 1e-12);
        assert_true(day == 2 ? c->end_sd > 0.005 : c->end_sd < 1e-12);
        mouth_free(&m);
    }
}

/* Without any spread a thing is certain: exactly the tolerance off is outside. */
static void certain_ends(void **state) {
    (void)state;
    const double read[] = {2.4, 1.41, 1.4, 3.39, 3.4, 0};
    const double out[] = {0, 0, 1, 0, 1, 1};
    for (int i = 0; i < 6; i++) {
        mouth m = straight(2.4, 24);
        read_once(&m, 24, mouth_reading(11, MC_MESIAL, read[i]));
        mc_forecast f = mouth_forecast(&m);
        assert_forecast(&f, m.states);
        assert_near(end_of(&f, 11, MC_MESIAL)->p_out, out[i], 0);
        assert_near(f.tooth[mc_tooth_from_iso(11)].p_out, out[i], 0);
        assert_near(f.p_all_in, 1 - out[i], 0);
        assert_near(f.expected_out, out[i], 0);
        mouth_free(&m);
    }
}

/* ---- who counts ---- */

/* A tooth that is not to be moved stands all the same; one that is gone does not count. */
static void fixed_and_missing_teeth(void **state) {
    (void)state;
    random_source random = random_seed(31);
    mouth m = mouth_new();
    draw_plan(&random, &m);
    mouth_begin(&m);
    mc_reading rows[DRAWN_ROWS];
    mouth_checkup(&m, 9, MC_CALIPER, rows, draw_rows(&random, &m, 9, rows));
    mc_forecast all = mouth_forecast(&m);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (m.states[t] == MC_TOOTH_PRESENT)
            m.states[t] = t % 2 ? MC_TOOTH_FIXED : MC_TOOTH_ANKYLOSED;
    mc_forecast f = mouth_forecast(&m);
    assert_forecast(&f, m.states);
    assert_same_forecast(&all, &f, false, 0);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        m.states[t] = MC_TOOTH_MISSING;
    f = mouth_forecast(&m);
    assert_forecast(&f, m.states);
    assert_int_equal(f.known + f.unknown + f.partly, 0);
    assert_true(isnan(f.expected_out) && isnan(f.p_all_in));
    mouth_free(&m);
}

/* Of two teeth read, one was since extracted: what is said of the mouth is said of the other. */
static void a_tooth_that_is_gone(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 11, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
    mouth_plan(&m, 21, 24, (mc_pose){{2.4, 0, 0, 0, 0, 0}});
    mouth_begin(&m);
    mc_reading r[2] = {mouth_reading(11, MC_MESIAL, 0.9), mouth_reading(21, MC_MESIAL, 0.4)};
    mouth_checkup(&m, 12, MC_CALIPER, r, 2);
    m.states[r[1].tooth] = MC_TOOTH_EXTRACTED;
    mc_forecast f = mouth_forecast(&m);
    assert_forecast(&f, m.states);
    assert_int_equal(f.known, 1);
    assert_near(f.expected_out, f.tooth[r[0].tooth].p_out, 0);
    assert_near(f.p_all_in, 1 - f.tooth[r[0].tooth].p_out, 1e-12);
    assert_true(f.tooth[r[1].tooth].known && f.tooth[r[1].tooth].p_out > 0.1);
    mouth_free(&m);
}

static void nothing_was_read(void **state) {
    (void)state;
    random_source random = random_seed(32);
    mouth m = mouth_new();
    draw_plan(&random, &m);
    mouth_begin(&m);
    for (int round = 0; round < 3; round++) { /* no check-up; an empty one; one of gaps */
        mc_reading gap = mc_reading_none(mc_tooth_from_iso(11));
        gap.seat_gap = 0.3;
        if (round > 0)
            mouth_checkup(&m, 8, MC_CALIPER, &gap, round == 2);
        mc_forecast f = mouth_forecast(&m);
        assert_forecast(&f, m.states);
        assert_int_equal(f.known, 0);
        assert_int_equal(f.unknown, 28);
        assert_near(f.pace_mean, 0, 0);
        assert_near(f.pace_sd, 0.2, 1e-15);
        for (mc_tooth t = 0; t < MC_TEETH; t++)
            assert_true(!f.tooth[t].known && isnan(f.tooth[t].p_out));
    }
    mouth_free(&m);
}

/* What the plan still asks: 1 mm mesially (4 squared tolerances) is known, some rotation is not. */
static void known_in_part(void **state) {
    (void)state;
    static const struct {
        double mm, deg;
        bool partly;
    } left[] = {{1, 4, false},    {1, 4.01, true}, {1, 3.99, false}, {1, -4.01, true},
                {0, 1.99, false}, {0, 2, true},    {0.3, 1, false}};
    for (size_t i = 0; i < sizeof left / sizeof *left; i++) {
        mouth m = mouth_new();
        mouth_plan(&m, 11, 12, (mc_pose){{1, 0, 0, 10, 0, 0}});
        mouth_plan(&m, 11, 24, (mc_pose){{1 + left[i].mm, 0, 0, 10 + left[i].deg, 0, 0}});
        mouth_begin(&m);
        mc_reading r[2] = {mouth_reading(11, MC_MESIAL, 0.8), mouth_reading(11, MC_ROTATION, 8)};
        mouth_checkup(&m, 12, MC_CALIPER, r, 1);
        mc_forecast f = mouth_forecast(&m);
        assert_forecast(&f, m.states);
        if (f.tooth[mc_tooth_from_iso(11)].partly != left[i].partly)
            fail_msg("row %zu", i);
        assert_int_equal(f.partly, left[i].partly);
        assert_int_equal(f.known, 1);
        mouth_checkup(&m, 12, MC_CALIPER, r, 2);
        f = mouth_forecast(&m);
        assert_int_equal(f.partly, 0);
        mouth_free(&m);
    }
}

/* 4 of 9.6 deg and 0.9 of 1.2 mm at stage 12, without error: 5.6 deg and 0.3 mm short; the third is
 * past its plan, the fourth has none. */
static void behind_by_the_largest(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 11, 24, (mc_pose){{2.4, 1.2, 0, 19.2, 0, 0}});
    mouth_begin(&m);
    mc_reading r[4] = {mouth_reading(11, MC_MESIAL, 0.9), mouth_reading(11, MC_ROTATION, 4),
                       mouth_reading(11, MC_BUCCAL, 0.8), mouth_reading(11, MC_OCCLUSAL, 0.4)};
    mouth_checkup(&m, 12, MC_CALIPER, r, 4);
    mc_forecast f = mouth_forecast(&m);
    assert_forecast(&f, m.states);
    const mc_component_forecast *c = end_of(&f, 11, MC_ROTATION);
    assert_near(c->p_behind, erfc((2 - (9.6 - c->mean)) / (c->sd * sqrt(2))) / 2, 1e-12);
    assert_near(f.tooth[mc_tooth_from_iso(11)].p_behind, c->p_behind, 0);
    assert_true(c->p_behind > end_of(&f, 11, MC_MESIAL)->p_behind);
    assert_true(isnan(end_of(&f, 11, MC_OCCLUSAL)->p_behind));
    assert_near(c->p_behind, mouth_tooth(&m, 11)->item[MC_ROTATION].p, 1e-15);
    mouth_free(&m);
}

/* ---- whatever comes ---- */

static void contradictory_checkups(void **state) {
    (void)state;
    for (mc_method method = MC_EYE; method < MC_METHODS; method++) {
        mouth m = mouth_new();
        mouth_plan(&m, 11, 24, (mc_pose){{2.4, 0, 0, 18, 0, 0}});
        mouth_begin(&m);
        for (int k = 0; k < 8; k++) {
            mc_reading r[2] = {mouth_reading(11, MC_MESIAL, k % 2 ? 20 : -20),
                               mouth_reading(11, MC_ROTATION, k % 2 ? -90 : 90)};
            mouth_checkup(&m, k < 4 ? 12 : 3 * k, method, r, 2);
            mc_forecast f = mouth_forecast(&m);
            assert_forecast(&f, m.states);
        }
        mouth_free(&m);
    }
}

/* As far as a plan can be told: 1000 mm and 89.9 deg. Nothing is known to end inside but what is
 * still there. */
static void targets_beyond_anatomy(void **state) {
    (void)state;
    mouth m = mouth_new();
    mouth_plan(&m, 11, 999, (mc_pose){{1000, -1000, 1000, 1000, 89.9, -1000}});
    mouth_plan(&m, 12, 1, (mc_pose){{-1000, 0, 0, 0, -89.9, 0}});
    mouth_begin(&m);
    for (int k = 0; k < 3; k++) {
        mc_reading r[2] = {mc_reading_none(mc_tooth_from_iso(11)),
                           mc_reading_none(mc_tooth_from_iso(12))};
        for (int c = 0; c < MC_COMPONENTS; c++)
            r[0].value[c] = r[1].value[c] = 0.5 * k;
        mouth_checkup(&m, k * 499, MC_CALIPER, r, 2);
        mc_forecast f = mouth_forecast(&m);
        assert_forecast(&f, m.states);
        assert_near(end_of(&f, 11, MC_BUCCAL)->planned, -1000, 0);
    }
    mouth_free(&m);
}

static void forecast_under(const mc_settings *settings, uint64_t seed) {
    random_source random = random_seed(seed);
    mouth m = mouth_new();
    draw_plan(&random, &m);
    m.settings = *settings;
    mouth_begin(&m);
    for (int k = 0; k < 3; k++) {
        mc_reading rows[DRAWN_ROWS];
        mouth_checkup_on(&m, 6 * k + 3, k, MC_CALIPER, rows,
                         draw_rows(&random, &m, 6 * k + 3, rows));
        mc_forecast f = mouth_forecast(&m);
        assert_forecast(&f, m.states);
    }
    mouth_free(&m);
}

/* Each of the numbers that a forecast uses at its lowest and at its highest, and all of them. */
static void settings_at_their_limits(void **state) {
    (void)state;
    static const char *const KEY[] = {
        "eye_mm",     "eye_deg",      "caliper_mm",    "caliper_deg",    "photo_mm",
        "photo_deg",  "landmarks_mm", "landmarks_deg", "scan_mm",        "scan_deg",
        "finish_mm",  "finish_deg",   "tolerance_mm",  "tolerance_deg",  "grip_gap_mm",
        "grip_share", "settle_days",  "grip_short_mm", "grip_short_deg", "tolerance_gap_mm"};
    enum { KEYS = sizeof KEY / sizeof *KEY };
    mc_settings usual, all[2];
    int found = 0;
    mc_settings_defaults(&usual);
    all[0] = all[1] = usual;
    for (size_t i = 0; i < mc_settings_count(); i++) {
        mc_setting about = mc_settings_describe(i);
        for (int k = 0; k < KEYS; k++) {
            if (strcmp(about.key, KEY[k]) != 0)
                continue;
            found++;
            for (int high = 0; high < 2; high++) {
                mc_settings one = usual;
                double value = high ? about.high : about.low;
                assert_int_equal(mc_settings_set(&one, about.key, value, NULL), MC_OK);
                assert_int_equal(mc_settings_set(&all[high], about.key, value, NULL), MC_OK);
                forecast_under(&one, 40 + (uint64_t)k);
            }
        }
    }
    assert_int_equal(found, KEYS);
    for (int high = 0; high < 2; high++) {
        assert_true(all[high].grip_share == high && all[high].scan_mm != usual.scan_mm);
        forecast_under(&all[high], 80);
    }
    mouth m = mouth_new(); /* and no error of measurement at all */
    mouth_read_exactly(&m);
    m.settings.caliper_mm = m.settings.caliper_deg = m.settings.eye_mm = m.settings.eye_deg =
        m.settings.photo_mm = m.settings.photo_deg = m.settings.landmarks_mm =
            m.settings.landmarks_deg = 1e-150;
    forecast_under(&m.settings, 81);
    mouth_free(&m);
}

static void random_mouths(void **state) {
    (void)state;
    for (uint64_t n = 0; n < 30; n++) {
        mc_settings settings;
        mc_settings_defaults(&settings);
        forecast_under(&settings, 300 + n);
    }
}

static void a_mirrored_mouth_has_a_mirrored_forecast(void **state) {
    (void)state;
    for (uint64_t n = 0; n < 5; n++) {
        random_source random = random_seed(400 + n);
        mouth a = mouth_new(), b = mouth_new();
        draw_plan(&random, &a);
        for (mc_tooth t = 0; t < MC_TEETH; t++) {
            const mc_plan_row *row;
            size_t count = mc_plan_tooth_rows(a.plan, t, &row);
            for (size_t i = 0; i < count; i++)
                mouth_plan(&b, mc_tooth_iso(mc_tooth_mirror(t)), row[i].stage, row[i].pose);
        }
        mouth_begin(&a);
        mouth_begin(&b);
        for (int k = 1; k <= 3; k++) {
            mc_reading rows[DRAWN_ROWS];
            size_t count = draw_rows(&random, &a, 5 * k, rows);
            mouth_checkup(&a, 5 * k, MC_CALIPER, rows, count);
            for (size_t i = 0; i < count; i++)
                rows[i].tooth = mc_tooth_mirror(rows[i].tooth);
            mouth_checkup(&b, 5 * k, MC_CALIPER, rows, count);
            mc_forecast one = mouth_forecast(&a), two = mouth_forecast(&b);
            assert_same_forecast(&one, &two, true, 1e-11);
        }
        mouth_free(&a);
        mouth_free(&b);
    }
}

/* The same plan with every stage of every tooth listed ends at the same places. */
static void splitting_an_interval_changes_nothing(void **state) {
    (void)state;
    for (uint64_t n = 0; n < 5; n++) {
        random_source random = random_seed(500 + n);
        mouth a = mouth_new(), b = mouth_new();
        draw_plan(&random, &a);
        for (mc_tooth t = 0; t < MC_TEETH; t++) {
            const mc_plan_row *row;
            size_t count = mc_plan_tooth_rows(a.plan, t, &row);
            for (int stage = 0; count > 0 && stage <= row[count - 1].stage; stage++)
                mouth_plan(&b, mc_tooth_iso(t), stage, mc_plan_pose(a.plan, t, stage));
        }
        mouth_begin(&a);
        mouth_begin(&b);
        mc_reading rows[DRAWN_ROWS];
        size_t count = draw_rows(&random, &a, 5, rows);
        mouth_checkup_on(&a, 5, 1, MC_CALIPER, rows, count);
        mouth_checkup_on(&b, 5, 1, MC_CALIPER, rows, count);
        mc_forecast one = mouth_forecast(&a), two = mouth_forecast(&b);
        assert_same_forecast(&one, &two, false, 1e-9);
        mouth_free(&a);
        mouth_free(&b);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_component_by_hand),
        cmocka_unit_test(a_third_without_grip),
        cmocka_unit_test(the_share_without_grip_is_a_setting),
        cmocka_unit_test(not_read_today),
        cmocka_unit_test(grip_by_gap_and_attachment),
        cmocka_unit_test(grip_by_shortfall),
        cmocka_unit_test(grip_limits_are_settings),
        cmocka_unit_test(a_plan_of_no_length),
        cmocka_unit_test(a_plan_of_one_stage),
        cmocka_unit_test(certain_ends),
        cmocka_unit_test(fixed_and_missing_teeth),
        cmocka_unit_test(a_tooth_that_is_gone),
        cmocka_unit_test(nothing_was_read),
        cmocka_unit_test(known_in_part),
        cmocka_unit_test(behind_by_the_largest),
        cmocka_unit_test(contradictory_checkups),
        cmocka_unit_test(targets_beyond_anatomy),
        cmocka_unit_test(settings_at_their_limits),
        cmocka_unit_test(random_mouths),
        cmocka_unit_test(a_mirrored_mouth_has_a_mirrored_forecast),
        cmocka_unit_test(splitting_an_interval_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
