/* What the drawing of the arches means. */
#include "help.h"
#include "occlusal_view.h"

void occlusal_marks(console *con, void *self, pager *page) {
    const theme *look = &con->theme;
    (void)self;
    pager_heading(page, "The drawing");
    pager_add(page, STYLE_STRONG, "solid outline",
              "where the crown is by all readings of its tooth; what was never read of it is taken "
              "as planned");
    pager_add(page, STYLE_FAINT, "dotted outline",
              "where the plan wants it at the stage looked at; alone, with a mark: where the tooth "
              "is was never read");
    pager_add(page, STYLE_STRONG, "filled",
              "every second dot: stalled or behind; slanting: drifting or past plan; one dot in "
              "four: slipping");
    pager_add(page, STYLE_STRONG, "tick",
              "outside a crown that is turned: solid where it faces, dotted where it should");
    pager_add(page, STYLE_STRONG, "lag drawn x3",
              "the way from where the plan wants a crown to where it is, and its turn, drawn so "
              "much larger than they are; x draws them in true size");
    pager_add(page, STYLE_STRONG, "from this side",
              "mesial, buccal and rotation show; extrusion, angulation and inclination do not, and "
              "are in the numbers beside");
    pager_add(page, STYLE_STRONG, "estimated",
              "no positions of the arch were measured: crowns of usual size stand on a usual form "
              "of arch, in contact where the plan ends");
    pager_heading(page, "Marks beside a crown");
    pager_add(page, STYLE_STRONG, "none", "on plan");
    pager_add(page, STYLE_STRONG, theme_mark(look, MARK_CARE),
              "needs care: pain on biting, swelling or pus, mobility of grade 2 or 3");
    pager_add(page, STYLE_STRONG, theme_mark(look, MARK_FIXED), "not to be moved");
    pager_add(page, STYLE_STRONG, theme_mark(look, MARK_PLACED),
              "at another stage: an attachment is placed");
    pager_add(page, STYLE_STRONG, theme_mark(look, MARK_REMOVED), "an attachment is removed");
    pager_add(page, STYLE_STRONG, theme_mark(look, MARK_IPR), "IPR is due");
    help_states(con, page);
}
