/* The workbench's inside: what the changes come to, and the series that was made by them. */
#ifndef BENCH_H
#define BENCH_H

#include "practice.h"

/* What the changes that stand come to, of one tooth. */
typedef struct {
    double target[MC_COMPONENTS]; /* NaN: where the present plan ends */
    double more[MC_COMPONENTS];   /* percent of overcorrection */
    double limit[MC_COMPONENTS];  /* 0: the settings' */
    bool own_ipr[2];              /* mesial, distal */
    mc_ipr ipr[2];                /* where own_ipr */
    bool stays;
} bench_wish;

/* What was made of them: the tasks, the series and its account, and why it is no order. */
typedef struct {
    bench_wish wish[MC_TEETH];
    mc_restage_ask ask; /* present and target also of standing teeth that have no task */
    mc_restaged account;
    mc_plan *plan; /* NULL where there is no series */
    bool failed;   /* it cannot be re-staged at all; trouble tells */
    mc_error trouble;
    char why[300];
} bench_made;

struct mc_bench {
    mc_practice *practice;
    mc_assessment *a;
    exact_poses poses;
    mc_arches arches;            /* at the present poses: `at` all zero */
    mc_tooth_ipr left[MC_TEETH]; /* IPR that the present plan has not done yet */
    mc_bench_edit *edit;         /* those that stand, and behind them those to do again */
    size_t count, stand, room;
    bench_made *made;
    mc_restage_known *known; /* of contacts, from one change to the next; NULL: nothing */
    int64_t kept;            /* number of the draft on record when it was looked at; 0 none */
    bool taken_up;
    char kept_by[9];
};

/* Refuses, in a sentence that says what to do, a change that cannot be. */
mc_status bench_check(const mc_bench *bench, const mc_bench_edit *edit, mc_error *error);
/* What the first `stand` changes come to. */
void bench_wishes(const mc_bench *bench, size_t stand, bench_wish wish[MC_TEETH]);
bool bench_same_wish(const bench_wish *one, const bench_wish *other);

/* Where it should end, without overcorrection. */
mc_pose bench_target(const mc_bench *bench, const bench_wish *wish, mc_tooth tooth);
/* The tasks and the IPR of made->wish. Refuses an overcorrection that goes round an angle's end. */
mc_status bench_tasks(const mc_bench *bench, bench_made *made, mc_error *error);
/* Where the crowns of both arches stand at the present poses: fills in bench->arches. */
void bench_crowns(mc_bench *bench);
/* Make everything anew from the first `stand` changes; refuses only for want of memory. */
mc_status bench_make(const mc_bench *bench, size_t stand, bench_made **out, mc_error *error);
void bench_made_free(bench_made *made);
/* Fill in made->why. */
void bench_say_why(const mc_bench *bench, bench_made *made);

/* Room for so many changes in all. */
mc_status bench_room(mc_bench *bench, size_t count, mc_error *error);
/* Look which draft is on record and, where wanted and it was made from the same version of the same
 * check-up, take up its changes. */
mc_status bench_take_up(mc_bench *bench, bool wanted, mc_error *error);

#endif
