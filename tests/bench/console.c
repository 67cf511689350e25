/* How fast the console answers: a practice of 10,000 invented cases (or CASES) is made, the real
 * program is started under a pseudo-terminal, and keys are typed at it, at three sizes of the
 * terminal.
 *
 *     bench_console [CASES [FILE]]
 *
 * FILE is made where it does not exist and kept; without it the record is made in a temporary
 * folder and removed. Prints one table, each number beside its limit, and exits 1 where one is
 * missed.
 *
 * The time of a key is from just before the key is written to the terminal until the last byte of
 * the screen it led to has been read here; a value entered is committed before its screen is
 * written, so that this is in its time. The screen counts as finished when nothing has come for
 * QUIET_MS and the program sleeps, as Linux tells of it; that wait is not part of the time, but a
 * program that still computes, waits for the disk, or writes in parts is waited for and its time
 * counts to the last part. What is read is put into a terminal emulator only afterwards: drawing it
 * is the terminal's time, not the program's. A key that leads to no byte at all is a failure, not a
 * fast answer. Each round opens another case, so that none is found ready in memory.
 *
 * Beside the time stands how much of it the program spent on a processor, by Linux's account: on a
 * machine that does other things the rest is waiting for them, hence the load average. Before each
 * scene the screen is looked at, so that the keys are known to have gone where they should.
 *
 * Check-ups that are entered are thrown away again; they leave two entries in FILE's journal. */
#include "../console/pty.h"

#include <math.h>
#include <unistd.h>

#include "practice_of.h"

/* DEMO_CASES: of the demo, the first of the record; OPEN_CASES: those of them that are open, of
 * which the rest is made, over and over. */
enum {
    CASES = 10000,
    DEMO_CASES = 22,
    OPEN_CASES = 16,
    QUIET_MS = 15,
    PATIENCE_MS = 2000,
    STARTS = 9,
    ROUNDS = 25,
    MOST_KEYS = 4000,
    MOST_BYTES = 1 << 20
};

static const double START_MS = 100, MEDIAN_MS = 2, MOST_MS = 16, MOVE_BYTES = 400;

static const struct { int cols, rows; } SIZE[] = {{80, 24}, {120, 40}, {200, 60}};
enum { SIZES = sizeof SIZE / sizeof *SIZE };

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
#define ENTER "\r"

typedef enum group {
    ROSTER_MOVE,
    ROSTER_PAGE,
    NARROW,
    OPEN_CHART,
    CHART_MOVE,
    CHART_STEP,
    OPEN_TOOTH,
    TOOTH_MOVE,
    BACK,
    OPEN_FORM,
    FORM_MOVE,
    FORM_TYPE,
    FORM_VALUE,
    FORM_UNDO,
    OPEN_DECISION,
    CHOOSE,
    OPEN_ARCHES,
    ARCHES_MOVE,
    ARCHES_STAGE,
    OPEN_BENCH,
    BENCH_MOVE,
    BENCH_STAGE,
    BENCH_CHANGE,
    GROUPS,
    ASIDE = GROUPS /* on the way to what is measured */
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
                   [OPEN_TOOTH] = {"tooth: open it", false},
                   [TOOTH_MOVE] = {"tooth: another tooth or component", false},
                   [BACK] = {"chart: back to the roster", false},
                   [OPEN_FORM] = {"form: open it", false},
                   [FORM_MOVE] = {"form: cursor to another tooth", true},
                   [FORM_TYPE] = {"form: a character of a number", false},
                   [FORM_VALUE] = {"form: a value entered, with its commit", false},
                   [FORM_UNDO] = {"form: undo, redo, with their commit", false},
                   [OPEN_DECISION] = {"decision: open it", false},
                   [CHOOSE] = {"decision: choose, or no longer", false},
                   [OPEN_ARCHES] = {"occlusal view: open it", false},
                   [ARCHES_MOVE] = {"occlusal view: another tooth", false},
                   [ARCHES_STAGE] = {"occlusal view: another stage", false},
                   [OPEN_BENCH] = {"workbench: open it", false},
                   [BENCH_MOVE] = {"workbench: cursor on or back", false},
                   [BENCH_STAGE] = {"workbench: another stage", false},
                   [BENCH_CHANGE] = {"workbench: a change, re-staged", false}};

/* A key, typed so often; a scene begins with the text that is to stand on the screen then. */
typedef struct keystroke {
    group of;
    const char *key; /* NULL: the five digits of the round's case */
    int times;
    const char *scene; /* NULL: the scene goes on */
} keystroke;

static const keystroke AT_CHART[] = {{ROSTER_MOVE, DOWN, 40, "Find:"},
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
                                     {NARROW, NULL, 1, NULL},
                                     {OPEN_CHART, ENTER, 1, "Find: 2"},
                                     {CHART_MOVE, RIGHT, 5, "check-up 3 of 3"},
                                     {CHART_MOVE, LEFT, 5, NULL},
                                     {CHART_MOVE, "\t", 2, NULL},
                                     {CHART_MOVE, END, 1, NULL},
                                     {CHART_MOVE, HOME, 1, NULL},
                                     {CHART_STEP, "[", 2, NULL},
                                     {CHART_STEP, "]", 2, "check-up 1 of 3"},
                                     {OPEN_TOOTH, "t", 1, "check-up 3 of 3"},
                                     {TOOTH_MOVE, "\t", 1, "c component"},
                                     {TOOTH_MOVE, "c", 6, NULL}, /* where there are several */
                                     {TOOTH_MOVE, "\t", 1, NULL},
                                     {TOOTH_MOVE, RIGHT, 4, NULL},
                                     {ASIDE, "q", 1, "c component"},
                                     {OPEN_ARCHES, "o", 1, "check-up 3 of 3"},
                                     {ARCHES_MOVE, RIGHT, 3, "rowns estimated"},
                                     {ARCHES_MOVE, LEFT, 3, NULL},
                                     {ARCHES_STAGE, "+", 3, NULL},
                                     {ARCHES_STAGE, "-", 2, NULL},
                                     {ARCHES_STAGE, "0", 1, NULL},
                                     {ASIDE, "q", 1, "rowns estimated"},
                                     {BACK, "q", 1, "check-up 3 of 3"},
                                     {0}};

static const keystroke AT_FORM[] = {{ASIDE, NULL, 1, "Find:"},
                                    {ASIDE, ENTER, 1, "Find: 2"},
                                    {OPEN_FORM, "e", 1, "check-up 3 of 3"},
                                    {FORM_VALUE, "3", 1, "check-up 4 being entered"},
                                    {FORM_VALUE, "s", 3, "entered"},
                                    {FORM_UNDO, "u", 2, "entered"},
                                    {FORM_UNDO, "U", 2, "Taken back"},
                                    {FORM_MOVE, RIGHT, 4, "Done again"},
                                    {FORM_MOVE, LEFT, 2, NULL},
                                    {ASIDE, "r", 1, NULL},
                                    {FORM_TYPE, "0", 1, NULL},
                                    {FORM_TYPE, ".", 1, NULL},
                                    {FORM_TYPE, "2", 1, NULL},
                                    {FORM_VALUE, ENTER, 1, "0.2"},
                                    {FORM_TYPE, "0", 1, "entered"},
                                    {FORM_TYPE, ".", 1, NULL},
                                    {FORM_TYPE, "1", 1, NULL},
                                    {FORM_VALUE, ENTER, 1, "0.1"},
                                    {FORM_VALUE, "a", 1, "entered"},
                                    {FORM_UNDO, "u", 3, "the rest seat"},
                                    {ASIDE, "D", 1, "Taken back"},
                                    {ASIDE, "y", 1, "away?"},
                                    {ASIDE, "q", 1, "check-up 3 of 3"},
                                    {0}};

static const keystroke AT_DECISION[] = {{ASIDE, NULL, 1, "Find:"},
                                        {ASIDE, ENTER, 1, "Find: 2"},
                                        {OPEN_DECISION, "d", 1, "check-up 3 of 3"},
                                        {CHOOSE, "c", 2, "decide"},
                                        {CHOOSE, "h", 2, "o longer chosen"},
                                        {CHOOSE, "c", 1, "Chosen"},
                                        {OPEN_BENCH, "k", 1, "instead of"},
                                        {BENCH_MOVE, DOWN, 3, "undo"},
                                        {BENCH_MOVE, RIGHT, 3, NULL},
                                        {BENCH_STAGE, ">", 3, NULL},
                                        {BENCH_CHANGE, "h", 2, NULL},
                                        {BENCH_CHANGE, UP "h", 1, NULL},
                                        {BENCH_CHANGE, "u", 3, NULL},
                                        {ASIDE, "x", 1, NULL},
                                        {ASIDE, "q", 1, "o longer chosen"},
                                        {ASIDE, "y", 1, "are not kept"},
                                        {ASIDE, "q", 1, "check-up 3 of 3"},
                                        {0}};

/* ---- the program ---- */

static double milliseconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec * 1e3 + (double)now.tv_nsec / 1e6;
}

typedef struct started {
    const char *path;
    const char *as; /* NULL: nobody signed in */
} started;

static void run_program(void *context) {
    const started *how = context;
    if (how->as)
        execl(PROGRAM, PROGRAM, "--db", how->path, "--as", how->as, (char *)NULL);
    else
        execl(PROGRAM, PROGRAM, "--db", how->path, (char *)NULL);
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

/* Read until the screen is finished; the time of the last byte (0 where none came). On a machine
 * that does other things the program may still sleep while the key is on its way to it. */
static double finish(pty *p, size_t *bytes) {
    static char data[MOST_BYTES];
    double last = 0, patience = milliseconds() + PATIENCE_MS;
    size_t length = 0;
    for (;;) {
        struct pollfd ready = {.fd = p->fd, .events = POLLIN};
        int some = poll(&ready, 1, QUIET_MS);
        if (some <= 0 && sleeps(p->pid) && (length > 0 || milliseconds() > patience))
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

static series starts[SIZES], measured[SIZES][GROUPS];

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

/* A number beside its limit (NAN: it has none), with "*" where it is over. */
static void print_held(double value, int decimals, double limit, bool *missed) {
    bool over = !isnan(limit) && !(value < limit);
    *missed = *missed || over;
    printf(" %8.*f%s", decimals, value, over ? "*" : " ");
    if (isnan(limit))
        printf("%6s", "");
    else
        printf("of %-3.0f", limit);
}

static void print_series(const char *name, int size, series *s, double median, double most,
                         double bytes, bool *missed) {
    char terminal[24];
    snprintf(terminal, sizeof terminal, "%dx%d", SIZE[size].cols, SIZE[size].rows);
    printf("%-40s %7s %5d", size == 0 ? name : "", terminal, s->count);
    print_held(quantile(s->ms, s->count, 0.5), 2, median, missed);
    print_held(quantile(s->ms, s->count, 0.99), 2, most, missed);
    printf(" %8.2f %8.2f", s->ms[s->count - 1], quantile(s->own, s->count, 0.5));
    print_held(quantile(s->bytes, s->count, 0.5), 0, bytes, missed);
    printf(s->unanswered > 0 ? "  %d led to nothing\n" : "\n", s->unanswered);
    *missed = *missed || s->unanswered > 0;
}

static bool print_table(void) {
    bool missed = false;
    printf("%-40s %7s %5s %8s%7s %8s%7s %8s %8s %8s\n", "milliseconds and bytes of a key", "",
           "keys", "median", "", "99 %", "", "slowest", "own", "bytes");
    for (int size = 0; size < SIZES; size++)
        print_series("start to the first screen", size, &starts[size], START_MS, NAN, NAN, &missed);
    for (int g = 0; g < GROUPS; g++)
        for (int size = 0; size < SIZES; size++)
            print_series(GROUP[g].name, size, &measured[size][g], MEDIAN_MS, MOST_MS,
                         GROUP[g].moves ? MOVE_BYTES : NAN, &missed);
    return missed;
}

static void print_load(const char *when) {
    double load[1];
    if (getloadavg(load, 1) == 1)
        printf("load average %s: %.2f\n", when, load[0]);
}

/* ---- the scenes ---- */

static void keep(series *s, double ms, double own, size_t bytes) {
    if (s->count == MOST_KEYS)
        stop("more keys than there is room for");
    s->ms[s->count] = ms;
    s->own[s->count] = own;
    s->bytes[s->count++] = (double)bytes;
}

static void type(pty *p, series *s, const char *key) {
    size_t bytes;
    double own = on_processor(p->pid), before = milliseconds();
    pty_keys(p, key);
    double after = finish(p, &bytes);
    if (!s)
        return;
    s->unanswered += after == 0;
    keep(s, after > 0 ? after - before : 0, on_processor(p->pid) - own, bytes);
}

/* A case with three check-ups, another one each round, here and there in the record. */
static void type_case(pty *p, series *s, size_t cases, int round) {
    enum { KIND = 5, STRIDE = 13, BEGIN = 2 }; /* the first whole turn after the demo itself */
    char number[16];
    size_t of_kind = (cases - 1 - KIND) / OPEN_CASES - BEGIN + 1;
    size_t n = OPEN_CASES * (BEGIN + (size_t)round * STRIDE % of_kind) + KIND;
    snprintf(number, sizeof number, "%zu", FIRST_CHART + n);
    for (const char *c = number; *c; c++)
        type(p, s, (const char[]){*c, '\0'});
}

static void play(pty *p, const keystroke *keys, int size, size_t cases, int round) {
    for (const keystroke *k = keys; k->times > 0; k++) {
        series *s = k->of == ASIDE ? NULL : &measured[size][k->of];
        if (k->scene)
            expect(p, k->scene);
        for (int n = 0; n < k->times; n++)
            if (k->key)
                type(p, s, k->key);
            else
                type_case(p, s, cases, round);
    }
}

static pty start_once(int size, started how) {
    size_t bytes;
    double before = milliseconds();
    pty_setting setting = {.rows = SIZE[size].rows, .cols = SIZE[size].cols};
    pty p = pty_start(setting, run_program, &how);
    double after = finish(&p, &bytes);
    expect(&p, "Find:");
    keep(&starts[size], after - before, on_processor(p.pid), bytes);
    return p;
}

/* One sitting of somebody, or nobody, signed in. */
static void sit(int size, started how, const keystroke *keys, size_t cases) {
    pty p = start_once(size, how);
    for (int round = 0; round < ROUNDS; round++)
        play(&p, keys, size, cases, round);
    leave_program(&p);
}

static void measure(const char *path, size_t cases, int size) {
    for (int i = 0; i < STARTS; i++) {
        pty p = start_once(size, (started){path, NULL});
        leave_program(&p);
    }
    sit(size, (started){path, NULL}, AT_CHART, cases);
    sit(size, (started){path, "JT"}, AT_FORM, cases);
    sit(size, (started){path, "IBA"}, AT_DECISION, cases);
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
    bool own = argc < 3;
    if (cases < 3 * DEMO_CASES || (own && !mkdtemp(folder)))
        stop("usage: bench_console [CASES [FILE]], at least %d cases", 3 * DEMO_CASES);
    snprintf(path, sizeof path, own ? "%s/practice.db" : "%s", own ? folder : argv[2]);
    if (access(path, F_OK) != 0)
        make_practice_of(path, cases, this_day());
    look_through(path, this_day());
    print_load("when begun");
    for (int size = 0; size < SIZES; size++)
        measure(path, cases, size);
    print_load("at the end");
    printf("\n%zu cases\n", cases);
    bool missed = print_table();
    if (own) {
        snprintf(command, sizeof command, "rm -rf '%s'", folder);
        if (system(command) != 0)
            stop("%s: cannot be removed", folder);
    }
    printf(missed ? "A limit is missed (*).\n" : "Every limit is held.\n");
    return missed ? 1 : 0;
}
