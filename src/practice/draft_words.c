/* A step of entry as a person would say it. */
#include "draft.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

const char *draft_arch_name(mc_arch arch) {
    return arch == MC_UPPER ? "upper" : "lower";
}

/* Write, cut where it does not fit. */
static void __attribute__((format(printf, 3, 4)))
put(char *out, size_t size, const char *format, ...) {
    va_list values;
    va_start(values, format);
    vsnprintf(out, size, format, values);
    va_end(values);
}

static void number_text(char *out, size_t size, const char *what, double number, const char *unit) {
    if (isnan(number))
        put(out, size, "%s taken away", what);
    else
        put(out, size, "%s %.6g%s", what, number, unit);
}

static void word_text(char *out, size_t size, const char *what, bool said, const char *word) {
    put(out, size, "%s %s", what, said ? word : "taken away");
}

static void component_text(const mc_step *step, char *out, size_t size) {
    const char *unit = mc_component_is_linear(step->component) ? " mm" : " deg";
    number_text(out, size, mc_component_name(step->component), step->number, unit);
    if (step->short_of_plan && !isnan(step->number))
        put(out + strlen(out), size - strlen(out), " short");
}

/* What is said of the tooth, without its name. */
static void tooth_text(const mc_step *step, char *out, size_t size) {
    static const char *const yes[] = {"", "no", "yes"};
    int w = step->whole;
    switch (step->what) {
    case MC_STEP_SEAT_GAP:
        if (step->number == 0)
            put(out, size, "seats");
        else
            number_text(out, size, "seat gap", step->number, " mm");
        break;
    case MC_STEP_COMPONENT:
        component_text(step, out, size);
        break;
    case MC_STEP_RELATIVE:
        number_text(out, size, mc_relative_name((mc_relative)w), step->number,
                    w == MC_CROWN_ANGLE ? " deg" : " mm");
        break;
    case MC_STEP_ATTACHMENT:
        word_text(out, size, "attachment", w != 0, mc_attachment_name((mc_attachment)w));
        break;
    case MC_STEP_CONTACT_MESIAL:
        word_text(out, size, "mesial contact", w != 0, mc_contact_name((mc_contact)w));
        break;
    case MC_STEP_CONTACT_DISTAL:
        word_text(out, size, "distal contact", w != 0, mc_contact_name((mc_contact)w));
        break;
    case MC_STEP_MOBILITY:
        number_text(out, size, "mobility", w < 0 ? NAN : w, "");
        break;
    case MC_STEP_PAIN:
        word_text(out, size, "pain on biting", w != 0, yes[w]);
        break;
    case MC_STEP_SWELLING:
        word_text(out, size, "swelling", w != 0, yes[w]);
        break;
    default:
        number_text(out, size, "recession", step->number, " mm");
    }
}

void draft_step_text(const mc_step *step, char out[MC_STEP_TEXT_SIZE]) {
    const size_t size = MC_STEP_TEXT_SIZE;
    const char *arch = draft_arch_name(step->arch);
    char said[MC_STEP_TEXT_SIZE - 8];
    switch (step->what) {
    case MC_STEP_ALIGNER:
        put(said, sizeof said, "%s aligner", arch);
        number_text(out, size, said, step->whole == MC_NO_ALIGNER ? NAN : step->whole, "");
        break;
    case MC_STEP_DAY:
        put(said, sizeof said, "day of the %s aligner", arch);
        number_text(out, size, said, step->whole < 0 ? NAN : step->whole, "");
        break;
    case MC_STEP_WEAR:
        number_text(out, size, "wear", step->number, " hours a day");
        break;
    case MC_STEP_METHOD:
        put(out, size, "read by %s", mc_method_name((mc_method)step->whole));
        break;
    case MC_STEP_NOTE:
        put(out, size, "the note%s", step->text[0] ? "" : " taken away");
        break;
    case MC_STEP_REST_SEAT:
        put(out, size, "all the rest seat");
        break;
    default:
        tooth_text(step, said, sizeof said);
        put(out, size, "%d %s", mc_tooth_iso(step->tooth), said);
    }
}
