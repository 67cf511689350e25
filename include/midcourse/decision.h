/* decision: from the score of a check-up to one proposal, by the first rule that holds. It
 * proposes; a doctor decides. */
#ifndef MIDCOURSE_DECISION_H
#define MIDCOURSE_DECISION_H

#include "midcourse/schedule.h"
#include "midcourse/tracking.h"

/* The proposals, in the order of their rules (1 to 11; finish belongs to rule 11). */
typedef enum mc_proposal_choice {
    MC_PROPOSE_EXAMINE,
    MC_PROPOSE_RESEAT,
    MC_PROPOSE_REPAIR,
    MC_PROPOSE_OPEN_CONTACT,
    MC_PROPOSE_REVIEW,
    MC_PROPOSE_TALK_WEAR,
    MC_PROPOSE_MEASURE,
    MC_PROPOSE_CORRECT,
    MC_PROPOSE_LOCAL,
    MC_PROPOSE_HOLD,
    MC_PROPOSE_CARRY_ON,
    MC_PROPOSE_FINISH
} mc_proposal_choice;
const char *
mc_proposal_name(mc_proposal_choice choice); /* "examine" ... "open-contact" ... "finish" */

/* What the doctor may choose; several may be combined. */
typedef enum mc_choice {
    MC_CARRY_ON,
    MC_HOLD,
    MC_GO_BACK,
    MC_LOCAL_MEASURES,
    MC_CORRECT,
    MC_FINISH,
    MC_CHOICES
} mc_choice;
const char *mc_choice_name(mc_choice choice); /* "carry-on" ... */
bool mc_choice_parse(const char *text, mc_choice *choice);

/* Why a correction became necessary, asked for at its signature. */
typedef enum mc_cause {
    MC_CAUSE_NONE,
    MC_CAUSE_WEAR,
    MC_CAUSE_CONTACT,
    MC_CAUSE_ATTACHMENT,
    MC_CAUSE_ALIGNER,
    MC_CAUSE_STAGING,
    MC_CAUSE_INTERFERENCE,
    MC_CAUSE_ELASTICS,
    MC_CAUSE_ROOT,
    MC_CAUSE_UNKNOWN
} mc_cause;
const char *mc_cause_name(mc_cause cause);
bool mc_cause_parse(const char *text, mc_cause *cause);

/* What an earlier check-up of the same plan contributes to the rules. */
typedef struct mc_earlier {
    const mc_score *score;
    bool wear_talked; /* low wear was decided on or talked about by then */
} mc_earlier;

/* Everything the rules look at. Pointers are the caller's. */
typedef struct mc_situation {
    const mc_settings *settings;
    const mc_plan *plan;
    const mc_score *score;        /* the check-up to judge */
    const mc_tooth_state *states; /* MC_TEETH of them, on that day */
    const mc_earlier *earlier;    /* earlier check-ups, oldest first, whatever their plan */
    size_t earlier_count;
    size_t earlier_on_plan;              /* how many of the last of those are on this plan */
    int baseline_mobility[MC_TEETH];     /* the tooth's own usual grade, -1 not known (then 0) */
    double baseline_recession[MC_TEETH]; /* mm at its first reading, NaN not known */
    double ipr_done[MC_TEETH][2];        /* mm recorded as done on mesial [0] and distal [1] */
    bool wear_talked;                    /* low wear was already talked about */
    int interval[MC_ARCHES];             /* days an aligner now */
    double overjet_above_plan;           /* mm, NaN not known */
} mc_situation;

typedef struct mc_proposal {
    mc_proposal_choice choice;
    int rule;           /* 1..11 */
    char sentence[900]; /* for people, with the rule's numbers */
    mc_tooth teeth[MC_TEETH];
    size_t count; /* teeth named, most urgent first */
    mc_arch arch; /* of a reseat; else MC_ARCHES */
    int days;     /* to hold, or the new interval for wear; 0 none */
    int to;       /* aligner to go to; -1 none */
} mc_proposal;

/* The proposal for a situation. */
void mc_propose(const mc_situation *situation, mc_proposal *out);

/* The teeth most worth reading next (largest weight x P(behind) x uncertainty first), at most
 * `most`. Teeth that move by the plan, stand and have no position read at this check-up. Returns
 * how many. */
size_t mc_worth_reading(const mc_situation *situation, size_t most, mc_tooth out[MC_TEETH]);

#endif
