#include "people.h"

#include <sodium.h>
#include <stdlib.h>
#include <string.h>

#include "words.h"

static const char *const role_names[] = {"doctor", "assistant", "desk"};
enum {
    ROLES = sizeof role_names / sizeof role_names[0],
    PASSPHRASE_LEAST = 8,
    PASSPHRASE_MOST = 1024
};

const char *mc_role_name(mc_role role) {
    return role_names[role];
}

bool mc_role_parse(const char *text, mc_role *role) {
    for (int i = 0; i < ROLES; i++) {
        if (strcmp(text, role_names[i]) == 0) {
            *role = (mc_role)i;
            return true;
        }
    }
    return false;
}

/* ---- finding people ---- */

static void take_person(query *q, mc_person *person) {
    char role[16];
    memset(person, 0, sizeof *person);
    query_take_text(q, person->initials, sizeof person->initials);
    query_take_text(q, role, sizeof role);
    person->retired = query_take_whole(q, 0) != 0;
    if (q->status == MC_OK && !mc_role_parse(role, &person->role)) {
        query_damaged(q, "a person has no role");
    }
}

/* Anybody, retired or not. */
static mc_status find(mc_record *record, const char *initials, mc_person *out, mc_error *error) {
    query q =
        query_new(record, "SELECT initials, role, retired FROM people WHERE initials = ?", error);
    query_put_text(&q, initials != NULL ? initials : "");
    bool found = query_row(&q);
    if (found) {
        take_person(&q, out);
    }
    mc_status status = query_end(&q);
    if (status == MC_OK && !found) {
        return mc_fail(error, MC_REFUSED, "no person %.20s", initials != NULL ? initials : "");
    }
    return status;
}

mc_status people_check(mc_record *record, const char *initials, mc_error *error) {
    mc_person person;
    return find(record, initials, &person, error);
}

mc_status mc_record_person(mc_record *record, const char *initials, mc_person *out,
                           mc_error *error) {
    mc_status status = find(record, initials, out, error);
    if (status == MC_OK && out->retired) {
        return mc_fail(error, MC_REFUSED, "%s has retired", out->initials);
    }
    return status;
}

mc_status mc_record_people(mc_record *record, mc_person **out, size_t *count, mc_error *error) {
    *out = NULL;
    *count = 0;
    query q = query_new(
        record, "SELECT initials, role, retired FROM people ORDER BY retired, initials", error);
    while (query_row(&q)) {
        mc_person *list = query_room(&q, *out, *count, sizeof *list);
        if (list == NULL) {
            break;
        }
        *out = list;
        take_person(&q, &list[*count]);
        ++*count;
    }
    mc_status status = query_end(&q);
    if (status != MC_OK) {
        free(*out);
        *out = NULL;
        *count = 0;
    }
    return status;
}

/* ---- passphrases ---- */

static mc_status check_length(const char *passphrase, mc_error *error) {
    size_t length = passphrase != NULL ? strlen(passphrase) : 0;
    if (length < PASSPHRASE_LEAST || length > PASSPHRASE_MOST) {
        return mc_fail(error, MC_REFUSED, "a passphrase has %d to %d bytes", PASSPHRASE_LEAST,
                       PASSPHRASE_MOST);
    }
    return MC_OK;
}

mc_status mc_record_check_passphrase(mc_record *record, const char *initials,
                                     const char *passphrase, mc_error *error) {
    char hash[crypto_pwhash_STRBYTES];
    mc_person person;
    mc_status status = mc_record_person(record, initials, &person, error);
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record, "SELECT passphrase FROM people WHERE initials = ?", error);
    query_put_text(&q, initials);
    hash[0] = '\0';
    if (query_row(&q)) {
        query_take_text(&q, hash, sizeof hash);
    }
    status = query_end(&q);
    if (status == MC_OK && (passphrase == NULL ||
                            crypto_pwhash_str_verify(hash, passphrase, strlen(passphrase)) != 0)) {
        status = mc_fail(error, MC_REFUSED, "that is not the passphrase of %s", person.initials);
    }
    sodium_memzero(hash, sizeof hash);
    return status;
}

/* ---- coming and going ---- */

static mc_status check_initials(mc_record *record, const char *initials, mc_error *error) {
    static const char allowed[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789";
    size_t length = initials != NULL ? strlen(initials) : 0;
    char same[9];
    if (length < 1 || length > 8 || strspn(initials, allowed) != length) {
        return mc_fail(error, MC_REFUSED, "initials are 1 to 8 letters or digits");
    }
    query q =
        query_new(record, "SELECT initials FROM people WHERE initials = ? COLLATE NOCASE", error);
    query_put_text(&q, initials);
    bool taken = query_row(&q);
    if (taken) {
        query_take_text(&q, same, sizeof same);
    }
    mc_status status = query_end(&q);
    if (status == MC_OK && taken) {
        return mc_fail(error, MC_REFUSED, "there is a person %s already", same);
    }
    return status;
}

mc_status mc_record_add_person(mc_record *record, const char *initials, mc_role role,
                               const char *passphrase, mc_error *error) {
    char hash[crypto_pwhash_STRBYTES];
    mc_status status = check_initials(record, initials, error);
    if (status == MC_OK && (unsigned)role >= ROLES) {
        return mc_fail(error, MC_REFUSED, "a person is a doctor, an assistant or at the desk");
    }
    if (status == MC_OK) {
        status = check_length(passphrase, error);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    if (crypto_pwhash_str(hash, passphrase, strlen(passphrase), crypto_pwhash_OPSLIMIT_INTERACTIVE,
                          crypto_pwhash_MEMLIMIT_INTERACTIVE) != 0) {
        status = record_no_memory(record, error);
    } else {
        query q = query_new(
            record, "INSERT INTO people (initials, role, passphrase) VALUES (?, ?, ?)", error);
        query_put_text(&q, initials);
        query_put_text(&q, mc_role_name(role));
        query_put_text(&q, hash);
        status = query_run(&q);
    }
    sodium_memzero(hash, sizeof hash);
    return work_settle(record, status, error);
}

static mc_status doctors_left(mc_record *record, int64_t *count, mc_error *error) {
    query q = query_new(record, "SELECT count(*) FROM people WHERE role = 'doctor' AND retired = 0",
                        error);
    return query_whole(&q, 0, count);
}

mc_status mc_record_retire_person(mc_record *record, const char *initials, mc_error *error) {
    mc_person person;
    int64_t doctors = 0;
    mc_status status = mc_record_person(record, initials, &person, error);
    if (status == MC_OK) {
        status = doctors_left(record, &doctors, error);
    }
    if (status == MC_OK && person.role == MC_DOCTOR && doctors < 2) {
        return mc_fail(error, MC_REFUSED, "%s is the last doctor", person.initials);
    }
    if (status == MC_OK) {
        status = work_mark(record, error);
    }
    if (status != MC_OK) {
        return status;
    }
    query q = query_new(record, "UPDATE people SET retired = 1 WHERE initials = ?", error);
    query_put_text(&q, initials);
    return work_settle(record, query_run(&q), error);
}
