/* Opening a case on a page to fill in. */
#include "open_case.h"

#include "form.h"
#include "midcourse/exchange.h"
#include "pager.h"
#include "words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { CHART, FAMILY, GIVEN, BORN, MISSING, FIXED, FIELDS };

typedef struct opening {
    form_plan plan;
    form_field fields[FIELDS];
    char missing_hint[160];
    void (*done)(console *con, void *screen, const mc_case *kase);
} opening;

/* ---- what was typed ---- */

/* "Family, Given", as the record keeps it. */
static void whole_name(const form *f, char out[MC_NAME_SIZE + LINE_SIZE]) {
    const char *family = form_text(f, FAMILY), *given = form_text(f, GIVEN);
    snprintf(out, MC_NAME_SIZE + LINE_SIZE, "%.1500s%s%.700s", family, given[0] ? ", " : "", given);
}

static const char *notation_words(mc_notation notation) {
    switch (notation) {
    case MC_NOTATION_UNIVERSAL:
        return "1 to 32, A to T";
    case MC_NOTATION_QUADRANT:
        return "UR1, LL8 and so on";
    default:
        return "ISO 3950: 11 to 48, 51 to 85";
    }
}

/* "18 28" or "18,28": give each tooth a state. A tooth that has another from before is refused. */
static mc_status mark_teeth(const console *con, const char *text, mc_tooth_state state,
                            mc_tooth_state states[MC_TEETH], mc_error *error) {
    static const char *const between = " ,;";
    for (const char *at = text + strspn(text, between); *at;) {
        char word[16] = "", shown[100];
        size_t length = strcspn(at, between);
        if (length < sizeof word)
            memcpy(word, at, length);
        mc_tooth tooth = mc_tooth_parse(con->notation, word);
        snprintf(word, sizeof word, "%.*s", (int)length, at);
        mc_text_fit(word, 10, con->theme.ascii, shown, sizeof shown);
        if (tooth == MC_NO_TOOTH)
            return mc_fail(error, MC_REFUSED, "%s is no tooth (%s)", shown,
                           notation_words(con->notation));
        if (state != MC_TOOTH_MISSING && states[tooth] == MC_TOOTH_MISSING &&
            !mc_tooth_is_deciduous(tooth))
            return mc_fail(error, MC_REFUSED, "%s is named among the missing teeth", shown);
        states[tooth] = state;
        at += length;
        at += strspn(at, between);
    }
    return MC_OK;
}

static mc_status teeth_of(const console *con, const form *f, mc_tooth_state states[MC_TEETH],
                          mc_error *error) {
    mc_usual_teeth(states);
    mc_status status = mark_teeth(con, form_text(f, MISSING), MC_TOOTH_MISSING, states, error);
    return status == MC_OK ? mark_teeth(con, form_text(f, FIXED), MC_TOOTH_FIXED, states, error)
                           : status;
}

/* ---- whether it can be so ---- */

/* Another course of somebody who is known: what is on record needs no typing. */
static void fill_in(form *f, const mc_case *known) {
    char name[MC_NAME_SIZE], born[11];
    if (form_text(f, FAMILY)[0] || form_text(f, GIVEN)[0] || form_text(f, BORN)[0])
        return;
    snprintf(name, sizeof name, "%s", known->name);
    char *given = strstr(name, ", ");
    if (given) {
        *given = '\0';
        form_set(f, GIVEN, given + 2);
    }
    form_set(f, FAMILY, name);
    mc_day_text(known->born, born);
    form_set(f, BORN, born);
}

static mc_status check_chart(console *con, form *f, const char *text, mc_error *error) {
    mc_case known;
    mc_status status = mc_chart_check(text, error);
    if (status != MC_OK)
        return status;
    status = mc_case_find(con->practice, text, &known, error);
    if (status == MC_REFUSED)
        return MC_OK; /* nobody has it yet */
    if (status == MC_OK && known.closed == MC_NO_DAY)
        return mc_fail(error, MC_REFUSED, "chart number %s has an open case: %s", text, known.name);
    if (status == MC_OK)
        fill_in(f, &known);
    return status;
}

static mc_status check_family(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    (void)f;
    return text[0] ? mc_name_check(text, error)
                   : mc_fail(error, MC_REFUSED, "the family name is empty");
}

static mc_status check_given(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    char name[MC_NAME_SIZE + LINE_SIZE];
    mc_status status = text[0] ? mc_name_check(text, error) : MC_OK;
    whole_name(f, name);
    return status == MC_OK && form_text(f, FAMILY)[0] ? mc_name_check(name, error) : status;
}

static mc_status check_born(console *con, form *f, const char *text, mc_error *error) {
    (void)f;
    mc_day born = MC_NO_DAY;
    mc_status status = form_day(text, &born, error);
    return status == MC_OK && born > con->today ? mc_fail(error, MC_REFUSED, "that is after today")
                                                : status;
}

static mc_status check_missing(console *con, form *f, const char *text, mc_error *error) {
    (void)f;
    mc_tooth_state states[MC_TEETH];
    mc_usual_teeth(states);
    return mark_teeth(con, text, MC_TOOTH_MISSING, states, error);
}

static mc_status check_fixed(console *con, form *f, const char *text, mc_error *error) {
    mc_tooth_state states[MC_TEETH];
    mc_usual_teeth(states);
    if (mark_teeth(con, form_text(f, MISSING), MC_TOOTH_MISSING, states, NULL) != MC_OK)
        mc_usual_teeth(states); /* that is said at the field above */
    return mark_teeth(con, text, MC_TOOTH_FIXED, states, error);
}

/* ---- asking for leave ---- */

static void list_teeth(const console *con, const mc_tooth_state states[MC_TEETH],
                       mc_tooth_state state, char *out, size_t size) {
    out[0] = '\0';
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (states[t] == state && (state != MC_TOOTH_MISSING || !mc_tooth_is_deciduous(t)))
            snprintf(out + strlen(out), size - strlen(out), "%s%s", out[0] ? " " : "",
                     words_tooth(con->notation, t).text);
    if (out[0] == '\0')
        snprintf(out, size, "none");
}

static int years_between(mc_day born, mc_day today) {
    char then[11], now[11];
    mc_day_text(born, then);
    mc_day_text(today, now);
    return (int)(strtol(now, NULL, 10) - strtol(then, NULL, 10)) -
           (strcmp(now + 4, then + 4) < 0 ? 1 : 0);
}

static int standing(const mc_tooth_state states[MC_TEETH]) {
    int count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        count += mc_tooth_stands(states[t]);
    return count;
}

static void tell(console *con, const form *f, pager *page) {
    char name[MC_NAME_SIZE + LINE_SIZE], list[300];
    mc_tooth_state states[MC_TEETH];
    mc_day born = MC_NO_DAY;
    mc_case known;
    const char *chart = form_text(f, CHART);
    teeth_of(con, f, states, NULL);
    form_day(form_text(f, BORN), &born, NULL);
    whole_name(f, name);
    pager_add(page, STYLE_STRONG, "",
              "Is this right? y opens the case, Esc goes back to change it.");
    pager_add(page, STYLE_PLAIN, "", "");
    pager_add(page, STYLE_PLAIN, "Chart number", chart);
    pager_add_personal(page, "Name", name);
    pager_format(page, STYLE_PLAIN, "Born", "%s, %d years old", form_text(f, BORN),
                 years_between(born, con->today));
    list_teeth(con, states, MC_TOOTH_MISSING, list, sizeof list);
    pager_format(page, STYLE_PLAIN, "Teeth", "%d stand in the mouth", standing(states));
    pager_add(page, STYLE_PLAIN, "Missing", list);
    list_teeth(con, states, MC_TOOTH_FIXED, list, sizeof list);
    pager_add(page, STYLE_PLAIN, "Not to be moved", list);
    if (mc_case_find(con->practice, chart, &known, NULL) == MC_OK)
        pager_format(page, STYLE_PLAIN, "Course", "number %d of this person", known.number + 1);
}

static void open_it(console *con, void *subject) {
    form *f = subject;
    char name[MC_NAME_SIZE + LINE_SIZE];
    mc_tooth_state states[MC_TEETH];
    mc_day born = MC_NO_DAY;
    mc_case kase;
    mc_error error = {0};
    void (*done)(console *, void *, const mc_case *) = ((opening *)form_owner(f))->done;
    whole_name(f, name);
    mc_status status = form_day(form_text(f, BORN), &born, &error);
    if (status == MC_OK)
        status = teeth_of(con, f, states, &error);
    if (status == MC_OK)
        status =
            mc_case_open(con->practice, form_text(f, CHART), name, born, states, &kase, &error);
    frame_back(con, NULL); /* the page that asked */
    if (status != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    frame_back(con, NULL);
    done(con, con->stack[con->depth - 1].self, &kase);
}

static void filled(console *con, form *f) {
    pager *page = pager_new("Open a case");
    if (!page) {
        frame_say(con, "Out of memory.");
        return;
    }
    tell(con, f, page);
    pager_open_asking(con, page, open_it, f);
}

/* ---- asking ---- */

static const form_field FORM_FIELDS[FIELDS] = {
    [CHART] = {"Chart number", "the practice's number of the person, typed or scanned",
               MC_CHART_SIZE - 1, false, check_chart},
    [FAMILY] = {"Family name", "that the person is filed under", 0, true, check_family},
    [GIVEN] = {"Given name", "or nothing", 0, true, check_given},
    [BORN] = {"Born", "YYYY-MM-DD", 10, true, check_born},
    [MISSING] = {"Missing teeth", NULL, 0, false, check_missing},
    [FIXED] = {"Not to be moved",
               "teeth that stand but stay (implant, bridge, ankylosed), or nothing", 0, false,
               check_fixed}};

static opening *new_opening(const console *con, void (*done)(console *, void *, const mc_case *)) {
    opening *o = calloc(1, sizeof *o);
    if (!o)
        return NULL;
    o->done = done;
    memcpy(o->fields, FORM_FIELDS, sizeof o->fields);
    snprintf(o->missing_hint, sizeof o->missing_hint, "as in %s %s, or nothing (%s)",
             words_tooth(con->notation, mc_tooth_from_iso(18)).text,
             words_tooth(con->notation, mc_tooth_from_iso(28)).text, notation_words(con->notation));
    o->fields[MISSING].hint = o->missing_hint;
    o->plan = (form_plan){
        .title = "Open a case",
        .heading = "Who it is, and which teeth there are. Nothing is kept before you say "
                   "yes.",
        .given_up = "No case was opened.",
        .fields = o->fields,
        .count = FIELDS,
        .filled = filled,
        .close = free};
    return o;
}

void open_case_ask(console *con, void (*done)(console *con, void *screen, const mc_case *kase)) {
    opening *o = new_opening(con, done);
    form *f = o ? form_new(&o->plan, o) : NULL;
    if (f)
        form_open(con, f);
    else
        frame_say(con, "Out of memory.");
}
