/* The arches as seen from the occlusal side, opened from the chart on its tooth. */
#ifndef CONSOLE_OCCLUSAL_H
#define CONSOLE_OCCLUSAL_H

#include "chart_view.h"

/* The chart stays the owner of what is shown: its check-up, its stage, its tooth. */
void occlusal_open(console *con, chart_view *chart);

#endif
