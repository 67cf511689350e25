/* The documents of `options` and `revise`, of settings and of plans; and what all documents do when
 * memory runs out. */
#include "given.h"

#include <jansson.h>

static void expect_document(json_t *document, const char *expected) {
    assert_non_null(document);
    char *text = json_dumps(document, JSON_COMPACT);
    assert_string_equal(text, expected);
    free(text);
    json_decref(document);
}

/* ---- options ---- */

static const mc_proposal HOLD = {.choice = MC_PROPOSE_HOLD,
                                 .rule = 10,
                                 .sentence = "Hold 7 days, then read again.",
                                 .teeth = {0},
                                 .count = 0,
                                 .arch = MC_ARCHES,
                                 .days = 7,
                                 .to = -1};

static void a_proposal(void **state) {
    (void)state;
    mc_score *score = calloc(1, sizeof *score);
    assert_non_null(score);
    score->number = 3;
    assert_true(mc_day_parse("2026-03-04", &score->date));
    mc_proposal proposal = HOLD;
    proposal.count = 2;
    proposal.teeth[0] = tooth_of(22);
    proposal.teeth[1] = tooth_of(12);
    expect_document(mc_json_options("4711", score, &proposal, NULL, 0),
                    "{\"format\":1,\"case\":\"4711\",\"checkup\":{\"number\":3,\"date\":"
                    "\"2026-03-04\"},\"proposal\":{\"choice\":\"hold\",\"rule\":10,\"sentence\":"
                    "\"Hold 7 days, then read again.\",\"teeth\":[\"22\",\"12\"],\"arch\":null,"
                    "\"days\":7,\"to\":null},\"options\":[]}");
    proposal = (mc_proposal){.choice = MC_PROPOSE_RESEAT, .rule = 2, .arch = MC_LOWER, .to = 0};
    expect_document(mc_json_options("4711", score, &proposal, NULL, 0),
                    "{\"format\":1,\"case\":\"4711\",\"checkup\":{\"number\":3,\"date\":"
                    "\"2026-03-04\"},\"proposal\":{\"choice\":\"reseat\",\"rule\":2,\"sentence\":"
                    "\"\",\"teeth\":[],\"arch\":\"lower\",\"days\":null,\"to\":0},"
                    "\"options\":[]}");
    free(score);
}

/* One that can be taken, one of which no tooth is known, one that cannot. */
static size_t three_options(mc_option out[3]) {
    out[0] = (mc_option){.ask = {.choices = 1u << MC_HOLD | 1u << MC_GO_BACK, .days = 7, .to = 9},
                         .possible = true,
                         .expected_out = 1.25,
                         .p_all_in = 0.5,
                         .unknown = 3,
                         .days = 90,
                         .aligners = 12,
                         .checkups = 3};
    assert_true(mc_day_parse("2026-06-02", &out[0].ends));
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        out[0].p_out[tooth] = NAN;
    out[1] = out[0];
    out[0].p_out[tooth_of(12)] = 0.5;
    out[0].p_out[tooth_of(33)] = 0.75;
    out[1].ask = (mc_option_ask){.choices = 1u << MC_CORRECT, .to = -1};
    out[1].expected_out = out[1].p_all_in = NAN;
    out[1].discarded = 4;
    out[1].stages[MC_UPPER] = 12;
    out[2] = (mc_option){.ask = {.choices = 1u << MC_FINISH, .to = -1},
                         .why_not = "13 needs too many",
                         .expected_out = NAN,
                         .p_all_in = NAN,
                         .ends = MC_NO_DAY};
    return 3;
}

static void options_side_by_side(void **state) {
    (void)state;
    mc_option options[3];
    mc_score *score = calloc(1, sizeof *score);
    assert_non_null(score);
    score->number = 3;
    assert_true(mc_day_parse("2026-03-04", &score->date));
    const size_t count = three_options(options);
    json_t *document = mc_json_options("4711", score, &HOLD, options, count);
    assert_non_null(document);
    expect_document(
        json_deep_copy(json_object_get(document, "options")),
        "[{\"choice\":\"hold+go-back\",\"days\":7,\"to\":9,\"expected_out\":1.25,\"unknown\":3,"
        "\"p_all_in\":0.5,\"p_out\":{\"12\":0.5,\"33\":0.75},\"ends\":\"2026-06-02\",\"aligners\":"
        "12,\"discarded\":0,\"checkups\":3,"
        "\"corrected_upper\":null,\"corrected_lower\":null,\"why_not\":null},"
        "{\"choice\":\"correct\",\"days\":null,\"to\":null,\"expected_out\":null,\"unknown\":3,"
        "\"p_all_in\":null,\"p_out\":null,\"ends\":\"2026-06-02\",\"aligners\":12,\"discarded\":4,"
        "\"checkups\":3,"
        "\"corrected_upper\":12,\"corrected_lower\":null,\"why_not\":null},"
        "{\"choice\":\"finish\",\"days\":null,\"to\":null,\"expected_out\":null,\"unknown\":null,"
        "\"p_all_in\":null,\"p_out\":null,\"ends\":null,\"aligners\":null,\"discarded\":null,"
        "\"checkups\":null,\"corrected_upper\":null,\"corrected_lower\":null,"
        "\"why_not\":\"13 needs too many\"}]");
    json_decref(document);
    free(score);
}

/* ---- revise ---- */

static const bool by_usual_sizes[MC_ARCHES] = {true, true};

static mc_restaged two_arches(void) {
    mc_restaged out = {.stages = {9, 6}, .lower_bound = {9, 6}};
    out.tooth[tooth_of(12)] = (mc_restaged_tooth){.moves = true,
                                                  .remaining = {{0.5, 0, 0, 18, 0, -0.25}},
                                                  .stages_needed = 9,
                                                  .limited_by = MC_LIMIT_ROTATION,
                                                  .first = 1,
                                                  .last = 9};
    out.tooth[tooth_of(21)] = (mc_restaged_tooth){
        .moves = true, .stages_needed = 6, .limited_by = MC_LIMIT_CORNER, .first = 1, .last = 6};
    out.tooth[tooth_of(33)] = (mc_restaged_tooth){.moves = true,
                                                  .remaining = {{1.5, 0, 0, 0, 0, 0}},
                                                  .stages_needed = 6,
                                                  .limited_by = MC_LIMIT_MESIODISTAL,
                                                  .first = 1,
                                                  .last = 6};
    return out;
}

static json_t *member(json_t *object, const char *name) {
    json_t *found = json_object_get(object, name);
    if (!found) {
        fail_msg("%s is missing", name);
    }
    return found;
}

static void expect_member(json_t *object, const char *name, const char *expected) {
    expect_document(json_incref(member(object, name)), expected);
}

static void expect_whole(json_t *object, const char *name, long expected) {
    assert_true(json_is_integer(member(object, name)));
    assert_int_equal(json_integer_value(member(object, name)), expected);
}

static void a_restaged_series(void **state) {
    (void)state;
    const mc_restaged restaged = two_arches();
    json_t *document = mc_json_revise("4711", &restaged, by_usual_sizes, "scan again");
    assert_non_null(document);
    char names[300] = "";
    const char *name;
    json_t *value;
    json_object_foreach(document, name, value) {
        strcat(strcat(names, *names ? " " : ""), name);
    }
    assert_string_equal(names, "format case stages lower_bound limited_by preview "
                               "why_preview blocked estimated_geometry overlaps arches teeth");
    expect_whole(document, "format", 1);
    expect_whole(document, "stages", 9);
    expect_whole(document, "lower_bound", 9);
    expect_member(document, "limited_by", "[{\"tooth\":\"12\",\"limit\":\"rotation\"}]");
    assert_true(json_is_true(member(document, "preview")));
    assert_string_equal(json_string_value(member(document, "why_preview")), "scan again");
    assert_true(json_is_false(member(document, "blocked")));
    assert_true(json_is_true(member(document, "estimated_geometry")));
    assert_true(json_is_null(member(document, "overlaps"))); /* not looked at */
    expect_member(document, "arches",
                  "{\"upper\":{\"stages\":9,\"lower_bound\":9,\"limited_by\":[{\"tooth\":\"12\","
                  "\"limit\":\"rotation\"}],\"estimated_geometry\":true},\"lower\":{\"stages\":6,"
                  "\"lower_bound\":6,"
                  "\"limited_by\":[{\"tooth\":\"33\",\"limit\":\"mesial or distal\"}],"
                  "\"estimated_geometry\":true}}");
    assert_int_equal(json_array_size(member(document, "teeth")), 3);
    expect_document(json_incref(json_array_get(member(document, "teeth"), 0)),
                    "{\"tooth\":\"12\",\"remaining\":{\"mesial\":0.5,\"buccal\":0.0,\"occlusal\":"
                    "0.0,\"rotation\":18.0,\"angulation\":0.0,\"inclination\":-0.25},"
                    "\"stages_needed\":9,\"limit\":\"rotation\",\"first\":1,\"last\":9}");
    json_decref(document);
}

/* Each contact with all that is known of it; a blocked arch has no series, but its bound. */
static void a_blocked_series(void **state) {
    (void)state;
    static const bool measured_above[MC_ARCHES] = {false, true};
    mc_restaged restaged = two_arches();
    restaged.overlap_checked = restaged.blocked = true;
    restaged.stages[MC_UPPER] = restaged.stages[MC_LOWER] = 0;
    restaged.contact[0] = (mc_restaged_contact){.right = tooth_of(13),
                                                .left = tooth_of(12),
                                                .start = -0.5,
                                                .end = 0.25,
                                                .most = NAN,
                                                .ipr = 0.125,
                                                .allowed = 0.1875,
                                                .leads = MC_NO_TOOTH,
                                                .missing = 0.375,
                                                .target_overlaps = true};
    restaged.contact[1] = (mc_restaged_contact){.right = tooth_of(12),
                                                .left = tooth_of(11),
                                                .most = 0.0625,
                                                .allowed = 0.0625,
                                                .leads = tooth_of(12),
                                                .costs = 2};
    restaged.contacts = 2;
    json_t *document = mc_json_revise("4711", &restaged, measured_above, "12 and 13 lack room");
    assert_true(json_is_true(member(document, "blocked")));
    assert_true(json_is_null(member(document, "stages")));
    assert_true(json_is_true(member(document, "estimated_geometry"))); /* below */
    assert_true(json_is_null(member(member(member(document, "arches"), "upper"), "stages")));
    expect_whole(member(member(document, "arches"), "upper"), "lower_bound", 9);
    expect_member(document, "overlaps",
                  "[{\"right\":\"13\",\"left\":\"12\",\"start\":-0.5,\"end\":0.25,\"most\":null,"
                  "\"ipr\":0.125,\"passed_over\":0.0,\"allowed\":0.1875,\"leads\":null,\"in_"
                  "turns\":false,\"costs\":0,"
                  "\"missing\":0.375,"
                  "\"target_overlaps\":true},{\"right\":\"12\",\"left\":\"11\",\"start\":0.0,"
                  "\"end\":0.0,\"most\":0.0625,\"ipr\":0.0,\"passed_over\":0.0,\"allowed\":0.0625,"
                  "\"leads\":\"12\",\"in_turns\":false,"
                  "\"costs\":2,\"missing\":0.0,\"target_overlaps\":false}]");
    json_decref(document);
}

static void one_arch_alone_and_equal_bounds(void **state) {
    (void)state;
    mc_restaged restaged = two_arches();
    restaged.tooth[tooth_of(33)].moves = false;
    restaged.stages[MC_LOWER] = restaged.lower_bound[MC_LOWER] = 0;
    restaged.overlap_checked = true;
    json_t *document = mc_json_revise("4711", &restaged, by_usual_sizes, "");
    assert_true(json_is_false(member(document, "preview")));
    expect_member(document, "overlaps", "[]");
    assert_true(json_is_null(member(member(document, "arches"), "lower")));
    assert_int_equal(json_array_size(member(document, "teeth")), 2);
    json_decref(document);
    restaged = two_arches();
    restaged.stages[MC_LOWER] = 11; /* longer than its bound, which is the upper's too */
    restaged.lower_bound[MC_LOWER] = 9;
    restaged.tooth[tooth_of(33)].stages_needed = 9;
    document = mc_json_revise("4711", &restaged, by_usual_sizes, "");
    expect_whole(document, "stages", 11);
    expect_whole(document, "lower_bound", 9);
    expect_member(document, "limited_by",
                  "[{\"tooth\":\"12\",\"limit\":\"rotation\"},{\"tooth\":\"33\",\"limit\":"
                  "\"mesial or distal\"}]");
    json_decref(document);
}

/* ---- settings ---- */

static void every_setting(void **state) {
    (void)state;
    mc_settings settings;
    mc_settings_defaults(&settings);
    settings.tolerance_mm = 0.4;
    settings.caliper_mm_pairs = 24;
    settings.own_share[MC_CANINE][MC_MOVE_ROTATION] = 0.55;
    settings.own_share_se[MC_CANINE][MC_MOVE_ROTATION] = 0.04;
    json_t *document = mc_json_settings(&settings);
    json_t *list = member(document, "settings");
    size_t told = 0;
    bool seen = false;
    for (size_t i = 0; i < mc_settings_count(); i++) {
        const mc_setting about = mc_settings_describe(i);
        double value = NAN;
        mc_settings_get(&settings, about.key, &value);
        if (about.taken && value == 0) {
            continue; /* what was not measured and taken over is not told */
        }
        json_t *one = json_array_get(list, told++);
        assert_string_equal(json_string_value(member(one, "key")), about.key);
        assert_string_equal(json_string_value(member(one, "unit")), about.unit);
        const bool measured = strcmp(about.key, "caliper_mm") == 0;
        assert_string_equal(json_string_value(member(one, "source")),
                            measured ? "measured, 24 pairs" : about.source);
        assert_string_equal(json_string_value(member(one, "meaning")), about.meaning);
        assert_near(json_real_value(member(one, "default")), about.initial, 0);
        assert_near(json_real_value(member(one, "low")), about.low, 0);
        assert_near(json_real_value(member(one, "high")), about.high, 0);
        const bool changed = strcmp(about.key, "tolerance_mm") == 0;
        assert_near(json_real_value(member(one, "value")), value, 0);
        assert_true(value == about.initial || changed || about.taken);
        seen = seen || changed;
    }
    assert_true(seen);
    assert_int_equal(json_array_size(list), told);
    assert_string_equal(json_string_value(member(json_array_get(list, told - 1), "key")),
                        "own_share_se_canine_rotation");
    json_decref(document);
}

/* ---- plan ---- */

static mc_plan *marked_plan(void) {
    mc_plan *plan = mc_plan_new();
    assert_non_null(plan);
    add_row(plan, 12, 8, (double[]){0.5, -0.25, 0, 6, 2, 0});
    mc_plan_row row = {.tooth = tooth_of(12), .stage = 24, .attachment = MC_MARK_PLACED};
    row.ipr_distal = 0.25;
    assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
    return plan;
}

static void a_plan(void **state) {
    (void)state;
    mc_plan *plan = marked_plan();
    expect_document(mc_json_plan(plan),
                    "{\"format\":1,\"stages\":{\"upper\":24,\"lower\":null},\"rows\":[{\"tooth\":"
                    "\"12\",\"stage\":8,\"mesial_mm\":0.5,\"buccal_mm\":-0.25,\"occlusal_mm\":0.0,"
                    "\"rotation_deg\":6.0,\"angulation_deg\":2.0,\"inclination_deg\":0.0,"
                    "\"attachment\":null,\"ipr_mesial_mm\":null,\"ipr_distal_mm\":null},"
                    "{\"tooth\":\"12\",\"stage\":24,\"mesial_mm\":0.0,\"buccal_mm\":0.0,"
                    "\"occlusal_mm\":0.0,\"rotation_deg\":0.0,\"angulation_deg\":0.0,"
                    "\"inclination_deg\":0.0,\"attachment\":\"placed\",\"ipr_mesial_mm\":null,"
                    "\"ipr_distal_mm\":0.25}]}");
    mc_plan_free(plan);
}

/* ---- out of memory ---- */

static long allocations_left;

static void *failing_malloc(size_t size) {
    return allocations_left-- > 0 ? malloc(size) : NULL;
}

static void failing_free(void *memory) {
    free(memory);
}

typedef struct all_given {
    mc_score *score;
    mc_forecast *forecast;
    mc_proposal proposal;
    mc_option options[3];
    mc_restaged restaged;
    mc_settings settings;
    mc_plan *plan;
} all_given;

static json_t *document_number(int which, const all_given *given) {
    switch (which) {
    case 0:
        return mc_json_score("4711", given->score);
    case 1:
        return mc_json_options("4711", given->score, &given->proposal, given->options, 3);
    case 2:
        return mc_json_revise("4711", &given->restaged, by_usual_sizes, "scan again");
    case 3:
        return mc_json_settings(&given->settings);
    case 4:
        return mc_json_forecast("4711", given->score, given->forecast);
    default:
        return mc_json_plan(given->plan);
    }
}

/* Each allocation fails in turn: the document is NULL, nothing is lost or let go of twice (which a
 * sanitizer build sees). */
static void documents_without_memory(void **state) {
    (void)state;
    all_given given = {.score = calloc(1, sizeof *given.score),
                       .forecast = calloc(1, sizeof *given.forecast),
                       .proposal = HOLD,
                       .restaged = two_arches(),
                       .plan = marked_plan()};
    three_options(given.options);
    assert_non_null(given.score);
    assert_non_null(given.forecast);
    given.forecast->tooth[0].known = given.forecast->tooth[0].component[0].known = true;
    given.score->present[0] = given.score->present[20] = true;
    given.score->tooth[0].item[0].read = given.score->tooth[0].item[0].followed = true;
    given.score->stages[0] = 3;
    given.proposal.count = 2;
    mc_settings_defaults(&given.settings);
    json_set_alloc_funcs(failing_malloc, failing_free);
    for (int which = 0; which < 6; which++) {
        long needed = 0;
        for (json_t *document = NULL; !document; needed++) {
            allocations_left = needed;
            document = document_number(which, &given);
            allocations_left = 1000000;
            json_decref(document);
            assert_true(needed < 100000);
        }
        assert_true(needed > 10); /* it did fail, many times, before it came through */
    }
    json_set_alloc_funcs(malloc, free);
    free(given.score);
    free(given.forecast);
    mc_plan_free(given.plan);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_proposal),
        cmocka_unit_test(options_side_by_side),
        cmocka_unit_test(a_restaged_series),
        cmocka_unit_test(a_blocked_series),
        cmocka_unit_test(one_arch_alone_and_equal_bounds),
        cmocka_unit_test(every_setting),
        cmocka_unit_test(a_plan),
        cmocka_unit_test(documents_without_memory),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
