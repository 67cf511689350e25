/* The practice's own numbers: how exact its methods are, and what its own plans achieve. */
#include "context.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- method errors ---- */

static const char *unit_of(int angle) {
    return angle ? "deg" : "mm";
}

static json_t *method_json(mc_method method, int angle, const mc_own_method *m) {
    const mc_method_error *e = &m->measured;
    return json_pack("{s:s, s:s, s:I, s:o, s:o, s:o, s:b, s:b, s:f, s:i}", "method",
                     mc_method_name(method), "kind", unit_of(angle), "pairs", (json_int_t)e->pairs,
                     "error", number_json(e->pairs ? e->error : NAN), "shift",
                     number_json(e->pairs ? e->shift : NAN), "shift_se",
                     number_json(e->pairs ? e->shift_se : NAN), "shifted", m->shifted,
                     "can_be_kept", m->can_be_kept, "used", m->used, "used_pairs", m->used_pairs);
}

static json_t *methods_json(const mc_own_methods *all, int64_t set) {
    json_t *list = json_array();
    for (int m = 0; m < MC_METHODS; m++)
        for (int angle = 0; angle < 2; angle++)
            json_array_append_new(list, method_json((mc_method)m, angle, &all->of[m][angle]));
    return json_pack("{s:i, s:o, s:o}", "format", 1, "methods", list, "set",
                     set ? json_integer((json_int_t)set) : json_null());
}

/* With its sign, but nought without one. */
static void signed_text(double value, int places, char out[40]) {
    snprintf(out, 40, "%+.*f", places, value);
    if (strspn(out + 1, "0.") == strlen(out + 1))
        memmove(out, out + 1, strlen(out));
}

static void print_method(mc_method method, int angle, const mc_own_method *m) {
    char more[40], shift[100], used[60], from[40];
    int places = angle ? 2 : 3;
    const mc_method_error *e = &m->measured;
    signed_text(e->shift, places, more);
    if (e->pairs > 1)
        snprintf(shift, sizeof shift, "%s (%.*f)%s", more, places, e->shift_se,
                 m->shifted ? " !" : "");
    else
        snprintf(shift, sizeof shift, "%s", more);
    if (m->used_pairs > 0)
        snprintf(from, sizeof from, "%d pairs", m->used_pairs);
    else
        snprintf(from, sizeof from, "assumed");
    snprintf(used, sizeof used, "%.*f, %s", places, m->used, from);
    print_columns("%-9s  %-3s  %5zu  %8.*f  %-18s  %s", mc_method_name(method), unit_of(angle),
                  e->pairs, places, e->error, shift, used);
}

static void print_methods(const mc_own_methods *all) {
    bool few = false, shifted = false;
    print_columns("Method     In   Pairs     Error  Second - first     In use now");
    for (int m = 0; m < MC_METHODS; m++)
        for (int angle = 0; angle < 2; angle++) {
            const mc_own_method *of = &all->of[m][angle];
            if (of->measured.pairs == 0)
                continue;
            print_method((mc_method)m, angle, of);
            few = few || of->measured.pairs < MC_LEAST_PAIRS;
            shifted = shifted || of->shifted;
        }
    printf("\n");
    print_wrapped(
        "Error: Dahlberg's figure, the standard deviation of one reading. Second - first: "
        "how much more the second readings say, with its standard error.",
        0);
    if (shifted)
        print_wrapped("! The second readings lie otherwise than the first, beyond two standard "
                      "errors: something else was read, or read in another way. Look for the cause "
                      "before the number is kept.",
                      0);
    if (few) {
        char text[100];
        snprintf(text, sizeof text, "What rests on fewer than %d pairs cannot be kept.",
                 MC_LEAST_PAIRS);
        print_wrapped(text, 0);
    }
}

/* Pairs of a file, where one is named. */
static mc_status pairs_of(context *c, mc_pair **list, size_t *count, mc_error *error) {
    char *data = NULL;
    size_t size = 0;
    *list = NULL;
    *count = 0;
    if (c->arguments.words == 0)
        return MC_OK;
    mc_status status = read_file(c, c->arguments.word[0], &data, &size, error);
    if (status == MC_OK)
        status = mc_pairs_read(data, size, list, count, error);
    free(data);
    return status;
}

static mc_status keep_methods(context *c, const mc_own_methods *all, int64_t *set,
                              mc_error *error) {
    const char *reason = option_value(&c->arguments, "reason");
    if (!option_given(&c->arguments, "keep"))
        return MC_OK;
    return mc_own_methods_keep(c->practice, all, reason, set, error);
}

mc_status run_method_measure(context *c, mc_error *error) {
    mc_pair *list = NULL;
    size_t count = 0;
    int64_t set = 0;
    mc_own_methods all;
    bool from_record = option_given(&c->arguments, "from-record");
    if (c->arguments.words == 0 && !from_record)
        return mc_fail(error, MC_USAGE,
                       "which readings? A FILE of pairs, or --from-record for what was read twice "
                       "at check-ups");
    mc_status status = pairs_of(c, &list, &count, error);
    if (status == MC_OK)
        status = mc_own_methods_measure(c->practice, list, count, from_record, &all, error);
    free(list);
    if (status == MC_OK && all.pairs == 0)
        status = mc_fail(error, MC_REFUSED,
                         "nothing was read twice: a second row for a tooth in a check-up is a "
                         "repeated reading");
    if (status == MC_OK)
        status = keep_methods(c, &all, &set, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(methods_json(&all, set), error);
    print_methods(&all);
    if (set)
        printf("Kept (set %lld); check-ups keep the set they were scored with.\n", (long long)set);
    return MC_OK;
}

/* ---- own accuracy ---- */

static json_t *range_json(double low, double high) {
    return json_pack("{s:f, s:f}", "low", low, "high", high);
}

static json_t *share_json(int of, int movement, const mc_own_share *s) {
    json_t *taken =
        s->taken > 0 ? json_pack("{s:f, s:f}", "mean", s->taken, "se", s->taken_se) : json_null();
    return json_pack(
        "{s:s, s:s, s:I, s:I, s:o, s:o, s:o, s:o, s:o, s:o, s:b}", "tooth_class",
        mc_tooth_class_name((mc_tooth_class)of), "movement",
        mc_movement_name((mc_movement)movement), "readings", (json_int_t)s->readings, "patients",
        (json_int_t)s->patients, "mean", number_json(s->mean), "se", number_json(s->se), "tau",
        number_json(s->tau), "published", range_json(s->published_low, s->published_high), "used",
        range_json(s->used_low, s->used_high), "taken_over", taken, "can_be_used", s->can_be_used);
}

static json_t *accuracy_json(const mc_accuracy *a) {
    json_t *list = json_array();
    for (int c = 0; c < MC_OWN_CLASSES; c++)
        for (int m = 0; m < MC_OWN_MOVEMENTS; m++)
            json_array_append_new(list, share_json(c, m, &a->of[c][m]));
    return json_pack("{s:i, s:I, s:I, s:o}", "format", 1, "plans", (json_int_t)a->plans, "patients",
                     (json_int_t)a->patients, "shares", list);
}

/* "54", or "37-66" where the teeth of the class differ. */
static void percent_range(double low, double high, char out[16]) {
    int from = (int)lround(100 * low), to = (int)lround(100 * high);
    if (from == to)
        snprintf(out, 16, "%d", from);
    else
        snprintf(out, 16, "%d-%d", from, to);
}

static const char *standing_of(const mc_own_share *s) {
    return s->taken > 0                      ? "in use"
           : s->can_be_used                  ? "ready"
           : s->patients < MC_LEAST_PATIENTS ? "too few"
                                             : "no use";
}

static void print_share(int of, int movement, const mc_own_share *s) {
    char published[16], used[16];
    percent_range(s->published_low, s->published_high, published);
    percent_range(s->used_low, s->used_high, used);
    print_columns("%-15s %-10s  %8zu  %3.0f  %3.0f  %3.0f  %9s  %7s  %s",
                  mc_tooth_class_word((mc_tooth_class)of), mc_movement_name((mc_movement)movement),
                  s->patients, 100 * s->mean, 100 * s->se, 100 * s->tau, published, used,
                  standing_of(s));
}

static void print_accuracy(const mc_accuracy *a) {
    char text[300];
    printf("%zu ended plan%s of %zu patient%s; what was achieved, in %% of what was planned\n\n",
           a->plans, a->plans == 1 ? "" : "s", a->patients, a->patients == 1 ? "" : "s");
    if (a->plans == 0) {
        print_wrapped("Nothing to tell yet: a plan counts once it is closed or superseded and a "
                      "tooth of it was read after a tracking tolerance of planned movement.",
                      0);
        return;
    }
    print_columns("Tooth           Movement    Patients  Own   SE   SD  Published  Used now");
    for (int c = 0; c < MC_OWN_CLASSES; c++)
        for (int m = 0; m < MC_OWN_MOVEMENTS; m++)
            if (a->of[c][m].patients > 0)
                print_share(c, m, &a->of[c][m]);
    printf("\n");
    snprintf(text, sizeof text,
             "Own: pooled over patients, with its standard error SE; SD: the standard deviation "
             "between patients. Used from %d patients on, and only when a doctor takes it over "
             "(accuracy use).",
             MC_LEAST_PATIENTS);
    print_wrapped(text, 0);
}

mc_status run_accuracy(context *c, mc_error *error) {
    mc_accuracy a;
    mc_status status = mc_accuracy_all(c->practice, &a, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(accuracy_json(&a), error);
    print_accuracy(&a);
    return MC_OK;
}

mc_status run_accuracy_use(context *c, mc_error *error) {
    mc_accuracy a;
    size_t taken = 0;
    int64_t set = 0;
    mc_status status = mc_accuracy_all(c->practice, &a, error);
    if (status == MC_OK)
        status = mc_accuracy_use(c->practice, &a, option_value(&c->arguments, "reason"), &taken,
                                 &set, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(json_pack("{s:i, s:I, s:I}", "format", 1, "set", (json_int_t)set, "taken",
                                    (json_int_t)taken),
                          error);
    char text[300];
    snprintf(text, sizeof text,
             "%zu share%s taken over (set %lld). New check-ups expect them beside the published "
             "ones, each by its precision; check-ups keep the set they were scored with.",
             taken, taken == 1 ? "" : "s", (long long)set);
    print_wrapped(text, 0);
    return MC_OK;
}
