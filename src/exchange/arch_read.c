/* The arch position file, read: where the crowns of one arch stand. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "arch_columns.h"
#include "chair.h"
#include "midcourse/exchange.h"
#include "sheet.h"

/* A scanner may have its origin anywhere, but in its own field. */
static const double FURTHEST = 500;
/* No jaw is wider or longer. */
static const double LARGEST_ARCH = 120;
/* The mean over an arch of the cosine between the way from crown to crown and the direction of the
 * arch there: far below what any mouth has, far above what numbers mixed up have. */
static const double LEAST_ALONG = 0.7;
/* Half of an incisor's crown: where neighbours stand in each other as deep as that, a number is
 * wrong. */
static const double DEEPEST = 3;

typedef struct arch_reader {
    mc_notation notation;
    const mc_tooth_state *states;
    mc_arch_crowns out;
    long line_of[MC_TEETH]; /* where each tooth was listed; or 0 */
    long column_of[MC_TEETH];
    long last_line;
} arch_reader;

const char *arch_column(int column) {
    static const char *const names[ARCH_COLUMNS] = {
        [ARCH_TOOTH] = "tooth",           [ARCH_RIGHT] = "right_mm",
        [ARCH_ANTERIOR] = "anterior_mm",  [ARCH_OUTWARD] = "outward_deg",
        [ARCH_TURNED] = "turned_deg",     [ARCH_WIDTH] = "width_mm",
        [ARCH_THICKNESS] = "thickness_mm"};
    return names[column];
}

/* ---- a row ---- */

/* A number that may not be absent. */
static mc_status needed(const table_field *field, int column, double low, double high,
                        double *value, mc_error *error) {
    const mc_status status = sheet_number(field, arch_column(column), low, high, NAN, value, error);
    if (status == MC_OK && isnan(*value)) {
        return sheet_refuse(field, error, "%s: every crown needs it", arch_column(column));
    }
    return status;
}

static mc_status read_number(const table_field *field, int column, mc_crown *crown,
                             mc_error *error) {
    const char *name = arch_column(column);
    switch (column) {
    case ARCH_RIGHT:
        return needed(field, column, -FURTHEST, FURTHEST, &crown->right, error);
    case ARCH_ANTERIOR:
        return needed(field, column, -FURTHEST, FURTHEST, &crown->anterior, error);
    case ARCH_OUTWARD: /* 0 to 180, and some for arches that open or close at the back */
        return needed(field, column, -60, 240, &crown->outward_deg, error);
    case ARCH_TURNED:
        return sheet_number(field, name, -180, 180, 0, &crown->turned_deg, error);
    case ARCH_WIDTH:
        return sheet_number(field, name, 2, 20, crown->width, &crown->width, error);
    case ARCH_THICKNESS:
        return sheet_number(field, name, 2, 20, crown->thickness, &crown->thickness, error);
    default:
        return MC_OK;
    }
}

static const char *arch_word(mc_arch arch) {
    return arch == MC_UPPER ? "upper" : "lower";
}

/* Whether the tooth may be listed here. */
static mc_status check_tooth(const arch_reader *r, const table_field *field, mc_tooth tooth,
                             mc_error *error) {
    char name[4];
    mc_tooth_text(r->notation, tooth, name);
    if (r->last_line > 0 && mc_tooth_arch(tooth) != r->out.arch) {
        return sheet_refuse(field, error,
                            "tooth %s is in the %s arch, those above it are in the %s: an arch "
                            "position file has one arch",
                            name, arch_word(mc_tooth_arch(tooth)), arch_word(r->out.arch));
    }
    if (r->line_of[tooth] > 0) {
        return sheet_refuse(field, error, "tooth %s is repeated: line %ld has it already", name,
                            r->line_of[tooth]);
    }
    return chair_stands(field, r->notation, tooth, r->states, error);
}

static mc_status take_row(void *context, const sheet_row *row, mc_error *error) {
    arch_reader *r = context;
    mc_tooth tooth;
    mc_status status = chair_tooth(row->field[ARCH_TOOTH], r->notation, &tooth, error);
    if (status == MC_OK) {
        status = check_tooth(r, row->field[ARCH_TOOTH], tooth, error);
    }
    if (status != MC_OK) {
        return status;
    }
    const mc_tooth_size usual = mc_tooth_usual_size(tooth);
    mc_crown crown = {
        .stands = true, .width = usual.crown_width, .thickness = usual.crown_thickness};
    for (size_t i = 0; status == MC_OK && i < row->count; i++) {
        status = read_number(row->field[row->order[i]], row->order[i], &crown, error);
    }
    r->out.arch = mc_tooth_arch(tooth);
    r->out.crown[tooth] = crown;
    r->line_of[tooth] = r->last_line = row->line;
    r->column_of[tooth] = row->column;
    return status;
}

/* ---- the arch as a whole ---- */

/* Neighbours are followed as far as all crowns are known. */
static mc_status check_whole(const arch_reader *r, mc_error *error) {
    char named[80] = "", name[4];
    int missing = 0;
    for (mc_tooth t = 0; r->states && t < MC_TEETH; t++) {
        if (mc_tooth_arch(t) != r->out.arch || !mc_tooth_stands(r->states[t]) ||
            r->out.crown[t].stands) {
            continue;
        }
        mc_tooth_text(r->notation, t, name);
        if (missing++ < 8) {
            snprintf(named + strlen(named), sizeof named - strlen(named), "%s%s",
                     *named ? ", " : "", name);
        }
    }
    return missing == 0
               ? MC_OK
               : mc_fail_at(error, r->last_line, 1,
                            "the file ends without tooth %s%s: an arch is measured when every "
                            "tooth that stands in it is listed",
                            named, missing > 8 ? " ..." : "");
}

/* Whether the patient's right is where it should be. */
static mc_status check_sides(const arch_reader *r, mc_error *error) {
    double sum[2] = {0, 0};
    int count[2] = {0, 0};
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (r->out.crown[t].stands) {
            const int left = mc_tooth_is_right(t) ? 0 : 1;
            sum[left] += r->out.crown[t].right;
            count[left]++;
        }
    }
    if (count[0] == 0 || count[1] == 0 || sum[0] / count[0] > sum[1] / count[1]) {
        return MC_OK;
    }
    return mc_fail_at(error, r->last_line, 1,
                      "the patient's right teeth stand to the left of the left ones: right_mm "
                      "counts to the patient's right");
}

/* The next crown of the arch to the patient's left; MC_NO_TOOTH at its end. */
static mc_tooth next_to_left(const arch_reader *r, mc_tooth tooth) {
    bool stands[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        stands[t] = r->out.crown[t].stands;
    }
    if (mc_tooth_is_right(tooth)) {
        return mc_tooth_mesial(tooth, stands);
    }
    return mc_tooth_distal(tooth, stands);
}

static mc_status check_size(const arch_reader *r, mc_error *error) {
    double least[2] = {INFINITY, INFINITY}, most[2] = {-INFINITY, -INFINITY};
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_crown *crown = &r->out.crown[t];
        const double at[2] = {crown->right, crown->anterior};
        for (int i = 0; i < 2 && crown->stands; i++) {
            least[i] = fmin(least[i], at[i]);
            most[i] = fmax(most[i], at[i]);
        }
    }
    const double size = fmax(most[0] - least[0], most[1] - least[1]);
    return size <= LARGEST_ARCH
               ? MC_OK
               : mc_fail_at(error, r->last_line, 1,
                            "the arch would be %s mm wide or long: right_mm and anterior_mm are "
                            "in mm",
                            sheet_tell(size, true).text);
}

/* The cosine between the way from a crown to the next and the direction of the arch between them,
 * to the patient's left; NaN where that is not to be told (molars that face each other). */
static double along(const mc_crown *one, const mc_crown *next) {
    const double degree = acos(-1) / 180;
    const double first = one->outward_deg * degree, second = next->outward_deg * degree;
    const double right = -sin(first) - sin(second), anterior = cos(first) + cos(second);
    const double x = next->right - one->right, y = next->anterior - one->anterior;
    const double sure = hypot(right, anterior), way = hypot(x, y);
    return sure < 1 || way < 0.1 ? NAN : (x * right + y * anterior) / (sure * way);
}

/* Whether the crowns follow each other along the arch as their directions say: else neighbours
 * would be looked for where they are not. */
static mc_status check_row(const arch_reader *r, mc_error *error) {
    double sum = 0; /* of those that go forward */
    int forward = 0, backward = 0;
    mc_tooth back = MC_NO_TOOTH, before = MC_NO_TOOTH;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_tooth next = r->out.crown[t].stands ? next_to_left(r, t) : MC_NO_TOOTH;
        const double cosine =
            next == MC_NO_TOOTH ? NAN : along(&r->out.crown[t], &r->out.crown[next]);
        if (isnan(cosine)) {
            continue;
        }
        if (cosine < 0) {
            backward++;
            back = next;
            before = t;
        } else {
            sum += cosine;
            forward++;
        }
    }
    if (sum < LEAST_ALONG * forward || backward * 2 > forward) {
        return mc_fail_at(error, r->last_line, 1,
                          "outward_deg does not go with where the crowns stand: it is about 0 at a "
                          "right molar, 90 at the midline, 180 at a left molar, and anterior_mm "
                          "counts to the front");
    }
    if (back == MC_NO_TOOTH) {
        return MC_OK;
    }
    const mc_tooth later = r->line_of[back] > r->line_of[before] ? back : before;
    char one[4], other[4];
    mc_tooth_text(r->notation, before, one);
    mc_tooth_text(r->notation, back, other);
    return mc_fail_at(error, r->line_of[later], r->column_of[later],
                      "tooth %s stands to the patient's right of %s along the arch: they are "
                      "exchanged, or a number is wrong",
                      other, one);
}

static mc_status check_overlaps(const arch_reader *r, mc_error *error) {
    bool stands[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        stands[t] = r->out.crown[t].stands;
    }
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_tooth next = stands[t] ? mc_tooth_mesial(t, stands) : MC_NO_TOOTH;
        if (next == MC_NO_TOOTH) {
            continue;
        }
        const double deep = mc_crown_overlap(t, &r->out.crown[t], next, &r->out.crown[next]);
        if (deep > DEEPEST) {
            const mc_tooth later = r->line_of[t] > r->line_of[next] ? t : next;
            char one[4], other[4];
            mc_tooth_text(r->notation, t, one);
            mc_tooth_text(r->notation, next, other);
            return mc_fail_at(error, r->line_of[later], r->column_of[later],
                              "the crowns of %s and %s would stand %s mm deep in each other", one,
                              other, sheet_tell(deep, true).text);
        }
    }
    return MC_OK;
}

mc_status mc_arch_read(const char *data, size_t size, mc_notation notation,
                       const mc_tooth_state *states, mc_arch_crowns *out, mc_error *error) {
    arch_reader r = {.notation = notation, .states = states};
    sheet_form form = {.columns = ARCH_COLUMNS,
                       .needed = ARCH_NEEDED,
                       .most_rows = MC_TEETH,
                       .context = &r,
                       .row = take_row};
    for (int i = 0; i < ARCH_COLUMNS; i++) {
        form.column[i] = arch_column(i);
    }
    memset(out, 0, sizeof *out);
    mc_status status = sheet_read(data, size, &form, error);
    if (status == MC_OK) {
        status = check_whole(&r, error);
    }
    if (status == MC_OK) {
        status = check_sides(&r, error);
    }
    if (status == MC_OK) {
        status = check_size(&r, error);
    }
    if (status == MC_OK) {
        status = check_row(&r, error);
    }
    if (status == MC_OK) {
        status = check_overlaps(&r, error);
    }
    if (status == MC_OK) {
        *out = r.out;
    }
    return status;
}
