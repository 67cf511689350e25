/* The tracker's inside, shared by the filter and the score. */
#ifndef TRACKER_H
#define TRACKER_H

#include "midcourse/tracking.h"

/* One component's filter: x its true position, rho the share of the planned movement that it
 * delivers, and what the baselines of readings against the neighbour on either side are wrong by,
 * which every later one of them shares (a crown's angle has the first of these). Given the shared
 * pace a, the state is mean + sensitivity a with covariance cov. */
enum { STATE_X, STATE_SHARE, STATE_BASE, STATE_OTHER_BASE, STATES };
typedef struct {
    bool followed;              /* read at least once on this plan */
    int states;                 /* in use: STATE_BASE without a baseline, else STATES */
    double s;                   /* stage it stands at */
    double mean[STATES];        /* at a = 0 */
    double cov[STATES][STATES]; /* given a */
    double sensitivity[STATES]; /* of the state to a */
    double expected;            /* mu, the expected share it started from */
    double rest;                /* q, standard deviation of unplanned movement a stage */
} filter;

/* What a check-up read of one component, combined. */
typedef struct {
    int count;       /* readings; 0: not read */
    double observed; /* weighted mean */
    double variance; /* of that mean */
} observation;

/* What a check-up left behind for the question whether a tooth has stalled since: where a component
 * that was read was estimated to be; NaN where it was not. */
typedef struct {
    double x, variance;
} trace;

typedef struct {
    double stage[MC_ARCHES];
    trace item[MC_TEETH][MC_COMPONENTS];
} checkup_trace;

/* What a check-up found of a tooth beside positions, as in mc_tooth_score. */
typedef struct {
    double seat_gap, recession;
    mc_attachment attachment;
    mc_contact contact_mesial, contact_distal;
    int mobility;
    mc_yes pain, swelling;
} tooth_findings;

/* What is known on this plan of something read against a neighbour. */
typedef struct {
    double baseline, variance; /* NaN: none */
    mc_tooth neighbour;        /* it was read against then */
    double last;               /* the last reading; NaN: never read on this plan */
} relative_past;

/* What a check-up read of it: the mean of its readings and the variance of that. */
typedef struct {
    int count; /* readings; 0: not read, and nothing else is said */
    double read, variance;
    mc_tooth neighbour;
    double baseline, should_read; /* NaN where it is kept, but cannot be used */
} relative_reading;

struct mc_tracker {
    mc_settings settings;
    const mc_plan *plan;
    filter filter[MC_TEETH][MC_COMPONENTS];
    double pace_precision, pace_weighted; /* 1/0.20^2 + sum h^2/S, and sum h nu/S */
    relative_past past[MC_TEETH][MC_RELATIVES];
    double start_variance[MC_TEETH][MC_COMPONENTS]; /* of the poses that the plan starts from */

    /* the last check-up */
    mc_checkup checkup; /* without its rows */
    double effective_stage[MC_ARCHES];
    observation observed[MC_TEETH][MC_COMPONENTS];
    relative_reading relative[MC_TEETH][MC_RELATIVES];
    bool
        relative_read; /* any of them: most check-ups have none, and there are many to go through */
    tooth_findings findings[MC_TEETH];

    checkup_trace *earlier; /* check-ups on this plan before the last one */
    size_t earlier_count, earlier_room;
};

/* Carry a filter to stage `to`, over each straight piece of the plan between. */
void mc_filter_carry(filter *f, const mc_plan *plan, mc_tooth tooth, mc_component c, double to);
/* The same where only a part of the planned movement is asked of it: that of a tooth without its
 * grip. */
void mc_filter_carry_part(filter *f, const mc_plan *plan, mc_tooth tooth, mc_component c, double to,
                          double part);
/* The filter of a component carried to where its arch stood at the last check-up. */
filter mc_filter_now(const mc_tracker *tracker, mc_tooth tooth, mc_component c);
/* Take in an observation at the stage the filter stands at; adds to what is known of the shared
 * pace. shared: how far the observation itself follows the pace, as one does that rests on where
 * another tooth is; 0 for one of this tooth alone. base: STATE_BASE or STATE_OTHER_BASE for one
 * that is wrong by that too; STATE_X for none. */
void mc_filter_update(mc_tracker *tracker, filter *f, double observed, double variance,
                      double shared, int base);
/* One more reading of a component into what the check-up says of it: by 1/variance. */
void mc_observe(observation *all, double observed, double variance);
/* Position with the shared pace integrated: mean and variance of x. */
void mc_filter_position(const mc_tracker *tracker, const filter *f, double *mean, double *variance);
double mc_pace_mean(const mc_tracker *tracker);
double mc_pace_variance(const mc_tracker *tracker);

/* Readings against a neighbour: forget those of the last check-up; begin a plan; why a row's cannot
 * be (NULL: it can); take a row in; and, once all rows and what they say of each tooth alone are
 * taken in, what they add to that. */
void mc_relative_clear(mc_tracker *tracker);
void mc_relative_begin(mc_tracker *tracker, const mc_start *start);
const char *mc_relative_fault(const mc_reading *r, const mc_tooth_state *states);
void mc_relative_gather(mc_tracker *tracker, const mc_reading *r);
void mc_relative_settle(mc_tracker *tracker, const mc_tooth_state *states);
/* What the last check-up read. */
mc_relative_item mc_relative_said(const mc_tracker *tracker, mc_tooth tooth, mc_relative what);

/* The item of a followed component at the last check-up: everything but what the whole tooth
 * decides. */
mc_item mc_score_item(const mc_tracker *tracker, mc_tooth tooth, mc_component c);

/* Stage equivalent of a pose x over the components in use, see midcourse-method(7). */
typedef struct {
    bool exists;
    double stage, off_path, lag;
} equivalent;
equivalent mc_stage_equivalent(const mc_plan *plan, mc_tooth tooth, const bool use[MC_COMPONENTS],
                               const double tolerance[MC_COMPONENTS], const double x[MC_COMPONENTS],
                               double s);

/* P(value >= threshold) for a normal value; where the SD is 0, whether it reaches it. */
double mc_chance(double value, double sd, double threshold);

#endif
