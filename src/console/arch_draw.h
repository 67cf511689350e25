/* The arches as seen from the occlusal side: each crown where it should be, dotted and faint, and
 * where it is, solid. The upper arch is on top, its front up; the lower below, its front down; the
 * patient's right on the left, as in the chart.
 *
 * Use: arch_picture_frame once for a set of arches (it fixes what is in sight and how large, so
 * that nothing shifts while stages are stepped through); fill in tooth[]; arch_picture_changed
 * whenever something of tooth[] has changed; arch_draw at every draw.
 */
#ifndef CONSOLE_ARCH_DRAW_H
#define CONSOLE_ARCH_DRAW_H

#include "canvas.h"

#include "midcourse/restaging.h"

/* One tooth of a picture. */
typedef struct arch_tooth {
    mc_crown wanted; /* where it should be; not standing: nothing of it is drawn */
    mc_crown now; /* where it is; not standing: not known, and drawn where it should be, dotted */
    style ink;    /* of the crown where it is, its number and its mark */
    mark flag;    /* stands beside the crown, toward the cheek; MARKS: none */
    canvas_fill fill; /* of the crown where it is */
} arch_tooth;

enum { ARCH_CORNERS = 40 }; /* of an outline as drawn */
typedef struct arch_spot {
    double right, anterior; /* mm */
} arch_spot;
/* What may be in sight: mm. */
typedef struct arch_window {
    double low_right, high_right, low_anterior, high_anterior;
} arch_window;

typedef struct arch_picture {
    arch_tooth tooth[MC_TEETH];
    /* the rest is arch_draw's own */
    arch_window whole[MC_ARCHES], part[MC_ARCHES][2][3]; /* a quadrant (right, left): front half,
                                                            back half, all of it */
    bool has[MC_ARCHES];                                 /* the arch has a crown */
    double traced; /* the enlargement that the outlines are traced with; 0: not traced yet */
    arch_spot wanted[MC_TEETH][ARCH_CORNERS], now[MC_TEETH][ARCH_CORNERS];
    mc_crown shown[MC_TEETH]; /* the crown that is solid, as enlarged */
} arch_picture;

/* What is to be seen of it. */
typedef struct arch_sight {
    bool arch[MC_ARCHES]; /* which of them, where it is not zoomed */
    bool zoom;            /* the quadrant of the selected tooth; half of it where that is larger */
    mc_tooth selected;    /* its number is under the cursor; MC_NO_TOOTH: none */
    mc_notation notation;
    double enlarge; /* how much larger than true the way from `wanted` to `now` is drawn, at least
                       1; 0: as much as makes a millimetre show, 3 at most */
    const char *caption[MC_ARCHES]; /* in the free room within the arch; NULL: none */
} arch_sight;

/* How it came out. */
typedef struct arch_drawn {
    double dots_per_mm; /* 0: nothing was drawn, for want of crowns or of room */
    double enlarge;     /* as in arch_sight, as drawn: a whole number where it was chosen here */
    int row, col;       /* of the selected tooth's number on the screen; -1: not in sight */
} arch_drawn;

/* What is in sight by the crowns as they stand in these arches, with room for their way. */
void arch_picture_frame(arch_picture *picture, const mc_arches *arches);
/* Something of tooth[] has changed: its outlines are traced anew at the next draw. */
void arch_picture_changed(arch_picture *picture);

/* Draw it into an area; nothing outside of it. */
void arch_draw(const theme *look, arch_picture *picture, const arch_sight *sight, area box,
               arch_drawn *drawn);
/* The same on a canvas of its own, for tests: which it is, and the cell of each tooth's number (row
 * -1: not in sight). */
const canvas *arch_draw_on_canvas(const theme *look, arch_picture *picture, const arch_sight *sight,
                                  int rows, int cols, arch_drawn *drawn, int number[MC_TEETH][2]);

#endif
