/* Over getopt_long: one reading for every command. */
#include "arguments.h"

#include <getopt.h>
#include <stdlib.h>
#include <string.h>

static int add_options(struct option *all, int count, const option_spec *list) {
    for (; list && list->name && count < MOST_OPTIONS; list++)
        all[count++] =
            (struct option){list->name, list->value ? required_argument : no_argument, NULL, 0};
    return count;
}

static mc_status unknown(char **argv, mc_error *error) {
    const char *word = argv[optind - 1];
    if (optopt > ' ' && optopt < 127)
        return mc_fail(error, MC_USAGE, "-%c: no such option", optopt);
    return mc_fail(error, MC_USAGE, "%.80s: no such option here, or one that takes no value", word);
}

mc_status arguments_read(int argc, char **argv, const option_spec *one, const option_spec *two,
                         bool stop_at_word, int *next, arguments *out, mc_error *error) {
    struct option all[MOST_OPTIONS + 1] = {{0}};
    add_options(all, add_options(all, 0, one), two);
    int index = 0, found;
    optind = 0; /* begin anew, whatever was read before */
    opterr = 0;
    while ((found = getopt_long(argc, argv, stop_at_word ? "+:" : ":", all, &index)) != -1) {
        if (found == ':')
            return mc_fail(error, MC_USAGE, "%.80s: a value is missing", argv[optind - 1]);
        if (found == '?')
            return unknown(argv, error);
        if (out->given == MOST_GIVEN)
            return mc_fail(error, MC_USAGE, "too many options");
        out->name[out->given] = all[index].name;
        out->value[out->given++] = optarg ? optarg : "";
    }
    *next = stop_at_word ? optind : argc;
    for (int i = optind; !stop_at_word && i < argc; i++) {
        if (out->words == MOST_WORDS)
            return mc_fail(error, MC_USAGE, "%.80s: one word too many", argv[i]);
        out->word[out->words++] = argv[i];
    }
    return MC_OK;
}

const char *option_value(const arguments *a, const char *name) {
    for (int i = a->given; i-- > 0;)
        if (strcmp(a->name[i], name) == 0)
            return a->value[i];
    return NULL;
}

bool option_given(const arguments *a, const char *name) {
    return option_value(a, name) != NULL;
}

mc_status option_day(const arguments *a, const char *name, mc_day *out, mc_error *error) {
    const char *text = option_value(a, name);
    if (!text || mc_day_parse(text, out))
        return MC_OK;
    return mc_fail(error, MC_USAGE,
                   "--%s %.40s: a date is a day of the calendar, written YYYY-MM-DD", name, text);
}

bool whole_parse(const char *text, int low, int high, int *out) {
    char *end;
    if (*text < '0' || *text > '9')
        return false;
    long value = strtol(text, &end, 10);
    if (*end != '\0' || value < low || value > high)
        return false;
    *out = (int)value;
    return true;
}

mc_status option_whole(const arguments *a, const char *name, int low, int high, int *out,
                       mc_error *error) {
    const char *text = option_value(a, name);
    if (!text || whole_parse(text, low, high, out))
        return MC_OK;
    return mc_fail(error, MC_USAGE, "--%s %.40s: a whole number from %d to %d", name, text, low,
                   high);
}

mc_status option_number(const arguments *a, const char *name, double *out, mc_error *error) {
    const char *text = option_value(a, name);
    if (!text || mc_decimal_parse(text, true, out))
        return MC_OK;
    return mc_fail(error, MC_USAGE, "--%s %.40s: a plain number", name, text);
}
