/* What a doctor takes over at the practice screen: the own accuracy, and method errors as measured
 * from what was read twice. Both are asked about, with a reason. */
#include "practice_view.h"

#include "midcourse/exchange.h"
#include "pager.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- own accuracy ---- */

static int ready_count(const practice_view *v) {
    int count = 0;
    for (int i = 0; i < v->count; i++)
        count += practice_share(v, i)->can_be_used;
    return count;
}

static void take_it(console *con, void *self) {
    practice_view *v = self;
    mc_error error = {0};
    size_t taken = 0;
    int64_t set = 0;
    if (mc_accuracy_use(con->practice, &v->found, v->reason, &taken, &set, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    if (practice_look(con, v))
        frame_say(con,
                  "%zu share%s taken over (settings set %lld). Check-ups keep the set they were "
                  "scored with.",
                  taken, taken == 1 ? "" : "s", (long long)set);
}

static bool keep_reason(console *con, practice_view *v, const char *text) {
    snprintf(v->reason, sizeof v->reason, "%s", text);
    if (strspn(text, " ") < strlen(text))
        return true;
    frame_refuse_words(con, "Without a reason nothing is changed.");
    return false;
}

static void with_reason(console *con, void *self, const char *text) {
    char question[120];
    practice_view *v = self;
    int ready = ready_count(v);
    if (!keep_reason(con, v, text))
        return;
    snprintf(question, sizeof question, "Expect %s of new check-ups from now on?",
             ready == 1 ? "this one share" : "these shares");
    frame_ask(con, 'y', take_it, question);
}

static void ask_reason(console *con, void *self) {
    char label[PROMPT_LABEL];
    int ready = ready_count(self);
    snprintf(label, sizeof label, "Take over %d share%s, why (kept in the journal)?", ready,
             ready == 1 ? "" : "s");
    frame_prompt(con, label, NULL, false, with_reason);
}

void practice_take_over(console *con, void *self) {
    const practice_view *v = self;
    if (practice_is_reading(v))
        frame_say(con, "The plans are still being read: a moment.");
    else if (ready_count(v) == 0)
        frame_say(con, "Nothing can be taken over: a share needs five patients whose plans are "
                       "closed or superseded.");
    else
        frame_with_role(con, BY_DOCTOR, "takes the practice's own accuracy over", ask_reason);
}

/* ---- method errors ---- */

static void keep_it(console *con, void *self) {
    practice_view *v = self;
    mc_error error = {0};
    int64_t set = 0;
    if (mc_own_methods_keep(con->practice, &v->measured, v->reason, &set, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    if (practice_look(con, v))
        frame_say(con, "Kept (settings set %lld). Check-ups keep the set they were scored with.",
                  (long long)set);
}

static void with_keeping_reason(console *con, void *self, const char *text) {
    if (keep_reason(con, self, text))
        frame_ask(con, 'y', keep_it, "Use these errors for new check-ups from now on?");
}

static void ask_keeping_reason(console *con, void *self) {
    (void)self;
    frame_prompt(con, "Keep the measured errors, why (kept in the journal)?", NULL, false,
                 with_keeping_reason);
}

/* y on the page: back to the screen, which asks the rest. */
static void yes(console *con, void *self) {
    (void)self;
    frame_back(con, NULL);
    frame_with_role(con, BY_DOCTOR, "keeps measured method errors", ask_keeping_reason);
}

static void tell_one(pager *page, mc_method method, const mc_own_method *m, bool angle) {
    const mc_method_error *e = &m->measured;
    int places = angle ? 2 : 3;
    char shift[120] = "", used[60] = "assumed";
    const char *unit = angle ? "deg" : "mm";
    char label[40];
    snprintf(label, sizeof label, "%s, %s", mc_method_name(method), unit);
    if (e->pairs > 1)
        snprintf(shift, sizeof shift,
                 "; the second readings say %+.*f %s more (standard error "
                 "%.*f)%s",
                 places, e->shift, unit, places, e->shift_se,
                 m->shifted ? ": they lie otherwise, look for the cause first" : "");
    if (m->used_pairs > 0)
        snprintf(used, sizeof used, "%d pairs", m->used_pairs);
    pager_format(page, m->can_be_kept ? STYLE_STRONG : STYLE_FAINT, label,
                 "%.*f %s from %zu pair%s%s%s. In use: %.*f %s, %s.", places, e->error, unit,
                 e->pairs, e->pairs == 1 ? "" : "s", m->can_be_kept ? "" : " (too few to be kept)",
                 shift, places, m->used, unit, used);
}

static int tell_all(pager *page, const mc_own_methods *all) {
    int kept = 0;
    for (int m = 0; m < MC_METHODS; m++)
        for (int angle = 0; angle < 2; angle++) {
            const mc_own_method *of = &all->of[m][angle];
            if (of->measured.pairs == 0)
                continue;
            tell_one(page, (mc_method)m, of, angle == 1);
            kept += of->can_be_kept;
        }
    return kept;
}

void practice_measure(console *con, void *self) {
    practice_view *v = self;
    mc_error error = {0};
    frame_say_now(con, "Looking for what was read twice ...");
    con->status[0] = '\0';
    if (mc_own_methods_measure(con->practice, NULL, 0, true, &v->measured, &error) != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    if (v->measured.pairs == 0) {
        frame_say(con, "Nothing was read twice: a second reading of a tooth at a check-up makes a "
                       "pair.");
        return;
    }
    pager *page = pager_new("Error of one reading, from what was read twice");
    if (!page) {
        frame_say(con, "Out of memory.");
        return;
    }
    pager_add(page, STYLE_PLAIN, "",
              "The standard deviation of one reading by Dahlberg's formula, from every second "
              "reading of the same thing on a tooth by the same method at a check-up.");
    pager_add(page, STYLE_PLAIN, "", "");
    int kept = tell_all(page, &v->measured);
    pager_add(page, STYLE_PLAIN, "", "");
    pager_format(page, STYLE_PLAIN, "",
                 kept > 0 ? "y keeps those that rest on %d pairs or more, for a doctor, with a "
                            "reason."
                          : "%d pairs are needed before an error can be kept.",
                 MC_LEAST_PAIRS);
    if (kept > 0)
        pager_open_asking(con, page, yes, v);
    else
        pager_open(con, page);
}
