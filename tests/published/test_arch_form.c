/* The arch form as published, Braun et al. Angle Orthod 1998;68:29-36; its length by an independent
 * integration, fixtures/arch_form_reference.csv; and the usual crowns on it against published means
 * of arches, fixtures/published.csv. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/restaging.h"
#include "near.h"
#include "published.h"

static void is_as_described(void **state) {
    (void)state;
    const mc_arch_form form = {.width = 55, .depth = 42};
    const double half = mc_arch_form_length(&form) / 2;
    double right, anterior, outward;
    for (int side = -1; side <= 1; side += 2) {
        mc_arch_form_at(&form, side * half, &right, &anterior, &outward);
        assert_near(right, side * 27.5, 1e-9);
        assert_near(anterior, 0, 1e-4);
    }
    mc_arch_form_at(&form, 0, &right, &anterior, &outward);
    assert_near(anterior, 42 * 3.0314 * pow(0.25, 0.8), 1e-12);
    assert_near(anterior, 42, 42 * 2e-5); /* the factor is printed to five digits */
    for (double way = 0; way < half; way += 1.7) {
        double left, left_anterior, left_outward;
        mc_arch_form_at(&form, way, &right, &anterior, &outward);
        mc_arch_form_at(&form, -way, &left, &left_anterior, &left_outward);
        assert_near(left, -right, 0);
        assert_near(left_anterior, anterior, 0);
    }
}

static void ways_are_as_integrated_elsewhere(void **state) {
    (void)state;
    char line[400];
    int lines = 0;
    FILE *file = fopen(FIXTURES "/arch_form_reference.csv", "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file)) {
        mc_arch_form form;
        double x, y, way, right, anterior, outward;
        if (sscanf(line, "%lf,%lf,%lf,%lf,%lf", &form.width, &form.depth, &x, &y, &way) != 5) {
            continue;
        }
        mc_arch_form_at(&form, way, &right, &anterior, &outward);
        assert_near(right, x, 1e-7);
        /* at the very end a rounding of the way is a much larger one of y's power */
        assert_near(anterior, y, x < form.width / 2 ? 1e-7 : 1e-4);
        if (x == form.width / 2) {
            assert_near(mc_arch_form_length(&form), 2 * way, 1e-8);
        }
        lines++;
    }
    fclose(file);
    assert_int_equal(lines, 48);
}

static double mean_of(const published *all, const char *id) {
    return strtod(published_find(all, id)->value, NULL);
}

/* Usual crowns in contact on the form: depth to the first molars for the width between their buccal
 * faces as published, and both by themselves within two percent. */
static void expect_arch(const mc_arches *arches, int molar, int incisor, double width,
                        double depth) {
    const mc_crown *m = &arches->crown[mc_tooth_from_iso(molar)];
    const mc_crown *i = &arches->crown[mc_tooth_from_iso(incisor)];
    const double outward = m->outward_deg * 3.14159265358979323846 / 180;
    const double seen_width = 2 * (m->right + m->thickness / 2 * cos(outward));
    const double seen_depth = i->anterior - m->anterior;
    assert_near(seen_width, width, 0.02 * width);
    assert_near(seen_depth, depth, 0.02 * depth);
    assert_near(seen_depth / seen_width, depth / width, 0.002);
}

static void usual_crowns_stand_as_measured_arches(void **state) {
    (void)state;
    bool stands[MC_TEETH];
    const mc_pose target[MC_TEETH] = {0};
    const mc_tooth_ipr due[MC_TEETH] = {0};
    mc_arches arches;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        stands[t] = !mc_tooth_is_deciduous(t) && mc_tooth_position(t) < 8;
    }
    mc_arches_estimate(stands, target, due, &arches);
    published *all = published_read(FIXTURES "/published.csv");
    expect_arch(&arches, 16, 11, mean_of(all, "MA17a"), mean_of(all, "MA17c"));
    expect_arch(&arches, 46, 41, mean_of(all, "MA17b"), mean_of(all, "MA17d"));
    free(all);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(is_as_described),
        cmocka_unit_test(ways_are_as_integrated_elsewhere),
        cmocka_unit_test(usual_crowns_stand_as_measured_arches),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
