/* A check-up entered at the chair, value by value. */
#include "acting.h"

#include "same_score.h"

#include <signal.h>
#include <sys/wait.h>

#define TODAY FIRST_DAY

static mc_draft *take_up(house *h) {
    mc_case kase = find(h->practice, "1001");
    mc_draft *d = NULL;
    h->practice->today = day(TODAY);
    done(mc_draft_open(h->practice, &kase, &d, &why));
    return d;
}

static mc_step a_step(mc_step_what what) {
    return (mc_step){.what = what, .number = NAN};
}

static mc_step of_tooth(mc_step_what what, int iso) {
    mc_step s = a_step(what);
    s.tooth = mc_tooth_from_iso(iso);
    return s;
}

static mc_step gap(int iso, double mm) {
    mc_step s = of_tooth(MC_STEP_SEAT_GAP, iso);
    s.number = mm;
    return s;
}

static mc_step component(int iso, mc_component c, double value, bool short_of_plan) {
    mc_step s = of_tooth(MC_STEP_COMPONENT, iso);
    s.component = c;
    s.number = value;
    s.short_of_plan = short_of_plan;
    return s;
}

static mc_step whole(mc_step_what what, int iso, int value) {
    mc_step s = of_tooth(what, iso);
    s.whole = value;
    return s;
}

static mc_step frame(mc_step_what what, mc_arch arch, int value) {
    mc_step s = a_step(what);
    s.arch = arch;
    s.whole = value;
    return s;
}

static mc_step number(mc_step_what what, double value) {
    mc_step s = a_step(what);
    s.number = value;
    return s;
}

static mc_step note(const char *text) {
    mc_step s = a_step(MC_STEP_NOTE);
    snprintf(s.text, sizeof s.text, "%s", text);
    return s;
}

static mc_status put(mc_draft *d, mc_step step) {
    bool doubt = true;
    mc_status status = mc_draft_enter(d, &step, false, &doubt, &why);
    assert_false(doubt);
    return status;
}

static mc_status put_surely(mc_draft *d, mc_step step) {
    bool doubt = true;
    mc_status status = mc_draft_enter(d, &step, true, &doubt, &why);
    assert_false(doubt);
    return status;
}

static mc_status complete(mc_draft *d, bool accept) {
    int n = 0;
    mc_warnings warnings;
    mc_status status = mc_draft_complete(d, accept, &n, &warnings, &why);
    assert_int_equal(n, status == MC_OK ? mc_draft_number(d) : 0);
    mc_warnings_free(&warnings);
    return status;
}

/* ---- what it begins with ---- */

static void it_begins_by_the_dates_and_writes_nothing(void **state) {
    house *h = *state;
    size_t journal = journal_length(h->practice, NULL);
    mc_draft *d = take_up(h);
    const mc_checkup *c = mc_draft_checkup(d);
    assert_int_equal(c->number, 1);
    assert_int_equal(c->date, day(TODAY));
    assert_int_equal(c->aligner[MC_UPPER], 4); /* begun on the 9th, 10 days each */
    assert_int_equal(c->day[MC_UPPER], 10);
    assert_int_equal(c->aligner[MC_LOWER], MC_NO_ALIGNER);
    assert_int_equal(c->day[MC_LOWER], -1);
    assert_int_equal(c->method, MC_CALIPER);
    assert_true(isnan(c->wear_hours));
    assert_int_equal(c->count, 0);
    assert_false(mc_draft_on_record(d));
    assert_non_null(mc_draft_assessment(d)->score);
    assert_int_equal(mc_draft_steps(d), 0);
    mc_draft_close(d);
    assert_int_equal(journal_length(h->practice, NULL), journal);
}

static void the_first_value_begins_it(void **state) {
    house *h = *state;
    char last[33];
    act_as(h, "CD");
    mc_draft *d = take_up(h);
    size_t journal = journal_length(h->practice, NULL);
    done(put(d, gap(12, 0.3)));
    assert_true(mc_draft_on_record(d));
    assert_int_equal(journal_length(h->practice, last), journal + 1);
    assert_string_equal(last, "check-up begun");
    done(put(d, gap(11, 0.2)));
    assert_int_equal(journal_length(h->practice, NULL), journal + 1);
    assert_int_equal(mc_draft_steps(d), 2);
    mc_draft_close(d);
}

/* ---- the same as from a file ---- */

static void same(double a, double b) {
    assert_true(a == b || (isnan(a) && isnan(b)));
}

static void same_contents(const mc_checkup *a, const mc_checkup *b) {
    assert_int_equal(a->number, b->number);
    assert_int_equal(a->date, b->date);
    assert_int_equal(a->method, b->method);
    same(a->wear_hours, b->wear_hours);
    assert_int_equal(a->count, b->count);
    assert_string_equal(a->note ? a->note : "", b->note ? b->note : "");
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        assert_int_equal(a->aligner[arch], b->aligner[arch]);
        assert_int_equal(a->day[arch], b->day[arch]);
    }
    for (size_t i = 0; i < a->count; i++) {
        const mc_reading *x = &a->rows[i], *y = &b->rows[i];
        assert_int_equal(x->tooth, y->tooth);
        same(x->seat_gap, y->seat_gap);
        assert_int_equal(x->seat_in_bulk, y->seat_in_bulk);
        for (int c = 0; c < MC_COMPONENTS; c++) {
            same(x->value[c], y->value[c]);
            assert_int_equal(x->short_of_plan[c], y->short_of_plan[c]);
        }
        for (int w = 0; w < MC_RELATIVES; w++)
            same(x->relative[w], y->relative[w]);
        assert_int_equal(x->method, y->method);
        assert_int_equal(x->attachment, y->attachment);
        assert_int_equal(x->contact_mesial, y->contact_mesial);
        assert_int_equal(x->contact_distal, y->contact_distal);
        assert_int_equal(x->mobility, y->mobility);
        assert_int_equal(x->pain, y->pain);
        assert_int_equal(x->swelling, y->swelling);
        same(x->recession, y->recession);
    }
}

static void same_proposal(const mc_proposal *a, const mc_proposal *b) {
    assert_int_equal(a->choice, b->choice);
    assert_int_equal(a->rule, b->rule);
    assert_string_equal(a->sentence, b->sentence);
    assert_int_equal(a->count, b->count);
    for (size_t i = 0; i < a->count; i++)
        assert_int_equal(a->teeth[i], b->teeth[i]);
    assert_int_equal(a->arch, b->arch);
    assert_int_equal(a->days, b->days);
    assert_int_equal(a->to, b->to);
}

/* Field by field; only what being open means differs. */
static void same_assessment(const mc_assessment *open, const mc_assessment *completed) {
    assert_memory_equal(&open->kase.id, &completed->kase.id, sizeof open->kase.id);
    assert_memory_equal(open->states, completed->states, sizeof open->states);
    assert_true(open->has_plan && completed->has_plan);
    assert_memory_equal(&open->info.id, &completed->info.id, sizeof open->info.id);
    assert_int_equal(open->info.status, completed->info.status);
    assert_int_equal(mc_plan_count(open->plan), mc_plan_count(completed->plan));
    assert_memory_equal(open->series, completed->series, sizeof open->series);
    assert_memory_equal(&open->settings, &completed->settings, sizeof open->settings);
    assert_int_equal(open->settings_set, completed->settings_set);
    assert_int_equal(open->checkups, completed->checkups);
    for (size_t i = 0; i < open->checkups; i++)
        assert_same_score(&open->scores[i], &completed->scores[i], false, 0);
    assert_ptr_equal(open->score, &open->scores[open->checkups - 1]);
    same_contents(&open->checkup.checkup, &completed->checkup.checkup);
    assert_memory_equal(&open->checkup.id, &completed->checkup.id, sizeof open->checkup.id);
    assert_int_equal(open->checkup.settings, completed->checkup.settings);
    assert_int_equal(open->checkups_before_on_plan, completed->checkups_before_on_plan);
    assert_memory_equal(open->behind_since, completed->behind_since, sizeof open->behind_since);
    assert_int_equal(open->last_number, completed->last_number);
    assert_true(open->has_proposal && completed->has_proposal);
    same_proposal(&open->proposal, &completed->proposal);
    assert_int_equal(open->decision_count, completed->decision_count);
    assert_true(open->checkup.open && !completed->checkup.open);
    assert_true(!open->decision_due && completed->decision_due);
}

/* Everything that can be said of a mouth, and its like in a file. */
static void say_everything(mc_draft *d) {
    done(put(d, gap(11, 0)));
    done(put(d, gap(12, 0.6)));
    done(put(d, component(12, MC_ROTATION, 0.8, true)));
    done(put(d, component(12, MC_BUCCAL, 0.1, false)));
    mc_step again = component(12, MC_ROTATION, 1.2, true);
    again.row = 1;
    done(put(d, again));
    done(put(d, whole(MC_STEP_ATTACHMENT, 12, MC_ATTACHMENT_WORN)));
    done(put(d, whole(MC_STEP_CONTACT_MESIAL, 12, MC_CONTACT_TIGHT)));
    done(put(d, whole(MC_STEP_CONTACT_DISTAL, 12, MC_CONTACT_OPEN)));
    done(put(d, whole(MC_STEP_MOBILITY, 31, 1)));
    done(put(d, whole(MC_STEP_PAIN, 31, MC_NO)));
    done(put(d, whole(MC_STEP_SWELLING, 31, MC_NO)));
    mc_step recession = of_tooth(MC_STEP_RECESSION, 31);
    recession.number = 1.5;
    done(put(d, recession));
    done(put(d, number(MC_STEP_WEAR, 22)));
}

/* The same with the rest of the upper arch, in chart order. */
static const char *with_the_rest(const char *file) {
    static const int right[] = {17, 16, 15, 14, 13}, left[] = {21, 22, 23, 24, 25, 26, 27, 28};
    static char text[2000];
    const char *rows = strchr(file, '\n') + 1, *last = strstr(file, "31,");
    size_t size =
        (size_t)snprintf(text, sizeof text, "%.*s,seat_in_bulk\n", (int)(rows - file - 1), file);
    for (size_t i = 0; i < sizeof right / sizeof *right; i++)
        size += (size_t)snprintf(text + size, sizeof text - size, "%d,0,,,,,,,,,,yes\n", right[i]);
    for (const char *line = rows; line < last; line = strchr(line, '\n') + 1)
        size += (size_t)snprintf(text + size, sizeof text - size, "%.*s,\n",
                                 (int)strcspn(line, "\n"), line);
    for (size_t i = 0; i < sizeof left / sizeof *left; i++)
        size += (size_t)snprintf(text + size, sizeof text - size, "%d,0,,,,,,,,,,yes\n", left[i]);
    snprintf(text + size, sizeof text - size, "%.*s,\n", (int)strcspn(last, "\n"), last);
    return text;
}

static const char everything[] =
    "tooth,seat_gap_mm,buccal_mm,rotation_deg,attachment,contact_mesial,contact_distal,mobility,"
    "pain,swelling,recession_mm\n"
    "12,0.6,0.1,0.8s,worn,tight,open,,,,\n12,,,1.2s,,,,,,,\n11,0,,,,,,,,,\n"
    "31,,,,,,,1,no,no,1.5\n";

static mc_checkup_info *only_checkup(house *h, size_t *count) {
    mc_checkup_info *list = NULL;
    mc_case kase = find(h->practice, "1001");
    done(mc_record_checkups(mc_practice_record(h->practice), &kase.id, false, &list, count, &why));
    return list;
}

static void last_entry(house *h, mc_entry *out, char **detail) {
    mc_entry *entries = NULL;
    size_t count = 0;
    done(mc_record_journal(mc_practice_record(h->practice), NULL, &entries, &count, &why));
    *out = entries[count - 1];
    *detail = strdup(entries[count - 1].detail);
    mc_entries_free(entries, count);
}

static void it_comes_to_the_same_as_a_file(void **state) {
    house *h = *state;
    void *other_state = NULL;
    enter(&other_state);
    house *other = other_state;
    mc_checkup_import what = readings(with_the_rest(everything), TODAY, 4, 10);
    what.note = "both ways";
    other->practice->today = day(TODAY);
    done(import_checkup(other, "1001", &what));
    mc_draft *d = take_up(h);
    say_everything(d);
    done(put(d, a_step(MC_STEP_REST_SEAT)));
    done(put(d, note("both ways")));
    done(complete(d, false));
    mc_draft_close(d);
    size_t a_count, b_count;
    mc_checkup_info *a = only_checkup(h, &a_count), *b = only_checkup(other, &b_count);
    assert_int_equal(a_count, 1);
    assert_int_equal(b_count, 1);
    same_contents(&a->checkup, &b->checkup);
    assert_int_equal(a->settings, b->settings);
    assert_string_equal(a->by, b->by);
    mc_checkup_info_free(a, a_count);
    mc_checkup_info_free(b, b_count);
    mc_entry mine, theirs;
    char *my_detail, *their_detail;
    last_entry(h, &mine, &my_detail);
    last_entry(other, &theirs, &their_detail);
    assert_string_equal(mine.action, theirs.action);
    assert_string_equal(my_detail, their_detail);
    free(my_detail);
    free(their_detail);
    leave(&other_state);
}

static void the_live_assessment_is_that_of_the_completed_one(void **state) {
    house *h = *state;
    first_checkup(h);
    mc_case kase = find(h->practice, "1001");
    mc_draft *d = NULL;
    h->practice->today = day(SECOND_DAY);
    done(mc_draft_open(h->practice, &kase, &d, &why));
    done(put(d, frame(MC_STEP_ALIGNER, MC_UPPER, 8)));
    done(put(d, frame(MC_STEP_DAY, MC_UPPER, 2)));
    say_everything(d);
    done(put(d, component(11, MC_ROTATION, -1.0, false)));
    done(put(d, a_step(MC_STEP_REST_SEAT)));
    done(put(d, note("12 rebonded next time")));
    done(complete(d, false));
    mc_assessment *completed = assessed(h->practice, "1001", 0);
    same_assessment(mc_draft_assessment(d), completed);
    mc_assessment_free(completed);
    mc_draft_close(d);
}

/* The score follows every value, also when it is taken back. */
static void the_score_follows(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    mc_tooth t = mc_tooth_from_iso(12);
    const mc_assessment *a = mc_draft_assessment(d);
    assert_int_equal(a->score->tooth[t].state, MC_STATE_UNMEASURED);
    done(put(d, gap(12, 0.6)));
    assert_true(a->score->tooth[t].seat_gap == 0.6);
    assert_int_equal(a->score->tooth[t].state, MC_STATE_BEHIND);
    assert_int_equal(a->behind_since[t], 1);
    done(mc_draft_undo(d, NULL, &why));
    a = mc_draft_assessment(d);
    assert_int_equal(a->score->tooth[t].state, MC_STATE_UNMEASURED);
    assert_int_equal(a->behind_since[t], 0);
    mc_tooth worth[MC_MOST_WORTH];
    assert_int_equal(mc_draft_worth(d, worth), 2);
    done(put(d, component(worth[0] == t ? 12 : 11, MC_BUCCAL, 0.15, false)));
    mc_tooth left[MC_MOST_WORTH];
    assert_int_equal(mc_draft_worth(d, left), 1);
    assert_int_equal(left[0], worth[1]);
    mc_draft_close(d);
}

static void the_last_reading_is_that_of_the_check_up_before(void **state) {
    house *h = *state;
    first_checkup(h);
    mc_case kase = find(h->practice, "1001");
    mc_draft *d = NULL;
    h->practice->today = day(SECOND_DAY);
    done(mc_draft_open(h->practice, &kase, &d, &why));
    assert_int_equal(mc_draft_number(d), 2);
    done(put(d, component(12, MC_BUCCAL, 0.4, false)));
    assert_true(mc_draft_last(d, mc_tooth_from_iso(12), MC_BUCCAL) == 0.2);
    assert_true(mc_draft_last(d, mc_tooth_from_iso(11), MC_ROTATION) == -1.5);
    assert_true(isnan(mc_draft_last(d, mc_tooth_from_iso(11), MC_MESIAL)));
    mc_draft_close(d);
}

/* ---- every kind of step, taken back and done again ---- */

static void undo_says(mc_draft *d, const char *words) {
    char what[MC_STEP_TEXT_SIZE];
    done(mc_draft_undo(d, what, &why));
    assert_string_equal(what, words);
}

static void redo_says(mc_draft *d, const char *words) {
    char what[MC_STEP_TEXT_SIZE];
    done(mc_draft_redo(d, what, &why));
    assert_string_equal(what, words);
}

typedef struct {
    mc_step step;
    const char *words;
} said;

static void every_step_can_be_taken_back_and_done_again(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    mc_step recession = of_tooth(MC_STEP_RECESSION, 31);
    recession.number = 1.5;
    const said steps[] = {
        {frame(MC_STEP_ALIGNER, MC_UPPER, 5), "upper aligner 5"},
        {frame(MC_STEP_DAY, MC_UPPER, 2), "day of the upper aligner 2"},
        {number(MC_STEP_WEAR, 20.5), "wear 20.5 hours a day"},
        {frame(MC_STEP_METHOD, MC_UPPER, MC_EYE), "read by eye"},
        {note("invented"), "the note"},
        {gap(12, 0.5), "12 seat gap 0.5 mm"},
        {gap(12, 0), "12 seats"},
        {component(12, MC_ROTATION, 2.5, true), "12 rotation 2.5 deg short"},
        {component(12, MC_BUCCAL, -0.25, false), "12 buccal -0.25 mm"},
        {whole(MC_STEP_ATTACHMENT, 12, MC_ATTACHMENT_LOST), "12 attachment lost"},
        {whole(MC_STEP_CONTACT_MESIAL, 12, MC_CONTACT_TIGHT), "12 mesial contact tight"},
        {whole(MC_STEP_CONTACT_DISTAL, 12, MC_CONTACT_OPEN), "12 distal contact open"},
        {whole(MC_STEP_MOBILITY, 31, 2), "31 mobility 2"},
        {whole(MC_STEP_PAIN, 31, MC_YES), "31 pain on biting yes"},
        {whole(MC_STEP_SWELLING, 31, MC_NO), "31 swelling no"},
        {recession, "31 recession 1.5 mm"},
        {a_step(MC_STEP_REST_SEAT), "all the rest seat"},
        {component(12, MC_ROTATION, NAN, false), "12 rotation taken away"},
        {gap(12, NAN), "12 seat gap taken away"},
        {whole(MC_STEP_MOBILITY, 31, -1), "31 mobility taken away"},
        {whole(MC_STEP_PAIN, 31, 0), "31 pain on biting taken away"},
        {whole(MC_STEP_ATTACHMENT, 12, 0), "12 attachment taken away"},
        {note(""), "the note taken away"},
        {number(MC_STEP_WEAR, NAN), "wear taken away"},
    };
    enum { STEPS = sizeof steps / sizeof *steps };
    mc_score scores[STEPS + 1];
    size_t rows[STEPS + 1];
    for (size_t i = 0; i < STEPS; i++) {
        scores[i] = *mc_draft_assessment(d)->score;
        rows[i] = mc_draft_checkup(d)->count;
        done(put(d, steps[i].step));
        assert_int_equal(mc_draft_steps(d), i + 1);
    }
    scores[STEPS] = *mc_draft_assessment(d)->score;
    rows[STEPS] = mc_draft_checkup(d)->count;
    for (size_t i = STEPS; i-- > 0;) {
        undo_says(d, steps[i].words);
        assert_same_score(mc_draft_assessment(d)->score, &scores[i], false, 0);
        assert_int_equal(mc_draft_checkup(d)->count, rows[i]);
    }
    refuses(MC_REFUSED, "nothing to undo", mc_draft_undo(d, NULL, &why));
    assert_int_equal(mc_draft_checkup(d)->aligner[MC_UPPER], 4);
    assert_int_equal(mc_draft_checkup(d)->day[MC_UPPER], 10);
    for (size_t i = 0; i < STEPS; i++) {
        redo_says(d, steps[i].words);
        assert_same_score(mc_draft_assessment(d)->score, &scores[i + 1], false, 0);
        assert_int_equal(mc_draft_checkup(d)->count, rows[i + 1]);
    }
    refuses(MC_REFUSED, "nothing to redo", mc_draft_redo(d, NULL, &why));
    done(mc_draft_undo(d, NULL, &why));
    done(put(d, number(MC_STEP_WEAR, 19)));
    refuses(MC_REFUSED, "nothing to redo", mc_draft_redo(d, NULL, &why));
    mc_draft_close(d);
}

static void what_changes_nothing_is_no_step(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    done(put(d, frame(MC_STEP_METHOD, MC_UPPER, MC_CALIPER)));
    done(put(d, gap(12, NAN)));
    done(put(d, frame(MC_STEP_ALIGNER, MC_UPPER, 4)));
    assert_false(mc_draft_on_record(d));
    done(put(d, gap(12, 0.5)));
    done(put(d, gap(12, 0.5)));
    assert_int_equal(mc_draft_steps(d), 1);
    mc_draft_close(d);
}

/* A day is that of the aligner it was said of. */
static void another_aligner_has_no_day_yet(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    done(put(d, frame(MC_STEP_ALIGNER, MC_UPPER, 3)));
    assert_int_equal(mc_draft_checkup(d)->day[MC_UPPER], -1);
    assert_true(mc_draft_assessment(d)->score->effective_stage[MC_UPPER] == 3);
    done(put(d, frame(MC_STEP_DAY, MC_UPPER, 1)));
    assert_true(mc_draft_assessment(d)->score->effective_stage[MC_UPPER] == 2.25);
    mc_draft_close(d);
}

static void the_rest_seat_leaves_what_was_read(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    done(put(d, gap(12, 0.6)));
    done(put(d, gap(21, 0)));
    done(put(d, whole(MC_STEP_MOBILITY, 13, 1)));
    done(put(d, a_step(MC_STEP_REST_SEAT)));
    int seated = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_reading *r = mc_draft_row(d, t, 0);
        int iso = mc_tooth_iso(t);
        if (iso == 12) {
            assert_true(r->seat_gap == 0.6 && !r->seat_in_bulk);
        } else if (iso == 21) {
            assert_true(r->seat_gap == 0 && !r->seat_in_bulk);
        } else if (iso == 18 || iso > 28) { /* missing; the lower arch has no series */
            assert_null(r);
        } else {
            assert_true(r->seat_gap == 0 && r->seat_in_bulk);
            seated++;
        }
    }
    assert_int_equal(seated, 13); /* an implant seats as well as any */
    assert_int_equal(mc_draft_row(d, mc_tooth_from_iso(13), 0)->mobility, 1);
    refuses(MC_REFUSED, "no tooth is left", put(d, a_step(MC_STEP_REST_SEAT)));
    done(put(d, gap(22, 0))); /* looked at by itself after all */
    assert_false(mc_draft_row(d, mc_tooth_from_iso(22), 0)->seat_in_bulk);
    undo_says(d, "22 seats");
    assert_true(mc_draft_row(d, mc_tooth_from_iso(22), 0)->seat_in_bulk);
    mc_draft_close(d);
}

static void rows_come_in_chart_order_and_empty_ones_not_at_all(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    mc_step second = component(12, MC_BUCCAL, 0.2, false);
    second.row = 1;
    done(put(d, gap(21, 0.1)));
    done(put(d, component(12, MC_BUCCAL, 0.1, false)));
    done(put(d, second));
    done(put(d, whole(MC_STEP_PAIN, 12, MC_YES)));
    const mc_checkup *c = mc_draft_checkup(d);
    assert_int_equal(c->count, 3);
    assert_int_equal(mc_tooth_iso(c->rows[0].tooth), 12);
    assert_int_equal(c->rows[0].pain, MC_YES);
    assert_true(c->rows[1].value[MC_BUCCAL] == 0.2 && c->rows[1].pain == MC_UNSAID);
    assert_int_equal(mc_tooth_iso(c->rows[2].tooth), 21);
    assert_int_equal(mc_draft_rows(d, mc_tooth_from_iso(12)), 2);
    done(put(d, whole(MC_STEP_PAIN, 12, 0)));
    done(put(d, component(12, MC_BUCCAL, NAN, false)));
    assert_int_equal(mc_draft_checkup(d)->count, 2);
    assert_true(mc_draft_checkup(d)->rows[0].value[MC_BUCCAL] == 0.2);
    assert_int_equal(mc_draft_rows(d, mc_tooth_from_iso(12)), 2);
    second.number = NAN;
    done(put(d, second));
    assert_int_equal(mc_draft_rows(d, mc_tooth_from_iso(12)), 0);
    assert_null(mc_draft_row(d, mc_tooth_from_iso(12), 0));
    mc_draft_close(d);
}

/* ---- refusals ---- */

static void what_cannot_be_is_refused(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    mc_step far_row = gap(12, 0.5), no_arch = frame(MC_STEP_ALIGNER, MC_ARCHES, 3),
            no_way = component(12, MC_COMPONENTS, 1, false),
            recession = of_tooth(MC_STEP_RECESSION, 31);
    far_row.row = 1;
    recession.number = 20.5;
    mc_step below = recession, no_tooth = gap(12, 1), nothing = a_step(MC_STEPS);
    below.number = -1;
    no_tooth.tooth = MC_TEETH;
    const said steps[] = {
        {frame(MC_STEP_ALIGNER, MC_UPPER, 25), "upper aligner 25 is not in the series of 24"},
        {frame(MC_STEP_ALIGNER, MC_UPPER, -2), "upper aligner -2"},
        {frame(MC_STEP_ALIGNER, MC_LOWER, 3), "the lower arch has no series"},
        {frame(MC_STEP_DAY, MC_LOWER, 3), "say which lower aligner is worn first"},
        {frame(MC_STEP_DAY, MC_UPPER, 1000), "day 1000"},
        {frame(MC_STEP_DAY, MC_UPPER, -2), "day -2"},
        {no_arch, "no such arch"},
        {number(MC_STEP_WEAR, 24.5), "0 to 24"},
        {number(MC_STEP_WEAR, -1), "0 to 24"},
        {number(MC_STEP_WEAR, INFINITY), "0 to 24"},
        {frame(MC_STEP_METHOD, MC_UPPER, MC_METHODS), "no such method"},
        {frame(MC_STEP_METHOD, MC_UPPER, -1), "no such method"},
        {note("a\nb"), "control character"},
        {note("\xff"), "not UTF-8"},
        {gap(12, 5.5), "a seat gap of 5.5 mm cannot be: 0 to 5"},
        {gap(12, -0.1), "cannot be"},
        {gap(31, 0.5), "the lower arch has no aligners in this plan"},
        {gap(18, 0.5), "does not have tooth 18 (missing)"},
        {no_tooth, "no such tooth"},
        {far_row, "reading of 12 before this one is empty"},
        {component(12, MC_MESIAL, 20.5, false), "12 mesial of 20.5 mm cannot be"},
        {component(12, MC_ROTATION, -91, false), "12 rotation of -91 deg cannot be"},
        {component(12, MC_ROTATION, INFINITY, false), "cannot be"},
        {component(12, MC_ROTATION, -90, true), "12 rotation would be 93 deg from where it began"},
        {component(12, MC_MESIAL, 0.5, true), "12 mesial is not planned to move by now"},
        {no_way, "does not move that way"},
        {whole(MC_STEP_ATTACHMENT, 12, 5), "intact, worn, loose or lost"},
        {whole(MC_STEP_CONTACT_MESIAL, 12, 4), "open, normal or tight"},
        {whole(MC_STEP_CONTACT_DISTAL, 12, -1), "open, normal or tight"},
        {whole(MC_STEP_MOBILITY, 12, 4), "grade 0 to 3"},
        {whole(MC_STEP_MOBILITY, 12, -2), "grade 0 to 3"},
        {whole(MC_STEP_PAIN, 12, 3), "yes or no"},
        {whole(MC_STEP_SWELLING, 12, 3), "yes or no"},
        {whole(MC_STEP_PAIN, 18, MC_YES), "does not have tooth 18"},
        {recession, "a recession of 20.5 mm"},
        {below, "a recession of -1 mm"},
        {nothing, "no such step"},
    };
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++) {
        refused(h, steps[i].words, put_surely(d, steps[i].step));
        assert_null(strstr(why.text, "--"));
        assert_int_equal(mc_draft_steps(d), 0);
        assert_int_equal(mc_draft_checkup(d)->count, 0);
        assert_null(mc_draft_checkup(d)->note);
    }
    assert_false(mc_draft_on_record(d));
    mc_step longest = a_step(MC_STEP_NOTE);
    memset(longest.text, 'x', 501);
    longest.text[501] = '\0';
    refused(h, "at most 500", put(d, longest));
    memset(longest.text, 'x', sizeof longest.text);
    refused(h, "too long", put(d, longest));
    done(put(d, gap(12, 5)));
    mc_draft_close(d);
}

static void without_an_aligner_nothing_is_read_against_it(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    done(put(d, frame(MC_STEP_ALIGNER, MC_UPPER, MC_NO_ALIGNER)));
    assert_int_equal(mc_draft_checkup(d)->day[MC_UPPER], -1);
    refused(h, "say which upper aligner is worn first", put(d, gap(12, 0.5)));
    refused(h, "say which upper aligner is worn first",
            put(d, component(12, MC_BUCCAL, 0.5, false)));
    refused(h, "no tooth is left", put(d, a_step(MC_STEP_REST_SEAT)));
    done(put(d, whole(MC_STEP_MOBILITY, 12, 1)));
    done(put(d, component(31, MC_BUCCAL, 0.5, false))); /* no series: against its stage 0 */
    mc_draft_close(d);
}

static void a_kept_value_stands_in_the_way_of_another_aligner(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    done(put(d, component(12, MC_ROTATION, 1, true)));
    done(put(d, frame(MC_STEP_ALIGNER, MC_UPPER, 3))); /* still short by as much */
    assert_true(mc_draft_row(d, mc_tooth_from_iso(12), 0)->value[MC_ROTATION] == 1);
    refused(h, "12 rotation was entered short of plan",
            put(d, frame(MC_STEP_ALIGNER, MC_UPPER, 0)));
    assert_int_equal(mc_draft_checkup(d)->aligner[MC_UPPER], 3);
    refused(h, "needs the aligner", put(d, frame(MC_STEP_ALIGNER, MC_UPPER, MC_NO_ALIGNER)));
    done(put(d, component(12, MC_ROTATION, NAN, false)));
    done(put(d, frame(MC_STEP_ALIGNER, MC_UPPER, 0)));
    done(put(d, gap(12, 0.5)));
    refused(h, "12 seat gap was entered", put(d, frame(MC_STEP_ALIGNER, MC_UPPER, MC_NO_ALIGNER)));
    mc_draft_close(d);
}

static void the_unlikely_is_asked_back_once(void **state) {
    house *h = *state;
    first_checkup(h);
    mc_case kase = find(h->practice, "1001");
    mc_draft *d = NULL;
    h->practice->today = day(SECOND_DAY);
    done(mc_draft_open(h->practice, &kase, &d, &why));
    bool doubt = false;
    mc_step odd = component(12, MC_ROTATION, 14, false); /* planned 6.75, last 3 */
    int64_t change = mc_record_change(mc_practice_record(h->practice));
    refuses(MC_REFUSED,
            "12 rotation at 14 deg is unlikely: the plan has 6.375, the last reading was 3",
            mc_draft_enter(d, &odd, false, &doubt, &why));
    assert_true(doubt);
    assert_int_equal(mc_record_change(mc_practice_record(h->practice)), change);
    assert_int_equal(mc_draft_steps(d), 0);
    done(mc_draft_enter(d, &odd, true, &doubt, &why));
    assert_false(doubt);
    done(put(d, odd));                                    /* it is there: nothing to doubt */
    done(put(d, component(12, MC_ROTATION, 8.5, false))); /* near the last reading */
    mc_step never = component(11, MC_MESIAL, 1.5, false);
    refuses(MC_REFUSED, "it was not read before", mc_draft_enter(d, &never, false, &doubt, &why));
    assert_true(doubt);
    mc_draft_close(d);
}

/* ---- who ---- */

static void only_the_team_enters(void **state) {
    house *h = *state;
    mc_draft *d = NULL;
    mc_case kase = find(h->practice, "1001");
    nobody(h, TODAY);
    done(mc_draft_open(h->practice, &kase, &d, &why));
    refused(h, "nobody is named", put(d, gap(12, 0.5)));
    assert_int_equal(mc_draft_checkup(d)->count, 0);
    act_as(h, "EF");
    refused(h, "this is for a doctor or an assistant", put(d, gap(12, 0.5)));
    act_as(h, "CD");
    done(put(d, gap(12, 0.5)));
    act_as(h, "EF");
    refused(h, "a doctor or an assistant", put(d, gap(11, 0.5)));
    refused(h, "a doctor or an assistant", mc_draft_undo(d, NULL, &why));
    refused(h, "a doctor or an assistant", complete(d, true));
    refused(h, "a doctor or an assistant", mc_draft_discard(d, &why));
    mc_practice *other = NULL;
    done(mc_practice_open(h->path, day(TODAY), &other, &why));
    done(mc_practice_act_as(other, "AB", &why));
    act_as(h, "CD");
    done(mc_staff_retire(other, "CD", NULL, &why));
    mc_practice_close(other);
    refused(h, "CD has retired", put(d, gap(11, 0.5)));
    assert_int_equal(mc_draft_steps(d), 1);
    assert_int_equal(mc_draft_checkup(d)->count, 1);
    mc_draft_close(d);
}

static void what_is_entered_keeps_its_hand(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_checkup_info info;
    mc_step *steps;
    size_t count;
    bool found;
    act_as(h, "CD");
    mc_draft *d = take_up(h);
    done(put(d, gap(12, 0.5)));
    act_as(h, "AB");
    done(put(d, gap(11, 0.5)));
    done(mc_record_open_checkup(mc_practice_record(h->practice), &kase.id, &info, &steps, &count,
                                &found, &why));
    assert_int_equal(count, 2);
    assert_string_equal(steps[0].by, "CD");
    assert_string_equal(steps[1].by, "AB");
    assert_string_equal(info.by, "CD");
    free(steps);
    done(complete(d, false));
    mc_draft_close(d);
    mc_checkup_info *list = only_checkup(h, &count);
    assert_string_equal(list->by, "AB");
    mc_checkup_info_free(list, count);
}

/* ---- leaving and coming back ---- */

static void come_back(house *h, const char *initials) {
    mc_practice_close(h->practice);
    done(mc_practice_open(h->path, day(TODAY), &h->practice, &why));
    act_as(h, initials);
}

static void it_reopens_where_it_stood(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    say_everything(d);
    done(put(d, note("half way")));
    undo_says(d, "the note");
    mc_score score = *mc_draft_assessment(d)->score;
    mc_draft_close(d);
    come_back(h, "CD");
    d = take_up(h);
    assert_true(mc_draft_on_record(d));
    assert_int_equal(mc_draft_steps(d), 13);
    assert_int_equal(mc_draft_undone(d), 1);
    assert_same_score(mc_draft_assessment(d)->score, &score, false, 0);
    redo_says(d, "the note");
    assert_string_equal(mc_draft_checkup(d)->note, "half way");
    done(complete(d, false));
    mc_draft_close(d);
}

/* On a later day it is still the check-up of the day it was begun. */
static void its_day_is_the_day_it_was_begun(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_draft *d = take_up(h);
    done(put(d, gap(12, 0.5)));
    mc_draft_close(d);
    h->practice->today = day(TODAY) + 3;
    done(mc_draft_open(h->practice, &kase, &d, &why));
    assert_int_equal(mc_draft_checkup(d)->date, day(TODAY));
    done(complete(d, false));
    mc_draft_close(d);
}

static void a_killed_process_loses_nothing(void **state) {
    house *h = *state;
    enum { VALUES = 9 };
    static const int teeth[VALUES] = {11, 12, 13, 14, 15, 21, 22, 23, 24};
    mc_practice_close(h->practice);
    h->practice = NULL;
    pid_t child = fork();
    if (child == 0) {
        mc_practice *practice = NULL;
        mc_case kase;
        mc_draft *d = NULL;
        bool doubt;
        mc_status status = mc_practice_open(h->path, day(TODAY), &practice, NULL);
        status |= mc_practice_act_as(practice, "CD", NULL);
        status |= mc_case_find(practice, "1001", &kase, NULL);
        status |= mc_draft_open(practice, &kase, &d, NULL);
        for (int i = 0; status == MC_OK && i < VALUES; i++) {
            mc_step step = gap(teeth[i], 0.1 * i + 0.1);
            status |= mc_draft_enter(d, &step, false, &doubt, NULL);
        }
        if (status == MC_OK)
            kill(getpid(), SIGKILL);
        _exit(1);
    }
    int ended = 0;
    assert_int_equal(waitpid(child, &ended, 0), child);
    assert_true(WIFSIGNALED(ended) && WTERMSIG(ended) == SIGKILL);
    done(mc_practice_open(h->path, day(TODAY), &h->practice, &why));
    act_as(h, "AB");
    mc_draft *d = take_up(h);
    assert_int_equal(mc_draft_steps(d), VALUES);
    for (int i = 0; i < VALUES; i++)
        assert_true(mc_draft_row(d, mc_tooth_from_iso(teeth[i]), 0)->seat_gap == 0.1 * i + 0.1);
    mc_draft_close(d);
}

/* ---- two consoles ---- */

static void two_consoles_enter_in_turn(void **state) {
    house *h = *state;
    mc_practice *practice = NULL;
    mc_case kase = find(h->practice, "1001");
    mc_draft *other = NULL;
    bool changed = true;
    done(mc_practice_open(h->path, day(TODAY), &practice, &why));
    done(mc_practice_act_as(practice, "CD", &why));
    mc_draft *mine = take_up(h);
    done(mc_draft_open(practice, &kase, &other, &why));
    done(put(other, gap(12, 0.6)));
    refused(h, "last: 12 seat gap 0.6 mm, by CD", put(mine, gap(11, 0.2)));
    assert_int_equal(why.need, MC_NEED_LOOK);
    assert_true(mc_draft_on_record(mine));
    assert_true(mc_draft_row(mine, mc_tooth_from_iso(12), 0)->seat_gap == 0.6);
    assert_null(mc_draft_row(mine, mc_tooth_from_iso(11), 0));
    done(put(mine, gap(11, 0.2)));
    done(mc_draft_look(other, &changed, &why));
    assert_true(changed);
    assert_true(mc_draft_row(other, mc_tooth_from_iso(11), 0)->seat_gap == 0.2);
    done(mc_draft_look(other, &changed, &why));
    assert_false(changed);
    assert_same_score(mc_draft_assessment(mine)->score, mc_draft_assessment(other)->score, false,
                      0);
    /* as many steps as before, but others */
    done(mc_draft_undo(other, NULL, &why));
    done(put(other, gap(13, 0.3)));
    refused(h, "by CD", mc_draft_undo(mine, NULL, &why));
    assert_null(mc_draft_row(mine, mc_tooth_from_iso(11), 0));
    done(put(mine, gap(11, 0.2)));
    refuses(MC_REFUSED, "by AB", complete(other, false));
    done(complete(other, false));
    refuses(MC_REFUSED, "no longer being entered", put(other, gap(14, 0.1)));
    refused(h, "check-up 1 was completed or thrown away", put(mine, gap(14, 0.1)));
    assert_false(mc_draft_on_record(mine));
    assert_int_equal(mc_draft_number(mine), 2);
    assert_int_equal(mc_draft_checkup(mine)->count, 0);
    mc_draft_close(mine);
    mc_draft_close(other);
    mc_practice_close(practice);
}

/* Work of others that has nothing to do with it does not disturb. */
static void other_work_does_not_disturb(void **state) {
    house *h = *state;
    mc_practice *practice = NULL;
    bool changed = true;
    int64_t set;
    mc_draft *d = take_up(h);
    done(put(d, gap(12, 0.6)));
    done(mc_practice_open(h->path, day(TODAY), &practice, &why));
    done(mc_practice_act_as(practice, "AB", &why));
    done(mc_settings_change(practice, NULL, "wear_hours", 18, "agreed", &set, &why));
    done(put(d, gap(11, 0.2)));
    done(mc_settings_change(practice, NULL, "wear_hours", 19, "agreed", &set, &why));
    done(mc_draft_look(d, &changed, &why));
    assert_false(changed);
    done(mc_draft_undo(d, NULL, &why));
    mc_draft_close(d);
    mc_practice_close(practice);
}

static void sign_go_back(house *h, int to) {
    mc_case kase = find(h->practice, "1001");
    mc_decide decide = {.choices = 1u << MC_GO_BACK, .to = to, .reason = "as agreed"};
    decide.start = MC_NO_DAY;
    mc_decision decision;
    mc_warnings warnings;
    done(mc_sign(h->practice, &kase, &decide, DOCTOR_WORDS, &decision, &warnings, &why));
    mc_warnings_free(&warnings);
    free(decision.evidence);
}

/* Before its first value anything may be signed: it is begun as the case is by then. */
static void it_is_begun_as_the_case_is_by_then(void **state) {
    house *h = *state;
    bool changed = false;
    first_checkup(h);
    mc_draft *d = take_up(h);
    assert_int_equal(mc_draft_checkup(d)->aligner[MC_UPPER], 4);
    sign_go_back(h, 3);
    refused(h, "case 1001 was changed on another console", put(d, gap(12, 0.6)));
    assert_int_equal(why.need, MC_NEED_LOOK);
    assert_false(mc_draft_on_record(d));
    assert_int_equal(mc_draft_checkup(d)->aligner[MC_UPPER], 3);
    sign_go_back(h, 2);
    done(mc_draft_look(d, &changed, &why));
    assert_true(changed);
    assert_int_equal(mc_draft_checkup(d)->aligner[MC_UPPER], 2);
    done(mc_draft_look(d, &changed, &why));
    assert_false(changed);
    done(put(d, gap(12, 0.6)));
    mc_draft_close(d);
}

static void work_elsewhere_does_not_disturb_its_beginning(void **state) {
    house *h = *state;
    mc_tooth_state states[MC_TEETH];
    mc_case other;
    mc_draft *d = take_up(h);
    mc_usual_teeth(states);
    done(mc_case_open(h->practice, "1002", "Invented, Otto", day("1991-05-06"), states, &other,
                      &why));
    done(put(d, gap(12, 0.6)));
    mc_draft_close(d);
}

/* Gone from the record, in a case that can have none any more: there is nothing to go on with. */
static void it_ends_where_none_can_be_entered(void **state) {
    house *h = *state;
    bool changed = true;
    mc_case kase = find(h->practice, "1001");
    mc_draft *begun = take_up(h), *unbegun = NULL;
    done(put(begun, gap(12, 0.6)));
    mc_draft *other = take_up(h);
    done(mc_draft_discard(other, &why));
    mc_draft_close(other);
    done(mc_draft_open(h->practice, &kase, &unbegun, &why));
    assert_false(mc_draft_ended(begun));
    done(mc_case_close(h->practice, &kase, &why));
    refuses(MC_REFUSED, "was closed on", mc_draft_look(begun, &changed, &why));
    assert_false(changed);
    assert_true(mc_draft_ended(begun));
    refused(h, "was closed on", put(unbegun, gap(12, 0.6)));
    assert_true(mc_draft_ended(unbegun));
    refused(h, "no longer being entered", put(begun, gap(12, 0.7)));
    refused(h, "no longer being entered", complete(begun, true));
    mc_draft_close(begun);
    mc_draft_close(unbegun);
}

/* ---- while it is open ---- */

static void nothing_passes_an_open_one(void **state) {
    house *h = *state;
    first_checkup(h);
    mc_case kase = find(h->practice, "1001");
    mc_checkup_import what = readings(SECOND_READ, SECOND_DAY, 9, 2);
    mc_draft *d = NULL;
    h->practice->today = day(SECOND_DAY);
    act_as(h, "CD");
    done(mc_draft_open(h->practice, &kase, &d, &why));
    done(put(d, gap(12, 0.5)));
    act_as(h, "AB");
    refused(h, "check-up 2 is being entered by CD", import_checkup(h, "1001", &what));
    mc_decide decide = {.choices = 1u << MC_CARRY_ON, .to = -1, .reason = "as agreed"};
    decide.start = MC_NO_DAY;
    mc_decision decision;
    mc_warnings warnings;
    refused(h, "a check-up is being entered, number 2",
            mc_sign(h->practice, &kase, &decide, DOCTOR_WORDS, &decision, &warnings, &why));
    mc_warnings_free(&warnings);
    free(decision.evidence);
    refused(h, "is being entered", mc_case_close(h->practice, &kase, &why));
    mc_assessment *a = assessed(h->practice, "1001", 0); /* as it was */
    assert_int_equal(a->score->number, 1);
    mc_assessment_free(a);
    done(mc_draft_discard(d, &why));
    mc_draft_close(d);
    done(import_checkup(h, "1001", &what));
}

static void a_tooth_may_go_meanwhile(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001");
    mc_draft *d = take_up(h);
    done(put(d, gap(13, 0.5)));
    done(put(d, gap(12, 0.5)));
    done(mc_case_set_tooth(h->practice, &kase, mc_tooth_from_iso(13), MC_TOOTH_EXTRACTED,
                           day(TODAY), &why));
    refused(h, "no longer has tooth 13 (extracted)", complete(d, true));
    done(put(d, gap(13, NAN)));
    done(complete(d, true));
    mc_draft_close(d);
}

/* ---- the end of it ---- */

static void nothing_read_is_nothing_to_complete(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    refused(h, "nothing was read", complete(d, true));
    done(put(d, number(MC_STEP_WEAR, 20)));
    refused(h, "nothing was read", complete(d, true));
    done(put(d, gap(12, 0.5)));
    done(mc_draft_undo(d, NULL, &why));
    refused(h, "nothing was read", complete(d, true));
    done(put(d, whole(MC_STEP_PAIN, 12, MC_YES)));
    done(complete(d, true));
    mc_draft_close(d);
}

static void an_aligner_far_from_the_dates_is_warned_of(void **state) {
    house *h = *state;
    mc_draft *d = take_up(h);
    int n = 0;
    mc_warnings warnings;
    done(put(d, frame(MC_STEP_ALIGNER, MC_UPPER, 7)));
    done(put(d, gap(12, 0.5)));
    refused(h, "1 warning", mc_draft_complete(d, false, &n, &warnings, &why));
    assert_int_equal(why.need, MC_NEED_ACCEPTANCE);
    assert_int_equal(warnings.count, 1);
    assert_string_equal(warnings.list[0].text,
                        "upper aligner 7 is worn, but by the dates it should be 4");
    mc_warnings_free(&warnings);
    done(complete(d, true));
    mc_draft_close(d);
}

static void a_discarded_one_leaves_its_entry_only(void **state) {
    house *h = *state;
    size_t count;
    mc_draft *d = take_up(h);
    size_t before = journal_length(h->practice, NULL);
    done(mc_draft_discard(d, &why)); /* nothing was entered */
    mc_draft_close(d);
    assert_int_equal(journal_length(h->practice, NULL), before);
    d = take_up(h);
    done(put(d, gap(12, 0.5)));
    journalled(h, "check-up discarded", mc_draft_discard(d, &why));
    refused(h, "no longer being entered", put(d, gap(12, 0.5)));
    refused(h, "no longer being entered", complete(d, true));
    mc_draft_close(d);
    d = take_up(h);
    assert_false(mc_draft_on_record(d));
    assert_int_equal(mc_draft_number(d), 1);
    mc_draft_close(d);
    mc_checkup_info_free(only_checkup(h, &count), 0);
    assert_int_equal(count, 0);
}

static void it_is_scored_with_the_settings_it_was_begun_with(void **state) {
    house *h = *state;
    int64_t set;
    mc_draft *d = take_up(h);
    done(put(d, gap(12, 0.5)));
    int64_t begun = mc_draft_assessment(d)->settings_set;
    mc_draft_close(d);
    done(mc_settings_change(h->practice, NULL, "tolerance_mm", 0.6, "agreed", &set, &why));
    d = take_up(h);
    assert_int_equal(mc_draft_assessment(d)->settings_set, begun);
    done(complete(d, true));
    mc_draft_close(d);
    size_t count;
    mc_checkup_info *list = only_checkup(h, &count);
    assert_int_equal(list->settings, begun);
    mc_checkup_info_free(list, count);
}

static void some_cases_cannot_be_checked(void **state) {
    house *h = *state;
    mc_case kase = find(h->practice, "1001"), bare;
    mc_tooth_state states[MC_TEETH];
    mc_draft *d = NULL;
    h->practice->today = day(PLAN_START) - 1;
    refused(h, "starts on " PLAN_START, mc_draft_open(h->practice, &kase, &d, &why));
    assert_null(d);
    mc_usual_teeth(states);
    done(mc_case_open(h->practice, "1002", "Invented, Otto", day("1991-05-06"), states, &bare,
                      &why));
    refused(h, "no plan", mc_draft_open(h->practice, &bare, &d, &why));
    h->practice->today = day(SECOND_DAY);
    first_checkup(h);
    h->practice->today = day(FIRST_DAY) - 1;
    refused(h, "after today", mc_draft_open(h->practice, &kase, &d, &why));
    h->practice->today = day(FIRST_DAY);
    done(mc_case_close(h->practice, &kase, &why));
    refused(h, "was closed on", mc_draft_open(h->practice, &kase, &d, &why));
}

/* ---- the note of a file, and of an amendment ---- */

static void note_is(house *h, const char *text) {
    size_t count;
    mc_checkup_info *list = only_checkup(h, &count);
    assert_string_equal(list->checkup.note ? list->checkup.note : "", text);
    mc_checkup_info_free(list, count);
}

static void amend_with(house *h, mc_checkup_import *what, const char *text, int version) {
    mc_case kase = find(h->practice, "1001");
    mc_warnings warnings;
    int n = 0;
    what->note = text;
    done(mc_amend_checkup(h->practice, &kase, 1, what, "misread", &n, &warnings, &why));
    assert_int_equal(n, version);
}

static void an_amendment_keeps_the_note(void **state) {
    house *h = *state;
    mc_checkup_import what = readings(FIRST_READ, TODAY, 4, 10);
    h->practice->today = day(TODAY);
    what.note = "a\nb";
    refused(h, "the note holds a control character", import_checkup(h, "1001", &what));
    what.note = "12 rebonded";
    done(import_checkup(h, "1001", &what));
    note_is(h, "12 rebonded");
    amend_with(h, &what, NULL, 2);
    note_is(h, "12 rebonded");
    amend_with(h, &what, "13 rebonded", 3);
    note_is(h, "13 rebonded");
    amend_with(h, &what, "", 4);
    note_is(h, "");
}

/* ---- both arches, and the mirror ---- */

static void a_mirrored_mouth_gives_the_mirrored_score(void **state) {
    house *h = *state;
    static const char *const plans[] = {
        "tooth,stage,mesial_mm,buccal_mm,rotation_deg\n12,20,0.4,1.2,18\n43,16,0.6,-0.5,8\n",
        "tooth,stage,mesial_mm,buccal_mm,rotation_deg\n22,20,0.4,1.2,18\n33,16,0.6,-0.5,8\n"};
    static const int upper[] = {12, 22}, lower[] = {43, 33};
    mc_score scores[2];
    for (int i = 0; i < 2; i++) {
        mc_case kase;
        mc_tooth_state states[MC_TEETH];
        mc_draft *d = NULL;
        mc_plan_import plan = plan_file(plans[i]);
        mc_usual_teeth(states);
        h->practice->today = day(PLAN_START);
        done(mc_case_open(h->practice, i == 0 ? "2001" : "2002", "Invented, Ida", day("1990-01-01"),
                          states, &kase, &why));
        done(import_plan(h, i == 0 ? "2001" : "2002", &plan));
        h->practice->today = day(TODAY);
        done(mc_draft_open(h->practice, &kase, &d, &why));
        done(put(d, frame(MC_STEP_ALIGNER, MC_LOWER, 3)));
        done(put(d, gap(upper[i], 0.6)));
        done(put(d, component(upper[i], MC_ROTATION, 1.5, true)));
        done(put(d, component(upper[i], MC_MESIAL, -0.2, false)));
        done(put(d, component(lower[i], MC_BUCCAL, 0.1, true)));
        done(put(d, gap(lower[i], 0.2)));
        done(put(d, a_step(MC_STEP_REST_SEAT)));
        scores[i] = *mc_draft_assessment(d)->score;
        assert_int_equal(mc_draft_checkup(d)->count, 32);
        done(complete(d, true));
        mc_draft_close(d);
    }
    assert_same_score(&scores[0], &scores[1], true, 1e-12);
}

#define in_house(name) cmocka_unit_test_setup_teardown(name, enter, leave)

int main(void) {
    const struct CMUnitTest tests[] = {
        in_house(it_begins_by_the_dates_and_writes_nothing),
        in_house(the_first_value_begins_it),
        in_house(it_comes_to_the_same_as_a_file),
        in_house(the_live_assessment_is_that_of_the_completed_one),
        in_house(the_score_follows),
        in_house(the_last_reading_is_that_of_the_check_up_before),
        in_house(every_step_can_be_taken_back_and_done_again),
        in_house(what_changes_nothing_is_no_step),
        in_house(another_aligner_has_no_day_yet),
        in_house(the_rest_seat_leaves_what_was_read),
        in_house(rows_come_in_chart_order_and_empty_ones_not_at_all),
        in_house(what_cannot_be_is_refused),
        in_house(without_an_aligner_nothing_is_read_against_it),
        in_house(a_kept_value_stands_in_the_way_of_another_aligner),
        in_house(the_unlikely_is_asked_back_once),
        in_house(only_the_team_enters),
        in_house(what_is_entered_keeps_its_hand),
        in_house(it_reopens_where_it_stood),
        in_house(its_day_is_the_day_it_was_begun),
        in_house(a_killed_process_loses_nothing),
        in_house(two_consoles_enter_in_turn),
        in_house(other_work_does_not_disturb),
        in_house(it_is_begun_as_the_case_is_by_then),
        in_house(work_elsewhere_does_not_disturb_its_beginning),
        in_house(it_ends_where_none_can_be_entered),
        in_house(nothing_passes_an_open_one),
        in_house(a_tooth_may_go_meanwhile),
        in_house(nothing_read_is_nothing_to_complete),
        in_house(an_aligner_far_from_the_dates_is_warned_of),
        in_house(a_discarded_one_leaves_its_entry_only),
        in_house(it_is_scored_with_the_settings_it_was_begun_with),
        in_house(some_cases_cannot_be_checked),
        in_house(an_amendment_keeps_the_note),
        in_house(a_mirrored_mouth_gives_the_mirrored_score),
    };
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
