/* The end of a check-up's entry: completed, or thrown away. */
#include "entry_view.h"

#include <stdio.h>

static void completed(console *con, entry *e, int number) {
    void (*after)(console *, void *) = e->after;
    frame_back(con, e);
    frame_say(con, "Check-up %d is completed and on the disk.", number);
    after(con, con->stack[con->depth - 1].self); /* may have to say that it cannot be read */
}

static void complete(console *con, void *screen);

/* What is in it stands on the screen, with what is unlikely of it. */
static void ask(console *con, entry *e) {
    char question[100];
    e->reviewing = true;
    snprintf(question, sizeof question,
             e->warnings.count > 0 ? "Unlikely, as it stands above. Complete check-up %d?"
                                   : "Complete check-up %d?",
             mc_draft_number(e->draft));
    frame_ask_at_chair(con, 'y', complete, question);
}

static void complete(console *con, void *screen) {
    entry *e = screen;
    mc_error error = {0};
    int number = 0;
    bool accepted = e->warnings.count > 0;
    mc_warnings_free(&e->warnings);
    if (mc_draft_complete(e->draft, accepted, &number, &e->warnings, &error) == MC_OK) {
        completed(con, e, number);
        return;
    }
    entry_take_in(e);
    if (e->warnings.count > 0 && !e->gone)
        ask(con, e); /* it became unlikely meanwhile */
    else
        frame_refuse(con, &error);
}

void entry_ask_complete(console *con, void *self) {
    entry *e = self;
    mc_error error = {0};
    if (!entry_ready(con, e))
        return;
    mc_warnings_free(&e->warnings);
    if (mc_draft_review(e->draft, &e->warnings, &error) == MC_OK)
        ask(con, e);
    else
        frame_refuse(con, &error);
}

static void discard(console *con, void *screen) {
    entry *e = screen;
    mc_error error = {0};
    int number = mc_draft_number(e->draft);
    if (mc_draft_discard(e->draft, &error) != MC_OK) {
        entry_take_in(e);
        frame_refuse(con, &error);
        return;
    }
    frame_back(con, e);
    frame_say(con, "Check-up %d was thrown away.", number);
}

void entry_ask_discard(console *con, void *self) {
    entry *e = self;
    char question[120];
    if (!entry_ready(con, e))
        return;
    if (!mc_draft_on_record(e->draft)) {
        frame_say(con, "Nothing is entered yet: Esc leaves.");
        return;
    }
    e->reviewing = false;
    snprintf(question, sizeof question, "Throw check-up %d away?", mc_draft_number(e->draft));
    frame_ask_at_chair(con, 'y', discard, question);
}
