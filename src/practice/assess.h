/* The parts of an assessment, for what comes last said once (a check-up on record) or again and
 * again (one being entered). */
#ifndef PRACTICE_ASSESS_H
#define PRACTICE_ASSESS_H

#include "practice.h"

/* What the record holds of a case, in order. */
typedef struct {
    mc_plan_info *plans;
    size_t plan_count;
    mc_plan **plan; /* rows of each */
    mc_start *start;
    mc_checkup_info *checkups;
    size_t checkup_count;
    mc_tooth_change *teeth;
    size_t tooth_count;
    mc_measured_arch *arches; /* those that count, by check-up */
    size_t arch_count;
} held;
mc_status mc_held_load(mc_record *record, const mc_case *kase, held *h, mc_error *error);
void mc_held_free(held *h);
/* One more check-up behind those on record, its frame only. Number 0: the next. */
mc_status mc_held_append(held *h, const mc_checkup_info *open, mc_error *error);

/* A case replayed up to the check-up before its last. */
typedef struct {
    held h;
    int plan, last;     /* index of the plan, and of the last check-up */
    mc_tracker *before; /* has taken in every check-up but the last */
} replay;
void mc_replay_free(replay *r);

/* mc_assess of number 0, as of another day than today. */
mc_status mc_assess_on(mc_practice *practice, const mc_case *kase, mc_day on, bool current_settings,
                       mc_assessment **out, mc_error *error);
/* mc_assess, and what was replayed for it (the caller's to free): r->before is the case before the
 * check-up that was assessed. */
mc_status mc_assess_keeping(mc_practice *practice, const mc_case *kase, int number,
                            bool current_settings, replay *r, mc_assessment **out, mc_error *error);

/* Assess a case with one more check-up than are on record: `open`, on the active plan, nothing read
 * yet, with its settings set. *r is then ready for mc_assess_again; both are the caller's to free.
 * No decision is due on a check-up that is open. */
mc_status mc_assess_open(mc_practice *practice, const mc_case *kase, const mc_checkup_info *open,
                         replay *r, mc_assessment **out, mc_error *error);
/* The same once more with other contents, whose rows and note stay the caller's: they are not to be
 * freed with the assessment (mc_assess_let_go). Refuses, changing nothing, what the tracker does.
 */
mc_status mc_assess_again(replay *r, const mc_checkup *now, mc_assessment *a, mc_error *error);
void mc_assess_let_go(mc_assessment *a);
/* Whether, and where, the arches of a->plan were measured, up to the check-up of that index; -1: of
 * all before the plan. To be asked while r still has the check-ups' readings. */
void mc_find_measured(const replay *r, int checkup, mc_assessment *a);
/* Where the arches of the active plan stand by the dates before the last check-up. */
void mc_series_before(const replay *r, const mc_assessment *a, mc_series out[MC_ARCHES]);

#endif
