/* Passphrases come from a descriptor, a file or the terminal, never from an argument. */
#include "context.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

void wipe(char *secret, size_t size) {
    volatile char *p = secret;
    while (size-- > 0)
        *p++ = 0;
}

/* The first line of an open file, without its end; at most PASSPHRASE_SIZE - 2 bytes. */
static mc_status read_line(int fd, const char *from, char out[PASSPHRASE_SIZE], mc_error *error) {
    size_t used = 0;
    char byte;
    ssize_t got;
    while ((got = read(fd, &byte, 1)) != 0) {
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return mc_fail(error, MC_REFUSED, "passphrase from %.200s: %s", from, strerror(errno));
        if (byte == '\n')
            break;
        if (byte == '\0' || used + 2 >= PASSPHRASE_SIZE)
            return mc_fail(error, MC_REFUSED,
                           "passphrase from %.200s: longer than 1024 bytes, or with a zero byte",
                           from);
        out[used++] = byte;
    }
    if (used > 0 && out[used - 1] == '\r')
        used--;
    out[used] = '\0';
    return used > 0 ? MC_OK
                    : mc_fail(error, MC_REFUSED, "passphrase from %.200s: it is empty", from);
}

static mc_status read_path(const char *path, char out[PASSPHRASE_SIZE], mc_error *error) {
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0)
        return mc_fail(error, MC_REFUSED, "passphrase from %.200s: %s", path, strerror(errno));
    mc_status status = read_line(fd, path, out, error);
    close(fd);
    return status;
}

/* One line typed without being shown. */
static mc_status ask(const char *prompt, char out[PASSPHRASE_SIZE], mc_error *error) {
    struct termios before, hidden;
    int fd = open("/dev/tty", O_RDWR | O_CLOEXEC | O_NOCTTY);
    if (fd < 0 || tcgetattr(fd, &before) != 0) {
        if (fd >= 0)
            close(fd);
        return mc_fail(error, MC_REFUSED,
                       "a passphrase is needed, and there is no terminal to ask: use "
                       "--passphrase-fd or a file");
    }
    hidden = before;
    hidden.c_lflag &= ~(tcflag_t)(ECHO);
    tcsetattr(fd, TCSAFLUSH, &hidden);
    mc_status status = MC_OK;
    if (write(fd, prompt, strlen(prompt)) < 0)
        status = mc_fail(error, MC_REFUSED, "the terminal: %s", strerror(errno));
    if (status == MC_OK)
        status = read_line(fd, "the terminal", out, error);
    tcsetattr(fd, TCSAFLUSH, &before);
    if (write(fd, "\n", 1) < 0 && status == MC_OK)
        status = mc_fail(error, MC_REFUSED, "the terminal: %s", strerror(errno));
    close(fd);
    return status;
}

static const char *option_of(bool fresh) {
    return fresh ? "new-passphrase-fd" : "passphrase-fd";
}

static const char *file_of(bool fresh) {
    const char *path =
        getenv(fresh ? "MIDCOURSE_NEW_PASSPHRASE_FILE" : "MIDCOURSE_PASSPHRASE_FILE");
    return path && *path ? path : NULL;
}

bool passphrase_at_hand(const context *c) {
    return option_given(&c->arguments, option_of(false)) || file_of(false) || isatty(STDIN_FILENO);
}

mc_status read_passphrase(context *c, bool fresh, const char *whose, char out[PASSPHRASE_SIZE],
                          mc_error *error) {
    int fd = -1;
    char prompt[80], again[PASSPHRASE_SIZE];
    if (option_whole(&c->arguments, option_of(fresh), 0, 65535, &fd, error) != MC_OK)
        return MC_USAGE;
    if (fd >= 0)
        return read_line(fd, "the descriptor given", out, error);
    if (file_of(fresh))
        return read_path(file_of(fresh), out, error);
    snprintf(prompt, sizeof prompt, "%s %.20s: ", fresh ? "New passphrase for" : "Passphrase of",
             whose);
    mc_status status = ask(prompt, out, error);
    if (status != MC_OK || !fresh)
        return status;
    status = ask("The same again: ", again, error);
    if (status == MC_OK && strcmp(out, again) != 0)
        status = mc_fail(error, MC_REFUSED, "the two passphrases differ");
    wipe(again, sizeof again);
    return status;
}
