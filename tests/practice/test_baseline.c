/* What earlier check-ups say of a tooth's own mobility: the baseline of rule 1. */
#include "acting.h"

#define LOOSE "tooth,mobility\n12,2\n"

static void enter_mobile(house *h, const char *date, int aligner) {
    mc_checkup_import what = readings(LOOSE, date, aligner, -1);
    what.accept_warnings = true;
    h->practice->today = day(date);
    done(import_checkup(h, "1001", &what));
}

static mc_proposal_choice proposed(house *h) {
    mc_assessment *a = assessed(h->practice, "1001", 0);
    mc_proposal_choice choice = a->proposal.choice;
    mc_assessment_free(a);
    return choice;
}

/* Grade 2 found before any aligner is the tooth's own, and is no alarm later. */
static void found_before_any_aligner(void **state) {
    house *h = *state;
    enter_mobile(h, "2025-03-10", 0);
    enter_mobile(h, FIRST_DAY, 4);
    assert_int_not_equal(proposed(h), MC_PROPOSE_EXAMINE);
}

/* Found at a check-up at which the arch's aligner was not looked at, or on an aligner, it is not.
 */
static void found_later(void **state) {
    house *h = *state;
    enter_mobile(h, FIRST_DAY, MC_NO_ALIGNER);
    assert_int_equal(proposed(h), MC_PROPOSE_EXAMINE);
    enter_mobile(h, SECOND_DAY, 9);
    assert_int_equal(proposed(h), MC_PROPOSE_EXAMINE);
    enter_mobile(h, SECOND_DAY, 9);
    assert_int_equal(proposed(h), MC_PROPOSE_EXAMINE);
}

int main(void) {
    const struct CMUnitTest tests[] = {acting_test(found_before_any_aligner),
                                       acting_test(found_later)};
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
