/* What the decision's parts share: what is chosen so far, and how it is told. */
#ifndef CONSOLE_DECIDE_VIEW_H
#define CONSOLE_DECIDE_VIEW_H

#include "chart_view.h"
#include "midcourse/exchange.h"

enum { REASON_SIZE = 501, DECIDE_TEXT_SIZE = 900, MOST_WEIGHED = MC_MOST_OPTIONS + 16 };

/* The plan of a correction: made on the workbench, or a plan file that was read. */
typedef struct correction {
    mc_bench *bench; /* owned; NULL: not opened yet */
    bool unkept;     /* it has changes that are not kept on record */
    char *file;      /* the plan's bytes, owned; NULL: none yet, or there is no series */
    size_t size;
    mc_plan *plan;  /* the same, read; owned */
    char name[120]; /* "draft from check-up 3", or the file's name */
    bool drafted;   /* made on the bench */
    int stages[MC_ARCHES];
    char why_not[640]; /* why it cannot be signed, "" where it can */
    mc_warnings warnings;
    bool accepted; /* the warnings are */
    mc_cause cause;
    mc_day start;
    int interval[MC_ARCHES]; /* 0: as before */
} correction;

typedef struct decide_view {
    chart_view chart;  /* the assessment looked at, as the chart's parts draw it */
    chart_view *below; /* the chart that the decision is opened from */
    mc_settings now;   /* the settings in force */
    unsigned choices;  /* bit 1 << mc_choice for each */
    int days, to;      /* as last chosen, whether or not they are now */
    char reason[REASON_SIZE];
    correction correction;
    bool sign_next; /* what was missing is being asked for: then on with the signature */
    char by[9];     /* who signs */
    int top;        /* the first line of the proposal that is shown, where it is too long */
    /* told from the above whenever it changes */
    mc_outlook alone[MC_CHOICES]; /* each choice signed alone */
    mc_outlook next;              /* what is chosen, or nothing, signed */
    /* what was weighed since the screen was opened: first the usual options side by side */
    mc_option weighed[MOST_WEIGHED];
    size_t weighed_count, usual;
    const mc_plan *weighed_with; /* correcting now is this plan; NULL: as would be drafted */
} decide_view;

static inline bool decide_chosen(const decide_view *d, mc_choice choice) {
    return d->choices & 1u << choice;
}

/* As it would be signed; pointers are into d. */
mc_decide decide_made(const decide_view *d);
/* Look ahead again, after something was chosen. */
void decide_look_ahead(const console *con, decide_view *d);
/* Choose, taking away what that excludes and saying so. */
void decide_choose(console *con, decide_view *d, mc_choice choice);
void decide_take_away(console *con, decide_view *d, mc_choice choice);
/* Where a go-back may lead: the nearest and the furthest aligner; none where nearest is below 1. */
void decide_back_range(const mc_assessment *a, int *nearest, int *furthest);
/* Read the case again and start anew from what it holds now; false where that failed (said). */
bool decide_read_again(console *con, decide_view *d);

/* ---- what each choice is expected to bring ---- */

/* Weigh the usual options, with the correction that is chosen, as it would be signed; and later
 * each choice as it stands and what is chosen, where that was not weighed yet. */
void decide_weigh_usual(decide_view *d);
void decide_weigh_chosen(decide_view *d);
/* NULL where it was not weighed. */
const mc_option *decide_weighed(const decide_view *d, const mc_option_ask *ask);
/* One choice as it stands, taken alone; and all that are chosen. Where finishing closes the plan,
 * nothing follows: that is weighed as carrying on. */
mc_option_ask decide_ask_alone(const decide_view *d, mc_choice choice);
mc_option_ask decide_ask_chosen(const decide_view *d);

/* A row of the comparison. */
typedef struct decide_row {
    mc_choice choice;
    mc_option_ask ask;
    bool first; /* of its choice */
    bool taken; /* it is what is chosen, or part of it */
    bool proposed;
} decide_row;
enum { MOST_ROWS = MC_CHOICES + MC_MOST_OPTIONS };
/* Each choice as it stands, in the order of mc_choice; all: beside them the other days of a hold
 * and the other aligners to go back to. Returns how many. */
size_t decide_rows(const decide_view *d, bool all, decide_row out[MOST_ROWS]);

/* ---- in words ---- */

/* "hold 7 days", "finish, then correct": a row of the comparison. */
enum { ROW_NAME_SIZE = 60 };
void decide_say_row(const decide_view *d, const decide_row *row, char out[ROW_NAME_SIZE]);
/* "Proposal, rule 9 (one or two teeth behind), local measures, decision waits". */
void decide_say_heading(const console *con, const decide_view *d, char *out, size_t size);
/* What the proposal rests on, and whether it is a choice at all, in one line. */
void decide_say_basis(const decide_view *d, int columns, char *out, size_t size);
/* What was assumed when the options were weighed. */
void decide_say_assumed(const decide_view *d, char *out, size_t size);

/* "hold 7 days", "go back to aligner 12", "correct with a new plan": one choice as it stands. */
void decide_say_choice(const decide_view *d, mc_choice choice, char *out, size_t size);
/* "hold 7 days and local measures": what is chosen; "" where nothing is. */
void decide_say_choices(const decide_view *d, char *out, size_t size);
/* "hold 7 days on check-up 3 of case 1005; reason: ...": all that is signed. */
void decide_say_all(const decide_view *d, char *out, size_t size);
/* "upper and lower 14 on 2026-12-07; check-up 2026-12-02; the series ends: upper on ...". */
void decide_say_next(const mc_outlook *o, char *out, size_t size);

/* ---- the parts ---- */

void decide_draw(console *con, void *self, area body);
/* Where the rest of the proposal begins, after a page has been turned. */
void decide_scroll(decide_view *d, int lines);

/* The comparison's columns begin at box.col + EXPECTED_COL in every place where it stands; wider
 * boxes have more of them. */
enum { EXPECTED_COL = 28 };
void decide_draw_expected_heading(const console *con, area box, const char *first);
/* The numbers of one option (NULL: not weighed); after: carrying on, to tell days later or sooner.
 */
void decide_draw_expected(const console *con, const mc_option *option, const mc_option *after,
                          area box);
/* How each tooth is expected to end, and its chance to end outside by each of these. Returns the
 * rows taken. */
typedef struct ends_column {
    const char *heading;
    const mc_option *option; /* NULL: not known */
} ends_column;
int decide_draw_ends(const console *con, const decide_view *d, const ends_column *columns,
                     size_t count, area box);

/* ---- correcting ---- */

/* Open the workbench. */
void bench_open(console *con, decide_view *d);
void correct_forget(decide_view *d);
/* Ask why it is needed: Enter hands the text to on_text, which takes it with correct_take_cause. */
void correct_ask_cause(console *con, void (*on_text)(console *, void *, const char *));
bool correct_take_cause(console *con, decide_view *d, const char *text);
/* What would be lost by leaving the decision; "" where nothing would. */
const char *correct_unkept(const decide_view *d);

/* ---- signing ---- */

/* A key: sign what is chosen; asks for what is still missing. */
void decide_sign(console *con, void *self);
void decide_ask_reason(console *con, void *self);
/* The signature is being asked for: what is signed has to be seen whole. */
bool decide_is_signing(const console *con);

#endif
