/* An open practice, its people and its settings. */
#include "practice.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static mc_status wrap(mc_record *record, mc_day today, mc_practice **out, mc_error *error) {
    *out = calloc(1, sizeof **out);
    if (!*out) {
        mc_record_close(record);
        return mc_fail(error, MC_REFUSED, "out of memory");
    }
    (*out)->record = record;
    (*out)->today = today;
    return MC_OK;
}

mc_status mc_practice_open(const char *path, mc_day today, mc_practice **out, mc_error *error) {
    mc_record *record = NULL;
    *out = NULL;
    mc_status status = mc_record_open(path, &record, error);
    return status == MC_OK ? wrap(record, today, out, error) : status;
}

mc_status mc_practice_begin_making(const char *path, mc_day today, const char *doctor,
                                   const char *passphrase, mc_practice **out, mc_error *error) {
    mc_record *record = NULL;
    *out = NULL;
    mc_status status = mc_record_make(path, &record, error);
    if (status == MC_OK && !(*out = calloc(1, sizeof **out)))
        status = mc_fail(error, MC_REFUSED, "out of memory");
    if (status != MC_OK) {
        mc_record_abandon(record);
        return status;
    }
    **out = (mc_practice){.record = record, .today = today};
    status = mc_record_begin(record, true, error);
    if (status == MC_OK)
        status = mc_record_add_person(record, doctor, MC_DOCTOR, passphrase, error);
    if (status == MC_OK)
        status = mc_record_append(record, doctor, NULL, "person added",
                                  "{\"role\":\"doctor\",\"first\":true}", error);
    if (status == MC_OK)
        status = mc_record_commit(record, error);
    if (status == MC_OK)
        status = mc_practice_act_as(*out, doctor, error);
    if (status != MC_OK)
        mc_practice_abandon(out);
    return status;
}

mc_status mc_practice_settle(mc_practice **practice, mc_error *error) {
    mc_status status = mc_record_settle(&(*practice)->record, error);
    if (status != MC_OK)
        mc_practice_abandon(practice);
    return status;
}

void mc_practice_abandon(mc_practice **practice) {
    mc_record_abandon((*practice)->record);
    free(*practice);
    *practice = NULL;
}

mc_status mc_practice_make(const char *path, mc_day today, const char *doctor,
                           const char *passphrase, mc_practice **out, mc_error *error) {
    mc_status status = mc_practice_begin_making(path, today, doctor, passphrase, out, error);
    return status == MC_OK ? mc_practice_settle(out, error) : status;
}

void mc_practice_close(mc_practice *practice) {
    if (practice) {
        mc_syncer_stop(practice->syncer);
        mc_record_close(practice->record);
    }
    free(practice);
}

mc_day mc_practice_today(const mc_practice *practice) {
    return practice->today;
}

mc_record *mc_practice_record(mc_practice *practice) {
    return practice->record;
}

mc_status mc_practice_act_as(mc_practice *practice, const char *initials, mc_error *error) {
    mc_person person;
    mc_status status = mc_record_person(practice->record, initials, &person, error);
    if (status != MC_OK)
        return status;
    practice->actor = person;
    practice->has_actor = true;
    return MC_OK;
}

bool mc_practice_actor(const mc_practice *practice, mc_person *out) {
    if (practice->has_actor)
        *out = practice->actor;
    return practice->has_actor;
}

static const char *const A_ROLE[] = {
    [MC_DOCTOR] = "a doctor", [MC_ASSISTANT] = "an assistant", [MC_DESK] = "at the desk"};

mc_status mc_action_begin(mc_practice *practice, int roles, bool durable, mc_error *error) {
    if (!practice->has_actor)
        return mc_fail_need(error, MC_NEED_PERSON, "nobody is named");
    if (!(roles & 1 << practice->actor.role))
        return mc_fail(error, MC_REFUSED, "%s is %s; this is for %s", practice->actor.initials,
                       A_ROLE[practice->actor.role],
                       roles == BY_DOCTOR ? "a doctor" : "a doctor or an assistant");
    mc_person still;
    mc_status status = mc_record_begin(practice->record, durable, error);
    if (status != MC_OK)
        return status;
    status = mc_record_person(practice->record, practice->actor.initials, &still, error);
    if (status != MC_OK) /* retired meanwhile, on another console */
        mc_record_rollback(practice->record);
    return status;
}

mc_status mc_action_begin_soon(mc_practice *practice, int roles, mc_error *error) {
    char trouble[200] = "";
    if (!practice->syncer)
        mc_syncer_start(mc_record_path(practice->record), &practice->syncer, NULL);
    if (practice->syncer)
        mc_syncer_trouble(practice->syncer, trouble, sizeof trouble);
    return mc_action_begin(practice, roles, !practice->syncer || *trouble, error);
}

void mc_action_soon(mc_practice *practice) {
    if (practice->syncer)
        mc_syncer_wake(practice->syncer);
}

json_t *mc_json_with(json_t *object, const char *key, json_t *value) {
    if (json_object_set_new(object, key, value) == 0)
        return object;
    json_decref(object);
    return NULL;
}

mc_status mc_action_end(mc_practice *practice, mc_status status, const mc_id *case_id,
                        const char *action, json_t *detail, mc_error *error) {
    char *text = detail ? mc_json_whole(detail, JSON_COMPACT | JSON_SORT_KEYS) : NULL;
    json_decref(detail);
    if (status == MC_OK && !text)
        status = mc_fail(error, MC_REFUSED, "out of memory");
    if (status == MC_OK)
        status = mc_record_append(practice->record, practice->actor.initials, case_id, action, text,
                                  error);
    if (status == MC_OK)
        status = mc_record_commit(practice->record, error);
    if (status != MC_OK)
        mc_record_rollback(practice->record);
    free(text);
    return status;
}

mc_status mc_accept_warnings(const mc_warnings *warnings, bool accepted, const char *doing,
                             mc_error *error) {
    if (warnings->count == 0 || accepted)
        return MC_OK;
    bool one = warnings->count == 1;
    return mc_fail_need(error, MC_NEED_ACCEPTANCE, "%zu warning%s: to %s all the same, accept %s",
                        warnings->count, one ? "" : "s", doing, one ? "it" : "them");
}

/* Making or retiring a doctor is signed: the acting doctor's passphrase. */
static mc_status signed_for_doctor(mc_practice *practice, mc_role role, const char *passphrase,
                                   mc_error *error) {
    if (role != MC_DOCTOR || !practice->has_actor)
        return MC_OK;
    if (!passphrase)
        return mc_fail(error, MC_REFUSED,
                       "a doctor is added or retired with the acting doctor's passphrase");
    return mc_record_check_passphrase(practice->record, practice->actor.initials, passphrase,
                                      error);
}

mc_status mc_staff_add(mc_practice *practice, const char *initials, mc_role role,
                       const char *new_passphrase, const char *passphrase, mc_error *error) {
    mc_status status = signed_for_doctor(practice, role, passphrase, error);
    if (status == MC_OK)
        status = mc_action_begin(practice, BY_DOCTOR, true, error);
    if (status != MC_OK)
        return status;
    status = mc_record_add_person(practice->record, initials, role, new_passphrase, error);
    return mc_action_end(practice, status, NULL, "person added",
                         json_pack("{s:s, s:s}", "initials", initials, "role", mc_role_name(role)),
                         error);
}

mc_status mc_staff_retire(mc_practice *practice, const char *initials, const char *passphrase,
                          mc_error *error) {
    mc_person person;
    mc_status status = mc_record_person(practice->record, initials, &person, error);
    if (status == MC_OK)
        status = signed_for_doctor(practice, person.role, passphrase, error);
    if (status == MC_OK)
        status = mc_action_begin(practice, BY_DOCTOR, true, error);
    if (status != MC_OK)
        return status;
    status = mc_record_retire_person(practice->record, initials, error);
    return mc_action_end(practice, status, NULL, "person retired",
                         json_pack("{s:s}", "initials", initials), error);
}

/* How a number of pairs ends, which nobody says but who counted them. */
static const char PAIRS[] = "_pairs";

mc_status mc_settings_change(mc_practice *practice, const mc_case *kase, const char *key,
                             double value, const char *reason, int64_t *set, mc_error *error) {
    const mc_id *id = kase ? &kase->id : NULL;
    if (!reason || !*reason)
        return mc_fail(error, MC_REFUSED, "%s: a changed setting needs a reason", key);
    size_t length = strlen(key), tail = strlen(PAIRS);
    if (length > tail && strcmp(key + length - tail, PAIRS) == 0)
        return mc_fail(error, MC_REFUSED, "%s: counted by method measure, not set by hand", key);
    mc_status status = mc_action_begin(practice, BY_DOCTOR, true, error);
    if (status != MC_OK)
        return status;
    status = mc_record_add_settings(practice->record, id, key, value, reason,
                                    practice->actor.initials, set, error);
    return mc_action_end(practice, status, id, "setting changed",
                         json_pack("{s:s, s:f, s:s, s:I}", "key", key, "value", value, "reason",
                                   reason, "set", (json_int_t)(status == MC_OK ? *set : 0)),
                         error);
}
