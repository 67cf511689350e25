/* The search over who leads against every choice there is, and where nobody has to lead. */
#include "restaged.h"

#include <stdlib.h>

#include "lead.h"

enum { TEETH = 9, CHOICES = 1 << (TEETH - 1), TRIALS = 12 };

/* Crowns on a half circle, too near the midline at the start, every second one pushed inward and
 * turned: it gets its place only as its neighbours make room. */
static mc_restage_ask crowded_ask(random_source *source) {
    static const int iso[TEETH] = {15, 14, 13, 12, 11, 21, 22, 23, 24};
    static const double degree = 3.14159265358979323846 / 180;
    mc_restage_ask ask = {.check_overlap = true};
    double reach = 0;
    for (int i = 0; i < TEETH; i++) {
        const mc_tooth tooth = mc_tooth_from_iso(iso[i]);
        const mc_tooth_size size = mc_tooth_usual_size(tooth);
        const double at = 30 + (reach + size.crown_width / 2) / 26 / degree;
        reach += size.crown_width * random_between(source, 1.0, 1.05);
        const mc_crown target = {.stands = true,
                                 .right = 26 * cos(at * degree),
                                 .anterior = 26 * sin(at * degree),
                                 .outward_deg = at,
                                 .width = size.crown_width,
                                 .thickness = size.crown_thickness};
        const double off = random_between(source, 0.5, 3);
        mc_pose back = {{fabs(at - 90) * degree * 26 * random_between(source, 0.02, 0.12),
                         i % 2 ? -off : off / 3, 0, random_between(source, -30, 30)}};
        ask.crown[tooth] = mc_crown_moved(tooth, &target, &back);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            back.c[c] = -back.c[c];
        }
        ask.task[tooth] = (mc_remaining_task){.move = true, .target = back};
        ask.ipr[tooth].mesial = (mc_ipr){random_between(source, 0, 0.5), 1};
    }
    return ask;
}

static chain *chain_for(const mc_restage_ask *ask) {
    static mc_restaged out;
    mc_settings settings;
    chain *c = malloc(sizeof *c);
    assert_non_null(c);
    mc_settings_defaults(&settings);
    memset(&out, 0, sizeof out);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        mc_restaged_tooth *of = &out.tooth[tooth];
        of->moves = ask->task[tooth].move;
        of->remaining = ask->task[tooth].target;
        if (of->moves) {
            const way w = way_of(&settings, tooth, &of->remaining, ask->task[tooth].limit);
            of->stages_needed = way_fewest(&w, &of->limited_by);
        }
    }
    chain_of(&settings, ask, &out, MC_UPPER, c);
    assert_int_equal(c->count, TEETH);
    chain_look(ask, NULL, c);
    return c;
}

static bool is_blocked(const chain *c) {
    for (int i = 0; i + 1 < c->count; i++) {
        const contact *k = &c->contact[i];
        if (k->meet && !k->by[0].possible && !k->by[1].possible) {
            return true;
        }
    }
    return false;
}

static bool leads(unsigned choice, int i, leader who) {
    return (leader)(choice >> i & 1) == who;
}

/* One choice of leaders, tooth after tooth once those it follows are done; its aligners. */
static int by_choice(const chain *c, unsigned choice, schedule its[TEETH]) {
    bool done[TEETH] = {false};
    int last = 0;
    for (int turn = 0; turn < TEETH; turn++) {
        int t = 0;
        while (
            done[t] ||
            (t > 0 && c->contact[t - 1].meet && leads(choice, t - 1, RIGHT_LEADS) &&
             !done[t - 1]) ||
            (t + 1 < TEETH && c->contact[t].meet && leads(choice, t, LEFT_LEADS) && !done[t + 1])) {
            t++;
        }
        done[t] = true;
        double at = 0;
        int stage = 0;
        its[t].lambda[0] = 0;
        its[t].last = MC_MOST_STAGES + 1;
        while (at < 1 && ++stage < 300) {
            double next = way_furthest(&c->place[t].way, at);
            if (t > 0 && c->contact[t - 1].meet && leads(choice, t - 1, RIGHT_LEADS)) {
                next = fmin(next, chain_cap(c, t - 1, RIGHT_LEADS, &its[t - 1], stage));
            }
            if (t + 1 < TEETH && c->contact[t].meet && leads(choice, t, LEFT_LEADS)) {
                next = fmin(next, chain_cap(c, t, LEFT_LEADS, &its[t + 1], stage));
            }
            at = fmax(at, next);
            its[t].lambda[stage] = at;
        }
        its[t].last = at < 1 ? MC_MOST_STAGES + 1 : stage;
        last = its[t].last > last ? its[t].last : last;
    }
    return last;
}

static bool may_be(const chain *c, unsigned choice) {
    for (int i = 0; i + 1 < TEETH; i++) {
        if (c->contact[i].meet ? !c->contact[i].by[choice >> i & 1].possible : choice >> i & 1) {
            return false; /* where they never meet there is one choice */
        }
    }
    return true;
}

/* Contacts that no crowns make: whoever leads, the other is held back by chance until the leader
 * has gone a part of its way by chance. */
static chain *chain_by_chance(random_source *source) {
    const mc_restage_ask ask = crowded_ask(source);
    chain *c = chain_for(&ask);
    for (int i = 0; i + 1 < c->count; i++) {
        contact *k = &c->contact[i];
        k->meet = random_below(source, 8) > 0;
        const int only = random_below(source, 4);
        for (int who = 0; who < 2; who++) {
            const int cells = k->mover[who].cells, opens = random_below(source, cells + 1);
            double held = random_between(source, 0, 0.3);
            k->by[who].possible = only != who;
            k->by[who].edge[0] = 1;
            for (int cell = 0; cell <= cells; cell++) {
                held = fmin(1, held + random_between(source, 0, 0.5) / cells);
                k->by[who].free_until[0][cell] = cell >= opens ? 1 : held;
            }
        }
    }
    return c;
}

static void test_every_choice(void **state) {
    (void)state;
    random_source source = random_seed(11);
    schedule *its = calloc(TEETH, sizeof *its);
    assert_non_null(its);
    int longer = 0;
    for (int trial = 0; trial < TRIALS; trial++) {
        chain *c = chain_by_chance(&source);
        int best = MC_MOST_STAGES + 1, bound = 0;
        for (unsigned choice = 0; choice < CHOICES; choice++) {
            if (may_be(c, choice)) {
                const int n = by_choice(c, choice, its);
                best = n < best ? n : best;
            }
        }
        for (int i = 0; i < TEETH; i++) {
            bound = c->place[i].needs > bound ? c->place[i].needs : bound;
        }
        lead *l = lead_new(c);
        assert_non_null(l);
        assert_int_equal(lead_fewest(l, -1), best);
        longer += best > bound;
        lead_free(l);
        free(c);
    }
    free(its);
    /* the arches are such that the choice matters */
    assert_true(longer >= TRIALS / 2);
}

/* Without a contact the two never wait for each other. */
static void test_without_a_contact(void **state) {
    (void)state;
    random_source source = random_seed(5);
    for (int trial = 0; trial < TRIALS; trial++) {
        const mc_restage_ask ask = crowded_ask(&source);
        chain *c = chain_for(&ask);
        if (!is_blocked(c)) {
            lead *l = lead_new(c);
            assert_non_null(l);
            const int whole = lead_fewest(l, -1);
            for (int i = 0; i + 1 < c->count; i++) {
                const bool meet = c->contact[i].meet;
                const int without = lead_fewest(l, i);
                c->contact[i].meet = false;
                lead *fresh = lead_new(c);
                assert_non_null(fresh);
                assert_int_equal(without, lead_fewest(fresh, -1));
                assert_true(without <= whole);
                lead_free(fresh);
                c->contact[i].meet = meet;
            }
            lead_free(l);
        }
        free(c);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_choice),
        cmocka_unit_test(test_without_a_contact),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
