/* What each choice is expected to bring, worked by hand: mouths read exactly, so that where a tooth
 * will be follows from the plan, the reading and the share it is known to deliver. */
#include "midcourse/decision.h"
#include "mouth.h"
#include "random_mouth.h"

enum { LAST = 10, CHECKUP_DAY = 20014 };

/* One tooth, moved straight by one component in ten stages, as read at one check-up. */
typedef struct tooth_case {
    int iso;
    mc_component c;
    double target;    /* planned at the end */
    double shortfall; /* read so much short of plan */
    double gap;       /* NaN not read */
    int aligner;      /* worn at the check-up */
    mc_attachment attachment;
    int flat_from; /* the plan stands still from this stage on; 0: it does not */
} tooth_case;

static const tooth_case lateral = {
    .iso = 12, .c = MC_BUCCAL, .target = 2, .shortfall = 0.3, .aligner = LAST};

typedef struct judged {
    mouth m;
    mc_forecast forecast;
    mc_situation s;
} judged;

static void judged_begin(judged *j) {
    j->m = mouth_new();
    mouth_read_exactly(&j->m);
}

/* Everything that is weighed, from the last check-up; the arches wear their aligner on day 7. */
static void judged_end(judged *j) {
    bool grip[MC_TEETH];
    mc_tracker_grip(j->m.tracker, grip);
    mc_tracker_forecast(j->m.tracker, j->m.states, grip, &j->forecast);
    j->s = (mc_situation){.settings = &j->m.settings,
                          .plan = j->m.plan,
                          .score = j->m.score,
                          .states = j->m.states,
                          .interval = {14, 14},
                          .overjet_above_plan = NAN,
                          .tracker = j->m.tracker,
                          .forecast = &j->forecast};
    for (int a = 0; a < MC_ARCHES; a++) {
        const mc_series start = mc_series_start(mc_plan_stages(j->m.plan, (mc_arch)a), 14, 19000);
        j->s.series[a] = mc_series_seen(&start, j->m.score->date, j->m.score->aligner[a], 7);
    }
}

static judged *one_tooth(const tooth_case *t, double finish) {
    judged *j = calloc(1, sizeof *j);
    assert_non_null(j);
    judged_begin(j);
    j->m.settings.finish_mm = j->m.settings.finish_deg = finish;
    mc_pose end = {{0}};
    end.c[t->c] = t->target;
    if (t->flat_from > 0) {
        mouth_plan(&j->m, t->iso, t->flat_from, end);
    }
    mouth_plan(&j->m, t->iso, LAST, end);
    mouth_begin(&j->m);
    const mc_tooth tooth = mc_tooth_from_iso(t->iso);
    const double direction = t->target < 0 ? -1 : 1;
    mc_reading row = mouth_reading(
        t->iso, t->c, mc_plan_at(j->m.plan, tooth, t->c, t->aligner) - direction * t->shortfall);
    row.seat_gap = t->gap;
    row.attachment = t->attachment;
    mouth_checkup(&j->m, t->aligner, MC_SCAN, &row, 1);
    judged_end(j);
    return j;
}

static void judged_free(judged *j) {
    mouth_free(&j->m);
    free(j);
}

static mc_option weigh(const judged *j, mc_option_ask ask) {
    mc_option out;
    mc_option_of(&j->s, &ask, &out);
    return out;
}

static const mc_option_ask carry_on = {.choices = 1u << MC_CARRY_ON, .to = -1};
static const mc_option_ask local = {.choices = 1u << MC_LOCAL_MEASURES, .to = -1};
static const mc_option_ask correct = {.choices = 1u << MC_CORRECT, .to = -1};
static const mc_option_ask finish = {.choices = 1u << MC_FINISH, .to = -1};

static mc_option_ask hold_for(int days) {
    return (mc_option_ask){.choices = 1u << MC_HOLD, .days = days, .to = -1};
}

static mc_option_ask back_to(int aligner) {
    return (mc_option_ask){.choices = 1u << MC_GO_BACK, .to = aligner};
}

/* How far from its target the tooth is expected to end: the finishing tolerance that it would just
 * as well miss as meet. */
static double ends_off(const tooth_case *t, mc_option_ask ask) {
    double low = 0, high = 64;
    for (int i = 0; i < 50; i++) {
        const double middle = (low + high) / 2;
        judged *j = one_tooth(t, middle);
        const mc_option o = weigh(j, ask);
        assert_true(o.possible);
        if (o.expected_out >= 0.5) {
            low = middle;
        } else {
            high = middle;
        }
        judged_free(j);
    }
    return low;
}

static void expect_about(double expected, double within, const tooth_case *t, mc_option_ask ask) {
    const double off = ends_off(t, ask);
    if (fabs(off - expected) > within) {
        fail_msg("ends %.9f from its target, not %.9f", off, expected);
    }
}

static void expect_off(double expected, const tooth_case *t, mc_option_ask ask) {
    expect_about(expected, 1e-6, t, ask);
}

/* The share that the tooth is thought to deliver. */
static double rate_of(const tooth_case *t) {
    judged *j = one_tooth(t, 1);
    const double rate = j->forecast.tooth[mc_tooth_from_iso(t->iso)].component[t->c].rate;
    judged_free(j);
    return rate;
}

/* ---- carry on ---- */

static void test_carry_on(void **state) {
    (void)state;
    tooth_case t = lateral;
    expect_off(0.3, &t, carry_on); /* at the last aligner it stays where it is */
    t.aligner = 5;
    expect_off(2 - (0.7 + rate_of(&t) * 1.0), &t, carry_on);
    expect_off(2 - (0.7 + rate_of(&t) * 1.0), &t, (mc_option_ask){.to = -1}); /* nothing said */
    t.attachment = MC_ATTACHMENT_LOST;
    expect_off(2 - (0.7 + rate_of(&t) * 1.0 / 3), &t, carry_on);
    judged *j = one_tooth(&t, 1);
    const mc_option o = weigh(j, carry_on);
    assert_true(o.expected_out == j->forecast.expected_out && o.p_all_in == j->forecast.p_all_in);
    assert_int_equal(o.unknown, 27);
    assert_true(o.p_out[mc_tooth_from_iso(12)] == j->forecast.tooth[mc_tooth_from_iso(12)].p_out);
    assert_true(isnan(o.p_out[mc_tooth_from_iso(11)]));
    judged_free(j);
}

/* ---- hold ---- */

/* By the fit: half of it in a week where the gap is at most 0.5, a quarter at most 1.0. */
static void test_hold(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.gap = 0;
    expect_off(0.15, &t, hold_for(7));
    expect_off(0.075, &t, hold_for(14));
    expect_off(0.3 * pow(0.5, 3.0 / 7), &t, hold_for(3));
    t.gap = 0.5;
    expect_off(0.15, &t, hold_for(7));
    t.gap = 0.51;
    expect_off(0.225, &t, hold_for(7));
    expect_off(0.3 * 0.5625, &t, hold_for(14));
    t.gap = 1.0;
    expect_off(0.225, &t, hold_for(7));
    t.gap = 1.01;
    expect_off(0.3, &t, hold_for(7));
    t.gap = NAN; /* how it seats is not known */
    expect_off(0.3, &t, hold_for(7));
    t.gap = 0;
    t.shortfall = -0.3; /* past plan: nothing draws it back */
    expect_off(0.3, &t, hold_for(7));
}

/* Never by more than one aligner's limit a week. */
static void test_hold_is_capped(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.gap = 0;
    t.shortfall = 1.2;
    expect_off(0.95, &t, hold_for(7)); /* 0.25 mm buccally */
    expect_off(0.70, &t, hold_for(14));
    t = (tooth_case){.iso = 12, .c = MC_ROTATION, .target = 20, .shortfall = 9, .aligner = LAST};
    expect_off(7, &t, hold_for(7)); /* 2 deg */
    t.iso = 13;
    expect_off(7.5, &t, hold_for(7)); /* 1.5 deg on a round crown */
    t.target = -20;
    expect_off(7.5, &t, hold_for(7));
    t = (tooth_case){.iso = 11, .c = MC_OCCLUSAL, .target = 2, .shortfall = 1, .aligner = LAST};
    expect_off(0.85, &t, hold_for(7)); /* 0.15 mm of extrusion */
    t.target = -2;
    expect_off(0.80, &t, hold_for(7)); /* 0.20 mm of intrusion */
}

/* A tooth held back within reach of its aligner has its grip again. */
static void test_hold_gives_grip_back(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.aligner = 7;
    t.gap = 0;
    t.shortfall = 1.2;
    const double rate = rate_of(&t);
    expect_off(2 - (0.2 + rate * 0.6 / 3), &t, carry_on);
    expect_off(2 - (0.45 + rate * 0.6), &t, hold_for(7));
}

/* ---- go back ---- */

static void test_go_back(void **state) {
    (void)state;
    tooth_case t = lateral;
    /* short of where the plan has it there too: it keeps its place */
    t.shortfall = 0.7;
    expect_off(2 - (1.3 + rate_of(&t) * 0.4), &t, back_to(8));
    /* beyond it: it returns to it; so near the target it may as well end a little past it */
    t.shortfall = 0.35;
    expect_about(2 - (1.6 + rate_of(&t) * 0.4), 2e-4, &t, back_to(8));
    expect_about(2 - (1.65 + rate_of(&t) * 0.2), 2e-4, &t, back_to(9)); /* short of 1.8 */
    t.target = -2;
    expect_about(2 - (1.6 + rate_of(&t) * 0.4), 2e-4, &t, back_to(8));
    /* where the plan stands still there is nothing to return to */
    t = lateral;
    t.flat_from = 5;
    expect_off(0.3, &t, back_to(8));
}

static void refused(const judged *j, mc_option_ask ask, const char *why) {
    const mc_option o = weigh(j, ask);
    assert_false(o.possible);
    assert_string_equal(o.why_not, why);
    assert_true(isnan(o.expected_out) && isnan(o.p_all_in) && o.ends == MC_NO_DAY);
    assert_true(o.aligners == 0 && o.discarded == 0 && o.checkups == 0 && o.days == 0);
    assert_true(o.stages[MC_UPPER] == 0 && isnan(o.p_out[mc_tooth_from_iso(12)]));
}

static void test_out_of_range(void **state) {
    (void)state;
    judged *j = one_tooth(&lateral, 1);
    refused(j, hold_for(0), "a hold takes at least one day");
    refused(j, hold_for(-7), "a hold takes at least one day");
    refused(j, hold_for(61), "a hold takes at most 60 days");
    refused(j, back_to(0), "there is no such aligner to go back to");
    refused(j, back_to(-1), "there is no such aligner to go back to");
    refused(j, back_to(10), "there is no such aligner to go back to");
    refused(j, back_to(11), "there is no such aligner to go back to");
    refused(j, back_to(6), "at most 3 aligners are gone back");
    assert_true(weigh(j, back_to(7)).possible);
    j->m.settings.reseat_back = 4;
    assert_true(weigh(j, back_to(6)).possible);
    refused(j, (mc_option_ask){.choices = 1u << MC_CORRECT | 1u << MC_FINISH, .to = -1},
            "correct now and finish first exclude each other");
    j->s.interval[MC_UPPER] = j->s.interval[MC_LOWER] = 0;
    refused(j, correct, "it is not known how long an aligner is worn");
    refused(j, finish, "it is not known how long an aligner is worn");
    assert_true(weigh(j, carry_on).possible);
    j->s.tracker = NULL;
    refused(j, carry_on, "nothing was read on this plan yet");
    mc_option all[MC_MOST_OPTIONS];
    assert_int_equal(mc_compare(&j->s, all), 0);
    judged_free(j);
}

/* ---- local measures ---- */

static void test_local_measures(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.aligner = 5;
    const double kept = 2 - (0.7 + rate_of(&t) * 1.0);
    expect_off(kept, &t, local); /* it had its grip: nothing is gained */
    t.attachment = MC_ATTACHMENT_LOST;
    expect_off(kept, &t, local);
    t.attachment = MC_ATTACHMENT_INTACT;
    t.gap = 1.2;
    expect_off(2 - (0.7 + rate_of(&t) * 1.0 / 3), &t, carry_on);
    expect_off(kept, &t, local);
}

/* ---- correct ---- */

/* What remains is planned anew, and delivered by the share that is known of the tooth. */
static void test_correct(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.aligner = 5;
    t.attachment = MC_ATTACHMENT_LOST; /* new aligners fit */
    const double rate = rate_of(&t), end = 0.7 + rate / 3;
    expect_off((1 - rate) * 1.3, &t, correct);
    expect_off((1 - rate) * (2 - end), &t, finish);
    judged *j = one_tooth(&t, 1);
    mc_option o = weigh(j, correct);
    /* 1.3 mm at 0.25 an aligner are 6; the corner of the crown goes the same way */
    assert_int_equal(o.stages[MC_UPPER], 6);
    assert_int_equal(o.stages[MC_LOWER], 0);
    assert_int_equal(o.aligners, 6);
    assert_int_equal(o.discarded, 5);
    assert_int_equal(o.days, 21 + 6 * 14);
    assert_int_equal(o.ends, CHECKUP_DAY + o.days);
    assert_int_equal(o.checkups, 3); /* 105 days are two and a half times six weeks */
    const mc_option then = weigh(j, finish);
    const int more = (int)ceil((2 - end) / 0.25 - 1e-9);
    assert_int_equal(then.stages[MC_UPPER], more);
    assert_int_equal(then.aligners, 5 + more);
    assert_int_equal(then.discarded, 0);
    assert_int_equal(then.days, 78 + 21 + 14 * more);
    /* the poses are taken after a hold, which has brought it 0.15 mm nearer: 1.15 mm are 5 */
    o = weigh(j, (mc_option_ask){.choices = 1u << MC_CORRECT | 1u << MC_HOLD, .days = 7, .to = -1});
    assert_int_equal(o.days, 7 + 21 + 5 * 14);
    judged_free(j);
}

/* What was read by scan is what an order is made from, whatever is estimated from all readings; not
 * so where something is done before, after which poses are taken again. */
static void test_correct_from_exact(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.aligner = 5;
    judged *j = one_tooth(&t, 1);
    const mc_option before = weigh(j, correct), then = weigh(j, finish);
    mc_pose exact[MC_TEETH];
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        for (int c = 0; c < MC_COMPONENTS; c++) {
            exact[tooth].c[c] = NAN;
        }
    }
    j->s.exact = exact;
    assert_int_equal(weigh(j, correct).stages[MC_UPPER], before.stages[MC_UPPER]);
    exact[mc_tooth_from_iso(12)].c[MC_BUCCAL] = 0.2;
    const mc_option o = weigh(j, correct);
    assert_int_equal(o.stages[MC_UPPER], 8); /* 1.8 mm at 0.25 an aligner */
    assert_int_equal(o.days, 21 + 8 * 14);
    assert_int_equal(weigh(j, finish).days, then.days);
    const mc_option_ask held = {.choices = 1u << MC_CORRECT | 1u << MC_HOLD, .days = 7, .to = -1};
    assert_int_equal(weigh(j, held).days, 7 + 21 + 5 * 14);
    judged_free(j);
}

/* A draft for the tooth that was read `short` short: so far in so many aligners, another tooth that
 * is at its target staying there. */
static mc_plan *draft_of(const tooth_case *t, double far, int stages) {
    mc_plan *plan = mc_plan_new();
    mc_plan_row row = {.tooth = mc_tooth_from_iso(t->iso), .stage = stages};
    mc_error error;
    assert_non_null(plan);
    row.pose.c[t->c] = far;
    assert_int_equal(mc_plan_add(plan, &row, &error), MC_OK);
    return plan;
}

/* How far from where it is wanted the tooth is expected to end by a draft. */
static double drafted_off(const tooth_case *t, double far) {
    double low = 0, high = 64;
    mc_plan *draft = draft_of(t, far, 8);
    for (int i = 0; i < 50; i++) {
        const double middle = (low + high) / 2;
        judged *j = one_tooth(t, middle);
        j->s.draft = draft;
        const bool outside = weigh(j, correct).expected_out >= 0.5;
        low = outside ? middle : low;
        high = outside ? high : middle;
        judged_free(j);
    }
    mc_plan_free(draft);
    return low;
}

/* Where it is expected near, it may end beyond as well: half of the chances lie a little further.
 */
static void expect_near(double found, double expected) {
    if (fabs(found - expected) > (expected < 0.3 ? 0.02 : 1e-6)) {
        fail_msg("ends %.9f from where it is wanted, not %.9f", found, expected);
    }
}

/* Correcting now is the very draft that stands ready, and what comes before it another one. */
static void test_correct_by_draft(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.aligner = 5;
    const double rate = rate_of(&t), most = 1.3 * 1.3;
    judged *j = one_tooth(&t, 1);
    const mc_option then = weigh(j, finish);
    mc_plan *draft = draft_of(&t, 1.3, 9);
    j->s.draft = draft;
    const mc_option o = weigh(j, correct);
    assert_int_equal(o.stages[MC_UPPER], 9);
    assert_int_equal(o.aligners, 9);
    assert_int_equal(o.days, 21 + 9 * 14);
    assert_int_equal(o.discarded, 5);
    assert_int_equal(weigh(j, finish).days, then.days);
    const mc_option_ask held = {.choices = 1u << MC_CORRECT | 1u << MC_HOLD, .days = 7, .to = -1};
    assert_int_equal(weigh(j, held).days, 7 + 21 + 5 * 14);
    mc_plan_free(draft);
    judged_free(j);
    expect_near(drafted_off(&t, 1.3), (1 - rate) * 1.3);
    /* further by 25 and by 30 percent is overcorrection, and brings it nearer */
    expect_near(drafted_off(&t, 1.25 * 1.3), fabs(1.3 - rate * 1.25 * 1.3));
    expect_near(drafted_off(&t, most), fabs(1.3 - rate * most));
    /* more than that, and less, is another target */
    expect_near(drafted_off(&t, 1.5 * 1.3), (1 - rate) * 1.5 * 1.3);
    expect_near(drafted_off(&t, 0.65), (1 - rate) * 0.65);
    /* one that it leaves where it is stays as far from where the plan ends */
    expect_near(drafted_off(&t, 0), 1.3);
}

/* A tooth at its target needs no aligner, and no laboratory. */
static void test_nothing_to_correct(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.shortfall = 0;
    judged *j = one_tooth(&t, 1);
    const mc_option o = weigh(j, correct);
    assert_true(o.possible && o.aligners == 0 && o.days == 0 && o.checkups == 0);
    assert_int_equal(o.ends, CHECKUP_DAY);
    judged_free(j);
}

static double normal_above(double z) {
    return 0.5 * erfc(z / sqrt(2));
}

/* A tooth that the plan leaves alone, read by caliper 0.3 mm buccally at aligner 4 while another
 * one is to be moved: known to a variance of 0.1^2 0.35^2 / (0.1^2 + 0.35^2), the plan's own noise
 * there being a tenth of the tolerance a stage. A scan before the correction leaves its part of
 * that; of what it finds, the share not delivered. */
static void test_start_variance(void **state) {
    (void)state;
    judged *j = calloc(1, sizeof *j);
    assert_non_null(j);
    j->m = mouth_new();
    j->m.settings.finish_mm = 0.2;
    mouth_plan(&j->m, 12, LAST, (mc_pose){{0, 2, 0, 0, 0, 0}});
    mouth_begin(&j->m);
    const mc_reading row = mouth_reading(11, MC_BUCCAL, 0.3);
    mouth_checkup(&j->m, 4, MC_CALIPER, &row, 1);
    judged_end(j);
    const mc_tooth tooth = mc_tooth_from_iso(11);
    const mc_component_forecast *f = &j->forecast.tooth[tooth].component[MC_BUCCAL];
    const double known = 0.01 * 0.1225 / 0.1325, scan = 0.01, mean = 0.3 * 0.01 / 0.1325;
    assert_true(fabs(f->mean - mean) < 1e-9 && fabs(f->sd * f->sd - known) < 1e-9);
    const double after = known * scan / (known + scan);
    const double start = after + (1 - f->rate) * (1 - f->rate) * (known - after);
    const mc_option o = weigh(j, correct);
    assert_int_equal(o.stages[MC_UPPER], 5); /* 1.2 mm of 12, planned where nothing was read */
    const double sd = sqrt(start + 5 * 0.05 * 0.05);
    const double p = normal_above((0.2 - mean) / sd) + normal_above((0.2 + mean) / sd);
    assert_true(fabs(o.expected_out - p) < 1e-9);
    assert_int_equal(o.unknown, 27);
    judged_free(j);
}

/* Teeth not to be moved are not, and count where they stand. */
static void test_not_to_be_moved(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.shortfall = 1.3;
    judged *j = one_tooth(&t, 1);
    assert_int_equal(weigh(j, correct).aligners, 6);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        j->m.states[tooth] = MC_TOOTH_FIXED;
    }
    const mc_option o = weigh(j, correct);
    assert_true(o.possible);
    assert_int_equal(o.aligners, 0);
    assert_true(o.expected_out == 1); /* 1.3 mm off for good */
    judged_free(j);
}

/* ---- dates ---- */

/* Aligner 5 of 10 on its day 7 of 14: 8 days of it are left, and five aligners. */
static void test_dates(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.aligner = 5;
    judged *j = one_tooth(&t, 1);
    const struct {
        mc_option_ask ask;
        int days, aligners, checkups;
    } wanted[] = {
        {carry_on, 8 + 70, 5, 2},
        {local, 8 + 70, 5, 2},
        {hold_for(7), 15 + 70, 5, 3},
        {hold_for(6), 14 + 70, 5, 2}, /* 84 days: at the end of the second six weeks */
        {back_to(4), 7 * 14, 6, 3},
        {back_to(2), 9 * 14, 8, 3},
        {{.choices = 1u << MC_GO_BACK | 1u << MC_HOLD, .days = 7, .to = 2}, 9 * 14 + 7, 8, 4},
    };
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        const mc_option o = weigh(j, wanted[i].ask);
        assert_true(o.possible);
        assert_int_equal(o.days, wanted[i].days);
        assert_int_equal(o.ends, CHECKUP_DAY + wanted[i].days);
        assert_int_equal(o.aligners, wanted[i].aligners);
        assert_int_equal(o.checkups, wanted[i].checkups);
        assert_int_equal(o.discarded, 0);
    }
    judged_free(j);
}

/* Held on an aligner gone back to, whose fit was not read, nothing is made up by the days. */
static void test_back_and_hold(void **state) {
    (void)state;
    tooth_case t = lateral;
    t.gap = 0;
    t.shortfall = 0.7;
    const mc_option_ask both = {.choices = 1u << MC_GO_BACK | 1u << MC_HOLD, .days = 7, .to = 8};
    expect_off(2 - (1.3 + rate_of(&t) * 0.4), &t, both);
}

/* ---- two arches ---- */

/* Upper 5 of 10 and lower 8 of 12, one tooth in each. */
static judged *two_arches(int upper, int lower, bool read) {
    judged *j = calloc(1, sizeof *j);
    mc_error error;
    assert_non_null(j);
    judged_begin(j);
    mouth_plan(&j->m, 12, 10, (mc_pose){{0, 2, 0, 0, 0, 0}});
    mouth_plan(&j->m, 42, 12, (mc_pose){{0, 2.4, 0, 0, 0, 0}});
    mouth_begin(&j->m);
    const mc_reading rows[2] = {mouth_reading(12, MC_BUCCAL, 0.2 * upper),
                                mouth_reading(42, MC_BUCCAL, 0.2 * lower)};
    const mc_checkup checkup = {.number = 1,
                                .date = CHECKUP_DAY,
                                .aligner = {upper, lower},
                                .day = {-1, -1},
                                .wear_hours = NAN,
                                .method = MC_SCAN,
                                .rows = rows,
                                .count = !read       ? 0
                                         : lower < 0 ? 1
                                                     : 2};
    if (mc_tracker_add(j->m.tracker, &checkup, &error) != MC_OK) {
        fail_msg("%s", error.text);
    }
    mc_tracker_score(j->m.tracker, j->m.states, j->m.score);
    judged_end(j);
    return j;
}

static void test_arches_apart(void **state) {
    (void)state;
    judged *j = two_arches(5, 8, true);
    mc_option o = weigh(j, carry_on);
    assert_int_equal(o.aligners, 5 + 4);
    assert_int_equal(o.days, 78); /* the upper ends last */
    o = weigh(j, back_to(7));     /* the lower alone is past it */
    assert_int_equal(o.aligners, 5 + 5);
    assert_int_equal(o.days, 6 * 14);
    o = weigh(j, back_to(5)); /* where the upper is already */
    assert_int_equal(o.aligners, 5 + 7);
    refused(j, back_to(4), "at most 3 aligners are gone back");
    o = weigh(j, correct);
    assert_int_equal(o.discarded, 9);
    assert_int_equal(o.stages[MC_UPPER], 4); /* 1.0 mm at 0.25 */
    assert_int_equal(o.stages[MC_LOWER], 4); /* 0.8 mm at 0.25 */
    judged_free(j);
    j = two_arches(7, 8, true); /* both are past it */
    o = weigh(j, back_to(6));
    assert_int_equal(o.aligners, 4 + 6);
    judged_free(j);
}

/* The lower arch was not looked at: by the dates it wears its last aligner, and nothing of it is
 * known. */
static void test_arch_not_looked_at(void **state) {
    (void)state;
    judged *j = two_arches(5, MC_NO_ALIGNER, true);
    j->s.series[MC_LOWER] = mc_series_start(12, 14, CHECKUP_DAY - 14 * 8); /* aligner 9, day 1 */
    mc_option o = weigh(j, carry_on);
    assert_int_equal(o.aligners, 5 + 3);
    assert_int_equal(o.unknown, 27);
    o = weigh(j, correct);
    assert_int_equal(o.discarded, 5 + 3);
    /* 42 at stage 8.25 by plan: 0.75 mm of 2.4 are left, planned where it was not read */
    assert_int_equal(o.stages[MC_LOWER], 3);
    o = weigh(j, back_to(4));
    assert_int_equal(o.aligners, 6 + 3);
    judged_free(j);
}

static void test_one_arch_and_series_over(void **state) {
    (void)state;
    tooth_case t = lateral;
    judged *j = one_tooth(&t, 1); /* the lower arch has no series; the upper wears its last */
    mc_option o = weigh(j, carry_on);
    assert_int_equal(o.aligners, 0);
    assert_int_equal(o.days, 8);
    o = weigh(j, correct);
    assert_int_equal(o.discarded, 0);
    assert_int_equal(o.stages[MC_LOWER], 0);
    /* long over: it ended, and ends today */
    j->s.series[MC_UPPER].begun -= 100;
    o = weigh(j, carry_on);
    assert_int_equal(o.days, 0);
    assert_int_equal(o.ends, CHECKUP_DAY);
    judged_free(j);
}

/* ---- not known ---- */

static void test_nothing_read(void **state) {
    (void)state;
    judged *j = two_arches(5, 8, false);
    mc_option all[MC_MOST_OPTIONS];
    const size_t count = mc_compare(&j->s, all);
    assert_true(count > 0);
    for (size_t i = 0; i < count; i++) {
        assert_true(all[i].possible);
        assert_true(isnan(all[i].expected_out) && isnan(all[i].p_all_in));
        assert_int_equal(all[i].unknown, 28);
        assert_true(all[i].days > 0); /* dates are known without a reading */
    }
    judged_free(j);
}

/* A remainder that no series makes: the option is there, and says why it cannot be taken. */
static void test_restaging_refused(void **state) {
    (void)state;
    tooth_case t = {.iso = 12, .c = MC_ROTATION, .target = 60, .shortfall = 5, .aligner = 5};
    judged *j = one_tooth(&t, 1);
    j->m.settings.step_rotation_deg = 1e-3;
    const mc_option o = weigh(j, correct);
    assert_false(o.possible);
    assert_non_null(strstr(o.why_not, "12"));
    assert_true(isnan(o.expected_out) && o.aligners == 0 && o.discarded == 0);
    mc_option all[MC_MOST_OPTIONS];
    const size_t count = mc_compare(&j->s, all);
    assert_true(count > 2 && all[count - 2].ask.choices == correct.choices &&
                all[count - 1].ask.choices == finish.choices);
    assert_false(all[count - 2].possible);
    judged_free(j);
}

/* ---- side by side ---- */

static void test_compare(void **state) {
    (void)state;
    static const char *const with_local[] = {"carry on",
                                             "hold 7 days",
                                             "hold 14 days",
                                             "go back to aligner 4",
                                             "go back to aligner 3",
                                             "go back to aligner 2",
                                             "local measures",
                                             "correct now",
                                             "finish, then correct"};
    tooth_case t = lateral;
    t.aligner = 5;
    t.shortfall = 1;
    mc_option all[MC_MOST_OPTIONS];
    char words[MC_OPTION_WORDS_SIZE];
    judged *j = one_tooth(&t, 1);
    assert_int_equal(mc_compare(&j->s, all), 9);
    for (size_t i = 0; i < 9; i++) {
        mc_option_words(&all[i].ask, words);
        assert_string_equal(words, with_local[i]);
        const mc_option again = weigh(j, all[i].ask);
        assert_true(again.expected_out == all[i].expected_out && again.ends == all[i].ends);
    }
    judged_free(j);
    t.shortfall = 0; /* on plan, with its grip: nothing for local measures */
    t.aligner = 2;
    j = one_tooth(&t, 1);
    assert_int_equal(mc_compare(&j->s, all), 6); /* and only aligner 1 to go back to */
    assert_true(all[3].ask.choices == 1u << MC_GO_BACK && all[3].ask.to == 1);
    assert_true(all[4].ask.choices == 1u << MC_CORRECT);
    j->m.settings.hold_days = 10;
    j->m.settings.reseat_back = 20;
    assert_int_equal(mc_compare(&j->s, all), 6);
    assert_true(all[1].ask.days == 10 && all[2].ask.days == 20);
    j->m.settings.hold_days = 31; /* twice that could not be signed */
    assert_int_equal(mc_compare(&j->s, all), 5);
    assert_true(all[1].ask.days == 31 && all[2].ask.choices == 1u << MC_GO_BACK);
    judged_free(j);
}

static void test_words(void **state) {
    (void)state;
    char words[MC_OPTION_WORDS_SIZE];
    const mc_option_ask ask = {.choices = 1u << MC_HOLD | 1u << MC_GO_BACK |
                                          1u << MC_LOCAL_MEASURES | 1u << MC_FINISH,
                               .days = 1,
                               .to = 123};
    mc_option_words(&ask, words);
    assert_string_equal(words,
                        "go back to aligner 123 and hold 1 day and local measures and finish, "
                        "then correct");
    mc_option_words(&(mc_option_ask){0}, words);
    assert_string_equal(words, "carry on");
}

/* ---- mouths drawn by chance ---- */

static void check_drawn(const judged *j, const mc_option *o, const mc_option *first) {
    assert_true(o->possible);
    assert_true(o->expected_out >= 0 && o->expected_out <= 28 && o->p_all_in >= 0 &&
                o->p_all_in <= 1);
    double sum = 0;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        sum += isnan(o->p_out[tooth]) ? 0 : o->p_out[tooth];
        assert_true(isnan(o->p_out[tooth]) == isnan(first->p_out[tooth]));
    }
    assert_true(fabs(sum - o->expected_out) < 1e-9);
    assert_int_equal(o->unknown, first->unknown);
    assert_true(o->days >= 0 && o->ends == j->m.score->date + o->days && o->aligners >= 0);
    assert_true(o->checkups * 42 >= o->days && (o->checkups - 1) * 42 < o->days);
    if (o->ask.choices & (1u << MC_HOLD | 1u << MC_GO_BACK | 1u << MC_FINISH)) {
        assert_true(o->days >= first->days && o->aligners >= first->aligners);
    }
    assert_true((o->discarded > 0) == (o->ask.choices == 1u << MC_CORRECT && first->aligners > 0));
}

/* Weighing changes nothing of the tracker: the same again is the same. */
static void test_drawn(void **state) {
    (void)state;
    random_source random = random_seed(4711);
    for (int i = 0; i < 60; i++) {
        judged *j = calloc(1, sizeof *j);
        mc_reading rows[DRAWN_ROWS];
        mc_option all[MC_MOST_OPTIONS];
        j->m = mouth_new();
        draw_plan(&random, &j->m);
        mouth_begin(&j->m);
        for (int k = 1; k <= 3; k++) {
            const size_t count = draw_rows(&random, &j->m, 6 * k, rows);
            mouth_checkup(&j->m, 6 * k, MC_CALIPER, rows, count);
        }
        judged_end(j);
        const size_t count = mc_compare(&j->s, all);
        assert_true(count >= 8);
        assert_true(all[0].expected_out == j->forecast.expected_out);
        for (size_t k = 0; k < count; k++) {
            check_drawn(j, &all[k], &all[0]);
        }
        bool grip[MC_TEETH];
        mc_forecast again;
        mc_tracker_grip(j->m.tracker, grip);
        mc_tracker_forecast(j->m.tracker, j->m.states, grip, &again);
        assert_true(again.expected_out == j->forecast.expected_out);
        judged_free(j);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_carry_on),
        cmocka_unit_test(test_hold),
        cmocka_unit_test(test_hold_is_capped),
        cmocka_unit_test(test_hold_gives_grip_back),
        cmocka_unit_test(test_go_back),
        cmocka_unit_test(test_out_of_range),
        cmocka_unit_test(test_local_measures),
        cmocka_unit_test(test_correct),
        cmocka_unit_test(test_correct_from_exact),
        cmocka_unit_test(test_correct_by_draft),
        cmocka_unit_test(test_nothing_to_correct),
        cmocka_unit_test(test_start_variance),
        cmocka_unit_test(test_not_to_be_moved),
        cmocka_unit_test(test_dates),
        cmocka_unit_test(test_back_and_hold),
        cmocka_unit_test(test_arches_apart),
        cmocka_unit_test(test_arch_not_looked_at),
        cmocka_unit_test(test_one_arch_and_series_over),
        cmocka_unit_test(test_nothing_read),
        cmocka_unit_test(test_restaging_refused),
        cmocka_unit_test(test_compare),
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_drawn),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
