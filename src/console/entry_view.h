/* The check-up form's parts. What was entered lives in the draft, on record; here is only where the
 * cursor stands and what is being typed. */
#ifndef CONSOLE_ENTRY_VIEW_H
#define CONSOLE_ENTRY_VIEW_H

#include "chart_view.h"

/* The passes: what keys are about. */
typedef enum entry_pass {
    ENTRY_FIT,      /* seat gap after seat gap */
    ENTRY_READ,     /* the positions of one tooth, then of the next most worth reading */
    ENTRY_RELATIVE, /* the same, read against the neighbours */
    ENTRY_FINDINGS, /* one finding of a tooth, then back */
    ENTRY_FRAME     /* aligners, days, wear, method, note */
} entry_pass;

/* The fields of a tooth, as they stand on the screen. */
enum {
    FIELD_NONE = -1,
    FIELD_GAP,
    FIELD_COMPONENT, /* and the five after it */
    FIELD_LAST_COMPONENT = FIELD_COMPONENT + MC_COMPONENTS - 1,
    FIELD_ATTACHMENT,
    FIELD_CONTACT_MESIAL,
    FIELD_CONTACT_DISTAL,
    FIELD_MOBILITY,
    FIELD_PAIN,
    FIELD_SWELLING,
    FIELD_RECESSION,
    FIELD_RELATIVE, /* and the six after it, in the place of gap and components */
    FIELD_LAST_RELATIVE = FIELD_RELATIVE + MC_RELATIVES - 1
};

/* The fields of the check-up's frame, from above. */
enum {
    FRAME_UPPER,
    FRAME_UPPER_DAY,
    FRAME_LOWER,
    FRAME_LOWER_DAY,
    FRAME_WEAR,
    FRAME_METHOD,
    FRAME_NOTE,
    FRAME_FIELDS
};

/* What the key before this one was, where a point or comma right behind it tells that an instrument
 * is typing a number. */
typedef enum entry_last {
    LAST_OTHER,
    LAST_GAP,    /* a digit taken as a gap: take it back, the number begins with it */
    LAST_CHOICE, /* a digit taken as a choice: take it back, the number is for no field */
    LAST_LOST    /* a digit that meant nothing, or a tooth: the number is for no field */
} entry_last;

enum { TYPED_SIZE = 24 };

typedef struct entry {
    mc_draft *draft;
    mc_assessment shown; /* the draft's, as of the last call that changed it; not owned */
    chart_view chart;    /* on shown; its cursor is the form's */
    void (*after)(console *con, void *below);
    entry_pass pass, pass_before; /* before the findings or the frame */
    int field, field_before;      /* of the tooth, or of the frame */
    int row;                      /* of the tooth's readings, from 0 */
    mc_relative kind;             /* of the readings against a neighbour, its mesial one: on another
                                     tooth the cursor goes to the same */
    bool as_observed;             /* positions are typed as observed, not as short of plan */
    bool passed[MC_TEETH];        /* gone through in the reading pass: not offered again */
    char typed[TYPED_SIZE];
    bool refused; /* what is typed was refused: the next digit begins anew */
    entry_last last;
    mc_tooth last_tooth; /* of LAST_GAP */
    int last_row;        /* the reading of it */
    char last_digit;
    bool swallowing;      /* a number that is for no field goes by, until its Enter */
    bool jumping;         /* t was typed: two digits of a tooth come */
    char jump_digit;      /* the first of them, 0 before it */
    bool at_end;          /* the last tooth of the fit pass is said */
    bool reviewing;       /* what is to be completed is listed beside the question */
    mc_warnings warnings; /* of the whole check-up, to be accepted */
    mc_step doubtful;
    bool stepped; /* the last value entered made a step: one that was said already makes none */
    int number;   /* of the check-up */
    bool begun;   /* it is on record */
    bool gone;    /* ended by what somebody else did: the form can only be left */
} entry;

/* ---- what the form knows ---- */

/* After anything that may have changed the draft. */
void entry_take_in(entry *e);
bool entry_typing(const entry *e);
void entry_drop_typed(entry *e);
/* Whether gaps are read in this arch: it has a series, and its aligner is known. */
bool entry_takes_gaps(const entry *e, mc_arch arch);
/* The row under the cursor, NULL where nothing is said in it. */
const mc_reading *entry_row(const entry *e);
/* The first gap said of a tooth, NaN where none is; *bulk: said of all the rest at once. */
double entry_gap(const entry *e, mc_tooth tooth, bool *bulk);
bool entry_has_position(const entry *e, mc_tooth tooth);
bool entry_has_findings(const entry *e, mc_tooth tooth);
/* Whether the component has a leg by now, so that it can be short of it. */
bool entry_has_leg(const console *con, const entry *e, mc_tooth tooth, mc_component c);
/* ---- readings against a neighbour ---- */

/* What a reading can be compared with. */
typedef enum entry_baseline {
    BASELINE_KNOWN,
    BASELINE_NOW,       /* this check-up is the baseline */
    BASELINE_NONE,      /* it was not read at aligner 0 */
    BASELINE_OF_ANOTHER /* the tooth stood beside another one then */
} entry_baseline;
entry_baseline entry_baseline_of(const entry *e, mc_tooth tooth, mc_relative what);
/* Whether their table stands in the place of the positions'. */
bool entry_shows_relatives(const entry *e);
mc_tooth entry_neighbour(const entry *e, mc_tooth tooth, mc_relative what);
/* The mesial one of those of its kind. */
mc_relative entry_kind_of(mc_relative what);
/* From this field on, by steps of +1 or -1, the first that the tooth has a neighbour for;
 * FIELD_NONE where no further one has. */
int entry_relative_from(const entry *e, int field, int step);
/* To the first of this kind on the tooth, or after it; to the next kind. */
void entry_first_relative(entry *e);
void entry_next_kind(entry *e);
/* Where a field stands: its column, how far its point stands from there, its width. */
void entry_relative_place(int field, int *col, int *point, int *cols);
void entry_draw_relatives(const console *con, const entry *e, area box);

/* Whether a step of this kind stands (for aligners and days: of this arch). */
bool entry_was_entered(const entry *e, mc_step_what what, mc_arch arch);

typedef struct entry_counts {
    int teeth;     /* of which a gap can be read */
    int gaps;      /* said of them */
    int bulk;      /* of those, said of all the rest at once */
    int positions; /* teeth with a position read */
    int findings;  /* teeth with anything found */
} entry_counts;
entry_counts entry_count(const entry *e);

/* ---- moving ---- */

/* All teeth that stand, as one goes through a mouth: the upper arch from the patient's right, then
 * the lower from the left. Returns how many. */
int entry_walk(const entry *e, mc_tooth out[MC_TEETH]);
void entry_go(entry *e, mc_tooth tooth);
/* To the tooth after this in the walk; more says which, or why there is none. */
void entry_next_tooth(const console *con, entry *e, char *more, size_t size);
/* The first of the walk whose gap can be read and is not said; MC_NO_TOOTH where none is left. */
mc_tooth entry_first_unsaid(const entry *e);
/* To the next tooth most worth reading, in the reading pass; false where none is left. */
bool entry_offer(entry *e);
/* The same, whichever way it is read. */
bool entry_offer_in(entry *e, entry_pass pass);
/* The teeth most worth reading that were not gone through yet. */
size_t entry_worth(const entry *e, mc_tooth out[MC_MOST_WORTH]);
void entry_set_pass(entry *e, entry_pass pass, int field);
/* From findings or frame back to where one was. */
void entry_step_back(entry *e);

/* ---- entering ---- */

/* Enter one value. Where it is refused says so, and where it is doubtful asks. */
bool entry_enter(console *con, entry *e, const mc_step *step, bool sure);
/* Say what was refused. What was typed since is forgotten: it was meant for what comes after the
 * refused value, and would land in its place. */
void entry_refuse(console *con, const mc_error *error);
/* A step that says nothing yet about the field under the cursor. */
mc_step entry_step(const entry *e);
/* The same, taking the field's value away. */
mc_step entry_step_away(const entry *e);
/* From one position to the next, from the sixth to the next tooth most worth reading; more says so.
 */
void entry_next_position(const console *con, entry *e, char *more, size_t size);
/* The same among the readings against a neighbour. */
void entry_next_relative(const console *con, entry *e, char *more, size_t size);
/* Commit what is typed and move on. */
void entry_commit(console *con, entry *e);
/* Say that a step was entered, and what the tooth is now. more may be "". */
void entry_say_entered(console *con, const entry *e, const mc_step *step, const char *more);
/* Put the cursor where a step was entered. */
void entry_go_to_step(entry *e, const mc_step *step);

/* ---- keys ---- */

extern const key_row ENTRY_KEYS[];
extern const char ENTRY_TYPING[];
void entry_typed(console *con, void *self, int key);
void entry_ask_complete(console *con, void *self);
void entry_ask_discard(console *con, void *self);
/* Say a gap of the tooth under the cursor; digit: the key that said it, 0 where another did. */
void entry_say_gap(console *con, entry *e, double gap, char digit);
void entry_jump_text(console *con, void *screen, const char *text);
/* Leave a form whose check-up somebody else completed or threw away. False where it is not so. */
bool entry_left_gone(console *con, entry *e);
/* A key that is no part of a number: false, and says so, where a number is typed but not entered.
 */
bool entry_ready(console *con, entry *e);

/* ---- words ---- */

enum { STEP_WORDS = 200 };
void entry_step_words(const console *con, const entry *e, const mc_step *step,
                      char out[STEP_WORDS]);
/* "12 step to 11", "12 crown angle". */
void entry_relative_name(const console *con, const entry *e, mc_tooth tooth, mc_relative what,
                         char *out, size_t size);
/* What the field under the cursor takes; shown where nothing else is to be said. */
void entry_hint(const console *con, const entry *e, char *out, size_t size);
/* "1 intact  2 worn ..." of a field of choices, "" where the field is none. */
void entry_choices(int field, char *out, size_t size);
/* How many choices there are: digits 0 to this. 0 where the field is none. */
int entry_most_choice(int field);
/* A finding in a word, "" where it is not said. */
void entry_finding(const mc_reading *reading, int field, char *out, size_t size);
const char *entry_frame_name(int field);

/* ---- layout and parts ---- */

typedef struct entry_layout {
    area upper, lower, rule; /* where the chart has them */
    area side[MC_ARCHES];    /* right of the arches: the check-up's frame */
    area heading, table, findings;
    area whole, proposal, caution;
    area block; /* heading, table and findings together */
    area words, trend, said, sentences;
} entry_layout;
entry_layout entry_lay_out(area body);

void entry_draw_gaps(const console *con, const entry *e, mc_arch arch, area box);
void entry_draw_side(const console *con, const entry *e, mc_arch arch, area box);
void entry_draw_heading(const console *con, const entry *e, area box);
void entry_draw_table(console *con, const entry *e, area box);
void entry_draw_findings(console *con, const entry *e, area box);
void entry_draw_frame(console *con, const entry *e, area box);
void entry_draw_whole(const console *con, const entry *e, area box);
void entry_draw_proposal(const console *con, const entry *e, area box);
void entry_draw_said(const console *con, const entry *e, area box);
void entry_draw_review(const console *con, const entry *e, area box);
/* The field under the cursor: what is typed in it, else what stands there; the terminal's cursor.
 */
void entry_draw_box(console *con, const entry *e, area box);

void entry_marks(console *con, void *self, pager *page);

#endif
