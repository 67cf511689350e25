/* Whole files: read within a bound, written whole or not at all. */
#include "given.h"

#include <fcntl.h>
#include <stdio.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* A folder of its own for each test, taken away afterwards. */
typedef struct folder {
    char path[64];
    char file[96];
} folder;

static int set_up(void **state) {
    folder *f = calloc(1, sizeof *f);
    assert_non_null(f);
    strcpy(f->path, "/tmp/midcourse-file-XXXXXX");
    assert_non_null(mkdtemp(f->path));
    snprintf(f->file, sizeof f->file, "%s/plan.csv", f->path);
    *state = f;
    return 0;
}

static int tear_down(void **state) {
    folder *f = *state;
    unlink(f->file);
    const int left = rmdir(f->path); /* fails where a test left a file behind */
    free(f);
    return left;
}

static void put(const char *path, const char *text) {
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
    assert_int_equal(fclose(file), 0);
}

static void expect_content(const char *path, const char *text) {
    char *data;
    size_t size;
    mc_error error;
    assert_int_equal(mc_file_read(path, &data, &size, &error), MC_OK);
    assert_int_equal(size, strlen(text));
    assert_string_equal(data, text);
    free(data);
}

static void refuse_read(const char *path, const char *part) {
    char *data = NULL;
    size_t size = 1;
    mc_error error;
    assert_int_equal(mc_file_read(path, &data, &size, &error), MC_REFUSED);
    expect_refusal(&error, 0, 0, part);
    assert_non_null(strstr(error.text, path));
    assert_null(data);
    assert_int_equal(size, 0);
}

/* ---- reading ---- */

static void a_file_is_read_whole(void **state) {
    const folder *f = *state;
    put(f->file, "one\ntwo");
    expect_content(f->file, "one\ntwo");
    put(f->file, "");
    expect_content(f->file, "");
}

static void bytes_are_left_as_they_are(void **state) {
    const folder *f = *state;
    FILE *file = fopen(f->file, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite("a\0\r\n\xff", 1, 5, file), 5);
    assert_int_equal(fclose(file), 0);
    char *data;
    size_t size;
    assert_int_equal(mc_file_read(f->file, &data, &size, NULL), MC_OK);
    assert_int_equal(size, 5);
    assert_memory_equal(data, "a\0\r\n\xff", 6);
    free(data);
}

static void missing_files_and_folders(void **state) {
    const folder *f = *state;
    refuse_read(f->file, "No such file");
    refuse_read(f->path, "a folder, not a file");
    refuse_read("/dev/zero", "a device, not a file");
    refuse_read("", "");
}

static void a_file_that_may_not_be_read(void **state) {
    const folder *f = *state;
    put(f->file, "secret");
    assert_int_equal(chmod(f->file, 0), 0);
    const uid_t self = geteuid();
    if (self == 0) {
        assert_int_equal(seteuid(65534), 0); /* nothing is closed to root */
    }
    refuse_read(f->file, "Permission denied");
    assert_int_equal(seteuid(self), 0);
}

static double seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void an_enormous_file_is_refused_at_once(void **state) {
    const folder *f = *state;
    put(f->file, "");
    assert_int_equal(truncate(f->file, 200L * 1024 * 1024), 0);
    const double begun = seconds();
    refuse_read(f->file, "larger than 8 MiB");
    assert_true(seconds() - begun < 0.05);
}

static void the_limit_is_8_mib(void **state) {
    const folder *f = *state;
    char *data;
    size_t size;
    put(f->file, "");
    assert_int_equal(truncate(f->file, MC_LARGEST_FILE), 0);
    assert_int_equal(mc_file_read(f->file, &data, &size, NULL), MC_OK);
    assert_int_equal(size, MC_LARGEST_FILE);
    free(data);
    assert_int_equal(truncate(f->file, MC_LARGEST_FILE + 1L), 0);
    refuse_read(f->file, "larger than 8 MiB");
}

static void a_pipe_that_nobody_writes_to(void **state) {
    const folder *f = *state;
    assert_int_equal(mkfifo(f->file, 0600), 0);
    const double begun = seconds();
    refuse_read(f->file, "a pipe that nobody writes to");
    assert_true(seconds() - begun < 5);
}

/* Run a child that writes count bytes to the pipe, as a command before us in a pipeline would. */
static pid_t write_from_child(const char *path, size_t count) {
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        FILE *pipe = fopen(path, "wb");
        for (size_t i = 0; pipe && i < count; i++) {
            fputc('x', pipe);
        }
        _exit(pipe && fclose(pipe) == 0 ? 0 : 1);
    }
    return child;
}

static void a_pipe_is_read_to_its_end(void **state) {
    const folder *f = *state;
    char *data;
    size_t size;
    int status;
    assert_int_equal(mkfifo(f->file, 0600), 0);
    const pid_t child = write_from_child(f->file, 300000);
    assert_int_equal(mc_file_read(f->file, &data, &size, NULL), MC_OK);
    assert_int_equal(size, 300000);
    free(data);
    assert_int_equal(waitpid(child, &status, 0), child);
}

static void a_pipe_without_end_is_refused(void **state) {
    const folder *f = *state;
    int status;
    assert_int_equal(mkfifo(f->file, 0600), 0);
    const pid_t child = write_from_child(f->file, 2 * MC_LARGEST_FILE);
    refuse_read(f->file, "larger than 8 MiB");
    assert_int_equal(waitpid(child, &status, 0), child);
}

/* Put a file in the place of standard input or output, and back again. */
static int redirect(int stream, const char *path, int flags) {
    const int kept = dup(stream), file = open(path, flags);
    assert_true(kept >= 0 && file >= 0);
    assert_int_equal(dup2(file, stream), stream);
    close(file);
    return kept;
}

static void restore(int stream, int kept) {
    assert_int_equal(dup2(kept, stream), stream);
    close(kept);
}

static void a_dash_is_standard_input(void **state) {
    const folder *f = *state;
    char *data;
    size_t size;
    put(f->file, "typed");
    const int kept = redirect(STDIN_FILENO, f->file, O_RDONLY);
    const mc_status status = mc_file_read("-", &data, &size, NULL);
    restore(STDIN_FILENO, kept);
    assert_int_equal(status, MC_OK);
    assert_string_equal(data, "typed");
    free(data);
}

/* ---- writing ---- */

static void a_dash_is_standard_output(void **state) {
    const folder *f = *state;
    put(f->file, "");
    fflush(stdout);
    const int kept = redirect(STDOUT_FILENO, f->file, O_WRONLY);
    printf("before ");
    const mc_status status = mc_file_write("-", "the text", 8, false, NULL);
    restore(STDOUT_FILENO, kept);
    assert_int_equal(status, MC_OK);
    expect_content(f->file, "before the text");
}

static void a_name_without_a_folder_is_in_this_one(void **state) {
    const folder *f = *state;
    char here[400];
    assert_non_null(getcwd(here, sizeof here));
    assert_int_equal(chdir(f->path), 0);
    const mc_status status = mc_file_write("plan.csv", "text", 4, false, NULL);
    assert_int_equal(chdir(here), 0);
    assert_int_equal(status, MC_OK);
    expect_content(f->file, "text");
}

static void a_new_file_is_written(void **state) {
    const folder *f = *state;
    mc_error error;
    assert_int_equal(mc_file_write(f->file, "text\n", 5, false, &error), MC_OK);
    expect_content(f->file, "text\n");
    assert_int_equal(mc_file_write(f->file, "", 0, true, &error), MC_OK);
    expect_content(f->file, "");
}

static void an_existing_file_is_not_overwritten(void **state) {
    const folder *f = *state;
    mc_error error;
    put(f->file, "old");
    assert_int_equal(mc_file_write(f->file, "new", 3, false, &error), MC_REFUSED);
    expect_refusal(&error, 0, 0, "the file exists already");
    assert_non_null(strstr(error.text, f->file));
    expect_content(f->file, "old");
    assert_int_equal(mc_file_write(f->file, "new", 3, true, &error), MC_OK);
    expect_content(f->file, "new");
}

static void a_replaced_file_stays_as_closed_as_it_was(void **state) {
    const folder *f = *state;
    struct stat about;
    put(f->file, "old");
    assert_int_equal(chmod(f->file, 0600), 0);
    assert_int_equal(mc_file_write(f->file, "new", 3, true, NULL), MC_OK);
    assert_int_equal(stat(f->file, &about), 0);
    assert_int_equal(about.st_mode & 0777, 0600);
}

static void what_cannot_be_written_is_refused(void **state) {
    const folder *f = *state;
    char inside[160];
    mc_error error;
    snprintf(inside, sizeof inside, "%s/no/such/folder.csv", f->path);
    assert_int_equal(mc_file_write(inside, "x", 1, false, &error), MC_REFUSED);
    assert_non_null(strstr(error.text, "No such file"));
    assert_int_equal(mc_file_write(f->path, "x", 1, false, &error), MC_REFUSED);
    assert_int_equal(mc_file_write(f->path, "x", 1, true, &error), MC_REFUSED);
}

/* A full disk, as a limit on the size of files: nothing is left behind, the old file stands. */
static void a_full_disk_leaves_the_old_file(void **state) {
    const folder *f = *state;
    put(f->file, "old");
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        char command[400];
        snprintf(command, sizeof command, "ulimit -f 1; trap '' XFSZ; exec \"$0\" full '%s'",
                 f->file);
        char self[200];
        const ssize_t length = readlink("/proc/self/exe", self, sizeof self - 1);
        self[length > 0 ? length : 0] = '\0';
        execl("/bin/sh", self, "-c", command, self, (char *)NULL);
        _exit(127);
    }
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), MC_REFUSED);
    expect_content(f->file, "old");
}

/* What the program does when it is started as that child. */
static int write_too_much(const char *path) {
    static char data[65536];
    mc_error error;
    const mc_status status = mc_file_write(path, data, sizeof data, true, &error);
    return status == MC_REFUSED && strstr(error.text, path) ? MC_REFUSED : 99;
}

int main(int count, char **arguments) {
    if (count == 3 && strcmp(arguments[1], "full") == 0) {
        return write_too_much(arguments[2]);
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_file_is_read_whole, set_up, tear_down),
        cmocka_unit_test_setup_teardown(bytes_are_left_as_they_are, set_up, tear_down),
        cmocka_unit_test_setup_teardown(missing_files_and_folders, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_file_that_may_not_be_read, set_up, tear_down),
        cmocka_unit_test_setup_teardown(an_enormous_file_is_refused_at_once, set_up, tear_down),
        cmocka_unit_test_setup_teardown(the_limit_is_8_mib, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_pipe_that_nobody_writes_to, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_pipe_is_read_to_its_end, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_pipe_without_end_is_refused, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_dash_is_standard_input, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_dash_is_standard_output, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_name_without_a_folder_is_in_this_one, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_new_file_is_written, set_up, tear_down),
        cmocka_unit_test_setup_teardown(an_existing_file_is_not_overwritten, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_replaced_file_stays_as_closed_as_it_was, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(what_cannot_be_written_is_refused, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_full_disk_leaves_the_old_file, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
