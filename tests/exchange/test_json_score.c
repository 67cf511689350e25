/* The document of `score`: its shape, names and order, and that nothing absent becomes a number.
 * The numbers are those of the documented example, put in by hand: here only the way out is tested.
 */
#include "given.h"

#include <jansson.h>

static int set_up(void **state) {
    mc_score *score = calloc(1, sizeof *score);
    assert_non_null(score);
    mc_tooth_score none = {.state = MC_STATE_UNMEASURED,
                           .lag_index = NAN,
                           .risk_weight = 1,
                           .worst = MC_WORST_NONE,
                           .p_behind = NAN,
                           .lag_stages = NAN,
                           .lag_stages_low = NAN,
                           .lag_stages_high = NAN,
                           .stage_equivalent = NAN,
                           .off_path = NAN,
                           .tracked_share = NAN,
                           .tracked_share_se = NAN,
                           .seat_gap = NAN,
                           .seat_index = NAN,
                           .seat_p = NAN,
                           .mobility = -1,
                           .recession = NAN};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        score->present[tooth] =
            !mc_tooth_is_deciduous(tooth) && mc_tooth_position(tooth) != 8 && tooth != tooth_of(11);
        score->tooth[tooth] = none;
    }
    score->present[tooth_of(51)] = true; /* stands where 11 will come */
    score->number = 1;
    assert_true(mc_day_parse("2026-03-04", &score->date));
    score->aligner[MC_UPPER] = 12;
    score->day[MC_UPPER] = -1;
    score->stages[MC_UPPER] = 24;
    score->effective_stage[MC_UPPER] = 12;
    score->aligner[MC_LOWER] = MC_NO_ALIGNER;
    score->day[MC_LOWER] = -1;
    score->effective_stage[MC_LOWER] = NAN;
    score->wear_hours = NAN;
    score->pace_mean = 0.009377;
    score->pace_sd = 0.171389;
    score->count[MC_STATE_BEHIND] = 1;
    score->count[MC_STATE_UNMEASURED] = 27;
    score->present_count = 28;
    score->measured = 1;
    score->worst = tooth_of(12);
    score->lag_index = 2.118091;
    *state = score;
    return 0;
}

static void fill_12(mc_score *score) {
    mc_tooth_score *t = &score->tooth[tooth_of(12)];
    t->state = MC_STATE_BEHIND;
    t->lag_index = 2.118091;
    t->risk_weight = 1.5;
    t->worst = MC_ROTATION;
    t->p_behind = 1;
    t->lag_stages = 3.823136;
    t->lag_stages_low = 2.5;
    t->lag_stages_high = 5.25;
    t->stage_equivalent = 8.176864;
    t->off_path = 0.083890;
    t->tracked_share = 0.681405;
    t->tracked_share_se = 0.207623;
    t->seat_gap = 0.5;
    t->seat_index = 1;
    t->seat_p = 1;
    t->seat_kind = MC_KIND_SHORT;
    t->attachment = MC_ATTACHMENT_LOST;
    t->mobility = 1;
    t->item[MC_ROTATION] = (mc_item){.read = true,
                                     .followed = true,
                                     .readings = 1,
                                     .planned = 9,
                                     .observed = 6.5,
                                     .sd = 3,
                                     .mean = 6.175878,
                                     .sd_x = 1.940681,
                                     .leg_from = 0,
                                     .direction = 1,
                                     .kind = MC_KIND_SHORT,
                                     .shortfall = 2.824122,
                                     .tolerance = 2,
                                     .index = 1.412061,
                                     .raw_index = 1.25,
                                     .weight = 1.5,
                                     .p = 0.664456};
    /* followed from an earlier check-up, but not read at this one */
    t->item[MC_MESIAL] = (mc_item){.followed = true, .mean = 0.3, .sd_x = 0.2, .p = NAN};
}

static int tear_down(void **state) {
    free(*state);
    return 0;
}

/* The names of an object's members, in their order. */
static void expect_names(const json_t *object, const char *expected) {
    char names[600] = "";
    const char *name;
    json_t *value;
    assert_true(json_is_object(object));
    json_object_foreach((json_t *)object, name, value) {
        strcat(strcat(names, *names ? " " : ""), name);
    }
    assert_string_equal(names, expected);
}

/* The member at a path such as "checkup/upper". */
static json_t *at(json_t *document, const char *path) {
    char copy[100];
    strcpy(copy, path);
    json_t *found = document;
    for (char *name = strtok(copy, "/"); name; name = strtok(NULL, "/")) {
        found = json_object_get(found, name);
        if (!found) {
            fail_msg("%s is missing", path);
        }
    }
    return found;
}

static void expect_real(json_t *document, const char *path, double expected) {
    assert_true(json_is_number(at(document, path)));
    assert_near(json_number_value(at(document, path)), expected, 0);
}

static void expect_whole(json_t *document, const char *path, long expected) {
    assert_true(json_is_integer(at(document, path)));
    assert_int_equal(json_integer_value(at(document, path)), expected);
}

static void expect_word(json_t *document, const char *path, const char *expected) {
    assert_true(json_is_string(at(document, path)));
    assert_string_equal(json_string_value(at(document, path)), expected);
}

static void expect_null(json_t *document, const char *path) {
    if (!json_is_null(at(document, path))) {
        fail_msg("%s is not null", path);
    }
}

static json_t *tooth_named(json_t *document, const char *name) {
    size_t i;
    json_t *tooth;
    json_array_foreach(at(document, "teeth"), i, tooth) {
        if (strcmp(json_string_value(at(tooth, "tooth")), name) == 0) {
            return tooth;
        }
    }
    return NULL;
}

static void what_was_read_against_a_neighbour(void **state) {
    mc_score *score = *state;
    fill_12(score);
    score->tooth[tooth_of(12)].relative[MC_STEP_TO_DISTAL] =
        (mc_relative_item){.readings = 1,
                           .read = -0.4,
                           .neighbour = tooth_of(13),
                           .baseline = -0.5,
                           .should_read = -0.1};
    score->tooth[tooth_of(12)].relative[MC_CROWN_ANGLE] = (mc_relative_item){
        .readings = 2, .read = 7, .neighbour = MC_NO_TOOTH, .baseline = NAN, .should_read = NAN};
    json_t *document = mc_json_score("4711", score);
    json_t *list = at(tooth_named(document, "12"), "relative");
    assert_int_equal(json_array_size(list), 2);
    json_t *step = json_array_get(list, 0), *angle = json_array_get(list, 1);
    expect_names(step, "what neighbour baseline should_read read");
    expect_word(step, "what", "step distal");
    expect_word(step, "neighbour", "13");
    expect_real(step, "baseline", -0.5);
    expect_real(step, "should_read", -0.1);
    expect_real(step, "read", -0.4);
    expect_word(angle, "what", "crown angle");
    expect_null(angle, "neighbour");
    expect_null(angle, "baseline");
    expect_null(angle, "should_read");
    expect_real(angle, "read", 7);
    assert_int_equal(json_array_size(at(tooth_named(document, "13"), "relative")), 0);
    json_decref(document);
}

static void the_document(void **state) {
    json_t *document = mc_json_score("4711/2", *state);
    assert_non_null(document);
    expect_names(document, "format case checkup summary pace teeth");
    expect_whole(document, "format", 1);
    expect_word(document, "case", "4711/2");
    expect_names(at(document, "checkup"), "number date upper lower wear_hours");
    expect_whole(document, "checkup/number", 1);
    expect_word(document, "checkup/date", "2026-03-04");
    expect_names(at(document, "checkup/upper"), "aligner day effective_stage stages");
    expect_whole(document, "checkup/upper/aligner", 12);
    expect_null(document, "checkup/upper/day");
    expect_real(document, "checkup/upper/effective_stage", 12);
    expect_whole(document, "checkup/upper/stages", 24);
    expect_null(document, "checkup/lower");
    expect_null(document, "checkup/wear_hours");
    expect_names(at(document, "summary"), "present measured on_plan seated slipping behind stalled "
                                          "past_plan drifting unmeasured worst lag_index");
    expect_whole(document, "summary/present", 28);
    expect_whole(document, "summary/measured", 1);
    expect_whole(document, "summary/behind", 1);
    expect_whole(document, "summary/on_plan", 0);
    expect_whole(document, "summary/unmeasured", 27);
    expect_word(document, "summary/worst", "12");
    expect_real(document, "summary/lag_index", 2.118091);
    expect_names(at(document, "pace"), "mean sd");
    expect_real(document, "pace/mean", 0.009377);
    expect_real(document, "pace/sd", 0.171389);
    json_decref(document);
}

static void a_tooth_that_was_read(void **state) {
    fill_12(*state);
    json_t *document = mc_json_score("4711", *state);
    json_t *tooth = tooth_named(document, "12");
    expect_names(tooth, "tooth state lag_index risk_weight worst p_behind lag_stages "
                        "lag_stages_low lag_stages_high stage_equivalent off_path tracked_share "
                        "tracked_share_se seat_gap attachment mobility contact_mesial "
                        "contact_distal pain swelling recession components relative");
    expect_word(tooth, "state", "behind");
    expect_real(tooth, "lag_index", 2.118091);
    expect_real(tooth, "risk_weight", 1.5);
    expect_word(tooth, "worst", "rotation");
    expect_real(tooth, "p_behind", 1);
    expect_real(tooth, "lag_stages", 3.823136);
    expect_real(tooth, "lag_stages_low", 2.5);
    expect_real(tooth, "lag_stages_high", 5.25);
    expect_real(tooth, "stage_equivalent", 8.176864);
    expect_real(tooth, "off_path", 0.083890);
    expect_real(tooth, "tracked_share", 0.681405);
    expect_real(tooth, "tracked_share_se", 0.207623);
    expect_names(at(tooth, "seat_gap"), "observed index kind p");
    expect_real(tooth, "seat_gap/observed", 0.5);
    expect_real(tooth, "seat_gap/index", 1);
    expect_word(tooth, "seat_gap/kind", "short");
    expect_word(tooth, "attachment", "lost");
    expect_whole(tooth, "mobility", 1);
    expect_names(at(tooth, "components"), "mesial buccal occlusal rotation angulation inclination");
    json_decref(document);
}

static void a_component_that_was_read(void **state) {
    fill_12(*state);
    json_t *document = mc_json_score("4711", *state);
    json_t *tooth = tooth_named(document, "12");
    json_t *rotation = at(tooth, "components/rotation");
    expect_names(rotation, "planned observed sd readings estimate kind shortfall tolerance index "
                           "raw_index weight p");
    expect_real(rotation, "planned", 9);
    expect_real(rotation, "observed", 6.5);
    expect_real(rotation, "sd", 3);
    expect_whole(rotation, "readings", 1);
    expect_names(at(rotation, "estimate"), "mean sd");
    expect_real(rotation, "estimate/mean", 6.175878);
    expect_real(rotation, "estimate/sd", 1.940681);
    expect_word(rotation, "kind", "short");
    expect_real(rotation, "shortfall", 2.824122);
    expect_real(rotation, "tolerance", 2);
    expect_real(rotation, "index", 1.412061);
    expect_real(rotation, "raw_index", 1.25);
    expect_real(rotation, "weight", 1.5);
    expect_real(rotation, "p", 0.664456);
    static const char *const unread[] = {"mesial", "buccal", "occlusal", "angulation",
                                         "inclination"};
    for (int i = 0; i < 5; i++) {
        expect_null(at(tooth, "components"), unread[i]);
    }
    json_decref(document);
}

static void a_drifting_component_has_no_shortfall(void **state) {
    mc_score *score = *state;
    fill_12(score);
    mc_item *item = &score->tooth[tooth_of(12)].item[MC_ROTATION];
    item->kind = MC_KIND_DRIFT;
    item->shortfall = NAN;
    json_t *document = mc_json_score("4711", score);
    json_t *rotation = at(tooth_named(document, "12"), "components/rotation");
    expect_word(rotation, "kind", "drift");
    expect_null(rotation, "shortfall");
    json_decref(document);
}

static void absent_things_are_null(void **state) {
    json_t *document = mc_json_score("4711", *state);
    json_t *tooth = tooth_named(document, "21");
    expect_word(tooth, "state", "unmeasured");
    expect_real(tooth, "risk_weight", 1);
    static const char *const absent[] = {"lag_index",        "worst",
                                         "p_behind",         "lag_stages",
                                         "lag_stages_low",   "lag_stages_high",
                                         "stage_equivalent", "off_path",
                                         "tracked_share",    "tracked_share_se",
                                         "seat_gap",         "attachment",
                                         "mobility",         "contact_mesial",
                                         "contact_distal",   "pain",
                                         "swelling",         "recession"};
    for (size_t i = 0; i < sizeof absent / sizeof *absent; i++) {
        expect_null(tooth, absent[i]);
    }
    json_decref(document);
}

static void nothing_read_at_all(void **state) {
    mc_score *score = *state;
    score->worst = MC_NO_TOOTH;
    score->lag_index = NAN;
    json_t *document = mc_json_score("4711", score);
    expect_null(document, "summary/worst");
    expect_null(document, "summary/lag_index");
    json_decref(document);
}

static void findings_and_the_seat_gap_as_the_worst(void **state) {
    mc_score *score = *state;
    mc_tooth_score *t = &score->tooth[tooth_of(22)];
    t->worst = MC_WORST_SEAT_GAP;
    t->contact_mesial = MC_CONTACT_TIGHT;
    t->contact_distal = MC_CONTACT_OPEN;
    t->pain = MC_YES;
    t->swelling = MC_NO;
    t->recession = 0;
    t->mobility = 0;
    score->day[MC_UPPER] = 3;
    score->wear_hours = 21.5;
    json_t *document = mc_json_score("4711", score);
    json_t *tooth = tooth_named(document, "22");
    expect_word(tooth, "worst", "seat_gap");
    expect_word(tooth, "contact_mesial", "tight");
    expect_word(tooth, "contact_distal", "open");
    assert_true(json_is_true(at(tooth, "pain")));
    assert_true(json_is_false(at(tooth, "swelling")));
    expect_real(tooth, "recession", 0);
    expect_whole(tooth, "mobility", 0);
    expect_whole(document, "checkup/upper/day", 3);
    expect_real(document, "checkup/wear_hours", 21.5);
    json_decref(document);
}

static void teeth_in_chart_order(void **state) {
    json_t *document = mc_json_score("4711", *state);
    static const char *const order[] = {"17", "16", "15", "14", "13", "12", "51", "21", "22", "23",
                                        "24", "25", "26", "27", "47", "46", "45", "44", "43", "42",
                                        "41", "31", "32", "33", "34", "35", "36", "37"};
    assert_int_equal(json_array_size(at(document, "teeth")), 28);
    for (size_t i = 0; i < 28; i++) {
        expect_word(json_array_get(at(document, "teeth"), i), "tooth", order[i]);
    }
    json_decref(document);
}

static void numbers_are_not_rounded(void **state) {
    mc_score *score = *state;
    score->pace_mean = 1.0 / 3;
    score->lag_index = 0x1.fffffffffffffp0;
    json_t *document = mc_json_score("4711", score);
    for (int compact = 0; compact < 2; compact++) {
        char *text = mc_json_text(document, compact);
        assert_non_null(text);
        json_t *again = json_loads(text, 0, NULL);
        assert_non_null(again);
        expect_real(again, "pace/mean", 1.0 / 3);
        expect_real(again, "summary/lag_index", 0x1.fffffffffffffp0);
        assert_true(json_equal(document, again));
        json_decref(again);
        free(text);
    }
    json_decref(document);
}

static void text_for_people_and_for_evidence(void **state) {
    (void)state;
    json_t *document = json_pack("{s:i, s:[b], s:f}", "z", 1, "b", 1, "a", 0.5);
    char *text = mc_json_text(document, false);
    assert_string_equal(text, "{\n  \"z\": 1,\n  \"b\": [\n    true\n  ],\n  \"a\": 0.5\n}\n");
    free(text);
    text = mc_json_text(document, true);
    assert_string_equal(text, "{\"a\":0.5,\"b\":[true],\"z\":1}");
    free(text);
    json_decref(document);
    assert_null(mc_json_text(NULL, false));
    assert_null(mc_json_text(NULL, true));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_document, set_up, tear_down),
        cmocka_unit_test_setup_teardown(what_was_read_against_a_neighbour, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_tooth_that_was_read, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_component_that_was_read, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_drifting_component_has_no_shortfall, set_up, tear_down),
        cmocka_unit_test_setup_teardown(absent_things_are_null, set_up, tear_down),
        cmocka_unit_test_setup_teardown(nothing_read_at_all, set_up, tear_down),
        cmocka_unit_test_setup_teardown(findings_and_the_seat_gap_as_the_worst, set_up, tear_down),
        cmocka_unit_test_setup_teardown(teeth_in_chart_order, set_up, tear_down),
        cmocka_unit_test_setup_teardown(numbers_are_not_rounded, set_up, tear_down),
        cmocka_unit_test(text_for_people_and_for_evidence),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
