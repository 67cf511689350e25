/* The document of `forecast`: its shape, names and order, and that nothing absent becomes a number.
 * The numbers are put in by hand: here only the way out is tested. */
#include "given.h"

#include <jansson.h>

typedef struct {
    mc_score *score;
    mc_forecast *forecast;
} given;

static const mc_component_forecast UNREAD = {false, NAN, NAN, NAN, NAN, NAN, 0.75,
                                             NAN,   NAN, NAN, NAN, NAN, NAN};

/* Teeth 12, 21 and 51 stand; 51 before 21, as in the chart. Nothing is known of any. */
static given nothing_known(void) {
    given g = {calloc(1, sizeof *g.score), calloc(1, sizeof *g.forecast)};
    assert_non_null(g.score);
    assert_non_null(g.forecast);
    assert_true(mc_day_parse("2026-03-04", &g.score->date));
    g.score->number = 3;
    g.score->aligner[MC_UPPER] = 12;
    g.score->day[MC_UPPER] = -1;
    g.score->stages[MC_UPPER] = 24;
    g.score->effective_stage[MC_UPPER] = 12;
    g.score->aligner[MC_LOWER] = MC_NO_ALIGNER;
    g.score->wear_hours = NAN;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        g.score->present[t] = t == tooth_of(21) || t == tooth_of(12) || t == tooth_of(51);
        g.forecast->tooth[t] = (mc_tooth_forecast){.grip = true, .p_behind = NAN, .p_out = NAN};
        for (int c = 0; c < MC_COMPONENTS; c++)
            g.forecast->tooth[t].component[c] = UNREAD;
    }
    g.forecast->unknown = 3;
    g.forecast->expected_out = g.forecast->p_all_in = NAN;
    g.forecast->pace_sd = 0.25;
    return g;
}

static void expect(given *g, const char *expected) {
    json_t *document = mc_json_forecast("4711/2", g->score, g->forecast);
    assert_non_null(document);
    char *text = json_dumps(document, JSON_COMPACT);
    assert_string_equal(text, expected);
    free(text);
    json_decref(document);
    free(g->score);
    free(g->forecast);
}

#define HEAD                                                                                       \
    "{\"format\":1,\"case\":\"4711/2\",\"checkup\":{\"number\":3,\"date\":\"2026-03-04\","         \
    "\"upper\":{\"aligner\":12,\"day\":null,\"effective_stage\":12.0,\"stages\":24},"              \
    "\"lower\":null,\"wear_hours\":null},\"summary\":"
#define NO_COMPONENT                                                                               \
    "\"mesial\":null,\"buccal\":null,\"occlusal\":null,\"rotation\":null,\"angulation\":null,"     \
    "\"inclination\":null"
#define UNKNOWN(TOOTH, GRIP)                                                                       \
    "{\"tooth\":\"" TOOTH "\",\"p_behind\":null,\"p_out\":null,\"grip\":" GRIP                     \
    ",\"partly\":null,\"components\":{" NO_COMPONENT "}}"

static void nothing_was_read(void **state) {
    (void)state;
    given g = nothing_known();
    g.forecast->tooth[tooth_of(51)].grip = false; /* a lost attachment was seen, no position */
    expect(&g, HEAD "{\"known\":0,\"unknown\":3,\"partly\":0,\"expected_out\":null,"
                    "\"p_all_in\":null},\"pace\":{\"mean\":0.0,\"sd\":0.25},\"teeth\":[" UNKNOWN(
                        "12", "true") "," UNKNOWN("51", "false") "," UNKNOWN("21", "true") "]}");
}

static void a_tooth_that_is_known(void **state) {
    (void)state;
    given g = nothing_known();
    mc_tooth_forecast *t = &g.forecast->tooth[tooth_of(12)];
    g.forecast->known = g.forecast->partly = 1;
    g.forecast->unknown = 2;
    g.forecast->expected_out = t->p_out = 0.375;
    g.forecast->p_all_in = 0.625;
    g.forecast->pace_mean = -0.125;
    t->known = t->partly = true;
    t->p_behind = 0.5;
    t->component[MC_ROTATION] = (mc_component_forecast){.known = true,
                                                        .mean = 6.5,
                                                        .sd = 2,
                                                        .rate = 0.625,
                                                        .rate_sd = 0.1875,
                                                        .expected = 0.6875,
                                                        .planned = 18,
                                                        .end = 12.25,
                                                        .end_sd = 3,
                                                        .low = 7.25,
                                                        .high = 17.25,
                                                        .p_behind = 0.5,
                                                        .p_out = 0.375};
    /* no leg: nothing to be behind of */
    t->component[MC_BUCCAL] = t->component[MC_ROTATION];
    t->component[MC_BUCCAL].p_behind = NAN;
    expect(&g, HEAD
           "{\"known\":1,\"unknown\":2,\"partly\":1,\"expected_out\":0.375,\"p_all_in\":0.625},"
           "\"pace\":{\"mean\":-0.125,\"sd\":0.25},\"teeth\":[{\"tooth\":\"12\",\"p_behind\":0.5,"
           "\"p_out\":0.375,\"grip\":true,\"partly\":true,\"components\":{\"mesial\":null,"
           "\"buccal\":{\"present\":{\"mean\":6.5,\"sd\":2.0},\"rate\":{\"mean\":0.625,"
           "\"sd\":0.1875,\"expected\":0.6875},\"end\":{\"planned\":18.0,\"mean\":12.25,"
           "\"sd\":3.0,\"low\":7.25,\"high\":17.25},\"p_behind\":null,\"p_out\":0.375},"
           "\"occlusal\":null,\"rotation\":{\"present\":{\"mean\":6.5,\"sd\":2.0},"
           "\"rate\":{\"mean\":0.625,\"sd\":0.1875,\"expected\":0.6875},\"end\":{\"planned\":18.0,"
           "\"mean\":12.25,\"sd\":3.0,\"low\":7.25,\"high\":17.25},\"p_behind\":0.5,"
           "\"p_out\":0.375},\"angulation\":null,\"inclination\":null}}," UNKNOWN(
               "51", "true") "," UNKNOWN("21", "true") "]}");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_was_read),
        cmocka_unit_test(a_tooth_that_is_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
