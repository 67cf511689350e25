/* The plan file, read. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chair.h"
#include "origin.h"
#include "plan_rows.h"
#include "sheet.h"
#include "warnings.h"

enum { MOST_ROWS = MC_TEETH * (MC_MOST_STAGES + 1) };

/* No tooth goes that far; a larger number would not be written back digit by digit. */
static const double LARGEST = 1e6;
/* Enamel that one side of a crown can lose at all; common practice stays below half a millimetre.
 */
static const double LARGEST_IPR = 2;

typedef struct plan_reader {
    mc_notation notation;
    const mc_tooth_state *states;
    mc_plan_origin origin;
    plan_source *rows;
    size_t count, room;
    int32_t line_of[MC_TEETH][MC_MOST_STAGES + 1]; /* where each tooth and stage was listed; or 0 */
} plan_reader;

const char *plan_column(int column) {
    static const char *const others[] = {[PLAN_TOOTH] = "tooth",
                                         [PLAN_STAGE] = "stage",
                                         [PLAN_ATTACHMENT] = "attachment",
                                         [PLAN_IPR_MESIAL] = "ipr_mesial_mm",
                                         [PLAN_IPR_DISTAL] = "ipr_distal_mm"};
    const int component = column - PLAN_FIRST_COMPONENT;
    return component >= 0 && component < MC_COMPONENTS
               ? mc_component_column((mc_component)component)
               : others[column];
}

const char *plan_mark_name(mc_mark mark) {
    static const char *const names[] = {
        [MC_MARK_NONE] = "", [MC_MARK_PLACED] = "placed", [MC_MARK_REMOVED] = "removed"};
    return names[mark];
}

static mc_status read_mark(const table_field *field, mc_mark *mark, mc_error *error) {
    for (int m = MC_MARK_NONE; m <= MC_MARK_REMOVED; m++) {
        if (strcmp(field->text, plan_mark_name((mc_mark)m)) == 0) {
            *mark = (mc_mark)m;
            return MC_OK;
        }
    }
    char shown[200];
    table_quote(field->text, shown);
    return sheet_refuse(field, error, "attachment: \"%s\" is neither placed nor removed", shown);
}

/* What one field is, whatever the others say. */
static mc_status read_field(const plan_reader *r, int column, const table_field *field,
                            mc_plan_row *row, mc_error *error) {
    const char *name = plan_column(column);
    switch (column) {
    case PLAN_TOOTH:
        return chair_tooth(field, r->notation, &row->tooth, error);
    case PLAN_STAGE:
        return sheet_whole(field, name, MC_MOST_STAGES, SHEET_NEEDED, &row->stage, error);
    case PLAN_ATTACHMENT:
        return read_mark(field, &row->attachment, error);
    case PLAN_IPR_MESIAL:
        return sheet_number(field, name, 0, LARGEST_IPR, 0, &row->ipr_mesial, error);
    case PLAN_IPR_DISTAL:
        return sheet_number(field, name, 0, LARGEST_IPR, 0, &row->ipr_distal, error);
    default:
        return sheet_number(field, name, -LARGEST, LARGEST, 0,
                            &row->pose.c[column - PLAN_FIRST_COMPONENT], error);
    }
}

static mc_status check_component(const plan_reader *r, const table_field *field,
                                 const mc_plan_row *row, mc_component c, mc_error *error) {
    const double value = row->pose.c[c];
    char name[4];
    mc_tooth_text(r->notation, row->tooth, name);
    if (value != 0 && row->stage == 0) {
        return sheet_refuse(field, error,
                            "stage 0 of %s must be all zero: it is where the tooth is", name);
    }
    if (value != 0 && r->states && !mc_tooth_may_move(r->states[row->tooth])) {
        return sheet_refuse(field, error, "tooth %s may not be moved (%s)", name,
                            mc_tooth_state_name(r->states[row->tooth]));
    }
    if (c == MC_ANGULATION && mc_reaches(fabs(value), 90)) {
        return sheet_refuse(field, error, "%s: an angulation of 90 deg or more is no position",
                            name);
    }
    return MC_OK;
}

/* What the row says as a whole. */
static mc_status check_row(plan_reader *r, const sheet_row *fields, const mc_plan_row *row,
                           mc_error *error) {
    mc_status status =
        chair_stands(fields->field[PLAN_TOOTH], r->notation, row->tooth, r->states, error);
    int32_t *line = &r->line_of[row->tooth][row->stage];
    if (status == MC_OK && *line > 0) {
        char name[4];
        mc_tooth_text(r->notation, row->tooth, name);
        return sheet_refuse(fields->field[PLAN_TOOTH], error,
                            "stage %d of tooth %s is repeated: line %d has it already", row->stage,
                            name, (int)*line);
    }
    for (size_t i = 0; status == MC_OK && i < fields->count; i++) {
        const int c = fields->order[i] - PLAN_FIRST_COMPONENT;
        if (c >= 0 && c < MC_COMPONENTS) {
            status =
                check_component(r, fields->field[fields->order[i]], row, (mc_component)c, error);
        }
    }
    *line = (int32_t)fields->line;
    return status;
}

static mc_status keep_row(plan_reader *r, const sheet_row *fields, const mc_plan_row *row,
                          mc_error *error) {
    if (r->count == r->room) {
        const size_t room = r->room == 0 ? 256 : r->room * 2;
        plan_source *rows = realloc(r->rows, room * sizeof *rows);
        if (!rows) {
            return mc_fail(error, MC_REFUSED, "out of memory");
        }
        r->rows = rows;
        r->room = room;
    }
    plan_source *source = &r->rows[r->count++];
    *source = (plan_source){.row = *row, .line = fields->line, .row_column = fields->column};
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const table_field *field = fields->field[PLAN_FIRST_COMPONENT + c];
        source->column[c] = field ? field->column : fields->column;
    }
    return MC_OK;
}

static mc_status take_row(void *context, const sheet_row *fields, mc_error *error) {
    plan_reader *r = context;
    mc_plan_row row = {0};
    mc_status status = MC_OK;
    for (size_t i = 0; status == MC_OK && i < fields->count; i++) {
        const int column = fields->order[i];
        status = read_field(r, column, fields->field[column], &row, error);
    }
    if (status == MC_OK) {
        status = check_row(r, fields, &row, error);
    }
    return status == MC_OK ? keep_row(r, fields, &row, error) : status;
}

static mc_status take_remark(void *context, const char *text, size_t size, long line,
                             mc_error *error) {
    plan_reader *r = context;
    return origin_read(text, size, line, &r->origin, error);
}

static mc_status read_rows(plan_reader *r, const char *data, size_t size, mc_error *error) {
    sheet_form form = {.columns = PLAN_COLUMNS,
                       .needed = PLAN_STAGE + 1,
                       .most_rows = MOST_ROWS,
                       .context = r,
                       .row = take_row,
                       .remark = take_remark};
    for (int i = 0; i < PLAN_COLUMNS; i++) {
        form.column[i] = plan_column(i);
    }
    return sheet_read(data, size, &form, error);
}

static int in_chart_order(const void *a, const void *b) {
    const mc_plan_row *x = &((const plan_source *)a)->row, *y = &((const plan_source *)b)->row;
    return x->tooth != y->tooth ? x->tooth - y->tooth : x->stage - y->stage;
}

/* Build the plan and say what is unlikely in it. */
static mc_status build(plan_reader *r, const mc_settings *settings, mc_plan *plan,
                       mc_warnings *warnings, mc_error *error) {
    const long first_line = r->rows[0].line, first_column = r->rows[0].row_column;
    qsort(r->rows, r->count, sizeof *r->rows, in_chart_order);
    for (size_t i = 0; i < r->count; i++) {
        const mc_status status = mc_plan_add(plan, &r->rows[i].row, error);
        if (status != MC_OK) {
            return status;
        }
    }
    if (mc_plan_stages(plan, MC_UPPER) == 0 && mc_plan_stages(plan, MC_LOWER) == 0) {
        return mc_fail_at(error, first_line, first_column,
                          "no stage above 0 is listed, so there is no aligner");
    }
    return plan_warn(settings, r->notation, plan, r->rows, r->count, warnings, error);
}

mc_status mc_plan_read(const char *data, size_t size, mc_notation notation,
                       const mc_tooth_state *states, const mc_settings *settings, mc_plan **plan,
                       mc_plan_origin *origin, mc_warnings *warnings, mc_error *error) {
    *plan = NULL;
    *warnings = (mc_warnings){NULL, 0};
    plan_reader *r = calloc(1, sizeof *r);
    mc_plan *made = mc_plan_new();
    mc_status status = MC_OK;
    if (!r || !made) {
        status = mc_fail(error, MC_REFUSED, "out of memory");
    } else {
        r->notation = notation;
        r->states = states;
        status = read_rows(r, data, size, error);
    }
    if (status == MC_OK) {
        status = build(r, settings, made, warnings, error);
    }
    if (status == MC_OK) {
        *plan = made;
        if (origin) {
            *origin = r->origin;
        }
    } else {
        mc_plan_free(made);
        mc_warnings_free(warnings);
    }
    free(r ? r->rows : NULL);
    free(r);
    return status;
}
