/* Making the record, people and their roles, settings. */
#include "context.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

mc_status run_init(context *c, mc_error *error) {
    char passphrase[PASSPHRASE_SIZE] = "";
    const char *doctor = option_value(&c->arguments, "doctor");
    if (!doctor)
        return mc_fail(error, MC_USAGE, "--doctor INITIALS: who is the first doctor?");
    mc_status status = mc_record_vacant(c->path, error); /* before anything is typed */
    if (status == MC_OK)
        status = read_passphrase(c, true, doctor, passphrase, error);
    if (status == MC_OK)
        status = mc_practice_make(c->path, c->today, doctor, passphrase, &c->practice, error);
    wipe(passphrase, sizeof passphrase);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(
            json_pack("{s:i, s:s, s:s}", "format", 1, "record", c->path, "doctor", doctor), error);
    printf("Made %s with its first doctor, %s.\n", c->path, doctor);
    printf("Next: midcourse --as %s case new --chart NUMBER --name 'Family, Given'\n"
           "      --born DATE\n",
           doctor);
    return MC_OK;
}

mc_status run_staff_add(context *c, mc_error *error) {
    const char *initials = c->arguments.word[0], *role_text = option_value(&c->arguments, "role");
    char fresh[PASSPHRASE_SIZE] = "", own[PASSPHRASE_SIZE] = "";
    mc_role role;
    mc_person actor = {.initials = "you"};
    if (!role_text || !mc_role_parse(role_text, &role))
        return mc_fail(error, MC_USAGE, "--role: doctor, assistant or desk");
    mc_practice_actor(c->practice, &actor);
    mc_status status = read_passphrase(c, true, initials, fresh, error);
    if (status == MC_OK && role == MC_DOCTOR)
        status = read_passphrase(c, false, actor.initials, own, error);
    if (status == MC_OK)
        status = mc_staff_add(c->practice, initials, role, fresh, *own ? own : NULL, error);
    wipe(fresh, sizeof fresh);
    wipe(own, sizeof own);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(
            json_pack("{s:i, s:s, s:s}", "format", 1, "initials", initials, "role", role_text),
            error);
    printf("Added %s, %s.\n", initials, role_text);
    return MC_OK;
}

mc_status run_staff_list(context *c, mc_error *error) {
    mc_person *people = NULL;
    size_t count = 0;
    mc_status status = mc_record_people(mc_practice_record(c->practice), &people, &count, error);
    if (status != MC_OK)
        return status;
    json_t *list = json_array();
    if (!c->json)
        printf("Initials  Role       Retired\n");
    for (size_t i = 0; i < count; i++) {
        const mc_person *p = &people[i];
        if (c->json)
            json_array_append_new(list,
                                  json_pack("{s:s, s:s, s:b}", "initials", p->initials, "role",
                                            mc_role_name(p->role), "retired", p->retired));
        else
            printf("%-8s  %-9s  %s\n", p->initials, mc_role_name(p->role),
                   p->retired ? "yes" : "-");
    }
    free(people);
    if (c->json)
        return print_json(json_pack("{s:i, s:o}", "format", 1, "people", list), error);
    json_decref(list);
    return MC_OK;
}

mc_status run_staff_retire(context *c, mc_error *error) {
    const char *initials = c->arguments.word[0];
    char own[PASSPHRASE_SIZE] = "";
    mc_person person, actor = {.initials = "you"};
    mc_status status = mc_record_person(mc_practice_record(c->practice), initials, &person, error);
    mc_practice_actor(c->practice, &actor);
    if (status == MC_OK && person.role == MC_DOCTOR)
        status = read_passphrase(c, false, actor.initials, own, error);
    if (status == MC_OK)
        status = mc_staff_retire(c->practice, initials, *own ? own : NULL, error);
    wipe(own, sizeof own);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(
            json_pack("{s:i, s:s, s:b}", "format", 1, "initials", initials, "retired", 1), error);
    printf("%s is retired: the entries stay, nothing new can be done under these initials.\n",
           initials);
    return MC_OK;
}

/* ---- settings ---- */

/* The case named by --case; *has false where none is. */
static mc_status optional_case(context *c, mc_case *out, bool *has, mc_error *error) {
    const char *label = option_value(&c->arguments, "case");
    *has = label != NULL;
    return label ? mc_case_find(c->practice, label, out, error) : MC_OK;
}

/* Four digits behind the point are enough to read; --json tells all. */
static void setting_text(double value, char out[40]) {
    enum { SHORT = 8 };
    mc_decimal_text(value, out, 40);
    if (strlen(out) > SHORT)
        snprintf(out, 40, "%.4f", value);
}

static void print_setting(const mc_setting *s, double value, const char *from) {
    char now[40], usual[40];
    setting_text(value, now);
    setting_text(s->initial, usual);
    const char *unit = strcmp(s->unit, "1") == 0 ? "" : s->unit;
    if (value != s->initial)
        print_columns("%-24s %8s %-5s  (usually %s)", s->key, now, unit, usual);
    else
        print_columns("%-24s %8s %s", s->key, now, unit);
    print_wrapped(s->meaning, 4);
    char source[MC_SOURCE_SIZE + 2];
    snprintf(source, sizeof source, "[%s]", from);
    print_wrapped(source, 4);
}

mc_status run_settings_list(context *c, mc_error *error) {
    mc_case kase;
    bool has;
    mc_settings settings;
    int64_t set;
    mc_status status = optional_case(c, &kase, &has, error);
    if (status == MC_OK)
        status = mc_record_settings(mc_practice_record(c->practice), has ? &kase.id : NULL,
                                    &settings, &set, error);
    if (status != MC_OK)
        return status;
    json_t *list = json_array();
    if (!c->json)
        printf("Settings, set %lld%s\n\n", (long long)set,
               has ? ", as it holds for this case" : "");
    size_t left_out = 0;
    for (size_t i = 0; i < mc_settings_count(); i++) {
        mc_setting s = mc_settings_describe(i);
        char source[MC_SOURCE_SIZE];
        double value = s.initial;
        mc_settings_get(&settings, s.key, &value);
        mc_settings_source(&settings, &s, source);
        if (c->json && !(s.taken && value == 0))
            json_array_append_new(list, json_pack("{s:s, s:f, s:s, s:f, s:f, s:f, s:s, s:s}", "key",
                                                  s.key, "value", value, "unit", s.unit, "initial",
                                                  s.initial, "low", s.low, "high", s.high,
                                                  "meaning", s.meaning, "source", source));
        else if (!c->json && s.of_many && value == s.initial)
            left_out++;
        else if (!c->json)
            print_setting(&s, value, source);
    }
    if (c->json)
        return print_json(
            json_pack("{s:i, s:I, s:o}", "format", 1, "set", (json_int_t)set, "settings", list),
            error);
    json_decref(list);
    char text[400];
    snprintf(text, sizeof text,
             "Left out are %zu that stand at 0: risk_tooth_11 ... risk_tooth_85 weigh one tooth "
             "each (0: as its kind says); own_share_... with own_share_se_... are the practice's "
             "own accuracy, and ..._pairs what its method errors rest on (0: not taken over).",
             left_out);
    print_wrapped(text, 0);
    return MC_OK;
}

mc_status run_settings_set(context *c, mc_error *error) {
    mc_case kase;
    bool has;
    double value;
    int64_t set;
    const char *key = c->arguments.word[0], *reason = option_value(&c->arguments, "reason");
    if (!mc_decimal_parse(c->arguments.word[1], true, &value))
        return mc_fail(error, MC_USAGE, "%.40s: a setting is a plain number", c->arguments.word[1]);
    if (!reason)
        return mc_fail(error, MC_USAGE, "--reason TEXT: a changed setting needs a reason");
    mc_status status = optional_case(c, &kase, &has, error);
    if (status == MC_OK)
        status =
            mc_settings_change(c->practice, has ? &kase : NULL, key, value, reason, &set, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(json_pack("{s:i, s:I, s:s, s:f}", "format", 1, "set", (json_int_t)set,
                                    "key", key, "value", value),
                          error);
    char now[40], text[300];
    mc_decimal_text(value, now, sizeof now);
    snprintf(text, sizeof text,
             "%.100s is %s from now on%s (set %lld); check-ups keep the set they were scored with.",
             key, now, has ? " for this case" : "", (long long)set);
    print_wrapped(text, 0);
    return MC_OK;
}
