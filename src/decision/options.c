/* What each choice is expected to bring: a copy of the tracker led that way, and forecast. */
#include "look.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* One choice followed to its end. */
typedef struct course {
    const mc_situation *s;
    mc_tracker *tracker;         /* led along it so far */
    mc_series series[MC_ARCHES]; /* of the present plan */
    mc_plan *corrected;          /* the plan made anew, which the tracker then follows */
    bool back[MC_ARCHES];        /* the arch goes back to an earlier aligner */
    bool as_read;                /* it is corrected from the exact positions of the check-up */
    bool as_drafted;             /* by the series that stands ready */
    mc_day on;                   /* day reached */
} course;

static bool asked(const mc_option_ask *ask, mc_choice choice) {
    return (ask->choices & 1u << choice) != 0;
}

/* Always false. */
static bool refuse(mc_option *out, const char *format, ...) __attribute__((format(printf, 2, 3)));
static bool refuse(mc_option *out, const char *format, ...) {
    va_list values;
    va_start(values, format);
    vsnprintf(out->why_not, sizeof out->why_not, format, values);
    va_end(values);
    return false;
}

/* Always false. */
static bool run_out(mc_option *out) {
    out->failed = true;
    return refuse(out, "out of memory");
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

/* How far the tooth is from plan, in what is known of it. */
static mc_pose shortfalls(const mc_situation *s, mc_tooth tooth) {
    mc_pose out = {{0}};
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &s->score->tooth[tooth].item[c];
        out.c[c] = item->followed ? item->planned - item->mean : 0;
    }
    return out;
}

/* Every positive shortfall shrinks, but never by more than one aligner's limit a week. */
static void hold_tooth(course *k, mc_tooth tooth, int days) {
    const mc_situation *s = k->s;
    const double h = made_up(s, tooth, days);
    const mc_pose way = shortfalls(s, tooth);
    for (int i = 0; i < MC_COMPONENTS && h > 0; i++) {
        const mc_component c = (mc_component)i;
        const mc_item *item = &s->score->tooth[tooth].item[c];
        if (item->followed && item->shortfall > 0) {
            const double most = mc_step_limit(s->settings, tooth, &way, c) * days / 7.0;
            mc_tracker_pull(k->tracker, tooth, c, fmin(h, most / item->shortfall), item->planned);
        }
    }
}

/* An arch that goes back is held there, on an aligner whose fit was not read: nothing is made up
 * but what wearing it again does. */
static bool hold(course *k, int days, mc_option *out) {
    if (days < 1) {
        return refuse(out, "a hold takes at least one day");
    }
    if (days > MC_MOST_HOLD_DAYS) {
        return refuse(out, "a hold takes at most %d days", MC_MOST_HOLD_DAYS);
    }
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (!k->back[mc_tooth_arch(tooth)]) {
            hold_tooth(k, tooth, days);
        }
    }
    return true;
}

/* ---- go back ---- */

/* The furthest on of the arches with a series that were looked at; -1 where none was. */
static int furthest(const mc_situation *s) {
    int most = -1;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        if (mc_plan_stages(s->plan, (mc_arch)arch) > 0 && s->score->aligner[arch] > most) {
            most = s->score->aligner[arch];
        }
    }
    return most;
}

/* Every arch that is past that aligner goes back to it. */
static bool go_back(course *k, int to, mc_option *out) {
    const int now = furthest(k->s), back = (int)k->s->settings->reseat_back;
    if (to < 1 || to >= now) {
        return refuse(out, "there is no such aligner to go back to");
    }
    if (now - to > back) {
        return refuse(out, "at most %d aligners are gone back", back);
    }
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        k->back[arch] =
            mc_plan_stages(k->s->plan, (mc_arch)arch) > 0 && k->s->score->aligner[arch] > to;
        if (k->back[arch]) {
            mc_tracker_go_back(k->tracker, (mc_arch)arch, to);
        }
    }
    return true;
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
    mc_restage_ask ask;
    mc_start start;
    mc_pose off[MC_TEETH];
    mc_forecast now;
} found;

/* Where an order made that day would have the component: as read exactly at the check-up, where
 * nothing has moved since, else as expected there. */
static double ordered_from(const course *k, mc_tooth tooth, mc_component c, double expected) {
    const double read = k->as_read ? k->s->exact[tooth].c[c] : NAN;
    return isnan(read) ? expected : read;
}

/* What remains for a tooth from where the course stands, and how well that is known. */
static void find_tooth(const course *k, mc_tooth tooth, found *all) {
    const mc_situation *s = k->s;
    const double stage = mc_tracker_stage(k->tracker, mc_tooth_arch(tooth));
    mc_remaining_task *task = &all->ask.task[tooth];
    bool away = false;
    *task = (mc_remaining_task){.gone = !s->score->present[tooth], .target = target_pose(s, tooth)};
    for (int i = 0; i < MC_COMPONENTS; i++) {
        const mc_component c = (mc_component)i;
        const mc_component_forecast *f = &all->now.tooth[tooth].component[c];
        const double planned = mc_plan_at(s->plan, tooth, c, isnan(stage) ? 0 : stage);
        const double expected = f->known ? f->mean : planned;
        task->present.c[c] = ordered_from(k, tooth, c, expected);
        all->start.variance[tooth][c] = f->known ? start_variance(s, c, f->sd, f->rate) : 0;
        away = away || mc_reaches(fabs(expected - planned), mc_tolerance(s->settings, c));
    }
    task->move = mc_tooth_may_move(s->states[tooth]) && (mc_plan_moves(s->plan, tooth) || away);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        all->off[tooth].c[c] = task->move ? 0 : task->present.c[c] - task->target.c[c];
    }
}

/* The days an aligner of the arch is worn; the other arch's where its own are not known, 0 where
 * neither's are. */
static int interval_of(const mc_situation *s, int arch) {
    const int own = s->interval[arch], other = s->interval[1 - arch];
    return own > 0 ? own : other > 0 ? other : 0;
}

/* Days until the corrected series ends, from the day it is ordered; none where nothing is to be
 * made. Its aligners go into the option. */
static int days_of(const mc_situation *s, const mc_plan *corrected, mc_option *out) {
    int longest = 0;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const int stages = mc_plan_stages(corrected, (mc_arch)arch);
        const int days = stages * interval_of(s, arch);
        out->stages[arch] = stages;
        out->aligners += stages;
        longest = days > longest ? days : longest;
    }
    return longest > 0 ? (int)lround(s->settings->laboratory_days) + longest : 0;
}

/* An arch that was not looked at stands where the dates say. */
static void stand_by_dates(course *k, const bool grip[MC_TEETH]) {
    for (int a = 0; a < MC_ARCHES; a++) {
        const mc_arch arch = (mc_arch)a;
        int day;
        const int aligner = mc_series_aligner_on(&k->series[a], k->on, &day);
        if (mc_plan_stages(k->s->plan, arch) > 0 && isnan(mc_tracker_stage(k->tracker, arch))) {
            mc_tracker_advance(k->tracker, arch,
                               mc_effective_stage(aligner, day, k->s->settings->settle_days), grip);
        }
    }
}

/* The share beyond what remains to the present plan's end that is taken as overcorrection of it. */
static bool is_overcorrected(const mc_situation *s, double wanted, double drafted) {
    const double most = 1 + s->settings->overcorrect_percent / 100;
    return drafted * wanted > 0 && fabs(drafted) > fabs(wanted) &&
           mc_reaches(most * fabs(wanted), fabs(drafted));
}

/* How far every tooth of the draft begins off, so that it ends as far from where it is wanted as it
 * does: overcorrection is no end that is wanted. */
static void find_off_draft(const mc_situation *s, found *all) {
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        const mc_remaining_task *task = &all->ask.task[tooth];
        const bool moves = mc_plan_moves(s->draft, tooth);
        const mc_pose drafted = mc_plan_pose(s->draft, tooth, MC_MOST_STAGES);
        mc_pose wanted;
        mc_error ignored;
        if (mc_pose_between(&task->present, &task->target, &wanted, &ignored) != MC_OK) {
            wanted = drafted;
        }
        for (int c = 0; c < MC_COMPONENTS; c++) {
            all->off[tooth].c[c] = !moves ? task->present.c[c] - task->target.c[c]
                                   : is_overcorrected(s, wanted.c[c], drafted.c[c])
                                       ? drafted.c[c] - wanted.c[c]
                                       : 0;
        }
    }
}

/* The corrected series: the draft, or made anew from where the course stands. */
static bool make_corrected(course *k, found *all, mc_option *out) {
    mc_restaged account;
    mc_error error;
    if (k->as_drafted) {
        find_off_draft(k->s, all);
        k->corrected = mc_plan_copy(k->s->draft);
        return k->corrected != NULL || run_out(out);
    }
    if (mc_restage(k->s->settings, &all->ask, &account, &k->corrected, &error) == MC_OK) {
        return true;
    }
    out->failed = error.need == MC_NEED_MEMORY;
    return refuse(out, "%.150s", error.text);
}

/* Lead the course on into a corrected series. */
static bool correct(course *k, const bool grip[MC_TEETH], mc_option *out) {
    found *all = calloc(1, sizeof *all);
    if (!all) {
        return run_out(out);
    }
    stand_by_dates(k, grip);
    mc_tracker_forecast(k->tracker, k->s->states, NULL, &all->now);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        find_tooth(k, tooth, all);
    }
    const bool made = make_corrected(k, all, out);
    if (made) {
        mc_tracker_correct(k->tracker, k->corrected, &all->start, all->off);
        k->on += days_of(k->s, k->corrected, out);
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

/* Aligners after the ones worn now. */
static int still_to_begin(const course *k) {
    int left = 0;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        left += k->series[arch].stages - mc_series_aligner_on(&k->series[arch], k->on, NULL);
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

/* Every tooth has its grip again by local measures and with new aligners. */
static void find_grip(const course *k, const mc_option_ask *ask, bool grip[MC_TEETH]) {
    mc_tracker_grip(k->tracker, grip);
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        grip[tooth] = grip[tooth] || asked(ask, MC_LOCAL_MEASURES);
    }
}

static void decide_dates(course *k, const mc_option_ask *ask) {
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        mc_series_decide(&k->series[arch], k->back[arch] ? ask->to : -1,
                         asked(ask, MC_HOLD) ? ask->days : 0, k->s->score->date);
    }
}

/* Corrected now: what is left of the series is never worn. Poses are taken after a hold. */
static bool lead_new(course *k, const mc_option_ask *ask, const bool grip[MC_TEETH],
                     mc_option *out) {
    out->discarded =
        k->s->waiting ? k->s->ordered[MC_UPPER] + k->s->ordered[MC_LOWER] : still_to_begin(k);
    const bool at_once = !asked(ask, MC_HOLD) && !asked(ask, MC_GO_BACK);
    k->as_read = k->s->exact && at_once;
    k->as_drafted = k->s->draft && at_once;
    k->on += asked(ask, MC_HOLD) ? ask->days : 0;
    return correct(k, grip, out);
}

/* Worn to the end, and corrected there where that is asked. */
static bool lead_on(course *k, const mc_option_ask *ask, const bool grip[MC_TEETH],
                    mc_option *out) {
    out->aligners = still_to_begin(k);
    k->on = series_end(k);
    if (!asked(ask, MC_FINISH)) {
        return true;
    }
    wear_on(k, grip);
    return correct(k, grip, out);
}

/* Lead the course as asked; false where that cannot be. */
static bool lead(course *k, const mc_option_ask *ask, bool grip[MC_TEETH], mc_option *out) {
    if (k->s->waiting && !asked(ask, MC_CORRECT)) {
        out->unweighed = !asked(ask, MC_FINISH);
        return refuse(out, "the corrected series is awaited");
    }
    if (asked(ask, MC_CORRECT) && asked(ask, MC_FINISH)) {
        return refuse(out, "correct now and finish first exclude each other");
    }
    if ((asked(ask, MC_CORRECT) || asked(ask, MC_FINISH)) && interval_of(k->s, MC_UPPER) == 0) {
        return refuse(out, "it is not known how long an aligner is worn");
    }
    if ((asked(ask, MC_GO_BACK) && !go_back(k, ask->to, out)) ||
        (asked(ask, MC_HOLD) && !hold(k, ask->days, out))) {
        return false;
    }
    decide_dates(k, ask);
    find_grip(k, ask, grip);
    return asked(ask, MC_CORRECT) ? lead_new(k, ask, grip, out) : lead_on(k, ask, grip, out);
}

/* A series made anew has the teeth's grip again. */
static void judge(const course *k, const bool grip[MC_TEETH], mc_option *out) {
    const mc_situation *s = k->s;
    mc_forecast *end = malloc(sizeof *end);
    if (!end) {
        run_out(out);
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
    out->ends = k->on;
    out->days = k->on - s->score->date;
    out->checkups = (int)ceil(out->days / (7 * s->settings->checkup_weeks) - 1e-9);
    out->possible = true;
}

static mc_option nothing_known(const mc_option_ask *ask) {
    mc_option out = {.ask = *ask, .expected_out = NAN, .p_all_in = NAN, .ends = MC_NO_DAY};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        out.p_out[tooth] = NAN;
    }
    return out;
}

/* A course that led nowhere may have counted on its way. */
static void forget(mc_option *out) {
    mc_option nothing = nothing_known(&out->ask);
    memcpy(nothing.why_not, out->why_not, sizeof nothing.why_not);
    nothing.failed = out->failed;
    nothing.unweighed = out->unweighed;
    *out = nothing;
}

void mc_option_of(const mc_situation *situation, const mc_option_ask *ask, mc_option *out) {
    bool grip[MC_TEETH];
    *out = nothing_known(ask);
    if (!situation->tracker) {
        refuse(out, "nothing was read on this plan yet");
        return;
    }
    course k = {.s = situation,
                .tracker = mc_tracker_copy(situation->tracker),
                .on = situation->score->date};
    memcpy(k.series, situation->series, sizeof k.series);
    if (!k.tracker) {
        run_out(out);
    } else if (lead(&k, ask, grip, out)) {
        judge(&k, grip, out);
    }
    if (!out->possible) {
        forget(out);
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

/* The options so far. */
typedef struct usual {
    const mc_situation *s;
    mc_option *out;
    size_t count;
    bool failed; /* one of them */
} usual;

static void add(usual *u, unsigned choices, int days, int to) {
    const mc_option_ask ask = {.choices = choices, .days = days, .to = to};
    mc_option one;
    mc_option_of(u->s, &ask, &one);
    u->failed = u->failed || one.failed;
    const bool kept = one.possible || asked(&ask, MC_CORRECT) || asked(&ask, MC_FINISH) ||
                      (u->s->waiting && asked(&ask, MC_CARRY_ON));
    if (kept && u->count < MC_MOST_OPTIONS) {
        u->out[u->count++] = one;
    }
}

size_t mc_compare(const mc_situation *situation, mc_option out[MC_MOST_OPTIONS]) {
    usual u = {.s = situation, .out = out};
    const int days = (int)situation->settings->hold_days;
    const int back = (int)situation->settings->reseat_back;
    if (!situation->tracker) {
        return 0;
    }
    const int now = furthest(situation);
    add(&u, 1u << MC_CARRY_ON, 0, -1);
    add(&u, 1u << MC_HOLD, days, -1);
    add(&u, 1u << MC_HOLD, 2 * days, -1);
    for (int to = now - 1; to >= now - back && to >= 1; to--) {
        add(&u, 1u << MC_GO_BACK, 0, to);
    }
    if (local_measures_fit(situation)) {
        add(&u, 1u << MC_LOCAL_MEASURES, 0, -1);
    }
    add(&u, 1u << MC_CORRECT, 0, -1);
    add(&u, 1u << MC_FINISH, 0, -1);
    return u.failed ? 0 : u.count;
}

/* ---- in words ---- */

static void word(const char *what, char *out) {
    const size_t used = strlen(out);
    snprintf(out + used, MC_OPTION_WORDS_SIZE - used, "%s%s", used > 0 ? " and " : "", what);
}

void mc_option_words(const mc_option_ask *ask, char out[MC_OPTION_WORDS_SIZE]) {
    char what[40];
    out[0] = '\0';
    if (asked(ask, MC_GO_BACK)) {
        snprintf(what, sizeof what, "go back to aligner %d", ask->to);
        word(what, out);
    }
    if (asked(ask, MC_HOLD)) {
        snprintf(what, sizeof what, "hold %d %s", ask->days, ask->days == 1 ? "day" : "days");
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
