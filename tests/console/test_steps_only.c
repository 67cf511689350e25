/* Readings that people can take: a baseline of spaces and steps at aligner 0, and weeks later steps
 * alone, with a caliper, on three teeth. The one that has not followed is named, and by how much;
 * the two beside it are not. Invented people and teeth. */
#include "run.h"

#include "pty.h"

#include "midcourse/practice.h"

#include <math.h>

#define ESC "\033"
#define CTRL_Q "\021"

/* Until stage 10, 12 is to come out by 1.5 mm and 11 to go in by 0.5 mm. */
static const char PLAN[] = "tooth,stage,mesial_mm,buccal_mm\n"
                           "12,20,0.4,3\n"
                           "11,20,0,-1\n"
                           "42,20,0,0.5\n";
static const double PLANNED = 1.5, CAME = 0.3;

typedef struct visit {
    const char *who, *today;
} visit;

static void play(void *context) {
    const visit *v = context;
    setenv("MIDCOURSE_TODAY", v->today, 1);
    execl(PROGRAM, "midcourse", "--db", "practice.db", "--as", v->who, (char *)NULL);
    _exit(98);
}

static pty at_form(const char *today) {
    visit v = {"CD", today};
    pty p = pty_start((pty_setting){.rows = 24, .cols = 80}, play, &v);
    pty_await(&p, "open case");
    pty_keys(&p, "2001\re");
    pty_await(&p, "being entered");
    return p;
}

static void press(pty *p, const char *keys, const char *comes) {
    pty_keys(p, keys);
    pty_await(p, comes);
}

static void complete(pty *p, const char *says) {
    press(p, "e", "to be completed");
    press(p, "y", says);
}

static void get_up(pty *p) {
    pty_keys(p, CTRL_Q);
    pty_ended_well(p);
}

static void make_practice(void) {
    write_text("doctor", "slow river stones\n");
    write_text("helper", "grey morning kettle\n");
    write_text("plan.csv", PLAN);
    setenv("MIDCOURSE_DB", "practice.db", 1);
    setenv("MIDCOURSE_TODAY", "2026-06-01", 1);
    assert_run(0, "first doctor, AB", "midcourse init --doctor AB --new-passphrase-fd 3 3<doctor");
    assert_run(0, "Added CD, assistant",
               "midcourse --as AB staff add CD --role assistant --new-passphrase-fd 3 3<helper");
    assert_run(0, "Opened case 2001",
               "midcourse --as AB case new --chart 2001 --name 'Larkspur, Odile' --born 1999-02-03 "
               "--missing 18,28,38,48");
    assert_run(0, "plan 1 imported",
               "midcourse --as AB plan import 2001 plan.csv --start 2026-06-01 --accept-warnings");
}

/* Tooth after tooth along the mouth: spaces and steps; Enter passes over what is not read. */
static void read_the_baseline(void) {
    pty p = at_form("2026-06-01");
    press(&p, "k0\r\r0\r", "Lower aligner 0");
    press(&p, "ft13v", "This is the baseline.");
    press(&p, "0\r0\r1.2\r0.3\r", "13 step to 14 +0.30 mm labial; kept as the baseline.");
    press(&p, "\r\r\r", "Skipped; next 12.");
    press(&p, "0.40\r0\r-1.6\r-1.2\r", "12 step to 13 -1.20 mm palatal; kept as the baseline.");
    press(&p, "\r\r\r", "Skipped; next 11.");
    press(&p, "0\r0.40\r0\r1.6\r", "11 step to 12 +1.60 mm labial; kept as the baseline.");
    complete(&p, "Check-up 1 is completed");
    get_up(&p);
}

/* What a caliper reads where 12 came by CAME, and all the rest stands where it should. */
static void read_steps_alone(void) {
    char keys[40];
    pty p = at_form("2026-10-09");
    press(&p, "t12vv", "12 step to 11: mm; + labial, - palatal. By plan +0.40.");
    snprintf(keys, sizeof keys, "%.2f\r%.2f\r", -1.6 + 0.5 + CAME, -1.2 + CAME);
    press(&p, keys, "12 step to 13 -0.90 mm palatal");
    press(&p, "t11", "11 step to 21: mm; + labial, - palatal. By plan -0.50.");
    snprintf(keys, sizeof keys, "-0.5\r%.2f\r", 1.6 - 0.5 - CAME);
    press(&p, keys, "11 step to 12 +0.80 mm labial");
    press(&p, "t13", "13 step to 12: mm; + labial, - palatal. By plan -0.30.");
    snprintf(keys, sizeof keys, "%.2f\r0.3\r", 1.2 - CAME);
    press(&p, keys, "13 step to 14 +0.30 mm");
    complete(&p, "Check-up 2 is completed");
    assert_true(pty_find(&p, "12 upper right lateral incisor") == 10); /* the worst */
    assert_true(pty_find(&p, "behind") >= 0);
    assert_true(pty_find(&p, "labial to go") > 0);
    get_up(&p);
}

static void shortfall_is_named(void) {
    mc_practice *practice = NULL;
    mc_assessment *a = NULL;
    mc_case kase;
    mc_error error = {0};
    mc_day day = 0;
    assert_true(mc_day_parse("2026-10-09", &day));
    if (mc_practice_open("practice.db", day, &practice, &error) != MC_OK ||
        mc_case_find(practice, "2001", &kase, &error) != MC_OK ||
        mc_assess(practice, &kase, 0, false, &a, &error) != MC_OK)
        fail_msg("%s", error.text);
    const mc_tooth_score *late = &a->score->tooth[mc_tooth_from_iso(12)];
    const mc_item *buccal = &late->item[MC_BUCCAL];
    assert_int_equal(late->state, MC_STATE_BEHIND);
    assert_int_equal(late->worst, MC_BUCCAL);
    assert_int_equal(a->score->worst, mc_tooth_from_iso(12));
    assert_true(buccal->read);
    assert_true(fabs(buccal->planned - PLANNED) < 1e-9);
    assert_true(fabs(buccal->observed - CAME) < 0.25);
    assert_true(buccal->shortfall > 0.8 && buccal->shortfall < PLANNED - CAME + 0.1);
    assert_false(late->item[MC_MESIAL].read); /* no space was read today */
    for (int iso = 11; iso <= 13; iso += 2)
        assert_int_not_equal(a->score->tooth[mc_tooth_from_iso(iso)].state, MC_STATE_BEHIND);
    assert_int_equal(a->score->count[MC_STATE_BEHIND], 1);
    mc_assessment_free(a);
    mc_practice_close(practice);
    assert_run(0, "12", "midcourse score 2001");
}

static void steps_alone_name_the_tooth_that_has_not_followed(void **state) {
    (void)state;
    run_begin();
    make_practice();
    read_the_baseline();
    read_steps_alone();
    shortfall_is_named();
    run_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_alone_name_the_tooth_that_has_not_followed)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
