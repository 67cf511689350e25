/* A tooth read against what stands beside it: which readings there are, where each stands on the
 * screen, and what is known of each. They take the place of the table of positions. */
#include "entry_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>

enum { CELL_COLS_EACH = 10, FIRST_COL = 10, LABEL = 8, NOTE_COLS = 3, MM_POINT = 2, DEG_POINT = 3 };

bool entry_shows_relatives(const entry *e) {
    return e->pass == ENTRY_RELATIVE ||
           (e->pass == ENTRY_FINDINGS && e->pass_before == ENTRY_RELATIVE);
}

/* ---- which there are ---- */

mc_tooth entry_neighbour(const entry *e, mc_tooth tooth, mc_relative what) {
    return mc_relative_neighbour(what, tooth, e->shown.states);
}

static bool can_be_read(const entry *e, mc_tooth tooth, int field) {
    mc_relative what = (mc_relative)(field - FIELD_RELATIVE);
    return what == MC_CROWN_ANGLE || entry_neighbour(e, tooth, what) != MC_NO_TOOTH;
}

int entry_relative_from(const entry *e, int field, int step) {
    while (field >= FIELD_RELATIVE && field <= FIELD_LAST_RELATIVE) {
        if (can_be_read(e, e->chart.cursor, field))
            return field;
        field += step;
    }
    return FIELD_NONE;
}

void entry_first_relative(entry *e) {
    int field = entry_relative_from(e, FIELD_RELATIVE + (int)e->kind, 1);
    e->field = field;
}

void entry_next_kind(entry *e) {
    static const mc_relative next[] = {
        [MC_SPACE_TO_MESIAL] = MC_STEP_TO_MESIAL,
        [MC_STEP_TO_MESIAL] = MC_HEIGHT_TO_MESIAL,
        [MC_HEIGHT_TO_MESIAL] = MC_CROWN_ANGLE,
        [MC_CROWN_ANGLE] = MC_SPACE_TO_MESIAL,
    };
    e->kind = next[entry_kind_of((mc_relative)(e->field - FIELD_RELATIVE))];
    entry_first_relative(e);
}

mc_relative entry_kind_of(mc_relative what) {
    switch (what) {
    case MC_SPACE_TO_DISTAL:
        return MC_SPACE_TO_MESIAL;
    case MC_STEP_TO_DISTAL:
        return MC_STEP_TO_MESIAL;
    case MC_HEIGHT_TO_DISTAL:
        return MC_HEIGHT_TO_MESIAL;
    default:
        return what;
    }
}

/* ---- what is known of one ---- */

entry_baseline entry_baseline_of(const entry *e, mc_tooth tooth, mc_relative what) {
    double stage = e->shown.score->effective_stage[mc_tooth_arch(tooth)];
    if (!isnan(mc_draft_should_read(e->draft, tooth, what)))
        return BASELINE_KNOWN;
    if (!isnan(mc_draft_baseline(e->draft, tooth, what)))
        return BASELINE_OF_ANOTHER;
    return stage == 0 && isnan(mc_draft_last_read(e->draft, tooth, what)) ? BASELINE_NOW
                                                                          : BASELINE_NONE;
}

/* ---- the table ---- */

typedef struct cell {
    double value;
    const char *words; /* in the number's place; NULL: the number */
    style ink;
} cell;

static bool is_angle(mc_relative what) {
    return what == MC_CROWN_ANGLE;
}

void entry_relative_place(int field, int *col, int *point, int *cols) {
    mc_relative what = (mc_relative)(field - FIELD_RELATIVE);
    *col = FIRST_COL + CELL_COLS_EACH * (int)what;
    *point = is_angle(what) ? DEG_POINT : MM_POINT;
    *cols = CELL_COLS_EACH - 1 + is_angle(what);
}

static void by_plan(const entry *e, mc_tooth tooth, mc_relative what, cell *out) {
    out->value = mc_draft_should_read(e->draft, tooth, what);
}

static void last_read(const entry *e, mc_tooth tooth, mc_relative what, cell *out) {
    out->value = mc_draft_last_read(e->draft, tooth, what);
}

static void as_entered(const entry *e, mc_tooth tooth, mc_relative what, cell *out) {
    const mc_reading *reading = entry_row(e);
    (void)tooth;
    if (reading)
        out->value = reading->relative[what];
}

static void baseline(const entry *e, mc_tooth tooth, mc_relative what, cell *out) {
    static const char *const words[] = {[BASELINE_KNOWN] = NULL,
                                        [BASELINE_NOW] = "this one",
                                        [BASELINE_NONE] = "none",
                                        [BASELINE_OF_ANOTHER] = "another"};
    out->value = mc_draft_baseline(e->draft, tooth, what);
    out->words = words[entry_baseline_of(e, tooth, what)];
    if (out->words)
        out->ink = STYLE_FAINT;
}

static const struct {
    const char *label;
    void (*fill)(const entry *e, mc_tooth tooth, mc_relative what, cell *out);
} ROWS[] = {{"by plan", by_plan},
            {"entered", as_entered},
            {"last read", last_read},
            {"baseline", baseline}};
enum { ROW_COUNT = sizeof ROWS / sizeof *ROWS, FIRST_ROW = 2, ENTERED = 1 };

static void draw_cell(const theme *look, int row, int left, mc_tooth tooth, mc_relative what,
                      const cell *c) {
    char number[40], way[16];
    int col, point, cols, decimals = is_angle(what) ? 1 : 2;
    entry_relative_place(FIELD_RELATIVE + (int)what, &col, &point, &cols);
    if (c->words) {
        put(look, row, left + col + 1, cols - 1, c->ink, c->words);
        return;
    }
    int width = point + 1 + decimals;
    words_number(look, c->value, decimals, !mc_relative_is_space(what), width, number,
                 sizeof number);
    put(look, row, left + col, width, isnan(c->value) ? STYLE_FAINT : c->ink, number);
    words_relative_code(look, what, tooth, c->value, way);
    put(look, row, left + col + width + 1, NOTE_COLS, c->ink, way);
}

/* What is read, and of which neighbour: "mes. 11". */
static void draw_headings(const console *con, const entry *e, area box) {
    static const char *const headings[MC_RELATIVES] = {"space mm",  "", "step mm",  "",
                                                       "height mm", "", "angle deg"};
    static const char *const sides[MC_RELATIVES] = {"mes.", "dis.", "mes.",   "dis.",
                                                    "mes.", "dis.", "midline"};
    for (int what = 0; what < MC_RELATIVES; what++) {
        int col, point, cols;
        mc_tooth other = entry_neighbour(e, e->chart.cursor, (mc_relative)what);
        bool none = what != MC_CROWN_ANGLE && other == MC_NO_TOOTH;
        entry_relative_place(FIELD_RELATIVE + what, &col, &point, &cols);
        put(&con->theme, box.row, box.col + col, cols, STYLE_HEADING, headings[what]);
        put_format(&con->theme, box.row + 1, box.col + col, cols,
                   none ? STYLE_FAINT : STYLE_HEADING, "%s %s", sides[what],
                   what == MC_CROWN_ANGLE ? ""
                   : none                 ? "none"
                                          : words_tooth(con->notation, other).text);
    }
}

void entry_draw_relatives(const console *con, const entry *e, area box) {
    const theme *look = &con->theme;
    mc_tooth tooth = e->chart.cursor;
    put(look, box.row, box.col + 1, LABEL, STYLE_STRONG,
        e->pass == ENTRY_FINDINGS ? "finding" : "against");
    draw_headings(con, e, box);
    for (int i = 0; i < ROW_COUNT; i++) {
        int row = box.row + FIRST_ROW + i;
        put(look, row, box.col + 1, LABEL + 1, i == ENTERED ? STYLE_STRONG : STYLE_PLAIN,
            ROWS[i].label);
        for (int what = 0; what < MC_RELATIVES; what++) {
            cell c = {.value = NAN, .ink = STYLE_PLAIN};
            if (!can_be_read(e, tooth, FIELD_RELATIVE + what))
                continue;
            ROWS[i].fill(e, tooth, (mc_relative)what, &c);
            draw_cell(look, row, box.col, tooth, (mc_relative)what, &c);
        }
    }
}
