/* Check-up files that are refused, and those that are warned of: each at its line and column. */
#include "given.h"

#include <stdio.h>

static int set_up(void **state) {
    *state = malloc(sizeof(chair));
    assert_non_null(*state);
    chair_set_up(*state);
    return 0;
}

static int tear_down(void **state) {
    chair_free(*state);
    free(*state);
    return 0;
}

/* ---- the file and its fields ---- */

static void files_that_are_no_checkup(void **state) {
    refuse_checkup(*state, "", 1, 1, "the file is empty");
    refuse_checkup(*state, "tooth,mesial_mm\n", 1, 1, "there are no rows below the header");
    refuse_checkup(*state, "seat_gap_mm\n0.5\n", 1, 1, "the column \"tooth\" is missing");
    refuse_checkup(*state, "tooth,stage\n12,8\n", 1, 7, "unknown column \"stage\"");
    refuse_checkup(*state, "tooth,pain,pain\n12,no,no\n", 1, 12, "repeated column \"pain\"");
    refuse_checkup(*state, "tooth,seat_gap_mm,mesial_mm\n12,0.5\n", 2, 7,
                   "missing field: the row ends before \"mesial_mm\"");
    refuse_checkup(*state, "tooth,mobility\n12,1,lost\n", 2, 6, "a field more");
}

static void too_many_rows(void **state) {
    enum { ROWS = MC_TEETH * 100 + 1 };
    char *text = malloc(32 + ROWS * 5);
    assert_non_null(text);
    size_t size = (size_t)sprintf(text, "tooth,mobility\n");
    for (int i = 0; i < ROWS; i++) {
        size += (size_t)sprintf(text + size, "12,1\n");
    }
    refuse_checkup(*state, text, ROWS + 1, 1, "more than 5200 rows");
    text[size - 5] = '\0';
    checkup_read read = read_checkup(*state, text);
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.count, ROWS - 1);
    checkup_read_free(&read);
    free(text);
}

static void unknown_teeth(void **state) {
    refuse_checkup(*state, "tooth,mobility\n12,1\n99,1\n", 3, 1, "unknown tooth \"99\"");
    refuse_checkup(*state, "mobility,tooth\n1,\n", 2, 3, "the tooth is missing");
}

static void teeth_that_do_not_stand(void **state) {
    chair *given = *state;
    given->states[tooth_of(14)] = MC_TOOTH_EXTRACTED;
    refuse_checkup(given, "mobility,tooth\n1,14\n", 2, 3,
                   "the case does not have tooth 14 (extracted)");
}

static void numbers_that_are_none(void **state) {
    static const char *const wrong[] = {"x", "1,5", "1e1", "s", "1ss", "1 s", "nan", "-s", "1S"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        char text[80];
        snprintf(text, sizeof text, "tooth,mesial_mm\n12,\"%s\"\n", wrong[i]);
        refuse_checkup(*state, text, 2, 4, "is no plain decimal number");
    }
    refuse_checkup(*state, "tooth,seat_gap_mm\n12,some\n", 2, 4, "seat_gap_mm: \"some\" is no");
    refuse_checkup(*state, "tooth,seat_gap_mm\n12,0.5s\n", 2, 4, "seat_gap_mm: \"0.5s\" is no");
    refuse_checkup(*state, "tooth,recession_mm\n12,x\n", 2, 4, "recession_mm: \"x\" is no");
}

static void seat_gaps_that_cannot_be(void **state) {
    refuse_checkup(*state, "tooth,seat_gap_mm\n12,-0.1\n", 2, 4,
                   "seat_gap_mm: -0.1 is outside 0 to 5");
    refuse_checkup(*state, "tooth,seat_gap_mm\n12,5.1\n", 2, 4,
                   "seat_gap_mm: 5.1 is outside 0 to 5");
}

static void more_than_20_mm_or_90_deg(void **state) {
    refuse_checkup(*state, "tooth,mesial_mm\n12,20.1\n", 2, 4,
                   "mesial_mm: 20.1 is outside -20 to 20");
    refuse_checkup(*state, "tooth,mesial_mm,occlusal_mm\n12,,-21\n", 2, 5, "is outside -20 to 20");
    refuse_checkup(*state, "tooth,rotation_deg\n12,91\n", 2, 4, "is outside -90 to 90");
    refuse_checkup(*state, "tooth,inclination_deg\n12,-90.5\n", 2, 4, "is outside -90 to 90");
}

static void short_values_that_cannot_be(void **state) {
    refuse_checkup(*state, "tooth,mesial_mm\n12,20.5s\n", 2, 4, "is outside -20 to 20");
    refuse_checkup(*state, "tooth,rotation_deg\n12,-91s\n", 2, 4, "is outside -90 to 90");
    /* planned is 0.6 mm mesial, so this would be 20.1 mm */
    refuse_checkup(*state, "tooth,mesial_mm\n12,-19.5s\n", 2, 4,
                   "12: 20.1 mm from stage 0 cannot be (at most 20)");
    refuse_checkup(*state, "tooth,rotation_deg\n12,-85s\n", 2, 4,
                   "12: 94 deg from stage 0 cannot be (at most 90)");
}

static void mobility_and_recession_that_cannot_be(void **state) {
    refuse_checkup(*state, "tooth,mobility\n12,4\n", 2, 4, "mobility: 4 is outside 0 to 3");
    refuse_checkup(*state, "tooth,mobility\n12,1.5\n", 2, 4, "no whole number from 0 to 3");
    refuse_checkup(*state, "tooth,mobility\n12,-1\n", 2, 4, "no whole number from 0 to 3");
    refuse_checkup(*state, "tooth,recession_mm\n12,-1\n", 2, 4, "is outside 0 to 20");
    refuse_checkup(*state, "tooth,recession_mm\n12,20.5\n", 2, 4, "is outside 0 to 20");
}

static void words_that_are_none(void **state) {
    refuse_checkup(*state, "tooth,attachment\n12,gone\n", 2, 4,
                   "attachment: \"gone\" is none of intact, worn, loose, lost");
    refuse_checkup(*state, "tooth,attachment\n12,unsaid\n", 2, 4, "attachment: \"unsaid\"");
    refuse_checkup(*state, "tooth,contact_mesial\n12,closed\n", 2, 4,
                   "contact_mesial: \"closed\" is none of open, normal, tight");
    refuse_checkup(*state, "tooth,contact_distal\n12,Open\n", 2, 4, "contact_distal: \"Open\"");
    refuse_checkup(*state, "tooth,pain\n12,1\n", 2, 4, "pain: \"1\" is none of yes, no");
    refuse_checkup(*state, "tooth,swelling\n12,y\n", 2, 4, "swelling: \"y\" is none of yes, no");
    refuse_checkup(*state, "tooth,mobility,method\n12,1,ruler\n", 2, 6,
                   "method: \"ruler\" is none of eye, caliper, photo, landmarks, scan");
}

static void only_a_seat_is_said_in_bulk(void **state) {
    static const char words[] = "12: only a seat gap of 0 is said in bulk";
    refuse_checkup(*state, "tooth,seat_gap_mm,seat_in_bulk\n12,0.3,yes\n", 2, 8, words);
    refuse_checkup(*state, "seat_in_bulk,tooth,seat_gap_mm,mobility\nyes,12,,1\n", 2, 1, words);
    refuse_checkup(*state, "tooth,seat_in_bulk\n12,no\n", 2, 1, "nothing is said of tooth 12");
    refuse_checkup(*state, "tooth,seat_gap_mm,seat_in_bulk\n12,0,all\n", 2, 6,
                   "seat_in_bulk: \"all\" is none of yes, no");
}

/* ---- what cannot be said of this tooth now ---- */

static void no_aligner_given(void **state) {
    chair *given = *state;
    add_row(given->plan, 33, 24, (double[]){1, 0, 0, 0, 0, 0});
    refuse_checkup(given, "tooth,mobility,mesial_mm\n33,1,0.4\n", 2, 6,
                   "no aligner is given for the lower arch: add --lower K");
    refuse_checkup(given, "tooth,mesial_mm\n33,0.1s\n", 2, 4, "add --lower K");
    refuse_checkup(given, "tooth,seat_gap_mm\n41,0.4\n", 2, 4, "add --lower K");
    given->context.effective_stage[MC_UPPER] = NAN;
    refuse_checkup(given, "tooth,seat_gap_mm\n12,0.4\n", 2, 4, "add --upper K");
}

static void a_seat_gap_without_a_series(void **state) {
    refuse_checkup(*state, "tooth,seat_gap_mm\n33,0.4\n", 2, 4,
                   "the lower arch has no series, so nothing is seated on it");
}

static void short_of_a_plan_that_does_not_move(void **state) {
    refuse_checkup(*state, "tooth,inclination_deg\n12,1s\n", 2, 4,
                   "short of plan needs a planned movement: 12 inclination is not planned to move "
                   "by stage 12");
    /* 13 starts at stage 14 only; 14 is not in the plan; the lower arch has none */
    refuse_checkup(*state, "tooth,mesial_mm\n12,0.1s\n13,0.1s\n", 3, 4,
                   "13 mesial is not planned to move by stage 12");
    refuse_checkup(*state, "tooth,buccal_mm\n14,0s\n", 2, 4, "14 buccal is not planned to move");
    refuse_checkup(*state, "tooth,buccal_mm\n33,1s\n", 2, 4, "33 buccal is not planned to move");
}

static void rows_that_say_nothing(void **state) {
    refuse_checkup(*state, "tooth,mesial_mm,method\n12,0.1,\n13,,scan\n", 3, 1,
                   "nothing is said of tooth 13");
    refuse_checkup(*state, "tooth\n12\n", 2, 1, "nothing is said of tooth 12");
}

static void the_first_fault_of_the_file(void **state) {
    refuse_checkup(*state, "tooth,mesial_mm,mobility\n12,25,9\n99,0,0\n", 2, 4, "mesial_mm");
    refuse_checkup(*state, "tooth,mesial_mm,mobility\n12,5,0\n13,,9\n99,0,0\n", 3, 5, "mobility");
}

/* ---- warnings ---- */

static void warn_once(const chair *given, const char *text, long line, long column,
                      const char *warning) {
    checkup_read read = read_checkup(given, text);
    assert_int_equal(read.status, MC_OK);
    assert_non_null(read.rows);
    expect_warning(&read.warnings, 0, line, column, warning);
    assert_int_equal(read.warnings.count, 1);
    checkup_read_free(&read);
}

static void warn_never(const chair *given, const char *text) {
    checkup_read read = read_checkup(given, text);
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 0);
    checkup_read_free(&read);
}

static void far_from_the_plan_and_never_read(void **state) {
    /* planned for today: 0.6 mm mesial, 9 deg mesial-in */
    warn_never(*state, "tooth,mesial_mm\n12,-0.39\n");
    warn_once(*state, "tooth,mesial_mm\n12,-0.5\n", 2, 4,
              "12 mesial: -0.5 mm is unlikely: planned 0.6, last read never");
    warn_never(*state, "tooth,rotation_deg\n12,14.9\n");
    warn_once(*state, "tooth,mobility,rotation_deg\n12,1,15.5\n", 2, 6,
              "12 rotation: 15.5 deg is unlikely: planned 9, last read never");
    warn_once(*state, "tooth,mesial_mm\n33,-1.5\n", 2, 4,
              "33 mesial: -1.5 mm is unlikely: planned 0, last read never");
}

static void far_from_plan_and_last_reading(void **state) {
    chair *given = *state;
    given->last[tooth_of(12)][MC_MESIAL] = -0.9;
    warn_never(given, "tooth,mesial_mm\n12,-0.5\n"); /* near the last reading */
    warn_never(given, "tooth,mesial_mm\n12,0.5\n");  /* near the plan */
    warn_once(given, "tooth,mesial_mm\n12,-2\n", 2, 4,
              "12 mesial: -2 mm is unlikely: planned 0.6, last read -0.9");
    warn_once(given, "tooth,mesial_mm\n12,1.7\n", 2, 4,
              "12 mesial: 1.7 mm is unlikely: planned 0.6, last read -0.9");
}

static void what_is_short_is_weighed_as_a_position(void **state) {
    chair *given = *state;
    warn_never(given, "tooth,rotation_deg\n12,5.5s\n");
    warn_once(given, "tooth,rotation_deg\n12,7s\n", 2, 4,
              "12 rotation: 2 deg is unlikely: planned 9, last read never");
    /* buccal goes the other way: planned -0.45 */
    warn_once(given, "tooth,buccal_mm\n12,1.25s\n", 2, 4,
              "12 buccal: 0.8 mm is unlikely: planned -0.45, last read never");
    given->last[tooth_of(12)][MC_ROTATION] = 3;
    warn_never(given, "tooth,rotation_deg\n12,7s\n");
}

static void without_any_earlier_reading(void **state) {
    chair *given = *state;
    given->context.last_observed = NULL;
    warn_once(given, "tooth,mesial_mm\n12,-0.5\n", 2, 4,
              "12 mesial: -0.5 mm is unlikely: planned 0.6, last read never");
}

static void warnings_come_in_the_files_order(void **state) {
    checkup_read read = read_checkup(*state, "tooth,rotation_deg,mesial_mm\n13,20,5\n12,-1,5\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 4);
    const long places[4][2] = {{2, 4}, {2, 7}, {3, 4}, {3, 7}};
    for (int i = 0; i < 4; i++) {
        assert_int_equal(read.warnings.list[i].line, places[i][0]);
        assert_int_equal(read.warnings.list[i].column, places[i][1]);
    }
    checkup_read_free(&read);
}

static void what_cannot_be_read_against_a_neighbour(void **state) {
    chair *given = *state;
    refuse_checkup(given, "tooth,space_mesial_mm\n12,-0.1\n", 2, 4, "space_mesial_mm");
    refuse_checkup(given, "tooth,space_distal_mm\n12,20.1\n", 2, 4, "space_distal_mm");
    refuse_checkup(given, "tooth,step_mesial_mm\n12,-20.1\n", 2, 4, "step_mesial_mm");
    refuse_checkup(given, "tooth,height_distal_mm\n12,nan\n", 2, 4, "height_distal_mm");
    refuse_checkup(given, "tooth,crown_angle_deg\n12,180.5\n", 2, 4, "crown_angle_deg");
    refuse_checkup(given, "tooth,step_distal_mm\n18,0.1\n", 2, 4,
                   "18: no tooth stands on that side of it");
    given->states[tooth_of(18)] = MC_TOOTH_MISSING;
    refuse_checkup(given, "tooth,space_distal_mm\n17,0.1\n", 2, 4,
                   "17: no tooth stands on that side of it");
    given->states[tooth_of(18)] = MC_TOOTH_PRESENT;
    given->context.effective_stage[MC_UPPER] = NAN;
    refuse_checkup(given, "tooth,crown_angle_deg\n12,1\n", 2, 4,
                   "no aligner is given for the upper arch: add --upper K");
    refuse_checkup(given, "tooth,method,step_mesial_mm\n12,scan,\n", 2, 1, "nothing is said");
    given->context.effective_stage[MC_UPPER] = 12;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(files_that_are_no_checkup, set_up, tear_down),
        cmocka_unit_test_setup_teardown(what_cannot_be_read_against_a_neighbour, set_up, tear_down),
        cmocka_unit_test_setup_teardown(too_many_rows, set_up, tear_down),
        cmocka_unit_test_setup_teardown(unknown_teeth, set_up, tear_down),
        cmocka_unit_test_setup_teardown(teeth_that_do_not_stand, set_up, tear_down),
        cmocka_unit_test_setup_teardown(numbers_that_are_none, set_up, tear_down),
        cmocka_unit_test_setup_teardown(seat_gaps_that_cannot_be, set_up, tear_down),
        cmocka_unit_test_setup_teardown(more_than_20_mm_or_90_deg, set_up, tear_down),
        cmocka_unit_test_setup_teardown(short_values_that_cannot_be, set_up, tear_down),
        cmocka_unit_test_setup_teardown(mobility_and_recession_that_cannot_be, set_up, tear_down),
        cmocka_unit_test_setup_teardown(words_that_are_none, set_up, tear_down),
        cmocka_unit_test_setup_teardown(only_a_seat_is_said_in_bulk, set_up, tear_down),
        cmocka_unit_test_setup_teardown(no_aligner_given, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_seat_gap_without_a_series, set_up, tear_down),
        cmocka_unit_test_setup_teardown(short_of_a_plan_that_does_not_move, set_up, tear_down),
        cmocka_unit_test_setup_teardown(rows_that_say_nothing, set_up, tear_down),
        cmocka_unit_test_setup_teardown(the_first_fault_of_the_file, set_up, tear_down),
        cmocka_unit_test_setup_teardown(far_from_the_plan_and_never_read, set_up, tear_down),
        cmocka_unit_test_setup_teardown(far_from_plan_and_last_reading, set_up, tear_down),
        cmocka_unit_test_setup_teardown(what_is_short_is_weighed_as_a_position, set_up, tear_down),
        cmocka_unit_test_setup_teardown(without_any_earlier_reading, set_up, tear_down),
        cmocka_unit_test_setup_teardown(warnings_come_in_the_files_order, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
