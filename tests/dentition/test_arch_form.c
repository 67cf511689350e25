/* The arch form by the way along it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/dentition.h"
#include "near.h"
#include "random.h"

static const mc_arch_form FORM = {.width = 56, .depth = 44};

typedef struct place {
    double right, anterior, outward_deg;
} place;

static place at(const mc_arch_form *form, double way) {
    place p;
    mc_arch_form_at(form, way, &p.right, &p.anterior, &p.outward_deg);
    return p;
}

static void points_are_on_the_curve(void **state) {
    (void)state;
    for (double way = -54; way <= 54; way += 0.37) {
        const place p = at(&FORM, way);
        const double x = p.right / FORM.width;
        assert_near(p.anterior, 3.0314 * FORM.depth * pow(0.5 + x, 0.8) * pow(0.5 - x, 0.8), 1e-9);
    }
}

/* The way said is the way gone: a small step along goes as far as its chord, in the direction
 * across which the crown faces. */
static void steps_are_as_long_as_said(void **state) {
    (void)state;
    const double step = 1e-4, degree = 3.14159265358979323846 / 180;
    for (double way = -53; way <= 53; way += 0.61) {
        const place a = at(&FORM, way - step / 2), b = at(&FORM, way + step / 2);
        const double dx = b.right - a.right, dy = b.anterior - a.anterior;
        const double outward = at(&FORM, way).outward_deg * degree;
        assert_near(hypot(dx, dy), step, 1e-9);
        assert_near(dx * cos(outward) + dy * sin(outward), 0, 1e-9);
        assert_true(dx * sin(outward) - dy * cos(outward) > 0.9 * step);
    }
}

static void stands_upright_at_its_ends(void **state) {
    (void)state;
    const double half = mc_arch_form_length(&FORM) / 2;
    const place middle = at(&FORM, 0), end = at(&FORM, half), past = at(&FORM, half + 7);
    assert_near(middle.right, 0, 0);
    assert_near(middle.outward_deg, 90, 0);
    assert_near(end.right, FORM.width / 2, 1e-9);
    assert_near(end.anterior, 0, 1e-4); /* a last digit of v is its fourth power of y */
    assert_near(end.outward_deg, 0, 1e-1);
    assert_near(past.right, FORM.width / 2, 0);
    assert_near(past.anterior, -7, 1e-9);
    assert_near(past.outward_deg, 0, 0);
    /* just before and just past the end are no distance apart */
    assert_near(at(&FORM, half - 1e-6).anterior, 1e-6, 1e-7);
}

static void is_mirrored_exactly(void **state) {
    (void)state;
    random_source source = random_seed(11);
    for (int i = 0; i < 500; i++) {
        const mc_arch_form form = {.width = random_between(&source, 5, 80),
                                   .depth = random_between(&source, 5, 80)};
        const double way = random_between(&source, 0, 90);
        const place right = at(&form, way), left = at(&form, -way);
        assert_near(left.right, -right.right, 0);
        assert_near(left.anterior, right.anterior, 0);
        assert_near(left.outward_deg, 180 - right.outward_deg, 0);
    }
}

/* Twice the form has everything at twice the way. */
static void scales(void **state) {
    (void)state;
    const mc_arch_form twice = {.width = 2 * FORM.width, .depth = 2 * FORM.depth};
    assert_near(mc_arch_form_length(&twice), 2 * mc_arch_form_length(&FORM), 1e-10);
    for (double way = -60; way <= 60; way += 7.3) {
        const place one = at(&FORM, way), two = at(&twice, 2 * way);
        assert_near(two.right, 2 * one.right, 1e-9);
        assert_near(two.anterior, 2 * one.anterior, 1e-9);
        assert_near(two.outward_deg, one.outward_deg, 1e-7);
    }
}

static void is_deeper_above_than_below(void **state) {
    (void)state;
    assert_true(mc_arch_form_proportion(MC_UPPER) > mc_arch_form_proportion(MC_LOWER));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_are_on_the_curve),
        cmocka_unit_test(steps_are_as_long_as_said),
        cmocka_unit_test(stands_upright_at_its_ends),
        cmocka_unit_test(is_mirrored_exactly),
        cmocka_unit_test(scales),
        cmocka_unit_test(is_deeper_above_than_below),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
