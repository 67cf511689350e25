/* What the tests of the practice share: a folder of its own for each test, and what is on record of
 * a case. */
#ifndef PRACTISED_H
#define PRACTISED_H

#include "record_tests.h"

#include "midcourse/practice.h"

typedef struct {
    char folder[64];
    char path[96];
    mc_practice *practice;
} house;

static inline house *house_new(void) {
    house *h = calloc(1, sizeof *h);
    assert_non_null(h);
    snprintf(h->folder, sizeof h->folder, "%s/practice-test-XXXXXX", scratch);
    assert_non_null(mkdtemp(h->folder));
    snprintf(h->path, sizeof h->path, "%s/practice.db", h->folder);
    return h;
}

static inline void house_free(house *h) {
    char command[96];
    mc_practice_close(h->practice);
    snprintf(command, sizeof command, "rm -rf '%s'", h->folder);
    assert_int_equal(system(command), 0);
    free(h);
}

static inline mc_case find(mc_practice *practice, const char *label) {
    mc_case kase;
    done(mc_case_find(practice, label, &kase, &why));
    return kase;
}

/* A check-up of a case, scored and judged; 0: the last. The caller frees it. */
static inline mc_assessment *assessed(mc_practice *practice, const char *label, int number) {
    mc_case kase = find(practice, label);
    mc_assessment *a = NULL;
    done(mc_assess(practice, &kase, number, false, &a, &why));
    return a;
}

static inline mc_state state_of(const mc_assessment *a, int iso) {
    return a->score->tooth[mc_tooth_from_iso(iso)].state;
}

static inline bool names(const mc_proposal *proposal, int iso) {
    for (size_t i = 0; i < proposal->count; i++)
        if (mc_tooth_iso(proposal->teeth[i]) == iso)
            return true;
    return false;
}

/* How many entries the journal has; the newest action's name goes to last (may be NULL). */
static inline size_t journal_length(mc_practice *practice, char last[33]) {
    mc_entry *entries = NULL;
    size_t count = 0;
    done(mc_record_journal(mc_practice_record(practice), NULL, &entries, &count, &why));
    if (last)
        snprintf(last, 33, "%s", count > 0 ? entries[count - 1].action : "");
    mc_entries_free(entries, count);
    return count;
}

#endif
