/* The screens in README.md are the program's own, as the demo practice shows them on one day: type
 * what its heading says and compare line by line. Where a screen was changed on purpose, put what
 * this prints into README. */
#include "run.h"

#include "pty.h"

#define DAY "2026-11-25"

typedef struct picture {
    const char *who;         /* signs in */
    const char *keys, *last; /* what is typed, and what comes then */
    const char *begins;      /* the first line of the picture in README */
} picture;

static const picture PICTURES[] = {
    {"IBA", "", " open cases", " Roster "},
    {"IBA", "1005\r", "F1 ? help", " 1005 Juniper, Ravna  check-up 3 of 3"},
    {"JT", "1001\ret124a\r\r\r1.5\r",
     "short of plan: ", " 1001 Larkspur, Odile  check-up 4 being entered"},
    {"IBA", "1003\rt", "F1 ? help", " 1003 Sorrel, Mirela  check-up 4 of 4"},
    {"IBA", "1003\rdl", "[x] local measures", " 1003 Sorrel, Mirela  decision"},
    {"IBA", "1007\ro", "upper, stage 12.0", " 1007 Thistle, Corvin  check-up 2 of 2"},
    {"IBA", "1005\rdk", "Arrows choose", " 1005 Juniper, Ravna  correction from"},
};

static void play(void *context) {
    const picture *wanted = context;
    setenv("MIDCOURSE_TODAY", DAY, 1);
    execl(PROGRAM, "midcourse", "--db", "demo.db", "--as", wanted->who, (char *)NULL);
    _exit(98);
}

/* A line of README, without its end and the blanks there. */
static bool next_line(FILE *file, char line[PTY_LINE]) {
    if (!fgets(line, PTY_LINE, file))
        return false;
    size_t length = strlen(line);
    while (length > 0 && strchr(" \n", line[length - 1]))
        line[--length] = '\0';
    return true;
}

/* Go to the line that a picture begins with; false where README has none such. */
static bool find_picture(FILE *readme, const picture *wanted, char line[PTY_LINE]) {
    while (next_line(readme, line))
        if (strncmp(line, "    ", 4) == 0 &&
            strncmp(line + 4, wanted->begins, strlen(wanted->begins)) == 0)
            return true;
    return false;
}

static void compare(const pty *p, const picture *wanted) {
    char line[PTY_LINE], row[PTY_LINE];
    FILE *readme = fopen(TESTS "/../README.md", "r");
    assert_non_null(readme);
    bool found = find_picture(readme, wanted, line);
    for (int i = 0; found && i < p->rows; i++) {
        const char *text = strncmp(line, "    ", 4) == 0 ? line + 4 : line;
        if (strcmp(pty_row(p, i, row), text) != 0) {
            pty_print(p);
            fail_msg("README.md, '%s', line %d:\n  is  '%s'\n  not '%s'", wanted->begins, i + 1,
                     text, row);
        }
        assert_true(i + 1 == p->rows || next_line(readme, line));
    }
    fclose(readme);
    if (!found) {
        pty_print(p);
        fail_msg("README.md has no picture that begins with '%s'", wanted->begins);
    }
}

static void readme_shows_the_real_screens(void **state) {
    (void)state;
    run_begin();
    setenv("MIDCOURSE_TODAY", DAY, 1);
    assert_run(0, "invented", "midcourse --db master.db demo --no-open");
    for (size_t i = 0; i < sizeof PICTURES / sizeof *PICTURES; i++) {
        assert_run(0, "", "cp master.db demo.db");
        pty p =
            pty_start((pty_setting){.rows = 24, .cols = 80}, play, (void *)(uintptr_t)&PICTURES[i]);
        pty_await(&p, " open cases");
        pty_keys(&p, PICTURES[i].keys);
        pty_await(&p, PICTURES[i].last);
        compare(&p, &PICTURES[i]);
        pty_keys(&p, "\021");
        pty_ended_well(&p);
        assert_run(0, "", "rm demo.db");
    }
    run_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(readme_shows_the_real_screens)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
