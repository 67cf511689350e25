/* A re-staged plan from where the teeth are now, as a draft file. */
#include "practice.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Where a tooth is: by scan or landmarks where read so, else as estimated, else where the plan has
 * it by now. */
static mc_pose present_pose(const mc_assessment *a, const exact_poses *poses, mc_tooth tooth) {
    mc_pose pose;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &a->score->tooth[tooth].item[c];
        pose.c[c] = !isnan(poses->mean[tooth][c]) ? poses->mean[tooth][c]
                    : item->followed              ? item->mean
                                                  : item->planned;
    }
    return pose;
}

/* A tooth is moved where the plan (or the target file) moves it, or where it was found off its
 * place. */
static bool has_task(const mc_assessment *a, const mc_plan *target, mc_tooth tooth) {
    if (!mc_tooth_may_move(a->states[tooth]))
        return false;
    if (mc_plan_moves(a->plan, tooth) || (target && mc_plan_moves(target, tooth)))
        return true;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &a->score->tooth[tooth].item[c];
        if (item->read && mc_reaches(item->index, 1))
            return true;
    }
    return false;
}

static mc_pose last_pose(const mc_plan *plan, mc_tooth tooth) {
    return mc_plan_pose(plan, tooth, MC_MOST_STAGES);
}

/* The target lies further along what remains by percent. From half a turn on (a quarter of
 * angulation) the same angles mean a turn the other way round, so it ends there. */
static mc_status overcorrect(mc_tooth tooth, mc_remaining_task *task, double percent,
                             mc_error *error) {
    mc_pose remaining;
    mc_status status = mc_pose_between(&task->present, &task->target, &remaining, error);
    if (status != MC_OK)
        return status;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        remaining.c[c] *= 1 + percent / 100;
        const double end = c == MC_ANGULATION ? 90 : 180;
        if (!mc_component_is_linear((mc_component)c) && mc_reaches(fabs(remaining.c[c]), end))
            return mc_fail(error, MC_REFUSED,
                           "tooth %d cannot be overcorrected: %g deg of %s or more would remain",
                           mc_tooth_iso(tooth), end, mc_component_name((mc_component)c));
    }
    return mc_pose_compose(&task->present, &remaining, &task->target, error);
}

static mc_status make_tasks(const mc_assessment *a, const exact_poses *poses, const mc_plan *target,
                            double percent, mc_remaining_task task[MC_TEETH], bool moves[MC_TEETH],
                            mc_error *error) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_plan_row *row = NULL;
        bool given = target && mc_plan_tooth_rows(target, t, &row) > 0;
        moves[t] = has_task(a, target, t);
        task[t] = (mc_remaining_task){.move = moves[t], .gone = !mc_tooth_stands(a->states[t])};
        if (!moves[t])
            continue;
        task[t].present = present_pose(a, poses, t);
        task[t].target = last_pose(given ? target : a->plan, t);
        mc_status status = percent > 0 ? overcorrect(t, &task[t], percent, error) : MC_OK;
        if (status != MC_OK)
            return status;
    }
    return MC_OK;
}

static mc_status check_percent(const mc_assessment *a, double percent, mc_error *error) {
    if (percent >= 0 && mc_reaches(a->settings.overcorrect_percent, percent))
        return MC_OK;
    return mc_fail(error, MC_REFUSED, "overcorrection is 0 to %g percent of what remains",
                   a->settings.overcorrect_percent);
}

static mc_status write_draft(const mc_assessment *a, const mc_plan *plan, mc_revision *out,
                             mc_error *error) {
    char label[MC_LABEL_SIZE], heading[700], day[11];
    mc_case_label(&a->kase, label);
    mc_day_text(a->score->date, day);
    mc_plan_origin origin = {
        .case_id = a->kase.id, .checkup = a->score->number, .preview = out->preview};
    snprintf(heading, sizeof heading,
             "re-staged from the poses of check-up %d, %s; upper %d aligners, lower %d\n"
             "crowns were not checked against each other\n%s%s",
             a->score->number, day, out->account.stages[MC_UPPER], out->account.stages[MC_LOWER],
             out->preview ? "PREVIEW, not to be ordered: "
                          : "draft: becomes the plan when a doctor signs it",
             out->why_preview);
    return mc_plan_write(plan, MC_NOTATION_ISO, &origin, heading, &out->file, &out->file_size,
                         error);
}

static mc_status restage(const mc_assessment *a, const mc_plan *target, double percent,
                         mc_day today, mc_revision *out, mc_error *error) {
    exact_poses poses;
    mc_restage_ask ask = {.carry = a->plan};
    bool moves[MC_TEETH];
    mc_plan *plan = NULL;
    mc_exact_poses(&a->checkup.checkup, &a->settings, &poses);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        ask.carry_at[arch] = a->score->effective_stage[arch];
    mc_ipr_left(a->plan, ask.carry_at, ask.ipr);
    mc_status status = make_tasks(a, &poses, target, percent, ask.task, moves, error);
    if (status == MC_OK)
        status = mc_restage(&a->settings, &ask, &out->account, &plan, error);
    if (status == MC_OK) {
        out->start = today + (mc_day)lround(a->settings.laboratory_days);
        mc_why_preview(a, &poses, moves, a->settings.order_pose_days, today, out->why_preview,
                       sizeof out->why_preview);
        out->preview = out->why_preview[0] != '\0';
        status = write_draft(a, plan, out, error);
    }
    mc_plan_free(plan);
    return status;
}

mc_status mc_revise(mc_practice *practice, const mc_case *kase, const char *target,
                    size_t target_size, double overcorrect_percent, mc_revision *out,
                    mc_error *error) {
    mc_assessment *a = NULL;
    mc_plan *goal = NULL;
    *out = (mc_revision){0};
    mc_status status = mc_assess(practice, kase, 0, true, &a, error);
    if (status == MC_OK && !a->has_plan)
        status = mc_fail(error, MC_REFUSED, "case %s has no plan to revise", kase->chart);
    else if (status == MC_OK && !a->score)
        status = mc_fail(error, MC_REFUSED,
                         "nothing was read on plan %d yet: enter a check-up first", a->info.number);
    if (status == MC_OK)
        status = check_percent(a, overcorrect_percent, error);
    if (status == MC_OK && target)
        status = mc_plan_read(target, target_size, MC_NOTATION_ISO, a->states, &a->settings, &goal,
                              NULL, &out->warnings, error);
    if (status == MC_OK)
        status = restage(a, goal, overcorrect_percent, practice->today, out, error);
    mc_plan_free(goal);
    mc_assessment_free(a);
    if (status != MC_OK)
        mc_revision_free(out);
    return status;
}

void mc_revision_free(mc_revision *revision) {
    mc_warnings_free(&revision->warnings);
    free(revision->file);
    revision->file = NULL;
}
