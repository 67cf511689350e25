/* Building a proposal: the teeth it names and the sentence it says. */
#ifndef MIDCOURSE_DECISION_SENTENCE_H
#define MIDCOURSE_DECISION_SENTENCE_H

#include "midcourse/decision.h"

/* Name a tooth. Teeth stand most urgent first, of equals in chart order of naming. */
typedef struct named {
    mc_tooth tooth[MC_TEETH];
    double urgency[MC_TEETH];
    size_t count;
} named;
void name_tooth(named *teeth, mc_tooth tooth, double urgency);

/* The proposal's choice and teeth; its sentence is still empty. */
void propose(mc_proposal *out, mc_proposal_choice choice, const named *teeth);

/* Append to the sentence, printf-formatted; what does not fit is cut off. Numbers that are not
 * whole go through one of the functions below, which know no locale. */
void say(mc_proposal *out, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* Append the named teeth, "12, 22 and 13"; after the sixth only how many more. */
void say_teeth(mc_proposal *out, const mc_tooth *teeth, size_t count);

/* A number in print. */
typedef struct printed {
    char text[48];
} printed;
printed plain(double value);                   /* to one decimal: "19.5" */
printed so_many_teeth(double expected);        /* to one decimal: "1 tooth", "1.4 teeth" */
printed millimetres(double value);             /* to two decimals: "0.25 mm" */
printed percent(double share);                 /* "33 %" */
printed chance_of(double p);                   /* "85 %"; of what is ahead never 0 or 100 */
printed size_of(double value, mc_component c); /* to one decimal: "1.4 mm", "6.5 deg" */

/* Append how many teeth one course is expected to leave outside their finishing tolerance beside
 * another: "0.9 teeth outside instead of 2.1", "1 tooth outside either way". */
void say_outside_instead(mc_proposal *out, double with, double without);

/* What a movement is called in a sentence: a translation by its direction ("distal", "extrusion"),
 * an angle by its name ("rotation"). */
const char *movement_word(mc_tooth tooth, mc_component c, bool positive);

/* How many teeth are told of one by one in a sentence. */
enum { TOLD_ONE_BY_ONE = 3 };
/* Append how many more teeth there are than were told of one by one. */
void say_more(mc_proposal *out, size_t count);

const char *arch_word(mc_arch arch); /* "upper", "lower" */

#endif
