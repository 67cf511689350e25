/* What the chart's marks mean, from the tables that draw them. */
#include "chart_view.h"
#include "help.h"
#include "words.h"

#include <stdio.h>

static void row_mark(const theme *look, pager *page, mark which, const char *means) {
    pager_add(page, STYLE_STRONG, theme_mark(look, which), means);
}

static void tooth_rows(const theme *look, pager *page) {
    pager_heading(page, "A tooth, from the line where the arches meet outwards");
    pager_add(page, STYLE_STRONG, "12 and a mark", "its number and its state");
    pager_add(page, STYLE_STRONG, "2.1",
              "its lag index: the largest deviation, in tolerances, times its risk weight");
    pager_add(page, STYLE_STRONG, "letters",
              "its worst item, and the way it has to go to reach its "
              "plan");
    pager_add(page, STYLE_STRONG, "three marks",
              "attachment; care, or that it ends outside; mobility grade (0 to 3)");
    pager_add(page, STYLE_STRONG, "( )", "a gap: no tooth stands here");
    row_mark(look, page, MARK_NOT_READ, "not read, not looked at: never to be taken as fine");
    pager_add(page, STYLE_STRONG, "number alone",
              "hidden by m: on plan or seated, and nothing found on it");
    row_mark(look, page, MARK_SECOND,
             "a deciduous tooth stands beside its successor: the cursor goes through both");
}

/* "bodily mesial", "extrusion", "rotation: mesial-in". */
static void add_way(const theme *look, pager *page, mc_component c, mc_tooth tooth, int way) {
    char code[16];
    const char *word = words_way(c, tooth, way);
    words_code(look, c, tooth, way, code);
    if (c == MC_OCCLUSAL)
        pager_add(page, STYLE_STRONG, code, word);
    else if (mc_component_is_linear(c))
        pager_format(page, STYLE_STRONG, code, "bodily %s", word);
    else
        pager_format(page, STYLE_STRONG, code, "%s: %s", mc_component_name(c), word);
}

/* Every way, as it is drawn for an upper front tooth and, where its words differ, a lower back
 * one. */
static void ways(const theme *look, pager *page) {
    mc_tooth front = mc_tooth_from_iso(12), back = mc_tooth_from_iso(46);
    pager_heading(page, "Letters of the worst item: which way to the plan");
    pager_add(page, STYLE_STRONG, "gap", "seat gap: the aligner does not seat");
    for (int c = 0; c < MC_COMPONENTS; c++) {
        for (int way = 1; way >= -1; way -= 2) {
            add_way(look, page, (mc_component)c, front, way);
            if (words_way(c, front, way) != words_way(c, back, way))
                add_way(look, page, (mc_component)c, back, way);
        }
    }
}

static void findings(const theme *look, pager *page) {
    pager_heading(page, "Attachments and care");
    for (int a = MC_ATTACHMENT_INTACT; a <= MC_ATTACHMENT_LOST; a++)
        pager_format(page, STYLE_STRONG, theme_mark(look, mark_of_attachment((mc_attachment)a)),
                     "attachment %s", mc_attachment_name((mc_attachment)a));
    row_mark(look, page, MARK_ATTACHMENT_UNSAID, "the plan has an attachment; not looked at");
    row_mark(look, page, MARK_FIXED,
             "not to be moved: implant, ankylosed, bridge, or the doctor's "
             "choice");
    row_mark(look, page, MARK_CARE,
             "needs care: pain on biting, swelling or pus, mobility of grade "
             "2 or 3");
}

static void table(const theme *look, pager *page) {
    pager_heading(page, "The table of the tooth under the cursor");
    pager_add(page, STYLE_STRONG, "planned",
              "where the plan wants it at this stage, from stage 0; + is "
              "mesial, buccal or labial, extrusion, mesial-in, "
              "crown mesial, crown buccal");
    pager_format(page, STYLE_STRONG, "observed",
                 "as read at this check-up; %s3: mean of three readings",
                 theme_mark(look, MARK_TIMES));
    pager_format(page, STYLE_STRONG, "estimate",
                 "where it most likely is, from all its readings, %s one standard deviation",
                 theme_mark(look, MARK_PLUS_MINUS));
    pager_add(page, STYLE_STRONG, "to plan",
              "how far the estimate is from the plan, and which way "
              "to go");
    pager_add(page, STYLE_STRONG, "shortfall",
              "the same along the planned movement: + short, - past "
              "(on larger screens)");
    pager_add(page, STYLE_STRONG, "index",
              "the distance in tolerances, and how likely it is that it is "
              "off by the tolerance or more");
    pager_add(page, STYLE_STRONG, "kind, weight",
              "on larger screens: short of a planned movement, past it, or drift where none is "
              "planned; the index times the weight counts for the lag index");
}

static void ends(const theme *look, pager *page) {
    pager_heading(page, "Where it will end");
    row_mark(look, page, MARK_ENDS_OUT,
             "expected to end further from its target than the finishing tolerance, and sure "
             "enough of it to be named");
    pager_add(page, STYLE_STRONG, "2.4 outside +9?",
              "right of the line between the arches: how many teeth are expected to end outside, "
              "and how many more there are of which nothing was read on this plan");
    pager_add(page, STYLE_STRONG, "9.2 deg short (4.1",
              "how far from its target a movement is expected to end, with its 90 % interval, and "
              "how likely that is outside the finishing tolerance");
    pager_add(page, STYLE_STRONG, "all in",
              "how likely all teeth of which something was read end inside (on larger screens)");
    pager_add(page, STYLE_STRONG, "pace, practice",
              "how much more or less of what is planned this mouth, and the practice's open cases, "
              "deliver than is expected, in points of a hundred (on larger screens, and by w)");
    pager_add(page, STYLE_STRONG, "at end",
              "in the table on larger screens: where it will be at the last stage, and how likely "
              "that is outside");
}

static void other_stages(const theme *look, pager *page) {
    pager_heading(page, "The plan at another stage (+, - and 0): no score of today");
    row_mark(look, page, MARK_MOVES, "the tooth moves on to the next stage");
    pager_add(page, STYLE_STRONG, "1.9 and letters",
              "how far it has to go from where it was at the check-up shown, in mm or deg of the "
              "movement that the letters tell");
    row_mark(look, page, MARK_PLACED, "an attachment is placed at this stage");
    row_mark(look, page, MARK_REMOVED, "one is removed at this stage");
    row_mark(look, page, MARK_PLANNED, "one stands by the plan");
    row_mark(look, page, MARK_IPR, "IPR is due at this stage");
    pager_add(page, STYLE_STRONG, "to go, next",
              "in the table: from the estimate to this stage, and on to the next stage");
}

static void series_and_course(pager *page) {
    pager_heading(page, "The series, and a tooth over the check-ups");
    pager_add(page, STYLE_STRONG, "day 6, st. 13.0",
              "the day of the aligner worn, and the stage at which the teeth are to be by then");
    pager_add(page, STYLE_STRONG, "lag in stages",
              "how many stages the tooth is behind; - is ahead (on larger screens)");
    pager_add(page, STYLE_STRONG, "share %",
              "how much of what was planned for it until then it has moved");
    pager_add(
        page, STYLE_STRONG, "drawn arches",
        "on the largest screens; what they mean is told by the help of the occlusal view (o)");
}

void chart_marks(console *con, void *self, pager *page) {
    (void)self;
    const theme *look = &con->theme;
    help_states(con, page);
    tooth_rows(look, page);
    ways(look, page);
    findings(look, page);
    table(look, page);
    ends(look, page);
    other_stages(look, page);
    series_and_course(page);
    pager_heading(page, "Order of the teeth");
    pager_add(page, STYLE_PLAIN, "",
              "Tab goes from the most urgent on: stalled, behind, drifting, "
              "past plan, slipping; within a state the larger lag index "
              "first. The list beside the chart, on larger screens, goes on with the "
              "others.");
    pager_heading(page, "Decision support");
    pager_add(page, STYLE_PLAIN, "", CHART_CAUTION);
}
