/* The practice's own numbers by command: method errors from repeated readings, own accuracy from
 * ended plans. */
#include "run.h"

#include <jansson.h>
#include <math.h>
#include <stdbool.h>

static void write_pairs(const char *path, int pairs, double d) {
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs("# invented\nmethod,kind,first,second\n", file);
    for (int i = 0; i < pairs; i++)
        fprintf(file, "caliper,mm,1,%g\ncaliper,deg,5,%g\n", 1 + (i % 2 ? d : -d), 5 + 10 * d);
    assert_int_equal(fclose(file), 0);
}

static json_t *parsed(void) {
    json_t *document = json_loads(run_output, 0, NULL);
    assert_non_null(document);
    assert_int_equal(json_integer_value(json_object_get(document, "format")), 1);
    return document;
}

static void methods(void **state) {
    (void)state;
    write_pairs("pairs.csv", 12, 0.2);
    write_pairs("few.csv", 9, 0.2);
    write_text("wrong.csv", "method,kind,first,second\ncaliper,mm,1,2\nruler,mm,1,2\n");
    assert_run(0, "method measure ", "midcourse help method");
    assert_run(0, "settings set ", "midcourse settings --help");
    assert_run(0, "Usage: midcourse accuracy use ", "midcourse help accuracy use");
    assert_run(2, "which readings?", "midcourse method measure");
    assert_run(1, "wrong.csv:3:1: method: \"ruler\" is none of",
               "midcourse method measure wrong.csv");
    assert_run(1, "absent.csv: ", "midcourse method measure absent.csv");
    assert_run(0, "caliper    mm      12     0.141  0.000 (0.060)       0.350, assumed",
               "midcourse method measure pairs.csv");
    assert_run(0, "caliper    deg     12      1.41  +2.00 (0.00) !",
               "midcourse "
               "method measure pairs.csv");
    assert_run(0, "beyond two standard", "midcourse method measure pairs.csv");
    assert_run(0, "fewer than 10 pairs cannot be kept", "midcourse method measure few.csv");
    /* the demo has a tooth that was read twice, in mm and in deg */
    assert_run(0, "caliper    mm       1", "midcourse method measure --from-record");
    assert_run(0, "caliper    mm      10", "midcourse method measure few.csv --from-record");
    assert_run(1, "--as INITIALS", "midcourse method measure pairs.csv --keep --reason May");
    assert_run(1, "--reason TEXT", "midcourse --as IBA method measure pairs.csv --keep");
    assert_run(1, "this is for a doctor",
               "midcourse --as JT method measure pairs.csv --keep --reason May");
    assert_run(1, "needs 10 pairs",
               "midcourse --as IBA method measure few.csv --keep --reason May");
    assert_run(0, "Settings, set 1\n", "midcourse settings list");
    assert_run(0, "slipping_index                0.6\n", "midcourse settings list"); /* no unit */
    assert_run(0, "reseat_share               0.3333\n", "midcourse settings list");
    assert_run(0, "set 1, as it holds for this case", "midcourse settings list --case 1001");
    assert_null(strstr(run_output, "_pairs  "));
    assert_run(0, "Kept (set 2)",
               "midcourse --as IBA method measure pairs.csv --keep --reason 'read twice'");
    assert_run(0, "finish_deg is 4.5 from now on for this case (set 3)",
               "midcourse --as IBA settings set finish_deg 4,5 --case 1001 --reason agreed");
    assert_run(0, "[measured, 12 pairs]", "midcourse settings list");
    assert_run(0, "caliper_mm                  0.141 mm", "midcourse settings list");
    assert_run(0, "method errors measured and kept", "midcourse journal");
    assert_run(0, "format", "midcourse --json method measure pairs.csv");
    json_t *document = parsed();
    json_t *list = json_object_get(document, "methods");
    assert_int_equal(json_array_size(list), 10);
    json_t *caliper = json_array_get(list, 2);
    assert_string_equal(json_string_value(json_object_get(caliper, "method")), "caliper");
    assert_string_equal(json_string_value(json_object_get(caliper, "kind")), "mm");
    assert_int_equal(json_integer_value(json_object_get(caliper, "pairs")), 12);
    assert_int_equal(json_integer_value(json_object_get(caliper, "used_pairs")), 12);
    assert_true(fabs(json_real_value(json_object_get(caliper, "error")) - 0.2 / sqrt(2)) < 1e-12);
    assert_true(json_is_null(json_object_get(json_array_get(list, 0), "error")));
    assert_true(json_is_null(json_object_get(document, "set")));
    json_decref(document);
    assert_run(1, "counted by method measure, not set by hand",
               "midcourse --as IBA settings set caliper_mm_pairs 20 --reason none");
    assert_run(0, "all whole", "midcourse verify | sed 's/.*/all whole/'");
}

static void accuracy(void **state) {
    (void)state;
    assert_run(0, "in % of what was planned", "midcourse accuracy");
    assert_run(0, "accuracy use", "midcourse accuracy --help; midcourse accuracy use --help");
    assert_run(2, "usage: midcourse accuracy", "midcourse accuracy more");
    assert_run(1, "--reason TEXT", "midcourse --as IBA accuracy use");
    assert_run(0, "\"shares\"", "midcourse --json accuracy");
    json_t *document = parsed();
    json_t *list = json_object_get(document, "shares");
    assert_int_equal(json_array_size(list), 60);
    size_t told = 0, read = 0;
    for (size_t i = 0; i < 60; i++) {
        json_t *one = json_array_get(list, i);
        bool has = json_integer_value(json_object_get(one, "patients")) > 0;
        assert_int_equal(json_is_real(json_object_get(one, "mean")), has);
        assert_int_equal(json_is_null(json_object_get(one, "mean")), !has);
        assert_true(json_is_real(json_object_get(json_object_get(one, "published"), "low")));
        assert_true(json_is_null(json_object_get(one, "taken_over")));
        told += has;
        read += (size_t)json_integer_value(json_object_get(one, "readings"));
    }
    assert_true(told > 0 && read >= told);
    assert_true(json_integer_value(json_object_get(document, "plans")) > 0);
    json_decref(document);
    assert_run(0, "taken over", "midcourse --as IBA accuracy use --reason ours");
    assert_run(1, "nothing is new", "midcourse --as IBA accuracy use --reason again");
}

/* An empty practice says that there is nothing, and takes nothing over. */
static void nothing_yet(void **state) {
    (void)state;
    write_text("word.txt", "a long enough phrase\n");
    assert_run(0, "first doctor",
               "MIDCOURSE_NEW_PASSPHRASE_FILE=word.txt midcourse --db new.db init --doctor AB");
    assert_run(0, "Nothing to tell yet", "midcourse --db new.db accuracy");
    assert_run(1, "a share needs 5 patients",
               "midcourse --db new.db --as AB accuracy use --reason ours");
    assert_run(1, "nothing was read twice", "midcourse --db new.db method measure --from-record");
}

static int begin(void **state) {
    (void)state;
    run_begin();
    setenv("MIDCOURSE_TODAY", "2026-03-02", 1);
    int status = run("midcourse demo --no-open");
    setenv("MIDCOURSE_DB", "demo.db", 1);
    return status;
}

static int end(void **state) {
    (void)state;
    run_end();
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(methods),
        cmocka_unit_test(accuracy),
        cmocka_unit_test(nothing_yet),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
