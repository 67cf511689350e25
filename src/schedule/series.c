/* A series of aligners in days. */
#include "midcourse/schedule.h"

#include <limits.h>
#include <math.h>

/* Days are added up in 64 bits, so that no interval, however odd, runs over. */
static int64_t interval_of(const mc_series *series) {
    return series->interval > 0 ? series->interval : 1;
}

static int64_t hold_of(const mc_series *series) {
    return series->held > 0 ? series->held : 0;
}

static mc_day as_day(int64_t day) {
    if (day <= MC_NO_DAY) {
        return MC_NO_DAY + 1;
    }
    return day > INT32_MAX ? INT32_MAX : (mc_day)day;
}

/* The day the aligner after the one of the known point is begun. */
static int64_t first_change(const mc_series *series) {
    const int64_t worn = series->aligner > 0 ? interval_of(series) : 0;
    return series->begun + worn + hold_of(series);
}

static int64_t begins(const mc_series *series, int aligner) {
    if (aligner <= series->aligner) {
        return series->begun - (series->aligner - aligner) * interval_of(series);
    }
    return first_change(series) + (aligner - series->aligner - 1) * interval_of(series);
}

mc_series mc_series_start(int stages, int interval, mc_day start) {
    return (mc_series){
        .stages = stages, .interval = interval, .aligner = stages > 0 ? 1 : 0, .begun = start};
}

/* None begun on `date`, although the dates may say otherwise. */
static mc_series none_begun(const mc_series *before, mc_day date) {
    const int64_t due = begins(before, 1);
    mc_series seen = *before;
    seen.aligner = 0;
    seen.begun = as_day(due > date ? due : (int64_t)date + 1);
    seen.held = 0;
    return seen;
}

mc_series mc_series_seen(const mc_series *before, mc_day date, int aligner, int day) {
    mc_series seen = *before;
    if (before->stages <= 0 || aligner < 0) {
        return seen;
    }
    if (aligner == 0) {
        return none_begun(before, date);
    }
    seen.aligner = aligner < before->stages ? aligner : before->stages;
    seen.held = seen.aligner == before->aligner ? (int)hold_of(before) : 0;
    const int64_t longest = before->waits ? INT_MAX : interval_of(before) + seen.held;
    int64_t worn = day > 0 ? day : 1;
    if (day < 0) {
        worn = date - begins(before, seen.aligner) + 1;
        worn = worn < 1 ? 1 : worn > longest ? longest : worn;
    }
    seen.begun = as_day(date - worn + 1);
    if (worn > longest) {
        seen.held = (int)(worn - interval_of(before));
    }
    return seen;
}

int mc_series_aligner_on(const mc_series *series, mc_day date, int *day) {
    const int64_t interval = interval_of(series), change = first_change(series);
    int64_t worn = series->aligner;
    if (series->waits && date >= series->begun) {
        worn = series->aligner;
    } else if (!series->waits && date >= change) {
        worn = series->aligner + 1 + (date - change) / interval;
    } else if (date < series->begun) {
        worn = series->aligner - 1 - ((int64_t)series->begun - date - 1) / interval;
    }
    worn = worn > series->stages ? series->stages : worn;
    worn = worn > 0 ? worn : 0;
    if (day) {
        *day = worn > 0 ? (int)(date - begins(series, (int)worn) + 1) : 0;
    }
    return (int)worn;
}

mc_day mc_series_begins(const mc_series *series, int aligner) {
    if (series->waits && aligner > series->aligner) {
        return MC_NO_DAY;
    }
    return aligner >= 1 && aligner <= series->stages ? as_day(begins(series, aligner)) : MC_NO_DAY;
}

mc_day mc_series_next_change(const mc_series *series, mc_day date) {
    const int worn = mc_series_aligner_on(series, date, NULL);
    return worn < series->stages ? mc_series_begins(series, worn + 1) : MC_NO_DAY;
}

mc_day mc_series_end(const mc_series *series) {
    if (series->stages <= 0 || series->waits) {
        return MC_NO_DAY;
    }
    return as_day(begins(series, series->stages + 1));
}

int mc_interval_for_wear(int interval, double hours, double enough) {
    if (isnan(hours) || mc_reaches(hours, enough)) {
        return interval;
    }
    const double days = ceil(interval * enough / fmax(hours, 1) - 1e-9);
    return days > interval ? (int)fmin(days, INT_MAX) : interval;
}

void mc_series_decide(mc_series *series, int to, int days, mc_day date) {
    if (to >= 0 && to < series->aligner) {
        series->aligner = to;
        series->begun = date;
        series->held = 0;
    }
    series->held += days > 0 ? days : 0;
}

void mc_series_wait(mc_series *series, mc_day date) {
    const int worn = mc_series_aligner_on(series, date, NULL);
    if (worn > 0) {
        series->begun = as_day(begins(series, worn));
        series->aligner = worn;
    } else {
        series->aligner = 0;
        series->begun = date;
    }
    series->held = 0;
    series->waits = true;
}
