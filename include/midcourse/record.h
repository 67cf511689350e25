/* record: the practice's one file. It speaks of people, cases, plans, check-ups and decisions; only
 * this room knows SQL. Text is UTF-8 without NUL. Every function refuses with a reason and changes
 * nothing; writers run inside mc_record_begin and mc_record_commit, and one that refuses there
 * leaves what the others did alone. A damaged record, or one from a newer version, is MC_DAMAGED.
 * One thread at a time may use an mc_record; each thread opens its own. */
#ifndef MIDCOURSE_RECORD_H
#define MIDCOURSE_RECORD_H

#include "midcourse/decision.h"
#include "midcourse/restaging.h"

typedef struct mc_record mc_record;

typedef struct mc_id {
    unsigned char byte[16]; /* random; a name is not an identity */
} mc_id;
void mc_id_text(const mc_id *id, char out[33]); /* lower-case hex */
bool mc_id_same(const mc_id *a, const mc_id *b);
bool mc_id_is_none(const mc_id *id); /* all zero */

/* ---- the file ---- */

/* Make a new record, readable by its owner only; refuses an existing file. It holds the default
 * settings and the journal's first entry, "record made". */
mc_status mc_record_create(const char *path, mc_record **out, mc_error *error);
/* The same in two parts, for who has more to put into it before others may see it: it is made under
 * another name beside (path + ".making", where what one that was killed left is cleared away), and
 * takes its own when settled, never in the place of anything. A settled *record is a connection
 * anew; where settling is refused it is NULL and no file is left. */
mc_status mc_record_make(const char *path, mc_record **out, mc_error *error);
mc_status mc_record_settle(mc_record **record, mc_error *error);
void mc_record_abandon(mc_record *record); /* one not settled: no file is left. NULL is fine */
/* Refuse, saying what it is, where anything of that name stands: a record, another file, a folder,
 * a link to nothing. */
mc_status mc_record_vacant(const char *path, mc_error *error);
/* Open an existing one, migrating an older schema first (in one transaction). A file that may only
 * be read opens for reading; mc_record_begin refuses then. */
mc_status mc_record_open(const char *path, mc_record **out, mc_error *error);
const char *mc_record_path(const mc_record *record); /* as it was opened */
void mc_record_close(mc_record *record); /* NULL is fine; what was not committed is undone */

/* One writing transaction (BEGIN IMMEDIATE, waits for another writer 5 s at most). durable: the
 * commit is on the disk before mc_record_commit returns; otherwise a power cut may undo it, but
 * nothing else can. A commit that fails has changed nothing. */
mc_status mc_record_begin(mc_record *record, bool durable, mc_error *error);
mc_status mc_record_commit(mc_record *record, mc_error *error);
void mc_record_rollback(mc_record *record);

/* Between these two calls everything read is of one moment, whatever others write meanwhile. May be
 * used within mc_record_begin too. */
mc_status mc_record_begin_reading(mc_record *record, mc_error *error);
void mc_record_end_reading(mc_record *record);

/* A number that changes whenever any connection commits to the file, for caches; it means nothing
 * to another mc_record. -1 when the file cannot be asked. */
int64_t mc_record_change(mc_record *record);

/* Copy the record, while in use, into a new file that is on the disk and verified when this
 * returns; refuses an existing file. */
mc_status mc_record_backup(mc_record *record, const char *path, mc_error *error);

/* Make path the record that a backup holds; the backup is verified before anything is touched.
 * Where path exists it is refused without replace; with it the old file, which nobody else may have
 * open, is kept beside as path + ".before-restore" (refused where that exists). */
mc_status mc_record_restore(const char *backup, const char *path, bool replace, mc_error *error);

/* Check everything: the file's own integrity, its tables and triggers, foreign keys, the journal's
 * chain and length, and the hashes of every settings set, plan, completed check-up, measured arch
 * and signed decision. MC_DAMAGED with the first fault. On success *entries (may be NULL) is the
 * journal's length. It finds what was changed by accident or by somebody who does not know how the
 * hashes are made. Names, birth dates, people and the states of teeth have no hash. No key is kept
 * that others could not read, so it cannot find a file that was rewritten with all its hashes, or
 * an older copy put in its place: for that, compare the journal's length and last hash with those
 * of a copy kept elsewhere. */
mc_status mc_record_verify(mc_record *record, int64_t *entries, mc_error *error);

/* ---- people ---- */

typedef enum mc_role { MC_DOCTOR, MC_ASSISTANT, MC_DESK } mc_role;
const char *mc_role_name(mc_role role);
bool mc_role_parse(const char *text, mc_role *role);

typedef struct mc_person {
    char initials[9]; /* 1 to 8 letters or digits; unique for ever */
    mc_role role;
    bool retired;
} mc_person;

/* passphrase: 8 to 1024 bytes, kept only as an Argon2id hash. Initials that differ from another
 * person's only in letter case are refused. */
mc_status mc_record_add_person(mc_record *record, const char *initials, mc_role role,
                               const char *passphrase, mc_error *error);
/* Refuses the last doctor: nobody could sign, or make another doctor, afterwards. */
mc_status mc_record_retire_person(mc_record *record, const char *initials, mc_error *error);
/* Refuses an unknown or retired person. */
mc_status mc_record_person(mc_record *record, const char *initials, mc_person *out,
                           mc_error *error);
/* Refuses a wrong passphrase. */
mc_status mc_record_check_passphrase(mc_record *record, const char *initials,
                                     const char *passphrase, mc_error *error);
/* *out is an array (free with free()) in order of initials, the retired last. */
mc_status mc_record_people(mc_record *record, mc_person **out, size_t *count, mc_error *error);

/* ---- cases and their teeth ---- */

enum { MC_CHART_SIZE = 33, MC_NAME_SIZE = 256 };

typedef struct mc_case {
    mc_id id, patient;
    char chart[MC_CHART_SIZE]; /* chart number of the person; without '/' */
    int number;                /* 1 the person's first course, 2 the second ... */
    char name[MC_NAME_SIZE];   /* Family, Given */
    mc_day born, opened;
    mc_day closed; /* MC_NO_DAY while open */
} mc_case;

/* Whether a chart number and a name can be so; refuses with the reason. */
mc_status mc_chart_check(const char *chart, mc_error *error);
mc_status mc_name_check(const char *name, mc_error *error);
/* Open a case: the patient is made where the chart number is new (name and birth date must agree
 * where it is not). A second course needs the first closed. states: all 52 teeth from the day of
 * opening. */
mc_status mc_record_add_case(mc_record *record, const char *chart, const char *name, mc_day born,
                             mc_day opened, const mc_tooth_state states[MC_TEETH], mc_case *out,
                             mc_error *error);
mc_status mc_record_close_case(mc_record *record, const mc_id *id, mc_day day, mc_error *error);
/* number 0: the person's last course. */
mc_status mc_record_find_case(mc_record *record, const char *chart, int number, mc_case *out,
                              mc_error *error);
/* All cases by chart number, whole numbers first and in their order (free with free()). */
mc_status mc_record_cases(mc_record *record, mc_case **out, size_t *count, mc_error *error);
/* From a day on a tooth is in a state (not before what is already recorded of that tooth; on the
 * same day the later entry holds). */
mc_status mc_record_set_tooth(mc_record *record, const mc_id *id, mc_tooth tooth,
                              mc_tooth_state state, mc_day from, mc_error *error);
/* A tooth's state from a day on; the first of a tooth holds before that, too. */
typedef struct mc_tooth_change {
    mc_tooth tooth;
    mc_tooth_state state;
    mc_day since;
    bool first;
} mc_tooth_change;
/* All of a case, by tooth and in their order (free with free()); and what they say of a day, so
 * that whoever asks for many days reads them once. */
mc_status mc_record_tooth_changes(mc_record *record, const mc_id *id, mc_tooth_change **out,
                                  size_t *count, mc_error *error);
void mc_teeth_on(const mc_tooth_change *changes, size_t count, mc_day on,
                 mc_tooth_state states[MC_TEETH]);
/* The teeth on a day; before the case was opened they are as at its opening. */
mc_status mc_record_teeth(mc_record *record, const mc_id *id, mc_day on,
                          mc_tooth_state states[MC_TEETH], mc_error *error);

/* ---- settings ---- */

/* Change one number for the practice (case_id NULL) or for one case. A settings set is immutable
 * once made, so this makes a new one, and *set is its number. A case that has numbers of its own
 * keeps those, and a later change of the practice's other numbers reaches it too, by a new set of
 * its own. */
mc_status mc_record_add_settings(mc_record *record, const mc_id *case_id, const char *key,
                                 double value, const char *reason, const char *by, int64_t *set,
                                 mc_error *error);
/* Change several of the practice's numbers at once, in their order: one new set. */
typedef struct mc_setting_change {
    char key[40];
    double value;
} mc_setting_change;
mc_status mc_record_add_settings_together(mc_record *record, const mc_setting_change *list,
                                          size_t count, const char *reason, const char *by,
                                          int64_t *set, mc_error *error);
/* The set in force for a case (NULL: the practice's), made with the defaults when the record was.
 * set may be NULL. */
mc_status mc_record_settings(mc_record *record, const mc_id *case_id, mc_settings *out,
                             int64_t *set, mc_error *error);
/* One set by its number. A number that did not exist when the set was made has its default. */
mc_status mc_record_settings_set(mc_record *record, int64_t set, mc_settings *out, mc_error *error);

/* ---- plans ---- */

typedef enum mc_plan_status { MC_PLAN_ACTIVE, MC_PLAN_SUPERSEDED, MC_PLAN_CLOSED } mc_plan_status;

typedef struct mc_plan_info {
    mc_id id;
    int number; /* 1, 2 ... in the case */
    mc_plan_status status;
    mc_day start;            /* its first day, as expected when it was made */
    int interval[MC_ARCHES]; /* days an aligner, 1 to 365; 0 where the arch has no series */
    int made_from;    /* number of the check-up whose poses it was made from; 0 for a first plan */
    mc_id supersedes; /* none for a first plan */
    mc_id corrects; /* the plan that check-up is on, worn until this one is; none where that is none
                     */
    char hash[65];  /* BLAKE2b-256, hex, of the canonical rows */
    char by[9];
    /* from what happened to it since (mc_plan_event); filled in */
    mc_day ordered;          /* the day it was signed; MC_NO_DAY where that was not recorded */
    mc_day delivered;        /* MC_NO_DAY: not recorded */
    mc_day first[MC_ARCHES]; /* first day of each arch's series: as recorded, else as expected last,
                                else `start`; MC_NO_DAY where the arch has no series */
    bool begun[MC_ARCHES];   /* that first day is recorded */
    mc_day worn_from;        /* the earlier of the first days: check-ups from then on are on it */
} mc_plan_info;

/* Hash of a plan's canonical rows, as kept with it and in the decisions that saw it. */
void mc_plan_hash(const mc_plan *plan, char out[65]);
/* Add a plan (info->start, interval, made_from, by are given, the rest is filled in); an active one
 * is superseded. start may be NULL. Starts on or after the plan that is worn before it: the one of
 * the check-up it was made from, else the last. */
mc_status mc_record_add_plan(mc_record *record, const mc_id *case_id, const mc_plan *plan,
                             const mc_start *start, mc_plan_info *info, mc_error *error);
/* All plans of a case by number (free with free()). */
mc_status mc_record_plans(mc_record *record, const mc_id *case_id, mc_plan_info **out,
                          size_t *count, mc_error *error);
/* Rows and start of one plan; the caller frees the plan. start may be NULL. */
mc_status mc_record_plan(mc_record *record, const mc_id *plan_id, mc_plan **out, mc_start *start,
                         mc_error *error);
mc_status mc_record_close_plan(mc_record *record, const mc_id *plan_id, mc_error *error);

/* Something that happened to a corrected plan between its signature and its first aligner. */
typedef enum mc_plan_event_what {
    MC_PLAN_ORDERED,   /* signed on `day`; first: as expected then */
    MC_PLAN_EXPECTED,  /* told on `day` to be expected anew on `first` */
    MC_PLAN_DELIVERED, /* on `day` */
    MC_PLAN_BEGUN,     /* recorded on `day`: the first aligner of the arch was begun on `first` */
    MC_PLAN_EVENTS
} mc_plan_event_what;
typedef struct mc_plan_event {
    mc_plan_event_what what;
    mc_day day;
    mc_day first[MC_ARCHES]; /* MC_NO_DAY: nothing is said of that arch */
    char by[9];
    int number;    /* of the plan's events, from 1 without gaps; filled in */
    char at[21];   /* UTC; filled in */
    char hash[65]; /* BLAKE2b-256, hex, of all the above and the plan's identity; filled in */
} mc_plan_event;
/* Keep one; it is never changed, the last word on an arch holds. Refuses a plan that is not the
 * active one of an open case or was not made from a check-up, and while a check-up is being
 * entered. */
mc_status mc_record_add_plan_event(mc_record *record, const mc_id *plan_id, mc_plan_event *event,
                                   mc_error *error);
/* Those of one plan, oldest first (free with free()). */
mc_status mc_record_plan_events(mc_record *record, const mc_id *plan_id, mc_plan_event **out,
                                size_t *count, mc_error *error);

/* The cases, open and closed, that have a plan which is closed or superseded (free with free()),
 * those of one patient side by side. */
typedef struct mc_ended {
    mc_id case_id, patient;
} mc_ended;
mc_status mc_record_ended(mc_record *record, mc_ended **out, size_t *count, mc_error *error);

/* ---- check-ups ---- */

typedef struct mc_checkup_info {
    mc_id id;
    mc_checkup checkup; /* rows belong to the info: mc_checkup_info_free */
    mc_id plan;
    int version;      /* 1, then one more for each amendment; the newest is the one in force */
    bool open;        /* being entered; at most one a case */
    int64_t settings; /* the set it is scored with */
    char by[9];       /* who completed or amended it */
    char reason[501]; /* of the amendment; "" for version 1 */
    char hash[65];    /* BLAKE2b-256, hex, of the whole version */
} mc_checkup_info;
void mc_checkup_info_free(mc_checkup_info *list, size_t count);

/* Add a completed check-up on the case's active plan, not before the plan is worn (worn_from) or
 * the last check-up; until then it is on the plan that is worn meanwhile, the one of the check-up
 * which the active plan was made from. It can never be changed, only amended. checkup->number is
 * not looked at. out is filled in, except that out->checkup.rows stays the caller's. */
mc_status mc_record_add_checkup(mc_record *record, const mc_id *case_id, const mc_id *plan,
                                const mc_checkup *checkup, int64_t settings, const char *by,
                                mc_checkup_info *out, mc_error *error);
/* Add a new version beside the old; number, date and plan stay. */
mc_status mc_record_amend_checkup(mc_record *record, const mc_id *case_id, int number,
                                  const mc_checkup *checkup, const char *by, const char *reason,
                                  int *version, mc_error *error);
/* The versions in force of all completed check-ups of a case, by number. every: all versions. */
mc_status mc_record_checkups(mc_record *record, const mc_id *case_id, bool every,
                             mc_checkup_info **out, size_t *count, mc_error *error);

/* Of all cases, the versions in force of the completed check-ups that read some tooth more than
 * once. */
mc_status mc_record_repeated(mc_record *record, mc_checkup_info **out, size_t *count,
                             mc_error *error);

/* ---- measured arches ---- */

/* Where the crowns of one arch stood when its teeth were where a check-up found them. */
typedef struct mc_measured_arch {
    int checkup; /* number */
    mc_id plan;  /* that the check-up is on */
    mc_arch arch;
    int entry;                /* 1, 2 ... of this check-up and arch: the last counts */
    mc_crown crown[MC_TEETH]; /* those of the other arch do not stand */
    char by[9];
    char at[21];   /* UTC */
    char hash[65]; /* BLAKE2b-256, hex, of all of it */
} mc_measured_arch;
/* Add one to a completed check-up of an open case (checkup, arch, crown, by are given, the rest is
 * filled in). It can never be changed; another may follow it. */
mc_status mc_record_add_arch(mc_record *record, const mc_id *case_id, mc_measured_arch *arch,
                             mc_error *error);
/* Those of a case that count, by check-up, the upper first (free with free()). */
mc_status mc_record_measured_arches(mc_record *record, const mc_id *case_id, mc_measured_arch **out,
                                    size_t *count, mc_error *error);

/* ---- a check-up being entered ---- */

/* The note of a check-up: at most 500 characters. */
enum { MC_NOTE_SIZE = 2001, MC_NOTE_CHARACTERS = 500 };

/* What one step of entry says, and which of its values say it. */
typedef enum mc_step_what {
    MC_STEP_ALIGNER,    /* arch; whole: the aligner, MC_NO_ALIGNER takes it away */
    MC_STEP_DAY,        /* arch; whole: the day of the aligner, -1 takes it away */
    MC_STEP_WEAR,       /* number: hours a day, NaN takes it away */
    MC_STEP_METHOD,     /* whole: mc_method, of the whole check-up */
    MC_STEP_NOTE,       /* text; "" takes it away */
    MC_STEP_SEAT_GAP,   /* tooth, row; number: mm, NaN takes it away */
    MC_STEP_COMPONENT,  /* tooth, row, component; number: mm or deg, NaN takes it away;
                           short_of_plan */
    MC_STEP_ATTACHMENT, /* tooth; whole: mc_attachment, its "unsaid" takes it away; so the next */
    MC_STEP_CONTACT_MESIAL,
    MC_STEP_CONTACT_DISTAL,
    MC_STEP_MOBILITY, /* tooth; whole: grade, -1 takes it away */
    MC_STEP_PAIN,     /* tooth; whole: mc_yes */
    MC_STEP_SWELLING,
    MC_STEP_RECESSION, /* tooth; number: mm, NaN takes it away */
    MC_STEP_RELATIVE,  /* tooth, row; whole: mc_relative; number: as read, NaN takes it away */
    MC_STEP_REST_SEAT, /* every tooth that stands in an arch with a series, an aligner given and no
                          gap read so far: seats, said in bulk */
    MC_STEPS
} mc_step_what;

/* One value as it was entered. A tooth's rows count from 0; a second row is a repeated reading. */
typedef struct mc_step {
    mc_step_what what;
    mc_arch arch;
    mc_tooth tooth;
    int row;
    mc_component component;
    double number;
    int whole;
    bool short_of_plan;
    char text[MC_NOTE_SIZE];
    char by[9];  /* who entered it */
    bool undone; /* the undone ones are the last; the next new step takes them away for good */
} mc_step;

/* The open check-up of a case: frame as it was begun, without rows, and the steps since (free with
 * free()). *found is false where none is open. */
mc_status mc_record_open_checkup(mc_record *record, const mc_id *case_id, mc_checkup_info *out,
                                 mc_step **steps, size_t *count, bool *found, mc_error *error);
/* Begin one, as mc_record_add_checkup would; rows of the checkup are not looked at. */
mc_status mc_record_begin_checkup(mc_record *record, const mc_id *case_id, const mc_id *plan,
                                  const mc_checkup *checkup, int64_t settings, const char *by,
                                  mc_checkup_info *out, mc_error *error);
/* Append a step (the undone ones go), or undo the last or redo the next. Refuses where the check-up
 * is no longer open or does not have exactly `expected` steps of which `undone` are undone:
 * somebody else has entered something. */
mc_status mc_record_add_step(mc_record *record, const mc_id *checkup_id, size_t expected,
                             size_t undone, const mc_step *step, mc_error *error);
mc_status mc_record_undo_step(mc_record *record, const mc_id *checkup_id, size_t expected,
                              size_t undone, mc_error *error);
mc_status mc_record_redo_step(mc_record *record, const mc_id *checkup_id, size_t expected,
                              size_t undone, mc_error *error);
/* Complete it with these contents: they are what the steps came to. The steps go. */
mc_status mc_record_complete_checkup(mc_record *record, const mc_id *checkup_id, size_t expected,
                                     size_t undone, const mc_checkup *checkup, int64_t settings,
                                     const char *by, mc_checkup_info *out, mc_error *error);
/* Throw it away with its steps; its number is used again. */
mc_status mc_record_discard_checkup(mc_record *record, const mc_id *checkup_id, size_t expected,
                                    size_t undone, mc_error *error);

/* A second thread with a connection of its own that puts on the disk, within a second, what was
 * committed without durable. */
typedef struct mc_syncer mc_syncer;
mc_status mc_syncer_start(const char *path, mc_syncer **out, mc_error *error);
/* There is something new. */
void mc_syncer_wake(mc_syncer *syncer);
/* Everything that was committed before this call is on the disk when it returns. */
mc_status mc_syncer_flush(mc_syncer *syncer, mc_error *error);
/* Why the last attempt failed, "" where it did not: then what was entered may be lost in a power
 * cut. */
void mc_syncer_trouble(mc_syncer *syncer, char *out, size_t size);
void mc_syncer_stop(mc_syncer *syncer); /* after a last sync; NULL is fine */

/* ---- decisions ---- */

typedef struct mc_decision {
    mc_id id;
    int checkup;      /* number of the check-up it was made on */
    unsigned choices; /* bit 1 << mc_choice for each */
    int days;         /* of a hold; 0 none */
    int to;           /* aligner of a go-back; -1 none */
    mc_cause cause;
    char reason[501];
    mc_id plan; /* the plan it opened; none when it opened none */
    char by[9];
    char at[21];    /* UTC, 2026-01-31T09:30:00Z; filled in */
    char *evidence; /* JSON: score, options, proposal, settings and plan as seen; kept word for word
                     */
    char hash[65];  /* BLAKE2b-256, hex, of all the above and the plan seen; filled in */
} mc_decision;
void mc_decision_free(mc_decision *list, size_t count); /* and the list itself */

/* Keep a signed decision (id and at are filled in). Refuses who is not a doctor; the signer's
 * passphrase was checked before. The hash of the plan that the check-up was on is kept with it. */
mc_status mc_record_add_decision(mc_record *record, const mc_id *case_id, mc_decision *decision,
                                 mc_error *error);
mc_status mc_record_decisions(mc_record *record, const mc_id *case_id, mc_decision **out,
                              size_t *count, mc_error *error);
/* The same without what was seen: evidence NULL, hash "". Evidence is nearly all of a record, and
 * what lies behind it in a row is read through it. */
mc_status mc_record_decisions_said(mc_record *record, const mc_id *case_id, mc_decision **out,
                                   size_t *count, mc_error *error);

/* ---- the draft of a correction ---- */

/* What was changed on a case's workbench, kept to be taken up again; one a case. */
typedef struct mc_correction_draft {
    int64_t number;       /* 1, one more each time another is kept in the case */
    int checkup, version; /* the check-up whose poses it starts from, and its version */
    char *edits;          /* JSON, an array; the caller's to free */
    char by[9];
    char at[21];   /* UTC */
    char hash[65]; /* BLAKE2b-256, hex, of all the above */
} mc_correction_draft;
/* Keep one in place of the one before: checkup, version, edits and by are given, the rest is filled
 * in. Refuses a version that is not the check-up's newest, and edits that are no JSON array. */
mc_status mc_record_keep_draft(mc_record *record, const mc_id *case_id, mc_correction_draft *draft,
                               mc_error *error);
/* The one kept; *found false where there is none. */
mc_status mc_record_kept_draft(mc_record *record, const mc_id *case_id, mc_correction_draft *out,
                               bool *found, mc_error *error);

/* ---- journal ---- */

typedef struct mc_entry {
    int64_t number; /* from 1 without gaps */
    char at[21];    /* UTC */
    char by[9];
    mc_id case_id;   /* none when it concerns no case */
    char action[33]; /* "case opened", "check-up completed", "decision signed" ... */
    char *detail;    /* JSON object, canonical */
    char hash[65];   /* BLAKE2b-256, hex, chained to the entry before */
} mc_entry;
void mc_entries_free(mc_entry *list, size_t count);

struct json_t; /* of jansson */

/* A JSON value as text, whole (the caller frees it), or NULL: out of memory. flags: jansson's. */
char *mc_json_whole(const struct json_t *value, size_t flags);
/* Append an entry, chained to the one before. by NULL: nobody in particular; case_id NULL: no case.
 * detail is a JSON object; it is kept in canonical form. The functions above do not write the
 * journal by themselves: the action that calls them says who did what. */
mc_status mc_record_append(mc_record *record, const char *by, const mc_id *case_id,
                           const char *action, const char *detail, mc_error *error);
/* Entries of a case (NULL: all), oldest first. */
mc_status mc_record_journal(mc_record *record, const mc_id *case_id, mc_entry **out, size_t *count,
                            mc_error *error);

/* ---- summaries: a cache of what is computed from a case ---- */

enum { MC_SUMMARY_KEY_SIZE = 32, MC_SUMMARY_MOST = 256 };

/* A case, the key of everything on record that a computation about it can depend on, and what was
 * kept under that very key. */
typedef struct mc_summary {
    mc_case kase;
    int entering; /* number of the check-up that is being entered, 0 none; not part of the key */
    unsigned char key[MC_SUMMARY_KEY_SIZE];
    size_t size; /* of the content; 0: nothing is kept under this key */
    unsigned char content[MC_SUMMARY_MOST];
} mc_summary;

/* All open cases in the order of mc_record_cases (free with free()). computation names the way of
 * computing: what another way made is not found. What must be the same for the same key is all that
 * is computed from the case's plans, completed check-ups, decisions, settings and its teeth on the
 * days of check-ups; not what depends on the day it is asked for. It relies on every action
 * appending a journal entry of the case. Content that is damaged is as if it were not there. */
mc_status mc_record_summaries(mc_record *record, const char *computation, mc_summary **out,
                              size_t *count, mc_error *error);
/* One case, open or closed. */
mc_status mc_record_summary(mc_record *record, const char *computation, const mc_id *case_id,
                            mc_summary *out, mc_error *error);
/* Keep contents, each under its key, in a transaction of its own. It is only a cache: this waits
 * for no other writer, and where it is refused nothing is lost. */
mc_status mc_record_keep_summaries(mc_record *record, const mc_summary *list, size_t count,
                                   mc_error *error);
/* The check-ups that are being entered (free with free()). */
typedef struct mc_entering {
    mc_id case_id;
    int number;
} mc_entering;
mc_status mc_record_entering(mc_record *record, mc_entering **out, size_t *count, mc_error *error);
/* The cases (free with free()) with a journal entry after number *entry, which becomes that of the
 * last; a negative one: none are asked for. *others: there were entries of no case, such as of the
 * practice's settings. */
mc_status mc_record_cases_after(mc_record *record, int64_t *entry, mc_id **out, size_t *count,
                                bool *others, mc_error *error);

#endif
