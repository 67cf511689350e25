/* Signing in: initials, then the passphrase. Which of the two was wrong is never said, and after a
 * wrong answer the next one is not looked at for a growing moment. */
#include "sign_in.h"

#include "lock.h"
#include "prompt.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { PASSPHRASE_LEAST = 8 }; /* of every passphrase, in bytes */

static void ask_initials(console *con, const char *start);
static void ask_passphrase(console *con, const char *start);
static void ask_again(console *con);

void sign_in_look_up(console *con) {
    mc_person person;
    bool known = con->practice && mc_practice_actor(con->practice, &person);
    snprintf(con->who, sizeof con->who, "%s", known ? person.initials : "");
    snprintf(con->role, sizeof con->role, "%s", known ? mc_role_name(person.role) : "");
}

/* ---- roles ---- */

static const char *const A_ROLE[] = {
    [MC_DOCTOR] = "a doctor", [MC_ASSISTANT] = "an assistant", [MC_DESK] = "at the desk"};

/* "a doctor or an assistant" */
static void list_roles(unsigned roles, char *out, size_t size) {
    out[0] = '\0';
    for (int role = MC_DOCTOR; role <= MC_DESK; role++) {
        size_t used = strlen(out);
        if (roles & 1u << role)
            snprintf(out + used, size - used, "%s%s", used ? " or " : "",
                     role == MC_DESK ? "the desk" : A_ROLE[role]);
    }
}

/* Do it where the person signed in may, else say who does. */
static void act_in_role(console *con, unsigned roles, const char *doing,
                        void (*act)(console *, void *)) {
    mc_person person;
    char those[80];
    if (roles != 0 && con->practice && mc_practice_actor(con->practice, &person) &&
        !(roles & 1u << person.role)) {
        list_roles(roles, those, sizeof those);
        frame_refuse_words(con, "%s is %s: only %s %s.", person.initials, A_ROLE[person.role],
                           those, doing);
        return;
    }
    act(con, con->depth > 0 ? con->stack[con->depth - 1].self : NULL);
}

void frame_with_role(console *con, unsigned roles, const char *doing,
                     void (*act)(console *con, void *screen)) {
    if (con->who[0] != '\0') {
        act_in_role(con, roles, doing, act);
        return;
    }
    con->sign_in.then = act;
    con->sign_in.roles = roles;
    con->sign_in.doing = doing;
    frame_say(con, "This is kept with the name of the person who does it: sign in first.");
    ask_initials(con, NULL);
}

void frame_with_person(console *con, void (*act)(console *con, void *screen)) {
    frame_with_role(con, 0, "", act);
}

/* ---- checking ---- */

/* The person with these initials, whatever their letter case; a retired one is none. */
static mc_status find(console *con, const char *initials, mc_person *out, bool *found,
                      mc_error *error) {
    mc_person *people = NULL;
    size_t count = 0;
    mc_status status = mc_record_people(mc_practice_record(con->practice), &people, &count, error);
    *found = false;
    for (size_t i = 0; i < count; i++) {
        if (i > 0 && (people[i].retired || strcasecmp(people[i].initials, initials) != 0))
            continue;
        *out = people[i]; /* the first one too, so that unknown initials take as long */
        *found = !people[i].retired && strcasecmp(people[i].initials, initials) == 0;
    }
    free(people);
    return status;
}

static bool is_right(console *con, const char *passphrase, mc_person *person, mc_error *error) {
    bool found = false;
    *error = (mc_error){0};
    if (find(con, con->sign_in.initials, person, &found, error) != MC_OK)
        return false;
    mc_status status = mc_record_check_passphrase(mc_practice_record(con->practice),
                                                  person->initials, passphrase, error);
    if (status == MC_REFUSED)
        *error = (mc_error){0};
    return status == MC_OK && found;
}

/* The screens come back as they were; only a question that was asked of somebody else does not. */
static void unlock(console *con, bool same_person) {
    lock_open(con);
    if (same_person)
        return;
    con->answer = 0;
    frame_say(con, "%s, %s, is signed in.", con->who, con->role);
}

static void take_over(console *con, const mc_person *person) {
    void (*then)(console *, void *) = con->sign_in.then;
    bool same_person = strcmp(con->who, person->initials) == 0;
    mc_error error = {0};
    con->sign_in.wrong = 0;
    con->sign_in.then = NULL;
    if (mc_practice_act_as(con->practice, person->initials, &error) != MC_OK) {
        frame_refuse(con, &error);
        ask_again(con);
        return;
    }
    sign_in_look_up(con);
    if (con->locked)
        unlock(con, same_person);
    else
        frame_say(con, "%s, %s, is signed in.", con->who, con->role);
    if (then)
        act_in_role(con, con->sign_in.roles, con->sign_in.doing, then);
}

/* The lock asks for the passphrase of one person, who is no secret. */
static bool asks_one(const console *con) {
    return con->locked && strcmp(con->sign_in.initials, con->who) == 0;
}

static void say_wrong(console *con, const char *more) {
    if (asks_one(con))
        frame_refuse_words(con, "That is not the passphrase of %s.%s", con->who, more);
    else
        frame_refuse_words(con, "These initials and this passphrase do not belong together.%s",
                           more);
}

/* One second, then twice as long each time, up to a minute. */
static void tell_wrong(console *con) {
    enum { MOST_SECONDS = 60, DOUBLINGS = 6 };
    signing_in *s = &con->sign_in;
    char next[60];
    int doublings = s->wrong < DOUBLINGS ? s->wrong : DOUBLINGS;
    int wait = 1 << doublings < MOST_SECONDS ? 1 << doublings : MOST_SECONDS;
    s->wrong++;
    s->try_after = con->now + wait;
    snprintf(next, sizeof next, " The next try is looked at in %d s.", wait);
    say_wrong(con, next);
}

/* ---- asking ---- */

/* Not which of the two was wrong: so both are asked for again, but where the lock asks for the
 * passphrase of one person. */
static void ask_again(console *con) {
    if (asks_one(con))
        ask_passphrase(con, NULL);
    else
        ask_initials(con, con->sign_in.initials);
}

static void give_up(console *con) {
    con->sign_in.then = NULL;
    if (con->locked) {
        con->status[0] = '\0';
        sign_in_unlock(con);
        return;
    }
    if (con->who[0] == '\0')
        frame_say(con, "Nobody is signed in.");
    else
        frame_say(con, "%s stays signed in.", con->who);
}

static void take_passphrase(console *con, void *screen, const char *text) {
    mc_person person = {0};
    mc_error error;
    int wait = (int)(con->sign_in.try_after - con->now + 0.999);
    (void)screen;
    if (strlen(text) < PASSPHRASE_LEAST) { /* a chart number scanned in is no try */
        if (text[0] != '\0')
            say_wrong(con, "");
        ask_again(con);
        return;
    }
    if (wait > 0) {
        frame_say(con, "Wait %d s, then press Enter again.", wait);
        ask_passphrase(con, text);
        return;
    }
    frame_say_now(con, "Checking ...");
    if (is_right(con, text, &person, &error)) {
        take_over(con, &person);
        return;
    }
    if (error.text[0] != '\0')
        frame_refuse(con, &error);
    else
        tell_wrong(con);
    ask_again(con);
}

static void ask_passphrase(console *con, const char *start) {
    char label[60];
    snprintf(label, sizeof label, "Passphrase of %s:", con->sign_in.initials);
    frame_prompt(con, label, start, true, take_passphrase);
    con->prompt.on_esc = give_up;
}

static void take_initials(console *con, void *screen, const char *text) {
    (void)screen;
    if (text[0] == '\0') {
        give_up(con);
        return;
    }
    snprintf(con->sign_in.initials, sizeof con->sign_in.initials, "%s", text);
    ask_passphrase(con, NULL);
}

static void ask_initials(console *con, const char *start) {
    char known[sizeof con->sign_in.initials];
    snprintf(known, sizeof known, "%s", start ? start : "");
    frame_prompt(con, "Initials:", NULL, false, take_initials);
    line_offer(&con->prompt.line, known, sizeof known - 1);
    con->prompt.on_esc = give_up;
}

void sign_in_ask(console *con, void *screen) {
    (void)screen;
    if (!con->practice)
        return;
    con->sign_in.then = NULL;
    ask_initials(con, NULL);
}

void sign_in_unlock(console *con) {
    con->sign_in.then = NULL;
    if (con->who[0] == '\0') {
        ask_initials(con, NULL);
        return;
    }
    snprintf(con->sign_in.initials, sizeof con->sign_in.initials, "%.8s", con->who);
    ask_passphrase(con, NULL);
}

void sign_in_stop(console *con) {
    con->sign_in.then = NULL;
    if (con->prompt.on_text == take_initials || con->prompt.on_text == take_passphrase)
        prompt_close(con);
}
