/* practice: what people do, one function each, and what they look at. The only caller of record
 * that writes: every action is one transaction with its journal entry, and either happens whole or
 * not at all. Console and commands are thin over this room. */
#ifndef MIDCOURSE_PRACTICE_H
#define MIDCOURSE_PRACTICE_H

#include "midcourse/exchange.h"

/* An open record, the day it is, and who is at the keyboard. */
typedef struct mc_practice mc_practice;

/* Open a practice's record. today is asked once, at the edge. */
mc_status mc_practice_open(const char *path, mc_day today, mc_practice **out, mc_error *error);
/* Make a new one with its first doctor. */
mc_status mc_practice_make(const char *path, mc_day today, const char *doctor,
                           const char *passphrase, mc_practice **out, mc_error *error);
void mc_practice_close(mc_practice *practice);
mc_day mc_practice_today(const mc_practice *practice);
/* For reading only: people, journal, backup, verify. */
mc_record *mc_practice_record(mc_practice *practice);
/* Who acts from now on; refuses an unknown or retired person. */
mc_status mc_practice_act_as(mc_practice *practice, const char *initials, mc_error *error);
/* The person acting; false where nobody is named. */
bool mc_practice_actor(const mc_practice *practice, mc_person *out);

/* ---- people, settings ---- */

/* A doctor adds and retires people and changes settings. Adding or retiring a doctor is signed: it
 * needs the acting doctor's own passphrase (else NULL will do), besides the new person's. */
mc_status mc_staff_add(mc_practice *practice, const char *initials, mc_role role,
                       const char *new_passphrase, const char *passphrase, mc_error *error);
mc_status mc_staff_retire(mc_practice *practice, const char *initials, const char *passphrase,
                          mc_error *error);
/* kase NULL: for the whole practice. *set is the new set's number. */
mc_status mc_settings_change(mc_practice *practice, const mc_case *kase, const char *key,
                             double value, const char *reason, int64_t *set, mc_error *error);

/* ---- cases ---- */

/* "NUMBER" or "NUMBER/2"; refuses an unknown case. */
mc_status mc_case_find(mc_practice *practice, const char *label, mc_case *out, mc_error *error);
enum { MC_LABEL_SIZE = MC_CHART_SIZE + 12 }; /* room for a chart number, a slash and any number */
/* The same label for a case: "1001", or "1001/2" for a second course. */
void mc_case_label(const mc_case *kase, char out[MC_LABEL_SIZE]);
/* states: of all 52 teeth (see mc_usual_teeth). */
mc_status mc_case_open(mc_practice *practice, const char *chart, const char *name, mc_day born,
                       const mc_tooth_state states[MC_TEETH], mc_case *out, mc_error *error);
/* All 32 permanent teeth present, all deciduous missing. */
void mc_usual_teeth(mc_tooth_state states[MC_TEETH]);
mc_status mc_case_close(mc_practice *practice, const mc_case *kase, mc_error *error);
mc_status mc_case_set_tooth(mc_practice *practice, const mc_case *kase, mc_tooth tooth,
                            mc_tooth_state state, mc_day from, mc_error *error);

/* ---- plans ---- */

typedef struct mc_plan_import {
    const char *data; /* of the plan file */
    size_t size;
    mc_notation notation;
    mc_day start;
    int interval[MC_ARCHES]; /* days an aligner */
    bool accept_warnings;
} mc_plan_import;

enum { MC_USUAL_INTERVAL = 14 }; /* days an aligner, where nothing else is said */

/* Read and judge what mc_import_plan would import, changing nothing; warnings are not refused.
 * *plan is the caller's to free, NULL after a refusal. */
mc_status mc_look_at_plan(mc_practice *practice, const mc_case *kase, const mc_plan_import *what,
                          mc_plan **plan, mc_warnings *warnings, mc_error *error);
/* Import the case's first plan (a later one is opened by a signed correction). Refuses, with the
 * warnings filled in, a plan that has any unless they are accepted. */
mc_status mc_import_plan(mc_practice *practice, const mc_case *kase, const mc_plan_import *what,
                         mc_plan_info *out, mc_warnings *warnings, mc_error *error);

/* ---- a corrected series on its way ---- */

/* Record, by a doctor or an assistant, that the case's corrected series was delivered on a day. The
 * last word holds. Refused in plain words: where no corrected plan is in force, a day before it was
 * signed, after today, or after its first day, and while a check-up is being entered. */
mc_status mc_plan_delivered(mc_practice *practice, const mc_case *kase, mc_day day,
                            mc_error *error);
/* The days on which the first aligners of its arches were begun, or are going to be (at most
 * MC_MOST_AHEAD days from today); MC_NO_DAY leaves an arch as it is. Refused besides: before it was
 * delivered; where a check-up found an aligner of the arch's new series worn, or none on a later
 * day; where check-ups would be on the wrong side of the plan's first day. A check-up of the old
 * series on the very day is as it should be. */
enum { MC_MOST_AHEAD = 60 };
mc_status mc_plan_begin(mc_practice *practice, const mc_case *kase, const mc_day first[MC_ARCHES],
                        mc_error *error);
/* They are expected on other days, from today on, than was said: the laboratory is late. Refused
 * besides where the arch's first day is recorded. */
mc_status mc_plan_expect(mc_practice *practice, const mc_case *kase, const mc_day first[MC_ARCHES],
                         mc_error *error);
/* What is said of it at once, on a page: where delivered is a day, that and the first days after it
 * (mc_plan_delivered where it is another day than before, mc_plan_begin); where it is MC_NO_DAY, on
 * which days it is expected. */
typedef struct mc_plan_said {
    mc_day delivered;
    mc_day first[MC_ARCHES];
} mc_plan_said;
/* Refuse what of it would be refused, changing nothing; then record it. */
mc_status mc_plan_said_check(mc_practice *practice, const mc_case *kase, const mc_plan_said *said,
                             mc_error *error);
mc_status mc_plan_said_record(mc_practice *practice, const mc_case *kase, const mc_plan_said *said,
                              mc_error *error);

/* ---- check-ups ---- */

typedef struct mc_checkup_import {
    const char *data; /* of the check-up file */
    size_t size;
    mc_notation notation;
    mc_day date;
    int aligner[MC_ARCHES]; /* MC_NO_ALIGNER: not given */
    int day[MC_ARCHES];     /* negative: not known */
    double wear_hours;      /* NaN: not said */
    mc_method method;
    const char *note; /* NULL: none; an amendment keeps the one before, which "" takes away */
    bool accept_warnings;
} mc_checkup_import;

/* Enter and complete a check-up from a file. *number is its number. */
mc_status mc_import_checkup(mc_practice *practice, const mc_case *kase,
                            const mc_checkup_import *what, int *number, mc_warnings *warnings,
                            mc_error *error);
/* A new version of check-up `number` with other readings, beside the old; date, aligners and method
 * stay, and so does the note unless `what` has another. */
mc_status mc_amend_checkup(mc_practice *practice, const mc_case *kase, int number,
                           const mc_checkup_import *what, const char *reason, int *version,
                           mc_warnings *warnings, mc_error *error);

/* ---- what the computation says ---- */

/* The change from a plan to the one that was made from one of its check-ups. The new plan is worn
 * from the first of its arches' first days on, as recorded or expected; until then the aligners of
 * the old one are kept, check-ups are read on the old plan, and nothing of it advances. Where one
 * arch begins later than the other, it has aligner 0 of the new series meanwhile and keeps its old
 * aligner until its own first day. What was read while waiting is never part of the new plan: that
 * starts at the poses of the check-up it was made from. */
typedef struct mc_turn {
    bool corrected; /* all below is said: the case's active plan was made from a check-up, and the
                       assessed plan is that one or, from that check-up on, the one before */
    bool waiting;   /* the assessed plan is worn only until `next` comes, on the day asked for */
    mc_plan_info next; /* the active plan, with its first days */
    int stages[MC_ARCHES];
    mc_day since;         /* day of the check-up from which on the old aligners are kept */
    int wears[MC_ARCHES]; /* the old aligner that is kept until the arch's first day; MC_NO_ALIGNER
                             where the arch had no series */
    bool seen_begun[MC_ARCHES]; /* a check-up found an aligner of the arch's new series worn */
    int checkup_days;  /* from its first day to the check-up after it, by today's settings */
    bool read_waiting; /* (always said) the assessed check-up was made while one was awaited */
} mc_turn;

/* A case with its plan, one check-up scored, and the proposal. Free with mc_assessment_free. */
typedef struct mc_assessment {
    mc_case kase;
    mc_tooth_state states[MC_TEETH]; /* on the check-up's day; today where there is none */
    bool has_plan;
    mc_plan_info
        info; /* of the plan the check-up is on; the one that is worn where there is none */
    mc_plan *plan;
    mc_turn turn;
    mc_series series[MC_ARCHES];    /* as known from the plan, the check-ups up to this one and the
                                       decisions */
    mc_series undecided[MC_ARCHES]; /* the same before what was decided on this check-up */
    mc_settings settings;           /* the set it was scored with */
    int64_t settings_set;
    size_t checkups; /* of the case: scores[0..checkups-1] are check-ups 1, 2, ... up to this one */
    mc_score *scores;               /* each with the readings up to it */
    const mc_score *score;          /* the last of those; NULL where nothing was ever read */
    mc_checkup_info checkup;        /* the same one's readings, when score is not NULL */
    size_t checkups_before_on_plan; /* how many of the scores before the last are on this plan */
    int behind_since[MC_TEETH];     /* number of the first check-up of the present unbroken run of
                                       behind or stalled; 0 none */
    int last_number;                /* number of the case's last check-up, 0 none */
    bool has_proposal;
    mc_proposal proposal;       /* only when has_proposal */
    mc_tracker *tracker;        /* has taken in all up to the check-up; NULL where score is NULL */
    mc_forecast forecast;       /* where score is not NULL, with the grip as found */
    mc_pose exact[MC_TEETH];    /* where score is not NULL: as read at the check-up by scan or
                                   landmarks, NaN where a component was not */
    mc_arches measured;         /* of an arch with measured_at: see mc_assess_arches */
    int measured_at[MC_ARCHES]; /* number of the check-up whose poses it was measured at; 0: it was
                                   not */
    mc_decision
        *decisions; /* signed decisions of the case, oldest first, without evidence and hash */
    size_t decision_count;
    bool decision_due; /* this is the last check-up and no decision was signed on it */
} mc_assessment;

/* number 0: the last check-up on the plan that is worn today: the active one, or the one before it
 * while that is awaited (score is NULL where nothing was read on it yet; scores then hold those on
 * the plans before), or of the case where no plan is active.
 * current_settings: today's set instead of the one remembered. */
mc_status mc_assess(mc_practice *practice, const mc_case *kase, int number, bool current_settings,
                    mc_assessment **out, mc_error *error);
void mc_assessment_free(mc_assessment *assessment);

/* The options on the assessed check-up side by side; 0 where score is NULL, and for want of memory.
 */
size_t mc_assess_options(const mc_assessment *a, mc_option out[MC_MOST_OPTIONS]);
/* One of them, whatever is combined; not possible where score is NULL. */
void mc_assess_option(const mc_assessment *a, const mc_option_ask *ask, mc_option *out);
/* The same where a corrected series stands ready, which correcting now then is (NULL: none). */
size_t mc_assess_options_with(const mc_assessment *a, const mc_plan *draft,
                              mc_option out[MC_MOST_OPTIONS]);
void mc_assess_option_with(const mc_assessment *a, const mc_plan *draft, const mc_option_ask *ask,
                           mc_option *out);

/* Where the crowns of the assessed plan's arches stand: as measured at one of its check-ups, the
 * last of those up to this one, or at the one that the plan was made from, when its teeth were at
 * that check-up's poses (by scan or landmarks where read so, else as estimated then, else planned);
 * else estimated at the plan's last poses, all of its IPR done. A measured arch that lacks a tooth
 * which stands now does not count. Without a plan no crown stands. */
void mc_assess_arches(const mc_assessment *a, mc_arches *out);

/* Where a tooth was at the assessed check-up, from the plan's stage 0: by scan or landmarks where
 * read so, else as estimated, else planned; all zero where nothing was read on the plan. */
mc_pose mc_assess_pose(const mc_assessment *a, mc_tooth tooth);

/* Take an arch position file (midcourse-arch(5)) to a check-up: the last, or `number`. Refuses,
 * with line and column, what is wrong with the file; a closed case; a check-up at which some
 * tooth's place is not known at all, as its aligner was not said. *out is what was kept. */
mc_status mc_import_arch(mc_practice *practice, const mc_case *kase, const char *data, size_t size,
                         mc_notation notation, int number, mc_measured_arch *out, mc_error *error);

/* What has to be seen on a tooth that is to be examined. */
typedef enum mc_tooth_finding {
    MC_FOUND_NOTHING,
    MC_FOUND_PAIN,
    MC_FOUND_SWELLING,
    MC_FOUND_MOBILITY,
    MC_FOUND_RECESSION
} mc_tooth_finding;

/* A corrected series, while one or both arches wait for it, on a day. */
typedef struct mc_awaited {
    bool series[MC_ARCHES];   /* the arch has one in the corrected plan */
    bool waits[MC_ARCHES];    /* and its first day is to come; else the next three mean nothing */
    mc_day first[MC_ARCHES];  /* that day */
    bool recorded[MC_ARCHES]; /* it is recorded, not only expected */
    int wears[MC_ARCHES];     /* the old aligner that the arch wears until then; MC_NO_ALIGNER
                                 where it had no series */
    mc_day delivered;         /* MC_NO_DAY: not recorded */
    bool not_recorded[MC_ARCHES]; /* the expected first day has passed, and no first day was
                                     recorded: the dates go on as if it had been kept */
    int waits_days; /* for how long the old aligners are kept, in all; 0 where none waits */
} mc_awaited;
/* What is awaited on a day. */
void mc_await(const mc_turn *turn, mc_day on, mc_awaited *out);
/* Whether an arch waits. */
bool mc_awaits(const mc_awaited *awaited);
/* "waiting: wears upper 12; new series expected 2026-12-16"; "first day not recorded"; "" where
 * there is nothing to tell. */
enum { MC_WAITING_TEXT_SIZE = 200 };
void mc_waiting_text(const mc_awaited *awaited, char out[MC_WAITING_TEXT_SIZE]);
/* The last aligner serves as an interim retainer for at most so many days: common practice. */
enum { MC_MOST_INTERIM_DAYS = 28 };
/* "the last aligner serves for at most 28 days meanwhile; this wait is 35", a caution where the
 * wait is longer; "" where it is not. */
enum { MC_INTERIM_TEXT_SIZE = MC_WAITING_TEXT_SIZE };
void mc_waiting_caution(const mc_awaited *awaited, char out[MC_INTERIM_TEXT_SIZE]);

/* One line of the worklist. */
typedef struct mc_roster_row {
    mc_case kase;
    int aligner[MC_ARCHES]; /* by the dates; MC_NO_ALIGNER where the arch has no series */
    int stages[MC_ARCHES];  /* of the series that aligner is of */
    mc_awaited awaited;     /* a corrected series; the next change is then its first day */
    mc_day next_change, next_checkup, last_checkup; /* MC_NO_DAY where none */
    mc_tooth worst;                                 /* MC_NO_TOOTH when nothing was read */
    int worst_item;   /* of that tooth: MC_WORST_SEAT_GAP or a component */
    int worst_way;    /* +1 or -1: which way it has to go to reach its plan; 0 unknown, or a gap */
    double lag_index; /* NaN when nothing was read */
    mc_state state;   /* the worst state of any tooth; unmeasured when nothing was read */
    bool decision_due;
    bool has_plan, has_proposal;
    mc_proposal_choice proposal;
    int count[MC_STATES]; /* teeth by state at the last check-up */
    char reasons[400];    /* why it stands where it stands: phrases separated by "; " */
    int urgency;  /* larger is more urgent; rows come in falling order, then by chart number */
    int entering; /* number of the check-up that is being entered; 0 none */
    bool unread;  /* only kase and entering are known yet: see mc_roster_fill */
    mc_tooth_finding found;    /* what has to be examined, and on which tooth; nothing where the */
    mc_tooth found_on;         /* proposal is another */
    double pace_mean, pace_sd; /* the mouth's pace at its last check-up; NaN where it has none */
} mc_roster_row;

/* The open cases, most urgent first (free with free()). */
mc_status mc_roster(mc_practice *practice, mc_day on, mc_roster_row **out, size_t *count,
                    mc_error *error);

/* The same in steps, for who cannot wait. The open cases by chart number (free with free()): the
 * rows of cases that have not changed since they were last looked at are filled, from summaries
 * kept in the record; the others are unread. */
mc_status mc_roster_begin(mc_practice *practice, mc_day on, mc_roster_row **out, size_t *count,
                          mc_error *error);
/* Read these rows' cases anew and fill the rows, about a millisecond each. What was computed is
 * kept in the record where that can be done without waiting. A case closed meanwhile has
 * kase.closed afterwards. On failure all rows are filled all the same: that which could not be
 * scored is the most urgent, and its reasons say why. */
mc_status mc_roster_fill(mc_practice *practice, mc_day on, mc_roster_row *const *rows, size_t count,
                         mc_error *error);
/* The practice's pace: how much more or less of what is planned its open cases deliver than is
 * expected, the random-effects mean (mc_pool) of the paces of the mouths whose rows are filled and
 * have been read. out->count is how many these are; with none, or when out of memory, it is 0 and
 * the numbers NaN. */
void mc_pace_of_rows(const mc_roster_row *rows, size_t count, mc_pooled *out);
/* The same of the practice as it is on record: of the open cases that have not changed since they
 * were last looked at, and of so many others looked at anew, about a millisecond each. */
enum { MC_MOST_ANEW = 250 };
mc_status mc_practice_pace(mc_practice *practice, mc_day on, mc_pooled *out, mc_error *error);

/* Put the places of the rows into order, most urgent first, the unread last. False when out of
 * memory. */
bool mc_roster_order(const mc_roster_row *rows, size_t count, size_t *order);

/* ---- a check-up entered at the chair ---- */

/* The check-up of a case while it is entered. It is on record from its first value on; every value
 * is committed before the call that enters it returns, so that nothing is lost whatever happens to
 * the terminal, and a second later it is on the disk. Whoever enters is the person acting: a doctor
 * or an assistant. */
typedef struct mc_draft mc_draft;

/* Take up the case's open check-up, else prepare a new one of today: aligners and their days by the
 * dates, method caliper. It keeps its day and its settings set from then on. Refuses a
 * closed case, and one without a plan that has started. While it is open nothing else is imported,
 * signed or closed in the case. */
mc_status mc_draft_open(mc_practice *practice, const mc_case *kase, mc_draft **out,
                        mc_error *error);
void mc_draft_close(mc_draft *draft); /* what was entered stays on record; NULL is fine */

/* Enter one value; step->by and undone are not looked at. What changes nothing is no step. Another
 * aligner takes the day of the one before away; values that were entered stay as they were said,
 * and an aligner with which one of them cannot be is refused, naming it. Refuses what cannot be, in
 * a sentence for the person at the chair. Where the value is unlikely (further than 1 mm or 6 deg
 * from the plan and from the last reading) and not `sure`, it is refused with *doubt true and the
 * error's text tells plan and last reading: ask, and enter it again with sure. When somebody else
 * has entered something since, it is refused, and the draft then holds what they entered too. */
mc_status mc_draft_enter(mc_draft *draft, const mc_step *step, bool sure, bool *doubt,
                         mc_error *error);
/* Take the last step back, or do it again. what (may be NULL) gets it in words: "12 rotation 2.5
 * deg short". MC_REFUSED where there is none. */
enum { MC_STEP_TEXT_SIZE = 160 };
mc_status mc_draft_undo(mc_draft *draft, char what[MC_STEP_TEXT_SIZE], mc_error *error);
mc_status mc_draft_redo(mc_draft *draft, char what[MC_STEP_TEXT_SIZE], mc_error *error);
/* Look whether somebody else has entered, completed or thrown it away, or changed what it is to be
 * begun with: *changed, and the draft holds what is on record now. Where there is nothing of it on
 * record and the case can have no check-up any more, it has ended, and the error tells why. What
 * memory lacked to hold after a failure is held again, which is *changed too. */
mc_status mc_draft_look(mc_draft *draft, bool *changed, mc_error *error);

/* Complete it, on the disk when this returns. Refused where nothing was read on any tooth. Warnings
 * of the whole check-up (an aligner far from what the dates say) are refused unless accepted. The
 * draft may only be closed afterwards. */
mc_status mc_draft_complete(mc_draft *draft, bool accept_warnings, int *number,
                            mc_warnings *warnings, mc_error *error);
/* Look, before it is completed, at what of the whole check-up is unlikely; refuses what
 * mc_draft_complete would refuse. */
mc_status mc_draft_review(mc_draft *draft, mc_warnings *warnings, mc_error *error);
/* Throw everything away; the journal keeps that it happened. */
mc_status mc_draft_discard(mc_draft *draft, mc_error *error);

/* What it holds now. Pointers are good until the next call that changes the draft. */
const mc_checkup *mc_draft_checkup(const mc_draft *draft); /* as it would be completed */
int mc_draft_number(const mc_draft *draft);
bool mc_draft_on_record(const mc_draft *draft); /* it has been begun */
bool mc_draft_ended(const mc_draft *draft);     /* it may only be closed */
size_t mc_draft_steps(const mc_draft *draft);   /* that are not undone */
size_t mc_draft_undone(const mc_draft *draft);
/* One of them, from 0; behind those that stand come the undone ones, the next to redo first. */
const mc_step *mc_draft_step(const mc_draft *draft, size_t i);
int mc_draft_rows(const mc_draft *draft, mc_tooth tooth); /* how many rows of a tooth */
/* A row of a tooth, NULL where it has no such row. */
const mc_reading *mc_draft_row(const mc_draft *draft, mc_tooth tooth, int row);
/* The last reading of a component at a check-up before this one on this plan; NaN where none. */
double mc_draft_last(const mc_draft *draft, mc_tooth tooth, mc_component c);
/* What something read against a neighbour should read at the draft's aligner, by the baseline from
 * check-ups before this one on this plan (NaN without one), and its last reading there. */
double mc_draft_should_read(const mc_draft *draft, mc_tooth tooth, mc_relative what);
double mc_draft_last_read(const mc_draft *draft, mc_tooth tooth, mc_relative what);
/* Its baseline, of a check-up before this one; NaN where there is none. */
double mc_draft_baseline(const mc_draft *draft, mc_tooth tooth, mc_relative what);
/* The case scored and judged as if it were completed now. a->score is never NULL. */
const mc_assessment *mc_draft_assessment(const mc_draft *draft);
/* The teeth still most worth reading, at most six. Returns how many. */
enum { MC_MOST_WORTH = 6 };
size_t mc_draft_worth(const mc_draft *draft, mc_tooth out[MC_MOST_WORTH]);

/* ---- what readings against a neighbour should say ---- */

/* Something that has a baseline on the active plan. */
typedef struct mc_expected {
    mc_tooth tooth;
    mc_relative what;
    mc_tooth neighbour; /* who stands there now; MC_NO_TOOTH for the crown angle, or nobody */
    double baseline;    /* as read at stage 0 */
    double should_read; /* NaN: another neighbour than then, or no aligner in its arch */
    double last_read;   /* on this plan */
} mc_expected;
typedef struct mc_expectation {
    int plan; /* number */
    mc_day on;
    int aligner[MC_ARCHES], day[MC_ARCHES]; /* MC_NO_ALIGNER where the arch has no series */
    double stage[MC_ARCHES];                /* NaN there */
    mc_expected *list;                      /* in chart order */
    size_t count;
} mc_expectation;
/* What each should read on a day (MC_NO_DAY: today). aligner and day: what is worn, MC_NO_ALIGNER
 * and -1 where the dates are to say; where only the aligner is said, its day is not known. Free
 * with mc_expectation_free. */
mc_status mc_expect(mc_practice *practice, const mc_case *kase, mc_day on,
                    const int aligner[MC_ARCHES], int day, mc_expectation *out, mc_error *error);
void mc_expectation_free(mc_expectation *expectation);

/* ---- the workbench: a corrected series, and what the doctor changes of it ---- */

typedef enum mc_bench_what {
    MC_BENCH_TARGET,      /* tooth, component; number: mm or deg from stage 0 of the present plan;
                             NaN: where the present plan ends */
    MC_BENCH_OVERCORRECT, /* tooth, component; number: percent more of what remains, 0 to the
                             setting overcorrect_percent; NaN: none */
    MC_BENCH_LIMIT,       /* tooth, component; number: mm or deg of one aligner, above 0; NaN: the
                             settings' */
    MC_BENCH_IPR,         /* tooth, mesial or distal; number: mm, 0 takes it away; whole: the stage
                             before which it is done, from 1; NaN: what the present plan has left */
    MC_BENCH_STAY         /* tooth; whole: 1 it stays where it is, 0 it goes to its target */
} mc_bench_what;

/* One thing that was changed. */
typedef struct mc_bench_edit {
    mc_bench_what what;
    mc_tooth tooth;
    mc_component component;
    bool mesial;
    double number;
    int whole;
    bool joined; /* undone and done again together with the one before it; set by the bench */
} mc_bench_edit;

/* How one tooth stands on the bench. */
typedef struct mc_bench_tooth {
    bool may_move;                     /* stands and is not fixed */
    bool stays;                        /* by MC_BENCH_STAY */
    mc_pose present, target;           /* from stage 0 of the present plan; target as edited,
                                          without overcorrection */
    mc_pose planned;                   /* where the present plan ends */
    double overcorrect[MC_COMPONENTS]; /* percent */
    double suggested[MC_COMPONENTS];   /* percent that would bring the expected end to the target:
                                          (1 - rho) / rho of what remains, capped; NaN where the
                                          component is not followed or nothing remains */
    double limit[MC_COMPONENTS];       /* in force, of one aligner */
    bool own_limit[MC_COMPONENTS];     /* by MC_BENCH_LIMIT */
    mc_tooth_ipr ipr;                  /* in the new series */
    bool exact; /* all six components read by scan or landmarks at the check-up */
} mc_bench_tooth;

/* A correction on the bench: made from the last check-up's poses, and made anew at every change.
 * Pointers are good until the next call that changes it. */
typedef struct mc_bench mc_bench;

/* kept: take up the changes that are kept on record where they were made from the same version of
 * the same check-up; else, and where there are none, nothing is changed yet. Refuses a case without
 * an active plan, or where nothing was read on it. */
mc_status mc_bench_open(mc_practice *practice, const mc_case *kase, bool kept, mc_bench **out,
                        mc_error *error);
void mc_bench_close(mc_bench *bench); /* NULL is fine */
/* Whether the changes kept on record were taken up; by (may be NULL) gets who kept them. */
bool mc_bench_kept(const mc_bench *bench, char by[9]);
/* Make one change. Refuses, changing nothing, what cannot be: a tooth that is missing or not to be
 * moved, a limit of 0, a percentage beyond the cap, a target of 90 deg of angulation. A change with
 * which crowns lack room is made all the same: mc_bench_why then tells. */
mc_status mc_bench_change(mc_bench *bench, const mc_bench_edit *edit, mc_error *error);
/* Make several as one step: all or none, re-staged once. What changes nothing is no step. */
mc_status mc_bench_change_together(mc_bench *bench, const mc_bench_edit *list, size_t count,
                                   mc_error *error);
/* Overcorrect every component of every tooth that may be moved by the same percentage, as one step.
 */
mc_status mc_bench_overcorrect_all(mc_bench *bench, double percent, mc_error *error);
/* Take the targets (last poses, and IPR where it has any) of a plan file, each as a change, all of
 * them one step. Refuses, naming the line, a file for other teeth, and one that says that it was
 * made from other poses than the present plan's stage 0. */
mc_status mc_bench_targets(mc_bench *bench, const char *data, size_t size, mc_notation notation,
                           mc_warnings *warnings, mc_error *error);
mc_status mc_bench_undo(mc_bench *bench, mc_error *error); /* MC_REFUSED where there is none */
mc_status mc_bench_redo(mc_bench *bench, mc_error *error);
size_t mc_bench_changes(const mc_bench *bench); /* that stand */
/* Behind those that stand come the undone ones, the next to redo first; NULL beyond. */
const mc_bench_edit *mc_bench_edit_at(const mc_bench *bench, size_t i);

const mc_assessment *mc_bench_assessment(const mc_bench *bench);
const mc_restaged *mc_bench_account(const mc_bench *bench);
/* The new series, its stage 0 being the present poses; NULL where there is none. */
const mc_plan *mc_bench_plan(const mc_bench *bench);
/* Where crowns stand at the new series' stage 0 (`at` all zero). */
const mc_arches *mc_bench_arches(const mc_bench *bench);
void mc_bench_tooth_of(const mc_bench *bench, mc_tooth tooth, mc_bench_tooth *out);
/* Why it cannot be signed as an order, in a sentence that says what to do; "" where it can. */
const char *mc_bench_why(const mc_bench *bench);
mc_day mc_bench_start(const mc_bench *bench); /* when its aligners come: today + laboratory_days */
/* What this very series is expected to bring beside carrying on and finishing first. Returns how
 * many of the three could be said: carry on, finish then correct, this series. */
enum { MC_BENCH_OPTIONS = 3 };
size_t mc_bench_options(const mc_bench *bench, mc_option out[MC_BENCH_OPTIONS]);

/* Keep the changes on record as the case's draft (by a doctor), in place of one kept before; the
 * journal tells of it. */
mc_status mc_bench_keep(mc_bench *bench, mc_error *error);
/* The plan file: what mc_sign takes as an order, or a preview. *data is the caller's to free. */
mc_status mc_bench_file(const mc_bench *bench, char **data, size_t *size, mc_error *error);

/* ---- correction and decision ---- */

typedef struct mc_revision {
    mc_restaged account;
    mc_day start;          /* when its aligners come: today + laboratory_days */
    bool preview;          /* the poses are not such that an order may rest on them */
    char why_preview[300]; /* in words, "" for an order */
    mc_warnings warnings;  /* of the target file: not to be passed over unless accepted */
    char *file;            /* the plan file, to be written; free with mc_revision_free */
    size_t file_size;
} mc_revision;

/* Re-stage from the last check-up's poses. target (may be NULL) is a plan file whose last poses,
 * from the present plan's stage 0, are the targets. overcorrect_percent: more of what remains. */
mc_status mc_revise(mc_practice *practice, const mc_case *kase, const char *target,
                    size_t target_size, double overcorrect_percent, mc_revision *out,
                    mc_error *error);
void mc_revision_free(mc_revision *revision);

enum { MC_LATEST_START = 365 };

typedef struct mc_decide {
    unsigned choices;   /* bit 1 << mc_choice for each */
    int days;           /* hold: 1 to MC_MOST_HOLD_DAYS */
    int to;             /* go back; -1 none */
    mc_cause cause;     /* correct */
    const char *reason; /* may be NULL; needed where the choice is not the proposal */
    const char *plan;   /* correct: the plan file */
    size_t plan_size;
    mc_day start; /* first day of the corrected plan, at most MC_LATEST_START days from today;
                     MC_NO_DAY: today + laboratory_days */
    int interval[MC_ARCHES]; /* of the corrected plan; 0: as before */
    bool accept_warnings;
    const char *by; /* the doctor who signs at somebody else's keyboard; NULL: the person acting */
    const struct mc_assessment *seen; /* what was looked at: refused (MC_NEED_LOOK) where the case
                                         was changed since; NULL: as it is now */
} mc_decide;

/* Whether two choices cannot be signed together. */
bool mc_choices_exclude(mc_choice one, mc_choice other);
/* The choice that a proposal amounts to; MC_CHOICES where it is a matter of its own (examine,
 * repair ...). */
mc_choice mc_choice_of(mc_proposal_choice proposal);
/* Whether a reason has to be given: the doctor does otherwise than proposed, or simply goes on
 * where a tooth or the fit should be seen first. */
bool mc_needs_reason(const mc_assessment *a, const mc_decide *what);
/* The days an aligner of a corrected plan: as decided, else as before. */
int mc_corrected_interval(const mc_assessment *a, const mc_decide *what, mc_arch arch);
/* Refuses what mc_sign would refuse of the decision itself, whoever signs; changes nothing. */
mc_status mc_decide_check(mc_practice *practice, const mc_case *kase, const mc_decide *what,
                          mc_warnings *warnings, mc_error *error);
/* Refuses who is not a doctor (NULL: the person acting). */
mc_status mc_may_sign(const mc_practice *practice, const char *by, mc_error *error);

/* Sign the decision on the last check-up: who signs must be a doctor and give the passphrase. A
 * correction opens its plan from the poses it was made from and supersedes the old one. Refused
 * while a check-up is being entered. */
mc_status mc_sign(mc_practice *practice, const mc_case *kase, const mc_decide *what,
                  const char *passphrase, mc_decision *out, mc_warnings *warnings, mc_error *error);

/* What happens next, by the dates: of the case as decided so far, or as it would be once one more
 * decision on its last check-up is signed. */
typedef struct mc_outlook {
    bool over;                /* nothing follows: the plan is closed */
    mc_day start;             /* of a corrected plan that is not begun yet; MC_NO_DAY */
    int stages[MC_ARCHES];    /* 0: no series */
    int aligner[MC_ARCHES];   /* worn on the day asked for; MC_NO_ALIGNER where no series */
    int next[MC_ARCHES];      /* the aligner begun at the change */
    mc_day change[MC_ARCHES]; /* MC_NO_DAY: the last is being worn */
    mc_day end[MC_ARCHES];    /* the first day on which the last has been worn for its time */
    mc_day next_change;       /* the first of the changes */
    mc_day next_checkup;      /* MC_NO_DAY where none is due */
    mc_awaited awaited;       /* while one or both arches wait for a corrected series, stages to end
                                 above are that series' */
} mc_outlook;
/* what NULL: as decided so far. A correction needs its plan and its start to be said in `what`;
 * `now` (NULL: the assessment's) are the settings by which the check-up after its start falls
 * due. */
void mc_outlook_of(const mc_assessment *a, const mc_decide *what, mc_day on, const mc_settings *now,
                   mc_outlook *out);
/* Which old aligners are worn until a corrected series comes, and how they seat by the
 * check-up: "upper 12 and lower 9", "upper 12 (it does not seat: 0.8 mm at 13) and lower 9 (its fit
 * was not read)". what (may be NULL): a correction about to be signed, with the aligner that is
 * gone back to. */
enum { MC_INTERIM_WORDS_SIZE = 240 };
void mc_interim_words(const mc_assessment *a, const mc_decide *what,
                      char out[MC_INTERIM_WORDS_SIZE]);
/* "upper and lower 14 on 2026-12-07; check-up 2026-12-02"; what waits stands first. */
enum { MC_OUTLOOK_TEXT_SIZE = 400 };
void mc_outlook_text(const mc_outlook *outlook, char out[MC_OUTLOOK_TEXT_SIZE]);

/* ---- the practice's own numbers ---- */

/* A number is taken over from no fewer pairs of readings, and from no fewer patients, than these:
 * common practice. */
enum { MC_LEAST_PAIRS = 10, MC_LEAST_PATIENTS = 5 };

/* The error of one method on lengths or angles, as found in pairs of readings, beside the number in
 * use. */
typedef struct mc_own_method {
    char key[40];             /* of the setting: "caliper_mm" */
    mc_method_error measured; /* pairs 0: nothing was read twice */
    bool shifted;             /* the second readings lie otherwise: by more than two standard errors
                                 of their shift */
    double used;              /* standard deviation of one reading, mm or deg */
    int used_pairs;           /* what that rests on; 0: it is assumed */
    bool can_be_kept;         /* enough pairs, and a figure within the setting's range */
} mc_own_method;
typedef struct mc_own_methods {
    mc_own_method of[MC_METHODS][2]; /* lengths, angles */
    size_t pairs;                    /* in all */
} mc_own_methods;
/* Measure from a list of pairs and, where from_record, from the record itself: the first and second
 * (third and fourth ...) reading of the same thing on a tooth, by the same method and said the same
 * way, at one check-up. Those said short of plan count as how far they are ahead. */
mc_status mc_own_methods_measure(mc_practice *practice, const mc_pair *list, size_t count,
                                 bool from_record, mc_own_methods *out, mc_error *error);
/* Keep those measured on MC_LEAST_PAIRS pairs and more as the practice's settings: one new set,
 * by a doctor, with a reason. Refuses where there is none, and a figure outside its setting's
 * range, naming it. */
mc_status mc_own_methods_keep(mc_practice *practice, const mc_own_methods *measured,
                              const char *reason, int64_t *set, mc_error *error);

/* How much of a movement the practice's own plans achieved, of one tooth class and movement, beside
 * what is published and used. Shares; NaN where there is none. */
typedef struct mc_own_share {
    size_t readings; /* components of teeth that went far enough to be judged */
    size_t patients; /* whose they are */
    double mean, se; /* pooled over patients */
    double tau;      /* standard deviation between patients */
    double published_low, published_high; /* over the permanent teeth of the class */
    double used_low, used_high;           /* what is expected of a new plan by today's settings */
    double taken, taken_se;               /* as taken over; 0: not */
    bool can_be_used;                     /* enough patients, and within the setting's range */
} mc_own_share;
typedef struct mc_accuracy {
    size_t plans, patients; /* that gave a reading */
    mc_own_share of[MC_OWN_CLASSES][MC_OWN_MOVEMENTS];
} mc_accuracy;
/* Read all closed and superseded plans, case by case. Of each component the last reading counts at
 * which its plan, one way so far, had gone a tracking tolerance: what was reached over what was
 * planned by then. Per patient these are averaged by precision, over patients pooled (mc_pool).
 * Deciduous teeth are left out. Method errors and tolerances are today's. */
typedef struct mc_accuracy_work mc_accuracy_work;
mc_status mc_accuracy_begin(mc_practice *practice, mc_accuracy_work **out, mc_error *error);
size_t mc_accuracy_cases(const mc_accuracy_work *work); /* there are to read */
/* The next case; *done of *total are read then, and all are when those are equal. */
mc_status mc_accuracy_step(mc_accuracy_work *work, size_t *done, size_t *total, mc_error *error);
/* What was found so far. */
mc_status mc_accuracy_so_far(const mc_accuracy_work *work, mc_accuracy *out, mc_error *error);
void mc_accuracy_free(mc_accuracy_work *work); /* NULL is fine */
/* All of it at once. */
mc_status mc_accuracy_all(mc_practice *practice, mc_accuracy *out, mc_error *error);
/* Take over every share that can be used: one new set, by a doctor, with a reason. Refuses where
 * there is none. *taken is how many. */
mc_status mc_accuracy_use(mc_practice *practice, const mc_accuracy *accuracy, const char *reason,
                          size_t *taken, int64_t *set, mc_error *error);

/* ---- history ---- */

/* One thing that was done: an entry of the journal, told in a sentence. */
typedef struct mc_deed {
    int64_t number; /* of the entry */
    char at[21];    /* UTC, as kept */
    char by[9];     /* initials; "" where nobody is named */
    mc_id case_id;  /* none where it concerns no case */
    char action[33];
    char *sentence;    /* one line; its teeth are ISO 3950 numbers */
    int checkup;       /* the check-up that it is about; 0 none */
    int version;       /* the version of it that was made; 0 where none was */
    char decision[65]; /* hash of the decision that was signed; "" where none was */
} mc_deed;
void mc_deeds_free(mc_deed *list, size_t count);

/* What was done with a case, oldest first; of an amendment also what it changed. kase NULL: in the
 * whole practice, each sentence then names its case. An action that this version does not know is
 * told by its name and its details. */
mc_status mc_history(mc_practice *practice, const mc_case *kase, mc_deed **out, size_t *count,
                     mc_error *error);

/* A tooth as it stood in a score that is kept. */
typedef struct mc_seen_tooth {
    mc_tooth tooth;
    mc_state state;
    double lag_index; /* NaN when nothing was read */
    char worst[24];   /* "seat gap", else the component's name; "" for none */
} mc_seen_tooth;

/* What a doctor saw when signing, from the evidence kept with the decision. Parts that the evidence
 * does not have are empty. Free with mc_seen_free. */
typedef struct mc_seen {
    mc_decision decision;
    int plan, opened; /* numbers of the plan seen and of the plan it opened; 0 none */
    int rule;
    char proposal[24]; /* mc_proposal_name */
    char sentence[900];
    mc_seen_tooth off[MC_TEETH]; /* slipping or worse, the larger lag index first */
    size_t count;
    /* each choice as it was weighed, without p_out; none in what was signed before they were */
    mc_option options[MC_MOST_OPTIONS];
    size_t option_count;
} mc_seen;
/* hash: of the decision, as mc_deed tells it. */
mc_status mc_history_seen(mc_practice *practice, const mc_case *kase, const char *hash,
                          mc_seen *out, mc_error *error);
void mc_seen_free(mc_seen *seen);

/* ---- the demo practice ---- */

/* An invented person of the demo, with the passphrase that is printed when it is made. */
typedef struct mc_demo_person {
    const char *initials;
    mc_role role;
    const char *passphrase;
} mc_demo_person;
const mc_demo_person *mc_demo_people(size_t *count);
/* Make the invented practice in a new file, its dates relative to today. */
mc_status mc_demo_make(const char *path, mc_day today, mc_practice **out, mc_error *error);
/* Whether the practice's record is a demo: its journal has the entry "demo made". */
bool mc_demo_is(mc_practice *practice);

#endif
