/* Crowns in the occlusal plane: which way they go and turn, and their outline. */
#include "ovals.h"

enum { OUTLINE = 400 };

/* One tooth a quadrant and jaw, and where it stands on a round arch: the front is 90 deg. */
static const struct place {
    int iso;
    double outward;
} PLACES[] = {{16, 10}, {13, 55}, {11, 85}, {21, 95}, {23, 125}, {26, 170},
              {46, 10}, {43, 55}, {41, 85}, {31, 95}, {33, 125}, {36, 170}};
enum { PLACES_COUNT = sizeof PLACES / sizeof *PLACES };

static mc_crown crown_at(const struct place *place) {
    const double angle = place->outward * PI / 180;
    return (mc_crown){.stands = true,
                      .right = 25 * cos(angle),
                      .anterior = 25 * sin(angle),
                      .outward_deg = place->outward,
                      .width = 8,
                      .thickness = 6};
}

static mc_pose pose_of(double mesial, double buccal, double rotation) {
    return (mc_pose){{mesial, buccal, 0, rotation, 0, 0}};
}

static void outline(const struct place *place, const mc_crown *crown, double share, double at[2]) {
    mc_crown_outline(mc_tooth_from_iso(place->iso), crown, share, &at[0], &at[1]);
}

static void test_mesial_goes_to_the_midline(void **state) {
    (void)state;
    const mc_pose by = pose_of(0.5, 0, 0);
    for (int i = 0; i < PLACES_COUNT; i++) {
        const mc_crown crown = crown_at(&PLACES[i]);
        const mc_crown moved = mc_crown_moved(mc_tooth_from_iso(PLACES[i].iso), &crown, &by);
        /* nearer to the midline, nearer to the front, and along the arch: not outward */
        assert_true(fabs(moved.right) < fabs(crown.right));
        assert_true(moved.anterior > crown.anterior);
        assert_near(hypot(moved.right - crown.right, moved.anterior - crown.anterior), 0.5, 1e-12);
        assert_near((moved.right - crown.right) * crown.right +
                        (moved.anterior - crown.anterior) * crown.anterior,
                    0, 1e-12);
    }
}

static void test_buccal_goes_outward(void **state) {
    (void)state;
    const mc_pose by = pose_of(0, 0.5, 0);
    for (int i = 0; i < PLACES_COUNT; i++) {
        const mc_crown crown = crown_at(&PLACES[i]);
        const mc_crown moved = mc_crown_moved(mc_tooth_from_iso(PLACES[i].iso), &crown, &by);
        assert_near(hypot(moved.right, moved.anterior), 25.5, 1e-12);
        assert_near(atan2(moved.anterior, moved.right), PLACES[i].outward * PI / 180, 1e-12);
    }
}

/* The middle of the buccal face goes mesially, the mesial end inward; seen from its centre. */
static void test_rotation_turns_the_buccal_face_mesially(void **state) {
    (void)state;
    const mc_pose by = pose_of(0, 0, 20), mesially = pose_of(1, 0, 0), outward = pose_of(0, 1, 0);
    for (int i = 0; i < PLACES_COUNT; i++) {
        const mc_tooth tooth = mc_tooth_from_iso(PLACES[i].iso);
        const mc_crown crown = crown_at(&PLACES[i]), turned = mc_crown_moved(tooth, &crown, &by);
        const mc_crown mesial = mc_crown_moved(tooth, &crown, &mesially);
        const mc_crown buccal = mc_crown_moved(tooth, &crown, &outward);
        const double m[2] = {mesial.right - crown.right, mesial.anterior - crown.anterior};
        const double b[2] = {buccal.right - crown.right, buccal.anterior - crown.anterior};
        double face[2], end[2];
        outline(&PLACES[i], &turned, 0.25, face);
        outline(&PLACES[i], &turned, 0.5, end);
        const double angle = 20 * PI / 180;
        for (int k = 0; k < 2; k++) {
            const double centre = k ? crown.anterior : crown.right;
            assert_near(face[k] - centre, 3 * (sin(angle) * m[k] + cos(angle) * b[k]), 1e-12);
            assert_near(end[k] - centre, 4 * (cos(angle) * m[k] - sin(angle) * b[k]), 1e-12);
        }
        assert_near(turned.right, crown.right, 0);
        assert_near(turned.outward_deg, crown.outward_deg, 0);
    }
}

/* The ends of a crown that is not turned: distal, buccal, mesial, lingual. */
static void test_outline_goes_round(void **state) {
    (void)state;
    for (int i = 0; i < PLACES_COUNT; i++) {
        const mc_crown crown = crown_at(&PLACES[i]);
        double distal[2], buccal[2], mesial[2], lingual[2], again[2];
        outline(&PLACES[i], &crown, 0, distal);
        outline(&PLACES[i], &crown, 0.25, buccal);
        outline(&PLACES[i], &crown, 0.5, mesial);
        outline(&PLACES[i], &crown, 0.75, lingual);
        outline(&PLACES[i], &crown, 1, again);
        assert_near(hypot(buccal[0], buccal[1]), 28, 1e-12);
        assert_near(hypot(lingual[0], lingual[1]), 22, 1e-12);
        assert_true(mesial[1] > distal[1]);
        assert_near(hypot(mesial[0] - distal[0], mesial[1] - distal[1]), 8, 1e-12);
        assert_near(hypot(again[0] - distal[0], again[1] - distal[1]), 0, 1e-5);
    }
}

static mc_crown random_crown(random_source *source) {
    return (mc_crown){.stands = true,
                      .right = random_between(source, -30, 30),
                      .anterior = random_between(source, -30, 30),
                      .outward_deg = random_between(source, 0, 180),
                      .turned_deg = random_between(source, -180, 180),
                      .width = random_between(source, 4, 12),
                      .thickness = random_between(source, 4, 12)};
}

/* Every point satisfies the equation in the oval's own axes. */
static void test_outline_is_the_superellipse(void **state) {
    (void)state;
    random_source source = random_seed(31);
    for (int i = 0; i < 40; i++) {
        const struct place *place = &PLACES[i % PLACES_COUNT];
        const mc_crown crown = random_crown(&source);
        const oval o = oval_of(mc_tooth_from_iso(place->iso), &crown);
        for (int k = 0; k < OUTLINE; k++) {
            double at[2];
            outline(place, &crown, (double)k / OUTLINE, at);
            const double dx = at[0] - o.x, dy = at[1] - o.y;
            const double x = cos(o.along) * dx + sin(o.along) * dy;
            const double y = cos(o.along) * dy - sin(o.along) * dx;
            assert_near(pow(fabs(x / o.a), 2.5) + pow(fabs(y / o.b), 2.5), 1, 1e-12);
        }
    }
}

/* The outline reaches exactly as far as the depth's support function says. */
static void test_outline_reaches_as_far(void **state) {
    (void)state;
    random_source source = random_seed(32);
    for (int i = 0; i < 20; i++) {
        const struct place *place = &PLACES[i % PLACES_COUNT];
        const mc_crown crown = random_crown(&source);
        const oval o = oval_of(mc_tooth_from_iso(place->iso), &crown);
        for (int d = 0; d < 24; d++) {
            const double direction = 2 * PI * d / 24;
            double most = 0, at[2];
            for (int k = 0; k < 20000; k++) {
                outline(place, &crown, k / 20000.0, at);
                most = fmax(most, cos(direction) * (at[0] - o.x) + sin(direction) * (at[1] - o.y));
            }
            assert_near(most, reach_in_words(&o, direction), 1e-5);
        }
    }
}

/* The tooth across the midline, with the crown mirrored, moved alike: the mirrored crown. */
static void test_mirror(void **state) {
    (void)state;
    random_source source = random_seed(33);
    for (int i = 0; i < 200; i++) {
        const int iso = 10 * (i % 2 ? 1 : 4) + 1 + random_below(&source, 8);
        const struct place here = {iso, 0}, there = {iso + (i % 2 ? 10 : -10), 0};
        const mc_crown crown = random_crown(&source);
        mc_crown mirrored = crown;
        mirrored.right = -crown.right;
        mirrored.outward_deg = 180 - crown.outward_deg;
        const mc_pose by = pose_of(random_between(&source, -3, 3), random_between(&source, -3, 3),
                                   random_between(&source, -60, 60));
        const mc_crown a = mc_crown_moved(mc_tooth_from_iso(here.iso), &crown, &by);
        const mc_crown b = mc_crown_moved(mc_tooth_from_iso(there.iso), &mirrored, &by);
        assert_near(b.right, -a.right, 1e-12);
        assert_near(b.anterior, a.anterior, 1e-12);
        assert_near(b.turned_deg, a.turned_deg, 1e-12);
        const double share = random_unit(&source);
        double at[2], across[2];
        outline(&here, &a, share, at);
        outline(&there, &b, share, across);
        assert_near(across[0], -at[0], 1e-10);
        assert_near(across[1], at[1], 1e-10);
    }
}

/* What does not show in the plane changes nothing, and there and back again is where it was. */
static void test_only_three_components_show(void **state) {
    (void)state;
    random_source source = random_seed(34);
    const mc_tooth tooth = mc_tooth_from_iso(24);
    const mc_crown crown = random_crown(&source);
    const mc_pose hidden = {{0, 0, 2, 0, 15, -15}}, there = {{1, -2, 3, 4, 5, 6}},
                  back = {{-1, 2, -3, -4, -5, -6}};
    mc_crown moved = mc_crown_moved(tooth, &crown, &hidden);
    assert_near(moved.right, crown.right, 0);
    assert_near(moved.anterior, crown.anterior, 0);
    assert_near(moved.turned_deg, crown.turned_deg, 0);
    moved = mc_crown_moved(tooth, &crown, &there);
    moved = mc_crown_moved(tooth, &moved, &back);
    assert_near(moved.right, crown.right, 1e-13);
    assert_near(moved.anterior, crown.anterior, 1e-13);
    assert_near(moved.turned_deg, crown.turned_deg, 1e-13);
    assert_true(moved.stands && moved.width == crown.width && moved.thickness == crown.thickness);
}

/* Where a crown stands at a pose is told from the pose at which it was measured. */
static void test_arches_crown(void **state) {
    (void)state;
    static mc_arches arches;
    const mc_tooth tooth = mc_tooth_from_iso(11);
    arches.at[tooth] = pose_of(0.4, -0.2, 5);
    arches.crown[tooth] = (mc_crown){.stands = true,
                                     .right = 4,
                                     .anterior = 20,
                                     .outward_deg = 90,
                                     .turned_deg = 3,
                                     .width = 8,
                                     .thickness = 7};
    const mc_pose same = arches.at[tooth], on = pose_of(1.4, 0.3, 15);
    mc_crown seen = mc_arches_crown(&arches, tooth, &same);
    assert_near(seen.right, 4, 0);
    assert_near(seen.anterior, 20, 0);
    assert_near(seen.turned_deg, 3, 0);
    seen = mc_arches_crown(&arches, tooth, &on);
    assert_near(seen.right, 3, 1e-12); /* mesial of a right incisor is to the left */
    assert_near(seen.anterior, 20.5, 1e-12);
    assert_near(seen.turned_deg, 13, 1e-12);
}

/* The depth of crowns is that of their outlines: side by side in the arch, turned, across the
 * midline. */
static void test_crown_overlap(void **state) {
    (void)state;
    const mc_tooth right = mc_tooth_from_iso(11), left = mc_tooth_from_iso(21);
    mc_crown a = {.stands = true,
                  .right = 3.9,
                  .anterior = 20,
                  .outward_deg = 90,
                  .width = 8,
                  .thickness = 7};
    mc_crown b = a;
    b.right = -3.9;
    assert_near(mc_crown_overlap(right, &a, left, &b), 0.2, 1e-12);
    /* both a quarter turn: their thickness side by side; mesial-in and mesial-out alike */
    a.turned_deg = 90;
    b.turned_deg = -90;
    assert_near(mc_crown_overlap(right, &a, left, &b), 7 - 7.8, 1e-12);
    random_source source = random_seed(35);
    for (int i = 0; i < 200; i++) {
        a = random_crown(&source);
        b = random_crown(&source);
        b.right = a.right + random_between(&source, -10, 10);
        b.anterior = a.anterior + random_between(&source, -10, 10);
        const oval one = oval_of(right, &a), two = oval_of(left, &b);
        double direction;
        assert_near(mc_crown_overlap(right, &a, left, &b),
                    depth_in_words(&one, &two, 512, &direction), 1e-11);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mesial_goes_to_the_midline),
        cmocka_unit_test(test_buccal_goes_outward),
        cmocka_unit_test(test_rotation_turns_the_buccal_face_mesially),
        cmocka_unit_test(test_outline_goes_round),
        cmocka_unit_test(test_outline_is_the_superellipse),
        cmocka_unit_test(test_outline_reaches_as_far),
        cmocka_unit_test(test_mirror),
        cmocka_unit_test(test_only_three_components_show),
        cmocka_unit_test(test_arches_crown),
        cmocka_unit_test(test_crown_overlap),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
