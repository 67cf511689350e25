/* The journal, copies of the record, checks, and the demo practice. */
#include "context.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

mc_status run_journal(context *c, mc_error *error) {
    mc_case kase;
    mc_entry *entries = NULL;
    size_t count = 0;
    bool one = c->arguments.words > 0;
    mc_status status = one ? case_of(c, &kase, error) : MC_OK;
    if (status == MC_OK)
        status = mc_record_journal(mc_practice_record(c->practice), one ? &kase.id : NULL, &entries,
                                   &count, error);
    if (status != MC_OK)
        return status;
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        const mc_entry *e = &entries[i];
        char detail[400], id[33];
        if (c->json) {
            mc_id_text(&e->case_id, id);
            json_array_append_new(
                list,
                json_pack("{s:I, s:s, s:o, s:o, s:s, s:o, s:s}", "number", (json_int_t)e->number,
                          "at", e->at, "by", *e->by ? json_string(e->by) : json_null(), "case_id",
                          mc_id_is_none(&e->case_id) ? json_null() : json_string(id), "action",
                          e->action, "detail", json_loads(e->detail, 0, NULL), "hash", e->hash));
        } else {
            mc_text_fit(e->detail, 76, false, detail, sizeof detail);
            printf("%5lld  %s  %-8s  %s\n    %s\n", (long long)e->number, e->at,
                   *e->by ? e->by : "-", e->action, detail);
        }
    }
    mc_entries_free(entries, count);
    if (c->json)
        return print_json(json_pack("{s:i, s:o}", "format", 1, "entries", list), error);
    json_decref(list);
    return MC_OK;
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
