/* The terminal: opened, listened to, left clean. */
#include "terminal.h"

#include <curses.h>
#include <locale.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <term.h>
#include <unistd.h>

/* Set by a signal; the one thing here that is not a value of the console, since a signal's handler
 * can reach nothing else. */
static volatile sig_atomic_t asked_to_leave;

static void ask_to_leave(int signal_number) {
    (void)signal_number;
    asked_to_leave = 1;
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
    const char *place = tigetstr((char *)"cup");
    bool can_place = place && place != (char *)-1;
    del_curterm(cur_term);
    if (!can_place)
        return mc_fail(
            error, MC_REFUSED,
            "the terminal type '%.60s' cannot place a cursor; the console needs one that "
            "can",
            type);
    return MC_OK;
}

static void catch_signals(terminal *t) {
    struct sigaction leave = {.sa_handler = ask_to_leave};
    sigemptyset(&leave.sa_mask);
    asked_to_leave = 0;
    sigaction(SIGHUP, &leave, &t->old_hangup);
    sigaction(SIGTERM, &leave, &t->old_terminate);
    sigaction(SIGINT, &leave, &t->old_interrupt);
}

static void restore_signals(const terminal *t) {
    sigaction(SIGHUP, &t->old_hangup, NULL);
    sigaction(SIGTERM, &t->old_terminate, NULL);
    sigaction(SIGINT, &t->old_interrupt, NULL);
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
    timeout(KEY_TICK_MS);
    return MC_OK;
}

void terminal_end(terminal *t) {
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

int terminal_key(bool *gone) {
    wint_t typed = 0;
    int kind = get_wch(&typed);
    *gone = asked_to_leave || (kind == ERR && hung_up());
    if (kind == ERR)
        return KEY_NOTHING;
    if (kind == KEY_CODE_YES)
        return typed == KEY_ENTER ? '\n' : (int)typed;
    switch (typed) {
    case '\r':
        return '\n';
    case 8:
    case 127:
        return KEY_BACKSPACE;
    default:
        return typed < 128 ? (int)typed : KEY_CHARACTER + (int)typed;
    }
}

int32_t terminal_character(int key) {
    if (key >= KEY_CHARACTER)
        return key - KEY_CHARACTER;
    return key >= ' ' && key < 127 ? key : 0;
}
