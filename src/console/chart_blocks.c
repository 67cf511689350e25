/* The chart's other blocks: the series of each arch, the proposal, and on larger screens the teeth
 * by urgency, the course of one tooth, and the signed decisions. */
#include "chart_ahead.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- where an arch stands in its series ---- */

typedef struct standing {
    int aligner, day, stages;
    double stage;
    mc_day change, end;
    bool over;     /* the last aligner has been worn for its time */
    bool closed;   /* the plan is: a doctor has signed its finish */
    int next;      /* the aligner begun at the change */
    int today;     /* the aligner worn today by the dates */
    mc_day first;  /* of the arch's corrected series, which is awaited; MC_NO_DAY */
    bool expected; /* it is not recorded */
    int old; /* the aligner of the series before that the arch wears until then; 0: none, or it
                is the one that stands above */
    bool not_recorded; /* it has passed, and was not recorded */
} standing;

/* What the arch waits for. */
static void await(const console *con, const mc_assessment *a, mc_arch arch, standing *out) {
    mc_awaited awaited;
    mc_await(&a->turn, con->today, &awaited);
    out->first = awaited.waits[arch] ? awaited.first[arch] : MC_NO_DAY;
    out->expected = !awaited.recorded[arch];
    out->old = !a->turn.waiting && awaited.waits[arch] && awaited.wears[arch] > 0
                   ? awaited.wears[arch]
                   : 0;
    out->not_recorded = awaited.not_recorded[arch];
}

static standing standing_of(const console *con, const chart_view *chart, mc_arch arch) {
    const mc_assessment *a = chart->a;
    const mc_series *series = &a->series[arch];
    bool last = !a->score || a->score->number == a->last_number;
    mc_day on = last ? con->today : a->score->date;
    standing out = {.stages = series->stages, .stage = chart_stage(con, chart, arch)};
    int today = mc_series_aligner_on(series, on, &out.day);
    out.aligner = today;
    if (a->score) {
        out.aligner = a->score->aligner[arch];
        out.day = a->score->day[arch];
    }
    out.next = today + 1;
    out.today = today;
    out.change = mc_series_next_change(series, on);
    out.end = mc_series_end(series);
    out.over = out.end != MC_NO_DAY && out.end <= on;
    out.closed = a->info.status == MC_PLAN_CLOSED;
    if (last)
        await(con, a, arch, &out);
    else
        out.first = MC_NO_DAY;
    return out;
}

/* "worn until new", "exp. 2026-12-16". */
static void draw_waiting_narrow(const theme *look, const standing *s, area box) {
    char day[11];
    mc_day_text(s->first, day);
    if (s->old > 0)
        put_format(look, box.row + 2, box.col, box.cols, STYLE_PLAIN, "wears old %d", s->old);
    else
        put(look, box.row + 2, box.col, box.cols, STYLE_PLAIN, "worn until new");
    put_format(look, box.row + 3, box.col, box.cols, STYLE_PLAIN, "%s %s",
               s->expected ? "exp." : "from", day);
}

/* In 16 columns. */
static void draw_series_narrow(const theme *look, const standing *s, mc_arch arch, area box) {
    char day[11], when[20] = "";
    put_format(look, box.row, box.col, box.cols, STYLE_STRONG,
               s->stages < 100 ? "%s %d of %d" : "%s %d/%d", arch == MC_UPPER ? "upper" : "lower",
               s->aligner, s->stages);
    if (s->day >= 0)
        snprintf(when, sizeof when, "day %d, ", s->day);
    if (s->not_recorded)
        put(look, box.row + 1, box.col, box.cols, STYLE_CARE, "day not recorded");
    else
        put_format(look, box.row + 1, box.col, box.cols, STYLE_PLAIN, "%sst. %.1f", when, s->stage);
    if (s->first != MC_NO_DAY) {
        draw_waiting_narrow(look, s, box);
        return;
    }
    mc_day_text(s->change, day);
    if (s->change == MC_NO_DAY)
        put(look, box.row + 2, box.col, box.cols, STYLE_PLAIN,
            s->closed                ? "plan finished"
            : s->today == s->aligner ? "the last aligner"
                                     : "the last by now");
    else
        put_format(look, box.row + 2, box.col, box.cols, STYLE_PLAIN, "%d on %s", s->next, day);
    mc_day_text(s->end, day);
    put_format(look, box.row + 3, box.col, box.cols, STYLE_PLAIN, "%s %s",
               s->over ? "ended" : "ends ", day);
}

static void draw_waiting_wide(const theme *look, const standing *s, area box) {
    char day[11];
    mc_day_text(s->first, day);
    if (s->old > 0)
        put_format(look, box.row + 1, box.col, box.cols, STYLE_PLAIN,
                   "wears aligner %d of the series before", s->old);
    else
        put(look, box.row + 1, box.col, box.cols, STYLE_PLAIN, "worn until the new series begins");
    put_format(look, box.row + 2, box.col, box.cols, STYLE_PLAIN, "%s %s",
               s->expected ? "that is expected on" : "that is on", day);
}

static void draw_series_wide(const console *con, const standing *s, mc_arch arch, area box) {
    const theme *look = &con->theme;
    char day[11], when[40] = "", due[40];
    if (s->day >= 0)
        snprintf(when, sizeof when, ", day %d", s->day);
    put_format(look, box.row, box.col, box.cols, STYLE_STRONG, "%s aligner %d of %d%s (stage %.1f)",
               arch == MC_UPPER ? "upper" : "lower", s->aligner, s->stages, when, s->stage);
    if (s->first != MC_NO_DAY) {
        draw_waiting_wide(look, s, box);
        return;
    }
    mc_day_text(s->change, day);
    bool ahead = s->change >= con->today; /* not so where an earlier check-up is looked at */
    words_due(s->change, con->today, due, sizeof due);
    if (s->change == MC_NO_DAY)
        put(look, box.row + 1, box.col, box.cols, STYLE_PLAIN,
            s->closed                ? "the plan is finished"
            : s->today == s->aligner ? "this is the last aligner"
                                     : "the last aligner is due by the dates");
    else
        put_format(look, box.row + 1, box.col, box.cols, STYLE_PLAIN, "aligner %d on %s%s%s",
                   s->next, day, ahead ? ", " : "", ahead ? due : "");
    mc_day_text(s->end, day);
    put_format(look, box.row + 2, box.col, box.cols, STYLE_PLAIN, "series %s on %s",
               s->over ? "ended" : "ends", day);
    if (s->not_recorded)
        put(look, box.row + 3, box.col, box.cols, STYLE_CARE, "first day not recorded (s)");
    else if (s->today != s->aligner)
        put_format(look, box.row + 3, box.col, box.cols, STYLE_PLAIN,
                   "by the dates aligner %d has been begun since", s->today);
}

/* The series at the stage looked at, with the day from which its aligner is worn by the dates. */
static void draw_series_ahead(const console *con, const chart_view *chart, mc_arch arch, area box) {
    const theme *look = &con->theme;
    const mc_series *series = &chart->a->series[arch];
    int stage = (int)lround(chart_ahead_stage(con, chart, arch));
    char day[11];
    put_format(look, box.row, box.col, box.cols, STYLE_STRONG,
               series->stages < 100 ? "stage %d of %d" : "stage %d/%d", stage, series->stages);
    put(look, box.row + 1, box.col, box.cols, STYLE_CARE, chart_ahead_way(chart));
    mc_day_text(mc_series_begins(series, stage), day);
    if (stage > 0)
        put_format(look, box.row + 2, box.col, box.cols, STYLE_PLAIN, "from  %s", day);
    mc_day_text(mc_series_end(series), day);
    put_format(look, box.row + 3, box.col, box.cols, STYLE_PLAIN, "ends  %s", day);
}

void chart_draw_series(const console *con, const chart_view *chart, mc_arch arch, area box) {
    enum { WIDE = 46 };
    const theme *look = &con->theme;
    if (!chart->a->has_plan)
        return;
    standing s = standing_of(con, chart, arch);
    if (s.stages == 0)
        put_format(look, box.row, box.col, box.cols, STYLE_PLAIN, "%s: no series",
                   arch == MC_UPPER ? "upper" : "lower");
    else if (chart->steps != 0)
        draw_series_ahead(con, chart, arch, box);
    else if (s.aligner == MC_NO_ALIGNER)
        put_format(look, box.row, box.col, box.cols, STYLE_PLAIN, "%s not looked at",
                   arch == MC_UPPER ? "upper" : "lower");
    else if (box.cols >= WIDE)
        draw_series_wide(con, &s, arch, box);
    else
        draw_series_narrow(look, &s, arch, box);
}

/* ---- the proposal ---- */

void chart_draw_proposal(const console *con, const chart_view *chart, area box) {
    char label[300], text[1300];
    area inside = {box.row, box.col + 1, box.rows, box.cols - 2};
    if (chart->steps != 0) {
        chart_ahead_due(con, chart, text, sizeof text);
        put_wrapped(&con->theme, inside, STYLE_PLAIN, text);
        return;
    }
    if (!chart->a->has_proposal) {
        put_wrapped(&con->theme, inside, STYLE_FAINT,
                    chart->a->score ? "No proposal at this check-up."
                                    : "No proposal: nothing has been scored.");
        return;
    }
    chart_proposal_label(con, chart, label, sizeof label);
    snprintf(text, sizeof text, "%s%s", label, chart->a->proposal.sentence);
    put_wrapped(&con->theme, inside, STYLE_PLAIN, text);
    int bold = (int)strlen(label) - 1;
    paint_over(&con->theme,
               (area){inside.row, inside.col, 1, bold < inside.cols ? bold : inside.cols},
               chart_proposal_style(chart->a));
}

/* ---- the teeth, the most urgent first ---- */

/* A block's heading; while another stage is looked at, it says whose states stand there. */
static void put_states_heading(const theme *look, const chart_view *chart, area box,
                               const char *heading, const char *ahead) {
    char text[80];
    if (chart->steps != 0 && chart->a->score)
        snprintf(text, sizeof text, "%s, as at check-up %d", ahead, chart->a->score->number);
    else
        snprintf(text, sizeof text, "%s", heading);
    put_heading(look, box.row, box.col, box.cols, text);
}

static void draw_listed(const console *con, const chart_view *chart, mc_tooth tooth, int row,
                        area box) {
    const theme *look = &con->theme;
    const mc_tooth_score *score = chart_score(chart, tooth);
    mc_state state = chart_state(chart, tooth);
    char lag[40], code[16];
    int item = score ? score->worst : MC_WORST_NONE;
    words_number(look, score ? score->lag_index : NAN, 2, false, 5, lag, sizeof lag);
    words_code(look, item, tooth, score ? words_way_to_plan(score, item) : 0, code);
    int since = chart->a->behind_since[tooth];
    put_format(look, row, box.col + 1, 3, STYLE_PLAIN, "%3s",
               words_tooth(con->notation, tooth).text);
    put_format(look, row, box.col + 5, 12, style_of_state(state), "%s %s",
               theme_mark(look, mark_of_state(state)), mc_state_word(state));
    put(look, row, box.col + 17, 5, STYLE_PLAIN, lag);
    put(look, row, box.col + 24, 3, STYLE_PLAIN, code);
    if (since > 0)
        put_format(look, row, box.col + 30, 3, STYLE_PLAIN, "%3d", since);
    if (tooth == chart->cursor)
        paint_over(look, (area){row, box.col, 1, 36}, STYLE_SELECTED);
}

void chart_draw_teeth(const console *con, const chart_view *chart, area box) {
    const theme *look = &con->theme;
    mc_tooth teeth[MC_TEETH];
    size_t matters = 0;
    int count = (int)chart_by_urgency(chart, teeth, &matters);
    put_states_heading(look, chart, box, "Teeth, the most urgent first", "Teeth");
    put(look, box.row + 1, box.col + 1, 35, STYLE_HEADING, "    state         lag  item  since");
    int room = box.rows - 2;
    bool cut = count > room;
    for (int i = 0; i < count && i < room - cut; i++)
        draw_listed(con, chart, teeth[i], box.row + 2 + i, box);
    if (cut)
        put_format(look, box.row + box.rows - 1, box.col + 5, box.cols - 5, STYLE_FAINT,
                   "and %d more", count - room + 1);
}

/* Every tooth that matters, in words. */
void chart_draw_sentences(const console *con, const chart_view *chart, area box) {
    const theme *look = &con->theme;
    mc_tooth teeth[MC_TEETH];
    size_t matters = 0;
    chart_by_urgency(chart, teeth, &matters);
    put_states_heading(look, chart, box, "In words", "In words");
    int row = box.row + 1, end = box.row + box.rows;
    if (matters == 0)
        put(look, row, box.col + 1, box.cols - 1, STYLE_PLAIN,
            chart->a->score ? "no tooth measured is slipping or worse" : "nothing is measured");
    for (size_t i = 0; i < matters && row < end; i++) {
        char text[1500];
        mc_state state = chart_state(chart, teeth[i]);
        chart_sentence(con, chart, teeth[i], text, sizeof text);
        put_format(look, row, box.col + 1, 5, style_of_state(state), "%s %s",
                   words_tooth(con->notation, teeth[i]).text,
                   theme_mark(look, mark_of_state(state)));
        row +=
            put_wrapped(look, (area){row, box.col + 7, end - row, box.cols - 8}, STYLE_PLAIN, text);
    }
}

/* ---- the course of one tooth over the check-ups ---- */

static void draw_course(const console *con, const mc_score *score, mc_tooth tooth, int row,
                        area box) {
    const theme *look = &con->theme;
    const mc_tooth_score *t = &score->tooth[tooth];
    char day[11], number[40], code[16];
    mc_day_text(score->date, day);
    put_format(look, row, box.col + 1, 15, STYLE_PLAIN, "%3d %s", score->number, day);
    words_number(look, score->effective_stage[mc_tooth_arch(tooth)], 1, false, 6, number,
                 sizeof number);
    put(look, row, box.col + 17, 6, STYLE_PLAIN, number);
    put_format(look, row, box.col + 25, 12, style_of_state(t->state), "%s %s",
               theme_mark(look, mark_of_state(t->state)), mc_state_word(t->state));
    words_number(look, t->lag_index, 2, false, 5, number, sizeof number);
    put(look, row, box.col + 38, 5, STYLE_PLAIN, number);
    words_code(look, t->worst, tooth, words_way_to_plan(t, t->worst), code);
    put(look, row, box.col + 45, 3, STYLE_PLAIN, code);
    words_number(look, t->lag_stages, 1, true, 6, number, sizeof number);
    put(look, row, box.col + 54, 6, STYLE_PLAIN, number);
    words_number(look, 100 * t->tracked_share, 0, false, 4, number, sizeof number);
    put(look, row, box.col + 65, 4, STYLE_PLAIN, number);
    words_number(look, t->seat_gap, 2, false, 5, number, sizeof number);
    put(look, row, box.col + 73, 5, STYLE_PLAIN, number);
}

void chart_draw_trend(const console *con, const chart_view *chart, area box) {
    const theme *look = &con->theme;
    const mc_assessment *a = chart->a;
    if (chart->cursor == MC_NO_TOOTH)
        return;
    char text[60];
    snprintf(text, sizeof text, "%s over the check-ups, the latest first",
             words_tooth(con->notation, chart->cursor).text);
    put_heading(look, box.row, box.col, box.cols, text);
    if (a->checkups == 0) {
        put(look, box.row + 1, box.col + 1, box.cols - 1, STYLE_PLAIN, "no check-up yet");
        return;
    }
    put(look, box.row + 1, box.col + 1, box.cols - 1, STYLE_HEADING,
        "check-up        stage   state          lag  item  lag in stages share % gap mm");
    for (int i = 0; i < (int)a->checkups && i < box.rows - 2; i++)
        draw_course(con, &a->scores[a->checkups - 1 - (size_t)i], chart->cursor, box.row + 2 + i,
                    box);
}

/* ---- signed decisions ---- */

void chart_draw_decisions(const console *con, const chart_view *chart, area box) {
    const theme *look = &con->theme;
    const mc_assessment *a = chart->a;
    put_heading(look, box.row, box.col, box.cols, "Signed decisions, the latest first");
    if (a->decision_count == 0)
        put(look, box.row + 1, box.col + 1, box.cols - 1, STYLE_PLAIN, "none yet");
    int row = box.row + 1;
    for (size_t i = a->decision_count; i > 0 && row < box.row + box.rows; i--, row++) {
        const mc_decision *d = &a->decisions[i - 1];
        char choices[160], days[40] = "", to[40] = "";
        words_choices(d->choices, choices, sizeof choices);
        if (d->days > 0)
            snprintf(days, sizeof days, " (%d days)", d->days);
        if (d->to >= 0)
            snprintf(to, sizeof to, " to aligner %d", d->to);
        put_format(look, row, box.col + 1, box.cols - 1, STYLE_PLAIN,
                   "%.10s %-3s check-up %d: %s%s%s%s%s", d->at, d->by, d->checkup, choices, to,
                   days, d->reason[0] ? "; " : "", d->reason);
    }
}

void chart_draw_caution(const console *con, area box) {
    put(&con->theme, box.row, box.col + 1, box.cols - 2, STYLE_FAINT, CHART_CAUTION);
}
