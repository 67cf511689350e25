/* The plan at other stages than the check-up's own. Signed values are planned less known: what is
 * to go. NaN where there is no plan, no series in the arch, or nothing known. */
#ifndef CONSOLE_CHART_AHEAD_H
#define CONSOLE_CHART_AHEAD_H

#include "chart_view.h"

/* The stage looked at in an arch: chart->steps aligners after the check-up's own, within the plan;
 * the check-up's own where steps is 0. */
double chart_ahead_stage(const console *con, const chart_view *chart, mc_arch arch);
/* Go so many aligners on or back; false where the plan ends in both arches. */
bool chart_ahead_step(const console *con, chart_view *chart, int step);
/* "looking ahead", "looking back"; "stage 16", or "stages 16, 15" where the arches differ. */
const char *chart_ahead_way(const chart_view *chart);
void chart_ahead_name(const console *con, const chart_view *chart, char *out, size_t size);

/* Of one tooth and component at that stage: planned; to go from the estimate of the check-up shown;
 * what the step to the next whole stage adds. */
double chart_ahead_planned(const console *con, const chart_view *chart, mc_tooth tooth,
                           mc_component c);
double chart_ahead_to_go(const console *con, const chart_view *chart, mc_tooth tooth,
                         mc_component c);
double chart_ahead_next(const console *con, const chart_view *chart, mc_tooth tooth,
                        mc_component c);
/* Whether the step to the next stage moves the tooth. */
bool chart_ahead_moves(const console *con, const chart_view *chart, mc_tooth tooth);
/* The component with the most to go, in tolerances; MC_WORST_NONE where none was ever read. */
int chart_ahead_furthest(const console *con, const chart_view *chart, mc_tooth tooth);

/* What is due at exactly that stage: an attachment placed or removed, IPR in mm. */
mc_mark chart_ahead_mark(const console *con, const chart_view *chart, mc_tooth tooth);
double chart_ahead_ipr(const console *con, const chart_view *chart, mc_tooth tooth, bool mesial);

/* The tooth at that stage, and what is due in the whole mouth, in sentences. */
void chart_ahead_sentence(const console *con, const chart_view *chart, mc_tooth tooth, char *out,
                          size_t size);
void chart_ahead_due(const console *con, const chart_view *chart, char *out, size_t size);

#endif
