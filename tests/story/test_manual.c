/* The example session of midcourse(1), done as it stands there: what the page shows is what the
 * program says. Lines that the page leaves out stand as [...]. */
#include "run.h"

#include <stdbool.h>

enum { MOST_LINE = 400, MOST_LINES = 400 };

/* The session's lines as they are shown. */
static char shown[MOST_LINES][MOST_LINE];
static int lines;

/* A line of the page as it is shown. */
static void take_line(const char *from, size_t size) {
    size_t n = 0;
    assert_true(size < MOST_LINE && lines < MOST_LINES);
    for (size_t i = 0; i < size; i++) {
        if (from[i] != '\\') {
            shown[lines][n++] = from[i];
            continue;
        }
        i++;
        assert_true(i < size && strchr("-e&", from[i]) != NULL);
        if (from[i] != '&') {
            shown[lines][n++] = from[i] == 'e' ? '\\' : '-';
        }
    }
    shown[lines++][n] = '\0';
}

/* The session is what stands at the left edge of the page. */
static void read_session(void) {
    static char text[1 << 17];
    FILE *file = fopen(TESTS "/../man/midcourse.1", "r");
    assert_non_null(file);
    size_t size = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    assert_true(size < sizeof text - 1);
    bool inside = false;
    for (char *at = text; *at;) {
        size_t length = strcspn(at, "\n");
        if (strncmp(at, ".in 0\n", 6) == 0) {
            inside = true;
        } else if (strncmp(at, ".EE\n", 4) == 0) {
            inside = false;
        } else if (inside && strncmp(at, ".EX\n", 4) != 0) {
            take_line(at, length);
        }
        at += length + (at[length] == '\n');
    }
    assert_true(lines > 100);
}

static bool is_command(int i) {
    return i < lines && strncmp(shown[i], "$ ", 2) == 0;
}

/* Whether the page has a question for a passphrase there; it comes from a file here. */
static bool is_prompt(const char *line) {
    return strncmp(line, "New passphrase for ", 19) == 0 ||
           strncmp(line, "Passphrase of ", 14) == 0 || strcmp(line, "The same again:") == 0;
}

/* A file that the page shows; a heading too wide for the page is cut there. */
static int make_file(int i) {
    const char *name = shown[i] + strlen("$ cat ");
    char text[4000] = "";
    for (i++; i < lines && !is_command(i); i++) {
        char *cut = strstr(shown[i], "[...]");
        size_t used = strlen(text);
        if (cut) {
            *cut = '\0';
        }
        snprintf(text + used, sizeof text - used, "%s%s\n", shown[i],
                 cut ? "angulation_deg,inclination_deg,attachment" : "");
    }
    write_text(name, text);
    return i;
}

/* A command with what continues it; the day it is done on is the one that it names. */
static int take_command(int i, char *out, size_t size) {
    snprintf(out, size, "%s", shown[i++] + 2);
    while (out[strlen(out) - 1] == '\\') {
        size_t used = strlen(out) - 1;
        snprintf(out + used, size - used, "%s", shown[i++]);
    }
    for (const char *option = out; (option = strstr(option, "--")) != NULL; option += 2) {
        char day[11] = "";
        if (sscanf(option, "--start %10s", day) == 1 || sscanf(option, "--date %10s", day) == 1) {
            setenv("MIDCOURSE_TODAY", day, 1);
        }
    }
    return i;
}

/* The next line that was printed, without blanks at its end; false where there is none. */
static bool next_printed(char **at, char out[MOST_LINE]) {
    size_t length = strcspn(*at, "\n");
    if (**at == '\0') {
        return false;
    }
    snprintf(out, MOST_LINE, "%.*s", (int)length, *at);
    for (size_t n = strlen(out); n > 0 && out[n - 1] == ' ';) {
        out[--n] = '\0';
    }
    *at += length + ((*at)[length] == '\n');
    return true;
}

/* What was printed against what is shown from line i on. */
static int compare(int i, const char *command) {
    char line[MOST_LINE], *at = run_output;
    bool cut = false;
    for (; i < lines && !is_command(i) && !cut; i++) {
        if (is_prompt(shown[i])) {
            continue;
        }
        cut = strcmp(shown[i], "[...]") == 0;
        if (!cut && (!next_printed(&at, line) || strcmp(line, shown[i]) != 0)) {
            fail_msg("%s\nthe page shows:\n%s\nit said:\n%s", command, shown[i], run_output);
        }
    }
    if (!cut && next_printed(&at, line)) {
        fail_msg("%s\nthe page leaves out:\n%s", command, line);
    }
    assert_true(i == lines || is_command(i));
    return i;
}

static void session(void **state) {
    (void)state;
    int commands = 0;
    run_begin();
    read_session();
    setenv("MIDCOURSE_DB", "practice.db", 1);
    setenv("MIDCOURSE_TODAY", "2026-03-02", 1);
    write_text("passphrase", "slow river stones\n");
    setenv("MIDCOURSE_PASSPHRASE_FILE", "passphrase", 1);
    setenv("MIDCOURSE_NEW_PASSPHRASE_FILE", "passphrase", 1);
    for (int i = 0; i < lines;) {
        char command[1000];
        assert_true(is_command(i));
        if (strncmp(shown[i], "$ cat ", 6) == 0) {
            i = make_file(i);
            continue;
        }
        i = take_command(i, command, sizeof command);
        if (run("%s", command) != 0) {
            fail_msg("%s\n%s", command, run_output);
        }
        i = compare(i, command);
        commands++;
    }
    assert_int_equal(commands, 14);
    run_end();
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(session)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
