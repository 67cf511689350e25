/* What the marks of the tooth screen mean, from the tables that draw them. */
#include "help.h"
#include "tooth_view.h"

static void plot(const theme *look, pager *page) {
    static const struct {
        mark mark;
        const char *means;
    } rows[] = {{MARK_PLOT_PLAN, "the planned path, from stage 0 to the last stage of the arch"},
                {MARK_PLOT_READING, "as read at a check-up, at the stage at which the arch stood"},
                {MARK_PLOT_SPREAD, "one standard deviation of the reading, each way"},
                {MARK_PLOT_ESTIMATE, "where it most likely was, from all readings until then"},
                {MARK_PLOT_BOTH, "a reading and its estimate in one place"},
                {MARK_PLOT_AHEAD, "the forecast: where it will be with 90 %, from now to the end"},
                {MARK_PLOT_END, "the expected end"},
                {MARK_PLOT_TOLERANCE, "the tracking tolerance about the plan, up to now"},
                {MARK_PLOT_FINISH, "the finishing tolerance about the target, at the end"},
                {MARK_PLOT_NOW, "now: the stage of the arch at the check-up shown"}};
    pager_heading(page, "The plot");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        pager_add(page, STYLE_STRONG, theme_mark(look, rows[i].mark), rows[i].means);
    pager_format(page, STYLE_STRONG, "rotation",
                 "of the six names the one chosen is reversed; %s: planned, but not read on this "
                 "plan; faint: neither planned nor read",
                 theme_mark(look, MARK_UNMEASURED));
}

static void words(pager *page) {
    pager_heading(page, "Words and table");
    pager_add(page, STYLE_STRONG, "ends 9.2 deg short",
              "how far from its target it is expected to end, with its 90 % interval, and how "
              "likely that is outside the finishing tolerance");
    pager_add(page, STYLE_STRONG, "delivers",
              "the share of the planned movement that it delivers, beside the share that is "
              "expected of this movement");
    pager_add(page, STYLE_STRONG, "grip",
              "a tooth keeps it while its attachment stands, its seat gap is small and it is not "
              "far short; one that has lost it moves less from then on");
    pager_add(page, STYLE_STRONG, "shortfall",
              "planned less estimated along the planned movement: + short, - past");
    pager_add(page, STYLE_STRONG, "off", "how likely it was off by the tracking tolerance or more");
}

void tooth_marks(console *con, void *self, pager *page) {
    (void)self;
    plot(&con->theme, page);
    words(page);
    help_states(con, page);
}
