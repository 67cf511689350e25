/* A program under a real pseudo-terminal, seen through a terminal emulator: type at it, change its
 * size, and look at its screen cell by cell. */
#ifndef PTY_H
#define PTY_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <errno.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <utf8proc.h>
#include <vterm.h>

typedef struct pty {
    int fd;
    pid_t pid;
    VTerm *vt;
    VTermScreen *screen;
    int rows, cols;
    bool ended;    /* the program has closed the terminal */
    size_t bytes;  /* that it has written so far */
    char raw[400]; /* the first of them */
} pty;

enum { PTY_PATIENCE_MS = 60000, PTY_QUIET_MS = 120, PTY_LINE = 4096 };

/* What the program is to find around it. */
typedef struct pty_setting {
    int rows, cols;
    const char *term;      /* NULL: xterm-256color */
    const char *locale;    /* NULL: C.UTF-8 */
    const char *no_colour; /* NO_COLOR, NULL: not set */
    const char *ascii;     /* MIDCOURSE_ASCII, NULL: not set */
} pty_setting;

static inline void pty_set(const char *name, const char *value) {
    if (value)
        setenv(name, value, 1);
    else
        unsetenv(name);
}

/* Run child(context), which does not return, under a new terminal. */
static inline pty pty_start(pty_setting setting, void (*child)(void *), void *context) {
    pty p = {.rows = setting.rows, .cols = setting.cols};
    struct winsize size = {.ws_row = (unsigned short)p.rows, .ws_col = (unsigned short)p.cols};
    fflush(NULL);
    p.pid = forkpty(&p.fd, NULL, NULL, &size);
    assert_true(p.pid >= 0);
    if (p.pid == 0) {
        pty_set("TERM", setting.term ? setting.term : "xterm-256color");
        pty_set("LC_ALL", setting.locale ? setting.locale : "C.UTF-8");
        pty_set("NO_COLOR", setting.no_colour);
        pty_set("MIDCOURSE_ASCII", setting.ascii);
        unsetenv("LINES");
        unsetenv("COLUMNS");
        child(context);
        _exit(99);
    }
    p.vt = vterm_new(p.rows, p.cols);
    vterm_set_utf8(p.vt, 1);
    p.screen = vterm_obtain_screen(p.vt);
    vterm_screen_enable_altscreen(p.screen, 1);
    vterm_screen_reset(p.screen, 1);
    return p;
}

/* Take in what the program writes, waiting at most so long for some; false where none came. */
static inline bool pty_read(pty *p, int wait_ms) {
    char data[65536];
    struct pollfd ready = {.fd = p->fd, .events = POLLIN};
    if (p->ended || poll(&ready, 1, wait_ms) <= 0)
        return false;
    ssize_t length = read(p->fd, data, sizeof data);
    if (length <= 0) {
        p->ended = true;
        return false;
    }
    for (ssize_t i = 0; i < length && p->bytes + (size_t)i + 1 < sizeof p->raw; i++)
        p->raw[p->bytes + (size_t)i] = data[i];
    p->bytes += (size_t)length;
    vterm_input_write(p->vt, data, (size_t)length);
    vterm_screen_flush_damage(p->screen);
    return true;
}

/* Until nothing has been written for a while. */
static inline void pty_settle(pty *p) {
    while (pty_read(p, PTY_QUIET_MS))
        continue;
}

static inline void pty_type(pty *p, const char *keys, size_t length) {
    while (length > 0 && !p->ended) {
        ssize_t taken = write(p->fd, keys, length);
        if (taken < 0 && errno != EAGAIN)
            return;
        keys += taken > 0 ? taken : 0;
        length -= taken > 0 ? (size_t)taken : 0;
    }
}

static inline void pty_keys(pty *p, const char *keys) {
    pty_type(p, keys, strlen(keys));
}

static inline void pty_resize(pty *p, int rows, int cols) {
    struct winsize size = {.ws_row = (unsigned short)rows, .ws_col = (unsigned short)cols};
    p->rows = rows;
    p->cols = cols;
    vterm_set_size(p->vt, rows, cols);
    ioctl(p->fd, TIOCSWINSZ, &size);
}

static inline VTermScreenCell pty_cell(const pty *p, int row, int col) {
    VTermScreenCell cell = {0};
    vterm_screen_get_cell(p->screen, (VTermPos){row, col}, &cell);
    return cell;
}

/* The text of a row, without the blanks at its end. */
static inline const char *pty_row(const pty *p, int row, char out[PTY_LINE]) {
    size_t used = 0, end = 0;
    for (int col = 0; col < p->cols; col++) {
        VTermScreenCell cell = pty_cell(p, row, col);
        if (cell.chars[0] == (uint32_t)-1) /* the right half of a wide one */
            continue;
        uint32_t first = cell.chars[0] ? cell.chars[0] : ' ';
        used += (size_t)utf8proc_encode_char((int32_t)first, (utf8proc_uint8_t *)out + used);
        for (int i = 1; i < VTERM_MAX_CHARS_PER_CELL && cell.chars[0] && cell.chars[i]; i++)
            used += (size_t)utf8proc_encode_char((int32_t)cell.chars[i],
                                                 (utf8proc_uint8_t *)out + used);
        if (first != ' ')
            end = used;
    }
    out[end] = '\0';
    return out;
}

/* The row that holds a text, -1 where none does. */
static inline int pty_find(const pty *p, const char *text) {
    char line[PTY_LINE];
    for (int row = 0; row < p->rows; row++)
        if (strstr(pty_row(p, row, line), text))
            return row;
    return -1;
}

static inline long pty_now_ms(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec * 1000L + now.tv_nsec / 1000000L;
}

static inline void pty_print(const pty *p) {
    char line[PTY_LINE];
    for (int row = 0; row < p->rows; row++)
        print_message("|%s\n", pty_row(p, row, line));
}

/* Wait until the text stands on the screen; fails where it never does. */
static inline void pty_await(pty *p, const char *text) {
    long until = pty_now_ms() + PTY_PATIENCE_MS;
    while (pty_find(p, text) < 0) {
        if (p->ended || pty_now_ms() > until) {
            pty_print(p);
            fail_msg("'%s' never came", text);
        }
        pty_read(p, 50);
    }
    pty_settle(p);
}

/* The whole screen as one text, each gap one blank: what is wrapped reads on. */
static inline const char *pty_told(const pty *p) {
    static char text[60 * PTY_LINE];
    char line[PTY_LINE];
    size_t used = 0;
    for (int row = 0; row < p->rows; row++) {
        pty_row(p, row, line);
        for (const char *c = line; *c && used + 2 < sizeof text; c++)
            if (*c != ' ' || (used > 0 && text[used - 1] != ' '))
                text[used++] = *c;
        if (used > 0 && text[used - 1] != ' ')
            text[used++] = ' ';
    }
    text[used] = '\0';
    return text;
}

/* Wait until it is told; fails where it never is. */
static inline void pty_comes(pty *p, const char *text) {
    long until = pty_now_ms() + PTY_PATIENCE_MS;
    while (!strstr(pty_told(p), text)) {
        if (p->ended || pty_now_ms() > until) {
            pty_print(p);
            fail_msg("'%s' never came", text);
        }
        pty_read(p, 50);
    }
    pty_settle(p);
}

/* The whole screen is exactly this. */
static inline void pty_shows(const pty *p, const char *const *rows, int count) {
    char line[PTY_LINE];
    for (int row = 0; row < count; row++) {
        if (strcmp(pty_row(p, row, line), rows[row]) == 0)
            continue;
        pty_print(p);
        fail_msg("row %d:\n  is   '%s'\n  not  '%s'", row, line, rows[row]);
    }
}

/* Wait for the program's end, reading on; its wait status. */
static inline int pty_wait(pty *p) {
    int status = -1;
    long until = pty_now_ms() + PTY_PATIENCE_MS;
    while (waitpid(p->pid, &status, WNOHANG) == 0) {
        if (pty_now_ms() > until) {
            kill(p->pid, SIGKILL);
            waitpid(p->pid, &status, 0);
            pty_print(p);
            fail_msg("it did not end");
        }
        if (!pty_read(p, 20) && p->ended)
            usleep(1000);
    }
    pty_settle(p);
    return status;
}

static inline void pty_close(pty *p) {
    close(p->fd);
    vterm_free(p->vt);
}

static inline void pty_ended_well(pty *p) {
    int status = pty_wait(p);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        pty_print(p);
        fail_msg("wait status %d", status);
    }
    pty_close(p);
}

#endif
