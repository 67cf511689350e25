/* What each choice is expected to bring: a copy of the tracker led that way, and forecast. */
#include "look.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* One choice followed to its end. */
typedef struct course {
    const mc_situation *s;
    mc_tracker *tracker;         /* led along it so far */
    mc_series series[MC_ARCHES]; /* of the present plan */
    mc_plan *corrected;          /* the plan made anew, which the tracker then follows */
    mc_day on;                   /* day reached */
} course;

static bool asked(const mc_option_ask *ask, mc_choice choice) {
    return (ask->choices & 1u << choice) != 0;
}

static void refuse(mc_option *out, const char *why) {
    snprintf(out->why_not, sizeof out->why_not, "%.*s", (int)sizeof out->why_not - 1, why);
    out->possible = false;
}

/* ---- hold ---- */

/* The share of a shortfall that is made up in `days` on the same aligner, by how well it seats. */
static double made_up(const mc_situation *s, mc_tooth tooth, int days) {
    const double gap = s->score->tooth[tooth].seat_gap;
    if (isnan(gap) || !mc_reaches(s->settings->hold_loose_gap_mm, gap)) {
        return 0;
    }
    const double left = mc_reaches(s->settings->reseat_small_gap_mm, gap)
                            ? s->settings->hold_seated_share
                            : s->settings->hold_loose_share;
    return 1 - pow(left, days / 7.0);
}

/* Never by more than one aligner's limit a week. */
static double most_in(const mc_situation *s, mc_tooth tooth, mc_component c, double shortfall,
                      int days) {
    mc_pose way = {{0}};
    way.c[c] = s->score->tooth[tooth].item[c].direction * shortfall;
    return mc_step_limit(s->settings, tooth, &way, c) * days / 7.0;
}

static void hold(course *k, int days) {
    const mc_situation *s = k->s;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const double h = made_up(s, tooth, days);
        for (int i = 0; i < MC_COMPONENTS && h > 0; i++) {
            const mc_component c = (mc_component)i;
            const mc_item *item = &s->score->tooth[tooth].item[c];
            if (!item->followed || !(item->shortfall > 0)) {
                continue;
            }
            const double most = most_in(s, tooth, c, item->shortfall, days);
            mc_tracker_pull(k->tracker, tooth, c, fmin(h, most / item->shortfall), item->planned);
        }
    }
}

/* ---- go back ---- */

static const char *go_back(course *k, int to) {
    bool any = false;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const int now = k->s->score->aligner[arch];
        if (k->s->score->stages[arch] == 0 || now < 0 || to >= now) {
            continue;
        }
        if (!mc_reaches(k->s->settings->reseat_back, now - to)) {
            return "that aligner is further back than may be gone";
        }
        mc_tracker_go_back(k->tracker, (mc_arch)arch, to);
        any = true;
    }
    return any && to >= 1 ? NULL : "there is no such aligner to go back to";
}

/* ---- correct ---- */

/* What is not known of a component when the corrected series begins. A scan that day leaves its own
 * part; the rest is found by it, planned for, and so left only by the share not delivered. */
static double start_variance(const mc_situation *s, mc_component c, double sd, double rate) {
    const double known = sd * sd, scan = pow(mc_method_sd(s->settings, MC_SCAN, c), 2);
    const double after = known * scan / (known + scan);
    const double left = 1 - fmin(fmax(rate, 0), 1);
    return after + left * left * (known - after);
}

/* Every tooth as the corrected series finds it. */
typedef struct found {
    mc_remaining_task task[MC_TEETH];
    mc_start start;
    mc_pose off[MC_TEETH];
    mc_forecast now;
} found;

/* What remains for a tooth from where the course stands, and how well that is known. */
static void find_tooth(const course *k, mc_tooth tooth, found *all) {
    const mc_situation *s = k->s;
    const double stage = mc_tracker_stage(k->tracker, mc_tooth_arch(tooth));
    mc_remaining_task *task = &all->task[tooth];
    bool away = false;
    *task = (mc_remaining_task){.gone = !s->score->present[tooth], .target = target_pose(s, tooth)};
    for (int i = 0; i < MC_COMPONENTS; i++) {
        const mc_component c = (mc_component)i;
        const mc_component_forecast *f = &all->now.tooth[tooth].component[c];
        const double planned = mc_plan_at(s->plan, tooth, c, isnan(stage) ? 0 : stage);
        task->present.c[c] = f->known ? f->mean : planned;
        all->start.variance[tooth][c] = f->known ? start_variance(s, c, f->sd, f->rate) : 0;
        away = away || mc_reaches(fabs(task->present.c[c] - planned), tracking(s->settings, c));
    }
    task->move = mc_tooth_may_move(s->states[tooth]) && (mc_plan_moves(s->plan, tooth) || away);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        all->off[tooth].c[c] = task->move ? 0 : task->present.c[c] - task->target.c[c];
    }
}

/* The days of the corrected series; its aligners go into the option. */
static int count_aligners(const mc_situation *s, const mc_restaged *account, mc_option *out) {
    int longest = 0;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const int own = s->interval[arch], interval = own > 0 ? own : s->interval[1 - arch];
        const int days = account->stages[arch] * interval;
        out->stages[arch] = account->stages[arch];
        out->aligners += account->stages[arch];
        longest = days > longest ? days : longest;
    }
    return longest;
}

/* Lead the course on into a series made anew from where it stands. False: out->why_not says why. */
static bool correct(course *k, mc_option *out) {
    mc_restaged account;
    mc_error error;
    found *all = malloc(sizeof *all);
    if (!all) {
        refuse(out, "out of memory");
        return false;
    }
    mc_tracker_forecast(k->tracker, k->s->states, NULL, &all->now);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        find_tooth(k, tooth, all);
    }
    const bool made =
        mc_restage(k->s->settings, all->task, NULL, NULL, &account, &k->corrected, &error) == MC_OK;
    if (made) {
        mc_tracker_correct(k->tracker, k->corrected, &all->start, all->off);
        k->on +=
            (mc_day)lround(k->s->settings->laboratory_days) + count_aligners(k->s, &account, out);
    } else {
        refuse(out, error.text);
    }
    free(all);
    return made;
}

/* ---- to the end of the present series ---- */

/* The day it ends; the day reached where there is none to wear. */
static mc_day series_end(const course *k) {
    mc_day end = k->on;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const mc_day its = mc_series_end(&k->series[arch]);
        end = its != MC_NO_DAY && its > end ? its : end;
    }
    return end;
}

static int still_to_begin(const course *k) {
    int left = 0;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        left += k->series[arch].stages - k->series[arch].aligner;
    }
    return left;
}

static void wear_on(course *k, const bool grip[MC_TEETH]) {
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        mc_tracker_advance(k->tracker, (mc_arch)arch, mc_plan_stages(k->s->plan, (mc_arch)arch),
                           grip);
    }
}

/* ---- the option ---- */

/* Lead the course as asked; false where that cannot be. */
static bool lead(course *k, const mc_option_ask *ask, bool grip[MC_TEETH], mc_option *out) {
    const char *why = NULL;
    if (asked(ask, MC_HOLD)) {
        hold(k, ask->days);
    }
    if (asked(ask, MC_GO_BACK)) {
        why = go_back(k, ask->to);
    }
    if (why) {
        refuse(out, why);
        return false;
    }
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        mc_series_decide(&k->series[arch], asked(ask, MC_GO_BACK) ? ask->to : -1,
                         asked(ask, MC_HOLD) ? ask->days : 0, k->on);
    }
    mc_tracker_grip(k->tracker, grip);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        grip[tooth] = grip[tooth] || asked(ask, MC_LOCAL_MEASURES) || asked(ask, MC_CORRECT);
    }
    if (asked(ask, MC_CORRECT)) {
        out->discarded = still_to_begin(k);
        return correct(k, out);
    }
    out->aligners = still_to_begin(k);
    k->on = series_end(k);
    if (asked(ask, MC_FINISH)) {
        wear_on(k, grip);
        return correct(k, out);
    }
    return true;
}

/* A series made anew has the teeth's grip again. */
static void judge(const course *k, const bool grip[MC_TEETH], mc_option *out) {
    const mc_situation *s = k->s;
    mc_forecast *end = malloc(sizeof *end);
    if (!end) {
        refuse(out, "out of memory");
        return;
    }
    mc_tracker_forecast(k->tracker, s->states, k->corrected ? NULL : grip, end);
    out->expected_out = end->expected_out;
    out->p_all_in = end->p_all_in;
    out->unknown = end->unknown;
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        out->p_out[tooth] = s->score->present[tooth] ? end->tooth[tooth].p_out : NAN;
    }
    free(end);
    const double weeks = s->settings->checkup_weeks;
    out->ends = k->on;
    out->days = k->on - s->score->date;
    out->checkups = (int)ceil(out->days / (7 * weeks) - 1e-9);
    out->possible = true;
}

void mc_option_of(const mc_situation *situation, const mc_option_ask *ask, mc_option *out) {
    bool grip[MC_TEETH];
    *out = (mc_option){.ask = *ask, .expected_out = NAN, .p_all_in = NAN, .ends = MC_NO_DAY};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        out->p_out[tooth] = NAN;
    }
    if (!situation->tracker) {
        refuse(out, "nothing was read on this plan yet");
        return;
    }
    course k = {.s = situation,
                .tracker = mc_tracker_copy(situation->tracker),
                .on = situation->score->date};
    memcpy(k.series, situation->series, sizeof k.series);
    if (!k.tracker) {
        refuse(out, "out of memory");
    } else if (lead(&k, ask, grip, out)) {
        judge(&k, grip, out);
    }
    mc_tracker_free(k.tracker);
    mc_plan_free(k.corrected);
}

/* ---- side by side ---- */

/* Whether local measures could give a tooth anything back: it has lost its grip or is behind. */
static bool local_measures_fit(const mc_situation *s) {
    bool grip[MC_TEETH], any = false;
    mc_tracker_grip(s->tracker, grip);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        any = any ||
              (s->score->present[tooth] && (!grip[tooth] || is_behind(&s->score->tooth[tooth])));
    }
    return any;
}

static void add(const mc_situation *s, unsigned choices, int days, int to, mc_option *out,
                size_t *count) {
    const mc_option_ask ask = {.choices = choices, .days = days, .to = to};
    mc_option one;
    mc_option_of(s, &ask, &one);
    const bool kept = one.possible || asked(&ask, MC_CORRECT) || asked(&ask, MC_FINISH);
    if (kept && *count < MC_MOST_OPTIONS) {
        out[(*count)++] = one;
    }
}

size_t mc_compare(const mc_situation *situation, mc_option out[MC_MOST_OPTIONS]) {
    size_t count = 0;
    const int days = (int)situation->settings->hold_days;
    const int back = (int)situation->settings->reseat_back;
    const int *aligner = situation->score->aligner;
    const int now = aligner[MC_UPPER] > aligner[MC_LOWER] ? aligner[MC_UPPER] : aligner[MC_LOWER];
    if (!situation->tracker) {
        return 0;
    }
    add(situation, 1u << MC_CARRY_ON, 0, -1, out, &count);
    add(situation, 1u << MC_HOLD, days, -1, out, &count);
    add(situation, 1u << MC_HOLD, 2 * days, -1, out, &count);
    for (int to = now - 1; to >= now - back && to >= 1; to--) {
        add(situation, 1u << MC_GO_BACK, 0, to, out, &count);
    }
    if (local_measures_fit(situation)) {
        add(situation, 1u << MC_LOCAL_MEASURES, 0, -1, out, &count);
    }
    add(situation, 1u << MC_CORRECT, 0, -1, out, &count);
    add(situation, 1u << MC_FINISH, 0, -1, out, &count);
    return count;
}

/* ---- in words ---- */

static void word(const char *what, char *out) {
    const size_t used = strlen(out);
    snprintf(out + used, MC_OPTION_WORDS_SIZE - used, "%s%s", used > 0 ? " and " : "", what);
}

void mc_option_words(const mc_option_ask *ask, char out[MC_OPTION_WORDS_SIZE]) {
    char what[40];
    out[0] = '\0';
    if (asked(ask, MC_HOLD)) {
        snprintf(what, sizeof what, "hold %d days", ask->days);
        word(what, out);
    }
    if (asked(ask, MC_GO_BACK)) {
        snprintf(what, sizeof what, "go back to aligner %d", ask->to);
        word(what, out);
    }
    if (asked(ask, MC_LOCAL_MEASURES)) {
        word("local measures", out);
    }
    if (asked(ask, MC_CORRECT)) {
        word("correct now", out);
    }
    if (asked(ask, MC_FINISH)) {
        word("finish, then correct", out);
    }
    if (out[0] == '\0') {
        word("carry on", out);
    }
}
