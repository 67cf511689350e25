/* The check-up file, read: first what each field is, then whether it can be so on this tooth of
 * this plan, then what is unlikely. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chair.h"
#include "sheet.h"
#include "warnings.h"

enum {
    TOOTH,
    SEAT_GAP,
    FIRST_COMPONENT,
    ATTACHMENT = FIRST_COMPONENT + MC_COMPONENTS,
    MOBILITY,
    CONTACT_MESIAL,
    CONTACT_DISTAL,
    PAIN,
    SWELLING,
    RECESSION,
    METHOD,
    IN_BULK,
    FIRST_RELATIVE,
    COLUMNS = FIRST_RELATIVE + MC_RELATIVES
};

/* A hundred readings of every tooth: beyond that the file is no check-up. */
enum { MOST_ROWS = MC_TEETH * MC_MOST_ROWS_OF_TOOTH };

typedef struct checkup_reader {
    const mc_checkup_context *about;
    mc_reading *rows;
    size_t count, room;
    mc_warnings *warnings;
} checkup_reader;

static const char *column_name(int column) {
    static const char *const others[] = {[TOOTH] = "tooth",
                                         [SEAT_GAP] = "seat_gap_mm",
                                         [ATTACHMENT] = "attachment",
                                         [MOBILITY] = "mobility",
                                         [CONTACT_MESIAL] = "contact_mesial",
                                         [CONTACT_DISTAL] = "contact_distal",
                                         [PAIN] = "pain",
                                         [SWELLING] = "swelling",
                                         [RECESSION] = "recession_mm",
                                         [METHOD] = "method",
                                         [IN_BULK] = "seat_in_bulk"};
    const int component = column - FIRST_COMPONENT;
    if (column >= FIRST_RELATIVE) {
        return mc_relative_column((mc_relative)(column - FIRST_RELATIVE));
    }
    return component >= 0 && component < MC_COMPONENTS
               ? mc_component_column((mc_component)component)
               : others[column];
}

/* ---- what a field is ---- */

/* The classes that an eye can tell, taken as the middle of each. */
static mc_status read_gap(const table_field *field, double *gap, mc_error *error) {
    static const struct {
        const char *word;
        double gap;
    } classes[] = {{"none", 0},    {"under 0.5", 0.3}, {"under-0.5", 0.3}, {"0.5 to 1", 0.8},
                   {"0.5-1", 0.8}, {"over 1", 1.3},    {"over-1", 1.3}};
    for (size_t i = 0; i < sizeof classes / sizeof *classes; i++) {
        if (strcmp(field->text, classes[i].word) == 0) {
            *gap = classes[i].gap;
            return MC_OK;
        }
    }
    return sheet_number(field, column_name(SEAT_GAP), 0, MC_LARGEST_GAP, NAN, gap, error);
}

/* A number, or one with an s behind it: short of today's plan. */
static mc_status read_component(const table_field *field, mc_component c, mc_reading *row,
                                mc_error *error) {
    table_field number = *field;
    const size_t length = strlen(number.text);
    row->short_of_plan[c] = length > 1 && number.text[length - 1] == 's';
    if (row->short_of_plan[c]) {
        number.text[length - 1] = '\0';
    }
    return sheet_number(&number, mc_component_column(c), -mc_largest_value(c), mc_largest_value(c),
                        NAN, &row->value[c], error);
}

/* A space, a step or an angle, as read. */
static mc_status read_relative(const table_field *field, mc_relative what, mc_reading *row,
                               mc_error *error) {
    const double most = mc_relative_most(what);
    return sheet_number(field, mc_relative_column(what), mc_relative_is_space(what) ? 0 : -most,
                        most, NAN, &row->relative[what], error);
}

static mc_status refuse_word(const table_field *field, int column, const char *words,
                             mc_error *error) {
    char shown[200];
    table_quote(field->text, shown);
    return sheet_refuse(field, error, "%s: \"%s\" is none of %s", column_name(column), shown,
                        words);
}

static mc_status read_contact(const table_field *field, int column, mc_contact *contact,
                              mc_error *error) {
    return field->text[0] == '\0' || mc_contact_parse(field->text, contact)
               ? MC_OK
               : refuse_word(field, column, "open, normal, tight", error);
}

static mc_status read_yes(const table_field *field, int column, mc_yes *yes, mc_error *error) {
    if (strcmp(field->text, "yes") == 0) {
        *yes = MC_YES;
    } else if (strcmp(field->text, "no") == 0) {
        *yes = MC_NO;
    } else if (field->text[0] != '\0') {
        return refuse_word(field, column, "yes, no", error);
    }
    return MC_OK;
}

static mc_status read_bulk(const table_field *field, mc_reading *row, mc_error *error) {
    mc_yes said = MC_UNSAID;
    const mc_status status = read_yes(field, IN_BULK, &said, error);
    row->seat_in_bulk = said == MC_YES;
    return status;
}

static mc_status read_method(const table_field *field, int *method, mc_error *error) {
    mc_method found;
    if (field->text[0] == '\0') {
        return MC_OK;
    }
    if (!mc_method_parse(field->text, &found)) {
        return refuse_word(field, METHOD, "eye, caliper, photo, landmarks, scan", error);
    }
    *method = (int)found;
    return MC_OK;
}

static mc_status read_field(const checkup_reader *r, int column, const table_field *field,
                            mc_reading *row, mc_error *error) {
    const char *name = column_name(column);
    switch (column) {
    case TOOTH:
        return chair_tooth(field, r->about->notation, &row->tooth, error);
    case SEAT_GAP:
        return read_gap(field, &row->seat_gap, error);
    case ATTACHMENT:
        return field->text[0] == '\0' || mc_attachment_parse(field->text, &row->attachment)
                   ? MC_OK
                   : refuse_word(field, column, "intact, worn, loose, lost", error);
    case MOBILITY:
        return sheet_whole(field, name, MC_HIGHEST_MOBILITY, -1, &row->mobility, error);
    case CONTACT_MESIAL:
        return read_contact(field, column, &row->contact_mesial, error);
    case CONTACT_DISTAL:
        return read_contact(field, column, &row->contact_distal, error);
    case PAIN:
        return read_yes(field, column, &row->pain, error);
    case SWELLING:
        return read_yes(field, column, &row->swelling, error);
    case RECESSION:
        return sheet_number(field, name, 0, MC_LARGEST_RECESSION, NAN, &row->recession, error);
    case METHOD:
        return read_method(field, &row->method, error);
    case IN_BULK:
        return read_bulk(field, row, error);
    default:
        if (column >= FIRST_RELATIVE) {
            return read_relative(field, (mc_relative)(column - FIRST_RELATIVE), row, error);
        }
        return read_component(field, (mc_component)(column - FIRST_COMPONENT), row, error);
    }
}

/* ---- whether it can be so ---- */

static const char *const ARCH[MC_ARCHES] = {[MC_UPPER] = "upper", [MC_LOWER] = "lower"};

/* What a reading may not be, at the field that says it. */
static mc_status refuse_reading(const checkup_reader *r, const table_field *field,
                                const mc_reading *row, int c, mc_impossible why, const char *name,
                                mc_error *error) {
    const char *arch = ARCH[mc_tooth_arch(row->tooth)];
    const double s = r->about->effective_stage[mc_tooth_arch(row->tooth)];
    switch (why) {
    case MC_NO_SERIES:
        return sheet_refuse(field, error, "the %s arch has no series, so nothing is seated on it",
                            arch);
    case MC_ALIGNER_NOT_SAID:
        return sheet_refuse(field, error, "no aligner is given for the %s arch: add --%s K", arch,
                            arch);
    case MC_NOTHING_PLANNED_YET:
        return sheet_refuse(field, error,
                            "short of plan needs a planned movement: %s %s is not planned to move "
                            "by stage %s",
                            name, mc_component_name((mc_component)c),
                            sheet_show(isnan(s) ? 0 : s).text);
    case MC_NO_NEIGHBOUR:
        return sheet_refuse(field, error, "%s: no tooth stands on that side of it", name);
    default:
        return sheet_refuse(field, error, "%s: %s %s from stage 0 cannot be (at most %s)", name,
                            sheet_show(mc_reading_at(r->about, row, (mc_component)c)).text,
                            chair_unit(mc_component_is_linear((mc_component)c)),
                            sheet_show(mc_largest_value((mc_component)c)).text);
    }
}

static bool says_nothing(const sheet_row *fields) {
    for (size_t i = 0; i < fields->count; i++) {
        const int column = fields->order[i];
        if (column != TOOTH && column != METHOD && column != IN_BULK &&
            fields->field[column]->text[0] != '\0') {
            return false;
        }
    }
    return true;
}

static mc_status check_row(const checkup_reader *r, const sheet_row *fields, const mc_reading *row,
                           mc_error *error) {
    char name[4];
    mc_tooth_text(r->about->notation, row->tooth, name);
    mc_status status =
        chair_stands(fields->field[TOOTH], r->about->notation, row->tooth, r->about->states, error);
    if (status == MC_OK && says_nothing(fields)) {
        return sheet_refuse(fields->field[TOOTH], error, "nothing is said of tooth %s", name);
    }
    for (size_t i = 0; status == MC_OK && i < fields->count; i++) {
        const table_field *field = fields->field[fields->order[i]];
        const int c = fields->order[i] - FIRST_COMPONENT;
        mc_impossible why = MC_POSSIBLE;
        if (fields->order[i] >= FIRST_RELATIVE) {
            why = mc_relative_impossible(r->about, row,
                                         (mc_relative)(fields->order[i] - FIRST_RELATIVE));
        } else if (c >= 0 && c < MC_COMPONENTS) {
            why = mc_component_impossible(r->about, row, (mc_component)c);
        } else if (fields->order[i] == SEAT_GAP) {
            why = mc_gap_impossible(r->about, row);
        } else if (fields->order[i] == IN_BULK && row->seat_in_bulk && !(row->seat_gap == 0)) {
            return sheet_refuse(field, error, "%s: only a seat gap of 0 is said in bulk", name);
        }
        if (why != MC_POSSIBLE) {
            return refuse_reading(r, field, row, c, why, name, error);
        }
    }
    return status;
}

/* ---- what is unlikely ---- */

static mc_status warn_component(const checkup_reader *r, const table_field *field,
                                const mc_reading *row, mc_component c, mc_error *error) {
    mc_unlikely odd;
    if (!mc_component_unlikely(r->about, row, c, &odd)) {
        return MC_OK;
    }
    const bool linear = mc_component_is_linear(c);
    char name[4];
    mc_tooth_text(r->about->notation, row->tooth, name);
    return mc_warnings_add(r->warnings, error, field->line, field->column,
                           "%s %s: %s %s is unlikely: planned %s, last read %s", name,
                           mc_component_name(c), sheet_tell(odd.at, linear).text,
                           chair_unit(linear), sheet_tell(odd.planned, linear).text,
                           isnan(odd.last) ? "never" : sheet_tell(odd.last, linear).text);
}

static sheet_digits tell_relative(double value, mc_relative what) {
    return sheet_tell(value, what != MC_CROWN_ANGLE);
}

static mc_status warn_relative(const checkup_reader *r, const table_field *field,
                               const mc_reading *row, mc_relative what, mc_error *error) {
    mc_unlikely odd;
    char name[4];
    mc_tooth_text(r->about->notation, row->tooth, name);
    switch (mc_relative_doubts(r->about, row, what, &odd)) {
    case MC_RELATIVE_UNUSED:
        return mc_warnings_add(r->warnings, error, field->line, field->column,
                               "%s %s: no reading of it at stage 0 of this plan%s: it is kept, but "
                               "not used",
                               name, mc_relative_name(what),
                               what == MC_CROWN_ANGLE ? "" : ", against this neighbour");
    case MC_RELATIVE_UNLIKELY:
        return mc_warnings_add(r->warnings, error, field->line, field->column,
                               "%s %s: %s %s is unlikely: it should read %s, last read %s", name,
                               mc_relative_name(what), tell_relative(odd.at, what).text,
                               chair_unit(what != MC_CROWN_ANGLE),
                               tell_relative(odd.planned, what).text,
                               tell_relative(odd.last, what).text);
    case MC_RELATIVE_LARGE:
        return mc_warnings_add(r->warnings, error, field->line, field->column,
                               "%s %s: %s %s is unlikely as a baseline", name,
                               mc_relative_name(what), tell_relative(odd.at, what).text,
                               chair_unit(what != MC_CROWN_ANGLE));
    default:
        return MC_OK;
    }
}

static mc_status warn_row(const checkup_reader *r, const sheet_row *fields, const mc_reading *row,
                          mc_error *error) {
    mc_status status = MC_OK;
    for (int c = 0; status == MC_OK && c < MC_COMPONENTS; c++) {
        if (!isnan(row->value[c])) {
            status =
                warn_component(r, fields->field[FIRST_COMPONENT + c], row, (mc_component)c, error);
        }
    }
    for (int i = 0; status == MC_OK && i < MC_RELATIVES; i++) {
        if (!isnan(row->relative[i])) {
            status =
                warn_relative(r, fields->field[FIRST_RELATIVE + i], row, (mc_relative)i, error);
        }
    }
    return status;
}

/* ---- the whole file ---- */

static mc_status keep_row(checkup_reader *r, const mc_reading *row, mc_error *error) {
    if (r->count == r->room) {
        const size_t room = r->room == 0 ? MC_TEETH : r->room * 2;
        mc_reading *rows = realloc(r->rows, room * sizeof *rows);
        if (!rows) {
            return mc_fail(error, MC_REFUSED, "out of memory");
        }
        r->rows = rows;
        r->room = room;
    }
    r->rows[r->count++] = *row;
    return MC_OK;
}

static mc_status take_row(void *context, const sheet_row *fields, mc_error *error) {
    checkup_reader *r = context;
    mc_reading row = mc_reading_none(MC_NO_TOOTH);
    mc_status status = MC_OK;
    for (size_t i = 0; status == MC_OK && i < fields->count; i++) {
        const int column = fields->order[i];
        status = read_field(r, column, fields->field[column], &row, error);
    }
    if (status == MC_OK) {
        status = check_row(r, fields, &row, error);
    }
    if (status == MC_OK) {
        status = warn_row(r, fields, &row, error);
    }
    return status == MC_OK ? keep_row(r, &row, error) : status;
}

mc_status mc_checkup_read(const char *data, size_t size, const mc_checkup_context *context,
                          mc_reading **rows, size_t *count, mc_warnings *warnings,
                          mc_error *error) {
    checkup_reader r = {.about = context, .warnings = warnings};
    sheet_form form = {.columns = COLUMNS,
                       .needed = TOOTH + 1,
                       .most_rows = MOST_ROWS,
                       .context = &r,
                       .row = take_row};
    for (int i = 0; i < COLUMNS; i++) {
        form.column[i] = column_name(i);
    }
    *rows = NULL;
    *count = 0;
    *warnings = (mc_warnings){NULL, 0};
    const mc_status status = sheet_read(data, size, &form, error);
    if (status != MC_OK) {
        free(r.rows);
        mc_warnings_free(warnings);
        return status;
    }
    warnings_sort(warnings);
    *rows = r.rows;
    *count = r.count;
    return MC_OK;
}
