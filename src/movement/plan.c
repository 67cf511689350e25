/* A plan: one list of stages a tooth, kept in order as they come. */
#include "midcourse/movement.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct listed {
    mc_plan_row *rows; /* by stage */
    size_t count, room;
} listed;

struct mc_plan {
    listed teeth[MC_TEETH];
    int stages[MC_ARCHES]; /* the largest stage listed in each arch */
};

mc_plan *mc_plan_new(void) {
    return calloc(1, sizeof(mc_plan));
}

void mc_plan_free(mc_plan *plan) {
    if (plan) {
        for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
            free(plan->teeth[tooth].rows);
        }
        free(plan);
    }
}

mc_plan *mc_plan_copy(const mc_plan *plan) {
    mc_plan *copy = mc_plan_new();
    if (copy) {
        memcpy(copy->stages, plan->stages, sizeof copy->stages);
    }
    for (mc_tooth tooth = 0; copy && tooth < MC_TEETH; tooth++) {
        const listed *from = &plan->teeth[tooth];
        if (from->count == 0) {
            continue;
        }
        mc_plan_row *rows = malloc(from->count * sizeof *rows);
        if (!rows) {
            mc_plan_free(copy);
            return NULL;
        }
        memcpy(rows, from->rows, from->count * sizeof *rows);
        copy->teeth[tooth] = (listed){rows, from->count, from->count};
    }
    return copy;
}

/* How many listed stages of the tooth are at or before s. */
static size_t count_up_to(const listed *tooth, double s) {
    size_t low = 0, high = tooth->count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (tooth->rows[middle].stage <= s) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

static bool make_room(listed *tooth) {
    if (tooth->count < tooth->room) {
        return true;
    }
    const size_t room = tooth->room ? 2 * tooth->room : 4;
    mc_plan_row *rows = realloc(tooth->rows, room * sizeof *rows);
    if (!rows) {
        return false;
    }
    tooth->rows = rows;
    tooth->room = room;
    return true;
}

/* What is wrong with a row by itself. */
static mc_status check_row(const mc_plan_row *row, mc_error *error) {
    const int iso = mc_tooth_iso(row->tooth);
    if (iso == 0) {
        return mc_fail(error, MC_REFUSED, "a stage of no tooth");
    }
    if (row->stage < 0 || row->stage > MC_MOST_STAGES) {
        return mc_fail(error, MC_REFUSED, "tooth %d: stage %d is outside 0 to %d", iso, row->stage,
                       MC_MOST_STAGES);
    }
    for (int c = 0; c < MC_COMPONENTS; c++) {
        if (!isfinite(row->pose.c[c])) {
            return mc_fail(error, MC_REFUSED, "tooth %d, stage %d: %s is not a finite number", iso,
                           row->stage, mc_component_name((mc_component)c));
        }
        if (row->stage == 0 && row->pose.c[c] != 0) {
            return mc_fail(error, MC_REFUSED,
                           "tooth %d: stage 0 is where the plan starts, its %s must be 0", iso,
                           mc_component_name((mc_component)c));
        }
    }
    if (mc_reaches(fabs(row->pose.c[MC_ANGULATION]), 90)) {
        return mc_fail(error, MC_REFUSED, "tooth %d, stage %d: angulation must stay below 90 deg",
                       iso, row->stage);
    }
    if (!isfinite(row->ipr_mesial) || !isfinite(row->ipr_distal) || row->ipr_mesial < 0 ||
        row->ipr_distal < 0) {
        return mc_fail(error, MC_REFUSED, "tooth %d, stage %d: IPR must be 0 or more", iso,
                       row->stage);
    }
    return MC_OK;
}

mc_status mc_plan_add(mc_plan *plan, const mc_plan_row *row, mc_error *error) {
    const mc_status status = check_row(row, error);
    if (status != MC_OK) {
        return status;
    }
    listed *tooth = &plan->teeth[row->tooth];
    const size_t place = count_up_to(tooth, row->stage);
    if (place > 0 && tooth->rows[place - 1].stage == row->stage) {
        return mc_fail(error, MC_REFUSED, "tooth %d, stage %d is listed twice",
                       mc_tooth_iso(row->tooth), row->stage);
    }
    if (!make_room(tooth)) {
        return mc_fail_need(error, MC_NEED_MEMORY, "out of memory while a plan was built");
    }
    mc_plan_row *rows = tooth->rows;
    memmove(rows + place + 1, rows + place, (tooth->count - place) * sizeof *rows);
    rows[place] = *row;
    tooth->count++;
    int *stages = &plan->stages[mc_tooth_arch(row->tooth)];
    *stages = row->stage > *stages ? row->stage : *stages;
    return MC_OK;
}

size_t mc_plan_count(const mc_plan *plan) {
    size_t count = 0;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        count += plan->teeth[tooth].count;
    }
    return count;
}

const mc_plan_row *mc_plan_row_at(const mc_plan *plan, size_t i) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (i < plan->teeth[tooth].count) {
            return &plan->teeth[tooth].rows[i];
        }
        i -= plan->teeth[tooth].count;
    }
    return NULL;
}

size_t mc_plan_tooth_rows(const mc_plan *plan, mc_tooth tooth, const mc_plan_row **first) {
    *first = plan->teeth[tooth].count ? plan->teeth[tooth].rows : NULL;
    return plan->teeth[tooth].count;
}

int mc_plan_stages(const mc_plan *plan, mc_arch arch) {
    return plan->stages[arch];
}

double mc_plan_at(const mc_plan *plan, mc_tooth tooth, mc_component c, double s) {
    static const mc_plan_row start = {.stage = 0}; /* where every tooth stands, listed or not */
    const listed *of = &plan->teeth[tooth];
    const size_t passed = count_up_to(of, s);
    const mc_plan_row *before = passed > 0 ? &of->rows[passed - 1] : &start;
    if (passed == of->count || !(s > before->stage)) {
        return before->pose.c[c];
    }
    const mc_plan_row *after = &of->rows[passed];
    const double share = (s - before->stage) / (after->stage - before->stage);
    return before->pose.c[c] + share * (after->pose.c[c] - before->pose.c[c]);
}

mc_pose mc_plan_pose(const mc_plan *plan, mc_tooth tooth, double s) {
    mc_pose pose;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        pose.c[c] = mc_plan_at(plan, tooth, (mc_component)c, s);
    }
    return pose;
}

bool mc_plan_moves(const mc_plan *plan, mc_tooth tooth) {
    for (int c = 0; c < MC_COMPONENTS; c++) {
        if (mc_plan_extreme(plan, tooth, (mc_component)c) != 0) {
            return true;
        }
    }
    return false;
}

double mc_plan_extreme(const mc_plan *plan, mc_tooth tooth, mc_component c) {
    const listed *of = &plan->teeth[tooth];
    double most = 0;
    for (size_t i = 0; i < of->count; i++) {
        if (fabs(of->rows[i].pose.c[c]) > fabs(most)) {
            most = of->rows[i].pose.c[c];
        }
    }
    return most;
}
