/* What the steps of a check-up being entered come to. */
#include "draft.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

mc_status draft_contents_new(draft_contents *contents, mc_error *error) {
    *contents = (draft_contents){.note = calloc(1, MC_NOTE_SIZE)};
    return contents->note ? MC_OK : mc_fail(error, MC_REFUSED, "out of memory");
}

void draft_contents_clear(draft_contents *contents, const mc_checkup *frame) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        contents->of[t].count = 0;
    contents->note[0] = '\0';
    contents->checkup = *frame;
    contents->checkup.note = NULL;
    contents->checkup.rows = contents->rows;
    contents->checkup.count = 0;
}

void draft_contents_free(draft_contents *contents) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        free(contents->of[t].row);
    free(contents->rows);
    free(contents->note);
    *contents = (draft_contents){0};
}

mc_reading draft_row(const draft_contents *contents, mc_tooth tooth, int row) {
    return row < contents->of[tooth].count ? contents->of[tooth].row[row] : mc_reading_none(tooth);
}

/* The row to write on, with those before it; NULL when out of memory. */
static mc_reading *row_to_fill(draft_contents *contents, mc_tooth tooth, int row) {
    if (row >= contents->of[tooth].room) {
        int room = 2 * row + 2;
        mc_reading *more = realloc(contents->of[tooth].row, (size_t)room * sizeof *more);
        if (!more)
            return NULL;
        contents->of[tooth].row = more;
        contents->of[tooth].room = room;
    }
    while (contents->of[tooth].count <= row)
        contents->of[tooth].row[contents->of[tooth].count++] = mc_reading_none(tooth);
    return &contents->of[tooth].row[row];
}

static bool says_nothing(const mc_reading *r) {
    bool nothing = isnan(r->seat_gap) && r->attachment == MC_ATTACHMENT_UNSAID &&
                   r->contact_mesial == MC_CONTACT_UNSAID &&
                   r->contact_distal == MC_CONTACT_UNSAID && r->mobility < 0 &&
                   r->pain == MC_UNSAID && r->swelling == MC_UNSAID && isnan(r->recession);
    for (int c = 0; c < MC_COMPONENTS; c++)
        nothing = nothing && isnan(r->value[c]);
    for (int i = 0; i < MC_RELATIVES; i++)
        nothing = nothing && isnan(r->relative[i]);
    return nothing;
}

/* A tooth has no more rows than up to its last that says something. */
static void trim(draft_contents *contents, mc_tooth tooth) {
    int *count = &contents->of[tooth].count;
    while (*count > 0 && says_nothing(&contents->of[tooth].row[*count - 1]))
        --*count;
}

/* ---- one step ---- */

static bool same_number(double a, double b) {
    return a == b || (isnan(a) && isnan(b));
}

static bool rest_of(const draft_contents *contents, const mc_plan *plan,
                    const mc_tooth_state states[MC_TEETH], mc_tooth tooth) {
    mc_arch arch = mc_tooth_arch(tooth);
    bool rest = mc_tooth_stands(states[tooth]) && mc_plan_stages(plan, arch) > 0 &&
                contents->checkup.aligner[arch] != MC_NO_ALIGNER;
    for (int i = 0; i < contents->of[tooth].count; i++)
        rest = rest && isnan(contents->of[tooth].row[i].seat_gap);
    return rest;
}

static mc_status rest_seat(draft_contents *contents, const mc_plan *plan,
                           const mc_tooth_state states[MC_TEETH], mc_error *error) {
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        if (!rest_of(contents, plan, states, t))
            continue;
        mc_reading *r = row_to_fill(contents, t, 0);
        if (!r)
            return mc_fail(error, MC_REFUSED, "out of memory");
        r->seat_gap = 0;
        r->seat_in_bulk = true;
    }
    return MC_OK;
}

/* What a step says of a tooth, written on its row. */
static void fill(mc_reading *r, const mc_step *step) {
    switch (step->what) {
    case MC_STEP_SEAT_GAP:
        r->seat_gap = step->number;
        r->seat_in_bulk = false;
        break;
    case MC_STEP_COMPONENT:
        r->value[step->component] = step->number;
        r->short_of_plan[step->component] = !isnan(step->number) && step->short_of_plan;
        break;
    case MC_STEP_RELATIVE:
        r->relative[step->whole] = step->number;
        break;
    case MC_STEP_ATTACHMENT:
        r->attachment = (mc_attachment)step->whole;
        break;
    case MC_STEP_CONTACT_MESIAL:
        r->contact_mesial = (mc_contact)step->whole;
        break;
    case MC_STEP_CONTACT_DISTAL:
        r->contact_distal = (mc_contact)step->whole;
        break;
    case MC_STEP_MOBILITY:
        r->mobility = step->whole;
        break;
    case MC_STEP_PAIN:
        r->pain = (mc_yes)step->whole;
        break;
    case MC_STEP_SWELLING:
        r->swelling = (mc_yes)step->whole;
        break;
    default: /* MC_STEP_RECESSION */
        r->recession = step->number;
    }
}

bool draft_is_reading(const mc_step *step) {
    return step->what == MC_STEP_SEAT_GAP || step->what == MC_STEP_COMPONENT ||
           step->what == MC_STEP_RELATIVE;
}

/* Findings stand on a tooth's first row, whichever is being read. */
static int row_of(const mc_step *step) {
    return draft_is_reading(step) ? step->row : 0;
}

static mc_status fill_tooth(draft_contents *contents, const mc_step *step, mc_error *error) {
    mc_reading *r = row_to_fill(contents, step->tooth, row_of(step));
    if (!r)
        return mc_fail(error, MC_REFUSED, "out of memory");
    fill(r, step);
    trim(contents, step->tooth);
    return MC_OK;
}

mc_status draft_take(draft_contents *contents, const mc_step *step, const mc_plan *plan,
                     const mc_tooth_state states[MC_TEETH], mc_error *error) {
    mc_checkup *frame = &contents->checkup;
    switch (step->what) {
    case MC_STEP_ALIGNER: /* the day of another aligner says nothing of this one */
        if (frame->aligner[step->arch] != step->whole)
            frame->day[step->arch] = -1;
        frame->aligner[step->arch] = step->whole;
        return MC_OK;
    case MC_STEP_DAY:
        frame->day[step->arch] = step->whole;
        return MC_OK;
    case MC_STEP_WEAR:
        frame->wear_hours = step->number;
        return MC_OK;
    case MC_STEP_METHOD:
        frame->method = (mc_method)step->whole;
        return MC_OK;
    case MC_STEP_NOTE:
        strcpy(contents->note, step->text);
        return MC_OK;
    case MC_STEP_REST_SEAT:
        return rest_seat(contents, plan, states, error);
    default:
        return fill_tooth(contents, step, error);
    }
}

static bool same_reading(const mc_reading *a, const mc_reading *b) {
    bool same = same_number(a->seat_gap, b->seat_gap) && a->seat_in_bulk == b->seat_in_bulk &&
                a->attachment == b->attachment && a->contact_mesial == b->contact_mesial &&
                a->contact_distal == b->contact_distal && a->mobility == b->mobility &&
                a->pain == b->pain && a->swelling == b->swelling &&
                same_number(a->recession, b->recession);
    for (int c = 0; c < MC_COMPONENTS; c++)
        same = same && same_number(a->value[c], b->value[c]) &&
               a->short_of_plan[c] == b->short_of_plan[c];
    for (int i = 0; i < MC_RELATIVES; i++)
        same = same && same_number(a->relative[i], b->relative[i]);
    return same;
}

bool draft_changes(const draft_contents *contents, const mc_step *step, const mc_plan *plan,
                   const mc_tooth_state states[MC_TEETH]) {
    const mc_checkup *frame = &contents->checkup;
    bool some = false;
    switch (step->what) {
    case MC_STEP_ALIGNER:
        return frame->aligner[step->arch] != step->whole;
    case MC_STEP_DAY:
        return frame->day[step->arch] != step->whole;
    case MC_STEP_WEAR:
        return !same_number(frame->wear_hours, step->number);
    case MC_STEP_METHOD:
        return (int)frame->method != step->whole;
    case MC_STEP_NOTE:
        return strcmp(contents->note, step->text) != 0;
    case MC_STEP_REST_SEAT:
        for (mc_tooth t = 0; t < MC_TEETH; t++)
            some = some || rest_of(contents, plan, states, t);
        return some;
    default: {
        mc_reading now = draft_row(contents, step->tooth, row_of(step)), then = now;
        fill(&then, step);
        return !same_reading(&now, &then);
    }
    }
}

mc_status draft_gather(draft_contents *contents, mc_error *error) {
    size_t count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        count += (size_t)contents->of[t].count;
    mc_reading *rows = realloc(contents->rows, (count + 1) * sizeof *rows);
    if (!rows)
        return mc_fail(error, MC_REFUSED, "out of memory");
    contents->rows = rows;
    count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        for (int i = 0; i < contents->of[t].count; i++)
            if (!says_nothing(&contents->of[t].row[i]))
                rows[count++] = contents->of[t].row[i];
    contents->checkup.rows = rows;
    contents->checkup.count = count;
    contents->checkup.note = contents->note[0] ? contents->note : NULL;
    return MC_OK;
}
