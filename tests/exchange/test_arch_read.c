/* The arch position file: what is read, what is refused at its line and column, and what is
 * written.
 */
#include "given.h"

#define HEADER "tooth,right_mm,anterior_mm,outward_deg\n"

typedef struct arch_given {
    mc_tooth_state states[MC_TEETH];
} arch_given;

/* A mouth whose upper arch has four incisors, the lower one two. */
static arch_given mouth(void) {
    arch_given m;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        m.states[t] = MC_TOOTH_MISSING;
    }
    const int teeth[] = {12, 11, 21, 22, 41, 31};
    for (size_t i = 0; i < sizeof teeth / sizeof *teeth; i++) {
        m.states[tooth_of(teeth[i])] = MC_TOOTH_PRESENT;
    }
    return m;
}

static mc_status read_arch(const char *text, const mc_tooth_state *states, mc_arch_crowns *out,
                           mc_error *error) {
    *error = (mc_error){.status = MC_OK};
    return mc_arch_read(text, strlen(text), MC_NOTATION_ISO, states, out, error);
}

static void refuse(const char *text, long line, long column, const char *part) {
    const arch_given m = mouth();
    mc_arch_crowns out;
    mc_error error;
    assert_int_equal(read_arch(text, m.states, &out, &error), MC_REFUSED);
    expect_refusal(&error, line, column, part);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        assert_false(out.crown[t].stands);
    }
}

static void crowns_as_they_stand(void **state) {
    (void)state;
    const arch_given m = mouth();
    mc_arch_crowns out;
    mc_error error;
    assert_int_equal(read_arch("# invented\ntooth,width_mm,anterior_mm,right_mm,outward_deg,"
                               "turned_deg,thickness_mm\n"
                               "21,,40,-4.25,97.5,,\n11,8.6,40.25,4.25,82.5,-12,7.5\n"
                               "22,,37,-11,120,,\n12,,37,11,60,,\n",
                               m.states, &out, &error),
                     MC_OK);
    assert_int_equal(out.arch, MC_UPPER);
    const mc_crown *c = &out.crown[tooth_of(11)];
    assert_true(c->stands && c->right == 4.25 && c->anterior == 40.25 && c->outward_deg == 82.5);
    assert_true(c->turned_deg == -12 && c->width == 8.6 && c->thickness == 7.5);
    c = &out.crown[tooth_of(21)];
    assert_true(c->turned_deg == 0 && c->width == 8.5 && c->thickness == 7);
    assert_false(out.crown[tooth_of(31)].stands);
}

static void files_that_cannot_be(void **state) {
    (void)state;
    refuse("", 1, 1, "the file is empty");
    refuse(HEADER, 1, 1, "no rows");
    refuse("tooth,right_mm,anterior_mm\n41,1,1\n", 1, 1, "the column \"outward_deg\" is missing");
    refuse("tooth,right_mm,anterior_mm,outward_deg,up_mm\n", 1, 40, "unknown column \"up_mm\"");
    refuse(HEADER "19,3,40,80\n", 2, 1, "unknown tooth \"19\"");
    refuse(HEADER "41,3,40,80\n31,-3,40,100\n41,3,40,80\n", 4, 1,
           "tooth 41 is repeated: line 2 has it already");
    refuse(HEADER "41,3,40,80\n42,8,40,80\n", 3, 1, "the case does not have tooth 42 (missing)");
    refuse(HEADER "41,3,40,80\n11,-3,40,100\n", 3, 1,
           "tooth 11 is in the upper arch, those above it are in the lower");
    refuse(HEADER "41,501,40,80\n", 2, 4, "right_mm: 501 is outside -500 to 500");
    refuse(HEADER "41,3,x,80\n", 2, 6, "anterior_mm: \"x\" is no plain decimal number");
    refuse(HEADER "41,3,,80\n", 2, 6, "anterior_mm: every crown needs it");
    refuse(HEADER "41,3,40,241\n", 2, 9, "outward_deg: 241 is outside -60 to 240");
    refuse("turned_deg," HEADER "-181,41,3,40,80\n", 2, 1, "turned_deg: -181 is outside");
    refuse("width_mm," HEADER "0,41,3,40,80\n", 2, 1, "width_mm: 0 is outside 2 to 20");
    refuse("thickness_mm," HEADER "21,41,3,40,80\n", 2, 1, "thickness_mm: 21 is outside 2 to 20");
    refuse(HEADER "41,3,40\n", 2, 8, "missing field: the row ends before \"outward_deg\"");
}

static void an_arch_is_measured_whole(void **state) {
    (void)state;
    refuse(HEADER "41,3,40,80\n", 2, 1, "the file ends without tooth 31: an arch is measured");
    refuse(HEADER "12,11,37,60\n22,-11,37,120\n", 3, 1, "the file ends without tooth 11, 21:");
    /* without a mouth none is missed */
    mc_arch_crowns out;
    mc_error error;
    assert_int_equal(read_arch(HEADER "36,-20,10,170\n", NULL, &out, &error), MC_OK);
    assert_int_equal(out.arch, MC_LOWER);
}

/* Directions, axes and teeth that cannot go together: neighbours would be looked for where they are
 * not. */
static void crowns_that_do_not_follow_each_other(void **state) {
    (void)state;
    static const char directions[] = "outward_deg does not go with where the crowns stand";
    refuse(HEADER "12,11,37,0\n11,4.25,40,0\n21,-4.25,40,0\n22,-11,37,0\n", 5, 1, directions);
    refuse(HEADER "12,11,37,1.05\n11,4.25,40,1.44\n21,-4.25,40,1.7\n22,-11,37,2.1\n", 5, 1,
           directions); /* radians */
    refuse(HEADER "11,11,37,60\n12,4.25,40,82\n21,-4.25,40,98\n22,-11,37,120\n", 3, 1,
           "tooth 11 stands to the patient's right of 12 along the arch: they are exchanged");
    refuse(HEADER "41,80,40,80\n31,-80,40,100\n", 3, 1, "the arch would be 160 mm wide or long");
    /* crowded as much as can be */
    const arch_given m = mouth();
    mc_arch_crowns out;
    mc_error error;
    assert_int_equal(read_arch(HEADER "12,8,33,60\n11,5,40,82\n21,-3,36,98\n22,-9,38,120\n",
                               m.states, &out, &error),
                     MC_OK);
}

static void numbers_that_were_mixed_up(void **state) {
    (void)state;
    refuse(HEADER "41,-3,40,80\n31,3,40,100\n", 3, 1,
           "the patient's right teeth stand to the left of the left ones");
    refuse(HEADER "31,0.4,40,90\n41,1,40,90\n", 3, 1,
           "the crowns of 41 and 31 would stand 4.4 mm deep in each other");
    /* three tenths of a millimetre in each other is how crowded teeth are read */
    const arch_given m = mouth();
    mc_arch_crowns out;
    mc_error error;
    assert_int_equal(read_arch(HEADER "31,-2.35,40,90\n41,2.35,40,90\n", m.states, &out, &error),
                     MC_OK);
}

static void is_written_as_it_is_read(void **state) {
    (void)state;
    const arch_given m = mouth();
    mc_arch_crowns out, again;
    mc_error error;
    char *data;
    size_t size;
    assert_int_equal(read_arch("turned_deg," HEADER "0.1,31,-2.725,40.000001,90\n"
                               "-7.25,41,2.9,40,88.5\n",
                               m.states, &out, &error),
                     MC_OK);
    assert_int_equal(mc_arch_write(&out, MC_NOTATION_ISO, "one\ntwo", &data, &size, NULL), MC_OK);
    assert_string_equal(data,
                        "# one\n# two\ntooth,right_mm,anterior_mm,outward_deg,turned_deg,width_mm,"
                        "thickness_mm\n41,2.9,40,88.5,-7.25,5,6\n31,-2.725,40.000001,90,0.1,5,6\n");
    assert_int_equal(read_arch(data, m.states, &again, &error), MC_OK);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        assert_memory_equal(&out.crown[t], &again.crown[t], sizeof(mc_crown));
    }
    free(data);
    assert_int_equal(mc_arch_write(&out, MC_NOTATION_QUADRANT, NULL, &data, &size, NULL), MC_OK);
    assert_non_null(strstr(data, "\nLR1,2.9,40,"));
    free(data);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(crowns_as_they_stand),
        cmocka_unit_test(files_that_cannot_be),
        cmocka_unit_test(an_arch_is_measured_whole),
        cmocka_unit_test(numbers_that_were_mixed_up),
        cmocka_unit_test(crowns_that_do_not_follow_each_other),
        cmocka_unit_test(is_written_as_it_is_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
