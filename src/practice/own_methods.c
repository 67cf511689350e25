/* How exact the practice's own methods are: what was read twice, and the figures that a doctor
 * keeps. */
#include "practice.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- pairs, whatever they measure ---- */

typedef struct {
    mc_pair *list;
    size_t count, room;
} pair_list;

static mc_status add(pair_list *to, const mc_pair *pair, mc_error *error) {
    if (to->count == to->room) {
        size_t room = to->room ? 2 * to->room : 64;
        mc_pair *more = realloc(to->list, room * sizeof *more);
        if (!more)
            return mc_fail(error, MC_REFUSED, "out of memory");
        to->list = more;
        to->room = room;
    }
    to->list[to->count++] = *pair;
    return MC_OK;
}

/* ---- what the record itself holds ---- */

enum { THINGS = MC_COMPONENTS + MC_RELATIVES };

/* What a row read of one thing on its tooth: a component, said as it stands (0) or short of plan
 * (1), or something relative; NaN where it did not. */
static double read_of(const mc_reading *row, int thing, int way) {
    if (thing >= MC_COMPONENTS)
        return way == 0 ? row->relative[thing - MC_COMPONENTS] : NAN;
    if (row->short_of_plan[thing] != (way == 1))
        return NAN;
    return way == 1 ? -row->value[thing] : row->value[thing];
}

static bool is_linear(int thing) {
    return thing < MC_COMPONENTS ? mc_component_is_linear((mc_component)thing)
                                 : thing - MC_COMPONENTS != MC_CROWN_ANGLE;
}

/* The readings of one thing on one tooth by one method, two by two in the order of the rows. */
static mc_status add_thing(const mc_checkup *checkup, size_t from, int thing, int way,
                           pair_list *to, mc_error *error) {
    const mc_reading *rows = checkup->rows;
    mc_pair pair = {.method = mc_reading_method(&rows[from], checkup->method),
                    .linear = is_linear(thing)};
    mc_status status = MC_OK;
    bool waiting = false;
    for (size_t i = from; status == MC_OK && i < checkup->count; i++) {
        double value = read_of(&rows[i], thing, way);
        if (rows[i].tooth != rows[from].tooth ||
            mc_reading_method(&rows[i], checkup->method) != pair.method || isnan(value))
            continue;
        if (waiting) {
            pair.second = value;
            status = add(to, &pair, error);
        } else {
            pair.first = value;
        }
        waiting = !waiting;
    }
    return status;
}

/* Whether an earlier row read the same tooth by the same method, so that its things are done. */
static bool seen_before(const mc_checkup *checkup, size_t at) {
    const mc_reading *rows = checkup->rows;
    for (size_t i = 0; i < at; i++)
        if (rows[i].tooth == rows[at].tooth && mc_reading_method(&rows[i], checkup->method) ==
                                                   mc_reading_method(&rows[at], checkup->method))
            return true;
    return false;
}

static mc_status add_checkup(const mc_checkup *checkup, pair_list *to, mc_error *error) {
    mc_status status = MC_OK;
    for (size_t i = 0; i < checkup->count; i++) {
        if (seen_before(checkup, i))
            continue;
        for (int thing = 0; status == MC_OK && thing < THINGS; thing++)
            for (int way = 0; status == MC_OK && way < 2; way++)
                status = add_thing(checkup, i, thing, way, to, error);
    }
    return status;
}

static mc_status add_record(mc_practice *practice, pair_list *to, mc_error *error) {
    mc_checkup_info *list = NULL;
    size_t count = 0;
    mc_status status = mc_record_repeated(practice->record, &list, &count, error);
    for (size_t i = 0; status == MC_OK && i < count; i++)
        status = add_checkup(&list[i].checkup, to, error);
    mc_checkup_info_free(list, count);
    return status;
}

/* ---- the figures ---- */

static mc_setting setting_of(const char *key) {
    for (size_t i = 0; i < mc_settings_count(); i++) {
        mc_setting one = mc_settings_describe(i);
        if (strcmp(one.key, key) == 0)
            return one;
    }
    return (mc_setting){0};
}

static bool in_range(const mc_own_method *m) {
    mc_setting about = setting_of(m->key);
    return m->measured.error >= about.low && m->measured.error <= about.high;
}

/* first and second have room for all pairs. */
static void judge(const mc_settings *settings, mc_method method, int angle, const pair_list *all,
                  double *first, double *second, mc_own_method *out) {
    size_t count = 0;
    char pairs_key[sizeof out->key + sizeof "_pairs"];
    double pairs = 0;
    *out = (mc_own_method){0};
    snprintf(out->key, sizeof out->key, "%s_%s", mc_method_name(method), angle ? "deg" : "mm");
    snprintf(pairs_key, sizeof pairs_key, "%s_pairs", out->key);
    mc_settings_get(settings, out->key, &out->used);
    mc_settings_get(settings, pairs_key, &pairs);
    out->used_pairs = (int)pairs;
    for (size_t i = 0; i < all->count; i++) {
        const mc_pair *pair = &all->list[i];
        if (pair->method != method || pair->linear == (angle == 1))
            continue;
        first[count] = pair->first;
        second[count++] = pair->second;
    }
    if (!mc_dahlberg(first, second, count, &out->measured))
        return;
    out->shifted = out->measured.pairs > 1 &&
                   fabs(out->measured.shift) > 2 * out->measured.shift_se &&
                   fabs(out->measured.shift) > 0;
    out->can_be_kept = out->measured.pairs >= MC_LEAST_PAIRS && in_range(out);
}

static mc_status judge_all(const mc_settings *settings, const pair_list *all, mc_own_methods *out,
                           mc_error *error) {
    double *first = malloc((all->count + 1) * sizeof *first);
    double *second = malloc((all->count + 1) * sizeof *second);
    mc_status status = first && second ? MC_OK : mc_fail(error, MC_REFUSED, "out of memory");
    for (int m = 0; status == MC_OK && m < MC_METHODS; m++)
        for (int angle = 0; angle < 2; angle++)
            judge(settings, (mc_method)m, angle, all, first, second, &out->of[m][angle]);
    free(first);
    free(second);
    return status;
}

mc_status mc_own_methods_measure(mc_practice *practice, const mc_pair *list, size_t count,
                                 bool from_record, mc_own_methods *out, mc_error *error) {
    pair_list all = {0};
    mc_settings settings;
    *out = (mc_own_methods){0};
    mc_status status = mc_record_settings(practice->record, NULL, &settings, NULL, error);
    for (size_t i = 0; status == MC_OK && i < count; i++)
        status = add(&all, &list[i], error);
    if (status == MC_OK && from_record)
        status = add_record(practice, &all, error);
    if (status == MC_OK)
        status = judge_all(&settings, &all, out, error);
    out->pairs = all.count;
    free(all.list);
    return status;
}

/* ---- keeping them ---- */

/* Refuses a figure that cannot be a method's error, however many pairs it rests on. */
static mc_status check(const mc_own_method *m, mc_error *error) {
    mc_setting about = setting_of(m->key);
    char figure[40], low[40], high[40];
    if (m->measured.pairs < MC_LEAST_PAIRS || in_range(m))
        return MC_OK;
    snprintf(figure, sizeof figure, "%.3g", m->measured.error);
    mc_decimal_text(about.low, low, sizeof low);
    mc_decimal_text(about.high, high, sizeof high);
    return mc_fail(error, MC_REFUSED,
                   "%s: %s %s from %zu pairs cannot be the error of a reading (%s to %s %s): were "
                   "the same things read twice, each time anew?",
                   m->key, figure, about.unit, m->measured.pairs, low, high, about.unit);
}

static void add_change(mc_setting_change *list, size_t *count, const char *key, const char *behind,
                       double value) {
    mc_setting_change *change = &list[(*count)++];
    snprintf(change->key, sizeof change->key, "%.30s%s", key, behind);
    change->value = value;
}

/* A figure is not known any better than that. */
static double in_thousandths(double value) {
    return round(value * 1000) / 1000;
}

/* Each figure, and behind it what it rests on. */
static mc_status changes_of(const mc_own_methods *measured, mc_setting_change *list, size_t *count,
                            json_t *figures, mc_error *error) {
    for (int m = 0; m < MC_METHODS; m++)
        for (int angle = 0; angle < 2; angle++) {
            const mc_own_method *of = &measured->of[m][angle];
            if (check(of, error) != MC_OK)
                return MC_REFUSED;
            if (!of->can_be_kept)
                continue;
            add_change(list, count, of->key, "", in_thousandths(of->measured.error));
            add_change(list, count, of->key, "_pairs", (double)of->measured.pairs);
            if (json_object_set_new(figures, of->key,
                                    json_pack("{s:f, s:I, s:f, s:f}", "error", of->measured.error,
                                              "pairs", (json_int_t)of->measured.pairs, "shift",
                                              of->measured.shift, "shift_se",
                                              of->measured.shift_se)) != 0)
                return mc_fail(error, MC_REFUSED, "out of memory");
        }
    return *count > 0 ? MC_OK
                      : mc_fail(error, MC_REFUSED,
                                "nothing can be kept: a method's error needs %d pairs of readings",
                                MC_LEAST_PAIRS);
}

mc_status mc_own_methods_keep(mc_practice *practice, const mc_own_methods *measured,
                              const char *reason, int64_t *set, mc_error *error) {
    mc_setting_change list[4 * MC_METHODS];
    size_t count = 0;
    if (!reason || !*reason)
        return mc_fail_need(error, MC_NEED_REASON, "measured numbers are kept with a reason");
    json_t *figures = json_object();
    mc_status status = changes_of(measured, list, &count, figures, error);
    if (status == MC_OK)
        status = mc_action_begin(practice, BY_DOCTOR, true, error);
    if (status != MC_OK) {
        json_decref(figures);
        return status;
    }
    status = mc_record_add_settings_together(practice->record, list, count, reason,
                                             practice->actor.initials, set, error);
    return mc_action_end(practice, status, NULL, "method errors kept",
                         json_pack("{s:o, s:s, s:I}", "figures", figures, "reason", reason, "set",
                                   (json_int_t)(status == MC_OK ? *set : 0)),
                         error);
}
