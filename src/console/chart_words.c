/* What is to be said of a tooth, in plain sentences. */
#include "chart_view.h"
#include "midcourse/exchange.h"
#include "words.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Sentences being written one after another into a fixed place, the more important first. */
enum { MOST_SENTENCES = 32 };
typedef struct writer {
    char *out;
    size_t size, used;
    bool brief;                 /* without what stands elsewhere on the same screen */
    size_t end[MOST_SENTENCES]; /* of each whole sentence */
    size_t count;
} writer;

static void say(writer *w, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void say(writer *w, const char *format, ...) {
    va_list values;
    if (w->used + 1 >= w->size)
        return;
    va_start(values, format);
    int length = vsnprintf(w->out + w->used, w->size - w->used, format, values);
    va_end(values);
    w->used += length > 0 ? (size_t)length : 0;
}

/* A sentence is whole. */
static void stop(writer *w) {
    if (w->used < w->size && w->used > 0 && w->count < MOST_SENTENCES &&
        (w->count == 0 || w->end[w->count - 1] < w->used))
        w->end[w->count++] = w->used;
}

static const char *unit_of(int item) {
    return item == MC_WORST_SEAT_GAP ? "mm" : words_unit((mc_component)item);
}

/* "2.8 deg", "0.35 mm": never signed, the words tell the way. */
static void amount(int item, double value, char out[40]) {
    int decimals = item == MC_WORST_SEAT_GAP ? 2 : words_decimals((mc_component)item);
    snprintf(out, 40, "%.*f %s", decimals, fabs(value), unit_of(item));
}

/* How likely it is that the item is off by its tolerance: never "100 %" of an estimate. */
static void likelihood(double p, char out[40]) {
    if (p > 0.995)
        snprintf(out, 40, "over 99 %% likely");
    else if (p < 0.005)
        snprintf(out, 40, "under 1 %% likely");
    else
        snprintf(out, 40, "%.0f %% likely", 100 * p);
}

static double tolerance_of(const chart_view *chart, const mc_tooth_score *score, int item) {
    return item == MC_WORST_SEAT_GAP ? chart->a->settings.tolerance_gap_mm
                                     : score->item[item].tolerance;
}

/* "rotation 2.8 deg short of the plan at stage 12.0, mesial-in to go (beyond the
 * 2.0 deg tolerance: 66 % likely)". */
static void say_component(writer *w, const console *con, const chart_view *chart, mc_tooth tooth,
                          int item) {
    static const char *const kinds[] = {[MC_KIND_NONE] = "from",
                                        [MC_KIND_SHORT] = "short of",
                                        [MC_KIND_PAST] = "past",
                                        [MC_KIND_DRIFT] = "adrift of"};
    const mc_tooth_score *score = chart_score(chart, tooth);
    const mc_item *it = &score->item[item];
    char off[40], tolerance[40], likely[40];
    amount(item, it->planned - it->mean, off);
    amount(item, it->tolerance, tolerance);
    likelihood(it->p, likely);
    say(w, "%s %s %s the plan", words_item(item), off, kinds[it->kind]);
    if (!w->brief)
        say(w, " at stage %.1f", chart_stage(con, chart, mc_tooth_arch(tooth)));
    int way = words_way_to_plan(score, item);
    if (way != 0)
        say(w, ", %s to go", words_way(item, tooth, way));
    say(w, w->brief ? " (beyond %s: %s)" : " (beyond the %s tolerance: %s)", tolerance, likely);
}

static void say_gap(writer *w, const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    char gap[40], tolerance[40];
    amount(MC_WORST_SEAT_GAP, score->seat_gap, gap);
    amount(MC_WORST_SEAT_GAP, tolerance_of(chart, score, MC_WORST_SEAT_GAP), tolerance);
    say(w, "seat gap %s (tolerance %s)", gap, tolerance);
}

/* One item as a sentence of its own, or as the end of the one that stands before it. */
static void say_item(writer *w, const console *con, const chart_view *chart, mc_tooth tooth,
                     int item) {
    bool begins = w->used == 0 || w->out[w->used - 1] == '.';
    say(w, w->used > 0 ? " " : "");
    size_t start = w->used;
    if (item == MC_WORST_SEAT_GAP)
        say_gap(w, chart, tooth);
    else
        say_component(w, con, chart, tooth, item);
    say(w, ".");
    if (begins && start < w->size)
        w->out[start] = (char)toupper((unsigned char)w->out[start]);
    stop(w);
}

static void say_worst(writer *w, const console *con, const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    if (score->worst != MC_WORST_NONE)
        say_item(w, con, chart, tooth, score->worst);
}

/* Whatever else is off with the probability that makes a state. */
static void say_others(writer *w, const console *con, const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    double enough = chart->a->settings.state_probability;
    if (score->worst == MC_WORST_NONE)
        return;
    if (score->worst != MC_WORST_SEAT_GAP && score->seat_p >= enough)
        say_item(w, con, chart, tooth, MC_WORST_SEAT_GAP);
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (c != score->worst && score->item[c].read && score->item[c].p >= enough)
            say_item(w, con, chart, tooth, c);
}

/* "Lag index 0.4, 0.9, 1.6 at check-ups 1 to 3.", where the tooth was read at more than one of the
 * last three. */
static void say_trend(writer *w, const console *con, const chart_view *chart, mc_tooth tooth) {
    enum { LOOKED_AT = 3 };
    const mc_assessment *a = chart->a;
    size_t from = a->checkups > LOOKED_AT ? a->checkups - LOOKED_AT : 0;
    int read = 0;
    while (from < a->checkups && isnan(a->scores[from].tooth[tooth].lag_index))
        from++; /* begin where it was read */
    for (size_t i = from; i < a->checkups; i++)
        read += !isnan(a->scores[i].tooth[tooth].lag_index);
    if (read < 2)
        return;
    say(w, " Lag index");
    for (size_t i = from; i < a->checkups; i++) {
        double lag = a->scores[i].tooth[tooth].lag_index;
        say(w, i > from ? ", " : " ");
        if (isnan(lag))
            say(w, "%s", theme_mark(&con->theme, MARK_NOT_READ));
        else
            say(w, "%.1f", lag);
    }
    say(w, a->checkups - from > 2 ? " at check-ups %d to %d." : " at check-ups %d and %d.",
        a->scores[from].number, a->scores[a->checkups - 1].number);
    stop(w);
}

static void say_lag(writer *w, const mc_tooth_score *score) {
    if (!isnan(score->lag_stages))
        say(w, " Lag in stages %.1f (%.1f to %.1f).", score->lag_stages, score->lag_stages_low,
            score->lag_stages_high);
    stop(w);
    if (!isnan(score->tracked_share))
        say(w, " Delivered %.0f %% (SE %.0f) of its plan so far.", 100 * score->tracked_share,
            100 * score->tracked_share_se);
    stop(w);
}

/* What needs care comes before any number: a short place may clip what is behind. */
static void say_care(writer *w, const mc_tooth_score *score) {
    if (score->pain == MC_YES)
        say(w, " Pain on biting.");
    if (score->swelling == MC_YES)
        say(w, " Swelling or pus.");
    if (score->mobility >= LOOSE_GRADE)
        say(w, " Mobility grade %d.", score->mobility);
    stop(w);
}

/* What else was found, and may explain a lag. */
static void say_findings(writer *w, const mc_tooth_score *score) {
    if (score->attachment > MC_ATTACHMENT_INTACT)
        say(w, " Attachment %s.", mc_attachment_name(score->attachment));
    stop(w);
    if (score->mobility >= 0 && score->mobility < LOOSE_GRADE)
        say(w, " Mobility grade %d.", score->mobility);
    if (score->recession > 0)
        say(w, " Recession %.1f mm.", score->recession);
    if (score->contact_mesial != MC_CONTACT_UNSAID)
        say(w, " Contact mesial %s.", mc_contact_name(score->contact_mesial));
    if (score->contact_distal != MC_CONTACT_UNSAID)
        say(w, " Contact distal %s.", mc_contact_name(score->contact_distal));
    stop(w);
}

/* "Against its neighbours: step to 11 +0.40 mm, by plan +0.62; space to 13 0.10 mm, no baseline."
 */
static void say_relatives(writer *w, const console *con, const mc_tooth_score *score) {
    bool any = false;
    for (int i = 0; i < MC_RELATIVES; i++) {
        const mc_relative_item *it = &score->relative[i];
        mc_relative what = (mc_relative)i;
        char name[40], read[40], planned[40];
        if (isnan(it->read))
            continue;
        words_relative(con->notation, what, it->neighbour, name, sizeof name);
        words_relative_number(what, it->read, read);
        words_relative_number(what, it->should_read, planned);
        say(w, "%s %s %s %s, %s%s", any ? ";" : " Against its neighbours:", name, read,
            words_unit(mc_relative_component(what)),
            isnan(it->should_read) ? "no baseline" : "by plan ",
            isnan(it->should_read) ? "" : planned);
        any = true;
    }
    if (any)
        say(w, ".");
    stop(w);
}

static bool any_followed(const mc_tooth_score *score) {
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (score->item[c].followed)
            return true;
    return false;
}

static void say_state(writer *w, const mc_tooth_score *score) {
    bool nothing_read = isnan(score->lag_index);
    if (score->state == MC_STATE_UNMEASURED && !nothing_read)
        say(w, " Too little was read to call it on plan.");
    else if (score->state == MC_STATE_UNMEASURED && any_followed(score))
        say(w, " Not measured at this check-up; the estimate rests on earlier readings.");
    else if (score->state == MC_STATE_UNMEASURED)
        say(w, " Not measured: where it stands is not known.");
    else if (score->state == MC_STATE_SEATED)
        say(w, " It seats, but too little was read to call it on plan.");
    else if (score->state == MC_STATE_ON_PLAN)
        say(w, " On plan. Largest deviation:");
    if (score->state != MC_STATE_ON_PLAN)
        stop(w);
}

static void say_end(writer *w, const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    char text[240];
    /* what was named in the sentence before is not named again */
    bool named = chart_furthest_end(chart, tooth) != score->worst;
    chart_end_sentence(chart, tooth, named, text, sizeof text);
    if (text[0] != '\0')
        say(w, " %s", text);
    stop(w);
}

/* Every sentence about a tooth. */
static void say_all(writer *w, const console *con, const chart_view *chart, mc_tooth tooth) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    mc_tooth_state standing = chart->a->states[tooth];
    w->out[0] = '\0';
    if (score) {
        say_care(w, score);
        say_state(w, score);
        say_worst(w, con, chart, tooth);
        say_end(w, chart, tooth);
        say_trend(w, con, chart, tooth);
        say_others(w, con, chart, tooth);
        say_findings(w, score);
        say_lag(w, score);
        say_relatives(w, con, score);
        if (score->attachment == MC_ATTACHMENT_INTACT)
            say(w, " Attachment intact.");
    } else {
        chart_statement(chart, w->out, w->size);
        w->used = strlen(w->out);
    }
    stop(w);
    if (!mc_tooth_may_move(standing))
        say(w, " Not to be moved: %s.",
            standing == MC_TOOTH_FIXED ? "the doctor's choice" : mc_tooth_state_name(standing));
    if (standing == MC_TOOTH_SHEDDING)
        say(w, " About to be shed.");
    stop(w);
}

/* The text without the blank that stands before its first sentence. */
static const char *begun(const char *text) {
    return *text == ' ' ? text + 1 : text;
}

void chart_sentence(const console *con, const chart_view *chart, mc_tooth tooth, char *out,
                    size_t size) {
    char text[1500] = "";
    writer w = {.out = text, .size = sizeof text};
    say_all(&w, con, chart, tooth);
    snprintf(out, size, "%s", begun(text));
}

static int rows_of(const console *con, const char *text, int cols) {
    char line[1000];
    int rows = 0;
    while (mc_text_line(&text, cols, con->theme.ascii, line, sizeof line))
        rows++;
    return rows;
}

/* Append so many bytes, as far as there is room. */
static void join(char *out, size_t size, const char *text, size_t length) {
    size_t used = strlen(out), room = size - 1 - used;
    length = length < room ? length : room;
    memcpy(out + used, text, length);
    out[used + length] = '\0';
}

static const char MORE[] = " More: w.";

void chart_brief(const console *con, const chart_view *chart, mc_tooth tooth, int rows, int cols,
                 char *out, size_t size) {
    char all[1500] = "", kept[1500] = "", tried[1500];
    writer w = {.out = all, .size = sizeof all, .brief = true};
    say_all(&w, con, chart, tooth);
    snprintf(out, size, "%s", begun(all));
    if (rows_of(con, out, cols) <= rows)
        return;
    size_t from = 0;
    for (size_t i = 0; i < w.count; from = w.end[i++]) {
        memcpy(tried, kept, sizeof tried);
        join(tried, sizeof tried, all + from, w.end[i] - from);
        size_t whole = strlen(tried);
        join(tried, sizeof tried, MORE, strlen(MORE));
        if (i > 0 && rows_of(con, begun(tried), cols) > rows)
            continue; /* a shorter one further on may still find room */
        memcpy(kept, tried, whole);
        kept[whole] = '\0';
    }
    snprintf(out, size, "%s%s", begun(kept), MORE);
}

void chart_statement(const chart_view *chart, char *out, size_t size) {
    const mc_assessment *a = chart->a;
    char day[11];
    out[0] = '\0';
    if (!a->has_plan) {
        snprintf(out, size, "No plan has been imported for this case yet%s",
                 a->kase.closed == MC_NO_DAY ? ": p imports it." : ".");
    } else if (!a->score && a->last_number > 0) {
        snprintf(out, size, "Nothing has been read on plan %d yet.", a->info.number);
    } else if (!a->score) {
        mc_day_text(a->info.start, day);
        snprintf(out, size, "No check-up yet: nothing has been measured on the plan begun on %s.",
                 day);
    }
}

void chart_decision_text(const chart_view *chart, char *out, size_t size) {
    const mc_assessment *a = chart->a;
    out[0] = '\0';
    if (a->decision_due)
        snprintf(out, size, ", decision waits");
    for (size_t i = 0; a->score && i < a->decision_count; i++) {
        char choices[160];
        if (a->decisions[i].checkup != a->score->number)
            continue;
        words_choices(a->decisions[i].choices, choices, sizeof choices);
        snprintf(out, size, ", signed %s (%s)", choices, a->decisions[i].by);
    }
}

const char *chart_proposal_mark(const mc_assessment *a) {
    return a->proposal.choice == MC_PROPOSE_EXAMINE ? "! " : "";
}

style chart_proposal_style(const mc_assessment *a) {
    return a->proposal.choice == MC_PROPOSE_EXAMINE ? STYLE_CARE : STYLE_STRONG;
}

void chart_proposal_label(const console *con, const chart_view *chart, char *out, size_t size) {
    char decision[200];
    chart_decision_text(chart, decision, sizeof decision);
    snprintf(out, size, "%sProposal, rule %d, %s%s%s: ", chart_proposal_mark(chart->a),
             chart->a->proposal.rule, mc_proposal_words(chart->a->proposal.choice), decision,
             con->notation == MC_NOTATION_ISO ? "" : " (ISO numbers)");
}
