/* How long a value entered at the chair takes until it is on record and scored: 28 teeth, twelve
 * check-ups before. Prints microseconds. An invented mouth. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

#include "midcourse/practice.h"

enum { CHECKUPS = 12, VALUES = 28 * 7, FILE_SIZE = 1 << 16 };

static mc_error why;

static void must(mc_status status) {
    if (status != MC_OK) {
        fprintf(stderr, "enter: %s\n", why.text);
        exit(1);
    }
}

static double now_us(void) {
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec * 1e6 + (double)time.tv_nsec / 1e3;
}

static int by_size(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The teeth 1 to 7 of every quadrant, each moving in every component. */
static size_t write_plan(char *out) {
    size_t size = (size_t)sprintf(out, "tooth,stage,mesial_mm,buccal_mm,occlusal_mm,rotation_deg,"
                                       "angulation_deg,inclination_deg\n");
    for (int i = 0; i < 28; i++)
        for (int stage = 6; stage <= 24; stage += 6)
            size += (size_t)sprintf(
                out + size, "%d,%d,%g,%g,%g,%g,%g,%g\n", 10 * (i / 7 + 1) + i % 7 + 1, stage,
                stage * 0.05, stage * -0.04, stage * 0.02, stage * 0.6, stage * 0.3, stage * -0.3);
    return size;
}

static mc_step value_of(int i, double stage) {
    int place = i / 7, c = i % 7 - 1;
    mc_step step = {.what = c < 0 ? MC_STEP_SEAT_GAP : MC_STEP_COMPONENT,
                    .tooth = mc_tooth_from_iso(10 * (place / 7 + 1) + place % 7 + 1),
                    .component = (mc_component)(c < 0 ? 0 : c),
                    .number = 0.1};
    static const double slope[] = {0.05, -0.04, 0.02, 0.6, 0.3, -0.3};
    if (c >= 0)
        step.number = 0.7 * stage * slope[c];
    return step;
}

/* Enter everything of one check-up; times may be NULL. */
static void enter(mc_practice *practice, const mc_case *kase, double stage, double *times) {
    mc_draft *draft;
    bool doubt;
    int number;
    mc_warnings warnings;
    must(mc_draft_open(practice, kase, &draft, &why));
    for (int i = 0; i < VALUES; i++) {
        mc_step step = value_of(i, stage);
        double begun = now_us();
        must(mc_draft_enter(draft, &step, true, &doubt, &why));
        if (times)
            times[i] = now_us() - begun;
    }
    must(mc_draft_complete(draft, true, &number, &warnings, &why));
    mc_warnings_free(&warnings);
    mc_draft_close(draft);
}

int main(void) {
    static char file[FILE_SIZE];
    char folder[] = "/tmp/enter-bench-XXXXXX", path[64];
    double times[VALUES];
    mc_practice *practice;
    mc_tooth_state states[MC_TEETH];
    mc_case kase;
    mc_plan_info info;
    mc_warnings warnings;
    mc_plan_import plan = {.data = file, .interval = {14, 14}, .accept_warnings = true};
    if (!mkdtemp(folder))
        return 1;
    snprintf(path, sizeof path, "%s/practice.db", folder);
    mc_day start = 20000;
    plan.size = write_plan(file);
    plan.start = start;
    must(mc_practice_make(path, start, "AB", "invented words", &practice, &why));
    mc_usual_teeth(states);
    must(mc_case_open(practice, "1", "Invented, Ida", 10000, states, &kase, &why));
    must(mc_import_plan(practice, &kase, &plan, &info, &warnings, &why));
    mc_warnings_free(&warnings);
    mc_practice_close(practice);
    for (int k = 1; k <= CHECKUPS + 1; k++) {
        must(mc_practice_open(path, start + 28 * k - 20, &practice, &why));
        must(mc_practice_act_as(practice, "AB", &why));
        enter(practice, &kase, 2 * k - 1, times);
        mc_practice_close(practice);
    }
    qsort(times, VALUES, sizeof *times, by_size);
    printf("a value entered after %d check-ups: median %.0f us, 99th percentile %.0f us, longest "
           "%.0f us\n",
           CHECKUPS, times[VALUES / 2], times[VALUES * 99 / 100], times[VALUES - 1]);
    snprintf(path, sizeof path, "rm -rf %s", folder);
    return system(path);
}
