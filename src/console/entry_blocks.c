/* The check-up as a whole while it is entered: how much is said, the proposal so far, the list of
 * what was said, the frame's fields, and what is about to be completed. */
#include "entry_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* " 12 22 13", each after a blank. */
static void teeth_text(const console *con, const mc_tooth *teeth, size_t count, char *out,
                       size_t size) {
    out[0] = '\0';
    for (size_t i = 0; i < count; i++) {
        size_t used = strlen(out);
        snprintf(out + used, size - used, " %s", words_tooth(con->notation, teeth[i]).text);
    }
}

void entry_draw_whole(const console *con, const entry *e, area box) {
    char teeth[80];
    mc_tooth worth[MC_MOST_WORTH];
    entry_counts counts = entry_count(e);
    size_t count = entry_worth(e, worth);
    teeth_text(con, worth, count, teeth, sizeof teeth);
    put_format(&con->theme, box.row, box.col + 1, box.cols - 2, STYLE_PLAIN,
               "Gaps on %d of %d teeth, positions on %d; worth reading:%s", counts.gaps,
               counts.teeth, counts.positions, count > 0 ? teeth : " none");
}

void entry_draw_proposal(const console *con, const entry *e, area box) {
    const mc_assessment *a = &e->shown;
    char text[1300];
    area inside = {box.row, box.col + 1, box.rows, box.cols - 2};
    if (!a->has_proposal) {
        put_wrapped(&con->theme, inside, STYLE_FAINT, "No proposal yet.");
        return;
    }
    int bold = snprintf(text, sizeof text, "%sAs it stands, rule %d, %s%s:", chart_proposal_mark(a),
                        a->proposal.rule, mc_proposal_words(a->proposal.choice),
                        con->notation == MC_NOTATION_ISO ? "" : " (ISO numbers)");
    snprintf(text + bold, sizeof text - (size_t)bold, " %s", a->proposal.sentence);
    put_wrapped(&con->theme, inside, STYLE_PLAIN, text);
    paint_over(&con->theme,
               (area){inside.row, inside.col, 1, bold < inside.cols ? bold : inside.cols},
               chart_proposal_style(a));
}

/* ---- what was said of each tooth ---- */

static void add(char *out, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void add(char *out, size_t size, const char *format, ...) {
    size_t used = strlen(out);
    va_list values;
    va_start(values, format);
    if (used > 0)
        used += (size_t)snprintf(out + used, size - used, ", ");
    if (used < size)
        vsnprintf(out + used, size - used, format, values);
    va_end(values);
}

/* "step to 11 +0.40". */
static void add_relatives(const console *con, const entry *e, const mc_reading *r, char *out,
                          size_t size) {
    char tooth[8];
    snprintf(tooth, sizeof tooth, "%s ", words_tooth(con->notation, r->tooth).text);
    for (int i = 0; i < MC_RELATIVES; i++) {
        char name[60], number[40];
        if (isnan(r->relative[i]))
            continue;
        entry_relative_name(con, e, r->tooth, (mc_relative)i, name, sizeof name);
        words_relative_number((mc_relative)i, r->relative[i], number);
        add(out, size, "%s %s", name + strlen(tooth), number);
    }
}

static void add_readings(const mc_reading *r, char *out, size_t size) {
    if (!isnan(r->seat_gap) && !r->seat_in_bulk)
        add(out, size, r->seat_gap > 0 ? "gap %.4g" : "seats", r->seat_gap);
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (!isnan(r->value[c]))
            add(out, size, "%s %.*f%s", mc_component_name((mc_component)c),
                words_decimals((mc_component)c), r->value[c], r->short_of_plan[c] ? " sh." : "");
}

static void add_findings(const mc_reading *r, char *out, size_t size) {
    static const char *const names[] = {"attachment", "mes. contact", "dis. contact", "mobility",
                                        "pain",       "swelling",     "recession"};
    for (int field = FIELD_ATTACHMENT; field <= FIELD_RECESSION; field++) {
        char word[40];
        entry_finding(r, field, word, sizeof word);
        if (word[0])
            add(out, size, "%s %s", names[field - FIELD_ATTACHMENT], word);
    }
}

/* Everything said of a tooth but "seats" in bulk; "" where that is all. */
static void said_of(const console *con, const entry *e, mc_tooth tooth, char *out, size_t size) {
    int rows = mc_draft_rows(e->draft, tooth);
    out[0] = '\0';
    for (int row = 0; row < rows; row++) {
        const mc_reading *reading = mc_draft_row(e->draft, tooth, row);
        if (!reading)
            continue;
        add_readings(reading, out, size);
        add_relatives(con, e, reading, out, size);
        if (row == 0)
            add_findings(reading, out, size);
    }
}

static int draw_said_teeth(const console *con, const entry *e, area box) {
    const theme *look = &con->theme;
    mc_tooth teeth[MC_TEETH];
    int count = entry_walk(e, teeth), row = box.row, left = 0;
    for (int i = 0; i < count; i++) {
        char said[600];
        said_of(con, e, teeth[i], said, sizeof said);
        if (!said[0])
            continue;
        if (row >= box.row + box.rows) {
            left++;
            continue;
        }
        mc_state state = chart_state(&e->chart, teeth[i]);
        put_format(look, row, box.col + 1, 6, style_of_state(state), "%3s %s",
                   words_tooth(con->notation, teeth[i]).text,
                   theme_mark(look, mark_of_state(state)));
        if (teeth[i] == e->chart.cursor)
            paint_over(look, (area){row, box.col, 1, 7}, STYLE_SELECTED);
        row += put_wrapped(look, (area){row, box.col + 8, box.row + box.rows - row, box.cols - 8},
                           STYLE_PLAIN, said);
    }
    if (left > 0)
        put_format(look, row++, box.col + 5, box.cols - 5, STYLE_FAINT, "and %d more", left);
    return row;
}

void entry_draw_said(const console *con, const entry *e, area box) {
    const theme *look = &con->theme;
    entry_counts counts = entry_count(e);
    put_heading(look, box.row, box.col, box.cols, "Said so far");
    int row = draw_said_teeth(con, e, (area){box.row + 1, box.col, box.rows - 3, box.cols});
    if (counts.bulk > 0)
        put_format(look, row++, box.col + 1, box.cols - 1, STYLE_PLAIN,
                   "%3d teeth: all the rest seat", counts.bulk);
    int unsaid = counts.teeth - counts.gaps;
    if (unsaid > 0)
        put_format(look, row, box.col + 1, box.cols - 1, STYLE_FAINT,
                   unsaid == 1 ? "%3d tooth without a gap" : "%3d teeth without a gap", unsaid);
}

/* ---- the frame's fields ---- */

static void frame_value(const entry *e, int field, char *out, size_t size) {
    const mc_checkup *checkup = mc_draft_checkup(e->draft);
    mc_arch arch = field == FRAME_UPPER || field == FRAME_UPPER_DAY ? MC_UPPER : MC_LOWER;
    out[0] = '\0';
    switch (field) {
    case FRAME_UPPER:
    case FRAME_LOWER:
        if (checkup->aligner[arch] != MC_NO_ALIGNER)
            snprintf(out, size, "%d", checkup->aligner[arch]);
        break;
    case FRAME_UPPER_DAY:
    case FRAME_LOWER_DAY:
        if (checkup->day[arch] >= 0)
            snprintf(out, size, "%d", checkup->day[arch]);
        break;
    case FRAME_WEAR:
        if (!isnan(checkup->wear_hours))
            snprintf(out, size, "%.4g", checkup->wear_hours);
        break;
    case FRAME_METHOD:
        snprintf(out, size, "%s", mc_method_name(checkup->method));
        break;
    default:
        snprintf(out, size, "%s", checkup->note ? checkup->note : "");
    }
}

/* What stands beside a value. */
static void frame_remark(const entry *e, int field, char *out, size_t size) {
    mc_arch arch = field == FRAME_UPPER || field == FRAME_UPPER_DAY ? MC_UPPER : MC_LOWER;
    bool aligner = field == FRAME_UPPER || field == FRAME_LOWER;
    bool day = field == FRAME_UPPER_DAY || field == FRAME_LOWER_DAY;
    int stages = e->shown.series[arch].stages;
    out[0] = '\0';
    if ((aligner || day) && stages == 0)
        snprintf(out, size, "this arch has no series");
    else if (aligner)
        snprintf(out, size, "of %d, %s", stages,
                 entry_was_entered(e, MC_STEP_ALIGNER, arch) ? "as entered" : "by the dates");
    else if (day)
        snprintf(out, size, "%s",
                 entry_was_entered(e, MC_STEP_DAY, arch) ? "as entered" : "by the dates");
    else if (field == FRAME_WEAR)
        snprintf(out, size, "hours a day that the aligners are in");
    else if (field == FRAME_METHOD)
        snprintf(out, size, "1 eye  2 caliper  3 photo  4 landmarks  5 scan");
}

void entry_draw_frame(console *con, const entry *e, area box) {
    enum { VALUE_COL = 17, VALUE_COLS = 10, REMARK_COL = 29 };
    const theme *look = &con->theme;
    char heading[80];
    snprintf(heading, sizeof heading, "Check-up %d: aligners worn, wear, method, note",
             mc_draft_number(e->draft));
    put_heading(look, box.row, box.col, box.cols, heading);
    for (int field = 0; field < FRAME_FIELDS; field++) {
        int row = box.row + 1 + field, col = box.col + VALUE_COL;
        bool note = field == FRAME_NOTE, here = e->pass == ENTRY_FRAME && field == e->field;
        int cols = note ? box.cols - VALUE_COL - 1 : VALUE_COLS;
        char value[MC_NOTE_SIZE], remark[80];
        frame_value(e, field, value, sizeof value);
        frame_remark(e, field, remark, sizeof remark);
        bool typing = here && entry_typing(e);
        put(look, row, box.col + 1, VALUE_COL - 2, STYLE_PLAIN, entry_frame_name(field));
        put_filled(look, row, col, cols, STYLE_PLAIN,
                   typing     ? e->typed
                   : value[0] ? value
                              : theme_mark(look, MARK_NOT_READ));
        if (!note)
            put(look, row, box.col + REMARK_COL, box.cols - REMARK_COL, STYLE_FAINT, remark);
        if (!here)
            continue;
        paint_over(look, (area){row, col, 1, cols}, STYLE_SELECTED);
        con->cursor_row = row;
        con->cursor_col = col + (int)strlen(e->typed);
    }
}

/* ---- before it is completed ---- */

static void aligner_text(const entry *e, mc_arch arch, char *out, size_t size) {
    const mc_checkup *checkup = mc_draft_checkup(e->draft);
    int stages = e->shown.series[arch].stages, day = checkup->day[arch];
    char when[40] = "";
    if (day >= 0)
        snprintf(when, sizeof when, ", day %d", day);
    if (stages == 0)
        snprintf(out, size, "no series");
    else if (checkup->aligner[arch] == MC_NO_ALIGNER)
        snprintf(out, size, "not looked at");
    else
        snprintf(out, size, "aligner %d of %d%s, %s", checkup->aligner[arch], stages, when,
                 entry_was_entered(e, MC_STEP_ALIGNER, arch) ? "as entered" : "by the dates");
}

enum { VALUE_COL = 12 };

static void review_row(const theme *look, area box, int *row, const char *label, const char *format,
                       ...) __attribute__((format(printf, 5, 6)));
static void review_row(const theme *look, area box, int *row, const char *label, const char *format,
                       ...) {
    char text[MC_NOTE_SIZE + 200];
    va_list values;
    va_start(values, format);
    vsnprintf(text, sizeof text, format, values);
    va_end(values);
    if (*row >= box.row + box.rows)
        return;
    put(look, *row, box.col + 1, VALUE_COL - 1, STYLE_PLAIN, label);
    put(look, *row, box.col + VALUE_COL, box.cols - VALUE_COL - 1, STYLE_STRONG, text);
    (*row)++;
}

static bool has_no_gap(const entry *e, mc_tooth tooth) {
    bool bulk = false;
    return entry_takes_gaps(e, mc_tooth_arch(tooth)) && isnan(entry_gap(e, tooth, &bulk));
}

static bool has_relative(const entry *e, mc_tooth tooth) {
    int rows = mc_draft_rows(e->draft, tooth);
    for (int row = 0; row < rows; row++)
        for (int i = 0; i < MC_RELATIVES; i++)
            if (!isnan(mc_draft_row(e->draft, tooth, row)->relative[i]))
                return true;
    return false;
}

/* The teeth that stand and are so, each after a blank. */
static void teeth_where(const console *con, const entry *e, bool (*so)(const entry *, mc_tooth),
                        char *out, size_t size) {
    mc_tooth walk[MC_TEETH], teeth[MC_TEETH];
    int all = entry_walk(e, walk);
    size_t count = 0;
    for (int i = 0; i < all; i++)
        if (so(e, walk[i]))
            teeth[count++] = walk[i];
    teeth_text(con, teeth, count, out, size);
}

/* "22 attachment lost; 35 mobility grade 1", or the teeth alone where that takes too many columns.
 */
static void findings_where(const console *con, const entry *e, int columns, char *out,
                           size_t size) {
    mc_tooth walk[MC_TEETH];
    int all = entry_walk(e, walk);
    size_t used = 0;
    out[0] = '\0';
    for (int i = 0; i < all && used < size; i++) {
        char found[300] = "";
        const mc_reading *reading = mc_draft_row(e->draft, walk[i], 0);
        if (reading)
            add_findings(reading, found, sizeof found);
        if (found[0])
            used += (size_t)snprintf(out + used, size - used, "%s %s %s", used > 0 ? ";" : "",
                                     words_tooth(con->notation, walk[i]).text, found);
    }
    if (used >= size || mc_text_width(out, con->theme.ascii) > columns)
        teeth_where(con, e, entry_has_findings, out, size);
}

void entry_draw_review(const console *con, const entry *e, area box) {
    const theme *look = &con->theme;
    const mc_checkup *checkup = mc_draft_checkup(e->draft);
    entry_counts counts = entry_count(e);
    char text[160], list[300], against[300], arches[2][80], wear[40] = "wear not said";
    snprintf(text, sizeof text, "Check-up %d, to be completed", mc_draft_number(e->draft));
    put_heading(look, box.row, box.col, box.cols, text);
    aligner_text(e, MC_UPPER, arches[MC_UPPER], sizeof arches[MC_UPPER]);
    aligner_text(e, MC_LOWER, arches[MC_LOWER], sizeof arches[MC_LOWER]);
    if (!isnan(checkup->wear_hours))
        snprintf(wear, sizeof wear, "wear %.4g h a day", checkup->wear_hours);
    int row = box.row + 1;
    review_row(look, box, &row, "gaps", "on %d of %d teeth, %d of them by \"all the rest seat\"",
               counts.gaps, counts.teeth, counts.bulk);
    teeth_where(con, e, has_no_gap, list, sizeof list);
    if (list[0])
        review_row(look, box, &row, "no gap on", "%s", list + 1);
    teeth_where(con, e, entry_has_position, list, sizeof list);
    teeth_where(con, e, has_relative, against, sizeof against);
    review_row(look, box, &row, "positions", "%s%s%s, method %s", list[0] ? list + 1 : "none",
               against[0] ? "; against neighbours" : "", against, mc_method_name(checkup->method));
    findings_where(con, e, box.cols - VALUE_COL, list, sizeof list);
    review_row(look, box, &row, "findings", "%s", list[0] ? list + 1 : "none");
    review_row(look, box, &row, "upper", "%s", arches[MC_UPPER]);
    review_row(look, box, &row, "lower", "%s", arches[MC_LOWER]);
    review_row(look, box, &row, "besides", "%s; %s%s", wear,
               checkup->note && checkup->note[0] ? "note: " : "no note",
               checkup->note ? checkup->note : "");
    for (size_t i = 0; i < e->warnings.count && row < box.row + box.rows; i++) {
        area warning = {row, box.col + 1, box.row + box.rows - row, box.cols - 2};
        row += put_wrapped(look, warning, STYLE_CARE, e->warnings.list[i].text);
    }
}
