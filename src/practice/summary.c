/* A case's summary: taken from its assessment, and its bytes. */
#include "summary.h"

#include "practice.h"

#include <limits.h>
#include <math.h>
#include <string.h>

/* ---- from an assessment ---- */

static mc_tooth_finding finding_on(const mc_tooth_score *t) {
    return t->pain == MC_YES       ? MC_FOUND_PAIN
           : t->swelling == MC_YES ? MC_FOUND_SWELLING
           : t->mobility >= 2      ? MC_FOUND_MOBILITY
           : isnan(t->recession)   ? MC_FOUND_NOTHING
                                   : MC_FOUND_RECESSION;
}

static void take_proposal(const mc_assessment *a, summary *out) {
    const mc_proposal *p = &a->proposal;
    out->has_proposal = true;
    out->proposal = p->choice;
    out->rule = p->rule;
    out->teeth_count = (int)p->count;
    for (size_t i = 0; i < p->count && i < SUMMARY_NAMED; i++)
        out->teeth[i] = p->teeth[i];
    if (p->choice == MC_PROPOSE_EXAMINE && p->count > 0) {
        out->found = finding_on(&a->score->tooth[p->teeth[0]]);
        out->grade = a->score->tooth[p->teeth[0]].mobility;
    }
}

/* The worst tooth, what makes it so, and which way it has to go to be on plan. */
static void take_worst(const mc_score *score, summary *out) {
    out->worst = score->worst;
    if (score->worst == MC_NO_TOOTH)
        return;
    const mc_tooth_score *tooth = &score->tooth[score->worst];
    out->worst_item = tooth->worst;
    if (tooth->worst < 0)
        return;
    const mc_item *item = &tooth->item[tooth->worst];
    out->worst_way = item->planned > item->mean ? 1 : item->planned < item->mean ? -1 : 0;
}

static void take_turn(const mc_turn *turn, summary *out) {
    out->turn = *turn;
    if (!turn->corrected)
        return;
    if (turn->waiting)
        out->holds_until = turn->next.worn_from;
    else
        out->holds_from = turn->next.worn_from;
}

bool summary_holds(const summary *of, mc_day on) {
    return (of->holds_from == MC_NO_DAY || on >= of->holds_from) &&
           (of->holds_until == MC_NO_DAY || on < of->holds_until);
}

void summary_of(const mc_assessment *a, summary *out) {
    *out = (summary){.has_plan = a->has_plan,
                     .plan_start = MC_NO_DAY,
                     .holds_from = MC_NO_DAY,
                     .holds_until = MC_NO_DAY,
                     .decision_due = a->decision_due,
                     .last_checkup = MC_NO_DAY,
                     .next_checkup = MC_NO_DAY,
                     .worst = MC_NO_TOOTH,
                     .worst_item = MC_WORST_NONE,
                     .lag_index = NAN,
                     .pace_mean = NAN,
                     .pace_sd = NAN,
                     .teeth = {MC_NO_TOOTH, MC_NO_TOOTH, MC_NO_TOOTH}};
    if (a->has_plan) {
        out->plan = a->info.number;
        out->plan_status = a->info.status;
        out->plan_start = a->info.worn_from;
        memcpy(out->series, a->series, sizeof out->series);
        take_turn(&a->turn, out);
        mc_outlook outlook; /* of which only what does not depend on the day is taken */
        mc_outlook_of(a, NULL, a->info.worn_from, NULL, &outlook);
        out->next_checkup = outlook.next_checkup;
    }
    if (a->score) {
        out->has_score = true;
        out->last_checkup = a->score->date;
        out->lag_index = a->score->lag_index;
        out->pace_mean = a->score->pace_mean;
        out->pace_sd = a->score->pace_sd;
        memcpy(out->count, a->score->count, sizeof out->count);
        take_worst(a->score, out);
    }
    if (a->has_proposal)
        take_proposal(a, out);
}

/* ---- bytes ---- */

enum { LAYOUT = 3 }; /* another one gets another number */

/* A walk over the fields in their one order, writing them or reading them. Whole numbers are four
 * bytes, two's complement, reals the eight of their IEEE 754 form, the lowest first. */
typedef struct {
    unsigned char *bytes;
    size_t size, at;
    bool reading, sound;
} walk;

static uint64_t step(walk *w, uint64_t value, size_t size) {
    if (w->at + size > w->size)
        w->sound = false;
    if (!w->sound)
        return 0;
    uint64_t read = 0;
    for (size_t i = 0; i < size; i++, w->at++) {
        if (!w->reading)
            w->bytes[w->at] = (unsigned char)(value >> 8 * i & 0xff);
        read |= (uint64_t)w->bytes[w->at] << 8 * i;
    }
    return read;
}

static int whole(walk *w, int value, int least, int most) {
    int32_t read = (int32_t)(uint32_t)step(w, (uint32_t)value, 4);
    w->sound = w->sound && read >= least && read <= most;
    return read;
}

static double real(walk *w, double value) {
    uint64_t form;
    memcpy(&form, &value, sizeof form);
    form = step(w, form, sizeof form);
    memcpy(&value, &form, sizeof value);
    return value;
}

static bool truth(walk *w, bool value) {
    return whole(w, value, 0, 1) == 1;
}

/* None, or one that can be reckoned with. */
static mc_day day(walk *w, mc_day value) {
    enum { FARTHEST = 10000000 };
    mc_day read = whole(w, value, MC_NO_DAY, FARTHEST);
    w->sound = w->sound && (read == MC_NO_DAY || read >= -FARTHEST);
    return read;
}

static mc_tooth tooth(walk *w, mc_tooth value) {
    return whole(w, value, MC_NO_TOOTH, MC_TEETH - 1);
}

static void series(walk *w, mc_series *s) {
    enum { MOST = 100000 };
    s->stages = whole(w, s->stages, 0, MOST);
    s->interval = whole(w, s->interval, 0, MOST);
    s->aligner = whole(w, s->aligner, 0, MOST);
    s->begun = day(w, s->begun);
    s->held = whole(w, s->held, 0, MOST);
}

/* A bit of a whole number. */
static bool bit(int bits, int at) {
    return (bits >> at & 1) != 0;
}

enum {
    CORRECTED,
    WAITING,
    BEGUN,
    SEEN = BEGUN + MC_ARCHES,
    HELD = SEEN + MC_ARCHES,
    BITS = HELD + MC_ARCHES
};

/* What is yes or no of the change of plans. */
static void turn_bits(walk *w, summary *s) {
    int bits = s->turn.corrected << CORRECTED | s->turn.waiting << WAITING;
    for (int arch = 0; arch < MC_ARCHES; arch++)
        bits |= s->turn.next.begun[arch] << (BEGUN + arch) |
                s->turn.seen_begun[arch] << (SEEN + arch) | s->series[arch].waits << (HELD + arch);
    bits = whole(w, bits, 0, (1 << BITS) - 1);
    s->turn.corrected = bit(bits, CORRECTED);
    s->turn.waiting = bit(bits, WAITING);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        s->turn.next.begun[arch] = bit(bits, BEGUN + arch);
        s->turn.seen_begun[arch] = bit(bits, SEEN + arch);
        s->series[arch].waits = bit(bits, HELD + arch);
    }
}

static void turn(walk *w, summary *s) {
    turn_bits(w, s);
    s->turn.next.number = whole(w, s->turn.next.number, 0, INT_MAX);
    s->turn.next.delivered = day(w, s->turn.next.delivered);
    s->turn.since = day(w, s->turn.since);
    for (int arch = 0; arch < MC_ARCHES; arch++) {
        s->turn.next.first[arch] = day(w, s->turn.next.first[arch]);
        s->turn.wears[arch] = whole(w, s->turn.wears[arch], MC_NO_ALIGNER, MC_MOST_STAGES);
    }
    s->holds_from = day(w, s->holds_from);
    s->holds_until = day(w, s->holds_until);
}

static void fields(walk *w, summary *s) {
    whole(w, LAYOUT, LAYOUT, LAYOUT);
    s->has_plan = truth(w, s->has_plan);
    s->has_score = truth(w, s->has_score);
    s->has_proposal = truth(w, s->has_proposal);
    s->decision_due = truth(w, s->decision_due);
    s->plan = whole(w, s->plan, 0, INT_MAX);
    s->plan_status = (mc_plan_status)whole(w, (int)s->plan_status, MC_PLAN_ACTIVE, MC_PLAN_CLOSED);
    s->plan_start = day(w, s->plan_start);
    for (int arch = 0; arch < MC_ARCHES; arch++)
        series(w, &s->series[arch]);
    turn(w, s);
    s->last_checkup = day(w, s->last_checkup);
    s->next_checkup = day(w, s->next_checkup);
    s->worst = tooth(w, s->worst);
    s->worst_item = whole(w, s->worst_item, MC_WORST_NONE, MC_COMPONENTS - 1);
    s->worst_way = whole(w, s->worst_way, -1, 1);
    s->lag_index = real(w, s->lag_index);
    for (int state = 0; state < MC_STATES; state++)
        s->count[state] = whole(w, s->count[state], 0, MC_TEETH);
    s->pace_mean = real(w, s->pace_mean);
    s->pace_sd = real(w, s->pace_sd);
    s->proposal =
        (mc_proposal_choice)whole(w, (int)s->proposal, MC_PROPOSE_EXAMINE, MC_PROPOSE_FINISH);
    s->rule = whole(w, s->rule, 0, 11);
    s->teeth_count = whole(w, s->teeth_count, 0, MC_TEETH);
    for (int i = 0; i < SUMMARY_NAMED; i++)
        s->teeth[i] = tooth(w, s->teeth[i]);
    for (int i = 0; i < SUMMARY_NAMED && i < s->teeth_count; i++)
        w->sound = w->sound && s->teeth[i] != MC_NO_TOOTH;
    s->found = (mc_tooth_finding)whole(w, (int)s->found, MC_FOUND_NOTHING, MC_FOUND_RECESSION);
    s->grade = whole(w, s->grade, -1, 3);
}

void summary_write(const summary *from, mc_summary *to) {
    summary copy = *from;
    walk w = {.bytes = to->content, .size = sizeof to->content, .sound = true};
    fields(&w, &copy);
    to->size = w.sound ? w.at : 0; /* what could not be read back is not kept */
}

bool summary_read(const mc_summary *from, summary *to) {
    mc_summary copy = *from;
    walk w = {.bytes = copy.content, .size = from->size, .reading = true, .sound = true};
    *to = (summary){0};
    fields(&w, to);
    return w.sound && w.at == from->size;
}
