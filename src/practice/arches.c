/* Where the crowns of a case's arches stand: measured at a check-up, else estimated. */
#include "assess.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- what was measured ---- */

/* Where the teeth were at a check-up: by scan or landmarks where read so, else as estimated, else
 * planned. */
static void poses_then(const mc_checkup *checkup, const mc_score *score,
                       const mc_settings *settings, mc_pose out[MC_TEETH]) {
    exact_poses exact;
    mc_exact_poses(checkup, settings, &exact);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            const mc_item *item = &score->tooth[t].item[c];
            out[t].c[c] = !isnan(exact.mean[t][c]) ? exact.mean[t][c]
                          : item->followed         ? item->mean
                                                   : item->planned;
        }
}

static bool all_known(const mc_pose *pose) {
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (!isfinite(pose->c[c]))
            return false;
    return true;
}

/* Whether every tooth that stands in the arch has a crown, and a pose to go with it. */
static bool is_whole(const mc_measured_arch *arch, const mc_pose at[MC_TEETH],
                     const mc_tooth_state states[MC_TEETH]) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (mc_tooth_arch(t) == arch->arch && mc_tooth_stands(states[t]) &&
            !(arch->crown[t].stands && all_known(&at[t])))
            return false;
    return true;
}

/* The poses on the assessed plan that belong to a measured arch; false where it is of another plan,
 * or of a later check-up. */
static bool poses_of(const replay *r, int last, const mc_measured_arch *arch,
                     const mc_assessment *a, mc_pose at[MC_TEETH]) {
    if (mc_id_same(&arch->plan, &a->info.supersedes) && arch->checkup == a->info.made_from) {
        memset(at, 0, MC_TEETH * sizeof *at); /* there the plan's stage 0 is */
        return true;
    }
    for (int i = 0; i <= last; i++) {
        const mc_checkup_info *c = &r->h.checkups[i];
        if (c->checkup.number == arch->checkup && mc_id_same(&c->plan, &a->info.id)) {
            poses_then(&c->checkup, &a->scores[i], &a->settings, at);
            return true;
        }
    }
    return false;
}

static void take_measured(const mc_measured_arch *arch, const mc_pose at[MC_TEETH],
                          mc_assessment *a) {
    a->measured_at[arch->arch] = arch->checkup;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (mc_tooth_arch(t) == arch->arch && mc_tooth_stands(a->states[t])) {
            a->measured.crown[t] = arch->crown[t];
            a->measured.at[t] = at[t];
        }
}

void mc_find_measured(const replay *r, int checkup, mc_assessment *a) {
    for (size_t i = r->h.arch_count; i-- > 0;) {
        const mc_measured_arch *arch = &r->h.arches[i];
        mc_pose at[MC_TEETH];
        if (a->measured_at[arch->arch] == 0 && poses_of(r, checkup, arch, a, at) &&
            is_whole(arch, at, a->states))
            take_measured(arch, at, a);
    }
}

/* ---- both arches ---- */

mc_pose mc_assess_pose(const mc_assessment *a, mc_tooth tooth) {
    mc_pose pose = {{0}};
    for (int c = 0; a->score && c < MC_COMPONENTS; c++) {
        const mc_item *item = &a->score->tooth[tooth].item[c];
        const double exact = a->exact[tooth].c[c];
        pose.c[c] = !isnan(exact) ? exact : item->followed ? item->mean : item->planned;
    }
    return pose;
}

/* On an arch form, every tooth at its last pose and all of the plan's IPR done. */
static void estimate(const mc_assessment *a, const bool stands[MC_TEETH], mc_arches *out) {
    mc_pose target[MC_TEETH];
    mc_tooth_ipr due[MC_TEETH];
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const double end = mc_plan_stages(a->plan, mc_tooth_arch(t));
        target[t] = mc_plan_pose(a->plan, t, end);
        due[t] = (mc_tooth_ipr){.mesial.mm = mc_plan_ipr(a->plan, t, true, end),
                                .distal.mm = mc_plan_ipr(a->plan, t, false, end)};
    }
    mc_arches_estimate(stands, target, due, out);
}

void mc_assess_arches(const mc_assessment *a, mc_arches *out) {
    bool stands[MC_TEETH];
    memset(out, 0, sizeof *out);
    if (!a->has_plan)
        return;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        stands[t] = mc_tooth_stands(a->states[t]) && a->measured_at[mc_tooth_arch(t)] == 0;
    estimate(a, stands, out);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        out->estimated[arch] = a->measured_at[arch] == 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (!out->estimated[mc_tooth_arch(t)]) {
            out->crown[t] = a->measured.crown[t];
            out->at[t] = a->measured.at[t];
        }
}

/* ---- taking a file ---- */

/* Refuses a check-up that does not say where the arch's teeth were. */
static mc_status check_poses(const mc_assessment *a, const mc_measured_arch *arch,
                             mc_error *error) {
    mc_pose at[MC_TEETH];
    poses_then(&a->checkup.checkup, a->score, &a->settings, at);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (arch->crown[t].stands && !all_known(&at[t]))
            return mc_fail(error, MC_REFUSED,
                           "check-up %d does not say which %s aligner was worn, so that it is not "
                           "known where tooth %d was",
                           arch->checkup, arch->arch == MC_UPPER ? "upper" : "lower",
                           mc_tooth_iso(t));
    return MC_OK;
}

/* Read the file against the teeth of the check-up's day. */
static mc_status read_arch(mc_practice *practice, const mc_case *kase, const mc_assessment *a,
                           const char *data, size_t size, mc_notation notation,
                           mc_measured_arch *out, mc_error *error) {
    mc_tooth_state states[MC_TEETH];
    mc_arch_crowns crowns;
    mc_status status = mc_record_teeth(practice->record, &kase->id, a->score->date, states, error);
    if (status == MC_OK)
        status = mc_arch_read(data, size, notation, states, &crowns, error);
    if (status != MC_OK)
        return status;
    *out = (mc_measured_arch){.checkup = a->score->number, .arch = crowns.arch};
    memcpy(out->crown, crowns.crown, sizeof out->crown);
    return check_poses(a, out, error);
}

static json_t *describe(const mc_measured_arch *arch) {
    int crowns = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        crowns += arch->crown[t].stands;
    return json_pack("{s:i, s:s, s:i, s:i, s:s}", "checkup", arch->checkup, "arch",
                     arch->arch == MC_UPPER ? "upper" : "lower", "entry", arch->entry, "crowns",
                     crowns, "hash", arch->hash);
}

mc_status mc_import_arch(mc_practice *practice, const mc_case *kase, const char *data, size_t size,
                         mc_notation notation, int number, mc_measured_arch *out, mc_error *error) {
    mc_assessment *a = NULL;
    mc_status status = mc_assess(practice, kase, number, false, &a, error);
    if (status == MC_OK && !a->score)
        status = mc_fail(error, MC_REFUSED,
                         "case %s has no check-up on its plan: crowns are measured at a check-up",
                         kase->chart);
    if (status == MC_OK)
        status = read_arch(practice, kase, a, data, size, notation, out, error);
    mc_assessment_free(a);
    if (status == MC_OK)
        status = mc_action_begin(practice, BY_TEAM, true, error);
    if (status != MC_OK)
        return status;
    snprintf(out->by, sizeof out->by, "%s", practice->actor.initials);
    status = mc_record_add_arch(practice->record, &kase->id, out, error);
    return mc_action_end(practice, status, &kase->id, "arch measured", describe(out), error);
}
