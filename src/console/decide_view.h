/* What the decision's parts share: what is chosen so far, and how it is told. */
#ifndef CONSOLE_DECIDE_VIEW_H
#define CONSOLE_DECIDE_VIEW_H

#include "chart_view.h"
#include "midcourse/exchange.h"

enum { REASON_SIZE = 501, DECIDE_TEXT_SIZE = 900 };

/* The plan of a correction: a draft made here, or a plan file that was read. */
typedef struct correction {
    char *file; /* its bytes, owned; NULL: none yet */
    size_t size;
    char name[120]; /* "draft from check-up 3", or the file's name */
    bool drafted;   /* made here: account is its account */
    mc_restaged account;
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

/* ---- in words ---- */

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

/* ---- correcting ---- */

/* Show the correction, drafting it where there is none yet. */
void correct_open(console *con, decide_view *d);
void correct_forget(decide_view *d);

/* ---- signing ---- */

/* A key: sign what is chosen; asks for what is still missing. */
void decide_sign(console *con, void *self);
void decide_ask_reason(console *con, void *self);
/* The signature is being asked for: what is signed has to be seen whole. */
bool decide_is_signing(const console *con);

#endif
