/* The workbench: changes back and forth, what is refused, the draft kept, and what others do
 * meanwhile. */
#include "acting.h"
#include "same_series.h"

#include <math.h>

static mc_bench *opened(house *h, bool kept) {
    mc_case kase = find(h->practice, "1001");
    mc_bench *bench = NULL;
    done(mc_bench_open(h->practice, &kase, kept, &bench, &why));
    return bench;
}

static mc_tooth iso(int number) {
    return mc_tooth_from_iso(number);
}

static mc_bench_edit edit_of(mc_bench_what what, int tooth, mc_component c, double number) {
    return (mc_bench_edit){.what = what, .tooth = iso(tooth), .component = c, .number = number};
}

static mc_bench_edit ipr(int tooth, bool mesial, double mm, int stage) {
    return (mc_bench_edit){
        .what = MC_BENCH_IPR, .tooth = iso(tooth), .mesial = mesial, .number = mm, .whole = stage};
}

static mc_bench_edit stay(int tooth, bool stays) {
    return (mc_bench_edit){.what = MC_BENCH_STAY, .tooth = iso(tooth), .whole = stays};
}

static mc_status change(mc_bench *bench, mc_bench_edit edit) {
    return mc_bench_change(bench, &edit, &why);
}

static mc_bench_tooth tooth_of(const mc_bench *bench, int number) {
    mc_bench_tooth out;
    mc_bench_tooth_of(bench, iso(number), &out);
    return out;
}

static double remaining(const mc_bench *bench, int number, mc_component c) {
    return mc_bench_account(bench)->tooth[iso(number)].remaining.c[c];
}

static int upper(const mc_bench *bench) {
    return mc_bench_account(bench)->stages[MC_UPPER];
}

/* What a refusal must do: say so, and leave everything as it was. */
static void is_refused(mc_bench *bench, const char *text, mc_bench_edit edit) {
    const size_t changes = mc_bench_changes(bench);
    const mc_plan *plan = mc_bench_plan(bench);
    assert_int_equal(change(bench, edit), MC_REFUSED);
    if (!strstr(why.text, text))
        fail_msg("\"%s\" is not in \"%s\"", text, why.text);
    assert_int_equal(mc_bench_changes(bench), changes);
    assert_ptr_equal(mc_bench_plan(bench), plan);
}

/* ---- what it shows ---- */

static void a_bench_starts_from_the_check_up(void **state) {
    mc_bench *bench = opened(*state, false);
    const mc_bench_tooth t = tooth_of(bench, 12);
    assert_true(t.may_move && t.exact && !t.stays);
    assert_true(fabs(t.present.c[MC_ROTATION] - 6.4) < 1e-9);
    assert_true(fabs(t.target.c[MC_ROTATION] - 18) < 1e-9);
    assert_true(fabs(t.planned.c[MC_ROTATION] - 18) < 1e-9);
    assert_true(fabs(t.limit[MC_ROTATION] - 2) < 1e-9);
    assert_false(t.own_limit[MC_ROTATION]);
    assert_true(isnan(t.suggested[MC_MESIAL])); /* nothing remains there */
    assert_in_range((int)(t.suggested[MC_ROTATION] * 1000), 1, 30000);
    assert_false(tooth_of(bench, 16).may_move);
    assert_false(tooth_of(bench, 14).exact);
    assert_int_equal(upper(bench), 6);
    assert_int_equal(mc_bench_changes(bench), 0);
    assert_string_equal(mc_bench_why(bench), "");
    assert_int_equal(mc_bench_start(bench), day(SECOND_DAY) + 21);
    mc_bench_close(bench);
}

static void what_is_suggested_is_one_over_the_rate(void **state) {
    mc_bench *bench = opened(*state, false);
    const mc_forecast *f = &mc_bench_assessment(bench)->forecast;
    const double rate = f->tooth[iso(12)].component[MC_ROTATION].rate;
    const double wanted = fmin(fmax(100 * (1 / rate - 1), 0), 30);
    assert_true(fabs(tooth_of(bench, 12).suggested[MC_ROTATION] - wanted) < 1e-9);
    mc_bench_close(bench);
}

/* ---- changes ---- */

static void every_change_makes_the_series_anew(void **state) {
    mc_bench *bench = opened(*state, false);
    done(change(bench, edit_of(MC_BENCH_TARGET, 12, MC_ROTATION, 10.4)));
    assert_true(fabs(remaining(bench, 12, MC_ROTATION) - 4) < 1e-9);
    done(change(bench, edit_of(MC_BENCH_TARGET, 12, MC_ROTATION, NAN)));
    assert_true(fabs(remaining(bench, 12, MC_ROTATION) - 11.6) < 1e-9);
    done(change(bench, edit_of(MC_BENCH_OVERCORRECT, 12, MC_ROTATION, 25)));
    assert_true(fabs(remaining(bench, 12, MC_ROTATION) - 1.25 * 11.6) < 1e-9);
    assert_true(fabs(tooth_of(bench, 12).target.c[MC_ROTATION] - 18) < 1e-9);
    done(change(bench, edit_of(MC_BENCH_OVERCORRECT, 12, MC_ROTATION, NAN)));
    done(change(bench, edit_of(MC_BENCH_LIMIT, 12, MC_ROTATION, 1)));
    assert_int_equal(upper(bench), 12);
    assert_true(tooth_of(bench, 12).own_limit[MC_ROTATION]);
    done(change(bench, edit_of(MC_BENCH_LIMIT, 12, MC_ROTATION, NAN)));
    done(change(bench, stay(12, true)));
    assert_false(mc_bench_account(bench)->tooth[iso(12)].moves);
    assert_true(tooth_of(bench, 12).stays);
    assert_true(upper(bench) < 6);
    done(change(bench, stay(12, false)));
    assert_int_equal(upper(bench), 6);
    done(change(bench, ipr(12, true, 0.2, 3)));
    assert_true(mc_plan_ipr(mc_bench_plan(bench), iso(12), true, 3) == 0.2);
    assert_true(mc_plan_ipr(mc_bench_plan(bench), iso(12), true, 2) == 0);
    done(change(bench, ipr(12, true, 0, 0)));
    assert_true(mc_plan_ipr(mc_bench_plan(bench), iso(12), true, 6) == 0);
    mc_bench_close(bench);
}

static void what_changes_nothing_is_no_step(void **state) {
    mc_bench *bench = opened(*state, false);
    done(change(bench, stay(12, false)));
    done(change(bench, edit_of(MC_BENCH_TARGET, 12, MC_MESIAL, NAN)));
    done(change(bench, edit_of(MC_BENCH_OVERCORRECT, 12, MC_MESIAL, 0)));
    assert_int_equal(mc_bench_changes(bench), 0);
    done(change(bench, stay(12, true)));
    done(change(bench, stay(12, true)));
    assert_int_equal(mc_bench_changes(bench), 1);
    mc_bench_close(bench);
}

static void changes_are_undone_and_done_again(void **state) {
    mc_bench *bench = opened(*state, false);
    assert_int_equal(mc_bench_undo(bench, &why), MC_REFUSED);
    assert_int_equal(mc_bench_redo(bench, &why), MC_REFUSED);
    done(change(bench, edit_of(MC_BENCH_TARGET, 12, MC_ROTATION, 10.4)));
    done(change(bench, stay(11, true)));
    done(mc_bench_overcorrect_all(bench, 10, &why));
    const size_t all = mc_bench_changes(bench);
    assert_true(all > 2);
    done(mc_bench_undo(bench, &why)); /* the whole of it is one step */
    assert_int_equal(mc_bench_changes(bench), 2);
    assert_true(fabs(remaining(bench, 12, MC_ROTATION) - 4) < 1e-9);
    done(mc_bench_redo(bench, &why));
    assert_int_equal(mc_bench_changes(bench), all);
    assert_true(fabs(remaining(bench, 12, MC_ROTATION) - 4.4) < 1e-9);
    for (int i = 0; i < 3; i++)
        done(mc_bench_undo(bench, &why));
    assert_int_equal(mc_bench_changes(bench), 0);
    assert_int_equal(mc_bench_undo(bench, &why), MC_REFUSED);
    assert_true(fabs(remaining(bench, 12, MC_ROTATION) - 11.6) < 1e-9);
    /* a refused change leaves what can be done again */
    is_refused(bench, "above 0", edit_of(MC_BENCH_LIMIT, 12, MC_ROTATION, 0));
    done(mc_bench_redo(bench, &why));
    assert_int_equal(mc_bench_edit_at(bench, 0)->what, MC_BENCH_TARGET);
    /* one that is made takes it away */
    done(change(bench, stay(11, true)));
    assert_int_equal(mc_bench_redo(bench, &why), MC_REFUSED);
    assert_null(mc_bench_edit_at(bench, 2));
    mc_bench_close(bench);
}

static void what_cannot_be_is_refused(void **state) {
    mc_bench *bench = opened(*state, false);
    is_refused(bench, "18 is not in the mouth (missing)", stay(18, true));
    is_refused(bench, "16 is not to be moved (implant)",
               edit_of(MC_BENCH_TARGET, 16, MC_BUCCAL, 0.2));
    is_refused(bench, "16 is not to be moved", ipr(16, true, 0.2, 1));
    for (int i = 0; i < 2; i++) {
        const double wild[] = {INFINITY, -INFINITY};
        is_refused(bench, "12: a target is", edit_of(MC_BENCH_TARGET, 12, MC_BUCCAL, wild[i]));
        is_refused(bench, "90 deg", edit_of(MC_BENCH_TARGET, 12, MC_ANGULATION, wild[i]));
        is_refused(bench, "limit", edit_of(MC_BENCH_LIMIT, 12, MC_BUCCAL, wild[i]));
        is_refused(bench, "0 to 30 percent", edit_of(MC_BENCH_OVERCORRECT, 12, MC_BUCCAL, wild[i]));
        is_refused(bench, "IPR", ipr(12, true, wild[i], 1));
    }
    is_refused(bench, "90 deg", edit_of(MC_BENCH_TARGET, 12, MC_ANGULATION, 90));
    is_refused(bench, "180 deg", edit_of(MC_BENCH_TARGET, 12, MC_ROTATION, 180.1));
    is_refused(bench, "20 mm", edit_of(MC_BENCH_TARGET, 12, MC_MESIAL, 20.1));
    is_refused(bench, "above 0", edit_of(MC_BENCH_LIMIT, 12, MC_ROTATION, 0));
    is_refused(bench, "above 0", edit_of(MC_BENCH_LIMIT, 12, MC_ROTATION, -1));
    is_refused(bench, "at most 90 deg", edit_of(MC_BENCH_LIMIT, 12, MC_ROTATION, 1e6));
    is_refused(bench, "0 to 30 percent", edit_of(MC_BENCH_OVERCORRECT, 12, MC_ROTATION, 30.5));
    is_refused(bench, "0 to 30 percent", edit_of(MC_BENCH_OVERCORRECT, 12, MC_ROTATION, -1));
    is_refused(bench, "0 to 2 mm", ipr(12, true, 2.1, 1));
    is_refused(bench, "stage from 1", ipr(12, true, 0.2, 0));
    is_refused(bench, "stage from 1", ipr(12, true, 0.2, 1000));
    is_refused(bench, "more than 999 aligners", edit_of(MC_BENCH_LIMIT, 12, MC_ROTATION, 1e-6));
    mc_bench_edit none = stay(12, true);
    none.tooth = MC_NO_TOOTH;
    is_refused(bench, "no tooth", none);
    none.tooth = MC_TEETH;
    is_refused(bench, "no tooth", none);
    is_refused(bench, "no component", edit_of(MC_BENCH_TARGET, 12, MC_COMPONENTS, 1));
    assert_int_equal(mc_bench_overcorrect_all(bench, NAN, &why), MC_REFUSED);
    mc_bench_close(bench);
}

static void what_is_asked_together_is_made_or_refused_whole(void **state) {
    mc_bench *bench = opened(*state, false);
    const mc_bench_edit list[] = {stay(11, true), stay(18, true)};
    assert_int_equal(mc_bench_change_together(bench, list, 2, &why), MC_REFUSED);
    assert_int_equal(mc_bench_changes(bench), 0);
    assert_false(tooth_of(bench, 11).stays);
    mc_bench_close(bench);
}

/* ---- no order ---- */

static void a_bench_says_why_it_is_no_order(void **state) {
    house *h = *state;
    mc_bench *bench = opened(h, false);
    done(change(bench, edit_of(MC_BENCH_TARGET, 14, MC_BUCCAL, 1)));
    assert_non_null(strstr(mc_bench_why(bench), "lacks them for 14"));
    done(change(bench, stay(14, true)));
    assert_string_equal(mc_bench_why(bench), "");
    done(change(bench, stay(12, true)));
    done(change(bench, stay(11, true)));
    assert_non_null(strstr(mc_bench_why(bench), "let one go to its target"));
    mc_bench_close(bench);
    h->practice->today = day(SECOND_DAY) + 15;
    bench = opened(h, false);
    assert_non_null(strstr(mc_bench_why(bench), "15 days old"));
    mc_bench_close(bench);
}

/* A limit kept long ago, with which it cannot be re-staged any more: the bench opens all the same,
 * says so, and lets it be mended. */
static void a_bench_that_cannot_be_staged_is_mended(void **state) {
    house *h = *state;
    mc_bench *bench = opened(h, false);
    char *data = NULL;
    size_t size = 0;
    int64_t set = 0;
    done(change(bench, edit_of(MC_BENCH_TARGET, 12, MC_MESIAL, 15)));
    done(change(bench, stay(11, true)));
    done(mc_bench_keep(bench, &why));
    mc_bench_close(bench);
    done(mc_settings_change(h->practice, NULL, "step_mesiodistal_mm", 0.01, "slow", &set, &why));
    bench = opened(h, true);
    assert_non_null(strstr(mc_bench_why(bench), "12 needs more than 999 aligners"));
    assert_non_null(strstr(mc_bench_why(bench), "change its target or its limit, or let it stay"));
    assert_null(mc_bench_plan(bench));
    assert_int_equal(mc_bench_file(bench, &data, &size, &why), MC_REFUSED);
    done(change(bench, stay(13, true))); /* does not help yet */
    done(change(bench, edit_of(MC_BENCH_LIMIT, 12, MC_MESIAL, 0.2)));
    assert_int_equal(mc_bench_account(bench)->lower_bound[MC_UPPER], 75);
    assert_null(strstr(mc_bench_why(bench), "999"));
    mc_bench_close(bench);
}

static void a_bench_needs_a_plan_and_a_check_up(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_tooth_state states[MC_TEETH];
    mc_bench *bench = NULL;
    assert_int_equal(mc_bench_open(h->practice, &kase, true, &bench, &why), MC_REFUSED);
    assert_non_null(strstr(why.text, "enter a check-up first"));
    assert_null(bench);
    mc_usual_teeth(states);
    done(mc_case_open(h->practice, "1002", "Invented, Bo", day("1980-01-01"), states, &kase, &why));
    assert_int_equal(mc_bench_open(h->practice, &kase, false, &bench, &why), MC_REFUSED);
    assert_non_null(strstr(why.text, "import its plan first"));
    assert_null(bench);
}

/* ---- room ---- */

static mc_status targets(mc_bench *bench, const char *text) {
    mc_warnings warnings = {0};
    const mc_status status =
        mc_bench_targets(bench, text, strlen(text), MC_NOTATION_ISO, &warnings, &why);
    mc_warnings_free(&warnings);
    return status;
}

static mc_restaged_contact contact_of(const mc_bench *bench, int right, int left) {
    const mc_restaged *account = mc_bench_account(bench);
    for (size_t i = 0; i < account->contacts; i++)
        if (account->contact[i].right == iso(right) && account->contact[i].left == iso(left))
            return account->contact[i];
    fail_msg("%d and %d are no contact", right, left);
    return account->contact[0];
}

/* 12, which ends beside 11, is to go 0.5 mm further toward it. */
static void crown_too_far(mc_bench *bench) {
    done(change(bench, edit_of(MC_BENCH_TARGET, 12, MC_MESIAL, 0.5)));
}

static void targets_that_overlap_leave_no_series(void **state) {
    mc_bench *bench = opened(*state, false);
    mc_option options[MC_BENCH_OPTIONS];
    char *data = NULL;
    size_t size = 0;
    assert_true(mc_bench_arches(bench)->estimated[MC_UPPER]);
    crown_too_far(bench);
    const mc_restaged_contact c = contact_of(bench, 12, 11);
    assert_true(mc_bench_account(bench)->blocked && c.target_overlaps);
    assert_true(c.missing > 0.3 && c.missing < 0.6);
    assert_null(mc_bench_plan(bench));
    assert_non_null(strstr(mc_bench_why(bench), "12 and 11 lack 0."));
    assert_non_null(strstr(mc_bench_why(bench), "grant IPR there"));
    assert_int_equal(mc_bench_file(bench, &data, &size, &why), MC_REFUSED);
    assert_null(data);
    assert_int_equal(mc_bench_options(bench, options), 2);
    done(mc_bench_keep(bench, &why)); /* what was changed is kept all the same */
    mc_bench_close(bench);
    bench = opened(*state, true);
    assert_true(mc_bench_account(bench)->blocked);
    done(mc_bench_undo(bench, &why));
    assert_false(mc_bench_account(bench)->blocked);
    mc_bench_close(bench);
}

static void granted_ipr_makes_room(void **state) {
    mc_bench *bench = opened(*state, false);
    crown_too_far(bench);
    const double start = contact_of(bench, 12, 11).start;
    done(change(bench, ipr(12, true, 0.25, 1)));
    done(change(bench, ipr(11, false, 0.25, 1)));
    assert_false(mc_bench_account(bench)->blocked);
    assert_non_null(mc_bench_plan(bench));
    assert_true(fabs(contact_of(bench, 12, 11).ipr - 0.5) < 1e-9);
    /* the teeth stand where they stood before it */
    assert_true(fabs(contact_of(bench, 12, 11).start - start) < 1e-9);
    mc_bench_close(bench);
}

/* So little is less than an estimate can tell; what is measured is taken at its word. */
static void little_room_is_passed_over_in_an_estimate(void **state) {
    house *h = *state;
    mc_bench *bench = opened(h, false);
    int64_t set;
    done(change(bench, edit_of(MC_BENCH_TARGET, 22, MC_MESIAL, 0.2)));
    const mc_restaged_contact c = contact_of(bench, 21, 22);
    assert_false(mc_bench_account(bench)->blocked);
    assert_true(c.passed_over > 0.1 && c.passed_over <= 0.25 && c.ipr == 0);
    assert_true(fabs(c.allowed - 0.05 - c.passed_over) < 1e-9 && c.most <= c.allowed + 1e-9);
    assert_non_null(mc_bench_plan(bench));
    mc_bench_close(bench);
    done(mc_settings_change(h->practice, NULL, "estimate_trust_mm", 0, "stricter", &set, &why));
    bench = opened(h, false);
    done(change(bench, edit_of(MC_BENCH_TARGET, 22, MC_MESIAL, 0.2)));
    assert_true(mc_bench_account(bench)->blocked);
    assert_true(contact_of(bench, 21, 22).passed_over == 0);
    mc_bench_close(bench);
}

static void ipr_that_targets_rest_on_is_missed(void **state) {
    mc_bench *bench = opened(*state, false);
    done(targets(bench, "tooth,stage,mesial_mm,rotation_deg,ipr_mesial_mm\n12,9,0.4,18,0.5\n"));
    assert_false(mc_bench_account(bench)->blocked);
    assert_true(contact_of(bench, 12, 11).end > 0.3 && contact_of(bench, 12, 11).end < 0.5);
    done(change(bench, ipr(12, true, 0, 0)));
    assert_true(mc_bench_account(bench)->blocked);
    assert_true(contact_of(bench, 12, 11).target_overlaps);
    mc_bench_close(bench);
}

static void a_tooth_that_stays_is_in_the_way(void **state) {
    mc_bench *bench = opened(*state, false);
    /* toward the implant, which was never to give way */
    done(change(bench, edit_of(MC_BENCH_TARGET, 15, MC_MESIAL, -1)));
    done(change(bench, edit_of(MC_BENCH_OVERCORRECT, 15, MC_MESIAL, 30)));
    const mc_restaged_contact c = contact_of(bench, 16, 15);
    assert_true(mc_bench_account(bench)->blocked && c.missing > 0);
    assert_non_null(strstr(mc_bench_why(bench), "16 and 15 lack"));
    mc_bench_close(bench);
}

static void changed_on_both_sides_alike(void **state, int one, int next, mc_restaged *account,
                                        mc_arches *arches) {
    mc_bench *bench = opened(*state, false);
    done(change(bench, edit_of(MC_BENCH_TARGET, one, MC_ROTATION, 12)));
    done(change(bench, edit_of(MC_BENCH_TARGET, one, MC_MESIAL, 0.1)));
    done(change(bench, edit_of(MC_BENCH_TARGET, next, MC_BUCCAL, 0.4)));
    done(change(bench, edit_of(MC_BENCH_OVERCORRECT, one, MC_ROTATION, 15)));
    done(change(bench, ipr(one, true, 0.2, 2)));
    *account = *mc_bench_account(bench);
    *arches = *mc_bench_arches(bench);
    mc_bench_close(bench);
}

/* The same on the other side of the mouth gives the same, mirrored. */
static void a_mirrored_change_is_mirrored(void **state) {
    mc_restaged right, left;
    mc_arches by_right, by_left;
    changed_on_both_sides_alike(state, 44, 45, &right, &by_right);
    changed_on_both_sides_alike(state, 34, 35, &left, &by_left);
    assert_int_equal(right.stages[MC_LOWER], left.stages[MC_LOWER]);
    assert_true(right.stages[MC_LOWER] > 5);
    assert_int_equal(right.contacts, left.contacts);
    for (mc_tooth t = MC_TEETH / 2; t < MC_TEETH; t++) {
        const mc_tooth other = mc_tooth_mirror(t);
        const mc_restaged_tooth *one = &right.tooth[t], *two = &left.tooth[other];
        assert_int_equal(one->stages_needed, two->stages_needed);
        assert_int_equal(one->first, two->first);
        assert_int_equal(one->last, two->last);
        assert_true(fabs(by_right.crown[t].right + by_left.crown[other].right) < 1e-9);
        assert_true(fabs(by_right.crown[t].anterior - by_left.crown[other].anterior) < 1e-9);
        assert_true(fabs(by_right.crown[t].turned_deg - by_left.crown[other].turned_deg) < 1e-9);
    }
}

/* ---- what it is expected to bring ---- */

static void this_very_series_is_compared(void **state) {
    mc_bench *bench = opened(*state, false);
    mc_option plain[MC_BENCH_OPTIONS], further[MC_BENCH_OPTIONS];
    assert_int_equal(mc_bench_options(bench, plain), 3);
    assert_int_equal(plain[0].ask.choices, 1u << MC_CARRY_ON);
    assert_int_equal(plain[1].ask.choices, 1u << MC_FINISH);
    assert_int_equal(plain[2].ask.choices, 1u << MC_CORRECT);
    assert_int_equal(plain[2].stages[MC_UPPER], 6);
    done(change(bench, edit_of(MC_BENCH_LIMIT, 12, MC_ROTATION, 1)));
    done(change(bench, edit_of(MC_BENCH_OVERCORRECT, 12, MC_ROTATION, 20)));
    assert_int_equal(mc_bench_options(bench, further), 3);
    assert_int_equal(further[2].stages[MC_UPPER], 14); /* 1.2 times 11.6 deg by one */
    assert_int_equal(further[2].days, 21 + 14 * 10);
    assert_int_equal(further[1].days, plain[1].days);
    mc_bench_close(bench);
}

/* ---- target files ---- */

static void a_file_gives_targets_and_ipr_as_one_step(void **state) {
    mc_bench *bench = opened(*state, false);
    done(targets(bench, "tooth,stage,rotation_deg,ipr_mesial_mm\n12,9,10.4,0.15\n11,9,-9,0\n"));
    assert_true(fabs(tooth_of(bench, 12).target.c[MC_ROTATION] - 10.4) < 1e-9);
    assert_true(tooth_of(bench, 12).target.c[MC_BUCCAL] == 0);
    assert_true(tooth_of(bench, 12).ipr.mesial.mm == 0.15);
    assert_int_equal(tooth_of(bench, 12).ipr.mesial.stage, 1);
    assert_true(tooth_of(bench, 12).ipr.distal.mm == 0);
    done(mc_bench_undo(bench, &why));
    assert_int_equal(mc_bench_changes(bench), 0);
    mc_bench_close(bench);
}

static void a_file_for_other_teeth_is_refused_by_its_line(void **state) {
    mc_bench *bench = opened(*state, false);
    static const char *const files[] = {"tooth,stage,buccal_mm\n11,9,1\n18,9,1\n",
                                        "tooth,stage,buccal_mm\n11,9,1\n16,9,1\n",
                                        "tooth,stage,buccal_mm\n11,9,1\n19,9,1\n"};
    for (int i = 0; i < 3; i++) {
        assert_int_equal(targets(bench, files[i]), MC_REFUSED);
        assert_int_equal(why.line, 3);
        assert_int_equal(mc_bench_changes(bench), 0);
    }
    mc_bench_close(bench);
}

static void a_file_made_from_other_poses_is_refused(void **state) {
    mc_bench *bench = opened(*state, false);
    char *draft = NULL;
    size_t size = 0;
    done(mc_bench_file(bench, &draft, &size, &why));
    assert_int_equal(targets(bench, draft), MC_REFUSED);
    assert_non_null(strstr(why.text, "made by plan export"));
    assert_true(why.line > 0);
    assert_int_equal(targets(bench,
                             "# made-from: 00112233445566778899aabbccddeeff checkup 2 order\n"
                             "tooth,stage,buccal_mm\n11,9,1\n"),
                     MC_REFUSED);
    assert_non_null(strstr(why.text, "another case"));
    assert_int_equal(why.line, 1);
    free(draft);
    mc_bench_close(bench);
}

/* ---- kept ---- */

static void a_draft_is_kept_and_taken_up(void **state) {
    house *h = *state;
    char action[33];
    mc_bench *bench = opened(h, false);
    done(change(bench, edit_of(MC_BENCH_TARGET, 12, MC_ROTATION, 10.4)));
    done(change(bench, edit_of(MC_BENCH_LIMIT, 11, MC_BUCCAL, 0.125)));
    done(change(bench, edit_of(MC_BENCH_OVERCORRECT, 11, MC_BUCCAL, 10)));
    done(change(bench, edit_of(MC_BENCH_OVERCORRECT, 11, MC_BUCCAL, NAN)));
    done(change(bench, ipr(11, false, 0.1, 2)));
    done(change(bench, stay(11, true)));
    done(mc_bench_undo(bench, &why)); /* is not kept */
    const size_t before = journal_length(h->practice, NULL);
    done(mc_bench_keep(bench, &why));
    assert_int_equal(journal_length(h->practice, action), before + 1);
    assert_string_equal(action, "correction drafted");
    mc_bench *again = opened(h, true);
    assert_int_equal(mc_bench_changes(again), 5);
    for (size_t i = 0; i < 5; i++) {
        const mc_bench_edit *one = mc_bench_edit_at(bench, i), *other = mc_bench_edit_at(again, i);
        assert_int_equal(one->what, other->what);
        assert_int_equal(one->tooth, other->tooth);
        assert_true(one->number == other->number || (isnan(one->number) && isnan(other->number)));
        assert_int_equal(one->component, other->component);
        assert_int_equal(one->mesial, other->mesial);
        assert_int_equal(one->whole, other->whole);
    }
    assert_int_equal(mc_bench_redo(again, &why), MC_REFUSED);
    assert_int_equal(upper(again), upper(bench));
    done(mc_bench_keep(again, &why)); /* in its place */
    mc_bench_close(again);
    again = opened(h, false);
    assert_int_equal(mc_bench_changes(again), 0);
    mc_bench_close(again);
    mc_bench_close(bench);
    done(mc_record_verify(mc_practice_record(h->practice), NULL, &why));
}

static void a_kept_draft_is_told_in_the_history(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_deed *deeds = NULL;
    size_t count = 0;
    mc_bench *bench = opened(h, false);
    done(change(bench, stay(11, true)));
    done(mc_bench_keep(bench, &why));
    mc_bench_close(bench);
    done(mc_history(h->practice, &kase, &deeds, &count, &why));
    assert_string_equal(deeds[count - 1].sentence,
                        "a correction drafted from check-up 2: 1 change; upper 6 aligners");
    mc_deeds_free(deeds, count);
}

static void only_a_doctor_keeps_a_draft(void **state) {
    house *h = *state;
    mc_bench *bench = opened(h, false);
    const size_t before = journal_length(h->practice, NULL);
    act_as(h, "CD");
    assert_int_equal(mc_bench_keep(bench, &why), MC_REFUSED);
    assert_int_equal(journal_length(h->practice, NULL), before);
    mc_bench_close(bench);
}

static void an_amended_check_up_makes_a_draft_stale(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_warnings warnings = {0};
    int version = 0;
    mc_bench *bench = opened(h, false);
    done(change(bench, stay(11, true)));
    done(mc_bench_keep(bench, &why));
    mc_checkup_import what = readings(SECOND_READ, SECOND_DAY, 9, 2);
    done(mc_amend_checkup(h->practice, &kase, 2, &what, "read again", &version, &warnings, &why));
    mc_warnings_free(&warnings);
    assert_int_equal(mc_bench_keep(bench, &why), MC_REFUSED);
    assert_int_equal(why.need, MC_NEED_LOOK);
    /* nor is a series signed that was made before it */
    char *data = NULL;
    size_t size = 0;
    done(mc_bench_file(bench, &data, &size, &why));
    const mc_decide decide = {.choices = 1u << MC_CORRECT,
                              .to = -1,
                              .cause = MC_CAUSE_STAGING,
                              .reason = "to be sure",
                              .plan = data,
                              .plan_size = size,
                              .start = MC_NO_DAY};
    assert_int_equal(mc_decide_check(h->practice, &kase, &decide, &warnings, &why), MC_REFUSED);
    assert_non_null(strstr(why.text, "before check-up 2 was amended: revise again"));
    free(data);
    mc_bench_close(bench);
    bench = opened(h, true);
    assert_int_equal(mc_bench_changes(bench), 0);
    done(mc_bench_file(bench, &data, &size, &why));
    assert_non_null(strstr(data, "checkup 2 version 2 order"));
    free(data);
    mc_bench_close(bench);
}

static void another_console_signs_meanwhile(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_bench *bench = opened(h, false);
    char *data = NULL;
    size_t size = 0;
    mc_decision decision = {0};
    mc_warnings warnings = {0};
    done(mc_bench_file(bench, &data, &size, &why));
    const mc_decide what = {.choices = 1u << MC_CORRECT,
                            .to = -1,
                            .cause = MC_CAUSE_STAGING,
                            .reason = "to be sure",
                            .plan = data,
                            .plan_size = size,
                            .start = MC_NO_DAY};
    done(mc_sign_known(h->practice, &kase, &what, &decision, &warnings, &why));
    free(decision.evidence);
    mc_warnings_free(&warnings);
    assert_int_equal(mc_bench_keep(bench, &why), MC_REFUSED);
    assert_int_equal(why.need, MC_NEED_LOOK);
    mc_bench_close(bench);
    /* what was ordered may be ordered anew while it is awaited; then the new plan is worn */
    bench = NULL;
    done(mc_bench_open(h->practice, &kase, true, &bench, &why));
    mc_bench_close(bench);
    bench = NULL;
    h->practice->today += 30;
    assert_int_equal(mc_bench_open(h->practice, &kase, true, &bench, &why), MC_REFUSED);
    assert_non_null(strstr(why.text, "enter a check-up first"));
    free(data);
}

static void two_benches_keep(void **state) {
    house *h = *state;
    mc_bench *one = opened(h, false), *other = opened(h, false);
    done(change(one, stay(11, true)));
    done(change(other, stay(12, true)));
    done(mc_bench_keep(one, &why));
    assert_int_equal(mc_bench_keep(other, &why), MC_REFUSED);
    assert_int_equal(why.need, MC_NEED_LOOK);
    assert_non_null(strstr(why.text, "AB kept another draft meanwhile"));
    done(mc_bench_keep(other, &why)); /* now on purpose */
    mc_bench_close(one);
    mc_bench_close(other);
    other = opened(h, true);
    assert_true(tooth_of(other, 12).stays);
    assert_false(tooth_of(other, 11).stays);
    mc_bench_close(other);
}

static void a_tooth_lost_since_is_left_out_of_the_draft(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_bench *bench = opened(h, false);
    done(change(bench, edit_of(MC_BENCH_TARGET, 12, MC_ROTATION, 10.4)));
    done(change(bench, stay(11, true)));
    done(mc_bench_keep(bench, &why));
    mc_bench_close(bench);
    done(mc_case_set_tooth(h->practice, &kase, iso(12), MC_TOOTH_ANKYLOSED, day(SECOND_DAY), &why));
    bench = opened(h, true);
    assert_int_equal(mc_bench_changes(bench), 1);
    assert_true(tooth_of(bench, 11).stays);
    assert_false(mc_bench_account(bench)->tooth[iso(12)].moves);
    mc_bench_close(bench);
}

/* A draft changed by somebody who knows no hashes. */
static void verify_finds_a_changed_draft(void **state) {
    house *h = *state;
    mc_bench *bench = opened(h, false);
    done(change(bench, stay(11, true)));
    done(mc_bench_keep(bench, &why));
    mc_bench_close(bench);
    mc_practice_close(h->practice);
    h->practice = NULL;
    as_stranger(h->path, "UPDATE correction_drafts SET edits = edits || ' '");
    done(mc_practice_open(h->path, day(SECOND_DAY), &h->practice, &why));
    assert_int_equal(mc_record_verify(mc_practice_record(h->practice), NULL, &why), MC_DAMAGED);
    assert_non_null(strstr(why.text, "draft of a correction"));
    as_stranger(h->path, "UPDATE correction_drafts SET edits = rtrim(edits)");
}

/* The bench keeps what it knows from one change to the next; whoever makes the same changes on a
 * bench just opened has the same in hand. */
static void is_as_made_afresh(house *h, const mc_bench *bench) {
    mc_bench *afresh = opened(h, false);
    for (size_t i = 0; i < mc_bench_changes(bench); i++)
        done(mc_bench_change(afresh, mc_bench_edit_at(bench, i), &why));
    assert_int_equal(mc_bench_changes(afresh), mc_bench_changes(bench));
    same_account(mc_bench_account(bench), mc_bench_account(afresh));
    same_plan(mc_bench_plan(bench), mc_bench_plan(afresh));
    assert_string_equal(mc_bench_why(bench), mc_bench_why(afresh));
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_crown *one = &mc_bench_arches(bench)->crown[t];
        const mc_crown *other = &mc_bench_arches(afresh)->crown[t];
        assert_int_equal(one->stands, other->stands);
        assert_true(one->right == other->right && one->anterior == other->anterior &&
                    one->turned_deg == other->turned_deg);
    }
    mc_bench_close(afresh);
}

static void a_bench_is_as_if_opened_with_its_changes(void **state) {
    house *h = *state;
    mc_bench *bench = opened(h, false);
    const mc_bench_edit list[] = {edit_of(MC_BENCH_TARGET, 12, MC_MESIAL, 0.4),
                                  edit_of(MC_BENCH_TARGET, 12, MC_ROTATION, 25),
                                  ipr(11, false, 0.3, 2),
                                  edit_of(MC_BENCH_LIMIT, 11, MC_ROTATION, 1),
                                  edit_of(MC_BENCH_OVERCORRECT, 11, MC_BUCCAL, 20),
                                  edit_of(MC_BENCH_TARGET, 33, MC_MESIAL, 1.5),
                                  stay(12, true),
                                  edit_of(MC_BENCH_TARGET, 13, MC_MESIAL, 2.5),
                                  ipr(13, true, 0.2, 1),
                                  stay(12, false)};
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++) {
        done(change(bench, list[i]));
        is_as_made_afresh(h, bench);
        done(mc_bench_undo(bench, &why));
        is_as_made_afresh(h, bench);
        done(mc_bench_redo(bench, &why));
        is_as_made_afresh(h, bench);
    }
    assert_int_equal(mc_bench_changes(bench), sizeof list / sizeof list[0]);
    mc_bench_close(bench);
}

static int enter_read(void **state) {
    const int entered = enter(state);
    first_checkup(*state);
    second_checkup(*state);
    return entered;
}

#define bench_test(name) cmocka_unit_test_setup_teardown(name, enter_read, leave)

int main(void) {
    const struct CMUnitTest tests[] = {
        bench_test(a_bench_starts_from_the_check_up),
        bench_test(what_is_suggested_is_one_over_the_rate),
        bench_test(every_change_makes_the_series_anew),
        bench_test(what_changes_nothing_is_no_step),
        bench_test(changes_are_undone_and_done_again),
        bench_test(a_bench_is_as_if_opened_with_its_changes),
        bench_test(what_cannot_be_is_refused),
        bench_test(what_is_asked_together_is_made_or_refused_whole),
        bench_test(a_bench_says_why_it_is_no_order),
        bench_test(a_bench_that_cannot_be_staged_is_mended),
        acting_test(a_bench_needs_a_plan_and_a_check_up),
        bench_test(targets_that_overlap_leave_no_series),
        bench_test(granted_ipr_makes_room),
        bench_test(little_room_is_passed_over_in_an_estimate),
        bench_test(ipr_that_targets_rest_on_is_missed),
        bench_test(a_tooth_that_stays_is_in_the_way),
        bench_test(a_mirrored_change_is_mirrored),
        bench_test(this_very_series_is_compared),
        bench_test(a_file_gives_targets_and_ipr_as_one_step),
        bench_test(a_file_for_other_teeth_is_refused_by_its_line),
        bench_test(a_file_made_from_other_poses_is_refused),
        bench_test(a_draft_is_kept_and_taken_up),
        bench_test(a_kept_draft_is_told_in_the_history),
        bench_test(only_a_doctor_keeps_a_draft),
        bench_test(an_amended_check_up_makes_a_draft_stale),
        bench_test(another_console_signs_meanwhile),
        bench_test(two_benches_keep),
        bench_test(a_tooth_lost_since_is_left_out_of_the_draft),
        bench_test(verify_finds_a_changed_draft),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
