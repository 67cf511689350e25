/* Rules 3 to 5: attachments, contacts, and teeth that went where they should not. */
#include "rules.h"

#include <math.h>

/* ---- 3 repair ---- */

/* A movement that is not made without an attachment, even if small. */
static bool needs_grip(mc_tooth tooth, mc_component c, const mc_pose *left) {
    switch (c) {
    case MC_OCCLUSAL:
        return left->c[c] > 0;
    case MC_ROTATION:
        return mc_tooth_is_round(tooth);
    case MC_ANGULATION:
    case MC_INCLINATION:
        return mc_pose_is_root_movement(left, c, mc_tooth_usual_size(tooth).root_length);
    default:
        return false;
    }
}

/* The movement left that needs the attachment: the first that is more than its finishing tolerance,
 * else the first of those that need grip and that the plan makes on this tooth (a component that
 * the plan leaves alone is never quite zero as estimated, which is no movement left). */
static mc_component movement_left(const mc_situation *s, mc_tooth tooth, double *amount) {
    const mc_pose target = target_pose(s, tooth);
    mc_pose present, left;
    if (!present_pose(s, tooth, &present) ||
        mc_pose_between(&present, &target, &left, NULL) != MC_OK) {
        return MC_COMPONENTS;
    }
    for (int c = 0; c < MC_COMPONENTS; c++) {
        *amount = left.c[c];
        if (mc_reaches(fabs(left.c[c]), mc_finishing_tolerance(s->settings, (mc_component)c))) {
            return (mc_component)c;
        }
    }
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const double least = mc_component_least((mc_component)c);
        *amount = left.c[c];
        if (needs_grip(tooth, (mc_component)c, &left) && mc_reaches(fabs(left.c[c]), least) &&
            mc_reaches(fabs(mc_plan_extreme(s->plan, tooth, (mc_component)c)), least)) {
            return (mc_component)c;
        }
    }
    return MC_COMPONENTS;
}

static bool attachment_is_off(const mc_tooth_score *tooth) {
    return tooth->attachment == MC_ATTACHMENT_LOST || tooth->attachment == MC_ATTACHMENT_LOOSE;
}

static void say_repair(const mc_situation *s, const named *teeth, mc_proposal *out) {
    say(out, "Rebond at this visit: ");
    for (size_t i = 0; i < teeth->count && i < TOLD_ONE_BY_ONE; i++) {
        const mc_tooth tooth = teeth->tooth[i];
        double left = 0;
        const mc_component c = movement_left(s, tooth, &left);
        say(out, "%s%d (attachment %s, %s %s left)", i > 0 ? ", " : "", mc_tooth_iso(tooth),
            mc_attachment_name(s->score->tooth[tooth].attachment),
            movement_word(tooth, c, left > 0), size_of(fabs(left), c).text);
    }
    say_more(out, teeth->count);
    say(out, ". ");
}

bool rule_repair(const mc_situation *s, mc_proposal *out) {
    named teeth = {.count = 0}, behind = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_tooth_score *score = &s->score->tooth[tooth];
        double left;
        if (s->score->present[tooth] && mc_tooth_may_move(s->states[tooth]) &&
            attachment_is_off(score) && movement_left(s, tooth, &left) < MC_COMPONENTS) {
            name_tooth(&teeth, tooth, score->lag_index);
            if (is_behind(score)) {
                name_tooth(&behind, tooth, score->lag_index);
            }
        }
    }
    if (teeth.count == 0) {
        return false;
    }
    propose(out, MC_PROPOSE_REPAIR, &teeth);
    say_repair(s, &teeth, out);
    if (s->waiting) {
        say(out, "The present aligner is worn until the corrected series begins.");
    } else if (behind.count > 0) {
        out->days = (int)s->settings->hold_days;
        say(out, "Wear the present aligner %d days longer: ", out->days);
        say_teeth(out, behind.tooth, behind.count);
        say(out, behind.count == 1 ? " is behind." : " are behind.");
    } else {
        say(out, "No hold: not known to be behind.");
    }
    return true;
}

/* ---- 4 open contact ---- */

typedef struct blocked {
    bool tight[2]; /* off plan at a tight contact, mesial [0] and distal [1] */
    double due[2]; /* mm of IPR that are due by the plan and not recorded as done */
} blocked;

static blocked blocked_at(const mc_situation *s, mc_tooth tooth) {
    const mc_tooth_score *score = &s->score->tooth[tooth];
    const bool off = is_behind(score) || score->state == MC_STATE_SLIPPING;
    const double stage = stage_of(s, tooth);
    blocked out = {.tight = {off && score->contact_mesial == MC_CONTACT_TIGHT,
                             off && score->contact_distal == MC_CONTACT_TIGHT}};
    for (int side = 0; side < 2 && !isnan(stage); side++) {
        const double due = mc_plan_ipr(s->plan, tooth, side == 0, stage);
        const double done = s->ipr_done[tooth][side];
        if (due > 0 && !isnan(done) && !mc_reaches(done, due)) {
            out.due[side] = due - done;
        }
    }
    return out;
}

static void say_blocked(const mc_situation *s, mc_tooth tooth, mc_proposal *out) {
    static const char *const sides[2] = {"mesial", "distal"};
    const blocked b = blocked_at(s, tooth);
    const char *between = "";
    say(out, "%d: ", mc_tooth_iso(tooth));
    if (b.tight[0] || b.tight[1]) {
        say(out, "%s at %s", mc_state_word(s->score->tooth[tooth].state),
            !b.tight[1]   ? "a tight mesial contact"
            : !b.tight[0] ? "a tight distal contact"
                          : "tight contacts on both sides");
        between = ", ";
    }
    for (int side = 0; side < 2; side++) {
        if (b.due[side] > 0) {
            say(out, "%s%s of %s IPR due and not recorded as done", between,
                millimetres(b.due[side]).text, sides[side]);
            between = ", ";
        }
    }
}

bool rule_open_contact(const mc_situation *s, mc_proposal *out) {
    named teeth = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const blocked b = blocked_at(s, tooth);
        if (s->score->present[tooth] &&
            (b.tight[0] || b.tight[1] || b.due[0] > 0 || b.due[1] > 0)) {
            name_tooth(&teeth, tooth, s->score->tooth[tooth].lag_index);
        }
    }
    if (teeth.count == 0) {
        return false;
    }
    propose(out, MC_PROPOSE_OPEN_CONTACT, &teeth);
    say(out, "Open the contact before the next aligner: ");
    for (size_t i = 0; i < teeth.count && i < TOLD_ONE_BY_ONE; i++) {
        say(out, "%s", i > 0 ? "; " : "");
        say_blocked(s, teeth.tooth[i], out);
    }
    say_more(out, teeth.count);
    say(out, ". Do the IPR that is due and record it; more than the plan has is the doctor's "
             "choice.");
    return true;
}

/* ---- 5 review ---- */

/* The largest index, unweighted, by which a tooth past plan or drifting is so; 0 where it is
 * neither. *c: by which component, MC_COMPONENTS by its seat gap. */
static double off_plan(const mc_situation *s, mc_tooth tooth, mc_component *c) {
    const mc_tooth_score *score = &s->score->tooth[tooth];
    double most = 0;
    *c = MC_COMPONENTS;
    if (score->state != MC_STATE_PAST_PLAN && score->state != MC_STATE_DRIFTING) {
        return 0;
    }
    if (score->seat_kind == MC_KIND_DRIFT && !isnan(score->seat_index)) {
        most = score->seat_index;
    }
    for (int i = 0; i < MC_COMPONENTS; i++) {
        const mc_item *item = &score->item[i];
        if (item->read && (item->kind == MC_KIND_PAST || item->kind == MC_KIND_DRIFT) &&
            mc_reaches(item->p, s->settings->state_probability) && item->index > most) {
            most = item->index;
            *c = (mc_component)i;
        }
    }
    return most;
}

static void say_off_plan(const mc_situation *s, mc_tooth tooth, mc_proposal *out) {
    mc_component c;
    const mc_tooth_score *score = &s->score->tooth[tooth];
    const double index = off_plan(s, tooth, &c);
    const char *by = "seat gap";
    if (c < MC_COMPONENTS) {
        by = movement_word(tooth, c, score->item[c].mean > score->item[c].planned);
    }
    say(out, "%d is %s by %s tolerances (%s)", mc_tooth_iso(tooth), mc_state_word(score->state),
        plain(index).text, by);
}

bool rule_review(const mc_situation *s, mc_proposal *out) {
    const mc_settings *set = s->settings;
    const bool overjet =
        !isnan(s->overjet_above_plan) && mc_reaches(s->overjet_above_plan, set->review_overjet_mm);
    named teeth = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        mc_component c;
        const double index = off_plan(s, tooth, &c);
        if (s->score->present[tooth] && mc_reaches(index, set->review_index)) {
            name_tooth(&teeth, tooth, index);
        }
    }
    if (teeth.count == 0 && !overjet) {
        return false;
    }
    propose(out, MC_PROPOSE_REVIEW, &teeth);
    say(out, "The doctor looks before the next aligner: ");
    for (size_t i = 0; i < teeth.count && i < TOLD_ONE_BY_ONE; i++) {
        say(out, "%s", i > 0 ? "; " : "");
        say_off_plan(s, teeth.tooth[i], out);
    }
    say_more(out, teeth.count);
    if (teeth.count > 0) {
        say(out, "; limit %s", plain(set->review_index).text);
    }
    if (overjet) {
        say(out, "%soverjet is %s above plan (limit %s)", teeth.count > 0 ? "; " : "",
            size_of(s->overjet_above_plan, MC_BUCCAL).text,
            millimetres(set->review_overjet_mm).text);
    }
    say(out, ". Look for lost anchorage, lost inclination and the bite.");
    return true;
}
