/* Help, generated from the tables that dispatch and draw. */
#include "help.h"

#include <stdio.h>

static void list_keys(pager *page, const key_row *keys) {
    for (const key_row *row = keys; row && row->act; row++)
        pager_add(page, STYLE_STRONG, row->name, row->does);
}

void help_open(console *con) {
    const screen_ops *ops = con->stack[con->depth - 1].ops;
    void *self = con->stack[con->depth - 1].self;
    char title[80];
    snprintf(title, sizeof title, "Help: %s", ops->name);
    pager *page = pager_new(title);
    if (!page) {
        frame_say(con, "Out of memory.");
        return;
    }
    pager_heading(page, "Keys here");
    if (ops->typing)
        pager_add(page, STYLE_STRONG, "letters, digits", ops->typing);
    list_keys(page, ops->keys);
    pager_heading(page, "Keys everywhere");
    list_keys(page, frame_keys());
    pager_heading(page, "While a line of text is asked for");
    list_keys(page, prompt_keys());
    pager_add(page, STYLE_STRONG, "Backspace", "take the last character back");
    pager_add(page, STYLE_STRONG, "Ctrl-U", "take all of it back");
    if (ops->marks)
        ops->marks(con, self, page);
    pager_open(con, page);
}

void help_states(const console *con, pager *page) {
    static const struct {
        mc_state state;
        const char *means;
    } rows[] = {
        {MC_STATE_STALLED, "behind now and before, and hardly moved since: look for the cause"},
        {MC_STATE_BEHIND, "short of the plan by the tolerance or more, and sure enough of it"},
        {MC_STATE_DRIFTING, "off by the tolerance or more where the plan asks for no movement, or "
                            "the wrong way"},
        {MC_STATE_PAST_PLAN, "gone further than planned by the tolerance or more"},
        {MC_STATE_SLIPPING, "on the way to being off; teeth that often lag are named earlier"},
        {MC_STATE_SEATED, "fits the aligner, but too little was read to call it on plan"},
        {MC_STATE_ON_PLAN, "measured, and where the plan wants it"},
        {MC_STATE_UNMEASURED, "nothing read, or too little: not known, never counted as fine"}};
    pager_heading(page, "States of a tooth, the most urgent first");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char label[40];
        snprintf(label, sizeof label, "%s %s",
                 theme_mark(&con->theme, mark_of_state(rows[i].state)),
                 mc_state_word(rows[i].state));
        pager_add(page, style_of_state(rows[i].state), label, rows[i].means);
    }
}
