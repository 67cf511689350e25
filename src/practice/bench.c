/* The workbench: changes in their order, undone and done again, and the series made anew from them
 * at every one. */
#include "bench.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- made anew ---- */

void bench_made_free(bench_made *made) {
    if (made)
        mc_plan_free(made->plan);
    free(made);
}

/* What is missing where crowns are estimated, and is less than an estimate can tell, is passed
 * over: nobody is to be ground, nor a series withheld, for that. True where it may now be tried
 * again. */
static bool pass_over(const mc_bench *bench, bench_made *made) {
    double over[MC_TEETH];
    memcpy(over, made->ask.passed_over, sizeof over);
    for (size_t i = 0; i < made->account.contacts; i++) {
        const mc_restaged_contact *k = &made->account.contact[i];
        over[k->right] += k->missing > 0 ? k->missing + 1e-6 : 0;
        if (k->missing > 0 && (!bench->arches.estimated[mc_tooth_arch(k->right)] ||
                               !mc_reaches(bench->a->settings.estimate_trust_mm, over[k->right])))
            return false;
    }
    memcpy(made->ask.passed_over, over, sizeof over);
    return true;
}

static mc_status restage(const mc_bench *bench, bench_made *made, mc_error *error) {
    enum { MOST_TURNS = 5 };
    mc_status status = bench_tasks(bench, made, error);
    if (status != MC_OK)
        return status;
    made->ask.check_overlap = true;
    memcpy(made->ask.crown, bench->arches.crown, sizeof made->ask.crown);
    for (int turn = 0; turn < MOST_TURNS; turn++) {
        status = mc_restage_again(&bench->a->settings, &made->ask, bench->known, &made->account,
                                  &made->plan, error);
        if (!made->account.blocked || !pass_over(bench, made))
            break;
    }
    return status;
}

mc_status bench_make(const mc_bench *bench, size_t stand, bench_made **out, mc_error *error) {
    bench_made *made = calloc(1, sizeof *made);
    *out = NULL;
    if (!made)
        return mc_fail_need(error, MC_NEED_MEMORY, "out of memory");
    bench_wishes(bench, stand, made->wish);
    const mc_status status = restage(bench, made, &made->trouble);
    made->failed = status != MC_OK && !made->account.blocked;
    if (made->failed && made->trouble.need == MC_NEED_MEMORY) {
        if (error)
            *error = made->trouble;
        bench_made_free(made);
        return status;
    }
    bench_say_why(bench, made);
    *out = made;
    return MC_OK;
}

/* ---- opened and closed ---- */

static mc_status look(mc_practice *practice, const mc_case *kase, mc_assessment **a,
                      mc_error *error) {
    mc_status status = mc_assess(practice, kase, 0, true, a, error);
    if (status != MC_OK)
        return status;
    if (!(*a)->has_plan)
        return mc_fail(error, MC_REFUSED, "case %s has no plan to revise: import its plan first",
                       kase->chart);
    if ((*a)->info.status != MC_PLAN_ACTIVE && !(*a)->turn.waiting)
        return mc_fail(error, MC_REFUSED,
                       "case %s has no active plan to revise: import a new plan first",
                       kase->chart);
    if (!(*a)->score)
        return mc_fail(error, MC_REFUSED, "nothing was read on plan %d yet: enter a check-up first",
                       (*a)->info.number);
    return MC_OK;
}

mc_status mc_bench_open(mc_practice *practice, const mc_case *kase, bool kept, mc_bench **out,
                        mc_error *error) {
    mc_bench *bench = calloc(1, sizeof *bench);
    *out = NULL;
    if (!bench)
        return mc_fail_need(error, MC_NEED_MEMORY, "out of memory");
    bench->practice = practice;
    bench->known = mc_restage_known_new(); /* without it changes take longer, that is all */
    mc_status status = look(practice, kase, &bench->a, error);
    if (status == MC_OK) {
        const mc_assessment *a = bench->a;
        mc_exact_poses(&a->checkup.checkup, &a->settings, &bench->poses);
        mc_ipr_left(a->plan, a->score->effective_stage, bench->left);
        bench_crowns(bench);
        status = bench_take_up(bench, kept, error);
    }
    if (status == MC_OK)
        status = bench_make(bench, bench->stand, &bench->made, error);
    if (status != MC_OK) {
        mc_bench_close(bench);
        return status;
    }
    *out = bench;
    return MC_OK;
}

void mc_bench_close(mc_bench *bench) {
    if (!bench)
        return;
    bench_made_free(bench->made);
    mc_restage_known_free(bench->known);
    mc_assessment_free(bench->a);
    free(bench->edit);
    free(bench);
}

/* ---- one change ---- */

static mc_status check_number(const mc_bench_edit *e, double least, double most, const char *unit,
                              const char *what, mc_error *error) {
    const bool above = e->what == MC_BENCH_LIMIT;
    if (isnan(e->number) || (e->number >= least && e->number <= most && (!above || e->number > 0)))
        return MC_OK;
    return mc_fail(error, MC_REFUSED, "%02d: %s is %s%g %s %g %s", mc_tooth_iso(e->tooth), what,
                   above ? "above " : "", least, above ? "and at most" : "to", most, unit);
}

static mc_status check_target(const mc_bench_edit *e, mc_error *error) {
    if (mc_component_is_linear(e->component))
        return check_number(e, -MC_LARGEST_MM, MC_LARGEST_MM, "mm", "a target", error);
    if (e->component == MC_ANGULATION && !(fabs(e->number) < 90) && !isnan(e->number))
        return mc_fail(error, MC_REFUSED,
                       "%02d: a target's angulation is less than 90 deg either way",
                       mc_tooth_iso(e->tooth));
    return check_number(e, -180, 180, "deg", "a target", error);
}

static mc_status check_overcorrection(const mc_bench *bench, const mc_bench_edit *e,
                                      mc_error *error) {
    const double most = bench->a->settings.overcorrect_percent;
    if (isnan(e->number) || (e->number >= 0 && mc_reaches(most, e->number)))
        return MC_OK;
    return mc_fail(error, MC_REFUSED, "overcorrection is 0 to %g percent of what remains", most);
}

static mc_status check_ipr(const mc_bench_edit *e, mc_error *error) {
    enum { LARGEST_IPR = 2 }; /* as in a plan file */
    if (!isnan(e->number) && e->number != 0 && (e->whole < 1 || e->whole > MC_MOST_STAGES))
        return mc_fail(error, MC_REFUSED, "%02d: IPR is done before a stage from 1 to %d",
                       mc_tooth_iso(e->tooth), MC_MOST_STAGES);
    return check_number(e, 0, LARGEST_IPR, "mm a side", "IPR", error);
}

static mc_status check_tooth(const mc_bench *bench, const mc_bench_edit *e, mc_error *error) {
    if (e->tooth < 0 || e->tooth >= MC_TEETH)
        return mc_fail(error, MC_REFUSED, "that is no tooth");
    const mc_tooth_state state = bench->a->states[e->tooth];
    if (!mc_tooth_stands(state))
        return mc_fail(error, MC_REFUSED, "%02d is not in the mouth (%s): choose another tooth",
                       mc_tooth_iso(e->tooth), mc_tooth_state_name(state));
    if (!mc_tooth_may_move(state))
        return mc_fail(error, MC_REFUSED,
                       "%02d is not to be moved (%s): choose another tooth, or change its state "
                       "in the case first",
                       mc_tooth_iso(e->tooth), mc_tooth_state_name(state));
    return MC_OK;
}

mc_status bench_check(const mc_bench *bench, const mc_bench_edit *edit, mc_error *error) {
    const bool of_component = edit->what != MC_BENCH_IPR && edit->what != MC_BENCH_STAY;
    mc_status status = check_tooth(bench, edit, error);
    if (status != MC_OK)
        return status;
    if (of_component && (edit->component < 0 || edit->component >= MC_COMPONENTS))
        return mc_fail(error, MC_REFUSED, "that is no component");
    switch (edit->what) {
    case MC_BENCH_TARGET:
        return check_target(edit, error);
    case MC_BENCH_OVERCORRECT:
        return check_overcorrection(bench, edit, error);
    case MC_BENCH_LIMIT:
        return check_number(edit, 0, mc_largest_value(edit->component),
                            mc_component_is_linear(edit->component) ? "mm" : "deg",
                            "the limit of one aligner", error);
    case MC_BENCH_IPR:
        return check_ipr(edit, error);
    case MC_BENCH_STAY:
        return MC_OK;
    }
    return mc_fail(error, MC_REFUSED, "that is no change");
}

/* ---- changes in their order ---- */

mc_status bench_room(mc_bench *bench, size_t count, mc_error *error) {
    enum { MOST = 20000 };
    if (count > MOST)
        return mc_fail(error, MC_REFUSED,
                       "there are too many changes on the bench: keep it, and open it anew");
    if (count <= bench->room)
        return MC_OK;
    const size_t room = count + count / 2 + 16;
    mc_bench_edit *edit = realloc(bench->edit, room * sizeof *edit);
    if (!edit)
        return mc_fail_need(error, MC_NEED_MEMORY, "out of memory");
    bench->edit = edit;
    bench->room = room;
    return MC_OK;
}

/* What stands becomes the first `stand` changes. */
static mc_status stand_at(mc_bench *bench, size_t stand, mc_error *error) {
    bench_made *made;
    const mc_status status = bench_make(bench, stand, &made, error);
    if (status != MC_OK)
        return status;
    bench_made_free(bench->made);
    bench->made = made;
    bench->stand = stand;
    return MC_OK;
}

/* A change that makes re-staging impossible is not made, unless it was so before. */
static mc_status refuse_trouble(const mc_bench *bench, const bench_made *made, mc_error *error) {
    if (!made->failed || bench->made->failed)
        return MC_OK;
    if (error)
        *error = made->trouble;
    return made->trouble.status;
}

static bool changes_nothing(const mc_bench *bench, const bench_made *made) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (!bench_same_wish(&bench->made->wish[t], &made->wish[t]))
            return false;
    return true;
}

/* Put in the list where those to do again were, which come back where it is refused. */
static mc_status try_change(mc_bench *bench, size_t count, bool *nothing, mc_error *error) {
    bench_made *made = NULL;
    mc_status status = bench_make(bench, bench->stand + count, &made, error);
    if (status == MC_OK)
        status = refuse_trouble(bench, made, error);
    *nothing = status == MC_OK && changes_nothing(bench, made);
    if (status != MC_OK || *nothing) {
        bench_made_free(made);
        return status;
    }
    bench_made_free(bench->made);
    bench->made = made;
    bench->stand = bench->count = bench->stand + count;
    return MC_OK;
}

mc_status mc_bench_change_together(mc_bench *bench, const mc_bench_edit *list, size_t count,
                                   mc_error *error) {
    const size_t again = bench->count - bench->stand;
    mc_status status = MC_OK;
    for (size_t i = 0; i < count && status == MC_OK; i++)
        status = bench_check(bench, &list[i], error);
    if (status == MC_OK)
        status = bench_room(bench, bench->count + count, error);
    if (status != MC_OK || count == 0)
        return status;
    mc_bench_edit *at = bench->edit + bench->stand;
    memmove(at + count, at, again * sizeof *at);
    for (size_t i = 0; i < count; i++) {
        at[i] = list[i];
        at[i].joined = i > 0;
    }
    bool nothing = false;
    status = try_change(bench, count, &nothing, error);
    if (status != MC_OK || nothing)
        memmove(at, at + count, again * sizeof *at);
    return status;
}

mc_status mc_bench_change(mc_bench *bench, const mc_bench_edit *edit, mc_error *error) {
    return mc_bench_change_together(bench, edit, 1, error);
}

mc_status mc_bench_overcorrect_all(mc_bench *bench, double percent, mc_error *error) {
    mc_bench_edit list[MC_TEETH * MC_COMPONENTS];
    size_t count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; mc_tooth_may_move(bench->a->states[t]) && c < MC_COMPONENTS; c++)
            list[count++] = (mc_bench_edit){.what = MC_BENCH_OVERCORRECT,
                                            .tooth = t,
                                            .component = (mc_component)c,
                                            .number = percent};
    if (isnan(percent))
        return mc_fail(error, MC_REFUSED, "overcorrection is 0 to %g percent of what remains",
                       bench->a->settings.overcorrect_percent);
    return mc_bench_change_together(bench, list, count, error);
}

mc_status mc_bench_undo(mc_bench *bench, mc_error *error) {
    size_t stand = bench->stand;
    if (stand == 0)
        return mc_fail(error, MC_REFUSED, "there is nothing to undo");
    do {
        stand--;
    } while (stand > 0 && bench->edit[stand].joined);
    return stand_at(bench, stand, error);
}

mc_status mc_bench_redo(mc_bench *bench, mc_error *error) {
    size_t stand = bench->stand;
    if (stand == bench->count)
        return mc_fail(error, MC_REFUSED, "there is nothing to redo");
    do {
        stand++;
    } while (stand < bench->count && bench->edit[stand].joined);
    return stand_at(bench, stand, error);
}

/* ---- for who looks ---- */

size_t mc_bench_changes(const mc_bench *bench) {
    return bench->stand;
}

const mc_bench_edit *mc_bench_edit_at(const mc_bench *bench, size_t i) {
    return i < bench->count ? &bench->edit[i] : NULL;
}

const mc_assessment *mc_bench_assessment(const mc_bench *bench) {
    return bench->a;
}

const mc_restaged *mc_bench_account(const mc_bench *bench) {
    return &bench->made->account;
}

const mc_plan *mc_bench_plan(const mc_bench *bench) {
    return bench->made->plan;
}

const mc_arches *mc_bench_arches(const mc_bench *bench) {
    return &bench->arches;
}

const char *mc_bench_why(const mc_bench *bench) {
    return bench->made->why;
}

mc_day mc_bench_start(const mc_bench *bench) {
    return bench->practice->today + (mc_day)lround(bench->a->settings.laboratory_days);
}
