/* What the workbench shows, worked out once whenever something changed. */
#include "bench_view.h"

#include <math.h>
#include <string.h>

/* ---- which teeth have a row ---- */

static bool is_named(const mc_proposal *proposal, mc_tooth tooth) {
    for (size_t i = 0; i < proposal->count; i++)
        if (proposal->teeth[i] == tooth)
            return true;
    return false;
}

/* One that stands and was changed so that it moves no more keeps its row. */
static bool has_row(const bench_view *v, mc_tooth tooth) {
    if (mc_bench_account(bench_of(v))->tooth[tooth].moves || v->tooth[tooth].stays)
        return true;
    if (!chart_stands(&v->d->chart, tooth))
        return false;
    bool changed = v->every || tooth == v->cursor;
    for (int c = 0; c < MC_COMPONENTS && !changed; c++)
        changed = bench_is_changed(v, tooth, (mc_component)c);
    return changed;
}

/* First those that the proposal names, which are the reason. */
static void choose_rows(bench_view *v) {
    const mc_proposal *proposal = &v->d->chart.a->proposal;
    v->count = 0;
    for (size_t i = 0; i < proposal->count; i++)
        if (has_row(v, proposal->teeth[i]))
            v->teeth[v->count++] = proposal->teeth[i];
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (!is_named(proposal, t) && has_row(v, t))
            v->teeth[v->count++] = t;
}

/* ---- contacts ---- */

/* What stands first is what a doctor has to do something about. */
static double weight(const mc_restaged_contact *k) {
    enum { LACKS = 1000000, COSTS = 1000, LEADS = 500, LOOK = 250, GRANTED = 100 };
    double deepest = isnan(k->most) ? k->start : k->most;
    return (k->missing > 0 ? LACKS + k->missing : 0) + COSTS * k->costs +
           (k->passed_over > 0 ? LOOK : 0) + (k->ipr > 0 ? GRANTED : 0) +
           (k->leads != MC_NO_TOOTH || k->in_turns ? LEADS : 0) + deepest;
}

static void order_contacts(bench_view *v) {
    const mc_restaged *account = mc_bench_account(bench_of(v));
    v->contacts = 0;
    for (size_t i = 0; i < account->contacts; i++) {
        size_t place = v->contacts++;
        for (; place > 0 && weight(v->contact[place - 1].of) < weight(&account->contact[i]);
             place--)
            v->contact[place] = v->contact[place - 1];
        v->contact[place].of = &account->contact[i];
    }
}

/* ---- a stage of the new series ---- */

int bench_stages(const bench_view *v) {
    const int *stages = mc_bench_account(bench_of(v))->stages;
    return stages[MC_UPPER] > stages[MC_LOWER] ? stages[MC_UPPER] : stages[MC_LOWER];
}

static mc_crown crown_at(const bench_view *v, mc_tooth tooth, double stage) {
    const mc_plan *plan = mc_bench_plan(bench_of(v));
    mc_pose pose = {{0}};
    if (plan)
        pose = mc_plan_pose(plan, tooth, stage);
    return mc_arches_crown(mc_bench_arches(bench_of(v)), tooth, &pose);
}

static double overlap_at_stage(const bench_view *v, const mc_restaged_contact *k) {
    if (!mc_bench_plan(bench_of(v)) || !v->is[k->right].stands || !v->is[k->left].stands)
        return NAN;
    return mc_crown_overlap(k->right, &v->is[k->right], k->left, &v->is[k->left]);
}

/* Where there is no series, each crown stands where it is, and should stand at its target. */
static mc_crown crown_at_target(const bench_view *v, mc_tooth tooth) {
    mc_pose remaining = mc_bench_account(bench_of(v))->tooth[tooth].remaining;
    return mc_arches_crown(mc_bench_arches(bench_of(v)), tooth, &remaining);
}

void bench_look_at_stage(bench_view *v, int stage) {
    const mc_plan *plan = mc_bench_plan(bench_of(v));
    int most = bench_stages(v);
    v->stage = stage > most ? most : stage < 0 ? 0 : stage;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        v->at[t] = plan ? mc_plan_pose(plan, t, v->stage) : (mc_pose){{0}};
        v->is[t] = crown_at(v, t, v->shows == BENCH_STAGE ? v->stage : 0);
        v->should[t] = crown_at_target(v, t);
    }
    for (size_t i = 0; i < v->contacts; i++)
        v->contact[i].now = overlap_at_stage(v, v->contact[i].of);
    bench_picture(v);
}

void bench_look(bench_view *v) {
    const mc_bench *bench = bench_of(v);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        mc_bench_tooth_of(bench, t, &v->tooth[t]);
    v->options = mc_bench_options(bench, v->option);
    choose_rows(v);
    order_contacts(v);
    bench_look_at_stage(v, v->stage);
}

/* ---- the numbers of the table ---- */

double bench_number(const bench_view *v, mc_tooth tooth, mc_component c) {
    if (v->shows == BENCH_ENDS)
        return v->tooth[tooth].target.c[c];
    if (v->shows == BENCH_STAGE)
        return v->at[tooth].c[c];
    return mc_bench_account(bench_of(v))->tooth[tooth].remaining.c[c];
}

bool bench_is_changed(const bench_view *v, mc_tooth tooth, mc_component c) {
    const mc_bench_tooth *t = &v->tooth[tooth];
    return t->own_limit[c] || t->overcorrect[c] > 0 ||
           fabs(t->target.c[c] - t->planned.c[c]) > 1e-9;
}

/* What would remain of the component with this target. */
static mc_status remains_with(const mc_bench_tooth *t, mc_component c, double target, double *out,
                              mc_error *error) {
    mc_pose to = t->target, between;
    to.c[c] = target;
    mc_status status = mc_pose_between(&t->present, &to, &between, error);
    if (status == MC_OK)
        *out = between.c[c];
    return status;
}

/* Rotations compose, so the target whose remainder is the number typed is looked for; it lies close
 * to the present position plus that. */
mc_status bench_target_of(const bench_view *v, mc_tooth tooth, mc_component c, double typed,
                          double *target, mc_error *error) {
    enum { STEPS = 20 };
    const mc_bench_tooth *t = &v->tooth[tooth];
    *target = typed;
    if (v->shows == BENCH_ENDS)
        return MC_OK;
    *target = t->present.c[c] + typed;
    if (mc_component_is_linear(c))
        return MC_OK;
    for (int i = 0; i < STEPS; i++) {
        double remains = 0;
        mc_status status = remains_with(t, c, *target, &remains, error);
        if (status != MC_OK)
            return status;
        if (fabs(typed - remains) < 1e-10)
            break;
        *target += typed - remains;
    }
    return MC_OK;
}
