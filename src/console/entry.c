/* The check-up form: its parts in their places, opened and left. */
#include "entry.h"

#include "entry_view.h"
#include "midcourse/exchange.h"

#include <stdio.h>
#include <stdlib.h>

/* ---- drawing ---- */

static void title(const console *con, const void *self, char *left, size_t size) {
    enum { NAME_COLS = 28 };
    const entry *e = self;
    const mc_checkup *checkup = mc_draft_checkup(e->draft);
    char label[MC_LABEL_SIZE], day[11], name[400];
    mc_case_label(&e->shown.kase, label);
    mc_text_fit(frame_name(con, &e->shown.kase), NAME_COLS, con->theme.ascii, name, sizeof name);
    mc_day_text(checkup->date, day);
    snprintf(left, size, "%s %s  check-up %d being entered, %s", label, name,
             mc_draft_number(e->draft), day);
}

static bool reviewing(const console *con, const entry *e) {
    return e->reviewing && con->answer != 0;
}

static void draw_tooth(console *con, const entry *e, const entry_layout *at) {
    if (e->pass == ENTRY_FRAME) {
        entry_draw_frame(con, e, at->block);
        return;
    }
    entry_draw_heading(con, e, at->heading);
    entry_draw_table(con, e, at->table);
    entry_draw_findings(con, e, at->findings);
    entry_draw_box(con, e, at->block);
}

/* The tooth and how far the check-up is, or what is to be completed, with all that is unlikely. */
static void draw_left(console *con, const entry *e, const entry_layout *at) {
    area review = at->block;
    if (reviewing(con, e) && e->warnings.count > 0)
        review.rows = at->proposal.row + at->proposal.rows - review.row;
    if (reviewing(con, e))
        entry_draw_review(con, e, review);
    else
        draw_tooth(con, e, at);
    if (review.rows > at->block.rows)
        return;
    entry_draw_whole(con, e, at->whole);
    entry_draw_proposal(con, e, at->proposal);
}

static void draw_words(const console *con, const entry *e, area box) {
    char text[1500];
    chart_sentence(con, &e->chart, e->chart.cursor, text, sizeof text);
    put_wrapped(&con->theme, (area){box.row, box.col + 1, box.rows, box.cols - 2}, STYLE_PLAIN,
                text);
}

/* Where nothing was just done, the status line tells what the field takes. */
static void draw_hint(console *con, const entry *e) {
    char hint[300];
    if (con->status[0] != '\0' || frame_is_asking(con))
        return;
    entry_hint(con, e, hint, sizeof hint);
    frame_say(con, "%s", hint);
}

static void draw(console *con, void *self, area body) {
    const entry *e = self;
    entry_layout at = entry_lay_out(body);
    chart_draw_arch(con, &e->chart, MC_UPPER, at.upper);
    chart_draw_arch(con, &e->chart, MC_LOWER, at.lower);
    chart_draw_rule(con, &e->chart, at.rule);
    entry_draw_gaps(con, e, MC_UPPER, at.upper);
    entry_draw_gaps(con, e, MC_LOWER, at.lower);
    entry_draw_side(con, e, MC_UPPER, at.side[MC_UPPER]);
    entry_draw_side(con, e, MC_LOWER, at.side[MC_LOWER]);
    draw_left(con, e, &at);
    if (at.words.rows > 0)
        draw_words(con, e, at.words);
    if (at.trend.rows > 0)
        chart_draw_trend(con, &e->chart, at.trend);
    if (at.said.rows > 0)
        entry_draw_said(con, e, at.said);
    if (at.sentences.rows > 0)
        chart_draw_sentences(con, &e->chart, at.sentences);
    chart_draw_caution(con, at.caution);
    draw_hint(con, e);
}

/* ---- two at once ---- */

static bool idle(console *con, void *self) {
    entry *e = self;
    bool changed = false;
    mc_error error = {0};
    if (frame_is_asking(con))
        return false;
    if (entry_left_gone(con, e))
        return true;
    if (mc_draft_look(e->draft, &changed, &error) != MC_OK) {
        entry_take_in(e);
        bool begun = e->begun;
        if (!entry_left_gone(con, e) || !begun)
            frame_refuse(con, &error);
        return true;
    }
    if (!changed)
        return false;
    entry_take_in(e);
    if (entry_left_gone(con, e))
        return true;
    frame_say(con, "Somebody else has changed something: this is how it stands now.");
    return true;
}

static void close_entry(void *self) {
    entry *e = self;
    mc_draft_close(e->draft);
    mc_warnings_free(&e->warnings);
    free(e);
}

static const screen_ops OPS = {.name = "check-up form",
                               .keys = ENTRY_KEYS,
                               .typing = ENTRY_TYPING,
                               .typed = entry_typed,
                               .title = title,
                               .draw = draw,
                               .marks = entry_marks,
                               .idle = idle,
                               .close = close_entry};

/* ---- opening ---- */

static void say_opened(console *con, const entry *e) {
    size_t steps = mc_draft_steps(e->draft);
    if (steps > 0)
        frame_say(con, "Check-up %d goes on where it stood: %zu step%s so far.",
                  mc_draft_number(e->draft), steps, steps == 1 ? "" : "s");
}

/* To the first gap that is not said; where all are, to the tooth most worth reading, so that a
 * digit does not change the gap of the first tooth. */
static void go_on(entry *e, mc_tooth first) {
    mc_tooth unsaid = entry_first_unsaid(e);
    entry_go(e, unsaid == MC_NO_TOOTH ? first : unsaid);
    if (unsaid == MC_NO_TOOTH && entry_count(e).gaps > 0)
        entry_offer(e);
}

void entry_open(console *con, const mc_case *kase, void (*after)(console *con, void *below)) {
    mc_error error = {0};
    mc_tooth teeth[MC_TEETH];
    entry *e = calloc(1, sizeof *e);
    if (!e) {
        frame_say(con, "Out of memory.");
        return;
    }
    e->after = after;
    if (mc_draft_open(con->practice, kase, &e->draft, &error) != MC_OK) {
        frame_refuse(con, &error);
        close_entry(e);
        return;
    }
    entry_take_in(e);
    if (entry_walk(e, teeth) == 0) {
        frame_say(con, "No tooth stands in this mouth.");
        close_entry(e);
        return;
    }
    go_on(e, teeth[0]);
    frame_open(con, &OPS, e);
    say_opened(con, e);
}

void entry_say_open(console *con, const mc_case *kase) {
    mc_checkup_info info = {0};
    mc_step *steps = NULL;
    size_t count = 0;
    bool found = false;
    mc_error ignored; /* whatever it is, e tells it */
    mc_status status = mc_record_open_checkup(mc_practice_record(con->practice), &kase->id, &info,
                                              &steps, &count, &found, &ignored);
    if (status == MC_OK && found)
        frame_say(con, "Check-up %d is being entered: e goes on with it.", info.checkup.number);
    free(steps);
    free((void *)(uintptr_t)info.checkup.note);
}
