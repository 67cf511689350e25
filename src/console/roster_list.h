/* The worklist as the roster holds it: filled little by little, kept as the record is, narrowed by
 * what is typed, with a cursor that stays on its case wherever that moves. */
#ifndef CONSOLE_ROSTER_LIST_H
#define CONSOLE_ROSTER_LIST_H

#include "find.h"

typedef struct roster_list {
    mc_roster_row *rows; /* by chart number */
    size_t *order;       /* places of the rows, most urgent first */
    bool *due;           /* of each row: to be filled (anew) */
    size_t count, due_count, next_due;
    find find;
    size_t cursor, top; /* among those shown; the first row drawn */
    int page;           /* rows that there was room for */
    bool touched;       /* a key was typed or all was looked through: from then on the cursor keeps
                           its case; before, it stays on the most urgent */
    int64_t seen;       /* the record's change number when it was last looked at */
    int64_t entry;      /* and its last journal entry */
    size_t waiting, late; /* decisions that wait, check-ups overdue */
    mc_pooled pace;       /* of the mouths in the list */
} roster_list;

/* Take these rows over (from mc_roster_begin or mc_roster). False when out of memory. */
bool roster_list_take(roster_list *l, mc_roster_row *rows, size_t count, mc_day today);
/* Read the record; what was there before goes, cursor and typed text stay. */
mc_status roster_list_read(roster_list *l, mc_practice *practice, mc_day today, mc_error *error);
void roster_list_end(roster_list *l);

const mc_roster_row *roster_list_at(const roster_list *l, size_t i); /* of those shown */
/* Put the cursor on a case, if it is shown. */
void roster_list_go(roster_list *l, const mc_id *case_id);

/* Look whether the record has changed, and have the rows filled anew that it concerns; *changed:
 * there are some. */
mc_status roster_list_look(roster_list *l, mc_practice *practice, mc_day today, bool *changed,
                           mc_error *error);
/* Fill a few rows that are due, those in sight first: some milliseconds. */
mc_status roster_list_fill(roster_list *l, mc_practice *practice, mc_day today, mc_error *error);
/* Put what was filled in its place; the cursor's case stays on its line. False: out of memory. */
bool roster_list_settle(roster_list *l, mc_day today);

#endif
