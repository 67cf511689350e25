/* A large invented practice to measure with: the cases of the demo, over and over, under other
 * names and chart numbers. They are written as the record's functions write them, but many to a
 * transaction, as only the making would be slow otherwise. */
#ifndef PRACTICE_OF_H
#define PRACTICE_OF_H

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "midcourse/practice.h"

enum { AT_ONCE = 250, FIRST_CHART = 20000, PLANS = 4 };

/* What is on record of a case of the demo. */
typedef struct whole_case {
    mc_case kase;
    mc_tooth_state states[MC_TEETH];
    mc_plan_info *plans;
    size_t plan_count;
    mc_plan *plan[PLANS];
    mc_start start[PLANS];
    mc_checkup_info *checkups;
    size_t checkup_count;
    mc_decision *decisions;
    size_t decision_count;
} whole_case;

static inline void stop(const char *format, ...) __attribute__((format(printf, 1, 2), noreturn));
static inline void stop(const char *format, ...) {
    va_list values;
    va_start(values, format);
    vfprintf(stderr, format, values);
    va_end(values);
    fputc('\n', stderr);
    exit(2);
}

static inline void must(mc_status status, const mc_error *error) {
    if (status != MC_OK)
        stop("%s", error->text);
}

static inline void load_case(mc_record *record, const mc_case *kase, mc_day today,
                             whole_case *out) {
    mc_error error = {0};
    *out = (whole_case){.kase = *kase};
    must(mc_record_teeth(record, &kase->id, today, out->states, &error), &error);
    must(mc_record_plans(record, &kase->id, &out->plans, &out->plan_count, &error), &error);
    if (out->plan_count > PLANS)
        stop("%s: more plans than expected", kase->chart);
    for (size_t i = 0; i < out->plan_count; i++)
        must(mc_record_plan(record, &out->plans[i].id, &out->plan[i], &out->start[i], &error),
             &error);
    must(mc_record_checkups(record, &kase->id, false, &out->checkups, &out->checkup_count, &error),
         &error);
    must(mc_record_decisions(record, &kase->id, &out->decisions, &out->decision_count, &error),
         &error);
}

static inline void free_case(whole_case *c) {
    for (size_t i = 0; i < c->plan_count; i++)
        mc_plan_free(c->plan[i]);
    free(c->plans);
    mc_checkup_info_free(c->checkups, c->checkup_count);
    mc_decision_free(c->decisions, c->decision_count);
}

static inline bool same(const mc_id *a, const mc_id *b) {
    return memcmp(a, b, sizeof *a) == 0;
}

static inline void note(mc_record *record, const mc_id *case_id, const char *action) {
    mc_error error = {0};
    must(mc_record_append(record, "IBA", case_id, action, "{}", &error), &error);
}

/* The decisions on check-up `number`; opened NULL: those that opened no plan, else those that
 * opened a plan, which is now on record under another identity. */
static inline void copy_decisions(mc_record *record, const mc_case *kase, const whole_case *from,
                                  int number, const mc_id *opened) {
    mc_error error = {0};
    for (size_t i = 0; i < from->decision_count; i++) {
        mc_decision copy = from->decisions[i];
        if (copy.checkup != number || mc_id_is_none(&copy.plan) == (opened != NULL))
            continue;
        if (opened)
            copy.plan = *opened;
        must(mc_record_add_decision(record, &kase->id, &copy, &error), &error);
        note(record, &kase->id, "decision signed");
    }
}

static inline void copy_plan(mc_record *record, const mc_case *kase, const whole_case *from,
                             size_t i) {
    mc_error error = {0};
    mc_plan_info info = from->plans[i];
    must(mc_record_add_plan(record, &kase->id, from->plan[i], i > 0 ? &from->start[i] : NULL, &info,
                            &error),
         &error);
    note(record, &kase->id, "plan imported");
    if (i > 0)
        copy_decisions(record, kase, from, info.made_from, &info.id);
    for (size_t k = 0; k < from->checkup_count; k++) {
        mc_checkup_info made;
        const mc_checkup_info *c = &from->checkups[k];
        if (!same(&c->plan, &from->plans[i].id))
            continue;
        must(mc_record_add_checkup(record, &kase->id, &info.id, &c->checkup, c->settings, "JT",
                                   &made, &error),
             &error);
        note(record, &kase->id, "check-up completed");
        copy_decisions(record, kase, from, c->checkup.number, NULL);
    }
    if (from->plans[i].status == MC_PLAN_CLOSED)
        must(mc_record_close_plan(record, &info.id, &error), &error);
}

static inline void copy_case(mc_record *record, const whole_case *from, size_t number) {
    static const char *const family[] = {"Amaranth", "Basalt",  "Celandine", "Dolomite", "Elder",
                                         "Fluorite", "Gentian", "Halite",    "Iris",     "Jasper",
                                         "Kyanite",  "Lupin",   "Mica",      "Nettle",   "Opal",
                                         "Pyrite",   "Rowan",   "Selenite",  "Tamarisk"};
    static const char *const given[] = {"Ansa",  "Brin", "Calla", "Dorin", "Elvo",  "Fenna",
                                        "Gero",  "Hela", "Ivar",  "Jora",  "Kesta", "Lumo",
                                        "Minna", "Noor", "Oska",  "Pell",  "Ronja", "Sten",
                                        "Tuuli", "Vesa", "Wenja"};
    enum { FAMILIES = sizeof family / sizeof *family, GIVEN = sizeof given / sizeof *given };
    char chart[16], name[64];
    mc_error error = {0};
    mc_case kase;
    snprintf(chart, sizeof chart, "%zu", FIRST_CHART + number);
    snprintf(name, sizeof name, "%s-%s, %s", family[number % FAMILIES],
             family[number / FAMILIES % FAMILIES], given[number % GIVEN]);
    must(mc_record_add_case(record, chart, name, from->kase.born, from->kase.opened, from->states,
                            &kase, &error),
         &error);
    note(record, &kase.id, "case opened");
    for (size_t i = 0; i < from->plan_count; i++)
        copy_plan(record, &kase, from, i);
}

/* Make a practice of so many cases in a new file, saying on the error output how far it is. */
static inline void make_practice_of(const char *path, size_t cases, mc_day today) {
    mc_error error = {0};
    mc_practice *practice;
    mc_case *list = NULL;
    size_t demo = 0;
    must(mc_demo_make(path, today, &practice, &error), &error);
    mc_record *record = mc_practice_record(practice);
    must(mc_record_cases(record, &list, &demo, &error), &error);
    whole_case *from = calloc(demo, sizeof *from);
    if (!from)
        stop("out of memory");
    size_t models = 0; /* the demo's open cases */
    for (size_t i = 0; i < demo; i++)
        if (list[i].closed == MC_NO_DAY)
            load_case(record, &list[i], today, &from[models++]);
    for (size_t made = demo; made < cases;) {
        must(mc_record_begin(record, false, &error), &error);
        for (int i = 0; i < AT_ONCE && made < cases; i++, made++)
            copy_case(record, &from[made % models], made);
        must(mc_record_commit(record, &error), &error);
        fprintf(stderr, "\rmaking a practice: %zu of %zu cases", made, cases);
    }
    fputc('\n', stderr);
    for (size_t i = 0; i < models; i++)
        free_case(&from[i]);
    free(from);
    free(list);
    mc_practice_close(practice);
}

#endif
