/* The chart of a case: both arches, the tooth under the cursor, the proposal. */
#ifndef CONSOLE_CHART_H
#define CONSOLE_CHART_H

#include "frame.h"

/* Show an assessment (taken over, freed with mc_assessment_free). */
void chart_show(console *con, mc_assessment *assessment);
/* Read a case at a check-up (0: the last) and show it. */
mc_status chart_open(console *con, const mc_case *kase, int number, mc_error *error);
/* Read the case of a chart again and show its last check-up; false where that failed (said). */
bool chart_show_last(console *con, void *chart);

#endif
