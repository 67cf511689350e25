/* How long the score of a whole case takes: 28 teeth, six components, twelve check-ups. Prints
 * microseconds. An invented mouth. */
#include "whole_case.h"

/* Takes in the twelve check-ups and scores the last; the time of all, and of the score alone. */
static void score_case(const whole_case *all, mc_score *score, double *whole, double *last) {
    double start = microseconds();
    mc_tracker *tracker = replay(all);
    double taken = microseconds();
    mc_tracker_score(tracker, all->states, score);
    *last = microseconds() - taken;
    mc_tracker_free(tracker);
    *whole = microseconds() - start;
}

int main(void) {
    static whole_case all;
    static mc_score score;
    static double whole[RUNS], last[RUNS];
    draw_case(&all);
    for (int n = 0; n < RUNS; n++)
        score_case(&all, &score, &whole[n], &last[n]);
    printf("%d teeth, %d components, %d check-ups taken in and the last one scored: %.0f us\n",
           score.present_count, MC_COMPONENTS, CHECKUPS, median(whole));
    printf("of that the score: %.0f us (medians of %d; lag index %.3f)\n", median(last), RUNS,
           score.lag_index);
    mc_plan_free(all.plan);
    return 0;
}
