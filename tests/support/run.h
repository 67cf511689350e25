/* Run the built program as a person would, in a folder of its own, and look at what it says. */
#ifndef RUN_H
#define RUN_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

/* The output of the last command, stdout and stderr together; run() replaces it. */
static char run_output[1 << 20];
static char run_folder[64];

/* Make the folder and go there; passphrases of the invented people stand in it. */
static inline void run_begin(void) {
    snprintf(run_folder, sizeof run_folder, "/tmp/midcourse-test-XXXXXX");
    assert_non_null(mkdtemp(run_folder));
    assert_int_equal(chdir(run_folder), 0);
    unsetenv("MIDCOURSE_DB");
    unsetenv("MIDCOURSE_PASSPHRASE_FILE");
    unsetenv("MIDCOURSE_NEW_PASSPHRASE_FILE");
    setenv("XDG_DATA_HOME", run_folder, 1);
    setenv("LC_ALL", "C.UTF-8", 1);
}

static inline void run_end(void) {
    char command[100];
    assert_int_equal(chdir("/"), 0);
    snprintf(command, sizeof command, "rm -rf '%s'", run_folder);
    if (system(command) != 0)
        fail_msg("cannot remove %s", run_folder);
}

/* Run a shell command line in which "midcourse" is the built program; returns its exit status. */
__attribute__((format(printf, 1, 2))) static inline int run(const char *format, ...) {
    char words[4000], command[5000];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    snprintf(command, sizeof command, "midcourse() { '%s' \"$@\"; }; { %s; } 2>&1", PROGRAM, words);
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    size_t size = fread(run_output, 1, sizeof run_output - 1, pipe);
    run_output[size] = '\0';
    int status = pclose(pipe);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

/* The command does what it should and says these words. */
#define assert_run(status, said, ...)                                                              \
    do {                                                                                           \
        int run_status = run(__VA_ARGS__);                                                         \
        if (run_status != (status) || !strstr(run_output, said))                                   \
            fail_msg("exit status %d, wanted %d with \"%s\"; it said:\n%s", run_status, (status),  \
                     (said), run_output);                                                          \
    } while (0)

static inline void write_text(const char *path, const char *text) {
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

#endif
