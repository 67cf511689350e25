/* The terminal: opened, listened to, left clean. */
#include "terminal.h"

#include <curses.h>
#include <errno.h>
#include <locale.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <term.h>
#include <time.h>
#include <unistd.h>
#include <utf8proc.h>
#include <wchar.h>

/* Set by a signal; the one thing here that is not a value of the console, since a signal's handler
 * can reach nothing else. */
static volatile sig_atomic_t asked_to_leave;

static void ask_to_leave(int signal_number) {
    (void)signal_number;
    asked_to_leave = 1;
}

/* A string of the terminal's description, NULL where it has none. */
static char *capability(const char *name) {
    char *text = tigetstr((char *)name);
    return text && text != (char *)-1 ? text : NULL;
}

/* A sentence instead of the process's end, which is what ncurses does with an unknown terminal. */
static mc_status check_type(const char *type, mc_error *error) {
    int found = 0;
    if (!type || type[0] == '\0')
        return mc_fail(error, MC_REFUSED, "the terminal's type is not known: TERM is not set");
    if (setupterm((char *)type, STDOUT_FILENO, &found) == ERR)
        return mc_fail(error, MC_REFUSED,
                       found == 0   ? "the terminal type '%.60s' is not known to this machine"
                       : found == 1 ? "the terminal type '%.60s' is a printer's; the console needs "
                                      "a screen"
                                    : "no description of the terminal type '%.60s': this machine "
                                      "has no terminal descriptions",
                       type);
    bool can_place = capability("cup") != NULL;
    del_curterm(cur_term);
    if (!can_place)
        return mc_fail(
            error, MC_REFUSED,
            "the terminal type '%.60s' cannot place a cursor; the console needs one that "
            "can",
            type);
    return MC_OK;
}

/* Have the terminal tell what is pasted from what is typed, where it can. */
static void tell_pastes(bool on) {
    char *begin = capability("PS"), *end = capability("PE"), *say = capability(on ? "BE" : "BD");
    if (!begin || !end || !say)
        return;
    define_key(begin, on ? KEY_PASTE_BEGIN : 0);
    define_key(end, on ? KEY_PASTE_END : 0);
    putp(say);
    while (fflush(stdout) != 0 && errno == EINTR) /* by a resize; the rest is still to be written */
        clearerr(stdout);
}

static void catch_signals(terminal *t) {
    struct sigaction leave = {.sa_handler = ask_to_leave};
    sigemptyset(&leave.sa_mask);
    asked_to_leave = 0;
    sigaction(SIGHUP, &leave, &t->old_hangup);
    sigaction(SIGTERM, &leave, &t->old_terminate);
    sigaction(SIGINT, &leave, &t->old_interrupt);
    sigaction(SIGTSTP, NULL, &t->old_stop); /* ncurses puts its own in its place */
}

static void restore_signals(const terminal *t) {
    sigaction(SIGHUP, &t->old_hangup, NULL);
    sigaction(SIGTERM, &t->old_terminate, NULL);
    sigaction(SIGINT, &t->old_interrupt, NULL);
    sigaction(SIGTSTP, &t->old_stop, NULL);
}

mc_status terminal_begin(terminal *t, mc_error *error) {
    const char *type = getenv("TERM");
    if (!isatty(STDIN_FILENO) || !isatty(STDOUT_FILENO))
        return mc_fail(error, MC_REFUSED, "the console needs a terminal to read from and write to");
    mc_status status = check_type(type, error);
    if (status != MC_OK)
        return status;
    setlocale(LC_CTYPE, "");
    catch_signals(t);
    use_env(TRUE);
    use_tioctl(TRUE); /* the terminal's real size, whatever COLUMNS says */
    t->screen = newterm((char *)type, stdout, stdin);
    if (!t->screen) {
        restore_signals(t);
        return mc_fail(error, MC_REFUSED, "the terminal type '%.60s' cannot be used", type);
    }
    set_escdelay(25);
    raw(); /* Ctrl-Q and Ctrl-S are keys like any other */
    noecho();
    nonl();
    keypad(stdscr, TRUE);
    idlok(stdscr, TRUE); /* a list that moves is moved, not written again */
    meta(stdscr, TRUE);
    timeout(KEY_TICK_MS);
    tell_pastes(true);
    return MC_OK;
}

void terminal_end(terminal *t) {
    /* a Ctrl-Z typed from here on is a signal again, and ncurses' own handler would draw a screen
     * that is being taken away */
    struct sigaction nothing = {.sa_handler = SIG_IGN};
    sigemptyset(&nothing.sa_mask);
    sigaction(SIGTSTP, &nothing, NULL);
    tell_pastes(false);
    endwin();
    delscreen(t->screen);
    t->screen = NULL;
    restore_signals(t);
}

/* The terminal has gone away: nothing will ever be read from it again. */
static bool hung_up(void) {
    struct pollfd input = {.fd = STDIN_FILENO, .events = POLLIN};
    return poll(&input, 1, 0) > 0 && input.revents & (POLLHUP | POLLERR | POLLNVAL);
}

/* The character beyond ASCII that begins with this byte. ncurses would do this itself, but keeps
 * on collecting after a byte that begins nothing, and swallows the keys typed after it. */
static int whole_character(int first) {
    utf8proc_uint8_t bytes[4] = {(utf8proc_uint8_t)first};
    utf8proc_int32_t point = 0;
    int length = first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : first >= 0xc0 ? 2 : 1;
    if (MB_CUR_MAX == 1) {
        wint_t wide = btowc(first);
        return wide == WEOF ? KEY_NOTHING : KEY_CHARACTER + (int)wide;
    }
    for (int i = 1; i < length; i++) {
        int next = getch();
        if (next < 0x80 || next > 0xbf) { /* not of this character: a key of its own */
            if (next != ERR)
                ungetch(next);
            return KEY_NOTHING;
        }
        bytes[i] = (utf8proc_uint8_t)next;
    }
    return utf8proc_iterate(bytes, length, &point) == length ? KEY_CHARACTER + point : KEY_NOTHING;
}

/* What a signal interrupts waits too. */
bool terminal_has_key(void) {
    struct pollfd input = {.fd = STDIN_FILENO, .events = POLLIN};
    return asked_to_leave || poll(&input, 1, 0) != 0;
}

void terminal_forget_keys(void) {
    flushinp();
}

int terminal_key(bool wait, bool *gone) {
    timeout(wait ? KEY_TICK_MS : 0);
    int key = getch();
    timeout(KEY_TICK_MS); /* the rest of a character may take longer to come */
    *gone = asked_to_leave || (key == ERR && hung_up());
    switch (key) {
    case ERR:
        return KEY_NOTHING;
    case '\r':
    case KEY_ENTER:
        return '\n';
    case 8:
    case 127:
        return KEY_BACKSPACE;
    default:
        return key >= 0x80 && key <= 0xff ? whole_character(key) : key;
    }
}

double terminal_seconds(void) {
    struct timespec now;
#ifdef CLOCK_BOOTTIME
    clock_gettime(CLOCK_BOOTTIME, &now);
#else
    clock_gettime(CLOCK_MONOTONIC, &now);
#endif
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

int32_t terminal_character(int key) {
    if (key >= KEY_CHARACTER)
        return key - KEY_CHARACTER;
    return key >= ' ' && key < 127 ? key : 0;
}
