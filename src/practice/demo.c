/* The demo practice: invented people go through the same actions as real ones, on days counted back
 * from today. */
#include "demo.h"
#include "practice.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The journal's entry that tells a demo from a practice. */
#define MADE "demo made"

/* ---- people ---- */

enum { DOCTOR, ASSISTANT, DESK };

static const mc_demo_person PEOPLE[] = {
    [DOCTOR] = {"IBA", MC_DOCTOR, "copper-fern-lantern"},
    [ASSISTANT] = {"JT", MC_ASSISTANT, "quiet-basalt-kettle"},
    [DESK] = {"NF", MC_DESK, "amber-moss-window"},
};

const mc_demo_person *mc_demo_people(size_t *count) {
    *count = sizeof PEOPLE / sizeof PEOPLE[0];
    return PEOPLE;
}

static mc_status add_people(mc_practice *practice, mc_error *error) {
    mc_status status = MC_OK;
    for (int i = ASSISTANT; status == MC_OK && i <= DESK; i++)
        status = mc_staff_add(practice, PEOPLE[i].initials, PEOPLE[i].role, PEOPLE[i].passphrase,
                              NULL, error);
    return status;
}

/* ---- one case ---- */

/* What is known while a case is made. */
typedef struct {
    mc_practice *practice;
    const demo_case *from;
    mc_case kase;
    mc_day start; /* the plan's first day */
} making;

/* From now on somebody acts, on a day. */
static mc_status act(const making *m, int who, mc_day day, mc_error *error) {
    m->practice->today = day;
    return mc_practice_act_as(m->practice, PEOPLE[who].initials, error);
}

/* A file of the case: CHART-WHAT.csv. */
static mc_status find_file(const making *m, const char *what, const demo_file **out,
                           mc_error *error) {
    char name[80];
    snprintf(name, sizeof name, "%s-%s.csv", m->from->chart, what);
    for (size_t i = 0; i < demo_file_count; i++)
        if (strcmp(demo_files[i].name, name) == 0) {
            *out = &demo_files[i];
            return MC_OK;
        }
    return mc_fail(error, MC_REFUSED, "%s is not in the program", name);
}

static mc_status open_case(making *m, mc_day today, mc_error *error) {
    mc_tooth_state states[MC_TEETH];
    mc_usual_teeth(states);
    for (int i = 0; i < DEMO_TEETH && m->from->teeth[i].iso > 0; i++)
        states[mc_tooth_from_iso(m->from->teeth[i].iso)] = m->from->teeth[i].state;
    const mc_day born = today - (mc_day)lround(365.25 * m->from->years);
    return mc_case_open(m->practice, m->from->chart, m->from->name, born, states, &m->kase, error);
}

static mc_status import_plan(const making *m, mc_error *error) {
    const demo_file *file;
    mc_plan_info info;
    mc_warnings warnings;
    mc_status status = find_file(m, "plan", &file, error);
    if (status != MC_OK)
        return status;
    const mc_plan_import what = {.data = (const char *)file->data,
                                 .size = file->size,
                                 .notation = MC_NOTATION_ISO,
                                 .start = m->start,
                                 .interval = {m->from->interval[0], m->from->interval[1]}};
    status = mc_import_plan(m->practice, &m->kase, &what, &info, &warnings, error);
    mc_warnings_free(&warnings);
    return status;
}

/* Enter check-up `number` from its file, or amend it from the file beside that one. */
static mc_status read_checkup(const making *m, const demo_checkup *c, int number, bool amend,
                              mc_error *error) {
    char what[40];
    const demo_file *file;
    mc_warnings warnings;
    int made;
    snprintf(what, sizeof what, "checkup-%d%s", number, amend ? "-amended" : "");
    mc_status status = find_file(m, what, &file, error);
    if (status != MC_OK)
        return status;
    const mc_checkup_import import = {.data = (const char *)file->data,
                                      .size = file->size,
                                      .notation = MC_NOTATION_ISO,
                                      .date = m->start + c->on,
                                      .aligner = {c->aligner[0], c->aligner[1]},
                                      .day = {c->day[0], c->day[1]},
                                      .wear_hours = c->wear_hours,
                                      .method = c->method};
    status = amend ? mc_amend_checkup(m->practice, &m->kase, number, &import, c->amended, &made,
                                      &warnings, error)
                   : mc_import_checkup(m->practice, &m->kase, &import, &made, &warnings, error);
    mc_warnings_free(&warnings);
    return status;
}

static mc_status sign(const making *m, const demo_checkup *c, mc_error *error) {
    mc_revision revision = {0};
    mc_decision decision;
    mc_warnings warnings;
    mc_decide what = {.choices = c->decision.choices,
                      .days = c->decision.days,
                      .to = c->decision.choices & 1u << MC_GO_BACK ? c->decision.to : -1,
                      .cause = c->decision.cause,
                      .reason = c->decision.reason,
                      .start = MC_NO_DAY};
    mc_status status = MC_OK;
    if (what.choices & 1u << MC_CORRECT) {
        status = mc_revise(m->practice, &m->kase, NULL, 0, 0, &revision, error);
        what.plan = revision.file;
        what.plan_size = revision.file_size;
    }
    if (status == MC_OK) {
        status = mc_sign_known(m->practice, &m->kase, &what, &decision, &warnings, error);
        mc_warnings_free(&warnings);
        free(decision.evidence);
    }
    mc_revision_free(&revision);
    return status;
}

static mc_status change_tooth(const making *m, mc_error *error) {
    const demo_case *from = m->from;
    return mc_case_set_tooth(m->practice, &m->kase, mc_tooth_from_iso(from->later.iso),
                             from->later.state, m->practice->today, error);
}

static mc_status make_checkup(const making *m, int index, mc_error *error) {
    const demo_checkup *c = &m->from->checkup[index];
    const mc_day day = m->start + c->on;
    const int number = index + 1;
    mc_status status = act(m, ASSISTANT, day, error);
    if (status == MC_OK && m->from->later_at == number)
        status = change_tooth(m, error);
    if (status == MC_OK)
        status = read_checkup(m, c, number, false, error);
    if (status == MC_OK && c->amended)
        status = read_checkup(m, c, number, true, error);
    if (status == MC_OK && c->decision.choices != 0)
        status = act(m, DOCTOR, day, error);
    return status == MC_OK && c->decision.choices != 0 ? sign(m, c, error) : status;
}

/* The corrected series comes and begins. */
static mc_status begin_series(const making *m, mc_error *error) {
    const mc_day came = m->start + m->from->delivered, begun = m->start + m->from->begun;
    const mc_day first[MC_ARCHES] = {begun, begun};
    mc_status status = act(m, ASSISTANT, came, error);
    if (status == MC_OK)
        status = mc_plan_delivered(m->practice, &m->kase, came, error);
    if (status == MC_OK)
        status = act(m, ASSISTANT, begun, error);
    return status == MC_OK ? mc_plan_begin(m->practice, &m->kase, first, error) : status;
}

/* Say in which case, and on which day of it, something went wrong. */
static mc_status blame(const making *m, mc_status status, mc_error *error) {
    char day[11];
    if (status == MC_OK || !error)
        return status;
    const mc_error inner = *error;
    mc_day_text(m->practice->today, day);
    mc_fail(error, status, "demo case %s, %s: %.500s", m->from->chart, day, inner.text);
    error->line = inner.line;
    error->column = inner.column;
    return status;
}

/* The case is opened and its plan imported while the aligners are being made; the rest follows from
 * the plan's first day on. */
static mc_status make_case(mc_practice *practice, mc_day today, const demo_case *from,
                           mc_error *error) {
    enum { MADE_BEFORE = 21 };
    making m = {.practice = practice, .from = from, .start = today - from->start};
    mc_status status = act(&m, DESK, m.start - MADE_BEFORE, error);
    if (status == MC_OK)
        status = open_case(&m, today, error);
    if (status == MC_OK)
        status = act(&m, ASSISTANT, m.start - MADE_BEFORE, error);
    if (status == MC_OK)
        status = import_plan(&m, error);
    for (int i = 0; status == MC_OK && i < from->checkups; i++)
        status = make_checkup(&m, i, error);
    if (status == MC_OK && from->begun > 0)
        status = begin_series(&m, error);
    if (status == MC_OK && from->closed)
        status = mc_case_close(practice, &m.kase, error);
    return blame(&m, status, error);
}

/* ---- the practice ---- */

static mc_status make_all(mc_practice *practice, mc_day today, mc_error *error) {
    mc_status status = add_people(practice, error);
    for (size_t i = 0; status == MC_OK && i < demo_case_count; i++)
        status = make_case(practice, today, &demo_cases[i], error);
    practice->today = today;
    if (status == MC_OK)
        status = mc_practice_act_as(practice, PEOPLE[DOCTOR].initials, error);
    if (status == MC_OK)
        status = mc_action_begin(practice, BY_DOCTOR, true, error);
    if (status != MC_OK)
        return status;
    return mc_action_end(practice, MC_OK, NULL, MADE,
                         json_pack("{s:I}", "cases", (json_int_t)demo_case_count), error);
}

mc_status mc_demo_make(const char *path, mc_day today, mc_practice **out, mc_error *error) {
    mc_status status = mc_practice_begin_making(path, today, PEOPLE[DOCTOR].initials,
                                                PEOPLE[DOCTOR].passphrase, out, error);
    if (status != MC_OK)
        return status;
    status = make_all(*out, today, error);
    if (status == MC_OK)
        return mc_practice_settle(out, error);
    mc_practice_abandon(out);
    return status;
}

/* The whole journal is read only where the demo's doctor is known, so that asking costs a real
 * practice nothing. */
bool mc_demo_is(mc_practice *practice) {
    mc_person doctor;
    mc_entry *entries = NULL;
    size_t count = 0;
    bool is = false;
    if (mc_record_person(practice->record, PEOPLE[DOCTOR].initials, &doctor, NULL) != MC_OK ||
        mc_record_journal(practice->record, NULL, &entries, &count, NULL) != MC_OK)
        return false;
    for (size_t i = 0; i < count; i++)
        is = is || strcmp(entries[i].action, MADE) == 0;
    mc_entries_free(entries, count);
    return is;
}
