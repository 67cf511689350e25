/* Cases and their teeth. */
#include "context.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* "18,28": mark each tooth with a state. */
static mc_status mark_teeth(const char *list, mc_tooth_state state, mc_tooth_state states[MC_TEETH],
                            mc_error *error) {
    for (const char *at = list; at && *at;) {
        size_t length = strcspn(at, ",");
        char word[8] = "";
        if (length < sizeof word)
            memcpy(word, at, length), word[length] = '\0';
        mc_tooth tooth = mc_tooth_parse(MC_NOTATION_ISO, word);
        if (tooth == MC_NO_TOOTH)
            return mc_fail(error, MC_USAGE, "%.40s: teeth are named as in 18,28 (ISO 3950)", at);
        states[tooth] = state;
        at += length + (at[length] == ',');
    }
    return MC_OK;
}

mc_status run_case_new(context *c, mc_error *error) {
    const arguments *a = &c->arguments;
    const char *chart = option_value(a, "chart"), *name = option_value(a, "name");
    mc_day born = MC_NO_DAY;
    mc_tooth_state states[MC_TEETH];
    mc_case made;
    char label[MC_LABEL_SIZE];
    if (!chart || !name || !option_given(a, "born"))
        return mc_fail(error, MC_USAGE,
                       "a case needs --chart NO, --name 'Family, Given' and --born DATE");
    mc_usual_teeth(states);
    mc_status status = option_day(a, "born", &born, error);
    if (status == MC_OK)
        status = mark_teeth(option_value(a, "missing"), MC_TOOTH_MISSING, states, error);
    if (status == MC_OK)
        status = mark_teeth(option_value(a, "fixed"), MC_TOOTH_FIXED, states, error);
    if (status == MC_OK)
        status = mc_case_open(c->practice, chart, name, born, states, &made, error);
    if (status != MC_OK)
        return status;
    mc_case_label(&made, label);
    if (c->json)
        return print_json(
            json_pack("{s:i, s:s, s:s}", "format", 1, "case", label, "name", made.name), error);
    printf("Opened case %s.\nNext: midcourse --as INITIALS plan import %s FILE --start DATE\n",
           label, label);
    return MC_OK;
}

static json_t *case_json(const mc_case *k) {
    char label[MC_LABEL_SIZE];
    mc_case_label(k, label);
    return json_pack("{s:s, s:s, s:o, s:o, s:o}", "case", label, "name", k->name, "born",
                     day_json(k->born), "opened", day_json(k->opened), "closed",
                     day_json(k->closed));
}

mc_status run_case_list(context *c, mc_error *error) {
    mc_case *cases = NULL;
    size_t count = 0;
    mc_status status = mc_record_cases(mc_practice_record(c->practice), &cases, &count, error);
    if (status != MC_OK)
        return status;
    json_t *list = json_array();
    if (!c->json)
        printf("%-10s  %-32s  %-10s  %-10s  %s\n", "Case", "Name", "Born", "Opened", "Closed");
    for (size_t i = 0; i < count; i++) {
        char label[MC_LABEL_SIZE], name[200], born[11], opened[11], closed[11];
        mc_case_label(&cases[i], label);
        if (c->json) {
            json_array_append_new(list, case_json(&cases[i]));
            continue;
        }
        int width = mc_text_fit(cases[i].name, 32, false, name, sizeof name);
        printf("%-10s  %s%*s  %-10s  %-10s  %s\n", label, name, 32 - width, "",
               day_text(cases[i].born, born), day_text(cases[i].opened, opened),
               day_text(cases[i].closed, closed));
    }
    free(cases);
    if (c->json)
        return print_json(json_pack("{s:i, s:o}", "format", 1, "cases", list), error);
    json_decref(list);
    return MC_OK;
}

/* Also while its first day is awaited. */
static json_t *plan_in_force_json(const mc_assessment *a) {
    const mc_plan_info *info = a->turn.waiting ? &a->turn.next : &a->info;
    int stages[MC_ARCHES];
    if (!a->has_plan)
        return json_null();
    for (int arch = 0; arch < MC_ARCHES; arch++)
        stages[arch] =
            a->turn.waiting ? a->turn.stages[arch] : mc_plan_stages(a->plan, (mc_arch)arch);
    return json_pack("{s:i, s:o, s:i, s:i}", "number", info->number, "start", day_json(info->start),
                     "upper_stages", stages[MC_UPPER], "lower_stages", stages[MC_LOWER]);
}

/* The plan that is awaited, and what is worn until it begins; null where none is. */
static json_t *waiting_json(const mc_assessment *a, mc_day today) {
    mc_awaited awaited;
    mc_await(&a->turn, today, &awaited);
    json_t *out = awaited_json(&awaited);
    if (json_is_object(out))
        json_object_set_new(out, "plan", json_integer(a->turn.next.number));
    return out;
}

static json_t *show_json(const mc_case *kase, const mc_assessment *a, mc_day today) {
    json_t *document = json_pack("{s:i}", "format", 1), *teeth = json_object();
    json_t *about = case_json(kase);
    json_object_update(document, about);
    json_decref(about);
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        char iso[4];
        mc_tooth_text(MC_NOTATION_ISO, t, iso);
        if (!mc_tooth_is_deciduous(t) || a->states[t] != MC_TOOTH_MISSING)
            json_object_set_new(teeth, iso, json_string(mc_tooth_state_name(a->states[t])));
    }
    json_object_set_new(document, "teeth", teeth);
    json_object_set_new(document, "plan", plan_in_force_json(a));
    json_object_set_new(document, "waiting", waiting_json(a, today));
    json_object_set_new(document, "checkups", json_integer(a->last_number));
    json_object_set_new(document, "decisions", json_integer((json_int_t)a->decision_count));
    return document;
}

static void print_teeth(const mc_assessment *a) {
    bool any = false;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        bool usual = mc_tooth_is_deciduous(t) ? a->states[t] == MC_TOOTH_MISSING
                                              : a->states[t] == MC_TOOTH_PRESENT;
        if (usual)
            continue;
        printf("  %02d  %s, %s\n", mc_tooth_iso(t), mc_tooth_state_name(a->states[t]),
               mc_tooth_name(t));
        any = true;
    }
    if (!any)
        printf("  all 32 permanent teeth present\n");
}

static void print_series(const mc_assessment *a, mc_day today) {
    static const char *const ARCH[] = {"Upper", "Lower"};
    char day[11];
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        const mc_series *s = &a->series[arch];
        if (s->stages == 0) {
            printf("  %s  no series\n", ARCH[arch]);
            continue;
        }
        int worn = mc_series_aligner_on(s, today, NULL);
        if (s->waits) {
            printf("  %s  aligner %d of %d, kept until the new series begins\n", ARCH[arch], worn,
                   s->stages);
            continue;
        }
        printf("  %s  aligner %d of %d by the dates, %d days each\n", ARCH[arch], worn, s->stages,
               s->interval);
        mc_day change = mc_series_next_change(s, today);
        if (change != MC_NO_DAY)
            printf("         next change %s\n", day_text(change, day));
        printf("         series ends %s\n", day_text(mc_series_end(s), day));
    }
}

static void print_waiting(const mc_assessment *a, mc_day today) {
    char text[MC_WAITING_TEXT_SIZE], caution[MC_INTERIM_TEXT_SIZE], line[480];
    mc_awaited awaited;
    mc_await(&a->turn, today, &awaited);
    mc_waiting_text(&awaited, text);
    mc_waiting_caution(&awaited, caution);
    if (*text == '\0')
        return;
    snprintf(line, sizeof line, "Plan %d, %s.%s%s%s", a->turn.next.number, text,
             *caution ? " Caution: " : "", caution, *caution ? "." : "");
    printf("\n");
    print_wrapped(line, 0);
}

mc_status run_case_show(context *c, mc_error *error) {
    mc_case kase;
    mc_assessment *a = NULL;
    char label[MC_LABEL_SIZE], name[400], born[11];
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_assess(c->practice, &kase, 0, false, &a, error);
    if (status != MC_OK)
        return status;
    if (c->json) {
        status = print_json(show_json(&kase, a, c->today), error);
    } else {
        mc_case_label(&kase, label);
        printf("Case %s  %s, born %s%s\n\nTeeth\n", label, safe(kase.name, name, sizeof name),
               day_text(kase.born, born), kase.closed == MC_NO_DAY ? "" : " (closed)");
        print_teeth(a);
        if (a->has_plan) {
            printf("\nPlan %d, %s %s\n", a->info.number,
                   a->info.worn_from > c->today ? "starts" : "started",
                   day_text(a->info.worn_from, born));
            print_series(a, c->today);
            print_waiting(a, c->today);
        } else {
            printf("\nNo plan yet: midcourse --as INITIALS plan import %s FILE --start DATE\n",
                   label);
        }
        printf("\n%d check-up%s, %zu signed decision%s%s\n", a->last_number,
               a->last_number == 1 ? "" : "s", a->decision_count, a->decision_count == 1 ? "" : "s",
               a->decision_due ? "; one is due" : "");
    }
    mc_assessment_free(a);
    return status;
}

mc_status run_case_tooth(context *c, mc_error *error) {
    mc_case kase;
    mc_tooth_state state;
    mc_day from = c->today;
    mc_tooth tooth = mc_tooth_parse(MC_NOTATION_ISO, c->arguments.word[1]);
    if (tooth == MC_NO_TOOTH)
        return mc_fail(error, MC_USAGE, "%.20s: no such tooth (ISO 3950)", c->arguments.word[1]);
    if (!mc_tooth_state_parse(c->arguments.word[2], &state))
        return mc_fail(error, MC_USAGE,
                       "%.20s: a tooth is present, missing, extracted, unerupted, shedding, "
                       "implant, ankylosed, bridge or "
                       "fixed",
                       c->arguments.word[2]);
    mc_status status = option_day(&c->arguments, "date", &from, error);
    if (status == MC_OK)
        status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_case_set_tooth(c->practice, &kase, tooth, state, from, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(json_pack("{s:i, s:s, s:s, s:s, s:o}", "format", 1, "case",
                                    c->arguments.word[0], "tooth", c->arguments.word[1], "state",
                                    mc_tooth_state_name(state), "from", day_json(from)),
                          error);
    char day[11];
    printf("Case %s: %s is %s from %s.\n", c->arguments.word[0], c->arguments.word[1],
           mc_tooth_state_name(state), day_text(from, day));
    return MC_OK;
}

mc_status run_case_close(context *c, mc_error *error) {
    mc_case kase;
    mc_status status = case_of(c, &kase, error);
    if (status == MC_OK)
        status = mc_case_close(c->practice, &kase, error);
    if (status != MC_OK)
        return status;
    if (c->json)
        return print_json(json_pack("{s:i, s:s, s:o}", "format", 1, "case", c->arguments.word[0],
                                    "closed", day_json(c->today)),
                          error);
    printf("Case %s is closed.\n", c->arguments.word[0]);
    return MC_OK;
}
