/* The command line: global options, help, the record, and the command. */
#include "context.h"

#include <ctype.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

const option_spec GLOBAL_OPTIONS[] = {
    {"db", "FILE", "the record (else MIDCOURSE_DB, else practice.db in the data folder)"},
    {"as", "INITIALS", "who acts"},
    {"json", NULL, "print one JSON document instead of text"},
    {"passphrase-fd", "N", "read the passphrase for signing from descriptor N"},
    {"new-passphrase-fd", "N", "read a new person's passphrase from descriptor N"},
    {"help", NULL, "say how a command is used"},
    {"version", NULL, "print the version"},
    {NULL, NULL, NULL}};

/* ---- help ---- */

/* name, then its help from a column on, wrapped. */
static void print_entry(const char *left, int column, const char *help) {
    char line[400];
    const char *at = help;
    int used = printf("  %s", left);
    if (used > column - 1)
        printf("\n"), used = 0;
    while (mc_text_line(&at, 80 - column, false, line, sizeof line)) {
        printf("%*s%s\n", column - used, "", line);
        used = 0;
    }
}

static void print_options(const option_spec *list) {
    for (; list && list->name; list++) {
        char left[60];
        snprintf(left, sizeof left, "--%s%s%s", list->name, list->value ? " " : "",
                 list->value ? list->value : "");
        print_entry(left, 28, list->help);
    }
}

static void print_help(void) {
    printf("Usage: midcourse [--db FILE] [--as INITIALS] [--json] [COMMAND ...]\n\n");
    print_wrapped("Keeps clear-aligner cases on plan: at each check-up every tooth is compared "
                  "with where the plan wants "
                  "it, what falls behind is shown early, and a next step is proposed. Without a "
                  "command the console "
                  "opens. midcourse COMMAND --help tells more of one command.",
                  0);
    printf("\nCommands\n");
    for (const command *k = COMMANDS; k->name; k++)
        print_entry(k->name, 20, k->summary);
    printf("\nOptions\n");
    print_options(GLOBAL_OPTIONS);
    printf("\nCASE is a chart number, or NUMBER/2 for a person's second course. Dates are\n"
           "YYYY-MM-DD. Exit status: 0 done, 1 refused, 2 wrong usage, 3 the record is\n"
           "damaged or from a newer version, 4 something is behind (with --check).\n\n");
    print_wrapped("It supports a decision and never makes one: local rules and the licensed "
                  "clinician's judgement come "
                  "first. New here? midcourse demo opens an invented practice.",
                  0);
}

static void print_command_help(const command *k) {
    printf("Usage: midcourse %s%s%s%s\n\n", k->name, *k->words ? " " : "", k->words,
           k->options ? " [OPTION ...]" : "");
    char sentence[200];
    snprintf(sentence, sizeof sentence, "%c%s.", toupper((unsigned char)k->summary[0]),
             k->summary + 1);
    print_wrapped(sentence, 0);
    if (k->detail) {
        printf("\n");
        print_wrapped(k->detail, 0);
    }
    if (k->options) {
        printf("\nOptions\n");
        print_options(k->options);
    }
    printf("\nOptions of every command\n");
    print_options(GLOBAL_OPTIONS);
}

/* ---- finding things ---- */

/* Of two that begin alike the one of two words, where both are there. */
static const command *find_command(int argc, char **argv, int at, int *taken) {
    const command *found = NULL;
    for (const command *k = COMMANDS; k->name; k++) {
        const char *space = strchr(k->name, ' ');
        size_t first = space ? (size_t)(space - k->name) : strlen(k->name);
        if (strlen(argv[at]) != first || strncmp(argv[at], k->name, first) != 0)
            continue;
        bool both = space && at + 1 < argc && strcmp(argv[at + 1], space + 1) == 0;
        if (both || !space) {
            found = k;
            *taken = both ? 2 : 1;
        }
        if (both)
            break;
    }
    return found;
}

/* "case" alone, or with a wrong second word: name what there is. */
static mc_status unknown_command(const char *word, mc_error *error) {
    char known[200] = "";
    size_t length = strlen(word);
    for (const command *k = COMMANDS; k->name; k++)
        if (strncmp(k->name, word, length) == 0 && k->name[length] == ' ')
            snprintf(known + strlen(known), sizeof known - strlen(known), "%s%s",
                     *known ? ", " : "", k->name);
    if (*known)
        return mc_fail(error, MC_USAGE, "%.40s: it is one of %s", word, known);
    return mc_fail(error, MC_USAGE, "%.40s: no such command; midcourse --help lists them", word);
}

/* "method" alone: its commands; false where no command begins so. */
static bool print_group_help(const char *word) {
    size_t length = strlen(word);
    bool found = false;
    for (const command *k = COMMANDS; k->name; k++) {
        if (strncmp(k->name, word, length) != 0 || k->name[length] != ' ')
            continue;
        if (!found)
            printf("Usage: midcourse %s ...\n\n", word);
        print_entry(k->name, 20, k->summary);
        found = true;
    }
    if (found)
        printf("\nmidcourse COMMAND --help tells more of one.\n");
    return found;
}

/* "help" and what stands behind it. */
static mc_status run_help(int argc, char **argv, mc_error *error) {
    int taken;
    const command *k = argc > 0 ? find_command(argc, argv, 0, &taken) : NULL;
    if (argc == 0)
        print_help();
    else if (k)
        print_command_help(k);
    else if (!print_group_help(argv[0]))
        return unknown_command(argv[0], error);
    return MC_OK;
}

static mc_status find_today(mc_day *out, mc_error *error) {
    const char *fixed = getenv("MIDCOURSE_TODAY");
    if (fixed && *fixed)
        return mc_day_parse(fixed, out)
                   ? MC_OK
                   : mc_fail(error, MC_USAGE, "MIDCOURSE_TODAY=%.40s: a date is YYYY-MM-DD", fixed);
    time_t now = time(NULL);
    struct tm local;
    char text[11];
    if (!localtime_r(&now, &local) || strftime(text, sizeof text, "%Y-%m-%d", &local) == 0 ||
        !mc_day_parse(text, out))
        return mc_fail(error, MC_REFUSED, "the clock of this machine gives no date");
    return MC_OK;
}

/* The data folder's practice.db; folders are made only when a record is (make_folders). */
static mc_status default_path(char *out, size_t size, bool make_folders, mc_error *error) {
    const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
    char base[400];
    if (make_folders && !(data && *data == '/') && !(home && *home))
        return mc_fail(error, MC_REFUSED,
                       "HOME is not set, so there is no data folder: say --db FILE");
    int n = data && *data == '/'
                ? snprintf(base, sizeof base, "%s", data)
                : snprintf(base, sizeof base, "%s/.local/share", home && *home ? home : ".");
    if (n < 0 || (size_t)n >= sizeof base)
        return mc_fail(error, MC_REFUSED, "the name of the data folder is too long");
    snprintf(out, size, "%s/midcourse", base);
    for (char *slash = out; make_folders && slash; slash = strchr(slash + 1, '/')) {
        if (slash == out)
            continue;
        *slash = '\0';
        int made = mkdir(out, 0700);
        int why = errno;
        *slash = '/';
        if (made != 0 && why != EEXIST && why != EROFS && why != EACCES)
            return mc_fail(error, MC_REFUSED, "%.300s: %s", out, strerror(why));
    }
    if (make_folders && mkdir(out, 0700) != 0 && errno != EEXIST)
        return mc_fail(error, MC_REFUSED, "%.300s: %s", out, strerror(errno));
    snprintf(out, size, "%s/midcourse/practice.db", base);
    return MC_OK;
}

/* ---- running ---- */

/* How what is needed is given to a command. */
static const char *how_to_give(mc_need need) {
    static const char *const options[] = {[MC_NEED_PERSON] = "; say who acts with --as INITIALS",
                                          [MC_NEED_DAYS] = "; say --days DAYS",
                                          [MC_NEED_ALIGNER] = "; say --to K",
                                          [MC_NEED_PLAN] = "; say --plan FILE (revise writes one)",
                                          [MC_NEED_CAUSE] =
                                              "; say --cause CAUSE (\"unknown\" is one)",
                                          [MC_NEED_REASON] = "; say --reason TEXT",
                                          [MC_NEED_ACCEPTANCE] = "; say --accept-warnings",
                                          [MC_NEED_LOOK] = NULL};
    return options[need] ? options[need] : "";
}

/* Faults in a file stand at a line of it; every other message says itself what it is about. */
static void report(const context *c, const mc_error *error) {
    char text[4 * sizeof error->text], told[sizeof text + 100], first[PLACE_SIZE];
    mc_text_fit(error->text, (int)sizeof error->text, false, text, sizeof text);
    snprintf(told, sizeof told, "%s%s", text, how_to_give(error->need));
    place_text(c, error->line, error->column, first);
    fflush(stdout);
    print_told(first, told);
}

static mc_status no_record_yet(const char *path, mc_error *error) {
    return mc_fail(error, MC_REFUSED,
                   "%.300s: there is no record yet; make one with: midcourse init --doctor "
                   "INITIALS (or look around in an "
                   "invented practice: midcourse demo)",
                   path);
}

static mc_status open_record(context *c, mc_error *error) {
    if (access(c->path, F_OK) != 0 && errno == ENOENT)
        return no_record_yet(c->path, error);
    mc_status status = mc_practice_open(c->path, c->today, &c->practice, error);
    const char *who = option_value(&c->arguments, "as");
    if (status == MC_OK && who)
        status = mc_practice_act_as(c->practice, who, error);
    return status;
}

static mc_status run_console(context *c, mc_error *error) {
    mc_status status = open_record(c, error);
    return status == MC_OK ? c->console(c->practice, NULL, NULL, error) : status;
}

static mc_status run_command(context *c, const command *k, int argc, char **argv, mc_error *error) {
    int next;
    mc_status status =
        arguments_read(argc, argv, k->options, GLOBAL_OPTIONS, false, &next, &c->arguments, error);
    if (status != MC_OK)
        return status;
    if (option_given(&c->arguments, "help")) {
        print_command_help(k);
        return MC_OK;
    }
    if (c->arguments.words < k->least_words || c->arguments.words > k->most_words)
        return mc_fail(error, MC_USAGE, "usage: midcourse %s %s (midcourse %s --help tells more)",
                       k->name, k->words, k->name);
    c->json = option_given(&c->arguments, "json");
    if (option_given(&c->arguments, "db"))
        c->path = option_value(&c->arguments, "db");
    if (k->opens)
        status = open_record(c, error);
    return status == MC_OK ? k->run(c, error) : status;
}

static mc_status dispatch(context *c, int argc, char **argv, mc_error *error) {
    int next = argc, taken = 0;
    static char path[600];
    mc_status status =
        arguments_read(argc, argv, GLOBAL_OPTIONS, NULL, true, &next, &c->arguments, error);
    if (status != MC_OK)
        return status;
    if (next >= argc && option_given(&c->arguments, "help")) {
        print_help();
        return MC_OK;
    }
    if (option_given(&c->arguments, "version")) {
        printf("midcourse %s\n", MIDCOURSE_VERSION);
        return MC_OK;
    }
    if (next < argc && strcmp(argv[next], "help") == 0)
        return run_help(argc - next - 1, argv + next + 1, error);
    const command *k = next < argc ? find_command(argc, argv, next, &taken) : NULL;
    const bool asks = option_given(&c->arguments, "help") ||
                      (next + 1 < argc && strcmp(argv[next + 1], "--help") == 0);
    if (next < argc && !k)
        return asks ? run_help(1, argv + next, error) : unknown_command(argv[next], error);
    status = find_today(&c->today, error);
    const char *named = getenv("MIDCOURSE_DB");
    c->path = option_value(&c->arguments, "db");
    if (!c->path && named && *named)
        c->path = named;
    if (status == MC_OK && !c->path) {
        bool makes = k && (k->run == run_init || k->run == run_restore) &&
                     !option_given(&c->arguments, "help");
        status = default_path(path, sizeof path, makes, error);
        c->path = path;
    }
    if (status != MC_OK)
        return status;
    return k ? run_command(c, k, argc - next - taken + 1, argv + next + taken - 1, error)
             : run_console(c, error);
}

/* What is done has to be told: with standard output closed nothing is begun. */
static mc_status can_be_told(mc_error *error) {
    if (fcntl(STDOUT_FILENO, F_GETFD) != -1)
        return MC_OK;
    return mc_fail(error, MC_REFUSED, "standard output: %s; nothing was done", strerror(errno));
}

int mc_command_run(int argc, char **argv, mc_open_console console) {
    mc_error error = {0};
    context c = {.console = console};
    mc_status status = can_be_told(&error);
    if (status == MC_OK)
        status = dispatch(&c, argc, argv, &error);
    mc_practice_close(c.practice);
    if (status != MC_OK) {
        report(&c, &error);
        return (int)status;
    }
    if (fflush(stdout) != 0 || ferror(stdout)) {
        fprintf(stderr, "midcourse: standard output: %s (the work itself was done)\n",
                strerror(errno));
        return MC_REFUSED;
    }
    return c.exit_status;
}
