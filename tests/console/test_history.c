/* The history of a case, opened from its chart, on the demo practice. */
#include "pty.h"

#include "midcourse/console.h"

#define ESC "\033"
#define CTRL_Q "\021"
#define DOWN "\033OB"
#define UP "\033OA"
#define END "\033OF"
#define HOME "\033OH"
#define PAGE_DOWN "\033[6~"

static char folder[64], record[100];

static mc_day today(void) {
    mc_day day = 0;
    assert_true(mc_day_parse("2026-03-02", &day));
    return day;
}

/* An entry that another program has left, with what would steer a terminal. */
static void keep_strange(mc_practice *practice, const mc_case *kase) {
    mc_record *file = mc_practice_record(practice);
    mc_error error = {0};
    assert_int_equal(mc_record_begin(file, true, &error), MC_OK);
    assert_int_equal(mc_record_append(file, "JT", &kase->id, "photo added",
                                      "{\"of\":\"\\u001b[31mred\"}", &error),
                     MC_OK);
    assert_int_equal(mc_record_commit(file, &error), MC_OK);
}

/* A check-up that is being entered. */
static void begin_checkup(mc_practice *practice) {
    mc_case kase;
    mc_error error = {0};
    mc_draft *draft = NULL;
    bool doubt = false;
    mc_step step = {.what = MC_STEP_SEAT_GAP, .tooth = mc_tooth_from_iso(12), .number = 0.2};
    assert_int_equal(mc_case_find(practice, "1002", &kase, &error), MC_OK);
    if (mc_draft_open(practice, &kase, &draft, &error) != MC_OK ||
        mc_draft_enter(draft, &step, true, &doubt, &error) != MC_OK)
        fail_msg("%s", error.text);
    mc_draft_close(draft);
}

/* The demo, with an amendment. */
static int make_demo(void **state) {
    (void)state;
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_case kase;
    snprintf(folder, sizeof folder, "/tmp/midcourse-test-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(record, sizeof record, "%s/demo.db", folder);
    if (mc_demo_make(record, today(), &practice, &error) != MC_OK)
        fail_msg("%s", error.text);
    assert_int_equal(mc_case_find(practice, "1003", &kase, &error), MC_OK);
    int version = 0;
    mc_warnings warnings;
    static const char file[] = "tooth,rotation_deg\n13,3.5\n";
    mc_checkup_import what = {.data = file, .size = strlen(file), .accept_warnings = true};
    if (mc_amend_checkup(practice, &kase, 1, &what, "gauge slipped", &version, &warnings, &error) !=
        MC_OK)
        fail_msg("%s", error.text);
    mc_warnings_free(&warnings);
    keep_strange(practice, &kase);
    begin_checkup(practice);
    mc_practice_close(practice);
    return 0;
}

static int remove_demo(void **state) {
    (void)state;
    char command[100];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static void play(void *context) {
    const char *label = context;
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_status status = mc_practice_open(record, today(), &practice, &error);
    if (status == MC_OK)
        status = mc_console_run(practice, label, "", &error);
    mc_practice_close(practice);
    _exit((int)status);
}

static const pty_setting SMALL = {.rows = 24, .cols = 80};

static pty at_history(pty_setting setting, const char *label) {
    pty p = pty_start(setting, play, (void *)label);
    pty_await(&p, "check-up");
    pty_keys(&p, "r");
    pty_await(&p, "what was done");
    return p;
}

static void leave(pty *p) {
    pty_keys(p, CTRL_Q);
    pty_ended_well(p);
}

/* What stands beyond day and time, which are the clock's. */
static void line_is(const pty *p, int row, const char *expected) {
    char line[PTY_LINE];
    pty_row(p, row, line);
    assert_true(strlen(line) > 17);
    assert_string_equal(line + 17, expected);
}

static bool selected(const pty *p, int row) {
    return pty_cell(p, row, 2).attrs.reverse;
}

/* ---- the list ---- */

static void the_latest_stands_first(void **state) {
    (void)state;
    char line[PTY_LINE];
    pty p = at_history(SMALL, "1001");
    pty_row(&p, 0, line);
    assert_non_null(strstr(line, " 1001 Larkspur, Odile  history, the latest first"));
    assert_string_equal(pty_row(&p, 1, line), " UTC               by        what was done");
    line_is(&p, 2, "  IBA       decision signed on check-up 3: carry on");
    line_is(&p, 3, "  JT        check-up 3 of 2026-02-22 completed: upper 12,");
    line_is(&p, 4, "            lower 12, scan, 28 rows");
    assert_true(pty_find(&p, "NF        case opened; missing: 18, 28, 38, 48") > 4);
    assert_true(pty_find(&p, "Esc back  Down earlier  Up later  Enter look") == 23);
    leave(&p);
}

static void the_selection_moves_by_entries(void **state) {
    (void)state;
    pty p = at_history(SMALL, "1001");
    assert_true(selected(&p, 2));
    assert_false(selected(&p, 3));
    pty_keys(&p, DOWN);
    pty_settle(&p);
    assert_false(selected(&p, 2));
    assert_true(selected(&p, 3));
    assert_true(selected(&p, 4));
    assert_false(selected(&p, 5));
    pty_keys(&p, "kk"); /* never before the latest */
    pty_settle(&p);
    assert_true(selected(&p, 2));
    pty_keys(&p, END);
    pty_settle(&p);
    assert_true(selected(&p, pty_find(&p, "case opened")));
    pty_keys(&p, DOWN HOME);
    pty_settle(&p);
    assert_true(selected(&p, 2));
    leave(&p);
}

static void wide_terminals_wrap_less_and_ascii_loses_nothing(void **state) {
    (void)state;
    static const pty_setting settings[] = {
        {.rows = 40, .cols = 120},
        {.rows = 60, .cols = 200, .no_colour = "1"},
        {.rows = 40, .cols = 120, .term = "vt100", .locale = "C", .ascii = "1"}};
    for (int i = 0; i < 3; i++) {
        pty p = at_history(settings[i], "1001");
        line_is(&p, 3,
                "  JT        check-up 3 of 2026-02-22 completed: upper 12, lower 12, scan, 28 "
                "rows");
        leave(&p);
    }
}

static void a_long_history_scrolls(void **state) {
    (void)state;
    pty p = at_history(SMALL, "1003");
    pty_settle(&p);
    bool below = pty_find(&p, "earlier below") == 22;
    assert_int_equal(below, pty_find(&p, "case opened") < 0);
    pty_keys(&p, PAGE_DOWN PAGE_DOWN PAGE_DOWN);
    pty_settle(&p);
    assert_true(selected(&p, pty_find(&p, "case opened")));
    leave(&p);
}

/* ---- what stands behind ---- */

static void a_decision_shows_what_the_doctor_saw(void **state) {
    (void)state;
    pty p = at_history(SMALL, "1005");
    assert_true(pty_find(&p, "decision signed on check-up 2: local") > 0);
    pty_keys(&p, DOWN "\r");
    pty_await(&p, "What the doctor saw");
    assert_int_equal(pty_find(&p, "Decision on check-up 2, plan 1"), 1);
    assert_int_equal(pty_find(&p, " chosen            local"), 3);
    assert_int_equal(pty_find(&p, " reason            none given"), 4);
    assert_int_equal(pty_find(&p, " proposed          local measures (rule 9)"), 7);
    assert_int_equal(pty_find(&p, " because           Local measures on 35"), 8);
    assert_true(
        pty_find(&p, " choice                           outside all in % ends        aligners") >
        0);
    assert_true(pty_find(&p, " carry on                           ") > 0);
    pty_keys(&p, PAGE_DOWN);
    pty_await(&p, "worst item: rotation");
    char line[PTY_LINE];
    assert_non_null(strstr(pty_row(&p, pty_find(&p, " local measures "), line), " chosen"));
    assert_true(pty_find(&p, " 35 ▼ behind       lag index") > 0);
    assert_int_equal(pty_find(&p, "on plan"), -1); /* only what was off */
    assert_int_equal(pty_find(&p, "Juniper"), -1); /* a page hides no names, so it has none */
    pty_keys(&p, ESC);
    pty_await(&p, "history, the latest first");
    leave(&p);
}

static void what_steers_a_terminal_is_seen_and_not_obeyed(void **state) {
    (void)state;
    pty p = at_history(SMALL, "1003");
    line_is(&p, 2, "  JT        photo added: of \xef\xbf\xbd[31mred");
    leave(&p);
}

static void an_amendment_shows_both_versions(void **state) {
    (void)state;
    pty p = at_history(SMALL, "1003");
    assert_true(pty_find(&p, "amended (version 2):") == 3);
    pty_keys(&p, DOWN "\r");
    pty_await(&p, "version 2");
    assert_true(pty_find(&p, " amended           ") == 2);
    assert_true(pty_find(&p, " amended because   gauge slipped") > 0);
    assert_true(pty_find(&p, " 13                rotation 3.5 deg") > 0);
    assert_true(pty_find(&p, " note              none") > 0);
    pty_keys(&p, ESC);
    pty_await(&p, "history, the latest first");
    leave(&p);
}

static void a_check_up_that_is_open_is_told(void **state) {
    (void)state;
    pty p = pty_start(SMALL, play, (char[]){"1002"});
    pty_await(&p, "check-up 3 of 3");
    assert_int_equal(pty_find(&p, " check-up 4 is open: e "), 5);
    pty_keys(&p, "[");
    pty_await(&p, "check-up 2 of 3");
    assert_int_equal(pty_find(&p, " check-up 4 is open: e "), 5);
    pty_keys(&p, "r");
    pty_await(&p, "check-up 4 of 2026-03-02 begun");
    pty_keys(&p, "\r");
    pty_await(&p, "All that is kept of this stands here.");
    leave(&p);
}

static void what_has_no_more_says_so(void **state) {
    (void)state;
    pty p = at_history(SMALL, "1001");
    pty_keys(&p, END "\r");
    pty_await(&p, "All that is kept of this stands here.");
    pty_keys(&p, ESC);
    pty_await(&p, "check-up 3 of 3");
    leave(&p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_latest_stands_first),
        cmocka_unit_test(the_selection_moves_by_entries),
        cmocka_unit_test(wide_terminals_wrap_less_and_ascii_loses_nothing),
        cmocka_unit_test(a_long_history_scrolls),
        cmocka_unit_test(a_decision_shows_what_the_doctor_saw),
        cmocka_unit_test(what_steers_a_terminal_is_seen_and_not_obeyed),
        cmocka_unit_test(an_amendment_shows_both_versions),
        cmocka_unit_test(a_check_up_that_is_open_is_told),
        cmocka_unit_test(what_has_no_more_says_so),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
