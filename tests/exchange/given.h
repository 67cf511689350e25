/* What the tests of the exchange room read, and against what. */
#ifndef MIDCOURSE_TESTS_EXCHANGE_GIVEN_H
#define MIDCOURSE_TESTS_EXCHANGE_GIVEN_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "midcourse/exchange.h"

#include "near.h"

#define PLAN_HEADER                                                                                \
    "tooth,stage,mesial_mm,buccal_mm,occlusal_mm,rotation_deg,angulation_deg,inclination_deg\n"

static inline mc_tooth tooth_of(int iso) {
    return mc_tooth_from_iso(iso);
}

/* ---- plans ---- */

typedef struct plan_read {
    mc_status status;
    mc_plan *plan;
    mc_plan_origin origin;
    mc_warnings warnings;
    mc_error error;
} plan_read;

static inline plan_read read_plan_bytes(const char *data, size_t size, mc_notation notation,
                                        const mc_tooth_state *states) {
    plan_read out = {.status = MC_OK};
    mc_settings settings;
    mc_settings_defaults(&settings);
    out.status = mc_plan_read(data, size, notation, states, &settings, &out.plan, &out.origin,
                              &out.warnings, &out.error);
    return out;
}

static inline plan_read read_plan(const char *text) {
    return read_plan_bytes(text, strlen(text), MC_NOTATION_ISO, NULL);
}

static inline void plan_read_free(plan_read *read) {
    mc_plan_free(read->plan);
    mc_warnings_free(&read->warnings);
}

static inline void expect_refusal(const mc_error *error, long line, long column, const char *part) {
    if (error->line != line || error->column != column || !strstr(error->text, part)) {
        fail_msg("refused at %ld:%ld with \"%s\", expected %ld:%ld with \"%s\"", error->line,
                 error->column, error->text, line, column, part);
    }
}

/* The plan is refused at that place, with a sentence that contains part, and nothing is returned.
 */
static inline void refuse_plan_bytes(const char *data, size_t size, mc_notation notation,
                                     const mc_tooth_state *states, long line, long column,
                                     const char *part) {
    plan_read read = read_plan_bytes(data, size, notation, states);
    assert_int_equal(read.status, MC_REFUSED);
    assert_int_equal(read.error.status, MC_REFUSED);
    expect_refusal(&read.error, line, column, part);
    assert_null(read.plan);
    assert_null(read.warnings.list);
    assert_int_equal(read.warnings.count, 0);
}

static inline void refuse_plan(const char *text, long line, long column, const char *part) {
    refuse_plan_bytes(text, strlen(text), MC_NOTATION_ISO, NULL, line, column, part);
}

static inline void expect_warning(const mc_warnings *warnings, size_t i, long line, long column,
                                  const char *text) {
    assert_true(i < warnings->count);
    const mc_warning *one = &warnings->list[i];
    if (one->line != line || one->column != column || strcmp(one->text, text) != 0) {
        fail_msg("warned at %ld:%ld with \"%s\", expected %ld:%ld with \"%s\"", one->line,
                 one->column, one->text, line, column, text);
    }
}

/* The whole plan, row by row and bit by bit. */
static inline void expect_same_plan(const mc_plan *a, const mc_plan *b) {
    assert_int_equal(mc_plan_count(a), mc_plan_count(b));
    for (size_t i = 0; i < mc_plan_count(a); i++) {
        const mc_plan_row *x = mc_plan_row_at(a, i), *y = mc_plan_row_at(b, i);
        assert_int_equal(x->tooth, y->tooth);
        assert_int_equal(x->stage, y->stage);
        assert_memory_equal(&x->pose, &y->pose, sizeof x->pose);
        assert_int_equal(x->attachment, y->attachment);
        assert_true(x->ipr_mesial == y->ipr_mesial && x->ipr_distal == y->ipr_distal);
    }
}

/* ---- check-ups ---- */

/* A mouth at upper aligner 12 of 24: the golden plan, 13 that starts after stage 14, and no series
 * in the lower arch. */
typedef struct chair {
    mc_plan *plan;
    mc_settings settings;
    mc_tooth_state states[MC_TEETH];
    double last[MC_TEETH][MC_COMPONENTS];
    mc_checkup_context context;
} chair;

static inline void add_row(mc_plan *plan, int iso, int stage, const double c[MC_COMPONENTS]) {
    mc_plan_row row = {.tooth = tooth_of(iso), .stage = stage};
    memcpy(row.pose.c, c, sizeof row.pose.c);
    assert_int_equal(mc_plan_add(plan, &row, NULL), MC_OK);
}

static inline void chair_set_up(chair *out) {
    *out = (chair){.plan = mc_plan_new()};
    assert_non_null(out->plan);
    mc_settings_defaults(&out->settings);
    add_row(out->plan, 12, 8, (double[]){0.40, -0.30, 0.25, 6, 2, 0});
    add_row(out->plan, 12, 24, (double[]){1.20, -0.90, 0.75, 18, 6, 0});
    add_row(out->plan, 13, 14, (double[]){0, 0, 0, 0, 0, 0});
    add_row(out->plan, 13, 24, (double[]){1.5, 0, 0, 0, 0, 0});
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        out->states[tooth] = mc_tooth_is_deciduous(tooth) ? MC_TOOTH_MISSING : MC_TOOTH_PRESENT;
        for (int c = 0; c < MC_COMPONENTS; c++) {
            out->last[tooth][c] = NAN;
        }
    }
    out->context = (mc_checkup_context){
        .plan = out->plan,
        .settings = &out->settings,
        .states = out->states,
        .effective_stage = {12, NAN},
        .last_observed = (const double(*)[MC_COMPONENTS])out->last,
        .notation = MC_NOTATION_ISO,
    };
}

static inline void chair_free(chair *given) {
    mc_plan_free(given->plan);
}

typedef struct checkup_read {
    mc_status status;
    mc_reading *rows;
    size_t count;
    mc_warnings warnings;
    mc_error error;
} checkup_read;

static inline checkup_read read_checkup(const chair *given, const char *text) {
    checkup_read out = {.status = MC_OK};
    out.status = mc_checkup_read(text, strlen(text), &given->context, &out.rows, &out.count,
                                 &out.warnings, &out.error);
    return out;
}

static inline void checkup_read_free(checkup_read *read) {
    free(read->rows);
    mc_warnings_free(&read->warnings);
}

static inline void refuse_checkup(const chair *given, const char *text, long line, long column,
                                  const char *part) {
    checkup_read read = read_checkup(given, text);
    assert_int_equal(read.status, MC_REFUSED);
    expect_refusal(&read.error, line, column, part);
    assert_null(read.rows);
    assert_int_equal(read.count, 0);
    assert_null(read.warnings.list);
}

#endif
