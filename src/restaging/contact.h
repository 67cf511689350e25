/* Two neighbours on their ways: where they would run into each other, and how far one may go while
 * the other leads. */
#ifndef MIDCOURSE_RESTAGING_CONTACT_H
#define MIDCOURSE_RESTAGING_CONTACT_H

#include "crown.h"

/* A crown on its straight way: lambda 0 where it is, 1 at its target. */
typedef struct mover {
    oval start;
    double x, y, turn; /* the whole way, mm and radians */
    double speed;      /* mm that a point of its outline goes at most for lambda 0 to 1 */
    int cells;         /* of the grid on its way; 0: it stays */
} mover;

enum { CELLS_AN_ALIGNER = 8, MOST_CELLS = 1024, MOST_PHASES = 3 };

mover mover_of(mc_tooth tooth, const mc_crown *crown, const mc_pose *remaining, int aligners);
oval mover_at(const mover *m, double lambda);

/* From a stage on so much overlap is allowed: it grows when IPR is done. */
typedef struct phase {
    int from;
    double allowed; /* mm */
} phase;

/* One of the two leads: of the follower, by cells of the leader's way. */
typedef struct leading_by {
    bool possible;            /* the leader may go all the way first, and the follower then */
    double missing;           /* mm of room for that, where neither of the two may */
    double edge[MOST_PHASES]; /* as far as the leader may go in a phase while the follower waits */
    /* The follower's lambda up to which it is free of the leader in a cell, by phase; in the last
     * phase now and at whatever place the leader comes to later. */
    double free_until[MOST_PHASES][MOST_CELLS + 1];
} leading_by;

typedef struct contact {
    mc_tooth right, left; /* MC_NO_TOOTH where there is no contact */
    mover mover[2];       /* of right and left */
    phase phase[MOST_PHASES];
    int phases;
    double opened;     /* mm allowed in the end, were it not for what they overlap at the start */
    double start, end; /* overlap, mm */
    double care;       /* mm less than allowed counts as too much on the way: what might lie between
                          cells */
    bool meet;         /* somewhere on their ways they overlap by more than is allowed */
    leading_by by[2];  /* right leads, left leads; only where they meet */
    /* Where they are passed in turns (turns.h): as far as the left one may be by cells of the right
     * one's way, now and later, and the other way round. */
    double in_turns[2][MOST_CELLS + 1];
} contact;

/* Look at two neighbours; right, left, mover and phases are filled in. */
void contact_look(contact *c);

/* What is allowed at a stage. */
double contact_allowed(const contact *c, int stage);
int contact_phase(const contact *c, int stage);

/* On the ways, in the last phase, an overlap of more than this is too much. */
double contact_too_much(const contact *c);

/* Overlap with each at its lambda. */
double contact_overlap(const contact *c, double right, double left);

/* The cell of the leader's way (0 right, 1 left) that a place is in. */
int contact_cell(const contact *c, int leader, double lambda);

#endif
