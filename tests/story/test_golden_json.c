/* The JSON of a score and of a forecast that other programs rely on: from the two golden files,
 * held to six digits against fixtures/golden-score.json and golden-forecast.json. Members that a
 * golden document does not name may be added, never taken away. */
#include "document.h"

#include <math.h>

static void compare(json_t *want, json_t *got, const char *where);

static void compare_object(json_t *want, json_t *got, const char *where) {
    const char *key;
    json_t *value;
    json_object_foreach(want, key, value) {
        char inner[300];
        snprintf(inner, sizeof inner, "%s.%s", where, key);
        if (!json_object_get(got, key))
            fail_msg("%s is missing", inner);
        compare(value, json_object_get(got, key), inner);
    }
}

static void compare(json_t *want, json_t *got, const char *where) {
    if (json_is_number(want)) {
        if (!json_is_number(got) ||
            !(fabs(json_number_value(want) - json_number_value(got)) <= 5e-7))
            fail_msg("%s: %.9f, wanted %.6f", where, json_number_value(got),
                     json_number_value(want));
    } else if (json_is_object(want)) {
        if (!json_is_object(got))
            fail_msg("%s is no object", where);
        compare_object(want, got, where);
    } else if (!json_equal(want, got)) {
        char *text = json_dumps(got, JSON_ENCODE_ANY), *wanted = json_dumps(want, JSON_ENCODE_ANY);
        fail_msg("%s: %s, wanted %s", where, text, wanted);
    }
}

/* The document that a command prints against the one that is kept. */
static void hold(const char *command, const char *path) {
    json_error_t error;
    json_t *want = json_load_file(path, 0, &error);
    assert_non_null(want);
    assert_int_equal(run("midcourse --json %s 1001", command), 0);
    json_t *root = document();
    json_t *teeth = json_object_get(want, "teeth"), *tooth;
    size_t i;
    assert_int_equal(json_array_size(json_object_get(root, "teeth")), 28);
    json_array_foreach(teeth, i, tooth) {
        const char *number = json_string_value(json_object_get(tooth, "tooth"));
        compare(tooth, entry(json_object_get(root, "teeth"), "tooth", number), number);
    }
    json_object_del(want, "teeth");
    compare(want, root, command);
    json_decref(root);
    json_decref(want);
}

static void golden(void **state) {
    (void)state;
    run_begin();
    setenv("MIDCOURSE_TODAY", "2026-11-25", 1);
    write_text("doctor", "slow river stones\n");
    assert_run(0, "", "midcourse init --doctor AB --new-passphrase-fd 3 3<doctor");
    assert_run(0, "",
               "midcourse --as AB case new --chart 1001 --name 'Larkspur, Odile' --born 1999-02-03 "
               "--missing 18,28,38,48");
    assert_run(0, "",
               "midcourse --as AB plan import 1001 " FIXTURES
               "/golden-plan.csv --start 2026-07-01");
    assert_run(0, "",
               "midcourse --as AB checkup import 1001 " FIXTURES
               "/golden-checkup.csv --date 2026-11-20 --aligner 12");
    hold("score", FIXTURES "/golden-score.json");
    hold("forecast", FIXTURES "/golden-forecast.json");
    run_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(golden)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
