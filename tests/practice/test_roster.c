/* The worklist from kept summaries is the one that is computed: after every action, on every day,
 * whatever becomes of what was kept. */
#include "practised.h"

#include "practice.h"

#include "../../src/record/query.h" /* to make the record one that may only be read */

#include <math.h>
#include <time.h>

#define TODAY "2026-03-17"
#define LATER "2026-04-30"

/* The demo is made once and copied for every test, as its passphrases are slow to make on purpose.
 */
static house template_house;

static int make_template(void **state) {
    (void)state;
    house *h = house_new();
    done(mc_demo_make(h->path, day(TODAY), &h->practice, &why));
    mc_practice_close(h->practice);
    h->practice = NULL;
    template_house = *h;
    free(h);
    return 0;
}

static int remove_template(void **state) {
    char command[96];
    (void)state;
    snprintf(command, sizeof command, "rm -rf '%s'", template_house.folder);
    return system(command);
}

static int enter(void **state) {
    char command[256];
    house *h = house_new();
    snprintf(command, sizeof command, "cp '%s' '%s'", template_house.path, h->path);
    assert_int_equal(system(command), 0);
    done(mc_practice_open(h->path, day(TODAY), &h->practice, &why));
    done(mc_practice_act_as(h->practice, "IBA", &why));
    *state = h;
    return 0;
}

static int leave(void **state) {
    house *h = *state;
    done(mc_record_verify(mc_practice_record(h->practice), NULL, &why));
    house_free(h);
    return 0;
}

#define roster_test(name) cmocka_unit_test_setup_teardown(name, enter, leave)

/* ---- two worklists ---- */

typedef struct {
    mc_roster_row *rows;
    size_t count;
} list;

static list worklist(house *h, const char *on) {
    list l;
    done(mc_roster(h->practice, day(on), &l.rows, &l.count, &why));
    return l;
}

static void same_row(const mc_roster_row *a, const mc_roster_row *b) {
    assert_string_equal(a->kase.chart, b->kase.chart);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        assert_int_equal(a->aligner[arch], b->aligner[arch]);
        assert_int_equal(a->stages[arch], b->stages[arch]);
    }
    assert_int_equal(a->next_change, b->next_change);
    assert_int_equal(a->next_checkup, b->next_checkup);
    assert_int_equal(a->last_checkup, b->last_checkup);
    assert_int_equal(a->worst, b->worst);
    assert_int_equal(a->worst_item, b->worst_item);
    assert_int_equal(a->worst_way, b->worst_way);
    assert_true(a->lag_index == b->lag_index || (isnan(a->lag_index) && isnan(b->lag_index)));
    assert_int_equal(a->state, b->state);
    assert_int_equal(a->decision_due, b->decision_due);
    assert_int_equal(a->has_plan, b->has_plan);
    assert_int_equal(a->has_proposal, b->has_proposal);
    assert_int_equal(a->proposal, b->proposal);
    assert_memory_equal(a->count, b->count, sizeof a->count);
    assert_string_equal(a->reasons, b->reasons);
    assert_int_equal(a->urgency, b->urgency);
    assert_int_equal(a->entering, b->entering);
    assert_int_equal(a->found, b->found);
    assert_int_equal(a->found_on, b->found_on);
    assert_memory_equal(&a->pace_mean, &b->pace_mean, sizeof a->pace_mean);
    assert_memory_equal(&a->pace_sd, &b->pace_sd, sizeof a->pace_sd);
    assert_false(a->unread || b->unread);
}

static void same_list(const list *a, const list *b) {
    assert_int_equal(a->count, b->count);
    for (size_t i = 0; i < a->count; i++)
        same_row(&a->rows[i], &b->rows[i]);
}

/* ---- what is kept, seen from beside the program ---- */

static void run_beside(const house *h, const char *sql) {
    sqlite3 *db;
    assert_int_equal(sqlite3_open(h->path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK)
        fail_msg("%s: %s", sql, sqlite3_errmsg(db));
    sqlite3_close(db);
}

static size_t unread(house *h) {
    mc_roster_row *rows;
    size_t count, left = 0;
    done(mc_roster_begin(h->practice, day(TODAY), &rows, &count, &why));
    for (size_t i = 0; i < count; i++)
        left += rows[i].unread;
    free(rows);
    return left;
}

static void warm(house *h) {
    list l = worklist(h, TODAY);
    assert_int_equal(l.count, 16);
    free(l.rows);
    assert_int_equal(unread(h), 0);
}

/* With what is kept, and with nothing kept, the list is the same on three days. */
static void kept_is_computed(house *h) {
    static const char *const days[] = {TODAY, LATER, "2025-11-02"};
    for (size_t i = 0; i < sizeof days / sizeof *days; i++) {
        list kept = worklist(h, days[i]);
        run_beside(h, "DELETE FROM summaries");
        list computed = worklist(h, days[i]);
        same_list(&kept, &computed);
        free(kept.rows);
        free(computed.rows);
    }
    /* a case whose new series begins between two of the days is kept as of the last */
    list last = worklist(h, TODAY);
    free(last.rows);
}

/* After an action so many rows have to be looked through again, and what is kept tells no more of
 * what was. */
static void after_action(house *h, size_t changed) {
    assert_int_equal(unread(h), changed);
    kept_is_computed(h);
}

/* ---- actions ---- */

static void nothing_is_looked_through_twice(void **state) {
    house *h = *state;
    assert_int_equal(unread(h), 16);
    warm(h);
    kept_is_computed(h);
    assert_int_equal(unread(h), 0);
    mc_practice_close(h->practice);
    done(mc_practice_open(h->path, day(LATER), &h->practice, &why));
    assert_int_equal(unread(h), 0);
}

static void read_file(house *h, const char *label, const char *text, const char *on, int number) {
    mc_case kase = find(h->practice, label);
    mc_warnings warnings;
    int made;
    mc_checkup_import what = {.data = text,
                              .size = strlen(text),
                              .date = day(on),
                              .aligner = {1, 1},
                              .day = {5, 5},
                              .wear_hours = 21,
                              .method = MC_CALIPER,
                              .accept_warnings = true};
    if (number == 0)
        done(mc_import_checkup(h->practice, &kase, &what, &made, &warnings, &why));
    else
        done(
            mc_amend_checkup(h->practice, &kase, number, &what, "misread", &made, &warnings, &why));
    mc_warnings_free(&warnings);
}

static void a_checkup_changes_its_row(void **state) {
    house *h = *state;
    warm(h);
    read_file(h, "1012", "tooth,seat_gap_mm,rotation_deg,mobility\n11,0.8,1,\n12,0.7,2,3\n", TODAY,
              0);
    after_action(h, 1);
}

static void an_amendment_changes_its_row(void **state) {
    house *h = *state;
    warm(h);
    read_file(h, "1004", "tooth,seat_gap_mm\n11,0.9\n12,0.9\n13,0.9\n", TODAY, 3);
    after_action(h, 1);
}

static void sign_one(house *h, const char *label, mc_decide what) {
    mc_case kase = find(h->practice, label);
    mc_decision decision;
    mc_warnings warnings;
    size_t people;
    what.to = -1;
    what.start = MC_NO_DAY;
    what.accept_warnings = true;
    done(mc_sign(h->practice, &kase, &what, mc_demo_people(&people)[0].passphrase, &decision,
                 &warnings, &why));
    free(decision.evidence);
    mc_warnings_free(&warnings);
}

static void a_decision_changes_its_row(void **state) {
    house *h = *state;
    warm(h);
    sign_one(h, "1007", (mc_decide){.choices = 1u << MC_HOLD, .days = 9, .reason = "time"});
    after_action(h, 1);
}

static void finishing_changes_its_row(void **state) {
    house *h = *state;
    warm(h);
    sign_one(h, "1009", (mc_decide){.choices = 1u << MC_FINISH, .reason = "enough"});
    after_action(h, 1);
}

static void a_correction_changes_its_row(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1005");
    mc_revision revision;
    warm(h);
    done(mc_revise(h->practice, &kase, NULL, 0, 0, &revision, &why));
    sign_one(h, "1005",
             (mc_decide){.choices = 1u << MC_CORRECT,
                         .cause = MC_CAUSE_UNKNOWN,
                         .plan = revision.file,
                         .plan_size = revision.file_size});
    mc_revision_free(&revision);
    after_action(h, 1);
}

static void a_new_case_and_its_plan_change_a_row(void **state) {
    house *h = *state;
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_plan_info info;
    mc_warnings warnings;
    static const char plan[] = "tooth,stage,buccal_mm\n12,0,0\n12,10,1\n";
    warm(h);
    mc_usual_teeth(states);
    done(
        mc_case_open(h->practice, "2001", "Invented, Ina", day("1990-05-06"), states, &kase, &why));
    after_action(h, 1);
    mc_plan_import what = {
        .data = plan, .size = strlen(plan), .start = day(LATER), .interval = {10, 10}};
    done(mc_import_plan(h->practice, &kase, &what, &info, &warnings, &why));
    mc_warnings_free(&warnings);
    after_action(h, 1);
}

static void a_closed_case_is_gone(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1013");
    warm(h);
    done(mc_case_close(h->practice, &kase, &why));
    after_action(h, 0);
    list l = worklist(h, TODAY);
    assert_int_equal(l.count, 15);
    free(l.rows);
}

static void a_tooth_changes_its_row(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1003");
    warm(h);
    /* back to before the check-ups that read it */
    done(mc_case_set_tooth(h->practice, &kase, mc_tooth_from_iso(13), MC_TOOTH_IMPLANT,
                           kase.opened + 20, &why));
    after_action(h, 1);
}

/* A case on which nothing was read yet goes by the settings in force. */
static void settings_change_the_rows_that_go_by_them(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1012");
    int64_t set;
    warm(h);
    done(mc_settings_change(h->practice, &kase, "checkup_weeks", 3, "soon", &set, &why));
    after_action(h, 1);
    done(mc_settings_change(h->practice, NULL, "checkup_weeks", 12, "far away", &set, &why));
    after_action(h, 16);
}

/* The row says that a check-up is being entered; when it is completed the row is the new one's. */
static void a_checkup_entered_at_the_chair_changes_its_row(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1012");
    mc_draft *draft = NULL;
    mc_warnings warnings;
    bool doubt;
    int number;
    mc_step step = {.what = MC_STEP_SEAT_GAP, .tooth = mc_tooth_from_iso(11), .number = 0.3};
    warm(h);
    done(mc_draft_open(h->practice, &kase, &draft, &why));
    done(mc_draft_enter(draft, &step, true, &doubt, &why));
    assert_true(unread(h) <= 1);
    list l = worklist(h, TODAY);
    for (size_t i = 0; i < l.count; i++) {
        bool entered = strstr(l.rows[i].reasons, "check-up 1 being entered") != NULL;
        assert_int_equal(entered, strcmp(l.rows[i].kase.chart, "1012") == 0);
        assert_int_equal(l.rows[i].entering, entered ? 1 : 0);
    }
    free(l.rows);
    kept_is_computed(h);
    done(mc_draft_complete(draft, true, &number, &warnings, &why));
    mc_warnings_free(&warnings);
    mc_draft_close(draft);
    after_action(h, 1);
}

/* ---- what becomes of what is kept ---- */

static void damage_changes_nothing(void **state) {
    static const char *const harm[] = {
        "UPDATE summaries SET content = x'00'",
        "UPDATE summaries SET content = zeroblob(length(content))",
        "UPDATE summaries SET content = zeroblob(5000)",
        /* one case's under another's, and one byte of its place */
        "UPDATE summaries SET content = (SELECT content FROM summaries s WHERE s.case_n = 1)",
        "UPDATE summaries SET content = CAST(substr(content, 1, 4) || x'00' || "
        "substr(content, 6) AS BLOB)",
        "UPDATE summaries SET key = zeroblob(32)",
        "UPDATE summaries SET (key, content) = (SELECT key, content FROM summaries s WHERE"
        " s.case_n = 1)"};
    house *h = *state;
    list before = worklist(h, TODAY);
    for (size_t i = 0; i < sizeof harm / sizeof *harm; i++) {
        warm(h);
        run_beside(h, harm[i]);
        assert_true(unread(h) >= 13);
        list after = worklist(h, TODAY);
        same_list(&before, &after);
        free(after.rows);
    }
    free(before.rows);
}

static void a_record_that_may_only_be_read_is_read(void **state) {
    house *h = *state;
    list before = worklist(h, TODAY);
    run_beside(h, "DELETE FROM summaries");
    h->practice->record->read_only = true;
    list after = worklist(h, TODAY);
    same_list(&before, &after);
    assert_int_equal(unread(h), 16);
    h->practice->record->read_only = false;
    free(before.rows);
    free(after.rows);
}

/* Somebody else is writing: the list does not wait for them. */
static void a_writer_is_not_waited_for(void **state) {
    house *h = *state;
    sqlite3 *db;
    assert_int_equal(sqlite3_open(h->path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    time_t began = time(NULL);
    list l = worklist(h, TODAY);
    assert_true(time(NULL) - began < 4);
    assert_int_equal(l.count, 16);
    assert_int_equal(unread(h), 16);
    sqlite3_close(db);
    free(l.rows);
    warm(h);
}

static void keeping_is_no_news(void **state) {
    house *h = *state;
    mc_record *record = mc_practice_record(h->practice);
    int64_t before = mc_record_change(record);
    int64_t entry = -1, last;
    mc_id *changed;
    size_t count;
    bool others;
    done(mc_record_cases_after(record, &entry, &changed, &count, &others, &why));
    last = entry;
    warm(h);
    assert_int_equal(mc_record_change(record), before);
    done(mc_record_cases_after(record, &entry, &changed, &count, &others, &why));
    assert_int_equal(entry, last);
    assert_int_equal(count, 0);
    assert_false(others);
}

static void the_journal_tells_which_cases_changed(void **state) {
    house *h = *state;
    mc_record *record = mc_practice_record(h->practice);
    mc_case kase = find(h->practice, "1003");
    int64_t entry = -1, set;
    mc_id *changed;
    size_t count;
    bool others;
    done(mc_record_cases_after(record, &entry, &changed, &count, &others, &why));
    assert_int_equal(count, 0);
    for (int i = 0; i < 2; i++)
        done(mc_settings_change(h->practice, &kase, "checkup_weeks", 3 + i, "soon", &set, &why));
    done(mc_record_cases_after(record, &entry, &changed, &count, &others, &why));
    assert_int_equal(count, 1);
    assert_memory_equal(&changed[0], &kase.id, sizeof kase.id);
    assert_false(others);
    free(changed);
    done(mc_settings_change(h->practice, NULL, "checkup_weeks", 5, "soon", &set, &why));
    done(mc_record_cases_after(record, &entry, &changed, &count, &others, &why));
    assert_int_equal(count, 0);
    assert_true(others);
}

/* ---- a row alone ---- */

static void one_row_is_read_anew(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1007");
    list before = worklist(h, TODAY);
    mc_roster_row *row = NULL;
    for (size_t i = 0; i < before.count; i++)
        if (strcmp(before.rows[i].kase.chart, "1007") == 0)
            row = &before.rows[i];
    assert_non_null(row);
    assert_true(row->decision_due);
    sign_one(h, "1007", (mc_decide){.choices = 1u << MC_HOLD, .days = 9, .reason = "time"});
    done(mc_roster_fill(h->practice, day(TODAY), &row, 1, &why));
    assert_false(row->decision_due);
    assert_int_equal(unread(h), 0);
    done(mc_case_close(h->practice, &kase, &why));
    done(mc_roster_fill(h->practice, day(TODAY), &row, 1, &why));
    assert_int_equal(row->kase.closed, day(TODAY));
    free(before.rows);
}

static void the_finding_to_be_examined_is_told(void **state) {
    house *h = *state;
    list l = worklist(h, TODAY);
    assert_string_equal(l.rows[0].kase.chart, "1008");
    assert_int_equal(l.rows[0].found, MC_FOUND_MOBILITY);
    assert_int_equal(l.rows[0].found_on, mc_tooth_from_iso(41));
    assert_non_null(strstr(l.rows[0].reasons, "examine 41 (mobility grade 2)"));
    assert_int_equal(l.rows[1].found, MC_FOUND_NOTHING);
    assert_int_equal(l.rows[1].found_on, MC_NO_TOOTH);
    free(l.rows);
}

/* ---- the practice's pace ---- */

/* The open cases that were read, each by its last check-up's score. */
static void the_practices_pace_is_that_of_its_mouths(void **state) {
    house *h = *state;
    list l = worklist(h, TODAY);
    double value[64], variance[64];
    size_t read = 0;
    for (size_t i = 0; i < l.count; i++) {
        mc_assessment *a = NULL;
        done(mc_assess(h->practice, &l.rows[i].kase, 0, false, &a, &why));
        assert_int_equal(isnan(l.rows[i].pace_mean), !a->score);
        if (a->score) {
            value[read] = a->score->pace_mean;
            variance[read++] = a->score->pace_sd * a->score->pace_sd;
        }
        mc_assessment_free(a);
    }
    assert_in_range(read, 2, l.count - 1); /* one has no check-up yet */
    mc_pooled expected, rows, whole;
    assert_true(mc_pool(value, variance, read, &expected));
    mc_pace_of_rows(l.rows, l.count, &rows);
    done(mc_practice_pace(h->practice, day(TODAY), &whole, &why));
    assert_int_equal(rows.count, read);
    assert_int_equal(whole.count, read);
    assert_float_equal(rows.mean, expected.mean, 1e-12);
    assert_float_equal(rows.se, expected.se, 1e-12);
    assert_float_equal(whole.mean, expected.mean, 1e-12);
    free(l.rows);
}

static void a_practice_that_read_nothing_has_no_pace(void **state) {
    (void)state;
    mc_pooled pace;
    mc_pace_of_rows(NULL, 0, &pace);
    assert_int_equal(pace.count, 0);
    assert_true(isnan(pace.mean) && isnan(pace.se));
    mc_roster_row unread = {.unread = true, .pace_mean = 0.3, .pace_sd = 0.1};
    mc_roster_row never = {.pace_mean = NAN, .pace_sd = NAN};
    const mc_roster_row rows[] = {unread, never};
    mc_pace_of_rows(rows, 2, &pace);
    assert_int_equal(pace.count, 0);
    assert_true(isnan(pace.mean));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        roster_test(nothing_is_looked_through_twice),
        roster_test(a_checkup_changes_its_row),
        roster_test(an_amendment_changes_its_row),
        roster_test(a_decision_changes_its_row),
        roster_test(finishing_changes_its_row),
        roster_test(a_correction_changes_its_row),
        roster_test(a_new_case_and_its_plan_change_a_row),
        roster_test(a_closed_case_is_gone),
        roster_test(a_tooth_changes_its_row),
        roster_test(settings_change_the_rows_that_go_by_them),
        roster_test(a_checkup_entered_at_the_chair_changes_its_row),
        roster_test(damage_changes_nothing),
        roster_test(a_record_that_may_only_be_read_is_read),
        roster_test(a_writer_is_not_waited_for),
        roster_test(keeping_is_no_news),
        roster_test(the_journal_tells_which_cases_changed),
        roster_test(one_row_is_read_anew),
        roster_test(the_finding_to_be_examined_is_told),
        roster_test(the_practices_pace_is_that_of_its_mouths),
        cmocka_unit_test(a_practice_that_read_nothing_has_no_pace),
    };
    return cmocka_run_group_tests_name("the worklist and its summaries", tests, make_template,
                                       remove_template);
}
