/* Check-up files that are well. */
#include "given.h"

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

/* Nothing was read but what the tests then look at. */
static void expect_unread(const mc_reading *row, const char *components) {
    for (int c = 0; c < MC_COMPONENTS; c++) {
        assert_int_equal(isnan(row->value[c]) != 0, components[c] == '-');
    }
}

static void the_golden_checkup(void **state) {
    const chair *given = *state;
    char *data;
    size_t size;
    assert_int_equal(mc_file_read(FIXTURES "/golden-checkup.csv", &data, &size, NULL), MC_OK);
    checkup_read read = read_checkup(given, data);
    free(data);
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 0);
    assert_int_equal(read.count, 1);
    const mc_reading *row = &read.rows[0];
    assert_int_equal(row->tooth, tooth_of(12));
    assert_near(row->seat_gap, 0.5, 0);
    expect_unread(row, "x--x--");
    assert_near(row->value[MC_MESIAL], 0.35, 0);
    assert_near(row->value[MC_ROTATION], 6.5, 0);
    assert_false(row->short_of_plan[MC_MESIAL] || row->short_of_plan[MC_ROTATION]);
    assert_int_equal(row->attachment, MC_ATTACHMENT_LOST);
    assert_int_equal(row->mobility, 1);
    assert_int_equal(row->method, MC_METHOD_OF_CHECKUP);
    assert_int_equal(row->contact_mesial, MC_CONTACT_UNSAID);
    assert_int_equal(row->pain, MC_UNSAID);
    assert_int_equal(row->swelling, MC_UNSAID);
    assert_true(isnan(row->recession));
    checkup_read_free(&read);
}

static void an_empty_field_is_never_zero(void **state) {
    checkup_read read = read_checkup(*state, "tooth,seat_gap_mm,mesial_mm,buccal_mm\n12,,0,\n");
    assert_int_equal(read.status, MC_OK);
    assert_true(isnan(read.rows[0].seat_gap));
    expect_unread(&read.rows[0], "x-----");
    assert_near(read.rows[0].value[MC_MESIAL], 0, 0);
    assert_int_equal(read.rows[0].mobility, -1);
    checkup_read_free(&read);
}

static void short_of_todays_plan(void **state) {
    checkup_read read = read_checkup(*state, "tooth,mesial_mm,buccal_mm,rotation_deg\n"
                                             "12,0.2s,-0.1s,2.5s\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 0);
    const mc_reading *row = &read.rows[0];
    expect_unread(row, "xx-x--");
    assert_near(row->value[MC_MESIAL], 0.2, 0);
    assert_near(row->value[MC_BUCCAL], -0.1, 0);
    assert_near(row->value[MC_ROTATION], 2.5, 0);
    assert_true(row->short_of_plan[MC_MESIAL] && row->short_of_plan[MC_BUCCAL] &&
                row->short_of_plan[MC_ROTATION]);
    assert_false(row->short_of_plan[MC_OCCLUSAL]);
    checkup_read_free(&read);
}

static void the_classes_of_the_seat_gap(void **state) {
    static const struct {
        const char *word;
        double gap;
    } classes[] = {{"none", 0},    {"under 0.5", 0.3}, {"under-0.5", 0.3}, {"0.5 to 1", 0.8},
                   {"0.5-1", 0.8}, {"over 1", 1.3},    {"over-1", 1.3},    {"0", 0},
                   {"5", 5},       {"0.7", 0.7}};
    for (size_t i = 0; i < sizeof classes / sizeof *classes; i++) {
        char text[80] = "tooth,seat_gap_mm\n12,";
        strcat(text, classes[i].word);
        checkup_read read = read_checkup(*state, text);
        assert_int_equal(read.status, MC_OK);
        assert_near(read.rows[0].seat_gap, classes[i].gap, 0);
        checkup_read_free(&read);
    }
}

static void every_column(void **state) {
    checkup_read read = read_checkup(
        *state, "method,recession_mm,swelling,pain,contact_distal,contact_mesial,mobility,"
                "attachment,tooth\r\n"
                "scan,1.5,no,yes,open,tight,0,intact,12\r\n"
                "eye,0,yes,no,normal,open,3,worn,13\r\n"
                ",,,,,,,loose,14\r\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.count, 3);
    const mc_reading *row = read.rows;
    assert_int_equal(row[0].method, MC_SCAN);
    assert_near(row[0].recession, 1.5, 0);
    assert_int_equal(row[0].swelling, MC_NO);
    assert_int_equal(row[0].pain, MC_YES);
    assert_int_equal(row[0].contact_distal, MC_CONTACT_OPEN);
    assert_int_equal(row[0].contact_mesial, MC_CONTACT_TIGHT);
    assert_int_equal(row[0].mobility, 0);
    assert_int_equal(row[0].attachment, MC_ATTACHMENT_INTACT);
    assert_int_equal(row[1].method, MC_EYE);
    assert_near(row[1].recession, 0, 0);
    assert_int_equal(row[1].swelling, MC_YES);
    assert_int_equal(row[1].contact_distal, MC_CONTACT_NORMAL);
    assert_int_equal(row[1].mobility, 3);
    assert_int_equal(row[1].attachment, MC_ATTACHMENT_WORN);
    assert_int_equal(row[2].attachment, MC_ATTACHMENT_LOOSE);
    assert_int_equal(row[2].method, MC_METHOD_OF_CHECKUP);
    assert_int_equal(row[2].mobility, -1);
    checkup_read_free(&read);
}

static void what_was_said_of_all_the_rest_at_once(void **state) {
    checkup_read read = read_checkup(*state, "seat_in_bulk,tooth,seat_gap_mm\nyes,12,0\n"
                                             "no,13,0\n,14,none\n,15,0.4\nyes,16,none\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.count, 5);
    for (size_t i = 0; i < read.count; i++)
        assert_int_equal(read.rows[i].seat_in_bulk, i == 0 || i == 4);
    checkup_read_free(&read);
}

static void repeated_rows_are_repeated_readings(void **state) {
    checkup_read read = read_checkup(*state, "tooth,mesial_mm\n12,0.5\n13,0.1\n12,0.6\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.count, 3);
    assert_int_equal(read.rows[0].tooth, tooth_of(12));
    assert_int_equal(read.rows[2].tooth, tooth_of(12));
    assert_near(read.rows[2].value[MC_MESIAL], 0.6, 0);
    checkup_read_free(&read);
}

static void what_lies_at_the_edge_of_the_possible(void **state) {
    checkup_read read =
        read_checkup(*state, "tooth,mesial_mm,rotation_deg,seat_gap_mm,recession_mm\n"
                             "14,20,-90,5,20\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 2); /* unlikely, not impossible */
    checkup_read_free(&read);
}

static void findings_need_no_aligner(void **state) {
    /* the lower arch has no series at all; then one, but no aligner given */
    chair *given = *state;
    const char *text = "tooth,mobility,pain\n41,2,yes\n";
    checkup_read read = read_checkup(given, text);
    assert_int_equal(read.status, MC_OK);
    checkup_read_free(&read);
    add_row(given->plan, 33, 20, (double[]){1, 0, 0, 0, 0, 0});
    read = read_checkup(given, text);
    assert_int_equal(read.status, MC_OK);
    checkup_read_free(&read);
}

static void positions_can_be_read_where_no_series_is(void **state) {
    checkup_read read = read_checkup(*state, "tooth,mesial_mm\n33,0.4\n");
    assert_int_equal(read.status, MC_OK);
    assert_near(read.rows[0].value[MC_MESIAL], 0.4, 0);
    checkup_read_free(&read);
}

static void teeth_that_may_not_move_can_be_read(void **state) {
    chair *given = *state;
    given->states[tooth_of(16)] = MC_TOOTH_IMPLANT;
    given->states[tooth_of(55)] = MC_TOOTH_SHEDDING;
    checkup_read read = read_checkup(given, "tooth,mesial_mm\n16,0.1\n55,0.2\n");
    assert_int_equal(read.status, MC_OK);
    checkup_read_free(&read);
}

static void other_notations(void **state) {
    chair *given = *state;
    given->context.notation = MC_NOTATION_UNIVERSAL;
    checkup_read read = read_checkup(given, "tooth,mesial_mm\n7,0.5\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.rows[0].tooth, tooth_of(12));
    checkup_read_free(&read);
}

static void remarks_of_any_kind(void **state) {
    checkup_read read = read_checkup(*state, "\xef\xbb\xbf# made-from: nothing\n\ntooth,mobility\n"
                                             "# note\n\"12\",\"1\"");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.count, 1);
    checkup_read_free(&read);
}

/* A tracker of the plan that has taken in one check-up, of that aligner of the upper arch. */
static mc_tracker *tracked(const chair *given, int aligner, const mc_reading *row) {
    mc_checkup checkup = {.number = 1,
                          .date = 20000,
                          .aligner = {aligner, MC_NO_ALIGNER},
                          .day = {-1, -1},
                          .wear_hours = NAN,
                          .method = MC_CALIPER,
                          .states = given->states,
                          .rows = row,
                          .count = 1};
    mc_tracker *tracker = mc_tracker_new(&given->settings);
    assert_non_null(tracker);
    mc_tracker_begin(tracker, given->plan, NULL);
    assert_int_equal(mc_tracker_add(tracker, &checkup, NULL), MC_OK);
    return tracker;
}

static void readings_against_a_neighbour(void **state) {
    chair *given = *state;
    given->context.effective_stage[MC_UPPER] = 0; /* so that these are baselines */
    checkup_read read =
        read_checkup(given, "tooth,space_mesial_mm,space_distal_mm,step_mesial_mm,step_distal_mm,"
                            "height_mesial_mm,height_distal_mm,crown_angle_deg\n"
                            "12,0,20,-20,0.1,-0.2,0.3,-180\n12,0.5,,,,,,\n");
    given->context.effective_stage[MC_UPPER] = 12;
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 3); /* large, for a baseline */
    assert_int_equal(read.count, 2);
    static const double want[MC_RELATIVES] = {0, 20, -20, 0.1, -0.2, 0.3, -180};
    for (int i = 0; i < MC_RELATIVES; i++) {
        assert_near(read.rows[0].relative[i], want[i], 0);
        assert_true(i == 0 || isnan(read.rows[1].relative[i]));
    }
    assert_near(read.rows[1].relative[MC_SPACE_TO_MESIAL], 0.5, 0);
    checkup_read_free(&read);
}

/* Baselines of 12: 1 mm to 11, and 3 deg; at stage 12 the plan has it 0.6 mm mesially and turned by
 * 9 deg, so that 0.4 mm and 12 deg should be read. */
static void an_unlikely_reading_against_a_neighbour(void **state) {
    chair *given = *state;
    mc_reading row = mc_reading_none(tooth_of(12));
    row.relative[MC_SPACE_TO_MESIAL] = 1;
    row.relative[MC_CROWN_ANGLE] = 3;
    mc_tracker *tracker = tracked(given, 0, &row);
    given->context.tracker = tracker;
    checkup_read read =
        read_checkup(given, "tooth,space_mesial_mm,crown_angle_deg\n12,1.4,18\n12,2,-2.9\n"
                            "12,1.99,17.9\n12,2.345,-3.21\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 4);
    expect_warning(&read.warnings, 0, 2, 8,
                   "12 crown angle: 18 deg is unlikely: it should read 12, last read 3");
    expect_warning(&read.warnings, 1, 3, 4,
                   "12 space mesial: 2 mm is unlikely: it should read 0.4, last read 1");
    expect_warning(&read.warnings, 2, 5, 4,
                   "12 space mesial: 2.35 mm is unlikely: it should read 0.4, last read 1");
    expect_warning(&read.warnings, 3, 5, 10,
                   "12 crown angle: -3.2 deg is unlikely: it should read 12, last read 3");
    checkup_read_free(&read);
    mc_tracker_free(tracker);
    given->context.tracker = NULL;
}

static void a_reading_that_cannot_be_used(void **state) {
    chair *given = *state;
    static const char never[] = "12 step distal: no reading of it at stage 0 of this plan, against "
                                "this neighbour: it is kept, but not used";
    static const char angle[] =
        "12 crown angle: no reading of it at stage 0 of this plan: it is kept, but not used";
    checkup_read read = read_checkup(given, "tooth,step_distal_mm,crown_angle_deg\n12,0.1,2\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 2);
    expect_warning(&read.warnings, 0, 2, 4, never);
    expect_warning(&read.warnings, 1, 2, 8, angle);
    checkup_read_free(&read);
    mc_reading row = mc_reading_none(tooth_of(12));
    row.relative[MC_STEP_TO_DISTAL] = 0.1; /* first read after movement began: never a baseline */
    mc_tracker *tracker = tracked(given, 6, &row);
    given->context.tracker = tracker;
    given->context.effective_stage[MC_UPPER] = 0;
    read = read_checkup(given, "tooth,step_distal_mm,crown_angle_deg\n12,0.1,2\n");
    assert_int_equal(read.warnings.count, 1);
    expect_warning(&read.warnings, 0, 2, 4, never);
    checkup_read_free(&read);
    mc_tracker_free(tracker);
    given->context.tracker = NULL;
    given->context.effective_stage[MC_UPPER] = 12;
}

/* Before anything has moved there is nothing to hold a baseline to but what teeth usually do. */
static void a_large_baseline(void **state) {
    chair *given = *state;
    given->context.effective_stage[MC_UPPER] = 0;
    checkup_read read = read_checkup(
        given, "tooth,space_mesial_mm,step_mesial_mm,height_distal_mm,crown_angle_deg\n"
               "12,9.99,-4.99,4.99,-89.9\n12,10,,,\n12,,-5,,\n12,,,5,\n12,,,,-90\n");
    assert_int_equal(read.status, MC_OK);
    assert_int_equal(read.warnings.count, 4);
    expect_warning(&read.warnings, 0, 3, 4, "12 space mesial: 10 mm is unlikely as a baseline");
    expect_warning(&read.warnings, 1, 4, 5, "12 step mesial: -5 mm is unlikely as a baseline");
    expect_warning(&read.warnings, 2, 5, 6, "12 height distal: 5 mm is unlikely as a baseline");
    expect_warning(&read.warnings, 3, 6, 7, "12 crown angle: -90 deg is unlikely as a baseline");
    checkup_read_free(&read);
    given->context.effective_stage[MC_UPPER] = 12;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_golden_checkup, set_up, tear_down),
        cmocka_unit_test_setup_teardown(readings_against_a_neighbour, set_up, tear_down),
        cmocka_unit_test_setup_teardown(an_unlikely_reading_against_a_neighbour, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_reading_that_cannot_be_used, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_large_baseline, set_up, tear_down),
        cmocka_unit_test_setup_teardown(an_empty_field_is_never_zero, set_up, tear_down),
        cmocka_unit_test_setup_teardown(short_of_todays_plan, set_up, tear_down),
        cmocka_unit_test_setup_teardown(the_classes_of_the_seat_gap, set_up, tear_down),
        cmocka_unit_test_setup_teardown(every_column, set_up, tear_down),
        cmocka_unit_test_setup_teardown(repeated_rows_are_repeated_readings, set_up, tear_down),
        cmocka_unit_test_setup_teardown(what_was_said_of_all_the_rest_at_once, set_up, tear_down),
        cmocka_unit_test_setup_teardown(what_lies_at_the_edge_of_the_possible, set_up, tear_down),
        cmocka_unit_test_setup_teardown(findings_need_no_aligner, set_up, tear_down),
        cmocka_unit_test_setup_teardown(positions_can_be_read_where_no_series_is, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(teeth_that_may_not_move_can_be_read, set_up, tear_down),
        cmocka_unit_test_setup_teardown(other_notations, set_up, tear_down),
        cmocka_unit_test_setup_teardown(remarks_of_any_kind, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
