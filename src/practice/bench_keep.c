/* The changes on the bench as a draft on record: kept, and taken up again. */
#include "bench.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const WHAT[] = {[MC_BENCH_TARGET] = "target",
                                   [MC_BENCH_OVERCORRECT] = "overcorrect",
                                   [MC_BENCH_LIMIT] = "limit",
                                   [MC_BENCH_IPR] = "ipr",
                                   [MC_BENCH_STAY] = "stay"};
enum { WHATS = sizeof WHAT / sizeof *WHAT };

/* ---- written ---- */

static bool of_component(const mc_bench_edit *e) {
    return e->what != MC_BENCH_IPR && e->what != MC_BENCH_STAY;
}

static json_t *edit_json(const mc_bench_edit *e) {
    json_t *out = json_pack("{s:s, s:i}", "what", WHAT[e->what], "tooth", mc_tooth_iso(e->tooth));
    if (of_component(e))
        out = mc_json_with(out, "component", json_string(mc_component_name(e->component)));
    if (e->what == MC_BENCH_IPR)
        out = mc_json_with(out, "side", json_string(e->mesial ? "mesial" : "distal"));
    if (e->what != MC_BENCH_STAY)
        out = mc_json_with(out, "number", isnan(e->number) ? json_null() : json_real(e->number));
    if (!of_component(e))
        out = mc_json_with(out, "whole", json_integer(e->whole));
    return e->joined ? mc_json_with(out, "joined", json_true()) : out;
}

/* The changes that stand; NULL for want of memory. */
static char *edits_text(const mc_bench *bench) {
    json_t *list = json_array();
    for (size_t i = 0; list && i < bench->stand; i++)
        if (json_array_append_new(list, edit_json(&bench->edit[i])) != 0) {
            json_decref(list);
            list = NULL;
        }
    char *text = list ? mc_json_whole(list, JSON_COMPACT | JSON_SORT_KEYS) : NULL;
    json_decref(list);
    return text;
}

/* ---- read ---- */

static bool find_word(const char *word, int *out) {
    for (int i = 0; word && i < WHATS; i++)
        if (strcmp(WHAT[i], word) == 0) {
            *out = i;
            return true;
        }
    return false;
}

static bool find_component(const char *word, mc_component *out) {
    for (int c = 0; word && c < MC_COMPONENTS; c++)
        if (strcmp(mc_component_name((mc_component)c), word) == 0) {
            *out = (mc_component)c;
            return true;
        }
    return false;
}

static bool read_edit(json_t *from, mc_bench_edit *out) {
    const char *side = json_string_value(json_object_get(from, "side"));
    json_t *number = json_object_get(from, "number"), *whole = json_object_get(from, "whole");
    int what;
    if (!find_word(json_string_value(json_object_get(from, "what")), &what))
        return false;
    *out = (mc_bench_edit){
        .what = (mc_bench_what)what,
        .tooth = mc_tooth_from_iso((int)json_integer_value(json_object_get(from, "tooth"))),
        .mesial = side && strcmp(side, "mesial") == 0,
        .number = json_is_number(number) ? json_number_value(number) : NAN,
        .whole = (int)json_integer_value(whole),
        .joined = json_is_true(json_object_get(from, "joined"))};
    return !of_component(out) ||
           find_component(json_string_value(json_object_get(from, "component")), &out->component);
}

/* A change that can be no more (the tooth was lost since, the cap of overcorrection was lowered) is
 * left out. */
static mc_status read_edits(mc_bench *bench, json_t *list, mc_error *error) {
    mc_status status = bench_room(bench, json_array_size(list), error);
    for (size_t i = 0; status == MC_OK && i < json_array_size(list); i++) {
        mc_bench_edit *e = &bench->edit[bench->count];
        if (!read_edit(json_array_get(list, i), e) || bench_check(bench, e, NULL) != MC_OK)
            continue;
        e->joined = e->joined && bench->count > 0;
        bench->stand = ++bench->count;
    }
    return status;
}

mc_status bench_take_up(mc_bench *bench, bool wanted, mc_error *error) {
    const mc_assessment *a = bench->a;
    mc_correction_draft draft;
    bool found;
    json_error_t why;
    mc_status status = mc_record_kept_draft(mc_practice_record(bench->practice), &a->kase.id,
                                            &draft, &found, error);
    if (status != MC_OK || !found)
        return status;
    bench->kept = draft.number;
    if (wanted && draft.checkup == a->score->number && draft.version == a->checkup.version) {
        json_t *list = json_loads(draft.edits, 0, &why);
        status = list ? read_edits(bench, list, error)
                      : mc_fail(error, MC_REFUSED, "the draft on record cannot be read: %.200s",
                                why.text);
        json_decref(list);
        bench->taken_up = status == MC_OK;
        snprintf(bench->kept_by, sizeof bench->kept_by, "%s", draft.by);
    }
    free(draft.edits);
    return status;
}

bool mc_bench_kept(const mc_bench *bench, char by[9]) {
    if (by)
        snprintf(by, sizeof bench->kept_by, "%s", bench->kept_by);
    return bench->taken_up;
}

/* ---- kept ---- */

static mc_status changed_meanwhile(const mc_bench *bench, mc_error *error) {
    return mc_fail_need(error, MC_NEED_LOOK,
                        "case %s was changed on another console meanwhile: open the correction "
                        "anew; nothing was kept",
                        bench->a->kase.chart);
}

/* Within the transaction: whether the case is still as it is on the bench. */
static mc_status check_unchanged(mc_bench *bench, mc_error *error) {
    const mc_assessment *a = bench->a;
    mc_assessment *now = NULL;
    mc_status status = mc_assess(bench->practice, &a->kase, 0, true, &now, error);
    if (status != MC_OK)
        return status;
    const bool same =
        now->score && now->info.number == a->info.number && now->turn.waiting == a->turn.waiting &&
        now->turn.next.number == a->turn.next.number &&
        (now->info.status == MC_PLAN_ACTIVE || now->turn.waiting) &&
        now->score->number == a->score->number && now->checkup.version == a->checkup.version &&
        now->decision_count == a->decision_count;
    mc_assessment_free(now);
    return same ? MC_OK : changed_meanwhile(bench, error);
}

/* Somebody else's draft is not put aside unseen: refused once. */
static mc_status check_draft(mc_bench *bench, mc_error *error) {
    mc_correction_draft draft;
    bool found;
    mc_status status = mc_record_kept_draft(mc_practice_record(bench->practice), &bench->a->kase.id,
                                            &draft, &found, error);
    if (status != MC_OK || !found)
        return status;
    free(draft.edits);
    if (draft.number == bench->kept)
        return MC_OK;
    bench->kept = draft.number;
    return mc_fail_need(error, MC_NEED_LOOK,
                        "%s kept another draft meanwhile: look at it first, or keep again to put "
                        "this one in its place",
                        draft.by);
}

static json_t *describe(const mc_bench *bench) {
    const mc_restaged *account = &bench->made->account;
    return json_pack("{s:i, s:i, s:I, s:i, s:i}", "checkup", bench->a->score->number, "version",
                     bench->a->checkup.version, "changes", (json_int_t)bench->stand, "upper_stages",
                     account->stages[MC_UPPER], "lower_stages", account->stages[MC_LOWER]);
}

mc_status mc_bench_keep(mc_bench *bench, mc_error *error) {
    mc_practice *practice = bench->practice;
    const mc_id *id = &bench->a->kase.id;
    mc_correction_draft draft = {.checkup = bench->a->score->number,
                                 .version = bench->a->checkup.version,
                                 .edits = edits_text(bench)};
    if (!draft.edits)
        return mc_fail_need(error, MC_NEED_MEMORY, "out of memory");
    mc_status status = mc_action_begin(practice, BY_DOCTOR, true, error);
    if (status != MC_OK) {
        free(draft.edits);
        return status;
    }
    snprintf(draft.by, sizeof draft.by, "%s", practice->actor.initials);
    status = check_unchanged(bench, error);
    if (status == MC_OK)
        status = check_draft(bench, error);
    if (status == MC_OK)
        status = mc_record_keep_draft(practice->record, id, &draft, error);
    status = mc_action_end(practice, status, id, "correction drafted", describe(bench), error);
    if (status == MC_OK)
        bench->kept = draft.number;
    free(draft.edits);
    return status;
}
