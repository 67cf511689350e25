/* Why a correction on the bench is no order yet, and what to do about it. */
#include "bench.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void say(bench_made *made, const char *format, ...) __attribute__((format(printf, 2, 3)));
static void say(bench_made *made, const char *format, ...) {
    const size_t used = strlen(made->why);
    va_list values;
    va_start(values, format);
    vsnprintf(made->why + used, sizeof made->why - used, format, values);
    va_end(values);
}

/* "12 and 13 lack 0.34 mm of room to pass". */
static void say_contact(bench_made *made, const mc_restaged_contact *c) {
    say(made, "%02d and %02d lack %.2f mm of room %s", mc_tooth_iso(c->right),
        mc_tooth_iso(c->left), mc_up_to_hundredths(c->missing),
        c->target_overlaps ? "at their targets" : "to pass");
}

static bool is_overcorrected(const bench_made *made, mc_tooth tooth) {
    bool is = false;
    for (int c = 0; c < MC_COMPONENTS; c++)
        is = is || (made->ask.task[tooth].move && made->wish[tooth].more[c] > 0);
    return is;
}

static void say_blocked(bench_made *made) {
    enum { NAMED = 3, MOST_IPR = 4 }; /* mm, both sides of a contact */
    const mc_restaged *account = &made->account;
    size_t count = 0;
    bool pass = false, further = false, ground = true;
    for (size_t i = 0; i < account->contacts; i++)
        if (account->contact[i].missing > 0) {
            const mc_restaged_contact *c = &account->contact[i];
            pass = pass || !c->target_overlaps;
            ground = ground && c->ipr + c->missing <= MOST_IPR;
            further =
                further || is_overcorrected(made, c->right) || is_overcorrected(made, c->left);
            if (count++ >= NAMED)
                continue;
            say(made, "%s", count > 1 ? "; " : "");
            say_contact(made, c);
        }
    if (count > NAMED)
        say(made, "; and %zu more", count - NAMED);
    say(made, ":%s%s%s change their targets", ground ? " grant IPR there," : "",
        further ? " overcorrect them less,"
        : pass  ? " let one of the two stay,"
                : "",
        ground || further || pass ? " or" : "");
}

static bool all_stay(const mc_bench *bench, const bench_made *made) {
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (mc_tooth_may_move(bench->a->states[t]) && mc_plan_moves(bench->a->plan, t) &&
            !made->wish[t].stays)
            return false;
    return true;
}

static bool find_moving(const bench_made *made, bool moves[MC_TEETH]) {
    bool any = false;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        moves[t] = made->ask.task[t].move && made->account.tooth[t].moves;
        any = any || moves[t];
    }
    return any;
}

/* Where it cannot be re-staged at all: a tooth asks for what cannot be (the refusal names it
 * first), or the check-up did not say which aligner an arch wears. */
static const char *what_helps(const bench_made *made) {
    return strncmp(made->trouble.text, "tooth ", 6) == 0
               ? "change its target or its limit, or let it stay"
               : "enter a check-up that says its aligner";
}

void bench_say_why(const mc_bench *bench, bench_made *made) {
    const mc_assessment *a = bench->a;
    bool moves[MC_TEETH];
    made->why[0] = '\0';
    if (made->failed)
        say(made, "%.220s: %s", made->trouble.text, what_helps(made));
    else if (!find_moving(made, moves))
        say(made, "%s",
            all_stay(bench, made)
                ? "all teeth stay, so there is no series: let one go to its target"
                : "every tooth is at its target, so there is no series: change a "
                  "target, or finish");
    else if (made->account.blocked)
        say_blocked(made);
    else
        mc_why_preview(a, &bench->poses, moves, a->settings.order_pose_days, bench->practice->today,
                       made->why, sizeof made->why);
}
