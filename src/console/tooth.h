/* The tooth screen: one tooth over time, over the chart. */
#ifndef CONSOLE_TOOTH_H
#define CONSOLE_TOOTH_H

#include "chart_view.h"

/* Open it on the tooth under the chart's cursor; what is gone to here is gone to on the chart. */
void tooth_open(console *con, chart_view *chart);

#endif
