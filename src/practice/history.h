/* The history's inside: what a sentence is told from, and where it is told. */
#ifndef PRACTICE_HISTORY_H
#define PRACTICE_HISTORY_H

#include "midcourse/practice.h"

#include <jansson.h>

/* A sentence being told into a fixed place; what does not fit is cut off. */
typedef struct telling {
    char text[4000];
    size_t used;
} telling;
void tell(telling *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* What is known of the case that an entry concerns; empty where it concerns none. */
typedef struct case_facts {
    mc_id id;
    mc_checkup_info *versions; /* of every check-up, all of them */
    size_t version_count;
    mc_plan_info *plans;
    size_t plan_count;
} case_facts;

/* The sentence of an entry of the journal. detail is its JSON object, NULL where that cannot be
 * read. */
void history_tell(telling *out, const mc_entry *entry, json_t *detail, const case_facts *facts);

/* What a version of a check-up says otherwise than the one before it: "13 rotation 5 -> 9 deg; 12
 * seat gap not read -> 0.3 mm". Tells nothing where either is not known. */
void history_tell_changes(telling *out, const case_facts *facts, int checkup, int version);

#endif
