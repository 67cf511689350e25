/* Whole files, read with a bound and written whole or not at all. */
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "midcourse/exchange.h"

enum { WAIT_FOR_WRITER = 2000 /* ms */ };

static mc_status system_fault(mc_error *error, const char *path) {
    return mc_fail(error, MC_REFUSED, "%s: %s", path, strerror(errno));
}

static mc_status too_large(mc_error *error, const char *path) {
    return mc_fail(error, MC_REFUSED, "%s: larger than %d MiB", path, MC_LARGEST_FILE / 1048576);
}

/* ---- reading ---- */

static mc_status read_bounded(int file, const char *path, char **data, size_t *size,
                              mc_error *error) {
    size_t room = 65536, count = 0;
    char *bytes = malloc(room + 1);
    while (bytes) {
        const ssize_t got = read(file, bytes + count, room - count);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            free(bytes);
            return system_fault(error, path);
        }
        if (got == 0) {
            bytes[count] = '\0';
            *data = bytes;
            *size = count;
            return MC_OK;
        }
        count += (size_t)got;
        if (count > MC_LARGEST_FILE) {
            free(bytes);
            return too_large(error, path);
        }
        if (count == room) {
            room *= 2;
            char *more = realloc(bytes, room + 1);
            if (!more) {
                free(bytes);
            }
            bytes = more;
        }
    }
    return mc_fail(error, MC_REFUSED, "out of memory");
}

/* A pipe is opened without waiting, so that one nobody writes to cannot hang the caller. */
static mc_status wait_for_writer(int file, const char *path, mc_error *error) {
    struct pollfd ready = {.fd = file, .events = POLLIN};
    const int flags = fcntl(file, F_GETFL);
    if (flags < 0 || fcntl(file, F_SETFL, flags & ~O_NONBLOCK) < 0) {
        return system_fault(error, path);
    }
    if (poll(&ready, 1, WAIT_FOR_WRITER) == 0) {
        return mc_fail(error, MC_REFUSED, "%s: a pipe that nobody writes to", path);
    }
    return MC_OK;
}

static mc_status check_kind(int file, const char *path, mc_error *error) {
    struct stat about;
    if (fstat(file, &about) != 0) {
        return system_fault(error, path);
    }
    if (S_ISDIR(about.st_mode)) {
        return mc_fail(error, MC_REFUSED, "%s: a folder, not a file", path);
    }
    if (S_ISFIFO(about.st_mode)) {
        return wait_for_writer(file, path, error);
    }
    if (!S_ISREG(about.st_mode)) {
        return mc_fail(error, MC_REFUSED, "%s: a device, not a file", path);
    }
    return about.st_size > MC_LARGEST_FILE ? too_large(error, path) : MC_OK;
}

mc_status mc_file_read(const char *path, char **data, size_t *size, mc_error *error) {
    *data = NULL;
    *size = 0;
    if (strcmp(path, "-") == 0) {
        return read_bounded(STDIN_FILENO, "standard input", data, size, error);
    }
    const int file = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    if (file < 0) {
        return system_fault(error, path);
    }
    mc_status status = check_kind(file, path, error);
    if (status == MC_OK) {
        status = read_bounded(file, path, data, size, error);
    }
    close(file);
    return status;
}

/* ---- writing ---- */

static bool write_all(int file, const char *data, size_t size) {
    while (size > 0) {
        const ssize_t done = write(file, data, size);
        if (done < 0 && errno != EINTR) {
            return false;
        }
        if (done > 0) {
            data += done;
            size -= (size_t)done;
        }
    }
    return true;
}

/* The folder of a path, with its last slash; "" for the present one. */
static size_t folder_length(const char *path) {
    const char *slash = strrchr(path, '/');
    return slash ? (size_t)(slash - path) + 1 : 0;
}

/* A new file of a name of its own in the path's folder. */
static int open_beside(const char *path, char *beside, size_t size) {
    for (int attempt = 0; attempt < 100; attempt++) {
        snprintf(beside, size, "%.*s.midcourse-%ld-%d", (int)folder_length(path), path,
                 (long)getpid(), attempt);
        const int file = open(beside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (file >= 0 || errno != EEXIST) {
            return file;
        }
    }
    return -1;
}

/* Give the finished file its name. */
static bool give_name(const char *beside, const char *path, bool replace) {
    if (replace) {
        return rename(beside, path) == 0;
    }
    if (link(beside, path) == 0) {
        unlink(beside);
        return true;
    }
    if (errno == EEXIST) {
        return false;
    }
    /* a file system without links: look, then rename */
    if (access(path, F_OK) == 0) {
        errno = EEXIST;
        return false;
    }
    return rename(beside, path) == 0;
}

static void sync_folder(const char *path) {
    const size_t length = folder_length(path);
    char *folder = length == 0 ? strdup(".") : strndup(path, length);
    const int file = folder ? open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    if (file >= 0) {
        fsync(file); /* the file itself is safe; an older kernel may not sync folders */
        close(file);
    }
    free(folder);
}

static mc_status write_beside(const char *path, char *beside, size_t room, const char *data,
                              size_t size, bool replace, mc_error *error) {
    struct stat old;
    const int file = open_beside(path, beside, room);
    if (file < 0) {
        return system_fault(error, path);
    }
    bool done = write_all(file, data, size);
    if (done && replace && stat(path, &old) == 0 && S_ISREG(old.st_mode)) {
        done = fchmod(file, old.st_mode & 0777) == 0;
    }
    done = done && fsync(file) == 0;
    int fault = errno;
    if (close(file) != 0 && done) {
        fault = errno;
        done = false;
    }
    if (done && give_name(beside, path, replace)) {
        sync_folder(path);
        return MC_OK;
    }
    fault = done ? errno : fault;
    unlink(beside);
    errno = fault;
    return fault == EEXIST ? mc_fail(error, MC_REFUSED, "%s: the file exists already", path)
                           : system_fault(error, path);
}

mc_status mc_file_write(const char *path, const char *data, size_t size, bool replace,
                        mc_error *error) {
    if (strcmp(path, "-") == 0) {
        return fflush(stdout) == 0 && write_all(STDOUT_FILENO, data, size)
                   ? MC_OK
                   : system_fault(error, "standard output");
    }
    if (!replace && access(path, F_OK) == 0) {
        return mc_fail(error, MC_REFUSED, "%s: the file exists already", path);
    }
    const size_t room = strlen(path) + 64;
    char *beside = malloc(room);
    if (!beside) {
        return mc_fail(error, MC_REFUSED, "out of memory");
    }
    const mc_status status = write_beside(path, beside, room, data, size, replace, error);
    free(beside);
    return status;
}
