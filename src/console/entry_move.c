/* Where the check-up form's cursor goes. */
#include "entry_view.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

int entry_walk(const entry *e, mc_tooth out[MC_TEETH]) {
    mc_tooth lower[MC_TEETH];
    int count = chart_arch_order(&e->chart, MC_UPPER, out);
    int below = chart_arch_order(&e->chart, MC_LOWER, lower);
    for (int i = below; i > 0; i--)
        out[count++] = lower[i - 1];
    return count;
}

void entry_go(entry *e, mc_tooth tooth) {
    if (tooth != e->chart.cursor)
        e->row = 0;
    bool another = tooth != e->chart.cursor;
    e->chart.cursor = tooth;
    e->at_end = false;
    if (another && e->pass == ENTRY_RELATIVE)
        entry_first_relative(e);
}

static int unsaid(const entry *e) {
    entry_counts counts = entry_count(e);
    return counts.teeth - counts.gaps;
}

/* The end of the walk: how much of it was passed over. */
static void say_end(const entry *e, char *why, size_t size) {
    int left = unsaid(e);
    if (left > 0)
        snprintf(why, size, "the last tooth: %d without a gap, Tab goes there", left);
    else
        snprintf(why, size, "every gap is said");
}

void entry_next_tooth(const console *con, entry *e, char *more, size_t size) {
    mc_tooth teeth[MC_TEETH];
    int count = entry_walk(e, teeth), at = 0;
    while (at < count && teeth[at] != e->chart.cursor)
        at++;
    if (at + 1 >= count) {
        e->at_end = true;
        say_end(e, more, size);
        return;
    }
    mc_arch arch = mc_tooth_arch(teeth[at + 1]);
    if (!entry_takes_gaps(e, arch)) {
        e->at_end = true;
        snprintf(more, size, "the %s arch %s", arch == MC_UPPER ? "upper" : "lower",
                 e->shown.series[arch].stages > 0 ? "has no aligner entered" : "has no series");
        return;
    }
    entry_go(e, teeth[at + 1]);
    snprintf(more, size, "next %s", words_tooth(con->notation, teeth[at + 1]).text);
}

mc_tooth entry_first_unsaid(const entry *e) {
    mc_tooth teeth[MC_TEETH];
    int count = entry_walk(e, teeth);
    for (int i = 0; i < count; i++) {
        bool bulk = false;
        if (entry_takes_gaps(e, mc_tooth_arch(teeth[i])) && isnan(entry_gap(e, teeth[i], &bulk)))
            return teeth[i];
    }
    return MC_NO_TOOTH;
}

size_t entry_worth(const entry *e, mc_tooth out[MC_MOST_WORTH]) {
    mc_tooth worth[MC_MOST_WORTH];
    size_t count = mc_draft_worth(e->draft, worth), left = 0;
    for (size_t i = 0; i < count; i++)
        if (!e->passed[worth[i]])
            out[left++] = worth[i];
    return left;
}

bool entry_offer_in(entry *e, entry_pass pass) {
    mc_tooth worth[MC_MOST_WORTH];
    if (entry_worth(e, worth) == 0)
        return false;
    entry_go(e, worth[0]);
    entry_set_pass(e, pass, pass == ENTRY_RELATIVE ? e->field : FIELD_COMPONENT);
    return true;
}

bool entry_offer(entry *e) {
    return entry_offer_in(e, ENTRY_READ);
}

void entry_set_pass(entry *e, entry_pass pass, int field) {
    bool aside = pass == ENTRY_FINDINGS || pass == ENTRY_FRAME;
    if (aside && e->pass <= ENTRY_RELATIVE) {
        e->pass_before = e->pass;
        e->field_before = e->field;
    }
    e->pass = pass;
    e->field = field;
    e->at_end = false;
    entry_drop_typed(e);
}

void entry_step_back(entry *e) {
    entry_set_pass(e, e->pass_before, e->field_before);
}
