/* How long the workbench takes: every case of the demo that has a correction is opened on it, and
 * then changed, tooth by tooth, each change undone again. Prints milliseconds of processor time,
 * case by case and of all changes together. */
#include <math.h>
#include <time.h>
#include <unistd.h>

#include "practice_of.h"

enum { OPENED = 5, MOST_CHANGES = 40000 };

static const mc_day TODAY = 20514; /* any day: the demo's dates go by it */

typedef struct times {
    double ms[MOST_CHANGES];
    int count;
} times;

static times all;

static double milliseconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

static int by_size(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void say(times *of) {
    qsort(of->ms, (size_t)of->count, sizeof *of->ms, by_size);
    if (of->count > 0)
        printf("%5d changes: median %6.2f ms, 99 %% %6.2f, worst %6.2f\n", of->count,
               of->ms[of->count / 2], of->ms[of->count * 99 / 100], of->ms[of->count - 1]);
}

/* One change, undone again; what is refused counts as well, as it was tried. */
static void change(mc_bench *bench, times *of, mc_bench_edit edit) {
    mc_error error;
    const double before = milliseconds();
    const mc_status status = mc_bench_change(bench, &edit, &error);
    of->ms[of->count++] = milliseconds() - before;
    if (status == MC_OK)
        mc_bench_undo(bench, &error);
}

static void change_tooth(mc_bench *bench, times *of, mc_tooth tooth) {
    mc_bench_tooth is;
    mc_bench_tooth_of(bench, tooth, &is);
    if (!is.may_move)
        return;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const double more = mc_component_is_linear((mc_component)c) ? 0.1 : 1;
        mc_bench_edit edit = {.what = MC_BENCH_TARGET,
                              .tooth = tooth,
                              .component = (mc_component)c,
                              .number = is.target.c[c] + more};
        change(bench, of, edit);
        edit.what = MC_BENCH_OVERCORRECT;
        edit.number = 10;
        change(bench, of, edit);
        edit.what = MC_BENCH_LIMIT;
        edit.number = is.limit[c] / 2;
        change(bench, of, edit);
    }
    change(bench, of,
           (mc_bench_edit){.what = MC_BENCH_IPR, .tooth = tooth, .number = 0.2, .whole = 1});
    change(bench, of,
           (mc_bench_edit){.what = MC_BENCH_IPR, .tooth = tooth, .number = 0.2, .whole = 3});
    change(bench, of, (mc_bench_edit){.what = MC_BENCH_STAY, .tooth = tooth, .whole = 1});
}

static void measure(mc_practice *practice, const mc_case *kase) {
    static times opened, changed;
    mc_error error;
    mc_bench *bench = NULL;
    opened.count = changed.count = 0;
    for (int i = 0; i < OPENED; i++) {
        mc_bench_close(bench);
        const double before = milliseconds();
        if (mc_bench_open(practice, kase, false, &bench, &error) != MC_OK)
            return;
        opened.ms[opened.count++] = milliseconds() - before;
    }
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        change_tooth(bench, &changed, t);
    qsort(opened.ms, OPENED, sizeof *opened.ms, by_size);
    const mc_restaged *account = mc_bench_account(bench);
    printf("%s: %2d and %2d aligners, opened %6.2f ms, ", kase->chart, account->stages[MC_UPPER],
           account->stages[MC_LOWER], opened.ms[OPENED / 2]);
    memcpy(all.ms + all.count, changed.ms, (size_t)changed.count * sizeof *changed.ms);
    all.count += changed.count;
    say(&changed);
    mc_bench_close(bench);
}

int main(void) {
    char folder[] = "/tmp/bench-workbench-XXXXXX", path[100];
    mc_error error;
    mc_practice *practice;
    mc_case *list = NULL;
    size_t count = 0;
    if (!mkdtemp(folder))
        stop("no temporary folder");
    snprintf(path, sizeof path, "%s/practice.db", folder);
    must(mc_demo_make(path, TODAY, &practice, &error), &error);
    must(mc_record_cases(mc_practice_record(practice), &list, &count, &error), &error);
    for (size_t i = 0; i < count; i++)
        measure(practice, &list[i]);
    printf("all: ");
    say(&all);
    free(list);
    mc_practice_close(practice);
    snprintf(path, sizeof path, "rm -rf '%s'", folder);
    return system(path) == 0 ? 0 : 1;
}
