/* The worklist: every open case with its place in the queue and why. */
#include "assess.h"
#include "summary.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- a row from a summary, on a day ---- */

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
static mc_state worst_state(const int count[MC_STATES]) {
    static const mc_state ORDER[] = {MC_STATE_STALLED,   MC_STATE_BEHIND,   MC_STATE_DRIFTING,
                                     MC_STATE_PAST_PLAN, MC_STATE_SLIPPING, MC_STATE_SEATED,
                                     MC_STATE_ON_PLAN};
    for (size_t i = 0; i < sizeof ORDER / sizeof *ORDER; i++)
        if (count[ORDER[i]] > 0)
            return ORDER[i];
    return MC_STATE_UNMEASURED;
}

static void follow_series(const summary *s, mc_day on, mc_roster_row *row) {
    mc_outlook outlook = {.aligner = {MC_NO_ALIGNER, MC_NO_ALIGNER}, .next_change = MC_NO_DAY};
    mc_outlook_follow(s->series, on, &outlook);
    memcpy(row->stages, outlook.stages, sizeof row->stages);
    memcpy(row->aligner, outlook.aligner, sizeof row->aligner);
    row->next_change = outlook.next_change;
    mc_await(&s->turn, on, &row->awaited);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const mc_day first = row->awaited.first[arch];
        if (row->awaited.waits[arch] && (row->next_change == MC_NO_DAY || first < row->next_change))
            row->next_change = first;
    }
}

/* A corrected series on its way, and that the last aligner should not serve so long. */
static void add_waiting(mc_roster_row *row) {
    char text[MC_WAITING_TEXT_SIZE];
    mc_waiting_text(&row->awaited, text);
    if (*text)
        add_reason(row, "%s", text);
    mc_waiting_caution(&row->awaited, text);
    if (*text)
        add_reason(row, "%s", text);
}

enum {
    FIRST_RULE = 1000,
    PER_RULE = 50,
    BEHIND_RANK = 400,
    WATCH_RANK = 200,
    NO_PLAN_RANK = 150,
    MOST_LATE = 90,
    UNREAD_RANK = -1
};

/* What has to be seen on a tooth, in a word or two; "" where nothing was found. */
static void say_finding(const summary *s, char *out, size_t size) {
    static const char *const words[] = {"", " (pain on biting)", " (swelling or pus)", "",
                                        " (recession)"};
    if (s->found == MC_FOUND_MOBILITY)
        snprintf(out, size, " (mobility grade %d)", s->grade);
    else
        snprintf(out, size, "%s", words[s->found]);
}

/* "decision due: examine 41 (mobility grade 2)": the proposal and the teeth it is about. */
static void add_proposal(mc_roster_row *row, const summary *s) {
    char found[40], teeth[40] = "";
    say_finding(s, found, sizeof found);
    for (int i = 0; i < s->teeth_count && i < SUMMARY_NAMED; i++)
        snprintf(teeth + strlen(teeth), sizeof teeth - strlen(teeth), " %02d",
                 mc_tooth_iso(s->teeth[i]));
    add_reason(row, "decision due: %s%s%s%s", mc_proposal_words(s->proposal), teeth, found,
               s->teeth_count > SUMMARY_NAMED ? " ..." : "");
}

static void judge(const summary *s, mc_day on, mc_roster_row *row) {
    if (s->has_plan && s->plan_status == MC_PLAN_CLOSED) {
        add_reason(row, "plan %d finished", s->plan);
        return;
    }
    if (s->decision_due) {
        row->urgency = FIRST_RULE - PER_RULE * s->rule;
        add_proposal(row, s);
    }
    int behind = row->count[MC_STATE_BEHIND] + row->count[MC_STATE_STALLED];
    if (behind > 0) {
        row->urgency += BEHIND_RANK / (s->decision_due ? 10 : 1);
        add_reason(row, "%d %s behind%s", behind, behind == 1 ? "tooth" : "teeth",
                   row->count[MC_STATE_STALLED] > 0 ? " (stalled)" : "");
    } else if (row->count[MC_STATE_SLIPPING] + row->count[MC_STATE_DRIFTING] +
                   row->count[MC_STATE_PAST_PLAN] >
               0) {
        row->urgency += WATCH_RANK / (s->decision_due ? 10 : 1);
        add_reason(row, "worst tooth %s", mc_state_word(row->state));
    }
    if (!s->has_plan) {
        row->urgency += NO_PLAN_RANK;
        add_reason(row, "no plan yet");
    } else if (!s->has_score) {
        add_reason(row,
                   s->plan_start > on ? "plan %d not started yet" : "nothing read on plan %d yet",
                   s->plan);
    }
    add_waiting(row);
    if (row->next_checkup != MC_NO_DAY && row->next_checkup < on) {
        int late = on - row->next_checkup;
        row->urgency += late < MOST_LATE ? late : MOST_LATE;
        add_reason(row, "check-up %d day%s overdue", late, late == 1 ? "" : "s");
    }
}

/* A row of which only the case is known. */
static mc_roster_row unread_row(const mc_summary *of) {
    return (mc_roster_row){.kase = of->kase,
                           .entering = of->entering,
                           .unread = true,
                           .urgency = UNREAD_RANK,
                           .aligner = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                           .awaited = {.first = {MC_NO_DAY, MC_NO_DAY},
                                       .wears = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                                       .delivered = MC_NO_DAY},
                           .next_change = MC_NO_DAY,
                           .next_checkup = MC_NO_DAY,
                           .last_checkup = MC_NO_DAY,
                           .worst = MC_NO_TOOTH,
                           .worst_item = MC_WORST_NONE,
                           .lag_index = NAN,
                           .pace_mean = NAN,
                           .pace_sd = NAN,
                           .state = MC_STATE_UNMEASURED,
                           .found_on = MC_NO_TOOTH};
}

/* What is said of every row whatever else is known of it. */
static void finish_row(mc_roster_row *row) {
    row->unread = false;
    if (row->entering > 0)
        add_reason(row, "check-up %d being entered", row->entering);
    if (row->reasons[0] == '\0')
        add_reason(row, "nothing due");
}

static void fill_row(const summary *s, mc_day on, mc_roster_row *row) {
    row->urgency = 0;
    row->decision_due = s->decision_due;
    row->has_plan = s->has_plan;
    row->has_proposal = s->has_proposal;
    row->proposal = s->proposal;
    if (s->has_plan)
        follow_series(s, on, row);
    row->next_checkup = s->next_checkup;
    row->last_checkup = s->last_checkup;
    row->worst = s->worst;
    row->worst_item = s->worst_item;
    row->worst_way = s->worst_way;
    row->lag_index = s->lag_index;
    row->pace_mean = s->pace_mean;
    row->pace_sd = s->pace_sd;
    row->state = worst_state(s->count);
    memcpy(row->count, s->count, sizeof row->count);
    row->found = s->found;
    row->found_on = s->found != MC_FOUND_NOTHING ? s->teeth[0] : MC_NO_TOOTH;
    judge(s, on, row);
    finish_row(row);
}

/* A case that cannot be scored does not take the list away: it stands first and says why. */
static void blame_row(const mc_error *error, mc_roster_row *row) {
    row->urgency = FIRST_RULE;
    row->reasons[0] = '\0';
    add_reason(row, "cannot be scored: %.150s", error->text);
    finish_row(row);
}

/* ---- reading ---- */

mc_status mc_roster_begin(mc_practice *practice, mc_day on, mc_roster_row **out, size_t *count,
                          mc_error *error) {
    mc_summary *list = NULL;
    *out = NULL;
    *count = 0;
    mc_status status =
        mc_record_summaries(practice->record, summary_computation, &list, count, error);
    if (status == MC_OK && !(*out = malloc((*count + 1) * sizeof **out)))
        status = mc_fail(error, MC_REFUSED, "out of memory");
    for (size_t i = 0; status == MC_OK && i < *count; i++) {
        summary s;
        (*out)[i] = unread_row(&list[i]);
        if (summary_read(&list[i], &s) && summary_holds(&s, on))
            fill_row(&s, on, &(*out)[i]);
    }
    free(list);
    if (status != MC_OK)
        *count = 0;
    return status;
}

/* The case's summary as it is now, kept or computed; *made: it was computed. */
static mc_status summarise(mc_practice *practice, mc_day on, const mc_summary *found, summary *out,
                           bool *made, mc_error *error) {
    mc_assessment *a = NULL;
    *made = false;
    if (summary_read(found, out) && summary_holds(out, on))
        return MC_OK;
    mc_status status = mc_assess_on(practice, &found->kase, on, false, &a, error);
    if (status == MC_OK) {
        summary_of(a, out);
        *made = true;
    }
    mc_assessment_free(a);
    return status;
}

/* One row, its key and what it is computed from being of one moment; kept gets what is to be kept,
 * size 0 where there is nothing new. */
static mc_status read_row(mc_practice *practice, mc_day on, mc_roster_row *row, mc_summary *kept,
                          mc_error *error) {
    const mc_id id = row->kase.id;
    summary s;
    bool made = false;
    kept->size = 0;
    mc_status status = mc_record_begin_reading(practice->record, error);
    if (status == MC_OK) {
        status = mc_record_summary(practice->record, summary_computation, &id, kept, error);
        if (status == MC_OK) {
            *row = unread_row(kept);
            status = summarise(practice, on, kept, &s, &made, error);
        }
        mc_record_end_reading(practice->record);
    }
    kept->size = 0;
    if (made)
        summary_write(&s, kept);
    if (status == MC_OK)
        fill_row(&s, on, row);
    else
        blame_row(error, row);
    return status;
}

static mc_status blame_rows(mc_roster_row *const *rows, size_t count, mc_error *error) {
    mc_error own;
    mc_status status = mc_fail(&own, MC_REFUSED, "out of memory");
    for (size_t i = 0; i < count; i++)
        blame_row(&own, rows[i]);
    return mc_fail(error, status, "%s", own.text);
}

mc_status mc_roster_fill(mc_practice *practice, mc_day on, mc_roster_row *const *rows, size_t count,
                         mc_error *error) {
    mc_status worst = MC_OK;
    mc_summary *kept = calloc(count + 1, sizeof *kept);
    size_t made = 0;
    if (!kept)
        return blame_rows(rows, count, error);
    for (size_t i = 0; i < count; i++) {
        mc_error own = {0};
        mc_status status = read_row(practice, on, rows[i], &kept[made], &own);
        made += kept[made].size > 0;
        if (status == MC_DAMAGED && worst == MC_OK) { /* one that is refused says so in its row */
            worst = status;
            if (error)
                *error = own;
        }
    }
    if (made > 0) /* only a cache: where it cannot be kept it is computed again */
        mc_record_keep_summaries(practice->record, kept, made, NULL);
    free(kept);
    return worst;
}

/* ---- in order ---- */

typedef struct {
    int urgency;
    size_t place;
} ranked;

/* Of equally urgent rows, the one that was made first: rows are made by chart number. */
static int by_urgency(const void *one, const void *other) {
    const ranked *a = one, *b = other;
    if (a->urgency != b->urgency)
        return a->urgency > b->urgency ? -1 : 1;
    return (a->place > b->place) - (a->place < b->place);
}

bool mc_roster_order(const mc_roster_row *rows, size_t count, size_t *order) {
    ranked *list = malloc((count + 1) * sizeof *list);
    if (!list)
        return false;
    for (size_t i = 0; i < count; i++)
        list[i] = (ranked){rows[i].urgency, i};
    qsort(list, count, sizeof *list, by_urgency);
    for (size_t i = 0; i < count; i++)
        order[i] = list[i].place;
    free(list);
    return true;
}

/* A new list of the rows, most urgent first; NULL when out of memory. */
static mc_roster_row *in_order(const mc_roster_row *rows, size_t count) {
    size_t *order = malloc((count + 1) * sizeof *order);
    mc_roster_row *sorted = malloc((count + 1) * sizeof *sorted);
    if (!order || !sorted || !mc_roster_order(rows, count, order)) {
        free(sorted);
        sorted = NULL;
    }
    for (size_t i = 0; sorted && i < count; i++)
        sorted[i] = rows[order[i]];
    free(order);
    return sorted;
}

static mc_status fill_unread(mc_practice *practice, mc_day on, mc_roster_row *rows, size_t count,
                             mc_error *error) {
    enum { AT_ONCE = 64 };
    mc_roster_row *some[AT_ONCE];
    mc_status status = MC_OK;
    for (size_t i = 0, n = 0; status == MC_OK && i < count; i++) {
        if (rows[i].unread)
            some[n++] = &rows[i];
        if (n == AT_ONCE || (n > 0 && i + 1 == count)) {
            status = mc_roster_fill(practice, on, some, n, error);
            n = 0;
        }
    }
    return status;
}

mc_status mc_roster(mc_practice *practice, mc_day on, mc_roster_row **out, size_t *count,
                    mc_error *error) {
    mc_roster_row *rows = NULL;
    *out = NULL;
    mc_status status = mc_roster_begin(practice, on, &rows, count, error);
    if (status == MC_OK)
        status = fill_unread(practice, on, rows, *count, error);
    if (status == MC_OK && !(*out = in_order(rows, *count)))
        status = mc_fail(error, MC_REFUSED, "out of memory");
    free(rows);
    if (status != MC_OK)
        *count = 0;
    return status;
}
