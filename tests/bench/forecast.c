/* How long the forecast of a whole case takes: twelve check-ups of 28 teeth and six components
 * taken in and carried to the end, and the forecast alone. Prints microseconds. */
#include "whole_case.h"

/* As an assessment does it: with the grip that each tooth has. */
static void look_ahead(const whole_case *all, const mc_tracker *tracker, mc_forecast *out) {
    bool grip[MC_TEETH];
    mc_tracker_grip(tracker, grip);
    mc_tracker_forecast(tracker, all->states, grip, out);
}

int main(void) {
    static whole_case all;
    static mc_forecast forecast;
    static double whole[RUNS], alone[RUNS];
    mc_tracker *last = NULL; /* let go of after the next is made, as it is at the chair */
    draw_case(&all);
    for (int n = 0; n < RUNS; n++) {
        double start = microseconds();
        mc_tracker *tracker = replay(&all);
        double taken = microseconds();
        look_ahead(&all, tracker, &forecast);
        double end = microseconds();
        mc_tracker_free(last);
        last = tracker;
        whole[n] = end - start;
        alone[n] = end - taken;
    }
    printf("%d teeth, %d components, %d check-ups taken in and forecast: %.0f us\n", forecast.known,
           MC_COMPONENTS, CHECKUPS, median(whole));
    printf("of that grip and forecast: %.0f us (medians of %d; expected outside %.3f)\n",
           median(alone), RUNS, forecast.expected_out);
    mc_tracker_free(last);
    mc_plan_free(all.plan);
    return 0;
}
