/* The worklist: every open case with its place in the queue and why. */
#include "practice.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void add_reason(mc_roster_row *row, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
static void add_reason(mc_roster_row *row, const char *format, ...) {
    size_t used = strlen(row->reasons);
    char phrase[200];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(phrase, sizeof phrase, format, arguments);
    va_end(arguments);
    if (used + strlen(phrase) + 3 < sizeof row->reasons)
        snprintf(row->reasons + used, sizeof row->reasons - used, "%s%s", used ? "; " : "", phrase);
}

/* Worst first: the order in which states call for attention. */
static mc_state worst_state(const mc_score *score) {
    static const mc_state ORDER[] = {MC_STATE_STALLED,   MC_STATE_BEHIND,   MC_STATE_DRIFTING,
                                     MC_STATE_PAST_PLAN, MC_STATE_SLIPPING, MC_STATE_SEATED,
                                     MC_STATE_ON_PLAN};
    for (size_t i = 0; i < sizeof ORDER / sizeof *ORDER; i++)
        if (score->count[ORDER[i]] > 0)
            return ORDER[i];
    return MC_STATE_UNMEASURED;
}

static void follow_series(const mc_assessment *a, mc_day on, mc_roster_row *row) {
    mc_outlook outlook;
    mc_outlook_of(a, NULL, on, NULL, &outlook);
    memcpy(row->stages, outlook.stages, sizeof row->stages);
    memcpy(row->aligner, outlook.aligner, sizeof row->aligner);
    row->next_change = outlook.next_change;
    row->next_checkup = outlook.next_checkup;
}

enum {
    FIRST_RULE = 1000,
    PER_RULE = 50,
    BEHIND_RANK = 400,
    WATCH_RANK = 200,
    NO_PLAN_RANK = 150,
    MOST_LATE = 90
};

enum { MOST_NAMED = 3 };

/* What has to be seen on a tooth, in a word or two; "" where nothing was found. */
static void finding_on(const mc_tooth_score *t, char *out, size_t size) {
    if (t->pain == MC_YES)
        snprintf(out, size, " (pain on biting)");
    else if (t->swelling == MC_YES)
        snprintf(out, size, " (swelling or pus)");
    else if (t->mobility >= 2)
        snprintf(out, size, " (mobility grade %d)", t->mobility);
    else
        snprintf(out, size, "%s", isnan(t->recession) ? "" : " (recession)");
}

/* "decision due: examine 41 (mobility grade 2)": the proposal and the teeth it is about. */
static void add_proposal(mc_roster_row *row, const mc_score *score, const mc_proposal *proposal) {
    char finding[40] = "";
    if (proposal->choice == MC_PROPOSE_EXAMINE && proposal->count > 0)
        finding_on(&score->tooth[proposal->teeth[0]], finding, sizeof finding);
    char teeth[40] = "";
    for (size_t i = 0; i < proposal->count && i < MOST_NAMED; i++)
        snprintf(teeth + strlen(teeth), sizeof teeth - strlen(teeth), " %02d",
                 mc_tooth_iso(proposal->teeth[i]));
    add_reason(row, "decision due: %s%s%s%s", mc_proposal_name(proposal->choice), teeth, finding,
               proposal->count > MOST_NAMED ? " ..." : "");
}

static void judge(const mc_assessment *a, mc_day on, mc_roster_row *row) {
    if (a->has_plan && a->info.status == MC_PLAN_CLOSED) {
        add_reason(row, "plan %d finished", a->info.number);
        return;
    }
    if (a->decision_due) {
        row->urgency = FIRST_RULE - PER_RULE * a->proposal.rule;
        add_proposal(row, a->score, &a->proposal);
    }
    int behind = row->count[MC_STATE_BEHIND] + row->count[MC_STATE_STALLED];
    if (behind > 0) {
        row->urgency += BEHIND_RANK / (a->decision_due ? 10 : 1);
        add_reason(row, "%d %s behind%s", behind, behind == 1 ? "tooth" : "teeth",
                   row->count[MC_STATE_STALLED] > 0 ? " (stalled)" : "");
    } else if (row->count[MC_STATE_SLIPPING] + row->count[MC_STATE_DRIFTING] +
                   row->count[MC_STATE_PAST_PLAN] >
               0) {
        row->urgency += WATCH_RANK / (a->decision_due ? 10 : 1);
        add_reason(row, "worst tooth %s", mc_state_word(row->state));
    }
    if (!a->has_plan) {
        row->urgency += NO_PLAN_RANK;
        add_reason(row, "no plan yet");
    } else if (!a->score) {
        add_reason(row,
                   a->info.start > on ? "plan %d not started yet" : "nothing read on plan %d yet",
                   a->info.number);
    }
    if (row->next_checkup != MC_NO_DAY && row->next_checkup < on) {
        int late = on - row->next_checkup;
        row->urgency += late < MOST_LATE ? late : MOST_LATE;
        add_reason(row, "check-up %d day%s overdue", late, late == 1 ? "" : "s");
    }
    if (row->reasons[0] == '\0')
        add_reason(row, "nothing due");
}

/* What makes the worst tooth so, and which way it has to go to be on plan. */
static void name_worst(const mc_tooth_score *tooth, mc_roster_row *row) {
    row->worst_item = tooth->worst;
    if (tooth->worst < 0)
        return;
    const mc_item *item = &tooth->item[tooth->worst];
    row->worst_way = item->planned > item->mean ? 1 : item->planned < item->mean ? -1 : 0;
}

static void fill_row(const mc_assessment *a, mc_day on, mc_roster_row *row) {
    row->decision_due = a->decision_due;
    row->has_plan = a->has_plan;
    row->has_proposal = a->has_proposal;
    row->proposal = a->proposal.choice;
    if (a->has_plan)
        follow_series(a, on, row);
    if (a->score) {
        row->last_checkup = a->score->date;
        row->worst = a->score->worst;
        if (row->worst != MC_NO_TOOTH)
            name_worst(&a->score->tooth[row->worst], row);
        row->lag_index = a->score->lag_index;
        row->state = worst_state(a->score);
        memcpy(row->count, a->score->count, sizeof row->count);
    }
    judge(a, on, row);
}

/* One case's row. A case that cannot be scored does not take the list away: it stands first and
 * says why. */
static mc_status make_row(mc_practice *practice, const mc_case *kase, mc_day on, mc_roster_row *row,
                          mc_error *error) {
    mc_assessment *a = NULL;
    *row = (mc_roster_row){.kase = *kase,
                           .aligner = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                           .next_change = MC_NO_DAY,
                           .next_checkup = MC_NO_DAY,
                           .last_checkup = MC_NO_DAY,
                           .worst = MC_NO_TOOTH,
                           .worst_item = MC_WORST_NONE,
                           .lag_index = NAN,
                           .state = MC_STATE_UNMEASURED};
    mc_status status = mc_assess(practice, kase, 0, false, &a, error);
    if (status == MC_OK) {
        fill_row(a, on, row);
        mc_assessment_free(a);
    } else if (status == MC_REFUSED) {
        row->urgency = FIRST_RULE;
        add_reason(row, "cannot be scored: %.150s", error->text);
        status = MC_OK;
    }
    return status;
}

/* Of equally urgent rows, the one that was made first: rows are made by chart number. */
static int by_urgency(const void *one, const void *other) {
    const mc_roster_row *a = *(mc_roster_row *const *)one, *b = *(mc_roster_row *const *)other;
    if (a->urgency != b->urgency)
        return a->urgency > b->urgency ? -1 : 1;
    return (a > b) - (a < b);
}

/* A new list of the rows, most urgent first; NULL when out of memory. */
static mc_roster_row *in_order(const mc_roster_row *rows, size_t count) {
    const mc_roster_row **order = calloc(count + 1, sizeof *order);
    mc_roster_row *sorted = calloc(count + 1, sizeof *sorted);
    for (size_t i = 0; order && i < count; i++)
        order[i] = &rows[i];
    if (order && sorted)
        qsort(order, count, sizeof *order, by_urgency);
    for (size_t i = 0; order && sorted && i < count; i++)
        sorted[i] = *order[i];
    if (!order) {
        free(sorted);
        sorted = NULL;
    }
    free(order);
    return sorted;
}

mc_status mc_roster(mc_practice *practice, mc_day on, mc_roster_row **out, size_t *count,
                    mc_error *error) {
    mc_case *cases = NULL;
    size_t all = 0;
    mc_error own = {0};
    error = error ? error : &own;
    *out = NULL;
    *count = 0;
    mc_status status = mc_record_cases(practice->record, &cases, &all, error);
    if (status != MC_OK)
        return status;
    mc_roster_row *rows = calloc(all + 1, sizeof *rows);
    if (!rows)
        status = mc_fail(error, MC_REFUSED, "out of memory");
    for (size_t i = 0; status == MC_OK && i < all; i++)
        if (cases[i].closed == MC_NO_DAY)
            status = make_row(practice, &cases[i], on, &rows[(*count)++], error);
    free(cases);
    if (status == MC_OK && !(*out = in_order(rows, *count)))
        status = mc_fail(error, MC_REFUSED, "out of memory");
    free(rows);
    if (status != MC_OK)
        *count = 0;
    return status;
}
