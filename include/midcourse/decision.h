/* decision: from the score of a check-up to one proposal, by the first rule that holds. It
 * proposes; a doctor decides. The rules and their numbers are told in midcourse-method(7); where
 * their wording leaves something open, it is settled at mc_propose below. */
#ifndef MIDCOURSE_DECISION_H
#define MIDCOURSE_DECISION_H

#include "midcourse/restaging.h"
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
/* The same for people: "open contact", "talk about wear", "local measures". */
const char *mc_proposal_words(mc_proposal_choice choice);

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
/* The same for people: "go back", "local measures". */
const char *mc_choice_words(mc_choice choice);
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
const char *mc_cause_name(mc_cause cause); /* "none", "wear" ... "unknown" */
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
    double ipr_done[MC_TEETH][2];        /* mm of the plan's IPR recorded as done on mesial [0] and
                                            distal [1]; NaN where the practice does not record it:
                                            then none is called overdue */
    bool wear_talked;                    /* low wear was already talked about */
    int interval[MC_ARCHES];             /* days an aligner now; 0 not known */
    double overjet_above_plan;           /* mm, NaN not known */
    const mc_tracker *tracker;           /* has taken in everything up to this check-up */
    const mc_forecast *forecast;         /* of it, with the grip as found */
    mc_series series[MC_ARCHES];         /* as known on the day of the check-up */
    const mc_pose *exact;                /* of each tooth, MC_TEETH of them, read at the check-up by
                                            scan or landmarks; NaN where a component was not; NULL
                                            none */
    const mc_plan *draft;                /* the corrected series that stands ready, made from the
                                            positions of this check-up; NULL none */
    bool waiting;           /* the present aligners are worn only until a corrected series comes */
    int ordered[MC_ARCHES]; /* aligners of that series */
} mc_situation;

/* ---- options ---- */

/* What is to be weighed: choices that may be taken together. With neither hold nor go back nor
 * correct, the series is worn on; MC_FINISH: worn to its end, and corrected then. */
typedef struct mc_option_ask {
    unsigned choices; /* bit 1 << mc_choice for each */
    int days;         /* of a hold */
    int to;           /* aligner of a go-back; -1 none */
} mc_option_ask;

/* What a choice is expected to bring. NaN and MC_NO_DAY where it is not known. */
typedef struct mc_option {
    mc_option_ask ask;
    bool possible;  /* else why_not says why, and nothing below is known */
    bool failed;    /* not possible only for want of memory: nothing may rest on that */
    bool unweighed; /* not possible only in that nothing can be said of it: it may be chosen */
    char why_not[160];
    double expected_out;    /* teeth expected outside their finishing tolerance at the end */
    double p_all_in;        /* probability that every known tooth ends inside */
    int unknown;            /* teeth present of which no position was read on this plan */
    mc_day ends;            /* the day treatment ends */
    int days;               /* until then, from the check-up */
    int aligners;           /* still to begin, both arches together */
    int discarded;          /* of the present series, that will never be worn */
    int checkups;           /* to come until then */
    int stages[MC_ARCHES];  /* of the corrected series; 0: none */
    double p_out[MC_TEETH]; /* that a tooth ends outside; NaN where it is not known */
} mc_option;

/* Weigh one. What the words of the choices leave open:
 * - a hold pulls every known component that is short toward where the plan has it, by the fit of
 *   its tooth; where the gap was not read nothing is made up. What caps it is an aligner's limit,
 *   a week, of the whole shortfall of the tooth.
 * - going back is to one aligner number: every arch looked at that is past it goes, the other
 *   stays. Refused beyond reseat_back from the arch that is furthest on. A hold taken with it is
 *   on that aligner, whose fit was not read: its days count, but nothing is made up by them.
 * - local measures give every tooth its grip, whichever are named; they make up nothing by
 *   themselves, so a tooth that kept its grip ends as by carrying on.
 * - lengths of a corrected series are those of mc_restage from the exact positions, where those of
 *   the check-up are what it would be made from (corrected now, with no hold or go-back before), as
 *   a draft is; else from the positions as estimated (planned where nothing was read; by the dates
 *   in an arch that was not looked at), without a look at overlaps. Its aligners are worn as long
 * as those of the present series and take laboratory_days to come; with nothing to be made, none.
 * Assumed of it: its poses are taken by scan on the day it is made from (after a hold taken with
 * it), new aligners fit, so grip returns, and what is not known of a pose until then is planned for
 * once it is scanned. Teeth move in it at the share that was learnt of them.
 * - where a draft stands ready, correcting now (with no hold or go-back before) is that very
 * series: its aligners, its dates, and its ends. A tooth that it leaves where it is counts as it
 * stands to the present plan's end; one that ends beyond that end, by at most overcorrect_percent
 * of what remains, is taken as overcorrected: it counts by the present plan's end, not by the
 * draft's.
 * - finishing first carries everything to the end of the series and corrects from there, the
 *   poses as expected.
 * Dates are those of the series, check-ups one every checkup_weeks until the end, the last
 * counted. Refused: a hold below one day or above MC_MOST_HOLD_DAYS, correct and finish together,
 * and either without a known interval. While a corrected series is on its way the present one is
 * not worn on, so nothing can be said but of correcting anew, which discards the ordered one. */
void mc_option_of(const mc_situation *situation, const mc_option_ask *ask, mc_option *out);

/* The longest hold that is decided on. */
enum { MC_MOST_HOLD_DAYS = 60 };
/* The usual options side by side: carry on; hold hold_days and twice that; go back, one to
 * reseat_back aligners; local measures; correct now; finish, then correct. Those that cannot be
 * taken are left out, but for correct and finish. Returns how many; 0 for want of memory too, as a
 * list with gaps would be taken for whole. */
enum { MC_MOST_OPTIONS = 32 };
size_t mc_compare(const mc_situation *situation, mc_option out[MC_MOST_OPTIONS]);
/* "hold 7 days", "go back to aligner 11", "finish, then correct". */
enum { MC_OPTION_WORDS_SIZE = 96 };
void mc_option_words(const mc_option_ask *ask, char out[MC_OPTION_WORDS_SIZE]);

typedef struct mc_proposal {
    mc_proposal_choice choice;
    int rule;           /* 1..11 */
    char sentence[900]; /* for people, with the rule's numbers */
    mc_tooth teeth[MC_TEETH];
    size_t count; /* teeth named, most urgent first */
    mc_arch arch; /* of a reseat; else MC_ARCHES */
    int days;     /* to hold, or the new interval for wear; 0 none */
    int to;       /* aligner to go to; -1 none */
    bool failed;  /* for want of memory what it rests on was not worked out: it is none */
} mc_proposal;

/* The proposal for a situation. Only teeth present count. What the rules' wording leaves open:
 *  1 mobility of examine_mobility counts on every tooth, of examine_mobility_own on permanent
 *    ones where it is above their own; a deciduous tooth known to be shedding may be loose.
 *    Recession counts only where the first reading is known.
 *  2 the share is of the teeth of that arch whose seat gap was read, however few. The arch with
 *    the larger gap is proposed, the upper of equals; `to` is the highest aligner below the
 *    present one that seated on every tooth read at the last reseat_back check-ups on this plan.
 *  3 what is left is from the position as estimated (planned where never read on this plan) to
 *    the plan's end; the movements that need grip however small count where the plan makes them.
 *  4 tight contacts count on teeth slipping, behind or stalled; IPR that is due on every tooth.
 *  5 the unweighted index of what is past plan or drifting, on teeth in one of these states.
 *  6 once low wear was talked about the rule no longer holds, so that those after it are heard.
 *  7 does not hold where the plan has moved no tooth that far.
 *  8 in an arch with enough aligners left; wear that was not said does not stand in the way. A
 *    stalled tooth counts only where attachment (or the plan has none), seat gap and wear were
 *    said at this check-up and are good. Three aligners that do not seat are three different
 *    ones, as last seen at check-ups on this plan, each with a gap above reseat_small_gap_mm. The
 *    comparison with finishing first is that of mc_option_of and is said as it is, also where one
 *    of the two gains is a loss; where no forecast can be made, or one of the two is not
 *    possible, it stands in nobody's way, and the sentence says so.
 *  9, 10 say how the teeth they name are expected to end (the component furthest out, in finishing
 *    tolerances) and what holding brings, where that can be forecast. They do not hold where
 *    every tooth behind is within its finishing tolerance of the target, in every component:
 *    those are rule 11's, which then says finish, however much is left. "The rest seating": no
 *    other tooth was read with a gap of reseat_small_gap_mm or more.
 * 11 finish where every arch with a series that was looked at is in its last part. The sentence
 *    says how many teeth were measured, and where none was, that nothing is known. Named before
 *    all others are teeth of which a component is expected beyond its finishing tolerance, with a
 *    p_out of the tooth of at least name_probability, while name_series_left of their arch's
 *    series is left; the furthest out first.
 * While a corrected series is on its way only rules 1, 2, 3 and 6 are asked, and neither an
 * interval nor a hold is spoken of, as the aligners are held anyway; else rule 11 says to wait:
 * MC_PROPOSE_CARRY_ON, naming the aligners that are worn until then. */
void mc_propose(const mc_situation *situation, mc_proposal *out);

/* The teeth most worth reading next (largest weight x P(behind) x uncertainty first, of equals in
 * chart order), at most `most`. Teeth that move by the plan, stand, have no position read at this
 * check-up, in an arch whose stage is known. P(behind) is of a shortfall of one tracking tolerance,
 * uncertainty the SD in tolerances: from the estimate where a component was read before on this
 * plan, else from the planned leg so far and the published share. An ordering of our own, no
 * evidence. Returns how many. */
size_t mc_worth_reading(const mc_situation *situation, size_t most, mc_tooth out[MC_TEETH]);

#endif
