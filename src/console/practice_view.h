/* The practice screen's inside, shared by its parts. */
#ifndef CONSOLE_PRACTICE_VIEW_H
#define CONSOLE_PRACTICE_VIEW_H

#include "frame.h"

enum { PRACTICE_MOST = MC_OWN_CLASSES * MC_OWN_MOVEMENTS };

/* A line of the list: a class of tooth and a movement that some patient's plans tell of. */
typedef struct practice_line {
    int of, movement;
} practice_line;

typedef struct practice_view {
    mc_accuracy_work *work; /* NULL where reading the plans failed */
    size_t done, total;     /* cases */
    mc_accuracy found;      /* as of what is read */
    practice_line line[PRACTICE_MOST];
    int count, cursor, top, rows; /* rows: of the list when it was last drawn */
    mc_own_methods methods;       /* the errors in use */
    mc_own_methods measured;      /* what was read twice, while it is asked about */
    char reason[LINE_SIZE];
    int64_t change; /* of the record, when it was last read */
} practice_view;

static inline bool practice_is_reading(const practice_view *v) {
    return v->work && v->done < v->total;
}

/* The figures and the numbers in use as they are now; says why where they cannot be read. */
bool practice_look(console *con, practice_view *v);
const mc_own_share *practice_share(const practice_view *v, int line);
/* "in use", "ready", "too few": how a share stands. */
const char *practice_standing(const mc_own_share *share);

void practice_draw(console *con, void *self, area body);

/* Keys: a doctor takes the own accuracy over; what was read twice, and keeping that. */
void practice_take_over(console *con, void *self);
void practice_measure(console *con, void *self);

#endif
