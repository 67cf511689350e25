/* One look for every screen: few styles, and one mark and word for each thing that is shown by a
 * mark. No state is told by colour alone. */
#ifndef CONSOLE_THEME_H
#define CONSOLE_THEME_H

#include "midcourse/tracking.h"

typedef enum style {
    STYLE_PLAIN,
    STYLE_FAINT,    /* there, but not asked for now; not measured */
    STYLE_STRONG,   /* what the eye should find */
    STYLE_TITLE,    /* the top line */
    STYLE_HEADING,  /* of a column or a block */
    STYLE_WORST,    /* the heading of the column that counts most */
    STYLE_SELECTED, /* under the cursor */
    STYLE_BEHIND,   /* stalled, behind */
    STYLE_OFF,      /* drifting, past plan */
    STYLE_SLIPPING,
    STYLE_ESTIMATE, /* in a plot: where the tooth most likely was */
    STYLE_CARE,     /* a finding that needs care; a question; a refusal */
    STYLES
} style;

typedef enum mark {
    MARK_UNMEASURED, /* the states, in the order of mc_state */
    MARK_STALLED,
    MARK_BEHIND,
    MARK_DRIFTING,
    MARK_PAST_PLAN,
    MARK_SLIPPING,
    MARK_SEATED,
    MARK_ON_PLAN,
    MARK_NOT_READ, /* where a number would stand */
    MARK_ATTACHMENT_UNSAID,
    MARK_ATTACHMENT_INTACT,
    MARK_ATTACHMENT_WORN,
    MARK_ATTACHMENT_LOOSE,
    MARK_ATTACHMENT_LOST,
    MARK_FIXED, /* not to be moved */
    MARK_CARE,
    MARK_SECOND, /* a deciduous tooth beside its successor */
    MARK_WAITS,  /* a decision waits */
    MARK_MOVES,  /* by the plan: moves on to the next stage, */
    MARK_PLACED, /* attachment placed here, */
    MARK_REMOVED,
    MARK_PLANNED, /* stands, */
    MARK_IPR,     /* IPR due here */
    MARK_TURN,    /* before in or out: rotation */
    MARK_TILT,    /* before a direction: angulation, inclination */
    MARK_PLUS_MINUS,
    MARK_TIMES,
    MARK_ENDS_OUT,   /* expected to end outside its finishing tolerance */
    MARK_PLOT_AHEAD, /* in the plot of a tooth: the band of its forecast, */
    MARK_PLOT_TOLERANCE,
    MARK_PLOT_NOW,
    MARK_PLOT_PLAN,
    MARK_PLOT_SPREAD, /* one SD of a reading, */
    MARK_PLOT_FINISH,
    MARK_PLOT_END,
    MARK_PLOT_ESTIMATE,
    MARK_PLOT_READING,
    MARK_PLOT_BOTH, /* a reading and its estimate in one place */
    MARK_LINE,      /* lines */
    MARK_MIDLINE,
    MARK_CROSSING,
    MARKS
} mark;

typedef struct theme {
    bool ascii;
    bool colour;
    unsigned long attributes[STYLES]; /* of ncurses */
} theme;

/* Whether only ASCII may be shown: the locale is not UTF-8, or MIDCOURSE_ASCII is set and not
 * "0". */
bool theme_wants_ascii(const char *codeset, const char *asked);

/* After the terminal is open: pick attributes for what it can do. no_colour: never colour. */
void theme_start(theme *look, bool ascii, bool no_colour);

/* The mark's one column. */
const char *theme_mark(const theme *look, mark which);
mark mark_of_state(mc_state state);
mark mark_of_attachment(mc_attachment attachment);
style style_of_state(mc_state state);

#endif
