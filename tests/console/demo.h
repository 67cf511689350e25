/* The demo practice as a record of its own, made once for a suite, on one day. */
#ifndef DEMO_H
#define DEMO_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "midcourse/practice.h"

static char folder[64]; /* of the suite */
static char demo[100];  /* the record as it was made */

static inline mc_day today(void) {
    mc_day day = 0;
    assert_true(mc_day_parse("2026-03-02", &day));
    return day;
}

static inline int make_demo(void **state) {
    (void)state;
    mc_practice *practice = NULL;
    mc_error error = {0};
    snprintf(folder, sizeof folder, "/tmp/midcourse-test-XXXXXX");
    assert_non_null(mkdtemp(folder));
    assert_int_equal(chdir(folder), 0); /* what a test writes stays here */
    snprintf(demo, sizeof demo, "%s/made.db", folder);
    if (mc_demo_make(demo, today(), &practice, &error) != MC_OK)
        fail_msg("%s", error.text);
    mc_practice_close(practice); /* the last to close leaves one whole file */
    return 0;
}

static inline int remove_demo(void **state) {
    (void)state;
    char command[100];
    assert_int_equal(chdir("/"), 0);
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

/* Put a copy of it, as it was made, at a path of the suite's folder. */
static inline void copy_demo(const char *to) {
    char command[600];
    snprintf(command, sizeof command, "rm -f '%s' '%s-wal' '%s-shm' && cp '%s' '%s'", to, to, to,
             demo, to);
    assert_int_equal(system(command), 0);
}

#endif
