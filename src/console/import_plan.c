/* Importing a plan on a page to fill in. */
#include "import_plan.h"

#include "form.h"
#include "midcourse/exchange.h"
#include "pager.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PLAN_FILE, NOTATION, START, UPPER_DAYS, LOWER_DAYS, FIELDS };
enum { PATH_SIZE = 4096, HINT_SIZE = 600, MOST_DAYS = 365 };

typedef struct importing {
    form_plan plan;
    form_field fields[FIELDS];
    char file_hint[HINT_SIZE];
    mc_case kase;
    char *data; /* of the file, as it was looked at; what is imported is this */
    mc_plan_import what;
    void (*done)(console *con, void *screen, const mc_plan_info *info);
} importing;

static void close_importing(void *owner) {
    importing *i = owner;
    free(i->data);
    free(i);
}

/* ---- the file ---- */

/* A path as typed: "~" is the home folder, and "-" a file of that name. */
static mc_status path_of(const char *typed, char out[PATH_SIZE], mc_error *error) {
    const char *home = getenv("HOME");
    int length;
    if (typed[0] == '~' && (typed[1] == '/' || typed[1] == '\0')) {
        if (!home || !*home)
            return mc_fail(error, MC_REFUSED, "HOME is not set: write the whole name");
        length = snprintf(out, PATH_SIZE, "%s%s", home, typed + 1);
    } else {
        length = snprintf(out, PATH_SIZE, "%s%s", typed[0] == '/' ? "" : "./", typed);
    }
    return length < PATH_SIZE ? MC_OK : mc_fail(error, MC_REFUSED, "the name is too long");
}

/* Read it anew: it may have been put right since. */
static mc_status read_again(importing *i, const char *typed, mc_error *error) {
    char path[PATH_SIZE];
    free(i->data);
    i->data = NULL;
    mc_status status = path_of(typed, path, error);
    if (status == MC_OK)
        status = mc_file_read(path, &i->data, &i->what.size, error);
    i->what.data = i->data;
    return status;
}

/* ---- whether it can be so ---- */

static mc_status check_file(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    return text[0] ? read_again(form_owner(f), text, error)
                   : mc_fail(error, MC_REFUSED, "which file is the plan in?");
}

static mc_status check_notation(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    importing *i = form_owner(f);
    return mc_notation_parse(text, &i->what.notation)
               ? MC_OK
               : mc_fail(error, MC_REFUSED, "it is iso, universal or quadrant");
}

static mc_status check_start(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    return form_day(text, &((importing *)form_owner(f))->what.start, error);
}

static mc_status check_days(const char *text, int *days, mc_error *error) {
    int value = 0;
    size_t digits = strspn(text, "0123456789");
    if (digits > 0 && digits <= 3 && text[digits] == '\0')
        value = (int)strtol(text, NULL, 10);
    if (value < 1 || value > MOST_DAYS)
        return mc_fail(error, MC_REFUSED, "it is 1 to %d whole days", MOST_DAYS);
    *days = value;
    return MC_OK;
}

static mc_status check_upper(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    return check_days(text, &((importing *)form_owner(f))->what.interval[MC_UPPER], error);
}

static mc_status check_lower(console *con, form *f, const char *text, mc_error *error) {
    (void)con;
    return check_days(text, &((importing *)form_owner(f))->what.interval[MC_LOWER], error);
}

/* ---- asking for leave ---- */

static void tell_series(const importing *i, const mc_plan *plan, mc_arch arch, pager *page) {
    char end[11];
    int stages = mc_plan_stages(plan, arch), days = i->what.interval[arch];
    const char *name = arch == MC_UPPER ? "Upper" : "Lower";
    mc_series series = mc_series_start(stages, days, i->what.start);
    mc_day_text(mc_series_end(&series), end);
    if (stages == 0)
        pager_add(page, STYLE_PLAIN, name, "no series");
    else
        pager_format(page, STYLE_PLAIN, name, "%d aligner%s, %d day%s each, to %s", stages,
                     stages == 1 ? "" : "s", days, days == 1 ? "" : "s", end);
}

static void tell_warnings(const mc_warnings *warnings, pager *page) {
    char heading[120];
    if (warnings->count == 0)
        return;
    snprintf(heading, sizeof heading, "Unlikely in this file: %zu place%s", warnings->count,
             warnings->count == 1 ? "" : "s");
    pager_heading(page, heading);
    for (size_t i = 0; i < warnings->count; i++) {
        char place[40];
        const mc_warning *w = &warnings->list[i];
        snprintf(place, sizeof place, "line %ld, col %ld", w->line, w->column);
        pager_add(page, STYLE_CARE, place, w->text);
    }
}

static int moving(const mc_plan *plan) {
    int count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        count += mc_plan_moves(plan, t);
    return count;
}

static void tell(const form *f, const mc_plan *plan, const mc_warnings *warnings, pager *page) {
    const importing *i = form_owner(f);
    char label[MC_LABEL_SIZE], day[11];
    mc_case_label(&i->kase, label);
    mc_day_text(i->what.start, day);
    pager_add(page, warnings->count > 0 ? STYLE_CARE : STYLE_STRONG, "",
              warnings->count > 0
                  ? "Look at what is unlikely below. y imports the plan all the same, Esc goes "
                    "back to change it."
                  : "Is this right? y imports the plan, Esc goes back to change it.");
    pager_add(page, STYLE_PLAIN, "", "");
    pager_add(page, STYLE_PLAIN, "Case", label);
    pager_add_personal(page, "Name", i->kase.name);
    pager_add(page, STYLE_PLAIN, "File", form_text(f, PLAN_FILE));
    pager_add(page, STYLE_PLAIN, "First day", day);
    tell_series(i, plan, MC_UPPER, page);
    tell_series(i, plan, MC_LOWER, page);
    pager_format(page, STYLE_PLAIN, "Teeth that move", "%d", moving(plan));
    tell_warnings(warnings, page);
}

static void import_it(console *con, void *subject) {
    form *f = subject;
    importing *i = form_owner(f);
    mc_plan_info info;
    mc_warnings warnings = {0};
    mc_error error = {0};
    void (*done)(console *, void *, const mc_plan_info *) = i->done;
    mc_status status = mc_import_plan(con->practice, &i->kase, &i->what, &info, &warnings, &error);
    mc_warnings_free(&warnings);
    frame_back(con, NULL); /* the page that asked */
    if (status != MC_OK) {
        frame_refuse(con, &error);
        return;
    }
    frame_back(con, NULL);
    done(con, con->stack[con->depth - 1].self, &info);
}

/* At its field with line and column; whole at the bottom, where it may be longer than there is room
 * for. */
static void refuse_file(console *con, form *f, const mc_error *error) {
    char text[sizeof error->text + 60];
    if (error->line > 0)
        snprintf(text, sizeof text, "line %ld, column %ld: %s", error->line, error->column,
                 error->text);
    else
        snprintf(text, sizeof text, "%s", error->text);
    form_fault(f, PLAN_FILE, text);
    frame_refuse_words(con, "Not imported, %s", text);
}

static void filled(console *con, form *f) {
    importing *i = form_owner(f);
    mc_plan *plan = NULL;
    mc_warnings warnings = {0};
    mc_error error = {0};
    if (mc_look_at_plan(con->practice, &i->kase, &i->what, &plan, &warnings, &error) != MC_OK) {
        refuse_file(con, f, &error);
        return;
    }
    i->what.accept_warnings = warnings.count > 0; /* those that are shown now */
    pager *page = pager_new("Import a plan");
    if (page) {
        tell(f, plan, &warnings, page);
        pager_open_asking(con, page, import_it, f);
    } else {
        frame_say(con, "Out of memory.");
    }
    mc_plan_free(plan);
    mc_warnings_free(&warnings);
}

/* ---- asking ---- */

static const form_field FORM_FIELDS[FIELDS] = {
    [PLAN_FILE] = {"Plan file", NULL, 0, false, check_file},
    [NOTATION] = {"Tooth notation", "of the file: iso, universal or quadrant", 12, false,
                  check_notation},
    [START] = {"First day", "on which the first aligner is begun, YYYY-MM-DD", 10, false,
               check_start},
    [UPPER_DAYS] = {"Days, upper", "that each upper aligner is worn", 3, false, check_upper},
    [LOWER_DAYS] = {"Days, lower", "that each lower aligner is worn", 3, false, check_lower}};

static importing *new_importing(const mc_case *kase,
                                void (*done)(console *, void *, const mc_plan_info *)) {
    importing *i = calloc(1, sizeof *i);
    char here[PATH_SIZE];
    if (!i)
        return NULL;
    i->kase = *kase;
    i->done = done;
    memcpy(i->fields, FORM_FIELDS, sizeof i->fields);
    snprintf(i->file_hint, sizeof i->file_hint, "its name; ~ is the home folder%s%.500s",
             getcwd(here, sizeof here) ? ", other names are looked for in " : "",
             getcwd(here, sizeof here) ? here : "");
    i->fields[PLAN_FILE].hint = i->file_hint;
    i->plan = (form_plan){
        .title = "Import a plan",
        .heading = "The plan that the case begins with. Nothing is kept before you say yes.",
        .given_up = "No plan was imported.",
        .fields = i->fields,
        .count = FIELDS,
        .filled = filled,
        .close = close_importing};
    return i;
}

void import_plan_ask(console *con, const mc_case *kase,
                     void (*done)(console *con, void *screen, const mc_plan_info *info)) {
    char day[11], days[12];
    importing *i = new_importing(kase, done);
    form *f = i ? form_new(&i->plan, i) : NULL;
    if (!f) {
        frame_say(con, "Out of memory.");
        return;
    }
    mc_day_text(con->today, day);
    snprintf(days, sizeof days, "%d", MC_USUAL_INTERVAL);
    form_set(f, NOTATION, "iso");
    form_set(f, START, day);
    form_set(f, UPPER_DAYS, days);
    form_set(f, LOWER_DAYS, days);
    form_open(con, f);
}
