/* What the computation says of today: the score, the worklist. */
#include "context.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

mc_status scored_case(context *c, mc_assessment **out, mc_error *error) {
    const arguments *a = &c->arguments;
    const char *settings = option_value(a, "settings");
    mc_case kase;
    int number = 0;
    *out = NULL;
    if (settings && strcmp(settings, "current") != 0)
        return mc_fail(error, MC_USAGE, "--settings %.20s: the only word is current", settings);
    mc_status status = option_whole(a, "checkup", 1, 9999, &number, error);
    if (status == MC_OK)
        status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_assess(c->practice, &kase, number, settings != NULL, out, error);
    if (status == MC_OK && !(*out)->score) {
        if (!(*out)->has_plan)
            status =
                mc_fail(error, MC_REFUSED, "case %s has no plan: import one first", a->word[0]);
        else if ((*out)->last_number > 0)
            status =
                mc_fail(error, MC_REFUSED,
                        "nothing was read on plan %d yet; --checkup %d shows the last on plan %d",
                        (*out)->info.number, (*out)->last_number, (*out)->info.number - 1);
        else
            status = mc_fail(error, MC_REFUSED, "case %s has no check-up yet", a->word[0]);
        mc_assessment_free(*out);
        *out = NULL;
    }
    return status;
}

/* ---- score ---- */

void print_head(const char *label, const mc_assessment *a) {
    const mc_score *s = a->score;
    char day[11];
    printf("Case %s, check-up %d on %s, plan %d%s\n", label, s->number, day_text(s->date, day),
           a->info.number, a->info.status == MC_PLAN_SUPERSEDED ? " (since superseded)" : "");
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const char *name = arch == MC_UPPER ? "Upper" : "Lower";
        if (s->stages[arch] == 0)
            printf("  %s  no series\n", name);
        else if (s->aligner[arch] == MC_NO_ALIGNER)
            printf("  %s  not looked at (%d aligners)\n", name, s->stages[arch]);
        else
            printf("  %s  aligner %d of %d, stage %.2f\n", name, s->aligner[arch], s->stages[arch],
                   s->effective_stage[arch]);
    }
}

static void print_counts(const mc_score *s) {
    const char *between = "  ";
    printf("%d teeth present, %d measured\n", s->present_count, s->measured);
    for (int i = 0; i < MC_STATES; i++)
        if (s->count[i] > 0) {
            printf("%s%d %s", between, s->count[i], mc_state_word((mc_state)i));
            between = ", ";
        }
    printf("\n");
}

/* "rotation 2.8 deg short", "seat gap 0.5 mm". */
static void worst_text(const mc_tooth_score *t, char *out, size_t size) {
    if (t->worst == MC_WORST_NONE) {
        snprintf(out, size, "-");
    } else if (t->worst == MC_WORST_SEAT_GAP) {
        snprintf(out, size, "seat gap %.1f mm", t->seat_gap);
    } else {
        const mc_item *item = &t->item[t->worst];
        bool mm = mc_component_is_linear((mc_component)t->worst);
        double off = fabs(item->planned - item->mean);
        snprintf(out, size, mm ? "%s %.2f mm %s" : "%s %.1f deg %s",
                 mc_component_name((mc_component)t->worst), off,
                 item->kind == MC_KIND_SHORT  ? "short"
                 : item->kind == MC_KIND_PAST ? "past"
                                              : "off");
    }
}

static void lag_text(const mc_tooth_score *t, char *out, size_t size) {
    if (isnan(t->lag_stages))
        snprintf(out, size, "-");
    else
        snprintf(out, size, "%+.1f (%+.1f to %+.1f)", t->lag_stages, t->lag_stages_low,
                 t->lag_stages_high);
}

static void print_tooth(const mc_assessment *a, mc_tooth tooth) {
    const mc_tooth_score *t = &a->score->tooth[tooth];
    char iso[4], worst[60], lag[60], since[20] = "";
    mc_tooth_text(MC_NOTATION_ISO, tooth, iso);
    worst_text(t, worst, sizeof worst);
    lag_text(t, lag, sizeof lag);
    if (a->behind_since[tooth] > 0)
        snprintf(since, sizeof since, "%d", a->behind_since[tooth]);
    if (isnan(t->lag_index))
        print_columns("%-5s  %-10s  %5s  %-25s", iso, mc_state_word(t->state), "-", "not read");
    else
        print_columns("%-5s  %-10s  %5.2f  %-25s  %-20s  %s", iso, mc_state_word(t->state),
                      t->lag_index, worst, lag, since);
}

static bool is_measured(const mc_score *s, mc_tooth t) {
    return s->present[t] && !isnan(s->tooth[t].lag_index);
}

static void print_score(const char *label, const mc_assessment *a) {
    const mc_score *s = a->score;
    print_head(label, a);
    print_counts(s);
    printf("\n%-5s  %-10s  %5s  %-24s  %-20s  %s\n", "Tooth", "State", "Lag", "Worst",
           "Lag in stages", "Since");
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (is_measured(s, t))
            print_tooth(a, t);
    char unread[300] = "Not read:";
    bool any = false;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (s->present[t] && !is_measured(s, t)) {
            snprintf(unread + strlen(unread), sizeof unread - strlen(unread), " %02d",
                     mc_tooth_iso(t));
            any = true;
        }
    if (any) {
        printf("\n");
        print_wrapped(unread, 0);
    }
    printf("\n");
    print_wrapped(
        "Lag: the lag index, how far off in tracking tolerances, weighted by the tooth's risk. Lag "
        "in stages: with the range of one standard deviation; negative is ahead. Since: the "
        "check-up since which it is "
        "behind.",
        0);
    print_caution();
}

static bool something_behind(const mc_score *s) {
    return s->count[MC_STATE_BEHIND] + s->count[MC_STATE_STALLED] > 0;
}

mc_status run_score(context *c, mc_error *error) {
    mc_assessment *a;
    mc_status status = scored_case(c, &a, error);
    if (status != MC_OK)
        return status;
    char label[MC_LABEL_SIZE];
    mc_case_label(&a->kase, label);
    if (c->json)
        status = print_json(mc_json_score(label, a->score), error);
    else
        print_score(label, a);
    if (option_given(&c->arguments, "check") && something_behind(a->score))
        c->exit_status = EXIT_BEHIND;
    mc_assessment_free(a);
    return status;
}

/* ---- roster ---- */

static json_t *place_json(int aligner, int stages) {
    return stages > 0 ? json_pack("{s:i, s:i}", "aligner", aligner, "stages", stages) : json_null();
}

static json_t *row_json(const mc_roster_row *r) {
    char label[MC_LABEL_SIZE], worst[4], reasons[sizeof r->reasons];
    mc_case_label(&r->kase, label);
    if (r->worst != MC_NO_TOOTH)
        mc_tooth_text(MC_NOTATION_ISO, r->worst, worst);
    json_t *list = json_array();
    snprintf(reasons, sizeof reasons, "%s", r->reasons);
    char *rest = reasons;
    while (*rest) {
        char *end = strstr(rest, "; ");
        if (end)
            *end = '\0';
        json_array_append_new(list, json_string(rest));
        rest = end ? end + 2 : rest + strlen(rest);
    }
    return json_pack("{s:s, s:s, s:o, s:o, s:o, s:o, s:o, s:o, s:s, s:b, s:o, s:o}", "case", label,
                     "name", r->kase.name, "upper",
                     place_json(r->aligner[MC_UPPER], r->stages[MC_UPPER]), "lower",
                     place_json(r->aligner[MC_LOWER], r->stages[MC_LOWER]), "next_change",
                     day_json(r->next_change), "next_checkup", day_json(r->next_checkup), "worst",
                     r->worst != MC_NO_TOOTH ? json_string(worst) : json_null(), "lag_index",
                     number_json(r->lag_index), "state", mc_state_name(r->state), "decision_due",
                     r->decision_due, "reasons", list, "waiting", awaited_json(&r->awaited));
}

static void print_row(const mc_roster_row *r) {
    char label[MC_LABEL_SIZE], name[200], place[MC_ARCHES][16], worst[16] = "-", day[11];
    mc_case_label(&r->kase, label);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        if (r->stages[arch] > 0)
            snprintf(place[arch], sizeof place[arch], "%d/%d", r->aligner[arch], r->stages[arch]);
        else
            snprintf(place[arch], sizeof place[arch], "-");
    if (r->worst != MC_NO_TOOTH)
        snprintf(worst, sizeof worst, "%02d %.2f", mc_tooth_iso(r->worst), r->lag_index);
    int width = mc_text_fit(r->kase.name, 20, false, name, sizeof name);
    print_columns("%-8s  %s%*s  %-6s %-6s  %-10s  %-8s  %-10s", label, name, 20 - width, "",
                  place[MC_UPPER], place[MC_LOWER], mc_state_word(r->state), worst,
                  day_text(r->next_checkup, day));
    print_wrapped(r->reasons, 10);
}

mc_status run_roster(context *c, mc_error *error) {
    mc_day on = c->today;
    mc_roster_row *rows = NULL;
    size_t count = 0;
    bool behind = false;
    mc_status status = option_day(&c->arguments, "on", &on, error);
    if (status == MC_OK)
        status = mc_roster(c->practice, on, &rows, &count, error);
    if (status != MC_OK)
        return status;
    json_t *list = json_array();
    if (!c->json)
        print_columns("%-8s  %-20s  %-6s %-6s  %-10s  %-8s  %-10s", "Case", "Name", "Upper",
                      "Lower", "State", "Worst", "Check-up");
    for (size_t i = 0; i < count; i++) {
        behind = behind || rows[i].count[MC_STATE_BEHIND] + rows[i].count[MC_STATE_STALLED] > 0;
        if (c->json)
            json_array_append_new(list, row_json(&rows[i]));
        else
            print_row(&rows[i]);
    }
    if (!c->json && count == 0)
        printf("No open case.\n");
    free(rows);
    if (option_given(&c->arguments, "check") && behind)
        c->exit_status = EXIT_BEHIND;
    if (c->json)
        return print_json(
            json_pack("{s:i, s:o, s:o}", "format", 1, "on", day_json(on), "cases", list), error);
    json_decref(list);
    return MC_OK;
}
