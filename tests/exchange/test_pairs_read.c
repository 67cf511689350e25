/* The file of repeated readings: what is read, and what is refused, at its line and column. */
#include "given.h"

#include <stdio.h>

static mc_status read_pairs(const char *text, mc_pair **list, size_t *count, mc_error *error) {
    *error = (mc_error){.status = MC_OK};
    return mc_pairs_read(text, strlen(text), list, count, error);
}

static void refuse(const char *text, long line, long column, const char *part) {
    mc_pair *list = NULL;
    size_t count = 7;
    mc_error error;
    assert_int_equal(read_pairs(text, &list, &count, &error), MC_REFUSED);
    expect_refusal(&error, line, column, part);
    assert_null(list);
    assert_int_equal(count, 0);
}

static void pairs_as_they_stand(void **state) {
    (void)state;
    mc_pair *list = NULL;
    size_t count = 0;
    mc_error error;
    assert_int_equal(read_pairs("# invented\nsecond,kind,first,method\n1.25,mm,-0.5,caliper\n"
                                "# the same tooth\n3,deg,4.5,scan\n",
                                &list, &count, &error),
                     MC_OK);
    assert_int_equal(count, 2);
    assert_int_equal(list[0].method, MC_CALIPER);
    assert_true(list[0].linear && list[0].first == -0.5 && list[0].second == 1.25);
    assert_int_equal(list[1].method, MC_SCAN);
    assert_true(!list[1].linear && list[1].first == 4.5 && list[1].second == 3);
    free(list);
}

static void fields_that_cannot_be(void **state) {
    (void)state;
#define HEADER "method,kind,first,second\n"
    refuse("", 1, 1, "the file is empty");
    refuse(HEADER, 1, 1, "no rows");
    refuse("method,kind,first\nscan,mm,1\n", 1, 1, "the column \"second\" is missing");
    refuse("method,kind,first,second,tooth\n", 1, 26, "unknown column \"tooth\"");
    refuse(HEADER "ruler,mm,1,1\n", 2, 1, "method: \"ruler\" is none of eye, caliper");
    refuse(HEADER ",mm,1,1\n", 2, 1, "method: \"\" is none");
    refuse(HEADER "scan,cm,1,1\n", 2, 6, "kind: \"cm\" is neither mm nor deg");
    refuse(HEADER "scan,mm,x,1\n", 2, 9, "first: \"x\" is no plain decimal number");
    refuse(HEADER "scan,mm,1,\n", 2, 11, "second: a pair needs both readings");
    refuse(HEADER "scan,mm,1,nan\n", 2, 11, "second: \"nan\" is no plain decimal number");
    refuse(HEADER "scan,mm,1,1\nscan,mm,201,1\n", 3, 9, "first: 201 is outside -200 to 200");
    refuse(HEADER "scan,deg,1,-361\n", 2, 12, "second: -361 is outside -360 to 360");
    refuse(HEADER "scan,mm,1\n", 2, 10, "missing field: the row ends before \"second\"");
}

static void many_pairs(void **state) {
    (void)state;
    mc_pair *list = NULL;
    size_t count = 0, size = 0;
    mc_error error;
    char *text = malloc(sizeof HEADER + (MC_MOST_PAIRS + 1) * sizeof "eye,mm,1,2\n");
    assert_non_null(text);
    size += (size_t)sprintf(text, HEADER);
    for (int i = 0; i <= MC_MOST_PAIRS; i++) {
        size += (size_t)sprintf(text + size, "eye,mm,1,2\n");
    }
    refuse(text, MC_MOST_PAIRS + 2, 1, "more than 100000 rows");
    text[size - strlen("eye,mm,1,2\n")] = '\0';
    assert_int_equal(read_pairs(text, &list, &count, &error), MC_OK);
    assert_int_equal(count, MC_MOST_PAIRS);
    free(list);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pairs_as_they_stand),
        cmocka_unit_test(fields_that_cannot_be),
        cmocka_unit_test(many_pairs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
