/* The whole job on screen: a case is opened and its plan imported, two check-ups are entered tooth
 * by tooth, a decision and a correction are signed; and the record is the one that the same job by
 * commands leaves. Invented people and teeth. */
#include "run.h"

#include "pty.h"

#include "midcourse/practice.h"

#define ESC "\033"
#define F7 "\033[18~"
#define CTRL_Q "\021"
#define CTRL_U "\025"
#define STORY FIXTURES "/story/"
#define DOCTOR_WORDS "slow river stones"

/* ---- the console, on a day ---- */

typedef struct visit {
    const char *who, *today;
} visit;

static void play(void *context) {
    const visit *v = context;
    setenv("MIDCOURSE_TODAY", v->today, 1);
    execl(PROGRAM, "midcourse", "--db", "screen.db", "--as", v->who, (char *)NULL);
    _exit(98);
}

static pty sit_down(const char *who, const char *today) {
    visit v = {who, today};
    pty p = pty_start((pty_setting){.rows = 24, .cols = 80}, play, &v);
    pty_await(&p, "open case");
    return p;
}

static void press(pty *p, const char *keys, const char *comes) {
    pty_keys(p, keys);
    pty_await(p, comes);
}

static void get_up(pty *p) {
    pty_keys(p, CTRL_Q);
    pty_ended_well(p);
}

/* ---- a check-up file, typed as a person with a caliper would ---- */

enum { TOOTH, GAP, MESIAL, ATTACHMENT = MESIAL + MC_COMPONENTS, MOBILITY, COLUMNS };

typedef struct sheet {
    char cell[32][COLUMNS][16];
    int count;
} sheet;

static sheet read_sheet(const char *path) {
    sheet s = {0};
    char line[200];
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file)) {
        if (line[0] < '0' || line[0] > '9')
            continue;
        char *rest = line;
        line[strcspn(line, "\r\n")] = '\0';
        for (int i = 0; i < COLUMNS && rest; i++)
            snprintf(s.cell[s.count][i], sizeof s.cell[0][0], "%s", strsep(&rest, ","));
        s.count++;
    }
    fclose(file);
    assert_int_equal(s.count, 28);
    return s;
}

/* Every gap by one key on its tooth. */
static void type_gaps(pty *p, const sheet *s) {
    for (int i = 0; i < s->count; i++) {
        char keys[24];
        double gap = strtod(s->cell[i][GAP], NULL);
        snprintf(keys, sizeof keys, "t%s%c", s->cell[i][TOOTH],
                 (char)('0' + (int)(gap * 10 + 0.5)));
        pty_keys(p, keys);
    }
    pty_await(p, "Gaps on 28 of 28 teeth");
}

static bool has_positions(const sheet *s, int i) {
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (s->cell[i][MESIAL + c][0])
            return true;
    return false;
}

/* Every position with its Enter, an empty Enter where none was read; then the findings. */
static void type_positions(pty *p, const sheet *s) {
    int read = 0;
    press(p, "ro", "bserved");
    for (int i = 0; i < s->count; i++) {
        if (has_positions(s, i)) {
            char jump[24];
            snprintf(jump, sizeof jump, "t%s", s->cell[i][TOOTH]);
            pty_keys(p, jump);
            for (int c = 0; c < MC_COMPONENTS; c++) {
                pty_keys(p, s->cell[i][MESIAL + c]);
                pty_keys(p, "\r");
            }
            char so_far[32];
            snprintf(so_far, sizeof so_far, "positions on %d", ++read);
            pty_await(p, so_far);
        }
        if (s->cell[i][ATTACHMENT][0]) {
            char keys[24];
            assert_string_equal(s->cell[i][ATTACHMENT], "intact");
            snprintf(keys, sizeof keys, "t%sb1", s->cell[i][TOOTH]);
            press(p, keys, "intact");
        }
        assert_string_equal(s->cell[i][MOBILITY], "");
    }
}

/* ---- the job ---- */

static void make_practices(void) {
    write_text("doctor", DOCTOR_WORDS "\n");
    write_text("helper", "grey morning kettle\n");
    setenv("MIDCOURSE_TODAY", "2026-05-28", 1);
    assert_run(0, "first doctor, AB",
               "midcourse --db command.db init --doctor AB --new-passphrase-fd 3 3<doctor");
    assert_run(0, "Added CD, assistant",
               "midcourse --db command.db --as AB staff add CD --role assistant "
               "--new-passphrase-fd 3 3<helper");
    assert_run(0, "", "cp command.db screen.db");
}

static void open_on_screen(void) {
    pty p = sit_down("CD", "2026-05-28");
    press(&p, F7, "> Chart number");
    press(&p, "2001\rLarkspur\rOdile\r1999-02-03\r18,28,38,48\r\r", "Is this right?");
    press(&p, "y", "Case 2001 is opened. p imports its plan.");
    press(&p, "p", "> Plan file");
    pty_keys(&p, STORY "plan.csv\r\r" CTRL_U "2026-06-01\r\r\r");
    pty_await(&p, "Is this right?");
    press(&p, "y", "Plan 1 is imported");
    get_up(&p);
}

static void enter_on_screen(const char *today, const char *file, char method, const char *number) {
    sheet s = read_sheet(file);
    char completed[60];
    pty p = sit_down("CD", today);
    press(&p, "2001\re", "being entered");
    press(&p, "k", "wear");
    pty_keys(&p, "\r\r\r\r21\r"); /* aligners and days are as the dates say */
    pty_await(&p, "wear 21");
    char keys[] = {method, '\0'};
    press(&p, keys, method == '3' ? "method photo" : "method scan");
    press(&p, ESC, "s seats");
    type_gaps(&p, &s);
    type_positions(&p, &s);
    snprintf(completed, sizeof completed, "Check-up %s is completed", number);
    press(&p, "e", "to be completed");
    press(&p, "y", completed);
    get_up(&p);
}

/* At the assistant's console, by the doctor who looks over. */
static void sign_on_screen(void) {
    pty p = sit_down("CD", "2026-09-14");
    press(&p, "2001\r", "rule 9, local");
    press(&p, "d", "Type the letters of the choices");
    press(&p, "l", "[x] local");
    press(&p, "s", "Signed by (initials):");
    press(&p, "AB\r", "Passphrase of AB:");
    press(&p, "grey morning kettle\r", "That is not the passphrase of AB.");
    press(&p, DOCTOR_WORDS "\r", "Signed by AB: local measures");
    get_up(&p);
}

static void correct_on_screen(void) {
    pty p = sit_down("AB", "2026-11-10");
    press(&p, "2001\r", "rule 8, correct");
    press(&p, "d", "Type the letters of the choices");
    press(&p, "k", "It can be signed as an order");
    press(&p, "c5\r", "Cause: staging.");
    press(&p, "s", "[x] correct");
    press(&p, "s\r", "Passphrase of AB:");
    press(&p, DOCTOR_WORDS "\r", "Signed by AB: correct. Plan 2 starts");
    get_up(&p);
}

static void on_screen(void) {
    open_on_screen();
    enter_on_screen("2026-09-14", STORY "checkup-1.csv", '3', "1");
    sign_on_screen();
    enter_on_screen("2026-11-09", STORY "checkup-2.csv", '5', "2");
    correct_on_screen();
}

static void by_command(void) {
    setenv("MIDCOURSE_DB", "command.db", 1);
    assert_run(0, "Opened case 2001",
               "midcourse --as CD case new --chart 2001 --name 'Larkspur, Odile' --born 1999-02-03 "
               "--missing 18,28,38,48");
    assert_run(0, "Upper  24 aligners",
               "midcourse --as CD plan import 2001 " STORY "plan.csv --start 2026-06-01");
    setenv("MIDCOURSE_TODAY", "2026-09-14", 1);
    assert_run(0, "check-up 1 completed",
               "midcourse --as CD checkup import 2001 " STORY
               "checkup-1.csv --date 2026-09-14 --aligner 8 --day 8 --wear 21 --method photo");
    assert_run(0, "Signed by AB: local",
               "midcourse --as AB decide 2001 --choice local --passphrase-fd 3 3<doctor");
    setenv("MIDCOURSE_TODAY", "2026-11-09", 1);
    assert_run(0, "check-up 2 completed",
               "midcourse --as CD checkup import 2001 " STORY
               "checkup-2.csv --date 2026-11-09 --aligner 12 --day 8 --wear 21 --method scan");
    setenv("MIDCOURSE_TODAY", "2026-11-10", 1);
    assert_run(0, "Wrote draft.csv", "midcourse revise 2001 --out draft.csv");
    assert_run(0, "Plan 2 is open",
               "midcourse --as AB decide 2001 --choice correct --plan draft.csv --cause staging "
               "--passphrase-fd 3 3<doctor");
    unsetenv("MIDCOURSE_DB");
}

/* ---- what is on record ---- */

static char first_answer[sizeof run_output];

/* Both records answer a command alike. */
static void same(const char *command) {
    assert_int_equal(run("midcourse --db screen.db %s", command), 0);
    strcpy(first_answer, run_output);
    assert_int_equal(run("midcourse --db command.db %s", command), 0);
    if (strcmp(first_answer, run_output) != 0)
        fail_msg("%s: by screen\n%s\nby command\n%s", command, first_answer, run_output);
    assert_true(strlen(run_output) > 20);
}

static mc_decision *decisions(const char *path, size_t *count, mc_practice **practice) {
    mc_day day = 0;
    mc_case kase;
    mc_decision *list = NULL;
    mc_error error = {0};
    assert_true(mc_day_parse("2026-11-10", &day));
    assert_int_equal(mc_practice_open(path, day, practice, &error), MC_OK);
    assert_int_equal(mc_case_find(*practice, "2001", &kase, &error), MC_OK);
    assert_int_equal(
        mc_record_decisions(mc_practice_record(*practice), &kase.id, &list, count, &error), MC_OK);
    return list;
}

/* What was signed, and what was seen when signing, word for word but for identities. */
static void same_decisions(void) {
    mc_practice *screen, *command;
    size_t count = 0, other = 0;
    mc_decision *a = decisions("screen.db", &count, &screen);
    mc_decision *b = decisions("command.db", &other, &command);
    assert_int_equal(count, 2);
    assert_int_equal(other, 2);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(a[i].checkup, b[i].checkup);
        assert_int_equal(a[i].choices, b[i].choices);
        assert_int_equal(a[i].cause, b[i].cause);
        assert_string_equal(a[i].reason, b[i].reason);
        assert_string_equal(a[i].by, "AB");
        assert_string_equal(b[i].by, "AB");
        assert_string_equal(a[i].evidence, b[i].evidence);
        assert_true(strlen(a[i].evidence) > 1000);
    }
    mc_decision_free(a, count);
    mc_decision_free(b, other);
    mc_practice_close(screen);
    mc_practice_close(command);
}

static void same_record(void) {
    same("--json case show 2001");
    same("--json plan show 2001");
    same("plan export 2001");
    same("--json checkup list 2001");
    same("--json score 2001 --checkup 1");
    same("--json score 2001 --checkup 2");
    same("--json options 2001 --checkup 2");
    same("--json roster");
    /* what was done, but for the moment, the hash, and that the check-ups were begun */
    same("journal 2001 | cut -c 18- | grep -v begun");
    same_decisions();
    assert_run(0, "is sound", "midcourse --db screen.db verify");
    assert_run(0, "is sound", "midcourse --db command.db verify");
}

static void whole_job_on_screen(void **state) {
    (void)state;
    run_begin();
    make_practices();
    on_screen();
    setenv("MIDCOURSE_TODAY", "2026-05-28", 1);
    by_command();
    same_record();
    run_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(whole_job_on_screen)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
