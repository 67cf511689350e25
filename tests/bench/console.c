/* How fast the console answers: a practice of 10,000 invented cases (or CASES) is made, the real
 * program is started under a pseudo-terminal, and keys are typed at it.
 *
 *     bench_console [CASES [FILE]]
 *
 * FILE is made where it does not exist and kept; without it the record is made in a temporary
 * folder and removed. Prints a table and exits 1 where a limit is missed.
 *
 * The time of a key is from just before the key is written to the terminal until the last byte of
 * the screen it led to has been read here. The screen counts as finished when nothing has come for
 * QUIET_MS and the program sleeps, as Linux tells of it; that wait is not part of the time, but a
 * program that still computes, or writes in parts, is waited for and its time counts to the last
 * part. What is read is put into a terminal emulator only afterwards. A key that leads to no byte
 * at all is a failure, not a fast answer. Beside the time stands how much of it the program spent
 * on a processor, by Linux's account: on a machine that does other things the rest is waiting for
 * them. Before each scene the screen is looked at, so that the keys are known to have gone where
 * they should. */
#include "../console/pty.h"

#include <unistd.h>

#include "practice_of.h"

enum { CASES = 10000, QUIET_MS = 15, STARTS = 9, MOST_KEYS = 20000, MOST_BYTES = 1 << 20 };

static const double START_MS = 100, MEDIAN_MS = 2, MOST_MS = 16, MOVE_BYTES = 400;

/* ---- what is typed ---- */

#define DOWN "\033OB"
#define UP "\033OA"
#define RIGHT "\033OC"
#define LEFT "\033OD"
#define PAGE_DOWN "\033[6~"
#define PAGE_UP "\033[5~"
#define HOME "\033OH"
#define END "\033OF"
#define BACKSPACE "\177"

typedef enum group {
    ROSTER_MOVE,
    ROSTER_PAGE,
    NARROW,
    OPEN_CHART,
    CHART_MOVE,
    CHART_STEP,
    BACK,
    GROUPS
} group;

/* moves: its median of bytes is held to the limit of a cursor's move. */
static const struct {
    const char *name;
    bool moves;
} GROUP[GROUPS] = {[ROSTER_MOVE] = {"roster: cursor a case on or back", true},
                   [ROSTER_PAGE] = {"roster: a page, to the end, to the top", false},
                   [NARROW] = {"roster: a letter typed or taken back", false},
                   [OPEN_CHART] = {"roster: open a chart", false},
                   [CHART_MOVE] = {"chart: cursor to another tooth", true},
                   [CHART_STEP] = {"chart: another check-up", false},
                   [BACK] = {"chart: back to the roster", false}};

/* A key, typed so often; a scene begins with the text that is to stand on the screen then. */
typedef struct keystroke {
    group of;
    const char *key;
    int times;
    const char *scene; /* NULL: the scene goes on */
} keystroke;

static const keystroke KEYS[] = {
    {ROSTER_MOVE, DOWN, 40, "Find:"},
    {ROSTER_MOVE, UP, 20, NULL},
    {ROSTER_PAGE, PAGE_DOWN, 6, NULL},
    {ROSTER_PAGE, PAGE_UP, 5, NULL},
    {ROSTER_PAGE, END, 1, NULL},
    {ROSTER_PAGE, HOME, 1, NULL},
    {ROSTER_MOVE, DOWN, 3, NULL},
    {NARROW, "o", 1, NULL},
    {NARROW, "p", 1, NULL},
    {NARROW, "a", 1, NULL},
    {NARROW, "l", 1, NULL},
    {NARROW, BACKSPACE, 4, "Find: opal"},
    {NARROW, "2", 1, NULL},
    {NARROW, "4", 1, NULL},
    {NARROW, "0", 1, NULL},
    {NARROW, "0", 1, NULL},
    {NARROW, "5", 1, NULL}, /* a case with three check-ups */
    {OPEN_CHART, "\r", 1, "Find: 24005"},
    {CHART_MOVE, RIGHT, 5, "check-up 3 of 3"},
    {CHART_MOVE, LEFT, 5, NULL},
    {CHART_MOVE, "\t", 2, NULL},
    {CHART_MOVE, END, 1, NULL},
    {CHART_MOVE, HOME, 1, NULL},
    {CHART_STEP, "[", 2, NULL},
    {CHART_STEP, "]", 2, "check-up 1 of 3"},
    {BACK, "q", 1, "check-up 3 of 3"},
};
enum { ROUNDS = 25 };

/* ---- the program ---- */

static double milliseconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec * 1e3 + (double)now.tv_nsec / 1e6;
}

static void run_program(void *path) {
    execl(PROGRAM, PROGRAM, "--db", (const char *)path, (char *)NULL);
    _exit(99);
}

/* Neither computing nor writing: it waits for something. */
static bool sleeps(pid_t pid) {
    char path[64], text[400] = "";
    snprintf(path, sizeof path, "/proc/%ld/stat", (long)pid);
    FILE *file = fopen(path, "r");
    if (!file)
        return true;
    size_t length = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[length] = '\0';
    const char *end = strrchr(text, ')');
    return !end || end[1] == '\0' || end[2] == 'S';
}

/* Read until the screen is finished; the time of the last byte (0 where none came). */
static double finish(pty *p, size_t *bytes) {
    static char data[MOST_BYTES];
    double last = 0;
    size_t length = 0;
    for (;;) {
        struct pollfd ready = {.fd = p->fd, .events = POLLIN};
        int some = poll(&ready, 1, QUIET_MS);
        if (some <= 0 && sleeps(p->pid))
            break;
        if (some <= 0)
            continue;
        ssize_t got = read(p->fd, data + length, sizeof data - length);
        if (got <= 0)
            stop("the program ended, or wrote without end");
        last = milliseconds();
        length += (size_t)got;
    }
    vterm_input_write(p->vt, data, length);
    vterm_screen_flush_damage(p->screen);
    *bytes = length;
    return last;
}

/* How long the program has been on a processor so far. */
static double on_processor(pid_t pid) {
    char path[64];
    unsigned long long ns = 0;
    snprintf(path, sizeof path, "/proc/%ld/schedstat", (long)pid);
    FILE *file = fopen(path, "r");
    if (!file)
        return 0;
    if (fscanf(file, "%llu", &ns) != 1)
        ns = 0;
    fclose(file);
    return (double)ns / 1e6;
}

static void expect(pty *p, const char *text) {
    if (pty_find(p, text) >= 0)
        return;
    pty_print(p);
    stop("'%s' is not on the screen", text);
}

static void leave_program(pty *p) {
    int status;
    pty_keys(p, "\021");
    while (waitpid(p->pid, &status, WNOHANG) == 0)
        pty_read(p, 10);
    pty_close(p);
}

/* ---- the table ---- */

typedef struct series {
    double ms[MOST_KEYS];
    double own[MOST_KEYS]; /* of that on a processor */
    double bytes[MOST_KEYS];
    int count, unanswered;
} series;

static series measured[GROUPS];

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The value that this share of them does not exceed. */
static double quantile(double *values, int count, double share) {
    qsort(values, (size_t)count, sizeof *values, by_size);
    int place = (int)(share * count);
    return values[place < count ? place : count - 1];
}

/* "*" behind a number that is over its limit. */
static const char *over(double value, double limit, bool *missed) {
    *missed = *missed || !(value < limit);
    return value < limit ? " " : "*";
}

static void print_group(int g, bool *missed) {
    series *s = &measured[g];
    double median = quantile(s->ms, s->count, 0.5), most = quantile(s->ms, s->count, 0.99);
    double bytes = quantile(s->bytes, s->count, 0.5);
    double own = quantile(s->own, s->count, 0.5);
    printf("  %-40s %6d %8.2f%s %8.2f%s %8.2f %8.2f %8.0f%s\n", GROUP[g].name, s->count, median,
           over(median, MEDIAN_MS, missed), most, over(most, MOST_MS, missed), s->ms[s->count - 1],
           own, bytes, GROUP[g].moves ? over(bytes, MOVE_BYTES, missed) : " ");
    if (s->unanswered > 0) {
        printf("  %-40s %6d keys led to nothing\n", "", s->unanswered);
        *missed = true;
    }
}

static void print_table(double start, double slowest, double own, bool *missed) {
    printf("  %-40s %6s %8s  %8s  %8s %8s %8s\n", "", "keys", "median", "99 %", "slowest",
           "own time", "bytes");
    printf("  %-40s %6d %8.2f%s %8s  %8.2f %8.2f\n", "start to the first screen", STARTS, start,
           over(start, START_MS, missed), "", slowest, own);
    for (int g = 0; g < GROUPS; g++)
        print_group(g, missed);
    printf("  %-40s %6s %8.2f  %8.2f  %8s %8s %8.0f\n", "limit of a key, in ms", "", MEDIAN_MS,
           MOST_MS, "", "", MOVE_BYTES);
    printf("  %-40s %6s %8.2f\n\n", "limit of the start, in ms", "", START_MS);
}

/* ---- the scenes ---- */

static void type(pty *p, const keystroke *k) {
    series *s = &measured[k->of];
    size_t bytes;
    double own = on_processor(p->pid), before = milliseconds();
    pty_keys(p, k->key);
    double after = finish(p, &bytes);
    if (s->count == MOST_KEYS)
        stop("more keys than there is room for");
    s->unanswered += after == 0;
    s->ms[s->count] = after > 0 ? after - before : 0;
    s->own[s->count] = on_processor(p->pid) - own;
    s->bytes[s->count++] = (double)bytes;
}

static void type_all(pty *p) {
    for (int round = 0; round < ROUNDS; round++)
        for (size_t i = 0; i < sizeof KEYS / sizeof *KEYS; i++) {
            if (KEYS[i].scene)
                expect(p, KEYS[i].scene);
            for (int n = 0; n < KEYS[i].times; n++)
                type(p, &KEYS[i]);
        }
}

static double start_once(pty_setting setting, char *path, pty *p) {
    size_t bytes;
    double before = milliseconds();
    *p = pty_start(setting, run_program, path);
    double after = finish(p, &bytes);
    expect(p, "Find:");
    return after - before;
}

static bool measure(char *path, size_t cases, int cols, int rows) {
    double starts[STARTS], own[STARTS];
    bool missed = false;
    pty p;
    pty_setting setting = {.rows = rows, .cols = cols};
    memset(measured, 0, sizeof measured);
    for (int i = 0; i < STARTS; i++) {
        starts[i] = start_once(setting, path, &p);
        own[i] = on_processor(p.pid);
        if (i + 1 < STARTS)
            leave_program(&p);
    }
    type_all(&p);
    leave_program(&p);
    double start = quantile(starts, STARTS, 0.5);
    printf("%zu cases, terminal of %dx%d\n", cases, cols, rows);
    print_table(start, starts[STARTS - 1], quantile(own, STARTS, 0.5), &missed);
    return missed;
}

/* ---- the record ---- */

/* Every case looked through once, as the console does by itself in its first minute. */
static void look_through(const char *path, mc_day today) {
    mc_practice *practice;
    mc_roster_row *rows;
    size_t count;
    mc_error error = {0};
    must(mc_practice_open(path, today, &practice, &error), &error);
    double before = milliseconds();
    must(mc_roster(practice, today, &rows, &count, &error), &error);
    double first = milliseconds();
    free(rows);
    must(mc_roster(practice, today, &rows, &count, &error), &error);
    double again = milliseconds();
    free(rows);
    mc_practice_close(practice);
    printf("%zu open cases looked through in %.1f s (%.2f ms a case), again in %.0f ms\n\n", count,
           (first - before) / 1e3, (first - before) / (double)count, again - first);
}

static mc_day this_day(void) {
    mc_day day;
    char text[11];
    time_t now = time(NULL);
    struct tm local;
    localtime_r(&now, &local);
    strftime(text, sizeof text, "%Y-%m-%d", &local);
    if (!mc_day_parse(text, &day))
        stop("what day is it?");
    return day;
}

int main(int argc, char **argv) {
    char folder[] = "/tmp/bench-console-XXXXXX", path[400], command[100];
    size_t cases = argc > 1 ? strtoul(argv[1], NULL, 10) : CASES;
    bool own = argc < 3, missed = false;
    if (cases < 16 || (own && !mkdtemp(folder)))
        stop("usage: bench_console [CASES [FILE]], at least 16 cases");
    snprintf(path, sizeof path, own ? "%s/practice.db" : "%s", own ? folder : argv[2]);
    if (access(path, F_OK) != 0)
        make_practice_of(path, cases, this_day());
    look_through(path, this_day());
    missed |= measure(path, cases, 80, 24);
    missed |= measure(path, cases, 200, 60);
    if (own) {
        snprintf(command, sizeof command, "rm -rf '%s'", folder);
        if (system(command) != 0)
            stop("%s: cannot be removed", folder);
    }
    printf(missed ? "A limit is missed (*).\n" : "Every limit is held.\n");
    return missed ? 1 : 0;
}
