/* Opening a case and importing its plan at the console, under a real terminal: what is typed is
 * what is on record, what cannot be so is said at its field, and only a letter does anything.
 * Invented people and teeth. */
#include "pty.h"

#include "midcourse/console.h"

#include <sys/stat.h>

#define ESC "\033"
#define F7 "\033[18~"
#define UP "\033OA"
#define DOWN "\033OB"
#define CTRL_Q "\021"
#define CTRL_U "\025"
#define WORDS "slow river stones"

static char folder[64];

static mc_day today(void) {
    mc_day day = 0;
    assert_true(mc_day_parse("2026-03-02", &day));
    return day;
}

static void done(mc_status status, const mc_error *error) {
    if (status != MC_OK)
        fail_msg("%s", error->text);
}

/* ---- a folder with an empty practice: AB a doctor, CD an assistant, EF at the desk ---- */

static void write_text(const char *name, const char *text) {
    FILE *file = fopen(name, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

static int begin(void **state) {
    (void)state;
    mc_practice *practice = NULL;
    mc_error error = {0};
    snprintf(folder, sizeof folder, "/tmp/midcourse-test-XXXXXX");
    assert_non_null(mkdtemp(folder));
    assert_int_equal(chdir(folder), 0);
    setenv("HOME", folder, 1);
    setenv("MIDCOURSE_TODAY", "2026-03-02", 1);
    done(mc_practice_make("p.db", today(), "AB", WORDS, &practice, &error), &error);
    done(mc_staff_add(practice, "CD", MC_ASSISTANT, WORDS, NULL, &error), &error);
    done(mc_staff_add(practice, "EF", MC_DESK, WORDS, NULL, &error), &error);
    mc_practice_close(practice);
    write_text("plan.csv", "tooth,stage,mesial_mm,rotation_deg\n12,4,0.4,6\n12,12,1.2,18\n"
                           "33,10,,-9\n");
    return 0;
}

static int end(void **state) {
    (void)state;
    char command[100];
    assert_int_equal(chdir("/"), 0);
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static void play(void *who) {
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_status status = mc_practice_open("p.db", today(), &practice, &error);
    if (status == MC_OK && who)
        status = mc_practice_act_as(practice, who, &error);
    if (status == MC_OK)
        status = mc_console_run(practice, NULL, NULL, &error);
    mc_practice_close(practice);
    _exit((int)status);
}

static const pty_setting SMALL = {.rows = 24, .cols = 80};

static pty at_roster(const char *who) {
    pty p = pty_start(SMALL, play, (void *)(uintptr_t)who);
    pty_await(&p, "open case");
    return p;
}

static pty at_form(const char *who) {
    pty p = at_roster(who);
    pty_keys(&p, F7);
    pty_await(&p, "> Chart number");
    return p;
}

static void leave(pty *p) {
    pty_keys(p, CTRL_Q);
    pty_ended_well(p);
}

/* ---- what is on record ---- */

static size_t entries(void) {
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_entry *list = NULL;
    size_t count = 0;
    done(mc_practice_open("p.db", today(), &practice, &error), &error);
    done(mc_record_journal(mc_practice_record(practice), NULL, &list, &count, &error), &error);
    mc_entries_free(list, count);
    mc_practice_close(practice);
    return count;
}

static mc_case find_case(const char *label) {
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_case kase = {0};
    done(mc_practice_open("p.db", today(), &practice, &error), &error);
    done(mc_case_find(practice, label, &kase, &error), &error);
    mc_practice_close(practice);
    return kase;
}

static void run(const char *command, char *out, size_t size) {
    char line[600];
    snprintf(line, sizeof line, "midcourse() { '%s' \"$@\"; }; { %s; } 2>&1", PROGRAM, command);
    FILE *pipe = popen(line, "r");
    assert_non_null(pipe);
    size_t length = fread(out, 1, size - 1, pipe);
    out[length] = '\0';
    if (pclose(pipe) != 0)
        fail_msg("%s: %s", command, out);
}

/* Both records answer a command alike. */
static void same_answer(const char *command) {
    static char ours[1 << 16], theirs[1 << 16];
    char line[300];
    snprintf(line, sizeof line, "midcourse --db p.db %s", command);
    run(line, ours, sizeof ours);
    snprintf(line, sizeof line, "midcourse --db q.db %s", command);
    run(line, theirs, sizeof theirs);
    assert_string_equal(ours, theirs);
}

/* ---- from the telephone to the plan ---- */

static void a_case_is_opened_at_the_desk(void **state) {
    (void)state;
    static char said[4000];
    run("cp p.db q.db", said, sizeof said);
    pty p = at_form("EF");
    pty_keys(&p, "3001\rLarkspur\rOdile\r1999-02-03\r18, 28\r36\r");
    pty_await(&p, "Is this right?");
    assert_true(pty_find(&p, "Larkspur, Odile") > 0);
    assert_true(pty_find(&p, "1999-02-03, 27 years old") > 0);
    assert_true(pty_find(&p, "18 28") > 0);
    size_t before = entries();
    pty_keys(&p, "3001\r\r0123456789\r"); /* what a scanner or a caliper types */
    pty_settle(&p);
    assert_true(pty_find(&p, "Is this right?") > 0);
    assert_int_equal(entries(), before);
    pty_keys(&p, "y");
    pty_await(&p, "Case 3001 is opened. A doctor or an assistant imports its plan.");
    assert_int_equal(entries(), before + 1);
    pty_keys(&p, "p");
    pty_await(&p, "only a doctor or an assistant imports a plan");
    pty_keys(&p, ESC);
    pty_await(&p, "1 open case");
    assert_true(pty_find(&p, "3001") > 0);
    leave(&p);
}

static void its_plan_is_imported_by_an_assistant(void **state) {
    (void)state;
    pty p = at_roster("CD");
    pty_keys(&p, "3001\r");
    pty_await(&p, "p imports it");
    pty_keys(&p, "p");
    pty_await(&p, "> Plan file");
    pty_keys(&p, "~/plan.csv\r\r2026-03-05\r\r7\r");
    pty_await(&p, "Is this right?");
    assert_true(pty_find(&p, "12 aligners, 14 days each, to ") > 0);
    assert_true(pty_find(&p, "10 aligners, 7 days each, to ") > 0);
    assert_true(pty_find(&p, "Larkspur, Odile") > 0);
    pty_keys(&p, "1\r");
    pty_settle(&p);
    assert_true(pty_find(&p, "Is this right?") > 0);
    pty_keys(&p, "y");
    pty_await(&p, "Plan 1 is imported; its first aligner is begun on 2026-03-05.");
    pty_keys(&p, "p");
    pty_await(&p, "This case has plan 1 already");
    leave(&p);
}

/* The same by commands gives the same record. */
static void as_by_command(void **state) {
    (void)state;
    static char said[4000];
    run("midcourse --db q.db --as EF case new --chart 3001 --name 'Larkspur, Odile' --born "
        "1999-02-03 --missing 18,28 --fixed 36",
        said, sizeof said);
    run("midcourse --db q.db --as CD plan import 3001 plan.csv --start 2026-03-05 "
        "--upper-interval 14 --lower-interval 7",
        said, sizeof said);
    same_answer("--json case show 3001");
    same_answer("--json plan show 3001");
    same_answer("plan export 3001");
    same_answer("--json journal 3001 | grep -E '\"(action|by|detail|plan|start|hash|stages)\"' | "
                "grep -v '\"hash\": \"[0-9a-f]*\"$'");
    same_answer("roster");
    same_answer("verify | tail -1");
}

/* ---- what cannot be so ---- */

static void each_field_says_what_cannot_be(void **state) {
    (void)state;
    static const struct {
        int field;
        const char *text, *why;
    } faults[] = {{0, "", "the chart number is empty"},
                  {0, "30/1", "a chart number has no '/'"},
                  {0, "3001", "has an open case"},
                  {0, "123456789012345678901234567890123", "no room for more"},
                  {1, "", "the family name is empty"},
                  {1, "Lark\xc2\xa0", "begins or ends with a blank"},
                  {3, "", "written YYYY-MM-DD"},
                  {3, "1999-02-30", "written YYYY-MM-DD"},
                  {3, "3.2.1999", "written YYYY-MM-DD"},
                  {3, "2026-03-03", "after today"},
                  {4, "19", "19 is no tooth"},
                  {4, "18,xx", "xx is no tooth"},
                  {4, "11111111111111111111", "is no tooth"},
                  {5, "18", "18 is named among the missing teeth"}};
    size_t before = entries();
    pty p = at_form("EF");
    pty_keys(&p, DOWN DOWN DOWN DOWN "18 28" UP UP UP UP);
    pty_settle(&p);
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
        for (int down = 0; down < faults[i].field; down++)
            pty_keys(&p, DOWN);
        pty_keys(&p, CTRL_U);
        pty_keys(&p, faults[i].text);
        if (!strstr(faults[i].why, "no room"))
            pty_keys(&p, "\r");
        pty_await(&p, faults[i].why);
        pty_keys(&p, CTRL_U);
        if (faults[i].field == 4)
            pty_keys(&p, "18 28");
        for (int up = 0; up < faults[i].field; up++)
            pty_keys(&p, UP);
        pty_settle(&p);
    }
    /* Enter on the last field leads to the first that cannot be so */
    pty_keys(&p, "3002" DOWN DOWN DOWN DOWN DOWN "\r");
    pty_await(&p, "> Family name");
    assert_int_equal(pty_find(&p, "Is this right?"), -1);
    assert_int_equal(entries(), before);
    leave(&p);
}

static void escape_leaves_nothing(void **state) {
    (void)state;
    size_t before = entries();
    pty p = at_form("EF");
    pty_keys(&p, "3002\rLark\r\r2000-01-01\r\r\r");
    pty_await(&p, "Is this right?");
    pty_keys(&p, ESC);
    pty_await(&p, "> Not to be moved");
    assert_true(pty_find(&p, "3002") > 0); /* what was typed is still there */
    pty_keys(&p, ESC);
    pty_await(&p, "No case was opened.");
    assert_int_equal(entries(), before);
    leave(&p);
}

static void somebody_has_to_be_signed_in(void **state) {
    (void)state;
    pty p = at_roster(NULL);
    pty_keys(&p, "\016"); /* Ctrl-N, where there is no F7 */
    pty_await(&p, "sign in first");
    pty_keys(&p, "ef\r" WORDS "\r");
    pty_await(&p, "> Chart number");
    leave(&p);
}

/* Marks, letters of two columns, letters from the right; what steers a terminal is not typed. */
static void names_of_every_script(void **state) {
    (void)state;
    pty p = at_form("EF");
    pty_keys(&p, "3003\rE\xcc\x81lo\xc3\xafse-\xe5\xb1\xb1\xe7\x94\xb0\r");
    pty_keys(&p, "\xd7\x93\xd7\x91\xd7\x95\xe2\x80\xae\xd7\xa8\xd7\x94\x01\xc2\x9b?\r");
    pty_keys(&p, "2001-04-30\r\r\r");
    pty_await(&p, "Is this right?");
    pty_keys(&p, "y");
    pty_await(&p, "Case 3003 is opened.");
    leave(&p);
    mc_case kase = find_case("3003");
    assert_string_equal(kase.name, "E\xcc\x81lo\xc3\xafse-\xe5\xb1\xb1\xe7\x94\xb0, "
                                   "\xd7\x93\xd7\x91\xd7\x95\xd7\xa8\xd7\x94?");
}

/* A list copied from elsewhere goes into the field, and no line of it does anything. */
static void what_is_pasted_is_text(void **state) {
    (void)state;
    size_t before = entries();
    pty p = at_form("EF");
    pty_keys(&p, "3004\rLark\r\r2000-01-01\r");
    pty_keys(&p, ESC "[200~18\n28\ny\n" ESC "[201~");
    pty_await(&p, "18 28 y");
    assert_true(pty_find(&p, "> Missing teeth") > 0);
    pty_keys(&p, "\177\177\r48,38\r");
    pty_await(&p, "Is this right?");
    assert_true(pty_find(&p, "18 28") > 0);
    assert_true(pty_find(&p, "48 38") > 0); /* in the order of the chart */
    leave(&p);
    assert_int_equal(entries(), before);
}

/* Who was here before need not be typed again, and has a second course. */
static void a_second_course(void **state) {
    (void)state;
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_tooth_state states[MC_TEETH];
    mc_case first;
    mc_usual_teeth(states);
    done(mc_practice_open("p.db", today(), &practice, &error), &error);
    done(mc_practice_act_as(practice, "AB", &error), &error);
    done(mc_case_open(practice, "3005", "Heron, Ada", today() - 9000, states, &first, &error),
         &error);
    done(mc_case_close(practice, &first, &error), &error);
    mc_practice_close(practice);
    pty p = at_form("EF");
    pty_keys(&p, "3005\r");
    pty_await(&p, "Heron");
    assert_true(pty_find(&p, "Ada") > 0);
    pty_keys(&p, "\r\r\r\r\r");
    pty_await(&p, "number 2 of this person");
    pty_keys(&p, "y");
    pty_await(&p, "Case 3005/2 is opened.");
    leave(&p);
    assert_int_equal(find_case("3005").number, 2);
}

/* The record says why where it refuses what the page could not know. */
static void somebody_else_was_quicker(void **state) {
    (void)state;
    static char said[4000];
    pty p = at_form("EF");
    pty_keys(&p, "3006\rLark\r\r2000-01-01\r\r\r");
    pty_await(&p, "Is this right?");
    run("midcourse --db p.db --as AB case new --chart 3006 --name Wren --born 2001-01-01", said,
        sizeof said);
    pty_keys(&p, "y");
    pty_await(&p, "that of Wren");
    assert_true(pty_find(&p, "> Not to be moved") > 0);
    leave(&p);
    assert_string_equal(find_case("3006").name, "Wren");
}

/* ---- the plan's file ---- */

static pty at_plan(void) {
    pty p = at_roster("AB");
    pty_keys(&p, "3003\r");
    pty_await(&p, "p imports it");
    pty_keys(&p, "p");
    pty_await(&p, "> Plan file");
    return p;
}

static void a_file_that_cannot_be_read(void **state) {
    (void)state;
    size_t before = entries();
    assert_int_equal(mkdir("place", 0700), 0);
    FILE *large = fopen("large.csv", "w");
    assert_non_null(large);
    assert_int_equal(ftruncate(fileno(large), MC_LARGEST_FILE + 1), 0);
    assert_int_equal(fclose(large), 0);
    static const char *const faults[][2] = {{"", "which file is the plan in?"},
                                            {"absent.csv", "No such file"},
                                            {"-", "No such file"}, /* not what is typed next */
                                            {"~/place", "a folder, not a file"},
                                            {"large.csv", "larger than 8 MiB"}};
    pty p = at_plan();
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
        pty_keys(&p, CTRL_U);
        pty_keys(&p, faults[i][0]);
        pty_keys(&p, "\r");
        pty_await(&p, faults[i][1]);
        assert_true(pty_find(&p, "> Plan file") > 0);
    }
    pty_keys(&p, ESC);
    pty_await(&p, "No plan was imported.");
    assert_int_equal(entries(), before);
    leave(&p);
}

static void each_field_of_a_plan_says_what_cannot_be(void **state) {
    (void)state;
    static const char *const faults[][2] = {{"latin", "it is iso, universal or quadrant"},
                                            {"2026-13-01", "written YYYY-MM-DD"},
                                            {"0", "1 to 365 whole days"},
                                            {"366", "1 to 365 whole days"}};
    static const char *const right[] = {"iso", "2026-03-02", "14", "14"};
    pty p = at_plan();
    pty_keys(&p, "plan.csv\r");
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
        pty_keys(&p, CTRL_U);
        pty_keys(&p, faults[i][0]);
        pty_keys(&p, "\r");
        pty_await(&p, faults[i][1]);
        pty_keys(&p, CTRL_U);
        pty_keys(&p, right[i]);
        pty_keys(&p, "\r");
        pty_settle(&p);
    }
    pty_await(&p, "Is this right?");
    leave(&p);
}

static void a_fault_in_the_file_has_its_place(void **state) {
    (void)state;
    size_t before = entries();
    write_text("wrong.csv", "tooth,stage,mesial_mm\n12,4,0.4\n19,4,0.4\n");
    pty p = at_plan();
    pty_keys(&p, "wrong.csv\r\r\r\r\r");
    pty_await(&p, "line 3, column 1: unknown tooth");
    assert_true(pty_find(&p, "> Plan file") > 0);
    /* put right meanwhile, it is read anew */
    write_text("wrong.csv", "tooth,stage,mesial_mm\n12,4,0.4\n");
    pty_keys(&p, "\r\r\r\r\r");
    pty_await(&p, "4 aligners");
    leave(&p);
    assert_int_equal(entries(), before);
}

static void what_is_unlikely_is_shown_and_accepted_on_purpose(void **state) {
    (void)state;
    write_text("fast.csv", "tooth,stage,mesial_mm\n12,2,1\n13,40,15.5\n");
    size_t before = entries();
    pty p = at_plan();
    pty_keys(&p, "fast.csv\r\r\r\r\r");
    pty_await(&p, "Look at what is unlikely below.");
    assert_true(pty_find(&p, "Unlikely in this file: ") > 0);
    assert_true(pty_find(&p, "0.5 mm a stage mesial") > 0);
    assert_true(pty_find(&p, "further than is likely") > 0);
    pty_keys(&p, "\r1 \r");
    pty_settle(&p);
    assert_int_equal(entries(), before);
    pty_keys(&p, "y");
    pty_await(&p, "Plan 1 is imported");
    leave(&p);
    assert_int_equal(entries(), before + 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_case_is_opened_at_the_desk),
        cmocka_unit_test(its_plan_is_imported_by_an_assistant),
        cmocka_unit_test(as_by_command),
        cmocka_unit_test(each_field_says_what_cannot_be),
        cmocka_unit_test(escape_leaves_nothing),
        cmocka_unit_test(somebody_has_to_be_signed_in),
        cmocka_unit_test(names_of_every_script),
        cmocka_unit_test(what_is_pasted_is_text),
        cmocka_unit_test(a_second_course),
        cmocka_unit_test(somebody_else_was_quicker),
        cmocka_unit_test(a_file_that_cannot_be_read),
        cmocka_unit_test(each_field_of_a_plan_says_what_cannot_be),
        cmocka_unit_test(a_fault_in_the_file_has_its_place),
        cmocka_unit_test(what_is_unlikely_is_shown_and_accepted_on_purpose)};
    return cmocka_run_group_tests(tests, begin, end);
}
