/* Rules 1 and 2: what must be looked at before anything else, and whether the aligner fits. */
#include "rules.h"

#include <math.h>

/* ---- 1 examine ---- */

typedef struct finding {
    int mobility; /* grade that calls for it, 0 none */
    bool swelling, pain;
    double recession; /* grown by, mm; 0 none that calls for it */
} finding;

/* The tooth's own usual grade; 0 where it is not known. */
static int usual_grade(const mc_situation *s, mc_tooth tooth) {
    return s->baseline_mobility[tooth] > 0 ? s->baseline_mobility[tooth] : 0;
}

/* The higher grade on any tooth; the lower on a permanent one where it is more than its own usual
 * grade. A deciduous tooth known to be shedding is expected to be loose. */
static int loose(const mc_situation *s, mc_tooth tooth) {
    const int grade = s->score->tooth[tooth].mobility;
    if (s->states[tooth] == MC_TOOTH_SHEDDING && mc_tooth_is_deciduous(tooth)) {
        return 0;
    }
    const bool grown = grade >= s->settings->examine_mobility_own &&
                       grade > usual_grade(s, tooth) && !mc_tooth_is_deciduous(tooth);
    return grade >= s->settings->examine_mobility || grown ? grade : 0;
}

static finding finding_of(const mc_situation *s, mc_tooth tooth) {
    const mc_tooth_score *score = &s->score->tooth[tooth];
    const double grown = score->recession - s->baseline_recession[tooth];
    const bool receded = !isnan(grown) && mc_reaches(grown, s->settings->examine_recession_mm);
    return (finding){.mobility = loose(s, tooth),
                     .swelling = score->swelling == MC_YES,
                     .pain = score->pain == MC_YES,
                     .recession = receded ? grown : 0};
}

static double urgency_of(const finding *f) {
    return f->mobility + 4 * f->swelling + 2 * f->pain + (f->recession > 0);
}

static void say_finding(const mc_situation *s, mc_tooth tooth, mc_proposal *out) {
    const finding f = finding_of(s, tooth);
    const char *between = "";
    say(out, "%d: ", mc_tooth_iso(tooth));
    if (f.mobility > 0) {
        say(out, "mobility grade %d", f.mobility);
        if (f.mobility < s->settings->examine_mobility) {
            say(out, ", usually %d", usual_grade(s, tooth));
        }
        between = ", ";
    }
    if (f.pain) {
        say(out, "%spain on biting", between);
        between = ", ";
    }
    if (f.swelling) {
        say(out, "%sswelling or pus", between);
        between = ", ";
    }
    if (f.recession > 0) {
        say(out, "%srecession grown by %s", between, size_of(f.recession, MC_OCCLUSAL).text);
    }
}

bool rule_examine(const mc_situation *s, mc_proposal *out) {
    named teeth = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const finding f = finding_of(s, tooth);
        if (s->score->present[tooth] && urgency_of(&f) > 0) {
            name_tooth(&teeth, tooth, urgency_of(&f));
        }
    }
    if (teeth.count == 0) {
        return false;
    }
    propose(out, MC_PROPOSE_EXAMINE, &teeth);
    say(out, "Examine ");
    say_teeth(out, teeth.tooth, teeth.count);
    say(out, " today (");
    for (size_t i = 0; i < teeth.count && i < TOLD_ONE_BY_ONE; i++) {
        say(out, "%s", i > 0 ? "; " : "");
        say_finding(s, teeth.tooth[i], out);
    }
    say_more(out, teeth.count);
    say(out,
        "). The doctor sees this today; no aligner is changed until then, and the movement of %s "
        "pauses.",
        teeth.count == 1 ? "this tooth" : "these teeth");
    return true;
}

/* ---- 2 reseat ---- */

static bool does_not_fit(const mc_situation *s, const fit *f) {
    return (f->read > 0 && mc_reaches(f->gap, s->settings->reseat_gap_mm)) ||
           (f->small > 0 && mc_reaches((double)f->small / f->read, s->settings->reseat_share));
}

/* The check-up, of the last few on this plan, whose aligner was the highest that seated on every
 * tooth of the arch that was read; NULL where none is known. */
static const mc_score *last_seated(const mc_situation *s, mc_arch arch) {
    const mc_score *best = NULL;
    const size_t back = (size_t)s->settings->reseat_back;
    for (size_t i = 0; i < back && i < s->earlier_on_plan && i < s->earlier_count; i++) {
        const mc_score *score = s->earlier[s->earlier_count - 1 - i].score;
        const fit f = fit_of(s->settings, score, arch);
        if (f.read > 0 && f.above == 0 && score->aligner[arch] > 0 &&
            score->aligner[arch] < s->score->aligner[arch] &&
            (!best || score->aligner[arch] > best->aligner[arch])) {
            best = score;
        }
    }
    return best;
}

static named teeth_with_gaps(const mc_situation *s, mc_arch arch) {
    named teeth = {.count = 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const double gap = s->score->tooth[tooth].seat_gap;
        if (s->score->present[tooth] && mc_tooth_arch(tooth) == arch && !isnan(gap) &&
            mc_reaches(gap, s->settings->reseat_small_gap_mm)) {
            name_tooth(&teeth, tooth, gap);
        }
    }
    return teeth;
}

static void say_misfit(const mc_situation *s, mc_arch arch, const fit *f, const named *teeth,
                       mc_proposal *out) {
    const mc_settings *set = s->settings;
    say(out, "The %s aligner", arch_word(arch));
    if (s->score->aligner[arch] > 0) {
        say(out, " %d", s->score->aligner[arch]);
    }
    say(out, " does not seat: ");
    if (mc_reaches(f->gap, set->reseat_gap_mm)) {
        say(out, "the gap at %d is %s (limit %s). ", mc_tooth_iso(teeth->tooth[0]),
            millimetres(f->gap).text, millimetres(set->reseat_gap_mm).text);
    } else {
        say(out, "%d of the %d gaps read are %s or more (", f->small, f->read,
            millimetres(set->reseat_small_gap_mm).text);
        say_teeth(out, teeth->tooth, teeth->count);
        say(out, "; limit %s of them). ", percent(set->reseat_share).text);
    }
}

static void propose_reseat(const mc_situation *s, mc_arch arch, const fit *f, bool other_too,
                           mc_proposal *out) {
    const named teeth = teeth_with_gaps(s, arch);
    const mc_score *seated = last_seated(s, arch);
    propose(out, MC_PROPOSE_RESEAT, &teeth);
    out->arch = arch;
    out->to = seated ? seated->aligner[arch] : -1;
    say_misfit(s, arch, f, &teeth, out);
    if (other_too) {
        say(out, "The %s one does not seat either. ",
            arch_word(arch == MC_UPPER ? MC_LOWER : MC_UPPER));
    }
    say(out,
        "Is it the right aligner, is it whole? Chew in for %g %s and read again; else wear "
        "the highest of the last %g that seats with every gap at most %s",
        s->settings->reseat_minutes, s->settings->reseat_minutes == 1 ? "minute" : "minutes",
        s->settings->reseat_back, millimetres(s->settings->reseat_small_gap_mm).text);
    if (seated) {
        say(out, " (aligner %d did at check-up %d)", out->to, seated->number);
    }
    say(out, ". Do not advance.");
}

bool rule_reseat(const mc_situation *s, mc_proposal *out) {
    const fit upper = fit_of(s->settings, s->score, MC_UPPER);
    const fit lower = fit_of(s->settings, s->score, MC_LOWER);
    const bool upper_off = does_not_fit(s, &upper), lower_off = does_not_fit(s, &lower);
    if (!upper_off && !lower_off) {
        return false;
    }
    if (upper_off && (!lower_off || upper.gap >= lower.gap)) {
        propose_reseat(s, MC_UPPER, &upper, lower_off, out);
    } else {
        propose_reseat(s, MC_LOWER, &lower, upper_off, out);
    }
    return true;
}
