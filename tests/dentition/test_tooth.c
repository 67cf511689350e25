/* Teeth: order, numbers, what each is, and which stands beside it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/dentition.h"

#include <string.h>

static mc_tooth tooth_of(int iso) {
    const mc_tooth tooth = mc_tooth_from_iso(iso);
    if (tooth == MC_NO_TOOTH) {
        fail_msg("%d is a tooth", iso);
    }
    return tooth;
}

static void stand_in_chart_order(void **state) {
    (void)state;
    static const int order[MC_TEETH] = {18, 17, 16, 15, 14, 13, 12, 11, 55, 54, 53, 52, 51,
                                        21, 22, 23, 24, 25, 26, 27, 28, 61, 62, 63, 64, 65,
                                        48, 47, 46, 45, 44, 43, 42, 41, 85, 84, 83, 82, 81,
                                        31, 32, 33, 34, 35, 36, 37, 38, 71, 72, 73, 74, 75};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        assert_int_equal(mc_tooth_iso(tooth), order[tooth]);
        assert_int_equal(mc_tooth_from_iso(order[tooth]), tooth);
    }
}

static void know_what_is_no_tooth(void **state) {
    (void)state;
    int teeth = 0;
    for (int iso = -100; iso < 1000; iso++) {
        const int quadrant = iso / 10, position = iso % 10;
        const bool is = iso > 0 && position >= 1 &&
                        ((quadrant >= 1 && quadrant <= 4 && position <= 8) ||
                         (quadrant >= 5 && quadrant <= 8 && position <= 5));
        assert_int_equal(mc_tooth_from_iso(iso) != MC_NO_TOOTH, is);
        teeth += is;
    }
    assert_int_equal(teeth, MC_TEETH);
    assert_int_equal(mc_tooth_iso(MC_NO_TOOTH), 0);
    assert_int_equal(mc_tooth_iso(MC_TEETH), 0);
}

static void have_arch_side_and_position(void **state) {
    (void)state;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const int iso = mc_tooth_iso(tooth), quadrant = iso / 10;
        const bool upper = quadrant == 1 || quadrant == 2 || quadrant == 5 || quadrant == 6;
        const bool right = quadrant == 1 || quadrant == 4 || quadrant == 5 || quadrant == 8;
        assert_int_equal(mc_tooth_arch(tooth), upper ? MC_UPPER : MC_LOWER);
        assert_int_equal(mc_tooth_is_right(tooth), right);
        assert_int_equal(mc_tooth_is_deciduous(tooth), quadrant >= 5);
        assert_int_equal(mc_tooth_position(tooth), iso % 10);
    }
}

static void have_a_class(void **state) {
    (void)state;
    static const mc_tooth_class permanent[8] = {
        MC_CENTRAL,         MC_LATERAL, MC_CANINE, MC_FIRST_PREMOLAR,
        MC_SECOND_PREMOLAR, MC_MOLAR,   MC_MOLAR,  MC_MOLAR};
    static const mc_tooth_class deciduous[5] = {MC_CENTRAL, MC_LATERAL, MC_CANINE, MC_MOLAR,
                                                MC_MOLAR};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const int position = mc_tooth_position(tooth);
        const bool baby = mc_tooth_is_deciduous(tooth);
        assert_int_equal(mc_tooth_class_of(tooth),
                         baby ? deciduous[position - 1] : permanent[position - 1]);
        assert_int_equal(mc_tooth_is_incisor(tooth), position <= 2);
        assert_int_equal(mc_tooth_is_round(tooth),
                         position == 3 || (!baby && (position == 4 || position == 5)));
    }
}

static void have_a_name(void **state) {
    (void)state;
    static const struct {
        int iso;
        const char *name;
    } names[] = {{11, "upper right central incisor"},
                 {12, "upper right lateral incisor"},
                 {23, "upper left canine"},
                 {34, "lower left first premolar"},
                 {45, "lower right second premolar"},
                 {46, "lower right first molar"},
                 {37, "lower left second molar"},
                 {28, "upper left third molar"},
                 {51, "upper right deciduous central incisor"},
                 {62, "upper left deciduous lateral incisor"},
                 {83, "lower right deciduous canine"},
                 {74, "lower left first deciduous molar"},
                 {75, "lower left second deciduous molar"}};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        assert_string_equal(mc_tooth_name(tooth_of(names[i].iso)), names[i].name);
    }
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const char *name = mc_tooth_name(tooth);
        assert_int_equal(strncmp(name, "upper", 5) == 0, mc_tooth_arch(tooth) == MC_UPPER);
        assert_int_equal(strncmp(name + 6, "right", 5) == 0, mc_tooth_is_right(tooth));
        assert_int_equal(strstr(name, "deciduous") != NULL, mc_tooth_is_deciduous(tooth));
        for (mc_tooth other = 0; other < tooth; other++) {
            assert_string_not_equal(name, mc_tooth_name(other));
        }
    }
}

static void have_a_mirror(void **state) {
    (void)state;
    static const int pairs[][2] = {{11, 21}, {18, 28}, {35, 45}, {41, 31}, {52, 62}, {75, 85}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        assert_int_equal(mc_tooth_mirror(tooth_of(pairs[i][0])), tooth_of(pairs[i][1]));
    }
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_tooth mirror = mc_tooth_mirror(tooth);
        assert_int_equal(mc_tooth_mirror(mirror), tooth);
        assert_int_not_equal(mc_tooth_is_right(mirror), mc_tooth_is_right(tooth));
        assert_int_equal(mc_tooth_position(mirror), mc_tooth_position(tooth));
        assert_int_equal(mc_tooth_arch(mirror), mc_tooth_arch(tooth));
        assert_int_equal(mc_tooth_is_deciduous(mirror), mc_tooth_is_deciduous(tooth));
    }
}

/* The numbers of the standing teeth, ended by 0. */
static void stand(bool standing[MC_TEETH], const int *numbers) {
    memset(standing, 0, MC_TEETH * sizeof standing[0]);
    for (; *numbers; numbers++) {
        standing[tooth_of(*numbers)] = true;
    }
}

static void stand_permanent(bool standing[MC_TEETH]) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        standing[tooth] = !mc_tooth_is_deciduous(tooth);
    }
}

static void expect_neighbours(int iso, int mesial, int distal, const bool standing[MC_TEETH]) {
    const mc_tooth tooth = tooth_of(iso);
    assert_int_equal(mc_tooth_iso(mc_tooth_mesial(tooth, standing)), mesial);
    assert_int_equal(mc_tooth_iso(mc_tooth_distal(tooth, standing)), distal);
}

static void neighbours_in_a_full_mouth(void **state) {
    (void)state;
    bool standing[MC_TEETH];
    stand_permanent(standing);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (mc_tooth_is_deciduous(tooth)) {
            continue;
        }
        const int iso = mc_tooth_iso(tooth), position = iso % 10;
        const int across = mc_tooth_iso(mc_tooth_mirror(tooth));
        expect_neighbours(iso, position == 1 ? across : iso - 1, position == 8 ? 0 : iso + 1,
                          standing);
    }
}

static void neighbours_skip_missing_teeth(void **state) {
    (void)state;
    bool standing[MC_TEETH];
    stand_permanent(standing);
    standing[tooth_of(14)] = false;
    standing[tooth_of(15)] = false;
    standing[tooth_of(18)] = false;
    standing[tooth_of(21)] = false;
    standing[tooth_of(31)] = false;
    standing[tooth_of(41)] = false;
    expect_neighbours(13, 12, 16, standing);
    expect_neighbours(16, 13, 17, standing);
    expect_neighbours(17, 16, 0, standing);
    expect_neighbours(11, 22, 12, standing);
    expect_neighbours(22, 11, 23, standing);
    expect_neighbours(42, 32, 43, standing);
    expect_neighbours(32, 42, 33, standing);
    /* of a gap itself: where a tooth would stand */
    expect_neighbours(15, 13, 16, standing);
}

static void neighbours_far_across_the_midline(void **state) {
    (void)state;
    bool standing[MC_TEETH];
    stand(standing, (const int[]){17, 26, 36, 0});
    expect_neighbours(17, 26, 0, standing);
    expect_neighbours(26, 17, 0, standing);
    expect_neighbours(36, 0, 0, standing);
}

static void neighbours_among_deciduous_teeth(void **state) {
    (void)state;
    bool standing[MC_TEETH];
    stand(standing, (const int[]){11, 21, 52, 53, 54, 55, 16, 62, 63, 64, 65, 26, 0});
    expect_neighbours(11, 21, 52, standing);
    expect_neighbours(52, 11, 53, standing);
    expect_neighbours(55, 54, 16, standing);
    expect_neighbours(16, 55, 0, standing);
    expect_neighbours(62, 21, 63, standing);
    expect_neighbours(65, 64, 26, standing);
    stand(standing, (const int[]){51, 61, 82, 72, 0});
    expect_neighbours(51, 61, 0, standing);
    expect_neighbours(82, 72, 0, standing);
    expect_neighbours(12, 51, 0, standing);
}

/* Where a deciduous and a permanent tooth stand at one place the permanent one counts. */
static void neighbours_prefer_permanent_teeth(void **state) {
    (void)state;
    bool standing[MC_TEETH];
    stand(standing, (const int[]){12, 52, 13, 53, 14, 54, 41, 81, 0});
    expect_neighbours(13, 12, 14, standing);
    expect_neighbours(53, 12, 14, standing);
    expect_neighbours(31, 41, 0, standing);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(stand_in_chart_order),
        cmocka_unit_test(know_what_is_no_tooth),
        cmocka_unit_test(have_arch_side_and_position),
        cmocka_unit_test(have_a_class),
        cmocka_unit_test(have_a_name),
        cmocka_unit_test(have_a_mirror),
        cmocka_unit_test(neighbours_in_a_full_mouth),
        cmocka_unit_test(neighbours_skip_missing_teeth),
        cmocka_unit_test(neighbours_far_across_the_midline),
        cmocka_unit_test(neighbours_among_deciduous_teeth),
        cmocka_unit_test(neighbours_prefer_permanent_teeth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
