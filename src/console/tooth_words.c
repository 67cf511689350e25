/* What the tooth screen says in words. */
#include "tooth_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void tooth_rate_text(const chart_view *chart, mc_tooth tooth, mc_component c, char *out,
                     size_t size) {
    const mc_component_forecast *f = chart_component_end(chart, tooth, c);
    bool planned =
        f && mc_reaches(fabs(mc_plan_extreme(chart->a->plan, tooth, c)), mc_component_least(c));
    out[0] = '\0';
    if (planned)
        snprintf(out, size, "Delivers %.0f %% of its plan (SD %.0f), expected %.0f %%.",
                 100 * f->rate, 100 * f->rate_sd, 100 * f->expected);
}

/* "attachment lost", "seat gap 1.20 mm", "rotation 8.4 deg short": what is beyond what a tooth
 * with grip may have. */
static void add_reasons(const chart_view *chart, mc_tooth tooth, char *out, size_t size) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    const mc_settings *s = &chart->a->settings;
    if (score->attachment == MC_ATTACHMENT_LOOSE || score->attachment == MC_ATTACHMENT_LOST)
        words_add(out, size, "attachment %s", mc_attachment_name(score->attachment));
    if (!isnan(score->seat_gap) && !mc_reaches(s->grip_gap_mm, score->seat_gap))
        words_add(out, size, "%sseat gap %.2f mm", out[0] ? ", " : "", score->seat_gap);
    for (int c = 0; c < MC_COMPONENTS; c++) {
        const mc_item *item = &score->item[c];
        double most =
            mc_component_is_linear((mc_component)c) ? s->grip_short_mm : s->grip_short_deg;
        if (item->followed && !isnan(item->shortfall) && !mc_reaches(most, item->shortfall))
            words_add(out, size, "%s%s %.*f %s short", out[0] ? ", " : "", words_item(c),
                      words_decimals((mc_component)c), item->shortfall,
                      words_unit((mc_component)c));
    }
}

void tooth_grip_text(const chart_view *chart, mc_tooth tooth, char *out, size_t size) {
    const mc_tooth_forecast *f = chart_forecast(chart, tooth);
    char reasons[400] = "";
    out[0] = '\0';
    if (!f)
        return;
    if (f->grip) {
        snprintf(out, size, "It keeps its grip.");
        return;
    }
    add_reasons(chart, tooth, reasons, sizeof reasons);
    snprintf(out, size, "Grip lost%s%s%s: %.0f %% of its rate from here on.",
             reasons[0] ? " (" : "", reasons, reasons[0] ? ")" : "",
             100 * chart->a->settings.grip_share);
}

/* ---- what was found, check-up by check-up ---- */

/* What one finding was at a check-up, "" where it was not said. */
typedef void (*finding)(const mc_tooth_score *score, char out[40]);

static void attachment(const mc_tooth_score *score, char out[40]) {
    bool said = score->attachment != MC_ATTACHMENT_UNSAID;
    snprintf(out, 40, "%s", said ? mc_attachment_name(score->attachment) : "");
}

static void mobility(const mc_tooth_score *score, char out[40]) {
    out[0] = '\0';
    if (score->mobility >= 0)
        snprintf(out, 40, "grade %d", score->mobility);
}

static void care(const mc_tooth_score *score, char out[40]) {
    bool pain = score->pain == MC_YES, swelling = score->swelling == MC_YES;
    bool said = score->pain != MC_UNSAID || score->swelling != MC_UNSAID;
    snprintf(out, 40, "%s%s%s", pain ? "pain on biting" : "", pain && swelling ? " and " : "",
             swelling        ? "swelling or pus"
             : !pain && said ? "none"
                             : "");
}

/* "Attachment intact at check-up 1, lost at 3.": every change, at the check-up that saw it. */
static void add_course(const chart_view *chart, mc_tooth tooth, const char *name, finding of,
                       char *out, size_t size) {
    const mc_assessment *a = chart->a;
    char before[40] = "", now[40];
    for (size_t i = 0; i < a->checkups; i++) {
        of(&a->scores[i].tooth[tooth], now);
        if (now[0] == '\0' || strcmp(now, before) == 0)
            continue;
        if (before[0] == '\0')
            words_add(out, size, "%s%s %s at check-up %d", out[0] ? " " : "", name, now,
                      a->scores[i].number);
        else
            words_add(out, size, ", %s at %d", now, a->scores[i].number);
        memcpy(before, now, sizeof before);
    }
    if (before[0] != '\0')
        words_add(out, size, ".");
}

void tooth_findings_text(const chart_view *chart, mc_tooth tooth, char *out, size_t size) {
    out[0] = '\0';
    add_course(chart, tooth, "Attachment", attachment, out, size);
    add_course(chart, tooth, "Mobility", mobility, out, size);
    add_course(chart, tooth, "Pain or swelling:", care, out, size);
}

/* ---- on the screen ---- */

/* The chosen component's rate, the tooth's grip, what was found: the more important first. */
void tooth_draw_words(const console *con, const tooth_view *tooth, area box) {
    const chart_view *chart = tooth->chart;
    char text[1500] = "", part[600];
    if (tooth_first_on_plan(chart) > 0 && chart->a->score)
        words_add(text, sizeof text, "Check-ups on an earlier plan are left out. ");
    if (!chart->a->score)
        chart_statement(chart, text, sizeof text);
    tooth_rate_text(chart, chart->cursor, (mc_component)tooth_component(tooth), part, sizeof part);
    words_add(text, sizeof text, "%s%s", part, part[0] ? " " : "");
    tooth_grip_text(chart, chart->cursor, part, sizeof part);
    words_add(text, sizeof text, "%s%s", part, part[0] ? " " : "");
    tooth_findings_text(chart, chart->cursor, part, sizeof part);
    words_add(text, sizeof text, "%s", part);
    put_wrapped(&con->theme, (area){box.row, box.col + 1, box.rows, box.cols - 2}, STYLE_PLAIN,
                text);
}

/* ---- on a page ---- */

static void component_in_words(const chart_view *chart, mc_tooth tooth, mc_component c,
                               pager *page) {
    char text[400], rate[160];
    const mc_component_forecast *f = chart_component_end(chart, tooth, c);
    if (!tooth_has_course(chart, tooth, c)) {
        pager_add(page, STYLE_STRONG, words_item((int)c), "Neither planned nor read.");
        return;
    }
    double target =
        mc_plan_at(chart->a->plan, tooth, c, mc_plan_stages(chart->a->plan, mc_tooth_arch(tooth)));
    chart_end_text(chart, tooth, c, text, sizeof text);
    tooth_rate_text(chart, tooth, c, rate, sizeof rate);
    if (mc_reaches(fabs(target), mc_component_least(c)))
        pager_format(page, STYLE_STRONG, words_item((int)c), "Planned to end at %+.*f %s; %s%s. %s",
                     words_decimals(c), target, words_unit(c), f ? "ends " : "", text, rate);
    else
        pager_format(page, STYLE_STRONG, words_item((int)c),
                     "Planned to end where it began; %s%s. %s", f ? "ends " : "", text, rate);
}

static void notes_in_words(const tooth_view *tooth, pager *page) {
    const mc_assessment *a = tooth->chart->a;
    bool any = false;
    pager_heading(page, "Notes of the check-ups");
    for (size_t i = a->checkups; i-- > 0;) {
        char label[40], day[11];
        const char *note = tooth_note(tooth, a->scores[i].number);
        if (note[0] == '\0')
            continue;
        any = true;
        mc_day_text(a->scores[i].date, day);
        snprintf(label, sizeof label, "%3d %s", a->scores[i].number, day);
        pager_add(page, STYLE_PLAIN, label, note);
    }
    if (!any)
        pager_add(page, STYLE_PLAIN, "", "None.");
}

void tooth_in_words(console *con, const tooth_view *tooth) {
    const chart_view *chart = tooth->chart;
    mc_tooth t = chart->cursor;
    char text[1600];
    snprintf(text, sizeof text, "%s, %s %s", chart->a->kase.chart,
             words_tooth(con->notation, t).text, mc_tooth_name(t));
    pager *page = pager_new(text);
    if (!page) {
        frame_say(con, "Out of memory.");
        return;
    }
    pager_heading(page, "Now");
    chart_sentence(con, chart, t, text, sizeof text);
    pager_add(page, STYLE_PLAIN, "", text);
    pager_heading(page, "Each movement to its end");
    for (int c = 0; c < MC_COMPONENTS; c++)
        component_in_words(chart, t, (mc_component)c, page);
    tooth_grip_text(chart, t, text, sizeof text);
    pager_add(page, STYLE_PLAIN, "", text);
    pager_heading(page, "Found over the check-ups");
    tooth_findings_text(chart, t, text, sizeof text);
    pager_add(page, STYLE_PLAIN, "", text[0] ? text : "Nothing was said of attachment or care.");
    notes_in_words(tooth, page);
    pager_open(con, page);
}
