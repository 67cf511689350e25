/* The worklist of the roster: filled little by little, and kept as the record is. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "roster_list.h"

static char folder[] = "/tmp/midcourse-test-XXXXXX", record[100];
static mc_practice *practice;
static mc_day today;
static mc_error why;

#define done(call)                                                                                 \
    do {                                                                                           \
        if ((call) != MC_OK)                                                                       \
            fail_msg("%s: %s", #call, why.text);                                                   \
    } while (0)

static int make_demo(void **state) {
    (void)state;
    assert_true(mc_day_parse("2026-03-17", &today));
    assert_non_null(mkdtemp(folder));
    snprintf(record, sizeof record, "%s/demo.db", folder);
    done(mc_demo_make(record, today, &practice, &why));
    return 0;
}

static int remove_demo(void **state) {
    (void)state;
    char command[100];
    mc_practice_close(practice);
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static const char *chart_at(const roster_list *l, size_t i) {
    return roster_list_at(l, i)->kase.chart;
}

/* Nothing is kept in the record yet: this is the first test. */
static void rows_are_filled_little_by_little(void **state) {
    (void)state;
    roster_list l = {.page = 5};
    mc_roster_row *all;
    size_t count, before = 17;
    done(roster_list_read(&l, practice, today, &why));
    assert_int_equal(l.count, 16);
    assert_int_equal(l.due_count, 16);
    l.top = 8;
    while (l.due_count > 0) {
        assert_true(l.due_count < before);
        before = l.due_count;
        done(roster_list_fill(&l, practice, today, &why));
        /* the rows in sight come first */
        assert_true(l.due_count > 8 || !roster_list_at(&l, 12)->unread);
    }
    assert_string_equal(chart_at(&l, 0), "1001");
    assert_true(roster_list_settle(&l, today));
    done(mc_roster(practice, today, &all, &count, &why));
    for (size_t i = 0; i < count; i++) {
        assert_string_equal(chart_at(&l, i), all[i].kase.chart);
        assert_string_equal(roster_list_at(&l, i)->reasons, all[i].reasons);
    }
    assert_int_equal(l.waiting, 11);
    assert_int_equal(l.late, 1);
    free(all);
    roster_list_end(&l);
}

static void the_cursor_keeps_its_case_and_line(void **state) {
    (void)state;
    roster_list l = {.page = 5};
    done(roster_list_read(&l, practice, today, &why));
    assert_int_equal(l.due_count, 0);
    l.cursor = 7;
    l.top = 4;
    char chart[MC_CHART_SIZE];
    strcpy(chart, chart_at(&l, 7));
    l.rows[l.find.shown[0]].urgency = -5; /* the first of all becomes the last */
    assert_true(roster_list_settle(&l, today));
    assert_int_equal(l.cursor, 6);
    assert_int_equal(l.top, 3);
    assert_string_equal(chart_at(&l, l.cursor), chart);
    find_add(&l.find, '1');
    done(roster_list_read(&l, practice, today, &why)); /* what was typed stays */
    assert_string_equal(l.find.text, "1");
    assert_string_equal(chart_at(&l, l.cursor), chart);
    roster_list_end(&l);
}

static void only_what_changed_is_read_anew(void **state) {
    (void)state;
    roster_list l = {.page = 5};
    bool changed;
    int64_t set;
    mc_case kase, made;
    mc_tooth_state states[MC_TEETH];
    done(roster_list_read(&l, practice, today, &why));
    done(roster_list_look(&l, practice, today, &changed, &why));
    assert_false(changed);
    done(mc_case_find(practice, "1012", &kase, &why));
    done(mc_settings_change(practice, &kase, "checkup_weeks", 1, "soon", &set, &why));
    done(roster_list_look(&l, practice, today, &changed, &why));
    assert_true(changed);
    assert_int_equal(l.due_count, 1);
    done(roster_list_fill(&l, practice, today, &why));
    assert_true(roster_list_settle(&l, today));
    assert_int_equal(l.late, 2);
    mc_usual_teeth(states);
    done(mc_case_open(practice, "2001", "Invented, Ina", today - 9000, states, &made, &why));
    done(roster_list_look(&l, practice, today, &changed, &why));
    assert_int_equal(l.count, 17);
    done(mc_case_close(practice, &made, &why));
    done(roster_list_look(&l, practice, today, &changed, &why));
    while (l.due_count > 0)
        done(roster_list_fill(&l, practice, today, &why));
    assert_int_equal(l.count, 16);
    roster_list_end(&l);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_are_filled_little_by_little),
        cmocka_unit_test(the_cursor_keeps_its_case_and_line),
        cmocka_unit_test(only_what_changed_is_read_anew),
    };
    return cmocka_run_group_tests(tests, make_demo, remove_demo);
}
