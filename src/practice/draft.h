/* The inside of a check-up at the chair: its steps, what they come to, and its assessment. */
#ifndef PRACTICE_DRAFT_H
#define PRACTICE_DRAFT_H

#include "assess.h"

/* What steps come to, one after the other. */
typedef struct {
    mc_checkup checkup; /* as it would be completed; rows and note are those below */
    char *note;         /* room for MC_NOTE_SIZE */
    mc_reading *rows;   /* in chart order, without those that say nothing */
    struct {
        mc_reading *row;
        int count, room;
    } of[MC_TEETH]; /* every row of a tooth, those that say nothing among them */
} draft_contents;

struct mc_draft {
    mc_practice *practice;
    mc_case kase;
    mc_checkup_info begun; /* its frame as it was begun, or as prepared; no rows, no note */
    bool on_record, ended;
    bool stale; /* memory lacked to work out contents and assessment from the steps again */
    mc_step *steps;
    size_t count, undone; /* of the steps; the undone ones are the last */
    draft_contents contents;
    replay replay;
    mc_assessment *a;
    double last[MC_TEETH][MC_COMPONENTS]; /* readings before this check-up on this plan */
    int64_t change;                       /* of the record, when it was last seen to be so */
};

/* ---- contents ---- */

/* Begin again with the frame alone. */
void draft_contents_clear(draft_contents *contents, const mc_checkup *frame);
mc_status draft_contents_new(draft_contents *contents, mc_error *error);
void draft_contents_free(draft_contents *contents);
/* Take one step, which can be. plan and states say which teeth the rest are. */
mc_status draft_take(draft_contents *contents, const mc_step *step, const mc_plan *plan,
                     const mc_tooth_state states[MC_TEETH], mc_error *error);
/* Whether it is a reading, which stands on a row of its own; the rest stands on the first. */
bool draft_is_reading(const mc_step *step);
/* Whether the step would change anything. */
bool draft_changes(const draft_contents *contents, const mc_step *step, const mc_plan *plan,
                   const mc_tooth_state states[MC_TEETH]);
/* Put the rows together after steps were taken. */
mc_status draft_gather(draft_contents *contents, mc_error *error);
/* Row `row` of the tooth, an empty one where there is none. */
mc_reading draft_row(const draft_contents *contents, mc_tooth tooth, int row);

/* ---- what may be entered ---- */

/* Refuses a step that cannot be, for the person at the chair. */
mc_status draft_check_step(const mc_draft *draft, const mc_step *step, mc_error *error);
/* Whether it is unlikely; then error tells plan and last reading. */
bool draft_doubts(const mc_draft *draft, const mc_step *step, mc_error *error);
/* Refuses contents of which something cannot be with their aligners, naming it. */
mc_status draft_check_kept(const mc_draft *draft, const draft_contents *contents, mc_error *error);
/* Refuses values of teeth that the case no longer has. */
mc_status draft_check_teeth(const draft_contents *contents, const mc_tooth_state states[MC_TEETH],
                            mc_error *error);

/* ---- words ---- */

/* A step as a person would say it: "12 rotation 2.5 deg short". */
void draft_step_text(const mc_step *step, char out[MC_STEP_TEXT_SIZE]);
const char *draft_arch_name(mc_arch arch); /* "upper", "lower" */

#endif
