/* The practice's own numbers: the error of its methods from what was read twice, its accuracy from
 * its ended plans, and that only a doctor takes them over. */
#include "acting.h"

#include "near.h"

/* ---- a practice with ended plans ---- */

typedef struct {
    mc_case kase;
    mc_plan_info info;
    mc_plan *plan;
} course;

/* One more course of a person: teeth 13 and 23 turn 10 deg and 12 moves 1 mm mesially over ten
 * aligners; 11 goes 2 deg out and back again. */
static course begin_course_on(house *h, const char *chart, const char *from) {
    mc_tooth_state states[MC_TEETH];
    course c = {.plan = mc_plan_new()};
    mc_record *record = mc_practice_record(h->practice);
    assert_non_null(c.plan);
    for (int i = 0; i < 2; i++) {
        mc_plan_row row = {.tooth = mc_tooth_from_iso(i ? 23 : 13), .stage = 10};
        row.pose.c[MC_ROTATION] = 10;
        done(mc_plan_add(c.plan, &row, &why));
    }
    mc_plan_row mesial = {.tooth = mc_tooth_from_iso(12), .stage = 10};
    mesial.pose.c[MC_MESIAL] = 1;
    done(mc_plan_add(c.plan, &mesial, &why));
    mc_plan_row out = {.tooth = mc_tooth_from_iso(11), .stage = 5};
    out.pose.c[MC_ANGULATION] = 6;
    done(mc_plan_add(c.plan, &out, &why));
    out.stage = 10;
    out.pose.c[MC_ANGULATION] = 3;
    done(mc_plan_add(c.plan, &out, &why));
    mc_usual_teeth(states);
    done(mc_record_begin(record, false, &why));
    done(mc_record_add_case(record, chart, "Invented, Person", day("1990-01-01"), day(from), states,
                            &c.kase, &why));
    c.info = (mc_plan_info){.start = day(from), .interval = {10, 0}, .by = "AB"};
    done(mc_record_add_plan(record, &c.kase.id, c.plan, NULL, &c.info, &why));
    done(mc_record_commit(record, &why));
    return c;
}

static course begin_course(house *h, const char *chart) {
    return begin_course_on(h, chart, "2024-01-01");
}

static mc_reading read_at(int iso, mc_component c, double value) {
    mc_reading row = mc_reading_none(mc_tooth_from_iso(iso));
    row.value[c] = value;
    return row;
}

static void check(house *h, const course *c, int aligner, mc_method method, const mc_reading *rows,
                  size_t count) {
    mc_record *record = mc_practice_record(h->practice);
    mc_checkup_info out;
    const mc_checkup checkup = {.date = c->info.start,
                                .aligner = {aligner, MC_NO_ALIGNER},
                                .day = {-1, -1},
                                .wear_hours = NAN,
                                .method = method,
                                .rows = rows,
                                .count = count};
    done(mc_record_begin(record, false, &why));
    done(mc_record_add_checkup(record, &c->kase.id, &c->info.id, &checkup, 1, "AB", &out, &why));
    done(mc_record_commit(record, &why));
}

/* The plan, and where `leave` the course, is over. */
static void end_course(house *h, course *c, bool leave) {
    mc_record *record = mc_practice_record(h->practice);
    done(mc_record_begin(record, false, &why));
    done(mc_record_close_plan(record, &c->info.id, &why));
    if (leave) {
        done(mc_record_close_case(record, &c->kase.id, c->kase.opened, &why));
    }
    done(mc_record_commit(record, &why));
    mc_plan_free(c->plan);
}

/* Ended, canine 13 read by scan at the end at this share of its 10 deg. */
static void ended(house *h, const char *chart, double share) {
    course c = begin_course(h, chart);
    const mc_reading row = read_at(13, MC_ROTATION, 10 * share);
    check(h, &c, 10, MC_SCAN, &row, 1);
    end_course(h, &c, false);
}

static mc_accuracy all_of(house *h) {
    mc_accuracy out;
    done(mc_accuracy_all(h->practice, &out, &why));
    return out;
}

#define CANINE of[MC_CANINE][MC_MOVE_ROTATION]

/* ---- accuracy ---- */

static const double SHARES[] = {0.2, 0.9, 0.5, 0.7, 0.4};
static const char *const CHARTS[] = {"11", "12", "13", "14", "15"};
/* Of one reading by scan: 0.7 deg of 10, and the spread of a component's own share. */
static const double ONE = 0.07 * 0.07 + 0.2 * 0.2;

static void nothing_without_ended_plans(void **state) {
    house *h = *state;
    course c = begin_course(h, "11");
    const mc_reading row = read_at(13, MC_ROTATION, 5);
    check(h, &c, 10, MC_SCAN, &row, 1);
    mc_accuracy a = all_of(h);
    assert_int_equal(a.plans, 0);
    assert_int_equal(a.patients, 0);
    assert_int_equal(a.CANINE.patients, 0);
    assert_true(isnan(a.CANINE.mean) && isnan(a.CANINE.se));
    assert_true(!a.CANINE.can_be_used);
    mc_plan_free(c.plan);
}

/* Five people of one reading each: the values and variances are known, so is what they pool to. */
static void pooled_over_patients(void **state) {
    house *h = *state;
    double variance[5];
    mc_pooled want;
    for (int i = 0; i < 5; i++) {
        ended(h, CHARTS[i], SHARES[i]);
        variance[i] = ONE;
        mc_accuracy a = all_of(h);
        assert_int_equal(a.CANINE.patients, i + 1);
        assert_int_equal(a.CANINE.can_be_used, i + 1 >= 5);
    }
    mc_accuracy a = all_of(h);
    assert_true(mc_pool(SHARES, variance, 5, &want));
    assert_true(want.tau2 > 0);
    assert_int_equal(a.plans, 5);
    assert_int_equal(a.patients, 5);
    assert_int_equal(a.CANINE.readings, 5);
    assert_near(a.CANINE.mean, want.mean, 1e-12);
    assert_near(a.CANINE.mean, 0.54, 1e-12); /* equal variances: the plain mean */
    assert_near(a.CANINE.se, want.se, 1e-12);
    assert_near(a.CANINE.tau, sqrt(want.tau2), 1e-12);
    double low = 1, high = 0;
    for (int quadrant = 1; quadrant <= 4; quadrant++) {
        double share =
            mc_expected_share(mc_tooth_from_iso(10 * quadrant + 3), MC_MOVE_ROTATION, NULL);
        low = fmin(low, share);
        high = fmax(high, share);
    }
    assert_near(a.CANINE.published_low, low, 0);
    assert_near(a.CANINE.published_high, high, 0);
    assert_near(a.CANINE.used_low, low, 0);
    assert_near(a.CANINE.used_high, high, 0);
    for (int c = 0; c < MC_OWN_CLASSES; c++)
        for (int m = 0; m < MC_OWN_MOVEMENTS; m++)
            assert_int_equal(a.of[c][m].readings,
                             c == MC_CANINE && m == (int)MC_MOVE_ROTATION ? 5 : 0);
}

/* Both canines and both courses of one person are one mean by precision, not two patients. */
static void one_person_counts_once(void **state) {
    house *h = *state;
    course first = begin_course(h, "11");
    const mc_reading rows[] = {read_at(13, MC_ROTATION, 8), read_at(23, MC_ROTATION, 4)};
    check(h, &first, 10, MC_SCAN, rows, 2);
    end_course(h, &first, true);
    course second = begin_course_on(h, "11", "2024-02-01");
    const mc_reading row = read_at(13, MC_ROTATION, 9);
    check(h, &second, 10, MC_CALIPER, &row, 1);
    end_course(h, &second, false);
    ended(h, "12", 0.5);
    mc_accuracy a = all_of(h);
    assert_int_equal(a.plans, 3);
    assert_int_equal(a.patients, 2);
    assert_int_equal(a.CANINE.patients, 2);
    assert_int_equal(a.CANINE.readings, 4);
    const double caliper = 0.3 * 0.3 + 0.2 * 0.2;
    const double precision = 2 / ONE + 1 / caliper;
    const double value[] = {((0.8 + 0.4) / ONE + 0.9 / caliper) / precision, 0.5};
    const double variance[] = {1 / precision, ONE};
    mc_pooled want;
    assert_true(mc_pool(value, variance, 2, &want));
    assert_near(a.CANINE.mean, want.mean, 1e-12);
    assert_near(a.CANINE.se, want.se, 1e-12);
}

/* The last reading counts, at which the plan had gone a tolerance, one way; said short of plan it
 * is the same; of an amended check-up the version in force. */
static void which_reading_counts(void **state) {
    house *h = *state;
    course c = begin_course(h, "11");
    /* aligner 1: 1 deg planned, less than the tolerance */
    const mc_reading early[] = {read_at(13, MC_ROTATION, 9), read_at(12, MC_MESIAL, 0.4)};
    check(h, &c, 1, MC_SCAN, early, 2);
    assert_int_equal(all_of(h).plans, 0);
    const mc_reading middle[] = {read_at(13, MC_ROTATION, 1), read_at(11, MC_ANGULATION, 3)};
    check(h, &c, 5, MC_SCAN, middle, 2);
    mc_reading last[] = {read_at(13, MC_ROTATION, 2.5), read_at(12, MC_MESIAL, -0.1),
                         read_at(11, MC_ANGULATION, 3)};
    last[0].short_of_plan[MC_ROTATION] = true;
    check(h, &c, 10, MC_SCAN, last, 3);
    mc_record *record = mc_practice_record(h->practice);
    int version;
    mc_checkup amended = {.aligner = {10, MC_NO_ALIGNER},
                          .day = {-1, -1},
                          .wear_hours = NAN,
                          .method = MC_SCAN,
                          .rows = last,
                          .count = 3};
    last[1].value[MC_MESIAL] = 0.6;
    done(mc_record_begin(record, false, &why));
    done(mc_record_amend_checkup(record, &c.kase.id, 3, &amended, "AB", "misread", &version, &why));
    done(mc_record_commit(record, &why));
    end_course(h, &c, false);
    mc_accuracy a = all_of(h);
    assert_near(a.CANINE.mean, 0.75, 1e-12);
    assert_near(a.CANINE.se, sqrt(ONE), 1e-12);
    assert_near(a.CANINE.tau, 0, 0);
    assert_near(a.of[MC_LATERAL][MC_MOVE_MESIAL].mean, 0.6, 1e-12);
    assert_near(a.of[MC_LATERAL][MC_MOVE_MESIAL].se, hypot(0.1, 0.2), 1e-12);
    assert_near(a.of[MC_CENTRAL][MC_MOVE_ANGULATION].mean, 0.5, 1e-12); /* before its turn */
}

/* A plan that a corrected one replaced counts too, and the corrected one, once it is over, knows
 * its beginning only as well as that was read. */
static void superseded_plans_count(void **state) {
    house *h = *state;
    mc_record *record = mc_practice_record(h->practice);
    course c = begin_course(h, "11");
    const mc_reading row = read_at(13, MC_ROTATION, 4);
    check(h, &c, 10, MC_SCAN, &row, 1);
    mc_start start = {{{0}}};
    start.variance[mc_tooth_from_iso(13)][MC_ROTATION] = 0.49;
    done(mc_record_begin(record, false, &why));
    c.info =
        (mc_plan_info){.start = day("2024-06-20"), .interval = {10, 0}, .made_from = 1, .by = "AB"};
    done(mc_record_add_plan(record, &c.kase.id, c.plan, &start, &c.info, &why));
    done(mc_record_commit(record, &why));
    mc_accuracy a = all_of(h);
    assert_int_equal(a.plans, 1);
    assert_near(a.CANINE.mean, 0.4, 1e-12);
    assert_near(a.CANINE.se, sqrt(ONE), 1e-12);
    mc_checkup_info out;
    const mc_reading later = read_at(13, MC_ROTATION, 8);
    const mc_checkup checkup = {.date = day("2024-10-01"),
                                .aligner = {10, MC_NO_ALIGNER},
                                .day = {-1, -1},
                                .wear_hours = NAN,
                                .method = MC_SCAN,
                                .rows = &later,
                                .count = 1};
    done(mc_record_begin(record, false, &why));
    done(mc_record_add_checkup(record, &c.kase.id, &c.info.id, &checkup, 1, "AB", &out, &why));
    done(mc_record_commit(record, &why));
    end_course(h, &c, false);
    a = all_of(h);
    assert_int_equal(a.plans, 2);
    assert_int_equal(a.patients, 1);
    const double second = ONE + 0.0049;
    assert_near(a.CANINE.mean, (0.4 / ONE + 0.8 / second) / (1 / ONE + 1 / second), 1e-12);
}

static void stopped_halfway_tells_what_was_read(void **state) {
    house *h = *state;
    for (int i = 0; i < 3; i++)
        ended(h, CHARTS[i], SHARES[i]);
    mc_accuracy_work *work = NULL;
    mc_accuracy a;
    size_t at = 0, total = 0;
    done(mc_accuracy_begin(h->practice, &work, &why));
    done(mc_accuracy_step(work, &at, &total, &why));
    done(mc_accuracy_step(work, &at, &total, &why));
    assert_int_equal(at, 2);
    assert_int_equal(total, 3);
    done(mc_accuracy_so_far(work, &a, &why));
    assert_int_equal(a.CANINE.patients, 2);
    done(mc_accuracy_step(work, &at, &total, &why));
    done(mc_accuracy_step(work, &at, &total, &why)); /* nothing is left */
    assert_int_equal(at, total);
    done(mc_accuracy_so_far(work, &a, &why));
    assert_int_equal(a.CANINE.patients, 3);
    mc_accuracy_free(work);
    mc_accuracy_free(NULL);
}

/* Nothing is automatic: a doctor takes over, with a reason, what rests on five patients; then it is
 * what new check-ups are scored with. */
static void a_doctor_takes_it_over(void **state) {
    house *h = *state;
    mc_settings settings;
    size_t taken = 0;
    int64_t set = 0;
    for (int i = 0; i < 4; i++)
        ended(h, CHARTS[i], SHARES[i]);
    mc_accuracy a = all_of(h);
    refused(h, "needs 5 patients", mc_accuracy_use(h->practice, &a, "ours", &taken, &set, &why));
    ended(h, CHARTS[4], SHARES[4]);
    a = all_of(h);
    refused(h, "with a reason", mc_accuracy_use(h->practice, &a, "", &taken, &set, &why));
    act_as(h, "CD");
    refused(h, "for a doctor", mc_accuracy_use(h->practice, &a, "ours", &taken, &set, &why));
    act_as(h, "AB");
    done(mc_record_settings(mc_practice_record(h->practice), NULL, &settings, NULL, &why));
    assert_true(settings.own_share[MC_CANINE][MC_MOVE_ROTATION] == 0);
    journalled(h, "own accuracy taken over",
               mc_accuracy_use(h->practice, &a, "our own canines", &taken, &set, &why));
    assert_int_equal(taken, 1);
    assert_int_equal(set, 2);
    done(mc_record_settings(mc_practice_record(h->practice), NULL, &settings, NULL, &why));
    const double mean = settings.own_share[MC_CANINE][MC_MOVE_ROTATION];
    const double se = settings.own_share_se[MC_CANINE][MC_MOVE_ROTATION];
    assert_near(mean, 0.54, 0);
    assert_near(se, a.CANINE.se, 0.00005);
    mc_accuracy after = all_of(h);
    assert_near(after.CANINE.taken, mean, 0);
    assert_near(after.CANINE.taken_se, se, 0);
    const mc_tooth canine = mc_tooth_from_iso(43);
    const double published = mc_expected_share(canine, MC_MOVE_ROTATION, NULL);
    assert_near(mc_share_for(&settings, canine, MC_MOVE_ROTATION),
                (published / 0.0225 + mean / (se * se)) / (1 / 0.0225 + 1 / (se * se)), 1e-12);
    assert_true(after.CANINE.used_low < after.CANINE.used_high + 1e-12);
    assert_true(fabs(after.CANINE.used_low - a.CANINE.used_low) > 0.001);
    mc_deed *deeds = NULL;
    size_t count = 0;
    done(mc_history(h->practice, NULL, &deeds, &count, &why));
    assert_string_equal(deeds[count - 1].sentence,
                        "own accuracy taken over for 1 movement: canine rotation 54 % (5 patients)"
                        ": our own canines");
    mc_deeds_free(deeds, count);
}

/* A mean that cannot be a share is told, not used. */
static void impossible_shares_are_not_used(void **state) {
    house *h = *state;
    for (int i = 0; i < 5; i++)
        ended(h, CHARTS[i], -0.2);
    mc_accuracy a = all_of(h);
    assert_near(a.CANINE.mean, -0.2, 1e-12);
    assert_true(!a.CANINE.can_be_used);
}

/* ---- method errors ---- */

static const mc_own_method *of_method(const mc_own_methods *all, mc_method method, bool linear) {
    return &all->of[method][!linear];
}

static void measured_from_a_list(void **state) {
    house *h = *state;
    mc_own_methods got;
    mc_pair list[24];
    double first[12], second[12];
    mc_method_error want;
    for (int i = 0; i < 12; i++) {
        first[i] = i;
        second[i] = i + (i % 3 ? 0.25 : -0.5);
        list[2 * i] = (mc_pair){MC_CALIPER, true, first[i], second[i]};
        list[2 * i + 1] = (mc_pair){MC_SCAN, false, i, i + 0.5 + 0.01 * (i % 2)};
    }
    done(mc_own_methods_measure(h->practice, list, 24, false, &got, &why));
    assert_true(mc_dahlberg(first, second, 12, &want));
    const mc_own_method *caliper = of_method(&got, MC_CALIPER, true);
    assert_string_equal(caliper->key, "caliper_mm");
    assert_int_equal(caliper->measured.pairs, 12);
    assert_near(caliper->measured.error, want.error, 0);
    assert_near(caliper->used, 0.35, 0);
    assert_int_equal(caliper->used_pairs, 0);
    assert_true(!caliper->shifted && caliper->can_be_kept);
    const mc_own_method *scan = of_method(&got, MC_SCAN, false);
    assert_string_equal(scan->key, "scan_deg");
    assert_true(scan->shifted && scan->can_be_kept);
    assert_int_equal(of_method(&got, MC_CALIPER, false)->measured.pairs, 0);
    assert_int_equal(got.pairs, 24);
}

/* Second rows of a tooth are repeated readings: two by two, of the same method, said the same way.
 */
static void measured_from_the_record(void **state) {
    house *h = *state;
    course c = begin_course(h, "11");
    mc_reading rows[] = {
        read_at(13, MC_ROTATION, 5),   read_at(13, MC_ROTATION, 7),   read_at(13, MC_ROTATION, 1),
        read_at(13, MC_ROTATION, 2),   read_at(13, MC_ROTATION, 9),   read_at(12, MC_MESIAL, 0.5),
        read_at(12, MC_MESIAL, 0.8),   read_at(23, MC_ROTATION, 1),   read_at(23, MC_ROTATION, 4),
        read_at(11, MC_ANGULATION, 1), read_at(11, MC_ANGULATION, 3), read_at(21, MC_MESIAL, 1),
        read_at(22, MC_MESIAL, 2)};
    rows[4].method = MC_EYE;                     /* 13 a fifth time, by another method */
    rows[7].short_of_plan[MC_ROTATION] = true;   /* 23 short of plan, once: no pair */
    rows[9].short_of_plan[MC_ANGULATION] = true; /* 11 short of plan twice: -1 and -3 */
    rows[10].short_of_plan[MC_ANGULATION] = true;
    check(h, &c, 5, MC_CALIPER, rows, 13);
    mc_own_methods got;
    done(mc_own_methods_measure(h->practice, NULL, 0, false, &got, &why));
    assert_int_equal(got.pairs, 0);
    done(mc_own_methods_measure(h->practice, NULL, 0, true, &got, &why));
    assert_int_equal(got.pairs, 4);
    const mc_own_method *angle = of_method(&got, MC_CALIPER, false);
    assert_int_equal(angle->measured.pairs, 3); /* +2, +1, -2 */
    assert_near(angle->measured.error, sqrt((4 + 1 + 4) / 6.0), 1e-12);
    assert_near(angle->measured.shift, 1.0 / 3, 1e-12);
    const mc_own_method *length = of_method(&got, MC_CALIPER, true);
    assert_int_equal(length->measured.pairs, 1);
    assert_near(length->measured.shift, 0.3, 1e-12);
    assert_true(!length->shifted && !length->can_be_kept);
    assert_int_equal(of_method(&got, MC_EYE, false)->measured.pairs, 0);
    const mc_pair more = {MC_CALIPER, true, 1, 1.3};
    done(mc_own_methods_measure(h->practice, &more, 1, true, &got, &why));
    assert_int_equal(of_method(&got, MC_CALIPER, true)->measured.pairs, 2);
    mc_plan_free(c.plan);
}

static void pairs_of(mc_pair *list, size_t count, mc_method method, bool linear, double d) {
    for (size_t i = 0; i < count; i++)
        list[i] = (mc_pair){method, linear, 1, 1 + (i % 2 ? d : -d)};
}

static void kept_by_a_doctor(void **state) {
    house *h = *state;
    mc_own_methods got;
    mc_settings settings;
    mc_pair list[29];
    int64_t set = 0;
    pairs_of(list, 10, MC_CALIPER, true, 0.4);
    pairs_of(list + 10, 10, MC_CALIPER, false, 2);
    pairs_of(list + 20, 9, MC_SCAN, true, 0.1); /* too few */
    done(mc_own_methods_measure(h->practice, list + 20, 9, false, &got, &why));
    refused(h, "needs 10 pairs", mc_own_methods_keep(h->practice, &got, "twice", &set, &why));
    done(mc_own_methods_measure(h->practice, list, 29, false, &got, &why));
    refused(h, "with a reason", mc_own_methods_keep(h->practice, &got, NULL, &set, &why));
    act_as(h, "CD");
    refused(h, "for a doctor", mc_own_methods_keep(h->practice, &got, "twice", &set, &why));
    act_as(h, "AB");
    journalled(h, "method errors kept",
               mc_own_methods_keep(h->practice, &got, "read twice in May", &set, &why));
    assert_int_equal(set, 2);
    done(mc_record_settings(mc_practice_record(h->practice), NULL, &settings, NULL, &why));
    assert_near(settings.caliper_mm, 0.283, 0); /* 0.4 / sqrt 2 */
    assert_near(settings.caliper_deg, 1.414, 0);
    assert_near(settings.scan_mm, 0.10, 0);
    assert_true(settings.caliper_mm_pairs == 10 && settings.caliper_deg_pairs == 10);
    assert_true(settings.scan_mm_pairs == 0);
    done(mc_own_methods_measure(h->practice, NULL, 0, false, &got, &why));
    assert_int_equal(of_method(&got, MC_CALIPER, true)->used_pairs, 10);
    mc_deed *deeds = NULL;
    size_t count = 0;
    done(mc_history(h->practice, NULL, &deeds, &count, &why));
    assert_string_equal(
        deeds[count - 1].sentence,
        "method errors measured and kept: caliper_deg 1.4 from 10 pairs, caliper_mm "
        "0.28 from 10 pairs: read twice in May");
    mc_deeds_free(deeds, count);
}

/* A figure that no reading can have refuses the whole: the same number copied, or things that were
 * not the same. */
static void figures_that_cannot_be(void **state) {
    house *h = *state;
    mc_own_methods got;
    mc_pair list[20];
    int64_t set = 0;
    pairs_of(list, 10, MC_CALIPER, true, 0.4);
    pairs_of(list + 10, 10, MC_SCAN, true, 0);
    done(mc_own_methods_measure(h->practice, list, 20, false, &got, &why));
    assert_true(!of_method(&got, MC_SCAN, true)->can_be_kept);
    refused(h, "scan_mm: 0 mm from 10 pairs cannot be",
            mc_own_methods_keep(h->practice, &got, "twice", &set, &why));
    pairs_of(list + 10, 10, MC_SCAN, true, 50);
    done(mc_own_methods_measure(h->practice, list, 20, false, &got, &why));
    refused(h, "scan_mm: 35.4 mm from 10 pairs cannot be",
            mc_own_methods_keep(h->practice, &got, "twice", &set, &why));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        acting_test(nothing_without_ended_plans),
        acting_test(pooled_over_patients),
        acting_test(one_person_counts_once),
        acting_test(which_reading_counts),
        acting_test(superseded_plans_count),
        acting_test(stopped_halfway_tells_what_was_read),
        acting_test(a_doctor_takes_it_over),
        acting_test(impossible_shares_are_not_used),
        acting_test(measured_from_a_list),
        acting_test(measured_from_the_record),
        acting_test(kept_by_a_doctor),
        acting_test(figures_that_cannot_be),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
