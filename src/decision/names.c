/* The words by which proposals, choices and causes are known outside. */
#include "midcourse/decision.h"

#include <string.h>

static const char *const choices[MC_CHOICES] = {"carry-on", "hold",    "go-back",
                                                "local",    "correct", "finish"};
static const char *const causes[] = {"none",    "wear",    "contact",      "attachment",
                                     "aligner", "staging", "interference", "elastics",
                                     "root",    "unknown"};

const char *mc_proposal_name(mc_proposal_choice choice) {
    static const char *const names[] = {"examine", "reseat",    "repair",   "open-contact",
                                        "review",  "talk-wear", "measure",  "correct",
                                        "local",   "hold",      "carry-on", "finish"};
    return names[choice];
}

const char *mc_proposal_words(mc_proposal_choice choice) {
    static const char *const words[] = {
        "examine", "reseat",  "repair",         "open contact", "review",   "talk about wear",
        "measure", "correct", "local measures", "hold",         "carry on", "finish"};
    return words[choice];
}

/* The place of a word in a list; -1 where it is not there. */
static int place_of(const char *text, const char *const *words, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (strcmp(text, words[i]) == 0) {
            return (int)i;
        }
    }
    return -1;
}

const char *mc_choice_name(mc_choice choice) {
    return choices[choice];
}

const char *mc_choice_words(mc_choice choice) {
    static const char *const words[MC_CHOICES] = {"carry on",       "hold",    "go back",
                                                  "local measures", "correct", "finish"};
    return words[choice];
}

bool mc_choice_parse(const char *text, mc_choice *choice) {
    const int place = place_of(text, choices, MC_CHOICES);
    if (place >= 0) {
        *choice = (mc_choice)place;
    }
    return place >= 0;
}

const char *mc_cause_name(mc_cause cause) {
    return causes[cause];
}

bool mc_cause_parse(const char *text, mc_cause *cause) {
    const int place = place_of(text, causes, sizeof causes / sizeof causes[0]);
    if (place >= 0) {
        *cause = (mc_cause)place;
    }
    return place >= 0;
}
