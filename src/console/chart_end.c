/* Where each tooth will end, and the mouth as a whole, as the forecast of the check-up shown has
 * it: in words for the chart, and for every screen that tells of a tooth. */
#include "chart_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const mc_tooth_forecast *chart_forecast(const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_forecast *f = &chart->a->forecast.tooth[tooth];
    return chart->a->score && f->known ? f : NULL;
}

const mc_component_forecast *chart_component_end(const chart_view *chart, mc_tooth tooth,
                                                 mc_component c) {
    const mc_tooth_forecast *f = chart_forecast(chart, tooth);
    return f && f->component[c].known ? &f->component[c] : NULL;
}

int chart_furthest_end(const chart_view *chart, mc_tooth tooth) {
    int furthest = MC_WORST_NONE;
    double most = -1;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_component_forecast *f = chart_component_end(chart, tooth, (mc_component)c);
        if (f && f->p_out > most) {
            most = f->p_out;
            furthest = c;
        }
    }
    return furthest;
}

bool chart_ends_outside(const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_forecast *f = chart_forecast(chart, tooth);
    return f && mc_reaches(f->p_out, chart->a->settings.name_probability);
}

/* Never "100 %" of a forecast. */
static void percent(double p, char out[20]) {
    if (p > 0.995)
        snprintf(out, 20, ">99 %%");
    else if (p < 0.005)
        snprintf(out, 20, "<1 %%");
    else
        snprintf(out, 20, "%.0f %%", 100 * p);
}

/* Which way the plan goes: +1, -1; 0 where it asks for no movement by its end. */
static int way_of_plan(const mc_component_forecast *f, mc_component c) {
    if (!mc_reaches(fabs(f->planned), mc_component_least(c)))
        return 0;
    return f->planned > 0 ? 1 : -1;
}

void chart_end_text(const chart_view *chart, mc_tooth tooth, mc_component c, char *out,
                    size_t size) {
    const mc_component_forecast *f = chart_component_end(chart, tooth, c);
    int decimals = words_decimals(c);
    char outside[20];
    if (!f) {
        snprintf(out, size, "not read on this plan: its end is not known");
        return;
    }
    /* told along the plan: what is missing, or what is too much; where none is planned, along the
     * way that it goes */
    int way = way_of_plan(f, c);
    double missing = f->planned - f->end;
    int sign = way != 0 ? (way * missing >= 0 ? way : -way) : (missing >= 0 ? 1 : -1);
    const char *word = way == 0 ? words_way((int)c, tooth, -sign) : sign == way ? "short" : "past";
    double low = sign > 0 ? f->planned - f->high : f->low - f->planned;
    double high = sign > 0 ? f->planned - f->low : f->high - f->planned;
    percent(f->p_out, outside);
    snprintf(out, size, "%.*f %s %s (%.*f to %.*f), outside %s", decimals, fabs(missing),
             words_unit(c), word, decimals, low, decimals, high, outside);
}

void chart_end_sentence(const chart_view *chart, mc_tooth tooth, bool named, char *out,
                        size_t size) {
    const mc_tooth_forecast *f = chart_forecast(chart, tooth);
    const mc_assessment *a = chart->a;
    int c = chart_furthest_end(chart, tooth);
    char text[160];
    out[0] = '\0';
    if (!f && a->score && a->has_plan && mc_plan_moves(a->plan, tooth))
        snprintf(out, size, "Its end is not known.");
    if (!f)
        return;
    chart_end_text(chart, tooth, (mc_component)c, text, sizeof text);
    snprintf(out, size, "%s%s%s %s%s.", named ? "At the end" : "Ends", named ? " " : "",
             named ? words_item(c) : "", text, f->partly ? "; known in part only" : "");
}

/* ---- the mouth ---- */

void chart_outcome_text(const chart_view *chart, char *out, size_t size) {
    const mc_forecast *f = &chart->a->forecast;
    char inside[20], unknown[60] = "";
    out[0] = '\0';
    if (!chart->a->score)
        return;
    if (f->known == 0) {
        snprintf(out, size, "Where it will end is not known: no position was read on this plan.");
        return;
    }
    percent(f->p_all_in, inside);
    if (f->unknown > 0)
        snprintf(unknown, sizeof unknown, " Of %d more nothing was read on this plan.", f->unknown);
    snprintf(out, size,
             "Expected to end outside: %.1f of %d %s. That all of these end inside: %s.%s",
             f->expected_out, f->known, f->known == 1 ? "tooth" : "teeth", inside, unknown);
}

/* "4 points below", "as expected", "3 points above": what is delivered of what is planned. */
static void beside_expected(double pace, char out[40]) {
    long points = lround(100 * pace);
    if (points == 0)
        snprintf(out, 40, "as expected");
    else
        snprintf(out, 40, "%ld %s %s", labs(points), labs(points) == 1 ? "point" : "points",
                 points < 0 ? "below" : "above");
}

void chart_pace_text(const console *con, const chart_view *chart, char *out, size_t size) {
    const mc_score *score = chart->a->score;
    char mouth[40], practice[40], cases[120] = "";
    out[0] = '\0';
    if (!score)
        return;
    beside_expected(score->pace_mean, mouth);
    if (con->pace.count > 0) {
        beside_expected(con->pace.mean, practice);
        snprintf(cases, sizeof cases, "; the practice, by its %zu open %s: %s (SE %.0f)",
                 con->pace.count, con->pace.count == 1 ? "case" : "cases", practice,
                 100 * con->pace.se);
    }
    snprintf(out, size, "Pace against what is expected, in points of a hundred: %s (SD %.0f)%s.",
             mouth, 100 * score->pace_sd, cases);
}

/* "2.4 outside +9?" in the sixteen columns that there always are. */
static void ends_text(const mc_forecast *f, char *out, size_t size) {
    enum { COLUMNS = 16 };
    char unknown[20] = "";
    if (f->unknown > 0)
        snprintf(unknown, sizeof unknown, "+%d?", f->unknown);
    size_t used = (size_t)snprintf(out, size, "%.1f outside", f->expected_out);
    bool apart = used + 1 + strlen(unknown) <= COLUMNS;
    snprintf(out + used, size - used, "%s%s", apart && unknown[0] ? " " : "", unknown);
}

/* And where there is more room: ", all in 4 %, pace +3, practice -2". */
static void add_pace(const console *con, const chart_view *chart, char *out, size_t size) {
    const mc_assessment *a = chart->a;
    char inside[20], practice[40] = "";
    percent(a->forecast.p_all_in, inside);
    if (con->pace.count > 0)
        snprintf(practice, sizeof practice, ", practice %+ld", lround(100 * con->pace.mean));
    size_t used = strlen(out);
    snprintf(out + used, size - used, ", all in %s, pace %+ld%s", inside,
             lround(100 * a->score->pace_mean), practice);
}

void chart_draw_ends(const console *con, const chart_view *chart, area box) {
    enum { WIDE = 46 };
    const mc_forecast *f = &chart->a->forecast;
    char text[120] = "";
    if (chart->steps != 0 || !chart->a->score)
        return;
    if (f->known == 0) {
        put(&con->theme, box.row, box.col, box.cols, STYLE_FAINT, "end not known");
        return;
    }
    ends_text(f, text, sizeof text);
    if (box.cols >= WIDE)
        add_pace(con, chart, text, sizeof text);
    put(&con->theme, box.row, box.col, box.cols, STYLE_PLAIN, text);
}
