/* Where a tooth is: a two-state Kalman filter for every component that was read, and the mouth's
 * own pace shared by all of them, exactly, in one pass. midcourse-method(7) tells the model. */
#include "tracker.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Standard deviations of the model; assumed, to be replaced by evidence. Shares are of the planned
 * movement. */
const double MC_OWN_SPREAD = 0.20, MC_PACE_SPREAD = 0.20;
static const double STEP_SD = 0.1;     /* a stage's own movement, of the planned */
static const double WANDER_SD = 0.025; /* of the share, a stage */
static const double REST_SD_MM = 0.01; /* unplanned movement, a stage */
static const double REST_SD_DEG = 0.05;
static const double STILL_SHARE =
    0.1; /* the same on a component not planned to move, of its tolerance */

/* q: standard deviation of unplanned movement a stage. */
static double rest_sd(const mc_settings *settings, const mc_plan *plan, mc_tooth tooth,
                      mc_component c) {
    if (!mc_reaches(fabs(mc_plan_extreme(plan, tooth, c)), mc_component_least(c)))
        return STILL_SHARE * mc_tolerance(settings, c);
    return mc_component_is_linear(c) ? REST_SD_MM : REST_SD_DEG;
}

/* One straight piece: l stages at v a stage. */
static inline void carry_piece(filter *f, double v, double l, double q) {
    double way = v * l, wander = WANDER_SD * WANDER_SD;
    double c00 = f->cov[0][0], c01 = f->cov[0][1], c11 = f->cov[1][1];
    f->mean[0] += way * f->mean[1];
    f->sensitivity[0] += way * f->sensitivity[1];
    f->cov[0][0] = c00 + 2 * way * c01 + way * way * c11 + STEP_SD * v * STEP_SD * v * l +
                   q * q * l + wander * v * v * l * l * l / 3;
    f->cov[0][1] = f->cov[1][0] = c01 + way * c11 + wander * v * l * l / 2;
    f->cov[1][1] = c11 + wander * l;
    for (int base = STATE_BASE; base < f->states; base++)
        f->cov[0][base] = f->cov[base][0] = f->cov[0][base] + way * f->cov[1][base];
}

void mc_filter_carry(filter *f, const mc_plan *plan, mc_tooth tooth, mc_component c, double to) {
    mc_filter_carry_part(f, plan, tooth, c, to, 1);
}

void mc_filter_carry_part(filter *f, const mc_plan *plan, mc_tooth tooth, mc_component c, double to,
                          double part) {
    if (to == f->s)
        return;
    if (to < f->s) { /* gone back: no planned movement, but time passes */
        carry_piece(f, 0, f->s - to, f->rest);
        f->s = to;
        return;
    }
    static const mc_plan_row start = {.stage = 0};
    const mc_plan_row *row = NULL, *before = &start;
    size_t count = mc_plan_tooth_rows(plan, tooth, &row), next = 0;
    for (; next < count && row[next].stage <= f->s; next++)
        before = &row[next];
    for (; f->s < to; next++) { /* after the last listed stage nothing is planned any more */
        const mc_plan_row *after = next < count ? &row[next] : before;
        bool listed = next < count && after->stage < to;
        double way = after->pose.c[c] - before->pose.c[c], end = listed ? after->stage : to;
        double v = next < count ? way / (after->stage - before->stage) : 0;
        carry_piece(f, part * v, end - f->s, f->rest);
        f->s = end;
        before = after;
    }
}

/* The same for a filter of so many states: told to the compiler, as most have only the two. */
static inline void update(mc_tracker *tracker, filter *f, int states, double observed,
                          double variance, double shared, int base) {
    double row[STATES] = {0}, innovation = observed - f->mean[0], h = f->sensitivity[0] - shared;
    bool wrong = base != STATE_X; /* by its baseline too */
    for (int i = 0; i < states; i++)
        row[i] = wrong ? f->cov[0][i] + f->cov[base][i] : f->cov[0][i];
    if (wrong) {
        innovation -= f->mean[base];
        h += f->sensitivity[base];
    }
    double spread = wrong ? row[0] + row[base] + variance : row[0] + variance;
    tracker->pace_precision += h * h / spread;
    tracker->pace_weighted += h * innovation / spread;
    for (int i = 0; i < states; i++) {
        double gain = row[i] / spread; /* 1 where the reading is exact */
        f->mean[i] += gain * innovation;
        f->sensitivity[i] -= gain * h;
        for (int j = i; j < states; j++)
            f->cov[i][j] = f->cov[j][i] = f->cov[i][j] - gain * row[j];
    }
    f->followed = true;
}

void mc_filter_update(mc_tracker *tracker, filter *f, double observed, double variance,
                      double shared, int base) {
    if (f->states == STATE_BASE)
        update(tracker, f, STATE_BASE, observed, variance, shared, STATE_X);
    else
        update(tracker, f, STATES, observed, variance, shared, base);
}

double mc_pace_mean(const mc_tracker *tracker) {
    return tracker->pace_weighted / tracker->pace_precision;
}

double mc_pace_variance(const mc_tracker *tracker) {
    return 1 / tracker->pace_precision;
}

void mc_filter_position(const mc_tracker *tracker, const filter *f, double *mean,
                        double *variance) {
    double h = f->sensitivity[0], pace_variance = mc_pace_variance(tracker);
    *mean = f->mean[0] + h * tracker->pace_weighted * pace_variance;
    *variance = f->cov[0][0] + h * h * pace_variance;
}

mc_tracker *mc_tracker_new(const mc_settings *settings) {
    mc_tracker *tracker = calloc(1, sizeof *tracker);
    if (!tracker)
        return NULL;
    tracker->settings = *settings;
    tracker->pace_precision = 1 / (MC_PACE_SPREAD * MC_PACE_SPREAD);
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            filter *f = &tracker->filter[t][c];
            f->cov[1][1] = MC_OWN_SPREAD * MC_OWN_SPREAD;
            f->sensitivity[1] = 1;
        }
    return tracker;
}

void mc_tracker_free(mc_tracker *tracker) {
    if (tracker)
        free(tracker->earlier);
    free(tracker);
}

mc_tracker *mc_tracker_copy(const mc_tracker *tracker) {
    mc_tracker *copy = malloc(sizeof *copy);
    if (!copy)
        return NULL;
    *copy = *tracker;
    copy->earlier_room = tracker->earlier_count;
    copy->earlier = NULL;
    if (copy->earlier_room == 0)
        return copy;
    size_t size = copy->earlier_room * sizeof *copy->earlier;
    copy->earlier = malloc(size);
    if (!copy->earlier) {
        free(copy);
        return NULL;
    }
    memcpy(copy->earlier, tracker->earlier, size);
    return copy;
}

filter mc_filter_now(const mc_tracker *tracker, mc_tooth tooth, mc_component c) {
    filter now = tracker->filter[tooth][c]; /* a copy: the filter itself moves only with readings */
    double stage = tracker->effective_stage[mc_tooth_arch(tooth)];
    if (!isnan(stage))
        mc_filter_carry(&now, tracker->plan, tooth, c, stage);
    return now;
}

bool mc_tracker_estimate(const mc_tracker *tracker, mc_tooth tooth, mc_component c, double *mean,
                         double *sd) {
    double variance;
    if (!tracker->filter[tooth][c].followed)
        return false;
    filter now = mc_filter_now(tracker, tooth, c);
    mc_filter_position(tracker, &now, mean, &variance);
    *sd = sqrt(fmax(variance, 0));
    return true;
}

/* ---- taking in a check-up ---- */

static mc_status refuse(mc_error *error, size_t row, mc_tooth tooth, const char *why) {
    mc_status status = mc_fail(error, MC_REFUSED, "%02d: %s", mc_tooth_iso(tooth), why);
    if (error)
        error->line = (long)row + 1;
    return status;
}

static bool reads_relative(const mc_reading *r) {
    for (int i = 0; i < MC_RELATIVES; i++)
        if (!isnan(r->relative[i]))
            return true;
    return false;
}

static bool reads_position(const mc_reading *r) {
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (!isnan(r->value[c]))
            return true;
    return false;
}

static mc_status check_row(const mc_tracker *tracker, const double stage[MC_ARCHES],
                           const mc_tooth_state *states, const mc_reading *r, size_t row,
                           mc_error *error) {
    if (r->tooth < 0 || r->tooth >= MC_TEETH)
        return mc_fail_at(error, (long)row + 1, 0, "no such tooth");
    mc_arch arch = mc_tooth_arch(r->tooth);
    bool series = mc_plan_stages(tracker->plan, arch) > 0, worn = !isnan(stage[arch]);
    if (!isnan(r->seat_gap) && !worn)
        return refuse(error, row, r->tooth,
                      "a seat gap needs the aligner that is worn in its arch");
    if ((reads_position(r) || reads_relative(r)) && series && !worn)
        return refuse(error, row, r->tooth,
                      "a position needs the aligner that is worn in its arch");
    if (!isnan(r->seat_gap) && !(r->seat_gap >= 0 && r->seat_gap <= 5))
        return refuse(error, row, r->tooth, "a seat gap is 0 to 5 mm");
    if (!isnan(r->recession) && !(r->recession >= 0 && r->recession <= 20))
        return refuse(error, row, r->tooth, "a recession is 0 to 20 mm");
    if (r->method < MC_METHOD_OF_CHECKUP || r->method >= MC_METHODS || r->mobility < -1 ||
        r->mobility > 3)
        return refuse(error, row, r->tooth, "no such method or mobility grade");
    for (int c = 0; c < MC_COMPONENTS; c++) {
        double most = mc_component_is_linear((mc_component)c) ? 20 : 90, from;
        if (!isnan(r->value[c]) && !(fabs(r->value[c]) <= most))
            return refuse(error, row, r->tooth, "more than 20 mm or 90 deg cannot be");
        if (!isnan(r->value[c]) && r->short_of_plan[c] &&
            (!worn ||
             mc_plan_leg(tracker->plan, r->tooth, (mc_component)c, stage[arch], &from) == 0))
            return refuse(error, row, r->tooth,
                          "short of plan needs a planned movement that has begun");
    }
    const char *fault = mc_relative_fault(r, states);
    return fault ? refuse(error, row, r->tooth, fault) : MC_OK;
}

static mc_status check_all(const mc_tracker *tracker, const mc_checkup *checkup,
                           const double stage[MC_ARCHES], mc_error *error) {
    for (int a = 0; a < MC_ARCHES; a++) {
        int last = mc_plan_stages(tracker->plan, (mc_arch)a);
        if (checkup->aligner[a] != MC_NO_ALIGNER &&
            (checkup->aligner[a] < 0 || checkup->aligner[a] > last))
            return mc_fail(error, MC_REFUSED, "aligner %d is not in the %s series of %d",
                           checkup->aligner[a], a == MC_UPPER ? "upper" : "lower", last);
    }
    if ((int)checkup->method < 0 || checkup->method >= MC_METHODS)
        return mc_fail(error, MC_REFUSED, "the check-up has no known method");
    if (!isnan(checkup->wear_hours) && !(checkup->wear_hours >= 0 && checkup->wear_hours <= 24))
        return mc_fail(error, MC_REFUSED, "wear is 0 to 24 hours a day");
    for (size_t i = 0; i < checkup->count; i++)
        if (check_row(tracker, stage, checkup->states, &checkup->rows[i], i, error) != MC_OK)
            return MC_REFUSED;
    return MC_OK;
}

void mc_observe(observation *all, double observed, double variance) {
    if (all->count++ == 0) {
        all->observed = observed;
        all->variance = variance;
        return;
    }
    double of_new = all->variance / (all->variance + variance);
    all->observed += of_new * (observed - all->observed);
    all->variance *= 1 - of_new;
}

static void gather(mc_tracker *tracker, const mc_reading *r, double s) {
    for (int i = 0; i < MC_COMPONENTS; i++) {
        if (isnan(r->value[i]))
            continue;
        mc_component c = (mc_component)i;
        double value = r->value[i], from;
        if (r->short_of_plan[i])
            value = mc_plan_at(tracker->plan, r->tooth, c, s) -
                    mc_plan_leg(tracker->plan, r->tooth, c, s, &from) * value;
        mc_method method = mc_reading_method(r, tracker->checkup.method);
        double sd = mc_method_sd(&tracker->settings, method, c);
        mc_observe(&tracker->observed[r->tooth][i], value, sd * sd);
    }
}

/* Repeated findings: the seat gap's mean, of everything else the worst. A contact that is tight
 * anywhere is tight. */
static void note_findings(tooth_findings *t, const mc_reading *r, int *gaps) {
    if (!isnan(r->seat_gap)) {
        t->seat_gap =
            *gaps == 0 ? r->seat_gap : t->seat_gap + (r->seat_gap - t->seat_gap) / (*gaps + 1);
        ++*gaps;
    }
    if (r->attachment > t->attachment)
        t->attachment = r->attachment;
    if (r->contact_mesial > t->contact_mesial)
        t->contact_mesial = r->contact_mesial;
    if (r->contact_distal > t->contact_distal)
        t->contact_distal = r->contact_distal;
    if (r->mobility > t->mobility)
        t->mobility = r->mobility;
    if (r->pain > t->pain)
        t->pain = r->pain;
    if (r->swelling > t->swelling)
        t->swelling = r->swelling;
    t->recession = fmax(t->recession, r->recession); /* of NaN and a number, the number */
}

/* Keep what the check-up before this one says about each component, for the question of a stall. */
static bool remember_last(mc_tracker *tracker) {
    if (tracker->checkup.number == 0)
        return true;
    if (tracker->earlier_count == tracker->earlier_room) {
        size_t room = tracker->earlier_room ? 2 * tracker->earlier_room : 8;
        checkup_trace *more = realloc(tracker->earlier, room * sizeof *more);
        if (!more)
            return false;
        tracker->earlier = more;
        tracker->earlier_room = room;
    }
    checkup_trace *kept = &tracker->earlier[tracker->earlier_count++];
    for (int a = 0; a < MC_ARCHES; a++)
        kept->stage[a] = tracker->effective_stage[a];
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            trace *item = &kept->item[t][c];
            if (tracker->observed[t][c].count > 0) /* and so stands where its arch does */
                mc_filter_position(tracker, &tracker->filter[t][c], &item->x, &item->variance);
            else
                item->x = item->variance = NAN;
        }
    return true;
}

static void clear_last(mc_tracker *tracker) {
    mc_relative_clear(tracker);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        for (int c = 0; c < MC_COMPONENTS; c++)
            tracker->observed[t][c] = (observation){0};
        tracker->findings[t] = (tooth_findings){.seat_gap = NAN, .mobility = -1, .recession = NAN};
    }
}

/* Variance of x at stage 0 of a plan. Where the arch has no series no stage is ever passed, so
 * nothing but this lets a reading say that the tooth has moved by itself: one tolerance, assumed.
 */
static double start_variance(const mc_tracker *tracker, const mc_start *start, mc_tooth tooth,
                             mc_component c) {
    double known = start ? start->variance[tooth][c] : 0,
           tolerance = mc_tolerance(&tracker->settings, c);
    bool series = mc_plan_stages(tracker->plan, mc_tooth_arch(tooth)) > 0;
    return series ? known : known + tolerance * tolerance;
}

void mc_tracker_begin(mc_tracker *tracker, const mc_plan *plan, const mc_start *start) {
    tracker->plan = plan;
    tracker->earlier_count = 0;
    tracker->checkup = (mc_checkup){.aligner = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                                    .date = MC_NO_DAY,
                                    .day = {-1, -1},
                                    .wear_hours = NAN};
    clear_last(tracker);
    mc_relative_begin(tracker, start);
    for (int a = 0; a < MC_ARCHES; a++)
        tracker->effective_stage[a] = NAN;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int c = 0; c < MC_COMPONENTS; c++) {
            filter *f = &tracker->filter[t][c];
            double own = f->mean[1] - f->expected; /* what was learnt on the plan before */
            f->expected =
                mc_share_for(&tracker->settings, t, mc_plan_movement(plan, t, (mc_component)c));
            f->rest = rest_sd(&tracker->settings, plan, t, (mc_component)c);
            f->followed = false;
            f->s = 0;
            f->mean[0] = 0;
            f->mean[1] = f->expected + own;
            f->sensitivity[0] = 0;
            f->cov[0][0] = start_variance(tracker, start, t, (mc_component)c);
            f->cov[0][1] = f->cov[1][0] = 0;
            f->states = STATE_BASE;
            for (int base = STATE_BASE; base < STATES; base++) {
                f->mean[base] = f->sensitivity[base] = 0;
                for (int i = 0; i < STATES; i++)
                    f->cov[base][i] = f->cov[i][base] = 0;
            }
        }
}

/* What the check-up read of one tooth, into its filters. */
static void take_in(mc_tracker *tracker, mc_tooth tooth) {
    double s = tracker->effective_stage[mc_tooth_arch(tooth)], at = isnan(s) ? 0 : s;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const observation *o = &tracker->observed[tooth][c];
        filter *f = &tracker->filter[tooth][c];
        if (o->count == 0)
            continue;
        mc_filter_carry(f, tracker->plan, tooth, (mc_component)c, at);
        mc_filter_update(tracker, f, o->observed, o->variance, 0, STATE_X);
    }
}

mc_status mc_tracker_add(mc_tracker *tracker, const mc_checkup *checkup, mc_error *error) {
    double stage[MC_ARCHES];
    for (int a = 0; a < MC_ARCHES; a++)
        stage[a] = checkup->aligner[a] == MC_NO_ALIGNER
                       ? NAN
                       : mc_effective_stage(checkup->aligner[a], checkup->day[a],
                                            tracker->settings.settle_days);
    if (check_all(tracker, checkup, stage, error) != MC_OK)
        return MC_REFUSED;
    if (!remember_last(tracker))
        return mc_fail(error, MC_REFUSED, "out of memory");
    clear_last(tracker);
    tracker->checkup = *checkup;
    tracker->checkup.rows = NULL;
    tracker->checkup.note = NULL;
    tracker->checkup.states = NULL;
    int gaps[MC_TEETH] = {0};
    for (int a = 0; a < MC_ARCHES; a++)
        tracker->effective_stage[a] = stage[a];
    for (size_t i = 0; i < checkup->count; i++) {
        const mc_reading *r = &checkup->rows[i];
        double s = stage[mc_tooth_arch(r->tooth)];
        gather(tracker, r, isnan(s) ? 0 : s);
        mc_relative_gather(tracker, r);
        note_findings(&tracker->findings[r->tooth], r, &gaps[r->tooth]);
    }
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        take_in(tracker, t);
    mc_relative_settle(tracker, checkup->states);
    return MC_OK;
}
