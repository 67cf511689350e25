/* What commands print: documents, wrapped text, warnings. */
#include "context.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LINE_WIDTH = 80 };

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

json_t *day_json(mc_day day) {
    char text[11];
    return day == MC_NO_DAY ? json_null() : json_string(day_text(day, text));
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

const char *safe(const char *text, char *out, size_t size) {
    mc_text_fit(text, LINE_WIDTH, false, out, size);
    return out;
}

void print_warnings(const context *c, mc_warnings *warnings) {
    for (size_t i = 0; i < warnings->count; i++) {
        const mc_warning *w = &warnings->list[i];
        fprintf(stderr, "midcourse: ");
        if (c->file && w->line > 0)
            fprintf(stderr, "%s:%ld:%ld: ", c->file, w->line, w->column > 0 ? w->column : 1);
        fprintf(stderr, "warning: %s\n", w->text);
    }
    mc_warnings_free(warnings);
}

mc_status two_documents(mc_error *error) {
    return mc_fail(error, MC_USAGE, "with --json the file needs a name of its own: --out FILE");
}

void print_caution(void) {
    print_wrapped(
        "Decision support: the doctor decides; local rules and clinical judgement come first.", 0);
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
