/* What each choice is expected to bring: weighed once, looked up at every key. */
#include "decide_view.h"

static bool same(const mc_option_ask *one, const mc_option_ask *other) {
    return one->choices == other->choices && one->days == other->days && one->to == other->to;
}

const mc_option *decide_weighed(const decide_view *d, const mc_option_ask *ask) {
    for (size_t i = 0; i < d->weighed_count; i++)
        if (same(&d->weighed[i].ask, ask))
            return &d->weighed[i];
    return NULL;
}

static const mc_plan *corrected(const decide_view *d) {
    return decide_chosen(d, MC_CORRECT) ? d->correction.plan : NULL;
}

void decide_weigh_usual(decide_view *d) {
    d->weighed_with = corrected(d);
    d->usual = d->weighed_count = mc_assess_options_with(d->chart.a, d->weighed_with, d->weighed);
}

static void weigh(decide_view *d, mc_option_ask ask) {
    if (!decide_weighed(d, &ask))
        mc_assess_option_with(d->chart.a, d->weighed_with, &ask, &d->weighed[d->weighed_count++]);
}

static mc_option_ask ask_of(const decide_view *d, unsigned choices, bool closes) {
    mc_option_ask ask = {.choices = choices, .to = -1};
    if (closes)
        ask.choices = (choices & ~(1u << MC_FINISH)) | 1u << MC_CARRY_ON;
    if (choices & 1u << MC_HOLD)
        ask.days = d->days;
    if (choices & 1u << MC_GO_BACK)
        ask.to = d->to;
    return ask;
}

mc_option_ask decide_ask_alone(const decide_view *d, mc_choice choice) {
    return ask_of(d, 1u << choice, choice == MC_FINISH && d->alone[MC_FINISH].over);
}

mc_option_ask decide_ask_chosen(const decide_view *d) {
    return ask_of(d, d->choices, decide_chosen(d, MC_FINISH) && d->next.over);
}

/* Where there is no more room for another round, all but the usual ones go. */
void decide_weigh_chosen(decide_view *d) {
    if (d->weighed_count == 0 || d->weighed_with != corrected(d))
        decide_weigh_usual(d);
    if (d->weighed_count + MC_CHOICES + 1 > MOST_WEIGHED)
        d->weighed_count = d->usual;
    for (int i = 0; i < MC_CHOICES; i++)
        weigh(d, decide_ask_alone(d, (mc_choice)i));
    if (d->choices)
        weigh(d, decide_ask_chosen(d));
}

/* ---- the rows ---- */

/* Of a hold the one with the days that are proposed. */
static bool is_proposed(const decide_view *d, const decide_row *row, bool all) {
    const mc_proposal *proposal = &d->chart.a->proposal;
    if (row->choice != mc_choice_of(proposal->choice))
        return false;
    bool hold = all && row->choice == MC_HOLD && proposal->days > 0;
    return hold ? row->ask.days == proposal->days : row->first;
}

static void add_row(const decide_view *d, mc_choice choice, const mc_option_ask *ask, bool all,
                    decide_row *out, size_t *count) {
    mc_option_ask standing = decide_ask_alone(d, choice);
    decide_row row = {.choice = choice,
                      .ask = *ask,
                      .first = *count == 0 || out[*count - 1].choice != choice,
                      .taken = decide_chosen(d, choice) && same(ask, &standing)};
    row.proposed = is_proposed(d, &row, all);
    out[(*count)++] = row;
}

/* The usual ones of one choice; what stands and is none of them takes the first one's place, so
 * that there are always as many. */
static void add_rows(const decide_view *d, mc_choice choice, decide_row *out, size_t *count) {
    mc_option_ask standing = decide_ask_alone(d, choice);
    size_t from = *count;
    bool found = false;
    for (size_t i = 0; i < d->usual; i++) {
        if (d->weighed[i].ask.choices != 1u << choice)
            continue;
        add_row(d, choice, &d->weighed[i].ask, true, out, count);
        found = found || same(&d->weighed[i].ask, &standing);
    }
    if (found)
        return;
    size_t after = *count;
    *count = from;
    add_row(d, choice, &standing, true, out, count);
    *count = after > *count ? after : *count;
}

size_t decide_rows(const decide_view *d, bool all, decide_row out[MOST_ROWS]) {
    size_t count = 0;
    for (int i = 0; i < MC_CHOICES; i++) {
        mc_choice choice = (mc_choice)i;
        mc_option_ask standing = decide_ask_alone(d, choice);
        if (all && (choice == MC_HOLD || choice == MC_GO_BACK))
            add_rows(d, choice, out, &count);
        else
            add_row(d, choice, &standing, all, out, &count);
    }
    return count;
}
