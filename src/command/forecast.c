/* Where every tooth will be when its series has been worn. */
#include "context.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The known component that most likely ends outside, the first of equals. */
static mc_component deciding(const mc_tooth_forecast *tooth) {
    int worst = -1;
    for (int c = 0; c < MC_COMPONENTS; c++)
        if (tooth->component[c].known &&
            (worst < 0 || tooth->component[c].p_out > tooth->component[worst].p_out))
            worst = c;
    return (mc_component)worst;
}

/* How many digits behind the point, so that a column keeps its width. */
static int digits(mc_component c, double largest) {
    if (mc_component_is_linear(c))
        return largest < 9.995 ? 2 : 1;
    return largest < 99.95 ? 1 : 0;
}

/* "mesial-in", and planned and expected end counted in that direction. */
static void print_tooth(const mc_assessment *a, mc_tooth t) {
    const mc_tooth_forecast *tooth = &a->forecast.tooth[t];
    const mc_component c = deciding(tooth);
    const mc_component_forecast *f = &tooth->component[c];
    const bool moves = mc_reaches(fabs(f->planned), mc_component_least(c));
    const double way = (moves ? f->planned : f->end) < 0 ? -1 : 1;
    const double low = way > 0 ? f->low : -f->high, high = way > 0 ? f->high : -f->low;
    const int places = digits(c, fmax(fmax(fabs(low), fabs(high)), fabs(f->planned)));
    char planned[20], end[60], out[PERCENT_SIZE];
    snprintf(planned, sizeof planned, "%.*f %s", places, fmax(way * f->planned, 0),
             mc_component_is_linear(c) ? "mm" : "deg");
    snprintf(end, sizeof end, "%.*f (%.*f to %.*f)", places, way * f->end, places, low, places,
             high);
    print_columns("%02d    %-10s  %-4s  %7s  %-13s  %8s  %s", mc_tooth_iso(t),
                  mc_state_word(a->score->tooth[t].state), tooth->grip ? "kept" : "lost",
                  percent_text(tooth->p_out, out), mc_component_word(c, t, way > 0), planned, end);
}

/* The teeth of which enough is known, or (partly) some, the one that most likely ends outside
 * first, equal ones in the order of the chart. */
static size_t worst_first(const mc_assessment *a, bool partly, mc_tooth out[MC_TEETH]) {
    size_t count = 0;
    for (mc_tooth t = 0; t < MC_TEETH; t++) {
        const mc_tooth_forecast *tooth = &a->forecast.tooth[t];
        if (!a->score->present[t] || !tooth->known || tooth->partly != partly)
            continue;
        size_t place = count++;
        for (; place > 0 && a->forecast.tooth[out[place - 1]].p_out < tooth->p_out; place--)
            out[place] = out[place - 1];
        out[place] = t;
    }
    return count;
}

static void print_teeth(const mc_assessment *a) {
    mc_tooth order[MC_TEETH];
    if (a->forecast.known == 0) {
        printf("\nNo position was read on this plan: where it ends is not known of any tooth.\n");
        return;
    }
    print_columns("\n%-5s %-10s  %-4s  %7s  %-13s  %8s  %s", "Tooth", "State", "Grip", "Outside",
                  "Movement", "Planned", "Expected (90 %)");
    for (int partly = 0; partly < 2; partly++) {
        const size_t count = worst_first(a, partly, order);
        if (partly && count > 0)
            printf("Known in part, as most of what is still planned was never read:\n");
        for (size_t i = 0; i < count; i++)
            print_tooth(a, order[i]);
    }
}

static void print_unknown(const mc_assessment *a) {
    char text[300] = "Not known, as no position was read:";
    for (mc_tooth t = 0; t < MC_TEETH; t++)
        if (a->score->present[t] && !a->forecast.tooth[t].known)
            snprintf(text + strlen(text), sizeof text - strlen(text), " %02d", mc_tooth_iso(t));
    if (a->forecast.unknown == 0)
        return;
    printf("\n");
    print_wrapped(text, 0);
}

/* What is to be expected of the whole mouth, and its pace. */
static void print_mouth(const mc_assessment *a) {
    const mc_forecast *f = &a->forecast;
    char all[PERCENT_SIZE];
    printf("\n");
    if (f->known > 0)
        printf("%d known, of these expected outside: %.1f; that all of them end inside: %s\n",
               f->known, f->expected_out, percent_text(f->p_all_in, all));
    printf("Pace: %.0f percentage points %s of the plan delivered than expected (SD %.0f)\n",
           fabs(100 * f->pace_mean), f->pace_mean < 0 ? "less" : "more", 100 * f->pace_sd);
}

/* The practice's pace beside it, where it is known: what slows every mouth is not this one's. */
static mc_status print_practice(context *c, mc_error *error) {
    mc_pooled pace;
    mc_status status = mc_practice_pace(c->practice, mc_practice_today(c->practice), &pace, error);
    if (status == MC_OK && pace.count > 0)
        printf("The practice: %.0f percentage points %s (SE %.0f), by %zu open %s\n",
               fabs(100 * pace.mean), pace.mean < 0 ? "less" : "more", 100 * pace.se, pace.count,
               pace.count == 1 ? "case" : "cases");
    return status;
}

static void print_notes(const mc_assessment *a) {
    char mm[40], deg[40], text[900];
    mc_decimal_text(a->settings.finish_mm, mm, sizeof mm);
    mc_decimal_text(a->settings.finish_deg, deg, sizeof deg);
    snprintf(text, sizeof text,
             "Outside: the chance that it ends %s mm or %s deg or more off its target, by what was "
             "read. Movement: the one most likely to end outside, planned and expected at the last "
             "aligner, with the range it ends in nine times out of ten. Grip lost: from here on it "
             "is taken to deliver %.0f%% of its rate.",
             mm, deg, 100 * a->settings.grip_share);
    printf("\n");
    print_wrapped(text, 0);
    print_wrapped("If every aligner is worn as planned. What was not read is not known.", 0);
    print_caution();
}

mc_status run_forecast(context *c, mc_error *error) {
    mc_assessment *a;
    mc_status status = scored_case(c, &a, error);
    if (status != MC_OK)
        return status;
    char label[MC_LABEL_SIZE];
    mc_case_label(&a->kase, label);
    if (c->json) {
        status = print_json(mc_json_forecast(label, a->score, &a->forecast), error);
    } else {
        print_head(label, a);
        print_teeth(a);
        print_unknown(a);
        print_mouth(a);
        status = print_practice(c, error);
        print_notes(a);
    }
    mc_assessment_free(a);
    return status;
}
