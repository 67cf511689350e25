/* schedule: when aligners change and check-ups fall due. Days only; it asks no clock. */
#ifndef MIDCOURSE_SCHEDULE_H
#define MIDCOURSE_SCHEDULE_H

#include "midcourse/base.h"

/* One arch's course of aligners from a known point: aligner `aligner` was begun on day `begun` and
 * is worn for interval + held days; every later one for interval days. Before the known point the
 * dates count back one interval an aligner. An interval below 1 counts as 1, a hold below 0 as 0.
 */
typedef struct mc_series {
    int stages;   /* N; 0: no series */
    int interval; /* days an aligner, at least 1 */
    int aligner;  /* 0..N; 0: none begun yet, the first is due on `begun` */
    mc_day begun;
    int held;   /* days the present aligner is worn longer by decision; of aligner 0: the first is
                   begun that much later */
    bool waits; /* the present aligner is worn until another series comes: no change is due, and
                   the series does not come to its end */
} mc_series;

/* The series as it starts: aligner 1 begun on the plan's first day. stages may be 0 (no series). */
mc_series mc_series_start(int stages, int interval, mc_day start);
/* As seen at a check-up: aligner k (more than N counts as N) on its day d, day 1 being the day it
 * was begun (0 counts as 1). d negative: not known, then the aligner is taken as begun on the day
 * the dates so far say, but not after the check-up nor so long before it that the next would have
 * been due by then. A hold stays with the aligner it was decided on. What was seen is what the
 * dates say on that day: an aligner worn beyond its time is due for change on the next day, and
 * with none begun (k = 0) the first is due on the next day at the earliest. k negative (arch not
 * looked at), or no series: the series as before. */
mc_series mc_series_seen(const mc_series *before, mc_day date, int aligner, int day);
/* The aligner that the dates say is worn on a day, 0..N (0 before the start and without a series;
 * N from its first day on, also after the end), and its day (may be NULL): from 1, 0 where no
 * aligner is worn. */
int mc_series_aligner_on(const mc_series *series, mc_day date, int *day);
/* The day on which an aligner is begun by the dates; MC_NO_DAY for one that is not in the series,
 * and for a later one than the present while that waits. */
mc_day mc_series_begins(const mc_series *series, int aligner);
/* The day the next aligner after the one worn on `date` is begun, always after `date`; MC_NO_DAY
 * when the last is being worn, when it waits, and without a series. */
mc_day mc_series_next_change(const mc_series *series, mc_day date);
/* The first day on which the last aligner has been worn for its interval (and hold); MC_NO_DAY
 * without a series and while it waits. */
mc_day mc_series_end(const mc_series *series);
/* The series after a decision on the check-up of `date`: gone back to aligner `to`, begun that day,
 * where that is an earlier one than the present (negative: not gone back), and the aligner then
 * worn held `days` longer. */
void mc_series_decide(mc_series *series, int to, int days, mc_day date);
/* The aligner that the dates say is worn on `date` is kept until another series comes. */
void mc_series_wait(mc_series *series, mc_day date);
/* Interval x enough / hours, rounded up to whole days, for wear below `enough` hours a day: never
 * shorter than interval, which is also the answer where hours is not known (NaN) or enough. Below
 * one hour a day counts as one. */
int mc_interval_for_wear(int interval, double hours, double enough);

#endif
