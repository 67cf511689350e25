/* Right of the arches: which aligner is worn, since when, and the frame of the check-up; and upon
 * the arches what was said of each tooth's seat. */
#include "entry_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *arch_word(mc_arch arch) {
    return arch == MC_UPPER ? "upper" : "lower";
}

/* In a tooth's third line, where its seat gap is what is worst of it: the gap in mm, or that it
 * was said of all the rest. */
void entry_draw_gaps(const console *con, const entry *e, mc_arch arch, area box) {
    enum { THIRD = 2, CELL = 3 };
    int row = arch == MC_UPPER ? box.row + ARCH_ROWS - 1 - THIRD : box.row + THIRD;
    mc_tooth teeth[MC_TEETH];
    int count = chart_arch_order(&e->chart, arch, teeth);
    for (int i = 0; i < count; i++) {
        bool bulk = false, shown = true;
        mc_tooth permanent, deciduous;
        int place = chart_place_of(teeth[i]);
        chart_place(&e->chart, arch, place, &permanent, &deciduous);
        if (permanent != MC_NO_TOOTH && deciduous != MC_NO_TOOTH)
            shown = teeth[i] == (e->chart.cursor == deciduous ? deciduous : permanent);
        double gap = entry_gap(e, teeth[i], &bulk);
        if (!shown || isnan(gap) || chart_score(&e->chart, teeth[i])->worst != MC_WORST_SEAT_GAP)
            continue;
        int col = box.col + CELL_COLS * place;
        style ink = bulk ? STYLE_FAINT : STYLE_PLAIN;
        if (bulk)
            put(&con->theme, row, col, CELL, ink, "all");
        else
            put_format(&con->theme, row, col, CELL, ink, "%3.1f", gap);
        if (teeth[i] == e->chart.cursor)
            paint_over(&con->theme, (area){row, col, 1, CELL}, STYLE_SELECTED);
    }
}

static void draw_standing(const console *con, const entry *e, mc_arch arch, area box) {
    enum { WIDE = 40 };
    const theme *look = &con->theme;
    const mc_checkup *checkup = mc_draft_checkup(e->draft);
    int aligner = checkup->aligner[arch], day = checkup->day[arch];
    int stages = e->shown.series[arch].stages;
    bool wide = box.cols >= WIDE;
    char when[20] = "";
    bool entered = entry_was_entered(e, MC_STEP_ALIGNER, arch);
    if (stages == 0) {
        put_format(look, box.row, box.col, box.cols, STYLE_PLAIN, "%s: no series", arch_word(arch));
        return;
    }
    if (aligner == MC_NO_ALIGNER) {
        put_format(look, box.row, box.col, box.cols, STYLE_STRONG, "%s not looked",
                   arch_word(arch));
        put(look, box.row + 1, box.col, box.cols, STYLE_STRONG, "at: k enters it");
        return;
    }
    put_format(look, box.row, box.col, box.cols, STYLE_STRONG,
               wide           ? "%s aligner %d of %d"
               : stages < 100 ? "%s %d of %d"
                              : "%s %d/%d",
               arch_word(arch), aligner, stages);
    if (day >= 0)
        snprintf(when, sizeof when, "day %d, ", day);
    put_format(look, box.row + 1, box.col, box.cols, STYLE_PLAIN, "%s%s %.1f", when,
               wide ? "stage" : "st.", e->shown.score->effective_stage[arch]);
    put(look, box.row + 2, box.col, box.cols, entered ? STYLE_PLAIN : STYLE_FAINT,
        entered                                   ? "as entered"
        : entry_was_entered(e, MC_STEP_DAY, arch) ? "day as entered"
                                                  : "by the dates (k)");
}

void entry_draw_side(const console *con, const entry *e, mc_arch arch, area box) {
    const theme *look = &con->theme;
    const mc_checkup *checkup = mc_draft_checkup(e->draft);
    draw_standing(con, e, arch, box);
    int row = box.row + ARCH_ROWS - 1;
    bool noted = checkup->note && checkup->note[0];
    if (arch == MC_LOWER) {
        put_format(look, row, box.col, box.cols, noted ? STYLE_PLAIN : STYLE_FAINT, "%s%s",
                   noted ? "note: " : "no note", noted ? checkup->note : "");
        return;
    }
    if (isnan(checkup->wear_hours))
        put(look, row, box.col, box.cols, STYLE_FAINT, "wear not said");
    else
        put_format(look, row, box.col, box.cols, STYLE_PLAIN, "wear %.4g h a day",
                   checkup->wear_hours);
    put_format(look, row + 1, box.col, box.cols, STYLE_PLAIN, "method %s",
               mc_method_name(checkup->method));
}
