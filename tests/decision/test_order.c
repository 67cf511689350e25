/* The first rule that holds decides: on situations built up from the last rule to the first, and on
 * random ones, whose sentences must be fit to be read whatever comes together. */
#include "stand.h"

#include "random.h"

/* Each step adds what an earlier rule looks for. */
static void test_first_rule_decides(void **state) {
    (void)state;
    stand *st = stand_new();
    assert_int_equal(stand_decides(st), 11);
    stand_behind(st, 13);
    stand_behind(st, 23);
    stand_behind(st, 36);
    assert_int_equal(stand_decides(st), 10);
    st->settings.local_teeth = 3;
    assert_int_equal(stand_decides(st), 9);
    stand_short(st, 36, MC_MESIAL, 1.2, 0.9, MC_STATE_BEHIND);
    assert_int_equal(stand_decides(st), 8);
    st->settings.measure_share = 1;
    stand_unread(st, 17);
    assert_int_equal(stand_decides(st), 7);
    st->now.wear_hours = 12;
    assert_int_equal(stand_decides(st), 6);
    st->situation.overjet_above_plan = 2;
    assert_int_equal(stand_decides(st), 5);
    stand_tooth(st, 36)->contact_distal = MC_CONTACT_TIGHT;
    assert_int_equal(stand_decides(st), 4);
    stand_tooth(st, 13)->attachment = MC_ATTACHMENT_LOST;
    assert_int_equal(stand_decides(st), 3);
    stand_gap(&st->now, mc_tooth_from_iso(47), 2);
    assert_int_equal(stand_decides(st), 2);
    stand_tooth(st, 47)->pain = MC_YES;
    assert_int_equal(stand_decides(st), 1);
    stand_free(st);
}

static void random_tooth(stand *st, random_source *source, mc_tooth tooth, double share) {
    mc_tooth_score *of = &st->now.tooth[tooth];
    const double rare = random_unit(source);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        if (random_unit(source) < 0.4) {
            const double most = c <= MC_OCCLUSAL ? 2 : 12;
            stand_read(st, &st->now, tooth, (mc_component)c,
                       random_between(source, -most, most) * share, random_unit(source));
        }
    }
    of->state = (mc_state)random_below(source, MC_STATES);
    of->lag_index = random_below(source, 5) ? random_between(source, 0, 5) : NAN;
    stand_gap(&st->now, tooth, random_below(source, 3) ? random_unit(source) * share : NAN);
    of->seat_kind = (mc_kind)random_below(source, 4);
    if (rare < share * share / 4) {
        of->mobility = random_below(source, 4);
        of->pain = (mc_yes)random_below(source, 3);
        of->swelling = (mc_yes)random_below(source, 3);
        of->recession = random_between(source, 0, 4);
        st->situation.baseline_recession[tooth] = random_between(source, 0, 4);
    }
    if (rare < share / 2) {
        of->attachment = (mc_attachment)random_below(source, 5);
        of->contact_mesial = (mc_contact)random_below(source, 4);
        of->contact_distal = (mc_contact)random_below(source, 4);
    }
}

/* share: how ill things are, 0 to 1. */
static void random_mouth(stand *st, random_source *source, double share) {
    const bool hasty = random_below(source, 3) == 0; /* next to nothing was read */
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (hasty) {
            stand_blank(&st->now.tooth[tooth]);
        }
        st->now.present[tooth] = random_below(source, 8) > 0;
        if (random_below(source, hasty ? 20 : 4) > (hasty ? 18 : 0)) {
            random_tooth(st, source, tooth, share);
        }
    }
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        st->now.aligner[arch] = random_below(source, STAND_STAGES + 2) - 1;
        st->now.effective_stage[arch] =
            st->now.aligner[arch] < 0 ? NAN : mc_effective_stage(st->now.aligner[arch], 2, 4);
        st->situation.interval[arch] = random_below(source, 22);
    }
    st->now.measured = random_below(source, 29);
    st->now.wear_hours = random_below(source, 3) ? random_between(source, 16, 24) : NAN;
    st->situation.wear_talked = random_below(source, 2);
    st->situation.earlier_on_plan = (size_t)random_below(source, STAND_PAST + 1);
    st->situation.overjet_above_plan = random_below(source, 2) ? random_normal(source) / 2 : NAN;
}

static void check_proposal(stand *st, int rule_seen[12]) {
    const int decides = stand_decides(st);
    const mc_proposal *p = &st->proposal;
    bool named_before[MC_TEETH] = {false};
    for (int other = 1; other < decides; other++) {
        assert_false(stand_holds(st, other));
    }
    assert_true(stand_holds(st, decides));
    assert_int_equal(p->choice, decides - 1 + (decides == 11 && p->choice == MC_PROPOSE_FINISH));
    assert_true((p->arch < MC_ARCHES) == (decides == 2));
    assert_true(p->to == -1 || (decides == 2 && p->to < st->now.aligner[p->arch]));
    assert_true(p->days >= 0 && (p->days == 0 || decides == 3 || decides == 6 || decides == 10));
    for (size_t i = 0; i < p->count; i++) {
        assert_false(named_before[p->teeth[i]]);
        named_before[p->teeth[i]] = true;
    }
    rule_seen[decides]++;
}

static void test_random_situations(void **state) {
    (void)state;
    random_source source = random_seed(41);
    int rule_seen[12] = {0};
    for (int i = 0; i < 1500; i++) {
        stand *st = stand_new();
        random_mouth(st, &source, pow(random_unit(&source), 3));
        if (i % 3 == 0 && st->now.aligner[MC_UPPER] >= 0 && st->now.aligner[MC_LOWER] >= 0) {
            stand_follow(st);
        }
        check_proposal(st, rule_seen);
        stand_free(st);
    }
    for (int number = 1; number <= 11; number++) {
        if (rule_seen[number] == 0 && number != 9 && number != 10) {
            fail_msg("rule %d never decided", number);
        }
    }
}

/* Everything at once on all 52 teeth: the longest sentence of every rule. */
static void test_longest_sentences(void **state) {
    (void)state;
    for (int number = 1; number <= 11; number++) {
        stand *st = stand_new();
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            mc_tooth_score *of = &st->now.tooth[tooth];
            st->now.present[tooth] = true;
            stand_read(st, &st->now, tooth, MC_MESIAL, 1.44, 0.95);
            stand_read(st, &st->now, tooth, MC_INCLINATION, 11.12, 0.95);
            of->state = number == 5    ? MC_STATE_PAST_PLAN
                        : number == 11 ? MC_STATE_SLIPPING
                                       : MC_STATE_STALLED;
            if (number == 5) {
                of->item[MC_INCLINATION].kind = MC_KIND_DRIFT;
            }
            of->lag_index = 3;
            of->attachment = number == 3 ? MC_ATTACHMENT_LOOSE : MC_ATTACHMENT_WORN;
            of->contact_mesial = of->contact_distal = MC_CONTACT_TIGHT;
            stand_gap(&st->now, tooth, number == 2 ? 0.75 : 0.45);
            of->pain = of->swelling = MC_YES;
            of->mobility = 3;
            of->recession = 4.25;
            st->situation.baseline_recession[tooth] = 1;
        }
        for (int i = 0; i < STAND_PAST; i++) {
            for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
                stand_gap(&st->past[i], tooth, 0.6);
            }
        }
        st->now.wear_hours = 15.5;
        st->situation.wear_talked = number != 6;
        st->situation.overjet_above_plan = 2.22;
        st->settings.local_teeth = MC_TEETH;
        st->situation.interval[MC_UPPER] = st->situation.interval[MC_LOWER] = 14;
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            st->states[tooth] = MC_TOOTH_PRESENT;
        }
        stand_follow(st);
        memset(&st->proposal, 0, sizeof st->proposal);
        if (stand_rule(number)(&st->situation, &st->proposal)) {
            stand_check_sentence(&st->proposal);
        } else {
            assert_true(number == 7); /* every tooth was read */
        }
        stand_free(st);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_first_rule_decides),
        cmocka_unit_test(test_random_situations),
        cmocka_unit_test(test_longest_sentences),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
