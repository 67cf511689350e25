/* The chart's parts, each drawn from values alone into the place that the layout gives it. */
#ifndef CONSOLE_CHART_VIEW_H
#define CONSOLE_CHART_VIEW_H

#include "chart_crowns.h"
#include "frame.h"
#include "pager.h"

typedef struct chart_view {
    mc_assessment *a; /* owned */
    mc_tooth cursor;  /* a tooth that stands, MC_NO_TOOTH where none does */
    int steps;        /* aligners from the check-up's own stage that are looked at: + ahead, - back;
                         0: the check-up itself */
    int entering;     /* number of the check-up that is being entered; 0 none */
    bool only_off;    /* the teeth that do not matter now are hidden */
    chart_crowns crowns; /* as drawn from the occlusal side */
} chart_view;

/* ---- what is known of a tooth ---- */

bool chart_stands(const chart_view *chart, mc_tooth tooth);
/* NULL where no check-up is shown. */
const mc_tooth_score *chart_score(const chart_view *chart, mc_tooth tooth);
mc_state chart_state(const chart_view *chart, mc_tooth tooth);
/* The effective stage of an arch: of the check-up shown, else by the dates today; NaN where it has
 * no series. */
double chart_stage(const console *con, const chart_view *chart, mc_arch arch);
/* The planned value now; NaN without a plan or a stage. */
double chart_planned(const console *con, const chart_view *chart, mc_tooth tooth, mc_component c);
/* Something on the tooth needs care: pain, swelling, mobility of grade 2 and more. */
enum { LOOSE_GRADE = 2 };
bool chart_care(const mc_tooth_score *score);

/* Every tooth that stands, by urgency: stalled, behind, drifting, past plan, slipping, seated, on
 * plan, unmeasured; one that needs care comes at the latest among the slipping; within these the
 * larger lag index first, then in chart order. *matters is how many of them are slipping or worse
 * or need care: those matter. Returns how many there are. */
size_t chart_by_urgency(const chart_view *chart, mc_tooth out[MC_TEETH], size_t *matters);

/* Whether it does not matter now and is to be hidden: on plan or seated, without a finding; where
 * another stage is looked at, not moved on from there. */
bool chart_hides(const console *con, const chart_view *chart, mc_tooth tooth);

/* The two teeth that may stand in a column of an arch (0 to 15, the patient's right first): the
 * permanent one and the deciduous one of its place; MC_NO_TOOTH where none stands. */
enum { ARCH_PLACES = 16 };
void chart_place(const chart_view *chart, mc_arch arch, int place, mc_tooth *permanent,
                 mc_tooth *deciduous);
int chart_place_of(mc_tooth tooth);
/* The teeth of an arch from the patient's right to left; where a deciduous tooth stands beside its
 * successor, the successor first. Returns how many. */
int chart_arch_order(const chart_view *chart, mc_arch arch, mc_tooth out[MC_TEETH]);

/* ---- where it will end ---- */

/* The forecast of a tooth, of a component; NULL where no check-up is shown or nothing of it was
 * read on this plan. */
const mc_tooth_forecast *chart_forecast(const chart_view *chart, mc_tooth tooth);
const mc_component_forecast *chart_component_end(const chart_view *chart, mc_tooth tooth,
                                                 mc_component c);
/* The component most likely to end outside its finishing tolerance; MC_WORST_NONE where none is
 * known. */
int chart_furthest_end(const chart_view *chart, mc_tooth tooth);
/* Whether the tooth is to be named for its end: outside with the probability from which the rules
 * name it. */
bool chart_ends_outside(const chart_view *chart, mc_tooth tooth);
/* "9.2 deg short (4.1 to 14.3), outside 97 %": along the plan, or the way it goes where none is
 * planned; the 90 % interval; how likely it is beyond the finishing tolerance. */
void chart_end_text(const chart_view *chart, mc_tooth tooth, mc_component c, char *out,
                    size_t size);
/* "At the end rotation 9.2 deg short (4.1 to 14.3), outside 97 %.", of the component that is most
 * likely outside, named or not; "" where the plan does not move the tooth and nothing is known. */
void chart_end_sentence(const chart_view *chart, mc_tooth tooth, bool named, char *out,
                        size_t size);
/* The teeth of the mouth that are expected outside, and its pace beside the practice's. */
void chart_outcome_text(const chart_view *chart, char *out, size_t size);
void chart_pace_text(const console *con, const chart_view *chart, char *out, size_t size);

/* ---- moving the cursor ---- */

/* So many teeth along its arch, at most to its end. */
void chart_move_along(chart_view *chart, int steps);
/* To the tooth of the other arch that stands nearest to the same place. */
void chart_cross_over(chart_view *chart, mc_arch arch);

/* To the next tooth that matters, or the one before, round and round; says which it is. */
void chart_step_matters(console *con, chart_view *chart, int step);
/* Keys of the screens that look at a chart: the check-up before the one shown, after it. */
void chart_earlier(console *con, void *chart);
void chart_later(console *con, void *chart);
/* The plan a stage on or back, and the check-up's own stage again. */
void chart_stage_later(console *con, void *chart);
void chart_stage_earlier(console *con, void *chart);
void chart_stage_own(console *con, void *chart);
/* The proposal and the teeth that matter on a page. */
void chart_in_words(console *con, void *chart);
/* The case and the check-up shown, for the title line. */
void chart_title(const console *con, const void *chart, char *left, size_t size);

/* A key of every screen that shows teeth: the next notation. */
void chart_change_notation(console *con, void *screen);

/* ---- layout ---- */

enum { CELL_COLS = 4, ARCH_COLS = ARCH_PLACES * CELL_COLS - 1, ARCH_ROWS = 4, LEFT_COLS = 80 };

/* Places on the screen; an area of no rows is not drawn. */
typedef struct chart_layout {
    area upper, lower; /* the arches */
    area rule;         /* the line between them, with the counts */
    area upper_series, lower_series;
    area heading, words, table; /* of the tooth under the cursor */
    bool full_table;            /* every row of it */
    area ends;                  /* beside the line between the arches: how many end outside */
    area proposal, caution;
    area trend, teeth, decisions, sentences; /* where there is room */
    area arches;                             /* as seen from the occlusal side, too */
} chart_layout;
chart_layout chart_lay_out(area body);

/* ---- parts ---- */

void chart_draw_arch(const console *con, const chart_view *chart, mc_arch arch, area box);
void chart_draw_rule(const console *con, const chart_view *chart, area box);
void chart_draw_ends(const console *con, const chart_view *chart, area box);
void chart_draw_series(const console *con, const chart_view *chart, mc_arch arch, area box);
void chart_draw_heading(const console *con, const chart_view *chart, area box);
void chart_draw_table(const console *con, const chart_view *chart, area box, bool full);
void chart_draw_proposal(const console *con, const chart_view *chart, area box);
void chart_draw_teeth(const console *con, const chart_view *chart, area box);
void chart_draw_trend(const console *con, const chart_view *chart, area box);
void chart_draw_sentences(const console *con, const chart_view *chart, area box);
void chart_draw_decisions(const console *con, const chart_view *chart, area box);

/* What is to be said of a tooth, in plain sentences. */
void chart_sentence(const console *con, const chart_view *chart, mc_tooth tooth, char *out,
                    size_t size);
/* The same in so many rows and columns: whole sentences, the more important first, without what
 * stands elsewhere on the screen; where some are left out it ends with the key that tells all. */
void chart_brief(const console *con, const chart_view *chart, mc_tooth tooth, int rows, int cols,
                 char *out, size_t size);
/* Why there is nothing to show, or less than usual; "" where all is there. */
void chart_statement(const chart_view *chart, char *out, size_t size);
/* How a proposal that sends the doctor to the chair stands apart from the others, at every screen:
 * a mark before it, and its colour. */
const char *chart_proposal_mark(const mc_assessment *a);
style chart_proposal_style(const mc_assessment *a);
/* What became of the proposal: ", signed hold (IBA)", ", decision waits", or nothing. */
void chart_decision_text(const chart_view *chart, char *out, size_t size);
/* The proposal's heading: "Proposal, rule 3, repair, decision waits: ". size of at least 300. */
void chart_proposal_label(const console *con, const chart_view *chart, char *out, size_t size);

extern const char CHART_CAUTION[];
/* In its line, faint, at the foot of every screen of a case. */
void chart_draw_caution(const console *con, area box);

/* What the chart's marks mean, on a page. */
void chart_marks(console *con, void *self, pager *page);

#endif
