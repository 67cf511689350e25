/* What was done, oldest first, in plain sentences: the journal for people. */
#include "history.h"

#include "practice.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void tell(telling *out, const char *format, ...) {
    va_list values;
    va_start(values, format);
    int length = vsnprintf(out->text + out->used, sizeof out->text - out->used, format, values);
    va_end(values);
    out->used += length > 0 ? (size_t)length : 0;
    if (out->used >= sizeof out->text)
        out->used = sizeof out->text - 1;
}

/* ---- the cases that entries are about ---- */

/* All cases by identity, so that an entry's is found without asking the record again. */
typedef struct directory {
    mc_case *list;
    size_t count;
} directory;

static int by_identity(const void *a, const void *b) {
    const mc_case *first = a, *second = b;
    return memcmp(first->id.byte, second->id.byte, sizeof first->id.byte);
}

static const mc_case *look_up(const directory *cases, const mc_id *id) {
    mc_case wanted = {.id = *id};
    return cases->count == 0
               ? NULL
               : bsearch(&wanted, cases->list, cases->count, sizeof wanted, by_identity);
}

static void forget(case_facts *facts) {
    mc_checkup_info_free(facts->versions, facts->version_count);
    free(facts->plans);
    *facts = (case_facts){0};
}

/* Whether the entry's sentence needs more than the entry itself. */
static bool needs_facts(const mc_entry *entry) {
    return !mc_id_is_none(&entry->case_id) && (strcmp(entry->action, "check-up amended") == 0 ||
                                               strcmp(entry->action, "decision signed") == 0);
}

static mc_status learn(mc_practice *practice, const mc_entry *entry, case_facts *facts,
                       mc_error *error) {
    if (!needs_facts(entry) ||
        memcmp(facts->id.byte, entry->case_id.byte, sizeof facts->id.byte) == 0)
        return MC_OK;
    forget(facts);
    mc_status status = mc_record_checkups(practice->record, &entry->case_id, true, &facts->versions,
                                          &facts->version_count, error);
    if (status == MC_OK)
        status = mc_record_plans(practice->record, &entry->case_id, &facts->plans,
                                 &facts->plan_count, error);
    if (status == MC_OK)
        facts->id = entry->case_id;
    return status;
}

/* ---- the list ---- */

/* Which check-up or decision it is about, for whoever wants to look further. */
static void point_at(mc_deed *deed, json_t *detail) {
    bool checkup = strncmp(deed->action, "check-up ", 9) == 0;
    deed->checkup = (int)json_integer_value(json_object_get(detail, "checkup"));
    if (checkup)
        deed->version = (int)json_integer_value(json_object_get(detail, "version"));
    const char *hash = json_string_value(json_object_get(detail, "evidence"));
    if (strcmp(deed->action, "decision signed") == 0 && hash)
        snprintf(deed->decision, sizeof deed->decision, "%s", hash);
}

static mc_status take(mc_practice *practice, const mc_entry *entry, const directory *cases,
                      case_facts *facts, mc_deed *out, mc_error *error) {
    telling sentence = {.used = 0};
    char label[MC_LABEL_SIZE];
    *out = (mc_deed){.number = entry->number, .case_id = entry->case_id};
    snprintf(out->at, sizeof out->at, "%s", entry->at);
    snprintf(out->by, sizeof out->by, "%s", entry->by);
    snprintf(out->action, sizeof out->action, "%s", entry->action);
    mc_status status = learn(practice, entry, facts, error);
    if (status != MC_OK)
        return status;
    const mc_case *kase = look_up(cases, &entry->case_id);
    if (kase) {
        mc_case_label(kase, label);
        tell(&sentence, "case %s: ", label);
    }
    json_t *detail = json_loads(entry->detail, 0, NULL);
    history_tell(&sentence, entry, detail, facts);
    point_at(out, detail);
    json_decref(detail);
    out->sentence = strdup(sentence.text);
    return out->sentence ? MC_OK : mc_fail(error, MC_REFUSED, "out of memory");
}

void mc_deeds_free(mc_deed *list, size_t count) {
    for (size_t i = 0; i < count; i++)
        free(list[i].sentence);
    free(list);
}

static mc_status take_all(mc_practice *practice, const mc_entry *entries, size_t entry_count,
                          const directory *cases, mc_deed **out, size_t *count, mc_error *error) {
    case_facts facts = {0};
    mc_deed *list = calloc(entry_count ? entry_count : 1, sizeof *list);
    mc_status status = list ? MC_OK : mc_fail(error, MC_REFUSED, "out of memory");
    size_t taken = 0;
    while (status == MC_OK && taken < entry_count) {
        status = take(practice, &entries[taken], cases, &facts, &list[taken], error);
        taken += status == MC_OK;
    }
    forget(&facts);
    if (status != MC_OK) {
        mc_deeds_free(list, taken);
        return status;
    }
    *out = list;
    *count = taken;
    return MC_OK;
}

mc_status mc_history(mc_practice *practice, const mc_case *kase, mc_deed **out, size_t *count,
                     mc_error *error) {
    mc_entry *entries = NULL;
    size_t entry_count = 0;
    directory cases = {0};
    *out = NULL;
    *count = 0;
    mc_status status = mc_record_begin_reading(practice->record, error);
    if (status != MC_OK)
        return status;
    status =
        mc_record_journal(practice->record, kase ? &kase->id : NULL, &entries, &entry_count, error);
    if (status == MC_OK && !kase)
        status = mc_record_cases(practice->record, &cases.list, &cases.count, error);
    if (cases.count > 0)
        qsort(cases.list, cases.count, sizeof *cases.list, by_identity);
    if (status == MC_OK)
        status = take_all(practice, entries, entry_count, &cases, out, count, error);
    mc_record_end_reading(practice->record);
    mc_entries_free(entries, entry_count);
    free(cases.list);
    return status;
}
