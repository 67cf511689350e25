/* From readings to the proposal: mouths followed and scored by the tracker. */
#include "midcourse/decision.h"
#include "mouth.h"
#include "random.h"

enum { CHECKUPS = 3 };

/* A mouth whose earlier scores are kept. */
typedef struct story {
    mouth m;
    mc_score *scores[CHECKUPS];
    mc_earlier earlier[CHECKUPS];
    mc_situation situation;
    mc_proposal proposal;
} story;

static story *story_new(void) {
    story *s = calloc(1, sizeof *s);
    assert_non_null(s);
    s->m = mouth_new();
    return s;
}

static void story_free(story *s) {
    for (int i = 0; i < CHECKUPS; i++) {
        free(s->scores[i]);
    }
    mouth_free(&s->m);
    free(s);
}

/* One more check-up, judged. */
static int judge(story *s, int aligner, mc_method method, const mc_reading *rows, size_t count) {
    const int n = s->m.number;
    const mc_score *now = mouth_checkup(&s->m, aligner, method, rows, count);
    s->scores[n] = malloc(sizeof *now);
    assert_non_null(s->scores[n]);
    memcpy(s->scores[n], now, sizeof *now);
    s->situation = (mc_situation){.settings = &s->m.settings,
                                  .plan = s->m.plan,
                                  .score = s->scores[n],
                                  .states = s->m.states,
                                  .earlier = s->earlier,
                                  .earlier_count = (size_t)n,
                                  .earlier_on_plan = (size_t)n,
                                  .interval = {14, 14},
                                  .overjet_above_plan = NAN};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        s->situation.baseline_mobility[tooth] = -1;
        s->situation.baseline_recession[tooth] = NAN;
    }
    s->earlier[n].score = s->scores[n];
    mc_propose(&s->situation, &s->proposal);
    return s->proposal.rule;
}

/* Every tooth present goes 2 mm buccally in 20 stages; 12 also turns by 20 deg. */
static story *aligned_story(void) {
    story *s = story_new();
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (s->m.states[tooth] == MC_TOOTH_PRESENT) {
            const int iso = mc_tooth_iso(tooth);
            mouth_plan(&s->m, iso, 20, (mc_pose){{0, 2, 0, iso == 12 ? 20 : 0, 0, 0}});
        }
    }
    mouth_begin(&s->m);
    return s;
}

/* The whole mouth read by scan where the plan has it, but 12's rotation `behind` deg short. */
static int scan(story *s, int aligner, double behind) {
    mc_reading rows[MC_TEETH];
    size_t count = 0;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (s->m.states[tooth] == MC_TOOTH_PRESENT) {
            mc_reading row = mc_reading_none(tooth);
            row.seat_gap = 0;
            row.value[MC_BUCCAL] = mc_plan_at(s->m.plan, tooth, MC_BUCCAL, aligner);
            if (mc_tooth_iso(tooth) == 12) {
                row.value[MC_ROTATION] =
                    mc_plan_at(s->m.plan, tooth, MC_ROTATION, aligner) - behind;
            }
            rows[count++] = row;
        }
    }
    return judge(s, aligner, MC_SCAN, rows, count);
}

static void test_on_plan(void **state) {
    (void)state;
    story *s = aligned_story();
    assert_int_equal(scan(s, 4, 0), 11);
    assert_int_equal(scan(s, 8, 0.3), 11);
    assert_int_equal(s->proposal.choice, MC_PROPOSE_CARRY_ON);
    assert_int_equal(scan(s, 18, 0), 11);
    assert_int_equal(s->proposal.choice, MC_PROPOSE_FINISH);
    story_free(s);
}

/* A tooth that falls behind and stays so: at first in sight, then local measures, then a
 * correction. */
static void test_tooth_falls_behind(void **state) {
    (void)state;
    story *s = aligned_story();
    assert_int_equal(scan(s, 4, 2.5), 11);
    assert_non_null(strstr(s->proposal.sentence, "12 slipping"));
    assert_int_equal(scan(s, 8, 4.5), 9);
    assert_int_equal(s->proposal.count, 1);
    assert_int_equal(mc_tooth_iso(s->proposal.teeth[0]), 12);
    assert_int_equal(scan(s, 12, 8), 8);
    assert_int_equal(mc_tooth_iso(s->proposal.teeth[0]), 12);
    story_free(s);
}

/* Half way, only the worst tooth was read: the other teeth come first. */
static void test_one_tooth_read(void **state) {
    (void)state;
    story *s = aligned_story();
    const mc_reading row = mouth_reading(12, MC_ROTATION, 3);
    assert_int_equal(judge(s, 10, MC_CALIPER, &row, 1), 7);
    assert_int_equal(s->proposal.count, 6);
    for (size_t i = 0; i < s->proposal.count; i++) {
        assert_int_not_equal(mc_tooth_iso(s->proposal.teeth[i]), 12);
    }
    assert_int_equal(mc_tooth_iso(s->proposal.teeth[0]), 22); /* weighs most of those alike */
    story_free(s);
}

static void test_nothing_said(void **state) {
    (void)state;
    story *s = aligned_story();
    assert_int_equal(judge(s, 2, MC_CALIPER, NULL, 0), 11);
    assert_non_null(strstr(s->proposal.sentence, "Nothing was measured"));
    assert_int_equal(judge(s, 12, MC_CALIPER, NULL, 0), 7);
    assert_non_null(strstr(s->proposal.sentence, "Nothing was measured"));
    story_free(s);
}

/* Mouths that follow exactly, read with the method's noise: hardly ever called past plan or to be
 * corrected. */
static void test_perfect_mouths(void **state) {
    (void)state;
    random_source source = random_seed(51);
    int alarms = 0, judged = 0;
    for (int i = 0; i < 100; i++) {
        story *s = aligned_story();
        for (int k = 0; k < CHECKUPS; k++) {
            const int aligner = 5 * (k + 1);
            mc_reading rows[MC_TEETH];
            size_t count = 0;
            for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
                if (s->m.states[tooth] == MC_TOOTH_PRESENT) {
                    rows[count++] = mouth_reading(mc_tooth_iso(tooth), MC_BUCCAL,
                                                  mc_plan_at(s->m.plan, tooth, MC_BUCCAL, aligner) +
                                                      0.35 * random_normal(&source));
                }
            }
            const int decides = judge(s, aligner, MC_CALIPER, rows, count);
            alarms += decides == 5 || decides == 8;
            judged++;
        }
        story_free(s);
    }
    if (alarms * 50 >= judged) {
        fail_msg("%d alarms in %d check-ups", alarms, judged);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_on_plan),        cmocka_unit_test(test_tooth_falls_behind),
        cmocka_unit_test(test_one_tooth_read), cmocka_unit_test(test_nothing_said),
        cmocka_unit_test(test_perfect_mouths),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
