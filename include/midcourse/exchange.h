/* exchange: files in and out, and the JSON that other programs rely on (midcourse-plan(5),
 * midcourse-checkup(5), midcourse-arch(5)). Readers take bytes already in memory and change nothing
 * but what they return. */
#ifndef MIDCOURSE_EXCHANGE_H
#define MIDCOURSE_EXCHANGE_H

#include "midcourse/decision.h"
#include "midcourse/record.h"
#include "midcourse/restaging.h"

struct json_t; /* of jansson */

/* ---- whole files ---- */

enum { MC_LARGEST_FILE = 8 * 1024 * 1024 };
/* Read a whole file of at most MC_LARGEST_FILE bytes ("-": standard input). Refuses a larger one
 * without reading it all, a folder, a device, a pipe that nobody writes to, one that cannot be
 * read; error->text begins with the path. *data is the caller's to free and ends with a NUL beyond
 * size. */
mc_status mc_file_read(const char *path, char **data, size_t *size, mc_error *error);
/* Write a new file whole or not at all (a temporary beside it, synced, then renamed); refuses an
 * existing file unless replace. "-": standard output. */
mc_status mc_file_write(const char *path, const char *data, size_t size, bool replace,
                        mc_error *error);

/* ---- warnings: what is unlikely, and accepted only on purpose ---- */

typedef struct mc_warning {
    long line, column; /* from 1; the row's first field where the whole row is meant */
    char text[300];
} mc_warning;
typedef struct mc_warnings {
    mc_warning *list;
    size_t count;
} mc_warnings;
void mc_warnings_free(mc_warnings *warnings);
/* Add one; line 0: it is about no line of the file. Refuses only when out of memory. */
mc_status mc_warnings_add(mc_warnings *warnings, mc_error *error, long line, long column,
                          const char *format, ...) __attribute__((format(printf, 5, 6)));

/* ---- plan file ---- */

/* What is known of where a draft came from, from its own remark; case_id is none where the file
 * does not say. */
typedef struct mc_plan_origin {
    mc_id case_id;
    int checkup;  /* number of the check-up whose poses it was made from; 0 not said */
    int version;  /* and its version, read as 1 where the file does not say; 0 is written as 1 */
    bool preview; /* made from poses that no order may rest on */
    long line;    /* of the file that says so; 0 where none does. Not written */
} mc_plan_origin;

/* Read a plan file. states are the teeth of the case (NULL: any tooth may be named). On success
 * *plan is the caller's to free and warnings (never NULL) holds what is unlikely, in the file's
 * order. A refusal names line and column of the first fault and leaves *plan NULL and no warnings.
 * origin may be NULL. */
mc_status mc_plan_read(const char *data, size_t size, mc_notation notation,
                       const mc_tooth_state *states, const mc_settings *settings, mc_plan **plan,
                       mc_plan_origin *origin, mc_warnings *warnings, mc_error *error);
/* Write one: header, rows in chart order, numbers that read back the same. origin (may be NULL)
 * becomes a remark; heading (may be NULL) is written as remark lines. *data is the caller's to
 * free. */
mc_status mc_plan_write(const mc_plan *plan, mc_notation notation, const mc_plan_origin *origin,
                        const char *heading, char **data, size_t *size, mc_error *error);

/* ---- check-up file ---- */

/* What a check-up file is read against. */
typedef struct mc_checkup_context {
    const mc_plan *plan;
    const mc_settings *settings;
    const mc_tooth_state *states;      /* MC_TEETH */
    double effective_stage[MC_ARCHES]; /* NaN where no aligner is given */
    const double (
        *last_observed)[MC_COMPONENTS]; /* MC_TEETH of them, NaN where never read; NULL: none */
    const mc_tracker *tracker; /* has taken in the check-ups before it on this plan; NULL: none */
    mc_notation notation;
} mc_checkup_context;

/* What a reading may be, whoever enters it; file and chair tell it in words of their own. */
enum {
    MC_LARGEST_MM = 20,
    MC_LARGEST_DEG = 90,
    MC_LARGEST_GAP = 5,        /* mm */
    MC_LARGEST_RECESSION = 20, /* mm */
    MC_HIGHEST_MOBILITY = 3,
    MC_MOST_ROWS_OF_TOOTH = 100,
    MC_LONGEST_ALIGNER_DAY = 999
};
double mc_largest_value(mc_component c); /* either way, from stage 0 or short of plan */

typedef enum mc_impossible {
    MC_POSSIBLE,
    MC_NO_SUCH_VALUE,       /* beyond the largest */
    MC_NO_SERIES,           /* a seat gap in an arch without aligners */
    MC_ALIGNER_NOT_SAID,    /* read against a series whose aligner is not known */
    MC_NOTHING_PLANNED_YET, /* short of a plan that has no leg there yet */
    MC_TOO_FAR,             /* what it is short by puts it beyond the largest */
    MC_NO_NEIGHBOUR         /* nothing stands on the side against which it was read */
} mc_impossible;
/* Whether the row's seat gap, or a component of it, cannot be. One that was not read can. */
mc_impossible mc_gap_impossible(const mc_checkup_context *context, const mc_reading *row);
mc_impossible mc_component_impossible(const mc_checkup_context *context, const mc_reading *row,
                                      mc_component c);
/* Where the row says that the component is, from stage 0. */
double mc_reading_at(const mc_checkup_context *context, const mc_reading *row, mc_component c);

typedef struct mc_unlikely {
    double at, planned, last; /* from stage 0; last NaN where it was never read on this plan */
} mc_unlikely;
/* Whether a component is further than 1 mm or 6 deg from both its plan and its last reading; out is
 * filled in either way. */
bool mc_component_unlikely(const mc_checkup_context *context, const mc_reading *row, mc_component c,
                           mc_unlikely *out);

/* Whether what the row reads against a neighbour cannot be. */
mc_impossible mc_relative_impossible(const mc_checkup_context *context, const mc_reading *row,
                                     mc_relative what);
typedef enum mc_relative_doubt {
    MC_RELATIVE_SURE,
    MC_RELATIVE_UNLIKELY, /* 1 mm or 6 deg from both what it should read and its last reading */
    MC_RELATIVE_UNUSED,   /* there is no baseline against this neighbour: kept, but not used */
    MC_RELATIVE_LARGE     /* a baseline of more than teeth usually stand apart or turned: a step or
                             height step of 5 mm, a space of 10 mm, 90 deg (common practice) */
} mc_relative_doubt;
/* What is odd about it; out is filled in either way, `planned` with what it should read. The first
 * reading at stage 0 is the baseline. */
mc_relative_doubt mc_relative_doubts(const mc_checkup_context *context, const mc_reading *row,
                                     mc_relative what, mc_unlikely *out);

/* Read a check-up file. *rows is the caller's to free. Refusals and warnings as for a plan. */
mc_status mc_checkup_read(const char *data, size_t size, const mc_checkup_context *context,
                          mc_reading **rows, size_t *count, mc_warnings *warnings, mc_error *error);

/* ---- arch position file ---- */

/* The crowns of one arch. */
typedef struct mc_arch_crowns {
    mc_arch arch;
    mc_crown crown[MC_TEETH]; /* those of the other arch do not stand */
} mc_arch_crowns;
/* Read one: the columns tooth, right_mm, anterior_mm, outward_deg, and turned_deg (0), width_mm and
 * thickness_mm (the usual size), in any order. Refuses as the other files are refused; besides a
 * file that lacks a tooth which stands by `states` (NULL: none is missed), one with right and left
 * exchanged, and crowns more than 3 mm deep in each other. */
mc_status mc_arch_read(const char *data, size_t size, mc_notation notation,
                       const mc_tooth_state *states, mc_arch_crowns *out, mc_error *error);
/* Write one, in chart order, in numbers that read back the same. heading (may be NULL): remark
 * lines. *data is the caller's to free. */
mc_status mc_arch_write(const mc_arch_crowns *crowns, mc_notation notation, const char *heading,
                        char **data, size_t *size, mc_error *error);

/* ---- file of repeated readings ---- */

/* The same thing measured twice by one method: a length, or an angle. */
typedef struct mc_pair {
    mc_method method;
    bool linear; /* mm, else deg */
    double first, second;
} mc_pair;
enum { MC_MOST_PAIRS = 100000, MC_LARGEST_PAIR_MM = 200, MC_LARGEST_PAIR_DEG = 360 };
/* Read one: the columns method, kind (mm or deg), first, second, in any order. *list is the
 * caller's to free. Refuses as the other files are refused. */
mc_status mc_pairs_read(const char *data, size_t size, mc_pair **list, size_t *count,
                        mc_error *error);

/* ---- text for a terminal, made safe in this one place: whatever bytes a name or a note holds,
 * what comes out is printable, of known width, and cannot steer the terminal ---- */

/* What one column or two on the screen shows: a character with at most four combining marks. */
typedef struct mc_text_cell {
    char bytes[24]; /* UTF-8, no NUL inside, ends with one */
    size_t size;
    int width; /* 1 or 2 */
} mc_text_cell;

/* Take the next cell of *at, which moves on; false at the end of the text. Invalid UTF-8, control
 * characters, format characters (bidirectional controls, zero-width ones), unassigned and private
 * ones come out as one visible replacement each. ascii: only ASCII comes out, letters without their
 * accents where they have any. */
bool mc_text_next(const char **at, bool ascii, mc_text_cell *out);
/* Whether a code point is one that can be seen: no control, format or line-ending character,
 * surrogate, private or unassigned one. */
bool mc_text_is_seen(int32_t point);
/* Columns that the whole text takes. */
int mc_text_width(const char *text, bool ascii);
/* Write the text into out, cut with an ellipsis where it is wider than `columns`. Returns the
 * columns taken. size of at least 16; text that would not fit out is cut too. */
int mc_text_fit(const char *text, int columns, bool ascii, char *out, size_t size);
/* Take the next line of at most `columns` from *at, broken at a blank where there is one, else
 * within the word. Leading blanks of a continued line are left out. False at the end. */
bool mc_text_line(const char **at, int columns, bool ascii, char *out, size_t size);

/* ---- JSON: every function returns a new reference, NULL when out of memory ---- */

/* The documents of the commands, whole, `"format": 1` first. case_label: NUMBER or NUMBER/2. */
struct json_t *mc_json_score(const char *case_label, const mc_score *score);
/* The forecast of the teeth that the score says are present, from the same check-up. */
struct json_t *mc_json_forecast(const char *case_label, const mc_score *score,
                                const mc_forecast *forecast);
struct json_t *mc_json_options(const char *case_label, const mc_score *score,
                               const mc_proposal *proposal, const mc_option *options, size_t count);
/* estimated: whether the crowns of an arch stand where they are estimated to; why: why it is no
 * order, "" where it is one. */
struct json_t *mc_json_revise(const char *case_label, const mc_restaged *restaged,
                              const bool estimated[MC_ARCHES], const char *why);
struct json_t *mc_json_settings(const mc_settings *settings);
struct json_t *mc_json_plan(const mc_plan *plan);
/* Text of a document: indented for people (a final newline) or compact with sorted keys for
 * evidence. Caller frees. */
char *mc_json_text(struct json_t *document, bool compact);

#endif
