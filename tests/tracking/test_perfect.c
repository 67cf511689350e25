/* A mouth that tracks perfectly is left alone: every tooth stands exactly where its plan says, the
 * readings have the caliper's noise, and of 100 teeth 99 are on plan or slipping. Invented mouths.
 */
#include "mouth.h"
#include "random.h"

enum { STAGES = 24, MOUTHS = 60, ROWS = 28 };

/* Gamma distributed of shape 2: the sum of two exponentials. */
static double gamma_of_two(random_source *random, double mean) {
    return -mean / 2 * (log(1 - random_unit(random)) + log(1 - random_unit(random)));
}

/* Each component of each tooth planned with probability 0.55, straight, 1 mm or 8 deg in the mean,
 * either way. */
static void plan_mouth(random_source *random, mouth *m) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        mc_pose end = {{0}};
        if (m->states[t] != MC_TOOTH_PRESENT)
            continue;
        for (int c = 0; c < MC_COMPONENTS; c++)
            if (random_unit(random) < 0.55)
                end.c[c] = gamma_of_two(random, mc_component_is_linear((mc_component)c) ? 1 : 8) *
                           (random_unit(random) < 0.5 ? -1 : 1);
        mouth_plan(m, mc_tooth_iso(t), STAGES, end);
    }
}

/* Every planned component read by caliper where it is planned to be, seat gap 0. */
static void read_mouth(random_source *random, mouth *m, int stage) {
    mc_reading rows[ROWS];
    size_t count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (m->states[t] != MC_TOOTH_PRESENT)
            continue;
        mc_reading *r = &rows[count++];
        *r = mc_reading_none(t);
        r->seat_gap = 0;
        for (int i = 0; i < MC_COMPONENTS; i++) {
            mc_component c = (mc_component)i;
            if (mc_plan_extreme(m->plan, t, c) != 0)
                r->value[c] = mc_plan_at(m->plan, t, c, stage) +
                              (mc_component_is_linear(c) ? 0.35 : 3) * random_normal(random);
        }
    }
    mouth_checkup(m, stage, MC_CALIPER, rows, count);
}

/* Teeth that one look at the readings alone would call off: any of them a tolerance from the plan.
 */
static long count_raw(const mc_score *score) {
    long off = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        bool any = false;
        for (int c = 0; c < MC_COMPONENTS; c++)
            any = any || (score->tooth[t].item[c].read && score->tooth[t].item[c].raw_index >= 1);
        off += any;
    }
    return off;
}

typedef struct {
    long state[MC_STATES], all, raw;
} counts;

/* Check-ups at every `step` stages up to `last`. Teeth by state over all check-ups and mouths. */
static counts count_states(uint64_t seed, int step, int last) {
    counts count = {{0}, 0, 0};
    random_source random = random_seed(seed);
    for (int n = 0; n < MOUTHS; n++) {
        mouth m = mouth_new();
        plan_mouth(&random, &m);
        mouth_begin(&m);
        for (int stage = step; stage <= last; stage += step) {
            read_mouth(&random, &m, stage);
            for (int s = 0; s < MC_STATES; s++)
                count.state[s] += m.score->count[s];
            count.all += m.score->present_count;
            count.raw += count_raw(m.score);
        }
        mouth_free(&m);
    }
    return count;
}

static void assert_left_alone(uint64_t seed, int step, int last) {
    counts count = count_states(seed, step, last);
    double all = (double)count.all, raw = (double)count.raw / all;
    double alone = (double)(count.state[MC_STATE_ON_PLAN] + count.state[MC_STATE_SLIPPING]) / all;
    print_message("check-ups every %d stages to %d, %ld teeth: %.3f %% on plan or slipping "
                  "(by the readings alone %.1f %% would be off)\n",
                  step, last, count.all, 100 * alone, 100 * raw);
    for (int s = 0; s < MC_STATES; s++)
        print_message("  %-10s %7.3f %%\n", mc_state_name((mc_state)s),
                      100 * (double)count.state[s] / all);
    assert_int_equal(count.state[MC_STATE_UNMEASURED] + count.state[MC_STATE_SEATED], 0);
    assert_true(raw >= 0.5);
    assert_true(alone >= 0.99);
}

static void checkups_at_4_8_and_12(void **state) {
    (void)state;
    assert_left_alone(3, 4, 12);
}

static void a_checkup_at_every_stage(void **state) {
    (void)state;
    assert_left_alone(4, 1, STAGES);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(checkups_at_4_8_and_12),
        cmocka_unit_test(a_checkup_at_every_stage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
