/* The practice's pace beside that of a mouth: a whole practice that runs behind what is published
 * is no trouble of one patient. */
#include "midcourse/practice.h"

#include <math.h>
#include <stdlib.h>

static bool has_pace(const mc_roster_row *row) {
    return !row->unread && isfinite(row->pace_mean) && row->pace_sd > 0;
}

void mc_pace_of_rows(const mc_roster_row *rows, size_t count, mc_pooled *out) {
    double *value = malloc((count + 1) * sizeof *value);
    double *variance = malloc((count + 1) * sizeof *variance);
    size_t n = 0;
    *out = (mc_pooled){.mean = NAN, .se = NAN, .tau2 = NAN, .q = NAN};
    for (size_t i = 0; value && variance && i < count; i++) {
        if (!has_pace(&rows[i]))
            continue;
        value[n] = rows[i].pace_mean;
        variance[n++] = rows[i].pace_sd * rows[i].pace_sd;
    }
    if (n > 0)
        mc_pool(value, variance, n, out);
    free(value);
    free(variance);
}

mc_status mc_practice_pace(mc_practice *practice, mc_day on, mc_pooled *out, mc_error *error) {
    mc_roster_row *rows = NULL, *unread[MC_MOST_ANEW];
    size_t count = 0, few = 0;
    mc_status status = mc_roster_begin(practice, on, &rows, &count, error);
    for (size_t i = 0; i < count && few < MC_MOST_ANEW; i++)
        if (rows[i].unread)
            unread[few++] = &rows[i];
    if (status == MC_OK)
        status = mc_roster_fill(practice, on, unread, few, error);
    mc_pace_of_rows(rows, count, out);
    free(rows);
    return status;
}
