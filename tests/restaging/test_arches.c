/* Arches estimated on an arch form. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "midcourse/restaging.h"
#include "near.h"
#include "random.h"

typedef struct mouth {
    bool stands[MC_TEETH];
    mc_pose target[MC_TEETH];
    mc_tooth_ipr due[MC_TEETH];
    mc_arches arches;
} mouth;

static void put(mouth *m, int iso) {
    m->stands[mc_tooth_from_iso(iso)] = true;
}

static mouth all_to(int position) {
    mouth m;
    memset(&m, 0, sizeof m);
    for (int quadrant = 1; quadrant <= 4; quadrant++) {
        for (int p = 1; p <= position; p++) {
            put(&m, quadrant * 10 + p);
        }
    }
    return m;
}

static void estimate(mouth *m) {
    mc_arches_estimate(m->stands, m->target, m->due, &m->arches);
}

static const mc_crown *crown(const mouth *m, int iso) {
    return &m->arches.crown[mc_tooth_from_iso(iso)];
}

/* Every pair of neighbours overlaps by what is due there, and every number is a number. */
static void expect_contacts(const mouth *m) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_crown *c = &m->arches.crown[t];
        assert_int_equal(c->stands, m->stands[t]);
        if (!c->stands) {
            continue;
        }
        assert_true(isfinite(c->right) && isfinite(c->anterior) && isfinite(c->outward_deg));
        assert_near(c->turned_deg, 0, 0);
        assert_near(c->width, mc_tooth_usual_size(t).crown_width, 0);
        assert_near(c->thickness, mc_tooth_usual_size(t).crown_thickness, 0);
        const mc_tooth next = mc_tooth_mesial(t, m->stands);
        if (next != MC_NO_TOOTH) {
            const bool across = mc_tooth_is_right(next) != mc_tooth_is_right(t);
            const double due =
                m->due[t].mesial.mm + (across ? m->due[next].mesial.mm : m->due[next].distal.mm);
            assert_near(mc_crown_overlap(t, c, next, &m->arches.crown[next]), due, 1e-6);
        }
    }
}

static void neighbours_touch(void **state) {
    (void)state;
    for (int position = 1; position <= 8; position++) {
        mouth m = all_to(position);
        estimate(&m);
        expect_contacts(&m);
    }
}

static void ipr_due_lets_them_overlap(void **state) {
    (void)state;
    mouth m = all_to(7);
    m.due[mc_tooth_from_iso(11)].mesial.mm = 0.2;
    m.due[mc_tooth_from_iso(21)].mesial.mm = 0.1;
    m.due[mc_tooth_from_iso(34)].distal.mm = 0.25;
    m.due[mc_tooth_from_iso(35)].mesial.mm = 0.25;
    m.due[mc_tooth_from_iso(42)].mesial.mm = 0.3;
    m.due[mc_tooth_from_iso(17)].distal.mm = 0.4; /* nobody stands there */
    estimate(&m);
    expect_contacts(&m);
    mouth none = all_to(7);
    estimate(&none);
    /* what is taken away makes the arch smaller */
    assert_true(crown(&m, 17)->right < crown(&none, 17)->right - 0.05);
}

/* The form's end is where the second molars end; a third molar goes straight on. */
static void ends_at_the_forms_ends(void **state) {
    (void)state;
    mouth seven = all_to(7), eight = all_to(8);
    estimate(&seven);
    estimate(&eight);
    assert_memory_equal(crown(&seven, 17), crown(&eight, 17), sizeof(mc_crown));
    assert_true(crown(&eight, 18)->outward_deg <= 1e-9);
    /* the form: its proportion is known, so that one point tells its size */
    const mc_crown *c = crown(&seven, 47);
    mc_arch_form form = {1, 0};
    double low = 30, high = 90;
    for (int i = 0; i < 100; i++) {
        form.width = (low + high) / 2;
        form.depth = form.width * mc_arch_form_proportion(MC_LOWER);
        double right, anterior, outward;
        mc_arch_form_at(&form, mc_arch_form_length(&form) / 2 - c->width / 2, &right, &anterior,
                        &outward);
        *(right < c->right ? &low : &high) = form.width;
    }
    double right, anterior, outward;
    mc_arch_form_at(&form, mc_arch_form_length(&form) / 2 - c->width / 2, &right, &anterior,
                    &outward);
    assert_near(anterior, c->anterior, 1e-6);
    assert_near(outward, c->outward_deg, 1e-6);
}

/* An arch that ends early keeps the form it would have: the teeth at its back are thought of. */
static void early_end_changes_no_front(void **state) {
    (void)state;
    mouth seven = all_to(7);
    estimate(&seven);
    for (int position = 3; position <= 6; position++) {
        mouth m = all_to(position);
        estimate(&m);
        for (int p = 1; p <= position; p++) {
            assert_near(crown(&m, 10 + p)->right, crown(&seven, 10 + p)->right, 0.1);
            assert_near(crown(&m, 40 + p)->right, crown(&seven, 40 + p)->right, 0.1);
        }
    }
}

static void missing_teeth_are_skipped(void **state) {
    (void)state;
    mouth m = all_to(7);
    const int gone[] = {14, 24, 11, 36, 46, 47};
    for (size_t i = 0; i < sizeof gone / sizeof *gone; i++) {
        m.stands[mc_tooth_from_iso(gone[i])] = false;
    }
    m.due[mc_tooth_from_iso(12)].mesial.mm = 0.15; /* toward 21, across the midline */
    estimate(&m);
    expect_contacts(&m);
}

static void deciduous_teeth_stand_at_their_places(void **state) {
    (void)state;
    mouth m;
    memset(&m, 0, sizeof m);
    const int teeth[] = {16, 55, 54, 53, 12, 11, 21, 22, 63, 64, 65, 26, 75, 73, 33, 31, 41, 84};
    for (size_t i = 0; i < sizeof teeth / sizeof *teeth; i++) {
        put(&m, teeth[i]);
    }
    estimate(&m);
    assert_true(crown(&m, 54)->right < crown(&m, 55)->right);
    assert_true(crown(&m, 53)->right < crown(&m, 54)->right);
    /* 73 beside its successor is nobody's neighbour and stands where that one does */
    assert_near(crown(&m, 73)->right, crown(&m, 33)->right, 0);
    assert_near(crown(&m, 73)->anterior, crown(&m, 33)->anterior, 0);
    mouth chain = m;
    chain.stands[mc_tooth_from_iso(73)] = false;
    chain.arches.crown[mc_tooth_from_iso(73)].stands = false;
    expect_contacts(&chain);
}

static void few_teeth_are_no_trouble(void **state) {
    (void)state;
    mouth none;
    memset(&none, 0, sizeof none);
    estimate(&none);
    expect_contacts(&none);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        mouth one = none;
        one.stands[t] = true;
        estimate(&one);
        expect_contacts(&one);
        assert_true(mc_tooth_is_right(t) == (one.arches.crown[t].right > 0));
    }
    mouth side = all_to(7);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        side.stands[t] = side.stands[t] && mc_tooth_is_right(t);
    }
    estimate(&side);
    expect_contacts(&side);
    assert_true(crown(&side, 11)->right > 0);
}

/* More IPR than there is tooth: still an arch of numbers, side by side at the least. */
static void absurd_ipr_is_no_trouble(void **state) {
    (void)state;
    mouth m = all_to(7);
    m.due[mc_tooth_from_iso(11)].mesial.mm = 40;
    m.due[mc_tooth_from_iso(35)].mesial.mm = 40;
    estimate(&m);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        assert_true(isfinite(m.arches.crown[t].right) && isfinite(m.arches.crown[t].anterior));
    }
}

static mouth random_mouth(random_source *source) {
    mouth m;
    memset(&m, 0, sizeof m);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const bool rare = random_below(source, 6) == 0;
        m.stands[t] = mc_tooth_is_deciduous(t) ? rare : !rare;
        m.due[t].mesial.mm = random_below(source, 3) ? 0 : random_between(source, 0, 0.3);
        m.due[t].distal.mm = random_below(source, 3) ? 0 : random_between(source, 0, 0.3);
    }
    for (mc_tooth t = 0; t < MC_TEETH; t++) { /* a tooth and its successor are told elsewhere */
        const int iso = mc_tooth_iso(t);
        if (iso >= 50 && m.stands[mc_tooth_from_iso(iso - 40)]) {
            m.stands[t] = false;
        }
    }
    return m;
}

static void random_mouths_hold_and_mirror(void **state) {
    (void)state;
    random_source source = random_seed(5);
    for (int i = 0; i < 60; i++) {
        mouth m = random_mouth(&source), mirrored;
        memset(&mirrored, 0, sizeof mirrored);
        for (mc_tooth t = 0; t < MC_TEETH; t++) {
            mirrored.stands[mc_tooth_mirror(t)] = m.stands[t];
            mirrored.due[mc_tooth_mirror(t)] = m.due[t];
        }
        estimate(&m);
        estimate(&mirrored);
        expect_contacts(&m);
        for (mc_tooth t = 0; t < MC_TEETH; t++) {
            const mc_crown *c = &m.arches.crown[t];
            const mc_crown *other = &mirrored.arches.crown[mc_tooth_mirror(t)];
            if (c->stands) {
                assert_near(other->right, -c->right, 1e-9);
                assert_near(other->anterior, c->anterior, 1e-9);
                assert_near(other->outward_deg, 180 - c->outward_deg, 1e-9);
            }
        }
    }
}

/* The crown stands so at its target; at another pose it is moved by the difference. */
static void stands_at_its_target(void **state) {
    (void)state;
    mouth m = all_to(7);
    const mc_tooth t = mc_tooth_from_iso(23);
    m.target[t] = (mc_pose){{1, -0.5, 0.2, 12, 3, -4}};
    estimate(&m);
    assert_true(m.arches.estimated[MC_UPPER] && m.arches.estimated[MC_LOWER]);
    assert_memory_equal(&m.arches.at[t], &m.target[t], sizeof(mc_pose));
    const mc_crown there = mc_arches_crown(&m.arches, t, &m.target[t]);
    assert_near(there.right, m.arches.crown[t].right, 0);
    const mc_crown start = mc_arches_crown(&m.arches, t, &(mc_pose){{0}});
    assert_near(start.turned_deg, -12, 1e-12);
    assert_near(hypot(start.right - there.right, start.anterior - there.anterior), hypot(1, 0.5),
                1e-9);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(neighbours_touch),
        cmocka_unit_test(ipr_due_lets_them_overlap),
        cmocka_unit_test(ends_at_the_forms_ends),
        cmocka_unit_test(early_end_changes_no_front),
        cmocka_unit_test(missing_teeth_are_skipped),
        cmocka_unit_test(deciduous_teeth_stand_at_their_places),
        cmocka_unit_test(few_teeth_are_no_trouble),
        cmocka_unit_test(absurd_ipr_is_no_trouble),
        cmocka_unit_test(random_mouths_hold_and_mirror),
        cmocka_unit_test(stands_at_its_target),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
