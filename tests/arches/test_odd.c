/* Bad and odd mouths: refused with a word and nothing changed, or taken as they are. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "judge.h"
#include "near.h"

static const mc_pose STILL = {{0}};

static random_arch empty(void) {
    random_arch a;
    memset(&a, 0, sizeof a);
    a.ask.check_overlap = true;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        a.ask.task[tooth].gone = true;
    }
    return a;
}

/* One more to the patient's left: a crown 6 mm wide at a place in a straight row. */
static void stands(random_arch *a, int iso, double right, mc_pose remaining) {
    const mc_tooth tooth = mc_tooth_from_iso(iso);
    a->arch = mc_tooth_arch(tooth);
    a->tooth[a->teeth++] = tooth;
    a->remaining[tooth] = remaining;
    a->ask.task[tooth] = (mc_remaining_task){.move = true, .target = remaining};
    a->ask.crown[tooth] =
        (mc_crown){.stands = true, .right = right, .outward_deg = 90, .width = 6, .thickness = 6};
}

static void must_stay(random_arch *a, int iso) {
    a->ask.task[mc_tooth_from_iso(iso)].move = false;
}

static mc_pose along(double mesial) {
    return (mc_pose){{mesial}};
}

static mc_pose out_by(double buccal) {
    return (mc_pose){{0, buccal}};
}

/* A series without a fault; N. */
static int good(const random_arch *a) {
    arch_run run = arch_restage(a);
    const fault found = arch_judge(a, &run);
    if (run.status != MC_OK || found.text[0]) {
        fail_msg("%s%s", run.error.text, found.text);
    }
    const int n = arch_stages(a, &run);
    arch_run_free(&run);
    return n;
}

/* No series; an account without a fault. Returns the contact that lacks most room. */
static mc_restaged_contact blocked(const random_arch *a) {
    arch_run run = arch_restage(a);
    const fault found = arch_judge(a, &run);
    assert_true(run.out.blocked);
    assert_string_equal(found.text, "");
    assert_null(run.plan);
    mc_restaged_contact most = run.out.contact[0];
    for (size_t i = 1; i < run.out.contacts; i++) {
        most = run.out.contact[i].missing > most.missing ? run.out.contact[i] : most;
    }
    char words[8];
    (void)snprintf(words, sizeof words, "%d", mc_tooth_iso(most.right));
    assert_non_null(strstr(run.error.text, words));
    (void)snprintf(words, sizeof words, "%d", mc_tooth_iso(most.left));
    assert_non_null(strstr(run.error.text, words));
    return most;
}

/* Refused, naming the tooth, and nothing given. */
static void refused(const random_arch *a, int iso) {
    arch_run run = arch_restage(a);
    mc_restaged none;
    char word[8];
    memset(&none, 0, sizeof none);
    (void)snprintf(word, sizeof word, "%d", iso);
    assert_int_equal(run.status, MC_REFUSED);
    assert_null(run.plan);
    assert_memory_equal(&run.out, &none, sizeof none);
    if (!strstr(run.error.text, word)) {
        fail_msg("\"%s\" does not name %d", run.error.text, iso);
    }
}

static void no_tooth(void **state) {
    (void)state;
    const random_arch a = empty();
    arch_run run = arch_restage(&a);
    assert_int_equal(run.status, MC_OK);
    assert_non_null(run.plan);
    assert_int_equal(run.out.stages[MC_UPPER] + run.out.stages[MC_LOWER], 0);
    assert_int_equal(run.out.contacts, 0);
    assert_int_equal(mc_plan_count(run.plan), 0);
    arch_run_free(&run);
}

static void one_tooth(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 36, 0, along(1));
    assert_int_equal(good(&a), 4);
}

static void nobody_moves(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 13, 3, along(1));
    stands(&a, 12, -3, out_by(1));
    must_stay(&a, 13);
    must_stay(&a, 12);
    arch_run run = arch_restage(&a);
    assert_int_equal(run.status, MC_OK);
    assert_int_equal(arch_stages(&a, &run), 0);
    assert_int_equal(run.out.contacts, 0);
    arch_run_free(&run);
}

/* All in one place, going apart; and all staying in it but one. */
static void crowns_at_one_point(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 13, 0, along(-5));
    stands(&a, 12, 0, along(0.5));
    stands(&a, 11, 0, along(6));
    assert_int_equal(good(&a), 24);
    random_arch b = empty();
    stands(&b, 13, 0, along(1));
    stands(&b, 12, 0, along(1));
    stands(&b, 11, 0, along(1));
    assert_int_equal(good(&b), 4);
}

static void crowns_without_size(void **state) {
    (void)state;
    static const double sizes[] = {0, -1, NAN, INFINITY, -0.0};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        random_arch a = empty();
        stands(&a, 14, 3, along(1));
        stands(&a, 13, -6, along(1));
        a.ask.crown[a.tooth[1]].width = sizes[i];
        refused(&a, 13);
        a.ask.crown[a.tooth[1]].width = 6;
        a.ask.crown[a.tooth[0]].thickness = sizes[i];
        refused(&a, 14);
        a.ask.check_overlap = false;
        arch_run run = arch_restage(&a);
        assert_int_equal(run.status, MC_OK);
        assert_false(run.out.overlap_checked);
        assert_int_equal(run.out.contacts, 0);
        arch_run_free(&run);
    }
}

static void numbers_that_are_none(void **state) {
    (void)state;
    static const double odd[] = {NAN, INFINITY, -INFINITY};
    for (size_t i = 0; i < sizeof odd / sizeof *odd; i++) {
        random_arch a = empty();
        stands(&a, 44, 3, along(1));
        stands(&a, 43, -6, along(1));
        mc_crown *const crown = &a.ask.crown[a.tooth[1]];
        double *const fields[] = {&crown->right,
                                  &crown->anterior,
                                  &crown->outward_deg,
                                  &crown->turned_deg,
                                  &a.ask.task[a.tooth[1]].target.c[MC_BUCCAL],
                                  &a.ask.task[a.tooth[1]].limit[MC_MESIAL],
                                  &a.ask.ipr[a.tooth[1]].mesial.mm};
        for (size_t k = 0; k < sizeof fields / sizeof *fields; k++) {
            const double was = *fields[k];
            *fields[k] = odd[i];
            refused(&a, 43);
            *fields[k] = was;
        }
        good(&a);
    }
}

/* Behind one another, as long as a series may be; and longer. */
static void very_long_ways(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 13, 6, along(249.75));
    stands(&a, 12, 0, along(249.75));
    assert_int_equal(good(&a), 999);
    a.remaining[a.tooth[1]] = a.ask.task[a.tooth[1]].target = along(250);
    refused(&a, 12);
}

/* Each alone may be done in time, but the second has to wait for the first. */
static void too_long_by_waiting(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 13, 6, along(150));
    stands(&a, 12, 0, out_by(150));
    a.ask.crown[a.tooth[1]].thickness = 240;
    arch_run run = arch_restage(&a);
    assert_int_equal(run.status, MC_REFUSED);
    assert_null(run.plan);
    assert_true(strlen(run.error.text) > 20);
}

static void a_tooth_that_must_stay_is_in_the_way(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 14, 12, along(6));
    stands(&a, 13, 3, STILL);
    must_stay(&a, 13);
    stands(&a, 12, -9, along(-6));
    const mc_restaged_contact of = blocked(&a);
    assert_true(of.target_overlaps);
    assert_near(of.missing, 3 - 0.05, 1e-6);
    a.remaining[a.tooth[0]] = a.ask.task[a.tooth[0]].target = along(3);
    a.remaining[a.tooth[2]] = a.ask.task[a.tooth[2]].target = along(-6.05);
    assert_int_equal(good(&a), 25);
}

/* It would end well, but the one that stays stands between. */
static void past_a_tooth_that_must_stay(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 13, 0, (mc_pose){{0, 16}});
    stands(&a, 12, 0, STILL);
    must_stay(&a, 12);
    a.ask.crown[a.tooth[0]].anterior = -8;
    const mc_restaged_contact of = blocked(&a);
    assert_false(of.target_overlaps);
    assert_near(of.missing, 6 - 0.05, 1e-6);
}

/* A hair's breadth and less. */
static void tiny_ways(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 13, 3, along(1e-8));
    stands(&a, 12, -3, along(1e-10));
    assert_int_equal(good(&a), 1);
    random_arch b = empty();
    stands(&b, 13, 3, along(0.05));
    stands(&b, 12, -3, STILL);
    assert_int_equal(good(&b), 1);
    b.remaining[b.tooth[0]] = b.ask.task[b.tooth[0]].target = along(0.0500001);
    assert_near(blocked(&b).missing, 1e-7, 2e-9);
}

/* Room counts from what touch and IPR allow: first they have to reach the overlap of the start. */
static void what_overlaps_at_the_start(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 13, 5.8, along(0.06));
    stands(&a, 12, 0, STILL);
    const mc_restaged_contact of = blocked(&a);
    assert_near(of.allowed, 0.2, 1e-9);
    assert_near(of.missing, 0.26 - 0.05, 1e-6);
    random_arch little = a;
    arch_grant(&little, 0, of.missing - 1e-5);
    blocked(&little);
    arch_grant(&a, 0, of.missing + 1e-6);
    assert_int_equal(good(&a), 1);
}

/* IPR asked for a stage that the series does not have is done before its last. */
static void ipr_beyond_the_series(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 13, 7, along(1));
    stands(&a, 12, 0, STILL);
    a.ask.ipr[a.tooth[0]].mesial = (mc_ipr){0.3, 50};
    assert_int_equal(good(&a), 4);
    arch_run run = arch_restage(&a);
    assert_near(run.out.contact[0].allowed, 0.35, 1e-12);
    arch_run_free(&run);
}

static void deciduous_teeth(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 54, 6, along(1));
    stands(&a, 53, 0, along(1));
    stands(&a, 12, -7, along(0.5));
    stands(&a, 11, -13.5, STILL);
    assert_int_equal(good(&a), 4);
    a.remaining[a.tooth[2]] = a.ask.task[a.tooth[2]].target = along(-0.5);
    assert_near(blocked(&a).missing, 0.45, 1e-6);
}

/* A tooth whose crown is not known is in nobody's way, nor is anybody in its. */
static void moves_without_a_crown(void **state) {
    (void)state;
    random_arch a = empty();
    stands(&a, 13, 3, along(1));
    stands(&a, 12, -3, along(-2));
    a.ask.crown[a.tooth[0]].stands = false;
    arch_run run = arch_restage(&a);
    if (run.status == MC_OK) {
        assert_int_equal(arch_stages(&a, &run), 8);
        assert_int_equal(run.out.contacts, 0);
    } else {
        assert_non_null(strstr(run.error.text, "13"));
    }
    arch_run_free(&run);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_tooth),
        cmocka_unit_test(one_tooth),
        cmocka_unit_test(nobody_moves),
        cmocka_unit_test(crowns_at_one_point),
        cmocka_unit_test(crowns_without_size),
        cmocka_unit_test(numbers_that_are_none),
        cmocka_unit_test(very_long_ways),
        cmocka_unit_test(too_long_by_waiting),
        cmocka_unit_test(a_tooth_that_must_stay_is_in_the_way),
        cmocka_unit_test(past_a_tooth_that_must_stay),
        cmocka_unit_test(tiny_ways),
        cmocka_unit_test(what_overlaps_at_the_start),
        cmocka_unit_test(ipr_beyond_the_series),
        cmocka_unit_test(deciduous_teeth),
        cmocka_unit_test(moves_without_a_crown),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
