/* A check-up entered at the chair: taken up, entered value by value, completed or thrown away. It
 * is on record as the steps of its entry, and every step is committed before the next is asked
 * for. */
#include "draft.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- taking it up ---- */

static mc_status check_case(mc_practice *practice, mc_draft *d, const mc_case *kase,
                            mc_error *error) {
    char day[11];
    mc_status status =
        mc_record_find_case(practice->record, kase->chart, kase->number, &d->kase, error);
    if (status == MC_OK && d->kase.closed != MC_NO_DAY) {
        mc_day_text(d->kase.closed, day);
        return mc_fail(error, MC_REFUSED, "case %s was closed on %s", kase->chart, day);
    }
    return status;
}

/* The frame of a new check-up of today, but for its aligners. */
static mc_status prepare(mc_practice *practice, mc_draft *d, mc_error *error) {
    mc_plan_info plan;
    mc_settings settings;
    mc_status status = mc_worn_plan(practice, &d->kase, practice->today, &plan, error);
    d->begun = (mc_checkup_info){.plan = plan.id, .version = 1, .open = true};
    d->begun.checkup = (mc_checkup){.date = practice->today,
                                    .aligner = {MC_NO_ALIGNER, MC_NO_ALIGNER},
                                    .day = {-1, -1},
                                    .wear_hours = NAN,
                                    .method = MC_CALIPER};
    if (status == MC_OK)
        status =
            mc_record_settings(practice->record, &d->kase.id, &settings, &d->begun.settings, error);
    return status;
}

/* Aligners and their days by the dates. */
static mc_status set_aligners(mc_draft *d, mc_error *error) {
    mc_series series[MC_ARCHES];
    mc_checkup *frame = &d->begun.checkup;
    char day[11];
    if (d->replay.last > 0 && d->replay.h.checkups[d->replay.last - 1].checkup.date > frame->date) {
        mc_day_text(d->replay.h.checkups[d->replay.last - 1].checkup.date, day);
        return mc_fail(error, MC_REFUSED, "the last check-up of case %s is of %s, after today",
                       d->kase.chart, day);
    }
    mc_series_before(&d->replay, d->a, series);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        if (series[arch].stages == 0)
            continue;
        frame->aligner[arch] = mc_series_aligner_on(&series[arch], frame->date, &frame->day[arch]);
        if (frame->aligner[arch] == 0 || frame->day[arch] > MC_LONGEST_ALIGNER_DAY)
            frame->day[arch] = -1;
    }
    return MC_OK;
}

/* Contents from the first steps, scored. */
static mc_status replay_some(mc_draft *d, size_t standing, mc_error *error) {
    mc_status status = MC_OK;
    draft_contents_clear(&d->contents, &d->begun.checkup);
    for (size_t i = 0; status == MC_OK && i < standing; i++)
        status = draft_take(&d->contents, &d->steps[i], d->a->plan, d->a->states, error);
    if (status == MC_OK)
        status = draft_gather(&d->contents, error);
    if (status == MC_OK)
        status = mc_assess_again(&d->replay, &d->contents.checkup, d->a, error);
    d->stale = status != MC_OK;
    return status;
}

/* The same from all that are not undone. */
static mc_status replay_steps(mc_draft *d, mc_error *error) {
    return replay_some(d, d->count - d->undone, error);
}

/* What it holds is what its steps say, else nothing may rest on it. */
static mc_status refresh(mc_draft *d, mc_error *error) {
    return d->stale ? replay_steps(d, error) : MC_OK;
}

static void count_undone(mc_draft *d) {
    d->undone = 0;
    for (size_t i = 0; i < d->count; i++)
        d->undone += d->steps[i].undone;
}

static mc_status take_up(mc_practice *practice, mc_draft *d, mc_error *error) {
    mc_status status = mc_record_open_checkup(practice->record, &d->kase.id, &d->begun, &d->steps,
                                              &d->count, &d->on_record, error);
    if (status != MC_OK)
        return status;
    count_undone(d);
    if (!d->on_record)
        status = prepare(practice, d, error);
    if (status == MC_OK)
        status = mc_assess_open(practice, &d->kase, &d->begun, &d->replay, &d->a, error);
    if (status != MC_OK)
        return status;
    d->begun.checkup.number = d->a->checkup.checkup.number;
    mc_last_readings(d->a, d->a->checkups - 1, d->a->checkups_before_on_plan, d->last);
    if (!d->on_record)
        status = set_aligners(d, error);
    return status == MC_OK ? replay_steps(d, error) : status;
}

mc_status mc_draft_open(mc_practice *practice, const mc_case *kase, mc_draft **out,
                        mc_error *error) {
    mc_draft *d = *out = calloc(1, sizeof **out);
    if (!d)
        return mc_fail(error, MC_REFUSED, "out of memory");
    d->practice = practice;
    mc_status status = draft_contents_new(&d->contents, error);
    if (status == MC_OK)
        status = mc_record_begin_reading(practice->record, error);
    if (status == MC_OK) {
        status = check_case(practice, d, kase, error);
        if (status == MC_OK)
            status = take_up(practice, d, error);
        d->change = mc_record_change(practice->record);
        mc_record_end_reading(practice->record);
    }
    if (status != MC_OK) {
        mc_draft_close(d);
        *out = NULL;
    }
    return status;
}

void mc_draft_close(mc_draft *d) {
    if (!d)
        return;
    if (d->a) {
        mc_assess_let_go(d->a);
        mc_assessment_free(d->a);
    }
    mc_replay_free(&d->replay);
    draft_contents_free(&d->contents);
    free((void *)(uintptr_t)d->begun.checkup.note);
    free(d->steps);
    free(d);
}

/* ---- who else is at it ---- */

static bool same_step(const mc_step *a, const mc_step *b) {
    return a->what == b->what && a->arch == b->arch && a->tooth == b->tooth && a->row == b->row &&
           a->component == b->component && a->whole == b->whole &&
           (a->number == b->number || (isnan(a->number) && isnan(b->number))) &&
           a->short_of_plan == b->short_of_plan && a->undone == b->undone &&
           strcmp(a->by, b->by) == 0 && strcmp(a->text, b->text) == 0;
}

/* Whether a check-up that has no value yet would still be begun as it was prepared: nothing on
 * record keeps others from signing, or importing, before its first value. */
static bool same_beginning(const mc_draft *d) {
    mc_draft *now = NULL;
    if (mc_draft_open(d->practice, &d->kase, &now, NULL) != MC_OK)
        return false;
    const mc_checkup *a = &now->begun.checkup, *b = &d->begun.checkup;
    bool same = mc_id_same(&now->begun.plan, &d->begun.plan) &&
                now->begun.settings == d->begun.settings && a->number == b->number &&
                memcmp(a->aligner, b->aligner, sizeof a->aligner) == 0 &&
                memcmp(a->day, b->day, sizeof a->day) == 0 &&
                memcmp(now->a->states, d->a->states, sizeof d->a->states) == 0;
    mc_draft_close(now);
    return same;
}

/* Whether the record holds exactly what the draft does. */
static mc_status compare(const mc_draft *d, bool *same, mc_error *error) {
    mc_checkup_info there;
    mc_step *steps;
    size_t count;
    bool found;
    *same = mc_record_change(d->practice->record) == d->change && d->change != -1;
    if (*same)
        return MC_OK;
    mc_status status = mc_record_open_checkup(d->practice->record, &d->kase.id, &there, &steps,
                                              &count, &found, error);
    if (status != MC_OK)
        return status;
    *same = found == d->on_record && count == d->count &&
            (!found || mc_id_same(&there.id, &d->begun.id));
    for (size_t i = 0; *same && i < count; i++)
        *same = same_step(&steps[i], &d->steps[i]);
    free(steps);
    free((void *)(uintptr_t)there.checkup.note);
    *same = *same && (found || same_beginning(d));
    return MC_OK;
}

/* Whether it is on record, as far as can be seen. */
static bool still_there(const mc_draft *d) {
    mc_checkup_info there;
    mc_step *steps;
    size_t count;
    bool found;
    if (!d->on_record || mc_record_open_checkup(d->practice->record, &d->kase.id, &there, &steps,
                                                &count, &found, NULL) != MC_OK)
        return d->on_record;
    free(steps);
    free((void *)(uintptr_t)there.checkup.note);
    return found && mc_id_same(&there.id, &d->begun.id);
}

/* Hold what is on record now. Where that is nothing, and the case can have no check-up any more, it
 * has ended. */
static mc_status reload(mc_draft *d, mc_error *error) {
    mc_draft *now = NULL;
    mc_status status = mc_draft_open(d->practice, &d->kase, &now, error);
    if (status != MC_OK) {
        d->ended = !still_there(d);
        return status;
    }
    mc_draft before = *d;
    *d = *now;
    *now = before;
    mc_draft_close(now);
    return MC_OK;
}

mc_status mc_draft_look(mc_draft *d, bool *changed, mc_error *error) {
    bool same = true, stale = d->stale;
    *changed = false;
    if (d->ended)
        return MC_OK;
    int64_t now = mc_record_change(d->practice->record);
    mc_status status = refresh(d, error);
    if (status == MC_OK)
        status = compare(d, &same, error);
    if (status != MC_OK)
        return status;
    if (same) {
        d->change = now;
        *changed = stale;
        return MC_OK;
    }
    status = reload(d, error);
    *changed = status == MC_OK;
    return status;
}

/* In words, what somebody else did meanwhile; the draft holds it now. */
static mc_status tell_meanwhile(const mc_draft *d, bool begun, int number, mc_error *error) {
    char what[MC_STEP_TEXT_SIZE];
    if (!d->on_record && !begun)
        return mc_fail_need(error, MC_NEED_LOOK,
                            "case %s was changed on another console meanwhile: look, then go on",
                            d->kase.chart);
    if (!d->on_record)
        return mc_fail_need(error, MC_NEED_LOOK,
                            "check-up %d was completed or thrown away on another console", number);
    if (d->count == d->undone)
        return mc_fail_need(error, MC_NEED_LOOK,
                            "everything was taken back on another console: look, then go on");
    const mc_step *last = &d->steps[d->count - d->undone - 1];
    draft_step_text(last, what);
    return mc_fail_need(error, MC_NEED_LOOK,
                        "this was changed on another console meanwhile (last: %s, by %s): look, "
                        "then go on",
                        what, last->by);
}

static mc_status refuse_ended(const mc_draft *d, mc_error *error) {
    return mc_fail(error, MC_REFUSED, "check-up %d is no longer being entered",
                   d->begun.checkup.number);
}

/* Begin a change, refusing where the draft does not hold what is on record; it does afterwards. */
static mc_status begin(mc_draft *d, bool durable, mc_error *error) {
    bool same = true;
    if (d->ended)
        return refuse_ended(d, error);
    mc_status status = refresh(d, error);
    if (status == MC_OK)
        status = durable ? mc_action_begin(d->practice, BY_TEAM, true, error)
                         : mc_action_begin_soon(d->practice, BY_TEAM, error);
    if (status != MC_OK)
        return status;
    status = compare(d, &same, error);
    if (status == MC_OK && same)
        return MC_OK;
    mc_record_rollback(d->practice->record);
    if (status != MC_OK)
        return status;
    int number = d->begun.checkup.number;
    bool begun = d->on_record;
    status = reload(d, error);
    return status == MC_OK ? tell_meanwhile(d, begun, number, error) : status;
}

/* The end of a change that has no journal entry of its own. */
static mc_status end(mc_draft *d, mc_status status, mc_error *error) {
    if (status == MC_OK)
        status = mc_record_commit(d->practice->record, error);
    if (status != MC_OK)
        mc_record_rollback(d->practice->record);
    return status;
}

static void settled(mc_draft *d) {
    mc_action_soon(d->practice);
    d->change = mc_record_change(d->practice->record);
}

/* ---- entering ---- */

static const char *actor(const mc_draft *d) {
    return d->practice->actor.initials;
}

static json_t *describe(const mc_draft *d) {
    char day[11];
    mc_day_text(d->begun.checkup.date, day);
    return json_pack("{s:i, s:s}", "checkup", d->begun.checkup.number, "date", day);
}

/* With the first value the check-up is begun. */
static mc_status write_first(mc_draft *d, const mc_step *step, mc_error *error) {
    mc_record *record = d->practice->record;
    mc_checkup_info begun;
    mc_status status = begin(d, false, error);
    if (status != MC_OK)
        return status;
    status = mc_record_begin_checkup(record, &d->kase.id, &d->begun.plan, &d->begun.checkup,
                                     d->begun.settings, actor(d), &begun, error);
    if (status == MC_OK)
        status = mc_record_add_step(record, &begun.id, 0, 0, step, error);
    status = mc_action_end(d->practice, status, &d->kase.id, "check-up begun", describe(d), error);
    if (status == MC_OK) {
        d->begun = begun;
        d->a->checkup.id = begun.id;
        memcpy(d->a->checkup.by, begun.by, sizeof begun.by);
        d->on_record = true;
    }
    return status;
}

static mc_status write_step(mc_draft *d, const mc_step *step, mc_error *error) {
    if (!d->on_record)
        return write_first(d, step, error);
    mc_status status = begin(d, false, error);
    if (status != MC_OK)
        return status;
    return end(
        d, mc_record_add_step(d->practice->record, &d->begun.id, d->count, d->undone, step, error),
        error);
}

/* Room for one more step, so that nothing can fail once it is on record. */
static mc_status make_room(mc_draft *d, mc_error *error) {
    mc_step *more = realloc(d->steps, (d->count + 1) * sizeof *more);
    if (!more)
        return mc_fail(error, MC_REFUSED, "out of memory");
    d->steps = more;
    return MC_OK;
}

/* Take the step into the contents, and score them; refuses what cannot be with them. */
static mc_status try_step(mc_draft *d, const mc_step *step, mc_error *error) {
    mc_status status = draft_take(&d->contents, step, d->a->plan, d->a->states, error);
    if (status == MC_OK && (step->what == MC_STEP_ALIGNER || step->what == MC_STEP_DAY))
        status = draft_check_kept(d, &d->contents, error);
    if (status == MC_OK)
        status = draft_gather(&d->contents, error);
    if (status == MC_OK)
        status = mc_assess_again(&d->replay, &d->contents.checkup, d->a, error);
    return status;
}

mc_status mc_draft_enter(mc_draft *d, const mc_step *given, bool sure, bool *doubt,
                         mc_error *error) {
    mc_step step = *given;
    *doubt = false;
    mc_status status = d->ended ? refuse_ended(d, error) : refresh(d, error);
    if (status == MC_OK)
        status = draft_check_step(d, &step, error);
    if (status != MC_OK || !draft_changes(&d->contents, &step, d->a->plan, d->a->states))
        return status;
    if (!sure && draft_doubts(d, &step, error)) {
        *doubt = true;
        return MC_REFUSED;
    }
    memcpy(step.by, actor(d), sizeof step.by);
    step.undone = false;
    status = make_room(d, error);
    if (status != MC_OK)
        return status;
    status = try_step(d, &step, error);
    size_t before = d->count - d->undone;
    int64_t change = d->change;
    if (status == MC_OK)
        status = write_step(d, &step, error);
    if (status != MC_OK) {
        if (d->change == change) /* else the draft was loaded anew */
            replay_steps(d, NULL);
        return status;
    }
    d->steps[before] = step;
    d->count = before + 1;
    d->undone = 0;
    settled(d);
    return MC_OK;
}

static mc_status write_turn(mc_draft *d, bool back, mc_error *error) {
    mc_record *record = d->practice->record;
    mc_status status = begin(d, false, error);
    if (status != MC_OK)
        return status;
    return end(d,
               back ? mc_record_undo_step(record, &d->begun.id, d->count, d->undone, error)
                    : mc_record_redo_step(record, &d->begun.id, d->count, d->undone, error),
               error);
}

/* Take the last standing step back, or do the first undone one again: worked out first, so that
 * nothing can fail once it is on record. */
static mc_status turn(mc_draft *d, bool back, char what[MC_STEP_TEXT_SIZE], mc_error *error) {
    size_t standing = d->count - d->undone;
    if (d->ended)
        return refuse_ended(d, error);
    if (back ? standing == 0 : d->undone == 0)
        return mc_fail(error, MC_REFUSED, "there is nothing to %s", back ? "undo" : "redo");
    int64_t change = d->change;
    mc_status status = replay_some(d, back ? standing - 1 : standing + 1, error);
    if (status == MC_OK)
        status = write_turn(d, back, error);
    if (status != MC_OK) {
        if (d->change == change) /* else the draft was loaded anew */
            replay_steps(d, NULL);
        return status;
    }
    mc_step *step = &d->steps[back ? standing - 1 : standing];
    step->undone = back;
    count_undone(d);
    settled(d);
    if (what)
        draft_step_text(step, what);
    return MC_OK;
}

mc_status mc_draft_undo(mc_draft *d, char what[MC_STEP_TEXT_SIZE], mc_error *error) {
    return turn(d, true, what, error);
}

mc_status mc_draft_redo(mc_draft *d, char what[MC_STEP_TEXT_SIZE], mc_error *error) {
    return turn(d, false, what, error);
}

/* ---- the end of it ---- */

/* Everything once more: teeth may have gone since a value was entered. */
static mc_status check_whole(const mc_draft *d, mc_error *error) {
    mc_tooth_state states[MC_TEETH];
    if (d->contents.checkup.count == 0)
        return mc_fail(error, MC_REFUSED, "nothing was read: there is no check-up to complete");
    mc_status status =
        mc_record_teeth(d->practice->record, &d->kase.id, d->begun.checkup.date, states, error);
    if (status == MC_OK)
        status = draft_check_teeth(&d->contents, states, error);
    if (status == MC_OK)
        status = mc_check_frame(d->a->plan, &d->contents.checkup, error);
    return status == MC_OK ? draft_check_kept(d, &d->contents, error) : status;
}

static mc_status check_warnings(const mc_draft *d, bool accept, mc_warnings *warnings,
                                mc_error *error) {
    mc_series series[MC_ARCHES];
    const mc_score *before =
        d->a->checkups_before_on_plan > 0 ? &d->a->scores[d->replay.last - 1] : NULL;
    mc_series_before(&d->replay, d->a, series);
    mc_status status =
        mc_warn_of_dates(d->practice, series, before, &d->contents.checkup, warnings, error);
    return status == MC_OK ? mc_accept_warnings(warnings, accept, "complete it", error) : status;
}

mc_status mc_draft_review(mc_draft *d, mc_warnings *warnings, mc_error *error) {
    *warnings = (mc_warnings){0};
    mc_status status = d->ended ? refuse_ended(d, error) : refresh(d, error);
    if (status == MC_OK)
        status = check_whole(d, error);
    return status == MC_OK ? check_warnings(d, true, warnings, error) : status;
}

mc_status mc_draft_complete(mc_draft *d, bool accept_warnings, int *number, mc_warnings *warnings,
                            mc_error *error) {
    *warnings = (mc_warnings){0};
    mc_checkup_info info;
    mc_status status = begin(d, true, error);
    if (status != MC_OK)
        return status;
    status = check_whole(d, error);
    if (status == MC_OK)
        status = check_warnings(d, accept_warnings, warnings, error);
    if (status == MC_OK)
        status = mc_record_complete_checkup(d->practice->record, &d->begun.id, d->count, d->undone,
                                            &d->contents.checkup, d->begun.settings, actor(d),
                                            &info, error);
    status =
        mc_action_end(d->practice, status, &d->kase.id, "check-up completed",
                      mc_describe_checkup(&d->contents.checkup, d->begun.checkup.number, 1), error);
    if (status == MC_OK) {
        d->ended = true;
        *number = d->begun.checkup.number;
    }
    return status;
}

mc_status mc_draft_discard(mc_draft *d, mc_error *error) {
    mc_status status = begin(d, true, error);
    if (status != MC_OK)
        return status;
    if (!d->on_record) { /* nothing was entered, so nothing happened */
        mc_record_rollback(d->practice->record);
        d->ended = true;
        return MC_OK;
    }
    json_t *detail =
        mc_json_with(describe(d), "steps", json_integer((json_int_t)(d->count - d->undone)));
    status =
        mc_record_discard_checkup(d->practice->record, &d->begun.id, d->count, d->undone, error);
    status = mc_action_end(d->practice, status, &d->kase.id, "check-up discarded", detail, error);
    d->ended = status == MC_OK;
    return status;
}

/* ---- what it holds ---- */

const mc_checkup *mc_draft_checkup(const mc_draft *d) {
    return &d->contents.checkup;
}

int mc_draft_number(const mc_draft *d) {
    return d->begun.checkup.number;
}

bool mc_draft_ended(const mc_draft *d) {
    return d->ended;
}

bool mc_draft_on_record(const mc_draft *d) {
    return d->on_record;
}

size_t mc_draft_steps(const mc_draft *d) {
    return d->count - d->undone;
}

size_t mc_draft_undone(const mc_draft *d) {
    return d->undone;
}

const mc_step *mc_draft_step(const mc_draft *d, size_t i) {
    return &d->steps[i];
}

int mc_draft_rows(const mc_draft *d, mc_tooth tooth) {
    return d->contents.of[tooth].count;
}

const mc_reading *mc_draft_row(const mc_draft *d, mc_tooth tooth, int row) {
    return row >= 0 && row < d->contents.of[tooth].count ? &d->contents.of[tooth].row[row] : NULL;
}

double mc_draft_last(const mc_draft *d, mc_tooth tooth, mc_component c) {
    return d->last[tooth][c];
}

double mc_draft_should_read(const mc_draft *d, mc_tooth tooth, mc_relative what) {
    mc_checkup_context context =
        mc_checkup_context_of(d->a->plan, &d->a->settings, &d->contents.checkup);
    mc_arch arch = mc_tooth_arch(tooth);
    double s = mc_plan_stages(d->a->plan, arch) > 0 ? context.effective_stage[arch] : 0;
    return isnan(s) ? NAN : mc_tracker_should_read(d->replay.before, tooth, what, d->a->states, s);
}

double mc_draft_last_read(const mc_draft *d, mc_tooth tooth, mc_relative what) {
    return mc_tracker_last_read(d->replay.before, tooth, what);
}

double mc_draft_baseline(const mc_draft *d, mc_tooth tooth, mc_relative what) {
    return mc_tracker_baseline(d->replay.before, tooth, what);
}

const mc_assessment *mc_draft_assessment(const mc_draft *d) {
    return d->a;
}

size_t mc_draft_worth(const mc_draft *d, mc_tooth out[MC_MOST_WORTH]) {
    mc_tooth teeth[MC_TEETH];
    mc_situation situation;
    mc_earlier *earlier = calloc(d->a->checkups, sizeof *earlier);
    if (!earlier)
        return 0;
    mc_situation_of(d->a, earlier, &situation);
    size_t count = mc_worth_reading(&situation, MC_MOST_WORTH, teeth);
    memcpy(out, teeth, count * sizeof *out);
    free(earlier);
    return count;
}
