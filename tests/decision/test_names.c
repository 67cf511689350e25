/* The words by which proposals, choices and causes are known outside. */
#include "stand.h"

static void test_proposals(void **state) {
    (void)state;
    static const char *const names[] = {"examine", "reseat",    "repair",   "open-contact",
                                        "review",  "talk-wear", "measure",  "correct",
                                        "local",   "hold",      "carry-on", "finish"};
    for (int i = 0; i < 12; i++) {
        assert_string_equal(mc_proposal_name((mc_proposal_choice)i), names[i]);
    }
    assert_string_equal(mc_proposal_words(MC_PROPOSE_OPEN_CONTACT), "open contact");
    assert_string_equal(mc_proposal_words(MC_PROPOSE_TALK_WEAR), "talk about wear");
    assert_string_equal(mc_proposal_words(MC_PROPOSE_LOCAL), "local measures");
    assert_string_equal(mc_proposal_words(MC_PROPOSE_CARRY_ON), "carry on");
    assert_string_equal(mc_proposal_words(MC_PROPOSE_FINISH), "finish");
}

static void test_choices(void **state) {
    (void)state;
    static const char *const names[] = {"carry-on", "hold",    "go-back",
                                        "local",    "correct", "finish"};
    for (int i = 0; i < MC_CHOICES; i++) {
        mc_choice choice = MC_CHOICES;
        assert_string_equal(mc_choice_name((mc_choice)i), names[i]);
        assert_true(mc_choice_parse(names[i], &choice));
        assert_int_equal(choice, i);
    }
    mc_choice kept = MC_HOLD;
    assert_false(mc_choice_parse("Hold", &kept));
    assert_false(mc_choice_parse("", &kept));
    assert_false(mc_choice_parse("hold ", &kept));
    assert_false(mc_choice_parse("examine", &kept));
    assert_int_equal(kept, MC_HOLD);
}

static void test_causes(void **state) {
    (void)state;
    static const char *const names[] = {"none",    "wear",    "contact",      "attachment",
                                        "aligner", "staging", "interference", "elastics",
                                        "root",    "unknown"};
    for (int i = 0; i <= MC_CAUSE_UNKNOWN; i++) {
        mc_cause cause = MC_CAUSE_UNKNOWN;
        assert_string_equal(mc_cause_name((mc_cause)i), names[i]);
        assert_true(mc_cause_parse(names[i], &cause));
        assert_int_equal(cause, i);
    }
    mc_cause kept = MC_CAUSE_ROOT;
    assert_false(mc_cause_parse("luck", &kept));
    assert_int_equal(kept, MC_CAUSE_ROOT);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_proposals),
        cmocka_unit_test(test_choices),
        cmocka_unit_test(test_causes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
