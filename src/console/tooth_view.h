/* The tooth screen's parts, each drawn from values alone into its place. */
#ifndef CONSOLE_TOOTH_VIEW_H
#define CONSOLE_TOOTH_VIEW_H

#include "chart_view.h"
#include "tooth_plot.h"

typedef struct tooth_view {
    chart_view *chart;     /* of the screen below: its check-up, its cursor */
    int component;         /* the one asked for; see tooth_component */
    mc_checkup_info *kept; /* the check-ups on record, for their notes; owned */
    size_t kept_count;
} tooth_view;

/* ---- what is known ---- */

/* The first of the chart's scores that is on the plan shown; a->checkups where none is. */
size_t tooth_first_on_plan(const chart_view *chart);
/* What the plan asks of the component, or what was read of it, is worth a plot. */
bool tooth_has_course(const chart_view *chart, mc_tooth tooth, mc_component c);
/* Its course for a plot of so many columns. The arch has a series. */
void tooth_course(const chart_view *chart, mc_tooth tooth, mc_component c, int cols,
                  plot_course *out);
/* The component to begin with: the worst at the check-up shown, else the first with a course. */
int tooth_first_component(const chart_view *chart, mc_tooth tooth);
/* The component under the cursor: the one asked for where there is something to see of it, else the
 * one to begin with. So the same one is looked at from tooth to tooth, and never an empty plot. */
int tooth_component(const tooth_view *tooth);
/* The next component of which there is something to see, from the one under the cursor; step 1 or
 * -1. */
int tooth_next_component(const tooth_view *tooth, int step);
/* Which components are worth the plots that there are, in their order: the one under the cursor;
 * beside it one of the other kind (mm, deg), so that each kind keeps its side; then those likeliest
 * to end outside, planned ones, those read: and only then others. */
void tooth_choose_plots(const tooth_view *tooth, int plots, mc_component out[MC_COMPONENTS]);
/* The note of a check-up, "" where it has none. */
const char *tooth_note(const tooth_view *tooth, int number);

/* ---- words ---- */

/* "Delivers 31 % of its plan (SD 8), expected 62 %.", of a component; "" where it is not known. */
void tooth_rate_text(const chart_view *chart, mc_tooth tooth, mc_component c, char *out,
                     size_t size);
/* "It keeps its grip." or "Grip lost (attachment lost, rotation 8.4 deg short): 33 % of its rate
 * from here on."; "" where nothing of the tooth is known. */
void tooth_grip_text(const chart_view *chart, mc_tooth tooth, char *out, size_t size);
/* "Attachment intact at check-up 1, lost at 3. Mobility grade 1 at check-up 2.": what was found,
 * each change at the check-up that saw it. */
void tooth_findings_text(const chart_view *chart, mc_tooth tooth, char *out, size_t size);
/* Everything on a page. */
void tooth_in_words(console *con, const tooth_view *tooth);

/* ---- layout ---- */

enum { MOST_PLOTS = MC_COMPONENTS };
typedef struct tooth_layout {
    area heading, names;
    area words; /* of the tooth */
    area plot[MOST_PLOTS];
    int plots; /* how many there are */
    area legend, table, caution;
} tooth_layout;
tooth_layout tooth_lay_out(area body);

/* ---- parts ---- */

void tooth_draw_names(const console *con, const tooth_view *tooth, area box);
void tooth_draw_words(const console *con, const tooth_view *tooth, area box);
void tooth_draw_plot(const console *con, const tooth_view *tooth, mc_component c, bool chosen,
                     area box);
void tooth_draw_legend(const console *con, area box);
void tooth_draw_table(const console *con, const tooth_view *tooth, area box);

/* What the marks mean, on a page. */
void tooth_marks(console *con, void *self, pager *page);

#endif
