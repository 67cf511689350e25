/* Attachments and IPR of the old plan in the new series. */
#include "restaged.h"

#include <stdio.h>

typedef struct carried {
    mc_settings settings;
    mc_restage_ask ask;
    mc_plan *old, *plan;
    mc_restaged out;
} carried;

/* The upper arch: 20 old stages, 8 new ones by tooth 11. */
static carried carried_new(double at) {
    carried c;
    memset(&c, 0, sizeof c);
    mc_settings_defaults(&c.settings);
    c.old = mc_plan_new();
    c.ask.carry = c.old;
    c.ask.carry_at[MC_UPPER] = c.ask.carry_at[MC_LOWER] = at;
    const mc_plan_row end = {
        .tooth = mc_tooth_from_iso(11), .stage = 20, .pose = {{3.0, 0, 0, 0, 0, 0}}};
    assert_int_equal(mc_plan_add(c.old, &end, NULL), MC_OK);
    c.ask.task[end.tooth] = (mc_remaining_task){.move = true, .target = {{2.0}}};
    return c;
}

static void say(carried *c, int iso, int stage, mc_mark mark, double mesial, double distal) {
    const mc_plan_row row = {.tooth = mc_tooth_from_iso(iso),
                             .stage = stage,
                             .attachment = mark,
                             .ipr_mesial = mesial,
                             .ipr_distal = distal};
    assert_int_equal(mc_plan_add(c->old, &row, NULL), MC_OK);
}

static void run(carried *c) {
    mc_error error;
    mc_ipr_left(c->old, c->ask.carry_at, c->ask.ipr);
    if (mc_restage(&c->settings, &c->ask, &c->out, &c->plan, &error) != MC_OK) {
        fail_msg("%s", error.text);
    }
    assert_int_equal(c->out.stages[MC_UPPER], 8);
    assert_int_equal(mc_plan_stages(c->plan, MC_UPPER), 8);
}

static void done(carried *c) {
    mc_plan_free(c->old);
    mc_plan_free(c->plan);
}

/* Where the tooth's attachment is changed in the new plan: stages as "+3 -8". */
static void assert_changes(const carried *c, int iso, const char *wanted) {
    const mc_plan_row *rows;
    const size_t count = mc_plan_tooth_rows(c->plan, mc_tooth_from_iso(iso), &rows);
    char seen[200] = "";
    for (size_t i = 0; i < count; i++) {
        if (rows[i].attachment != MC_MARK_NONE) {
            const size_t length = strlen(seen);
            snprintf(seen + length, sizeof seen - length, "%s%c%d", length ? " " : "",
                     rows[i].attachment == MC_MARK_PLACED ? '+' : '-', rows[i].stage);
        }
    }
    assert_string_equal(seen, wanted);
}

static void test_attachments(void **state) {
    (void)state;
    carried c = carried_new(10);
    say(&c, 12, 2, MC_MARK_PLACED, 0, 0); /* stands */
    say(&c, 12, 20, MC_MARK_REMOVED, 0, 0);
    say(&c, 13, 2, MC_MARK_PLACED, 0, 0); /* gone again */
    say(&c, 13, 9, MC_MARK_REMOVED, 0, 0);
    say(&c, 14, 14, MC_MARK_PLACED, 0, 0);  /* 4/10 of the way left: 3.2 of 8 */
    say(&c, 14, 18, MC_MARK_REMOVED, 0, 0); /* 8/10: 6.4 of 8 */
    say(&c, 15, 11, MC_MARK_PLACED, 0, 0);  /* 0.8: not before the first aligner */
    say(&c, 16, 10, MC_MARK_PLACED, 0, 0);  /* placed just now */
    run(&c);
    assert_changes(&c, 12, "+0 -8");
    assert_changes(&c, 13, "");
    assert_changes(&c, 14, "+3 -7");
    assert_changes(&c, 15, "+1");
    assert_changes(&c, 16, "+0");
    assert_false(mc_plan_moves(c.plan, mc_tooth_from_iso(14)));
    done(&c);
}

/* On the tooth that moves, the listed stages stay on its straight way. */
static void test_attachment_on_the_way(void **state) {
    (void)state;
    carried c = carried_new(10);
    say(&c, 11, 15, MC_MARK_PLACED, 0, 0);
    run(&c);
    assert_changes(&c, 11, "+4");
    for (int k = 0; k <= 8; k++) {
        assert_near(mc_plan_at(c.plan, mc_tooth_from_iso(11), MC_MESIAL, k), 0.25 * k, 1e-12);
    }
    done(&c);
}

/* Changes that would fall on one stage take one each, and the series does not grow for them. */
static void test_crowded_changes(void **state) {
    (void)state;
    carried c = carried_new(0);
    c.ask.task[mc_tooth_from_iso(11)].target.c[MC_MESIAL] = 2.0;
    say(&c, 12, 1, MC_MARK_PLACED, 0, 0);
    say(&c, 12, 2, MC_MARK_REMOVED, 0, 0);
    say(&c, 12, 3, MC_MARK_PLACED, 0, 0);
    say(&c, 13, 18, MC_MARK_REMOVED, 0, 0);
    say(&c, 13, 19, MC_MARK_PLACED, 0, 0);
    say(&c, 13, 20, MC_MARK_REMOVED, 0, 0);
    run(&c);
    assert_changes(&c, 12, "+1 -2 +3");
    assert_changes(&c, 13, "-8");
    done(&c);
}

static void test_ipr(void **state) {
    (void)state;
    carried c = carried_new(10);
    const mc_tooth canine = mc_tooth_from_iso(13), lateral = mc_tooth_from_iso(12);
    say(&c, 13, 5, MC_MARK_NONE, 0.2, 0);
    say(&c, 13, 12, MC_MARK_NONE, 0.3, 0.1);
    say(&c, 13, 16, MC_MARK_NONE, 0.5, 0.1);
    say(&c, 12, 10, MC_MARK_NONE, 0.25, 0.25); /* due by now: nothing left */
    run(&c);
    assert_near(mc_plan_ipr(c.plan, canine, true, 0), 0, 0);
    assert_near(mc_plan_ipr(c.plan, canine, true, 1), 0.3, 1e-12);
    assert_near(mc_plan_ipr(c.plan, canine, true, 8), 0.3, 1e-12);
    assert_near(mc_plan_ipr(c.plan, canine, false, 1), 0.1, 1e-12);
    assert_near(mc_plan_ipr(c.plan, lateral, true, 8), 0, 0);
    done(&c);
}

static void test_gone_and_still(void **state) {
    (void)state;
    carried c = carried_new(10);
    say(&c, 12, 2, MC_MARK_PLACED, 0, 0);
    say(&c, 13, 14, MC_MARK_NONE, 0.2, 0.2);
    say(&c, 42, 2, MC_MARK_PLACED, 0, 0);
    c.ask.task[mc_tooth_from_iso(12)].gone = true;
    c.ask.task[mc_tooth_from_iso(13)].gone = true;
    run(&c);
    assert_changes(&c, 12, "");
    assert_near(mc_plan_ipr(c.plan, mc_tooth_from_iso(13), true, 8), 0, 0);
    assert_int_equal(c.out.stages[MC_LOWER], 0); /* no series there, so nothing to carry into */
    assert_int_equal(mc_plan_count(c.plan), 1);
    done(&c);
}

/* Not knowing the stage could put an attachment on twice; only then is it refused. */
static void test_stage_not_known(void **state) {
    (void)state;
    carried c = carried_new(NAN);
    mc_error error;
    run(&c); /* nothing to carry */
    mc_plan_free(c.plan);
    say(&c, 13, 14, MC_MARK_PLACED, 0.2, 0.2);
    assert_int_equal(mc_restage(&c.settings, &c.ask, &c.out, &c.plan, &error), MC_REFUSED);
    assert_non_null(strstr(error.text, "upper arch"));
    assert_null(c.plan);
    c.ask.carry_at[MC_UPPER] = 20; /* the old series is over */
    run(&c);
    assert_near(mc_plan_ipr(c.plan, mc_tooth_from_iso(13), true, 8), 0, 0);
    done(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_attachments),     cmocka_unit_test(test_attachment_on_the_way),
        cmocka_unit_test(test_crowded_changes), cmocka_unit_test(test_ipr),
        cmocka_unit_test(test_gone_and_still),  cmocka_unit_test(test_stage_not_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
