/* What each choice is expected to bring, side by side, and the proposal. */
#include "context.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WHY_INDENT = 25 };

/* ---- the proposal ---- */

static void print_proposal(const mc_proposal *proposal) {
    printf("\nProposal: %s (rule %d)\n", mc_proposal_name(proposal->choice), proposal->rule);
    print_wrapped(proposal->sentence, 2);
    if (proposal->count == 0)
        return;
    char teeth[16 + 3 * MC_TEETH] = "Teeth:";
    for (size_t i = 0; i < proposal->count; i++)
        snprintf(teeth + strlen(teeth), sizeof teeth - strlen(teeth), " %02d",
                 mc_tooth_iso(proposal->teeth[i]));
    print_wrapped(teeth, 2);
}

/* Whether the option is what is proposed. */
static bool is_proposed(const mc_proposal *proposal, const mc_option *option) {
    const mc_choice choice = mc_choice_of(proposal->choice);
    return choice != MC_CHOICES && option->ask.choices == 1u << choice &&
           (choice != MC_HOLD || option->ask.days == proposal->days);
}

/* ---- the table ---- */

static void print_heading(void) {
    print_columns("\n%-23s %8s %5s  %-10s %6s %8s %6s %6s", "", "Teeth", "All", "", "Later",
                  "Aligners", "Never", "Check-");
    print_columns("%-23s %8s %5s  %-10s %6s %8s %6s %6s", "  Choice", "outside", "in", "Ends",
                  "days", "to begin", "worn", "ups");
}

/* "+7", "-12"; "-" for the choice that the others are compared with. */
static void later_text(const mc_option *option, const mc_option *first, char out[16]) {
    if (option == first || !first->possible)
        snprintf(out, 16, "-");
    else
        snprintf(out, 16, option->days == first->days ? "%d" : "%+d", option->days - first->days);
}

static void print_option(const mc_option *option, const mc_option *first, bool proposed) {
    char words[MC_OPTION_WORDS_SIZE], outside[40], later[16], day[11], in[PERCENT_SIZE];
    char why[sizeof option->why_not + 20];
    mc_option_words(&option->ask, words);
    if (!option->possible) {
        printf("%c %s\n", proposed ? '>' : ' ', words);
        snprintf(why, sizeof why, "%s: %s", option->unweighed ? "not weighed" : "not possible",
                 option->why_not);
        print_wrapped(why, WHY_INDENT);
        return;
    }
    if (isnan(option->expected_out))
        snprintf(outside, sizeof outside, "%13s", "not known");
    else
        snprintf(outside, sizeof outside, "%7.2f %5s", option->expected_out,
                 percent_text(option->p_all_in, in));
    later_text(option, first, later);
    print_columns("%c %-22s %s  %-10s %6s %8d %6d %6d", proposed ? '>' : ' ', words, outside,
                  day_text(option->ends, day), later, option->aligners, option->discarded,
                  option->checkups);
}

/* "Corrected now: 10 upper and 3 lower aligners." */
static void print_corrected(const mc_option *option) {
    const int upper = option->stages[MC_UPPER], lower = option->stages[MC_LOWER];
    if (!option->possible || !(option->ask.choices & (1u << MC_CORRECT | 1u << MC_FINISH)))
        return;
    printf("%s", option->ask.choices & 1u << MC_CORRECT ? "Corrected now: "
                                                        : "Corrected after finishing: ");
    if (upper > 0 && lower > 0)
        printf("%d upper and %d lower new aligners\n", upper, lower);
    else if (upper + lower > 0)
        printf("%d %s new %s\n", upper + lower, upper > 0 ? "upper" : "lower",
               upper + lower == 1 ? "aligner" : "aligners");
    else
        printf("%s\n", isnan(option->expected_out) ? "not known" : "nothing is left to correct");
}

static void print_table(const mc_assessment *a, const mc_option *options, size_t count) {
    print_heading();
    for (size_t i = 0; i < count; i++)
        print_option(&options[i], &options[0], is_proposed(&a->proposal, &options[i]));
    printf("\n");
    for (size_t i = 0; i < count; i++)
        print_corrected(&options[i]);
}

/* What the numbers do not hold. */
static void print_unknown(const mc_assessment *a) {
    const mc_forecast *f = &a->forecast;
    if (f->known == 0)
        printf("No position was read on this plan: how teeth end is not known of any.\n");
    else if (f->partly > 0)
        printf("Rests on %d teeth whose position was read (%d in part); %d not known\n", f->known,
               f->partly, f->unknown);
    else if (f->unknown > 0)
        printf("Rests on %d teeth whose position was read; %d not known\n", f->known, f->unknown);
}

static void print_notes(const mc_assessment *a) {
    char mm[40], deg[40], text[1200];
    mc_decimal_text(a->settings.finish_mm, mm, sizeof mm);
    mc_decimal_text(a->settings.finish_deg, deg, sizeof deg);
    snprintf(text, sizeof text,
             "%sOutside: teeth expected to end %s mm or %s deg or more off target; all "
             "in: the chance that none does. Later: than by carrying on. Corrected series are "
             "counted from the positions as scanned at this check-up, else as estimated, by the "
             "limits of an aligner, without a look at crowns running into each other; they may "
             "need more. Local measures count where "
             "they give a tooth its grip back. If every aligner is worn as planned.",
             mc_choice_of(a->proposal.choice) == MC_CHOICES ? "" : "> proposed. ", mm, deg);
    print_wrapped(text, 0);
    print_caution();
}

mc_status run_options(context *c, mc_error *error) {
    mc_assessment *a;
    mc_status status = scored_case(c, &a, error);
    if (status != MC_OK)
        return status;
    char label[MC_LABEL_SIZE];
    mc_case_label(&a->kase, label);
    mc_option options[MC_MOST_OPTIONS];
    const size_t count = mc_assess_options(a, options);
    if (count == 0) {
        status = mc_fail(error, MC_REFUSED, "out of memory");
    } else if (c->json) {
        status = print_json(mc_json_options(label, a->score, &a->proposal, options, count), error);
    } else {
        print_head(label, a);
        print_proposal(&a->proposal);
        print_table(a, options, count);
        print_unknown(a);
        print_notes(a);
        if (a->decision_due)
            printf("To sign: midcourse --as INITIALS decide %s --choice CHOICE\n", label);
    }
    mc_assessment_free(a);
    return status;
}
