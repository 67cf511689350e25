/* The chart screen: its keys and its parts in their places. */
#include "chart.h"

#include "chart_ahead.h"
#include "decide.h"
#include "entry.h"
#include "history.h"
#include "import_plan.h"
#include "midcourse/exchange.h"
#include "occlusal.h"
#include "series_days.h"
#include "tooth.h"
#include "words.h"

#include <ctype.h>
#include <curses.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- drawing ---- */

void chart_title(const console *con, const void *self, char *left, size_t size) {
    const chart_view *chart = self;
    const mc_assessment *a = chart->a;
    enum { NAME_COLS = 28 };
    char label[MC_LABEL_SIZE], day[11], checkup[120], name[400];
    mc_case_label(&a->kase, label);
    mc_text_fit(frame_name(con, &a->kase), NAME_COLS, con->theme.ascii, name, sizeof name);
    if (a->score) {
        mc_day_text(a->score->date, day);
        snprintf(checkup, sizeof checkup, "check-up %d of %d%s, %s, %s", a->score->number,
                 a->last_number, a->checkup.version > 1 ? " (amended)" : "", day,
                 mc_method_name(a->checkup.checkup.method));
    } else {
        snprintf(checkup, sizeof checkup,
                 a->last_number > 0 ? "no check-up on this plan" : "no check-up");
    }
    if (chart->steps != 0) {
        char stage[40];
        chart_ahead_name(con, chart, stage, sizeof stage);
        snprintf(checkup, sizeof checkup, "%s (%s)", stage, chart_ahead_way(chart));
    }
    snprintf(left, size, "%s %s  %s", label, name, checkup);
}

static void draw_words(const console *con, const chart_view *chart, area box) {
    char text[1500] = "";
    if (chart->cursor != MC_NO_TOOTH && chart->steps != 0)
        chart_ahead_sentence(con, chart, chart->cursor, text, sizeof text);
    else if (chart->cursor != MC_NO_TOOTH)
        chart_brief(con, chart, chart->cursor, box.rows, box.cols - 2, text, sizeof text);
    else
        chart_statement(chart, text, sizeof text);
    put_wrapped(&con->theme, (area){box.row, box.col + 1, box.rows, box.cols - 2}, STYLE_PLAIN,
                text);
}

static void place_cursor(console *con, const chart_view *chart, const chart_layout *at) {
    if (chart->cursor == MC_NO_TOOTH)
        return;
    bool upper = mc_tooth_arch(chart->cursor) == MC_UPPER;
    con->cursor_row = upper ? at->upper.row + ARCH_ROWS - 1 : at->lower.row;
    con->cursor_col = CELL_COLS * chart_place_of(chart->cursor);
}

/* As on the occlusal screen, smaller; a case that is just opened does not wait for it. */
static void draw_arches(console *con, chart_view *chart, area box) {
    if (!chart->crowns.known && !chart->crowns.found) {
        chart->crowns.waited_for = true;
        con->busy = true;
        return;
    }
    char text[200];
    const arch_sight sight = {
        .arch = {true, true}, .selected = chart->cursor, .notation = con->notation};
    arch_drawn drawn;
    area above = {box.row, box.col, box.rows - 1, box.cols};
    chart_draw_crowns(con, chart, &sight, above, &drawn);
    chart_crowns_text(chart, &drawn, text, sizeof text);
    put(&con->theme, box.row + box.rows - 1, box.col + 1, box.cols - 1, STYLE_FAINT, text);
}

static void draw(console *con, void *self, area body) {
    chart_view *chart = self;
    chart_layout at = chart_lay_out(body);
    chart_draw_arch(con, chart, MC_UPPER, at.upper);
    chart_draw_arch(con, chart, MC_LOWER, at.lower);
    chart_draw_rule(con, chart, at.rule);
    chart_draw_ends(con, chart, at.ends);
    chart_draw_series(con, chart, MC_UPPER, at.upper_series);
    chart_draw_series(con, chart, MC_LOWER, at.lower_series);
    chart_draw_heading(con, chart, at.heading);
    draw_words(con, chart, at.words);
    chart_draw_table(con, chart, at.table, at.full_table);
    chart_draw_proposal(con, chart, at.proposal);
    if (at.trend.rows > 0)
        chart_draw_trend(con, chart, at.trend);
    if (at.teeth.rows > 0)
        chart_draw_teeth(con, chart, at.teeth);
    if (at.sentences.rows > 0)
        chart_draw_sentences(con, chart, at.sentences);
    if (at.decisions.rows > 0)
        chart_draw_decisions(con, chart, at.decisions);
    if (at.arches.rows > 0)
        draw_arches(con, chart, at.arches);
    chart_draw_caution(con, at.caution);
    place_cursor(con, chart, &at);
}

/* Where the crowns stand is found out before the arches are asked for. */
static bool idle(console *con, void *self) {
    chart_view *chart = self;
    bool waited_for = chart->crowns.waited_for;
    (void)con;
    chart_find_crowns(chart);
    chart->crowns.waited_for = false;
    return waited_for;
}

static void close_chart(void *self) {
    chart_view *chart = self;
    mc_assessment_free(chart->a);
    free(chart);
}

/* ---- moving among the teeth ---- */

static void left(console *con, void *self) {
    (void)con;
    chart_move_along(self, -1);
}

static void right(console *con, void *self) {
    (void)con;
    chart_move_along(self, 1);
}

static void up(console *con, void *self) {
    (void)con;
    chart_cross_over(self, MC_UPPER);
}

static void down(console *con, void *self) {
    (void)con;
    chart_cross_over(self, MC_LOWER);
}

static void home(console *con, void *self) {
    (void)con;
    chart_move_along(self, -MC_TEETH);
}

static void end(console *con, void *self) {
    (void)con;
    chart_move_along(self, MC_TEETH);
}

/* From one tooth that matters to the next, round and round. */
void chart_step_matters(console *con, chart_view *chart, int step) {
    mc_tooth teeth[MC_TEETH];
    size_t matters = 0;
    chart_by_urgency(chart, teeth, &matters);
    int count = (int)matters, at = 0;
    if (count == 0) {
        frame_say(con, chart->a->score ? "No tooth measured is slipping or worse."
                                       : "Nothing is measured.");
        return;
    }
    while (at < count && teeth[at] != chart->cursor)
        at++;
    if (at == count)
        at = step > 0 ? 0 : count - 1;
    else
        at = (at + step + count) % count;
    chart->cursor = teeth[at];
    frame_say(con, "%d of %d that matter", at + 1, count);
}

static void next_matters(console *con, void *self) {
    chart_step_matters(con, self, 1);
}

static void last_matters(console *con, void *self) {
    chart_step_matters(con, self, -1);
}

/* ---- other keys ---- */

/* Look whether a check-up is being entered, here or at another console. */
static void look_for_open(const console *con, chart_view *chart) {
    mc_checkup_info info = {0};
    mc_step *steps = NULL;
    size_t count = 0;
    bool found = false;
    chart->entering = 0;
    if (!con->practice ||
        mc_record_open_checkup(mc_practice_record(con->practice), &chart->a->kase.id, &info, &steps,
                               &count, &found, NULL) != MC_OK)
        return;
    if (found)
        chart->entering = chart->a->last_number + 1;
    free(steps);
    free((void *)(uintptr_t)info.checkup.note);
}

/* Show another check-up (0: the last) of the same case, the cursor staying on its tooth. */
static bool show_checkup(console *con, chart_view *chart, int number) {
    mc_assessment *a = NULL;
    mc_error error = {0};
    if (mc_assess(con->practice, &chart->a->kase, number, false, &a, &error) != MC_OK) {
        frame_refuse(con, &error);
        return false;
    }
    mc_assessment_free(chart->a);
    chart->a = a;
    chart->steps = 0;
    chart->crowns.known = false;
    look_for_open(con, chart);
    if (chart->cursor != MC_NO_TOOTH && !chart_stands(chart, chart->cursor))
        chart_move_along(chart, 0);
    return true;
}

void chart_earlier(console *con, void *self) {
    chart_view *chart = self;
    const mc_assessment *a = chart->a;
    int number = a->score ? a->score->number - 1 : a->last_number;
    if (number < 1)
        frame_say(con, a->last_number > 0 ? "This is the first check-up." : "No check-up yet.");
    else if (show_checkup(con, chart, number))
        frame_say(con, "Check-up %d of %d.", number, chart->a->last_number);
}

void chart_later(console *con, void *self) {
    chart_view *chart = self;
    const mc_assessment *a = chart->a;
    if (!a->score || a->score->number >= a->last_number)
        frame_say(con, a->last_number > 0 ? "This is the last check-up." : "No check-up yet.");
    else if (show_checkup(con, chart, a->score->number + 1))
        frame_say(con, "Check-up %d of %d.", chart->a->score->number, chart->a->last_number);
}

bool chart_show_last(console *con, void *chart) {
    return show_checkup(con, chart, 0);
}

static void read_again(console *con, void *self) {
    if (chart_show_last(con, self))
        frame_say(con, "Read again, the last check-up.");
}

/* ---- the plan's other stages ---- */

static void step_stage(console *con, chart_view *chart, int step) {
    char name[40];
    if (!chart->a->has_plan) {
        frame_say(con, "No plan has been imported for this case yet.");
        return;
    }
    if (!chart_ahead_step(con, chart, step)) {
        frame_say(con, step > 0 ? "The plan ends here." : "The plan begins here.");
        return;
    }
    chart_ahead_name(con, chart, name, sizeof name);
    if (chart->steps == 0)
        frame_say(con, "The check-up's own stage.");
    else
        frame_say(con, "The plan at %s, %s: no score of today. 0 goes back.", name,
                  chart_ahead_way(chart));
}

void chart_stage_later(console *con, void *self) {
    step_stage(con, self, 1);
}

void chart_stage_earlier(console *con, void *self) {
    step_stage(con, self, -1);
}

void chart_stage_own(console *con, void *self) {
    chart_view *chart = self;
    chart->steps = 0;
    frame_say(con, "The check-up's own stage.");
}

static void tooth_over_time(console *con, void *self) {
    tooth_open(con, self);
}

static void occlusal_view_open(console *con, void *self) {
    occlusal_open(con, self);
}

static void only_off(console *con, void *self) {
    chart_view *chart = self;
    chart->only_off = !chart->only_off;
    if (!chart->only_off)
        frame_say(con, "All teeth are shown.");
    else if (chart->steps != 0)
        frame_say(con, "Only the teeth that move on from this stage; m shows all.");
    else
        frame_say(con, "Teeth on plan or seated are hidden; m shows all.");
}

static void history(console *con, void *self) {
    const chart_view *chart = self;
    history_open(con, &chart->a->kase);
}

/* ---- the plan that a case begins with ---- */

static void plan_imported(console *con, void *self, const mc_plan_info *info) {
    char day[11];
    mc_day_text(info->start, day);
    if (show_checkup(con, self, 0))
        frame_say(con, "Plan %d is imported; its first aligner is begun on %s.", info->number, day);
}

static void ask_plan(console *con, void *self) {
    import_plan_ask(con, &((chart_view *)self)->a->kase, plan_imported);
}

static void import_plan(console *con, void *self) {
    const mc_assessment *a = ((chart_view *)self)->a;
    if (a->kase.closed != MC_NO_DAY)
        frame_say(con, "This case is closed.");
    else if (a->has_plan && (a->info.status == MC_PLAN_ACTIVE || a->turn.waiting))
        frame_say(con, "This case has plan %d already: a new one is opened by a signed correction.",
                  a->turn.waiting ? a->turn.next.number : a->info.number);
    else
        frame_with_role(con, BY_CHAIR, "imports a plan", ask_plan);
}

/* ---- a corrected series on its way ---- */

static void days_recorded(console *con, void *self) {
    chart_view *chart = self;
    mc_outlook outlook;
    char text[MC_OUTLOOK_TEXT_SIZE];
    if (!show_checkup(con, chart, 0))
        return;
    mc_outlook_of(chart->a, NULL, con->today, NULL, &outlook);
    mc_outlook_text(&outlook, text);
    frame_say(con, "Recorded. Next: %s.", text);
}

static void ask_days(console *con, void *self) {
    series_days_ask(con, ((chart_view *)self)->a, days_recorded);
}

static void series_days(console *con, void *self) {
    const mc_assessment *a = ((chart_view *)self)->a;
    if (a->kase.closed != MC_NO_DAY)
        frame_say(con, "This case is closed.");
    else if (!a->turn.corrected)
        frame_say(con, "No corrected series is on its way: a signed correction orders one.");
    else
        frame_with_role(con, BY_CHAIR, "records the days of a series", ask_days);
}

/* "Since check-up 2 (2026-10-13). ", "" where it is not behind. */
static void since_text(const chart_view *chart, mc_tooth tooth, char *out, size_t size) {
    int since = chart->a->behind_since[tooth];
    char day[11];
    out[0] = '\0';
    for (size_t i = 0; i < chart->a->checkups; i++) {
        if (since == 0 || chart->a->scores[i].number != since)
            continue;
        mc_day_text(chart->a->scores[i].date, day);
        snprintf(out, size, "Since check-up %d (%s). ", since, day);
    }
}

static void say_tooth(const console *con, const chart_view *chart, mc_tooth tooth, pager *page) {
    char text[1600], label[60];
    mc_state state = chart_state(chart, tooth);
    since_text(chart, tooth, text, sizeof text);
    size_t used = strlen(text);
    chart_sentence(con, chart, tooth, text + used, sizeof text - used);
    snprintf(label, sizeof label, "%s %s %s", words_tooth(con->notation, tooth).text,
             theme_mark(&con->theme, mark_of_state(state)), mc_state_word(state));
    pager_add(page, style_of_state(state), label, text);
}

/* What the plan asks at the stage looked at, of every tooth that moves on from there. */
static void stage_in_words(console *con, const chart_view *chart) {
    char text[1500], stage[40], label[120];
    chart_ahead_name(con, chart, stage, sizeof stage);
    snprintf(label, sizeof label, "%s, the plan at %s (%s)", chart->a->kase.chart, stage,
             chart_ahead_way(chart));
    pager *page = pager_new(label);
    if (!page) {
        frame_say(con, "Out of memory.");
        return;
    }
    pager_heading(page, "Due at this stage");
    chart_ahead_due(con, chart, text, sizeof text);
    pager_add(page, STYLE_PLAIN, "", text);
    pager_heading(page, "Teeth that move on to the next stage");
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++) {
        if (!chart_stands(chart, tooth) || !chart_ahead_moves(con, chart, tooth))
            continue;
        chart_ahead_sentence(con, chart, tooth, text, sizeof text);
        pager_add(page, STYLE_STRONG, words_tooth(con->notation, tooth).text, text);
    }
    pager_open(con, page);
}

static void waiting_in_words(const console *con, const chart_view *chart, pager *page) {
    char text[MC_WAITING_TEXT_SIZE], caution[MC_INTERIM_TEXT_SIZE];
    mc_awaited awaited;
    mc_await(&chart->a->turn, con->today, &awaited);
    mc_waiting_text(&awaited, text);
    mc_waiting_caution(&awaited, caution);
    if (text[0] == '\0')
        return;
    pager_heading(page, "The corrected series (s)");
    pager_add(page, STYLE_PLAIN, "", text);
    if (caution[0] != '\0')
        pager_add(page, STYLE_CARE, "caution", caution);
}

static void outlook_in_words(const console *con, const chart_view *chart, pager *page) {
    char text[240];
    chart_outcome_text(chart, text, sizeof text);
    if (text[0] == '\0')
        return;
    pager_heading(page, "Where it will end");
    pager_add(page, STYLE_PLAIN, "", text);
    chart_pace_text(con, chart, text, sizeof text);
    pager_add(page, STYLE_PLAIN, "", text);
}

void chart_in_words(console *con, void *self) {
    chart_view *chart = self;
    const mc_assessment *a = chart->a;
    if (chart->steps != 0) {
        stage_in_words(con, chart);
        return;
    }
    char label[300], statement[200];
    mc_tooth teeth[MC_TEETH];
    snprintf(label, sizeof label, "%s  in words", a->kase.chart); /* a page hides no name */
    pager *page = pager_new(label);
    if (!page) {
        frame_say(con, "Out of memory.");
        return;
    }
    chart_statement(chart, statement, sizeof statement);
    if (statement[0])
        pager_add(page, STYLE_PLAIN, "", statement);
    if (a->has_proposal) {
        chart_proposal_label(con, chart, label, sizeof label);
        label[strlen(label) - 2] = '\0';
        pager_heading(page, label);
        pager_add(page, STYLE_PLAIN, "", a->proposal.sentence);
    }
    pager_add(page, STYLE_FAINT, "", CHART_CAUTION);
    waiting_in_words(con, chart, page);
    outlook_in_words(con, chart, page);
    size_t matters = 0;
    size_t count = chart_by_urgency(chart, teeth, &matters);
    if (count > 0)
        pager_heading(page, matters > 0 ? "Every tooth that matters, then the one under the cursor"
                                        : "The tooth under the cursor");
    bool said = false;
    for (size_t i = 0; i < matters; i++) {
        say_tooth(con, chart, teeth[i], page);
        said |= teeth[i] == chart->cursor;
    }
    if (count > 0 && !said)
        say_tooth(con, chart, chart->cursor, page);
    pager_open(con, page);
}

/* ---- entry ---- */

/* The tooth that the proposal is about, else the most urgent; where nothing was read, the first
 * that stands. */
static mc_tooth first_tooth(const chart_view *chart) {
    mc_tooth teeth[MC_TEETH];
    size_t matters = 0;
    const mc_assessment *a = chart->a;
    if (a->has_proposal && a->proposal.count > 0 && chart_stands(chart, a->proposal.teeth[0]))
        return a->proposal.teeth[0];
    return chart_by_urgency(chart, teeth, &matters) > 0 ? teeth[0] : MC_NO_TOOTH;
}

/* A check-up that has come since is looked at from its own first tooth. */
static void entry_completed(console *con, void *below) {
    chart_view *chart = below;
    int before = chart->a->last_number;
    if (show_checkup(con, chart, 0) && chart->a->last_number != before)
        chart->cursor = first_tooth(chart);
}

static void begin_entry(console *con, void *self) {
    const chart_view *chart = self;
    entry_open(con, &chart->a->kase, entry_completed);
}

static void enter_checkup(console *con, void *self) {
    (void)self;
    frame_with_role(con, BY_CHAIR, "enters a check-up", begin_entry);
}

static const key_row KEYS[] = {
    {KEY_ESC, 'q', "Esc", "back", "back to the roster (q too)", frame_back},
    {'\t', 0, "Tab", "next",
     "to the next tooth that matters, the most urgent first; one that needs care matters",
     next_matters},
    {KEY_BTAB, 0, "Shift-Tab", NULL, "to the one before", last_matters},
    {'e', 0, "e", "enter",
     "enter a check-up, or go on with the open one (a doctor or an assistant)", enter_checkup},
    {'t', '\n', "t", "tooth",
     "the tooth under the cursor over time, each movement to its end (Enter too)", tooth_over_time},
    {'d', 0, "d", "decide", "decide on the last check-up: choose and sign", decide_open},
    {'[', ',', "[ ]", "check-up", "the check-up before (, too), or after", chart_earlier},
    {']', '.', "]", NULL, "the check-up after (. too)", chart_later},
    {'o', 0, "o", "occlusal", "the arches as seen from the occlusal side, on this tooth",
     occlusal_view_open},
    {'w', 0, "w", "words", "the proposal in full and every tooth that matters in words",
     chart_in_words},
    {'+', '=', "+ -", "stage", "the plan a stage on (= too), or back", chart_stage_later},
    {'-', 0, "-", NULL, "the plan a stage back", chart_stage_earlier},
    {'0', 0, "0", NULL, "back to the check-up's own stage", chart_stage_own},
    {'r', 0, "r", "history", "what was done with this case, by whom and when", history},
    {'m', 0, "m", "matters", "hide the teeth on plan or seated, or show all", only_off},
    {'p', 0, "p", "plan", "import the plan that the case begins with", import_plan},
    {'s', 0, "s", "series", "record that a corrected series was delivered, and its first days",
     series_days},
    {'n', 0, "n", NULL, "the next tooth notation", chart_change_notation},
    {KEY_LEFT, 'h', "Left", NULL, "a tooth to the left on the screen (h too)", left},
    {KEY_RIGHT, 'l', "Right", NULL, "a tooth to the right (l too)", right},
    {KEY_UP, 'k', "Up", NULL, "to the upper arch (k too)", up},
    {KEY_DOWN, 'j', "Down", NULL, "to the lower arch (j too)", down},
    {KEY_HOME, 0, "Home", NULL, "to the first tooth of the arch, the patient's right", home},
    {KEY_END, 0, "End", NULL, "to the last tooth of the arch", end},
    {KEY_F(5), 0, "F5", NULL, "read the record again and show the last check-up", read_again},
    {0}};

static const screen_ops OPS = {.name = "chart",
                               .keys = KEYS,
                               .title = chart_title,
                               .draw = draw,
                               .marks = chart_marks,
                               .idle = idle,
                               .close = close_chart};

/* ---- opening ---- */

/* "Waiting: wears upper 12; new series expected 2026-12-16. s records its delivery and first day."
 */
static void say_waiting(console *con, const mc_assessment *a) {
    char text[MC_WAITING_TEXT_SIZE], caution[MC_INTERIM_TEXT_SIZE];
    mc_awaited awaited;
    mc_await(&a->turn, con->today, &awaited);
    mc_waiting_text(&awaited, text);
    mc_waiting_caution(&awaited, caution);
    if (text[0] == '\0')
        return;
    text[0] = (char)toupper((unsigned char)text[0]);
    frame_say(con, "%s.%s%s%s s records its delivery and first days.", text,
              *caution ? " Caution: " : "", caution, *caution ? "." : "");
}

void chart_show(console *con, mc_assessment *assessment) {
    chart_view *chart = calloc(1, sizeof *chart);
    if (!chart) {
        mc_assessment_free(assessment);
        frame_say(con, "Out of memory.");
        return;
    }
    chart->a = assessment;
    chart->cursor = first_tooth(chart);
    look_for_open(con, chart);
    frame_open(con, &OPS, chart);
    char day[11];
    mc_day_text(assessment->kase.closed, day);
    if (assessment->kase.closed != MC_NO_DAY)
        frame_say(con, "This case was closed on %s.", day);
    else if (chart->entering > 0)
        frame_say(con, "Check-up %d is being entered: e goes on with it.", chart->entering);
    else if (assessment->decision_due)
        frame_say(con, "A decision waits on this check-up.");
    else
        say_waiting(con, assessment);
}

mc_status chart_open(console *con, const mc_case *kase, int number, mc_error *error) {
    mc_assessment *a = NULL;
    mc_status status = mc_assess(con->practice, kase, number, false, &a, error);
    if (status != MC_OK)
        return status;
    chart_show(con, a);
    entry_say_open(con, kase);
    return status;
}
