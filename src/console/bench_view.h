/* The workbench: the re-staged series on the bench, seen tooth by tooth and changed by the doctor.
 * Its parts share what was worked out when something last changed; drawing only reads it. */
#ifndef CONSOLE_BENCH_VIEW_H
#define CONSOLE_BENCH_VIEW_H

#include "arch_draw.h"
#include "decide_view.h"

/* What the numbers of the table are. */
typedef enum bench_shows {
    BENCH_TO_GO, /* from where each tooth is to its target */
    BENCH_ENDS,  /* the target, from stage 0 of the present plan */
    BENCH_STAGE  /* the pose at a stage of the new series, from where the tooth is now */
} bench_shows;

/* What a screen without room for all of them shows of it. */
typedef enum bench_part { BENCH_TEETH, BENCH_ARCHES, BENCH_ACCOUNT, BENCH_PARTS } bench_part;

/* Two neighbours, the more important first. */
typedef struct bench_contact {
    const mc_restaged_contact *of;
    double now; /* overlap at the stage looked at, mm; NaN where there is no series */
} bench_contact;

typedef struct bench_view {
    decide_view *d; /* owns the bench, so that nothing is lost between the two screens */
    mc_tooth cursor;
    mc_component column;
    bench_shows shows;
    bench_part part;
    bool every; /* every standing tooth has a row, not only those that move */
    bool zoom;  /* only the cursor's quadrant is drawn */
    int stage;  /* of the new series, that is looked at */
    int top;    /* the first row of the table that is shown */
    /* worked out whenever something changed */
    mc_tooth teeth[MC_TEETH]; /* that have a row */
    int count;
    mc_bench_tooth tooth[MC_TEETH];
    mc_pose at[MC_TEETH];                    /* at that stage, from where each tooth is now */
    mc_crown is[MC_TEETH], should[MC_TEETH]; /* at that stage, and at the targets */
    arch_picture picture;
    bench_contact contact[MC_MOST_CONTACTS];
    size_t contacts;
    mc_option option[MC_BENCH_OPTIONS];
    size_t options;
    bool changed_by_edit; /* the last thing done was a change: it is told what it did */
    int was[MC_ARCHES];   /* aligners before it */
} bench_view;

static inline mc_bench *bench_of(const bench_view *v) {
    return v->d->correction.bench;
}

/* ---- what is worked out ---- */

/* After every change; and after another stage is looked at. */
void bench_look(bench_view *v);
void bench_look_at_stage(bench_view *v, int stage);
/* The longer of the two series. */
int bench_stages(const bench_view *v);
/* The number that the table shows of a tooth. */
double bench_number(const bench_view *v, mc_tooth tooth, mc_component c);
/* What stands there was changed: target, limit or overcorrection. */
bool bench_is_changed(const bench_view *v, mc_tooth tooth, mc_component c);
/* The target that a number typed there stands for; refuses an angle that has none. */
mc_status bench_target_of(const bench_view *v, mc_tooth tooth, mc_component c, double typed,
                          double *target, mc_error *error);

/* ---- in words ---- */

enum { BENCH_TEXT_SIZE = 400 };
/* Changes that stand, those made together counted as one. */
size_t bench_steps(const bench_view *v);
/* "Correction: draft from check-up 3, 2 changes, not kept". */
void bench_say_heading(const bench_view *v, char *out, size_t size);
/* "Lower 12 aligners to 2027-04-15, was 11; the limits need 12: 35 rotation": an arch's series. */
void bench_say_series(const bench_view *v, const console *con, mc_arch arch, char *out,
                      size_t size);
/* "Starts 2026-12-16, 10 days an aligner. Cause: staging." */
void bench_say_start(const bench_view *v, char *out, size_t size);
/* The room that is missing, in whole hundredths, never so few that it reads as enough. */
double bench_missing(const mc_restaged_contact *k);
/* "13 first", "in turns"; "" where neither is. */
void bench_say_who(const console *con, const mc_restaged_contact *k, char *out, size_t size);
/* "34-35: 35 goes first, costs 3": "" where the contact does nothing. */
void bench_say_contact(const console *con, const mc_restaged_contact *k, char *out, size_t size);
/* All of them, as many as do something, and where crowns are known from. */
void bench_say_crowns(const bench_view *v, const console *con, char *out, size_t size);
/* The cell under the cursor, all that is in force there. */
void bench_say_cell(const bench_view *v, const console *con, char *out, size_t size);
/* "35 rotation": the cell itself. */
void bench_say_place(const bench_view *v, const console *con, char *out, size_t size);
/* What a change did: "lower 12 aligners, was 11; ends 2026-07-21, was 2026-07-11". */
typedef struct bench_before {
    int stages[MC_ARCHES];
    mc_day end;
} bench_before;
bench_before bench_stands(const bench_view *v);
void bench_say_effect(const bench_view *v, const bench_before *before, char *out, size_t size);
const char *bench_limit_short(mc_limit limit);

/* ---- the plan of the correction ---- */

/* Take the plan over from the bench as it stands now; false where it could not be (said). */
bool bench_take_plan(console *con, decide_view *d);
/* The plan was read from a file and stands in place of the bench's. */
static inline bool bench_is_foreign(const bench_view *v) {
    return v->d->correction.file && !v->d->correction.drafted;
}
/* Keys of the workbench. */
void bench_ask_cause(console *con, void *self);
void bench_ask_start(console *con, void *self);
void bench_ask_interval(console *con, void *self);
void bench_accept_warnings(console *con, void *self);
void bench_read_warnings(console *con, void *self);
void bench_ask_write(console *con, void *self);
void bench_ask_read(console *con, void *self);
void bench_ask_targets(console *con, void *self);

/* ---- changing it: keys of the workbench ---- */

void bench_typed(console *con, void *self, int key); /* a number begins */
void bench_edit_cell(console *con, void *self);
void bench_own_target(console *con, void *self);
void bench_ask_limit(console *con, void *self);
void bench_ask_overcorrection(console *con, void *self);
void bench_take_suggestion(console *con, void *self);
void bench_ask_ipr_mesial(console *con, void *self);
void bench_ask_ipr_distal(console *con, void *self);
void bench_stay(console *con, void *self);
void bench_undo(console *con, void *self);
void bench_redo(console *con, void *self);
void bench_undo_all(console *con, void *self);
void bench_keep(console *con, void *self);

/* ---- the parts ---- */

void bench_draw(console *con, void *self, area body);
/* Which parts a body of this size shows at once beside the chosen one. */
bool bench_has_arches_beside(area body);
bool bench_has_account_below(area body);
void bench_draw_table(const console *con, bench_view *v, area box);
void bench_draw_contacts(const console *con, const bench_view *v, area box);
void bench_draw_arches(const console *con, bench_view *v, area box);
void bench_picture(bench_view *v); /* filled in anew */
void bench_marks(console *con, void *self, pager *page);

#endif
