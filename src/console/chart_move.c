/* Moving among the teeth of a chart, and what they are called. */
#include "chart_view.h"

#include <stdlib.h>

int chart_arch_order(const chart_view *chart, mc_arch arch, mc_tooth out[MC_TEETH]) {
    int count = 0;
    for (int place = 0; place < ARCH_PLACES; place++) {
        mc_tooth permanent, deciduous;
        chart_place(chart, arch, place, &permanent, &deciduous);
        if (permanent != MC_NO_TOOTH)
            out[count++] = permanent;
        if (deciduous != MC_NO_TOOTH)
            out[count++] = deciduous;
    }
    return count;
}

void chart_move_along(chart_view *chart, int steps) {
    mc_tooth teeth[MC_TEETH];
    if (chart->cursor == MC_NO_TOOTH)
        return;
    int count = chart_arch_order(chart, mc_tooth_arch(chart->cursor), teeth), at = 0;
    while (at < count && teeth[at] != chart->cursor)
        at++;
    int to = at + steps;
    to = to < 0 ? 0 : to >= count ? count - 1 : to;
    chart->cursor = teeth[to];
}

void chart_cross_over(chart_view *chart, mc_arch arch) {
    mc_tooth teeth[MC_TEETH];
    if (chart->cursor == MC_NO_TOOTH || mc_tooth_arch(chart->cursor) == arch)
        return;
    int count = chart_arch_order(chart, arch, teeth), place = chart_place_of(chart->cursor);
    int nearest = ARCH_PLACES;
    for (int i = 0; i < count; i++) {
        int distance = abs(chart_place_of(teeth[i]) - place);
        if (distance < nearest) {
            nearest = distance;
            chart->cursor = teeth[i];
        }
    }
}

void chart_change_notation(console *con, void *self) {
    static const char *const names[] = {"ISO 3950 (11 to 48, 51 to 85)", "1 to 32, A to T",
                                        "quadrant (UR1 to LL8, URA to LLE)"};
    (void)self;
    con->notation = (mc_notation)((con->notation + 1) % (MC_NOTATION_QUADRANT + 1));
    frame_say(con, "Tooth notation: %s.", names[con->notation]);
}
