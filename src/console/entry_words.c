/* What was entered, and what a field takes, in words. */
#include "entry_view.h"
#include "words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- choices ---- */

static const char *yes_name(int yes) {
    static const char *const names[] = {"", "no", "yes"};
    return names[yes];
}

/* The word of a digit in a field of choices. */
static const char *choice_name(int field, int digit) {
    static const char *const grades[] = {"firm", "grade 1", "grade 2", "grade 3"};
    switch (field) {
    case FIELD_ATTACHMENT:
        return mc_attachment_name((mc_attachment)digit);
    case FIELD_CONTACT_MESIAL:
    case FIELD_CONTACT_DISTAL:
        return mc_contact_name((mc_contact)digit);
    case FIELD_MOBILITY:
        return grades[digit];
    default:
        return yes_name(digit);
    }
}

int entry_most_choice(int field) {
    switch (field) {
    case FIELD_ATTACHMENT:
        return MC_ATTACHMENT_LOST;
    case FIELD_CONTACT_MESIAL:
    case FIELD_CONTACT_DISTAL:
        return MC_CONTACT_TIGHT;
    case FIELD_MOBILITY:
        return 3;
    case FIELD_PAIN:
    case FIELD_SWELLING:
        return MC_YES;
    default:
        return 0;
    }
}

void entry_choices(int field, char *out, size_t size) {
    int most = entry_most_choice(field);
    out[0] = '\0';
    for (int digit = field == FIELD_MOBILITY ? 0 : 1; digit <= most && most > 0; digit++) {
        size_t used = strlen(out);
        snprintf(out + used, size - used, "%d %s  ", digit, choice_name(field, digit));
    }
    size_t used = strlen(out);
    if (most > 0)
        snprintf(out + used, size - used, field == FIELD_MOBILITY ? "- not said" : "0 not said");
}

void entry_finding(const mc_reading *r, int field, char *out, size_t size) {
    const int value[FIELD_RECESSION] = {[FIELD_ATTACHMENT] = (int)r->attachment,
                                        [FIELD_CONTACT_MESIAL] = (int)r->contact_mesial,
                                        [FIELD_CONTACT_DISTAL] = (int)r->contact_distal,
                                        [FIELD_MOBILITY] = r->mobility,
                                        [FIELD_PAIN] = (int)r->pain,
                                        [FIELD_SWELLING] = (int)r->swelling};
    out[0] = '\0';
    if (field == FIELD_RECESSION) {
        if (!isnan(r->recession))
            snprintf(out, size, "%.1f", r->recession);
        return;
    }
    int is = value[field];
    if (field == FIELD_MOBILITY ? is >= 0 : is > 0)
        snprintf(out, size, "%s", choice_name(field, is));
}

/* ---- readings against a neighbour ---- */

void entry_relative_name(const console *con, const entry *e, mc_tooth tooth, mc_relative what,
                         char *out, size_t size) {
    int length = snprintf(out, size, "%s ", words_tooth(con->notation, tooth).text);
    words_relative(con->notation, what, entry_neighbour(e, tooth, what), out + length,
                   size - (size_t)length);
}

/* "12 step to 11 +0.40 mm labial". */
static void relative_words(const console *con, const entry *e, const mc_step *s, char *out,
                           size_t size) {
    mc_relative what = (mc_relative)s->whole;
    char name[60], number[40];
    entry_relative_name(con, e, s->tooth, what, name, sizeof name);
    if (isnan(s->number)) {
        snprintf(out, size, "%s not said", name);
        return;
    }
    const char *way = words_relative_way(what, s->tooth, s->number);
    words_relative_number(what, s->number, number);
    snprintf(out, size, "%s %s %s%s%s", name, number, words_unit(mc_relative_component(what)),
             way[0] ? " " : "", way);
}

/* ---- a step ---- */

static const char *arch_word(mc_arch arch) {
    return arch == MC_UPPER ? "upper" : "lower";
}

static void frame_words(const mc_step *s, char *out, size_t size) {
    switch (s->what) {
    case MC_STEP_ALIGNER:
        if (s->whole == MC_NO_ALIGNER)
            snprintf(out, size, "%s arch not looked at", arch_word(s->arch));
        else
            snprintf(out, size, "%s aligner %d", arch_word(s->arch), s->whole);
        break;
    case MC_STEP_DAY:
        if (s->whole < 0)
            snprintf(out, size, "day of the %s aligner not known", arch_word(s->arch));
        else
            snprintf(out, size, "day %d of the %s aligner", s->whole, arch_word(s->arch));
        break;
    case MC_STEP_WEAR:
        if (isnan(s->number))
            snprintf(out, size, "wear not said");
        else
            snprintf(out, size, "wear %.4g h a day", s->number);
        break;
    case MC_STEP_METHOD:
        snprintf(out, size, "method %s", mc_method_name((mc_method)s->whole));
        break;
    case MC_STEP_NOTE:
        snprintf(out, size, s->text[0] ? "note \"%.60s\"" : "no note", s->text);
        break;
    default:
        snprintf(out, size, "all the rest seat");
    }
}

/* The name of what a step of a tooth says. */
static const char *item_name(const mc_step *s) {
    switch (s->what) {
    case MC_STEP_SEAT_GAP:
        return "seat gap";
    case MC_STEP_COMPONENT:
        return mc_component_name(s->component);
    case MC_STEP_ATTACHMENT:
        return "attachment";
    case MC_STEP_CONTACT_MESIAL:
        return "mesial contact";
    case MC_STEP_CONTACT_DISTAL:
        return "distal contact";
    case MC_STEP_MOBILITY:
        return "mobility";
    case MC_STEP_PAIN:
        return "pain on biting";
    case MC_STEP_SWELLING:
        return "swelling or pus";
    default:
        return "recession";
    }
}

static void tooth_words(const mc_step *s, char *out, size_t size) {
    static const int fields[] = {[MC_STEP_ATTACHMENT] = FIELD_ATTACHMENT,
                                 [MC_STEP_CONTACT_MESIAL] = FIELD_CONTACT_MESIAL,
                                 [MC_STEP_CONTACT_DISTAL] = FIELD_CONTACT_DISTAL,
                                 [MC_STEP_MOBILITY] = FIELD_MOBILITY,
                                 [MC_STEP_PAIN] = FIELD_PAIN,
                                 [MC_STEP_SWELLING] = FIELD_SWELLING};
    bool number =
        s->what == MC_STEP_SEAT_GAP || s->what == MC_STEP_COMPONENT || s->what == MC_STEP_RECESSION;
    bool unsaid = number ? isnan(s->number) : s->whole < (s->what == MC_STEP_MOBILITY ? 0 : 1);
    if (unsaid)
        snprintf(out, size, "not said");
    else if (s->what == MC_STEP_COMPONENT)
        snprintf(out, size, "%.*f %s %s", words_decimals(s->component), s->number,
                 words_unit(s->component), s->short_of_plan ? "short of plan" : "observed");
    else if (number)
        snprintf(out, size, "%.4g mm", s->number);
    else
        snprintf(out, size, "%s", choice_name(fields[s->what], s->whole));
}

void entry_step_words(const console *con, const entry *e, const mc_step *s, char out[STEP_WORDS]) {
    char value[120], again[40] = "";
    bool seats = s->what == MC_STEP_SEAT_GAP && s->number < 1e-9;
    if (s->what < MC_STEP_SEAT_GAP || s->what == MC_STEP_REST_SEAT) {
        frame_words(s, out, STEP_WORDS);
        out[0] = (char)toupper((unsigned char)out[0]);
        return;
    }
    if (s->row > 0)
        snprintf(again, sizeof again, " (reading %d)", s->row + 1);
    if (s->what == MC_STEP_RELATIVE) {
        relative_words(con, e, s, value, sizeof value);
        snprintf(out, STEP_WORDS, "%s%s", value, again);
        return;
    }
    tooth_words(s, value, sizeof value);
    snprintf(out, STEP_WORDS, seats ? "%s seats%.0s%.0s%s" : "%s %s %s%s",
             words_tooth(con->notation, s->tooth).text, item_name(s), value, again);
}

/* ---- what a field takes ---- */

const char *entry_frame_name(int field) {
    static const char *const names[FRAME_FIELDS] = {
        "upper aligner", "its day", "lower aligner", "its day", "wear, h a day", "method", "note"};
    return names[field];
}

static void frame_hint(int field, char *out, size_t size) {
    if (field == FRAME_METHOD) {
        snprintf(out, size, "Method:");
        for (int m = 0; m < MC_METHODS; m++) {
            size_t used = strlen(out);
            snprintf(out + used, size - used, "  %d %s", m + 1, mc_method_name((mc_method)m));
        }
    } else if (field == FRAME_NOTE) {
        snprintf(out, size, "Enter opens the note. Esc or f: back to the teeth.");
    } else {
        snprintf(out, size, "A number and Enter; Up, Down move. Esc or f: back to the teeth.");
    }
}

static void fit_hint(const entry *e, const char *tooth, char *out, size_t size) {
    mc_arch arch = mc_tooth_arch(e->chart.cursor);
    if (e->shown.series[arch].stages == 0)
        snprintf(out, size, "%s: the %s arch has no series, so there is no gap to read.", tooth,
                 arch_word(arch));
    else if (!entry_takes_gaps(e, arch))
        snprintf(out, size, "%s: which %s aligner is worn is not entered: k.", tooth,
                 arch_word(arch));
    else
        snprintf(out, size, "%s gap: 0 to 9 are 0.0 to 0.9 mm; + one of 1.0 and over; s seats",
                 tooth);
}

static void position_hint(const console *con, const entry *e, const char *tooth, char *out,
                          size_t size) {
    mc_component c = (mc_component)(e->field - FIELD_COMPONENT);
    char name[40], planned[40];
    snprintf(name, sizeof name, "%s", mc_component_name(c));
    words_signed(chart_planned(con, &e->chart, e->chart.cursor, c), words_decimals(c), planned);
    if (e->as_observed)
        snprintf(out, size, "%s %s: %s as observed, from stage 0 (o: short of plan)", tooth, name,
                 words_unit(c));
    else if (entry_has_leg(con, e, e->chart.cursor, c))
        snprintf(out, size, "%s %s: %s short of today's plan, %s (o: as observed)", tooth, name,
                 words_unit(c), planned);
    else
        snprintf(out, size, "%s %s: %s as observed: nothing is planned to be short of", tooth, name,
                 words_unit(c));
}

/* What the reading takes, which way is which, and what it is compared with. */
static void relative_hint(const console *con, const entry *e, char *out, size_t size) {
    static const char *const instead[] = {[BASELINE_NOW] = "This is the baseline.",
                                          [BASELINE_NONE] = "No baseline: it is kept, not used.",
                                          [BASELINE_OF_ANOTHER] =
                                              "Another neighbour then: not used."};
    mc_tooth tooth = e->chart.cursor;
    mc_relative what = (mc_relative)(e->field - FIELD_RELATIVE);
    entry_baseline baseline = entry_baseline_of(e, tooth, what);
    char name[60], ways[60], planned[40], by_plan[60];
    entry_relative_name(con, e, tooth, what, name, sizeof name);
    words_relative_number(what, mc_draft_should_read(e->draft, tooth, what), planned);
    snprintf(by_plan, sizeof by_plan, "By plan %s.", planned);
    snprintf(ways, sizeof ways, "+ %s, - %s", words_relative_way(what, tooth, 1),
             words_relative_way(what, tooth, -1));
    snprintf(out, size, "%s: %s; %s. %s", name, words_unit(mc_relative_component(what)),
             mc_relative_is_space(what) ? "0 or more" : ways,
             baseline == BASELINE_KNOWN ? by_plan : instead[baseline]);
}

static void finding_hint(const entry *e, const char *tooth, char *out, size_t size) {
    static const char *const names[] = {"attachment", "mesial contact", "distal contact",
                                        "mobility",   "pain on biting", "swelling or pus"};
    char choices[120];
    if (e->field == FIELD_RECESSION) {
        snprintf(out, size, "%s recession in mm, and Enter. Esc: as it is.", tooth);
        return;
    }
    entry_choices(e->field, choices, sizeof choices);
    snprintf(out, size, "%s %s: %s", tooth, names[e->field - FIELD_ATTACHMENT], choices);
}

void entry_hint(const console *con, const entry *e, char *out, size_t size) {
    out[0] = '\0';
    if (e->pass == ENTRY_FRAME) {
        frame_hint(e->field, out, size);
        return;
    }
    if (e->chart.cursor == MC_NO_TOOTH)
        return;
    tooth_text tooth = words_tooth(con->notation, e->chart.cursor);
    if (e->jumping)
        snprintf(out, size, "To tooth %c_", e->jump_digit ? e->jump_digit : '_');
    else if (e->pass == ENTRY_FINDINGS)
        finding_hint(e, tooth.text, out, size);
    else if (e->pass == ENTRY_RELATIVE)
        relative_hint(con, e, out, size);
    else if (e->field == FIELD_GAP)
        fit_hint(e, tooth.text, out, size);
    else
        position_hint(con, e, tooth.text, out, size);
}
