/* The words of a command line: options by name, and the rest in order. */
#ifndef ARGUMENTS_H
#define ARGUMENTS_H

#include "midcourse/base.h"

/* One option: --name VALUE, or a flag where value is NULL. A list of them ends with a NULL name. */
typedef struct {
    const char *name;
    const char *value;
    const char *help;
} option_spec;

enum { MOST_OPTIONS = 32, MOST_GIVEN = 256, MOST_WORDS = 8 };

typedef struct {
    const char *name[MOST_GIVEN]; /* options as given, in order */
    const char *value[MOST_GIVEN];
    int given;
    const char *word[MOST_WORDS];
    int words;
} arguments;

/* Read argv[1..argc-1] with the options of two lists (the second may be NULL). stop_at_word: stop
 * at the first word that is no option; *next is then its index (else argc). MC_USAGE for an unknown
 * option, a missing or unwanted value, too many words. Adds to what is in out. */
mc_status arguments_read(int argc, char **argv, const option_spec *one, const option_spec *two,
                         bool stop_at_word, int *next, arguments *out, mc_error *error);

/* The last value given for an option; NULL where it was not given ("" for a flag). */
const char *option_value(const arguments *a, const char *name);
bool option_given(const arguments *a, const char *name);

/* Typed values: MC_OK leaves *out alone where the option was not given; MC_USAGE names the option
 * and what it takes. */
mc_status option_day(const arguments *a, const char *name, mc_day *out, mc_error *error);
mc_status option_whole(const arguments *a, const char *name, int low, int high, int *out,
                       mc_error *error);
mc_status option_number(const arguments *a, const char *name, double *out, mc_error *error);
/* A whole number standing alone. */
bool whole_parse(const char *text, int low, int high, int *out);

#endif
