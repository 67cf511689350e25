/* What must not matter does not, and more room is never worse. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "judge.h"
#include "near.h"

enum { SEED = 22 };
#ifdef __SANITIZE_ADDRESS__
enum { DRAWN = 2 };
#else
enum { DRAWN = 7 };
#endif
static const double PLENTY = 20; /* mm: crowns are in nobody's way */

static arch_run restage(const random_arch *a) {
    arch_run run = arch_restage(a);
    if (run.status != MC_OK && !run.out.blocked) {
        fail_msg("%s", run.error.text);
    }
    return run;
}

/* N, or -1 where a contact lacks room. */
static int length(const random_arch *a) {
    arch_run run = restage(a);
    const int n = run.out.blocked ? -1 : arch_stages(a, &run);
    arch_run_free(&run);
    return n;
}

static mc_tooth same(mc_tooth tooth) {
    return tooth;
}

/* Row by row the same plan, teeth under other names. */
static void assert_same_plan(const arch_run *one, const arch_run *other,
                             mc_tooth (*named)(mc_tooth), const char *kind, int number) {
    assert_int_equal(one->out.blocked, other->out.blocked);
    assert_memory_equal(one->out.stages, other->out.stages, sizeof one->out.stages);
    for (mc_tooth tooth = 0; tooth < MC_TEETH && one->plan; tooth++) {
        const mc_plan_row *rows, *others;
        const size_t count = mc_plan_tooth_rows(one->plan, tooth, &rows);
        if (mc_plan_tooth_rows(other->plan, named(tooth), &others) != count) {
            fail_msg("%s arch %d: tooth %d has %zu rows, otherwise %zu", kind, number,
                     mc_tooth_iso(tooth), count,
                     mc_plan_tooth_rows(other->plan, named(tooth), &others));
        }
        for (size_t k = 0; k < count; k++) {
            assert_int_equal(rows[k].stage, others[k].stage);
            for (int c = 0; c < MC_COMPONENTS; c++) {
                assert_near(rows[k].pose.c[c], others[k].pose.c[c], 1e-6);
            }
        }
    }
}

static void for_each_arch(void (*check)(const random_arch *a, int number)) {
    for (int kind = 0; kind < ARCH_KINDS; kind++) {
        for (int i = 0; i < DRAWN; i++) {
            random_arch a;
            arch_draw((arch_kind)kind, SEED, i, &a);
            check(&a, i);
        }
    }
}

static void check_mirror(const random_arch *a, int number) {
    const random_arch mirrored = arch_mirrored(a);
    arch_run run = restage(a), other = restage(&mirrored);
    assert_same_plan(&run, &other, mc_tooth_mirror, arch_kind_name(a->kind), number);
    assert_int_equal(run.out.contacts, other.out.contacts);
    for (size_t i = 0; i < run.out.contacts; i++) {
        const mc_restaged_contact *of = &run.out.contact[i];
        const mc_restaged_contact *to = &other.out.contact[other.out.contacts - 1 - i];
        assert_int_equal(mc_tooth_mirror(of->right), to->left);
        assert_int_equal(of->leads < 0 ? of->leads : mc_tooth_mirror(of->leads), to->leads);
        assert_int_equal(of->costs, to->costs);
        assert_near(of->missing, to->missing, 1e-6);
        assert_near(of->end, to->end, 1e-9);
    }
    arch_run_free(&run);
    arch_run_free(&other);
}

static void a_mirrored_mouth_gives_the_mirrored_plan(void **state) {
    (void)state;
    for_each_arch(check_mirror);
}

static void check_place(const random_arch *a, int number) {
    const random_arch placed = arch_placed(a, 37.3 + 11 * number, 12.5, -41);
    arch_run run = restage(a), other = restage(&placed);
    assert_same_plan(&run, &other, same, arch_kind_name(a->kind), number);
    arch_run_free(&run);
    arch_run_free(&other);
}

static void where_the_arch_lies_does_not_matter(void **state) {
    (void)state;
    for_each_arch(check_place);
}

/* The other arch of the mouth has no part in it, nor whose side of the contact is ground. */
static void check_beside(const random_arch *a, int number) {
    random_arch both, moved = *a;
    arch_draw(TOUCHING, SEED + 1, number, &both);
    if (both.arch == a->arch) {
        return;
    }
    for (int i = 0; i < a->teeth; i++) {
        const mc_tooth tooth = a->tooth[i];
        both.ask.task[tooth] = a->ask.task[tooth];
        both.ask.ipr[tooth] = a->ask.ipr[tooth];
        both.ask.crown[tooth] = a->ask.crown[tooth];
    }
    for (int i = 0; i + 1 < a->teeth; i++) {
        const double mm = arch_ipr_by(a, i, 1, 99);
        if (mm > 0 && mm == arch_ipr_by(a, i, 99, 99)) {
            const mc_tooth one = a->tooth[i], next = a->tooth[i + 1];
            *(mc_tooth_is_right(one) ? &moved.ask.ipr[one].mesial : &moved.ask.ipr[one].distal) =
                (mc_ipr){mm, 1};
            *(mc_tooth_is_right(next) ? &moved.ask.ipr[next].distal : &moved.ask.ipr[next].mesial) =
                (mc_ipr){0};
        }
    }
    arch_run run = restage(a), with = restage(&both), other = restage(&moved);
    if (run.plan && with.plan) {
        assert_int_equal(arch_stages(a, &run), arch_stages(a, &with));
    }
    assert_int_equal(arch_stages(a, &run), arch_stages(a, &other));
    assert_int_equal(run.out.blocked, other.out.blocked);
    assert_true(with.out.blocked || !run.out.blocked);
    arch_run_free(&run);
    arch_run_free(&with);
    arch_run_free(&other);
}

static void what_lies_beside_does_not_matter(void **state) {
    (void)state;
    for_each_arch(check_beside);
}

/* The contact of teeth i and i + 1 in the account; NULL where neither moves. */
static const mc_restaged_contact *contact_of(const random_arch *a, const arch_run *run, int i) {
    for (size_t k = 0; k < run->out.contacts; k++) {
        if (run->out.contact[k].right == a->tooth[i]) {
            return &run->out.contact[k];
        }
    }
    return NULL;
}

/* Nothing in anybody's way; and what one contact costs is what the series is shorter without it. */
static void check_costs(const random_arch *a, int number) {
    random_arch freed = *a;
    arch_run run = restage(a);
    for (int i = 0; i + 1 < a->teeth; i++) {
        random_arch without = *a;
        const mc_restaged_contact *of = contact_of(a, &run, i);
        arch_grant(&without, i, PLENTY);
        arch_grant(&freed, i, PLENTY);
        if (of && run.plan && (of->costs != 0 || i % 4 == number % 4)) {
            const int shorter = arch_stages(a, &run) - length(&without);
            if (shorter != of->costs) {
                fail_msg("%s arch %d: contact %d-%d costs %d, said are %d", arch_kind_name(a->kind),
                         number, mc_tooth_iso(of->right), mc_tooth_iso(of->left), shorter,
                         of->costs);
            }
        }
    }
    assert_int_equal(length(&freed), arch_bound(a, &run));
    arch_run_free(&run);
}

static void without_contacts_it_is_the_bound(void **state) {
    (void)state;
    for_each_arch(check_costs);
}

/* A thousandth of a millimetre to either side of the room that is said to be missing; with less the
 * two may yet pass in turns. */
static int blocked_seen, by_target_seen;
static void check_missing(const random_arch *a, int number) {
    static const double MORE = 1e-6, LESS = 1e-3;
    arch_run run = restage(a);
    for (int i = 0; i + 1 < a->teeth; i++) {
        const mc_restaged_contact *of = contact_of(a, &run, i);
        if (!of || of->missing <= 0) {
            continue;
        }
        random_arch enough = *a, little = *a;
        arch_grant(&enough, i, of->missing + MORE);
        arch_grant(&little, i, fmax(0, of->missing - LESS));
        arch_run then = restage(&enough), still = restage(&little);
        if (contact_of(a, &then, i)->missing != 0 ||
            (of->missing > LESS && contact_of(a, &still, i)->missing <= 0 &&
             !contact_of(a, &still, i)->in_turns)) {
            fail_msg("%s arch %d: contact %d-%d lacks %.9f (target overlaps: %d); with it %.9f, "
                     "with less %.9f",
                     arch_kind_name(a->kind), number, mc_tooth_iso(of->right),
                     mc_tooth_iso(of->left), of->missing, of->target_overlaps,
                     contact_of(a, &then, i)->missing, contact_of(a, &still, i)->missing);
        }
        blocked_seen++;
        by_target_seen += of->target_overlaps;
        arch_run_free(&then);
        arch_run_free(&still);
    }
    arch_run_free(&run);
}

static void the_missing_room_unblocks_and_less_does_not(void **state) {
    (void)state;
    blocked_seen = by_target_seen = 0;
    for_each_arch(check_missing);
    print_message("%d blocked contacts, %d by their target\n", blocked_seen, by_target_seen);
    assert_true(blocked_seen > by_target_seen);
}

static void check_growth(const random_arch *a, int number) {
    random_source random = random_seed((uint64_t)number);
    random_arch more = *a;
    int before = length(a);
    for (int k = 0; k < 4; k++) {
        arch_grant(&more, random_below(&random, a->teeth - 1), random_between(&random, 0.05, 0.5));
        const int after = length(&more);
        if (before >= 0 && (after < 0 || after > before)) {
            fail_msg("%s arch %d: %d aligners, with more IPR %d", arch_kind_name(a->kind), number,
                     before, after);
        }
        before = after;
    }
}

static void more_ipr_is_never_longer(void **state) {
    (void)state;
    for_each_arch(check_growth);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_mirrored_mouth_gives_the_mirrored_plan),
        cmocka_unit_test(where_the_arch_lies_does_not_matter),
        cmocka_unit_test(what_lies_beside_does_not_matter),
        cmocka_unit_test(without_contacts_it_is_the_bound),
        cmocka_unit_test(the_missing_room_unblocks_and_less_does_not),
        cmocka_unit_test(more_ipr_is_never_longer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
