/* Keys at random, by a doctor who is signed in and knows the passphrase: whatever is typed, the
 * console goes on, ends when it is told to, and the record is sound. */
#include "demo.h"
#include "pty.h"

#include "midcourse/practice.h"

#include "random.h"

#include <locale.h>

enum { MONKEYS = 20, MONKEY_KEYS = 2000, HANDFUL = 20, AT_ONCE = 4, MOST_VISITS = 400 };

#define ESC "\033"

/* ---- a console on the monkey's own record ---- */

typedef struct monkey {
    int seed;
    char record[120];
    random_source source;
    pty p;
    int keys, visits;
} monkey;

/* The built program itself, so that a crash ends it and is not caught by the tests' own handlers;
 * what the sanitizers say goes to a file beside the record. */
static void play(void *context) {
    const monkey *m = context;
    char log[160];
    snprintf(log, sizeof log, "log_path=%s.said", m->record);
    setenv("ASAN_OPTIONS", log, 1);
    setenv("UBSAN_OPTIONS", log, 1);
    setenv("MIDCOURSE_TODAY", "2026-03-02", 1);
    execl(PROGRAM, "midcourse", "--db", m->record, "--as", "IBA", (char *)NULL);
    _exit(98);
}

static void show_what_was_said(const monkey *m) {
    char command[200];
    snprintf(command, sizeof command, "cat '%s'.said.* >&2", m->record);
    if (system(command) != 0)
        print_message("no sanitizer said anything\n");
}

enum { MOST_ROWS = 60, MOST_COLS = 200 };

/* Tell the console only, and leave the terminal emulator at the largest size: what the console was
 * still drawing for the size before would lie outside a smaller one, which libvterm does not bear.
 */
static void tell_size(monkey *m, int rows, int cols) {
    struct winsize size = {.ws_row = (unsigned short)rows, .ws_col = (unsigned short)cols};
    vterm_set_size(m->p.vt, MOST_ROWS, MOST_COLS);
    m->p.rows = MOST_ROWS;
    m->p.cols = MOST_COLS;
    ioctl(m->p.fd, TIOCSWINSZ, &size);
}

static void visit(monkey *m) {
    pty_setting setting = {.rows = 24, .cols = 80};
    if (m->visits % 3 == 1)
        setting.term = "vt100", setting.rows = 40, setting.cols = 120;
    if (m->visits % 3 == 2)
        setting.ascii = "1", setting.rows = 60, setting.cols = 200;
    m->p = pty_start(setting, play, m);
    m->visits++;
    long until = pty_now_ms() + PTY_PATIENCE_MS;
    while (pty_find(&m->p, " Roster") != 0) {
        if (m->p.ended || pty_now_ms() > until) {
            pty_print(&m->p);
            fail_msg("monkey %d: visit %d began with no roster: %s", m->seed, m->visits, m->p.raw);
        }
        pty_read(&m->p, 50);
    }
}

/* ---- what it types ---- */

static const char *const SPECIAL[] = {
    ESC,
    ESC "OA",
    ESC "OB",
    ESC "OC",
    ESC "OD",
    ESC "OH",
    ESC "OF",
    ESC "[5~",
    ESC "[6~",
    ESC "OP",
    ESC "OQ",
    ESC "OR",
    ESC "OS",
    ESC "[15~",
    ESC "[17~",
    ESC "[18~",
    ESC "[19~",
    ESC "[3~",
    "\t",
    ESC "[Z",
    "\177",
    "\014",
    "\022",
    "\025",
    "\xc3\xa9",
    "\xff",
    "\xe2\x80\xae",
    "e\xcc\x81",
    "\xe6\xbc\xa2",
    "\001",
    "\032",
    ESC "[200~q1005\ry\021" ESC "[201~", /* pasted */
    ESC "[201~",
    ESC "[99;99H",
    ESC "[<0;3;3M",
    "\r",
    "\r",
    "\r",
    "\r",
    "0.4\r",
    "-1,5\r",
    "2.5\r",
    "99\r",
    "1e9\r",
    "nan\r",
    "copper-fern-lantern\r",
    "IBA\r",
    "1005\r",
    "1003\r",
    "1001\r",
    "y",
    "y",
    "t12",
    "tcC",
    "t35",
    "e",
    "e",
    "d",
    "a",
    "u",
    "r",
    "f",
};
enum { SPECIALS = sizeof SPECIAL / sizeof *SPECIAL };

/* Half of the keys mean something somewhere; the rest is any printable one but those that could
 * name a file outside the folder. */
static void type_one(monkey *m) {
    char any[2] = {(char)(' ' + random_below(&m->source, 95)), '\0'};
    if (any[0] == '/' || any[0] == '~')
        any[0] = 's';
    bool special = random_bits(&m->source) % 2 == 0;
    pty_keys(&m->p, special ? SPECIAL[random_below(&m->source, SPECIALS)] : any);
    m->keys++;
}

static void handful(monkey *m) {
    for (int k = 0; k < HANDFUL && m->keys < MONKEY_KEYS; k++)
        type_one(m);
    if (random_bits(&m->source) % 5 == 0)
        tell_size(m, 1 + random_below(&m->source, MOST_ROWS),
                  1 + random_below(&m->source, MOST_COLS));
    pty_read(&m->p, 20);
}

/* ---- what must hold ---- */

/* It left because a question whether to was answered with yes: only so. */
static void left_by_itself(monkey *m) {
    int status = pty_wait(&m->p);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        pty_print(&m->p);
        show_what_was_said(m);
        fail_msg("monkey %d, visit %d, key %d: wait status %d\n%s", m->seed, m->visits, m->keys,
                 status, m->p.raw);
    }
    pty_close(&m->p);
    assert_true(m->visits < MOST_VISITS);
}

/* Until a day stands in the title again; false where it left meanwhile, as one whom a question
 * whether to was answered does: it may take a moment to end. */
static bool draws_again(monkey *m) {
    long until = pty_now_ms() + PTY_PATIENCE_MS;
    pty_keys(&m->p, "\014");
    while (!m->p.ended && pty_find(&m->p, "2026-03-02") != 0) {
        if (pty_now_ms() > until) {
            pty_print(&m->p);
            fail_msg("monkey %d: it draws no more", m->seed);
        }
        pty_read(&m->p, 50);
    }
    return !m->p.ended;
}

/* It still draws, and leaves when it is told to. */
static void still_there(monkey *m) {
    tell_size(m, 24, 80);
    pty_settle(&m->p);
    pty_resize(&m->p, 24, 80);
    pty_settle(&m->p);
    if (draws_again(m))
        pty_keys(&m->p, "\021");
    left_by_itself(m);
}

/* Sound as a whole, and every case of it can be looked at. */
static void record_is_sound(const monkey *m) {
    mc_practice *practice = NULL;
    mc_roster_row *rows = NULL;
    size_t count = 0;
    mc_error error = {0};
    mc_status status = mc_practice_open(m->record, today(), &practice, &error);
    if (status == MC_OK)
        status = mc_record_verify(mc_practice_record(practice), NULL, &error);
    if (status == MC_OK)
        status = mc_roster(practice, today(), &rows, &count, &error);
    for (size_t i = 0; status == MC_OK && i < count; i++) {
        mc_assessment *a = NULL;
        status = mc_assess(practice, &rows[i].kase, 0, false, &a, &error);
        mc_assessment_free(a);
    }
    free(rows);
    mc_practice_close(practice);
    if (status != MC_OK)
        fail_msg("monkey %d: %s", m->seed, error.text);
    assert_true(count >= 16);
}

static void keys_at_random_do_no_harm(void **state) {
    (void)state;
    for (int first = 1; first <= MONKEYS; first += AT_ONCE) {
        static monkey m[AT_ONCE];
        for (int i = 0; i < AT_ONCE; i++) {
            m[i] = (monkey){.seed = first + i, .source = random_seed((uint64_t)(first + i))};
            snprintf(m[i].record, sizeof m[i].record, "%s/%d.db", folder, m[i].seed);
            copy_demo(m[i].record);
            visit(&m[i]);
        }
        for (int step = 0; step < MONKEY_KEYS / HANDFUL; step++)
            for (int i = 0; i < AT_ONCE; i++) {
                handful(&m[i]);
                if (m[i].p.ended) {
                    left_by_itself(&m[i]);
                    visit(&m[i]);
                }
            }
        for (int i = 0; i < AT_ONCE; i++) {
            assert_int_equal(m[i].keys, MONKEY_KEYS);
            still_there(&m[i]);
            record_is_sound(&m[i]);
        }
    }
}

int main(void) {
    setlocale(LC_CTYPE, "C.UTF-8");
    const struct CMUnitTest tests[] = {cmocka_unit_test(keys_at_random_do_no_harm)};
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
