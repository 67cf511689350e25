/* What commands print: documents, wrapped text, warnings. */
#include "context.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LINE_WIDTH = 80, MESSAGE_SIZE = 4000 };

mc_status print_json(json_t *document, mc_error *error) {
    char *text = document ? mc_json_text(document, false) : NULL;
    json_decref(document);
    if (!text)
        return mc_fail(error, MC_REFUSED, "out of memory");
    fputs(text, stdout);
    free(text);
    return MC_OK;
}

const char *day_text(mc_day day, char out[11]) {
    mc_day_text(day, out);
    return out;
}

const char *percent_text(double p, char out[PERCENT_SIZE]) {
    if (p < 0.005)
        snprintf(out, PERCENT_SIZE, "<1%%");
    else if (p >= 0.995)
        snprintf(out, PERCENT_SIZE, ">99%%");
    else
        snprintf(out, PERCENT_SIZE, "%.0f%%", 100 * p);
    return out;
}

json_t *day_json(mc_day day) {
    char text[11];
    return day == MC_NO_DAY ? json_null() : json_string(day_text(day, text));
}

json_t *first_day_json(const mc_plan_info *info, mc_arch arch) {
    return info->first[arch] == MC_NO_DAY
               ? json_null()
               : json_pack("{s:o, s:b}", "day", day_json(info->first[arch]), "recorded",
                           info->begun[arch]);
}

static json_t *awaited_arch_json(const mc_awaited *awaited, mc_arch arch) {
    return !awaited->series[arch]
               ? json_null()
               : json_pack("{s:o, s:o, s:b, s:b}", "wears",
                           awaited->wears[arch] == MC_NO_ALIGNER
                               ? json_null()
                               : json_integer(awaited->wears[arch]),
                           "first", day_json(awaited->first[arch]), "recorded",
                           awaited->recorded[arch], "not_recorded", awaited->not_recorded[arch]);
}

json_t *awaited_json(const mc_awaited *awaited) {
    char text[MC_WAITING_TEXT_SIZE];
    mc_waiting_text(awaited, text);
    return *text == '\0'
               ? json_null()
               : json_pack("{s:o, s:o, s:o, s:o}", "upper", awaited_arch_json(awaited, MC_UPPER),
                           "lower", awaited_arch_json(awaited, MC_LOWER), "delivered",
                           day_json(awaited->delivered), "days",
                           awaited->waits_days > 0 ? json_integer(awaited->waits_days)
                                                   : json_null());
}

json_t *number_json(double value) {
    return isfinite(value) ? json_real(value) : json_null();
}

void print_wrapped(const char *text, int indent) {
    const char *at = text;
    char line[4 * LINE_WIDTH];
    while (mc_text_line(&at, LINE_WIDTH - indent, false, line, sizeof line))
        printf("%*s%s\n", indent, "", line);
}

double pose_shown(const mc_pose *pose, mc_component c) {
    const double least = mc_component_is_linear(c) ? 0.005 : 0.05;
    return fabs(pose->c[c]) < least ? 0 : pose->c[c];
}

void print_columns(const char *format, ...) {
    char text[1000];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    size_t end = strlen(text);
    while (end > 0 && text[end - 1] == ' ')
        end--;
    printf("%.*s\n", (int)end, text);
}

void print_told(const char *first, const char *text) {
    enum { HANGING = 2 };
    char word[MESSAGE_SIZE];
    int column = mc_text_width(first, false);
    fputs(first, stderr);
    for (const char *at = text + strspn(text, " "), *gap = ""; *at;) {
        size_t length = strcspn(at, " ");
        snprintf(word, sizeof word, "%.*s", (int)length, at);
        int width = mc_text_width(word, false);
        if (*gap && column + (int)strlen(gap) + width > LINE_WIDTH) {
            fprintf(stderr, "\n%*s", HANGING, "");
            column = HANGING;
            gap = "";
        }
        fprintf(stderr, "%s%s", gap, word);
        column += (int)strlen(gap) + width;
        gap = " ";
        at += length + strspn(at + length, " ");
    }
    fputc('\n', stderr);
}

const char *safe(const char *text, char *out, size_t size) {
    mc_text_fit(text, LINE_WIDTH, false, out, size);
    return out;
}

void place_text(const context *c, long line, long column, char out[PLACE_SIZE]) {
    char file[PLACE_SIZE - 60];
    mc_text_fit(c->file ? c->file : "-", 300, false, file, sizeof file);
    if (c->file && line > 0)
        snprintf(out, PLACE_SIZE, "midcourse: %s:%ld:%ld: ", file, line, column > 0 ? column : 1);
    else
        snprintf(out, PLACE_SIZE, "midcourse: ");
}

void print_warnings(const context *c, mc_warnings *warnings) {
    for (size_t i = 0; i < warnings->count; i++) {
        const mc_warning *w = &warnings->list[i];
        char first[PLACE_SIZE], text[sizeof w->text + 10];
        place_text(c, w->line, w->column, first);
        snprintf(text, sizeof text, "warning: %s", w->text);
        print_told(first, text);
    }
    mc_warnings_free(warnings);
}

mc_status two_documents(mc_error *error) {
    return mc_fail(error, MC_USAGE, "with --json the file needs a name of its own: --out FILE");
}

void print_caution(void) {
    print_wrapped("Proposal only: the doctor decides; local rules and clinical judgement go first",
                  0);
}

mc_status case_of(context *c, mc_case *out, mc_error *error) {
    return mc_case_find(c->practice, c->arguments.word[0], out, error);
}

mc_status read_file(context *c, const char *path, char **data, size_t *size, mc_error *error) {
    mc_status status = mc_file_read(path, data, size, error);
    if (status == MC_OK)
        c->file = path;
    return status;
}

mc_status notation_of(context *c, mc_notation *out, mc_error *error) {
    const char *text = option_value(&c->arguments, "notation");
    *out = MC_NOTATION_ISO;
    if (!text || mc_notation_parse(text, out))
        return MC_OK;
    return mc_fail(error, MC_USAGE, "--notation %.20s: it is iso, universal or quadrant", text);
}
