/* Two new series that are to be the very same, to the last digit. */
#ifndef SAME_SERIES_H
#define SAME_SERIES_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "midcourse/restaging.h"

static inline void same_number(double one, double other) {
    assert_true(one == other || (isnan(one) && isnan(other)));
}

static inline void same_pose(const mc_pose *one, const mc_pose *other) {
    for (int c = 0; c < MC_COMPONENTS; c++) {
        same_number(one->c[c], other->c[c]);
    }
}

/* NULL: none. */
static inline void same_plan(const mc_plan *one, const mc_plan *other) {
    assert_int_equal(one != NULL, other != NULL);
    for (mc_tooth tooth = 0; tooth < MC_TEETH && one; tooth++) {
        const mc_plan_row *rows, *others;
        const size_t count = mc_plan_tooth_rows(one, tooth, &rows);
        assert_int_equal(mc_plan_tooth_rows(other, tooth, &others), count);
        for (size_t k = 0; k < count; k++) {
            assert_int_equal(rows[k].stage, others[k].stage);
            assert_int_equal(rows[k].attachment, others[k].attachment);
            same_number(rows[k].ipr_mesial, others[k].ipr_mesial);
            same_number(rows[k].ipr_distal, others[k].ipr_distal);
            same_pose(&rows[k].pose, &others[k].pose);
        }
    }
}

static inline void same_contact(const mc_restaged_contact *one, const mc_restaged_contact *other) {
    assert_int_equal(one->right, other->right);
    assert_int_equal(one->left, other->left);
    assert_int_equal(one->leads, other->leads);
    assert_int_equal(one->costs, other->costs);
    assert_int_equal(one->target_overlaps, other->target_overlaps);
    same_number(one->start, other->start);
    same_number(one->end, other->end);
    same_number(one->most, other->most);
    same_number(one->ipr, other->ipr);
    same_number(one->allowed, other->allowed);
    same_number(one->missing, other->missing);
}

static inline void same_account(const mc_restaged *one, const mc_restaged *other) {
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        assert_int_equal(one->stages[arch], other->stages[arch]);
        assert_int_equal(one->lower_bound[arch], other->lower_bound[arch]);
    }
    assert_int_equal(one->overlap_checked, other->overlap_checked);
    assert_int_equal(one->blocked, other->blocked);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_restaged_tooth *a = &one->tooth[tooth], *b = &other->tooth[tooth];
        assert_int_equal(a->moves, b->moves);
        assert_int_equal(a->stages_needed, b->stages_needed);
        assert_int_equal(a->limited_by, b->limited_by);
        assert_int_equal(a->first, b->first);
        assert_int_equal(a->last, b->last);
        same_pose(&a->remaining, &b->remaining);
    }
    assert_int_equal(one->contacts, other->contacts);
    for (size_t i = 0; i < one->contacts; i++) {
        same_contact(&one->contact[i], &other->contact[i]);
    }
}

#endif
