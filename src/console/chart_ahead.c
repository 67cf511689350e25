/* Looking at the plan at other stages than the check-up's own: what each tooth is asked there, how
 * far that is from where it was known to be, and what is due. No state and no index is shown on
 * the way, so that nothing can be taken for a score of today. */
#include "chart_ahead.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- the stage looked at ---- */

static double last_stage(const chart_view *chart, mc_arch arch) {
    return chart->a->has_plan ? mc_plan_stages(chart->a->plan, arch) : 0;
}

/* Where the steps begin: the check-up's own stage; by the dates where the arch was not looked at.
 */
static double own_stage(const console *con, const chart_view *chart, mc_arch arch) {
    const mc_assessment *a = chart->a;
    double stage = chart_stage(con, chart, arch);
    if (!isnan(stage) || last_stage(chart, arch) == 0)
        return stage;
    return mc_series_aligner_on(&a->series[arch], a->score ? a->score->date : con->today, NULL);
}

double chart_ahead_stage(const console *con, const chart_view *chart, mc_arch arch) {
    const double tiny = 1e-9;
    double own = own_stage(con, chart, arch), last = last_stage(chart, arch);
    if (isnan(own) || chart->steps == 0)
        return own;
    double stage = (chart->steps > 0 ? floor(own + tiny) : ceil(own - tiny)) + chart->steps;
    return fmin(fmax(stage, 0), last);
}

bool chart_ahead_step(const console *con, chart_view *chart, int step) {
    double before[MC_ARCHES];
    bool moved = false;
    for (int arch = 0; arch < MC_ARCHES; arch++)
        before[arch] = chart_ahead_stage(con, chart, (mc_arch)arch);
    chart->steps += step;
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        double now = chart_ahead_stage(con, chart, (mc_arch)arch);
        moved = moved || (last_stage(chart, (mc_arch)arch) > 0 && now != before[arch]);
    }
    if (!moved)
        chart->steps -= step;
    return moved;
}

const char *chart_ahead_way(const chart_view *chart) {
    return chart->steps < 0 ? "looking back" : "looking ahead";
}

void chart_ahead_name(const console *con, const chart_view *chart, char *out, size_t size) {
    double stage[MC_ARCHES];
    for (int arch = 0; arch < MC_ARCHES; arch++)
        stage[arch] = chart_ahead_stage(con, chart, (mc_arch)arch);
    bool both = last_stage(chart, MC_UPPER) > 0 && last_stage(chart, MC_LOWER) > 0;
    if (both && stage[MC_UPPER] != stage[MC_LOWER])
        snprintf(out, size, "stages %.0f, %.0f", stage[MC_UPPER], stage[MC_LOWER]);
    else
        snprintf(out, size, "stage %.0f",
                 stage[last_stage(chart, MC_UPPER) > 0 ? MC_UPPER : MC_LOWER]);
}

/* ---- what a stage asks of a tooth ---- */

double chart_ahead_planned(const console *con, const chart_view *chart, mc_tooth tooth,
                           mc_component c) {
    double stage = chart_ahead_stage(con, chart, mc_tooth_arch(tooth));
    return chart->a->has_plan && !isnan(stage) ? mc_plan_at(chart->a->plan, tooth, c, stage) : NAN;
}

double chart_ahead_to_go(const console *con, const chart_view *chart, mc_tooth tooth,
                         mc_component c) {
    const mc_tooth_score *score = chart_score(chart, tooth);
    if (!score || !score->item[c].followed)
        return NAN;
    return chart_ahead_planned(con, chart, tooth, c) - score->item[c].mean;
}

double chart_ahead_next(const console *con, const chart_view *chart, mc_tooth tooth,
                        mc_component c) {
    mc_arch arch = mc_tooth_arch(tooth);
    double stage = chart_ahead_stage(con, chart, arch);
    if (!chart->a->has_plan || isnan(stage))
        return NAN;
    double next = fmin(floor(stage + 1e-9) + 1, last_stage(chart, arch));
    return mc_plan_at(chart->a->plan, tooth, c, next) - mc_plan_at(chart->a->plan, tooth, c, stage);
}

/* The least that is worth naming of one step: half of what the screen shows. */
static bool is_step(mc_component c, double by) {
    return fabs(by) >= (mc_component_is_linear(c) ? 0.005 : 0.05);
}

bool chart_ahead_moves(const console *con, const chart_view *chart, mc_tooth tooth) {
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (is_step((mc_component)c, chart_ahead_next(con, chart, tooth, (mc_component)c)))
            return true;
    return false;
}

int chart_ahead_furthest(const console *con, const chart_view *chart, mc_tooth tooth) {
    int furthest = MC_WORST_NONE;
    double most = -1;
    for (int c = 0; c < MC_COMPONENTS; c++) {
        double far = fabs(chart_ahead_to_go(con, chart, tooth, (mc_component)c)) /
                     mc_tolerance(&chart->a->settings, (mc_component)c);
        if (far > most) {
            most = far;
            furthest = c;
        }
    }
    return furthest;
}

/* ---- what is due ---- */

mc_mark chart_ahead_mark(const console *con, const chart_view *chart, mc_tooth tooth) {
    const mc_plan_row *row = NULL;
    double stage = chart_ahead_stage(con, chart, mc_tooth_arch(tooth));
    size_t count = chart->a->has_plan ? mc_plan_tooth_rows(chart->a->plan, tooth, &row) : 0;
    for (size_t i = 0; i < count; i++)
        if (row[i].stage == stage)
            return row[i].attachment;
    return MC_MARK_NONE;
}

double chart_ahead_ipr(const console *con, const chart_view *chart, mc_tooth tooth, bool mesial) {
    double stage = chart_ahead_stage(con, chart, mc_tooth_arch(tooth));
    if (!chart->a->has_plan || isnan(stage) || stage != floor(stage))
        return 0;
    double before = stage > 0 ? mc_plan_ipr(chart->a->plan, tooth, mesial, stage - 1) : 0;
    double due = mc_plan_ipr(chart->a->plan, tooth, mesial, stage) - before;
    return due > 1e-9 ? due : 0;
}

/* ---- in words ---- */

/* Text being added to, with a word before the first and a separator before each further one. */
typedef struct list {
    char *out;
    size_t size;
    const char *before;
    int count;
} list;

static void append(char *out, size_t size, const char *text) {
    size_t used = strlen(out);
    snprintf(out + used, size - used, "%s", text);
}

static void add(list *l, const char *text) {
    append(l->out, l->size, l->count++ ? ", " : l->before);
    append(l->out, l->size, text);
}

/* "rotation 8.4 deg mesial-in", "0.25 mm distal". */
static void add_movement(list *l, mc_tooth tooth, mc_component c, double by) {
    char text[100];
    bool bodily = mc_component_is_linear(c);
    snprintf(text, sizeof text, "%s%s%.*f %s %s", bodily ? "" : mc_component_name(c),
             bodily ? "" : " ", words_decimals(c), fabs(by), words_unit(c),
             mc_component_word(c, tooth, by > 0));
    add(l, text);
}

/* Of a tolerance: what is less than this to go is told by the table alone. */
static const double WORTH_SAYING = 0.5;

static void say_to_go(const console *con, const chart_view *chart, mc_tooth tooth, char *out,
                      size_t size) {
    char before[80];
    int furthest = chart_ahead_furthest(con, chart, tooth), number = 0;
    if (furthest == MC_WORST_NONE) {
        append(out, size, "Never read on this plan: how far it has to go is not known.");
        return;
    }
    number = chart->a->score->number;
    snprintf(before, sizeof before, "To go from where it was at check-up %d: ", number);
    list l = {out, size, before, 0};
    add_movement(&l, tooth, (mc_component)furthest,
                 chart_ahead_to_go(con, chart, tooth, (mc_component)furthest));
    for (int c = 0; c < MC_COMPONENTS; c++) {
        double by = chart_ahead_to_go(con, chart, tooth, (mc_component)c);
        if (c != furthest &&
            fabs(by) >= WORTH_SAYING * mc_tolerance(&chart->a->settings, (mc_component)c))
            add_movement(&l, tooth, (mc_component)c, by);
    }
    append(out, size, ".");
}

static void say_next(const console *con, const chart_view *chart, mc_tooth tooth, char *out,
                     size_t size) {
    list l = {out, size, " The next stage moves it by ", 0};
    for (int c = 0; c < MC_COMPONENTS; c++) {
        double by = chart_ahead_next(con, chart, tooth, (mc_component)c);
        if (is_step((mc_component)c, by))
            add_movement(&l, tooth, (mc_component)c, by);
    }
    append(out, size, l.count ? "." : " The next stage does not move it.");
}

void chart_ahead_sentence(const console *con, const chart_view *chart, mc_tooth tooth, char *out,
                          size_t size) {
    mc_arch arch = mc_tooth_arch(tooth);
    out[0] = '\0';
    if (last_stage(chart, arch) == 0) {
        append(out, size, "This arch has no series in the plan.");
        return;
    }
    say_to_go(con, chart, tooth, out, size);
    if (chart_ahead_stage(con, chart, arch) >= last_stage(chart, arch))
        append(out, size, " The plan ends here.");
    else
        say_next(con, chart, tooth, out, size);
}

static void add_tooth(const console *con, list *l, mc_tooth tooth) {
    add(l, words_tooth(con->notation, tooth).text);
}

static void say_marks(const console *con, const chart_view *chart, mc_mark which,
                      const char *before, char *out, size_t size) {
    list l = {out, size, before, 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        if (chart_stands(chart, tooth) && chart_ahead_mark(con, chart, tooth) == which)
            add_tooth(con, &l, tooth);
    append(out, size, l.count ? ". " : "");
}

static void say_ipr(const console *con, const chart_view *chart, char *out, size_t size) {
    list l = {out, size, "IPR due: ", 0};
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        for (int mesial = 1; mesial >= 0; mesial--) {
            double due = chart_ahead_ipr(con, chart, tooth, mesial);
            char text[60];
            snprintf(text, sizeof text, "%s %s %.2f mm", words_tooth(con->notation, tooth).text,
                     mesial ? "mesial" : "distal", due);
            if (due > 0 && chart_stands(chart, tooth))
                add(&l, text);
        }
    append(out, size, l.count ? ". " : "");
}

void chart_ahead_due(const console *con, const chart_view *chart, char *out, size_t size) {
    char text[100];
    int moving = 0;
    out[0] = '\0';
    say_marks(con, chart, MC_MARK_PLACED, "Attachments to be placed: ", out, size);
    say_marks(con, chart, MC_MARK_REMOVED, "Attachments to be removed: ", out, size);
    say_ipr(con, chart, out, size);
    if (out[0] == '\0')
        append(out, size, "No attachment and no IPR is due. ");
    for (mc_tooth tooth = 0; tooth < MC_TEETH; tooth++)
        moving += chart_stands(chart, tooth) && chart_ahead_moves(con, chart, tooth);
    if (moving == 0)
        snprintf(text, sizeof text, "No tooth moves on from here.");
    else
        snprintf(text, sizeof text, "%d %s on to the next stage.", moving,
                 moving == 1 ? "tooth moves" : "teeth move");
    append(out, size, text);
}
