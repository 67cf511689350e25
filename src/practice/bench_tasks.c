/* From what the doctor wishes to what every tooth has to do. */
#include "bench.h"

#include <math.h>
#include <string.h>

/* ---- what the changes come to ---- */

static void take(bench_wish *wish, const mc_bench_edit *e) {
    const bool none = isnan(e->number);
    switch (e->what) {
    case MC_BENCH_TARGET:
        wish->target[e->component] = none ? NAN : e->number;
        break;
    case MC_BENCH_OVERCORRECT:
        wish->more[e->component] = none ? 0 : e->number;
        break;
    case MC_BENCH_LIMIT:
        wish->limit[e->component] = none ? 0 : e->number;
        break;
    case MC_BENCH_IPR:
        wish->own_ipr[!e->mesial] = !none;
        wish->ipr[!e->mesial].mm = none ? 0 : e->number;
        wish->ipr[!e->mesial].stage = none || e->number == 0 ? 0 : e->whole;
        break;
    case MC_BENCH_STAY:
        wish->stays = e->whole != 0;
        break;
    }
}

void bench_wishes(const mc_bench *bench, size_t stand, bench_wish wish[MC_TEETH]) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        wish[t] = (bench_wish){.stays = false};
        for (int c = 0; c < MC_COMPONENTS; c++)
            wish[t].target[c] = NAN;
    }
    for (size_t i = 0; i < stand; i++)
        take(&wish[bench->edit[i].tooth], &bench->edit[i]);
}

static bool same(double one, double other) {
    return (isnan(one) && isnan(other)) || one == other;
}

bool bench_same_wish(const bench_wish *one, const bench_wish *other) {
    bool is = one->stays == other->stays;
    for (int c = 0; c < MC_COMPONENTS; c++)
        is = is && same(one->target[c], other->target[c]) && same(one->more[c], other->more[c]) &&
             same(one->limit[c], other->limit[c]);
    for (int side = 0; side < 2; side++)
        is = is && one->own_ipr[side] == other->own_ipr[side] &&
             same(one->ipr[side].mm, other->ipr[side].mm) &&
             one->ipr[side].stage == other->ipr[side].stage;
    return is;
}

/* ---- poses ---- */

mc_pose bench_target(const mc_bench *bench, const bench_wish *wish, mc_tooth tooth) {
    mc_pose pose = mc_plan_pose(bench->a->plan, tooth, MC_MOST_STAGES);
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (!isnan(wish->target[c]))
            pose.c[c] = wish->target[c];
    return pose;
}

/* A tooth is moved where the plan or a target of its own moves it, or where it was found off its
 * place. */
static bool has_task(const mc_bench *bench, const bench_wish *wish, mc_tooth tooth) {
    const mc_assessment *a = bench->a;
    if (!mc_tooth_may_move(a->states[tooth]) || wish->stays)
        return false;
    bool has = mc_plan_moves(a->plan, tooth);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &a->score->tooth[tooth].item[c];
        has = has || !isnan(wish->target[c]) || (item->read && mc_reaches(item->index, 1));
    }
    return has;
}

/* The target lies further along what remains by percent. From half a turn on (a quarter of
 * angulation) the same angles mean a turn the other way round, so it ends there. */
static mc_status overcorrect(mc_tooth tooth, const double percent[MC_COMPONENTS],
                             mc_remaining_task *task, mc_error *error) {
    mc_pose remaining;
    bool any = false;
    for (int c = 0; c < MC_COMPONENTS; c++)
        any = any || percent[c] > 0;
    if (!any)
        return MC_OK;
    mc_status status = mc_pose_between(&task->present, &task->target, &remaining, error);
    if (status != MC_OK)
        return status;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        remaining.c[c] *= 1 + percent[c] / 100;
        const double end = c == MC_ANGULATION ? 90 : 180;
        if (!mc_component_is_linear((mc_component)c) && mc_reaches(fabs(remaining.c[c]), end))
            return mc_fail(error, MC_REFUSED,
                           "tooth %d cannot be overcorrected so far: %g deg of %s or more would "
                           "remain; overcorrect it less",
                           mc_tooth_iso(tooth), end, mc_component_name((mc_component)c));
    }
    return mc_pose_compose(&task->present, &remaining, &task->target, error);
}

static void take_ipr(const mc_bench *bench, const bench_wish *wish, mc_tooth tooth,
                     mc_tooth_ipr *out) {
    *out = bench->left[tooth];
    if (wish->own_ipr[0])
        out->mesial = wish->ipr[0];
    if (wish->own_ipr[1])
        out->distal = wish->ipr[1];
}

mc_status bench_tasks(const mc_bench *bench, bench_made *made, mc_error *error) {
    const mc_assessment *a = bench->a;
    mc_restage_ask *ask = &made->ask;
    mc_status status = MC_OK;
    ask->carry = a->plan;
    for (int arch = 0; arch < MC_ARCHES; arch++)
        ask->carry_at[arch] = a->score->effective_stage[arch];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const bench_wish *wish = &made->wish[t];
        mc_remaining_task *task = &ask->task[t];
        *task = (mc_remaining_task){.gone = !mc_tooth_stands(a->states[t])};
        if (task->gone)
            continue;
        task->move = has_task(bench, wish, t);
        task->present = mc_assess_pose(bench->a, t);
        task->target = bench_target(bench, wish, t);
        memcpy(task->limit, wish->limit, sizeof task->limit);
        take_ipr(bench, wish, t, &ask->ipr[t]);
        if (task->move && status == MC_OK)
            status = overcorrect(t, wish->more, task, error);
    }
    return status;
}

/* ---- one tooth, for who looks ---- */

/* What would bring the expected end to the target: the tooth delivers the share rho of what is
 * asked of it, so that 1 / rho of what remains has to be asked. */
static double suggested(const mc_assessment *a, const mc_component_forecast *f, mc_component c,
                        double remaining) {
    if (!f->known || isnan(f->rate) || fabs(remaining) < mc_component_least(c))
        return NAN;
    const double most = a->settings.overcorrect_percent;
    const double percent = f->rate > 0 ? 100 * (1 - f->rate) / f->rate : most;
    return fmin(fmax(percent, 0), most);
}

void mc_bench_tooth_of(const mc_bench *bench, mc_tooth tooth, mc_bench_tooth *out) {
    const mc_assessment *a = bench->a;
    const bench_made *made = bench->made;
    const bench_wish *wish = &made->wish[tooth];
    mc_pose left = {{0}}, asked = {{0}};
    *out = (mc_bench_tooth){
        .may_move = mc_tooth_may_move(a->states[tooth]), .stays = wish->stays, .exact = true};
    if (mc_tooth_stands(a->states[tooth])) {
        out->present = mc_assess_pose(bench->a, tooth);
        out->target = bench_target(bench, wish, tooth);
        out->planned = mc_plan_pose(a->plan, tooth, MC_MOST_STAGES);
        out->ipr = made->ask.ipr[tooth];
        mc_pose_between(&out->present, &out->target, &left, NULL);
        mc_pose_between(&out->present, &made->ask.task[tooth].target, &asked, NULL);
    }
    for (int i = 0; i < MC_COMPONENTS; i++) {
        const mc_component c = (mc_component)i;
        out->overcorrect[i] = wish->more[i];
        out->suggested[i] = suggested(a, &a->forecast.tooth[tooth].component[i], c, left.c[i]);
        out->own_limit[i] = wish->limit[i] > 0;
        out->limit[i] =
            out->own_limit[i] ? wish->limit[i] : mc_step_limit(&a->settings, tooth, &asked, c);
        out->exact = out->exact && !isnan(bench->poses.mean[tooth][i]);
    }
}
