/* The console at a case's check-up form under a pseudo-terminal, on a copy of the demo, and what is
 * on record of it afterwards. */
#ifndef CHAIR_H
#define CHAIR_H

#include "demo.h"
#include "pty.h"

#include "midcourse/console.h"

#include <math.h>

#define ESC "\033"
#define CTRL_Q "\021"
#define CTRL_R "\022"
#define RIGHT "\033OC"
#define LEFT "\033OD"
#define DOWN "\033OB"
#define DELETE "\033[3~"
#define PAGE_UP "\033[5~"
#define BACKSPACE "\177"

static char record[100];

/* Every test has the demo as it was made. */
static inline int fresh(void **state) {
    (void)state;
    snprintf(record, sizeof record, "%s/demo.db", folder);
    copy_demo(record);
    return 0;
}

/* ---- the program under the terminal ---- */

typedef struct visit {
    const char *label; /* of the case to open */
    const char *who;   /* NULL: nobody */
} visit;

static inline void play(void *context) {
    const visit *v = context;
    mc_practice *practice = NULL;
    mc_error error = {0};
    mc_status status = mc_practice_open(record, today(), &practice, &error);
    if (status == MC_OK && v->who)
        status = mc_practice_act_as(practice, v->who, &error);
    if (status == MC_OK)
        status = mc_console_run(practice, v->label, NULL, &error);
    mc_practice_close(practice);
    _exit((int)status);
}

static const pty_setting SMALL = {.rows = 24, .cols = 80};

static inline pty at_chart(pty_setting setting, const char *label, const char *who) {
    visit v = {label, who};
    pty p = pty_start(setting, play, &v);
    pty_await(&p, "F1 ? help");
    return p;
}

static inline pty at_form(pty_setting setting, const char *label) {
    pty p = at_chart(setting, label, "JT");
    pty_keys(&p, "e");
    pty_await(&p, "being entered");
    return p;
}

static inline void type_until(pty *p, const char *keys, const char *text) {
    pty_keys(p, keys);
    pty_await(p, text);
}

static inline void leave(pty *p) {
    pty_keys(p, CTRL_Q);
    pty_ended_well(p);
}

/* ---- what is on record ---- */

typedef struct look {
    mc_practice *practice;
    mc_case kase;
    mc_draft *draft;
} look;

static inline look look_at(const char *label) {
    look l = {0};
    mc_error error = {0};
    if (mc_practice_open(record, today(), &l.practice, &error) != MC_OK ||
        mc_practice_act_as(l.practice, "JT", &error) != MC_OK ||
        mc_case_find(l.practice, label, &l.kase, &error) != MC_OK ||
        mc_draft_open(l.practice, &l.kase, &l.draft, &error) != MC_OK)
        fail_msg("%s", error.text);
    return l;
}

static inline void look_end(look *l) {
    mc_draft_close(l->draft);
    mc_practice_close(l->practice);
}

/* The gap said of a tooth, NaN where none is. */
static inline double gap_of(const look *l, int iso, int row) {
    const mc_reading *r = mc_draft_row(l->draft, mc_tooth_from_iso(iso), row);
    return r ? r->seat_gap : NAN;
}

static inline double position_of(const look *l, int iso, mc_component c) {
    const mc_reading *r = mc_draft_row(l->draft, mc_tooth_from_iso(iso), 0);
    return r ? r->value[c] : NAN;
}

static inline void nothing_is_said(const char *label) {
    look l = look_at(label);
    assert_int_equal(mc_draft_steps(l.draft), 0);
    look_end(&l);
}

#endif
