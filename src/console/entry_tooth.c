/* The tooth under the cursor as it is entered: its table, its findings, the field's box. */
#include "entry_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { COLUMNS = FIELD_LAST_COMPONENT + 1, LABEL_COLS = 9, NOTE_COLS = 4, ENTERED_ROW = 3 };

/* Columns as in the chart's table: where each begins, how far its point stands from there. */
static const struct {
    int col, point, cols;
    const char *heading;
} COLUMN[COLUMNS] = {
    {10, 2, 6, "gap mm"},    {17, 2, 9, "mesial mm"}, {27, 2, 9, "buccal mm"},
    {37, 2, 9, "occl. mm"},  {47, 3, 9, "rot. deg"},  {58, 3, 9, "ang. deg"},
    {69, 3, 9, "incl. deg"},
};

/* The findings: where each stands, and its heading with the letter that goes there. */
static const struct {
    int col, cols;
    const char *heading;
} FINDING[] = {
    {1, 12, "b attachment"}, {15, 13, "c contact mes"}, {30, 6, "dis"},
    {38, 10, "m mobility"},  {50, 6, "p pain"},         {58, 10, "w swelling"},
    {70, 9, "x rec. mm"},
};

typedef struct cell {
    double value;
    char note[16];
    bool is_signed, joined;
    bool in_words; /* the note stands in the number's place */
    style ink;
} cell;

static bool is_angle(int column) {
    return column != FIELD_GAP && !mc_component_is_linear((mc_component)(column - FIELD_COMPONENT));
}

static void draw_cell(const theme *look, int row, int left, int column, const cell *c) {
    char number[40];
    int col = left + COLUMN[column].col, decimals = is_angle(column) ? 1 : 2;
    int width = COLUMN[column].point + 1 + decimals;
    if (c->in_words) {
        put(look, row, col + 1, NOTE_COLS, c->ink, c->note);
        return;
    }
    words_number(look, c->value, decimals, c->is_signed, width, number, sizeof number);
    put(look, row, col, width, isnan(c->value) ? STYLE_FAINT : c->ink, number);
    put(look, row, col + width + (c->joined ? 0 : 1), NOTE_COLS, c->ink, c->note);
}

/* ---- the rows ---- */

static void planned(const console *con, const entry *e, int column, cell *out) {
    if (column == FIELD_GAP) {
        if (e->shown.series[mc_tooth_arch(e->chart.cursor)].stages > 0)
            out->value = 0; /* an aligner is planned to seat */
        out->ink = STYLE_FAINT;
        return;
    }
    int c = column - FIELD_COMPONENT;
    out->value = chart_planned(con, &e->chart, e->chart.cursor, (mc_component)c);
    bool moves = fabs(out->value) >= mc_component_least((mc_component)c) / 2;
    if (!moves)
        out->ink = STYLE_FAINT;
    else
        words_code(&con->theme, c, e->chart.cursor, out->value > 0 ? 1 : -1, out->note);
}

static void last_read(const console *con, const entry *e, int column, cell *out) {
    const mc_assessment *a = &e->shown;
    (void)con;
    if (column != FIELD_GAP)
        out->value =
            mc_draft_last(e->draft, e->chart.cursor, (mc_component)(column - FIELD_COMPONENT));
    else if (a->checkups_before_on_plan > 0 && a->checkups > 1)
        out->value = a->scores[a->checkups - 2].tooth[e->chart.cursor].seat_gap;
}

/* "all" is a gap of 0.0 that was said of all the rest at once, as on the arches. */
static void as_entered(const console *con, const entry *e, int column, cell *out) {
    (void)con;
    const mc_reading *reading = entry_row(e);
    if (!reading)
        return;
    if (column == FIELD_GAP) {
        out->value = reading->seat_gap;
        out->in_words = !isnan(out->value) && reading->seat_in_bulk;
        if (out->in_words) {
            snprintf(out->note, sizeof out->note, "all");
            out->ink = STYLE_FAINT;
        }
        return;
    }
    int c = column - FIELD_COMPONENT;
    out->value = reading->value[c];
    out->is_signed = !reading->short_of_plan[c];
    if (!isnan(out->value))
        snprintf(out->note, sizeof out->note, reading->short_of_plan[c] ? "sh." : "obs");
}

static const mc_item *item_of(const entry *e, int column) {
    return &e->shown.score->tooth[e->chart.cursor].item[column - FIELD_COMPONENT];
}

static void estimate(const console *con, const entry *e, int column, cell *out) {
    if (column == FIELD_GAP || !item_of(e, column)->followed)
        return;
    const mc_item *item = item_of(e, column);
    out->value = item->mean;
    words_spread(&con->theme, item->sd_x, is_angle(column) ? 1 : 2, out->note);
    out->joined = true;
    if (!item->read)
        out->ink = STYLE_FAINT;
}

static void index_of(const console *con, const entry *e, int column, cell *out) {
    (void)con;
    const mc_tooth_score *score = &e->shown.score->tooth[e->chart.cursor];
    out->is_signed = false;
    if (column == FIELD_GAP) {
        out->value = score->seat_index;
        return;
    }
    const mc_item *item = item_of(e, column);
    if (!item->read)
        return;
    out->value = item->index;
    snprintf(out->note, sizeof out->note, item->p > 0.995 ? ">99%%" : "%.0f%%", 100 * item->p);
}

static const struct {
    const char *label;
    void (*fill)(const console *con, const entry *e, int column, cell *out);
} ROWS[] = {{"planned", planned},
            {"last read", last_read},
            {"entered", as_entered},
            {"estimate", estimate},
            {"index", index_of}};
enum { ROW_COUNT = sizeof ROWS / sizeof *ROWS };

void entry_draw_table(console *con, const entry *e, area box) {
    const theme *look = &con->theme;
    static const char *const passes[] = {[ENTRY_FIT] = "fit",
                                         [ENTRY_READ] = "reading",
                                         [ENTRY_RELATIVE] = "",
                                         [ENTRY_FINDINGS] = "finding",
                                         [ENTRY_FRAME] = ""};
    if (entry_shows_relatives(e)) {
        entry_draw_relatives(con, e, box);
        return;
    }
    put(look, box.row, box.col + 1, LABEL_COLS - 1, STYLE_STRONG, passes[e->pass]);
    for (int column = 0; column < COLUMNS; column++)
        put(look, box.row, box.col + COLUMN[column].col, COLUMN[column].cols, STYLE_HEADING,
            COLUMN[column].heading);
    for (int i = 0; i < ROW_COUNT; i++) {
        int row = box.row + 1 + i;
        put(look, row, box.col + 1, LABEL_COLS,
            row == box.row + ENTERED_ROW ? STYLE_STRONG : STYLE_PLAIN, ROWS[i].label);
        for (int column = 0; column < COLUMNS; column++) {
            cell c = {.value = NAN, .ink = STYLE_PLAIN, .is_signed = column != FIELD_GAP};
            ROWS[i].fill(con, e, column, &c);
            draw_cell(look, row, box.col, column, &c);
        }
    }
}

void entry_draw_heading(const console *con, const entry *e, area box) {
    char text[40];
    int rows = mc_draft_rows(e->draft, e->chart.cursor);
    int count = e->row >= rows ? e->row + 1 : rows;
    chart_draw_heading(con, &e->chart, box);
    if (count < 2)
        return;
    snprintf(text, sizeof text, " reading %d of %d ", e->row + 1, count);
    int width = (int)strlen(text);
    put(&con->theme, box.row, box.col + box.cols - width - 1, width, STYLE_STRONG, text);
}

/* ---- findings ---- */

void entry_draw_findings(console *con, const entry *e, area box) {
    const theme *look = &con->theme;
    mc_tooth tooth = e->chart.cursor;
    const mc_reading *reading = mc_draft_row(e->draft, tooth, 0);
    double stage = chart_stage(con, &e->chart, mc_tooth_arch(tooth));
    bool planned_here = !isnan(stage) && mc_plan_attachment(e->shown.plan, tooth, stage);
    for (int i = 0; i <= FIELD_RECESSION - FIELD_ATTACHMENT; i++) {
        char word[40] = "";
        int field = FIELD_ATTACHMENT + i, col = box.col + FINDING[i].col;
        int indent = field == FIELD_CONTACT_DISTAL ? 0 : 2;
        put(look, box.row, col, FINDING[i].cols, STYLE_HEADING, FINDING[i].heading);
        if (reading)
            entry_finding(reading, field, word, sizeof word);
        bool said = word[0] != '\0';
        if (!said)
            snprintf(word, sizeof word, "%s%s", theme_mark(look, MARK_NOT_READ),
                     field == FIELD_ATTACHMENT && planned_here ? " planned" : "");
        put(look, box.row + 1, col + indent, FINDING[i].cols - indent,
            said ? STYLE_PLAIN : STYLE_FAINT, word);
    }
}

/* ---- the field under the cursor ---- */

/* How far in a number begins whose point is to stand under those above. */
static int to_point(const entry *e, int point) {
    int whole = (int)strcspn(e->typed, ".,");
    return whole < point ? point - whole : 0;
}

void entry_draw_box(console *con, const entry *e, area block) {
    const theme *look = &con->theme;
    int row = block.row + 1 + ENTERED_ROW, col = 0, cols = 0, point = 0;
    if (e->field >= FIELD_RELATIVE) {
        entry_relative_place(e->field, &col, &point, &cols);
    } else if (e->field <= FIELD_LAST_COMPONENT) {
        col = COLUMN[e->field].col;
        cols = COLUMN[e->field].cols;
        point = COLUMN[e->field].point;
    } else {
        col = FINDING[e->field - FIELD_ATTACHMENT].col;
        cols = FINDING[e->field - FIELD_ATTACHMENT].cols;
        row = block.row + block.rows - 1;
    }
    col += block.col;
    int used = (int)strlen(e->typed), before = to_point(e, point);
    if (entry_typing(e)) {
        put_filled(look, row, col, cols, STYLE_PLAIN, "");
        put(look, row, col + before, cols - before, STYLE_PLAIN, e->typed);
        used += before;
    }
    paint_over(look, (area){row, col, 1, cols}, STYLE_SELECTED);
    con->cursor_row = row;
    con->cursor_col = col + (used < cols ? used : cols - 1);
}
