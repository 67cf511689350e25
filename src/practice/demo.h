/* The demo's inside: the invented cases, and the files they are made from. */
#ifndef DEMO_H
#define DEMO_H

#include "midcourse/practice.h"

/* A file of fixtures/demo, put into the program while it was built. */
typedef struct {
    const char *name;
    const unsigned char *data;
    size_t size;
} demo_file;
extern const demo_file demo_files[];
extern const size_t demo_file_count;

/* A tooth that is not as usual. */
typedef struct {
    int iso; /* 0: no more */
    mc_tooth_state state;
} demo_tooth;

/* What the doctor signed. */
typedef struct {
    unsigned choices; /* 0: no decision yet */
    int days;         /* of a hold */
    mc_cause cause;   /* of a correction */
    const char *reason;
    int to; /* aligner of a go-back */
} demo_decision;

/* A check-up, its readings in CHART-checkup-N.csv, and what was signed on it the same day. */
typedef struct {
    int on; /* day of the plan, 0 its first */
    int aligner[MC_ARCHES], day[MC_ARCHES];
    double wear_hours;
    mc_method method;
    demo_decision decision;
    const char *amended; /* why CHART-checkup-N-amended.csv stands beside it; NULL: it does not */
} demo_checkup;

enum { DEMO_TEETH = 36, DEMO_CHECKUPS = 5 };

/* A case, its plan in CHART-plan.csv. Every day is counted back from today. */
typedef struct {
    const char *chart, *name;
    double years;            /* the person's age */
    int start;               /* days since the plan's first */
    int interval[MC_ARCHES]; /* days an aligner */
    demo_tooth teeth[DEMO_TEETH];
    demo_tooth later; /* a tooth that changed during treatment, */
    int later_at;     /* found so at this check-up; 0 none */
    demo_checkup checkup[DEMO_CHECKUPS];
    int checkups;
    int delivered, begun; /* days of the plan on which its corrected series came, and began; 0 none
                           */
    bool closed;          /* the case is over since its last check-up */
} demo_case;
extern const demo_case demo_cases[];
extern const size_t demo_case_count;

#endif
