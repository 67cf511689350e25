/* The console as people meet it: on the demo practice, under a real terminal, with every key, any
 * size and any ending. */
#include "demo.h"
#include "pty.h"

#include "midcourse/console.h"

#include "random.h"

#include <fcntl.h>
#include <locale.h>
#include <termios.h>

#define ESC "\033"
#define CTRL_Q "\021"
#define ALL_CASES "   16 open cases" /* and not "0 of 16 open cases" */

/* ---- the program under the terminal ---- */

typedef struct visit {
    const char *label; /* of the case to open */
    const char *who;   /* acts from the start */
    bool no_terminal;  /* its input is no terminal */
} visit;

static void play(void *context) {
    const visit *v = context;
    mc_practice *practice = NULL;
    mc_error error = {0};
    if (v->no_terminal)
        dup2(open("/dev/null", O_RDONLY), STDIN_FILENO);
    mc_status status = mc_practice_open(demo, today(), &practice, &error);
    if (status == MC_OK && v->who)
        status = mc_practice_act_as(practice, v->who, &error);
    if (status == MC_OK)
        status = mc_console_run(practice, v->label, "Invented people only.", &error);
    mc_practice_close(practice);
    if (status != MC_OK) {
        printf("midcourse: %s\n", error.text);
        fflush(stdout);
    }
    _exit((int)status);
}

static const pty_setting SMALL = {.rows = 24, .cols = 80};

static pty at_roster(void) {
    visit v = {0};
    pty p = pty_start(SMALL, play, &v);
    pty_await(&p, ALL_CASES);
    return p;
}

static void leave(pty *p) {
    pty_keys(p, CTRL_Q);
    pty_ended_well(p);
}

/* ---- beginning and ending ---- */

static void shows_its_heading_once(void **state) {
    (void)state;
    pty p = at_roster();
    assert_int_equal(pty_find(&p, "Invented people only."), 22);
    pty_keys(&p, ESC "OB");
    pty_settle(&p);
    assert_int_equal(pty_find(&p, "Invented people only."), -1);
    leave(&p);
}

/* The screen before is back, and the terminal echoes and edits lines as it did. */
static void left_clean(pty *p) {
    struct termios mode;
    assert_int_equal(pty_find(p, "Roster"), -1);
    assert_int_equal(tcgetattr(p->fd, &mode), 0);
    assert_true(mode.c_lflag & ECHO);
    assert_true(mode.c_lflag & ICANON);
    assert_true(mode.c_lflag & ISIG);
}

static void leaves_the_terminal_as_it_was(void **state) {
    (void)state;
    const char *const ways[] = {CTRL_Q, ESC "[21~", "\003"};
    for (int i = 0; i < 3; i++) {
        pty p = at_roster();
        int keep = dup(p.fd);
        pty_keys(&p, ways[i]);
        assert_int_equal(pty_wait(&p), 0);
        left_clean(&p);
        close(keep);
        pty_close(&p);
    }
}

/* Keys that the terminal makes signals of, as soon as it does so again. */
static void keys_typed_while_it_leaves_do_no_harm(void **state) {
    (void)state;
    for (int i = 0; i < 20; i++) {
        pty p = at_roster();
        pty_keys(&p, CTRL_Q "\032\032\032");
        for (int k = 0; k < 20 && !p.ended; k++) {
            pty_keys(&p, "\032");
            pty_read(&p, 1);
        }
        pty_ended_well(&p);
    }
}

static void signals_end_it_cleanly(void **state) {
    (void)state;
    const int signals[] = {SIGTERM, SIGHUP, SIGINT};
    for (int i = 0; i < 3; i++) {
        pty p = at_roster();
        kill(p.pid, signals[i]);
        assert_int_equal(pty_wait(&p), 0);
        left_clean(&p);
        pty_close(&p);
    }
}

static void a_lost_terminal_ends_it(void **state) {
    (void)state;
    int status = -1;
    pty p = at_roster();
    close(p.fd);
    long until = pty_now_ms() + PTY_PATIENCE_MS;
    while (waitpid(p.pid, &status, WNOHANG) == 0 && pty_now_ms() < until)
        usleep(1000);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
    vterm_free(p.vt);
}

static void refuses(pty_setting setting, visit v, const char *why) {
    pty p = pty_start(setting, play, &v);
    int status = pty_wait(&p);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), MC_REFUSED);
    if (!strstr(p.raw, why))
        fail_msg("it said '%s'", p.raw);
    assert_null(strchr(p.raw, '\033')); /* the terminal was not touched */
    pty_close(&p);
}

static void refuses_a_terminal_it_cannot_use(void **state) {
    (void)state;
    pty_setting odd = SMALL;
    odd.term = "no-such-thing";
    refuses(odd, (visit){0}, "the terminal type 'no-such-thing' is not known");
    odd.term = "";
    refuses(odd, (visit){0}, "TERM is not set");
    odd.term = "dumb";
    refuses(odd, (visit){0}, "the terminal type 'dumb' cannot place a cursor");
    refuses(SMALL, (visit){.no_terminal = true}, "the console needs a terminal");
}

static void refuses_an_unknown_case(void **state) {
    (void)state;
    refuses(SMALL, (visit){.label = "99999"}, "99999");
}

static void opens_a_case_at_once(void **state) {
    (void)state;
    visit v = {.label = "1005"};
    pty p = pty_start(SMALL, play, &v);
    pty_await(&p, "check-up 3 of 3");
    assert_int_equal(pty_find(&p, " 1005 "), 0);
    pty_keys(&p, ESC);
    pty_await(&p, ALL_CASES);
    leave(&p);
}

/* ---- going about ---- */

static void a_scanner_opens_the_case(void **state) {
    (void)state;
    pty p = at_roster();
    pty_keys(&p, "1005\r");
    pty_await(&p, "check-up 3 of 3");
    assert_int_equal(pty_find(&p, " 1005 "), 0);
    pty_keys(&p, ESC);
    pty_await(&p, ALL_CASES); /* what was scanned is forgotten */
    pty_keys(&p, "1011\r");
    pty_await(&p, " 1011 ");
    assert_int_equal(pty_find(&p, " 1011 "), 0);
    leave(&p);
}

static void an_unknown_number_is_refused_in_place(void **state) {
    (void)state;
    pty p = at_roster();
    pty_keys(&p, "99999\r");
    pty_await(&p, "No case 99999");
    assert_int_equal(pty_find(&p, "No case 99999"), 22);
    assert_true(pty_find(&p, "0 of 16 open cases") == 1);
    leave(&p);
}

static void check_ups_are_stepped_through(void **state) {
    (void)state;
    pty p = at_roster();
    pty_keys(&p, "1005\r");
    pty_await(&p, "check-up 3 of 3");
    pty_keys(&p, "]");
    pty_await(&p, "This is the last check-up.");
    pty_keys(&p, "[");
    pty_await(&p, "check-up 2 of 3");
    pty_keys(&p, ",");
    pty_await(&p, "check-up 1 of 3");
    pty_keys(&p, "[");
    pty_await(&p, "This is the first check-up.");
    pty_keys(&p, ".");
    pty_await(&p, "check-up 2 of 3");
    leave(&p);
}

static void reads_the_record_again(void **state) {
    (void)state;
    pty p = at_roster();
    pty_keys(&p, ESC "[15~");
    pty_await(&p, "Read again: 16 open cases.");
    leave(&p);
}

/* Open a case, or close it. */
static void write_from_elsewhere(const char *chart, bool closing) {
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_tooth_state states[MC_TEETH];
    mc_case made;
    size_t people = 0;
    const mc_demo_person *person = mc_demo_people(&people);
    assert_int_equal(mc_practice_open(demo, today(), &practice, &error), MC_OK);
    assert_int_equal(mc_practice_act_as(practice, person[0].initials, &error), MC_OK);
    mc_usual_teeth(states);
    mc_status status = closing ? mc_case_find(practice, chart, &made, &error)
                               : mc_case_open(practice, chart, "Sedge, Invented", today() - 9000,
                                              states, &made, &error);
    if (status == MC_OK && closing)
        status = mc_case_close(practice, &made, &error);
    if (status != MC_OK)
        fail_msg("%s", error.text);
    mc_practice_close(practice);
}

/* The row under the cursor. */
static int selected_row(const pty *p) {
    for (int row = 3; row < p->rows; row++)
        if (pty_cell(p, row, 1).attrs.reverse)
            return row;
    return -1;
}

static void keeps_up_with_what_others_write(void **state) {
    (void)state;
    pty p = at_roster();
    pty_await(&p, "   16 open cases: 11 decisions wait, 1 late");
    pty_keys(&p, ESC "OB" ESC "OB");
    pty_settle(&p);
    int row = pty_find(&p, " 1004 ");
    assert_int_equal(selected_row(&p), row);
    write_from_elsewhere("7001", false);
    pty_await(&p, "   17 open cases");
    assert_int_equal(pty_find(&p, " 1004 "), row);
    assert_int_equal(selected_row(&p), row);
    assert_true(pty_find(&p, " 7001 ") > 0);
    write_from_elsewhere("7001", true);
    pty_await(&p, ALL_CASES);
    assert_int_equal(pty_find(&p, " 7001 "), -1);
    assert_int_equal(selected_row(&p), row);
    pty_keys(&p, ESC "[15~");
    pty_await(&p, "Read again: 16 open cases.");
    pty_keys(&p, "7001\r"); /* closed, so not in the list, but found by its number */
    pty_await(&p, "This case was closed on 2026-03-02.");
    assert_true(pty_find(&p, "No plan has been imported for this case yet.") == 11);
    write_from_elsewhere("7002", false);
    pty_keys(&p, ESC); /* what happened meanwhile is there with the first screen */
    while (pty_find(&p, "Roster") < 0)
        pty_read(&p, 50);
    pty_read(&p, 20);
    assert_true(pty_find(&p, "17 open cases") == 1);
    write_from_elsewhere("7002", true);
    leave(&p);
}

/* ---- who is at the keyboard, and the lock ---- */

#define F2 ESC "OQ"
#define F4 ESC "OS"

static const char *passphrase_of(const char *initials) {
    size_t count = 0;
    const mc_demo_person *people = mc_demo_people(&count);
    for (size_t i = 0; i < count; i++)
        if (strcmp(people[i].initials, initials) == 0)
            return people[i].passphrase;
    fail_msg("nobody is %s", initials);
    return "";
}

static void enter(pty *p, const char *text) {
    pty_keys(p, text);
    pty_keys(p, "\r");
}

static pty at_chart_as(pty_setting setting, const char *who) {
    visit v = {.label = "1005", .who = who};
    pty p = pty_start(setting, play, &v);
    pty_await(&p, " 1005 ");
    pty_await(&p, "Proposal only");
    return p;
}

static void one_signs_in_at_the_roster(void **state) {
    (void)state;
    pty p = at_roster();
    assert_int_equal(pty_find(&p, "not signed in  2026-03-02"), 0);
    pty_keys(&p, F2);
    pty_await(&p, "Initials:");
    enter(&p, "iba");
    pty_await(&p, "Passphrase of iba:");
    enter(&p, "not the passphrase");
    pty_await(&p, "do not belong together");
    pty_await(&p, "Initials: iba");
    enter(&p, "");
    pty_await(&p, "Passphrase of iba:");
    usleep(1100000); /* the wait after one wrong answer */
    enter(&p, passphrase_of("IBA"));
    pty_await(&p, "IBA, doctor, is signed in.");
    assert_int_equal(pty_find(&p, "IBA doctor  2026-03-02"), 0);
    assert_int_equal(pty_find(&p, passphrase_of("IBA")), -1);
    leave(&p);
}

static void keep_rows(const pty *p, char rows[][PTY_LINE]) {
    for (int row = 0; row < p->rows; row++)
        pty_row(p, row, rows[row]);
}

/* Beside the lock's own words there is nothing but blanks. */
static void only_the_lock_shows(const pty *p) {
    static const char *const shown[] = {"Locked",       "This console is locked.",
                                        "is signed in", "Every screen is as it was left.",
                                        "to unlock",    "to take over",
                                        "to leave",     "Passphrase of IBA:",
                                        "Enter unlock"};
    char line[PTY_LINE];
    for (int row = 0; row < p->rows; row++) {
        bool own = pty_row(p, row, line)[0] == '\0';
        for (size_t i = 0; i < sizeof shown / sizeof *shown; i++)
            own |= strstr(line, shown[i]) != NULL;
        if (!own || strstr(line, "1005") || strstr(line, "Juniper"))
            fail_msg("row %d: '%s'", row, line);
    }
}

static void locks_and_unlocks(pty_setting setting) {
    static char before[60][PTY_LINE];
    char line[PTY_LINE];
    pty p = at_chart_as(setting, "IBA");
    pty_keys(&p, "\t");
    pty_settle(&p);
    keep_rows(&p, before);
    assert_true(pty_find(&p, "Juniper") == 0);
    pty_keys(&p, F4);
    pty_await(&p, "This console is locked.");
    only_the_lock_shows(&p);
    pty_resize(&p, 30, 90);
    pty_await(&p, "This console is locked.");
    only_the_lock_shows(&p);
    pty_resize(&p, setting.rows, setting.cols);
    pty_await(&p, "Passphrase of IBA:");
    enter(&p, "1011"); /* a scanner */
    pty_settle(&p);
    assert_int_equal(pty_find(&p, "This console is locked."), 2);
    assert_int_equal(pty_find(&p, "Juniper"), -1);
    enter(&p, passphrase_of("IBA"));
    pty_await(&p, " 1005 ");
    for (int row = 0; row < p.rows; row++)
        assert_string_equal(pty_row(&p, row, line), before[row]);
    leave(&p);
}

static void the_lock_hides_everything_at_every_size(void **state) {
    (void)state;
    const int sizes[][2] = {{24, 80}, {40, 120}, {60, 200}};
    for (int i = 0; i < 3; i++) {
        locks_and_unlocks((pty_setting){.rows = sizes[i][0], .cols = sizes[i][1]});
        locks_and_unlocks((pty_setting){.rows = sizes[i][0], .cols = sizes[i][1], .term = "vt100"});
    }
    locks_and_unlocks((pty_setting){.rows = 24, .cols = 80, .ascii = "1", .no_colour = "1"});
}

static void a_locked_console_ends_cleanly(void **state) {
    (void)state;
    for (int i = 0; i < 2; i++) {
        pty p = at_chart_as(SMALL, "IBA");
        pty_keys(&p, F4);
        pty_await(&p, "This console is locked.");
        if (i == 0)
            kill(p.pid, SIGTERM);
        else
            pty_keys(&p, CTRL_Q);
        assert_int_equal(pty_wait(&p), 0);
        left_clean(&p);
        pty_close(&p);
    }
}

static void another_person_takes_a_locked_console(void **state) {
    (void)state;
    pty p = at_chart_as(SMALL, "IBA");
    pty_keys(&p, F4);
    pty_await(&p, "This console is locked.");
    pty_keys(&p, F2);
    pty_await(&p, "Initials:");
    enter(&p, "JT");
    pty_await(&p, "Passphrase of JT:");
    enter(&p, passphrase_of("JT"));
    pty_await(&p, "JT, assistant, is signed in.");
    assert_int_equal(pty_find(&p, " 1005 "), 0);
    leave(&p);
}

/* ---- sizes ---- */

static void waits_where_it_is_too_small(void **state) {
    (void)state;
    pty p = at_roster();
    pty_resize(&p, 3, 10);
    pty_await(&p, "needs");
    assert_int_equal(pty_find(&p, "midcourse"), 0);
    pty_keys(&p, "zzz\t\r"); /* nothing is done unseen */
    pty_settle(&p);
    pty_resize(&p, 23, 80);
    pty_await(&p, "midcourse needs 80x24; this terminal is 80x23");
    pty_resize(&p, 24, 79);
    pty_await(&p, "midcourse needs 80x24; this terminal is 79x24");
    pty_resize(&p, 1, 1);
    pty_settle(&p);
    assert_false(p.ended);
    pty_resize(&p, 24, 80);
    pty_await(&p, ALL_CASES);
    leave(&p);
    p = at_roster();
    pty_resize(&p, 3, 10);
    pty_await(&p, "needs");
    leave(&p); /* the one thing that can be done there */
}

static void starts_too_small_and_grows(void **state) {
    (void)state;
    visit v = {0};
    pty_setting tiny = {.rows = 1, .cols = 1};
    pty p = pty_start(tiny, play, &v);
    pty_settle(&p);
    pty_resize(&p, 40, 120);
    pty_await(&p, ALL_CASES);
    assert_true(pty_find(&p, "next change") == 2);
    leave(&p);
}

/* Sizes as fast as a person can drag, with keys among them; the last one is what is drawn. */
static void resized_in_a_storm(void **state) {
    (void)state;
    random_source source = random_seed(7);
    pty p = at_roster();
    pty_keys(&p, "1006\r");
    pty_await(&p, "check-up 3 of 3");
    for (int i = 0; i < 300; i++) {
        int rows = 1 + (int)(random_bits(&source) % 70),
            cols = 1 + (int)(random_bits(&source) % 220);
        pty_resize(&p, rows, cols);
        if (i % 3 == 0)
            pty_keys(&p, "\t");
        pty_read(&p, 3);
    }
    pty_resize(&p, 24, 80);
    pty_await(&p, "Proposal only: the doctor decides");
    assert_int_equal(pty_find(&p, " 1006 "), 0);
    assert_int_equal(pty_find(&p, "Proposal only: the doctor decides"), 21);
    assert_int_equal(pty_find(&p, "F1 ? help"), 23);
    leave(&p);
}

/* ---- pasting ---- */

#define PASTE ESC "[200~"
#define PASTED ESC "[201~"

static void a_chart_number_is_pasted(void **state) {
    (void)state;
    pty p = at_roster();
    pty_keys(&p, PASTE "1005\r" PASTED);
    pty_await(&p, "1 of 16 open cases");
    pty_keys(&p, "\r");
    pty_await(&p, "check-up 3 of 3");
    pty_keys(&p, PASTE "q\021\rn" PASTED); /* where no text is wanted, nothing is done */
    pty_await(&p, "Pasted text is taken only where text is asked for.");
    assert_int_equal(pty_find(&p, " 1005 "), 0);
    leave(&p);
}

/* What is pasted is drawn once it is there, not character by character. */
static void a_long_paste_is_drawn_once(void **state) {
    (void)state;
    enum { PASTED_LINES = 60 };
    pty p = at_roster();
    pty_keys(&p, "1005\r");
    pty_await(&p, "check-up 3 of 3");
    pty_keys(&p, "d");
    pty_await(&p, "What is signed");
    pty_keys(&p, "r");
    pty_await(&p, "Reason:");
    size_t before = p.bytes;
    pty_keys(&p, PASTE);
    for (int i = 0; i < PASTED_LINES; i++)
        pty_keys(&p, "a line of what was copied somewhere else\r");
    pty_keys(&p, PASTED);
    pty_settle(&p);
    assert_true(pty_find(&p, "somewhere else") > 0);
    assert_true(p.bytes - before < PASTED_LINES * 10);
    leave(&p);
}

static void count_output(const char *bytes, size_t length, void *count) {
    (void)bytes;
    *(int *)count += (int)length;
}

/* The terminal is asked to mark pastes only while the console has it. */
static int count_pastes_marked(const char *keys) {
    int marked = 0;
    pty p = at_roster();
    if (keys) {
        pty_keys(&p, keys);
        assert_int_equal(pty_wait(&p), 0);
    }
    vterm_output_set_callback(p.vt, count_output, &marked);
    vterm_keyboard_start_paste(p.vt);
    if (!keys)
        leave(&p);
    else
        pty_close(&p);
    return marked;
}

static void pastes_are_marked_while_it_runs(void **state) {
    (void)state;
    assert_int_equal(count_pastes_marked(NULL), 6);
    assert_int_equal(count_pastes_marked(CTRL_Q), 0);
}

/* ---- the built program ---- */

static void run_program(void *context) {
    (void)context;
    setenv("MIDCOURSE_TODAY", "2026-03-02", 1);
    execl(PROGRAM, "midcourse", "--db", demo, (char *)NULL);
    _exit(98);
}

static void the_program_opens_the_console(void **state) {
    (void)state;
    assert_string_not_equal(PROGRAM, "");
    pty p = pty_start(SMALL, run_program, NULL);
    pty_await(&p, ALL_CASES);
    leave(&p);
}

int main(void) {
    setlocale(LC_CTYPE, "C.UTF-8");
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shows_its_heading_once),
        cmocka_unit_test(leaves_the_terminal_as_it_was),
        cmocka_unit_test(keys_typed_while_it_leaves_do_no_harm),
        cmocka_unit_test(signals_end_it_cleanly),
        cmocka_unit_test(a_lost_terminal_ends_it),
        cmocka_unit_test(refuses_a_terminal_it_cannot_use),
        cmocka_unit_test(refuses_an_unknown_case),
        cmocka_unit_test(opens_a_case_at_once),
        cmocka_unit_test(a_scanner_opens_the_case),
        cmocka_unit_test(an_unknown_number_is_refused_in_place),
        cmocka_unit_test(check_ups_are_stepped_through),
        cmocka_unit_test(reads_the_record_again),
        cmocka_unit_test(keeps_up_with_what_others_write),
        cmocka_unit_test(one_signs_in_at_the_roster),
        cmocka_unit_test(the_lock_hides_everything_at_every_size),
        cmocka_unit_test(a_locked_console_ends_cleanly),
        cmocka_unit_test(another_person_takes_a_locked_console),
        cmocka_unit_test(waits_where_it_is_too_small),
        cmocka_unit_test(starts_too_small_and_grows),
        cmocka_unit_test(resized_in_a_storm),
        cmocka_unit_test(a_chart_number_is_pasted),
        cmocka_unit_test(a_long_paste_is_drawn_once),
        cmocka_unit_test(pastes_are_marked_while_it_runs),
        cmocka_unit_test(the_program_opens_the_console),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
