/* Memory that fails, at every place in turn, while a case is forecast, its options are weighed and
 * signed, and the practice's own numbers are worked out: each failure is told in words or is
 * overcome. Never is something half worked out taken for the whole, nor a proposal made that rests
 * on it, nor kept. On a copy of the demo, which has a case for every rule. */
#include "broken.h"

#include "../practice/practised.h"

#include "practice.h"

#include "midcourse/exchange.h"

static const mc_day TODAY = 20514; /* any day: the demo's dates go by it */
static house template_house;

/* ---- a practice to look at ---- */

typedef struct desk {
    house *h;
    mc_case kase;
    mc_assessment *a;
} desk;

static int make_demo(void **state) {
    (void)state;
    files_in_memory();
    mend();
    house *h = house_new();
    done(mc_demo_make(h->path, TODAY, &h->practice, &why));
    mc_practice_close(h->practice);
    h->practice = NULL;
    template_house = *h;
    free(h);
    return 0;
}

static int remove_demo(void **state) {
    char command[96];
    (void)state;
    snprintf(command, sizeof command, "rm -rf '%s'", template_house.folder);
    return system(command);
}

/* The record as the demo left it, and the doctor at it. */
static void sit_down(desk *d) {
    char command[500];
    if (d->h->practice) {
        mc_practice_close(d->h->practice);
    }
    snprintf(command, sizeof command, "rm -f '%s-wal' '%s-shm' && cp '%s' '%s'", d->h->path,
             d->h->path, template_house.path, d->h->path);
    assert_int_equal(system(command), 0);
    done(mc_practice_open(d->h->path, TODAY, &d->h->practice, &why));
    done(mc_practice_act_as(d->h->practice, "IBA", &why));
}

static int enter(void **state) {
    desk *d = calloc(1, sizeof *d);
    assert_non_null(d);
    mend();
    d->h = house_new();
    sit_down(d);
    *state = d;
    return 0;
}

static int leave(void **state) {
    desk *d = *state;
    mend();
    mc_assessment_free(d->a);
    done(mc_record_verify(mc_practice_record(d->h->practice), NULL, &why));
    house_free(d->h);
    free(d);
    return 0;
}

static void look_at(desk *d, const char *label) {
    mc_assessment_free(d->a);
    d->kase = find(d->h->practice, label);
    d->a = assessed(d->h->practice, label, 0);
}

/* ---- failing in turn ---- */

static bool met; /* the one that was to fail was asked for */

/* What was to be tried is over; from here on all is well. */
static void calm(void) {
    met = memory.happened;
    mend();
}

/* Something that is worked out: refused with words, or as where nothing fails. */
typedef mc_status (*action)(desk *d, mc_error *error);

static void each_allocation(desk *d, action act, int step, bool writes) {
    long refused = 0, overcome = 0;
    for (int at = 1;; at += step) {
        mc_error error = {.text = ""};
        const size_t entries = writes ? journal_length(d->h->practice, NULL) : 0;
        break_at(&memory, at, at / step % 5 == 4);
        const mc_status status = act(d, &error);
        if (status != MC_OK && !tells_of_memory(&error)) {
            fail_msg("allocation %d: status %d: %s", at, status, error.text);
        }
        if (writes) {
            assert_int_equal(journal_length(d->h->practice, NULL), entries + (status == MC_OK));
            if (status == MC_OK) {
                sit_down(d);
            }
        }
        refused += status != MC_OK;
        overcome += status == MC_OK && met;
        if (!met) {
            assert_int_equal(status, MC_OK);
            break;
        }
    }
    print_message("%ld allocations failed: %ld times refused, %ld times overcome\n",
                  refused + overcome, refused, overcome);
    assert_true(refused > 2);
}

static bool same(double one, double other) {
    return one == other || (isnan(one) && isnan(other));
}

/* ---- forecast and proposal ---- */

static void same_forecast(const mc_forecast *one, const mc_forecast *other) {
    assert_int_equal(one->known, other->known);
    assert_int_equal(one->unknown, other->unknown);
    assert_true(same(one->expected_out, other->expected_out));
    assert_true(same(one->p_all_in, other->p_all_in));
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        assert_true(same(one->tooth[t].p_out, other->tooth[t].p_out));
    }
}

static mc_status assess(desk *d, mc_error *error) {
    mc_assessment *a = NULL;
    const mc_status status = mc_assess(d->h->practice, &d->kase, 0, false, &a, error);
    calm();
    if (status != MC_OK) {
        assert_null(a);
        return status;
    }
    assert_string_equal(a->proposal.sentence, d->a->proposal.sentence);
    assert_int_equal(a->proposal.choice, d->a->proposal.choice);
    same_forecast(&a->forecast, &d->a->forecast);
    mc_assessment_free(a);
    return MC_OK;
}

/* Correcting compares with finishing first, holding with carrying on. */
static void memory_fails_while_a_case_is_judged(void **state) {
    static const struct {
        const char *label;
        mc_proposal_choice choice;
    } CASES[] = {{"1005", MC_PROPOSE_CORRECT}, {"1011", MC_PROPOSE_HOLD}};
    for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
        look_at(*state, CASES[i].label);
        assert_int_equal(((desk *)*state)->a->proposal.choice, CASES[i].choice);
        each_allocation(*state, assess, 1, false);
    }
}

/* ---- options ---- */

static void same_option(const mc_option *one, const mc_option *other) {
    assert_int_equal(one->ask.choices, other->ask.choices);
    assert_int_equal(one->ask.days, other->ask.days);
    assert_int_equal(one->ask.to, other->ask.to);
    assert_int_equal(one->possible, other->possible);
    assert_string_equal(one->why_not, other->why_not);
    assert_int_equal(one->ends, other->ends);
    assert_int_equal(one->aligners, other->aligners);
    assert_true(same(one->expected_out, other->expected_out));
    assert_true(same(one->p_all_in, other->p_all_in));
}

static mc_option usual[MC_MOST_OPTIONS];
static size_t usual_count;

static mc_status weigh_all(desk *d, mc_error *error) {
    mc_option options[MC_MOST_OPTIONS];
    const size_t count = mc_assess_options(d->a, options);
    calm();
    if (count == 0) {
        return mc_fail(error, MC_REFUSED, "out of memory");
    }
    assert_int_equal(count, usual_count);
    for (size_t i = 0; i < count; i++) {
        same_option(&options[i], &usual[i]);
    }
    return MC_OK;
}

static mc_option_ask asked;
static mc_option wanted;

static mc_status weigh_one(desk *d, mc_error *error) {
    mc_option option;
    mc_assess_option(d->a, &asked, &option);
    calm();
    if (option.failed) {
        assert_false(option.possible);
        assert_true(isnan(option.expected_out) && option.ends == MC_NO_DAY);
        return mc_fail(error, MC_REFUSED, "%s", option.why_not);
    }
    same_option(&option, &wanted);
    return MC_OK;
}

static void memory_fails_while_options_are_weighed(void **state) {
    static const char *const LABELS[] = {"1002", "1007", "1014"};
    static const unsigned CHOICES[] = {1u << MC_CARRY_ON, 1u << MC_HOLD | 1u << MC_GO_BACK,
                                       1u << MC_CORRECT, 1u << MC_FINISH};
    desk *d = *state;
    for (size_t i = 0; i < sizeof LABELS / sizeof LABELS[0]; i++) {
        look_at(d, LABELS[i]);
        usual_count = mc_assess_options(d->a, usual);
        assert_true(usual_count > 3);
        each_allocation(d, weigh_all, 1, false);
        for (size_t c = 0; c < sizeof CHOICES / sizeof CHOICES[0]; c++) {
            asked = (mc_option_ask){.choices = CHOICES[c], .to = -1};
            if (CHOICES[c] & 1u << MC_HOLD) {
                asked.days = 10;
                asked.to = d->a->score->aligner[MC_UPPER] - 1;
            }
            mc_assess_option(d->a, &asked, &wanted);
            assert_true(wanted.possible && !wanted.failed);
            each_allocation(d, weigh_one, 1, false);
        }
    }
}

/* ---- signing what was weighed ---- */

static size_t evidence_size;

/* The journal says what was decided. */
static void is_told(desk *d) {
    mc_entry *entries = NULL;
    size_t count = 0;
    done(mc_record_journal(mc_practice_record(d->h->practice), NULL, &entries, &count, &why));
    const char *said = entries[count - 1].detail;
    assert_true(strstr(said, "\"choices\":[\"hold\"]") && strstr(said, "\"days\":10") &&
                strstr(said, "\"reason\":\"so\""));
    mc_entries_free(entries, count);
}

static mc_status sign_it(desk *d, mc_error *error) {
    const mc_decide what = {
        .choices = 1u << MC_HOLD, .days = 10, .to = -1, .start = MC_NO_DAY, .reason = "so"};
    mc_decision out;
    mc_warnings warnings;
    const mc_status status = mc_sign_known(d->h->practice, &d->kase, &what, &out, &warnings, error);
    calm();
    mc_warnings_free(&warnings);
    if (status == MC_OK) {
        /* nothing was left out of what the doctor saw */
        assert_true(evidence_size == 0 || strlen(out.evidence) == evidence_size);
        evidence_size = strlen(out.evidence);
        free(out.evidence);
        is_told(d);
    }
    return status;
}

static void memory_fails_while_a_decision_is_signed(void **state) {
    desk *d = *state;
    mc_error error;
    d->kase = find(d->h->practice, "1002");
    evidence_size = 0;
    done(sign_it(d, &error));
    sit_down(d);
    each_allocation(d, sign_it, 7, true);
}

/* ---- the list of cases keeps what it has worked out ---- */

static mc_roster_row *right;
static size_t right_count;

static mc_status list_all(desk *d, mc_error *error) {
    mc_roster_row *rows = NULL;
    size_t count = 0;
    const mc_status status = mc_roster(d->h->practice, TODAY, &rows, &count, error);
    calm();
    free(rows);
    done(mc_roster(d->h->practice, TODAY, &rows, &count, &why));
    assert_int_equal(count, right_count);
    for (size_t i = 0; i < count; i++) {
        assert_string_equal(rows[i].reasons, right[i].reasons);
        assert_int_equal(rows[i].urgency, right[i].urgency);
    }
    free(rows);
    as_stranger(d->h->path, "DELETE FROM summaries");
    return status;
}

static void nothing_wrong_is_kept_for_the_list(void **state) {
    desk *d = *state;
    done(mc_roster(d->h->practice, TODAY, &right, &right_count, &why));
    assert_true(right_count > 10);
    as_stranger(d->h->path, "DELETE FROM summaries");
    /* There are many cases, each with as much to fail: so only every so often. */
    each_allocation(d, list_all, 29, false);
    free(right);
}

/* ---- what should be read ---- */

static size_t expected_count;

static mc_status expect(desk *d, mc_error *error) {
    static const int BY_DATES[MC_ARCHES] = {MC_NO_ALIGNER, MC_NO_ALIGNER};
    mc_expectation out;
    const mc_status status =
        mc_expect(d->h->practice, &d->kase, MC_NO_DAY, BY_DATES, -1, &out, error);
    calm();
    if (status == MC_OK) {
        assert_int_equal(out.count, expected_count);
    } else {
        assert_null(out.list);
    }
    mc_expectation_free(&out);
    return status;
}

/* Spaces read at stage 0. */
static void read_at_start(desk *d) {
    static const char READ[] = "tooth,space_mesial_mm,crown_angle_deg\n12,0.4,10\n11,0.2,-4\n";
    const mc_checkup_import what = {.data = READ,
                                    .size = sizeof READ - 1,
                                    .date = TODAY,
                                    .aligner = {0, 0},
                                    .day = {-1, -1},
                                    .wear_hours = NAN,
                                    .method = MC_CALIPER,
                                    .accept_warnings = true};
    mc_warnings warnings;
    int number;
    d->kase = find(d->h->practice, "1012");
    done(mc_import_checkup(d->h->practice, &d->kase, &what, &number, &warnings, &why));
    mc_warnings_free(&warnings);
    expected_count = 4;
}

static void memory_fails_while_it_is_told_what_should_be_read(void **state) {
    desk *d = *state;
    mc_error error;
    read_at_start(d);
    done(expect(d, &error));
    each_allocation(d, expect, 1, false);
}

/* ---- the practice's own numbers ---- */

static mc_accuracy accuracy;
static mc_own_methods methods;
static mc_pair pairs[24];
static char detail[20000];

static mc_status read_accuracy(desk *d, mc_error *error) {
    mc_accuracy out;
    const mc_status status = mc_accuracy_all(d->h->practice, &out, error);
    calm();
    if (status != MC_OK) {
        return status;
    }
    assert_int_equal(out.plans, accuracy.plans);
    assert_int_equal(out.patients, accuracy.patients);
    for (int c = 0; c < MC_OWN_CLASSES; c++) {
        for (int m = 0; m < MC_OWN_MOVEMENTS; m++) {
            assert_int_equal(out.of[c][m].readings, accuracy.of[c][m].readings);
            assert_true(same(out.of[c][m].mean, accuracy.of[c][m].mean));
            assert_true(same(out.of[c][m].se, accuracy.of[c][m].se));
        }
    }
    return MC_OK;
}

static mc_status measure(desk *d, mc_error *error) {
    mc_own_methods out;
    const mc_status status = mc_own_methods_measure(
        d->h->practice, pairs, sizeof pairs / sizeof pairs[0], true, &out, error);
    calm();
    if (status == MC_OK) {
        assert_int_equal(out.pairs, methods.pairs);
        for (int m = 0; m < MC_METHODS; m++) {
            for (int angle = 0; angle < 2; angle++) {
                assert_true(
                    same(out.of[m][angle].measured.error, methods.of[m][angle].measured.error));
            }
        }
    }
    return status;
}

/* What the journal says of the last thing done; the number of the set in it is the same each time,
 * as each begins from the same record. */
static void same_detail(desk *d) {
    mc_entry *entries = NULL;
    size_t count = 0;
    done(mc_record_journal(mc_practice_record(d->h->practice), NULL, &entries, &count, &why));
    if (detail[0] != '\0') {
        assert_string_equal(entries[count - 1].detail, detail);
    }
    snprintf(detail, sizeof detail, "%s", entries[count - 1].detail);
    mc_entries_free(entries, count);
}

static mc_status use_accuracy(desk *d, mc_error *error) {
    size_t taken = 0;
    int64_t set = 0;
    const mc_status status = mc_accuracy_use(d->h->practice, &accuracy, "so", &taken, &set, error);
    calm();
    if (status == MC_OK) {
        same_detail(d);
    }
    return status;
}

static mc_status keep_methods(desk *d, mc_error *error) {
    int64_t set = 0;
    const mc_status status = mc_own_methods_keep(d->h->practice, &methods, "so", &set, error);
    calm();
    if (status == MC_OK) {
        same_detail(d);
    }
    return status;
}

static void find_numbers(desk *d) {
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        pairs[i] = (mc_pair){.method = i % 2 == 0 ? MC_CALIPER : MC_SCAN,
                             .linear = true,
                             .first = 1 + 0.1 * (double)(i % 3),
                             .second = 1 + 0.1 * (double)(i % 5)};
    }
    done(mc_accuracy_all(d->h->practice, &accuracy, &why));
    done(mc_own_methods_measure(d->h->practice, pairs, sizeof pairs / sizeof pairs[0], true,
                                &methods, &why));
    assert_true(accuracy.patients >= MC_LEAST_PATIENTS);
    assert_true(methods.of[MC_SCAN][0].can_be_kept && methods.of[MC_CALIPER][0].can_be_kept);
}

static void memory_fails_while_own_numbers_are_read(void **state) {
    find_numbers(*state);
    each_allocation(*state, read_accuracy, 3, false);
    each_allocation(*state, measure, 3, false);
}

static void memory_fails_while_own_numbers_are_taken_over(void **state) {
    static const action TAKEN[] = {use_accuracy, keep_methods};
    desk *d = *state;
    mc_error error;
    find_numbers(d);
    for (size_t i = 0; i < sizeof TAKEN / sizeof TAKEN[0]; i++) {
        detail[0] = '\0';
        done(TAKEN[i](d, &error));
        sit_down(d);
        each_allocation(d, TAKEN[i], 3, true);
    }
}

#define at_the_desk(name) cmocka_unit_test_setup_teardown(name, enter, leave)

int main(void) {
    const struct CMUnitTest tests[] = {
        at_the_desk(memory_fails_while_a_case_is_judged),
        at_the_desk(memory_fails_while_options_are_weighed),
        at_the_desk(memory_fails_while_a_decision_is_signed),
        at_the_desk(nothing_wrong_is_kept_for_the_list),
        at_the_desk(memory_fails_while_it_is_told_what_should_be_read),
        at_the_desk(memory_fails_while_own_numbers_are_read),
        at_the_desk(memory_fails_while_own_numbers_are_taken_over),
    };
    if (!memory_breakable() || !disk_breakable()) {
        return 1;
    }
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
