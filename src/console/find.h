/* Narrowing a list by what is typed: names and chart numbers, whatever their case. */
#ifndef CONSOLE_FIND_H
#define CONSOLE_FIND_H

#include "midcourse/practice.h"

enum { FIND_SIZE = 128 };

/* The rows that a list shows, by their place. */
typedef struct find {
    const mc_roster_row *rows; /* the caller's */
    const size_t *order;       /* and the order in which they are shown; NULL: as they come */
    size_t count;
    char **folded; /* of each row its chart label and name, without case */
    size_t *shown; /* places of the rows that match, in that order */
    size_t shown_count;
    char text[FIND_SIZE]; /* as typed */
} find;

/* False when out of memory. */
bool find_start(find *f, const mc_roster_row *rows, size_t count);
void find_end(find *f);
/* The order has changed. */
void find_again(find *f);

/* Typing: one more character, one less, none at all. */
void find_add(find *f, int32_t character);
void find_remove(find *f);
void find_clear(find *f);

/* The row whose chart label is exactly what was typed; NULL where there is none. */
const mc_roster_row *find_exact(const find *f);

#endif
