/* The words of a reading, and how exact each method is. */
#include "midcourse/tracking.h"

#include <math.h>
#include <string.h>

static const char *const METHOD[MC_METHODS] = {"eye", "caliper", "photo", "landmarks", "scan"};
static const char *const ATTACHMENT[] = {"unsaid", "intact", "worn", "loose", "lost"};
static const char *const CONTACT[] = {"unsaid", "open", "normal", "tight"};

/* Position of text among words[first..count-1], or -1. */
static int find_word(const char *const *words, int first, int count, const char *text) {
    for (int i = first; i < count; i++)
        if (strcmp(words[i], text) == 0)
            return i;
    return -1;
}

const char *mc_method_name(mc_method method) {
    return METHOD[method];
}

bool mc_method_parse(const char *text, mc_method *method) {
    int found = find_word(METHOD, 0, MC_METHODS, text);
    if (found >= 0)
        *method = (mc_method)found;
    return found >= 0;
}

const char *mc_attachment_name(mc_attachment a) {
    return ATTACHMENT[a];
}

bool mc_attachment_parse(const char *text, mc_attachment *a) {
    int found = find_word(ATTACHMENT, 1, 5, text);
    if (found >= 0)
        *a = (mc_attachment)found;
    return found >= 0;
}

const char *mc_contact_name(mc_contact c) {
    return CONTACT[c];
}

bool mc_contact_parse(const char *text, mc_contact *c) {
    int found = find_word(CONTACT, 1, 4, text);
    if (found >= 0)
        *c = (mc_contact)found;
    return found >= 0;
}

mc_reading mc_reading_none(mc_tooth tooth) {
    mc_reading r = {.tooth = tooth,
                    .seat_gap = NAN,
                    .method = MC_METHOD_OF_CHECKUP,
                    .mobility = -1,
                    .recession = NAN};
    for (int c = 0; c < MC_COMPONENTS; c++)
        r.value[c] = NAN;
    for (int i = 0; i < MC_RELATIVES; i++)
        r.relative[i] = NAN;
    return r;
}

double mc_tolerance(const mc_settings *settings, mc_component c) {
    return mc_component_is_linear(c) ? settings->tolerance_mm : settings->tolerance_deg;
}

double mc_finishing_tolerance(const mc_settings *settings, mc_component c) {
    return mc_component_is_linear(c) ? settings->finish_mm : settings->finish_deg;
}

mc_method mc_reading_method(const mc_reading *row, mc_method of_checkup) {
    return row->method == MC_METHOD_OF_CHECKUP ? of_checkup : (mc_method)row->method;
}

double mc_method_sd(const mc_settings *settings, mc_method method, mc_component c) {
    bool mm = mc_component_is_linear(c);
    switch (method) {
    case MC_EYE:
        return mm ? settings->eye_mm : settings->eye_deg;
    case MC_CALIPER:
        return mm ? settings->caliper_mm : settings->caliper_deg;
    case MC_PHOTO:
        return mm ? settings->photo_mm : settings->photo_deg;
    case MC_LANDMARKS:
        return mm ? settings->landmarks_mm : settings->landmarks_deg;
    default:
        return mm ? settings->scan_mm : settings->scan_deg;
    }
}
