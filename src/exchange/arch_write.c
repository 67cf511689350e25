/* The arch position file, written. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "arch_columns.h"
#include "midcourse/exchange.h"

static double number_of(const mc_crown *crown, int column) {
    switch (column) {
    case ARCH_RIGHT:
        return crown->right;
    case ARCH_ANTERIOR:
        return crown->anterior;
    case ARCH_OUTWARD:
        return crown->outward_deg;
    case ARCH_TURNED:
        return crown->turned_deg;
    case ARCH_WIDTH:
        return crown->width;
    default:
        return crown->thickness;
    }
}

static void write_all(FILE *file, const mc_arch_crowns *crowns, mc_notation notation) {
    for (int column = 0; column < ARCH_COLUMNS; column++) {
        fprintf(file, "%s%s", column == 0 ? "" : ",", arch_column(column));
    }
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        char text[400];
        if (!crowns->crown[t].stands || mc_tooth_arch(t) != crowns->arch) {
            continue;
        }
        mc_tooth_text(notation, t, text);
        fprintf(file, "\n%s", text);
        for (int column = ARCH_RIGHT; column < ARCH_COLUMNS; column++) {
            mc_decimal_text(number_of(&crowns->crown[t], column), text, sizeof text);
            fprintf(file, ",%s", text);
        }
    }
    fputc('\n', file);
}

mc_status mc_arch_write(const mc_arch_crowns *crowns, mc_notation notation, const char *heading,
                        char **data, size_t *size, mc_error *error) {
    char *text = NULL;
    size_t length = 0;
    *data = NULL;
    *size = 0;
    FILE *file = open_memstream(&text, &length);
    if (!file) {
        return mc_fail(error, MC_REFUSED, "out of memory");
    }
    while (heading && *heading) {
        const size_t line = strcspn(heading, "\r\n");
        fprintf(file, "# %.*s\n", (int)line, heading);
        heading += line + (heading[line] != '\0');
    }
    write_all(file, crowns, notation);
    const bool failed = ferror(file) != 0;
    if (fclose(file) != 0 || failed) {
        free(text);
        return mc_fail(error, MC_REFUSED, "out of memory");
    }
    *data = text;
    *size = length;
    return MC_OK;
}
