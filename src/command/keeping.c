/* The journal, copies of the record, checks, and the demo practice. */
#include "context.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static mc_status print_entries_json(context *c, const mc_case *kase, mc_error *error) {
    mc_entry *entries = NULL;
    size_t count = 0;
    mc_status status = mc_record_journal(mc_practice_record(c->practice), kase ? &kase->id : NULL,
                                         &entries, &count, error);
    if (status != MC_OK)
        return status;
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        const mc_entry *e = &entries[i];
        char id[33];
        mc_id_text(&e->case_id, id);
        json_array_append_new(
            list, json_pack("{s:I, s:s, s:o, s:o, s:s, s:o, s:s}", "number", (json_int_t)e->number,
                            "at", e->at, "by", *e->by ? json_string(e->by) : json_null(), "case_id",
                            mc_id_is_none(&e->case_id) ? json_null() : json_string(id), "action",
                            e->action, "detail", json_loads(e->detail, 0, NULL), "hash", e->hash));
    }
    mc_entries_free(entries, count);
    return print_json(json_pack("{s:i, s:o}", "format", 1, "entries", list), error);
}

/* When, who, what: the sentence wrapped in its own column. */
static void print_deed(const mc_deed *deed) {
    enum { WHEN = 16, WHO = 8, TEXT = 80 - WHEN - WHO - 4 };
    char line[4 * TEXT + 1], at[sizeof deed->at];
    const char *text = deed->sentence;
    snprintf(at, sizeof at, "%s", deed->at);
    at[10] = ' '; /* between day and time */
    bool first = true;
    while (mc_text_line(&text, TEXT, false, line, sizeof line)) {
        printf("%-*.*s  %-*s  %s\n", WHEN, WHEN, first ? at : "", WHO,
               !first      ? ""
               : *deed->by ? deed->by
                           : "-",
               line);
        first = false;
    }
}

static mc_status print_deeds(context *c, const mc_case *kase, mc_error *error) {
    mc_deed *deeds = NULL;
    size_t count = 0;
    mc_status status = mc_history(c->practice, kase, &deeds, &count, error);
    if (status != MC_OK)
        return status;
    printf("%-16s  %-8s  %s\n", "UTC", "by", "what was done");
    for (size_t i = 0; i < count; i++)
        print_deed(&deeds[i]);
    mc_deeds_free(deeds, count);
    return MC_OK;
}

mc_status run_journal(context *c, mc_error *error) {
    mc_case kase;
    bool one = c->arguments.words > 0;
    mc_status status = one ? case_of(c, &kase, error) : MC_OK;
    if (status != MC_OK)
        return status;
    return c->json ? print_entries_json(c, one ? &kase : NULL, error)
                   : print_deeds(c, one ? &kase : NULL, error);
}

mc_status run_backup(context *c, mc_error *error) {
    const char *path = c->arguments.word[0];
    mc_status status = mc_record_backup(mc_practice_record(c->practice), path, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(
            json_pack("{s:i, s:s, s:s}", "format", 1, "record", c->path, "backup", path), error);
    printf("Copied %s to %s, and checked the copy.\n", c->path, path);
    return MC_OK;
}

mc_status run_restore(context *c, mc_error *error) {
    const char *backup = c->arguments.word[0];
    mc_status status =
        mc_record_restore(backup, c->path, option_given(&c->arguments, "replace"), error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(
            json_pack("{s:i, s:s, s:s}", "format", 1, "backup", backup, "record", c->path), error);
    printf("%s is the record that %s holds.\n", c->path, backup);
    return MC_OK;
}

mc_status run_verify(context *c, mc_error *error) {
    int64_t entries = 0;
    mc_status status = mc_record_verify(mc_practice_record(c->practice), &entries, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(json_pack("{s:i, s:s, s:b, s:I}", "format", 1, "record", c->path, "sound",
                                    1, "entries", (json_int_t)entries),
                          error);
    printf("%s is sound: the file, its tables, every plan, check-up and decision,\n"
           "and the journal's chain of %lld entries.\n",
           c->path, (long long)entries);
    return MC_OK;
}

/* ---- demo ---- */

static void print_people(void) {
    size_t count;
    const mc_demo_person *people = mc_demo_people(&count);
    printf("\n  %-9s %-10s %s\n", "Initials", "Role", "Passphrase");
    for (size_t i = 0; i < count; i++)
        printf("  %-9s %-10s %s\n", people[i].initials, mc_role_name(people[i].role),
               people[i].passphrase);
    printf("\n");
}

/* The demo never stands where the practice's own record does. */
static mc_status demo_path(context *c, mc_error *error) {
    const char *given = option_value(&c->arguments, "db"), *named = getenv("MIDCOURSE_DB");
    const char *path = given ? given : "demo.db";
    if (named && strcmp(named, path) == 0)
        return mc_fail(error, MC_REFUSED,
                       "%.300s is the practice's own record: the demo goes into another file",
                       path);
    const char *name = strrchr(path, '/');
    if (strcmp(name ? name + 1 : path, "practice.db") == 0)
        return mc_fail(error, MC_REFUSED,
                       "%.300s bears the name of a practice's own record: choose another", path);
    c->path = path;
    return MC_OK;
}

/* Open the demo that stands there already, or make it. */
static mc_status open_or_make(context *c, bool *made, mc_error *error) {
    *made = access(c->path, F_OK) != 0 && errno == ENOENT;
    if (*made)
        return mc_demo_make(c->path, c->today, &c->practice, error);
    mc_status status = mc_practice_open(c->path, c->today, &c->practice, error);
    if (status == MC_OK && !mc_demo_is(c->practice))
        status = mc_fail(error, MC_REFUSED,
                         "%.300s exists and is no demo: choose another file with --db", c->path);
    return status;
}

mc_status run_demo(context *c, mc_error *error) {
    bool made = false;
    mc_status status = demo_path(c, error);
    if (status == MC_OK)
        status = open_or_make(c, &made, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(
            json_pack("{s:i, s:s, s:b}", "format", 1, "record", c->path, "made", made), error);
    printf("%s the demo practice %s: invented people, invented teeth.\n", made ? "Made" : "Found",
           c->path);
    print_people();
    printf("Try: midcourse --db %s roster\n"
           "     midcourse --db %s score 1002\n"
           "     midcourse --db %s            (the console)\n",
           c->path, c->path, c->path);
    fflush(stdout);
    if (option_given(&c->arguments, "no-open") || !isatty(STDIN_FILENO) || !isatty(STDOUT_FILENO))
        return MC_OK;
    return c->console(c->practice, NULL, "Invented practice: people, teeth and dates are made up",
                      error);
}
