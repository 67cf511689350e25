/* A canvas of dots over the cells of the terminal, two across and four down in each, so that a dot
 * is as high as it is wide (a cell is about twice as high as wide). Shown as the Braille patterns
 * of Unicode; in plain ASCII each cell is the character that looks most like its lines. Pure: what
 * is drawn stands in memory until it is put on the screen.
 */
#ifndef CONSOLE_CANVAS_H
#define CONSOLE_CANVAS_H

#include "paint.h"

enum {
    CANVAS_ROWS = 100, /* the most cells */
    CANVAS_COLS = 240,
    DOTS_ACROSS = 2, /* of a cell */
    DOTS_DOWN = 4,
    CANVAS_BYTES = 5 /* of a cell's character with its NUL */
};

/* How the inside of a shape is filled. Each looks otherwise without colour, too. */
typedef enum canvas_fill {
    FILL_NONE,
    FILL_SPARSE,  /* one dot in four */
    FILL_STRIPES, /* slanting */
    FILL_HALF,    /* every second dot */
    FILL_WHOLE,
    FILLS
} canvas_fill;

typedef struct canvas_cell {
    unsigned char line;      /* dots of solid lines, a bit for each: 1 << (2 y + x) */
    unsigned char points;    /* of dotted lines */
    unsigned char inside;    /* of fills */
    unsigned char filled;    /* the densest fill that has a dot here, a canvas_fill */
    char text[CANVAS_BYTES]; /* a character that stands here instead; "" none */
    unsigned char text_ink;
    unsigned char dots[STYLES]; /* how many of each style were drawn here */
} canvas_cell;

typedef struct canvas {
    int rows, cols; /* cells */
    canvas_cell cell[CANVAS_ROWS * CANVAS_COLS];
} canvas;

/* Empty, of so many cells (at most the most). */
void canvas_clear(canvas *on, int rows, int cols);

/* A point in dots from the upper left corner, to the right and down; dot (i, j) is the square from
 * there to (i + 1, j + 1). */
typedef struct canvas_point {
    double x, y;
} canvas_point;

/* What falls outside is left out. */
void canvas_dot(canvas *on, int x, int y, style ink);
void canvas_line(canvas *on, canvas_point from, canvas_point to, style ink);
/* A closed convex shape: its outline one dot thin, of the dots whose centres are within, so that
 * two shapes that touch keep their own; and the inside of that. A shape too small to hold the
 * centre of any dot is one dot. */
void canvas_outline(canvas *on, const canvas_point *corner, int corners, style ink);
void canvas_inside(canvas *on, const canvas_point *corner, int corners, canvas_fill fill,
                   style ink);
/* Take away what is drawn within it: what comes next lies on top. */
void canvas_wipe(canvas *on, const canvas_point *corner, int corners);
/* Its outline as a row of dots about `apart` dots from each other. */
void canvas_dotted(canvas *on, const canvas_point *corner, int corners, double apart, style ink);
/* Text in cells, whatever is drawn there; each character one column. */
void canvas_text(canvas *on, int row, int col, style ink, const char *text);

/* The character of a cell, " " where nothing is drawn. */
void canvas_character(const canvas *on, bool ascii, int row, int col, char out[CANVAS_BYTES]);
/* And its look: of what has most dots in it. */
style canvas_ink(const canvas *on, int row, int col);
/* Put it on the screen, its upper left cell at this place. */
void canvas_put(const theme *look, const canvas *on, int row, int col);

#endif
