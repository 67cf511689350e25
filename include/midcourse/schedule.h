/* schedule: when aligners change and check-ups fall due. Days only; it asks no clock. */
#ifndef MIDCOURSE_SCHEDULE_H
#define MIDCOURSE_SCHEDULE_H

#include "midcourse/base.h"

/* One arch's course of aligners from a known point: aligner `aligner` was begun on day `begun`. */
typedef struct mc_series {
    int stages;   /* N */
    int interval; /* days an aligner, at least 1 */
    int aligner;  /* 0..N; 0: none begun yet, the first is due on `begun` */
    mc_day begun;
    int held; /* days the present aligner is worn longer by decision */
} mc_series;

/* The series as it starts: aligner 1 begun on the plan's first day. stages may be 0 (no series). */
mc_series mc_series_start(int stages, int interval, mc_day start);
/* As seen at a check-up: aligner k on its day d (negative: not known, then it is taken as begun on
 * the day the dates so far say, kept within one interval before the check-up). */
mc_series mc_series_seen(const mc_series *before, mc_day date, int aligner, int day);
/* The aligner that the dates say is worn on a day, 0..N (0 before the start), and its day (from 1).
 */
int mc_series_aligner_on(const mc_series *series, mc_day date, int *day);
/* The day the next aligner after the one worn on `date` is begun; MC_NO_DAY when the last is being
 * worn. */
mc_day mc_series_next_change(const mc_series *series, mc_day date);
/* The day the last aligner has been worn for its interval; MC_NO_DAY without a series. */
mc_day mc_series_end(const mc_series *series);
/* Interval x 20 / hours, rounded up to whole days, for wear below `enough` hours: never shorter
 * than interval. */
int mc_interval_for_wear(int interval, double hours, double enough);

#endif
