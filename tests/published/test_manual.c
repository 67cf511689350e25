/* The tables of midcourse-method(7) against the computation: every setting, every expected share
 * and every usual size that the page tells is the one that is used. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/tracking.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static char page[1 << 17];

static int read_page(void **state) {
    (void)state;
    FILE *file = fopen(TESTS "/../man/midcourse-method.7", "r");
    assert_non_null(file);
    size_t size = fread(page, 1, sizeof page - 1, file);
    fclose(file);
    assert_true(size > 0 && size < sizeof page - 1);
    page[size] = '\0';
    return 0;
}

static void expect(const char *text) {
    if (!strstr(page, text)) {
        fail_msg("the page does not say:\n%s", text);
    }
}

/* ---- settings ---- */

/* A number as the page writes it: a third as such. */
static const char *number(double value, char out[40]) {
    if (value == 1.0 / 3.0) {
        return "1/3";
    }
    mc_decimal_text(value, out, 40);
    return out;
}

/* Sources with page numbers have their hyphens written as such. */
static void hyphened(const char *text, char *out, size_t size) {
    size_t n = 0;
    for (; *text && n + 3 < size; text++) {
        if (*text == '-') {
            out[n++] = '\\';
        }
        out[n++] = *text;
    }
    out[n] = '\0';
}

static void expect_setting(const mc_setting *s) {
    char usual[40], low[40], high[40], source[400], text[1000];
    const bool bare = strcmp(s->unit, "1") == 0;
    hyphened(s->source, source, sizeof source);
    snprintf(text, sizeof text, "\n.B %s\n%s%s%s (%s to %s%s): %s;\n%s\n", s->key,
             number(s->initial, usual), bare ? "" : "\\ ", bare ? "" : s->unit, number(s->low, low),
             number(s->high, high), s->whole ? ", whole" : "", s->meaning, source);
    expect(text);
}

static void settings(void **state) {
    (void)state;
    enum { OWN = MC_OWN_CLASSES * MC_OWN_MOVEMENTS, METHOD_ERRORS = 2 * MC_METHODS };
    int told = 0;
    for (size_t i = 0; i < mc_settings_count(); i++) {
        const mc_setting s = mc_settings_describe(i);
        if (!s.of_many) {
            expect_setting(&s);
            told++;
            continue;
        }
        const char *each = strncmp(s.key, "own_share_", 10) == 0
                               ? "for each tooth class and movement"
                           : s.taken ? "for each method error"
                                     : "for each of the 52 teeth";
        char text[400];
        snprintf(text, sizeof text, "%g (%g to %g%s), one %s: %s;\n%s\n", s.initial, s.low, s.high,
                 s.whole ? ", whole" : "", each, s.meaning, s.source);
        expect(text);
    }
    assert_int_equal(told + MC_TEETH + 2 * OWN + METHOD_ERRORS, (int)mc_settings_count());
}

/* ---- tables by tooth ---- */

/* Teeth of one row of the expected shares. */
typedef struct row {
    const char *label;
    int quadrant; /* and the one across the midline */
    int first, last;
} row;

static const row ROWS[] = {
    {"upper 1", 1, 1, 1},     {"upper 2", 1, 2, 2},     {"upper 3", 1, 3, 3},
    {"upper 4\\-5", 1, 4, 5}, {"upper 6\\-8", 1, 6, 8}, {"lower 1", 3, 1, 1},
    {"lower 2", 3, 2, 2},     {"lower 3", 3, 3, 3},     {"lower 4", 3, 4, 4},
    {"lower 5", 3, 5, 5},     {"lower 6", 3, 6, 6},     {"lower 7\\-8", 3, 7, 8},
    {"deciduous", 5, 1, 5},   {"deciduous", 7, 1, 5},
};

/* The line that begins with a label in the table below a heading. */
static void line_of(const char *heading, const char *label, char out[200]) {
    char begin[60];
    snprintf(begin, sizeof begin, "\n%s ", label);
    const char *table = strstr(page, heading);
    assert_non_null(table);
    const char *at = strstr(table, begin);
    assert_non_null(at);
    at += strlen(begin);
    snprintf(out, 200, "%.*s", (int)strcspn(at, "\n"), at);
}

static void expect_shares(const char *line, int iso) {
    const mc_tooth tooth = mc_tooth_from_iso(iso);
    for (int m = 0; m < MC_MOVEMENTS; m++) {
        bool from_memory = false;
        double told = 0;
        int used = 0;
        const double share = mc_expected_share(tooth, (mc_movement)m, &from_memory);
        assert_int_equal(sscanf(line, "%lf%n", &told, &used), 1);
        line += used;
        const bool star = *line == '*';
        if (fabs(told - 100 * share) > 0.05 + 1e-9 || star != from_memory) {
            fail_msg("%d %s is %.2f%s", iso, mc_movement_name((mc_movement)m), 100 * share,
                     from_memory ? "*" : "");
        }
        line += star;
    }
    assert_int_equal(strspn(line, " "), strlen(line));
}

static void shares(void **state) {
    (void)state;
    int teeth = 0;
    for (size_t i = 0; i < sizeof ROWS / sizeof *ROWS; i++) {
        char line[200];
        line_of("mes   dis   buc", ROWS[i].label, line);
        for (int position = ROWS[i].first; position <= ROWS[i].last; position++) {
            expect_shares(line, 10 * ROWS[i].quadrant + position);
            expect_shares(line, 10 * (ROWS[i].quadrant + 1) + position);
            teeth += 2;
        }
    }
    assert_int_equal(teeth, MC_TEETH);
}

static void sizes(void **state) {
    (void)state;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_tooth_size size = mc_tooth_usual_size(tooth);
        char label[20], line[200], star[4] = "";
        double told[4];
        if (!mc_tooth_is_right(tooth)) {
            continue; /* a line names both */
        }
        snprintf(label, sizeof label, "%d %d", mc_tooth_iso(tooth),
                 mc_tooth_iso(mc_tooth_mirror(tooth)));
        line_of("tooth     width", label, line);
        assert_true(
            sscanf(line, "%lf %lf %lf %lf %3s", &told[0], &told[1], &told[2], &told[3], star) >= 4);
        assert_true(told[0] == size.crown_width && told[1] == size.crown_thickness);
        assert_true(told[2] == size.crown_height && told[3] == size.root_length);
        assert_string_equal(star, size.from_memory ? "*" : "");
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(settings),
        cmocka_unit_test(shares),
        cmocka_unit_test(sizes),
    };
    return cmocka_run_group_tests(tests, read_page, NULL);
}
