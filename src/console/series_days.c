/* A corrected series on its way, on a page to fill in: its delivery and the first day of each arch.
 */
#include "series_days.h"

#include "form.h"
#include "pager.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DELIVERED, UPPER_FIRST, LOWER_FIRST, FIELDS };
enum { HINT_SIZE = 80 };

typedef struct arriving {
    form_plan plan;
    form_field fields[FIELDS];
    char hint[MC_ARCHES][HINT_SIZE];
    mc_case kase;
    int number; /* of the plan */
    mc_plan_said said;
    void (*done)(console *con, void *screen);
} arriving;

/* ---- whether it can be so ---- */

/* A day, or nothing. */
static mc_status day_or_none(const char *text, mc_day *out, mc_error *error) {
    *out = MC_NO_DAY;
    return text[0] ? form_day(text, out, error) : MC_OK;
}

static mc_status check_delivered(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    return day_or_none(text, &((arriving *)form_owner(f))->said.delivered, error);
}

static mc_status check_upper(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    return day_or_none(text, &((arriving *)form_owner(f))->said.first[MC_UPPER], error);
}

static mc_status check_lower(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    return day_or_none(text, &((arriving *)form_owner(f))->said.first[MC_LOWER], error);
}

/* ---- asking for leave ---- */

static void tell_day(pager *page, const char *name, mc_day day, const char *none) {
    char text[11];
    mc_day_text(day, text);
    pager_add(page, STYLE_PLAIN, name, day == MC_NO_DAY ? none : text);
}

static void record_it(console *con, void *subject) {
    form *f = subject;
    arriving *r = form_owner(f);
    mc_error error = {0};
    void (*done)(console *, void *) = r->done;
    mc_status status = mc_plan_said_record(con->practice, &r->kase, &r->said, &error);
    frame_back(con, NULL); /* the page that asked */
    if (status != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    frame_back(con, NULL);
    done(con, con->stack[con->depth - 1].self);
}

static void tell(const arriving *r, pager *page) {
    const bool here = r->said.delivered != MC_NO_DAY;
    char label[MC_LABEL_SIZE];
    mc_case_label(&r->kase, label);
    pager_add(page, STYLE_STRONG, "", "Is this right? y records it, Esc goes back to change it.");
    pager_add(page, STYLE_PLAIN, "", "");
    pager_add(page, STYLE_PLAIN, "Case", label);
    pager_add_personal(page, "Name", r->kase.name);
    pager_format(page, STYLE_PLAIN, "Plan", "%d", r->number);
    tell_day(page, "Delivered", r->said.delivered, "not yet");
    tell_day(page, here ? "Upper, first day" : "Upper, expected", r->said.first[MC_UPPER],
             "as it is");
    tell_day(page, here ? "Lower, first day" : "Lower, expected", r->said.first[MC_LOWER],
             "as it is");
}

static void filled(console *con, form *f) {
    arriving *r = form_owner(f);
    mc_error error = {0};
    if (mc_plan_said_check(con->practice, &r->kase, &r->said, &error) != MC_OK) {
        form_fault(f, r->said.delivered == MC_NO_DAY ? UPPER_FIRST : DELIVERED, error.text);
        frame_refuse(con, &error);
        return;
    }
    pager *page = pager_new("The corrected series");
    if (!page) {
        frame_say(con, "Out of memory.");
        return;
    }
    tell(r, page);
    pager_open_asking(con, page, record_it, f);
}

/* ---- asking ---- */

static const form_field FORM_FIELDS[FIELDS] = {
    [DELIVERED] = {"Delivered on",
                   "YYYY-MM-DD; empty: not yet, and the days below are expected ones", 10, false,
                   check_delivered},
    [UPPER_FIRST] = {"Upper, first day", NULL, 10, false, check_upper},
    [LOWER_FIRST] = {"Lower, first day", NULL, 10, false, check_lower}};

/* What is known of the arch's first day, and what an empty field means. */
static void say_known(const mc_plan_info *plan, mc_arch arch, char out[HINT_SIZE]) {
    char day[11];
    mc_day_text(plan->first[arch], day);
    if (plan->first[arch] == MC_NO_DAY)
        snprintf(out, HINT_SIZE, "the arch has no series in this plan: leave it empty");
    else
        snprintf(out, HINT_SIZE, "%s %s so far; empty: leave it so",
                 plan->begun[arch] ? "recorded" : "expected", day);
}

static arriving *new_arriving(const mc_assessment *a, void (*done)(console *, void *)) {
    arriving *r = calloc(1, sizeof *r);
    if (!r)
        return NULL;
    r->kase = a->kase;
    r->number = a->turn.next.number;
    r->done = done;
    memcpy(r->fields, FORM_FIELDS, sizeof r->fields);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        say_known(&a->turn.next, (mc_arch)arch, r->hint[arch]);
        r->fields[UPPER_FIRST + arch].hint = r->hint[arch];
    }
    r->plan = (form_plan){
        .title = "The corrected series",
        .heading = "Its delivery and its first days. Nothing is kept before you say yes.",
        .given_up = "Nothing was recorded.",
        .fields = r->fields,
        .count = FIELDS,
        .filled = filled,
        .close = free};
    return r;
}

void series_days_ask(console *con, const mc_assessment *a, void (*done)(console *, void *)) {
    char day[11];
    arriving *r = new_arriving(a, done);
    form *f = r ? form_new(&r->plan, r) : NULL;
    if (!f) {
        frame_say(con, "Out of memory.");
        return;
    }
    mc_day_text(a->turn.next.delivered != MC_NO_DAY ? a->turn.next.delivered : con->today, day);
    form_set(f, DELIVERED, day);
    form_open(con, f);
}
