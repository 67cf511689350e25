/* Each rule by itself: it holds for one cause, no rule before it does, and with that cause undone
 * another one decides, later in their order. */
#include "stand.h"

static mc_tooth_score *lateral(stand *st) {
    return stand_tooth(st, 12);
}

static void pain(stand *st, bool undo) {
    lateral(st)->pain = undo ? MC_NO : MC_YES;
}

static void large_gap(stand *st, bool undo) {
    stand_gap(&st->now, mc_tooth_from_iso(12), undo ? 0.4 : 1.2);
}

static void attachment_lost(stand *st, bool undo) {
    lateral(st)->attachment = undo ? MC_ATTACHMENT_INTACT : MC_ATTACHMENT_LOST;
}

static void tight_contact(stand *st, bool undo) {
    lateral(st)->state = MC_STATE_SLIPPING;
    lateral(st)->contact_distal = undo ? MC_CONTACT_NORMAL : MC_CONTACT_TIGHT;
}

static void past_plan(stand *st, bool undo) {
    stand_short(st, 36, MC_MESIAL, undo ? -0.6 : -0.8, 0.9, MC_STATE_PAST_PLAN);
}

static void low_wear(stand *st, bool undo) {
    st->now.wear_hours = undo ? 20 : 19;
}

static void little_read(stand *st, bool undo) {
    static const int teeth[] = {17, 16, 26, 27, 37, 36, 35, 34, 33};
    for (size_t i = 0; i < sizeof teeth / sizeof teeth[0]; i++) {
        if (undo) {
            stand_short(st, teeth[i], MC_MESIAL, 0, 0, MC_STATE_ON_PLAN);
        } else {
            stand_unread(st, teeth[i]);
        }
    }
}

static void much_short(stand *st, bool undo) {
    stand_short(st, 36, MC_MESIAL, undo ? 0.9 : 1.2, 0.9, MC_STATE_BEHIND);
}

static void one_behind(stand *st, bool undo) {
    stand_short(st, 36, MC_MESIAL, undo ? 0.2 : 0.9, undo ? 0 : 0.9,
                undo ? MC_STATE_ON_PLAN : MC_STATE_BEHIND);
}

static void many_behind(stand *st, bool undo) {
    one_behind(st, undo);
    stand_behind(st, 13);
    stand_behind(st, 23);
}

/* Short by 0.9 mm, and near its target or not. */
static void near_the_target(stand *st, bool undo) {
    stand_score(st, &st->now, 4, 21);
    stand_short(st, 36, MC_MESIAL, undo ? 0.8 : 0.7, 0.9, MC_STATE_BEHIND);
}

static const struct {
    int rule;
    mc_proposal_choice choice;
    void (*cause)(stand *st, bool undo);
    int then; /* the rule that decides without it */
} CASES[] = {
    {1, MC_PROPOSE_EXAMINE, pain, 11},           {2, MC_PROPOSE_RESEAT, large_gap, 11},
    {3, MC_PROPOSE_REPAIR, attachment_lost, 11}, {4, MC_PROPOSE_OPEN_CONTACT, tight_contact, 11},
    {5, MC_PROPOSE_REVIEW, past_plan, 11},       {6, MC_PROPOSE_TALK_WEAR, low_wear, 11},
    {7, MC_PROPOSE_MEASURE, little_read, 11},    {8, MC_PROPOSE_CORRECT, much_short, 9},
    {9, MC_PROPOSE_LOCAL, one_behind, 11},       {10, MC_PROPOSE_HOLD, many_behind, 9},
    {11, MC_PROPOSE_FINISH, near_the_target, 9},
};

/* With a forecast and without one. */
static void each_rule_has_its_cause(void **state) {
    (void)state;
    for (size_t i = 0; i < 2 * sizeof CASES / sizeof CASES[0]; i++) {
        stand *st = stand_new();
        const size_t n = i / 2;
        CASES[n].cause(st, false);
        if (i % 2 == 1) {
            stand_follow(st);
        }
        stand_only(st, CASES[n].rule, CASES[n].choice);
        CASES[n].cause(st, true);
        if (i % 2 == 1) {
            stand_follow(st);
        }
        if (stand_decides(st) != CASES[n].then) {
            fail_msg("rule %d without its cause: %s", CASES[n].rule, st->proposal.sentence);
        }
        stand_free(st);
    }
}

/* ---- 8: whether it pays ---- */

static mc_option weigh(const stand *st, mc_choice choice) {
    const mc_option_ask ask = {.choices = 1u << choice, .to = -1};
    mc_option out;
    mc_option_of(&st->situation, &ask, &out);
    assert_true(out.possible);
    return out;
}

static stand *much_behind(void) {
    stand *st = stand_new();
    stand_short(st, 36, MC_MESIAL, 1.2, 0.9, MC_STATE_BEHIND);
    return st;
}

/* Either gain is enough, and reached exactly is enough. */
static void test_pays(void **state) {
    (void)state;
    stand *st = much_behind();
    stand_follow(st);
    const mc_option now = weigh(st, MC_CORRECT), then = weigh(st, MC_FINISH);
    const double fewer = then.expected_out - now.expected_out;
    const int sooner = then.days - now.days;
    assert_true(sooner > 28);
    assert_int_equal(stand_decides(st), 8);
    st->settings.correct_fewer_out = fewer + 0.01;
    st->settings.correct_sooner_days = sooner;
    assert_int_equal(stand_decides(st), 8);
    st->settings.correct_sooner_days = sooner + 1;
    assert_int_equal(stand_decides(st), 9);
    st->settings.correct_fewer_out = fewer;
    stand_only(st, 8, MC_PROPOSE_CORRECT);
    stand_free(st);
}

static void test_what_it_gains_is_said(void **state) {
    (void)state;
    stand *st = much_behind();
    assert_int_equal(stand_decides(st), 8); /* nothing followed */
    stand_says(st, "It cannot be forecast what correcting now gains over finishing first.");
    stand_follow(st);
    assert_int_equal(stand_decides(st), 8);
    char words[100]; /* finishing first corrects twice, and so leaves less */
    snprintf(words, sizeof words, ", but to end %d days sooner than finishing first.",
             weigh(st, MC_FINISH).days - weigh(st, MC_CORRECT).days);
    stand_says(st, words);
    stand_says(st, "Correcting now is expected to leave ");
    /* the present series ends within days, so that a new one would end later */
    st->situation.series[MC_UPPER].interval = st->situation.series[MC_LOWER].interval = 1;
    st->settings.correct_fewer_out = -52;
    assert_int_equal(stand_decides(st), 8);
    snprintf(words, sizeof words, ", and to end %d days later than finishing first.",
             weigh(st, MC_CORRECT).days - weigh(st, MC_FINISH).days);
    stand_says(st, words);
    st->settings.correct_fewer_out = 1;
    assert_int_equal(stand_decides(st), 9); /* neither better nor sooner */
    st->situation.interval[MC_UPPER] = st->situation.interval[MC_LOWER] = 0;
    assert_int_equal(stand_decides(st), 8); /* cannot be compared: in nobody's way */
    stand_says(st, "It cannot be forecast");
    stand_free(st);
}

/* ---- 9 and 10: what is expected ---- */

static void test_expected_is_said(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_behind(st, 36);
    assert_int_equal(stand_decides(st), 9);
    assert_null(strstr(st->proposal.sentence, "xpected"));
    stand_follow(st);
    st->forecast.tooth[mc_tooth_from_iso(36)].component[MC_MESIAL].end = 2 - 0.72;
    stand_only(st, 9, MC_PROPOSE_LOCAL);
    stand_says(st, "Left alone, expected at the end: 36 mesial 0.7 mm short.");
    stand_behind(st, 13);
    stand_behind(st, 23);
    stand_follow(st);
    stand_only(st, 10, MC_PROPOSE_HOLD);
    stand_says(st, " Expected to leave ");
    stand_says(st, " at the end.");
    st->forecast.expected_out = 4.3;
    assert_int_equal(stand_decides(st), 10);
    stand_says(st, " outside instead of 4.3 at the end.");
    stand_free(st);
}

/* ---- 11: teeth that will end outside ---- */

/* On plan today; at the end short (or past) by so much, outside with a probability. */
static void will_end(stand *st, int iso, mc_component c, double shortfall, double p_out) {
    const mc_tooth tooth = mc_tooth_from_iso(iso);
    mc_component_forecast *f = &st->forecast.tooth[tooth].component[c];
    f->known = true;
    f->planned = mc_plan_at(st->plan, tooth, c, STAND_STAGES);
    f->end = f->planned - shortfall;
    st->forecast.tooth[tooth].known = true;
    st->forecast.tooth[tooth].p_out = p_out;
}

static bool is_told(stand *st) {
    assert_int_equal(stand_decides(st), 11);
    return strstr(st->proposal.sentence, "Expected to end outside") != NULL;
}

static void test_named_as_ending_outside(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_follow(st);
    assert_false(is_told(st));
    will_end(st, 36, MC_MESIAL, 1.3, 0.85);
    assert_true(is_told(st));
    stand_names(st, "36");
    stand_says(st, "Expected to end outside: 36 mesial 1.3 mm short (85 % likely); for "
                   "overcorrection, local measures or the correction at the end.");
    will_end(st, 13, MC_ROTATION, -8.2, 0.9);
    stand_tooth(st, 22)->state = MC_STATE_SLIPPING;
    stand_tooth(st, 36)->state = MC_STATE_SLIPPING;
    assert_true(is_told(st));
    stand_names(st, "13 36 22"); /* the furthest out first, each once */
    stand_says(st, "13 rotation 8.2 deg past (90 % likely); 36 mesial 1.3 mm short");
    will_end(st, 13, MC_ROTATION, -8.2, 0.9996);
    assert_true(is_told(st));
    stand_says(st, "13 rotation 8.2 deg past (over 99 % likely)"); /* never certain */
    will_end(st, 24, MC_INCLINATION, 7, 0.9); /* the plan does not move it so */
    assert_true(is_told(st));
    stand_says(st, "24 inclination 7 deg off (90 % likely)");
    st->now.present[mc_tooth_from_iso(13)] = false;
    assert_true(is_told(st));
    stand_names(st, "24 36 22");
    stand_free(st);
}

static void test_who_is_named(void **state) {
    (void)state;
    stand *st = stand_new();
    stand_follow(st);
    will_end(st, 36, MC_MESIAL, 1.3, 0.8);
    assert_true(is_told(st));
    will_end(st, 36, MC_MESIAL, 1.3, 0.79);
    assert_false(is_told(st));
    will_end(st, 36, MC_MESIAL, 1.0, 0.9); /* expected just inside */
    assert_false(is_told(st));
    will_end(st, 36, MC_MESIAL, 1.01, 0.9);
    assert_true(is_told(st));
    st->settings.finish_mm = 1.1;
    assert_false(is_told(st));
    st->settings.finish_mm = 1.0;
    st->now.aligner[MC_LOWER] = 16; /* a third is left */
    assert_true(is_told(st));
    st->now.aligner[MC_LOWER] = 17;
    assert_false(is_told(st));
    st->settings.name_series_left = 0.25;
    assert_true(is_told(st));
    st->now.aligner[MC_LOWER] = 24; /* nothing is left */
    st->settings.name_series_left = 0;
    assert_false(is_told(st));
    st->now.aligner[MC_LOWER] = MC_NO_ALIGNER;
    st->now.effective_stage[MC_LOWER] = NAN;
    assert_false(is_told(st));
    stand_free(st);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_rule_has_its_cause),      cmocka_unit_test(test_pays),
        cmocka_unit_test(test_what_it_gains_is_said),   cmocka_unit_test(test_expected_is_said),
        cmocka_unit_test(test_named_as_ending_outside), cmocka_unit_test(test_who_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
