/* The practice screen on the demo: own accuracy beside what is published, method errors, and a
 * doctor who takes them over. */
#include "demo.h"
#include "pty.h"

#include "midcourse/console.h"

#define ESC "\033"
#define CTRL_P "\020"
#define CTRL_Q "\021"
#define F5 "\033[15~"
#define F8 "\033[19~"
#define DOWN "\033OB"
#define END "\033OF"
#define HOME "\033OH"
#define ENTER "\r"

static char record[100];

typedef struct {
    const char *who;
} actor;

static void play(void *context) {
    const actor *a = context;
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_status status = mc_practice_open(record, today(), &practice, &error);
    if (status == MC_OK && a->who)
        status = mc_practice_act_as(practice, a->who, &error);
    if (status == MC_OK)
        status = mc_console_run(practice, NULL, "", &error);
    mc_practice_close(practice);
    _exit((int)status);
}

static const pty_setting SMALL = {.rows = 24, .cols = 80};

static int fresh(void **state) {
    (void)state;
    snprintf(record, sizeof record, "%s/practice.db", folder);
    copy_demo(record);
    return 0;
}

/* The screen, all plans read. */
static pty at_practice(pty_setting setting, const char *who) {
    actor a = {who};
    pty p = pty_start(setting, play, &a);
    pty_await(&p, "16 open cases");
    pty_keys(&p, F8);
    pty_await(&p, "8 ended plans, 8 patients");
    return p;
}

static void leave(pty *p) {
    pty_keys(p, CTRL_Q);
    pty_ended_well(p);
}

static mc_settings settings_now(int64_t *set) {
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_settings out = {0};
    assert_int_equal(mc_practice_open(record, today(), &practice, &error), MC_OK);
    assert_int_equal(mc_record_settings(mc_practice_record(practice), NULL, &out, set, &error),
                     MC_OK);
    mc_practice_close(practice);
    return out;
}

/* ---- what it shows ---- */

static void own_beside_published(void **state) {
    (void)state;
    static const char *const expected[] = {
        " Practice: own accuracy and method errors             not signed in  2026-03-02",
        " Achieved by own plans, % of what was planned         8 ended plans, 8 patients",
        " tooth           movement   patients  own  ±SE   SD  published used now",
        " central         buccal            3  109   11    0         61       61  too few",
        " central         lingual           3  100   13   13         47       47  too few",
        " central         rotation          8   89    4    0      66-96    66-96  ready",
        " lateral         buccal            8   87    7   12         61       61  ready",
        " lateral         lingual           1   86   25    0         47       47  too few",
        " lateral         extrusion         7   36   12   13         30       30  ready",
        " lateral         rotation          8   70    5    3         66       66  ready",
        " canine          rotation          8   69    4    0      49-57    49-57  ready",
        " first premolar  rotation          6   70    7    0      50-57    50-57  ready",
        "",
        " Central buccal: 109 % of what was planned, in 6 readings of 3 patients;",
        " published 61 %, used now 61 %. Five patients are needed.",
        "",
        " error of one reading        mm rests on             deg rests on",
        " eye                      0.500 assumed             5.00 assumed",
        " caliper, protractor      0.350 assumed             3.00 assumed",
        " photograph               0.150 assumed             1.50 assumed",
        " landmarks                0.150 assumed             1.50 assumed",
        " scan                     0.100 assumed             0.70 assumed",
        " 1 more below",
        " Esc back  Down next  t take over  m method errors  F5 read again  F1 ? help",
    };
    pty p = at_practice(SMALL, NULL);
    pty_settle(&p);
    pty_shows(&p, expected, 24);
    pty_keys(&p, END);
    pty_await(&p, "Molar distal: 73 %");
    pty_keys(&p, HOME DOWN DOWN);
    pty_await(&p, "Central rotation: 89 % of what was planned, in 32 readings of 8 patients");
    pty_keys(&p, ESC);
    pty_await(&p, "16 open cases");
    leave(&p);
}

/* The same figures as by command, in ASCII; the keys tell what the columns are. */
static void in_ascii_and_with_help(void **state) {
    (void)state;
    actor a = {NULL};
    const pty_setting plain = {.rows = 24, .cols = 80, .term = "vt100", .ascii = "1"};
    pty p = pty_start(plain, play, &a);
    pty_await(&p, "16 open cases");
    pty_keys(&p, CTRL_P);
    pty_await(&p, "own  ~SE   SD");
    pty_await(&p, "canine          rotation          8   69    4    0      49-57    49-57  ready");
    pty_keys(&p, "?");
    pty_await(&p, "Help: practice");
    for (int i = 0; i < 40; i++)
        pty_keys(&p, " ");
    pty_await(&p, "the line is what is published, the cross");
    leave(&p);
}

static void a_wide_terminal_draws_the_shares(void **state) {
    (void)state;
    pty p = at_practice((pty_setting){.rows = 40, .cols = 120}, NULL);
    pty_await(&p, "molar           distal");
    pty_await(&p, "100");
    char line[PTY_LINE];
    bool drawn = false;
    for (int row = 0; row < 40; row++) {
        pty_row(&p, row, line);
        drawn = drawn || (strstr(line, "molar           distal") && strstr(line, "─×─"));
    }
    assert_true(drawn);
    leave(&p);
}

/* ---- taking over ---- */

static void an_assistant_takes_nothing_over(void **state) {
    (void)state;
    int64_t set = 0;
    pty p = at_practice(SMALL, "JT");
    pty_keys(&p, "t");
    pty_await(&p, "only a doctor takes the practice's own accuracy over");
    leave(&p);
    settings_now(&set);
    assert_int_equal(set, 1);
}

/* What an instrument types confirms nothing; without a reason nothing is changed. */
static void a_doctor_takes_the_accuracy_over(void **state) {
    (void)state;
    int64_t set = 0;
    pty p = at_practice(SMALL, "IBA");
    pty_keys(&p, "t");
    pty_await(&p, "Take over 6 shares, why (kept in the journal)?");
    pty_keys(&p, ENTER);
    pty_await(&p, "Without a reason nothing is changed.");
    pty_keys(&p, "t");
    pty_await(&p, "Take over 6 shares");
    pty_keys(&p, "eight finished cases" ENTER);
    pty_await(&p, "Expect these shares of new check-ups from now on?");
    pty_keys(&p, "1");
    pty_settle(&p);
    assert_int_equal(pty_find(&p, "taken over (settings"), -1);
    settings_now(&set);
    assert_int_equal(set, 1);
    pty_keys(&p, "t");
    pty_await(&p, "Take over 6 shares");
    pty_keys(&p, "eight finished cases" ENTER);
    pty_await(&p, "from now on?");
    pty_keys(&p, "y");
    pty_await(&p, "6 shares taken over (settings set 2).");
    pty_await(&p, "canine          rotation          8   69    4    0      49-57    68-69  in use");
    leave(&p);
    const mc_settings now = settings_now(&set);
    assert_int_equal(set, 2);
    assert_true(now.own_share[MC_CANINE][MC_MOVE_ROTATION] > 0.6);
    assert_true(now.own_share[MC_CENTRAL][MC_MOVE_BUCCAL] == 0);
}

/* Who has not signed in does so on the way. */
static void who_takes_over_signs_in_first(void **state) {
    (void)state;
    size_t count;
    char answer[80];
    pty p = at_practice(SMALL, NULL);
    pty_keys(&p, "t");
    pty_await(&p, "Initials:");
    pty_keys(&p, "iba" ENTER);
    pty_await(&p, "Passphrase of iba");
    snprintf(answer, sizeof answer, "%s" ENTER, mc_demo_people(&count)[0].passphrase);
    pty_keys(&p, answer);
    pty_await(&p, "Take over 6 shares, why");
    pty_keys(&p, ESC);
    leave(&p);
}

/* ---- method errors ---- */

/* A check-up in which a doctor read twelve teeth twice. */
static void read_twice(void) {
    mc_practice *practice = NULL;
    mc_case kase;
    mc_error error = {0};
    mc_warnings warnings;
    int number = 0;
    char text[2000] = "tooth,rotation_deg\n";
    static const int TEETH[] = {11, 12, 13, 21, 22, 23, 31, 33, 34, 41, 43, 44};
    for (int i = 0; i < 12; i++) {
        size_t used = strlen(text);
        snprintf(text + used, sizeof text - used, "%d,0\n%d,%d\n", TEETH[i], TEETH[i],
                 i % 2 ? 2 : -2);
    }
    const mc_checkup_import what = {.data = text,
                                    .size = strlen(text),
                                    .date = today(),
                                    .aligner = {1, 1},
                                    .day = {12, 12},
                                    .wear_hours = 22,
                                    .method = MC_CALIPER,
                                    .accept_warnings = true};
    assert_int_equal(mc_practice_open(record, today(), &practice, &error), MC_OK);
    assert_int_equal(mc_practice_act_as(practice, "IBA", &error), MC_OK);
    assert_int_equal(mc_case_find(practice, "1012", &kase, &error), MC_OK);
    if (mc_import_checkup(practice, &kase, &what, &number, &warnings, &error) != MC_OK)
        fail_msg("%s", error.text);
    mc_warnings_free(&warnings);
    mc_practice_close(practice);
}

static void too_few_pairs_are_only_told(void **state) {
    (void)state;
    pty p = at_practice(SMALL, "IBA");
    pty_keys(&p, "m");
    pty_await(&p, "Error of one reading, from what was read twice");
    pty_await(&p, "10 pairs are needed before an error can be kept.");
    assert_true(pty_find(&p, " caliper, mm       ") > 0);
    pty_keys(&p, "y");
    pty_keys(&p, ESC);
    pty_await(&p, "8 ended plans");
    leave(&p);
}

static void a_doctor_keeps_a_measured_error(void **state) {
    (void)state;
    int64_t set = 0;
    read_twice();
    pty p = at_practice(SMALL, "IBA");
    pty_keys(&p, "m");
    pty_await(&p, "y keeps those that rest on 10 pairs or more");
    pty_keys(&p, "1" ENTER); /* an instrument says nothing */
    pty_await(&p, "13 pairs");
    pty_keys(&p, "y");
    pty_await(&p, "Keep the measured errors, why");
    pty_keys(&p, "each tooth twice" ENTER);
    pty_await(&p, "Use these errors for new check-ups from now on?");
    pty_keys(&p, "y");
    pty_await(&p, "Kept (settings set 2).");
    pty_await(&p, "1.57 13 pairs");
    leave(&p);
    const mc_settings now = settings_now(&set);
    assert_int_equal(set, 2);
    assert_true(now.caliper_deg_pairs == 13 && now.caliper_mm_pairs == 0);
}

/* What is changed at another console is seen. */
static void changes_elsewhere_are_seen(void **state) {
    (void)state;
    mc_practice *practice = NULL;
    mc_error error = {0};
    int64_t set = 0;
    pty p = at_practice(SMALL, NULL);
    assert_int_equal(mc_practice_open(record, today(), &practice, &error), MC_OK);
    assert_int_equal(mc_practice_act_as(practice, "IBA", &error), MC_OK);
    assert_int_equal(mc_settings_change(practice, NULL, "eye_mm", 0.456, "tried", &set, &error),
                     MC_OK);
    mc_practice_close(practice);
    pty_await(&p, "0.456 assumed");
    pty_keys(&p, F5);
    pty_await(&p, "The plans are read again.");
    leave(&p);
}

int main(void) {
#define on_fresh(test) cmocka_unit_test_setup(test, fresh)
    const struct CMUnitTest tests[] = {
        on_fresh(own_beside_published),
        on_fresh(in_ascii_and_with_help),
        on_fresh(a_wide_terminal_draws_the_shares),
        on_fresh(an_assistant_takes_nothing_over),
        on_fresh(a_doctor_takes_the_accuracy_over),
        on_fresh(who_takes_over_signs_in_first),
        on_fresh(too_few_pairs_are_only_told),
        on_fresh(a_doctor_keeps_a_measured_error),
        on_fresh(changes_elsewhere_are_seen),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
