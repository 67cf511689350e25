/* What each choice is expected to bring, in columns; and what that means for each tooth. */
#include "decide_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- one option ---- */

enum {
    OUT_COLS = 7,
    ALL_IN_COL = EXPECTED_COL + 8,
    ALL_IN_COLS = 8,
    ENDS_COL = EXPECTED_COL + 17,
    LATER_COL = EXPECTED_COL + 28,
    LATER_COLS = 5,
    ALIGNERS_COL = EXPECTED_COL + 34,
    COUNT_COLS = 8,
    WHY_COLS = 42,
    DISCARDED_COL = LEFT_COLS + 2,
    CHECKUPS_COL = DISCARDED_COL + 10,
    UNKNOWN_COL = DISCARDED_COL + 20,
    MORE_FROM = UNKNOWN_COL + 8
};

void decide_draw_expected_heading(const console *con, area box, const char *first) {
    const theme *look = &con->theme;
    put_filled(look, box.row, box.col, LEFT_COLS, STYLE_HEADING, first);
    put(look, box.row, box.col + EXPECTED_COL, LEFT_COLS - EXPECTED_COL, STYLE_HEADING,
        "outside all in %  ends        days  aligners");
    if (box.cols >= MORE_FROM)
        put(look, box.row, box.col + DISCARDED_COL, MORE_FROM - DISCARDED_COL, STYLE_HEADING,
            "discarded check-ups  unknown");
}

/* A probability in per cent in a column, never nought or a hundred of an estimate. */
static void put_percent(const console *con, double p, int row, int col, int columns, style ink) {
    char text[40];
    if (isnan(p))
        snprintf(text, sizeof text, "%s", theme_mark(&con->theme, MARK_NOT_READ));
    else if (p > 0.995)
        snprintf(text, sizeof text, ">99");
    else if (p < 0.005)
        snprintf(text, sizeof text, "<1");
    else
        snprintf(text, sizeof text, "%.0f", 100 * p);
    put_right(&con->theme, row, col, columns, ink, text);
}

static void put_count(const console *con, int count, int row, int col, int columns) {
    char text[40];
    snprintf(text, sizeof text, "%d", count);
    put_right(&con->theme, row, col, columns, STYLE_PLAIN, text);
}

static void draw_teeth_of(const console *con, const mc_option *option, area box) {
    const theme *look = &con->theme;
    char number[40];
    if (isnan(option->expected_out)) {
        put(look, box.row, box.col + EXPECTED_COL + 4, ENDS_COL - EXPECTED_COL - 5, STYLE_FAINT,
            "not known");
        return;
    }
    words_number(look, option->expected_out, 2, false, OUT_COLS, number, sizeof number);
    put(look, box.row, box.col + EXPECTED_COL, OUT_COLS, STYLE_PLAIN, number);
    put_percent(con, option->p_all_in, box.row, box.col + ALL_IN_COL, ALL_IN_COLS, STYLE_PLAIN);
}

static void draw_time_of(const console *con, const mc_option *option, const mc_option *after,
                         area box) {
    const theme *look = &con->theme;
    char day[11], later[40];
    mc_day_text(option->ends, day);
    put(look, box.row, box.col + ENDS_COL, 10, STYLE_PLAIN, day);
    if (after && after->possible) {
        snprintf(later, sizeof later, option->days == after->days ? "%d" : "%+d",
                 option->days - after->days);
        put_right(look, box.row, box.col + LATER_COL, LATER_COLS, STYLE_PLAIN, later);
    }
    put_count(con, option->aligners, box.row, box.col + ALIGNERS_COL, COUNT_COLS);
}

void decide_draw_expected(const console *con, const mc_option *option, const mc_option *after,
                          area box) {
    if (!option || !option->possible) {
        put(&con->theme, box.row, box.col + EXPECTED_COL, WHY_COLS, STYLE_FAINT,
            option && option->why_not[0] ? option->why_not : "not known");
        return;
    }
    draw_teeth_of(con, option, box);
    draw_time_of(con, option, after, box);
    if (box.cols < MORE_FROM)
        return;
    put_count(con, option->discarded, box.row, box.col + DISCARDED_COL, 9);
    put_count(con, option->checkups, box.row, box.col + CHECKUPS_COL, 9);
    put_count(con, option->unknown, box.row, box.col + UNKNOWN_COL, COUNT_COLS);
}

/* ---- each tooth ---- */

enum {
    TOOTH_COL = 1,
    END_COL = 6,
    END_COLS = 27,
    CHANCE_COL = 34,
    CHANCE_COLS = 5,
    CHANCE_STEP = 6
};

/* Below this chance a tooth is not worth a line. */
static const double LEAST_CHANCE = 0.05;

/* The teeth with a chance to end outside by carrying on or by another of the columns, the likelier
 * first. */
static size_t teeth_at_risk(const decide_view *d, const ends_column *columns, size_t count,
                            mc_tooth out[MC_TEETH]) {
    const mc_forecast *forecast = &d->chart.a->forecast;
    size_t found = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        double most = forecast->tooth[t].p_out;
        if (!chart_stands(&d->chart, t) || !forecast->tooth[t].known)
            continue;
        for (size_t i = 0; i < count; i++)
            if (columns[i].option && columns[i].option->p_out[t] > most)
                most = columns[i].option->p_out[t];
        if (!(most >= LEAST_CHANCE))
            continue;
        size_t place = found++;
        for (; place > 0 && forecast->tooth[out[place - 1]].p_out < forecast->tooth[t].p_out;
             place--)
            out[place] = out[place - 1];
        out[place] = t;
    }
    return found;
}

/* "rotation 5.9 deg short": the component that is likeliest to end outside, where it will be. */
static void say_end(const decide_view *d, mc_tooth tooth, char *out, size_t size) {
    const mc_assessment *a = d->chart.a;
    const mc_component_forecast *component = a->forecast.tooth[tooth].component;
    int worst = -1;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (component[c].known && (worst < 0 || component[c].p_out > component[worst].p_out))
            worst = c;
    if (worst < 0)
        return;
    mc_component c = (mc_component)worst;
    double off = component[c].planned - component[c].end, from = 0;
    int stages = mc_plan_stages(a->plan, mc_tooth_arch(tooth));
    int leg = mc_plan_leg(a->plan, tooth, c, stages, &from);
    snprintf(out, size, "%s %.*f %s %s", mc_component_name(c), words_decimals(c), fabs(off),
             words_unit(c),
             leg == 0        ? "off"
             : leg * off > 0 ? "short"
                             : "past");
}

static void draw_tooth_end(const console *con, const decide_view *d, mc_tooth tooth,
                           const ends_column *columns, size_t count, area box) {
    char text[80] = "";
    bool likely = d->chart.a->forecast.tooth[tooth].p_out >= 0.5;
    style ink = likely ? STYLE_STRONG : STYLE_PLAIN;
    say_end(d, tooth, text, sizeof text);
    put_format(&con->theme, box.row, box.col + TOOTH_COL, 4, ink, "%3s",
               words_tooth(con->notation, tooth).text);
    put(&con->theme, box.row, box.col + END_COL, END_COLS, ink, text);
    for (size_t i = 0; i < count; i++)
        put_percent(con, columns[i].option ? columns[i].option->p_out[tooth] : NAN, box.row,
                    box.col + CHANCE_COL + CHANCE_STEP * (int)i, CHANCE_COLS, STYLE_PLAIN);
}

int decide_draw_ends(const console *con, const decide_view *d, const ends_column *columns,
                     size_t count, area box) {
    const theme *look = &con->theme;
    const mc_forecast *forecast = &d->chart.a->forecast;
    mc_tooth teeth[MC_TEETH];
    int found = (int)teeth_at_risk(d, columns, count, teeth), row = box.row;
    int room = box.rows - 2, drawn = found <= room ? found : room - 1;
    put_heading(look, row++, box.col, box.cols,
                "How likely each tooth ends outside its tolerance, in %");
    put(look, row, box.col, CHANCE_COL, STYLE_HEADING, "  tooth carrying on it ends       ");
    for (size_t i = 0; i < count; i++) {
        char heading[20];
        snprintf(heading, sizeof heading, " %*.*s", CHANCE_COLS, CHANCE_COLS, columns[i].heading);
        put(look, row, box.col + CHANCE_COL - 1 + CHANCE_STEP * (int)i, CHANCE_STEP, STYLE_HEADING,
            heading);
    }
    row++;
    if (found == 0)
        put(look, row++, box.col + TOOTH_COL, box.cols - 1, STYLE_PLAIN,
            forecast->known > 0 ? "no tooth that was read is likely to, whatever is chosen"
                                : "not known: no position was read on this plan");
    for (int i = 0; i < drawn; i++)
        draw_tooth_end(con, d, teeth[i], columns, count, (area){row++, box.col, 1, box.cols});
    if (drawn < found && room > 0)
        put_format(look, row++, box.col + END_COL, END_COLS, STYLE_FAINT, "and %d more",
                   found - drawn);
    return row - box.row;
}
