/* What the check-up form's marks mean. */
#include "entry_view.h"
#include "help.h"
#include "words.h"

void entry_marks(console *con, void *self, pager *page) {
    const theme *look = &con->theme;
    pager_heading(page, "Care");
    pager_add(page, STYLE_CARE, "doctor first",
              "pain on biting, swelling or pus, and a tooth looser than it was are for the doctor "
              "before anything else is done: no aligner is changed until then");
    pager_add(page, STYLE_PLAIN, "nothing is lost",
              "every value is on record as soon as it is taken, and on the disk within a second; "
              "the form opens again where it stood");
    pager_heading(page, "The form");
    pager_add(page, STYLE_STRONG, "0.4 in line 3", "seat gap in mm, said of this tooth");
    pager_add(
        page, STYLE_STRONG, "all",
        "seats (a gap of 0.0 mm), said of all the rest at once and not of this tooth by itself; so "
        "it is kept on record");
    pager_format(page, STYLE_STRONG, theme_mark(look, MARK_NOT_READ),
                 "nothing said: never to be taken as fine");
    pager_add(page, STYLE_STRONG, "sh., obs",
              "a position as short of today's plan, or as observed from stage 0");
    pager_add(page, STYLE_STRONG, "by plan",
              "what a space, a step or an angle should read today: its baseline and what the plan "
              "moves the tooth and its neighbour by. The baseline is read at aligner 0; a reading "
              "that has none is kept, but tells nothing of where the tooth is");
    pager_add(page, STYLE_STRONG, "lab, pal, occ, gin",
              "the tooth stands more to the lip, the palate, the other jaw or the gum than its "
              "neighbour");
    pager_add(page, STYLE_STRONG, "by the dates",
              "aligner and day as the calendar has them; k enters what is really worn");
    pager_add(page, STYLE_STRONG, "worth reading",
              "the teeth whose position is most likely to matter; the reading pass offers them in "
              "this order");
    pager_add(page, STYLE_STRONG, "as it stands",
              "the proposal if the check-up were completed now: it changes with every value");
    pager_heading(page, "Instruments");
    pager_add(page, STYLE_PLAIN, "",
              "A caliper that types a number and Enter enters and moves on by itself: have it type "
              "a point or comma (0.40). What it types never answers a question; while one is open, "
              "and where no field takes it, a number goes by as a whole and the status line says "
              "so.");
    chart_marks(con, self, page);
}
