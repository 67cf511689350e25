/* The plan file, written. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "origin.h"
#include "plan_rows.h"

enum { NUMBER = 400 }; /* the longest plain decimal of a double has some 340 characters */

static bool is_used(const mc_plan *plan, int column) {
    if (column < PLAN_ATTACHMENT) {
        return true;
    }
    for (size_t i = 0; i < mc_plan_count(plan); i++) {
        const mc_plan_row *row = mc_plan_row_at(plan, i);
        if ((column == PLAN_ATTACHMENT && row->attachment != MC_MARK_NONE) ||
            (column == PLAN_IPR_MESIAL && row->ipr_mesial != 0) ||
            (column == PLAN_IPR_DISTAL && row->ipr_distal != 0)) {
            return true;
        }
    }
    return false;
}

static void field_text(const mc_plan_row *row, mc_notation notation, int column, char out[NUMBER]) {
    switch (column) {
    case PLAN_TOOTH:
        mc_tooth_text(notation, row->tooth, out);
        break;
    case PLAN_STAGE:
        snprintf(out, NUMBER, "%d", row->stage);
        break;
    case PLAN_ATTACHMENT:
        snprintf(out, NUMBER, "%s", plan_mark_name(row->attachment));
        break;
    case PLAN_IPR_MESIAL:
        mc_decimal_text(row->ipr_mesial, out, NUMBER);
        break;
    case PLAN_IPR_DISTAL:
        mc_decimal_text(row->ipr_distal, out, NUMBER);
        break;
    default:
        mc_decimal_text(row->pose.c[column - PLAN_FIRST_COMPONENT], out, NUMBER);
    }
}

static mc_status write_heading(FILE *file, const char *heading, mc_error *error) {
    while (heading && *heading) {
        const size_t length = strcspn(heading, "\r\n");
        if (origin_resembles(heading, length)) {
            return mc_fail(error, MC_USAGE,
                           "a heading may not look like the remark of a plan's "
                           "origin");
        }
        fprintf(file, "# %.*s\n", (int)length, heading);
        heading += length + (heading[length] != '\0');
    }
    return MC_OK;
}

static mc_status write_origin(FILE *file, const mc_plan_origin *origin, mc_error *error) {
    if (!origin) {
        return MC_OK;
    }
    if (!mc_id_is_none(&origin->case_id)) {
        char remark[ORIGIN_SIZE];
        origin_write(origin, remark);
        fputs(remark, file);
    } else if (origin->checkup != 0 || origin->preview) {
        return mc_fail(error, MC_USAGE, "the origin of a plan needs its case");
    }
    return MC_OK;
}

static void write_rows(FILE *file, const mc_plan *plan, mc_notation notation) {
    bool used[PLAN_COLUMNS];
    for (int column = 0; column < PLAN_COLUMNS; column++) {
        used[column] = is_used(plan, column);
        if (used[column]) {
            fprintf(file, "%s%s", column == 0 ? "" : ",", plan_column(column));
        }
    }
    for (size_t i = 0; i < mc_plan_count(plan); i++) {
        for (int column = 0; column < PLAN_COLUMNS; column++) {
            char text[NUMBER];
            if (used[column]) {
                field_text(mc_plan_row_at(plan, i), notation, column, text);
                fprintf(file, "%s%s", column == 0 ? "\n" : ",", text);
            }
        }
    }
    fputc('\n', file);
}

mc_status mc_plan_write(const mc_plan *plan, mc_notation notation, const mc_plan_origin *origin,
                        const char *heading, char **data, size_t *size, mc_error *error) {
    char *text = NULL;
    size_t length = 0;
    *data = NULL;
    *size = 0;
    FILE *file = open_memstream(&text, &length);
    if (!file) {
        return mc_fail(error, MC_REFUSED, "out of memory");
    }
    mc_status status = write_heading(file, heading, error);
    if (status == MC_OK) {
        status = write_origin(file, origin, error);
    }
    if (status == MC_OK) {
        write_rows(file, plan, notation);
    }
    const bool failed = ferror(file) != 0;
    if ((fclose(file) != 0 || failed) && status == MC_OK) {
        status = mc_fail(error, MC_REFUSED, "out of memory");
    }
    if (status != MC_OK) {
        free(text);
        return status;
    }
    *data = text;
    *size = length;
    return MC_OK;
}
