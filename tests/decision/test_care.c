/* Rules 1 and 2: examine, reseat. */
#include "stand.h"

static int with_mobility(int iso, mc_tooth_state state, int grade, int usual) {
    stand *st = stand_new();
    const mc_tooth tooth = mc_tooth_from_iso(iso);
    st->states[tooth] = state;
    st->now.present[tooth] = true;
    st->now.tooth[tooth].mobility = grade;
    st->situation.baseline_mobility[tooth] = usual;
    const int decides = stand_decides(st);
    stand_free(st);
    return decides;
}

static void test_mobility(void **state) {
    (void)state;
    assert_int_equal(with_mobility(12, MC_TOOTH_PRESENT, 3, -1), 1);
    assert_int_equal(with_mobility(12, MC_TOOTH_PRESENT, 3, 3), 1);
    assert_int_equal(with_mobility(12, MC_TOOTH_PRESENT, 2, -1), 1);
    assert_int_equal(with_mobility(12, MC_TOOTH_PRESENT, 2, 1), 1);
    assert_int_equal(with_mobility(12, MC_TOOTH_PRESENT, 2, 2), 11);
    assert_int_equal(with_mobility(12, MC_TOOTH_PRESENT, 1, 0), 11);
    assert_int_equal(with_mobility(12, MC_TOOTH_PRESENT, -1, -1), 11);
    assert_int_equal(with_mobility(55, MC_TOOTH_PRESENT, 3, -1), 1);
    assert_int_equal(with_mobility(55, MC_TOOTH_PRESENT, 2, -1), 11);
    assert_int_equal(with_mobility(55, MC_TOOTH_SHEDDING, 3, -1), 11);
    assert_int_equal(with_mobility(36, MC_TOOTH_SHEDDING, 3, -1), 1); /* no permanent tooth sheds */
}

static void test_examine(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_tooth(st, 26)->pain = MC_YES;
    stand_only(st, 1, MC_PROPOSE_EXAMINE);
    stand_names(st, "26");
    stand_says(st, "26: pain on biting");
    stand_says(st, "The doctor sees this today; no aligner is changed until then");
    stand_says(st, "the movement of this tooth pauses");
    stand_tooth(st, 41)->swelling = MC_YES;
    stand_tooth(st, 12)->mobility = 2;
    stand_only(st, 1, MC_PROPOSE_EXAMINE);
    stand_names(st, "41 12 26");
    stand_says(
        st,
        "Examine 41, 12 and 26 today (41: swelling or pus; 12: mobility grade 2, usually 0; 26");
    stand_tooth(st, 26)->pain = stand_tooth(st, 41)->swelling = MC_NO;
    stand_tooth(st, 12)->mobility = 0;
    assert_int_equal(stand_decides(st), 11);
    stand_free(st);
}

static void test_recession(void **state) {
    (void)state;
    stand *st = stand_new();
    const mc_tooth tooth = mc_tooth_from_iso(33);
    stand_tooth(st, 33)->recession = 3;
    assert_int_equal(stand_decides(st), 11); /* how much of it is new is not known */
    st->situation.baseline_recession[tooth] = 2.1;
    assert_int_equal(stand_decides(st), 11);
    st->situation.baseline_recession[tooth] = 2.0;
    stand_only(st, 1, MC_PROPOSE_EXAMINE);
    stand_says(st, "recession grown by 1 mm");
    st->settings.examine_recession_mm = 1.2;
    assert_int_equal(stand_decides(st), 11);
    stand_free(st);
}

/* Only teeth in the mouth. */
static void test_not_present(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_tooth(st, 18)->mobility = 3;
    stand_gap(&st->now, mc_tooth_from_iso(18), 2);
    assert_int_equal(stand_decides(st), 11);
    stand_free(st);
}

/* ---- 2 ---- */

static void test_large_gap(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_gap(&st->now, mc_tooth_from_iso(12), 0.99);
    assert_int_equal(stand_decides(st), 11);
    stand_gap(&st->now, mc_tooth_from_iso(12), 1.0); /* "above" is read as reaching it */
    stand_only(st, 2, MC_PROPOSE_RESEAT);
    assert_int_equal(st->proposal.arch, MC_UPPER);
    stand_names(st, "12");
    stand_says(st, "The upper aligner 12 does not seat: the gap at 12 is 1 mm (limit 1 mm).");
    stand_says(st, "Is it the right aligner, is it whole? Chew in for 3 minutes");
    stand_says(st, "Do not advance.");
    stand_gap(&st->now, mc_tooth_from_iso(36), 1.3);
    stand_only(st, 2, MC_PROPOSE_RESEAT);
    assert_int_equal(st->proposal.arch, MC_LOWER);
    stand_says(st, "The upper one does not seat either.");
    stand_names(st, "36");
    st->settings.reseat_gap_mm = 1.4;
    assert_int_equal(stand_decides(st), 11);
    stand_free(st);
}

/* 14 upper teeth read: five are more than a third, four are less. */
static void test_many_small_gaps(void **state) {
    (void)state;
    static const int teeth[] = {17, 16, 15, 14, 13};
    stand *st = stand_new();
    for (int i = 0; i < 4; i++) {
        stand_gap(&st->now, mc_tooth_from_iso(teeth[i]), 0.5);
    }
    assert_int_equal(stand_decides(st), 11);
    stand_gap(&st->now, mc_tooth_from_iso(teeth[4]), 0.49);
    assert_int_equal(stand_decides(st), 11);
    stand_gap(&st->now, mc_tooth_from_iso(teeth[4]), 0.5);
    stand_only(st, 2, MC_PROPOSE_RESEAT);
    stand_says(st, "5 of the 14 gaps read are 0.5 mm or more (17, 16, 15, 14 and 13; limit 33 %");
    /* exactly a third: 4 of 12 */
    stand_gap(&st->now, mc_tooth_from_iso(13), NAN);
    stand_gap(&st->now, mc_tooth_from_iso(12), NAN);
    stand_only(st, 2, MC_PROPOSE_RESEAT);
    stand_gap(&st->now, mc_tooth_from_iso(12), 0);
    assert_int_equal(stand_decides(st), 11);
    stand_free(st);
}

/* The one tooth read shows 0.5 mm: that is all of them. */
static void test_one_gap_read(void **state) {
    (void)state;
    stand *st = stand_new();
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        st->now.tooth[tooth].seat_gap = NAN;
    }
    stand_gap(&st->now, mc_tooth_from_iso(12), 0.5);
    stand_only(st, 2, MC_PROPOSE_RESEAT);
    stand_free(st);
}

/* The highest of the last three check-ups' aligners that seated on every tooth read. */
static void test_where_to_go_back(void **state) {
    (void)state;
    stand *st = stand_new();
    const mc_tooth tooth = mc_tooth_from_iso(12);
    stand_gap(&st->now, tooth, 1.2);
    assert_int_equal(stand_decides(st), 2);
    assert_int_equal(st->proposal.to, 9);
    stand_says(st, "(aligner 9 did at check-up 3)");
    stand_gap(&st->past[2], tooth, 0.5); /* at most 0.5 seats */
    assert_int_equal(stand_decides(st), 2);
    assert_int_equal(st->proposal.to, 9);
    stand_gap(&st->past[2], tooth, 0.6);
    assert_int_equal(stand_decides(st), 2);
    assert_int_equal(st->proposal.to, 6);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        st->past[1].tooth[t].seat_gap = NAN; /* not read is not known to seat */
    }
    assert_int_equal(stand_decides(st), 2);
    assert_int_equal(st->proposal.to, 3);
    st->settings.reseat_back = 2;
    assert_int_equal(stand_decides(st), 2);
    assert_int_equal(st->proposal.to, -1);
    st->settings.reseat_back = 3;
    st->situation.earlier_on_plan = 2; /* the third is on another plan */
    assert_int_equal(stand_decides(st), 2);
    assert_int_equal(st->proposal.to, -1);
    st->situation.earlier_on_plan = 3;
    st->past[0].aligner[MC_UPPER] = 12; /* it seated then, but it is the one that does not now */
    assert_int_equal(stand_decides(st), 2);
    assert_int_equal(st->proposal.to, -1);
    assert_null(strstr(st->proposal.sentence, "did at"));
    stand_free(st);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mobility),     cmocka_unit_test(test_examine),
        cmocka_unit_test(test_recession),    cmocka_unit_test(test_not_present),
        cmocka_unit_test(test_large_gap),    cmocka_unit_test(test_many_small_gaps),
        cmocka_unit_test(test_one_gap_read), cmocka_unit_test(test_where_to_go_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
