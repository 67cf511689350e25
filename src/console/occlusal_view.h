/* The occlusal screen's parts, each drawn from values alone into its place. */
#ifndef CONSOLE_OCCLUSAL_VIEW_H
#define CONSOLE_OCCLUSAL_VIEW_H

#include "chart_view.h"

typedef struct occlusal_view {
    chart_view *chart; /* of the screen below: its check-up, its stage, its tooth */
    bool zoom;         /* one quadrant */
    bool true_size;    /* the lag as it is, not enlarged */
} occlusal_view;

typedef struct occlusal_layout {
    area heading, arches, words; /* words: of the drawing, below it */
    bool both;                   /* both arches have room */
    area table, sentence;        /* of the tooth */
    area upper, rule, lower;     /* the chart, where there is room, */
    area upper_series, lower_series;
    bool wide_table; /* with the chart's own table */
    area plot[2];    /* the tooth over time */
    int plots;
    area legend, teeth; /* of the plots; the teeth by urgency */
    area caution;
} occlusal_layout;
occlusal_layout occlusal_lay_out(area body);

/* Planned, estimated and to go of each component, one below the other. */
void occlusal_draw_table(const console *con, const chart_view *chart, area box);
/* The tooth in sentences; first what of it cannot be seen from this side. */
void occlusal_draw_sentence(const console *con, const chart_view *chart, area box);

/* What the drawing means, on a page. */
void occlusal_marks(console *con, void *self, pager *page);

#endif
