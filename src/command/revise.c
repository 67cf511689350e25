/* The correction: what the doctor changes of it, read from options, and the account of what came of
 * it. */
#include "context.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- changes, from options ---- */

enum { WORD = 24, MOST_EDITS = MOST_GIVEN };

/* "12:rotation=4.5@2" in its parts; those that are not there are "". */
typedef struct {
    char tooth[WORD], part[WORD], value[WORD], stage[WORD];
    bool staged; /* there is an @, whatever follows it */
} words;

/* Copy up to one of the ends, and go there; false where it does not fit. */
static bool take_word(const char **at, const char *ends, char out[WORD]) {
    const size_t length = strcspn(*at, ends);
    if (length >= WORD)
        return false;
    memcpy(out, *at, length);
    out[length] = '\0';
    *at += length;
    return true;
}

static bool split(const char *text, words *out) {
    *out = (words){.tooth = ""};
    if (!take_word(&text, ":=@", out->tooth))
        return false;
    if (*text == ':' && (text++, !take_word(&text, "=@", out->part)))
        return false;
    if (*text == '=' && (text++, !take_word(&text, "@", out->value)))
        return false;
    out->staged = *text == '@';
    if (out->staged && (text++, !take_word(&text, "", out->stage)))
        return false;
    return *text == '\0';
}

static bool component_of(const char *word, mc_component *out) {
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (strcmp(mc_component_name((mc_component)c), word) == 0) {
            *out = (mc_component)c;
            return true;
        }
    return false;
}

/* NaN for the word that takes a change back. */
static bool number_of(const words *w, const char *back, double *out) {
    *out = NAN;
    return strcmp(w->value, back) == 0 || mc_decimal_parse(w->value, true, out);
}

static bool is_side(const char *word) {
    return strcmp(word, "mesial") == 0 || strcmp(word, "distal") == 0;
}

static bool ipr_of(const words *w, mc_bench_edit *out) {
    out->mesial = strcmp(w->part, "mesial") == 0;
    out->whole = 1;
    if (!is_side(w->part) || !number_of(w, "plan", &out->number))
        return false;
    return !w->staged || (!isnan(out->number) && /* the plan says its own stage */
                          whole_parse(w->stage, 1, MC_MOST_STAGES, &out->whole));
}

/* What each option says, and how it is written. */
static const struct {
    const char *name, *form, *back;
    mc_bench_what what;
} CHANGES[] = {
    {"set", "TOOTH:COMPONENT=VALUE or TOOTH:COMPONENT=plan", "plan", MC_BENCH_TARGET},
    {"more", "TOOTH:COMPONENT=PERCENT", "none", MC_BENCH_OVERCORRECT},
    {"limit", "TOOTH:COMPONENT=VALUE or TOOTH:COMPONENT=usual", "usual", MC_BENCH_LIMIT},
    {"ipr", "TOOTH:mesial=MM@STAGE or TOOTH:mesial=plan (or distal)", "plan", MC_BENCH_IPR},
    {"stay", "TOOTH", NULL, MC_BENCH_STAY},
    {"move", "TOOTH", NULL, MC_BENCH_STAY}};
enum { CHANGE_KINDS = sizeof CHANGES / sizeof *CHANGES };

static bool read_change(int kind, const char *text, mc_bench_edit *out) {
    words w;
    if (!split(text, &w))
        return false;
    *out = (mc_bench_edit){.what = CHANGES[kind].what,
                           .tooth = mc_tooth_parse(MC_NOTATION_ISO, w.tooth)};
    if (out->tooth == MC_NO_TOOTH)
        return false;
    if (out->what == MC_BENCH_STAY) {
        out->whole = strcmp(CHANGES[kind].name, "stay") == 0;
        return !*w.part && !*w.value && !*w.stage && !strpbrk(text, ":=@");
    }
    if (out->what == MC_BENCH_IPR)
        return ipr_of(&w, out);
    return !w.staged && component_of(w.part, &out->component) &&
           number_of(&w, CHANGES[kind].back, &out->number);
}

/* The changes that the options ask for, in their order. */
static mc_status read_changes(const arguments *a, mc_bench_edit list[MOST_EDITS], size_t *count,
                              mc_error *error) {
    *count = 0;
    for (int i = 0; i < a->given; i++)
        for (int kind = 0; kind < CHANGE_KINDS; kind++) {
            if (strcmp(a->name[i], CHANGES[kind].name) != 0)
                continue;
            if (!read_change(kind, a->value[i], &list[*count]))
                return mc_fail(error, MC_USAGE, "--%s %.60s: it is written %s", a->name[i],
                               a->value[i], CHANGES[kind].form);
            ++*count;
        }
    return MC_OK;
}

/* A target file that is unlikely is taken on purpose only. */
static mc_status target_warnings(context *c, mc_warnings *warnings, mc_error *error) {
    const size_t count = warnings->count;
    print_warnings(c, warnings);
    if (count == 0 || option_given(&c->arguments, "accept-warnings"))
        return MC_OK;
    return mc_fail_need(error, MC_NEED_ACCEPTANCE,
                        "%zu warning%s: to go to these targets all the same, accept %s", count,
                        count == 1 ? "" : "s", count == 1 ? "it" : "them");
}

static mc_status take_targets(context *c, mc_bench *bench, const char *path, mc_error *error) {
    char *data = NULL;
    size_t size = 0;
    mc_notation notation;
    mc_warnings warnings = {0};
    mc_status status = notation_of(c, &notation, error);
    if (status == MC_OK)
        status = read_file(c, path, &data, &size, error);
    if (status == MC_OK)
        status = mc_bench_targets(bench, data, size, notation, &warnings, error);
    free(data);
    if (status == MC_OK)
        status = target_warnings(c, &warnings, error);
    if (status == MC_OK)
        c->file = NULL;
    return status;
}

/* First all the same, then what the file says, then tooth by tooth. */
static mc_status take_wishes(context *c, mc_bench *bench, mc_error *error) {
    const arguments *a = &c->arguments;
    const char *target = option_value(a, "target");
    mc_bench_edit list[MOST_EDITS];
    size_t count = 0;
    double percent = 0;
    mc_status status = option_number(a, "overcorrect", &percent, error);
    if (status == MC_OK)
        status = read_changes(a, list, &count, error);
    if (status == MC_OK && option_given(a, "overcorrect"))
        status = mc_bench_overcorrect_all(bench, percent, error);
    if (status == MC_OK && target)
        status = take_targets(c, bench, target, error);
    return status == MC_OK ? mc_bench_change_together(bench, list, count, error) : status;
}

/* ---- the account ---- */

static void print_series(const mc_bench *bench) {
    const mc_restaged *account = mc_bench_account(bench);
    const mc_arches *arches = mc_bench_arches(bench);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const char *name = arch == MC_UPPER ? "Upper" : "Lower";
        const int bound = account->lower_bound[arch];
        if (bound == 0)
            printf("  %s  no tooth moves\n", name);
        else if (account->blocked)
            printf("  %s  %d aligners under the limits alone; crowns %s\n", name, bound,
                   arches->estimated[arch] ? "estimated" : "measured");
        else
            printf("  %s  %d aligner%s (at least %d under the limits); crowns %s\n", name,
                   account->stages[arch], account->stages[arch] == 1 ? "" : "s", bound,
                   arches->estimated[arch] ? "estimated" : "measured");
    }
}

static bool any_moves(const mc_restaged *account) {
    bool any = false;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        any = any || account->tooth[t].moves;
    return any;
}

static void print_teeth(const mc_restaged *account) {
    print_columns("\n%-5s %6s %6s %6s %6s %6s %6s", "", "mesial", "buccal", "occl.", "rot.", "ang.",
                  "incl.");
    print_columns("%-5s %6s %6s %6s %6s %6s %6s %5s %6s %s", "Tooth", "mm", "mm", "mm", "deg",
                  "deg", "deg", "Needs", "Moves", "Limited by");
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_restaged_tooth *k = &account->tooth[t];
        char span[24] = "-";
        if (!k->moves)
            continue;
        if (k->first > 0)
            snprintf(span, sizeof span, "%d-%d", k->first, k->last);
        print_columns(
            "%02d    %6.2f %6.2f %6.2f %6.1f %6.1f %6.1f %5d %6s %s", mc_tooth_iso(t),
            pose_shown(&k->remaining, MC_MESIAL), pose_shown(&k->remaining, MC_BUCCAL),
            pose_shown(&k->remaining, MC_OCCLUSAL), pose_shown(&k->remaining, MC_ROTATION),
            pose_shown(&k->remaining, MC_ANGULATION), pose_shown(&k->remaining, MC_INCLINATION),
            k->stages_needed, span, mc_limit_name(k->limited_by));
    }
}

/* What there is to say of a contact; "" where the two never meet. */
static void say_contact(const mc_restaged_contact *k, char *out, size_t size) {
    const int right = mc_tooth_iso(k->right), left = mc_tooth_iso(k->left);
    out[0] = '\0';
    if (k->missing > 0)
        snprintf(out, size, "%02d and %02d lack %.2f mm of room to pass%s.", right, left,
                 mc_up_to_hundredths(k->missing),
                 k->target_overlaps ? "; their targets themselves overlap" : "");
    else if (k->leads != MC_NO_TOOTH || k->in_turns || k->costs > 0 || k->passed_over > 0) {
        size_t used = (size_t)snprintf(out, size, "%02d and %02d", right, left);
        if (k->in_turns)
            used += (size_t)snprintf(out + used, size - used, " pass in turns");
        else if (k->leads != MC_NO_TOOTH)
            used += (size_t)snprintf(out + used, size - used, ": %02d goes first",
                                     mc_tooth_iso(k->leads));
        else if (k->costs > 0)
            used += (size_t)snprintf(out + used, size - used, " wait for IPR");
        if (k->costs > 0)
            used += (size_t)snprintf(out + used, size - used,
                                     ", which makes the series %d aligner%s longer", k->costs,
                                     k->costs == 1 ? "" : "s");
        if (k->passed_over > 0)
            used += (size_t)snprintf(
                out + used, size - used,
                "%s lack %.2f mm, which an estimate cannot tell: look there",
                k->leads != MC_NO_TOOTH || k->in_turns || k->costs > 0 ? "; they" : "",
                mc_up_to_hundredths(k->passed_over - 1e-6));
        snprintf(out + used, size - used, ".");
    }
}

/* "IPR: 35 mesial 0.20 mm before aligner 3." */
static void print_ipr(const mc_bench *bench) {
    char text[MC_TEETH * 2 * 48] = "";
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        mc_bench_tooth tooth;
        mc_bench_tooth_of(bench, t, &tooth);
        const mc_ipr *const sides[] = {&tooth.ipr.mesial, &tooth.ipr.distal};
        for (int i = 0; i < 2; i++) {
            const size_t used = strlen(text);
            if (sides[i]->mm > 0)
                snprintf(text + used, sizeof text - used, "%s%02d %s %.2f mm before aligner %d",
                         used > 0 ? "; " : "IPR: ", mc_tooth_iso(t), i == 0 ? "mesial" : "distal",
                         sides[i]->mm, sides[i]->stage);
        }
    }
    if (!*text)
        return;
    snprintf(text + strlen(text), sizeof text - strlen(text), ".");
    printf("\n");
    print_wrapped(text, 2);
}

static void print_contacts(const mc_restaged *account) {
    char text[240];
    bool any = false;
    for (size_t i = 0; i < account->contacts; i++) {
        say_contact(&account->contact[i], text, sizeof text);
        if (!*text)
            continue;
        if (!any)
            printf("\n");
        any = true;
        print_wrapped(text, 2);
    }
}

/* "this series 0.6 until 2026-10-01". */
static void add_option(const mc_option *o, const char *name, char *out, size_t size) {
    char day[11];
    const size_t used = strlen(out);
    if (o->possible && !isnan(o->expected_out))
        snprintf(out + used, size - used, "%s%s %.1f, ends %s", used > 0 ? "; " : "", name,
                 o->expected_out, day_text(o->ends, day));
}

static void print_comparison(const mc_bench *bench) {
    mc_option options[MC_BENCH_OPTIONS];
    char list[300] = "", text[400];
    const size_t count = mc_bench_options(bench, options);
    for (size_t i = 0; i < count; i++) {
        char name[MC_OPTION_WORDS_SIZE];
        mc_option_words(&options[i].ask, name);
        add_option(&options[i], options[i].ask.choices == 1u << MC_CORRECT ? "this series" : name,
                   list, sizeof list);
    }
    if (!*list)
        return;
    snprintf(text, sizeof text, "Teeth expected to end outside: %s.", list);
    printf("\n");
    print_wrapped(text, 0);
}

static bool any_estimated(const mc_bench *bench) {
    const mc_arches *arches = mc_bench_arches(bench);
    const int *bound = mc_bench_account(bench)->lower_bound;
    return (arches->estimated[MC_UPPER] && bound[MC_UPPER] > 0) ||
           (arches->estimated[MC_LOWER] && bound[MC_LOWER] > 0);
}

static void print_account(const mc_bench *bench) {
    const mc_restaged *account = mc_bench_account(bench);
    print_series(bench);
    print_contacts(account);
    print_ipr(bench);
    if (any_moves(account))
        print_teeth(account);
    print_comparison(bench);
    printf("\n");
    if (any_moves(account))
        print_wrapped(
            any_estimated(bench)
                ? "What remains for each tooth, from where it is to its target. Neighbours "
                  "were checked at every stage, their crowns being of usual sizes on an "
                  "estimated arch form: an estimate, so look through the stages."
                : "What remains for each tooth, from where it is to its target. Neighbours "
                  "were checked at every stage, from where their crowns were measured.",
            0);
    print_caution();
}

/* ---- the command ---- */

static mc_status print_document(context *c, const mc_bench *bench, mc_error *error) {
    json_t *out = mc_json_revise(c->arguments.word[0], mc_bench_account(bench),
                                 mc_bench_arches(bench)->estimated, mc_bench_why(bench));
    if (out && (json_object_set_new(out, "changes",
                                    json_integer((json_int_t)mc_bench_changes(bench))) != 0 ||
                json_object_set_new(out, "start", day_json(mc_bench_start(bench))) != 0)) {
        json_decref(out);
        out = NULL;
    }
    return print_json(out, error);
}

/* What was done, and why it is no order. */
static void print_done(const mc_bench *bench, const char *out, bool kept) {
    const char *why = mc_bench_why(bench);
    if (out)
        printf("Wrote %s: %s.\n", out,
               *why ? "a preview, not to be ordered" : "a draft that can be signed as an order");
    if (kept)
        printf("Kept as the draft of the case: %zu change%s.\n", mc_bench_changes(bench),
               mc_bench_changes(bench) == 1 ? "" : "s");
    if (*why) {
        printf("\n");
        print_wrapped(why, 2);
    }
    printf("\n");
}

static mc_status tell(context *c, const mc_bench *bench, const char *out, bool kept,
                      mc_error *error) {
    if (c->json)
        return print_document(c, bench, error);
    if (out && strcmp(out, "-") == 0)
        return MC_OK;
    print_done(bench, out, kept);
    print_account(bench);
    return MC_OK;
}

/* Whether there are aligners to make a file of. */
static bool has_series(const mc_bench *bench) {
    return mc_bench_plan(bench) && any_moves(mc_bench_account(bench));
}

/* No series to write: the account says which contact lacks room, the refusal what to do. */
static mc_status refuse_to_write(context *c, const mc_bench *bench, const char *out,
                                 mc_error *error) {
    const bool account = mc_bench_account(bench)->blocked;
    mc_status status = MC_OK;
    if (account && c->json)
        status = print_document(c, bench, error);
    else if (account && strcmp(out, "-") != 0)
        print_account(bench);
    return status == MC_OK ? mc_fail(error, MC_REFUSED, "%s: %s",
                                     mc_bench_plan(bench) ? "nothing was written"
                                                          : "there is no series to write",
                                     mc_bench_why(bench))
                           : status;
}

/* The file first, which is taken back where the draft cannot be kept. */
static mc_status write_and_keep(const mc_bench *bench, const char *out, mc_bench *to_keep,
                                mc_error *error) {
    char *data = NULL;
    size_t size = 0;
    const bool file = out && strcmp(out, "-") != 0;
    mc_status status = out ? mc_bench_file(bench, &data, &size, error) : MC_OK;
    if (status == MC_OK && file)
        status = mc_file_write(out, data, size, false, error);
    if (status == MC_OK && to_keep) {
        status = mc_bench_keep(to_keep, error);
        if (status != MC_OK && file)
            remove(out);
    }
    if (status == MC_OK && out && !file)
        status = mc_file_write(out, data, size, false, error);
    free(data);
    return status;
}

static mc_status check_usage(const context *c, const char *out, mc_error *error) {
    if (!out && !option_given(&c->arguments, "keep"))
        return mc_fail(error, MC_USAGE, "--out FILE: where should the draft be written?");
    if (out && c->json && strcmp(out, "-") == 0)
        return two_documents(error);
    return MC_OK;
}

static mc_status open_bench(context *c, mc_bench **bench, mc_error *error) {
    const bool kept = option_given(&c->arguments, "kept");
    mc_case kase;
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_bench_open(c->practice, &kase, kept, bench, error);
    if (status == MC_OK && kept && !mc_bench_kept(*bench, NULL))
        status = mc_fail(error, MC_REFUSED,
                         "case %s: no draft made from its last check-up is on record: go without "
                         "--kept, or keep one with --keep",
                         kase.chart);
    return status;
}

mc_status run_revise(context *c, mc_error *error) {
    const char *out = option_value(&c->arguments, "out");
    const bool keep = option_given(&c->arguments, "keep");
    mc_bench *bench = NULL;
    mc_status status = check_usage(c, out, error);
    if (status == MC_OK)
        status = open_bench(c, &bench, error);
    if (status == MC_OK)
        status = take_wishes(c, bench, error);
    if (status == MC_OK && out && !has_series(bench))
        status = refuse_to_write(c, bench, out, error);
    if (status == MC_OK)
        status = write_and_keep(bench, out, keep ? bench : NULL, error);
    if (status == MC_OK)
        status = tell(c, bench, out, keep, error);
    mc_bench_close(bench);
    return status;
}
