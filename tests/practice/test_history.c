/* The journal in sentences: every action that people do, and those that nobody knows yet. */
#include "acting.h"

/* What was done last with case 1001 (or, whole, in the practice) is told like this. */
static void last_is_told(house *h, bool whole, const char *sentence) {
    mc_case kase = find(h->practice, "1001");
    mc_deed *list = NULL;
    size_t count = 0;
    done(mc_history(h->practice, whole ? NULL : &kase, &list, &count, &why));
    assert_true(count > 0);
    assert_string_equal(list[count - 1].sentence, sentence);
    mc_deeds_free(list, count);
}

/* Something that another version may have kept. */
static void keep(house *h, const char *action, const char *detail) {
    mc_case kase = find(h->practice, "1001");
    mc_record *record = mc_practice_record(h->practice);
    done(mc_record_begin(record, true, &why));
    done(mc_record_append(record, "AB", &kase.id, action, detail, &why));
    done(mc_record_commit(record, &why));
}

static mc_status amend(house *h, const char *text) {
    mc_case kase = find(h->practice, "1001");
    mc_checkup_import what = readings(text, FIRST_DAY, 4, 10);
    mc_warnings warnings;
    int version = 0;
    what.accept_warnings = true;
    mc_status status =
        mc_amend_checkup(h->practice, &kase, 1, &what, "typing error", &version, &warnings, &why);
    mc_warnings_free(&warnings);
    return status;
}

static void sign(house *h, mc_decide what) {
    mc_case kase = find(h->practice, "1001");
    mc_decision decision = {0};
    mc_warnings warnings;
    done(mc_sign(h->practice, &kase, &what, DOCTOR_WORDS, &decision, &warnings, &why));
    free(decision.evidence);
    mc_warnings_free(&warnings);
}

/* ---- each action ---- */

static void what_is_done_with_a_case_is_told(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    last_is_told(h, false, "plan 1 imported: upper 24 aligners only from 2025-03-10");
    first_checkup(h);
    last_is_told(h, false, "check-up 1 of 2025-04-18 completed: upper 4, caliper, 2 rows");
    done(mc_case_set_tooth(h->practice, &kase, mc_tooth_from_iso(36), MC_TOOTH_ANKYLOSED,
                           day("2025-03-01"), &why));
    last_is_told(h, false, "tooth 36 ankylosed from 2025-03-01");
    done(mc_case_set_tooth(h->practice, &kase, mc_tooth_from_iso(37), MC_TOOTH_FIXED,
                           day("2025-04-01"), &why));
    last_is_told(h, false, "tooth 37 not to be moved from 2025-04-01");
    int64_t set;
    done(mc_settings_change(h->practice, &kase, "tolerance_mm", 0.4, "tight bite", &set, &why));
    last_is_told(h, false, "setting tolerance_mm changed to 0.4 for this case: tight bite");
    done(mc_case_close(h->practice, &kase, &why));
    last_is_told(h, false, "case closed");
}

static void what_is_done_in_the_practice_names_its_case(void **state) {
    house *h = *state;
    int64_t set;
    last_is_told(h, true, "case 1001: plan 1 imported: upper 24 aligners only from 2025-03-10");
    done(mc_staff_add(h->practice, "GH", MC_DOCTOR, OTHER_WORDS, DOCTOR_WORDS, &why));
    last_is_told(h, true, "GH added as a doctor");
    done(mc_staff_retire(h->practice, "CD", NULL, &why));
    last_is_told(h, true, "CD retired");
    done(mc_settings_change(h->practice, NULL, "tolerance_mm", 0.45, "as agreed", &set, &why));
    last_is_told(h, true, "setting tolerance_mm changed to 0.45: as agreed");
}

static void the_first_entries_are_told(void **state) {
    static const struct {
        const char *by, *sentence;
    } expected[] = {{"", "record made"},
                    {"AB", "AB added as the first doctor"},
                    {"AB", "CD added as an assistant"},
                    {"AB", "EF added as desk"},
                    {"AB", "case 1001: case opened; missing: 18; an implant: 16"}};
    house *h = *state;
    mc_deed *list = NULL;
    size_t count = 0;
    done(mc_history(h->practice, NULL, &list, &count, &why));
    assert_int_equal(count, 6);
    for (int i = 0; i < 5; i++) {
        assert_int_equal(list[i].number, i + 1);
        assert_string_equal(list[i].by, expected[i].by);
        assert_string_equal(list[i].sentence, expected[i].sentence);
    }
    mc_deeds_free(list, count);
}

static void a_decision_is_told_with_all_that_belongs_to_it(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    first_checkup(h);
    sign(h, (mc_decide){.choices = 1u << MC_HOLD | 1u << MC_LOCAL_MEASURES,
                        .days = 7,
                        .to = -1,
                        .start = MC_NO_DAY,
                        .reason = "wait a week"});
    last_is_told(
        h, false,
        "decision signed on check-up 1: hold for 7 days, local measures; reason: wait a week");
    sign(h,
         (mc_decide){
             .choices = 1u << MC_GO_BACK, .to = 3, .start = MC_NO_DAY, .reason = "does not seat"});
    last_is_told(h, false,
                 "decision signed on check-up 1: go back to aligner 3; reason: does not seat");
    second_checkup(h);
    mc_revision revision;
    done(mc_revise(h->practice, &kase, NULL, 0, 0, &revision, &why));
    sign(h, (mc_decide){.choices = 1u << MC_CORRECT,
                        .to = -1,
                        .cause = MC_CAUSE_STAGING,
                        .plan = revision.file,
                        .plan_size = revision.file_size,
                        .start = day("2025-06-20"),
                        .accept_warnings = true,
                        .reason = "better so"});
    mc_revision_free(&revision);
    last_is_told(h, false,
                 "decision signed on check-up 2: correct, cause staging; plan 2 opened, from "
                 "2025-06-20; reason: better so");
}

/* ---- amendments ---- */

static void an_amendment_tells_what_it_changed(void **state) {
    house *h = *state;
    first_checkup(h);
    done(amend(h, "tooth,seat_gap_mm,buccal_mm,rotation_deg\n12,0.1,0.2,4.5\n11,,0.1,-1.5\n"));
    last_is_told(h, false,
                 "check-up 1 of 2025-04-18 amended (version 2): typing error; 12 rotation 3 deg -> "
                 "4.5 deg; 11 seat gap 0.1 mm -> not read");
    done(amend(h, "tooth,seat_gap_mm,rotation_deg,attachment,pain,mobility\n"
                  "12,0.1,0.5s,lost,yes,1\n"));
    last_is_told(h, false,
                 "check-up 1 of 2025-04-18 amended (version 3): typing error; 12 buccal 0.2 mm -> "
                 "not read; 12 rotation 4.5 deg -> 0.5 deg short; 12 attachment unsaid -> lost; 12 "
                 "mobility unsaid -> 1; 12 pain on biting unsaid -> yes; 11 buccal 0.1 mm -> not "
                 "read; 11 rotation -1.5 deg -> not read");
}

static void an_amendment_that_changes_nothing_says_so(void **state) {
    house *h = *state;
    first_checkup(h);
    done(amend(h, FIRST_READ));
    last_is_told(h, false,
                 "check-up 1 of 2025-04-18 amended (version 2): typing error; every reading "
                 "stayed");
}

static void of_many_changes_the_first_are_told(void **state) {
    house *h = *state;
    char file[800] = "tooth,seat_gap_mm\n";
    mc_deed *list = NULL;
    size_t count = 0;
    mc_case kase = find(h->practice, "1001");
    first_checkup(h);
    static const int teeth[] = {17, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25, 26, 27};
    for (size_t i = 0; i < sizeof teeth / sizeof *teeth; i++)
        sprintf(file + strlen(file), "%d,0.2\n", teeth[i]);
    done(amend(h, file));
    done(mc_history(h->practice, &kase, &list, &count, &why));
    /* 13 gaps, and the two other values of 12 and 11 each that are gone */
    assert_non_null(strstr(list[count - 1].sentence, "; and 5 more"));
    assert_null(strstr(list[count - 1].sentence, "27 seat gap"));
    assert_non_null(strstr(list[count - 1].sentence, "17 seat gap not read -> 0.2 mm"));
    mc_deeds_free(list, count);
}

/* ---- what the list points at ---- */

static void a_deed_points_at_its_check_up_and_decision(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_deed *list = NULL;
    mc_decision *decisions = NULL;
    size_t count = 0, decided = 0;
    first_checkup(h);
    done(amend(h, FIRST_READ));
    sign(h, (mc_decide){.choices = 1u << MC_CARRY_ON, .to = -1, .start = MC_NO_DAY, .reason = "x"});
    done(mc_history(h->practice, &kase, &list, &count, &why));
    done(
        mc_record_decisions(mc_practice_record(h->practice), &kase.id, &decisions, &decided, &why));
    assert_int_equal(count, 5);
    assert_int_equal(list[0].checkup, 0);
    assert_int_equal(list[2].checkup, 1);
    assert_int_equal(list[2].version, 1);
    assert_int_equal(list[3].version, 2);
    assert_string_equal(list[3].decision, "");
    assert_int_equal(list[4].checkup, 1);
    assert_int_equal(list[4].version, 0);
    assert_string_equal(list[4].decision, decisions[0].hash);
    assert_memory_equal(list[4].case_id.byte, kase.id.byte, sizeof kase.id.byte);
    mc_deeds_free(list, count);
    mc_decision_free(decisions, decided);
}

static void what_the_doctor_saw_is_kept(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_decision *decisions = NULL;
    mc_seen seen;
    size_t decided = 0;
    mc_checkup_import late = readings("tooth,seat_gap_mm,buccal_mm,rotation_deg\n12,0.1,0.2,-4\n"
                                      "11,0.9,0.1,-1.5\n",
                                      FIRST_DAY, 4, 10);
    h->practice->today = day(FIRST_DAY);
    late.accept_warnings = true;
    done(import_checkup(h, "1001", &late));
    mc_assessment *a = assessed(h->practice, "1001", 1);
    sign(h, (mc_decide){.choices = 1u << MC_GO_BACK, .to = 3, .start = MC_NO_DAY, .reason = "fit"});
    done(amend(h, FIRST_READ)); /* what was seen stays, whatever is read later */
    done(
        mc_record_decisions(mc_practice_record(h->practice), &kase.id, &decisions, &decided, &why));
    done(mc_history_seen(h->practice, &kase, decisions[0].hash, &seen, &why));
    assert_int_equal(seen.decision.to, 3);
    assert_string_equal(seen.decision.reason, "fit");
    assert_string_equal(seen.decision.by, "AB");
    assert_int_equal(seen.plan, 1);
    assert_int_equal(seen.opened, 0);
    assert_int_equal(seen.rule, a->proposal.rule);
    assert_string_equal(seen.proposal, mc_proposal_name(a->proposal.choice));
    assert_string_equal(seen.sentence, a->proposal.sentence);
    assert_int_equal(seen.count, 2);
    assert_int_equal(mc_tooth_iso(seen.off[0].tooth), 11); /* the larger lag index first */
    assert_string_equal(seen.off[0].worst, "seat gap");
    assert_int_equal(seen.off[0].state, state_of(a, 11));
    assert_int_equal(mc_tooth_iso(seen.off[1].tooth), 12);
    assert_string_equal(seen.off[1].worst, "rotation");
    assert_float_equal(seen.off[1].lag_index, a->score->tooth[mc_tooth_from_iso(12)].lag_index,
                       1e-9);
    assert_true(seen.off[0].lag_index > seen.off[1].lag_index);
    mc_seen_free(&seen);
    refused(h, "not on record", mc_history_seen(h->practice, &kase, "00", &seen, &why));
    assert_null(seen.decision.evidence);
    mc_decision_free(decisions, decided);
    mc_assessment_free(a);
}

/* The same up to what a document keeps of a number. */
static void same_option(const mc_option *seen, const mc_option *weighed) {
    assert_int_equal(seen->ask.choices, weighed->ask.choices);
    assert_int_equal(seen->ask.days, weighed->ask.days);
    assert_int_equal(seen->ask.to, weighed->ask.to);
    assert_int_equal(seen->possible, weighed->possible);
    assert_string_equal(seen->why_not, weighed->why_not);
    assert_int_equal(seen->ends, weighed->ends);
    assert_int_equal(seen->aligners, weighed->aligners);
    assert_int_equal(seen->discarded, weighed->discarded);
    assert_int_equal(seen->checkups, weighed->checkups);
    assert_int_equal(isnan(seen->expected_out), isnan(weighed->expected_out));
    if (!isnan(weighed->expected_out)) {
        assert_float_equal(seen->expected_out, weighed->expected_out, 1e-9);
        assert_float_equal(seen->p_all_in, weighed->p_all_in, 1e-9);
        assert_int_equal(seen->unknown, weighed->unknown);
    }
}

/* The last decision as the doctor saw it; free with mc_seen_free. */
static void seen_last(house *h, mc_seen *out) {
    mc_case kase = find(h->practice, "1001");
    mc_decision *list = NULL;
    size_t count = 0;
    done(mc_record_decisions(mc_practice_record(h->practice), &kase.id, &list, &count, &why));
    assert_true(count > 0);
    done(mc_history_seen(h->practice, &kase, list[count - 1].hash, out, &why));
    mc_decision_free(list, count);
}

static void the_options_the_doctor_saw_are_kept(void **state) {
    house *h = *state;
    mc_option options[MC_MOST_OPTIONS], together;
    mc_seen seen;
    first_checkup(h);
    mc_assessment *a = assessed(h->practice, "1001", 1);
    size_t count = mc_assess_options(a, options);
    assert_true(count > 3);
    sign(h, (mc_decide){.choices = 1u << MC_HOLD,
                        .days = options[1].ask.days,
                        .to = -1,
                        .start = MC_NO_DAY,
                        .reason = "fit"});
    seen_last(h, &seen);
    assert_int_equal(seen.option_count, count);
    for (size_t i = 0; i < count; i++)
        same_option(&seen.options[i], &options[i]);
    mc_seen_free(&seen);
    mc_option_ask ask = {1u << MC_HOLD | 1u << MC_GO_BACK, 10, 2}; /* what is none of the usual */
    mc_assess_option(a, &ask, &together);
    sign(h, (mc_decide){.choices = ask.choices,
                        .days = ask.days,
                        .to = ask.to,
                        .start = MC_NO_DAY,
                        .reason = "fit"});
    seen_last(h, &seen);
    assert_int_equal(seen.option_count, count + 1);
    same_option(&seen.options[count], &together);
    assert_true(isnan(seen.options[count].p_out[mc_tooth_from_iso(12)])); /* not kept */
    mc_seen_free(&seen);
    mc_assessment_free(a);
}

static void what_was_signed_before_there_were_options_has_none(void **state) {
    static const char *const evidence[] = {"{\"options\":{\"options\":null}}",
                                           "{\"options\":{\"options\":[]}}", "{\"options\":null}",
                                           "{}"};
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_record *record = mc_practice_record(h->practice);
    first_checkup(h);
    for (size_t i = 0; i < sizeof evidence / sizeof *evidence; i++) {
        mc_seen seen;
        mc_decision old = {.checkup = 1,
                           .choices = 1u << MC_CARRY_ON,
                           .to = -1,
                           .by = "AB",
                           .evidence = (char *)(uintptr_t)evidence[i]};
        done(mc_record_begin(record, true, &why));
        done(mc_record_add_decision(record, &kase.id, &old, &why));
        done(mc_record_commit(record, &why));
        seen_last(h, &seen);
        assert_int_equal(seen.decision.choices, 1u << MC_CARRY_ON);
        assert_int_equal(seen.option_count, 0);
        mc_seen_free(&seen);
    }
}

/* ---- what is not known ---- */

static void an_unknown_action_is_told_by_its_details(void **state) {
    house *h = *state;
    keep(h, "check-up begun", "{\"checkup\":1,\"date\":\"2025-04-18\",\"upper\":4,\"lower\":null}");
    last_is_told(h, false, "check-up 1 of 2025-04-18 begun: upper 4");
    keep(h, "check-up discarded", "{\"checkup\":1,\"date\":\"2025-04-18\"}");
    last_is_told(h, false, "check-up 1 of 2025-04-18 discarded");
    keep(h, "photo added",
         "{\"file\":\"a.png\",\"teeth\":[12,13],\"of\":{\"arch\":\"upper\"},"
         "\"kept\":true,\"size\":1.5,\"note\":null}");
    last_is_told(h, false,
                 "photo added: file a.png, kept yes, note none, of arch upper, size 1.5, "
                 "teeth 12 13");
    keep(h, "photo removed", "{}");
    last_is_told(h, false, "photo removed");
    keep(h, "check-up completed", "{\"by_hand\":\"old\"}");
    last_is_told(h, false, "check-up completed: by_hand old");
    keep(h, "decision signed", "{\"on\":\"paper\"}");
    last_is_told(h, false, "decision signed: on paper");
}

static void the_demo_reads_as_sentences(void **state) {
    (void)state;
    house *h = house_new();
    mc_deed *list = NULL;
    size_t count = 0;
    done(mc_demo_make(h->path, day("2026-03-02"), &h->practice, &why));
    done(mc_history(h->practice, NULL, &list, &count, &why));
    assert_int_equal(count, journal_length(h->practice, NULL));
    for (size_t i = 0; i < count; i++) {
        assert_null(strpbrk(list[i].sentence, "{}[]\"_"));
        assert_true(strlen(list[i].sentence) > 5);
    }
    mc_deeds_free(list, count);
    house_free(h);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        acting_test(what_is_done_with_a_case_is_told),
        acting_test(what_is_done_in_the_practice_names_its_case),
        acting_test(the_first_entries_are_told),
        acting_test(a_decision_is_told_with_all_that_belongs_to_it),
        acting_test(an_amendment_tells_what_it_changed),
        acting_test(an_amendment_that_changes_nothing_says_so),
        acting_test(of_many_changes_the_first_are_told),
        acting_test(a_deed_points_at_its_check_up_and_decision),
        acting_test(what_the_doctor_saw_is_kept),
        acting_test(the_options_the_doctor_saw_are_kept),
        acting_test(what_was_signed_before_there_were_options_has_none),
        acting_test(an_unknown_action_is_told_by_its_details),
        cmocka_unit_test(the_demo_reads_as_sentences),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
