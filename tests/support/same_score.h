/* Whether two scores of a mouth say the same, number by number. */
#ifndef SAME_SCORE_H
#define SAME_SCORE_H

#include "mouth.h"

/* Within `within` of each other, relative for large ones; two NaNs are the same. */
static inline bool same_number(double a, double b, double within) {
    return (isnan(a) && isnan(b)) || fabs(a - b) <= within * fmax(1, fabs(a));
}

static inline bool same_item(const mc_item *a, const mc_item *b, double within) {
    return a->read == b->read && a->followed == b->followed && a->readings == b->readings &&
           a->direction == b->direction && a->kind == b->kind &&
           same_number(a->planned, b->planned, within) &&
           same_number(a->observed, b->observed, within) && same_number(a->sd, b->sd, within) &&
           same_number(a->mean, b->mean, within) && same_number(a->sd_x, b->sd_x, within) &&
           same_number(a->leg_from, b->leg_from, within) &&
           same_number(a->shortfall, b->shortfall, within) &&
           same_number(a->index, b->index, within) &&
           same_number(a->raw_index, b->raw_index, within) &&
           same_number(a->weight, b->weight, within) && same_number(a->p, b->p, within);
}

static inline bool same_findings(const mc_tooth_score *a, const mc_tooth_score *b, double within) {
    return a->attachment == b->attachment && a->contact_mesial == b->contact_mesial &&
           a->contact_distal == b->contact_distal && a->mobility == b->mobility &&
           a->pain == b->pain && a->swelling == b->swelling &&
           same_number(a->recession, b->recession, within) &&
           same_number(a->seat_gap, b->seat_gap, within) &&
           same_number(a->seat_index, b->seat_index, within) &&
           same_number(a->seat_p, b->seat_p, within) && a->seat_kind == b->seat_kind;
}

static inline bool same_relative(const mc_relative_item *a, const mc_relative_item *b,
                                 bool mirrored, double within) {
    mc_tooth neighbour =
        mirrored && b->neighbour != MC_NO_TOOTH ? mc_tooth_mirror(b->neighbour) : b->neighbour;
    return a->readings == b->readings && a->neighbour == neighbour &&
           same_number(a->read, b->read, within) && same_number(a->baseline, b->baseline, within) &&
           same_number(a->should_read, b->should_read, within);
}

static inline bool same_tooth(const mc_tooth_score *a, const mc_tooth_score *b, bool mirrored,
                              double within) {
    for (int i = 0; i < MC_RELATIVES; i++)
        if (!same_relative(&a->relative[i], &b->relative[i], mirrored, within))
            return false;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (!same_item(&a->item[c], &b->item[c], within))
            return false;
    return a->state == b->state && a->worst == b->worst && same_findings(a, b, within) &&
           same_number(a->lag_index, b->lag_index, within) &&
           same_number(a->risk_weight, b->risk_weight, within) &&
           same_number(a->p_behind, b->p_behind, within) &&
           same_number(a->lag_stages, b->lag_stages, within) &&
           same_number(a->lag_stages_low, b->lag_stages_low, within) &&
           same_number(a->lag_stages_high, b->lag_stages_high, within) &&
           same_number(a->stage_equivalent, b->stage_equivalent, within) &&
           same_number(a->off_path, b->off_path, within) &&
           same_number(a->tracked_share, b->tracked_share, within) &&
           same_number(a->tracked_share_se, b->tracked_share_se, within);
}

/* mirrored: b is the mouth of a in a mirror. */
static inline void assert_same_score(const mc_score *a, const mc_score *b, bool mirrored,
                                     double within) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        mc_tooth other = mirrored ? mc_tooth_mirror(t) : t;
        if (a->present[t] != b->present[other] ||
            !same_tooth(&a->tooth[t], &b->tooth[other], mirrored, within))
            fail_msg("tooth %d differs", mc_tooth_iso(t));
    }
    assert_int_equal(a->number, b->number);
    assert_memory_equal(a->count, b->count, sizeof a->count);
    assert_int_equal(a->present_count, b->present_count);
    assert_int_equal(a->measured, b->measured);
    mc_tooth worst = mirrored && b->worst != MC_NO_TOOTH ? mc_tooth_mirror(b->worst) : b->worst;
    assert_int_equal(a->worst, worst);
    assert_true(same_number(a->lag_index, b->lag_index, within));
    assert_true(same_number(a->pace_mean, b->pace_mean, within));
    assert_true(same_number(a->pace_sd, b->pace_sd, within));
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        assert_int_equal(a->stages[arch], b->stages[arch]);
        assert_true(same_number(a->effective_stage[arch], b->effective_stage[arch], 0));
    }
}

#endif
