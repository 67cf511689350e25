/* The crowns of a chart's case as the arches draw them: where the plan wants them at the stage
 * looked at, and where they are by the score shown. Read anew when another check-up is shown, and
 * not at every draw. */
#ifndef CONSOLE_CHART_CROWNS_H
#define CONSOLE_CHART_CROWNS_H

#include "arch_draw.h"

#include "midcourse/practice.h"

typedef struct chart_crowns {
    bool known; /* arches are of the assessment shown; false after another one has come */
    mc_arches arches;
    /* what they rest on: where all of it is as before they are not found anew */
    bool found;
    mc_id plan;
    mc_tooth_state states[MC_TEETH];
    int measured_at[MC_ARCHES];
    mc_arches measured;
    bool waited_for; /* the chart has left their place empty until it is idle */
    arch_picture picture;
    bool filled;   /* the picture's teeth are those of */
    int steps;     /* this stage, */
    bool only_off; /* with these hidden */
} chart_crowns;

struct chart_view;
struct console;

/* Draw them into an area, the caption of each arch being its name and stage. sight->enlarge counts
 * at the check-up itself; at another stage the way to go is drawn as it is. */
void chart_draw_crowns(const struct console *con, struct chart_view *chart, const arch_sight *sight,
                       area box, arch_drawn *drawn);
/* What the drawing needs said of it: how the lag is drawn, what is solid and what dotted, and where
 * the crowns come from. */
void chart_crowns_text(const struct chart_view *chart, const arch_drawn *drawn, char *out,
                       size_t size);
/* Find out where the crowns stand, a few milliseconds where they are estimated; nothing where that
 * is known. */
void chart_find_crowns(struct chart_view *chart);

#endif
