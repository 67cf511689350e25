/* A forecast of a test's mouth, and what is true of every forecast. */
#ifndef AHEAD_H
#define AHEAD_H

#include "mouth.h"
#include "near.h"

/* As the mouth stands, each tooth with the grip that it has. */
static inline mc_forecast mouth_forecast(const mouth *m) {
    static mc_forecast out;
    bool grip[MC_TEETH];
    mc_tracker_grip(m->tracker, grip);
    mc_tracker_forecast(m->tracker, m->states, grip, &out);
    return out;
}

static inline const mc_component_forecast *end_of(const mc_forecast *f, int iso, mc_component c) {
    return &f->tooth[mc_tooth_from_iso(iso)].component[c];
}

static inline void assert_chance(double p) {
    if (!(p >= 0 && p <= 1))
        fail_msg("a chance of %.17g", p);
}

/* A number where it is known, none where it is not. */
static inline void assert_component(const mc_component_forecast *c) {
    const double number[] = {c->mean, c->sd,  c->rate, c->rate_sd, c->expected,
                             c->end,  c->low, c->high, c->end_sd,  c->p_out};
    for (size_t i = 0; i < sizeof number / sizeof *number; i++)
        if (isfinite(number[i]) != c->known)
            fail_msg("number %zu is %g where the component is %sknown", i, number[i],
                     c->known ? "" : "not ");
    assert_true(isfinite(c->planned));
    assert_true(c->known || isnan(c->p_behind));
    if (!c->known)
        return;
    assert_true(c->sd >= 0 && c->rate_sd >= 0 && c->end_sd >= 0);
    assert_true(c->low <= c->end && c->end <= c->high);
    assert_chance(c->p_out);
    if (!isnan(c->p_behind))
        assert_chance(c->p_behind);
}

static inline void assert_tooth(const mc_tooth_forecast *t) {
    bool known = false;
    double behind = NAN, most = 0;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        assert_component(&t->component[c]);
        known = known || t->component[c].known;
        behind = fmax(behind, t->component[c].p_behind);
        most = fmax(most, t->component[c].known ? t->component[c].p_out : 0);
    }
    assert_true(t->known == known && (known || !t->partly));
    assert_true(isnan(t->p_out) == !known);
    assert_true(behind == t->p_behind || (isnan(behind) && isnan(t->p_behind)));
    if (!known)
        return;
    assert_chance(t->p_out);
    assert_true(t->p_out >= most - 1e-3); /* nine nodes against the closed form */
}

/* What holds of the whole mouth, whatever it is. */
static inline void assert_forecast(const mc_forecast *f, const mc_tooth_state states[MC_TEETH]) {
    int known = 0, unknown = 0, partly = 0;
    double sum = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_tooth_forecast *tooth = &f->tooth[t];
        assert_tooth(tooth);
        if (!mc_tooth_stands(states[t]))
            continue;
        known += tooth->known;
        unknown += !tooth->known;
        partly += tooth->partly;
        sum += tooth->known ? tooth->p_out : 0;
        if (tooth->known)
            assert_true(f->p_all_in <= 1 - tooth->p_out + 1e-12);
    }
    assert_int_equal(f->known, known);
    assert_int_equal(f->unknown, unknown);
    assert_int_equal(f->partly, partly);
    assert_true(isfinite(f->pace_mean) && f->pace_sd > 0);
    assert_true(isnan(f->expected_out) == (known == 0) && isnan(f->p_all_in) == (known == 0));
    if (known == 0)
        return;
    assert_near(f->expected_out, sum, 1e-12);
    assert_chance(f->p_all_in);
    assert_true(f->p_all_in >= 1 - sum - 1e-12);
}

static inline void assert_same_number(double a, double b, double within) {
    if (!(isnan(a) && isnan(b)) && !(fabs(a - b) <= within * fmax(1, fabs(a))))
        fail_msg("%.17g and %.17g", a, b);
}

/* mirrored: b is of the mouth of a in a mirror. */
static inline void assert_same_forecast(const mc_forecast *a, const mc_forecast *b, bool mirrored,
                                        double within) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_tooth_forecast *x = &a->tooth[t],
                                *y = &b->tooth[mirrored ? mc_tooth_mirror(t) : t];
        assert_true(x->known == y->known && x->partly == y->partly && x->grip == y->grip);
        assert_same_number(x->p_out, y->p_out, within);
        assert_same_number(x->p_behind, y->p_behind, within);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            const mc_component_forecast *p = &x->component[c], *q = &y->component[c];
            const double one[] = {p->mean, p->sd,  p->rate, p->rate_sd, p->expected, p->planned,
                                  p->end,  p->low, p->high, p->end_sd,  p->p_behind, p->p_out};
            const double two[] = {q->mean, q->sd,  q->rate, q->rate_sd, q->expected, q->planned,
                                  q->end,  q->low, q->high, q->end_sd,  q->p_behind, q->p_out};
            for (size_t i = 0; i < sizeof one / sizeof *one; i++)
                assert_same_number(one[i], two[i], within);
        }
    }
    assert_int_equal(a->known, b->known);
    assert_int_equal(a->unknown, b->unknown);
    assert_int_equal(a->partly, b->partly);
    assert_same_number(a->pace_mean, b->pace_mean, within);
    assert_same_number(a->expected_out, b->expected_out, within);
    assert_same_number(a->p_all_in, b->p_all_in, within);
}

#endif
