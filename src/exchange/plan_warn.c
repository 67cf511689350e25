/* What is unlikely in a plan, each at the row that says it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chair.h"
#include "plan_rows.h"
#include "warnings.h"

static const double FAR_MM = 15, FAR_DEG = 60;

/* The largest step above its limit between a row and the one before it; 0 where there is none. */
typedef struct step_above {
    double step, limit;
} step_above;

/* The components, and the crown's corners after them. */
enum { KINDS = MC_COMPONENTS + 1 };

typedef struct step_gatherer {
    const plan_source *rows;
    size_t count;
    step_above (*steps)[KINDS]; /* one for each row */
} step_gatherer;

/* The row that ends the listed interval in which a step lies: the first of the tooth at or after
 * it. */
static size_t row_ending(const step_gatherer *g, mc_tooth tooth, int stage) {
    size_t low = 0, high = g->count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const mc_plan_row *row = &g->rows[middle].row;
        if (row->tooth < tooth || (row->tooth == tooth && row->stage < stage)) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

static void gather(void *context, mc_tooth tooth, int stage, mc_component c, double step,
                   double limit) {
    step_gatherer *g = context;
    const size_t i = row_ending(g, tooth, stage);
    if (i < g->count && fabs(step) > g->steps[i][c].step) {
        g->steps[i][c] = (step_above){fabs(step), limit};
    }
}

/* The listed pose before a row's; stage 0 where there is none. */
static mc_plan_row row_before(const plan_source *rows, size_t i) {
    const mc_tooth tooth = rows[i].row.tooth;
    return i > 0 && rows[i - 1].row.tooth == tooth ? rows[i - 1].row
                                                   : (mc_plan_row){.tooth = tooth};
}

static mc_status warn_step(const plan_source *rows, size_t i, int kind, const step_above *above,
                           const char *name, mc_warnings *warnings, mc_error *error) {
    const plan_source *source = &rows[i];
    const mc_plan_row before = row_before(rows, i);
    const bool linear = kind == MC_COMPONENTS || mc_component_is_linear((mc_component)kind);
    const sheet_digits step = sheet_tell(above->step, linear),
                       limit = sheet_tell(above->limit, linear);
    const char *by = strcmp(step.text, limit.text) == 0 ? "just above" : "above";
    if (kind == MC_COMPONENTS) {
        return mc_warnings_add(warnings, error, source->line, source->row_column,
                               "%s: a corner of the crown goes %s mm a stage between stages %d and "
                               "%d, %s %s mm",
                               name, step.text, before.stage, source->row.stage, by, limit.text);
    }
    const mc_component c = (mc_component)kind;
    const char *unit = chair_unit(linear);
    return mc_warnings_add(
        warnings, error, source->line, source->column[c],
        "%s: %s %s a stage %s between stages %d and %d, %s %s %s", name, step.text, unit,
        mc_component_word(c, source->row.tooth, source->row.pose.c[c] > before.pose.c[c]),
        before.stage, source->row.stage, by, limit.text, unit);
}

static mc_status warn_far(const plan_source *source, mc_component c, const char *name,
                          mc_warnings *warnings, mc_error *error) {
    const double value = source->row.pose.c[c];
    const bool linear = mc_component_is_linear(c);
    const double far = linear ? FAR_MM : FAR_DEG;
    if (!mc_reaches(fabs(value), far)) {
        return MC_OK;
    }
    return mc_warnings_add(warnings, error, source->line, source->column[c],
                           "%s: %s %s %s is further than is likely (less than %s %s)", name,
                           sheet_tell(fabs(value), linear).text, chair_unit(linear),
                           mc_component_word(c, source->row.tooth, value > 0),
                           sheet_tell(far, linear).text, chair_unit(linear));
}

static mc_status warn_row(const step_gatherer *g, size_t i, mc_notation notation,
                          mc_warnings *warnings, mc_error *error) {
    char name[4];
    mc_tooth_text(notation, g->rows[i].row.tooth, name);
    mc_status status = MC_OK;
    for (int kind = 0; status == MC_OK && kind < KINDS; kind++) {
        const step_above *above = &g->steps[i][kind];
        if (kind < MC_COMPONENTS) {
            status = warn_far(&g->rows[i], (mc_component)kind, name, warnings, error);
        }
        if (status == MC_OK && above->step > 0) {
            status = warn_step(g->rows, i, kind, above, name, warnings, error);
        }
    }
    return status;
}

mc_status plan_warn(const mc_settings *settings, mc_notation notation, const mc_plan *plan,
                    const plan_source *rows, size_t count, mc_warnings *warnings, mc_error *error) {
    step_gatherer g = {rows, count, calloc(count, sizeof *g.steps)};
    if (!g.steps) {
        return mc_fail(error, MC_REFUSED, "out of memory");
    }
    mc_plan_steps_above(settings, plan, gather, &g);
    mc_status status = MC_OK;
    for (size_t i = 0; status == MC_OK && i < count; i++) {
        status = warn_row(&g, i, notation, warnings, error);
    }
    free(g.steps);
    warnings_sort(warnings);
    return status;
}
