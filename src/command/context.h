/* What a command gets, and the table that it stands in. */
#ifndef CONTEXT_H
#define CONTEXT_H

#include "arguments.h"

#include "midcourse/command.h"

#include <jansson.h>

/* Exit status of `--check` when something is behind or stalled. */
enum { EXIT_BEHIND = 4 };

typedef struct {
    arguments arguments; /* the command's own words and options, and the global ones */
    bool json;
    const char *path; /* of the record */
    mc_day today;
    mc_practice *practice; /* NULL for commands that open none */
    mc_open_console console;
    const char *file; /* the file an error or warning is about, or NULL */
    int exit_status;  /* where a command that was done wants another than 0 */
} context;

typedef struct {
    const char *name;    /* one or two words */
    const char *words;   /* what follows, as in the usage line */
    const char *summary; /* one line */
    const char *detail;  /* more, for --help; may be NULL */
    const option_spec *options;
    int least_words, most_words;
    bool opens; /* needs the record */
    mc_status (*run)(context *c, mc_error *error);
} command;

extern const option_spec GLOBAL_OPTIONS[];
/* Every command, in the order of the help; ends with a NULL name. */
extern const command COMMANDS[];

mc_status run_init(context *c, mc_error *error);
mc_status run_demo(context *c, mc_error *error);
mc_status run_staff_add(context *c, mc_error *error);
mc_status run_staff_list(context *c, mc_error *error);
mc_status run_staff_retire(context *c, mc_error *error);
mc_status run_settings_list(context *c, mc_error *error);
mc_status run_settings_set(context *c, mc_error *error);
mc_status run_method_measure(context *c, mc_error *error);
mc_status run_accuracy(context *c, mc_error *error);
mc_status run_accuracy_use(context *c, mc_error *error);
mc_status run_case_new(context *c, mc_error *error);
mc_status run_case_list(context *c, mc_error *error);
mc_status run_case_show(context *c, mc_error *error);
mc_status run_case_tooth(context *c, mc_error *error);
mc_status run_case_close(context *c, mc_error *error);
mc_status run_plan_import(context *c, mc_error *error);
mc_status run_plan_show(context *c, mc_error *error);
mc_status run_plan_export(context *c, mc_error *error);
mc_status run_arch_import(context *c, mc_error *error);
mc_status run_arch_show(context *c, mc_error *error);
mc_status run_arch_export(context *c, mc_error *error);
mc_status run_plan_delivered(context *c, mc_error *error);
mc_status run_plan_begin(context *c, mc_error *error);
mc_status run_plan_expect(context *c, mc_error *error);
mc_status run_checkup_import(context *c, mc_error *error);
mc_status run_checkup_list(context *c, mc_error *error);
mc_status run_checkup_amend(context *c, mc_error *error);
mc_status run_checkup_expect(context *c, mc_error *error);
mc_status run_checkup_discard(context *c, mc_error *error);
mc_status run_score(context *c, mc_error *error);
mc_status run_forecast(context *c, mc_error *error);
mc_status run_options(context *c, mc_error *error);
mc_status run_roster(context *c, mc_error *error);
mc_status run_revise(context *c, mc_error *error);
mc_status run_decide(context *c, mc_error *error);
mc_status run_journal(context *c, mc_error *error);
mc_status run_backup(context *c, mc_error *error);
mc_status run_restore(context *c, mc_error *error);
mc_status run_verify(context *c, mc_error *error);

/* ---- shared by the commands ---- */

/* The case named by the first word. */
mc_status case_of(context *c, mc_case *out, mc_error *error);
/* The assessment that --checkup and --settings ask for; refuses where there is nothing to score.
 * Free with mc_assessment_free. */
mc_status scored_case(context *c, mc_assessment **out, mc_error *error);
/* Case, check-up, plan, and where its arches stand. */
void print_head(const char *label, const mc_assessment *a);
/* --aligner K is every arch that has a series; --upper and --lower name one. Refuses where none is
 * given. */
mc_status aligners_of(context *c, const mc_case *kase, int aligner[MC_ARCHES], mc_error *error);
/* Read the file named by a word into memory; its name then stands before errors. */
mc_status read_file(context *c, const char *path, char **data, size_t *size, mc_error *error);
/* --notation, ISO 3950 where it is not given. */
mc_status notation_of(context *c, mc_notation *out, mc_error *error);
/* How a message begins: "midcourse: ", and file, line and column where it is about a line of the
 * file (from 1; else 0). */
enum { PLACE_SIZE = 1260 };
void place_text(const context *c, long line, long column, char out[PLACE_SIZE]);
/* Warnings on stderr, each with file, line and column; frees them. */
void print_warnings(const context *c, mc_warnings *warnings);
/* A JSON document on stdout; takes it over. */
mc_status print_json(json_t *document, mc_error *error);
/* Text of the record made safe for a terminal: control characters and broken bytes show as "?". */
const char *safe(const char *text, char *out, size_t size);
/* "-" for MC_NO_DAY. Returns out. */
const char *day_text(mc_day day, char out[11]);
/* A line of a table on stdout, without the blanks that its last columns leave empty. */
void print_columns(const char *format, ...) __attribute__((format(printf, 1, 2)));
/* What a person is told on stderr: first, then text, wrapped at 80 columns; a word that is longer
 * than a line, as the name of a file, stays whole. */
void print_told(const char *first, const char *text);
/* A paragraph on stdout wrapped at 80 columns, each line after indent blanks. */
void print_wrapped(const char *text, int indent);
/* A component as it is printed: never "-0.0", what rounds to nothing is shown as nothing. */
double pose_shown(const mc_pose *pose, mc_component c);
/* A chance of what is ahead in percent; none is told as certain: "<1%", ">99%". Returns out. */
enum { PERCENT_SIZE = 8 };
const char *percent_text(double p, char out[PERCENT_SIZE]);
json_t *day_json(mc_day day);
json_t *number_json(double value);
/* An arch's first day of a plan: {"day", "recorded"}; null where it has no series. */
json_t *first_day_json(const mc_plan_info *info, mc_arch arch);
/* A corrected series that is awaited; null where nothing is. */
json_t *awaited_json(const mc_awaited *awaited);
/* MC_USAGE: --json prints its own document, so a file needs --out of another name. */
mc_status two_documents(mc_error *error);
/* The caution that stands under every proposal. */
void print_caution(void);

/* A passphrase for signing (or, fresh, for a new person): from --passphrase-fd or the named
 * environment's file, else from the terminal, fresh ones twice. out is wiped by the caller with
 * wipe(). */
enum { PASSPHRASE_SIZE = 1026 };
mc_status read_passphrase(context *c, bool fresh, const char *whose, char out[PASSPHRASE_SIZE],
                          mc_error *error);
/* Whether one is given by descriptor, file or terminal. */
bool passphrase_at_hand(const context *c);
void wipe(char *secret, size_t size);

#endif
