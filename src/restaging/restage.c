/* The new series of both arches. */
#include "carry.h"
#include "crowded.h"
#include "spread.h"

#include <math.h>
#include <string.h>

/* A tooth nearer to its target than this, in every component, stays: it is rounding that is left.
 */
static const double NOTHING = 1e-9;

typedef struct restaging {
    const mc_settings *settings;
    const mc_restage_ask *ask;
    mc_restage_known *known;
    mc_restaged *out;
    mc_plan *plan;
    schedule alone; /* of the tooth looked at, where it has no neighbours */
} restaging;

static bool something_left(const mc_pose *remaining) {
    for (int c = 0; c < MC_COMPONENTS; c++) {
        if (fabs(remaining->c[c]) > NOTHING) {
            return true;
        }
    }
    return false;
}

static mc_status remaining_of(mc_tooth tooth, const mc_remaining_task *task, mc_pose *remaining,
                              mc_error *error) {
    mc_error why;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        if (!isfinite(task->present.c[c]) || !isfinite(task->target.c[c])) {
            return mc_fail(error, MC_REFUSED,
                           "tooth %d: %s of its present or target pose is not "
                           "a finite number",
                           mc_tooth_iso(tooth), mc_component_name((mc_component)c));
        }
    }
    if (mc_pose_between(&task->present, &task->target, remaining, &why) != MC_OK) {
        return mc_fail(error, MC_REFUSED,
                       "tooth %d cannot go straight from its present pose to its target: %.300s",
                       mc_tooth_iso(tooth), why.text);
    }
    /* Beyond 90 deg the three angles of the same rotation are an angulation below 90 with rotation
     * and inclination half a turn round. */
    if (fabs(remaining->c[MC_ROTATION]) > 90 && fabs(remaining->c[MC_INCLINATION]) > 90) {
        return mc_fail(error, MC_REFUSED,
                       "tooth %d cannot go straight from its present pose to its target: 90 deg of "
                       "angulation or more remain",
                       mc_tooth_iso(tooth));
    }
    return MC_OK;
}

/* One tooth's account, and its part in how long the series is. */
static mc_status account(restaging *r, mc_tooth tooth, mc_error *error) {
    const mc_remaining_task *task = &r->ask->task[tooth];
    mc_restaged_tooth *of = &r->out->tooth[tooth];
    const mc_arch arch = mc_tooth_arch(tooth);
    const mc_status status = remaining_of(tooth, task, &of->remaining, error);
    if (status != MC_OK || !something_left(&of->remaining)) {
        return status;
    }
    const way w = way_of(r->settings, tooth, &of->remaining, r->ask->task[tooth].limit);
    of->moves = true;
    of->stages_needed = way_fewest(&w, &of->limited_by);
    if (of->stages_needed > MC_MOST_STAGES) {
        return mc_fail(error, MC_REFUSED,
                       "tooth %d needs more than %d aligners to its target (limit: %s)",
                       mc_tooth_iso(tooth), MC_MOST_STAGES, mc_limit_name(of->limited_by));
    }
    if (of->stages_needed > r->out->stages[arch]) {
        r->out->stages[arch] = r->out->lower_bound[arch] = of->stages_needed;
    }
    return MC_OK;
}

/* ---- the list ---- */

/* The stage of the series at which IPR is listed; 0 where there is none. */
static int ipr_stage(const mc_ipr *ipr, int stages) {
    const int stage = ipr->stage < 1 ? 1 : ipr->stage;
    return ipr->mm <= 0 ? 0 : stage < stages ? stage : stages;
}

/* A tooth as it goes through the series. */
typedef struct course {
    pace pace;
    const schedule *its;
} course;

/* Whether the tooth's movement is listed at a stage: an even one where it begins and where it
 * ends. */
static bool turns_at(const course *c, int stage) {
    if (stage == 0 || c->pace.to == 0) {
        return false;
    }
    return c->pace.even ? stage == c->pace.from || stage == c->pace.to
                        : stage >= c->pace.from && stage <= c->pace.to;
}

/* List the stages of one tooth: those it needs for its movement, and those with a note. */
static mc_status list_tooth(restaging *r, mc_tooth tooth, const course *c,
                            const mc_mark marks[MC_MOST_STAGES + 1], mc_error *error) {
    mc_restaged_tooth *of = &r->out->tooth[tooth];
    const mc_tooth_ipr *ipr = &r->ask->ipr[tooth];
    const bool gone = r->ask->task[tooth].gone;
    const int stages = r->out->stages[mc_tooth_arch(tooth)];
    const int mesial = gone ? 0 : ipr_stage(&ipr->mesial, stages);
    const int distal = gone ? 0 : ipr_stage(&ipr->distal, stages);
    const way w = way_of(r->settings, tooth, &of->remaining, r->ask->task[tooth].limit);
    mc_status status = MC_OK;
    for (int k = 0; k <= stages && status == MC_OK; k++) {
        const bool ground = k > 0 && (k == mesial || k == distal);
        if (!turns_at(c, k) && !ground && marks[k] == MC_MARK_NONE) {
            continue;
        }
        mc_plan_row row = {.tooth = tooth,
                           .stage = k,
                           .attachment = marks[k],
                           .ipr_mesial = mesial > 0 && k >= mesial ? ipr->mesial.mm : 0,
                           .ipr_distal = distal > 0 && k >= distal ? ipr->distal.mm : 0};
        if (of->moves && k > 0) {
            row.pose = way_pose(&w, schedule_at(c->its, k));
        }
        status = mc_plan_add(r->plan, &row, error);
    }
    of->first = of->moves ? c->pace.from + 1 : 0;
    of->last = of->moves ? c->pace.to : 0;
    return status;
}

/* With its neighbours where the arch's crowns were looked at, else by itself. */
static course course_of(restaging *r, mc_tooth tooth, const crowded *arch) {
    const mc_restaged_tooth *of = &r->out->tooth[tooth];
    course c = {.its = &r->alone};
    const int at = arch ? crowded_place(arch, tooth) : -1;
    if (!of->moves) {
        c.its = NULL;
    } else if (at >= 0) {
        c.pace = arch->pace[at];
        c.its = &arch->its[at];
    } else {
        const way w = way_of(r->settings, tooth, &of->remaining, r->ask->task[tooth].limit);
        c.pace =
            spread_alone(&w, of->stages_needed, r->out->stages[mc_tooth_arch(tooth)], &r->alone);
    }
    return c;
}

static mc_status list_arch(restaging *r, mc_arch arch, const crowded *looked_at, mc_error *error) {
    const mc_restage_ask *ask = r->ask;
    const bool carried = ask->carry && carry_has_attachments(ask->carry, arch);
    if (r->out->stages[arch] == 0) {
        return MC_OK;
    }
    if (carried && !isfinite(ask->carry_at[arch])) {
        return mc_fail(error, MC_REFUSED,
                       "the stage that the %s arch has reached is not known, so it cannot be said "
                       "which attachments are still due",
                       arch == MC_UPPER ? "upper" : "lower");
    }
    mc_status status = MC_OK;
    for (mc_tooth tooth = 0; tooth < MC_TEETH && status == MC_OK; tooth++) {
        if (mc_tooth_arch(tooth) == arch) {
            mc_mark marks[MC_MOST_STAGES + 1] = {MC_MARK_NONE};
            if (carried && !ask->task[tooth].gone) {
                carry_attachments(ask->carry, tooth, fmax(ask->carry_at[arch], 0),
                                  r->out->stages[arch], marks);
            }
            const course c = course_of(r, tooth, looked_at);
            status = list_tooth(r, tooth, &c, marks, error);
        }
    }
    return status;
}

/* ---- the series ---- */

static mc_status restage_arch(restaging *r, mc_arch arch, mc_error *error) {
    if (!r->ask->check_overlap || r->out->lower_bound[arch] == 0) {
        return list_arch(r, arch, NULL, error);
    }
    crowded *looked_at = crowded_new(r->settings, r->ask, r->known, r->out, arch);
    mc_status status = looked_at ? crowded_restage(looked_at, r->out, error)
                                 : mc_fail_need(error, MC_NEED_MEMORY, "out of memory");
    if (status == MC_OK) {
        status = list_arch(r, arch, looked_at, error);
    }
    crowded_free(looked_at);
    return status;
}

static mc_status check_ask(const mc_restage_ask *ask, mc_error *error) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        for (int c = 0; c < MC_COMPONENTS && ask->task[tooth].move; c++) {
            const double limit = ask->task[tooth].limit[c];
            if (!(limit >= 0) || !isfinite(limit)) {
                return mc_fail(error, MC_REFUSED, "tooth %d: the limit of %s has to be above 0",
                               mc_tooth_iso(tooth), mc_component_name((mc_component)c));
            }
        }
        const double ipr[] = {ask->ipr[tooth].mesial.mm, ask->ipr[tooth].distal.mm};
        if (!(ipr[0] >= 0) || !(ipr[1] >= 0) || !isfinite(ipr[0] + ipr[1])) {
            return mc_fail(error, MC_REFUSED, "tooth %d: its IPR has to be 0 mm or more",
                           mc_tooth_iso(tooth));
        }
        const mc_crown *crown = &ask->crown[tooth];
        const double numbers[] = {ask->passed_over[tooth], crown->right,      crown->anterior,
                                  crown->outward_deg,      crown->turned_deg, crown->width,
                                  crown->thickness};
        bool finite = true;
        for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
            finite = finite && isfinite(numbers[i]);
        }
        if (ask->check_overlap && crown->stands &&
            (!finite || crown->width <= 0 || crown->thickness <= 0)) {
            return mc_fail(error, MC_REFUSED,
                           "tooth %d: its crown has no size, or no place in the arch",
                           mc_tooth_iso(tooth));
        }
    }
    return MC_OK;
}

static mc_status restage(restaging *r, mc_error *error) {
    mc_status status = check_ask(r->ask, error);
    for (mc_tooth tooth = 0; tooth < MC_TEETH && status == MC_OK; tooth++) {
        if (r->ask->task[tooth].move) {
            status = account(r, tooth, error);
        }
    }
    r->out->overlap_checked = r->ask->check_overlap;
    mc_error why;
    bool blocked = false;
    for (int arch = 0; arch < MC_ARCHES && status == MC_OK; arch++) {
        status = restage_arch(r, (mc_arch)arch, blocked ? &why : error);
        if (status == MC_REFUSED && r->out->blocked) { /* the other arch has its account, too */
            blocked = true;
            status = MC_OK;
        }
    }
    return status == MC_OK && blocked ? MC_REFUSED : status;
}

mc_status mc_restage(const mc_settings *settings, const mc_restage_ask *ask, mc_restaged *out,
                     mc_plan **plan, mc_error *error) {
    return mc_restage_again(settings, ask, NULL, out, plan, error);
}

mc_status mc_restage_again(const mc_settings *settings, const mc_restage_ask *ask,
                           mc_restage_known *known, mc_restaged *out, mc_plan **plan,
                           mc_error *error) {
    memset(out, 0, sizeof *out);
    *plan = NULL;
    restaging r = {
        .settings = settings, .ask = ask, .known = known, .out = out, .plan = mc_plan_new()};
    if (!r.plan) {
        return mc_fail_need(error, MC_NEED_MEMORY, "out of memory while a plan was re-staged");
    }
    const mc_status status = restage(&r, error);
    if (status == MC_OK) {
        *plan = r.plan;
        return MC_OK;
    }
    mc_plan_free(r.plan);
    if (!out->blocked) {
        memset(out, 0, sizeof *out);
    }
    return status;
}
