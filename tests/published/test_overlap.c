/* How deep crowns overlap against a general-purpose geometry library:
 * fixtures/overlap_reference.csv, written by tests/published/overlap_reference.py. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/restaging.h"
#include "near.h"

#include <stdlib.h>
#include <string.h>

enum { NUMBERS = 16, OF_A_CROWN = 7, PAIRS = 160 };
/* The polygons are good to a hundred-thousandth of a millimetre, or a check of the depth would
 * be worth little; and their own corners are rounded. */
static const double POLYGONS = 1e-5, ROUNDING = 1e-11;

typedef struct reference {
    mc_tooth tooth[2];
    mc_crown crown[2];
    double depth, more; /* of the polygons, and by how much the outlines' may be more */
} reference;

static void crown_of(const double numbers[OF_A_CROWN], mc_tooth *tooth, mc_crown *crown) {
    *tooth = mc_tooth_from_iso((int)numbers[0]);
    *crown = (mc_crown){.stands = true,
                        .right = numbers[1],
                        .anterior = numbers[2],
                        .outward_deg = numbers[3],
                        .turned_deg = numbers[4],
                        .width = numbers[5],
                        .thickness = numbers[6]};
}

/* The next pair; false at the end. */
static bool next_pair(FILE *file, reference *out) {
    char line[1000];
    while (fgets(line, sizeof line, file)) {
        if (line[0] == '#' || strncmp(line, "kind", 4) == 0) {
            continue;
        }
        double numbers[NUMBERS];
        char *rest = strchr(line, ',');
        assert_non_null(rest);
        for (int i = 0; i < NUMBERS; i++) {
            char *end;
            numbers[i] = strtod(rest + 1, &end);
            assert_true(end != rest + 1 && *end == (i + 1 < NUMBERS ? ',' : '\n'));
            rest = end;
        }
        crown_of(numbers, &out->tooth[0], &out->crown[0]);
        crown_of(numbers + OF_A_CROWN, &out->tooth[1], &out->crown[1]);
        out->depth = numbers[NUMBERS - 2];
        out->more = numbers[NUMBERS - 1];
        return true;
    }
    return false;
}

static void agrees_with_the_library(void **state) {
    (void)state;
    FILE *file = fopen(FIXTURES "/overlap_reference.csv", "r");
    assert_non_null(file);
    reference pair;
    int pairs = 0, overlapping = 0, apart = 0;
    for (; next_pair(file, &pair); pairs++) {
        const double depth =
            mc_crown_overlap(pair.tooth[0], &pair.crown[0], pair.tooth[1], &pair.crown[1]);
        assert_true(pair.more > 0 && pair.more < POLYGONS);
        if (!(depth >= pair.depth - ROUNDING && depth <= pair.depth + pair.more + ROUNDING)) {
            fail_msg("pair %d: %.17g, the polygons' %.17g and at most %g more", pairs + 1, depth,
                     pair.depth, pair.more);
        }
        overlapping += pair.depth > 0.05;
        apart += pair.depth < -0.05;
    }
    fclose(file);
    assert_int_equal(pairs, PAIRS);
    assert_true(overlapping > 70 && apart > 30);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_the_library),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
