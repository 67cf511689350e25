/* Memory and disks that fail, at every place in turn, while a correction is made on the bench, kept
 * and written, and while measured arches are taken: each failure is told in words or is overcome.
 * Nothing is half done: the bench stays as it was, the record too, and both go on afterwards. */
#include "broken.h"

#include "../practice/acting.h"
#include "same_series.h"

#include "bench.h"

/* A file is written to memory by the C library, whose own requests are not led here: it fails to
 * begin, or at its end. */
FILE *__real_open_memstream(char **data, size_t *size);
int __real_fclose(FILE *file);
FILE *__wrap_open_memstream(char **data, size_t *size);
int __wrap_fclose(FILE *file);

FILE *__wrap_open_memstream(char **data, size_t *size) {
    return breaks(&memory) ? NULL : __real_open_memstream(data, size);
}

int __wrap_fclose(FILE *file) {
    const bool broken = breaks(&memory);
    return __real_fclose(file) != 0 || broken ? EOF : 0;
}

/* ---- a bench to work on ---- */

typedef struct table {
    house *h;
    mc_case kase;
    mc_bench *bench;
    char *file; /* the series, and */
    char *arch; /* an arch, as files */
    size_t file_size, arch_size;
    mc_restaged account; /* as it stands where nothing fails */
} table;

static mc_bench_edit stay(int iso) {
    return (mc_bench_edit){.what = MC_BENCH_STAY, .tooth = mc_tooth_from_iso(iso), .whole = 1};
}

static mc_bench_edit target(int iso, mc_component c, double number) {
    return (mc_bench_edit){
        .what = MC_BENCH_TARGET, .tooth = mc_tooth_from_iso(iso), .component = c, .number = number};
}

/* The estimated upper arch, as if it had been measured. */
static void write_arch(table *t) {
    mc_arch_crowns crowns = {.arch = MC_UPPER};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (mc_tooth_arch(tooth) == MC_UPPER) {
            crowns.crown[tooth] = t->bench->arches.crown[tooth];
        }
    }
    done(mc_arch_write(&crowns, MC_NOTATION_ISO, NULL, &t->arch, &t->arch_size, &why));
}

/* One change stands and is kept, another is taken back; teeth meet, so that one leads. */
static int sit_down(void **state) {
    table *t = calloc(1, sizeof *t);
    void *made = NULL;
    assert_non_null(t);
    mend();
    enter(&made);
    t->h = made;
    first_checkup(t->h);
    second_checkup(t->h);
    t->kase = find(t->h->practice, "1001");
    done(mc_bench_open(t->h->practice, &t->kase, false, &t->bench, &why));
    const mc_bench_edit first = target(13, MC_MESIAL, 0.15), second = stay(12);
    done(mc_bench_change(t->bench, &first, &why));
    done(mc_bench_keep(t->bench, &why));
    done(mc_bench_change(t->bench, &second, &why));
    done(mc_bench_undo(t->bench, &why));
    done(mc_bench_file(t->bench, &t->file, &t->file_size, &why));
    write_arch(t);
    t->account = *mc_bench_account(t->bench);
    *state = t;
    return 0;
}

static int stand_up(void **state) {
    table *t = *state;
    void *h = t->h;
    mend();
    mc_bench_close(t->bench);
    free(t->file);
    free(t->arch);
    leave(&h);
    free(t);
    return 0;
}

/* ---- failing in turn ---- */

typedef mc_status (*action)(table *t, mc_error *error);

/* What is tried; how the bench is brought back after it was done (NULL: it is as before); whether
 * it adds an entry to the journal. */
typedef struct trial {
    action act;
    action back;
    bool writes;
} trial;

static bool met; /* the one that was to fail was asked for */

/* What was to be tried is over; from here on all is well. */
static void calm(void) {
    met = met || memory.happened || disk.happened;
    mend();
}

static bool tells(const breakage *of, const mc_error *error) {
    return of == &memory ? tells_of_memory(error)
                         : error->status == MC_REFUSED && error->text[0] != '\0';
}

static void is_as_before(const table *t, size_t changes, const mc_plan *plan) {
    assert_int_equal(mc_bench_changes(t->bench), changes);
    assert_ptr_equal(mc_bench_plan(t->bench), plan);
    same_account(mc_bench_account(t->bench), &t->account);
}

/* What was written to the log before the disk failed may be taken up where the log is read anew:
 * then it stands, whole, and the bench looks at it. */
static void look_at_record(table *t, const breakage *of, size_t entries) {
    const size_t now = journal_length(t->h->practice, NULL);
    if (of == &disk && now == entries + 1) {
        mc_bench_close(t->bench);
        t->bench = NULL;
        done(mc_bench_open(t->h->practice, &t->kase, true, &t->bench, &why));
        same_account(mc_bench_account(t->bench), &t->account);
        return;
    }
    assert_int_equal(now, entries);
}

static void each(table *t, breakage *of, bool full, trial what) {
    long refused_times = 0, overcome = 0;
    for (int at = 1;; at++) {
        mc_error error = {.text = ""};
        const size_t changes = mc_bench_changes(t->bench);
        const size_t entries = journal_length(t->h->practice, NULL);
        const mc_plan *plan = mc_bench_plan(t->bench);
        met = false;
        disk_full = full;
        break_at(of, at, at % 5 == 4);
        const mc_status status = what.act(t, &error);
        calm();
        if (status != MC_OK) {
            if (!tells(of, &error)) {
                fail_msg("at %d: status %d: %s", at, status, error.text);
            }
            is_as_before(t, changes, plan);
            look_at_record(t, of, entries);
            refused_times++;
            continue;
        }
        assert_int_equal(journal_length(t->h->practice, NULL), entries + what.writes);
        if (what.back) {
            done(what.back(t, &why));
        }
        same_account(mc_bench_account(t->bench), &t->account);
        overcome += met;
        if (!met) {
            break;
        }
    }
    print_message("%ld failed: %ld times refused, %ld times overcome\n", refused_times + overcome,
                  refused_times, overcome);
    assert_true(refused_times > 1);
}

/* ---- what is tried ---- */

static mc_status undo(table *t, mc_error *error) {
    return mc_bench_undo(t->bench, error);
}

static mc_status redo(table *t, mc_error *error) {
    return mc_bench_redo(t->bench, error);
}

static mc_status change(table *t, mc_error *error) {
    const mc_bench_edit edit = target(12, MC_MESIAL, 0.8);
    return mc_bench_change(t->bench, &edit, error);
}

/* More than there is room for in the list of changes. */
static mc_status change_all(table *t, mc_error *error) {
    return mc_bench_overcorrect_all(t->bench, 20, error);
}

static mc_status take_targets(table *t, mc_error *error) {
    static const char FILE_OF[] = "tooth,stage,mesial_mm,ipr_mesial_mm\n13,10,0.9,0.2\n12,8,0.4,\n";
    mc_warnings warnings;
    const mc_status status =
        mc_bench_targets(t->bench, FILE_OF, sizeof FILE_OF - 1, MC_NOTATION_ISO, &warnings, error);
    if (status == MC_OK) {
        mc_warnings_free(&warnings);
    }
    return status;
}

static mc_status open_another(table *t, mc_error *error) {
    mc_bench *another = NULL;
    const mc_status status = mc_bench_open(t->h->practice, &t->kase, true, &another, error);
    calm();
    assert_int_equal(status == MC_OK, another != NULL);
    if (another) {
        same_account(mc_bench_account(another), &t->account);
        same_plan(mc_bench_plan(another), mc_bench_plan(t->bench));
        assert_true(mc_bench_kept(another, NULL));
    }
    mc_bench_close(another);
    return status;
}

static mc_status keep(table *t, mc_error *error) {
    return mc_bench_keep(t->bench, error);
}

static mc_status write_file(table *t, mc_error *error) {
    char *data = NULL;
    size_t size = 0;
    const mc_status status = mc_bench_file(t->bench, &data, &size, error);
    calm();
    if (status != MC_OK) {
        assert_null(data);
        return status;
    }
    assert_int_equal(size, t->file_size);
    assert_memory_equal(data, t->file, size);
    free(data);
    return MC_OK;
}

static mc_status weigh(table *t, mc_error *error) {
    mc_option options[MC_BENCH_OPTIONS];
    const size_t count = mc_bench_options(t->bench, options);
    calm();
    for (size_t i = 0; i < count; i++) {
        assert_true(options[i].possible && options[i].aligners > 0);
    }
    return count == MC_BENCH_OPTIONS ? MC_OK : mc_fail(error, MC_REFUSED, "out of memory");
}

static mc_status measure(table *t, mc_error *error) {
    mc_measured_arch kept;
    return mc_import_arch(t->h->practice, &t->kase, t->arch, t->arch_size, MC_NOTATION_ISO, 0,
                          &kept, error);
}

static mc_status restage(table *t, mc_error *error) {
    const bench_made *made = t->bench->made;
    mc_restaged account;
    mc_plan *plan;
    const mc_status status = mc_restage(&t->bench->a->settings, &made->ask, &account, &plan, error);
    calm();
    assert_true(made->ask.check_overlap);
    if (status == MC_OK) {
        same_account(&account, &t->account);
    } else {
        const mc_restaged none = {.stages = {0}};
        assert_null(plan);
        same_account(&account, &none);
    }
    same_plan(plan, status == MC_OK ? made->plan : NULL);
    mc_plan_free(plan);
    return status;
}

/* ---- the suites ---- */

static void memory_fails_while_a_series_is_made(void **state) {
    each(*state, &memory, false, (trial){restage, NULL, false});
}

static void memory_fails_while_the_bench_is_opened(void **state) {
    each(*state, &memory, false, (trial){open_another, NULL, false});
}

static void memory_fails_while_changes_are_made(void **state) {
    static const trial TRIED[] = {{redo, undo, false},
                                  {undo, redo, false},
                                  {change, undo, false},
                                  {change_all, undo, false},
                                  {take_targets, undo, false}};
    for (size_t i = 0; i < sizeof TRIED / sizeof TRIED[0]; i++) {
        each(*state, &memory, false, TRIED[i]);
    }
}

static void memory_fails_while_it_is_kept_and_written(void **state) {
    each(*state, &memory, false, (trial){keep, NULL, true});
    each(*state, &memory, false, (trial){write_file, NULL, false});
    each(*state, &memory, false, (trial){weigh, NULL, false});
}

static void memory_fails_while_an_arch_is_taken(void **state) {
    each(*state, &memory, false, (trial){measure, NULL, true});
}

static void the_disk_fails(void **state) {
    each(*state, &disk, false, (trial){keep, NULL, true});
    each(*state, &disk, false, (trial){measure, NULL, true});
}

static void the_disk_is_full(void **state) {
    each(*state, &disk, true, (trial){keep, NULL, true});
    each(*state, &disk, true, (trial){measure, NULL, true});
}

#define at_the_table(name) cmocka_unit_test_setup_teardown(name, sit_down, stand_up)

int main(void) {
    const struct CMUnitTest tests[] = {
        at_the_table(memory_fails_while_a_series_is_made),
        at_the_table(memory_fails_while_the_bench_is_opened),
        at_the_table(memory_fails_while_changes_are_made),
        at_the_table(memory_fails_while_it_is_kept_and_written),
        at_the_table(memory_fails_while_an_arch_is_taken),
        at_the_table(the_disk_fails),
        at_the_table(the_disk_is_full),
    };
    files_in_memory();
    if (!memory_breakable() || !disk_breakable()) {
        return 1;
    }
    return cmocka_run_group_tests(tests, make_template, remove_template);
}
