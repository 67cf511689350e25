/* Memory and disks that fail while a check-up is entered at the chair, at every place in turn: each
 * failure is told in words and changes neither the draft nor the record, or is overcome; and the
 * same draft goes on afterwards. */
#include "broken.h"

#include "../practice/acting.h"
#include "same_score.h"

/* ---- at the chair ---- */

/* A draft that an action is tried on, again and again. */
typedef struct chair {
    house *h;
    mc_draft *draft;
    bool alone;      /* no second thread that brings values to the disk: it is yet to be started */
    char before[96]; /* the record as it was before the action */
} chair;

typedef mc_status (*action)(chair *c, mc_error *error);

static mc_step gap(int iso, double mm) {
    return (mc_step){.what = MC_STEP_SEAT_GAP, .tooth = mc_tooth_from_iso(iso), .number = mm};
}

static mc_step rotation(int iso, double deg) {
    return (mc_step){.what = MC_STEP_COMPONENT,
                     .tooth = mc_tooth_from_iso(iso),
                     .component = MC_ROTATION,
                     .number = deg,
                     .short_of_plan = true};
}

static mc_status put(chair *c, mc_step step, mc_error *error) {
    bool doubt;
    return mc_draft_enter(c->draft, &step, true, &doubt, error);
}

static void take_up(chair *c) {
    mc_case kase = find(c->h->practice, "1001");
    done(mc_draft_open(c->h->practice, &kase, &c->draft, &why));
}

static void sit_down(chair *c) {
    done(mc_practice_open(c->h->path, day(SECOND_DAY), &c->h->practice, &why));
    act_as(c->h, "CD");
    if (!c->alone) {
        done(mc_syncer_start(c->h->path, &c->h->practice->syncer, &why));
    }
    take_up(c);
}

static void stand_up(chair *c) {
    mc_draft_close(c->draft);
    c->draft = NULL;
    mc_practice_close(c->h->practice);
    c->h->practice = NULL;
}

static void copy(const char *from, const char *to) {
    char command[500];
    snprintf(command, sizeof command, "rm -f '%s-wal' '%s-shm' && cp '%s' '%s'", to, to, from, to);
    assert_int_equal(system(command), 0);
}

/* The case has a check-up; the second is entered up to some values and one taken back. */
static int enter_some(void **state) {
    chair *c = calloc(1, sizeof *c);
    assert_non_null(c);
    mend();
    void *made = NULL;
    enter(&made);
    c->h = made;
    first_checkup(c->h);
    mc_practice_close(c->h->practice);
    snprintf(c->before, sizeof c->before, "%.80s/before.db", c->h->folder);
    sit_down(c);
    *state = c;
    return 0;
}

static int leave_chair(void **state) {
    chair *c = *state;
    void *h = c->h;
    mend();
    mc_draft_close(c->draft);
    leave(&h);
    free(c);
    return 0;
}

static void some_values(chair *c) {
    done(put(c, gap(12, 0.3), &why));
    done(put(c, rotation(12, 2.5), &why));
    done(put(c, gap(11, 0.2), &why));
    done(mc_draft_undo(c->draft, NULL, &why));
}

/* ---- what stands ---- */

typedef struct standing {
    bool on_record, on_file;
    size_t steps, undone, rows, steps_on_file, undone_on_file, entries;
    mc_reading row[8];
    mc_score score;
} standing;

static void look_at_file(const chair *c, standing *s) {
    mc_case kase = find(c->h->practice, "1001");
    mc_checkup_info info;
    mc_step *steps;
    done(mc_record_open_checkup(mc_practice_record(c->h->practice), &kase.id, &info, &steps,
                                &s->steps_on_file, &s->on_file, &why));
    for (size_t i = 0; i < s->steps_on_file; i++) {
        s->undone_on_file += steps[i].undone;
    }
    free(steps);
    s->entries = journal_length(c->h->practice, NULL);
}

static standing what_stands(const chair *c) {
    standing s = {.on_record = mc_draft_on_record(c->draft),
                  .steps = mc_draft_steps(c->draft),
                  .undone = mc_draft_undone(c->draft),
                  .rows = mc_draft_checkup(c->draft)->count,
                  .score = *mc_draft_assessment(c->draft)->score};
    assert_true(s.rows <= sizeof s.row / sizeof s.row[0]);
    for (size_t i = 0; i < s.rows; i++) {
        s.row[i] = mc_draft_checkup(c->draft)->rows[i];
    }
    look_at_file(c, &s);
    return s;
}

/* The draft says what the record holds. */
static void is_true(const standing *s) {
    assert_int_equal(s->on_record, s->on_file);
    assert_int_equal(s->steps + s->undone, s->steps_on_file);
    assert_int_equal(s->undone, s->undone_on_file);
}

static void is_same(const standing *a, const standing *b) {
    assert_int_equal(a->on_record, b->on_record);
    assert_int_equal(a->steps, b->steps);
    assert_int_equal(a->undone, b->undone);
    assert_int_equal(a->rows, b->rows);
    for (size_t i = 0; i < a->rows; i++) {
        const mc_reading *x = &a->row[i], *y = &b->row[i];
        assert_int_equal(x->tooth, y->tooth);
        assert_true(same_number(x->seat_gap, y->seat_gap, 0));
        assert_true(same_number(x->value[MC_ROTATION], y->value[MC_ROTATION], 0));
    }
    assert_same_score(&a->score, &b->score, false, 0);
}

/* ---- what is tried ---- */

static mc_status first_value(chair *c, mc_error *error) {
    return put(c, gap(12, 0.3), error);
}

static mc_status next_value(chair *c, mc_error *error) {
    return put(c, rotation(11, 1.5), error);
}

static mc_status another_aligner(chair *c, mc_error *error) {
    return put(c, (mc_step){.what = MC_STEP_ALIGNER, .arch = MC_UPPER, .whole = 8}, error);
}

static mc_status undo(chair *c, mc_error *error) {
    char what[MC_STEP_TEXT_SIZE];
    return mc_draft_undo(c->draft, what, error);
}

static mc_status redo(chair *c, mc_error *error) {
    char what[MC_STEP_TEXT_SIZE];
    return mc_draft_redo(c->draft, what, error);
}

static mc_status review(chair *c, mc_error *error) {
    mc_warnings warnings;
    mc_status status = mc_draft_review(c->draft, &warnings, error);
    mc_warnings_free(&warnings);
    return status;
}

static mc_status complete(chair *c, mc_error *error) {
    int number;
    mc_warnings warnings;
    mc_status status = mc_draft_complete(c->draft, true, &number, &warnings, error);
    mc_warnings_free(&warnings);
    return status;
}

static mc_status discard(chair *c, mc_error *error) {
    return mc_draft_discard(c->draft, error);
}

static mc_status open_another(chair *c, mc_error *error) {
    mc_draft *another = NULL;
    mc_case kase;
    mc_status status = mc_case_find(c->h->practice, "1001", &kase, error);
    if (status == MC_OK) {
        status = mc_draft_open(c->h->practice, &kase, &another, error);
        assert_int_equal(status == MC_OK, another != NULL);
    }
    mc_draft_close(another);
    return status;
}

/* Where the entry is at its end, the draft says nothing more. */
static bool ends(action act) {
    return act == complete || act == discard;
}

/* ---- failing in turn ---- */

typedef struct failures {
    breakage *of;
    bool full, from_then;
    int step;
} failures;

static bool tells(const failures *f, const mc_error *error) {
    if (f->of == &memory) {
        return tells_of_memory(error);
    }
    return error->status == MC_REFUSED && error->text[0] != '\0' &&
           (!f->full || strstr(error->text, "no room left") != NULL);
}

/* Try it with one more thing failing; *met: that one was asked for. */
static mc_status try_at(chair *c, action act, const failures *f, int at, bool *met) {
    mc_error error = {.text = ""};
    disk_full = f->full;
    break_at(f->of, at, f->from_then);
    mc_status status = act(c, &error);
    *met = f->of->happened;
    mend();
    if (status != MC_OK && !tells(f, &error)) {
        fail_msg("at %d: status %d: %s", at, status, error.text);
    }
    return status;
}

/* As it was before an action that was done. */
static void go_back(chair *c) {
    stand_up(c);
    copy(c->before, c->h->path);
    sit_down(c);
}

/* After a failure of the disk what was written to the log by then may be taken up where the log is
 * read anew: then the change stands, whole, and the draft is told by looking. */
static bool taken_up(const failures *f, const standing *now, const standing *before) {
    return f->of == &disk &&
           (now->entries != before->entries || now->steps_on_file != before->steps_on_file ||
            now->undone_on_file != before->undone_on_file);
}

static void after_refusal(chair *c, action act, const failures *f, int at, const standing *before,
                          const standing *wanted) {
    bool changed;
    standing now = what_stands(c);
    if (taken_up(f, &now, before)) {
        if (!ends(act)) {
            done(mc_draft_look(c->draft, &changed, &why));
            now = what_stands(c);
            is_true(&now);
            is_same(&now, wanted);
        }
        go_back(c);
        now = what_stands(c);
    }
    is_true(&now);
    assert_int_equal(now.entries, before->entries);
    if (f->of == &memory && f->from_then) {
        /* There was none even to work out again what stood before. Whatever is done next does it:
         * a look, or every other time the same once more. */
        if (at % 2 == 0) {
            return;
        }
        done(mc_draft_look(c->draft, &changed, &why));
        now = what_stands(c);
    }
    is_same(&now, before);
}

/* What the action comes to where nothing fails. */
static standing what_comes(chair *c, action act) {
    standing wanted = {0};
    done(act(c, &why));
    if (!ends(act)) {
        wanted = what_stands(c);
        is_true(&wanted);
    }
    done(mc_record_verify(mc_practice_record(c->h->practice), NULL, &why));
    go_back(c);
    return wanted;
}

static void each(chair *c, action act, failures f) {
    long refused = 0, overcome = 0;
    stand_up(c);
    copy(c->h->path, c->before);
    sit_down(c);
    standing before = what_stands(c), wanted = what_comes(c, act);
    for (int at = 1;; at += f.step) {
        bool met;
        mc_status status = try_at(c, act, &f, at, &met);
        refused += status != MC_OK;
        overcome += status == MC_OK && met;
        if (status != MC_OK) {
            after_refusal(c, act, &f, at, &before, &wanted);
            continue;
        }
        if (!ends(act)) {
            standing now = what_stands(c);
            is_true(&now);
            is_same(&now, &wanted);
        }
        if (!met) {
            break;
        }
        go_back(c);
    }
    done(mc_record_verify(mc_practice_record(c->h->practice), NULL, &why));
    go_back(c);
    print_message("%ld failed: %ld times refused, %ld times overcome\n", refused + overcome,
                  refused, overcome);
    assert_true(refused + overcome > 0);
}

/* Every allocation alone; every so often it and all after it. */
static void each_allocation(chair *c, action act, int step) {
    each(c, act, (failures){.of = &memory, .step = step});
    each(c, act, (failures){.of = &memory, .step = 3 * step, .from_then = true});
}

static void each_operation(chair *c, action act) {
    each(c, act, (failures){.of = &disk, .step = 1});
    each(c, act, (failures){.of = &disk, .step = 1, .from_then = true});
    each(c, act, (failures){.of = &disk, .step = 1, .from_then = true, .full = true});
}

static void memory_fails_at_the_first_value(void **state) {
    each_allocation(*state, first_value, 1);
}

static void memory_fails_while_the_second_thread_starts(void **state) {
    chair *c = *state;
    c->alone = true;
    each_allocation(c, first_value, 17);
}

static void memory_fails_at_the_next_value(void **state) {
    some_values(*state);
    each_allocation(*state, next_value, 1);
    each_allocation(*state, another_aligner, 3);
}

static void memory_fails_while_taking_back(void **state) {
    some_values(*state);
    each_allocation(*state, undo, 1);
    each_allocation(*state, redo, 1);
}

static void memory_fails_while_completing(void **state) {
    some_values(*state);
    each_allocation(*state, review, 1);
    each_allocation(*state, complete, 3);
}

static void memory_fails_while_throwing_away(void **state) {
    some_values(*state);
    each_allocation(*state, discard, 3);
}

static void memory_fails_while_taking_up(void **state) {
    some_values(*state);
    each_allocation(*state, open_another, 3);
}

static void the_disk_fails_at_a_value(void **state) {
    each_operation(*state, first_value);
    some_values(*state);
    each_operation(*state, next_value);
    each_operation(*state, undo);
    each_operation(*state, redo);
}

static void the_disk_fails_at_the_end(void **state) {
    some_values(*state);
    each_operation(*state, complete);
    each_operation(*state, discard);
}

/* ---- two at one check-up ---- */

/* The teeth most worth reading are looked at too: without memory none is offered. */
static mc_status look(chair *c, bool *changed, mc_error *error) {
    mc_tooth worth[MC_MOST_WORTH];
    mc_draft_worth(c->draft, worth);
    return mc_draft_look(c->draft, changed, error);
}

static void looking_fails(chair *c, chair *other, failures f) {
    long refused = 0;
    for (int at = 1;; at += f.step) {
        mc_error error = {.text = ""};
        bool changed, later;
        standing before = what_stands(c);
        done(other->draft && mc_draft_undone(other->draft) > 0 ? redo(other, &why)
                                                               : undo(other, &why));
        standing wanted = what_stands(other);
        break_at(f.of, at, f.from_then);
        mc_status status = look(c, &changed, &error);
        bool met = f.of->happened;
        mend();
        standing now = what_stands(c);
        if (status != MC_OK) {
            assert_false(changed);
            if (!tells(&f, &error)) {
                fail_msg("at %d: status %d: %s", at, status, error.text);
            }
            is_same(&now, &before);
            done(look(c, &later, &why));
            assert_true(later);
            now = what_stands(c);
        }
        assert_true(status != MC_OK || changed);
        is_same(&now, &wanted);
        refused += status != MC_OK;
        if (!met) {
            break;
        }
    }
    print_message("%ld times refused\n", refused);
    assert_true(refused > 5);
}

static void looking_fails_while_another_enters(void **state) {
    chair *c = *state;
    chair other = {.h = &(house){.practice = NULL}};
    some_values(c);
    strcpy(other.h->path, c->h->path);
    sit_down(&other);
    looking_fails(c, &other, (failures){.of = &memory, .step = 1});
    looking_fails(c, &other, (failures){.of = &memory, .step = 3, .from_then = true});
    stand_up(&other);
}

/* ---- the list of cases ---- */

static mc_status read_list(mc_practice *practice, mc_roster_row **rows, size_t *count,
                           mc_error *error) {
    mc_status status = mc_roster_begin(practice, day(SECOND_DAY), rows, count, error);
    if (status != MC_OK) {
        assert_null(*rows);
        return status;
    }
    assert_int_equal(*count, 1);
    return (*rows)->unread ? mc_roster_fill(practice, day(SECOND_DAY), rows, 1, error) : MC_OK;
}

/* What could not be scored says why; what is given as read is right. Nothing wrong is kept: the
 * list read again is as if nothing had failed. */
static void list_fails(chair *c, failures f) {
    mc_roster_row *right, *rows = NULL;
    size_t count;
    long refused = 0;
    done(read_list(c->h->practice, &right, &count, &why));
    for (int at = 1;; at += f.step) {
        mc_error error = {.text = ""};
        as_stranger(c->h->path, "DELETE FROM summaries");
        break_at(f.of, at, f.from_then);
        mc_status status = read_list(c->h->practice, &rows, &count, &error);
        bool met = f.of->happened;
        mend();
        if (status != MC_OK && !tells(&f, &error)) {
            fail_msg("at %d: status %d: %s", at, status, error.text);
        }
        if (rows != NULL) {
            assert_false(rows->unread);
            assert_int_equal(rows->entering, right->entering);
            assert_true(rows->reasons[0] != '\0');
            if (strstr(rows->reasons, "cannot be scored: ") == rows->reasons) {
                assert_non_null(strstr(rows->reasons, "memory"));
            } else {
                assert_string_equal(rows->reasons, right->reasons);
                assert_int_equal(rows->urgency, right->urgency);
            }
        }
        free(rows);
        done(read_list(c->h->practice, &rows, &count, &why));
        assert_string_equal(rows->reasons, right->reasons);
        free(rows);
        refused += status != MC_OK;
        if (!met) {
            break;
        }
    }
    free(right);
    print_message("%ld times refused\n", refused);
    assert_true(refused > 0);
}

static void the_list_of_cases_fails(void **state) {
    chair *c = *state;
    some_values(c);
    list_fails(c, (failures){.of = &memory, .step = 3});
    list_fails(c, (failures){.of = &memory, .step = 7, .from_then = true});
}

#define at_the_chair(name) cmocka_unit_test_setup_teardown(name, enter_some, leave_chair)

static int before_all(void **state) {
    files_in_memory();
    mend();
    return make_template(state);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        at_the_chair(memory_fails_at_the_first_value),
        at_the_chair(memory_fails_while_the_second_thread_starts),
        at_the_chair(memory_fails_at_the_next_value),
        at_the_chair(memory_fails_while_taking_back),
        at_the_chair(memory_fails_while_completing),
        at_the_chair(memory_fails_while_throwing_away),
        at_the_chair(memory_fails_while_taking_up),
        at_the_chair(the_disk_fails_at_a_value),
        at_the_chair(the_disk_fails_at_the_end),
        at_the_chair(looking_fails_while_another_enters),
        at_the_chair(the_list_of_cases_fails),
    };
    if (!memory_breakable() || !disk_breakable()) {
        return 1;
    }
    return cmocka_run_group_tests(tests, before_all, remove_template);
}
