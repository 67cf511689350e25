/* The depth of overlap of two outlines. */
#include "ovals.h"

static const char *const NAMES[KINDS] = {"neighbours", "anyhow", "needles", "far apart",
                                         "concentric"};
enum { PAIRS = 400, DIRECTIONS = 4096 };

/* The global least of the definition, from many directions. */
static void test_least_of_all_directions(void **state) {
    (void)state;
    random_source source = random_seed(41);
    for (int what = 0; what < KINDS; what++) {
        for (int i = 0; i < PAIRS; i++) {
            oval a, b;
            double direction;
            draw_ovals(&source, (kind)what, &a, &b);
            const double wanted = depth_in_words(&a, &b, DIRECTIONS, &direction);
            const double seen = oval_overlap(&a, &b), size = size_of(&a, &b);
            if (!(fabs(seen - wanted) <= 3e-13 * size)) {
                fail_msg("%s, pair %d: %.17g, wanted %.17g", NAMES[what], i, seen, wanted);
            }
        }
    }
}

/* Along their axes, side by side or one before the other: the halves less the distance. */
static void test_along_the_axes(void **state) {
    (void)state;
    random_source source = random_seed(42);
    for (int i = 0; i < PAIRS; i++) {
        oval a = oval_between(&source, 2.4, 5.5), b = oval_between(&source, 2.4, 5.5);
        a.along = b.along = i % 2 ? random_between(&source, -PI, PI) : 0;
        const bool beside = i % 4 < 2;
        const double halves = beside ? a.a + b.a : a.b + b.b;
        const double apart = halves + random_between(&source, -0.5, 5);
        const double direction = a.along + (beside ? 0 : PI / 2);
        b.x = apart * cos(direction);
        b.y = apart * sin(direction);
        assert_near(oval_overlap(&a, &b), halves - apart, 1e-11);
    }
    /* touching */
    const oval a = {.a = 4, .b = 3}, b = {.x = 7.5, .a = 3.5, .b = 5};
    assert_near(oval_overlap(&a, &b), 0, 1e-13);
    /* one upon the other: the short way out */
    const oval whole = {.a = 4, .b = 3}, same = whole;
    assert_near(oval_overlap(&whole, &same), 6, 1e-12);
    /* within a larger one, off its centre along the short axis */
    const oval small = {.y = 1, .a = 0.5, .b = 0.25};
    assert_near(oval_overlap(&whole, &small), 3 + 0.25 - 1, 1e-12);
}

static oval mirrored(const oval *o) {
    return (oval){-o->x, o->y, PI - o->along, o->a, o->b};
}

static oval turned(const oval *o, double by) {
    return (oval){o->x * cos(by) - o->y * sin(by), o->x * sin(by) + o->y * cos(by), o->along + by,
                  o->a, o->b};
}

static void test_the_same_seen_otherwise(void **state) {
    (void)state;
    random_source source = random_seed(43);
    for (int i = 0; i < PAIRS * KINDS; i++) {
        oval a, b;
        draw_ovals(&source, (kind)(i % KINDS), &a, &b);
        const double depth = oval_overlap(&a, &b), known = 1e-12 * size_of(&a, &b) + 1e-12;
        assert_near(oval_overlap(&b, &a), depth, known);
        const oval a_mirrored = mirrored(&a), b_mirrored = mirrored(&b);
        assert_near(oval_overlap(&a_mirrored, &b_mirrored), depth, known);
        const double turn = random_between(&source, -PI, PI);
        const oval a_turned = turned(&a, turn), b_turned = turned(&b, turn);
        assert_near(oval_overlap(&a_turned, &b_turned), depth, known);
        /* its other end is as good, and so is its other axis */
        oval about = a;
        about.along += PI;
        assert_near(oval_overlap(&about, &b), depth, known);
        about = (oval){a.x, a.y, a.along + PI / 2, a.b, a.a};
        assert_near(oval_overlap(&about, &b), depth, known);
        const double right = random_between(&source, -50, 50), up = random_between(&source, -9, 9);
        a.x += right;
        a.y += up;
        b.x += right;
        b.y += up;
        assert_near(oval_overlap(&a, &b), depth, known);
    }
}

/* A translation changes the depth by no more than its length. */
static void test_continuous(void **state) {
    (void)state;
    random_source source = random_seed(44);
    for (int i = 0; i < PAIRS * KINDS; i++) {
        oval a, b;
        draw_ovals(&source, (kind)(i % KINDS), &a, &b);
        const double depth = oval_overlap(&a, &b), known = 1e-12 * size_of(&a, &b);
        const double way = pow(10, random_between(&source, -9, 0.5));
        put_beside(&source, &b, way);
        assert_near(oval_overlap(&a, &b), depth, way + known);
    }
}

/* Along the direction found, a way of the depth makes them touch and a little more parts them;
 * nothing shorter parts them, whatever the direction. */
static void test_least_translation(void **state) {
    (void)state;
    enum { WAYS = 2000 };
    random_source source = random_seed(45);
    int deep = 0;
    for (int i = 0; i < 60; i++) {
        oval a, b;
        draw_ovals(&source, i % 2 ? NEIGHBOURS : ANYHOW, &a, &b);
        double direction;
        const double depth = oval_overlap(&a, &b);
        depth_in_words(&a, &b, DIRECTIONS, &direction);
        oval moved = b;
        moved.x += depth * cos(direction);
        moved.y += depth * sin(direction);
        assert_near(oval_overlap(&a, &moved), 0, 1e-9);
        if (depth < 1e-3) {
            continue;
        }
        deep++;
        for (int k = 0; k < WAYS; k++) {
            const double way = 0.999 * depth, along = 2 * PI * k / WAYS;
            moved.x = b.x + way * cos(along);
            moved.y = b.y + way * sin(along);
            assert_true(oval_overlap(&a, &moved) > 0);
        }
    }
    assert_true(deep > 20);
}

/* Sizes from a thousandth to a million: the same figure, larger or smaller. */
static void test_any_scale(void **state) {
    (void)state;
    random_source source = random_seed(46);
    for (int i = 0; i < PAIRS * KINDS; i++) {
        oval a, b;
        draw_ovals(&source, (kind)(i % KINDS), &a, &b);
        const double scale = pow(10, random_between(&source, -9, 9));
        const oval a_scaled = {a.x * scale, a.y * scale, a.along, a.a * scale, a.b * scale};
        const oval b_scaled = {b.x * scale, b.y * scale, b.along, b.a * scale, b.b * scale};
        assert_near(oval_overlap(&a_scaled, &b_scaled) / scale, oval_overlap(&a, &b),
                    1e-12 * size_of(&a, &b) + 1e-12);
    }
    /* a grain beside a boulder, within it and away from it */
    const oval boulder = {.a = 1e6, .b = 1e6};
    const oval grain = {.x = 1e6 - 1, .a = 1e-3, .b = 1e-3},
               away = {.x = 3e6, .a = 1e-3, .b = 1e-3};
    assert_near(oval_overlap(&boulder, &grain), 1.001, 1e-6);
    assert_near(oval_overlap(&boulder, &away), 1e-3 - 2e6, 1e-6);
}

/* The question whether it is more than allowed has the depth's own answer, to the last bit and
 * whatever direction it begins with. */
static void test_more_than_allowed(void **state) {
    (void)state;
    static const double BESIDE[] = {0, 1e-15, 1e-13, 1e-12, 1e-9, 1e-3, 1};
    random_source source = random_seed(47);
    int more = 0, not_more = 0;
    for (int i = 0; i < 20 * PAIRS; i++) {
        oval a, b;
        draw_ovals(&source, (kind)(i % KINDS), &a, &b);
        const double depth = oval_overlap(&a, &b);
        for (size_t k = 0; k < sizeof BESIDE / sizeof *BESIDE; k++) {
            const double allowed = depth + (random_below(&source, 2) ? -BESIDE[k] : BESIDE[k]);
            double direction = random_below(&source, 2) ? NAN : random_between(&source, -9, 9);
            const bool seen = oval_overlap_or_less(&a, &b, allowed, &direction) > allowed;
            assert_int_equal(seen, depth > allowed);
            assert_true(isfinite(direction));
            /* and again from where that ended */
            const double or_less = oval_overlap_or_less(&a, &b, allowed, &direction);
            assert_int_equal(or_less > allowed, seen);
            assert_true(or_less >= depth - 1e-12 * size_of(&a, &b));
            assert_near(oval_overlap_from(&a, &b, &direction), depth, 1e-12 * size_of(&a, &b));
            assert_near(oval_overlap_from(&a, &b, &direction), depth, 1e-12 * size_of(&a, &b));
            more += seen;
            not_more += !seen;
        }
    }
    assert_true(more > 1000 && not_more > 1000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_least_of_all_directions), cmocka_unit_test(test_along_the_axes),
        cmocka_unit_test(test_the_same_seen_otherwise), cmocka_unit_test(test_continuous),
        cmocka_unit_test(test_least_translation),       cmocka_unit_test(test_any_scale),
        cmocka_unit_test(test_more_than_allowed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
