/* What the rules ask of a situation. */
#include "look.h"

#include <math.h>

bool is_behind(const mc_tooth_score *tooth) {
    return tooth->state == MC_STATE_BEHIND || tooth->state == MC_STATE_STALLED;
}

bool behind_twice(const mc_situation *s, mc_tooth tooth) {
    if (s->earlier_on_plan == 0 || s->earlier_count == 0) {
        return false;
    }
    const mc_score *before = s->earlier[s->earlier_count - 1].score;
    return is_behind(&s->score->tooth[tooth]) && is_behind(&before->tooth[tooth]);
}

named teeth_behind(const mc_situation *s) {
    named teeth = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (s->score->present[tooth] && is_behind(&s->score->tooth[tooth])) {
            name_tooth(&teeth, tooth, s->score->tooth[tooth].lag_index);
        }
    }
    return teeth;
}

double stage_of(const mc_situation *s, mc_tooth tooth) {
    return s->score->effective_stage[mc_tooth_arch(tooth)];
}

bool present_pose(const mc_situation *s, mc_tooth tooth, mc_pose *out) {
    const double stage = stage_of(s, tooth);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &s->score->tooth[tooth].item[c];
        out->c[c] =
            item->followed ? item->mean : mc_plan_at(s->plan, tooth, (mc_component)c, stage);
    }
    return !isnan(stage);
}

mc_pose target_pose(const mc_situation *s, mc_tooth tooth) {
    return mc_plan_pose(s->plan, tooth, mc_plan_stages(s->plan, mc_tooth_arch(tooth)));
}

static bool near_target(const mc_situation *s, mc_tooth tooth) {
    const mc_pose target = target_pose(s, tooth);
    mc_pose present;
    bool near = present_pose(s, tooth, &present);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        near = near && mc_reaches(mc_finishing_tolerance(s->settings, (mc_component)c),
                                  fabs(target.c[c] - present.c[c]));
    }
    return near;
}

bool behind_near_target(const mc_situation *s) {
    const named teeth = teeth_behind(s);
    size_t near = 0;
    while (near < teeth.count && near_target(s, teeth.tooth[near])) {
        near++;
    }
    return teeth.count > 0 && near == teeth.count;
}

fit fit_of(const mc_settings *settings, const mc_score *score, mc_arch arch) {
    fit out = {0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const double gap = score->tooth[tooth].seat_gap;
        if (!score->present[tooth] || mc_tooth_arch(tooth) != arch || isnan(gap)) {
            continue;
        }
        out.read++;
        out.small += mc_reaches(gap, settings->reseat_small_gap_mm);
        out.above += !mc_reaches(settings->reseat_small_gap_mm, gap);
        out.gap = fmax(out.gap, gap);
    }
    return out;
}

int aligners_left(const mc_situation *s, mc_arch arch) {
    const int aligner = s->score->aligner[arch];
    const int stages = mc_plan_stages(s->plan, arch);
    return stages > 0 && aligner >= 0 ? stages - aligner : -1;
}

bool wear_talked(const mc_situation *s) {
    bool talked = s->wear_talked;
    for (size_t i = 0; i < s->earlier_count; i++) {
        talked = talked || s->earlier[i].wear_talked;
    }
    return talked;
}

bool wear_is_low(const mc_situation *s) {
    return !isnan(s->score->wear_hours) &&
           !mc_reaches(s->score->wear_hours, s->settings->wear_hours);
}

mc_component worst_short(const mc_situation *s, mc_tooth tooth) {
    mc_component worst = MC_COMPONENTS;
    double most = 0;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &s->score->tooth[tooth].item[c];
        if (item->read && item->kind == MC_KIND_SHORT &&
            mc_reaches(item->p, s->settings->state_probability) &&
            item->weight * item->index > most) {
            most = item->weight * item->index;
            worst = (mc_component)c;
        }
    }
    return worst;
}

void say_behind(const mc_situation *s, mc_tooth tooth, mc_proposal *out) {
    const mc_component c = worst_short(s, tooth);
    const mc_tooth_score *score = &s->score->tooth[tooth];
    say(out, "%d: ", mc_tooth_iso(tooth));
    if (c < MC_COMPONENTS) {
        say(out, "%s %s short", movement_word(tooth, c, score->item[c].direction > 0),
            size_of(score->item[c].shortfall, c).text);
    } else if (!isnan(score->seat_gap)) {
        say(out, "seat gap %s", size_of(score->seat_gap, MC_MESIAL).text);
    } else {
        say(out, "%s", mc_state_word(score->state));
    }
    if (score->state == MC_STATE_STALLED) {
        say(out, ", stalled");
    }
}

void say_all_behind(const mc_situation *s, const named *teeth, mc_proposal *out) {
    for (size_t i = 0; i < teeth->count && i < TOLD_ONE_BY_ONE; i++) {
        say(out, "%s", i > 0 ? "; " : "");
        say_behind(s, teeth->tooth[i], out);
    }
    say_more(out, teeth->count);
}

/* Which way a component goes last in its series; 0 where the plan leaves it alone. */
static int last_direction(const mc_situation *s, mc_tooth tooth, mc_component c) {
    double from;
    return mc_plan_leg(s->plan, tooth, c, mc_plan_stages(s->plan, mc_tooth_arch(tooth)), &from);
}

outcome outcome_of(const mc_situation *s, mc_tooth tooth) {
    outcome out = {.c = MC_COMPONENTS};
    for (int i = 0; i < MC_COMPONENTS && s->forecast; i++) {
        const mc_component c = (mc_component)i;
        const mc_component_forecast *f = &s->forecast->tooth[tooth].component[c];
        const double left = f->planned - f->end,
                     ways = fabs(left) / mc_finishing_tolerance(s->settings, c);
        if (f->known && (out.c == MC_COMPONENTS || ways > out.ways)) {
            const int direction = last_direction(s, tooth, c);
            out = (outcome){.c = c,
                            .off = fabs(left),
                            .ways = ways,
                            .toward = direction * left > 0   ? 1
                                      : direction * left < 0 ? -1
                                                             : 0};
        }
    }
    return out;
}

void say_ending(const mc_situation *s, mc_tooth tooth, mc_proposal *out) {
    const outcome end = outcome_of(s, tooth);
    const bool positive = last_direction(s, tooth, end.c) > 0;
    say(out, "%d %s %s %s", mc_tooth_iso(tooth),
        end.toward != 0 ? movement_word(tooth, end.c, positive) : mc_component_name(end.c),
        size_of(end.off, end.c).text,
        end.toward > 0   ? "short"
        : end.toward < 0 ? "past"
                         : "off");
}

const char *nothing_measured(const mc_situation *s) {
    bool against = false;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        for (int i = 0; s->score->present[tooth] && i < MC_RELATIVES; i++) {
            against = against || s->score->tooth[tooth].relative[i].readings > 0;
        }
    }
    return against ? "Only readings against neighbours were taken at this check-up, which tell no "
                     "position yet"
                   : "Nothing was measured at this check-up";
}

void say_wear(const mc_situation *s, mc_proposal *out) {
    if (wear_is_low(s)) {
        say(out, " Wear, already talked about, is still %s hours a day.",
            plain(s->score->wear_hours).text);
    }
}

named to_read(const mc_situation *s) {
    named teeth = {.count = 0};
    teeth.count = mc_worth_reading(s, (size_t)s->settings->measure_teeth, teeth.tooth);
    return teeth;
}
